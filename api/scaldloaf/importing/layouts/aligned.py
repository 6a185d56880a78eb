"""Tables that only blanks keep in line, with a column for each part of the recipe."""

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.bare_rows import with_strokes_between
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.vocabulary import TABLE_HEADS, heading_words

MOST_WIDTH, MOST_CELLS = 120, 8
_GAP = re.compile(r"\S(?:\t| {2,})\S")
_BARE = re.compile(r"\d{1,3}(?:[.,]\d{1,2})?")
_PERCENT = ("%", "％")
_CELL = re.compile(r"\S+(?: \S+)*")


class _Cell(NamedTuple):
    start: int
    end: int
    text: str


def with_strokes(lines: Sequence[str]) -> list[str]:
    """The lines, those of such a table with strokes between its cells.

    Lines
        ``               Tangzhong   Dough``
        ``Bread flour      25 g      475 g``
        ``Salt                        10 g``
    """
    made = list(lines)
    heads: list[_Cell] = []
    for at, line in enumerate(lines):
        cells = _cells(line)
        if found := _heads(line, cells):
            heads = found
            made[at] = with_strokes_between(["", *(head.text for head in heads)])
        elif heads and len(cells) > 1 and cells[0].end <= heads[0].start and any(map(str.isdigit, line)):
            made[at] = with_strokes_between([cells[0].text, *_under(cells[1:], heads)])
        elif line.strip():
            heads = []
    return made


def without_percentages(lines: Sequence[str]) -> list[str]:
    """The lines, such a table without its last column where that is of percentages in bare numbers.

    Lines
        ``Flour    500 g    100``
        ``Salt      10 g      2``
    below a head ``Ingredient  Amount  %``.
    """
    made = list(lines)
    start = 0
    for at, line in enumerate(lines if any(line.rstrip().endswith(_PERCENT) for line in lines) else ()):
        *cells, last = _cells(line) or [_Cell(0, 0, "")]
        is_head = last.text in _PERCENT and not any(map(str.isdigit, line))
        start = last.start if cells and is_head else start
        if cells and 0 < start <= last.end and (is_head or _BARE.fullmatch(last.text)):
            made[at] = line[: cells[-1].end]
    return made


def side_by_side(lines: Sequence[str]) -> list[str]:
    """The lines, two lists in columns of their own one after the other, each line in the place of the first.

    Lines
        ``TANGZHONG          DOUGH``
        ``20 g bread flour   380 g bread flour``
        ``100 g milk         7 g salt``
    """
    for start, line in enumerate(lines if any(map(_GAP.search, lines)) else ()):
        heads = _list_heads(line)
        if not heads:
            continue
        rows = list(_rows_of_lists(lines[start + 1 :], heads))
        if len(rows) > 1:
            columns = zip(heads, zip(*rows, strict=True), strict=True)
            lists = [[f"{head.text}:", *filter(None, cells)] for head, cells in columns]
            listed = [each for column in lists for each in column]
            return [*lines[:start], *listed, *lines[start + 1 + len(rows) :]]
    return list(lines)


def _list_heads(line: str) -> list[_Cell]:
    """The heads of lists side by side, of the scald and of the dough among them; none for another line."""
    if any(map(str.isdigit, line)) or not line[:1].strip():
        return []
    heads = _between_tabs(line) if "\t" in line else _cells(line)
    titles = [title_in(head.text) for head in heads]
    is_head = all(title.exact for title in titles) and {SCALD, DOUGH} <= {title.part for title in titles}
    return heads if is_head and len(heads) <= MOST_CELLS else []


def _rows_of_lists(lines: Sequence[str], heads: Sequence[_Cell]) -> Iterator[list[str]]:
    """The rows below such heads, each cell of which begins with its amount."""
    for line in lines:
        cells = _between_tabs(line) if "\t" in line else _between_blanks(line)
        if not cells or not all(cell.text[0].isdigit() for cell in cells) or len(cells) > MOST_CELLS:
            return
        yield _under(cells, heads)


def _cells(line: str) -> list[_Cell]:
    """What is between two blanks or more; nothing of a line that has other marks between its cells."""
    if "  " not in line or "|" in line or "\t" in line:
        return []
    return _between_blanks(line)[:MOST_CELLS]


def _between_blanks(line: str) -> list[_Cell]:
    found = _CELL.finditer(line) if len(line) <= MOST_WIDTH else ()
    return [_Cell(cell.start(), cell.end(), cell.group()) for cell in found]


def _between_tabs(line: str) -> list[_Cell]:
    """What is between tabs, which only number the cells."""
    return [_Cell(at, at, cell.strip()) for at, cell in enumerate(line.split("\t")) if cell.strip()]


def _heads(line: str, cells: list[_Cell]) -> list[_Cell]:
    """The heads of the columns behind that of the names, where the scald and the dough have one each."""
    if len(cells) < 2 or any(map(str.isdigit, line)):
        return []
    if not cells[0].start or heading_words(cells[0].text) in TABLE_HEADS["ingredient"]:
        cells = cells if cells[0].start else cells[1:]
    titles = [title_in(cell.text) for cell in cells]
    parts = {title.part for title in titles if title.exact}
    return cells if {SCALD, DOUGH} <= parts and cells[0].start else []


def _under(cells: Sequence[_Cell], heads: Sequence[_Cell]) -> list[str]:
    """The cell of a row under each head: the one that is nearest to it."""
    row = [""] * len(heads)
    for cell in cells:
        nearest = min(range(len(heads)), key=lambda at: _apart(cell, heads[at]))
        row[nearest] = f"{row[nearest]} {cell.text}".strip()
    return row


def _apart(one: _Cell, other: _Cell) -> tuple[int, int]:
    """How far two cells of different lines are apart: by the blanks between them, then by their ends."""
    between = max(one.start - other.end, other.start - one.end, 0)
    return between, abs(one.start + one.end - other.start - other.end)
