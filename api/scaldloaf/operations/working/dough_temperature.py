"""The steps to a water temperature, and the notes on it."""

from collections.abc import Iterator
from typing import cast

from scaldloaf.dough import heat_balance
from scaldloaf.dough import temperature as dough
from scaldloaf.dough.heat_balance import HeatBalance, Part
from scaldloaf.dough.refusal import listed
from scaldloaf.operations import dough_rules
from scaldloaf.operations.dough_rules import Balance, BalanceOfParts, FoundByRule, Known, Rule, SimpleRule
from scaldloaf.operations.notes import AnyNote, Note, NotesOf
from scaldloaf.operations.steps import Working, bracketed
from scaldloaf.operations.working.formula import formula_notes

DIFFERENCE = "temperature_difference"

TEXTS = {
    "rule_ignores_mass": (
        "The simple rules give every temperature the same weight. With much hot or chilled scald in "
        "the dough the heat balance is more accurate."
    ),
    "others_at_flour_temperature": (
        "Ingredients without a temperature of their own are assumed to be as warm as the flour; milk or "
        "eggs from the cold are not."
    ),
    "same_temperatures": (
        "A friction total belongs to this list of temperatures; with more or fewer of them use the "
        "temperature rise."
    ),
    "friction_below_zero": (
        "The dough came out cooler than its parts: a cold bowl, or a part that was missed. Measure again "
        "before you rely on it."
    ),
    "rise_from_your_mixer": (
        "The rise is your mixer's, bowl and room included: measure the dough, and correct the rise by "
        "what it is off."
    ),
    "frozen_part": (
        "Frozen: {parts}. The water must bring the heat that the ice takes to melt. Thaw it in the "
        "refrigerator first, and the dough mixes more evenly."
    ),
    "ice_not_known": (
        "Below freezing, and how much of it is ice is not known: {parts}. What it takes to thaw is not in "
        "the balance, so the dough will come out cooler; give its water_percent."
    ),
    "frozen_in_rule": (
        "A temperature is below freezing. This rule does not count what ice takes to melt; the heat balance "
        "does."
    ),
    "hot_scald_and_yeast": (
        "The scald is hot enough to harm yeast: mix it with flour and water before the yeast goes in."
    ),
    "ice_in_place_of_water": (
        "The ice is part of the water and replaces it gram for gram; crush it, so that it is gone before "
        "the dough comes together."
    ),
    "ice_only_for_water": (
        "Ice can only replace water; cool the liquids otherwise, or adjust the water alone."
    ),
}


# ---- Notes ---------------------------------------------------------------------------------------

_note = NotesOf(TEXTS)


def rule_notes(rule: Rule, found: FoundByRule) -> Iterator[Note]:
    """What to know of the rule, by itself."""
    match rule:
        case SimpleRule(dough_rules.MEASURED):
            yield _note("same_temperatures")
            if found.friction_total_c is not None and found.friction_total_c < 0:
                yield _note("friction_below_zero")
        case Balance():
            yield from _balance_notes(found)
            yield from formula_notes(rule.by_percent)
            if rule.at.temperatures.others_c is None:
                yield _note("others_at_flour_temperature")
        case BalanceOfParts(_, _, asked, _):
            yield from _balance_notes(found)
            if unknown := [part.name for part in asked if part.ice_unknown]:
                yield _note("ice_not_known", parts=listed(unknown))
        case _:
            yield _note("rule_ignores_mass")
            if any(known.temperature_c < dough.FREEZING_DEGC for known in rule.known):
                yield _note("frozen_in_rule")


def _balance_notes(found: FoundByRule) -> Iterator[Note]:
    parts = found.balance.parts if found.balance else ()
    yield _note("rise_from_your_mixer")
    if frozen := [part.name for part in parts if part.thawing_j > 0]:
        yield _note("frozen_part", parts=listed(frozen))
    if any(part.name == "scald" and part.temperature_c > dough.WATER_HOT_NOTE_DEGC for part in parts):
        yield _note("hot_scald_and_yeast")


def water_notes(
    rule: Rule, found: FoundByRule, tap_c: float | None, fraction: float | None
) -> Iterator[AnyNote]:
    """What to know of the water, and of the ice in it.

    Parameters
        rule : Rule
        found : FoundByRule
        tap_c : float or None  [°C] None: the ice was not asked for
        fraction : float or None  [0 to 1] of the water to weigh as ice; None: not calculated
    Returns
        Iterator[AnyNote]
    """
    if not (isinstance(rule, SimpleRule) and rule.kind == dough_rules.MEASURED):
        yield from dough.remarks(found.water.best, tap_c)
    if fraction:
        yield _note("ice_in_place_of_water")
    elif not found.iced and found.water.best < dough.FREEZING_DEGC:
        yield _note("ice_only_for_water")


# ---- The working ---------------------------------------------------------------------------------


def show_rule(show: Working, rule: Rule, found: FoundByRule) -> None:
    """The steps to the water, or to the friction, by the rule."""
    if not isinstance(rule, SimpleRule):
        _show_balance(show, cast("HeatBalance", found.balance), adjusted(rule))
        return
    kind, known, goal_c, by = rule
    if kind == dough_rules.FRICTION_TOTAL:
        _show_by_friction(show, goal_c, known, by, found.water.best)
    elif kind == dough_rules.TEMPERATURE_RISE:
        _show_by_rise(show, goal_c, known, by, found.water.best)
    elif kind == dough_rules.MEASURED:
        _show_friction(show, goal_c, (*known, Known("water", by)))
    else:
        expression = f"{show.format(by)} − ({_sum(show, known)})"
        show.step("Water temperature", expression, found.water.best, "temperature")


def adjusted(rule: Rule) -> str:
    """What is warmed or cooled, in words."""
    names = rule.at.adjust_with if isinstance(rule, Balance) else ("water",)
    return " and ".join(name.replace("_", " ") for name in names)


def degrees(show: Working, *values: float) -> list[str]:
    """Temperatures as bare numbers in the request's scale, those below zero in brackets."""
    return [bracketed(show.format(show.units.to_wire(value, "temperature"))) for value in values]


def _sum(show: Working, known: tuple[Known, ...]) -> str:
    return " + ".join(degrees(show, *(each.temperature_c for each in known)))


def _show_by_friction(
    show: Working, target_c: float, known: tuple[Known, ...], friction_c: float, water_c: float
) -> None:
    terms, friction = len(known) + 1, bracketed(show.format(friction_c, DIFFERENCE))
    (target,) = degrees(show, target_c)
    show.step(
        "Water temperature",
        f"{terms} × {target} − ({_sum(show, known)}) − {friction} of friction",
        water_c,
        "temperature",
    )
    _step_friction(show, friction_c, terms)


def _step_friction(show: Working, friction_total_c: float, terms: int) -> None:
    show.step(
        "The same friction as a rise of the dough",
        f"{show.format(friction_total_c, DIFFERENCE)} ÷ {terms}",
        friction_total_c / terms,
        DIFFERENCE,
    )


def _show_by_rise(
    show: Working, target_c: float, known: tuple[Known, ...], rise_c: float, water_c: float
) -> None:
    terms = len(known) + 1
    (target,) = degrees(show, target_c)
    rise = bracketed(show.format(rise_c, DIFFERENCE))
    show.step(
        "Water temperature",
        f"{terms} × ({target} − {rise} of rise) − ({_sum(show, known)})",
        water_c,
        "temperature",
    )
    show.step("The same rise as a friction total", f"{terms} × {rise}", terms * rise_c, DIFFERENCE)


def _show_friction(show: Working, dough_c: float, every: tuple[Known, ...]) -> None:
    friction = dough.friction_total_c(dough_c, [each.temperature_c for each in every])
    (measured,) = degrees(show, dough_c)
    show.step("Friction total", f"{len(every)} × {measured} − ({_sum(show, every)})", friction, DIFFERENCE)
    _step_friction(show, friction, len(every))


def _show_balance(show: Working, found: HeatBalance, what: str) -> None:
    start_c = found.target_c - found.rise_c
    degrees_per_k = show.units.to_wire(1.0, DIFFERENCE)
    target, start = degrees(show, found.target_c, start_c)
    show.step(
        "Temperature before mixing warms it",
        f"{target} − {bracketed(show.format(found.rise_c, DIFFERENCE))} of rise",
        start_c,
        "temperature",
    )
    heats = [_show_heat(show, part, start_c) for part in found.parts]
    wanting = sum(heats)
    show.step("All that heat", " + ".join(bracketed(show.format(heat)) for heat in heats), wanting, unit="kJ")
    capacity = found.water_matter.heat_capacity_j_per_k(heat_balance.BEST_HEATS) / 1000
    mass, specific = _kilograms(show, found.water_g), show.format(1000 * capacity / found.water_g)
    show.step(
        f"Heat that warms the {what} by 1 K",
        f"{mass} × {specific} kJ per kg and K",
        capacity,
        unit="kJ per K",
    )
    scale = f"{degrees_per_k:g} × " if degrees_per_k != 1 else ""
    show.step(
        f"Temperature of the {what}",
        f"{start} + {scale}{bracketed(show.format(wanting))} ÷ {show.format(capacity)}",
        found.water.best,
        "temperature",
    )


def _show_heat(show: Working, part: Part, start_c: float) -> float:
    """The step to the heat that brings a part to a temperature, and that heat in kJ."""
    degrees_per_k = show.units.to_wire(1.0, DIFFERENCE)
    capacity = part.matter.heat_capacity_j_per_k(heat_balance.BEST_HEATS)
    heat = (capacity * (start_c - part.temperature_c) + part.thawing_j) / 1000
    start, own = degrees(show, start_c, part.temperature_c)
    mass, specific = _kilograms(show, part.mass_g), show.format(heat_balance.specific_heat(part))
    scale = f" ÷ {degrees_per_k:g}" if degrees_per_k != 1 else ""
    thawing = ""
    if part.thawing_j:
        ice, water = show.format(dough.SPECIFIC_HEAT_ICE), show.format(dough.SPECIFIC_HEAT_WATER)
        melts, (freezing,) = (
            show.format(heat_balance.MELTING_HEAT_KJ_PER_KG),
            degrees(show, dough.FREEZING_DEGC),
        )
        frozen = _kilograms(show, part.matter.freezable_g)
        thawing = f" + {frozen} × ({melts} + ({ice} − {water}) × ({freezing} − {own}){scale})"
    show.step(
        f"Heat that brings {part.name} there",
        f"{mass} × {specific} kJ per kg and K × ({start} − {own}){scale}{thawing}",
        heat,
        unit="kJ",
    )
    return heat


def _kilograms(show: Working, mass_g: float) -> str:
    """A mass in kg, for a step in kJ; in the request's own unit first where that is no gram."""
    kilograms = f"{show.format(mass_g / 1000)} kg"
    return kilograms if show.units.mass in ("g", "kg") else f"{show.format(mass_g, 'mass')} ({kilograms})"
