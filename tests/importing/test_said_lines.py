"""Lines that the caller says are in the dough, in the scald or in neither, whatever the recipe says."""

import pytest

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.quantities.masses import Choices
from scaldloaf.importing.recipe_lines import Known, read_lines
from scaldloaf.importing.whole.said_lines import SaidLines
from scaldloaf.importing.words.vocabulary import OUTSIDE

# Each with the line that is set aside, and what it names.
SET_ASIDE = {
    "en": (
        "300 g bread flour\n180 g water\n5 g salt\n4 g instant yeast\n1 egg, for brushing",
        5,
        "whole_egg",
    ),
    "de": (
        "300 g Weizenmehl 550\n180 g Wasser\n5 g Salz\n4 g Trockenhefe\nZum Bestreuen:\n40 g Hagelzucker",
        6,
        "sucrose",
    ),
    "fr": (
        "300 g de farine T45\n180 g d'eau\n5 g de sel\n4 g de levure sèche\nGarniture\n60 g de beurre",
        6,
        "butter",
    ),
    "es": (
        "300 g de harina de fuerza\n180 g de agua\n5 g de sal\n4 g de levadura seca\n1 huevo para pintar",
        5,
        "whole_egg",
    ),
    "it": (
        "300 g di farina 0\n180 g di acqua\n5 g di sale\n4 g di lievito secco\n1 uovo per spennellare",
        5,
        "whole_egg",
    ),
    "ja": ("強力粉 300g\n水 180g\n塩 5g\nドライイースト 4g\n卵 20g（つや出し用）", 5, "whole_egg"),
    "zh-Hans": ("高筋面粉 300克\n水 180克\n盐 5克\n干酵母 4克\n表面装饰\n鸡蛋 20克", 6, "whole_egg"),
    "zh-Hant": ("高筋麵粉 300克\n水 180克\n鹽 5克\n乾酵母 4克\n內餡\n奶油 40克", 6, "butter"),
}


def read(text, said=None):
    known = Known(said=said) if said else Known()
    return read_lines(text.split("\n"), Choices(), {}, known=known)


def on_line(readings, number):
    """Part, ingredient and whether the formula has it, of a line with one ingredient."""
    (reading,) = [each for each in readings if each.line == number]
    return reading.part, reading.ingredient.name, reading.in_formula


@pytest.mark.parametrize("language", SET_ASIDE)
def test_what_is_set_aside_in_any_language_goes_into_the_dough(language):
    text, number, name = SET_ASIDE[language]
    assert on_line(read(text), number) == (OUTSIDE, name, False)
    readings = read(text, SaidLines({number: DOUGH}))
    assert on_line(readings, number) == (DOUGH, name, True)
    assert [each for each in readings if each.line != number] == [
        each for each in read(text) if each.line != number
    ]


@pytest.mark.parametrize("language", SET_ASIDE)
def test_what_is_dough_in_any_language_is_set_aside(language):
    text = SET_ASIDE[language][0]
    part, name, is_in = on_line(read(text), 2)
    assert (part, name, is_in) == (DOUGH, "water", True)
    assert on_line(read(text, SaidLines({2: OUTSIDE})), 2) == (OUTSIDE, "water", False)


def test_a_scald_of_which_a_part_is_used_is_what_is_left_of_it():
    """The share that is used is worked out when it is known what the scald is."""
    text = (
        "Tangzhong\n20 g bread flour\n100 g milk\n10 g sugar\n"
        "Dough\n300 g bread flour\n60 g tangzhong\n5 g salt\n4 g instant yeast"
    )
    used = {each.line: each.grams for each in read(text) if each.line in (2, 3, 4)}
    assert sum(used.values()) == pytest.approx(60)
    assert used[4] < 10
    left = read(text, SaidLines({4: DOUGH}))
    grams = {each.line: each.grams for each in left if each.in_formula and each.line in (2, 3, 4)}
    assert grams[4] == pytest.approx(10)
    assert grams[2] + grams[3] == pytest.approx(60)
    assert grams[3] / grams[2] == pytest.approx(used[3] / used[2])


def test_a_bakers_percentage_that_goes_into_the_dough_is_weighed():
    text = "bread flour 100 %\nwater 60 %\nsalt 2 %\ninstant yeast 1 %\negg 10 %, to brush"
    (egg,) = [each for each in read(text, SaidLines({5: DOUGH})) if each.line == 5]
    assert (egg.part, egg.in_formula, egg.grams) == (DOUGH, True, pytest.approx(10))


def test_a_doubt_that_comes_late_is_none_of_a_line_that_is_said():
    """So much butter may be folded in, which is seen when all parts are known."""
    text = (
        "500 g bread flour\n260 g water\n10 g salt\n7 g instant yeast\n200 g butter\nMethod\n"
        "Knead the dough and chill it. Lay the butter block on it and give it a letter fold."
    )
    (butter,) = [each for each in read(text) if each.line == 5]
    assert butter.section_doubts
    (butter,) = [each for each in read(text, SaidLines({5: DOUGH})) if each.line == 5]
    assert (butter.part, butter.section_doubts) == (DOUGH, ())
