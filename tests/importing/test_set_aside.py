"""What a line says of its own amount, remarks, and names described from behind: a line or two a class."""

import pytest

from importing.test_classes import answer, parts

_DOUGH = {
    "en": "Dough\n500 g strong white bread flour\n7 g instant yeast\n",
    "de": "Hauptteig\n500 g Weizenmehl Type 550\n7 g Trockenhefe\n",
}


def _said(language, line):
    """(part, ingredient, grams) of each ingredient of a line below a flour and a yeast."""
    return parts(answer(f"{_DOUGH[language]}{line}"))[2:]


@pytest.mark.parametrize(
    "language, line, expected",
    [
        ("en", "100 g butter (70 g for the dough, 30 g for brushing)", ("dough", "butter", 70.0)),
        ("de", "100 g Butter (davon 20 g zum Bestreichen)", ("dough", "butter", 80.0)),
        ("de", "60 g Butter, 20 g davon für die Form", ("dough", "butter", 40.0)),
        ("de", "3 Eier (Größe M; davon 1 zum Bestreichen)", ("dough", "whole_egg", 94.0)),
        ("de", "2 Eier, eines davon zum Bestreichen", ("dough", "whole_egg", 50.0)),
        ("en", "3 eggs (one is for an egg wash)", ("dough", "whole_egg", 100.0)),
        ("en", "1 egg, half for the dough, half for glazing", ("dough", "whole_egg", 25.0)),
    ],
)
def test_a_part_for_the_crust_is_not_in_the_dough_and_never_sure(language, line, expected):
    reply = answer(f"{_DOUGH[language]}{line}")
    assert parts(reply)[2:] == [expected]
    assert reply["lines"][-1]["sure"] != "sure"


@pytest.mark.parametrize(
    "language, line, same_as",
    [
        ("de", "15 ml Sonnenblumen- oder Rapsöl", "15 ml Sonnenblumenöl oder Rapsöl"),
        ("en", "heaped 1 tsp salt", "1 heaped tsp salt"),
        ("en", "2 tbsp sugar (heaped)", "2 heaped tbsp sugar"),
        ("en", "heaped tablespoon of honey", "1 heaped tablespoon of honey"),
        ("de", "2 EL, gehäuft Zucker", "2 gehäufte EL Zucker"),
        ("de", "1 P. Trockenhefe", "1 Pck. Trockenhefe"),
        ("en", "1 dessertspoon sugar", "2 teaspoons (10 ml) sugar"),
        ("en", "1/2 egg (25 g), other half for egg wash", "1/2 egg (25 g)"),
        ("en", "125 ml milk (not skimmed)", "125 ml milk"),
    ],
)
def test_one_thing_said_in_two_ways(language, line, same_as):
    (read,), (same,) = _said(language, line), _said(language, same_as)
    assert read[:2] == same[:2]
    assert read[2] == pytest.approx(same[2], rel=0.03)


@pytest.mark.parametrize(
    "language, line, expected",
    [
        ("de", "250 g Milch, fettarm", ("dough", "semi_skimmed_milk", 250.0)),
        ("de", "4 g Hefe (frisch)", ("dough", "compressed_yeast", 4.0)),
        ("de", "10 g Backmalz (inaktiv)", ("dough", "dried_malt_extract", 10.0)),
        ("en", "100 g stone ground rye flour", ("dough", "rye_flour", 100.0)),
        ("en", "zest of one large lemon", ("dough", "lemon_zest", 5.0)),
        ("en", "100 g cooked, mashed sweet potato", ("dough", "sweet_potato", 100.0)),
    ],
)
def test_what_describes_a_name_from_behind(language, line, expected):
    assert _said(language, line) == [expected]


@pytest.mark.parametrize(
    "language, line",
    [
        ("de", "1 Eigelb, verquirlt mit etwas Sahne, zum Bestreichen"),
        ("de", "1 Eigelb verquirlt mit 1 EL Milch"),
        ("en", "1 egg beaten with 1 tbsp milk"),
        ("de", "1 Eigelb (verquirlt mit 1 EL Wasser)"),
    ],
)
def test_an_egg_that_is_thinned_is_a_wash(language, line):
    assert {part for part, _, _ in _said(language, line)} == {"aside"}


def test_an_amount_is_for_each_of_the_names_behind_it():
    assert _said("de", "je 50 g Butter und Zucker") == [("dough", "butter", 50.0), ("dough", "sucrose", 50.0)]


def test_a_spoon_for_the_yeast_is_no_yeast():
    assert [name for _, name, _ in _said("de", "60 g Zucker + 1 TL für die Hefe")] == ["sucrose"]


def test_a_scald_named_behind_both_of_its_ingredients_has_both():
    reply = answer("25 g bread flour + 125 g milk for the tangzhong\n280 g bread flour\n5 g salt")
    assert parts(reply)[:2] == [("scald", "bread_flour", 25.0), ("scald", "whole_milk", 125.0)]


@pytest.mark.parametrize(
    "line", ["* 3g of yeast is slightly less than 1 tsp", "The protein of the bread flour is important here"]
)
def test_a_remark_about_an_ingredient_is_none(line):
    assert not any(each["in_formula"] for each in answer(f"{_DOUGH['en']}{line}")["lines"][3:])


@pytest.mark.parametrize(
    "heading, line, expected",
    [
        ("", "30 g breadcrumbs", ("dough", "breadcrumbs", "likely")),
        ("Dough\n", "30 g breadcrumbs", ("dough", "breadcrumbs", "sure")),
        ("", "30 g breadcrumbs, for coating", ("aside", "breadcrumbs", "sure")),
        ("", "1 tsp dried oregano", ("dough", "dried_herbs", "likely")),
        ("Dough\n", "10 g Backmittel", ("dough", "bread_improver", "sure")),
        ("Dough\n", "50 g panko", ("aside", None, "not_read")),
        ("Dough\n", "250 ml black tea", ("dough", "water", "likely")),
        ("Dough\n", "10 g fresh oregano", ("dough", None, "not_read")),
        ("Dough\n", "50 g fresh breadcrumbs", ("dough", None, "not_read")),
        ("Dough\n", "100 g red pepper", ("aside", None, "not_read")),
        ("Dough\n", "200 g self raising flour", ("dough", None, "not_read")),
        ("Dough\n", "30 g Mandelmehl", ("dough", None, "not_read")),
        ("Dough\n", "300 ml plant milk", ("dough", "soy_milk", "likely")),
    ],
)
def test_what_may_be_of_a_filling_or_another_thing_is_never_sure(heading, line, expected):
    read = answer(f"{heading}500 g strong white bread flour\n7 g instant yeast\n300 g water\n{line}")[
        "lines"
    ][-1]
    assert (read["part"], read["ingredient"], read["sure"]) == expected, read["why"]


@pytest.mark.parametrize(
    "language, line",
    [
        ("de", "300 ml Pflanzenmilch"),
        ("fr", "300 ml de lait végétal"),
        ("es", "300 ml de leche vegetal"),
        ("it", "300 ml di latte vegetale"),
        ("zh-Hant", "植物奶 300ml"),
    ],
)
def test_plant_milk_of_no_kind_is_asked_about(language, line):
    flour = {"fr": "500 g de farine T55", "es": "500 g de harina de fuerza", "it": "500 g di farina 00"}
    first = flour.get(language, "高筋麵粉 500g" if language == "zh-Hant" else "500 g Weizenmehl Type 550")
    read = answer(f"{first}\n{line}")["lines"][-1]
    assert read["ingredient"] == "soy_milk" and read["sure"] == "likely"
    assert [each["code"] for each in read["doubts"]] == ["plant_milk_kind"]
    assert read["alternatives"] == ["oat_milk", "almond_milk"]


@pytest.mark.parametrize(
    "line",
    [
        "500 g bread flour\n100 g cashew milk",
        "500 g Weizenmehl Type 550\n100 g Reismilch",
        "500 g de farine T55\n100 g de lait de noisette",
        "500 g de harina de fuerza\n100 g de leche de arroz",
        "500 g di farina 00\n100 g di latte di riso",
        "強力粉 500g\nカシューミルク 100g",
        "高筋面粉500克\n腰果奶100克",
        "高筋麵粉500克\n榛果奶100克",
    ],
)
def test_a_plant_milk_that_the_catalogue_lacks_is_read_as_a_like_one_and_asked_about(line):
    read = answer(line)["lines"][-1]
    assert read["ingredient"] == "almond_milk" and read["sure"] == "likely"
    assert [each["code"] for each in read["doubts"]] == ["plant_milk_kind"]


@pytest.mark.parametrize(
    "line, expected",
    [
        ("1 egg yolk, save the white for glazing", ("dough", "egg_yolk", 17.0)),
        ("1 egg yolk (reserve the white for the egg wash)", ("dough", "egg_yolk", 17.0)),
        ("1 egg white (keep the yolk for brushing)", ("dough", "egg_white", 33.0)),
        ("1 Eigelb, Eiweiß zum Bestreichen aufheben", ("dough", "egg_yolk", 17.0)),
        ("1 jaune d'œuf (garder le blanc pour la dorure)", ("dough", "egg_yolk", 17.0)),
        ("1 yema, reservar la clara para pintar", ("dough", "egg_yolk", 17.0)),
        ("1 tuorlo (conservare l'albume per spennellare)", ("dough", "egg_yolk", 17.0)),
        ("卵黄1個（卵白は塗り用にとっておく）", ("dough", "egg_yolk", 17.0)),
        ("蛋黄1个（蛋白留着刷面）", ("dough", "egg_yolk", 17.0)),
        ("1 egg yolk, save the yolk for glazing", ("aside", "egg_yolk", 17.0)),
    ],
)
def test_the_other_part_of_the_egg_is_kept_for_the_crust_not_this_one(line, expected):
    assert _said("en", line) == [expected]


@pytest.mark.parametrize(
    "line",
    [
        "1 egg, separated, white kept for brushing",
        "2 eggs, 1 yolk reserved for egg wash",
        "1 Ei, das Eigelb zum Bestreichen aufheben",
        "1 œuf, réserver le jaune pour la dorure",
    ],
)
def test_a_whole_egg_of_which_a_part_is_for_the_crust_is_asked_about(line):
    reply = answer(f"{_DOUGH['en']}{line}")
    egg = next(each for each in reply["lines"] if each["ingredient"] == "whole_egg")
    assert egg["part"] == "dough" and egg["sure"] == "likely"
    assert "part_not_dough" in [doubt["code"] for doubt in egg["doubts"]]


@pytest.mark.parametrize(
    "line",
    [
        "1 egg, divided (yolk in the dough, white for the glaze)",
        "1 œuf (le jaune pour la pâte, le blanc pour dorer)",
        "卵 1個（卵黄は生地、卵白は塗り用）",
    ],
)
def test_an_egg_whose_parts_go_apart_is_asked_about(line):
    (read,) = [each for each in answer(f"{_DOUGH['en']}{line}")["lines"] if each["ingredient"] == "whole_egg"]
    assert read["in_formula"] and read["sure"] == "unsure"


@pytest.mark.parametrize(
    "line",
    [
        "500 g plain flour, of which 100 g wholemeal flour",
        "500 g plain flour (of which 100 g wholemeal flour)",
        "500 g de farine T55 dont 100 g de farine complète",
        "500 g di farina 0, di cui 100 g di farina integrale",
        "500 g de harina de trigo, de los cuales 100 g de harina integral",
    ],
)
def test_a_flour_of_which_another_is_a_part_weighs_less(line):
    flours = [
        (name, grams) for _, name, grams in parts(answer(f"{line}\n7 g salt\n300 g water")) if "flour" in name
    ]
    assert flours == [("plain_flour", 400.0), ("whole_wheat_flour", 100.0)]


def test_some_for_the_tin_said_below_a_line_opens_no_part():
    text = (
        "500 g bread flour\n  sifted, plus extra for dusting\n300 g milk\nplus a little for the tin\n9 g salt"
    )
    assert [grams for _, _, grams in parts(answer(text))] == [500.0, 300.0, 9.0]


@pytest.mark.parametrize(
    "line, name, grams",
    [
        ("30 g sugar, of which 5 g for the yeast", "sucrose", 30),
        ("30 g Zucker (davon 5 g für die Hefe)", "sucrose", 30),
        ("130 g milk of which 30 g to dissolve the yeast", "whole_milk", 130),
        ("35 g de sucre dont 5 g pour la levure", "sucrose", 35),
    ],
)
def test_a_part_for_the_yeast_is_in_the_dough_too(line, name, grams):
    (read,) = [each for each in answer(f"{_DOUGH['en']}{line}")["lines"] if each["ingredient"] == name]
    assert read["in_formula"] and read["mass"]["best"] == grams and read["sure"] == "sure"


@pytest.mark.parametrize(
    "line",
    [
        "1 œuf de plus pour dorer",
        "2 œufs de plus pour la dorure",
        "un œuf en plus pour dorer",
        "one more egg for brushing",
        "1 weiteres Ei zum Bestreichen",
        "noch ein Ei zum Bepinseln",
        "1 huevo más para pintar",
        "1 huevo de más para pintar",
        "un uovo in più per spennellare",
        "もう1個(ツヤ出し用)",
        "另外1个鸡蛋刷表面",
        "另一顆蛋 刷表面",
    ],
)
def test_one_more_egg_for_the_crust_is_no_dough(line):
    read = answer(f"500 g bread flour\n2 eggs\n7 g instant yeast\n{line}")["lines"]
    assert (read[-1]["part"], read[-1]["in_formula"]) == ("aside", False)
    assert read[1]["mass"]["best"] == 100
