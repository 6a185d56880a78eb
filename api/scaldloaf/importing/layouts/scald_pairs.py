"""A scald on one line of its flour and liquid: ``Brühstück: 80 g Mehl mit 120 g Wasser überbrühen``."""

import re

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.layouts.one_line import names_in
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.vocabulary import COOKED, HEATED, HOT, STEPS, plain_word

MOST_CHARACTERS, MOST_TITLE, MOST_BEFORE = 240, 40, 40
LEAST_PIECES = 3  # between strokes; of two, one may be instead of the other
_AMOUNT = re.compile(
    r"\d\s?(?:kg|g|gr|gramm?[ioe]?s?|gramos?|ml|cl|dl|l|tazas?|cuchar\w+|cucchia\w+|cuill\w+|cups?|tbsp|tsp|EL|TL)\b"
)
_JOIN = re.compile(
    r"\s(?:mit|with|in|into|over|auf|avec|dans|sur|con|en|sobre|nel|nella|su|et|and|und|y|e|/)\s",
    re.IGNORECASE,
)
_STAGED = re.compile(  # 1° giorno: water roux con 30 g …
    r"\s?([^:\d]{3,40}?):?\s(?:con|with|mit|avec|aus|of|from)\s(?=\d)", re.IGNORECASE
)
_END = re.compile(r"[;.](?=\s|$)|,(?=\s)| (?=(?:bis|until|jusqu|hasta|finché|fino)\b)")
_FIRST = re.compile(r"\d")
_VERBS = STEPS | COOKED | HEATED | HOT


def scald_pair(plain: str) -> str:
    """Such a line with a comma between its two amounts and no step behind them; empty for any other."""
    title, colon, rest = plain.partition(":")
    if not colon or len(plain) > MOST_CHARACTERS or len(title) > MOST_TITLE or "(" in rest:
        return ""
    if staged := _STAGED.match(rest):
        title, rest = staged.group(1), rest[staged.end() :]
    if title_in(title) != (SCALD, True) or len(_AMOUNT.findall(rest)) != 2:
        return ""
    begin = _FIRST.search(rest)
    before = rest[: begin.start()] if begin else ""
    if len(before) > MOST_BEFORE or before.strip() and plain_word(before.split()[0].lower()) not in _VERBS:
        before = ""
    rest = rest[len(before) :].strip()
    joins = [
        found for found in _JOIN.finditer(rest) if _parts_two(rest[: found.start()], rest[found.end() :])
    ]
    if len(joins) != 1:
        return ""
    flour, liquid = rest[: joins[0].start()], rest[joins[0].end() :]
    end = _END.search(liquid)
    words = (liquid[: end.start()] if end else liquid).split()
    while words and plain_word(words[-1].lower()) in _VERBS:
        words.pop()
    liquid = " ".join(words)
    return f"{title}: {flour}, {liquid}" if _AMOUNT.search(liquid) and _has_both(flour, liquid) else ""


def without_strokes(lines: list[str]) -> list[str]:
    """The lines, a part between strokes with commas: ``Teig: Mehl 380 g / Salz 7 g / Hefe 6 g``."""
    return [_with_commas(line) if " / " in line and ":" in line else line for line in lines]


def _with_commas(plain: str) -> str:
    title, _, rest = plain.partition(":")
    pieces = rest.split(" / ")
    if len(plain) > MOST_CHARACTERS or len(pieces) < LEAST_PIECES or not title_in(title).exact:
        return plain
    return plain.replace(" / ", ", ") if all(len(_AMOUNT.findall(each)) == 1 for each in pieces) else plain


def _parts_two(one: str, other: str) -> bool:
    return len(_AMOUNT.findall(one)) == 1 == len(_AMOUNT.findall(other))


def _has_both(one: str, other: str) -> bool:
    """Whether one text names a liquid and the other something else, which is the flour of a scald."""
    liquids = [any(each.is_liquid for each in names_in(text) if each) for text in (one, other)]
    return liquids[0] is not liquids[1]
