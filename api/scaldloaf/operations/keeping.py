"""keeping: softness by day, fitted, compared and ranked by the baker's own limit."""

from collections.abc import Iterator
from typing import NamedTuple

from scaldloaf.dough import keeping as dough
from scaldloaf.dough.estimate import Estimate, weakest
from scaldloaf.dough.temperature import require_part_temperature
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.notes import Note
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas.keeping import MEASURED, KeepingRequest
from scaldloaf.operations.steps import Working
from scaldloaf.operations.working.keeping import (
    beyond_last_day,
    loaf_notes,
    moisture_note,
    no_limit_note,
    scored_early,
    show_equal_volume,
    show_kept,
    storage_notes,
    volume_notes,
)

# How the probability of an order is put in words; not a fact of the craft.
CLEAR_PERCENT, LIKELY_PERCENT = 95.0, 80.0
_CURVE_POINTS = 24


class Asked(NamedTuple):
    """Loaves with their scores, and the limit in the scores' own unit (None: none).

    storage_c: where each loaf was kept, °C; None: not known. moistures: whether one was given. measured: the
    scores are a firmness measured as a force. specific_volumes: of each loaf, cm³/g; None: not known.
    """

    loaves: list[dough.Loaf]
    storage_c: list[float | None]
    moistures: bool
    direction: str
    limit: float | None
    unit: str
    measured: bool = False
    specific_volumes: tuple[float | None, ...] = ()


class Pair(NamedTuple):
    """Which of two loaves keeps longer, and how sure that is."""

    longer: str
    shorter: str
    probability_percent: float


class Ranked(NamedTuple):
    """Loaves that come to the limit, in order, by name, each with the probability that it keeps longest, in
    percent; and all pairs of these."""

    order: list[tuple[str, float]]
    pairs: list[Pair]


class Found(NamedTuple):
    """What the scores tell of each loaf, as they are and at equal volume, and how they rank."""

    asked: Asked
    kept: list[dough.Kept]
    ranked: Ranked
    at_equal_volume: list[dough.AtEqualVolume]
    ranked_at_equal_volume: Ranked


def read(request: Wire, context: Context) -> Asked:
    request = KeepingRequest.filled(request)
    loaves = request["loaves"]
    return Asked(
        loaves=[_read_loaf(loaf) for loaf in loaves],
        storage_c=_read_storage(request, context),
        moistures=any("moisture_percent" in loaf for loaf in loaves),
        direction=request["direction"],
        limit=request.get("limit"),
        unit=request["unit"],
        measured=request["scores_are"] == MEASURED,
        specific_volumes=tuple(loaf.get("specific_volume") for loaf in loaves),
    )


def _read_loaf(wire: Wire) -> dough.Loaf:
    scores = tuple(dough.Score(score["days"], score["score"]) for score in wire["scores"])
    return dough.Loaf(wire["name"], scores)


def _read_storage(request: Wire, context: Context) -> list[float | None]:
    """Storage temperature of each loaf, °C, None where none was given."""

    def read(wire: Wire, argument: str) -> float | None:
        value = context.from_wire(wire.get("storage_temperature"), "temperature")
        if value is not None:
            require_part_temperature(value, argument)
        return value

    common = read(request, "storage_temperature")
    own = [read(loaf, f"loaves.{index}.storage_temperature") for index, loaf in enumerate(request["loaves"])]
    return [common if each is None else each for each in own]


def compute(asked: Asked) -> Found:
    if asked.measured:
        dough.check_measured(asked.direction)
    kept = dough.keep(asked.loaves, asked.direction, asked.limit)
    equal = dough.at_equal_volume(kept, asked.specific_volumes, asked.limit) if asked.measured else []
    as_they_are = _rank([(each.loaf.name, each.time) for each in kept])
    return Found(asked, kept, as_they_are, equal, _rank([(each.kept.loaf.name, each.time) for each in equal]))


def _rank(loaves: list[tuple[str, dough.TimeToLimit]]) -> Ranked:
    """The loaves whose time to the limit is known, in order."""
    names = [name for name, time in loaves if time.reached]
    times = [time for _, time in loaves if time.reached]
    order = dough.rank(times)
    longest = dough.probability_longest(times) if times else []
    pairs = [
        Pair(names[index], names[other], 100 * dough.probability_longer(times[index], times[other]))
        for place, index in enumerate(order)
        for other in order[place + 1 :]
    ]
    return Ranked([(names[index], 100 * longest[index]) for index in order], pairs)


def write(found: Found, context: Context) -> Wire:
    asked, equal = found.asked, found.at_equal_volume
    answer = {
        "direction": asked.direction,
        "unit": asked.unit,
        "limit": asked.limit,
        "loaves": [_write_loaf(each, context) for each in found.kept],
        **_write_ranked(found.ranked),
    }
    if equal:
        answer["at_equal_volume"] = {
            "specific_volume": equal[0].specific_volume,
            "loaves": [_write_at_equal_volume(each, context) for each in equal],
            **_write_ranked(found.ranked_at_equal_volume),
        }
    return context.reply(
        answer,
        lambda show: _show(show, found),
        basis=(
            "from_memory",
            "assumption",
            "staling_temperature",
            "cornford_1964",
            *(("rogers_1988",) if asked.moistures else ()),
            *(dough.FIRMNESS_VOLUME_EXPONENT.sources if equal else ()),
        ),
        cautions=cautions.OF_KEEPING,
        notes=_notes(found, context),
    )


def _notes(found: Found, context: Context) -> Iterator[Note]:
    for each in found.kept:
        yield from loaf_notes(each)
    yield from storage_notes(found.asked.storage_c, context.units)
    if found.asked.moistures:
        yield moisture_note()
    yield from volume_notes(found.asked.measured, found.asked.specific_volumes, found.at_equal_volume)
    if found.asked.limit is None:
        yield no_limit_note()


def _write_ranked(ranked: Ranked) -> Wire:
    return {
        "ranking": [
            {"place": place, "name": name, "longest_percent": percent}
            for place, (name, percent) in enumerate(ranked.order, 1)
        ],
        "comparisons": [
            {
                "longer": pair.longer,
                "shorter": pair.shorter,
                "probability_percent": pair.probability_percent,
                "order": _order(pair.probability_percent),
            }
            for pair in ranked.pairs
        ],
    }


def _write_at_equal_volume(equal: dough.AtEqualVolume, context: Context) -> Wire:
    posterior = equal.kept.posterior

    def firmness(change: float) -> Wire | None:
        if posterior is None or equal.kept.no_curve is not None:
            return None
        known, factor = posterior.combination(1.0, change), equal.factor
        ends = [end * by for end in (known.low, known.high) for by in (factor.low, factor.high)]
        return context.estimate(
            Estimate(min(ends), known.best * factor.best, max(ends), weakest(known.evidence, factor.evidence))
        )

    return {
        "name": equal.kept.loaf.name,
        "specific_volume": equal.specific_volume,
        "factor": context.estimate(equal.factor),
        "initial": firmness(0.0),
        "final": firmness(1.0),
        "time_to_limit": _write_time(equal.kept, equal.time),
    }


def _write_time(kept: dough.Kept, time: dough.TimeToLimit) -> Wire:
    return {
        "low": time.low,
        "best": time.best,
        "high": time.high,
        "evidence": dough.KEEPING_EVIDENCE,
        "reason": time.reason,
        "beyond_last_day": beyond_last_day(kept.loaf, time),
    }


def _order(percent: float) -> str:
    return "clear" if percent >= CLEAR_PERCENT else "likely" if percent >= LIKELY_PERCENT else "open"


def _write_loaf(kept: dough.Kept, context: Context) -> Wire:
    posterior = kept.posterior
    return {
        "name": kept.loaf.name,
        "different_days": kept.days,
        "trend_percent": None if posterior is None else 100 * posterior.rising,
        "fit": None if posterior is None or kept.no_curve is not None else _write_fit(posterior, context),
        "time_to_limit": _write_time(kept, kept.time),
        "curve": [] if posterior is None else _write_curve(kept, posterior),
        "residuals": []
        if posterior is None
        else [_write_residual(score, posterior) for score in kept.loaf.scores],
    }


def _write_fit(posterior: dough.Posterior, context: Context) -> Wire:
    return {
        "initial": context.estimate(posterior.combination(1.0, 0.0)),
        "final": context.estimate(posterior.combination(1.0, 1.0)),
        "time_constant_days": context.estimate(posterior.shape("time_constant_days")),
        "exponent": context.estimate(posterior.shape("exponent")),
        "spread": posterior.spread(),
    }


def _write_curve(kept: dough.Kept, posterior: dough.Posterior) -> list[Wire]:
    """Even steps from the first day that the scores tell of to the last."""
    first, last = 0.0 if scored_early(kept) else kept.loaf.scores[0].days, kept.loaf.scores[-1].days
    points = []
    for index in range(_CURVE_POINTS + 1):
        days = first + (last - first) * index / _CURVE_POINTS
        level = posterior.level(days)
        points.append({"days": days, "low": level.low, "best": level.best, "high": level.high})
    return points


def _write_residual(score: dough.Score, posterior: dough.Posterior) -> Wire:
    fitted = posterior.fitted(score.days)
    return {"days": score.days, "score": score.score, "fitted": fitted, "residual": score.score - fitted}


def _show(show: Working, found: Found) -> None:
    for each in found.kept:
        show_kept(show, each, found.asked.limit, found.asked.unit)
    for equal in found.at_equal_volume[1:]:
        show_equal_volume(show, equal, found.at_equal_volume[0].specific_volume, found.asked.limit)


KEEPING = Operation(
    name="keeping",
    summary="Compare how long loaves stay soft",
    description="Fits firmness or softness scores by day, on any scale, and compares loaves by the "
    "time to your own limit, with an interval and the probability of the order. This is "
    "not shelf life, and the refrigerator does not make bread keep longer.",
    request=KeepingRequest,
    read=read,
    compute=compute,
    write=write,
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
            "equal_volume",
            "Firmness of a dense loaf and a light one, as they are and at equal volume",
            {
                "direction": "rises",
                "scores_are": "measured",
                "unit": "N",
                "limit": 6,
                "storage_temperature": 21,
                "loaves": [
                    {
                        "name": "no scald",
                        "specific_volume": 4.3,
                        "scores": [
                            {"days": 0, "score": 3.1},
                            {"days": 1, "score": 4.6},
                            {"days": 2, "score": 5.8},
                            {"days": 4, "score": 7.3},
                        ],
                    },
                    {
                        "name": "30 % scalded",
                        "specific_volume": 3.9,
                        "scores": [
                            {"days": 0, "score": 3.2},
                            {"days": 1, "score": 4.4},
                            {"days": 2, "score": 5.4},
                            {"days": 4, "score": 6.9},
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
