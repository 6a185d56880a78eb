"""Fitting trials: the calibration they make, and each trial as the fit sees it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, hypot, sqrt
from typing import NamedTuple

from scaldloaf.dough.bake_loss import Lidded, usual_bake_loss_percent
from scaldloaf.dough.bread import LIGHT
from scaldloaf.dough.calibration import Calibration, right_hydration
from scaldloaf.dough.estimate import NORMAL_90, Estimate
from scaldloaf.dough.flour import gluten_takes
from scaldloaf.dough.limits import COOLING_LOSS_PERCENT
from scaldloaf.dough.trials.bakes import Trial, WaterBase, lowest_trial, usual_base, water_varies
from scaldloaf.dough.trials.checks import (
    check_contradictions,
    check_level,
    check_masses,
    check_trial,
    check_water,
)
from scaldloaf.dough.trials.model import Model, curvature_doubt
from scaldloaf.dough.trials.posterior import TrialPosterior, posterior_of
from scaldloaf.dough.vectors import LEVEL, LOSS, WATER, Matrix
from scaldloaf.dough.volume import WATER_VALID_POINTS, baked_mass_g, specific_volume
from scaldloaf.dough.water_rule import SCALD_WATER_SLOPE_RATIO, OwnSlope, water_slope_at
from scaldloaf.reference import coefficient

BAKE_LOSS_PRIOR_SD_POINTS = coefficient("bake_loss_prior_sd_points").value
BAKE_LOSS_TRIAL_SD_POINTS = coefficient("bake_loss_trial_sd_points").value
SOUND_BAKE_FLAG = coefficient("sound_bake_flag").value
LIDDED = Lidded(True)
MOST_UNEXPLAINED_PERCENT = 3.0  # of volume: twice the usual scatter from bake to bake


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

    base: where the water is right, by the fit (None: no trial states its water). expected_base: what was
    expected there before it. own: the water that the baker uses at the lowest share that states it (None:
    the right one was given). water_left_out: the trials state their water, but it does not count, as their
    loaves show that it suits the bread better than was expected. water_varies: two trials differ in water at
    one share away from the base's.
    slope_prior: the water slope expected before the fit; crumb: whose prior the volume had.
    """

    calibration: Calibration
    readings: tuple[FittedTrial, ...]
    base: WaterBase | None
    expected_base: WaterBase | None
    own: WaterBase | None
    water_left_out: bool
    water_varies: bool
    slope_prior: Estimate
    crumb: str
    losses: FittedLosses

    def _estimate(self, place: int, best: float) -> Estimate:
        half = NORMAL_90 * sqrt(self.calibration.covariance[place][place])
        return Estimate(best - half, best, best + half, "assumption")

    @property
    def reference_specific_volume(self) -> Estimate:
        """Without scald, at the optimum water, cm³/g."""
        calibration = self.calibration
        best, variance = calibration.log_specific_volume, calibration.covariance[LEVEL][LEVEL]
        half = NORMAL_90 * hypot(sqrt(variance), curvature_doubt(calibration.own_off_points))
        return Estimate(best - half, best, best + half, "assumption").map(exp)

    @property
    def share_volume_loss(self) -> Estimate:
        """Fraction of volume lost per unit of share."""
        return self._estimate(LOSS, self.calibration.share_volume_loss)

    @property
    def water_slope(self) -> Estimate:
        """Points of optimum water per point of share."""
        return OwnSlope.of(self.calibration).slope

    def optimum_hydration(self, share_percent: float) -> Estimate | None:
        """The right hydration at a share, percent of flour: the base's plus the slope times the way to it.

        Without vital gluten.
        """
        return right_hydration(self.calibration, share_percent, 1.0)

    def own_water(self, share_percent: float) -> float | None:
        """The baker's own water moved to a share along the slope, percent of flour."""
        if self.own is None:
            return None
        way = share_percent - self.own.share_percent
        return self.own.hydration_percent + self.calibration.water_slope * way

    def off_optimum_points(
        self, share_percent: float, hydration_percent: float | None, gluten_percent: float = 0.0
    ) -> float:
        """A hydration less the optimum at its share and its vital gluten; 0 when either is not known.

        All in percent of flour.
        """
        optimum = self.optimum_hydration(share_percent)
        if hydration_percent is None or optimum is None:
            return 0.0
        return hydration_percent - gluten_takes(gluten_percent).best - optimum.best


def fit_trials(
    trials: Sequence[Trial],
    base: WaterBase | None = None,
    liquid_ratio: float = SCALD_WATER_SLOPE_RATIO,
    pan: Lidded = LIDDED,
    crumb: str = LIGHT,
    absorption_percent: float | None = None,
) -> TrialFit:
    """The posterior of a baker's reference volume, volume loss with share, right water and bake loss.

    Parameters
        trials : Sequence[Trial]  one or more
        base : WaterBase or None  where the water is right; None: it is an unknown, see ``usual_base``
        liquid_ratio : float  [g of liquid per g of scald flour] sets the prior of the water slope
        pan : Lidded  sets the prior of the bake loss
        crumb : str  LIGHT or CLOSE, sets the prior of the reference volume
        absorption_percent : float or None  [% of flour at 14 % moisture] sets the prior of the right water
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
    usual = usual_bake_loss_percent(pan)
    losses = _fit_losses(trials, usual)
    bake_loss, cooling = losses.bake_percent, losses.cooling_percent
    for index, trial in enumerate(trials):
        check_trial(trial, f"trials.{index}", bake_loss, cooling)
    expected = base or usual_base(trials, liquid_ratio, absorption_percent)
    slope = water_slope_at(liquid_ratio)
    for index, trial in enumerate(trials):
        check_water(trial, f"trials.{index}", base or lowest_trial(trials), slope.best)
    model = Model.of(trials, expected, slope, bake_loss, crumb)
    posterior = posterior_of(model)
    level, loss, water_slope, water = posterior.mean
    check_level(level)
    calibration = Calibration(
        log_specific_volume=level,
        share_volume_loss=loss,
        water_slope=water_slope,
        covariance=_without_water(posterior.covariance) if model.water_known else posterior.covariance,
        bake_loss_percent=bake_loss,
        bake_loss_sd_percent=losses.bake_sd_percent,
        spread_percent=100 * posterior.spread,
        trials=len(trials),
        base_share_percent=expected.share_percent if expected else 0.0,
        water_slope_ratio=liquid_ratio,
        base_hydration_percent=water if expected else None,
        own_off_points=model.own_off_points(posterior.mean),
        cooling_loss_percent=cooling,
    )
    readings = _readings(trials, model, posterior, losses)
    if base is None and _is_other_water(trials, expected, slope.best, readings):
        without = [replace(trial, hydration_percent=None) for trial in trials]
        fit = fit_trials(without, base, liquid_ratio, pan, crumb, absorption_percent)
        return replace(fit, water_left_out=True)
    check_contradictions(trials, [reading.flagged for reading in readings])
    found = None
    if expected is not None:
        sd = sqrt(max(calibration.covariance[WATER][WATER], 0.0))
        found = WaterBase(expected.share_percent, water, sd)
    varies = water_varies(trials, found)
    own = lowest_trial(trials) if base is None else None
    return TrialFit(calibration, readings, found, expected, own, False, varies, slope, crumb, losses)


def _is_other_water(
    trials: Sequence[Trial], expected: WaterBase | None, slope: float, readings: Sequence[FittedTrial]
) -> bool:
    """Whether what suits the bread is not what was expected, so that the trials' water should not count.

    All of it is farther from that than volumes are known for, and still a loaf came out larger than the fit
    makes of that water: the very bread that was baked would get too much dough.

    Parameters
        trials : Sequence[Trial]
        expected : WaterBase or None
        slope : float  [points of hydration per point of share]
        readings : Sequence[FittedTrial]  of those trials
    Returns
        bool
    """
    if expected is None:
        return False
    stated = [
        (water - expected.hydration_percent - slope * (trial.share_percent - expected.share_percent), reading)
        for trial, reading in zip(trials, readings, strict=True)
        if (water := trial.flour_hydration_percent) is not None
    ]
    return all(abs(off) > WATER_VALID_POINTS for off, _ in stated) and any(
        reading.off_percent > MOST_UNEXPLAINED_PERCENT for _, reading in stated
    )


def _without_water(covariance: Matrix) -> Matrix:
    """A covariance where the right water of the base is known, and no unknown."""
    (a, b, c, _), (d, e, f, _), (g, h, i, _), _ = covariance
    return (a, b, c, 0.0), (d, e, f, 0.0), (g, h, i, 0.0), (0.0, 0.0, 0.0, 0.0)


def _fit_losses(trials: Sequence[Trial], usual_percent: float) -> FittedLosses:
    """The bake loss and the cooling loss that the trials teach; usual_percent: the bake loss first expected.

    The bake loss is the mean of the trials that weighed the loaf, shrunk to the usual loss (normal prior and
    scatter). It is that at the oven's mouth as soon as one trial says what its loaf lost after that, or was
    weighed there; a loaf weighed cooled is converted by the mean cooling loss of the others. Where every loaf
    was only weighed cooled, nothing shows the two losses apart: the bake loss includes the cooling, and so
    does the usual one that it is shrunk to.
    """
    usual = usual_percent
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
        model.off_optimum_points(posterior.mean),
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
