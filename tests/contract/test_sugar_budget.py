"""sugar-budget from outside: against the craft, by hand, its notes, and refusals whose advice works."""

import copy
import math

import pytest
from pytest import approx
from scipy.interpolate import PchipInterpolator

from scaldloaf.dough.sugar import sugar_budget
from scaldloaf.dough.sugar_stages import Stage
from scaldloaf.operations.context import Context
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.schemas.sugar_budget import MAX_STAGES
from scaldloaf.operations.wire.formulas import read_formula
from scaldloaf.units import units_of

STAGES = [
    {"name": "bulk", "minutes": 75, "temperature": 28},
    {"name": "bench", "minutes": 25, "temperature": 27},
    {"name": "proof", "minutes": 70, "temperature": 32},
]


@pytest.fixture
def budget(call):
    def budget(full=True, **asked):
        return call("sugar-budget", {"formula": TIN_LOAF, "stages": STAGES, **asked}, full)

    return budget


@pytest.fixture
def refuse(client, assert_problem):
    def refuse(pointer, code, **asked):
        response = client.post("/v1/sugar-budget", json={"formula": TIN_LOAF, "stages": STAGES, **asked})
        return assert_problem(response, 422, pointer, code)

    return refuse


def with_lines(**masses) -> dict:
    """The tin loaf with other masses of some ingredients; 0 leaves the line out."""
    formula = copy.deepcopy(TIN_LOAF)
    for line in formula["lines"]:
        line["mass"] = masses.get(line["ingredient"], line["mass"])
    present = {line["ingredient"] for line in formula["lines"]}
    formula["lines"] += [
        {"ingredient": name, "mass": mass} for name, mass in masses.items() if name not in present
    ]
    formula["lines"] = [line for line in formula["lines"] if line["mass"]]
    return formula


def codes(reply, what="notes") -> set[str]:
    return {entry["code"] for entry in reply[what]}


# The answer


def test_the_tin_loaf_by_hand(budget):
    reply = budget()
    # 1 % instant = 3.0303 % compressed; 38.87 atm brakes to 0.961; an hour takes
    # 0.32 x 3.0303 x 0.961 x the rate at T over that at 30 degC, by scipy's monotone cubic
    hour = 0.32 / 0.33 * (1 - 0.25 * (reply["osmotic_pressure_atm"] - 37) / 12)
    rate = PchipInterpolator((0, 10, 20, 30, 36, 40, 43), (0.0857, 0.2028, 0.48, 1, 1.10, 0.64, 0))
    used = float(hour * (rate(28) * 75 + rate(27) * 25 + rate(32) * 70) / 60)
    assert reply["osmotic_pressure_atm"] == approx(38.87, abs=0.01)
    assert reply["compressed_yeast_percent"] == approx(1 / 0.33)
    assert reply["used_percent"]["best"] == approx(used, rel=1e-5)
    used = reply["used_percent"]["best"]
    glucose_at_mixing = reply["timeline"][0]["glucose_percent"]
    glucose, fructose = 0.1 + 3.65 * 1.05263 - 0.65 * used, 0.1 + 3.65 * 1.05263 - 0.35 * used
    hours = (75 * 2**-0.2 + 25 * 2**-0.3 + 70 * 2**0.2) / 60  # of the enzymes, as at 30 degC
    maltose = 0.1 + 2.5 * (1 - math.exp(-0.5 * hours)) + 18 * 0.20 * (1 - math.exp(-1.5 * hours))
    end = reply["timeline"][-1]
    assert (end["glucose_percent"], end["fructose_percent"], end["maltose_percent"]) == approx(
        (glucose, fructose, maltose)
    )
    assert reply["bread_mass"] == approx(929 * 0.9)
    lactose = (150 * 4.8 + 10 * 51 + 30 * 0.1) / 500
    assert reply["residual"]["lactose"]["percent_of_flour"]["best"] == approx(lactose, rel=0.05)
    per_bread = 500 / (929 * 0.9)
    assert reply["residual"]["maltose"]["percent_of_bread"]["best"] == approx(maltose * per_bread)
    sweetness = per_bread * (
        0.74 * glucose
        + 1.3 * fructose
        + 0.4 * maltose
        + 0.2 * reply["residual"]["lactose"]["percent_of_flour"]["best"]
    )
    assert reply["sweetness_percent"]["best"] == approx(sweetness)
    assert reply["gas_volume"]["best"] == approx(276 * 5 * used)
    assert reply["assessment"] == "fed"
    assert reply["free_sugar_spent_hours"] is None and reply["maltose_drawn_hours"] is None
    # 2 h in, the last stage goes on; half of the last 0.3 % is spared, as maltose stands in for it
    left = 2 * glucose_at_mixing + 0.3 - hour * float(rate(28) * 75 + rate(27) * 25 + rate(32) * 20) / 60
    assert reply["free_sugar_lasts_hours"]["best"] == approx(2 + left / (hour * float(rate(32))), rel=0.005)
    assert codes(reply) == {
        "band",
        "sugar_slows_yeast",
        "rule_of_thumb",
        "proof_with_share",
        "scald_sweetens_itself",
    }
    assert codes(reply, "cautions") >= {"raw_flour", "allergens", "perishable_dough", "no_nutrition_claim"}


def test_the_answer_is_the_craft_s(budget):
    reply = budget(yeast_tolerance="sugar_tolerant", damaged_starch_percent=6, bake_loss_percent=12)
    formula = read_formula(TIN_LOAF, Context(units_of()))
    stages = [Stage(stage["name"], stage["minutes"], stage["temperature"]) for stage in STAGES]
    ours = sugar_budget(formula, stages, "sugar_tolerant", 6, 12)
    assert reply["yeast_rate"] == ours.brake == 1
    assert len(reply["timeline"]) == len(ours.timeline)
    assert reply["timeline"][7]["glucose_percent"] == ours.timeline[7].glucose_percent
    assert reply["sweetness_percent"]["high"] == ours.sweetness_percent.high
    assert reply["residual"].keys() == ours.residual.keys()


def test_the_working_can_be_redone(budget):
    reply = budget()
    steps = {step["label"]: step for step in reply["working"]}
    assert steps["Yeast as compressed yeast"]["expression"] == "1 as instant ÷ 0.33"
    assert steps["bulk: needed in an hour at 28 °C"]["expression"].startswith("0.32 × 3.0303 × 0.961")
    hour = steps["bulk: needed in an hour at 28 °C"]["value"]
    assert steps["bulk: used"]["value"] == approx(hour * 75 / 60)
    assert steps["Sugar used"]["value"] == approx(
        sum(steps[f"{name}: used"]["value"] for name in ("bulk", "bench", "proof"))
    )
    start = sum(steps[f"{name} at the start"]["value"] for name in ("Glucose", "Fructose", "Maltose"))
    made, used = steps["Maltose the enzymes make"]["value"], steps["Sugar used"]["value"]
    assert steps["Sugar left"]["value"] == approx(start + made - used)
    end = reply["timeline"][-1]
    assert steps["Sugar left"]["value"] == approx(
        end["glucose_percent"] + end["fructose_percent"] + end["maltose_percent"] * 1.05263
    )
    assert steps["Sugars in the bread"]["value"] == approx(
        reply["residual"]["total"]["percent_of_bread"]["best"]
    )


def test_steps_left_out_on_request(budget):
    reply = budget(full=False)
    assert "working" not in reply and "basis" not in reply and "notes" not in reply and reply["cautions"]


def test_units_go_in_and_out(budget):
    metric = budget()
    stages = [{**stage, "temperature": stage["temperature"] * 1.8 + 32} for stage in STAGES]
    ounce = 28.349523125
    formula = with_lines()
    for line in formula["lines"]:
        line["mass"] /= ounce
    units = {"mass": "oz", "volume": "l", "temperature": "degF"}
    imperial = budget(formula=formula, stages=stages, units=units)
    assert imperial["gas_volume"]["best"] * 1000 == approx(metric["gas_volume"]["best"])
    assert imperial["gas_per_100_g_flour"]["best"] == approx(metric["gas_per_100_g_flour"]["best"])
    assert imperial["bread_mass"] * ounce == approx(metric["bread_mass"])
    assert imperial["sweetness_percent"]["best"] == approx(metric["sweetness_percent"]["best"])
    assert "bulk: needed in an hour at 82.4 °F" in {step["label"] for step in imperial["working"]}


def test_defaults_are_as_published(budget, document):
    body = document["paths"]["/v1/sugar-budget"]["post"]["requestBody"]
    fields = body["content"]["application/json"]["schema"]
    if "$ref" in fields:
        fields = document["components"]["schemas"][fields["$ref"].rsplit("/", 1)[1]]
    defaults = {
        name: fields["properties"][name]["default"]
        for name in ("yeast_tolerance", "damaged_starch_percent", "bake_loss_percent")
    }
    assert defaults == {"yeast_tolerance": "ordinary", "damaged_starch_percent": 8, "bake_loss_percent": 10}
    assert budget(**defaults) == budget()


# How the yeast fares


def test_a_lean_dough_runs_short_and_says_when(budget):
    reply = budget(formula=with_lines(sucrose=0, instant_yeast=20))
    assert reply["assessment"] == "starved"
    spent = reply["free_sugar_spent_hours"]
    spread = reply["free_sugar_spent_range_hours"]
    assert 0 < spread["earliest"] < spent < spread["latest"]
    assert reply["maltose_drawn_hours"] == approx(1.25)
    assert reply["timeline"][-1]["unmet_percent"] == reply["unmet_percent"] > 0
    assert {"yeast_starved"} <= codes(reply)
    assert any("not there" in step["expression"] for step in reply["working"])
    events = {row["hours"]: row["event"] for row in reply["timeline"]}
    assert "maltose drawn" in events[reply["maltose_drawn_hours"]]
    assert events[0] == "bulk begins"


def test_a_hungry_spell_that_maltose_ends(budget):
    reply = budget(
        formula=with_lines(sucrose=0, instant_yeast=7.5),
        stages=[{"minutes": 80, "temperature": 30}, {"minutes": 30, "temperature": 23}],
    )
    assert reply["assessment"] == "on_maltose" and reply["unmet_percent"] > 0
    assert "hungry_spell" in codes(reply)


def test_more_scald_leaves_more_maltose(budget, call):
    moved = call("hydration-correction", {"formula": TIN_LOAF, "scalded_share_percent": 35})["formula"]
    before, after = budget(), budget(formula=moved)
    assert (
        after["residual"]["maltose"]["percent_of_bread"]["best"]
        > 1.3 * before["residual"]["maltose"]["percent_of_bread"]["best"]
    )
    assert after["sweetness_percent"]["best"] > before["sweetness_percent"]["best"]


def test_sweet_dough_and_the_yeast_for_it(budget):
    ordinary, tolerant = (
        budget(formula=with_lines(sucrose=90), yeast_tolerance=kind)
        for kind in ("ordinary", "sugar_tolerant")
    )
    assert ordinary["sugar_tolerant_yeast_advised"] and not tolerant["sugar_tolerant_yeast_advised"]
    assert "sugar_tolerant_advised" in codes(ordinary) and "sugar_tolerant_advised" not in codes(tolerant)
    assert tolerant["used_percent"]["best"] > ordinary["used_percent"]["best"]


def test_a_formula_without_yeast_is_an_answer(budget):
    reply = budget(formula=with_lines(instant_yeast=0))
    assert reply["assessment"] == "no_yeast" and "no_yeast" in codes(reply)
    assert reply["used_percent"]["best"] == reply["gas_volume"]["high"] == 0
    assert reply["residual"]["sucrose"]["percent_of_flour"]["best"] == approx(7.3)
    assert reply["free_sugar_lasts_hours"] is None
    assert reply["osmotic_pressure_atm"] is None and reply["yeast_rate"] is None


@pytest.mark.parametrize(
    "asked, code",
    [
        ({"stages": [{"minutes": 60, "temperature": 19}]}, "temperature_extrapolated"),
        ({"stages": [{"minutes": 60, "temperature": 37}]}, "temperature_extrapolated"),
        ({"formula": with_lines(sucrose=200)}, "pressure_extrapolated"),
        (
            {
                "formula": {
                    "lines": [
                        {"ingredient": "bread_flour", "percent": 50, "part": "scald"},
                        {"ingredient": "water", "percent": 50, "part": "scald"},
                        {"ingredient": "bread_flour", "percent": 50},
                        {"ingredient": "water", "percent": 30},
                        {"ingredient": "instant_yeast", "percent": 1},
                    ]
                }
            },
            "share_extrapolated",
        ),
    ],
)
def test_where_it_extrapolates_it_says_so(budget, asked, code):
    assert code in codes(budget(**asked))
    assert code not in codes(budget())


def test_a_dough_too_hot_for_yeast_makes_no_gas_for_certain_only_at_best(budget):
    reply = budget(stages=[{"minutes": 60, "temperature": 44}])
    assert reply["gas_volume"]["best"] == 0 < reply["gas_volume"]["high"]
    assert "temperature_extrapolated" in codes(reply)
    assert (
        reply["gas_volume"]["high"]
        < budget(stages=[{"minutes": 60, "temperature": 32}])["gas_volume"]["best"]
    )


def test_yeast_in_the_scald_does_not_count_and_is_said(budget, call):
    scalded = with_lines()
    scalded["lines"].append({"ingredient": "instant_yeast", "mass": 5, "part": "scald"})
    reply = budget(formula=scalded)
    assert reply["used_percent"]["best"] == approx(budget()["used_percent"]["best"], rel=0.002)
    (note,) = [note for note in reply["notes"] if note["code"] == "yeast_in_scald"]
    assert note["values"]["yeast"] == "instant_yeast"
    assert "Instant dry yeast" in note["text"] and "yeast_in_scald" not in codes(budget())
    moved = call("hydration-correction", {"formula": scalded, "scalded_share_percent": 30})
    whole = call("breakdown", {"formula": scalded})
    scaled = call("scaling", {"formula": scalded, "target": {"kind": "factor", "factor": 2}})
    for answer in (moved, whole, scaled):
        assert "yeast_in_scald" in codes(answer)
    assert whole["instant_yeast_percent"] == approx(1)
    assert [moved[when]["instant_yeast_percent"] for when in ("before", "after")] == approx([1, 1])


def test_other_flour_widens_the_maltose_and_says_so(budget):
    """The sugars are those of white wheat flour: half and twice, to the power of 1 + 2 x 0.3."""

    def with_rye(mass):
        lines = [dict(line) for line in TIN_LOAF["lines"]]
        lines[2]["mass"] -= mass
        return {**TIN_LOAF, "lines": [*lines, {"ingredient": "rye_flour", "mass": mass}]}

    plain, little, much = (budget(formula=formula) for formula in (TIN_LOAF, with_rye(1e-6), with_rye(150)))
    assert "other_flour_sugars" not in codes(plain) | codes(little)
    (note,) = [note for note in much["notes"] if note["code"] == "other_flour_sugars"]
    assert note["values"] == {"share": approx(30), "factor": approx(2**1.6)}
    made = [reply["residual"]["maltose"]["percent_of_flour"] for reply in (plain, little, much)]
    assert made[0]["best"] == approx(made[2]["best"])
    assert made[1]["high"] == approx(made[0]["high"], rel=1e-6)
    flour = 2 * made[0]["best"] - made[0]["high"]  # what the flour brings, and no enzyme makes
    assert made[2]["high"] - flour == approx(2**1.6 * (made[0]["best"] - flour), rel=1e-6)
    assert much["sweetness_percent"]["low"] < plain["sweetness_percent"]["low"]


def test_an_own_flour_is_taken_as_white_wheat_and_asked_about(budget):
    def with_own(**says):
        flour = {"ingredient": "village flour", "mass": 150}
        flour["composition"] = {"water_percent": 13, "protein_percent": 10, "is_flour": True, **says}
        return {**TIN_LOAF, "lines": [*TIN_LOAF["lines"], flour]}

    (note,) = [n for n in budget(formula=with_own())["notes"] if n["code"] == "white_wheat_unsaid"]
    assert note["values"] == {"flours": "village flour"}
    assert not {"white_wheat_unsaid", "other_flour_sugars"} & codes(
        budget(formula=with_own(is_white_wheat=True))
    )
    assert "other_flour_sugars" in codes(budget(formula=with_own(is_white_wheat=False)))


def test_malt_widens_the_sugars_of_a_scald_and_says_so(budget):
    plain, malted = budget(), budget(formula=with_lines(diastatic_malt_flour=3))
    of_plain, of_malted = (each["residual"]["maltose"]["percent_of_flour"] for each in (plain, malted))
    assert of_malted["high"] > 1.2 * of_plain["high"] and of_malted["best"] == approx(
        of_plain["best"], rel=0.01
    )
    assert "malted_scald" in codes(malted) and "malted_scald" not in codes(plain)


# Refusals


@pytest.mark.parametrize(
    "stages, pointer, code, nearest",
    [
        ([], "/stages", "too_short", None),
        ([{"minutes": 60, "temperature": 50}], "/stages/0/temperature", "dough_too_hot", 45),
        ([STAGES[0], {"minutes": 720, "temperature": -18}], "/stages/1/temperature", "dough_too_cold", 0),
        ([{"minutes": 0, "temperature": 27}], "/stages/0/minutes", "too_small", 0.1),
        ([{"minutes": 4321, "temperature": 4}], "/stages/0/minutes", "too_large", 4320),
        ([STAGES[0], {"minutes": 4300, "temperature": 4}], "/stages/1/minutes", "too_long", 4245),
        ([{"minutes": "60", "temperature": 27}], "/stages/0/minutes", "wrong_type", 60),
        ([{"minutes": 60}], "/stages/0/temperature", "missing", None),
        ([{"minutes": 60, "temperature": 27, "humidity": 80}], "/stages/0/humidity", "unknown_field", None),
    ],
)
def test_stages_that_do_not_work(refuse, budget, stages, pointer, code, nearest):
    fault = refuse(pointer, code, stages=stages)
    assert fault["nearest"] == nearest
    if nearest is not None:  # and what is advised works
        _, index, field = pointer.strip("/").split("/")
        mended = copy.deepcopy(stages)
        mended[int(index)][field] = nearest
        assert budget(stages=mended)["timeline"]


def test_advice_comes_in_the_units_asked_in(refuse):
    fault = refuse(
        "/stages/0/temperature",
        "dough_too_hot",
        stages=[{"minutes": 60, "temperature": 375}],
        units={"temperature": "degF"},
    )
    assert fault["nearest"] == approx(113)
    assert "375 °F" in fault["detail"] and "113 °F" in fault["detail"]


def test_notes_speak_the_scale_asked_in(budget):
    for unit, cold, known in (("degC", 4, "20 °C to 36 °C"), ("degF", 40, "68 °F to 96.8 °F")):
        notes = {
            note["code"]: note["text"]
            for note in budget(units={"temperature": unit}, stages=[{"minutes": 60, "temperature": cold}])[
                "notes"
            ]
        }
        assert known in notes["temperature_extrapolated"] and "deg" not in notes["temperature_extrapolated"]


def test_too_many_stages(refuse):
    refuse("/stages", "too_long", stages=[{"minutes": 1, "temperature": 27}] * (MAX_STAGES + 1))


def test_all_stages_long_and_none_to_blame(refuse):
    fault = refuse("/stages", "too_long", stages=[{"minutes": 4320, "temperature": 4}] * 3)
    assert "216 h" in fault["detail"] and "72 h" in fault["detail"]


@pytest.mark.parametrize(
    "asked, pointer, code, nearest",
    [
        ({"yeast_tolerance": "sugar-tolerant"}, "/yeast_tolerance", "not_one_of", "sugar_tolerant"),
        ({"damaged_starch_percent": 40}, "/damaged_starch_percent", "too_large", 25),
        ({"bake_loss_percent": -1}, "/bake_loss_percent", "too_small", 0),
        ({"bake_loss_percent": 41}, "/bake_loss_percent", "too_large", 40),
    ],
)
def test_options_that_do_not_work(refuse, budget, asked, pointer, code, nearest):
    assert refuse(pointer, code, **asked)["nearest"] == nearest
    assert budget(**{pointer.strip("/"): nearest})["timeline"]


def test_a_bake_loss_above_the_doughs_water(refuse, budget):
    dry = with_lines(sucrose=3000)
    fault = refuse("/bake_loss_percent", "bake_loss_above_water", formula=dry, bake_loss_percent=30)
    reply = budget(formula=dry, bake_loss_percent=fault["nearest"])
    assert reply["residual"]["total"]["percent_of_bread"]["best"] <= 100
    assert fault["options"][0]["change"] == {"/bake_loss_percent": fault["nearest"]}
    refuse("/formula/lines", "too_little_water", formula=with_lines(sucrose=9000))


def test_yeast_without_water(refuse):
    dry = {
        "lines": [
            {"ingredient": "bread_flour", "mass": 100},
            {"ingredient": "own dry yeast", "mass": 1, "composition": {"yeast": "instant"}},
        ]
    }
    assert "water" in refuse("/formula/lines", "no_water", formula=dry)["detail"]


def test_absurd_amounts_still_give_numbers(budget):
    for heavy in ("instant_yeast", "sucrose", "salt"):
        formula = with_lines(**{heavy: 3e8, "water": 5e7})
        reply = budget(formula=formula)
        assert all(
            math.isfinite(value)
            for row in reply["timeline"]
            for value in row.values()
            if isinstance(value, float)
        )


# The sucrose to find


def dough(formula: dict) -> float:
    return sum(line["mass"] for line in formula["lines"])


def sugar_of(formula: dict) -> float:
    return sum(line["percent"] for line in formula["lines"] if line["ingredient"] == "sucrose")


def test_the_least_that_feeds_leaves_just_what_keeps_maltose_untouched(budget):
    """science, section 8: glucose and fructose at 0.3 % at the end, and no maltose drawn."""
    stages = [{"minutes": 180, "temperature": 30}]
    found = budget(stages=stages, solve={"kind": "least_that_feeds"})
    least, formula = found["solution"]["sucrose_percent"], found["solution"]["formula"]
    assert 0 < least["low"] < least["best"] < least["high"]
    left = sum(found["residual"][name]["percent_of_flour"]["best"] for name in ("glucose", "fructose"))
    assert left == approx(0.3, abs=1e-6)
    assert found["assessment"] == "fed" and found["maltose_drawn_hours"] is None
    assert sugar_of(formula) == approx(least["best"]) and found["solution"]["before_percent"] == approx(6)
    assert dough(formula) == approx(dough(TIN_LOAF))
    for line, was in zip(formula["lines"], TIN_LOAF["lines"], strict=True):
        if was["ingredient"] != "sucrose":
            assert line["percent"] == approx(was["mass"] / 5)
    less = copy.deepcopy(formula)
    for line in less["lines"]:
        del line["percent"], line["percent_of_dough"]
        line["mass"] *= 0.97 if line["ingredient"] == "sucrose" else 1
    assert budget(stages=stages, formula=less)["maltose_drawn_hours"] is not None


def test_the_answer_is_the_budget_of_the_formula_found(budget):
    found = budget(solve={"kind": "sweetness", "sweetness_percent": 7}, full=False)
    solution = found.pop("solution")
    assert budget(formula=solution["formula"], full=False) == approx_all(found)


def approx_all(value):
    if isinstance(value, dict):
        return {name: approx_all(each) for name, each in value.items()}
    if isinstance(value, list):
        return [approx_all(each) for each in value]
    return approx(value, rel=1e-9, abs=1e-9) if isinstance(value, float) else value


def test_no_sucrose_is_needed_where_the_flour_feeds(budget):
    short = [{"minutes": 40, "temperature": 22}]
    found = budget(stages=short, solve={"kind": "least_that_feeds"})
    assert found["solution"]["sucrose_percent"]["best"] == 0
    assert {"no_sucrose_needed", "sucrose_found"} <= codes(found)


@pytest.mark.parametrize("target", [5, 6.5, 9])
def test_a_sweetness_is_met(budget, target):
    found = budget(solve={"kind": "sweetness", "sweetness_percent": target})
    assert found["sweetness_percent"]["best"] == approx(target, abs=1e-6)
    assert found["assessment"] == "fed"


def test_as_sweet_as_another_formula(budget):
    like = with_lines(sucrose=45)
    found = budget(solve={"kind": "same_sweetness_as", "formula": like})
    assert found["solution"]["sucrose_percent"]["best"] == approx(9)
    assert found["solution"]["sucrose_percent"]["low"] == approx(9)  # both go through the same runs
    assert found["sweetness_percent"]["best"] == approx(budget(formula=like)["sweetness_percent"]["best"])
    plain = copy.deepcopy(TIN_LOAF)
    for line in plain["lines"]:
        line["part"] = "dough"
    scalded = budget(solve={"kind": "same_sweetness_as", "formula": plain})
    assert scalded["solution"]["sucrose_percent"]["best"] < 6  # the scald's own sugar takes the place of some


def test_a_sweetness_that_starves_the_yeast_is_refused_and_teaches(budget, refuse):
    stages = [{"minutes": 400, "temperature": 32}]
    fault = refuse(
        "/solve/sweetness_percent",
        "sweetness_below_feeding",
        stages=stages,
        solve={"kind": "sweetness", "sweetness_percent": 2},
    )
    least = budget(stages=stages, solve={"kind": "least_that_feeds"})
    assert fault["values"]["feeds"] == approx(least["solution"]["sucrose_percent"]["best"])
    assert fault["nearest"] == approx(least["sweetness_percent"]["best"])
    works = budget(stages=stages, solve={"kind": "sweetness", "sweetness_percent": fault["nearest"]})
    assert works["solution"]["sucrose_percent"]["best"] == approx(
        least["solution"]["sucrose_percent"]["best"], abs=1e-6
    )
    refuse(
        "/solve/formula",
        "sweetness_below_feeding",
        stages=stages,
        solve={"kind": "same_sweetness_as", "formula": with_lines(sucrose=5)},
    )


@pytest.mark.parametrize(
    "pointer, code, asked",
    [
        (
            "/solve/sweetness_percent",
            "sweetness_above_reach",
            {"solve": {"kind": "sweetness", "sweetness_percent": 60}},
        ),
        (
            "/stages",
            "not_to_be_fed",
            {
                "formula": with_lines(instant_yeast=20),
                "stages": [{"minutes": 4000, "temperature": 33}],
                "solve": {"kind": "least_that_feeds"},
            },
        ),
        ("/solve/kind", "not_one_of", {"solve": {"kind": "least"}}),
        ("/solve/sweetness_percent", "missing", {"solve": {"kind": "sweetness"}}),
        (
            "/solve/formula/lines/0/ingredient",
            "unknown_ingredient",
            {
                "solve": {
                    "kind": "same_sweetness_as",
                    "formula": {"lines": [{"ingredient": "flor", "mass": 1}]},
                }
            },
        ),
        (
            "/solve/formula/lines",
            "no_flour",
            {
                "solve": {
                    "kind": "same_sweetness_as",
                    "formula": {"lines": [{"ingredient": "salt", "mass": 1}]},
                }
            },
        ),
    ],
)
def test_what_is_wrong_with_the_sucrose_to_find(refuse, pointer, code, asked):
    refuse(pointer, code, **asked)
