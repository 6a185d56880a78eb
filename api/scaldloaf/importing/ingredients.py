"""One ingredient of a line: its name, its measures, its part, and every doubt about them."""

from collections.abc import Sequence

from scaldloaf.importing import sections
from scaldloaf.importing.doubt import LIKELY, NOT_READ, UNSURE, Doubt
from scaldloaf.importing.masses import CUBED_YEAST, Weighed, agreement, best_measure, times_count, weigh
from scaldloaf.importing.measures import Group, Mark, Measure, is_type, unit_of_word
from scaldloaf.importing.names import Named, Names
from scaldloaf.importing.readings import Reader, Reading, mention, unread
from scaldloaf.importing.sections import OUTSIDE, SCALD
from scaldloaf.importing.vocabulary import (
    ADD,
    CONTAINER,
    CUBE,
    EGG_SIZES,
    MASS,
    PACKET,
    PERCENT,
    REMARK,
    STICK,
    VOLUME,
)
from scaldloaf.reference import coefficient

_SEPARATORS = frozenset((",", ";", "、")) | ADD
_MEASURED = (Group, Measure)
_KEPT_BACK = ADD | {"more", "extra", "additional", "mehr"}


def ingredients_of(items: list, reader: Reader) -> list[list]:
    """The items of each ingredient of a line; one list unless several have a measure and a name each."""
    chunks: list[list] = [[]]
    for item in items:
        if isinstance(item, str) and item in _SEPARATORS and chunks[-1]:
            chunks.append([])
        chunks[-1].append(item)
    measured = [
        any([isinstance(item, Measure) and item.kind != REMARK for item in chunk]) for chunk in chunks
    ]
    if sum(measured) < 2:
        return [items]
    alone = [
        is_measured
        and any(reader.names.named_as_spelt(phrase).ingredient for phrase in _phrases(_without_units(chunk)))
        for is_measured, chunk in zip(measured, chunks)
    ]
    if sum(alone) < 2:
        return [items]
    joined: list[list] = []
    for chunk, stands in zip(chunks, alone, strict=True):
        if stands or not joined:
            joined.append(list(chunk))
        else:
            joined[-1].extend(chunk)
    if not alone[0] and len(joined) > 1:
        joined[1] = joined[0] + joined[1]
        del joined[0]
    return joined


def _phrases(items: Sequence) -> list[tuple[str, ...]]:
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


def _without_units(items: Sequence) -> list:
    """Without the word that says what is counted: ``packets`` in ``2 (7 g) packets``."""
    kept: list = []
    counted = False
    for item in items:
        unit = unit_of_word(item) if counted else None
        if unit is None or unit.kind not in (CONTAINER, PACKET, STICK, CUBE):
            kept.append(item)
            counted = isinstance(item, _MEASURED)
    return kept


def _named(items: Sequence, names: Names) -> Named:
    """The ingredient the items name: the first phrase that names one, refined by the phrases beside it."""
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


def _measures(items: Sequence) -> tuple[list[Measure], list[Measure]]:
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
        elif counted and counted.kind == "count" and _is_held(items, at + 1):
            measures[-1] = times_count(counted, item)
        elif item.kind != REMARK and not is_type(item, before):
            measures.append(item)
    return measures, percents


def _is_held(items: Sequence, at: int) -> bool:
    """Whether the word at a place is of what holds an amount: ``packets``."""
    unit = unit_of_word(items[at]) if at < len(items) else None
    return unit is not None and unit.kind in (CONTAINER, PACKET, STICK)


def _add_inside(group: Group, counted: Measure | None, is_held: bool, measures: list[Measure]) -> None:
    """The measures in parentheses, added to those before."""
    for inside in group.items:
        if isinstance(inside, Measure) and inside.kind not in (PERCENT, REMARK):
            total = _in_all(counted, inside, is_held)
            if total is not inside and counted is measures[-1] and counted.kind in ("count", CONTAINER):
                measures.pop()  # the count is in the total
            measures.append(total)


def _in_all(counted: Measure | None, inside: Measure, is_held: bool) -> Measure:
    """What a measure in parentheses comes to, when what stands before it is a count of packets."""
    if counted is None or inside.kind not in (MASS, VOLUME):
        return inside
    each = (
        counted.kind == CONTAINER
        or counted.kind == "count"
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


def read_ingredient(items: list, blank: Reading, reader: Reader, faults: list[str]) -> Reading:
    """One ingredient with its measures; every doubt kept."""
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
            return unread(blank, f"what the {scald} is made of is not listed", part=SCALD)
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
        return _without_amount(base, plain, faults)
    size = next(filter(None, map(EGG_SIZES.get, plain.split())), "")
    return _with_mass(base, measures, reader, size, faults)


def _without_remainder(items: list) -> list:
    """Without what is kept back beside the amount: ``plus more for dusting``, ``and 2 tbsp for the pan``."""
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


def joined_words(items: Sequence) -> str:
    """The words of items, those in parentheses too, joined and framed by spaces."""
    return f" {' '.join(_words(items))} "


def _words(items: Sequence) -> list[str]:
    words: list[str] = []
    for item in items:
        if type(item) is str:
            words.append(item)
        elif isinstance(item, Group):
            words += _words(item.items)
    return words


def _without_amount(base: Reading, plain: str, faults: list[str]) -> Reading:
    vague = sections.VAGUE_WORDS.found_in(plain)
    if faults:
        why = faults[0]
    elif base.part == OUTSIDE or vague:
        why = "no amount that can be weighed" + (f": “{vague}”" if vague else "")
    else:
        why = "no amount"
    return unread(base, why, read_as=f"{base.ingredient.label}, no amount")


def _with_mass(
    base: Reading, measures: list[Measure], reader: Reader, size: str, faults: list[str]
) -> Reading:
    weighed = [(measure, weigh(measure, base.ingredient, reader.choices, size)) for measure in measures]
    usable = [(measure, found) for measure, found in weighed if found.mass is not None]
    if not usable:
        measure, found = weighed[0]
        return base._replace(
            doubts=base.doubts + found.doubts, read_as=f"{measure.words()} {base.ingredient.label}"
        )
    trusted = best_measure([measure for measure, _ in usable])
    found: Weighed = next(found for measure, found in usable if measure is trusted)
    others = [
        (measure, other)
        for measure, other in usable
        if measure is not trusted and not (measure.kind == "count" and reader.choices.number_alone_g)
    ]
    doubts = base.doubts + found.doubts + agreement(trusted, found, base.ingredient.label, others)
    doubts += tuple(Doubt(UNSURE, fault) for fault in faults)
    unused = [
        measure
        for measure, other in weighed
        if other.mass is None and measure.kind == "count" and not measure.is_inside
    ]
    doubts += tuple(
        Doubt(UNSURE, f"the number {measure.quantity.best:.6g} was not used") for measure in unused
    )
    return base._replace(
        mass=found.mass,
        doubts=doubts,
        expression=found.expression,
        sources=found.sources,
        read_as=f"{trusted.words()} {base.ingredient.label}",
    )
