"""Water and volume of a scald against figures from outside, each with its source or "common practice"."""

from math import log

import pytest
from pytest import approx

from kitchen import correct, formula
from scaldloaf.dough.bake_loss import Lidded, usual_bake_loss_percent
from scaldloaf.dough.bread import bread_from_prior
from scaldloaf.dough.flour import added_gluten_g
from scaldloaf.dough.pan import Box, pan_volume
from scaldloaf.dough.pan_fill import RATIOS_SEEN, fill_pan
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.target_bread import Wanted
from scaldloaf.dough.trials import Trial, fit_trials
from scaldloaf.dough.volume import Gluten, water_volume_factor
from scaldloaf.dough.water_judged import hydration_by_absorption
from scaldloaf.dough.water_rule import SCALD_BINDING_DEGREE, Spot, share_limit_at, water_slope_at
from scaldloaf.reference import COEFFICIENTS, INGREDIENTS

WATER = INGREDIENTS["water"]
LIDDED = Lidded(True)


# Absorption of cooked starches


def test_cooked_potato_flour_bounds_what_a_scald_binds():
    # Potato flour as partial replacement of wheat flour in bread (abstract): farinograph absorption 62 %
    # without, 79 % with 8 % of the flour cooked and dried potato. Potato starch swells more than wheat, so
    # this is an upper bound: in the band of a scald that got all the water it could hold, above its best.
    points_per_point = (79 - 62) / 8
    slope = water_slope_at(6)
    assert slope.best < points_per_point <= slope.high
    assert points_per_point + 0.62 == approx(2.75, abs=0.01)  # its own uptake, g/g
    assert COEFFICIENTS["scald_water_capacity"].low < 2.75 < COEFFICIENTS["scald_water_capacity"].high


def test_maize_flakes_are_within_the_band():
    # Book of American Baking (about 1910), corn flakes used in bread: gelatinised flakes took up twice their
    # weight of water in doughs of equal consistency, 1.4 points a point at 62 %
    slope = water_slope_at(5)
    assert slope.low < 2.0 - 0.62 < slope.high
    assert slope.best == approx(1.4, abs=0.1)


def test_a_scald_that_keeps_its_water_and_no_more():
    # Calculated: at 1:1 that is 1 - 0.62 to 1 - 0.65 points a point; the usual figure is 75 % of it
    whole = [1 - raw for raw in (0.62, 0.64, 0.65)]
    assert water_slope_at(1).high >= max(whole)
    assert water_slope_at(1).best == approx(SCALD_BINDING_DEGREE.value * whole[1])


@pytest.mark.parametrize(
    "share, ratio, seen, scatter",
    [
        # common practice, surveys of public recipes: points a point of share, and how far apart they are
        (6.7, 5, 1.95, 0.4),
        (6.7, 5, 1.06, 0.4),
        (20, 1.7, 0.67, 0.3),
        (20, 1, 0.21, 0.15),
    ],
)
def test_what_public_recipes_add_lies_in_the_band(share, ratio, seen, scatter):
    slope = water_slope_at(ratio)
    assert slope.low - scatter < seen < slope.high + scatter
    assert share <= share_limit_at(ratio)


@pytest.mark.parametrize("share, right", [(20, 67.7), (35, 72.0)])
def test_right_water_of_a_flour_of_62(share, right):
    # common practice, no source: a bread flour that takes 62 % at 14 % moisture
    assert hydration_by_absorption(Spot(share, 1), 62, 14).best == approx(right, abs=0.05)


@pytest.mark.parametrize("ratio, limit", [(1, 40), (1.34, 40), (1.5, 33), (2, 21), (2.6, 14.4), (6, 14.4)])
def test_a_thinner_scald_is_known_for_less_of_the_flour(ratio, limit):
    assert share_limit_at(ratio) == approx(limit, abs=0.3)


# Volume and gluten


def test_too_little_water_costs_more_than_too_much():
    # Eliasson & Larsson 1993, seen quoted in Food Sci. Technol. Res. 22 (2016) 841
    for points in (1, 3, 5, 8):
        assert water_volume_factor(-points) < water_volume_factor(points)


def test_two_points_too_dry_is_hardly_seen():
    # 25 x 0.02²: 1 % of the volume, which no baker calls dense
    assert 100 * (1 - water_volume_factor(-2)) == approx(1, abs=0.02)


def test_vital_gluten_never_promises_more_than_was_measured():
    # J Food Sci Technol 57 (2020) 3581, Table 4: 5 % vital gluten raised a weak flour's specific volume from
    # 4.7 to 6.1 cm3/g, which bounds the high end
    plain = bread_from_prior(Wanted(0, bake_loss_percent=10)).specific_volume
    rich = bread_from_prior(Wanted(0, bake_loss_percent=10, gluten=Gluten(5))).specific_volume
    assert rich.best == plain.best
    gained = log(rich.high / rich.best) ** 2 - log(plain.high / plain.best) ** 2
    assert gained == approx(log(1.3) ** 2) and approx(6.1 / 4.7, abs=0.01) == 1.3


def test_gluten_makes_up_what_scalding_takes():
    # Patent KR20030028928A: the volume that a 1:1 scald costs is cured by adding gluten. Balance: 100 g
    # of flour with 12 % protein has as much as 16 g of gluten with 75.2 %
    assert added_gluten_g(20, 500, 12) == approx(100 * 12 / 75.2)
    with_it = bread_from_prior(Wanted(20, gluten=Gluten(20 * 12 / 75.2)))
    assert with_it.share_factor == 1


# Pans


@pytest.mark.parametrize("share, best", [(0, 517), (20, 550)])
def test_a_light_lidded_tin_of_two_litres(share, best):
    dough = fill_pan(
        pan_volume(Box(20, 10, 10)).volume_cm3, 100, bread_from_prior(Wanted(share, pan=LIDDED))
    ).dough_mass_g
    assert dough.best == approx(best, abs=1)
    # common practice, surveyed: at 20 % bakers put 480 to 540 g into it, and the band holds what they do
    if share:
        assert dough.low <= 480 and dough.high >= 540


def test_the_priors_are_what_surveyed_tins_hold():
    # Lidded tins of 30 public recipes: 3.85 cm3 of pan per g of dough in East Asian style (3.52 to 4.15) and
    # 3.06 in Western style (2.85 to 3.32); times 1 less the bake loss that is the specific volume
    for crumb, ratio, ends in (("light", 3.85, (3.52, 4.15)), ("close", 3.06, (2.85, 3.32))):
        bread = bread_from_prior(Wanted(0, pan=LIDDED), crumb)
        assert bread.loaf_per_dough.best == approx(ratio, rel=0.03)
        assert bread.loaf_per_dough.low < ends[0] and ends[1] < bread.loaf_per_dough.high


def test_the_light_prior_holds_a_published_control_bread():
    # Foods 13 (2024) 1479: control bread 4.18 cm3/g (abstract)
    prior = COEFFICIENTS["specific_volume_prior"]
    assert prior.low < 4.18 < prior.high


@pytest.mark.parametrize(
    "kind, ratio",
    [
        ("lidded_japanese", 3.85),  # lidded tins of 15 public recipes in East Asian style
        ("lidded_us", 3.13),  # 9 public recipes for the 13 by 4 by 4 inch tin
        ("open_wholesale", 7.6 * 2.54**3 / 28.349523125),  # a mid-century US formulary: 7.6 in3 per oz
        ("open_home", 3.15),
        ("open_shallow", 1.7),
    ],
)
def test_ratios_seen_are_named_as_such(kind, ratio):
    row = RATIOS_SEEN[kind]
    assert row.low - 0.005 <= ratio <= row.high


@pytest.mark.parametrize("lid, low, high", [(True, 10, 11), (False, 12, 12)])
def test_the_usual_bake_loss_by_the_lid(lid, low, high):
    # trade pages: lidded 10 to 11 % of the dough, open-top 12 %
    assert low <= usual_bake_loss_percent(Lidded(lid)) <= high


# Trials


def test_trials_start_from_the_prior_that_pan_fill_has():
    nothing_new = Trial(0, 450, 4.3 * 450 * 0.9, volume_relative_sd=0.3)
    learnt = fit_trials([nothing_new]).reference_specific_volume
    shown = COEFFICIENTS["specific_volume_prior"]
    assert learnt.best == approx(shown.value, rel=1e-3)
    assert (learnt.low, learnt.high) == (approx(shown.low, rel=0.03), approx(shown.high, rel=0.03))


def test_a_formula_of_600_percent_water_is_no_bread():
    with pytest.raises(Refusal) as refused:
        correct(formula(("bread_flour", 100), ("water", 650)), WATER)
    assert refused.value.code == "too_wet_for_bread"
