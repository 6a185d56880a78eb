"""Bounds that several models share, and how input beyond one is refused.

A constant that holds a row of the coefficients table, or its value, has the row's name. The others are
guard rails of the input and of arithmetic, not facts of the craft.
"""

from scaldloaf.dough.refusal import Refusal
from scaldloaf.reference import coefficient

SCALD_SHARE_LIMIT_PERCENT = coefficient("scald_share_limit_percent").value
SHARE_UPPER_BOUND_PERCENT = coefficient("share_upper_bound_percent").value
LARGEST_HYDRATION_PERCENT = coefficient("largest_hydration_percent").value
BAKE_LOSS_LIDDED_PERCENT = coefficient("bake_loss_lidded_percent")
BAKE_LOSS_OPEN_PERCENT = coefficient("bake_loss_open_percent")
BAKE_LOSS_UPPER_PERCENT = coefficient("bake_loss_upper_percent").value
COOLING_LOSS_PERCENT = coefficient("cooling_loss_percent")
COOLING_LOSS_UPPER_PERCENT = coefficient("cooling_loss_upper_percent").value
LOSS_TILL_COLD_UPPER_PERCENT = BAKE_LOSS_UPPER_PERCENT + COOLING_LOSS_UPPER_PERCENT
SPECIFIC_VOLUME_REFUSE_LOW = coefficient("specific_volume_refuse_low").value
SPECIFIC_VOLUME_REFUSE_HIGH = coefficient("specific_volume_refuse_high").value
YEAST_WORKING_LOWEST_DEGC = coefficient("yeast_working_lowest_degc").value
YEAST_WORKING_HIGHEST_DEGC = coefficient("yeast_working_highest_degc").value

ROUNDING = 1e-9  # slack of a bound: a limit converted to another unit and back still passes
TOLERANCE_DEGC = 1e-6  # the same for temperatures
FULL_PERCENT = 100.0  # fill of a lidded pan that the loaf just fills
FILL_LOW_PERCENT, FILL_HIGH_PERCENT = 20.0, 300.0  # a thin slice in a pan, a very high crown
LARGEST_LIQUID_RATIO = 50.0


def require_between(value: float, low: float, high: float, argument: str, code: str, message: str) -> None:
    """Refuse a value outside [low, high], with the nearer end as what works.

    Parameters
        value, low, high : float  [one unit]
        argument : str  the caller's name for the value
        code, message : str  of the Refusal; {low} and {high} in the message are the bounds

    Raises
        Refusal: when the value is outside by more than ROUNDING.
    """
    if not low - ROUNDING <= value <= high + ROUNDING:
        raise Refusal(
            argument,
            code,
            message,
            given=value,
            nearest=low if value < low else high,
            amounts={"low": (low, None), "high": (high, None)},
        )


def require_bake_loss(loss_percent: float, argument: str) -> None:
    """Refuse a bake loss that no pan loaf has: 0 to bake_loss_upper_percent of the dough."""
    require_between(
        loss_percent,
        0.0,
        BAKE_LOSS_UPPER_PERCENT,
        argument,
        "bake_loss_out_of_range",
        "a pan loaf loses {low} to {high} % of its dough in the oven",
    )


def require_cooling_loss(loss_percent: float, argument: str) -> None:
    """Refuse a cooling loss that no pan loaf has: 0 to cooling_loss_upper_percent of the dough."""
    require_between(
        loss_percent,
        0.0,
        COOLING_LOSS_UPPER_PERCENT,
        argument,
        "cooling_loss_out_of_range",
        "a pan loaf loses {low} to {high} % of its dough while it cools",
    )


def require_fill(fill_percent: float, argument: str) -> None:
    """Refuse a fill outside 20 to 300 % of the pan's volume."""
    require_between(
        fill_percent,
        FILL_LOW_PERCENT,
        FILL_HIGH_PERCENT,
        argument,
        "fill_out_of_range",
        "the loaf may take {low} to {high} % of the pan's volume (100: a lidded pan just full)",
    )
