"""Making the scald: how hot it gets, its water after cooking, its cooling, and how long it waits.

A scald is made with hot liquid poured on flour, or cooked as a roux. The first question is whether its
core gets hot enough for the starch to swell, and how much of it does.
"""

from collections.abc import Mapping
from math import hypot, inf, log
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate, weakest
from scaldloaf.dough.formula import LEAST_FLOUR_G, SCALD, Breakdown, Formula, break_down, may_be_liquid
from scaldloaf.dough.heat_balance import (
    BEST_HEATS,
    HEATS,
    Matter,
    Part,
    dough_by_heat_balance_c,
    matter_of,
    water_by_heat_balance,
)
from scaldloaf.dough.limits import LARGEST_LIQUID_RATIO, ROUNDING, TOLERANCE_DEGC
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.swelling import swollen_percent
from scaldloaf.dough.temperature import BOILING_DEGC
from scaldloaf.reference import Coefficient, coefficient

SCALD_LOSS_DEGC = coefficient("scald_loss_degc")
SCALD_LOSS_MIXER_DEGC = coefficient("scald_loss_mixer_degc")
SCALD_LOSS_EXCESS_DEGC = coefficient("scald_loss_excess_degc").value
GELATINISATION_START_DEGC = coefficient("gelatinisation_start_degc").value
GELATINISATION_END_DEGC = coefficient("gelatinisation_end_degc").value
GELATINISATION_MINUTES = coefficient("gelatinisation_minutes")
COOLING_FIRST_FROM_DEGC = coefficient("cooling_first_from_degc").value
COOLING_FIRST_TO_DEGC = coefficient("cooling_first_to_degc").value
COOLING_FIRST_HOURS = coefficient("cooling_first_hours").value
COOLING_TOTAL_TO_DEGC = coefficient("cooling_total_to_degc").value
COOLING_TOTAL_HOURS = coefficient("cooling_total_hours").value
COOLING_AMBIENT_HOURS = coefficient("cooling_ambient_hours").value
SCALD_HOLDING_HOURS = coefficient("scald_holding_hours").value
THERMOMETER_ERROR_DEGC = coefficient("thermometer_error_degc").value

HAND, MIXER = "hand", "mixer"
GELATINISED, PARTLY, NOT_GELATINISED = "gelatinised", "partly", "not_gelatinised"
IN_TIME, UNCERTAIN, TOO_SLOW = "in_time", "uncertain", "too_slow"
USUAL, LONGER_THAN_USUAL, TOO_WARM = "usual", "longer_than_usual", "too_warm"

LEAST_MINUTES_APART = 1.0  # a guard rail of the input: two readings closer than this say nothing


# ---- How hot a scald gets ------------------------------------------------------------------------


class Scald(NamedTuple):
    """What goes into a scald: the solids at their temperature, the liquid, and their masses in g.

    put_in_g counts everything before cooking; evaporation_g is what cooking is meant to remove.
    """

    solids: tuple[Part, ...]
    liquid: Matter
    flour_g: float
    liquid_g: float
    put_in_g: float
    water_g: float
    evaporation_g: float = 0.0

    @property
    def liquid_ratio(self) -> float:
        """Liquid over flour, by mass."""
        return self.liquid_g / self.flour_g


class Heated(NamedTuple):
    """How hot the scald's core gets, °C, and what that does to the starch.

    ideal_c: with no heat lost; None for a scald cooked to a measured temperature. swollen: percent of the
    starch. mixed: the scald after ten minutes in a mixer, °C; None by hand or cooked. assessment: of the
    best value; at_low, at_high: of the ends. ideal_c_needed (with no heat lost), liquid_c_needed and
    ratio_needed would just do; None where they are not needed or where nothing would.
    """

    core: Estimate
    ideal_c: float | None
    swollen: Estimate
    mixed: Estimate | None
    assessment: str
    at_low: str
    at_high: str
    ideal_c_needed: float | None = None
    liquid_c_needed: float | None = None
    ratio_needed: float | None = None


def scald_of(formula: Formula, flour_c: float) -> Scald:
    """The scald of a formula, its dry lines at the flour's temperature, °C. Raises Refusal without one."""
    breakdown = break_down(formula)
    flour_g, liquid_g = breakdown.scald_flour_g, breakdown.scald_liquid_g
    if flour_g < LEAST_FLOUR_G or liquid_g < LEAST_FLOUR_G:
        require_liquid_said(formula, breakdown)
        raise Refusal(
            "formula.lines",
            "no_scald",
            'a scald needs flour and a liquid with part "scald"; the formula has no such lines'
            if flour_g < LEAST_FLOUR_G
            else 'the scald has flour but no liquid; put some of the water into part "scald"',
        )
    solids: list[Part] = []
    liquid, put_in, water = Matter(), 0.0, 0.0
    for line in formula.lines:
        if line.part != SCALD or line.mass_g <= 0:
            continue
        put_in += line.mass_g
        water += line.mass_g * line.ingredient.water_percent / 100
        matter = matter_of(line.ingredient, line.mass_g)
        if line.ingredient.is_liquid:
            liquid = liquid.plus(matter)
        else:
            solids.append(Part(line.ingredient.label, line.mass_g, flour_c, matter))
    return Scald(tuple(solids), liquid, flour_g, liquid_g, put_in, water, formula.scald_evaporation_g)


def require_liquid_said(formula: Formula, breakdown: Breakdown) -> None:
    """Refuse a scald whose liquid, by its breakdown, may be an own ingredient that does not say so."""
    if breakdown.scald_flour_g < LEAST_FLOUR_G or breakdown.scald_liquid_g >= LEAST_FLOUR_G:
        return
    for place, line in enumerate(formula.lines):
        if line.part == SCALD and line.mass_g > 0 and may_be_liquid(line.ingredient):
            raise Refusal(
                f"formula.lines.{place}.composition.is_liquid",
                "liquid_unsaid",
                "nothing in the scald counts as liquid; if {ingredient} is its liquid, say so",
                nearest=True,
                amounts={"ingredient": line.ingredient.name},
            )


def gelatinisation_at(core_c: float) -> str:
    """What wheat starch does at a core temperature, °C, held for a minute or two.

    From 65 °C it has gelatinised, from 53 °C in part, below not at all. For water in excess and little
    sugar; scarce water and sugar raise the range. Source: belitz, Table 4.24.
    """
    if core_c >= GELATINISATION_END_DEGC - TOLERANCE_DEGC:
        return GELATINISED
    return PARTLY if core_c >= GELATINISATION_START_DEGC - TOLERANCE_DEGC else NOT_GELATINISED


def after_loss_c(ideal_c: float, room_c: float, loss_c: float) -> float:
    """Core temperature, °C, after the heat lost to bowl and air.

    The whole loss for a scald as hot as one from boiling water. A cooler one loses in proportion to its
    excess over the room, one no warmer than the room nothing. Evidence: assumption.
    """
    return ideal_c - loss_c * min(1.0, max(0.0, ideal_c - room_c) / SCALD_LOSS_EXCESS_DEGC)


def before_loss_c(core_c: float, room_c: float, loss_c: float) -> float:
    """The ideal temperature, °C, that leaves ``core_c`` after the loss: the inverse of ``after_loss_c``."""
    if core_c <= room_c:
        return core_c
    ideal = core_c + loss_c
    if ideal - room_c >= SCALD_LOSS_EXCESS_DEGC:
        return ideal
    return (core_c - room_c * loss_c / SCALD_LOSS_EXCESS_DEGC) / (1 - loss_c / SCALD_LOSS_EXCESS_DEGC)


def ideal_temperature_c(scald: Scald, liquid_c: float, heats: Mapping[str, float] = BEST_HEATS) -> float:
    """Temperature of the hot liquid and the flour together with no heat lost, °C.

    sum m c T over sum m c; 74, 83 and 89 °C from flour at 25 and water at 95 °C at 1:1, 1:2 and 1:5.
    Leaves out the heat of gelatinisation (a degree or less). Exact given the specific heats.
    """
    return dough_by_heat_balance_c(liquid_c, 0.0, scald.solids, scald.liquid, heats)


def pour_over(scald: Scald, liquid_c: float, room_c: float, stirred: str = HAND) -> Heated:
    """A scald made by pouring hot liquid on the flour.

    The band moves the loss and the flour's specific heat over their ranges, one at a time, root sum of
    squares. How far the starch swells is
    settled in the first minute or two, by hand and in a mixer; a mixer that runs on only cools it. Where the
    best value falls short of gelatinisation, names the liquid temperature and the ratio that would just do.

    Parameters
        scald : Scald
        liquid_c : float  [°C], 0 to 100
        room_c : float  [°C]
        stirred : str  HAND or MIXER
    Returns
        Heated  (assumption: the loss; published: patent and trade for the mixer, a mill for the swelling)
    """
    loss, flour_heat = SCALD_LOSS_DEGC, HEATS["flour"]
    ends = [
        ideal_temperature_c(scald, liquid_c, {**BEST_HEATS, "flour": heat})
        for heat in (flour_heat.low, flour_heat.high)
    ]
    ideal = ideal_temperature_c(scald, liquid_c)

    def after(loss: Coefficient) -> Estimate:
        best = after_loss_c(ideal, room_c, loss.value)
        cooler, warmer = (after_loss_c(end, room_c, loss.value) for end in (min(ends), max(ends)))
        return Estimate(
            best - hypot(best - after_loss_c(ideal, room_c, loss.high), best - min(cooler, best)),
            best,
            best + hypot(after_loss_c(ideal, room_c, loss.low) - best, max(warmer, best) - best),
            weakest(loss.evidence, flour_heat.evidence),
        )

    core = after(loss)
    heated = Heated(
        core,
        ideal,
        core.map(swollen_percent),
        after(SCALD_LOSS_MIXER_DEGC) if stirred == MIXER else None,
        gelatinisation_at(core.best),
        gelatinisation_at(core.low),
        gelatinisation_at(core.high),
    )
    if heated.assessment == GELATINISED:
        return heated
    needed = before_loss_c(GELATINISATION_END_DEGC, room_c, loss.value)
    liquid_needed = water_by_heat_balance(needed, 0.0, scald.solids, scald.liquid).best
    return heated._replace(
        ideal_c_needed=needed,
        liquid_c_needed=liquid_needed if liquid_needed <= BOILING_DEGC else None,
        ratio_needed=_ratio_needed(scald, liquid_c, needed) if liquid_c > needed else None,
    )


def _ratio_needed(scald: Scald, liquid_c: float, needed_c: float) -> float | None:
    """Liquid over flour that brings the scald to ``needed_c`` with liquid warmer than that, all in °C.

    None where no scald is that thin.
    """
    missing = sum(
        part.matter.heat_capacity_j_per_k(BEST_HEATS) * (needed_c - part.temperature_c)
        for part in scald.solids
    )
    supplied = scald.liquid.heat_capacity_j_per_k(BEST_HEATS) * (liquid_c - needed_c)
    ratio = scald.liquid_ratio * missing / supplied
    return ratio if ratio <= LARGEST_LIQUID_RATIO else None


def cooked_to(core_c: float) -> Heated:
    """A roux cooked to a measured core temperature, °C, give or take the thermometer's error."""
    error = THERMOMETER_ERROR_DEGC
    core = Estimate(core_c - error, core_c, core_c + error, "assumption")
    return Heated(
        core,
        None,
        core.map(swollen_percent),
        None,
        gelatinisation_at(core_c),
        gelatinisation_at(core.low),
        gelatinisation_at(core.high),
    )


# ---- Water after cooking -------------------------------------------------------------------------


class TopUp(NamedTuple):
    """The scald weighed after cooking, g: water_to_add or still_to_evaporate, at least one of them 0."""

    target_g: float
    measured_g: float
    evaporated_g: float
    water_to_add_g: float
    still_to_evaporate_g: float


def top_up(scald: Scald, gross_g: float, container_g: float = 0.0) -> TopUp:
    """What to add to a cooked scald to bring it to the mass its formula counts on.

    The target is what was put in, less the evaporation the formula plans. gross_g: as weighed;
    container_g: the pan. No figure of evaporation is published, so it is weighed and not assumed. Raises
    Refusal when the net mass is impossible. Source: mass balance (exact).
    """
    net = gross_g - container_g
    dry = scald.put_in_g - scald.water_g
    if net > scald.put_in_g * (1 + ROUNDING):
        raise Refusal(
            "gross",
            "heavier_than_put_in",
            "what is left weighs {net}, more than the {put_in} that went in; was the container weighed "
            "with it?",
            given=gross_g,
            nearest=scald.put_in_g + container_g,
            quantity="mass",
            amounts={"net": (net, "mass"), "put_in": (scald.put_in_g, "mass")},
        )
    if net < dry:
        raise Refusal(
            "gross",
            "lighter_than_dry",
            "what is left weighs {net}, less than the {dry} that would be left without any water; "
            "was the container subtracted twice?",
            given=gross_g,
            nearest=dry + container_g,
            quantity="mass",
            amounts={"net": (net, "mass"), "dry": (dry, "mass")},
        )
    target = scald.put_in_g - scald.evaporation_g
    return TopUp(target, net, scald.put_in_g - net, max(0.0, target - net), max(0.0, net - target))


# ---- Cooling and holding -------------------------------------------------------------------------


class Reading(NamedTuple):
    """A thermometer reading: minutes on any clock, °C in the middle of the scald."""

    minutes: float
    temperature_c: float


class CoolingStep(NamedTuple):
    """One time limit of cooling, °C and hours; hours is None when unknown or never."""

    from_c: float
    to_c: float
    allowed_hours: float
    hours: Estimate | None = None
    assessment: str | None = None


_COOLING_LIMITS = (
    CoolingStep(COOLING_FIRST_FROM_DEGC, COOLING_FIRST_TO_DEGC, COOLING_FIRST_HOURS),
    CoolingStep(COOLING_FIRST_FROM_DEGC, COOLING_TOTAL_TO_DEGC, COOLING_TOTAL_HOURS),
)


def cooling_rate_per_hour(first: Reading, second: Reading, surroundings_c: float) -> float:
    """Newton's cooling constant, 1/h, from two readings: ln((T1 - Ts)/(T2 - Ts)) / (t2 - t1).

    Temperatures in °C with T1 > T2 > Ts. Good for a stirred or shallow scald in steady surroundings; a
    deep one cools more slowly in the middle. Source: Newton's law of cooling.
    """
    hours = (second.minutes - first.minutes) / 60
    return log((first.temperature_c - surroundings_c) / (second.temperature_c - surroundings_c)) / hours


def hours_to_cool(from_c: float, to_c: float, surroundings_c: float, rate_per_hour: float) -> float:
    """Hours from one temperature to a lower one at Newton's constant.

    Parameters
        from_c, to_c : float  [°C], from_c > surroundings_c
        surroundings_c : float  [°C]
        rate_per_hour : float  [1/h]
    Returns
        float  [h]; infinite if the surroundings are no colder than to_c
    Source
        Newton's law of cooling
    """
    if to_c <= surroundings_c:
        return inf
    return log((from_c - surroundings_c) / (to_c - surroundings_c)) / rate_per_hour


def _check_readings(first: Reading, second: Reading, surroundings_c: float) -> None:
    """Refuse readings that are too close in time, to each other or to the surroundings."""
    error = THERMOMETER_ERROR_DEGC
    if second.minutes < first.minutes + LEAST_MINUTES_APART:
        raise Refusal(
            "readings.1.minutes",
            "readings_out_of_order",
            "the second reading must be at least a minute later than the first",
            given=second.minutes,
            nearest=first.minutes + LEAST_MINUTES_APART,
        )
    if second.temperature_c > first.temperature_c - 4 * error:
        raise Refusal(
            "readings.1.temperature",
            "readings_too_close",
            "the second reading must be at least {gap} below the first, or the thermometer's own "
            "error hides the cooling; read again later",
            given=second.temperature_c,
            nearest=first.temperature_c - 4 * error,
            quantity="temperature",
            amounts={"gap": (4 * error, "temperature_difference")},
        )
    if second.temperature_c < surroundings_c + 2 * error:
        raise Refusal(
            "surroundings",
            "too_near_surroundings",
            "a scald cools towards its surroundings and not below them; the second reading must be "
            "at least {gap} above",
            given=surroundings_c,
            nearest=second.temperature_c - 2 * error,
            quantity="temperature",
            amounts={"gap": (2 * error, "temperature_difference")},
        )


def _how_fast(hours: Estimate, allowed: float) -> str:
    if hours.high <= allowed:
        return IN_TIME
    return TOO_SLOW if hours.low > allowed else UNCERTAIN


def cooling_steps(
    readings: tuple[Reading, Reading] | None = None, surroundings_c: float | None = None
) -> tuple[CoolingStep, ...]:
    """The limits for cooling a cooked scald that will be kept, and how this one meets them.

    57 to 21 °C within 2 h, and to 5 °C within 6 h altogether (fda_food_code_3_501_14). With two of the
    baker's readings in steady surroundings, Newton's law gives the hours; their band is the thermometer's
    error at both readings. Raises Refusal for readings that do not cool. Evidence of the hours: assumption.
    """
    if readings is None or surroundings_c is None:
        return _COOLING_LIMITS
    first, second = readings
    _check_readings(first, second, surroundings_c)
    error = THERMOMETER_ERROR_DEGC
    # Fast, best, slow: the readings further apart by the error, as read, closer together.
    rates = [
        cooling_rate_per_hour(
            Reading(first.minutes, first.temperature_c + sign * error),
            Reading(second.minutes, second.temperature_c - sign * error),
            surroundings_c,
        )
        for sign in (1, 0, -1)
    ]
    steps = []
    for limit in _COOLING_LIMITS:
        fast, best, slow = (hours_to_cool(limit.from_c, limit.to_c, surroundings_c, rate) for rate in rates)
        if best == inf:
            steps.append(limit._replace(assessment=TOO_SLOW))
        else:
            hours = Estimate(fast, best, slow, "assumption")
            steps.append(limit._replace(hours=hours, assessment=_how_fast(hours, limit.allowed_hours)))
    return tuple(steps)


def holding_assessment(hours: float, temperature_c: float) -> str:
    """How a wait of the scald, h at °C, compares with common practice: cold, and no longer than usual.

    Says what is usual; the local food code says what is safe. Evidence: common practice (hours),
    published (temperature).
    """
    if temperature_c > COOLING_TOTAL_TO_DEGC + TOLERANCE_DEGC:
        return TOO_WARM
    return USUAL if hours <= SCALD_HOLDING_HOURS else LONGER_THAN_USUAL
