"""Bakes of the log as a request to trial-fit, in Node: their scalds, and what they are counted with."""

import shutil

import pytest

from page_script import run_script
from running import ROOT
from scaldloaf.operations.lantern_quay import LIDDED_TIN

SCRIPT = """
import { readFileSync } from "node:fs";
globalThis.document = { createElement: () => ({ setAttribute() {}, append() {} }) };
const { measuredTrials, ratioOfBakes, ratioTonight, trialFitRequest } =
  await import("./service/learn-requests.js");
const { textsOf } = await import("./messages/messages.js");
const { ratioSays } = await import("./sections/log-answers.js");
const { entryShapes, checked } = await import("./state/schema.js");
const { startingWork } = await import("./state/work.js");
const { unitsOf } = await import("./ui/numbers.js");
const { bakes, tonight, recipe, assumed, language } = JSON.parse(readFileSync(0, "utf8"));
const work = startingWork({ stages: [], before: [], after: [] });
work.water.scald_liquid_ratio = tonight;
work.lid = true;
const { value: trials, faults } = checked(entryShapes(work).trials, bakes);
const measured = measuredTrials(trials);
const ofTonight = ratioTonight(work, recipe && { scald: { liquid_ratio: recipe } }, assumed);
const ratio = ratioOfBakes(measured) ?? ofTonight;
const request = trialFitRequest(work, measured, unitsOf("metric"), ratio);
const t = await textsOf(language);
await t.more();
console.log(JSON.stringify({ ...request, faults, at: request.place("/scald_liquid_ratio"), ofTonight,
  says: ratioSays({ t, locale: language }, measured, ofTonight, ({ name }) => name) }));
"""


@pytest.fixture(scope="module")
def ask(tmp_path_factory):
    folder = tmp_path_factory.mktemp("web")
    shutil.copytree(ROOT / "web", folder, dirs_exist_ok=True)

    def run(*bakes, language="en", **given):
        found = run_script(
            folder,
            SCRIPT,
            {"bakes": bakes, "tonight": None, "recipe": None, "assumed": None, "language": language, **given},
        )
        assert found["faults"] == []
        return found

    return run


def bake(name: str, share: float = 20, **own) -> dict:
    """A bake as the page keeps it: of an older page without ``scald_liquid_ratio``."""
    blank = dict.fromkeys(("loaf_volume", "crown_height", "baked_mass", "proof_minutes"))
    filled = {"volume_by": "fill_percent", "fill_percent": 100, "pan": {"shape": "", **LIDDED_TIN}}
    known = {"scalded_share_percent": share, "hydration_percent": 70.9, "dough_mass": 471}
    return {"key": name, "name": name, **blank, **filled, **known, **own}


def waters(found: dict) -> list[bool]:
    return ["hydration_percent" in each for each in found["body"]["trials"]]


def test_the_fit_knows_the_scald_of_the_bakes(ask):
    found = ask(bake("Monday", scald_liquid_ratio=2.3, gluten_percent=1.5), recipe=1)
    assert found["body"]["scald_liquid_ratio"] == 2.3
    assert found["body"]["trials"][0]["gluten_percent"] == 1.5
    assert found["body"]["want"]["lid"] is True
    assert (found["at"], found["says"]) == ("trials/Monday/scald_liquid_ratio", [])


def test_bakes_of_an_older_page_are_counted_as_tonights_scald_and_it_is_said(ask):
    found = ask(bake("Monday"), bake("Tuesday", 0), recipe=2.3)
    assert found["body"]["scald_liquid_ratio"] == 2.3 and waters(found) == [True, True]
    assert found["says"] == [
        "No scald ratio entered: Monday. We count 1 : 2.3. Enter yours if it was another."
    ]
    assert ask(bake("Monday"), recipe=2.3, tonight=1.5)["body"]["scald_liquid_ratio"] == 1.5
    assert (
        ask(bake("Monday"), recipe=20)["body"]["scald_liquid_ratio"] == 10
    )  # as far as the service takes it
    first = {"notes": [{"code": "ratio_assumed", "values": {"ratio": 1}}]}
    assert ask(bake("Monday"), assumed=first)["ofTonight"] == 1
    assert "scald_liquid_ratio" not in ask(bake("Monday"))["body"]


def test_bakes_without_a_scald_have_no_ratio(ask):
    found = ask(bake("Monday", 0), bake("Tuesday", 20, scald_liquid_ratio=1), recipe=3)
    assert (found["body"]["scald_liquid_ratio"], found["says"]) == (1, [])


def test_of_bakes_with_another_scald_only_the_loaf_counts(ask):
    mixed = [
        bake("a", scald_liquid_ratio=5),
        bake("b", scald_liquid_ratio=1),
        bake("c", scald_liquid_ratio=1.02),
    ]
    found = ask(*mixed, bake("d", 10))
    assert found["body"]["scald_liquid_ratio"] == 1.02 and waters(found) == [False, True, True, True]
    assert [each[:20] for each in found["says"]] == ["No scald ratio enter", "Scald ratio other th"]
    assert "1 : 1.02: a." in found["says"][1]
    newest = ask(bake("a", scald_liquid_ratio=1), bake("b", scald_liquid_ratio=5))
    assert newest["body"]["scald_liquid_ratio"] == 5 and waters(newest) == [False, True]


def test_a_ratio_that_is_no_number_is_refused_at_its_bake(ask, client):
    found = ask(bake("a", scald_liquid_ratio="2 to 1"), bake("b", scald_liquid_ratio=1))
    assert found["at"] == "trials/a/scald_liquid_ratio"
    response = client.post("/v1/trial-fit", json=found["body"])
    assert [each["pointer"] for each in response.json["errors"]] == ["/scald_liquid_ratio"]


@pytest.mark.parametrize("language", ["de", "ja", "zh-Hant", "zh-Hans"])
def test_the_ratio_is_said_in_each_language(ask, language):
    says = ask(
        bake("a"),
        bake("b", scald_liquid_ratio=2),
        bake("c", scald_liquid_ratio=2),
        bake("d", scald_liquid_ratio=5),
        language=language,
    )["says"]
    assert len(says) == 2 and all("2" in each and "{" not in each for each in says)
