"""One ingredient of a line: its name, its measures, its part, and every doubt about them."""

from collections.abc import Sequence

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing import sections
from scaldloaf.importing.doubt import LIKELY, NOT_READ, UNSURE, Doubt
from scaldloaf.importing.masses import CUBED_YEAST, Choices, agreement, best_measure, times_count, weigh
from scaldloaf.importing.measures import Group, Item, Mark, Measure, is_type, unit_of_word
from scaldloaf.importing.names import Named, Names
from scaldloaf.importing.readings import Reader, Reading, mention, unread
from scaldloaf.importing.vocabulary import (
    ADD,
    CONTAINER,
    COUNT,
    CUBE,
    EGG_SIZES,
    MASS,
    OUTSIDE,
    PACKET,
    PERCENT,
    REMARK,
    STICK,
    VOLUME,
)
from scaldloaf.reference import Ingredient, coefficient

_SEPARATORS = frozenset((",", ";", "、")) | ADD
_MEASURED = (Group, Measure)
_KEPT_BACK = ADD | {"more", "extra", "additional", "mehr"}


def ingredients_of(items: list[Item], reader: Reader) -> list[list[Item]]:
    """The items of each ingredient of a line; one list unless several have a measure and a name each."""
    chunks: list[list[Item]] = [[]]
    for item in items:
        if isinstance(item, str) and item in _SEPARATORS and chunks[-1]:
            chunks.append([])
        chunks[-1].append(item)
    measured = [
        any([isinstance(item, Measure) and item.kind != REMARK for item in chunk]) for chunk in chunks
    ]
    if sum(measured) < 2:
        return [items]
    whole = [
        is_measured
        and any(reader.names.named_as_spelt(phrase).ingredient for phrase in _phrases(_without_units(chunk)))
        for is_measured, chunk in zip(measured, chunks, strict=True)
    ]
    if sum(whole) < 2:
        return [items]
    joined: list[list[Item]] = []
    for chunk, is_whole in zip(chunks, whole, strict=True):
        if is_whole or not joined:
            joined.append(list(chunk))
        else:
            joined[-1].extend(chunk)
    if not whole[0] and len(joined) > 1:
        joined[1] = joined[0] + joined[1]
        del joined[0]
    return joined


def _phrases(items: Sequence[Item]) -> list[tuple[str, ...]]:
    """The words outside parentheses, by the commas between them."""
    phrases, phrase = [], []
    for item in items:
        if type(item) is str:
            phrase.append(item)
        elif isinstance(item, Mark):
            if item in ",;、:":
                phrases.append(phrase)
                phrase = []
            elif item in "/+&":
                phrase.append("or" if item == "/" else "and")
    return [tuple(phrase) for phrase in (*phrases, phrase) if phrase]


def _without_units(items: Sequence[Item]) -> list[Item]:
    """Without the word for what is counted: ``packets`` in ``2 (7 g) packets``."""
    kept: list[Item] = []
    counted = False
    for item in items:
        unit = unit_of_word(item) if counted else None
        if unit is None or unit.kind not in (CONTAINER, PACKET, STICK, CUBE):
            kept.append(item)
            counted = isinstance(item, _MEASURED)
    return kept


def _named(items: Sequence[Item], names: Names) -> Named:
    """The ingredient that the items name: the first phrase that names one, refined by the others."""
    phrases = _phrases(_without_units(items))
    best = Named(None, (Doubt(NOT_READ, "no ingredient named"),))
    for at, phrase in enumerate(phrases):
        named = names.named(phrase)
        if named.ingredient is None:
            best = best if best.alternatives or at and not named.alternatives else named
            continue
        inside = [phrase for item in items if isinstance(item, Group) for phrase in _phrases(item.items)]
        for other in (*phrases[at + 1 :], *inside):
            named = names.refined(named, other)
        return named
    return best


def _measures(items: Sequence[Item]) -> tuple[list[Measure], list[Measure]]:
    """The measures of one ingredient, and its percentages; counts of packets multiplied out."""
    measures: list[Measure] = []
    percents: list[Measure] = []
    for at, item in enumerate(items):
        if not isinstance(item, _MEASURED):
            continue
        before = items[at - 1] if at else None
        counted = measures[-1] if measures and before is measures[-1] else None
        if isinstance(item, Group):
            _add_inside(item, counted, _is_held(items, at + 1), measures)
        elif item.kind == PERCENT:
            percents.append(item)
        elif counted and counted.kind == COUNT and _is_held(items, at + 1):
            measures[-1] = times_count(counted, item)
        elif item.kind != REMARK and not is_type(item, before):
            measures.append(item)
    return measures, percents


def _is_held(items: Sequence[Item], at: int) -> bool:
    """Whether the word at a place is of what holds an amount: ``packets``."""
    unit = unit_of_word(items[at]) if at < len(items) else None
    return unit is not None and unit.kind in (CONTAINER, PACKET, STICK)


def _add_inside(group: Group, counted: Measure | None, is_held: bool, measures: list[Measure]) -> None:
    """The measures in parentheses, added to those before."""
    for inside in group.items:
        if isinstance(inside, Measure) and inside.kind not in (PERCENT, REMARK):
            total = _in_all(counted, inside, is_held)
            if total is not inside and counted is measures[-1] and counted.kind in (COUNT, CONTAINER):
                measures.pop()  # the count is in the total
            measures.append(total)


def _in_all(counted: Measure | None, inside: Measure, is_held: bool) -> Measure:
    """A measure in parentheses, times the count of packets before it if it is that of one."""
    if counted is None or inside.kind not in (MASS, VOLUME):
        return inside
    each = (
        counted.kind == CONTAINER
        or counted.kind == COUNT
        and is_held
        or inside.is_each
        and counted.kind not in (MASS, VOLUME)
        or counted.kind == PACKET
        and _is_of_one(counted, inside)
    )
    return times_count(counted, inside) if each else inside


def _is_of_one(counted: Measure, measure: Measure) -> bool:
    """``2 packets (7 g)``: nearer to what one packet holds than to what all of them do."""
    one = coefficient("yeast_packet_g").value
    grams = measure.quantity.best * (measure.unit.grams or 1.0)
    return counted.quantity.best > 1 and abs(grams - one) < abs(grams - counted.quantity.best * one)


def read_ingredient(items: list[Item], blank: Reading, reader: Reader, faults: list[str]) -> Reading:
    """One ingredient with its measures and every doubt about them.

    Parameters
        items : list[Item]  of that ingredient
        blank : Reading  of the line, without what is read here
        reader : Reader  what the recipe's lines share
        faults : list[str]  numbers of the line that can't be read, and why
    Returns
        Reading
    """
    items = _without_remainder(items)
    plain = joined_words(items)
    measures, percents = _measures(items)
    if any(measure.kind == CUBE for measure in measures):
        named = _named(items, reader.names.choosing(yeast=CUBED_YEAST))
    else:
        named = _named(items, reader.names)
    scald = sections.SCALD_WORDS.found_in(plain)
    if named.ingredient is None:
        if scald and reader.has_scald:
            return mention(blank)
        if scald:
            return unread(blank, f"the ingredients of the {scald} are not listed", part=SCALD)
        no_numbers = tuple(Doubt(NOT_READ, fault) for fault in faults)
        doubts = blank.doubts + named.doubts + no_numbers
        return blank._replace(
            doubts=doubts,
            alternatives=named.alternatives,
            read_as=f"{measures[0].words()} something" if measures else "",
        )
    if sections.ASIDE_WORDS.found_in(plain):
        blank = blank._replace(part=OUTSIDE)
    elif scald:
        blank = blank._replace(part=SCALD, doubts=())
        reader.has_scald = True
    base = blank._replace(
        ingredient=named.ingredient,
        alternatives=named.alternatives,
        doubts=blank.doubts + named.doubts,
        read_as=named.ingredient.label,
    )
    if " optional " in plain:
        base = base._replace(doubts=(*base.doubts, Doubt(LIKELY, "optional")))
    if not measures and percents:
        percent = percents[0]
        return base._replace(
            percent=percent.quantity,
            read_as=f"{percent.words()} {base.read_as}",
            doubts=base.doubts + percent.quantity.doubts,
        )
    if not measures:
        return _without_amount(base, named.ingredient.label, plain, faults)
    size = next(filter(None, map(EGG_SIZES.get, plain.split())), "")
    return _with_mass(base, named.ingredient, measures, reader.choices, size, faults)


def _without_remainder(items: list[Item]) -> list[Item]:
    """Without what is set aside beside the amount: ``plus more for dusting``, ``and 2 tbsp for the pan``."""
    measured = False
    for at, item in enumerate(items):
        if not measured:
            measured = isinstance(item, Measure)
        elif (
            isinstance(item, str)
            and item in _KEPT_BACK
            and sections.ASIDE_WORDS.found_in(joined_words(items[at:]))
        ):
            return items[:at]
    return items


def joined_words(items: Sequence[Item]) -> str:
    """The words of items, those in parentheses too, joined and framed by spaces."""
    return f" {' '.join(_words(items))} "


def _words(items: Sequence[Item]) -> list[str]:
    words: list[str] = []
    for item in items:
        if type(item) is str:
            words.append(item)
        elif isinstance(item, Group):
            words += _words(item.items)
    return words


def _without_amount(base: Reading, label: str, plain: str, faults: list[str]) -> Reading:
    vague = sections.VAGUE_WORDS.found_in(plain)
    if faults:
        why = faults[0]
    elif base.part == OUTSIDE or vague:
        why = "no amount that can be weighed" + (f": “{vague}”" if vague else "")
    else:
        why = "no amount"
    return unread(base, why, read_as=f"{label}, no amount")


def _with_mass(
    base: Reading,
    ingredient: Ingredient,
    measures: list[Measure],
    choices: Choices,
    egg_size: str,
    faults: list[str],
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
            doubts=base.doubts + first.doubts, read_as=f"{measure.words()} {ingredient.label}"
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
    doubts += tuple(Doubt(UNSURE, fault) for fault in faults)
    unused = [
        measure
        for measure, other in weighed
        if other.mass is None and measure.kind == COUNT and not measure.is_inside
    ]
    doubts += tuple(
        Doubt(UNSURE, f"the number {measure.quantity.best:.6g} was not used") for measure in unused
    )
    return base._replace(
        mass=mass,
        doubts=doubts,
        expression=found.expression,
        sources=found.sources,
        read_as=f"{trusted.words()} {ingredient.label}",
    )
