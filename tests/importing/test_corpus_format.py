"""The recipes read by hand keep their format: fields, lines found in the text, sums."""

import json
import re
from pathlib import Path

import pytest

from scaldloaf.reference import INGREDIENTS

FILES = sorted(Path(__file__).with_name("corpus").glob("*/*.json"))
NEEDED = {"id", "language", "source", "title", "writer", "region", "kind", "lines", "expect"}
OPTIONAL = {"apart", "survey", "scald_only_in_steps", "text", "json_ld", "steps", "pan", "stages", "note"}
LINE = {"text", "section", "ingredient", "also", "grams", "low", "high", "note"}
SUMS = {"scald_flour_g", "scald_liquid_g", "total_flour_g", "dough_g"}


def read(path: Path) -> dict:
    return json.loads(path.read_text("utf-8"))


def is_flour(line: dict) -> bool:
    return line["ingredient"] in INGREDIENTS and INGREDIENTS[line["ingredient"]].is_flour


def grams(lines, counts=lambda line: True) -> float:
    return sum(line["grams"] or 0 for line in lines if counts(line))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_recipe_keeps_the_format(path):
    recipe = read(path)
    assert recipe.keys() >= NEEDED
    assert recipe.keys() <= NEEDED | OPTIONAL
    assert (recipe["language"], recipe["id"]) == (path.parent.name, path.stem)
    assert recipe["source"].startswith(("https://", "http://", "a public source repository, "))
    assert recipe["region"] in ("east_asian", "western", "other")
    assert recipe["kind"] in ("scalded", "enriched", "other")
    assert ("text" in recipe) != ("json_ld" in recipe)

    listed = recipe["text"] if "text" in recipe else "\n".join(recipe["json_ld"]["recipeIngredient"])
    for line in recipe["lines"]:
        assert line.keys() <= LINE
        assert line["section"] in ("scald", "dough", "not_dough")
        # Name and amount may be on lines or in cells of their own.
        assert all(part in listed for part in re.split(r"[\s|]+", line["text"])) or (
            "from the steps" in line["note"]
        )
        assert all(name in INGREDIENTS for name in line.get("also", ()))
        assert line["grams"] is None or line["grams"] >= 0
        if "low" in line:
            assert line["low"] <= line["grams"] <= line["high"]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_sums_of_a_recipe_are_those_of_its_lines(path):
    recipe = read(path)
    expected = recipe["expect"]
    assert expected.keys() - {"scald_used_share"} == SUMS | {"scald"}
    scald = [line for line in recipe["lines"] if line["section"] == "scald"]
    dough = [line for line in recipe["lines"] if line["section"] == "dough"]
    assert expected["scald"] == bool(scald) == (recipe["kind"] == "scalded")

    used = expected.get("scald_used_share", 1)
    sums = {
        "scald_flour_g": used * grams(scald, is_flour),
        "total_flour_g": used * grams(scald, is_flour) + grams(dough, is_flour),
        "dough_g": used * grams(scald) + grams(dough),
    }
    for name, found in sums.items():
        assert expected[name] is None or expected[name] == pytest.approx(found, abs=0.2)


def test_a_part_of_each_language_is_kept_apart_and_no_writer_is_on_both_sides():
    recipes = [read(path) for path in FILES]
    assert len(recipes) > 250
    for language in {recipe["language"] for recipe in recipes}:
        own = [recipe for recipe in recipes if recipe["language"] == language]
        apart = [recipe for recipe in own if recipe.get("apart")]
        assert 0.09 < len(apart) / len(own) < 0.3
        assert not {recipe["writer"] for recipe in apart} & {
            recipe["writer"] for recipe in own if not recipe.get("apart")
        }
