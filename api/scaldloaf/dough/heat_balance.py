"""Water temperature by heat balance: each part weighed by its mass and specific heat.

Needed once a hot or chilled scald is a large part of the dough. With equal heat capacities it is the bench
rule with the temperature rise (``temperature``).
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from math import hypot
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate, weakest
from scaldloaf.dough.temperature import (
    FREEZING_DEGC,
    SPECIFIC_HEAT_ICE,
    SPECIFIC_HEAT_WATER,
    Movable,
    WaysOut,
    require_dough_temperature,
    require_reachable,
)
from scaldloaf.reference import Ingredient, coefficient

HEATS = {
    name: coefficient(f"specific_heat_{name}")
    for name in ("water", "flour", "fat", "sugar", "protein", "salt", "other_solids")
}
BEST_HEATS = {kind: row.value for kind, row in HEATS.items()}
MELTING_HEAT_KJ_PER_KG = coefficient("melting_heat_kj_per_kg").value
FREEZABLE_WATER_PERCENT = coefficient("freezable_water_percent").value

LEAST_WATER_G = 1e-3  # a guard rail of arithmetic: less water than this cannot warm a dough
_SUGARS = ("sucrose_percent", "glucose_percent", "fructose_percent", "maltose_percent", "lactose_percent")


# ---- What carries heat ---------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Matter:
    """What a part is made of, as far as heat goes.

    shares: g of each kind in HEATS. own_j_per_k: heat capacity that is known directly, J/K, as thawed.
    freezable_g: water that is ice below 0 °C.
    """

    shares: Mapping[str, float] = field(default_factory=dict)
    own_j_per_k: float = 0.0
    freezable_g: float = 0.0

    def heat_capacity_j_per_k(self, heats: Mapping[str, float]) -> float:
        """Sum of mass times specific heat: g x kJ/(kg K) is J/K."""
        return self.own_j_per_k + sum([mass * heats[kind] for kind, mass in self.shares.items()])

    def thawing_j(self, temperature_c: float) -> float:
        """Heat that it takes besides its heat capacity to come from that temperature to above 0 °C, J.

        Below 0 °C its ice must melt, 334 J per g; and ice takes less heat than water to warm. 0 from 0 °C.
        """
        colder = FREEZING_DEGC - temperature_c
        if colder <= 0:
            return 0.0
        return self.freezable_g * (
            MELTING_HEAT_KJ_PER_KG + (SPECIFIC_HEAT_ICE - SPECIFIC_HEAT_WATER) * colder
        )

    def plus(self, other: "Matter") -> "Matter":
        """Both together."""
        kinds = dict.fromkeys((*self.shares, *other.shares))
        return Matter(
            {kind: self.shares.get(kind, 0.0) + other.shares.get(kind, 0.0) for kind in kinds},
            self.own_j_per_k + other.own_j_per_k,
            self.freezable_g + other.freezable_g,
        )


class Part(NamedTuple):
    """Something that goes into the dough at a temperature of its own, °C."""

    name: str
    mass_g: float
    temperature_c: float
    matter: Matter

    @property
    def thawing_j(self) -> float:
        """Heat that thawing it takes, J; 0 for what is not frozen."""
        return self.matter.thawing_j(self.temperature_c)


class HeatBalance(NamedTuple):
    """The water a dough needs, by mass and specific heat.

    water: temperature of the adjusted liquid, °C; water_g its mass. target_c: the dough's, after
    mixing; rise_c: what the mixing adds.
    """

    water: Estimate
    water_g: float
    parts: tuple[Part, ...]
    water_matter: Matter
    target_c: float
    rise_c: float


def matter_of(ingredient: Ingredient, mass_g: float) -> Matter:
    """Heat-bearing kinds in a mass of an ingredient, g each.

    Flour counts as flour, at its own moisture; anything else by its composition, the rest as other
    solids. Its water freezes where it is more than freezable_water_percent of what is not fat.
    Source: mixing rule of specific heats (choi_okos_1986 for the solids).
    """
    if ingredient.is_flour:
        return Matter({"flour": mass_g})
    sugar = sum([getattr(ingredient, field) for field in _SUGARS])
    percents = {
        "water": ingredient.water_percent,
        "fat": ingredient.fat_percent,
        "sugar": sugar,
        "protein": ingredient.protein_percent,
        "salt": ingredient.salt_percent,
    }
    percents["other_solids"] = max(0.0, 100 - sum(percents.values()))
    shares = {kind: mass_g * percent / 100 for kind, percent in percents.items() if percent > 0}
    freezes = ingredient.water_percent > FREEZABLE_WATER_PERCENT / 100 * (100 - ingredient.fat_percent)
    return Matter(shares, freezable_g=shares.get("water", 0.0) if freezes else 0.0)


def specific_heat(part: Part) -> float:
    """Specific heat of a part, kJ/(kg K); 0 for a part without mass."""
    return part.matter.heat_capacity_j_per_k(BEST_HEATS) / part.mass_g if part.mass_g > 0 else 0.0


# ---- The balance ---------------------------------------------------------------------------------


def _water_c(
    before_mixing_c: float, thawing_j: float, parts: Sequence[Part], capacities: Sequence[float]
) -> float:
    """The water temperature, °C, of ``water_by_heat_balance``.

    thawing_j: what the ice of all parts takes, J. capacities: the heat capacity of each part, and last that
    of the water, J/K.
    """
    missing = thawing_j + sum(
        [
            capacity * (before_mixing_c - part.temperature_c)
            for part, capacity in zip(parts, capacities, strict=False)
        ]
    )
    return before_mixing_c + missing / capacities[-1]


def water_by_heat_balance(target_c: float, rise_c: float, parts: Sequence[Part], water: Matter) -> Estimate:
    """Water temperature that brings the mixed parts and the water to target - rise.

    sum m c T over the parts: water = T0 + sum (C (T0 - T) + thawing) / C_water, with T0 = target - rise and
    C = m c in J/K; thawing is the heat that the ice of a part below 0 °C takes. Leaves out the heat of
    wetting, and fat that melts (firm fat makes the dough colder). The band moves each specific heat over its
    range, one at a time, root sum of squares. Valid for parts of -40 to 100 °C and water with mass.

    Parameters
        target_c : float  [°C] of the dough after mixing
        rise_c : float  [°C, a difference] by mixer, bowl and room, from the baker's own measured dough
        parts : Sequence[Part]
        water : Matter  of the liquid to adjust
    Returns
        Estimate  [°C]
    Source
        heat balance (exact given the specific heats)
    """
    before_mixing, thawing_j = target_c - rise_c, sum(part.thawing_j for part in parts)
    matters = [*(part.matter for part in parts), water]
    usual = [matter.heat_capacity_j_per_k(BEST_HEATS) for matter in matters]
    best = _water_c(before_mixing, thawing_j, parts, usual)
    below = above = 0.0
    # In order of first use, so that the sum of squares is the same to the last bit in every process.
    used = dict.fromkeys(kind for matter in matters for kind in matter.shares)
    for kind in used:
        ends = []
        for heat in (HEATS[kind].low, HEATS[kind].high):
            heats = {**BEST_HEATS, kind: heat}
            moved = [
                matter.heat_capacity_j_per_k(heats) if kind in matter.shares else capacity
                for matter, capacity in zip(matters, usual, strict=True)
            ]
            ends.append(_water_c(before_mixing, thawing_j, parts, moved) - best)
        below, above = hypot(below, min(0.0, *ends)), hypot(above, max(0.0, *ends))
    evidence = weakest(*(HEATS[kind].evidence for kind in used)) if used else "exact"
    return Estimate(best - below, best, best + above, evidence)


def dough_by_heat_balance_c(
    water_c: float,
    rise_c: float,
    parts: Sequence[Part],
    water: Matter,
    heats: Mapping[str, float] = BEST_HEATS,
) -> float:
    """Temperature of the parts and water at ``water_c`` when mixed, plus the rise.

    sum m c T over sum m c: the inverse of the best value of ``water_by_heat_balance``, with its limits.

    Parameters
        water_c : float  [°C]
        rise_c : float  [°C, a difference]
        parts : Sequence[Part]
        water : Matter
        heats : Mapping  kind -> specific heat [kJ/(kg K)]
    Returns
        float  [°C]
    """
    capacity = water.heat_capacity_j_per_k(heats)
    heat, total = capacity * water_c, capacity
    for part in parts:
        own = part.matter.heat_capacity_j_per_k(heats)
        heat += own * part.temperature_c - part.thawing_j
        total += own
    return heat / total + rise_c


def balance(
    target_c: float,
    rise_c: float,
    parts: Sequence[Part],
    water: Matter,
    water_g: float,
    ice_c: float = FREEZING_DEGC,
    ways_out: Callable[[], WaysOut] = WaysOut,
) -> HeatBalance:
    """The heat balance of some parts and the liquid to adjust, refused where no water would do.

    Parameters
        target_c : float  [°C]
        rise_c : float  [°C, a difference]
        parts : Sequence[Part]
        water : Matter  with mass
        water_g : float  [g]
        ice_c : float  [°C]
        ways_out : Callable  looks for what else could change, for a refusal
    Returns
        HeatBalance  by ``water_by_heat_balance``
    Raises
        Refusal: at ``target``, for a frozen or dead dough, and as ``require_reachable``.
    """
    require_dough_temperature(target_c, "target")
    found = water_by_heat_balance(target_c, rise_c, parts, water)
    require_reachable(
        found.best,
        ice_c,
        "target",
        target_c,
        lambda water_c: dough_by_heat_balance_c(water_c, rise_c, parts, water),
        ways_out=ways_out,
    )
    return HeatBalance(found, water_g, tuple(parts), water, target_c, rise_c)


def movable_part(argument: str, value_c: float, of: Iterable[Matter], water: Matter) -> Movable:
    """A temperature of some matter that the water is to be balanced with.

    Parameters
        argument : str  the parameter it came by, for a refusal
        value_c : float  [°C]
        of : Iterable[Matter]  everything that has this temperature
        water : Matter  whose temperature is sought
    Returns
        Movable
    Source
        heat balance (exact, given the specific heats)
    """
    of, warms = list(of), water.heat_capacity_j_per_k(BEST_HEATS)
    heat = sum(matter.heat_capacity_j_per_k(BEST_HEATS) for matter in of)
    thawing = sum(matter.thawing_j(value_c) for matter in of)
    return Movable(argument, value_c, heat / warms, thawing / warms)
