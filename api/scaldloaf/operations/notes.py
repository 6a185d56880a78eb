"""What a note is: a code, the template of its text, and the values that go into it."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from scaldloaf.dough import notes as craft
from scaldloaf.operations.steps import Working
from scaldloaf.operations.working import dough_notes


class Said(NamedTuple):
    """A value that the text says in words of its own: ``Said("open", "an open pan")``."""

    value: str | int
    words: str


Value = craft.Value | Said
WrittenNote = dict[str, Any]  # code, text and values, on the wire


class Note(NamedTuple):
    """Something to know about an answer.

    template: a sentence or more with a ``{name}`` for each of ``values``. An Amount is written in the
    request's units, anything else by the format in its place (``{share:.3g}``). A value without a place in
    the template is for those who write their own text by the code.
    """

    code: str
    template: str
    values: Mapping[str, Value] = craft.NO_VALUES


class NotesOf:
    """Makes notes by their codes and values, with the texts of a table."""

    def __init__(self, texts: Mapping[str, str]):
        self._texts = texts

    def __call__(self, code: str, **values: Value) -> Note:
        return Note(code, self._texts[code], values)


AnyNote = Note | craft.Note | WrittenNote  # the text of one of the craft is in ``working.dough_notes``


def written_note(note: AnyNote, show: Working) -> WrittenNote:
    """A note on the wire: its code, its text and its values, both in the request's units."""
    if isinstance(note, dict):
        return note
    if isinstance(note, craft.Note):
        words = dough_notes.WORDS.get(note.code, {})
        said = {
            name: Said(value, words[name][value]) if name in words and isinstance(value, str) else value
            for name, value in note.values.items()
        }
        note = Note(note.code, dough_notes.TEXTS[note.code], said)
    shown: dict[str, str | int | float] = {}
    values: dict[str, str | int | float] = {}
    for name, value in note.values.items():
        match value:
            case Said(plain, in_words):
                values[name], shown[name] = plain, in_words
            case (number, quantity):
                values[name], shown[name] = (
                    show.units.to_wire(number, quantity),
                    show.format(number, quantity),
                )
            case _:
                values[name] = shown[name] = value
    return {"code": note.code, "text": note.template.format(**shown), "values": values}
