"""Measured bakes, and the bake whose water counts as right."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from scaldloaf.dough.bread import VOLUME_MEASUREMENT_RELATIVE_SD

SAME_POINTS = 0.5  # shares or hydrations (points) closer than this count as equal


@dataclass(frozen=True, slots=True)
class Trial:
    """One measured bake.

    share_percent: scalded share of total flour. dough_mass_g: put in the oven. loaf_volume_cm3,
    baked_mass_g: of the cooled loaf. oven_mass_g: of the loaf at the oven's mouth. cooling_loss_percent: lost
    between the two, points of the dough; None: not given. volume_relative_sd: how well its volume was
    measured, as a fraction. hydration_percent: None: its water counts as right. proof_minutes: of the final
    proof.
    """

    share_percent: float
    dough_mass_g: float
    loaf_volume_cm3: float
    volume_relative_sd: float = VOLUME_MEASUREMENT_RELATIVE_SD.value
    hydration_percent: float | None = None
    baked_mass_g: float | None = None
    proof_minutes: float | None = None
    oven_mass_g: float | None = None
    cooling_loss_percent: float | None = None

    @property
    def weighed(self) -> bool:
        """Whether the loaf was weighed, at the oven's mouth or cooled."""
        return self.oven_mass_g is not None or self.baked_mass_g is not None

    @property
    def own_cooling_percent(self) -> float | None:
        """Its own cooling loss, points of the dough: given, or from both weighings; None: not known."""
        if self.cooling_loss_percent is not None or self.oven_mass_g is None or self.baked_mass_g is None:
            return self.cooling_loss_percent
        return 100 * (self.oven_mass_g - self.baked_mass_g) / self.dough_mass_g

    def own_loss_percent(self, cooling_percent: float) -> float | None:
        """Its own bake loss, percent of the dough; None: the loaf was not weighed.

        cooling_percent: the cooling loss of a loaf that was weighed only when it had cooled and does not say
        its own. 0: the bake loss is then that of the cooled loaf.
        """
        if self.oven_mass_g is not None:
            return 100 * (1 - self.oven_mass_g / self.dough_mass_g)
        if self.baked_mass_g is None:
            return None
        own = self.own_cooling_percent
        return 100 * (1 - self.baked_mass_g / self.dough_mass_g) - (cooling_percent if own is None else own)

    @property
    def volume_per_dough_cm3_per_g(self) -> float:
        """Volume of the loaf per gram of dough: what a trial really measures."""
        return self.loaf_volume_cm3 / self.dough_mass_g


@dataclass(frozen=True, slots=True)
class WaterBase:
    """A share and the hydration that is right for it, both in percent of total flour."""

    share_percent: float
    hydration_percent: float


def lowest_base(trials: Sequence[Trial]) -> WaterBase | None:
    """The trial of lowest share that states its hydration, the tallest of several; None: there is none."""
    stated = [
        (trial.share_percent, -trial.volume_per_dough_cm3_per_g, trial.hydration_percent)
        for trial in trials
        if trial.hydration_percent is not None
    ]
    if not stated:
        return None
    share, _, hydration = min(stated)
    return WaterBase(share, hydration)


def water_varies(trials: Sequence[Trial], base: WaterBase | None) -> bool:
    """Whether two trials of one share, away from the base's, differ in water: only then the slope shows."""
    if base is None:
        return False
    wet = [
        (trial.share_percent, trial.hydration_percent)
        for trial in trials
        if trial.hydration_percent is not None and abs(trial.share_percent - base.share_percent) > SAME_POINTS
    ]
    return any(
        abs(share - other_share) <= SAME_POINTS and abs(water - other_water) > SAME_POINTS
        for (share, water), (other_share, other_water) in combinations(wet, 2)
    )


def same_bread(one: Trial, other: Trial) -> bool:
    """Whether two bakes are of one share and, as far as both state it, one water."""
    if abs(one.share_percent - other.share_percent) > SAME_POINTS:
        return False
    if one.hydration_percent is None or other.hydration_percent is None:
        return True
    return abs(one.hydration_percent - other.hydration_percent) <= SAME_POINTS
