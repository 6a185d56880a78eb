"""Headings inside a line that holds a whole list, in scripts with spaces.

``700 g Mehl, 30 g Hefe, 100 ml Öl Zum Bestreichen: 1 Ei, 2 EL Milch``.
"""

import re
from collections.abc import Sequence
from itertools import islice

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.vocabulary import OUTSIDE, REMARK, SPONGE, is_spaceless

LEAST_AMOUNTS = 3  # of a line that may be a whole list
MOST_COLONS = 8
MOST_WORDS = 5  # of a heading inside it
MOST_LOOKED_AT = 60  # characters before a colon
_BEHIND_NUMBER = re.compile(r"\d ?([^\W\d_]{1,14})")
_AN_AMOUNT = re.compile(r"(?:^|[,;])\W*\d[\d.,/ ]{0,8}([^\W\d_]{1,14})\.? ?(?:d[ei] )?$")
_COLON = re.compile(r"(?<=[\w)]) ?: (?=\W{0,3}\w)")
_BESIDE = re.compile(r" ?\([^()]*\)$")  # Tangzhong (for more softness):
_LED = re.compile(r"\W*([^\W\d_][^\d:,;]{2,40}?) ?:\s*(?=\S)")
_ENDS = re.compile(r"[,;.()\d]")
_LEADS = ("für", "zum", "zur", "fürs", "for", "pour", "per", "para")
_PARTS = (SCALD, DOUGH, SPONGE, OUTSIDE)


def lines_in(plain: str) -> str:
    """A line with a line break before and behind each heading inside it; most lines as they are."""
    if plain.count(":") < 1 or is_spaceless(plain) or _amounts(plain) < LEAST_AMOUNTS:
        return plain
    pieces: list[str] = []
    start = 0
    for colon in islice(_COLON.finditer(plain), MOST_COLONS):
        before = plain[max(start, colon.start() - MOST_LOOKED_AT) : colon.start()]
        heading = _heading_at_end(_ENDS.split(_BESIDE.sub("", before))[-1].strip(" -–—•"))
        at = plain.rfind(heading, start, colon.start()) if heading else start
        if at > start and not _leads_to(plain[start:at], heading) and not _is_its_amount(plain[start:at]):
            pieces += (plain[start:at].strip(" -–—•,;"), f"{plain[at : colon.start()].strip()}:")
            start = colon.end()
    return "\n".join([*pieces, plain[start:].strip(" –—•,;")]) if pieces else plain


def led_by_first(parts: Sequence[str]) -> Sequence[str]:
    """The parts of one line, each under the heading that the first begins with, where that is no dough.

    ``Crème : 500 ml de lait``, ``120 g de sucre``: the sugar is of the cream too.
    """
    found = _LED.match(parts[0]) if len(parts) > 1 else None
    if found is None or title_in(found.group(1)).part != OUTSIDE:
        return parts
    return [parts[0], *(part if _LED.match(part) else f"{found.group(1)}: {part}" for part in parts[1:])]


def _leads_to(before: str, heading: str) -> bool:
    """Whether words that name no list lead to the ingredients: ``Adding the dry ingredients: add 30 g …``."""
    if any(map(str.isdigit, before)) or title_in(heading).part != DOUGH:
        return False
    return not title_in(before.strip(" -–—•,;")).exact


def _is_its_amount(before: str) -> bool:
    """Whether all that stands before a heading is its own amount: ``75 g`` of ``75 g Kochstück: (…)``."""
    found = _AN_AMOUNT.search(before)
    return found is not None and unit_of_word(found.group(1).lower()) is not None


def _amounts(plain: str) -> int:
    """How many amounts of ingredients are in a line: not of minutes or loaves."""
    units = map(unit_of_word, map(str.lower, _BEHIND_NUMBER.findall(plain)))
    return sum(unit is not None and unit.kind != REMARK for unit in units)


def _heading_at_end(text: str) -> str:
    """The longest heading that a text ends with, from a capital on; an empty text where there is none."""
    words = text.split()[-MOST_WORDS:]
    for at, word in enumerate(words):
        if not (word[0].isupper() or word in _LEADS):
            continue
        phrase = " ".join(words[at:])
        title = title_in(phrase)
        if title.exact and title.part in _PARTS:
            return phrase if phrase in text else ""
    return ""
