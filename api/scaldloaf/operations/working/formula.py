"""Notes on how a formula was read, and on what looks like a slip of the pen in it."""

from scaldloaf.dough.formula import Breakdown
from scaldloaf.operations.notes import Note
from scaldloaf.reference import coefficient

SALT_NOTE_PERCENT = coefficient("salt_note_percent").value
SALT_SLIP_PERCENT = coefficient("salt_slip_percent").value

_RECKONED_ON_100 = Note(
    "reckoned_on_100", "The formula came in percent only, so its masses are reckoned on 100 g of flour."
)
_MUCH_SALT = "Salt comes to {salt:.3g} % of the flour; above {note:g} % it is worth a second look."
_SALT_SLIP = (
    "Salt comes to {salt:.3g} % of the flour; above {note:g} % that is most likely a slip: look at the lines "
    "and their units."
)


def formula_notes(by_percent: bool, breakdown: Breakdown | None = None) -> list[Note]:
    """by_percent: whether the formula came in percent only."""
    notes = [_RECKONED_ON_100] if by_percent else []
    if breakdown is not None and breakdown.salt_percent > SALT_NOTE_PERCENT:
        slip = breakdown.salt_percent > SALT_SLIP_PERCENT
        text, limit = (_SALT_SLIP, SALT_SLIP_PERCENT) if slip else (_MUCH_SALT, SALT_NOTE_PERCENT)
        notes.append(Note("much_salt", text, {"salt": breakdown.salt_percent, "note": limit}))
    return notes
