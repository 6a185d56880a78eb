"""The runs of a sugar budget: its course at best values, and those at the ends of its band."""

from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.flour import widening_by_other_flour
from scaldloaf.dough.sugar_course import (
    SCALD_MALTOSE_MALTED_PER_FLOUR_PERCENT,
    SCALD_MALTOSE_PER_FLOUR_PERCENT,
    Course,
    Enzymes,
    Leg,
    Pools,
    amylase_pace,
    draw_down,
    free_sugar_lasts_hours,
    maltose_makers,
)
from scaldloaf.dough.sugar_stages import Stage
from scaldloaf.reference import coefficient

MALTOSE_FACTOR_BAND = coefficient("maltose_factor_band").value
# What malt's enzymes may make of a scald, over the most that the flour's make of it.
MALTED_OVER_FLOUR = SCALD_MALTOSE_MALTED_PER_FLOUR_PERCENT / SCALD_MALTOSE_PER_FLOUR_PERCENT.high


def legs_of(stages: Sequence[Stage], demands: Sequence[float]) -> list[Leg]:
    """The stages as legs, each with its demand (g of hexose per 100 g of flour and hour)."""
    ends = accumulate(stage.minutes / 60 for stage in stages)
    paces = (amylase_pace(stage.temperature_c) for stage in stages)
    return [Leg(*leg) for leg in zip(ends, demands, paces, strict=True)]


# Which end of the demand each run of a budget has.
DEMANDS_OF_RUNS = ("best", "low", "low", "high", "high")


def maltose_factor(other_flour_share: float) -> float:
    """How many times less and more maltose the ends of the band have: maltose_factor_band to the power of
    ``widening_by_other_flour``. other_flour_share: a fraction of the flour. Evidence: assumption.
    """
    factor: float = MALTOSE_FACTOR_BAND ** widening_by_other_flour(other_flour_share)
    return factor


def makers_of_runs(
    damaged_starch_percent: float, share_percent: float, malted: bool, other_flour_share: float = 0.0
) -> tuple[Enzymes, ...]:
    """The enzymes of each run: at best values, then twice with less and with more maltose.

    Parameters
        damaged_starch_percent, share_percent : float  [% of flour]
        malted : bool  whether malt's enzymes meet the scald
        other_flour_share : float  [fraction of the flour] that is not white wheat
    Returns
        tuple[Enzymes, ...]
    """
    factor = maltose_factor(other_flour_share)
    best = maltose_makers(damaged_starch_percent, share_percent)
    little = maltose_makers(damaged_starch_percent, share_percent, 1 / factor)
    much = maltose_makers(damaged_starch_percent, share_percent, factor, MALTED_OVER_FLOUR if malted else 1.0)
    return best, little, much, little, much


class Runs(NamedTuple):
    """The courses of a budget: at best values, then with less and more demand, each with less and more
    maltose.

    legs: of each course. enzymes: of the first.
    """

    courses: list[Course]
    legs: list[list[Leg]]
    enzymes: Enzymes

    @classmethod
    def of(
        cls,
        start: Pools,
        stages: Sequence[Stage],
        demands: Sequence[Estimate],
        damaged_starch_percent: float,
        share_percent: float,
        malted: bool,
        other_flour_share: float = 0.0,
    ) -> "Runs":
        """The runs of a dough through its stages.

        Parameters
            start : Pools  [g of hexose per 100 g of flour] at mixing
            stages : Sequence[Stage]
            demands : Sequence[Estimate]  [g of hexose per 100 g of flour and hour] of each stage
            damaged_starch_percent, share_percent : float  [% of flour]
            malted : bool  whether malt's enzymes meet the scald
            other_flour_share : float  [fraction of the flour] that is not white wheat
        Returns
            Runs
        """
        makers = makers_of_runs(damaged_starch_percent, share_percent, malted, other_flour_share)
        low = legs_of(stages, [each.low for each in demands])
        high = legs_of(stages, [each.high for each in demands])
        legs = [legs_of(stages, [each.best for each in demands]), low, low, high, high]
        courses = [draw_down(start, *each) for each in zip(legs, makers, strict=True)]
        return cls(courses, legs, makers[0])

    def lasts_hours(self) -> list[float]:
        """How long the free sugar of each course lasts when its last stage goes on, h."""
        pairs = zip(self.courses, self.legs, strict=True)
        return [free_sugar_lasts_hours(course, legs[-1]) for course, legs in pairs]
