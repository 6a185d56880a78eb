"""A line above the list that says how much flour the recipe is for: ``Pour 500 g de farine``."""

import re

from scaldloaf.importing.line.headings import FOR
from scaldloaf.importing.quantities.readings import STEP, Reading
from scaldloaf.importing.words.vocabulary import names_dough

SAME_WITHIN = 0.01
MOST_ABOVE = 12  # lines of a page, above such a line
_BEFORE_NUMBER = re.compile(r"[^\d:]+(?=\d)")


def without_flour_of_title(readings: list[Reading]) -> list[Reading]:
    """The readings, such a line as a remark where the list has as much flour; none that names the dough."""
    at = next((at for at, each in enumerate(readings[:MOST_ABOVE]) if each.in_formula), None)
    first = None if at is None else readings[at]
    said = _BEFORE_NUMBER.match(first.text.lstrip(" -•*")) if first and _is_flour(first) else None
    if first is None or said is None:
        return readings
    if FOR.isdisjoint(said.group().lower().split()) or names_dough(said.group()):
        return readings
    others = [each for each in readings if each is not first and each.in_formula]
    flour = sum(each.grams for each in others if _is_flour(each))
    if not others or others[0].line == first.line or abs(flour - first.grams) > SAME_WITHIN * first.grams:
        return readings
    remark = Reading(first.line, first.text, STEP, "a remark", part=first.part)
    return [remark if each is first else each for each in readings]


def _is_flour(reading: Reading) -> bool:
    return reading.mass is not None and reading.ingredient is not None and reading.ingredient.is_flour
