"""Loaves that can't be: a share, a water or a specific volume that no pan loaf has.

Each refusal names the argument at fault and the value of it that just works.
"""

from dataclasses import replace
from math import copysign, log, sqrt

from scaldloaf.dough.limits import (
    FILL_HIGH_PERCENT,
    FILL_LOW_PERCENT,
    ROUNDING,
    SHARE_UPPER_BOUND_PERCENT,
    SPECIFIC_VOLUME_REFUSE_HIGH,
    SPECIFIC_VOLUME_REFUSE_LOW,
    require_between,
)
from scaldloaf.dough.pan import LARGEST_PAN_CM3, SMALLEST_PAN_CM3
from scaldloaf.dough.refusal import Refusal, Way
from scaldloaf.dough.volume import (
    NO_GLUTEN,
    SHARE_VOLUME_THRESHOLD_PERCENT,
    WATER_VALID_POINTS,
    Gluten,
    baked_mass_g,
    dough_mass_g,
    lost_percent,
    unchecked_share_volume_factor,
    water_curvature,
    water_volume_factor,
)

SMALLEST_LOAF_CM3 = SMALLEST_PAN_CM3 * FILL_LOW_PERCENT / 100
LARGEST_LOAF_CM3 = LARGEST_PAN_CM3 * FILL_HIGH_PERCENT / 100


def require_share(share_percent: float, argument: str) -> None:
    """Refuse a scalded share outside 0 to share_upper_bound_percent of total flour."""
    require_between(
        share_percent,
        0.0,
        SHARE_UPPER_BOUND_PERCENT,
        argument,
        "share_out_of_range",
        "a scalded share runs from {low} to {high} % of total flour",
    )


def require_water(points: float, argument: str, reach_points: float = WATER_VALID_POINTS) -> None:
    """Refuse a distance from the optimum water at which its effect on volume is unknown."""
    require_between(
        points,
        -reach_points,
        reach_points,
        argument,
        "water_too_far_off",
        "the effect of water on volume is known from {low} to {high} points off the optimum",
    )


def is_loaf(specific_volume_cm3_per_g: float, lowest: float) -> bool:
    """Whether a pan loaf may have that specific volume, with slack for rounding."""
    low, high = lowest * (1 - ROUNDING), SPECIFIC_VOLUME_REFUSE_HIGH * (1 + ROUNDING)
    return low <= specific_volume_cm3_per_g <= high


def nearest_loaf(specific_volume_cm3_per_g: float, lowest: float = SPECIFIC_VOLUME_REFUSE_LOW) -> float:
    """The nearer end of the specific volumes that pan loaves have, for a value outside them."""
    return lowest if specific_volume_cm3_per_g < lowest else SPECIFIC_VOLUME_REFUSE_HIGH


def no_loaf(
    argument: str, value: float, given: float, nearest: float, quantity: str | None = None
) -> Refusal:
    """The refusal of a specific volume that no pan loaf has, at the argument that makes it.

    Parameters
        argument : str  the caller's name for what was given
        value : float  [cm³/g] the specific volume that it makes
        given, nearest : float  [quantity] what was given, and what would just work
        quantity : str or None  what these two measure
    Returns
        Refusal
    """
    return Refusal(
        argument,
        "specific_volume_out_of_range",
        "this makes {value} cm³ per g of bread; pan loaves lie between {low} and {high}",
        given=given,
        nearest=nearest,
        quantity=quantity,
        amounts=_with_range(value),
    )


def _with_range(value: float) -> dict[str, tuple[float, str | None]]:
    """Amounts of a message on a specific volume: the value and the range of pan loaves."""
    return {
        "value": (value, None),
        "low": (SPECIFIC_VOLUME_REFUSE_LOW, None),
        "high": (SPECIFIC_VOLUME_REFUSE_HIGH, None),
    }


def require_loaf(
    dough_g: float, loaf_volume_cm3: float, bake_loss_percent: float, argument: str | None = None
) -> None:
    """Refuse a loaf larger or smaller than any, or one whose volume and dough fit no pan loaf.

    Parameters
        dough_g : float  [g] put in the oven
        loaf_volume_cm3 : float  [cm³]
        bake_loss_percent : float  [% of the dough]
        argument : str or None  the caller's name for what has the loaf's figures; None: they are its own
    Raises
        Refusal: at the ``loaf_volume`` of the argument, or at its ``dough_mass`` where no volume of a loaf
        would fit that dough.
    """
    inside = "" if argument is None else f"{argument}."
    smallest, largest = SMALLEST_LOAF_CM3, LARGEST_LOAF_CM3
    if not smallest * (1 - ROUNDING) <= loaf_volume_cm3 <= largest * (1 + ROUNDING):
        raise Refusal(
            f"{inside}loaf_volume",
            "loaf_volume_out_of_range",
            "a loaf has a volume of {low} to {high} (is the unit right?)",
            given=loaf_volume_cm3,
            nearest=smallest if loaf_volume_cm3 < smallest else largest,
            quantity="volume",
            amounts={"low": (smallest, "volume"), "high": (largest, "volume")},
        )
    baked = baked_mass_g(dough_g, bake_loss_percent)
    per_baked = 1 / baked
    value = loaf_volume_cm3 * per_baked
    if is_loaf(value, SPECIFIC_VOLUME_REFUSE_LOW):
        return
    nearest_cm3 = nearest_loaf(value) / per_baked
    nearest_g = dough_mass_g(loaf_volume_cm3, nearest_cm3 / baked, bake_loss_percent)
    if smallest <= nearest_cm3 <= largest:
        other = Way(f"{inside}loaf_volume", {f"{inside}dough_mass": nearest_g}, "mass")
        refusal = no_loaf(f"{inside}loaf_volume", value, loaf_volume_cm3, nearest_cm3, "volume")
        raise replace(refusal, ways=(other,))
    raise no_loaf(f"{inside}dough_mass", value, dough_g, nearest_g, "mass")


def require_reachable_share(
    without_scald: float,
    share_percent: float | None,
    loss: float,
    lowest: float = SPECIFIC_VOLUME_REFUSE_LOW,
    gluten: Gluten = NO_GLUTEN,
) -> None:
    """Refuse a move that ends at a specific volume no pan loaf has, and name the share that just works.

    Parameters
        without_scald : float  [cm³/g] specific volume that the bread would have at no share
        share_percent : float or None  [% of total flour] at which the move ends; None: 0
        loss : float  [fraction of volume per unit of share]
        lowest : float  [cm³/g] the least specific volume accepted
        gluten : Gluten  of the bread at the end of the move
    Raises
        Refusal: at ``wanted.share_percent``.
    """
    value = without_scald * unchecked_share_volume_factor(lost_percent(share_percent or 0.0, gluten), loss)
    if is_loaf(value, lowest):
        return
    nearest = None
    if loss:
        limit = nearest_loaf(value, lowest)
        threshold = SHARE_VOLUME_THRESHOLD_PERCENT + gluten.makes_up_percent
        share = threshold + 100 * (1 - limit / without_scald) / loss
        nearest = share if threshold <= share <= SHARE_UPPER_BOUND_PERCENT else None
    raise Refusal(
        "wanted.share_percent",
        "specific_volume_out_of_range",
        "the bread would come to {value} cm³/g at this share and water; pan loaves lie between "
        "{low} and {high}",
        given=share_percent,
        nearest=nearest,
        amounts=_with_range(max(value, 0.0)),
    )


def require_reachable_water(at_optimum: float, off_optimum_points: float, lowest: float) -> None:
    """The same for a move of the water alone; at_optimum: specific volume at the right water, cm³/g."""
    value = at_optimum * water_volume_factor(off_optimum_points)
    if is_loaf(value, lowest):
        return
    lost = log(at_optimum / nearest_loaf(value, lowest))
    nearest = None
    if lost >= 0:
        curvature = water_curvature(off_optimum_points).value
        points = copysign(100 * sqrt(lost / curvature), off_optimum_points)
        nearest = points if abs(points) <= WATER_VALID_POINTS else None
    raise Refusal(
        "wanted.off_optimum_points",
        "specific_volume_out_of_range",
        "the bread would come to {value} cm³/g with this water; pan loaves lie between {low} and {high}",
        given=off_optimum_points,
        nearest=nearest,
        amounts=_with_range(value),
    )
