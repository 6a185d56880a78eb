"""Lines with two amounts and one name, or with names on both sides of a plus sign."""

import pytest

from importing.readings import sure_or_not, weighed

BASE = "300 g spelt flour\n7 g instant yeast\n9 g salt"


def found(line):
    return [(name, grams) for _, name, grams in weighed(f"{BASE}\n{line}")[3:]]


@pytest.mark.parametrize(
    "line, names",
    [
        ("200 g white, 100 g wholemeal flour", ("plain_flour", "whole_wheat_flour")),
        ("200 g strong and 100 g plain flour", ("bread_flour", "plain_flour")),
        ("200 g bread + 100 g AP flour", ("bread_flour", "plain_flour")),
        ("200 g white and 100 g brown sugar", ("sucrose", "brown_sugar")),
        ("200 g Weizen- und 100 g Roggenmehl", ("plain_flour", "rye_flour")),
        ("200 g Voll- und 100 g Magermilch", ("whole_milk", "skim_milk")),
    ],
)
def test_a_name_behind_two_amounts_is_of_both(line, names):
    assert found(line) == [(names[0], 200), (names[1], 100)]


@pytest.mark.parametrize(
    "milk, line, names",
    [
        (
            "250 g de lait entier",
            "200 g de farine blanche et 100 g complète",
            ("plain_flour", "whole_wheat_flour"),
        ),
        (
            "250 g di latte intero",
            "200 g di farina 00 e 100 g integrale",
            ("plain_flour", "whole_wheat_flour"),
        ),
        (
            "250 g de leche entera",
            "200 g de harina de fuerza y 100 g integral",
            ("bread_flour", "whole_wheat_flour"),
        ),
    ],
)
def test_a_name_before_two_kinds_is_of_both(milk, line, names):
    read = [(name, grams) for _, name, grams in weighed(f"{milk}\n{line}")]
    assert read == [("whole_milk", 250), (names[0], 200), (names[1], 100)]


@pytest.mark.parametrize(
    "line, expected",
    [
        ("butter 30 g + 10 g oil", [("butter", 30), ("oil", 10)]),
        ("milk: 100 g + 20 g water + 10 g honey", [("whole_milk", 100), ("water", 20), ("honey", 10)]),
        ("milk 100 g + 20 g warm milk", [("whole_milk", 120)]),
        ("milk 100 g + 20 g warm", [("whole_milk", 120)]),
        ("butter 30 g + 10 g for the tin", [("butter", 30)]),
        ("20 g sugar, 5 g vanilla sugar", [("sucrose", 20), ("vanilla_sugar", 5)]),
    ],
)
def test_names_on_both_sides_of_a_plus_sign(line, expected):
    assert found(line) == expected


@pytest.mark.parametrize(
    "line, is_dry",
    [
        ("2 x 7g sachets yeast", True),
        ("2 sachets de levure de 7 g", True),
        ("14 g yeast", False),
        ("1 packet (42 g) yeast", False),
    ],
)
def test_yeast_in_small_packets_is_dry(line, is_dry):
    names = [name for _, name, _ in weighed(f"400 g spelt flour\n9 g salt\n{line}")]
    assert (names[-1] != "compressed_yeast") is is_dry


@pytest.mark.parametrize(
    "line",
    [
        "50 g butter (filling)",
        "50 g sugar, topping",
        "1 egg (glaze)",
        "50 g Butter (Füllung)",
        "50 g de beurre (garniture)",
        "50 g di burro (ripieno)",
        "50 g de mantequilla (relleno)",
        "100 ml water for creating steam",
        "100 ml Wasser zum Schwaden",
        "100 ml d'eau pour le coup de buée",
        "100 ml di acqua per il vapore",
        "100 ml de agua para el vapor",
    ],
)
def test_what_a_line_says_is_beside_the_dough_is_not_in_it(line):
    assert found(line) == []


@pytest.mark.parametrize("line", ["50 g butter (dough)", "50 g butter, softened", "50 g butter (cold)"])
def test_other_words_in_parentheses_leave_a_line_in_the_dough(line):
    assert found(line) == [("butter", 50)]


@pytest.mark.parametrize(
    "line",
    [
        "10 g honey (optional)",
        "10 g honey, if needed",
        "10 g Honig, bei Bedarf",
        "10 g de miel (facultatif)",
        "10 g di miele (facoltativo)",
        "10 g de miel (opcional)",
        "蜂蜜 10g（可省略）",
    ],
)
def test_what_may_be_left_out_is_not_sure(line):
    assert sure_or_not(f"{BASE}\n{line}")[-1] == ("dough", "honey", 10, False)
    assert sure_or_not(f"{BASE}\n10 g honey")[-1] == ("dough", "honey", 10, True)


@pytest.mark.parametrize(
    "line, grams",
    [
        ("60 g butter, 20 g of it for brushing", 40),
        ("60 g butter, 20 g for brushing, rest for the dough", 40),
        ("60 g butter (20 g for the tin)", 40),
        ("40 g butter for the dough, 20 g for brushing", 40),
        ("60 g butter: 40 g for the dough, 20 g for brushing", 40),
        ("60 g Butter, 20 g zum Bestreichen", 40),
        ("60 g de mantequilla, 20 g de ella para pintar", 40),
        ("60 g butter plus 20 g for brushing", 60),
        ("2 tbsp butter, 60 g", 60),
    ],
)
def test_a_smaller_amount_for_the_crust_is_a_part_of_the_first(line, grams):
    assert found(line) == [("butter", grams)]


def test_a_measure_said_again_leaves_a_line_beside_the_dough():
    assert found("2 tbsp butter, 30 g, for the tin") == []
