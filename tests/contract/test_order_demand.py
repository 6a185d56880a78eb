"""order-demand: totals are the sums of single calls, batches fit the mixer, nothing is lost."""

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scaldloaf.dough.demand import batches_for
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME

ROLLS = {
    "lines": [
        {"ingredient": "bread_flour", "mass": 1000},
        {"ingredient": "whole_milk", "mass": 620},
        {"ingredient": "butter", "mass": 80},
        {"ingredient": "salt", "mass": 18},
        {"ingredient": "instant_yeast", "mass": 9},
    ]
}
LOSSES = {"handling_percent": 2, "bake_percent": 11}


def day(**more):
    return {
        "formulas": [
            {
                "id": "loaf",
                "formula": TIN_LOAF,
                "losses": LOSSES,
                "dusting_percent": 1.5,
                "mixer_capacity": 15000,
            },
            {"id": "rolls", "formula": ROLLS},
        ],
        "orders": [
            {"id": "a", "formula": "loaf", "target": {"kind": "baked_pieces", "count": 37, "mass": 403}},
            {"formula": "rolls", "target": {"kind": "pieces", "count": 120, "mass": 62}},
            {"id": "c", "formula": "loaf", "target": {"kind": "pans", "count": 9, "dough_mass": 471}},
            {"id": "d", "formula": "rolls", "target": {"kind": "dough_mass", "mass": 2500}},
        ],
        **more,
    }


def test_totals_are_the_sums_of_single_calls(call):
    demand = call("order-demand", day())
    singles = []
    for order in day()["orders"]:
        target = order["target"]
        if target["kind"] == "pans":
            target = {"kind": "pieces", "count": target["count"], "mass": target["dough_mass"]}
        loaf = order["formula"] == "loaf"
        singles.append(
            call(
                "scaling",
                {
                    "formula": TIN_LOAF if loaf else ROLLS,
                    "target": target,
                    **({"losses": LOSSES} if loaf else {}),
                },
            )
        )
    assert demand["dough_mass"] == pytest.approx(sum(single["dough_mass"] for single in singles), abs=1e-6)
    wanted: dict = {}
    for single in singles:
        for line in single["formula"]["lines"]:
            wanted.setdefault(line["ingredient"], {"scald": 0, "dough": 0})[line["part"]] += line["mass"]
    for row in demand["ingredients"]:
        assert row["scald"] == pytest.approx(wanted[row["ingredient"]]["scald"], abs=1e-6)
        assert row["dough"] == pytest.approx(wanted[row["ingredient"]]["dough"], abs=1e-6)
        assert row["mass"] == pytest.approx(row["scald"] + row["dough"] + row["dusting"], abs=1e-9)
    assert {row["ingredient"] for row in demand["ingredients"]} == set(wanted)
    for order, single in zip(demand["orders"], singles, strict=False):
        assert order["dough_mass"] == single["dough_mass"] and order["piece_mass"] == single["piece_mass"]
    assert [order["id"] for order in demand["orders"]] == ["a", "2", "c", "d"]


def test_batches_fit_the_mixer_and_add_up(call):
    demand = call("order-demand", day(scale={"resolution": 5, "fine_resolution": 0.1}))
    loaf, rolls = demand["formulas"]
    assert loaf["batches"] == math.ceil(loaf["dough_mass"] / 15000) == 2 and rolls["batches"] == 1
    assert loaf["batch_dough_mass"] * 2 == pytest.approx(loaf["dough_mass"])
    assert loaf["scald_mass"] == pytest.approx(loaf["dough_mass"] * 200 / 929)
    flour = sum(line["mass"] for line in loaf["batch"]["lines"] if line["ingredient"] == "bread_flour")
    assert loaf["dusting"] == pytest.approx(2 * flour * 0.015)
    for row in demand["ingredients"]:
        weighed = sum(
            line["mass"] * made["batches"]
            for made in (loaf, rolls)
            for line in made["batch_weigh_out"]
            if line["ingredient"] == row["ingredient"]
        )
        strewn = 5 * max(1, round(row["dusting"] / 5)) if row["dusting"] else 0
        assert row["weighed"] == pytest.approx(weighed + strewn)
        assert row["dusting"] == 0 or row["dusting"] != strewn  # or the example would show nothing


def test_a_mixer_that_just_holds_a_loaf_will_do(call):
    body = day()
    body["formulas"][0]["mixer_capacity"] = 471 / 0.98
    made = call("order-demand", body)["formulas"][0]
    assert made["batch_dough_mass"] <= 471 / 0.98 * (1 + 1e-8)
    body["orders"] = [{"formula": "loaf", "target": {"kind": "dough_mass", "mass": 1000}}]
    body["formulas"][0]["mixer_capacity"] = 100  # dough by mass has no pieces that could be too large
    assert call("order-demand", body)["formulas"][0]["batches"] == 11


@pytest.mark.parametrize(
    "change, pointer, code, nearest",
    [
        (
            lambda body: body["orders"][0].update(formula="laof"),
            "/orders/0/formula",
            "unknown_formula",
            "loaf",
        ),
        (lambda body: body["formulas"][1].update(id="loaf"), "/formulas/1/id", "id_twice", None),
        (
            lambda body: body["formulas"][1].update(mixer_capacity=0.5),
            "/formulas/1/mixer_capacity",
            "too_many_batches",
            ...,
        ),
        (
            lambda body: body["formulas"][0].update(dusting_ingredient="chalk"),
            "/formulas/0/dusting_ingredient",
            "unknown_ingredient",
            ...,
        ),
        (lambda body: body["orders"][1]["target"].update(count=0), "/orders/1/target/count", "too_small", 1),
        # What is wrong with the formula of an order, its losses or the scale is reported at its own place.
        (
            lambda body: body["formulas"][0]["formula"].update(scald_evaporation=150),
            "/formulas/0/formula/scald_evaporation",
            "evaporation_above_scald_water",
            pytest.approx(113.4),
        ),
        (
            lambda body: body["formulas"][1]["formula"].update(lines=[{"ingredient": "water", "mass": 5}]),
            "/formulas/1/formula/lines",
            "no_flour",
            None,
        ),
        (
            lambda body: body.update(scale={"resolution": 1e-5}),
            "/scale/resolution",
            "resolution_too_fine",
            1e-4,
        ),
        (
            lambda body: body["orders"][2]["target"].update(dough_mass=0.001, count=1),
            "/orders/2/target/dough_mass",
            "nothing_left_of_formula",
            pytest.approx(0.00182, rel=0.01),
        ),
        (
            lambda body: body["orders"][1]["target"].update(mass=0.001, count=1),
            "/orders/1/target/mass",
            "nothing_left_of_formula",
            pytest.approx(0.00173, rel=0.01),
        ),
        (
            lambda body: body["orders"][1]["target"].update(mass=1e9, count=1000),
            "/orders/1/target/count",
            "too_large_a_batch",
            None,
        ),
        (
            lambda body: (
                body["formulas"][1].update(mixer_capacity=0.001)
                or body["orders"][1]["target"].update(mass=0.01, count=1)
                or body["orders"].pop()
            ),
            "/formulas/1/mixer_capacity",
            "batch_too_small",
            ...,
        ),
        # No batch of this mixer makes one loaf; the nearest that does holds the loaf and what sticks to
        # bowl and bench.
        (
            lambda body: body["formulas"][0].update(mixer_capacity=470),
            "/formulas/0/mixer_capacity",
            "mixer_below_a_piece",
            pytest.approx(471 / 0.98),
        ),
        (
            lambda body: body["formulas"][0].update(mixer_capacity=450) or body["orders"].pop(2),
            "/formulas/0/mixer_capacity",
            "mixer_below_a_piece",
            pytest.approx(403 / 0.89 / 0.98),
        ),
        (
            lambda body: body["formulas"][1]["formula"]["lines"][0].update(ingredient="braed_flour"),
            "/formulas/1/formula/lines/0/ingredient",
            "unknown_ingredient",
            "bread_flour",
        ),
        (lambda body: body["orders"].clear(), "/orders", "too_short", None),
        (
            lambda body: (
                body["formulas"].append(
                    {
                        "id": "x",
                        "formula": {
                            "lines": [
                                {"ingredient": "butter", "mass": 5, "composition": {"fat_percent": 80}},
                                {"ingredient": "bread_flour", "mass": 10},
                            ]
                        },
                    }
                )
                or body["orders"].append({"formula": "x", "target": {"kind": "dough_mass", "mass": 5}})
            ),
            "/formulas/2/formula/lines/0/ingredient",
            "two_compositions",
            None,
        ),
    ],
)
def test_refused_at_the_field(client, assert_problem, change, pointer, code, nearest):
    import copy

    body = copy.deepcopy(day())
    change(body)
    found = assert_problem(client.post("/v1/order-demand", json=body), 422, pointer, code)
    assert nearest is ... or found["nearest"] == nearest


def test_a_bake_loss_that_no_order_uses_is_said(call):
    def notes(body):
        return [
            note["text"]
            for note in call("order-demand", body)["notes"]
            if note["code"] == "bake_loss_not_used"
        ]

    body = day()
    assert notes(body) == []
    body["formulas"][1]["losses"] = {"bake_percent": 12}
    assert notes(body) == ["The bake loss of rolls does not enter: none of its orders is in baked pieces."]
    body["orders"] = body["orders"][2:3]
    assert ["loaf" in text for text in notes(body)] == [
        True
    ]  # and nothing of rolls, of which nothing is ordered


def test_a_formula_without_orders_is_said(call):
    body = day()
    body["orders"] = body["orders"][:1]
    reply = call("order-demand", body)
    assert reply["formulas"][1]["batches"] == 0 and reply["formulas"][1]["batch"] is None
    assert "nothing_ordered" in {note["code"] for note in reply["notes"]}


@given(st.floats(0.001, 1e6), st.floats(0.001, 1e6))
def test_the_fewest_batches_that_fit(dough, capacity):
    if dough / capacity > 9999:
        return
    count = batches_for(dough, capacity)
    assert dough / count <= capacity * (1 + 1e-8) and (count == 1 or dough / (count - 1) > capacity)


@given(st.lists(st.integers(1, 500), min_size=1, max_size=6))
def test_orders_add_up_however_they_are_parted(counts):
    def of(targets):
        return perform(
            BY_NAME["order-demand"],
            {
                "formulas": [{"id": "loaf", "formula": TIN_LOAF}],
                "orders": [
                    {"formula": "loaf", "target": {"kind": "pieces", "count": count, "mass": 450}}
                    for count in targets
                ],
            },
            False,
        )

    parted, whole = of(counts), of([sum(counts)])
    for one, other in zip(parted["ingredients"], whole["ingredients"], strict=False):
        assert one["mass"] == pytest.approx(other["mass"], rel=1e-12)


def test_cautions_of_a_day(call):
    def codes(body):
        return {caution["code"] for caution in call("order-demand", body)["cautions"]}

    alone = day()
    del alone["formulas"][1], alone["orders"][3], alone["orders"][1]
    assert "allergen_contact" in codes(day()) and "allergen_contact" not in codes(alone)
    assert "net_weight" in codes(alone)  # loaves of a baked mass
    del alone["orders"][0]
    assert "net_weight" not in codes(alone)


def test_what_is_strewn_on_a_loaf_brings_its_allergens(call):
    rice = {"lines": [{"ingredient": "rice_flour", "mass": 500}, {"ingredient": "water", "mass": 450}]}

    def allergens(**dusting):
        return call(
            "order-demand",
            {
                "formulas": [{"id": "rice", "formula": rice, **dusting}],
                "orders": [{"formula": "rice", "target": {"kind": "dough_mass", "mass": 1000}}],
            },
        )["allergens"]

    assert allergens() == allergens(dusting_percent=1, dusting_ingredient="rice_flour") == []
    assert {row["allergen"]: row["from"] for row in allergens(dusting_percent=1)} == {
        "wheat": ["bread_flour"],
        "gluten": ["bread_flour"],
    }


def many_orders(count, formulas=40):
    """So many orders of some loaves, a few targets over and over."""
    return {
        "formulas": [{"id": f"loaf {index}", "formula": TIN_LOAF} for index in range(formulas)],
        "orders": [
            {
                "id": f"order {index}",
                "formula": f"loaf {index % formulas}",
                "target": {"kind": "pieces", "count": 1 + index % 7, "mass": 450 + index % 3 * 50},
            }
            for index in range(count)
        ],
    }


def test_five_thousand_orders_in_one_call(client):
    body = many_orders(5000)
    answer = client.post("/v1/order-demand?show=result", json=body)
    assert answer.status_code == 200 and len(json.dumps(body)) > 4 * 64 * 1024
    reply = answer.json
    assert [order["id"] for order in reply["orders"]] == [order["id"] for order in body["orders"]]
    wanted = math.fsum(order["target"]["count"] * order["target"]["mass"] for order in body["orders"])
    assert reply["dough_mass"] == pytest.approx(wanted, rel=1e-12)
    assert sum(made["orders"] for made in reply["formulas"]) == 5000
    for order, asked in list(zip(reply["orders"], body["orders"], strict=True))[::499]:
        target = asked["target"]
        assert order["dough_mass"] == pytest.approx(target["count"] * target["mass"], rel=1e-12)


def test_alike_orders_are_worked_out_once_and_each_counts(call):
    once = day()
    thrice = {**once, "orders": [{**order, "id": f"{n}"} for n, order in enumerate(once["orders"] * 3)]}
    single, tripled = call("order-demand", once), call("order-demand", thrice)
    assert tripled["dough_mass"] == pytest.approx(3 * single["dough_mass"], rel=1e-12)
    assert [order["dough_mass"] for order in tripled["orders"]] == [
        order["dough_mass"] for order in single["orders"] * 3
    ]
    labels = [step["label"] for step in tripled["working"] if step["label"].startswith("Order")]
    assert labels == [
        f"Order {n} and 2 like it of {order['formula']}" for n, order in enumerate(once["orders"])
    ]


@pytest.mark.parametrize("path", ["/v1/order-demand", "/v1/order-demand.csv"])
def test_two_megabytes_is_the_most(client, assert_problem, path):
    body = json.dumps(day()).encode()
    most = 2 * 1024 * 1024
    fits = client.post(path, data=body.ljust(most), content_type="application/json")
    assert fits.status_code == 200 and fits.mimetype == ("text/csv" if "." in path else "application/json")
    over = client.post(path, data=body.ljust(most + 1), content_type="application/json")
    error = assert_problem(over, 413, "", "too_large")
    assert error["nearest"] == most and "order-demand" in over.json["detail"]


def test_one_order_more_than_the_most_is_refused(client, assert_problem):
    answer = client.post("/v1/order-demand", json=many_orders(10_001, 1))
    assert_problem(answer, 422, "/orders", "too_long")
