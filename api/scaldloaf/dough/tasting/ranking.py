"""Ranking: whether samples differ at all, and by how much two rank sums must differ."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import combinations
from math import erfc, exp, pi, sqrt
from typing import NamedTuple

from scaldloaf.dough.refusal import Refusal
from scaldloaf.reference import coefficient

TASTING_FRIEDMAN_TASTERS = coefficient("tasting_friedman_tasters").value
LEAST_SAMPLES = 3  # two samples are compared, not ranked


class Pair(NamedTuple):
    """Two samples, the one with the smaller rank sum first. shown: whether the test tells them apart."""

    first: str
    second: str
    difference: int
    shown: bool


class Ranked(NamedTuple):
    """What rankings show. rank_sums: in rising order. p_value: 0 to 1. least_difference: of two rank sums."""

    tasters: int
    rank_sums: tuple[tuple[str, int], ...]
    statistic: float
    p_value: float
    shown: bool
    normal_quantile: float
    least_difference: float
    pairs: tuple[Pair, ...]


def rank_samples(rankings: Sequence[Sequence[str]], significance_percent: float) -> Ranked:
    """Friedman's test, and each pair of samples by the least significant difference of rank sums.

    Parameters
        rankings : the samples in each taster's order, first place first, without ties
        significance_percent : float  [%]
    Raises
        Refusal: for too few samples, and for a ranking that is no order of the first one's
        samples.
    Source
        ISO 8587; M. Friedman, J. Am. Stat. Assoc. 32:675-701 (1937). Chi-square is approximate below about
        tasting_friedman_tasters tasters. Pairs are only compared after a significant test.
    """
    _check_rankings(rankings)
    samples, tasters = len(rankings[0]), len(rankings)
    sums = dict.fromkeys(sorted(rankings[0]), 0)
    for ranking in rankings:
        for place, sample in enumerate(ranking, 1):
            sums[sample] += place
    squares = sum(each * each for each in sums.values())
    cells = tasters * samples * (samples + 1)
    statistic = (12 * squares - 3 * tasters * (samples + 1) * cells) / cells
    p_value = chi_square_tail(statistic, samples - 1)
    shown = p_value <= significance_percent / 100
    least = least_difference(samples, tasters, significance_percent)
    ordered = sorted(sums, key=lambda sample: sums[sample])
    pairs = tuple(
        Pair(one, other, sums[other] - sums[one], shown and sums[other] - sums[one] >= least)
        for one, other in combinations(ordered, 2)
    )
    return Ranked(
        tasters,
        tuple((sample, sums[sample]) for sample in ordered),
        statistic,
        p_value,
        shown,
        normal_quantile(significance_percent),
        least,
        pairs,
    )


def _check_rankings(rankings: Sequence[Sequence[str]]) -> None:
    first = rankings[0]
    for place, sample in enumerate(first):
        if sample in first[:place]:
            raise Refusal(
                f"rankings.0.{place}",
                "ranked_twice",
                "{sample} has two places in this ranking; ties are not possible, so each sample has one "
                "place",
                given=sample,
                amounts={"sample": sample},
            )
    if len(first) < LEAST_SAMPLES:
        raise Refusal(
            "rankings.0",
            "too_few_to_rank",
            "a ranking has at least {least} samples; two samples are a paired comparison",
            amounts={"least": (LEAST_SAMPLES, None)},
        )
    whole = set(first)
    for index, ranking in enumerate(rankings):
        if len(ranking) == len(first) and set(ranking) == whole:
            continue
        missing = [sample for sample in first if sample not in ranking]
        odd, given = _odd_place(ranking, whole)
        raise Refusal(
            f"rankings.{index}" if odd is None else f"rankings.{index}.{odd}",
            "not_a_permutation",
            "every taster ranks the samples of the first ranking, each once; this one lacks {missing}"
            if missing
            else "every taster ranks the samples of the first ranking, each once; {given} is one too many",
            given=given,
            nearest=missing[0] if odd is not None and len(missing) == 1 else None,
            amounts={"missing": ", ".join(missing)} if missing else {"given": str(given)},
        )


def _odd_place(ranking: Sequence[str], whole: set[str]) -> tuple[int | None, str | None]:
    """Where a ranking has a sample that is not ranked, or one for the second time; (None, None): nowhere."""
    for place, sample in enumerate(ranking):
        if sample not in whole or sample in ranking[:place]:
            return place, sample
    return None, None


def chi_square_tail(value: float, freedom: int) -> float:
    """P(X >= value) for chi-square with a whole number of degrees of freedom >= 1.

    Closed form for odd and even freedom (Abramowitz and Stegun 26.4.4 and 26.4.5). Exact but for rounding.
    """
    half = max(value, 0.0) / 2
    if freedom % 2:
        term, total = sqrt(half / pi) * 2, 0.0
        for step in range(1, freedom - 1, 2):
            total += term
            term *= 2 * half / (step + 2)
        return erfc(sqrt(half)) + exp(-half) * total
    term = total = 1.0
    for step in range(1, freedom // 2):
        term *= half / step
        total += term
    return exp(-half) * total


@lru_cache(maxsize=64)
def normal_quantile(significance_percent: float) -> float:
    """What a standard normal value exceeds, in either direction, in so many percent of cases. By halving."""
    low, high = 0.0, 10.0
    for _ in range(60):
        middle = (low + high) / 2
        if 100 * erfc(middle / sqrt(2)) > significance_percent:
            low = middle
        else:
            high = middle
    return high


def least_difference(samples: int, tasters: int, significance_percent: float) -> float:
    """The least significant difference of two rank sums: z √(n k (k + 1) / 6). Source: ISO 8587."""
    return normal_quantile(significance_percent) * sqrt(tasters * samples * (samples + 1) / 6)
