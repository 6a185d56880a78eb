"""Cream that is whipped and filled in, where a list has it behind all that the dough needs."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.method.crust_sentences import fills, kneads, named_in
from scaldloaf.importing.quantities.readings import INGREDIENT, Reader, Reading
from scaldloaf.importing.words.vocabulary import OUTSIDE, WHIPPED, name_words

_CREAMS = frozenset(("cream", "single_cream"))
_SUGARS = frozenset(("sucrose", "soft_white_sugar", "icing_sugar"))


def whipped_in(readings: Sequence[Reading], sentences: Sequence[str], reader: Reader) -> list[int]:
    """Where the last cream is that the method whips or fills in and never names besides; and its sugar.

    A line of sugar that says so is enough: ``砂糖(生クリーム用)``.
    """
    creams = [
        at
        for at, each in enumerate(readings)
        if each.in_formula and each.part == DOUGH and each.ingredient and each.ingredient.name in _CREAMS
    ]
    if not creams or not _is_behind_a_dough(readings, creams[-1]):
        return []
    if any(_is_for_cream(each, reader) for each in readings[creams[-1] + 1 :]):
        return creams[-1:]
    whipped = [each for each in sentences if _is_apart(each) and _names_cream(each, reader)]
    others = [each for each in sentences if each not in whipped and _names_cream(each, reader)]
    # One sentence besides may only have the bread's name: maritozzi alla panna.
    return creams[-1:] if len(whipped) > 1 or whipped and not others else []


def _is_apart(sentence: str) -> bool:
    """Whether a sentence fills something in, or whips it and kneads nothing."""
    return fills(sentence) or any(map(sentence.lower().__contains__, WHIPPED)) and not kneads(sentence)


def _names_cream(sentence: str, reader: Reader) -> bool:
    return not _CREAMS.isdisjoint(named_in(sentence, reader))


def _is_for_cream(reading: Reading, reader: Reader) -> bool:
    """Whether a line of sugar is said to be for the cream."""
    if reading.kind != INGREDIENT or reading.part != OUTSIDE or reading.ingredient is None:
        return False
    _, _, inside = reading.text.replace("（", "(").partition("(")
    said = inside.partition(")")[0].removesuffix("用").removesuffix("）")
    if reading.ingredient.name not in _SUGARS or not said:
        return False
    named = reader.names.named_as_spelt(name_words(said)).ingredient
    return named is not None and named.name in _CREAMS


def _is_behind_a_dough(readings: Sequence[Reading], at: int) -> bool:
    """Whether flour, yeast and a liquid are listed before a place."""
    before = [each.ingredient for each in readings[:at] if each.part == DOUGH and each.ingredient]
    has_liquid = any(each.is_liquid or each.name == "whole_egg" for each in before)
    return has_liquid and any(each.is_flour for each in before) and any(each.yeast for each in before)
