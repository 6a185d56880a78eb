"""What a loaf plan is least sure of: each estimate as a doubt about the loaf, the largest first.

Estimates of unlike things compare by their effect on the loaf: how far the property that each decides may
end up from the plan, in percent.
"""

from collections.abc import Iterable
from math import inf
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.volume import WATER_VALID_POINTS, water_volume_factor
from scaldloaf.dough.yeast import temperature_factor

LOAF_VOLUME, LOAF_MASS, RISE, SWEETNESS, SCALD = "loaf_volume", "loaf_mass", "rise", "sweetness", "scald"


class Doubt(NamedTuple):
    """An estimate, the property of the loaf it decides, and the ends of that property.

    least_percent, most_percent: the property at its ends over the planned one, less 1, in percent; None
    where there is no figure.
    """

    estimate: Estimate
    decides: str
    least_percent: float | None = None
    most_percent: float | None = None

    @property
    def width_percent(self) -> float | None:
        """From the property's least to its most, percent of the planned one."""
        if self.least_percent is None or self.most_percent is None:
            return None
        return self.most_percent - self.least_percent


def relative_width_percent(estimate: Estimate) -> float | None:
    """The band of an estimate, high less low, in percent of its best value; None for a best value of 0.

    For quantities on a ratio scale: a temperature in °C has no relative width. Exact.
    """
    return 100 * (estimate.high - estimate.low) / abs(estimate.best) if estimate.best else None


def doubt_of_dough(dough_mass_g: Estimate) -> Doubt:
    """The loaf's volume, when the best value is weighed and the pan needed another dough mass.

    Volume is proportional to dough, so the loaf has best / needed of the target volume. Exact, given the
    estimate.
    """
    best = dough_mass_g.best
    return Doubt(
        dough_mass_g, LOAF_VOLUME, 100 * (best / dough_mass_g.high - 1), 100 * (best / dough_mass_g.low - 1)
    )


def doubt_of_water(optimum_percent: Estimate, hydration_percent: float) -> Doubt:
    """The loaf's volume, when the optimum water is not at its best value.

    water_volume_factor at the hydration used, over the band of the optimum, against the factor planned
    with. No figure where the band reaches beyond the factor's valid range. Evidence: assumption.
    """
    ends = optimum_percent.low, optimum_percent.high
    if max(abs(hydration_percent - end) for end in ends) > WATER_VALID_POINTS:
        return Doubt(optimum_percent, LOAF_VOLUME)
    planned = water_volume_factor(hydration_percent - optimum_percent.best)
    factors = [water_volume_factor(hydration_percent - end) for end in ends]
    if optimum_percent.low <= hydration_percent <= optimum_percent.high:
        factors.append(1.0)
    return Doubt(
        optimum_percent,
        LOAF_VOLUME,
        100 * (min(*factors, planned) / planned - 1),
        100 * (max(*factors, planned) / planned - 1),
    )


def doubt_of_bake_loss(bake_loss_percent: Estimate) -> Doubt:
    """The loaf's mass from the same dough, by its bake loss. Exact, given the estimate."""
    kept = 100 - bake_loss_percent.best
    return Doubt(
        bake_loss_percent,
        LOAF_MASS,
        100 * (bake_loss_percent.best - bake_loss_percent.high) / kept,
        100 * (bake_loss_percent.best - bake_loss_percent.low) / kept,
    )


def doubt_of_amount(estimate: Estimate, decides: str) -> Doubt:
    """A property that is the estimate itself, such as sweetness, or gas for the rise. Exact.

    No figure where the plan has 0 of it.
    """
    if not estimate.best:
        return Doubt(estimate, decides)
    return Doubt(
        estimate, decides, 100 * (estimate.low / estimate.best - 1), 100 * (estimate.high / estimate.best - 1)
    )


def doubt_of_water_temperature(water_c: Estimate, heat_share: float, dough_c: float) -> Doubt:
    """The pace of the yeast, when the water at its best value leaves the dough warmer or cooler.

    An error of one degree in the water is heat_share of a degree in the dough, and the yeast's rate follows
    ``temperature_factor``. No figure where the planned dough is too hot for yeast.

    Parameters
        water_c : Estimate  [°C]
        heat_share : float  the water's part of the dough's heat capacity, 0 to 1
        dough_c : float  [°C] the dough planned
    Returns
        Doubt  (growth rates at second hand, assumption for the band)
    """
    planned = temperature_factor(dough_c)
    if not planned:
        return Doubt(water_c, RISE)
    rates = [
        temperature_factor(max(0.0, dough_c + heat_share * (water_c.best - end)))
        for end in (water_c.high, water_c.best, water_c.low)
    ]
    return Doubt(water_c, RISE, 100 * (min(rates) / planned - 1), 100 * (max(rates) / planned - 1))


def least_certain(doubts: Iterable[tuple[str, Doubt]]) -> list[tuple[str, Doubt]]:
    """(name, doubt) pairs, those without a figure first, then the widest; without those of no width."""

    def width(pair: tuple[str, Doubt]) -> float:
        return inf if pair[1].width_percent is None else pair[1].width_percent

    return sorted((pair for pair in doubts if width(pair) > 0), key=width, reverse=True)
