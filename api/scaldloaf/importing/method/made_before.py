"""A scald that a sentence makes apart from the list: one above it, or one that the dough needs besides."""

from collections.abc import Sequence

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.layouts.cooked_steps import is_cooked, is_heated, is_hot, names_scald
from scaldloaf.importing.method.said_amounts import Named
from scaldloaf.importing.method.sentences import AMOUNTS
from scaldloaf.importing.quantities.readings import Reader, Reading
from scaldloaf.importing.whole.listed_scald import is_dough
from scaldloaf.importing.words.doubt import LIKELY, Doubt
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.text import MOST_CHARACTERS
from scaldloaf.importing.words.vocabulary import is_spaceless
from scaldloaf.reference import Ingredient

LEAST_WORDS = 8
MOST_TITLE_WORDS = 4  # before a colon: Day 1 (evening)
BARE_FLOUR = "plain_flour"  # what “flour” alone is read as
DRIEST, WETTEST = 0.45, 0.8  # water in all, of the flour of a pan bread that can be kneaded


def cooks_above(plain: str, reader: Reader) -> bool:
    """Whether a line above the list is the step of a scald: ``First cook 30 g flour with 150 g milk``.

    A line that begins with an amount or names the scald lists what goes into it.
    """
    if reader.has_listed or reader.has_scald or not reader.list_is_ahead or len(plain) > MOST_CHARACTERS:
        return False
    if is_spaceless(plain) or plain[0].isdigit() or len(plain.split()) < LEAST_WORDS:
        return False
    title, colon, _ = plain.partition(":")
    lower = plain.lower()
    if colon and len(title.split()) > MOST_TITLE_WORDS or len(AMOUNTS.findall(plain)) != 2:
        return False
    is_named = names_scald(lower) or title_in(title).part == SCALD
    return not is_named and (is_cooked(lower) or is_hot(lower) or is_heated(lower))


def is_besides(readings: Sequence[Reading], named: Sequence[Named]) -> bool:
    """Whether the dough of a list is one only with what a sentence names besides it.

    That is so where it would be too dry or too wet if the flour of the sentence were taken from the list.
    """
    inside = [each for each in readings if is_dough(each) and each.ingredient and each.mass]
    if (
        not named
        or not all(each.mass and not each.share for each in named)
        or any(each.part == SCALD and each.ingredient for each in readings)
    ):
        return False
    flour_g = sum(each.grams for each in inside if each.ingredient and each.ingredient.is_flour)
    water_g = sum(_water_g(each.ingredient, each.mass) for each in inside)
    own_flour_g = sum(each.mass.best for each in named if each.mass and each.ingredient.is_flour)
    own_water_g = sum(_water_g(each.ingredient, each.mass) for each in named)
    listed = {each.ingredient for each in inside}
    missing_g = sum(_water_g(each.ingredient, each.mass) for each in named if each.ingredient not in listed)
    if not flour_g or not own_flour_g:
        return False
    is_one = DRIEST <= (water_g + missing_g) / flour_g <= WETTEST
    return not is_one and DRIEST <= (water_g + own_water_g) / (flour_g + own_flour_g) <= WETTEST


def with_scald_apart(readings: list[Reading], scald: list[Reading], named: Sequence[Named]) -> list[Reading]:
    """The readings with a scald made apart, as a sentence names it.

    Where only the dough shows that it is, its bare flour is the list's only one, and that may still hold it.
    """
    if not is_besides(readings, named):
        return readings + scald
    flours = {
        each.ingredient
        for each in readings
        if is_dough(each) and each.ingredient and each.ingredient.is_flour
    }
    doubt = Doubt.of(LIKELY, "may_be_of_scald")
    only = next(iter(flours)) if len(flours) == 1 else None
    return [
        each._replace(section_doubts=(*each.section_doubts, doubt))
        if is_dough(each) and each.ingredient in flours
        else each
        for each in readings
    ] + [_of_flour(each, only) for each in scald]


def _of_flour(reading: Reading, flour: Ingredient | None) -> Reading:
    if flour is None or reading.ingredient is None or reading.ingredient.name != BARE_FLOUR:
        return reading
    return reading._replace(ingredient=flour, read_as=flour.label)


def _water_g(ingredient: Ingredient | None, mass: Estimate | None) -> float:
    """The water that a thing brings to the dough; that of flour is none."""
    if ingredient is None or mass is None or ingredient.is_flour:
        return 0.0
    return mass.best * ingredient.water_percent / 100
