"""What lines in western languages say beside a name: colours, strengths, rests, fruits and glued units.

The readings were written down before the import was asked.
"""

import pytest

from importing.readings import in_any_order, lines_of
from scaldloaf.operations.faults import InputFault
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

LISTS = {
    "de": "Zutaten:\n400 g Weizenmehl 550\n8 g Salz\n6 g Trockenhefe",
    "en": "Ingredients:\n400 g bread flour\n8 g salt\n6 g instant yeast",
    "es": "Ingredientes:\n400 g de harina de fuerza\n8 g de sal\n6 g de levadura instantánea",
    "fr": "Ingrédients :\n400 g de farine de gruau\n8 g de sel\n6 g de levure instantanée",
    "it": "Ingredienti:\n400 g di farina manitoba\n8 g di sale\n6 g di lievito istantaneo",
}


def last(language, line):
    """The last line below a short list: part, ingredient, grams and how sure it is."""
    read = lines_of(f"{LISTS[language]}\n{line}")[-1]
    return read["part"], read["ingredient"], read["mass"] and round(read["mass"]["best"]), read["sure"]


@pytest.mark.parametrize(
    "line",
    [
        "55 g de sucre, blanc ou roux",
        "55 g de sucre (blanc, roux…)",
        "55 g de sucre au choix blond, roux, etc.",
    ],
)
def test_the_colour_of_sugar_is_no_scald(line):
    assert last("fr", line) == ("dough", "sucrose", 55, "sure")


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("fr", "cacao en poudre 100 % pur"),
        ("de", "Zartbitterschokolade 70 %"),
        ("fr", "beurre 82 %"),
        ("en", "dark chocolate chips, 60%"),
    ],
)
def test_what_a_thing_is_made_of_is_no_share_of_the_flour(language, line):
    assert last(language, line)[2:] == (None, "not_read")


@pytest.mark.parametrize(
    ("language", "line", "grams"),
    [
        ("en", "65% water", 260),
        ("de", "Wasser 65 %", 260),
        ("fr", "10 % de beurre", 40),
        ("en", "60% milk", 240),
    ],
)
def test_a_share_of_the_flour_among_weights_is_still_read(language, line, grams):
    assert last(language, line)[2] == grams


def test_shares_of_the_flour_stay_where_they_are_most_lines():
    text = "500 g bread flour\nwater 60%\nbutter 40%\nsugar 12%\nsalt 2%\ninstant yeast 1%"
    assert ("dough", "butter", 200) in in_any_order(text)


@pytest.mark.parametrize(
    "line",
    [
        "60 g egg, beaten keep aside the rest for brushing",
        "60 g egg, at room temperature keep the leftover egg for brushing the loaf",
        "60 g egg save the remaining for the wash",
    ],
)
def test_the_rest_that_is_kept_sets_nothing_of_the_amount_aside(line):
    assert last("en", line)[:3] == ("dough", "whole_egg", 60)


@pytest.mark.parametrize(
    ("line", "ingredient", "grams"),
    [
        ("1c. à caféde cannelle", "cinnamon", 3),
        ("2cuillères à soupede lait entier", "whole_milk", 31),
        ("1cuillère à souped’eau", "water", 15),
    ],
)
def test_of_is_parted_from_the_unit_that_a_page_has_glued_it_to(line, ingredient, grams):
    assert last("fr", line)[1:3] == (ingredient, grams)


def test_what_parentheses_deny_is_not_the_ingredient():
    assert last("fr", "60 g de yaourt de soja (non sucré)")[1:] == (None, None, "not_read")
    assert last("fr", "60 g de beurre (non salé)")[1:] == ("butter", 60, "sure")


@pytest.mark.parametrize(
    ("language", "line", "ingredient", "grams"),
    [
        ("fr", "le zeste d'une orange", "orange_zest", 8),
        ("fr", "le zeste de deux citrons", "lemon_zest", 10),
        ("fr", "le jus d'un citron", "lemon_juice", 45),
        ("es", "la ralladura de una naranja", "orange_zest", 8),
        ("es", "la ralladura de la cáscara de una naranja", "orange_zest", 8),
        ("it", "la scorza di un limone", "lemon_zest", 5),
        ("de", "Schale von einer Zitrone", "lemon_zest", 5),
        ("en", "zest of one lemon", "lemon_zest", 5),
    ],
)
def test_a_number_in_words_counts_fruits(language, line, ingredient, grams):
    assert last(language, line)[1:] == (ingredient, grams, "likely")


@pytest.mark.parametrize(
    ("language", "line", "grams"),
    [
        ("fr", "Zeste de 1 citron et 1 orange", [5, 8]),
        ("fr", "le zeste d'un citron et d'une orange", [5, 8]),
        ("es", "Ralladura de medio limón y media naranja", [2, 4]),
        ("it", "scorza di 1 limone e 1 arancia", [5, 8]),
        ("de", "Abrieb von 1 Zitrone und 1 Orange", [5, 8]),
        ("en", "zest of 2 lemons and 1 orange", [10, 8]),
    ],
)
def test_the_zest_of_two_fruits_is_two_lines(language, line, grams):
    read = [each for each in lines_of(f"{LISTS[language]}\n{line}") if each["text"] == line]
    assert [each["ingredient"] for each in read] == ["lemon_zest", "orange_zest"]
    assert [round(each["mass"]["best"]) for each in read] == grams


def test_one_amount_for_the_zest_of_two_fruits_is_not_doubled():
    found = in_any_order(f"{LISTS['en']}\n2 tsp zest of lemon and orange")
    assert len([name for _, name, _ in found if name.endswith("_zest")]) < 2


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("3 œufs entiers + 1 blanc", {"whole_egg": 150, "egg_white": 33}),
        ("3 œufs, 2 blancs", {"whole_egg": 150, "egg_white": 66}),
        ("2 œufs et 1 jaune et 2 blancs", {"whole_egg": 100, "egg_yolk": 17, "egg_white": 66}),
    ],
)
def test_whites_behind_eggs_are_a_line_of_their_own(line, found):
    read = [each for each in lines_of(f"{LISTS['fr']}\n{line}") if each["text"] == line]
    assert {each["ingredient"]: round(each["mass"]["best"]) for each in read} == found


def test_a_number_in_words_before_another_thing_counts_nothing():
    assert last("fr", "60 g de beurre d'une ferme")[1:3] == ("butter", 60)
    assert last("es", "60 g de mantequilla de una granja")[2] in (60, None)


@pytest.mark.parametrize(
    "line", ["2 quarts of whole milk", "2 quarts whole milk", "two quarts of whole milk"]
)
def test_quarts_of_are_quarts(line):
    assert last("en", line)[1:3] == ("whole_milk", 1951)


def test_quarts_in_french_are_quarters():
    assert last("fr", "trois quarts de litre de lait entier")[1:3] == ("whole_milk", 773)


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("en", "300 g bread flour, or enough to make a stiff dough"),
        ("en", "300 g bread flour or more"),
        ("en", "300 g bread flour or sufficient for a soft dough"),
        ("es", "300 g de harina de fuerza o la que admita"),
    ],
)
def test_an_amount_that_may_be_more_is_to_be_checked(language, line):
    read = lines_of(f"{line}\n200 g water\n6 g salt")[0]
    assert (read["mass"]["best"], read["sure"]) == (300, "likely")


@pytest.mark.parametrize("line", ["60 g liquid sugar", "60 g liquid whey"])
def test_a_liquid_thing_is_not_the_dry_one(line):
    assert last("en", line)[1:] == (None, None, "not_read")


def test_half_milk_and_half_water_are_two_liquids():
    found = in_any_order("400 g bread flour\n8 g salt\n200 g liquid (half milk, half water)")
    assert found[1:] == [("dough", "salt", 8), ("dough", "water", 100), ("dough", "whole_milk", 100)]


@pytest.mark.parametrize(
    ("language", "line", "ingredient"),
    [
        ("fr", "120 g de raisins secs de Corinthe", "raisins"),
        ("fr", "120 g de boisson végétale aux amandes", "almond_milk"),
        ("en", "120 g active dry yeast activate it in the milk", "active_dry_yeast"),
        ("en", "120 g bread flour or so", "bread_flour"),
    ],
)
def test_names_with_what_is_said_beside_them(language, line, ingredient):
    assert last(language, line)[1:3] == (ingredient, 120)


def test_a_mixed_number_has_a_cell_of_its_own():
    rows = "2 | c | Bread flour |\n1 1/2 | ts | Salt |\n2 1/4 | ts | Instant yeast |\n1 | c | Water |"
    assert ("dough", "salt", 9) in in_any_order(rows)
    assert ("dough", "instant_yeast", 7) in in_any_order(rows)


def test_a_refusal_speaks_of_one_line_as_of_one():
    with pytest.raises(InputFault) as refused:
        perform(RECIPE_IMPORT, {"lines": ["500 g flour"], "scald_lines": [2]})
    assert "only 1 line" in str(refused.value.faults[0]) and "1 lines" not in str(refused.value.faults[0])


@pytest.mark.parametrize(
    "label",
    [
        "Nutrition\nCalories: 253 kcal | Carbohydrates: 43 g | Protein: 8 g",
        "Nutrition facts\nCalories: 253 kcal\nProtein: 8 g",
        "Valeurs nutritionnelles\nCalories : 253 kcal, glucides : 43 g",
        "Nährwerte\n253 kcal pro Stück",
        "Información nutricional:\nCalorías: 253 kcal",
        "Nährwerte pro Stück\nKalorien 253 kcal\nFett 9 g\nZucker 11 g\nEiweiß 8 g",
        "Informazioni nutrizionali\nCalorie 253\nGrassi 9 g\nZucchero 11 g\nVitamina C 4 mg",
        "Calories: 253 kcalCarbohydrates: 43 gProtein: 8 gSaturated Fat: 2 gVitamin A: 9 IUSodium: 33 mg",
    ],
)
def test_the_list_below_a_nutrition_label_is_the_dough(label):
    text = f"Pan loaf\n\n{label}\nIngredients\n400 g bread flour\n250 g water\n8 g salt"
    assert in_any_order(text) == [
        ("dough", "bread_flour", 400),
        ("dough", "salt", 8),
        ("dough", "water", 250),
    ]


def test_a_list_below_what_is_put_on_top_stays_outside_the_dough():
    text = f"{LISTS['en']}\nGlaze\nIngredients\n60 g icing sugar"
    assert [each["part"] for each in lines_of(text) if each["ingredient"] == "icing_sugar"] == ["aside"]


def test_boiled_eggs_are_no_dough_and_a_little_pinch_is_one():
    assert last("es", "2 huevos cocidos")[0] == "aside"
    assert last("es", "1 pellizquito de canela")[1] == "cinnamon"


def test_sugar_below_one_word_of_a_label_without_its_heading_is_an_ingredient():
    assert last("en", "Protein 20 g\n50 g sugar")[:3] == ("dough", "sucrose", 50)


@pytest.mark.parametrize(
    "line", ["3 œufs moyens dont 1 jaune pour dorer", "3 œufs moyens dont 1 blanc pour la dorure"]
)
def test_an_egg_of_which_a_part_is_for_the_crust_is_not_sure(line):
    read = lines_of(f"{LISTS['fr']}\n{line}")[-2]
    assert (read["ingredient"], read["part"], read["sure"]) == ("whole_egg", "dough", "likely")


@pytest.mark.parametrize(
    ("language", "milk", "line"),
    [
        ("en", "240 g whole milk", "5 g active dry yeast, activate in 60 g of the whole milk"),
        ("de", "240 g Vollmilch", "18 g frische Hefe, aufgelöst in 60 g der Vollmilch"),
        ("fr", "240 g de lait entier", "18 g de levure fraîche délayée dans 60 g du lait entier"),
        ("es", "240 g de leche entera", "18 g de levadura fresca disuelta en 60 g de la leche entera"),
        ("it", "240 g di latte intero", "18 g di lievito di birra fresco sciolto in 60 g del latte intero"),
    ],
)
def test_what_yeast_is_stirred_into_is_of_the_listed_milk(language, milk, line):
    found = in_any_order(f"{LISTS[language]}\n{milk}\n{line}")
    assert [grams for _, name, grams in found if name == "whole_milk"] == [240]


def test_milk_that_no_other_line_lists_is_that_of_the_dough():
    found = in_any_order(f"{LISTS['en']}\n5 g active dry yeast, activate in 60 g of the best whole milk")
    assert [grams for _, name, grams in found if name == "whole_milk"] == [60]
