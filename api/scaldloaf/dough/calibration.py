"""The calibration: what a baker's measured bakes have taught, and what it predicts."""

from dataclasses import dataclass
from math import exp, isfinite, log, sqrt

from scaldloaf.dough.estimate import NORMAL_90, Estimate
from scaldloaf.dough.limits import (
    ROUNDING,
    SPECIFIC_VOLUME_REFUSE_HIGH,
    SPECIFIC_VOLUME_REFUSE_LOW,
    require_bake_loss,
    require_cooling_loss,
)
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.vectors import UNKNOWNS, Matrix, dot, times
from scaldloaf.dough.volume import (
    NO_GLUTEN,
    Gluten,
    log_volume_gradient,
    log_water_factor,
    lost_percent,
    share_volume_factor,
)

COVARIANCE_SLACK = 1e-6  # of a correlation: what rounding may take from a covariance


@dataclass(frozen=True, slots=True)
class Calibration:
    """What a baker's measured bakes have taught; small enough for a client to keep and send back.

    log_specific_volume: mean of the natural logarithm of specific volume, cm³/g, without scald and at
        the optimum water.
    share_volume_loss: fraction of volume lost per unit of share (negative: gained).
    water_slope: points of optimum water per point of share.
    covariance: of those three and of the right hydration at the base share, in that order (``vectors``).
    bake_loss_percent, bake_loss_sd_percent: of the dough; the standard deviation is that of the next
        bake's loss.
    spread_percent: relative standard deviation of volume from bake to bake.
    trials: how many bakes it rests on.
    base_share_percent: the share at which the right water is known; the slope's doubt grows from there.
    water_slope_ratio: liquid over flour of the scalds that the slope was learnt from.
    base_hydration_percent: the right hydration at the base share; None: the trials say nothing of it.
    own_off_points: the water that the trials were baked with there, less that one: the volume it costs is
        known with them.
    cooling_loss_percent: points of the dough; 0 where the bake loss is that of the cooled loaf.
    """

    log_specific_volume: float
    share_volume_loss: float
    water_slope: float
    covariance: Matrix
    bake_loss_percent: float
    bake_loss_sd_percent: float
    spread_percent: float
    trials: int
    base_share_percent: float = 0.0
    water_slope_ratio: float = 1.0
    base_hydration_percent: float | None = None
    own_off_points: float = 0.0
    cooling_loss_percent: float = 0.0


def predict_log_specific_volume(
    calibration: Calibration,
    share_percent: float,
    off_optimum_points: float = 0.0,
    gluten: Gluten = NO_GLUTEN,
) -> tuple[float, float]:
    """Mean and standard deviation of ln(specific volume) of the next bake at a share and a water.

    Mean: ln SV_ref + ln g(share; loss) + ln s(water). Variance: J C J' + spread², J the gradient in
    (ln SV_ref, loss, water slope, water of the base).

    Parameters
        calibration : Calibration
        share_percent : float  [% of flour] scalded
        off_optimum_points : float  [points] hydration less the optimum at that share
        gluten : Gluten  what is added, and the flour's own protein
    Returns
        tuple[float, float]  [ln(cm³/g)]
    Source
        first-order propagation (assumption, by own trials)
    """
    lost = lost_percent(share_percent, gluten)
    way = share_percent - calibration.base_share_percent
    gradient = log_volume_gradient(lost, calibration.share_volume_loss, off_optimum_points, way)
    variance = (
        dot(gradient, times(calibration.covariance, gradient)) + (calibration.spread_percent / 100) ** 2
    )
    g = share_volume_factor(lost, calibration.share_volume_loss)
    mean = calibration.log_specific_volume + log(g) + log_water_factor(off_optimum_points)
    return mean, sqrt(max(variance, 0.0))


def right_hydration(calibration: Calibration, share_percent: float, slope_factor: float) -> Estimate | None:
    """The hydration that suits a share by own trials, percent of flour, with its 90 % interval.

    The base's and the slope times the way to the share; None where the trials say nothing of the base.
    slope_factor: on the slope, for a scald of another ratio. Source: first-order propagation.
    """
    base = calibration.base_hydration_percent
    if base is None:
        return None
    way = slope_factor * (share_percent - calibration.base_share_percent)
    toward = (0.0, 0.0, way, 1.0)
    half = NORMAL_90 * sqrt(max(dot(toward, times(calibration.covariance, toward)), 0.0))
    best = base + way * calibration.water_slope
    return Estimate(best - half, best, best + half, "assumption")


def check_calibration(calibration: Calibration) -> None:
    """Refuse a calibration that no fit returns.

    Raises Refusal for a reference volume outside 2.0 to 8.5 cm³/g, a bake loss outside 0 to 30 %, a
    cooling loss outside 0 to 10 %, or a covariance that is not symmetric and positive semidefinite.
    """
    level = calibration.log_specific_volume
    low, high = log(SPECIFIC_VOLUME_REFUSE_LOW), log(SPECIFIC_VOLUME_REFUSE_HIGH)
    if not low - ROUNDING <= level <= high + ROUNDING:
        raise Refusal(
            "calibration.log_specific_volume",
            "specific_volume_out_of_range",
            "this means {value} cm³/g; pan loaves lie between {low} and {high} cm³/g",
            given=level,
            nearest=low if level < low else high,
            amounts={
                "value": (exp(min(level, 50.0)), None),
                "low": (SPECIFIC_VOLUME_REFUSE_LOW, None),
                "high": (SPECIFIC_VOLUME_REFUSE_HIGH, None),
            },
        )
    require_bake_loss(calibration.bake_loss_percent, "calibration.bake_loss_percent")
    require_cooling_loss(calibration.cooling_loss_percent, "calibration.cooling_loss_percent")
    if not _is_covariance(calibration.covariance):
        raise Refusal(
            "calibration.covariance",
            "not_a_covariance",
            "a covariance is symmetric and positive semidefinite, and this is not; "
            "send the calibration back as the trial fit returned it",
        )


def _is_covariance(matrix: Matrix) -> bool:
    """Whether a matrix is symmetric and positive semidefinite, within COVARIANCE_SLACK.

    By elimination, on the matrix scaled to correlations so that units do not matter.
    """
    size = range(UNKNOWNS)
    if not all(isfinite(value) for row in matrix for value in row) or min(matrix[i][i] for i in size) < 0:
        return False
    scale = [sqrt(matrix[i][i]) or 1.0 for i in size]
    rows = [[matrix[i][j] / scale[i] / scale[j] for j in size] for i in size]
    if any(abs(rows[i][j] - rows[j][i]) > COVARIANCE_SLACK for i in size for j in size):
        return False
    return _smallest_pivot(rows) >= -COVARIANCE_SLACK


def _smallest_pivot(rows: list[list[float]]) -> float:
    """The smallest of what is left on the diagonal, the largest eliminated first; below 0: indefinite."""
    left = list(range(len(rows)))
    while left:
        pivot = max(left, key=lambda place: rows[place][place])
        largest = rows[pivot][pivot]
        if largest <= COVARIANCE_SLACK:
            off = max((abs(rows[i][j]) for i in left for j in left if i != j), default=0.0)
            return min(min(rows[place][place] for place in left), COVARIANCE_SLACK - off)
        left.remove(pivot)
        for i in left:
            factor = rows[i][pivot] / largest
            for j in left:
                rows[i][j] -= factor * rows[pivot][j]
    return 0.0
