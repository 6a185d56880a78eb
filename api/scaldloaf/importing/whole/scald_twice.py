"""A scald with its parts in parentheses behind its name, and again as the lines below that."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading, mention
from scaldloaf.importing.whole.listed_scald import LIQUIDS

SAME_WITHIN = 0.03  # of the ratio of the two
LEAST_PARTS = 2
MOST_BETWEEN = 3  # headings between the two


def with_scald_once(readings: list[Reading]) -> list[Reading]:
    """The readings, a line of the scald with its parts as a mention where the lines below list them again.

    ``Tangzhong (20 g flour / 100 g water)``, below it ``20 g flour`` and ``100 g water``: the scald.
    """
    found = list(readings)
    by_line: dict[int, list[int]] = {}
    for at, each in enumerate(readings):
        if each.part == SCALD and each.in_formula and "(" in each.text.replace("（", "("):
            by_line.setdefault(each.line, []).append(at)
    gone: set[int] = set()
    for places in by_line.values():
        if len(places) < LEAST_PARTS:
            continue
        start = places[-1] + 1
        near = range(start, min(len(readings), start + len(places) + MOST_BETWEEN))
        again = [at for at in near if readings[at].kind == INGREDIENT][: len(places)]
        if not _are_alike([readings[at] for at in places], [readings[at] for at in again]):
            continue
        found[places[0]] = mention(readings[places[0]])._replace(ingredient=None, mass=None, expression="")
        gone.update(places[1:])
        for at in again:
            found[at] = found[at]._replace(part=SCALD, section_doubts=())
    return [each for at, each in enumerate(found) if at not in gone] if gone else readings


def _are_alike(parts: Sequence[Reading], again: Sequence[Reading]) -> bool:
    """Whether lines list flour and liquid in the same order and ratio as parts that are named before."""
    if len(parts) != len(again) or any(each.part not in (DOUGH, SCALD) for each in again):
        return False
    if not all(each.grams and each.in_formula for each in (*parts, *again)):
        return False
    kinds = [[_kind(each) for each in row] for row in (parts, again)]
    if kinds[0] != kinds[1] or "flour" not in kinds[0] or "liquid" not in kinds[0]:
        return False
    times = again[0].grams / parts[0].grams
    return all(
        abs(other.grams - times * one.grams) <= SAME_WITHIN * other.grams
        for one, other in zip(parts, again, strict=True)
    )


def _kind(reading: Reading) -> str:
    if reading.ingredient is None:
        return ""
    if reading.ingredient.is_flour:
        return "flour"
    return "liquid" if reading.ingredient.name in LIQUIDS else reading.ingredient.name
