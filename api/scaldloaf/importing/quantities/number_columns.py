"""Two amounts of each name, of which one is meant: a percentage and a mass, or the same for two loaves."""

import re
import unicodedata
from collections.abc import Sequence
from statistics import median
from typing import NamedTuple

from scaldloaf.importing.words.lexicon import ENGLISH
from scaldloaf.importing.words.said_units import GRAMS, WEIGHED
from scaldloaf.importing.words.vocabulary import is_spaceless, name_words

LEAST_ROWS = 4
MOST_ABOVE = 4  # lines from the heads of the columns to the first row: a rule, the name of a part
MOST_CHARACTERS = 120  # of a row
_OFF = 0.06  # by which a row may differ from the common ratio, besides rounding
_ROUNDING = 0.51
_PERCENT_HEAD = re.compile(r"[%％]|百分|ベーカーズ|ベイカーズ|配合率|配合比|比例|比率|baker", re.IGNORECASE)
_MASS_HEAD = re.compile(rf"重量|分量|用量|(?<![a-z]){GRAMS}", re.IGNORECASE)
_GRAMS_HEAD = re.compile(rf"(?<![a-z]){GRAMS}", re.IGNORECASE)
_IN_GRAMS = re.compile(
    rf"(?:[\s:：/(（\[]|单位|單位|単位)(?:in\s)?{GRAMS}"
    r"\s?[)）\]]?\W*$",
    re.IGNORECASE,
)
_DIGIT = re.compile(r"\d")
_DASH = re.compile(r"[-–—―ー−/／]|なし|[無无]")
_WEIGHED = re.compile(rf"\d[\d.,]*\s?{WEIGHED}")
_NUMBER = r"(\d{1,5}(?:\.\d{1,3})?)"
_ROW = re.compile(
    rf"\W*([^\W\d][^\d|]{{0,30}}?)[\s|:…・.]+{_NUMBER}\s?([^\W\d_]{{0,4}})(%?)"
    rf"[\s|/(]+{_NUMBER}\s?(?:\3)(%?)[\s|)]*"
    r"(?:[\s|/(]\d{1,5}(?:\.\d{1,3})?\s?(?:\3)[\s|)]*)?"  # and those of a larger batch
)

_MASS = r"(?:k?g|gr|gms?|gramm?(?:[eio]?s)?|ml)\.?"
_TWO_MASSES = re.compile(  # 60 g (30 g) Dinkelmehl; 50g bread flour (25g)
    rf"(\d{{1,4}}(?:[.,]\d{{1,2}})?) ?(?:{_MASS} ?(?:[^\W\d][^\d()]{{0,40}})?)?"
    rf"\((\d{{1,4}}(?:[.,]\d{{1,2}})?) ?{_MASS}\)",
    re.IGNORECASE,
)
_OTHER_MASS = re.compile(r" ?\(\d[^()]{0,40}\)")
_UNLIKE, _SHARE = 0.2, 0.15  # how far another batch is from the first; how far a row may be from its share


class Row(NamedTuple):
    """A name, both its numbers, and the unit they have; the signs of percent behind them."""

    name: str
    one: str
    two: str
    unit: str
    one_has_sign: bool
    two_has_sign: bool

    @property
    def has_sign(self) -> bool:
        """Whether one of the numbers is a percentage by its sign."""
        return self.one_has_sign or self.two_has_sign


def says_grams(head: str) -> bool:
    """Whether the heading of a list says that its numbers are grams: ``材料(g)``, ``單位：克``."""
    return len(head) <= MOST_CHARACTERS and _IN_GRAMS.search(head) is not None and not _DIGIT.search(head)


def without_other_batch(plain: list[str]) -> list[str]:
    """The plain lines without the amounts of another batch, in parentheses: ``60 g (30 g) Dinkelmehl``.

    Most of them are about the same share of the first ones, and not the same mass.
    """
    found = {at: match for at, line in enumerate(plain) if "(" in line and (match := _TWO_MASSES.match(line))}
    if len(found) < LEAST_ROWS:
        return plain
    one, two = (
        [float(match.group(number).replace(",", ".")) for match in found.values()] for number in (1, 2)
    )
    shares = [second / first for first, second in zip(one, two, strict=True) if first]
    share = median(shares) if shares else 1.0
    alike = sum(abs(each - share) <= _SHARE * share for each in shares)
    if abs(share - 1) <= _UNLIKE or 3 * alike < 2 * len(found):
        return plain
    return [_OTHER_MASS.sub("", line, count=1) if line[:1].isdigit() else line for line in plain]


def without_dashes(lines: Sequence[str], plain: list[str]) -> list[str]:
    """The plain lines; a row with a dash in the first column of amounts has none: ``name | – | 4 g``."""
    rows = {
        at: [cell.strip() for cell in line.strip(" |").split("|")]
        for at, line in enumerate(lines)
        if "|" in line
    }
    has_amount = sum(len(cells) > 2 and _WEIGHED.match(cells[1]) is not None for cells in rows.values())
    if has_amount < LEAST_ROWS:
        return plain
    return [
        rows[at][0] if at in rows and len(rows[at]) > 2 and _DASH.fullmatch(rows[at][1]) and line else line
        for at, line in enumerate(plain)
    ]


def with_one_column(lines: Sequence[str], plain: list[str]) -> list[str]:
    """The plain lines, with the mass only where each of a table has a percentage and a mass, or two masses.

    Parameters
        lines : Sequence[str]  as pasted
        plain : list[str]  the same as ``text.clean`` made them
    Returns
        list[str]
    """
    rows: dict[int, Row] = {}
    for at, line in enumerate(lines):
        if plain[at] and len(line) <= MOST_CHARACTERS and not line.isalpha():
            found = _ROW.fullmatch(unicodedata.normalize("NFKC", line))
            if found and not _PERCENT_HEAD.search(found[1]):
                rows[at] = Row(found[1].strip(), found[2], found[5], found[3], bool(found[4]), bool(found[6]))
    if len(rows) < LEAST_ROWS or not _are_proportional(
        [(float(row.one), float(row.two)) for row in rows.values()]
    ):
        return plain
    heads = lines[max(0, min(rows) - MOST_ABOVE) : min(rows)]
    first_is_percent, second_is_percent = _percentages(heads, list(rows.values()))
    is_percent = first_is_percent != second_is_percent
    in_grams = any(map(_GRAMS_HEAD.search, heads)) and any(row.has_sign for row in rows.values())
    changed = list(plain)
    for at, row in rows.items():
        number = row.two if is_percent and first_is_percent and not row.unit else row.one
        unit = "g" if is_percent and not row.unit and (in_grams or is_spaceless(row.name)) else row.unit
        changed[at] = f"{row.name} {number}{unit}"
    return changed


def _percentages(heads: Sequence[str], rows: Sequence[Row]) -> tuple[bool, bool]:
    """Whether the numbers of the first column are percentages, and those of the second.

    By their signs, or by the heads above the rows, or as their flours add up to 100; without a known flour,
    as one is 100.
    """
    if any(row.has_sign for row in rows):
        return any(row.one_has_sign for row in rows), any(row.two_has_sign for row in rows)
    for head in reversed(heads):
        percent, mass = _PERCENT_HEAD.search(head), _MASS_HEAD.search(head)
        if percent and mass:
            return percent.start() < mass.start(), percent.start() > mass.start()
    flours = [(float(row.one), float(row.two)) for row in rows if _is_flour(row.name)]
    if flours:
        one, two = (sum(column) for column in zip(*flours, strict=True))
        return abs(one - 100) < _ROUNDING, abs(two - 100) < _ROUNDING
    hundreds = [(float(row.one) == 100, float(row.two) == 100) for row in rows]
    return any(one for one, _ in hundreds), any(two for _, two in hundreds)


def _is_flour(name: str) -> bool:
    known = ENGLISH.read_as.get(name_words(name.lower()))
    return known is not None and known.is_flour


def _are_proportional(pairs: Sequence[tuple[float, float]]) -> bool:
    """Whether the second number is about the same multiple of the first in every row, and not the same."""
    total = sum(one for one, _ in pairs)
    ratio = sum(two for _, two in pairs) / total if total else 0.0
    if not ratio or 1 - _OFF < ratio < 1 + _OFF:
        return False
    return all(
        abs(two - ratio * one) <= max(_OFF * two, _ROUNDING * max(1.0, ratio) if one >= 1 else _ROUNDING)
        for one, two in pairs
    )
