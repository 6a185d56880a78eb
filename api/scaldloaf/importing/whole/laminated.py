"""Butter that is rolled into the dough, where only the method says so: it folds a sheet of butter in."""

from collections.abc import Iterable

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.quantities.readings import Reading
from scaldloaf.importing.whole.beside_dough import is_butter
from scaldloaf.importing.words.doubt import LIKELY, Doubt
from scaldloaf.importing.words.vocabulary import FOLDED, OUTSIDE

LEAST_SHEET = 0.25  # of the flour; less is kneaded in


def with_doubt_of_sheet(readings: list[Reading], sentences: Iterable[str]) -> list[Reading]:
    """The readings, with a doubt about so much butter that a sentence of the method may fold it in."""
    known = [each for each in readings if each.in_formula and each.ingredient]
    flour = sum(each.grams for each in known if each.ingredient and each.ingredient.is_flour)
    sheets = [at for at, reading in enumerate(readings) if _is_sheet(reading, flour)]
    is_apart = any(reading.part == OUTSIDE and _is_butter(reading) for reading in readings)
    folds = any(word in sentence.lower() for sentence in sentences for word in FOLDED)
    if not sheets or is_apart or not folds:
        return readings
    doubt = Doubt.of(LIKELY, "may_be_filling")
    return [
        reading._replace(section_doubts=(*reading.section_doubts, doubt)) if at in sheets else reading
        for at, reading in enumerate(readings)
    ]


def _is_butter(reading: Reading) -> bool:
    return reading.ingredient is not None and is_butter(reading.ingredient)


def _is_sheet(reading: Reading, flour: float) -> bool:
    is_in_dough = reading.part == DOUGH and reading.in_formula
    return is_in_dough and _is_butter(reading) and reading.grams >= LEAST_SHEET * flour > 0
