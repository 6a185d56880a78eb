"""An amount that is a part of what another line lists: ``30 g flour (from the 500 g)``, ``of the above``."""

import re

from scaldloaf.importing.words.vocabulary import FROM_LIST, OF_LISTED, OF_WHICH, heading_words

_NUMBER = re.compile(r"\d+")
_AMOUNT = rf"(?<![^\W\d_])(?:{'|'.join(map(re.escape, OF_LISTED))}) ?(?P<total>[1-9]\d{{2,3}}) ?g"
_OF_AMOUNT = re.compile(_AMOUNT, re.IGNORECASE)  # prélevés sur les 500 g
_BEHIND = re.compile(rf" ?[(,;] ?(?:[^\W\d_]+ ){{0,2}}{_AMOUNT}[^\d()]{{0,20}}\)?$", re.IGNORECASE)


def without_its_total(plain: str) -> str:
    """A line without what it is a part of, where that is an amount: ``30 g Mehl (von den 500 g)``."""
    found = _BEHIND.search(plain)
    if found is None:
        return plain
    first = _NUMBER.search(plain)
    is_part = first is not None and int(first.group()) < int(found["total"]) and first.end() <= found.start()
    return plain[: found.start()] if is_part else plain


def is_of_listed(text: str) -> bool:
    """Whether a line says that its amounts are parts of those that others list."""
    lower = text.lower()
    said = not OF_WHICH.isdisjoint(heading_words(lower).split()) or any(map(lower.__contains__, FROM_LIST))
    return said or _OF_AMOUNT.search(lower) is not None
