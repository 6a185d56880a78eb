"""Fat that the method only greases a tin or a bowl with: a little butter or oil that goes into no dough."""

import re
from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.method.crust_sentences import called, named_in
from scaldloaf.importing.quantities.readings import Reader, Reading
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.vocabulary import ADD, GREASED, LIST, has_one_of, is_spaceless
from scaldloaf.reference import INGREDIENTS

MOST_GREASE_G = 40.0
_FATTY = 50.0  # fat of butter and oil, percent
_JOINS = "|".join(sorted(word for word in ADD if word.isalpha() and not is_spaceless(word)))
_CLAUSE = re.compile(rf"[,;:](?=\s)|\s(?:{_JOINS})\s")
_WORD = re.compile(r"[^\W\d_]+")


def of_grease(readings: Sequence[Reading], sentences: Sequence[str], reader: Reader) -> set[int]:
    """Where a little fat of the dough is that the method greases with, and names nowhere else.

    Only in a method that names the flour: one that mixes “all the ingredients” says nothing of the fat.
    """
    if not any(has_one_of(each, GREASED) for each in sentences) or any(map(_names_all, sentences)):
        return set()
    fats = {
        at: called(each.ingredient)
        for at, each in enumerate(readings)
        if each.in_formula
        and each.part == DOUGH
        and each.ingredient
        and each.ingredient.fat_percent > _FATTY
        and 0 < each.grams <= MOST_GREASE_G
    }
    if not fats:
        return set()
    named: dict[bool, set[str]] = {True: set(), False: set()}
    for sentence in sentences:
        for clause in _CLAUSE.split(sentence) if has_one_of(sentence, GREASED) else [sentence]:
            kinds = {called(INGREDIENTS[name]) for name in named_in(clause, reader)}
            is_greased = has_one_of(clause, GREASED)
            named[is_greased] |= kinds or (set(fats.values()) if is_greased else set())  # beurrer le moule
    greased = named[True] - named[False] if "flour" in named[False] else set()
    return {at for at, fat in fats.items() if fat in greased}


def _names_all(sentence: str) -> bool:
    """Whether a sentence speaks of the ingredients as such: ``Alle Zutaten verkneten``."""
    return any(title_in(word).part == LIST for word in _WORD.findall(sentence))
