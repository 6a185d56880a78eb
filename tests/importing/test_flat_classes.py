"""Lists that have lost their lines or their headings, and what only the sentences around them settle.

Each class of it in a short recipe of our own.
"""

import pytest

from importing.readings import lines_of


def parts(text):
    """Part, ingredient and mass of each ingredient with a mass."""
    return [
        (line["part"], line["ingredient"], round(line["mass"]["best"]))
        for line in lines_of(text)
        if line["kind"] == "ingredient" and line["mass"]
    ]


def formula(text, part="dough"):
    return {name: grams for of, name, grams in parts(text) if of == part}


# Headings without a mark, in a text on one line


@pytest.mark.parametrize(
    "text",
    [
        "Tangzhong 25 g flour 125 g water Dough 475 g flour 200 g milk 20 g fresh yeast 10 g salt",
        "Kochstück (Water Roux) 25 g Mehl 125 g Wasser Hauptteig 475 g Mehl 200 g Milch 20 g Hefe 10 g Salz",
        "Tangzhong 25 g de farine 125 g d'eau Pâte 475 g de farine 200 g de lait 20 g de levure 10 g de sel",
        "Tangzhong 25 g di farina 125 g di acqua Impasto 475 g di farina 200 g di latte 10 g di sale",
        "Tangzhong 25 g de harina 125 g de agua Masa 475 g de harina 200 g de leche 10 g de sal",
    ],
    ids=["en", "de", "fr", "it", "es"],
)
def test_a_text_on_one_line_keeps_its_parts(text):
    assert formula(text, "scald") == {"plain_flour": 25, "water": 125}
    found = formula(text)
    assert (found["plain_flour"], found["whole_milk"], found["salt"]) == (475, 200, 10)


def test_a_heading_may_have_a_remark_and_a_sentence_behind_its_list():
    text = (
        "Water Roux (starter) 100g Bread flour 70g Boiling water Mix well and chill for 12 hours. "
        "Dough 350g Bread flour 9g salt 6g instant yeast 220g water 40g butter Mix all except butter."
    )
    assert formula(text, "scald") == {"bread_flour": 100, "water": 70}
    assert formula(text)["bread_flour"] == 350 and formula(text)["butter"] == 40


def test_a_scald_with_its_own_amount_heads_no_list():
    text = "Tangzhong 120 g\nBread flour 300 g\nWater 150 g\nSalt 5 g"
    assert formula(text)["bread_flour"] == 300 and formula(text, "scald") == {None: 120}


def test_milk_of_the_scald_starts_no_filling_on_the_same_line():
    text = (
        "Tangzhong 2 tbsp bread flour 100 ml milk Dough 300 g bread flour 6 g salt 5 g instant yeast "
        "120 ml milk 30 g butter Egg wash 1 egg 1 tbsp milk"
    )
    assert {"whole_milk", "butter"} <= formula(text).keys()


@pytest.mark.parametrize(
    "text",
    [
        "300 g flour, 200 ml milk and 12 g fresh yeast. The dough wants 45 to 60 minutes by now.",
        "300 Gramm Mehl, 200 ml Milch und zwölf Gramm Hefe. Der Teig muss 45 bis 60 Minuten reifen.",
    ],
    ids=["en", "de"],
)
def test_a_sentence_behind_a_list_takes_none_of_it(text):
    assert [grams for _, _, grams in parts(text)] == [300, 206, 12]


# Values by their names


@pytest.mark.parametrize("quote", ["'", '"'])
def test_values_by_their_names_may_begin_with_the_part(quote):
    rows = [("For tangzhong: water", 100, "g"), ("flour", 20, "g"), ("For dough: flour", 300, "g")]
    rows += [("salt", 1, "tsp"), ("egg, beaten", 1, "")]
    text = "\n".join(
        f"  {{ name: '{name}', amount: {amount}, unit: '{unit}' }},".replace("'", quote)
        for name, amount, unit in rows
    )
    assert formula(text, "scald") == {"water": 100, "plain_flour": 20}
    assert formula(text) == {"plain_flour": 300, "salt": 6, "whole_egg": 50}


# Totals before the parts


@pytest.mark.parametrize("heading", ["Total", "Ingredients"])
def test_what_only_the_totals_name_is_dough_and_not_for_sure(heading):
    text = (
        f"{heading}\n350 g bread flour\n230 g water\n24 g sugar\n7 g salt\n4 g instant yeast\n1 egg\n"
        "20 g butter\n\nYudane\n100 g bread flour\n130 g water\n\n"
        "Dough\n100 g water\n24 g sugar\n7 g salt\n4 g instant yeast\n1 egg yolk\n250 g bread flour"
    )
    found = formula(text)
    assert (found["butter"], found["bread_flour"]) == (20, 250) and "whole_egg" not in found
    (butter,) = (line for line in lines_of(text) if line["ingredient"] == "butter")
    assert butter["section_sure"] == "likely"


# What is brushed on


def test_a_yolk_is_of_the_dough_where_the_list_has_an_egg_for_brushing():
    text = (
        "Hauptteig\n500 g Mehl\n250 g Milch\n6 g Frischhefe\n10 g Salz\n1 Eigelb\n\n"
        "Zum Bestreichen\n1 Ei\n\nZubereitung\nDie Teiglinge mit verquirltem Ei abstreichen."
    )
    assert ("dough", "egg_yolk", 17) in parts(text) and ("aside", "whole_egg", 50) in parts(text)


ALL_BUT_THE_EGG = [
    ("250 g flour\n150 g milk\n5 g yeast\n5 g salt\n1 egg\n\nMethod\n",
     "Knead all ingredients except the egg. Beat the egg. Brush the buns with the beaten egg."),
    ("250 g Mehl\n150 g Milch\n5 g Hefe\n5 g Salz\n1 Ei\n\nZubereitung\n",
     "Alle Zutaten außer dem Ei kneten. Das Ei verquirlen. Die Brötchen mit dem verquirlten Ei bestreichen."),
    ("250 g de farine\n150 g de lait\n5 g de levure\n5 g de sel\n1 oeuf\n\nPréparation\n",
     "Pétrir tous les ingrédients sauf l'oeuf. Battre l'oeuf. Badigeonner les brioches avec l'oeuf battu."),
    ("250 g di farina\n150 g di latte\n5 g di lievito\n5 g di sale\n1 uovo\n\nProcedimento\n",
     "Impastare tutto tranne l'uovo. Sbattere l'uovo. Spennellare i panini con l'uovo sbattuto."),
    ("250 g de harina\n150 g de leche\n5 g de levadura\n5 g de sal\n1 huevo\n\nPreparación\n",
     "Amasar todo excepto el huevo. Batir el huevo. Pincelar los bollos con el huevo batido."),
]  # fmt: skip


@pytest.mark.parametrize("text", ["".join(each) for each in ALL_BUT_THE_EGG])
def test_all_but_the_egg_is_kneaded_and_the_egg_only_brushed_on(text):
    assert ("aside", "whole_egg", 50) in parts(text)


def test_an_egg_that_is_added_later_is_of_the_dough():
    listed, steps = ALL_BUT_THE_EGG[0]
    assert ("dough", "whole_egg", 50) in parts(listed + steps.replace("Beat the egg", "Add the egg"))


# A filling behind the dough, without a heading

DOUGH = "470 g bread flour\n60 g sugar\n6 g instant yeast\n5 g salt\n160 g whole milk\n1 egg\n110 g butter\n"


@pytest.mark.parametrize(
    "behind",
    [
        "170 g butter\n160 g brown sugar\n15 g cinnamon",
        "160 g brown sugar\n2 tbsp cinnamon\n60 g salted butter",
        "140 g cream cheese\n80 g butter\n120 g icing sugar\n1 tsp vanilla extract",
    ],
)
def test_butter_again_with_sugar_and_cinnamon_is_a_filling_and_not_for_sure(behind):
    assert formula(DOUGH + behind) == formula(DOUGH)
    moved = [line for line in lines_of(DOUGH + behind) if line["part"] == "aside"]
    assert len(moved) == 1 + behind.count("\n") and {line["section_sure"] for line in moved} == {"unsure"}


def test_cinnamon_alone_stays_in_the_dough_and_a_butter_of_another_kind_is_in_doubt():
    assert formula(DOUGH + "15 g cinnamon")["cinnamon"] == 15
    (salted,) = [line for line in lines_of(DOUGH + "60 g salted butter") if line["line"] == 8]
    assert salted["part"] == "dough" and salted["section_sure"] == "unsure"


# A recipe in sentences


def test_no_amount_of_a_recipe_in_sentences_is_lost_beside_a_share_or_a_bowl():
    text = (
        "Technique\n1. Cook 25 g of bread flour with 125 g of water in a saucepan.\n"
        "2. In the bowl of your stand mixer put 195 g of milk, 50 g of butter and 10 g of salt.\n"
        "3. Add 350 g of strong bread flour (13% protein) and 5 g of instant yeast."
    )
    assert formula(text, "scald") == {"bread_flour": 25, "water": 125}
    assert formula(text) == {
        "whole_milk": 195,
        "butter": 50,
        "salt": 10,
        "bread_flour": 350,
        "instant_yeast": 5,
    }


VALUES_BELOW = """
parts:
  - name: Tangzhong
    ingredients:
      - item: "Bread flour"
        quantity: 20
        unit: g
      - item: Water
        quantity: 100
        unit: g
  - name: Dough
    ingredients:
      - item: Bread flour
        quantity: 300
        unit: g
      - item: Salt
        quantity: 1 1/2
        unit: tsp
"""


def test_values_on_lines_of_their_own_are_of_one_ingredient():
    assert formula(VALUES_BELOW, "scald") == {"bread_flour": 20, "water": 100}
    assert formula(VALUES_BELOW) == {"bread_flour": 300, "salt": 9}


def test_what_a_page_says_of_a_recipe_is_no_value():
    text = "Prep time: 10\nTitle: Rolls\nBread flour: 300 g\nWater: 200 g\nSalt: 5 g"
    assert formula(text) == {"bread_flour": 300, "water": 200, "salt": 5}


def test_headings_of_recipe_pages_in_german_open_tools_and_method():
    text = "Kochutensilien\n1 Kastenform\nZutaten\n500 g Mehl\n7 g Salz\nAnleitungen\n20 g Milch erwärmen."
    assert formula(text) == {"plain_flour": 500, "salt": 7}


def test_a_decimal_before_the_heading_of_a_list_is_no_number_of_a_part():
    text = "Tangzhong\n20 g flour\n0.5 cup water\nIngredients\n500 g flour\n7 g salt"
    assert formula(text, "scald")["water"] == 118


def test_butter_again_below_a_heading_that_names_no_part_is_in_doubt():
    text = f"1. Ingredients\n{DOUGH}2. Ingredients\n115 g butter\n50 g honey"
    behind = [line for line in lines_of(text) if line["line"] > 9]
    assert {line["section_sure"] for line in behind} == {"likely"}


def test_several_entries_on_one_line_are_all_read():
    text = '{ qty: 500, unit: "g", item: "Mehl, hell" }, { qty: 200, unit: "g", item: "Milch" }'
    assert formula(text) == {"plain_flour": 500, "whole_milk": 200}


@pytest.mark.parametrize("mark", ["□", "■", "◆"])
def test_a_mark_before_each_line_makes_no_heading_of_the_scald_among_them(mark):
    rows = ["495 g bread flour", "5 g salt", "The tangzhong", "175 g whole milk", "2 large eggs"]
    listed = "".join(f"{mark} {row}\n" for row in rows)
    text = f"For the tangzhong:\n{mark} 35 g bread flour\n{mark} 175 g whole milk\nFor the dough:\n{listed}"
    assert formula(text, "scald") == {"bread_flour": 35, "whole_milk": 175}
    assert formula(text)["whole_egg"] == 100
