"""The sentences of a method that are of a scald, alone or in a row: into a pan, then heated until thick."""

import re
from collections.abc import Iterable, Iterator

from scaldloaf.importing.words import sections
from scaldloaf.importing.words.vocabulary import (
    COOKED,
    HEATED,
    HOT,
    NOT_HOT,
    PIPED,
    has_one_of,
    heading_words,
    is_spaceless,
    plain_word,
    plain_words,
)

MOST_SENTENCE_CHARACTERS = 400
MOST_BEFORE = 4  # sentences before the one that says that it thickens
_COOKED_SPACELESS = tuple(filter(is_spaceless, COOKED))
_ONLY_WARM = re.compile(r"(?<!\d)[2-5]\d ?(?:°|度|℃)")
_NEARLY_BOILING = re.compile(
    r"(?<!\d)(?:8[0-9]|9[0-9]|100) ?(?:°|℃)"
    r"|(?<![^\W\d_])(?:très|muy|molto|sehr) (?:chaud|calient|cald|hei(?:ß|ss))"
)
_THICK = COOKED - HEATED  # that it thickens, not only that it is in a pan
_THICK_PHRASES = tuple(f" {phrase} " for phrase in _THICK if " " in phrase)
_FULL_STOP = re.compile(r"[.] (?![a-zß-ÿ])")  # and not in 500 gr. de harina
Line = tuple[int, str]  # 0: not of the list; a sentence


def split_sentences(plain: str) -> list[str]:
    """The sentences of a step; the full stop of ``80 gr. de azúcar`` ends none."""
    parts: list[str] = []
    for part in _FULL_STOP.sub(
        ".\n", plain.replace("。", "。\n").replace("; ", "\n").replace("! ", "\n")
    ).split("\n"):
        if part.strip():
            parts.append(part.strip()[:MOST_SENTENCE_CHARACTERS])
    return parts


def names_scald(sentence: str) -> bool:
    """Whether a sentence names the scald."""
    return sections.SCALD_WORDS.found_in(f" {' '.join(heading_words(sentence).split())} ") is not None or (
        not sentence.isascii() and sections.SCALD_WORDS.found_in(sentence) is not None
    )


def is_cooked(sentence: str) -> bool:
    """Whether a sentence has a sign that something is cooked until it is thick."""
    if any(map(sentence.__contains__, _COOKED_SPACELESS)):
        return True
    words = heading_words(sentence)
    return not COOKED.isdisjoint(map(plain_word, words.split())) or any(
        " " in phrase and phrase in words for phrase in COOKED
    )


def is_hot(sentence: str) -> bool:
    """Whether a sentence says that something is heated, and not only warm or in the oven."""
    is_said = has_one_of(sentence, HOT) or _NEARLY_BOILING.search(sentence.lower()) is not None
    if not is_said or has_one_of(sentence, NOT_HOT):
        return False
    return _ONLY_WARM.search(sentence) is None


def runs(sentences: Iterable[Line]) -> Iterator[list[Line]]:
    """The sentences up to each that says that something thickens, where something is heated in them."""
    before: list[tuple[Line, frozenset[str]]] = []
    for line, sentence in sentences:
        phrase = heading_words(sentence)
        before = [*before[-MOST_BEFORE:], ((line, sentence), frozenset(map(plain_word, phrase.split())))]
        if is_spaceless(sentence) or not _thickens(phrase, before[-1][1]):
            continue
        words = frozenset().union(*(each for _, each in before))
        if not HEATED.isdisjoint(words):
            yield [each for each, _ in before]
        before = []


def _thickens(phrase: str, words: frozenset[str]) -> bool:
    return not _THICK.isdisjoint(words) or any(map(f" {phrase} ".__contains__, _THICK_PHRASES))


def is_piped(sentence: str) -> bool:
    """Whether a sentence says that a paste goes on top: ``pipe crosses over the buns``."""
    if sentence.isascii() and not any(map(sentence.lower().__contains__, PIPED)):
        return False  # most sentences, and cheaper than to look at each word
    return not PIPED.isdisjoint(plain_words(sentence))


def is_heated(sentence: str) -> bool:
    """Whether a sentence says that something is in a pan or on the heat."""
    return not HEATED.isdisjoint(plain_words(sentence))
