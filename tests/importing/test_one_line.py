"""A whole list on one line, as pages and letters have it; and lines that a page has broken."""

import pytest

from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT


def amounts(text, part="dough"):
    """Each ingredient of a part with its grams, rounded, in the order of the text."""
    lines = perform(RECIPE_IMPORT, {"text": text})["lines"]
    return [
        (line["ingredient"], line["mass"] and round(line["mass"]["best"]))
        for line in lines
        if line["kind"] == "ingredient" and line["part"] == part
    ]


FLOUR, MILK, BUTTER, EGGS = ("plain_flour", 500), ("whole_milk", 206), ("butter", 60), ("whole_egg", 100)


@pytest.mark.parametrize(
    "text",
    [
        "Ingredienti: 500 g farina 00 - 200 ml di latte intero - 60 g burro - 2 uova",
        "500 g farina 00 per dolci- 200 ml latte intero- 60 gr di burro- 2 uova",
        "-500 g farina 00 -200 ml latte intero -60 g burro -due uova",
        "500 gr. de harina 0000 200 ml. de leche entera 60 gr. de mantequilla 2 huevos",
        "Farine T55 500 g Lait entier 200 ml Beurre 60 g Œufs 2",
        "500 g Mehl Type 405 200 ml Vollmilch 60 g Butter 2 Eier",
        "500 gr di farina 00200 ml di latte intero60 gr di burro2 uova per l'impasto",
        "Farina 00 500 g, latte intero 200 ml, 60 g burro, 2 uova",
    ],
)
def test_a_list_on_one_line_is_cut_where_its_ingredients_start(text):
    assert amounts(text) == [FLOUR, MILK, BUTTER, EGGS]


def test_salt_without_an_amount_ends_a_list_on_one_line():
    text = "500 g de harina 0000 200 ml de leche entera 60 g de mantequilla 2 huevos sal"
    assert amounts(text) == [FLOUR, MILK, BUTTER, EGGS, ("salt", None)]


def test_a_scald_on_one_line_is_whole_and_the_next_line_is_dough():
    text = (
        "Tangzhong : 20 g de farine - 50 g d'eau - 50 g de lait entier\nPâte : 480 g de farine - 8 g de sel"
    )
    assert amounts(text, "scald") == [("plain_flour", 20), ("water", 50), ("whole_milk", 50)]
    assert amounts(text) == [("plain_flour", 480), ("salt", 8)]


def test_a_line_that_a_page_has_broken_is_made_whole():
    text = "500 g de harina de\nfuerza\n200 g de leche\nentera tibia\n60 g de mantequilla\nblanda"
    assert amounts(text) == [("bread_flour", 500), ("whole_milk", 200), BUTTER]


def test_cells_of_a_table_are_no_list():
    assert amounts("Farina 00 - 500 g - 100 %\nBurro - 60 g - 12 %") == [FLOUR, BUTTER]
