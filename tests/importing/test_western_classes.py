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
        ("de", "500 g Mehl (550)", {"bread_flour": 500}),
        ("de", "500 g Mehl, 550er", {"bread_flour": 500}),
        ("fr", "3 œufs (55 g pièce)", {"whole_egg": 165}),
        ("de", "3 Eier (pro Stück 55 g)", {"whole_egg": 165}),
        ("es", "3 huevos (55 g por unidad)", {"whole_egg": 165}),
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


@pytest.mark.parametrize(
    "lines",
    [
        "500 g Weizenmehl 550\n300 g Wasser\n75 g Kochstück: (15 g Weizenmehl 550 und 60 g Wasser)\n"
        "10 g Butter",
        "500 g Weizenmehl 550\n300 g Wasser\n75 g Brühstück: 15 g Weizenmehl 550, 60 g Wasser\n10 g Butter",
        "500 g de farine T55\n300 g d'eau\n75 g de Tangzhong : (15 g de farine T55, 60 g d'eau)\n"
        "10 g de beurre",
    ],
)
def test_a_scald_with_its_amount_and_its_parts_on_one_line_holds_no_more(lines):
    assert [line["part"] for line in lines_of(lines) if line["in_formula"]] == [
        "dough",
        "dough",
        "scald",
        "scald",
        "dough",
    ]


STAGES = [
    "Disolver:\n15 g de levadura prensada\n30 ml de agua\nEn un bol poner:\n300 ml de leche entera\n"
    "60 g de azúcar\n"
    "50 g de mantequilla\nAgregar:\nla levadura disuelta\n550 g de harina de fuerza",
    "Délayer ensemble :\n15 g de levure fraîche\n30 ml d'eau\nDans un saladier :\n300 ml de lait entier\n"
    "60 g de sucre\n"
    "50 g de beurre\nIncorporer ensuite :\nla levure délayée\n550 g de farine T45",
    "Verrühren:\n15 g frische Hefe\n30 ml Wasser\nIn einem Topf erwärmen:\n300 ml Vollmilch\n"
    "60 g Zucker\n50 g Butter\n"
    "Dazugeben:\ndie angerührte Hefe\n550 g Mehl 550",
]


@pytest.mark.parametrize("text", STAGES)
def test_what_is_listed_before_the_flour_is_of_the_dough(text):
    found = [round(line["mass"]["best"]) for line in lines_of(text) if line["in_formula"]]
    assert found == [15, 30, 309, 60, 50, 550]


@pytest.mark.parametrize("text", STAGES)
def test_yeast_named_again_without_its_amount_is_not_missing(text):
    (again,) = [line for line in lines_of(text) if line["kind"] == "ingredient" and not line["in_formula"]]
    assert (again["part"], again["section_sure"]) == ("aside", "likely")


def test_a_liquid_without_its_amount_is_missing_where_only_the_scald_has_one():
    text = "Tangzhong\n20 g flour\n100 g milk\nDough\n330 g flour\n7 g instant yeast\n{}milk\n30 g butter"
    milk = {each: lines_of(text.format(each))[-2] for each in ("", "150 g water\n")}
    assert [line["part"] for line in milk.values()] == ["dough", "aside"]


@pytest.mark.parametrize(
    ("heading", "part"),
    [
        ("Pour la pâte à pain burger :", "dough"),
        ("Pâte à pain burger maison :", "dough"),
        ("Garniture du pain burger :", "aside"),
        ("Pain burger, la garniture :", "aside"),
    ],
)
def test_a_heading_of_a_dough_that_is_called_after_what_it_holds(heading, part):
    found = lines_of(
        f"Tangzhong :\n20 g de farine T45\n100 g d'eau\n{heading}\n200 g de lait entier\n80 g de beurre"
    )
    assert [line["part"] for line in found[-2:]] == [part, part]


def test_yeast_of_no_named_kind_is_told_by_all_of_it():
    text = "Poolish\n65 g Mehl 550\n1 g Hefe\n65 g Wasser\nHauptteig\n260 g Mehl 550\n5 g Hefe\n80 g Wasser"
    found = [line["ingredient"] for line in lines_of(text) if "Hefe" in line["text"]]
    assert found == ["compressed_yeast", "compressed_yeast"]


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("fr", "20 g de beurre pour l’enduire à sa sortie du four"),
        ("fr", "20 g de beurre fondu quand elle sort du four"),
        ("de", "20 g Butter für das Brot, frisch aus dem Ofen"),
        ("es", "20 g de mantequilla para untarlo al salir del horno"),
        ("es", "20 g de manteca de cerdo para extender"),
        ("it", "20 g di burro fuso appena sfornati"),
        ("en", "20 g butter for when it comes out of the oven"),
    ],
)
def test_fat_for_the_baked_loaf_is_no_dough(language, line):
    assert among(language, line) == []


def test_a_starter_that_is_called_an_attempt_of_sourdough_is_one():
    names = [each["ingredient"] for each in among("de", "20 g Roggensauerteigansatz")]
    assert names == ["Sauerteig (Mehl)", "Sauerteig (Wasser)"]


TAKEN = [
    "Kochstück:\n30 g Mehl{0}\n150 g Wasser\nTeig:\n500 g Mehl{1}\n150 g Milch\n20 g frische Hefe",
    "Tangzhong :\n30 g de farine{0}\n150 g d'eau\nPâte :\n500 g de farine{1}\n150 g de lait\n"
    "20 g de levure fraîche",
    "Tangzhong:\n30 g de harina{0}\n150 g de agua\nMasa:\n500 g de harina{1}\n150 g de leche\n"
    "20 g de levadura fresca",
    "Water roux:\n30 g di farina{0}\n150 g di acqua\nImpasto:\n500 g di farina{1}\n150 g di latte\n"
    "12 g di lievito di birra fresco",
    "Tangzhong:\n30 g flour{0}\n150 g water\nDough:\n500 g flour{1}\n150 g milk\n7 g instant yeast",
]
FROM_TOTAL = [
    (" (von den 500 g)", " (von der Gesamtmenge)", " (minus 30 g für das Kochstück)"),
    (" (prélevés sur les 500 g)", " (sur le total)", " (dont 30 g pour le tangzhong)"),
    (" (de los 500 g)", " (tomados del total)", " (menos los 30 g del tangzhong)"),
    (" (dei 500 g)", " presi dal totale", " (meno i 30 g del water roux)"),
    (" (from the 500 g)", " (taken from the total)", " (30 g of it for the tangzhong)"),
]


def flour_and_water(text):
    """Part and grams of each flour and water of the formula."""
    lines = [line for line in lines_of(text) if line["in_formula"]]
    dry = [line for line in lines if "flour" in line["ingredient"] or line["ingredient"] == "water"]
    return [(line["part"], round(line["mass"]["best"])) for line in dry]


@pytest.mark.parametrize(("text", "said"), list(zip(TAKEN, FROM_TOTAL, strict=True)))
def test_flour_of_the_scald_that_is_a_part_of_the_dough_s_is_counted_once(text, said):
    amount, total, minus = said
    for of_scald, of_dough in ((amount, ""), (total, ""), ("", minus), (amount, minus), (total, minus)):
        found = flour_and_water(text.format(of_scald, of_dough))
        assert found == [("scald", 30), ("scald", 150), ("dough", 470)], (of_scald, of_dough)


def test_what_is_left_beside_the_scald_s_flour_is_not_made_less_again():
    text = TAKEN[2].replace("500", "470").format(" (tomados del total)", "")
    assert flour_and_water(text)[-1] == ("dough", 470)


def test_yeast_that_takes_some_of_the_flour_is_no_step():
    yeast = "Levadura fresca: 20 g, mezclada con un poco de la harina y un poco de la leche"
    assert ("dough", "compressed_yeast", 20) in parts(f"500 g de harina\n300 g de leche\n{yeast}")


@pytest.mark.parametrize(
    ("language", "line", "mass"),
    [("it", "latte intero l 0,250", 258), ("it", "olio cl 3", 28), ("it", "uova L 2", 116)],
)
def test_a_unit_before_its_number(language, line, mass):
    assert [round(each["mass"]["best"]) for each in among(language, line)] == [mass]


@pytest.mark.parametrize(
    ("language", "line", "count"),
    [
        ("es", "1 huevo más para pintar", 0),
        ("it", "1 uovo in più per spennellare", 0),
        ("it", "1 uovo più un altro uovo per spennellare", 1),
        ("es", "3 huevos, más 1 para pintar", 1),
    ],
)
def test_one_more_for_the_crust_is_no_dough(language, line, count):
    assert len(among(language, line)) == count


@pytest.mark.parametrize(
    ("language", "line", "name"),
    [
        ("fr", "1 blanc d'œuf (le jaune servira à la dorure)", "egg_white"),
        ("de", "1 Eiweiß (Eigelb für die Streiche)", "egg_white"),
        ("es", "1 clara (la yema para pintar)", "egg_white"),
        ("it", "1 albume, il tuorlo per spennellare", "egg_white"),
        ("en", "1 egg yolk (the white is for brushing)", "egg_yolk"),
    ],
)
def test_a_part_of_an_egg_whose_other_part_is_for_the_crust_is_in_the_dough(language, line, name):
    assert [each["ingredient"] for each in among(language, line)] == [name]


@pytest.mark.parametrize(
    ("language", "line", "name"),
    [
        ("fr", "100 g de farine (seigle)", "rye_flour"),
        ("es", "100 g de harina (centeno)", "rye_flour"),
        ("it", "100 g di farina (segale)", "rye_flour"),
        ("de", "100 g Mehl (Dinkel hell)", "spelt_flour"),
    ],
)
def test_the_kind_of_a_flour_in_parentheses(language, line, name):
    assert [(each["ingredient"], each["sure"]) for each in among(language, line)] == [(name, "sure")]


def test_a_kind_that_would_do_as_well_is_not_the_flour():
    (flour,) = among("fr", "100 g de farine (ou seigle)")
    assert (flour["ingredient"], flour["sure"] == "sure") == ("plain_flour", False)


@pytest.mark.parametrize(
    "title",
    [
        "Brötchen ohne Kochstück",
        "Pain de mie sans tangzhong",
        "Pane in cassetta senza tangzhong",
        "Milk loaf without tangzhong",
        "免湯種吐司",
    ],
)
def test_a_title_that_says_there_is_no_scald_opens_none(title):
    found = lines_of(f"{title}\n1000 g bread flour\n650 g water\n10 g instant yeast\n20 g salt")
    assert [line["part"] for line in found if line["in_formula"]] == ["dough"] * 4
    assert "unsure" not in [line["section_sure"] for line in found]


@pytest.mark.parametrize("line", ["Für ca. 9 Stück à 100 g", "9 Stück à 100 g", "Pour 9 pièces à 100 g"])
def test_how_many_pieces_of_what_weight_is_no_ingredient(line):
    assert lines_of(f"{line}\n500 g Mehl 550\n300 g Wasser")[0]["kind"] == "step"


@pytest.mark.parametrize("line", ["Huevos: dos", "Œufs : deux", "Eier: zwei", "uova, due", "Eggs: two"])
def test_a_number_in_words_behind_eggs(line):
    assert ("dough", "whole_egg", 100) in parts(f"500 g bread flour\n{line}\n200 g water")


def test_a_step_that_takes_some_of_the_flour_is_one_without_the_heading_of_a_method():
    step = "Von dem Mehl 2 EL abnehmen und mit 100 ml Milch unter Rühren aufkochen. Abkühlen lassen."
    found = lines_of(f"500 g Mehl 550\n310 g Vollmilch\n20 g frische Hefe\n10 g Salz\n{step}")
    assert {line["part"] for line in found if line["in_formula"]} == {"scald", "dough"}


@pytest.mark.parametrize(
    "line", ["Laisser pousser 1 h.", "Ruhen lassen 2 h", "Reposo 2 h", "Lievitazione 2 h"]
)
def test_hours_by_their_letter_are_a_time(line):
    assert lines_of(f"500 g bread flour\n300 g water\n{line}")[-1]["kind"] == "step"


@pytest.mark.parametrize(
    ("language", "line", "mass"),
    [
        ("es", "kilo y medio de azúcar", 1500),
        ("it", "litro e mezzo di acqua", 1497),
        ("fr", "litre et demi d'eau", 1497),
    ],
)
def test_a_unit_and_a_half_begins_without_a_number(language, line, mass):
    assert [round(each["mass"]["best"]) for each in among(language, line)] == [mass]
