"""The rules of dough-temperature as records, and what each one finds."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from scaldloaf.dough import heat_balance
from scaldloaf.dough import temperature as dough
from scaldloaf.dough.estimate import Estimate, exactly
from scaldloaf.dough.formula import Formula
from scaldloaf.dough.heat_balance import HeatBalance, Matter, Part, Temperatures
from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations.located import located
from scaldloaf.reference import INGREDIENTS


class Known(NamedTuple):
    """A temperature that is known, and of what."""

    name: str
    temperature_c: float


class FrictionTotal(NamedTuple):
    """A target by the friction that is subtracted once."""

    target_c: float
    known: tuple[Known, ...]
    friction_total_c: float


class TemperatureRise(NamedTuple):
    """A target by how much mixing warms the dough."""

    target_c: float
    known: tuple[Known, ...]
    rise_c: float


class BaseTemperature(NamedTuple):
    """A base that all temperatures add up to; given: as the request has it, in its own scale."""

    base_c: float
    known: tuple[Known, ...]
    given: float


class Measured(NamedTuple):
    """A mixing that was measured, to find the friction of."""

    dough_c: float
    known: tuple[Known, ...]
    water_c: float


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
    """A part of the dough; specific_heat, kJ/(kg K), None: the catalogue's ingredient of that name."""

    name: str
    mass_g: float
    temperature_c: float
    specific_heat: float | None

    def part(self) -> Part:
        """The part with what it is made of."""
        if self.specific_heat is not None:
            matter = Matter(own_j_per_k=self.mass_g * self.specific_heat)
        else:
            matter = heat_balance.matter_of(INGREDIENTS[self.name], self.mass_g)
        return Part(self.name, self.mass_g, self.temperature_c, matter)


class BalanceOfParts(NamedTuple):
    """A heat balance of parts that are weighed one by one."""

    target_c: float
    rise_c: float
    parts: tuple[AskedPart, ...]
    water_g: float


Rule = FrictionTotal | TemperatureRise | BaseTemperature | Measured | Balance | BalanceOfParts


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
        case FrictionTotal():
            return _by_friction_total(rule, ice_c)
        case TemperatureRise():
            return _by_temperature_rise(rule, ice_c)
        case BaseTemperature():
            return _by_base_temperature(rule, ice_c)
        case Measured():
            return _measured(rule)
        case Balance():
            with located("rule"):
                at = rule.at
                balance = heat_balance.water_for_formula(
                    rule.formula, at.target_c, at.rise_c, at.temperatures, at.adjust_with, ice_c
                )
            return _balanced(balance, at.adjust_with == heat_balance.WATER_ONLY)
        case BalanceOfParts():
            water = Matter({"water": rule.water_g})
            parts = [part.part() for part in rule.parts]
            with located("rule"):
                movable = (
                    heat_balance.movable_part(
                        f"parts.{index}.temperature", part.temperature_c, [part.matter], water
                    )
                    for index, part in enumerate(parts)
                )
                balance = heat_balance.balance(
                    rule.target_c, rule.rise_c, parts, water, rule.water_g, ice_c, movable
                )
            return _balanced(balance, True)


def _balanced(found: HeatBalance, iced: bool) -> FoundByRule:
    return FoundByRule(found.water, found.target_c, rise_c=found.rise_c, balance=found, iced=iced)


def _temperatures(known: tuple[Known, ...]) -> tuple[list[float], float, int]:
    """The known temperatures, their sum, and how many there are with the water's."""
    temperatures = [each.temperature_c for each in known]
    return temperatures, sum(temperatures), len(temperatures) + 1


def _by_friction_total(rule: FrictionTotal, ice_c: float) -> FoundByRule:
    known, total, terms = _temperatures(rule.known)
    target, friction = rule.target_c, rule.friction_total_c
    dough.require_dough_temperature(target, "rule.target")
    water = dough.water_by_friction_total_c(target, known, friction)
    dough.require_reachable(
        water,
        ice_c,
        "rule.target",
        target,
        lambda water_c: (water_c + total + friction) / terms,
        movable=_movable(known),
    )
    return FoundByRule(exactly(water), target, friction, friction / terms, terms)


def _by_temperature_rise(rule: TemperatureRise, ice_c: float) -> FoundByRule:
    known, total, terms = _temperatures(rule.known)
    target, rise = rule.target_c, rule.rise_c
    dough.require_dough_temperature(target, "rule.target")
    water = dough.water_by_temperature_rise_c(target, known, rise)
    dough.require_reachable(
        water,
        ice_c,
        "rule.target",
        target,
        lambda water_c: (water_c + total) / terms + rise,
        movable=_movable(known),
    )
    return FoundByRule(exactly(water), target, terms * rise, rise, terms)


def _by_base_temperature(rule: BaseTemperature, ice_c: float) -> FoundByRule:
    known, total, terms = _temperatures(rule.known)
    water = dough.water_by_base_temperature_c(rule.base_c, known)
    dough.require_reachable(
        water,
        ice_c,
        "rule.base",
        rule.base_c,
        lambda water_c: water_c + total,
        quantity=None,
        movable=_movable(known),
    )
    return FoundByRule(exactly(water), terms=terms)


def _movable(known_c: Sequence[float]) -> Iterator[dough.Movable]:
    """The temperatures of a simple rule: all weigh alike in it."""
    return (dough.Movable(f"rule.known.{index}.temperature", each) for index, each in enumerate(known_c))


def _measured(rule: Measured) -> FoundByRule:
    dough.require_dough_temperature(rule.dough_c, "rule.dough_temperature")
    dough.require_part_temperature(rule.water_c, "rule.water_temperature")
    every = [*_temperatures(rule.known)[0], rule.water_c]
    friction = dough.friction_total_c(rule.dough_c, every)
    rise = dough.temperature_rise_c(rule.dough_c, every)
    return FoundByRule(exactly(rule.water_c), rule.dough_c, friction, rise, len(every), iced=False)


def require_no_water(name: str, argument: str) -> None:
    """Refuse the water among the known temperatures."""
    if name.strip().lower() == "water":
        raise Refusal(
            argument,
            "water_is_not_known",
            "the water's temperature is what is being looked for; leave it out of the known ones",
            given=name,
        )
