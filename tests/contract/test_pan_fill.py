"""pan-fill from outside: pans and breads of every kind, units, defaults said, refusals that teach."""

from math import exp, log, pi, sqrt

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scaldloaf.dough.calibration import Calibration
from scaldloaf.operations.lantern_quay import FOUR_TRIALS as CALIBRATION
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.wire.calibration import read_calibration, write_calibration

BOX = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
LOAF = {
    "kind": "reference_loaf",
    "dough_mass": 440,
    "loaf_volume": 1714.75,
    "bake_loss_percent": 10.5,
    "scalded_share_percent": 20,
}
CALIBRATED = {"kind": "calibration", "calibration": CALIBRATION}


@pytest.fixture
def fill(call):
    def fill(pan=BOX, bread=LOAF, full=True, **more):
        return call("pan-fill", {"pan": pan, "bread": bread, **more}, full)

    return fill


@pytest.fixture
def refuse(client, assert_problem):
    def refuse(pointer, code, pan=BOX, bread=LOAF, **more):
        response = client.post("/v1/pan-fill", json={"pan": pan, "bread": bread, **more})
        return assert_problem(response, 422, pointer, code)

    return refuse


def codes(reply) -> set[str]:
    return {note["code"] for note in reply["notes"]}


# The main job: the same pan at a higher share


def test_the_same_pan_from_20_to_35_percent(fill):
    reply = fill(scalded_share_percent=35, pans=6)
    best = 440 * 0.94 / 0.88  # D0 x SV0 / SV1; the bake loss is the same
    assert reply["dough_mass"]["best"] == pytest.approx(best)
    assert reply["total_dough_mass"]["best"] == pytest.approx(6 * best)
    assert reply["loaf_volume"] == reply["pan_volume"] == pytest.approx(1714.75)
    assert reply["specific_volume"]["best"] == pytest.approx(1714.75 / (440 * 0.895) * 0.88 / 0.94)
    assert reply["pan_ratio"]["best"] == pytest.approx(1714.75 / best)
    assert reply["baked_mass"]["best"] == pytest.approx(best * 0.895)
    assert reply["against_reference_loaf"]["dough_mass"]["best"] == pytest.approx(best - 440)
    assert reply["against_reference_loaf"]["percent"]["best"] == pytest.approx(100 * (best / 440 - 1))
    assert reply["dough_mass"]["low"] < 440 < best < reply["dough_mass"]["high"]
    assert reply["dough_mass"]["evidence"] == "assumption"
    assert {"geometry", "naro_2010"} <= set(reply["basis"])
    assert {"overfilled_pan", "net_weight"} <= {caution["code"] for caution in reply["cautions"]}


def test_the_working_can_be_redone(fill):
    steps = {step["label"]: step for step in fill(scalded_share_percent=35, pans=6)["working"]}
    assert steps["Pan volume"]["expression"] == "19 cm × 9.5 cm × 9.5 cm"
    assert steps["Volume factor at the target share"]["value"] == pytest.approx(0.88)
    assert steps["Volume factor at the known share"]["value"] == pytest.approx(0.94)
    per_dough = steps["Loaf volume per g of dough"]["value"]
    assert steps["Dough for one pan"]["value"] == pytest.approx(1714.75 / per_dough)
    assert steps["Dough for all pans"]["value"] == pytest.approx(6 * steps["Dough for one pan"]["value"])


def test_result_only(fill):
    reply = fill(full=False)
    assert not {"working", "basis", "notes"} & set(reply) and reply["cautions"]


# The formula


def test_the_formula_comes_back_scaled_and_gives_its_share(fill, call):
    reply = fill(formula=TIN_LOAF, pans=4)
    assert reply["scalded_share_percent"] == pytest.approx(20)
    assert reply["dough_mass"]["best"] == pytest.approx(440)
    seen = call("breakdown", {"formula": reply["formula"]})
    assert seen["totals"]["dough"] == pytest.approx(4 * 440)
    assert seen["scalded_share_percent"] == pytest.approx(20)
    assert "formula_share_differs" not in codes(reply)
    assert {"raw_flour", "allergens"} <= {caution["code"] for caution in reply["cautions"]}


def test_a_formula_at_another_share_is_said_to_be_only_scaled(fill):
    reply = fill(formula=TIN_LOAF, scalded_share_percent=35)
    assert "formula_share_differs" in codes(reply)
    dough = sum(line["mass"] for line in reply["formula"]["lines"])
    assert dough == pytest.approx(reply["dough_mass"]["best"])


# Pans


@pytest.mark.parametrize(
    ("pan", "volume_cm3"),
    [
        (
            {
                "kind": "tapered",
                "top_length": 25,
                "top_width": 11.3,
                "base_length": 23.8,
                "base_width": 10.5,
                "depth": 12,
            },
            12 / 6 * (25 * 11.3 + 23.8 * 10.5 + 4 * 24.4 * 10.9),
        ),
        (
            {"kind": "round", "top_diameter": 20, "base_diameter": 16, "depth": 9},
            pi * 9 / 12 * (400 + 320 + 256),
        ),
        (
            {
                "kind": "oval",
                "top_length": 24,
                "top_width": 14,
                "base_length": 20,
                "base_width": 11,
                "depth": 9,
            },
            pi / 4 * 9 / 6 * (24 * 14 + 20 * 11 + 4 * 22 * 12.5),
        ),
        ({"kind": "volume", "volume": 1750}, 1750),
        ({"kind": "water_fill", "mass": 1702, "temperature": 18}, 1702 / 0.998595),
    ],
)
def test_every_kind_of_pan(fill, pan, volume_cm3):
    reply = fill(pan)
    assert reply["pan_volume"] == pytest.approx(volume_cm3, rel=1e-5)
    assert ("kell_1975" in reply["basis"]) is (pan["kind"] == "water_fill")
    assert ("calculated_pan_volume" in codes(reply)) is (pan["kind"] not in ("volume", "water_fill"))


def test_inches_ounces_and_fahrenheit_give_the_same_bread(fill):
    metric = fill(
        {"kind": "water_fill", "mass": 1700, "temperature": 20}, scalded_share_percent=35, formula=TIN_LOAF
    )
    ounce, inch3 = 28.349523125, 16.387064
    lines = [{**line, "mass": line["mass"] / ounce} for line in TIN_LOAF["lines"]]
    us = fill(
        {"kind": "water_fill", "mass": 1700 / ounce, "temperature": 68},
        {**LOAF, "dough_mass": 440 / ounce, "loaf_volume": 1714.75 / inch3},
        scalded_share_percent=35,
        units={"mass": "oz", "volume": "in3", "length": "in", "temperature": "degF"},
        formula={**TIN_LOAF, "lines": lines},
    )
    assert us["pan_volume"] * inch3 == pytest.approx(metric["pan_volume"])
    for end in ("low", "best", "high"):
        assert us["dough_mass"][end] * ounce == pytest.approx(metric["dough_mass"][end])
        assert us["specific_volume"][end] == pytest.approx(metric["specific_volume"][end])
        assert us["against_reference_loaf"]["percent"][end] == pytest.approx(
            metric["against_reference_loaf"]["percent"][end]
        )
    assert us["formula"]["lines"][0]["mass"] * ounce == pytest.approx(metric["formula"]["lines"][0]["mass"])
    steps = {step["label"]: step["expression"] for step in us["working"]}
    assert "cm³)" in steps["Dough for one pan"]


def test_a_pan_in_inches(fill):
    inches = {**BOX, **{side: BOX[side] / 2.54 for side in ("length", "width", "depth")}}
    assert fill(inches, units={"length": "in"})["pan_volume"] == pytest.approx(1714.75)
    millimetres = {**BOX, **{side: BOX[side] * 10 for side in ("length", "width", "depth")}}
    assert fill(
        millimetres, units={"length": "mm", "volume": "l"}, bread={"kind": "pan_ratio", "pan_ratio": 4}
    )["pan_volume"] == pytest.approx(1.71475)


# Breads


def test_own_specific_volume(fill):
    reply = fill(bread={"kind": "specific_volume", "specific_volume": 4.2}, bake_loss_percent=12)
    assert reply["dough_mass"]["best"] == pytest.approx(1714.75 / (4.2 * 0.88))
    assert reply["scalded_share_percent"] is None and "against_reference_loaf" not in reply
    moved = fill(
        bread={"kind": "specific_volume", "specific_volume": 4.2, "scalded_share_percent": 20},
        scalded_share_percent=35,
        cooling_loss_percent=0,
    )
    assert moved["specific_volume"]["best"] == pytest.approx(4.2 * 0.88 / 0.94)


def test_what_the_loaf_loses_while_it_cools(fill):
    own = {"kind": "specific_volume", "specific_volume": 4.2}
    usual = fill(bread=own)
    assert usual["cooling_loss_percent"] == {"low": 1, "best": 2, "high": 3, "evidence": "common practice"}
    assert usual["dough_mass"]["best"] == pytest.approx(1714.75 / (4.2 * 0.88))
    assert usual["oven_mass"]["best"] == pytest.approx(usual["dough_mass"]["best"] * 0.90)
    assert usual["baked_mass"]["best"] == pytest.approx(usual["dough_mass"]["best"] * 0.88)
    steps = {step["label"]: step for step in usual["working"]}
    assert steps["The same at the oven's mouth"]["value"] == pytest.approx(usual["specific_volume"]["best"])
    stated = fill(bread=own, bake_loss_percent=11, cooling_loss_percent=1.5)
    assert stated["dough_mass"]["best"] == pytest.approx(1714.75 / (4.2 * 0.875))
    included = fill(bread=own, bake_loss_percent=12.5)
    assert included["dough_mass"]["best"] == pytest.approx(stated["dough_mass"]["best"])
    assert included["oven_mass"] == included["baked_mass"]


def test_pan_ratio(fill):
    bread = {"kind": "pan_ratio", "pan_ratio": 3.9}
    reply = fill(bread=bread, fill_percent=90)
    assert reply["dough_mass"]["best"] == pytest.approx(1714.75 / 3.9)
    fuller = fill(bread={**bread, "fill_percent": 90}, fill_percent=99)
    assert fuller["dough_mass"]["best"] == pytest.approx(1714.75 / 3.9 * 1.1)
    moved = fill(bread={**bread, "scalded_share_percent": 20}, scalded_share_percent=30)
    assert moved["dough_mass"]["best"] == pytest.approx(1714.75 / 3.9 * 0.94 / 0.90)


def test_a_shallow_tin_with_a_crown_is_asked_for_its_fill(fill):
    crowned = {"kind": "pan_ratio", "pan_ratio": 1.78}
    assert "fill_of_pan_ratio" in codes(fill(bread=crowned))
    assert "fill_of_pan_ratio" not in codes(fill(bread={**crowned, "fill_percent": 190}, fill_percent=190))


def test_prior(fill):
    reply = fill(bread={"kind": "prior"}, scalded_share_percent=40)
    assert reply["specific_volume"]["best"] == pytest.approx(4.3 * 0.86)
    assert reply["specific_volume"]["high"] / reply["specific_volume"]["low"] > 1.4
    assert {"prior", "bake_loss_default"} <= codes(reply)


def test_the_crumb_decides_the_prior(fill):
    light, close = (
        fill(bread={"kind": "prior", "crumb": crumb}, scalded_share_percent=0, bake_loss_percent=10)
        for crumb in ("light", "close")
    )
    assert light["specific_volume"]["best"] == 4.3 and close["specific_volume"]["best"] == 3.5
    assert fill(bread={"kind": "prior"}, scalded_share_percent=0, bake_loss_percent=10) == light


def test_every_answer_says_where_its_pan_ratio_is_among_those_seen(fill):
    def place(ratio):
        reply = fill(bread={"kind": "pan_ratio", "pan_ratio": ratio}, bake_loss_percent=10)
        note = next(note for note in reply["notes"] if note["code"] == "pan_ratios_seen")
        assert note["values"]["ratio"] == pytest.approx(ratio)
        return note["values"]["place"]

    assert place(3.9) == "lidded_japanese" and place(3.15) == "lidded_us, open_home"
    assert place(4.4) == "open_wholesale" and place(3.5) == ""


def test_gluten_makes_up_for_the_scald(fill):
    plain, helped = fill(scalded_share_percent=35), fill(scalded_share_percent=35, gluten_percent=1)
    before = fill(scalded_share_percent=35, gluten_percent=1, bread={**LOAF, "gluten_percent": 0})
    # gluten of both loaves shifts both; gluten of the wanted one alone makes its loaf larger
    assert before["dough_mass"]["best"] < plain["dough_mass"]["best"]
    assert helped["dough_mass"]["best"] == pytest.approx(
        440 * (1 - 0.4 * (15 - 75.2 / 12) / 100) / (1 - 0.4 * (30 - 75.2 / 12) / 100), rel=2e-4
    )
    gluten = {"ingredient": "vital_gluten", "percent": 1}
    lines = [{"ingredient": "bread_flour", "percent": 100}, {"ingredient": "water", "percent": 65}, gluten]
    formula = {"lines": lines}
    of_formula = fill(scalded_share_percent=35, formula=formula)
    assert of_formula["dough_mass"]["best"] == pytest.approx(helped["dough_mass"]["best"])
    beyond = fill(bread={"kind": "prior"}, scalded_share_percent=5, gluten_percent=5)
    assert "gluten_beyond_lost" in codes(beyond)


def test_a_reference_loaf_by_how_far_it_filled_its_tin(fill, refuse):
    by_volume = {name: value for name, value in LOAF.items() if name != "loaf_volume"}
    same = fill(bread={**by_volume, "fill_percent": 100})
    assert same["dough_mass"]["best"] == pytest.approx(fill()["dough_mass"]["best"], rel=1e-3)
    assert same["dough_mass"]["high"] > fill()["dough_mass"]["high"]  # judged by height
    other = {"kind": "box", "length": 38, "width": 9.5, "depth": 9.5}
    twice = fill(bread={**by_volume, "dough_mass": 880, "fill_percent": 100, "pan": other})
    assert twice["dough_mass"]["best"] == pytest.approx(same["dough_mass"]["best"])
    assert "another_loaf_size" in codes(twice) and "another_loaf_size" not in codes(same)
    refuse("/bread/loaf_volume", "missing", bread=by_volume)
    refuse("/bread/fill_percent", "volume_given_twice", bread={**LOAF, "fill_percent": 100})
    refuse("/bread/pan", "volume_given_twice", bread={**LOAF, "pan": other})
    refuse("/bread/pan/depth", "pan_dimension_out_of_range",
           bread={**by_volume, "fill_percent": 100, "pan": {**other, "depth": 5000}})  # fmt: skip
    refuse("/bread/fill_percent", "fill_out_of_range", bread={**by_volume, "fill_percent": 400})


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    dough=st.floats(300, 900),
    filled=st.floats(60, 180),
    ratio=st.floats(3.4, 4.4),
    shares=st.tuples(st.floats(0, 35), st.floats(0, 35)),
    tonight=st.floats(600, 4000),
)
def test_a_fill_is_the_volume_that_it_makes_of_its_own_pan(call, dough, filled, ratio, shares, tonight):
    known, wanted = shares
    pan_volume = ratio * dough / (filled / 100)
    loaf = {"kind": "reference_loaf", "dough_mass": dough, "scalded_share_percent": known}
    body = {"pan": {"kind": "volume", "volume": tonight}, "scalded_share_percent": wanted}

    def dough_mass(**bread):
        return call("pan-fill", {**body, "bread": {**loaf, **bread}}, full=False)["dough_mass"]

    by_fill = dough_mass(fill_percent=filled, pan={"kind": "volume", "volume": pan_volume})
    by_volume = dough_mass(loaf_volume=filled / 100 * pan_volume)
    assert by_fill["best"] == pytest.approx(by_volume["best"], rel=1e-9)
    assert by_fill["low"] <= by_volume["low"] and by_fill["high"] >= by_volume["high"]  # judged by height


def test_other_flour_than_white_wheat(fill, refuse):
    def formula(rye):
        return {
            "lines": [
                {"ingredient": "bread_flour", "percent": 100 - rye},
                {"ingredient": "rye_flour", "percent": rye},
                {"ingredient": "water", "percent": 65},
            ]
        }

    white, some = (fill(bread={"kind": "prior"}, formula=formula(rye)) for rye in (10, 30))
    assert "other_flour" in codes(some) and "other_flour" not in codes(white)
    assert some["dough_mass"]["high"] > white["dough_mass"]["high"]
    refused = refuse("/bread/kind", "no_prior_for_flour", bread={"kind": "prior"}, formula=formula(60))
    assert "reference_loaf" in refused["detail"]
    assert fill(formula=formula(60))  # the baker's own loaf counts


def test_calibration(fill):
    reply = fill(bread=CALIBRATED, scalded_share_percent=30)
    mean = 1.42 + log(1 - 0.31 * 0.25)
    slope = -0.25 / (1 - 0.31 * 0.25)
    sd = sqrt(0.0006 + 2 * slope * 0.0012 + slope**2 * 0.006 + 0.015**2)
    assert reply["specific_volume"]["best"] == pytest.approx(exp(mean))
    assert reply["dough_mass"]["low"] == pytest.approx(reply["dough_mass"]["best"] * exp(-1.645 * sd))
    assert reply["specific_volume"]["low"] < exp(mean - 1.645 * sd)  # the bake loss adds its doubt here
    assert reply["bake_loss_percent"]["best"] == 10.4
    assert reply["dough_mass"]["best"] == pytest.approx(1714.75 / exp(mean) / 0.896)
    assert "bake_loss_of_trials" in codes(reply)


def test_a_calibration_is_written_as_it_is_read():
    read = read_calibration(CALIBRATION)
    assert isinstance(read, Calibration)
    written = write_calibration(read)
    assert written.items() >= CALIBRATION.items()
    assert read_calibration(written) == read


# Bake loss and fill


def test_the_default_bake_loss_is_said(fill):
    bread = {"kind": "specific_volume", "specific_volume": 4.2}
    lidded, open_top = fill(bread=bread, lid=True), fill(bread=bread, lid=False)
    assert lidded["bake_loss_percent"]["best"] == 10 and "bake_loss_default" in codes(lidded)
    assert "lidded" in next(note["text"] for note in lidded["notes"] if note["code"] == "bake_loss_default")
    assert open_top["bake_loss_percent"]["best"] == 12
    assert lidded["bake_loss_percent"]["evidence"] == "published"
    unsaid = fill(bread=bread)
    assert unsaid["bake_loss_percent"] == {"low": 8, "best": 10, "high": 13, "evidence": "assumption"}
    assert "lid_unsaid" in codes(unsaid) and not {"lid_unsaid"} & (codes(lidded) | codes(open_top))
    assert fill(bread=bread, fill_percent=130)["bake_loss_percent"]["best"] == 12
    nearly = fill(bread=bread, fill_percent=100.0001)
    assert nearly["dough_mass"]["best"] == pytest.approx(unsaid["dough_mass"]["best"], rel=1e-5)
    assert "lid_above_full" in codes(fill(bread=bread, lid=True, fill_percent=105))
    assert "lid_above_full" not in codes(fill(bread=bread, lid=False, fill_percent=105))
    stated = fill(bread=bread, bake_loss_percent=9)
    assert stated["bake_loss_percent"] == {"low": 9, "best": 9, "high": 9, "evidence": "exact"}
    assert "bake_loss_default" not in codes(stated)


def test_water_off_the_optimum_takes_more_dough_for_the_same_loaf(fill):
    at_best, dry = fill(), fill(hydration_off_optimum_points=-4)
    assert dry["dough_mass"]["best"] == pytest.approx(at_best["dough_mass"]["best"] * exp(25 * 0.04**2))
    both = fill(bread={**LOAF, "hydration_off_optimum_points": -4}, hydration_off_optimum_points=-4)
    assert both["dough_mass"] == at_best["dough_mass"]


def test_another_loaf_size_is_noted(fill):
    assert "another_loaf_size" not in codes(fill())
    assert "another_loaf_size" in codes(fill(fill_percent=80))


# Refusals


@pytest.mark.parametrize(
    ("more", "pointer", "code", "nearest"),
    [
        ({"pan": {**BOX, "depth": 0.2}}, "/pan/depth", "pan_dimension_out_of_range", 0.5),
        ({"pan": {**BOX, "depth": 0}}, "/pan/depth", "too_small", 0.5),
        ({"pan": {**BOX, "depth": 5000}}, "/pan/depth", "pan_dimension_out_of_range", 300),
        ({"pan": {**BOX, "height": 5}}, "/pan/height", "unknown_field", None),
        ({"pan": {"kind": "box", "length": 5, "width": 5}}, "/pan/depth", "missing", None),
        ({"pan": {"kind": "boxx"}}, "/pan/kind", "not_one_of", "box"),
        ({"pan": {"kind": "volume", "volume": 1}}, "/pan/volume", "pan_volume_out_of_range", 20),
        (
            {"pan": {"kind": "water_fill", "mass": 1700, "temperature": 130}},
            "/pan/temperature",
            "water_not_liquid",
            100,
        ),
        ({"bread": {"kind": "prior"}}, "/scalded_share_percent", "missing", 0),
        ({"bread": CALIBRATED}, "/scalded_share_percent", "missing", 0),
        (
            {"bread": {"kind": "specific_volume", "specific_volume": 1.5}},
            "/bread/specific_volume",
            "specific_volume_out_of_range",
            2,
        ),
        (
            {"bread": {"kind": "specific_volume", "specific_volume": 0}},
            "/bread/specific_volume",
            "specific_volume_out_of_range",
            2,
        ),
        (
            {"bread": {"kind": "pan_ratio", "pan_ratio": 7.45}},
            "/bread/pan_ratio",
            "pan_ratio_out_of_range",
            6.5,
        ),
        (
            {"bread": {**LOAF, "scalded_share_percent": 70}},
            "/bread/scalded_share_percent",
            "share_out_of_range",
            60,
        ),
        (
            {"bread": {**LOAF, "bake_loss_percent": 60}},
            "/bread/bake_loss_percent",
            "bake_loss_out_of_range",
            30,
        ),
        (
            {"bread": {**LOAF, "loaf_volume": 400}},
            "/bread/loaf_volume",
            "specific_volume_out_of_range",
            pytest.approx(2 * 440 * 0.895),
        ),
        ({"scalded_share_percent": 101}, "/scalded_share_percent", "too_large", 60),
        ({"scalded_share_percent": 90}, "/scalded_share_percent", "share_out_of_range", 60),
        ({"hydration_off_optimum_points": 12}, "/hydration_off_optimum_points", "water_too_far_off", 8),
        ({"bake_loss_percent": 45}, "/bake_loss_percent", "bake_loss_out_of_range", 30),
        ({"fill_percent": 5}, "/fill_percent", "fill_out_of_range", 20),
        ({"pans": 0}, "/pans", "too_small", 1),
        ({"pans": 2.5}, "/pans", "wrong_type", 2),
        (
            {"bread": {"kind": "calibration", "calibration": {**CALIBRATION, "version": 2}}},
            "/bread/calibration/version",
            "not_one_of",
            1,
        ),
        (
            {
                "bread": {
                    "kind": "calibration",
                    "calibration": {**CALIBRATION, "covariance": [[1, 0], [0, 1]]},
                }
            },
            "/bread/calibration/covariance",
            "too_short",
            None,
        ),
        (
            {
                "bread": {
                    "kind": "calibration",
                    "calibration": {
                        **CALIBRATION,
                        "covariance": [[0.0006, 0.5, 0], [0.5, 0.006, 0], [0, 0, 0.004]],
                    },
                },
                "scalded_share_percent": 20,
            },
            "/bread/calibration/covariance",
            "not_a_covariance",
            None,
        ),
        (
            {
                "bread": {"kind": "calibration", "calibration": {**CALIBRATION, "share_volume_loss": 4}},
                "scalded_share_percent": 40,
            },
            "/scalded_share_percent",
            "specific_volume_out_of_range",
            pytest.approx(5 + 100 * (1 - 2 / exp(1.42)) / 4),
        ),
    ],
)
def test_refused_with_the_nearest_that_works(refuse, more, pointer, code, nearest):
    assert refuse(pointer, code, **more)["nearest"] == nearest


def test_a_refusal_speaks_the_baker_s_units(refuse, fill):
    units, bread = {"length": "in", "volume": "in3"}, {"kind": "pan_ratio", "pan_ratio": 4}
    tiny = {"kind": "volume", "volume": 1}
    error = refuse("/pan/volume", "pan_volume_out_of_range", pan=tiny, bread=bread, units=units)
    assert "1 in³" in error["detail"] and error["nearest"] == pytest.approx(20 / 16.387064)
    fill({**tiny, "volume": error["nearest"]}, bread, units=units)


def test_a_box_given_in_millimetres_as_centimetres_is_caught(refuse):
    error = refuse(
        "/pan/depth", "pan_volume_out_of_range", pan={"kind": "box", "length": 190, "width": 95, "depth": 95}
    )
    assert "unit" in error["detail"]
