"""What an operation is, and the call it answers."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from marshmallow import Schema

from scaldloaf.dough.estimate import Estimate
from scaldloaf.reference import CAUTIONS
from scaldloaf.units import TEMPERATURES, Units, units_of

_METRIC = {"mass": "g", "length": "cm", "volume": "cm³"}


def _cautions_in(units: Units) -> dict[str, dict]:
    """The cautions on the wire, their temperatures in whole degrees of the request's scale."""

    def degrees(value_c: float) -> str:
        return f"{units.to_wire(value_c, 'temperature'):.0f} {units.symbol('temperature')}"

    return {
        code: {"code": code, "text": row.text_in(degrees), "defer_to": row.defer_to}
        for code, row in CAUTIONS.items()
    }


_CAUTIONS = {scale: _cautions_in(units_of(temperature=scale)) for scale in TEMPERATURES}


@dataclass(frozen=True, slots=True)
class Example:
    """A runnable request, for the document, the docs and the tests."""

    name: str
    summary: str
    body: dict


@dataclass(frozen=True, slots=True)
class Operation:
    """One calculation: everything the route, the document, bulk and the tests need to know.

    request is the schema of its requests; that of its replies is in ``schemas/replies``. run(request, call)
    gets a request that the schema's gate has accepted and returns the reply.
    pointers maps the head of a Refusal's argument to the JSON Pointer it stands at, where the
    two differ (``{"share_percent": "/want/scalded_share_percent"}``). writers: other media types the
    reply can be asked for in, each with the function that writes it.
    """

    name: str
    summary: str
    description: str
    request: type[Schema]
    run: Callable[[dict, "Call"], dict]
    examples: tuple[Example, ...]
    pointers: Mapping[str, str] = field(default_factory=dict)
    writers: Mapping[str, Callable[[dict], bytes]] = field(default_factory=dict)

    @property
    def path(self) -> str:
        return f"/v1/{self.name}"


def plain(value: float) -> str:
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
    return (
        f"{plain(low)} + ({plain(high)} − {plain(low)}) × ({plain(place)} − {plain(before)}) ÷ "
        f"({plain(after)} − {plain(before)})"
    )


class Working:
    """The steps of an answer, in the units of the request."""

    __slots__ = ("units", "steps")

    def __init__(self, units: Units):
        self.units = units
        self.steps: list[dict] = []

    def step(
        self, label: str, expression: str, value: float, quantity: str | None = None, unit: str = ""
    ) -> None:
        """Add a step. ``value`` is in our own unit; ``quantity`` names what it measures, or ``unit``
        gives the unit of a number that needs no conversion (``"% of flour"``)."""
        self.steps.append(
            {
                "label": label,
                "expression": expression,
                "value": self.units.to_wire(value, quantity),
                "unit": self.units.name(quantity) if quantity else unit,
            }
        )

    def say(self, value: float, quantity: str | None = None) -> str:
        """A number of ours in words for an expression: ``"17.6 oz"``."""
        shown = plain(self.units.to_wire(value, quantity))
        return f"{shown} {self.units.symbol(quantity)}" if quantity else shown

    def metric(self, value: float, quantity: str) -> str:
        """A mass in g, length in cm or volume in cm³, for a step in these; in the request's own unit first."""
        metric = f"{plain(value)} {_METRIC[quantity]}"
        return metric if self.units.to_wire(1.0, quantity) == 1 else f"{self.say(value, quantity)} ({metric})"

    def ending(self, expression: str, value: float, quantity: str) -> str:
        """An expression that comes out in g or cm³, ending in that value where the step's unit is
        another: ``"1714.75 cm³ ÷ 3.648 cm³/g = 470 g"`` for a step in ounces."""
        ours = self.units.to_wire(1.0, quantity) == 1
        return expression if ours else f"{expression} = {plain(value)} {_METRIC[quantity]}"


class Call:
    """The units one request speaks, and whether it wants the working."""

    __slots__ = ("units", "full")

    def __init__(self, units: Units, full: bool = True):
        self.units = units
        self.full = full

    def estimate(self, estimate: Estimate, quantity: str | None = None) -> dict:
        """An estimate of ours on the wire."""
        out = self.units.to_wire
        return {
            "low": out(estimate.low, quantity),
            "best": out(estimate.best, quantity),
            "high": out(estimate.high, quantity),
            "evidence": estimate.evidence,
        }

    def reply(
        self,
        answer: dict,
        working: Callable[[Working], None],
        basis: Iterable[str] = (),
        cautions: Iterable[str] = (),
        notes: Iterable[tuple[str, str]] = (),
    ) -> dict:
        """Complete an answer with what every reply carries.

        ``working`` is only called when the working is wanted, and only then are ``notes``, (code, text)
        pairs, gone through: a generator of them costs nothing otherwise.
        """
        answer["units"] = self.units.as_wire()
        said = _CAUTIONS[self.units.temperature]
        answer["cautions"] = [said[code] for code in dict.fromkeys(cautions)]
        if self.full:
            steps = Working(self.units)
            working(steps)
            answer["working"] = steps.steps
            answer["basis"] = list(dict.fromkeys(basis))
            answer["notes"] = [{"code": code, "text": text} for code, text in dict.fromkeys(notes)]
        return answer
