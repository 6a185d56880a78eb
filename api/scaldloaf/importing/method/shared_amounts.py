"""One amount of the list that the method shares out: some of it in the dough, some in a filling or on top."""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice, pairwise

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.method.crust_sentences import fills, kneads, washes
from scaldloaf.importing.method.said_amounts import IN_STEPS, Named, all_named_in
from scaldloaf.importing.quantities.readings import STEP, Reader, Reading, in_part
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt
from scaldloaf.importing.words.vocabulary import (
    COUNT,
    PIECE,
    REMAINING,
    is_spaceless,
    plain_words,
)

LEAST_SHARE, MOST_SHARE = 0.02, 0.98  # of the amount, that is not in the dough
SAME_WITHIN = 0.03
LEAST_UNSAID, MOST_UNSAID = 0.1, 0.6  # where no step says how much of it is mixed in
_WEIGHED_OUT = frozenset(("sucrose", "brown_sugar", "butter", "salted_butter", "margarine", "whole_egg"))
_PARTED = ("part_not_dough", "rest_not_dough")
_ONE_BY_ONE = re.compile(  # 1 egg at a time
    r"(?i)at a time|one by one|nach dem anderen|alla volta|à la fois|un par un|a la vez|ずつ|逐"
)
MOST_REST_WORDS = 5  # the rest of the melted butter
_FRACTION = re.compile(r"[½⅓⅔¼¾]|\b[1-3]/[2-4]\b|%|\b(?:half|halb|hälfte|metà|moitié|mitad)", re.IGNORECASE)
_REST_OF_ALL = re.compile(  # die restlichen Zutaten: of all lines
    r"(?i)\b(?:rest|restlich|übrig|remain|other|altri|autres|demás|resto|tutti|alle|all|tous|todos)\w*\W+"
    r"(?:\w+\W+){0,3}(?:zutaten|teigzutaten|ingredient)"
)
_PARTS_OF_EGG = frozenset(("egg_yolk", "egg_white"))
_EGG, _EGG_IN_HAN = "whole_egg", re.compile("[卵蛋]")
_FLOUR = re.compile(r"(?i)\bmehl(?:gemisch|mischung)")
_EGGS = frozenset((_EGG, *_PARTS_OF_EGG))
_SPLIT = Doubt.of(UNSURE, "part_not_dough")
_BRUSHED = Doubt.of(LIKELY, "brushed_on_too")
_KINDS = (*IN_STEPS, COUNT, PIECE)
_LEFT = REMAINING - {"resto", "reste", "rest"}  # beside a name, not before it
_LEFT_SPACELESS = tuple(filter(is_spaceless, REMAINING))
MOST_NAME_CHARACTERS = 6  # behind “the rest of”, in scripts without spaces
_SHARED = frozenset(
    ("sucrose", "brown_sugar", "butter", "salted_butter", "margarine", "whole_milk", "semi_skimmed_milk")
    + ("cream", "whole_egg", "egg_yolk", "honey", "oil")
)


def with_shares(readings: list[Reading], sentences: Sequence[str], reader: Reader) -> list[Reading]:
    """The readings, those that the method shares out with what is left for the dough; never for sure.

    Parameters
        readings : list[Reading]
        sentences : Sequence[str]  of the method
        reader : Reader  what the recipe's lines share
    Returns
        list[Reading]
    """
    places = _lone_places(readings)
    if not places:
        return readings
    outside = [each for each in sentences if washes(each) or fills(each)]
    taken = {name: grams for name, grams in _said_in(outside, reader).items() if name in places}
    taken |= {name: 0.0 for name in _left_over_in(outside, reader) if name in places}
    taken |= {name: 0.0 for name, at in places.items() if name not in taken and _is_split(readings[at])}
    if _EGG in places and _EGG not in taken and _brush_with_egg(readings, outside, reader):
        taken[_EGG] = 0.0
    inside = [each for each in sentences if each not in outside and not _ONE_BY_ONE.search(each)]
    has_more = bool(outside) or any(each.ingredient and each.part != DOUGH for each in readings)
    if not taken:
        return _with_what_is_kneaded(readings, places, inside, reader, has_more=has_more)
    mixed = _said_in(inside, reader)
    if taken.get(_EGG) == 0:
        in_words = _said_in(inside, reader, in_words=True)  # add one egg
        mixed = {name: grams for name, grams in in_words.items() if name in _EGGS} | mixed
    if taken.get(_EGG) == 0 and not _PARTS_OF_EGG.isdisjoint(mixed):
        del taken[_EGG]  # one whole egg and the yolk of the other
    others = {name: at for name, at in places.items() if name not in taken}
    found = list(_with_what_is_kneaded(readings, others, inside, reader, has_more=has_more))
    for name, grams in taken.items():
        found[places[name]] = _shared(readings[places[name]], grams, mixed.get(name, 0.0))
    if taken.get(_EGG) == 0 and found[places[_EGG]] is readings[places[_EGG]]:
        found[places[_EGG]] = _perhaps_brushed(readings, places[_EGG], reader)
    return found


def _with_what_is_kneaded(
    readings: list[Reading],
    places: dict[str, int],
    inside: Sequence[str],
    reader: Reader,
    *,
    has_more: bool,
) -> list[Reading]:
    """The readings; of a line of which the flour gets only a part, and no step the rest, that part; unsure.

    ``Mehl, 100 g Butter und 1 Ei verkneten`` of 150 g and of two eggs, and ``⅔ Zucker``; a number only where
    there is more than the dough.
    """
    places = {name: at for name, at in places.items() if name in _WEIGHED_OUT}
    if not places or any(map(_REST_OF_ALL.search, inside)):
        return readings
    kneaded: dict[str, float] = {}
    with_flour: set[str] = set()
    in_shares: set[str] = set()
    left_open = {name for each in inside for name in _rest_in(each, reader)}
    left_open.update(_left_over_in(inside, reader))
    for sentence in inside:
        if reader.tokens_left < 0:
            return readings
        named = all_named_in(sentence, reader, _KINDS)
        flour = any(each.ingredient.is_flour for each in named) or kneads(sentence)
        yeast = any(each.ingredient.yeast for each in named)
        if any(each.ingredient.name in _PARTS_OF_EGG for each in named):
            left_open.add(_EGG)
        shares = _shares_in(sentence, reader)
        in_shares |= shares.keys()
        for name in {each.ingredient.name for each in named} & places.keys():
            grams = sum(each.mass.best for each in named if each.mass and each.ingredient.name == name)
            grams = shares[name] * readings[places[name]].grams if name in shares else grams
            kneaded[name] = kneaded.get(name, 0.0) + grams * (flour or yeast)
            with_flour |= {name} if grams and flour else set()
            is_open = not grams and (flour or not yeast) or _is_named_again(sentence, name, named, reader)
            left_open |= {name} if is_open else set()
    found = with_flour - left_open if has_more else with_flour & in_shares - left_open
    return _with_parts(readings, {places[name]: kneaded[name] for name in found})


def with_parted_eggs(readings: list[Reading], sentences: Sequence[str], reader: Reader) -> list[Reading]:
    """The readings, the eggs unsure where the flour gets fewer, and elsewhere only parts of eggs are used.

    ``1 Ei zum Mehl geben … Übriges Ei trennen. Eiweiß und Nüsse vermengen`` of two eggs.
    """
    at = _lone_places(readings).get(_EGG, -1)
    if at < 0 or any(doubt.code in _PARTED for doubt in readings[at].doubts):
        return readings
    kneaded, is_parted = 0.0, False
    for sentence in sentences:
        if reader.tokens_left < 0:
            return readings
        named = all_named_in(sentence, reader, _KINDS)
        if kneads(sentence) or _FLOUR.search(sentence) or any(each.ingredient.is_flour for each in named):
            kneaded += sum(each.mass.best for each in named if each.mass and each.ingredient.name == _EGG)
            is_whole = any(each.ingredient.name == _EGG and not each.mass for each in named)
            if is_whole or any(each.ingredient.name in _PARTS_OF_EGG for each in named):
                return readings
        elif any(each.ingredient.name in _PARTS_OF_EGG for each in named):
            is_parted = True
    if not is_parted or not 0 < kneaded < (1 - LEAST_UNSAID) * readings[at].grams:
        return readings
    found = list(readings)
    found[at] = readings[at]._replace(doubts=(*readings[at].doubts, _SPLIT))
    return found


def _is_named_again(sentence: str, name: str, named: Sequence[Named], reader: Reader) -> bool:
    """Whether a sentence names something more often than it weighs it: ``50 g Butter, dann die Butter``."""
    found = [match.ingredient for match, _ in reader.names.all_in(plain_words(sentence)) if match.ingredient]
    return sum(each.name == name for each in found) > sum(each.ingredient.name == name for each in named)


def _with_parts(readings: list[Reading], kneaded: dict[int, float]) -> list[Reading]:
    """The readings, those lines of which far less is kneaded in with so much; never for sure."""
    found = list(readings)
    for at, grams in kneaded.items():
        whole = readings[at].grams
        if LEAST_UNSAID * whole < whole - grams < (1 - LEAST_UNSAID) * whole:
            found[at] = in_part(readings[at], grams / whole, Doubt.of(UNSURE, "part_not_dough"))
    return found


def _rest_in(sentence: str, reader: Reader) -> Iterator[str]:
    """The ingredients of which a sentence names the rest, each the first name behind such a word."""
    words = plain_words(sentence)
    for at, word in enumerate(words):
        if word in REMAINING:
            for match, _ in islice(reader.names.all_in(words[at + 1 : at + 1 + MOST_REST_WORDS]), 1):
                if match.ingredient:
                    yield match.ingredient.name


def _shares_in(sentence: str, reader: Reader) -> dict[str, float]:
    """What share of their lines a sentence takes of some ingredients, those of eggs apart: ``⅔ Zucker``."""
    if not _FRACTION.search(sentence):
        return {}
    named = all_named_in(sentence, reader)
    return {
        each.ingredient.name: each.share
        for each in named
        if each.share and each.mass is None and each.ingredient.name not in _EGGS
    }


def _perhaps_brushed(readings: Sequence[Reading], at: int, reader: Reader) -> Reading:
    """The only line of eggs, where the method brushes egg on and does not say how much it mixes in.

    As it was where eggs are weighed, or its own words or another line say what is brushed on.
    """
    reading = readings[at]
    is_weighed = reading.mass is None or reading.mass.low == reading.mass.high
    if is_weighed or _says_aside(reading.text):
        return reading
    others = [each for each in readings if each.line != reading.line and each.kind != STEP]
    if any(each.ingredient and each.ingredient.name in _EGGS and each.part != DOUGH for each in others):
        return reading
    if _names_egg([each.text for each in others if _says_aside(each.text)], reader):
        return reading
    return reading._replace(doubts=(*reading.doubts, _BRUSHED))


def _names_egg(texts: Iterable[str], reader: Reader) -> bool:
    return any(
        _EGG_IN_HAN.search(said) or any(each.ingredient.name == _EGG for each in all_named_in(said, reader))
        for said in texts
    )


def _lone_places(readings: Sequence[Reading]) -> dict[str, int]:
    """Where each ingredient is that may be shared out and that the dough has once: by its name."""
    places: dict[str, int] = {}
    again: set[str] = set()
    for at, each in enumerate(readings):
        if not each.ingredient or each.ingredient.name not in _SHARED:
            continue
        name = each.ingredient.name
        if name in places or not (each.in_formula and each.part == DOUGH and each.mass):
            again.add(name)
        elif _is_split(each) or not any(doubt.code in _PARTED for doubt in each.doubts):
            places[name] = at
    return {name: at for name, at in places.items() if name not in again}


def _is_split(reading: Reading) -> bool:
    """Whether a line only says that its amount is shared out: ``100 g (80 + 20)``."""
    return _SPLIT in reading.doubts


def _brush_with_egg(readings: Sequence[Reading], outside: Sequence[str], reader: Reader) -> bool:
    """Whether a sentence, or a line beside its own amount, speaks of egg on the crust: ``egg wash``."""
    beside = [each.text for each in readings if _says_aside(each.text)]
    return _names_egg((*outside, *beside), reader)


def _says_aside(line: str) -> bool:
    """Whether a line, or what of it is in Latin letters, says what is done outside the dough."""
    latin = line.encode("ascii", "ignore").decode()
    return any(sections.ASIDE_WORDS.found_in(sections.framed(said)) for said in (line, latin))


def _said_in(sentences: Sequence[str], reader: Reader, in_words: bool = False) -> dict[str, float]:
    """The grams of each ingredient that sentences name with an amount, in figures or only in words."""
    said: dict[str, float] = {}
    for sentence in sentences:
        if reader.tokens_left < 0 or any(map(str.isdigit, sentence)) is in_words:
            continue
        for each in all_named_in(sentence, reader, _KINDS):
            if each.mass:
                said[each.ingredient.name] = said.get(each.ingredient.name, 0.0) + each.mass.best
    return said


def _left_over_in(sentences: Sequence[str], reader: Reader) -> list[str]:
    """The ingredients of which sentences name what is left: ``le reste du sucre``, ``el huevo restante``."""
    found: list[str] = []
    for sentence in sentences:
        if is_spaceless(sentence):
            found += _left_over_spaceless(sentence, reader)
            continue
        words = plain_words(sentence)
        if REMAINING.isdisjoint(words):
            continue
        behind = {before for before, word in pairwise(words) if word in _LEFT}
        for match, before in reader.names.all_in(words):
            said = before[1:] if len(before) > 1 and before[0] in _LEFT else before  # … restante y azúcar
            if match.ingredient and (match.words[-1] in behind or not REMAINING.isdisjoint(said)):
                found.append(match.ingredient.name)
    return found


def _left_over_spaceless(sentence: str, reader: Reader) -> list[str]:
    """The same where words have no spaces: ``残りのバター``, ``剩下的黄油``."""
    found: list[str] = []
    for left in _LEFT_SPACELESS:
        behind = sentence.partition(left)[2].lstrip("のはを的 ")[:MOST_NAME_CHARACTERS]
        found += [each.ingredient.name for each in all_named_in(behind, reader)[:1]]
    return found


def _shared(reading: Reading, taken: float, mixed: float) -> Reading:
    """A line without what is taken of it; 0: what is left of what is mixed in."""
    whole = reading.grams
    is_said = LEAST_SHARE * whole < whole - mixed < MOST_SHARE * whole and mixed > 0
    left = mixed if is_said else whole - taken
    if not LEAST_SHARE * whole < whole - left < MOST_SHARE * whole or not taken and not is_said:
        return reading
    if not is_said and (_is_thinner(reading) or not LEAST_UNSAID * whole <= taken <= MOST_UNSAID * whole):
        return reading
    fits = is_said and (not taken or abs(mixed + taken - whole) <= SAME_WITHIN * whole)
    if is_said and not fits or mixed > MOST_SHARE * whole:
        return reading  # what is taken is of no line of the list
    doubt = Doubt.of(LIKELY if fits else UNSURE, "part_not_dough")
    kept = tuple(each for each in reading.doubts if each != _SPLIT)
    return in_part(reading._replace(doubts=kept), left / whole, doubt)


def _is_thinner(reading: Reading) -> bool:
    """Whether a little of it may come to a wash without being in the list: milk, honey, oil."""
    return reading.ingredient is None or reading.ingredient.name not in _WEIGHED_OUT
