"""The reasons of recipe-import's verdict, in words."""

from scaldloaf.importing.whole.usable import Concern
from scaldloaf.operations.notes import NotesOf, Value, WrittenNote, written_note
from scaldloaf.operations.steps import Working

TEXTS = {
    "no_formula": "No line with flour and its amount was read.",
    "hydration_low": "With {hydration:.0f} % of water to flour it is too dry for pan bread.",
    "hydration_high": "With {hydration:.0f} % of water to flour it is too wet for pan bread.",
    "scald_dry": "The scald has only {ratio:.2g} parts of liquid to one of flour.",
    "scald_wet": "The scald has {ratio:.3g} parts of liquid to one of flour.",
    "scald_share_high": "The scald would have {share:.0f} % of all the flour: a section was misread.",
    "no_yeast": "No yeast was read.",
    "sourdough_starter": (
        "Its sourdough starter raises the dough too: yeast amounts and proof times here do not count it."
    ),
    "salt_high": "With {salt:.2g} % of the flour there is too much salt.",
    "yeast_high": "With {yeast:.2g} % of the flour, as instant, there is too much yeast.",
    "dough_small": "The dough weighs only {dough}.",
    "dough_large": "The dough weighs {dough}.",
    "scald_not_listed": "The recipe names a scald, but does not list what goes into it.",
    "section_in_doubt": "Lines whose part is not sure: {lines}.",
    "lines_missing": "Lines that were not read: {lines}.",
    "lines_unsure": "Lines to check: {lines}.",
}
_reason = NotesOf(TEXTS)


def written_reason(reason: Concern, show: Working) -> WrittenNote:
    """A reason of the verdict on the wire."""
    values = {name: _value(value) for name, value in reason.values.items()}
    return written_note(_reason(reason.code, **values), show)


def _value(value: tuple[float, str | None]) -> Value:
    number, quantity = value
    return (number, quantity) if quantity else number
