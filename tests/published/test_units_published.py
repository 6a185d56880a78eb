"""Every unit of units.txt against an outside source, named beside its figure.

Figures that a source calls exact are compared exactly, others to the printed digits.
"""

from fractions import Fraction

import pytest

from scaldloaf.units.derive import definitions, scales

SCALES = scales(definitions())

# Unit -> its size in g, cm or cm3, in figures that are exact by definition
EXACT = {
    "mass": {
        # SI Brochure: gram, and the prefixes milli, deca and kilo
        "g": "1",
        "gram": "1",
        "mg": "0.001",
        "milligram": "0.001",
        "dag": "10",
        "decagram": "10",
        "hg": "100",
        "hectogram": "100",
        "kg": "1000",
        "kilogram": "1000",
        # NIST Handbook 44, Appendix C, tables of equivalents: "exactly"
        "oz": "28.349523125",
        "ounce": "28.349523125",
        "lb": "453.59237",
        "pound": "453.59237",
        # German customs union, 1854: 500 g (Historisches Museum Frankfurt, set of customs-pound weights)
        "pfund": "500",
        # A quarter of a pound: common practice, no source
        "butter_stick": "113.3980925",
        # State Council of China, order on uniform measures, 25 June 1959 (quoted elsewhere): 500 g, ten liang
        "jin_mainland": "500",
        "liang_mainland": "50",
        "qian_mainland": "5",
        # Taiwan (quoted elsewhere): 600 g, 16 liang of ten qian
        "jin_taiwan": "600",
        "liang_taiwan": "37.5",
        "qian_taiwan": "3.75",
        # Hong Kong, Weights and Measures Ordinance, cap. 68 (quoted elsewhere): 0.60478982 kg
        "jin_hong_kong": "604.78982",
        "liang_hong_kong": "37.79936375",
        "qian_hong_kong": "3.779936375",
    },
    "length": {
        # SI Brochure: prefixes milli and centi
        "mm": "0.1",
        "millimeter": "0.1",
        "cm": "1",
        "centimeter": "1",
        # NIST Handbook 44, Appendix C: "exactly"
        "in": "2.54",
        "inch": "2.54",
    },
    "volume": {
        # SI Brochure: the litre is 1 dm3; prefixes milli, centi and deci
        "cm3": "1",
        "cubic_centimeter": "1",
        "ml": "1",
        "milliliter": "1",
        "cl": "10",
        "centiliter": "10",
        "dl": "100",
        "deciliter": "100",
        "l": "1000",
        "liter": "1000",
        # NIST Handbook 44, Appendix C: "exactly"
        "in3": "16.387064",
        "cubic_inch": "16.387064",
        "gallon_us": "3785.411784",
        "quart_us": "946.352946",
        "pint_us": "473.176473",
        # Weights and Measures Act 1985 (UK), Schedule 1, Part IV, as enacted: gallon of 4.54609 dm3; quart
        # 1/4 gallon; pint 1/2 quart; fluid ounce 1/20 pint
        "gallon_imperial": "4546.09",
        "quart_imperial": "1136.5225",
        "pint_imperial": "568.26125",
        "fl_oz_imperial": "28.4130625",
        # Standards Association of Australia, metric cups and spoons (quoted at healthykids.nsw.gov.au)
        "cup_metric": "250",
        "tablespoon_australian": "20",
        "teaspoon_metric": "5",
        # Encyclopedia Nipponica, measuring cup (kotobank.jp): cup 200 ml, spoons 15 and 5 ml
        "cup_japanese": "200",
        "tablespoon_metric": "15",
        # Dictionary of cookery terms, Japanese association of cooks' schools, 1999 (quoted elsewhere)
        "go": "180",
    },
}


@pytest.mark.parametrize(
    "quantity, unit, figure",
    [(quantity, unit, figure) for quantity, table in EXACT.items() for unit, figure in table.items()],
)
def test_units_that_are_exact(quantity, unit, figure):
    assert SCALES[quantity][unit] == (Fraction(figure), 0)


# NIST Special Publication 811 (2008), Appendix B.8: m3, to seven digits
PRINTED = {
    "cup_us": 2.365882e-4,
    "fl_oz_us": 2.957353e-5,
    "tablespoon_us": 1.478676e-5,
    "teaspoon_us": 4.928922e-6,
}


@pytest.mark.parametrize("unit, cubic_metres", PRINTED.items())
def test_us_kitchen_measures(unit, cubic_metres):
    assert float(SCALES["volume"][unit].size) == pytest.approx(cubic_metres * 1e6, rel=3.4e-7)


# NIST, Household Weights and Measures, Table 1, whose whole figures are exact: a cup is 8 fluid ounces,
# 16 tablespoons or 48 teaspoons; a pint is 2 cups, a quart 4
@pytest.mark.parametrize(
    "unit, cups",
    [
        ("fl_oz_us", "1/8"),
        ("tablespoon_us", "1/16"),
        ("teaspoon_us", "1/48"),
        ("pint_us", "2"),
        ("quart_us", "4"),
    ],
)
def test_us_kitchen_measures_are_parts_of_a_cup(unit, cups):
    assert SCALES["volume"][unit].size == Fraction(cups) * SCALES["volume"]["cup_us"].size


def test_hong_kong_s_jin_is_a_pound_and_a_third():
    # Hong Kong Annual Report 1946, part 3, chapter 4: 1.33 lb; the ordinance gives eight digits
    mass = SCALES["mass"]
    assert mass["jin_hong_kong"].size / mass["lb"].size == pytest.approx(Fraction(4, 3), rel=1.2e-8)


# NIST Handbook 44, Appendix C, units of temperature: degC = (degF - 32) / 1.8 = K - 273.15
TEMPERATURES = {
    "degC": ("1", "0"),
    "degree_Celsius": ("1", "0"),
    "degF": ("5/9", "32"),
    "degree_Fahrenheit": ("5/9", "32"),
    "K": ("1", "273.15"),
    "kelvin": ("1", "273.15"),
}


@pytest.mark.parametrize("unit, scale", TEMPERATURES.items())
def test_temperature_scales(unit, scale):
    assert SCALES["temperature"][unit] == tuple(map(Fraction, scale))


def test_every_unit_has_its_source_here():
    sourced = {quantity: set(table) for quantity, table in EXACT.items()}
    sourced["volume"] |= set(PRINTED)
    sourced["temperature"] = set(TEMPERATURES)
    assert {quantity: set(found) for quantity, found in SCALES.items()} == sourced
