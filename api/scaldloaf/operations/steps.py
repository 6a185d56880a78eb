"""The steps of an answer, and numbers written for them."""

from typing import Any

from scaldloaf.units import Units

_METRIC = {"mass": "g", "length": "cm", "volume": "cm³"}


def counted(number: int, one: str, more: str) -> str:
    """A number of things, in words: ``1 entry``, ``2 entries``."""
    return f"{number} {one if number == 1 else more}"


def format_number(value: float) -> str:
    """A number as a baker would write it: up to six significant digits, no exponent.

    Below a billionth there is one all the same, as a row of zeros says less.
    """
    if value == 0:
        return "0"
    magnitude = abs(value)
    if magnitude >= 1e6:
        return f"{value:.0f}"
    if magnitude < 1e-9:
        return f"{value:.1e}"
    shown = f"{value:.6g}"
    return shown if "e" not in shown else f"{value:.12f}".rstrip("0").rstrip(".")


def bracketed(number: str) -> str:
    """A number for the middle of an expression, in brackets when it is below zero."""
    return f"({number})" if number.startswith("-") else number


def straight_between(place: float, start: tuple[float, float], end: tuple[float, float]) -> str:
    """An expression that reads a table between two of its points, (place, value) each."""
    (before, low), (after, high) = start, end
    number = format_number
    return (
        f"{number(low)} + ({number(high)} − {number(low)}) × ({number(place)} − {number(before)}) ÷ "
        f"({number(after)} − {number(before)})"
    )


class Working:
    """The steps of an answer, in the units of the request."""

    __slots__ = ("steps", "units")

    def __init__(self, units: Units):
        self.units = units
        self.steps: list[dict[str, Any]] = []

    def step(
        self, label: str, expression: str, value: float, quantity: str | None = None, unit: str = ""
    ) -> None:
        """Add a step.

        Parameters
            label : str
            expression : str  arithmetic to be redone, or words
            value : float  [the craft's own unit] what it comes to
            quantity : str or None  what the value measures; None: a number that needs no conversion
            unit : str  of a number without a quantity (``"% of flour"``)
        """
        self.steps.append(
            {
                "label": label,
                "expression": expression,
                "value": self.units.to_wire(value, quantity),
                "unit": self.units.name(quantity) if quantity else unit,
            }
        )

    def format(self, value: float, quantity: str | None = None) -> str:
        """A number of the craft for an expression, in the request's unit: ``"17.6 oz"``."""
        shown = format_number(self.units.to_wire(value, quantity))
        return f"{shown} {self.units.symbol(quantity)}" if quantity else shown

    def metric(self, value: float, quantity: str) -> str:
        """A mass in g, length in cm or volume in cm³, for a step in these; in the request's unit first."""
        metric = f"{format_number(value)} {_METRIC[quantity]}"
        return metric if self._is_metric(quantity) else f"{self.format(value, quantity)} ({metric})"

    def ending(self, expression: str, value: float, quantity: str) -> str:
        """An expression that comes out in g or cm³, ending in that value where the step's unit is another.

        ``"1714.75 cm³ ÷ 3.648 cm³/g = 470 g"`` for a step in ounces.
        """
        if self._is_metric(quantity):
            return expression
        return f"{expression} = {format_number(value)} {_METRIC[quantity]}"

    def _is_metric(self, quantity: str) -> bool:
        return self.units.to_wire(1.0, quantity) == 1
