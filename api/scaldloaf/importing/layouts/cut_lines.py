"""Lines that a narrow column, a scan or a PDF has cut: ``80 g weiche``, ``Butter``; ``Koch-``, ``stück``."""

import re
from collections.abc import Sequence

from scaldloaf.importing.layouts.one_line import names_in
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.vocabulary import ADD, is_spaceless

MOST_CHARACTERS, MOST_WORDS, MOST_BELOW = 200, 6, 4
_HYPHEN = re.compile(r"[^\W\d_]{2,}-$")
_OPEN_AMOUNT = re.compile(r"\d\s?[^\W\d_]{1,12}\.? (?:de|di|of|d['’])$", re.IGNORECASE)
_LAST_AMOUNT = re.compile(r"\d\s?(?:g|gr|ml|cl|kg)\.?$")
_OF_IT = re.compile(r"(?:de|di|of) |d['’]\w")
_AMOUNT = re.compile(r"\d\s?(?:g|gr|ml|cl|kg)\b")
_ONE_AMOUNT = re.compile(r"(?:ca\.? |about |env\.? )?\d[\d.,]{0,6}\s?[^\W\d_]{1,10}\.?")
_STOPS = (",", ";", ".", ":", ")", "!")
_PROSE_ABOVE = re.compile(
    r"[,:] ?\d[\d.,]*\s?[^\W\d_]{1,12}\.? (?:[^\W\d_]|['’ ])+[^\W\d_]$"
)  # …, 12 g de levure
_PROSE = re.compile(r"[^\W\d_]+(?: [^\W\d_]+){0,2}[,.]")  # fraîche, 7 g de sel
_GRADE = re.compile(r"(?:T ?\d{2,3}|Typ[eo]? \d{1,4}|tipo \d{1,2}|W ?\d{3})\b")
_WORD = re.compile(r"[^\W\d_]+")
_BULLET = re.compile(r"\s*[-–—•*·▢□☐✓▪‣→+>]")
_OPEN_WORD = re.compile(
    r"\s(?:zum|zur|für|fürs|zu|im|in|mit|for|with|to|pour|avec|para|con|per|da|al|à|sur|su|sobre)$",
    re.IGNORECASE,
)
_INSIDE = re.compile(r"\(([^()]{1,30})\)")


def without_cuts(raw: Sequence[str], plain: Sequence[str]) -> tuple[list[str], list[str]]:
    """The lines, what a line break has cut put together again, as raw and as plain text."""
    whole, made = list(raw), list(plain)
    above: int | None = None
    for at, line in enumerate(made):
        if not line:
            above = None
            continue
        if above is not None and len(made[above]) + len(line) <= MOST_CHARACTERS:
            between = _between(made[above], line, whole[at])
            if between is not None:
                kept = -1 if not between else None
                whole[above] = whole[above].rstrip()[:kept] + between + whole[at].lstrip()
                made[above] = made[above][:kept] + between + line
                whole[at] = made[at] = ""
                continue
        above = at
    return whole, made


def _between(above: str, line: str, raw: str) -> str | None:
    """What goes between two lines that are one: nothing for a cut word; None where they are not one."""
    if raw.lstrip()[:1].isdigit() or is_spaceless(above) or is_spaceless(line) or _BULLET.match(raw):
        return None
    is_lower = raw.lstrip()[:1].islower()
    if above.count("(") > above.count(")") and line.count(")") > line.count("("):
        return " "
    if _HYPHEN.search(above) and is_lower:
        return ""
    inside = _INSIDE.fullmatch(line)
    is_counted = above[0].isdigit()
    if is_counted and inside and raw.lstrip()[0] in "(（" and _says_no_more(inside.group(1)):
        return " "
    if (
        is_counted
        and not above.endswith(_STOPS)
        and (_GRADE.match(line) or is_lower and (_OF_IT.match(raw.lstrip()) or _adds_some(line, raw)))
    ):
        return " "
    if is_lower and _PROSE_ABOVE.search(above) and _PROSE.match(line):
        return " "
    if _GRADE.match(line) and _AMOUNT.search(above) and not above.endswith(_STOPS):
        return " "
    if is_lower and (_OPEN_AMOUNT.search(above) or _LAST_AMOUNT.search(above) and _OF_IT.match(raw.lstrip())):
        return " "
    is_short = len(above.split()) <= MOST_WORDS and len(line.split()) <= MOST_BELOW
    if not is_counted or not is_short or line.endswith(":") or any(map(str.isdigit, line)):
        return None
    words = [word for word in _WORD.findall(above) if unit_of_word(word.lower()) is None]
    is_nameless = (
        bool(words) and len(above.split()) > 2 and not any(True for _ in names_in(above))
    )  # 80 g weiche; not 2 1/2 cups
    is_open = _OPEN_WORD.search(above) is not None or is_nameless and any(True for _ in names_in(line))
    return " " if is_open else None


def _adds_some(line: str, raw: str) -> bool:
    """Whether a line only says what is done to what is above it, and that some is for the crust or the tin.

    `` sifted, plus extra for dusting``
    """
    words = _WORD.findall(line)
    is_led = words[:1] != [] and (words[0] in ADD or raw[0].isspace() and not ADD.isdisjoint(words))
    return is_led and len(words) <= MOST_WORDS and not any(map(str.isdigit, line)) and not line.endswith(":")


def _says_no_more(inside: str) -> bool:
    """Whether what is in parentheses is said of the line above: no other ingredient, no part."""
    is_amount = _ONE_AMOUNT.fullmatch(inside) is not None
    if len(inside) == 1 and inside.isupper():
        return False  # (B): the heading of a group
    return title_in(inside).part is None and (is_amount or _AMOUNT.search(inside) is None)
