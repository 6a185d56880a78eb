"""Doubts about a scald: that more of it may be made than is used, and that its heading was not understood."""

import re
from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.line.headings import TITLE
from scaldloaf.importing.quantities.readings import HEADING, INGREDIENT, MENTION, Reading
from scaldloaf.importing.whole.listed_scald import LEAST_LIQUID, LIQUIDS, MOST_LIQUID
from scaldloaf.importing.words.doubt import LIKELY, UNKNOWN_HEADING, UNSURE, Doubt
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.text import clean
from scaldloaf.importing.words.vocabulary import BATCHES, LEFT_OVER, NUMBERS, is_spaceless

MOST_BATCHES = 4
MOST_NOTE = 60  # characters of a line that says that some is left over
LINES_BEHIND = 2  # the last one of the scald, that may still say so
MOST_BEFORE_DOUGH = 4  # lines of a first part that may be a scald
_ALL = re.compile(r"全[量部]|すべて|\b(?:all|alles|gesamtes?|tutto|tout|toute|todo|toda)\b")
_NUMBER = "|".join(sorted(filter(str.isalpha, NUMBERS), key=len, reverse=True))
_TIMES = "|".join(sorted(map(re.escape, BATCHES), key=len, reverse=True))
_BATCHES = re.compile(rf"(?<![\d.,])([2-{MOST_BATCHES}]|{_NUMBER})\s?(?:{_TIMES})")
_LEFT_OVER = re.compile(
    "|".join(re.escape(words) if is_spaceless(words) else rf"\b{re.escape(words)}\b" for words in LEFT_OVER)
)


def batches_of(readings: Sequence[Reading]) -> float:
    """How often the scald is made, as its heading says: ``湯種（2回分）``; 1 where it does not say so."""
    for each in readings:
        if each.kind == HEADING and each.part == SCALD and (found := _BATCHES.search(_plain(each))):
            said = found.group(1)
            number = float(said) if said.isdecimal() else NUMBERS[said]
            return number if 1 < number <= MOST_BATCHES else 1.0
    return 1.0


def with_doubts_of_scald(readings: list[Reading], is_said: bool) -> list[Reading]:
    """The readings, a scald to be checked that was not understood or may be left over.

    is_said: the caller says what the scald is.
    """
    return readings if is_said else _of_use(_of_title(readings))


def _of_use(readings: list[Reading]) -> list[Reading]:
    """The readings, those of a scald to be checked of which some may be left over.

    Where no line says how much of it is used.
    """
    scald = [each for each in readings if each.part == SCALD and each.in_formula and each.mass]
    if not scald or any(each.scald_used_g for each in scald):
        return readings
    first, last = min(each.line for each in scald), max(each.line for each in scald)
    said = [
        each
        for each in readings
        if each.kind == HEADING
        and each.part == SCALD
        or each.line in range(first, last + LINES_BEHIND + 1)
        and not each.in_formula
    ]
    if not any(_says_left_over(each) for each in said) or any(_takes_all(each) for each in readings):
        return readings
    doubt = Doubt.of(UNSURE, "scald_left_over")
    return [
        each._replace(doubts=(*each.doubts, doubt)) if each.part == SCALD and each.in_formula else each
        for each in readings
    ]


def _takes_all(reading: Reading) -> bool:
    """Whether the dough has all of the scald: ``湯種 全量``."""
    return reading.kind == MENTION and _ALL.search(_plain(reading)) is not None


def _says_left_over(reading: Reading) -> bool:
    return len(reading.text) <= MOST_NOTE and _LEFT_OVER.search(_plain(reading)) is not None


def _plain(reading: Reading) -> str:
    return clean(reading.text).lower()


def _of_title(readings: list[Reading]) -> list[Reading]:
    """The readings, flour and liquid under the first line to be checked, the heading of the dough below.

    The first line was read as the title: ``【烫糊】``, ``A部分``.
    """
    dough = next(
        (
            at
            for at, each in enumerate(readings)
            if each.kind == HEADING and title_in(each.text) == (DOUGH, True)
        ),
        0,
    )
    title = next((each for each in readings[:dough] if each.read_as == TITLE), None)
    first = [each for each in readings[:dough] if each.kind == INGREDIENT and each.in_formula]
    rest = [each.ingredient for each in readings[dough:] if each.ingredient and each.in_formula]
    if title is None or any(each.part != DOUGH for each in first) or len(first) > MOST_BEFORE_DOUGH:
        return readings
    if not _is_paste(first) or not any(each.is_flour for each in rest):
        return readings
    doubt = Doubt.of(LIKELY, UNKNOWN_HEADING, heading=title.text, part="the dough")
    return [
        each._replace(section_doubts=(*each.section_doubts, doubt)) if each in first else each
        for each in readings
    ]


def _is_paste(readings: Sequence[Reading]) -> bool:
    """Whether some lines are flour or starch and the liquid that may be cooked with it, and nothing else."""
    named = [each.ingredient for each in readings if each.ingredient]
    flour_g = sum(
        each.grams
        for each in readings
        if each.ingredient and (each.ingredient.is_flour or "starch" in each.ingredient.name)
    )
    liquid_g = sum(each.grams for each in readings if each.ingredient and each.ingredient.name in LIQUIDS)
    is_all = all(each.is_flour or "starch" in each.name or each.name in LIQUIDS for each in named)
    return flour_g > 0 and is_all and LEAST_LIQUID * flour_g <= liquid_g <= MOST_LIQUID * flour_g
