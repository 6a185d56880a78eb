"""The flours and liquids that a sentence of the method names, with their amounts."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.importing import text
from scaldloaf.importing.listed_scald import LIQUIDS
from scaldloaf.importing.masses import weigh
from scaldloaf.importing.measures import Group, Item, Measure, read_items
from scaldloaf.importing.readings import Reader
from scaldloaf.importing.vocabulary import MASS, REMAINING, VOLUME, is_spaceless
from scaldloaf.reference import Ingredient

IN_STEPS = (MASS, VOLUME)  # kinds of amounts that a step takes from the list
_SALTS = frozenset(("salt", "coarse_salt"))


class Named(NamedTuple):
    """An ingredient of a sentence, and how much of it: None where it does not say; and as it is said."""

    ingredient: Ingredient
    mass: Estimate | None
    amount: Measure | None = None


def all_named_in(sentence: str, reader: Reader, kinds: Sequence[str] = IN_STEPS) -> list[Named]:
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


def named_in(sentence: str, reader: Reader) -> tuple[list[Named], bool]:
    """The flours and liquids that a sentence names, with amounts; and whether it names yeast or salt."""
    found = all_named_in(sentence, reader)
    other = any(each.ingredient.yeast or each.ingredient.name in _SALTS for each in found)
    named = [
        each
        for each in found
        if each.ingredient.is_flour or each.ingredient.name in LIQUIDS or each.mass is not None
    ]
    return named, other


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
