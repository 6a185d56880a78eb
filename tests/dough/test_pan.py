"""Pan geometry, volume by water, and impossible pans."""

from dataclasses import fields, replace
from math import inf, nan, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS95

from scaldloaf.dough import pan as pans
from scaldloaf.dough.pan import Box, KnownVolume, Oval, Round, Tapered, WaterFill, pan_volume
from scaldloaf.dough.refusal import Refusal

side = st.floats(5, 40)
depth = st.floats(4, 20)
PANS = st.one_of(
    st.builds(Box, side, side, depth),
    st.builds(Tapered, side, side, side, side, depth),
    st.builds(Round, side, side, depth),
    st.builds(Oval, side, side, side, side, depth),
)


def volume(pan) -> float:
    return pan_volume(pan).volume_cm3


def sliced_volume(area_at, depth_cm: float, slices: int = 2000) -> float:
    """Volume as a sum of slices, each by its middle: a second route without a formula."""
    return sum(area_at((index + 0.5) / slices) for index in range(slices)) * depth_cm / slices


@given(side, side, depth)
def test_a_tapered_pan_with_straight_walls_is_a_box(length, width, deep):
    straight = Tapered(length, width, length, width, deep)
    assert volume(straight) == pytest.approx(volume(Box(length, width, deep)), rel=1e-12)


@given(side, side, side, side, depth)
def test_tapered_and_oval_agree_with_adding_up_slices(top_length, top_width, base_length, base_width, deep):
    def area(height):
        return (base_length + (top_length - base_length) * height) * (
            base_width + (top_width - base_width) * height
        )

    summed = sliced_volume(area, deep)
    dimensions = (top_length, top_width, base_length, base_width, deep)
    assert volume(Tapered(*dimensions)) == pytest.approx(summed, rel=1e-6)
    assert volume(Oval(*dimensions)) == pytest.approx(pi / 4 * summed, rel=1e-6)


@given(side, side, depth)
def test_a_round_pan_is_an_oval_with_equal_axes(top, base, deep):
    oval = Oval(top, top, base, base, deep)
    assert volume(Round(top, base, deep)) == pytest.approx(volume(oval), rel=1e-12)


@given(PANS, st.floats(0.9, 1.5))
def test_volume_grows_with_the_cube_of_the_size(pan, factor):
    grown = replace(pan, **{field.name: getattr(pan, field.name) * factor for field in fields(pan)})
    assert volume(grown) == pytest.approx(volume(pan) * factor**3, rel=1e-12)


@given(PANS, st.data())
def test_volume_grows_with_each_dimension(pan, data):
    name = data.draw(st.sampled_from([field.name for field in fields(pan)]))
    assert volume(replace(pan, **{name: getattr(pan, name) * 1.01})) > volume(pan)


def test_the_box_of_the_top_overstates_a_flared_tin():
    flared = Tapered(22, 12, 19.5, 10, 7)
    assert volume(Box(22, 12, 7)) / volume(flared) > 1.14


@pytest.mark.parametrize("temperature_c", [0, 1, 4, 10, 20, 25, 30, 40, 60, 80, 95, 99.9])
def test_water_density_agrees_with_iapws_95(temperature_c):
    reference = IAPWS95(T=temperature_c + 273.15, P=0.101325).rho
    assert pans.water_density_g_per_cm3(temperature_c) * 1000 == pytest.approx(reference, abs=0.02)


@given(st.floats(100, 5000), st.floats(0, 100))
def test_water_fill_is_the_mass_over_the_density(mass, temperature):
    filled = volume(WaterFill(mass, temperature))
    assert filled * pans.water_density_g_per_cm3(temperature) == pytest.approx(mass, rel=1e-12)
    assert mass <= filled <= mass * 1.05


def test_only_a_calculated_volume_asks_for_water():
    codes = {
        type(pan): [note.code for note in pan_volume(pan).notes]
        for pan in (Box(20, 10, 10), KnownVolume(2000), WaterFill(2000, 20))
    }
    assert codes == {Box: ["calculated_pan_volume"], KnownVolume: [], WaterFill: []}
    assert pan_volume(KnownVolume(2000)).measured and not pan_volume(Box(20, 10, 10)).measured


@pytest.mark.parametrize(
    "pan", [Tapered(19, 9, 20, 9, 8), Tapered(19, 9, 19, 10, 8), Round(20, 21, 8), Oval(19, 9, 20, 9, 8)]
)
def test_a_base_larger_than_the_top_is_allowed_and_noted(pan):
    assert "base_above_top" in [note.code for note in pan_volume(pan).notes]


@pytest.mark.parametrize("value", [0, -3, 0.49, 301, 1e308, inf, nan])
@pytest.mark.parametrize("name", ["top_length", "base_width", "depth"])
def test_a_dimension_no_pan_has_is_refused_by_name(name, value):
    good = Tapered(22, 12, 19, 10, 7)
    with pytest.raises(Refusal) as refused:
        pan_volume(replace(good, **{f"{name}_cm": value}))
    assert refused.value.argument == name
    assert refused.value.quantity == "length"
    assert volume(replace(good, **{f"{name}_cm": refused.value.nearest})) > 0


@pytest.mark.parametrize(
    ("pan", "argument", "quantity"),
    [
        (Box(190, 95, 95), "depth", "length"),  # millimetres read as centimetres
        (Round(5, 5, 0.6), "depth", "length"),
        (KnownVolume(19), "volume", "volume"),
        (KnownVolume(-1), "volume", "volume"),
        (KnownVolume(300_000), "volume", "volume"),
        (WaterFill(10, 20), "mass", "mass"),
        (WaterFill(0, 20), "mass", "mass"),
    ],
)
def test_a_volume_no_pan_has_is_refused_with_one_that_works(pan, argument, quantity):
    with pytest.raises(Refusal) as refused:
        pan_volume(pan)
    refusal = refused.value
    assert (refusal.argument, refusal.quantity) == (argument, quantity)
    start = argument + "_"
    name = next(field.name for field in fields(pan) if field.name.startswith(start))
    assert volume(replace(pan, **{name: refusal.nearest})) in (pytest.approx(20), pytest.approx(200_000))


def test_an_impossible_depth_is_never_suggested():
    with pytest.raises(Refusal) as refused:
        pan_volume(Box(0.6, 0.6, 30))
    assert volume(Box(0.6, 0.6, refused.value.nearest)) == pytest.approx(20)
    with pytest.raises(Refusal) as refused:
        pan_volume(Round(0.5, 0.5, 9))  # would need a depth of 1.02 m, which is still allowed
    assert volume(Round(0.5, 0.5, refused.value.nearest)) == pytest.approx(20)
    with pytest.raises(Refusal) as refused:
        pan_volume(Box(300, 300, 3))
    assert volume(Box(300, 300, refused.value.nearest)) == pytest.approx(200_000)


@pytest.mark.parametrize(("temperature_c", "nearest"), [(-0.1, 0), (100.1, 100), (nan, 100), (-500, 0)])
def test_water_that_is_not_liquid_is_refused(temperature_c, nearest):
    with pytest.raises(Refusal) as refused:
        pan_volume(WaterFill(1000, temperature_c))
    assert refused.value.argument == "temperature"
    assert (refused.value.nearest, refused.value.quantity) == (nearest, "temperature")
