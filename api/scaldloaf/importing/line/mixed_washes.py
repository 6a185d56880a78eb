"""Egg that goes on the crust with a little of something else, on one line."""

from collections.abc import Collection, Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.quantities.masses import EGGS
from scaldloaf.importing.quantities.measures import Item, Measure, bare_words
from scaldloaf.importing.quantities.readings import Reading
from scaldloaf.importing.words.eggs import EGG_WORDS
from scaldloaf.importing.words.names import Names
from scaldloaf.importing.words.vocabulary import OUTSIDE, TOPPINGS, plain_word

_MIXED_WITH = frozenset(("whole_milk", "cream", "water"))
_MOST_THINNED_G = 20.0  # of what an egg for the crust is thinned with
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


def is_thinned(readings: Sequence[Reading]) -> bool:
    """Whether a line is egg for the crust and a little to thin it: ``卵黄1個（塗り用）＋水小さじ1``."""
    if len(readings) < 2 or readings[0].part != OUTSIDE or not _is_one_of(readings[0], EGGS):
        return False
    return all(
        each.part == DOUGH and _is_one_of(each, _MIXED_WITH) and 0 < each.grams <= _MOST_THINNED_G
        for each in readings[1:]
    )


def _is_one_of(reading: Reading, names: Collection[str]) -> bool:
    return reading.ingredient is not None and reading.ingredient.name in names
