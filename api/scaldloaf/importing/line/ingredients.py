"""One ingredient of a line: its name, its measures, its part, and every doubt about them."""

from collections.abc import Sequence
from itertools import pairwise

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.line.item_words import joined_words, mass_in, phrases_of, without_units
from scaldloaf.importing.line.measures_of_one import fat_inside, measures_of
from scaldloaf.importing.line.named_items import as_sold, beside_scald, is_the_scald, name_of, with_first_size
from scaldloaf.importing.line.scald_parts import beside_whole, in_two, is_more, part_for_scald
from scaldloaf.importing.line.sponges import is_sponge
from scaldloaf.importing.line.starters import starter_named, starter_of
from scaldloaf.importing.line.trims import of_a_filling, said_outside, trimmed
from scaldloaf.importing.line.unmeasured import is_amount
from scaldloaf.importing.quantities.masses import (
    CUBED_YEAST,
    EGGS,
    Choices,
    agreement,
    best_measure,
    weigh,
)
from scaldloaf.importing.quantities.measures import (
    Group,
    Item,
    Measure,
    bare_words,
    unit_of_word,
    without_parentheses,
)
from scaldloaf.importing.quantities.readings import Reader, Reading, Starter, unread
from scaldloaf.importing.quantities.shells import without_shell
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.doubt import (
    LIKELY,
    NOT_KNOWN,
    NOT_READ,
    PREFERMENT,
    SCALD_NOT_LISTED,
    SOURDOUGH,
    UNSURE,
    Doubt,
    Fault,
)
from scaldloaf.importing.words.grades import FAT_CODES, by_fat
from scaldloaf.importing.words.lexicon import NAMES
from scaldloaf.importing.words.names import Named, Names
from scaldloaf.importing.words.vocabulary import (
    ADD,
    CHOOSE,
    COUNT,
    CUBE,
    EGG_SIZES,
    FILLINGS,
    HALF,
    INSTEAD,
    OUTSIDE,
    PACKET,
    PERCENT,
    STEPS,
    STICK,
    TOOLS,
    name_words,
    plain_word,
)
from scaldloaf.reference import Ingredient

_INSTEAD = CHOOSE | INSTEAD
_COMMAS = frozenset((",", "、"))
_VERY = frozenset(("extra", "very", "sehr", "très"))  # before a size of eggs
MOST_LEAD_WORDS = 6  # before the amount of an ingredient that is named behind it
LEAST_SAID = 2  # items of an ingredient: its amount and its name
MOST_WORDS_INSIDE = 8  # of parentheses that may say where the line goes; longer ones tell a story
MANY_EGGS = 15  # a number of eggs that may be grams: 全卵 30
LEAST_STARTER = 3.0  # times the yeast that would do instead; a dried starter is used as yeast is


def _without_lead(items: list[Item], names: Names) -> tuple[list[Item], tuple[Doubt, ...]]:
    """Without the words before an amount that name nothing, where the name is behind it: ``Add 5 g salt``."""
    at = next((at for at, item in enumerate(items) if is_amount(items, at)), 0)
    lead = [item for item in items[:at] if type(item) is str]
    if not lead or len(lead) > MOST_LEAD_WORDS or not INSTEAD.isdisjoint(lead):
        return items, ()
    named = names.named_as_spelt(tuple(lead))
    if named.words or named.alternatives:
        return items, ()
    behind = [phrase for phrase in phrases_of(without_units(items[at:])) if phrase]
    if not behind or not names.named_as_spelt(behind[0]).ingredient:
        return items, ()
    kept = [item for item in items[:at] if type(item) is not str]
    if all(plain_word(word) in STEPS or names.is_harmless(word) for word in lead):
        return [*kept, *items[at:]], ()
    label = names.named_as_spelt(behind[0]).ingredient
    doubt = Doubt.of(UNSURE, "unknown_words", words=f"“{' '.join(lead)}”", name=label.label if label else "")
    return [*kept, *items[at:]], (doubt,)


def read_ingredients(items: list[Item], blank: Reading, reader: Reader, faults: list[Fault]) -> list[Reading]:
    """The reading of one ingredient; two where a part of it is for the scald: ``500 g (25 g for the scald)``.

    Parameters
        items : list[Item]  of that ingredient
        blank : Reading  of the line, without what is read here
        reader : Reader  what the recipe's lines share
        faults : list[str]  numbers of the line that can't be read, and why
    Returns
        list[Reading]
    """
    items = with_first_size(items)
    for at, item in enumerate(items):
        if not isinstance(item, Group) or not sections.SCALD_WORDS.found_in(joined_words([item])):
            continue
        part = part_for_scald(item)
        if part is None:
            continue
        whole = read_ingredient([*items[:at], *items[at + 1 :]], blank, reader, faults)
        if whole.ingredient and whole.mass and whole.part == DOUGH:
            portion = weigh(part, whole.ingredient, reader.choices).mass
            if portion and is_more(item):
                return beside_whole(whole, portion, reader)
            if portion and portion.best < whole.mass.best:
                reader.scald_in_lines = reader.scald_in_lines or not reader.has_scald
                return in_two(whole, portion, "part_for_scald", reader)
    first = read_ingredient(items, blank, reader, faults)
    unknown = [each for each in first.doubts if each.code in NOT_KNOWN]
    if first.ingredient is None and first.part == DOUGH and unknown:
        return [_instead_of(first, items, blank, reader) or first]
    return [first]


def _instead_of(first: Reading, items: Sequence[Item], blank: Reading, reader: Reader) -> Reading | None:
    """What would do instead of something unknown: ``150 g lievito madre (oppure 15 g di lievito)``."""
    other: Sequence[Item] = ()
    last = len(items) - 1
    for at, item in enumerate(items):
        if type(item) is str and item in CHOOSE and (is_amount(items, at + 1) or is_amount(items, last)):
            other = items[at + 1 :]
        elif isinstance(item, Group) and any(each in INSTEAD or each in CHOOSE for each in item.items):
            inside = without_parentheses(item)
            start = next((place for place in range(len(inside)) if is_amount(inside, place)), len(inside))
            is_last = start == len(inside) - 1  # (oppure lievito 10 g)
            other = [each for each in inside if each not in _INSTEAD] if is_last else inside[start:]
        if other:
            break
    if not other:
        return None
    found = read_ingredient(list(other), blank, reader, [])
    if found.ingredient is None or found.mass is None or found.part != DOUGH:
        return None
    unknown = next(each for each in first.doubts if each.code in NOT_KNOWN)
    words = str(dict(unknown.values).get("words", ""))
    doubts = (*found.doubts, Doubt.of(UNSURE, "would_do", names=words))
    return found._replace(starter=_starter_before(first, found), doubts=doubts)


def _starter_before(first: Reading, found: Reading) -> Starter | None:
    """The starter that a line names before the yeast that would do instead; None for a dried one."""
    if first.starter is None or not (found.ingredient and found.ingredient.yeast):
        return None
    return first.starter if first.starter.mass.best >= LEAST_STARTER * found.grams else None


def read_ingredient(items: list[Item], blank: Reading, reader: Reader, faults: list[Fault]) -> Reading:
    """One ingredient with its measures and every doubt about them.

    Parameters
        items : list[Item]  of that ingredient
        blank : Reading  of the line, without what is read here
        reader : Reader  what the recipe's lines share
        faults : list[str]  numbers of the line that can't be read, and why
    Returns
        Reading
    """
    whole = items
    items, apportioned = trimmed(items, reader)
    plain, near = joined_words(items), joined_words(items, MOST_WORDS_INSIDE)
    said = near if len(items) == len(whole) else joined_words(whole, MOST_WORDS_INSIDE)
    measures, percents = measures_of(items)
    items, led = _without_lead(items, reader.names)
    blank = blank._replace(doubts=(*blank.doubts, *apportioned, *led))
    if any(measure.kind == CUBE for measure in measures):
        named = name_of(items, reader.names.choosing(yeast=CUBED_YEAST))
    else:
        named = name_of(items, reader.names, reader.proper)
        packets = [each for each in items if isinstance(each, Measure) and each.kind == PACKET]
        named = as_sold(named, [*packets, *measures], reader.marks.lexicon.language)
    named = _by_fat(named, items) if measures and not reader.are_in_percent else named
    scald = _outside_the_name(sections.SCALD_WORDS, plain, named)
    outside = (
        _outside_the_name(sections.ASIDE_WORDS, near, named) or of_a_filling(items) or said_outside(items)
    )
    if scald and named.ingredient is None:
        named = beside_scald(items, scald, reader.names) or named
    if scald and not outside and (named.ingredient is None or is_the_scald(items, scald, reader.names)):
        return _scald_named(blank, plain, scald, measures)._replace(
            percent=percents[0].quantity if percents and not measures else None
        )
    blank = _placed(blank, outside is not None, scald if named.ingredient else None, reader)
    is_in_doubt = outside is not None and (name_words(outside) in NAMES or _is_one_use(items, outside))
    if is_in_doubt and measures and reader.part == DOUGH:
        blank = blank._replace(section_doubts=(Doubt.of(LIKELY, "filling"),))  # pearl sugar
    if named.ingredient is None:
        named = starter_named(named, items, reader.names)
        starter = starter_of(named, items, blank.text, reader.choices)
        return _not_named(blank, named, items, measures, faults)._replace(starter=starter)
    base = blank._replace(
        ingredient=named.ingredient,
        alternatives=named.alternatives,
        doubts=blank.doubts + named.doubts,
        read_as=named.ingredient.label,
    )
    first = plain.split()[: len(named.words) + LEAST_SAID]  # what is added is another thing
    is_one = len(whole) > LEAST_SAID and bool(measures or percents) and ADD.isdisjoint(first)
    if is_one and sections.OPTIONAL.found_in(said):
        base = base._replace(doubts=(*base.doubts, Doubt.of(LIKELY, "optional")))
    measures = _in_packets(items, measures, named.ingredient)
    if not measures and percents:
        percent, words = percents[0].quantity, f"{percents[0].words()} {base.read_as}"
        return base._replace(percent=percent, read_as=words, doubts=base.doubts + percent.doubts)
    if not measures:
        return _without_amount(base, named.ingredient.label, plain, faults)
    size = next(filter(None, map(EGG_SIZES.get, plain.split())), "")
    if size == "large" and any(f" {very} large " in plain for very in _VERY):
        size = "extra_large"
    weighed = _with_mass(base, named.ingredient, measures, reader.choices, size, faults)
    return without_shell(weighed, plain) if named.ingredient.name in EGGS else weighed


def _is_one_use(items: Sequence[Item], outside: str) -> bool:
    """Whether parentheses say besides what else the ingredient is for: ``植物油 5g（防粘、增加光泽）``."""
    said = (
        [each for each in item.items if isinstance(each, str)] for item in items if isinstance(item, Group)
    )
    return any(not _COMMAS.isdisjoint(words) and outside in "".join(words) for words in said)


def _not_named(
    blank: Reading, named: Named, items: list[Item], measures: list[Measure], faults: list[Fault]
) -> Reading:
    """A line that names no ingredient of ours.

    Parameters
        blank : Reading  of the line, in its part
        named : Named  what the line names, with the reasons
        items : list[Item]
        measures : list[Measure]  among the items
        faults : list[Fault]  numbers of the line that can't be read, and why
    Returns
        Reading
    """
    if is_sponge(bare_words(items)):
        return _sponge_named(blank, items, named)
    blank = _beside(blank, named)
    no_numbers = tuple(Doubt(NOT_READ, *fault) for fault in faults)
    vague = None if measures else sections.VAGUE_WORDS.found_in(joined_words(items))
    if vague and not faults:
        no_numbers = (Doubt.of(NOT_READ, "vague_amount", words=vague),)
    return blank._replace(
        doubts=blank.doubts + named.doubts + no_numbers,
        alternatives=named.alternatives,
        weighed=None if named.words else mass_in(items),
        read_as=f"{measures[0].words()} something" if measures else "",
    )


def _by_fat(named: Named, items: Sequence[Item]) -> Named:
    """The kind that a percentage right behind the name of cream or milk tells: ``20 g nata 18%``.

    In parentheses that of cream says that it is of fat: a baker's percentage may stand there too.
    """
    is_open = named.ingredient and (named.ingredient.name == "cream" or named.alternatives)
    for before, item in pairwise(items) if is_open else ():
        if isinstance(item, Group):
            item = fat_inside(item, named.ingredient is not None and named.ingredient.name == "cream") or item
        if not named.ingredient or not isinstance(item, Measure) or type(before) is not str:
            continue
        kind = by_fat(named.ingredient, item.quantity.best) if item.kind == PERCENT else None
        if kind:
            doubts = tuple(doubt for doubt in named.doubts if doubt.code not in FAT_CODES)
            return named._replace(ingredient=kind, doubts=doubts, alternatives=())
    return named


def _outside_the_name(phrases: sections.Phrases, plain: str, named: Named) -> str | None:
    """The phrase that words hold; a part of a name says nothing: 打粉 in 泡打粉, roux in sucre roux."""
    found = phrases.found_in(plain)
    for word in named.words if found else ():
        if found and found in word and found != word:
            plain = plain.replace(word, " ")
            found = phrases.found_in(plain)
    words = name_words(found) if found and named.ingredient else ()
    if not words or words in NAMES:  # pearl sugar, of whatever kind
        return found
    places = range(1, len(named.words) + 1)
    goes_on = any((*named.words[:at], *words) in NAMES for at in places)  # sucre (blanc, roux)
    if goes_on or any(named.words[at : at + len(words)] == words for at in places):
        return phrases.found_in(plain.replace(f" {found} ", " "))
    return found


def _beside(blank: Reading, named: Named) -> Reading:
    """A line of something that is no ingredient of a dough: a filling, or a tool."""
    if blank.part == OUTSIDE:
        return blank
    if named.words in TOOLS:
        return blank._replace(part=OUTSIDE, section_doubts=())
    if named.words in FILLINGS:
        doubt = Doubt.of(LIKELY, "filling")
        return blank._replace(part=OUTSIDE, section_doubts=(doubt,))
    return blank


def _placed(blank: Reading, outside: bool, scald: str | None, reader: Reader) -> Reading:
    """The line in the part that its own words name: outside the dough, or the scald."""
    if outside:
        return blank._replace(part=OUTSIDE, section_doubts=())
    if not scald or blank.part != DOUGH:
        return blank
    if reader.section and reader.is_known and reader.has_scald and not reader.scald_in_lines:
        doubt = Doubt.of(LIKELY, "names_scald", scald=scald)
        return blank._replace(section_doubts=(doubt,))
    reader.scald_in_lines = reader.scald_in_lines or not reader.has_scald
    reader.has_scald = True
    return blank._replace(part=SCALD, section_doubts=())


def _in_packets(items: Sequence[Item], measures: list[Measure], ingredient: Ingredient) -> list[Measure]:
    """``1 instant yeast packet``: a bare number of what a word behind the name says."""
    if (
        len(measures) != 1
        or measures[0].kind != COUNT
        or not (ingredient.yeast or ingredient.fat_percent > 50)
    ):
        return measures
    for item in items:
        unit = unit_of_word(item)
        if unit and unit.kind in (PACKET, CUBE, STICK):
            return [measures[0]._replace(unit=unit)]
    return measures


def _sponge_named(blank: Reading, items: Sequence[Item], as_read: Named) -> Reading:
    """A sponge or old dough named among the ingredients, with its mass. Other lines may list it."""
    named = blank._replace(mass=mass_in(items), section_doubts=())
    code = SOURDOUGH if any(doubt.code == SOURDOUGH for doubt in as_read.doubts) else PREFERMENT
    return unread(named, code, words=f"“{' '.join(bare_words(items))}”")


def _scald_named(blank: Reading, plain: str, scald: str, measures: Sequence[Measure]) -> Reading:
    """The scald named among the ingredients, with the mass of it that is used. Later lines may list it."""
    mass = mass_in(measures)
    half = not HALF.isdisjoint(map(plain_word, plain.split()))
    return unread(blank._replace(part=SCALD, mass=mass, is_half=half), SCALD_NOT_LISTED, scald=scald)


def _without_amount(base: Reading, label: str, plain: str, faults: list[Fault]) -> Reading:
    vague = sections.VAGUE_WORDS.found_in(plain)
    base = base._replace(read_as=f"{label}, no amount")
    if faults:
        return base._replace(doubts=(*base.doubts, Doubt(NOT_READ, *faults[0])))
    if vague:
        return unread(base, "vague_amount", words=vague)
    return unread(base, "no_amount_to_weigh" if base.part == OUTSIDE else "no_amount")


def _with_mass(
    base: Reading,
    ingredient: Ingredient,
    measures: list[Measure],
    choices: Choices,
    egg_size: str,
    faults: list[Fault],
) -> Reading:
    """The reading with the mass of its most trustworthy measure, and doubts where others disagree.

    Parameters
        base : Reading  with the ingredient
        ingredient : Ingredient
        measures : list[Measure]  one or more
        choices : Choices
        egg_size : str  that the line names; empty: none
        faults : list[str]  numbers of the line that can't be read, and why
    Returns
        Reading
    """
    weighed = [(measure, weigh(measure, ingredient, choices, egg_size)) for measure in measures]
    masses = [(measure, found.mass) for measure, found in weighed if found.mass is not None]
    if not masses:
        measure, first = weighed[0]
        return base._replace(
            bare=measure.quantity if measure.kind == COUNT else None,
            doubts=base.doubts + first.doubts,
            read_as=f"{measure.words()} {ingredient.label}",
        )
    trusted = best_measure([measure for measure, _ in masses])
    found, mass = next(
        (found, found.mass) for measure, found in weighed if measure is trusted and found.mass is not None
    )
    others = [
        (measure, other)
        for measure, other in masses
        if measure is not trusted and not (measure.kind == COUNT and choices.number_alone_g)
    ]
    doubts = base.doubts + found.doubts + agreement(trusted, mass, ingredient.label, others)
    doubts += tuple(Doubt(UNSURE, *fault) for fault in faults)
    unused = [
        measure
        for measure, other in weighed
        if other.mass is None and measure.kind == COUNT and not measure.is_inside
        if not (trusted.is_inside and measure.quantity.best == 1)  # 1 yaourt nature (125 g)
    ]
    doubts += tuple(Doubt.of(UNSURE, "number_not_used", number=measure.quantity.best) for measure in unused)
    is_many = trusted.kind == COUNT and ingredient.name in EGGS and trusted.quantity.best >= MANY_EGGS
    return base._replace(
        mass=mass,
        bare=trusted.quantity if is_many else None,
        doubts=doubts,
        expression=found.expression,
        sources=found.sources,
        read_as=f"{trusted.words()} {ingredient.label}",
    )
