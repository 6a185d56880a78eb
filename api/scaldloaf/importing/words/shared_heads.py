"""A word that two names share and only the second has: ``plain or all-purpose flour``."""

from collections.abc import Mapping

from scaldloaf.importing.words.vocabulary import CHOOSE, plain_word
from scaldloaf.reference import Ingredient

MOST_LEAN = 50.0  # fat of what is whole by its own name: melted butter or olive oil
MOST_BEFORE, MOST_BEHIND = 2, 4  # words of the two names
_CHOOSE = frozenset(map(plain_word, CHOOSE))


def with_shared_head(words: list[str], names: Mapping[tuple[str, ...], Ingredient | None]) -> list[str]:
    """Plain words, the first of two names with the last word of the second, where only so it is a name.

    names: the words of each name -> what it means.
    """
    if _CHOOSE.isdisjoint(words):
        return words
    at = next(at for at, word in enumerate(words) if word in _CHOOSE)
    ends = range(min(len(words), at + 1 + MOST_BEHIND), at + 2, -1)
    head = next((words[end - 1] for end in ends if tuple(words[at + 1 : end]) in names), None)
    for length in range(min(MOST_BEFORE, at), 0, -1):
        first = tuple(words[at - length : at])
        named = names.get(first)
        is_whole = first[-1:] == tuple(words[at + 1 : at + 2])  # egg or egg yolk
        is_whole = is_whole or named is not None and named.fat_percent > MOST_LEAN
        if head and not is_whole and (*first, head) in names:
            return [*words[:at], head, *words[at:]]
    return words
