"""What recipes list beside flour, liquid, fat and yeast: flavours, fillings, tools, washes, remarks."""

import pytest

from scaldloaf.importing.words.doubt import TEXTS
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT
from scaldloaf.operations.schemas.replies.recipe_import import ReadDoubt


def answer(text, **body):
    return perform(RECIPE_IMPORT, {"text": text, **body})


def only(text, **body):
    """The last line of a recipe, as read."""
    return answer(text, **body)["lines"][-1]


DOUGH = {
    "en": "Dough:\n300 g bread flour\n180 g water\n5 g instant yeast",
    "de": "Teig:\n300 g Weizenmehl 550\n180 g Wasser\n5 g Trockenhefe",
    "fr": "Pour la pâte :\n300 g de farine T45\n180 g d'eau\n12 g de levure fraîche",
    "es": "Masa:\n300 g de harina de fuerza\n180 g de agua\n12 g de levadura fresca",
    "it": "Impasto:\n300 g farina 00\n180 g acqua\n12 g lievito di birra fresco",
    "ja": "本生地:\n強力粉 300g\n水 180g\nインスタントドライイースト 3g",
    "zh-Hans": "主面团:\n高筋面粉 300克\n水 180克\n耐高糖酵母 3克",
    "zh-Hant": "主麵糰:\n高筋麵粉 300克\n水 180克\n速發酵母 3克",
}


@pytest.mark.parametrize(
    "language, line, name, grams",
    [
        ("en", "50 g dried cranberries", "dried_cranberries", 50),
        ("en", "70 g chocolate chips", "dark_chocolate", 70),
        ("en", "80 g grated cheddar cheese", "hard_cheese", 80),
        ("en", "10 g matcha powder", "matcha", 10),
        ("de", "1 Päckchen Vanillezucker", "vanilla_sugar", 8),
        ("de", "40 g gehackte Walnüsse", "walnuts", 40),
        ("de", "100 g Magerquark", "quark", 100),
        ("fr", "20 g d'eau de fleur d'oranger", "orange_flower_water", 20),
        ("fr", "60 g de pépites de chocolat", "dark_chocolate", 60),
        ("es", "2 g de anís en grano", "aniseed", 2),
        ("es", "15 g de ron", "rum", 15),
        ("it", "50 g di uvetta", "raisins", 50),
        ("it", "60 g di arancia candita", "candied_peel", 60),
        ("ja", "抹茶 6g", "matcha", 6),
        ("ja", "くるみ 40g", "walnuts", 40),
        ("zh-Hans", "蔓越莓干 50克", "dried_cranberries", 50),
        ("zh-Hans", "南瓜泥 100克", "pumpkin_puree", 100),
        ("zh-Hant", "紫薯泥 100克", "sweet_potato", 100),
    ],
)
def test_what_a_dough_may_hold_besides_is_read_as_what_it_is(language, line, name, grams):
    read = only(f"{DOUGH[language]}\n{line}")
    assert (read["ingredient"], read["part"], read["sure"]) == (name, "dough", "sure"), read["why"]
    assert read["mass"]["best"] == pytest.approx(grams) and read["in_formula"]


def test_what_may_be_of_a_filling_is_not_sure_without_a_heading():
    lines = "\n".join(DOUGH["en"].splitlines()[1:])
    assert only(f"{lines}\n10 g cinnamon")["section_sure"] == "likely"
    assert only(f"{DOUGH['en']}\n10 g cinnamon")["section_sure"] == "sure"


@pytest.mark.parametrize(
    "language, line",
    [
        ("en", "200 g red bean paste"),
        ("en", "pearl sugar"),
        ("de", "100 g Marmelade"),
        ("de", "3 EL Hagelzucker"),
        ("fr", "150 g de pâte à tartiner"),
        ("es", "100 g de frutas confitadas"),
        ("it", "100 g di marmellata"),
        ("ja", "粒あん 200g"),
        ("zh-Hans", "红豆沙 200克"),
        ("zh-Hans", "肉松 适量"),
        ("zh-Hant", "紅豆沙 200克"),
    ],
)
def test_what_only_fillings_and_crusts_have_is_no_dough(language, line):
    read = only(f"{DOUGH[language]}\n{line}")
    assert read["part"] == "aside" and not read["in_formula"]


@pytest.mark.parametrize(
    "language, line",
    [
        ("en", "Stand mixer"),
        ("de", "Küchenmaschine"),
        ("de", "Pinsel"),
        ("fr", "Moule à cake"),
        ("es", "Papel de horno"),
        ("it", "Planetaria"),
        ("ja", "めん棒"),
        ("zh-Hans", "不粘烤盘 一个"),
        ("zh-Hant", "烤盤紙 1張"),
    ],
)
def test_a_tool_is_no_dough(language, line):
    read = only(f"{DOUGH[language]}\n{line}")
    assert read["part"] == "aside" and not read["in_formula"]


@pytest.mark.parametrize(
    "text, part",
    [
        ("Zutaten\n500 g Mehl\n300 ml Milch\n1 Würfel Hefe\nPâte à tartiner:\n40 g Butter", "aside"),
        ("{de}\nGesamt:\n300 g Mehl", "aside"),
        ("{zh-Hans}\n总计\n面粉 300克", "aside"),
    ],
)
def test_headings_of_fillings_and_totals_open_no_dough(text, part):
    for language, dough in DOUGH.items():
        text = text.replace(f"{{{language}}}", dough)
    assert only(text)["part"] == part


def test_a_sponge_named_again_is_no_line_of_its_own():
    read = only(f"Vorteig:\n50 g Mehl\n50 g Wasser\n1 g Hefe\nHauptteig:\n{DOUGH['de']}\nVorteig")
    assert not read["in_formula"] and (read["kind"] != "ingredient" or read["part"] == "aside")


@pytest.mark.parametrize(
    "line",
    [
        "Yield: 2 loaves of 450 g",
        "Prep time: 20 minutes",
        "Temps de préparation : 30 min",
        "Cuisson : 25 minutes",
        "Backzeit: 40 Minuten",
        "Tiempo de preparación: 30 minutos",
        "Tempo di cottura: 30 minuti",
        "調理時間:60分",
        "烘烤时间:30分钟",
    ],
)
def test_a_line_about_the_recipe_is_no_ingredient(line):
    (read,) = answer(f"{line}\n300 g bread flour")["lines"][:1]
    assert read["kind"] == "step"


def test_a_step_may_start_with_a_time():
    read = only(f"{DOUGH['de']}\n10 Minuten mit der Küchenmaschine kneten")
    assert read["kind"] == "step"


# What the method brushes on


@pytest.mark.parametrize(
    "lines, method",
    [
        ("2 Eier\n1 Eigelb", "Zubereitung:\nZum Schluss mit dem Eigelb bestreichen und backen."),
        ("2 eggs\n1 egg yolk", "Method:\nBrush with the egg yolk and bake."),
        ("2 œufs\n1 jaune d'œuf", "Préparation :\nBadigeonner de jaune d'œuf et enfourner."),
        ("2 huevos\n1 yema", "Preparación:\nPintar con la yema y hornear."),
        ("2 uova\n1 tuorlo", "Procedimento:\nSpennellare con il tuorlo e infornare."),
    ],
)
def test_a_yolk_that_the_method_brushes_on_is_no_dough(lines, method):
    text = f"300 g flour\n150 g water\n5 g instant yeast\n{lines}\n"
    plain, washed = answer(text), answer(f"{text}\n{method}")
    assert [line["part"] for line in plain["lines"]] == ["dough"] * 5
    yolk = washed["lines"][4]
    assert (yolk["part"], yolk["section_sure"]) == ("aside", "likely") and "brushes" in yolk["why"]
    assert washed["lines"][3]["part"] == "dough"


def test_a_yolk_that_the_method_kneads_in_stays():
    text = (
        "300 g flour\n150 g water\n5 g instant yeast\n2 eggs\n1 egg yolk\n\nMethod:\nKnead with the egg yolk."
    )
    assert answer(f"{text} Brush with egg yolk.")["lines"][4]["part"] == "dough"


def test_flour_and_yeast_make_a_dough_whatever_the_heading_says():
    reply = answer("For the toppings:\n250 g bread flour\n150 g milk\n5 g instant yeast\n30 g butter")
    lines = [line for line in reply["lines"] if line["kind"] == "ingredient"]
    assert {line["part"] for line in lines} == {"dough"} and {line["section_sure"] for line in lines} == {
        "unsure"
    }


@pytest.mark.parametrize(
    "language, line, name, grams",
    [
        ("en", "Grated zest of 1 lemon", "lemon_zest", 5),
        ("en", "1 orange zest", "orange_zest", 8),
        ("de", "Schale 1/2 Zitrone", "lemon_zest", 2.5),
        ("de", "1 Bio-Zitrone (abgeriebene Schale)", "lemon_zest", 5),
        ("es", "Ralladura de 1 naranja", "orange_zest", 8),
        ("fr", "Zeste d'1 citron", "lemon_zest", 5),
        ("it", "scorza grattugiata di 1 limone", "lemon_zest", 5),
        ("ja", "レモンの皮 1/2個分", "lemon_zest", 2.5),
        ("en", "juice of 1 lemon", "lemon_juice", 45),
        ("de", "Saft 1/2 Zitrone", "lemon_juice", 22.5),
        ("fr", "jus de 1 citron", "lemon_juice", 45),
        ("es", "jugo de 1 naranja", "orange_juice", 80),
        ("it", "succo di 1 limone", "lemon_juice", 45),
        ("zh-Hant", "檸檬汁 半個", "lemon_juice", 22.5),
    ],
)
def test_zest_and_juice_are_weighed_by_the_fruit_but_never_for_sure(language, line, name, grams):
    read = only(f"{DOUGH[language]}\n{line}")
    assert (read["ingredient"], read["mass"]["best"]) == (name, pytest.approx(grams))
    assert read["mass"]["low"] < grams < read["mass"]["high"] and read["in_formula"]
    assert "fruit_size" in [doubt["code"] for doubt in read["doubts"]] and read["sure"] == "likely"


_WHOLE = "300 g bread flour\n30 g sugar\n5 g salt\n5 g instant yeast\n150 g milk\n40 g butter\n"


@pytest.mark.parametrize(
    "behind",
    [
        "130 g butter\n100 g sugar",
        "130 g butter\n100 g sugar\n1 egg\n50 g raisins",
        "60 g plain flour\n50 g butter\n40 g icing sugar",
        "120 g bread flour\n1 tsp baking powder\n150 g water\n10 g sesame oil",
    ],
)
def test_a_list_that_starts_again_behind_a_whole_dough_is_set_aside_but_never_for_sure(behind):
    lines = answer(_WHOLE + behind)["lines"]
    dough, beside = lines[:6], lines[6:]
    assert all(line["in_formula"] and line["part"] == "dough" for line in dough)
    assert [(line["part"], line["in_formula"]) for line in beside] == [("aside", False)] * len(beside)
    assert all("starts_again" in [doubt["code"] for doubt in line["doubts"]] for line in beside)


@pytest.mark.parametrize(
    "behind", ["50 g butter", "60 g sugar", "200 g bread flour\n4 g instant yeast\n100 g milk"]
)
def test_one_line_again_or_a_second_dough_stays_in_the_formula_and_is_asked_about(behind):
    beside = answer(_WHOLE + behind)["lines"][6:]
    assert all(line["in_formula"] and line["section_sure"] != "sure" for line in beside)


def test_all_of_a_line_is_for_the_filling_that_it_ends_with():
    reply = answer(f"{DOUGH['de']}\n100 g weiche Butter, 70 g Zucker, 2 TL Zimt für die Füllung")
    assert [line["part"] for line in reply["lines"][-3:]] == ["aside"] * 3


def test_a_list_on_one_line_is_not_all_of_the_wash_at_its_end():
    reply = answer("500 g Mehl, 250 ml Milch, 50 g Butter, 42 g frische Hefe, 3 EL Hagelzucker")
    assert [line["part"] for line in reply["lines"]] == ["dough"] * 4 + ["aside"]


@pytest.mark.parametrize(
    "text",
    [
        "高筋面粉270克,汤种90克,盐4克,酵母3克,水100克\n做法:\n汤种的做法:25克高粉加125克水搅拌均匀,小火加热。",
        "270 g bread flour\n90 g tangzhong\n4 g salt\n3 g yeast\n100 g water\n\nMethod:\n"
        "For the tangzhong cook 25 g bread flour and 125 g water in a saucepan.",
    ],
)
def test_a_scald_of_which_the_list_has_only_the_mass_is_made_of_what_the_method_says(text):
    reply = answer(text)
    scald = [line for line in reply["formula"]["lines"] if line["part"] == "scald"]
    assert [(line["ingredient"], round(line["mass"], 1)) for line in scald] == [
        ("bread_flour", 15.0),
        ("water", 75.0),
    ]
    flour = sum(line["mass"] for line in reply["formula"]["lines"] if line["ingredient"] == "bread_flour")
    assert flour == pytest.approx(285)


# Words


@pytest.mark.parametrize(
    "line, name",
    [
        ("250 ml tiefenentspannte Sahne", "cream"),
        ("100 g sonnengereifte Sahne", "cream"),
        ("50 g de beurre truc", "butter"),
        ("80 g di burro qualunquissimo", "butter"),
        ("爱乐薇黄油 30克", "butter"),
    ],
)
def test_an_unknown_adjective_is_no_other_thing_and_never_sure(read, line, name):
    reading = read(line)
    assert (reading.ingredient and reading.ingredient.name, reading.sure) == (name, "unsure"), reading.why


@pytest.mark.parametrize("line", ["300 g glutenfreies Mehl", "100 g beurre de truc", "1 veganes Ei"])
def test_words_that_make_another_thing_still_do(read, line):
    assert read(line).ingredient is None


@pytest.mark.parametrize(
    "line, name",
    [("3 rossi d’uovo", "egg_yolk"), ("zeste d'un citron", "lemon_zest"), ("2 jaunes d'œufs", "egg_yolk")],
)
def test_articles_that_a_word_swallowed_make_no_difference(read, line, name):
    assert read(line).ingredient.name == name


def test_what_would_do_instead_is_not_a_second_amount(read):
    reading = read("1 cucharada de miel (puedes sustituirlo por 10 g de azúcar)")
    assert reading.ingredient.name == "honey" and reading.mass.best > 15


@pytest.mark.parametrize(
    "lines, grams",
    [
        (("500 g Mehl", "1 Würfel Hefe"), 42),
        (("500 g di farina", "1 cubetto di lievito di birra"), 25),
        (("500 g di farina", "1 lievito di birra fresco"), 25),
        (("500 g Mehl", "1/2 Hefewürfel"), 21),
        (("500 g Mehl", "1/2 Packung frische Hefe"), 21),
    ],
)
def test_cubes_of_yeast_are_those_of_the_country(read_all, lines, grams):
    assert read_all(*lines)[-1].mass.best == grams


def test_a_flour_between_white_and_wholemeal_says_so(read):
    reading = read("250 g Weizenmehl 1050")
    assert reading.sure == "likely" and "whole_wheat_flour" in reading.alternatives


# Reasons that a page can say in its own language


def test_each_doubt_has_a_code_a_level_and_values():
    reply = answer("300 g flour\n1 cup milk\n2 eggs\n10 g houmous\n1,250 g salt")
    doubts = [doubt for line in reply["lines"] for doubt in line["doubts"]]
    assert {"flour_kind", "milk_fat", "egg_size", "not_in_catalogue", "us_measure"} <= {
        doubt["code"] for doubt in doubts
    }
    for line in reply["lines"]:
        said = [
            TEXTS[doubt["code"]].format(**doubt["values"])
            for doubt in line["doubts"]
            if doubt["level"] != "sure"
        ]
        assert line["why"] == "; ".join(dict.fromkeys(said))


def test_the_document_has_every_code():
    assert set(ReadDoubt._declared_fields["code"].keywords()["enum"]) == set(TEXTS)


def test_milk_and_eggs_under_a_heading_of_the_dough_are_sure():
    under, flat = (only(f"{head}300 g bread flour\n5 g salt\n2 eggs") for head in ("Dough:\n", ""))
    assert (under["sure"], flat["sure"]) == ("sure", "likely") and under["mass"]["low"] < under["mass"][
        "best"
    ]
    assert [doubt["level"] for doubt in under["doubts"]] == ["sure"] and under["why"] == ""


def test_a_spoon_of_something_loose_is_not_sure(read):
    assert read("2 tbsp skim milk powder", cup="us").sure == "likely"
    assert read("10 g skim milk powder").sure == "sure"


@pytest.mark.parametrize(
    "line, grams",
    [
        ("500 g bread flour (2 €/kg)", 500),
        ("500 g bread flour, £1.20 per kg", 500),
        ("500 g bread flour $0.50 / 500 g", 500),
        ("500 g de farine T55 1,20 € le kilo", 500),
        ("500 g Weizenmehl 550 0,89 € pro kg", 500),
        ("強力粉 250g(238円/kg)", 250),
        ("高筋麵粉 300克 50元/公斤", 300),
    ],
)
def test_the_price_of_so_much_is_no_amount(line, grams):
    assert answer(f"{line}\n5 g instant yeast")["lines"][0]["mass"]["best"] == pytest.approx(grams)


def test_a_list_of_prices_behind_the_list_adds_nothing():
    listed = "強力粉 410g\n水 290ml\n塩 8g\nドライイースト 3g\n"
    prices = "■コスト\n- 強力粉 238円/1kg ⇒ 97.5円\n- 塩 100円/1kg ⇒ 0.8円"
    formula = answer(listed + prices)["formula"]["lines"]
    assert [round(line["mass"]) for line in formula] == [410, 289, 8, 3]


@pytest.mark.parametrize("line, grams", [("375 strong flour", 375), ("3 strong flour", None)])
def test_the_only_flour_of_a_large_number_counts_grams_but_never_for_sure(line, grams):
    read = answer(f"2.5 tsp dried yeast\n{line}\n1.5 tsp salt\n5 eggs")["lines"][1]
    assert (read["mass"] and read["mass"]["best"]) == grams
    assert read["sure"] == ("unsure" if grams else "not_read")


def test_a_number_beside_a_second_flour_is_left_unread():
    lines = answer("300 g bread flour\n200 strong flour\n1 tsp instant yeast\n1.5 tsp salt")["lines"]
    assert lines[1]["sure"] == "not_read"
