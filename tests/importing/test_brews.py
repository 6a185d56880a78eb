"""Tea, coffee and juice of leaves or roots in place of water, and what dried fruit is soaked in."""

import pytest

from importing.readings import lines_of

WHOLE = "500 g bread flour\n20 g sugar\n7 g instant yeast\n10 g salt\n"


@pytest.mark.parametrize(
    "line",
    [
        "200 g strong tea",
        "200 g brewed coffee",
        "200 g spinach juice",
        "200 g Kaffee",
        "200 g starker schwarzer Tee",
        "200 g Rote-Bete-Saft",
        "200 g de café fort",
        "200 g de thé noir infusé",
        "200 g de jus de betterave",
        "200 g d'infusion de verveine",
        "200 g de café",
        "200 g de té negro",
        "200 g de jugo de remolacha",
        "200 g di caffè",
        "200 g di tè nero",
        "200 g di succo di barbabietola",
        "紅茶 200g",
        "濃いめの紅茶液 200g",
        "コーヒー 200g",
        "ほうじ茶 200g",
        "菠菜汁 200克",
        "抹茶液 200克",
        "咖啡液 200克",
        "紅茶水 200克",
        "甜菜根汁 200克",
    ],
)
def test_a_brew_is_read_as_water_and_never_sure(line):
    read = lines_of(f"{WHOLE}{line}")[-1]
    assert (read["ingredient"], read["mass"]["best"], read["in_formula"]) == ("water", 200, True)
    assert read["sure"] != "sure" and "brew" in [doubt["code"] for doubt in read["doubts"]]


@pytest.mark.parametrize(
    "line, name",
    [
        ("10 g instant coffee", "instant_coffee"),
        ("5 g tea leaves", "tea_leaves"),
        ("5 g Teeblätter", "tea_leaves"),
        ("6 g matcha", "matcha"),
        ("インスタントコーヒー 5g", "instant_coffee"),
        ("伯爵茶葉 5克", "tea_leaves"),
        ("抹茶粉 6克", "matcha"),
        ("5 g coffee creamer", "whole_milk_powder"),
    ],
)
def test_what_a_brew_is_made_of_is_no_water(line, name):
    assert lines_of(f"{WHOLE}{line}")[-1]["ingredient"] == name


@pytest.mark.parametrize(
    "soaked, dough",
    [
        ("Soaked Fruit\n140 g raisins\n100 g rum", "Dough\n500 g bread flour\n250 g milk"),
        ("Soaked fruit\n140 g sultanas\n100 g black tea", "Dough\n500 g bread flour\n250 g milk"),
        ("Eingeweichte Rosinen\n80 g Rosinen\n100 g Rum", "Teig\n500 g Mehl\n250 g Milch"),
        ("Uvetta ammollata\n80 g uvetta\n100 g acqua", "Impasto\n500 g di farina\n250 g di latte"),
        ("酒渍葡萄干\n葡萄干 80克\n朗姆酒 100克", "面团\n高筋面粉 500克\n牛奶 250克"),
    ],
)
def test_the_liquid_of_a_list_of_soaked_fruit_is_no_dough_and_asked_about(soaked, dough):
    read = {line["mass"]["best"]: line for line in lines_of(f"{soaked}\n\n{dough}") if line["mass"]}
    assert not read[100.0]["in_formula"] and read[100.0]["section_sure"] == "unsure"
    assert read[250.0]["in_formula"] and read[500.0]["in_formula"]


def test_a_list_of_a_soaker_with_seeds_keeps_its_water():
    text = "Soaked seeds\n50 g sunflower seeds\n100 g water\n\nDough\n500 g bread flour\n250 g milk"
    assert [line["mass"]["best"] for line in lines_of(text) if line["in_formula"]] == [50, 100, 500, 250]
