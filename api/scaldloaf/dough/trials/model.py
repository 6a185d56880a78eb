"""The model of a baker's trials: data, priors, and its tangent at a guess of the four unknowns.

ln(specific volume) = level + ln g(share; loss) + ln s(distance from the optimum water; slope), the factors of
``volume``. A vector of unknowns is (level, loss, slope, water of the base), see ``vectors``.
"""

from collections.abc import Sequence
from math import hypot, inf, log
from typing import NamedTuple

from scaldloaf.dough.bread import CLOSE, LIGHT, PRIORS
from scaldloaf.dough.estimate import NORMAL_90, Estimate
from scaldloaf.dough.trials.bakes import Trial, WaterBase, lowest_trial
from scaldloaf.dough.trials.unsound import UNSOUND_BAKE_CHANCE, Row, Sets, weigh_sets
from scaldloaf.dough.vectors import LOSS, SLOPE, WATER, Vector, minus
from scaldloaf.dough.volume import (
    SHARE_VOLUME_LOSS,
    baked_mass_g,
    log_volume_gradient,
    log_water_factor,
    share_over_threshold,
    share_volume_factor,
    water_curvature,
)
from scaldloaf.reference import coefficient

LOG_SPECIFIC_VOLUME_PRIOR_SD = coefficient("log_specific_volume_prior_sd").value
LOG_SPECIFIC_VOLUME_PRIOR_CLOSE_SD = coefficient("log_specific_volume_prior_close_sd").value
SHARE_VOLUME_LOSS_PRIOR_SD = coefficient("share_volume_loss_prior_sd").value
TRIAL_WATER_LIMIT_POINTS = coefficient("trial_water_limit_points").value
TRIAL_WATER_STEP_POINTS = coefficient("trial_water_step_points").value

LOG_PRIOR_SDS = {LIGHT: LOG_SPECIFIC_VOLUME_PRIOR_SD, CLOSE: LOG_SPECIFIC_VOLUME_PRIOR_CLOSE_SD}
LEAST_SLOPE_SD = 0.02  # numerics: of a slope that is nothing, so that its prior has a width
LEAST_FACTOR = 0.1  # of the volume: no tangent is drawn where less is left
# Farther off the optimum, the tangent is drawn at this distance.
WATER_REACH_POINTS = TRIAL_WATER_LIMIT_POINTS + TRIAL_WATER_STEP_POINTS


class Point(NamedTuple):
    """A trial as data.

    lost_percent: of its flour's gluten. log_volume: of its specific volume, by the bake loss of the fit.
    measured_sd: relative. way_points: its share less the base's. hydration_percent: without what its
    vital gluten takes; None when not stated.
    """

    lost_percent: float
    log_volume: float
    measured_sd: float
    way_points: float = 0.0
    hydration_percent: float | None = None


class Model:
    """Trials as data, and the priors of the unknowns.

    Parameters
        points : Sequence[Point]
        prior, prior_sd : Vector  means and standard deviations of the unknowns
        own_percent : float or None  [% of flour] the baker's own water at the base share; None: the right
            water there is known, and no unknown
    """

    def __init__(
        self, points: Sequence[Point], prior: Vector, prior_sd: Vector, own_percent: float | None = None
    ) -> None:
        self.points, self.prior, self.prior_sd, self.own_percent = points, prior, prior_sd, own_percent
        over = max((share_over_threshold(point.lost_percent) for point in points), default=0.0)
        self._most_loss = (1 - LEAST_FACTOR) / over if over else inf

    @classmethod
    def of(
        cls,
        trials: Sequence[Trial],
        base: WaterBase | None,
        slope: Estimate,
        bake_loss_percent: float,
        crumb: str = LIGHT,
    ) -> "Model":
        """The model of some trials.

        Parameters
            trials : Sequence[Trial]
            base : WaterBase or None  None only where no trial states its hydration
            slope : Estimate  [points of hydration per point of share] its interval is the prior's
            bake_loss_percent : float  [% of the dough] of every trial
            crumb : str  LIGHT or CLOSE: which prior the volume has
        Returns
            Model
        """
        points = [_point(trial, base, bake_loss_percent) for trial in trials]
        slope_sd = max((slope.high - slope.low) / (2 * NORMAL_90), LEAST_SLOPE_SD)
        own = None if base is None or not base.sd_points else lowest_trial(trials)
        return cls(
            points,
            (
                log(PRIORS[crumb].value),
                SHARE_VOLUME_LOSS.value,
                slope.best,
                0.0 if base is None else base.hydration_percent,
            ),
            (
                LOG_PRIOR_SDS[crumb],
                SHARE_VOLUME_LOSS_PRIOR_SD,
                slope_sd,
                1.0 if base is None or own is None else base.sd_points,
            ),
            None if own is None else own.hydration_percent,
        )

    @property
    def water_known(self) -> bool:
        """Whether the right water at the base is known, or of no concern."""
        return self.own_percent is None

    def own_off_points(self, guess: Vector) -> float:
        """The baker's own water less the optimum at the base share; 0 where the right water is known."""
        return 0.0 if self.own_percent is None else _within_reach(self.own_percent - guess[WATER])

    def off_optimum_points(self, guess: Vector) -> list[float | None]:
        """Each trial's hydration less the optimum at a guess; None where it is not stated."""
        slope, water = guess[SLOPE], guess[WATER]
        return [
            None
            if point.hydration_percent is None
            else point.hydration_percent - water - slope * point.way_points
            for point in self.points
        ]

    def means(self, guess: Vector) -> list[float]:
        """Expected log specific volume of each trial."""
        guess = self._within(guess)
        return [mean for _, mean in self._expected(guess)]

    def tangent(self, guess: Vector) -> tuple[Vector, list[Row]]:
        """The guess, moved to where a tangent can be drawn, and the tangent there."""
        guess = self._within(guess)
        rows, own_off = [], self.own_off_points(guess)
        for point, (off, mean) in zip(self.points, self._expected(guess), strict=True):
            doubt = hypot(point.measured_sd, curvature_doubt(off, own_off))
            _, by_loss, by_slope, by_water = log_volume_gradient(
                point.lost_percent, guess[LOSS], off, point.way_points
            )
            if self.water_known:
                by_water = 0.0
            rows.append(Row(by_loss, by_slope, by_water, point.log_volume - mean, doubt * doubt))
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
        level, loss, slope, water = guess
        return level, min(loss, self._most_loss), slope, water

    def _expected(self, guess: Vector) -> list[tuple[float, float]]:
        """Each trial's distance from the optimum water, as far as it counts, and its log specific volume."""
        level, loss, _, _ = guess
        expected = []
        for point, off_optimum in zip(self.points, self.off_optimum_points(guess), strict=True):
            off = _within_reach(off_optimum)
            by_share = log(share_volume_factor(point.lost_percent, loss))
            expected.append((off, level + by_share + log_water_factor(off)))
        return expected


def curvature_doubt(off_optimum_points: float, from_points: float = 0.0) -> float:
    """Standard deviation of ln(volume) that the curvature's doubt causes between two waters.

    Both in points off the optimum; from_points: what the other bakes were baked with, whose loss of volume is
    in their level. From the curvature's range, as a 90 % interval; it is one unknown for both.
    """

    def doubt(points: float) -> float:
        row = water_curvature(points)
        return (row.high - row.low) / (2 * NORMAL_90) * (points / 100) ** 2

    return abs(doubt(off_optimum_points) - doubt(from_points))


def _point(trial: Trial, base: WaterBase | None, bake_loss_percent: float) -> Point:
    log_volume = log(trial.loaf_volume_cm3 / baked_mass_g(trial.dough_mass_g, bake_loss_percent))
    water = trial.flour_hydration_percent
    if base is None or water is None:
        return Point(trial.lost_percent, log_volume, trial.volume_relative_sd)
    return Point(
        trial.lost_percent,
        log_volume,
        trial.volume_relative_sd,
        trial.share_percent - base.share_percent,
        water,
    )


def _within_reach(off_optimum_points: float | None) -> float:
    """The distance from the optimum at which the volume factor is still calculated; 0 for one not stated."""
    return min(max(off_optimum_points or 0.0, -WATER_REACH_POINTS), WATER_REACH_POINTS)
