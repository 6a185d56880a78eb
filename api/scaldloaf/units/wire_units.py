"""The units that a request may use, and the conversion of its numbers to and from the craft's own."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from scaldloaf import pint_apart
from scaldloaf.units.derive import Scale, UnitFileError, definitions, read_back, scales

# quantity -> unit that a request may use -> (UCUM code, label)
_WIRE = {
    "mass": {
        "g": ("g", "gram"),
        "kg": ("kg", "kilogram"),
        "oz": ("[oz_av]", "ounce (avoirdupois)"),
        "lb": ("[lb_av]", "pound (avoirdupois)"),
    },
    "length": {
        "mm": ("mm", "millimetre"),
        "cm": ("cm", "centimetre"),
        "in": ("[in_i]", "inch"),
    },
    "volume": {
        "cm3": ("cm3", "cubic centimetre"),
        "ml": ("mL", "millilitre"),
        "l": ("L", "litre"),
        "in3": ("[cin_i]", "cubic inch"),
        "fl_oz_us": ("[foz_us]", "US fluid ounce"),
        "cup_us": ("[cup_us]", "US cup"),
    },
}
TEMPERATURES = {"degC": ("Cel", "degree Celsius"), "degF": ("[degF]", "degree Fahrenheit")}


class Degrees(NamedTuple):
    """A temperature scale: degC = (number - zero) × numerator ÷ denominator.

    The size is kept as a fraction because 5/9 is no float: 59 degF is 15 degC, not 15.000000000000002.
    """

    zero: float
    numerator: float
    denominator: float


def _scales() -> dict[str, dict[str, Scale]]:
    try:
        found = pint_apart.answer()
    except pint_apart.PintFailed as error:
        raise UnitFileError(str(error)) from error
    return read_back(found) if found else scales(definitions())


_SCALES = _scales()


def _scale(quantity: str, unit: str) -> Scale:
    if unit not in _SCALES[quantity]:
        raise UnitFileError(f"units.txt defines no unit of {quantity} named {unit!r}")
    return _SCALES[quantity][unit]


def size(quantity: str, unit: str) -> float:
    """The size of a unit of units.txt in the craft's own, to the nearest float. Raises UnitFileError."""
    return float(_scale(quantity, unit).size)


def _degrees(unit: str) -> Degrees:
    exact, zero = _scale("temperature", unit)
    return Degrees(float(zero), float(exact.numerator), float(exact.denominator))


# quantity -> unit that a request may use -> (size, UCUM code, label)
FACTORS: dict[str, dict[str, tuple[float, str, str]]] = {
    quantity: {unit: (size(quantity, unit), *names) for unit, names in table.items()}
    for quantity, table in _WIRE.items()
}
DEGREES = {unit: _degrees(unit) for unit in TEMPERATURES}
TEMPERATURE_DIFFERENCE = "temperature_difference"  # a friction or a rise: scaled, never offset
_ON_A_SCALE = ("temperature", TEMPERATURE_DIFFERENCE)
DEFAULTS = {"mass": "g", "length": "cm", "volume": "cm3", "temperature": "degC"}
# How a unit is written in a sentence, where that is not its wire name.
SYMBOLS = {"cm3": "cm³", "in3": "in³", "fl_oz_us": "US fl oz", "cup_us": "US cup", "degC": "°C", "degF": "°F"}


@dataclass(frozen=True, slots=True)
class Units:
    """The units of one request. ``factors``: quantity -> size of its unit in the craft's own."""

    mass: str
    length: str
    volume: str
    temperature: str
    factors: Mapping[str, float] = field(compare=False)
    degrees: Degrees = field(compare=False)

    def from_wire(self, value: float, quantity: str | None) -> float:
        """A number of a request in the craft's own unit of that quantity."""
        if quantity is None:
            return value
        if quantity in _ON_A_SCALE:
            if self.temperature == "degC":
                return value
            zero, numerator, denominator = self.degrees
            above_zero = value if quantity == TEMPERATURE_DIFFERENCE else value - zero
            return above_zero * numerator / denominator
        return value * self.factors[quantity]

    def to_wire(self, value: float, quantity: str | None) -> float:
        """A number of the craft's in the request's unit of that quantity."""
        if quantity is None:
            return value
        if quantity in _ON_A_SCALE:
            if self.temperature == "degC":
                return value
            zero, numerator, denominator = self.degrees
            degrees = value * denominator / numerator
            return degrees if quantity == TEMPERATURE_DIFFERENCE else degrees + zero
        return value / self.factors[quantity]

    def name(self, quantity: str | None) -> str:
        """The wire unit of that quantity, e.g. ``"oz"``; ``""`` for a bare number."""
        if quantity == TEMPERATURE_DIFFERENCE:
            return self.temperature
        return "" if quantity is None else getattr(self, quantity)

    def symbol(self, quantity: str | None) -> str:
        """The same for a sentence, e.g. ``"°F"``."""
        name = self.name(quantity)
        return SYMBOLS.get(name, name)

    def as_wire(self) -> dict[str, str]:
        """Quantity -> unit, as in a request."""
        return {
            "mass": self.mass,
            "length": self.length,
            "volume": self.volume,
            "temperature": self.temperature,
        }


@lru_cache(maxsize=256)
def units_of(mass: str = "g", length: str = "cm", volume: str = "cm3", temperature: str = "degC") -> Units:
    """The Units of four unit names.

    Parameters
        mass, length, volume, temperature : str  wire names
    Returns
        Units
    Raises
        KeyError: for a name that the schema should have refused.
    """
    named = {"mass": mass, "length": length, "volume": volume}
    return Units(
        **named,
        temperature=temperature,
        degrees=DEGREES[temperature],
        factors={quantity: FACTORS[quantity][unit][0] for quantity, unit in named.items()},
    )
