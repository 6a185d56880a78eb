"""hydration-correction from outside: the main job, its options, and refusals whose advice works."""

import pytest
from pytest import approx

from scaldloaf.operations.lantern_quay import TIN_LOAF

CALIBRATION = {
    "version": 1,
    "log_specific_volume": 1.42,
    "share_volume_loss": 0.31,
    "water_slope": 0.4,
    "covariance": [[0.0006, 0.0012, 0], [0.0012, 0.006, 0], [0, 0, 0.0025]],
    "bake_loss_percent": 10.4,
    "bake_loss_sd_percent": 0.7,
    "spread_percent": 1.5,
    "trials": 4,
}
TABLE = [
    {"scalded_share_percent": 40, "hydration_percent": 73},
    {"scalded_share_percent": 0, "hydration_percent": 61},
    {"scalded_share_percent": 20, "hydration_percent": 66.5},
]


@pytest.fixture
def correct(call):
    def correct(full=True, **asked):
        return call("hydration-correction", {"formula": TIN_LOAF, **asked}, full)

    return correct


@pytest.fixture
def refuse(client, assert_problem):
    def refuse(pointer, code, **asked):
        response = client.post("/v1/hydration-correction", json={"formula": TIN_LOAF, **asked})
        return assert_problem(response, 422, pointer, code)

    return refuse


def codes(reply) -> set[str]:
    return {note["code"] for note in reply["notes"]}


def mass_of(reply, ingredient, part=None) -> float:
    return sum(
        line["mass"]
        for line in reply["formula"]["lines"]
        if line["ingredient"] == ingredient and part in (None, line["part"])
    )


SOUP = {"lines": [{"ingredient": "bread_flour", "mass": 100}, {"ingredient": "water", "mass": 650}]}

# The main job


def test_the_tin_loaf_from_20_to_35_percent(correct):
    reply = correct(scalded_share_percent=35, hold="dough_mass")
    # q = 70.514 - 27.464 points of water; F = 929 / (1 + 0.468 + 0.4305): redone by hand
    flour = 929 / 1.8985
    assert mass_of(reply, "bread_flour") == approx(flour)
    assert mass_of(reply, "bread_flour", "scald") == approx(0.35 * flour)
    assert mass_of(reply, "water", "scald") == approx(0.35 * flour)
    assert mass_of(reply, "water", "dough") == approx((0.4305 - 0.35) * flour)
    assert reply["dough_mass"] == approx(929, rel=1e-9)
    assert reply["before"]["hydration_percent"] == approx(66.464)
    assert reply["after"]["hydration_percent"] == approx(70.514)
    assert reply["hydration_percent"] == approx(70.514)
    assert reply["optimum_hydration_percent"] == {
        "low": approx(68.714),
        "best": approx(70.514),
        "high": approx(72.464),
        "evidence": "common practice",
    }
    assert reply["assessment"] == "balanced"
    assert 0 < reply["crumb_moisture_change_points"]["best"] < 1
    assert codes(reply) == {
        "base_at_optimum",
        "volume_falls_with_share",
        "proof_and_mixing",
        "gluten_makes_up",
        "crumb_takes_little_water",
    }
    assert (reply["judged_by"], reply["uncertain"]) == ("move", False)
    assert reply["judged_against"] == reply["optimum_hydration_percent"]
    gluten = 0.15 * flour * 12 / 75.2
    assert reply["gluten_to_make_up"] == {
        "mass": approx(gluten),
        "percent": approx(100 * gluten / flour),
        "water": approx(1.5 * gluten),
    }
    assert {"mass_balance", "naro_2010"} <= set(reply["basis"])
    assert {"raw_flour", "hot_scald", "scald_cooling", "allergens"} == {
        caution["code"] for caution in reply["cautions"]
    }


def test_the_reply_s_formula_chains(correct, call):
    reply = correct(scalded_share_percent=35)
    seen = call("breakdown", {"formula": reply["formula"]})
    for field, value in reply["after"].items():
        assert seen[field] == approx(value)
    assert seen["totals"]["dough"] == approx(reply["dough_mass"])
    back = call("hydration-correction", {"formula": reply["formula"], "scalded_share_percent": 20})
    assert [line["mass"] for line in back["formula"]["lines"]] == approx(
        [line["mass"] for line in TIN_LOAF["lines"]]
    )


def test_the_working_can_be_redone(correct):
    steps = {step["label"]: step for step in correct(scalded_share_percent=35)["working"]}
    assert steps["Water that goes with the share"]["expression"] == "0.27 × 35 − 0.27 × 20"
    assert steps["Optimum hydration"]["expression"] == "66.464 + 4.05"
    assert steps["Water needed"]["expression"] == "70.514 − 27.464"
    assert steps["Flour"]["expression"] == "929 g × 100 ÷ (100 + 46.8 + 43.05)"
    assert steps["Flour"]["value"] == approx(929 / 1.8985)
    assert steps["Dough mass"]["value"] == approx(929)


def test_held_flour(correct):
    reply = correct(scalded_share_percent=35, hold="flour_mass")
    assert mass_of(reply, "bread_flour") == approx(500)
    assert reply["dough_mass"] == approx(929 + 500 * 0.0405)


def test_result_only(correct):
    reply = correct(full=False, scalded_share_percent=35)
    assert "working" not in reply and "basis" not in reply and reply["cautions"]


def test_ounces_and_grams_agree(correct):
    ounce = 28.349523125
    formula = {
        "lines": [{**line, "mass": line["mass"] / ounce} for line in TIN_LOAF["lines"]],
        "scald_evaporation": 0,
    }
    reply = correct(formula=formula, scalded_share_percent=35, units={"mass": "oz"})
    assert mass_of(reply, "water") * ounce == approx(mass_of(correct(scalded_share_percent=35), "water"))


# Water


@pytest.mark.parametrize("hydration, assessment", [(66, "under_watered"), (71, "balanced"), (75, "sticky")])
def test_a_hydration_asked_for_is_used_and_assessed(correct, hydration, assessment):
    reply = correct(scalded_share_percent=35, hydration_percent=hydration)
    assert reply["after"]["hydration_percent"] == approx(hydration)
    assert reply["assessment"] == assessment
    assert reply["optimum_hydration_percent"]["best"] == approx(70.514)
    assert ("under_watered" in codes(reply)) is (assessment == "under_watered")


def test_own_table_and_own_trials(correct, refuse):
    by_table = correct(scalded_share_percent=30, water_curve=TABLE)
    assert by_table["hydration_percent"] == approx(66.464 + 3.25)
    assert "own_water_table" in codes(by_table)
    by_trials = correct(scalded_share_percent=30, calibration=CALIBRATION)
    assert by_trials["hydration_percent"] == approx(66.464 + 4)
    band = by_trials["optimum_hydration_percent"]
    assert band["high"] - band["best"] == approx(10 * 1.645 * 0.05)
    both = correct(scalded_share_percent=30, water_curve=TABLE, calibration=CALIBRATION)
    assert both["hydration_percent"] == by_table["hydration_percent"]
    assert (
        refuse("/scalded_share_percent", "share_outside_curve", scalded_share_percent=45, water_curve=TABLE)[
            "nearest"
        ]
        == 40
    )
    refuse(
        "/water_curve",
        "share_outside_curve",
        scalded_share_percent=35,
        water_curve=[TABLE[0], {"scalded_share_percent": 30, "hydration_percent": 70}],
    )
    refuse("/water_curve", "share_twice", scalded_share_percent=35, water_curve=[*TABLE, TABLE[0]])
    refuse("/water_curve", "too_short", scalded_share_percent=35, water_curve=TABLE[:1])
    refuse(
        "/calibration/covariance",
        None,
        scalded_share_percent=35,
        calibration={**CALIBRATION, "covariance": [[0.1, 1, 0], [1, 0.1, 0], [0, 0, 1]]},
    )


def test_another_flour(correct):
    flour = {
        "moisture_percent": 12.5,
        "base_moisture_percent": 14,
        "absorption_percent": 64,
        "base_absorption_percent": 61,
    }
    reply = correct(flour=flour)
    assert reply["after"]["scalded_share_percent"] == approx(20)
    bound = 20 * 0.75 * (0.61 - 0.64)  # the scalded flour would have held more raw, too
    assert reply["hydration_percent"] == approx((66.464 + bound + 3 + 14) * 87.5 / 86 - 12.5)
    assert reply["dough_mass"] == approx(929)
    assert "icc_115_1" in reply["basis"]
    one = correct(flour={"moisture_percent": 12.5})
    assert "moisture_assumed" in codes(one)
    assert one["hydration_percent"] == approx((66.464 + 14) * 87.5 / 86 - 12.5)
    assert correct(flour={})["hydration_percent"] == approx(66.464)


@pytest.mark.parametrize(
    "given, missing",
    [("absorption_percent", "base_absorption_percent"), ("base_absorption_percent", "absorption_percent")],
)
def test_one_absorption_needs_the_other(refuse, given, missing):
    assert refuse(f"/flour/{missing}", "missing", flour={given: 60})["nearest"] == 60


# The scald's liquid


def test_a_thin_scald_is_refused_and_every_way_out_works(correct, refuse):
    error = refuse(
        "/scalded_share_percent", "scald_liquid_short", scalded_share_percent=14, scald_liquid_ratio=5
    )
    assert "needs 70 % of the flour" in error["detail"]
    for word in ("largest share", "largest ratio", "smallest hydration", "whole_milk"):
        assert word in error["detail"]
    assert error["given"] == approx(14)
    reply = correct(scalded_share_percent=error["nearest"], scald_liquid_ratio=5)
    assert reply["after"]["scalded_share_percent"] == approx(error["nearest"])
    assert reply["dough_mass"] == approx(929)


def test_milk_may_go_into_the_scald(correct, refuse):
    asked = {"scalded_share_percent": 14, "scald_liquid_ratio": 5}
    assert (
        "makes this share work" in refuse("/scalded_share_percent", "scald_liquid_short", **asked)["detail"]
    )
    reply = correct(**asked, scald_liquids=["water", "whole_milk"])
    scald_flour = mass_of(reply, "bread_flour", "scald")
    assert mass_of(reply, "water", "scald") + mass_of(reply, "whole_milk", "scald") == approx(5 * scald_flour)
    assert {"scald_liquids_mixed", "lines_added"} <= codes(reply)


def test_a_first_scald(correct):
    formula = {
        "lines": [
            {"ingredient": "bread_flour", "mass": 500},
            {"ingredient": "water", "mass": 330},
            {"ingredient": "salt", "mass": 9},
        ]
    }
    reply = correct(formula=formula, scalded_share_percent=25)
    assert {"ratio_assumed", "lines_added"} <= codes(reply)
    assert mass_of(reply, "water", "scald") == approx(mass_of(reply, "bread_flour", "scald"))
    assert "hot_scald" in {caution["code"] for caution in reply["cautions"]}


def test_no_scald_any_more(correct):
    reply = correct(scalded_share_percent=0)
    assert {line["part"] for line in reply["formula"]["lines"]} == {"dough"}
    assert "lines_dropped" in codes(reply)
    assert [caution["code"] for caution in reply["cautions"]] == ["raw_flour", "allergens"]


def test_own_liquid_adjusts(correct):
    oat = {"ingredient": "oat {drink}", "mass": 50, "composition": {"water_percent": 90, "is_liquid": True}}
    formula = {**TIN_LOAF, "lines": [*TIN_LOAF["lines"], oat]}
    reply = correct(formula=formula, scalded_share_percent=25, adjust_with="oat {drink}")
    assert mass_of(reply, "water") / mass_of(reply, "bread_flour") == approx(0.39)
    assert reply["dough_mass"] == approx(979)


def test_a_name_with_braces_is_only_a_name(refuse):
    oat = {"ingredient": "oat {drink}", "mass": 50, "composition": {"water_percent": 90, "is_liquid": True}}
    formula = {**TIN_LOAF, "lines": [*TIN_LOAF["lines"], oat]}
    error = refuse(
        "/scalded_share_percent",
        "scald_liquid_short",
        formula=formula,
        scalded_share_percent=50,
        scald_liquid_ratio=4,
    )
    assert "oat {drink}" in error["detail"]


# Refused


@pytest.mark.parametrize(
    "asked, pointer, code, nearest",
    [
        (
            {"scalded_share_percent": 61},
            "/scalded_share_percent",
            "share_above_bound",
            40,
        ),
        ({"scalded_share_percent": 101}, "/scalded_share_percent", "too_large", 40),
        ({"scalded_share_percent": -1}, "/scalded_share_percent", "too_small", 0),
        ({"scalded_share_percent": "35"}, "/scalded_share_percent", "wrong_type", 35),
        ({"scald_ratio": 1}, "/scald_ratio", "unknown_field", "scald_liquid_ratio"),
        ({"hold": "dough"}, "/hold", "not_one_of", "dough_mass"),
        ({"adjust_with": "butter"}, "/adjust_with", "not_a_liquid", "water"),
        ({"adjust_with": "watr"}, "/adjust_with", "unknown_ingredient", "water"),
        ({"adjust_with": "bread_flour"}, "/adjust_with", "not_a_liquid", "water"),
        ({"scald_liquids": []}, "/scald_liquids", "too_short", None),
        ({"scald_liquids": ["butter"]}, "/scald_liquids/0", "not_a_liquid_of_the_formula", "water"),
        (
            {"scald_liquids": ["water", "milk"]},
            "/scald_liquids/1",
            "not_a_liquid_of_the_formula",
            "whole_milk",
        ),
        ({"hydration_percent": 1e308}, "/hydration_percent", "too_large", 200),
        ({"scald_liquid_ratio": -1}, "/scald_liquid_ratio", "too_small", 0),
        ({"bake_loss_percent": 99}, "/bake_loss_percent", "too_large", 30),
        ({"flour": {"moisture_percent": 100}}, "/flour/moisture_percent", "too_large", 40),
        ({"formula": {"lines": [{"ingredient": "water", "mass": 5}]}}, "/formula/lines", "no_flour", None),
        ({"formula": SOUP}, "/formula/lines", "too_wet_for_bread", None),
        ({"gluten_percent": 21}, "/gluten_percent", "too_large", 20),
    ],
)
def test_refused_at_the_field(refuse, asked, pointer, code, nearest):
    assert refuse(pointer, code, **{"scalded_share_percent": 30, **asked})["nearest"] == nearest


def test_too_dry_a_wish(correct, refuse):
    asked = {"scalded_share_percent": 30, "scald_liquid_ratio": 1}
    error = refuse("/hydration_percent", "adjusting_liquid_short", **asked, hydration_percent=20)
    assert correct(**asked, hydration_percent=error["nearest"])["assessment"] == "under_watered"


def test_a_flour_that_runs_short(correct, refuse):
    formula = {
        "lines": [
            {"ingredient": "rye_flour", "mass": 100, "part": "scald"},
            {"ingredient": "water", "mass": 100, "part": "scald"},
            {"ingredient": "bread_flour", "mass": 370},
            {"ingredient": "rye_flour", "mass": 30},
            {"ingredient": "water", "mass": 240},
        ]
    }
    error = refuse("/scalded_share_percent", "scald_flour_short", formula=formula, scalded_share_percent=35)
    assert error["nearest"] == approx(26)
    assert correct(formula=formula, scalded_share_percent=error["nearest"])["dough_mass"] == approx(840)


def test_all_flour_in_the_scald(correct):
    formula = {
        "lines": [
            {"ingredient": "bread_flour", "mass": 500, "part": "scald"},
            {"ingredient": "water", "mass": 400, "part": "scald"},
            {"ingredient": "salt", "mass": 9},
        ]
    }
    reply = correct(formula=formula, scalded_share_percent=35, hydration_percent=70)
    assert reply["dough_mass"] == approx(909)
    assert reply["after"]["scalded_share_percent"] == approx(35)


def test_a_very_wet_loaf_may_be_no_bread_by_law(correct):
    # 21 CFR 136.110: at least 62 % solids. At 10 % bake loss the loaf as it was has 36.6 % water by mass
    # balance; a point of hydration brings a sixth of a point more.
    def seen(hydration):
        reply = correct(hydration_percent=hydration)
        loaf = {step["label"]: step["value"] for step in reply["working"]}[
            "Moisture of the loaf by mass balance, the flour's own water counted, as it was"
        ]
        return loaf, "bread_identity" in {caution["code"] for caution in reply["cautions"]}

    assert seen(74) == (approx(36.65, abs=0.01), False)
    assert seen(75) == (approx(36.65, abs=0.01), True)


# What the water is judged by


def test_a_formula_that_is_not_moved_is_not_called_balanced(correct):
    reply = correct()
    assert (reply["assessment"], reply["uncertain"]) == ("not_judged", True)
    assert reply["judged_by"] == "nothing" and reply["judged_against"] is None
    assert reply["optimum_hydration_percent"]["low"] < reply["optimum_hydration_percent"]["high"]
    assert "not_judged" in codes(reply)
    judged = correct(flour={"absorption_percent": 64, "base_absorption_percent": 64})
    assert judged["judged_by"] == "absorption" and judged["assessment"] == "under_watered"
    assert judged["judged_against"]["best"] == approx(64 + 20 * 0.75 * 0.36)


def test_gluten_is_added_with_its_water(correct):
    reply = correct(scalded_share_percent=35, gluten_percent=1)
    assert mass_of(reply, "vital_gluten") == approx(mass_of(reply, "bread_flour") / 100)
    assert reply["hydration_percent"] == approx(70.514 + 1.5 + 0.082)
    assert reply["dough_mass"] == approx(929)


def test_what_is_odd_about_a_formula_is_said(call):
    def said(*lines):
        reply = call("breakdown", {"formula": {"lines": list(lines)}})
        return {note["code"] for note in reply["notes"]}

    def line(name, mass, part="dough", **more):
        return {"ingredient": name, "mass": mass, "part": part, **more}

    flour, scald = line("bread_flour", 400), line("bread_flour", 100, "scald")
    sound = [flour, scald, line("water", 100, "scald"), line("water", 230), line("instant_yeast", 5)]
    assert said(*sound) == set()
    assert said(*sound[:4], line("instant_yeast", 20)) == {"unusual_yeast"}
    assert said(*sound, line("water", 300)) == {"unusual_water"}
    assert said(line("bread_flour", 100, "scald"), line("water", 100, "scald")) >= {"unusual_share"}
    assert said(flour, scald, line("water", 320)) == {"scald_without_liquid"}
    assert said(flour, line("water", 100, "scald"), line("water", 160)) == {"scald_without_flour"}
    oat = {"water_percent": 90}
    drink = [flour, scald, line("oat drink", 100, "scald", composition=oat), line("water", 230)]
    assert said(*drink) == {"liquid_unsaid", "scald_without_liquid"}
    for answer, codes_left in ((True, set()), (False, {"scald_without_liquid"})):
        drink[2]["composition"] = {**oat, "is_liquid": answer}
        assert said(*drink) == codes_left
