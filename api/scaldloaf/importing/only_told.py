"""A recipe without a list, whose sentences say how much of what: ``Sciogliete 25 g di lievito in …``."""

import re
from collections.abc import Sequence
from itertools import pairwise

from scaldloaf.importing.doubt import UNSURE, Doubt
from scaldloaf.importing.eggs import EGG_WORDS
from scaldloaf.importing.lines import read_part
from scaldloaf.importing.measures import unit_of_word
from scaldloaf.importing.readings import INGREDIENT, STEP, Reader, Reading
from scaldloaf.importing.sections import SCALD_WORDS
from scaldloaf.importing.vocabulary import NUMBERS, REMARK, is_spaceless, plain_word

LEAST_AMOUNTS = 4  # of the sentences of a recipe that has no list
MOST_PIECES = 60
MOST_PIECE_CHARACTERS = 80
_AMOUNT = re.compile(r"(?<![^\W_])(\d[\d.,/]*|[^\W\d_]{2,10})\s?([^\W\d_]{1,20})")
_END = re.compile(r"[,;:!()]|[.](?:\s|$)")
_WITH = re.compile(
    r"\s(?:con|with|avec|mit|al|alla|au|nel|nella|to|into|in|dans|zum|y|e|et|and|und)\s", re.IGNORECASE
)


def from_prose(readings: list[Reading], plain: Sequence[str], reader: Reader) -> list[Reading]:
    """The readings, with what only the sentences weigh where no list names a flour; never sure."""
    if any(reading.ingredient and reading.ingredient.is_flour for reading in readings):
        return readings
    told = dict.fromkeys(
        reading.line
        for reading in readings
        if reading.kind == STEP
        and 0 < reading.line <= len(plain)
        and not is_spaceless(plain[reading.line - 1])
    )
    pieces = {line: _pieces(plain[line - 1].replace("\n", " ")) for line in told}
    if not LEAST_AMOUNTS <= sum(map(len, pieces.values())) <= MOST_PIECES:
        return readings
    doubt = Doubt.of(UNSURE, "only_in_method")
    found: list[Reading] = []
    for reading in readings:
        if reading.kind == STEP or reading.line not in told:
            found.append(reading)
        blank = reading._replace(kind=INGREDIENT, read_as="", doubts=(), section_doubts=())
        found += [
            read._replace(doubts=(*read.doubts, doubt))
            for piece in pieces.pop(reading.line, ())
            for read in read_part(piece, blank, reader)
            if read.kind == INGREDIENT and read.ingredient and read.mass
        ]
    return found


def _pieces(sentence: str) -> list[str]:
    """From each amount of a sentence to the next one, or to the end of its clause."""
    starts = [found.start() for found in _AMOUNT.finditer(sentence) if _is_amount(*found.groups())]
    pieces: list[str] = []
    for start, end in pairwise([*starts, len(sentence)]):
        clause = _END.search(sentence, start, end)
        piece = sentence[start : clause.start() if clause else end]
        if SCALD_WORDS.found_in(f" {piece.lower()} "):
            piece = _WITH.split(piece, maxsplit=1)[0]  # 330 g di farina con il tangzhong
        pieces.append(piece[:MOST_PIECE_CHARACTERS].strip())
    return pieces


def _is_amount(number: str, behind: str) -> bool:
    """Whether a number and the word behind it are the amount of an ingredient."""
    unit = unit_of_word(behind.lower())
    if not number[0].isdigit() and number.lower() not in NUMBERS:
        return False
    return unit.kind != REMARK if unit else plain_word(behind.lower()) in EGG_WORDS
