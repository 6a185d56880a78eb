"""Egg that is mixed with a little of something else and brushed on, on one line."""

from collections.abc import Sequence

from scaldloaf.importing.eggs import EGG_WORDS
from scaldloaf.importing.measures import Item, bare_words
from scaldloaf.importing.names import Names
from scaldloaf.importing.vocabulary import plain_word

_MIXED_WITH = frozenset(("whole_milk", "cream", "water"))


def mixes_a_wash(before: Sequence[Item], behind: Sequence[Item], names: Names) -> bool:
    """Whether egg is brushed on with what is behind it: ``1 yolk and a little milk to glaze``."""
    if EGG_WORDS.isdisjoint(map(plain_word, bare_words(before))):
        return False
    mixed = names.named_as_spelt(bare_words(behind)).ingredient
    return mixed is not None and mixed.name in _MIXED_WITH
