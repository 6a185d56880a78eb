"""The heat balance of a formula: its parts at their temperatures, and what could change if no water does."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from scaldloaf.dough.formula import SCALD, Formula, Line, break_down
from scaldloaf.dough.heat_balance import (
    LEAST_WATER_G,
    HeatBalance,
    Matter,
    Part,
    balance,
    matter_of,
    movable_part,
    water_by_heat_balance,
)
from scaldloaf.dough.refusal import Kept, Refusal, Way, listed
from scaldloaf.dough.temperature import (
    FREEZING_DEGC,
    WATER_HOT_REFUSE_DEGC,
    MoreLiquids,
    Movable,
    WaysOut,
    require_part_temperature,
)
from scaldloaf.reference import Ingredient


@dataclass(frozen=True, slots=True)
class Temperatures:
    """Temperatures of a formula's parts before mixing, °C.

    scald_c: the scald's, None when the formula has none. others_c: everything in the dough part but flour
    and the adjusted liquid. own: ingredient name -> its own temperature, which counts before the others'.
    """

    flour_c: float
    scald_c: float | None = None
    others_c: float | None = None
    own: Mapping[str, float] = field(default_factory=dict)

    def of(self, ingredient: Ingredient) -> float:
        """The temperature of an ingredient of the dough part."""
        others = self.flour_c if self.others_c is None else self.others_c
        return self.own.get(ingredient.name, self.flour_c if ingredient.is_flour else others)


WATER_ONLY = ("water",)


def parts_of(
    formula: Formula, temperatures: Temperatures, adjust_with: Sequence[str] = WATER_ONLY
) -> tuple[tuple[Part, ...], Matter, float]:
    """A formula's parts at their temperatures; the matter and mass (g) of the adjusted liquid.

    The scald is one part, less what it lost in cooking; each ingredient of the dough is another. Raises
    Refusal for a scald without a temperature or the other way round, for no liquid to adjust with, and
    for a temperature of what is not there. Source: mass balance (exact).
    """
    dough = [line for line in formula.lines if line.part != SCALD and line.mass_g > 0]
    _check_adjusting(dough, adjust_with)
    _check_own_temperatures(dough, temperatures, adjust_with)
    parts = _scald_parts(formula, temperatures.scald_c)
    adjusted, adjusted_g = Matter(), 0.0
    for line in dough:
        ingredient, matter = line.ingredient, matter_of(line.ingredient, line.mass_g)
        if ingredient.name in adjust_with:
            adjusted, adjusted_g = adjusted.plus(matter), adjusted_g + line.mass_g
        else:
            parts.append(Part(ingredient.label, line.mass_g, temperatures.of(ingredient), matter))
    return tuple(parts), adjusted, adjusted_g


def _scald_parts(formula: Formula, scald_c: float | None) -> list[Part]:
    """The scald as a part, in a list; an empty list for a formula without one."""
    scald = [line for line in formula.lines if line.part == SCALD and line.mass_g > 0]
    if not scald:
        if scald_c is not None:
            raise Refusal(
                "temperatures.scald",
                "no_scald",
                "the formula has no scald; leave this out",
                given=scald_c,
                quantity="temperature",
            )
        return []
    if scald_c is None:
        raise Refusal(
            "temperatures.scald",
            "scald_temperature_needed",
            "the formula has a scald, and its temperature moves the dough's; measure it in the middle",
        )
    lost = formula.scald_evaporation_g
    matter = Matter({"water": -lost} if lost else {}, freezable_g=-lost)
    for line in scald:
        matter = matter.plus(matter_of(line.ingredient, line.mass_g))
    return [Part("scald", sum(line.mass_g for line in scald) - lost, scald_c, matter)]


def _check_adjusting(dough: Sequence[Line], adjust_with: Sequence[str]) -> None:
    """Refuse to adjust with what is no liquid of the dough part."""
    liquids = list(dict.fromkeys(line.ingredient.name for line in dough if line.ingredient.is_liquid))
    for index, name in enumerate(adjust_with):
        if name not in liquids:
            there = (
                "; its liquids are {liquids}" if liquids else ", nor any other liquid: the scald takes it all"
            )
            raise Refusal(
                f"adjust_with.{index}",
                "nothing_to_adjust",
                "the dough part has none of it to warm or cool" + there,
                given=name,
                nearest=liquids[0] if liquids else None,
                amounts={"liquids": listed(liquids)} if liquids else {},
            )


def _check_own_temperatures(
    dough: Sequence[Line], temperatures: Temperatures, adjust_with: Sequence[str]
) -> None:
    """Refuse a temperature of what is not in the dough part, or of the liquid to adjust."""
    names = list(dict.fromkeys(line.ingredient.name for line in dough))
    for index, name in enumerate(temperatures.own):
        if name not in names or name in adjust_with:
            others = [other for other in names if other not in adjust_with]
            raise Refusal(
                f"temperatures.own.{index}.ingredient",
                "not_in_dough_part",
                "its temperature is the one to be calculated"
                if name in adjust_with
                else "not in the dough part; there are {others}",
                given=name,
                amounts={} if name in adjust_with else {"others": listed(others)},
            )


def water_for_formula(
    formula: Formula,
    target_c: float,
    rise_c: float,
    temperatures: Temperatures,
    adjust_with: Sequence[str] = WATER_ONLY,
    ice_c: float = FREEZING_DEGC,
) -> HeatBalance:
    """The temperature of a formula's water, or of ``adjust_with``, for a target dough temperature.

    Parameters
        formula : Formula
        target_c : float  [°C]
        rise_c : float  [°C, a difference]
        temperatures : Temperatures  [°C]
        adjust_with : Sequence[str]  names of the liquids to warm or cool
        ice_c : float  [°C]
    Returns
        HeatBalance  as ``balance`` of ``parts_of``
    Raises
        Refusal: as those two and ``break_down``; for a temperature no part has; for next to no liquid.
    """
    for name, value in (
        ("flour", temperatures.flour_c),
        ("scald", temperatures.scald_c),
        ("others", temperatures.others_c),
    ):
        if value is not None:
            require_part_temperature(value, f"temperatures.{name}")
    for index, value in enumerate(temperatures.own.values()):
        require_part_temperature(value, f"temperatures.own.{index}.temperature")
    break_down(formula)  # refuses a formula without flour, or one that evaporates more than its scald has
    parts, water, water_g = parts_of(formula, temperatures, adjust_with)
    if water_g < LEAST_WATER_G:
        raise Refusal(
            "adjust_with",
            "nothing_to_adjust",
            "there is next to none of it in the dough part, {water}",
            nearest=None,
            amounts={"water": (water_g, "mass")},
        )

    def ways_out() -> WaysOut:
        return WaysOut(
            _movable_of(formula, temperatures, adjust_with, water),
            _with_more_liquids(formula, target_c, rise_c, temperatures, adjust_with),
        )

    return balance(target_c, rise_c, parts, water, water_g, ice_c, ways_out)


def _with_more_liquids(
    formula: Formula, target_c: float, rise_c: float, temperatures: Temperatures, adjust_with: Sequence[str]
) -> MoreLiquids | None:
    """The dough's other liquids, where it is enough to warm them too; None where it is not.

    Parameters
        formula : Formula
        target_c : float  [°C]
        rise_c : float  [°C, a difference]
        temperatures : Temperatures  [°C]
        adjust_with : Sequence[str]  names of the liquids that are not enough
    Returns
        MoreLiquids or None
    """
    liquids = [
        line.ingredient.name
        for line in formula.lines
        if line.part != SCALD and line.mass_g > 0 and line.ingredient.is_liquid
    ]
    together = tuple(dict.fromkeys((*adjust_with, *liquids)))
    if len(together) == len(adjust_with):
        return None
    kept = {name: value for name, value in temperatures.own.items() if name not in together}
    parts, water, _ = parts_of(formula, replace(temperatures, own=kept), together)
    needed = water_by_heat_balance(target_c, rise_c, parts, water).best
    if needed > WATER_HOT_REFUSE_DEGC:
        return None
    change: dict[str, object] = {"adjust_with": list(together)}
    if len(kept) < len(temperatures.own):
        change["temperatures.own"] = Kept(tuple(kept))
    return MoreLiquids(together[len(adjust_with) :], needed, Way("target", change))


def _movable_of(
    formula: Formula, temperatures: Temperatures, adjust_with: Sequence[str], water: Matter
) -> list[Movable]:
    """The temperatures of a formula that could be others: flour's, scald's, and those of what is frozen."""
    flour_c, scald_c, others_c = temperatures.flour_c, temperatures.scald_c, temperatures.others_c
    at_flours, at_others, at_own = _by_temperature(formula, temperatures, adjust_with)
    movable = [movable_part("temperatures.flour", flour_c, at_flours, water)]
    if scald_c is not None:
        scald = [part.matter for part in _scald_parts(formula, scald_c)]
        movable.append(movable_part("temperatures.scald", scald_c, scald, water))
    if others_c is not None and others_c < FREEZING_DEGC:
        movable.append(movable_part("temperatures.others", others_c, at_others, water))
    for index, (name, value) in enumerate(temperatures.own.items()):
        if value < FREEZING_DEGC:
            movable.append(
                movable_part(f"temperatures.own.{index}.temperature", value, at_own.get(name, []), water)
            )
    return movable


def _by_temperature(
    formula: Formula, temperatures: Temperatures, adjust_with: Sequence[str]
) -> tuple[list[Matter], list[Matter], dict[str, list[Matter]]]:
    """What of the dough part is as warm as the flour, as the others, and as each name of its own."""
    flours: list[Matter] = []
    others: list[Matter] = []
    own: dict[str, list[Matter]] = {}
    for line in formula.lines:
        ingredient = line.ingredient
        if line.part == SCALD or ingredient.name in adjust_with:
            continue
        matter = matter_of(ingredient, line.mass_g)
        if ingredient.name in temperatures.own:
            own.setdefault(ingredient.name, []).append(matter)
        elif ingredient.is_flour or temperatures.others_c is None:
            flours.append(matter)
        else:
            others.append(matter)
    return flours, others, own
