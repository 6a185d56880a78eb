"""Recipes for more than one bread: amounts for two sizes, and a scald that is made for several doughs."""

import re
from collections.abc import Collection

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt
from scaldloaf.importing.words.sections import SCALD_WORDS, framed
from scaldloaf.importing.words.vocabulary import (
    HALF,
    LEFT_OVER,
    LOAVES,
    NUMBERS,
    heading_words,
    is_spaceless,
    plain_words,
)

MOST_CHARACTERS = 200  # of a line that says what the scald is for
LEAST_BATCHES, MOST_LOAVES = 2, 12  # 25 bread flour
OF_BATCHES = "scald_left_over"
_LOAVES = frozenset(map(heading_words, LOAVES))
_SPARE = tuple(f" {heading_words(words)} " for words in LEFT_OVER if not is_spaceless(words))
_TIMES = re.compile(r"\b[2-9] ?[x×](?!\w)|(?<!\w)[x×] ?[2-9]\b")


def with_doubt_of_sizes(readings: list[Reading], rows: Collection[int]) -> list[Reading]:
    """The readings, those of lines with the amounts of two sizes not sure.

    Parameters
        readings : list[Reading]
        rows : Collection[int]  places of such lines
    Returns
        list[Reading]
    """
    if not rows:
        return readings
    return [
        each._replace(doubts=_of_sizes(each.doubts)) if each.in_formula and each.line - 1 in rows else each
        for each in readings
    ]


def _of_sizes(doubts: tuple[Doubt, ...]) -> tuple[Doubt, ...]:
    """The doubts of a line for two sizes, whose two amounts need not agree."""
    return (*(doubt for doubt in doubts if doubt.code != "amounts_differ"), Doubt.of(LIKELY, "other_size"))


def with_doubt_of_batches(readings: list[Reading], is_said: bool) -> list[Reading]:
    """The readings, a scald that is made for several loaves not sure, where no line says how much is used.

    A recipe that makes as many of everything needs no doubt. is_said: the caller says what the scald is.
    """
    scald = [each for each in readings if each.part == SCALD and each.in_formula]
    is_known = any(
        each.scald_used_g or any(doubt.code == OF_BATCHES for doubt in each.doubts) for each in scald
    )
    if is_said or is_known or not scald:
        return readings
    sections = {each.section for each in scald}
    said, others = 0, set()
    for each in readings:
        if len(each.text) > MOST_CHARACTERS:
            continue
        is_of_scald = each.part == SCALD and each.section in sections
        if is_of_scald or each.kind != INGREDIENT and _names_scald(each.text):
            said = said or _loaves(each.text) or _is_made_more(each)
        else:
            others.add(_loaves(each.text))
    if said < LEAST_BATCHES or said in others:
        return readings
    doubt = Doubt.of(UNSURE, OF_BATCHES)
    return [
        each._replace(doubts=(*each.doubts, doubt)) if each.part == SCALD and each.in_formula else each
        for each in readings
    ]


def _names_scald(text: str) -> bool:
    return SCALD_WORDS.found_in(framed(text.lower())) is not None


def _loaves(text: str) -> int:
    """How many doughs or loaves a line says that something is for; 0 where it says nothing of them."""
    words = [] if is_spaceless(text) else heading_words(text).split()
    for word, behind in zip(words, words[1:], strict=False):
        if behind in _LOAVES:
            number = int(word) if word.isdecimal() and len(word) < 3 else int(NUMBERS.get(word, 0))
            if LEAST_BATCHES <= number <= MOST_LOAVES:
                return number
    return 0


def _is_made_more(reading: Reading) -> int:
    """Two, where a line of a scald says that some is left, or its heading “half of it” or “twice”; else 0."""
    words = f" {heading_words(reading.text)} "
    if any(map(words.__contains__, _SPARE)):
        return LEAST_BATCHES
    head, colon, _ = reading.text.lower().partition(":")
    is_heading = colon or reading.kind != INGREDIENT
    if not is_heading or is_spaceless(head):
        return 0
    halves = sum([word in HALF for word in plain_words(head)])  # two halves: half milk, half water
    is_half = halves == 1 and not (colon and any(map(str.isdigit, head)))
    return LEAST_BATCHES if is_half or _TIMES.search(head) else 0
