"""A line with an amount for each part of the recipe: ``flour: 25 g (roux) + 475 g (dough)``."""

import re

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.one_line import names_in
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.vocabulary import MASS, SPONGE, VOLUME

MOST_CHARACTERS = 140
MAY_BE_SHARED = re.compile(r"\d\s?[^\W\d_].*\d\s?[^\W\d_]")  # two amounts
_SHARE = re.compile(
    r"(\d[\d.,/]{0,8}\s?([^\W\d_]{1,12}))\.?\s?"
    r"(?:\(([^\d()]{2,40})\)|((?:for|in|für|fürs|im|pour|dans|para|en|per|nel|nella|al|alla)\s[^\d()+,;/]{2,40}))"
    r"(?:\s?(?:[+,;/&]|and|und|et|y|e)(?![^\W\d_]))?\s?",
    re.IGNORECASE,
)
_UNIT_FIRST = re.compile(
    r"(^|[:,;(] ?)(g|gr|kg|ml|cl|dl|l)\.? (\d[\d.,]{0,8}(?<!,)) (?=[^\W\d_])", re.IGNORECASE
)
_FIRST_NUMBER = re.compile(r"\d")


def with_units_behind(lines: list[str]) -> list[str]:
    """The lines, lists on one of them with their units behind their numbers: ``g 50 farina, g 250 acqua``."""
    return [_with_units_behind(line) if _UNIT_FIRST.search(line) else line for line in lines]


def _with_units_behind(plain: str) -> str:
    found, first = _UNIT_FIRST.search(plain), _FIRST_NUMBER.search(plain)
    is_first = found is not None and first is not None and first.start() == found.start(3)
    return _UNIT_FIRST.sub(r"\1\3 \2 ", plain) if is_first else plain


def in_named_shares(plain: str) -> str:
    """Such a line as one for each part, that of the scald with its mark; empty for any other line."""
    found = list(_SHARE.finditer(plain)) if len(plain) <= MOST_CHARACTERS else []
    if len(found) < 2:
        return ""
    name = _SHARE.sub("", plain).strip(" :=–—-+,;|")
    heads = [(share.group(3) or share.group(4)).strip() for share in found]
    titles = [title_in(head) for head in heads]
    units = [unit_of_word(share.group(2).lower()) for share in found]
    if any(map(str.isdigit, name)) and not any(True for _ in names_in(name)) or not name:
        return ""
    if not all(title.exact and title.part in (SCALD, DOUGH, SPONGE) for title in titles):
        return ""
    if SCALD not in {title.part for title in titles} or not all(
        unit is not None and unit.kind in (MASS, VOLUME) for unit in units
    ):
        return ""
    marks = [" (tangzhong)" if title.part == SCALD else "" for title in titles]
    return "\n".join(f"{share.group(1)} {name}{mark}" for share, mark in zip(found, marks, strict=True))
