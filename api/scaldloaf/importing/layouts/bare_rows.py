"""Tables without strokes, or with more columns than a list has: ``Milk;30;150``, ``tangzhong,flour,20 g``.

Rows between semicolons or commas get strokes. A column of percentages beside one of amounts is left out; a
part that only its first row names becomes a heading; bare numbers get the unit that the table is in.
"""

import csv
import io
import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.words.sections import title_of
from scaldloaf.importing.words.vocabulary import OUTSIDE, SPONGE, heading_words

LEAST_ROWS, LEAST_CELLS, MOST_CELLS = 4, 3, 12
MOST_CELL = 60  # characters of a cell
MOST_ROWS = 200
MOST_ABOVE = 3  # lines above a table that may say its unit
_AMOUNT = re.compile(r"\d[\d.,/ ]*(?:\s?[^\W\d_]{1,6}\.?)?")
_BARE = re.compile(r"\d[\d.,/ ]*")
_PERCENT = re.compile(r"[%％]|\bpercent|\bprozent|\bpourcentage|\bporcentaje|\bpercentual", re.IGNORECASE)
_UNIT = re.compile(r"(?:^|[(\[ ])(kg|g|gr|grams|gramm|grammes|gramos|grammi|ml)[)\]]?$", re.IGNORECASE)
_UNIT_ABOVE = re.compile(
    r"\b(?:in|en) (kg|kilo|kilogramm|kilogrammes|kilos|g|grams|gramm|grammes|gramos|grammi|chili)\b",
    re.IGNORECASE,
)
_RULE = re.compile(r"[|\s:-]+")
_MARKED = re.compile(r";|\|.*\||\t.*\t|,.*,")
_PARTS = (SCALD, DOUGH, OUTSIDE, SPONGE)
_MARKS = ("|", "\t", ";", ",")


class _Table(NamedTuple):
    """Rows between marks: where they begin, the cells of each, and the mark."""

    start: int
    rows: list[list[str]]
    mark: str


def with_plain_rows(lines: Sequence[str]) -> list[str]:
    """The lines, the rows of such tables with strokes between what a list has."""
    made: list[str] = []
    if not any(map(_MARKED.search, lines)):
        return list(lines)
    for table in _tables(lines):
        made += lines[len(made) : table.start] if len(made) < table.start else []
        made += _made_plain(table, lines)
    return made


def _tables(lines: Sequence[str]) -> Iterator[_Table]:
    """The tables among some lines, and what is between them as tables without a mark."""
    at = 0
    while at < len(lines):
        table = _table_at(lines, at) or _Table(at, [[lines[at]]], "")
        yield table
        at += len(table.rows)


def _table_at(lines: Sequence[str], start: int) -> _Table | None:
    """The table that begins with a line: as many rows as have as many cells."""
    line = lines[start]
    mark = next((mark for mark in _MARKS if line.count(mark) >= LEAST_CELLS - 1), "")
    mark = mark or (";" if line.count(";") == 1 and _AMOUNT.fullmatch(line.partition(";")[0].strip()) else "")
    first = _cells(line, mark) if mark else []
    if not 2 <= len(first) <= MOST_CELLS:
        return None
    rows = [first]
    for below in lines[start + 1 : start + MOST_ROWS]:
        cells = _cells(below, mark)
        if len(cells) != len(first):
            break
        rows.append(cells)
    measured = sum(any(map(_AMOUNT.fullmatch, row)) for row in rows)
    return _Table(start, rows, mark) if measured >= LEAST_ROWS else None


def _cells(line: str, mark: str) -> list[str]:
    """The cells of a row; none where a comma is one of a sentence or of a number: ``flour, 1,5 kg``."""
    if mark not in line or len(line) > MOST_CELL * MOST_CELLS:
        return []
    if mark == "|":
        line = line.strip().removeprefix("|").removesuffix("|")
    try:
        cells = next(csv.reader(io.StringIO(line), delimiter=mark), [])
    except csv.Error:
        return []
    if mark == "," and any(cell.startswith(" ") for cell in cells):
        return []
    return [] if any(len(cell) > MOST_CELL for cell in cells) else [cell.strip(" *_\t") for cell in cells]


def _made_plain(table: _Table, lines: Sequence[str]) -> list[str]:
    """The rows of a table as lines; as they are where they have strokes and need nothing."""
    raw = list(lines[table.start : table.start + len(table.rows)])
    if not table.mark:
        return raw
    head = table.rows[0] if not any(map(_AMOUNT.fullmatch, table.rows[0])) else []
    kept = _kept_columns(table, head)
    part = _part_column(table)
    unit = _unit_above(lines[max(0, table.start - MOST_ABOVE) : table.start])
    units = {at: found.group(1) for at, cell in enumerate(head) if (found := _UNIT.search(cell))}
    units = units if table.mark in ";," else {}  # those of other tables are read where they are
    titled = {at: title for at, row in enumerate(table.rows) if (title := _title_of_row(row))}
    if titled:
        return [f"{titled[at]}:" if at in titled else line for at, line in enumerate(raw)]
    if table.mark in "|\t" and len(kept) == len(table.rows[0]) and part < 0 and not unit:
        return raw
    made: list[str] = []
    for line, cells in zip(raw, table.rows, strict=True):
        if table.mark == "|" and _RULE.fullmatch(line):
            made.append(line)
            continue
        heading = f"{cells[part]}:\n" if part >= 0 and cells[part] else ""
        row = [_with_unit(cells[at], units.get(at) or unit) for at in kept if at != part]
        is_heading = cells is not head and sum(map(bool, row)) == 1 and not any(map(_AMOUNT.fullmatch, row))
        made.append(
            heading + (f"{max(row, key=len).strip(' -–—=')}:" if is_heading else with_strokes_between(row))
        )
    return "\n".join(made).split("\n")


def _title_of_row(cells: Sequence[str]) -> str:
    """What a row says that names one part in two languages: ``Impasto | Dough | g``; empty for another."""
    words = [heading_words(cell) for cell in cells if cell and not _UNIT.search(cell)]
    titles = {title_of(each.split()) for each in words}
    title = next(iter(titles), None)
    is_part = title is not None and title.exact and title.part in _PARTS
    return cells[0] if len(words) > 1 and len(titles) == 1 and is_part else ""


def with_strokes_between(cells: Sequence[str]) -> str:
    """A row of a table, as most are written."""
    return f"| {' | '.join(cells)} |"


def _with_unit(cell: str, unit: str) -> str:
    return f"{cell} {unit}" if unit and _BARE.fullmatch(cell) else cell


def _kept_columns(table: _Table, head: Sequence[str]) -> list[int]:
    """The columns without those of percentages in bare numbers, where others have amounts."""
    percent = {at for at, cell in enumerate(head) if _PERCENT.search(cell) and _has_rows(table, at, _BARE)}
    others = [at for at in range(len(table.rows[0])) if at not in percent]
    has_amounts = any(_has_rows(table, at, _AMOUNT) for at in others)
    return others if percent and has_amounts else list(range(len(table.rows[0])))


def _has_rows(table: _Table, column: int, amount: re.Pattern[str]) -> bool:
    """Whether enough cells of a column are such amounts."""
    return sum(amount.fullmatch(row[column]) is not None for row in table.rows) >= LEAST_ROWS


def _part_column(table: _Table) -> int:
    """The column whose cells name the scald and other parts, and that is blank in other rows; or -1."""
    for at in (0, len(table.rows[0]) - 1):
        cells = [row[at] for row in table.rows]
        named = [title_of(heading_words(cell).split()) for cell in cells if cell]
        parts = {title.part for title in named if title.exact and title.part in _PARTS}
        if SCALD in parts and len(named) < len(cells) and all(title.exact for title in named):
            return at
    return -1


def _unit_above(lines: Sequence[str]) -> str:
    """The unit that a line above a table says its numbers are in: ``(Angaben in kg)``."""
    found = next(filter(None, map(_UNIT_ABOVE.search, lines)), None)
    return "" if found is None else "kg" if found.group(1).lower()[0] in "kc" else "g"
