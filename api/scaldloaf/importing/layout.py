"""What the layout of a recipe shows, whatever its words say: a marked title, numbered steps, a table."""

import csv
import io
import re
from collections.abc import Sequence

from scaldloaf.importing.vocabulary import TABLE_HEADS, heading_words

MOST_COLUMNS = 20
_UNDERLINE = re.compile(r"\s*={3,}\s*$")
_NUMBERED_SENTENCE = re.compile(r"\s*\d{1,2}[.)]\s+\S.*[.。]\s*$")
_HEADS = "part", "ingredient", "amount"
_SAID_AS_TEXT = re.compile("'(?=[=+@＝＋－＠-])")


def titles_in(lines: Sequence[str]) -> frozenset[int]:
    """Places of lines that are marked as the title: underlined, or the only ``#`` above some ``##``."""
    found = {at for at in range(len(lines) - 1) if lines[at].strip() and _UNDERLINE.match(lines[at + 1])}
    first = [at for at, line in enumerate(lines) if line.startswith("# ")]
    if len(first) == 1 and any(line.startswith("## ") for line in lines[first[0] :]):
        found.add(first[0])
    return frozenset(found)


def next_is_step(lines: Sequence[str]) -> list[bool]:
    """Of each line, whether the next one that is not blank is a numbered sentence."""
    found = [False] * len(lines)
    following = False
    for at in range(len(lines) - 1, -1, -1):
        found[at] = following
        if lines[at].strip():
            following = _NUMBERED_SENTENCE.match(lines[at][:500]) is not None
    return found


def lines_of_table(text: str) -> list[str] | None:
    """The rows of a table as lines: ``Scald: 100 g bread flour``; None for a text that is none.

    A table is CSV whose first row names a column of ingredients and one of amounts, perhaps one of parts. Its
    head becomes a blank line, so that the lines count as its rows do.
    """
    head, _, _ = text.lstrip("\ufeff\r\n").partition("\n")
    mark = next((mark for mark in ",;\t" if head.count(mark) and _columns(_cells(head, mark))), None)
    if mark is None:
        return None
    columns = _columns(_cells(head, mark))
    rows = text.lstrip("\ufeff\r\n").splitlines()[1:]
    return ["", *(_line(_cells(row, mark), columns) for row in rows)]


def _cells(row: str, mark: str) -> list[str]:
    try:
        cells = next(csv.reader(io.StringIO(row), delimiter=mark), [])
    except csv.Error:
        return []
    return [_SAID_AS_TEXT.sub("", cell.strip(), count=1) for cell in cells[:MOST_COLUMNS]]


def _columns(cells: Sequence[str]) -> dict[str, int]:
    """Where the columns of parts, ingredients and amounts are; empty where one of the latter two is not."""
    found: dict[str, int] = {}
    for at, cell in enumerate(cells):
        for kind in _HEADS:
            if heading_words(cell) in TABLE_HEADS[kind]:
                found.setdefault(kind, at)
    return found if "ingredient" in found and "amount" in found else {}


def _line(cells: Sequence[str], columns: dict[str, int]) -> str:
    said = {kind: cells[at] for kind, at in columns.items() if at < len(cells)}
    line = f"{said.get('amount', '')} {said.get('ingredient', '')}".strip()
    return f"{said['part']}: {line}" if line and said.get("part") else line
