"""What the items of a line say as words: phrases, masses, and whether an amount is among them."""

from collections.abc import Sequence

from scaldloaf.dough.estimate import Estimate
from scaldloaf.importing.line.unmeasured import is_amount
from scaldloaf.importing.quantities.measures import Group, Item, Mark, Measure, unit_of_word
from scaldloaf.importing.words.text import MOST_TOKENS
from scaldloaf.importing.words.vocabulary import CONTAINER, COUNT, CUBE, MASS, PACKET, STICK

MEASURED = (Group, Measure)


def has_amount(items: Sequence[Item]) -> bool:
    """Whether an amount of an ingredient is among the items."""
    return any(is_amount(items, at) for at in range(len(items)))


def phrases_of(items: Sequence[Item]) -> list[tuple[str, ...]]:
    """The words outside parentheses, by the commas between them."""
    phrases, phrase = [], []
    for item in items:
        if type(item) is str:
            phrase.append(item)
        elif isinstance(item, Mark):
            if item in ",;、:":
                phrases.append(phrase)
                phrase = []
            elif item in "/+&":
                phrase.append("or" if item == "/" else "and")
    return [tuple(phrase) for phrase in (*phrases, phrase) if phrase]


def without_units(items: Sequence[Item]) -> list[Item]:
    """Without the word for what is counted: ``packets`` in ``2 (7 g) packets``."""
    kept: list[Item] = []
    counted = False
    for item in items:
        unit = unit_of_word(item) if counted else None
        if unit is None or unit.kind not in (CONTAINER, PACKET, STICK, CUBE):
            kept.append(item)
            counted = isinstance(item, MEASURED)
    return kept


def is_one(item: Item) -> bool:
    """Whether an item counts one thing."""
    return isinstance(item, Measure) and item.kind == COUNT and item.quantity.best == 1


def joined_words(items: Sequence[Item], most_inside: int = MOST_TOKENS) -> str:
    """The words of items, those in parentheses too unless they are many, joined and framed by spaces."""
    near = [item for item in items if not isinstance(item, Group) or len(item.items) <= most_inside]
    return f" {' '.join(_words(near))} "


def _words(items: Sequence[Item]) -> list[str]:
    words: list[str] = []
    for item in items:
        if type(item) is str:
            words.append(item)
        elif isinstance(item, Group):
            words += _words(item.items)
    return words


def mass_in(items: Sequence[Item]) -> Estimate | None:
    """The first weight among some items."""
    for item in items:
        if isinstance(item, Measure) and item.kind == MASS:
            grams = item.unit.grams
            low, best, high = (end * grams for end in item.quantity[:3])
            return Estimate(low, best, high, "exact")
    return None
