"""Numbers as recipes write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scaldloaf.importing.quantities.amounts import Marks, NotANumber, decimal, marks_of, quantity_at
from scaldloaf.importing.words.language import language_of
from scaldloaf.importing.words.lexicon import lexicon
from scaldloaf.importing.words.text import clean, cut, tokenise

UNKNOWN = Marks()


def quantity(text, marks=UNKNOWN):
    tokens = tokenise(cut(clean(text)))
    found, end = quantity_at(tokens, 0, marks)
    assert end == len(tokens), f"{text!r} was read up to token {end} of {len(tokens)}"
    return found


@pytest.mark.parametrize(
    "text, value",
    [
        ("2", 2),
        ("0.5", 0.5),
        (".5", 0.5),
        ("0,5", 0.5),
        ("12,50", 12.5),
        ("1/2", 0.5),
        ("3/4", 0.75),
        ("1 1/2", 1.5),
        ("1-1/2", 1.5),
        ("1 and 1/2", 1.5),
        ("1 & 1/2", 1.5),
        ("1 and a half", 1.5),
        ("½", 0.5),
        ("1½", 1.5),
        ("1 ½", 1.5),
        ("1\u00a0½", 1.5),
        ("2⅔", 2 + 2 / 3),
        ("⅛", 0.125),
        ("1⁄2", 0.5),
        ("1 1⁄2", 1.5),
        ("¹⁄₂", 0.5),
        ("1&frac12;", 1.5),
        ("&#189;", 0.5),
        ("1,234.5", 1234.5),
        ("1.234,5", 1234.5),
        ("1,234,567", 1234567),
        ("1.234.567", 1234567),
        ("1'000", 1000),
        ("1\u202f000", 1000),
        ("1\u2009250", 1250),
        ("1\u00a0250", 1250),
        ("1 000", 1000),
        ("２５０", 250),
        ("１．５", 1.5),
        ("half", 0.5),
        ("quarter", 0.25),
        ("ten", 10),
        ("2 x 250", 500),
        ("2×7", 14),
    ],
)
def test_numbers_that_can_be_read_one_way(text, value):
    found = quantity(text)
    assert (found.low, found.best, found.high) == pytest.approx((value, value, value))
    assert found.doubts == ()


@pytest.mark.parametrize(
    "text, low, high",
    [
        ("2-3", 2, 3),
        ("2 - 3", 2, 3),
        ("2–3", 2, 3),
        ("2 — 3", 2, 3),
        ("2 to 3", 2, 3),
        ("2 or 3", 2, 3),
        ("2 bis 3", 2, 3),
        ("2～3", 2, 3),
        ("1〜2", 1, 2),
        ("½–¾", 0.5, 0.75),
        ("1/2-3/4", 0.5, 0.75),
        ("1/2 to 1", 0.5, 1),
        ("1-1 1/2", 1, 1.5),
        ("1-2 1/4", 1, 2.25),
        ("0,5-0,75", 0.5, 0.75),
    ],
)
def test_ranges_keep_both_ends(text, low, high):
    found = quantity(text)
    assert (found.low, found.best, found.high) == pytest.approx((low, (low + high) / 2, high))
    assert found.doubts == ()


@pytest.mark.parametrize("text, level", [("3-2", "likely"), ("1-50", "unsure"), ("1 250", "unsure")])
def test_odd_numbers_are_read_with_a_doubt(text, level):
    (doubt,) = quantity(text).doubts
    assert doubt.level == level


@pytest.mark.parametrize(
    "text",
    [
        "1/0",
        "1/2/3",
        "1/99",
        "1 4/3",
        "1,00,000",
        "1.2.3",
        "1,2,3",
        "1'00",
        "1,234.567.8",
        "9999999999999",
        "1" * 40,
        "1." * 20 + "1",
    ],
)
def test_malformed_numbers_are_refused(text):
    with pytest.raises(NotANumber) as refused:
        quantity(text)
    assert str(refused.value)


# The trap of 1,000 and 1.000: a comma or a point before three digits.
@pytest.mark.parametrize(
    "text, marks, value, level",
    [
        ("1,000", UNKNOWN, 1000, "unsure"),
        ("1.000", UNKNOWN, 1, "unsure"),
        ("1,250", UNKNOWN, 1250, "unsure"),
        ("1,000", Marks("comma"), 1, "likely"),
        ("1.000", Marks("comma"), 1000, "likely"),
        ("1,000", Marks("point"), 1000, "likely"),
        ("1.000", Marks("point"), 1, "likely"),
        ("1,000", Marks("comma", said=True), 1, None),
        ("1.000", Marks("comma", said=True), 1000, None),
        ("1,000", Marks("point", said=True), 1000, None),
        ("1.000", Marks("point", said=True), 1, None),
        ("0,125", UNKNOWN, 0.125, None),
        ("0.125", Marks("comma"), 0.125, None),
        ("1.5", Marks("comma", said=True), 1.5, "likely"),
        ("1,5", Marks("point", said=True), 1.5, "likely"),
        ("1,234.5", Marks("comma", said=True), 1234.5, "likely"),
    ],
)
def test_a_mark_before_three_digits(text, marks, value, level):
    found = decimal(text, marks)
    assert found.best == value
    assert [doubt.level for doubt in found.doubts] == ([level] if level else [])


@pytest.mark.parametrize(
    "lines, mark",
    [
        (["500 g flour"], "unknown"),
        (["0,5 kg flour"], "comma"),
        (["7,5 g salt", "1.000 g flour"], "comma"),
        (["7.5 g salt", "1,000 g flour"], "point"),
        (["500 g Mehl"], "comma"),
        (["1 EL Zucker", "1.000 g flour"], "comma"),
        (["1,000 g", "1.000 g"], "unknown"),
        (["salt, 10 g"], "unknown"),
    ],
)
def test_the_mark_of_a_recipe_is_that_of_its_plain_numbers(lines, mark):
    words = lexicon(language_of(lines))
    assert marks_of(lines, lexicon=words) == Marks(mark, lexicon=words)


@given(st.integers(0, 10**9), st.integers(1, 99))
def test_a_number_written_either_way_is_the_same_number(whole, hundredths):
    grouped = f"{whole:,}.{hundredths:02}"
    swapped = grouped.translate(str.maketrans(",.", ".,"))
    value = whole + hundredths / 100
    assert decimal(grouped, UNKNOWN).best == pytest.approx(value)
    assert decimal(swapped, UNKNOWN).best == pytest.approx(value)


@given(st.integers(1, 500), st.integers(1, 8), st.sampled_from([2, 3, 4, 5, 6, 8, 16]))
def test_mixed_numbers_add_up(whole, over, under):
    text = f"{whole} {over}/{under}"
    if over < under:
        assert quantity(text).best == pytest.approx(whole + over / under)
    else:
        with pytest.raises(NotANumber):
            quantity(text)


@pytest.mark.parametrize(
    "line, grams",
    [
        ("80 g + 1 tbsp sugar", 92.6),
        ("1 tbsp plus 80 g sugar", 92.6),
        ("100 g butter, plus 1 tbsp for the tin", 100.0),
    ],
)
def test_a_mass_and_spoons_of_one_thing_are_added(read, line, grams):
    assert read(line).mass.best == pytest.approx(grams, abs=0.1)


def test_they_are_added_in_a_list_on_one_line_too(read_all):
    readings = read_all("500 g de farine, 1 c à s + 80 g de sucre, 10 g de sel, 20 g de beurre")
    assert [round(each.grams) for each in readings] == [500, 93, 10, 20]


@pytest.mark.parametrize("line, percent", [("45% milk", 45), ("43.3% whole milk", 43.3)])
def test_a_percentage_that_no_milk_has_of_fat_is_an_amount(read_all, line, percent):
    *_, milk = read_all("100% bread flour", "20% water", "2% salt", line)
    assert milk.ingredient.name == "whole_milk" and milk.mass.best == pytest.approx(percent)


def test_a_percentage_that_milk_has_of_fat_is_of_its_name(read_all):
    *_, milk = read_all("500 g bread flour", "200 g 2% milk")
    assert (milk.ingredient.name, milk.mass.best) == ("semi_skimmed_milk", 200)
