"""What a baker decides of a recipe that was read can be taken back, in Node."""

import shutil

import pytest

from page_script import run_script
from running import ROOT
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

SCRIPT = """
import { readFileSync } from "node:fs";
import { checksOf, fieldsOf, remember, remembered, scaldLines, valueOf } from "./reading-checks.js";
const { reply, value, kept } = JSON.parse(readFileSync(0, "utf8"));
const store = new Map();
const storage = { getItem: (key) => store.get(key) ?? null, setItem: (key, text) => store.set(key, text) };
let { decisions } = checksOf(reply, []);
const decided = value === null ? {} : { place: value };
if (kept) {
  remember(storage, "text", decisions.map((each) => ({ ...each, choices: ["scald", "dough"] })), decided, []);
  decisions = remembered(storage, "text").decisions;
}
const place = decisions.find(({ key }) => key === "place");
const lines = reply.lines.filter(({ kind, line }) => kind === "ingredient" && place.lines.includes(line));
console.log(JSON.stringify({ choices: place.choices, at: valueOf(place, lines, decided),
                             fields: fieldsOf(decisions, decided, scaldLines(reply)) }));
"""
LIST = "400 g bread flour\n250 g milk\n8 g salt\n5 g instant yeast\n\n"
SOME = LIST + "Whisk 20 g of the flour with 100 g of the milk in a saucepan until thick."
WHOLE = "20 g bread flour\n100 g milk\n\n" + LIST


@pytest.fixture(scope="module")
def decide(tmp_path_factory):
    folder = tmp_path_factory.mktemp("web")
    shutil.copy(ROOT / "web" / "sections" / "reading-checks.js", folder)

    def run(text, value=None, kept=False):
        reply = perform(RECIPE_IMPORT, {"text": text})
        return run_script(folder, SCRIPT, {"reply": reply, "value": value, "kept": kept})

    return run


def test_where_the_steps_put_part_of_a_line_can_be_had_back(decide):
    first = decide(SOME)
    assert first == {"choices": ["", "scald", "dough"], "at": "", "fields": {}}
    assert decide(SOME, "dough")["fields"] == {"scald_lines": []}
    assert decide(SOME, "scald")["fields"] == {"scald_lines": [1, 2]}
    assert decide(SOME, "") == first


def test_what_an_older_page_kept_can_be_taken_back_too(decide):
    assert decide(SOME, "scald", kept=True)["choices"] == ["", "scald", "dough"]


def test_whole_lines_are_in_one_part_and_can_go_back_there(decide):
    first = decide(WHOLE)
    assert first["choices"] == ["scald", "dough"]
    assert first["at"] == "scald"
    assert decide(WHOLE, "scald")["fields"] == {"scald_lines": [1, 2]}
