"""Moisture of the crumb: by mass balance, and what bakers find of it."""

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import Breakdown, Formula
from scaldloaf.dough.limits import BAKE_LOSS_LIDDED_PERCENT, ROUNDING
from scaldloaf.dough.refusal import Refusal
from scaldloaf.reference import coefficient

CRUMB_MOISTURE_PER_HYDRATION_POINT = coefficient("crumb_moisture_per_hydration_point")


def dough_water_g(formula: Formula, flour_moisture_percent: float | None = None) -> float:
    """All water in a dough, g: every line's, the flour's included, less evaporation.

    flour_moisture_percent replaces the catalogue's figure for every flour. Source: mass balance from the
    ingredients' composition (exact, given the composition).
    """
    return (
        sum(
            line.mass_g
            / 100
            * (
                flour_moisture_percent
                if line.ingredient.is_flour and flour_moisture_percent is not None
                else line.ingredient.water_percent
            )
            for line in formula.lines
        )
        - formula.scald_evaporation_g
    )


def _moisture_percent(water_g: float, dough_mass_g: float, bake_loss_percent: float) -> float:
    """Moisture of the loaf, percent; below 0 where the oven would take more water than there is."""
    loss = bake_loss_percent / 100
    return 100 * (water_g - loss * dough_mass_g) / (dough_mass_g * (1 - loss))


def crumb_moisture_percent(water_g: float, dough_mass_g: float, bake_loss_percent: float) -> float:
    """Moisture of the whole loaf, percent, if all the oven takes is water.

    100 (water - L D) / (D (1 - L)), with the bake loss in percent of dough (0 to below 100) and the water
    counted with the flour's. Raises Refusal when the oven would take more water than there is. Source: mass
    balance (exact, given the loss).
    """
    moisture = _moisture_percent(water_g, dough_mass_g, bake_loss_percent)
    if moisture < -ROUNDING:
        most = 100 * water_g / dough_mass_g
        raise Refusal(
            "bake_loss_percent",
            "bake_loss_above_water",
            _LOSS_ABOVE_WATER,
            given=bake_loss_percent,
            nearest=most,
            amounts={"most": (most, None), "given": (bake_loss_percent, None)},
        )
    return max(moisture, 0.0)


_LOSS_ABOVE_WATER = "only {most} % of this dough is water, so it cannot lose {given} % of its mass"


def _loaf_moisture_percent(water_g: float, dough_mass_g: float, bake_loss_percent: float | None) -> float:
    """``crumb_moisture_percent``, with the usual loss where none is stated: then the formula is at fault."""
    if bake_loss_percent is not None:
        return crumb_moisture_percent(water_g, dough_mass_g, bake_loss_percent)
    usual = BAKE_LOSS_LIDDED_PERCENT.value
    if _moisture_percent(water_g, dough_mass_g, usual) < -ROUNDING:
        most = 100 * water_g / dough_mass_g
        amounts: dict[str, tuple[float, str | None]] = {"most": (most, None), "given": (usual, None)}
        raise Refusal("formula.lines", "bake_loss_above_water", _LOSS_ABOVE_WATER, amounts=amounts)
    return crumb_moisture_percent(water_g, dough_mass_g, usual)


def loaf_moistures(
    water_g: tuple[float, float], breakdowns: tuple[Breakdown, Breakdown], bake_loss_percent: float | None
) -> tuple[float, float]:
    """Moisture of the loaf before and after, percent. What is refused is refused for the drier dough."""
    doughs = [(water, each.dough_mass_g) for water, each in zip(water_g, breakdowns, strict=True)]
    _loaf_moisture_percent(*min(doughs, key=lambda dough: dough[0] / dough[1]), bake_loss_percent)
    before, after = (_loaf_moisture_percent(*dough, bake_loss_percent) for dough in doughs)
    return before, after


def crumb_moisture_change(hydration_points: float, balance_points: float) -> Estimate:
    """Points of crumb moisture that a change of hydration brings.

    hydration_points: change of hydration at the base flour's moisture. balance_points: change of
    crumb_moisture_percent at the same bake loss, which is the far end. In practice about 1 point of crumb
    for 6 of hydration, since more water in means more water lost (best; common practice).
    """
    row = CRUMB_MOISTURE_PER_HYDRATION_POINT
    best = hydration_points * row.value
    ends = (hydration_points * row.low, best, balance_points)
    return Estimate(min(ends), best, max(ends), row.evidence)
