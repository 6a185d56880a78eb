"""Making the scald, keeping it, and the timetable back from the time the bread must be out.

A scald is made with hot liquid poured on flour, or cooked as a roux. The first question is whether
its core gets hot enough for the starch to gelatinise; the next are its water after cooking, its
cooling, and how long it waits.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf, log

from scaldloaf.dough.estimate import Estimate, weakest
from scaldloaf.dough.formula import LEAST_FLOUR_G, SCALD, Formula, break_down
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.temperature import (
    BEST_HEATS, BOILING_DEGC, FREEZING_DEGC, HEATS, Matter, Part, dough_by_heat_balance_c, matter_of,
    water_by_heat_balance,
)
from scaldloaf.reference import coefficient

LOSS = coefficient("scald_loss_degc")
LOSS_EXCESS_DEGC = coefficient("scald_loss_excess_degc").value
GELATINISES_FROM_DEGC = coefficient("gelatinisation_start_degc").value
GELATINISED_AT_DEGC = coefficient("gelatinisation_end_degc").value
GELATINISATION_MINUTES = coefficient("gelatinisation_minutes")
COOLING_FROM_DEGC = coefficient("cooling_first_from_degc").value
COOLING_FIRST_TO_DEGC = coefficient("cooling_first_to_degc").value
COOLING_FIRST_HOURS = coefficient("cooling_first_hours").value
COOLING_TO_DEGC = coefficient("cooling_total_to_degc").value
COOLING_HOURS = coefficient("cooling_total_hours").value
AMBIENT_HOURS = coefficient("cooling_ambient_hours").value
HOLDING_HOURS = coefficient("scald_holding_hours").value
THERMOMETER_ERROR_DEGC = coefficient("thermometer_error_degc").value

GELATINISED, PARTLY, NOT_GELATINISED = "gelatinised", "partly", "not_gelatinised"
IN_TIME, UNCERTAIN, TOO_SLOW = "in_time", "uncertain", "too_slow"
USUAL, LONGER_THAN_USUAL, TOO_WARM = "usual", "longer_than_usual", "too_warm"

# Guard rails of the input and of arithmetic, not facts of the craft.
TOLERANCE_DEGC = 1e-6
LEAST_MINUTES_APART = 1.0
LONGEST_TIMETABLE_MINUTES = 14 * 24 * 60
_LOCAL_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d)?(Z|[+-]\d\d:\d\d)?")
_LONE_DIGIT = re.compile(r"(?<![\d.])(\d)(?!\d)")


# ---- How hot a scald gets ------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class Scald:
    """What goes into a scald: the solids at their temperature, the liquid, and their masses in g.

    put_in_g counts everything before cooking; evaporation_g is what cooking is meant to take.
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
        return self.liquid_g / self.flour_g


@dataclass(frozen=True, slots=True)
class Heated:
    """How hot the scald's core gets, degC, and what that does to the starch.

    ideal_c: with no heat lost; None for a scald cooked to a measured temperature. ``assessment``
    is of the best value; ``at_low`` and ``at_high`` of the ends. ideal_c_needed, with no heat lost,
    liquid_c_needed and ratio_needed would just do; None where they are not needed or nothing would.
    """

    core: Estimate
    ideal_c: float | None
    assessment: str
    at_low: str
    at_high: str
    ideal_c_needed: float | None = None
    liquid_c_needed: float | None = None
    ratio_needed: float | None = None


def scald_of(formula: Formula, flour_c: float) -> Scald:
    """The scald of a formula, its dry lines at the flour's temperature. Raises Refusal without one."""
    seen = break_down(formula)
    if seen.scald_flour_g < LEAST_FLOUR_G or seen.scald_liquid_g < LEAST_FLOUR_G:
        raise Refusal("formula.lines", "no_scald", "a scald needs flour and a liquid with part \"scald\"; "
                      "the formula has no such lines" if seen.scald_flour_g < LEAST_FLOUR_G else
                      "the scald has flour but no liquid; put some of the water into part \"scald\"")
    solids, liquid, put_in, water = [], Matter(), 0.0, 0.0
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
    return Scald(tuple(solids), liquid, seen.scald_flour_g, seen.scald_liquid_g, put_in, water,
                 formula.scald_evaporation_g)


def gelatinisation_at(core_c: float) -> str:
    """What wheat starch does at a core temperature held for a minute or two.

    At and above 65 degC it has gelatinised, from 53 in part, below not. Water in excess, little
    sugar; both scarce water and sugar raise the range. Source: belitz, Table 4.24.
    """
    if core_c >= GELATINISED_AT_DEGC - TOLERANCE_DEGC:
        return GELATINISED
    return PARTLY if core_c >= GELATINISES_FROM_DEGC - TOLERANCE_DEGC else NOT_GELATINISED


def after_loss_c(ideal_c: float, room_c: float, loss_c: float) -> float:
    """Core temperature, degC, once bowl and air have had their heat.

    The whole loss for a scald as hot as one from boiling water; a cooler one loses in proportion
    to its excess over the room, one no warmer than the room nothing. Evidence: assumption.
    """
    return ideal_c - loss_c * min(1.0, max(0.0, ideal_c - room_c) / LOSS_EXCESS_DEGC)


def before_loss_c(core_c: float, room_c: float, loss_c: float) -> float:
    """The ideal temperature, degC, that leaves ``core_c`` after the loss: ``after_loss_c`` backwards."""
    if core_c <= room_c:
        return core_c
    ideal = core_c + loss_c
    if ideal - room_c >= LOSS_EXCESS_DEGC:
        return ideal
    return (core_c - room_c * loss_c / LOSS_EXCESS_DEGC) / (1 - loss_c / LOSS_EXCESS_DEGC)


def ideal_temperature_c(scald: Scald, liquid_c: float, heats=BEST_HEATS) -> float:
    """What the hot liquid and the flour come to with no heat lost, degC.

    sum m c T over sum m c; 74, 83 and 89 degC from flour at 25 and water at 95 at 1:1, 1:2 and
    1:5. The heat of gelatinisation is left out (a degree or less). Exact given the specific heats.
    """
    return dough_by_heat_balance_c(liquid_c, 0.0, scald.solids, scald.liquid, heats)


def pour_over(scald: Scald, liquid_c: float, room_c: float) -> Heated:
    """A scald made by pouring hot liquid on the flour.

    Temperatures in degC, liquid 0-100. The band: the loss over its range, the flour's specific
    heat over its own. Where the best value falls short, says the liquid temperature and the ratio
    that would just do. Evidence: assumption (the loss).
    """
    flour_heat = HEATS["flour"]
    ends = [ideal_temperature_c(scald, liquid_c, {**BEST_HEATS, "flour": heat})
            for heat in (flour_heat.low, flour_heat.high)]
    ideal = ideal_temperature_c(scald, liquid_c)
    core = Estimate(after_loss_c(min(ends), room_c, LOSS.high), after_loss_c(ideal, room_c, LOSS.value),
                    after_loss_c(max(ends), room_c, LOSS.low), weakest(LOSS.evidence, flour_heat.evidence))
    assessment = gelatinisation_at(core.best)
    wanted = liquid_needed = ratio_needed = None
    if assessment != GELATINISED:
        wanted = before_loss_c(GELATINISED_AT_DEGC, room_c, LOSS.value)
        liquid_needed = water_by_heat_balance(wanted, 0.0, scald.solids, scald.liquid).best
        if liquid_needed > BOILING_DEGC:
            liquid_needed = None
        if liquid_c > wanted:
            wanting = sum(part.matter.heat_capacity_j_per_k(BEST_HEATS) * (wanted - part.temperature_c)
                          for part in scald.solids)
            giving = scald.liquid.heat_capacity_j_per_k(BEST_HEATS) * (liquid_c - wanted)
            ratio_needed = scald.liquid_ratio * wanting / giving
    return Heated(core, ideal, assessment, gelatinisation_at(core.low), gelatinisation_at(core.high),
                  wanted, liquid_needed, ratio_needed)


def cooked_to(core_c: float) -> Heated:
    """A roux cooked to a measured core temperature, degC, give or take the thermometer."""
    core = Estimate(core_c - THERMOMETER_ERROR_DEGC, core_c, core_c + THERMOMETER_ERROR_DEGC, "assumption")
    return Heated(core, None, gelatinisation_at(core_c), gelatinisation_at(core.low),
                  gelatinisation_at(core.high))


def require_liquid_temperature(value_c: float, argument: str) -> None:
    """Refuse a liquid that is ice or steam."""
    if not FREEZING_DEGC <= value_c <= BOILING_DEGC:
        raise Refusal(argument, "not_liquid",
                      "a liquid to scald with is between {least} and {most}; is it the other temperature "
                      "scale?",
                      given=value_c, nearest=min(max(value_c, FREEZING_DEGC), BOILING_DEGC),
                      quantity="temperature", amounts={"least": (FREEZING_DEGC, "temperature"),
                                                       "most": (BOILING_DEGC, "temperature")})


# ---- Water after cooking -------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class TopUp:
    """The scald weighed after cooking, g: water_to_add or still_to_evaporate, at least one of them 0."""

    target_g: float
    measured_g: float
    evaporated_g: float
    water_to_add_g: float
    still_to_evaporate_g: float


def top_up(scald: Scald, gross_g: float, container_g: float = 0.0) -> TopUp:
    """What to add to a cooked scald to bring it to the mass its formula counts on.

    Target: what was put in, less the evaporation the formula plans. gross_g: as weighed;
    container_g: the pan. No figure of evaporation is published, so it is weighed, not guessed.
    Raises Refusal when the net mass cannot be. Source: mass balance (exact).
    """
    net = gross_g - container_g
    dry = scald.put_in_g - scald.water_g
    if net > scald.put_in_g * (1 + 1e-9):
        raise Refusal("weighed.mass", "heavier_than_put_in",
                      "what is left weighs {net}, more than the {put_in} that went in; is the pan in it "
                      "(container_mass)?", given=gross_g, nearest=scald.put_in_g + container_g,
                      quantity="mass",
                      amounts={"net": (net, "mass"), "put_in": (scald.put_in_g, "mass")})
    if net < dry:
        raise Refusal("weighed.mass", "lighter_than_dry",
                      "what is left weighs {net}, less than the {dry} that would be left without any water; "
                      "was the pan taken off twice?", given=gross_g, nearest=dry + container_g,
                      quantity="mass",
                      amounts={"net": (net, "mass"), "dry": (dry, "mass")})
    target = scald.put_in_g - scald.evaporation_g
    return TopUp(target, net, scald.put_in_g - net, max(0.0, target - net), max(0.0, net - target))


# ---- Cooling and holding -------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class Reading:
    """A thermometer reading: minutes on any clock, degC in the middle of the scald."""

    minutes: float
    temperature_c: float


@dataclass(frozen=True, slots=True)
class CoolingStep:
    """One time limit of cooling, degC and hours; hours is None when unknown or never."""

    from_c: float
    to_c: float
    allowed_hours: float
    hours: Estimate | None = None
    assessment: str | None = None


def cooling_rate_per_hour(first: Reading, second: Reading, surroundings_c: float) -> float:
    """Newton's cooling constant, 1/h, from two readings: ln((T1 - Ts)/(T2 - Ts)) / (t2 - t1).

    Temperatures in degC with T1 > T2 > Ts. Good for a stirred or shallow scald in steady
    surroundings; a deep one cools slower in the middle. Source: Newton's law of cooling.
    """
    hours = (second.minutes - first.minutes) / 60
    return log((first.temperature_c - surroundings_c) / (second.temperature_c - surroundings_c)) / hours


def hours_to_cool(from_c: float, to_c: float, surroundings_c: float, rate_per_hour: float) -> float:
    """Hours from one temperature to a lower one at Newton's constant; infinite if the surroundings are
    no colder than where it should end. Temperatures in degC, from_c > surroundings_c."""
    if to_c <= surroundings_c:
        return inf
    return log((from_c - surroundings_c) / (to_c - surroundings_c)) / rate_per_hour


def _check_readings(first: Reading, second: Reading, surroundings_c: float) -> None:
    error = THERMOMETER_ERROR_DEGC
    if second.minutes < first.minutes + LEAST_MINUTES_APART:
        raise Refusal("cooling.readings.1.minutes", "readings_out_of_order",
                      "the second reading must be at least a minute later than the first",
                      given=second.minutes, nearest=first.minutes + LEAST_MINUTES_APART)
    if second.temperature_c > first.temperature_c - 4 * error:
        raise Refusal("cooling.readings.1.temperature", "readings_too_close",
                      "the second reading must be at least {gap} below the first, or the thermometer's own "
                      "error hides the cooling; read again later", given=second.temperature_c,
                      nearest=first.temperature_c - 4 * error, quantity="temperature",
                      amounts={"gap": (4 * error, "temperature_difference")})
    if second.temperature_c < surroundings_c + 2 * error:
        raise Refusal("cooling.surroundings_temperature", "too_near_surroundings",
                      "a scald cools towards its surroundings and not below them; the second reading must be "
                      "at least {gap} above", given=surroundings_c, nearest=second.temperature_c - 2 * error,
                      quantity="temperature", amounts={"gap": (2 * error, "temperature_difference")})


def _how_fast(hours: Estimate, allowed: float) -> str:
    if hours.high <= allowed:
        return IN_TIME
    return TOO_SLOW if hours.low > allowed else UNCERTAIN


def cooling_steps(readings: tuple[Reading, Reading] | None = None,
                  surroundings_c: float | None = None) -> tuple[CoolingStep, CoolingStep]:
    """The limits for cooling a cooked scald that will be kept, and how it is doing against them.

    57 to 21 degC within 2 h, and to 5 within 6 h in all (fda_food_code_3_501_14). With two of the
    baker's readings in steady surroundings, Newton's law says how long this scald takes; the band
    is the thermometer's error at both. Raises Refusal for readings that do not cool. Evidence of
    the hours: assumption.
    """
    limits = ((COOLING_FIRST_TO_DEGC, COOLING_FIRST_HOURS), (COOLING_TO_DEGC, COOLING_HOURS))
    if readings is None or surroundings_c is None:
        return tuple(CoolingStep(COOLING_FROM_DEGC, to, allowed) for to, allowed in limits)
    first, second = readings
    _check_readings(first, second, surroundings_c)
    error = THERMOMETER_ERROR_DEGC

    def rate(sign: int) -> float:
        return cooling_rate_per_hour(Reading(first.minutes, first.temperature_c + sign * error),
                                     Reading(second.minutes, second.temperature_c - sign * error),
                                     surroundings_c)

    steps = []
    for to, allowed in limits:
        fast, best, slow = (hours_to_cool(COOLING_FROM_DEGC, to, surroundings_c, rate(sign))
                            for sign in (1, 0, -1))
        if best == inf:
            steps.append(CoolingStep(COOLING_FROM_DEGC, to, allowed, None, TOO_SLOW))
        else:
            hours = Estimate(fast, best, slow, "assumption")
            steps.append(CoolingStep(COOLING_FROM_DEGC, to, allowed, hours, _how_fast(hours, allowed)))
    return tuple(steps)


def holding_assessment(hours: float, temperature_c: float) -> str:
    """A wait of the scald against common practice: cold, and no longer than bakers usually keep it.

    Says what is usual; whether it is safe is for the local food code. Evidence: common practice
    (hours), published (temperature).
    """
    if temperature_c > COOLING_TO_DEGC + TOLERANCE_DEGC:
        return TOO_WARM
    return USUAL if hours <= HOLDING_HOURS else LONGER_THAN_USUAL


# ---- The timetable -------------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class Task:
    """A stretch of the work, in order: cool scald, mix, bulk, divide, proof, bake, cool."""

    name: str
    minutes: float


@dataclass(frozen=True, slots=True)
class Timed:
    """A task with its times: minutes before the bread must be out, and clock times when that is known.

    Clock times are ISO 8601 in the offset (or none) of the time given, whole minutes, rounded to
    the earlier one; days_before counts the midnights between its start and the end.
    """

    name: str
    minutes: float
    starts_minutes_before: float
    ends_minutes_before: float
    starts_at: str | None = None
    ends_at: str | None = None
    days_before: int | None = None


def read_local_time(text: str, argument: str = "timetable.ready_at") -> datetime:
    """A local date and time, ISO 8601 with or without an offset ("2026-12-01T07:00", "…+01:00").

    Raises Refusal for anything else, with the spelling that was probably meant.
    """
    def parsed(spelling: str) -> datetime | None:
        if not _LOCAL_TIME.fullmatch(spelling):
            return None
        try:
            return datetime.fromisoformat(spelling)
        except ValueError:
            return None

    found = parsed(text)
    if found is None:
        repaired = _LONE_DIGIT.sub(r"0\1", text.strip().upper().replace(" ", "T", 1))
        raise Refusal(argument, "not_a_local_time",
                      "must be a date and time such as 2026-12-01T07:00, with an offset (+01:00) or without",
                      given=text, nearest=repaired if parsed(repaired) else None)
    return found


def timetable(tasks: Sequence[Task], ready_at: str | None = None,
              argument: str = "timetable") -> tuple[Timed, ...]:
    """When each task starts, reckoned backwards from the time the bread must be out.

    tasks in the order they are done, the last one ends when the bread must be out. ready_at: that
    time, as ``read_local_time`` takes it; without it only minutes before. Hours are counted as
    they pass: a time with an offset keeps that offset, one without keeps its wall clock, so a
    change of the clocks in between is the baker's to add. Raises Refusal for a time that is none,
    or a timetable of more than two weeks. Exact.
    """
    total = sum(task.minutes for task in tasks)
    if total > LONGEST_TIMETABLE_MINUTES:
        raise Refusal(f"{argument}.stages", "timetable_too_long",
                      "the stages take {total} minutes; a timetable of up to {most} is made",
                      amounts={"total": (total, None), "most": (LONGEST_TIMETABLE_MINUTES, None)})
    ready = None if ready_at is None else read_local_time(ready_at, f"{argument}.ready_at")
    timed, before = [], 0.0
    for task in reversed(tasks):
        starts = before + task.minutes
        starts_at = ends_at = days = None
        if ready is not None:
            begin, end = (_earlier(ready, minutes, argument) for minutes in (starts, before))
            starts_at, ends_at = (time.isoformat(timespec="minutes") for time in (begin, end))
            days = (ready.date() - begin.date()).days
        timed.append(Timed(task.name, task.minutes, starts, before, starts_at, ends_at, days))
        before = starts
    return tuple(reversed(timed))


def _earlier(ready: datetime, minutes: float, argument: str) -> datetime:
    try:
        return (ready - timedelta(minutes=minutes)).replace(second=0, microsecond=0)
    except OverflowError:
        raise Refusal(f"{argument}.ready_at", "not_a_local_time", "the work would start before the year 1",
                      given=ready.isoformat()) from None
