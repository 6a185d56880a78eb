"""Sugar through the stages: what the yeast eats, when it runs short, what stays in the loaf.

Pools and rates are grams of hexose per 100 g of flour ("percent of flour, as hexose") and hours
from mixing. Maltose counts as the glucose it yields (x hexose_per_maltose); results in ``_percent``
of a named sugar are grams of that sugar. Semi-mechanistic: stoichiometry and mass balance are
exact, the rates are rough; the answer carries a band of a quarter on the sugar used and of a
factor of two on the maltose made.

Between events (a stage ends, a pool empties, maltose is taken up) every pool is a straight line
plus the enzymes' exponentials, so the course is exact; no step size anywhere.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, expm1, inf

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import Breakdown, Formula, break_down
from scaldloaf.dough.refusal import Refusal
from scaldloaf.reference import Coefficient, coefficient

ORDINARY, SUGAR_TOLERANT = "ordinary", "sugar_tolerant"
FED, ON_MALTOSE, STARVED, NO_YEAST = "fed", "on_maltose", "starved", "no_yeast"

HEXOSE_PER_SUCROSE = coefficient("hexose_per_sucrose").value
HEXOSE_PER_MALTOSE = coefficient("hexose_per_maltose").value
CO2_30C_ML_PER_G = coefficient("co2_volume_30c_ml_per_g_hexose").value
GAS_DEGC = 30.0             # what that volume is measured at
INSTANT_PER_COMPRESSED = coefficient("yeast_instant_per_compressed").value
UPTAKE_G_PER_G_H = coefficient("yeast_uptake_g_per_g_h").value
UPTAKE_REFERENCE_DEGC = coefficient("yeast_uptake_reference_degc").value
RATE_PER_DEGC = coefficient("yeast_rate_per_degc").value
RATE_LOW_DEGC = coefficient("yeast_rate_low_degc").value
RATE_HIGH_DEGC = coefficient("yeast_rate_high_degc").value
COLDEST_DEGC = coefficient("yeast_working_lowest_degc").value
HOTTEST_DEGC = coefficient("yeast_working_highest_degc").value
LONGEST_MINUTES = 60 * coefficient("sugar_budget_longest_hours").value
DAMAGED_STARCH_PERCENT = coefficient("damaged_starch_reference_percent").value
DAMAGED_STARCH_UPPER_PERCENT = coefficient("damaged_starch_upper_percent").value
BAKE_LOSS_PERCENT = coefficient("bake_loss_lidded_percent").value
BAKE_LOSS_UPPER_PERCENT = coefficient("bake_loss_upper_percent").value
AMYLASE_MALTOSE_PERCENT = coefficient("amylase_maltose_percent").value
AMYLASE_RATE_PER_HOUR = coefficient("amylase_rate_per_hour").value
SCALD_AMYLASE_RATE_PER_HOUR = coefficient("scald_amylase_rate_per_hour").value
SCALD_MALTOSE_PERCENT = coefficient("scald_maltose_per_flour_percent").value
SHARE_LIMIT_PERCENT = coefficient("scald_share_limit_percent").value
SUGAR_NOTE_PERCENT = coefficient("sugar_note_percent").value
SUGAR_TOLERANT_ADVISED_PERCENT = coefficient("sugar_tolerant_advised_percent").value
USED_BAND = coefficient("sugar_used_relative_band").value
MALTOSE_BAND = coefficient("maltose_factor_band").value

FLOUR = {sugar: coefficient(f"flour_{sugar}_percent").value
          for sugar in ("glucose", "fructose", "maltose", "sucrose_glucofructan")}
SWEETNESS = {sugar: coefficient(f"sweetness_{sugar}")
              for sugar in ("sucrose", "glucose", "fructose", "maltose", "lactose")}
HEXOSE_MOLAR_G = coefficient("molar_mass_hexose_g").value
DISACCHARIDE_MOLAR_G = coefficient("molar_mass_disaccharide_g").value
SALT_MOLAR_G = coefficient("molar_mass_salt_g").value
SALT_PARTICLES = coefficient("salt_particles").value
GAS_L_ATM_PER_MOL_K = coefficient("gas_constant_l_atm_per_mol_k").value
PRESSURE_K = UPTAKE_REFERENCE_DEGC + 273.15    # the Celsius scale's own zero
_ORDINARY_BRAKE = (
    (coefficient("osmotic_ordinary_full_atm").value, 1.0),
    (coefficient("osmotic_ordinary_three_quarters_atm").value,
     coefficient("osmotic_ordinary_three_quarters_factor").value),
    (coefficient("osmotic_ordinary_half_atm").value, coefficient("osmotic_ordinary_half_factor").value),
)
_TOLERANT_BRAKE = (
    (coefficient("osmotic_tolerant_full_atm").value, 1.0),
    (coefficient("osmotic_tolerant_reduced_atm").value, coefficient("osmotic_tolerant_reduced_factor").value),
)
BRAKES = {ORDINARY: (_ORDINARY_BRAKE, coefficient("osmotic_ordinary_floor").value),
          SUGAR_TOLERANT: (_TOLERANT_BRAKE, coefficient("osmotic_tolerant_floor").value)}
HIGHEST_KNOWN_ATM = _TOLERANT_BRAKE[-1][0]     # beyond it the brake is a straight line drawn on
EVIDENCE = "assumption"                        # the weakest link: uptake order, brake, maltose
_SAMPLE_MINUTES = (1, 2, 5, 10, 15, 20, 30, 60, 90)
_MOST_SAMPLES = 48


# ---- The parts of the budget, one at a time ----------------------------------------------------

@dataclass(frozen=True, slots=True)
class Stage:
    """A stretch of time at one dough temperature."""

    name: str
    minutes: float
    temperature_c: float

    @property
    def outside_rate_range(self) -> bool:
        """Whether the temperature factor is drawn on beyond where it was stated."""
        return not RATE_LOW_DEGC <= self.temperature_c <= RATE_HIGH_DEGC


@dataclass(frozen=True, slots=True)
class Pools:
    """Sugars in the dough, g of hexose per 100 g of flour."""

    glucose: float
    fructose: float
    maltose: float

    @property
    def free(self) -> float:
        """Glucose and fructose together."""
        return self.glucose + self.fructose

    @property
    def total(self) -> float:
        return self.glucose + self.fructose + self.maltose


@dataclass(frozen=True, slots=True)
class Enzymes:
    """Maltose made t hours after mixing: the sum of ceiling x (1 - exp(-rate t)) over the substrates.

    substrates: (ceiling in g of hexose per 100 g of flour, rate per hour) each.
    """

    substrates: tuple[tuple[float, float], ...] = ()

    def made(self, since: float, begins: float = 0.0) -> float:
        """Maltose made in the ``since`` hours after ``begins``, g of hexose per 100 g of flour."""
        total = 0.0
        for ceiling, rate in self.substrates:
            total -= ceiling * exp(-rate * begins) * expm1(-rate * since)
        return total

    def rate(self, hours: float) -> float:
        """Maltose made per hour at that time; it only ever lessens."""
        total = 0.0
        for ceiling, rate in self.substrates:
            total += ceiling * rate * exp(-rate * hours)
        return total

    def times(self, factor: float) -> "Enzymes":
        """The same course with ``factor`` times the maltose."""
        return Enzymes(tuple((ceiling * factor, rate) for ceiling, rate in self.substrates))


@dataclass(frozen=True, slots=True)
class Appetite:
    """How yeast chooses among sugars.

    glucose_share: part of the free sugar taken that is glucose, while both are there.
    switch: glucose + fructose (g per 100 g of flour) below which maltose is drawn too.
    lag_hours: time from mixing before any maltose is drawn.
    maltose_share: part of the demand then drawn from maltose, while free sugar is left.
    """

    glucose_share: float = coefficient("glucose_uptake_share").value
    switch: float = coefficient("maltose_switch_percent").value
    lag_hours: float = coefficient("maltose_lag_minutes").value / 60
    maltose_share: float = coefficient("maltose_uptake_share").value


APPETITE = Appetite()


def compressed_yeast_percent(seen: Breakdown) -> float:
    """All yeast as compressed yeast, percent of flour.

    Compressed : active dry : instant = 1 : 0.40 : 0.33 by mass. Source: Hamelman 2004.
    """
    return seen.instant_yeast_percent / INSTANT_PER_COMPRESSED


def inverted(seen: Breakdown) -> Pools:
    """Sugars at the end of mixing: the lines' and the flour's own, sucrose split half and half.

    Sucrose (and the flour's glucofructans, taken as sucrose) is inverted by the yeast during mixing:
    x hexose_per_sucrose, half glucose, half fructose (published; stoichiometry exact). Lactose is no
    food for baker's yeast and stays out.
    """
    half = HEXOSE_PER_SUCROSE * (seen.sucrose_percent + FLOUR["sucrose_glucofructan"]) / 2
    return Pools(seen.glucose_percent + FLOUR["glucose"] + half,
                 seen.fructose_percent + FLOUR["fructose"] + half,
                 HEXOSE_PER_MALTOSE * (seen.maltose_percent + FLOUR["maltose"]))


def not_inverted(seen: Breakdown) -> tuple[Pools, float]:
    """Sugars of a dough without yeast, and the sucrose (percent of flour) that nothing splits."""
    return (Pools(seen.glucose_percent + FLOUR["glucose"], seen.fructose_percent + FLOUR["fructose"],
                  HEXOSE_PER_MALTOSE * (seen.maltose_percent + FLOUR["maltose"])),
            seen.sucrose_percent + FLOUR["sucrose_glucofructan"])


def maltose_makers(damaged_starch_percent: float, scalded_share_percent: float) -> Enzymes:
    """The maltose the flour's enzymes will make, from damaged starch and from the scald.

    Damaged starch: amylase_maltose x damaged starch / 8, at amylase_rate. Scald: scald_maltose x scalded
    share; its starch lies open but the enzymes come with the raw flour, so it begins at mixing too,
    faster, at scald_amylase_rate. Both run as in a dough at proof temperature, whatever the stage: in
    the cold the maltose is over-estimated, within its factor of two. Valid for shares to about 40 %
    (where the common-practice check lies). Sources: Saunders, Ng & Kline 1972 (upper end of the first);
    Takano et al. 1980 (direction of the second); sizes and rates are assumptions.
    """
    damaged = AMYLASE_MALTOSE_PERCENT * damaged_starch_percent / DAMAGED_STARCH_PERCENT
    scalded = SCALD_MALTOSE_PERCENT * scalded_share_percent / 100
    makers = ((HEXOSE_PER_MALTOSE * damaged, AMYLASE_RATE_PER_HOUR),
              (HEXOSE_PER_MALTOSE * scalded, SCALD_AMYLASE_RATE_PER_HOUR))
    return Enzymes(tuple(maker for maker in makers if maker[0] > 0))


def osmotic_pressure_atm(hexose_percent: float, disaccharide_percent: float, salt_percent: float,
                         water_percent: float) -> float:
    """Osmotic pressure of the dough's water (van 't Hoff), atm at 30 degC.

    Particles over water: hexose / 180 + disaccharide / 342 + 2 x salt / 58.4, times R T, all in percent
    of flour. Sucrose counts as the hexose it becomes. The water is that of the lines that are not
    flour (hydration): the flour's own moisture stays bound. With 2 % salt and 0, 5, 10, 20, 25 %
    sucrose this gives the published 26, 37, 49, 77, 89 atm at 65.5 % of water without sugar, falling to
    60 % with 20 and 25 %, as a baker lowers it for a sweet dough. Valid for water_percent > 0.
    """
    moles = (hexose_percent / HEXOSE_MOLAR_G + disaccharide_percent / DISACCHARIDE_MOLAR_G
             + SALT_PARTICLES * salt_percent / SALT_MOLAR_G)
    litres = water_percent / 1000
    return moles * GAS_L_ATM_PER_MOL_K * PRESSURE_K / litres


def dough_pressure_atm(seen: Breakdown) -> float:
    """Osmotic pressure at mixing from the sugars and salt of the lines; Refusal for a dough without water.

    Lactose and maltose press as disaccharides. The flour's own sugars are left out, as in the published
    pressures the brake is set by.
    """
    if seen.hydration_percent <= 0:
        raise Refusal("formula.lines", "no_water",
                      "no line brings water, and yeast works only in water; add a water line")
    hexose = seen.glucose_percent + seen.fructose_percent + HEXOSE_PER_SUCROSE * seen.sucrose_percent
    return osmotic_pressure_atm(hexose, seen.maltose_percent + seen.lactose_percent, seen.salt_percent,
                                seen.hydration_percent)


def osmotic_brake(pressure_atm: float, yeast_tolerance: str = ORDINARY) -> float:
    """Rate of yeast under that pressure, fraction of its full rate.

    Straight lines between the points of the two kinds of yeast, the last line drawn on to a floor.
    The slowing from about 5 % sugar is a published trade figure; the points are assumptions.
    """
    points, floor = BRAKES[yeast_tolerance]
    left, rate = points[0]
    if pressure_atm <= left:
        return rate
    slope = 0.0
    for right, next_rate in points[1:]:
        slope = (next_rate - rate) / (right - left)
        if pressure_atm <= right:
            break
        left, rate = right, next_rate
    return max(floor, rate + slope * (pressure_atm - left))


def temperature_factor(temperature_c: float) -> float:
    """Rate of yeast at that dough temperature over its rate at 30 degC: 1.10 per degC.

    A published trade figure for 23-32 degC, drawn on outside (Stage.outside_rate_range tells);
    above about 38 degC real yeast slows again.
    """
    return RATE_PER_DEGC ** (temperature_c - UPTAKE_REFERENCE_DEGC)


def sugar_demand(compressed_percent: float, brake: float, temperature_c: float) -> float:
    """What the yeast would ferment, g of hexose per 100 g of flour and hour: q Y f(pressure) g(temperature).

    q = 0.30 g per g of compressed yeast and hour at 30 degC (from memory).
    """
    return UPTAKE_G_PER_G_H * compressed_percent * brake * temperature_factor(temperature_c)


def check_stages(stages: Sequence[Stage]) -> None:
    """Refuse stages no dough ferments in: none at all, no time, frozen or deadly, too long in all."""
    if not stages:
        raise Refusal("stages", "no_stages", "name at least one stage with its minutes and temperature")
    for index, stage in enumerate(stages):
        if not stage.minutes > 0:
            raise Refusal(f"stages.{index}.minutes", "no_time",
                          "a stage needs some minutes; leave it out otherwise",
                          given=stage.minutes, nearest=1)
        if not COLDEST_DEGC <= stage.temperature_c <= HOTTEST_DEGC:
            too_cold = stage.temperature_c < COLDEST_DEGC
            nearest = COLDEST_DEGC if too_cold else HOTTEST_DEGC
            why = "dough freezes" if too_cold else "yeast dies"
            raise Refusal(
                f"stages.{index}.temperature", "dough_too_cold" if too_cold else "dough_too_hot",
                f"at {{given}} {why}; stages run from mixing to the oven, in dough of {{coldest}} to "
                "{hottest}",
                given=stage.temperature_c, nearest=nearest, quantity="temperature",
                amounts={"given": (stage.temperature_c, "temperature"),
                         "coldest": (COLDEST_DEGC, "temperature"), "hottest": (HOTTEST_DEGC, "temperature")})
    minutes = sum(stage.minutes for stage in stages)
    if minutes > LONGEST_MINUTES * (1 + 1e-12):
        index = max(range(len(stages)), key=lambda each: stages[each].minutes)
        longest, excess = stages[index].minutes, minutes - LONGEST_MINUTES
        one_is_enough = longest > excess
        raise Refusal(
            f"stages.{index}.minutes" if one_is_enough else "stages", "too_long",
            "the stages add up to {hours} h, and the budget holds for {limit} h at most",
            given=longest if one_is_enough else minutes,
            nearest=longest - excess if one_is_enough else LONGEST_MINUTES,
            amounts={"hours": (minutes / 60, None), "limit": (LONGEST_MINUTES / 60, None)})


# ---- The course of the pools, exact between events ---------------------------------------------

@dataclass(frozen=True, slots=True)
class Phase:
    """A stretch without an event. Each pool is start + slope x h + gain x maltose made meanwhile.

    h: hours since ``begins``. start, slope, gain: glucose, fructose, maltose, used, unmet in turn.
    """

    begins: float
    ends: float
    start: tuple[float, float, float, float, float]
    slope: tuple[float, float, float, float, float]
    gain: tuple[float, float, float, float, float]
    enzymes: Enzymes

    def at(self, hours: float) -> tuple[float, ...]:
        """Glucose, fructose, maltose, used and unmet at that hour, g of hexose per 100 g of flour."""
        since = hours - self.begins
        made = self.enzymes.made(since, self.begins)
        return tuple([max(0.0, start + slope * since + gain * made)
                      for start, slope, gain in zip(self.start, self.slope, self.gain)])


@dataclass(frozen=True, slots=True)
class Course:
    """The pools from mixing to the end; hours of events are None when they never come."""

    phases: tuple[Phase, ...]
    final: tuple[float, float, float, float, float]
    glucose_spent_hours: float | None
    fructose_spent_hours: float | None
    maltose_drawn_hours: float | None
    maltose_spent_hours: float | None
    unmet_rate_at_end: float

    @property
    def free_sugar_spent_hours(self) -> float | None:
        """When glucose and fructose are both gone."""
        if self.glucose_spent_hours is None or self.fructose_spent_hours is None:
            return None
        return max(self.glucose_spent_hours, self.fructose_spent_hours)


def _empties_after(start: float, slope: float, gain: float, enzymes: Enzymes, begins: float,
                   limit: float) -> float:
    """Hours until start + slope h + gain x made(h) reaches zero, inf when not within ``limit`` hours.

    For start >= 0 and gain >= 0 the function is concave, so it is above zero up to ``limit`` when it is
    so there; else Newton from the right falls on the root without overshooting.
    """
    if slope >= 0:
        return inf
    if gain == 0 or not enzymes.substrates:
        after = start / -slope
        return after if after <= limit else inf
    hours = limit
    value = start + slope * hours + gain * enzymes.made(hours, begins)
    if value > 0:
        return inf
    while True:
        nearer = hours - value / (slope + gain * enzymes.rate(begins + hours))
        if not 0 < nearer < hours:
            return max(0.0, min(hours, nearer))
        hours = nearer
        value = start + slope * hours + gain * enzymes.made(hours, begins)


def draw_down(pools: Pools, legs: Sequence[tuple[float, float]], enzymes: Enzymes,
              appetite: Appetite = APPETITE) -> Course:
    """Let yeast draw the pools down, leg by leg; exact between events.

    legs: (end in hours from mixing, demand in g of hexose per 100 g of flour and hour), ends rising.
    Order: glucose and fructose in the shares of ``appetite`` while both last, then the one that is left;
    once they are below the switch and the lag is over, maltose too, and alone when they are gone. Maltose
    is made all along. Nothing is drawn from an empty pool beyond what is made in the same moment; demand
    above that is unmet. Source: order Loveday & Winger 2007; shares, switch, lag assumed.
    """
    glucose, fructose, maltose = pools.glucose, pools.fructose, pools.maltose
    used = unmet = now = unmet_rate = 0.0
    phases: list[Phase] = []
    glucose_spent = 0.0 if glucose == 0 else None
    fructose_spent = 0.0 if fructose == 0 else None
    maltose_drawn: float | None = None
    maltose_spent: float | None = None
    opened = glucose + fructose <= appetite.switch and appetite.lag_hours <= 0
    for end, demand in legs:
        dried_up = False                       # maltose ran dry in this leg
        while now < end:
            left = end - now
            free = glucose > 0 or fructose > 0
            from_maltose = demand * (appetite.maltose_share if free else 1.0) if opened else 0.0
            source_rate = enzymes.rate(now)
            # A dry pool gives only what is made meanwhile; it stays dry while demand stays, as that lessens.
            dry = maltose == 0 and from_maltose > 0 and (dried_up or source_rate <= from_maltose)
            if opened and demand > 0 and maltose_drawn is None and (maltose > 0 or source_rate > 0):
                maltose_drawn = now
            maltose_slope, maltose_gain = (0.0, 0.0) if dry else (-from_maltose, 1.0)
            rest = demand if dry else demand - from_maltose      # what free sugar has to cover
            rest_gain = -1.0 if dry else 0.0                     # less what is made, when maltose is dry
            if glucose > 0 and fructose > 0:
                shares = (appetite.glucose_share, 1 - appetite.glucose_share)
            else:
                shares = (1.0, 0.0) if glucose > 0 else (0.0, 1.0) if fructose > 0 else (0.0, 0.0)
            if free:
                used_slope, used_gain, unmet_slope, unmet_gain = demand, 0.0, 0.0, 0.0
            else:
                used_slope, used_gain = (0.0, 1.0) if dry else (from_maltose, 0.0)
                unmet_slope, unmet_gain = rest, rest_gain
            slope = (-shares[0] * rest, -shares[1] * rest, maltose_slope, used_slope, unmet_slope)
            gain = (-shares[0] * rest_gain, -shares[1] * rest_gain, maltose_gain, used_gain, unmet_gain)

            opens_after = inf
            if not opened and demand > 0:
                above = glucose + fructose - appetite.switch
                opens_after = max(above / rest if above > 0 else 0.0, appetite.lag_hours - now)
            empties = [_empties_after(pool, slope[each], gain[each], enzymes, now, left)
                       if pool > 0 or each == 2 else inf
                       for each, pool in enumerate((glucose, fructose, maltose))]
            after = min(left, opens_after, *empties)
            then = end if after == left else now + after
            phase = Phase(now, then, (glucose, fructose, maltose, used, unmet), slope, gain, enzymes)
            made = enzymes.made(after, now)
            glucose, fructose, maltose, used, unmet = (
                max(0.0, was + steep * after + more * made)
                for was, steep, more in zip(phase.start, slope, gain))
            if then > now:
                phases.append(phase)
            now = then
            if empties[0] <= after:
                glucose, glucose_spent = 0.0, now
            if empties[1] <= after:
                fructose, fructose_spent = 0.0, now
            if empties[2] <= after:
                maltose, dried_up = 0.0, True
                maltose_spent = now if maltose_spent is None else maltose_spent
            opened = opened or opens_after <= after
            unmet_rate = unmet_slope + unmet_gain * enzymes.rate(now)
    return Course(tuple(phases), (glucose, fructose, maltose, used, unmet), glucose_spent, fructose_spent,
                  maltose_drawn, maltose_spent, max(0.0, unmet_rate))


# ---- The budget of a formula -------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class StageFeeding:
    """One stage as the yeast lives it; demand in g of hexose per 100 g of flour and hour."""

    stage: Stage
    begins_hours: float
    ends_hours: float
    temperature_factor: float
    demand_per_hour: float
    used_percent: float
    unmet_percent: float


@dataclass(frozen=True, slots=True)
class Sample:
    """The pools at one time, percent of flour; used and unmet as hexose. event: in words, or ""."""

    hours: float
    glucose_percent: float
    fructose_percent: float
    maltose_percent: float
    used_percent: float
    unmet_percent: float
    event: str


@dataclass(frozen=True, slots=True)
class Residual:
    """A sugar that stays in the loaf."""

    percent_of_flour: Estimate
    percent_of_bread: Estimate


@dataclass(frozen=True, slots=True)
class SugarBudget:
    """What a formula's sugars come to through its stages.

    start: pools at the end of mixing, hexose. sucrose_percent: sucrose nothing splits (only without
    yeast). enzymes: maltose to be made. osmotic_pressure_atm and brake are None without yeast.
    free_sugar_spent_earliest/latest_hours: ends of its band (None: not within the stages).
    residual: sugar -> Residual, with "total" for all of them. Gas as carbon dioxide at 30 degC, 1 atm.
    """

    seen: Breakdown
    compressed_yeast_percent: float
    start: Pools
    sucrose_percent: float
    enzymes: Enzymes
    osmotic_pressure_atm: float | None
    brake: float | None
    stages: tuple[StageFeeding, ...]
    timeline: tuple[Sample, ...]
    course: Course
    free_sugar_spent_hours: float | None
    free_sugar_spent_earliest_hours: float | None
    free_sugar_spent_latest_hours: float | None
    maltose_drawn_hours: float | None
    used_percent: Estimate
    unmet_percent: float
    bread_mass_g: float
    residual: dict[str, Residual]
    sweetness_percent: Estimate
    gas_cm3_per_100_g_flour: Estimate
    gas_cm3: Estimate
    assessment: str
    sugar_tolerant_advised: bool

    @property
    def hours(self) -> float:
        return self.stages[-1].ends_hours


def sugar_budget(formula: Formula, stages: Sequence[Stage], yeast_tolerance: str = ORDINARY,
                 damaged_starch_percent: float = DAMAGED_STARCH_PERCENT,
                 bake_loss_percent: float = BAKE_LOSS_PERCENT) -> SugarBudget:
    """The sugar budget of a formula from mixing to the oven.

    The band: the course is run again with the uptake a quarter lower and higher, each with half and
    twice the maltose made; the ends are the least and the most of those runs. Bread mass is dough mass
    x (1 - bake loss). Without yeast nothing is split or used. Raises Refusal for stages no dough
    ferments in, for figures out of range, without flour, or with yeast and no water.
    Estimates, evidence ``assumption``; mass balance exact.
    """
    check_stages(stages)
    _check_range("damaged_starch_percent", damaged_starch_percent, DAMAGED_STARCH_UPPER_PERCENT)
    _check_range("bake_loss_percent", bake_loss_percent, BAKE_LOSS_UPPER_PERCENT)
    seen = break_down(formula)
    yeast = compressed_yeast_percent(seen)
    enzymes = maltose_makers(damaged_starch_percent, seen.scalded_share_percent)
    if yeast > 0:
        start, sucrose = inverted(seen), 0.0
        pressure = dough_pressure_atm(seen)
        brake = osmotic_brake(pressure, yeast_tolerance)
    else:
        start, sucrose = not_inverted(seen)
        pressure = brake = None
    legs, hours = [], 0.0
    for stage in stages:
        hours += stage.minutes / 60
        legs.append((hours, sugar_demand(yeast, brake, stage.temperature_c) if yeast > 0 else 0.0))

    course = draw_down(start, legs, enzymes)
    runs = [course]
    for uptake in (1 - USED_BAND, 1 + USED_BAND):
        scaled_legs = [(end, demand * uptake) for end, demand in legs]
        for factor in (1 / MALTOSE_BAND, MALTOSE_BAND):
            runs.append(draw_down(start, scaled_legs, enzymes.times(factor)))
    spent = [run.free_sugar_spent_hours for run in runs]

    used = _across([run.final[3] for run in runs], EVIDENCE if yeast > 0 else "exact")
    bread_mass = seen.dough_mass_g * (1 - bake_loss_percent / 100)
    per_bread = seen.flour_g / bread_mass
    left = [{"sucrose": sucrose, "glucose": run.final[0], "fructose": run.final[1],
             "maltose": run.final[2] / HEXOSE_PER_MALTOSE, "lactose": seen.lactose_percent} for run in runs]
    residual = {}
    for sugar in left[0]:
        residual[sugar] = _residual([each[sugar] for each in left], per_bread,
                                    "exact" if sugar == "lactose" else EVIDENCE)
    residual["total"] = _residual([sum(each.values()) for each in left], per_bread, EVIDENCE)
    gas = used.map(lambda hexose: hexose * CO2_30C_ML_PER_G)

    timeline, feeding = _timeline(course, stages, legs, yeast > 0)
    return SugarBudget(
        seen=seen,
        compressed_yeast_percent=yeast,
        start=start,
        sucrose_percent=sucrose,
        enzymes=enzymes,
        osmotic_pressure_atm=pressure,
        brake=brake,
        stages=feeding,
        timeline=timeline,
        course=course,
        free_sugar_spent_hours=course.free_sugar_spent_hours,
        free_sugar_spent_earliest_hours=min((time for time in spent if time is not None), default=None),
        free_sugar_spent_latest_hours=None if None in spent else max(spent),
        maltose_drawn_hours=course.maltose_drawn_hours,
        used_percent=used,
        unmet_percent=course.final[4],
        bread_mass_g=bread_mass,
        residual=residual,
        sweetness_percent=_sweetness(left, per_bread),
        gas_cm3_per_100_g_flour=gas,
        gas_cm3=gas.map(lambda volume: volume * seen.flour_g / 100),
        assessment=_assess(course, yeast > 0),
        sugar_tolerant_advised=(yeast > 0 and yeast_tolerance == ORDINARY
                                and seen.sugar_percent > SUGAR_TOLERANT_ADVISED_PERCENT),
    )


def _check_range(argument: str, value: float, upper: float) -> None:
    if not 0 <= value <= upper:
        raise Refusal(argument, "out_of_range", "must lie between 0 and {upper} %", given=value,
                      nearest=0.0 if value < 0 else upper, amounts={"upper": (upper, None)})


def _across(values: Sequence[float], evidence: str) -> Estimate:
    """The first value as best, the least and the most of all as ends."""
    return Estimate(min(values), values[0], max(values), evidence)


def _residual(values: Sequence[float], per_bread: float, evidence: str) -> Residual:
    of_flour = _across(values, evidence)
    return Residual(of_flour, of_flour.map(lambda percent: percent * per_bread))


def _sweetness(left: Sequence[dict[str, float]], per_bread: float) -> Estimate:
    """Sucrose equivalent of the sugars left, percent of bread.

    Ends: the least of the runs at the low sweetness factors, the most at the high ones.
    """
    def summed(sugars: dict[str, float], factor) -> float:
        return per_bread * sum(amount * factor(SWEETNESS[sugar]) for sugar, amount in sugars.items())

    return Estimate(min(summed(sugars, _low) for sugars in left), summed(left[0], _best),
                    max(summed(sugars, _high) for sugars in left), EVIDENCE)


def _low(row: Coefficient) -> float:
    return row.low


def _best(row: Coefficient) -> float:
    return row.value


def _high(row: Coefficient) -> float:
    return row.high


def _assess(course: Course, has_yeast: bool) -> str:
    """How the yeast stands at the end of the last stage."""
    if not has_yeast:
        return NO_YEAST
    if course.free_sugar_spent_hours is None:
        return FED
    return STARVED if course.unmet_rate_at_end > 0 else ON_MALTOSE


def _timeline(course: Course, stages: Sequence[Stage], legs: Sequence[tuple[float, float]],
              has_yeast: bool) -> tuple[tuple[Sample, ...], tuple[StageFeeding, ...]]:
    """Samples at even steps, at every stage's ends and every event; and each stage's own sums."""
    total = legs[-1][0]
    step = next((minutes for minutes in _SAMPLE_MINUTES if total * 60 <= minutes * _MOST_SAMPLES),
                _SAMPLE_MINUTES[-1]) / 60
    marks: dict[float, list[str]] = {}
    begins = 0.0
    for stage, (end, _) in zip(stages, legs):
        marks.setdefault(begins, []).append(f"{stage.name} begins" if stage.name else "stage begins")
        begins = end
    marks.setdefault(total, []).append("end of the last stage")
    if has_yeast:
        for hours, words in ((course.glucose_spent_hours, "glucose spent"),
                             (course.fructose_spent_hours, "fructose spent"),
                             (course.maltose_drawn_hours, "maltose drawn"),
                             (course.maltose_spent_hours, "maltose spent")):
            if hours is not None:
                marks.setdefault(hours, []).append(words)
    shown = list(marks)
    for index in range(int(total / step) + 1):
        hours = index * step
        if all(abs(hours - mark) > 1e-9 for mark in shown):
            marks[hours] = []
    samples, states, phases, phase_index = [], {}, course.phases, 0
    for hours in sorted(marks):
        while phase_index + 1 < len(phases) and phases[phase_index].ends <= hours:
            phase_index += 1
        states[hours] = state = course.final if hours == total else phases[phase_index].at(hours)
        samples.append(Sample(hours, state[0], state[1], state[2] / HEXOSE_PER_MALTOSE, state[3], state[4],
                              "; ".join(marks[hours])))
    feeding, begins = [], 0.0
    for stage, (end, demand) in zip(stages, legs):
        before, after = states[begins], states[end]
        feeding.append(StageFeeding(stage, begins, end, temperature_factor(stage.temperature_c), demand,
                                    after[3] - before[3], after[4] - before[4]))
        begins = end
    return tuple(samples), tuple(feeding)
