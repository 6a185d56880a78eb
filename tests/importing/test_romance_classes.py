"""What recipes in French, Spanish and Italian do that a plain list does not: each class in a line of ours."""

import pytest

from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

LISTS = {
    "fr": "Ingrédients :\n250 g de farine T55\n120 g d'eau\n5 g de sel\n",
    "es": "Ingredientes:\n250 g de harina 0000\n120 g de agua\n5 g de sal\n",
    "it": "Ingredienti:\n250 g di farina 00\n120 g di acqua\n5 g di sale\n",
}


def last(language, line):
    """The line as it is read below a short list: part, ingredient, grams and how sure it is."""
    read = perform(RECIPE_IMPORT, {"text": LISTS[language] + line})["lines"][-1]
    return read["part"], read["ingredient"], read["mass"] and round(read["mass"]["best"]), read["sure"]


@pytest.mark.parametrize(
    ("language", "line", "ingredient", "grams"),
    [
        ("fr", "- sucre roux 40 g", "sucrose", 40),  # a name with the word for a scald in it
        ("es", "20 g de crema para batir", "cream", 20),  # names with words for a topping in them
        ("es", "- queso de untar 40 g", "cream_cheese", 40),
        ("es", "4 g de polvo para hornear", "baking_powder", 4),
        ("fr", "4 g de babeurre en poudre", "buttermilk_powder", 4),
        ("es", "leche descremada en polvo: 6 g", "skim_milk_powder", 6),
        ("it", "glucosio in polvere: 35 g", "glucose", 35),
        ("it", "100 g di farina tipo 0 W 300", "bread_flour", 100),
        ("it", "100 g di farina 0 W 380", "high_gluten_flour", 100),
        ("it", "75 g farina 0 (W 300)", "bread_flour", 75),
        ("it", "farina (tipo 0) 500 g", "plain_flour", 500),
        ("fr", "40 g de lait UHT demi-écrémé", "semi_skimmed_milk", 40),
        ("es", "100 g de harina (0000)", "plain_flour", 100),
        ("fr", "100 g de lait 1/2 écrémé", "semi_skimmed_milk", 100),
        ("fr", "20 g de beurre ½ sel mou", "salted_butter", 20),
        ("es", "nata 18%: 35 g", "single_cream", 35),
        ("fr", "60 g de crème 10 %", "half_and_half", 60),
        ("it", "kg 1 di farina 00", "plain_flour", 1000),
        ("it", "due etti di burro", "butter", 200),
        ("it", "50 g farina farro", "spelt_flour", 50),  # names without their “of”
        ("es", "100 g harina centeno", "rye_flour", 100),
        ("fr", "100 g farine seigle", "rye_flour", 100),
        ("fr", "80 g de beurre sans lactose", "butter", 80),
        ("fr", "1 sachet-dose de levure de boulanger", "instant_yeast", 7),
        ("es", "1 k de harina 0000", "plain_flour", 1000),
        ("es", "2 C/S de azúcar", "sucrose", 26),
        ("fr", "10 g de glucose", "glucose_syrup", 10),
        ("fr", "3 œufs dont un pour la dorure", "whole_egg", 100),
        ("it", "3 uova di cui una per spennellare", "whole_egg", 100),
        ("es", "2 huevos, uno de ellos para pintar", "whole_egg", 50),
    ],
)
def test_a_line_names_what_a_baker_reads_in_it(language, line, ingredient, grams):
    *read, sure = last(language, line)
    assert read == ["dough", ingredient, grams] and sure in ("sure", "likely")


@pytest.mark.parametrize(
    ("language", "line", "grams"),
    [("it", "un cucchiaino e 1/2 di zucchero", 6), ("it", "due uova bio", 100), ("es", "una yema", 17)],
)
def test_numbers_in_words_and_halves_behind_a_spoon_count(language, line, grams):
    assert last(language, line)[2] == grams


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("fr", "1 jaune d'œuf dilué dans un peu de lait pour dorer la brioche"),
        ("es", "1 yema y un poco de leche para pintar"),
        ("it", "1 tuorlo e un po' di latte per spennellare"),
    ],
)
def test_an_egg_mixed_with_a_little_milk_to_brush_on_is_no_dough(language, line):
    assert last(language, line)[0] == "aside"


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("fr", "50 g de yaourt en poudre"),
        ("es", "50 g de miel en polvo"),
        ("it", "50 g di olio al tartufo"),
        ("fr", "25 g de beurre à la cannelle"),
        ("it", "300 g di farina con lievito chimico"),
        ("it", "20 g di burro di cacao"),
        ("es", "30 g de vino tinto"),
        ("fr", "30 g de levure maltée"),
    ],
)
def test_what_the_catalogue_lacks_is_not_read_as_something_like_it(language, line):
    assert last(language, line)[3] in ("unsure", "not_read")


@pytest.mark.parametrize(
    ("language", "line", "ingredient", "grams"),
    [
        ("it", "mezzo bicchiere d'acqua", "water", 100),
        ("it", "latte intero 2/3 cucchiai", "whole_milk", 39),  # two or three
        ("fr", "1 verre de lait entier", "whole_milk", 206),
        ("es", "1 cc de sal", "salt", 6),  # a small spoon, where 250 cc are cm³
        ("es", "1 c/c de sal", "salt", 6),
    ],
)
def test_measures_of_no_fixed_size_are_asked_about(language, line, ingredient, grams):
    assert last(language, line) == ("dough", ingredient, grams, "unsure")


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("it", "1 uovo + latte intero fino a 180 g"),
        ("fr", "1 œuf complété de lait entier pour faire 180 g"),
        ("fr", "1 œuf + lait entier = 180 g"),
        ("es", "1 huevo y leche entera hasta completar 180 g"),
    ],
)
def test_egg_and_milk_weighed_together_are_not_counted_twice(language, line):
    assert last(language, line) == ("dough", "whole_milk", 130, "likely")


@pytest.mark.parametrize(
    ("language", "line"),
    [("it", "150 g licoli attivo"), ("es", "150 g de masa madre"), ("fr", "150 g de levain liquide")],
)
def test_sourdough_is_not_read_and_the_reason_says_what_to_enter(language, line):
    read = perform(RECIPE_IMPORT, {"text": LISTS[language] + line})["lines"][-1]
    assert read["sure"] == "not_read" and [doubt["code"] for doubt in read["doubts"]] == ["sourdough"]


def test_as_much_plain_flour_beside_a_named_one_is_another():
    text = "Ingredienti:\n260 g di farina manitoba\n300 g di farina\n10 g di lievito di birra fresco\n"
    read = perform(RECIPE_IMPORT, {"text": text})["lines"]
    assert [line["ingredient"] for line in read[1:3]] == ["high_gluten_flour", "plain_flour"]


def test_plain_yeast_is_the_fresh_one_that_the_recipe_names_elsewhere():
    text = "Ingredienti:\n500 g di farina 00\n8 g di lievito di birra fresco\n3 g di lievito di birra\n"
    read = perform(RECIPE_IMPORT, {"text": text})["lines"][-1]
    assert (read["ingredient"], read["sure"]) == ("compressed_yeast", "likely")


def test_one_ingredient_with_two_amounts_on_a_line_is_asked_about():
    text = (
        "Ingredientes:\n500 g de harina 0000\n0,37 taza de mantequilla 1/3 taza de mantequilla = 80 gramos\n"
    )
    reads = perform(RECIPE_IMPORT, {"text": text})["lines"][2:]
    assert len(reads) == 1 or "unsure" in {read["section_sure"] for read in reads}
