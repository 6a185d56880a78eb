"""Words that a page has glued together, alternatives, and what is put on top: each in a short recipe."""

import pytest

from importing.layout_words import PAGE
from importing.test_classes import answer, parts


@pytest.mark.parametrize(
    "line, expected",
    [
        ("10 gramsSalt2%", ("dough", "salt", 10.0)),
        ("8glevure sèche active", ("dough", "active_dry_yeast", 8.0)),
        ("2 kleine Eier", ("dough", "whole_egg", 94.0)),
        ("1 large or 2 small eggs", ("dough", "whole_egg", 50.0)),
        ("1/2 egg", ("dough", "whole_egg", 25.0)),
        ("1 sachet de levure de boulanger", ("dough", "instant_yeast", 7.0)),
        ("Zitrone (Abrieb)", ("dough", "lemon_zest", None)),
    ],
)
def test_a_line_as_a_page_has_it(line, expected):
    assert parts(answer(f"Teig\n500 g Mehl\n{line}"))[-1] == expected


def test_what_would_do_instead_is_not_added():
    reply = answer("325 g bread flour, or 275 g bread flour and 50 g rye flour\n7 g instant yeast\n6 g salt")
    assert parts(reply)[0] == ("dough", "bread_flour", 325.0)
    assert [ingredient for _, ingredient, _ in parts(reply)] == ["bread_flour", "instant_yeast", "salt"]


def test_what_a_heading_of_a_topping_is_made_of_is_no_ingredient():
    reply = answer(
        "500 g flour\n7 g yeast\n300 ml milk\nHoney Butter Filling & Finishing\n100 g butter\n50 g honey"
    )
    assert [part for part, _, _ in parts(reply)][-2:] == ["aside", "aside"]


def test_an_unknown_heading_among_bulleted_lines_leaves_what_follows_in_doubt():
    reply = answer(
        "- 500 g flour\n- 7 g instant yeast\n- 300 g water\nFlour paste\n- 67 g plain flour\n- 30 g sugar"
    )
    assert all(line["sure"] != "sure" for line in reply["lines"][-2:])


def test_the_scald_by_its_name_alone_is_the_scald():
    reply = answer(
        "300 g farina\n100 g di water roux\n6 g sale\nper il water roux 20 g di farina\n100 g di acqua"
    )
    assert ("scald", "water", 83.3) in parts(reply) or ("scald", "plain_flour", 16.7) in parts(reply)
    made = answer("600 g Dinkelmehl\n200 g Mehlkochstück aus Dinkelmehl\n230 g Wasser\n8 g Salz\n5 g Hefe")
    assert parts(made)[1] == ("scald", None, 200.0)


def test_the_method_makes_a_wash_of_what_is_listed_last():
    reply = answer(
        "- 250 g water\n- 6 g active dry yeast\n- 1 egg\n- 450 g flour\n- 6 g salt\n"
        "Add in egg, stir, then flour and salt.\n\n- 1 egg\n- Splash of milk\n"
        "Mix egg and milk together to make an egg wash."
    )
    assert [part for part, _, _ in parts(reply)] == ["dough"] * 5 + ["aside"] * 2


LISTS = {
    "de": "500 g Mehl\n300 ml Milch\n10 g Salz\n7 g Trockenhefe",
    "en": "500 g bread flour\n300 ml whole milk\n10 g salt\n7 g instant yeast",
    "es": "500 g de harina\n300 ml de leche\n10 g de sal\n7 g de levadura seca",
    "fr": "500 g de farine\n300 ml de lait\n10 g de sel\n7 g de levure sèche",
    "it": "500 g di farina\n300 ml di latte\n10 g di sale\n7 g di lievito secco",
    "ja": "強力粉 500g\n牛乳 300ml\n塩 10g\nドライイースト 7g",
    "zh-Hans": "高筋面粉 500克\n牛奶 300毫升\n盐 10克\n干酵母 7克",
    "zh-Hant": "高筋麵粉 500克\n牛奶 300毫升\n鹽 10克\n乾酵母 7克",
}


@pytest.mark.parametrize("language", LISTS)
def test_what_a_page_has_around_its_list_is_no_ingredient(language):
    above, below = PAGE[language]
    alone = answer(LISTS[language])
    reply = answer("\n".join([*above, "", LISTS[language], "", *below]))
    assert parts(reply) == parts(alone)
    assert reply["usable"] == alone["usable"]
    assert len(reply["lines"]) == len(alone["lines"]) + len(above) + len(below)


def test_a_known_name_above_the_list_is_still_asked_about():
    line, *_ = answer("Salt\n\n500 g bread flour\n300 g water\n7 g instant yeast")["lines"]
    assert (line["kind"], line["ingredient"], line["sure"]) == ("ingredient", "salt", "not_read")


def test_a_sentence_of_the_method_without_a_heading_makes_the_scald():
    text = (
        "50 g bread flour\n40 g boiling water\n200 g bread flour\n3 g instant yeast\n4 g salt\n150 g milk\n"
        "Make the yudane the night before. Place bread flour in a bowl and add boiling water and mix well."
    )
    assert parts(answer(text))[:3] == [
        ("scald", "bread_flour", 50.0),
        ("scald", "water", 40.0),
        ("dough", "bread_flour", 200.0),
    ]


@pytest.mark.parametrize(
    "line, ingredient, sure",
    [
        ("100 g plain/all-purpose flour", "plain_flour", "sure"),
        ("100 g bread or baker's flour", "bread_flour", "sure"),
        ("100 g milk/milk powder", "whole_milk", "unsure"),
        ("5 g dry or instant yeast", "active_dry_yeast", "unsure"),
    ],
)
def test_two_names_may_share_their_last_word(line, ingredient, sure):
    (read,) = answer(f"500 g rye flour\n{line}")["lines"][1:]
    assert (read["ingredient"], read["sure"]) == (ingredient, sure)


def test_the_method_means_the_line_of_the_flour_that_it_names():
    text = (
        "1/3 cup (40g) bread flour\n1 cup (240ml) water\n7 g instant yeast\n2 cups (240g) whole wheat flour\n"
        "1 1/2 cups (180g) bread flour\nInstructions\n"
        "In a small saucepan, whisk 1/3 cup bread flour with 1/2 cup of the water. Cook until thick."
    )
    scald = [(name, grams) for part, name, grams in parts(answer(text)) if part == "scald"]
    assert [name for name, _ in scald] == ["bread_flour", "water"]
    assert scald[0][1] == 40


@pytest.mark.parametrize(
    "listed, sentence",
    [
        (
            "400 g bread flour\n240 g milk\n7 g instant yeast\n8 g salt",
            "For the scalded paste you will use 25 g of the bread flour and 120 g of the milk listed above.",
        ),
        (
            "400 g Mehl\n240 g Milch\n7 g Trockenhefe\n8 g Salz",
            "Für das Mehlkochstück nimmt man 25 g Mehl und 120 g Milch aus der Liste der Zutaten.",
        ),
    ],
)
def test_a_scald_of_what_is_listed_is_taken_out_of_the_list(listed, sentence):
    read = parts(answer(f"{listed}\n{sentence}"))
    assert [grams for part, _, grams in read if part == "scald"] == [25, 120]
    assert sum(grams for _, _, grams in read) == 400 + 240 + 7 + 8


@pytest.mark.parametrize(
    "counted", ["Step 1", "STEP 1:", "Schritt 1 von 6", "Étape 1", "Paso 1", "手順1", "步骤1"]
)
def test_a_counted_step_below_the_list_begins_the_method(counted):
    lines = answer(f"500 g bread flour\n300 g water\n{counted}\nPut all of it in a bowl")["lines"]
    assert [line["kind"] for line in lines] == ["ingredient", "ingredient", "step", "step"]


def test_a_counted_step_above_a_list_is_none_of_the_method():
    read = parts(answer("500 g bread flour\n9 g salt\nStep 2\n300 g water\n7 g instant yeast"))
    assert [name for _, name, grams in read if grams] == ["bread_flour", "salt", "water", "instant_yeast"]


def test_what_is_counted_above_a_heading_is_still_asked_about_if_its_name_is_unknown():
    lines = answer("2 sachets wonder mix\nDough\n500 g bread flour\n300 g water\n7 g instant yeast")["lines"]
    assert (lines[0]["kind"], lines[0]["sure"]) == ("ingredient", "not_read")


def test_a_label_without_a_colon_is_no_ingredient():
    lines = answer("Servings 16\nIngredients\n500 g bread flour\n300 g water")["lines"]
    assert [line["kind"] for line in lines[:2]] == ["step", "heading"]


@pytest.mark.parametrize("line", ["250 g of levain, fed the day before.", "levain 250 g"])
@pytest.mark.parametrize("is_above", [True, False])
def test_an_amount_of_what_is_not_known_is_never_taken_for_text_of_the_page(line, is_above):
    listed = "Dough\n500 g bread flour\n300 g water\n9 g salt"
    text = f"{line}\n\n{listed}" if is_above else f"{listed}\nMix all of it in a large bowl.\n{line}"
    lines = answer(text)["lines"]
    assert (lines[0 if is_above else -1]["kind"]) == "ingredient"


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Hokkaido Milk Bread\nIngredients\n500 g bread flour\n300 g milk", "Hokkaido Milk Bread"),
        ("Harbour milk loaf\n\nTangzhong\n30 g flour\n150 g milk\nDough\n400 g flour", "Harbour milk loaf"),
        ("My grandmother's buns\n500 g flour\n300 g milk\n7 g yeast", "My grandmother's buns"),
        ("湯種食パン\n材料\n強力粉 300g\n水 200g", "湯種食パン"),
        ("Conchas\n500 g de harina\n300 g de leche", "Conchas"),
        ("Hefezopf\n\n500 g Mehl\n300 g Milch", "Hefezopf"),
        ("Brioche\n500 g de farine\n300 g de lait", "Brioche"),
        ("My white tin loaf\n500 g flour\n300 g milk", "My white tin loaf"),
        ("Mi pan de molde\n500 g de harina\n300 g de leche", "Mi pan de molde"),
        ("White bread (2 loaves)\n500 g flour\n300 g milk", "White bread"),
        ("Pain de mie (moule de 28 cm)\n500 g de farine\n300 g de lait", "Pain de mie"),
        ("ふわふわ湯種食パン（1.5斤）\n強力粉 300g\n牛乳 200g", "ふわふわ湯種食パン"),
        ("湯種吐司（一條）\n高筋麵粉 300g\n牛奶 200g", "湯種吐司"),
        ("One white loaf\n500 g flour\n300 g milk", ""),
        ("Line a loaf tin\n500 g flour\n300 g milk", ""),
        ("湯種（100g使用）\n強力粉 20g\n牛乳 80g", ""),
        ("本捏ね（1斤）\n強力粉 300g\n牛乳 200g", ""),
        ("Brioche :\n500 g de farine\n300 g de lait", ""),
        ("Pâte à brioche\n500 g de farine\n300 g de lait", ""),
        ("Teig\n500 g Mehl\n300 g Milch", ""),
        ("Masa\n500 g de harina\n300 g de leche", ""),
        ("Ingredients\n500 g flour\n300 g milk", ""),
        ("For the dough\n500 g flour\n300 g milk", ""),
        ("Tangzhong\n20 g flour\n100 g water\nDough\n300 g flour", ""),
        ("Makes 1 loaf\n500 g flour\n300 g milk", ""),
        ("Servings: two\nIngredients\n500 g flour\n300 g milk", ""),
        ("500 g flour\n300 g milk", ""),
    ],
)
def test_a_title_above_the_list_is_the_name_of_the_recipe(text, name):
    reply = answer(text)
    assert reply["name"] == reply["formula"]["name"] == name
