"""Recipes of the corpus stay right in other layouts: a few, each in all the ways of ``layouts.py``."""

from collections import Counter

import pytest

from importing.layouts import LAYOUTS, sheets_of
from importing.score import answer, pairs, recipes, result

SAMPLE = (
    "de-feelgoods-hefezopf",
    "en-planetofcrepes-buttermilk",
    "en-tarekmassoud-milk-buns",
    "es-nuevamujer-pan-de-caja",
    "fr-japonparis-brioche-tangzhong",
    "ja-moongio-small",
    "hant-metropop-braid",
)
LEAST_RIGHT = 0.94
KINDS = (
    "letters",
    "bullet",
    "columns",
    "percent",
    "ounces",
    "one line",
    "table",
    "markup",
    "mark",
    "heading",
)


def kind_of(name):
    return next((kind for kind in KINDS if name.startswith(kind)), "whole")


@pytest.fixture(scope="module")
def sheets():
    found = sheets_of(recipe for recipe in recipes() if recipe["id"] in SAMPLE)
    assert len(found) == len(SAMPLE)
    return found


@pytest.mark.parametrize("kind", [*KINDS, "whole"])
def test_a_layout_changes_nothing_that_is_read(sheets, kind):
    results = Counter()
    silent = []
    for name in [name for name in LAYOUTS if kind_of(name) == kind][::2]:
        for page in filter(None, map(LAYOUTS[name], sheets)):
            recipe = page.as_recipe()
            found = [result(*pair) for pair in pairs(recipe, answer(recipe))]
            results.update(found)
            if "silent" in found:
                silent.append((name, recipe["id"]))
    assert not silent
    assert results["right"] >= LEAST_RIGHT * results.total() > 0, results
