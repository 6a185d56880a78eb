"""The breakdown of a formula: which lines are flour or bring liquid, and masses to percentages and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from kitchen import formula, own, tin_loaf
from scaldloaf.dough.formula import SCALD, allergens_of, break_down, masses_of, scaled
from scaldloaf.dough.refusal import Refusal
from scaldloaf.reference import INGREDIENTS


def test_the_tin_loaf_by_hand():
    seen = break_down(tin_loaf())
    assert seen.flour_g == 500 and seen.dough_mass_g == 929
    # water 195, milk 150 x 88 %, butter 30 x 15.9 %, powder 10 x 3 %, yeast 5 x 5 %
    wet = {"water": 195, "whole_milk": 150, "butter": 30, "skim_milk_powder": 10, "instant_yeast": 5}
    assert seen.water_g == approx(
        sum(mass * INGREDIENTS[name].water_percent / 100 for name, mass in wet.items())
    )
    assert seen.water_g == approx(195 + 132 + 30 * 0.159 + 0.3 + 0.25, abs=0.1)
    assert seen.hydration_percent == approx(seen.water_g / 5)
    assert seen.liquid_g == 345 and seen.liquid_percent == approx(69) and seen.dough_yield == approx(169)
    assert seen.scalded_share_percent == approx(20) and seen.scald_liquid_ratio == 1
    assert seen.total_percent == approx(185.8)
    assert seen.sucrose_percent == approx(6) and seen.salt_percent == approx(1.8, abs=0.05)
    assert seen.lactose_percent == approx((150 * 4.8 + 10 * 51) / 500, abs=0.01)
    assert seen.instant_yeast_percent == approx(1)


def test_the_catalogues_flours_bring_nothing_but_flour():
    # So the breakdown leaves their free sugars to the sugar budget.
    for row in INGREDIENTS.values():
        if row.is_flour:
            assert (
                row.sucrose_percent,
                row.glucose_percent,
                row.fructose_percent,
                row.maltose_percent,
                row.lactose_percent,
                row.salt_percent,
                row.yeast,
            ) == (0, 0, 0, 0, 0, 0, None), row.name


def test_a_flour_mix_brings_its_salt_sugar_and_yeast():
    mix = own(
        "bread mix",
        is_flour=True,
        water_percent=13,
        fat_percent=3,
        protein_percent=11,
        salt_percent=1.8,
        sucrose_percent=4,
        lactose_percent=1,
        yeast="instant",
    )
    seen = break_down(formula((mix, 500), ("water", 300), ("salt", 1)))
    assert seen.flour_g == 500
    assert seen.salt_percent == approx(1.8 + 0.2) and seen.sucrose_percent == approx(4)
    assert seen.lactose_percent == approx(1) and seen.instant_yeast_percent == approx(100)
    # a flour's own water, fat and protein are not counted, as for every flour
    assert seen.hydration_percent == approx(60) and seen.fat_percent == seen.protein_percent == 0


def test_a_flour_is_never_a_liquid():
    wet_flour = own("water", is_flour=True, is_liquid=True, water_percent=100)
    seen = break_down(formula((wet_flour, 100, SCALD), ("bread_flour", 100), ("water", 120)))
    assert seen.flour_g == 200 and seen.scald_flour_g == 100
    assert seen.scald_liquid_g == 0 and seen.scald_liquid_ratio == 0
    assert seen.liquid_g == 120 and seen.hydration_percent == approx(60)


def test_evaporation_leaves_the_dough_and_the_scald_once():
    kept = formula(("bread_flour", 50, SCALD), ("water", 250, SCALD), ("bread_flour", 450), ("water", 100))
    lost = formula(
        ("bread_flour", 50, SCALD),
        ("water", 250, SCALD),
        ("bread_flour", 450),
        ("water", 100),
        evaporation=40,
    )
    before, after = break_down(kept), break_down(lost)
    for field in ("dough_mass_g", "scald_mass_g", "water_g"):
        assert getattr(before, field) - getattr(after, field) == approx(40)
    assert after.hydration_percent == approx(62) and before.hydration_percent == approx(70)
    # the liquid is that mixed in; the moisture is that left after cooking
    assert after.scald_liquid_ratio == before.scald_liquid_ratio == 5
    assert after.scald_moisture_percent == approx(100 * (250 + 50 * 0.134 - 40) / 260)
    assert after.liquid_percent == before.liquid_percent


def test_evaporation_above_the_scalds_water_names_the_most_possible():
    of = formula(
        ("bread_flour", 50, SCALD), ("water", 50, SCALD), ("bread_flour", 450), ("water", 200), evaporation=60
    )
    with pytest.raises(Refusal) as refused:
        break_down(of)
    assert (refused.value.argument, refused.value.nearest) == ("formula.scald_evaporation", approx(56.7))


@pytest.mark.parametrize(
    "of",
    [
        formula(("water", 100)),
        formula(("bread_flour", 0), ("water", 100)),
        formula(("bread_flour", 9e-4)),
        formula(("bread_flour", 1), ("butter", 1_000_001)),
    ],
)
def test_almost_no_flour(of):
    with pytest.raises(Refusal) as refused:
        break_down(of)
    assert (refused.value.argument, refused.value.code) == ("formula.lines", "no_flour")


def test_a_millionth_of_flour_is_the_least():
    assert break_down(formula(("bread_flour", 1), ("butter", 999_999))).total_percent == approx(1e8)


def test_a_scald_without_flour_has_no_ratio():
    seen = break_down(formula(("water", 100, SCALD), ("bread_flour", 500), ("water", 200)))
    assert seen.scald_liquid_ratio is None and seen.scald_moisture_percent is None
    assert seen.scald_mass_g == 100 and seen.scalded_share_percent == 0


def test_allergens_in_the_order_of_the_lines():
    of = formula(("butter", 1), ("bread_flour", 1), ("whole_milk", 1), ("butter", 1), ("sesame_seeds", 0))
    assert allergens_of(of.lines) == {
        "milk": ["butter", "whole_milk"],
        "wheat": ["bread_flour"],
        "gluten": ["bread_flour"],
        "sesame": ["sesame_seeds"],
    }


masses_g = st.lists(st.floats(1, 1e5), min_size=10, max_size=10)


@given(masses_g, st.floats(1e-3, 1e4))
def test_percentages_round_trip_and_do_not_see_the_size(given_masses, factor):
    of = formula(
        *(
            (each.ingredient, mass, each.part)
            for each, mass in zip(tin_loaf().lines, given_masses, strict=True)
        )
    )
    seen = break_down(of)
    percents = [100 * mass / seen.flour_g for mass in given_masses]
    assert sum(percents) == approx(seen.total_percent, rel=1e-12)
    assert [percent * seen.flour_g / 100 for percent in percents] == approx(given_masses, rel=1e-12)
    other = break_down(scaled(of, factor))
    for field in seen._fields:
        was = getattr(seen, field)
        expected = was * factor if field.endswith("_g") else was
        assert getattr(other, field) == approx(expected, rel=1e-9), field


@given(masses_g, st.floats(0, 0.5), st.floats(1e-3, 1e4))
def test_the_two_masses_alone_are_those_of_the_breakdown_to_the_last_bit(given_masses, evaporation_g, factor):
    lines = zip(tin_loaf().lines, given_masses, strict=True)
    of = scaled(
        formula(*((each.ingredient, mass, each.part) for each, mass in lines), evaporation=evaporation_g),
        factor,
    )
    seen = break_down(of)
    assert masses_of(of) == (seen.flour_g, seen.dough_mass_g)
