"""keeping: softness by day, fitted, compared and ranked by the baker's own limit."""

from math import log

from scaldloaf.dough import keeping as dough
from scaldloaf.dough.temperature import require_part_temperature
from scaldloaf.operations.context import Context
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import keeping as schema
from scaldloaf.operations.working.steps import Working, bracketed, format_number
from scaldloaf.reference import coefficient

STORAGE_LOW_DEGC = coefficient("firming_storage_low_degc").value
STORAGE_HIGH_DEGC = coefficient("firming_storage_high_degc").value
# How the probability of an order is put in words; not a fact of the craft.
CLEAR_PERCENT, LIKELY_PERCENT = 95.0, 80.0
# Storage temperatures nearer than this are called the same.
SAME_STORAGE_DEGC = 2.0
_CURVE_POINTS = 24

_WHY = {
    dough.ONE_DAY: "scores of a single day show no course; score it again on another day.",
    dough.NO_TREND: "its scores do not tell staling from chance; score more loaves a day, or more days.",
    dough.AGAINST_DIRECTION: "its scores go the other way than staling does; is the direction right?",
    dough.NOT_REACHED: f"it does not come to the limit within {dough.KEEPING_HORIZON_DAYS:g} days.",
    dough.ALREADY_REACHED: "it is at the limit, or past it, from the first; is that the limit you meant?",
}


def _read(request: dict) -> list[dough.Loaf]:
    return [
        dough.Loaf(
            loaf["name"], tuple(dough.Score(score["days"], score["score"]) for score in loaf["scores"])
        )
        for loaf in request["loaves"]
    ]


def _storage(request: dict, context: Context) -> list[float | None]:
    """Storage temperature of each loaf, degC, None where none was given."""

    def read(wire: dict, argument: str) -> float | None:
        if "storage_temperature" not in wire:
            return None
        value = context.units.from_wire(wire["storage_temperature"], "temperature")
        require_part_temperature(value, argument)
        return value

    common = read(request, "storage_temperature")
    own = [read(loaf, f"loaves.{index}.storage_temperature") for index, loaf in enumerate(request["loaves"])]
    return [common if each is None else each for each in own]


def _beyond(kept: dough.Kept) -> bool:
    return kept.time.best is not None and kept.time.best > kept.loaf.scores[-1].days


def _scored_early(kept: dough.Kept) -> bool:
    """Whether the first score is early enough to tell what the loaf was when fresh."""
    return kept.loaf.scores[0].days <= dough.FIRMING_TIME_CONSTANT_DAYS.value


def _notes(kept: list[dough.Kept], storage: list[float | None], moistures: bool, context: Context):
    found = []
    for each in kept:
        name = each.loaf.name
        why = each.untold or each.time.reason
        if why in _WHY:
            found.append((why, f"{name}: {_WHY[why]}"))
        if each.posterior is None:
            continue
        if each.days == 2:
            found.append(
                (
                    "two_days",
                    f"{name}: with two days the bend of the curve is not measured; it is "
                    "taken from what is known of crumb firming.",
                )
            )
        if not _scored_early(each):
            found.append(
                (
                    "no_early_score",
                    f"{name}: with no score of its first "
                    f"{dough.FIRMING_TIME_CONSTANT_DAYS.value:g} days, what it was when fresh is not told; the "
                    "initial value says little.",
                )
            )
        expected = dough.SCORE_RELATIVE_SD * max(abs(score.score) for score in each.loaf.scores)
        if each.posterior.spread() > 2 * expected > 0:
            found.append(
                (
                    "noisy",
                    f"{name}: its scores scatter more than twice as widely as scores of one "
                    "loaf usually do; score several loaves a day.",
                )
            )
        if _beyond(each):
            found.append(
                ("beyond_last_day", f"{name}: the time to the limit lies beyond the last day with a score.")
            )
    known = [value for value in storage if value is not None]
    if len(known) < len(storage):
        found.append(("storage_unknown", "Without a storage temperature, room temperature is assumed."))
    if any(not STORAGE_LOW_DEGC <= value <= STORAGE_HIGH_DEGC for value in known):
        low, high = (
            format_number(context.units.to_wire(end, "temperature"))
            for end in (STORAGE_LOW_DEGC, STORAGE_HIGH_DEGC)
        )
        found.append(
            (
                "storage_outside_range",
                f"What is known of firming is of {low} to {high} "
                f"{context.units.symbol('temperature')}. Colder, down to about freezing, is faster, and "
                "no time is added for it; frozen bread is another matter.",
            )
        )
    if known and max(known) - min(known) > SAME_STORAGE_DEGC:
        found.append(
            (
                "storage_differs",
                "The loaves were kept at different temperatures: part of the difference is the storage's.",
            )
        )
    if moistures:
        found.append(
            (
                "moisture",
                "Firming goes inversely with the moisture of the crumb, so a loaf that "
                "loses more in baking or in storage firms sooner; moisture is not reckoned with here.",
            )
        )
    return found


def _working(kept: list[dough.Kept], limit: float | None, unit: str):
    def working(show: Working) -> None:
        for each in kept:
            name = each.loaf.name
            if each.posterior is None:
                scores = [score.score for score in each.loaf.scores]
                added = " + ".join(bracketed(show.format(score)) for score in scores)
                show.step(
                    f"{name}: mean score", f"({added}) ÷ {len(scores)}", sum(scores) / len(scores), unit=unit
                )
                continue
            curve = each.posterior.likeliest
            scale = each.posterior.sign * each.posterior.unit
            start, change = curve.start * scale, curve.change * scale
            last = each.loaf.scores[-1].days
            done = dough.progress(last, curve.time_constant_days, curve.exponent)
            tau = show.format(curve.time_constant_days)
            power, root = (
                ("", "")
                if curve.exponent == 1
                else (f"^{show.format(curve.exponent)}", f"^(1 ÷ {show.format(curve.exponent)})")
            )
            from_start, by = show.format(start), bracketed(show.format(change))
            show.step(
                f"{name}: likeliest curve after {show.format(last)} days",
                f"{from_start} + {by} × (1 − exp(−({show.format(last)} ÷ {tau}){power}))",
                start + change * done,
                unit=unit,
            )
            if limit is None or not change:
                continue
            share = (limit - start) / change
            if 0 < share < 1:
                days = curve.time_constant_days * (-log(1 - share)) ** (1 / curve.exponent)
                show.step(
                    f"{name}: that curve at the limit",
                    f"{tau} × (−ln(1 − ({show.format(limit)} − {bracketed(from_start)}) ÷ {by})){root}",
                    days,
                    unit="d",
                )
            if each.time.best is not None:
                show.step(
                    f"{name}: time to the limit",
                    "median over all the curves that the scores allow, each by its weight",
                    each.time.best,
                    unit="d",
                )

    return working


def _order(percent: float) -> str:
    return "clear" if percent >= CLEAR_PERCENT else "likely" if percent >= LIKELY_PERCENT else "open"


def _write_loaf(each: dough.Kept, context: Context) -> dict:
    posterior, time = each.posterior, each.time
    last = each.loaf.scores[-1].days
    fit, curve, residuals = None, [], []
    if posterior is not None and each.untold is None:
        fit = {
            "initial": context.estimate(posterior.combination(1.0, 0.0)),
            "final": context.estimate(posterior.combination(1.0, 1.0)),
            "time_constant_days": context.estimate(posterior.shape("time_constant_days")),
            "exponent": context.estimate(posterior.shape("exponent")),
            "spread": posterior.spread(),
        }
    if posterior is not None:
        first = 0.0 if _scored_early(each) else each.loaf.scores[0].days
        for index in range(_CURVE_POINTS + 1):
            days = first + (last - first) * index / _CURVE_POINTS
            level = posterior.level(days)
            curve.append({"days": days, "low": level.low, "best": level.best, "high": level.high})
        for score in each.loaf.scores:
            fitted = posterior.fitted(score.days)
            residuals.append(
                {"days": score.days, "score": score.score, "fitted": fitted, "residual": score.score - fitted}
            )
    return {
        "name": each.loaf.name,
        "different_days": each.days,
        "trend_percent": None if posterior is None else 100 * posterior.rising,
        "fit": fit,
        "time_to_limit": {
            "low": time.low,
            "best": time.best,
            "high": time.high,
            "evidence": dough.EVIDENCE,
            "reason": time.reason,
            "beyond_last_day": _beyond(each),
        },
        "curve": curve,
        "residuals": residuals,
    }


def run(request: dict, context: Context) -> dict:
    storage = _storage(request, context)
    limit = request.get("limit")
    unit = request.get("unit", "")
    kept = dough.keep(_read(request), request["direction"], limit)
    told = [each for each in kept if each.time.reached]
    order = dough.rank([each.time for each in told])
    longest = dough.probability_longest([each.time for each in told]) if told else []
    comparisons = []
    for place, index in enumerate(order):
        for other in order[place + 1 :]:
            percent = 100 * dough.probability_longer(told[index].time, told[other].time)
            comparisons.append(
                {
                    "longer": told[index].loaf.name,
                    "shorter": told[other].loaf.name,
                    "probability_percent": percent,
                    "order": _order(percent),
                }
            )
    moistures = any("moisture_percent" in loaf for loaf in request["loaves"])
    notes = _notes(kept, storage, moistures, context)
    if limit is None:
        notes.append(
            (
                dough.NO_LIMIT,
                "Without a limit of your own there is no time to compare: say where on "
                "the scale bread is no longer soft enough.",
            )
        )
    return context.reply(
        {
            "direction": request["direction"],
            "unit": unit,
            "limit": limit,
            "loaves": [_write_loaf(each, context) for each in kept],
            "ranking": [
                {"place": place + 1, "name": told[index].loaf.name, "longest_percent": 100 * longest[index]}
                for place, index in enumerate(order)
            ],
            "comparisons": comparisons,
        },
        _working(kept, limit, unit),
        basis=("from_memory", "assumption", "staling_temperature", *(("rogers_1988",) if moistures else ())),
        cautions=("no_shelf_life_claim", "refrigerator_stales", "rope_spoilage"),
        notes=notes,
    )


KEEPING = Operation(
    name="keeping",
    summary="How long loaves stay soft by your own limit, and which keeps longest",
    description="Fits firmness or softness scores by day, on any scale, and compares loaves by the time to "
    "your own limit, with an interval and with how sure the order is. No shelf life, and no "
    "credit for the refrigerator.",
    request=schema.KeepingRequest,
    run=run,
    examples=(
        Example(
            "three_shares",
            "Firmness at Lantern Quay: the tin loaf at 0, 20 and 30 % scalded share",
            {
                "direction": "rises",
                "unit": "N",
                "limit": 6,
                "storage_temperature": 21,
                "loaves": [
                    {
                        "name": "no scald",
                        "scores": [
                            {"days": 0, "score": 3.1},
                            {"days": 1, "score": 4.6},
                            {"days": 2, "score": 5.8},
                            {"days": 3, "score": 6.6},
                            {"days": 5, "score": 7.9},
                        ],
                    },
                    {
                        "name": "20 % scalded",
                        "scores": [
                            {"days": 0, "score": 2.6},
                            {"days": 1, "score": 3.5},
                            {"days": 2, "score": 4.3},
                            {"days": 3, "score": 5.1},
                            {"days": 5, "score": 6.0},
                        ],
                    },
                    {
                        "name": "30 % scalded",
                        "scores": [
                            {"days": 0, "score": 2.4},
                            {"days": 1, "score": 3.1},
                            {"days": 2, "score": 3.9},
                            {"days": 3, "score": 4.4},
                            {"days": 5, "score": 5.3},
                        ],
                    },
                ],
            },
        ),
        Example(
            "softness_by_mouth",
            "Softness from 1 to 10 by two tasters, two days, and a loaf scored once",
            {
                "direction": "falls",
                "unit": "points",
                "limit": 5,
                "loaves": [
                    {
                        "name": "roux",
                        "moisture_percent": 39.5,
                        "scores": [
                            {"days": 1, "score": 9},
                            {"days": 1, "score": 8.5},
                            {"days": 4, "score": 6},
                            {"days": 4, "score": 6.5},
                        ],
                    },
                    {
                        "name": "plain",
                        "moisture_percent": 37.8,
                        "scores": [
                            {"days": 1, "score": 8},
                            {"days": 1, "score": 8},
                            {"days": 4, "score": 4},
                            {"days": 4, "score": 3.5},
                        ],
                    },
                    {"name": "new flour", "scores": [{"days": 1, "score": 8.5}]},
                ],
            },
        ),
    ),
)
