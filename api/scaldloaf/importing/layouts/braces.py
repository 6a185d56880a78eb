"""Recipes with their amounts in braces inside the steps: ``Combine @water{43%g} and @bread flour{14%g}``."""

import re

from scaldloaf.importing.layouts.cooked_steps import is_cooked
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.lexicon import ENGLISH
from scaldloaf.importing.words.vocabulary import WASH, heading_words, name_words, plain_word
from scaldloaf.reference import Ingredient

MOST_LISTED = 40  # ingredients of one step
_INGREDIENT = re.compile(
    r"@(?P<name>[^@#~{}\n]{1,60}?)\{=?(?:(?P<low>[\d.,/ ¼½¾⅓⅔⅛⅜⅝⅞–-]{0,16})"
    r"[^{}%]{0,8}?(?:~\{(?P<high>[\d./]{1,8}))?"
    r"%?(?P<unit>[^{}%]{0,16}))?\}{1,2}(?P<beside>\s?\([^()@]{1,40}\))?"
)
_INNER = re.compile(r"~\{([^{}%]{0,12})%?([^{}%]{0,12})\}")
_SCALD, _DOUGH, _ASIDE = "Tangzhong", "Dough", "Egg wash"


def as_list(line: str) -> str:
    """A step with its amounts in braces as a list of them, behind the part that they are of.

    A line without a word beside them is of a list, and so of the part that the list is of.
    """
    if "@" not in line or "{" not in line:
        return line
    found = list(_INGREDIENT.finditer(line))[:MOST_LISTED]
    if not found:
        return line
    listed = ", ".join(map(_in_words, found))
    if not heading_words(_INGREDIENT.sub(" ", line)):
        return listed
    known = [ENGLISH.read_as.get(name_words(each["name"].lower())) for each in found]
    part = _part_of(line, [ingredient for ingredient in known if ingredient])
    return f"{part}: {listed}"


def _in_words(found: re.Match[str]) -> str:
    """``@table salt{1.75%tsp} (11g)`` as a list has it: ``1.75 tsp table salt (11g)``."""
    high = f"-{found['high']}" if found["high"] else ""
    beside = _INNER.sub(r"\1 \2", found["beside"] or "")
    return " ".join(f"{found['low'] or ''}{high} {found['unit'] or ''} {found['name']} {beside}".split())


def _part_of(line: str, known: list[Ingredient]) -> str:
    """What a step makes: the scald where it is cooked without yeast and salt, or a wash without flour."""
    words = heading_words(_INGREDIENT.sub(" ", line))
    if any(each.yeast or each.name == "salt" for each in known):
        return _DOUGH
    if any(each.is_flour for each in known):
        is_scald = sections.SCALD_WORDS.found_in(f" {words} ") is not None or is_cooked(words)
        return _SCALD if is_scald else _DOUGH
    return _DOUGH if WASH.isdisjoint(map(plain_word, words.split())) else _ASIDE
