"""Fitting trials: the calibration they make, and each trial as the fit sees it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, hypot, sqrt
from typing import NamedTuple

from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.estimate import NORMAL_90, Estimate
from scaldloaf.dough.limits import BAKE_LOSS_LIDDED_PERCENT, BAKE_LOSS_OPEN_PERCENT, COOLING_LOSS_PERCENT
from scaldloaf.dough.trials.bakes import Trial, WaterBase, lowest_base, water_varies
from scaldloaf.dough.trials.checks import (
    check_contradictions,
    check_level,
    check_masses,
    check_trial,
    check_water,
)
from scaldloaf.dough.trials.model import Model
from scaldloaf.dough.trials.posterior import TrialPosterior, posterior_of
from scaldloaf.dough.vectors import LEVEL, LOSS, SLOPE
from scaldloaf.dough.volume import baked_mass_g, specific_volume
from scaldloaf.dough.water_rule import SCALD_WATER_SLOPE_RATIO, OwnSlope, water_slope_at
from scaldloaf.reference import coefficient

BAKE_LOSS_PRIOR_SD_POINTS = coefficient("bake_loss_prior_sd_points").value
BAKE_LOSS_TRIAL_SD_POINTS = coefficient("bake_loss_trial_sd_points").value
SOUND_BAKE_FLAG = coefficient("sound_bake_flag").value


@dataclass(frozen=True, slots=True)
class FittedTrial:
    """One trial as the fit sees it.

    predicted_volume_cm3: what the fit expects of that dough. off_percent: measured over predicted, less 1.
    soundness: how likely the bake is one like the others (its weight in the fit). off_optimum_points: of
    its water, None when not stated. specific_volume: cm³/g, by the loaf's own mass, or else by the bake loss
    of the fit.
    """

    predicted_volume_cm3: float
    off_percent: float
    soundness: float
    off_optimum_points: float | None
    specific_volume: float

    @property
    def flagged(self) -> bool:
        """Whether something probably went wrong with the bake."""
        return self.soundness < SOUND_BAKE_FLAG


class FittedLosses(NamedTuple):
    """The losses of the next bake, percent of the dough.

    usual_percent: the bake loss that the mean of the trials is shrunk to. cooling_percent: points of the
    dough; 0 where bake_percent is that of the cooled loaf.
    """

    bake_percent: float
    bake_sd_percent: float
    cooling_percent: float
    usual_percent: float


@dataclass(frozen=True, slots=True)
class TrialFit:
    """What trials teach.

    base: where the water is right (None: no trial states its water). water_varies: two trials differ in
    water at one share away from the base's. slope_prior: the water slope expected before the fit.
    """

    calibration: Calibration
    readings: tuple[FittedTrial, ...]
    base: WaterBase | None
    water_varies: bool
    slope_prior: Estimate
    losses: FittedLosses

    def _estimate(self, place: int, best: float) -> Estimate:
        half = NORMAL_90 * sqrt(self.calibration.covariance[place][place])
        return Estimate(best - half, best, best + half, "assumption")

    @property
    def reference_specific_volume(self) -> Estimate:
        """Without scald, at the optimum water, cm³/g."""
        return self._estimate(LEVEL, self.calibration.log_specific_volume).map(exp)

    @property
    def share_volume_loss(self) -> Estimate:
        """Fraction of volume lost per unit of share."""
        return self._estimate(LOSS, self.calibration.share_volume_loss)

    @property
    def water_slope(self) -> Estimate:
        """Points of optimum water per point of share."""
        return OwnSlope.of(self.calibration).slope

    def optimum_hydration(self, share_percent: float) -> Estimate | None:
        """The right hydration at a share, percent of flour: the base's plus the slope times the way to it."""
        return None if self.base is None else self._optimum(self.base, share_percent)

    def _optimum(self, base: WaterBase, share_percent: float) -> Estimate:
        way = share_percent - base.share_percent
        return self.water_slope.map(lambda slope: base.hydration_percent + slope * way)

    def off_optimum_points(self, share_percent: float, hydration_percent: float | None) -> float:
        """A hydration less the optimum at its share; 0 when either is not known."""
        if hydration_percent is None or self.base is None:
            return 0.0
        return hydration_percent - self._optimum(self.base, share_percent).best


def fit_trials(
    trials: Sequence[Trial],
    base: WaterBase | None = None,
    liquid_ratio: float = SCALD_WATER_SLOPE_RATIO,
    open_top: bool = False,
) -> TrialFit:
    """The posterior of a baker's reference volume, volume loss with share, water slope and bake loss.

    Parameters
        trials : Sequence[Trial]  one or more
        base : WaterBase or None  where the water is right; None: see ``lowest_base``
        liquid_ratio : float  [g of liquid per g of scald flour] sets the prior of the water slope
        open_top : bool  sets the prior of the bake loss: an open or a lidded pan
    Returns
        TrialFit
    Raises
        Refusal: at a field of ``trials.N``, for a bake that no pan loaf is, and for two that contradict
        each other with no other to show which is wrong; at ``trials``, for bakes that together mean no pan
        loaf.
    Source
        Bayes' theorem, with the priors named in the coefficients (assumption)
    """
    for index, trial in enumerate(trials):
        check_masses(trial, f"trials.{index}")
    losses = _fit_losses(trials, open_top)
    bake_loss, cooling = losses.bake_percent, losses.cooling_percent
    for index, trial in enumerate(trials):
        check_trial(trial, f"trials.{index}", bake_loss, cooling)
    base = base or lowest_base(trials)
    slope = water_slope_at(liquid_ratio)
    for index, trial in enumerate(trials):
        check_water(trial, f"trials.{index}", base, slope.best)
    model = Model.of(trials, base, slope, bake_loss)
    posterior = posterior_of(model)
    level, loss, water_slope = posterior.mean
    check_level(level)
    calibration = Calibration(
        log_specific_volume=level,
        share_volume_loss=loss,
        water_slope=water_slope,
        covariance=posterior.covariance,
        bake_loss_percent=bake_loss,
        bake_loss_sd_percent=losses.bake_sd_percent,
        spread_percent=100 * posterior.spread,
        trials=len(trials),
        base_share_percent=base.share_percent if base else 0.0,
        cooling_loss_percent=cooling,
    )
    readings = _readings(trials, model, posterior, losses)
    check_contradictions(trials, [reading.flagged for reading in readings])
    return TrialFit(calibration, readings, base, water_varies(trials, base), slope, losses)


def _fit_losses(trials: Sequence[Trial], open_top: bool) -> FittedLosses:
    """The bake loss and the cooling loss that the trials teach.

    The bake loss is the mean of the trials that weighed the loaf, shrunk to the usual loss (normal prior and
    scatter). It is that at the oven's mouth as soon as one trial says what its loaf lost after that, or was
    weighed there; a loaf weighed cooled is converted by the mean cooling loss of the others. Where every loaf
    was only weighed cooled, nothing shows the two losses apart: the bake loss includes the cooling, and so
    does the usual one that it is shrunk to.
    """
    usual = (BAKE_LOSS_OPEN_PERCENT if open_top else BAKE_LOSS_LIDDED_PERCENT).value
    measured = [each for trial in trials if (each := trial.own_cooling_percent) is not None]
    cooling = sum(measured) / len(measured) if measured else COOLING_LOSS_PERCENT.value
    if (
        not measured
        and any(trial.weighed for trial in trials)
        and all(not trial.oven_mass_g for trial in trials)
    ):
        usual, cooling = usual + cooling, 0.0
    seen = [each for trial in trials if (each := trial.own_loss_percent(cooling)) is not None]
    prior_precision, precision = BAKE_LOSS_PRIOR_SD_POINTS**-2, BAKE_LOSS_TRIAL_SD_POINTS**-2
    total = prior_precision + len(seen) * precision
    mean = (prior_precision * usual + precision * sum(seen)) / total
    return FittedLosses(mean, hypot(total**-0.5, BAKE_LOSS_TRIAL_SD_POINTS), cooling, usual)


def _readings(
    trials: Sequence[Trial], model: Model, posterior: TrialPosterior, losses: FittedLosses
) -> tuple[FittedTrial, ...]:
    """Each trial as the fit sees it.

    Parameters
        trials : Sequence[Trial]
        model : Model  of those trials
        posterior : TrialPosterior  of that model
        losses : FittedLosses
    Returns
        tuple[FittedTrial, ...]
    """
    readings = []
    for trial, off, mean, soundness in zip(
        trials,
        model.off_optimum_points(posterior.mean[SLOPE]),
        model.means(posterior.mean),
        posterior.soundness,
        strict=True,
    ):
        baked = baked_mass_g(trial.dough_mass_g, losses.bake_percent)
        own = trial.own_loss_percent(losses.cooling_percent)
        own_g = baked if own is None else baked_mass_g(trial.dough_mass_g, own)
        predicted = exp(mean) * baked
        readings.append(
            FittedTrial(
                predicted_volume_cm3=predicted,
                off_percent=100 * (trial.loaf_volume_cm3 / predicted - 1),
                soundness=soundness,
                off_optimum_points=off,
                specific_volume=specific_volume(trial.loaf_volume_cm3, own_g),
            )
        )
    return tuple(readings)
