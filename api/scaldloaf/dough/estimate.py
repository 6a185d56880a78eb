"""An uncertain number: a best value, a band around it, and the evidence it rests on."""

from collections.abc import Callable
from functools import lru_cache
from typing import NamedTuple

from scaldloaf.reference import EVIDENCE

NORMAL_90 = 1.645  # half-width of a normal distribution's 90 % interval, in standard deviations


class Estimate(NamedTuple):
    """An interval with its best value, all in one unit, and its evidence label.

    Unless a docstring says otherwise, the interval is meant to contain the true value 90 % of the time.
    """

    low: float
    best: float
    high: float
    evidence: str

    def map(self, function: Callable[[float], float]) -> "Estimate":
        """The estimate under a monotone function; a falling function swaps the ends."""
        ends = sorted((function(self.low), function(self.high)))
        return Estimate(ends[0], function(self.best), ends[1], self.evidence)


def exactly(value: float) -> Estimate:
    """A number without doubt, as an estimate."""
    return Estimate(value, value, value, "exact")


@lru_cache
def weakest(*labels: str) -> str:
    """The weakest of several evidence labels: a result is as good as its worst input."""
    return max(labels, key=EVIDENCE.index)
