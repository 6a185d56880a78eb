"""A whole list on one line, in scripts with spaces: ``500 g flour 8 g salt … for the roux 25 g flour``."""

import re
from collections.abc import Iterator, Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.lexicon import ENGLISH
from scaldloaf.importing.measures import unit_of_word
from scaldloaf.importing.sections import title_of
from scaldloaf.importing.vocabulary import (
    ADD,
    CHOOSE,
    CUT,
    EACH,
    FILLING,
    LESS,
    LIST,
    OF_WHICH,
    OUTSIDE,
    RANGE,
    REMARK,
    SPONGE,
    TIMES,
    heading_words,
    name_words,
)

LEAST_AMOUNTS = 3  # of a line that may be a whole list
MOST_RUN_CHARACTERS = 2_000
MOST_LEAD_WORDS = 4  # before the first amount: you will need
MOST_NAME_WORDS = 3
_NUMBER = re.compile(r"\(?\d")
_NO_AMOUNT = re.compile(r"%|°")
_PARTS = frozenset((SCALD, DOUGH, OUTSIDE, SPONGE))
_LED = re.compile(r"(?:[,.;] |(?<=\w) )(?:and )?(?=for (?:the )?((?:[^\W\d_]+ ){1,3})\d)", re.IGNORECASE)
# Behind one of these a number goes on with what stands before it.
_GOES_ON = (
    ADD
    | CHOOSE
    | RANGE
    | CUT
    | TIMES
    | LESS
    | EACH
    | OF_WHICH
    | frozenset(
        (
            "of",
            "about",
            "approx",
            "no",
            "type",
            "size",
            "use",
            "add",
            "take",
            "up",
            "by",
            "makes",
            "de",
            "di",
            "d",
        )
    )
)


def pieces_of_run(plain: str) -> list[str]:
    """The ingredients of a list on one line without marks between them; one piece for another line."""
    if not LEAST_AMOUNTS < len(plain) <= MOST_RUN_CHARACTERS or sum(map(str.isdigit, plain)) < LEAST_AMOUNTS:
        return [plain]
    led = list(_by_parts(plain))
    pieces = [piece for part in led for piece in _by_amounts(part)]
    return pieces if len(pieces) > 1 else [plain]


def _by_parts(plain: str) -> Iterator[str]:
    """The parts of a line that name what they are for: ``…, and for the tangzhong 25 g flour …``."""
    start = 0
    for found in _LED.finditer(plain):
        title = title_of(heading_words(found.group(1)).split())
        before = plain[start : found.start()]
        is_outside = plain.count("(", 0, found.start()) == plain.count(")", 0, found.start())
        if title.exact and title.part in _PARTS and is_outside and _has_name(before.split()):
            yield before
            start = found.end()
    yield plain[start:]


def _by_amounts(plain: str) -> list[str]:
    words = plain.split()
    starts = list(_starts(words))
    if len(starts) < LEAST_AMOUNTS or plain.count(",") + plain.count(";") >= len(starts) - 1:
        return [plain]
    lead = words[: starts[0]]
    if lead and (len(lead) > MOST_LEAD_WORDS or title_of(heading_words(" ".join(lead)).split()).part != LIST):
        return [plain]
    pieces = [words[start:end] for start, end in zip(starts, [*starts[1:], len(words)], strict=True)]
    return [" ".join(piece) for piece in pieces] if all(map(_has_name, pieces)) else [plain]


def _starts(words: Sequence[str]) -> Iterator[int]:
    """Where an amount stands behind the name of another ingredient, or first of all."""
    depth = 0
    start = None
    for at, word in enumerate(words):
        if depth == 0 and _NUMBER.match(word) and not word.startswith("(") and _is_amount(words, at):
            before = words[at - 1].strip(".,;").lower() if at else ""
            if start is None:
                start = at
                yield at
            elif _ends_a_name(before):
                first = at - 1 if before in FILLING and at - 1 > start else at
                if _has_name(words[start:first]):
                    start = first
                    yield first
        depth += word.count("(") - word.count(")")


def _ends_a_name(word: str) -> bool:
    if word.endswith(")"):
        return True
    is_word = word[:1].isalpha() and word[-1:].isalpha()
    return is_word and word not in _GOES_ON and unit_of_word(word) is None


def _is_amount(words: Sequence[str], at: int) -> bool:
    if _NO_AMOUNT.search(words[at]):
        return False
    unit = unit_of_word(words[at + 1].strip(".,").lower()) if at + 1 < len(words) else None
    return unit is None or unit.kind != REMARK


def _has_name(words: Sequence[str]) -> bool:
    """Whether one of the catalogue's names is among some words."""
    names = [part for word in words for part in name_words(word.strip("().,;:").lower())]
    return any(
        tuple(names[at : at + length]) in ENGLISH.read_as
        for length in range(1, MOST_NAME_WORDS + 1)
        for at in range(len(names) + 1 - length)
    )
