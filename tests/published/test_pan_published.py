"""Pans, pan ratios and specific volumes against published figures, each with its source."""

from math import sqrt

import pytest

from scaldloaf.dough.bread import bread_from_pan_ratio, bread_from_specific_volume
from scaldloaf.dough.formula import Formula, Line, break_down, scaled
from scaldloaf.dough.pan import Box, KnownVolume, Tapered, pan_volume
from scaldloaf.dough.pan_fill import fill_pan
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.target_bread import Wanted
from scaldloaf.dough.volume import pan_ratio, specific_volume
from scaldloaf.reference import INGREDIENTS, coefficient
from scaldloaf.units import size

IN_CM, IN3_CM3, OUNCE_G = size("length", "in"), size("volume", "in3"), size("mass", "oz")


def volume(pan) -> float:
    return pan_volume(pan).volume_cm3


def dough_for(pan_cm3: float, ratio: float) -> float:
    """Dough mass, g, for a pan by its pan ratio, cm3/g."""
    return fill_pan(pan_cm3, 100, bread_from_pan_ratio(ratio, Wanted())).dough_mass_g.best


def test_long_lidded_tin_at_ratio_4():
    # santa-baking.work 2020/02/03: 365 x 120 x 125 mm, ratio 4.0
    pan = volume(Box(36.5, 12, 12.5))
    assert pan == 5475
    dough = dough_for(pan, 4.0)
    assert (dough, dough / 3, dough / 6) == pytest.approx((1368.75, 456.25, 228.125), rel=1e-12)


def mean_dimension_volume(pan: Tapered) -> float:
    """The shortcut of pan tables: mean length x mean width x depth."""
    return (
        (pan.top_length_cm + pan.base_length_cm)
        / 2
        * (pan.top_width_cm + pan.base_width_cm)
        / 2
        * pan.depth_cm
    )


def frustum_volume(pan: Tapered) -> float:
    """Pyramidal frustum, depth / 3 x (A1 + A2 + sqrt(A1 A2)): exact only where both ends are similar."""
    top, base = pan.top_length_cm * pan.top_width_cm, pan.base_length_cm * pan.base_width_cm
    return pan.depth_cm / 3 * (top + base + sqrt(top * base))


def test_tapered_tin_of_a_pan_shop():
    # rakuten.ne.jp/gold/kashizairyo, hiyouseki: 250 (238) x 113 (105) x 120 mm, 3192 cc; computed beside
    # it: mean dimensions 3191.5, prismatoid 3192.5, frustum 3192.4
    pan = Tapered(25.0, 11.3, 23.8, 10.5, 12.0)
    assert volume(pan) == pytest.approx(3192, abs=1)
    assert volume(pan) == pytest.approx(3192.5, abs=0.05)
    assert mean_dimension_volume(pan) == pytest.approx(3191.5, abs=0.05)
    assert frustum_volume(pan) == pytest.approx(3192.4, abs=0.05)


def test_one_pound_baking_test_pan():
    # AACC 10-11.01, dimensions of the 1-lb pan (scribd.com/document/711463759); volumes computed from them
    pan = Tapered(22.9, 11.4, 21.0, 9.5, 7.0)
    assert volume(pan) == pytest.approx(1607.7, abs=0.05)
    assert frustum_volume(pan) == pytest.approx(1607.1, abs=0.05)
    assert mean_dimension_volume(pan) == pytest.approx(1605.6, abs=0.05)


@pytest.mark.parametrize(("pan_ml", "printed_g", "exact_g"), [(1500, 842, 842.7), (1800, 1011, 1011.2)])
def test_shallow_tin_with_a_high_crown(pan_ml, printed_g, exact_g):
    # bakewithjack.co.uk and risenflour.com.au: white bread, pan volume / 1.78
    dough = dough_for(volume(KnownVolume(pan_ml)), 1.78)
    assert dough == pytest.approx(printed_g, abs=1)
    assert dough == pytest.approx(exact_g, abs=0.05)


def test_shallow_tin_formula_rescaled():
    # the same pages: flour 500 and salt 10 of an 842 g dough become 600 and 12 for the larger tin
    flour, salt, water = (INGREDIENTS[name] for name in ("bread_flour", "salt", "water"))
    formula = Formula((Line(flour, 500), Line(salt, 10), Line(water, 332)))
    assert break_down(formula).dough_mass_g == 842
    larger = scaled(formula, dough_for(1800, 1.78) / 842)
    assert [line.mass_g for line in larger.lines[:2]] == pytest.approx([600, 12], abs=1)
    assert [line.mass_g for line in larger.lines[:2]] == pytest.approx([600.4, 12.0], abs=0.1)


@pytest.mark.parametrize("ratio", [1.78, 1.71, 1.66])
def test_ratios_of_shallow_tins_are_accepted_with_a_question_about_the_crown(ratio):
    # the same pages: white, half wholemeal, wholemeal
    notes = [note.code for note in bread_from_pan_ratio(ratio, Wanted()).notes]
    assert "fill_of_pan_ratio" in notes


def test_lidded_13_by_4_by_4_inch_pan():
    # toolntricks.com: 208 cubic inches, 5 to 6 g each, 1040 to 1248 g, middle 1144
    pan = volume(Box(13 * IN_CM, 4 * IN_CM, 4 * IN_CM))
    assert pan / IN3_CM3 == pytest.approx(208, rel=1e-12)
    assert pan == pytest.approx(3408.5, abs=0.05)
    assert dough_for(pan, IN3_CM3 / 5) == pytest.approx(1040, rel=1e-9)
    assert dough_for(pan, IN3_CM3 / 6) == pytest.approx(1248, rel=1e-9)
    ratios = [pan_ratio(pan, dough) for dough in (1040, 1144, 1248)]
    assert ratios == pytest.approx([3.28, 2.98, 2.73], abs=0.005)


def test_home_tin_of_2400_ml():
    # princessbamboo.com: 20 x 10 x 12 cm, 2400 ml, 580 g of dough at 185.2 % in total; the rest computed
    pan = volume(Box(20, 10, 12))
    assert pan == 2400
    assert pan_ratio(pan, 580) == pytest.approx(4.14, abs=0.005)
    assert pytest.approx(313.2, abs=0.05) == 580 / 1.852


@pytest.mark.parametrize(("in3_per_oz", "cm3_per_g"), [(7.6, 4.39), (5.5, 3.18)])
def test_formulary_ratios_in_cubic_inches_per_ounce(in3_per_oz, cm3_per_g):
    # mid-century US bakery formulary, haisendata.com 14725 and 14636: wholesale open top, home-style loaf
    pan, scaling_mass = in3_per_oz * 20 * IN3_CM3, 20 * OUNCE_G
    assert pan_ratio(pan, scaling_mass) == pytest.approx(cm3_per_g, abs=0.005)
    assert dough_for(pan, in3_per_oz * IN3_CM3 / OUNCE_G) == pytest.approx(scaling_mass, rel=1e-12)
    assert pytest.approx(0.5780, abs=5e-5) == IN3_CM3 / OUNCE_G


def test_trap_2_2_g_per_cubic_inch_is_refused():
    # winenfood.com, a guide to pan sizes, prints about 2.2 g per cubic inch for a lidded pan: 7.45 cm3/g, far
    # outside every other source, so it must not come out as a dough mass
    ratio = IN3_CM3 / 2.2
    assert ratio == pytest.approx(7.45, abs=0.005)
    with pytest.raises(Refusal) as refused:
        dough_for(volume(Box(13 * IN_CM, 4 * IN_CM, 4 * IN_CM)), ratio)
    assert (refused.value.argument, refused.value.nearest) == ("pan_ratio", 6.5)


@pytest.mark.parametrize(
    "name", ["lidded_japanese", "lidded_us", "open_wholesale", "open_home", "open_shallow"]
)
def test_every_published_ratio_is_accepted(name):
    row = coefficient(f"pan_ratio_{name}")
    for ratio in (row.low, row.value, row.high):
        assert dough_for(2000, ratio) == pytest.approx(2000 / ratio)


@pytest.mark.parametrize(
    ("volume_ml", "mass_g", "printed"),
    [(300, 47.79, 6.277), (140, 51.94, 2.695), (1900, 405.71, 4.683), (1810, 245.25, 7.380)],
)
def test_specific_volumes_of_a_lab_report(volume_ml, mass_g, printed):
    # student lab report, scribd.com/document/389514299
    value = specific_volume(volume_ml, mass_g)
    assert value == pytest.approx(printed, abs=0.001)
    notes = [note.code for note in bread_from_specific_volume(value, Wanted()).notes]
    # extreme loaves are taken, and remarked on
    assert ("unusual_specific_volume" in notes) is not (3.0 <= printed <= 6.5)


@pytest.mark.parametrize(
    ("name", "ratios"),
    [
        (
            "lidded_japanese",
            (3.8, 3.9, 4.0, 4.1, 4.14),
        ),  # santa-baking.work, princessbamboo.com and similar pages
        ("lidded_us", (2.73, 2.98, 3.28)),  # toolntricks.com
        ("open_wholesale", (4.39,)),  # haisendata.com 14725: at least 7.6 cubic inches an ounce
        ("open_home", (3.1, 3.18)),  # haisendata.com 14636 and a home recipe
        ("open_shallow", (1.66, 1.71, 1.78)),  # bakewithjack.co.uk, risenflour.com.au
    ],
)
def test_published_ratios_lie_in_the_band_of_their_pan(name, ratios):
    row = coefficient(f"pan_ratio_{name}")
    assert all(row.low <= ratio <= row.high for ratio in ratios)


@pytest.mark.parametrize(
    "value",
    [
        3.3,
        3.5,
        3.7,
        4.0,  # Belitz, Grosch, Schieberle, Table 15.53: white bread, toast bread
        4.7,
        8.2,  # pup loaves of 605 to 1065 cm3
        5.0,  # hearth loaf, the largest of one trial design (Dessev 2020)
    ],
)
def test_published_specific_volumes_are_accepted(value):
    weighed_as_the_loss = Wanted(cooling_loss_percent=0)
    assert bread_from_specific_volume(value, weighed_as_the_loss).specific_volume.best == value


@pytest.mark.parametrize("value", [1.99, 8.51])
def test_no_published_bread_lies_beyond_the_bounds(value):
    with pytest.raises(Refusal):
        bread_from_specific_volume(value, Wanted())
