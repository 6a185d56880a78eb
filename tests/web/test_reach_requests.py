"""How far the share can go, in Node: the request made from the page's state, and the answer in words."""

import shutil

import pytest

from page_script import run_script
from running import ROOT
from scaldloaf.dough.share_limits import LIMITS
from scaldloaf.operations.lantern_quay import HOW_FAR, HOW_FAR_BY_TRIALS

SCRIPT = """
import { readFileSync } from "node:fs";
globalThis.document = { createElement: () => ({ setAttribute() {}, append() {} }) };
const { textsOf } = await import("./messages/messages.js");
const { changeSays, reachSays, roundedShare } = await import("./sections/reach-words.js");
const { planRequest } = await import("./service/plan-request.js");
const { reachRequest } = await import("./service/reach-request.js");
const { checked, LINK } = await import("./state/schema.js");
const { startingWork } = await import("./state/work.js");
const { unitsOf } = await import("./ui/numbers.js");
const { work: own, proof, reply, pointers, language } = JSON.parse(readFileSync(0, "utf8"));
const stages = [["bulk", 90, 27], ["proof", 70, 32]];
const pattern = startingWork({ stages, before: [["mix", 20]], after: [["bake", 35]] });
const work = { ...structuredClone(pattern), ...own };
const units = unitsOf("metric");
const t = await textsOf(language);
await t.more();
await t.more("series");
const bench = { t, locale: language, units: () => units, names: { label: (name) => name.replace("_", " ") } };
const isLiquid = (name) => ["water", "whole_milk"].includes(name);
const { body, place } = reachRequest(work, units, isLiquid, ["water", "whole_milk"], proof);
console.log(JSON.stringify({
  body, plan: planRequest(work, units, isLiquid, ["water", "whole_milk"]).body,
  places: pointers.map(place), kept: checked(LINK, work, pattern),
  says: reply && [reachSays(bench, reply), ...reply.loosenings.map((each) => changeSays(bench, each))],
  rounded: [41.2, 41.5, 41.49, 0.4].map(roundedShare),
}));
"""
OF_THE_PLAN_ONLY = {"scald", "timetable"}
LIMITED = {"dough_mass": 460, "proof_minutes": 80, "gluten_percent": None}


@pytest.fixture(scope="module")
def ask(tmp_path_factory):
    folder = tmp_path_factory.mktemp("web")
    shutil.copytree(ROOT / "web", folder, dirs_exist_ok=True)

    def run(work=None, language="en", **given):
        return run_script(folder, SCRIPT, {"work": work or {}, "language": language, "pointers": [], **given})

    return run


@pytest.fixture
def asked(client):
    """The service's answer to a request of the page."""

    def run(body):
        response = client.post("/v1/share-limit", json=body)
        assert response.status_code == 200, response.text
        return response.json

    return run


def test_the_request_is_that_of_the_plan(ask, asked):
    found = ask({"limits": LIMITED}, proof=HOW_FAR["proof"])
    plan = {name: value for name, value in found["plan"].items() if name not in OF_THE_PLAN_ONLY}
    limits = {"dough_mass": 460, "proof_minutes": 80}
    assert found["body"] == {**plan, "limits": limits, "proof": HOW_FAR["proof"]}
    assert asked(found["body"])["present_share_percent"] == 20
    assert found["kept"]["faults"] == [] and found["kept"]["value"]["limits"] == LIMITED


def test_what_is_left_out_is_not_asked(ask, asked):
    found = ask()["body"]
    assert {"limits", "proof"}.isdisjoint(found)
    assert asked(found)["binds"] == "water"
    assert "stages" not in ask({"stages": []})["body"]
    assert ask({"share": None})["body"]["scalded_share_percent"] is None  # not the formula's


def test_a_fault_finds_its_field(ask):
    pointers = ["/limits/dough_mass", "/stages", "", "/formula/lines", "/proof/minutes", "/fill_percent"]
    places = ["reach/dough_mass", *["reach"] * 4, "fill/fill_percent"]
    assert ask(pointers=pointers)["places"] == places


def test_a_share_is_never_rounded_up(ask):
    assert ask()["rounded"] == [41, 41.5, 41, 0]


def test_the_answer_in_words(ask, asked):
    reply = asked({**HOW_FAR_BY_TRIALS, "scald_liquid_ratio": 2})
    said, *changes = ask(reply=reply)["says"]
    share = int(reply["scalded_share_percent"]["best"] * 2) / 2
    assert said.replace("\u00a0", " ").startswith(f"Up to {share:g} %. ")
    assert len(changes) == len(reply["loosenings"]) > 1
    by_name = {
        name: change
        for each, change in zip(reply["loosenings"], changes, strict=True)
        for name in (each["change"].get("limits") or each["change"])
    }
    ratio = reply["loosenings"][[*by_name].index("scald_liquid_ratio")]["change"]["scald_liquid_ratio"]
    assert by_name["scald_liquid_ratio"] == f"Scald {ratio:g} parts liquid to 1 of flour"


@pytest.mark.parametrize("language", ["en", "de", "ja", "zh-Hant", "zh-Hans"])
def test_every_limit_has_a_name(ask, language):
    estimate = {"low": 30, "best": 30.6, "high": 31, "evidence": "assumption"}
    reply = {"scalded_share_percent": estimate, "loosenings": []}
    says = [
        ask(language=language, reply={**reply, "binds": limit})["says"][0].replace("\u00a0", "")
        for limit in LIMITS
    ]
    assert len(set(says)) == len(LIMITS)
    assert all(("30.5" in each or "30,5" in each) and "limits." not in each for each in says)
