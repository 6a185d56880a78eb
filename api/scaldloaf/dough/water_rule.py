"""How the optimum water moves with the scalded share: by the prior, by own trials or by an own table.

T(share) is the water that goes with a scald, in points of hydration (percent of total flour). A rule gives
T(after) - T(before). Shares are in percent of flour, ratios in g of liquid, or of water kept, per g of scald
flour.
"""

from bisect import bisect_left
from collections.abc import Iterable
from itertools import pairwise
from math import sqrt
from typing import NamedTuple, Protocol

from scaldloaf.dough.calibration import Calibration, right_hydration
from scaldloaf.dough.estimate import NORMAL_90, Estimate, weakest
from scaldloaf.dough.flour import gluten_takes
from scaldloaf.dough.limits import ROUNDING, SCALD_SHARE_LIMIT_PERCENT, SHARE_UPPER_BOUND_PERCENT
from scaldloaf.dough.notes import Note
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.vectors import SLOPE
from scaldloaf.reference import coefficient

SCALD_BINDING_DEGREE = coefficient("scald_binding_degree")
SCALD_WATER_CAPACITY = coefficient("scald_water_capacity")
RAW_FLOUR_WATER = coefficient("raw_flour_water")
SCALD_WATER_SLOPE = coefficient("scald_water_slope")
THICK_ROUX_WATER_SLOPE = coefficient("thick_roux_water_slope")
ROUX_WATER_SLOPE = coefficient("roux_water_slope")
SCALD_WATER_SLOPE_RATIO = coefficient("scald_water_slope_ratio").value
THICK_ROUX_WATER_SLOPE_RATIO = coefficient("thick_roux_water_slope_ratio").value
ROUX_WATER_SLOPE_RATIO = coefficient("roux_water_slope_ratio")
SHARE_LIMIT_WATER_POINTS = coefficient("share_limit_water_points").value
WATER_TABLE_POINTS = coefficient("water_table_points").value

# The low end of the slope: from nothing at the water of raw flour, straight between these ratios, then flat.
LOW_SLOPES = (
    (RAW_FLOUR_WATER.high, 0.0),
    (SCALD_WATER_SLOPE_RATIO, SCALD_WATER_SLOPE.low),
    (THICK_ROUX_WATER_SLOPE_RATIO, THICK_ROUX_WATER_SLOPE.low),
    (ROUX_WATER_SLOPE_RATIO.value, ROUX_WATER_SLOPE.low),
)
BY_TABLE, BY_TRIALS = "table", "trials"
THINNEST_RATIO = ROUX_WATER_SLOPE_RATIO.high


class Spot(NamedTuple):
    """Where a formula is.

    share_percent: scalded share. liquid_ratio: of the scald (None without one). hydration_percent: None where
    it is not known yet. water_ratio: the water that the scald keeps, over its flour; None: as its liquid.
    gluten_percent: vital gluten, which takes water of its own.
    """

    share_percent: float
    liquid_ratio: float | None
    hydration_percent: float | None = None
    water_ratio: float | None = None
    gluten_percent: float = 0.0

    @property
    def kept_ratio(self) -> float:
        """The water that the scald keeps, over its flour; without a scald that of the usual one."""
        if self.water_ratio is not None:
            return self.water_ratio
        return SCALD_WATER_SLOPE_RATIO if self.liquid_ratio is None else self.liquid_ratio


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

    def room(self, spot: Spot) -> float:
        """Points of share to the end of those that the rule is meant for; below 0: not to be advised."""

    def right_water(self, spot: Spot) -> tuple[str, Estimate] | None:
        """The hydration that suits a spot by itself, and what says so; None: it only knows differences."""

    def notes(self, before: Spot, after: Spot) -> list[Note]:
        """What to know about water found by this rule."""


# ---- The prior -----------------------------------------------------------------------------------


def water_slope_at(water_ratio: float, raw_flour_water: float = RAW_FLOUR_WATER.value) -> Estimate:
    """Points of hydration a dough takes for each point of scalded share (k).

    k = a (min(r, W) - h_raw), not below 0: scalded flour keeps the water it was given until its starch is
    full, and gives up what it would have held raw. The low end is a table (LOW_SLOPES), the high end all of
    the water beyond the least of raw flour, at most that of the roux. Another raw flour moves the ends as
    much as the best value.

    Parameters
        water_ratio : float  [g/g] water that the scald keeps over its flour
        raw_flour_water : float  [g/g] what the flour holds raw: its absorption as it is, over 100
    Returns
        Estimate  [points per point of share]
    Source
        common practice (surveys of public recipes); the form is an assumption, the direction published (NARO
        Hokkaido 2010)
    """
    degree, usual = SCALD_BINDING_DEGREE.value, RAW_FLOUR_WATER.value
    moved = degree * (usual - raw_flour_water)
    best = degree * (min(water_ratio, SCALD_WATER_CAPACITY.value) - usual) + moved
    low = _low_slope_at(water_ratio) + moved
    high = min(water_ratio - RAW_FLOUR_WATER.low, ROUX_WATER_SLOPE.high) + moved
    best = max(best, 0.0)
    return Estimate(min(max(low, 0.0), best), best, max(high, best), SCALD_WATER_SLOPE.evidence)


def _low_slope_at(water_ratio: float) -> float:
    """The low end of the slope, straight between the ratios it is set at, flat outside them."""
    first, last = LOW_SLOPES[0], LOW_SLOPES[-1]
    ratio = min(max(water_ratio, first[0]), last[0])
    (left, low), (right, high) = next(span for span in pairwise(LOW_SLOPES) if ratio <= span[1][0])
    return low + (high - low) * (ratio - left) / (right - left)


def share_limit_at(water_ratio: float) -> float:
    """Scalded share, percent, up to which the slope is meant: 40, less where it would take more water.

    The share at which slope x share comes to share_limit_water_points. Evidence: assumption.
    """
    slope = water_slope_at(water_ratio).best
    if slope * SCALD_SHARE_LIMIT_PERCENT <= SHARE_LIMIT_WATER_POINTS:
        return SCALD_SHARE_LIMIT_PERCENT
    return SHARE_LIMIT_WATER_POINTS / slope


class PriorSlope(NamedTuple):
    """Water in proportion to the share, at the slope of other bakers' scalds that keep as much water.

    raw_before, raw_after: water that the flour holds raw, g/g, before and after. widened: factor on the half
    widths of the slope's band, above 1 for flours that the slope is not known for.
    """

    raw_before: float = RAW_FLOUR_WATER.value
    raw_after: float = RAW_FLOUR_WATER.value
    widened: float = 1.0

    def outside(self, before: Spot, after: Spot) -> None:
        """None: every share is known, beyond its limit with a note."""

    def shift(self, before: Spot, after: Spot) -> Shift:
        """The slope times the share at each end; the band takes the same end of the slope on both sides."""
        return _shift_by_slopes(
            before, self.slope_at(before, self.raw_before), after, self.slope_after(after)
        )

    def slope_at(self, spot: Spot, raw_flour_water: float) -> Estimate:
        """The slope at a spot."""
        slope = water_slope_at(spot.kept_ratio, raw_flour_water)
        low = max(slope.best - self.widened * (slope.best - slope.low), 0.0)
        high = slope.best + self.widened * (slope.high - slope.best)
        return slope._replace(low=low, high=high)

    def slope_after(self, spot: Spot) -> Estimate:
        """The slope at a spot with the flour after."""
        return self.slope_at(spot, self.raw_after)

    def room(self, spot: Spot) -> float:
        """Points of share to the limit of the slope."""
        return _room(spot)

    def right_water(self, spot: Spot) -> None:
        """None: the prior only knows differences."""

    def notes(self, before: Spot, after: Spot) -> list[Note]:
        """Liquid ratios outside those the slope was held to, a change of ratio, and a share too large."""
        notes = _notes_on_ratio(before, after) + _extrapolation(after)
        ratios = before.liquid_ratio, after.liquid_ratio
        if before.share_percent > 0 and after.share_percent > 0 and None not in ratios:
            was, now = before.liquid_ratio or 0.0, after.liquid_ratio or 0.0
            if abs(was - now) > ROUNDING:
                points = self.shift(before, after).points
                values = {"low": points.low, "high": points.high}
                notes.append(Note("ratio_moves_water", values))
        return notes


PRIOR_SLOPE = PriorSlope()


def _notes_on_ratio(before: Spot, after: Spot) -> list[Note]:
    low, high = SCALD_WATER_SLOPE_RATIO, THINNEST_RATIO
    ratios = dict.fromkeys(spot.liquid_ratio for spot in (before, after) if spot.share_percent > 0)
    return [
        Note("ratio_outside_range", {"ratio": ratio, "low": low, "high": high})
        for ratio in ratios
        if ratio is not None and not low - ROUNDING <= ratio <= high + ROUNDING
    ]


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


def _room(spot: Spot) -> float:
    return share_limit_at(spot.kept_ratio) + ROUNDING - spot.share_percent


def _extrapolation(after: Spot) -> list[Note]:
    """A note on a share beyond what a slope is meant for."""
    if after.share_percent <= 0 or after.liquid_ratio is None or _room(after) >= 0:
        return []
    return [
        Note("share_extrapolated", {"limit": share_limit_at(after.kept_ratio), "ratio": after.liquid_ratio})
    ]


# ---- The baker's own ---------------------------------------------------------------------------------


class OwnSlope(NamedTuple):
    """Water in proportion to the share, at a slope from own trials, points per point of share.

    liquid_ratio: of the scalds that it was learnt from. trials: all that they have taught.
    """

    slope: Estimate
    liquid_ratio: float = SCALD_WATER_SLOPE_RATIO
    trials: Calibration | None = None

    @classmethod
    def of(cls, calibration: Calibration) -> "OwnSlope":
        """The slope of a calibration, with its 90 % interval."""
        half = NORMAL_90 * sqrt(calibration.covariance[SLOPE][SLOPE])
        slope = calibration.water_slope
        estimate = Estimate(slope - half, slope, slope + half, SCALD_WATER_SLOPE.evidence)
        return cls(estimate, calibration.water_slope_ratio, calibration)

    def outside(self, before: Spot, after: Spot) -> None:
        """None: every share is known, beyond its limit with a note."""

    def right_water(self, spot: Spot) -> tuple[str, Estimate] | None:
        """The hydration that suits a spot by the trials; None where they say nothing of it."""
        if self.trials is None:
            return None
        right = right_hydration(self.trials, spot.share_percent, self.factor_at(spot))
        taken = gluten_takes(spot.gluten_percent).best
        return None if right is None else (BY_TRIALS, right.map(lambda water: water + taken))

    def factor_at(self, spot: Spot) -> float:
        """The prior's slope at a spot over that at the ratio of the trials; 1 where they know no slope."""
        learnt = water_slope_at(self.liquid_ratio).best
        if spot.share_percent <= 0 or learnt <= 0:
            return 1.0
        return water_slope_at(spot.kept_ratio).best / learnt

    def slope_at(self, spot: Spot) -> Estimate:
        """The own slope at a spot: at another ratio it grows as the prior's does."""
        factor = self.factor_at(spot)
        return self.slope.map(lambda slope: factor * slope)

    def shift(self, before: Spot, after: Spot) -> Shift:
        """The slope times the share at each end; the band takes the same end of the slope on both sides."""
        return _shift_by_slopes(before, self.slope_at(before), after, self.slope_at(after))

    def room(self, spot: Spot) -> float:
        """Points of share to the limit of the slope."""
        return _room(spot)

    def notes(self, before: Spot, after: Spot) -> list[Note]:
        """That the slope is the trials', where it was carried to another ratio, and a share too large."""
        notes = [Note("own_water_slope")]
        if any(abs(self.factor_at(spot) - 1) > ROUNDING for spot in (before, after)):
            notes.append(Note("own_slope_other_ratio", {"ratio": self.liquid_ratio}))
        return [*notes, *_extrapolation(after)]


def off_trials_points(rule: WaterRule, spot: Spot, hydration_percent: float) -> float | None:
    """A hydration (at the trials' flour) less what suits a spot by own trials; None: they don't say."""
    right = rule.right_water(spot) if isinstance(rule, OwnSlope) else None
    return None if right is None else hydration_percent - right[1].best


class OwnTable(NamedTuple):
    """The hydration that suits each share, read from a table: (share, hydration) in percent, shares rising.

    Linear between the points. Of a move only differences are used; they are good to within
    water_table_points. gluten_percent: the vital gluten of the doughs that the table is of; more of it takes
    more water.
    """

    points: tuple[tuple[float, float], ...]
    gluten_percent: float = 0.0

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

    def room(self, spot: Spot) -> float:
        """Points of share to the nearer end of the table."""
        (first, _), (last, _) = self.points[0], self.points[-1]
        return min(spot.share_percent - first, last - spot.share_percent) + ROUNDING

    def right_water(self, spot: Spot) -> tuple[str, Estimate] | None:
        """The hydration that the table has at a share, for the gluten of a spot; None outside it."""
        if not self._covers(spot.share_percent):
            return None
        taken = gluten_takes(spot.gluten_percent - self.gluten_percent).best
        best, band = self._read(spot.share_percent) + taken, WATER_TABLE_POINTS
        return BY_TABLE, Estimate(best - band, best, best + band, "assumption")

    def _covers(self, share_percent: float) -> bool:
        """Whether a share is inside the table, with slack for rounding."""
        (first, _), (last, _) = self.points[0], self.points[-1]
        return first - ROUNDING <= share_percent <= last + ROUNDING

    def _read(self, share_percent: float) -> float:
        """The hydration at a share inside the table, percent of flour."""
        (first, _), (last, _) = self.points[0], self.points[-1]
        share_percent = min(max(share_percent, first), last)
        place = max(bisect_left(self.points, (share_percent,)), 1)
        (left, low), (right, high) = self.points[place - 1], self.points[place]
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
