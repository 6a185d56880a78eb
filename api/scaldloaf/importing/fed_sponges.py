"""A sponge or a fed starter that has a list of its own, and is named with its amount in that of the dough."""

import re
from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.amounts import OF
from scaldloaf.importing.doubt import LIKELY, NOT_KNOWN, SOURDOUGH, Doubt
from scaldloaf.importing.readings import INGREDIENT, Reading, in_part
from scaldloaf.importing.sections import title_of
from scaldloaf.importing.sponges import mentioned
from scaldloaf.importing.vocabulary import SPONGE, heading_words

LEAST_WHOLE, MOST_WHOLE = 0.9, 1.15  # of a sponge: so much of it is all of it
LEAST_USED = 0.1
_GRAMS = re.compile(r"(\d+(?:[.,]\d+)?) ?(?:g|gr|grs|gramm[ioe]?s?|gramos)\b", re.IGNORECASE)
_PARTED = Doubt.of(LIKELY, "part_not_dough")


def with_fed_sponges(readings: list[Reading]) -> list[Reading]:
    """The readings, those of a sponge as much as is used; the line that names it is none of the dough."""
    section, own = _listed_sponge(readings)
    if not own:
        return readings
    named = [
        at
        for at, each in enumerate(readings)
        if at > own[-1] and each.section != section and _names_a_sponge(each)
    ]
    if len(named) != 1:
        return readings
    made = sum(_grams_of(readings[at]) for at in own)
    used = _grams_of(readings[named[0]]) or made
    if not LEAST_USED * made <= used <= MOST_WHOLE * made:
        return readings
    found = list(readings)
    found[named[0]] = mentioned(readings[named[0]])
    if used < LEAST_WHOLE * made:
        for at in own:
            found[at] = in_part(found[at], used / made, _PARTED)
    return found


def _listed_sponge(readings: Sequence[Reading]) -> tuple[str, list[int]]:
    """The heading of the sponge, and where its lines are: flour and a liquid, before another flour."""
    for at, reading in enumerate(readings):
        section = reading.section
        if not section or title_of(heading_words(section).split()).part != SPONGE:
            continue
        own = []
        for place in range(at, len(readings)):
            if readings[place].section != section:
                break
            if readings[place].kind == INGREDIENT and readings[place].part == DOUGH:
                own.append(place)
        inside = [each for place in own if (each := readings[place].ingredient)]
        is_sponge = any(each.is_flour for each in inside) and any(each.is_liquid for each in inside)
        rest = [each.ingredient for each in readings[own[-1] + 1 :]] if own else []
        if is_sponge and any(each is not None and each.is_flour for each in rest):
            return section, own
        return "", []
    return "", []


def _names_a_sponge(reading: Reading) -> bool:
    """Whether a line that is not read names a sponge or a starter."""
    if reading.kind != INGREDIENT or reading.ingredient:
        return False
    codes = {doubt.code for doubt in reading.doubts}
    if SOURDOUGH in codes:
        return True
    words = [word for word in heading_words(_GRAMS.sub(" ", reading.text)).split() if word not in OF]
    return not codes.isdisjoint(NOT_KNOWN) and title_of(words).part == SPONGE


def _grams_of(reading: Reading) -> float:
    """What is read of a line, or what it says if nothing is read of it."""
    if reading.mass or reading.ingredient:
        return reading.grams
    said = _GRAMS.search(reading.text)
    return float(said.group(1).replace(",", ".")) if said else 0.0
