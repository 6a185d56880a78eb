"""What the page says of figures, in Node: first shares, the softness chart, notes past what is known."""

import shutil

import pytest

from page_script import run_script
from running import ROOT

SCRIPT = """
import { readFileSync } from "node:fs";
globalThis.document = { createElement: () => ({ setAttribute() {}, append() {}, classList: { add() {} } }) };
const { textsOf } = await import("./messages/messages.js");
const { scoreChart } = await import("./sections/log-answers.js");
const { firstShares } = await import("./sections/compare-section.js");
const { pastNote } = await import("./ui/figures.js");
const { unitsOf } = await import("./ui/numbers.js");
const { waterSays } = await import("./ui/said.js");
const { shares, kept, replies, water } = JSON.parse(readFileSync(0, "utf8"));
const t = await textsOf("en");
await t.more();
const bench = { t, locale: "en", units: () => unitsOf("metric"), names: { label: (name) => name } };
const chart = kept && scoreChart(bench, kept);
console.log(JSON.stringify({
  shares: shares.map(([own, now]) => firstShares(own, now)),
  chart: chart && { line: chart.lines[0].points, area: chart.area.points },
  past: pastNote(replies)?.code ?? null, water: water && waterSays(bench, water),
}));
"""


@pytest.fixture(scope="module")
def said(tmp_path_factory):
    folder = tmp_path_factory.mktemp("web")
    shutil.copytree(ROOT / "web", folder, dirs_exist_ok=True)

    def run(**given):
        return run_script(folder, SCRIPT, {"shares": [], "kept": None, "replies": [], "water": None, **given})

    return run


def test_no_share_is_compared_with_itself(said):
    shares = [[5, 8], [5.0000001, 8], [20, 35], [0, 20], [4.6, 8], [20, 20]]
    assert said(shares=shares)["shares"] == [[8], [8], [30, 35], [10, 20], [8], [30, 35]]


@pytest.mark.parametrize("direction", ["falls", "rises"])
def test_no_loaf_is_softer_than_a_fresh_one(said, direction):
    curve = [{"days": 0, "low": 7, "best": 9, "high": 11.8}, {"days": 9, "low": -4, "best": -1, "high": 3}]
    loaf = {"name": "20 %", "curve": curve, "residuals": [], "time_to_limit": {}}
    chart = said(kept={"loaves": [loaf], "limit": None, "direction": direction})["chart"]
    if direction == "falls":
        assert chart == {"line": [[0, 9], [9, 0]], "area": [[0, 7, 10], [9, 0, 3]]}
    else:
        assert chart == {"line": [[0, 9], [9, -1]], "area": [[0, 7, 11.8], [9, -4, 3]]}


def test_what_is_past_the_measured_is_found(said):
    others = {"notes": [{"code": "prior"}]}
    assert said(replies=[others, None, {}])["past"] is None
    for code in ("share_extrapolated", "share_beyond_range"):
        assert said(replies=[None, others, {"notes": [{"code": "prior"}, {"code": code}]}])["past"] == code


def test_water_that_something_speaks_against_is_not_called_right(said):
    note = {"code": "unusual_water", "values": {"hydration": 70.9, "low": 78.8, "high": 92.8}, "text": ""}
    water = {"assessment": "balanced", "uncertain": True, "notes": [note]}
    assert said(water=water)["water"].startswith("70.9 % water is unusual")
    assert said(water={**water, "notes": []})["water"].startswith("Water is right")
    assert said(water={**water, "uncertain": False})["water"].startswith("Water is right")
