"""The rules of dough-temperature on the wire."""

from scaldloaf.dough.heat_balance import BEST_HEATS
from scaldloaf.dough.heat_of_formula import Temperatures
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.temperature import require_part_temperature
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.dough_rules import (
    BASE,
    FRICTION_TOTAL,
    MEASURED,
    TEMPERATURE_RISE,
    AskedPart,
    Balance,
    BalanceOfParts,
    BalanceTemperatures,
    Known,
    Rule,
    SimpleRule,
    require_no_water,
)
from scaldloaf.operations.schemas import dough_temperature as schema
from scaldloaf.operations.wire.formulas import ask_formula, in_percent, nearest_ingredients, read_formula
from scaldloaf.operations.wire.requests import without_defaults
from scaldloaf.reference import INGREDIENTS
from scaldloaf.units import TEMPERATURE_DIFFERENCE as DIFFERENCE

# Where a simple rule has its goal and what it is reached by, and what the latter measures.
_FIELDS = {
    FRICTION_TOTAL: ("target", "friction_total", DIFFERENCE),
    TEMPERATURE_RISE: ("target", "temperature_rise", DIFFERENCE),
    MEASURED: ("dough_temperature", "water_temperature", "temperature"),
}


def read_rule(rule: Wire, context: Context) -> Rule:
    """The rule of a request. Raises Refusal, at a field of it, for a temperature that no part has."""
    from_wire, kind = context.units.from_wire, rule["kind"]
    match kind:
        case "heat_balance":
            formula = read_formula(rule["formula"], context)
            return Balance(formula, in_percent(rule["formula"]), read_balance(rule, context))
        case "heat_balance_parts":
            target = from_wire(rule["target"], "temperature")
            rise = from_wire(rule["temperature_rise"], DIFFERENCE)
            parts = tuple(_read_part(part, index, context) for index, part in enumerate(rule["parts"]))
            return BalanceOfParts(target, rise, parts, from_wire(rule["water_mass"], "mass"))
    known = _read_known(rule, context)
    if kind == BASE:
        terms = len(known) + 1
        return SimpleRule(kind, known, terms * from_wire(rule["base"] / terms, "temperature"), rule["base"])
    goal, by, quantity = _FIELDS[kind]
    return SimpleRule(kind, known, from_wire(rule[goal], "temperature"), from_wire(rule[by], quantity))


def _read_known(rule: Wire, context: Context) -> tuple[Known, ...]:
    read = []
    for index, known in enumerate(rule["known"]):
        require_no_water(known["name"], f"known.{index}.name")
        value = context.units.from_wire(known["temperature"], "temperature")
        require_part_temperature(value, f"known.{index}.temperature")
        read.append(Known(known["name"], value))
    return tuple(read)


def _read_part(part: Wire, index: int, context: Context) -> AskedPart:
    value = context.units.from_wire(part["temperature"], "temperature")
    require_part_temperature(value, f"parts.{index}.temperature")
    mass = context.units.from_wire(part["mass"], "mass")
    if "specific_heat" not in part and part["name"] not in INGREDIENTS:
        close = nearest_ingredients(part["name"])
        raise Refusal(
            f"parts.{index}.specific_heat",
            "specific_heat_needed",
            "give its specific heat in kJ per kg and K (water {water}, flour about {flour}, a 1:1 scald "
            "about {scald}), or call it by a catalogue name" + (", such as {name}" if close else ""),
            amounts={
                "water": (round(BEST_HEATS["water"], 2), None),
                "flour": (round(BEST_HEATS["flour"], 1), None),
                "scald": (round((BEST_HEATS["water"] + BEST_HEATS["flour"]) / 2, 1), None),
                **({"name": close[0]} if close else {}),
            },
        )
    return AskedPart(part["name"], mass, value, part.get("specific_heat"), part.get("water_percent"))


def read_balance(wire: Wire, context: Context) -> BalanceTemperatures:
    """What a heat balance needs besides the formula. Raises Refusal for an ingredient named twice."""
    from_wire = context.units.from_wire
    own: dict[str, float] = {}
    for index, each in enumerate(wire.get("ingredient_temperatures", ())):
        if each["ingredient"] in own:
            raise Refusal(
                f"ingredient_temperatures.{index}.ingredient",
                "named_twice",
                "this ingredient already has a temperature; give it once",
                given=each["ingredient"],
            )
        own[each["ingredient"]] = from_wire(each["temperature"], "temperature")
    temperatures = Temperatures(
        from_wire(wire["flour_temperature"], "temperature"),
        context.from_wire(wire.get("scald_temperature"), "temperature"),
        context.from_wire(wire.get("others_temperature"), "temperature"),
        own,
    )
    return BalanceTemperatures(
        from_wire(wire["target"], "temperature"),
        from_wire(wire["temperature_rise"], DIFFERENCE),
        temperatures,
        tuple(dict.fromkeys(schema.HeatBalance.filled(wire)["adjust_with"])),
    )


def ask_rule(rule: Rule, context: Context) -> Wire:
    """The rule as a request has it."""
    out = context.units.to_wire
    match rule:
        case Balance(formula, by_percent, at):
            asked = {"kind": "heat_balance", "formula": ask_formula(formula, context, by_percent)}
            return asked | _ask_balance(at, context)
        case BalanceOfParts(target, rise, parts, water_g):
            return {
                "kind": "heat_balance_parts",
                "target": out(target, "temperature"),
                "temperature_rise": out(rise, DIFFERENCE),
                "parts": [_ask_part(part, context) for part in parts],
                "water_mass": out(water_g, "mass"),
            }
    known = [{"name": name, "temperature": out(value_c, "temperature")} for name, value_c in rule.known]
    simple: Wire = {"kind": rule.kind, "known": known}
    if rule.kind == BASE:
        return {**simple, "base": rule.by}
    goal, by, quantity = _FIELDS[rule.kind]
    return {**simple, goal: out(rule.goal_c, "temperature"), by: out(rule.by, quantity)}


def _ask_part(part: AskedPart, context: Context) -> Wire:
    return without_defaults(
        schema.DoughPart,
        name=part.name,
        mass=context.units.to_wire(part.mass_g, "mass"),
        temperature=context.units.to_wire(part.temperature_c, "temperature"),
        specific_heat=part.specific_heat,
        water_percent=part.water_percent,
    )


def _ask_balance(at: BalanceTemperatures, context: Context) -> Wire:
    out, temperatures = context.units.to_wire, at.temperatures
    own = [
        {"ingredient": name, "temperature": out(value, "temperature")}
        for name, value in temperatures.own.items()
    ]
    return without_defaults(
        schema.HeatBalance,
        target=out(at.target_c, "temperature"),
        temperature_rise=out(at.rise_c, DIFFERENCE),
        flour_temperature=out(temperatures.flour_c, "temperature"),
        scald_temperature=context.to_wire(temperatures.scald_c, "temperature"),
        others_temperature=context.to_wire(temperatures.others_c, "temperature"),
        ingredient_temperatures=own or None,
        adjust_with=list(at.adjust_with),
    )
