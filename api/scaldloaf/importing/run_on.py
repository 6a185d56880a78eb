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
    STEPS,
    TIMES,
    heading_words,
    name_words,
    plain_word,
)

LEAST_AMOUNTS = 3  # of a line that may be a whole list
LEAST_BLANKS = 5  # of three ingredients, an amount and a name each
MOST_RUN_CHARACTERS = 2_000
MOST_LEAD_WORDS = 4  # before the first amount: you will need
MOST_NAME_WORDS = 3
_NUMBER = re.compile(r"\(?\d")
_NO_AMOUNT = re.compile(r"%|°")
_PARTS = frozenset((SCALD, DOUGH, OUTSIDE, SPONGE))
_LED = re.compile(
    r"(?:[,.;] |(?<=\w) )(?:(?:and|plus|with) )?(?:for|a|the) (?:the )?((?:[^\W\d_]+ ){1,3}?)"
    r"(?:of |made (?:of|with|from) |using )?(?=\d)",
    re.IGNORECASE,
)
_MARKS = (" / ", " + ", " • ", " · ", " - ", " – ", "; ")
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
    if plain.count(" ") < LEAST_BLANKS or len(plain) > MOST_RUN_CHARACTERS:
        return [plain]
    if sum(map(str.isdigit, plain)) < LEAST_AMOUNTS:
        return [plain]
    pieces = [
        piece for part in _by_parts(plain) for marked in _by_marks(part) for piece in _by_amounts(marked)
    ]
    return pieces if len(pieces) > 1 else [plain]


def _by_parts(plain: str) -> Iterator[str]:
    """The parts of a line that name what they are for: ``…, and for the tangzhong 25 g flour …``."""
    start, name = 0, ""
    for found in _LED.finditer(plain):
        title = title_of(heading_words(found.group(1)).split())
        before = plain[start : found.start()]
        is_outside = plain.count("(", 0, found.start()) == plain.count(")", 0, found.start())
        if title.exact and title.part in _PARTS and is_outside and has_name(before.split()):
            yield f"{name}{before}"
            start, name = found.end(), f"{found.group(1).strip()}: "
    yield f"{name}{plain[start:]}"


def _by_marks(plain: str) -> list[str]:
    """The ingredients of a list with one mark between all of them: ``500 g flour / 8 g salt / 5 g yeast``."""
    for mark in _MARKS:
        if plain.count(mark) < LEAST_AMOUNTS - 1:
            continue
        pieces = plain.split(mark)
        if all(any(map(str.isdigit, piece)) and has_name(piece.split()) for piece in pieces):
            return pieces
    return [plain]


def _by_amounts(plain: str) -> list[str]:
    words = plain.split()
    if sum(_NUMBER.match(word) is not None for word in words) < LEAST_AMOUNTS - 1:
        return [plain]  # as most lines
    lead = _lead_end(words)
    if not words[lead:] or plain_word(words[lead].lower()) in STEPS:
        return [plain]
    first = next((at for at in range(lead, len(words)) if words[at][0].isdigit()), lead)
    starts = list(_names(words, lead) if has_name(words[lead:first]) else _starts(words))
    if len(starts) < LEAST_AMOUNTS or plain.count(",") + plain.count(";") >= len(starts) - 1:
        return [plain]
    before = words[lead : starts[0]]
    if before and (
        len(before) > MOST_LEAD_WORDS or title_of(heading_words(" ".join(before)).split()).part != LIST
    ):
        return [plain]
    pieces = [words[start:end] for start, end in zip(starts, [*starts[1:], len(words)], strict=True)]
    return [" ".join(piece) for piece in pieces] if all(map(has_name, pieces)) else [plain]


def _lead_end(words: Sequence[str]) -> int:
    """Behind how many words a list starts that its heading and a colon stand before: ``Ingredients:``."""
    end = next((at + 1 for at, word in enumerate(words[:MOST_LEAD_WORDS]) if word.endswith(":")), 0)
    is_list = end and title_of(heading_words(" ".join(words[:end])).split()).part == LIST
    return end if is_list else 0


def _names(words: Sequence[str], lead: int) -> Iterator[int]:
    """Where a name stands behind the amount of another, or first of all: ``Milk 1 cup Sugar 2 tsp``."""
    depth, counted = 0, True
    for at, word in enumerate(words):
        if at >= lead and depth == 0 and counted:
            plain = word.strip(".,;").lower()
            if plain[:1].isalpha() and not _goes_on(plain):
                yield at
                counted = False
        depth += word.count("(") - word.count(")")
        counted = counted or _NUMBER.match(word) is not None


def _goes_on(word: str) -> bool:
    return word in _GOES_ON or unit_of_word(word) is not None


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
                if has_name(words[start:first]):
                    start = first
                    yield first
        depth += word.count("(") - word.count(")")


def _ends_a_name(word: str) -> bool:
    if word.endswith(")"):
        return True
    is_word = word[:1].isalpha() and word[-1:].isalpha()
    return is_word and not _goes_on(word)


def _is_amount(words: Sequence[str], at: int) -> bool:
    if _NO_AMOUNT.search(words[at]):
        return False
    unit = unit_of_word(words[at + 1].strip(".,").lower()) if at + 1 < len(words) else None
    return unit is None or unit.kind != REMARK


def has_name(words: Sequence[str]) -> bool:
    """Whether one of the catalogue's names is among some words."""
    names = [part for word in words for part in name_words(word.strip("().,;:").lower())]
    return any(
        tuple(names[at : at + length]) in ENGLISH.read_as
        for length in range(1, MOST_NAME_WORDS + 1)
        for at in range(len(names) + 1 - length)
    )
