"""A scald of which more is made than goes into the bread: how often it is made, or only that some is left."""

import re
from collections.abc import Sequence

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.quantities.readings import HEADING, INGREDIENT, MENTION, Reading
from scaldloaf.importing.words.doubt import UNSURE, Doubt
from scaldloaf.importing.words.sections import SCALD_WORDS, framed
from scaldloaf.importing.words.text import clean
from scaldloaf.importing.words.vocabulary import (
    BATCHES,
    HALF,
    LEFT_OVER,
    LOAVES,
    NUMBERS,
    heading_words,
    is_spaceless,
    plain_words,
)

MOST_BATCHES = 4
MOST_NOTE = 60  # characters of a line that says that some is left over
LINES_BEHIND = 2  # the last one of the scald, that may still say so
MOST_CHARACTERS = 200  # of a line that says for how many loaves the scald is
LEAST_LOAVES, MOST_LOAVES = 2, 12  # 25 bread flour
_ALL = re.compile(r"全[量部]|すべて|\b(?:all|alles|gesamtes?|tutto|tout|toute|todo|toda)\b")
_NUMBER = "|".join(sorted(filter(str.isalpha, NUMBERS), key=len, reverse=True))
_TIMES = "|".join(sorted(map(re.escape, BATCHES), key=len, reverse=True))
_BATCHES = re.compile(rf"(?<![\d.,])([2-{MOST_BATCHES}]|{_NUMBER})\s?(?:{_TIMES})")
_LEFT_OVER = re.compile(
    "|".join(re.escape(words) if is_spaceless(words) else rf"\b{re.escape(words)}\b" for words in LEFT_OVER)
)
_LOAVES = frozenset(map(heading_words, LOAVES))
_SPARE = tuple(f" {heading_words(words)} " for words in LEFT_OVER if not is_spaceless(words))
_TWICE = re.compile(r"\b[2-9] ?[x×](?!\w)|(?<!\w)[x×] ?[2-9]\b")


def batches_of(readings: Sequence[Reading]) -> float:
    """How often the scald is made, as its heading says: ``湯種（2回分）``; 1 where it does not say so."""
    for each in readings:
        if each.kind == HEADING and each.part == SCALD and (found := _BATCHES.search(_plain(each))):
            said = found.group(1)
            number = float(said) if said.isdecimal() else NUMBERS[said]
            return number if 1 < number <= MOST_BATCHES else 1.0
    return 1.0


def with_doubt_of_left_over(readings: list[Reading], is_said: bool) -> list[Reading]:
    """The readings, a scald to be checked of which some may be left over and no line says how much is used.

    is_said: the caller says what the scald is.
    """
    scald = [each for each in readings if each.part == SCALD and each.in_formula]
    if is_said or not scald or any(each.scald_used_g for each in scald):
        return readings
    if not (_is_left_over(readings, scald) or _is_for_several(readings, scald)):
        return readings
    doubt = Doubt.of(UNSURE, "scald_left_over")
    return [
        each._replace(doubts=(*each.doubts, doubt)) if each.part == SCALD and each.in_formula else each
        for each in readings
    ]


def _is_left_over(readings: Sequence[Reading], scald: Sequence[Reading]) -> bool:
    """Whether a heading of the scald says so, or a remark beside it, and no line takes all of it."""
    lines = [each.line for each in scald if each.mass]
    near = range(min(lines), max(lines) + LINES_BEHIND + 1) if lines else range(0)
    said = (
        each
        for each in readings
        if each.kind == HEADING and each.part == SCALD or each.line in near and not each.in_formula
    )
    return bool(lines) and any(map(_says_left_over, said)) and not any(map(_takes_all, readings))


def _takes_all(reading: Reading) -> bool:
    """Whether the dough has all of the scald: ``湯種 全量``."""
    return reading.kind == MENTION and _ALL.search(_plain(reading)) is not None


def _says_left_over(reading: Reading) -> bool:
    return len(reading.text) <= MOST_NOTE and _LEFT_OVER.search(_plain(reading)) is not None


def _plain(reading: Reading) -> str:
    return clean(reading.text).lower()


def _is_for_several(readings: Sequence[Reading], scald: Sequence[Reading]) -> bool:
    """Whether lines of a scald say that it is for several loaves; a recipe may make as many of everything."""
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
    return said >= LEAST_LOAVES and said not in others


def _names_scald(text: str) -> bool:
    return SCALD_WORDS.found_in(framed(text.lower())) is not None


def _loaves(text: str) -> int:
    """How many doughs or loaves a line says that something is for; 0 where it says nothing of them."""
    words = [] if is_spaceless(text) else heading_words(text).split()
    for word, behind in zip(words, words[1:], strict=False):
        if behind in _LOAVES:
            number = int(word) if word.isdecimal() and len(word) < 3 else int(NUMBERS.get(word, 0))
            if LEAST_LOAVES <= number <= MOST_LOAVES:
                return number
    return 0


def _is_made_more(reading: Reading) -> int:
    """Two, where a line of a scald says that some is left, or its heading “half of it” or “twice”; else 0."""
    words = f" {heading_words(reading.text)} "
    if any(map(words.__contains__, _SPARE)):
        return LEAST_LOAVES
    head, colon, _ = reading.text.lower().partition(":")
    is_heading = colon or reading.kind != INGREDIENT
    if not is_heading or is_spaceless(head):
        return 0
    halves = sum([word in HALF for word in plain_words(head)])  # two halves: half milk, half water
    is_half = halves == 1 and not (colon and any(map(str.isdigit, head)))
    return LEAST_LOAVES if is_half or _TWICE.search(head) else 0
