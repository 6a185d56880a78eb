"""What real recipes do that a plain list does not: each class of it in a short recipe of our own."""

import pytest

from scaldloaf.importing.layouts.recipe import recipes_in
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT


def answer(text=None, **body):
    return perform(RECIPE_IMPORT, {"text": text, **body} if text else body)


def parts(reply):
    return [
        (line["part"], line["ingredient"], line["mass"] and round(line["mass"]["best"], 1))
        for line in reply["lines"]
        if line["kind"] == "ingredient"
    ]


# The scald is in the steps


LIST = [
    "320 g bread flour",
    "20 g bread flour",
    "100 g water",
    "120 g whole milk",
    "6 g salt",
    "5 g instant yeast",
]
STEP = "Whisk the smaller part of the flour and the water in a saucepan until it thickens to a paste."


@pytest.mark.parametrize(
    "steps",
    [
        ["Make the tangzhong: cook the flour and the water in a saucepan.", "Knead flour, salt and yeast."],
        [{"@type": "HowToStep", "name": "Tangzhong", "text": "Cook flour and water until thick."}],
        [
            {
                "@type": "HowToSection",
                "name": "Tangzhong",
                "itemListElement": [{"@type": "HowToStep", "text": "Heat flour and water until thick."}],
            }
        ],
        STEP,
        {"@type": "ItemList", "itemListElement": [{"@type": "ListItem", "item": {"text": STEP}}]},
    ],
    ids=["words", "step", "section", "text", "list"],
)
def test_the_method_says_what_goes_into_the_scald(steps):
    recipe = {"@type": "Recipe", "recipeIngredient": LIST, "recipeInstructions": steps}
    reply = answer(recipe=recipe)
    assert [part for part in parts(reply) if part[0] == "scald"] == [
        ("scald", "bread_flour", 20.0),
        ("scald", "water", 100.0),
    ]
    scald = [line for line in reply["lines"] if line["part"] == "scald"]
    assert {line["section_sure"] for line in scald} == {"likely"} and all(line["why"] for line in scald)
    assert "scald_from_method" in {note["code"] for note in reply["notes"]}


def test_a_step_with_amounts_takes_them_from_larger_lines():
    reply = answer(
        "350 g Weizenmehl 550\n170 g Milch\n7 g Salz\n5 g Trockenhefe\n\nZubereitung:\n"
        "15 g Mehl, 50 g Wasser und 50 g Milch in einem Topf erhitzen, bis ein Mehlkochstück entsteht."
    )
    assert sorted(parts(reply)) == sorted(
        [
            ("scald", "bread_flour", 15.0),
            ("dough", "bread_flour", 335.0),
            ("scald", "whole_milk", 50.0),
            ("dough", "whole_milk", 120.0),
            ("dough", "salt", 7.0),
            ("dough", "instant_yeast", 5.0),
            ("scald", "water", 50.0),
        ]
    )


def test_the_same_flour_twice_is_a_doubt_without_a_word_of_a_scald():
    reply = answer(
        "\n".join(["250 g bread flour", "70 g bread flour", "90 g water", "120 g whole milk", "6 g salt"])
    )
    in_doubt = [line["ingredient"] for line in reply["lines"] if line["section_sure"] != "sure"]
    assert in_doubt[:2] == ["bread_flour", "water"]
    assert "scald_may_be_listed" in {note["code"] for note in reply["notes"]}
    assert reply["usable"]["verdict"] != "usable"


@pytest.mark.parametrize(
    "title, liquid",
    [("", "45 g boiling water"), ("Tangzhong bread\n", "90 g water"), ("", "100 g water"), ("", "熱湯 45g")],
)
def test_a_little_flour_beside_its_liquid_is_a_scald_where_something_says_so(title, liquid):
    flour = "強力粉 {} g" if "湯" in liquid else "{} g bread flour"
    reply = answer(f"{title}{flour.format(40)}\n{liquid}\n{flour.format(260)}\n120 g water\n5 g salt")
    assert [part for part, _, _ in parts(reply)] == ["scald", "scald", "dough", "dough", "dough"]
    assert [line["section_sure"] for line in reply["lines"] if line["part"] == "scald"] == ["unsure"] * 2


@pytest.mark.parametrize(
    "title",
    [
        "Tangzhong milk bread",
        "湯種食パン",
        "湯種吐司",
        "北海道汤种吐司",
        "Pain au tangzhong",
        "Kochstück-Toastbrot",
    ],
)
def test_a_title_that_names_the_scald_opens_no_section(title):
    reply = answer(f"{title}\n300 g bread flour\n200 g water\n5 g salt")
    assert {part for part, _, _ in parts(reply)} == {"dough"}


def test_a_recipe_that_names_a_scald_and_does_not_show_it_is_in_doubt():
    reply = answer("Tangzhong bread\n300 g bread flour\n200 g milk\n5 g salt\n4 g instant yeast")
    in_doubt = [line["ingredient"] for line in reply["lines"] if line["section_sure"] != "sure"]
    assert in_doubt == ["bread_flour", "whole_milk"] and reply["usable"]["verdict"] == "doubtful"


def test_a_flat_list_without_a_scald_has_no_doubt():
    reply = answer(
        "\n".join(["320 g bread flour", "200 g water", "6 g salt", "5 g instant yeast", "20 g butter"])
    )
    assert {line["section_sure"] for line in reply["lines"]} == {"sure"} and reply["notes"] == []
    assert reply["usable"] == {"verdict": "usable", "reasons": []}


# Headings


@pytest.mark.parametrize(
    "scald, dough",
    [
        ("Tangzhong", "Main dough"),
        ("For the tangzhong", "For the dough"),
        ("Tangzhong / water roux:", "Bread dough:"),
        ("Ingredients - Tangzhong", "Ingredients - Dough"),
        ("## Tangzhong", "## Dough"),
        ("--- Yudane ---", "--- Main dough ---"),
        ("tangzhong (20 %)", "dough (for one tin)"),
        ("Ingredients for the scald", "Ingredients for the loaf"),
        ("Zutaten für das Mehlkochstück", "Zutaten für den Hauptteig"),
        ("Kochstück:", "Teig:"),
        ("Pour le tangzhong :", "Pour la pâte :"),
        ("Para el tangzhong", "Para la masa"),
        ("Per il water roux:", "Per l’impasto:"),
        ("湯種", "本生地"),
        ("【湯種】", "《本生地》"),
        ("<湯種>", "<本捏ね>"),
        ("■湯種の材料", "■本捏ね用"),
        ("湯種:", "主麵糰："),
        ("燙種材料", "主麵團材料"),
        ("「汤种」", "「主面团」"),
        ("A.汤种", "B.面团材料"),
    ],
)
def test_headings_in_eight_languages_and_in_any_dress(scald, dough):
    reply = answer(f"{scald}\n20 g bread flour\n100 g water\n{dough}\n300 g bread flour\n5 g salt")
    assert [part for part, _, _ in parts(reply)] == ["scald", "scald", "dough", "dough"]
    assert {line["section_sure"] for line in reply["lines"]} == {"sure"}
    assert [line["kind"] for line in reply["lines"]].count("heading") == 2


@pytest.mark.parametrize("heading", ["Harbour loaf", "Harbour loaf:", "## Harbour loaf", "【港町】"])
def test_an_unknown_heading_ends_a_section_and_nothing_under_it_is_sure(heading):
    reply = answer(f"Tangzhong:\n20 g bread flour\n100 g water\n{heading}\n300 g bread flour\n5 g salt")
    assert [part for part, _, _ in parts(reply)] == ["scald", "scald", "dough", "dough"]
    under = reply["lines"][-2:]
    assert all(line["section_sure"] != "sure" and line["sure"] != "sure" for line in under)
    assert "section_in_doubt" in {note["code"] for note in reply["notes"]}


@pytest.mark.parametrize(
    "line",
    [
        "Tangzhong (20 g bread flour, 100 g water)",
        "Tangzhong: 20 g bread flour, 100 g water",
        "湯種 強力粉20g 水100g",
    ],
)
def test_a_line_of_the_scald_may_carry_its_parts(line):
    reply = answer(f"{line}\nDough:\n300 g bread flour\n5 g salt")
    assert parts(reply)[:2] == [
        ("scald", "bread_flour", 20.0),
        ("scald", "water", pytest.approx(100, abs=0.3)),
    ]


def test_a_scald_without_an_end_ends_where_flour_is_named_again():
    reply = answer(
        "Tangzhong:\n20 g bread flour\n100 g water\n300 g bread flour\n150 g milk\n5 g salt\n4 g dry yeast"
    )
    assert [part for part, _, _ in parts(reply)] == ["scald"] * 2 + ["dough"] * 4
    assert "sure" not in {line["sure"] for line in reply["lines"] if line["kind"] == "ingredient"}


# What is not dough


@pytest.mark.parametrize(
    "line, outside",
    [
        ("1 egg + 1 tbsp milk for egg wash", [True, True]),
        ("1 egg plus 1 egg for egg wash", [False, True]),
        ("2 tbsp butter, melted, to brush", [True]),
        ("350 g bread flour (plus more for dusting)", [False]),
        ("1 egg (reserve a little for brushing)", [False]),
        ("打ち粉（強力粉） 適量", [True]),
        ("溶き卵（つや出し用） 適量", [True]),
        ("Milch zum Bestreichen", [True]),
        ("1 jaune d'œuf pour la dorure", [True]),
        ("1 huevo para pintar", [True]),
        ("1 tuorlo per spennellare", [True]),
        ("蛋液 適量（刷表面）", [True]),
    ],
)
def test_what_is_not_dough_is_left_out(line, outside):
    reply = answer(f"300 g bread flour\n200 g water\n{line}")
    assert [each["part"] == "aside" for each in reply["lines"][2:]] == outside


@pytest.mark.parametrize(
    "heading",
    ["Egg wash", "Streusel", "Icing:", "Füllung", "Dorure", "Relleno:", "Ripieno", "仕上げ", "內餡", "馅料"],
)
def test_sections_beside_the_dough(heading):
    reply = answer(f"300 g bread flour\n200 g water\n5 g instant yeast\n{heading}\n1 egg\n20 g sugar")
    assert [part for part, _, _ in parts(reply)] == ["dough"] * 3 + ["aside"] * 2


# A scald made larger than used


@pytest.mark.parametrize(
    "text",
    [
        "Tangzhong (makes 180 g, use 120 g)\n30 g bread flour\n150 g water\nDough\n300 g bread flour",
        "Tangzhong\n30 g bread flour\n150 g water\nDough\n300 g bread flour\n120 g tangzhong\n5 g salt",
        "Dough\n300 g bread flour\n120 g of the tangzhong\nTangzhong\n30 g bread flour\n150 g water",
    ],
)
def test_a_scald_used_in_part_is_scaled_and_says_so(text):
    reply = answer(text)
    scald = [line for line in reply["lines"] if line["part"] == "scald" and line["kind"] == "ingredient"]
    assert [line["mass"]["best"] for line in scald] == pytest.approx([20, 100])
    assert all(line["sure"] != "sure" and "120 g of the 180 g" in line["why"] for line in scald)
    (note,) = [note for note in reply["notes"] if note["code"] == "scald_used_in_part"]
    assert note["values"] == {"used": pytest.approx(120), "made": pytest.approx(180)}


# Numbers


@pytest.mark.parametrize(
    "line, name, grams, sure",
    [
        ("07 - 10 g salt", "salt", 10, "sure"),
        ("8. 10 g salt", "salt", 10, "sure"),
        ("(3) 10 g salt", "salt", 10, "sure"),
        ("①強力粉 250g", "bread_flour", 250, "sure"),
        ("2 packets à 7 g instant yeast", "instant_yeast", 14, "sure"),
        ("2 Päckchen à 7 g Trockenhefe", "instant_yeast", 14, "sure"),
        ("200 g plus 50 g bread flour", "bread_flour", 250, "sure"),
        ("l00 g bread flour", "bread_flour", 100, "unsure"),
        ("0..8 g salt", "salt", 8, "unsure"),
        ("1,,5 g salt", "salt", 5, "unsure"),
        ("1O0 g bread flour", "bread_flour", 100, "unsure"),
        ("1\u200b00 g bread flour", "bread_flour", 100, "sure"),
        ("11/4 teaspoons salt", "salt", 7.6, "sure"),
        ("水 120c.c.", "water", 119.8, "sure"),
        ("7 g dry instant yeast or 15 g fresh yeast", "instant_yeast", 7, "sure"),
        ("7 g instant yeast (or 21 g fresh yeast)", "instant_yeast", 7, "sure"),
        ("砂糖 大さじ2杯", "soft_white_sugar", 18, "likely"),
        ("鹽 半小匙", "salt", 3.0, "sure"),
        ("雞蛋 一顆", "whole_egg", 50, "likely"),
        ("350 g Farine T45", "plain_flour", 350, "sure"),
        ("Farine T45 350 g", "plain_flour", 350, "sure"),
        ("farina 00 350 g", "plain_flour", 350, "sure"),
        ("1 c. à s. de sucre", "sucrose", 12.8, "sure"),
        ("1 c. à c. de sel", "salt", 6.1, "sure"),
        ("½ active dry yeast packet", "active_dry_yeast", 3.5, "sure"),
    ],
)
def test_numbers(read_all, line, name, grams, sure):
    reading = read_all(line)[0]
    assert (reading.ingredient.name, reading.sure) == (name, sure), reading.why
    assert reading.mass.best == pytest.approx(grams, rel=0.02)


def test_what_is_taken_away_is_taken_away(read):
    whole, spoon = read("1 cup sugar", cup="us").mass.best, read("1 tbsp sugar", cup="us").mass.best
    assert read("1 cup minus 1 tbsp sugar", cup="us").mass.best == pytest.approx(whole - spoon)
    assert read("1 tbsp minus 1 cup sugar", cup="us").sure == "not_read"


@pytest.mark.parametrize(
    "line, grams",
    [
        ("2 large eggs, 1 for the dough", 50),
        ("3 large eggs (2 for the dough and 1 for egg wash)", 100),
        ("2 large eggs, 1 for brushing", 50),
    ],
)
def test_eggs_that_are_only_partly_for_the_dough(read, line, grams):
    reading = read(line)
    assert reading.part == "dough" and reading.mass.best == pytest.approx(grams) and reading.sure == "likely"


def test_a_part_of_a_line_for_the_scald():
    reply = answer(
        "500 g bread flour (25 g of it for the scald)\n125 g water for the scald\n200 g milk\n5 g salt"
    )
    assert parts(reply)[:3] == [
        ("scald", "bread_flour", 25.0),
        ("dough", "bread_flour", 475.0),
        ("scald", "water", 125.0),
    ]


def test_numbers_of_a_list_that_counts_its_lines(read_all):
    readings = read_all("1 強力粉 200g", "2 砂糖 20g", "3 塩 4g", "4 水 130g")
    assert [reading.mass.best for reading in readings] == [200, 20, 4, 130]


def test_numbers_without_a_unit_among_grams(read_all):
    readings = read_all("強力粉 200g", "砂糖 20g", "水 130g", "塩 4")
    assert (readings[3].mass.best, readings[3].sure) == (4, "unsure")
    assert read_all("強力粉 200g", "塩 4")[1].sure == "not_read"


@pytest.mark.parametrize("line", ["糖、鹽各5克", "砂糖と塩 各5g"])
def test_one_amount_for_each_of_several(read_all, line):
    assert [(reading.mass.best, reading.ingredient.is_flour) for reading in read_all(line)] == [
        (5, False),
        (5, False),
    ]


# Names


@pytest.mark.parametrize(
    "line, name",
    [
        ("10 g nonfat dry milk", "skim_milk_powder"),
        ("5 g osmotolerant yeast", "instant_yeast"),
        ("5 g fast rising yeast", "instant_yeast"),
        ("7 g Trockenhefe", "instant_yeast"),
        ("20 g Germ", "compressed_yeast"),
        ("20 g Sauerrahm", "sour_cream"),
        ("500 g Weizenmehl T405", "plain_flour"),
        ("500 g Weizenmehl (Type 550)", "bread_flour"),
        ("20 g de levure fraîche de boulanger", "compressed_yeast"),
        ("20 g de lait entier en poudre", "whole_milk_powder"),
        ("300 g harina de fuerza", "bread_flour"),
        ("300 g farina Manitoba", "high_gluten_flour"),
        ("5 g de levadura seca activa", "active_dry_yeast"),
        ("2 g lievito di birra fresco", "compressed_yeast"),
        ("国産強力粉 250g", "bread_flour"),
        ("太白ごま油 10g", "oil"),
        ("スキムミルク 6g", "skim_milk_powder"),
        ("細砂糖 30g", "sucrose"),
        ("动物性淡奶油 50g", "cream"),
        ("耐高糖酵母 3g", "instant_yeast"),
    ],
)
def test_names_as_people_write_them(read, line, name):
    reading = read(line)
    assert (reading.ingredient and reading.ingredient.name) == name, reading.why


@pytest.mark.parametrize(
    "line",
    [
        "5 g levure chimique",
        "5 g lievito per dolci",
        "5 g levadura química",
        "5 g Backpulver",
        "發粉 5g",
        "泡打粉 5克",
        "5 g baking powder",
    ],
)
def test_baking_powder_is_no_yeast(read, line):
    assert read(line).ingredient.name == "baking_powder" and read(line).ingredient.yeast is None


def test_flour_named_once_is_the_flour_meant(read_all):
    bare, named = read_all("20 g flour", "300 g bread flour")
    assert (bare.ingredient.name, bare.sure) == ("bread_flour", "likely") and "other flour" in bare.why
    assert "plain_flour" in bare.alternatives and named.sure == "sure"


@pytest.mark.parametrize("grams, name", [(25, "compressed_yeast"), (5, "instant_yeast")])
def test_plain_yeast_by_its_amount(read_all, grams, name):
    assert read_all("500 g Weizenmehl 550", f"{grams} g Hefe")[1].ingredient.name == name


def test_an_amount_that_no_dough_holds_is_never_sure(read_all):
    assert read_all("500 g bread flour", "250 dl water")[1].sure == "unsure"


def test_a_line_in_two_languages_is_read_in_the_one_of_the_recipe(read_all):
    readings = read_all(
        "300 g bread flour 高筋麵粉", "6 g salt 鹽", "20 g sugar 糖", "25 g unsalted butter 無鹽奶油"
    )
    assert [reading.ingredient.name for reading in readings] == ["bread_flour", "salt", "sucrose", "butter"]
    assert {reading.sure for reading in readings} == {"sure"}


# Layouts


@pytest.mark.parametrize(
    "line",
    [
        "強力粉　２５０ｇ",
        "強力粉…250g",
        "強力粉・・・・・250g",
        "強力粉‥‥‥250g",
        "強力粉----250g",
        "強力粉：250g",
        "☆強力粉 250g",
        "A 強力粉 250g",
        "（A）強力粉 250g",
        "｜強力粉｜250g｜国産が良い 12%｜",
        "強力粉（250g）",
        "強力粉 250g ※国産",
    ],
)
def test_layouts_of_a_line(read, line):
    reading = read(line)
    assert (reading.ingredient.name, reading.mass.best) == ("bread_flour", 250)


def test_a_name_on_one_line_and_its_amount_on_the_next(read_all):
    readings = read_all("強力粉", "250g", "水", "160g", "塩", "4g")
    assert [(reading.ingredient.name, reading.mass.best) for reading in readings] == [
        ("bread_flour", 250),
        ("water", 160),
        ("salt", 4),
    ]


@pytest.mark.parametrize(
    "line",
    [
        "強力粉250g、砂糖20g、塩4g",
        "強力粉 250g 砂糖 20g 塩 4g",
        "500 g bread flour 20 g sugar 8 g salt",
    ],
)
def test_several_on_one_line(read_all, line):
    assert [reading.ingredient.name for reading in read_all(line)][0::2] == ["bread_flour", "salt"]


def test_a_long_run_is_read_by_its_commas(read_all):
    run = "、".join(
        [
            "高筋面粉250克(蛋白质含量约12-13%)",
            "全脂牛奶120毫升",
            "无盐黄油30克(室温软化)",
            "细砂糖30克",
            "盐3克",
            "活性干酵母4克",
            "鸡蛋1个(约50克)",
        ]
    )
    assert [round(reading.mass.best) for reading in read_all(run)] == [250, 124, 30, 30, 3, 4, 50]


def test_lines_of_the_method_are_steps(read_all):
    readings = read_all(
        "500 g bread flour", "300 g water", "Method", "Mix the flour and 300 g water.", "Bake."
    )
    assert [reading.kind for reading in readings] == ["ingredient"] * 2 + ["step"] * 3


# Shapes


def test_a_recipe_of_parts_is_read_with_all_of_them():
    part = {"@type": "Recipe", "name": "Tangzhong", "recipeIngredient": ["20 g bread flour", "100 g water"]}
    rest = {"@type": "Recipe", "name": "Dough", "recipeIngredient": ["300 g bread flour", "5 g salt"]}
    whole = {"@type": "Recipe", "name": "Loaf", "recipeIngredient": [], "hasPart": [part, rest]}
    (found,) = recipes_in(whole)
    assert found.name == "Loaf"
    assert [part for part, _, _ in parts(answer(recipe=whole))] == ["scald", "scald", "dough", "dough"]


@pytest.mark.parametrize("field", ["recipe", "text"])
def test_structured_data_as_text(field):
    text = '[{"@type": "Recipe", "name": "Loaf", "recipeIngredient": ["300 g bread flour"]}]'
    reply = answer(**{field: text})
    assert reply["name"] == "Loaf" and parts(reply) == [("dough", "bread_flour", 300.0)]


@pytest.mark.parametrize(
    "line, name, grams",
    [
        ("強力粉 250g ×2", "bread_flour", 500),
        ("Mサイズの卵 1個", "whole_egg", 50),
        ("farina 00 g 500", "plain_flour", 500),
        ("15 g fresh yeast or 7 g dried", "compressed_yeast", 15),
        ("速發酵母 1小包", "instant_yeast", 7),
        ("un uovo", "whole_egg", 50),
        ("1 sachet de levure de boulanger", "instant_yeast", 7),
    ],
)
def test_amounts_as_each_language_writes_them(read, line, name, grams):
    reading = read(line)
    assert (reading.ingredient.name, reading.mass.best) == (name, grams)


@pytest.mark.parametrize(
    "lines, named",
    [
        (("Zutaten Zubereitung", "500 g Mehl", "8 g Salz"), ["plain_flour", "salt"]),
        (("Menge Zutat", "500 g Mehl", "8 g Salz"), ["plain_flour", "salt"]),
        (("材料 分量 備考", "強力粉 250g", "塩 4g"), ["bread_flour", "salt"]),
    ],
)
def test_heads_of_columns_are_no_heading_of_a_part(read_all, lines, named):
    head, *rest = read_all(*lines)
    assert head.kind == "heading" and [reading.ingredient.name for reading in rest] == named
    assert all(not reading.section_doubts for reading in rest)


@pytest.mark.parametrize(
    "lines",
    [
        ("500 g bread flour", "7 g dry yeast", "To decorate", "20 g sugar"),
        ("500 g Mehl", "7 g Trockenhefe", "Zum Überglänzen und Glasieren", "20 g Zucker"),
        ("強力粉 250g", "ドライイースト 3g", "焼く前に塗る", "卵 20g"),
    ],
)
def test_a_line_that_only_says_what_is_done_outside_the_dough_is_a_heading(read_all, lines):
    *_, heading, last = read_all(*lines)
    assert heading.kind == "heading" and last.part == "aside"


@pytest.mark.parametrize(
    "line, name, grams",
    [
        ("5 g lievito secco, oppure 10 g lievito fresco", "active_dry_yeast", 5),
        ("7 g instant yeast, or 20 g fresh yeast", "instant_yeast", 7),
        ("550er Weizenmehl 500 g", "bread_flour", 500),
        ("500 g 550er Weizenmehl", "bread_flour", 500),
        ("Mantequilla (sin sal; si usas con sal, ver nota): 300 g (blanda)", "butter", 300),
        ("Disuelva 35 gramos de sal", "salt", 35),
        ("バター① 30g", "butter", 30),
        ("半斤高筋面粉", "bread_flour", 250),
        ("100 centímetros cúbicos de agua", "water", 99.8),
        ("1/4 de cucharadita de sal", "salt", 1.525),
        ("1/2 di una bustina di lievito istantaneo", "instant_yeast", 3.5),
        ("three-quarters of a cup of water", "water", 177.1),
        ("zwei Drittel Tasse Zucker", "sucrose", 134.4),
        ("3 quarts d'un litre d'eau", "water", 748.5),
        ("3 quarts water", "water", 2833),
        ("cento grammi di burro", "butter", 100),
        ("die Hälfte eines Würfels Hefe", "compressed_yeast", 21),
        ("une demi-cuillère à café de sel", "salt", 3.05),
        ("20 g de beurre demi-sel", "salted_butter", 20),
        ("2 Päckchen Trockenhefe à 7 Gramm", "instant_yeast", 14),
        ("2 sachets de levure sèche (7 g chacun)", "active_dry_yeast", 14),
        ("2 Eier (à 55 g)", "whole_egg", 110),
        ("2 œufs (environ 110 g, à température ambiante)", "whole_egg", 110),
        ("一茶匙半盐", "salt", 9.15),
        ("四分之三杯水", "water", 177.1),
        ("一又二分之一小匙盐", "salt", 9.15),
        ("一百二十五克水", "water", 125),
        ("砂糖 大さじ1杯半", "soft_white_sugar", 13.5),
        ("水 三分の一カップ", "water", 66.5),
    ],
)
def test_one_amount_of_one_thing(read, line, name, grams):
    reading = read(line)
    assert reading.ingredient.name == name and reading.mass.best == pytest.approx(grams, rel=0.005)


@pytest.mark.parametrize(
    "lines, scald_g",
    [
        (("500 g Mehl, davon 25 g für das Kochstück", "125 g Wasser"), 25),
        (("500 g de farine dont 25 g pour le tangzhong", "125 g d'eau"), 25),
        (("Vorteig (Tangzhong)", "25 g Mehl", "125 g Wasser", "Hauptteig", "475 g Mehl"), 25),
        (("Step 1: Tangzhong", "25 g flour", "125 g water", "Step 2: Dough", "475 g flour"), 25),
        (("1. Tangzhong", "25 g flour", "125 g water", "2. Dough", "475 g flour"), 25),
    ],
)
def test_the_scald_is_seen_by_its_heading_or_its_part(read_all, lines, scald_g):
    readings = read_all(*lines)
    flour = [each for each in readings if each.ingredient and each.ingredient.is_flour]
    assert sum(each.mass.best for each in flour if each.part == "scald") == scald_g
    assert sum(each.mass.best for each in flour) == 500


def test_in_a_dough_without_flour_the_heaviest_unknown_thing_is_its_flour_and_doubted(read_all):
    lines = ("Harbour Mill Red 500 g", "water 300 g", "dry yeast 5 g", "salt 9 g")
    flour, *_ = read_all(*lines)
    assert (flour.ingredient.name, flour.mass.best, flour.sure) == ("bread_flour", 500, "unsure")
    assert read_all(*lines, "20 g bread flour")[0].ingredient is None
    assert read_all("Harbour Mill Red 200 g", *lines[1:])[0].ingredient is None


@pytest.mark.parametrize("word, name", [("Bauernbutter", "butter"), ("Gletschermilch", "whole_milk")])
def test_a_german_word_that_ends_with_the_name_of_a_thing_is_that_thing_and_doubted(read_all, word, name):
    *_, reading = read_all("500 g Mehl", "9 g Salz", f"100 g {word}")
    assert reading.ingredient.name == name and reading.sure in ("unsure", "sure")
    *_, other = read_all("500 g Mehl", "9 g Salz", "100 g Erdnussbutter")
    assert other.ingredient is None


def test_of_a_list_on_one_line_what_is_named_again_before_a_remark_belongs_to_it():
    reply = answer(
        "500 g bread flour, 7 g yeast, 300 ml milk, 50 g butter, 10 g salt, 40 g sugar, "
        "100 g butter, 80 g sugar and 10 g cinnamon (for the filling), 1 egg, 15 g water (for the wash)",
    )
    lines = [line for line in reply["lines"] if line["ingredient"]]
    assert [line["ingredient"] for line in lines if line["part"] == "dough"] == [
        "bread_flour", "instant_yeast", "whole_milk", "butter", "salt", "sucrose"
    ]  # fmt: skip
    assert all(line["sure"] == "unsure" for line in lines[6:8])


def test_steps_that_list_their_amounts_are_read_a_sentence_at_a_time():
    reply = answer(
        "500 g Mehl mit 5 g Salz und 90 g Zucker vermischen. 1/2 Würfel Hefe in 1 EL Milch auflösen. "
        "260 g Milch mit 50 g Butter erwärmen."
    )
    assert parts(reply)[1:] == [
        ("dough", "salt", 5.0),
        ("dough", "sucrose", 90.0),
        ("dough", "compressed_yeast", 21.0),
        ("dough", "whole_milk", 15.5),
        ("dough", "whole_milk", 260.0),
        ("dough", "butter", 50.0),
    ]


def test_what_is_needed_besides_is_dough_where_the_dough_has_no_yeast():
    reply = answer("500 g de harina\n250 g de leche\nAdemás, necesitas: 7 g de levadura seca, 9 g de sal")
    assert [part for part, _, _ in parts(reply)] == ["dough"] * 4


@pytest.mark.parametrize(
    ("lines", "other"),
    [
        ("Ingredients:\n500 g bread flour\n250 g water\n20 g fresh yeast", "or 7 g instant yeast"),
        ("Zutaten:\n500 g Mehl Type 550\n250 g Wasser\n20 g Frischhefe", "oder 7 g Trockenhefe"),
        ("材料\n強力粉 250g\n水 150g\nバター 20g", "またはショートニング 20g"),
    ],
)
def test_an_alternative_on_a_line_of_its_own_is_not_counted_as_well(lines, other):
    reads = perform(RECIPE_IMPORT, {"text": f"{lines}\n{other}"})["lines"]
    assert [each["in_formula"] for each in reads[1:]] == [True, True, True, False]


@pytest.mark.parametrize(
    "line", ["250 g butter for laminating", "250 g butter for lamination", "250 g Butter zum Tourieren"]
)
def test_butter_that_is_folded_in_is_no_dough(line):
    reads = perform(RECIPE_IMPORT, {"text": f"500 g bread flour\n250 g water\n7 g instant yeast\n{line}"})
    assert reads["lines"][-1]["part"] == "aside"


@pytest.mark.parametrize(
    "line",
    [
        "100 g butter or else 80 g oil",
        "100 g butter, failing that 80 g oil",
        "butter 100 g or oil 80 g",
        "100 g Butter, oder auch 80 g Öl",
        "100 g Butter bzw. 80 g Öl",
        "Butter 100 g oder Öl 80 g",
        "100 g de mantequilla o bien 80 g de aceite",
        "100 g de mantequilla, en su defecto 80 g de aceite",
        "100 g de mantequilla; como alternativa, 80 g de aceite",
        "mantequilla 100 g o aceite 80 g",
        "100 g di burro o in alternativa 80 g di olio",
        "100 g di burro, in mancanza 80 g di olio",
        "burro 100 g oppure olio 80 g",
        "100 g de beurre, à défaut 80 g d'huile",
        "100 g de beurre ou encore 80 g d'huile",
        "beurre 100 g ou huile 80 g",
        "バター 100g または 油 80g",
        "バター 100g なければ油 80g",
        "奶油 100g 或 油 80g",
    ],
)
def test_what_would_do_instead_on_the_same_line_is_not_counted_as_well(line):
    reads = perform(RECIPE_IMPORT, {"text": f"500 g bread flour\n250 g water\n10 g salt\n{line}"})["lines"]
    found = [(each["ingredient"], each["mass"]["best"]) for each in reads[3:] if each["in_formula"]]
    assert found == [("butter", 100)]


@pytest.mark.parametrize(
    "line", ["10 g active dry yeast or instant yeast", "100 g butter, 80 g oil or 80 g cream"]
)
def test_an_or_between_names_takes_no_amount_from_the_first(line):
    reads = perform(RECIPE_IMPORT, {"text": f"500 g bread flour\n250 g water\n10 g salt\n{line}"})["lines"]
    amount = float(line.split()[0])
    assert reads[3]["in_formula"] and reads[3]["mass"]["best"] == amount


def test_a_line_of_pumpkin_is_no_alternative():
    reads = perform(RECIPE_IMPORT, {"text": "材料\n強力粉 250g\n水 150g\n塩 5g\nかぼちゃペースト 60g"})[
        "lines"
    ]
    assert reads[-1]["in_formula"]


@pytest.mark.parametrize(
    "line", ["1: egg", "2 – eggs", "1 - uovo", "1: huevo", "2 - œufs", "1: Ei", "2 – Eier"]
)
def test_a_number_with_a_mark_before_eggs_counts_them(line):
    reads = perform(RECIPE_IMPORT, {"text": f"500 g bread flour\n{line}\n250 g water\n10 g salt"})["lines"]
    assert reads[1]["ingredient"] == "whole_egg" and reads[1]["mass"]["best"] == 50 * int(line[0])


@pytest.mark.parametrize(
    "line",
    [
        "6 gramos de levadura seca / 18 gramos de levadura fresca",
        "7 g di lievito secco / 20 g di lievito fresco",
        "7 g de levure sèche / 20 g de levure fraîche",
        "7 g of dry yeast / 20 g of fresh yeast",
    ],
)
def test_of_two_yeasts_with_a_stroke_between_the_first_is_counted(line):
    reads = perform(RECIPE_IMPORT, {"text": f"500 g bread flour\n250 g water\n10 g salt\n{line}"})["lines"]
    found = [each["mass"]["best"] for each in reads[3:] if each["in_formula"]]
    assert found == [float(line.split()[0])]


@pytest.mark.parametrize(
    ("line", "sure"),
    [
        ("10 g salt", "sure"),
        ("20 g salt", "likely"),
        ("60 g salt", "unsure"),
        ("30 g butter", "sure"),
        ("125 mg butter", "likely"),
        ("12 g cinnamon", "likely"),
    ],
)
def test_an_amount_that_few_recipes_have_is_doubted(read_all, line, sure):
    """Common practice, no source: ``test_corpus.py`` counts how few recipes have it."""
    *_, reading = read_all("500 g strong white flour", "300 g water", "5 g instant yeast", line)
    assert reading.sure == sure
    assert [doubt.code for doubt in reading.doubts] == {
        "sure": [],
        "likely": ["unusual_amount"],
        "unsure": ["more_than_dough_holds"],
    }[sure]


def test_a_list_of_all_is_not_counted_twice_beside_its_dough_and_crumble(read_all):
    """What the crumble takes of the list is no dough, and makes up the sums all the same."""
    whole = [
        "Ingredients:",
        "500 g bread flour",
        "300 g milk",
        "60 g butter",
        "60 g sugar",
        "5 g instant yeast",
    ]
    dough = ["Dough:", "400 g bread flour", "300 g milk", "20 g butter", "20 g sugar", "5 g instant yeast"]
    crumble = ["Crumble:", "100 g bread flour", "40 g butter", "40 g sugar"]
    readings = read_all(*whole, *dough, *crumble)
    flour = [each for each in readings if each.ingredient and each.ingredient.is_flour]
    assert [(each.grams, each.part) for each in flour] == [(500, "aside"), (400, "dough"), (100, "aside")]
    assert flour[0].sure == "likely"


# A list inside another, and eggs that the method parts


@pytest.mark.parametrize(
    "text",
    [
        "- Tangzhong:\n  - 22 g flour\n  - 110 g water\n- 300 g bread flour\n- 5 g salt\n- 4 g yeast",
        "• Für das Kochstück:\n    • 22 g Mehl\n    • 110 g Wasser\n• 300 g Mehl\n• 5 g Salz\n• 4 g Hefe",
        "- 湯種\n  - 強力粉 22g\n  - 水 110g\n- 強力粉 300g\n- 塩 5g\n- イースト 4g",
    ],
)
def test_what_is_as_deep_as_the_heading_of_a_nested_list_is_none_of_it(text):
    reply = answer(text)
    assert [part for part, _, _ in parts(reply)] == ["scald"] * 2 + ["dough"] * 3
    assert {line["section_sure"] for line in reply["lines"]} == {"sure"}


def test_one_line_that_is_less_deep_ends_no_nested_list():
    text = (
        "- Tangzhong:\n  - 22 g flour\n  - 60 g water\n- 50 g milk\n- Dough:\n  - 300 g flour\n  - 5 g salt"
    )
    assert [part for part, _, _ in parts(answer(text))][:3] == ["scald"] * 3


@pytest.mark.parametrize(
    "text",
    [
        "320 g flour\n2 eggs\n\nMethod:\nMix the flour with 1 egg. Knead.\nBrush with beaten egg.",
        "320 g Mehl\n2 Eier\n\nZubereitung:\nMehl und 1 Ei verkneten.\nMit dem zweiten Ei bestreichen.",
        "320 g de farine\n2 oeufs\n\nPréparation:\nMélanger la farine et 1 oeuf.\nDorer avec l'oeuf battu.",
        "320 g de harina\n2 huevos\n\nPreparación:\nMezclar la harina y 1 huevo.\nPintar con huevo batido.",
        "320 g di farina\n2 uova\n\nProcedimento:\nImpastare la farina e 1 uovo.\nSpennellare con l'uovo.",
        "強力粉 320g\n卵 2個\n\n作り方:\n強力粉に卵1個を混ぜてこねる。\n溶き卵を塗って焼く。",
        "高筋面粉 320克\n鸡蛋 2个\n\n做法:\n面粉加1个鸡蛋揉成面团。\n表面刷蛋液。",
        "高筋麵粉 320克\n雞蛋 2顆\n\n作法:\n麵粉加雞蛋1顆揉成麵團。\n表面刷蛋液。",
        "320 g flour\n2 eggs\n\nMethod:\nMix all but one egg to a dough.\nBrush with the other egg.",
        "320 g Mehl\n2 Eier\n\nZubereitung:\nMehl und ein Ei verkneten.\nMit dem zweiten Ei bestreichen.",
        "320 g de farine\n2 oeufs\n\nPréparation:\nMélanger la farine et un oeuf.\nDorer avec l'autre oeuf.",
        "320 g de harina\n2 huevos\n\nPreparación:\nMezclar la harina y un huevo.\nPintar con el otro huevo.",
        "320 g di farina\n2 uova\n\nProcedimento:\nImpastare con un uovo.\nSpennellare con l'altro uovo.",
    ],
)
def test_the_egg_that_the_method_brushes_on_is_not_in_the_dough_but_never_for_sure(text):
    (egg,) = [line for line in answer(text)["lines"] if line["ingredient"] == "whole_egg"]
    assert egg["mass"]["best"] == 50 and egg["sure"] != "sure"
    assert "part_not_dough" in [doubt["code"] for doubt in egg["doubts"]]


@pytest.mark.parametrize(
    ("eggs", "steps", "is_asked"),
    [
        ("2 eggs", "Mix all to a dough. Brush with beaten egg and bake.", True),
        ("2 Eier", "Alles verkneten. Mit verquirltem Ei bestreichen.", True),
        ("2 eggs", "Mix all to a dough. Brush with milk and bake.", False),
        ("2 eggs\n1 egg, beaten, for brushing", "Mix all to a dough. Brush with the egg.", False),
        ("100 g egg", "Mix all to a dough. Brush with beaten egg.", False),
        ("2 eggs (plus more for egg wash)", "Mix all to a dough. Brush with egg wash.", False),
    ],
)
def test_eggs_are_asked_about_where_the_method_brushes_on_what_no_line_is_for(eggs, steps, is_asked):
    head = "Zubereitung" if "Eier" in eggs else "Method"
    reply = answer(f"320 g flour\n5 g salt\n{eggs}\n\n{head}:\n{steps}")
    egg = next(line for line in reply["lines"] if line["ingredient"] == "whole_egg")
    assert ("brushed_on_too" in [doubt["code"] for doubt in egg["doubts"]]) == is_asked
    assert egg["mass"]["best"] == 100


@pytest.mark.parametrize(
    "steps",
    [
        "Mix the flour with the eggs, 1 egg at a time. Brush with egg.",
        "Mix the flour with 1 egg and 1 egg yolk. Brush with egg.",
        "Mix the flour with 1 egg. Knead and bake.",
    ],
)
def test_eggs_are_not_parted_where_the_method_does_not_say_so(steps):
    reply = answer(f"320 g flour\n2 eggs\n5 g salt\n\nMethod:\n{steps}")
    assert [grams for _, name, grams in parts(reply) if name == "whole_egg"] == [100]


# A part of the flour with a hot liquid is a scald, whatever it is called

HOT = {
    "375 g bread flour\n200 ml milk\n100 ml water\n7 g instant yeast\n6 g salt\n\nMethod\n": [
        "Bring the water to a boil and pour it over 100 g of the flour.",
        "Mix 100 g flour with 100 ml just-boiled water.",
    ],
    "375 g Mehl\n200 ml Milch\n100 ml Wasser\n7 g Trockenhefe\n6 g Salz\n\nZubereitung\n": [
        "100 g Mehl mit dem kochenden Wasser übergießen und verrühren.",
        "Wasser zum Kochen bringen, über 100 g Mehl gießen, verrühren.",
    ],
    "375 g de farine\n200 ml de lait\n100 ml d'eau\n7 g de levure sèche\n6 g de sel\n\nPréparation\n": [
        "Porter l'eau à ébullition et la verser sur 100 g de farine.",
    ],
    "375 g de harina\n200 ml de leche\n100 ml de agua\n7 g de levadura seca\n6 g de sal\n\nPreparación\n": [
        "Hervir el agua y verterla sobre 100 g de harina.",
    ],
    "375 g di farina\n200 ml di latte\n100 ml di acqua\n7 g lievito secco\n6 g sale\n\nProcedimento\n": [
        "Portare l'acqua a ebollizione e versarla su 100 g di farina.",
    ],
    "強力粉 375g\n牛乳 200ml\n水 100ml\nドライイースト 7g\n塩 6g\n\n作り方\n": [
        "強力粉100gに沸騰した水を入れて混ぜる。",
    ],
    "高筋面粉 375克\n牛奶 200毫升\n水 100毫升\n干酵母 7克\n盐 6克\n\n做法\n": [
        "水烧开，倒入100克面粉中搅拌均匀，冷藏过夜。",
    ],
    "高筋麵粉 375克\n牛奶 200毫升\n水 100毫升\n乾酵母 7克\n鹽 6克\n\n作法\n": [
        "水燒開，倒入100克麵粉中攪拌均勻，冷藏過夜。",
        "取100克高筋麵粉，加入水，小火加熱攪拌成糊狀。",
    ],
}


@pytest.mark.parametrize(
    ("recipe", "step"), [(recipe, step) for recipe, steps in HOT.items() for step in steps]
)
def test_a_part_of_the_flour_with_a_hot_liquid_is_a_scald_but_never_for_sure(recipe, step):
    lines = [
        line for line in answer(recipe + step)["lines"] if line["in_formula"] and line["part"] == "scald"
    ]
    assert [round(line["mass"]["best"]) for line in lines] == [100, 100]
    assert "sure" not in {line["section_sure"] if line["sure"] == "sure" else "" for line in lines}


@pytest.mark.parametrize(
    "step",
    [
        "Heat the milk and butter until melted, then cool. Mix with the flour, yeast and salt.",
        "Heat the milk until lukewarm, then mix with 100 g of the flour, cover and rest.",
        "Heat the milk to 35 °C and stir in 100 g of the flour.",
        "Dust the board with 10 g flour, brush the loaf with milk and bake in a hot oven.",
        "Boil the kettle. Put the flour in a bowl and pour in the milk.",
    ],
)
def test_what_is_only_warm_or_of_the_oven_makes_no_scald(step):
    assert "scald" not in {part for part, _, _ in parts(answer(next(iter(HOT)) + step))}


# A scald made larger than it is used

MADE = {
    "en": "Tangzhong\n50 g bread flour\n250 g water\nDough\n350 g bread flour\n6 g instant yeast\n",
    "de": "Wasserroux\n50 g Mehl\n250 g Wasser\nTeig\n350 g Mehl\n6 g Trockenhefe\n",
    "fr": "Tangzhong\n50 g de farine\n250 g d'eau\nPâte\n350 g de farine\n6 g de levure sèche\n",
    "es": "Tangzhong\n50 g de harina\n250 g de agua\nMasa\n350 g de harina\n6 g de levadura seca\n",
    "it": "Water roux\n50 g di farina\n250 g di acqua\nImpasto\n350 g di farina\n6 g di lievito secco\n",
    "ja": "湯種\n強力粉 50g\n水 250g\n本生地\n強力粉 350g\nドライイースト 6g\n",
    "zh": "汤种\n高筋面粉 50克\n水 250克\n主面团\n高筋面粉 350克\n干酵母 6克\n",
    "zt": "湯種\n高筋麵粉 50克\n水 250克\n主麵團\n高筋麵粉 350克\n酵母 6克\n",
}


@pytest.mark.parametrize(
    ("language", "more", "used"),
    [
        ("en", "tangzhong (use half)", 150),
        ("en", "1/2 of the above tangzhong", 150),
        ("en", "\nMethod:\nAdd half of the tangzhong to the dough and chill the rest.", 150),
        ("en", "\nMethod:\nThe tangzhong is enough for two loaves; use half of it.", 150),
        ("en", "\nMethod:\nYou only need 120 g tangzhong for this recipe.", 120),
        ("de", "\nZubereitung:\nDie Hälfte des Wasserroux zum Teig geben.", 150),
        ("de", "\nZubereitung:\n120 g vom Wasserroux abwiegen und zugeben.", 120),
        ("fr", "\nPréparation:\nAjouter la moitié du tangzhong.", 150),
        ("fr", "\nPréparation:\nAjouter 120 g de tangzhong.", 120),
        ("es", "\nPreparación:\nAñadir 120 g del tangzhong.", 120),
        ("it", "\nProcedimento:\nUnire metà del water roux.", 150),
        ("ja", "上記の湯種 1/2量", 150),
        ("ja", "\n作り方:\n湯種は120g使います。", 120),
        ("zh", "\n做法:\n取120克汤种加入。", 120),
        ("zt", "\n作法:\n湯種取一半使用。", 150),
        ("en", "\nMethod:\nCook until thick; this makes about 280 g of tangzhong.", 300),
        ("en", "\nMethod:\nMix half of the flour and the tangzhong.", 300),
        ("en", "\nMethod:\nAdd the tangzhong and half of the butter.", 300),
        ("de", "\nZubereitung:\nDas Wasserroux mit der Hälfte der Milch verrühren.", 300),
    ],
)
def test_of_a_scald_only_what_the_method_uses_is_counted_but_never_for_sure(language, more, used):
    lines = [
        line
        for line in answer(MADE[language] + more)["lines"]
        if line["part"] == "scald" and line["in_formula"]
    ]
    assert sum(line["mass"]["best"] for line in lines) == pytest.approx(used, abs=1)
    asked = {doubt["code"] for line in lines for doubt in line["doubts"]}
    assert ("scald_used_in_part" in asked) == (used < 300)


# What the method keeps of one line for the top

KEPT_FOR_TOP = {
    "500 g bread flour\n250 g milk\n7 g instant yeast\n80 g sugar\n60 g butter\n\nMethod\n": [
        ("Knead in 40 g of the butter. Melt the remaining butter and brush it over the rolls.", "butter", 40),
        ("Mix all ingredients, but keep 20 g of the sugar for the topping.", "sucrose", 60),
    ],
    "500 g Mehl\n250 g Milch\n7 g Trockenhefe\n80 g Zucker\n60 g Butter\n\nZubereitung\n": [
        ("40 g Butter einkneten. Die restliche Butter schmelzen und damit bestreichen.", "butter", 40),
    ],
    "強力粉 500g\n牛乳 250g\nドライイースト 7g\nバター 60g\n\n作り方\n": [
        ("バター40gを加えてこねる。残りのバターを溶かして表面に塗る。", "butter", 40),
    ],
    "高筋面粉 500克\n牛奶 250克\n干酵母 7克\n糖 80克\n黄油 60克\n\n做法\n": [
        ("加入40克黄油揉至扩展。剩下的黄油融化刷表面。", "butter", 40),
        ("加入60克糖。剩余的糖撒在表面。", "sucrose", 60),
    ],
    "高筋麵粉 500克\n牛奶 250克\n乾酵母 7克\n無鹽奶油 60克\n\n作法\n": [
        ("加入40克奶油揉至擴展。剩下的奶油融化刷表面。", "butter", 40),
    ],
}


@pytest.mark.parametrize(
    ("recipe", "step", "name", "grams"),
    [(recipe, *each) for recipe, steps in KEPT_FOR_TOP.items() for each in steps],
)
def test_what_the_method_keeps_for_the_top_is_not_in_the_dough_but_never_for_sure(recipe, step, name, grams):
    lines = [
        line for line in answer(recipe + step)["lines"] if line["ingredient"] == name and line["in_formula"]
    ]
    assert sum(line["mass"]["best"] for line in lines) == pytest.approx(grams, abs=1)
    assert "sure" not in {line["sure"] for line in lines}


@pytest.mark.parametrize(
    "headings",
    [
        ("Part 1 (tangzhong)", "Part 2 (dough)", "Part 3 (egg wash)"),
        ("Day 1: Yudane", "Day 2: Main dough", "Egg wash"),
        ("Step 1: Tangzhong", "Step 2: Dough", "Step 3: Egg wash"),
        ("A. Tangzhong", "The rest of the dough", "To brush"),
    ],
)
def test_parts_that_are_numbered_in_any_way_are_those_that_they_name(headings):
    scald, dough, wash = headings
    text = (
        f"{scald}\n20 g flour\n100 g water\n\n{dough}\n300 g flour\n120 g milk\n5 g instant yeast\n"
        f"\n{wash}\n1 egg\n1 tbsp milk\n"
    )
    lines = [line for line in answer(text)["lines"] if line["kind"] == "ingredient"]
    assert [line["part"] for line in lines] == ["scald"] * 2 + ["dough"] * 3 + ["aside"] * 2


@pytest.mark.parametrize(
    "line", ["6 tbsp (85 g) butter; room temp", "85 g butter, cubed; plus extra for the tin"]
)
def test_a_remark_behind_a_semicolon_heads_nothing(line):
    lines = answer(f"500 g bread flour\n{line}\n8 g salt\n7 g instant yeast")["lines"]
    assert [each["kind"] for each in lines] == ["ingredient"] * 4
    assert [(each["sure"], each["section_sure"]) for each in lines[2:]] == [("sure", "sure")] * 2
