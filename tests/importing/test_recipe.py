"""Recipes found in JSON-LD, whatever the nesting; every line a text."""

import pytest

from scaldloaf.importing.layouts.recipe import MOST_RECIPES, recipes_in
from scaldloaf.importing.words.text import clean

LINES = ["100 g bread flour", "65 g water"]
RECIPE = {
    "@context": "https://schema.org",
    "@type": "Recipe",
    "name": "Lantern Quay loaf",
    "recipeIngredient": LINES,
}


def lines(document):
    (recipe,) = recipes_in(document)
    return list(recipe.lines())


@pytest.mark.parametrize(
    "document",
    [
        RECIPE,
        [RECIPE],
        [{"@type": "BreadcrumbList"}, [RECIPE]],
        {"@context": "https://schema.org", "@graph": [{"@type": "WebSite"}, RECIPE]},
        {"@type": "WebPage", "mainEntity": RECIPE},
        {"@type": "WebPage", "mainEntity": {"@id": "#r"}, "@graph": [{**RECIPE, "@id": "#r"}]},
        {"@type": "ItemList", "itemListElement": [{"@type": "ListItem", "position": 1, "item": RECIPE}]},
        {**RECIPE, "@type": ["NewsArticle", "Recipe"]},
        {**RECIPE, "@type": "http://schema.org/Recipe"},
        {**RECIPE, "@type": "https://schema.org/Recipe"},
        {**RECIPE, "@type": ["schema:Recipe"]},
        {"@type": "schema:Recipe", "schema:name": "Lantern Quay loaf", "schema:recipeIngredient": LINES},
        {"@type": "https://schema.org/Recipe", "https://schema.org/recipeIngredient": {"@list": LINES}},
        {"@type": "Recipe", "recipeIngredient": [{"@value": line, "@language": "en"} for line in LINES]},
        {"@type": "Recipe", "ingredients": LINES},
        {"@type": "Recipe", "recipeIngredient": [], "ingredients": LINES},
        {"@type": "Recipe", "recipeIngredient": "\n".join(LINES)},
        {"@type": "Recipe", "recipeIngredient": "<ul><li>100 g bread flour</li><li>65 g water</li></ul>"},
        {"@type": "Recipe", "recipeIngredient": {"@type": "ItemList", "itemListElement": LINES}},
        {
            "@type": "Recipe",
            "recipeIngredient": {
                "@type": "ItemList",
                "itemListElement": [
                    {"@type": "ListItem", "position": at, "name": line} for at, line in enumerate(LINES)
                ],
            },
        },
        {
            "@type": "Recipe",
            "recipeIngredient": [{"@id": "#a"}, {"@id": "#b"}],
            "hasPart": [{"@id": "#a", "name": LINES[0]}, {"@id": "#b", "name": LINES[1]}],
        },
        {
            "@type": "Recipe",
            "recipeIngredient": [
                {"@type": "PropertyValue", "name": "bread flour", "value": 100, "unitText": "g"},
                {"@type": "PropertyValue", "name": "water", "value": "65", "unitCode": "GRM"},
            ],
        },
        {
            "@type": "Recipe",
            "supply": [
                {
                    "@type": "HowToSupply",
                    "name": "bread flour",
                    "requiredQuantity": {"@type": "QuantitativeValue", "value": 100, "unitCode": "GRM"},
                },
                {"@type": "HowToSupply", "name": "water", "requiredQuantity": "65 g"},
            ],
        },
        {
            "@type": "Recipe",
            "recipeIngredient": [
                {
                    "@type": "PropertyValue",
                    "name": "bread flour",
                    "value": {"@type": "QuantitativeValue", "value": 100, "unitText": "g"},
                },
                LINES[1],
            ],
        },
        {"recipeIngredient": LINES},
    ],
)
def test_recipes_are_found_at_any_depth(document):
    found = [clean(line) for line in lines(document)]
    assert [line for line in found if line] == LINES


def test_names_become_plain_text():
    (recipe,) = recipes_in({**RECIPE, "name": "Salt &amp; <i>Sea</i>\u0007 loaf" + "!" * 200})
    assert recipe.name.startswith("Salt & Sea loaf!")
    assert len(recipe.name) <= 120 and recipe.name.isprintable()


def test_named_lists_are_headings():
    document = {
        "@type": "Recipe",
        "recipeIngredient": [
            {"@type": "ItemList", "name": "Tangzhong", "itemListElement": ["25 g bread flour"]},
            {"@type": "ItemList", "name": "Dough:", "itemListElement": ["350 g bread flour"]},
        ],
    }
    assert lines(document) == ["Tangzhong:", "25 g bread flour", "Dough:", "350 g bread flour"]


@pytest.mark.parametrize(
    "first, second, third", [("1", "2", "10"), (1, 2, 3), (0.5, 1, 1.5), ("schema", "schema", "schema")]
)
def test_list_items_follow_their_positions(first, second, third):
    items = [
        {"@type": "ListItem", "position": third, "item": "9 g salt"},
        {"@type": "ListItem", "position": first, "name": "500 g bread flour"},
        {"@type": "ListItem", "position": second, "item": {"name": "water", "value": 300, "unitCode": "GRM"}},
    ]
    found = lines({"@type": "Recipe", "recipeIngredient": {"@type": "ItemList", "itemListElement": items}})
    in_order = ["500 g bread flour", "300 g water", "9 g salt"]
    assert found == (["9 g salt", *in_order[:2]] if first == "schema" else in_order)


def test_a_bare_number_is_a_line(read):
    found = lines({"@type": "Recipe", "recipeIngredient": [500, None, True, 0.5, "500 g bread flour"]})
    assert found == ["500", "0.5000", "500 g bread flour"]
    assert read(found[0]).sure == "not_read"


@pytest.mark.parametrize(
    "amount, text",
    [
        ({"minValue": 100, "maxValue": 120, "unitText": "g"}, "100 - 120 g butter"),
        ({"value": 1.125, "unitCode": "KGM"}, "1.1250 kg butter"),
        ({"value": 2, "unitCode": "C62"}, "2 butter"),
        ({"value": 0.5, "unitText": "cup"}, "0.5000 cup butter"),
        ({"value": -3, "unitText": "g"}, "butter"),
        ({"value": True}, "butter"),
        ({"value": None}, "butter"),
        ({"value": [3, 4], "unitText": "g"}, "3 g butter"),
    ],
)
def test_structured_amounts_become_lines(amount, text):
    assert lines(
        {"@type": "Recipe", "recipeIngredient": [{"@type": "PropertyValue", "name": "butter", **amount}]}
    ) == [text]


def test_a_number_of_json_has_no_thousands_mark(read):
    (line,) = lines(
        {"@type": "Recipe", "recipeIngredient": [{"name": "bread flour", "value": 1.125, "unitCode": "KGM"}]}
    )
    assert read(line).mass.best == 1125 and read(line).sure == "sure"


@pytest.mark.parametrize(
    "document",
    [
        {},
        [],
        [[]],
        {"@type": "Recipe"},
        {"@type": "Recipe", "recipeIngredient": []},
        {"@type": "Product", "name": "flour"},
        {"@context": RECIPE},
        {"@type": 5},
        {"@type": [None, 3]},
    ],
)
def test_no_recipe(document):
    assert recipes_in(document) == []


def test_several_recipes_in_their_order_up_to_a_limit():
    document = {"@graph": [{**RECIPE, "name": str(number)} for number in range(MOST_RECIPES + 20)]}
    assert [recipe.name for recipe in recipes_in(document)] == [str(number) for number in range(MOST_RECIPES)]


def test_references_in_circles_end():
    document = {
        "@graph": [
            {"@type": "Recipe", "@id": "#r", "recipeIngredient": [{"@id": "#a"}, {"@id": "#r"}]},
            {"@id": "#a", "itemListElement": [{"@id": "#b"}, LINES[0]]},
            {"@id": "#b", "itemListElement": [{"@id": "#a"}, LINES[1]]},
        ]
    }
    assert set(lines(document)) >= set(LINES)


def test_an_empty_ingredient_is_reported(read):
    found = lines(
        {"@type": "Recipe", "recipeIngredient": [{"image": "x", "url": "y"}, {}, {"@id": "#nowhere"}]}
    )
    assert found == ["{image, url}", "{}", "{@id}"]
    assert [read(line).sure for line in found] == ["not_read"] * 3
