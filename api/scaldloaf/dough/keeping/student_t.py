"""Student's t: its distribution function, a table of it, and its 95 % quantile."""

from functools import lru_cache
from itertools import pairwise
from math import atan, erf, log1p, pi, sqrt
from typing import NamedTuple

NORMAL_FROM = 60  # degrees of freedom from which t is calculated by its normal equivalent
TABLE_POINTS = 512  # of a table, on each side of 0
TABLE_SCALE = 3.0  # value at the middle of each side


def student_t_cdf(value: float, freedom: int) -> float:
    """P(T <= value) for Student's t with a whole number of degrees of freedom >= 1.

    Closed form for odd and even freedom (Abramowitz and Stegun 26.7.3 and 26.7.4); from 60 on the normal
    equivalent sqrt(freedom ln(1 + t²/freedom)) (8f+1)/(8f+3), off by less than 1e-5.
    """
    if freedom >= NORMAL_FROM:
        size = sqrt(freedom * log1p(value * value / freedom)) * (8 * freedom + 1) / (8 * freedom + 3)
        return 0.5 + 0.5 * erf(size / sqrt(2)) * (1 if value > 0 else -1)
    cosine2 = freedom / (freedom + value * value)
    sine = value / sqrt(freedom + value * value)
    if freedom % 2:
        cosine = sqrt(cosine2)
        term = total = cosine if freedom > 1 else 0.0
        for step in range(3, freedom - 1, 2):
            term *= cosine2 * (step - 1) / step
            total += term
        central = 2 / pi * (atan(value / sqrt(freedom)) + sine * total)
    else:
        term = total = 1.0
        for step in range(2, freedom - 1, 2):
            term *= cosine2 * (step - 1) / step
            total += term
        central = sine * total
    return 0.5 + 0.5 * central


class Table(NamedTuple):
    """P(T <= value) at even steps of value / (TABLE_SCALE + |value|), from -1 to 1.

    values: at each step, both ends included. steps: what the next step adds to each.
    """

    values: tuple[float, ...]
    steps: tuple[float, ...]


@lru_cache(maxsize=NORMAL_FROM)
def student_t_table(freedom: int) -> Table:
    """The table of a number of degrees of freedom, see ``student_t_cdf``."""
    found = [0.0]
    for index in range(1, 2 * TABLE_POINTS):
        part = index / TABLE_POINTS - 1
        found.append(student_t_cdf(TABLE_SCALE * part / (1 - abs(part)), freedom))
    found += 1.0, 1.0
    return Table(tuple(found), tuple([above - below for below, above in pairwise(found)]))


@lru_cache(maxsize=256)
def student_t_95(freedom: int) -> float:
    """The 95 % quantile of Student's t, by halving."""
    low, high = 0.0, 100.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if student_t_cdf(middle, freedom) < 0.95 else (low, middle)
    return high
