"""A note is written from its template and its values, those with a quantity in the request's units."""

from importlib import import_module
from pkgutil import iter_modules
from string import Formatter

import pytest

from scaldloaf.operations import recipe_import, working
from scaldloaf.operations.notes import Note, written_note
from scaldloaf.operations.steps import Working
from scaldloaf.units import units_of

MODULES = [import_module(f"{working.__name__}.{module.name}") for module in iter_modules(working.__path__)]
TABLES = {module.__name__: module.TEXTS for module in (*MODULES, recipe_import) if hasattr(module, "TEXTS")}
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
    assert written_note(note, Working(units_of(**units))) == ("any_code", text)


def test_a_note_of_the_craft_stays_as_it_is():
    note = ("any_code", "A text with {braces} of its own.")
    assert written_note(note, Working(units_of())) == note


@pytest.mark.parametrize("table", TABLES)
def test_every_text_is_a_sentence_with_named_places(table):
    assert len(TABLES) > 5
    for code, text in TABLES[table].items():
        assert code == code.lower() and text.endswith((".", "?", "}")), code
        assert all(name is None or name.isidentifier() for _, name, _, _ in Formatter().parse(text)), code
