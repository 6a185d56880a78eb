"""Whole recipes as other writers lay them out: two sizes, a scald for several breads, tables, steps above.

The readings were written down before the import was asked.
"""

import pytest

from importing.readings import in_any_order as parts
from importing.readings import lines_of
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

ROWS = {
    "en": ["bread flour", "milk", "sugar", "salt", "butter"],
    "de": ["Weizenmehl 550", "Milch", "Zucker", "Salz", "Butter"],
    "es": ["harina de fuerza", "leche", "azúcar", "sal", "mantequilla"],
    "fr": ["farine T55", "lait", "sucre", "sel", "beurre"],
    "it": ["farina manitoba", "latte", "zucchero", "sale", "burro"],
}
ODD = [("dough", 6), ("dough", 7), ("dough", 380), ("scald", 20), ("scald", 100)]
MASSES = (400, 260, 40, 8, 40)


@pytest.mark.parametrize("language", ROWS)
@pytest.mark.parametrize("between", [" | ", "   ", "\t", " / "])
def test_amounts_for_two_sizes_are_never_sure(language, between):
    text = "\n".join(
        f"{name}{'' if between == ' / ' else between} {one} g{between}{2 * one} g"
        for name, one in zip(ROWS[language], MASSES, strict=True)
    )
    lines = [line for line in lines_of(text) if line["in_formula"]]
    assert [round(line["mass"]["best"]) for line in lines] == list(MASSES)
    assert all("other_size" in {doubt["code"] for doubt in line["doubts"]} for line in lines)


def test_a_part_of_each_amount_is_no_other_size():
    rows = [("flour", 500, 475), ("milk", 300, 180), ("sugar", 40, 40), ("salt", 9, 9), ("butter", 40, 40)]
    text = "\n".join(f"{name} | {one} g | {two} g" for name, one, two in rows)
    assert not any(doubt["code"] == "other_size" for line in lines_of(text) for doubt in line["doubts"])


DOUGH = {
    "en": "{0}\n450 g bread flour\n120 g milk\n6 g instant yeast\n9 g salt",
    "de": "{0}\n450 g Weizenmehl 550\n120 g Milch\n12 g Frischhefe\n9 g Salz",
    "es": "{0}\n450 g de harina de fuerza\n120 g de leche\n12 g de levadura fresca\n9 g de sal",
    "fr": "{0}\n450 g de farine T55\n120 g de lait\n12 g de levure fraîche\n9 g de sel",
    "it": "{0}\n450 g di farina manitoba\n120 g di latte\n12 g di lievito di birra fresco\n9 g di sale",
}
SCALD = {
    "en": "50 g bread flour\n250 g water",
    "de": "50 g Weizenmehl 550\n250 g Wasser",
    "es": "50 g de harina de fuerza\n250 g de agua",
    "fr": "50 g de farine T55\n250 g d'eau",
    "it": "50 g di farina manitoba\n250 g di acqua",
}


@pytest.mark.parametrize(
    ("language", "heading", "dough"),
    [
        ("en", "Tangzhong (enough for 2 loaves)", "Dough"),
        ("en", "Tangzhong (makes a double batch)", "Dough"),
        ("en", "Tangzhong x2", "Dough"),
        ("de", "Kochstück (reicht für 2 Brote)", "Teig"),
        ("de", "Kochstück (doppelte Menge)", "Teig"),
        ("es", "Tangzhong (alcanza para 2 panes)", "Masa"),
        ("es", "Tangzhong (sobra la mitad):", "Masa"),
        ("fr", "Tangzhong (pour deux pains)", "Pâte"),
        ("fr", "Tangzhong (il en restera)", "Pâte"),
        ("it", "Tang zhong (per due pani)", "Impasto (per un pane)"),
        ("it", "Tang zhong (ne avanza un po')", "Impasto"),
    ],
)
def test_a_scald_left_over_than_this_dough_is_never_sure(language, heading, dough):
    lines = lines_of(f"{heading}\n{SCALD[language]}\n{DOUGH[language].format(dough)}")
    of_scald = [line for line in lines if line["part"] == "scald" and line["in_formula"]]
    assert len(of_scald) == 2
    assert all("scald_left_over" in {doubt["code"] for doubt in line["doubts"]} for line in of_scald)


@pytest.mark.parametrize(
    ("language", "heading", "dough"),
    [
        ("en", "Tangzhong (for 2 loaves)", "Dough (for 2 loaves)"),
        ("en", "Tangzhong", "Dough (2 loaves)"),
        ("de", "Kochstück (für 2 Brote)", "Teig (für 2 Brote)"),
        ("fr", "Tangzhong (pour deux pains)", "Pâte (pour 2 pains)"),
    ],
)
def test_a_recipe_for_two_loaves_uses_the_whole_scald(language, heading, dough):
    lines = lines_of(f"{heading}\n{SCALD[language]}\n{DOUGH[language].format(dough)}")
    assert not any(doubt["code"] == "scald_left_over" for line in lines for doubt in line["doubts"])


def test_half_of_the_scald_is_used_where_the_list_says_so():
    dough = DOUGH["en"].format("Dough\nhalf of the tangzhong")
    found = parts(f"Tangzhong (enough for 2 loaves)\n{SCALD['en']}\n{dough}")
    assert ("scald", "bread_flour", 25) in found


ABOVE = {
    "en": "The day before cook 30 g flour with 150 g milk.\n\nIngredients",
    "de": "Am Vortag 30 g Mehl mit 150 g Milch kochen, bis es andickt.\n\nZutaten",
    "es": "El día anterior cocer 30 g de harina con 150 g de leche hasta que espese.\n\nIngredientes:",
    "fr": "La veille, faire cuire 30 g de farine avec 150 g de lait en remuant.\n",
    "it": "La sera prima cuocere 30 g di farina con 150 g di latte finché si addensa.\n\nIngredienti",
}


@pytest.mark.parametrize("language", ABOVE)
@pytest.mark.parametrize(("milk_g", "is_apart"), [(150, True), (300, False)])
def test_a_step_above_the_list_makes_the_scald_and_asks_about_its_flour(language, milk_g, is_apart):
    dough = DOUGH[language].replace("450 g", "500 g").replace("120 g", f"{milk_g} g").format("")
    lines = [line for line in lines_of(f"{ABOVE[language]}{dough}") if line["in_formula"]]
    scald = [(round(line["mass"]["best"]), line["sure"]) for line in lines if line["part"] == "scald"]
    assert scald == [(30, "likely"), (150, "likely")]
    (flour,) = [line for line in lines if line["ingredient"].endswith("_flour") and line["part"] == "dough"]
    assert (round(flour["mass"]["best"]), flour["sure"]) == (500 if is_apart else 470, "likely")


@pytest.mark.parametrize(
    "text",
    [
        "tangzhong,bread flour,20 g\n,milk,100 g\ndough,bread flour,380 g\n,salt,7 g\n,instant yeast,6 g",
        "tangzhong;bread flour;20 g\n;milk;100 g\ndough;bread flour;380 g\n;salt;7 g\n;instant yeast;6 g",
        "roux\tflour\t20 g\n\tmilk\t100 g\ndough\tflour\t380 g\n\tsalt\t7 g\n\tinstant yeast\t6 g",
        "Loaf;%;g\nBread flour;95;380\nSalt;1,8;7\nInstant yeast;1,5;6\n-- Tangzhong --;;\n"
        "Bread flour;5;20\nMilk;25;100",
        "| Zutat | TM in % | für 1 Kasten |\n|---|---|---|\n| **Kochstück** | | |\n"
        "| Weizenmehl 550 | 5 | 20 g |\n| Vollmilch | 25 | 100 g |\n| **Hauptteig** | | |\n"
        "| Weizenmehl 550 | 95 | 380 g |\n| Salz | 1,8 | 7 g |\n| Trockenhefe | 1,5 | 6 g |",
        "Angaben in kg\nRohstoff;Brühstück;Hauptteig;Gesamt\nWeizenmehl 550;0,02;0,38;0,4\n"
        "Vollmilch;0,1;;0,1\nSalz;;0,007;0,007\nTrockenhefe;;0,006;0,006",
        "Formula\nIngredient\tBakers %\tScald g\tFinal g\tTotal g\nBread flour\t100\t20\t380\t400\n"
        "Whole milk\t25\t100\t\t100\nSalt\t1.8\t\t7\t7\nInstant yeast\t1.5\t\t6\t6",
    ],
)
def test_a_table_has_its_parts_and_masses(text):
    assert sorted((part, grams) for part, _, grams in parts(text)) == ODD


@pytest.mark.parametrize(
    "text",
    [
        "Bread flour: 20 g (tangzhong) + 380 g (dough)\nWhole milk: 100 g (tangzhong)\nSalt 7 g\nYeast 6 g",
        "Mehl 550: 20 g (Kochstück), 380 g (Teig)\nVollmilch (Kochstück): 100 g\nSalz: 7 g\nTrockenhefe: 6 g",
        "Farine T55 : 20 g pour le tangzhong et 380 g pour la pâte\n100 g de lait entier (tangzhong)\n"
        "7 g de sel\n6 g de levure sèche",
        "Water-roux : 20 g de\nfarine T55, 100 g\nd'eau.\nPâte finale : 380 g de\nfarine T55, 6 g de\n"
        "levure sèche,\n7 g de sel.",
        "Für das Koch-\nstück\n20 g Weizenmehl\n(Type 550)\n100 g kaltes\nWasser\nFür den Teig\n"
        "380 g Weizenmehl\n(Type 550)\n7 g feines\nSalz\n6 g Trockenhefe\n1 Eigelb zum\nBestreichen",
        "1) Pre-gel: g 20 farina 0, g 100 acqua\n2) Impasto: g 380 farina 0, g 7 sale, g 6 lievito secco",
        "TAG 1, 20 Uhr – Kochstück\n20 g Mehl 550\n100 g Wasser\nTAG 2, 8 Uhr – Teig\n380 g Mehl 550\n"
        "7 g Salz\n6 g Trockenhefe",
        "Dough | Impasto | g\nbread flour | farina 0 | 380\nsalt | sale | 7\ndry yeast | lievito secco | 6\n"
        "Tangzhong | Tangzhong | g\nbread flour | farina 0 | 20\nwater | acqua | 100",
    ],
)
def test_an_odd_layout_has_its_parts_and_masses(text):
    assert sorted((part, grams) for part, _, grams in parts(text)) == ODD


def test_parentheses_that_a_line_break_cuts_are_one_remark():
    text = (
        "400 g flour\n4 tbsp sugar (extra\nfine)\n80 g unsalted\nbutter\n7 g salt\n(optional: 50 g raisins)"
    )
    read = [(line["ingredient"], line["in_formula"]) for line in lines_of(text) if line["ingredient"]]
    assert read == [
        ("plain_flour", True),
        ("sucrose", True),
        ("butter", True),
        ("salt", True),
        ("raisins", True),
    ]


def test_a_french_pound_is_half_a_kilogram():
    text = "une livre de farine T55\n300 g de lait\n9 g de sel\n12 g de levure fraîche"
    assert ("dough", "plain_flour", 500) in parts(text)


@pytest.mark.parametrize(
    "text",
    [
        "KOCHSTÜCK            TEIG\n20 g Mehl 550        380 g Mehl 550\n100 g Wasser         7 g Salz\n"
        "                     6 g Trockenhefe",
        "Kochstück\tTeig\n20 g Mehl 550\t380 g Mehl 550\n100 g Milch\t7 g Salz\n\t6 g Trockenhefe",
        "20 g; Weizenmehl 550 (Kochstück)\n100 g; Wasser (Kochstück)\n380 g; Weizenmehl 550\n7 g; Salz\n"
        "6 g; Trockenhefe",
        "Kochstück: 20 g Mehl 550 mit 100 g kochendem Wasser überbrühen, über Nacht quellen lassen.\n"
        "Hauptteig: 380 g Mehl 550, 7 g Salz, 6 g Trockenhefe",
        "Tangzhong: cook 20 g bread flour in 100 g milk until thick.\n380 g bread flour\n7 g salt\n6 g yeast",
        "1° giorno: water roux con 20 g di farina 0 e 100 g di acqua. Far raffreddare.\n"
        "2° giorno: 380 g di farina 0, 7 g di sale, 6 g di lievito secco",
        "Kochstück: WM550 20 g / Wasser 100 g\nTeig: WM550 380 g / Salz 7 g / Trockenhefe 6 g",
        "La veille au soir\n- 20 g de farine T55\n- 100 g d'eau\nMélanger et filmer (c'est le tangzhong).\n"
        "Le jour J\n- 380 g de farine T55\n- 7 g de sel\n- 6 g de levure sèche",
        "20 g harina\nde fuerza\n100 g agua\n(tangzhong)\n380 g harina\nde fuerza\n7 g sal\n6 g levadura",
    ],
)
def test_another_odd_layout_has_its_parts_and_masses(text):
    assert sorted((part, grams) for part, _, grams in parts(text)) == ODD


def test_half_of_the_scald_in_its_own_heading_is_never_sure():
    text = (
        "Roux (on n'en utilise que la moitié) : 40 g de farine, 200 g de lait\n"
        "Pâte : 380 g de farine T45, 90 g de lait, 7 g de sel, 15 g de levure fraîche"
    )
    scald = [line for line in lines_of(text) if line["part"] == "scald" and line["in_formula"]]
    assert all("scald_left_over" in {doubt["code"] for doubt in line["doubts"]} for line in scald)


def test_an_amount_below_its_name_is_not_joined_to_the_next_name():
    text = "bread flour\n– 2 1/2 cups\nsugar\n– 1/4 cup\nfine salt\n– 1 1/4 teaspoons\nsoft butter\n– 40 g"
    read = {line["ingredient"]: round(line["mass"]["best"]) for line in lines_of(text) if line["in_formula"]}
    assert (read["sucrose"], read["butter"]) == (50, 40)
    assert 7 <= read["salt"] <= 8
    assert 310 < read["bread_flour"] < 350


def test_what_a_heading_and_a_line_say_of_the_use_of_a_scald_is_one_amount():
    text = (
        "Mehlkochstück (ergibt ca. 170 g, davon 100 g verwenden)\n30 g Mehl 550\n150 g Wasser\n"
        "Teig\n300 g Mehl 550\n80 g Milch\n100 g Mehlkochstück\n6 g Salz\n8 g Frischhefe"
    )
    assert [grams for part, _, grams in parts(text) if part == "scald"] == [17, 83]


@pytest.mark.parametrize(
    "step, scald",
    [
        ("Cook 25 g flour and 125 g water to a tangzhong.", [25, 125]),
        ("For the tangzhong cook 25 g flour with 125 g water.", [25, 125]),
        (
            "For the tangzhong cook 25 g flour with 130 g water.",
            [25, 130],
        ),  # of its own: water is not listed so
    ],
)
def test_a_sentence_below_the_list_makes_the_scald_of_what_is_listed(step, scald):
    listed = "25 g bread flour\n125 g water\n475 g bread flour\n150 g milk\n10 g salt\n7 g instant yeast"
    read = parts(f"{listed}\n\n{step}")
    assert [grams for part, _, grams in read if part == "scald"] == scald
    assert sum(grams for _, _, grams in read) == (792 if scald[1] == 125 else 947)


LIST_OF_TITLE = (
    "200 g water\n640 g bread flour\n260 g milk\n10 g instant yeast\n70 g sugar\n12 g salt\n50 g butter\n"
)


@pytest.mark.parametrize(
    "title",
    [
        "TANGZHONG (Japanese milk bread)",
        "TANG ZHONG (pan de leche)",
        "湯種(食パン)",
        "Water Roux (Toastbrot)",
    ],
)
def test_a_title_that_names_the_scald_and_its_bread_opens_no_scald(title):
    lines = perform(RECIPE_IMPORT, {"text": f"{title}\n\nIngredients:\n{LIST_OF_TITLE}"})["lines"]
    read = [line for line in lines if line["kind"] == "ingredient"]
    assert [line["part"] for line in read] == ["dough"] * 7 and all(line["in_formula"] for line in read)
    assert "scald_not_shown" in [doubt["code"] for doubt in read[1]["doubts"]]


def test_a_scald_that_is_for_the_dough_is_still_a_heading():
    text = (
        "Tangzhong (for the dough)\n\nIngredients:\n20 g bread flour\n100 g water\n\nDough\n" + LIST_OF_TITLE
    )
    lines = perform(RECIPE_IMPORT, {"text": text})["lines"]
    parts = [line["part"] for line in lines if line["kind"] == "ingredient"]
    assert parts == ["scald"] * 2 + ["dough"] * 7


@pytest.mark.parametrize(
    "sentence",
    [
        "First cook a water roux of 200 g water and 40 g flour until it is thick.",
        "Make the water roux with 200 g of the water and 40 g of the flour.",
    ],
)
def test_the_water_of_a_water_roux_is_counted_once(sentence):
    reply = perform(
        RECIPE_IMPORT, {"text": f"Milk bread\n\nIngredients:\n{LIST_OF_TITLE}\nMethod:\n{sentence}"}
    )
    water = [line["mass"] for line in reply["formula"]["lines"] if line["ingredient"] == "water"]
    assert water == [200] and [line["part"] for line in reply["formula"]["lines"]].count("scald") == 2


def test_groups_by_letter_behind_a_method_are_a_list():
    text = (
        "汤种材料:\n50克 高筋粉\n250克 水\n\n做法:\n1.高筋粉放入水拌匀,用小火煮成糊状。\n\n"
        "面包材料:\n(A)\n86克 全蛋液\n54克 牛奶\n150克 汤种\n\n"
        "(B):\n540克 高筋粉\n86克 细砂糖\n8克 盐\n11克 速发酵母\n\n(C):\n49克 无盐黄油\n\n"
        "做法:\n1. 将材料 (A) 混合。"
    )
    lines = perform(RECIPE_IMPORT, {"text": text})["lines"]
    read = [line for line in lines if line["kind"] == "ingredient"]
    assert [line["part"] for line in read] == ["scald"] * 2 + ["dough"] * 7
    assert all(line["in_formula"] for line in read)
    assert [line["kind"] for line in lines if line["text"].startswith("(")] == ["heading"] * 3
