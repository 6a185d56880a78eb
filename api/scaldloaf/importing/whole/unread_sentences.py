"""Sentences that were taken for lines of the list: ``Den Teig in Stücke von etwa 140 g teilen.``"""

import re
from collections import Counter

from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading, step
from scaldloaf.importing.words.doubt import NOT_READ
from scaldloaf.importing.words.vocabulary import (
    MASS,
    SPICE,
    STEPS,
    VOLUME,
    has_one_of,
    is_spaceless,
    names_dough,
)

LEAST_WORDS, LEAST_WORDS_OF_STEP = 8, 6  # of a sentence with a full stop, and of one with a word of a method
LEAST_CHARACTERS = 14  # in a script without spaces
_NUMBER = re.compile(r"^\s*(?:[-•*·▪●]\s*)?(?:\d{1,2}\s*[.)、:]\s+|\(?[a-z0-9]\)\s+)?", re.IGNORECASE)
_WORD = re.compile(r"[^\W\d_]+")
_AMOUNT = re.compile(r"[\d½¼¾⅓⅔⅛]\s?([^\W\d_]+(?:\s[^\W\d_]+)?)")
_TOO_MUCH = frozenset(("too_long", "too_many_words"))  # codes of lines that may list what nobody has read
_STOPS, _PAUSES = (".", "!", "。", "！"), ("。", "，", ",", "；")


def without_sentences(readings: list[Reading]) -> list[Reading]:
    """The readings; a sentence of which nothing was read is no ingredient: it says what is done, or more.

    Only one that does not start with an amount, as lines of a list do, nor weighs anything but the dough.
    It stays in the reply as a remark.
    """
    of_line = Counter(reading.line for reading in readings)
    return [
        step(reading, "a remark")
        if _is_unread(reading) and of_line[reading.line] == 1 and _is_sentence(reading.text)
        else reading
        for reading in readings
    ]


def _is_unread(reading: Reading) -> bool:
    is_named = reading.ingredient or reading.mass or reading.percent or reading.starter
    is_cut = any(doubt.code in _TOO_MUCH for doubt in reading.doubts)
    return reading.kind == INGREDIENT and reading.sure == NOT_READ and not is_named and not is_cut


def _is_sentence(text: str) -> bool:
    said = _NUMBER.sub("", text).strip()
    if not said or said[0].isnumeric() or said[-1].isnumeric():
        return False
    if any(map(_weighs, _AMOUNT.findall(said))) and not names_dough(said):
        return False
    if is_spaceless(said):
        is_long = len(said) >= LEAST_CHARACTERS and any(map(said[:-1].__contains__, _PAUSES))
        return is_long and (said.endswith(_STOPS) or has_one_of(said, STEPS))
    words = len(_WORD.findall(said))
    if words >= LEAST_WORDS and said.endswith(_STOPS):
        return True
    return words >= LEAST_WORDS_OF_STEP and has_one_of(said, STEPS)


def _weighs(behind: str) -> bool:
    """Whether the letters behind a number are a unit of mass or volume, or start with one without spaces."""
    ends = range(1, 4) if is_spaceless(behind) else (len(behind), behind.find(" "))
    units = [unit_of_word(behind[:end].lower()) for end in ends]
    return any(unit is not None and unit.kind in (MASS, VOLUME, SPICE) for unit in units)
