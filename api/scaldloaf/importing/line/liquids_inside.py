"""The liquid in parentheses behind what is dissolved in it: ``20 g milk powder (in 100 ml water)``."""

import re
from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.line.ingredients import read_ingredient, read_ingredients
from scaldloaf.importing.line.item_words import joined_words
from scaldloaf.importing.line.measures_of_one import with_unit_said
from scaldloaf.importing.quantities.measures import Group, Item, Measure, bare_words
from scaldloaf.importing.quantities.readings import Reader, Reading
from scaldloaf.importing.words.doubt import UNSURE, Doubt, Fault
from scaldloaf.importing.words.sections import SCALD_WORDS
from scaldloaf.importing.words.vocabulary import (
    CHOOSE,
    DISSOLVED,
    INSTEAD,
    OF_LISTED,
    OUTSIDE,
    SOAKED_FRUIT,
    STEEPING,
    is_spaceless,
)
from scaldloaf.reference import Ingredient

_INSTEAD = CHOOSE | INSTEAD
_MOST_BETWEEN = 3  # items at the end of what is before the liquid: raisins soaked | in 50 ml rum
_SPACELESS = re.compile("|".join(re.escape(part) for part in DISSOLVED if is_spaceless(part)))
_SPACED = re.compile("|".join(re.escape(f" {part}") for part in DISSOLVED if not is_spaceless(part)))


def read_with_liquid(items: list[Item], blank: Reading, reader: Reader, faults: list[Fault]) -> list[Reading]:
    """The readings of one ingredient, and of the liquid in parentheses that it is dissolved or soaked in.

    Behind yeast parentheses need not say that it is. The liquid is never sure: it may be a part of what
    another line lists, and is, where the words say so: 50 ml of the water.

    Parameters
        items : list[Item]  of that ingredient
        blank : Reading  of the line, without what is read here
        reader : Reader  what the recipe's lines share
        faults : list[Fault]  numbers of the line that can't be read, and why
    Returns
        list[Reading]
    """
    groups = [at for at, item in enumerate(items) if isinstance(item, Group)]
    if not groups:
        return read_ingredients(items, blank, reader, faults)
    items = with_unit_said(items)
    at = next((at for at in groups if at and _may_be_liquid(items[at])), 0)
    inside = items[at] if at else None
    if not isinstance(inside, Group):
        return read_ingredients(items, blank, reader, faults)
    is_said = says_dissolved([inside])
    readings = [] if is_said else read_ingredients(items, blank, reader, faults)
    if readings and not (readings[0].ingredient and readings[0].ingredient.yeast):
        return readings
    liquid = read_ingredient(list(inside.items), blank, reader, [])
    if is_said and not _is_read(liquid) and (named := _only_liquid(inside, reader)):
        liquid = read_ingredient(named, blank, reader, [])
    is_one = _is_read(liquid)
    rest = [*items[:at], *items[at + 1 :]] if is_one else items
    readings = readings or read_ingredients(rest, blank, reader, faults)
    first = readings[0].ingredient
    is_brew = any(doubt.code == "brew" for doubt in liquid.doubts)  # 2 c. à thé/café
    if not is_one or not first or is_brew and not is_said:
        return readings
    if is_steeping(first):
        return read_ingredients(items, blank, reader, faults)  # 52 g juice (blend 100 g water with leaves)
    doubt = Doubt.of(UNSURE, "dissolved_in", name=first.label)
    liquid = liquid._replace(part=readings[0].part, doubts=(*_known(liquid), doubt))
    return [*readings, of_soaked(liquid) if first.name in SOAKED_FRUIT else liquid]


def without_soaking(readings: list[Reading], before: Sequence[Item], chunk: Sequence[Item]) -> list[Reading]:
    """The readings of what follows an amount of dried fruit: what that is soaked in is read as no dough.

    ``40 g raisins, soaked in 50 ml water and drained``: before and chunk are the items of the two.
    """
    # Not a bare “in”: simmered in 1 cup of water until absorbed.
    if not (says_dissolved(before[-_MOST_BETWEEN:]) or says_dissolved(chunk[1:])):
        return readings
    return [
        of_soaked(each) if each.ingredient and is_steeping(each.ingredient) else each for each in readings
    ]


def of_soaked(liquid: Reading) -> Reading:
    """A liquid that fruit is soaked in, read as no dough and asked about."""
    if liquid.part != DOUGH:
        return liquid
    return liquid._replace(part=OUTSIDE, section_doubts=(Doubt.of(UNSURE, "soaked_in"),))


def says_dissolved(items: Sequence[Item]) -> bool:
    """Whether some items say that something is dissolved, mixed or soaked."""
    return says_in_words(joined_words(items))


def says_in_words(said: str) -> bool:
    """The same of words that are joined and framed by spaces."""
    return _SPACED.search(said) is not None or _SPACELESS.search(said.replace(" ", "")) is not None


def _may_be_liquid(item: Item) -> bool:
    """Whether parentheses have an amount of something that would not do instead, nor is listed already."""
    if not isinstance(item, Group) or not any([isinstance(each, Measure) for each in item.items]):
        return False
    if not _INSTEAD.isdisjoint([each for each in item.items if type(each) is str]):
        return False
    said = joined_words([item])
    return not any([f" {each} " in said for each in OF_LISTED]) and not SCALD_WORDS.found_in(said)


def is_steeping(ingredient: Ingredient) -> bool:
    return ingredient.is_liquid is True or ingredient.name in STEEPING


def _is_read(liquid: Reading) -> bool:
    return liquid.ingredient is not None and liquid.mass is not None and is_steeping(liquid.ingredient)


def _only_liquid(inside: Group, reader: Reader) -> list[Item]:
    """The amount of parentheses and the one liquid among their words; empty for none, and for several."""
    amounts: list[Item] = [each for each in inside.items if isinstance(each, Measure)]
    names = {match.ingredient: match.words for match, _ in reader.names.all_in(bare_words(inside.items))}
    liquids = [words for named, words in names.items() if named and is_steeping(named)]
    return [*amounts, *liquids[0]] if len(amounts) == len(liquids) == 1 else []


def _known(liquid: Reading) -> list[Doubt]:
    """The doubts about a liquid, but for those about the words that say what is done in it."""
    return [doubt for doubt in liquid.doubts if doubt.code != "unknown_words"]
