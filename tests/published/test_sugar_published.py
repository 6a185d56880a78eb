"""The sugar budget against published figures and against common practice, each marked as such."""

import pytest

from scaldloaf.dough.formula import SCALD, Formula, Line, break_down
from scaldloaf.dough.sugar import CO2_VOLUME_30C_ML_PER_G_HEXOSE, sugar_budget
from scaldloaf.dough.sugar_course import HEXOSE_PER_MALTOSE, Enzymes, Pools, draw_down
from scaldloaf.dough.sugar_stages import Stage
from scaldloaf.dough.yeast import (
    HEXOSE_PER_SUCROSE,
    compressed_yeast_percent,
    osmotic_brake,
    osmotic_pressure_atm,
    sugar_demand,
    temperature_factor,
)
from scaldloaf.reference import INGREDIENTS, coefficient


def dough(scald=0.0, water=65.0, **percents) -> Formula:
    lines = [Line(INGREDIENTS["bread_flour"], 100 - scald), Line(INGREDIENTS["water"], water - scald)]
    if scald:
        lines += [Line(INGREDIENTS["bread_flour"], scald, SCALD), Line(INGREDIENTS["water"], scald, SCALD)]
    return Formula(tuple(lines + [Line(INGREDIENTS[name], mass) for name, mass in percents.items()]))


THREE_HOURS = (Stage("bulk", 90, 28), Stage("bench", 30, 27), Stage("proof", 60, 32))


# ---- Published ---------------------------------------------------------------------------------


# No source: van 't Hoff's law at 30 °C, worked out beside the program from molar masses. A yeast trade text
# (buffalobrewingstl.com) gives 35 to 100 atm for doughs and says that bakers lower the hydration of a sweet
# one.
@pytest.mark.parametrize(
    "sucrose, water, by_hand_atm",
    [(0, 65, 26.2), (5, 65, 37.4), (10, 65, 48.6), (20, 60, 77), (25, 60, 89)],
)
def test_osmotic_pressures(sucrose, water, by_hand_atm):
    moles = 2 * 2 / 58.443 + sucrose * 360.31 / 342.30 / 180.156
    assert moles / (water / 1000) * 0.082057 * 303.15 == pytest.approx(by_hand_atm, abs=0.2)
    pressure = osmotic_pressure_atm(HEXOSE_PER_SUCROSE * sucrose, 0, 2, water)
    assert pressure == pytest.approx(by_hand_atm, abs=0.2)


# Yeast trade text: ordinary yeast slows from about 5 % sugar (with 2 % salt).
def test_ordinary_yeast_slows_from_five_percent_sugar():
    def rate(sucrose):
        return osmotic_brake(osmotic_pressure_atm(HEXOSE_PER_SUCROSE * sucrose, 0, 2, 65.5))

    assert rate(0) == 1 and rate(4) == 1
    assert rate(5) == pytest.approx(1, abs=0.01)
    assert rate(6) < 0.99 and rate(10) < 0.8


# J. Hamelman, Bread (2004): compressed : active dry : instant = 1 : 0.40 : 0.33.
EQUAL_YEASTS = [("compressed_yeast", 3.0), ("active_dry_yeast", 1.2), ("instant_yeast", 0.99)]


@pytest.mark.parametrize("yeast, mass", EQUAL_YEASTS)
def test_yeasts_that_do_the_same_work(yeast, mass):
    assert compressed_yeast_percent(break_down(dough(**{yeast: mass}))) == pytest.approx(3.0, rel=1e-12)


def test_yeasts_that_do_the_same_work_use_the_same_sugar():
    used = [
        sugar_budget(dough(sucrose=6, salt=0, **{yeast: mass}), THREE_HOURS).used_percent.best
        for yeast, mass in EQUAL_YEASTS
    ]
    assert used == pytest.approx([used[0]] * 3, rel=1e-12)


# A trade figure: yeast works about a tenth faster for each degree Celsius, 23 to 32 degC.
@pytest.mark.parametrize("cooler", range(23, 32))
def test_a_degree_is_a_tenth(cooler):
    assert temperature_factor(cooler + 1) / temperature_factor(cooler) == pytest.approx(1.10)


# Stoichiometry, standard atomic masses C 12.011, H 1.008, O 15.999: C6H12O6 -> 2 C2H6O + 2 CO2.
def test_carbon_dioxide_of_a_gram_of_hexose():
    hexose = 6 * 12.011 + 12 * 1.008 + 6 * 15.999
    carbon_dioxide = 12.011 + 2 * 15.999
    water = 2 * 1.008 + 15.999
    assert coefficient("co2_per_hexose_g").value == pytest.approx(2 * carbon_dioxide / hexose, abs=5e-5)
    assert pytest.approx(2 / hexose * 0.0820574 * 303.15 * 1000, rel=2e-3) == CO2_VOLUME_30C_ML_PER_G_HEXOSE
    assert coefficient("co2_volume_0c_ml_per_g_hexose").value == pytest.approx(
        2 / hexose * 0.0820574 * 273.15 * 1000, rel=2e-3
    )
    for factor in (HEXOSE_PER_SUCROSE, HEXOSE_PER_MALTOSE):
        assert factor == pytest.approx(2 * hexose / (2 * hexose - water), abs=1e-5)


def test_gas_of_a_formula_is_that_of_the_hexose_used():
    budget = sugar_budget(dough(sucrose=6, salt=1.8, instant_yeast=1), THREE_HOURS)
    assert budget.gas_cm3_per_100_g_flour.best == pytest.approx(276 * budget.used_percent.best, rel=1e-9)


# S. M. Loveday, R. J. Winger, J. Agric. Food Chem. 55 (2007) 6325 (abstract): in dough, too, yeast prefers
# glucose to fructose.
def test_glucose_falls_faster_than_fructose_and_is_gone_first():
    course = draw_down(Pools(2.0, 2.0, 0.0), [(5.0, sugar_demand(3.0, 1.0, 30))], Enzymes())
    glucose, fructose, *_ = course.phases[0].at(1.0)
    assert glucose < fructose
    assert course.glucose_spent_hours < course.fructose_spent_hours


# R. M. Saunders, H. Ng, L. Kline (1972): 5.5 % of flour is the most maltose a sour dough makes.
def test_maltose_of_a_plain_dough_stays_below_the_sour_dough_ceiling():
    budget = sugar_budget(dough(sucrose=6, salt=1.8), [Stage("rest", 72 * 60, 30)])
    maltose = budget.residual["maltose"].percent_of_flour
    assert 1.5 < maltose.best < 5.5 and maltose.high < 5.5


# ---- Common practice, no source ----------------------------------------------------------------


@pytest.mark.parametrize("yeast", [0.8, 1.0, 1.2])
def test_six_percent_sugar_feeds_a_straight_dough_for_three_hours(yeast):
    """Common practice, no source: about 6 % sucrose lasts about 3 h, so that maltose is left in the loaf."""
    budget = sugar_budget(dough(sucrose=6, salt=1.8, instant_yeast=yeast), THREE_HOURS)
    assert budget.assessment == "fed"
    assert budget.free_sugar_spent_hours is None and budget.maltose_drawn_hours is None
    assert budget.residual["maltose"].percent_of_flour.low > 1
    lean = sugar_budget(dough(salt=1.8, instant_yeast=yeast), THREE_HOURS)
    assert lean.free_sugar_spent_hours < 3 and lean.maltose_drawn_hours < 3


@pytest.mark.parametrize("sucrose", [5.0, 5.5, 6.0])
@pytest.mark.parametrize("yeast", [0.8, 1.0, 1.2])
@pytest.mark.parametrize("milk, water", [(0, 65), (30, 39)])
@pytest.mark.parametrize("more_water", [0, 10])
def test_bread_with_two_fifths_scalded_has_about_twice_the_sugars(sucrose, yeast, milk, water, more_water):
    """Common practice, no source: at 40 % share, 5-6 % sugar, about 3 h, total sugars about double."""

    def sugars(share, water):
        formula = dough(share, water, sucrose=sucrose, salt=1.8, instant_yeast=yeast, whole_milk=milk)
        budget = sugar_budget(formula, THREE_HOURS)
        return budget.residual["total"].percent_of_bread.best

    assert 1.5 <= sugars(40, water + more_water) / sugars(0, water) <= 2.4
