"""The calibration on the wire: what a trial fit returns, a client keeps and other calls read."""

from scaldloaf.dough.calibration import Calibration, check_calibration
from scaldloaf.operations import schema

VERSION = 1
_NUMBERS = ("log_specific_volume", "share_volume_loss", "water_slope", "bake_loss_percent",
            "bake_loss_sd_percent", "spread_percent")

CALIBRATION = schema.shared("Calibration", schema.record(
    "What a baker's trials have taught. Keep it as it came, and send it back unchanged.",
    {
        "version": {"const": VERSION, "description": "Version of this shape."},
        "log_specific_volume": schema.number(
            "Natural logarithm of the specific volume (cm³/g) without scald, at the optimum water.", -5, 5),
        "share_volume_loss": schema.number(
            "Fraction of volume lost per unit of scalded share; negative where the volume grows.", -10, 10),
        "water_slope": schema.number("Points of optimum water per point of scalded share.", -10, 10),
        "covariance": schema.array(
            schema.array(schema.number("A covariance.", -25, 25), "A row.", 3, 3),
            "Covariance of the three numbers above, in their order: symmetric, positive semidefinite.", 3, 3),
        "bake_loss_percent": schema.percent("Bake loss, percent of the dough put in the oven."),
        "bake_loss_sd_percent": schema.percent("Standard deviation of the next bake's loss, points.",
                                               maximum=20),
        "spread_percent": schema.percent("Relative standard deviation of volume from bake to bake.",
                                         maximum=50),
        "trials": schema.integer("How many measured bakes it rests on.", 0, 1_000_000),
    },
    {"base_share_percent": schema.percent("Scalded share at which the right water is known.", default=0)}))


def read_calibration(wire: dict) -> Calibration:
    """The Calibration of a request that its schema accepted.

    Raises Refusal, at a field of ``calibration``, for one that no fit returns.
    """
    covariance = tuple(tuple(row) for row in wire["covariance"])
    calibration = Calibration(covariance=covariance, trials=wire["trials"],
                              base_share_percent=wire.get("base_share_percent", 0.0),
                              **{name: wire[name] for name in _NUMBERS})
    check_calibration(calibration)
    return calibration


def write_calibration(calibration: Calibration) -> dict:
    """A calibration on the wire; ``read_calibration`` gives it back unchanged."""
    return {"version": VERSION, **{name: getattr(calibration, name) for name in _NUMBERS},
            "covariance": [list(row) for row in calibration.covariance], "trials": calibration.trials,
            "base_share_percent": calibration.base_share_percent}
