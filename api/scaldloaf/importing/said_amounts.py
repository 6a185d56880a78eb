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

_SALTS = frozenset(("salt", "coarse_salt"))


class Named(NamedTuple):
    """An ingredient that a sentence puts into the scald, and how much of it: None where it does not say."""

    ingredient: Ingredient
    mass: Estimate | None


def named_in(sentence: str, reader: Reader) -> tuple[list[Named], bool]:
    """The flours and liquids that a sentence names, with amounts; and whether it names yeast or salt."""
    try:
        tokens = text.tokenise(text.cut(sentence))
    except text.TooManyWords:
        return [], False
    reader.tokens_left -= len(tokens)
    items = read_items(tokens, reader.marks, [])
    found = [
        each
        for words, amount, is_behind in _clauses(items, _has_amounts_behind(items, sentence, reader))
        for each in _in_clause(words, amount, is_behind, reader)
    ]
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


def _clauses(items: Iterable[Item], is_behind: bool) -> Iterator[tuple[list[str], Measure | None, bool]]:
    """The words that belong to each amount of a sentence; scripts without spaces have it behind the name."""
    words: list[str] = []
    measure: Measure | None = None
    for item in _flat(items):
        if isinstance(item, Measure) and item.kind in (MASS, VOLUME):
            yield words, item if is_behind else measure, is_behind
            words, measure = [], item
        elif type(item) is str:
            words.append(item)
    yield words, None if is_behind else measure, is_behind


def _in_clause(
    words: Sequence[str], amount: Measure | None, is_behind: bool, reader: Reader
) -> Iterator[Named]:
    """The ingredients of some words, the first or the last of them with the amount."""
    found = _ingredients(words, reader)
    owner = len(found) - 1 if is_behind else 0
    for place, ingredient in enumerate(found):
        mass = None
        if amount and place == owner:
            mass = weigh(amount._replace(is_inside=False), ingredient, reader.choices).mass
        yield Named(ingredient, mass)


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
