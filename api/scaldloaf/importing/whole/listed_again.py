"""A scald that a sentence below the list makes of lines of the list, whose amounts it says again."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.quantities.readings import STEP, Reading
from scaldloaf.importing.words.doubt import LIKELY, Doubt

_ENDS = (".", "。", "!", "！")
MOST_APART = 0.02  # of the amount; spoons and grams of one thing


def made_of_listed(readings: list[Reading]) -> list[Reading]:
    """The readings, such a scald once: ``25 g flour``, …, ``Cook 25 g flour and 125 g water to a tangzhong.``

    Lines that only weigh as much as one thing of a sentence stay in the dough: all of it must be listed.
    """
    scald = [each for each in readings if each.part == SCALD and each.in_formula]
    lines = {each.line for each in scald}
    if len(lines) != 1 or not scald[0].text.rstrip(" )）").endswith(_ENDS) or not _is_paste(scald):
        return readings
    line = lines.pop()
    above = [each for each in readings if each.line < line and each.part == DOUGH and each.in_formula]
    own = [next((each for each in above if _is_same(each, said)), None) for said in scald]
    rest = [each for each in above if each not in own]
    if None in own or not any(each.ingredient and each.ingredient.is_flour for each in rest):
        return readings
    doubt = Doubt.of(LIKELY, "by_method")
    found = []
    for each in readings:
        if each in own:
            found.append(each._replace(part=SCALD, section_doubts=(*each.section_doubts, doubt)))
        elif each not in scald:
            found.append(each)
        elif each is scald[0]:
            found.append(Reading(each.line, each.text, STEP, "a step of the method", part=DOUGH))
    return found


def _is_paste(readings: Sequence[Reading]) -> bool:
    named = [each.ingredient for each in readings if each.ingredient and each.mass]
    has_both = any(each.is_flour for each in named) and any(each.is_liquid for each in named)
    return has_both and len(named) == len(readings)


def _is_same(listed: Reading, said: Reading) -> bool:
    """Whether a line of the list is what a sentence names: the same, or a flour that it calls only flour."""
    if listed.ingredient is None or said.ingredient is None or not listed.mass:
        return False
    is_flour = listed.ingredient.is_flour and said.ingredient.is_flour
    apart = abs(listed.grams - said.grams)
    return (is_flour or listed.ingredient is said.ingredient) and apart <= MOST_APART * listed.grams
