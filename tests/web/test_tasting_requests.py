"""Blind tastings as requests, in Node: what is asked, and the rankings read from the codes."""

import shutil

import pytest

from page_script import run_script
from running import ROOT

SCRIPT = """
import { readFileSync } from "node:fs";
import { readRankings, tastingPlanRequest, tastingResultRequest } from "./service/tasting-requests.js";
const { tasting, sheets, lines, pointers } = JSON.parse(readFileSync(0, "utf8"));
const plan = tastingPlanRequest(tasting);
const result = tastingResultRequest(tasting, { sheets, tasters: sheets.length });
console.log(JSON.stringify({
  plan: plan.body, result: result && result.body, read: readRankings(sheets, lines ?? []),
  places: (pointers ?? []).map((each) => [plan.place(each), result && result.place(each)]),
}));
"""
CODES = (((206, "A"), (889, "B"), (374, "C")), ((511, "B"), (120, "C"), (633, "A")))
SHEETS = [
    {"taster": taster, "servings": [{"code": code, "sample": sample} for code, sample in servings]}
    for taster, servings in enumerate(CODES, 1)
]
TASTING = {
    "test": "ranking",
    "samples": [{"key": "a", "name": "A"}, {"key": "b", "name": " B"}, {"key": "c", "name": "C"}],
    "by": "power",
    "draw": 4711,
    "tasters": 2,
    "discriminators_percent": 40,
    "power_percent": None,
    "significance_percent": None,
    "expected": "",
    "contains": "",
    "came": None,
    "right": None,
    "chosen": [],
    "rankings": ["889 206 374", "", "120, 633; 511"],
}
PAIR = {**TASTING, "samples": TASTING["samples"][:2], "test": "paired", "expected": "b", "chosen": [3, 9]}


@pytest.fixture(scope="module")
def ask(tmp_path_factory):
    folder = tmp_path_factory.mktemp("web")
    shutil.copytree(ROOT / "web" / "service", folder / "service")

    def run(tasting, **given):
        return run_script(folder, SCRIPT, {"tasting": tasting, "sheets": SHEETS, **given})

    return run


def test_a_ranking_is_read_from_the_codes(ask):
    found = ask(TASTING)
    assert found["plan"] == {"test": "ranking", "samples": ["A", "B", "C"], "draw": 4711, "tasters": 2}
    assert found["result"] == {"test": "ranking", "rankings": [["B", "A", "C"], ["C", "A", "B"]]}
    assert ask(TASTING, lines=["８８９ ２０６ ３７４"])["read"]["rankings"] == [["B", "A", "C"]]


@pytest.mark.parametrize(
    "lines, fault",
    [
        (["889 206 375"], {"line": 1, "code": "unknown", "text": "375"}),
        (["889 206"], {"line": 1, "code": "notOne"}),
        (["889 206 206"], {"line": 1, "code": "notOne"}),
        (["889 206 511"], {"line": 1, "code": "notOne"}),
        (["889 206 374", "374 206 889"], {"line": 2, "code": "twice", "taster": 1}),
        (["A B C"], {"line": 1, "code": "unknown", "text": "A"}),
    ],
)
def test_a_line_that_is_not_one_tasters_codes_is_no_ranking(ask, lines, fault):
    assert ask(TASTING, lines=lines)["read"]["faults"] == [fault]
    assert ask({**TASTING, "rankings": lines})["result"] is None


def test_the_tasters_or_the_power_are_asked_for(ask):
    triangle = {**TASTING, "test": "triangle", "samples": TASTING["samples"][:2], "right": 2}
    common = {"test": "triangle", "samples": ["A", "B"], "draw": 4711}
    assert ask(triangle)["plan"] == {**common, "discriminators_percent": 40}
    assert ask({**triangle, "power_percent": 90})["plan"]["power_percent"] == 90
    by_tasters = {**triangle, "by": "tasters", "significance_percent": 1}
    assert ask(by_tasters)["plan"] == {
        **common,
        "tasters": 2,
        "discriminators_percent": 40,
        "significance_percent": 1,
    }
    assert ask({**by_tasters, "tasters": None})["plan"]["tasters"] is None  # asked for, and not left out
    assert ask(triangle)["result"] == {"test": "triangle", "tasters": 2, "right": 2}
    assert ask({**triangle, "came": 5})["result"]["tasters"] == 5
    assert ask({**triangle, "right": None})["result"] is None


def test_a_paired_comparison_counts_the_choices(ask):
    found = ask(PAIR, pointers=["/chosen/B", "/samples/1", "/tasters"])
    expected = {"hypothesis": "expected", "expected": "B"}
    assert found["plan"].items() >= expected.items()
    assert found["result"] == {"test": "paired", "tasters": 12, "chosen": {"A": 3, "B": 9}, **expected}
    assert found["places"][0][1] == "tasting-result/chosen/1"
    assert found["places"][1][0] == "tasting/samples/b"
    assert ask({**PAIR, "expected": ""})["result"].keys() == {"test", "tasters", "chosen"}
    assert ask({**PAIR, "chosen": [3, None]})["result"] is None
