"""Water temperature for a target dough temperature: the bench rules, ice, and what no water can do.

Three bench rules give every temperature the same weight and differ in how they count the mixer's heat.
Their frictions are not interchangeable, so each has a name of its own:

==================  =========================================================
friction total      water = n x target - sum of the others - friction_total
temperature rise    water = n x (target - rise) - sum of the others
base temperature    water = base - sum of the others
==================  =========================================================

n counts the temperatures, the water's included. ``heat_balance`` weighs each part by its mass and
specific heat instead.
"""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from scaldloaf.dough.limits import TOLERANCE_DEGC, YEAST_WORKING_HIGHEST_DEGC, YEAST_WORKING_LOWEST_DEGC
from scaldloaf.dough.notes import Note
from scaldloaf.dough.refusal import Refusal, Way, listed
from scaldloaf.reference import coefficient

ICE_HEAT_DEGC = coefficient("ice_heat_degc").value
ICE_HEAT_DEGF_CONSTANT = coefficient("ice_heat_degf_constant").value
WATER_HOT_NOTE_DEGC = coefficient("water_hot_note_degc").value
WATER_HOT_REFUSE_DEGC = coefficient("water_hot_refuse_degc").value
SPECIFIC_HEAT_ICE = coefficient("specific_heat_ice").value
SPECIFIC_HEAT_WATER = coefficient("specific_heat_water").value

ICE_TO_WATER_HEAT = SPECIFIC_HEAT_ICE / SPECIFIC_HEAT_WATER
FREEZING_DEGC, BOILING_DEGC = 0.0, 100.0  # of water at 1 atm
THAWED_DEGC = 4.0  # of a refrigerator: what has thawed there is no colder

# A guard rail of the input, not a fact of the craft: nothing colder or hotter goes into a dough.
COLDEST_PART_DEGC, HOTTEST_PART_DEGC = -40.0, 100.0
COLDEST_OVEN_DEGC, HOTTEST_OVEN_DEGC = 50.0, 400.0  # the same of ovens


# ---- The bench rules ---------------------------------------------------------------------------


def water_by_friction_total_c(target_c: float, known_c: Sequence[float], friction_total_c: float) -> float:
    """Water temperature, °C: n x target - sum of the known - friction, n = known + the water.

    target_c, known_c in °C; friction_total_c is a difference, subtracted once. A bench rule: exact
    arithmetic, but a cold egg weighs as much in it as all the flour. Source: trade pages
    (dough_temperature_trade).
    """
    return (len(known_c) + 1) * target_c - sum(known_c) - friction_total_c


def water_by_temperature_rise_c(target_c: float, known_c: Sequence[float], rise_c: float) -> float:
    """Water temperature, °C: n x (target - rise) - sum of the known, n = known + the water.

    rise_c: degrees by which mixing warms the dough; n times the rise is the friction total. Limits and
    sources as for ``water_by_friction_total_c``.
    """
    return (len(known_c) + 1) * (target_c - rise_c) - sum(known_c)


def water_by_base_temperature_c(base_c: float, known_c: Sequence[float]) -> float:
    """Water temperature, °C: base - sum of the known.

    The base is the sum that all temperatures must come to, the water's included (°C, with as many zero
    points as there are temperatures); it contains target and mixer. Source: trade pages
    (dough_temperature_trade).
    """
    return base_c - sum(known_c)


def friction_total_c(dough_c: float, temperatures_c: Sequence[float]) -> float:
    """Friction total of a measured mixing: n x dough - sum of its n temperatures, the water's included.

    The inverse of ``water_by_friction_total_c``: °C in, a difference in °C out. Exact.
    """
    return len(temperatures_c) * dough_c - sum(temperatures_c)


def temperature_rise_c(dough_c: float, temperatures_c: Sequence[float]) -> float:
    """Rise of a measured mixing: dough - mean of its temperatures, the water's included. Exact."""
    return friction_total_c(dough_c, temperatures_c) / len(temperatures_c)


# ---- Ice ---------------------------------------------------------------------------------------


def ice_cooling_c(ice_c: float = FREEZING_DEGC, ice_heat_c: float = ICE_HEAT_DEGC) -> float:
    """Degrees by which ice, melting to water at 0 °C, could cool its own mass of water.

    Heat of melting over the specific heat of water, plus the warming of ice that is colder than 0 °C.
    Valid for ice_c <= 0.
    """
    return ice_heat_c + ICE_TO_WATER_HEAT * (FREEZING_DEGC - ice_c)


def ice_fraction(
    tap_c: float, needed_c: float, ice_c: float = FREEZING_DEGC, ice_heat_c: float = ICE_HEAT_DEGC
) -> float:
    """Fraction of the water, by mass, to weigh as ice so that ice and tap water come to ``needed_c``.

    (tap - needed)/(tap + 79.8) in °C. The ice replaces water gram for gram; ice added on top of the water
    is another rule. With ``ice_heat_c=80`` it is (tap - needed)/(tap + 112) in °F, as in the
    trade's table; the two constants differ by a quarter of a percent. A ``needed_c`` below 0 means water
    that must still cool the dough after all its ice has melted.

    Parameters
        tap_c : float  [°C]
        needed_c : float  [°C], down to -ice_cooling_c, where all of the water is ice
        ice_c : float  [°C], at most 0
        ice_heat_c : float  [°C] of its own mass of water that melting ice cools
    Returns
        float  [fraction of the water]; 0 when the tap is cold enough
    Source
        heat balance (exact); mass_balance, ice_table_trade
    """
    if tap_c <= needed_c + TOLERANCE_DEGC:
        return 0.0
    return (tap_c - needed_c) / (tap_c + ice_cooling_c(ice_c, ice_heat_c))


# ---- What is refused, and what is noted ----------------------------------------------------------


def _require_within(
    value_c: float, least_c: float, most_c: float, argument: str, code: str, message: str
) -> None:
    """Refuse a temperature outside [least, most], with the nearer end as what works."""
    if not least_c <= value_c <= most_c:
        raise Refusal(
            argument,
            code,
            message,
            given=value_c,
            nearest=min(max(value_c, least_c), most_c),
            quantity="temperature",
            amounts={
                "given": (value_c, "temperature"),
                "least": (least_c, "temperature"),
                "most": (most_c, "temperature"),
            },
        )


def require_part_temperature(value_c: float, argument: str) -> None:
    """Refuse a temperature that no part of a dough has, nor the place where it is made or kept.

    argument: the caller's name for the value, here and in the checks below.
    """
    _require_within(
        value_c,
        COLDEST_PART_DEGC,
        HOTTEST_PART_DEGC,
        argument,
        "temperature_out_of_range",
        "a temperature here is between {least} and {most}, and this is {given}. "
        "Is it the other temperature scale?",
    )


def require_dough_temperature(value_c: float, argument: str) -> None:
    """Refuse a dough temperature at which dough freezes or its yeast dies."""
    _require_within(
        value_c,
        YEAST_WORKING_LOWEST_DEGC,
        YEAST_WORKING_HIGHEST_DEGC,
        argument,
        "dough_temperature_out_of_range",
        "a dough at {given} is frozen, or its yeast is dead; from {least} to {most} is "
        "understood. Is it the other temperature scale?",
    )


def require_ice_temperature(value_c: float, argument: str) -> None:
    """Refuse ice that would be water, or colder than any bakery's freezer."""
    _require_within(
        value_c, COLDEST_PART_DEGC, FREEZING_DEGC, argument, "not_ice", "ice is between {least} and {most}"
    )


def require_tap_temperature(value_c: float, argument: str) -> None:
    """Refuse tap water that is ice or steam."""
    _require_within(
        value_c, FREEZING_DEGC, BOILING_DEGC, argument, "not_water", "water is between {least} and {most}"
    )


def require_liquid_temperature(value_c: float, argument: str) -> None:
    """Refuse a liquid to scald with that is ice or steam."""
    _require_within(
        value_c,
        FREEZING_DEGC,
        BOILING_DEGC,
        argument,
        "not_liquid",
        "a liquid to scald with is between {least} and {most}; is it the other temperature scale?",
    )


def require_oven_temperature(value_c: float, argument: str) -> None:
    """Refuse an oven in which no bread is baked."""
    _require_within(
        value_c,
        COLDEST_OVEN_DEGC,
        HOTTEST_OVEN_DEGC,
        argument,
        "oven_temperature_out_of_range",
        "an oven for bread is between {least} and {most}; is it the other temperature scale?",
    )


class Movable(NamedTuple):
    """A temperature that can be another one.

    effect: how much cooler the water may be, K, for each K more. thawing: how much cooler besides when what
    is frozen at value_c has thawed.
    """

    argument: str
    value_c: float
    effect: float = 1.0
    thawing: float = 0.0

    def that_spares(self, kelvins: float) -> float:
        """The temperature, °C, at which the water may be cooler by that much (warmer below 0)."""
        if self.thawing <= 0 or kelvins <= 0:
            return self.value_c + kelvins / self.effect
        left = kelvins - self.thawing - self.effect * (FREEZING_DEGC - self.value_c)
        return max(THAWED_DEGC, FREEZING_DEGC + left / self.effect)


class MoreLiquids(NamedTuple):
    """Liquids that could be warmed with the water, and the temperature that all of it then needs, °C."""

    names: tuple[str, ...]
    needed_c: float
    way: Way


class WaysOut(NamedTuple):
    """What could change where no water would do.

    movable: temperatures that could be warmer or cooler. more_liquids: liquids that could be warmed as well.
    """

    movable: Sequence[Movable] = ()
    more_liquids: MoreLiquids | None = None


def require_reachable(
    water_c: float,
    ice_c: float,
    argument: str,
    given: float,
    of_water: Callable[[float], float],
    quantity: str | None = "temperature",
    ways_out: Callable[[], WaysOut] = WaysOut,
) -> None:
    """Refuse what no water can do, with the nearest value that some water can.

    Parameters
        water_c : float  [°C] that the water would need
        ice_c : float  [°C] of the ice that may be part of the water
        argument : str  the caller's name for the value that asks for that water
        given : float  [quantity] that value
        of_water : water temperature [°C] -> the value that asks for it [quantity]
        quantity : str or None  what the value measures
        ways_out : Callable  looks for what else could change
    Raises
        Refusal: water_too_hot above water_hot_refuse_degc, or frozen_part where thawing takes that heat;
        colder_than_ice below what all of it as ice does.
    """
    coldest = -ice_cooling_c(ice_c)
    if water_c > WATER_HOT_REFUSE_DEGC + TOLERANCE_DEGC:
        limit, code = WATER_HOT_REFUSE_DEGC, "water_too_hot"
        movable, more = ways_out()
        why = (
            "this needs water of {needed}; above {limit} it would scald the dough flour and kill the yeast. "
        )
        if any(each.thawing > 0 for each in movable):
            code = "frozen_part"
            why += "What is frozen takes that heat to melt: thaw it first"
        else:
            why += "Warm what is coldest (flour, scald, milk) instead"
        if more is not None:
            why += ", or warm {liquids} too: all of it then needs {together} (adjust_with)"
        why += "; the warmest that works as things are is {nearest}"
    elif water_c < coldest - TOLERANCE_DEGC:
        limit, code = coldest, "colder_than_ice"
        movable, more = ways_out().movable, None
        why = (
            "this needs water of {needed}, colder than ice can make it even if all of it is ice (as good "
            "as {limit}). Chill the flour or the scald, or mix more gently; the coldest that works as "
            "things are is {nearest}"
        )
    else:
        return
    nearest = of_water(limit)
    raise Refusal(
        argument,
        code,
        why,
        given=given,
        nearest=nearest,
        quantity=quantity,
        amounts={
            "needed": (water_c, "temperature"),
            "limit": (limit, "temperature"),
            "nearest": (nearest, quantity),
            **(
                {}
                if more is None
                else {"liquids": listed(more.names), "together": (more.needed_c, "temperature")}
            ),
        },
        ways=(
            *(() if more is None else (more.way,)),
            *(
                Way(argument, {each.argument: wanted_c}, "temperature")
                for each in sorted(movable, key=lambda each: each.thawing <= 0)
                if each.effect > 0
                and (wanted_c := each.that_spares(water_c - limit)) <= YEAST_WORKING_HIGHEST_DEGC
            ),
        ),
    )


def remarks(water_c: float, tap_c: float | None) -> list[Note]:
    """What is worth knowing about water of that temperature."""
    found = []
    if water_c > WATER_HOT_NOTE_DEGC:
        found.append(Note("hot_water"))
    if water_c < FREEZING_DEGC and tap_c is None:
        found.append(Note("ice_needed"))
    return found
