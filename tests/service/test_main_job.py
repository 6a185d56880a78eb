"""The main job from end to end, as another kitchen's system does it: the Lantern Quay tin loaf from 20 %
to 35 % scalded flour in the same pan. Each reply's formula is posted on unchanged."""

import pytest

from scaldloaf.operations.lantern_quay import TIN_LOAF

PAN = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
REFERENCE = {
    "kind": "reference_loaf",
    "dough_mass": 440,
    "loaf_volume": 1715,
    "bake_loss_percent": 10,
    "scalded_share_percent": 20,
}
STAGES = [
    {"name": "bulk", "minutes": 90, "temperature": 28},
    {"name": "proof", "minutes": 60, "temperature": 32},
]


@pytest.fixture
def ask(session, service):
    def post(call, body):
        response = session.post(f"{service.url}/v1/{call}", json=body, timeout=120)
        assert response.status_code == 200, response.text[:2000]
        return response.json()

    return post


def mass_of(formula, ingredient, part=None):
    return sum(
        line["mass"]
        for line in formula["lines"]
        if line["ingredient"] == ingredient and part in (None, line["part"])
    )


def test_twenty_to_thirty_five_percent_in_the_same_pan(ask):
    before = ask("breakdown", {"formula": TIN_LOAF})
    assert before["scalded_share_percent"] == 20 and before["liquid_percent"] == 69

    moved = ask("hydration-correction", {"formula": before["formula"], "scalded_share_percent": 35})
    assert moved["dough_mass"] == pytest.approx(before["totals"]["dough"], rel=1e-12)
    assert moved["after"]["scalded_share_percent"] == pytest.approx(35)
    # 0.27 points a point of share (common practice, no source): 15 points of share, 4.05 of water.
    assert moved["after"]["hydration_percent"] - before["hydration_percent"] == pytest.approx(4.05)
    assert moved["after"]["liquid_percent"] == pytest.approx(69 + 4.05)
    assert moved["assessment"] == "balanced"
    scald = moved["formula"]
    assert mass_of(scald, "bread_flour", "scald") == pytest.approx(mass_of(scald, "water", "scald"))
    for ingredient in ("sucrose", "butter", "salt", "instant_yeast", "skim_milk_powder", "whole_milk"):
        assert mass_of(scald, ingredient) / mass_of(scald, "bread_flour") == pytest.approx(
            mass_of(TIN_LOAF_FULL, ingredient) / mass_of(TIN_LOAF_FULL, "bread_flour")
        )

    filled = ask(
        "pan-fill",
        {"pan": PAN, "pans": 3, "bread": REFERENCE, "scalded_share_percent": 35, "formula": moved["formula"]},
    )
    dough = filled["dough_mass"]
    # By hand: 440 g x (1 - 0.40 x 0.15) / (1 - 0.40 x 0.30), the pan a hair smaller than the loaf.
    assert dough["best"] == pytest.approx(440 * 0.94 / 0.88, rel=1e-3)
    assert dough["low"] < 440 * 1.02 < dough["best"] < dough["high"]

    sheet = ask(
        "scaling",
        {
            "formula": filled["formula"],
            "target": {"kind": "pieces", "count": 3, "mass": dough["best"]},
            "losses": {"handling_percent": 2},
            "scale": {"resolution": 1, "fine_resolution": 0.1},
        },
    )
    assert sheet["dough_mass"] == pytest.approx(3 * dough["best"] / 0.98)
    assert sum(line["mass"] for line in sheet["weigh_out"]) == pytest.approx(sheet["dough_mass"], abs=0.51)

    budgets = {
        share: ask("sugar-budget", {"formula": formula, "stages": STAGES})
        for share, formula in ((20, before["formula"]), (35, sheet["formula"]))
    }
    assert budgets[35]["assessment"] == "fed" and budgets[35]["unmet_percent"] == 0
    assert budgets[35]["sweetness_percent"]["best"] > budgets[20]["sweetness_percent"]["best"]

    again = ask("breakdown", {"formula": sheet["formula"]})
    assert again["formula"] == sheet["formula"]


TIN_LOAF_FULL = {"lines": [{"part": "dough", **line} for line in TIN_LOAF["lines"]]}


def test_the_same_job_in_ounces_and_inches(ask):
    ounces = {"lines": [{**line, "mass": line["mass"] / 28.349523125} for line in TIN_LOAF["lines"]]}
    metric = ask("hydration-correction", {"formula": TIN_LOAF, "scalded_share_percent": 35})
    moved = ask(
        "hydration-correction", {"formula": ounces, "scalded_share_percent": 35, "units": {"mass": "oz"}}
    )
    for one, other in zip(moved["formula"]["lines"], metric["formula"]["lines"], strict=True):
        assert one["mass"] * 28.349523125 == pytest.approx(other["mass"])
        assert one["percent"] == pytest.approx(other["percent"])
    filled = ask(
        "pan-fill",
        {
            "units": {"mass": "oz", "length": "in", "volume": "in3"},
            "pan": {"kind": "box", "length": 19 / 2.54, "width": 9.5 / 2.54, "depth": 9.5 / 2.54},
            "bread": {**REFERENCE, "dough_mass": 440 / 28.349523125, "loaf_volume": 1715 / 2.54**3},
            "scalded_share_percent": 35,
        },
    )
    same = ask("pan-fill", {"pan": PAN, "bread": REFERENCE, "scalded_share_percent": 35})
    assert filled["dough_mass"]["best"] * 28.349523125 == pytest.approx(same["dough_mass"]["best"])


def test_a_roux_too_wet_for_the_dough_is_refused_with_a_way_out(session, service, assert_problem):
    response = session.post(
        f"{service.url}/v1/hydration-correction",
        timeout=120,
        json={"formula": TIN_LOAF, "scalded_share_percent": 35, "scald_liquid_ratio": 5},
    )
    found = assert_problem(response, 422, "/scalded_share_percent", "scald_liquid_short")
    assert "175 %" in found["detail"] and "largest" in found["detail"]
    assert 0 < found["nearest"] < 35
    retry = session.post(
        f"{service.url}/v1/hydration-correction",
        timeout=120,
        json={"formula": TIN_LOAF, "scalded_share_percent": found["nearest"], "scald_liquid_ratio": 5},
    )
    assert retry.status_code == 200
