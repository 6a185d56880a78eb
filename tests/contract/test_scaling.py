"""scaling from outside: every target, losses, scales, units, refusals that teach."""

import pytest
from pytest import approx

from scaldloaf.operations.lantern_quay import TIN_LOAF

SCALE = {"resolution": 1, "fine_resolution": 0.1}


@pytest.fixture
def scale(call):
    def scale(target, full=True, **more):
        return call("scaling", {"formula": TIN_LOAF, "target": target, **more}, full)

    return scale


@pytest.fixture
def refuse(client, assert_problem):
    def refuse(pointer, code, target, **more):
        response = client.post("/v1/scaling", json={"formula": TIN_LOAF, "target": target, **more})
        return assert_problem(response, 422, pointer, code)

    return refuse


def codes(reply) -> set[str]:
    return {note["code"] for note in reply["notes"]}


@pytest.mark.parametrize(
    "target, dough, factor",
    [
        ({"kind": "dough_mass", "mass": 1858}, 1858, 2),
        ({"kind": "flour_mass", "mass": 1000}, 1858, 2),
        ({"kind": "pieces", "count": 4, "mass": 464.5}, 1858, 2),
        ({"kind": "baked_pieces", "count": 4, "mass": 464.5}, 1858, 2),
        ({"kind": "factor", "factor": 2}, 1858, 2),
        ({"kind": "on_hand", "ingredient": "water", "mass": 390}, 1858, 2),
    ],
)
def test_every_target(scale, target, dough, factor):
    reply = scale(target, scale=SCALE)
    assert reply["factor"] == approx(factor)
    assert reply["dough_mass"] == approx(dough)
    assert [line["mass"] for line in reply["formula"]["lines"]] == approx(
        [2 * line["mass"] for line in TIN_LOAF["lines"]]
    )
    assert reply["weigh_out_total"] == 1858
    assert (reply["piece_mass"] is None) is ("count" not in target)


def test_losses_compounded_and_added(scale):
    target = {"kind": "baked_pieces", "count": 12, "mass": 400}
    losses = {"handling_percent": 2, "bake_percent": 10}
    compounded = scale(target, losses=losses)
    assert compounded["dough_mass"] == approx(4800 / 0.98 / 0.9)
    assert compounded["dough_after_handling"] == approx(12 * compounded["piece_mass"])
    assert compounded["piece_mass"] == approx(400 / 0.9)
    added = scale(target, losses={**losses, "rule": "added"})
    assert added["dough_mass"] == approx(4800 / 0.88)


def test_target_masses_are_what_handling_leaves(scale):
    reply = scale({"kind": "dough_mass", "mass": 980}, losses={"handling_percent": 2})
    assert reply["dough_mass"] == approx(1000) and reply["dough_after_handling"] == approx(980)
    assert "bake_loss_not_used" in codes(
        scale({"kind": "pieces", "count": 2, "mass": 450}, losses={"bake_percent": 10})
    )
    fixed = scale({"kind": "flour_mass", "mass": 500}, losses={"handling_percent": 2})
    assert fixed["dough_mass"] == approx(929) and "handling_loss_not_used" in codes(fixed)


def test_weigh_out_adds_up_on_both_scales(scale):
    reply = scale(
        {"kind": "baked_pieces", "count": 7, "mass": 400},
        losses={"handling_percent": 1.5, "bake_percent": 11},
        scale={"resolution": 5, "fine_resolution": 0.1},
    )
    exact = {(line["ingredient"], line["part"]): line["mass"] for line in reply["formula"]["lines"]}
    flour = sum(mass for (name, _), mass in exact.items() if name == "bread_flour")
    for line in reply["weigh_out"]:
        fine = line["ingredient"] in ("salt", "instant_yeast")
        assert line["resolution"] == (0.1 if fine else 5)
        assert line["mass"] / line["resolution"] == approx(round(line["mass"] / line["resolution"]), abs=1e-9)
        off = line["mass"] - exact[line["ingredient"], line["part"]]
        assert abs(off) < line["resolution"]
        assert line["error_percent"] == approx(100 * off / flour)
    assert sum(line["mass"] for line in reply["weigh_out"]) == approx(reply["weigh_out_total"])
    assert abs(reply["weigh_out_total"] - reply["dough_mass"]) <= 2.5


@pytest.mark.parametrize(
    "unit, grams, coarse, fine",
    [
        ("g", 1, 1, 0.1),
        ("kg", 1000, 0.001, 0.0001),
        ("oz", 28.349523125, 0.05, 0.005),
        ("lb", 453.59237, 0.005, 0.0005),
    ],
)
def test_the_usual_scale_is_assumed_and_said(scale, unit, grams, coarse, fine):
    formula = {"lines": [{**line, "mass": line["mass"] / grams} for line in TIN_LOAF["lines"]]}
    reply = scale({"kind": "factor", "factor": 3.7}, units={"mass": unit}, formula=formula)
    assert "scale_assumed" in codes(reply)
    assert {line["resolution"] for line in reply["weigh_out"]} == {coarse, fine}
    assert reply["dough_mass"] * grams == approx(929 * 3.7)
    for line in reply["weigh_out"]:
        assert len(repr(line["mass"])) < 10, "a rounded mass must read as one"
    assert f"{coarse:g} {unit}" in next(
        note["text"] for note in reply["notes"] if note["code"] == "scale_assumed"
    )


def test_a_line_the_scale_cannot_see_is_reported_in_the_baker_s_units(scale):
    reply = scale({"kind": "dough_mass", "mass": 1}, units={"mass": "lb"}, scale={"resolution": 0.05})
    notes = [note for note in reply["notes"] if note["code"] == "line_vanished"]
    texts = {note["values"]["ingredient"]: note["text"] for note in notes}
    assert "nstant" in texts["instant_yeast"] and " lb" in texts["instant_yeast"]
    assert {line["mass"] for line in reply["weigh_out"] if line["ingredient"] == "instant_yeast"} == {0}


def test_a_cooled_loaf_has_lost_twice(scale):
    target = {"kind": "baked_pieces", "count": 12, "mass": 400}
    losses = {"handling_percent": 2, "bake_percent": 10, "cooling_loss_percent": 2}
    compounded, added = scale(target, losses=losses), scale(target, losses={**losses, "rule": "added"})
    assert compounded["dough_mass"] == approx(4800 / 0.98 / 0.88)
    assert compounded["piece_mass"] == added["piece_mass"] == approx(400 / 0.88)
    assert added["dough_mass"] == approx(4800 / 0.86)
    only = scale(target, losses={"cooling_loss_percent": 2})
    assert only["dough_mass"] == approx(4800 / 0.98)
    unused = scale({"kind": "dough_mass", "mass": 4800}, losses={"cooling_loss_percent": 2})
    assert "bake_loss_not_used" in {note["code"] for note in unused["notes"]}


def test_the_working_can_be_redone(scale):
    reply = scale(
        {"kind": "baked_pieces", "count": 12, "mass": 400}, losses={"handling_percent": 2, "bake_percent": 10}
    )
    steps = {step["label"]: step for step in reply["working"]}
    assert steps["Dough to mix"]["expression"] == "4800 g ÷ (1 − 2 ÷ 100) ÷ (1 − 10 ÷ 100)"
    assert steps["Dough to mix"]["value"] == approx(reply["dough_mass"])
    assert steps["Factor"]["value"] == approx(reply["factor"])
    assert steps["Scaling mass of a piece"]["value"] == approx(reply["piece_mass"])
    added = scale(
        {"kind": "baked_pieces", "count": 12, "mass": 400},
        losses={"handling_percent": 2, "bake_percent": 10, "rule": "added"},
    )
    assert any(step["expression"] == "4800 g ÷ (1 − 2 ÷ 100 − 10 ÷ 100)" for step in added["working"])
    assert reply["basis"] == ["mass_balance"]
    assert [caution["code"] for caution in reply["cautions"]] == [
        "raw_flour",
        "allergens",
        "hot_scald",
        "scald_cooling",
        "net_weight",
    ]


def test_scaled_and_scaled_back(call, scale):
    there = scale({"kind": "factor", "factor": 17})
    back = call("scaling", {"formula": there["formula"], "target": {"kind": "dough_mass", "mass": 929}})
    assert [line["mass"] for line in back["formula"]["lines"]] == approx(
        [line["mass"] for line in TIN_LOAF["lines"]]
    )


def test_a_formula_in_percent_gets_its_masses_from_the_target(scale):
    formula = {
        "lines": [
            {"ingredient": "bread_flour", "percent": 100},
            {"ingredient": "water", "percent": 62},
            {"ingredient": "salt", "percent": 2},
        ]
    }
    reply = scale({"kind": "flour_mass", "mass": 2}, formula=formula, units={"mass": "kg"})
    assert [line["mass"] for line in reply["formula"]["lines"]] == approx([2, 1.24, 0.04])


def test_result_only(scale):
    reply = scale({"kind": "factor", "factor": 2}, full=False)
    assert "working" not in reply and "notes" not in reply and reply["cautions"]


# Refused


@pytest.mark.parametrize(
    "target, more, pointer, code, nearest",
    [
        (
            {"kind": "on_hand", "ingredient": "mlik", "mass": 5},
            {},
            "/target/ingredient",
            "not_in_formula",
            "whole_milk",
        ),
        (
            {"kind": "on_hand", "ingredient": "sugar", "mass": 5},
            {},
            "/target/ingredient",
            "not_in_formula",
            "sucrose",
        ),
        ({"kind": "on_hand", "mass": 5}, {}, "/target/ingredient", "missing", None),
        ({"kind": "piece", "count": 5, "mass": 5}, {}, "/target/kind", "not_one_of", "pieces"),
        ({"kind": "dough_mass", "mass": 0}, {}, "/target/mass", "too_small", approx(0.00186, rel=1e-3)),
        ({"kind": "dough_mass", "mass": -5}, {}, "/target/mass", "too_small", approx(0.00186, rel=1e-3)),
        ({"kind": "dough_mass", "mass": 1e308}, {}, "/target/mass", "too_large", approx(1e9, rel=2e-6)),
        ({"kind": "dough_mass", "mass": "500"}, {}, "/target/mass", "wrong_type", 500),
        ({"kind": "dough_mass", "mas": 5}, {}, "/target/mas", "unknown_field", "mass"),
        ({"kind": "pieces", "count": 2.5, "mass": 5}, {}, "/target/count", "wrong_type", 2),
        ({"kind": "pieces", "count": 0, "mass": 5}, {}, "/target/count", "too_small", 1),
        (
            {"kind": "factor", "factor": 2},
            {"losses": {"handling_percent": 60}},
            "/losses/handling_percent",
            "too_large",
            50,
        ),
        (
            {"kind": "factor", "factor": 2},
            {"losses": {"bake_percent": 31}},
            "/losses/bake_percent",
            "too_large",
            30,
        ),
        (
            {"kind": "factor", "factor": 2},
            {"losses": {"rule": "compound"}},
            "/losses/rule",
            "not_one_of",
            "compounded",
        ),
        ({"kind": "factor", "factor": 2}, {"scale": {}}, "/scale/resolution", "missing", None),
        (
            {"kind": "factor", "factor": 2},
            {"scale": {"resolution": 0}},
            "/scale/resolution",
            "too_small",
            1e-4,
        ),
        (
            {"kind": "factor", "factor": 2},
            {"scale": {"resolution": 1e-6}},
            "/scale/resolution",
            "resolution_too_fine",
            1e-4,
        ),
        (
            {"kind": "factor", "factor": 2},
            {"scale": {"resolution": 1, "fine_resolution": 2}},
            "/scale/fine_resolution",
            "fine_scale_coarser",
            1,
        ),
        (
            {"kind": "factor", "factor": 2},
            {"scale": {"resolution": 1, "fine_below": 50}},
            "/scale/fine_below",
            "no_fine_scale",
            None,
        ),
        (
            {"kind": "factor", "factor": 1e-6},
            {},
            "/target/factor",
            "nothing_left_of_formula",
            approx(2e-6, rel=0.01),
        ),
    ],
)
def test_refused_at_the_field(refuse, target, more, pointer, code, nearest):
    assert refuse(pointer, code, target, **more)["nearest"] == nearest


@pytest.mark.parametrize(
    "target, field",
    [
        ({"kind": "pieces", "count": 1_000_000, "mass": 1e9}, "count"),
        ({"kind": "flour_mass", "mass": 1e9}, "mass"),
        ({"kind": "on_hand", "ingredient": "instant_yeast", "mass": 1e8}, "mass"),
        ({"kind": "factor", "factor": 1e6}, "factor"),
    ],
)
def test_too_large_a_batch_names_what_fits(refuse, scale, target, field):
    formula = {
        "lines": [
            {"ingredient": "bread_flour", "mass": 5e4},
            {"ingredient": "water", "mass": 3e4},
            {"ingredient": "instant_yeast", "mass": 500},
        ]
    }
    error = refuse(f"/target/{field}", "too_large_a_batch", target, formula=formula)
    if error["nearest"] is None:
        assert target["count"] == 1_000_000  # not even one piece of that mass
    else:
        assert scale({**target, field: error["nearest"]}, formula=formula)["dough_mass"] <= 1e9


def test_a_refusal_speaks_the_request_s_units(refuse):
    error = refuse(
        "/scale/fine_resolution",
        "fine_scale_coarser",
        {"kind": "factor", "factor": 1},
        units={"mass": "oz"},
        scale={"resolution": 0.1, "fine_resolution": 1},
    )
    assert error["nearest"] == approx(0.1) and "0.1 oz" in error["detail"] and error["given"] == approx(1)
