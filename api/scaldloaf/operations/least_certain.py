"""What a plan is least sure of, read off what its single calls found."""

from collections.abc import Iterator
from typing import NamedTuple, cast

from scaldloaf.dough import plan as dough
from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.heat_balance import BEST_HEATS, HeatBalance, specific_heat
from scaldloaf.dough.hydration import Correction
from scaldloaf.dough.plan import Doubt
from scaldloaf.dough.preparation import GELATINISED, Heated
from scaldloaf.dough.sugar import SugarBudget
from scaldloaf.dough.water_judged import assess
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.filled_pan import FilledPan
from scaldloaf.operations.wire.bread import Prior

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
    "Taste the loaf. If your miller states the flour's damaged starch, give "
    "damaged_starch_percent: most of the width is maltose."
)
_TIGHTEN_RISE = "Go by the rise and not by the clock, and note the proof's minutes in your trials."
_TIGHTEN_WATER_TEMPERATURE = "Measure the dough after mixing, and correct temperature_rise by what it is off."
_TIGHTEN_CORE = "Measure the middle of the scald right after stirring; heat it again when it is too cool."


class Uncertain(NamedTuple):
    """An estimate of a part, the doubt it leaves about the loaf, and what would narrow it.

    quantity: what the estimate measures.
    """

    name: str
    part: str
    quantity: str | None
    doubt: Doubt
    effect: str
    tighten: str


def _band(doubt: Doubt, less: str = "less", more: str = "more") -> str:
    """The ends of what an estimate decides, in words: ``"9 % less to 11 % more"``."""
    least, most = cast("float", doubt.least_percent), cast("float", doubt.most_percent)
    ends = [
        f"{percent:.2g} % {word}"
        for percent, word in ((-least, less), (most, more))
        if percent >= LEAST_SAID_PERCENT
    ]
    if len(ends) == 2:
        return " to ".join(ends)
    return f"up to {ends[0]}" if ends else f"hardly {less} or {more}"


def of_dough(pan: FilledPan) -> Uncertain:
    """The dough for a pan."""
    doubt = dough.doubt_of_dough(pan.filled.dough_mass_g)
    kind = {Prior: "prior", Calibration: "calibration"}.get(type(pan.known), "known")
    return Uncertain(
        "dough_mass",
        "pan_fill",
        "mass",
        doubt,
        f"Weighed to the best value, the loaf may have {_band(doubt)} volume than planned.",
        _TIGHTEN_DOUGH.get(kind, _TIGHTEN_DOUGH_BY_TRIALS),
    )


def of_water(correction: Correction, by_trials: bool) -> Uncertain:
    """The optimum water; by_trials: it comes from a calibration."""
    optimum, used = correction.optimum, correction.hydration_percent
    doubt = dough.doubt_of_water(optimum, used)
    outcomes = dict.fromkeys(assess(used, end) for end in (optimum.high, optimum.best, optimum.low))
    volume = (
        "further off than its effect on volume is known"
        if doubt.width_percent is None
        else f"and the loaf may have {_band(doubt)} volume"
    )
    return Uncertain(
        "optimum_hydration_percent",
        "hydration_correction",
        None,
        doubt,
        f"The right hydration may lie anywhere from {optimum.low:.3g} to {optimum.high:.3g} %: at "
        f"{used:.3g} % the dough is {' to '.join(outcomes).replace('_', '-')}, {volume}.",
        _TIGHTEN_WATER_OF_TRIALS if by_trials else _TIGHTEN_WATER,
    )


def of_bake_loss(bake_loss_percent: Estimate) -> Uncertain:
    """The bake loss."""
    doubt = dough.doubt_of_bake_loss(bake_loss_percent)
    effect = f"From the same dough the baked loaf may weigh {_band(doubt)}."
    return Uncertain("bake_loss_percent", "pan_fill", None, doubt, effect, _TIGHTEN_BAKE_LOSS)


def of_budget(budget: SugarBudget) -> Iterator[Uncertain]:
    """Sweetness, and the gas where there is any."""
    doubt = dough.doubt_of_amount(budget.sweetness_percent, dough.SWEETNESS)
    effect = (
        "The bread may taste of a little sugar or of none."
        if doubt.width_percent is None
        else f"The bread may taste {_band(doubt)} sweet."
    )
    yield Uncertain("sweetness_percent", "sugar_budget", None, doubt, effect, _TIGHTEN_SWEETNESS)
    if not budget.gas_cm3.high:
        return
    doubt = dough.doubt_of_amount(budget.gas_cm3, dough.RISE)
    effect = (
        "The yeast finds hardly any sugar; how far it raises the dough is unknown."
        if doubt.width_percent is None
        else f"In the same stages the yeast may make {_band(doubt)} gas: the dough is ready later or sooner."
    )
    yield Uncertain("gas_volume", "sugar_budget", "volume", doubt, effect, _TIGHTEN_RISE)


def of_water_temperature(balance: HeatBalance) -> Uncertain:
    """The temperature of the water."""
    water = balance.water_g * BEST_HEATS["water"]
    others = sum(part.mass_g * specific_heat(part) for part in balance.parts)
    doubt = dough.doubt_of_water_temperature(balance.water, water / (water + others), balance.target_c)
    effect = (
        "A dough this warm is too hot for yeast: it makes hardly any gas."
        if doubt.width_percent is None
        else f"The dough may come out cooler or warmer, and rise {_band(doubt, 'slower', 'faster')}."
    )
    return Uncertain(
        "water_temperature",
        "dough_temperature",
        "temperature",
        doubt,
        effect,
        _TIGHTEN_WATER_TEMPERATURE,
    )


def of_scald(heated: Heated) -> Iterator[Uncertain]:
    """The middle of the scald, where some of its starch may not swell."""
    if heated.at_low != GELATINISED:
        doubt, swollen = Doubt(heated.core, dough.SCALD), heated.swollen
        effect = (
            f"From {swollen.low:.2g} to {swollen.high:.2g} % of the scald's starch may swell; the less of it "
            "does, the less water the dough can hold."
        )
        yield Uncertain("core_temperature", "scald_preparation", "temperature", doubt, effect, _TIGHTEN_CORE)


def write_least_certain(found: list[Uncertain], context: Context) -> list[Wire]:
    """The doubts of a plan on the wire, widest first."""
    by_name = {each.name: each for each in found}
    ranked = dough.least_certain((name, each.doubt) for name, each in by_name.items())
    return [_write(by_name[name], context) for name, _ in ranked]


def _write(each: Uncertain, context: Context) -> Wire:
    doubt = each.doubt
    width = None if each.quantity == "temperature" else dough.relative_width_percent(doubt.estimate)
    return {
        "name": each.name,
        "part": each.part,
        "estimate": context.estimate(doubt.estimate, each.quantity),
        "relative_width_percent": width,
        "decides": doubt.decides,
        "least_percent": doubt.least_percent,
        "most_percent": doubt.most_percent,
        "effect": each.effect,
        "tighten": each.tighten,
    }
