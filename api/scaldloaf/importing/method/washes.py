"""What is brushed or sprinkled on, or of a filling, where only the method or the end of the line says so.

Only what is hardly dough is moved, and never for sure: an egg yolk beside whole eggs, seeds, and the last of
several lines of egg, milk, butter or sugar.
"""

import re
from collections.abc import Sequence
from itertools import islice

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.cooked_steps import is_cooked, is_piped
from scaldloaf.importing.line.mixed_washes import is_thinned
from scaldloaf.importing.method.crust_sentences import (
    beats,
    exceptions_in,
    fills,
    named_in,
    washed_in,
    washes,
    without_exceptions,
)
from scaldloaf.importing.method.method import sentences_of
from scaldloaf.importing.method.whipped import whipped_in
from scaldloaf.importing.quantities.readings import INGREDIENT, Reader, Reading
from scaldloaf.importing.whole.contents import rises
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt
from scaldloaf.importing.words.vocabulary import (
    BOILED,
    OUTSIDE,
    TOPPINGS,
    heading_words,
    plain_words,
)
from scaldloaf.reference import INGREDIENTS, Ingredient

MOST_SENTENCES = 60
BY_WASH = "by_wash"
MOST_WASHED = 5  # ingredients of a wash or filling on one line; a line with more is a whole list
_OF_RUN = Doubt.of(UNSURE, "filling")
_LISTED_TWICE = frozenset(("whole_egg", "whole_milk", "butter", "sucrose", "cream", "water", "egg_white"))
_PERHAPS, _ON_TOP = Doubt.of(LIKELY, "may_be_filling"), Doubt.of(LIKELY, "filling")
_SYRUPS = frozenset(("golden_syrup", "honey", "maple_syrup", "condensed_milk"))
_YOLK, _EGG = "egg_yolk", "whole_egg"
_EGGS = frozenset((_YOLK, _EGG, "egg_white"))
_BUTTERS = frozenset(("butter", "salted_butter", "margarine", "unsalted_margarine"))
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
MOST_PINCH_G = 1.0
_BASIC = frozenset(("flour", "yeast", "milk", "water", "sucrose", "butter", "oil", "salt"))
LEAST_FILLING = 2  # ingredients of a filling
_LEAST_NAMED = 5  # ingredients of a dough that the method names one by one
MOST_WASH_G = 65.0  # of an egg, or a few spoons of milk or butter
_MOST_THINNED_G = 40.0  # of milk or water that an egg is brushed on with
_LEAST_WET = 50.0  # water of what an egg is thinned with
_BEATEN = frozenset(
    ("beaten", "whisked", "mixed", "verquirlt", "verquirlte", "verruhrt", "verschlagen", "verdunnt")
)
_WITH = frozenset(("with", "mit"))
_THINNED = re.compile(
    rf"\b(?:{'|'.join(sorted(_BEATEN))}) (?:together )?(?:with|mit) .*"
    r"\b(?:water|milk|cream|wasser|milch|sahne|rahm)\b"
    r"|\bmit .*\b(?:wasser|milch|sahne|rahm) (?:verdunnt|verquirlt|verruhrt|verschlagen)\b"
)
_WORD = re.compile(r"[^\W\d_]+")


def all_outside(readings: list[Reading]) -> list[Reading]:
    """The readings of one line; a remark behind the last of several may be of all of them."""
    if _is_beaten_with(readings) or _is_beaten_alone(readings) or is_thinned(readings):
        return [reading._replace(part=OUTSIDE, section_doubts=(_OF_RUN,)) for reading in readings]
    if _is_for_scald(readings):
        return [each._replace(part=SCALD, section_doubts=readings[-1].section_doubts) for each in readings]
    if len(readings) > 1 and readings[0].part == OUTSIDE and all(map(_is_pinch, readings[1:])):
        return [each._replace(part=OUTSIDE) for each in readings]  # Ei zum Bestreichen mit 1 Prise Salz
    if not readings or readings[-1].part != OUTSIDE or any(each.kind != INGREDIENT for each in readings):
        return readings
    if not any(each.mass or each.percent or each.bare or each.weighed for each in readings):
        return [each._replace(part=OUTSIDE) for each in readings]  # Butter und Mehl für die Form
    return _runs_outside(readings) if len(readings) > MOST_WASHED else _with_the_last(readings)


def _is_pinch(reading: Reading) -> bool:
    return reading.kind == INGREDIENT and reading.grams <= MOST_PINCH_G


def _is_beaten_with(readings: Sequence[Reading]) -> bool:
    """Whether a line is hardly of the dough: ``1 egg beaten with 1 tbsp milk``, ``1 yolk + 1 tbsp cream``."""
    if len(readings) < 2 or any(each.part != DOUGH or each.mass is None for each in readings[:2]):
        return False
    if any(each.part != OUTSIDE for each in readings[2:]):
        return False
    egg, thinner = (each.ingredient for each in readings[:2])
    if egg is None or egg.name not in _EGGS or thinner is None or thinner.name not in _LISTED_TWICE:
        return False
    if not (thinner.is_liquid or thinner.name == "cream") or readings[1].grams > _MOST_THINNED_G:
        return False
    words = set(plain_words(readings[0].text))
    return egg.name == _YOLK or not words.isdisjoint(_BEATEN) and not words.isdisjoint(_WITH)


def _is_beaten_alone(readings: Sequence[Reading]) -> bool:
    """``1 yolk (beaten with 1 tbsp water)``, ``1 egg, whisked with a splash of milk``."""
    if len(readings) != 1 or readings[0].part != DOUGH or readings[0].ingredient is None:
        return False
    words = heading_words(readings[0].text)
    return readings[0].ingredient.name in _EGGS and _THINNED.search(words) is not None


def _is_for_scald(readings: Sequence[Reading]) -> bool:
    """Whether what is said of the last is said of both: ``25 g flour + 125 g milk for the tangzhong``."""
    if len(readings) != 2 or {each.part for each in readings} != {SCALD, DOUGH}:
        return False
    flour, liquid = (each.ingredient for each in readings)
    if flour is None or not flour.is_flour or liquid is None or not liquid.is_liquid:
        return False
    return 0 < readings[0].grams <= readings[1].grams


def _runs_outside(readings: list[Reading]) -> list[Reading]:
    """A whole list on one line: ``… 80 g butter, 5 g salt, 100 g butter, 50 g sugar (for the filling)``.

    What is named again before such a remark starts what the remark ends; never for sure.
    """
    found = list(readings)
    named: set[str] = set()
    starts = -1
    for at, reading in enumerate(readings):
        ingredient = reading.ingredient
        if reading.part == OUTSIDE:
            for place in range(starts, at) if starts >= 0 else ():
                found[place] = readings[place]._replace(part=OUTSIDE, section_doubts=(_OF_RUN,))
            starts = at + 1
        elif ingredient is None:
            continue
        elif ingredient.is_flour or ingredient.yeast or reading.part != DOUGH:
            starts = -1
        elif starts < 0 and ingredient.name in named:
            starts = at
        if ingredient and reading.part == DOUGH:
            named.add(ingredient.name)
    return found


def _with_the_last(readings: list[Reading]) -> list[Reading]:
    """``1 egg + 1 tbsp milk for egg wash``: both, unless the first is more of the same or a flour.

    ``100 g butter, 70 g sugar and cinnamon for the filling``: all, where no flour and no yeast is among them.
    """
    of_dough = [each.ingredient for each in readings if each.ingredient]
    if len(readings) > 2:
        egg = readings[-1].mass is None and (readings[-1].ingredient is None or of_dough[-1].name in _EGGS)
        if egg or any(each.is_flour or each.yeast for each in of_dough):
            return readings  # salt 4 g, butter 30 g, egg to brush
        return [
            reading if reading.part == OUTSIDE else reading._replace(part=OUTSIDE, section_doubts=(_OF_RUN,))
            for reading in readings
        ]
    last = readings[-1].ingredient
    if last is None or not (last.is_liquid or last.name in ("cream", "salt", "sucrose")):
        return readings
    return [
        reading
        if reading.ingredient is last or reading.ingredient and reading.ingredient.is_flour
        else reading._replace(part=OUTSIDE)
        for reading in readings[:-1]
    ] + [readings[-1]]


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
    perhaps |= _never_mixed(readings, mixed | washed)
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
        if each.in_formula and each.part == DOUGH and each.ingredient and each.ingredient.name in _BUTTERS
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
    kinds = {_kind(INGREDIENTS[name]) for each in filled for name in named_in(each, reader)}
    inside = [
        (at, each.ingredient)
        for at, each in enumerate(readings)
        if each.in_formula and each.part == DOUGH and each.ingredient and at not in on_top
    ]
    run: dict[str, int] = {}
    while inside and (kind := _kind(inside[-1][1])) in kinds - run.keys() - {"flour", "yeast"}:
        run[kind] = inside.pop()[0]
    before = [ingredient for _, ingredient in inside]
    if len(run) < LEAST_FILLING or not rises(before):
        return []
    others = [each for each in sentences if each not in filled and not washes(each)]
    mixed = {_kind(INGREDIENTS[name]) for each in others for name in named_in(each, reader)}
    return list(run.values()) if not run.keys() & mixed - set(map(_kind, before)) else []


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
    return [place for place, named in names if named and named.name in washed and named.name in _LISTED_TWICE]


def _beside(readings: Sequence[Reading], at: int, only_washed: set[str]) -> list[int]:
    """Where the next or last line of a wash is: ``1 egg`` and then ``splash of milk``."""
    return [
        place
        for place in (at - 1, at + 1)
        if 0 <= place < len(readings)
        and (ingredient := readings[place].ingredient)
        and ingredient.name in only_washed & _LISTED_TWICE
    ]


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
    if name in _LISTED_TWICE and len(lines) > 1 and _is_late(readings, lines[-1]):
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
    if INGREDIENTS[name].water_percent < _LEAST_WET or name in _LISTED_TWICE | _EGGS:
        return []
    inside = [at for at, each in enumerate(readings) if each.in_formula and each.part == DOUGH]
    return [
        at
        for at in inside[-1:]
        if (named := readings[at].ingredient)
        and named.name == name
        and 0 < readings[at].grams <= _MOST_THINNED_G
        and _is_late(readings, at)
    ]


def _lone_yolk(readings: Sequence[Reading]) -> list[int]:
    """Where the yolk is that a step calls the egg, in a list that has no other, not even for brushing."""
    eggs = [
        at
        for at, each in enumerate(readings)
        if each.kind == INGREDIENT and each.ingredient and each.ingredient.name in _EGGS
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
    if not inside or inside[-1][1].name != _EGG or not named.isdisjoint(_EGGS):
        return set()
    others = {_kind(each) for _, each in inside[:-1]}
    is_lone = _EGG not in others and readings[inside[-1][0]].grams <= MOST_WASH_G
    missing = others & _BASIC - {_kind(INGREDIENTS[name]) for name in named}
    return {inside[-1][0]} if is_lone and len(others) >= _LEAST_NAMED and not missing else set()


def _kind(ingredient: Ingredient) -> str:
    """What a step calls an ingredient, whatever its kind: flour, yeast, milk, butter, sugar."""
    if ingredient.is_flour or ingredient.yeast:
        return "yeast" if ingredient.yeast else "flour"
    if ingredient.name in _BUTTERS:
        return "butter"
    if ingredient.name in ("brown_sugar", "soft_white_sugar"):
        return "sucrose"
    return "milk" if ingredient.name.endswith("_milk") else ingredient.name


def _last_and_little(readings: Sequence[Reading], name: str) -> list[int]:
    """Where little of what is washed on and not mixed in is listed: all of it may be for that."""
    return [
        at
        for at, reading in enumerate(readings)
        if reading.in_formula
        and reading.part == DOUGH
        and reading.ingredient
        and reading.ingredient.name == name
        and name in _LISTED_TWICE
        and 0 < reading.grams <= MOST_WASH_G
        and _is_late(readings, at)
    ]
