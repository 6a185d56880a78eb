"""Masses, times and temperatures as a language writes them, each with what the printed figure comes to.

Nothing here has a thousands mark: one language's mark is another's decimal mark.
"""

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from scaldloaf.exporting.vocabulary import Spoons, Words
from scaldloaf.importing.words.vocabulary import MEASURED_AS
from scaldloaf.reference import Ingredient
from scaldloaf.units import size, units_of

METRIC, US, BOTH = MEASURES = "metric", "us", "both"

GRAMS_PER_OUNCE, GRAMS_PER_POUND = size("mass", "oz"), size("mass", "lb")
OUNCES_PER_POUND = 16
# Which digits are printed: choices of form, not facts of the craft.
WHOLE_FROM_G = 20.0  # whole grams from here on, unless the mass has one decimal and no more
ONE_DECIMAL_BELOW_G = 100.0
WHOLE_TENTHS_FROM_OZ = 10.0  # tenths of an ounce from here on, hundredths below
LEAST_DIGITS = 2  # of what is too small for these decimals
MOST_SPOONED_G = GRAMS_PER_OUNCE  # more of a thing is weighed, by US measures too
SPOON_OFF = 0.05  # a spoon is only printed where its rounding changes the mass by no more than this
EIGHTHS, QUARTERS = 8, 4
MOST_EIGHTHS_TSP = 2  # eighths of a teaspoon up to here, then quarters
MINUTES_PER_HOUR = 60
HOURS_FROM_MINUTES = 120
LOOSE = "loose"
_FAHRENHEIT = units_of(temperature="degF")


class Printed(NamedTuple):
    """An amount as it is printed, and the mass that comes to, g."""

    text: str
    mass_g: float


def print_mass(mass_g: float, measures: str, words: Words, ingredient: Ingredient | None = None) -> Printed:
    """A mass in the measures asked for.

    Parameters
        mass_g : float  [g]
        measures : str  one of MEASURES
        words : Words
        ingredient : Ingredient or None  what it is of; a small mass of it may be spooned
    Returns
        Printed  [g]; in both measures what is printed in grams
    """
    if measures == METRIC:
        return _grams(mass_g, words)
    spooned = ingredient and _spoons(mass_g, ingredient, words)
    by_us = spooned or _ounces(mass_g, words)
    if measures == US:
        return by_us
    metric = _grams(mass_g, words)
    return Printed(words.both.format(metric=metric.text, us=by_us.text), metric.mass_g)


def number(value: float, decimals: int, words: Words) -> str:
    """A number to so many decimals, or to two digits where those would be fewer, without zeros at its end."""
    shown = f"{value:.{decimals}f}"
    if abs(value) < 10 ** (LEAST_DIGITS - 1 - decimals) and value:
        shown = f"{Decimal(f'{value:.{LEAST_DIGITS - 1}e}'):f}"
    if "." in shown:
        shown = shown.rstrip("0").rstrip(".")
    return shown.replace(".", words.decimal)


def _value(shown: str, words: Words) -> float:
    return float(shown.replace(words.decimal, "."))


def _grams(mass_g: float, words: Words) -> Printed:
    """Whole grams, with a decimal where the mass is small."""
    has_one_decimal = abs(mass_g - round(mass_g, 1)) < 1e-6 and mass_g < ONE_DECIMAL_BELOW_G
    decimals = 1 if mass_g < WHOLE_FROM_G or has_one_decimal else 0
    shown = number(mass_g, decimals, words)
    return Printed(words.units["gram"].format(n=shown), _value(shown, words))


def _ounces(mass_g: float, words: Words) -> Printed:
    """Pounds and ounces."""
    ounces = mass_g / GRAMS_PER_OUNCE
    if ounces < WHOLE_TENTHS_FROM_OZ:
        shown = number(ounces, 2, words)
        return Printed(words.units["ounce"].format(n=shown), _value(shown, words) * GRAMS_PER_OUNCE)
    tenths = round(ounces * 10)
    pounds, rest = divmod(tenths, 10 * OUNCES_PER_POUND)
    parts = []
    if pounds:
        parts.append(words.units["pound"].format(n=pounds))
    if rest:
        parts.append(words.units["ounce"].format(n=number(rest / 10, 1, words)))
    text = parts[0]
    if len(parts) > 1:
        text = words.units["pounds_and_ounces"].format(first=parts[0], second=parts[1])
    return Printed(text, pounds * GRAMS_PER_POUND + rest / 10 * GRAMS_PER_OUNCE)


def _spoons(mass_g: float, ingredient: Ingredient, words: Words) -> Printed | None:
    """Tablespoons and teaspoons; None where the ingredient is not spooned, or no spoon comes near."""
    density = ingredient.density_g_per_cm3
    if density is None or mass_g >= MOST_SPOONED_G or MEASURED_AS.get(ingredient.name) == LOOSE:
        return None
    spoons = words.spoons
    teaspoons = mass_g / density / spoons.teaspoon_cm3
    per_tablespoon = round(spoons.tablespoon_cm3 / spoons.teaspoon_cm3)
    steps = EIGHTHS if teaspoons < MOST_EIGHTHS_TSP else QUARTERS
    counted = Fraction(round(teaspoons * steps), steps)
    if abs(float(counted) - teaspoons) > SPOON_OFF * teaspoons:
        return None
    whole, rest = divmod(counted, per_tablespoon)
    parts = []
    if whole:
        parts.append(words.units["tablespoon"].format(n=whole))
    if rest:
        parts.append(words.units["teaspoon"].format(n=_fraction(rest, words)))
    text = parts[0]
    if len(parts) > 1:
        text = words.units["spoons_and_spoons"].format(first=parts[0], second=parts[1])
    return Printed(text, _spooned_g(int(whole), rest, density, spoons))


def _spooned_g(tablespoons: int, teaspoons: Fraction, density: float, spoons: Spoons) -> float:
    return (tablespoons * spoons.tablespoon_cm3 + float(teaspoons) * spoons.teaspoon_cm3) * density


def _fraction(value: Fraction, words: Words) -> str:
    whole, part = divmod(value, 1)
    if not part:
        return str(whole)
    if not whole:
        return str(part)
    return words.units["mixed"].format(whole=whole, fraction=part)


def print_temperature(value_c: float, measures: str, words: Words) -> str:
    """A temperature in whole degrees, in the scale or scales of the measures.

    Parameters
        value_c : float  [°C]
        measures : str  one of MEASURES
        words : Words
    Returns
        str
    """
    celsius = words.units["celsius"].format(n=_degrees(value_c))
    fahrenheit = words.units["fahrenheit"].format(n=_degrees(_FAHRENHEIT.to_wire(value_c, "temperature")))
    if measures == METRIC:
        return celsius
    return fahrenheit if measures == US else words.both.format(metric=celsius, us=fahrenheit)


def _degrees(value: float) -> str:
    return f"{round(value)}".replace("-", "−")


def print_time(minutes: float, words: Words) -> str:
    """A time: minutes up to two hours, then hours and minutes."""
    if minutes < HOURS_FROM_MINUTES:
        return words.units["minutes"].format(n=number(minutes, 0 if minutes >= 1 else 1, words))
    hours, rest = divmod(round(minutes), MINUTES_PER_HOUR)
    if not rest:
        return words.units["hours"].format(n=hours)
    return words.units["hours_and_minutes"].format(hours=hours, minutes=rest)


def iso_duration(minutes: float) -> str:
    """A time as ISO 8601 writes it, in whole minutes: ``PT12H35M``."""
    hours, rest = divmod(round(minutes), MINUTES_PER_HOUR)
    shown = f"{hours}H" if hours else ""
    return f"PT{shown}{rest}M" if rest or not shown else f"PT{shown}"
