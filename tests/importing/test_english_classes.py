"""What English recipes do that a plain list does not: each class of it in a short recipe of our own."""

import pytest

from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

REST = "50 g sugar\n8 g salt\n7 g instant yeast\n1 large egg\n50 g butter"
WHOLE = f"500 g bread flour\n300 g whole milk\n{REST}"


def answer(text):
    return perform(RECIPE_IMPORT, {"text": text})


def formula(text, part):
    """Ingredient -> its mass in a part of the formula, to a gram."""
    lines = answer(text)["formula"]["lines"]
    return {line["ingredient"]: round(line["mass"]) for line in lines if line["part"] == part}


@pytest.mark.parametrize(
    "method",
    [
        "Put 25 g of the flour into a small pan. Add 125 g of the milk and whisk. Cook until it thickens.",
        "Take 125 g of the milk and whisk in 25 g of the flour. Microwave in short bursts until thick.",
        "Remove 25 g flour from the total. Pour in 125 g milk. Heat, stirring, until thick like custard.",
        "Make the scalded flour paste: in a saucepan whisk 25 g of bread flour with 125 g of milk.",
    ],
)
def test_steps_in_a_row_make_one_scald(method):
    assert formula(f"{WHOLE}\n\nMethod:\n{method}", "scald") == {"bread_flour": 25, "whole_milk": 125}


@pytest.mark.parametrize(
    "method",
    [
        "Mix 60 g flour and 60 g milk to a thick paste in a pan. Pipe crosses over the buns.",
        "Warm the milk in a pan. Pour the milk over the flour and stir to a thick paste.",
        "Mix 50 g of the milk with 20 g of the flour and the yeast; leave until thick and bubbly.",
    ],
)
def test_a_thick_paste_is_not_always_a_scald(method):
    assert formula(f"{WHOLE}\n\nMethod:\n{method}", "scald") == {}


@pytest.mark.parametrize(
    "flour, milk",
    [
        ("475 g bread flour, plus 25 g for the roux", "175 g whole milk, plus 125 g for the roux"),
        ("500 g bread flour - 25 g for tangzhong, 475 g for dough", "300 g whole milk, 125 g for tangzhong"),
        (
            "500 g bread flour (use 25 g for tangzhong and 475 g for dough)",
            "300 g whole milk (125 g for roux)",
        ),
        ("25 g bread flour (tangzhong)\n475 g bread flour", "125 g whole milk (tangzhong)\n175 g whole milk"),
    ],
)
def test_a_line_says_how_much_of_it_is_for_the_scald(flour, milk):
    text = f"{flour}\n{milk}\n{REST}\n\nMethod:\nCook the tangzhong until thick."
    assert formula(text, "scald") == {"bread_flour": 25, "whole_milk": 125}
    dough = formula(text, "dough")
    assert (dough["bread_flour"], dough["whole_milk"]) == (475, 175)


def test_a_sentence_that_takes_from_the_list_adds_nothing():
    text = f"{WHOLE}\nFor the scalded flour you’ll use 25 g of the flour and 125 g of the milk from above."
    assert formula(text, "scald") == {"bread_flour": 25, "whole_milk": 125}
    assert formula(text, "dough")["whole_milk"] == 175


@pytest.mark.parametrize(
    "text",
    [
        "You need 500 g bread flour 300 g whole milk 50 g sugar 8 g salt 7 g instant yeast",
        "500 g bread flour (sifted) 300 g whole milk 50 g sugar 8 g salt 7 g instant yeast",
        "In a bowl, add 500 g bread flour, 300 g whole milk, 50 g sugar, 8 g salt, 7 g instant yeast.",
        "500 g bread flour, 300 g whole milk, 50 g sugar, 9 g psyllium husk, 8 g salt, 7 g instant yeast",
    ],
)
def test_a_list_on_one_line_loses_nothing(text):
    dough = formula(text, "dough")
    assert dough == {"bread_flour": 500, "whole_milk": 300, "sucrose": 50, "salt": 8, "instant_yeast": 7}


def test_a_line_may_end_with_the_list_of_the_scald():
    text = "475 g bread flour, 8 g salt, 7 g instant yeast and for the roux 25 g bread flour and 125 g water."
    assert formula(text, "scald") == {"bread_flour": 25, "water": 125}


LABEL = "Calories 250 kcal\nFat 5 g\nCarbohydrate 40 g\nSugars 6 g\nProtein 8 g\nSalt 0.8 g"


@pytest.mark.parametrize(
    "label",
    [
        LABEL,
        LABEL.replace("\n", ", "),
        LABEL.replace("\n", " | "),
        "150 calories\n5g fat\n22g carbs\n6g sugar\n4g protein",
        "Energie 250 kcal\nFett 5 g\ndavon gesättigte Fettsäuren 2 g\nZucker 6 g",
    ],
)
def test_a_nutrition_label_is_no_dough(label):
    assert formula(f"{WHOLE}\n{label}", "dough") == formula(WHOLE, "dough")


def test_sugar_is_of_a_label_only_beside_what_is_of_nothing_else():
    assert formula(f"Calories: 250\n{WHOLE}", "dough") == formula(WHOLE, "dough")


@pytest.mark.parametrize(
    "line", ["melted butter", "egg wash (1 egg, 1 tbsp milk)", "sugar syrup", "non-stick spray"]
)
def test_yeast_and_salt_below_a_thing_without_an_amount_stay_in_the_dough(line):
    text = f"500 g bread flour\n300 g whole milk\n{line}\n8 g salt\n7 g instant yeast"
    assert {"salt", "instant_yeast"} <= formula(text, "dough").keys()


def only(line):
    (found,) = [each for each in answer(f"400 g bread flour\n{line}\n5 g salt")["lines"] if each["line"] == 2]
    return (
        found["part"],
        found["ingredient"],
        found["mass"] and round(found["mass"]["best"], 1),
        found["sure"],
    )


@pytest.mark.parametrize(
    "line, expected",
    [
        ("Butter (4 tbsp / 60g), plus more for the pan", ("dough", "butter", 60.0, "sure")),
        ("1 cake yeast", ("dough", "compressed_yeast", 17.0, "unsure")),
        ("1 cake (0.6 oz) fresh yeast", ("dough", "compressed_yeast", 17.0, "sure")),
        ("1 egg, 60 g with shell", ("dough", "whole_egg", 52.8, "likely")),
        ("20 g butter *softened", ("dough", "butter", 20.0, "sure")),
        ("7 g instant yeast *5 g takes longer", ("dough", "instant_yeast", 7.0, "sure")),
        ("100 g bread flour, 12.5% protein", ("dough", "bread_flour", 100.0, "sure")),
        ("60 g plain flour for the crosses", ("aside", "plain_flour", 60.0, "sure")),
        ("1 tsp agave syrup", ("dough", "agave_syrup", 6.9, "sure")),
        ("1 tbsp flaxseed", ("dough", "flaxseed", 10.4, "likely")),
    ],
)
def test_lines_that_english_recipes_write(line, expected):
    assert only(line) == expected


def test_a_third_of_a_cup_is_written_as_a_place():
    assert only("1/3rd cup water") == only("1/3 cup water")


def test_the_liquid_beside_an_egg_is_what_is_left_of_both():
    lines = answer("500 g flour\n1 large egg + milk to make 200 g\n5 g salt")["lines"]
    assert [round(line["mass"]["best"]) for line in lines if line["line"] == 2] == [50, 150]


def test_the_method_shows_what_is_piped_and_glazed():
    text = (
        f"{WHOLE}\n60 g plain flour\n2 tbsp golden syrup\n\nMethod:\nMix plain flour and water to a paste. "
        "Pipe crosses on the buns and bake. Glaze with the golden syrup."
    )
    assert {"plain_flour", "golden_syrup"}.isdisjoint(formula(text, "dough"))


def test_amounts_in_braces_are_read_as_the_list_of_their_step():
    text = (
        "Make the tangzhong: cook @water{125%g} and @bread flour{25%g} in a #small pan{} for ~{5%minutes}.\n"
        "Combine the tangzhong with the @bread flour{475%g}, @salt{8%g} and @instant yeast{2%tsp} (7g).\n"
        "Brush with @milk{1%tbsp}."
    )
    assert formula(text, "scald") == {"water": 125, "bread_flour": 25}
    assert formula(text, "dough") == {"bread_flour": 475, "salt": 8, "instant_yeast": 7}


def test_a_list_with_amounts_in_braces_has_its_own_headings():
    text = (
        "Tangzhong\n@bread flour{20%g}\n@milk{100%g}\n@butter{8%g}\n\n"
        "Dough\n@bread flour{300%g}\n@sugar{1 ½%tbsp}\n@salt{5%g}\n\nEgg wash\n@water{10%g}"
    )
    assert formula(text, "scald") == {"bread_flour": 20, "whole_milk": 100, "butter": 8}
    assert formula(text, "dough") == {"bread_flour": 300, "sucrose": 19, "salt": 5}


@pytest.mark.parametrize(
    "line, expected",
    [
        ("2 + 1 tablespoon butter", ("dough", "butter", 42.6, "sure")),
        ("12 g (1 tbsp) plus 100 g (1/2 cup) sugar", ("dough", "sucrose", 112.0, "sure")),
        ("1 large egg (optional, for extra richness)", ("dough", "whole_egg", 50.0, "likely")),
        ("300 g whole milk and mix for 5 minutes", ("dough", "whole_milk", 300.0, "sure")),
    ],
)
def test_more_lines_that_english_recipes_write(line, expected):
    assert only(line) == expected


def test_boiling_water_poured_over_a_flour_named_before_makes_a_scald():
    text = (
        "100 g rye flour\n200 g boiling water\n400 g bread flour\n8 g salt\n7 g instant yeast\n\nMethod:\n"
        "Put the rye flour in a bowl. Pour over the boiling water and stir. Leave to cool."
    )
    assert formula(text, "scald") == {"rye_flour": 100, "water": 200}


def test_what_a_line_adds_may_be_for_the_scald():
    text = (
        "2 cups plus 2 tbsp bread flour\n1/2 cup plus 2 tbsp whole milk\n5 g salt\n7 g yeast\n\nMethod:\n"
        "Add the flour to a small saucepan and whisk in the milk, then cook until the paste is thick."
    )
    assert formula(text, "scald") == {"bread_flour": 17, "whole_milk": 30}


@pytest.mark.parametrize(
    "text",
    [
        "475g bread flour / 180g whole milk / 8g salt / 7g yeast / tangzhong: 25g bread flour / 125g water",
        "475g bread flour + 180g milk + 8g salt + 7g yeast, plus a roux of 25g bread flour and 125g water",
        "475 g bread flour\n180 g milk\n8 g salt\n7 g yeast\nTangzhong flour: 25 g\nTangzhong water: 125 g",
    ],
)
def test_short_lists_with_marks_or_with_the_scald_in_each_name(text):
    assert formula(text, "scald") == {"bread_flour": 25, "water": 125}
    assert formula(text, "dough")["bread_flour"] == 475


def test_a_total_is_no_flour():
    text = f"Total flour: 500 g\n{WHOLE}"
    assert formula(text, "dough")["bread_flour"] == 500


def test_a_table_with_several_units_is_read_in_grams():
    table = (
        "Ingredient | Lbs | Grams | Bakers % |\n---|---|---|---|\nBread Flour | 2.50 | 1134 | 100% |\n"
        "Water | 1.70 | 771 | 68% |\nSugar | .06 | 27 | 2.4% |\nSalt | .06 | 27 | 2.4% |\n"
        "Instant yeast | .01 | 4 | .8% |"
    )
    found = {"bread_flour": 1134, "water": 771, "sucrose": 27, "salt": 27, "instant_yeast": 4}
    assert formula(table, "dough") == found


def test_amounts_of_another_batch_in_parentheses_are_passed_over():
    text = (
        "500g bread flour (250g)\n300g milk (150g)\n50g sugar (25g)\n10g salt (5g)\n7g instant yeast (1 tsp)"
    )
    found = {"bread_flour": 500, "whole_milk": 300, "sucrose": 50, "salt": 10, "instant_yeast": 7}
    assert formula(text, "dough") == found
    assert all(line["sure"] != "unsure" for line in answer(text)["lines"])


def test_a_block_behind_a_whole_dough_in_which_something_is_listed_again_is_in_doubt():
    lines = answer(f"{WHOLE}\n\n130 g margarine\n100 g sugar\n20 g raisins")["lines"]
    assert [line["section_sure"] for line in lines[-3:-1]] == ["unsure", "unsure"]


@pytest.mark.parametrize(
    "step",
    [
        "Filling: beat the butter, sugar and cinnamon.",
        "Spread the butter and sugar on it, then cinnamon; roll up.",
    ],
)
def test_what_a_step_makes_a_filling_of_is_no_dough(step):
    text = f"{WHOLE}\n2 tsp cinnamon\n100 g butter\n75 g brown sugar\n\nMethod:\nKnead the dough.\n{step}"
    assert formula(text, "dough").keys().isdisjoint(("cinnamon", "brown_sugar"))
    kneaded = text.replace("Knead the dough.", "Knead the flour, milk and cinnamon.")
    assert "cinnamon" in formula(kneaded, "dough")


@pytest.mark.parametrize(
    "line",
    [
        "For 1 loaf of 700 g",
        "Makes about 1000 g of dough",
        "[Makes 900 g of sweet bread dough]",
        "2 loaves at 450 g",
    ],
)
def test_how_much_is_made_is_no_ingredient(line):
    assert [each["kind"] for each in answer(f"{line}\n{WHOLE}")["lines"]][0] == "step"
    assert answer(f"50 g stale bread\n{WHOLE}")["lines"][0]["kind"] == "ingredient"


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("(optional: 100 g raisins)", ("dough", "raisins", "likely")),
        ("1 more egg, beaten with a splash of water, for eggwash", ("aside", "whole_egg", "likely")),
        ("20 g potato/tapioca starch", ("dough", "potato_starch", "unsure")),
        ("20 g corn or potato starch", ("dough", "corn_starch", "unsure")),
        ("10 g butter or olive oil", ("dough", "butter", "unsure")),
        ("1 egg or egg yolk", ("dough", "whole_egg", "unsure")),
    ],
)
def test_lines_in_parentheses_lines_of_more_and_names_that_share_a_word(line, expected):
    read = answer(f"{WHOLE}\n{line}")["lines"][-1]
    assert (read["part"], read["ingredient"]) == expected[:2]
    assert read["sure"] in (expected[2], "likely", "unsure")


def test_milk_to_brush_with_heads_no_list():
    lines = answer(f"{WHOLE}\nMilk for brushing\nTutti frutti - 50 g")["lines"]
    assert (lines[-1]["part"], lines[-1]["in_formula"]) == ("dough", True)


def test_numbered_steps_are_no_lists_though_each_names_an_amount():
    method = (
        "Cooking steps\nStep 1: Proof the Yeast\n- Put 300 g milk in a jug.\n- Add 7 g instant yeast to it.\n"
        "Step 2: Mix Dough\n- Add 50 g of sugar to the bowl."
    )
    assert {line["kind"] for line in answer(f"{WHOLE}\n{method}")["lines"][7:]} == {"step"}


def test_a_line_with_only_a_time_is_no_ingredient():
    kinds = [
        line["kind"] for line in answer(f"{WHOLE}\nRISE 1 hour 45 minutes\nmix 20 seconds/Speed 4")["lines"]
    ]
    assert kinds[7:] == ["step", "step"]


def test_a_pint_is_of_the_place_whose_words_the_recipe_has():
    # A British pint is 20 fluid ounces, 568 ml; a US one 16, 473 ml.
    for flour, grams in (("strong white flour", 284), ("bread flour", 236)):
        text = f"1 lb {flour}\n1/2 pint water\n1 tsp salt\n1/2 oz fresh yeast"
        assert formula(text, "dough")["water"] == pytest.approx(grams, abs=1)


def test_lines_for_the_scald_under_a_known_heading_are_all_the_scald():
    text = (
        "Ingredients\n475 g bread flour\n25 g bread flour for the tangzhong\n125 g water for the tangzhong\n"
    )
    assert formula(text + "7 g instant yeast\n9 g salt\n150 g whole milk", "scald") == {
        "bread_flour": 25,
        "water": 125,
    }


def test_a_list_with_a_letter_is_of_the_dough():
    text = (
        "Ingredients A (Tangzhong)\n20 g bread flour\n100 g water\n\nIngredients B\n480 g bread flour\n"
        "200 g whole milk\n8 g salt\n7 g instant yeast\n\nIngredient C\n30 g butter"
    )
    assert formula(text, "dough")["butter"] == 30


@pytest.mark.parametrize(
    ("method", "scald"),
    [
        ("Of the flour, take 20 g and cook it with 100 g of the milk until thick.", (20, 100)),
        ("Cook half the milk with 30 g of the flour in a pan until thick.", (30, 150)),
        ("Cook 20 g of the flour and 100 g of the milk in a pan until thick.", (20, 100)),
    ],
)
def test_a_step_names_what_it_takes_an_amount_of_before_it_or_takes_half(method, scald):
    found = formula(f"{WHOLE}\n\nMethod:\n{method}", "scald")
    assert (found["bread_flour"], found["whole_milk"]) == scald


@pytest.mark.parametrize(
    "line",
    [
        "Of which for the tangzhong: 25g flour and 125g milk",
        "For the tangzhong, from the above: 25 g flour and 125 g milk",
    ],
)
def test_a_part_of_the_list_for_the_scald_is_not_counted_twice(line):
    text = f"Ingredients\n500 g bread flour\n300 g milk\n10 g salt\n7 g yeast\n{line}"
    assert formula(text, "dough")["bread_flour"] == 475
