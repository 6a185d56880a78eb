"""What the method brushes or sprinkles on, where the list of ingredients does not say that it is not dough.

Only what is hardly dough is moved, and never for sure: an egg yolk beside whole eggs, seeds, and the last of
several lines of egg, milk, butter or sugar.
"""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.doubt import LIKELY, Doubt
from scaldloaf.importing.method import sentences_of
from scaldloaf.importing.readings import Reader, Reading
from scaldloaf.importing.text import TooManyWords, cut, tokenise
from scaldloaf.importing.vocabulary import (
    OUTSIDE,
    TOPPINGS,
    WASH,
    heading_words,
    is_spaceless,
    plain_word,
)

MOST_SENTENCES = 60
BY_WASH = "by_wash"
_LISTED_TWICE = frozenset(("whole_egg", "whole_milk", "butter", "sucrose", "cream", "water", "egg_white"))
_YOLK, _EGG = "egg_yolk", "whole_egg"
_WASH_SPACELESS = tuple(filter(is_spaceless, WASH))


def without_washes(readings: list[Reading], steps: Sequence[str], reader: Reader) -> list[Reading]:
    """The readings, those outside the dough that only the method shows to be of the crust.

    Parameters
        readings : list[Reading]
        steps : Sequence[str]  of the method, besides those among the lines
        reader : Reader  what the recipe's lines share
    Returns
        list[Reading]
    """
    if not steps and not reader.method:
        return readings
    washed: set[str] = set()
    mixed: set[str] = set()
    for at, sentence in enumerate(sentences_of(steps, reader)):
        if at == MOST_SENTENCES or reader.tokens_left < 0:
            break
        named = _named(sentence, reader)
        (washed if _washes(sentence) else mixed).update(named)
    places = [at for name in washed for at in _places(readings, name, name in mixed)]
    doubt = Doubt.of(LIKELY, BY_WASH)
    return [
        reading._replace(part=OUTSIDE, section_doubts=(doubt,)) if at in places else reading
        for at, reading in enumerate(readings)
    ]


def _washes(sentence: str) -> bool:
    """Whether a sentence says what goes on the crust."""
    if any(map(sentence.__contains__, _WASH_SPACELESS)):
        return True
    return not WASH.isdisjoint(map(plain_word, heading_words(sentence).split()))


def _named(sentence: str, reader: Reader) -> set[str]:
    try:
        tokens = tokenise(cut(sentence))
    except TooManyWords:
        return set()
    reader.tokens_left -= len(tokens)
    words = [token.text for token in tokens if token.kind == "w"]
    return {match.ingredient.name for match, _ in reader.names.all_in(words) if match.ingredient}


def _places(readings: Sequence[Reading], name: str, is_mixed: bool) -> list[int]:
    """Where the lines of the dough are that the method puts on the crust."""
    lines = [
        at
        for at, reading in enumerate(readings)
        if reading.in_formula
        and reading.part == DOUGH
        and reading.ingredient
        and reading.ingredient.name == name
    ]
    if name == _YOLK:
        eggs = any(
            reading.in_formula and reading.ingredient and reading.ingredient.name == _EGG
            for reading in readings
        )
        return lines if eggs and not is_mixed else []
    if name in TOPPINGS:
        return [] if is_mixed else lines
    if name in _LISTED_TWICE and len(lines) > 1 and _is_late(readings, lines[-1]):
        return lines[-1:]
    return []


def _is_late(readings: Sequence[Reading], at: int) -> bool:
    """Whether flour and yeast are listed before a place: what is washed on comes last."""
    before = [reading.ingredient for reading in readings[:at] if reading.in_formula and reading.ingredient]
    return any(each.is_flour for each in before) and any(each.yeast for each in before)
