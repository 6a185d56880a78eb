"""A recipe in sentences: amounts that only the method has.

Where no list has any flour, the sentences are the list. Where a list has no yeast, no salt or no liquid at
all, a sentence may have it. Nothing that is read so is sure.
"""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import islice, takewhile

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.cooked_steps import is_cooked, names_scald
from scaldloaf.importing.line.ingredients import read_ingredient
from scaldloaf.importing.line.items import WITH
from scaldloaf.importing.method.crust_sentences import washes
from scaldloaf.importing.method.method import MOST_SENTENCES, sentences_with_lines
from scaldloaf.importing.method.said_amounts import IN_STEPS, amounts_in, name_at_end
from scaldloaf.importing.method.steps import has_step_word
from scaldloaf.importing.quantities.readings import INGREDIENT, Reader, Reading
from scaldloaf.importing.whole.listed_scald import LIQUIDS
from scaldloaf.importing.words import text
from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt
from scaldloaf.importing.words.sections import SCALD_WORDS
from scaldloaf.importing.words.vocabulary import ADD, COUNT, OUTSIDE, PERCENT, PIECE, SALTS, is_spaceless

LEAST_AMOUNTS = 3  # of a recipe in sentences
LEAST_OF_FLOUR, MOST_OF_FLOUR = 0.3, 1.0  # of the flour, what a dough has of a liquid that no list names
_KINDS = (*IN_STEPS, COUNT, PIECE, PERCENT)
_CLAUSES = re.compile(r"[、，,;；·・](?!\d)\s*")
FLOUR, LIQUID, YEAST, SALT, OTHER, UNKNOWN = "flour", "liquid", "yeast", "salt", "other", "unknown"


def with_method_amounts(readings: list[Reading], steps: Sequence[str], reader: Reader) -> list[Reading]:
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
    kinds = set(map(_kind, listed))
    if FLOUR in kinds:
        lacking = _lacking(kinds)
        return readings + _said(lacking, listed, _amounts_said(steps, reader)) if lacking else readings
    if any(each.weighed or each.mass and each.ingredient is None for each in listed):
        return readings  # one of them may be the flour, by another name
    names = {each.ingredient for each in listed if each.mass}
    found = _not_aside(list(_amounts_said(steps, reader)), readings)
    said = [each for each in found if each.ingredient not in names]
    if len(said) < LEAST_AMOUNTS or FLOUR not in map(_kind, said):
        return readings
    doubt = Doubt.of(UNSURE, "only_in_method")
    return readings + [each._replace(doubts=(*each.doubts, doubt)) for each in said]


def _not_aside(said: list[Reading], readings: Sequence[Reading]) -> list[Reading]:
    """What is said, but for sentences of which at least half is what the list has beside the dough."""
    aside = {
        (each.ingredient.name, round(each.grams))
        for each in readings
        if each.kind == INGREDIENT and each.part == OUTSIDE and each.ingredient and each.mass
    }
    if not aside:
        return said
    total = Counter(each.text for each in said)
    again = Counter(
        each.text
        for each in said
        if each.mass and each.ingredient and (each.ingredient.name, round(each.grams)) in aside
    )
    return [each for each in said if 2 * again[each.text] < total[each.text]]


def _lacking(kinds: set[str]) -> set[str]:
    """What a list lacks: all liquid, or one of yeast and salt; nothing where something in it is not known."""
    if UNKNOWN in kinds:
        return set()
    lacking = {YEAST, SALT} - kinds
    return (lacking if len(lacking) == 1 else set()) | ({LIQUID} - kinds)


def _kind(reading: Reading) -> str:
    if reading.ingredient is None:
        return UNKNOWN
    if reading.ingredient.yeast:
        return YEAST
    if reading.ingredient.name in SALTS:
        return SALT
    if reading.ingredient.is_flour:
        return FLOUR
    return LIQUID if reading.ingredient.is_liquid else OTHER


def _said(lacking: set[str], listed: Sequence[Reading], said: Iterator[Reading]) -> list[Reading]:
    """What a list lacks, as the steps say: the first yeast or salt, and liquid if enough for a dough."""
    doubt = Doubt.of(LIKELY, "only_in_method")
    found = [
        each._replace(section_doubts=(doubt,))
        for each in said
        if _kind(each) in lacking and each.mass and each.part != OUTSIDE and has_step_word(each.text)
    ]
    liquids = [each for each in found if each.ingredient and each.ingredient.name in LIQUIDS]
    flour = sum(each.grams for each in listed if _kind(each) == FLOUR)
    fits = LEAST_OF_FLOUR * flour <= sum(each.grams for each in liquids) <= MOST_OF_FLOUR * flour
    return [each for each in found if _kind(each) != LIQUID][:1] + (liquids if fits else [])


def _amounts_said(steps: Sequence[str], reader: Reader) -> Iterator[Reading]:
    """The amounts of the method, each with what it is of; what is said twice counts once."""
    seen: set[tuple[str, str, str]] = set()
    for line, sentence in islice(sentences_with_lines(steps, reader), MOST_SENTENCES):
        blank = Reading(max(1, line), text.printable(sentence, text.MOST_CHARACTERS))
        found: list[Reading] = []
        for clause in _CLAUSES.split(sentence):
            for said in amounts_in(clause, reader, _KINDS) if reader.tokens_left >= 0 else ():
                words = name_at_end(said.words, reader) if said.is_behind else _of_one(said.words, reader)
                if not said.amount or not words:
                    continue
                read = read_ingredient([said.amount, *words], blank, reader, [])
                if read.ingredient and (read.mass or read.percent):
                    found.append(read)
        part = _part(sentence, set(map(_kind, found)))
        for read in found:
            key = (part, read.read_as, str(read.mass or read.percent))
            if key not in seen:
                seen.add(key)
                yield read if read.part == OUTSIDE else read._replace(part=part, section_doubts=())


def _of_one(words: Sequence[str], reader: Reader) -> Sequence[str]:
    """The words behind an amount that may be its name, without a scald: ``1 egg and the tangzhong``.

    In scripts without spaces only the name they begin with: ``30克黄油继续揉出手套膜``.
    """
    if words and is_spaceless("".join(words)):
        first = next(reader.names.all_in(words), None)
        if first and first[0].ingredient and not first[1]:
            return first[0].words
    if not SCALD_WORDS.found_in(f" {' '.join(words)} "):
        return words
    return list(takewhile(lambda word: word not in WITH and word not in ADD, words))


def _part(sentence: str, kinds: set[str]) -> str:
    """Where the amounts of a sentence go."""
    if washes(sentence):
        return OUTSIDE
    is_paste = {FLOUR, LIQUID} <= kinds and kinds.isdisjoint((YEAST, SALT))
    return SCALD if is_paste and (names_scald(sentence) or is_cooked(sentence)) else DOUGH
