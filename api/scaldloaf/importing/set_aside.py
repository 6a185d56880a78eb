"""What a line says of its own amount: how the spoon was filled, and how much of it is for something else."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing import sections
from scaldloaf.importing.amounts import certain
from scaldloaf.importing.doubt import LIKELY, Doubt
from scaldloaf.importing.measures import Group, Item, Measure, unit_of_word
from scaldloaf.importing.vocabulary import ADD, COUNT, FILLING, MASS, OF_WHICH, OUTSIDE, VOLUME, Unit

_SPOONS = ("spoon", "cup")  # in the labels of what may be heaped
_TAKEN = OF_WHICH | {"reserve", "reserved", "reserving", "save", "saving", "keep", "keeping", "set"}
_PARTED = frozenset((",", ";")) | ADD


def with_filling(items: list[Item]) -> list[Item]:
    """How the one spoon or cup of a line was filled, wherever it is said: ``heaped 1 tsp``, ``(heaped)``."""
    items = _one_of(items)
    places = [at for at, item in enumerate(items) if isinstance(item, Measure) and item.kind == VOLUME]
    if len(places) != 1:
        return items
    measure = items[places[0]]
    if not isinstance(measure, Measure) or measure.filling or not _is_spoon(measure.unit):
        return items
    for at, item in enumerate(items):
        filling = _filling_in(item)
        if filling:
            kept = list(items)
            kept[places[0]] = measure._replace(filling=filling)
            del kept[at]
            return kept
    return items


def _one_of(items: list[Item]) -> list[Item]:
    """``heaped tablespoon of honey``: one of it."""
    if len(items) < 2 or type(items[0]) is not str or not FILLING.get(items[0]):
        return items
    unit = unit_of_word(items[1])
    if unit is None or not _is_spoon(unit):
        return items
    return [Measure(certain(1.0), unit, FILLING[items[0]]), *items[2:]]


def _is_spoon(unit: Unit) -> bool:
    return unit.kind == VOLUME and any(word in unit.label for word in _SPOONS)


def _filling_in(item: Item) -> str:
    """The coefficient that a word names, or parentheses that say only that."""
    if type(item) is str:
        return FILLING.get(item, "")
    if isinstance(item, Group) and item.items and all(type(each) is str for each in item.items):
        words = [str(each) for each in item.items]
        if all(word in FILLING for word in words):
            return next(filter(None, map(FILLING.__getitem__, words)), "")
    return ""


def portioned(items: list[Item]) -> tuple[list[Item], tuple[Doubt, ...]]:
    """The amount that is for the dough: ``100 g butter (70 g for the dough)``, ``…, of which 20 g to brush``.

    What is of another kind (a spoon of an egg) leaves the amount as it is, with a doubt.
    """
    first = next((at for at, item in enumerate(items) if _is_part(item)), None)
    if first is None:
        return items, ()
    for at, item in enumerate(items):
        if at <= first:
            continue
        if isinstance(item, Group):
            said, rest = list(item.items), items[at + 1 :]
        elif type(item) is str and item in OF_WHICH:
            said, rest = items[at:], []
        else:
            continue
        if found := _portion(items[first], said):
            measure, before, doubt = found
            inside: list[Item] = [Group(tuple(before))] if before else []
            return [*items[:first], measure, *items[first + 1 : at], *inside, *rest], (doubt,)
    return items, ()


def _portion(whole: Item, said: Sequence[Item]) -> tuple[Measure, list[Item], Doubt] | None:
    """What is left of an amount for the dough, what else is said beside it, and the doubt."""
    if not isinstance(whole, Measure) or sections.SCALD_WORDS.found_in(_joined(said)):
        return None
    clauses = _clauses(said)
    measured = [clause for clause in clauses if any(map(_is_part, clause))]
    for clause in measured:
        share = _share(whole, clause)
        if _is_for_dough(clause) and 0 < share < 1:
            return _times(whole, share), [], Doubt.of(LIKELY, "rest_not_dough")
    taken = next((at for at, item in enumerate(said) if type(item) is str and item in _TAKEN), None)
    if taken is None or not measured or not all(map(_is_aside, measured)):
        return None
    share = sum(_share(whole, clause) for clause in measured)
    if share >= 1:
        return None
    before = [] if any(map(_is_part, said[:taken])) else [item for item in said[:taken] if item != ";"]
    return _times(whole, 1 - share), before, Doubt.of(LIKELY, "part_not_dough")


def _clauses(said: Sequence[Item]) -> list[list[Item]]:
    clauses: list[list[Item]] = [[]]
    for item in said:
        if isinstance(item, str) and item in _PARTED:
            clauses.append([])
        else:
            clauses[-1].append(item)
    return clauses


def _is_part(item: Item) -> bool:
    return isinstance(item, Measure) and item.kind in (MASS, VOLUME, COUNT)


def _joined(items: Sequence[Item]) -> str:
    return f" {' '.join(item for item in items if type(item) is str)} "


def _is_aside(clause: Sequence[Item]) -> bool:
    return sections.ASIDE_WORDS.found_in(_joined(clause)) is not None or _title(clause).part == OUTSIDE


def _is_for_dough(clause: Sequence[Item]) -> bool:
    return not _is_aside(clause) and _title(clause) == (DOUGH, True)


def _title(clause: Sequence[Item]) -> sections.Title:
    return sections.title_of([item for item in clause if type(item) is str])


def _share(whole: Measure, clause: Sequence[Item]) -> float:
    """How much of the whole the amount in a clause is; 0 where they are of different kinds."""
    part = next(item for item in clause if _is_part(item))
    if not isinstance(part, Measure) or part.kind != whole.kind or whole.more:
        return 0.0
    return part.quantity.best * _size(part.unit) / (whole.quantity.best * _size(whole.unit) or 1.0)


def _size(unit: Unit) -> float:
    return unit.grams or unit.cm3.metric or 1.0


def _times(measure: Measure, share: float) -> Measure:
    quantity = measure.quantity
    low, best, high = (end * share for end in quantity[:3])
    return measure._replace(quantity=quantity._replace(low=low, best=best, high=high))
