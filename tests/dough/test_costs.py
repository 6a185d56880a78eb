"""Costs: exact decimals, and parts that add up whatever the masses."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from scaldloaf.dough.costs import Price, Prices, cost_of, rounded, shared
from scaldloaf.dough.refusal import Refusal

amounts = st.decimals(0, 9999, places=3)
priced = st.lists(st.tuples(amounts, amounts), min_size=1, max_size=30)


def prices_of(pairs, decimals):
    return Prices(
        tuple(Price(str(index), float(price), 1000.0) for index, (price, _) in enumerate(pairs)), decimals
    )


def cost(pairs, decimals=2):
    masses = [(str(index), float(mass)) for index, (_, mass) in enumerate(pairs)]
    return cost_of(masses, prices_of(pairs, decimals))


@given(priced, st.integers(0, 6))
def test_the_total_is_that_of_decimal_arithmetic(pairs, decimals):
    exact = sum(price * mass / 1000 for price, mass in pairs)
    found = cost(pairs, decimals)
    assert Decimal(str(found.total)) == exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)


@given(priced, st.integers(0, 6))
def test_lines_add_up_to_the_total_each_within_a_step(pairs, decimals):
    found = cost(pairs, decimals)
    assert sum(Decimal(str(line.cost)) for line in found.lines) == Decimal(str(found.total))
    for line in found.lines:
        assert abs(Fraction(str(line.cost)) - line.exact) * 10**decimals < 1


@given(st.lists(st.fractions(0, 1000), min_size=1, max_size=20), st.sampled_from((-1, 0)), st.integers(0, 4))
def test_parts_add_up_to_a_sum_rounded_either_way(costs, off, decimals):
    whole = sum(costs) * 10**decimals
    steps = -(-whole.numerator // whole.denominator) + off  # rounded up, or a step less
    least = sum(part * 10**decimals // 1 for part in costs)
    found = shared(costs, max(steps, least), decimals)
    assert sum(found) == max(steps, least)
    assert all(abs(own - part * 10**decimals) < 1 for own, part in zip(found, costs, strict=True))


def test_halves_go_up_and_a_tenth_is_a_tenth():
    assert rounded(Fraction("0.125"), 2) == 0.13
    assert cost([(Decimal("0.1"), Decimal("50"))], 3).total == 0.005
    assert cost([(Decimal("1.005"), Decimal("1000"))]).total == 1.01  # a double is a hair less than 1.005


def test_ounces_cost_what_they_say():
    """Half a pound at 1.01 a pound is 0.505, whatever a pound is in grams."""
    pound = 453.59237
    found = cost_of([("butter", 0.5 * pound)], Prices((Price("butter", 1.01, pound),), 2))
    assert found.exact == Fraction("0.505") and found.total == 0.51


def test_what_has_no_price_is_named_and_counts_nothing():
    prices = Prices((Price("flour", 1.0, 1000), Price("rye", 2.0, 1000)), 2)
    found = cost_of([("flour", 500), ("water", 300), ("salt", 0), ("water", 20)], prices)
    assert (found.total, found.without_price, found.not_used) == (0.5, ("water",), ("rye",))
    assert [line.cost for line in found.lines] == [0.5, None, None, None]


def test_a_total_that_no_number_holds_is_refused():
    prices = Prices((Price("saffron", 1e9, 0.001),), 6)
    with pytest.raises(Refusal) as caught:
        cost_of([("saffron", 1.0)], prices)
    assert (caught.value.argument, caught.value.code) == ("price_decimals", "cost_too_large")
    assert cost_of([("saffron", 1.0)], prices._replace(decimals=caught.value.nearest)).total == approx(1e12)
    with pytest.raises(Refusal) as caught:
        cost_of([("saffron", 1e9)], prices)
    assert caught.value.nearest is None
