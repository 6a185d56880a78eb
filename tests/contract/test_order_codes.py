"""order-demand: the caller's own codes come back, packs are whole, and the reply says how it rounded."""

import copy
import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from scaldloaf.dough.packs import Pack, whole_packs
from scaldloaf.operations.lantern_quay import A_DAY_WITH_CODES

FLOUR, OTHER, BUTTER = {"sku": "FL-550", "lot": "1"}, {"sku": "FL-550", "lot": "2"}, {"unité": "bloc ½"}


def line(ingredient, mass, own=None, **more):
    return {"ingredient": ingredient, "mass": mass, **({} if own is None else {"own": own}), **more}


def day(**more):
    """Flour of two lots in two formulas, some of it without a code; butter with a code in one of them."""
    loaf = [
        line("bread_flour", 100, FLOUR, part="scald"),
        line("water", 100, part="scald"),
        line("bread_flour", 400, OTHER),
        line("butter", 40, BUTTER),
        line("salt", 9, {}),
    ]
    rolls = [
        line("bread_flour", 300, dict(reversed(OTHER.items()))),
        line("bread_flour", 50),
        line("butter", 9),
    ]
    return {
        "formulas": [
            {"id": "loaf", "formula": {"lines": loaf}, "own": {"plu": "12"}, "dusting_percent": 2},
            {"id": "rolls", "formula": {"lines": rolls}, "mixer_capacity": 2000},
            {"id": "none", "formula": {"lines": [line("rye_flour", 5, {"sku": "R"})]}, "own": {"plu": "13"}},
        ],
        "orders": [
            {"formula": "loaf", "target": {"kind": "pieces", "count": 9, "mass": 450}, "own": {"till": "A"}},
            {"formula": "loaf", "target": {"kind": "pieces", "count": 9, "mass": 450}, "own": {"till": "B"}},
            {"formula": "loaf", "target": {"kind": "pieces", "count": 9, "mass": 450}},
            {"formula": "rolls", "target": {"kind": "dough_mass", "mass": 5000}, "own": {}},
        ],
        "scale": {"resolution": 5, "fine_resolution": 0.1},
        **more,
    }


def without_own(value):
    """A body or a reply without any codes."""
    if isinstance(value, dict):
        return {name: without_own(part) for name, part in value.items() if name not in ("own", "by_own")}
    return [without_own(part) for part in value] if isinstance(value, list) else value


def test_own_codes_come_back_where_they_were_sent(call):
    body = day()
    reply = call("order-demand", body)
    assert [order.get("own") for order in reply["orders"]] == [{"till": "A"}, {"till": "B"}, None, {}]
    assert [made.get("own") for made in reply["formulas"]] == [{"plu": "12"}, None, {"plu": "13"}]
    for asked, made in zip(body["formulas"][:2], reply["formulas"], strict=False):
        sent = [line.get("own") for line in asked["formula"]["lines"]]
        assert [line.get("own") for line in made["batch"]["lines"]] == sent
        assert [line.get("own") for line in made["batch_weigh_out"]] == sent
    again = {**body, "formulas": [{"id": "loaf", "formula": reply["formulas"][0]["batch"]}]}
    again["orders"] = body["orders"][:1]
    batch = call("order-demand", again)["formulas"][0]["batch"]
    assert [line.get("own") for line in batch["lines"]] == [FLOUR, None, OTHER, BUTTER, {}]


def test_every_different_set_of_codes_of_an_ingredient_is_shown_with_its_mass(call):
    reply = call("order-demand", day())
    loaf, rolls, _ = reply["formulas"]
    rows = {row["ingredient"]: row for row in reply["ingredients"]}
    flours = [
        made["batches"] * line["mass"] for made in (loaf, rolls) for line in made["batch"]["lines"][::2]
    ]
    scald, dough = flours[:2]
    of_rolls = rolls["batches"] * rolls["batch"]["lines"][0]["mass"]
    assert [each["own"] for each in rows["bread_flour"]["by_own"]] == [FLOUR, OTHER]  # however it is ordered
    assert [each["mass"] for each in rows["bread_flour"]["by_own"]] == pytest.approx(
        [scald, dough + of_rolls]
    )
    assert rows["butter"]["by_own"] == [{"own": BUTTER, "mass": pytest.approx(3 * 9 * 450 * 40 / 649)}]
    assert not any("by_own" in rows[name] for name in ("water", "salt"))


def test_codes_change_no_figure_and_alike_orders_still_share_their_work(call):
    with_codes, without = call("order-demand", day()), call("order-demand", without_own(day()))
    assert without_own(with_codes) == without
    assert [step["label"] for step in with_codes["working"]][:2] == [
        "Order 1 and 2 like it of loaf",
        "Order 4 of rolls",
    ]


def test_each_product_has_its_allergens(call):
    reply = call("order-demand", day())
    found = [{each["allergen"]: each["from"] for each in made["allergens"]} for made in reply["formulas"]]
    flour = {"wheat": ["bread_flour"], "gluten": ["bread_flour"]}
    assert found == [{**flour, "milk": ["butter"]}, {**flour, "milk": ["butter"]}, {"gluten": ["rye_flour"]}]
    # Nothing is made of the rye, but its label says the same on every day.
    assert {each["allergen"] for each in reply["allergens"]} == {"wheat", "gluten", "milk"}


PACKS = [
    {"ingredient": "bread_flour", "pack_mass": 2500, "stock_unit": "bag"},
    {"ingredient": "salt", "pack_mass": 1000},
    {"ingredient": "rye_flour", "pack_mass": 1000},
]


@pytest.mark.parametrize("scale", [None, {"resolution": 5, "fine_resolution": 0.1}])
def test_packs_are_whole_and_what_is_left_is_said(call, scale):
    body = day(packs=PACKS)
    if scale is None:
        del body["scale"]
    reply = call("order-demand", body)
    for row in reply["ingredients"]:
        size = {"bread_flour": 2500, "salt": 1000}.get(row["ingredient"])
        if size is None:
            assert row["packs"] is None
            continue
        used = row["weighed"] if scale else row["mass"]
        count = math.ceil(used / size)
        assert row["packs"] == {
            "count": count,
            "pack_mass": size,
            "stock_unit": "bag" if size == 2500 else None,
            "left_over": pytest.approx(count * size - used),
        }
    (note,) = [note for note in reply["notes"] if note["code"] == "packs_not_used"]
    assert note["values"] == {"names": "rye_flour"}
    assert not any("packs" in row for row in call("order-demand", day())["ingredients"])


@given(st.floats(0, 1e7), st.floats(0.1, 1e5))
@example(5e-324, 2.0)
def test_the_fewest_packs_that_hold_it(used, size):
    if used / size > 999_999:
        return
    packed = whole_packs(used, Pack("flour", size))
    assert packed.left_over_g >= 0 and packed.packs * size >= used * (1 - 1e-8)
    assert packed.packs == 0 or (packed.packs - 1) * size < used
    assert packed.left_over_g == pytest.approx(packed.packs * size - used, abs=used * 1e-8)


def test_a_pack_in_another_unit_is_the_same_pack(call):
    body = {
        "units": {"mass": "lb"},
        "formulas": [{"id": "a", "formula": {"lines": [line("bread_flour", 50)]}}],
        "orders": [{"formula": "a", "target": {"kind": "dough_mass", "mass": 150}}],
        "packs": [{"ingredient": "bread_flour", "pack_mass": 50}],
    }
    (row,) = call("order-demand", body)["ingredients"]  # 150 lb fill three packs, and no hair opens a fourth
    assert row["packs"] == {"count": 3, "pack_mass": 50, "stock_unit": None, "left_over": 0}


def test_a_pack_of_an_ingredient_of_your_own(call):
    """By the name that the line gives it."""
    blend = {**line("house blend", 50), "composition": {"water_percent": 14, "is_flour": True}}
    body = {
        "formulas": [{"id": "a", "formula": {"lines": [blend]}}],
        "orders": [{"formula": "a", "target": {"kind": "dough_mass", "mass": 150}}],
        "packs": [{"ingredient": "house blend", "pack_mass": 100, "stock_unit": "bag"}],
    }
    (row,) = call("order-demand", body)["ingredients"]
    assert row["packs"] == {"count": 2, "pack_mass": 100, "stock_unit": "bag", "left_over": 50}


def test_the_reply_says_how_it_rounded(call):
    def ways(**more):
        body = day(**more)
        if more.get("scale", 1) is None:
            del body["scale"]
        reply = call("order-demand", body)
        assert all(each["text"] and "{" not in each["text"] for each in reply["rounding"])
        return reply, [(each["of"], each["step"], each["way"]) for each in reply["rounding"]]

    reply, said = ways(packs=PACKS)
    assert said == [
        ("batch_weigh_out", 5, "adding_up"),
        ("batch_weigh_out", 0.1, "nearest"),
        ("dusting", 5, "nearest"),
        ("packs", None, "up"),
    ]
    lines = [line for made in reply["formulas"] for line in made["batch_weigh_out"]]
    assert {line["resolution"] for line in lines} == {5, 0.1}
    # A batch whose lines are all on the fine scale adds up on it.
    assert ("batch_weigh_out", 0.1, "adding_up") in ways(
        scale={"resolution": 5, "fine_resolution": 0.1, "fine_below": 1e6}
    )[1]
    assert ways(scale=None)[1] == []
    kilograms = day(units={"mass": "kg"}, scale={"resolution": 0.1})
    (first, *_) = call("order-demand", kilograms)["rounding"]
    assert first["step"] == 0.1 and "0.1 kg" in first["text"]


def own(value):
    def change(body):
        body["orders"][0]["own"] = value

    return change


def packed(*packs):
    return lambda body: body.update(packs=list(packs))


# A millionth of the day's flour, g: of 27 loaves of 450 g, of 5000 g of rolls, and 2 % to dust the loaves.
MOST_PACKS_OF_FLOUR = pytest.approx(((27 * 450 * 510 / 649) + 5000 * 350 / 359) / 1e6, rel=1e-3)


@pytest.mark.parametrize(
    "change, pointer, code, nearest",
    [
        (own({f"code {index}": "" for index in range(11)}), "/orders/0/own", "too_long", None),
        (own({"lot": {"year": 2026}}), "/orders/0/own/lot", "wrong_type", None),
        (own({"sku": 4711}), "/orders/0/own/sku", "wrong_type", "4711"),
        (own({"sku": None}), "/orders/0/own/sku", "wrong_type", None),
        (own({"sku": "x" * 81}), "/orders/0/own/sku", "too_long", "x" * 80),
        (own({"sku": "a\nb"}), "/orders/0/own/sku", "not_plain_text", "ab"),
        (own({"": "a"}), "/orders/0/own", "name_unusable", None),
        (own(["A-1"]), "/orders/0/own", "wrong_type", None),
        (
            lambda body: body["formulas"][0]["formula"]["lines"][0].update(own={"sku": True}),
            "/formulas/0/formula/lines/0/own/sku",
            "wrong_type",
            None,
        ),
        (lambda body: body["formulas"][0].update(own="A-1"), "/formulas/0/own", "wrong_type", None),
        (packed(), "/packs", "too_short", None),
        (
            packed({**PACKS[0], "pack_mass": 0}),
            "/packs/0/pack_mass",
            "too_small",
            MOST_PACKS_OF_FLOUR,
        ),
        (
            packed({**PACKS[0], "pack_mass": 0.002}),
            "/packs/0/pack_mass",
            "too_many_packs",
            MOST_PACKS_OF_FLOUR,
        ),
        (packed(PACKS[0], PACKS[0]), "/packs/1/ingredient", "packed_twice", None),
        (
            packed({"ingredient": "bred_flour", "pack_mass": 1}),
            "/packs/0/ingredient",
            "pack_of_nothing",
            "bread_flour",
        ),
        (packed({"ingredient": "honey", "pack_mass": 1}), "/packs", "packs_of_nothing", None),
        (packed({"ingredient": "bread_flour"}), "/packs/0/pack_mass", "missing", None),
    ],
)
def test_refused_at_the_field(client, assert_problem, change, pointer, code, nearest):
    body = copy.deepcopy(day())
    change(body)
    found = assert_problem(client.post("/v1/order-demand", json=body), 422, pointer, code)
    assert found["nearest"] == nearest


def test_codes_on_lines_of_a_call_that_would_lose_them_are_refused(client, assert_problem):
    formula = A_DAY_WITH_CODES["formulas"][0]["formula"]
    response = client.post("/v1/breakdown", json={"formula": formula})
    assert_problem(response, 422, "/formula/lines/0/own", "unknown_field")
