"""What a plan is least sure of, read off the answers of its single calls."""

from collections.abc import Iterator, Mapping

from scaldloaf.dough import plan as dough
from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.heat_balance import BEST_HEATS
from scaldloaf.dough.hydration import assess
from scaldloaf.dough.plan import Doubt
from scaldloaf.dough.preparation import GELATINISED
from scaldloaf.operations.context import Context

LEAST_SAID_PERCENT = 0.05  # an end nearer to the plan than this is not worth a word

_TIGHTEN_DOUGH = {
    "prior": "Bake one loaf, measure its dough and its volume, and give it as the reference loaf.",
    "calibration": "Measure this bake too and add it to your trials.",
}
_TIGHTEN_DOUGH_BY_TRIALS = (
    "Measure this bake (dough, loaf volume, baked mass) and give it to trial-fit "
    "with the loaf you know: the calibration it returns takes the place of both."
)
_TIGHTEN_WATER_OF_TRIALS = "Among your trials, bake one share twice, with water 3 points apart."
_TIGHTEN_WATER = (
    "Bake this share twice, with water 3 points apart, and give both to trial-fit; or bring a "
    "table of your own as water_curve."
)
_TIGHTEN_BAKE_LOSS = "Weigh a loaf's dough, and the loaf when it has cooled: that is losses.bake_percent."
_TIGHTEN_SWEETNESS = (
    "Taste the loaf. If the miller tells your flour's damaged starch, give "
    "damaged_starch_percent: most of the width is maltose."
)
_TIGHTEN_RISE = "Go by the rise and not by the clock, and note the proof's minutes in your trials."
_TIGHTEN_WATER_TEMPERATURE = "Measure the dough after mixing, and correct temperature_rise by what it is off."
_TIGHTEN_CORE = "Measure the middle of the scald right after stirring; heat it again when it is too cool."
_PARTLY = (
    "The scald's starch may gelatinise in part only, and the dough then cannot hold the water planned for it."
)

_Found = tuple[str, str, Doubt, str, str]  # name, part, doubt, effect, tighten


def _estimate(wire: dict) -> Estimate:
    return Estimate(**wire)


def _in_celsius(wire: dict, context: Context) -> Estimate:
    ends = (context.units.from_wire(wire[end], "temperature") for end in ("low", "best", "high"))
    return Estimate(*ends, wire["evidence"])


def _band(doubt: Doubt, less: str = "less", more: str = "more") -> str:
    """The ends of what an estimate decides, in words: ``"9 % less to 11 % more"``."""
    ends = [
        f"{percent:.2g} % {word}"
        for percent, word in ((-doubt.least_percent, less), (doubt.most_percent, more))
        if percent >= LEAST_SAID_PERCENT
    ]
    if len(ends) == 2:
        return " to ".join(ends)
    return f"up to {ends[0]}" if ends else f"hardly {less} or {more}"


def _of_dough(filled: dict, bread_kind: str) -> _Found:
    doubt = dough.doubt_of_dough(_estimate(filled["dough_mass"]))
    return (
        "dough_mass",
        "pan_fill",
        doubt,
        f"Weighed to the best value, the loaf may have {_band(doubt)} volume than wanted.",
        _TIGHTEN_DOUGH.get(bread_kind, _TIGHTEN_DOUGH_BY_TRIALS),
    )


def _of_water(corrected: dict, by_trials: bool) -> _Found:
    optimum, used = _estimate(corrected["optimum_hydration_percent"]), corrected["hydration_percent"]
    doubt = dough.doubt_of_water(optimum, used)
    outcomes = dict.fromkeys(assess(used, end) for end in (optimum.high, optimum.best, optimum.low))
    volume = (
        "further off than its effect on volume is known"
        if doubt.width_percent is None
        else f"and the loaf may have {_band(doubt)} volume"
    )
    return (
        "optimum_hydration_percent",
        "hydration_correction",
        doubt,
        f"The right hydration may lie anywhere from {optimum.low:.3g} to {optimum.high:.3g} %: at "
        f"{used:.3g} % the dough is {' to '.join(outcomes).replace('_', '-')}, {volume}.",
        _TIGHTEN_WATER_OF_TRIALS if by_trials else _TIGHTEN_WATER,
    )


def _of_bake_loss(filled: dict) -> _Found:
    doubt = dough.doubt_of_bake_loss(_estimate(filled["bake_loss_percent"]))
    return (
        "bake_loss_percent",
        "pan_fill",
        doubt,
        f"From the same dough the baked loaf may weigh {_band(doubt)}.",
        _TIGHTEN_BAKE_LOSS,
    )


def _of_sweetness(fed: dict) -> _Found:
    doubt = dough.doubt_of_amount(_estimate(fed["sweetness_percent"]), dough.SWEETNESS)
    effect = (
        "The bread may taste of a little sugar or of none."
        if doubt.width_percent is None
        else f"The bread may taste {_band(doubt)} sweet."
    )
    return "sweetness_percent", "sugar_budget", doubt, effect, _TIGHTEN_SWEETNESS


def _of_rise(fed: dict) -> _Found:
    doubt = dough.doubt_of_amount(_estimate(fed["gas_volume"]), dough.RISE)
    effect = (
        "The yeast finds hardly any sugar; how far it raises the dough is unknown."
        if doubt.width_percent is None
        else f"In the same stages the yeast may make {_band(doubt)} gas: the dough is ready later or sooner."
    )
    return "gas_volume", "sugar_budget", doubt, effect, _TIGHTEN_RISE


def _of_water_temperature(tempered: dict, context: Context) -> _Found:
    water = tempered["water_mass"] * BEST_HEATS["water"]
    others = sum(part["mass"] * part["specific_heat"] for part in tempered["parts"])
    doubt = dough.doubt_of_water_temperature(
        _in_celsius(tempered["water_temperature"], context), water / (water + others)
    )
    return (
        "water_temperature",
        "dough_temperature",
        doubt,
        f"The dough may come out cooler or warmer, and rise {_band(doubt, 'slower', 'faster')}.",
        _TIGHTEN_WATER_TEMPERATURE,
    )


def _of_scald(prepared: dict, context: Context) -> _Found:
    doubt = Doubt(_in_celsius(prepared["core_temperature"], context), dough.SCALD)
    return "core_temperature", "scald_preparation", doubt, _PARTLY, _TIGHTEN_CORE


def _found(parts: Mapping[str, dict], bread_kind: str, by_trials: bool, context: Context) -> Iterator[_Found]:
    yield _of_dough(parts["pan_fill"], bread_kind)
    yield _of_water(parts["hydration_correction"], by_trials)
    yield _of_bake_loss(parts["pan_fill"])
    if (fed := parts.get("sugar_budget")) is not None:
        yield _of_sweetness(fed)
        if fed["gas_volume"]["high"]:
            yield _of_rise(fed)
    if (tempered := parts.get("dough_temperature")) is not None:
        yield _of_water_temperature(tempered, context)
    prepared = parts.get("scald_preparation")
    if prepared is not None and prepared["gelatinisation"]["at_low"] != GELATINISED:
        yield _of_scald(prepared, context)


def write_least_certain(
    parts: Mapping[str, dict], bread_kind: str, by_trials: bool, context: Context
) -> list[dict]:
    """The doubts of a plan on the wire, widest first.

    parts: answers of the single calls by field name. bread_kind: how the bread is known. by_trials:
    whether the water comes from a calibration.
    """
    found = {each[0]: each for each in _found(parts, bread_kind, by_trials, context)}
    written = []
    for name, doubt in dough.least_certain((name, each[2]) for name, each in found.items()):
        _, part, _, effect, tighten = found[name]
        width = None if name.endswith("_temperature") else dough.relative_width_percent(doubt.estimate)
        written.append(
            {
                "name": name,
                "part": part,
                "estimate": parts[part][name],
                "relative_width_percent": width,
                "decides": doubt.decides,
                "least_percent": doubt.least_percent,
                "most_percent": doubt.most_percent,
                "effect": effect,
                "tighten": tighten,
            }
        )
    return written
