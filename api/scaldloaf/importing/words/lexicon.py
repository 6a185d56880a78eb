"""What names and units mean in the recipes of each language."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from operator import add
from types import MappingProxyType
from typing import TypeVar

from scaldloaf.importing.words.vocabulary import (
    CATALOGUE,
    LANGUAGES,
    LATIN,
    NOT_OURS,
    OWN_AMBIGUITIES,
    OWN_NAMES,
    OWN_UNITS,
    Ambiguity,
    Unit,
)
from scaldloaf.reference import INGREDIENTS, Ingredient

Key = TypeVar("Key")
Value = TypeVar("Value")


class Overlaid(Mapping[Key, Value]):
    """A table in which a language means something else by a few of the keys: the table itself is shared."""

    __slots__ = ("_table", "_own")

    def __init__(self, table: Mapping[Key, Value], own: Mapping[Key, Value]):
        self._table, self._own = table, own

    def __getitem__(self, key: Key) -> Value:
        return self._own[key] if key in self._own else self._table[key]

    def __contains__(self, key: object) -> bool:
        return key in self._table

    def __iter__(self) -> Iterator[Key]:
        return iter(self._table)

    def __len__(self) -> int:
        return len(self._table)


@dataclass(frozen=True, slots=True)
class Lexicon:
    """What names and units mean in the recipes of a language.

    units: by name, in lower case. names: of one ingredient each. ambiguous: names that may be several things.
    read_as: all names. starts: first word of a name -> how many words the longest name has that starts so.
    unit_starts: first word of a unit -> how many words the longest has. numbered: words with the number
    behind them (mehl 550).
    """

    language: str
    units: Mapping[str, Unit]
    names: Mapping[tuple[str, ...], Ingredient]
    ambiguous: Mapping[tuple[str, ...], Ambiguity]
    read_as: Mapping[tuple[str, ...], Ingredient | None]
    starts: Mapping[str, int]
    unit_starts: Mapping[str, int]
    numbered: frozenset[tuple[str, str]]


def _shared_lexicon() -> Lexicon:
    """The lexicon of English: where two languages differ, the first in LANGUAGES goes before the other."""
    units: dict[str, Unit] = {}
    names: dict[tuple[str, ...], Ingredient] = {}
    ambiguous: dict[tuple[str, ...], Ambiguity] = {}
    for each in reversed(LANGUAGES):
        units.update(OWN_UNITS[each])
        for words, row in OWN_NAMES[each].items():
            names[words] = row
            ambiguous.pop(words, None)
        ambiguous.update(OWN_AMBIGUITIES[each])
    names.update(CATALOGUE)
    for words in NOT_OURS:
        names.pop(words, None)
        ambiguous.pop(words, None)
    read_as: dict[tuple[str, ...], Ingredient | None] = {**names}
    read_as.update({words: INGREDIENTS[ambiguity.reads_as] for words, ambiguity in ambiguous.items()})
    read_as.update(dict.fromkeys(NOT_OURS))
    starts = {words[0]: len(words) for words in sorted(read_as, key=len)}
    counts = {
        name.split()[0]: len(name.split()) for name in sorted(units, key=lambda name: len(name.split()))
    }
    numbered = frozenset(
        pair for words in read_as for pair in pairwise(words) if pair[1].isdecimal() and pair[0].isalpha()
    )
    return Lexicon("en", units, names, ambiguous, read_as, starts, counts, numbered)


@lru_cache
def units_in(language: str) -> Mapping[str, Unit]:
    """The units of every language, in which those of ``language`` itself go before the others."""
    return _changed(ENGLISH.units, OWN_UNITS[language])


@lru_cache
def lexicon(language: str) -> Lexicon:
    """The words of every language, in which a word of ``language`` itself goes before the others.

    Few words mean another thing in another language, so lexicons share the tables that are alike. One is
    made when a recipe first needs it.
    """
    own = {
        words: row
        for words, row in OWN_NAMES[language].items()
        if words not in NOT_OURS and words not in CATALOGUE
    }
    ambiguous = {
        words: ambiguity for words, ambiguity in OWN_AMBIGUITIES[language].items() if words not in NOT_OURS
    }
    settled = own.keys() & ENGLISH.ambiguous.keys() - ambiguous.keys()
    reads_as = own | {words: INGREDIENTS[each.reads_as] for words, each in ambiguous.items()}
    return replace(
        ENGLISH,
        language=language,
        units=units_in(language),
        names=_overlaid(ENGLISH.names, own),
        ambiguous=_changed(ENGLISH.ambiguous, ambiguous, settled),
        read_as=_overlaid(ENGLISH.read_as, reads_as),
    )


def _overlaid(table: Mapping[Key, Value], own: Mapping[Key, Value]) -> Mapping[Key, Value]:
    """A large table with a language's own meanings of its keys; the table itself where all are alike."""
    other = {key: value for key, value in own.items() if table[key] is not value}
    return Overlaid(table, other) if other else table


def _changed(
    table: Mapping[Key, Value], own: Mapping[Key, Value], without: Set[Key] = frozenset()
) -> Mapping[Key, Value]:
    """A table with a language's own meanings; the very same table where they change nothing."""
    other = {key: value for key, value in own.items() if table.get(key) is not value}
    if not other and not without:
        return table
    return {key: value for key, value in table.items() if key not in without} | other


@lru_cache
def pairs_of_letters(language: str) -> Mapping[str, tuple[str, ...]]:
    """Pair of letters -> names of a language and those like it that hold the pair, to find near misses by.

    Made when a language first needs it: most recipes have no misspelt name.
    """
    if language in LATIN and language != LATIN[0]:
        return pairs_of_letters(LATIN[0])
    alike = LATIN if language in LATIN else (language, "en")
    pairs: defaultdict[str, list[str]] = defaultdict(list)
    for words in sorted({words for each in alike for words in OWN_NAMES[each]}):
        if words not in ENGLISH.names:
            continue
        spelling = " ".join(words)
        for pair in set(map(add, spelling, spelling[1:])):
            pairs[pair].append(spelling)
    return {pair: tuple(spellings) for pair, spellings in pairs.items()}


ENGLISH = _shared_lexicon()
UNITS, NAMES, AMBIGUOUS = ENGLISH.units, ENGLISH.names, ENGLISH.ambiguous
EXACT_CASE = MappingProxyType({"T": UNITS["tablespoon"], "Tb": UNITS["tablespoon"], "t": UNITS["teaspoon"]})
