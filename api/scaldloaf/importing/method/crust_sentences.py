"""What a sentence of the method says goes on the crust or into a filling, and what it names."""

from scaldloaf.importing.quantities.readings import Reader
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.text import TooManyWords, cut, tokenise
from scaldloaf.importing.words.vocabulary import (
    EXCEPT,
    FILLED,
    KNEADED,
    WASH,
    heading_words,
    is_spaceless,
    plain_word,
)

_WASH_SPACELESS = tuple(filter(is_spaceless, WASH))
_WASH_PHRASES, _EXCEPT_PHRASES = (
    tuple(f" {phrase} " for phrase in phrases if not is_spaceless(phrase)) for phrases in (WASH, EXCEPT)
)


def washes(sentence: str) -> bool:
    """Whether a sentence says what goes on the crust."""
    if any(map(sentence.__contains__, _WASH_SPACELESS)):
        return True
    words = heading_words(sentence)
    if not WASH.isdisjoint(map(plain_word, words.split())):
        return True
    return any(map(f" {words} ".__contains__, _WASH_PHRASES))


def without_exceptions(sentence: str) -> str:
    """A sentence up to what it excepts: ``all the ingredients, except for the sesame and one egg``."""
    lower = f" {sentence.lower()} "
    starts = [at for phrase in _EXCEPT_PHRASES if (at := lower.find(phrase)) >= 0]
    return sentence[: min(starts)] if starts else sentence


def named_in(sentence: str, reader: Reader) -> set[str]:
    """The ingredients that a sentence names, those on the crust apart."""
    try:
        tokens = tokenise(cut(sentence))
    except TooManyWords:
        return set()
    reader.tokens_left -= len(tokens)
    words = [token.text for token in tokens if token.kind == "w"]
    return {
        match.ingredient.name
        for match, _ in reader.names.all_in(words)
        if match.ingredient and not sections.ASIDE_WORDS.found_in(f" {' '.join(match.words)} ")
    }


def fills(sentence: str) -> bool:
    """Whether a sentence is about a filling, and kneads nothing."""
    lower = sentence.lower()
    return any(map(lower.__contains__, FILLED)) and not any(map(lower.__contains__, KNEADED))
