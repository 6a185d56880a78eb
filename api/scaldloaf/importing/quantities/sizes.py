"""Amounts for two tins or batches side by side: ``milk | 100 g | 200 g``, ``400 g / 800 g flour``."""

import re
import unicodedata
from collections.abc import Sequence
from statistics import median

from scaldloaf.importing.words.said_units import WEIGHED

LEAST_ROWS = 4
_NUMBERS = re.compile(r"\d\s?[^\W\d_].*\d\s?[^\W\d_]")
MOST_CHARACTERS = 160  # of a row
LEAST_FACTOR = 1.2  # between two sizes
_OFF, _ROUNDING = 0.08, 0.51  # by which a row may differ from the common factor: as a share, or in its unit
_BETWEEN = r"(?:\s?[|;\t/(]\s?|\s+|,(?=\d{1,5}\s?[^\W\d_]))"
_PAIR = re.compile(
    rf"(?<![\d.,])(\d{{1,5}}(?:[.,]\d{{1,2}})?)\s?({WEIGHED}\.?){_BETWEEN}(\d{{1,5}}(?:[.,]\d{{1,2}})?)\s?\2(?![^\W_])",
    re.IGNORECASE,
)


def rows_of_sizes(lines: Sequence[str]) -> frozenset[int]:
    """Places of the lines with two amounts each, if most of them differ by one factor; none otherwise.

    The same mass in two places, a part of a whole or a percentage have no common factor.
    """
    found: dict[int, float] = {}
    rounding: dict[int, float] = {}
    for at, line in enumerate(lines if any(map(_NUMBERS.search, lines)) else ()):
        pair = _PAIR.search(unicodedata.normalize("NFKC", line)) if len(line) <= MOST_CHARACTERS else None
        if pair is None:
            continue
        one, two = (float(pair.group(number).replace(",", ".")) for number in (1, 3))
        if one and two:
            found[at], rounding[at] = two / one, _ROUNDING * (1 + two / one) / one
    if len(found) < LEAST_ROWS:
        return frozenset()
    factor = median(found.values())
    alike = sum(abs(each - factor) <= max(_OFF * factor, rounding[at]) for at, each in found.items())
    if 1 / LEAST_FACTOR < factor < LEAST_FACTOR or 4 * alike < 3 * len(found):
        return frozenset()
    return frozenset(found)
