"""Two lists side by side that copying has put on the same lines: ``500 g Mehl 200 g Nüsse``."""

import re
from collections.abc import Sequence
from itertools import takewhile

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.joined_lines import names_one
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.vocabulary import OUTSIDE

LEAST_PAIRS = 2  # lines with an amount of each list
MOST_CHARACTERS = 100  # of a line of two lists
_HEADS = re.compile(r"\s*([^:\d]{2,40}:)\s+([^:\d]{2,40}:)\s*")
_BEGINS = re.compile(r"\s*[\d½¼¾⅓⅔]")
_PAIR = re.compile(
    r"\s*([\d½¼¾⅓⅔][^()]*?[^\W\d_](?:\s?\([^()]*\))?)\s+([\d½¼¾⅓⅔][\d.,/½¼¾⅓⅔–-]*\s?[^\W\d_].*)"
)


def in_two_lists(lines: Sequence[str]) -> list[str]:
    """The lines, two such lists one after the other: below ``Für den Teig: Für die Füllung:``."""
    for start, line in enumerate(lines):
        heads = _HEADS.fullmatch(line) if line.count(":") == 2 else None
        if not heads or not _are_two_parts(*heads.groups()):
            continue
        rows = list(takewhile(_is_row, lines[start + 1 :]))
        pairs = list(map(_pair, rows))
        if sum(right != "" for _, right in pairs) >= LEAST_PAIRS:
            left, right = heads.groups()
            listed = [left, *(each for each, _ in pairs), right, *(each for _, each in pairs if each)]
            return [*lines[:start], *listed, *lines[start + 1 + len(rows) :]]
    return list(lines)


def _are_two_parts(*heads: str) -> bool:
    """Whether one of two headings is of the dough, and the other of something else."""
    titles = list(map(title_in, heads))
    parts = {title.part for title in titles}
    return DOUGH in parts and not parts.isdisjoint((OUTSIDE, SCALD)) and all(each.exact for each in titles)


def _is_row(line: str) -> bool:
    return _BEGINS.match(line) is not None and len(line) <= MOST_CHARACTERS


def _pair(line: str) -> tuple[str, str]:
    """What a line has of each list; a second amount, or a last word that is a thing without one, is right."""
    pair = _PAIR.fullmatch(line)
    if pair:
        return pair.group(1), pair.group(2)
    before, _, last = line.strip().rpartition(" ")
    is_thing = title_in(last).part == OUTSIDE or last[:1].isupper() and names_one(last)
    return (before, last) if is_thing and names_one(before) else (line.strip(), "")
