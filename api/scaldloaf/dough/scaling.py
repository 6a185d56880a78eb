"""Scaling a formula: six targets, losses on the way, and rounding for a real scale.

Bookkeeping throughout (evidence ``exact``, given the losses). The targets:

==============  ======================================================================
dough_mass      mass of dough that must be left after the handling loss
pieces          count x mass of pieces as scaled, after the handling loss
baked_pieces    count x mass of cooled loaves, after the handling, the bake and the cooling loss
flour_mass      total flour mixed (losses do not enter)
factor          times this formula (losses do not enter)
on_hand         an ingredient, all its lines together, used up exactly (losses do not enter)
==============  ======================================================================

Without losses, dough_mass is therefore simply the dough mixed.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache, partial
from math import floor, inf
from typing import NamedTuple

from scaldloaf.dough.formula import LEAST_FLOUR_G, Breakdown, Formula, Line, break_down, nearest_name, scaled
from scaldloaf.dough.notes import Note
from scaldloaf.dough.refusal import Refusal, listed

COMPOUNDED, ADDED = "compounded", "added"
DOUGH_MASS, FLOUR_MASS, PIECES, BAKED_PIECES, FACTOR, ON_HAND = (
    "dough_mass",
    "flour_mass",
    "pieces",
    "baked_pieces",
    "factor",
    "on_hand",
)

# Guard rails of arithmetic, not facts of the craft.
WHOLE_TOLERANCE = 1e-9  # of one scale step: 0.3 / 0.1 counts as 3
SMALLEST_RESOLUTION_G = 1e-4
MOSTLY_SALT_PERCENT = 90.0  # what is weighed as salt, whatever its grain


class Losses(NamedTuple):
    """Losses in percent of what enters each step, and how the two combine.

    ``compounded``: bake and cooling loss are percentages of what handling leaves. ``added``: all are
    percentages of the dough mixed, as in trade examinations. cooling_loss_percent: what the loaf loses while
    it cools; a bake loss that was weighed cooled includes it.
    """

    handling_percent: float = 0.0
    bake_percent: float = 0.0
    rule: str = COMPOUNDED
    cooling_loss_percent: float = 0.0

    @property
    def loaf_percent(self) -> float:
        """From the dough put in the oven to the cooled loaf."""
        return self.bake_percent + self.cooling_loss_percent


NO_LOSSES = Losses()


@dataclass(frozen=True, slots=True)
class Target:
    """What to scale to: ``kind`` (see the module) and the fields that kind needs."""

    kind: str
    mass_g: float = 0.0
    count: int = 0
    factor: float = 0.0
    ingredient: str = ""


class Size(NamedTuple):
    """How large a formula becomes for a target.

    dough_mass_g: the dough mixed. dough_after_handling_g: what handling leaves of it for the scale or the
    pans. piece_mass_g: the scaling mass of one piece, None for targets without pieces. in_formula_g: what
    the lines of the ingredient on hand weigh together, None for other targets. before: the breakdown of
    the formula to be scaled.
    """

    factor: float
    dough_mass_g: float
    dough_after_handling_g: float
    piece_mass_g: float | None
    in_formula_g: float | None
    before: Breakdown
    notes: tuple[Note, ...]


class Scaling(NamedTuple):
    """A size, field by field as in ``Size``, and the formula scaled to it."""

    factor: float
    dough_mass_g: float
    dough_after_handling_g: float
    piece_mass_g: float | None
    in_formula_g: float | None
    before: Breakdown
    notes: tuple[Note, ...]
    formula: Formula


class Scale(NamedTuple):
    """Steps of the scales available, in g.

    With a fine scale, the lines lighter than ``fine_below_g`` are weighed on it; without that limit, the
    yeast and the salt.
    """

    resolution_g: float
    fine_resolution_g: float | None = None
    fine_below_g: float | None = None


class Weighed(NamedTuple):
    """A line as the scale can weigh it; error_percent is rounded less exact, percent of flour."""

    line: Line
    mass_g: float
    error_percent: float
    resolution_g: float

    @property
    def vanished(self) -> bool:
        """The line rounds to nothing though it is something."""
        return self.mass_g == 0 and self.line.mass_g > 0


_weighed_of = partial(tuple.__new__, Weighed)  # Weighed(*fields) without argument parsing, as line_of


class WeighOut(NamedTuple):
    """All lines as the scale can weigh them, in order, and what they add up to."""

    lines: tuple[Weighed, ...]
    total_g: float


def share_left(losses: Losses, baked: bool) -> float:
    """Fraction of the dough mixed that is left after handling, or in the cooled loaf.

    compounded: (1 - handling)(1 - bake - cooling); added: 1 - handling - bake - cooling. Percent in, fraction
    out. Raises Refusal when nothing is left. Source: mass balance (exact).
    """
    handling = losses.handling_percent / 100
    bake = losses.loaf_percent / 100 if baked else 0.0
    left = (1 - handling) * (1 - bake) if losses.rule == COMPOUNDED else 1 - handling - bake
    if left <= 0 or handling >= 1 or bake >= 1:
        raise Refusal(
            "losses",
            "nothing_left",
            "losses of {handling} % and {bake} % leave nothing of the dough; together they must "
            "stay below 100 %",
            amounts={
                "handling": (losses.handling_percent, None),
                "bake": (losses.loaf_percent if baked else 0.0, None),
            },
        )
    return left


def mixed_mass_g(left_g: float, losses: Losses, baked: bool) -> float:
    """Dough to mix, g, so that ``left_g`` is left after handling (baked: in the cooled loaf). Exact."""
    return left_g / share_left(losses, baked)


def bake_loss_percent(dough_mass_g: float, baked_mass_g: float) -> float:
    """Bake loss in percent of the dough put in the oven (not of the bread).

    100 (dough - bread) / dough, both in g, dough > 0. Source: the trade's definition (exact).
    """
    return 100 * (dough_mass_g - baked_mass_g) / dough_mass_g


def _in_formula_g(formula: Formula, target: Target) -> float:
    """What all lines of the ingredient on hand weigh together, g. Raises Refusal if they weigh nothing."""
    name = target.ingredient
    masses = [line.mass_g for line in formula.lines if name == line.ingredient.name]
    names = list(dict.fromkeys(line.ingredient.name for line in formula.lines if line.mass_g > 0))
    if not masses:
        raise Refusal(
            "target.ingredient",
            "not_in_formula",
            "the formula has no such line, so what is on hand sets no limit; its lines are {lines}",
            given=name,
            nearest=nearest_name(name, (line.ingredient for line in formula.lines)),
            amounts={"lines": listed(names)},
        )
    total = sum(masses)
    if total <= 0:
        raise Refusal(
            "target.ingredient",
            "none_in_formula",
            "its line in the formula is 0, so what is on hand sets no limit; lines with a mass are {lines}",
            given=name,
            amounts={"lines": listed(names)},
        )
    return total


def _nothing_left(target: Target, factor: float, least: float) -> Refusal:
    """The refusal of a target that leaves too little of the formula; least: the factor that would do."""
    field = "factor" if target.kind == FACTOR else "mass"
    given, quantity = (target.factor, None) if target.kind == FACTOR else (target.mass_g, "mass")
    nearest = given * (least / factor) * 1.001 if 0 < factor < inf else None
    return Refusal(
        f"target.{field}",
        "nothing_left_of_formula",
        "scaled to this, the formula would hold less than {least} of flour, too little to calculate with",
        given=given,
        nearest=nearest if nearest and nearest < inf else None,
        quantity=quantity,
        amounts={"least": (LEAST_FLOUR_G, "mass")},
    )


def scale_to(formula: Formula, target: Target, losses: Losses = NO_LOSSES) -> Scaling:
    """The formula scaled to a target (see the module for the targets).

    Masses in g. Every line, and the scald's evaporation, is multiplied by one factor. Raises Refusal when
    there is no flour, when the losses or the target leave nothing, and when the ingredient on hand is not
    in the formula. Source: mass balance (exact).
    """
    size = size_of(formula, break_down(formula), target, losses)
    return Scaling(*size, scaled(formula, size.factor))


def size_of(formula: Formula, breakdown: Breakdown, target: Target, losses: Losses = NO_LOSSES) -> Size:
    """How large a formula becomes for a target.

    Parameters
        formula : Formula
        breakdown : Breakdown  of that formula
        target : Target  [g]
        losses : Losses  [%]
    Returns
        Size  [g]
    Raises
        Refusal: as ``scale_to``.
    Source
        mass balance (exact)
    """
    kind, piece, in_formula = target.kind, None, None
    baked = kind == BAKED_PIECES
    if kind == FLOUR_MASS:
        factor = target.mass_g / breakdown.flour_g
    elif kind == FACTOR:
        factor = target.factor
    elif kind == ON_HAND:
        in_formula = _in_formula_g(formula, target)
        factor = target.mass_g / in_formula
    elif kind in (DOUGH_MASS, PIECES, BAKED_PIECES):
        left = target.mass_g if kind == DOUGH_MASS else target.count * target.mass_g
        factor = mixed_mass_g(left, losses, baked) / breakdown.dough_mass_g
        if kind != DOUGH_MASS:
            piece = target.mass_g / (1 - losses.loaf_percent / 100) if baked else target.mass_g
    else:
        raise Refusal("target.kind", "not_one_of", "there is no such target", given=kind)
    least = LEAST_FLOUR_G / breakdown.flour_g
    if not least <= factor < inf:
        raise _nothing_left(target, factor, least)
    mixed = breakdown.dough_mass_g * factor
    after_handling = mixed * (1 - losses.handling_percent / 100)
    return Size(factor, mixed, after_handling, piece, in_formula, breakdown, _unused_losses(kind, losses))


def _unused_losses(kind: str, losses: Losses) -> tuple[Note, ...]:
    """Notes on losses that a target does not count."""
    notes = []
    if losses.loaf_percent and kind != BAKED_PIECES:
        notes.append(Note("bake_loss_not_used"))
    if losses.handling_percent and kind in (FLOUR_MASS, FACTOR, ON_HAND):
        notes.append(Note("handling_loss_not_used"))
    return tuple(notes)


def _half_up(quotient: float) -> int:
    return floor(quotient + 0.5 + WHOLE_TOLERANCE * max(1.0, quotient))


def largest_remainder(masses_g: list[float], resolution_g: float, total_g: float | None = None) -> list[int]:
    """Whole scale steps for each mass, adding up to the rounded total.

    Cuts every mass to whole steps (0.3 on a 0.1 scale is 3 of them, whatever its last bit) and gives the
    steps still missing to the largest remainders, so no mass is off by a step or more. total_g: what the
    steps should come near (None: the sum of the masses). Masses >= 0 and resolution > 0, in g. Source:
    largest-remainder rule (exact).
    """
    counts = []  # whole steps of each mass
    cut = []  # (minus the part cut off, its place), of the masses that are not whole
    for place, mass in enumerate(masses_g):
        steps = mass / resolution_g
        whole = int(steps)
        rest = steps - whole
        slack = WHOLE_TOLERANCE * steps if steps > 1 else WHOLE_TOLERANCE
        if rest > slack and 1 - rest > slack:
            cut.append((-rest, place))
        else:
            whole = round(steps)
        counts.append(whole)
    total = sum(masses_g) if total_g is None else total_g
    missing = _half_up(max(total, 0.0) / resolution_g) - sum(counts)
    if missing > 0:
        for _, place in sorted(cut)[:missing]:
            counts[place] += 1
    return counts


def nearest_steps(masses_g: Iterable[float], resolution_g: float) -> list[int]:
    """Whole scale steps nearest to each mass, half a step up. Masses >= 0 and resolution > 0, in g. Exact."""
    return [_half_up(mass / resolution_g) for mass in masses_g]


def steps_g(count: int, resolution_g: float) -> float:
    """The mass of so many steps of a scale, g, to the digits that the step was typed with."""
    above, below = _as_ratio(resolution_g)
    return count * above / below


def strewn_on_scale_g(mass_g: float, scale: Scale) -> float:
    """What is strewn, as the scale shows it, g: the nearest step of the coarse scale, but never nothing."""
    return steps_g(max(1, *nearest_steps([mass_g], scale.resolution_g)), scale.resolution_g)


def _check_scale(scale: Scale) -> None:
    """Refuse a scale that contradicts itself, or steps that no bench scale has."""
    coarse, fine = scale.resolution_g, scale.fine_resolution_g
    if coarse < SMALLEST_RESOLUTION_G:
        raise _too_fine("scale.resolution", coarse)
    if fine is None:
        if scale.fine_below_g is not None:
            raise Refusal(
                "scale.fine_below",
                "no_fine_scale",
                "says which lines go on the fine scale, and no fine_resolution is given; give it "
                "too, or leave this out",
                given=scale.fine_below_g,
                quantity="mass",
            )
        return
    if fine < SMALLEST_RESOLUTION_G:
        raise _too_fine("scale.fine_resolution", fine)
    if fine > coarse:
        raise Refusal(
            "scale.fine_resolution",
            "fine_scale_coarser",
            "the fine scale must not have larger steps than the other one ({coarse})",
            given=fine,
            nearest=coarse,
            quantity="mass",
            amounts={"coarse": (coarse, "mass")},
        )


def _too_fine(argument: str, step_g: float) -> Refusal:
    return Refusal(
        argument,
        "resolution_too_fine",
        "no bench scale has steps below {least}",
        given=step_g,
        nearest=SMALLEST_RESOLUTION_G,
        quantity="mass",
        amounts={"least": (SMALLEST_RESOLUTION_G, "mass")},
    )


def _on_fine_scale(lines: tuple[Line, ...], scale: Scale) -> list[bool]:
    """For each line, whether it is weighed on the fine scale."""
    if scale.fine_resolution_g is None or scale.fine_resolution_g == scale.resolution_g:
        return [False] * len(lines)
    if scale.fine_below_g is not None:
        return [line.mass_g < scale.fine_below_g for line in lines]
    return [
        ingredient.yeast is not None or ingredient.salt_percent >= MOSTLY_SALT_PERCENT
        for ingredient, _, _ in lines
    ]


@lru_cache(maxsize=64)
def _as_ratio(step_g: float) -> tuple[int, int]:
    """A scale's step as the decimal that was typed: 3 steps of 0.1 are 0.3, not 0.30000000000000004."""
    return Fraction(repr(step_g)).as_integer_ratio()


def weigh_out(lines: Iterable[Line], scale: Scale, flour_g: float | None = None) -> WeighOut:
    """The lines as the scale can weigh them, rounded so that they add up.

    Lines on the fine scale (yeast, salt) go to its nearest step each; the others take up what that leaves,
    by largest remainder on their own scale. So the whole is within half a step of the coarse scale of the
    exact sum, every fine line within half a step of its scale and every other line within one step. With
    all lines on one scale it is largest remainder for all. Masses in g, errors in percent of flour: of
    ``flour_g``, or of that of the lines. Raises Refusal for a scale that contradicts itself and for lines
    without flour.
    """
    _check_scale(scale)
    lines = tuple(lines)
    masses = [line.mass_g for line in lines]
    flour = flour_g
    if flour is None:
        flour = sum([mass for ingredient, mass, _ in lines if ingredient.is_flour])
    if flour <= 0:
        raise Refusal("lines", "no_flour", "there is no flour to state the errors as a percentage of")
    on_fine = _on_fine_scale(lines, scale)
    fine = [mass for mass, is_fine in zip(masses, on_fine, strict=True) if is_fine]
    coarse = [mass for mass, is_fine in zip(masses, on_fine, strict=True) if not is_fine]
    step, fine_step = scale.resolution_g, scale.fine_resolution_g or scale.resolution_g
    above, below = _as_ratio(step)
    fine_above, fine_below = _as_ratio(fine_step)
    fine_counts = nearest_steps(fine, fine_step) if coarse else largest_remainder(fine, fine_step)
    fine_steps = sum(fine_counts) * fine_above
    counts = largest_remainder(coarse, step, sum(masses) - fine_steps / fine_below) if coarse else []
    of_fine, of_coarse = iter(fine_counts), iter(counts)
    weighed = []
    for line, mass, is_fine in zip(lines, masses, on_fine, strict=True):
        if is_fine:
            rounded, its_step = next(of_fine) * fine_above / fine_below, fine_step
        else:
            rounded, its_step = next(of_coarse) * above / below, step
        weighed.append(_weighed_of((line, rounded, 100 * (rounded - mass) / flour, its_step)))
    total_g = (fine_steps * below + sum(counts) * above * fine_below) / (fine_below * below)
    return WeighOut(tuple(weighed), total_g)
