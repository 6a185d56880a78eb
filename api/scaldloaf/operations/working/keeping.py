"""The steps of a softness by day, and the notes on it."""

from collections.abc import Iterator, Sequence
from math import log

from scaldloaf.dough import keeping as dough
from scaldloaf.operations.notes import Note, NotesOf
from scaldloaf.operations.steps import Working, bracketed
from scaldloaf.reference import coefficient
from scaldloaf.units import Units

STORAGE_LOW_DEGC = coefficient("firming_storage_low_degc").value
STORAGE_HIGH_DEGC = coefficient("firming_storage_high_degc").value
SAME_STORAGE_DEGC = 2.0  # storage temperatures nearer than this are called the same

TEXTS = {
    dough.ONE_DAY: "{loaf}: scores of a single day show no course; score it again on another day.",
    dough.NO_TREND: (
        "{loaf}: its scores do not show staling clearly; score more loaves per day, or on more days."
    ),
    dough.AGAINST_DIRECTION: "{loaf}: its scores change in the opposite direction to staling; is the "
    "direction right?",
    dough.NOT_REACHED: "{loaf}: it does not reach the limit within {days:g} days.",
    dough.ALREADY_REACHED: (
        "{loaf}: it is at the limit, or past it, from the first; is that the limit you meant?"
    ),
    dough.NO_LIMIT: (
        "Without your own limit there is no time to compare: enter the score at which bread is no "
        "longer soft enough."
    ),
    "two_days": (
        "{loaf}: with two days the bend of the curve is not measured; what is known of crumb firming is used."
    ),
    "no_early_score": (
        "{loaf}: with no score of its first {days:g} days, its score when fresh is not known; the "
        "initial value says little."
    ),
    "noisy": (
        "{loaf}: its scores scatter more than twice as widely as scores of one loaf usually do; score "
        "several loaves a day."
    ),
    "beyond_last_day": "{loaf}: the time to the limit lies beyond the last day with a score.",
    "storage_unknown": "Without a storage temperature, room temperature is assumed.",
    "storage_outside_range": (
        "What is known of firming is of {low:g} to {high}. Colder, down to about freezing, is faster, "
        "and no time is added for it; frozen bread is another matter."
    ),
    "storage_differs": (
        "The loaves were kept at different temperatures: part of the difference is the storage's."
    ),
    "volume_of_scored": (
        "Volumes are only used for firmness measured as a force (scores_are measured): what a mouth or a "
        "hand makes of a denser crumb is not known."
    ),
    "volume_to_compare": (
        "A denser loaf is a firmer loaf. Enter the specific volume of each, and they are also compared at "
        "equal volume."
    ),
    "denser_is_firmer": (
        "By its volume alone, {denser} is {low:g} to {high:g} % firmer than {lighter}. What is left at equal "
        "volume is the crumb's own."
    ),
    "moisture": (
        "A drier crumb firms faster, so a loaf that loses more in baking or in storage firms sooner; "
        "moisture is not part of this calculation."
    ),
}
_OF_A_LOAF = {
    dough.ONE_DAY,
    dough.NO_TREND,
    dough.AGAINST_DIRECTION,
    dough.NOT_REACHED,
    dough.ALREADY_REACHED,
}


def beyond_last_day(loaf: dough.Loaf, time: dough.TimeToLimit) -> bool:
    """Whether the time to the limit is later than every score."""
    return time.best is not None and time.best > loaf.scores[-1].days


def scored_early(kept: dough.Kept) -> bool:
    """Whether the first score is early enough to tell what the loaf was when fresh."""
    return kept.loaf.scores[0].days <= dough.FIRMING_TIME_CONSTANT_DAYS.value


# ---- Notes ---------------------------------------------------------------------------------------

_note = NotesOf(TEXTS)


def loaf_notes(kept: dough.Kept) -> Iterator[Note]:
    """On the scores of one loaf."""
    name, why = kept.loaf.name, kept.no_curve or kept.time.reason
    if why in _OF_A_LOAF:
        yield _note(why, loaf=name, days=dough.KEEPING_HORIZON_DAYS)
    if kept.posterior is None:
        return
    if kept.days == 2:
        yield _note("two_days", loaf=name)
    if not scored_early(kept):
        yield _note("no_early_score", loaf=name, days=dough.FIRMING_TIME_CONSTANT_DAYS.value)
    expected = dough.SCORE_RELATIVE_SD * max(abs(score.score) for score in kept.loaf.scores)
    if kept.posterior.spread() > 2 * expected > 0:
        yield _note("noisy", loaf=name)
    if beyond_last_day(kept.loaf, kept.time):
        yield _note("beyond_last_day", loaf=name)


def storage_notes(storage_c: list[float | None], units: Units) -> Iterator[Note]:
    """On where the loaves were kept, None where it is not known."""
    known = [value for value in storage_c if value is not None]
    if len(known) < len(storage_c):
        yield _note("storage_unknown")
    if any(not STORAGE_LOW_DEGC <= value <= STORAGE_HIGH_DEGC for value in known):
        yield _note(
            "storage_outside_range",
            low=units.to_wire(STORAGE_LOW_DEGC, "temperature"),
            high=(STORAGE_HIGH_DEGC, "temperature"),
        )
    if known and max(known) - min(known) > SAME_STORAGE_DEGC:
        yield _note("storage_differs")


def moisture_note() -> Note:
    """That a moisture given does not enter."""
    return _note("moisture")


def volume_notes(
    measured: bool, specific_volumes: Sequence[float | None], equal: Sequence[dough.AtEqualVolume]
) -> Iterator[Note]:
    """On loaves compared at equal volume, or why they are not."""
    known = [value for value in specific_volumes if value is not None]
    if known and not measured:
        yield _note("volume_of_scored")
    elif measured and len(known) < 2:
        yield _note("volume_to_compare")
    if not equal:
        return
    densest = min(equal, key=lambda each: each.specific_volume)
    lightest = max(equal, key=lambda each: each.specific_volume)
    if densest.specific_volume < lightest.specific_volume:
        firmer = dough.equal_volume_factor(lightest.specific_volume, densest.specific_volume)
        yield _note(
            "denser_is_firmer",
            denser=densest.kept.loaf.name,
            lighter=lightest.kept.loaf.name,
            low=round(100 * (firmer.low - 1)),
            high=round(100 * (firmer.high - 1)),
        )


def no_limit_note() -> Note:
    """That there is no limit to compare by."""
    return _note(dough.NO_LIMIT)


# ---- The working ---------------------------------------------------------------------------------


def show_kept(show: Working, kept: dough.Kept, limit: float | None, unit: str) -> None:
    """The steps to a loaf's curve, and to its time to the limit.

    Parameters
        show : Working  the steps are added to
        kept : Kept
        limit : float or None  [unit] None: no limit was given
        unit : str  of the scores; empty for a bare number
    """
    name = kept.loaf.name
    if kept.posterior is None:
        scores = [score.score for score in kept.loaf.scores]
        added = " + ".join(bracketed(show.format(score)) for score in scores)
        show.step(f"{name}: mean score", f"({added}) ÷ {len(scores)}", sum(scores) / len(scores), unit=unit)
        return
    curve = kept.posterior.likeliest
    scale = kept.posterior.sign * kept.posterior.unit
    start, change = curve.start * scale, curve.change * scale
    last = kept.loaf.scores[-1].days
    done = dough.progress(last, curve.time_constant_days, curve.exponent)
    tau = show.format(curve.time_constant_days)
    power = root = ""
    if curve.exponent != 1:
        exponent = show.format(curve.exponent)
        power, root = f"^{exponent}", f"^(1 ÷ {exponent})"
    from_start, by = show.format(start), bracketed(show.format(change))
    show.step(
        f"{name}: likeliest curve after {show.format(last)} days",
        f"{from_start} + {by} × (1 − exp(−({show.format(last)} ÷ {tau}){power}))",
        start + change * done,
        unit=unit,
    )
    if limit is None or not change:
        return
    share = (limit - start) / change
    if 0 < share < 1:
        days = curve.time_constant_days * (-log(1 - share)) ** (1 / curve.exponent)
        show.step(
            f"{name}: that curve at the limit",
            f"{tau} × (−ln(1 − ({show.format(limit)} − {bracketed(from_start)}) ÷ {by})){root}",
            days,
            unit="d",
        )
    if kept.time.best is not None:
        show.step(
            f"{name}: time to the limit",
            "median over all the curves that the scores allow, each by its weight",
            kept.time.best,
            unit="d",
        )


def show_equal_volume(
    show: Working, equal: dough.AtEqualVolume, reference: float, limit: float | None
) -> None:
    """The steps to a loaf's firmness, and its time to the limit, at another specific volume.

    Parameters
        show : Working  the steps are added to
        equal : AtEqualVolume
        reference : float  [cm³/g] the specific volume that all are compared at
        limit : float or None  [unit of the scores] None: no limit was given
    """
    shown, name, factor = show.format, equal.kept.loaf.name, equal.factor.best
    exponent = shown(dough.FIRMNESS_VOLUME_EXPONENT.value)
    show.step(
        f"{name}: firmness at equal volume over that as it is",
        f"({shown(equal.specific_volume)} ÷ {shown(reference)})^{exponent}",
        factor,
    )
    if limit is None or equal.time.best is None:
        return
    show.step(f"{name}: firmness as it is at that limit", f"{shown(limit)} ÷ {shown(factor)}", limit / factor)
    show.step(
        f"{name}: time to the limit at equal volume",
        "median over all the curves that the scores allow, each by its weight",
        equal.time.best,
        unit="d",
    )
