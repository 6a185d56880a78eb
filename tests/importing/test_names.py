"""Ingredients by name: every name of the catalogue, compound words and misspellings."""

import pytest

from scaldloaf.importing.words.language import language_of
from scaldloaf.reference import INGREDIENTS

LABELS = [
    (language, name, names[0]) for name, row in INGREDIENTS.items() for language, names in row.names.items()
]


@pytest.mark.parametrize(
    "language, name, label", LABELS, ids=lambda value: value if value.isascii() else None
)
def test_every_label_is_read_as_its_own_ingredient(read, language, name, label):
    for line in (
        f"100 g {label}",
        f"100g {label}",
        f"{label} 100 g",
        f"{label}: 100 g",
        f"- {label.upper()}, 100 g",
        f"100 g {label} (20 %)",
    ):
        reading = read(line)
        assert (reading.ingredient and reading.ingredient.name, reading.sure) == (name, "sure"), (
            line,
            reading.why,
        )
        assert reading.mass.best == 100


@pytest.mark.parametrize("name", INGREDIENTS)
def test_every_other_spelling_is_its_ingredient_or_may_be(read, name):
    for names in INGREDIENTS[name].names.values():
        for spelling in names[1:]:
            reading = read(f"100 g {spelling}")
            assert reading.ingredient and name in (reading.ingredient.name, *reading.alternatives), spelling


def test_labels_are_found_among_other_words(read_all):
    readings = read_all(
        "300 g Weizenmehl, hell, 200 g Weizenmehl, backstark, gesiebt und 4 g Essig, etwa 5 %",
        "20 g Plain (all-purpose) flour, white, for dusting",
    )
    assert [(reading.ingredient.name, reading.mass.best) for reading in readings] == [
        ("plain_flour", 300),
        ("bread_flour", 200),
        ("vinegar", 4),
        ("plain_flour", 20),
    ]
    assert readings[-1].part == "aside"


@pytest.mark.parametrize(
    "line, why",
    [("100 g Weizenmehl, backstarkes Zeug", "kind of flour"), ("100 g Butter, gesalzenes Zeug", "")],
)
def test_the_beginning_of_a_label_is_not_the_label(read, line, why):
    reading = read(line)
    assert reading.ingredient.name in ("plain_flour", "butter") and why in reading.why


@pytest.mark.parametrize(
    "word",
    [
        "Kichererbsenmehl",
        "Kastanienmehl",
        "Sojamehl",
        "Mandelmehl",
        "Einkornmehl",
        "Emmermehl",
        "Kokosmehl",
        "Weichweizenmehl",
        "Schafmilch",
        "Ziegenmilch",
        "Goatmilk",
        "Palmzucker",
        "Erdnussöl",
        "Kakaobutter",
        "chickpea flour",
        "goat milk",
    ],
)
def test_another_kind_of_a_thing_is_not_read_as_a_kind_we_know(read, word):
    reading = read(f"100 g {word}")
    assert reading.ingredient is None and reading.sure == "not_read"


@pytest.mark.parametrize(
    "word, name",
    [
        ("Roggnmehl", "rye_flour"),
        ("Rogenmehl", "rye_flour"),
        ("Magermlich", "skim_milk"),
        ("Buchweizemehl", "buckwheat_flour"),
        ("Hafermilhc", "oat_milk"),
        ("Butermilch", "buttermilk"),
        ("Puderzuker", "icing_sugar"),
    ],
)
def test_a_misspelling_is_read_with_a_remark(read, word, name):
    reading = read(f"100 g {word}")
    assert reading.ingredient.name == name and reading.sure in ("likely", "unsure")
    assert f"“{word.lower()}” is not in the catalogue" in reading.why


# Bean flour, cream puffs and peanut oil by another name: none of them is flour, cream or vegetable oil.
@pytest.mark.parametrize("word", ["ひよこ豆粉", "花生油酱", "水蜜桃"])
def test_a_sign_beside_a_name_makes_it_another_thing(read, word):
    assert read(f"{word} 100g").sure == "not_read"


@pytest.mark.parametrize(
    "lines, language, word, name, sure",
    [
        (["高筋麵粉 250g", "鹽 3g"], "zh-Hant", "奶油 30g", "butter", "sure"),
        (["高筋面粉 250g", "盐 3g"], "zh-Hans", "奶油 30g", "cream", "likely"),
        (["高筋麵粉 250g", "鹽 3g"], "zh-Hant", "牛油 30g", "butter", "sure"),
        (["高筋面粉 250g", "盐 3g"], "zh-Hans", "牛油 30g", "butter", "likely"),
        (["高筋面粉 250g", "盐 3g"], "zh-Hans", "黄油 30g", "butter", "sure"),
        (["高筋麵粉 250g", "鹽 3g"], "zh-Hant", "玉米粉 30g", "corn_starch", "sure"),
        (["高筋面粉 250g", "盐 3g"], "zh-Hans", "玉米粉 30g", "maize_flour", "likely"),
        (["強力粉 250g", "バター 20g"], "ja", "砂糖 20g", "soft_white_sugar", "likely"),
        (["高筋麵粉 250g", "鹽 3g"], "zh-Hant", "砂糖 20g", "sucrose", "sure"),
    ],
)
def test_a_word_means_what_it_means_in_the_language_of_the_recipe(
    read_all, lines, language, word, name, sure
):
    assert language_of([*lines, word]) == language
    reading = read_all(*lines, word)[-1]
    assert (reading.ingredient.name, reading.sure) == (name, sure), reading.why


def test_words_of_several_languages_do_not_settle_the_decimal_mark(read):
    assert read("1,500 g unsalted butter").mass.best == 1500
    assert read("1.500 g Butter, ungesalzen, gesiebtes Mehl").mass.best == 1500


@pytest.mark.parametrize(
    "line, language",
    [
        ("500 g Weizenmehl, 300 ml Wasser", "de"),
        ("500 g de farine, 300 ml d'eau", "fr"),
        ("500 g de harina, 300 ml de agua", "es"),
        ("500 g di farina, 300 ml di acqua", "it"),
        ("強力粉 250g、バター 20g", "ja"),
        ("高筋麵粉 250g", "zh-Hant"),
        ("高筋面粉 250g", "zh-Hans"),
        ("500 g butter", "en"),
        ("9", "en"),
    ],
)
def test_the_language_of_a_recipe(line, language):
    assert language_of([line]) == language
