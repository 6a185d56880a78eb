"""A scald that was not seen, as its heading was taken for the title of the recipe."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.line.headings import TITLE
from scaldloaf.importing.quantities.readings import HEADING, INGREDIENT, Reading
from scaldloaf.importing.whole.listed_scald import LEAST_LIQUID, LIQUIDS, MOST_LIQUID
from scaldloaf.importing.words.doubt import LIKELY, UNKNOWN_HEADING, Doubt
from scaldloaf.importing.words.sections import title_in

MOST_BEFORE_DOUGH = 4  # lines of a first part that may be a scald


def with_doubt_of_title(readings: list[Reading], is_said: bool) -> list[Reading]:
    """The readings, flour and liquid under the first line to be checked, the heading of the dough below.

    The first line was read as the title: ``【烫糊】``, ``A部分``. is_said: the caller says what the scald is.
    """
    if is_said:
        return readings
    dough = next(
        (
            at
            for at, each in enumerate(readings)
            if each.kind == HEADING and title_in(each.text) == (DOUGH, True)
        ),
        0,
    )
    title = next((each for each in readings[:dough] if each.read_as == TITLE), None)
    first = [each for each in readings[:dough] if each.kind == INGREDIENT and each.in_formula]
    rest = [each.ingredient for each in readings[dough:] if each.ingredient and each.in_formula]
    if title is None or any(each.part != DOUGH for each in first) or len(first) > MOST_BEFORE_DOUGH:
        return readings
    if not _is_paste(first) or not any(each.is_flour for each in rest):
        return readings
    doubt = Doubt.of(LIKELY, UNKNOWN_HEADING, heading=title.text, part="the dough")
    return [
        each._replace(section_doubts=(*each.section_doubts, doubt)) if each in first else each
        for each in readings
    ]


def _is_paste(readings: Sequence[Reading]) -> bool:
    """Whether some lines are flour or starch and the liquid that may be cooked with it, and nothing else."""
    named = [each.ingredient for each in readings if each.ingredient]
    flour_g = sum(
        each.grams
        for each in readings
        if each.ingredient and (each.ingredient.is_flour or "starch" in each.ingredient.name)
    )
    liquid_g = sum(each.grams for each in readings if each.ingredient and each.ingredient.name in LIQUIDS)
    is_all = all(each.is_flour or "starch" in each.name or each.name in LIQUIDS for each in named)
    return flour_g > 0 and is_all and LEAST_LIQUID * flour_g <= liquid_g <= MOST_LIQUID * flour_g
