"""What a sentence names: ingredients, and which amount belongs to which of them."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.importing import sections, text
from scaldloaf.importing.masses import weigh
from scaldloaf.importing.measures import Group, Item, Measure, read_items
from scaldloaf.importing.readings import Reader
from scaldloaf.importing.vocabulary import (
    COOKED,
    MASS,
    REMAINING,
    VOLUME,
    heading_words,
    is_spaceless,
    plain_word,
)
from scaldloaf.reference import Ingredient

_COOKED_SPACELESS = tuple(filter(is_spaceless, COOKED))
IN_STEPS = (MASS, VOLUME)  # kinds of amounts that a step takes from the list


class Named(NamedTuple):
    """An ingredient of a sentence, and how much of it: None where it does not say; and as it is said."""

    ingredient: Ingredient
    mass: Estimate | None
    amount: Measure | None = None


def named_in(sentence: str, reader: Reader, kinds: Sequence[str] = IN_STEPS) -> list[Named]:
    """The ingredients that a sentence names, in its order; none where it is too long to be read.

    Parameters
        sentence : str
        reader : Reader  what the recipe's lines share
        kinds : Sequence[str]  the kinds of amounts that count
    Returns
        list[Named]
    """
    try:
        tokens = text.tokenise(text.cut(sentence))
    except text.TooManyWords:
        return []
    reader.tokens_left -= len(tokens)
    items = read_items(tokens, reader.marks, [])
    is_behind = _has_amounts_behind(items, sentence, reader)
    return [
        each
        for words, amount in _clauses(items, is_behind, kinds)
        for each in _in_clause(words, amount, is_behind, reader)
    ]


def _has_amounts_behind(items: Sequence[Item], sentence: str, reader: Reader) -> bool:
    """Whether amounts follow their names, as they mostly do in scripts without spaces: ``強力粉20g``."""
    if not is_spaceless(sentence):
        return False
    for before, item, behind in zip(["", *items], items, [*items[1:], ""], strict=False):
        if isinstance(item, Measure) and item.kind in (MASS, VOLUME):
            names = [
                type(word) is str and bool(_ingredients([str(word)], reader)) for word in (before, behind)
            ]
            return names != [False, True]
    return True


def _clauses(
    items: Iterable[Item], is_behind: bool, kinds: Sequence[str]
) -> Iterator[tuple[list[str], Measure | None]]:
    """The words that belong to each amount of a sentence; scripts without spaces have it behind the name."""
    words: list[str] = []
    measure: Measure | None = None
    for item in _flat(items):
        if isinstance(item, Measure) and item.kind in kinds:
            yield words, item if is_behind else measure
            words, measure = [], item
        elif type(item) is str:
            words.append(item)
    yield words, None if is_behind else measure


def _in_clause(
    words: Sequence[str], amount: Measure | None, is_behind: bool, reader: Reader
) -> Iterator[Named]:
    """The ingredients of some words, the first or the last of them with the amount."""
    found = _ingredients(words, reader)
    owner = len(found) - 1 if is_behind else 0
    for place, ingredient in enumerate(found):
        own = amount._replace(is_inside=False) if amount and place == owner else None
        yield Named(ingredient, weigh(own, ingredient, reader.choices).mass if own else None, own)


def _flat(items: Iterable[Item]) -> Iterator[Item]:
    for item in items:
        if isinstance(item, Group):
            yield from item.items
        else:
            yield item


def _ingredients(words: Sequence[str], reader: Reader) -> list[Ingredient]:
    """The ingredients that words name, without those that are what remains."""
    found: list[Ingredient] = []
    for match, before in reader.names.all_in(words):
        if not REMAINING.isdisjoint(before) or match.ingredient is None:
            continue
        if match.ingredient not in found:
            found.append(match.ingredient)
    return found


def names_scald(sentence: str) -> bool:
    """Whether a sentence names the scald."""
    return sections.SCALD_WORDS.found_in(f" {' '.join(heading_words(sentence).split())} ") is not None or (
        not sentence.isascii() and sections.SCALD_WORDS.found_in(sentence) is not None
    )


def is_cooked(sentence: str) -> bool:
    """Whether a sentence has a sign of a scald: a paste, a saucepan, boiling water."""
    if any(map(sentence.__contains__, _COOKED_SPACELESS)):
        return True
    words = heading_words(sentence)
    return not COOKED.isdisjoint(map(plain_word, words.split())) or any(
        " " in phrase and phrase in words for phrase in COOKED
    )
