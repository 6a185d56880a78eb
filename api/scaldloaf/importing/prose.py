"""A recipe in sentences: amounts that stand only in the method.

Where no list has any flour, the sentences are the list. Where a list has no yeast or no salt, a sentence may
have it. Nothing that is read so is sure.
"""

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing import text
from scaldloaf.importing.cooked_steps import is_cooked, names_scald
from scaldloaf.importing.doubt import LIKELY, Doubt
from scaldloaf.importing.listed_scald import LIQUIDS
from scaldloaf.importing.method import MOST_SENTENCES, sentences_with_lines
from scaldloaf.importing.readings import INGREDIENT, Reader, Reading
from scaldloaf.importing.said_amounts import IN_STEPS, Named, all_named_in
from scaldloaf.importing.steps import has_step_word
from scaldloaf.importing.vocabulary import COUNT, OUTSIDE, PERCENT, PIECE, SALTS
from scaldloaf.importing.washes import washes

LEAST_AMOUNTS = 3  # of a recipe in sentences
_KINDS = (*IN_STEPS, COUNT, PIECE, PERCENT)
_CLAUSES = re.compile(r"[、，,;；·・](?!\d)\s*")
_ONLY_SAID = (Doubt.of(LIKELY, "only_in_method"),)


class Said(NamedTuple):
    """An amount of a sentence: its line (0: not of the list), the sentence, its part, and what it is of."""

    line: int
    sentence: str
    part: str
    named: Named


def with_prose(readings: list[Reading], steps: Sequence[str], reader: Reader) -> list[Reading]:
    """The readings, with the amounts that only the method has.

    Parameters
        readings : list[Reading]
        steps : Sequence[str]  of the method, besides those among the lines
        reader : Reader  what the recipe's lines share
    Returns
        list[Reading]
    """
    if not reader.method and not steps:
        return readings
    listed = [each for each in readings if each.kind == INGREDIENT and each.part != OUTSIDE]
    if any(each.ingredient and each.ingredient.is_flour for each in listed):
        wanted = _missing(listed)
        if not wanted:
            return readings
        said = [
            each
            for each in _said(steps, reader)
            if _is_one_of(each.named, wanted)
            and each.part != OUTSIDE
            and each.named.mass
            and has_step_word(each.sentence)
        ]
        return readings + [_reading(each) for each in said[:1]]
    if any(each.mass and each.ingredient is None for each in listed):
        return readings  # one of them may be the flour, by another name
    said = list(_said(steps, reader))
    is_recipe = len(said) >= LEAST_AMOUNTS and any(each.named.ingredient.is_flour for each in said)
    return readings + [_reading(each) for each in said] if is_recipe else readings


def _missing(listed: Sequence[Reading]) -> set[str]:
    """Which of yeast and salt a list lacks, where all of its lines are known: one of them at most."""
    if any(each.ingredient is None for each in listed):
        return set()
    has_yeast = any(each.ingredient and each.ingredient.yeast for each in listed)
    has_salt = any(each.ingredient and each.ingredient.name in SALTS for each in listed)
    if has_yeast == has_salt:
        return set()
    return {"salt"} if has_yeast else {"yeast"}


def _is_one_of(named: Named, wanted: set[str]) -> bool:
    if named.ingredient.yeast:
        return "yeast" in wanted
    return named.ingredient.name in SALTS and "salt" in wanted


def _said(steps: Sequence[str], reader: Reader) -> Iterator[Said]:
    """The amounts of the method; what is said twice counts once."""
    seen: set[tuple[str, str]] = set()
    for at, (line, sentence) in enumerate(sentences_with_lines(steps, reader)):
        if at == MOST_SENTENCES or reader.tokens_left < 0:
            return
        found = [
            named
            for clause in _CLAUSES.split(sentence)
            for named in all_named_in(clause, reader, _KINDS)
            if named.amount and (named.mass or named.amount.kind == PERCENT)
        ]
        part = _part(sentence, found)
        for named in found:
            key = (named.ingredient.name, str(named.amount))
            if key not in seen:
                yield Said(line, sentence, part, named)
            seen.add(key)


def _part(sentence: str, found: Sequence[Named]) -> str:
    """Where the amounts of a sentence go."""
    if washes(sentence):
        return OUTSIDE
    if any(each.ingredient.yeast or each.ingredient.name in SALTS for each in found):
        return DOUGH
    has_flour = any(each.ingredient.is_flour for each in found)
    has_liquid = any(each.ingredient.name in LIQUIDS for each in found)
    is_scald = has_flour and has_liquid and (names_scald(sentence) or is_cooked(sentence))
    return SCALD if is_scald else DOUGH


def _reading(said: Said) -> Reading:
    ingredient, mass, amount = said.named
    is_percent = amount is not None and amount.kind == PERCENT
    return Reading(
        max(1, said.line),
        text.printable(said.sentence, text.MOST_CHARACTERS),
        read_as=ingredient.label,
        ingredient=ingredient,
        mass=None if is_percent else mass,
        percent=amount.quantity if amount and is_percent else None,
        part=said.part,
        section_doubts=_ONLY_SAID,
        expression=f"{mass.best:.6g} g as the method says" if mass and not is_percent else "",
    )
