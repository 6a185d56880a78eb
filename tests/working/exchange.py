"""Requests and replies of calls, read from JSON without any model."""

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME
from scaldloaf.reference import COEFFICIENTS, INGREDIENTS, Ingredient
from scaldloaf.units import Units, units_of

Z90 = 1.645  # half of a normal distribution's 90 % interval, in standard deviations


def value(name: str) -> float:
    """A coefficient's best value."""
    return COEFFICIENTS[name].value


@dataclass(frozen=True)
class Exchange:
    """One call: its name, its request and its reply."""

    call: str
    request: dict
    reply: dict

    @cached_property
    def units(self) -> Units:
        return units_of(**self.request.get("units", {}))

    @property
    def steps(self) -> list[dict]:
        return self.reply["working"]

    def step(self, label: str) -> dict:
        return next(step for step in self.steps if step["label"] == label)


def ask(call: str, request: dict) -> Exchange:
    """Makes a call, with the request as it comes from JSON.

    Where the call has found a formula that it answers for, the request is the one for that formula.
    """
    request = json.loads(json.dumps(request))
    reply = perform(BY_NAME[call], request)
    if "solve" in request:
        request = {name: value for name, value in request.items() if name != "solve"}
        request["formula"] = reply["solution"]["formula"]
    return Exchange(call, request, reply)


def with_parts(exchange: Exchange) -> Iterator[Exchange]:
    """A call, and each single call inside a plan."""
    yield exchange
    for part, request in exchange.reply.get("requests", {}).items():
        yield Exchange(part.replace("_", "-"), request, exchange.reply["parts"][part])


# ---- Parts of a request -----------------------------------------------------------------------------


def parts_of(wire) -> Iterator:
    """Every value of a request, the whole first, then its parts."""
    yield wire
    for part in wire.values() if isinstance(wire, dict) else wire if isinstance(wire, list) else ():
        yield from parts_of(part)


def numbers_in(wire) -> Iterator[float]:
    return (part for part in parts_of(wire) if isinstance(part, int | float) and not isinstance(part, bool))


def strings_in(wire) -> Iterator[str]:
    return (part for part in parts_of(wire) if isinstance(part, str))


def formulas_in(request) -> Iterator[dict]:
    """The formulas of a request; a scald given by masses counts as one."""
    for part in parts_of(request):
        if isinstance(part, dict) and part.get("kind") == "masses":
            kinds = (("flour", "bread_flour"), ("liquid", "water"))
            yield {
                "lines": [
                    {"ingredient": part.get(kind, usual), "mass": part[f"{kind}_mass"], "part": "scald"}
                    for kind, usual in kinds
                ]
            }
        if (
            isinstance(part, dict)
            and isinstance(part.get("lines"), list)
            and isinstance(part["lines"][0], dict)
        ):
            yield part


# ---- Formulas --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Line:
    """A line of a formula, its mass in g."""

    ingredient: Ingredient
    mass_g: float
    part: str


def ingredient_of(wire: dict) -> Ingredient:
    """The catalogue's ingredient of a line, or the one that the line defines."""
    if "composition" not in wire:
        return INGREDIENTS[wire["ingredient"]]
    own = {field: part for field, part in wire["composition"].items() if field != "allergens"}
    return Ingredient(name=wire["ingredient"], label=wire["ingredient"], own=True, **own)


def lines_of(formula: dict, units: Units) -> list[Line]:
    """The lines by mass, or for 100 g of flour if they have only percentages."""
    factor = units.factors["mass"]
    return [
        Line(
            ingredient_of(line),
            line["mass"] * factor if "mass" in line else line["percent"],
            line.get("part", "dough"),
        )
        for line in formula["lines"]
    ]


def total(lines: Iterable[Line]) -> float:
    return sum(line.mass_g for line in lines)


def flours(lines: Iterable[Line]) -> list[Line]:
    return [line for line in lines if line.ingredient.is_flour]
