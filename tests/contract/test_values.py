"""What an answer says in words it also says in values, so that a page can say it in a language of its own.

Each text of a reply is its template with the values in place, formatted: the tests find the template by the
code, read the text back by it, and set what they find against the values.
"""

import json
import re
from collections import defaultdict
from functools import cache
from string import Formatter

import pytest

from note_texts import TABLES
from scaldloaf.operations.faults import InputFault
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME, OPERATIONS
from scaldloaf.operations.steps import format_number
from scaldloaf.reference import CAUTIONS
from scaldloaf.units import units_of
from working.bodies import BODIES, UNITS, in_units, said_of
from working.spoilt import refused, spoilt

NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e-?\d+)?")
# Numbers that a text has whatever the request says: of another bakery's tin.
SAME_ALWAYS = {"calculated_pan_volume": "2"}
# And those of a refusal: a share of none, a pan just full, a rule of thumb of two units.
ALWAYS_REFUSED = {
    "missing": {"0"},
    "fill_out_of_range": {"100"},
    "pan_ratio_out_of_range": {"7.6", "4.4"},
    "not_a_local_time": {"2026", "-12", "-01", "07", "00", "01"},
}


@cache
def answers(units: int | None = None) -> list[dict]:
    """The replies to every working body in one of UNITS; None: to the examples and what is spoilt of them."""
    if units is not None:
        asked = [(name, {**in_units(body, UNITS[units]), "units": UNITS[units]}) for name, body in BODIES]
    else:
        asked = [(each.name, example.body) for each in OPERATIONS for example in each.examples] + spoilt(3)
    replies = []
    for name, body in asked:
        try:
            replies.append(perform(BY_NAME[name], json.loads(json.dumps(body))))
        except InputFault:
            assert units is None, (name, body)
    return replies


def each(reply, field: str):
    """Every note or caution of a reply and of its parts."""
    if isinstance(reply, dict):
        for name, value in reply.items():
            yield from value if name == field else each(value, field)
    elif isinstance(reply, list):
        for value in reply:
            yield from each(value, field)


def read_back(template: str, note: dict) -> re.Match | None:
    """A note's text as its template with its values, a group for each place; None for another text."""
    pattern, places = "", set()
    for words, name, spec, _ in Formatter().parse(template):
        pattern += re.escape(words)
        if name is None:
            continue
        if name not in note["values"]:
            return None
        pattern += f"(?P={name})" if name in places else f"(?P<{name}>{said(note['values'][name], spec)})"
        places.add(name)
    return re.fullmatch(pattern, note["text"], re.DOTALL)


def said(value, spec: str) -> str:
    """A pattern of how a text says a value: a text perhaps in other words, without numbers of their own."""
    if isinstance(value, str):
        return rf"{re.escape(value)}|[^\d]*?(?:{re.escape(value)})?[^\d]*"
    if spec:
        return re.escape(format(value, spec))
    return rf"(?:[^\d]* )?{re.escape(format_number(value))}(?: [^\d]+?)?"


TEMPLATES = defaultdict(set)
for table in TABLES.values():
    for code, text in table.items():
        TEMPLATES[code].add(text)


@pytest.mark.parametrize("units", [*range(len(UNITS)), None], ids=[*map(said_of, UNITS), "spoilt"])
def test_the_text_of_a_note_is_its_template_with_its_values(units):
    codes = set()
    for reply in answers(units):
        for note in each(reply, "notes"):
            codes.add(note["code"])
            assert note.keys() == {"code", "text", "values"}
            fits = [found for text in TEMPLATES[note["code"]] if (found := read_back(text, note))]
            assert fits, note
            left = re.sub(r"\b1:(?=\d)", "", note["text"])
            for words in fits[0].groups():
                left = left.replace(words, "", 1) if words else left
            assert NUMBER.findall(left) in ([], [SAME_ALWAYS.get(note["code"])]), note
            json.dumps(note["values"], allow_nan=False)
    assert len(codes) > 40


@pytest.mark.parametrize("units", range(len(UNITS)), ids=map(said_of, UNITS))
def test_the_numbers_of_a_caution_are_in_its_values(units):
    symbol = units_of(**UNITS[units]).symbol("temperature")
    codes = set()
    for reply in answers(units):
        for caution in each(reply, "cautions"):
            codes.add(caution["code"])
            row, values = CAUTIONS[caution["code"]], caution["values"]
            shown = {
                name: f"{values[name.removesuffix('_degc')]:.0f} {symbol}"
                if name in row.temperatures_c
                else f"{values[name]:g}"
                for name in (*row.temperatures_c, *row.numbers)
            }
            assert caution["text"] == row.text.format(**shown) and len(values) == len(shown)
            assert not NUMBER.findall(row.text)
    assert {"hot_scald", "core_temperature", "acrylamide"} <= codes


@pytest.mark.parametrize("units", range(1, len(UNITS)), ids=map(said_of, UNITS[1:]))
def test_the_values_of_notes_and_cautions_are_in_the_requests_units(units):
    """The same answer in metric has the same values, converted: those that have a quantity, and no other."""
    converted = set()
    for metric, other in zip(answers(0), answers(units), strict=True):
        for field in ("notes", "cautions"):
            # A scale of another unit rounds otherwise, so other lines may vanish.
            pairs = {note["code"]: note for note in each(metric, field) if note["code"] != "line_vanished"}
            for note in each(other, field):
                before = pairs.get(note["code"])
                if before is None or before["values"].keys() != note["values"].keys():
                    continue
                for name, value in note["values"].items():
                    if isinstance(value, str) or value == pytest.approx(before["values"][name], rel=1e-9):
                        continue
                    factors = [
                        units_of(**UNITS[units]).to_wire(before["values"][name], quantity)
                        for quantity in ("mass", "length", "volume", "temperature", "temperature_difference")
                    ]
                    if any(value == pytest.approx(factor, rel=1e-6) for factor in factors):
                        converted.add(note["code"])
    assert "reckoned_on_100" in converted
    assert ("hot_scald" in converted) is (UNITS[units].get("temperature") == "degF")


# ---- Refusals ------------------------------------------------------------------------------------


def not_in_values(fault) -> set[str]:
    """The numbers of a fault's words that its values do not have."""
    words, texts = fault.detail, [each for each in fault.values.values() if isinstance(each, str)]
    for text in sorted(texts, key=len, reverse=True):
        words = words.replace(text, "")
    numbers = {format_number(each) for each in fault.values.values() if not isinstance(each, str)}
    return set(NUMBER.findall(re.sub(r"\b1:(?=\d)", "", words))) - numbers - {""}


@pytest.mark.parametrize("units", range(len(UNITS)), ids=map(said_of, UNITS))
def test_the_numbers_of_a_refusal_are_in_its_values(units):
    codes = set()
    for name, _, faults in refused(units):
        for fault in faults:
            codes.add(fault.code)
            always = ALWAYS_REFUSED.get(fault.code, set()) | ALWAYS_REFUSED.get(
                fault.values.get("then"), set()
            )
            assert not_in_values(fault) - {"1"} <= always, (name, fault)
            assert fault.as_wire()["values"] == fault.values
            json.dumps(fault.as_wire(), allow_nan=False)
    assert len(codes) > 25 and {"too_small", "too_large", "unknown_field", "not_one_of"} <= codes


@pytest.mark.parametrize(
    "call, body, pointer, values",
    [
        ("breakdown", {"formula": {"lines": []}}, "/formula/lines", {"shortest": 1}),
        ("breakdown", {"formula": {"lines": [{"ingredient": "water", "mass": -1}]}}, "mass", {"minimum": 0}),
        ("breakdown", {}, "/formula", {"field": "formula"}),
        ("pan-fill", {"pan": {"kind": "bx"}, "bread": {"kind": "prior"}}, "/pan/kind", {"choices": "box, "}),
        ("breakdown", {"formula": {"name": "x" * 121, "lines": []}}, "/formula/name", {"longest": 120}),
    ],
)
def test_a_fault_of_the_schema_has_the_bound_or_the_names_that_it_tells(call, body, pointer, values):
    with pytest.raises(InputFault) as caught:
        perform(BY_NAME[call], body)
    (fault,) = [each for each in caught.value.faults if each.pointer.endswith(pointer)]
    ((name, value),) = values.items()
    assert fault.values.keys() == values.keys()
    assert fault.values[name].startswith(value) if isinstance(value, str) else fault.values[name] == value


def test_the_values_of_a_refusal_are_in_the_requests_units():
    body = {
        "units": {"temperature": "degF"},
        "formula": next(body["formula"] for name, body in BODIES if name == "sugar-budget"),
        "stages": [{"minutes": 60, "temperature": 140}],
    }
    with pytest.raises(InputFault) as caught:
        perform(BY_NAME["sugar-budget"], body)
    (fault,) = caught.value.faults
    assert fault.values == {
        "given": pytest.approx(140),
        "coldest": 32,
        "hottest": pytest.approx(fault.nearest),
    }
    assert "140 °F" in fault.detail


def test_what_a_place_is_refused_for_next_is_in_the_values_too():
    body = {
        "pan": {"kind": "volume", "volume": 1700},
        "bread": {"kind": "prior"},
        "scalded_share_percent": 140,
    }
    with pytest.raises(InputFault) as caught:
        perform(BY_NAME["pan-fill"], body)
    (fault,) = caught.value.faults
    assert fault.values == {"maximum": 100, "then": "share_out_of_range", "then_low": 0, "then_high": 60}
