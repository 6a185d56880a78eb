"""Recalculates the expressions of a working, by a small grammar.

A printed number means every number that prints the same: 1.5 is 1.499995 to 1.500005. The result of a side
is therefore an interval, the most that a reader can know from the printed text.
Anything outside the grammar is an error.

    expression  side (" = " side)*  [", rounded up"]  [", as " side " is not above " side]  ["; " remark]
    side        "the larger of " side " and " side, or sums and products of factors with + − × ÷
    factor      number [unit] [" (" the same in metric ")"], "(" side ")", a function of a side, π, or a term;
                then ² or ^ factor, and a note such as " of flour"
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache
from math import ceil, e, exp, log, pi, sqrt
from typing import NamedTuple

from scaldloaf.units import FACTORS, SYMBOLS

SIGNIFICANT, DECIMALS = 6, 12  # digits that operations print
FLOAT = 1e-9  # relative rounding error of floats


class NotArithmetic(AssertionError):
    """An expression that the grammar does not know."""


# ---- Intervals -------------------------------------------------------------------------------------


class Interval(NamedTuple):
    """The lowest to the highest value that printed numbers allow."""

    low: float
    high: float

    def holds(self, value: float) -> bool:
        slack = FLOAT * max(abs(value), abs(self.low), abs(self.high)) + 1e-15
        return self.low - slack <= value <= self.high + slack

    def meets(self, other: "Interval") -> bool:
        return self.holds(other.low) or self.holds(other.high) or other.low <= self.low <= other.high

    def times(self, factor: float) -> "Interval":
        return Interval(self.low * factor, self.high * factor)


def _span(*values: float) -> Interval:
    return Interval(min(values), max(values))


def _plus(one: Interval, other: Interval) -> Interval:
    return Interval(one.low + other.low, one.high + other.high)


def _minus(one: Interval, other: Interval) -> Interval:
    return Interval(one.low - other.high, one.high - other.low)


def _times(one: Interval, other: Interval) -> Interval:
    return _span(*(left * right for left in one for right in other))


def _over(one: Interval, other: Interval) -> Interval:
    if other.low <= 0 <= other.high:
        raise NotArithmetic("a divisor that may be nothing")
    return _span(*(left / right for left in one for right in other))


def _power(base: Interval, exponent: Interval) -> Interval:
    if base.low <= 0:
        raise NotArithmetic("a power of what may not be above 0")
    return _span(*(left**right for left in base for right in exponent))


def _square(value: Interval) -> Interval:
    ends = _span(value.low**2, value.high**2)
    return Interval(0.0, ends.high) if value.low < 0 < value.high else ends


def _rising(function: Callable[[float], float]) -> Callable[[Interval], Interval]:
    def of(value: Interval) -> Interval:
        try:
            return Interval(function(value.low), function(value.high))
        except ValueError as error:
            raise NotArithmetic(f"{function.__name__} of {value}") from error

    return of


def printed(text: str) -> Interval:
    """The interval that a printed number means."""
    number = Decimal(text)
    if "e" in text:
        half = Decimal(5).scaleb(number.as_tuple().exponent - 1)
    elif number:
        half = max(
            Decimal(5).scaleb(min(number.adjusted() - SIGNIFICANT, -1)), Decimal(5).scaleb(-DECIMALS - 1)
        )
    else:
        half = Decimal(0)
    return Interval(float(number - half), float(number + half))


# ---- Words -----------------------------------------------------------------------------------------

_FUNCTIONS = {"exp(": _rising(exp), "ln(": _rising(log), "√(": _rising(sqrt), "(": lambda value: value}
_CONSTANTS = {"π": pi, "e": e}
# unit as written -> its quantity and its size in our unit
SIZES = {
    written: (quantity, size)
    for quantity, table in FACTORS.items()
    for unit, (size, *_) in table.items()
    for written in (unit, SYMBOLS.get(unit, unit))
} | {f"{unit}³": ("volume", size**3) for unit, (size, *_) in FACTORS["length"].items()}
_COMPOUND = ("cm³/g", "cm³ per g", "g/cm³", "g/cm3", "kJ per kg and K", "atm", "min", "°C", "°F", "%")
_SUGARS = ("sucrose", "glucose", "fructose", "maltose", "lactose")
_OF = (
    "flour",
    "water",
    "fat",
    "sugar",
    "protein",
    "salt",
    "other solids",
    "the flour",
    "water and milk",
    "bread",
)
_OF += ("pan", "rim", "crown", "rise", "friction")
_OTHER_NOTES = (
    *(
        " as instant",
        " as written",
        " on hand",
        " in the formula",
        " in the scald",
        " in °C",
        " evaporated",
        " left",
    ),
    *(" to reach", " not there", " without scald", " for the share", " for the water", " from the tap"),
    *(
        ", and so each line",
        ", held as it was",
        ", nothing lost in handling",
        " for the water, at most that far off",
    ),
)
_CAUSES = (
    *(
        "measuring",
        "fullness judged by height",
        "the measured bake's chance",
        "the next bake's chance",
        "trials",
    ),
    *("other bakers' loaves", "effect of the scald", "effect of the water", "bake loss", "cooling loss"),
)


def _any_of(words: Iterable[str]) -> str:
    """A pattern that matches the longest of some words."""
    return "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))


_NUMBER = re.compile(r"\d+(?:\.\d+)?(?:e-\d+)?")
_UNIT = re.compile(f" ({_any_of({*SIZES, *_COMPOUND})})(?![\\w³/]| °C| the )")  # "30 in °C" has no inches
_SAME_IN_METRIC = re.compile(r" \((?=[\d.]+ (?:kg|g|cm³|cm)\))")
_NOTE = re.compile(
    _any_of([*(f" of {what}" for what in _OF), *_OTHER_NOTES, *(f" ({cause})" for cause in _CAUSES)])
)
_AT = re.compile(r" at -?(\d[\d.]*) °[CF]")
_CONSTANT = re.compile(r"π|e(?=\^)")


@cache
def _names_before_a_number(names: frozenset[str]) -> re.Pattern:
    return re.compile(rf"(?:{_any_of({*names, *_SUGARS})}) (?=\d)")


# ---- Reading ---------------------------------------------------------------------------------------


class Number(NamedTuple):
    """A printed number with its unit."""

    text: str
    unit: str | None
    value: Interval

    def __str__(self) -> str:
        return self.text + (f" {self.unit}" if self.unit else "")


@dataclass(slots=True)
class Redone:
    """The result of an expression.

    sides: each with its unit if it is a single amount. numbers: all its numbers; those of one entry are one
    amount in two units. remark: the text after a semicolon.
    """

    sides: list[tuple[Interval, str | None]] = field(default_factory=list)
    numbers: list[tuple[Number, ...]] = field(default_factory=list)
    remark: str = ""

    @property
    def ends_in_its_value(self) -> bool:
        """Whether its last side only repeats the result of the others."""
        return len(self.sides) > 1 and self.sides[-1][1] is not None


class _Reader:
    """One expression, read from left to right."""

    def __init__(self, text: str, names: Iterable[str], terms: Iterable):
        self.text, self.at, self.terms = text, 0, tuple(terms)
        self.names = _names_before_a_number(frozenset(names))
        self.redone = Redone()

    def _error(self, what: str) -> NotArithmetic:
        return NotArithmetic(f"{self.text!r}: {what} at {self.text[self.at :]!r}")

    def _take(self, *words: str) -> str | None:
        for word in words:
            if self.text.startswith(word, self.at):
                self.at += len(word)
                return word
        return None

    def _expect(self, word: str) -> None:
        if not self._take(word):
            raise self._error(f"no {word!r}")

    def _match(self, pattern: re.Pattern) -> re.Match | None:
        found = pattern.match(self.text, self.at)
        if found:
            self.at = found.end()
        return found

    def expression(self) -> Redone:
        self._add_side()
        while self._take(" = "):
            self._add_side()
        if self._take(", rounded up"):
            low, high = self.redone.sides[-1][0]
            self.redone.sides[-1] = Interval(ceil(low * (1 - FLOAT)), ceil(high * (1 - FLOAT))), None
        if self._take(", as "):
            below = self._side()
            self._expect(" is not above ")
            if below.low > self._side().high:
                raise self._error("it is above")
        if self._take("; "):
            self.redone.remark, self.at = self.text[self.at :], len(self.text)
        if self.at != len(self.text):
            raise self._error("neither an operator nor a known note")
        return self.redone

    def _add_side(self) -> None:
        begins, before = self.at, len(self.redone.numbers)
        value, own = self._side(), self.redone.numbers[before:]
        bare = len(own) == 1 and self.text[begins : self.at].removeprefix("-") == str(own[0][0])
        self.redone.sides.append((value, own[0][0].unit if bare else None))

    def _side(self) -> Interval:
        if self._take("the larger of "):
            one = self._side()
            self._expect(" and ")
            other = self._side()
            return Interval(max(one.low, other.low), max(one.high, other.high))
        # Only the first term of a sum may have a sign.
        value = _minus(Interval(0.0, 0.0), self._product()) if self._take("-", "−") else self._product()
        while sign := self._take(" + ", " − "):
            value = (_plus if sign == " + " else _minus)(value, self._product())
        return value

    def _product(self) -> Interval:
        value = self._factor()
        while sign := self._take(" × ", " ÷ "):
            value = (_times if sign == " × " else _over)(value, self._factor())
        return value

    def _factor(self) -> Interval:
        value = self._plain_factor()
        while mark := self._take("²", "^"):
            value = _square(value) if mark == "²" else _power(value, self._plain_factor())
        self._match(_NOTE)
        if found := self._match(_AT):
            self.redone.numbers.append((Number(found[1], None, printed(found[1])),))
        return value

    def _plain_factor(self) -> Interval:
        if found := self._match(_CONSTANT):
            return Interval(_CONSTANTS[found[0]], _CONSTANTS[found[0]])
        if word := self._take(*_FUNCTIONS):
            value = _FUNCTIONS[word](self._side())
            self._expect(")")
            return value
        for pattern, worth in self.terms:
            if found := self._match(pattern):
                return worth(found)
        self._match(self.names)
        return self._amount()

    def _amount(self) -> Interval:
        number = self._number()
        if number.unit in SIZES and self._match(_SAME_IN_METRIC):
            metric = self._number()
            self._expect(")")
            if not number.value.times(SIZES[number.unit][1]).meets(metric.value.times(SIZES[metric.unit][1])):
                raise self._error(f"{number} is not {metric}")
            self.redone.numbers.append((number, metric))
            return metric.value
        self.redone.numbers.append((number,))
        return number.value.times(0.01) if number.unit == "%" else number.value

    def _number(self) -> Number:
        found = self._match(_NUMBER)
        if not found:
            raise self._error("no number, function or known term")
        unit = self._match(_UNIT)
        return Number(found[0], unit[1] if unit else None, printed(found[0]))


def redo(expression: str, names: Iterable[str] = (), terms: Iterable = ()) -> Redone:
    """The result of an expression; raises NotArithmetic for one outside the grammar.

    names: words that may precede an amount, such as an ingredient. terms: (pattern, worth) for words in place
    of a number; worth(match) is their interval.
    """
    return _Reader(expression, names, terms).expression()


def why_not(redone: Redone, value: float, unit: str) -> str | None:
    """Why the result of an expression is not the step's value; None if it is.

    All sides must be equal, and the last one must be the value, in the step's unit or its own.
    """
    first = redone.sides[0][0]
    for side, _ in redone.sides[1:]:
        if not first.meets(side):
            return f"the sides come to {first} and {side}"
    side, own = redone.sides[-1]
    if own in SIZES and unit in SIZES:
        side = side.times(SIZES[own][1] / SIZES[unit][1])
    return None if side.holds(value) else f"it comes to {side}"
