"""Lines in cups, spoons and pieces against household weights of the USDA table (Standard Reference).

The table's own figure must lie inside the interval. Where the density comes from another measure of the
same row, the two are independent; the other rows check the way from the line to the gram.
"""

import pytest

from scaldloaf.importing.quantities.masses import Choices
from scaldloaf.importing.recipe_lines import read_lines


def mass(line):
    (reading,) = read_lines([line], Choices(cup="us"), {})
    return reading.mass


# NDB row, its household measure as a line, its mass in g
@pytest.mark.parametrize(
    "row, line, grams",
    [
        (20081, "1 cup all-purpose flour", 125),
        (20083, "1 cup bread flour", 137),
        (20080, "1 cup whole wheat flour", 120),
        (1077, "1 cup whole milk", 244),
        (1085, "1 cup skim milk", 245),
        (19335, "1 teaspoon sugar", 4.2),
        (19296, "1 tablespoon honey", 21),
        (19296, "1 cup honey", 339),
        (4610, "1 tablespoon margarine", 14),
        (1145, "1 tablespoon unsalted butter", 14.2),
        (1145, "1 stick unsalted butter", 113),
        (19165, "1 tbsp cocoa powder", 5.4),
        (4615, "1 tbsp shortening", 12.8),
        (1053, "1 tbsp heavy cream", 15),
        (1095, "1 fl oz sweetened condensed milk", 38.2),
        (2047, "1 tsp table salt", 6),
        (1123, "1 large egg", 50),
        (1124, "1 large egg white", 33),
        (1125, "1 large egg yolk", 17),
        (18375, "1 packet active dry yeast", 7),
        (20083, "8 oz bread flour", 226.8),
    ],
)
def test_household_weights(row, line, grams):
    found = mass(line)
    assert found.low <= grams * 1.005 and grams * 0.995 <= found.high, row


# A spooned cup of white flour is lighter and a dipped one heavier: 120 to 137 g a cup (common practice, no
# source). Both must lie inside the interval of a cup of flour.
@pytest.mark.parametrize("grams", [120, 130, 137])
def test_spooned_and_dipped_cups_lie_inside_a_cup_of_flour(grams):
    plain = mass("1 cup plain flour")
    assert plain.low <= grams <= plain.high


# Common practice, no source: 2 1/4 teaspoons of dry yeast are one packet of 7 g
def test_a_packet_of_yeast_is_two_and_a_quarter_teaspoons():
    assert mass("2 1/4 tsp instant yeast").best == pytest.approx(
        mass("1 packet instant yeast").best, rel=0.02
    )


# A trap: a fluid ounce is not an ounce. 1 fl oz of water weighs 1.04 oz, 1 fl oz of flour about half.
def test_fluid_ounces_are_not_ounces():
    assert mass("8 fl oz water").best == pytest.approx(236.1, abs=0.2)
    assert mass("8 oz water").best == pytest.approx(226.8, abs=0.01)
    assert mass("8 fl oz bread flour").best < 0.7 * mass("8 oz bread flour").best
