"""A note is written from its template and its values, those with a quantity in the request's units."""

from ast import Call, parse, unparse, walk
from pathlib import Path
from string import Formatter

import pytest

from note_texts import TABLES
from scaldloaf import dough, operations
from scaldloaf.dough import notes as craft
from scaldloaf.operations.notes import Note, Said, written_note
from scaldloaf.operations.steps import Working
from scaldloaf.operations.working import dough_notes
from scaldloaf.units import units_of

PLACES = {"salt": 2.5, "loaf": "Monday {not a place}", "dough": (28.349523125, "mass"), "share": (20.0, None)}


@pytest.mark.parametrize(
    "units, text",
    [
        ({}, "2.5 % in Monday {not a place}: 28.3495 g at 20 %"),
        ({"mass": "oz"}, "2.5 % in Monday {not a place}: 1 oz at 20 %"),
    ],
)
def test_values_are_written_in_the_requests_units(units, text):
    note = Note("any_code", "{salt:.3g} % in {loaf}: {dough} at {share} %", PLACES)
    dough = 1 if units else 28.349523125
    values = {**PLACES, "dough": pytest.approx(dough), "share": 20}
    assert written_note(note, Working(units_of(**units))) == {
        "code": "any_code",
        "text": text,
        "values": values,
    }


def test_a_text_says_a_value_in_words_of_its_own():
    note = Note("any_code", "It {swells}.", {"swells": Said("partly", "swells in part only")})
    assert written_note(note, Working(units_of())) == {
        "code": "any_code",
        "text": "It swells in part only.",
        "values": {"swells": "partly"},
    }


def test_a_note_of_the_craft_has_its_text_here():
    note = craft.Note("bake_loss_default", {"loss": 12, "pan": "open", "low": 9.8, "high": 13})
    written = written_note(note, Working(units_of()))
    assert "12 % of the dough is assumed, usual for an open pan (9.8 to 13 %)" in written["text"]
    assert written["values"] == note.values


def test_every_note_of_the_craft_has_a_text_with_its_values():
    """Each is made by a call that names its code and values, so the source has them all."""
    made = {
        call.args[0].value: {key.value for arg in call.args[1:] for key in getattr(arg, "keys", ())}
        for file in Path(dough.__path__[0]).rglob("*.py")
        for call in walk(parse(file.read_text("utf-8")))
        if isinstance(call, Call) and getattr(call.func, "id", "") == "Note"
    }
    assert made.keys() == dough_notes.TEXTS.keys() and len(made) > 20
    for code in dough_notes.WORDS:
        assert made[code] >= dough_notes.WORDS[code].keys(), code


def test_every_text_is_in_a_table():
    """Where an operation makes a note, it takes the text from the table that the tests read."""
    for file in Path(operations.__path__[0]).rglob("*.py"):
        for call in walk(parse(file.read_text("utf-8"))):
            match getattr(call.func, "id", "") if isinstance(call, Call) else "":
                case "Note":
                    assert "TEXTS[" in unparse(call.args[1]) or file.name == "notes.py", file
                case "NotesOf":
                    assert unparse(call.args[0]) == "TEXTS", file


@pytest.mark.parametrize("table", TABLES)
def test_every_text_is_a_sentence_with_named_places(table):
    assert len(TABLES) > 5
    for code, text in TABLES[table].items():
        assert code == code.lower() and text.endswith((".", "?", "}")), code
        assert all(name is None or name.isidentifier() for _, name, _, _ in Formatter().parse(text)), code
