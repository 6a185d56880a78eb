"""The target bread, and the five ways to know what it will do in its pan.

A baker may know the bread by a specific volume, a reference loaf, a pan ratio, a calibration fitted to
trials, or not at all yet (the prior). Each becomes a ``Bread``: what it will do at the target scalded
share, as estimates whose intervals contain 90 % of next bakes.
"""

from collections.abc import Iterator
from math import exp
from typing import NamedTuple

from scaldloaf.dough.bake_loss import (
    BakeLoss,
    bake_loss_of_trials,
    shared_bake_loss,
    stated_bake_loss,
    usual_bake_loss,
)
from scaldloaf.dough.calibration import Calibration, check_calibration, predict_log_specific_volume
from scaldloaf.dough.estimate import NORMAL_90, Estimate, weakest
from scaldloaf.dough.limits import (
    BAKE_LOSS_LIDDED_PERCENT,
    FULL_PERCENT,
    ROUNDING,
    SCALD_SHARE_LIMIT_PERCENT,
    SPECIFIC_VOLUME_REFUSE_HIGH,
    SPECIFIC_VOLUME_REFUSE_LOW,
    require_bake_loss,
    require_between,
    require_fill,
)
from scaldloaf.dough.loaf_limits import (
    is_loaf,
    nearest_loaf,
    no_loaf,
    require_loaf,
    require_reachable_share,
    require_reachable_water,
    require_share,
    require_water,
)
from scaldloaf.dough.notes import Note
from scaldloaf.dough.volume import (
    EFFECT_OF_SCALD,
    SHARE_VOLUME_LOSS,
    WATER_VOLUME_CURVATURE,
    Band,
    band_between,
    scatter_band,
    share_band,
    share_volume_factor,
    water_band,
    water_volume_factor,
    within,
)
from scaldloaf.reference import Coefficient, coefficient

SPECIFIC_VOLUME_PRIOR = coefficient("specific_volume_prior")
SPECIFIC_VOLUME_NOTE_LOW = coefficient("specific_volume_note_low").value
SPECIFIC_VOLUME_NOTE_HIGH = coefficient("specific_volume_note_high").value
PAN_RATIO_REFUSE_LOW = coefficient("pan_ratio_refuse_low").value
PAN_RATIO_REFUSE_HIGH = coefficient("pan_ratio_refuse_high").value
VOLUME_MEASUREMENT_RELATIVE_SD = coefficient("volume_measurement_relative_sd")
VOLUME_BY_HEIGHT_RELATIVE_SD = coefficient("volume_by_height_relative_sd")
BAKE_TO_BAKE_RELATIVE_SD = coefficient("bake_to_bake_relative_sd")


class Wanted(NamedTuple):
    """The target bread.

    share_percent: scalded share of total flour; None keeps the share of what the baker knows.
    off_optimum_points: its hydration less the optimum for that share, points.
    bake_loss_percent: None uses the known loaf's, else the usual one of a lidded or an open pan.
    cooling_loss_percent: points of the dough; None: 0 beside a stated bake loss, which then includes it, else
    the trials' or the usual one.
    """

    share_percent: float | None = None
    off_optimum_points: float = 0.0
    bake_loss_percent: float | None = None
    open_top: bool = False
    cooling_loss_percent: float | None = None


class Known(NamedTuple):
    """A known loaf's scalded share (None: the target's) and its hydration less the optimum, points."""

    share_percent: float | None = None
    off_optimum_points: float = 0.0


_AS_WANTED = Known()


class Bread(NamedTuple):
    """What the bread will do at the target share.

    specific_volume: cm³ of loaf per g of bread at the oven's mouth. loaf_per_dough: cm³ of loaf per g of
    dough put in the oven, specific volume x (1 - bake loss). ``doubts`` are the causes behind its interval.
    share_factor, water_factor: of the target bread (g, s); start_share_factor, start_water_factor: of the
    known one. cooled_per_oven: mass of the cooled loaf over that at the oven's mouth. Both g use
    share_volume_loss. ``start``: what was known before the move, cm³/g of dough
    where start_is_per_dough, else of bread; start_bake_loss_percent: the loss that it was known with.
    """

    specific_volume: Estimate
    loaf_per_dough: Estimate
    bake_loss_percent: Estimate
    cooling_loss_percent: Estimate
    cooled_per_oven: Estimate
    doubts: tuple[Band, ...]
    share_volume_loss: float
    start: float
    start_is_per_dough: bool
    share_percent: float | None
    share_factor: float
    start_share_factor: float
    water_factor: float
    start_water_factor: float
    start_bake_loss_percent: float | None
    basis: tuple[str, ...]
    notes: tuple[Note, ...]


# ---- The five ways -------------------------------------------------------------------------------


def bread_from_specific_volume(
    specific_volume_cm3_per_g: float, wanted: Wanted, known: Known = _AS_WANTED
) -> Bread:
    """The bread from the baker's own specific volume, cm³ per g of the cooled loaf, moved to the target.

    By the cooling loss it becomes the specific volume at the oven's mouth. Valid from 2.0 to 8.5 cm³/g;
    raises Refusal outside. Doubt: measuring, bake to bake (the loaf measured and the next one), the effect of
    scald and water, the cooling loss. Evidence: assumption for the interval.
    """
    value = specific_volume_cm3_per_g
    if not is_loaf(value, SPECIFIC_VOLUME_REFUSE_LOW):
        raise no_loaf("specific_volume", value, value, nearest_loaf(value))
    move, loss = _Move.of(wanted, known), _bake_loss(wanted)
    cooled = loss.cooled_per_oven
    doubts = _measured(VOLUME_MEASUREMENT_RELATIVE_SD)
    if cooled.low < cooled.high:
        doubts += (band_between("cooling loss", cooled.low, cooled.best, cooled.high, cooled.evidence),)
    start = _Start(value * cooled.best, False, doubts, lowest=SPECIFIC_VOLUME_REFUSE_LOW * cooled.best)
    return _moved(start, move, loss)


def bread_from_reference_loaf(
    dough_g: float,
    loaf_volume_cm3: float,
    wanted: Wanted,
    known: Known,
    bake_loss_percent: float | None = None,
) -> Bread:
    """The bread from one measured loaf.

    A bake loss stated for one of the two loaves holds for both. When neither is stated, the usual one
    holds for both and cancels from the dough mass. Doubt as for a specific volume.

    Parameters
        dough_g : float  [g] put in the oven for the measured loaf
        loaf_volume_cm3 : float  [cm³] of the measured loaf, cooled
        wanted : Wanted
        known : Known
        bake_loss_percent : float or None  [% of the measured loaf's dough]
    Returns
        Bread
    Raises
        Refusal: a specific volume outside 2.0 to 8.5 cm³/g, a loaf of no pan's size, an impossible share,
        water or loss.
    """
    loss, start_loss = _bake_losses(wanted, bake_loss_percent)
    loss = loss.with_cooling(wanted.cooling_loss_percent, "wanted.cooling_loss_percent")
    if bake_loss_percent is not None:
        require_bake_loss(start_loss, "bake_loss_percent")
    require_bake_loss(loss.percent.best, "wanted.bake_loss_percent")
    per_dough = loaf_volume_cm3 / dough_g
    require_loaf(dough_g, loaf_volume_cm3, start_loss)
    start = _Start(per_dough, True, _measured(VOLUME_MEASUREMENT_RELATIVE_SD), start_loss)
    return _moved(start, _Move.of(wanted, known), loss)


def bread_from_pan_ratio(
    pan_ratio_cm3_per_g: float, wanted: Wanted, known: Known = _AS_WANTED, fill_percent: float = FULL_PERCENT
) -> Bread:
    """The bread from a pan ratio.

    Loaf per dough = ratio x fill. Bakers judge fullness by height, and the interval says so. A low specific
    volume only gets a note: the loaf may have risen above the rim of a shallow tin.

    Parameters
        pan_ratio_cm3_per_g : float  [cm³ of pan per g of dough]
        wanted : Wanted
        known : Known
        fill_percent : float  [% of the pan's volume] at which the ratio was found
    Returns
        Bread
    Raises
        Refusal: a ratio outside 1.2 to 6.5 cm³/g, or a specific volume above 8.5 cm³/g.
    """
    ratio = pan_ratio_cm3_per_g
    require_between(
        ratio,
        PAN_RATIO_REFUSE_LOW,
        PAN_RATIO_REFUSE_HIGH,
        "pan_ratio",
        "pan_ratio_out_of_range",
        "pan ratios lie between {low} and {high} cm³ of pan per g of dough (7.6 cubic inches "
        "per ounce are 4.4)",
    )
    require_fill(fill_percent, "fill_percent")
    loss = _bake_loss(wanted)
    per_dough = ratio * fill_percent / 100
    value = per_dough / (1 - loss.percent.best / 100)
    factor = value / ratio
    if not is_loaf(ratio * factor, 0.0):
        raise no_loaf("pan_ratio", ratio * factor, ratio, SPECIFIC_VOLUME_REFUSE_HIGH / factor)
    if value < SPECIFIC_VOLUME_NOTE_LOW:
        note = Note("fill_of_pan_ratio", {"fill": fill_percent, "value": value})
        loss = loss._replace(notes=(*loss.notes, note))
    move = _Move.of(wanted, known)
    measured = _measured(VOLUME_BY_HEIGHT_RELATIVE_SD, "fullness judged by height")
    return _moved(_Start(per_dough, True, measured, lowest=0.0), move, loss)


def bread_from_prior(wanted: Wanted) -> Bread:
    """The bread when the baker's own is unknown: an enriched pan loaf, moved from no scald.

    Doubt: the range of the prior, and the whole band of the scald's effect. Its centre is an assumption.
    """
    move = _Move.of(wanted, Known(0.0), whole_band=True)
    loss = _bake_loss(wanted)
    prior = SPECIFIC_VOLUME_PRIOR
    evidence = weakest(prior.evidence, "assumption")
    spread = band_between("other bakers' loaves", prior.low, prior.value, prior.high, evidence)
    start = _Start(prior.value, False, (spread,), basis=prior.sources)
    return _moved(start, move, loss._replace(notes=(*loss.notes, Note("prior"))))


def bread_from_calibration(calibration: Calibration, wanted: Wanted) -> Bread:
    """The bread from a calibration fitted to the baker's trials.

    Volume with its interval from ``predict_log_specific_volume``, widened off the optimum by the doubt
    about the curvature. The bake loss is the trials' unless the target bread states one.
    """
    check_calibration(calibration)
    share = 0.0 if wanted.share_percent is None else wanted.share_percent
    require_share(share, "wanted.share_percent")
    require_water(wanted.off_optimum_points, "wanted.off_optimum_points")
    share_loss, own_loss = calibration.share_volume_loss, wanted.bake_loss_percent is None
    start = exp(calibration.log_specific_volume)
    water_factor = water_volume_factor(wanted.off_optimum_points)
    require_reachable_share(start * water_factor, share, share_loss)
    mean, sd = predict_log_specific_volume(calibration, share, wanted.off_optimum_points)
    doubts = [Band("trials", NORMAL_90 * sd, NORMAL_90 * sd, "assumption")]
    if (curvature := water_band(wanted.off_optimum_points)) is not None:
        doubts.append(curvature)
    loss = bake_loss_of_trials(calibration) if own_loss else _bake_loss(wanted)
    loss = loss.with_cooling(wanted.cooling_loss_percent, "wanted.cooling_loss_percent")
    value = exp(mean)
    # Trials measure volume per gram of dough. Their own bake loss only turns that into specific volume, so
    # its doubt is not the dough's. A stated loss is another bread's, and its doubt counts.
    moved = value * (1 - loss.percent.best / 100) if own_loss else value
    specific, per_dough, doubts_of_dough = _assemble(moved, own_loss, tuple(doubts), loss)
    return Bread(
        specific_volume=specific,
        loaf_per_dough=per_dough,
        bake_loss_percent=loss.percent,
        cooling_loss_percent=loss.cooling,
        cooled_per_oven=loss.cooled_per_oven,
        doubts=doubts_of_dough,
        share_volume_loss=share_loss,
        start=start,
        start_is_per_dough=False,
        share_percent=wanted.share_percent,
        share_factor=share_volume_factor(share, share_loss),
        start_share_factor=1.0,
        water_factor=water_factor,
        start_water_factor=1.0,
        start_bake_loss_percent=None,
        basis=("geometry", "mass_balance", *SHARE_VOLUME_LOSS.sources),
        notes=(*_remarks(value, share), *loss.notes),
    )


# ---- Moving what is known to the target ----------------------------------------------------------


def _bake_loss(wanted: Wanted) -> BakeLoss:
    """The target bread's losses: stated, or usual for its pan."""
    if wanted.bake_loss_percent is None:
        loss = usual_bake_loss(wanted.open_top)
    else:
        require_bake_loss(wanted.bake_loss_percent, "wanted.bake_loss_percent")
        loss = stated_bake_loss(wanted.bake_loss_percent)
    return loss.with_cooling(wanted.cooling_loss_percent, "wanted.cooling_loss_percent")


def _bake_losses(wanted: Wanted, known_percent: float | None) -> tuple[BakeLoss, float]:
    """The target bread's bake loss and the known loaf's; one that is stated for either holds for both."""
    target_percent = wanted.bake_loss_percent
    if target_percent is not None:
        if known_percent is not None:
            return stated_bake_loss(target_percent), known_percent
        return shared_bake_loss(target_percent, "target"), target_percent
    if known_percent is not None:
        return shared_bake_loss(known_percent, "known"), known_percent
    return (loss := usual_bake_loss(wanted.open_top)), loss.percent.best


class _Start(NamedTuple):
    """What is known before the move.

    value: cm³ per g, of dough where per_dough, else of bread. doubts: of knowing it. bake_loss_percent:
    the loss that it was known with (None: the target's). lowest: the least specific volume accepted.
    """

    value: float
    per_dough: bool
    doubts: tuple[Band, ...]
    bake_loss_percent: float | None = None
    basis: tuple[str, ...] = ()
    lowest: float = SPECIFIC_VOLUME_REFUSE_LOW


class _Move(NamedTuple):
    """From a known loaf's share and water to the target's: the factors of both, and the doubts."""

    share_percent: float | None
    off_optimum_points: float
    share_factor: float
    start_share_factor: float
    water_factor: float
    start_water_factor: float
    doubts: tuple[Band, ...]
    notes: tuple[Note, ...]

    @classmethod
    def of(cls, wanted: Wanted, known: Known, whole_band: bool = False) -> "_Move":
        """The move between two breads; whole_band: the scald's whole doubt counts, not a difference."""
        share, start_share = wanted.share_percent, known.share_percent
        if share is None:
            share = start_share
        elif start_share is None:
            start_share = share
        here, there = share or 0.0, start_share or 0.0
        require_share(there, "known.share_percent")
        require_share(here, "wanted.share_percent")
        require_water(known.off_optimum_points, "known.off_optimum_points")
        require_water(wanted.off_optimum_points, "wanted.off_optimum_points")
        doubts = (
            share_band(here, None if whole_band else there),
            water_band(wanted.off_optimum_points, known.off_optimum_points),
        )
        extrapolated = known.share_percent is not None and there > SCALD_SHARE_LIMIT_PERCENT + ROUNDING
        return cls(
            share_percent=share,
            off_optimum_points=wanted.off_optimum_points,
            share_factor=share_volume_factor(here),
            start_share_factor=share_volume_factor(there),
            water_factor=water_volume_factor(wanted.off_optimum_points),
            start_water_factor=water_volume_factor(known.off_optimum_points),
            doubts=tuple(band for band in doubts if band is not None),
            notes=(_share_note("known"),) if extrapolated else (),
        )


def _moved(start: _Start, move: _Move, loss: BakeLoss) -> Bread:
    """The Bread that a known one becomes, with the doubts of knowing it and of moving it."""
    factor = move.share_factor / move.start_share_factor * move.water_factor / move.start_water_factor
    moved = start.value * factor
    if start.per_dough:
        before = loss.percent.best if start.bake_loss_percent is None else start.bake_loss_percent
        moved *= (100 - loss.percent.best) / (100 - before)
    value = moved / (1 - loss.percent.best / 100) if start.per_dough else moved
    if move.share_factor == move.start_share_factor:
        require_reachable_water(value / move.water_factor, move.off_optimum_points, start.lowest)
    else:
        without_scald = value / move.share_factor
        require_reachable_share(without_scald, move.share_percent, SHARE_VOLUME_LOSS.value, start.lowest)
    specific, per_dough, doubts = _assemble(moved, start.per_dough, (*start.doubts, *move.doubts), loss)
    return Bread(
        specific_volume=specific,
        loaf_per_dough=per_dough,
        bake_loss_percent=loss.percent,
        cooling_loss_percent=loss.cooling,
        cooled_per_oven=loss.cooled_per_oven,
        doubts=doubts,
        share_volume_loss=SHARE_VOLUME_LOSS.value,
        start=start.value,
        start_is_per_dough=start.per_dough,
        share_percent=move.share_percent,
        share_factor=move.share_factor,
        start_share_factor=move.start_share_factor,
        water_factor=move.water_factor,
        start_water_factor=move.start_water_factor,
        start_bake_loss_percent=start.bake_loss_percent,
        basis=_basis(start, move, loss),
        notes=(*_remarks(value, move.share_percent), *move.notes, *loss.notes),
    )


def _basis(start: _Start, move: _Move, loss: BakeLoss) -> tuple[str, ...]:
    """Sources that a moved bread rests on, each once."""
    basis = ["geometry", "mass_balance", *start.basis]
    if any(band.cause == EFFECT_OF_SCALD for band in move.doubts):
        basis += SHARE_VOLUME_LOSS.sources
    if move.water_factor != 1 or move.start_water_factor != 1:
        basis += WATER_VOLUME_CURVATURE.sources
    if loss.band is not None:
        basis += BAKE_LOSS_LIDDED_PERCENT.sources
    return tuple(dict.fromkeys([*basis, *VOLUME_MEASUREMENT_RELATIVE_SD.sources]))


def _assemble(
    value: float, per_dough: bool, doubts: tuple[Band, ...], loss: BakeLoss
) -> tuple[Estimate, Estimate, tuple[Band, ...]]:
    """Specific volume, loaf per dough and the doubts about the latter, from either of the first two.

    value: cm³ per g, of dough where per_dough, else of bread. doubts: about the value.
    """
    kept = 1 - loss.percent.best / 100
    of_loss = () if loss.band is None else (loss.band.inverse() if per_dough else loss.band,)
    both = (*doubts, *of_loss)
    if per_dough:
        return within(value / kept, both), within(value, doubts), doubts
    return within(value, doubts), within(value * kept, both), both


def _measured(scatter: Coefficient, cause: str = "measuring") -> tuple[Band, ...]:
    """Doubts of one measured bake as a forecast of the next: measuring, and the chance of both bakes."""
    return (
        scatter_band(cause, scatter),
        scatter_band("the measured bake's chance", BAKE_TO_BAKE_RELATIVE_SD),
        scatter_band("the next bake's chance", BAKE_TO_BAKE_RELATIVE_SD),
    )


def _remarks(specific_volume_cm3_per_g: float, share_percent: float | None) -> Iterator[Note]:
    low, high = SPECIFIC_VOLUME_NOTE_LOW, SPECIFIC_VOLUME_NOTE_HIGH
    if not low * (1 - ROUNDING) <= specific_volume_cm3_per_g <= high * (1 + ROUNDING):
        values = {"value": specific_volume_cm3_per_g, "low": low, "high": high}
        yield Note("unusual_specific_volume", values)
    if share_percent is not None and share_percent > SCALD_SHARE_LIMIT_PERCENT + ROUNDING:
        yield _share_note("target")


def _share_note(which: str) -> Note:
    return Note("share_beyond_range", {"bread": which, "limit": SCALD_SHARE_LIMIT_PERCENT})
