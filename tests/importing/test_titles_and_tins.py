"""Above a list and no part of the dough: the recipe's title, and the tin that the list is for."""

import pytest

from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

LIST = "\n500 g bread flour\n300 g water\n9 g salt\n5 g instant yeast"
PARTS = "\nTangzhong\n- 20 g bread flour\n- 100 g milk\nDough\n- 330 g bread flour\n- 5 g instant yeast"


def lines_of(text):
    return [
        line
        for line in perform(RECIPE_IMPORT, {"text": text})["lines"]
        if line["kind"] == "ingredient" and line["ingredient"]
    ]


@pytest.mark.parametrize(
    "heading",
    [
        "Ingredients (1 tin)",
        "Zutaten (1 Form)",
        "Ingredientes (1 molde)",
        "Ingredientes para un molde de 30 cm:",
        "Ingrédients (1 moule)",
    ],
)
def test_a_list_for_a_tin_is_the_dough(heading):
    found = [(line["part"], line["section_sure"]) for line in lines_of(heading + LIST)]
    assert found == [("dough", "sure")] * 4


@pytest.mark.parametrize("heading", ["Ingredients (for the tin)", "Zutaten für die Form:"])
def test_what_is_for_the_tin_is_no_dough(heading):
    assert lines_of(f"Dough{LIST}\n{heading}\n10 g butter")[-1]["part"] == "aside"


@pytest.mark.parametrize(
    "title",
    [
        "Pain de mie au tangzhong\nIngrédients (pour un moule de 28 cm) :",
        "Milk bread with tangzhong\nIngredients (1 loaf):",
        "Pan de molde con tangzhong\n\nPara un molde de 28 cm",
    ],
)
def test_a_title_that_names_the_scald_hides_no_heading_of_it(title):
    parts = [(line["part"], line["section_sure"]) for line in lines_of(title + PARTS)]
    assert parts == [("scald", "sure")] * 2 + [("dough", "sure")] * 2


def test_a_bread_with_a_scald_is_a_title_and_no_scald():
    found = lines_of("Milk bread with tangzhong" + LIST)
    assert {line["part"] for line in found} == {"dough"}
    assert "scald_not_shown" in {doubt["code"] for line in found for doubt in line["doubts"]}


@pytest.mark.parametrize(
    "text",
    [
        "強力粉 200g\n湯種（強力粉50g、熱湯50g）\n塩 5g\nドライイースト 3g\n水 90g",
        "强力粉 200克\n汤种（高筋面粉50克 开水50克）\n盐 5克\n酵母 3克\n水 90克",
        "Bread flour 80%\nTangzhong (bread flour 20%, boiling water 20%)\nSalt 2%\nYeast 1%\nWater 45%",
    ],
)
def test_a_scald_with_its_list_in_parentheses_ends_with_them(text):
    parts = [(line["part"], line["section_sure"]) for line in lines_of(text)]
    assert parts == [("dough", "sure")] + [("scald", "sure")] * 2 + [("dough", "sure")] * 3


def test_a_scald_with_yeast_in_it_is_to_be_checked():
    text = "Tangzhong\n50 g bread flour\n100 g water\n5 g instant yeast\nDough\n400 g bread flour\n200 g milk"
    found = [(line["part"], line["section_sure"]) for line in lines_of(text)]
    assert found == [("scald", "unsure")] * 3 + [("dough", "sure")] * 2
    said = {"text": text, "sections": [{"heading": "Tangzhong", "part": "scald"}]}
    assert {line["section_sure"] for line in perform(RECIPE_IMPORT, said)["lines"]} == {"sure"}


@pytest.mark.parametrize("unit", ["%", " g"])
def test_a_scald_whole_on_its_line_ends_there_in_percent_too(unit):
    amounts = ("Bread flour 80", "Milk 45", "Salt 2", "Instant yeast 1")
    rest = "\n".join(f"{amount}{unit}" for amount in amounts)
    parts = [line["part"] for line in lines_of(f"Tangzhong: bread flour 20{unit}, water 20{unit}\n{rest}")]
    assert parts == ["scald"] * 2 + ["dough"] * 4


@pytest.mark.parametrize(
    "line",
    [
        "For 500 g of flour",
        "Rezept für 500 g Mehl",
        "für einen mittelgroßen Zopf aus 500 g Mehl",
        "Pour 500 g de farine",
        "Para 500 g de harina",
        "Dosi per 500 g di farina",
    ],
)
def test_how_much_flour_a_list_is_for_is_counted_once(line):
    assert [each["text"] for each in lines_of(line + LIST)][0] == "500 g bread flour"


@pytest.mark.parametrize(
    ("line", "flour"),
    [("Pour 500 g de farine", 500), ("Für den Teig 500 g Mehl", 1000), ("For 250 g of flour", 750)],
)
def test_flour_of_the_first_line_counts_where_the_list_has_not_as_much(line, flour):
    below = LIST.replace("500 g bread flour\n", "") if flour == 500 else LIST
    found = [each for each in lines_of(line + below) if "flour" in each["ingredient"]]
    assert sum(round(each["mass"]["best"]) for each in found if each["in_formula"]) == flour
