"""What a list adds later, or below other marks, is read, or the verdict says that it may be missing."""

import pytest

from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

WHOLE = "500 g bread flour\n300 g water\n20 g sugar\n7 g instant yeast\n20 g olive oil\n10 g salt\n"
MILK_LOAF = "500 g bread flour\n300 g milk{star}\n50 g butter\n50 g sugar\n9 g salt\n7 g instant yeast\n"


def answer(text):
    return perform(RECIPE_IMPORT, {"text": text})


def grams(reply):
    """What the formula has, by ingredient, in whole grams."""
    return {(line["part"], line["ingredient"]): round(line["mass"]) for line in reply["formula"]["lines"]}


@pytest.mark.parametrize(
    "behind",
    ["50 g water\n20 g olive oil", "40 g water\n20 g olive oil\n2 g salt", "20 g olive oil\n60 g water"],
)
def test_what_may_go_into_the_dough_later_stays_and_makes_the_verdict_doubtful(behind):
    reply = answer(WHOLE + behind)
    assert all(line["in_formula"] for line in reply["lines"])
    assert reply["usable"]["verdict"] == "doubtful"
    assert "section_in_doubt" in [reason["code"] for reason in reply["usable"]["reasons"]]


@pytest.mark.parametrize(
    "behind", ["130 g olive oil\n100 g sugar\n80 g raisins", "20 g sugar\n10 g olive oil\n1 egg"]
)
def test_a_filling_behind_a_whole_dough_leaves_the_verdict_as_it_is(behind):
    assert answer(WHOLE + behind)["usable"] == {"verdict": "usable", "reasons": []}


def test_butter_again_beside_a_spice_without_sugar_is_no_filling_for_sure():
    whole = MILK_LOAF.format(star="")
    reply = answer(f"{whole}5 g cinnamon\n100 g butter")
    assert reply["usable"]["verdict"] == "doubtful"
    assert reply["lines"][-1]["in_formula"] and reply["lines"][-1]["sure"] == "unsure"
    filling = answer(f"{whole}30 g butter\n80 g brown sugar\n5 g cinnamon")["lines"][-3:]
    assert [line["part"] for line in filling] == ["aside"] * 3


@pytest.mark.parametrize("mark", ["(B)", "（B）", "(C)"])
def test_a_letter_alone_in_parentheses_is_a_heading_and_not_of_the_line_above(mark):
    reply = answer(f"(A)\n{MILK_LOAF.format(star='')}{mark}\n100 g cream cheese\n30 g sugar")
    kinds = {line["line"]: line["kind"] for line in reply["lines"]}
    assert kinds[8] == "heading" and reply["lines"][6]["text"] == "7 g instant yeast"
    assert [line["part"] for line in reply["lines"][-2:]] == ["aside", "aside"]


def test_a_remark_in_parentheses_is_of_the_line_above():
    lines = answer(f"{MILK_LOAF.format(star='')}60 g cream\n(35% fat)")["lines"]
    assert lines[-1]["text"] == "60 g cream (35% fat)"


@pytest.mark.parametrize("price", ["238円/1kg", "€ 3/kg", "$4 per lb"])
def test_a_line_that_is_only_a_price_stays_in_the_reply(price):
    reply = answer(f"{MILK_LOAF.format(star='')}\n{price}")
    assert price in [line["text"] for line in reply["lines"]]
    assert all(line["mass"] is None for line in reply["lines"] if line["text"] == price)


@pytest.mark.parametrize("line, name, mass", [("* 2 eggs", "whole_egg", 100), ("* 1 egg", "whole_egg", 50)])
def test_a_star_before_a_counted_ingredient_is_a_bullet(line, name, mass):
    assert grams(answer(MILK_LOAF.format(star="") + line))["dough", name] == mass


def test_a_note_with_its_number_weighs_nothing():
    reply = answer(
        "強力粉 300g※1\n牛乳 200g\n塩 5g\n砂糖 20g\nイースト 4g\nバター 20g\n※1 卵1個分を牛乳と換えられます"
    )
    assert ("dough", "whole_egg") not in grams(reply)


@pytest.mark.parametrize(
    "added, name, mass", [("* plus 40 g water", "water", 40), ("* and 20 g cream", "cream", 20)]
)
def test_a_footnote_that_adds_an_amount_is_no_remark(added, name, mass):
    reply = answer(MILK_LOAF.format(star="*") + added)
    assert grams(reply)["dough", name] == mass


@pytest.mark.parametrize("words", ["usane 150 g", "usarne 150 g", "prelevare 150 g"])
def test_words_for_what_is_used_of_a_sponge(words):
    text = f"Biga ({words})\n200 g farina\n100 g acqua\n\nImpasto\n350 g farina\n200 g latte\n6 g lievito"
    assert grams(answer(text))["dough", "water"] == 50


def test_a_sponge_of_less_than_its_lines_is_in_doubt_where_no_word_says_why():
    text = "Poolish ({})\n150 g farine\n150 g d'eau\n\nPâte\n350 g farine\n150 g lait\n8 g sel\n6 g levure"
    reply = answer(text.format("100 g en tout cas"))
    assert [line["sure"] for line in reply["lines"][1:3]] == ["unsure", "unsure"]
    assert grams(reply)["dough", "water"] == 150 and reply["usable"]["verdict"] == "doubtful"
    whole = answer(text.format("300 g"))
    assert "sponge_used_in_part" not in str(whole["lines"])


@pytest.mark.parametrize(
    "line, grams",
    [
        ("7.5克 细砂糖（中种）", 7.5),
        ("1.5g 乾酵母（中種）", 1.5),
        ("1.5 g yeast (sponge)", 1.5),
    ],
)
def test_a_decimal_before_the_name_of_a_part_is_no_number_of_a_step(line, grams):
    read = next(each for each in answer(f"250 g flour\n{line}\n160 g water")["lines"] if each["text"] == line)
    assert read["mass"]["best"] == pytest.approx(grams)


@pytest.mark.parametrize(
    "cream", ["鮮奶油 14% 35g", "淡奶油 10% 25克", "cream 10% 25 g", "生クリーム 20% 50g"]
)
def test_a_bakers_percentage_is_no_fat_of_the_cream(cream):
    rows = [
        "bread flour 100% 250 g",
        "sugar 10% 25 g",
        "salt 1.5% 4 g",
        "instant yeast 1% 3 g",
        "water 50% 125 g",
    ]
    read = answer("\n".join([*rows, cream]))["lines"][-1]
    assert read["ingredient"] == "cream"


def test_a_percentage_of_one_line_is_the_fat_of_its_cream():
    read = answer("250 g bread flour\n4 g salt\n3 g yeast\n100 g water\n50 g cream 10%")["lines"][-1]
    assert read["ingredient"] == "half_and_half"


@pytest.mark.parametrize(
    "line",
    [
        "10 g malt extract, if you like",
        "10 g Malzextrakt (nach Belieben)",
        "Facultatif : 10 g d'extrait de malt",
        "Optionnel : ajoutez 10 g d'extrait de vanille pour encore plus de goût !",
        "10 g de extracto de malta, opcional",
        "Puedes añadir 50 g de pasas si te gustan",
        "Potete aggiungere 50 g di uvetta, se vi piace",
        "10 g di estratto di malto (facoltativo)",
        "麦芽精 3g（可不放）",
        "麥芽精 3g（可省略）",
        "モルトエキス 3g（なくても可）",
    ],
)
def test_what_may_be_left_out_is_not_sure(line):
    lines = answer(f"{WHOLE}{line}")["lines"]
    assert (lines[-1]["sure"], lines[0]["sure"]) == ("likely", "sure")
    assert "optional" in [doubt["code"] for doubt in lines[-1]["doubts"]]


GREASED = [
    "500 g Mehl 550\n300 ml Wasser\n20 g frische Hefe\n1 TL Salz\n2 TL Butter\nZubereitung:\n"
    "Mehl und Salz mischen, "
    "die Hefe im Wasser auflösen und verkneten. Die Form mit Butter einfetten, den Teig hineingeben.",
    "500 g de farine T55\n300 ml d'eau\n20 g de levure fraîche\n10 g de sel\n15 g de beurre\nPréparation :\n"
    "Mélanger la farine et le sel, ajouter la levure et l'eau. Beurrer le moule, y déposer la pâte.",
    "500 g di farina 0\n300 ml di acqua\n12 g di lievito di birra fresco\n10 g di sale\n1 cucchiaio di olio\n"
    "Procedimento:\nImpastare la farina con acqua e lievito, unire il sale. Ungere lo stampo con l'olio.",
    "500 g bread flour\n300 ml water\n7 g instant yeast\n10 g salt\n1 tbsp butter\nMethod:\n"
    "Mix the flour, salt and yeast, add the water. Grease the tin with the butter and put the dough in.",
]


@pytest.mark.parametrize("text", GREASED)
def test_fat_that_only_greases_the_tin_is_not_sure(text):
    fat = answer(text)["lines"][4]
    assert (fat["ingredient"] in ("butter", "oil"), fat["section_sure"]) == (True, "likely")


@pytest.mark.parametrize("text", GREASED)
def test_fat_that_is_kneaded_in_too_is_sure(text):
    kneaded = "\nKnead in the butter.\nDie Butter unterkneten.\nPétrir avec le beurre.\nUnire l'olio."
    assert answer(f"{text}{kneaded}")["lines"][4]["section_sure"] == "sure"


@pytest.mark.parametrize("line", ["1 yaourt nature (125 g)", "1 yogur natural (125 g)"])
def test_one_thing_with_its_weight_in_parentheses_is_sure(line):
    found = answer(f"{WHOLE}{line}")["lines"][-1]
    assert (found["ingredient"], round(found["mass"]["best"]), found["sure"]) == ("yogurt", 125, "sure")


@pytest.mark.parametrize(
    "line, liquid, grams",
    [
        ("7 g instant yeast (dissolved in 50 ml water)", "water", 50),
        ("21 g Hefe (in 100 ml warmer Milch aufgelöst)", "whole_milk", 103),
        ("20 g de levure (délayée dans 5 cl de lait tiède)", "whole_milk", 52),
        ("12 g di lievito di birra (sciolto in 50 ml di acqua)", "water", 50),
        ("25 g de levadura fresca (disuelta en 50 ml de agua)", "water", 50),
        ("ドライイースト 3g（ぬるま湯50mlで溶く）", "water", 50),
        ("酵母5克（加50毫升温水化开）", "water", 50),
    ],
)
def test_the_liquid_in_parentheses_behind_the_yeast_is_not_lost(line, liquid, grams):
    found = answer(f"500 g bread flour\n{line}\n10 g salt")["lines"]
    assert [each["ingredient"] for each in found[2:-1]] == [liquid]
    assert (round(found[2]["mass"]["best"]), found[2]["sure"]) == (grams, "unsure")


@pytest.mark.parametrize(
    "inside", ["dissolved in 50 ml of the water", "or 21 g fresh", "1 packet", "from a 7 g packet"]
)
def test_what_else_parentheses_say_behind_the_yeast_adds_nothing(inside):
    found = answer(f"500 g bread flour\n7 g instant yeast ({inside})\n300 ml water\n10 g salt")["lines"]
    assert [each["ingredient"] for each in found] == ["bread_flour", "instant_yeast", "water", "salt"]


@pytest.mark.parametrize(
    "line, dry, liquid, grams",
    [
        ("20 g milk powder (mixed with 100 ml water)", "skim_milk_powder", "water", 100),
        ("4 tbsp skim milk powder (whisked into 60 ml warm water)", "skim_milk_powder", "water", 60),
        ("10 g cocoa powder (bloomed in 40 g hot water)", "cocoa_powder", "water", 40),
        ("25 g Milchpulver (in 120 ml Wasser aufgelöst)", "skim_milk_powder", "water", 120),
        ("50 g Haferflocken (mit 100 ml kochendem Wasser übergossen)", "rolled_oats", "water", 100),
        ("30 g de lait en poudre (délayé dans 150 ml d'eau)", "skim_milk_powder", "water", 150),
        ("10 g de sel (dissous dans 2 c. à s. d'eau)", "salt", "water", 30),
        ("20 g de leche en polvo (disuelta en 100 ml de agua)", "skim_milk_powder", "water", 100),
        ("15 g di cacao (mescolato con 40 g di acqua)", "cocoa_powder", "water", 40),
        ("スキムミルク 10g（水100mlで溶く）", "skim_milk_powder", "water", 100),
        ("抹茶粉 6克（加15克热水调成糊）", "matcha", "water", 15),
        ("鹽 4克(溶於水10克)", "salt", "water", 10),
    ],
)
def test_the_liquid_that_a_thing_is_dissolved_in_is_asked_about(line, dry, liquid, grams):
    found = answer(f"500 g bread flour\n{line}\n7 g instant yeast")["lines"]
    assert [each["ingredient"] for each in found[1:-1]] == [dry, liquid]
    assert (round(found[2]["mass"]["best"]), found[2]["sure"]) == (grams, "unsure")
    assert "amounts_differ" not in [doubt["code"] for doubt in found[1]["doubts"]]


@pytest.mark.parametrize(
    "line",
    [
        "30 g raisins (soaked in 50 ml rum)",
        "60 g sultanas soaked in 50 ml of warm rum",
        "100 g Rosinen (in 50 ml Rum eingeweicht)",
        "80 g de raisins secs (trempés dans 50 ml de rhum)",
        "60 g de pasas (remojadas en 50 ml de ron)",
        "80 g di uvetta (ammollata in 50 ml di rum)",
        "レーズン 50g（ラム酒50mlに漬ける）",
        "葡萄乾 50克（用蘭姆酒50ml浸泡）",
        "葡萄干 50克（朗姆酒50毫升浸泡）",
    ],
)
def test_what_fruit_is_soaked_in_is_no_dough_and_asked_about(line):
    raisins, rum = answer(f"{WHOLE}{line}")["lines"][-2:]
    assert (raisins["ingredient"], raisins["in_formula"]) == ("raisins", True)
    assert (rum["ingredient"], round(rum["mass"]["best"]), rum["in_formula"]) == ("rum", 47, False)
    assert rum["section_sure"] == "unsure"


def test_water_that_is_poured_off_dried_fruit_is_not_in_the_dough_for_sure():
    raisins, water = answer(f"{WHOLE}40 g raisins, soaked in 50 ml hot water and drained")["lines"][-2:]
    assert (raisins["in_formula"], water["in_formula"], water["section_sure"]) == (True, False, "unsure")


@pytest.mark.parametrize(
    "line", ["60 g sugar (dissolved in 50 ml of the water)", "20 g milk powder (or 200 ml milk)"]
)
def test_a_liquid_that_is_listed_already_or_would_do_instead_adds_nothing(line):
    assert len(answer(f"{WHOLE}{line}")["lines"]) == len(answer(WHOLE)["lines"]) + 1


@pytest.mark.parametrize(
    "old, dough",
    [
        ("Old dough (use 100 g of it)\n200 g flour\n130 g water\n4 g salt", "Dough\n400 g flour\n200 g milk"),
        ("Old dough (you need 100 g)\n200 g flour\n130 g water\n4 g salt", "Dough\n400 g flour\n200 g milk"),
        ("Alter Teig (davon 100 g)\n200 g Mehl\n130 g Wasser\n4 g Salz", "Teig\n400 g Mehl\n200 g Milch"),
        (
            "Teig vom Vortag\n200 g Mehl\n130 g Wasser\n4 g Salz",
            "Teig\n100 g vom Teig vom Vortag\n400 g Mehl",
        ),
        (
            "Pâte fermentée (prélever 100 g)\n200 g de farine\n130 g d'eau\n4 g de sel",
            "Pâte\n400 g de farine",
        ),
        (
            "Pâte d'hier\n200 g de farine\n130 g d'eau\n4 g de sel",
            "Pâte\n100 g de pâte d'hier\n400 g de farine",
        ),
        ("Masa vieja (usar 100 g)\n200 g de harina\n130 g de agua\n4 g de sal", "Masa\n400 g de harina"),
        (
            "Pasta di riporto (usarne 100 g)\n200 g di farina\n130 g di acqua\n4 g di sale",
            "Impasto\n400 g farina",
        ),
        ("老面（取100克）\n高筋面粉 200克\n水 130克\n盐 4克", "主面团\n高筋面粉 400克\n牛奶 200克"),
        ("老麵種（取用100g）\n高筋麵粉 200克\n水 130克\n鹽 4克", "主麵團\n高筋麵粉 400克\n牛奶 200克"),
        ("老麺生地(100g使用)\n強力粉 200g\n水 130g\n塩 4g", "本ごね\n強力粉 400g\n牛乳 200g"),
    ],
)
def test_of_an_old_dough_only_what_is_used_counts(old, dough):
    read = answer(f"{old}\n\n{dough}")["lines"]
    counted = [each for each in read if each["in_formula"]][:3]
    assert [round(each["mass"]["best"], 1) for each in counted] == [59.9, 38.9, 1.2]
    assert {each["sure"] for each in counted} == {"likely"}


@pytest.mark.parametrize("line", ["2 petits suisses", "2 yaourts", "2 yoghurts", "2 Joghurts", "2 tea bags"])
def test_a_few_pots_or_bags_are_no_grams(line):
    read = answer(f"500 g bread flour\n200 g milk\n40 g butter\n7 g yeast\n{line}")["lines"][-1]
    assert (read["sure"], read["in_formula"]) == ("not_read", False)


def test_a_number_of_what_is_weighed_is_grams_beside_grams():
    read = answer("500 g bread flour\n200 g milk\n40 g butter\n7 yeast\n30 yogurt")["lines"][-2:]
    assert [each["mass"]["best"] for each in read] == [7, 30]


TWO_COLUMNS = [
    ("|", "Ingredient|Cups|Grams", "Bread flour|3|400", "Milk|1|250", "Sugar|1/4|50"),
    ("|", "Ingredient|Grams|Cups", "Bread flour|400|3", "Milk|250|1", "Sugar|50|1/4"),
    ("|", "|US|g", "Bread flour|3 cups|400", "Milk|1 cup|250", "Sugar|1/4 cup|50"),
    ("|", "Ingredient|Amount|Weight (g)", "Bread flour|3 cups|400", "Milk|1 cup|250", "Sugar|4 tbsp|50"),
    (",", "Ingredient|Volume|Weight (g)", "Bread flour|3 cups|400", "Milk|1 cup|250", "Sugar|4 tbsp|50"),
    ("\t", "Ingredient|Volume|Grams", "Bread flour|3 cups|400", "Milk|1 cup|250", "Sugar|4 tbsp|50"),
    ("|", "Zutat|Tassen|Gramm", "Weizenmehl 550|3|400", "Milch|1|250", "Zucker|1/4|50"),
    ("|", "Ingrédient|Tasses|Grammes", "Farine de gruau|3|400", "Lait|1|250", "Sucre|1/4|50"),
    ("|", "Ingrediente|Tazas|Gramos", "Harina de fuerza|3|400", "Leche|1|250", "Azúcar|1/4|50"),
    ("|", "Ingrediente|Tazze|Grammi", "Farina manitoba|3|400", "Latte|1|250", "Zucchero|1/4|50"),
    ("|", "材料|杯|克", "高筋面粉|3|400", "牛奶|1|250", "糖|1/4|50"),
    ("|", "食材|杯/匙|公克", "高筋麵粉|3杯|400", "鮮奶|1杯|250", "糖|4大匙|50"),
]


@pytest.mark.parametrize("mark, head, rows", [(mark, head, rows) for mark, head, *rows in TWO_COLUMNS])
def test_of_cups_and_grams_in_a_table_the_grams_are_read(mark, head, rows):
    lines = [line.split("|") for line in (head, *rows)]
    if mark == "|":
        lines = [["", *cells, ""] for cells in (lines[0], ["---"] * len(lines[0]), *lines[1:])]
    assert list(grams(answer("\n".join(map(mark.join, lines)))).values()) == [400, 250, 50]


@pytest.mark.parametrize(
    "line, names",
    [
        ("Ingredientes: 500 g harina 0000, 25 g levadura, 60 g manteca, c/n agua", ["water"]),
        ("Ingredientes: 500 g harina 0000, 25 g levadura, 60 g manteca, agua c/n", ["water"]),
        ("Ingredientes: 500 g harina, 25 g levadura, 60 g manteca, sal a gusto", ["salt"]),
        (
            "Zutaten: 500 g Mehl, 20 g Hefe, 60 g Butter, etwas Milch, Wasser nach Bedarf",
            ["whole_milk", "water"],
        ),
        (
            "Ingredienti: 500 g farina, 20 g lievito, 60 g burro, sale q.b., latte q.b.",
            ["salt", "whole_milk"],
        ),
        (
            "Ingrédients : 500 g de farine, 20 g de levure, 60 g de beurre, sel, lait q.s.",
            ["salt", "whole_milk"],
        ),
        (
            "Ingredients: 500 g flour, 7 g yeast, 60 g butter, salt to taste, water as needed",
            ["salt", "water"],
        ),
        ("500 g Mehl, 300 g Wasser, Salz nach Geschmack", ["salt"]),
        ("500 g farina, 300 g acqua, sale q.b.", ["salt"]),
        ("500 g de farine, sel", ["salt"]),
        ("60 g butter, a little milk", ["whole_milk"]),
        ("バター20g、牛乳適量", ["whole_milk"]),
    ],
)
def test_what_a_line_lists_without_an_amount_is_named_as_not_read(line, names):
    read = answer(f"{line}\n10 g yogurt")["lines"][:-1]
    last = read[-len(names) :]
    assert [each["ingredient"] for each in last] == names
    assert {each["sure"] for each in last} == {"not_read"}


@pytest.mark.parametrize(
    "line", ["200 ml milk, a little more if needed", "50 g butter, unsalted", "1 egg, yolk"]
)
def test_what_only_says_more_of_one_thing_is_no_other_thing(line):
    assert len(answer(f"500 g flour\n{line}\n7 g yeast")["lines"]) == 3


@pytest.mark.parametrize(
    "line, low, high",
    [
        ("3 Tassen Weizenmehl 550 (1 Tasse = 250 ml)", 380, 450),
        ("3 cups bread flour (1 cup = 250 ml)", 380, 450),
        ("2 tazas de harina de fuerza (1 taza = 250 ml)", 250, 300),
        ("2 c. à s. de sucre (1 c. à s. = 15 g)", 30, 30),
        ("強力粉 2カップ(1カップ=200ml)", 200, 240),
        ("高筋面粉 2杯 (1杯=240毫升)", 240, 300),
        ("2 packets instant yeast (1 packet = 7 g)", 14, 14),
    ],
)
def test_what_one_cup_holds_is_said_of_each(line, low, high):
    read = answer(f"{line}\n100 g water")["lines"][0]
    assert low <= read["mass"]["best"] <= high and read["sure"] != "unsure"


@pytest.mark.parametrize(
    "line, masses",
    [
        ("Yudane: 50 g flour/50 g boiling water", [50, 50]),
        ("Kochstück: 25 g Mehl/125 g Wasser", [25, 125]),
        ("Tangzhong: 20 g de farine / 100 g de lait", [20, 100]),
        ("Per il milk roux: farina g 20, latte g 100", [20, 100]),
        ("Tangzhong: harina g 20, agua g 100", [20, 100]),
    ],
)
def test_the_liquid_of_a_scald_on_one_line_is_not_lost(line, masses):
    reply = answer(f"{line}\n300 g bread flour\n100 g milk\n3 g instant yeast\n6 g salt")
    scald = [each["mass"]["best"] for each in reply["lines"] if each["part"] == "scald" and each["mass"]]
    assert scald == masses and grams(reply)["dough", "bread_flour"] == 300


def test_a_weight_after_baking_is_no_flour():
    read = answer(f"{WHOLE}baked weight 450 g")["lines"][-1]
    assert (read["kind"], read["in_formula"]) == ("step", False)
