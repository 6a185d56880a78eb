"""Flour moisture, absorption and crumb against published examples; then checks against
common practice, marked as such. Each has its source beside it."""

import pytest
from pytest import approx

from kitchen import correct, formula
from scaldloaf.dough.crumb_moisture import dough_water_g
from scaldloaf.dough.flour import (
    FlourChange,
    as_is_absorption_percent,
    at_other_moisture,
    on_moisture_basis,
)
from scaldloaf.dough.formula import break_down, scald_moisture_percent
from scaldloaf.dough.hydration import optimum_hydration
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.water_judged import BALANCED, UNDER_WATERED, assess
from scaldloaf.dough.water_rule import Spot, share_limit_at
from scaldloaf.reference import INGREDIENTS

WATER = INGREDIENTS["water"]


@pytest.mark.parametrize(
    "to_moisture, printed, tolerance", [(15, 6.4, 0.05), (13, 6.5, 0.05), (0, 7.5, 1e-9)]
)
def test_percentage_on_another_moisture_basis(to_moisture, printed, tolerance):
    # Iowa State PM-1625, scribd.com/document/574297667: 6.0 % at 20 % moisture.
    assert on_moisture_basis(6.0, 20, to_moisture) == approx(printed, abs=tolerance)


def test_protein_to_14_percent():
    # US flour guide, quoted: P (100 - 14) / (100 - M).
    assert on_moisture_basis(12.4, 12.1, 14) == approx(12.4 * 86 / 87.9)


@pytest.mark.parametrize(
    "moisture, absorption", [(11, 67.65), (12, 65.77), (13, 63.88), (14, 62.00), (15, 60.12)]
)
def test_absorption_as_is(moisture, absorption):
    # Dry-matter balance on ICC 115/1's 14 % basis, 62 % absorption (computed).
    assert as_is_absorption_percent(62, moisture) == approx(absorption, abs=0.005)


@pytest.mark.parametrize("moisture, flour", [(12, 293.18), (13, 296.55), (14.5, 301.75)])
def test_flour_for_the_farinograph_bowl(moisture, flour):
    # 300 g at 14 % moisture (ICC 115/1), by dry-matter balance (computed).
    assert on_moisture_basis(300, moisture, 14) == approx(flour, abs=0.005)


def test_absorption_from_a_farinogram():
    # 180 ml at 520 FU with flour at 13 %, corrected to 500 FU: 181.92 ml (0.096 ml per FU, from memory). The
    # dry-matter balance alone then gives 59.49 % at 14 % (computed).
    bowl = on_moisture_basis(300, 13, 14)
    at_500_fu = 180 + 0.096 * (520 - 500)
    assert at_500_fu == approx(181.92)
    absorption = at_other_moisture(100 * at_500_fu / bowl, 13, 14)
    assert absorption == approx(59.49, abs=0.005)
    # the reverse: the same water on the bowl's own flour
    assert as_is_absorption_percent(absorption, 13) == approx(100 * at_500_fu / bowl)


def test_trap_one_point_of_moisture_is_worth_more_than_its_water():
    # Trap. thefreshloaf.com/node/70028 has one point more moisture at 65 % worth 1.7 points (66.67).
    # From 14 to 15 % the same flour and water make a dough 1.9 points wetter.
    effective = at_other_moisture(65, 15, 14)
    assert effective - 65 == approx(1.9, abs=0.05)
    assert effective != approx(66.67, abs=0.1)
    moister = FlourChange(moisture_percent=15, base_moisture_percent=14)
    assert moister.hydration_for(65) == approx(65 - 1.9, abs=0.05)


def test_new_flour_at_its_own_moisture_gets_its_own_absorption():
    # From a flour used at exactly its absorption, 62 % at 13 %, to one of 64 % at 11.5 %.
    change = FlourChange(11.5, 13, 64, 62)
    assert change.hydration_for(as_is_absorption_percent(62, 13)) == approx(
        as_is_absorption_percent(64, 11.5)
    )


@pytest.mark.parametrize("ratio, moisture", [(1, 57), (2, 71.3), (5, 85.7)])
def test_scald_moisture(ratio, moisture):
    # Mass balance with flour at 14 % (computed).
    assert scald_moisture_percent(ratio, 14) == approx(moisture, abs=0.05)


# Common practice, no source


def base_69():
    """20 % of the flour scalded 1:1, 69 % hydration in total."""
    return formula(
        ("bread_flour", 100, "scald"),
        ("water", 100, "scald"),
        ("bread_flour", 400),
        ("water", 245),
        ("sucrose", 30),
        ("oil", 25),
        ("salt", 9),
        ("instant_yeast", 0),
    )


def test_share_from_20_to_35_needs_about_73():
    # common practice, no source
    assert break_down(base_69()).hydration_percent == approx(69)
    optimum = optimum_hydration(Spot(20, 1, 69), Spot(35, 1))
    assert optimum.best == approx(73, abs=0.5)
    assert optimum.low < 73 < optimum.high
    correction = correct(base_69(), WATER, 35)
    assert correction.after.hydration_percent == approx(73, abs=0.5)


@pytest.mark.parametrize("hydration, verdict", [(69, UNDER_WATERED), (74, BALANCED)])
def test_35_percent_share_at_69_and_at_74(hydration, verdict):
    # common practice, no source: at 69 % dense and stale within about a day, at 74 % balanced
    correction = correct(base_69(), WATER, 35, hydration=hydration)
    assert correction.assessment == verdict == assess(hydration, correction.optimum.best)
    said_dense = any(note.code == "under_watered" for note in correction.notes)
    assert said_dense is (verdict == UNDER_WATERED)


def test_five_points_of_water_give_less_than_one_of_crumb():
    # common practice, no source: 6 points of hydration are about 1 of crumb moisture
    five = correct(base_69(), WATER, hydration=74).crumb_moisture_change_points
    assert 0 < five.best < 1
    six = correct(base_69(), WATER, hydration=75).crumb_moisture_change_points
    assert six.best == approx(1, abs=0.001)
    assert six.high > six.best  # the mass balance is the upper end


def test_crumb_balance_is_the_upper_end():
    # mass balance: the loss stays 10 % of the dough, all of it water
    base = base_69()
    correction = correct(base, WATER, hydration=74)
    dry_before = break_down(base).dough_mass_g - dough_water_g(base)
    dry_after = break_down(correction.formula).dough_mass_g - dough_water_g(correction.formula)
    loaf = 0.9 * break_down(base).dough_mass_g
    assert correction.crumb_moisture_change_points.high == approx(100 * (dry_before - dry_after) / loaf)


def test_shares_to_40_percent_are_workable_and_a_note_marks_higher_ones():
    # common practice, no source
    assert share_limit_at(1) == share_limit_at(1.34) == 40
    codes = [note.code for note in correct(base_69(), WATER, 40).notes]
    assert "share_extrapolated" not in codes
    codes = [note.code for note in correct(base_69(), WATER, 42).notes]
    assert "share_extrapolated" in codes


def test_high_share_at_60_percent_has_a_note_on_staling():
    # common practice, no source: above 30 % share at a fixed 60 % hydration staling speeds up
    def how(share):
        notes = correct(base_69(), WATER, share, hydration=60).notes
        return [note.values["how"] for note in notes if note.code == "dry_scald"]

    assert how(35) == ["speeds_up"]
    assert how(30) == ["may_speed_up"]  # no cliff there: it may from 25 % on
    assert how(25) == []


def test_35_percent_share_at_1_to_5_needs_175_percent_water():
    # mass balance: 5 x 35; refused with every suggestion
    with pytest.raises(Refusal) as refused:
        correct(base_69(), WATER, 35, 5)
    assert refused.value.code == "scald_liquid_short"
    assert "needs 175 % of the flour" in str(refused.value)


def test_free_water_and_not_hydration_limits_an_enriched_scald():
    # mass balance: 75 % hydration of which 36 points are free water; at 1:2 the limit is 18 %, not 37 %
    enriched = formula(("bread_flour", 100), ("water", 36), ("whole_milk", 39 / 0.88), ("salt", 2))
    assert break_down(enriched).hydration_percent == approx(75)
    with pytest.raises(Refusal) as refused:
        correct(enriched, WATER, 37, 2, hydration=75)
    assert refused.value.nearest == approx(18)
    moved = correct(enriched, WATER, 37, 2, hydration=75, liquids=("water", "whole_milk"))
    assert moved.after.scald_liquid_ratio == approx(2)
