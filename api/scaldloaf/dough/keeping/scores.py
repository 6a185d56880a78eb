"""Scores of loaves by day, on the baker's own scale."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

RISES, FALLS = "rises", "falls"  # how a score changes as bread stales
SAME_DAY_DAYS = 0.02  # scores closer than this, half an hour, are of one day


@dataclass(frozen=True, slots=True)
class Score:
    """A score of a loaf: days since baking, and the value on the baker's own scale."""

    days: float
    score: float


@dataclass(frozen=True, slots=True)
class Loaf:
    """One kind of loaf and its scores in the order of days; scores of one day are replicates."""

    name: str
    scores: tuple[Score, ...]


def different_days(scores: Sequence[Score]) -> int:
    """How many days the scores are of; scores within half an hour count as one."""
    count, last = 0, -inf
    for days in sorted(score.days for score in scores):
        if days - last >= SAME_DAY_DAYS:
            count, last = count + 1, days
    return count
