"""tasting-plan and tasting-result over the wire: plans that can be repeated, results that claim no more than
they show, and refusals that teach."""

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from scaldloaf.dough.tasting.methods import ranking_orders
from scaldloaf.operations.cautions import OF_TASTING
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME

LOAVES = ["plain", "roux"]
ORDERS = {"triangle": 6, "duo_trio": 4, "paired": 2}


def plan(test="triangle", samples=LOAVES, draw=1, **more):
    return perform(
        BY_NAME["tasting-plan"], {"test": test, "samples": list(samples), "draw": draw, **more}, False
    )


def result(test, **more):
    return perform(BY_NAME["tasting-result"], {"test": test, **more})


def codes(reply):
    return {note["code"] for note in reply["notes"]}


def served(sheet):
    return tuple(serving["sample"] for serving in sheet["servings"])


# ---- The plan ------------------------------------------------------------------------------------


def numbers_from(draw):
    """The generator as the document states it, written anew."""
    number = draw + 1
    for _ in range(10):
        number = 48271 * number % 2147483647
    while True:
        number = 48271 * number % 2147483647
        yield number


def shuffled(items, numbers):
    items = list(items)
    for place in reversed(range(1, len(items))):
        other = next(numbers) % (place + 1)
        items[place], items[other] = items[other], items[place]
    return items


def ranking_of(samples):
    rows = []
    for start in range(samples):
        steps = [0, *(step for half in range(1, samples) for step in (half, -half))][:samples]
        rows.append("".join(str((start + step) % samples) for step in steps))
    return rows + ([row[::-1] for row in rows] if samples % 2 else [])


# By test: its orders as the document lists them, the reference first where there is one.
LISTED = {
    "triangle": ["001", "010", "100", "110", "101", "011"],
    "duo_trio": ["001", "010", "101", "110"],
    "paired": ["01", "10"],
}


@pytest.mark.parametrize("draw", [0, 1, 7, 20261201, 999_999_999])
@pytest.mark.parametrize("test, samples", [*((test, 2) for test in LISTED), ("ranking", 5), ("ranking", 4)])
def test_the_draw_is_repeated_from_the_words_of_the_document(test, samples, draw):
    names, numbers = ["plain", "roux", "yudane", "poured", "cooked"][:samples], numbers_from(draw)
    sheets = plan(test, names, draw=draw, tasters=14)["sheets"]
    deck = shuffled(range(100, 1000), numbers)
    orders = LISTED.get(test) or ranking_of(samples)
    expected = [order for _ in range(7) for order in shuffled(orders, numbers)][:14]
    assert [
        "".join(str(names.index(sample)) for sample in (sheet["reference"], *served(sheet)) if sample)
        for sheet in sheets
    ] == expected
    given_out = [serving["code"] for sheet in sheets for serving in sheet["servings"]]
    assert given_out == deck[: len(given_out)]


@given(st.sampled_from(sorted(ORDERS)), st.integers(1, 60), st.integers(0, 999_999_999))
def test_orders_are_balanced_and_codes_distinct(test, tasters, draw):
    reply = plan(test, draw=draw, tasters=tasters)
    assert reply == plan(test, draw=draw, tasters=tasters)
    sheets, orders = reply["sheets"], ORDERS[test]
    assert [sheet["taster"] for sheet in sheets] == list(range(1, tasters + 1)) and reply["orders"] == orders
    given_codes = [serving["code"] for sheet in sheets for serving in sheet["servings"]]
    assert len(set(given_codes)) == len(given_codes) and all(100 <= code <= 999 for code in given_codes)
    times = Counter((sheet["reference"], served(sheet)) for sheet in sheets)
    fewest = min(times.values()) if len(times) == orders else 0
    assert max(times.values()) - fewest <= 1
    if tasters % orders == 0:
        assert set(times.values()) == {tasters // orders}


def test_the_right_code_of_each_test():
    for sheet in plan("triangle", tasters=12)["sheets"]:
        (odd,) = [sample for sample, times in Counter(served(sheet)).items() if times == 1]
        assert [each["sample"] for each in sheet["servings"] if each["code"] == sheet["right"]] == [odd]
    for sheet in plan("duo_trio", tasters=12)["sheets"]:
        assert {each["code"]: each["sample"] for each in sheet["servings"]}[sheet["right"]] == sheet[
            "reference"
        ]
    expected = plan("paired", tasters=12, hypothesis="expected", expected="roux")
    for sheet in expected["sheets"]:
        assert {each["code"]: each["sample"] for each in sheet["servings"]}[sheet["right"]] == "roux"
    for reply in (plan("paired", tasters=5), plan("ranking", ["a", "b", "c"], tasters=5)):
        assert all(sheet["right"] is None and sheet["reference"] is None for sheet in reply["sheets"])


@pytest.mark.parametrize("samples", range(3, 13))
def test_orders_of_a_ranking_are_balanced_for_place_and_for_what_came_before(samples):
    orders = [serving.samples for serving in ranking_orders(samples)]
    assert len(orders) == samples * (1 + samples % 2) and all(len(set(order)) == samples for order in orders)
    times = len(orders) // samples
    for place in range(samples):
        assert set(Counter(order[place] for order in orders).values()) == {times}
    before = Counter(pair for order in orders for pair in pairwise(order))
    assert len(before) == samples * (samples - 1) and set(before.values()) == {times}


@given(
    st.sampled_from(sorted(ORDERS)),
    st.integers(25, 100),
    st.sampled_from((70, 80, 90)),
    st.sampled_from((1, 5, 10)),
)
def test_the_fewest_tasters_reach_the_power_and_one_fewer_does_not(test, share, power, risk):
    asked = {"discriminators_percent": share, "significance_percent": risk}
    reply = plan(test, power_percent=power, **asked)
    least, tasters = reply["least_tasters"], reply["tasters"]
    assert least <= tasters and tasters % ORDERS[test] == 0 and reply["power_percent"] >= power - 1e-9
    reached = {count: plan(test, tasters=count, **asked) for count in range(max(1, least - 3), tasters + 1)}
    assert reached[least]["power_percent"] >= power - 1e-9
    assert all(reply["power_percent"] < power for count, reply in reached.items() if count < least)
    assert reached[tasters]["power_percent"] == reply["power_percent"]
    assert reached[tasters]["fewest_right"] == reply["fewest_right"]
    between = [count for count in reached if least <= count < tasters and count % ORDERS[test] == 0]
    assert all(reached[count]["power_percent"] < power for count in between)


def test_an_expected_sample_takes_fewer_tasters():
    two_sided = plan("paired", discriminators_percent=40)
    expected = plan("paired", discriminators_percent=40, hypothesis="expected", expected="roux")
    assert expected["least_tasters"] < two_sided["least_tasters"]


def test_what_a_plan_says_beside_its_sheets(call):
    body = {"test": "triangle", "samples": LOAVES, "draw": 1, "tasters": 2}
    reply = call("tasting-plan", body)
    assert {"alike_slice", "alike_temperature", "alike_day", "alike_cover", "one_person_once"} <= codes(reply)
    assert {"few_tasters", "cannot_show", "orders_uneven", "power_unknown"} <= codes(reply)
    assert reply["fewest_right"] is None and reply["power_percent"] is None
    assert tuple(caution["code"] for caution in reply["cautions"]) == OF_TASTING
    enough = call("tasting-plan", {**body, "tasters": 24, "discriminators_percent": 50})
    assert not {"few_tasters", "cannot_show", "orders_uneven", "power_unknown"} & codes(enough)
    ranking = call("tasting-plan", {**body, "test": "ranking", "samples": ["a", "b", "c"], "tasters": 9})
    assert {"ranking_power", "friedman_approximate", "orders_uneven"} <= codes(ranking)
    assert (ranking["fewest_right"], ranking["power_percent"]) == (None, None)
    assert ranking["least_significant_difference"] == approx(1.96 * (9 * 3 * 4 / 6) ** 0.5, rel=1e-4)


@pytest.mark.parametrize(
    "more, pointer, code, nearest",
    [
        ({"tasters": 0}, "/tasters", "too_small", 1),
        ({"tasters": 301}, "/tasters", "more_tasters_than_codes", 300),
        ({}, "/discriminators_percent", "difference_needed", None),
        ({"discriminators_percent": 5}, "/discriminators_percent", "more_tasters_than_codes", 11),
        ({"tasters": 20, "power_percent": 80}, "/power_percent", "tasters_decide_power", None),
        ({"tasters": 20, "samples": ["a", "a"]}, "/samples/1", "sample_twice", None),
        ({"tasters": 20, "samples": ["a", "b", "c"]}, "/samples", "not_two_samples", None),
        ({"tasters": 20, "samples": ["a"]}, "/samples", "too_short", None),
        ({"test": "ranking", "tasters": 20}, "/samples", "too_few_to_rank", None),
        ({"test": "ranking", "samples": ["a", "b", "c"]}, "/tasters", "needed_for_this_test", None),
        (
            {"test": "ranking", "samples": ["a", "b", "c"], "tasters": 301},
            "/tasters",
            "more_tasters_than_codes",
            300,
        ),
        (
            {"test": "ranking", "samples": ["a", "b", "c"], "tasters": 9, "power_percent": 80},
            "/power_percent",
            "not_for_this_test",
            None,
        ),
        ({"tasters": 20, "hypothesis": "expected"}, "/hypothesis", "not_for_this_test", None),
        (
            {"test": "paired", "tasters": 9, "expected": "roux"},
            "/expected",
            "expected_without_hypothesis",
            None,
        ),
        ({"test": "paired", "tasters": 9, "hypothesis": "expected"}, "/expected", "expected_missing", None),
        (
            {"test": "paired", "tasters": 9, "hypothesis": "expected", "expected": "rouxx"},
            "/expected",
            "unknown_sample",
            "roux",
        ),
        ({"test": "triange", "tasters": 9}, "/test", "not_one_of", "triangle"),
        ({"tasters": 9, "draw": 0.5}, "/draw", "wrong_type", 0),
        ({"tasters": 9, "significance_percent": 0}, "/significance_percent", "too_small", 0.1),
    ],
)
def test_a_plan_refused_at_the_field(client, assert_problem, more, pointer, code, nearest):
    body = {"test": "triangle", "samples": LOAVES, "draw": 1, **more}
    found = assert_problem(client.post("/v1/tasting-plan", json=body), 422, pointer, code)
    assert found["nearest"] == nearest
    for option in found["options"]:
        changed = {**body, **{at[1:]: value for at, value in option["change"].items()}}
        assert client.post("/v1/tasting-plan", json=changed).status_code == 200


def test_a_sample_expected_without_saying_so_may_be_expected(client, assert_problem):
    body = {"test": "paired", "samples": LOAVES, "draw": 1, "tasters": 9, "expected": "roux"}
    found = assert_problem(client.post("/v1/tasting-plan", json=body), 422, "/expected")
    assert found["options"] == [{"keeps": "/expected", "change": {"/hypothesis": "expected"}}]


@pytest.mark.parametrize("test, most", [("triangle", 300), ("duo_trio", 450), ("paired", 450)])
def test_a_share_that_takes_too_many_tasters_names_the_least_that_does_not(test, most):
    asked = {"discriminators_percent": 1, "power_percent": 90}
    with pytest.raises(Exception) as caught:
        plan(test, **asked)
    (fault,) = caught.value.faults
    assert plan(test, discriminators_percent=fault.nearest, power_percent=90)["tasters"] <= most
    with pytest.raises(type(caught.value)):
        plan(test, discriminators_percent=fault.nearest - 1, power_percent=90)


# ---- The result ----------------------------------------------------------------------------------


def test_a_difference_shown():
    reply = result("triangle", tasters=24, right=13)
    assert reply["shown"] and reply["fewest_right"] == 13 and reply["p_value"] == approx(0.02844, abs=1e-5)
    estimate = reply["discriminators_percent"]
    assert estimate["best"] == approx(31.25) and estimate["evidence"] == "exact"
    assert 0 < estimate["low"] < 31.25 < estimate["high"]
    assert "can tell the two breads apart" in reply["conclusion"] and "which is better" in reply["conclusion"]
    assert "2.84 %" in reply["conclusion"]
    assert tuple(caution["code"] for caution in reply["cautions"]) == OF_TASTING


def test_no_difference_shown_is_not_alike():
    reply = result("duo_trio", tasters=20, right=14)
    assert not reply["shown"] and reply["discriminators_percent"]["low"] == 0
    assert "no difference is shown" in reply["conclusion"]
    assert "does not make the breads alike" in reply["conclusion"]


def test_a_chance_below_a_thousandth_is_not_a_row_of_zeros():
    assert "less than 0.001 %" in result("duo_trio", tasters=60, right=60)["conclusion"]


def test_too_few_tasters_for_any_result():
    reply = result("triangle", tasters=2, right=2)
    assert (
        reply["fewest_right"] is None
        and not reply["shown"]
        and {"cannot_show", "few_tasters"} <= codes(reply)
    )
    (note,) = [note for note in reply["notes"] if note["code"] == "cannot_show"]
    assert note["values"] == {"tasters": 2, "significance": 5, "least": 3}


def test_a_preference_is_two_sided_and_an_expectation_is_not():
    chosen = {"plain": 10, "roux": 20}
    preferred = result("paired", tasters=30, chosen=chosen)
    expected = result("paired", tasters=30, chosen=chosen, hypothesis="expected", expected="roux")
    assert not preferred["shown"] and expected["shown"]
    assert preferred["p_value"] == approx(2 * expected["p_value"])
    assert "roux was chosen by 20 of 30" in preferred["conclusion"]
    assert "expected_beforehand" in codes(expected) and "expected_beforehand" not in codes(preferred)
    other = result("paired", tasters=30, chosen=chosen, hypothesis="expected", expected="plain")
    assert not other["shown"] and "against_expected" in codes(other)
    assert other["discriminators_percent"]["best"] == 0
    assert preferred == result("paired", tasters=30, chosen=dict(reversed(chosen.items())))


def test_an_even_split_has_a_chance_of_one():
    reply = result("paired", tasters=10, chosen={"plain": 5, "roux": 5})
    assert reply["p_value"] == 1 and not reply["shown"] and "against_expected" not in codes(reply)


def test_a_ranking_tells_which_samples_differ():
    rankings = [["roux", "yudane", "plain"]] * 8 + [["yudane", "roux", "plain"]] * 4
    reply = result("ranking", rankings=rankings)
    assert reply["shown"] and reply["tasters"] == 12 and reply["fewest_right"] is None
    assert reply["rank_sums"] == [
        {"sample": "roux", "rank_sum": 16},
        {"sample": "yudane", "rank_sum": 20},
        {"sample": "plain", "rank_sum": 36},
    ]
    assert [pair["shown"] for pair in reply["pairs"]] == [False, True, True]
    assert "Told apart: roux from plain, yudane from plain." in reply["conclusion"]
    assert "friedman_approximate" not in codes(reply)


def test_pairs_are_not_told_apart_where_the_whole_does_not_differ():
    # Each pair by itself: 12 apart, and the least difference is 9.6. As a whole: chi-square 6.
    rankings = [["a", "b", "c", "d", "e"]] * 3 + [["e", "d", "c", "b", "a"], ["b", "c", "a", "e", "d"]]
    reply = result("ranking", rankings=rankings)
    assert not reply["shown"] and not any(pair["shown"] for pair in reply["pairs"])
    largest = max(pair["difference"] for pair in reply["pairs"])
    loose = result("ranking", rankings=rankings, significance_percent=20)
    assert largest >= loose["least_significant_difference"] and not loose["shown"]
    assert not any(pair["shown"] for pair in loose["pairs"]) and "friedman_approximate" in codes(reply)
    assert "whatever their rank sums" in reply["conclusion"]


ABC = ["a", "b", "c"]


@pytest.mark.parametrize(
    "body, pointer, code, nearest",
    [
        ({"test": "triangle", "tasters": 0, "right": 0}, "/tasters", "too_small", 1),
        ({"test": "triangle", "tasters": 10, "right": 11}, "/right", "more_right_than_tasters", 10),
        ({"test": "triangle", "tasters": 10}, "/right", "needed_for_this_test", None),
        ({"test": "triangle", "right": 5}, "/tasters", "needed_for_this_test", None),
        (
            {"test": "triangle", "tasters": 9, "right": 5, "rankings": [ABC]},
            "/rankings",
            "not_for_this_test",
            None,
        ),
        (
            {"test": "paired", "tasters": 10, "chosen": {"a": 3, "b": 8}},
            "/tasters",
            "counts_not_tasters",
            11,
        ),
        (
            {"test": "paired", "tasters": 1000, "chosen": {"a": 900, "b": 900}},
            "/tasters",
            "counts_not_tasters",
            None,
        ),
        (
            {"test": "paired", "tasters": 10, "chosen": {"a": 3, "b": 5}},
            "/tasters",
            "counts_not_tasters",
            8,
        ),
        ({"test": "paired", "tasters": 9, "chosen": {"a": 9}}, "/chosen", "not_so_many_entries", None),
        ({"test": "paired", "tasters": 9, "chosen": {"a": 4.5, "b": 5}}, "/chosen/a", "wrong_type", 4),
        ({"test": "paired", "tasters": 9, "chosen": {"a": -1, "b": 5}}, "/chosen/a", "too_small", 0),
        ({"test": "paired", "tasters": 9, "chosen": {"a": 4, "b\n": 5}}, "/chosen", "name_unusable", None),
        ({"test": "paired", "tasters": 9, "chosen": {"a": 4, "": 5}}, "/chosen", "name_unusable", None),
        ({"test": "ranking", "rankings": []}, "/rankings", "too_short", None),
        ({"test": "ranking", "rankings": [["a", "b"]]}, "/rankings/0", "too_few_to_rank", None),
        ({"test": "ranking", "rankings": [["a", "b", "a"]]}, "/rankings/0/2", "ranked_twice", None),
        (
            {"test": "ranking", "rankings": [ABC, ["a", "b", "d"]]},
            "/rankings/1/2",
            "not_a_permutation",
            "c",
        ),
        (
            {"test": "ranking", "rankings": [ABC, ["a", "a", "c"]]},
            "/rankings/1/1",
            "not_a_permutation",
            "b",
        ),
        ({"test": "ranking", "rankings": [ABC, ["a", "b"]]}, "/rankings/1", "not_a_permutation", None),
        (
            {"test": "ranking", "rankings": [ABC, [*ABC, "d"]]},
            "/rankings/1/3",
            "not_a_permutation",
            None,
        ),
        ({"test": "ranking", "rankings": [ABC], "tasters": 1}, "/tasters", "not_for_this_test", None),
    ],
)
def test_a_result_refused_at_the_field(client, assert_problem, body, pointer, code, nearest):
    found = assert_problem(client.post("/v1/tasting-result", json=body), 422, pointer, code)
    assert found["nearest"] == nearest
