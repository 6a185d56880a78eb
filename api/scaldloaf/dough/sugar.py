"""The sugar budget of a formula: what the yeast ferments, when it runs short, what stays in the loaf.

Results in ``_percent`` of a named sugar are grams of that sugar per 100 g of flour; "as hexose" counts it
as the glucose and fructose it yields. Semi-mechanistic: stoichiometry and mass balance are exact, the rates
are rough. The answer has a band of a quarter on the sugar used and of a factor of two on the maltose made.
"""

from collections.abc import Mapping, Sequence
from itertools import accumulate
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import Breakdown, Formula, break_down
from scaldloaf.dough.limits import (
    BAKE_LOSS_LIDDED_PERCENT,
    BAKE_LOSS_UPPER_PERCENT,
)
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.sugar_course import (
    DAMAGED_STARCH_REFERENCE_PERCENT,
    HEXOSE_PER_MALTOSE,
    Course,
    Enzymes,
    Pools,
    State,
    draw_down,
    maltose_makers,
)
from scaldloaf.dough.sugar_stages import Sample, Stage, StageFeeding, check_stages, timeline_of
from scaldloaf.dough.yeast import (
    HEXOSE_PER_SUCROSE,
    ORDINARY,
    compressed_yeast_percent,
    dough_pressure_atm,
    osmotic_brake,
    sugar_demand,
)
from scaldloaf.reference import coefficient

FED, ON_MALTOSE, STARVED, NO_YEAST = "fed", "on_maltose", "starved", "no_yeast"

CO2_VOLUME_30C_ML_PER_G_HEXOSE = coefficient("co2_volume_30c_ml_per_g_hexose").value
DAMAGED_STARCH_UPPER_PERCENT = coefficient("damaged_starch_upper_percent").value
SUGAR_NOTE_PERCENT = coefficient("sugar_note_percent").value
SUGAR_TOLERANT_ADVISED_PERCENT = coefficient("sugar_tolerant_advised_percent").value
SUGAR_USED_RELATIVE_BAND = coefficient("sugar_used_relative_band").value
MALTOSE_FACTOR_BAND = coefficient("maltose_factor_band").value

GAS_DEGC = 30.0  # temperature of the volume per g of hexose
FLOUR = {
    sugar: coefficient(f"flour_{sugar}_percent").value
    for sugar in ("glucose", "fructose", "maltose", "sucrose_glucofructan")
}
SWEETNESS = {
    sugar: coefficient(f"sweetness_{sugar}")
    for sugar in ("sucrose", "glucose", "fructose", "maltose", "lactose")
}
_LEAST_SWEET = {sugar: row.low for sugar, row in SWEETNESS.items()}
_BEST_SWEET = {sugar: row.value for sugar, row in SWEETNESS.items()}
_MOST_SWEET = {sugar: row.high for sugar, row in SWEETNESS.items()}
SUGAR_EVIDENCE = "assumption"  # the weakest link: uptake order, brake, maltose


# ---- The sugars at mixing -------------------------------------------------------------------------


def inverted(breakdown: Breakdown) -> Pools:
    """Sugars at the end of mixing: the lines' and the flour's own, sucrose split half and half.

    The yeast inverts sucrose (and the flour's glucofructans, taken as sucrose) during mixing: x
    hexose_per_sucrose, half glucose, half fructose (published; stoichiometry exact). Leaves out lactose,
    which baker's yeast cannot ferment.
    """
    half = HEXOSE_PER_SUCROSE * (breakdown.sucrose_percent + FLOUR["sucrose_glucofructan"]) / 2
    return Pools(
        breakdown.glucose_percent + FLOUR["glucose"] + half,
        breakdown.fructose_percent + FLOUR["fructose"] + half,
        HEXOSE_PER_MALTOSE * (breakdown.maltose_percent + FLOUR["maltose"]),
    )


def not_inverted(breakdown: Breakdown) -> tuple[Pools, float]:
    """Sugars of a dough without yeast, and the sucrose (percent of flour) that nothing splits."""
    pools = Pools(
        breakdown.glucose_percent + FLOUR["glucose"],
        breakdown.fructose_percent + FLOUR["fructose"],
        HEXOSE_PER_MALTOSE * (breakdown.maltose_percent + FLOUR["maltose"]),
    )
    return pools, breakdown.sucrose_percent + FLOUR["sucrose_glucofructan"]


# ---- The budget ----------------------------------------------------------------------------------


class Residual(NamedTuple):
    """A sugar that stays in the loaf."""

    percent_of_flour: Estimate
    percent_of_bread: Estimate


class SugarBudget(NamedTuple):
    """The sugars of a formula through its stages.

    start: pools at the end of mixing, hexose. sucrose_percent: sucrose that nothing splits (only without
    yeast). enzymes: maltose still to be made. osmotic_pressure_atm and brake are None without yeast.
    free_sugar_spent_earliest_hours, _latest_hours: ends of its band (None: not within the stages).
    residual: sugar -> Residual, with "total" for all of them. Gas as carbon dioxide at 30 °C, 1 atm.
    """

    breakdown: Breakdown
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
        """Hours from mixing to the oven."""
        return self.stages[-1].ends_hours


def sugar_budget(
    formula: Formula,
    stages: Sequence[Stage],
    yeast_tolerance: str = ORDINARY,
    damaged_starch_percent: float = DAMAGED_STARCH_REFERENCE_PERCENT,
    bake_loss_percent: float = BAKE_LOSS_LIDDED_PERCENT.value,
) -> SugarBudget:
    """The sugar budget of a formula from mixing to the oven.

    The band: the course runs again with the uptake a quarter lower and higher, each with half and twice the
    maltose made; the ends are the least and the most of those runs. Bread mass is dough mass x (1 - bake
    loss). Without yeast nothing is split or used.

    Parameters
        formula : Formula
        stages : Sequence[Stage]  in order, 72 h at most
        yeast_tolerance : str  ORDINARY or SUGAR_TOLERANT
        damaged_starch_percent : float  [% of flour], 0 to 25
        bake_loss_percent : float  [% of dough], 0 to 30
    Returns
        SugarBudget  (estimates: assumption; mass balance exact)
    Raises
        Refusal: stages that no dough ferments in, figures out of range, no flour, yeast without water.
    """
    check_stages(stages)
    _check_range("damaged_starch_percent", damaged_starch_percent, DAMAGED_STARCH_UPPER_PERCENT)
    _check_range("bake_loss_percent", bake_loss_percent, BAKE_LOSS_UPPER_PERCENT)
    breakdown = break_down(formula)
    yeast = compressed_yeast_percent(breakdown)
    enzymes = maltose_makers(damaged_starch_percent, breakdown.scalded_share_percent)
    sucrose, pressure, brake = 0.0, None, None
    demands = [0.0] * len(stages)
    if yeast > 0:
        _check_water(breakdown)
        start = inverted(breakdown)
        pressure = dough_pressure_atm(breakdown)
        brake = osmotic_brake(pressure, yeast_tolerance)
        demands = [sugar_demand(yeast, brake, stage.temperature_c) for stage in stages]
    else:
        start, sucrose = not_inverted(breakdown)
    ends = accumulate(stage.minutes / 60 for stage in stages)
    legs = list(zip(ends, demands, strict=True))

    runs = _runs(start, legs, enzymes)
    course = runs[0]
    earliest, latest = _band_of_times([run.free_sugar_spent_hours for run in runs])
    used = _across([run.final.used for run in runs], SUGAR_EVIDENCE if yeast > 0 else "exact")
    bread_mass = breakdown.dough_mass_g * (1 - bake_loss_percent / 100)
    per_bread = breakdown.flour_g / bread_mass
    left = [_sugars_left(run.final, sucrose, breakdown.lactose_percent) for run in runs]
    gas = used.map(lambda hexose: hexose * CO2_VOLUME_30C_ML_PER_G_HEXOSE)
    timeline, feeding = timeline_of(course, stages, legs, yeast > 0)
    advised = yeast_tolerance == ORDINARY and breakdown.sugar_percent > SUGAR_TOLERANT_ADVISED_PERCENT
    return SugarBudget(
        breakdown=breakdown,
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
        free_sugar_spent_earliest_hours=earliest,
        free_sugar_spent_latest_hours=latest,
        maltose_drawn_hours=course.maltose_drawn_hours,
        used_percent=used,
        unmet_percent=course.final.unmet,
        bread_mass_g=bread_mass,
        residual=_residuals(left, per_bread),
        sweetness_percent=_sweetness(left, per_bread),
        gas_cm3_per_100_g_flour=gas,
        gas_cm3=gas.map(lambda volume: volume * breakdown.flour_g / 100),
        assessment=_assess(course, yeast > 0),
        sugar_tolerant_advised=yeast > 0 and advised,
    )


def _check_range(argument: str, value: float, upper: float) -> None:
    if not 0 <= value <= upper:
        raise Refusal(
            argument,
            "out_of_range",
            "must lie between {lower} and {upper} %",
            given=value,
            nearest=0.0 if value < 0 else upper,
            amounts={"lower": (0.0, None), "upper": (upper, None)},
        )


def _check_water(breakdown: Breakdown) -> None:
    if breakdown.hydration_percent <= 0:
        raise Refusal(
            "formula.lines",
            "no_water",
            "no line brings water, and yeast works only in water; add a water line",
        )


def _runs(start: Pools, legs: Sequence[tuple[float, float]], enzymes: Enzymes) -> list[Course]:
    """The course at best values, then those of the band: less and more uptake, less and more maltose."""
    runs = [draw_down(start, legs, enzymes)]
    for uptake in (1 - SUGAR_USED_RELATIVE_BAND, 1 + SUGAR_USED_RELATIVE_BAND):
        scaled_legs = [(end, demand * uptake) for end, demand in legs]
        for factor in (1 / MALTOSE_FACTOR_BAND, MALTOSE_FACTOR_BAND):
            runs.append(draw_down(start, scaled_legs, enzymes.times(factor)))
    return runs


def _band_of_times(hours: Sequence[float | None]) -> tuple[float | None, float | None]:
    """The earliest time of some runs, and the latest; None where no run has one, or not every run."""
    known = [time for time in hours if time is not None]
    return min(known, default=None), max(known) if len(known) == len(hours) else None


def _sugars_left(final: State, sucrose_percent: float, lactose_percent: float) -> dict[str, float]:
    """Each sugar in the loaf, percent of flour."""
    return {
        "sucrose": sucrose_percent,
        "glucose": final.glucose,
        "fructose": final.fructose,
        "maltose": final.maltose / HEXOSE_PER_MALTOSE,
        "lactose": lactose_percent,
    }


def _across(values: Sequence[float], evidence: str) -> Estimate:
    """The first value as best, the least and the most of all as ends."""
    return Estimate(min(values), values[0], max(values), evidence)


def _residuals(left: Sequence[dict[str, float]], per_bread: float) -> dict[str, Residual]:
    """Each sugar of the runs, and their total, as estimates."""

    def residual(values: Sequence[float], evidence: str) -> Residual:
        of_flour = _across(values, evidence)
        return Residual(of_flour, of_flour.map(lambda percent: percent * per_bread))

    residuals = {
        sugar: residual([each[sugar] for each in left], "exact" if sugar == "lactose" else SUGAR_EVIDENCE)
        for sugar in left[0]
    }
    residuals["total"] = residual([sum(each.values()) for each in left], SUGAR_EVIDENCE)
    return residuals


def _sweetness(left: Sequence[dict[str, float]], per_bread: float) -> Estimate:
    """Sucrose equivalent of the sugars left, percent of bread.

    Ends: the least of the runs at the low sweetness factors, the most at the high ones.
    """

    def summed(sugars: dict[str, float], factors: Mapping[str, float]) -> float:
        return per_bread * sum(amount * factors[sugar] for sugar, amount in sugars.items())

    return Estimate(
        min(summed(sugars, _LEAST_SWEET) for sugars in left),
        summed(left[0], _BEST_SWEET),
        max(summed(sugars, _MOST_SWEET) for sugars in left),
        SUGAR_EVIDENCE,
    )


def _assess(course: Course, has_yeast: bool) -> str:
    """How the yeast is fed at the end of the last stage."""
    if not has_yeast:
        return NO_YEAST
    if course.free_sugar_spent_hours is None:
        return FED
    return STARVED if course.unmet_rate_at_end > 0 else ON_MALTOSE
