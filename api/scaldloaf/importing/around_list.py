"""What a pasted page has around its list: a title above it, and sentences below it without a heading."""

import re
from collections.abc import Sequence

from scaldloaf.importing.doubt import NOT_READ
from scaldloaf.importing.readings import HEADING, INGREDIENT, MENTION, STEP, Reading

LEAST_SENTENCE_WORDS = 5
_GUESSES = frozenset(("misspelt", "unknown_words"))
_ENDS_SENTENCE = re.compile(r"[.!?](?:\s|\W*$)")


def without_page_text(readings: list[Reading]) -> list[Reading]:
    """The readings; what was not read above the list's heading, or in sentences below it, is a remark."""
    listed = [at for at, each in enumerate(readings) if _has_amount(each) and each.ingredient]
    if not listed:
        return readings
    first, last = listed[0], listed[-1]
    head = _begin(readings[: first + 1])
    method = next((at for at in range(last + 1, len(readings)) if readings[at].kind == STEP), len(readings))

    def is_page_text(at: int, reading: Reading) -> bool:
        if at < head:
            return not reading.weighed or _is_sentence(reading.text)
        if first <= at <= last or _has_amount(reading):
            return False
        return at > method or _is_sentence(reading.text)

    return [
        _remark(each) if _is_unread(each) and is_page_text(at, each) else each
        for at, each in enumerate(readings)
    ]


def _begin(above: Sequence[Reading]) -> int:
    """Where a list begins, of the lines down to its first amount: at its heading, or behind a blank line."""
    for at in range(len(above) - 1, 0, -1):
        if above[at - 1].kind in (HEADING, MENTION):
            return at - 1
        if above[at].line > above[at - 1].line + 1:
            return at
    return 0


def _has_amount(reading: Reading) -> bool:
    has_one = reading.mass or reading.percent or reading.weighed or reading.bare
    return reading.kind == INGREDIENT and has_one is not None


def _is_unread(reading: Reading) -> bool:
    """Whether a line is taken for an ingredient, and its name is unknown or a guess."""
    if reading.kind != INGREDIENT or reading.sure != NOT_READ:
        return False
    return reading.ingredient is None or any(doubt.code in _GUESSES for doubt in reading.doubts)


def _is_sentence(text: str) -> bool:
    return _ENDS_SENTENCE.search(text) is not None and len(text.split()) >= LEAST_SENTENCE_WORDS


def _remark(reading: Reading) -> Reading:
    return Reading(reading.line, reading.text, STEP, read_as="a remark", section=reading.section)
