"""What the next bake would teach."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt

from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.limits import SCALD_SHARE_LIMIT_PERCENT
from scaldloaf.dough.target_bread import VOLUME_MEASUREMENT_RELATIVE_SD
from scaldloaf.dough.trials.bakes import SAME_POINTS
from scaldloaf.dough.trials.fit import TrialFit
from scaldloaf.dough.trials.model import TRIAL_WATER_STEP_POINTS, curvature_doubt
from scaldloaf.dough.vectors import SLOPE, Vector, dot, times
from scaldloaf.dough.volume import NO_GLUTEN, Gluten, log_volume_gradient, lost_percent

LESSON_KINDS = SAME, WITHOUT_SCALD, MORE_SCALD, LESS_WATER, MORE_WATER = (
    "same",
    "without_scald",
    "more_scald",
    "less_water",
    "more_water",
)
SHARE_STEP_PERCENT = 10.0  # from the target share to that of a bake proposed with more scald


@dataclass(frozen=True, slots=True)
class Lesson:
    """A bake that might come next, and what it is expected to teach.

    kind: one of LESSON_KINDS; SAME is the target bread.
    narrows_dough_percent: how much narrower the interval of the target bread's dough would be after it;
    narrows_water_percent: the same of the water slope.
    """

    kind: str
    share_percent: float
    off_optimum_points: float
    narrows_dough_percent: float
    narrows_water_percent: float


def lessons(
    fit: TrialFit,
    share_percent: float,
    off_optimum_points: float = 0.0,
    volume_relative_sd: float = VOLUME_MEASUREMENT_RELATIVE_SD.value,
    gluten: Gluten = NO_GLUTEN,
) -> tuple[Lesson, ...]:
    """Bakes that might come next, first the one that teaches most about the target bread's dough.

    For a normal posterior the narrowing does not depend on what the bake will measure, so it is known
    beforehand: C - C J J' C / (J' C J + variance of the bake).

    Parameters
        fit : TrialFit
        share_percent : float  [% of total flour] of the target bread
        off_optimum_points : float  [points of hydration] its water less the optimum
        volume_relative_sd : float  [fraction] how well the next loaf will be measured
        gluten : Gluten  of every bake
    Returns
        tuple[Lesson, ...]
    Source
        update of a normal posterior (exact, given the fit)
    """
    calibration = fit.calibration
    spread = calibration.spread_percent / 100
    target = _gradient(calibration, share_percent, off_optimum_points, gluten)
    before = dot(target, times(calibration.covariance, target)) + spread**2
    slope_variance = calibration.covariance[SLOPE][SLOPE]
    found = []
    for kind, share, off in _candidates(fit, share_percent, off_optimum_points):
        gradient = _gradient(calibration, share, off, gluten)
        gained = times(calibration.covariance, gradient)
        bent = curvature_doubt(off, calibration.own_off_points)
        variance = dot(gradient, gained) + volume_relative_sd**2 + spread**2 + bent**2
        after = before - dot(target, gained) ** 2 / variance
        slope_after = slope_variance - gained[SLOPE] ** 2 / variance
        narrower = 100 * (1 - sqrt(after / before))
        narrower_slope = 100 * (1 - sqrt(slope_after / slope_variance))
        found.append(Lesson(kind, share, off, narrower, narrower_slope))
    return tuple(sorted(found, key=lambda lesson: -lesson.narrows_dough_percent))


def _candidates(
    fit: TrialFit, share_percent: float, off_optimum_points: float
) -> Iterator[tuple[str, float, float]]:
    """Kind, share and distance from the optimum water of each bake worth a thought."""
    yield SAME, share_percent, off_optimum_points
    if share_percent > SHARE_STEP_PERCENT:
        yield WITHOUT_SCALD, 0.0, 0.0
    if share_percent + SHARE_STEP_PERCENT <= SCALD_SHARE_LIMIT_PERCENT:
        yield MORE_SCALD, share_percent + SHARE_STEP_PERCENT, 0.0
    if fit.base is not None and share_percent > SAME_POINTS:
        yield LESS_WATER, share_percent, off_optimum_points - TRIAL_WATER_STEP_POINTS
        yield MORE_WATER, share_percent, off_optimum_points + TRIAL_WATER_STEP_POINTS


def _gradient(
    calibration: Calibration, share_percent: float, off_optimum_points: float, gluten: Gluten = NO_GLUTEN
) -> Vector:
    way = share_percent - calibration.base_share_percent
    lost = lost_percent(share_percent, gluten)
    return log_volume_gradient(lost, calibration.share_volume_loss, off_optimum_points, way)
