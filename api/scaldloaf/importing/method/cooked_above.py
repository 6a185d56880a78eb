"""A scald without a heading: lines of flour and liquid, and below them the sentence that cooks them."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.cooked_steps import is_cooked, is_heated, is_hot, is_piped
from scaldloaf.importing.quantities.readings import INGREDIENT, STEP, Reading, grams_of_flour
from scaldloaf.importing.whole.listed_scald import LEAST_LIQUID, LIQUIDS, MOST_LIQUID, MOST_SHARE, is_dough
from scaldloaf.importing.words.doubt import LIKELY, Doubt

MOST_LINES = 4  # of flour and its liquids


def with_scald_cooked_below(readings: list[Reading]) -> list[Reading]:
    """The readings, such lines as the scald, never for sure: ``25 g flour``, ``98 g milk``, ``Heat …``.

    Only where no other line is a scald's, and the list goes on with more flour.
    """
    steps = [at for at, each in enumerate(readings) if each.kind == STEP and _cooks(each.text.lower())]
    if not steps or any(each.part == SCALD and each.ingredient for each in readings):
        return readings
    flour_g = _flour_g(readings)
    for at in steps:
        run = _run_above(readings, at)
        if _is_paste(run) and _flour_g(run) <= MOST_SHARE * flour_g:
            doubt = Doubt.of(LIKELY, "by_method")
            return [
                line._replace(part=SCALD, section_doubts=(*line.section_doubts, doubt))
                if line in run
                else line
                for line in readings
            ]
    return readings


def _cooks(sentence: str) -> bool:
    return is_cooked(sentence) and (is_heated(sentence) or is_hot(sentence)) and not is_piped(sentence)


def _run_above(readings: Sequence[Reading], at: int) -> list[Reading]:
    """The lines of the list right above a place, up to a heading or another sentence."""
    run: list[Reading] = []
    while at and readings[at - 1].kind == INGREDIENT and readings[at - 1].part == DOUGH:
        at -= 1
        run.insert(0, readings[at])
    return run


def _flour_g(readings: Sequence[Reading]) -> float:
    return grams_of_flour(filter(is_dough, readings))


def _is_paste(run: Sequence[Reading]) -> bool:
    """Whether some lines are flour and the liquid that it may be cooked with, and nothing else."""
    if not all(is_dough(each) for each in run) or len(run) > MOST_LINES:
        return False
    liquid_g = sum(each.grams for each in run if each.ingredient and each.ingredient.name in LIQUIDS)
    flour_g = _flour_g(run)
    is_all = all(
        each.ingredient.is_flour or each.ingredient.name in LIQUIDS for each in run if each.ingredient
    )
    return is_all and 0 < LEAST_LIQUID * flour_g <= liquid_g <= MOST_LIQUID * flour_g
