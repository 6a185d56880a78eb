"""The rules of dough-temperature as records, and what each one finds."""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from scaldloaf.dough import heat_balance, heat_of_formula
from scaldloaf.dough import temperature as dough
from scaldloaf.dough.estimate import Estimate, exactly
from scaldloaf.dough.formula import Formula
from scaldloaf.dough.heat_balance import HeatBalance, Matter, Part
from scaldloaf.dough.heat_of_formula import Temperatures
from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations.located import located
from scaldloaf.reference import INGREDIENTS

FRICTION_TOTAL, TEMPERATURE_RISE = "simple_friction_total", "simple_temperature_rise"
BASE, MEASURED = "base_temperature", "friction_from_measured"


class Known(NamedTuple):
    """A temperature that is known, and of what."""

    name: str
    temperature_c: float


class SimpleRule(NamedTuple):
    """A rule in which all temperatures weigh alike.

    kind: one of the four above. goal_c: the target, the base that all temperatures add up to, or the dough
    that was measured. by: the friction that is subtracted once, how much mixing warms the dough, or the water
    of the dough that was measured, °C; of a base, the number in the request's own scale.
    """

    kind: str
    known: tuple[Known, ...]
    goal_c: float
    by: float

    @property
    def known_c(self) -> list[float]:
        """The known temperatures."""
        return [each.temperature_c for each in self.known]

    @property
    def terms(self) -> int:
        """How many temperatures there are, the water's with them."""
        return len(self.known) + 1


class BalanceTemperatures(NamedTuple):
    """What a heat balance needs besides the formula. rise_c: a difference."""

    target_c: float
    rise_c: float
    temperatures: Temperatures
    adjust_with: tuple[str, ...]


class Balance(NamedTuple):
    """A heat balance of a formula; by_percent: it came in percent only."""

    formula: Formula
    by_percent: bool
    at: BalanceTemperatures


class AskedPart(NamedTuple):
    """A part of the dough; specific_heat, kJ/(kg K), None: the catalogue's ingredient of that name.

    water_percent: of its mass, freezing below 0 °C; None: the catalogue's, or not known.
    """

    name: str
    mass_g: float
    temperature_c: float
    specific_heat: float | None
    water_percent: float | None = None

    @property
    def ice_unknown(self) -> bool:
        """Whether it is frozen, and how much of it is ice is not known."""
        frozen = self.temperature_c < dough.FREEZING_DEGC
        return frozen and self.specific_heat is not None and self.water_percent is None

    def part(self) -> Part:
        """The part with what it is made of."""
        if self.specific_heat is not None:
            matter = Matter(own_j_per_k=self.mass_g * self.specific_heat)
        else:
            matter = heat_balance.matter_of(INGREDIENTS[self.name], self.mass_g)
        if self.water_percent is not None:
            matter = replace(matter, freezable_g=self.mass_g * self.water_percent / 100)
        return Part(self.name, self.mass_g, self.temperature_c, matter)


class BalanceOfParts(NamedTuple):
    """A heat balance of parts that are weighed one by one."""

    target_c: float
    rise_c: float
    parts: tuple[AskedPart, ...]
    water_g: float


Rule = SimpleRule | Balance | BalanceOfParts


class FoundByRule(NamedTuple):
    """What a rule finds: the water, the friction in both ways of counting, or the balance.

    iced: whether ice may be part of the liquid.
    """

    water: Estimate
    dough_c: float | None = None
    friction_total_c: float | None = None
    rise_c: float | None = None
    terms: int | None = None
    balance: HeatBalance | None = None
    iced: bool = True


def find(rule: Rule, ice_c: float) -> FoundByRule:
    """What a rule finds. Raises Refusal, at a field of ``rule``, for what no water can do."""
    match rule:
        case SimpleRule(kind):
            return _measured(rule) if kind == MEASURED else _by_simple_rule(rule, ice_c)
        case Balance():
            with located("rule"):
                at = rule.at
                balance = heat_of_formula.water_for_formula(
                    rule.formula, at.target_c, at.rise_c, at.temperatures, at.adjust_with, ice_c
                )
            return _balanced(balance, at.adjust_with == heat_of_formula.WATER_ONLY)
        case BalanceOfParts():
            water = Matter({"water": rule.water_g})
            parts = [part.part() for part in rule.parts]
            with located("rule"):
                balance = heat_balance.balance(
                    rule.target_c,
                    rule.rise_c,
                    parts,
                    water,
                    rule.water_g,
                    ice_c,
                    partial(_ways_out_of_parts, parts, water),
                )
            return _balanced(balance, True)


def _balanced(found: HeatBalance, iced: bool) -> FoundByRule:
    return FoundByRule(found.water, found.target_c, rise_c=found.rise_c, balance=found, iced=iced)


def _by_simple_rule(rule: SimpleRule, ice_c: float) -> FoundByRule:
    kind, known_c, terms, goal, by = rule.kind, rule.known_c, rule.terms, rule.goal_c, rule.by
    ways_out = partial(_ways_out, known_c)
    total = sum(known_c)
    if kind == BASE:
        water = dough.water_by_base_temperature_c(goal, known_c)
        dough.require_reachable(
            water, ice_c, "rule.base", goal, lambda water_c: water_c + total, None, ways_out
        )
        return FoundByRule(exactly(water), terms=terms)
    dough.require_dough_temperature(goal, "rule.target")
    if kind == FRICTION_TOTAL:
        water, friction, rise = dough.water_by_friction_total_c(goal, known_c, by), by, by / terms
    else:
        water, friction, rise = dough.water_by_temperature_rise_c(goal, known_c, by), terms * by, by
    dough.require_reachable(
        water,
        ice_c,
        "rule.target",
        goal,
        lambda water_c: (water_c + total) / terms + rise,
        ways_out=ways_out,
    )
    return FoundByRule(exactly(water), goal, friction, rise, terms)


def _ways_out_of_parts(parts: Sequence[Part], water: Matter) -> dough.WaysOut:
    """The temperatures of parts that are weighed one by one."""
    return dough.WaysOut(
        [
            heat_balance.movable_part(f"parts.{index}.temperature", part.temperature_c, [part.matter], water)
            for index, part in enumerate(parts)
        ]
    )


def _ways_out(known_c: Sequence[float]) -> dough.WaysOut:
    """The temperatures of a simple rule: all weigh alike in it."""
    return dough.WaysOut(
        [dough.Movable(f"rule.known.{index}.temperature", each) for index, each in enumerate(known_c)]
    )


def _measured(rule: SimpleRule) -> FoundByRule:
    dough.require_dough_temperature(rule.goal_c, "rule.dough_temperature")
    dough.require_part_temperature(rule.by, "rule.water_temperature")
    every = [*rule.known_c, rule.by]
    friction = dough.friction_total_c(rule.goal_c, every)
    rise = dough.temperature_rise_c(rule.goal_c, every)
    return FoundByRule(exactly(rule.by), rule.goal_c, friction, rise, rule.terms, iced=False)


def require_no_water(name: str, argument: str) -> None:
    """Refuse the water among the known temperatures."""
    if name.strip().lower() == "water":
        raise Refusal(
            argument,
            "water_is_not_known",
            "the water's temperature is what is being looked for; leave it out of the known ones",
            given=name,
        )
