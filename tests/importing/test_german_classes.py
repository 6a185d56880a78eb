"""What German recipes write that others do not: each class of it in a short recipe of our own."""

import pytest

from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

DOUGH = "500 g Weizenmehl 550\n20 g Frischhefe\n10 g Salz\n"


def lines_of(text):
    return perform(RECIPE_IMPORT, {"text": text})["lines"]


def parts(text):
    """Part, ingredient and mass of each line of the formula."""
    return [
        (line["part"], line["ingredient"], round(line["mass"]["best"]))
        for line in lines_of(text)
        if line["in_formula"]
    ]


def last(line):
    """The readings of a line behind a dough."""
    return [each for each in lines_of(DOUGH + line) if each["line"] == 4]


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("je 150 ml Milch und Wasser", {"whole_milk": 155, "water": 150}),
        ("je einen Teelöffel Zucker und Zimt", {"sucrose": 4, "cinnamon": 3}),
        ("3 dl Milchwasser (halb Milch, halb Wasser)", {"whole_milk": 155, "water": 150}),
        ("1 Ei + Milch = 180 g", {"whole_egg": 50, "whole_milk": 130}),
        ("1 Ei mit Milch auf 300 ml aufgefüllt", {"whole_egg": 50, "whole_milk": 259}),
        ("50 g Zucker und etwas Milch anrühren", {"sucrose": 50}),
        ("Ich nehme immer 250 ml Milch, einen Würfel Hefe, 50 g Butter",
         {"whole_milk": 258, "compressed_yeast": 42, "butter": 50}),
        ("100 g braunem Zucker", {"brown_sugar": 100}),
        ("50 g dunkler Schokolade", {"dark_chocolate": 50}),
        ("30 g Butter hineinbröckeln und mit 250 ml lauwarmer Milch verrühren",
         {"butter": 30, "whole_milk": 258}),
    ],
)  # fmt: skip
def test_a_line_names_several_things_or_bends_its_words(line, found):
    read = {
        each["ingredient"]: round(each["mass"]["best"])
        for each in last(line)
        if each["mass"] and each["part"] == "dough"
    }
    assert read == found


@pytest.mark.parametrize(
    ("line", "ingredient", "grams"),
    [
        ("1 T. Trockenhefe", "instant_yeast", 7),
        ("1 Btl. Trockenhefe", "instant_yeast", 7),
        ("½ Hefe", "compressed_yeast", 21),
        ("1 Stück Hefe", "compressed_yeast", 42),
        ("1 Päckchen Hefe (42 g)", "compressed_yeast", 42),
        ("1 Päckchen Hefe", "instant_yeast", 7),
    ],
)
def test_yeast_is_as_it_is_sold(line, ingredient, grams):
    (read,) = (each for each in lines_of(f"500 g Mehl\n{line}") if each["line"] == 2)
    assert (read["ingredient"], round(read["mass"]["best"])) == (ingredient, grams)


@pytest.mark.parametrize("line", ["1 erbsengroßes Stück Frischhefe", "ein haselnussgroßes Stück Hefe"])
def test_a_piece_as_large_as_a_nut_has_no_mass(line):
    assert [each["mass"] for each in lines_of(f"500 g Mehl\n{line}") if each["line"] == 2] == [None]


@pytest.mark.parametrize(
    "line",
    [
        "Butter und Mehl für die Form",
        "Mehl zum Verarbeiten",
        "griffiges Mehl",
        "1 Eigelb + 3 EL Milch und etwas Hagelzucker bereitstellen",
    ],
)
def test_what_is_for_the_tin_the_board_or_the_crust_is_no_dough(line):
    read = [each for each in lines_of(f"{DOUGH}300 ml Wasser\n{line}") if each["line"] == 5]
    assert read
    assert not any(each["in_formula"] and each["part"] == "dough" for each in read)


def test_lines_glued_to_each_other_are_cut_apart():
    text = "200 ml Wasser, lauwarm1 Würfel Hefe500 g Mehl Type 550100 g Butter (weich)2 Eier8 g SalzSesam"
    assert parts(text) == [
        ("dough", "water", 200),
        ("dough", "compressed_yeast", 42),
        ("dough", "bread_flour", 500),
        ("dough", "butter", 100),
        ("dough", "whole_egg", 100),
        ("dough", "salt", 8),
    ]


def test_a_part_of_a_line_is_added_for_the_scald():
    assert parts("475 g Weizenmehl 550 + 25 g für das Kochstück") == [
        ("scald", "bread_flour", 25),
        ("dough", "bread_flour", 475),
    ]


SCALDED = [
    ("scald", "bread_flour", 25),
    ("scald", "water", 125),
    ("dough", "bread_flour", 475),
    ("dough", "water", 200),
    ("dough", "salt", 10),
]


@pytest.mark.parametrize(
    "text",
    [
        "Stufe | Zutat | Menge\nKochstück | Weizenmehl 550 | 25 g\n | Wasser | 125 g\n"
        "Hauptteig | Weizenmehl 550 | 475 g\n | Wasser | 200 g\n | Salz | 10 g",
        "| Zutat | Kochstück | Hauptteig | Gesamt |\n|---|---|---|---|\n"
        "| Weizenmehl 550 | 25 g | 475 g | 500 g |\n| Wasser | 125 g | 200 g | 325 g |\n"
        "| Salz | | 10 g | 10 g |",
        "\tKochstück (g)\tHauptteig (g)\nWeizenmehl 550\t25\t475\nWasser\t125\t200\nSalz\t\t10",
    ],
    ids=["part of each line", "part of each column", "unit in the head"],
)
def test_a_table_has_the_parts_in_its_columns(text):
    assert sorted(parts(text)) == sorted(SCALDED)


STEPS = """Zubereitung
1. 25 g Weizenmehl 550 mit 125 ml Wasser in einem Topf verrühren und aufkochen, abkühlen lassen.
2. 475 g Weizenmehl 550 mit 20 g Frischhefe und 10 g Salz mischen.
3. Das Kochstück, 200 g Wasser und 1 Ei zugeben und 10 Minuten kneten.
4. Mit 1 Eigelb bestreichen und bei 180 °C 30 Minuten backen."""


def test_amounts_that_only_the_method_has_are_read_and_never_sure():
    assert sorted(parts(STEPS)) == sorted(
        [*SCALDED, ("dough", "compressed_yeast", 20), ("dough", "whole_egg", 50)]
    )
    assert not any(
        line["sure"] == line.get("section_sure", "sure") == "sure"
        for line in lines_of(STEPS)
        if line["in_formula"]
    )


def test_a_liquid_that_no_list_has_is_taken_from_the_method():
    recipe = {
        "@type": "Recipe",
        "recipeIngredient": ["750 g Weizenmehl 550", "12 g Salz", "7 g Trockenhefe", "60 g Butter"],
        "recipeInstructions": "Alles mischen. Nach und nach 450 ml lauwarmes Wasser zugeben und kneten.",
    }
    lines = perform(RECIPE_IMPORT, {"recipe": recipe})["lines"]
    assert [
        (line["mass"]["best"], line["section_sure"]) for line in lines if line["ingredient"] == "water"
    ] == [(pytest.approx(450, rel=0.01), "likely")]


@pytest.mark.parametrize(
    "text",
    [
        f"{DOUGH}250 ml Wasser\n60 g Butter\n1 EL Milch\n\nDen Zopf mit der Milch bestreichen.",
        "250 ml Milch, 25 g Speisestärke, 80 g Butter\n"
        "500 g Mehl, 20 g Frischhefe, 250 ml Milch, 60 g Butter, 60 g Zucker",
    ],
    ids=["brushed on last", "a list beside the dough's"],
)
def test_what_may_be_of_the_crust_or_a_filling_is_not_sure(text):
    of_crust = [
        line
        for line in lines_of(text)
        if line["in_formula"] and (line["text"].startswith("250 ml Milch") or line["text"] == "1 EL Milch")
    ]
    assert of_crust
    assert not any(line["sure"] == line["section_sure"] == "sure" for line in of_crust)


def test_what_another_recipe_had_is_passed_over():
    assert parts("1100 g Weizenmehl 550 – im Original 1000 g") == [("dough", "bread_flour", 1100)]
