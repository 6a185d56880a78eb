"""One plan in place of the single calls, in Node: the same answers, from the requests that the page makes."""

import shutil

import pytest

from page_script import run_script
from running import ROOT

SCRIPT = """
import { readFileSync } from "node:fs";
globalThis.document = { createElement: () => ({ setAttribute() {}, append() {} }) };
const { createApi } = await import("./service/api.js");
const { askerByPlan } = await import("./service/by-plan.js");
const { breadAfter, correctionRequest, liquidsAmong, panFillRequest, weighOutRequest } =
  await import("./service/requests.js");
const { sugarRequest } = await import("./service/sugar-request.js");
const { startingWork } = await import("./state/work.js");
const { unitsOf } = await import("./ui/numbers.js");
const { url, works } = JSON.parse(readFileSync(0, "utf8"));
const api = createApi(url);
const isLiquid = liquidsAmong((await api.facts("labels?language=en")).ingredients);
const units = unitsOf("metric");
const inOunces = unitsOf("us", (await api.facts("units")).quantities);
const pattern = startingWork({ stages: [["bulk", 90, 27]], before: [], after: [["bake", 35]] });

function changed(onto, change) {
  for (const [name, value] of Object.entries(change)) {
    const deep = value && typeof value === "object" && !Array.isArray(value);
    onto[name] = deep ? changed(onto[name] ?? {}, value) : value;
  }
  return onto;
}

async function answers(work, wanted, ask) {
  const water = await ask("water", correctionRequest(work, wanted, isLiquid));
  const fill = await ask("fill", panFillRequest(work, wanted, breadAfter(water)));
  const weighing = weighOutRequest(work, wanted, fill.formula, fill.total_dough_mass.best);
  const feeding = sugarRequest(work, wanted, water.formula, fill);
  return { water, fill, weigh: await ask("weigh", weighing), sugar: await ask("sugar", feeding) };
}

const found = [];
for (const change of works) {
  const work = changed(structuredClone(pattern), change);
  const asked = [];
  const counting = { call(name, ...rest) { asked.push(name); return api.call(name, ...rest); } };
  const single = async (step, { call, body, reply }) => reply ?? counting.call(call, body);
  const wanted = change.units === "us" ? inOunces : units;
  const { signal } = new AbortController();
  const together = await answers(work, wanted, askerByPlan(counting, isLiquid)(work, wanted, single, signal));
  found.push({ asked: asked.splice(0), together, single: await answers(work, wanted, single) });
}
console.log(JSON.stringify(found));
"""
AGAIN = """
globalThis.document = { createElement: () => ({ setAttribute() {}, append() {} }) };
const { Refused, Runner, Unreachable } = await import("./service/api.js");
const { askerByPlan } = await import("./service/by-plan.js");
const { startingWork } = await import("./state/work.js");
const { unitsOf } = await import("./ui/numbers.js");
const work = startingWork({ stages: [["bulk", 90, 27]], before: [], after: [] });
const parts = { hydration_correction: {}, pan_fill: {}, scaling: {}, sugar_budget: {} };
const asked = [];
const fails = {};
const api = { async call(name) {
  asked.push(name);
  if (fails[name]) throw new fails[name]({ title: "" });
  return name === "loaf-plan" ? { parts } : {};
} };
const askerOf = askerByPlan(api, () => false);
const request = (call, body = {}) => ({ call, body, place: () => "" });
let ended;
const end = () => ended();
const listener = { began() {}, answered() {}, refused() {}, unreachable: end, settled: end };
const runner = new Runner(api, listener, async (askFor, allAsked, signal) => {
  const ask = askerOf(work, unitsOf("metric"), askFor, signal);
  await ask("water", request("hydration-correction"));
  await ask("sugar", request("sugar-budget"));
  await ask("formula", request("breakdown", { tries: fails.breakdown?.name }));
});
async function run() {
  const done = new Promise((now) => { ended = now; });
  runner.again();
  await done;
  await new Promise((now) => { setTimeout(now); });
  return asked.splice(0);
}
const found = { planned: await run(), same: await run() };
work.pans = 2;
fails["loaf-plan"] = Refused;
found.refused = await run();
work.pans = 3;
delete fails["loaf-plan"];
fails.breakdown = Unreachable;
found.lost = await run();
found.back = await run();
runner.stop();
console.log(JSON.stringify(found));
"""
OF_THE_BATCH = {"bread_mass", "gas_volume", "working"}  # which in a plan is the dough of tonight
LOAF = {"kind": "reference_loaf", "dough_mass": 440, "fill_percent": 100}
BOX = {"kind": "box", "length": 23, "width": 12, "depth": 7}
BY_PLAN = [
    {"share": 35},
    {"share": 35, "lid": True, "pans": 3, "bread": LOAF},
    {"share": 35.7, "lid": False, "fill_percent": 92, "bread": {**LOAF, "pan": BOX}},
    {"share": 0, "bread": {**LOAF, "fill_percent": None, "loaf_volume": 1650, "bake_loss_percent": 9}},
    {"share": 41, "bread": {"kind": "specific_volume"}, "bake_loss_percent": 11},
    {"share": 28, "bread": {"kind": "pan_ratio"}, "pan": {"kind": "round"}},
    {"share": 30, "water": {"scald_liquid_ratio": 1.5, "hydration_percent": 73}},
    {"share": 30, "water": {"flour": {"absorption_percent": 63, "base_absorption_percent": 60}}},
    {"share": 30, "water": {"curve": [{"share": 0, "hydration": 62}, {"share": 40, "hydration": 73}]}},
    {"share": 33, "weigh": {"resolution": 5, "fine_resolution": 0.5, "fine_below": 20}},
    {"share": 33, "weigh": {"handling_percent": None}},
    {"share": 33, "units": "us", "bread": LOAF},
]
IN_PERCENT = [
    ["bread_flour", 80, "dough"],
    ["bread_flour", 20, "scald"],
    ["whole_milk", 25, "scald"],
    ["whole_milk", 38, "dough"],
    ["salt", 1.8, "dough"],
    ["instant_yeast", 1, "dough"],
]
LINES = [
    dict(zip(("ingredient", "amount", "part"), line, strict=True), key=str(n))
    for n, line in enumerate(IN_PERCENT)
]
BY_PLAN += [{"share": 26, "formula": {"by": "percent", "lines": LINES}}]  # its milk follows the share
BY_SINGLE_CALLS = [
    {"share": 33, "water": {"hold": "flour_mass"}},
    {"share": 33, "water": {"gluten_percent": 2}, "bread": LOAF},
    {"share": 33, "bake_loss_percent": 11, "cooling_loss_percent": 2},
    {"share": 33, "bake_loss_percent": 27, "cooling_loss_percent": 4},  # each at most 30, and 10
]


@pytest.fixture(scope="module")
def answered(service, tmp_path_factory):
    """For each work what was asked, the answers of a plan, and those of the single calls."""
    folder = tmp_path_factory.mktemp("web")
    return lambda works: run_in(folder, SCRIPT, {"url": service.url, "works": works})


def run_in(folder, script, given=None):
    """What a script in the folder of the page prints."""
    shutil.copytree(ROOT / "web", folder, dirs_exist_ok=True)
    return run_script(folder, script, given)


def near(one, other) -> bool:
    """The same, but for the last figures: the service calculates in grams, whatever units the request has."""
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(near(value, other[name]) for name, value in one.items())
    if isinstance(one, list):
        return len(one) == len(other) and all(map(near, one, other))
    if isinstance(one, bool | str | None):
        return one == other
    return one == pytest.approx(other, rel=1e-9, abs=1e-9)


def test_a_plan_answers_as_the_single_calls_do(answered):
    for work, found in zip(BY_PLAN, answered(BY_PLAN), strict=True):
        assert found["asked"] == ["loaf-plan"], work
        for step, reply in found["single"].items():
            one, other = found["together"][step], reply
            if step == "sugar":
                one, other = (
                    {name: each[name] for name in each if name not in OF_THE_BATCH} for each in (one, other)
                )
            assert near(one, other), (work, step)


def test_where_a_plan_would_answer_otherwise_the_single_calls_do(answered):
    for work, found in zip(BY_SINGLE_CALLS, answered(BY_SINGLE_CALLS), strict=True):
        assert found["asked"] == ["hydration-correction", "pan-fill", "scaling", "sugar-budget"], work
        assert found["together"] == found["single"]


def test_answers_of_a_plan_are_for_that_plan_and_that_service(tmp_path):
    found = run_in(tmp_path, AGAIN)
    assert found["planned"] == ["loaf-plan", "breakdown"]
    assert found["same"] == []
    assert found["refused"] == ["loaf-plan", "hydration-correction", "sugar-budget"]
    assert found["lost"] == ["loaf-plan", "breakdown"]
    assert found["back"] == ["loaf-plan", "breakdown"]
