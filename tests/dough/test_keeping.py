"""Keeping: the fit against scipy and a brute-force grid, the time to the limit, the order of loaves."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx
from scipy import optimize, stats

from scaldloaf.dough.keeping import (
    AGAINST_DIRECTION,
    ALREADY_REACHED,
    FALLS,
    KEEPING_HORIZON_DAYS,
    NO_LIMIT,
    NO_TREND,
    NOT_REACHED,
    ONE_DAY,
    RISES,
    SCORE_RELATIVE_SD,
    TIMES_DAYS,
    Loaf,
    Score,
    keep,
    probability_longer,
    probability_longest,
    progress,
    rank,
)
from scaldloaf.dough.keeping.fit import FIRMING_EXPONENT_DAYS, fit_loaf
from scaldloaf.dough.keeping.model import SCORE_SD_WEIGHT
from scaldloaf.dough.keeping.scores import different_days
from scaldloaf.dough.keeping.student_t import student_t_95, student_t_cdf
from scaldloaf.dough.refusal import Refusal


def loaf(*pairs, name="loaf"):
    return Loaf(name, tuple(Score(*pair) for pair in pairs))


def course(days, ends=(3.0, 9.0), time_constant=3.0, exponent=1.0, noise=0.0, seed=1, name="loaf"):
    initial, final = ends
    rng = np.random.default_rng(seed)
    return loaf(
        *(
            (
                day,
                initial
                + (final - initial) * progress(day, time_constant, exponent)
                + noise * rng.standard_normal(),
            )
            for day in days
        ),
        name=name,
    )


NO_SCALD = loaf((0, 3.1), (1, 4.6), (2, 5.8), (3, 6.6), (5, 7.9), name="no scald")
SCALDED = loaf((0, 2.6), (1, 3.5), (2, 4.3), (3, 5.1), (5, 6.0), name="scalded")


def one(of, limit, direction=RISES):
    return keep([of], direction, limit)[0]


# ---- The parts


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 7, 10, 21, 38, 59, 60, 124])
def test_student_t_against_scipy(freedom):
    for value in np.concatenate([-np.logspace(-3, 3, 40), [0.0], np.logspace(-3, 3, 40)]):
        assert student_t_cdf(float(value), freedom) == approx(stats.t.cdf(value, freedom), abs=1e-5)
    assert student_t_95(freedom) == approx(stats.t.ppf(0.95, freedom), rel=1e-4)


@given(st.floats(0, 100), st.floats(0.1, 20), st.floats(0.5, 2))
def test_progress_runs_from_0_to_1(days, time_constant, exponent):
    done = progress(days, time_constant, exponent)
    assert 0 <= done <= 1 and done <= progress(days + 1, time_constant, exponent)
    assert progress(time_constant, time_constant, exponent) == approx(1 - math.exp(-1))
    assert progress(0, time_constant, exponent) == 0


def test_scores_half_an_hour_apart_count_as_one_day():
    assert different_days(loaf((0, 1), (0, 2), (0.01, 3), (1, 4), (1, 4), (3, 5)).scores) == 3


# ---- The fit


def least_squares(of, exponent=False):
    def curve(days, initial, change, time_constant, power=1.0):
        return initial + change * -np.expm1(-((days / time_constant) ** power))

    days, values = (np.array([getattr(score, field) for score in of.scores]) for field in ("days", "score"))
    start = [values[0], values[-1] - values[0], 3.0] + ([1.0] if exponent else [])
    return optimize.curve_fit(curve, days, values, p0=start)


@pytest.mark.parametrize("time_constant", [1.6, 2.5, 3.7, 5.0])
def test_many_precise_scores_are_fitted_as_curve_fit_does(time_constant):
    # 5 days of 20 loaves each at 1 %: the scores outweigh the priors.
    of = course(sorted([0, 1, 2, 3.5, 5] * 20), time_constant=time_constant, noise=0.06, seed=4)
    found, covariance = least_squares(of)
    ours = fit_loaf(of, RISES, 9.0)
    assert ours.combination(1, 0).best == approx(found[0], abs=0.1 * math.sqrt(covariance[0, 0]) + 0.01)
    assert ours.combination(0, 1).best == approx(found[1], rel=0.02)
    assert ours.shape("time_constant_days").best == approx(found[2], rel=0.02)
    likeliest = ours.likeliest
    assert (likeliest.start * 9, likeliest.change * 9) == approx(found[:2], rel=0.03)


def test_intervals_are_those_of_curve_fit_when_the_scatter_is_as_expected():
    # Scatter of SCORE_RELATIVE_SD of the largest score, 40 loaves a day: prior and data agree on the spread.
    of = course(sorted([0, 1, 2, 3.5, 5] * 40), noise=0.08 * 8, seed=9)
    found, covariance = least_squares(of)
    ours = fit_loaf(of, RISES, 9.0)
    for estimate, value, variance in (
        (ours.combination(1, 0), found[0], covariance[0, 0]),
        (ours.shape("time_constant_days"), found[2], covariance[2, 2]),
    ):
        half = stats.norm.ppf(0.95) * math.sqrt(variance)
        assert estimate.low < value < estimate.high
        assert 0.6 < (estimate.high - estimate.low) / (2 * half) < 1.15  # the prior of tau can only narrow it
    assert ours.spread() == approx(
        np.std([score.score - ours.level(score.days).best for score in of.scores]), rel=0.05
    )


def test_the_exponent_is_fitted_from_enough_days():
    days = sorted([0.25, 0.75, 1.5, 2.5, 4, 6, 9] * 30)
    of = course(days, exponent=1.25, noise=0.05, seed=2)
    found, _ = least_squares(of, exponent=True)
    ours = fit_loaf(of, RISES, 9.0)
    exponent = ours.shape("exponent")
    assert exponent.low < found[3] < exponent.high and exponent.best == approx(found[3], rel=0.03)
    assert ours.shape("time_constant_days").best == approx(found[2], rel=0.03)
    few = fit_loaf(course([0, 1, 2, 3, 4], exponent=1.25), RISES, 9.0).shape("exponent")
    assert few.low == few.best == few.high == 1
    assert FIRMING_EXPONENT_DAYS == 6


def brute_force(of, limit, direction=RISES):
    """P(limit reached by each of some days) from a plain grid over initial, final-day value and tau.

    The noise is integrated by its inverse-gamma form; flat priors on the values at the first and the
    last day, log-normal on tau. An independent route, without a closed form for the curve's two values.
    """
    sign = 1 if direction == RISES else -1
    days = np.array([score.days for score in of.scores])
    values = sign * np.array([score.score for score in of.scores])
    expected = SCORE_RELATIVE_SD * np.max(np.abs(values))
    z = np.linspace(-4.5, 4.5, 61)
    tau = np.exp(math.log(3.7) + z * math.log(3.0) / (2 * stats.norm.ppf(0.95)))
    width = 14 * expected
    first = np.linspace(values[0] - width, values[0] + width, 181)
    last = np.linspace(values[-1] - width, values[-1] + width, 181)
    times = np.array([0.0, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0])
    total, reached = 0.0, np.zeros(len(times))
    for constant, spot in zip(tau, z, strict=True):
        done = -np.expm1(-days / constant)
        one, other = np.meshgrid(first, last, indexing="ij")
        change = (other - one) / (done[-1] - done[0])
        start = one - change * done[0]
        squares = SCORE_SD_WEIGHT * expected**2 + sum(
            (value - start - change * part) ** 2 for value, part in zip(values, done, strict=True)
        )
        weight = math.exp(-0.5 * spot * spot) * squares ** (-(SCORE_SD_WEIGHT + len(values)) / 2)
        total += weight.sum()
        for index, time in enumerate(times):
            reached[index] += weight[start + change * -np.expm1(-time / constant) >= sign * limit].sum()
    return times, reached / total


@pytest.mark.parametrize(
    "of, limit, direction",
    [
        (NO_SCALD, 6.0, RISES),
        (loaf((0, 3), (2, 5), (4, 6.5)), 7.0, RISES),
        (loaf((0.5, 9), (3, 6.5)), 5.0, FALLS),
    ],
)
def test_the_posterior_against_a_brute_force_grid(of, limit, direction):
    posterior = fit_loaf(of, direction, 10.0)
    level = posterior.sign * limit / posterior.unit
    for time, expected in zip(*brute_force(of, limit, direction), strict=True):
        assert posterior.reached(level, float(time)) == approx(expected, abs=0.012)


def test_two_days_say_nothing_of_the_bend():
    constant = fit_loaf(loaf((0, 3), (2, 6)), RISES, 6.0).shape("time_constant_days")
    assert constant.best == approx(3.7, rel=0.01)  # from memory, about 3.7 days
    assert (constant.low, constant.high) == (
        approx(3.7 / math.sqrt(3), rel=0.05),
        approx(3.7 * math.sqrt(3), rel=0.05),
    )


def test_more_scores_narrow_the_interval():
    few, many = (one(course(sorted([0, 1, 3, 5] * times), noise=0.5, seed=6), 5).time for times in (1, 12))
    assert many.high - many.low < 0.6 * (few.high - few.low)


# ---- The time to the limit


def test_a_precise_course_reaches_its_limit_when_it_does():
    of = course(sorted([0, 1, 2, 3.5, 5] * 30), noise=0.04, seed=8)
    found = one(of, 6.0).time
    exact = -3 * math.log(1 - (6 - 3) / (9 - 3))
    assert found.low < exact < found.high and found.best == approx(exact, rel=0.03)
    assert found.reason is None


@pytest.mark.parametrize(
    "of, limit, reason",
    [
        (loaf((1, 5)), 6, ONE_DAY),
        (loaf((1, 5), (1, 5.5), (1.01, 6)), 6, ONE_DAY),
        (loaf((0, 4), (1, 4), (2, 4), (3, 4)), 6, NO_TREND),
        (loaf((0, 0), (1, 0), (2, 0)), 6, NO_TREND),
        (loaf((0, 4), (1, 6), (2, 3.5), (3, 5)), 9, NO_TREND),
        (loaf((0, 8), (1, 6), (2, 5), (3, 4)), 9, AGAINST_DIRECTION),
        (NO_SCALD, 100, NOT_REACHED),
        (NO_SCALD, 1, ALREADY_REACHED),
        (NO_SCALD, None, NO_LIMIT),
    ],
)
def test_why_there_is_no_time(of, limit, reason):
    kept = one(of, limit)
    assert kept.time.reason == reason
    assert kept.time.best == (0 if reason == ALREADY_REACHED else None)
    assert (kept.no_curve == reason) is (reason in (ONE_DAY, NO_TREND, AGAINST_DIRECTION))


def test_flat_scores_beyond_the_limit_are_at_it_already():
    assert one(loaf((0, 8), (1, 8), (2, 8)), 6).time.reason == ALREADY_REACHED


def test_the_time_course_is_a_probability():
    for each in keep([NO_SCALD, SCALDED, loaf((0, 4), (1, 4.5), (3, 4.2), name="flat")], RISES, 6.0):
        reached = each.time.reached
        assert len(reached) == len(TIMES_DAYS) and TIMES_DAYS[-1] == KEEPING_HORIZON_DAYS
        assert all(0 <= low <= high <= 1 + 1e-12 for low, high in pairwise(reached))


def test_a_limit_further_off_takes_longer():
    times = [one(NO_SCALD, limit).time for limit in (5, 6, 7)]
    assert times[0].best < times[1].best < times[2].best
    assert times[0].low < times[1].low < times[2].low


scores = st.lists(st.tuples(st.floats(0, 30), st.floats(-100, 100)), min_size=1, max_size=12).map(
    lambda pairs: loaf(*sorted(pairs))
)


@given(scores, st.floats(-150, 150), st.sampled_from([RISES, FALLS]))
@settings(max_examples=60)
def test_any_scores_are_answered_without_nan(of, limit, direction):
    kept = one(of, limit, direction)
    for value in (kept.time.low, kept.time.best, kept.time.high):
        assert value is None or 0 <= value <= KEEPING_HORIZON_DAYS
    if None not in (kept.time.low, kept.time.best, kept.time.high):
        assert kept.time.low <= kept.time.best <= kept.time.high
    assert (kept.posterior is None) is (kept.days == 1)
    if kept.posterior is not None:
        for estimate in (
            kept.posterior.combination(1, 0),
            kept.posterior.combination(1, 1),
            kept.posterior.shape("time_constant_days"),
            kept.posterior.level(2.0),
        ):
            assert math.isfinite(estimate.low) and estimate.low <= estimate.best <= estimate.high


@given(scores, st.floats(-150, 150))
@settings(max_examples=40)
def test_softness_mirrors_firmness(of, limit):
    turned = loaf(*((score.days, -score.score) for score in of.scores))
    firm, soft = one(of, limit, RISES).time, one(turned, -limit, FALLS).time
    assert (firm.low, firm.best, firm.high, firm.reason) == (soft.low, soft.best, soft.high, soft.reason)


@given(st.floats(1e-6, 1e6))
def test_the_unit_of_the_scale_does_not_matter(factor):
    def times(of):
        return loaf(*((score.days, score.score * factor) for score in of.scores))

    here, there = one(NO_SCALD, 6.0).time, one(times(NO_SCALD), 6.0 * factor).time
    assert (here.low, here.best, here.high) == approx((there.low, there.best, there.high), rel=1e-6)


@given(st.permutations(range(5)))
def test_replicates_may_come_in_any_order(order):
    pairs = [(0, 3), (2, 5), (2, 5.5), (2, 6), (4, 7)]
    shuffled = sorted((pairs[index] for index in order), key=lambda pair: pair[0])
    assert one(loaf(*shuffled), 6.5).time.best == approx(one(loaf(*pairs), 6.5).time.best, rel=1e-9)


@pytest.mark.parametrize(
    "of",
    [
        loaf((0, 1e-300), (1, 2e-300)),
        loaf((0, 1e9), (1, 1e9), (2, -1e9)),
        loaf((364, 3), (365, 5)),
        loaf((0, 3), (0.021, 5)),
        loaf((0, 0), (365, 1)),
        loaf(*((day / 4, day) for day in range(120))),
    ],
)
@pytest.mark.parametrize("limit", [0, 1e9, -1e9, 5e-324])
def test_extremes_are_answered(of, limit):
    kept = one(of, limit)
    for days in (0.0, 1.0, 60.0):
        assert math.isfinite(kept.posterior.level(days).best)


# ---- Order


def test_the_scalded_loaf_keeps_longer_and_how_sure_that_is():
    plain, scalded = (each.time for each in keep([NO_SCALD, SCALDED], RISES, 6.0))
    assert probability_longer(scalded, plain) > 0.98
    assert probability_longer(scalded, plain) + probability_longer(plain, scalded) == approx(1)
    assert rank([plain, scalded]) == [1, 0]


def test_a_loaf_keeps_as_long_as_itself():
    time = one(NO_SCALD, 6.0).time
    assert probability_longer(time, time) == approx(0.5)
    assert probability_longest([time, time, time]) == approx([1 / 3] * 3)


def test_probabilities_against_drawing_from_the_same_distributions():
    kept = keep([NO_SCALD, SCALDED, loaf((0, 2.8), (3, 5.4), (5, 6.6), name="third")], RISES, 6.0)
    rng = np.random.default_rng(5)
    draws = np.array(
        [np.interp(rng.random(200_000), each.time.reached, TIMES_DAYS, right=np.inf) for each in kept]
    )
    times = [each.time for each in kept]
    assert probability_longer(times[1], times[2]) == approx(
        np.mean(draws[1] > draws[2]) + 0.5 * np.mean(draws[1] == draws[2]), abs=0.01
    )
    longest = np.bincount(np.argmax(draws, axis=0), minlength=3) / draws.shape[1]
    assert probability_longest(times) == approx(longest, abs=0.01)
    assert sum(probability_longest(times)) == approx(1)


def test_loaves_that_never_get_there_rank_above_those_that_do():
    kept = keep([NO_SCALD, course([0, 1, 2, 3, 5], ends=(3, 5), name="soft"), SCALDED], RISES, 6.0)
    assert kept[1].time.reason == NOT_REACHED
    assert rank([each.time for each in kept]) == [1, 2, 0]


@given(st.permutations([0, 1, 2]))
def test_the_order_of_the_loaves_does_not_matter(order):
    loaves = [NO_SCALD, SCALDED, loaf((0, 2.9), (2, 5.0), (4, 6.1), name="third")]
    kept = keep([loaves[index] for index in order], RISES, 6.0)
    ranked = [kept[index].loaf.name for index in rank([each.time for each in kept])]
    assert ranked == ["scalded", "third", "no scald"]


# ---- Refusals


def test_days_out_of_order_are_refused():
    with pytest.raises(Refusal) as refused:
        keep([NO_SCALD, loaf((0, 3), (3, 5), (2, 4), name="other")], RISES)
    assert (refused.value.argument, refused.value.code, refused.value.nearest) == (
        "loaves.1.scores.2.days",
        "days_out_of_order",
        3,
    )


def test_two_loaves_of_one_name_are_refused():
    with pytest.raises(Refusal) as refused:
        keep([loaf((0, 3), name="a {b}"), loaf((0, 3), name="a {b} 2"), loaf((0, 3), name="a {b}")], RISES)
    assert (refused.value.argument, refused.value.code, refused.value.nearest) == (
        "loaves.2.name",
        "name_taken",
        "a {b} 3",
    )
    str(refused.value)


def test_coverage_of_the_interval():
    """200 bakers with the expected scatter: the 90 % interval contains the true time about that often."""
    rng = np.random.default_rng(11)
    held = found = 0
    for _ in range(200):
        constant = math.exp(math.log(3.7) + 0.334 * rng.standard_normal())
        change, share = rng.uniform(3, 7), rng.uniform(0.3, 0.7)
        final = 3 + change
        of = course(
            [0, 1, 2, 3, 5],
            (3, final),
            constant,
            seed=int(rng.integers(1 << 30)),
            noise=SCORE_RELATIVE_SD * (3 + change * progress(5, constant, 1)),
        )
        time = one(of, 3 + share * change).time
        if not time.reached or time.reason == NO_TREND:
            continue
        found += 1
        exact = -constant * math.log(1 - share)
        held += (
            (time.low if time.low is not None else math.inf)
            <= exact
            <= (time.high if time.high is not None else math.inf)
        )
    assert found > 180
    assert 0.85 < held / found <= 0.98
