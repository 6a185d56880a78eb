"""Layouts of recipes that were read late: lists that begin with their sponge, units below their numbers."""

import pytest

from importing.readings import lines_of, weighed

SPONGE = "Sauerteig: 60 g Wasser 60 g Weizenmehl 550 Gut verrühren.\n"


def masses(text):
    """Ingredient and grams of each line of the formula."""
    return [(ingredient, grams) for _, ingredient, grams in weighed(text)]


@pytest.mark.parametrize("name", ["Sauerteig", "Vorteig", "Autolyseteig"])
def test_a_flat_list_that_begins_with_its_sponge_has_its_amounts_before_the_names(name):
    text = (
        f"{name}: 60 g Wasser 60 g Weizenmehl 550\n"
        f"Hauptteig: {name} 540 g Weizenmehl 550 260 g Milch 10 g Salz 16 g Frischhefe 100 g Butter"
    )
    assert masses(text)[2:] == [
        ("bread_flour", 540), ("whole_milk", 260), ("salt", 10), ("compressed_yeast", 16), ("butter", 100)
    ]  # fmt: skip


def test_a_flat_list_that_begins_with_a_name_has_its_amounts_behind():
    text = "Mehl 500 g Wasser 300 g Hefe 20 g Butter 50 g"
    assert [each for each in masses(text) if each[0] != "water"][0] == ("plain_flour", 500)
    assert ("butter", 50) in masses(text)


def test_the_first_amount_of_a_list_on_one_line_is_not_what_is_used_of_its_sponge():
    text = (
        "Autolyseteig: 400 g Milch 500 g Weizenmehl 550\n"
        "Hauptteig: Autolyseteig 30 g Milch 6 g Frischhefe 12 g Salz 12 g Zucker"
    )
    assert ("bread_flour", 500) in masses(text)


def test_a_starter_is_not_made_of_a_sponge_with_yeast():
    text = (
        "Vorteig\n125 g Weizenmehl 550\n75 g Wasser\n6 g frische Hefe\nSauerteig\n15 g Anstellgut\n"
        "30 g Wasser\n30 g Roggenmehl\nHauptteig\nVorteig\n375 g Weizenmehl 550\n10 g Salz\n125 g Milch\n"
    )
    assert masses(text)[0] == ("bread_flour", 125)


UNITS_BELOW = (
    "Zutaten\n\nFür\n12\nStücke\n\n500\n\ng g Mehl\n\n20\n\ng g frische Hefe\n\n"
    "215\n\nml ml Milch\n\n3\n\nEier\n\n100\n\ng g Butter\n"
)


@pytest.mark.parametrize("text", [UNITS_BELOW, UNITS_BELOW.replace("g g", "g").replace("ml ml", "ml")])
def test_a_unit_below_its_number_is_joined_to_it(text):
    assert masses(text) == [
        ("plain_flour", 500),
        ("compressed_yeast", 20),
        ("whole_milk", 222),
        ("whole_egg", 150),
        ("butter", 100),
    ]


@pytest.mark.parametrize(
    ("line", "found"),
    [
        (r"4 \frac{1}{2} cups all-purpose flour", ("plain_flour", 562)),
        (r"Milk: 1 \frac{1}{2} cups", ("whole_milk", 366)),
        ("Two and one-half teaspoons salt", ("salt", 15)),
        ("Three and three-fourths cups milk", ("whole_milk", 915)),
        ("One-fourth cup sugar", ("sucrose", 50)),
        ("3 1/2 c. flour or enough to make a stiff dough", ("plain_flour", 437)),
    ],
)
def test_fractions_in_words_and_braces(line, found):
    assert masses(f"2 cups bread flour\n7 g instant yeast\n{line}")[2] == found


def test_a_flour_alone_without_its_unit_is_read_as_grams_and_asked_about():
    read = lines_of("7 g dried yeast\n375 strong flour\n200 ml water\n1.5 tsp salt")[1]
    assert (round(read["mass"]["best"]), read["sure"]) == (375, "unsure")


@pytest.mark.parametrize("line", ["½ Zitronensaft", "Saft 1/2 Zitrone"])
def test_the_juice_of_half_a_fruit_is_no_half_gram_of_juice(line):
    read = lines_of(f"500 g Mehl\n20 g Hefe\n300 g Wasser\n80 g Butter\n{line}")[-1]
    assert (read["ingredient"], read["mass"]["best"]) == ("lemon_juice", 22.5)


def test_milk_and_water_by_halves_with_a_stroke():
    text = "500 g Mehl\n20 g Hefe\n3 dl Milchwasser (halb Milch/ halb Wasser)"
    assert masses(text)[2:] == [("whole_milk", 155), ("water", 150)]


@pytest.mark.parametrize(
    "text",
    [
        "Vorteig (davon 100 g nehmen)\n100 g Mehl\n100 g Wasser\n\nTeig\n500 g Mehl\n20 g Hefe\nVorteig",
        "Vorteig\n100 g Mehl\n100 g Wasser\n\nTeig\n500 g Mehl\n20 g Hefe\nVorteig (davon 100 g verwenden)",
        "Poolish (use 100 g)\n100 g bread flour\n100 g water\n\nDough\n500 g bread flour\n20 g fresh yeast",
    ],
)
def test_a_sponge_counts_as_its_name_says_that_it_is_used(text):
    assert [grams for _, name, grams in weighed(text) if name == "water"] == [50]


def test_the_weight_of_a_sponge_beside_its_name_is_what_is_made():
    text = "Vorteig (200 g)\n100 g Mehl\n100 g Wasser\n\nHauptteig\n500 g Mehl\n20 g Hefe"
    assert [grams for _, name, grams in weighed(text) if name == "water"] == [100]


def test_what_is_below_a_line_that_ends_with_or_is_instead_of_it():
    yeast = "42 g frische Hefe oder\n2 Päckchen Trockenhefe (14g)"
    text = f"500 g Mehl\n{yeast}\n100 g Butter oder\nMargarine\n5 g Salz"
    assert [name for part, name, _ in weighed(text) if part == "dough"] == [
        "plain_flour", "compressed_yeast", "butter", "salt"
    ]  # fmt: skip


def test_two_lists_on_the_same_lines_are_read_one_after_the_other():
    text = (
        "Für den Hefeteig: Für die Füllung:\n320 g Milch 200 g Haselnüsse\n20 g frische Hefe 100 g Butter\n"
        "75 g Zucker 50 g Zucker\n500 g Mehl Hagelzucker\n75 g weiche Butter"
    )
    assert weighed(text) == [
        ("dough", "whole_milk", 320), ("dough", "compressed_yeast", 20), ("dough", "sucrose", 75),
        ("dough", "plain_flour", 500), ("dough", "butter", 75),
    ]  # fmt: skip
    aside = [each["ingredient"] for each in lines_of(text) if each["part"] == "aside" and each["mass"]]
    assert aside == ["hazelnuts", "butter", "sucrose"]


def test_two_headings_on_a_line_are_no_two_lists_where_the_lines_have_one_amount():
    text = "Zutaten: Hefeteig:\n320 g Milch\n20 g frische Hefe\n500 g Mehl\n75 g Butter (25 g + 50 g)"
    assert ("dough", "plain_flour", 500) in weighed(text)


@pytest.mark.parametrize("heading", ["To finish the dough:", "Finish dough"])
def test_what_finishes_the_dough_is_dough(heading):
    starter = "For the starter:\n200 g milk\n370 g plain flour\n5 g instant yeast"
    text = f"{starter}\n{heading}\n25 g plain flour\n4 g salt"
    assert weighed(text)[-2:] == [("dough", "plain_flour", 25), ("dough", "salt", 4)]


def test_what_finishes_the_bread_is_no_dough():
    text = (
        "For the dough:\n200 g milk\n370 g plain flour\n5 g instant yeast\nTo finish the bread:\n25 g butter"
    )
    assert [name for _, name, _ in weighed(text)] == ["whole_milk", "plain_flour", "instant_yeast"]


@pytest.mark.parametrize("last", ["Salz", "Rosinen"])
def test_the_last_name_of_a_list_on_one_line_is_not_lost(last):
    read = lines_of(f"500 g Mehl, 20 g Hefe, 250 ml Milch, 1 Päckchen Vanillezucker, {last}")
    assert read[-1]["sure"] == "not_read"
    assert [each["ingredient"] for each in read].count(read[-1]["ingredient"]) == 1


def test_the_sugar_of_the_yeast_is_not_on_the_crust_where_flour_is_strewn_over_it():
    text = (
        "500 g Mehl\n75 g Zucker\n200 g Milch\n42 g frische Hefe\n1 TL Zucker\nZubereitung\n"
        "5 EL davon mit der Hefe und Zucker zu einer Hefemilch vermischen, mit einer Prise Mehl bestreut "
        "stehen lassen. Alles verkneten und backen."
    )
    assert [part for part, name, _ in weighed(text) if name == "sucrose"] == ["dough", "dough"]


def test_percent_may_be_written_in_the_name_of_the_milk():
    assert ("dough", "semi_skimmed_milk", 250) in weighed("500 g flour\n7 g yeast\n250 g 2 percent milk")
