"""Every number of every answer comes in the unit asked for; the document says what each one measures."""

import re

import pytest

from scaldloaf.units import TEMPERATURE_DIFFERENCE, units_of
from working.bodies import NAMED, UNITS, answer_in, said_of

QUANTITY = re.compile(r"(In|in degrees of) `units\.(\w+)`")
ON_A_SCALE = {
    "weigh_out",
    "weigh_out_total",
    "batch_weigh_out",
    "weighed",
}  # a scale in ounces rounds otherwise
APART = {"units", "working", "notes", "cautions", "basis", "least_certain"}  # each with a unit of its own
# A number alone in a recipe is in whatever unit is asked for.
ALIKE = [each for each in NAMED if "number_alone" not in each.values[1]]


def schema_of(schema: dict, document: dict) -> dict:
    """A schema itself, where it only says where another one is, or that it may be null."""
    if "$ref" in schema:
        place = document
        for part in schema["$ref"].split("/")[1:]:
            place = place[part]
        return schema_of(place, document)
    return schema_of(schema["anyOf"][0], document) if "anyOf" in schema else schema


def numbers_of(schema: dict, value, document: dict, quantity=None, at=""):
    """(where, quantity or None, number) of every number of a reply."""
    own = schema_of(schema, document)
    for each in (schema, own):
        if found := QUANTITY.search(each.get("description", "")):
            quantity = found[2] if found[1] == "In" else TEMPERATURE_DIFFERENCE
    if isinstance(value, dict):
        for name in value.keys() & own.get("properties", {}).keys() - ON_A_SCALE - APART:
            yield from numbers_of(own["properties"][name], value[name], document, quantity, f"{at}/{name}")
    elif isinstance(value, list):
        for index, part in enumerate(value):
            yield from numbers_of(own["items"], part, document, quantity, f"{at}/{index}")
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield at, quantity, value


@pytest.mark.parametrize("units", UNITS[1:], ids=said_of)
@pytest.mark.parametrize("call, body", ALIKE)
def test_every_number_of_an_answer_is_in_the_unit_asked_for(call, body, units, document):
    answers = document["paths"][f"/v1/{call}"]["post"]["responses"]
    schema = answers["200"]["content"]["application/json"]["schema"]

    def numbers(speaks: dict) -> dict:
        reply = answer_in(call, body, speaks).reply
        return {
            at: units_of(**speaks).from_wire(number, quantity)
            for at, quantity, number in numbers_of(schema, reply, document)
        }

    metric, other = numbers({}), numbers(units)
    assert metric
    assert set(metric) == set(other)
    for at, number in metric.items():
        # Ice follows the rule of the scale asked in; the two rules are a quarter of a percent apart.
        near = 3e-3 if at.startswith("/ice/") and units.get("temperature") == "degF" else 1e-9
        assert other[at] == pytest.approx(number, rel=near, abs=1e-9), at
