"""The model of a baker's trials: data, priors, and its tangent at a guess of the three unknowns.

ln(specific volume) = level + ln g(share; loss) + ln s(distance from the optimum water; slope), the factors of
``volume``. A vector of unknowns is (level, loss, slope), see ``vectors``.
"""

from collections.abc import Sequence
from math import hypot, inf, log
from typing import NamedTuple

from scaldloaf.dough.bread import SPECIFIC_VOLUME_PRIOR
from scaldloaf.dough.estimate import NORMAL_90, Estimate
from scaldloaf.dough.trials.bakes import Trial, WaterBase
from scaldloaf.dough.trials.unsound import UNSOUND_BAKE_CHANCE, Row, Sets, weigh_sets
from scaldloaf.dough.vectors import LOSS, Vector, minus
from scaldloaf.dough.volume import (
    SHARE_VOLUME_LOSS,
    WATER_VOLUME_CURVATURE,
    baked_mass_g,
    log_volume_gradient,
    share_over_threshold,
    share_volume_factor,
    water_volume_factor,
)
from scaldloaf.reference import coefficient

LOG_SPECIFIC_VOLUME_PRIOR_SD = coefficient("log_specific_volume_prior_sd").value
SHARE_VOLUME_LOSS_PRIOR_SD = coefficient("share_volume_loss_prior_sd").value
TRIAL_WATER_LIMIT_POINTS = coefficient("trial_water_limit_points").value
TRIAL_WATER_STEP_POINTS = coefficient("trial_water_step_points").value

# Standard deviation of the curvature, from its range as a 90 % interval.
CURVATURE_SD = (WATER_VOLUME_CURVATURE.high - WATER_VOLUME_CURVATURE.low) / (2 * NORMAL_90)
LEAST_FACTOR = 0.1  # of the volume: no tangent is drawn where less is left
# Farther off the optimum, the tangent is drawn at this distance.
WATER_REACH_POINTS = TRIAL_WATER_LIMIT_POINTS + TRIAL_WATER_STEP_POINTS


class Point(NamedTuple):
    """A trial as data.

    log_volume: of its specific volume, by the bake loss of the fit. measured_sd: relative. way_points: its
    share less the base's. water_points: its hydration less the base's; None when it is not stated.
    """

    share_percent: float
    log_volume: float
    measured_sd: float
    way_points: float = 0.0
    water_points: float | None = None


class Model:
    """Trials as data, and the priors of the unknowns.

    Parameters
        points : Sequence[Point]
        base_share_percent : float  [% of total flour] at which the right water is known
        prior, prior_sd : Vector  means and standard deviations of the unknowns
    """

    def __init__(
        self, points: Sequence[Point], base_share_percent: float, prior: Vector, prior_sd: Vector
    ) -> None:
        self.points, self.base_share_percent = points, base_share_percent
        self.prior, self.prior_sd = prior, prior_sd
        over = max((share_over_threshold(point.share_percent) for point in points), default=0.0)
        self._most_loss = (1 - LEAST_FACTOR) / over if over else inf

    @classmethod
    def of(
        cls, trials: Sequence[Trial], base: WaterBase | None, slope: Estimate, bake_loss_percent: float
    ) -> "Model":
        """The model of some trials.

        Parameters
            trials : Sequence[Trial]
            base : WaterBase or None  None only where no trial states its hydration
            slope : Estimate  [points of hydration per point of share] its interval is the prior's
            bake_loss_percent : float  [% of the dough] of every trial
        Returns
            Model
        """
        points = [_point(trial, base, bake_loss_percent) for trial in trials]
        return cls(
            points,
            base.share_percent if base is not None else 0.0,
            (log(SPECIFIC_VOLUME_PRIOR.value), SHARE_VOLUME_LOSS.value, slope.best),
            (
                LOG_SPECIFIC_VOLUME_PRIOR_SD,
                SHARE_VOLUME_LOSS_PRIOR_SD,
                (slope.high - slope.low) / (2 * NORMAL_90),
            ),
        )

    def off_optimum_points(self, slope: float) -> list[float | None]:
        """Each trial's hydration less the optimum, if the slope is that; None where it is not stated."""
        return [
            None if point.water_points is None else point.water_points - slope * point.way_points
            for point in self.points
        ]

    def means(self, guess: Vector) -> list[float]:
        """Expected log specific volume of each trial."""
        guess = self._within(guess)
        return [mean for _, mean in self._expected(guess)]

    def tangent(self, guess: Vector) -> tuple[Vector, list[Row]]:
        """The guess, moved to where a tangent can be drawn, and the tangent there."""
        guess = self._within(guess)
        rows = []
        for point, (off, mean) in zip(self.points, self._expected(guess), strict=True):
            doubt = hypot(point.measured_sd, curvature_doubt(off))
            _, by_loss, by_slope = log_volume_gradient(
                point.share_percent, guess[LOSS], off, self.base_share_percent
            )
            rows.append(Row(by_loss, by_slope, point.log_volume - mean, doubt * doubt))
        return guess, rows

    def weighed(
        self,
        guess: Vector,
        rows: Sequence[Row],
        spread: float,
        unsound_chance: float = UNSOUND_BAKE_CHANCE,
    ) -> Sets:
        """The likeliest sets of unsound bakes under the tangent.

        Parameters
            guess : Vector  where the tangent was drawn
            rows : Sequence[Row]  the tangent
            spread : float  [fraction of volume] scatter from bake to bake
            unsound_chance : float  [probability] of one bake
        Returns
            Sets  of posteriors of the unknowns less the guess
        """
        return weigh_sets(minus(self.prior, guess), self.prior_sd, rows, spread, unsound_chance)

    def _within(self, guess: Vector) -> Vector:
        """The guess, its loss lowered to where every trial still has a volume."""
        level, loss, slope = guess
        return level, min(loss, self._most_loss), slope

    def _expected(self, guess: Vector) -> list[tuple[float, float]]:
        """Each trial's distance from the optimum water, as far as it counts, and its log specific volume."""
        level, loss, slope = guess
        expected = []
        for point, off_optimum in zip(self.points, self.off_optimum_points(slope), strict=True):
            off = _within_reach(off_optimum)
            by_share = log(share_volume_factor(point.share_percent, loss))
            expected.append((off, level + by_share + log(water_volume_factor(off))))
        return expected


def curvature_doubt(off_optimum_points: float) -> float:
    """Standard deviation of ln(volume) that the curvature's doubt causes off the optimum water."""
    return CURVATURE_SD * (off_optimum_points / 100) ** 2


def _point(trial: Trial, base: WaterBase | None, bake_loss_percent: float) -> Point:
    log_volume = log(trial.loaf_volume_cm3 / baked_mass_g(trial.dough_mass_g, bake_loss_percent))
    if base is None or trial.hydration_percent is None:
        return Point(trial.share_percent, log_volume, trial.volume_relative_sd)
    return Point(
        trial.share_percent,
        log_volume,
        trial.volume_relative_sd,
        trial.share_percent - base.share_percent,
        trial.hydration_percent - base.hydration_percent,
    )


def _within_reach(off_optimum_points: float | None) -> float:
    """The distance from the optimum at which the volume factor is still calculated; 0 for one not stated."""
    return min(max(off_optimum_points or 0.0, -WATER_REACH_POINTS), WATER_REACH_POINTS)
