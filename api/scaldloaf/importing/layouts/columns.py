"""Tables that have the parts of a recipe in a column, or a column for each part of it.

``Stufe | Zutat | Menge`` and ``Zutat | Kochstück | Hauptteig``: each amount becomes a line that begins with
its part. Of a table with several units, ``Ingredient | Cups | Grams | %``, the grams are read.
"""

import re
from collections.abc import Collection, Sequence
from typing import NamedTuple

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.words.sections import title_of
from scaldloaf.importing.words.text import clean
from scaldloaf.importing.words.vocabulary import MASS, SPONGE, TABLE_HEADS, TOTALS, heading_words

LEAST_CELLS, MOST_CELLS = 3, 12
MOST_HEAD = 40  # characters of the head of a column
_UNIT = re.compile(r"[(\[] ?(?:in )?(g|ml|kg) ?[)\]]|(?:,? in)? (g|ml|kg)$")
# A. Scald
_LETTER = re.compile(r"^[(（]?[A-Da-d][)）]?\s*[.:：、)）]\s*(?=\S)|^[(（][A-Da-d][)）]\s*(?=\S)")
_BARE_NUMBER = re.compile(r"[\d.,]+")
_PARTS = (SCALD, DOUGH, SPONGE)


class _Columns(NamedTuple):
    """Where a table has its ingredients and amounts; part: of each line, or parts: place -> its name.

    units: place -> what bare numbers below it count, as the head says.
    """

    ingredient: int
    amount: int
    part: int
    parts: dict[int, str]
    units: dict[int, str]


def with_parts_of_table(lines: Sequence[str], plain: list[str]) -> list[str]:
    """The plain lines, those of such a table with the part before each amount, an amount a line.

    Parameters
        lines : Sequence[str]  as pasted
        plain : list[str]  the same, made plain
    Returns
        list[str]
    """
    columns: _Columns | None = None
    made = list(plain)
    part = ""
    for at, line in enumerate(lines):
        cells = _cells(line)
        if len(cells) < LEAST_CELLS:
            columns = None
            continue
        if head := _columns(cells):
            columns, part = head, ""
            continue
        if columns is None or not any(map(str.isdigit, line)):
            continue
        if columns.part >= 0:
            part = _cell(cells, columns.part) or part
        if pieces := list(_pieces(cells, columns, part)):
            made[at] = "\n".join(map(clean, pieces))
    return made


def _pieces(cells: Sequence[str], columns: _Columns, part: str) -> list[str]:
    name = _cell(cells, columns.ingredient)
    if not any(map(str.isalpha, name)):
        return []
    if columns.parts:
        amounts = ((head, _amount(cells, at, columns)) for at, head in columns.parts.items())
        return [f"{head}: {amount} {name}" for head, amount in amounts if any(map(str.isdigit, amount))]
    amount = _amount(cells, columns.amount, columns)
    if not any(map(str.isdigit, amount)):
        return []
    if columns.part < 0:
        return [f"{amount} {name}"]
    return [f"{part}: {amount} {name}"] if part else []


def _amount(cells: Sequence[str], at: int, columns: _Columns) -> str:
    cell = _cell(cells, at)
    return f"{cell} {columns.units[at]}" if at in columns.units and _BARE_NUMBER.fullmatch(cell) else cell


def _cell(cells: Sequence[str], at: int) -> str:
    return cells[at] if 0 <= at < len(cells) else ""


def _cells(line: str) -> list[str]:
    """The cells of a row; none for another line."""
    mark = "|" if "|" in line else "\t"
    if line.count(mark) < LEAST_CELLS - 1:
        return []
    cells = [cell.strip(" *_\t") for cell in line.strip(" \t" if mark == "|" else " ").split(mark)]
    if mark == "|" and line.lstrip().startswith("|"):
        cells = cells[1:]
    return cells[:MOST_CELLS]


def _columns(cells: Sequence[str]) -> _Columns | None:
    """What the heads of a table say; None for a row that is no such head."""
    if any(len(cell) > MOST_HEAD or any(map(str.isdigit, cell)) for cell in cells):
        return None
    found = {at: unit for at, cell in enumerate(cells) if (unit := _UNIT.search(cell))}
    units = {at: unit.group(1) or unit.group(2) for at, unit in found.items()}
    cells = [_LETTER.sub("", _UNIT.sub("", cell).strip()) for cell in cells]
    heads = [heading_words(cell) for cell in cells]
    places = {
        kind: next((at for at, head in enumerate(heads) if head in TABLE_HEADS[kind]), -1)
        for kind in ("ingredient", "amount", "part")
    }
    titles = {at: title_of(head.split()) for at, head in enumerate(heads) if head}
    parts = {at: cells[at] for at, title in titles.items() if title.exact and title.part in _PARTS}
    names = 0 if places["ingredient"] < 0 and not heads[0] else places["ingredient"]
    parts.pop(names, None)
    if names >= 0 and [title_of(parts[at].split()).part for at in parts] == [SCALD]:
        parts |= _dough_beside(heads, {names, *parts})
    if names >= 0 and len(parts) > 1:
        return _Columns(names, -1, -1, parts, units)
    if min(places.values()) >= 0:
        return _Columns(names, places["amount"], places["part"], {}, units)
    of_grams = (at for at, head in enumerate(heads) if at != names and _is_of_grams(head, units.get(at)))
    grams = next(of_grams, -1)
    if names >= 0 and places["part"] < 0 and grams >= 0:
        return _Columns(names, grams, -1, {}, {grams: "g"})
    return None


def _dough_beside(heads: Sequence[str], known: Collection[int]) -> dict[int, str]:
    """The one column that is neither known nor a total, beside that of a scald: ``Scald | Final | Total``."""
    left = [at for at, head in enumerate(heads) if head and at not in known and head not in TOTALS]
    has_total = any(head in TOTALS for head in heads)
    return {left[0]: "Dough"} if has_total and len(left) == 1 else {}


def _is_of_grams(head: str, unit: str | None) -> bool:
    """Whether a column is headed by the gram, or has it behind its head: ``Weight (g)``."""
    return unit == "g" or is_gram(head)


def is_gram(word: str) -> bool:
    """Whether a word is the gram in some language."""
    unit = unit_of_word(word)
    return unit is not None and unit.kind == MASS and unit.grams == 1
