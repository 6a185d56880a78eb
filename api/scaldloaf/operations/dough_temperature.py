"""dough-temperature: how warm the water must be, and how much of it ice."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from scaldloaf.dough import heat_balance
from scaldloaf.dough import temperature as dough
from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations.context import Context
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.located import located
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import dough_temperature as schema
from scaldloaf.operations.wire.formulas import (
    formula_cautions,
    formula_notes,
    nearest_ingredients,
    read_formula,
)
from scaldloaf.operations.working.steps import Working, bracketed
from scaldloaf.reference import INGREDIENTS
from scaldloaf.units import Units

_MASSLESS = (
    "rule_ignores_mass",
    "The simple rules take every temperature as equally heavy. With much hot "
    "or chilled scald in the dough the heat balance comes nearer.",
)
_OTHERS = (
    "others_at_flour_temperature",
    "Ingredients without a temperature of their own are taken to be as "
    "warm as the flour; milk or eggs from the cold are not.",
)


@dataclass(slots=True)
class _Answer:
    """What a rule found: the water, and all that the reply and its working need of it.

    iced: whether ice may stand for part of the liquid.
    """

    water: Estimate
    working: Callable[[Working], None]
    dough_c: float | None = None
    friction_total_c: float | None = None
    rise_c: float | None = None
    terms: int | None = None
    parts: Sequence[heat_balance.Part] = ()
    water_g: float | None = None
    iced: bool = True
    basis: Sequence[str] = ("dough_temperature_trade",)
    notes: Sequence[tuple[str, str]] = ()
    cautions: Sequence[str] = ()


def _exactly(value: float) -> Estimate:
    return Estimate(value, value, value, "exact")


def _known(rule: dict, context: Context) -> list[float]:
    """The known temperatures, degC; refuses one that is the water's own."""
    read = []
    for index, known in enumerate(rule["known"]):
        if known["name"].strip().lower() == "water":
            raise Refusal(
                f"rule.known.{index}.name",
                "water_is_not_known",
                "the water's temperature is what is being looked for; leave it out of the known ones",
                given=known["name"],
            )
        value = context.units.from_wire(known["temperature"], "temperature")
        dough.require_part_temperature(value, f"rule.known.{index}.temperature")
        read.append(value)
    return read


def _degrees(show: Working, *values: float) -> list[str]:
    """Temperatures as bare numbers in the request's scale, those below zero in brackets."""
    return [bracketed(show.format(show.units.to_wire(value, "temperature"))) for value in values]


def _step_friction(show: Working, friction_total_c: float, terms: int) -> None:
    difference = "temperature_difference"
    show.step(
        "The same friction as a rise of the dough",
        f"{show.format(friction_total_c, difference)} ÷ {terms}",
        friction_total_c / terms,
        difference,
    )


def _friction_total(rule: dict, context: Context, ice_c: float) -> _Answer:
    known = _known(rule, context)
    target = context.units.from_wire(rule["target"], "temperature")
    friction = context.units.from_wire(rule["friction_total"], "temperature_difference")
    terms = len(known) + 1
    dough.require_dough_temperature(target, "rule.target")
    water = dough.water_by_friction_total_c(target, known, friction)
    dough.require_reachable(
        water, ice_c, "rule.target", target, lambda value: (value + sum(known) + friction) / terms
    )

    def working(show: Working) -> None:
        (total,) = _degrees(show, target)
        show.step(
            "Water temperature",
            f"{terms} × {total} − ({' + '.join(_degrees(show, *known))}) − "
            f"{bracketed(show.format(friction, 'temperature_difference'))} of friction",
            water,
            "temperature",
        )
        _step_friction(show, friction, terms)

    return _Answer(_exactly(water), working, target, friction, friction / terms, terms, notes=(_MASSLESS,))


def _temperature_rise(rule: dict, context: Context, ice_c: float) -> _Answer:
    known = _known(rule, context)
    target = context.units.from_wire(rule["target"], "temperature")
    rise = context.units.from_wire(rule["temperature_rise"], "temperature_difference")
    terms = len(known) + 1
    dough.require_dough_temperature(target, "rule.target")
    water = dough.water_by_temperature_rise_c(target, known, rise)
    dough.require_reachable(
        water, ice_c, "rule.target", target, lambda value: (value + sum(known)) / terms + rise
    )

    def working(show: Working) -> None:
        (wanted,) = _degrees(show, target)
        rising = bracketed(show.format(rise, "temperature_difference"))
        show.step(
            "Water temperature",
            f"{terms} × ({wanted} − {rising} of rise) − ({' + '.join(_degrees(show, *known))})",
            water,
            "temperature",
        )
        show.step(
            "The same rise as a friction total", f"{terms} × {rising}", terms * rise, "temperature_difference"
        )

    return _Answer(_exactly(water), working, target, terms * rise, rise, terms, notes=(_MASSLESS,))


def _base_temperature(rule: dict, context: Context, ice_c: float) -> _Answer:
    known = _known(rule, context)
    terms = len(known) + 1
    # A base is a sum of n temperatures, so its zero point counts n times: convert their mean.
    base = terms * context.units.from_wire(rule["base"] / terms, "temperature")
    water = dough.water_by_base_temperature_c(base, known)
    dough.require_reachable(
        water,
        ice_c,
        "rule.base",
        rule["base"],
        quantity=None,
        of_water=lambda value: terms * context.units.to_wire((value + sum(known)) / terms, "temperature"),
    )

    def working(show: Working) -> None:
        show.step(
            "Water temperature",
            f"{show.format(rule['base'])} − ({' + '.join(_degrees(show, *known))})",
            water,
            "temperature",
        )

    return _Answer(_exactly(water), working, terms=terms, notes=(_MASSLESS,))


def _measured(rule: dict, context: Context, ice_c: float) -> _Answer:
    known = _known(rule, context)
    actual = context.units.from_wire(rule["dough_temperature"], "temperature")
    water = context.units.from_wire(rule["water_temperature"], "temperature")
    dough.require_dough_temperature(actual, "rule.dough_temperature")
    dough.require_part_temperature(water, "rule.water_temperature")
    every = [*known, water]
    friction = dough.friction_total_c(actual, every)

    def working(show: Working) -> None:
        (measured,) = _degrees(show, actual)
        show.step(
            "Friction total",
            f"{len(every)} × {measured} − ({' + '.join(_degrees(show, *every))})",
            friction,
            "temperature_difference",
        )
        _step_friction(show, friction, len(every))

    notes = [
        (
            "same_temperatures",
            "A friction total belongs to this list of temperatures; with more or "
            "fewer of them use the temperature rise.",
        )
    ]
    if friction < 0:
        notes.append(
            (
                "friction_below_zero",
                "The dough came out cooler than its parts: a cold bowl, or a "
                "part that was missed. Measure again before you rely on it.",
            )
        )
    return _Answer(
        _exactly(water),
        working,
        actual,
        friction,
        dough.temperature_rise_c(actual, every),
        len(every),
        iced=False,
        notes=notes,
    )


def _balance_working(found: heat_balance.HeatBalance, what: str):
    def working(show: Working) -> None:
        start_c, difference = found.target_c - found.rise_c, "temperature_difference"
        degrees_per_k = show.units.to_wire(1.0, difference)
        target, start = _degrees(show, found.target_c, start_c)
        show.step(
            "Temperature before mixing warms it",
            f"{target} − {bracketed(show.format(found.rise_c, difference))} of rise",
            start_c,
            "temperature",
        )
        wanting, heats = 0.0, []
        for part in found.parts:
            heat = (
                part.matter.heat_capacity_j_per_k(heat_balance.BEST_HEATS)
                * (start_c - part.temperature_c)
                / 1000
            )
            wanting += heat
            heats.append(bracketed(show.format(heat)))
            (own,) = _degrees(show, part.temperature_c)
            mass, specific = _kilograms(show, part.mass_g), show.format(heat_balance.specific_heat(part))
            show.step(
                f"Heat that brings {part.name} there",
                f"{mass} × {specific} kJ per kg and K × ({start} − {own})"
                + (f" ÷ {degrees_per_k:g}" if degrees_per_k != 1 else ""),
                heat,
                unit="kJ",
            )
        show.step("All that heat", " + ".join(heats), wanting, unit="kJ")
        capacity = found.water_matter.heat_capacity_j_per_k(heat_balance.BEST_HEATS) / 1000
        mass, specific = _kilograms(show, found.water_g), show.format(1000 * capacity / found.water_g)
        show.step(
            f"Heat that warms the {what} by 1 K",
            f"{mass} × {specific} kJ per kg and K",
            capacity,
            unit="kJ per K",
        )
        show.step(
            f"Temperature of the {what}",
            f"{start} + "
            + (f"{degrees_per_k:g} × " if degrees_per_k != 1 else "")
            + f"{bracketed(show.format(wanting))} ÷ {show.format(capacity)}",
            found.water.best,
            "temperature",
        )

    return working


def _kilograms(show: Working, mass_g: float) -> str:
    """A mass in kg, for a step in kJ; in the request's own unit first where that is no gram."""
    kilograms = f"{show.format(mass_g / 1000)} kg"
    return kilograms if show.units.mass in ("g", "kg") else f"{show.format(mass_g, 'mass')} ({kilograms})"


def _balance_notes(parts) -> list[tuple[str, str]]:
    notes = [
        (
            "rise_from_your_mixer",
            "The rise is your mixer's, bowl and room included: measure the dough, "
            "and correct the rise by what it is off.",
        )
    ]
    if any(part.temperature_c < dough.FREEZING_DEGC for part in parts):
        notes.append(
            (
                "frozen_part",
                "A part is below freezing, and what it takes to thaw is not in the "
                "balance: the dough will come out cooler.",
            )
        )
    if any(part.name == "scald" and part.temperature_c > dough.WATER_HOT_NOTE_DEGC for part in parts):
        notes.append(
            (
                "hot_scald_and_yeast",
                "The scald is hot enough to harm yeast: mix it with flour and "
                "water before the yeast goes in.",
            )
        )
    return notes


def _from_balance(found: heat_balance.HeatBalance, what: str, iced: bool, cautions, notes=()) -> _Answer:
    return _Answer(
        found.water,
        _balance_working(found, what),
        found.target_c,
        rise_c=found.rise_c,
        parts=found.parts,
        water_g=found.water_g,
        iced=iced,
        basis=("mass_balance", *_heat_sources(found)),
        notes=(*_balance_notes(found.parts), *notes),
        cautions=cautions,
    )


def _heat_sources(found: heat_balance.HeatBalance) -> list[str]:
    kinds = {
        kind
        for matter in (*(part.matter for part in found.parts), found.water_matter)
        for kind in matter.shares
    }
    return [source for kind, row in heat_balance.HEATS.items() if kind in kinds for source in row.sources]


# Where the temperatures of a formula's parts stand in a request.
_TEMPERATURES_AT = {
    "temperatures.flour": "rule.flour_temperature",
    "temperatures.scald": "rule.scald_temperature",
    "temperatures.others": "rule.others_temperature",
    "temperatures.own": "rule.ingredient_temperatures",
}


def _heat_balance(rule: dict, context: Context, ice_c: float) -> _Answer:
    from_wire = context.units.from_wire
    formula = read_formula(rule["formula"], context)
    own = {}
    for index, each in enumerate(rule.get("ingredient_temperatures", ())):
        if each["ingredient"] in own:
            raise Refusal(
                f"rule.ingredient_temperatures.{index}.ingredient",
                "named_twice",
                "this ingredient already has a temperature; give it once",
                given=each["ingredient"],
            )
        own[each["ingredient"]] = from_wire(each["temperature"], "temperature")

    def read(field: str) -> float | None:
        return from_wire(rule[field], "temperature") if field in rule else None

    adjust_with = tuple(dict.fromkeys(rule["adjust_with"]))
    temperatures = heat_balance.Temperatures(
        read("flour_temperature"), read("scald_temperature"), read("others_temperature"), own
    )
    with located("rule", formula="formula", **_TEMPERATURES_AT):
        found = heat_balance.water_for_formula(
            formula,
            from_wire(rule["target"], "temperature"),
            from_wire(rule["temperature_rise"], "temperature_difference"),
            temperatures,
            adjust_with,
            ice_c,
        )
    what = " and ".join(name.replace("_", " ") for name in adjust_with)
    notes = formula_notes(rule["formula"])
    if "others_temperature" not in rule:
        notes.append(_OTHERS)
    return _from_balance(found, what, adjust_with == ("water",), formula_cautions(formula), notes)


def _heat_balance_parts(rule: dict, context: Context, ice_c: float) -> _Answer:
    from_wire = context.units.from_wire
    parts = []
    for index, part in enumerate(rule["parts"]):
        at = f"rule.parts.{index}"
        value = from_wire(part["temperature"], "temperature")
        dough.require_part_temperature(value, f"{at}.temperature")
        mass = from_wire(part["mass"], "mass")
        parts.append(heat_balance.Part(part["name"], mass, value, _part_matter(part, mass, at)))
    mass = from_wire(rule["water_mass"], "mass")
    with located("rule"):
        found = heat_balance.balance(
            from_wire(rule["target"], "temperature"),
            from_wire(rule["temperature_rise"], "temperature_difference"),
            parts,
            heat_balance.Matter({"water": mass}),
            mass,
            ice_c,
        )
    return _from_balance(found, "water", True, ())


def _part_matter(part: dict, mass: float, at: str) -> heat_balance.Matter:
    if "specific_heat" in part:
        return heat_balance.Matter(own_j_per_k=mass * part["specific_heat"])
    if part["name"] not in INGREDIENTS:
        close = nearest_ingredients(part["name"])
        raise Refusal(
            f"{at}.specific_heat",
            "specific_heat_needed",
            "give its specific heat in kJ per kg and K (water 4.18, flour about 1.8, a 1:1 scald "
            "about 3), or call it by a catalogue name" + (f", such as {close[0]}" if close else ""),
        )
    return heat_balance.matter_of(INGREDIENTS[part["name"]], mass)


_RULES = {
    "simple_friction_total": _friction_total,
    "simple_temperature_rise": _temperature_rise,
    "base_temperature": _base_temperature,
    "friction_from_measured": _measured,
    "heat_balance": _heat_balance,
    "heat_balance_parts": _heat_balance_parts,
}


def ice_heat_of_rule_c(units: Units) -> float:
    """What melting ice takes, in kelvins of water, by the ice rule of the scale asked in.

    Each scale has its own rule, so that the answer can be redone by hand in it; the one in degF
    rounds a little higher (80.0 for 79.8).
    """
    if units.temperature == "degC":
        return dough.ICE_HEAT_DEGC
    heat = dough.ICE_HEAT_DEGF_CONSTANT + units.to_wire(0.0, "temperature")
    return units.from_wire(heat, "temperature_difference")


def run(request: dict, context: Context) -> dict:
    from_wire, out = context.units.from_wire, context.units.to_wire
    ice_c = dough.FREEZING_DEGC
    if "ice_temperature" in request:
        ice_c = from_wire(request["ice_temperature"], "temperature")
        dough.require_ice_temperature(ice_c, "ice_temperature")
    tap_c = None
    if "tap_temperature" in request:
        tap_c = from_wire(request["tap_temperature"], "temperature")
        dough.require_tap_temperature(tap_c, "tap_temperature")
    rule = schema.DoughTemperatureRule.filled(request["rule"])
    found = _RULES[rule["kind"]](rule, context, ice_c)
    water_g = found.water_g
    if "water_mass" in request and water_g is None:
        water_g = from_wire(request["water_mass"], "mass")
    elif "water_mass" in request:
        raise Refusal(
            "water_mass",
            "water_mass_twice",
            "the heat balance takes its water from the rule ({water}); leave this out",
            given=from_wire(request["water_mass"], "mass"),
            nearest=water_g,
            quantity="mass",
            amounts={"water": (water_g, "mass")},
        )
    needed = found.water.best
    ice_heat_c = ice_heat_of_rule_c(context.units)
    fraction = (
        dough.ice_fraction(tap_c, needed, ice_c, ice_heat_c) if tap_c is not None and found.iced else None
    )
    notes = list(found.notes) + (
        dough.remarks(needed, tap_c) if rule["kind"] != "friction_from_measured" else []
    )
    if fraction:
        notes.append(
            (
                "ice_in_place_of_water",
                "The ice is part of the water and replaces it gram for gram; "
                "crush it, so that it is gone before the dough comes together.",
            )
        )
    elif not found.iced and needed < dough.FREEZING_DEGC:
        notes.append(
            (
                "ice_only_for_water",
                "Ice can only stand for water; cool the liquids otherwise, or adjust the water alone.",
            )
        )

    def working(show: Working) -> None:
        found.working(show)
        if fraction is None:
            return
        if not fraction:
            show.step(
                "Ice",
                f"0, as {show.format(tap_c, 'temperature')} from the tap is not above "
                f"{show.format(needed, 'temperature')}",
                0.0,
                unit="% of the water",
            )
            return
        tap, need, ice, freezing = _degrees(show, tap_c, needed, ice_c, dough.FREEZING_DEGC)
        constant = out(ice_heat_c, "temperature_difference") - out(dough.FREEZING_DEGC, "temperature")
        heats = f"{show.format(dough.SPECIFIC_HEAT_ICE)} ÷ {show.format(dough.SPECIFIC_HEAT_WATER)}"
        colder = "" if ice_c == dough.FREEZING_DEGC else f" + {heats} × ({freezing} − {ice})"
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

    difference = "temperature_difference"
    return context.reply(
        {
            "water_temperature": context.estimate(found.water, "temperature"),
            "dough_temperature": None if found.dough_c is None else out(found.dough_c, "temperature"),
            "friction": {
                "friction_total": None
                if found.friction_total_c is None
                else out(found.friction_total_c, difference),
                "temperature_rise": None if found.rise_c is None else out(found.rise_c, difference),
                "number_of_temperatures": found.terms,
            },
            "water_mass": None if water_g is None else out(water_g, "mass"),
            "ice": None
            if fraction is None
            else {
                "percent": 100 * fraction,
                "mass": None if water_g is None else out(fraction * water_g, "mass"),
                "tap_water": None if water_g is None else out((1 - fraction) * water_g, "mass"),
            },
            "parts": [
                {
                    "name": part.name,
                    "mass": out(part.mass_g, "mass"),
                    "temperature": out(part.temperature_c, "temperature"),
                    "specific_heat": heat_balance.specific_heat(part),
                }
                for part in found.parts
            ],
        },
        working,
        basis=(*found.basis, *(("ice_table_trade",) if fraction else ())),
        cautions=("raw_flour", *found.cautions),
        notes=notes,
    )


DOUGH_TEMPERATURE = Operation(
    name="dough-temperature",
    summary="How warm the water must be, and how much of it ice",
    description="By the bench rules, with either way of counting the mixer's friction, or by a heat balance "
    "that weighs each part; a hot or chilled scald included. Also finds the friction from a "
    "measured mixing.",
    request=schema.DoughTemperatureRequest,
    run=run,
    pointers={"formula": "rule.formula"},
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
