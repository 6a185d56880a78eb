"""What recipes in German, English, French, Italian and Spanish have: each class with the reading of a baker.

The readings were written down before the import was asked.
"""

import pytest

from importing.readings import in_any_order as parts
from importing.readings import lines_of

FIRST, REST = {}, {}
FIRST["de"], REST["de"] = "400 g Weizenmehl 550", "250 g Wasser\n10 g Frischhefe\n7 g Salz"
FIRST["en"], REST["en"] = "400 g bread flour", "250 g water\n10 g instant yeast\n7 g salt"
FIRST["es"], REST["es"] = "400 g de harina de fuerza", "250 g de agua\n10 g de levadura fresca\n7 g de sal"
FIRST["fr"], REST["fr"] = "400 g de farine T55", "250 g d'eau\n10 g de levure fraîche\n7 g de sel"
FIRST["it"], REST["it"] = (
    "400 g di farina manitoba",
    "250 g di acqua\n10 g di lievito di birra fresco\n7 g di sale",
)


def among(language, line):
    """The readings of a line among others of a dough."""
    lines = lines_of(f"{FIRST[language]}\n{line}\n{REST[language]}")
    return [each for each in lines if each["line"] == 2 and each["in_formula"]]


@pytest.mark.parametrize(
    ("language", "line", "found"),
    [
        ("de", "250 ml Milch (1,5% Fett)", {"semi_skimmed_milk": 258}),
        ("de", "250 ml Milch 1,5% Fett", {"semi_skimmed_milk": 258}),
        ("de", "250 ml Milch (3,5 %)", {"whole_milk": 258}),
        ("en", "250 ml milk (2% fat)", {"semi_skimmed_milk": 258}),
        ("en", "250 ml milk (60%)", {"whole_milk": 258}),
        ("fr", "250 ml de lait (1,5 % MG)", {"semi_skimmed_milk": 258}),
        ("es", "250 ml de leche (1,5% de grasa)", {"semi_skimmed_milk": 258}),
        ("it", "250 ml di latte (1,5% di grassi)", {"semi_skimmed_milk": 258}),
        ("es", "2 barras de mantequilla de 90 g", {"butter": 180}),
        ("en", "2 blocks of butter, 250 g each", {"butter": 500}),
        ("de", "2 Päckchen Trockenhefe zu 7 g", {"instant_yeast": 14}),
        ("it", "2 bustine di lievito di birra secco di 7 g", {"active_dry_yeast": 14}),
        ("fr", "une cuillère et demie à café de sel", {"salt": 9}),
        ("fr", "2 blancs et 1 jaune", {"egg_white": 66, "egg_yolk": 17}),
        ("en", "1–1/2 cups milk", {"whole_milk": 366}),
        ("de", "500 g glattes Mehl W480", {"plain_flour": 500}),
        ("de", "500 g Weizenmehl (550er)", {"bread_flour": 500}),
        ("de", "500 g Mehl (W700)", {"bread_flour": 500}),
        ("de", "500 g Mehl (halb Weizenmehl, halb Dinkelmehl)", {"plain_flour": 250, "spelt_flour": 250}),
        ("de", "500 g Mehl (halb Weizen, halb Dinkel)", {"plain_flour": 250, "spelt_flour": 250}),
        ("de", "100 g UrDinkel-Weissmehl", {"spelt_flour": 100}),
        ("en", "100 g wholemeal plain flour", {"whole_wheat_flour": 100}),
        ("en", "10 g malt (non diastatic)", {"dried_malt_extract": 10}),
        ("es", "10 g de malta (no diastásica)", {"dried_malt_extract": 10}),
        ("en", "75 g water just off the boil", {"water": 75}),
        ("it", "150 ml di latte + 2 cucchiai", {"whole_milk": 186}),
        ("it", "50 g zucchero + 1 cucchiaio", {"sucrose": 63}),
        ("en", "50 g sugar plus 1 tbsp", {"sucrose": 63}),
        ("en", "Yeast: 6 g instant", {"instant_yeast": 6}),
        ("it", "Lievito: 12 g di birra fresco", {"compressed_yeast": 12}),
        ("fr", "Beurre : 40 g demi-sel", {"salted_butter": 40}),
        ("en", "1 lrg egg", {"whole_egg": 50}),
        ("it", "2 uova sbattute (tenerne un po' per spennellare)", {"whole_egg": 100}),
        ("de", "2 Eier (Größe L)", {"whole_egg": 116}),
        ("es", "1 huevo (talla L)", {"whole_egg": 58}),
        ("it", "2 uova L", {"whole_egg": 116}),
        ("de", "75 g Butter u. etwas f.d. Form", {"butter": 75}),
        ("en", "1 egg plus enough milk to make 250 g", {"whole_egg": 50, "whole_milk": 200}),
        ("en", "1 egg topped up with milk to 250 g", {"whole_egg": 50, "whole_milk": 200}),
    ],
)
def test_a_line_is_read(language, line, found):
    assert {each["ingredient"]: round(each["mass"]["best"]) for each in among(language, line)} == found


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("it", "100 g farina tipo 1"),
        ("it", "100 g di farina semintegrale"),
        ("es", "100 g de harina semiintegral"),
        ("it", "5 g di malto in polvere"),
        ("es", "5 g de malta en polvo"),
        ("fr", "5 g de malt en poudre"),
        ("en", "1 large egg white (reserve for egg wash)"),
        ("de", "1 Eiweiß Gr. M (für die Streiche aufheben)"),
        ("fr", "1 gros blanc d'œuf (à garder pour la dorure)"),
        ("es", "1 clara grande (reservar para pintar)"),
        ("it", "1 albume grande (da tenere per spennellare)"),
    ],
)
def test_what_a_baker_would_ask_about_is_not_sure(language, line):
    assert [each["sure"] for each in among(language, line)] == ["likely"]


def test_the_rest_of_an_egg_for_the_crust_leaves_its_amount_sure():
    (egg,) = among("es", "30 g de huevo batido (lo que sobre para pintar)")
    assert (round(egg["mass"]["best"]), egg["sure"]) == (30, "sure")


WHOLE = [("dough", "bread_flour", 475), ("dough", "salt", 9), ("scald", "bread_flour", 25)]
OF_T55 = [(part, name.replace("bread", "plain"), grams) for part, name, grams in WHOLE]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("500 g bread flour\n- 25 g for tangzhong\n- 475 g for dough\n9 g salt", WHOLE),
        ("Bread flour:\n25 g for the tangzhong\n475 g for the dough\nSalt 9 g", WHOLE),
        ("500 g Weizenmehl 550\n  davon 25 g fürs Kochstück\n9 g Salz", WHOLE),
        ("500 g de harina de fuerza\nde los que 25 g para el tangzhong\n9 g de sal", WHOLE),
        ("500 g de harina de fuerza, de los que 25 g para el tangzhong\n9 g de sal", WHOLE),
        ("500 g di farina di forza\ndi cui 25 g per il tangzhong\n9 g di sale", WHOLE),
        ("500 g bread flour\n(of which 25 g for the tangzhong)\n9 g salt", WHOLE),
        ("Farine T55 500 g\ndont 25 g pour le tangzhong\nsel 9 g", OF_T55),
    ],
)
def test_a_part_for_the_scald_is_said_below_a_line(text, found):
    assert parts(text) == sorted(found)


def test_what_is_for_the_dough_below_the_salt_is_no_part_of_it():
    assert parts("9 g salt\n100 g of the tangzhong\n475 g bread flour") == [
        ("dough", "bread_flour", 475),
        ("dough", "salt", 9),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "              Tangzhong   Dough   Total\nBread flour      25 g      475 g   500 g\n"
        "Salt                         9 g     9 g",
        "Zutat           Kochstück  Hauptteig\nWeizenmehl 550     25 g       475 g\n"
        "Salz                             9 g",
    ],
)
def test_a_table_that_only_blanks_align_has_its_parts_in_columns(text):
    assert parts(text) == sorted(WHOLE)


@pytest.mark.parametrize(
    "text",
    [
        "{0} (2 loaves)\n1000 g bread flour\n600 g milk\n20 g salt\n14 g instant yeast\n"
        "{0} (1 loaf)\n500 g bread flour\n300 g milk\n10 g salt\n7 g instant yeast".format("Ingredients"),
        "Small loaf:\n1000 g bread flour\n600 g milk\n20 g salt\n14 g instant yeast\n"
        "Large loaf:\n1500 g bread flour\n900 g milk\n30 g salt\n21 g instant yeast",
    ],
)
def test_a_list_again_for_another_tin_is_no_part_of_the_dough(text):
    assert parts(text) == [
        ("dough", "bread_flour", 1000),
        ("dough", "instant_yeast", 14),
        ("dough", "salt", 20),
        ("dough", "whole_milk", 600),
    ]


def test_two_doughs_of_one_size_are_both_read():
    text = "Light dough\n{0}Dark dough\n{0}".format(
        "250 g bread flour\n150 g milk\n5 g salt\n4 g instant yeast\n"
    )
    assert sum(grams for _, name, grams in parts(text) if name == "bread_flour") == 500


def test_a_scald_on_one_line_ends_there():
    text = (
        "400 g bread flour\nTangzhong: 25 g bread flour + 125 g milk\n120 g milk\n8 g salt\n7 g instant yeast"
    )
    assert parts(text) == [
        ("dough", "bread_flour", 400),
        ("dough", "instant_yeast", 7),
        ("dough", "salt", 8),
        ("dough", "whole_milk", 120),
        ("scald", "bread_flour", 25),
        ("scald", "whole_milk", 125),
    ]


@pytest.mark.parametrize(
    ("text", "flour"),
    [
        (
            "Tangzhong\n25 g bread flour\n125 g water\nRemaining flour\n475 g bread flour\n9 g salt",
            "bread_flour",
        ),
        (
            "Water roux\n25 g di farina 0\n125 g di acqua\nFarine restanti\n475 g di farina 0\n9 g di sale",
            "plain_flour",
        ),
    ],
)
def test_the_rest_of_the_flour_is_no_part_of_the_scald(text, flour):
    found = parts(text)
    assert ("scald", flour, 25) in found
    assert ("dough", flour, 475) in found


def test_a_scald_that_would_hold_all_the_flour_is_never_sure():
    text = "Tangzhong\n25 g bread flour\n125 g water\n475 g bread flour\nLiquids\n180 g milk"
    flours = [line for line in lines_of(text) if line["ingredient"] == "bread_flour"]
    assert [(line["part"], line["section_sure"]) for line in flours] == [
        ("scald", "unsure"),
        ("dough", "unsure"),
    ]


FLAT = {
    "de": "500 g Weizenmehl 550\n300 g Milch\n9 g Salz\n15 g Frischhefe\n\nZubereitung\n",
    "en": "500 g bread flour\n300 g milk\n9 g salt\n7 g instant yeast\n\nMethod\n",
    "es": "500 g de harina de fuerza\n300 g de leche\n9 g de sal\n15 g de levadura fresca\n\nPreparación\n",
    "fr": "500 g de farine T55\n300 g de lait\n9 g de sel\n15 g de levure fraîche\n\nPréparation\n",
    "it": "500 g farina manitoba\n300 g latte\n9 g sale\n12 g lievito di birra fresco\n\nProcedimento\n",
}


@pytest.mark.parametrize(
    ("language", "step", "flour_g", "liquid_g"),
    [
        ("en", "Put the milk (125 g) and the flour (25 g) into a pan. Stir on heat until thick.", 25, 125),
        ("en", "Cook 10% of the flour with 250 g of the milk until it thickens.", 50, 250),
        ("de", "Milch (125 g) und Mehl (25 g) in einen Topf geben. Rühren, bis es andickt.", 25, 125),
        ("de", "5 % des Mehls (25 g) mit 125 g Milch unter Rühren erhitzen, bis es eindickt.", 25, 125),
        ("de", "25 g Mehl und 125 g Milch verrühren. In der Mikrowelle erhitzen, bis es dick ist.", 25, 125),
        ("fr", "Verser le lait (125 g) et la farine (25 g) dans une casserole. Remuer à feu doux.", 25, 125),
        ("fr", "Verser 100 g de lait très chaud (95 °C) sur 50 g de farine et mélanger.", 50, 100),
        ("es", "Poner la leche (125 g) y la harina (25 g) en un cazo hasta que espese.", 25, 125),
        ("es", "Verter 100 g de leche muy caliente (95 °C) sobre 50 g de harina y mezclar.", 50, 100),
        ("it", "Mettere il latte (125 g) e la farina (25 g) in un pentolino finché si addensa.", 25, 125),
        ("it", "Versare 100 g di latte molto caldo (95 °C) su 50 g di farina e mescolare.", 50, 100),
    ],
)  # fmt: skip
def test_a_step_names_the_amounts_of_the_scald_in_its_own_way(language, step, flour_g, liquid_g):
    found = parts(f"{FLAT[language]}{step}")
    assert [grams for part, _, grams in found if part == "scald"] == [flour_g, liquid_g]
    assert sum(grams for _, name, grams in found if name.endswith("_flour")) == 500


IN_BOTH = [("dough", "bread_flour", 475), ("dough", "instant_yeast", 7), ("scald", "bread_flour", 25)]


@pytest.mark.parametrize(
    "text",
    [
        "25 g bread flour\n125 g water\n(for the tangzhong)\n475 g bread flour\n7 g instant yeast",
        "25 g bread flour\n125 g water\n--> tangzhong\n475 g bread flour\n7 g instant yeast",
        "→ Tangzhong\n25 g bread flour\n125 g water\n→ Dough\n475 g bread flour\n7 g instant yeast",
        "475 g bread flour\n25 g bread flour cooked with 125 g water\n7 g instant yeast",
        "Paste: 25 g bread flour whisked into 125 g water and cooked\n475 g bread flour\n7 g instant yeast",
        "475 g Weizenmehl 550\n25 g Weizenmehl 550, mit 125 g kochendem Wasser überbrüht\n7 g Trockenhefe",
        "Bread flour | 500 g | 25 g for tangzhong\nWater | 125 g | tangzhong\nInstant yeast | 7 g |",
        "Weizenmehl 550 | 500 g | davon 25 g Kochstück\nWasser | 125 g | Kochstück\nTrockenhefe | 7 g |",
        "a- 25 g bread flour (roux)\nb- 125 g water (roux)\nc- 475 g bread flour\nd- 7 g yeast, instant",
    ],
)
def test_a_scald_is_marked_in_its_own_way(text):
    assert parts(text) == sorted([*IN_BOTH, ("scald", "water", 125)])


def test_a_mark_of_the_dough_below_its_lines_makes_no_scald():
    text = "400 g bread flour\n250 g milk\n(for the dough)\n7 g instant yeast"
    assert {part for part, *_ in parts(text)} == {"dough"}


def test_a_dough_behind_a_scald_on_one_line_is_read():
    text = (
        "Pour le tangzhong : 25 g de farine T55, 125 g de lait. "
        "Pour la pâte : 475 g de farine T55, 150 g de lait, 12 g de levure fraîche, 9 g de sel."
    )
    assert sum(grams for _, name, grams in parts(text) if name == "plain_flour") == 500


@pytest.mark.parametrize(
    "line",
    [
        "Tangzhong with 25 g bread flour and 125 g water",
        "Tangzhong avec 25 g de bread flour et 125 g d'eau",
        "Tangzhong con 25 g de bread flour y 125 g de agua",
        "Tang zhong con 25 g di bread flour e 125 g di acqua",
        "Kochstück mit 25 g bread flour und 125 g Wasser",
    ],
)
def test_a_scald_with_its_parts_is_read(line):
    found = parts(f"475 g bread flour\n7 g instant yeast\n{line}")
    assert found == sorted([*IN_BOTH, ("scald", "water", 125)])


def test_a_flour_between_white_and_wholemeal_is_no_scald_of_a_white_one():
    text = "600 g Weizenmehl 550\n100 g Weizenmehl Type 1050\n250 g Wasser\n10 g Salz\n10 g Frischhefe"
    assert {part for part, *_ in parts(text)} == {"dough"}
