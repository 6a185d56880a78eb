"""Where the list of a scald ends and that of the dough begins, without a heading."""

from collections.abc import Sequence
from itertools import pairwise

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.line.scald_parts import (
    is_on_one_line,
    with_the_rest_in_the_dough,
    with_yeast_in_the_dough,
)
from scaldloaf.importing.quantities.masses import EGGS
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.whole.listed_scald import LIQUIDS, MOST_LIQUID
from scaldloaf.importing.words.doubt import SCALD_NOT_LISTED, UNSURE, Doubt


def with_a_dough(readings: list[Reading]) -> list[Reading]:
    """A scald that has yeast or salt while no flour is in the dough ends where flour is named again.

    One without any flour was only named, and what follows is dough.
    """
    inside = [reading for reading in readings if reading.in_formula or reading.percent]
    scald = [reading for reading in inside if reading.part == SCALD]
    if len(scald) > 1 and not any(reading.ingredient and reading.ingredient.is_flour for reading in scald):
        only_named = Doubt.of(UNSURE, "scald_without_flour")
        return [
            reading._replace(part=DOUGH, section_doubts=(only_named,))
            if reading.part == SCALD and reading.kind == INGREDIENT and reading.ingredient
            else reading
            for reading in readings
        ]
    if is_on_one_line(scald):
        return with_the_rest_in_the_dough(readings, scald[0].line)
    if not _holds_too_much(scald):
        return readings
    if any(
        reading.ingredient and reading.ingredient.is_flour and reading.part == DOUGH for reading in inside
    ):
        return with_yeast_in_the_dough(readings)
    doubt = Doubt.of(UNSURE, "scald_with_all_flour")
    end = _end_of(readings)
    return [
        each._replace(part=SCALD if at < end else DOUGH, section_doubts=(doubt,))
        if each.part == SCALD
        and each.kind == INGREDIENT
        and (each.ingredient or at > end > 0 and _is_other(each))
        else each
        for at, each in enumerate(readings)
    ]


def _end_of(readings: Sequence[Reading]) -> int:
    """The place where a scald of flour and liquid ends; 0 where there is none.

    That is where flour is named again or a block of lines ends, or at what goes into no scald: yeast, egg,
    more liquid than any scald has.
    """
    before: list[Reading] = []
    flour_g = liquid_g = 0.0
    for at, each in enumerate(readings):
        if each.part != SCALD or each.kind != INGREDIENT or each.ingredient is None:
            continue
        one = each.ingredient
        liquid_g += each.grams if one.name in LIQUIDS else 0.0
        is_whole = flour_g > 0 and any(not line.ingredient.is_flour for line in before if line.ingredient)
        is_other = one.is_flour or one.yeast or one.name in EGGS or liquid_g > MOST_LIQUID * flour_g
        if is_whole and (is_other or _begins_block(before, each)):
            return at
        flour_g += (each.grams or each.bare and each.bare.best or 0.0) if one.is_flour else 0.0
        before.append(each)
    return 0


def _is_other(reading: Reading) -> bool:
    """Whether a line that is not read names something else than the scald itself."""
    return all(doubt.code != SCALD_NOT_LISTED for doubt in reading.doubts)


def _begins_block(before: Sequence[Reading], reading: Reading) -> bool:
    """Whether a line stands farther from those before it than they stand from each other.

    A blank line is between, or a sentence or the scald named again.
    """
    lines = [each.line for each in before]
    apart = [behind - line for line, behind in pairwise(lines)]
    return reading.line - lines[-1] > max(apart, default=1)


def _holds_too_much(scald: Sequence[Reading]) -> bool:
    """Whether a scald has what none has: yeast, salt, or behind its liquid more of its flour than before."""
    ingredients = [reading.ingredient for reading in scald if reading.ingredient]
    if any(each.yeast or each.name == "salt" for each in ingredients):
        return True
    liquid_at = next(
        (at for at, each in enumerate(scald) if each.ingredient and not each.ingredient.is_flour), 0
    )
    first, more = (
        sum(each.grams for each in part if each.ingredient and each.ingredient.is_flour)
        for part in (scald[:liquid_at], scald[liquid_at:])
    )
    return 0 < first < more
