"""The working can be redone by hand: every step that is plain arithmetic comes out at its value, in any unit."""

import json
import re
from math import exp, log

import pytest

from scaldloaf.operations import BY_NAME, perform
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.schemas.replies import REPLIES
from scaldloaf.units import FACTORS, SYMBOLS, TEMPERATURE_DIFFERENCE, units_of

STAGES = [{"name": "bulk", "minutes": 90, "temperature": 28}, {"minutes": 60, "temperature": 31}]
ROUX = {"name": "roux", "scald_evaporation": 8, "lines": [
    {"ingredient": "bread_flour", "mass": 30, "part": "scald"}, {"ingredient": "water", "mass": 150, "part": "scald"},
    {"ingredient": "bread_flour", "mass": 400}, {"ingredient": "plain_flour", "mass": 70},
    {"ingredient": "whole_milk", "mass": 120}, {"ingredient": "honey", "mass": 25},
    {"ingredient": "whole_egg", "mass": 55}, {"ingredient": "butter", "mass": 40},
    {"ingredient": "salt", "mass": 9}, {"ingredient": "active_dry_yeast", "mass": 7}]}
BOX = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
KNOWN = [{"name": "flour", "temperature": 23}, {"name": "room", "temperature": 25}, {"name": "scald", "temperature": 19}]
# Metric bodies; the test says them again in other units.
BODIES = [
    ("breakdown", {"formula": TIN_LOAF}),
    ("breakdown", {"formula": ROUX}),
    *(("scaling", {"formula": ROUX, "target": target, "losses": {"handling_percent": 2, "bake_percent": 11, "rule": rule}})
      for rule in ("compounded", "added")
      for target in ({"kind": "baked_pieces", "count": 7, "mass": 410}, {"kind": "dough_mass", "mass": 3000},
                     {"kind": "flour_mass", "mass": 1200}, {"kind": "on_hand", "ingredient": "whole_egg", "mass": 200})),
    ("hydration-correction", {"formula": TIN_LOAF, "scalded_share_percent": 35}),
    ("hydration-correction", {"formula": ROUX, "scalded_share_percent": 7.5, "hydration_percent": 71}),
    ("hydration-correction", {"formula": TIN_LOAF, "scald_liquid_ratio": 1.5, "scalded_share_percent": 24, "flour": {
        "moisture_percent": 12.5, "base_moisture_percent": 14, "absorption_percent": 64, "base_absorption_percent": 61}}),
    ("pan-fill", {"pan": BOX, "bread": {"kind": "prior"}, "formula": TIN_LOAF, "pans": 6}),
    ("pan-fill", {"pan": {"kind": "water_fill", "mass": 1700, "temperature": 18}, "scalded_share_percent": 30, "bread": {
        "kind": "reference_loaf", "dough_mass": 440, "loaf_volume": 1715, "scalded_share_percent": 20}}),
    ("pan-fill", {"pan": BOX, "fill_percent": 96, "scalded_share_percent": 35, "bread": {
        "kind": "pan_ratio", "pan_ratio": 3.9, "scalded_share_percent": 20, "hydration_off_optimum_points": -2}}),
    ("sugar-budget", {"formula": ROUX, "stages": STAGES, "bake_loss_percent": 11}),
    ("order-demand", {"formulas": [{"id": "loaf", "formula": TIN_LOAF, "mixer_capacity": 2000, "dusting_percent": 1.5}],
                      "orders": [{"formula": "loaf", "target": {"kind": "pieces", "count": 9, "mass": 450}},
                                 {"formula": "loaf", "target": {"kind": "dough_mass", "mass": 1500}}]}),
    ("dough-temperature", {"rule": {"kind": "simple_friction_total", "target": 24, "known": KNOWN, "friction_total": 16},
                           "tap_temperature": 15, "water_mass": 4000}),
    ("dough-temperature", {"rule": {"kind": "simple_temperature_rise", "target": 23, "known": KNOWN,
                                    "temperature_rise": 2}, "tap_temperature": 20, "water_mass": 4000}),
    ("dough-temperature", {"rule": {"kind": "friction_from_measured", "dough_temperature": 27, "known": KNOWN,
                                    "water_temperature": 8}}),
    ("dough-temperature", {"rule": {"kind": "heat_balance", "target": 25, "formula": TIN_LOAF, "flour_temperature": 29,
                                    "scald_temperature": 33, "temperature_rise": 6},
                           "tap_temperature": 18, "ice_temperature": -12}),
    ("scald-preparation", {"scald": {"kind": "masses", "flour_mass": 100, "liquid_mass": 150, "liquid": "whole_milk"},
                           "method": {"kind": "pour_over", "flour_temperature": 20, "liquid_temperature": 84,
                                      "room_temperature": 17}}),
    ("scald-preparation", {"scald": {"kind": "formula", "formula": ROUX}, "method": {"kind": "cooked", "core_temperature": 68},
                           "weighed": {"mass": 900, "container_mass": 740},
                           "cooling": {"surroundings_temperature": 3, "readings": [
                               {"minutes": 5, "temperature": 62}, {"minutes": 40, "temperature": 38}]},
                           "timetable": {"stages": [{"name": "cool", "minutes": 240}, {"name": "bake", "minutes": 38.5}]}}),
    ("trial-fit", {"trials": [
        {"scalded_share_percent": 20, "hydration_percent": 69, "dough_mass": 440, "loaf_volume": 1690, "baked_mass": 394},
        {"scalded_share_percent": 30, "hydration_percent": 73, "dough_mass": 450, "pan": BOX, "fill_percent": 94},
        {"scalded_share_percent": 0, "dough_mass": 520, "pan": {**BOX, "depth": 7}, "crown_height": 4}],
        "want": {"pan": BOX, "fill_percent": 97, "scalded_share_percent": 35, "hydration_percent": 72}}),
    ("loaf-plan", {"formula": TIN_LOAF, "scalded_share_percent": 30, "pan": BOX, "pans": 4, "bread": {"kind": "prior"},
                   "losses": {"handling_percent": 2.5}}),
]
OTHER_UNITS = [{}, {"mass": "kg", "length": "mm", "volume": "l"},
               {"mass": "oz", "length": "in", "volume": "in3", "temperature": "degF"},
               {"mass": "lb", "length": "in", "volume": "cup_us", "temperature": "degF"}]
LENGTHS = {"length", "width", "depth", "crown_height"}
UNITS = sorted([*(unit for table in FACTORS.values() for unit in table), *SYMBOLS.values(), "cm³/g", "cm³ per g",
                "g/cm³", "cm²", "mm³", "min", "kJ per kg and K"], key=len, reverse=True)
PHRASES = (" in °C", " of the flour", " of water and milk", " as instant", " on hand", " in the formula", " in the scald",
           " evaporated", ", and so each line", " of rise", " of friction", " of pan", " of rim", " of crown", " of bread",
           " without scald", " for the share", " for the water", " left", " wanted", ", nothing lost in handling")
HEATS = "water|flour|fat|sugar|protein|salt|other solids"
SUGARS = "sucrose|glucose|fructose|maltose|lactose"


def in_units(value, units: dict, key=""):
    """A metric body with its numbers said in other units."""
    if isinstance(value, dict):
        return {name: in_units(part, units, name) for name, part in value.items()}
    if isinstance(value, list):
        return [in_units(part, units, key) for part in value]
    if key.endswith("mass") or key in ("scald_evaporation", "mixer_capacity"):
        return value / FACTORS["mass"][units.get("mass", "g")][0]
    if key in LENGTHS:
        return value / FACTORS["length"][units.get("length", "cm")][0]
    if key == "loaf_volume":
        return value / FACTORS["volume"][units.get("volume", "cm3")][0]
    if units.get("temperature") != "degF":
        return value
    if key in ("friction_total", "temperature_rise"):
        return value * 1.8
    return value * 1.8 + 32 if key.endswith("temperature") or key == "target" else value


def worth(expression: str) -> list[float] | None:
    """What each side of an expression comes to, when it is arithmetic; None when it needs words."""
    text = re.sub(r"[\d.]+ [\w³ ]+ \(([\d.]+ (?:k?g|cm³))\)", r"\1", expression)
    text = re.sub(rf"(?:{SUGARS}) (?=[\d.])|(?<=\+ )[A-Z][^+×]*? (?=[\d.])|^[A-Z][^+×]*? (?=[\d.])", "", text)
    text = re.sub(rf"(?<=g) of (?:{HEATS})(?= ×)", "", text)
    for phrase in PHRASES:
        text = text.replace(phrase, "")
    for unit in UNITS:
        text = re.sub(rf"(?<=[\d)]) ?{re.escape(unit)}(?![\w³])", "", text)
    text = re.sub(r"([\d.]+) %", r"(\1 / 100)", text)
    text = text.replace("e^(", "exp(").replace("^", "**").replace("²", "**2")
    text = text.replace("×", "*").replace("÷", "/").replace("−", "-")
    if re.search(r"[^\d.+\-*/() =]", text.replace("exp", "").replace("ln(", "(")):
        return None
    return [eval(side, {"__builtins__": {}, "exp": exp, "ln": log}) for side in text.split(" = ")]


def steps_of(call: str, body: dict, units: dict) -> list[dict]:
    request = {**in_units(body, units), "units": units}
    return perform(BY_NAME[call], json.loads(json.dumps(request)))["working"]


@pytest.mark.parametrize("units", OTHER_UNITS, ids=lambda units: " ".join(units.values()) or "metric")
@pytest.mark.parametrize("call, body", BODIES, ids=[f"{index} {call}" for index, (call, _) in enumerate(BODIES)])
def test_steps_come_out(call, body, units):
    redone, steps = 0, steps_of(call, body, units)
    for step in steps:
        sides = worth(step["expression"])
        if sides is None:
            continue
        redone += 1
        for side in sides[1:]:          # what it says it is, in our unit
            assert sides[0] == pytest.approx(side, rel=1e-4), step
        if len(sides) == 1:
            assert sides[0] == pytest.approx(step["value"], rel=2e-4, abs=2e-4), step
    assert redone >= min(3, len(steps))


def test_most_steps_are_arithmetic():
    steps = [step for call, body in BODIES for step in steps_of(call, body, {})]
    redone = [step for step in steps if worth(step["expression"]) is not None]
    assert len(redone) > 0.75 * len(steps), [step for step in steps if worth(step["expression"]) is None]


@pytest.mark.parametrize("expression, value", [
    ("100 × 100 g ÷ 500 g", 20), ("12 oz (340.2 g) ÷ 2 g", 170.1), ("(2.5 × 8 ÷ 8 × (1 − e^(−0.5 × 2))) × 1", 1.5803),
    ("0.3 × 2 × 1.1^(28 − 30 in °C)", 0.49587), ("1 − 20 × (−2 ÷ 100)²", 0.992),
    ("29.5 in3 (483.4 cm³) ÷ 4 cm³/g = 120.85 g", 120.85)])
def test_the_reckoner_itself(expression, value):
    assert worth(expression)[0] == pytest.approx(value, rel=1e-4)
    assert worth("all lines − 5 g") is None


QUANTITY = re.compile(r"(In|in degrees of) `units\.(\w+)`")
BY_ITS_OWN_SCALE = {"weigh_out", "weigh_out_total", "batch_weigh_out", "weighed"}    # a scale in ounces rounds otherwise
OTHERWISE_TOLD = {"units", "working", "notes", "cautions", "basis", "least_certain"}     # each with a unit of its own


def numbers_of(schema: dict, value, document: dict, quantity=None, at=""):
    """(where, quantity or None, number) of every number of a reply; the document says what each one measures."""
    found = QUANTITY.search(schema.get("description", ""))
    if found:
        quantity = found[2] if found[1] == "In" else TEMPERATURE_DIFFERENCE
    if "$ref" in schema:
        place = document
        for part in schema["$ref"].split("/")[1:]:
            place = place[part]
        yield from numbers_of(place, value, document, quantity, at)
    elif "anyOf" in schema and value is not None:
        yield from numbers_of(schema["anyOf"][0], value, document, quantity, at)
    elif isinstance(value, dict):
        for name, part in value.items():
            if name not in BY_ITS_OWN_SCALE | OTHERWISE_TOLD and "properties" in schema:
                yield from numbers_of(schema["properties"][name], part, document, quantity, f"{at}/{name}")
    elif isinstance(value, list):
        for index, part in enumerate(value):
            yield from numbers_of(schema["items"], part, document, quantity, f"{at}/{index}")
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield at, quantity, value


@pytest.mark.parametrize("units", OTHER_UNITS[1:], ids=lambda units: " ".join(units.values()))
@pytest.mark.parametrize("call, body", BODIES, ids=[f"{index} {call}" for index, (call, _) in enumerate(BODIES)])
def test_every_number_of_an_answer_is_in_the_unit_asked_for(call, body, units, document):
    schema = {"$ref": f"#/components/schemas/{REPLIES[call].__name__}"}

    def numbers(speaks: dict) -> dict:
        reply = perform(BY_NAME[call], json.loads(json.dumps({**in_units(body, speaks), "units": speaks})))
        return {at: units_of(**speaks).from_wire(number, quantity)
                for at, quantity, number in numbers_of(schema, reply, document)}

    metric, other = numbers({}), numbers(units)
    assert set(metric) == set(other)
    for at, number in metric.items():
        # Ice goes by the rule of the scale asked in; the two rules are a quarter of a percent apart.
        near = 3e-3 if at.startswith("/ice/") and units.get("temperature") == "degF" else 1e-9
        assert other[at] == pytest.approx(number, rel=near, abs=1e-9), at
