"""A word that two names share and only the second has: ``plain or all-purpose flour``."""

from collections.abc import Collection, Sequence

from scaldloaf.importing.vocabulary import CHOOSE, plain_word

MOST_BEFORE, MOST_BEHIND = 2, 4  # words of the two names
_CHOOSE = frozenset(map(plain_word, CHOOSE))


def with_shared_head(words: Sequence[str], names: Collection[tuple[str, ...]]) -> list[str]:
    """Plain words, the first of two names with the last word of the second, where only so it is a name.

    names: the words of each name.
    """
    at = next((at for at, word in enumerate(words) if word in _CHOOSE), 0)
    second = next(
        (
            words[at + 1 : end]
            for end in range(min(len(words), at + 1 + MOST_BEHIND), at + 2, -1)
            if tuple(words[at + 1 : end]) in names
        ),
        None,
    )
    if not at or second is None:
        return list(words)
    for length in range(min(MOST_BEFORE, at), 0, -1):
        first = tuple(words[at - length : at])
        if first not in names and (*first, second[-1]) in names:
            return [*words[:at], second[-1], *words[at:]]
    return list(words)
