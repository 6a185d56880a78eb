"""A scald on one line of its flour and liquid: ``Brühstück: 80 g Mehl mit 120 g Wasser überbrühen``."""

import re

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.layouts.one_line import names_in
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.vocabulary import COOKED, HEATED, HOT, STEPS, is_spaceless, plain_word

MOST_CHARACTERS, MOST_TITLE, MOST_BEFORE = 240, 40, 40
LEAST_PIECES = 3  # between strokes; of two, one may be instead of the other
_AMOUNT = re.compile(
    r"\d\s?(?:kg|g|gr|gramm?[ioe]?s?|gramos?|ml|cl|dl|l|tazas?|cuchar\w+|cucchia\w+|cuill\w+|cups?|tbsp|tsp|EL|TL)\b"
)
_AMOUNTS = re.compile(r"\d[\d.,/]*")
_JOIN = re.compile(
    r"\s(?:mit|with|in|into|to|over|auf|avec|dans|sur|con|en|sobre|nel|nella|su|et|and|und|y|e|/)\s|\s?[;:+&]\s?",
    re.IGNORECASE,
)
_STAGED = re.compile(  # 1° giorno: water roux con 30 g …
    r"\s?([^:\d]{3,40}?):?\s(?:con|with|mit|avec|aus|of|from)\s(?=\d)", re.IGNORECASE
)
_END = re.compile(r"[;.](?=\s|$)|,(?=\s)| (?=(?:bis|until|jusqu|hasta|finché|fino)\b)")
_FIRST = re.compile(r"\d")
_WORD = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*")
MOST_BESIDE = 3  # words between the name of the scald and its first amount: made with
_VERBS = STEPS | COOKED | HEATED | HOT


def scald_pair(plain: str) -> str:
    """Such a line with a comma between its two amounts and no step behind them; empty for any other."""
    if len(plain) > MOST_CHARACTERS or is_spaceless(plain) or len(_AMOUNT.findall(plain)) != 2:
        return ""
    return _behind_colon(plain) or _behind_title(plain)


def _behind_title(plain: str) -> str:
    """The line where no colon is behind the name of the scald: ``roux (17 g flour cooked in 83 g milk)``.

    Its parts in parentheses, so that it opens no part for the lines below.
    """
    begin = _FIRST.search(plain)
    words = _WORD.findall(plain[: begin.start()]) if begin and not plain.endswith(".") else []
    if not words or plain_word(words[0].lower()) in STEPS:
        return ""  # a sentence
    end = next((end for end in range(len(words), 0, -1) if _is_scald(words[:end])), 0)
    if begin is None or not end or len(words) - end > MOST_BESIDE or any(names_in(" ".join(words[end:]))):
        return ""
    pair = _pair(plain[begin.start() :].rstrip(" )]."))
    return f"{' '.join(words[:end])} ({pair})" if pair else ""


def _is_scald(words: list[str]) -> bool:
    return title_in(" ".join(words)) == (SCALD, True)


def _behind_colon(plain: str) -> str:
    title, colon, rest = plain.partition(":")
    if not colon or len(title) > MOST_TITLE or "(" in rest:
        return ""
    if staged := _STAGED.match(rest):
        title, rest = staged.group(1), rest[staged.end() :]
    if title_in(title) != (SCALD, True) or len(_AMOUNT.findall(rest)) != 2:
        return ""
    begin = _FIRST.search(rest)
    before = rest[: begin.start()] if begin else ""
    if len(before) > MOST_BEFORE or before.strip() and plain_word(before.split()[0].lower()) not in _VERBS:
        before = ""
    pair = _pair(rest[len(before) :].strip())
    return f"{title}: {pair}" if pair else ""


def _pair(rest: str) -> str:
    """Two amounts with their names, and a comma between them; empty where they are no flour and liquid."""
    joins = [
        found for found in _JOIN.finditer(rest) if _parts_two(rest[: found.start()], rest[found.end() :])
    ]
    if len(joins) != 1:
        return ""
    flour, liquid = _to_its_name(rest[: joins[0].start()]), rest[joins[0].end() :]
    end = _END.search(liquid)
    words = (liquid[: end.start()] if end else liquid).split()
    while words and plain_word(words[-1].lower()) in _VERBS:
        words.pop()
    liquid = " ".join(words)
    return f"{flour}, {liquid}" if _AMOUNT.search(liquid) and _has_both(flour, liquid) else ""


def _to_its_name(text: str) -> str:
    """A text that begins with an amount up to the last name in it: ``17 g flour cooked``."""
    words = text.split()
    while text[:1].isdigit() and len(words) > 1 and not any(names_in(words[-1])):
        words.pop()
    return " ".join(words)


def scald_added(plain: str) -> str:
    """A line that adds the scald behind an amount, as two: ``鮮奶150g+湯種``; empty for any other.

    In scripts without spaces.
    """
    first, plus, last = plain.rpartition("+")
    said = last.strip()
    is_added = is_spaceless(said) and len(plain) <= MOST_TITLE and title_in(said) == (SCALD, True)
    if not is_added or "(" in plain or title_in(first).part == SCALD or len(_AMOUNTS.findall(first)) != 1:
        return ""
    return f"{first.strip()}\n{said} 全部" if plus else ""


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
