"""Parts of a list that no heading names, or one that is not known: where a scald ends, crusts, totals."""

import re

import pytest

from importing.readings import lines_of, sure_or_not, weighed

DOUGH = "300 g bread flour\n100 g milk\n40 g sugar\n5 g salt\n6 g instant yeast\n40 g butter"
REST = "40 g sugar\n100 g milk\n5 g salt\n40 g butter"
CRUST = "60 g butter\n1 large egg yolk\n110 g plain flour\n90 g icing sugar"


def parts(text):
    """Ingredient -> its part, of what is read under each line; the last of several."""
    return {line["ingredient"]: line["part"] for line in lines_of(text) if line["kind"] == "ingredient"}


def dough_g(text):
    return sum(grams for part, _, grams in weighed(text) if part == "dough")


@pytest.mark.parametrize(
    "first, second",
    [
        ("Ingredients: the bun", "Ingredients: the pastry"),
        ("Ingredients - bun", "Ingredients - sweet layer"),
        ("Ingredients for the dough:", "Ingredients for the pastry:"),
        ("Bun", "Pastry:"),
        ("Bun", "The pineapple pastry"),
        ("Zutaten: Teig", "Zutaten: Kruste oben"),
        ("Ingrédients : la pâte", "Ingrédients pour le dessus :"),
    ],
)
def test_a_rich_list_without_yeast_behind_a_dough_is_a_crust(first, second):
    text = f"{first}\n500 g bread flour\n10 g instant yeast\n280 g water\n{second}\n{CRUST}"
    assert weighed(text) == [
        ("dough", "bread_flour", 500),
        ("dough", "instant_yeast", 10),
        ("dough", "water", 280),
    ]


def test_a_second_list_with_salt_or_behind_a_sponge_stays_dough():
    salted = f"Bun\n500 g bread flour\n10 g instant yeast\n280 g water\nNext stage:\n{CRUST}\n9 g salt"
    assert dough_g(salted) > 1000
    sponge = f"Sponge\n300 g bread flour\n5 g instant yeast\n200 g water\nNext stage:\n{CRUST}"
    assert dough_g(sponge) > 700


def test_a_heading_of_a_list_of_something_unknown_is_not_sure():
    text = f"Ingredients for the bread:\n{DOUGH}\nIngredients for the lid:\n20 g butter\n10 g milk"
    assert all(not sure for _, _, grams, sure in sure_or_not(text)[-2:])
    lettered = "Ingredients A:\n300 g bread flour\n190 g water\nIngredients B:\n5 g salt"
    assert sure_or_not(lettered)[-1] == ("dough", "salt", 5, True)


@pytest.mark.parametrize(
    "between",
    ["", "Whisk in a pan. Cook until it thickens.", "all of the tangzhong", "1/2 cup tangzhong (see above)"],
)
@pytest.mark.parametrize("heading", ["Tangzhong", "Tangzhong (makes 1/2 cup):", "Mehlkochstück"])
def test_a_scald_ends_with_its_block(heading, between):
    rest = "100 g milk\n40 g sugar\n6 g instant yeast\n300 g bread flour\n5 g salt\n40 g butter"
    text = f"{heading}\n20 g bread flour\n50 g water\n50 g milk\n{between}\n{rest}"
    assert [line[1:] for line in weighed(text) if line[0] == "scald"] == [
        ("bread_flour", 20),
        ("water", 50),
        ("whole_milk", 50),
    ]


def test_a_scald_in_spaced_lines_ends_where_they_are_spaced_wider():
    rest = "\n\n".join(DOUGH.split("\n")[1:])
    text = f"Yudane\n\n50 g bread flour\n\n50 g boiling water\n\n\n{rest}\n\n200 g bread flour"
    assert [line[1:] for line in weighed(text) if line[0] == "scald"] == [("bread_flour", 50), ("water", 50)]


@pytest.mark.parametrize("behind", ["6 g instant yeast", "1 large egg", "300 g milk"])
def test_a_scald_without_a_blank_line_ends_at_what_goes_into_none(behind):
    text = f"湯種\n強力粉 20g\n水 100g\n{behind}\n40 g sugar\n5 g salt\n6 g instant yeast\n280 g bread flour"
    assert {name for part, name, _ in weighed(text) if part == "scald"} == {"bread_flour", "water"}


def test_half_a_cup_of_a_scald_is_not_half_of_it():
    text = f"Tangzhong:\n20 g flour\n100 g water\nDough:\n1/2 cup of the tangzhong\n{DOUGH}"
    assert ("scald", "water", 100) in weighed(text)
    half = text.replace("1/2 cup of the", "1/2 of the")
    assert ("scald", "water", 50) in weighed(half)


@pytest.mark.parametrize(
    "first, sentence",
    [
        ("25 g plain flour\n98 g milk", "Mix this in a small saucepan over low heat until it thickens."),
        ("98 g milk\n25 g bread flour", "Whisk both in a pan over medium heat until thick. Let cool."),
        ("25 g Weizenmehl\n98 g Milch", "Beides in einem Topf unter Rühren erhitzen, bis es andickt."),
    ],
)
def test_lines_that_a_sentence_below_cooks_are_the_scald(first, sentence):
    found = [line for line in sure_or_not(f"{first}\n\n{sentence}\n\n{DOUGH}") if line[0] == "scald"]
    assert sorted(grams for _, _, grams, _ in found) == [25, 98]
    assert not any(sure for _, _, _, sure in found)


@pytest.mark.parametrize(
    "first, sentence",
    [
        ("25 g plain flour\n98 g milk", "Mix both well and leave until it looks thick."),
        ("25 g plain flour\n98 g milk\n1 large egg", "Cook in a pan until thick."),
        ("600 g plain flour\n398 g milk", "Cook the jam in a pan until thick."),
    ],
)
def test_other_lines_above_a_sentence_are_no_scald(first, sentence):
    text = f"{first}\n\n{sentence}\n\n{DOUGH}"
    assert "scald" not in {line[0] for line in weighed(text)}


@pytest.mark.parametrize(
    "total",
    [
        "Total flour = 300 g",
        "Flour in total: 300 g",
        "Total water 190 g",
        "Mehl insgesamt: 300 g",
        "Farine totale = 300 g",
        "Totale farina: 300 g",
        "Total de harina: 300 g",
    ],
)
def test_a_total_below_the_list_adds_nothing(total):
    assert weighed(f"{DOUGH}\n\n{total}") == weighed(DOUGH)


def test_a_total_above_the_list_may_be_the_flour_itself():
    assert ("dough", "bread_flour", 300) in weighed(f"Total bread flour 300 g\n{DOUGH.partition(chr(10))[2]}")


def test_of_a_table_in_spoons_and_grams_the_grams_are_read():
    rows = "| Bread flour | 4 cups | 480 g |\n| Oil | 1 tbsp | 13 g |"
    table = f"| Ingredient | Spoons | Grams |\n|---|---|---|\n{rows}"
    assert weighed(table) == [("dough", "bread_flour", 480), ("dough", "oil", 13)]
    assert ("dough", "water", 230) in weighed(f"{DOUGH}\n230g| 1 cup water")
    assert ("dough", "salt", 10) in weighed("Flour | 1kg | 500g\nWater | 640 g | 320 g\nSalt | 10 g | 5 g")


@pytest.mark.parametrize(
    "line",
    [
        "1 teaspoon canola or other neutral oil, for bowl",
        "1 tsp sunflower oil or other to grease the tin",
        "1 tsp olive oil or other oil, for the bowl",
        "1 cucharadita de aceite de girasol u otro aceite para engrasar",
    ],
)
def test_or_other_oil_is_no_rest_of_a_line(line):
    (found,) = [each for each in lines_of(f"{DOUGH}\n{line}") if each["line"] == 7]
    assert (found["part"], found["ingredient"]) == ("aside", "oil")


def test_what_thins_an_egg_to_brush_with_is_no_dough():
    method = "Method:\nBeat 1 egg and 1 tablespoon water in a bowl. Brush the loaves with the egg mixture."
    dough = "300 g bread flour\n150 g water\n1 large egg\n6 g instant yeast"
    text = f"{dough}\n1 egg, beaten\n1 tbsp water\n{method}"
    assert [line[:2] for line in weighed(text)] == [
        ("dough", "bread_flour"),
        ("dough", "water"),
        ("dough", "whole_egg"),
        ("dough", "instant_yeast"),
    ]


@pytest.mark.parametrize(
    "line, liquid",
    [
        ("150 g made up of 2 large eggs + cream", "cream"),
        ("2 large eggs, made up to 150 g with milk", "whole_milk"),
        ("2 large eggs (topped up with milk to 150 g)", "whole_milk"),
        ("150 g (2 large eggs + milk)", "whole_milk"),
        ("Milk + 2 large eggs = 150 g", "whole_milk"),
        ("150 g of egg and milk (2 large eggs topped up with milk)", "whole_milk"),
        ("150 g d'œufs et de lait (2 gros œufs complétés avec du lait)", "whole_milk"),
        ("2 uova grandi + latte, 150 g in tutto", "whole_milk"),
        ("150 g milk and 2 large eggs", None),
        ("2 large eggs, 150 g milk, together in a jug", None),
    ],
)
def test_eggs_made_up_with_a_liquid_share_an_amount(line, liquid):
    found = weighed(f"500 g bread flour\n7 g instant yeast\n9 g salt\n{line}")[3:]
    if liquid:
        assert found == [("dough", "whole_egg", 100), ("dough", liquid, 50)]
    else:
        assert all(grams != 50 or name == "whole_egg" for _, name, grams in found)


@pytest.mark.parametrize(
    "line, grams, is_sure",
    [
        ("60 g sugar, plus 20 g, divided", 80, False),
        ("60 g sugar plus 20 g divided", 80, True),
        ("1/4 cup (60 g) sugar, plus 2 extra tablespoons for sprinkling", 60, True),
        ("60 g sugar plus 20 g more", 60, False),
        ("60 g de sucre + 20 g supplémentaires", 60, False),
    ],
)
def test_an_amount_added_behind_the_name_is_of_the_same(line, grams, is_sure):
    text = f"400 g bread flour\n{line}\n5 g salt"
    assert sure_or_not(text)[1] == ("dough", "sucrose", grams, is_sure)


def test_a_heading_with_a_remark_inside_a_list_on_one_line_takes_no_line_with_it():
    text = (
        "Ingredients: 400 g bread flour 50 g sugar 7 g instant yeast 120 g milk 28 g butter, softened "
        "Optional Tangzhong (for extra softness): 20 g bread flour 100 g water"
    )
    assert weighed(text)[4:] == [
        ("dough", "butter", 28),
        ("scald", "bread_flour", 20),
        ("scald", "water", 100),
    ]


@pytest.mark.parametrize(
    "flour, liquid",
    [
        ("20 g bread flour (for the tangzhong)", "100 g water"),
        ("20 g Weizenmehl Type 550 (für das Tangzhong)", "100 g Wasser"),
        ("20 g bread flour", "100 g water for the tangzhong"),
        ("高筋面粉 20g（汤种）", "水 100g"),
    ],
)
def test_the_other_half_of_a_scald_stands_beside_the_half_that_is_marked(flour, liquid):
    found = sure_or_not(f"{flour}\n{liquid}\n{DOUGH}")[:2]
    assert [(part, grams) for part, _, grams, _ in found] == [("scald", 20), ("scald", 100)]
    assert not all(sure for _, _, _, sure in found)


def test_a_sentence_may_name_more_liquid_of_a_scald():
    text = f"20 g bread flour (tangzhong)\n100 g water\n120 g milk\n{DOUGH}"
    assert [line[:2] for line in sure_or_not(text) if line[0] == "scald"] == [
        ("scald", "bread_flour"),
        ("scald", "water"),
    ]
    method = "Method:\nCook the flour of the tangzhong with the water and milk until thick."
    assert ("scald", "whole_milk", 120) in weighed(f"{text}\n{method}")


def test_half_a_scald_with_nothing_beside_it_is_not_sure():
    text = f"300 g bread flour\n20 g bread flour (tangzhong)\n6 g instant yeast\n{REST}"
    assert [sure for _, name, _, sure in sure_or_not(text) if name == "whole_milk"] == [False]
    only_liquid = f"100 g water (tangzhong)\n6 g instant yeast\n300 g bread flour\n{REST}"
    assert [sure for _, name, _, sure in sure_or_not(only_liquid) if name == "bread_flour"] == [False]


@pytest.mark.parametrize(
    "line",
    [
        "tangzhong (20 g flour cooked in 100 g water)",
        "Tangzhong: 20 g flour cooked with 100 g water",
        "Tangzhong made with 20 g flour and 100 g water",
        "Tangzhong - 20g flour to 100g water",
        "Tangzhong [20g flour; 100g water]",
        "tangzhong fait avec 20 g de farine et 100 g d'eau",
        "tangzhong (20 g di farina cotti in 100 g di acqua)",
        "tangzhong (20 g de harina cocida en 100 g de agua)",
    ],
)
def test_a_scald_on_one_line_however_it_is_joined(line):
    found = weighed(f"{line}\n{DOUGH}")
    assert [(name, grams) for part, name, grams in found if part == "scald"] == [
        ("bread_flour", 20),
        ("water", 100),
    ]
    assert len(found) == 8


@pytest.mark.parametrize(
    "line",
    [
        "300 g bread flour, 180 g milk, tangzhong 100 g (17 g flour + 83 g water), 50 g sugar, 6 g salt",
        "Tangzhong (17 g flour, 83 g water), 300 g bread flour, 180 g milk, 50 g sugar, 6 g salt",
        "300 g Mehl, 180 g Milch, Mehlkochstück (17 g Mehl, 83 g Wasser), 50 g Zucker, 6 g Salz",
    ],
)
def test_a_scald_in_parentheses_inside_a_list_on_one_line(line):
    found = weighed(line)
    assert [grams for part, _, grams in found if part == "scald"] == [17, 83]
    assert [grams for part, _, grams in found if part == "dough"] == [300, 180, 50, 6]


@pytest.mark.parametrize(
    "text, flour",
    [
        (
            "In a saucepan whisk 20 g bread flour with 100 g milk and cook until thick.\n"
            "In a mixer combine 300 g bread flour, 40 g sugar, 6 g instant yeast, 5 g salt. Add 90 g milk.",
            320,
        ),
        (
            "1. In a bowl mix 320 g bread flour, 40 g sugar, 6 g instant yeast and 5 g salt.\n"
            "2. Pour in 190 g milk. Knead.",
            320,
        ),
        (
            "In einer Schüssel 320 g Mehl, 40 g Zucker, 6 g Trockenhefe und 5 g Salz mischen. "
            "190 g Milch zugeben.",
            320,
        ),
    ],
)
def test_sentences_that_begin_with_where_it_is_done(text, flour):
    found = weighed(text)
    assert sum(grams for _, name, grams in found if name.endswith("_flour")) == flour
    assert {"sucrose", "instant_yeast", "salt", "whole_milk"} <= {name for _, name, _ in found}
    assert not any(sure for _, _, _, sure in sure_or_not(text))


def test_headings_by_a_letter_are_parts_of_one_list():
    first = "Mix A\n270 g bread flour\n40 g sugar\n4 g salt\nMix B\n5 g instant yeast\n160 g milk"
    assert ("dough", "butter", 30) in weighed(f"{first}\nMix C\n30 g butter")


@pytest.mark.parametrize(
    "dough, scald",
    [
        (
            "Dough\n400 g bread flour\n150 g milk + tangzhong\n7 g yeast",
            "Tangzhong\n20 g bread flour\n100 g water",
        ),
        (
            "Dough\n400 g bread flour\n150 g milk plus all of the roux\n7 g yeast",
            "Roux\n20 g flour\n100 g water",
        ),
        (
            "Teig\n400 g Mehl\n150 g Milch + Mehlkochstück\n20 g Hefe",
            "Mehlkochstück\n20 g Mehl\n100 g Wasser",
        ),
        ("Teig\n400 g Mehl\nKochstück + 150 g Milch\n20 g Hefe", "Kochstück\n20 g Mehl\n100 g Wasser"),
        ("Pâte\n400 g de farine\n150 g de lait + le tangzhong", "Tang zhong\n20 g de farine\n100 g d'eau"),
        ("Masa\n400 g de harina\n150 g de leche + el tangzhong", "Tangzhong\n20 g de harina\n100 g de agua"),
        (
            "Impasto\n400 g di farina\n150 g di latte e tutto il water roux",
            "Water roux\n20 g di farina\n100 g di acqua",
        ),
        ("生地\n強力粉 400g\n牛乳 150g＋湯種", "湯種\n強力粉 20g\n水 100g"),
        ("主麵團\n高筋麵粉 400克\n牛奶 150克+全部湯種", "湯種\n高筋麵粉 20克\n水 100克"),
    ],
)
def test_the_scald_joined_to_an_amount_of_another_thing_leaves_that_in_the_dough(dough, scald):
    for text in (f"{dough}\n\n{scald}", f"{scald}\n\n{dough}"):
        found = weighed(text)
        assert ("dough", "whole_milk", 150) in found
        assert sorted(mass for part, _, mass in found if part == "scald") == [20, 100]


def test_a_sponge_joined_to_an_amount_of_another_thing_leaves_that_in_the_dough():
    text = "Dough\n400 g flour\n150 g milk + sponge\n7 g yeast\n\nSponge\n20 g flour\n100 g water\n1 g yeast"
    assert ("dough", "whole_milk", 150) in weighed(text)


@pytest.mark.parametrize(
    "scald, dough",
    [
        ("Pudding\n20 g Mehl\n100 g Wasser", "Teig\n400 g Mehl\n150 g Milch\n20 g Hefe"),
        ("Pudding\n20 g flour\n80 g milk", "Dough\n400 g flour\n150 g milk\n5 g yeast"),
        ("Crème\n25 g de farine\n125 g de lait", "Pâte\n400 g de farine\n150 g de lait\n20 g de levure"),
        ("のり\n強力粉 20g\n水 100g", "生地\n強力粉 250g\n牛乳 100g\nイースト 3g"),
    ],
)
def test_a_little_flour_and_its_liquid_below_a_filling_s_heading_is_a_scald_and_asked_about(scald, dough):
    for text in (f"{scald}\n\n{dough}", f"{dough}\n\n{scald}"):
        found = [line for line in lines_of(text) if line["part"] == "scald"]
        assert len(found) == 2 and all(line["section_sure"] == "unsure" for line in found)


@pytest.mark.parametrize(
    "below",
    [
        "Pudding\n20 g flour\n100 g milk\n30 g sugar\n1 egg yolk",
        "Pudding\n500 ml milk\n37 g custard powder\n40 g sugar",
        "Crosses\n50 g flour\n50 g water",
        "Paste for brushing\n10 g flour\n50 g water",
        "Pudding\n100 g flour\n400 g milk",
    ],
)
def test_what_is_more_than_a_scald_or_put_on_top_stays_no_dough(below):
    assert not [line for line in lines_of(f"{DOUGH}\n\n{below}") if line["part"] == "scald"]


@pytest.mark.parametrize(
    "scald, dough",
    [
        ("Tangzhong (20 g flour / 100 g water)\n20 g flour\n100 g water", "Dough\n300 g flour\n90 g milk"),
        ("Tangzhong (ratio 1:5, 20 g flour)\n20 g flour\n100 g water", "Dough\n300 g flour\n90 g milk"),
        ("Tangzhong (20g/100g)\n20 g flour\n100 g water", "Dough\n300 g flour\n90 g milk"),
        ("Kochstück (20 g Mehl, 100 g Wasser)\n20 g Mehl\n100 g Wasser", "Teig\n300 g Mehl\n90 g Milch"),
        ("Tangzhong (20 g de farine + 100 g d'eau)\n20 g de farine\n100 g d'eau", "Pâte\n300 g de farine"),
        (
            "Tangzhong (20 g de harina y 100 g de agua)\n20 g de harina\n100 g de agua",
            "Masa\n300 g de harina",
        ),
        (
            "Tangzhong (20 g di farina e 100 g di acqua)\n20 g di farina\n100 g di acqua",
            "Impasto\n300 g farina",
        ),
        ("湯種（強力粉20g、水100g）\n強力粉 20g\n水 100g", "生地\n強力粉 300g\n牛乳 90g"),
        ("湯種(麵粉:水=1:5)\n高筋麵粉 20克\n水 100克", "主麵團\n高筋麵粉 300克\n牛奶 90克"),
        ("湯種(麵粉:水=1:5)\n高筋麵粉 20克", "主麵團\n高筋麵粉 300克\n牛奶 90克"),
        ("汤种（面粉与水1:5）\n面粉 20克", "主面团\n高筋面粉 300克\n牛奶 90克"),
    ],
)
def test_a_scald_with_its_parts_in_its_heading_and_below_counts_once(scald, dough):
    found = weighed(f"{scald}\n\n{dough}")
    assert [mass for part, _, mass in found if part == "scald"] == [20, 100]
    assert dough_g(f"{scald}\n\n{dough}") == sum(map(int, re.findall(r"\d+", dough)))
