"""What an operation asks is what it reads, so the requests of a loaf-plan say all that it computed with."""

import json
import random
from importlib import import_module

import pytest

from mangling import mangle
from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations.context import Context
from scaldloaf.operations.perform import GATES
from scaldloaf.operations.registry import BY_NAME
from scaldloaf.units import units_of
from working.bodies import BODIES, UNITS, in_units, said_of

ASKING = {
    name: import_module(f"scaldloaf.operations.{name.replace('-', '_')}").ask
    for name in BY_NAME
    if hasattr(import_module(f"scaldloaf.operations.{name.replace('-', '_')}"), "ask")
}
OWN = [(name, example.body) for name in ASKING for example in BY_NAME[name].examples]
OWN += [(name, body) for name, body in BODIES if name in ASKING]


def context_of(request: dict) -> Context:
    return Context(units_of(**request.get("units", {})))


def read_again(name: str, request: dict):
    """What a request asks, the request made of that, and what this one asks."""
    context, operation = context_of(request), BY_NAME[name]
    asked = operation.read(request, context)
    again = json.loads(json.dumps(ASKING[name](asked, context)))
    assert GATES[name].is_valid(again), again
    assert again.get("units", {}) == {
        quantity: unit
        for quantity, unit in request.get("units", {}).items()
        if unit not in ("g", "cm", "cm3", "degC")
    }
    return asked, again, operation.read(again, context_of(again))


def same(one, other) -> bool:
    """Equal, numbers to a part in 10^11: what units do to them."""
    if isinstance(one, tuple | list):
        return type(one) is type(other) and len(one) == len(other) and all(map(same, one, other))
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(same(one[name], other[name]) for name in one)
    if isinstance(one, float):
        return one == pytest.approx(other, rel=1e-11, abs=1e-11)
    if hasattr(one, "__dataclass_fields__"):
        names = one.__dataclass_fields__
        return type(one) is type(other) and all(
            same(getattr(one, name), getattr(other, name)) for name in names
        )
    return one == other


def test_every_part_of_a_plan_is_asked():
    assert set(ASKING) == {
        "hydration-correction",
        "pan-fill",
        "scaling",
        "sugar-budget",
        "scald-preparation",
        "dough-temperature",
    }


@pytest.mark.parametrize("name, body", OWN, ids=[f"{index} {name}" for index, (name, _) in enumerate(OWN)])
def test_what_is_asked_reads_the_same(name, body):
    if "units" in body:
        asked, _, again = read_again(name, body)
        assert same(asked, again)
        return
    asked, _, again = read_again(name, body)
    assert asked == again
    for units in UNITS[1:]:
        asked, _, again = read_again(name, {**in_units(body, units), "units": units})
        assert same(asked, again), said_of(units)


@pytest.mark.parametrize("name", ASKING)
def test_any_request_is_asked_again(name):
    chance, tried = random.Random(20), 0
    bodies = [body for each, body in OWN if each == name and "units" not in body]
    while tried < 150:
        body = json.loads(json.dumps(mangle(chance.choice(bodies), chance), allow_nan=True))
        if not GATES[name].is_valid(body) or "units" in body:
            continue
        try:
            BY_NAME[name].read(body, context_of(body))
        except Refusal:
            continue
        asked, _, again = read_again(name, body)
        assert asked == again, body
        tried += 1


@pytest.mark.parametrize("name, body", OWN, ids=[f"{index} {name}" for index, (name, _) in enumerate(OWN)])
def test_nothing_is_asked_that_is_left_out_anyway(name, body):
    """Each field of a request that is asked is in the request it was read from, or says the same of it."""
    _, asked, _ = read_again(name, body)
    defaults = BY_NAME[name].request.defaults
    assert not {field for field in asked.keys() & defaults.keys() if asked[field] == defaults[field]}
    assert asked.keys() <= body.keys()
