"""One amount for eggs and the liquid that they are made up with, in the form that is read as a sum.

``115 g made up of 2 eggs + cream``, ``1 egg (topped up with milk to 200 g)``, ``240 g (1 egg + milk)``.
"""

import re

from scaldloaf.importing.quantities.masses import EGGS
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.words.lexicon import ENGLISH
from scaldloaf.importing.words.sections import Phrases, framed
from scaldloaf.importing.words.vocabulary import (
    CUT,
    MASS,
    TOGETHER_WORDS,
    VOLUME,
    heading_words,
    is_spaceless,
    name_words,
)
from scaldloaf.reference import Ingredient

MOST_CHARACTERS = 80
MOST_NAME_WORDS = 3
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?(?:/\d)?")
_AMOUNT = re.compile(r"(?<![\d/.,])\d{2,4} ?([^\W\d_]{1,12})\b\.?")
_MARKS = re.compile(r"[()\[\]+=,&:;~-]|\B\.")
_COUNT = re.compile(r"\d{1,2}")
TOGETHER = Phrases(map(heading_words, TOGETHER_WORDS))


def with_egg_sum(plain: str) -> str:
    """A line with one amount for some eggs and a liquid as ``2 eggs + cream = 115 g``; any other as it is.

    It says so in words, by an equals sign before the amount, or in parentheses behind it.
    """
    numbers = _NUMBER.findall(plain) if len(plain) <= MOST_CHARACTERS else []
    if len(numbers) != 2 or is_spaceless(plain):
        return plain
    amounts = [found for found in _AMOUNT.finditer(plain) if _is_measured(found)]
    if len(amounts) != 1:
        return plain
    (amount,) = amounts
    before, behind = plain[: amount.start()], plain[amount.end() :]
    is_led = not before.strip() and behind.lstrip().startswith("(") and behind.endswith(")")
    is_said = TOGETHER.found_in(framed(plain)) or before.rstrip().endswith("=")
    if not is_said and not is_led:
        return plain
    words = _MARKS.sub(" | ", f"{before} | {behind}").split()
    at = next((at for at, word in enumerate(words) if _COUNT.fullmatch(word)), len(words))
    eggs = next((length for length in _lengths(words, at + 1) if _is_egg(words[at + 1 : at + 1 + length])), 0)
    liquids = {one for place in range(len(words)) if (one := _liquid_at(words, place))}
    if not eggs or len(liquids) != 1:
        return plain
    return f"{' '.join(words[at : at + 1 + eggs])} + {liquids.pop()} = {amount.group()}"


def makes_up(ingredient: Ingredient) -> bool:
    """Whether eggs are made up with a thing: a liquid, or cream."""
    return bool(ingredient.is_liquid) or ingredient.name == "cream"


def _is_measured(found: re.Match[str]) -> bool:
    unit = unit_of_word(found.group(1).lower())
    return unit is not None and unit.kind in (MASS, VOLUME)


def _lengths(words: list[str], start: int) -> range:
    """Of the names that may start at a place, the longest first."""
    return range(min(MOST_NAME_WORDS, len(words) - start), 0, -1)


def _named(words: list[str]) -> Ingredient | None:
    return ENGLISH.read_as.get(name_words(" ".join(words).lower())) if "|" not in words else None


def _is_egg(words: list[str]) -> bool:
    named = _named(words)
    return named is not None and named.name in EGGS


def _liquid_at(words: list[str], start: int) -> str:
    """The name of a liquid that starts at a place, as it is written; empty for none."""
    for length in _lengths(words, start):
        name = words[start : start + length]
        one = _named(name)
        if one is not None and makes_up(one) and name[0].lower() not in CUT:
            return " ".join(name)
    return ""
