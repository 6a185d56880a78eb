"""share-limit from outside: the plan at its share is within its limits, and just above it is not."""

import copy

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pytest import approx

from scaldloaf.operations.lantern_quay import (
    FIRST_SCALD,
    FOUR_TRIALS,
    HOW_FAR,
    HOW_FAR_BY_TRIALS,
    LIDDED_TIN,
    PROOF_BY_TRIALS,
    THREE_TINS,
    TIN_LOAF,
    TIN_LOAF_BAKED,
)

BASE = {"formula": TIN_LOAF, "pan": LIDDED_TIN, "bread": TIN_LOAF_BAKED}
STAGES = [{"minutes": 90, "temperature": 28}, {"minutes": 60, "temperature": 32}]
LIMITS = (
    "scald_liquid",
    "scald_flour",
    "water",
    "water_temperature",
    "pan",
    "proof",
    "yeast",
    "gluten",
    "bound",
)
NEAR = {"rel": 1e-6, "abs": 1e-6}
ABOVE = 3e-5  # of share: what is searched to 1e-6
TEMPERED = 0.02  # the water temperature is searched to 0.01


@pytest.fixture
def ask(call):
    def ask(full=False, **more):
        body = {name: value for name, value in {**BASE, **more}.items() if value is not None}
        return call("share-limit", body, full)

    return ask


@pytest.fixture
def refuse(client, assert_problem):
    def refuse(pointer, code, **more):
        body = {name: value for name, value in {**BASE, **more}.items() if value is not None}
        return assert_problem(client.post("/v1/share-limit", json=body), 422, pointer, code)

    return refuse


def row_of(reply: dict, limit: str) -> dict:
    (found,) = [row for row in reply["limits"] if row["limit"] == limit]
    return found


def pointer_of(change: dict) -> str:
    """The one field that a change has, as a pointer."""
    ((name, value),) = change.items()
    return f"/{name}{pointer_of(value)}" if isinstance(value, dict) else f"/{name}"


def loosening_of(reply: dict, pointer: str) -> dict:
    (found,) = [each for each in reply["loosenings"] if pointer_of(each["change"]) == pointer]
    return found


def merged(body: dict, change: dict) -> dict:
    """A request with a JSON merge patch (RFC 7396) applied."""
    body = dict(body)
    for name, value in change.items():
        if value is None:
            body.pop(name, None)
        else:
            body[name] = merged(body.get(name, {}), value) if isinstance(value, dict) else value
    return body


# ---- The share, and the plan there ---------------------------------------------------------------


def test_the_plan_at_the_most_share_has_its_figures(ask, call):
    reply = ask(
        limits={"dough_mass": 460, "proof_minutes": 80},
        proof=PROOF_BY_TRIALS,
        stages=STAGES,
        temperatures=THREE_TINS["temperatures"],
        scald=THREE_TINS["scald"],
        timetable=THREE_TINS["timetable"],
    )
    plan, there = call("loaf-plan", reply["request"]), reply["plan"]
    share = reply["scalded_share_percent"]["best"]
    assert plan["scalded_share_percent"] == approx(share)
    for field in ("hydration_percent", "optimum_hydration_percent", "dough_mass", "formula"):
        assert plan[field] == there[field], field
    assert there["free_sugar_lasts_hours"] == plan["parts"]["sugar_budget"]["free_sugar_lasts_hours"]
    assert there["dough_mass"]["best"] == approx(460) and reply["binds"] == "pan"
    assert there["gluten_percent"] == 0 and there["scald_liquid_ratio"] == approx(1)
    (row,) = call(
        "variants",
        {**BASE, "proof": PROOF_BY_TRIALS, "variants": [{"name": "there", "scalded_share_percent": share}]},
    )["variants"]
    assert row["proof_minutes"] == there["proof_minutes"]
    # The last stage, given for 20 %, is as much longer as the proof is.
    assert reply["request"]["stages"][0] == STAGES[0]
    assert reply["request"]["stages"][1]["minutes"] == approx(60 * row["proof_minutes"]["best"] / 65)


def test_by_hand(ask):
    """The pan by the published trend of volume, the proof by its own, the flour by its mix."""
    reply = ask(limits={"dough_mass": 460, "proof_minutes": 80}, proof=PROOF_BY_TRIALS)
    # 440 g at 20 %: volume falls by 0.4 of the share above 5 %. g(20) = 0.94, so g = 0.94 x 440/460.
    assert row_of(reply, "pan")["scalded_share_percent"]["best"] == approx(
        5 + 100 * (1 - 0.94 * 440 / 460) / 0.4, abs=1e-6
    )
    assert reply["scalded_share_percent"]["best"] == row_of(reply, "pan")["scalded_share_percent"]["best"]
    lines = copy.deepcopy(TIN_LOAF["lines"])
    lines[0]["ingredient"] = "plain_flour"
    lines.append({"ingredient": "plain_flour", "mass": 25})
    mixed = ask(formula={"lines": lines})
    assert mixed["binds"] == "scald_flour"
    assert mixed["scalded_share_percent"]["best"] == approx(100 * 125 / 525)


def test_the_scald_binds_where_the_refusal_of_more_says(ask, client, assert_problem):
    """What a share too large at a ratio is refused with is the most share, rounded down."""
    for ratio in (0.8, 1, 1.3, 1.6, 2, 3, 5):
        reply = ask(scald_liquid_ratio=ratio)
        assert reply["binds"] in ("scald_liquid", "water")
        body = {**BASE, "scald_liquid_ratio": ratio, "scalded_share_percent": 60}
        response = client.post("/v1/loaf-plan", json=body)
        if response.status_code == 200:
            continue
        error = assert_problem(response, 422, "/scalded_share_percent")
        assert 0 <= reply["scalded_share_percent"]["best"] - error["nearest"] < 0.0101
    assert ratio == 5


CASES = {
    "pan": {"limits": {"dough_mass": 455}},
    "pan_with_gluten": {"limits": {"dough_mass": 455, "gluten_percent": 0.7}},
    "proof": {"limits": {"proof_minutes": 75}, "proof": PROOF_BY_TRIALS},
    "water": {"scald_liquid_ratio": 2},
    "dry": {"hydration_percent": 61},
    "scald_liquid": {"scald_liquid_ratio": 5},
    "table": {
        "water_curve": [
            {"scalded_share_percent": at, "hydration_percent": 60 + at / 3} for at in (5, 20, 33)
        ]
    },
    "yeast": {"stages": [{"minutes": 60, "temperature": 28}, {"minutes": 425, "temperature": 30}],
              "proof": PROOF_BY_TRIALS},
    "temperature": {
        "scald_liquid_ratio": 1.3,
        "temperatures": {
            "target": 26, "flour_temperature": 18, "scald_temperature": 15, "temperature_rise": 4,
            "adjust_with": ["water"],
        },
    },
    "below": {"scalded_share_percent": 38, "limits": {"dough_mass": 455}},
    "calibration": {"bread": None, "calibration": {**FOUR_TRIALS, "base_share_percent": 20},
                    "limits": {"dough_mass": 480}},
    "prior": {"bread": {"kind": "prior"}, "limits": {"dough_mass": 455}},
    "sweeter": {"sucrose_percent": 11, "limits": {"dough_mass": 455}},
    "ounces": {"units": {"mass": "oz"}, "bread": {"kind": "prior"}, "limits": {"dough_mass": 16}},
}  # fmt: skip
BINDS = {
    "pan_with_gluten": "pan",
    "dry": "water",
    "table": "water",
    "temperature": "water_temperature",
    "below": "pan",
    "calibration": "pan",
    "prior": "pan",
    "sweeter": "pan",
    "ounces": "pan",
}


def is_broken(limit: str, request: dict, limits: dict, post) -> bool:
    """Whether a loaf-plan breaks a limit, as loaf-plan and the other calls say."""
    response = post("/v1/loaf-plan", json=request)
    if response.status_code == 422:
        pointers = {error["pointer"].split("/")[1] for error in response.json["errors"]}
        return pointers <= {
            "scald_liquid": {"scalded_share_percent"},
            "scald_flour": {"scalded_share_percent"},
            "water": {"scalded_share_percent", "hydration_percent"},
            "water_temperature": {"temperatures"},
            "pan": {"scalded_share_percent"},
        }.get(limit, set())
    plan = response.json
    if limit == "pan":
        return plan["dough_mass"]["best"] > limits["dough_mass"] * (1 + 1e-9)
    if limit == "yeast":
        body = {
            "formula": plan["formula"],
            "stages": request["stages"],
            "solve": {"kind": "least_that_feeds"},
        }
        solution = post("/v1/sugar-budget", json=body).json["solution"]
        return solution["sucrose_percent"]["best"] > solution["before_percent"] + 1e-7
    notes = {note["code"] for part in plan["parts"].values() for note in part["notes"]}
    return limit == "water" and "share_extrapolated" in notes


@pytest.mark.parametrize("name", CASES)
def test_the_plan_there_keeps_the_limit_and_just_above_it_is_broken(ask, call, client, name):
    reply = ask(**CASES[name])
    binds, request = reply["binds"], reply["request"]
    assert binds == BINDS.get(name, name)
    call("loaf-plan", request)  # accepted
    share = reply["scalded_share_percent"]["best"]
    limits = CASES[name].get("limits", {})
    if binds == "proof":
        minutes = reply["plan"]["proof_minutes"]["best"]
        assert minutes == approx(limits["proof_minutes"], **NEAR) and minutes <= limits["proof_minutes"]
        return
    assert not is_broken(binds, request, limits, client.post)
    above = {**request, "scalded_share_percent": share + (TEMPERED if name == "temperature" else ABOVE)}
    assert is_broken(binds, above, limits, client.post)
    if name == "temperature":
        far = ask(**CASES[name], scalded_share_percent=33)
        assert far["present_breaks"] == ["water_temperature"]
        assert far["scalded_share_percent"]["best"] == approx(share, abs=TEMPERED)
    if name == "below":
        assert reply["present_breaks"] == ["pan"] and share < 38
    if name == "pan_with_gluten":
        assert reply["plan"]["gluten_percent"] == request["gluten_percent"] == 0.7
        assert share > ask(**CASES["pan"])["scalded_share_percent"]["best"] + 4
    if name == "sweeter":
        lines = {line["ingredient"]: line["percent"] for line in reply["plan"]["formula"]["lines"]}
        assert lines["sucrose"] == approx(11)


def test_gluten_is_not_added_where_the_share_gains_nothing_by_it(ask):
    reply = ask(limits={"dough_mass": 700, "gluten_percent": 3})
    assert reply["binds"] == "water" and reply["plan"]["gluten_percent"] == 0
    assert "gluten_percent" not in reply["request"]
    none = ask(limits={"dough_mass": 455, "gluten_percent": 0})
    assert none["scalded_share_percent"] == ask(limits={"dough_mass": 455})["scalded_share_percent"]
    assert row_of(none, "gluten")["state"] == "reached"


# ---- The limits ----------------------------------------------------------------------------------


def test_every_limit_is_there_the_first_to_bind_first(ask):
    reply = ask(
        limits={"dough_mass": 460, "proof_minutes": 80, "gluten_percent": 1},
        proof=PROOF_BY_TRIALS,
        stages=STAGES,
    )
    assert sorted(row["limit"] for row in reply["limits"]) == sorted(LIMITS)
    reached = [row for row in reply["limits"] if row["state"] == "reached"]
    shares = [row["scalded_share_percent"]["best"] for row in reached]
    assert shares == sorted(shares) and reached[0]["limit"] == reply["binds"]
    assert reply["scalded_share_percent"]["best"] == approx(shares[0])
    order = [row["state"] for row in reply["limits"]]
    assert order == sorted(order, key=["reached", "not_reached", "not_known"].index)
    ends = reply["scalded_share_percent"]
    known = [row["scalded_share_percent"] for row in reply["limits"] if row["scalded_share_percent"]]
    assert ends["low"] == min(share["low"] for share in known)
    assert ends["high"] == min(share["high"] for share in known)
    assert row_of(reply, "bound")["scalded_share_percent"]["best"] == 60
    assert row_of(reply, "scald_flour")["scalded_share_percent"] is None
    assert row_of(reply, "water_temperature") == {
        "limit": "water_temperature", "state": "not_known", "scalded_share_percent": None,
        "needs": "/temperatures", "loosened_by": None, "gain_points": None,
    }  # fmt: skip


def test_the_ends_are_those_of_the_bands(ask, call):
    reply = ask(limits={"dough_mass": 460, "proof_minutes": 70}, proof=PROOF_BY_TRIALS)
    for limit, field, most in (("pan", "dough_mass", 460), ("proof", "proof_minutes", 70)):
        share = row_of(reply, limit)["scalded_share_percent"]
        for end, opposite in (("low", "high"), ("high", "low")):
            if not 0 < share[end] < 60:
                continue
            body = {**BASE, "proof": PROOF_BY_TRIALS, "hold": "pan"}
            variants = [{"name": "at", "scalded_share_percent": share[end]}]
            (row,) = call("variants", {**body, "variants": variants})["variants"]
            assert row[field][opposite] == approx(most, **NEAR), (limit, end)
    liquid = row_of(ask(scald_liquid_ratio=3), "scald_liquid")["scalded_share_percent"]
    assert liquid["low"] < liquid["best"] < liquid["high"]
    dry = row_of(ask(hydration_percent=61), "water")["scalded_share_percent"]
    assert dry["low"] < dry["best"] < dry["high"]


def test_what_is_not_given_limits_nothing_and_is_named(ask):
    reply = ask(full=True)
    needs = {row["limit"]: row["needs"] for row in reply["limits"] if row["state"] == "not_known"}
    assert needs == {
        "pan": "/limits/dough_mass",
        "proof": "/limits/proof_minutes",
        "gluten": "/limits/gluten_percent",
        "yeast": "/stages",
        "water_temperature": "/temperatures",
    }
    assert sum(note["code"] == "limit_not_known" for note in reply["notes"]) == 5
    timed = ask(full=True, limits={"proof_minutes": 80})
    assert row_of(timed, "proof")["needs"] == "/proof"
    untimed = ask(full=True, limits={"proof_minutes": 80}, proof={**PROOF_BY_TRIALS, "minutes": None})
    assert row_of(untimed, "proof")["state"] == "not_known"
    unsure = {**PROOF_BY_TRIALS, "minutes_per_share_point": {"low": -9, "best": 0.5, "high": 11}}
    reply = ask(full=True, limits={"proof_minutes": 200}, proof=unsure)
    assert row_of(reply, "proof")["state"] == "not_known" and row_of(reply, "proof")["needs"] is None
    assert "proof_not_known" in {note["code"] for note in reply["notes"]}
    reply = ask(limits={"proof_minutes": 900}, proof=PROOF_BY_TRIALS)
    assert row_of(reply, "proof")["state"] == "not_reached" and row_of(reply, "proof")["needs"] is None
    no_yeast = {"lines": [line for line in TIN_LOAF["lines"] if line["ingredient"] != "instant_yeast"]}
    reply = ask(full=True, formula=no_yeast, stages=STAGES)
    assert row_of(reply, "yeast") | {"needs": None} == row_of(reply, "yeast")
    assert "yeast_not_judged" in {note["code"] for note in reply["notes"]}


def test_a_formula_without_a_scald(ask, call):
    plain = [
        {"ingredient": "bread_flour", "mass": 500},
        {"ingredient": "water", "mass": 310},
        {"ingredient": "salt", "mass": 9},
        {"ingredient": "instant_yeast", "mass": 5},
    ]
    reply = ask(full=True, formula={"lines": plain}, bread={"kind": "prior"}, limits={"dough_mass": 480})
    assert reply["present_share_percent"] == 0 and reply["plan"]["scald_liquid_ratio"] == approx(1)
    assert "ratio_assumed" in {note["code"] for note in reply["notes"]}
    by_percent = [{"ingredient": line["ingredient"], "percent": line["mass"] / 5} for line in plain]
    same = ask(formula={"lines": by_percent}, bread={"kind": "prior"}, limits={"dough_mass": 480})
    assert same["scalded_share_percent"]["best"] == approx(reply["scalded_share_percent"]["best"])
    call("loaf-plan", same["request"])
    sweeter = ask(formula={"lines": by_percent}, bread={"kind": "prior"}, sucrose_percent=5)
    call("loaf-plan", sweeter["request"])


def test_nothing_is_reached(ask):
    reply = ask(
        full=True,
        scald_liquid_ratio=0.3,
        water_curve=[{"scalded_share_percent": at, "hydration_percent": 69} for at in (0, 60)],
    )
    assert reply["binds"] == "bound" and reply["scalded_share_percent"]["best"] == 60
    assert {"no_limit_reached"} <= {note["code"] for note in reply["notes"]}
    assert reply["loosenings"] == []


def test_a_share_above_all_is_answered_with_the_most(ask):
    reply = ask(full=True, scalded_share_percent=75)
    assert "bound" in reply["present_breaks"] and reply["scalded_share_percent"]["best"] == approx(40)
    note = next(note for note in reply["notes"] if note["code"] == "present_share_breaks")
    assert note["values"]["present"] == 75 and note["values"]["most"] == approx(40)


# ---- What loosens a limit ------------------------------------------------------------------------


@pytest.mark.parametrize("name", CASES)
def test_each_loosening_is_what_asking_again_says(ask, name):
    body = {**CASES[name]}
    reply = ask(**body)
    share = reply["scalded_share_percent"]["best"]
    gains = [each["gain_points"] for each in reply["loosenings"]]
    assert gains == sorted(gains, reverse=True) and all(gain >= 0 for gain in gains)
    for each in reply["loosenings"]:
        again = ask(**merged({**BASE, **body}, each["change"]))
        best = again["scalded_share_percent"]["best"]
        close = TEMPERED if "water_temperature" in (reply["binds"], each["binds"]) else ABOVE
        assert best == approx(each["scalded_share_percent"], abs=close), each
        assert each["gain_points"] == approx(each["scalded_share_percent"] - share, abs=1e-9)
        if each["gain_points"] > 1e-3:
            assert again["binds"] == each["binds"]
    for row in reply["limits"]:
        of_row = [each for each in reply["loosenings"] if row["limit"] in each["limits"]]
        if not of_row:
            assert row["loosened_by"] is None and row["gain_points"] is None
            continue
        assert row["gain_points"] == of_row[0]["gain_points"]
        assert row["loosened_by"] == of_row[0]["change"]


def test_the_steps_are_those_a_baker_would_try(ask):
    reply = ask(
        scald_liquid_ratio=2,
        limits={"dough_mass": 455, "proof_minutes": 75, "gluten_percent": 0.5},
        proof=PROOF_BY_TRIALS,
    )
    steps = {pointer_of(each["change"]): (each["instead_of"], each["change"]) for each in reply["loosenings"]}
    assert steps == {
        "/scald_liquid_ratio": ({"scald_liquid_ratio": 2}, {"scald_liquid_ratio": 1.5}),
        "/scald_liquids": ({"scald_liquids": ["water"]}, {"scald_liquids": ["water", "whole_milk"]}),
        "/limits/dough_mass": ({"limits": {"dough_mass": 455}}, {"limits": {"dough_mass": approx(477.75)}}),
        "/limits/proof_minutes": ({"limits": {"proof_minutes": 75}}, {"limits": {"proof_minutes": 90}}),
        "/limits/gluten_percent": ({"limits": {"gluten_percent": 0.5}}, {"limits": {"gluten_percent": 1.5}}),
    }
    hungry = ask(**CASES["yeast"])
    assert loosening_of(hungry, "/sucrose_percent")["change"] == {"sucrose_percent": approx(7)}
    assert loosening_of(hungry, "/sucrose_percent")["gain_points"] > 5
    dry = loosening_of(ask(hydration_percent=61), "/hydration_percent")
    assert dry["instead_of"] == {"hydration_percent": 61} and dry["change"] == {"hydration_percent": None}
    assert dry["gain_points"] > 1
    none = loosening_of(ask(limits={"dough_mass": 455}), "/limits/gluten_percent")
    assert none["instead_of"] == {"limits": {"gluten_percent": None}} and none["limits"] == ["pan"]


def a_body(present, ratio, most, sugar, last) -> dict:
    """Any share-limit: most is (dough, minutes, gluten or None)."""
    names = ("dough_mass", "proof_minutes", "gluten_percent")
    return {
        **BASE,
        "scalded_share_percent": present,
        "scald_liquid_ratio": ratio,
        "limits": {name: value for name, value in zip(names, most, strict=True) if value is not None},
        "proof": PROOF_BY_TRIALS,
        "sucrose_percent": sugar,
        "stages": [STAGES[0], {"minutes": last, "temperature": 30}],
    }


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    body=st.builds(
        a_body,
        present=st.floats(0, 40),
        ratio=st.floats(0.7, 4),
        most=st.tuples(st.floats(425, 520), st.floats(66, 120), st.none() | st.floats(0, 3)),
        sugar=st.floats(2, 10),
        last=st.floats(40, 300),
    )
)
def test_any_answer_can_be_baked_and_loosening_never_lowers_it(client, body):
    dough, minutes = body["limits"]["dough_mass"], body["limits"]["proof_minutes"]
    response = client.post("/v1/share-limit", json=body)
    if response.status_code == 422:
        assert response.json["errors"][0]["pointer"] in ("/limits/dough_mass", "/stages")
        return
    reply = response.json
    share = reply["scalded_share_percent"]
    assert 0 <= share["low"] <= share["best"] <= share["high"] <= 60
    planned = client.post("/v1/loaf-plan", json=reply["request"])
    assert planned.status_code == 200, planned.json
    assert planned.json["dough_mass"]["best"] <= dough * (1 + 1e-9)
    assert planned.json["sugar"]["assessment"] == "fed"
    assert reply["plan"]["proof_minutes"]["best"] <= minutes * (1 + 1e-9)
    assert all(each["scalded_share_percent"] >= share["best"] for each in reply["loosenings"])
    for change in ({"dough_mass": dough + 9}, {"proof_minutes": minutes + 9}):
        looser = client.post("/v1/share-limit", json=merged(body, {"limits": change})).json
        assert looser["scalded_share_percent"]["best"] >= share["best"] - 1e-5 or has_less_gluten(
            looser, reply
        )


def has_less_gluten(reply: dict, other: dict) -> bool:
    """Whether a reply has less vital gluten than another, and so less of its water, which the scald lacks."""
    gluten, others = (each["request"].get("gluten_percent", 0) for each in (reply, other))
    return gluten < others and reply["binds"] in ("scald_liquid", "water")


def test_a_larger_dough_needs_less_gluten_and_may_lack_its_water_in_the_scald(ask):
    """Vital gluten brings water. Without it, a thin scald has less to be made with."""
    thin = {"scald_liquid_ratio": 4, "proof": PROOF_BY_TRIALS}
    tight, loose = (
        ask(**thin, limits={"dough_mass": mass, "proof_minutes": 118, "gluten_percent": 1.7})
        for mass in (426, 435)
    )
    assert loose["scalded_share_percent"]["best"] < tight["scalded_share_percent"]["best"]
    assert has_less_gluten(loose, tight)


# ---- Refusals ------------------------------------------------------------------------------------


def test_limits_that_no_share_keeps_are_refused_with_what_would_do(refuse, ask):
    error = refuse("/limits/dough_mass", "pan_too_small_for_any_share", limits={"dough_mass": 300})
    least = error["nearest"]
    assert least == approx(440 * 0.94, rel=1e-6) and error["values"]["most"] == 300
    assert ask(limits={"dough_mass": least})["scalded_share_percent"]["best"] >= 0
    assert error["options"][0]["change"] == {"/limits/dough_mass": least}
    error = refuse(
        "/limits/proof_minutes",
        "proof_too_short_for_any_share",
        limits={"proof_minutes": 30},
        proof=PROOF_BY_TRIALS,
    )
    assert ask(limits={"proof_minutes": error["nearest"]}, proof=PROOF_BY_TRIALS)
    long = [{"minutes": 60, "temperature": 28}, {"minutes": 900, "temperature": 30}]
    error = refuse("/stages", "starved_at_any_share", stages=long)
    ((change, value),) = error["options"][0]["change"].items()
    assert change == "/sucrose_percent" and value == error["values"]["needed"]
    assert ask(stages=long, sucrose_percent=value)
    too_hot = {"target": 40, "flour_temperature": 2, "temperature_rise": 0, "scald_temperature": 5}
    assert refuse(None, None, temperatures=too_hot)["errors"][0]["pointer"].startswith("/temperatures")
    refuse("/hydration_percent", None, hydration_percent=120)


@pytest.mark.parametrize(
    "pointer, code, more, nearest",
    [
        ("/limits/dough_mass", "too_small", {"limits": {"dough_mass": -5}}, approx(413.6)),
        ("/limits/dough_mass", "wrong_type", {"limits": {"dough_mass": "460"}}, 460),
        ("/limits/gluten_percent", "too_large", {"limits": {"gluten_percent": 30}}, 20),
        ("/limits/proof_minutes", "too_small", {"limits": {"proof_minutes": 0}}, 1),
        ("/limits/proof", "unknown_field", {"limits": {"proof": 60}}, "proof_minutes"),
        ("/sucrose_percent", "too_large", {"sucrose_percent": 101}, 100),
        ("/proof/minutes/best", "ends_in_disorder", {"proof": {
            "scalded_share_percent": 20, "minutes": {"low": 60, "best": 50, "high": 70}}}, None),
        ("/pan", "missing", {"pan": None}, None),
        ("/limits/gluten_percent", "too_much_gluten",
         {"gluten_percent": 12, "limits": {"gluten_percent": 10}}, 8),
        ("/scald_liquids/0", "not_a_liquid_of_the_formula", {"scald_liquids": ["wter"]}, "water"),
        ("/formula/lines", "too_many_lines",
         {"formula": {"lines": [*TIN_LOAF["lines"], *[{"ingredient": "butter", "mass": 1}] * 51]}}, None),
        ("/pan/length", "too_small", {"pan": {**LIDDED_TIN, "length": 0}}, None),
        ("/adjust_with", "not_a_liquid", {"adjust_with": "butter"}, "water"),
    ],
)  # fmt: skip
def test_bad_input_is_named_with_what_works(refuse, pointer, code, more, nearest):
    error = refuse(pointer, code, **more)
    if nearest is not None:
        assert error["nearest"] == nearest


# ---- The wire ------------------------------------------------------------------------------------


def test_brief_is_the_full_answer_without_what_explains_it(ask):
    full = ask(full=True, limits={"dough_mass": 460})
    brief = {name: full[name] for name in full if name not in ("working", "basis", "notes")}
    assert ask(limits={"dough_mass": 460}) == brief
    assert {"mass_balance", "geometry"} <= set(full["basis"])


def test_units_are_only_spelling(call):
    metric = call("share-limit", HOW_FAR)
    body = copy.deepcopy(HOW_FAR)
    ounce, inch = 28.349523125, 2.54
    for line in body["formula"]["lines"]:
        line["mass"] /= ounce
    for side in ("length", "width", "depth"):
        body["pan"][side] /= inch
    body["bread"]["dough_mass"] /= ounce
    body["bread"]["loaf_volume"] /= inch**3
    body["limits"]["dough_mass"] /= ounce
    for name, value in body["temperatures"].items():
        if name == "temperature_rise":
            body["temperatures"][name] = value * 1.8
        elif isinstance(value, int):
            body["temperatures"][name] = value * 1.8 + 32
    for stage in body["stages"]:
        stage["temperature"] = stage["temperature"] * 1.8 + 32
    body["units"] = {"mass": "oz", "length": "in", "volume": "in3", "temperature": "degF"}
    other = call("share-limit", body)
    for end in ("low", "best", "high"):
        assert other["scalded_share_percent"][end] == approx(metric["scalded_share_percent"][end], abs=1e-5)
    assert [row["limit"] for row in other["limits"]] == [row["limit"] for row in metric["limits"]]
    ours = loosening_of(metric, "/limits/dough_mass")
    theirs = loosening_of(other, "/limits/dough_mass")
    for side in ("change", "instead_of"):
        mass = ours[side]["limits"]["dough_mass"] / ounce
        assert theirs[side]["limits"]["dough_mass"] == approx(mass)
    assert theirs["gain_points"] == approx(ours["gain_points"], abs=1e-5)


@pytest.mark.parametrize("body", [HOW_FAR, HOW_FAR_BY_TRIALS, FIRST_SCALD])
def test_cautions_of_scald_pan_and_dough(call, body):
    codes = [caution["code"] for caution in call("share-limit", body)["cautions"]]
    assert {"hot_scald", "raw_flour", "allergens", "overfilled_pan"} <= set(codes)


def test_a_proof_is_posted_back_as_trial_fit_gave_it(ask, call):
    trials = [
        {
            "scalded_share_percent": at,
            "dough_mass": 440,
            "loaf_volume": 1715 - 3 * at,
            "proof_minutes": minutes,
        }
        for at, minutes in ((10, 58), (20, 62), (30, 70), (30, 68))
    ]
    want = {"pan": LIDDED_TIN, "scalded_share_percent": 30}
    proof = call("trial-fit", {"trials": trials, "want": want})["proof"]
    reply = ask(proof=proof, limits={"proof_minutes": 72})
    assert reply["binds"] == "proof" and 30 < reply["scalded_share_percent"]["best"] < 40
    want["scalded_share_percent"] = reply["scalded_share_percent"]["best"]
    there = call("trial-fit", {"trials": trials, "want": want})["proof"]
    assert there["minutes"]["best"] == approx(72)
