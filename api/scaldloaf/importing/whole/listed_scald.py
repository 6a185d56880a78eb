"""A scald that the list itself shows: the same flour twice, a little of it beside its liquid."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.words.doubt import SOURDOUGH, SURE, UNSURE, Doubt
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.vocabulary import (
    BOILING,
    DOUGH_WORDS,
    SPONGE,
    has_one_of,
    heading_words,
)

MOST_LIQUID, LEAST_LIQUID = 7.0, 0.6  # times the flour of a scald
MOST_SHARE = 0.6  # of all the flour, that a scald has
TYPICAL_SHARE, TYPICAL_LIQUID = 0.16, 2.0  # of a scald cooked in a pan: hardly anything else is listed so
LEAST_COOKED, MOST_COOKED = 4.5, 5.5  # times the flour of a scald, as most are cooked in a pan
BY_LIST, NOT_SHOWN, BARE_FLOUR = "by_list", "scald_not_shown", "flour_kind"
LIQUIDS = frozenset(
    (
        "water",
        "whole_milk",
        "semi_skimmed_milk",
        "skim_milk",
        "cream",
        "soy_milk",
        "oat_milk",
        "almond_milk",
        "coconut_milk",
        "buttermilk",
        "evaporated_milk",
        "half_and_half",
        "single_cream",
    )
)


def is_dough(reading: Reading) -> bool:
    """Whether a reading is an ingredient of the dough, with its mass."""
    return (
        reading.kind == INGREDIENT
        and reading.part == DOUGH
        and reading.mass is not None
        and reading.in_formula
    )


def _is_said_to_be_dough(reading: Reading) -> bool:
    return reading.section_sure == SURE and heading_words(reading.section) in DOUGH_WORDS


def by_list(readings: list[Reading], is_named: bool) -> list[Reading]:
    """The readings, a scald taken from the list alone where the recipe names one; else only a doubt."""
    flours = [
        at
        for at, reading in enumerate(readings)
        if is_dough(reading) and reading.ingredient and reading.ingredient.is_flour
    ]
    if len(flours) < 2:
        return readings
    masses = {at: mass.best for at in flours if (mass := readings[at].mass)}
    least = min(masses, key=masses.__getitem__)
    same = [at for at in flours if at != least and _may_be_same(readings[at], readings[least])]
    if not same and is_named and masses[least] <= TYPICAL_SHARE * sum(masses.values()):
        return _by_ratio(readings, least)
    if not is_named and all(_is_said_to_be_dough(readings[at]) for at in (least, *same)):
        return readings
    if (
        not same
        or _is_of_sponge(readings[least], readings)
        or masses[least] > MOST_SHARE / 1.5 * sum(masses.values())
    ):
        return readings
    beside = _liquids_beside(readings, least, masses[least])
    if not beside:
        return readings
    doubt = Doubt.of(UNSURE, BY_LIST)
    liquid_g = sum(mass.best for at in beside if (mass := readings[at].mass))
    is_named = (
        is_named
        or any(is_boiling(readings[at].text) for at in beside)
        or masses[least] <= TYPICAL_SHARE * sum(masses.values())
        and liquid_g >= TYPICAL_LIQUID * masses[least]
    )
    chosen = {least, *beside}
    return [
        reading._replace(
            part=SCALD if is_named else reading.part, section_doubts=(*reading.section_doubts, doubt)
        )
        if at in chosen
        else reading
        for at, reading in enumerate(readings)
    ]


def _by_ratio(readings: list[Reading], at: int) -> list[Reading]:
    """The readings, a little of another flour and five times its liquid beside it as the scald that is named.

    Only where the dough has liquid besides; never for sure.
    """
    flour_g = readings[at].grams
    beside = _liquids_beside(readings, at, flour_g)
    others = [
        each
        for place, each in enumerate(readings)
        if place not in beside and is_dough(each) and each.ingredient and each.ingredient.name in LIQUIDS
    ]
    liquid_g = sum(readings[place].grams for place in beside)
    if not others or not LEAST_COOKED * flour_g <= liquid_g <= MOST_COOKED * flour_g:
        return readings
    doubt = Doubt.of(UNSURE, NOT_SHOWN)
    return [
        each._replace(part=SCALD, section_doubts=(*each.section_doubts, doubt))
        if place in (at, *beside)
        else each
        for place, each in enumerate(readings)
    ]


def _may_be_same(one: Reading, other: Reading) -> bool:
    """Whether two lines name the same flour, or one of them only says that it is flour.

    One between white and wholemeal is another, whatever it is read as.
    """
    if _is_graded(one) is not _is_graded(other):
        return False
    return one.ingredient is other.ingredient or any(
        first.ingredient is not None
        and any(doubt.code == BARE_FLOUR for doubt in second.doubts)
        and first.ingredient.name in second.alternatives
        for first, second in ((one, other), (other, one))
    )


def _is_graded(reading: Reading) -> bool:
    return any(doubt.code == "flour_grade" for doubt in reading.doubts)


def _is_of_sponge(reading: Reading, readings: Sequence[Reading]) -> bool:
    """Whether a line is under the heading of a sponge, with yeast or a starter, and another flour is not."""
    if title_in(reading.section).part != SPONGE:
        return False
    lines = [each for each in readings if each.section == reading.section]
    has_starter = any(doubt.code == SOURDOUGH for each in lines for doubt in each.doubts)
    own = [each.ingredient for each in lines if each.ingredient]
    others = [each.ingredient for each in readings if each.ingredient and each.section != reading.section]
    rises = has_starter or any(each.yeast for each in own)
    return rises and any(each.is_flour for each in others)


def is_boiling(line: str) -> bool:
    """Whether a line's liquid is boiling, as that of a scald made with boiling water."""
    return has_one_of(line, BOILING)


def _liquids_beside(readings: Sequence[Reading], at: int, flour_g: float) -> list[int]:
    """The lines of liquid next to a line of flour that make a scald with it."""

    def liquid(place: int) -> float:
        if not 0 <= place < len(readings):
            return 0.0
        reading = readings[place]
        if not is_dough(reading) or not reading.ingredient or reading.ingredient.name not in LIQUIDS:
            return 0.0
        if reading.section != readings[at].section:
            return 0.0
        return reading.grams

    for run in ((at + 1, at + 2), (at - 1, at - 2), (at - 1, at + 1), (at + 1,), (at - 1,)):
        masses = [liquid(place) for place in run]
        if all(masses) and LEAST_LIQUID * 1.4 * flour_g <= sum(masses) <= MOST_LIQUID * flour_g:
            return list(run)
    return []
