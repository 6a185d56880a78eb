"""An amount of which the line itself says that a part is not for the dough; and the words of its items."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing import sections
from scaldloaf.importing.amounts import certain
from scaldloaf.importing.doubt import LIKELY, Doubt
from scaldloaf.importing.measures import Group, Item, Measure
from scaldloaf.importing.text import MOST_TOKENS
from scaldloaf.importing.vocabulary import COUNT, MASS, NO_UNIT, NUMBERS, OF_WHICH, PERCENT, PIECE, REMARK


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


def is_amount(items: Sequence[Item], at: int) -> bool:
    """Whether an amount of an ingredient is at a place."""
    item = items[at] if at < len(items) else None
    return isinstance(item, Measure) and item.kind not in (REMARK, PERCENT)


def apportioned(items: list[Item]) -> tuple[list[Item], tuple[Doubt, ...]]:
    """``2 eggs, 1 for the dough``: the amount that is for the dough, with a doubt."""
    for at, item in enumerate(items):
        if isinstance(item, Group) and at and not any(isinstance(each, Group) for each in item.items):
            inner = [
                each._replace(is_inside=False) if isinstance(each, Measure) else each for each in item.items
            ]
            found, doubts = apportioned([*items[:at], *_first_clause(inner)])
            if doubts:
                return [*found, *items[at + 1 :]], doubts
    weighed = sum(isinstance(item, Measure) and item.kind == MASS for item in items)
    is_part = weighed > 1 and any(item in OF_WHICH for item in items)
    kinds = (MASS,) if is_part else (COUNT, PIECE)  # 50g, うち10gは塗り卵用
    counts = [at for at, item in enumerate(items) if isinstance(item, Measure) and item.kind in kinds]
    if len(counts) != 2:
        return items, ()
    first, second = counts
    behind = sections.title_of([str(item) for item in items[second + 1 :] if type(item) is str])
    whole, part = items[first], items[second]
    if (
        not isinstance(whole, Measure)
        or not isinstance(part, Measure)
        or part.quantity.best > whole.quantity.best
    ):
        return items, ()
    if behind.part == DOUGH:
        kept = [*items[:first], part, *items[first + 1 : second]]
        return kept, (Doubt.of(LIKELY, "rest_not_dough"),)
    between = [item for item in items[first + 1 : second] if item not in OF_WHICH]
    if sections.ASIDE_WORDS.found_in(joined_words(items[second + 1 :])):
        left = whole.quantity.best - part.quantity.best
        rest = whole._replace(quantity=whole.quantity._replace(low=left, best=left, high=left))
        return [*items[:first], rest, *between], (Doubt.of(LIKELY, "part_not_dough"),)
    return items, ()


def with_counted_part(items: list[Item]) -> list[Item]:
    """The items, the number in words of a part as a measure: ``2 œufs dont un``, ``uno de ellos``."""
    for at, item in enumerate(items):
        if isinstance(item, Group) and any(type(each) is str and each in OF_WHICH for each in item.items):
            return [*items[:at], Group(tuple(with_counted_part(list(item.items)))), *items[at + 1 :]]
        for place in (at + 1, at - 2) if type(item) is str and item in OF_WHICH else ():
            if 0 <= place < len(items) and type(items[place]) is str and items[place] in NUMBERS:
                one = Measure(certain(NUMBERS[str(items[place])]), NO_UNIT)
                return [*items[:place], one, *items[place + 1 :]]
    return items


def _first_clause(items: Sequence[Item]) -> list[Item]:
    """The items up to the second amount: ``2 for the bread`` of ``2 for the bread and 1 for egg wash``."""
    amounts = [at for at, item in enumerate(items) if isinstance(item, Measure)]
    if len(amounts) < 2:
        return list(items)
    between = items[amounts[1] - 1]
    return list(items[: amounts[1] - 1] if type(between) is str or between == "," else items)
