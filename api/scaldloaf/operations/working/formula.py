"""Notes on how a formula was read, and on what looks like a slip of the pen in it."""

from scaldloaf.dough.formula import Breakdown, Formula, scald_yeast
from scaldloaf.operations.notes import Note, Said, Value
from scaldloaf.reference import coefficient

SALT_NOTE_PERCENT = coefficient("salt_note_percent").value
SALT_SLIP_PERCENT = coefficient("salt_slip_percent").value

FLOUR_OF_PERCENT_G = 100.0  # the flour that a formula in percent only is calculated for

TEXTS = {
    "reckoned_on_100": "The formula came in percent only, so its masses are calculated for {flour} of flour.",
    "yeast_in_scald": (
        "The heat of the scald kills the yeast in it: {yeast} does not count as yeast. Move it to the dough."
    ),
    "much_salt": "Salt comes to {salt:.3g} % of the flour; above {note:g} % {likely}.",
}
_MASSES_ON_100 = Note("reckoned_on_100", TEXTS["reckoned_on_100"], {"flour": (FLOUR_OF_PERCENT_G, "mass")})
_UNUSUAL = Said("unusual", "it is worth a second look")
_SLIP = Said("slip", "that is most likely a slip: look at the lines and their units")


def formula_notes(
    by_percent: bool, breakdown: Breakdown | None = None, formula: Formula | None = None
) -> list[Note]:
    """by_percent: whether the formula came in percent only. formula: to look for yeast in its scald."""
    notes = [_MASSES_ON_100] if by_percent else []
    if formula is not None and (places := scald_yeast(formula)):
        names = dict.fromkeys(formula.lines[place].ingredient.label for place in places)
        notes.append(Note("yeast_in_scald", TEXTS["yeast_in_scald"], {"yeast": ", ".join(names)}))
    if breakdown is not None and breakdown.salt_percent > SALT_NOTE_PERCENT:
        slip = breakdown.salt_percent > SALT_SLIP_PERCENT
        likely, limit = (_SLIP, SALT_SLIP_PERCENT) if slip else (_UNUSUAL, SALT_NOTE_PERCENT)
        values: dict[str, Value] = {"salt": breakdown.salt_percent, "note": limit, "likely": likely}
        notes.append(Note("much_salt", TEXTS["much_salt"], values))
    return notes
