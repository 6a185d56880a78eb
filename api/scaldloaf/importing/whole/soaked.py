"""A list of its own for dried fruit and what it is soaked in: ``Soaked fruit``, ``Eingeweichte Rosinen``."""

from itertools import takewhile

from scaldloaf.importing.line.liquids_inside import is_steeping, of_soaked, says_in_words
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.words.vocabulary import SOAKED_FRUIT


def with_soaked(readings: list[Reading]) -> list[Reading]:
    """The readings, a liquid below a line without an amount that says that fruit is soaked as no dough.

    Only where the list below it, up to the next such line, has dried fruit and nothing but fruit and liquids.
    """
    if not any([each.ingredient is not None and each.ingredient.name in SOAKED_FRUIT for each in readings]):
        return readings
    found = list(readings)
    for start, heading in enumerate(readings):
        if _is_measured(heading) or not says_in_words(f" {heading.text.lower()} "):
            continue
        below = list(takewhile(_is_measured, readings[start + 1 :]))
        fruit = sum(each.ingredient is not None and each.ingredient.name in SOAKED_FRUIT for each in below)
        liquids = sum(map(_is_liquid, below))
        if fruit and fruit + liquids == len(below):
            end = start + 1 + len(below)
            found[start + 1 : end] = [of_soaked(each) if _is_liquid(each) else each for each in below]
    return found


def _is_measured(reading: Reading) -> bool:
    return reading.kind == INGREDIENT and reading.mass is not None


def _is_liquid(reading: Reading) -> bool:
    return reading.ingredient is not None and is_steeping(reading.ingredient)
