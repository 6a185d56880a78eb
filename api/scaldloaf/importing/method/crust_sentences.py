"""What a sentence of the method says goes on the crust or into a filling, and what it names."""

import re

from scaldloaf.importing.method.said_amounts import all_named_in
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.quantities.readings import Reader
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.text import TooManyWords, cut, tokenise
from scaldloaf.importing.words.vocabulary import (
    EXCEPT,
    FILLED,
    KNEADED,
    SPICE,
    WASH,
    heading_words,
    is_spaceless,
    plain_word,
)
from scaldloaf.reference import INGREDIENTS, Ingredient

BUTTERS = frozenset(("butter", "salted_butter", "margarine", "unsalted_margarine"))
MOST_EXCEPTED = 5  # words
_BEATEN = re.compile(r"\b(?:beat|whisk|verquirl|verrühr|verschlag|batt(?:re|u|ez)|sbatt|bat(?:ir|a|e|ido)\b)")
_WASH_SPACELESS = tuple(filter(is_spaceless, WASH))
_CLAUSE = re.compile(r"[,;](?=\s)")
_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)*")
_WASH_PHRASES = tuple(f" {phrase} " for phrase in WASH if not is_spaceless(phrase))
_EXCEPT_PHRASES: dict[str, list[tuple[str, ...]]] = {}
for _phrase in EXCEPT:
    _EXCEPT_PHRASES.setdefault(_phrase.split()[0], []).append(tuple(_phrase.split()))


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
    found = _exception_in(sentence)
    return sentence[: found[0]] if found else sentence


def exceptions_in(sentence: str) -> str:
    """The first words of what a sentence excepts: ``the egg`` of ``all ingredients except the egg``."""
    found = _exception_in(sentence)
    return " ".join(sentence[found[1] :].split(",")[0].split()[:MOST_EXCEPTED]) if found else ""


def _exception_in(sentence: str) -> tuple[int, int] | None:
    """Where the words begin and end that say that something is excepted."""
    words = list(_WORD.finditer(sentence))
    plain = [plain_word(word.group().lower().replace("'", "").replace("’", "")) for word in words]
    for at, word in enumerate(plain):
        for phrase in _EXCEPT_PHRASES.get(word, ()):
            end = at + len(phrase)
            if tuple(plain[at:end]) == phrase:
                return words[at].start(), words[end - 1].end()
    return None


def beats(sentence: str) -> bool:
    """Whether a sentence says that something is beaten: ``Das Ei verquirlen``."""
    return _BEATEN.search(sentence.lower()) is not None


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


def called(ingredient: Ingredient) -> str:
    """What a step calls an ingredient, whatever its kind: flour, yeast, milk, butter, sugar."""
    if ingredient.is_flour or ingredient.yeast:
        return "yeast" if ingredient.yeast else "flour"
    if ingredient.name in BUTTERS:
        return "butter"
    if ingredient.name in ("brown_sugar", "soft_white_sugar"):
        return "sucrose"
    return "milk" if ingredient.name.endswith("_milk") else ingredient.name


def kneads(sentence: str) -> bool:
    """Whether a sentence kneads something."""
    return any(map(sentence.lower().__contains__, KNEADED))


def fills(sentence: str) -> bool:
    """Whether a sentence is about a filling, and kneads nothing."""
    return any(map(sentence.lower().__contains__, FILLED)) and not kneads(sentence)


def washed_in(sentence: str, reader: Reader) -> set[str]:
    """What a sentence puts on the crust: of one about yeast, only what its clause for the crust names.

    ``Milch mit Hefe und Zucker verrühren, mit einer Prise Mehl bestreuen``.
    """
    named = named_in(sentence, reader)
    if any(INGREDIENTS[name].yeast for name in named):
        clauses = list(filter(washes, _CLAUSE.split(sentence)))
        named = {name for each in clauses for name in named_in(each, reader)} if clauses else named
    return named - pinches_in(sentence, reader)


def pinches_in(sentence: str, reader: Reader) -> set[str]:
    """What a sentence has a pinch of, which is none of a line with more: ``mit einer Prise Zucker``."""
    units = map(unit_of_word, _WORD.findall(sentence.lower()))
    if not any(unit is not None and unit.kind == SPICE for unit in units):
        return set()
    return {each.ingredient.name for each in all_named_in(sentence, reader, (SPICE,)) if each.mass}
