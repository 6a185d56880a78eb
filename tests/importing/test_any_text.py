"""Any text gets an answer or a refusal, never another error, and never an invalid mass."""

from math import isfinite

import orjson
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scaldloaf.importing.words import text
from scaldloaf.importing.words.doubt import LEVELS
from scaldloaf.operations.faults import InputFault
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

PIECES = st.sampled_from(
    [
        "1",
        "2",
        "500",
        "1,000",
        "1.5",
        "0,5",
        "½",
        "1½",
        "1/2",
        "1/0",
        "-",
        "–",
        "to",
        "x",
        "(",
        ")",
        "[",
        "]",
        ",",
        ";",
        ":",
        "/",
        "%",
        "°",
        "&",
        "+",
        "#",
        "g",
        "kg",
        "oz",
        "lb",
        "ml",
        "cup",
        "cups",
        "tbsp",
        "T",
        "EL",
        "packet",
        "can",
        "stick",
        "pinch",
        "flour",
        "bread",
        "milk",
        "butter",
        "salt",
        "sugar",
        "egg",
        "yolk",
        "yeast",
        "instant",
        "water",
        "tangzhong",
        "scald",
        "dusting",
        "for",
        "plus",
        "or",
        "and",
        "softened",
        "強力粉",
        "大さじ",
        "湯種",
        "きび糖'袋",
        "❶",
        "٣",
        "<b>",
        "&frac12;",
        "&#9;",
        "\n",
    ]
)
LINES = st.lists(PIECES, max_size=30).map(" ".join)
ANY_TEXT = st.text(max_size=300) | LINES
NUMBERS = st.integers(-(10**18), 10**18) | st.floats(allow_nan=False, allow_infinity=False)
SCALARS = st.none() | st.booleans() | NUMBERS | ANY_TEXT
KEYS = st.sampled_from(
    [
        "@type",
        "@graph",
        "@id",
        "@list",
        "@value",
        "name",
        "value",
        "unitText",
        "unitCode",
        "minValue",
        "recipeIngredient",
        "schema:recipeIngredient",
        "itemListElement",
        "item",
        "supply",
        "requiredQuantity",
        "mainEntity",
    ]
) | st.text(max_size=5)
TYPES = st.sampled_from(["Recipe", "https://schema.org/Recipe", "ItemList", "PropertyValue"])
JSON = st.recursive(
    SCALARS | TYPES,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=5),
    max_leaves=25,
)
RECIPES = st.dictionaries(KEYS, JSON, max_size=4).map(lambda node: {**node, "@type": "Recipe"})


def check(body: dict) -> None:
    try:
        reply = perform(RECIPE_IMPORT, body)
    except InputFault as refused:
        assert all(fault.detail and fault.pointer for fault in refused.faults)
        return
    orjson.dumps(reply)
    for line in reply["lines"]:
        assert line["sure"] in LEVELS and (line["sure"] == "sure") == (line["why"] == "")
        assert not (line["in_formula"] and (line["sure"] == "not_read" or line["mass"] is None))
        if line["mass"]:
            low, best, high = (line["mass"][end] for end in ("low", "best", "high"))
            assert all(map(isfinite, (low, best, high))) and 0 <= low <= best <= high
    if reply["formula"]:
        assert len(reply["formula"]["lines"]) == sum(line["in_formula"] for line in reply["lines"])
        assert all(isfinite(line["percent"]) and line["mass"] >= 0 for line in reply["formula"]["lines"])


@settings(max_examples=300)
@given(
    st.lists(ANY_TEXT, min_size=1, max_size=6),
    st.sampled_from(["auto", "yes", "no"]),
    st.sampled_from(["not_read", "mass"]),
)
def test_any_lines(lines, decimal_comma, number_alone):
    check({"lines": lines, "decimal_comma": decimal_comma, "number_alone": number_alone})


@given(st.text(max_size=2000))
def test_any_text(given_text):
    check({"text": given_text or " "})


@settings(max_examples=300)
@given(st.lists(JSON, max_size=3) | RECIPES)
def test_any_json(document):
    check({"recipe": document})


@given(st.text())
def test_a_cleaned_line_is_one_line_without_tags_and_stays_as_it_is(raw):
    cleaned = text.clean(raw)
    assert len(cleaned) <= text.MOST_CHARACTERS + 1 and cleaned == " ".join(cleaned.split())


@pytest.mark.parametrize(
    "raw, plain",
    [
        ("  500 g\u00a0 flour ", "500 g flour"),
        ("• flour", "flour"),
        ("&amp;frac12; cup", "1/2 cup"),
        ("１½ｇ", "1 1/2g"),
        ("flour¹", "flour"),
        ("1³⁄₄ cups", "1 3/4 cups"),
        ("a<br/>b", "a b"),
        ("&lt;b&gt;1 g&lt;/b&gt;", "1 g"),
    ],
)
def test_clean(raw, plain):
    assert text.clean(raw) == plain
