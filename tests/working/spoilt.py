"""Working bodies and examples spoilt at random, the same every time, and what is refused of them."""

import json
import random
from functools import cache

from mangling import mangle
from scaldloaf.operations.faults import InputFault
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME, OPERATIONS
from working.bodies import BODIES, UNITS, in_units


def spoilt(count: int) -> list[tuple[str, dict]]:
    """Working bodies and examples spoilt at random, the same every time."""
    chance = random.Random(1)
    pool = [(name, body) for name, body in BODIES]
    pool += [(operation.name, example.body) for operation in OPERATIONS for example in operation.examples]
    found = [(name, mangle(body, chance)) for name, body in pool for _ in range(count)]
    return [(name, body) for name, body in found if is_json(body)]


def is_json(body) -> bool:
    try:
        json.dumps(body, allow_nan=False)
    except ValueError:
        return False
    return True


@cache
def refused(units: int) -> list[tuple[str, dict, list]]:
    """What is spoilt of every body, in one of UNITS, with the faults found in it."""
    found, chance, speaks = [], random.Random(units), UNITS[units]
    for name, body in BODIES:
        for _ in range(12):
            request = mangle({**in_units(body, speaks), "units": speaks}, chance)
            try:
                if is_json(request):
                    perform(BY_NAME[name], json.loads(json.dumps(request)), False)
            except InputFault as fault:
                found.append((name, request, fault.faults))
    return found
