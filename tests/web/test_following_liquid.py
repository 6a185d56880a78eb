"""The liquid that follows the share: water where the recipe has some, else the recipe's own."""

import shutil

import pytest

from page_script import run_script
from running import ROOT
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME
from scaldloaf.reference import INGREDIENTS

SCRIPT = """
import { readFileSync } from "node:fs";
import { compareRequest, sweetenedBody } from "./service/compare-requests.js";
import { planRequest } from "./service/plan-request.js";
import { correctionRequest, liquidsAmong } from "./service/requests.js";
import { startingWork } from "./state/work.js";
import { unitsOf } from "./ui/numbers.js";
const { lines, share, ingredients } = JSON.parse(readFileSync(0, "utf8"));
const isLiquid = liquidsAmong(ingredients);
const work = { ...startingWork({ stages: [], before: [], after: [] }), share };
const keyed = lines.map((line, key) => ({ key: String(key), ...line }));
work.formula = { name: "", by: "mass", flour: null, scald_evaporation: 0, lines: keyed };
const units = unitsOf("metric");
const recipe = { scalded_share_percent: 8, hydration_percent: 84 };
console.log(JSON.stringify({
  correction: correctionRequest(work, units, isLiquid).body,
  others: [planRequest(work, units, isLiquid).body,
           compareRequest(work, units, isLiquid, recipe, [], [""]).body,
           sweetenedBody(work, units, isLiquid, 8)],
}));
"""


def line(ingredient, amount, part="dough", **more):
    return {"ingredient": ingredient, "amount": amount, "part": part, **more}


REST = [line("bread_flour", 460), line("bread_flour", 40, "scald"), line("sucrose", 40), line("salt", 8)]
MILK = [*REST, line("whole_milk", 280), line("whole_milk", 200, "scald")]
CREAM = {"water_percent": 40, "is_liquid": True}
WHEY = {"water_percent": 93, "is_liquid": True}


@pytest.fixture(scope="module")
def ask(tmp_path_factory):
    folder = tmp_path_factory.mktemp("web")
    for name in ("service", "state", "ui"):
        shutil.copytree(ROOT / "web" / name, folder / name)
    ingredients = [{"name": each.name, "is_liquid": each.is_liquid} for each in INGREDIENTS.values()]

    def run(lines, share=5):
        return run_script(folder, SCRIPT, {"lines": lines, "share": share, "ingredients": ingredients})

    return run


@pytest.mark.parametrize(
    ("lines", "follows"),
    [
        (MILK, "whole_milk"),
        ([*REST, line("whole_milk", 240, "scald")], "whole_milk"),
        (
            [*REST, line("whole_milk", 200, "scald"), line("buttermilk", 90), line("skim_milk", 30)],
            "buttermilk",
        ),
        ([*REST, line("thick", 300, composition=CREAM), line("whey", 90, composition=WHEY)], "whey"),
        # Water wherever it is: as before, the service takes that by itself.
        ([*MILK, line("water", 20)], None),
        ([*MILK, line("water", 20, "scald")], None),
        ([*REST, line("whole_egg", 100)], None),
    ],
)
def test_every_request_names_the_liquid_that_follows(ask, lines, follows):
    asked = ask(lines)
    assert [body.get("adjust_with") for body in (asked["correction"], *asked["others"])] == [follows] * 4


@pytest.mark.parametrize("share", [0, 2, 5, 12, 20])
def test_a_recipe_with_milk_alone_moves_to_either_side_of_its_own_share(ask, share):
    """Only water can't be taken out of it: the service refuses the shares below."""
    lines = perform(BY_NAME["hydration-correction"], ask(MILK, share)["correction"])["formula"]["lines"]
    assert {each["ingredient"] for each in lines} == {"bread_flour", "sucrose", "salt", "whole_milk"}
    scalded = sum(
        each["mass"] for each in lines if each["part"] == "scald" and each["ingredient"] == "bread_flour"
    )
    flour = sum(each["mass"] for each in lines if each["ingredient"] == "bread_flour")
    assert 100 * scalded / flour == pytest.approx(share)
