"""Egg that goes on the crust with a little of something else, on one line."""

from collections.abc import Sequence

from scaldloaf.importing.quantities.measures import Item, Measure, bare_words
from scaldloaf.importing.words.eggs import EGG_WORDS
from scaldloaf.importing.words.names import Names
from scaldloaf.importing.words.vocabulary import TOPPINGS, plain_word

_MIXED_WITH = frozenset(("whole_milk", "cream", "water"))
_SPRINKLED = TOPPINGS | {"sucrose", "brown_sugar"}


def mixes_a_wash(before: Sequence[Item], behind: Sequence[Item], names: Names) -> bool:
    """Whether egg is brushed on with what is behind it: ``1 yolk and a little milk to glaze``.

    Or one egg, before what is sprinkled on it: ``un huevo y azúcar para decorar``.
    """
    if EGG_WORDS.isdisjoint(map(plain_word, bare_words(before))):
        return False
    mixed = {match.ingredient.name for match, _ in names.all_in(bare_words(behind)) if match.ingredient}
    if not mixed.isdisjoint(_MIXED_WITH):
        return True
    counts = [item.quantity.best for item in before if isinstance(item, Measure)]
    return all(count <= 1 for count in counts) and not mixed.isdisjoint(_SPRINKLED)
