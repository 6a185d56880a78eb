"""The measures of one ingredient: counts of packets multiplied out, what is in parentheses added."""

from collections.abc import Sequence

from scaldloaf.importing.line.item_words import MEASURED
from scaldloaf.importing.quantities.masses import times_count
from scaldloaf.importing.quantities.measures import Group, Item, Measure, is_type, unit_of_word
from scaldloaf.importing.words.vocabulary import (
    CONTAINER,
    COUNT,
    EACH,
    MASS,
    PACKET,
    PERCENT,
    REMARK,
    STICK,
    VOLUME,
)
from scaldloaf.reference import coefficient

_COUNTED = (PACKET, COUNT, CONTAINER, STICK)
_EACH_BEHIND = frozenset(("each", "apiece", "chacun", "chacune", "chaque", "cada", "ciascuno", "ciascuna"))
_OF_FAT = frozenset(
    ("fat", "milkfat", "fett", "fettgehalt", "mg", "m.g", "grasa", "grasas", "grassi", "grasse", "grasses")
    + ("matière", "matières", "materia", "materie", "de", "di", "d", "f", "i", "tr")
)
_LEAST_EGG_G, _MOST_EGG_G = 30, 90  # between these an amount is that of each egg


def measures_of(items: Sequence[Item]) -> tuple[list[Measure], list[Measure]]:
    """The measures of one ingredient, and its percentages; counts of packets multiplied out."""
    measures: list[Measure] = []
    percents: list[Measure] = []
    for at, item in enumerate(items):
        if not isinstance(item, MEASURED):
            continue
        before = items[at - 1] if at else None
        counted = measures[-1] if measures and before is measures[-1] else None
        if isinstance(item, Group):
            if measures and any(isinstance(inside, Measure) and inside.is_each for inside in item.items):
                counted = measures[-1]
            _add_inside(item, counted, _is_held(items, at + 1), measures)
        elif item.kind == PERCENT:
            percents.append(item)
        elif counted and counted.kind == COUNT and _is_held(items, at + 1):
            measures[-1] = times_count(counted, item)
        elif measures and item.kind in (MASS, VOLUME) and _is_each(items, at, item, measures[-1]):
            measures[-1] = times_count(measures[-1], item)
        elif item.kind != REMARK and not is_type(item, before):
            measures.append(item)
    return measures, percents


def _is_each(items: Sequence[Item], at: int, amount: Measure, counted: Measure) -> bool:
    """Whether the amount at a place is that of each: ``2 Päckchen à 7 g``, ``2 sachets de levure de 7 g``.

    Or behind it: ``2 blocks of butter, 250 g each``.
    """
    if amount.kind == VOLUME and counted.kind != CONTAINER:
        return False
    if at + 1 < len(items) and items[at + 1] in _EACH_BEHIND and counted.kind in _COUNTED:
        return True
    if at < 2 or items[at - 1] not in EACH or counted.kind not in _COUNTED:
        return False
    if counted.kind in (CONTAINER, STICK):
        return True
    if counted.kind == COUNT:
        return _LEAST_EGG_G <= _grams_of(amount) <= _MOST_EGG_G
    return items[at - 2] is counted or _is_of_one(counted, amount)


def fat_inside(group: Group, must_be_named: bool) -> Measure | None:
    """The percentage in parentheses that is of fat: ``(3,5%)``, ``(1.5% fat)``; None for any other."""
    words = [item for item in group.items if type(item) is str]
    percents = [item for item in group.items if isinstance(item, Measure) and item.kind == PERCENT]
    if len(percents) != 1 or len(words) + 1 < len(group.items) or not _OF_FAT.issuperset(words):
        return None
    return percents[0] if words or not must_be_named else None


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


def _grams_of(measure: Measure) -> float:
    return measure.quantity.best * (measure.unit.grams or 1.0)


def _is_of_one(counted: Measure, measure: Measure) -> bool:
    """``2 packets (7 g)``: nearer to what one packet holds than to what all of them do."""
    one = coefficient("yeast_packet_g").value
    grams = _grams_of(measure)
    return counted.quantity.best > 1 and abs(grams - one) < abs(grams - counted.quantity.best * one)


def with_unit_said(items: list[Item]) -> list[Item]:
    """The items, parentheses that say what one spoon or cup holds as what all of them do.

    ``3 Tassen Mehl (1 Tasse = 250 ml)``: as 750 ml in parentheses.
    """
    for at, item in enumerate(items):
        if not isinstance(item, Group):
            continue
        inside = [each for each in item.items if isinstance(each, Measure)]
        if len(inside) != 2 or inside[0].quantity.best != 1 or inside[1].kind not in (MASS, VOLUME):
            continue
        one, holds = inside
        alike = [each for each in items[:at] if isinstance(each, Measure) and each.unit is one.unit]
        if not alike or one.kind == COUNT or one.unit is holds.unit:
            continue
        times, said = alike[0].quantity.best, holds.quantity
        scaled = said._replace(low=said.low * times, best=said.best * times, high=said.high * times)
        return [*items[:at], Group((holds._replace(quantity=scaled),)), *items[at + 1 :]]
    return items
