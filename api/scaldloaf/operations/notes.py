"""What a note is: a code, the template of its text, and the values that go into it."""

from collections.abc import Mapping
from typing import NamedTuple

from scaldloaf.dough import notes as craft
from scaldloaf.operations.steps import Working

Amount = tuple[float, str | None]  # a number of the craft, and what it measures
Value = str | int | float | Amount

_NONE: Mapping[str, Value] = {}


class Note(NamedTuple):
    """Something to know about an answer.

    template: a sentence or more with a ``{name}`` for each of ``values``. An Amount is written in the
    request's units, anything else by the format in its place (``{share:.3g}``).
    """

    code: str
    template: str
    values: Mapping[str, Value] = _NONE


AnyNote = Note | craft.Note  # one of the craft is its code and its text


def written_note(note: AnyNote, show: Working) -> tuple[str, str]:
    """The code and the text of a note."""
    if not isinstance(note, Note):
        return note
    words = {
        name: show.format(*value) if isinstance(value, tuple) else value
        for name, value in note.values.items()
    }
    return note.code, note.template.format(**words)
