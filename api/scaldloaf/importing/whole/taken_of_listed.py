"""An amount of what another line lists, behind what is stirred into it: ``yeast, in 50 g of the milk``."""

import re
from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.quantities.readings import Reading
from scaldloaf.importing.words.vocabulary import OF_LISTED

_WORDS = "|".join(map(re.escape, OF_LISTED))
_TAKEN = re.compile(rf"\D\d{{1,4}}(?:[.,]\d{{1,3}})? ?[^\W\d_]{{1,12}}\.? (?:{_WORDS})\b", re.IGNORECASE)


def without_taken_of_listed(readings: list[Reading]) -> list[Reading]:
    """The readings, without an amount of a thing that another line of the dough has as much of, or more."""
    return [
        reading
        for at, reading in enumerate(readings)
        if not (at and _is_behind(readings[at - 1], reading) and _is_listed(reading, readings))
    ]


def _is_behind(first: Reading, second: Reading) -> bool:
    """Whether a reading is the second of its line, and its amount is said to be of something listed."""
    is_same_line = first.line == second.line and first.text == second.text
    are_two = is_same_line and first.ingredient is not None and first.ingredient is not second.ingredient
    return are_two and second.part == DOUGH and _TAKEN.search(second.text) is not None


def _is_listed(taken: Reading, readings: Sequence[Reading]) -> bool:
    return taken.mass is not None and any(
        each.line != taken.line and each.ingredient is taken.ingredient and each.part == DOUGH
        for each in readings
        if each.mass and each.mass.best >= taken.mass.best
    )
