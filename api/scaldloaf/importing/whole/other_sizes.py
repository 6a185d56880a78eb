"""Amounts for another tin, or a list again: ``Ingredients (2 loaves)``; or another version of the recipe."""

from collections.abc import Collection, Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.whole.contents import has_all_but_fat
from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt
from scaldloaf.importing.words.sections import calls_a_version, title_in
from scaldloaf.importing.words.vocabulary import LIST, OUTSIDE, SPONGE
from scaldloaf.reference import Ingredient

LEAST_OF_OTHER_SIZE, MOST_APART = 4, 1.35  # ingredients; factors of one size, rounded as recipes round them
LEAST_OTHER_FACTOR = 1.2  # two doughs of a bread in two colours are nearly as large as each other


def without_other_sizes(readings: list[Reading]) -> list[Reading]:
    """The readings, a whole dough that is listed again under a heading of its own no part of the first.

    Below the heading of a list it has the same ingredients, below another the same by about one factor.
    """
    by_section: dict[str, list[Reading]] = {}
    for reading in readings:
        if reading.in_formula and reading.part == DOUGH and reading.ingredient:
            by_section.setdefault(reading.section, []).append(reading)
    first, *others = by_section or [""]
    if not others or not has_all_but_fat(_names(by_section[first])):
        return readings
    again = {name for name in others if _is_again(by_section[first], by_section[name], name)}
    return _left_out(readings, again)


def without_other_versions(readings: list[Reading]) -> list[Reading]:
    """The readings, a whole recipe no part of the dough whose heading calls it a version of one above it.

    ``Light version``, ``低糖版``: both have flour, yeast and salt of their own, and neither is a sponge.
    """
    by_section: dict[str, list[Reading]] = {}
    for reading in readings:
        if reading.in_formula and reading.ingredient:
            by_section.setdefault(reading.section, []).append(reading)
    whole = [
        name for name, part in by_section.items() if _is_whole(_names(part)) and title_in(name).part != SPONGE
    ]
    others = {name for name in whole[1:] if calls_a_version(name)}
    return _left_out(readings, others) if others else readings


def _is_whole(named: Sequence[Ingredient]) -> bool:
    has_flour, has_yeast = any(each.is_flour for each in named), any(each.yeast for each in named)
    return has_flour and has_yeast and any(each.name == "salt" for each in named)


def _left_out(readings: list[Reading], sections: Collection[str]) -> list[Reading]:
    doubt = Doubt.of(UNSURE, "starts_again")
    return [
        reading._replace(part=OUTSIDE, section_doubts=(*reading.section_doubts, doubt))
        if reading.section in sections and reading.kind == INGREDIENT
        else reading
        for reading in readings
    ]


def _names(readings: Sequence[Reading]) -> list[Ingredient]:
    return [each.ingredient for each in readings if each.ingredient]


def _is_again(first: list[Reading], second: list[Reading], heading: str) -> bool:
    """Whether the list below a heading is the first one again, for another size."""
    kinds = [{"yeast" if each.yeast else each.name for each in _names(part)} for part in (first, second)]
    if kinds[0] != kinds[1]:
        return False
    return title_in(heading).part == LIST or is_other_size(first, second, LEAST_OTHER_FACTOR)


def is_other_size(first: list[Reading], second: list[Reading], least: float = 1.01) -> bool:
    """Whether a list is the one before it for another loaf: the same, all by about one factor."""
    masses: dict[str, float] = {}
    for reading in first:
        if reading.ingredient and reading.mass:
            masses.setdefault(reading.ingredient.name, reading.mass.best)
    factors = [
        reading.mass.best / masses[reading.ingredient.name]
        for reading in second
        if reading.ingredient and reading.mass and masses.get(reading.ingredient.name)
    ]
    if len(factors) < LEAST_OF_OTHER_SIZE or len(factors) < len(second) - 1:
        return False
    return max(factors) <= MOST_APART * min(factors) and not 1 / least < max(factors) < least


def with_doubt_of_sizes(readings: list[Reading], rows: Collection[int]) -> list[Reading]:
    """The readings, those of lines with the amounts of two sizes not sure.

    Parameters
        readings : list[Reading]
        rows : Collection[int]  places of such lines
    Returns
        list[Reading]
    """
    if not rows:
        return readings
    return [
        each._replace(doubts=_of_sizes(each.doubts)) if each.in_formula and each.line - 1 in rows else each
        for each in readings
    ]


def _of_sizes(doubts: tuple[Doubt, ...]) -> tuple[Doubt, ...]:
    """The doubts of a line for two sizes, whose two amounts need not agree."""
    return (*(doubt for doubt in doubts if doubt.code != "amounts_differ"), Doubt.of(LIKELY, "other_size"))
