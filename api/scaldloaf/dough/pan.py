"""Pans: how much one holds, from its inside dimensions, a measured volume or the water that fills it.

All of it is geometry and weighing (evidence ``exact``, given the measurements). Rough dimensions are the
usual error, so a volume measured with water beats a calculated one.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, replace
from math import pi
from typing import Any, NamedTuple

from scaldloaf.dough.limits import ROUNDING
from scaldloaf.dough.notes import Note
from scaldloaf.dough.refusal import Refusal

# Guard rails, not facts of the craft: beyond them a wrong unit is likelier than a pan.
SMALLEST_DIMENSION_CM, LARGEST_DIMENSION_CM = 0.5, 300.0
SMALLEST_PAN_CM3, LARGEST_PAN_CM3 = 20.0, 200_000.0
COLDEST_WATER_C, HOTTEST_WATER_C = 0.0, 100.0

# Kell (1975), equation 16: numerator terms by power of °C in kg/m³, and the denominator's slope.
KELL_NUMERATOR = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
KELL_DENOMINATOR_SLOPE = 16.879850e-3


@dataclass(frozen=True, slots=True)
class Box:
    """Straight walls: the same length and width at the top and at the base."""

    length_cm: float
    width_cm: float
    depth_cm: float


@dataclass(frozen=True, slots=True)
class Tapered:
    """Flat sloping walls between a rectangular top and a rectangular base."""

    top_length_cm: float
    top_width_cm: float
    base_length_cm: float
    base_width_cm: float
    depth_cm: float


@dataclass(frozen=True, slots=True)
class Round:
    """A round pan, straight or flared."""

    top_diameter_cm: float
    base_diameter_cm: float
    depth_cm: float


@dataclass(frozen=True, slots=True)
class Oval:
    """Elliptical top and base, axes parallel; lengths and widths are the full axes."""

    top_length_cm: float
    top_width_cm: float
    base_length_cm: float
    base_width_cm: float
    depth_cm: float


@dataclass(frozen=True, slots=True)
class KnownVolume:
    """A pan whose volume was measured, or is stamped on it."""

    volume_cm3: float


@dataclass(frozen=True, slots=True)
class WaterFill:
    """A pan filled level with water: the water's mass, and its temperature."""

    mass_g: float
    temperature_c: float


Pan = Box | Tapered | Round | Oval | KnownVolume | WaterFill
QUANTITY_OF_SUFFIX = {"_cm": "length", "_cm3": "volume", "_g": "mass", "_c": "temperature"}


class PanVolume(NamedTuple):
    """What a pan holds, cm³; whether measured, and notes."""

    volume_cm3: float
    measured: bool
    notes: tuple[Note, ...] = ()


def prismatoid_volume_cm3(
    top_area_cm2: float, middle_area_cm2: float, base_area_cm2: float, depth_cm: float
) -> float:
    """Volume between two parallel ends: depth / 6 x (top + base + 4 x middle).

    Exact where the walls are straight lines from base to top.

    Parameters
        top_area_cm2, middle_area_cm2, base_area_cm2 : float  [cm²]
        depth_cm : float  [cm]
    Returns
        float  [cm³]
    Source
        the prismatoid formula of mathematical tables (geometry, exact)
    """
    return depth_cm / 6 * (top_area_cm2 + base_area_cm2 + 4 * middle_area_cm2)


def box_volume_cm3(pan: Box) -> float:
    """Length x width x depth, cm³. Exact."""
    return pan.length_cm * pan.width_cm * pan.depth_cm


def tapered_volume_cm3(pan: Tapered) -> float:
    """The prismatoid on two rectangles, cm³; the middle's sides are the means. Exact."""
    middle = (pan.top_length_cm + pan.base_length_cm) / 2 * (pan.top_width_cm + pan.base_width_cm) / 2
    return prismatoid_volume_cm3(
        pan.top_length_cm * pan.top_width_cm, middle, pan.base_length_cm * pan.base_width_cm, pan.depth_cm
    )


def oval_volume_cm3(pan: Oval) -> float:
    """The prismatoid on two ellipses, cm³: pi / 4 of the volume between their rectangles. Exact."""
    return (
        pi
        / 4
        * tapered_volume_cm3(
            Tapered(pan.top_length_cm, pan.top_width_cm, pan.base_length_cm, pan.base_width_cm, pan.depth_cm)
        )
    )


def round_volume_cm3(pan: Round) -> float:
    """A frustum of a cone, cm³: pi x depth / 12 x (a² + a b + b²), a and b the diameters. Exact."""
    top, base = pan.top_diameter_cm, pan.base_diameter_cm
    return pi * pan.depth_cm / 12 * (top * top + top * base + base * base)


def water_density_g_per_cm3(temperature_c: float) -> float:
    """Density of air-free water at one atmosphere, g/cm³.

    Valid from 0 to 100 °C here (the source: 0 to 150 °C); raises Refusal outside. Source: G. S. Kell,
    J. Chem. Eng. Data 20 (1975) 97, equation 16 (published).
    """
    if not COLDEST_WATER_C - ROUNDING <= temperature_c <= HOTTEST_WATER_C + ROUNDING:
        nearest = COLDEST_WATER_C if temperature_c < COLDEST_WATER_C else HOTTEST_WATER_C
        raise Refusal(
            "temperature",
            "water_not_liquid",
            "water at {given} is not liquid; give its temperature between {low} and {high}",
            given=temperature_c,
            nearest=nearest,
            quantity="temperature",
            amounts={
                "given": (temperature_c, "temperature"),
                "low": (COLDEST_WATER_C, "temperature"),
                "high": (HOTTEST_WATER_C, "temperature"),
            },
        )
    numerator = 0.0
    for term in reversed(KELL_NUMERATOR):
        numerator = numerator * temperature_c + term
    return numerator / (1 + KELL_DENOMINATOR_SLOPE * temperature_c) / 1000


def water_fill_volume_cm3(pan: WaterFill) -> float:
    """Mass of the water over its density at its temperature, cm³. Raises Refusal outside 0 to 100 °C."""
    return pan.mass_g / water_density_g_per_cm3(pan.temperature_c)


_VOLUMES: dict[type[Pan], Callable[[Any], float]] = {
    Box: box_volume_cm3,
    Tapered: tapered_volume_cm3,
    Round: round_volume_cm3,
    Oval: oval_volume_cm3,
    KnownVolume: lambda pan: pan.volume_cm3,
    WaterFill: water_fill_volume_cm3,
}


def pan_volume(pan: Pan) -> PanVolume:
    """What a pan of any kind holds, level full.

    Raises Refusal, at a field of the pan, for a dimension that no pan has, a volume outside 20 to
    200 000 cm³, or water that is not liquid. A base larger than the top is allowed, with a note.
    Evidence: exact, given the measurements.
    """
    for field in fields(pan):
        if field.name.endswith("_cm"):
            _require_dimension(field.name.removesuffix("_cm"), getattr(pan, field.name))
    function = _VOLUMES[type(pan)]
    volume = function(pan)
    _require_volume(pan, volume, function)
    return PanVolume(volume, isinstance(pan, KnownVolume | WaterFill), tuple(_remarks(pan)))


def _within(low: float, value: float, high: float) -> bool:
    return low * (1 - ROUNDING) <= value <= high * (1 + ROUNDING)


def _require_dimension(argument: str, value_cm: float) -> None:
    if _within(SMALLEST_DIMENSION_CM, value_cm, LARGEST_DIMENSION_CM):
        return
    nearest = LARGEST_DIMENSION_CM if value_cm > LARGEST_DIMENSION_CM else SMALLEST_DIMENSION_CM
    raise Refusal(
        argument,
        "pan_dimension_out_of_range",
        "no loaf pan measures {given} here; inside dimensions run from {low} to {high} (is the unit right?)",
        given=value_cm,
        nearest=nearest,
        quantity="length",
        amounts={
            "given": (value_cm, "length"),
            "low": (SMALLEST_DIMENSION_CM, "length"),
            "high": (LARGEST_DIMENSION_CM, "length"),
        },
    )


def _require_volume(pan: Pan, volume_cm3: float, function: Callable[[Any], float]) -> None:
    """Refuse an implausible volume at the pan's last field, to which every kind's volume is proportional."""
    if _within(SMALLEST_PAN_CM3, volume_cm3, LARGEST_PAN_CM3):
        return
    limit = LARGEST_PAN_CM3 if volume_cm3 > LARGEST_PAN_CM3 else SMALLEST_PAN_CM3
    name = "mass_g" if isinstance(pan, WaterFill) else fields(pan)[-1].name
    suffix = name[name.rindex("_") :]
    given: float = getattr(pan, name)
    changed: dict[str, Any] = {name: 1.0}
    works = limit / function(replace(pan, **changed))
    is_pan = suffix != "_cm" or _within(SMALLEST_DIMENSION_CM, works, LARGEST_DIMENSION_CM)
    raise Refusal(
        name.removesuffix(suffix),
        "pan_volume_out_of_range",
        "the pan would hold {volume}; loaf pans hold {low} to {high} (is the unit right?)",
        given=given,
        nearest=works if is_pan else None,
        quantity=QUANTITY_OF_SUFFIX[suffix],
        amounts={
            "volume": (volume_cm3, "volume"),
            "low": (SMALLEST_PAN_CM3, "volume"),
            "high": (LARGEST_PAN_CM3, "volume"),
        },
    )


def _remarks(pan: Pan) -> Iterator[Note]:
    match pan:
        case Tapered() | Oval():
            upside_down = pan.base_length_cm > pan.top_length_cm or pan.base_width_cm > pan.top_width_cm
        case Round():
            upside_down = pan.base_diameter_cm > pan.top_diameter_cm
        case _:
            upside_down = False
    if upside_down:
        yield Note("base_above_top")
    if not isinstance(pan, KnownVolume | WaterFill):
        yield Note("calculated_pan_volume")
