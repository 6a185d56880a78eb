"""Water temperature for a wanted dough: the bench rules, the heat balance, and ice.

Three bench rules treat every temperature as equally heavy and differ in how they take the mixer's
heat; their frictions are not interchangeable, so each has a name of its own:

==================  =========================================================
friction total      water = n x target - sum of the others - friction_total
temperature rise    water = n x (target - rise) - sum of the others
base temperature    water = base - sum of the others
==================  =========================================================

n counts the temperatures, the water's among them. The heat balance weighs each part by its mass
and specific heat, as it must once a hot or chilled scald is a large part of the dough; with equal
heat capacities it is the rule with the temperature rise.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from math import hypot

from scaldloaf.dough.estimate import Estimate, weakest
from scaldloaf.dough.formula import SCALD, Formula, break_down
from scaldloaf.dough.refusal import Refusal, listed, quoted
from scaldloaf.reference import Ingredient, coefficient

ICE_HEAT_DEGC = coefficient("ice_heat_degc").value
HOT_NOTE_DEGC = coefficient("water_hot_note_degc").value
HOT_REFUSE_DEGC = coefficient("water_hot_refuse_degc").value
COLDEST_DOUGH_DEGC = coefficient("yeast_working_lowest_degc").value
HOTTEST_DOUGH_DEGC = coefficient("yeast_working_highest_degc").value
HEATS = {name: coefficient(f"specific_heat_{name}")
         for name in ("water", "flour", "fat", "sugar", "protein", "salt", "other_solids")}
ICE_TO_WATER_HEAT = coefficient("specific_heat_ice").value / HEATS["water"].value
FREEZING_DEGC, BOILING_DEGC = 0.0, 100.0        # of water at 1 atm

# Guard rails of the input, not facts of the craft: nothing colder or hotter goes into a dough.
COLDEST_PART_DEGC, HOTTEST_PART_DEGC = -40.0, 100.0
TOLERANCE_DEGC = 1e-6
LEAST_WATER_G = 1e-3
_SUGARS = ("sucrose_percent", "glucose_percent", "fructose_percent", "maltose_percent", "lactose_percent")


# ---- The bench rules ---------------------------------------------------------------------------

def water_by_friction_total_c(target_c: float, known_c: Sequence[float], friction_total_c: float) -> float:
    """Water temperature, degC: n x target - sum of the known - friction, n = known + the water.

    target_c, known_c in degC; friction_total_c a difference, subtracted once. Rule of the bench:
    exact arithmetic, but it weighs a cold egg like all the flour. Source: trade pages
    (dough_temperature_trade).
    """
    return (len(known_c) + 1) * target_c - sum(known_c) - friction_total_c


def water_by_temperature_rise_c(target_c: float, known_c: Sequence[float], rise_c: float) -> float:
    """Water temperature, degC: n x (target - rise) - sum of the known, n = known + the water.

    rise_c: degrees by which mixing warms the dough; n times the rise is the friction total. Same
    limits and sources as ``water_by_friction_total_c``.
    """
    return (len(known_c) + 1) * (target_c - rise_c) - sum(known_c)


def water_by_base_temperature_c(base_c: float, known_c: Sequence[float]) -> float:
    """Water temperature, degC: base - sum of the known.

    The base is what all temperatures, the water's too, shall add up to (degC, so many times the
    zero point as there are temperatures); target and mixer are both in it. Source: trade pages
    (dough_temperature_trade).
    """
    return base_c - sum(known_c)


def friction_total_c(dough_c: float, temperatures_c: Sequence[float]) -> float:
    """Friction total of a mixing that was measured: n x dough - sum of its n temperatures, water included.

    The inverse of ``water_by_friction_total_c``: degC in, a difference in degC out. Exact.
    """
    return len(temperatures_c) * dough_c - sum(temperatures_c)


def temperature_rise_c(dough_c: float, temperatures_c: Sequence[float]) -> float:
    """Rise of a mixing that was measured: dough - mean of its temperatures, water included. Exact."""
    return friction_total_c(dough_c, temperatures_c) / len(temperatures_c)


# ---- Ice ---------------------------------------------------------------------------------------

def ice_cooling_c(ice_c: float = FREEZING_DEGC, ice_heat_c: float = ICE_HEAT_DEGC) -> float:
    """Degrees by which ice, melting to water at 0 degC, could cool its own mass of water.

    Heat of melting over the specific heat of water, plus the warming of ice that is colder than
    0 degC. Valid for ice_c <= 0.
    """
    return ice_heat_c + ICE_TO_WATER_HEAT * (FREEZING_DEGC - ice_c)


def ice_fraction(tap_c: float, needed_c: float, ice_c: float = FREEZING_DEGC,
                 ice_heat_c: float = ICE_HEAT_DEGC) -> float:
    """Fraction of the water, by mass, to weigh as ice so that the two come to ``needed_c``.

    (tap - needed)/(tap + 79.8) in degC: the ice replaces water, gram for gram. Ice added on top of
    the water is another rule. With ``ice_heat_c=80`` it is (tap - needed)/(tap + 112) in degF,
    which the trade's table follows; the two constants differ by a quarter of a percent. 0
    when the tap is cold enough. ``needed_c`` below 0 stands for water that must still cool the
    dough after all its ice is gone; valid down to -ice_cooling_c, where all of it is ice. Exact
    heat balance; sources: mass_balance, ice_table_trade.
    """
    if tap_c <= needed_c + TOLERANCE_DEGC:
        return 0.0
    return (tap_c - needed_c) / (tap_c + ice_cooling_c(ice_c, ice_heat_c))


def temperature_after_ice_c(water_g: float, water_c: float, ice_g: float,
                            ice_c: float = FREEZING_DEGC) -> float:
    """Temperature, degC, of water and ice put together, all of the ice melted. Exact heat balance.

    A result below 0 means that not all of the ice melts by that water alone.
    """
    return (water_g * water_c - ice_g * ice_cooling_c(ice_c)) / (water_g + ice_g)


# ---- The heat balance --------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class Matter:
    """What a part is made of, as far as heat goes.

    shares: g of each kind in HEATS. own_j_per_k: heat capacity known by itself, J/K.
    """

    shares: Mapping[str, float] = field(default_factory=dict)
    own_j_per_k: float = 0.0

    def heat_capacity_j_per_k(self, heats: Mapping[str, float]) -> float:
        """Mass times specific heat, summed: g x kJ/(kg K) is J/K."""
        return self.own_j_per_k + sum(mass * heats[kind] for kind, mass in self.shares.items())

    def plus(self, other: "Matter") -> "Matter":
        kinds = dict.fromkeys((*self.shares, *other.shares))
        return Matter({kind: self.shares.get(kind, 0.0) + other.shares.get(kind, 0.0) for kind in kinds},
                      self.own_j_per_k + other.own_j_per_k)


@dataclass(frozen=True, slots=True)
class Part:
    """Something that goes into the dough at a temperature of its own."""

    name: str
    mass_g: float
    temperature_c: float
    matter: Matter


@dataclass(frozen=True, slots=True)
class HeatBalance:
    """The water a dough needs, by mass and specific heat.

    water: temperature of the adjusted liquid, degC; water_g its mass. target_c: the dough's, after
    mixing; rise_c: what the mixing adds.
    """

    water: Estimate
    water_g: float
    parts: tuple[Part, ...]
    water_matter: Matter
    target_c: float
    rise_c: float


BEST_HEATS = {kind: row.value for kind, row in HEATS.items()}


def matter_of(ingredient: Ingredient, mass_g: float) -> Matter:
    """Heat-bearing kinds in a mass of an ingredient, g each.

    Flour counts as flour, at its own moisture; anything else by its composition, what is not
    named as other solids. Source: mixing rule of specific heats (choi_okos_1986 for the solids).
    """
    if ingredient.is_flour:
        return Matter({"flour": mass_g})
    sugar = sum(getattr(ingredient, field) for field in _SUGARS)
    percents = {"water": ingredient.water_percent, "fat": ingredient.fat_percent, "sugar": sugar,
                "protein": ingredient.protein_percent, "salt": ingredient.salt_percent}
    percents["other_solids"] = max(0.0, 100 - sum(percents.values()))
    return Matter({kind: mass_g * percent / 100 for kind, percent in percents.items() if percent > 0})


def specific_heat(part: Part) -> float:
    """Specific heat of a part, kJ/(kg K); 0 for a part without mass."""
    return part.matter.heat_capacity_j_per_k(BEST_HEATS) / part.mass_g if part.mass_g > 0 else 0.0


def _water_c(target_c: float, rise_c: float, parts: Sequence[Part], water: Matter,
             heats: Mapping[str, float]) -> float:
    before_mixing = target_c - rise_c
    wanting = sum(part.matter.heat_capacity_j_per_k(heats) * (before_mixing - part.temperature_c)
                  for part in parts)
    return before_mixing + wanting / water.heat_capacity_j_per_k(heats)


def water_by_heat_balance(target_c: float, rise_c: float, parts: Sequence[Part], water: Matter) -> Estimate:
    """Water temperature, degC, that brings the mixed parts and the water to target - rise.

    sum m c T over the parts: water = T0 + sum C (T0 - T) / C_water, with T0 = target - rise and
    C = m c in J/K. Temperatures in degC, rise a difference: the mixer, the bowl and the room
    together, from the baker's own measured dough. Heat of wetting is left out; so is melting
    (parts below 0 degC or firm fat make the dough colder). The band swings each specific heat over
    its range, one at a time, root sum of squares. Valid for parts of 0-100 degC, water with mass.
    """
    best = _water_c(target_c, rise_c, parts, water, BEST_HEATS)
    below = above = 0.0
    used = {kind for matter in (*(part.matter for part in parts), water) for kind in matter.shares}
    for kind in used:
        ends = [_water_c(target_c, rise_c, parts, water, {**BEST_HEATS, kind: end}) - best
                for end in (HEATS[kind].low, HEATS[kind].high)]
        below, above = hypot(below, min(0.0, *ends)), hypot(above, max(0.0, *ends))
    evidence = weakest(*(HEATS[kind].evidence for kind in used)) if used else "exact"
    return Estimate(best - below, best, best + above, evidence)


def dough_by_heat_balance_c(water_c: float, rise_c: float, parts: Sequence[Part], water: Matter,
                            heats: Mapping[str, float] = BEST_HEATS) -> float:
    """Temperature, degC, of what water at ``water_c`` and the parts come to when mixed, plus the rise.

    sum m c T over sum m c: the inverse of ``water_by_heat_balance``'s best. Same limits.
    """
    capacity = water.heat_capacity_j_per_k(heats)
    heat, total = capacity * water_c, capacity
    for part in parts:
        own = part.matter.heat_capacity_j_per_k(heats)
        heat += own * part.temperature_c
        total += own
    return heat / total + rise_c


@dataclass(frozen=True, slots=True)
class Temperatures:
    """Temperatures of a formula's parts before mixing, degC.

    scald_c: the scald's, None when it has none. others_c: everything in the dough part but flour
    and the adjusted liquid. own: ingredient name -> its own temperature, before the others'.
    """

    flour_c: float
    scald_c: float | None = None
    others_c: float | None = None
    own: Mapping[str, float] = field(default_factory=dict)


def parts_of(formula: Formula, temperatures: Temperatures,
             adjust_with: Sequence[str] = ("water",)) -> tuple[tuple[Part, ...], Matter, float]:
    """A formula's parts at their temperatures; the matter and mass (g) of the adjusted liquid.

    The scald is one part, less what it lost in cooking; each ingredient of the dough is another.
    Raises Refusal: a scald without a temperature or the other way round, nothing to adjust with, a
    temperature for what is not there. Source: mass balance (exact).
    """
    dough = [line for line in formula.lines if line.part != SCALD and line.mass_g > 0]
    names = list(dict.fromkeys(line.ingredient.name for line in dough))
    liquids = [name for name in names
               if any(line.ingredient.name == name and line.ingredient.is_liquid for line in dough)]
    for index, name in enumerate(adjust_with):
        if name not in liquids:
            raise Refusal(f"rule.adjust_with.{index}", "nothing_to_adjust",
                          "the dough part has none of it to warm or cool"
                          + (f"; its liquids are {quoted(listed(liquids))}" if liquids else
                             ", nor any other liquid: the scald takes it all"),
                          given=name, nearest=liquids[0] if liquids else None)
    for index, name in enumerate(temperatures.own):
        if name not in names or name in adjust_with:
            others = [other for other in names if other not in adjust_with]
            raise Refusal(f"rule.ingredient_temperatures.{index}.ingredient", "not_in_dough_part",
                          "its temperature is what is being looked for" if name in adjust_with else
                          f"not in the dough part; there are {quoted(listed(others))}", given=name)
    parts = []
    scald = [line for line in formula.lines if line.part == SCALD and line.mass_g > 0]
    if scald:
        if temperatures.scald_c is None:
            raise Refusal("rule.scald_temperature", "scald_temperature_needed",
                          "the formula has a scald, and its temperature moves the dough's; measure it in the "
                          "middle")
        matter = Matter({"water": -formula.scald_evaporation_g} if formula.scald_evaporation_g else {})
        for line in scald:
            matter = matter.plus(matter_of(line.ingredient, line.mass_g))
        parts.append(Part("scald", sum(line.mass_g for line in scald) - formula.scald_evaporation_g,
                          temperatures.scald_c, matter))
    elif temperatures.scald_c is not None:
        raise Refusal("rule.scald_temperature", "no_scald", "the formula has no scald; leave this out",
                      given=temperatures.scald_c, quantity="temperature")
    adjusted, adjusted_g = Matter(), 0.0
    rest_c = temperatures.flour_c if temperatures.others_c is None else temperatures.others_c
    for line in dough:
        ingredient, matter = line.ingredient, matter_of(line.ingredient, line.mass_g)
        if ingredient.name in adjust_with:
            adjusted, adjusted_g = adjusted.plus(matter), adjusted_g + line.mass_g
            continue
        usual = temperatures.flour_c if ingredient.is_flour else rest_c
        parts.append(Part(ingredient.label, line.mass_g, temperatures.own.get(ingredient.name, usual),
                          matter))
    return tuple(parts), adjusted, adjusted_g


def balance(target_c: float, rise_c: float, parts: Sequence[Part], water: Matter, water_g: float,
            ice_c: float = FREEZING_DEGC, argument: str = "rule.target") -> HeatBalance:
    """The heat balance of some parts and the liquid to adjust, refused where no water would do.

    Temperatures in degC, masses in g; see ``water_by_heat_balance`` for the formula and
    ``require_reachable`` for the refusals. water must have mass.
    """
    require_dough_temperature(target_c, argument)
    found = water_by_heat_balance(target_c, rise_c, parts, water)
    require_reachable(found.best, ice_c, argument, target_c,
                      lambda water_c: dough_by_heat_balance_c(water_c, rise_c, parts, water))
    return HeatBalance(found, water_g, tuple(parts), water, target_c, rise_c)


def water_for_formula(formula: Formula, target_c: float, rise_c: float, temperatures: Temperatures,
                      adjust_with: Sequence[str] = ("water",), ice_c: float = FREEZING_DEGC) -> HeatBalance:
    """The temperature of a formula's water (or of ``adjust_with``) for a wanted dough temperature.

    As ``balance`` of ``parts_of``; also refuses a formula whose liquid is none.
    """
    for name, value in (("flour_temperature", temperatures.flour_c),
                        ("scald_temperature", temperatures.scald_c),
                        ("others_temperature", temperatures.others_c)):
        if value is not None:
            require_part_temperature(value, f"rule.{name}")
    for index, value in enumerate(temperatures.own.values()):
        require_part_temperature(value, f"rule.ingredient_temperatures.{index}.temperature")
    break_down(formula)         # refuses a formula without flour, or one that boils away
    parts, water, water_g = parts_of(formula, temperatures, adjust_with)
    if water_g < LEAST_WATER_G:
        raise Refusal("rule.adjust_with", "nothing_to_adjust",
                      "there is next to none of it in the dough part, {water}", nearest=None,
                      amounts={"water": (water_g, "mass")})
    return balance(target_c, rise_c, parts, water, water_g, ice_c)


# ---- What is refused, and what is said -----------------------------------------------------------

def require_part_temperature(value_c: float, argument: str) -> None:
    """Refuse a temperature that no part of a dough has, nor the place it is made or kept in."""
    if not COLDEST_PART_DEGC <= value_c <= HOTTEST_PART_DEGC:
        raise Refusal(argument, "temperature_out_of_range",
                      "a temperature here is between {least} and {most}, and this is {given}. "
                      "Is it the other temperature scale?",
                      given=value_c, nearest=min(max(value_c, COLDEST_PART_DEGC), HOTTEST_PART_DEGC),
                      quantity="temperature",
                      amounts={"given": (value_c, "temperature"), "least": (COLDEST_PART_DEGC, "temperature"),
                               "most": (HOTTEST_PART_DEGC, "temperature")})


def require_dough_temperature(value_c: float, argument: str) -> None:
    """Refuse a dough temperature at which dough freezes or its yeast dies."""
    if not COLDEST_DOUGH_DEGC <= value_c <= HOTTEST_DOUGH_DEGC:
        raise Refusal(argument, "dough_temperature_out_of_range",
                      "a dough at {given} is frozen, or its yeast is dead; from {least} to {most} is "
                      "understood. Is it the other temperature scale?",
                      given=value_c, nearest=min(max(value_c, COLDEST_DOUGH_DEGC), HOTTEST_DOUGH_DEGC),
                      quantity="temperature",
                      amounts={"given": (value_c, "temperature"),
                               "least": (COLDEST_DOUGH_DEGC, "temperature"),
                               "most": (HOTTEST_DOUGH_DEGC, "temperature")})


def require_ice_temperature(value_c: float, argument: str) -> None:
    """Refuse ice that would be water, or colder than any freezer of a bakery."""
    if not COLDEST_PART_DEGC <= value_c <= FREEZING_DEGC:
        raise Refusal(argument, "not_ice", "ice is between {least} and {most}", given=value_c,
                      nearest=min(max(value_c, COLDEST_PART_DEGC), FREEZING_DEGC), quantity="temperature",
                      amounts={"least": (COLDEST_PART_DEGC, "temperature"),
                               "most": (FREEZING_DEGC, "temperature")})


def require_tap_temperature(value_c: float, argument: str) -> None:
    """Refuse tap water that is ice or steam."""
    if not FREEZING_DEGC <= value_c <= BOILING_DEGC:
        raise Refusal(argument, "not_water", "water is between {least} and {most}", given=value_c,
                      nearest=min(max(value_c, FREEZING_DEGC), BOILING_DEGC), quantity="temperature",
                      amounts={"least": (FREEZING_DEGC, "temperature"),
                               "most": (BOILING_DEGC, "temperature")})


def require_reachable(water_c: float, ice_c: float, argument: str, given: float,
                      of_water: Callable[[float], float], quantity: str | None = "temperature") -> None:
    """Refuse what no water can do, with the nearest ``argument`` that some water can.

    ``of_water`` turns a water temperature, degC, into the argument's value (the rule, backwards).
    """
    coldest = -ice_cooling_c(ice_c)
    if water_c > HOT_REFUSE_DEGC + TOLERANCE_DEGC:
        limit, code = HOT_REFUSE_DEGC, "water_too_hot"
        why = ("this needs water of {needed}; above {limit} it would scald the dough flour and kill the "
               "yeast. Warm what is coldest (flour, scald, milk) instead; the warmest that works as things "
               "are is {nearest}")
    elif water_c < coldest - TOLERANCE_DEGC:
        limit, code = coldest, "colder_than_ice"
        why = ("this needs water of {needed}, colder than ice can make it even if all of it is ice (as good "
               "as {limit}). Chill the flour or the scald, or mix more gently; the coldest that works as "
               "things are is {nearest}")
    else:
        return
    nearest = of_water(limit)
    raise Refusal(argument, code, why, given=given, nearest=nearest, quantity=quantity,
                  amounts={"needed": (water_c, "temperature"), "limit": (limit, "temperature"),
                           "nearest": (nearest, quantity)})


def remarks(water_c: float, tap_c: float | None) -> list[tuple[str, str]]:
    """What is worth knowing about water of that temperature, as (code, text)."""
    found = []
    if water_c > HOT_NOTE_DEGC:
        found.append(("hot_water", "Water this hot harms yeast that meets it: mix it with the flour first "
                      "and add the yeast after, or warm the flour or the scald and use cooler water."))
    if water_c < FREEZING_DEGC and tap_c is None:
        found.append(("ice_needed", "No water is this cold: part of it must be ice. Give tap_temperature, "
                      "and the ice is reckoned."))
    return found
