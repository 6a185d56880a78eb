"""Recipes pasted as the data of a program: ``{ name: 'Milk', quantity: 100, unit: 'g' },``."""

import re
from collections.abc import Mapping, Sequence
from itertools import pairwise

from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.vocabulary import LIST, METHOD, TABLE_HEADS, heading_words

LEAST_ENTRIES = 2  # of a list of data
MOST_CHARACTERS = 400  # of a line of data
_VALUE = r"(?:\"([^\"\n]{0,160})\"|'([^'\n]{0,160})'|(-?\d[\d./]{0,9}(?: \d/\d)?|null|true|false))"
_PAIR = re.compile(rf"[\"']?([^\W\d_]\w{{0,23}})[\"']?\s?:\s?{_VALUE}\s?(?=[,}}\]]|$)")
_ALONE = re.compile(
    rf"[\s{{-]{{0,40}}[\"']?([^\W\d_]\w{{0,23}})[\"']?\s?:\s?(?:{_VALUE}|([^\W\d_][^:\n]{{0,80}}?))\s?,?\s?$"
)
_OPENS = re.compile(r"\s{0,40}[\"']?([^\W\d_]\w{0,23})[\"']?\s?:\s?\[\s?")
_OPENS_BELOW = re.compile(r"\s{0,40}[^\W\d_]\w{0,23}\s?:\s?")  # of a list on the lines below
_BRACKETS = re.compile(r"[\s{}\[\](),;]+")
_NO_VALUE = ("null", "true", "false")
_HEADS = ("ingredient", "amount", "part")


def as_rows(lines: Sequence[str]) -> Sequence[str]:
    """The lines, each entry of data as a list has it and its part before it: ``Tangzhong: 100 g Milk``.

    Lines of brackets only are blank, and so are the further lines of an entry on several of them.
    """
    if not any(map(_looks_like_data, lines)):
        return lines
    is_grouped = sum(_names_a_list(*pair) for pair in pairwise(lines)) >= LEAST_ENTRIES
    found: list[str] = []
    entries, open_at = 0, -1
    waiting: dict[str, str] = {}
    for at, line in enumerate(lines):
        row, held = _row_of(line)
        if is_grouped and _names_a_list(line, lines[at + 1] if at + 1 < len(lines) else ""):
            named = _ALONE.match(line)
            row = f"{_value(named.groups()[1:] if named else _PAIR.findall(line)[0][1:])}:"
        entries += held
        found.append(row)
        alone = None if held or len(line) > MOST_CHARACTERS else _ALONE.match(line)
        key = _kind(alone.group(1)) if alone else ""
        if alone is None or key in waiting:
            entries += _close(found, open_at, waiting)
            waiting = {}
        if alone:
            open_at = open_at if waiting else at
            waiting[key or alone.group(1)] = _value(alone.groups()[1:])
    entries += _close(found, open_at, waiting)
    return found if entries >= LEAST_ENTRIES else lines


def _close(found: list[str], at: int, entry: Mapping[str, str]) -> bool:
    """Whether what some lines say is an entry; it is then on the first of them, and the others are blank."""
    if not entry.keys() >= {"ingredient", "amount"}:
        return False
    found[at : at + len(entry)] = [_in_words(entry), *[""] * (len(entry) - 1)]
    return True


def _looks_like_data(line: str) -> bool:
    """Whether a line has a key with a value, or a list that opens, as data has them."""
    return (
        ":" in line
        and len(line) <= MOST_CHARACTERS
        and (_ALONE.match(line) or _PAIR.search(line)) is not None
    )


def _names_a_list(line: str, below: str) -> bool:
    """Whether a line of data only names the list that opens below it: ``{ name: 'Dough',``."""
    if len(line) > MOST_CHARACTERS or ":" not in line:
        return False
    if _OPENS.match(below):
        pairs = _PAIR.findall(line)
        return len(pairs) == 1 and _kind(pairs[0][0]) == "ingredient"
    alone = _ALONE.match(line) if _OPENS_BELOW.fullmatch(below) else None
    if alone is None or _kind(alone.group(1)) != "ingredient":
        return False
    return title_in(_value(alone.groups()[1:])).exact


def _row_of(line: str) -> tuple[str, int]:
    """A line as a list has it, and how many entries it holds."""
    if len(line) > MOST_CHARACTERS or ":" not in line and not _BRACKETS.fullmatch(line):
        return line, 0
    if _BRACKETS.fullmatch(line):
        return "", 0
    opened = _OPENS.match(line)
    if opened and title_in(opened.group(1)).part in (LIST, METHOD):
        return f"{opened.group(1)}:", 0
    rest = line[opened.end() :] if opened else line
    entries: list[dict[str, str]] = [{}]
    for key, *values in _PAIR.findall(rest):
        kind = _kind(key) or key
        if kind in entries[-1] and kind in _HEADS:
            entries.append({})  # several on one line
        entries[-1][kind] = _value(values)
    if all(entry.keys() >= {"ingredient", "amount"} for entry in entries):
        return "; ".join(map(_in_words, entries)), len(entries)
    if entries[0].keys() == {"part"}:
        return f"{entries[0]['part']}:", 0
    return rest if opened else line, 0


def _kind(key: str) -> str:
    """What a key of data stands for: a head of a table's columns, or nothing known."""
    words = heading_words(key)
    return next((kind for kind in _HEADS if words in TABLE_HEADS[kind]), "")


def _value(values: Sequence[str | None]) -> str:
    found = next(filter(None, values), "")
    return "" if found in _NO_VALUE else found


def _in_words(entry: Mapping[str, str]) -> str:
    """An entry as a line: its amount, its unit, its name, and what else it says."""
    others = [value for key, value in entry.items() if key not in _HEADS and value]
    units = [value for value in others if unit_of_word(value.lower())][:1]
    beside = [value for value in others if value not in units and any(map(str.isalpha, value))]
    part, _, name = entry["ingredient"].rpartition(":")
    if not title_in(part).exact:
        part, name = entry.get("part", ""), entry["ingredient"]  # no For the dough: flour
    line = ", ".join([" ".join([entry["amount"], *units, name.strip()]).strip(), *beside])
    return f"{part}: {line}" if part else line
