"""A scald with its parts in parentheses, among what a list on one line has besides it."""

import re

from scaldloaf.importing.words.sections import SCALD_WORDS, framed
from scaldloaf.importing.words.vocabulary import is_spaceless

MOST_CHARACTERS = 400
LEAST_AMOUNTS = 2
_PIECE = re.compile(
    r"(?:^|[,;] ?)(?P<piece>(?P<name>[^,;()]{3,50})\((?P<parts>[^()]{8,80})\)[^,;()]{0,12})(?=[,;]|$)"
)
_AMOUNT = re.compile(r"\d ?[^\W\d_]")


def scald_in_list(plain: str) -> str:
    """A line with the scald on a line of its own; empty for any other.

    ``300 g flour, tangzhong (15 g flour, 75 g water), 5 g salt``.
    """
    if plain.count("(") < 1 or len(plain) > MOST_CHARACTERS or is_spaceless(plain):
        return ""
    for found in _PIECE.finditer(plain):
        if len(_AMOUNT.findall(found["parts"])) < LEAST_AMOUNTS or not SCALD_WORDS.found_in(
            framed(found["name"])
        ):
            continue
        around = (plain[: found.start()], found["piece"], plain[found.end() :])
        pieces = [piece.strip(" ,;.") for piece in around]
        return "\n".join(filter(None, pieces)) if any((pieces[0], pieces[2])) else ""
    return ""
