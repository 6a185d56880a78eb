"""What is brushed or sprinkled on, or of a filling, where only the method says so.

Only what is hardly dough is moved, and never for sure: an egg yolk beside whole eggs, seeds, and the last of
several lines of egg, milk, butter or sugar.
"""

import re
from collections.abc import Sequence
from itertools import islice

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.layouts.cooked_steps import is_cooked, is_piped
from scaldloaf.importing.line.lines_outside import LISTED_TWICE, MOST_THINNED_G, MOST_WASHED
from scaldloaf.importing.method.crust_sentences import (
    BUTTERS,
    beats,
    called,
    exceptions_in,
    fills,
    named_in,
    washed_in,
    washes,
    without_exceptions,
)
from scaldloaf.importing.method.greased import of_grease
from scaldloaf.importing.method.method import sentences_of
from scaldloaf.importing.method.whipped import whipped_in
from scaldloaf.importing.quantities.masses import EGGS
from scaldloaf.importing.quantities.readings import INGREDIENT, Reader, Reading
from scaldloaf.importing.whole.contents import rises
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.doubt import LIKELY, Doubt
from scaldloaf.importing.words.vocabulary import (
    BOILED,
    OUTSIDE,
    TOPPINGS,
    heading_words,
)
from scaldloaf.reference import INGREDIENTS

MOST_SENTENCES = 60
BY_WASH = "by_wash"
_PERHAPS, _ON_TOP = Doubt.of(LIKELY, "may_be_filling"), Doubt.of(LIKELY, "filling")
_SYRUPS = frozenset(("golden_syrup", "honey", "maple_syrup", "condensed_milk"))
_YOLK, _EGG = "egg_yolk", "whole_egg"
_IN_THE_POT = frozenset(
    (
        "honey",
        "sucrose",
        "soft_white_sugar",
        "brown_sugar",
        "molasses",
        "malt_extract",
        "maple_syrup",
        "baking_soda",
    )
)
_BASIC = frozenset(("flour", "yeast", "milk", "water", "sucrose", "butter", "oil", "salt"))
LEAST_FILLING = 2  # ingredients of a filling
_LEAST_NAMED = 5  # ingredients of a dough that the method names one by one
MOST_WASH_G = 65.0  # of an egg, or a few spoons of milk or butter
_LEAST_WET = 50.0  # water of what an egg is thinned with
_WORD = re.compile(r"[^\W\d_]+")


def without_washes(readings: list[Reading], steps: Sequence[str], reader: Reader) -> list[Reading]:
    """The readings, those outside the dough that only the method shows to be of the crust.

    Parameters
        readings : list[Reading]
        steps : Sequence[str]  of the method, besides those among the lines
        reader : Reader  what the recipe's lines share
    Returns
        list[Reading]
    """
    if not steps and not reader.method:
        return readings
    washed: set[str] = set()
    mixed: set[str] = set()
    boiled: set[str] = set()
    sentences = list(islice(sentences_of(steps, reader), MOST_SENTENCES))
    piped = [*map(is_piped, sentences), False]
    for at, sentence in enumerate(sentences):
        if reader.tokens_left < 0:
            break
        if washes(sentence) or piped[at] or piped[at + 1] and is_cooked(sentence):
            washed |= washed_in(sentence, reader)
        elif any(map(sentence.lower().__contains__, BOILED)):
            boiled |= named_in(sentence, reader) & _IN_THE_POT
        else:
            mixed |= named_in(without_exceptions(sentence), reader)
    readings = _kneaded_in(readings, sentences)
    places = [at for name in washed for at in _places(readings, name, name in mixed)]
    places += [at for name in boiled - mixed for at in _in_the_pot(readings, name)]
    places += _rolled_in(readings, sentences, reader)
    places += whipped_in(readings, sentences, reader)
    places += [at for name in washed - mixed for at in _thinners(readings, name)]
    if _EGG in washed - mixed:
        places += _lone_yolk(readings)
    if _EGG in washed & mixed and len(places) == 0:
        places += _excepted_egg(readings, sentences, reader)
    places += [other for at in places for other in _on_its_line(readings, at, washed)]
    places += [other for at in places for other in _beside(readings, at, washed - mixed)]
    filled = frozenset(_of_filling(readings, sentences, frozenset(places), reader))
    moved = dict.fromkeys(filled, Doubt.of(LIKELY, "filling")) | dict.fromkeys(
        places, Doubt.of(LIKELY, BY_WASH)
    )
    perhaps = {at for name in washed - mixed for at in _last_and_little(readings, name)}
    perhaps |= _never_mixed(readings, mixed | washed) | of_grease(readings, sentences, reader)
    readings = [
        reading._replace(section_doubts=(*reading.section_doubts, _PERHAPS)) if at in perhaps else reading
        for at, reading in enumerate(readings)
    ]
    return [
        reading._replace(part=OUTSIDE, section_doubts=(moved[at],)) if at in moved else reading
        for at, reading in enumerate(readings)
    ]


def _kneaded_in(readings: list[Reading], sentences: Sequence[str]) -> list[Reading]:
    """The readings, pearl sugar as dough where the method names it and does not sprinkle it on."""
    on_crust = [
        at
        for at, each in enumerate(readings)
        if each.part == OUTSIDE and each.mass and _ON_TOP in each.section_doubts
    ]
    if not on_crust:
        return readings
    said: dict[bool, list[str]] = {True: [], False: []}
    for sentence in sentences:
        said[washes(sentence)].append(sentence)
    mixed, on_top = (f" {heading_words(' '.join(said[each]))} " for each in (False, True))
    found = list(readings)
    for at in on_crust:
        reading = readings[at]
        name = sections.ASIDE_WORDS.found_in(f" {' '.join(_WORD.findall(reading.text.lower()))} ")
        words = f" {heading_words(name or '')} "
        if name and words in mixed and words not in on_top:
            found[at] = reading._replace(part=DOUGH, section_doubts=(_PERHAPS,))
    return found


def _rolled_in(readings: Sequence[Reading], sentences: Sequence[str], reader: Reader) -> list[int]:
    """Where the butter is that a step wraps in dough: the last of several that are listed."""
    butters = [
        at
        for at, each in enumerate(readings)
        if each.in_formula and each.part == DOUGH and each.ingredient and each.ingredient.name in BUTTERS
    ]
    if len(butters) < 2 or not _is_late(readings, butters[-1]):
        return []
    last = readings[butters[-1]].ingredient
    for sentence in sentences:
        if fills(sentence) and last and last.name in named_in(sentence, reader):
            return butters[-1:]
    return []


def _of_filling(
    readings: Sequence[Reading], sentences: Sequence[str], on_top: frozenset[int], reader: Reader
) -> list[int]:
    """Where the last lines are that a step makes a filling of, behind a dough that rises without them.

    What the dough has not besides is named in no other step: ``spread the butter, sugar and cinnamon on it``.
    """
    filled = list(filter(fills, sentences))
    if not filled:
        return []
    kinds = {called(INGREDIENTS[name]) for each in filled for name in named_in(each, reader)}
    inside = [
        (at, each.ingredient)
        for at, each in enumerate(readings)
        if each.in_formula and each.part == DOUGH and each.ingredient and at not in on_top
    ]
    run: dict[str, int] = {}
    while inside and (kind := called(inside[-1][1])) in kinds - run.keys() - {"flour", "yeast"}:
        run[kind] = inside.pop()[0]
    before = [ingredient for _, ingredient in inside]
    if len(run) < LEAST_FILLING or not rises(before):
        return []
    others = [each for each in sentences if each not in filled and not washes(each)]
    mixed = {called(INGREDIENTS[name]) for each in others for name in named_in(each, reader)}
    return list(run.values()) if not run.keys() & mixed - set(map(called, before)) else []


def _in_the_pot(readings: Sequence[Reading], name: str) -> list[int]:
    """Where the sugar or soda is that bagels are boiled with: the last of several that are listed."""
    lines = [
        at
        for at, each in enumerate(readings)
        if each.in_formula and each.part == DOUGH and each.ingredient and each.ingredient.name in _IN_THE_POT
    ]
    own = [at for at in lines if (named := readings[at].ingredient) and named.name == name]
    if not own or own[-1] != lines[-1] or len(lines) < 2 and name != "baking_soda":
        return []
    before = [each.ingredient for each in readings[: own[-1]] if each.in_formula and each.ingredient]
    return own[-1:] if any(each.is_flour for each in before) else []


def _on_its_line(readings: Sequence[Reading], at: int, washed: set[str]) -> list[int]:
    """Where the rest of a wash is that stands on one line: ``1 egg yolk & 1 tbsp milk``."""
    beside = [place for place, reading in enumerate(readings) if reading.line == readings[at].line]
    if len(beside) > MOST_WASHED or not readings[at].line:
        return []
    names = [(place, readings[place].ingredient) for place in beside if place != at]
    return [place for place, named in names if named and named.name in washed and named.name in LISTED_TWICE]


def _beside(readings: Sequence[Reading], at: int, only_washed: set[str]) -> list[int]:
    """Where the next or last line of a wash is: ``1 egg`` and then ``splash of milk``."""
    return [
        place
        for place in (at - 1, at + 1)
        if 0 <= place < len(readings)
        and (ingredient := readings[place].ingredient)
        and ingredient.name in LISTED_TWICE
        and (ingredient.name in only_washed or place > at and _thins_the_egg(readings, place))
    ]


def _thins_the_egg(readings: Sequence[Reading], at: int) -> bool:
    """Whether a line is a little more of a liquid that is listed before, right below an egg to brush with."""
    little, egg = readings[at], readings[at - 1].ingredient
    is_again = any(each.ingredient is little.ingredient and each.in_formula for each in readings[: at - 1])
    is_thin = little.ingredient is not None and little.ingredient.water_percent >= _LEAST_WET
    is_little = 0 < little.grams <= MOST_THINNED_G
    return egg is not None and egg.name in EGGS and is_again and is_thin and is_little


def _places(readings: Sequence[Reading], name: str, is_mixed: bool) -> list[int]:
    """Where the lines of the dough are that the method puts on the crust."""
    lines = [
        at
        for at, reading in enumerate(readings)
        if reading.in_formula
        and reading.part == DOUGH
        and reading.ingredient
        and reading.ingredient.name == name
    ]
    if name == _YOLK:
        eggs = any(
            reading.in_formula and reading.ingredient and reading.ingredient.name == _EGG
            for reading in readings
        )
        if is_mixed:
            return lines[-1:] if len(lines) > 1 and _is_late(readings, lines[-1]) else []
        return lines if eggs else [at for at in lines[-1:] if _is_late(readings, at)]
    if name in TOPPINGS:
        return [] if is_mixed else lines
    if INGREDIENTS[name].is_flour:  # of the crosses on buns
        return [at for at in lines[-1:] if _is_late(readings, at)]
    if name in _SYRUPS and not is_mixed:
        return [at for at in lines[-1:] if _is_late(readings, at) and not _is_mixed_behind(readings, at)]
    if name in LISTED_TWICE and len(lines) > 1 and _is_late(readings, lines[-1]):
        return [] if _has_own_line(readings, name) else lines[-1:]
    return []


def _has_own_line(readings: Sequence[Reading], name: str) -> bool:
    """Whether a line of its own says that it is what is brushed on: ``Milch zum Bestreichen``."""
    return any(
        each.part == OUTSIDE and each.ingredient and each.ingredient.name == name and washes(each.text)
        for each in readings
        if each.kind == INGREDIENT
    )


def _thinners(readings: Sequence[Reading], name: str) -> list[int]:
    """Where a little of a liquid is, listed last, that the method only brushes on: ``1 EL Kondensmilch``."""
    if INGREDIENTS[name].water_percent < _LEAST_WET or name in LISTED_TWICE | EGGS:
        return []
    inside = [at for at, each in enumerate(readings) if each.in_formula and each.part == DOUGH]
    return [
        at
        for at in inside[-1:]
        if (named := readings[at].ingredient)
        and named.name == name
        and 0 < readings[at].grams <= MOST_THINNED_G
        and _is_late(readings, at)
    ]


def _lone_yolk(readings: Sequence[Reading]) -> list[int]:
    """Where the yolk is that a step calls the egg, in a list that has no other, not even for brushing."""
    eggs = [
        at
        for at, each in enumerate(readings)
        if each.kind == INGREDIENT and each.ingredient and each.ingredient.name in EGGS
    ]
    is_yolk = len(eggs) == 1 and readings[eggs[0]].ingredient is INGREDIENTS[_YOLK]
    is_yolk = is_yolk and readings[eggs[0]].in_formula and readings[eggs[0]].part == DOUGH
    return eggs if is_yolk and _is_late(readings, eggs[0]) else []


def _excepted_egg(readings: Sequence[Reading], sentences: Sequence[str], reader: Reader) -> list[int]:
    """Where the one egg is that all goes into the dough without, and that is only beaten and brushed on."""
    eggs = [at for at, each in enumerate(readings) if each.in_formula and _is_egg(each)]
    if len(eggs) != 1 or readings[eggs[0]].grams > MOST_WASH_G or not _is_late(readings, eggs[0]):
        return []
    if not any(_EGG in named_in(words, reader) for words in map(exceptions_in, sentences) if words):
        return []
    others = [each for each in sentences if not washes(each) and not beats(each)]
    return [] if any(_EGG in named_in(without_exceptions(each), reader) for each in others) else eggs


def _is_egg(reading: Reading) -> bool:
    return reading.part == DOUGH and reading.ingredient is INGREDIENTS[_EGG]


def _is_mixed_behind(readings: Sequence[Reading], at: int) -> bool:
    """Whether more of the dough is listed behind a place."""
    return any(each.in_formula and each.part == DOUGH for each in readings[at + 1 :])


def _is_late(readings: Sequence[Reading], at: int) -> bool:
    """Whether flour and yeast are listed before a place: what is washed on comes last."""
    before = [each.ingredient for each in readings[:at] if each.part != OUTSIDE and each.ingredient]
    return any(each.is_flour for each in before) and any(each.yeast for each in before)


def _never_mixed(readings: Sequence[Reading], named: set[str]) -> set[int]:
    """Where a lone last egg is, if the method names all else that is in the dough and never egg."""
    inside = [
        (at, each.ingredient)
        for at, each in enumerate(readings)
        if each.in_formula and each.part == DOUGH and each.ingredient
    ]
    if not inside or inside[-1][1].name != _EGG or not named.isdisjoint(EGGS):
        return set()
    others = {called(each) for _, each in inside[:-1]}
    is_lone = _EGG not in others and readings[inside[-1][0]].grams <= MOST_WASH_G
    missing = others & _BASIC - {called(INGREDIENTS[name]) for name in named}
    return {inside[-1][0]} if is_lone and len(others) >= _LEAST_NAMED and not missing else set()


def _last_and_little(readings: Sequence[Reading], name: str) -> list[int]:
    """Where little of what is washed on and not mixed in is listed: all of it may be for that."""
    return [
        at
        for at, reading in enumerate(readings)
        if reading.in_formula
        and reading.part == DOUGH
        and reading.ingredient
        and reading.ingredient.name == name
        and name in LISTED_TWICE
        and 0 < reading.grams <= MOST_WASH_G
        and _is_late(readings, at)
    ]
