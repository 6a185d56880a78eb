"""Blind tasting against the tables of the standards, each with its source, and against scipy."""

from fractions import Fraction
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from scipy import stats

from scaldloaf.dough.tasting import METHODS, Level, count_answers, rank_samples
from scaldloaf.dough.tasting.binomial import (
    chance_by_guessing,
    chance_of_at_least,
    fewest_by_tasters,
    fewest_right,
    fewest_tasters,
    share_interval,
)
from scaldloaf.dough.tasting.ranking import chi_square_tail, least_difference, normal_quantile

# tasters: fewest right answers at these risks, percent; None where there is no number.
# FAO, V7180E, Appendix A, "Triangle Test for Difference: Critical Number (Minimum) of Correct Answers".
TRIANGLE_RISKS = (10, 5, 1, 0.1)
TRIANGLE = {
    3: (3, 3, None, None),
    4: (4, 4, None, None),
    5: (4, 4, 5, None),
    6: (5, 5, 6, None),
    7: (5, 5, 6, 7),
    8: (5, 6, 7, 8),
    9: (6, 6, 7, 8),
    10: (6, 7, 8, 9),
    12: (7, 8, 9, 10),
    15: (8, 9, 10, 12),
    18: (10, 10, 12, 13),
    20: (10, 11, 13, 14),
    24: (12, 13, 15, 16),
    25: (12, 13, 15, 17),
    30: (14, 15, 17, 19),
    36: (17, 18, 20, 22),
    48: (21, 22, 25, 27),
    60: (26, 27, 30, 33),
    72: (30, 32, 34, 38),
    84: (35, 36, 39, 43),
    96: (39, 41, 44, 48),
}
# Table A.1 of ISO 10399 in its national edition GOST ISO 10399-2015 (ajdocs.ru/gsp/40434/11).
ONE_SIDED_RISKS = (20, 10, 5, 1, 0.1)
DUO_TRIO = {
    7: (6, 6, 7, 7, None),
    8: (6, 7, 7, 8, None),
    10: (7, 8, 9, 10, 10),
    12: (8, 9, 10, 11, 12),
    16: (11, 12, 12, 14, 15),
    20: (13, 14, 15, 16, 18),
    24: (15, 16, 17, 19, 20),
    30: (18, 20, 20, 22, 24),
    36: (22, 23, 24, 26, 28),
    48: (28, 29, 31, 33, 36),
    60: (34, 36, 37, 40, 43),
    72: (41, 42, 44, 47, 50),
    88: (49, 51, 53, 56, 59),
}
# Table A.1 of ISO 5495:2005, one-sided, in its national edition GOST R 53161-2008 (base.garant.ru/57969792).
PAIRED = {
    10: (7, 8, 9, 10, 10),
    11: (8, 9, 9, 10, 11),
    14: (10, 10, 11, 12, 13),
    18: (12, 13, 13, 15, 16),
    21: (13, 14, 15, 17, 18),
    22: (14, 15, 16, 17, 19),
    37: (22, 23, 24, 27, 29),
    39: (23, 24, 26, 28, 30),
    40: (24, 25, 26, 28, 31),
    52: (30, 32, 33, 35, 38),
    64: (36, 38, 40, 42, 45),
}
# Two-sided paired comparison at 5 %, as generally tabulated: Poste et al., Laboratory methods for sensory
# analysis of food, Agriculture Canada 1864/E (1991), quoted elsewhere.
TWO_SIDED = {10: 9, 12: 10, 20: 15, 30: 21}
CASES = [
    (one_in, tasters, risk, expected)
    for one_in, risks, table in (
        (3, TRIANGLE_RISKS, TRIANGLE),
        (2, ONE_SIDED_RISKS, DUO_TRIO),
        (2, ONE_SIDED_RISKS, PAIRED),
    )
    for tasters, row in table.items()
    for risk, expected in zip(risks, row, strict=True)
]
counts = st.integers(1, 300).flatmap(lambda tasters: st.tuples(st.integers(0, tasters), st.just(tasters)))
risks = st.sampled_from((0.1, 0.5, 1, 2.5, 5, 10, 20))


@pytest.mark.parametrize("one_in, tasters, risk, expected", CASES)
def test_the_fewest_right_answers_are_those_of_the_tables(one_in, tasters, risk, expected):
    assert fewest_right(tasters, one_in, Level(risk).of_one_side) == expected


@pytest.mark.parametrize("tasters, expected", TWO_SIDED.items())
def test_two_sided_critical_numbers(tasters, expected):
    level = Level(5, two_sided=True)
    assert fewest_right(tasters, 2, level.of_one_side) == expected
    assert count_answers(METHODS["paired"], expected, tasters, level).shown
    assert not count_answers(METHODS["paired"], expected - 1, tasters, level).shown


def test_no_table_begins_below_the_fewest_tasters():
    """Triangle tables begin at 3 tasters, those of duo-trio and one-sided pairs at 5, all at 5 %."""
    assert fewest_tasters(3, Fraction(1, 20)) == 3 and fewest_tasters(2, Fraction(1, 20)) == 5


# Friedman by hand in a class sheet on yellowness, seven panellists and six samples (STM3105): sums 7 to 41,
# chi-square 34.51, critical value of 5 degrees of freedom 11.1.
YELLOWNESS = [*(["ABCDEF"] * 4), "ABCDFE", *(["ABCDEF"] * 2)]
# Fisher's least difference for 4 brands and 11 assessors: rank sums 33, 14, 20, 43.
BRANDS = [*(["BCAD"] * 3), "CBAD", "BCDA", "BCAD", *(["CBAD"] * 2), *(["BCAD"] * 2), "BACD"]


def test_friedman_by_hand():
    found = rank_samples(YELLOWNESS, 5)
    assert dict(found.rank_sums) == {"A": 7, "B": 14, "C": 21, "D": 28, "E": 36, "F": 41}
    assert found.statistic == approx(34.51, abs=0.005) and found.shown
    assert chi_square_tail(11.07, 5) == approx(0.05, abs=1e-4)


def test_pairs_by_the_least_significant_difference():
    found = rank_samples(BRANDS, 5)
    assert dict(found.rank_sums) == {"A": 33, "B": 14, "C": 20, "D": 43}
    assert found.least_difference == approx(1.96 * (11 * 4 * 5 / 6) ** 0.5, rel=1e-4)
    told = {frozenset((pair.first, pair.second)) for pair in found.pairs if pair.shown}
    assert told == {frozenset(pair) for pair in ("DB", "DC", "AB", "AC")}


# ---- scipy's exact tests -------------------------------------------------------------------------


@given(counts, st.sampled_from(sorted(METHODS)))
def test_chances_are_those_of_the_binomial_test(count, name):
    right, tasters = count
    one_in = METHODS[name].one_in
    exact = stats.binomtest(right, tasters, 1 / one_in, alternative="greater").pvalue
    assert float(chance_by_guessing(right, tasters, one_in)) == approx(exact, rel=1e-9)


@given(counts)
def test_a_two_sided_chance_is_that_of_the_binomial_test(count):
    right, tasters = count
    chosen = max(right, tasters - right)
    found = count_answers(METHODS["paired"], chosen, tasters, Level(5, two_sided=True))
    assert found.p_value == approx(stats.binomtest(right, tasters, 0.5).pvalue, rel=1e-9)


@given(counts, risks)
def test_the_interval_is_that_of_the_binomial_test(count, risk):
    right, tasters = count
    exact = stats.binomtest(right, tasters).proportion_ci(1 - risk / 50, "exact")
    assert share_interval(right, tasters, risk / 100) == approx((exact.low, exact.high), abs=1e-9)


@given(st.integers(1, 1000), st.floats(0, 1), st.floats(0, 1))
def test_a_chance_at_any_share_is_scipys(tasters, part, share):
    right = round(part * (tasters + 1))
    assert chance_of_at_least(right, tasters, share) == approx(
        stats.binom.sf(right - 1, tasters, share), rel=1e-8, abs=1e-13
    )


@given(st.floats(0, 200), st.integers(1, 20))
def test_the_tail_of_chi_square_is_scipys(value, freedom):
    assert chi_square_tail(value, freedom) == approx(stats.chi2.sf(value, freedom), rel=1e-9, abs=1e-300)


@given(st.floats(0.1, 20))
def test_the_normal_quantile_is_scipys(percent):
    assert normal_quantile(percent) == approx(stats.norm.isf(percent / 200), rel=1e-9)


@given(st.lists(st.sampled_from(["".join(each) for each in permutations("ABCD")]), min_size=1, max_size=40))
def test_friedman_is_scipys(rankings):
    found = rank_samples(rankings, 5)
    ranks = [[ranking.index(sample) for ranking in rankings] for sample in "ABCD"]
    exact = stats.friedmanchisquare(*ranks) if len(rankings) > 1 else None
    if exact is not None:
        assert found.statistic == approx(exact.statistic, abs=1e-9)
        assert found.p_value == approx(exact.pvalue, abs=1e-12)
    assert found.least_difference == least_difference(4, len(rankings), 5)


# ---- Properties ----------------------------------------------------------------------------------


@given(st.integers(2, 4), risks)
def test_both_routes_to_the_fewest_right_agree(one_in, risk):
    level = Level(risk).of_one_side
    found = fewest_by_tasters(60, one_in, level)
    assert found == tuple(fewest_right(tasters, one_in, level) for tasters in range(1, 61))
    enough = [tasters for tasters, fewest in enumerate(found, 1) if fewest is not None]
    assert enough == list(range(fewest_tasters(one_in, level), 61))


@given(counts, risks, st.sampled_from(sorted(METHODS)), st.booleans())
def test_the_share_who_tell_is_above_none_exactly_when_it_is_shown(count, risk, name, two_sided):
    method, level = METHODS[name], Level(risk, two_sided)
    found = count_answers(method, *count, level)
    estimate = found.discriminators
    assert 0 <= estimate.low <= estimate.best <= estimate.high <= 100
    assert found.shown is (found.fewest_right is not None and count[0] >= found.fewest_right)
    # A chance that meets the risk exactly leaves the low end at 0, the only case between.
    met = chance_by_guessing(*count, method.one_in) == level.of_one_side
    assert (estimate.low > 1e-9) is found.shown or met
    assert found.p_value <= risk / 100 or not found.shown


@pytest.mark.parametrize("risk, shown", [(3.125, True), (3.1249999999999996, False)])
def test_a_chance_that_is_the_risk_to_the_last_digit(risk, shown):
    """All five of a duo-trio test: 1 in 32."""
    found = count_answers(METHODS["duo_trio"], 5, 5, Level(risk))
    assert found.shown is shown and found.p_value == 1 / 32
    assert shown or found.discriminators.low == 0
