"""What the lines of a list name, to tell whether it is listed again."""

from collections.abc import Sequence

from scaldloaf.importing.line.lines_outside import MOST_PINCH_G
from scaldloaf.importing.quantities.readings import Reading
from scaldloaf.importing.words.vocabulary import heading_words

SALTS = frozenset(("salt", "coarse_salt"))  # the second of them is on top
# What stands for several things in the catalogue: cloves and ginger, candied orange and lemon.
_OF_MANY = frozenset(("mixed_spice", "candied_peel", "dried_fruit", "flavouring", "aniseed", "dried_herbs"))


def thing_of(reading: Reading) -> str:
    """What a line lists: its ingredient, or its own words where that stands for many things; or nothing.

    A pinch of sugar is nothing: the yeast has it before the dough has its sugar.
    """
    if reading.ingredient is None:
        return ""
    if reading.ingredient.name == "sucrose" and reading.grams <= MOST_PINCH_G:
        return ""
    if reading.ingredient.name in _OF_MANY:
        return " ".join(word for word in heading_words(reading.text).split() if word.isalpha())
    return "salt" if reading.ingredient.name in SALTS else reading.ingredient.name


def listed_before_flour(listed: Sequence[Reading], start: int) -> list[int]:
    """Where what is listed again from a place on is listed before any flour: a filling may head the list.

    ``100 g Butter, 70 g Zucker, 1 EL Zimt, 400 g Mehl, … 40 g Zucker, 70 g Butter``.
    """
    again = {thing_of(each) for each in listed[start:]}
    found: list[int] = []
    for at, each in enumerate(listed[:start]):
        if each.ingredient and each.ingredient.is_flour:
            return found
        if thing_of(each) in again - {""}:
            found.append(at)
    return []
