"""Several formulas weighed out together: each scald once, and a dry mix where they have one in common.

The masses are exact (evidence ``exact``). Which ingredients are dry is common practice.
"""

from collections.abc import Iterable, Sequence
from math import isclose
from typing import NamedTuple

from scaldloaf.dough.formula import DOUGH, SCALD, Formula, Line
from scaldloaf.dough.per_flour import Kind, kind_of
from scaldloaf.dough.scaling import Scale, Weighed, WeighOut, largest_remainder, steps_g, weigh_out
from scaldloaf.reference import Ingredient, coefficient

DRY_MIX_MOST_WATER_PERCENT = coefficient("dry_mix_most_water_percent").value
DRY_MIX_MOST_FAT_PERCENT = coefficient("dry_mix_most_fat_percent").value
SAME = 1e-9  # numerics: parts of a mix that differ by less are the same


class Portion(NamedTuple):
    """What one of the formulas gets, g, as the scale shows it; formula: its place among them."""

    formula: int
    mass_g: float


class Shared(NamedTuple):
    """Something made once for several formulas.

    weighed: its lines, all formulas together. lost_g: what evaporates of it. portions: they add up to what is
    left, rounded to the scale.
    """

    weighed: WeighOut
    lost_g: float
    portions: tuple[Portion, ...]

    @property
    def liquid_ratio(self) -> float | None:
        """Liquid over flour by mass; None without flour."""
        lines = [each.line for each in self.weighed.lines]
        flour = sum(line.mass_g for line in lines if line.ingredient.is_flour)
        liquid = sum(line.mass_g for line in lines if line.ingredient.is_liquid)
        return liquid / flour if flour > 0 else None


class Together(NamedTuple):
    """The weigh-out of several formulas.

    scalds: one for each mix, in the order of the formulas. common: the dry mix of all; None where they have
    none. rest: of each formula, its own lines in neither.
    """

    scalds: tuple[Shared, ...]
    common: Shared | None
    rest: tuple[tuple[Weighed, ...], ...]


def weigh_together(formulas: Sequence[Formula], weighed: Sequence[WeighOut], scale: Scale) -> Together:
    """One weigh-out for several formulas.

    Scalds of one mix (their lines in the same proportions, and as much of it evaporating) are made together.
    The common mix is of the dry lines of the dough, yeast apart, that are the same percentage of the flour in
    every formula, where there are two or more of them.

    Parameters
        formulas : Sequence[Formula]  each with flour
        weighed : Sequence[WeighOut]  the lines of each as the scale can weigh them
        scale : Scale
    Returns
        Together
    Raises
        Refusal: for a scale that contradicts itself.
    Source
        mass balance (exact)
    """
    flour_g = sum(line.mass_g for formula in formulas for line in formula.lines if line.ingredient.is_flour)
    by_mix: dict[object, list[int]] = {}
    for place, formula in enumerate(formulas):
        if mix := _mix_of(formula):
            by_mix.setdefault(mix, []).append(place)
    scalds = []
    for places in by_mix.values():
        lines = {place: [line for line in formulas[place].lines if line.part == SCALD] for place in places}
        lost = {place: formulas[place].scald_evaporation_g for place in places}
        scalds.append(_shared(lines, lost, scale, flour_g))
    kinds = _common_kinds(formulas)
    common = None
    if kinds:
        dry = {
            place: [line for line in formula.lines if _in_common(line, kinds)]
            for place, formula in enumerate(formulas)
        }
        common = _shared(dry, dict.fromkeys(dry, 0.0), scale, flour_g)
    rest = tuple(
        tuple(each for each in out.lines if each.line.part == DOUGH and not _in_common(each.line, kinds))
        for out in weighed
    )
    return Together(tuple(scalds), common, rest)


def _mix_of(formula: Formula) -> object:
    """What identifies the scald of a formula, whatever its size; None without one."""
    amounts = _amounts(line for line in formula.lines if line.part == SCALD)
    total = sum(amounts.values())
    if total <= 0:
        return None
    parts = frozenset((kind, round(mass / total, 9)) for kind, mass in amounts.items() if mass > 0)
    return parts, round(formula.scald_evaporation_g / total, 9)


def _amounts(lines: Iterable[Line]) -> dict[Kind, float]:
    amounts: dict[Kind, float] = {}
    for line in lines:
        kind = kind_of(line.ingredient)
        amounts[kind] = amounts.get(kind, 0.0) + line.mass_g
    return amounts


def _is_dry(ingredient: Ingredient) -> bool:
    """Whether an ingredient may wait in a dry mix: a powder or grains, and no yeast."""
    return (
        ingredient.water_percent <= DRY_MIX_MOST_WATER_PERCENT
        and ingredient.fat_percent <= DRY_MIX_MOST_FAT_PERCENT
        and ingredient.yeast is None
        and not ingredient.is_liquid
    )


def _in_common(line: Line, kinds: frozenset[Kind]) -> bool:
    return line.part == DOUGH and kind_of(line.ingredient) in kinds


def _common_kinds(formulas: Sequence[Formula]) -> frozenset[Kind]:
    """The dry ingredients of which every formula has the same percentage of its flour."""
    per_flour = []
    for formula in formulas:
        flour = sum(line.mass_g for line in formula.lines if line.ingredient.is_flour)
        dry = _amounts(line for line in formula.lines if line.part == DOUGH and _is_dry(line.ingredient))
        per_flour.append({kind: mass / flour for kind, mass in dry.items() if mass > 0})
    first, *others = per_flour or [{}]
    same = frozenset(
        kind
        for kind, amount in first.items()
        if all(kind in other and isclose(amount, other[kind], rel_tol=SAME) for other in others)
    )
    return same if others and len(same) > 1 else frozenset()


def _shared(lines: dict[int, list[Line]], lost_g: dict[int, float], scale: Scale, flour_g: float) -> Shared:
    """Something made of the lines of several formulas, each with what evaporates of it.

    Parameters
        lines : dict[int, list[Line]]  by the place of the formula
        lost_g : dict[int, float]  [g] the same
        scale : Scale
        flour_g : float  [g] of all formulas, for the errors
    Returns
        Shared
    """
    ingredients = {kind_of(line.ingredient): line.ingredient for each in lines.values() for line in each}
    total = _amounts(line for each in lines.values() for line in each)
    part = next(line.part for each in lines.values() for line in each)
    merged = [Line(ingredients[kind], mass, part) for kind, mass in total.items()]
    weighed, lost = weigh_out(merged, scale, flour_g), sum(lost_g.values())
    made = [sum(line.mass_g for line in each) - lost_g[place] for place, each in lines.items()]
    counts = largest_remainder(made, scale.resolution_g, weighed.total_g - lost)
    portions = [
        Portion(place, steps_g(count, scale.resolution_g)) for place, count in zip(lines, counts, strict=True)
    ]
    return Shared(weighed, lost, tuple(portions))
