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
from scaldloaf.dough.refusal import Refusal
from scaldloaf.reference import Coefficient, coefficient

SHARE_VOLUME_LOSS = coefficient("share_volume_loss")
SHARE_VOLUME_THRESHOLD_PERCENT = coefficient("share_volume_threshold_percent").value
WATER_VOLUME_CURVATURE = coefficient("water_volume_curvature")
WATER_VOLUME_VALID_FRACTION = coefficient("water_volume_valid_fraction").value

WATER_VALID_POINTS = 100 * WATER_VOLUME_VALID_FRACTION
_BAND_POINTS = (
    (SHARE_VOLUME_THRESHOLD_PERCENT, 0.0),
    *((float(share), coefficient(f"share_volume_band_{share}").value) for share in (10, 20, 30, 40)),
)
_BAND_SPANS = tuple(pairwise(_BAND_POINTS))
EFFECT_OF_SCALD, EFFECT_OF_WATER = "effect of the scald", "effect of the water"


# ---- Factors of specific volume ------------------------------------------------------------------


def share_over_threshold(share_percent: float) -> float:
    """How far a scalded share lies above the threshold, as a fraction; 0 below it."""
    return max(0.0, share_percent - SHARE_VOLUME_THRESHOLD_PERCENT) / 100


def unchecked_share_volume_factor(share_percent: float, loss: float) -> float:
    """``share_volume_factor`` that may come to nothing or below, for callers that refuse it themselves."""
    return 1 - loss * share_over_threshold(share_percent)


def share_volume_factor(share_percent: float, loss: float = SHARE_VOLUME_LOSS.value) -> float:
    """Specific volume at a scalded share over that without scald, as a fraction (g).

    1 - loss x (share - threshold), both as fractions; 1 below the threshold. A loss from own trials
    may be negative: volume then grows with the share. Valid to a share of 40 %. Raises Refusal where
    nothing would be left of the volume. Evidence: direction published (NARO Hokkaido 2010), size an
    assumption.
    """
    factor = unchecked_share_volume_factor(share_percent, loss)
    if factor <= 0:
        raise Refusal(
            "share_percent",
            "no_volume_left",
            "with a volume loss of {loss} per unit of share, no volume is left at {share} %",
            given=share_percent,
            amounts={"loss": (loss, None), "share": (share_percent, None)},
        )
    return factor


def share_volume_band(share_percent: float) -> float:
    """Half-width of the band around ``share_volume_factor``, in the factor's own fraction.

    Piecewise linear from 0 at the threshold through the tabled shares; beyond them the last slope
    continues. Evidence: assumption.
    """
    if share_percent <= SHARE_VOLUME_THRESHOLD_PERCENT:
        return 0.0
    (left, low), (right, high) = next(
        (span for span in _BAND_SPANS if share_percent <= span[1][0]), _BAND_SPANS[-1]
    )
    return low + (high - low) * (share_percent - left) / (right - left)


def water_volume_factor(off_optimum_points: float, curvature: float = WATER_VOLUME_CURVATURE.value) -> float:
    """Specific volume at a hydration off the optimum over that at the optimum, as a fraction (s).

    1 - curvature x d², d the distance from the optimum as a fraction of flour (points / 100). Valid
    within 8 points. Evidence: assumption.
    """
    return 1 - curvature * (off_optimum_points / 100) ** 2


def log_volume_gradient(
    share_percent: float, loss: float, off_optimum_points: float = 0.0, base_share_percent: float = 0.0
) -> tuple[float, float, float]:
    """Derivatives of ln(specific volume) by ln(reference volume), by the loss and by the water slope.

    The optimum water is known at the base share. The slope moves the optimum at another share by
    slope x (share - base share), and with it the distance from the optimum.

    Parameters
        share_percent : float  [% of total flour]
        loss : float  [fraction of volume per unit of share]
        off_optimum_points : float  [points of hydration]
        base_share_percent : float  [% of total flour]
    Returns
        (1, by the loss, by the slope) : tuple of float
    Source
        calculus, from the two factors (exact)
    """
    over, way = share_over_threshold(share_percent), (share_percent - base_share_percent) / 100
    return (
        1.0,
        -over / share_volume_factor(share_percent, loss),
        2
        * WATER_VOLUME_CURVATURE.value
        * off_optimum_points
        / 100
        * way
        / water_volume_factor(off_optimum_points),
    )


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


def share_band(share_percent: float, from_share_percent: float | None = None) -> Band | None:
    """Doubt about the effect of the scald when a loaf known at one share moves to another.

    Both ends depend on the same unknown loss, so their relative half-widths subtract. Without a loaf to
    start from (the prior) the whole band counts. None where the share makes no difference.
    """
    half = _relative_share_band(share_percent)
    if from_share_percent is not None:
        half = abs(half - _relative_share_band(from_share_percent))
    return Band(EFFECT_OF_SCALD, half, half, SHARE_VOLUME_LOSS.evidence) if half else None


def _relative_share_band(share_percent: float) -> float:
    return share_volume_band(share_percent) / share_volume_factor(share_percent)


def water_band(off_optimum_points: float, from_points: float = 0.0) -> Band | None:
    """Doubt about the effect of water when moving from one distance off the optimum to another.

    From the range of the curvature, which is common to both ends. None where the distances are equal.
    """
    if abs(off_optimum_points) == abs(from_points):
        return None

    row = WATER_VOLUME_CURVATURE

    def ratio(curvature: float) -> float:
        here = water_volume_factor(off_optimum_points, curvature)
        return here / water_volume_factor(from_points, curvature)

    low, high = sorted((ratio(row.low), ratio(row.high)))
    return band_between(EFFECT_OF_WATER, low, ratio(row.value), high, row.evidence)
