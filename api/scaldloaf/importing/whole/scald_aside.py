"""A scald below a heading that is taken for that of a filling: ``Pudding``, ``Crème``, ``のり``."""

from collections.abc import Collection, Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading, grams_of_flour
from scaldloaf.importing.whole.listed_scald import BY_LIST, LIQUIDS, MOST_COOKED, TYPICAL_SHARE
from scaldloaf.importing.words.doubt import UNSURE, Doubt
from scaldloaf.importing.words.sections import ASIDE_WORDS
from scaldloaf.importing.words.vocabulary import OUTSIDE, heading_words

LEAST_COOKED = 3.0  # times the flour of a scald that is cooked in a pan; a paste for crosses has less


def with_scald_aside(readings: list[Reading], said: Collection[str]) -> list[Reading]:
    """The readings, a little flour and some times its liquid, and no more, as the scald; never for sure.

    Only in a recipe without another scald, and not where the heading says what is done with it: for brushing.
    said: headings whose part the caller says, as ``heading_words`` has them.
    """
    if any(each.part == SCALD for each in readings):
        return readings
    below: dict[str, list[Reading]] = {}
    for each in readings:
        if each.kind == INGREDIENT and each.part == OUTSIDE and each.section:
            below.setdefault(each.section, []).append(each)
    dough_g = grams_of_flour(each for each in readings if each.part == DOUGH and each.in_formula)
    scald = {section for section, lines in below.items() if _is_scald(section, lines, dough_g, said)}
    if len(scald) != 1:
        return readings
    doubt = Doubt.of(UNSURE, BY_LIST)
    return [
        each._replace(part=SCALD, section_doubts=(doubt,))
        if each.kind == INGREDIENT and each.part == OUTSIDE and each.section in scald
        else each
        for each in readings
    ]


def _is_scald(section: str, lines: Sequence[Reading], dough_g: float, said: Collection[str]) -> bool:
    words = heading_words(section)
    if words in said or ASIDE_WORDS.found_in(f" {section.lower()} "):
        return False
    flour_g = grams_of_flour(lines)
    liquid_g = sum(each.grams for each in lines if each.ingredient and each.ingredient.name in LIQUIDS)
    is_all = all(
        each.mass and each.ingredient and (each.ingredient.is_flour or each.ingredient.name in LIQUIDS)
        for each in lines
    )
    is_little = 0 < flour_g <= TYPICAL_SHARE * (flour_g + dough_g)
    return is_all and is_little and LEAST_COOKED * flour_g <= liquid_g <= MOST_COOKED * flour_g
