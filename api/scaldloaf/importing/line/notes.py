"""Lines of a list that only remark on it: footnotes, and notes in scripts without spaces."""

import re
from collections.abc import Sequence

from scaldloaf.importing.line.headings import weighs
from scaldloaf.importing.quantities.measures import Item, Measure
from scaldloaf.importing.quantities.readings import Reader, Reading
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.said_units import WEIGHED
from scaldloaf.importing.words.text import Token
from scaldloaf.importing.words.vocabulary import ADD, CUT, INSTEAD, is_spaceless

MOST_FOOTNOTES = 0.4  # of the lines with numbers
MOST_FOOTNOTE = 300  # characters
_NOTE_MARKS = ("※", "*", "＊")
_NUMBERED = re.compile(r"\s*[※*＊]\s?\d{1,2}\D")
_STARRED = re.compile(r"[^*＊※†#|].*[^\s*＊※†]\s?([*＊※†]{1,3})")  # 500 g flour*
_FOOTNOTE = re.compile(r"([*＊※†]{1,3})\s?[^\W\d][^:：]*[^\s*＊※†:：]")
LEAST_TIMES = 2
_TIMED = re.compile(
    r"\W{0,4}\d{1,2}:\d{2}(?::\d{2})?(?:\s?[-–~]\s?\d{1,2}:\d{2}(?::\d{2})?)?[\s\])】-]+[^\W\d]"
)
_WEIGHED = re.compile(rf"\d\s?(?:{WEIGHED}|cups?|tsp|tbsp)(?![a-z])", re.IGNORECASE)
_OPENING = ("(", "（")
_CASES = tuple(word for word in CUT | INSTEAD if len(word) > 1 and is_spaceless(word))
_OTHER_CASE = frozenset(word for word in CUT | INSTEAD if len(word) > 1) | {"可", "若", "は"}


def footnotes_in(lines: Sequence[str]) -> frozenset[int]:
    """The places of lines that begin with the star of an ingredient above them: ``* or 400 g of spelt``.

    None where the star is the bullet of many. What a star says of a scald is no remark, nor is what it adds:
    ``* plus 40 g of water``.
    """
    short = [line.strip() if len(line) < MOST_FOOTNOTE else "" for line in lines]
    led = sum(_FOOTNOTE.fullmatch(line) is not None for line in short)
    if not 0 < led <= MOST_FOOTNOTES * sum(any(map(str.isdigit, line)) for line in short):
        return frozenset()
    found: list[int] = []
    marks: set[str] = set()
    for at, line in enumerate(short):
        if not line or sections.SCALD_WORDS.found_in(sections.framed(line)):
            continue
        if (note := _FOOTNOTE.fullmatch(line)) and note[1] in marks:
            found += [] if _adds_some(line[len(note[1]) :]) else [at]
        elif (end := _STARRED.fullmatch(line)) and any(map(str.isdigit, line)):
            marks.add(end[1])
    return frozenset(found)


def _adds_some(said: str) -> bool:
    """Whether what is behind a star adds an amount to what the star is of: ``plus 40 g of water``."""
    return not ADD.isdisjoint(said.lower().split()[:1]) and _WEIGHED.search(said) is not None


def times_in(lines: Sequence[str]) -> frozenset[int]:
    """The places of lines that say what a film shows at which time: ``01:20 Kneading``; none with a mass."""
    timed = [at for at, line in enumerate(lines) if _TIMED.match(line) and not _WEIGHED.search(line)]
    return frozenset(timed if len(timed) >= LEAST_TIMES else ())


def is_note(tokens: Sequence[Token]) -> bool:
    """Whether a line is in parentheses, and neither has an amount nor names a part: ``(夏天請用冰的)``."""
    inside = tokens[0].inside if len(tokens) == 1 else ()
    words = [token.text for token in inside if token.kind == "w"]
    if not is_spaceless("".join(words)) or any(token.kind != "w" and token.text != "," for token in inside):
        return False
    says_more = any(word in CUT and (at or len(word) > 1) for at, word in enumerate(words))
    return says_more and sections.title_of(words).part is None


def _counts_one(items: Sequence[Item], reader: Reader) -> bool:
    """Whether a line is only a number and the name of an ingredient, below a bullet: ``* 2 Eier``."""
    counted = [item for item in items if isinstance(item, Measure)]
    words = [item for item in items if type(item) is str and item not in _NOTE_MARKS]
    named = reader.names.named_as_spelt(tuple(words)) if len(counted) == 1 and words else None
    return named is not None and named.ingredient is not None


def is_other_case(items: Sequence[Item], blank: Reading, reader: Reader) -> bool:
    """Whether a line with the mark of a note has an amount for another case: ``*酵母冬天可加到4g``.

    Its name is first, then a word that says so, then the amount; or the word is first, in parentheses too:
    ``（没有高筋粉可以用中筋粉250克）``. A note with its number weighs nothing.
    """
    mark = blank.text.lstrip()[:1]
    if reader.is_bulleted or not reader.has_listed or mark not in _NOTE_MARKS + _OPENING:
        return False
    if _NUMBERED.match(blank.text):
        return not weighs(items) and not _counts_one(items, reader)
    if sum(isinstance(item, Measure) for item in items) > 1 and sections.SCALD_WORDS.found_in(
        sections.framed(blank.text)
    ):
        return False  # ※湯種は強力粉50gと熱湯50gを混ぜる
    amount = next((at for at, item in enumerate(items) if isinstance(item, Measure)), 0)
    words = [item for item in items[:amount] if type(item) is str]
    first = "".join(words[:2])
    is_said = any(word in _OTHER_CASE for word in words[1:] if mark in _NOTE_MARKS)
    is_said = is_said or first.startswith(_CASES)
    is_all = all(isinstance(item, str) for item in items[:amount])
    return is_said and is_all and is_spaceless("".join(words))
