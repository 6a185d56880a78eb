"""dough-temperature: how warm the water must be, and how much of it ice."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple, cast

from scaldloaf.dough import heat_balance
from scaldloaf.dough import temperature as dough
from scaldloaf.dough.heat_balance import HeatBalance
from scaldloaf.dough.heat_of_formula import Temperatures
from scaldloaf.dough.notes import Amount
from scaldloaf.dough.refusal import Kept, Refusal
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.dough_rules import (
    BASE,
    Balance,
    FoundByRule,
    Rule,
    SimpleRule,
    find,
)
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.located import Place, located
from scaldloaf.operations.notes import AnyNote
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import dough_temperature as schema
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.dough_rules import ask_rule, read_rule
from scaldloaf.operations.wire.requests import ask_units, without_defaults
from scaldloaf.operations.working.dough_temperature import (
    DIFFERENCE,
    degrees,
    rule_notes,
    show_rule,
    water_notes,
)
from scaldloaf.units import Units

# Where the temperatures of a formula's parts are in a heat balance's rule.
TEMPERATURES_AT = {
    "flour": "flour_temperature",
    "scald": "scald_temperature",
    "others": "others_temperature",
    "own": "ingredient_temperatures",
}


class Ice(NamedTuple):
    """What there is to cool with, °C; tap_c None: the ice is not asked for.

    given: whether ice_c was given and is not that of melting ice. heat_c: what melting ice takes, in kelvins
    of water, by the ice rule of the request's scale.
    """

    tap_c: float | None
    ice_c: float
    given: bool
    heat_c: float


class Asked(NamedTuple):
    """A rule, what there is to cool with, and the dough's water (None: not given)."""

    rule: Rule
    ice: Ice
    water_g: float | None = None


class Found(NamedTuple):
    """What the rule finds; the water's mass, and the fraction of it to weigh as ice, where they are known."""

    asked: Asked
    by_rule: FoundByRule
    water_g: float | None
    ice_fraction: float | None


def places(asked: Asked, context: Context) -> Mapping[str, str | Place]:
    """Where what ``compute`` refuses is in the request."""
    found: dict[str, str | Place] = {
        f"rule.temperatures.{name}": f"rule.{field}" for name, field in TEMPERATURES_AT.items()
    }
    if isinstance(asked.rule, Balance):
        own = f"rule.{TEMPERATURES_AT['own']}"
        found["rule.temperatures.own"] = own_at(own, asked.rule.at.temperatures, context)
    if isinstance(asked.rule, SimpleRule) and asked.rule.kind == BASE:
        found["rule.base"] = _base_at(asked.rule, context)
    return found


def own_at(address: str, at: Temperatures, context: Context) -> Place:
    """Where the temperatures of single ingredients are in a request, written out where some are kept."""

    def restated(refusal: Refusal) -> Refusal:
        if not isinstance(refusal.nearest, Kept):
            return refusal
        kept = [
            {"ingredient": name, "temperature": context.units.to_wire(at.own[name], "temperature")}
            for name in refusal.nearest.names
        ]
        return replace(refusal, nearest=kept, quantity=None)

    return Place(address, restated)


def _base_at(rule: SimpleRule, context: Context) -> Place:
    """The base of a rule: a sum of n temperatures, so the zero of their scale counts n times."""
    terms = rule.terms

    def restated(refusal: Refusal) -> Refusal:
        value, _ = cast("Amount", refusal.amounts["nearest"])
        nearest = terms * context.units.to_wire(value / terms, "temperature")
        amounts = {**refusal.amounts, "nearest": (nearest, None)}
        return replace(refusal, given=rule.by, nearest=nearest, amounts=amounts)

    return Place("rule.base", restated)


# ---- Reading -------------------------------------------------------------------------------------


def read(request: Wire, context: Context) -> Asked:
    ice = read_ice(request, context)
    with located("rule"):
        rule = read_rule(schema.DoughTemperatureRule.filled(request["rule"]), context)
    return Asked(rule, ice, context.from_wire(request.get("water_mass"), "mass"))


def read_ice(wire: Wire, context: Context) -> Ice:
    """Tap and ice of a request, or of an object with the same fields."""
    from_wire = context.units.from_wire
    ice_c, tap_c, given = dough.FREEZING_DEGC, None, "ice_temperature" in wire
    if given:
        ice_c = from_wire(wire["ice_temperature"], "temperature")
        dough.require_ice_temperature(ice_c, "ice_temperature")
    if "tap_temperature" in wire:
        tap_c = from_wire(wire["tap_temperature"], "temperature")
        dough.require_tap_temperature(tap_c, "tap_temperature")
    return Ice(tap_c, ice_c, given, ice_heat_of_rule_c(context.units))


def ice_heat_of_rule_c(units: Units) -> float:
    """What melting ice takes, in kelvins of water, by the ice rule of the scale asked in.

    Each scale has its own rule, so that the answer can be redone by hand in it; the one in degF
    rounds a little higher (80.0 for 79.8).
    """
    if units.temperature == "degC":
        return dough.ICE_HEAT_DEGC
    heat = dough.ICE_HEAT_DEGF_CONSTANT + units.to_wire(0.0, "temperature")
    return units.from_wire(heat, DIFFERENCE)


# ---- Asking --------------------------------------------------------------------------------------


def ask(asked: Asked, context: Context) -> Wire:
    """The request that ``read`` reads as ``asked``."""
    ice = asked.ice
    return ask_units(context) | without_defaults(
        schema.DoughTemperatureRequest,
        rule=ask_rule(asked.rule, context),
        water_mass=context.to_wire(asked.water_g, "mass"),
        tap_temperature=context.to_wire(ice.tap_c, "temperature"),
        ice_temperature=context.to_wire(ice.ice_c, "temperature") if ice.given else None,
    )


# ---- Computing -----------------------------------------------------------------------------------


def compute(asked: Asked) -> Found:
    ice, found = asked.ice, find(asked.rule, asked.ice.ice_c)
    water_g = asked.water_g
    if found.balance is not None:
        if water_g is not None:
            raise _water_twice(water_g, found.balance.water_g)
        water_g = found.balance.water_g
    fraction = None
    if ice.tap_c is not None and found.iced:
        fraction = dough.ice_fraction(ice.tap_c, found.water.best, ice.ice_c, ice.heat_c)
    return Found(asked, found, water_g, fraction)


def _water_twice(given_g: float, water_g: float) -> Refusal:
    return Refusal(
        "water_mass",
        "water_mass_twice",
        "the heat balance takes its water from the rule ({water}); leave this out",
        given=given_g,
        nearest=water_g,
        quantity="mass",
        amounts={"water": (water_g, "mass")},
    )


# ---- Writing -------------------------------------------------------------------------------------


def write(found: Found, context: Context) -> Wire:
    rule, by_rule, balance = found.asked.rule, found.by_rule, found.by_rule.balance
    codes = [*cautions.OF_MIXING]
    if isinstance(rule, Balance):
        codes += cautions.of_formula(rule.formula)
    return context.reply(
        {
            "water_temperature": context.estimate(by_rule.water, "temperature"),
            "dough_temperature": context.to_wire(by_rule.dough_c, "temperature"),
            "friction": {
                "friction_total": context.to_wire(by_rule.friction_total_c, DIFFERENCE),
                "temperature_rise": context.to_wire(by_rule.rise_c, DIFFERENCE),
                "number_of_temperatures": by_rule.terms,
            },
            "water_mass": context.to_wire(found.water_g, "mass"),
            "ice": _write_ice(found, context),
            "parts": [] if balance is None else [_write_part(part, context) for part in balance.parts],
        },
        lambda show: _show(show, found),
        basis=_basis(balance, found.ice_fraction),
        cautions=codes,
        notes=_notes(found),
    )


def _write_ice(found: Found, context: Context) -> Wire | None:
    fraction, water_g = found.ice_fraction, found.water_g
    if fraction is None:
        return None
    return {
        "percent": 100 * fraction,
        "mass": None if water_g is None else context.units.to_wire(fraction * water_g, "mass"),
        "tap_water": None if water_g is None else context.units.to_wire((1 - fraction) * water_g, "mass"),
    }


def _write_part(part: heat_balance.Part, context: Context) -> Wire:
    return {
        "name": part.name,
        "mass": context.units.to_wire(part.mass_g, "mass"),
        "temperature": context.units.to_wire(part.temperature_c, "temperature"),
        "specific_heat": heat_balance.specific_heat(part),
    }


def _basis(balance: HeatBalance | None, ice_fraction: float | None) -> Sequence[str]:
    basis = ["dough_temperature_trade"] if balance is None else ["mass_balance", *_heat_sources(balance)]
    return [*basis, "ice_table_trade"] if ice_fraction else basis


def _heat_sources(found: HeatBalance) -> list[str]:
    matters = (*(part.matter for part in found.parts), found.water_matter)
    kinds = {kind for matter in matters for kind in matter.shares}
    return [source for kind, row in heat_balance.HEATS.items() if kind in kinds for source in row.sources]


def _notes(found: Found) -> Iterator[AnyNote]:
    rule = found.asked.rule
    yield from rule_notes(rule, found.by_rule)
    yield from water_notes(rule, found.by_rule, found.asked.ice.tap_c, found.ice_fraction)


def _show(show: Working, found: Found) -> None:
    show_rule(show, found.asked.rule, found.by_rule)
    if found.ice_fraction is not None:
        _show_ice(show, found, found.asked.ice, found.ice_fraction)


def _show_ice(show: Working, found: Found, ice: Ice, fraction: float) -> None:
    tap_c, needed_c, water_g = cast("float", ice.tap_c), found.by_rule.water.best, found.water_g
    if not fraction:
        show.step(
            "Ice",
            f"0, as {show.format(tap_c, 'temperature')} from the tap is not above "
            f"{show.format(needed_c, 'temperature')}",
            0.0,
            unit="% of the water",
        )
        return
    tap, need, icy, freezing = degrees(show, tap_c, needed_c, ice.ice_c, dough.FREEZING_DEGC)
    out = show.units.to_wire
    constant = out(ice.heat_c, DIFFERENCE) - out(dough.FREEZING_DEGC, "temperature")
    heats = f"{show.format(dough.SPECIFIC_HEAT_ICE)} ÷ {show.format(dough.SPECIFIC_HEAT_WATER)}"
    colder = "" if ice.ice_c == dough.FREEZING_DEGC else f" + {heats} × ({freezing} − {icy})"
    show.step(
        "Ice",
        f"100 × ({tap} − {need}) ÷ ({tap} + {show.format(constant)}{colder})",
        100 * fraction,
        unit="% of the water",
    )
    if water_g is not None:
        show.step(
            "Ice to weigh",
            f"{show.format(100 * fraction)} ÷ 100 × {show.format(water_g, 'mass')}",
            fraction * water_g,
            "mass",
        )


DOUGH_TEMPERATURE = Operation(
    name="dough-temperature",
    summary="Calculate water temperature and ice",
    description="By simple rules, with either convention for the mixer's friction, or by a heat "
    "balance of all parts, including a hot or chilled scald. Also finds the friction from "
    "a measured mix.",
    request=schema.DoughTemperatureRequest,
    read=read,
    compute=compute,
    write=write,
    places=places,
    examples=(
        Example(
            "warm_scald",
            "The Lantern Quay tin loaf, its scald still warm and its milk from the cold",
            {
                "rule": {
                    "kind": "heat_balance",
                    "target": 27,
                    "formula": TIN_LOAF,
                    "flour_temperature": 20,
                    "scald_temperature": 40,
                    "temperature_rise": 3,
                    "ingredient_temperatures": [{"ingredient": "whole_milk", "temperature": 5}],
                },
                "tap_temperature": 14,
            },
        ),
        Example(
            "summer",
            "A hot day in °F, by the rule with one friction: ice in part of the water",
            {
                "units": {"temperature": "degF", "mass": "lb"},
                "rule": {
                    "kind": "simple_friction_total",
                    "target": 77,
                    "friction_total": 30,
                    "known": [{"name": "flour", "temperature": 82}, {"name": "room", "temperature": 88}],
                },
                "tap_temperature": 70,
                "water_mass": 6,
            },
        ),
        Example(
            "temperature_rise",
            "The rule with the mixer's rise, four temperatures",
            {
                "rule": {
                    "kind": "simple_temperature_rise",
                    "target": 26,
                    "temperature_rise": 3,
                    "known": [
                        {"name": "flour", "temperature": 21},
                        {"name": "room", "temperature": 22},
                        {"name": "scald", "temperature": 18},
                    ],
                }
            },
        ),
        Example(
            "own_friction",
            "What the Lantern Quay mixer adds, from one measured dough",
            {
                "rule": {
                    "kind": "friction_from_measured",
                    "dough_temperature": 27.5,
                    "water_temperature": 18,
                    "known": [{"name": "flour", "temperature": 21}, {"name": "room", "temperature": 22}],
                }
            },
        ),
        Example(
            "chilled_scald_by_parts",
            "A heat balance from parts, the scald with a specific heat of its own",
            {
                "rule": {
                    "kind": "heat_balance_parts",
                    "target": 26,
                    "temperature_rise": 3,
                    "water_mass": 300,
                    "parts": [
                        {"name": "bread_flour", "mass": 800, "temperature": 22},
                        {"name": "scald", "mass": 400, "temperature": 8, "specific_heat": 2.99},
                        {"name": "sucrose", "mass": 60, "temperature": 22},
                    ],
                },
                "tap_temperature": 14,
            },
        ),
    ),
)
