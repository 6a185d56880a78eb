"""prices in scaling and order-demand: what a line, piece, batch and order cost, and nothing guessed."""

import copy
import csv
import io
import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scaldloaf.operations.lantern_quay import PRICES, TIN_LOAF
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME

ROLLS = {
    "lines": [
        {"ingredient": "bread_flour", "mass": 1000},
        {"ingredient": "whole_milk", "mass": 620},
        {"ingredient": "butter", "mass": 80},
        {"ingredient": "salt", "mass": 18},
        {"ingredient": "instant_yeast", "mass": 9},
        {"ingredient": "house spice", "mass": 4, "composition": {"water_percent": 8}},
    ]
}
SPICE = {"ingredient": "house spice", "price": 31, "per": 1000}


def scaling(**more):
    return {"formula": TIN_LOAF, "target": {"kind": "pieces", "count": 12, "mass": 450}, **more}


def day(**more):
    return {
        "formulas": [
            {"id": "loaf", "formula": TIN_LOAF, "dusting_percent": 1.5, "mixer_capacity": 9000},
            {"id": "rolls", "formula": ROLLS},
            {"id": "rest", "formula": ROLLS},
        ],
        "orders": [
            {"id": "a", "formula": "loaf", "target": {"kind": "pieces", "count": 37, "mass": 450}},
            {"id": "b", "formula": "rolls", "target": {"kind": "pieces", "count": 120, "mass": 62}},
            {"id": "c", "formula": "loaf", "target": {"kind": "pans", "count": 9, "dough_mass": 471}},
            {"id": "d", "formula": "rolls", "target": {"kind": "dough_mass", "mass": 2500}},
        ],
        "prices": [*PRICES, SPICE],
        **more,
    }


def added(entries, field):
    return sum(Decimal(str(entry[field])) for entry in entries if entry[field] is not None)


def test_a_scaling_costs_what_its_lines_cost(call):
    reply = call("scaling", scaling(prices=PRICES))
    cost, by_name = reply["cost"], {price["ingredient"]: price["price"] / 1000 for price in PRICES}
    exact = sum(line["mass"] * by_name.get(line["ingredient"], 0) for line in reply["formula"]["lines"])
    assert cost["total"] == round(exact, 2) == float(added(cost["lines"], "cost"))
    assert cost["per_piece"] == round(exact / 12, 2)
    assert cost["batches"] == [
        {"id": TIN_LOAF["name"], "batches": 1, "per_batch": cost["total"], "total": cost["total"]}
    ]
    for line, own in zip(reply["formula"]["lines"], cost["lines"], strict=True):
        assert all(line[field] == own[field] for field in ("ingredient", "part", "mass"))
    assert cost["without_price"] == ["skim_milk_powder"]
    (note,) = [note for note in reply["notes"] if note["code"] == "cost_incomplete"]
    assert note["values"] == {"names": "skim_milk_powder"}


def test_without_prices_nothing_changes(call):
    with_prices, without = call("scaling", scaling(prices=PRICES)), call("scaling", scaling())
    assert "cost" not in without
    for field in without.keys() - {"working", "notes"}:
        assert with_prices[field] == without[field]


def test_no_pieces_no_cost_of_a_piece(call):
    reply = call("scaling", scaling(prices=PRICES, target={"kind": "factor", "factor": 2}))
    assert reply["cost"]["per_piece"] is None


def test_the_same_in_ounces_and_pounds(call):
    """A price for so much of a unit is the same cost in another unit."""
    pound = 453.59237
    body = {
        "units": {"mass": "lb"},
        "formula": {
            "lines": [{"ingredient": "bread_flour", "mass": 8}, {"ingredient": "butter", "mass": 0.5}]
        },
        "target": {"kind": "factor", "factor": 1},
        "prices": [
            {"ingredient": "bread_flour", "price": 0.625, "per": 1},
            {"ingredient": "butter", "price": 1.01, "per": 1},
        ],
        "price_decimals": 2,
    }
    cost = call("scaling", body)["cost"]
    assert [line["cost"] for line in cost["lines"]] == [5, 0.51] and cost["total"] == 5.51
    metric = copy.deepcopy(body)
    metric["units"] = {"mass": "g"}
    for line in metric["formula"]["lines"]:
        line["mass"] *= pound
    for price in metric["prices"]:
        price["per"] *= pound
    assert call("scaling", metric)["cost"]["total"] == cost["total"]


@given(st.integers(0, 6), st.lists(st.integers(1, 400), min_size=4, max_size=4), st.floats(0.001, 60))
def test_a_day_adds_up_by_ingredient_formula_and_order(decimals, counts, butter):
    body = day(price_decimals=decimals)
    body["prices"] = [
        {**price, "price": butter} if price["ingredient"] == "butter" else price for price in body["prices"]
    ]
    for order, count in zip(body["orders"], counts, strict=True):
        if "count" in order["target"]:
            order["target"]["count"] = count
    cost = perform(BY_NAME["order-demand"], json.loads(json.dumps(body)), False)["cost"]
    total = Decimal(str(cost["total"]))
    assert added(cost["lines"], "cost") == added(cost["batches"], "total") == total
    assert added(cost["orders"], "total") == total
    by_formula = {made["id"]: Decimal(str(made["total"])) for made in cost["batches"]}
    orders = {order["id"]: Decimal(str(order["total"])) for order in cost["orders"]}
    assert orders["a"] + orders["c"] == by_formula["loaf"]
    assert orders["b"] + orders["d"] == by_formula["rolls"] and by_formula["rest"] == 0
    step = Decimal(1).scaleb(-decimals)
    for order, count in ((cost["orders"][0], counts[0]), (cost["orders"][1], counts[1])):
        assert abs(Decimal(str(order["per_piece"])) * count - Decimal(str(order["total"]))) <= step * (
            1 + count
        )


def test_what_a_day_costs_is_what_its_scalings_cost(call):
    reply = call("order-demand", day(price_decimals=6))
    cost = reply["cost"]
    rolls = call(
        "scaling",
        {
            "formula": ROLLS,
            "target": {"kind": "pieces", "count": 120, "mass": 62},
            "prices": [*PRICES, SPICE],
            "price_decimals": 6,
        },
    )["cost"]
    own = cost["orders"][1]
    assert abs(own["total"] - rolls["total"]) < 2e-6 and own["per_piece"] == rolls["per_piece"]
    assert cost["orders"][3]["per_piece"] is None and cost["per_piece"] is None
    loaf = cost["batches"][0]
    assert loaf["batches"] == 3 and abs(3 * loaf["per_batch"] - loaf["total"]) < 3e-6
    assert cost["batches"][2] == {"id": "rest", "batches": 0, "per_batch": 0, "total": 0}
    flour = next(row for row in reply["ingredients"] if row["ingredient"] == "bread_flour")
    assert flour["dusting"] > 0 and cost["lines"][0]["mass"] == flour["mass"]


def test_costs_are_the_last_column_of_the_table(client):
    def table(body):
        response = client.post("/v1/order-demand.csv", json=body)
        return list(csv.reader(io.StringIO(response.get_data(as_text=True))))

    without = day()
    del without["prices"]
    plain, rows = table(without), table(day())
    assert [row[:-1] for row in rows] == plain
    cost = client.post("/v1/order-demand", json=day()).json["cost"]
    shown = ["" if line["cost"] is None else str(line["cost"]) for line in cost["lines"]]
    assert [row[-1] for row in rows] == ["cost", *shown] and "" in shown


def test_prices_that_are_not_used_are_named(call):
    reply = call("scaling", scaling(prices=[*PRICES, {"ingredient": "honey", "price": 9, "per": 1000}]))
    (note,) = [note for note in reply["notes"] if note["code"] == "prices_not_used"]
    assert note["values"] == {"names": "honey"}


@pytest.mark.parametrize(
    "more, pointer, code, nearest",
    [
        ({"prices": []}, "/prices", "too_short", None),
        ({"price_decimals": 3}, "/price_decimals", "no_prices", None),
        ({"prices": [{**SPICE, "ingredient": "honey"}]}, "/prices", "prices_of_nothing", None),
        (
            {"prices": [PRICES[0], {**SPICE, "ingredient": "buter"}]},
            "/prices/1/ingredient",
            "price_of_nothing",
            "butter",
        ),
        ({"prices": [*PRICES, PRICES[0]]}, "/prices/7/ingredient", "priced_twice", None),
        ({"prices": [{**PRICES[0], "price": -1}]}, "/prices/0/price", "too_small", 0),
        ({"prices": [{**PRICES[0], "per": 0}]}, "/prices/0/per", "too_small", 0.001),
        ({"prices": [{"ingredient": "butter", "price": 8}]}, "/prices/0/per", "missing", None),
        ({"prices": PRICES, "price_decimals": 7}, "/price_decimals", "too_large", 6),
        ({"prices": PRICES, "price_decimals": 1.5}, "/price_decimals", "wrong_type", 2),
        (
            {"prices": [{**PRICES[0], "price": 1e9, "per": 0.001}], "price_decimals": 2},
            "/price_decimals",
            "cost_too_large",
            None,
        ),
        (
            {"prices": [{**PRICES[0], "price": 1e9, "per": 1}], "price_decimals": 3},
            "/price_decimals",
            "cost_too_large",
            2,
        ),
    ],
)
def test_refused_at_the_field(client, assert_problem, more, pointer, code, nearest):
    order = {"formula": "loaf", "target": scaling()["target"]}
    demand = {"formulas": [{"id": "loaf", "formula": TIN_LOAF}], "orders": [order]}
    for name, body in (("scaling", scaling()), ("order-demand", demand)):
        found = assert_problem(client.post(f"/v1/{name}", json={**body, **more}), 422, pointer, code)
        assert found["nearest"] == nearest
