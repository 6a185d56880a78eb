"""What a pasted page has around its list: a title above it, and sentences below it without a heading."""

import re
from collections.abc import Sequence

from scaldloaf.importing.doubt import NOT_READ
from scaldloaf.importing.readings import HEADING, INGREDIENT, STEP, Reading

LEAST_SENTENCE_WORDS = 5
_ENDS_SENTENCE = re.compile(r"[.!?](?:\s|\W*$)")


def without_page_text(readings: list[Reading]) -> list[Reading]:
    """The readings; what was not read above the list's heading, or in sentences below it, is a remark."""
    listed = [at for at, each in enumerate(readings) if _has_amount(each)]
    if not listed:
        return readings
    first, last = listed[0], listed[-1]
    head = _begin(readings[: first + 1])
    return [
        _remark(each)
        if _is_unread(each)
        and (
            at < head
            or at < first
            and _is_sentence(each)
            or at > last
            and _is_below(readings[last + 1 : at], each)
        )
        else each
        for at, each in enumerate(readings)
    ]


def _begin(above: Sequence[Reading]) -> int:
    """Where a list begins, of the lines down to its first amount: at its heading, or behind a blank line."""
    for at in range(len(above) - 1, 0, -1):
        if above[at - 1].kind == HEADING:
            return at - 1
        if above[at].line > above[at - 1].line + 1:
            return at
    return 0


def _has_amount(reading: Reading) -> bool:
    amounts = (reading.mass, reading.percent, reading.weighed, reading.bare)
    return reading.kind == INGREDIENT and any(amount is not None for amount in amounts)


def _is_unread(reading: Reading) -> bool:
    """Whether a line is taken for an ingredient without an amount, and its name is unknown or a guess."""
    if reading.kind != INGREDIENT or reading.sure != NOT_READ or _has_amount(reading):
        return False
    guesses = {"misspelt", "unknown_words"}
    return reading.ingredient is None or any(doubt.code in guesses for doubt in reading.doubts)


def _is_below(between: Sequence[Reading], reading: Reading) -> bool:
    """Whether a line below the list is a sentence, or has some of the method above it."""
    return _is_sentence(reading) or any(each.kind == STEP for each in between)


def _is_sentence(reading: Reading) -> bool:
    enough = len(reading.text.split()) >= LEAST_SENTENCE_WORDS
    return enough and _ENDS_SENTENCE.search(reading.text) is not None


def _remark(reading: Reading) -> Reading:
    return Reading(reading.line, reading.text, STEP, read_as="a remark", section=reading.section)
