"""Lines that only say what a part of the line above is for: ``of which 25 g for the tangzhong``."""

import re
from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.joined_lines import names_one
from scaldloaf.importing.quantities.amounts import OF
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.words.sections import title_in, title_of
from scaldloaf.importing.words.vocabulary import MASS, OF_WHICH, SPONGE, VOLUME, heading_words

MOST_CHARACTERS = 80
LEAST_CELLS, MOST_CELLS = 3, 8
_PART = re.compile(
    r"(?P<lead>(?:[^\W\d_]+\s){0,3})(?P<amount>\d[\d.,/]*\s?(?P<unit>[^\W\d_]+)\.?)\s(?P<use>\D{4,40})"
)
_INTO = frozenset(
    ("for", "into", "in", "für", "fürs", "zum", "im", "ins", "pour", "dans", "para", "per", "nel", "nella")
)
_WHOSE = frozenset(("los", "las", "lo", "que"))  # de los que 25 g para el tangzhong
_OF_WHICH = re.compile(r"(?i)\bde l[oa]s que(?=\s\d)")
_PARTS = (SCALD, DOUGH, SPONGE)


def with_parts_above(raw: Sequence[str], plain: Sequence[str]) -> tuple[list[str], list[str]]:
    """The lines, as raw and as plain text: what is said of a part of a line behind it, in parentheses.

    Below a name without an amount, each part is a line of that name: ``Flour``, ``25 g for the roux``.
    """
    plain = [
        _with_cell(shown, _OF_WHICH.sub("de los cuales", line))
        for shown, line in zip(raw, plain, strict=True)
    ]
    shown, made = list(raw), list(plain)
    above, parts = -1, 0
    for at, line in enumerate(plain):
        if not line:
            continue
        line = line[1:-1] if line[0] == "(" and line[-1] == ")" else line
        found = _part_in(line)
        if found is None or above < 0:
            above, parts = at if _may_have_parts(line) else -1, 0
            continue
        if any(map(str.isdigit, plain[above])):
            before = f"{made[above][:-1]}, " if parts else f"{made[above]} ("
            made[above], made[at] = f"{before}{line})", ""
            shown[above], shown[at] = f"{shown[above]} {shown[at].strip()}", ""
        else:
            made[above], made[at] = "", f"{found['amount']} {plain[above].rstrip(' :')} ({found['use']})"
        parts += 1
    return shown, made


def _with_cell(raw: str, plain: str) -> str:
    """A row of a table with what its last cell says of the scald: ``Water | 125 g | tangzhong``."""
    cells = [cell.strip(" *_\t") for cell in raw.strip(" |\t").split("|" if "|" in raw else "\t")]
    last = cells[-1]
    if not LEAST_CELLS <= len(cells) <= MOST_CELLS or not last or last in plain or "(" in plain:
        return plain
    is_amount = any(map(str.isdigit, last))
    is_said = _part_in(last) is not None if is_amount else title_in(last) == (SCALD, True)
    return f"{plain} ({last})" if is_said and any(map(str.isdigit, plain)) else plain


def _part_in(line: str) -> re.Match[str] | None:
    """What a line says of a part, and of nothing else; None for another line."""
    found = _PART.fullmatch(line) if len(line) <= MOST_CHARACTERS else None
    unit = unit_of_word(found["unit"].lower()) if found else None
    if found is None or unit is None or unit.kind not in (MASS, VOLUME):
        return None
    lead, use = set(found["lead"].lower().split()), heading_words(found["use"]).split()
    is_led = not lead.isdisjoint(OF_WHICH | {"que"}) and lead <= OF_WHICH | OF | _WHOSE
    is_for = bool(use) and use[0] in _INTO
    if not (is_led or is_for and not lead):
        return None
    title = title_of(use)
    if is_for and not title.exact:
        title = title_of(use[1:])
    return found if title.exact and title.part in _PARTS else None


def _may_have_parts(line: str) -> bool:
    """Whether a line names an ingredient, of which the lines below may be parts."""
    return len(line) <= MOST_CHARACTERS and names_one(line) and title_in(line).part not in (SCALD, SPONGE)
