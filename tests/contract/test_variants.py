"""variants from outside: each cell is the single call's, none spoils another, one weigh-out for all."""

import copy
import csv
import io

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pytest import approx

from scaldloaf.operations.lantern_quay import PRICES, SIDE_BY_SIDE, SWEETER_OR_NOT, THREE_TINS, TIN_LOAF

BASE = {name: value for name, value in SIDE_BY_SIDE.items() if name not in ("variants", "hold")}
OF_WATER = (
    "hydration_percent",
    "optimum_hydration_percent",
    "assessment",
    "uncertain",
    "judged_by",
    "judged_against",
)
LONG_TIN = {"kind": "box", "length": 28.5, "width": 9.5, "depth": 9.5}
MANY = [
    {"name": "as it was"},
    {"name": "share", "scalded_share_percent": 35},
    {"name": "water", "scalded_share_percent": 30, "hydration_percent": 66},
    {"name": "ratio", "scalded_share_percent": 30, "scald_liquid_ratio": 1.2},
    {"name": "sugar", "scalded_share_percent": 30, "sucrose_percent": 9},
    {"name": "no sugar", "sucrose_percent": 0},
    {"name": "gluten", "scalded_share_percent": 35, "gluten_percent": 2},
    {"name": "tin", "scalded_share_percent": 35, "pan": LONG_TIN},
    {"name": "dough", "scalded_share_percent": 35, "dough_mass": 455},
    {"name": "filled", "scalded_share_percent": 35, "hold": "pan"},
    {"name": "flour", "scalded_share_percent": 35, "hold": "flour_mass"},
    {"name": "held", "scalded_share_percent": 35, "hold": "dough_mass"},
]


@pytest.fixture
def compare(call):
    def compare(variants=MANY, full=True, **more):
        return call("variants", {**BASE, "variants": variants, **more}, full)

    return compare


@pytest.fixture
def refuse(client, assert_problem):
    def refuse(pointer, code, variants=MANY, **more):
        body = {**BASE, "variants": variants, **more}
        return assert_problem(client.post("/v1/variants", json=body), 422, pointer, code)

    return refuse


def row_of(reply, name: str) -> dict:
    (found,) = [row for row in reply["variants"] if row["name"] == name]
    return found


def codes(notes) -> list[str]:
    return [note["code"] for note in notes]


def total(lines) -> float:
    return sum(line["mass"] for line in lines)


def sweetened(formula: dict, percent: float, hold: str) -> dict:
    """The formula with another mass of sugar, by hand: then as much of it as holds dough or flour."""
    formula = copy.deepcopy(formula)
    flour = sum(line["mass"] for line in formula["lines"] if line["ingredient"] == "bread_flour")
    before = total(formula["lines"])
    for line in formula["lines"]:
        if line["ingredient"] == "sucrose":
            line["mass"] = flour * percent / 100
    if hold != "flour_mass":
        factor = before / total(formula["lines"])
        for line in formula["lines"]:
            line["mass"] *= factor
    return formula


# Each cell is the single call's answer


@pytest.mark.parametrize("hold", ["dough_mass", "flour_mass", "pan"])
def test_each_cell_is_the_single_calls(compare, call, hold):
    reply = compare(hold=hold)
    for variant in MANY:
        row, held = row_of(reply, variant["name"]), variant.get("hold", hold)
        formula, pan = TIN_LOAF, variant.get("pan", BASE["pan"])
        if "sucrose_percent" in variant:
            formula = sweetened(formula, variant["sucrose_percent"], held)
        moved = ("scalded_share_percent", "hydration_percent", "scald_liquid_ratio", "gluten_percent")
        corrected = call(
            "hydration-correction",
            {
                "formula": formula,
                "hold": "flour_mass" if held == "flour_mass" else "dough_mass",
                "bake_loss_percent": 10.5,
                **{name: variant[name] for name in moved if name in variant},
            },
        )
        for field in OF_WATER:
            assert row[field] == near(corrected[field]), (variant, field)
        filled = call(
            "pan-fill",
            {
                "pan": pan,
                "pans": 3,
                "bake_loss_percent": 10.5,
                "formula": corrected["formula"],
                "hydration_off_optimum_points": corrected["hydration_percent"]
                - corrected["optimum_hydration_percent"]["best"],
                "bread": {**BASE["bread"], "gluten_percent": 0},
            },
        )
        assert row["specific_volume"] == near(filled["specific_volume"])
        assert row["filling_dough_mass"] == near(filled["dough_mass"])
        assert row["pan_volume"] == near(filled["pan_volume"])
        in_pans = {
            "dough_mass": total(TIN_LOAF["lines"]),
            "flour_mass": corrected["dough_mass"],
            "pan": filled["total_dough_mass"]["best"],
        }[held]
        if "dough_mass" in variant:
            in_pans = 3 * variant["dough_mass"]
        assert row["dough_mass"]["best"] == approx(in_pans / 3)
        if held == "pan" and "dough_mass" not in variant:
            assert (row["dough_mass"], row["pan_ratio"]) == near((filled["dough_mass"], filled["pan_ratio"]))
            assert row["fill_percent"]["best"] == approx(100)
        else:
            assert row["pan_ratio"]["best"] == approx(filled["pan_volume"] / (in_pans / 3))
            assert row["fill_percent"]["best"] == approx(100 * in_pans / filled["total_dough_mass"]["best"])
        scaled = call(
            "scaling",
            {
                "formula": corrected["formula"],
                "target": {"kind": "dough_mass", "mass": in_pans},
                "losses": {"handling_percent": 2},
                "scale": BASE["scale"],
            },
        )
        assert row["formula"] == near(scaled["formula"])
        assert row["mixed_dough_mass"] == approx(scaled["dough_mass"])
        assert [line["mass"] for line in row["weigh_out"]] == [line["mass"] for line in scaled["weigh_out"]]
        budget = call(
            "sugar-budget",
            {"formula": row["formula"], "stages": BASE["stages"], "bake_loss_percent": 10.5},
        )
        assert row["sweetness_percent"] == near(budget["sweetness_percent"])
        assert row["sugar_left_percent"] == near(budget["residual"]["total"]["percent_of_bread"])
        assert row["free_sugar_lasts_hours"] == near(budget["free_sugar_lasts_hours"])
        assert row["yeast_fed"] == budget["assessment"]
        tempered = call(
            "dough-temperature",
            {"rule": {"kind": "heat_balance", "formula": row["formula"], **BASE["temperatures"]}},
        )
        assert row["water_temperature"] == near(tempered["water_temperature"])
        prepared = call(
            "scald-preparation", {"scald": {"kind": "formula", "formula": row["formula"]}, **BASE["scald"]}
        )
        assert row["scald_core_temperature"] == near(prepared["core_temperature"])
        assert row["scald_swollen_percent"] == near(prepared["swollen_percent"])
        assert row["scald_starch"] == prepared["gelatinisation"]["assessment"]


def near(value):
    """Equal but for rounding, all the way down."""
    if isinstance(value, dict):
        return {name: near(each) for name, each in value.items()}
    if isinstance(value, list | tuple):
        return type(value)(near(each) for each in value)
    return approx(value, rel=1e-9, abs=1e-9) if isinstance(value, float) else value


@pytest.mark.parametrize("variant", MANY, ids=[each["name"] for each in MANY])
def test_the_plan_of_a_variant_has_its_figures(compare, call, variant):
    row = compare([variant], hold="pan")["variants"][0]
    plan = call("loaf-plan", row["request"])
    for field in (*OF_WATER, "scalded_share_percent"):
        assert near(row[field]) == plan[field]
    assert row["filling_dough_mass"] == near(plan["dough_mass"])
    assert row["sweetness_percent"] == near(plan["sugar"]["sweetness_percent"])
    assert row["water_temperature"] == near(plan["water_temperature"])
    prepared = plan["parts"]["scald_preparation"]
    assert row["scald_core_temperature"] == near(prepared["core_temperature"])
    if "dough_mass" not in variant and "hold" not in variant:
        assert row["formula"] == near(plan["formula"])
        weighed = plan["weigh_out"]
        assert row["weigh_out"] == near(weighed["scald"] + weighed["dough"])


def test_brief_is_the_full_answer_without_what_explains_it(compare):
    full = compare()
    brief = {name: full[name] for name in full if name not in ("working", "basis", "notes")}
    brief["variants"] = [{name: row[name] for name in row if name != "notes"} for row in full["variants"]]
    assert compare(full=False) == brief


def test_units_are_only_spelling(call):
    metric = call("variants", SWEETER_OR_NOT)
    body = copy.deepcopy(SWEETER_OR_NOT)
    for line in body["formula"]["lines"]:
        line["mass"] /= 28.349523125
    for side in ("length", "width", "depth"):
        body["pan"][side] /= 2.54
    for price in body["prices"]:
        price["per"] /= 28.349523125
    ounces = call("variants", {**body, "units": {"mass": "oz", "length": "in"}})
    for here, there in zip(ounces["variants"], metric["variants"], strict=True):
        assert here["name"] == there["name"] and ("problem" in here) == ("problem" in there)
        if "problem" not in here:
            assert here["dough_mass"]["best"] * 28.349523125 == approx(there["dough_mass"]["best"])
            assert here["sweetness_percent"] == near(there["sweetness_percent"])
            assert here["cost"]["total"] == there["cost"]["total"]


# What is held, what is the same, what differs


def test_one_rule_holds_for_all(compare):
    shares = [{"name": str(share), "scalded_share_percent": share} for share in (10, 20, 30)]
    held = compare(shares)
    assert [row["dough_mass"]["best"] for row in held["variants"]] == approx([929 / 3] * 3)
    assert held["same"]["dough_mass"]["best"] == approx(929 / 3)
    assert [row["fill_percent"]["best"] for row in held["variants"]] == sorted(
        (row["fill_percent"]["best"] for row in held["variants"]), reverse=True
    )
    flour = compare(shares, hold="flour_mass", losses={"bake_percent": 10.5})
    for row in flour["variants"]:
        lines = row["formula"]["lines"]
        assert total(line for line in lines if line["ingredient"] == "bread_flour") == approx(500)
    filled = compare(shares, hold="pan")
    assert [row["fill_percent"]["best"] for row in filled["variants"]] == approx([100] * 3)
    assert "dough_mass" not in filled["same"]


def test_what_is_the_same_is_said_once(compare):
    same = compare([{"name": "a", "sucrose_percent": 4}, {"name": "b", "sucrose_percent": 8}])["same"]
    assert same["scalded_share_percent"] == approx(20) and same["scald_liquid_ratio"] == approx(1)
    assert same["hydration_percent"] == approx(66.464) and same["gluten_percent"] == 0
    assert "sucrose_percent" not in same
    lines = {(line["ingredient"], line["part"]): line["percent"] for line in same["lines"]}
    assert ("sucrose", "dough") not in lines
    assert lines["salt", "dough"] == approx(1.8) and lines["bread_flour", "scald"] == approx(20)
    alone = compare([{"name": "a"}])
    assert alone["same"]["sucrose_percent"] == approx(6) and alone["differences"] == []


def test_differences_are_from_the_first(compare):
    reply = compare(hold="pan")
    first = reply["variants"][0]
    assert [each["name"] for each in reply["differences"]] == [each["name"] for each in MANY[1:]]
    for each in reply["differences"]:
        row = row_of(reply, each["name"])

        def less(field, row=row):
            one, other = row[field], first[field]
            return approx(one["best"] - other["best"] if isinstance(one, dict) else one - other, abs=1e-6)

        assert each["scalded_share_points"] == less("scalded_share_percent")
        assert each["hydration_points"] == less("hydration_percent")
        assert each["sucrose_points"] == less("sucrose_percent")
        assert each["dough_mass"] == less("dough_mass")
        assert each["sweetness_points"] == less("sweetness_percent")
        assert each["sugar_left_points"] == less("sugar_left_percent")
        assert each["free_sugar_lasts_hours"] == less("free_sugar_lasts_hours")
        assert each["water_temperature"] == less("water_temperature")
        assert each["gluten_points"] == less("gluten_percent")
        assert each["scald_liquid_ratio"] == less("scald_liquid_ratio")
        assert each["scald_core_temperature"] == less("scald_core_temperature")
        assert each["scald_swollen_points"] == less("scald_swollen_percent")
        assert each["fill_points"] == less("fill_percent")
        ratio = row["specific_volume"]["best"] / first["specific_volume"]["best"]
        assert each["specific_volume_percent"] == approx(100 * (ratio - 1), abs=1e-6)
        assert total(each["lines"]) == approx(
            total(row["formula"]["lines"]) - total(first["formula"]["lines"]), abs=1e-6
        )
    (none,) = compare([{"name": "a"}, {"name": "b"}])["differences"]
    assert none["lines"] == [] and none["dough_mass"] == 0 == none["sweetness_points"]


def test_sugar_and_water_of_what_was_not_asked(call):
    body = {"formula": TIN_LOAF, "pan": BASE["pan"], "variants": [{"name": "a"}, {"name": "b"}]}
    reply = call("variants", body)
    for row in reply["variants"]:
        assert {row[name] for name in ("sweetness_percent", "water_temperature")} == {None}
        assert row["scald_core_temperature"] is None and row["scald_swollen_percent"] is None
        assert "yeast_fed" not in row and "scald_starch" not in row
    assert reply["differences"][0]["sweetness_points"] is None
    assert {"no_stages", "no_temperatures"} <= set(codes(reply["notes"]))


def test_a_variant_in_another_tin_does_not_restate_the_known_loaf(compare):
    bread = {"kind": "reference_loaf", "dough_mass": 480, "fill_percent": 100, "scalded_share_percent": 20}
    reply = compare([{"name": "a"}, {"name": "b", "pan": LONG_TIN}], hold="pan", bread=bread)
    first, longer = reply["variants"]
    assert first["dough_mass"]["best"] == approx(480)
    assert longer["dough_mass"]["best"] == approx(1.5 * 480)
    assert longer["request"]["bread"] == {**bread, "pan": BASE["pan"]}
    assert "pan" not in first["request"]["bread"]


def test_a_formula_without_sugar_gets_a_line(call):
    lean = {"lines": [line for line in TIN_LOAF["lines"] if line["ingredient"] != "sucrose"]}
    body = {
        "formula": lean,
        "pan": BASE["pan"],
        "variants": [{"name": "a"}, {"name": "b", "sucrose_percent": 5}],
    }
    plain, sweet = call("variants", body)["variants"]
    assert plain["sucrose_percent"] == 0 and sweet["sucrose_percent"] == approx(5)
    assert sweet["formula"]["lines"][-1]["ingredient"] == "sucrose"
    assert sweet["mixed_dough_mass"] == approx(plain["mixed_dough_mass"])


def test_a_thinner_scald_gets_hotter_and_one_without_flour_has_none(compare, refuse):
    variants = [
        {"name": "as it was"},
        {"name": "thin", "scalded_share_percent": 10, "scald_liquid_ratio": 2},
        {"name": "none", "scalded_share_percent": 0},
    ]
    reply = compare(variants)
    first, thin, none = reply["variants"]
    assert thin["scald_core_temperature"]["best"] > first["scald_core_temperature"]["best"] + 3
    assert thin["scald_swollen_percent"]["best"] > first["scald_swollen_percent"]["best"]
    assert none["scald_core_temperature"] is None and "scald_starch" not in none
    assert reply["differences"][0]["scald_core_temperature"] > 3
    assert reply["differences"][1]["scald_core_temperature"] is None
    assert "hot_scald" in codes(reply["cautions"])
    cool = {**BASE["scald"], "method": {**BASE["scald"]["method"], "liquid_temperature": 50}}
    assert {row.get("scald_starch") for row in compare(variants[:1], scald=cool)["variants"]} == {
        "not_gelatinised"
    }
    boiling = {"kind": "pour_over", "flour_temperature": 21, "liquid_temperature": 120}
    refuse("/scald/method/liquid_temperature", "not_liquid", scald={"method": boiling})
    refuse("/scald/weighed", "unknown_field", scald={**BASE["scald"], "weighed": {"mass": 200}})


def proof_of(call, share: float, *timed: tuple[float, float]) -> dict:
    """What trial-fit says of the proof at a share, of bakes at (share, minutes)."""
    trials = [
        {
            "scalded_share_percent": at,
            "dough_mass": 440,
            "loaf_volume": 1715 - 3 * at,
            "baked_mass": 394,
            "proof_minutes": minutes,
        }
        for at, minutes in timed
    ]
    want = {"pan": BASE["pan"], "scalded_share_percent": share}
    return call("trial-fit", {"trials": trials, "want": want})["proof"]


def test_the_proof_of_each_share_by_own_trials(compare, call):
    timed = (10, 58), (20, 62), (30, 70), (30, 68)
    shares = [{"name": str(share), "scalded_share_percent": share} for share in (20, 30, 35)]
    reply = compare(shares, proof=proof_of(call, 20, *timed))
    for row, variant in zip(reply["variants"], shares, strict=True):
        there = proof_of(call, variant["scalded_share_percent"], *timed)["minutes"]
        assert row["proof_minutes"]["best"] == approx(there["best"])
        assert row["proof_minutes"]["low"] == approx(there["low"], rel=0.06)
        assert row["proof_minutes"]["high"] == approx(there["high"], rel=0.06)
    assert reply["differences"][1]["proof_minutes"] == approx(
        reply["variants"][2]["proof_minutes"]["best"] - reply["variants"][0]["proof_minutes"]["best"]
    )
    of_one = proof_of(call, 20, (20, 62))
    assert of_one["minutes"] is not None and of_one["minutes_per_share_point"] is None
    known, beyond, _ = compare(shares, proof=of_one)["variants"]
    assert known["proof_minutes"]["best"] == approx(62) and beyond["proof_minutes"] is None
    untimed = {**of_one, "minutes": None}
    assert {row["proof_minutes"] for row in compare(shares, proof=untimed)["variants"]} == {None}
    assert {row["proof_minutes"] for row in compare(shares)["variants"]} == {None}


def test_a_proof_that_no_trials_gave_is_refused(refuse, call):
    proof = proof_of(call, 20, (20, 62))
    for best, code in ((200, "ends_in_disorder"), (1, "ends_in_disorder")):
        refuse("/proof/minutes/best", code, proof={**proof, "minutes": {**proof["minutes"], "best": best}})
    refuse("/proof/minutes/low", "no_time", proof={**proof, "minutes": {**proof["minutes"], "low": 0}})
    refuse("/proof/minutes/low", "missing", proof={**proof, "minutes": {"best": 60, "high": 70}})


# One weigh-out


def test_scalds_of_one_mix_are_made_once(compare):
    variants = [
        {"name": "20", "scalded_share_percent": 20},
        {"name": "30", "scalded_share_percent": 30},
        {"name": "stiff", "scalded_share_percent": 30, "scald_liquid_ratio": 0.8},
        {"name": "none", "scalded_share_percent": 0},
    ]
    reply = compare(variants)
    one, stiff = reply["weigh_out"]["scalds"]
    assert (one["liquid_ratio"], stiff["liquid_ratio"]) == approx((1, 0.8))
    assert [each["name"] for each in one["portions"]] == ["20", "30"]
    assert [each["name"] for each in stiff["portions"]] == ["stiff"]
    for scald in (one, stiff):
        assert total(scald["lines"]) == approx(scald["total"])
        assert total(scald["portions"]) == approx(scald["total"])
        for portion in scald["portions"]:
            lines = row_of(reply, portion["name"])["formula"]["lines"]
            exact = total(line for line in lines if line["part"] == "scald")
            assert portion["mass"] == approx(exact, abs=1) and portion["mass"] == int(portion["mass"])
    assert "allergen_contact" in codes(reply["cautions"])


def test_what_evaporates_is_taken_off_the_portions(call):
    formula = {**TIN_LOAF, "scald_evaporation": 12}
    shares = [{"name": str(share), "scalded_share_percent": share} for share in (20, 25)]
    reply = call("variants", {"formula": formula, "pan": BASE["pan"], "variants": shares})
    (scald,) = reply["weigh_out"]["scalds"]
    assert scald["evaporation"] > 12
    assert total(scald["portions"]) == approx(scald["total"] - scald["evaporation"], abs=0.51)


def test_the_dry_mix_has_what_is_the_same_in_all(compare):
    shares = compare([{"name": str(share), "scalded_share_percent": share} for share in (20, 30)], hold="pan")
    common = shares["weigh_out"]["common"]
    assert [line["ingredient"] for line in common["lines"]] == ["sucrose", "skim_milk_powder", "salt"]
    assert [each["name"] for each in common["portions"]] == ["20", "30"]
    assert total(common["portions"]) == approx(common["total"], abs=0.51)
    sugars = compare([{"name": str(sugar), "sucrose_percent": sugar} for sugar in (4, 8)])
    mix = sugars["weigh_out"]["common"]
    assert [line["ingredient"] for line in mix["lines"]] == ["bread_flour", "skim_milk_powder", "salt"]
    assert compare([{"name": "alone"}])["weigh_out"]["common"] is None
    lean = {"lines": [line for line in TIN_LOAF["lines"] if line["ingredient"] in ("bread_flour", "water")]}
    warmed = {**BASE["temperatures"], "adjust_with": ["water"]}
    shares = [{"name": "a"}, {"name": "b", "scalded_share_percent": 10}]
    assert compare(shares, formula=lean, temperatures=warmed)["weigh_out"]["common"] is None


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    # A scald too small to be made is refused, so it has none, or some grams.
    shares=st.lists(st.just(0) | st.floats(0.5, 35), min_size=1, max_size=5),
    sugars=st.lists(st.sampled_from([4, 6, 9]), min_size=5, max_size=5),
    ratios=st.lists(st.sampled_from([0.9, 1, 1.2]), min_size=5, max_size=5),
    resolution=st.sampled_from([0.1, 1, 5]),
    hold=st.sampled_from(["dough_mass", "flour_mass", "pan"]),
)
def test_nothing_is_weighed_twice_or_left_out(compare, shares, sugars, ratios, resolution, hold):
    variants = [
        {
            "name": str(place),
            "scalded_share_percent": share,
            "sucrose_percent": sugars[place],
            "scald_liquid_ratio": ratios[place],
        }
        for place, share in enumerate(shares)
    ]
    reply = compare(variants, full=False, hold=hold, scale={"resolution": resolution})
    made = [row for row in reply["variants"] if "problem" not in row]
    together = reply["weigh_out"]
    by_name = {row["name"]: 0.0 for row in made}
    for mix in (*together["scalds"], *filter(None, [together["common"]])):
        lost = mix.get("evaporation", 0)
        assert total(mix["portions"]) == approx(mix["total"] - lost, abs=resolution / 2 + 1e-6)
        for portion in mix["portions"]:
            by_name[portion["name"]] += portion["mass"]
    for rest in together["rest"]:
        by_name[rest["name"]] += total(rest["lines"])
    for row in made:
        assert by_name[row["name"]] == approx(row["mixed_dough_mass"], abs=12 * resolution)
    weighed = sum(total(mix["lines"]) for mix in together["scalds"])
    weighed += total((together["common"] or {"lines": []})["lines"])
    weighed += sum(total(rest["lines"]) for rest in together["rest"])
    assert weighed == approx(sum(row["mixed_dough_mass"] for row in made), abs=12 * resolution * len(made))


# One refused is no other's


def test_a_refused_variant_spoils_no_other(compare):
    wrong = [
        {"name": "too much", "scalded_share_percent": 30, "scald_liquid_ratio": 3},
        {"name": "a thimble", "pan": {"kind": "volume", "volume": 0.01}},
        {"name": "dry", "hydration_percent": 20},
    ]
    reply = compare([wrong[0], MANY[1], *wrong[1:], MANY[2]], hold="pan")
    alone = compare([MANY[1], MANY[2]], hold="pan")
    made = [row for row in reply["variants"] if "problem" not in row]
    assert [row["name"] for row in made] == ["share", "water"]
    kept = [{name: row[name] for name in row if name != "notes"} for row in made]
    assert kept == [{name: row[name] for name in row if name != "notes"} for row in alone["variants"]]
    for name in ("same", "differences", "weigh_out"):
        assert reply[name] == alone[name]
    faults = {row["name"]: row["problem"]["errors"][0] for row in reply["variants"] if "problem" in row}
    assert faults["too much"]["pointer"] == "/variants/0/scalded_share_percent"
    assert faults["too much"]["code"] == "scald_liquid_short"
    assert faults["a thimble"]["pointer"] == "/variants/2/pan/volume"
    assert faults["dry"]["pointer"] == "/variants/3/hydration_percent"
    refused = next(note for note in reply["notes"] if note["code"] == "variants_refused")
    assert refused["values"] == {"refused": 3, "variants": 5, "names": "too much, a thimble, dry"}
    assert next(note for note in reply["notes"] if note["code"] == "compared_with")["values"] == {
        "name": "share"
    }


def test_the_ways_out_of_a_refused_variant_work(compare):
    wrong = {"name": "wrong", "scalded_share_percent": 30, "scald_liquid_ratio": 3}
    variants = [{"name": "right"}, wrong]
    (fault,) = compare(variants)["variants"][1]["problem"]["errors"]
    assert len(fault["options"]) >= 2 and fault["nearest"] is not None
    changes = [option["change"] for option in fault["options"]] + [{fault["pointer"]: fault["nearest"]}]
    for change in changes:
        more, tried = {}, copy.deepcopy(variants)
        for pointer, value in change.items():
            *way, field = pointer.split("/")[1:]
            if way:
                assert way == ["variants", "1"]
                tried[1][field] = value
            else:
                more[field] = value
        assert "problem" not in compare(tried, **more)["variants"][1], change


@pytest.mark.parametrize(
    "pointer, code, more",
    [
        ("/variants/1/name", "named_twice", {"variants": [{"name": "a"}, {"name": "a"}]}),
        ("/variants", "too_short", {"variants": []}),
        ("/variants", "too_long", {"variants": [{"name": str(index)} for index in range(13)]}),
        (
            "/variants",
            "too_many_lines",
            {
                "formula": {"lines": [{"ingredient": "bread_flour", "mass": 1}] * 51},
                "variants": [{"name": str(index)} for index in range(12)],
            },
        ),
        ("/variants/0/name", "missing", {"variants": [{}]}),
        ("/variants/0/share", "unknown_field", {"variants": [{"name": "a", "share": 3}]}),
        ("/variants/0/sucrose_percent", "too_large", {"variants": [{"name": "a", "sucrose_percent": 101}]}),
        ("/hold", "not_one_of", {"hold": "dough"}),
        ("/scalded_share_percent", "unknown_field", {"scalded_share_percent": 20}),
        ("/formula/lines", "no_flour", {"formula": {"lines": [{"ingredient": "water", "mass": 9}]}}),
        (
            "/bread/loaf_volume",
            "specific_volume_out_of_range",
            {"bread": {**THREE_TINS["bread"], "dough_mass": 20}},
        ),
        (
            "/stages/0/temperature",
            "dough_too_hot",
            {"stages": [{"minutes": 60, "temperature": 70}]},
        ),
        ("/prices", "prices_of_nothing", {"prices": [{"ingredient": "honey", "price": 1, "per": 1}]}),
    ],
)
def test_what_is_wrong_with_all_is_refused_once(client, assert_problem, pointer, code, more):
    body = {**BASE, "variants": [{"name": "a"}, {"name": "b"}], **more}
    response = client.post("/v1/variants", json=body)
    assert response.status_code == 422
    fault = response.get_json()["errors"][0]
    assert (fault["pointer"], fault["code"]) == (pointer, code)


def test_costs_are_the_scalings(compare, call):
    reply = compare(MANY[:2], prices=PRICES, hold="pan")
    for row in reply["variants"]:
        single = call(
            "scaling",
            {
                "formula": row["formula"],
                "target": {"kind": "dough_mass", "mass": row["dough_mass"]["best"] * 3},
                "losses": {"handling_percent": 2},
                "prices": PRICES,
            },
        )
        in_pieces = {"kind": "pieces", "count": 3, "mass": row["dough_mass"]["best"]}
        pieces = call(
            "scaling",
            {
                "formula": row["formula"],
                "target": in_pieces,
                "losses": {"handling_percent": 2},
                "prices": PRICES,
            },
        )
        assert row["cost"] == near({**single["cost"], "per_piece": pieces["cost"]["per_piece"]})
        assert row["cost"]["without_price"] == ["skim_milk_powder"]
    first, other = reply["variants"]
    (less,) = reply["differences"]
    assert less["cost_per_piece"] == approx(other["cost"]["per_piece"] - first["cost"]["per_piece"])
    assert "cost_per_piece" not in compare(MANY[:2])["differences"][0]
    assert "cost" not in compare(MANY[:1])["variants"][0]


# As a table


@pytest.fixture
def table(client):
    def table(body, **headers):
        response = client.post("/v1/variants.csv", json=body, headers=headers)
        assert response.status_code == 200 and response.content_type == "text/csv; charset=utf-8"
        head, *rows = csv.reader(io.StringIO(response.get_data(as_text=True)))
        assert all(len(row) == len(head) for row in rows)
        return [dict(zip(head, row, strict=True)) for row in rows]

    return table


def test_the_table_has_the_figures(table, call):
    reply, rows = call("variants", SIDE_BY_SIDE), table(SIDE_BY_SIDE)
    for row, shown in zip(reply["variants"], rows, strict=True):
        assert shown["name"] == row["name"] and shown["problem"] == ""
        for end in ("low", "best", "high"):
            assert float(shown[f"dough_mass (g) {end}"]) == row["dough_mass"][end]
            assert float(shown[f"water_temperature (degC) {end}"]) == row["water_temperature"][end]
        assert float(shown["hydration_percent"]) == row["hydration_percent"]
        assert shown["yeast_fed"] == row["yeast_fed"]
        assert shown["scald_starch"] == row["scald_starch"] == "gelatinised"
        assert float(shown["scald_core_temperature (degC) best"]) == row["scald_core_temperature"]["best"]
        assert "cost_total" not in shown
        assert float(shown["water, scald (g)"]) == row["weigh_out"][1]["mass"]


def test_a_refused_variant_has_its_reason_in_the_table(table):
    *made, refused = table(SWEETER_OR_NOT)
    assert refused["problem"].startswith("/variants/3/") and refused["dough_mass (g) best"] == ""
    assert refused["cost_per_piece"] == "" and all(float(row["cost_per_piece"]) > 0 for row in made)
    assert all(row["problem"] == "" and row["water_temperature (degC)"] == "" for row in made)


def test_no_cell_is_a_formula_of_the_spreadsheets(table):
    rows = table({**SIDE_BY_SIDE, "variants": [{"name": "=1+1"}, {"name": " @x"}]})
    assert [row["name"] for row in rows] == ["'=1+1", "' @x"]


def test_the_table_refuses_as_the_call_does(client, assert_problem):
    assert_problem(client.post("/v1/variants.csv", json={}), 422, "/formula", "missing")
    response = client.post("/v1/variants.csv", json=SIDE_BY_SIDE, headers={"Accept": "application/json"})
    assert response.status_code == 406
    assert client.get("/v1/variants.csv").status_code == 405
    assert client.post("/v1/scaling.csv", json={}).status_code == 404
