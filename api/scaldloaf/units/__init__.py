"""Wire units to and from the craft's own (g, cm, cm³, °C), converted once, at the edge.

``units.txt`` defines every unit. pint derives the sizes at the start (``derive``); no request calls it.
"""

from scaldloaf.units.wire_units import (
    DEFAULTS,
    DEGREES,
    FACTORS,
    SYMBOLS,
    TEMPERATURE_DIFFERENCE,
    TEMPERATURES,
    Degrees,
    Units,
    size,
    units_of,
)

__all__ = [
    "DEFAULTS",
    "DEGREES",
    "FACTORS",
    "SYMBOLS",
    "TEMPERATURES",
    "TEMPERATURE_DIFFERENCE",
    "Degrees",
    "Units",
    "size",
    "units_of",
]
