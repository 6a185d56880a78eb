"""A flour that is a part of the flour before it: ``500 g flour, of which 100 g wholemeal flour``."""

from collections.abc import Sequence

from scaldloaf.importing.line.liquids_inside import read_with_liquid, without_soaking
from scaldloaf.importing.line.scald_parts import less
from scaldloaf.importing.quantities.measures import (
    Group,
    Item,
    Mark,
    Measure,
    bare_words,
    without_parentheses,
)
from scaldloaf.importing.quantities.readings import Reader, Reading
from scaldloaf.importing.words.doubt import Fault
from scaldloaf.importing.words.vocabulary import MASS, OF_WHICH, SOAKED_FRUIT

MOST_LEAD = 4  # items before the amount: a comma, “de los cuales”


def with_part_of_flour(items: list[Item], reader: Reader) -> list[Item]:
    """The items, a flour that parentheses say is a part behind a comma instead: ``(of which 100 g rye)``."""
    for at, item in enumerate(items):
        if not at or not isinstance(item, Group):
            continue
        inside = _weight_first(without_parentheses(item))
        if not (start := _part_at(inside)):
            continue
        sides = (items[:at], inside[start:])
        whole, part = (reader.names.named_as_spelt(bare_words(each)).ingredient for each in sides)
        if not (whole and whole.is_flour and part and part.is_flour and part is not whole):
            continue
        return [*items[:at], Mark(","), *inside, *items[at + 1 :]]
    return items


def _weight_first(items: list[Item]) -> list[Item]:
    """What is said of a part with its weight before its name: ``其中全麦粉50克``."""
    weights = [at for at, item in enumerate(items) if isinstance(item, Measure)]
    is_last = len(items) > 2 and weights == [len(items) - 1]
    return [items[0], items[-1], *items[1:-1]] if is_last and items[0] in OF_WHICH else items


def read_chunks(
    chunks: list[list[Item]], blank: Reading, reader: Reader, faults: list[Fault]
) -> list[Reading]:
    """The readings of the ingredients of a line, a flour without the part of it that is named behind it.

    Parameters
        chunks : list[list[Item]]  the items of each ingredient
        blank : Reading  of the line, without what is read here
        reader : Reader  what the recipe's lines share
        faults : list[Fault]  numbers of the line that can't be read, and why
    Returns
        list[Reading]
    """
    readings: list[Reading] = []
    is_led = False
    before: list[Item] = []
    for chunk in chunks:
        whole = readings[-1].ingredient if readings else None
        at = _part_at(chunk) if whole and whole.is_flour else 0
        found = read_with_liquid(chunk[at:], blank, reader, faults)
        if whole and whole.name in SOAKED_FRUIT:
            found = without_soaking(found, before, chunk)
        before = chunk
        if at or is_led and whole and whole.is_flour:
            readings[-1] = _less_part(readings[-1], found[0])
        readings += found
        is_led = bool(chunk) and type(chunk[-1]) is str and chunk[-1] in OF_WHICH
    return readings


def _less_part(whole: Reading, part: Reading) -> Reading:
    """The flour that is left beside its part; the same where that is no other flour, or not less."""
    is_part = whole.part == part.part and part.ingredient and part.ingredient.is_flour
    if not is_part or part.ingredient is whole.ingredient or not whole.mass or not part.mass:
        return whole
    all_g, part_g = whole.mass, part.mass
    if part_g.best >= all_g.best:
        return whole
    return whole._replace(mass=less(all_g, part_g), expression=f"{all_g.best:.6g} g − {part_g.best:.6g} g")


def _part_at(items: Sequence[Item]) -> int:
    """Where the weight is that words for “of which” lead; 0 where they lead none."""
    at = next((at for at, item in enumerate(items[: MOST_LEAD + 1]) if isinstance(item, Measure)), 0)
    measure = items[at] if at else None
    is_weight = isinstance(measure, Measure) and measure.kind == MASS
    return at if is_weight and any(type(item) is str and item in OF_WHICH for item in items[:at]) else 0
