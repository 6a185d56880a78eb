"""The least certain figures of a plan: the range that each estimate causes, and their order."""

from math import inf

from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.heat_balance import BEST_HEATS, Matter, Part, dough_by_heat_balance_c
from scaldloaf.dough.plan import (
    LOAF_VOLUME,
    RISE,
    SWEETNESS,
    Doubt,
    doubt_of_amount,
    doubt_of_bake_loss,
    doubt_of_dough,
    doubt_of_water,
    doubt_of_water_temperature,
    least_certain,
    relative_width_percent,
)
from scaldloaf.dough.volume import dough_mass_g, water_volume_factor
from scaldloaf.dough.yeast import temperature_factor


def estimate(low, best, high) -> Estimate:
    return Estimate(low, best, high, "assumption")


def ends(doubt: Doubt):
    return doubt.least_percent, doubt.most_percent


def test_relative_width():
    assert relative_width_percent(estimate(440, 500, 560)) == approx(24)
    assert relative_width_percent(estimate(-3, -2, -1)) == approx(100)
    assert relative_width_percent(estimate(0, 0, 1)) is None


@given(st.floats(2.5, 5), st.floats(0.02, 0.2), st.floats(0.02, 0.2))
def test_dough_by_the_loaf_that_comes_of_it(best, below, above):
    """A bread lighter or denser than planned, and the loaf that the planned dough then gives."""
    loaf = 1700.0
    needed = [dough_mass_g(loaf, best * factor, 10) for factor in (1 + above, 1, 1 - below)]
    doubt = doubt_of_dough(estimate(*needed))
    dough = needed[1]
    denser, lighter = (dough * 0.9 * best * factor for factor in (1 - below, 1 + above))
    assert ends(doubt) == approx((100 * (denser / loaf - 1), 100 * (lighter / loaf - 1)))


def test_water_at_the_best_value_can_only_cost_volume():
    doubt = doubt_of_water(estimate(67, 69, 72), 69)
    assert doubt.decides == LOAF_VOLUME
    assert ends(doubt) == approx((100 * (water_volume_factor(-3) - 1), 0))


def test_water_off_the_best_value_may_turn_out_right():
    doubt = doubt_of_water(estimate(67, 69, 72), 66)
    planned = water_volume_factor(-3)
    assert ends(doubt) == approx(
        (100 * (water_volume_factor(-6) / planned - 1), 100 * (water_volume_factor(-1) / planned - 1))
    )
    inside = doubt_of_water(estimate(67, 69, 72), 71)
    assert inside.most_percent == approx(100 * (1 / water_volume_factor(2) - 1))


def test_water_beyond_what_is_known_has_no_figure():
    assert doubt_of_water(estimate(60, 69, 78), 69).width_percent is None


def test_bake_loss_moves_the_mass_of_the_loaf():
    assert ends(doubt_of_bake_loss(estimate(9, 10, 12))) == approx((100 * (88 / 90 - 1), 100 * (91 / 90 - 1)))


def test_zero_amounts_have_no_figure():
    assert ends(doubt_of_amount(estimate(1, 2, 4), SWEETNESS)) == approx((-50, 100))
    assert doubt_of_amount(estimate(0, 0, 1), RISE).width_percent is None


@given(st.floats(5, 45), st.floats(0, 3), st.floats(0, 3))
def test_water_temperature_by_the_heat_balance(best, below, above):
    """The dough temperature with this water and its yeast's rate, by the heat balance itself."""
    parts = [Part("flour", 500, 20, Matter({"flour": 500}))]
    water = Matter({"water": 300})

    def rate(water_c):
        return temperature_factor(dough_by_heat_balance_c(water_c, 3, parts, water))

    heat = water.heat_capacity_j_per_k(BEST_HEATS)
    heat_share = heat / (heat + parts[0].matter.heat_capacity_j_per_k(BEST_HEATS))
    doubt = doubt_of_water_temperature(
        estimate(best - below, best, best + above), heat_share, dough_by_heat_balance_c(best, 3, parts, water)
    )
    # water that should have been warmer leaves the dough as much cooler
    assert ends(doubt) == approx(
        (
            100 * (min(rate(best - above), rate(best), rate(best + below)) / rate(best) - 1),
            100 * (max(rate(best - above), rate(best), rate(best + below)) / rate(best) - 1),
        ),
        abs=1e-9,
    )


def test_a_dough_too_hot_for_yeast_has_no_figure():
    assert doubt_of_water_temperature(estimate(59, 60, 61), 0.4, 44).width_percent is None
    assert ends(doubt_of_water_temperature(estimate(59, 60, 61), 0.4, 36))[1] == 0


def test_the_widest_comes_first_and_certain_amounts_are_omitted():
    narrow, wide = (Doubt(estimate(0, 1, 2), RISE, -end, end) for end in (1.0, 30.0))
    certain = Doubt(estimate(1, 1, 1), RISE, 0.0, 0.0)
    unknown = Doubt(estimate(0, 1, inf), RISE)
    found = least_certain([("narrow", narrow), ("certain", certain), ("wide", wide), ("unknown", unknown)])
    assert [name for name, _ in found] == ["unknown", "wide", "narrow"]
