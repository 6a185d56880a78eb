"""The strength of a flour that its name gives as a number: ``farina 0 W 300``."""

import re
from collections.abc import Sequence
from itertools import pairwise

from scaldloaf.reference import INGREDIENTS, Ingredient

_LEAST_STRONG_W, _LEAST_VERY_STRONG_W = 240, 350  # of the alveograph, as mills sell bread flours
_STRENGTH = re.compile(r"w(\d{3})")


def by_strength(ingredient: Ingredient, words: Sequence[str]) -> Ingredient:
    """The flour that words of a plain one mean, when they give its strength; else the same ingredient."""
    if ingredient.name != "plain_flour":
        return ingredient
    for word in (*words, *map("".join, pairwise(words))):
        strength = _STRENGTH.fullmatch(word)
        if strength and int(strength[1]) >= _LEAST_STRONG_W:
            is_very_strong = int(strength[1]) >= _LEAST_VERY_STRONG_W
            return INGREDIENTS["high_gluten_flour" if is_very_strong else "bread_flour"]
    return ingredient
