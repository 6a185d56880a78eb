"""Kinds that a number beside a name tells apart: the strength of a flour, the fat of cream and milk."""

import re
from collections.abc import Sequence
from itertools import pairwise

from scaldloaf.importing.words.vocabulary import WHEAT
from scaldloaf.reference import INGREDIENTS, Ingredient

# Of the alveograph, as mills sell bread flours; Austria has types W480 and W700, which are no strengths.
_LEAST_STRONG_W, _LEAST_VERY_STRONG_W, _MOST_W = 240, 350, 470
STRENGTH = re.compile(r"w(\d{3})")
# What the bare name is read as -> kinds by the most fat that each has, percent; more than the last: no fat.
_BY_FAT = {
    "cream": ((4.0, ""), (13.5, "half_and_half"), (24.9, "single_cream"), (60.0, "cream")),
    "whole_milk": ((0.95, "skim_milk"), (2.9, "semi_skimmed_milk"), (6.0, "whole_milk")),
    "skim_milk_powder": ((5.0, "skim_milk_powder"), (19.9, ""), (35.0, "whole_milk_powder")),
}
_OF_WHEAT = frozenset(("bread_flour", "plain_flour", "high_gluten_flour", "cake_flour"))
FAT_CODES = frozenset(("cream_fat", "milk_fat", "milk_powder_kind"))


def by_strength(ingredient: Ingredient, words: Sequence[str]) -> Ingredient:
    """The flour that words of a plain one mean, when they give its strength (``farina 0 W 300``)."""
    if ingredient.name != "plain_flour":
        return ingredient
    for word in (*words, *map("".join, pairwise(words))):
        strength = STRENGTH.fullmatch(word)
        if strength and _LEAST_STRONG_W <= int(strength[1]) <= _MOST_W:
            is_very_strong = int(strength[1]) >= _LEAST_VERY_STRONG_W
            return INGREDIENTS["high_gluten_flour" if is_very_strong else "bread_flour"]
    return ingredient


def besides_wheat(ingredient: Ingredient, unknown: list[tuple[int, str]]) -> list[tuple[int, str]]:
    """The unknown words beside a name, without those that say of a wheat flour that it is of wheat."""
    if ingredient.name not in _OF_WHEAT:
        return unknown
    return [(at, word) for at, word in unknown if word not in WHEAT]


def by_fat(ingredient: Ingredient, percent: float) -> Ingredient | None:
    """The cream, milk or milk powder with so much fat (``nata 18%``); None where the number says nothing."""
    for most, name in _BY_FAT.get(ingredient.name, ()):
        if percent <= most:
            return INGREDIENTS.get(name)
    return None
