"""The calibration on the wire: what a trial fit returns, a client keeps and other calls read."""

from scaldloaf.dough.calibration import Calibration, check_calibration
from scaldloaf.dough.vectors import WATER, Matrix
from scaldloaf.operations.context import Wire
from scaldloaf.operations.schemas import common as schema

_NUMBERS = (
    "log_specific_volume",
    "share_volume_loss",
    "water_slope",
    "bake_loss_percent",
    "bake_loss_sd_percent",
    "spread_percent",
    "base_share_percent",
    "water_slope_ratio",
)


def read_calibration(wire: Wire) -> Calibration:
    """The Calibration of a request that its schema accepted.

    Raises Refusal, at a field of ``calibration``, for one that no fit returns.
    """
    wire = schema.Calibration.filled(wire)
    calibration = Calibration(
        covariance=_read_covariance(wire["covariance"], wire.get("base_water_covariance", _NO_DOUBT)),
        trials=wire["trials"],
        base_hydration_percent=wire.get("base_hydration_percent"),
        own_off_points=wire["own_hydration_off_optimum_points"],
        cooling_loss_percent=wire["cooling_loss_percent"],
        **{name: wire[name] for name in _NUMBERS},
    )
    check_calibration(calibration)
    return calibration


_NO_DOUBT = [0.0, 0.0, 0.0, 0.0]


def _read_covariance(rows: list[list[float]], water: list[float]) -> Matrix:
    """The covariance of all four numbers, from that of the three and the row of the base's water."""
    first, second, third, fourth = (
        (a, b, c, d) for (a, b, c), d in zip([*rows, water[:3]], water, strict=True)
    )
    return first, second, third, fourth


def write_calibration(calibration: Calibration) -> Wire:
    """A calibration on the wire; ``read_calibration`` gives it back unchanged."""
    return {
        "version": schema.CALIBRATION_VERSION,
        **{name: getattr(calibration, name) for name in _NUMBERS},
        "covariance": [list(row[:3]) for row in calibration.covariance[:3]],
        "trials": calibration.trials,
        "cooling_loss_percent": calibration.cooling_loss_percent,
        **_write_base(calibration),
    }


def _write_base(calibration: Calibration) -> Wire:
    """The right water of the base, where the trials say it, and whatever else a calibration says of it."""
    base, covariance = calibration.base_hydration_percent, calibration.covariance[WATER]
    written: Wire = {} if base is None else {"base_hydration_percent": base}
    if base is not None or any(covariance):
        written["base_water_covariance"] = list(covariance)
    if base is not None or calibration.own_off_points:
        written["own_hydration_off_optimum_points"] = calibration.own_off_points
    return written
