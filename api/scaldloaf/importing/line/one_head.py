"""Amounts that share a name, or seem to: ``200 g white, 100 g rye flour``, ``butter 30 g + 10 g oil``."""

import re

from scaldloaf.importing.quantities.amounts import OF
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.words.lexicon import ENGLISH
from scaldloaf.importing.words.vocabulary import ADD, MASS, VOLUME, WHITE, name_words
from scaldloaf.reference import Ingredient

MOST_CHARACTERS = 80
_AMOUNT = r"\d[\d./,]*(?: \d/\d)? ?(?P<{unit}>[^\W\d_]{{1,12}})\.?"
_JOINS = "|".join(re.escape(word) for word in sorted(ADD) if word.isalpha())
_TWO = re.compile(
    rf"(?P<one>{_AMOUNT.format(unit='its')}) (?P<first>[^\W\d_][^,;()+&/]{{1,30}}?)"
    rf"(?:,| ?[+&]| (?:{_JOINS})\b) ?"
    rf"(?P<two>{_AMOUNT.format(unit='other')}) (?P<second>[^\W\d_][^\d,;()/]{{1,40}})",
    re.IGNORECASE,
)
_FIRST = re.compile(rf"(?P<name>[^\W\d_][^\d()]{{1,30}}?)[ :]+{_AMOUNT.format(unit='unit')}")
_OTHER = re.compile(rf"{_AMOUNT.format(unit='unit')} (?P<name>[^\W\d_][^\d()]{{1,30}})")
_PLUS = re.compile(r" ?[+&] ?")


def around_plus(plain: str) -> str:
    """A line that has its first name before its amount and the others behind, a line for each; else empty.

    ``butter 30 g + 10 g oil``: what is added up is not of one thing.
    """
    if len(plain) > MOST_CHARACTERS or "+" not in plain and "&" not in plain:
        return ""
    pieces = _PLUS.split(plain)
    found = [
        form.fullmatch(piece) for form, piece in zip((_FIRST, *[_OTHER] * len(pieces)), pieces, strict=False)
    ]
    if len(found) < 2 or not all(each and _is_measure(each["unit"]) for each in found):
        return ""
    names = [_named(_without_of(each["name"].split())) for each in found if each]
    return "\n".join(pieces) if None not in names and names[0] is not names[1] else ""


def of_one_head(plain: str, is_head_first: bool) -> str:
    """Such a line as two, each with the whole name; empty for any other.

    is_head_first: a kind is behind the name in its language.
    """
    found = _TWO.fullmatch(plain) if len(plain) <= MOST_CHARACTERS else None
    if not found or not all(map(_is_measure, (found["its"], found["other"]))):
        return ""
    first, second = (_without_of(found[each].split()) for each in ("first", "second"))
    if not first or not second:
        return ""
    if is_head_first:
        whole, part, completed = first, second, [first[0], *second]
    else:
        whole, part, completed = second, first, _completed(first, second[-1])
    if _named(whole) is None or _named(completed) is None or not _lacks_its_head(part):
        return ""
    names = (first, completed) if is_head_first else (completed, second)
    return "\n".join(f"{found[at]} {' '.join(name)}" for at, name in zip(("one", "two"), names, strict=True))


def _completed(part: list[str], head: str) -> list[str]:
    """A kind with the head of another: ``white`` and ``flour``, ``Weizen-`` and ``Roggenmehl``."""
    if not part[-1].endswith("-"):
        return [*part, head]
    end = next((tail for at in range(1, len(head)) if _named([tail := head[at:]])), head)
    return [*part[:-1], part[-1].removesuffix("-") + end]


def _is_measure(word: str) -> bool:
    unit = unit_of_word(word.lower())
    return unit is not None and unit.kind in (MASS, VOLUME)


def _without_of(words: list[str]) -> list[str]:
    while words and words[0].lower() in OF:
        words = words[1:]
    return words


def _named(words: list[str]) -> Ingredient | None:
    return ENGLISH.read_as.get(name_words(" ".join(words).lower()))


def _lacks_its_head(words: list[str]) -> bool:
    """Whether words name nothing by themselves; “white” alone may be that of an egg."""
    return _named(words) is None or words[-1].endswith("-") or len(words) == 1 and words[0].lower() in WHITE
