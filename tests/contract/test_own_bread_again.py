"""The bread of a bake, asked for again with what that bake taught: every call counts its water alike."""

import pytest

from scaldloaf.operations.lantern_quay import LIDDED_TIN, TIN_LOAF

BAKE = {"scalded_share_percent": 20, "dough_mass": 440, "pan": LIDDED_TIN, "fill_percent": 100}


def tin_loaf(milk_g: float) -> dict:
    """A tin loaf with a soft scald, 1 : 2, and more or less milk in the dough."""
    lines = [
        {**line, "mass": 200} if line == {"ingredient": "water", "mass": 100, "part": "scald"} else line
        for line in TIN_LOAF["lines"]
    ]
    lines = [{**line, "mass": milk_g} if line["ingredient"] == "whole_milk" else line for line in lines]
    return {"name": "Soft scald", "lines": [line for line in lines if line["mass"] != 95]}


@pytest.mark.parametrize("milk_g", [100, 150, 200])
@pytest.mark.parametrize("share", [20, 10])
def test_the_next_dough_is_the_same_by_every_call(call, milk_g, share):
    formula = tin_loaf(milk_g)
    hydration = call("breakdown", {"formula": formula})["hydration_percent"]
    trials = [{**BAKE, "hydration_percent": hydration}]
    fit = {"trials": trials, "scald_liquid_ratio": 2}
    calibration = call("trial-fit", fit)["calibration"]
    bread = {"formula": formula, "scalded_share_percent": share, "calibration": calibration}
    water = call("hydration-correction", bread)
    want = {
        "pan": LIDDED_TIN,
        "scalded_share_percent": share,
        "hydration_percent": water["hydration_percent"],
    }
    taught = call("trial-fit", {**fit, "want": want})["next_bake"]
    off_after = 0.0
    if milk_g < 200:  # so dry that the water of the bake was left out: it was right for its loaf
        assert "off_trials_points" not in water and taught["optimum_hydration_percent"] is None
    else:
        off_after = water["off_trials_points"]["after"]
        optimum = taught["optimum_hydration_percent"]["best"]
        assert off_after == pytest.approx(water["hydration_percent"] - optimum)
        own = calibration["own_hydration_off_optimum_points"]
        assert water["off_trials_points"]["before"] == pytest.approx(own)
    filled = call(
        "pan-fill",
        {
            "pan": LIDDED_TIN,
            "scalded_share_percent": share,
            "hydration_off_optimum_points": off_after,
            "bread": {"kind": "calibration", "calibration": calibration},
        },
    )
    plan = call("loaf-plan", {**bread, "pan": LIDDED_TIN})["parts"]["pan_fill"]
    breads = {"formula": formula, "calibration": calibration, "pan": LIDDED_TIN, "hold": "pan"}
    again = {"name": "again", "scalded_share_percent": share}
    (variant,) = call("variants", {**breads, "variants": [again]})["variants"]
    for found in (filled, plan, variant):
        for end in ("low", "best", "high"):
            assert found["dough_mass"][end] == pytest.approx(taught["dough_mass"][end])


def test_without_trials_nothing_is_said_of_them(call):
    assert "off_trials_points" not in call("hydration-correction", {"formula": TIN_LOAF})
    unstated = call("trial-fit", {"trials": [BAKE]})["calibration"]
    assert "off_trials_points" not in call(
        "hydration-correction", {"formula": TIN_LOAF, "calibration": unstated}
    )
