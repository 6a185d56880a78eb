"""Tastings and prices in a notebook's file, in Node: what comes in is checked, and what is ours stays."""

import shutil

import pytest

from page_script import run_script
from running import ROOT

SCRIPT = """
import { readFileSync } from "node:fs";
import { merge, readNotebook } from "./state/notebook.js";
import { checked, notebookShape } from "./state/schema.js";
import { startingWork } from "./state/work.js";
const { file, ours, kept } = JSON.parse(readFileSync(0, "utf8"));
const pattern = startingWork({ stages: [], before: [], after: [] });
const read = readNotebook(JSON.stringify({ format: "scaldloaf-notebook", version: 1, ...file }), pattern);
const added = ours && read.notebook ? merge(ours, read.notebook) : null;
const keeping = { direction: "falls", limit: null };
const fresh = { version: 1, breads: [], trials: [], loaves: [], keeping };
const found = kept && checked(notebookShape(pattern), kept, fresh);
console.log(JSON.stringify({ read, ours, added, kept: found }));
"""
TASTING = {
    "key": "t1",
    "test": "paired",
    "samples": [{"key": "a", "name": "20 %"}, {"key": "b", "name": "35 %"}],
    "by": "power",
    "tasters": 12,
    "discriminators_percent": 50,
    "power_percent": None,
    "significance_percent": None,
    "expected": "",
    "contains": "wheat",
    "draw": 48213,
    "came": None,
    "right": None,
    "chosen": [14, 4],
    "rankings": [],
}
FLOUR = {"key": "p1", "ingredient": "bread_flour", "price": 1.2, "per": "kg"}
BUTTER = {"key": "p2", "ingredient": "butter", "price": 4, "per": "lb"}
EMPTY = {"breads": [], "trials": [], "loaves": []}


@pytest.fixture(scope="module")
def ask(tmp_path_factory):
    folder = tmp_path_factory.mktemp("web")
    shutil.copytree(ROOT / "web", folder, dirs_exist_ok=True)

    def run(**given):
        return run_script(folder, SCRIPT, given)

    return run


def test_tastings_and_prices_come_with_the_file(ask):
    found = ask(file={"tastings": [TASTING], "prices": [FLOUR, BUTTER]}, ours=EMPTY)
    assert found["read"]["unread"] == [] and found["added"] == 3
    assert found["ours"]["tastings"] == [TASTING] and found["ours"]["prices"] == [FLOUR, BUTTER]


def test_a_price_of_ones_own_stays(ask):
    own = {**FLOUR, "key": "mine", "price": 0.9}
    found = ask(file={"prices": [FLOUR, BUTTER]}, ours={**EMPTY, "prices": [own]})
    assert found["ours"]["prices"] == [own, BUTTER] and found["added"] == 1
    twice = ask(file={"prices": [BUTTER, {**BUTTER, "key": "p3", "price": 5}]}, ours=EMPTY)
    assert twice["ours"]["prices"] == [BUTTER]


@pytest.mark.parametrize(
    "fault",
    [{"draw": -1}, {"draw": "7"}, {"test": "guess"}, {"samples": "AB"}, {"chosen": [{}]}, {"more": 1}],
)
def test_a_tasting_that_is_not_sound_is_named_and_left_out(ask, fault):
    found = ask(file={"tastings": [{**TASTING, **fault}], "prices": [FLOUR]}, ours=EMPTY)
    assert [each["list"] for each in found["read"]["unread"]] == ["tastings"]
    assert "tastings" not in found["ours"] and found["ours"]["prices"] == [FLOUR]


def test_a_notebook_without_them_stays_as_it_was(ask):
    old = {"version": 1, **EMPTY, "keeping": {"direction": "falls", "limit": 6}}
    found = ask(file=EMPTY, ours=EMPTY, kept=old)
    assert found["kept"] == {"value": old, "faults": []} and found["ours"] == EMPTY
    newer = {**old, "tastings": [TASTING], "prices": [BUTTER]}
    assert ask(file=EMPTY, kept=newer)["kept"] == {"value": newer, "faults": []}
