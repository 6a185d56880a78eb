"""Notes on how a formula was read, and on what looks like a slip of the pen in it."""

from collections.abc import Iterator

from scaldloaf.dough import notes as craft
from scaldloaf.dough.formula import Breakdown, Formula, may_be_liquid, scald_yeast
from scaldloaf.dough.limits import ROUNDING, SHARE_UPPER_BOUND_PERCENT
from scaldloaf.dough.water_judged import plausible_hydration
from scaldloaf.dough.water_rule import Spot
from scaldloaf.operations.notes import AnyNote, Note, Said, Value
from scaldloaf.reference import coefficient

SALT_NOTE_PERCENT = coefficient("salt_note_percent").value
SALT_SLIP_PERCENT = coefficient("salt_slip_percent").value
YEAST_NOTE_PERCENT = coefficient("yeast_note_percent").value

FLOUR_OF_PERCENT_G = 100.0  # the flour that a formula in percent only is calculated for

TEXTS = {
    "reckoned_on_100": "The formula came in percent only, so its masses are calculated for {flour} of flour.",
    "liquid_unsaid": (
        "{ingredient} is {water:.3g} % water. Say whether it counts as liquid (is_liquid: true or false), as "
        "only liquids count towards the scald's ratio."
    ),
    "scald_without_liquid": "The scald has flour but no liquid. Move the liquid that cooks it to the scald.",
    "scald_without_flour": "The scald has liquid but no flour. Move the flour that it cooks to the scald.",
    "unusual_yeast": (
        "Yeast comes to {yeast:.3g} % of the flour as instant yeast; pan bread has at most about {most:g} %. "
        "Check its amount and its kind."
    ),
    "unusual_share": (
        "{share:.3g} % of the flour is scalded; above {most:g} % too little raw gluten is left to hold a pan "
        "loaf. A roux alone is fine: it is not a dough yet."
    ),
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
    """by_percent: whether the formula came in percent only. Without a formula its lines are not looked at."""
    notes = [_MASSES_ON_100] if by_percent else []
    if formula is not None and (places := scald_yeast(formula)):
        yeasts = dict.fromkeys(formula.lines[place].ingredient for place in places)
        said = Said(*(", ".join(getattr(each, way) for each in yeasts) for way in ("name", "label")))
        notes.append(Note("yeast_in_scald", TEXTS["yeast_in_scald"], {"yeast": said}))
    if breakdown is not None and breakdown.salt_percent > SALT_NOTE_PERCENT:
        slip = breakdown.salt_percent > SALT_SLIP_PERCENT
        likely, limit = (_SLIP, SALT_SLIP_PERCENT) if slip else (_UNUSUAL, SALT_NOTE_PERCENT)
        values: dict[str, Value] = {"salt": breakdown.salt_percent, "note": limit, "likely": likely}
        notes.append(Note("much_salt", TEXTS["much_salt"], values))
    if breakdown is not None and formula is not None:
        notes += _notes_on_lines(breakdown, formula)
    return notes


def _notes_on_lines(breakdown: Breakdown, formula: Formula) -> Iterator[Note]:
    """Notes on what may be liquid, and on a scald without its flour or its liquid."""
    asked = dict.fromkeys(line.ingredient for line in formula.lines if may_be_liquid(line.ingredient))
    for ingredient in asked:
        values: dict[str, Value] = {"ingredient": ingredient.name, "water": ingredient.water_percent}
        yield Note("liquid_unsaid", TEXTS["liquid_unsaid"], values)
    if breakdown.scald_flour_g and not breakdown.scald_liquid_g:
        yield Note("scald_without_liquid", TEXTS["scald_without_liquid"])
    if breakdown.scald_liquid_g and not breakdown.scald_flour_g:
        yield Note("scald_without_flour", TEXTS["scald_without_flour"])


def unusual_notes(breakdown: Breakdown, there: Spot) -> Iterator[AnyNote]:
    """Notes on water, yeast and share outside what any pan bread has; there: where the formula is."""
    hydration, window = breakdown.hydration_percent, plausible_hydration(there)
    if not window.low <= hydration <= window.high:
        values = {"hydration": hydration, "low": window.low, "high": window.high}
        yield craft.Note("unusual_water", values)
    if breakdown.instant_yeast_percent > YEAST_NOTE_PERCENT:
        yield Note(
            "unusual_yeast",
            TEXTS["unusual_yeast"],
            {"yeast": breakdown.instant_yeast_percent, "most": YEAST_NOTE_PERCENT},
        )
    if breakdown.scalded_share_percent > SHARE_UPPER_BOUND_PERCENT + ROUNDING:
        yield Note(
            "unusual_share",
            TEXTS["unusual_share"],
            {"share": breakdown.scalded_share_percent, "most": SHARE_UPPER_BOUND_PERCENT},
        )
