"""Sentences below a whole list that take amounts of what it has: steps, though no heading says so."""

import re
from collections.abc import Iterable, Sequence
from itertools import groupby

from scaldloaf.importing.method.crust_sentences import called, washes
from scaldloaf.importing.method.steps import has_step_word
from scaldloaf.importing.quantities.readings import INGREDIENT, STEP, Reader, Reading, step
from scaldloaf.importing.whole.contents import rises
from scaldloaf.importing.words.doubt import UNSURE, Doubt
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.vocabulary import CUT, OPENERS, OUTSIDE, is_spaceless, plain_words
from scaldloaf.reference import Ingredient

LEAST_WORDS = 8
AS_MUCH = 1.02  # of what is listed, that a step may take
_NUMBER = re.compile(r"\W*\d{1,2}[.)]\s+(?=[^\W\d_])")  # of a step
_BEGINS_WITH_AMOUNT = re.compile(r"\W*[\d½¼¾⅓⅔]")
_ENDS = re.compile(r"[^\W\d_]{3}[)”\"“»]?[.!](?:\s|\W*$)")
_OWN_WORD = re.compile(r"\W*\(([^\W\d_]+):[^()]*\)\W*$")
_AGAIN = Doubt.of(UNSURE, "starts_again")


def without_steps_below(readings: list[Reading], reader: Reader) -> list[Reading]:
    """The readings, with a sentence below a whole dough as a step: ``Die restliche Milch, 100 g … kneten.``

    Its amounts are those of the list, and count once. A sentence with more than the list stays a line.
    """
    listed: dict[str, float] = {}
    before: list[Ingredient] = []
    found: list[Reading] = []
    steps: list[tuple[int, str, str]] = []
    for line, group in groupby(readings, key=lambda each: each.line):
        own = list(group)
        if before and _is_own_remark(own[0].text):
            own = [step(own[0])]
        elif _is_wash(own) and rises(before):
            own = list(map(_as_step, own))
        elif _is_step(own) and rises(before) and _takes_of(own, listed):
            steps += [(line, own[0].text, own[0].section)] if all(each.kind != STEP for each in own) else []
            own = list(map(_as_step, own))
        for each in own:
            if each.in_formula and each.ingredient:
                if called(each.ingredient) not in listed:
                    before.append(each.ingredient)
                listed[called(each.ingredient)] = listed.get(called(each.ingredient), 0.0) + each.grams
        found += own
    if steps:
        reader.method = sorted([*reader.method, *steps], key=lambda each: each[0])
    return found


def _is_step(own: Sequence[Reading]) -> bool:
    """Whether the readings of a line are of a sentence of the method, and under no heading of their own."""
    text = _NUMBER.sub("", own[0].text)
    if not any(each.kind == INGREDIENT for each in own) or is_spaceless(text):
        return False
    if _BEGINS_WITH_AMOUNT.match(text) or not _ENDS.search(text):
        return False
    words = plain_words(text)
    is_long = len(words) >= LEAST_WORDS and ":" not in text.partition(".")[0]
    heading = text.partition(":")[0]
    is_long = is_long or len(words) >= 2 * LEAST_WORDS and text != own[0].text and title_in(heading).exact
    return is_long and (has_step_word(text) or words[0] in OPENERS)


def _is_own_remark(text: str) -> bool:
    """Whether a line is all in parentheses and says what the writer does: ``(ich: 75 g Lievito Madre)``."""
    own = _OWN_WORD.match(text)
    return own is not None and own.group(1).lower() in CUT


def _is_wash(own: Sequence[Reading]) -> bool:
    """Whether the readings of a line are of a sentence for the crust: ``1 Ei verrühren und aufstreichen.``"""
    text = own[0].text
    if not _ENDS.search(text) or not washes(text) or len(plain_words(text)) < LEAST_WORDS:
        return False
    named = [each.ingredient for each in own if each.kind == INGREDIENT]
    return bool(named) and not any(each is None or each.is_flour or each.yeast for each in named)


def _takes_of(own: Iterable[Reading], listed: dict[str, float]) -> bool:
    """Whether the list has all that a sentence weighs, and as much of it; of yeast any amount will do."""
    return all(
        each.ingredient is not None
        and called(each.ingredient) in listed
        and (each.ingredient.yeast or each.grams <= AS_MUCH * listed[called(each.ingredient)])
        for each in own
        if each.in_formula
    )


def _as_step(reading: Reading) -> Reading:
    """A reading of a step: a remark without a mass, and outside the dough with one."""
    if reading.kind != INGREDIENT:
        return reading
    if reading.mass is None or reading.ingredient is None:
        return step(reading)
    return reading._replace(part=OUTSIDE, section_doubts=(_AGAIN,))
