"""What the method says of the scald, where the list of ingredients does not show it.

A flat list names flour and milk twice, and a step says which go into the roux. Only what a sentence names is
moved, and never for sure: the page asks once for all of it.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, islice
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.cooked_steps import (
    is_cooked,
    is_heated,
    is_hot,
    is_piped,
    names_scald,
    runs,
    split_sentences,
)
from scaldloaf.importing.line.scald_parts import in_two
from scaldloaf.importing.method.made_before import BARE_FLOUR, is_besides, with_scald_apart
from scaldloaf.importing.method.said_amounts import Named, named_in, with_added_parts, with_halves
from scaldloaf.importing.quantities.readings import HEADING, INGREDIENT, MENTION, Reader, Reading
from scaldloaf.importing.whole.listed_scald import (
    LEAST_LIQUID,
    LIQUIDS,
    MOST_LIQUID,
    MOST_SHARE,
    NOT_SHOWN,
    by_list,
    is_boiling,
    is_dough,
)
from scaldloaf.importing.words import sections, text
from scaldloaf.importing.words.doubt import LIKELY, Doubt
from scaldloaf.reference import Ingredient

MOST_SENTENCES = 60
MOST_LIQUID_NAMED = 14.0  # times the flour, of a scald that the sentence names
RIVAL = 2.0  # times the flour of the scald: another flour of so little may be the one meant
SAME_WITHIN = 0.06  # masses of a step and of the list
SAME_MEASURE_WITHIN = 0.15  # the same, of a step's cups or spoons
BY_METHOD = "by_method"


class Found(NamedTuple):
    """The sentence on the scald: its line (0: not of the list), its words, and what it names.

    only_hot: nothing but heat says that it is one, so that it moves what the list has, and adds nothing.
    """

    line: int
    text: str
    named: list[Named]
    only_hot: bool = False


def with_scald_of_method(
    readings: list[Reading], steps: Sequence[str], name: str, reader: Reader
) -> list[Reading]:
    """The readings, with the scald that the method or the list itself shows.

    Parameters
        readings : list[Reading]
        steps : Sequence[str]  of the method, besides those among the lines
        name : str  of the recipe
        reader : Reader  what the recipe's lines share
    Returns
        list[Reading]
    """
    scald = [each for each in readings if each.part == SCALD and each.kind == INGREDIENT and each.ingredient]
    if any(each.ingredient and each.ingredient.is_flour for each in scald):
        return _with_its_liquid(readings, scald, steps, reader)
    listed, readings = readings, [each._replace(part=DOUGH) if each in scald else each for each in readings]
    for found in chain(_sentences_on_the_scald(steps, reader), _steps_in_a_row(steps, reader)):
        moved = _moved(readings, found, reader)
        if moved is not None:
            return moved
    if scald:
        return listed
    titles = (reading.text for reading in readings if reading.kind == HEADING)
    texts = [name, *steps, *(plain for _, plain, _ in reader.method), *titles]
    is_named = any(names_scald(each.lower()) for each in texts) or any(
        reading.part == SCALD and reading.kind != MENTION for reading in readings
    )
    shown = by_list(readings, is_named)
    return _not_shown(shown) if is_named and shown is readings else shown


def _with_its_liquid(
    readings: list[Reading], scald: Sequence[Reading], steps: Sequence[str], reader: Reader
) -> list[Reading]:
    """The readings with the liquid of a scald that has only its flour: what a step names, or what is boiling.

    Parameters
        readings : list[Reading]
        scald : Sequence[Reading]  its lines
        steps : Sequence[str]  of the method, besides those among the lines
        reader : Reader  what the recipe's lines share
    Returns
        list[Reading]
    """
    flour_g = sum(each.grams for each in scald if each.ingredient and each.ingredient.is_flour)
    if not flour_g or len(scald) > 1 or not scald[0].in_formula:
        return readings
    for found in _sentences_on_the_scald(steps, reader):
        liquids = [each for each in found.named if each.mass and each.ingredient.name in LIQUIDS]
        if len(liquids) != 1 or not _fits(liquids[0].mass.best if liquids[0].mass else 0.0, flour_g):
            continue
        at = _place_of(readings, liquids[0], 0, {}, 0.0)
        if at is not None:
            return [*readings[:at], *_into_scald(readings[at], liquids[0].mass, reader), *readings[at + 1 :]]
    boiling = [
        at
        for at, each in enumerate(readings)
        if is_dough(each) and each.ingredient and each.ingredient.name in LIQUIDS and is_boiling(each.text)
    ]
    if len(boiling) != 1 or not _fits(readings[boiling[0]].grams, flour_g):
        return readings
    at = boiling[0]
    return [*readings[:at], *_into_scald(readings[at], None, reader), *readings[at + 1 :]]


def _fits(liquid_g: float, flour_g: float) -> bool:
    return LEAST_LIQUID * flour_g <= liquid_g <= MOST_LIQUID_NAMED * flour_g


def _not_shown(readings: list[Reading]) -> list[Reading]:
    """The readings of a recipe that names a scald and does not show it: any flour or liquid may be of it."""
    doubt = Doubt.of(LIKELY, NOT_SHOWN)
    return [
        reading._replace(section_doubts=(*reading.section_doubts, doubt))
        if is_dough(reading)
        and reading.ingredient
        and (reading.ingredient.is_flour or reading.ingredient.name in LIQUIDS)
        else reading
        for reading in readings
    ]


def _sentences(steps: Sequence[str], reader: Reader) -> Iterator[tuple[int, str, str]]:
    """Line, sentence and heading of each sentence of the method."""
    for line, plain, heading in reader.method:
        for sentence in split_sentences(plain):
            yield line, sentence, heading
    heading = ""
    for step in steps:
        plain = text.clean(step)
        title = sections.title_in(plain) if len(plain) < 60 else None
        if title and title.part and title.exact:
            heading = plain
            continue
        for sentence in split_sentences(plain):
            yield 0, sentence, heading


def sentences_of(steps: Sequence[str], reader: Reader) -> Iterator[str]:
    """The sentences of the method, those among the lines first."""
    for _, sentence, _ in _sentences(steps, reader):
        yield sentence


def sentences_with_lines(steps: Sequence[str], reader: Reader) -> Iterator[tuple[int, str]]:
    """The sentences of the method with their lines; 0 for those that are not among the lines."""
    for line, sentence, _ in _sentences(steps, reader):
        yield line, sentence


def _sentences_on_the_scald(steps: Sequence[str], reader: Reader) -> Iterator[Found]:
    """The sentences that may say what goes into the scald, the likeliest first."""
    candidates: list[tuple[int, Found]] = []
    last: Found | None = None
    for line, sentence, heading in _not_piped(islice(_sentences(steps, reader), MOST_SENTENCES)):
        if reader.tokens_left < 0:
            break
        is_named = names_scald(sentence) or bool(heading and names_scald(heading.lower()))
        cooked = is_cooked(sentence)
        hot = cooked or is_hot(sentence)
        if not is_named and not hot and last is None:
            continue
        named, other = named_in(sentence, reader)
        has_flour = any(each.ingredient.is_flour for each in named)
        has_liquid = any(each.ingredient.name in LIQUIDS for each in named)
        if other:
            last = None
            continue
        is_parted = any(each.ingredient.is_flour and each.mass for each in named)
        if has_flour and has_liquid and (is_named or cooked or hot and is_parted):
            likeness = 0 if is_named and cooked else 1 if is_named or cooked else 2
            candidates.append((likeness, Found(line, sentence, named, likeness == 2)))
            last = None
        elif last and (has_flour or has_liquid):
            both = Found(last.line, f"{last.text} {sentence}", [*last.named, *named])
            if any(each.ingredient.is_flour for each in both.named) and any(
                each.ingredient.name in LIQUIDS for each in both.named
            ):
                candidates.append((1, both))
            last = None
        elif is_named and (has_flour or has_liquid or not named):
            last = Found(line, sentence, named)
        elif named:
            last = None
    candidates.sort(key=lambda candidate: candidate[0])
    return iter([found for _, found in candidates])


def _not_piped(sentences: Iterable[tuple[int, str, str]]) -> Iterator[tuple[int, str, str]]:
    """Sentences of a method without those on a paste that is piped on top: ``Pipe crosses on the buns``."""
    kept = list(sentences)
    piped = [is_piped(sentence) for _, sentence, _ in kept]
    for each, here, next_one in zip(kept, piped, [*piped[1:], False], strict=False):
        if not here and not next_one:
            yield each


def _steps_in_a_row(steps: Sequence[str], reader: Reader) -> Iterator[Found]:
    """What several steps put into the scald together, the amounts of its flour among them."""
    sentences = _not_piped(islice(_sentences(steps, reader), MOST_SENTENCES))
    for run in runs((line, sentence) for line, sentence, _ in sentences):
        if reader.tokens_left < 0:
            return
        named: list[Named] = []
        for _, sentence in run:
            more, other = named_in(sentence, reader)
            named = [] if other else [*named, *(each for each in more if not _is_among(each, named))]
        is_poured = any(is_boiling(sentence) for _, sentence in run)
        if any(each.ingredient.is_flour and (each.mass or is_poured) for each in named):
            yield Found(run[0][0], " ".join(sentence for _, sentence in run), named)


def _is_among(one: Named, others: Sequence[Named]) -> bool:
    """Whether a sentence names again what is named, without an amount of its own."""
    return one.mass is None and any(_alike(one.ingredient, other.ingredient) for other in others)


def _moved(readings: list[Reading], found: Found, reader: Reader) -> list[Reading] | None:
    """The readings with what a sentence names in the scald; None where that can't be."""
    flours = _flours(readings)
    named = with_halves(list(filter(is_dough, readings)), _with_added_parts(readings, found, reader))
    found = found._replace(named=named)
    all_flour = sum(reading.mass.best for at in flours if (reading := readings[at]).mass)
    if made_apart := _made_apart(readings, found):
        reader.has_scald = True
        return with_scald_apart(readings, made_apart, found.named)
    named_flours = [each for each in found.named if each.ingredient.is_flour]
    named_flour = next((each for each in named_flours if each.mass), next(iter(named_flours), None))
    changed: dict[int, list[Reading]] = {}
    most_liquid = MOST_LIQUID_NAMED if _is_certain(found) else MOST_LIQUID
    at = _place_of_flour(readings, flours, named_flour, all_flour, found.named) if named_flour else None
    if named_flour is None or at is None:
        return None
    flour = readings[at]
    portion = named_flour.mass
    flour_g = portion.best if portion else flour.mass.best if flour.mass else 0.0
    if not 0 < flour_g <= MOST_SHARE * all_flour:
        return None
    changed[at] = _into_scald(flour, portion, reader)
    added: list[Reading] = []
    liquid_g = 0.0
    for each in found.named:
        if each.ingredient.is_flour:
            continue
        place = _place_of(readings, each, at, changed, most_liquid * flour_g)
        if place is not None:
            changed[place] = _into_scald(readings[place], each.mass, reader)
            mass = changed[place][0].mass
        elif each.mass is not None and each.ingredient.name in LIQUIDS and not found.only_hot:
            added.append(of_sentence(found, each))
            mass = each.mass
        else:
            continue
        liquid_g += mass.best if mass and each.ingredient.name in LIQUIDS else 0.0
    if not LEAST_LIQUID * flour_g <= liquid_g <= most_liquid * flour_g:
        return None
    reader.has_scald = True
    for place in flours if named_flour.mass is None else ():
        changed.setdefault(place, [_rival(readings[place], flour_g)])
    return [new for at, reading in enumerate(readings) for new in changed.get(at, [reading])] + added


def _is_certain(found: Found) -> bool:
    """Whether a sentence names the scald, or heats amounts that it says."""
    return names_scald(found.text.lower()) or is_heated(found.text) and all(each.mass for each in found.named)


def _with_added_parts(readings: Sequence[Reading], found: Found, reader: Reader) -> list[Named]:
    if not is_heated(found.text):
        return found.named
    return with_added_parts(list(filter(is_dough, readings)), found.named, reader)


def _flours(readings: Sequence[Reading]) -> list[int]:
    """The places of the flours of the dough."""
    return [
        at
        for at, reading in enumerate(readings)
        if is_dough(reading) and reading.ingredient and reading.ingredient.is_flour
    ]


def _rival(flour: Reading, flour_g: float) -> Reading:
    """A line of flour that a sentence does not name, in doubt where it's about as much as the scald's."""
    if not flour.mass or flour.mass.best > RIVAL * flour_g:
        return flour
    return flour._replace(section_doubts=(*flour.section_doubts, Doubt.of(LIKELY, "may_be_of_scald")))


def _made_apart(readings: Sequence[Reading], found: Found) -> list[Reading]:
    """The scald of a sentence that names its amounts, where the list has it by weight: ``90 g tangzhong``.

    None of it is in the list, so nothing is taken from there.
    """
    used_g = [
        reading.mass.best
        for reading in readings
        if reading.part == SCALD and reading.ingredient is None and reading.mass
    ]
    of_one_line = _is_on_the_line_of_the_list(readings, found) or is_besides(readings, found.named)
    if not all(each.mass for each in found.named) or len(used_g) != 1 and not of_one_line:
        return []
    flour_g, liquid_g = (
        sum(each.mass.best for each in found.named if each.mass and each.ingredient.is_flour is is_flour)
        for is_flour in (True, False)
    )
    fits = LEAST_LIQUID * flour_g <= liquid_g <= MOST_LIQUID * flour_g
    if not flour_g or not fits or used_g and used_g[0] > (flour_g + liquid_g) * (1 + SAME_WITHIN):
        return []
    return [of_sentence(found, each) for each in found.named]


def _is_on_the_line_of_the_list(readings: Sequence[Reading], found: Found) -> bool:
    """Whether the list is behind the sentence: ``湯種は強力粉50g…。本ごねは強力粉200g、…``."""
    flours = [reading for reading in readings if reading.ingredient and reading.ingredient.is_flour]
    return bool(flours and found.line) and all(reading.line == found.line for reading in flours)


def _place_of_flour(
    readings: Sequence[Reading],
    flours: Sequence[int],
    named: Named,
    all_flour: float,
    others: Sequence[Named],
) -> int | None:
    """Which line of flour a sentence means: of that mass, the large one it is a part of, or the least.

    Parameters
        readings : Sequence[Reading]
        flours : Sequence[int]  their places
        named : Named  the flour of the sentence
        all_flour : float  [g]
        others : Sequence[Named]  all that the sentence names; of several flours the one beside them counts
    Returns
        int  None where it means none
    """
    masses = {at: mass.best for at in flours if (mass := readings[at].mass)}
    if named.mass:
        own = [at for at in masses if readings[at].ingredient is named.ingredient]
        same = [at for at in (*own, *masses) if _is_same(masses[at], named.mass)]
        larger = [at for at, mass in masses.items() if mass > named.mass.best]
        if named.ingredient.name != BARE_FLOUR:
            larger = [at for at in larger if at in own] or larger
        return same[0] if same else max(larger, key=masses.__getitem__) if larger else None
    if len(masses) < 2:
        return None
    small = [at for at, mass in masses.items() if mass <= MOST_SHARE * all_flour]
    beside = [at for at in small if _is_beside(readings, at, masses[at], others)]
    return min(beside or small, key=masses.__getitem__, default=None)


def _is_same(mass_g: float, said: Estimate) -> bool:
    """Whether a line's mass is what a sentence says: nearly, or about as much where that is in cups."""
    within = SAME_WITHIN if said.low == said.high else SAME_MEASURE_WITHIN
    return abs(mass_g - said.best) <= within * mass_g


def _is_beside(readings: Sequence[Reading], at: int, flour_g: float, others: Sequence[Named]) -> bool:
    """Whether the liquids that a sentence names are listed next to a flour, as much as a scald of it has."""
    liquids = [each.ingredient for each in others if each.ingredient.name in LIQUIDS]
    for place in (at - 2, at - 1, at + 1, at + 2):
        reading = readings[place] if 0 <= place < len(readings) else None
        if reading is None or not reading.mass or not reading.ingredient or not is_dough(reading):
            continue
        fits = LEAST_LIQUID * flour_g <= reading.mass.best <= MOST_LIQUID * flour_g
        if fits and any(_alike(reading.ingredient, liquid) for liquid in liquids):
            return True
    return False


def _place_of(
    readings: Sequence[Reading], named: Named, flour_at: int, taken: dict[int, list[Reading]], most_g: float
) -> int | None:
    """Which line a sentence means: the one of that mass, or of several the nearest to the flour.

    Parameters
        readings : Sequence[Reading]
        named : Named  of the sentence
        flour_at : int  the place of the flour
        taken : dict[int, list[Reading]]  what is in the scald by now, by place
        most_g : float  of a liquid of a scald
    Returns
        int  None where it means none
    """
    places = [
        at
        for at, reading in enumerate(readings)
        if at not in taken
        and is_dough(reading)
        and reading.ingredient
        and _alike(reading.ingredient, named.ingredient)
    ]
    if named.mass:
        best = named.mass.best
        same = [at for at in places if (mass := readings[at].mass) and _is_same(mass.best, named.mass)]
        larger = {at: mass.best for at in places if (mass := readings[at].mass) and mass.best > best}
        return same[0] if same else max(larger, key=larger.__getitem__, default=None)
    fitting = [
        at
        for at in places
        if (mass := readings[at].mass) and (mass.best <= most_g or named.ingredient.name not in LIQUIDS)
    ]
    return min(fitting, key=lambda at: (abs(at - flour_at), at), default=None)


def _alike(one: Ingredient, other: Ingredient) -> bool:
    milks = ("whole_milk", "semi_skimmed_milk", "skim_milk")
    return one is other or one.name in milks and other.name in milks


def _into_scald(reading: Reading, portion: Estimate | None, reader: Reader) -> list[Reading]:
    """A line in the scald: all of it, or the portion that a sentence names."""
    if portion and reading.mass and portion.best < reading.mass.best * (1 - SAME_WITHIN):
        return in_two(reading, portion, BY_METHOD, reader)
    return [reading._replace(part=SCALD, section_doubts=(Doubt.of(LIKELY, BY_METHOD),))]


def of_sentence(found: Found, named: Named) -> Reading:
    """An ingredient that only the method names."""
    return Reading(
        max(1, found.line),
        text.printable(found.text, text.MOST_CHARACTERS),
        ingredient=named.ingredient,
        mass=named.mass,
        part=SCALD,
        read_as=named.ingredient.label,
        section_doubts=(Doubt.of(LIKELY, "only_in_method"),),
        expression=f"{named.mass.best:.6g} g as the method says" if named.mass else "",
    )
