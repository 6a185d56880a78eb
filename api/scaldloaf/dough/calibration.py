"""The calibration: what a baker's measured bakes have taught, and what it predicts."""

from dataclasses import dataclass
from math import exp, isfinite, log, sqrt

from scaldloaf.dough.limits import (
    ROUNDING,
    SPECIFIC_VOLUME_REFUSE_HIGH,
    SPECIFIC_VOLUME_REFUSE_LOW,
    require_bake_loss,
    require_cooling_loss,
)
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.vectors import Matrix
from scaldloaf.dough.volume import log_volume_gradient, share_volume_factor, water_volume_factor

COVARIANCE_SLACK = 1e-6  # of a correlation: what rounding may take from a covariance


@dataclass(frozen=True, slots=True)
class Calibration:
    """What a baker's measured bakes have taught; small enough for a client to keep and send back.

    log_specific_volume: mean of the natural logarithm of specific volume, cm³/g, without scald and at
        the optimum water.
    share_volume_loss: fraction of volume lost per unit of share (negative: gained).
    water_slope: points of optimum water per point of share.
    covariance: of those three, in that order (see ``vectors``).
    bake_loss_percent, bake_loss_sd_percent: of the dough; the standard deviation is that of the next
        bake's loss.
    spread_percent: relative standard deviation of volume from bake to bake.
    trials: how many bakes it rests on.
    base_share_percent: the share at which the right water is known; the slope's doubt grows from there.
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
    cooling_loss_percent: float = 0.0


def predict_log_specific_volume(
    calibration: Calibration, share_percent: float, off_optimum_points: float = 0.0
) -> tuple[float, float]:
    """Mean and standard deviation of ln(specific volume) of the next bake at a share and a water.

    Mean: ln SV_ref + ln g(share; loss) + ln s(water). Variance: J C J' + spread², J the gradient in
    (ln SV_ref, loss, water slope). Source: first-order propagation.
    """
    g = share_volume_factor(share_percent, calibration.share_volume_loss)
    s = water_volume_factor(off_optimum_points)
    gradient = log_volume_gradient(
        share_percent, calibration.share_volume_loss, off_optimum_points, calibration.base_share_percent
    )
    covariance = calibration.covariance
    variance = sum(gradient[i] * covariance[i][j] * gradient[j] for i in range(3) for j in range(3))
    variance += (calibration.spread_percent / 100) ** 2
    return calibration.log_specific_volume + log(g) + log(s), sqrt(max(variance, 0.0))


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
    """Whether a 3 x 3 matrix is symmetric and positive semidefinite, within COVARIANCE_SLACK.

    By its principal minors, on the matrix scaled to correlations so that units do not matter.
    """
    if not all(isfinite(value) for row in matrix for value in row) or min(matrix[i][i] for i in range(3)) < 0:
        return False
    scale = [sqrt(matrix[i][i]) or 1.0 for i in range(3)]
    (a, d, e), (d2, b, f), (e2, f2, c) = (
        [matrix[i][j] / scale[i] / scale[j] for j in range(3)] for i in range(3)
    )
    if max(abs(d - d2), abs(e - e2), abs(f - f2)) > COVARIANCE_SLACK:
        return False
    determinant: float = a * b * c + 2 * d * e * f - a * f * f - b * e * e - c * d * d
    return min(a * b - d * d, a * c - e * e, b * c - f * f, determinant) >= -COVARIANCE_SLACK
