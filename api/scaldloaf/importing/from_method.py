"""A recipe whose amounts are only in its method: its sentences as lines, and a liquid that no list has."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.cooked_steps import split_sentences
from scaldloaf.importing.doubt import LIKELY, Doubt
from scaldloaf.importing.lines import read_line
from scaldloaf.importing.listed_scald import LIQUIDS
from scaldloaf.importing.method import Found, of_sentence, sentences_of
from scaldloaf.importing.readings import INGREDIENT, Reader, Reading
from scaldloaf.importing.said_amounts import named_in
from scaldloaf.importing.vocabulary import OUTSIDE, STEPS, plain_word
from scaldloaf.importing.washes import BY_WASH, washes

MOST_SENTENCES = 60
LEAST_OF_FLOUR, MOST_OF_FLOUR = 0.3, 1.0  # of the flour, what a dough has of a liquid that no list names
_ONLY = Doubt.of(LIKELY, "only_in_method")


def read_as_list(readings: list[Reading], reader: Reader, again: Reader) -> list[Reading]:
    """The sentences of the method as lines, where no line has an amount of anything; never for sure.

    Parameters
        readings : list[Reading]  of the lines
        reader : Reader  that read them, with the lines of the method
        again : Reader  for the sentences
    Returns
        list[Reading]  those of the sentences, or the same readings
    """
    if not reader.method or any(each.mass or each.percent or each.weighed for each in readings):
        return readings
    again.tokens_left, again.has_listed = reader.tokens_left, True
    found: list[Reading] = []
    sentences = [(line, each) for line, plain, _ in reader.method for each in split_sentences(plain)]
    for line, sentence in sentences[:MOST_SENTENCES]:
        if not any(map(str.isdigit, sentence)) or not any(map(str.isalpha, sentence)):
            continue
        again.open(DOUGH)
        read = read_line(sentence, _without_verb(sentence), line, again)
        found += [_of_wash(each) for each in read] if washes(sentence) else read
    reader.tokens_left = again.tokens_left
    if not any(each.in_formula and each.ingredient and each.ingredient.is_flour for each in found):
        return readings
    reader.has_scald = again.has_scald
    return [*readings, *(_doubted(each) for each in found if _is_of_dough(each))]


def _without_verb(sentence: str) -> str:
    """A sentence without the verb that it begins with: ``Mix 500 g flour and 10 g salt``."""
    first, _, rest = sentence.partition(" ")
    return rest if plain_word(first) in STEPS else sentence


def _of_wash(reading: Reading) -> Reading:
    return reading._replace(part=OUTSIDE, section_doubts=(Doubt.of(LIKELY, BY_WASH),))


def _is_of_dough(reading: Reading) -> bool:
    """Whether a sentence names something: not how long the dough rests."""
    return reading.kind == INGREDIENT and bool(
        reading.ingredient or reading.alternatives or reading.part == SCALD
    )


def _doubted(reading: Reading) -> Reading:
    return reading._replace(section_doubts=(*reading.section_doubts, _ONLY))


def with_liquid_of_method(readings: list[Reading], steps: Sequence[str], reader: Reader) -> list[Reading]:
    """The readings, with the water or milk that only the method names, where the list has no liquid at all.

    Parameters
        readings : list[Reading]
        steps : Sequence[str]  of the method, besides those among the lines
        reader : Reader  what the recipe's lines share
    Returns
        list[Reading]
    """
    inside = [reading for reading in readings if reading.in_formula and reading.ingredient]
    flour = sum(each.grams for each in inside if each.ingredient and each.ingredient.is_flour)
    if not flour or any(each.ingredient and each.ingredient.is_liquid for each in inside):
        return readings
    for at, sentence in enumerate(sentences_of(steps, reader)):
        if at == MOST_SENTENCES or reader.tokens_left < 0:
            break
        if washes(sentence) or not any(map(str.isdigit, sentence)):
            continue
        named, _ = named_in(sentence, reader)
        poured = [each for each in named if each.ingredient.name in LIQUIDS and each.mass]
        total = sum(each.mass.best for each in poured if each.mass)
        if LEAST_OF_FLOUR * flour <= total <= MOST_OF_FLOUR * flour:
            found = Found(0, sentence, named)
            return [*readings, *(of_sentence(found, each)._replace(part=DOUGH) for each in poured)]
    return readings
