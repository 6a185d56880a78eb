"""Specific volume of the loaf: how share and water change it, and how doubts about it combine.

Uncertainties are relative and small, so they are kept on the logarithm: each cause is a ``Band`` of log
half-widths, and independent causes combine in quadrature. A cause common to two loaves (the effect of
the scald, of the water, or a bake loss of both) counts only by the difference that it makes.
"""

from collections.abc import Iterable
from itertools import pairwise
from math import exp, hypot, log
from typing import NamedTuple

from scaldloaf.dough.estimate import NORMAL_90, Estimate, weakest
from scaldloaf.dough.flour import FLOUR_PROTEIN_PERCENT, gluten_makes_up_percent
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.vectors import Vector
from scaldloaf.reference import Coefficient, coefficient

SHARE_VOLUME_LOSS = coefficient("share_volume_loss")
SHARE_VOLUME_THRESHOLD_PERCENT = coefficient("share_volume_threshold_percent").value
GLUTEN_VOLUME_PER_PERCENT = coefficient("gluten_volume_per_percent").value
GLUTEN_VOLUME_MOST = coefficient("gluten_volume_most").value
WATER_VOLUME_CURVATURE_DRY = coefficient("water_volume_curvature_dry")
WATER_VOLUME_CURVATURE_WET = coefficient("water_volume_curvature_wet")
WATER_VOLUME_VALID_FRACTION = coefficient("water_volume_valid_fraction").value

WATER_VALID_POINTS = 100 * WATER_VOLUME_VALID_FRACTION
_BAND_POINTS = (
    (SHARE_VOLUME_THRESHOLD_PERCENT, 0.0),
    *((float(share), coefficient(f"share_volume_band_{share}").value) for share in (10, 20, 30, 40)),
)
_BAND_SPANS = tuple(pairwise(_BAND_POINTS))
EFFECT_OF_SCALD, EFFECT_OF_WATER = "effect of the scald", "effect of the water"


# ---- Factors of specific volume ------------------------------------------------------------------


class Gluten(NamedTuple):
    """Vital gluten of a dough, percent of flour, and the protein of its flour, percent."""

    percent: float = 0.0
    flour_protein_percent: float = FLOUR_PROTEIN_PERCENT

    @property
    def makes_up_percent(self) -> float:
        """The scalded share, percent, whose lost gluten it makes up. Protein balance (exact)."""
        return gluten_makes_up_percent(self.percent, self.flour_protein_percent)

    def beyond_percent(self, share_percent: float) -> float:
        """Vital gluten, percent of flour, beyond what makes up the share's."""
        if not self.percent:
            return 0.0
        return self.percent * max(1 - share_percent / self.makes_up_percent, 0.0)


NO_GLUTEN = Gluten()


def lost_percent(share_percent: float, gluten: Gluten = NO_GLUTEN) -> float:
    """The part of the gluten-forming protein that is lost, percent of the flour's: scalded, not made up.

    (share) - gluten x its protein / the flour's; below 0 where more was added than was lost. That scalding
    costs gluten, and that added gluten cures it, is published (a patent, a table). Protein balance (exact).
    """
    return share_percent - gluten.makes_up_percent if gluten.percent else share_percent


def share_over_threshold(lost_percent: float) -> float:
    """How far the lost gluten lies above the threshold, as a fraction; 0 below it."""
    return max(0.0, lost_percent - SHARE_VOLUME_THRESHOLD_PERCENT) / 100


def unchecked_share_volume_factor(lost_percent: float, loss: float) -> float:
    """``share_volume_factor`` that may come to nothing or below, for callers that refuse it themselves."""
    return 1 - loss * share_over_threshold(lost_percent)


def share_volume_factor(lost_percent: float, loss: float = SHARE_VOLUME_LOSS.value) -> float:
    """Specific volume with some of the gluten lost over that with all of it, as a fraction (g).

    1 - loss x (lost - threshold), both as fractions; 1 below the threshold. Without added gluten as much is
    lost as is scalded. A loss from own trials may be negative: volume then grows with the share. Valid to a
    share of 40 %. Raises Refusal where nothing would be left of the volume. Evidence: direction published
    (NARO Hokkaido 2010), size an assumption.
    """
    factor = unchecked_share_volume_factor(lost_percent, loss)
    if factor <= 0:
        raise Refusal(
            "share_percent",
            "no_volume_left",
            "with a volume loss of {loss} per unit of share, no volume is left at {share} %",
            given=lost_percent,
            amounts={"loss": (loss, None), "share": (lost_percent, None)},
        )
    return factor


def share_volume_band(lost_percent: float) -> float:
    """How far ``share_volume_factor`` may lie below its best value, in the factor's own fraction.

    Piecewise linear from 0 at the threshold through the tabled shares; beyond them the last slope
    continues. Evidence: assumption.
    """
    if lost_percent <= SHARE_VOLUME_THRESHOLD_PERCENT:
        return 0.0
    (left, low), (right, high) = next(
        (span for span in _BAND_SPANS if lost_percent <= span[1][0]), _BAND_SPANS[-1]
    )
    return low + (high - low) * (lost_percent - left) / (right - left)


def water_curvature(off_optimum_points: float) -> Coefficient:
    """The curvature of volume by water on the side of the optimum that a distance lies on."""
    return WATER_VOLUME_CURVATURE_DRY if off_optimum_points < 0 else WATER_VOLUME_CURVATURE_WET


def log_water_factor(off_optimum_points: float, curvature: float | None = None) -> float:
    """Logarithm of ``water_volume_factor``; curvature None: the usual one of that side."""
    if curvature is None:
        curvature = water_curvature(off_optimum_points).value
    return -curvature * (off_optimum_points / 100) ** 2


def water_volume_factor(off_optimum_points: float, curvature: float | None = None) -> float:
    """Specific volume at a hydration off the optimum over that at the optimum, as a fraction (s).

    exp(-curvature x d²), d the distance from the optimum as a fraction of flour (points / 100); too little
    water costs more than too much (direction published, seen quoted). Valid within 8 points. Evidence:
    assumption for the sizes.
    """
    return exp(log_water_factor(off_optimum_points, curvature))


def log_volume_gradient(
    lost_percent: float, loss: float, off_optimum_points: float = 0.0, way_points: float = 0.0
) -> Vector:
    """Derivatives of ln(specific volume) by its four unknowns, in the order of ``vectors``.

    The optimum water is the base's and slope x way, so both move the distance from the optimum.

    Parameters
        lost_percent : float  [% of the flour's gluten]
        loss : float  [fraction of volume per unit of share]
        off_optimum_points : float  [points of hydration]
        way_points : float  [% of total flour] the share less the base's
    Returns
        Vector
    Source
        calculus, from the two factors (exact)
    """
    over = share_over_threshold(lost_percent)
    by_water = 2 * water_curvature(off_optimum_points).value * off_optimum_points / 100 / 100
    return 1.0, -over / share_volume_factor(lost_percent, loss), by_water * way_points, by_water


# ---- Definitions (exact) -------------------------------------------------------------------------


def specific_volume(loaf_volume_cm3: float, baked_mass_g: float) -> float:
    """Volume of the cooled loaf over its mass, cm³/g. Exact."""
    return loaf_volume_cm3 / baked_mass_g


def baked_mass_g(dough_mass_g: float, bake_loss_percent: float) -> float:
    """Mass that a dough has after the oven, g; the loss is a percentage of the dough. Exact."""
    return dough_mass_g * (1 - bake_loss_percent / 100)


def dough_mass_g(loaf_volume_cm3: float, specific_volume_cm3_per_g: float, bake_loss_percent: float) -> float:
    """Dough for a loaf of a volume, g: volume / (specific volume x (1 - bake loss)). Exact."""
    return loaf_volume_cm3 / (specific_volume_cm3_per_g * (1 - bake_loss_percent / 100))


def pan_ratio(pan_volume_cm3: float, dough_mass_g: float) -> float:
    """Pan volume over dough mass, cm³/g; for a lidded pan just full, loaf volume per dough. Exact."""
    return pan_volume_cm3 / dough_mass_g


# ---- Uncertainty ---------------------------------------------------------------------------------


class Band(NamedTuple):
    """One cause of doubt: half-widths of a 90 % interval on the natural logarithm, down and up."""

    cause: str
    down: float
    up: float
    evidence: str

    def inverse(self) -> "Band":
        """The same doubt about a quantity that falls when this one rises."""
        return Band(self.cause, self.up, self.down, self.evidence)


def within(best: float, bands: Iterable[Band]) -> Estimate:
    """An estimate from independent bands in quadrature, with the evidence of the weakest of them."""
    bands = tuple(bands)
    return Estimate(
        best * exp(-hypot(*(band.down for band in bands))),
        best,
        best * exp(hypot(*(band.up for band in bands))),
        weakest("exact", *(band.evidence for band in bands)),
    )


def scatter_band(cause: str, relative_sd: Coefficient) -> Band:
    """The band of a normal scatter, from its relative standard deviation."""
    half = NORMAL_90 * relative_sd.value
    return Band(cause, half, half, relative_sd.evidence)


def band_between(cause: str, low: float, best: float, high: float, evidence: str) -> Band:
    """The band of a quantity known by its ends.

    Parameters
        cause : str  in words
        low, best, high : float  [one unit], 0 < low <= best <= high
        evidence : str  a label of EVIDENCE
    Returns
        Band
    """
    return Band(cause, log(best / low), log(high / best), evidence)


def widened(band: Band, factor: float) -> Band:
    """A band with its half-widths times a factor."""
    return Band(band.cause, factor * band.down, factor * band.up, band.evidence)


class Lost(NamedTuple):
    """The gluten lost at a share, percent of the flour's, and vital gluten beyond it, percent of flour."""

    percent: float
    beyond_percent: float = 0.0

    @classmethod
    def at(cls, share_percent: float, gluten: Gluten) -> "Lost":
        """What is lost at a share, percent of flour, with that gluten."""
        return cls(lost_percent(share_percent, gluten), gluten.beyond_percent(share_percent))


def share_band(lost: Lost, from_lost: Lost) -> Band | None:
    """Doubt about the effect of the scald when a loaf with one loss of gluten moves to another.

    Both ends depend on one unknown. At best nothing is lost, or gluten beyond what was lost even helps; at
    worst the whole band is. None where it makes no difference.
    """
    best = share_volume_factor(lost.percent) / share_volume_factor(from_lost.percent)
    worst = _worst_share_factor(lost.percent) / _worst_share_factor(from_lost.percent)
    kindest = _kindest_share_factor(lost) / _kindest_share_factor(from_lost)
    low, high = min(best, worst, kindest), max(best, worst, kindest)
    if low == high:
        return None
    return band_between(EFFECT_OF_SCALD, low, best, high, SHARE_VOLUME_LOSS.evidence)


def _worst_share_factor(lost_percent: float) -> float:
    return share_volume_factor(lost_percent) - share_volume_band(lost_percent)


def _kindest_share_factor(lost: Lost) -> float:
    return min(1 + GLUTEN_VOLUME_PER_PERCENT * lost.beyond_percent, GLUTEN_VOLUME_MOST)


def water_band(off_optimum_points: float, from_points: float = 0.0) -> Band | None:
    """Doubt about the effect of water when moving from one distance off the optimum to another.

    From the range of the curvature, whose ends are common to both. None where the distances are equal.
    """
    if off_optimum_points == from_points:
        return None
    here, there = water_curvature(off_optimum_points), water_curvature(from_points)

    def ratio(curvature: float, from_curvature: float) -> float:
        factor = water_volume_factor(off_optimum_points, curvature)
        return factor / water_volume_factor(from_points, from_curvature)

    best = ratio(here.value, there.value)
    ends = (ratio(here.low, there.low), best, ratio(here.high, there.high))
    return band_between(EFFECT_OF_WATER, min(ends), best, max(ends), here.evidence)
