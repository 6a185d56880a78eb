"""Volume of a loaf above the rim of its pan."""

from math import pi

from scaldloaf.dough.pan import Box, Oval, Pan, Round, Tapered
from scaldloaf.dough.refusal import Refusal
from scaldloaf.reference import coefficient

CROWN_CAP_FRACTION = coefficient("crown_cap_fraction")


def rim_area_cm2(pan: Pan) -> float | None:
    """Area of the pan's opening, cm²; None for a pan known only by its volume. Exact."""
    match pan:
        case Box(length, width, _):
            return length * width
        case Tapered(length, width, _, _, _):
            return length * width
        case Oval(length, width, _, _, _):
            return pi / 4 * length * width
        case Round(diameter, _, _):
            return pi / 4 * diameter * diameter
    return None


def crown_volume_cm3(pan: Pan, crown_height_cm: float) -> float:
    """Volume of the crown above the rim, cm³: rim area x height x crown_cap_fraction (half an ellipsoid).

    crown_height_cm: from the rim to the loaf's highest point. Raises Refusal, at ``pan.kind``, for a pan
    without dimensions. Evidence: geometry of an assumed shape.
    """
    area = rim_area_cm2(pan)
    if area is None:
        raise Refusal(
            "pan.kind",
            "rim_unknown",
            "the crown is calculated from the area of the pan's rim, and only the volume of this pan is "
            "known; give its inside dimensions, or the loaf's volume",
        )
    return CROWN_CAP_FRACTION.value * area * crown_height_cm
