"""A whole list on one line, in scripts with spaces: ``500 g farina 60 g burro 2 uova 8 g sale``."""

import re
from collections.abc import Sequence

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.amounts import OF
from scaldloaf.importing.eggs import EGG_WORDS
from scaldloaf.importing.measures import unit_of_word
from scaldloaf.importing.run_on import has_name
from scaldloaf.importing.sections import title_of
from scaldloaf.importing.vocabulary import (
    ADD,
    CHOOSE,
    CUT,
    EACH,
    FILLING,
    NUMBERS,
    OF_WHICH,
    OUTSIDE,
    REMARK,
    heading_words,
    is_spaceless,
    plain_word,
)

LEAST_CHARACTERS = 24
LEAST_NUMBERS = 2
LEAST_MARKED, LEAST_RUN = 3, 4  # pieces of a list with marks between them, and with blanks only
MOST_HEADING = 60  # characters before a colon
_NUMBER = re.compile(r"\d+")
_MARK = re.compile(
    r"\s[-–—•·*|/]\s?(?=[^\W_])|(?<=[^\W\d_][^\W\d_])[-–—]\s(?=[^\W_])|(?<=\))[-–—]\s(?=[^\W_])"
)
_NEXT = re.compile(  # a word, and the number of what comes next
    r"(?<![^\W_])([^\W\d_]{2,40}|0{1,4}|[tTwW]\d{2,4}|550|405)[.)]{0,2}[,;]?\s+(?=([1-9]\d*(?:[.,/]\d+)*|[^\W\d_]{2,10})\s?([^\W\d_]{1,20}))"
)
_BEHIND_AMOUNT = re.compile(r"(?<=\d)\s?([^\W\d_]{1,12})\.?[,;]?\s+(?=([^\W\d_]{3,}))")
_LAST_SALT = re.compile(r"(?<=[^\W\d_]{3})\s+(?:[ye]\s|et\s)?(?=(?:sal|sale|sel)\W*$)", re.IGNORECASE)
_ENDS_WITH_AMOUNT = re.compile(
    r"^[^\W\d].*\d\s?(?:gr?|grs|kg|m?l|cl|dl|cc)?[.\s]*$|^[^\W\d].* q\.?\s?b[.\s]*$", re.IGNORECASE
)
_AMOUNT_ALONE = re.compile(r"[\d.,/ ]++([^\W\d_]*+)\.?\s*(?:[,;\d]|$)")  # at the start: no name behind it
_GROUP = re.compile(r"\([^()]{5,120}\)")
_MARKS = (", ", "; ", " - ", " – ", " + ", ": ")
_WORD = re.compile(r"[^\W\d_]+")
# Words before a number that go on with it: no other ingredient starts behind them.
_GOES_ON = CHOOSE | ADD | CUT | EACH | OF_WHICH | OF | FILLING.keys()
_GOES_ON |= {
    "type",
    "typ",
    "tipo",
    "no",
    "nr",
    "w",
    "to",
    "bis",
    "di",
    "de",
    "environ",
    "unos",
    "env",
    "aprox",
}
_WITHOUT = frozenset(("sin", "senza", "sans"))


def pieces_of_list(plain: str) -> list[str]:
    """The pieces of a line that holds a whole list, each of one ingredient; one piece for another line."""
    if len(plain) < LEAST_CHARACTERS or len(_NUMBER.findall(plain)) < LEAST_NUMBERS or is_spaceless(plain):
        return [plain]
    if "(" in plain and (pieces := _beside_scald(plain)):
        return pieces
    start = _end_of_heading(plain)
    if start and title_of(heading_words(plain[: start - 1]).split()).part == OUTSIDE:
        return [plain]
    pieces = _cut(plain, [(found.start(), found.end()) for found in _MARK.finditer(plain, start)])
    if len(pieces) > 1 and _are_listed(pieces):
        return pieces
    is_named_first = _ENDS_WITH_AMOUNT.search(plain) is not None
    ends = _ends_of_amounts(plain, start) if is_named_first else _starts_of_amounts(plain, start)
    pieces = _cut(plain, [(at, at) for at in ends])
    if len(pieces) < LEAST_RUN or plain.count(",") + plain.count(";") >= len(pieces) - 1:
        return [plain]  # commas between them are read as they are
    if is_named_first:
        return pieces if all(map(_ENDS_WITH_AMOUNT.search, pieces)) else [plain]
    if not all(map(_names_behind, pieces[1:])):
        return [plain]
    return pieces


def with_last_salt(pieces: list[str]) -> list[str]:
    """The pieces, with salt that has no amount at the end of the last apart: ``2 uova sale``."""
    *others, last = pieces
    return [*others, *filter(None, map(str.strip, _LAST_SALT.split(last, maxsplit=1)))]


def _beside_scald(plain: str) -> list[str]:
    """A line cut before and behind a scald that has its parts in parentheses; none for another line."""
    for found in _GROUP.finditer(plain):
        start = max(
            (plain.rfind(mark, 0, found.start()) + len(mark) for mark in _MARKS if mark in plain), default=0
        )
        start = start if plain[:start].strip(" -–—;,") else 0
        words = [word for word in _WORD.findall(plain[start : found.start()].lower())]
        named = [word for word in words if unit_of_word(word) is None and word not in OF]
        if len(_NUMBER.findall(found.group())) > 1 and title_of(named) == (SCALD, True):
            pieces = (plain[:start], plain[start : found.end()], plain[found.end() :])
            cut = [piece for each in pieces if (piece := each.strip(" ,;.-–—•·*|/"))]
            return cut if len(cut) > 1 and any(map(str.isdigit, cut[0] + cut[-1])) else []
    return []


def _end_of_heading(plain: str) -> int:
    """Where the list starts behind a heading and its colon."""
    colon = plain.find(":", 0, MOST_HEADING)
    return colon + 1 if colon > 0 and not any(map(str.isdigit, plain[:colon].split("(")[0])) else 0


def _cut(plain: str, places: Sequence[tuple[int, int]]) -> list[str]:
    """A line cut at places outside parentheses, each with its end."""
    pieces: list[str] = []
    begin = past = depth = 0
    for start, end in places:
        depth += plain.count("(", past, start) - plain.count(")", past, start)
        past = start
        if depth <= 0:
            pieces.append(plain[begin:start])
            begin, depth = end, 0
    return [piece for each in (*pieces, plain[begin:]) if (piece := each.strip(" ,;.-–—•·*|/"))]


def _are_listed(pieces: Sequence[str]) -> bool:
    """Whether nearly all pieces between marks have an amount and a name: no cells of one ingredient."""
    named = 0
    for piece in pieces:
        words = piece.split()
        counted = any(map(str.isdigit, piece)) or words[0].lower() in NUMBERS
        named += counted and has_name(words)
    return named == len(pieces) or named >= max(LEAST_MARKED, 0.6 * len(pieces))


def _names_behind(piece: str) -> bool:
    """Whether a piece is an amount and the name behind it, or the name of what has no amount."""
    alone = _AMOUNT_ALONE.match(piece)
    return alone is None or bool(alone.group(1)) and unit_of_word(alone.group(1).lower()) is None


def _starts_of_amounts(plain: str, start: int) -> list[int]:
    """Where another amount starts behind a name: ``500 g farina | 60 g burro | un cubetto di lievito``."""
    places: list[int] = []
    for found in _NEXT.finditer(plain, start):
        before, number, behind = (word.lower() for word in found.groups())
        if before in _GOES_ON or unit_of_word(before) is not None or before in NUMBERS:
            continue
        if not places and not any(map(str.isdigit, plain[start : found.end()])):
            continue  # Mélanger 500 g de farine …
        unit = unit_of_word(behind)
        if unit is not None and unit.kind == REMARK:
            continue
        is_counted = unit is not None or plain_word(behind) in EGG_WORDS
        if number[0].isdigit() or number in NUMBERS and is_counted:
            places.append(found.end())
    return places


def _ends_of_amounts(plain: str, start: int) -> list[int]:
    """Where an amount ends and another name starts: ``Farina 500 g | Latte 300 ml | Sale 7 g``."""
    places: list[int] = []
    for found in _BEHIND_AMOUNT.finditer(plain, start):
        unit = unit_of_word(found.group(1).lower())
        after = found.group(2).lower()
        if unit is None or unit.kind == REMARK or after in _GOES_ON or after in NUMBERS:
            continue
        if unit_of_word(after) is None and after not in _WITHOUT:
            places.append(found.end())
    return places
