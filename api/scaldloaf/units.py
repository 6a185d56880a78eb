"""Wire units to and from the craft's own (g, cm, cm3, degC): converted once, at the edge.

The factors are the exact legal definitions (international pound and inch, US gallon); a test
proves every pair of them against pint, which is never on the path of a request.
"""

from dataclasses import dataclass
from functools import lru_cache

IN_CM = 2.54
LB_G = 453.59237
IN3_CM3 = IN_CM ** 3
GALLON_US_CM3 = 231 * IN3_CM3

# quantity -> unit -> (factor to our own unit, UCUM code, label)
FACTORS: dict[str, dict[str, tuple[float, str, str]]] = {
    "mass": {
        "g": (1.0, "g", "gram"),
        "kg": (1000.0, "kg", "kilogram"),
        "oz": (LB_G / 16, "[oz_av]", "ounce (avoirdupois)"),
        "lb": (LB_G, "[lb_av]", "pound (avoirdupois)"),
    },
    "length": {
        "mm": (0.1, "mm", "millimetre"),
        "cm": (1.0, "cm", "centimetre"),
        "in": (IN_CM, "[in_i]", "inch"),
    },
    "volume": {
        "cm3": (1.0, "cm3", "cubic centimetre"),
        "ml": (1.0, "mL", "millilitre"),
        "l": (1000.0, "L", "litre"),
        "in3": (IN3_CM3, "[cin_i]", "cubic inch"),
        "fl_oz_us": (GALLON_US_CM3 / 128, "[foz_us]", "US fluid ounce"),
        "cup_us": (GALLON_US_CM3 / 16, "[cup_us]", "US cup"),
    },
}
TEMPERATURES = {"degC": ("Cel", "degree Celsius"), "degF": ("[degF]", "degree Fahrenheit")}
TEMPERATURE_DIFFERENCE = "temperature_difference"       # a friction or a rise: scaled, never offset
_FACTOR = {quantity: f"{quantity}_factor" for quantity in FACTORS}
DEFAULTS = {"mass": "g", "length": "cm", "volume": "cm3", "temperature": "degC"}
# How a unit is written in a sentence, where that is not its wire name.
SYMBOLS = {"cm3": "cm³", "in3": "in³", "fl_oz_us": "US fl oz", "cup_us": "US cup", "degC": "°C", "degF": "°F"}


@dataclass(frozen=True, slots=True)
class Units:
    """The units one request speaks, with a factor each; temperatures have an offset too."""

    mass: str
    length: str
    volume: str
    temperature: str
    mass_factor: float
    length_factor: float
    volume_factor: float
    fahrenheit: bool

    def from_wire(self, value: float, quantity: str | None) -> float:
        """A wire number of that quantity in our own unit."""
        if quantity is None:
            return value
        if quantity == "temperature":
            return (value - 32) / 1.8 if self.fahrenheit else value
        if quantity == TEMPERATURE_DIFFERENCE:
            return value / 1.8 if self.fahrenheit else value
        return value * getattr(self, _FACTOR[quantity])

    def to_wire(self, value: float, quantity: str | None) -> float:
        """One of our own numbers in the wire unit of that quantity."""
        if quantity is None:
            return value
        if quantity == "temperature":
            return value * 1.8 + 32 if self.fahrenheit else value
        if quantity == TEMPERATURE_DIFFERENCE:
            return value * 1.8 if self.fahrenheit else value
        return value / getattr(self, _FACTOR[quantity])

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
        return {"mass": self.mass, "length": self.length, "volume": self.volume,
                "temperature": self.temperature}


@lru_cache(maxsize=256)
def units_of(mass: str = "g", length: str = "cm", volume: str = "cm3", temperature: str = "degC") -> Units:
    """The Units for four unit names; a KeyError for a name the schema should have refused."""
    return Units(mass, length, volume, temperature, FACTORS["mass"][mass][0], FACTORS["length"][length][0],
                 FACTORS["volume"][volume][0], {"degC": False, "degF": True}[temperature])
