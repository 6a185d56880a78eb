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
        "Farina 00 (500 g) latte intero (200 ml) burro (60 g) uova (2)",
        "Farine T55 (500 g) / lait entier (200 ml) / beurre mou (60 g) / œufs (2)",
        "500 g Mehl 405 - 180 - 220 ml Vollmilch - 60 g Butter - 2 Eier",
    ],
)
def test_a_list_on_one_line_is_cut_where_its_ingredients_start(text):
    assert amounts(text) == [FLOUR, MILK, BUTTER, EGGS]


@pytest.mark.parametrize(
    "line", ["7 g instant yeast / 20 g fresh yeast", "50 g unsalted butter / 40 g vegetable oil"]
)
def test_of_two_amounts_with_a_stroke_between_them_one_may_do_for_the_other(line):
    lines = perform(RECIPE_IMPORT, {"text": f"500 g plain flour\n{line}"})["lines"]
    assert [line["sure"] for line in lines if line["kind"] == "ingredient"][1:] == ["unsure"]


def test_a_flour_and_something_else_with_a_stroke_between_them_are_both_used():
    assert amounts("Tangzhong\n25 g plain flour / 125 g water", "scald") == [
        ("plain_flour", 25),
        ("water", 125),
    ]


def test_a_comma_in_a_number_parts_no_list():
    assert amounts("500 g Mehl 405 200 ml Milch 3,5 % 60 g Butter 2 Eier") == [FLOUR, MILK, BUTTER, EGGS]


def test_salt_without_an_amount_ends_a_list_on_one_line():
    text = "500 g de harina 0000 200 ml de leche entera 60 g de mantequilla 2 huevos sal"
    assert amounts(text) == [FLOUR, MILK, BUTTER, EGGS, ("salt", None)]


@pytest.mark.parametrize("between", [" ", " - ", " / ", "、"])
def test_a_list_on_one_line_may_have_its_amounts_in_brackets_without_spaces_between_words(between):
    text = between.join(("強力粉（500g）", "牛乳（200g）", "バター（60g）", "全卵（100g）"))
    assert amounts(text) == [("bread_flour", 500), ("whole_milk", 200), BUTTER, EGGS]


@pytest.mark.parametrize("amount", ["500 g", "(500 g)", "500 g (100%)", "500 g 100%"])
def test_flour_with_more_for_the_board_before_its_amount_is_dough(amount):
    assert amounts(f"plain flour plus a little extra for dusting {amount}\nbutter 60 g") == [FLOUR, BUTTER]


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


@pytest.mark.parametrize(
    "text",
    [
        "480 g di farina 00, tang zhong (20 g di farina 00 e 100 g d'acqua), 200 ml latte intero, 8 g sale",
        "480 g farine T55 - tangzhong (20 g de farine T55 + 100 g d'eau) - 200 ml lait entier - 8 g de sel",
        "480 g harina 0000, 200 ml leche entera, tangzhong (20 g de harina 0000, 100 g de agua), 8 g de sal",
    ],
)
def test_a_scald_in_parentheses_amid_a_list_on_one_line_keeps_to_itself(text):
    assert amounts(text, "scald") == [("plain_flour", 20), ("water", 100)]
    assert sorted(amounts(text)) == [("plain_flour", 480), ("salt", 8), ("whole_milk", 206)]


def test_a_recipe_that_only_tells_is_read_from_its_sentences_and_never_sure():
    text = (
        "Cuocete in un pentolino 20 g di farina 00 con 100 g d'acqua fino a 65 gradi: è il tang zhong.\n"
        "Impastate 480 g di farina 00 con il tang zhong, 200 ml di latte intero, 20 g di lievito "
        "di birra fresco e due uova. Unite 60 g di burro e 8 g di sale. Infornate a 180 gradi per 30 minuti."
    )
    assert amounts(text, "scald") == [("plain_flour", 20), ("water", 100)]
    yeast, salt = ("compressed_yeast", 20), ("salt", 8)
    assert amounts(text) == [("plain_flour", 480), MILK, yeast, EGGS, BUTTER, salt]
    lines = perform(RECIPE_IMPORT, {"text": text})["lines"]
    assert {line["sure"] for line in lines if line["kind"] == "ingredient"} == {"unsure"}


def test_sentences_below_a_list_add_nothing_to_it():
    text = (
        "500 g farina 00\n60 g burro\nUnite 250 g di farina al latte. Impastate 10 minuti con 30 g di burro."
    )
    assert amounts(text) == [FLOUR, BUTTER]


@pytest.mark.parametrize("mark", ["; ", " - ", " / "])
def test_a_temperature_in_a_list_on_one_line_parts_two_ingredients(read_all, mark):
    pieces = [
        "200 g bread flour",
        "5 g salt",
        "125 g whole milk, heated to 95 to 100 degrees F",
        "30 g butter",
    ]
    assert [round(each.grams) for each in read_all(mark.join(pieces))] == [200, 5, 125, 30]


@pytest.mark.parametrize("end", ["", ", 5 g instant yeast", "."])
def test_one_amount_for_each_of_two_in_a_list_on_one_line(read_all, end):
    found = read_all(f"500 g bread flour, 300 g water, 10 g each of salt and honey{end}")
    names = {reading.ingredient.name: reading.mass.best for reading in found if reading.ingredient}
    assert (names["salt"], names["honey"]) == (10, 10)


LONG_LISTS = [
    (
        "Für den Hauptteig: 450 g Weizenmehl Type 550 (am liebsten das frisch gemahlene aus der Mühle am "
        "Fluss), "
        "60 g feiner Zucker, 8 g Salz, 20 g frische Hefe, 90 g Ei (also etwa zwei kleine Eier), 60 g "
        "Sahne 30 % "
        "(Schmand tut es auch, wenn gerade welcher da ist), 60 ml lauwarme Milch mit 3,5 % Fett, 60 g "
        "weiche Butter",
        "Tangzhong: 50 g Mehl 550, 250 ml Wasser",
    ),
    (
        "Pour la brioche : 450 g de farine T45 (j'ai pris celle du moulin qui est tout près de chez "
        "nous) - 60 g de "
        "sucre en poudre - 8 g de sel fin - 20 g de levure fraîche - 90 g d'œuf (soit deux œufs plutôt "
        "petits) - 60 g "
        "de crème fraîche épaisse (ou de crème liquide entière) - 60 ml de lait entier – 60 g de beurre "
        "bien mou",
        "Tangzhong : 50 g de farine T45, 250 ml d'eau",
    ),
    (
        "Para la masa: 450 g de harina de fuerza (yo uso la que venden en el molino de mi pueblo) / 60 g "
        "de azúcar "
        "blanco / 8 g de sal fina / 20 g de levadura fresca / 90 g de huevo (unos dos huevos pequeños y "
        "batidos) / "
        "60 g de nata para montar (35 % de materia grasa) / 60 ml de leche entera tibia / 60 g de "
        "mantequilla blanda",
        "Tangzhong: 50 g de harina de fuerza, 250 ml de agua",
    ),
]


@pytest.mark.parametrize(("dough", "scald"), LONG_LISTS)
def test_a_long_list_of_a_part_behind_another_part_is_read(dough, scald):
    lines = [line for line in perform(RECIPE_IMPORT, {"text": f"{scald}\n{dough}"})["lines"] if line["mass"]]
    masses = [round(line["mass"]["best"]) for line in lines if line["part"] == "dough"]
    assert len(dough) > 300
    assert masses == [450, 60, 8, 20, 90, 60, 62, 60]


def test_a_long_list_says_how_much_of_the_scald_it_takes():
    dough, scald = LONG_LISTS[1]
    reply = perform(RECIPE_IMPORT, {"text": f"{scald}\n{dough} - 150 g de tangzhong"})
    assert round(reply["lines"][0]["mass"]["best"]) == 25
