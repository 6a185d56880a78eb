"""What the layout of a recipe shows, whatever its words say: a marked title, numbered steps, a table."""

import csv
import io
import re
from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from unicodedata import east_asian_width

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.bare_rows import with_strokes_between
from scaldloaf.importing.layouts.columns import is_gram
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.words.sections import is_dressed, title_of
from scaldloaf.importing.words.text import clean
from scaldloaf.importing.words.vocabulary import (
    BREADS,
    MASS,
    OUTSIDE,
    SPONGE,
    TABLE_HEADS,
    heading_words,
    is_spaceless,
)

MOST_COLUMNS = 20
LEAST_UNDERLINE = 3
_NUMBERED_SENTENCE = re.compile(r"\s*\d{1,2}[.)]\s+\S.*[.。]\s*$")
_IN_PARENTHESES = re.compile(r"[(（]([^()（）]*)[)）]")
MOST_NAME_CHARACTERS = 24  # of a bread
# Behind the name of a bread in a title: that it is a recipe, and how many it makes.
_BEHIND_BREAD = re.compile(
    r"(?:的?(?:食譜|食谱|做法|作法|配方)|の?(?:作り方|つくり方|レシピ))$"
    r"|[\s×xX]+\d{1,2}\s?(?:個|个|條|条|斤|本|份|人份|顆|颗|台|斤分|本分|個分|人分)$"
)
_BARE_NUMBER = re.compile(r"[\d.,/\s¼-¾⅐-⅞]+")
_RULE = re.compile(r"[|\s:-]+")
MOST_ABOVE = 40  # lines above a table
MOST_LOOKED_AT = 40  # rows of a table, for the column of parts
_PARTS = (SCALD, DOUGH, OUTSIDE, SPONGE)
_HEADS = "part", "ingredient", "amount"
_SAID_AS_TEXT = re.compile("'(?=[=+@＝＋－＠-])")


def titles_in(lines: Sequence[str]) -> frozenset[int]:
    """Places of lines that are the title: underlined, or with ``#``, and the only one that is so.

    Of several all are headings. A line of ``=`` that is not as long as what is above it parts the text, and a
    ``#`` is only a mark above some ``##``. In a script without spaces the first line may be
    a bread's name.
    """
    pairs = enumerate(pairwise(lines))
    lined = [at for at, (line, below) in pairs if line.strip() and _is_underline(below.strip(), line)]
    hashed = [at for at, line in enumerate(lines) if line.startswith("# ")]
    if not any(line.startswith("## ") for line in lines[min(hashed, default=0) :]):
        hashed = []
    first = next((at for at, line in enumerate(lines) if line.strip()), 0)
    named = [first] if lines and _names_a_bread(lines[first]) else []
    return frozenset(at for found in (lined, hashed, named) if len(found) == 1 for at in found)


def _names_a_bread(line: str) -> bool:
    """Whether a line is the name of a bread and no heading: ``湯種牛奶吐司 (450g)``."""
    bare = _IN_PARENTHESES.sub("", line).strip() if len(line) <= 2 * MOST_NAME_CHARACTERS else ""
    name = _BEHIND_BREAD.sub("", bare).strip()
    words = heading_words(name)
    if not words or len(words) > MOST_NAME_CHARACTERS or not is_spaceless(words) or is_dressed(line):
        return False
    return words.endswith(BREADS) and not any(map(str.isdigit, name)) and not title_of([words]).exact


def _is_underline(below: str, line: str) -> bool:
    return below.startswith("=") and below == underline(line)


def underline(title: str) -> str:
    """The line below a title in plain text, as long as it is shown."""
    width = sum(2 if east_asian_width(letter) in "WF" else 1 for letter in title.strip())
    return "=" * max(LEAST_UNDERLINE, width)


def next_is_step(lines: Sequence[str]) -> list[bool]:
    """Of each line, whether the next one that is not blank is a numbered sentence."""
    return of_next(lines, lambda line: _NUMBERED_SENTENCE.match(line[:500]) is not None)


def of_next(lines: Sequence[str], holds: Callable[[str], bool]) -> list[bool]:
    """Of each line, what holds of the next one that is not blank; False where none follows."""
    found = [False] * len(lines)
    following = False
    for at in range(len(lines) - 1, -1, -1):
        found[at] = following
        if lines[at].strip():
            following = holds(lines[at])
    return found


def lines_of_table(text: str, most: int) -> list[str] | None:
    """The rows of a table as lines, each part of it under a heading; None for a text that is none.

    A table is CSV whose first row names a column of ingredients and one of amounts, perhaps with or by their
    unit (``Weight (g)``, ``Grams``), and perhaps one of parts; at least half of its rows fit these columns,
    and the others stay as they are. Words in other columns are kept: a unit goes with a bare number, all else
    behind the ingredient, but what would do instead of it. Blank rows are passed over; of a long table just
    more than ``most`` are read.
    """
    head, *rows = text.lstrip("\ufeff\r\n").splitlines() or [""]
    heads = ((mark, _cells(head, mark)) for mark in ",;\t" if mark in head)
    found = ((mark, cells, columns) for mark, cells in heads if (columns := _columns(cells)))
    mark, cells, columns = next(found, ("", [], {}))
    if not mark:
        return _with_parts_of_table(text.splitlines(), most)
    unit = _unit_of_head(cells[columns["amount"]])
    width = len(cells)
    instead = {at for at, cell in enumerate(cells) if heading_words(cell) in TABLE_HEADS["instead"]}
    rows = list(filter(str.strip, rows))[: most + 1]
    columns = _with_parts(columns, [_cells(row, mark) for row in rows[:MOST_LOOKED_AT]], width)
    lines: list[str] = []
    part = ""
    fitting = 0
    for row in rows:
        cells = ["" if at in instead else cell for at, cell in enumerate(_cells(row, mark))]
        if not _fits(cells, columns, width):
            lines.append(row)
            continue
        fitting += 1
        own_part = (cells[columns["part"]] if "part" in columns else "") or part
        if own_part != part:
            part = own_part
            lines.append(f"{part}:")
        lines.append(_line_of(cells, columns, unit))
    return lines if 2 * fitting >= len(rows) else None


def with_units_of_table(lines: Sequence[str], plain: list[str]) -> list[str]:
    """The plain lines, in Markdown tables with the unit of their column behind bare amounts.

    Parameters
        lines : Sequence[str]  as pasted
        plain : list[str]  the same, made plain
    Returns
        list[str]
    """
    made = list(plain)
    amount, unit = 0, ""
    for at, line in enumerate(lines):
        cells = _cells(_bare_row(line), "|") if line.lstrip().startswith("|") else []
        if not cells:
            unit = ""
        elif columns := _columns(cells):
            amount, unit = columns["amount"], _unit_of_head(cells[columns["amount"]])
        elif amount < len(cells) and (measured := _with_unit(cells[amount], unit)) != cells[amount]:
            cells[amount] = measured
            made[at] = clean(with_strokes_between(cells))
    return made


def _with_unit(amount: str, unit: str) -> str:
    """A cell with the unit of its column, if it is a bare number."""
    return f"{amount} {unit}" if unit and _BARE_NUMBER.fullmatch(amount) else amount


def _with_parts_of_table(lines: list[str], most: int) -> list[str] | None:
    """The lines of a text, the rows of its Markdown table under a heading for each part.

    None where there is no table with a column of parts.
    """
    marked = [at for at, line in enumerate(lines[:MOST_ABOVE]) if line.lstrip().startswith("|")]
    if not marked:
        return None
    head = _cells(_bare_row(lines[marked[0]]), "|")
    rows = [_cells(_bare_row(line), "|") for line in lines[marked[0] + 1 :][:MOST_LOOKED_AT]]
    columns = _columns(head)
    columns = _with_parts(columns, rows, len(head)) if columns else columns
    if "part" not in columns:
        return None
    unit = _unit_of_head(head[columns["amount"]])
    found = lines[: marked[0]]
    part = ""
    for at, line in enumerate(lines[marked[0] + 1 :][: 2 * most], marked[0] + 1):
        cells = _cells(_bare_row(line), "|") if line.lstrip().startswith("|") else []
        if not cells:
            return [*found, *lines[at:]]
        if len(cells) != len(head) or _RULE.fullmatch(line):
            continue
        cells[columns["amount"]] = _with_unit(cells[columns["amount"]], unit)
        own_part = cells.pop(columns["part"])
        if own_part and own_part != part:
            part = own_part
            found.append(f"{part}:")
        found.append(with_strokes_between(cells))
    return found


def _bare_row(line: str) -> str:
    return line.strip().removeprefix("|").removesuffix("|")


def _fits(cells: Sequence[str], columns: Mapping[str, int], width: int) -> bool:
    """Whether a row has the columns and an ingredient, and is no line cut in two: ``1,5 g salt``.

    width: how many cells the head has.
    """
    if not max(columns.values()) < len(cells) <= width:
        return False
    amount, ingredient = cells[columns["amount"]], cells[columns["ingredient"]]
    if len(cells) > 2:
        return bool(ingredient)
    is_cut = ingredient[:1].isdigit() and _BARE_NUMBER.fullmatch(amount)
    return _has_letters(ingredient) and not is_cut


def _line_of(cells: Sequence[str], columns: Mapping[str, int], unit: str) -> str:
    """A row as a line; unit: of the column of amounts, empty where its head has none."""
    amount, ingredient = cells[columns["amount"]], cells[columns["ingredient"]]
    beside = [cell for at, cell in enumerate(cells) if at not in columns.values() and _has_letters(cell)]
    if _BARE_NUMBER.fullmatch(amount):
        units = [unit] if unit else [cell for cell in beside if unit_of_word(cell.lower())]
        beside = [cell for cell in beside if cell not in units]
        amount = " ".join([amount, *units[:1]])
    return ", ".join([f"{amount} {ingredient}".strip(), *beside])


def _cells(row: str, mark: str) -> list[str]:
    try:
        cells = next(csv.reader(io.StringIO(row), delimiter=mark), [])
    except csv.Error:
        return []
    return [_SAID_AS_TEXT.sub("", cell.strip(), count=1) for cell in cells[:MOST_COLUMNS]]


def _has_letters(cell: str) -> bool:
    return any(map(str.isalpha, cell))


def _unit_of_head(head: str) -> str:
    """The unit that the head of a column of amounts names: ``Menge (g)``, ``Weight in ounces``; or empty."""
    if inside := _IN_PARENTHESES.search(head):
        unit = inside.group(1).lower().rpartition(" ")[2]
        return unit if unit_of_word(unit) else ""
    return _mass_unit(head)


def _with_parts(columns: dict[str, int], rows: Sequence[Sequence[str]], width: int) -> dict[str, int]:
    """The columns, with the one whose cells name the scald and the dough, if no head says which one does."""
    for at in range(width) if "part" not in columns else ():
        named = [cells[at] for cells in rows if len(cells) > at and _has_letters(cells[at])]
        parts = {_part_named(cell) for cell in named} if at not in columns.values() else set()
        if {SCALD, DOUGH} <= parts and "" not in parts:
            return {**columns, "part": at}
    return columns


def _part_named(cell: str) -> str:
    """The part that a cell names and nothing else; empty for another cell."""
    title = title_of(heading_words(cell).split())
    return title.part if title.exact and title.part in _PARTS else ""


def _mass_unit(head: str) -> str:
    """The unit of mass that ends the head of a column; empty for another head."""
    last = heading_words(head).rpartition(" ")[2]
    unit = unit_of_word(last)
    return last if unit is not None and unit.kind == MASS else ""


def _is_of_grams(head: str) -> bool:
    return is_gram(_unit_of_head(head))


def _columns(cells: Sequence[str]) -> dict[str, int]:
    """Where the columns of parts, ingredients and amounts are; empty where one of the latter two is not.

    A column that only names a unit, such as ounces, is one of amounts if no other is; one of grams in a table
    without parts always (what is exported has them, and exact amounts).
    """
    found: dict[str, int] = {}
    for at, cell in enumerate(cells):
        for kind in _HEADS:
            if heading_words(_IN_PARENTHESES.sub("", cell)) in TABLE_HEADS[kind]:
                found.setdefault(kind, at)
    weighed = [at for at, cell in enumerate(cells) if at not in found.values() and _mass_unit(cell)]
    if weighed:
        found.setdefault("amount", weighed[0])
    in_grams = [at for at, cell in enumerate(cells) if at != found.get("ingredient") and _is_of_grams(cell)]
    if in_grams and "part" not in found and not _is_of_grams(cells[found.get("amount", in_grams[0])]):
        found["amount"] = in_grams[0]
    return found if "ingredient" in found and "amount" in found else {}
