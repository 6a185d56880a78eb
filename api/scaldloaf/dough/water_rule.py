"""How the optimum water moves with the scalded share: by the prior, by own trials or by an own table.

T(share) is the water that goes with a scald, in points of hydration (percent of total flour). A rule gives
T(after) - T(before). Shares are in percent of flour, liquid ratios in g of liquid per g of scald flour.
"""

from collections.abc import Iterable
from itertools import pairwise
from math import sqrt
from typing import NamedTuple, Protocol

from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.estimate import NORMAL_90, Estimate, weakest
from scaldloaf.dough.limits import ROUNDING, SCALD_SHARE_LIMIT_PERCENT, SHARE_UPPER_BOUND_PERCENT
from scaldloaf.dough.notes import Note
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.vectors import SLOPE
from scaldloaf.reference import coefficient

SCALD_WATER_SLOPE = coefficient("scald_water_slope")
ROUX_WATER_SLOPE = coefficient("roux_water_slope")
SCALD_WATER_SLOPE_RATIO = coefficient("scald_water_slope_ratio").value
ROUX_WATER_SLOPE_RATIO = coefficient("roux_water_slope_ratio").value
ROUX_SHARE_LIMIT_PERCENT = coefficient("roux_share_limit_percent").value
WATER_TABLE_POINTS = coefficient("water_table_points").value


class Spot(NamedTuple):
    """Where a formula is: scalded share (percent), liquid ratio (None without a scald), hydration (percent).

    hydration_percent None: not known yet.
    """

    share_percent: float
    liquid_ratio: float | None
    hydration_percent: float | None = None


class Shift(NamedTuple):
    """Points of hydration between two spots, and the rule's figure at each.

    before, after: the slope there in points per point of share, or the table's hydration in percent.
    """

    points: Estimate
    before: float
    after: float


class WaterRule(Protocol):
    """How the optimum water moves with the scalded share."""

    def outside(self, before: Spot, after: Spot) -> Refusal | None:
        """The refusal of a share that the rule does not know; None where it knows both."""

    def shift(self, before: Spot, after: Spot) -> Shift:
        """Points of hydration that go with a change of share: T(after) - T(before)."""

    def notes(self, before: Spot, after: Spot) -> list[Note]:
        """What to know about water found by this rule."""


# ---- The prior -----------------------------------------------------------------------------------


def _by_ratio(liquid_ratio: float, at_scald: float, at_roux: float) -> float:
    """Linear in the liquid ratio between the boiling-water scald and the roux, flat outside."""
    scald, roux = SCALD_WATER_SLOPE_RATIO, ROUX_WATER_SLOPE_RATIO
    place = (min(max(liquid_ratio, scald), roux) - scald) / (roux - scald)
    return (1 - place) * at_scald + place * at_roux


def water_slope_at(liquid_ratio: float) -> Estimate:
    """Points of hydration a dough takes for each point of scalded share, by the scald's liquid ratio.

    The boiling-water scald's slope at 1:1, the cooked roux's at 1:5, linear between, flat outside (with a
    note). Source: common practice for the scald, assumption towards the roux.
    """
    scald, roux = SCALD_WATER_SLOPE, ROUX_WATER_SLOPE
    evidence = (
        scald.evidence if liquid_ratio <= SCALD_WATER_SLOPE_RATIO else weakest(scald.evidence, roux.evidence)
    )
    return Estimate(
        _by_ratio(liquid_ratio, scald.low, roux.low),
        _by_ratio(liquid_ratio, scald.value, roux.value),
        _by_ratio(liquid_ratio, scald.high, roux.high),
        evidence,
    )


def share_limit_at(liquid_ratio: float) -> float:
    """Scalded share, percent, up to which the slope holds: 40 at 1:1, 10 at 1:5, linear between."""
    return _by_ratio(liquid_ratio, SCALD_SHARE_LIMIT_PERCENT, ROUX_SHARE_LIMIT_PERCENT)


class PriorSlope:
    """Water in proportion to the share, at the slope of other bakers' scalds of the same liquid ratio."""

    __slots__ = ()

    def outside(self, before: Spot, after: Spot) -> None:
        """None: every share is known, beyond its limit with a note."""

    def shift(self, before: Spot, after: Spot) -> Shift:
        """The slope times the share at each end; the band takes the same end of the slope on both sides."""
        return _shift_by_slopes(before, _slope_at(before), after, _slope_at(after))

    def notes(self, before: Spot, after: Spot) -> list[Note]:
        """Liquid ratios outside those the slope is known for, and a share beyond its limit."""
        low, high = SCALD_WATER_SLOPE_RATIO, ROUX_WATER_SLOPE_RATIO
        ratios = dict.fromkeys(spot.liquid_ratio for spot in (before, after) if spot.share_percent > 0)
        notes = [
            Note(
                "ratio_outside_range",
                {"ratio": ratio, "low": low, "high": high, "end": low if ratio < low else high},
            )
            for ratio in ratios
            if ratio is not None and not low - ROUNDING <= ratio <= high + ROUNDING
        ]
        return notes + _extrapolation(after)


PRIOR_SLOPE = PriorSlope()


def _slope_at(spot: Spot) -> Estimate:
    return water_slope_at(SCALD_WATER_SLOPE_RATIO if spot.liquid_ratio is None else spot.liquid_ratio)


def _shift_by_slopes(before: Spot, slope: Estimate, after: Spot, next_slope: Estimate) -> Shift:
    """The difference of slope times share.

    Parameters
        before, after : Spot
        slope, next_slope : Estimate  [points per point of share] before and after
    Returns
        Shift
    """
    share, next_share = before.share_percent, after.share_percent
    ends = sorted(
        (
            next_slope.low * next_share - slope.low * share,
            next_slope.best * next_share - slope.best * share,
            next_slope.high * next_share - slope.high * share,
        )
    )
    used = [each.evidence for each, at in ((slope, share), (next_slope, next_share)) if at > 0]
    best = next_slope.best * next_share - slope.best * share
    points = Estimate(ends[0], best, ends[-1], weakest(*(used or ["exact"])))
    return Shift(points, slope.best, next_slope.best)


def _extrapolation(after: Spot) -> list[Note]:
    """A note on a share beyond what a slope is meant for."""
    share, ratio = after.share_percent, after.liquid_ratio
    if share <= 0 or ratio is None or share <= share_limit_at(ratio) + ROUNDING:
        return []
    return [Note("share_extrapolated", {"limit": share_limit_at(ratio), "ratio": ratio})]


# ---- The baker's own ---------------------------------------------------------------------------------


class OwnSlope(NamedTuple):
    """Water in proportion to the share, at a slope from own trials, points per point of share."""

    slope: Estimate

    @classmethod
    def of(cls, calibration: Calibration) -> "OwnSlope":
        """The slope of a calibration, with its 90 % interval."""
        half = NORMAL_90 * sqrt(calibration.covariance[SLOPE][SLOPE])
        slope = calibration.water_slope
        return cls(Estimate(slope - half, slope, slope + half, SCALD_WATER_SLOPE.evidence))

    def outside(self, before: Spot, after: Spot) -> None:
        """None: every share is known, beyond its limit with a note."""

    def shift(self, before: Spot, after: Spot) -> Shift:
        """The slope times the share at each end; the band takes the same end of the slope on both sides."""
        return _shift_by_slopes(before, self.slope, after, self.slope)

    def notes(self, before: Spot, after: Spot) -> list[Note]:
        """That the slope is the trials', and a share beyond its limit."""
        return [Note("own_water_slope"), *_extrapolation(after)]


class OwnTable(NamedTuple):
    """The hydration that suits each share, read from a table: (share, hydration) in percent, shares rising.

    Linear between the points. Only differences are used; they are good to within water_table_points.
    """

    points: tuple[tuple[float, float], ...]

    @classmethod
    def of(cls, points: Iterable[tuple[float, float]]) -> "OwnTable":
        """The table of some points in any order. Raises Refusal unless it has two different shares."""
        table = sorted((share, hydration) for share, hydration in points)
        if len(table) < 2:
            raise Refusal(
                "points", "curve_too_short", "a table of water needs two shares or more to read between"
            )
        for (share, _), (following, _) in pairwise(table):
            if share == following:
                raise Refusal(
                    "points",
                    "share_twice",
                    "the table gives the share {share} % twice; keep one",
                    given=share,
                    amounts={"share": (share, None)},
                )
        return cls(tuple(table))

    def outside(self, before: Spot, after: Spot) -> Refusal | None:
        """The refusal of a share outside the table; None where both are inside.

        At ``water_rule`` for the share before, at ``change.share_percent`` for the one after.
        """
        if not self._covers(before.share_percent):
            advice = "it must also cover the formula's own share"
            return self._outside("water_rule", before.share_percent, advice)
        if not self._covers(after.share_percent):
            advice = "stay inside, or add a point to it"
            return self._outside("change.share_percent", after.share_percent, advice, asked=True)
        return None

    def shift(self, before: Spot, after: Spot) -> Shift:
        """The table's difference between two shares. Raises Refusal as ``outside`` says."""
        refusal = self.outside(before, after)
        if refusal is not None:
            raise refusal
        was, now = self._read(before.share_percent), self._read(after.share_percent)
        points = now - was
        band = WATER_TABLE_POINTS if after.share_percent != before.share_percent else 0.0
        return Shift(Estimate(points - band, points, points + band, "assumption"), was, now)

    def _covers(self, share_percent: float) -> bool:
        """Whether a share is inside the table, with slack for rounding."""
        (first, _), (last, _) = self.points[0], self.points[-1]
        return first - ROUNDING <= share_percent <= last + ROUNDING

    def _read(self, share_percent: float) -> float:
        """The hydration at a share inside the table, percent of flour."""
        (first, _), (last, _) = self.points[0], self.points[-1]
        share_percent = min(max(share_percent, first), last)
        (left, low), (right, high) = next(
            span for span in pairwise(self.points) if share_percent <= span[1][0]
        )
        return low + (share_percent - left) / (right - left) * (high - low)

    def _outside(self, argument: str, share_percent: float, advice: str, asked: bool = False) -> Refusal:
        """The refusal of a share outside the table; asked: the request asked for it, so an end may do."""
        (first, _), (last, _) = self.points[0], self.points[-1]
        end = first if share_percent < first else last
        return Refusal(
            argument,
            "share_outside_curve",
            "the table of water runs from {first} to {last} % share and says nothing about {share} %; "
            + advice,
            given=share_percent if asked else None,
            nearest=end if asked and end <= SHARE_UPPER_BOUND_PERCENT else None,
            amounts={"first": (first, None), "last": (last, None), "share": (share_percent, None)},
        )

    def notes(self, before: Spot, after: Spot) -> list[Note]:
        """That the table is used unchecked, and at a ratio it may not be for."""
        notes = [Note("own_water_table")]
        ratios = [spot.liquid_ratio for spot in (before, after) if spot.share_percent > 0]
        known = [ratio for ratio in ratios if ratio is not None]
        if len(known) == 2 and abs(known[0] - known[1]) > ROUNDING:
            notes.append(Note("table_other_ratio"))
        return notes
