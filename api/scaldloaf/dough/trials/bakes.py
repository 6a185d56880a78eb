"""Measured bakes, and the bake whose water counts as right."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from scaldloaf.dough.flour import FLOUR_REFERENCE_MOISTURE_PERCENT, gluten_takes
from scaldloaf.dough.target_bread import VOLUME_MEASUREMENT_RELATIVE_SD
from scaldloaf.dough.volume import Gluten, lost_percent
from scaldloaf.dough.water_judged import hydration_by_absorption
from scaldloaf.dough.water_rule import SCALD_WATER_SLOPE_RATIO, Spot
from scaldloaf.reference import coefficient

USUAL_ABSORPTION_PERCENT = coefficient("usual_absorption_percent")
USUAL_ABSORPTION_SD_POINTS = coefficient("usual_absorption_sd_points").value
KNOWN_ABSORPTION_SD_POINTS = coefficient("known_absorption_sd_points").value

SAME_POINTS = 0.5  # shares or hydrations (points) closer than this count as equal


@dataclass(frozen=True, slots=True)
class Trial:
    """One measured bake.

    share_percent: scalded share of total flour. dough_mass_g: put in the oven. loaf_volume_cm3,
    baked_mass_g: of the cooled loaf. oven_mass_g: of the loaf at the oven's mouth. cooling_loss_percent: lost
    between the two, points of the dough; None: not given. volume_relative_sd: how well its volume was
    measured, as a fraction. hydration_percent: all of it; None: its water counts as right. proof_minutes: of
    the final proof. gluten_percent: vital gluten, percent of flour.
    """

    share_percent: float
    dough_mass_g: float
    loaf_volume_cm3: float
    volume_relative_sd: float = VOLUME_MEASUREMENT_RELATIVE_SD.value
    hydration_percent: float | None = None
    baked_mass_g: float | None = None
    proof_minutes: float | None = None
    gluten_percent: float = 0.0
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
    def lost_percent(self) -> float:
        """The part of the flour's gluten that is lost: scalded, and not made up by vital gluten."""
        return lost_percent(self.share_percent, Gluten(self.gluten_percent))

    @property
    def flour_hydration_percent(self) -> float | None:
        """Its hydration less what its vital gluten takes, to compare it with bakes of other gluten."""
        if self.hydration_percent is None:
            return None
        return self.hydration_percent - gluten_takes(self.gluten_percent).best

    @property
    def volume_per_dough_cm3_per_g(self) -> float:
        """Volume of the loaf per gram of dough: what a trial really measures."""
        return self.loaf_volume_cm3 / self.dough_mass_g


@dataclass(frozen=True, slots=True)
class WaterBase:
    """A share and the hydration that is right for it, both in percent of total flour.

    sd_points: how well that is known, points; 0: it is right. Without vital gluten.
    """

    share_percent: float
    hydration_percent: float
    sd_points: float = 0.0


def lowest_trial(trials: Sequence[Trial]) -> WaterBase | None:
    """The trial of lowest share that states its hydration, the tallest of several; None: there is none.

    Its water without what its vital gluten takes.
    """
    stated = [
        (trial.share_percent, -trial.volume_per_dough_cm3_per_g, water)
        for trial in trials
        if (water := trial.flour_hydration_percent) is not None
    ]
    if not stated:
        return None
    share, _, hydration = min(stated)
    return WaterBase(share, hydration)


def usual_base(
    trials: Sequence[Trial],
    liquid_ratio: float = SCALD_WATER_SLOPE_RATIO,
    absorption_percent: float | None = None,
) -> WaterBase | None:
    """What water is expected to be right at the lowest share of the trials that state theirs.

    The flour's absorption, or else the usual one, and what the scald binds. None: no trial states its water.

    Parameters
        trials : Sequence[Trial]
        liquid_ratio : float  [g of liquid per g of scald flour]
        absorption_percent : float or None  [% of flour at 14 % moisture]
    Returns
        WaterBase or None
    Source
        common practice for the slope, assumption for the doubt
    """
    stated = [trial.share_percent for trial in trials if trial.hydration_percent is not None]
    if not stated:
        return None
    share = min(stated)
    sd = USUAL_ABSORPTION_SD_POINTS if absorption_percent is None else KNOWN_ABSORPTION_SD_POINTS
    absorption = USUAL_ABSORPTION_PERCENT.value if absorption_percent is None else absorption_percent
    spot = Spot(share, liquid_ratio)
    suits = hydration_by_absorption(spot, absorption, FLOUR_REFERENCE_MOISTURE_PERCENT)
    return WaterBase(share, suits.best, sd)


def water_varies(trials: Sequence[Trial], base: WaterBase | None) -> bool:
    """Whether two trials of one share, away from the base's, differ in water: only then the slope shows."""
    if base is None:
        return False
    wet = [
        (trial.share_percent, water)
        for trial in trials
        if (water := trial.flour_hydration_percent) is not None
        and abs(trial.share_percent - base.share_percent) > SAME_POINTS
    ]
    return any(
        abs(share - other_share) <= SAME_POINTS and abs(water - other_water) > SAME_POINTS
        for (share, water), (other_share, other_water) in combinations(wet, 2)
    )


def same_bread(one: Trial, other: Trial) -> bool:
    """Whether two bakes are of one share and, as far as both state it, one water."""
    if abs(one.share_percent - other.share_percent) > SAME_POINTS:
        return False
    water, others = one.flour_hydration_percent, other.flour_hydration_percent
    return water is None or others is None or abs(water - others) <= SAME_POINTS
