"""Lines of a list that only remark on it, in scripts without spaces."""

import re
from collections.abc import Sequence

from scaldloaf.importing.line.headings import weighs
from scaldloaf.importing.quantities.measures import Item, Measure
from scaldloaf.importing.quantities.readings import Reader, Reading
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.text import Token
from scaldloaf.importing.words.vocabulary import CUT, INSTEAD, is_spaceless

_NOTE_MARKS = ("※", "*", "＊")
_NUMBERED = re.compile(r"\s*[※*＊]\s?\d{1,2}\D")
_OPENING = ("(", "（")
_CASES = tuple(word for word in CUT | INSTEAD if len(word) > 1 and is_spaceless(word))
_OTHER_CASE = frozenset(word for word in CUT | INSTEAD if len(word) > 1) | {"可", "若", "は"}


def is_note(tokens: Sequence[Token]) -> bool:
    """Whether a line is in parentheses, and neither has an amount nor names a part: ``(夏天請用冰的)``."""
    inside = tokens[0].inside if len(tokens) == 1 else ()
    words = [token.text for token in inside if token.kind == "w"]
    if not is_spaceless("".join(words)) or any(token.kind != "w" and token.text != "," for token in inside):
        return False
    says_more = any(word in CUT and (at or len(word) > 1) for at, word in enumerate(words))
    return says_more and sections.title_of(words).part is None


def is_other_case(items: Sequence[Item], blank: Reading, reader: Reader) -> bool:
    """Whether a line with the mark of a note has an amount for another case: ``*酵母冬天可加到4g``.

    Its name is first, then a word that says so, then the amount; or the word is first, in parentheses too:
    ``（没有高筋粉可以用中筋粉250克）``. A note with its number weighs nothing.
    """
    mark = blank.text.lstrip()[:1]
    if reader.is_bulleted or not reader.has_listed or mark not in _NOTE_MARKS + _OPENING:
        return False
    if _NUMBERED.match(blank.text):
        return not weighs(items)
    amount = next((at for at, item in enumerate(items) if isinstance(item, Measure)), 0)
    words = [item for item in items[:amount] if type(item) is str]
    first = "".join(words[:2])
    is_said = any(word in _OTHER_CASE for word in words[1:] if mark in _NOTE_MARKS)
    is_said = is_said or first.startswith(_CASES)
    return is_said and len(words) == amount and is_spaceless("".join(words))
