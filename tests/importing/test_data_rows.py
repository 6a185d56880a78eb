"""Recipes pasted as the data of a program, in lines of ours."""

import pytest

from scaldloaf.importing.layouts.data_rows import as_rows
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

PARTS = [("scald", "bread_flour", 20), ("scald", "water", 100), ("dough", "bread_flour", 350)]
OBJECTS = """
  name: 'Tangzhong loaf',
  ingredients: [
    {
      section: 'Tangzhong',
      items: [
        { name: 'Bread flour', quantity: 20, unit: 'g' },
        { name: 'Water', quantity: 100, unit: 'g' },
      ],
    },
    {
      section: 'Dough',
      items: [{ name: 'Bread flour', quantity: 350, unit: 'g' }],
    },
  ],
  steps: [
    'Cook flour and water to 65 °C.',
  ],
"""
PART_OF_EACH = """
  "ingredients": [
    {"part": "Tangzhong", "ingredient": "bread flour", "amount": 20, "unit": "g"},
    {"part": "Tangzhong", "ingredient": "water", "amount": "100", "unit": "g"},
    {"part": "Dough", "ingredient": "bread flour", "amount": 350, "unit": "g"}
  ]
"""
KEYS_ON_LINES = """
ingredients:
  - section: Tangzhong
    name: bread flour
    amount: 20
    unit: g
  - section: Tangzhong
    name: water
    amount: 100
    unit: g
  - section: Dough
    name: bread flour
    amount: 350
    unit: g
"""
NAMED_GROUPS = """
  groups: [
    { name: "Tangzhong",
      ingredients: [
        { ingredient: "harina de fuerza", cantidad: 20, unidad: "g" },
        { ingredient: "agua", cantidad: 100, unidad: "g" }]
    },
    { name: "Masa",
      ingredients: [
        { ingredient: "harina de fuerza", cantidad: 350, unidad: "g" }]
    }
"""


@pytest.mark.parametrize("text", [OBJECTS, PART_OF_EACH, KEYS_ON_LINES, NAMED_GROUPS])
def test_data_is_read_as_the_list_that_it_is(text):
    lines = perform(RECIPE_IMPORT, {"text": text})["lines"]
    read = [each for each in lines if each["kind"] == "ingredient"]
    assert [(each["part"], each["ingredient"], round(each["mass"]["best"])) for each in read] == PARTS
    assert all(each["sure"] == "sure" for each in read)


def test_the_name_of_a_recipe_is_no_part_of_it():
    salt = "{ name: 'Salt', amount: 9, unit: 'g' },"
    text = f"name: 'Tangzhong loaf',\ningredients: [\n{{ name: 'Flour', amount: 500, unit: 'g' }},\n{salt}"
    read = perform(RECIPE_IMPORT, {"text": text})["lines"]
    assert {each["part"] for each in read if each["in_formula"]} == {"dough"}


@pytest.mark.parametrize(
    "lines",
    [
        ["Farine : 500 g", "Sel : 9 g", "Beurre : 50 g"],
        ["Name: Milk bread", "Amount: 2 loaves", "500 g flour"],
        ["1 Ei {Größe M}", "1 Pkg. Germ {entspricht 7 g}"],
    ],
)
def test_other_lines_stay_as_they_are(lines):
    assert as_rows(lines) == lines
