"""A number nobody knows exactly: a band, a best value and what it rests on."""

from dataclasses import dataclass
from functools import lru_cache

from scaldloaf.reference import EVIDENCE

NORMAL_90 = 1.645           # half of a 90 % interval in standard deviations of a normal distribution


@dataclass(frozen=True, slots=True)
class Estimate:
    """An interval with its best value, all in one unit, and its evidence label.

    Unless a docstring says otherwise the interval is meant to hold 90 % of the time.
    """

    low: float
    best: float
    high: float
    evidence: str

    def map(self, function) -> "Estimate":
        """The estimate under a monotone function (ends swap when the function falls)."""
        ends = sorted((function(self.low), function(self.high)))
        return Estimate(ends[0], function(self.best), ends[1], self.evidence)


@lru_cache
def weakest(*labels: str) -> str:
    """The weakest of some evidence labels: a chain is as good as its worst link."""
    return max(labels, key=EVIDENCE.index)
