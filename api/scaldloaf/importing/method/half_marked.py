"""A scald of which one line is marked, its flour or its liquid: the other half is listed right beside it."""

from collections.abc import Iterable, Sequence

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.layouts.cooked_steps import names_scald
from scaldloaf.importing.method.said_amounts import named_in
from scaldloaf.importing.quantities.readings import INGREDIENT, Reader, Reading
from scaldloaf.importing.whole.listed_scald import LEAST_LIQUID, LIQUIDS, MOST_LIQUID, NOT_SHOWN, is_dough
from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt

MOST_LIQUID_NAMED = 14.0  # times the flour, of a scald whose sentence names its liquids


def with_other_half(readings: list[Reading], sentences: Iterable[str], reader: Reader) -> list[Reading]:
    """The readings, the scald's other half in it too: behind ``20 g flour (tangzhong)`` ``100 g water``.

    Never for sure. Where none is beside it, any liquid, or flour, of the list may be of it.
    """
    scald = [at for at, each in enumerate(readings) if each.part == SCALD and each.kind == INGREDIENT]
    if len(scald) != 1 or not readings[scald[0]].in_formula:
        return readings
    (at,) = scald
    is_flour = _is_flour(readings[at])
    if not is_flour and not _is_liquid(readings[at]):
        return readings
    own = _liquid_behind(readings, at, sentences, reader) if is_flour else _flour_beside(readings, at)
    if own:
        doubt = Doubt.of(LIKELY, "by_method")
        return [
            each._replace(part=SCALD, section_doubts=(*each.section_doubts, doubt)) if each in own else each
            for each in readings
        ]
    may_be = _is_liquid if is_flour else _is_flour
    perhaps = Doubt.of(UNSURE, NOT_SHOWN)
    return [
        each._replace(section_doubts=(*each.section_doubts, perhaps))
        if is_dough(each) and may_be(each)
        else each
        for each in readings
    ]


def _is_liquid(reading: Reading) -> bool:
    return reading.in_formula and reading.ingredient is not None and reading.ingredient.name in LIQUIDS


def _is_flour(reading: Reading) -> bool:
    return reading.in_formula and reading.ingredient is not None and reading.ingredient.is_flour


def _liquid_behind(
    readings: Sequence[Reading], at: int, sentences: Iterable[str], reader: Reader
) -> list[Reading]:
    """The liquids in a row behind a flour, as many as one scald may hold.

    More where a sentence on the scald names them all.
    """
    run: list[Reading] = []
    for each in readings[at + 1 :]:
        if not is_dough(each) or not _is_liquid(each):
            break
        run.append(each)
    for end in range(len(run), 0, -1):
        own = run[:end]
        times = sum(each.grams for each in own) / readings[at].grams
        if LEAST_LIQUID <= times <= MOST_LIQUID:
            return own
        if times <= MOST_LIQUID_NAMED and {each.ingredient for each in own} <= _said(sentences, reader):
            return own
    return []


def _flour_beside(readings: Sequence[Reading], at: int) -> list[Reading]:
    """The little of a flour right before a liquid, or behind it, where the dough has more flour."""
    most = max((each.grams for each in readings if is_dough(each) and _is_flour(each)), default=0.0)
    for each in (*readings[max(0, at - 1) : at], *readings[at + 1 : at + 2]):
        is_little = is_dough(each) and _is_flour(each) and each.grams < most
        if is_little and LEAST_LIQUID * each.grams <= readings[at].grams <= MOST_LIQUID * each.grams:
            return [each]
    return []


def _said(sentences: Iterable[str], reader: Reader) -> set[object]:
    """What the sentences name that name the scald."""
    of_scald = [each for each in sentences if names_scald(each.lower())]
    return {named.ingredient for each in of_scald for named in named_in(each, reader)[0]}
