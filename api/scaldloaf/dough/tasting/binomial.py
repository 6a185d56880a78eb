"""How often guessing comes to so many right answers, and what share of right answers fits a count.

Exact (binomial distribution). Guesses are right once in ``one_in``, so their chances are whole numbers over
``one_in ** tasters`` and nothing is rounded.
"""

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import takewhile
from math import comb

from scaldloaf.dough.estimate import Estimate

HALVINGS = 50  # of a share between 0 and 1: to a part in 1e15
NEGLIGIBLE = 1e-18  # a term of a sum so much smaller than the sum


def _ways(tasters: int, one_in: int) -> Iterator[tuple[int, int]]:
    """(right, number of the one_in ** tasters ways to guess with so many right), from all right down."""
    ways = 1
    for right in range(tasters, -1, -1):
        yield right, ways
        ways = ways * right * (one_in - 1) // (tasters - right + 1)


def chance_by_guessing(right: int, tasters: int, one_in: int) -> Fraction:
    """The chance that at least ``right`` of ``tasters`` guesses are right, 0 to 1. Exact."""
    enough = takewhile(lambda each: each[0] >= right, _ways(tasters, one_in))
    return Fraction(sum(number for _, number in enough), one_in**tasters)


def fewest_right(tasters: int, one_in: int, level: Fraction) -> int | None:
    """The fewest right answers that guessing reaches with a chance of at most ``level``.

    None where even all right are not enough. Exact. Source: ISO 4120, ISO 10399, ISO 5495, Annex A.
    """
    most, reached, fewest = one_in**tasters * level.numerator // level.denominator, 0, None
    for right, number in _ways(tasters, one_in):
        reached += number
        if reached > most:
            break
        fewest = right
    return fewest


@lru_cache(maxsize=16)
def fewest_by_tasters(most: int, one_in: int, level: Fraction) -> tuple[int | None, ...]:
    """``fewest_right`` of 1 to ``most`` tasters, each from the one before, which is faster. Exact."""
    found: list[int | None] = []
    fewest, ways = 0, 1  # of the one_in ** tasters ways to guess, those with at least the fewest right
    for tasters in range(1, most + 1):
        ways *= one_in
        if fewest:
            ways += comb(tasters - 1, fewest - 1) * (one_in - 1) ** (tasters - fewest)
        most_ways = one_in**tasters * level.numerator // level.denominator
        while ways > most_ways:
            ways -= comb(tasters, fewest) * (one_in - 1) ** (tasters - fewest)
            fewest += 1
        found.append(fewest if fewest <= tasters else None)
    return tuple(found)


def fewest_tasters(one_in: int, level: Fraction) -> int:
    """The fewest tasters who can show a difference at all, if all are right. Exact; ``level`` above 0."""
    tasters, chance = 1, Fraction(1, one_in)
    while chance > level:
        tasters, chance = tasters + 1, chance / one_in
    return tasters


def chance_of_at_least(right: int, tasters: int, share: float) -> float:
    """The chance of at least ``right`` right answers, each right with the chance ``share``; all 0 to 1.

    Summed from the largest term away from the middle, so that it takes few terms. Exact but for rounding;
    ``tasters`` up to 1000.
    """
    if right <= 0:
        return 1.0
    if right > tasters:
        return 0.0
    if share <= 0 or share >= 1:
        return float(share >= 1)
    if right <= tasters * share:
        return 1 - chance_of_at_least(tasters - right + 1, tasters, 1 - share)
    odds = share / (1 - share)
    term = total = comb(tasters, right) * share**right * (1 - share) ** (tasters - right)
    for count in range(right, tasters):
        term *= (tasters - count) / (count + 1) * odds
        total += term
        if term < NEGLIGIBLE * total:
            break
    return min(total, 1.0)


def share_reaching(right: int, tasters: int, chance: float) -> float:
    """The share of right answers at which at least ``right`` of ``tasters`` has a given chance, by halving.

    chance: above 0 and below 1. 0 for no right answers, which are certain at any share.
    """
    low, high = 0.0, 1.0 if right else 0.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if chance_of_at_least(right, tasters, middle) < chance else (low, middle)
    return (low + high) / 2


def share_interval(right: int, tasters: int, risk: float) -> tuple[float, float]:
    """The shares of right answers that fit a count, 0 to 1, each end with ``risk`` of being beyond.

    Source: C. J. Clopper, E. S. Pearson, Biometrika 26:404-413 (1934); exact.
    """
    high = 1.0 if right == tasters else share_reaching(right + 1, tasters, 1 - risk)
    return share_reaching(right, tasters, risk), high


def discriminators_percent(share: float, one_in: int) -> float:
    """The share of tasters who really tell the samples apart, percent, from the share of right answers.

    The others guess: share = d + (1 - d) / one_in. Cut at 0. Source: Abbott's formula, as in ISO 4120
    (exact).
    """
    return max(0.0, 100 * (share - 1 / one_in) / (1 - 1 / one_in))


def right_share(discriminators: float, one_in: int) -> float:
    """The share of right answers, 0 to 1, when so many percent tell and the others guess. Exact."""
    return 1 / one_in + (1 - 1 / one_in) * discriminators / 100


def true_discriminators(share: float, interval: tuple[float, float], one_in: int, shown: bool) -> Estimate:
    """The share of tasters who tell the samples apart, percent, with its interval.

    Where each end has the test's own risk of being beyond, the low end is above 0 exactly when the difference
    is shown: where it is not, what the halving left there is taken off.

    Parameters
        share : float  [0 to 1] of right answers
        interval : tuple[float, float]  [0 to 1] of that share
        one_in : int  a guess is right once in so many
        shown : bool  whether the test shows the difference
    Returns
        Estimate  [% of tasters]
    Source
        guessing model (exact, given the counts)
    """
    low, high = (discriminators_percent(end, one_in) for end in interval)
    return Estimate(low if shown else 0.0, discriminators_percent(share, one_in), high, "exact")
