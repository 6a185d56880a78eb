"""Water temperature, ice and the heat of a scald against published figures, each with its source."""

import pytest
from pytest import approx

from kitchen import formula
from scaldloaf.dough.preparation import (
    GELATINISED,
    MIXER,
    NOT_GELATINISED,
    PARTLY,
    gelatinisation_at,
    ideal_temperature_c,
    pour_over,
    scald_of,
)
from scaldloaf.dough.swelling import swollen_percent
from scaldloaf.dough.temperature import (
    friction_total_c,
    ice_fraction,
    temperature_rise_c,
    water_by_base_temperature_c,
    water_by_friction_total_c,
    water_by_temperature_rise_c,
)
from scaldloaf.operations.dough_temperature import ice_heat_of_rule_c
from scaldloaf.units import units_of

FAHRENHEIT = units_of(temperature="degF")
ICE_HEAT_OF_DEGF_RULE = ice_heat_of_rule_c(FAHRENHEIT)


def celsius(*values):
    return [FAHRENHEIT.from_wire(value, "temperature") for value in values]


@pytest.mark.parametrize(
    "target, known, friction, water",
    [
        (80, (65, 75), 35, 65),  # Pizza Today, June 2018 (nxtbook.com 201806)
        (75, (65, 65), 8, 87),  # San Francisco Baking Institute notes, farine-mc.blogspot.com
        (78, (60, 70), 16, 88),  # quoted at pizzamaking.com topic 14506: 8 min x 2
    ],
)
def test_friction_total_in_fahrenheit(target, known, friction, water):
    got = water_by_friction_total_c(*celsius(target), celsius(*known), friction / 1.8)
    assert FAHRENHEIT.to_wire(got, "temperature") == approx(water, abs=1e-9)  # printed as whole degrees


def test_temperature_rise_in_celsius():
    # fischeimteigmantel.com 2021/10/06: (26 - 3) x 3 - 44 = 25
    assert water_by_temperature_rise_c(26, [22, 22], 3) == 25


def test_a_rise_read_as_a_friction_total_is_wrong():
    # The same example with the rise subtracted once: 31, not 25. The two must not share a field.
    assert water_by_friction_total_c(26, [22, 22], 3) == 31


@pytest.mark.parametrize(
    "base, known, water",
    [
        (54, (20, 18), 16),  # lesmitrons.fr 2015/06: French base temperature
        (48, (21, 21), 6),  # ottmarkick.fr
    ],
)
def test_base_temperature(base, known, water):
    assert water_by_base_temperature_c(base, known) == water


def test_two_term_rule():
    # kuchenbrotundfreude.de: flour 21 and water 31 make a dough of 26, mixing left out
    assert water_by_friction_total_c(26, [21], 0) == 31
    assert water_by_temperature_rise_c(26, [21], 0) == 31


def test_friction_calculated_back():
    # homemadepizzapro.com glossary: 3 x dough - (flour + room + water); on the Pizza Today figures
    assert friction_total_c(80, [65, 75, 65]) == 35
    assert temperature_rise_c(26, [22, 22, 25]) == approx(3)


# Printed table of pounds of ice in each pound of dough water, koerner-co.com pages.php?pID=12:
# calculated water temperature in degF, then the ice at tap water of 80, 70, 60, 50, 40 and 32 degF
# (cells left blank where the tap is cold enough). 103 cells.
ICE_TABLE = """
 75 .026
 70 .052
 65 .077 .027
 60 .103 .054
 55 .129 .081 .028
 50 .155 .109 .057
 45 .181 .141 .086 .030
 40 .206 .163 .115 .061
 35 .232 .190 .143 .087 .030
 30 .258 .217 .172 .122 .065 .014
 25 .288 .245 .201 .152 .098 .049
 20 .309 .272 .230 .183 .130 .083
 15 .336 .298 .258 .213 .163 .118
 10 .361 .326 .287 .244 .195 .153
  5 .387 .353 .316 .274 .228 .187
  0 .416 .380 .345 .305 .260 .222
 -5 .443 .407 .373 .335 .292 .257
-10 .469 .440 .402 .366 .325 .291
-15 .495 .467 .430 .396 .357 .326
-20 .521 .495 .465 .427 .390 .361
-25 .547 .522 .494 .457 .422 .396
-30 .573 .549 .523 .494 .455 .430
"""
TAPS = (80, 70, 60, 50, 40, 32)
CELLS = [
    (tap, float(need), float(ice))
    for need, *row in map(str.split, ICE_TABLE.strip().splitlines())
    for tap, ice in zip(TAPS, row, strict=False)
]


def test_the_whole_ice_table():
    # Tolerance 0.0065 a cell: the table is rounded unevenly, its worst cell is 0.006 off any one rule.
    assert len(CELLS) == 103
    off = [
        abs(ice_fraction(*celsius(tap, need), ice_heat_c=ICE_HEAT_OF_DEGF_RULE) - ice)
        for tap, need, ice in CELLS
    ]
    assert max(off) < 0.0065
    assert sum(off) / len(off) < 0.0025


def test_the_rule_in_fahrenheit_and_the_one_in_celsius():
    # (tap - needed)/(tap + 112) in degF, (tap - needed)/(tap + 79.8) in degC: a quarter of a percent apart.
    for tap, need, _ in CELLS:
        rule = (tap - need) / (tap + 112)
        tap_c, need_c = celsius(tap, need)
        assert ice_fraction(tap_c, need_c, ice_heat_c=ICE_HEAT_OF_DEGF_RULE) == approx(rule, rel=1e-12)
        assert ice_fraction(tap_c, need_c) == approx((tap_c - need_c) / (tap_c + 79.8), rel=1e-12)
        assert ice_fraction(tap_c, need_c) == approx(rule, rel=0.003)


def test_ice_for_forty_kilograms_of_water():
    # D. Argyriou's article (guatda.com mirror): 40 kg from 20 to 10 degC. It prints 4.4 kg of ice in place
    # of water; replacing needs 4.00 kg, and 4.4 kg would cool it to 9.0.
    ice = 40 * ice_fraction(20, 10)
    assert ice == approx(4.00, abs=0.01)
    assert ice != approx(4.4, abs=0.3)
    assert 40 * ice_fraction(20, 9.0) == approx(4.4, abs=0.02)


def test_ice_from_the_freezer_on_top_of_the_water():
    # Arduino forum, January 2018: 30 l at 25 degC to 20 with ice at -18 added. It prints 1383.17 g from a
    # slip in the sum of the heats; 1378.3 g is right (2.108 x 18 + 334 + 4.187 x 20 = 455.684 J/g).
    fraction = ice_fraction(25, 20, -18)  # of water and ice together
    assert 30_000 * fraction / (1 - fraction) == approx(1378.3, abs=1)


@pytest.mark.parametrize("ratio, ideal", [(1, 74), (2, 83), (5, 89)])
def test_mixing_temperature_of_a_scald(ratio, ideal):
    # Common practice, no source: flour at 25 degC and water at 95, with 1.8 and 4.18 kJ/(kg K) (from memory).
    made = scald_of(formula(("bread_flour", 100, "scald"), ("water", 100 * ratio, "scald")), 25)
    assert ideal_temperature_c(made, 95) == approx(ideal, abs=0.5)
    core = pour_over(made, 95, 25).core
    assert core.low <= ideal - 15 + 0.5 and core.high >= ideal - 5 - 0.5


@pytest.mark.parametrize("water", [80, 90, 100])
def test_a_scald_after_ten_minutes_in_a_mixer(water):
    # Korean patent KR20030028928A: 1:1 with water at 80 to 100 degC, ten minutes at low speed, 48.5 degC. The
    # water's range is the patent's, and so wide that the band only has to hold the figure.
    made = scald_of(formula(("bread_flour", 100, "scald"), ("water", 100, "scald")), 20)
    mixed = pour_over(made, water, 20, MIXER).mixed
    assert mixed.low - 1 <= 48.5 <= mixed.high + 1


@pytest.mark.parametrize("degrees, low, high", [(55, 0, 0), (70, 60, 65), (75, 80, 80), (86, 100, 100)])
def test_starch_swells_as_a_mill_says(degrees, low, high):
    # A flour mill's page on its amylogram: begins at 55 degC, 60-65 % at 70, 80 % at 75, all above 85.
    assert low <= swollen_percent(degrees) <= high


def test_wheat_starch_gelatinises_from_53_to_65():
    # Belitz, Grosch, Schieberle, Food Chemistry, Table 4.24
    assert [gelatinisation_at(value) for value in (52, 54, 64, 66)] == [
        NOT_GELATINISED,
        PARTLY,
        PARTLY,
        GELATINISED,
    ]
