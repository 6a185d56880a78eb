"""The calibration on the wire: what a trial fit returns, a client keeps and other calls read."""

from scaldloaf.dough.calibration import Calibration, check_calibration
from scaldloaf.operations.context import Wire
from scaldloaf.operations.schemas import common as schema

_NUMBERS = (
    "log_specific_volume",
    "share_volume_loss",
    "water_slope",
    "bake_loss_percent",
    "bake_loss_sd_percent",
    "spread_percent",
)


def read_calibration(wire: Wire) -> Calibration:
    """The Calibration of a request that its schema accepted.

    Raises Refusal, at a field of ``calibration``, for one that no fit returns.
    """
    wire = schema.Calibration.filled(wire)
    first, second, third = (_row(row) for row in wire["covariance"])
    calibration = Calibration(
        covariance=(first, second, third),
        trials=wire["trials"],
        base_share_percent=wire["base_share_percent"],
        cooling_loss_percent=wire["cooling_loss_percent"],
        **{name: wire[name] for name in _NUMBERS},
    )
    check_calibration(calibration)
    return calibration


def _row(row: list[float]) -> tuple[float, float, float]:
    first, second, third = row
    return first, second, third


def write_calibration(calibration: Calibration) -> Wire:
    """A calibration on the wire; ``read_calibration`` gives it back unchanged."""
    return {
        "version": schema.CALIBRATION_VERSION,
        **{name: getattr(calibration, name) for name in _NUMBERS},
        "covariance": [list(row) for row in calibration.covariance],
        "trials": calibration.trials,
        "base_share_percent": calibration.base_share_percent,
        "cooling_loss_percent": calibration.cooling_loss_percent,
    }
