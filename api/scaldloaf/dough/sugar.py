"""The sugar budget of a formula: what the yeast ferments, when it runs short, what stays in the loaf.

Results in ``_percent`` of a named sugar are grams of that sugar per 100 g of flour; "as hexose" counts it
as the glucose and fructose it yields. Semi-mechanistic: stoichiometry and mass balance are exact, the rates
are rough. The answer has a band of a quarter or more on the sugar used and of a factor of two on the
maltose made.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from scaldloaf.dough.crumb_moisture import crumb_moisture_percent, dough_water_g
from scaldloaf.dough.estimate import Estimate, exactly
from scaldloaf.dough.flour import flours_taken_as_white, other_flour_share
from scaldloaf.dough.formula import Breakdown, Formula, break_down
from scaldloaf.dough.limits import BAKE_LOSS_LIDDED_PERCENT, LOSS_TILL_COLD_UPPER_PERCENT
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.sugar_course import (
    DAMAGED_STARCH_REFERENCE_PERCENT,
    HEXOSE_PER_MALTOSE,
    Course,
    Enzymes,
    Pools,
    State,
    amylase_pace,
    draw_down,
    maltose_makers,
)
from scaldloaf.dough.sugar_runs import Runs, legs_of
from scaldloaf.dough.sugar_stages import Sample, Stage, StageFeeding, check_stages, feeding_of, timeline_of
from scaldloaf.dough.yeast import (
    HEXOSE_PER_SUCROSE,
    ORDINARY,
    brake_band,
    compressed_yeast_percent,
    dough_pressure_atm,
    sugar_demand,
)
from scaldloaf.reference import coefficient

FED, ON_MALTOSE, STARVED, NO_YEAST = "fed", "on_maltose", "starved", "no_yeast"

CO2_VOLUME_30C_ML_PER_G_HEXOSE = coefficient("co2_volume_30c_ml_per_g_hexose").value
DAMAGED_STARCH_UPPER_PERCENT = coefficient("damaged_starch_upper_percent").value
SUGAR_NOTE_PERCENT = coefficient("sugar_note_percent").value
SUGAR_TOLERANT_ADVISED_PERCENT = coefficient("sugar_tolerant_advised_percent").value
SUGAR_RULE_PERCENT = coefficient("sugar_rule_percent").value
SUGAR_RULE_HOURS = coefficient("sugar_rule_hours").value

GAS_DEGC = 30.0  # temperature of the volume per g of hexose
FLOUR = {
    sugar: coefficient(f"flour_{sugar}_percent").value
    for sugar in ("glucose", "fructose", "maltose", "sucrose_glucofructan")
}
SWEETNESS = {
    sugar: coefficient(f"sweetness_{sugar}")
    for sugar in ("sucrose", "glucose", "fructose", "maltose", "lactose")
}
LEAST_SWEET = {sugar: row.low for sugar, row in SWEETNESS.items()}
BEST_SWEET = {sugar: row.value for sugar, row in SWEETNESS.items()}
MOST_SWEET = {sugar: row.high for sugar, row in SWEETNESS.items()}
SUGAR_EVIDENCE = "assumption"  # the weakest link: uptake order, brake, maltose
MALT_WITH_ENZYMES = "diastatic_malt_flour"  # the catalogue's only malt whose enzymes are alive


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
    enzyme_hours: what the stages come to for the enzymes, as at 30 °C.
    free_sugar_spent_earliest_hours, _latest_hours: ends of its band (None: not within the stages).
    free_sugar_lasts_hours: the same with the last stage going on, free_sugar_horizon_hours or more at most
    (None without yeast). malted_scald: whether malt's enzymes meet a scald. other_flour_share: flour that is
    not white wheat, as a fraction; flours_taken_as_white: own ones that do not say. residual: sugar ->
    Residual, with "total" for all of them. Gas as carbon dioxide at 30 °C, 1 atm.
    """

    breakdown: Breakdown
    compressed_yeast_percent: float
    start: Pools
    sucrose_percent: float
    enzymes: Enzymes
    osmotic_pressure_atm: float | None
    brake: float | None
    enzyme_hours: float
    stages: tuple[StageFeeding, ...]
    course: Course
    free_sugar_spent_hours: float | None
    free_sugar_spent_earliest_hours: float | None
    free_sugar_spent_latest_hours: float | None
    free_sugar_lasts_hours: Estimate | None
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
    malted_scald: bool
    other_flour_share: float
    flours_taken_as_white: tuple[str, ...]

    @property
    def hours(self) -> float:
        """Hours from mixing to the oven."""
        return self.stages[-1].ends_hours

    @property
    def timeline(self) -> tuple[Sample, ...]:
        """The pools through the stages. Sampled when asked for: it takes as long as a quarter of the rest."""
        return timeline_of(self.course, self.stages, self.compressed_yeast_percent > 0)


def sugar_budget(
    formula: Formula,
    stages: Sequence[Stage],
    yeast_tolerance: str = ORDINARY,
    damaged_starch_percent: float = DAMAGED_STARCH_REFERENCE_PERCENT,
    bake_loss_percent: float = BAKE_LOSS_LIDDED_PERCENT.value,
) -> SugarBudget:
    """The sugar budget of a formula from mixing to the oven.

    The band: the course runs again with the yeast's demand at its low and its high end (``sugar_demand``),
    each with half and twice the maltose made; the ends are the least and the most of those runs. With flour
    other than white wheat they differ more (``maltose_factor``); where malt's enzymes meet a scald, the most
    is more. Bread mass is dough mass x (1 - bake loss). Without yeast
    nothing is split or used. Yeast in the scald is dead and does not count.

    Parameters
        formula : Formula
        stages : Sequence[Stage]  in order, 72 h at most
        yeast_tolerance : str  ORDINARY or SUGAR_TOLERANT
        damaged_starch_percent : float  [% of flour], 0 to 25
        bake_loss_percent : float  [% of dough], 0 to 40: of a cold loaf with its cooling loss
    Returns
        SugarBudget  (estimates: assumption; mass balance exact)
    Raises
        Refusal: stages that no dough ferments in, figures out of range, no flour, yeast without water, a bake
        loss above the dough's water.
    """
    check_stages(stages)
    _check_range("damaged_starch_percent", damaged_starch_percent, DAMAGED_STARCH_UPPER_PERCENT)
    _check_range("bake_loss_percent", bake_loss_percent, LOSS_TILL_COLD_UPPER_PERCENT)
    breakdown = break_down(formula)
    malted = malts_its_scald(formula, breakdown)
    mixed = Mixed.of(breakdown, stages, yeast_tolerance)
    yeast, start, sucrose, pressure, brake, demands = mixed

    other = other_flour_share(formula)
    share = breakdown.scalded_share_percent
    runs = Runs.of(start, stages, demands, damaged_starch_percent, share, malted, other)
    course = runs.courses[0]
    split = yeast_split_percent(breakdown) if yeast > 0 else 0.0
    _check_bake_loss(formula, breakdown, split, course, bake_loss_percent)
    earliest, latest = _band_of_times([run.free_sugar_spent_hours for run in runs.courses])
    used = _across([run.final.used for run in runs.courses], SUGAR_EVIDENCE if yeast > 0 else "exact")
    bread_mass = breakdown.dough_mass_g * (1 - bake_loss_percent / 100)
    per_bread = breakdown.flour_g / bread_mass
    left = [sugars_left(run.final, sucrose, breakdown.lactose_percent) for run in runs.courses]
    gas = used.map(lambda hexose: hexose * CO2_VOLUME_30C_ML_PER_G_HEXOSE)
    advised = yeast_tolerance == ORDINARY and breakdown.sugar_percent > SUGAR_TOLERANT_ADVISED_PERCENT
    return SugarBudget(
        breakdown=breakdown,
        compressed_yeast_percent=yeast,
        start=start,
        sucrose_percent=sucrose,
        enzymes=runs.enzymes,
        osmotic_pressure_atm=pressure,
        brake=brake.best if brake else None,
        enzyme_hours=sum(stage.minutes / 60 * amylase_pace(stage.temperature_c) for stage in stages),
        stages=feeding_of(course, stages, runs.legs[0]),
        course=course,
        free_sugar_spent_hours=course.free_sugar_spent_hours,
        free_sugar_spent_earliest_hours=earliest,
        free_sugar_spent_latest_hours=latest,
        free_sugar_lasts_hours=_across(runs.lasts_hours(), SUGAR_EVIDENCE) if yeast > 0 else None,
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
        malted_scald=malted,
        other_flour_share=other,
        flours_taken_as_white=flours_taken_as_white(formula),
    )


def malts_its_scald(formula: Formula, breakdown: Breakdown) -> bool:
    """Whether malt's enzymes meet a scald in this formula."""
    return breakdown.scalded_share_percent > 0 and any(
        line.ingredient.name == MALT_WITH_ENZYMES and line.mass_g > 0 for line in formula.lines
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


def yeast_split_percent(breakdown: Breakdown) -> float:
    """Sucrose, the flour's glucofructans with it, that the yeast splits, percent of flour."""
    return breakdown.sucrose_percent + FLOUR["sucrose_glucofructan"]


def _check_bake_loss(
    formula: Formula, breakdown: Breakdown, split_percent: float, course: Course, bake_loss_percent: float
) -> None:
    """Refuse a bake loss above the dough's water, so that sugars, other solids and water make up the bread.

    Sucrose that is split, and starch that becomes maltose, take water into the sugar: as much as each gains.
    """
    made = sum(phase.enzymes.made(phase.ends - phase.begins, phase.begins) for phase in course.phases)
    gained = (HEXOSE_PER_SUCROSE - 1) * split_percent + (1 - 1 / HEXOSE_PER_MALTOSE) * made
    water = dough_water_g(formula) - gained / 100 * breakdown.flour_g
    if water < 0:
        raise Refusal(
            "formula.lines",
            "too_little_water",
            "splitting this much sugar takes {needed} of water and the dough has less; add water",
            amounts={"needed": (gained / 100 * breakdown.flour_g, "mass")},
        )
    crumb_moisture_percent(water, breakdown.dough_mass_g, bake_loss_percent)


class Mixed(NamedTuple):
    """A dough at the end of mixing.

    yeast: as compressed yeast, % of flour. start: pools, hexose. sucrose_percent: what nothing splits (only
    without yeast). pressure_atm, brake: None without yeast. demands: of each stage.
    """

    yeast: float
    start: Pools
    sucrose_percent: float
    pressure_atm: float | None
    brake: Estimate | None
    demands: list[Estimate]

    @classmethod
    def of(cls, breakdown: Breakdown, stages: Sequence[Stage], yeast_tolerance: str) -> "Mixed":
        """The dough of a formula. Raises Refusal for yeast without water."""
        yeast = compressed_yeast_percent(breakdown)
        if yeast <= 0:
            start, sucrose = not_inverted(breakdown)
            return cls(yeast, start, sucrose, None, None, [exactly(0.0)] * len(stages))
        _check_water(breakdown)
        pressure = dough_pressure_atm(breakdown)
        brake = brake_band(pressure, yeast_tolerance)
        demands = [sugar_demand(yeast, brake, stage.temperature_c) for stage in stages]
        return cls(yeast, inverted(breakdown), 0.0, pressure, brake, demands)


def _band_of_times(hours: Sequence[float | None]) -> tuple[float | None, float | None]:
    """The earliest time of some runs, and the latest; None where no run has one, or not every run."""
    known = [time for time in hours if time is not None]
    return min(known, default=None), max(known) if len(known) == len(hours) else None


def sugars_left(final: State, sucrose_percent: float, lactose_percent: float) -> dict[str, float]:
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

    return Estimate(
        per_bread * min(as_sucrose(sugars, LEAST_SWEET) for sugars in left),
        per_bread * as_sucrose(left[0], BEST_SWEET),
        per_bread * max(as_sucrose(sugars, MOST_SWEET) for sugars in left),
        SUGAR_EVIDENCE,
    )


def as_sucrose(sugars: Mapping[str, float], sweetness: Mapping[str, float]) -> float:
    """Sugars as the sucrose that is as sweet, in their unit."""
    return sum(amount * sweetness[sugar] for sugar, amount in sugars.items())


def sugars_of_bread_percent(
    formula: Formula,
    stages: Sequence[Stage],
    yeast_tolerance: str,
    damaged_starch_percent: float,
    bake_loss_percent: float,
) -> float:
    """The sugars of the bread without lactose, percent of bread: best value of ``sugar_budget``, and no band.

    Parameters
        formula : Formula  checked, as are the others, by ``sugar_budget`` of a formula like it
        stages : Sequence[Stage]
        yeast_tolerance : str  ORDINARY or SUGAR_TOLERANT
        damaged_starch_percent : float  [% of flour]
        bake_loss_percent : float  [% of dough]
    Returns
        float  [% of bread]
    Raises
        Refusal: no flour, yeast without water.
    """
    breakdown = break_down(formula)
    mixed = Mixed.of(breakdown, stages, yeast_tolerance)
    legs = legs_of(stages, [each.best for each in mixed.demands])
    enzymes = maltose_makers(damaged_starch_percent, breakdown.scalded_share_percent)
    left = sugars_left(draw_down(mixed.start, legs, enzymes).final, mixed.sucrose_percent, 0.0)
    return sum(left.values()) * breakdown.flour_g / (breakdown.dough_mass_g * (1 - bake_loss_percent / 100))


def _assess(course: Course, has_yeast: bool) -> str:
    """How the yeast is fed at the end of the last stage."""
    if not has_yeast:
        return NO_YEAST
    if course.free_sugar_spent_hours is None:
        return FED
    return STARVED if course.unmet_rate_at_end > 0 else ON_MALTOSE
