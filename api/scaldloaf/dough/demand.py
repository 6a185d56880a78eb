"""Orders to ingredients: a day's bread by formula, batch, scald and dusting.

Bookkeeping throughout (evidence ``exact``). Each order is sized on its own (``scaling.size_of``, as a single
scaling is); a recipe's production is the sum of its orders, and the day is the sum of its recipes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, fsum
from typing import NamedTuple

from scaldloaf.dough.formula import DOUGH, LEAST_FLOUR_G, SCALD, Breakdown, Formula, Line, break_down, scaled
from scaldloaf.dough.limits import ROUNDING
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scaling import (
    NO_LOSSES,
    Losses,
    Scale,
    Size,
    Target,
    WeighOut,
    mixed_mass_g,
    strewn_on_scale_g,
    weigh_out,
)
from scaldloaf.reference import Ingredient

DUSTING = "dusting"
MOST_BATCHES = 10_000  # a guard rail of the input


@dataclass(frozen=True, slots=True)
class Recipe:
    """A formula as this bakery makes it.

    dusting_percent: flour strewn on bench and tins, percent of the formula's flour; it does not go into
    the dough. mixer_capacity_g: the most dough one batch may weigh, None for no limit.
    """

    formula: Formula
    losses: Losses = NO_LOSSES
    dusting_percent: float = 0.0
    dusting_ingredient: Ingredient | None = None
    mixer_capacity_g: float | None = None


class Order(NamedTuple):
    """An amount of one recipe (by its place in the list of recipes)."""

    recipe: int
    target: Target


class Production(NamedTuple):
    """Everything made of one recipe. ``batch`` is one of ``batches`` equal mixings; ``day`` is their sum.

    dusting_weighed_g: as the scale shows the day's dusting; None without either.
    """

    day: Formula
    dough_mass_g: float
    batches: int
    batch: Formula
    batch_mass_g: float
    scald_mass_g: float
    dusting_g: float
    weigh_out: WeighOut | None
    dusting_weighed_g: float | None = None


class Requirement(NamedTuple):
    """What the day uses of one ingredient, g. weighed_g counts every batch as the scale rounds it."""

    ingredient: Ingredient
    scald_g: float
    dough_g: float
    dusting_g: float
    weighed_g: float | None

    @property
    def total_g(self) -> float:
        """Scald, dough and dusting together, g."""
        return fsum((self.scald_g, self.dough_g, self.dusting_g))

    @property
    def used_g(self) -> float:
        """What is taken from stock, g: as the scale shows it, or all of it without one."""
        return self.total_g if self.weighed_g is None else self.weighed_g


class Demand(NamedTuple):
    """The day: each order's size, each recipe's production (None: nothing ordered), each ingredient."""

    orders: tuple[Size, ...]
    productions: tuple[Production | None, ...]
    ingredients: tuple[Requirement, ...]

    @property
    def dough_mass_g(self) -> float:
        """All dough of the day, g."""
        return fsum(made.dough_mass_g for made in self.productions if made is not None)


def batches_for(dough_mass_g: float, mixer_capacity_g: float | None) -> int:
    """The fewest equal batches that all fit the mixer; 1 without a limit. Exact."""
    if mixer_capacity_g is None:
        return 1
    # A mixer filled to a hair above its capacity is one batch, not two.
    return max(1, ceil(dough_mass_g / mixer_capacity_g * (1 - ROUNDING)))


def produce(recipe: Recipe, orders: Sequence[Size], scale: Scale | None = None) -> Production:
    """Everything made of one recipe for its orders, in equal batches that fit the mixer.

    With a scale, ``weigh_out`` is one batch rounded for it. Raises Refusal for a mixer too small for its
    dough or for one piece, and as ``scaling.weigh_out``. Source: mass balance (exact).
    """
    whole = scaled(recipe.formula, fsum(order.factor for order in orders))
    breakdown = break_down(whole)
    count = batches_for(breakdown.dough_mass_g, recipe.mixer_capacity_g)
    _check_batches(recipe, breakdown, count)
    _check_pieces(recipe, orders)
    batch = scaled(whole, 1 / count)
    dusting = breakdown.flour_g * recipe.dusting_percent / 100
    weighed = None if scale is None else weigh_out(batch.lines, scale)
    return Production(
        day=whole,
        dough_mass_g=breakdown.dough_mass_g,
        batches=count,
        batch=batch,
        batch_mass_g=breakdown.dough_mass_g / count,
        scald_mass_g=breakdown.scald_mass_g,
        dusting_g=dusting,
        weigh_out=weighed,
        dusting_weighed_g=strewn_on_scale_g(dusting, scale) if scale and dusting else None,
    )


def _check_batches(recipe: Recipe, breakdown: Breakdown, count: int) -> None:
    """Refuse a mixer that would take too many batches, or batches with next to no flour."""
    if count > MOST_BATCHES:
        raise Refusal(
            "recipe.mixer_capacity",
            "too_many_batches",
            "{dough} of dough would take more than {most} batches of this mixer",
            given=recipe.mixer_capacity_g,
            nearest=breakdown.dough_mass_g / MOST_BATCHES,
            quantity="mass",
            amounts={"dough": (breakdown.dough_mass_g, "mass"), "most": (MOST_BATCHES, None)},
        )
    if breakdown.flour_g < count * LEAST_FLOUR_G:
        most = max(1, int(breakdown.flour_g / LEAST_FLOUR_G))
        raise Refusal(
            "recipe.mixer_capacity",
            "batch_too_small",
            "a batch would hold less than {least} of flour",
            given=recipe.mixer_capacity_g,
            nearest=breakdown.dough_mass_g / most,
            quantity="mass",
            amounts={"least": (LEAST_FLOUR_G, "mass")},
        )


def _check_pieces(recipe: Recipe, orders: Sequence[Size]) -> None:
    """Refuse a mixer that cannot hold the dough of the largest piece: no batch would make one."""
    pieces = [order.piece_mass_g for order in orders if order.piece_mass_g is not None]
    if recipe.mixer_capacity_g is None or not pieces:
        return
    least = mixed_mass_g(max(pieces), recipe.losses, baked=False)
    if recipe.mixer_capacity_g < least * (1 - ROUNDING):
        raise Refusal(
            "recipe.mixer_capacity",
            "mixer_below_a_piece",
            "one piece takes {least} of dough to mix, more than this mixer holds at once",
            given=recipe.mixer_capacity_g,
            nearest=least,
            quantity="mass",
            amounts={"least": (least, "mass")},
        )


class _Ledger:
    """Masses of each ingredient over the day, by part and as weighed, in the order of first use."""

    def __init__(self) -> None:
        self.ingredients: dict[str, Ingredient] = {}
        self.masses: dict[str, dict[str, list[float]]] = {}
        self.weighed: dict[str, list[float]] = {}

    def add(self, line: Line, part: str, argument: str) -> None:
        """Enter a line. Raises Refusal, at the argument, for a name with two compositions."""
        name = line.ingredient.name
        if self.ingredients.setdefault(name, line.ingredient) != line.ingredient:
            raise Refusal(
                argument,
                "two_compositions",
                "another line uses this name for an ingredient of another composition; give one of them a "
                "name of its own",
                given=name,
            )
        self.masses.setdefault(name, {SCALD: [], DOUGH: [], DUSTING: []})[part].append(line.mass_g)

    def weigh(self, name: str, mass_g: float) -> None:
        """Enter a mass as the scale shows it."""
        self.weighed.setdefault(name, []).append(mass_g)

    def requirement(self, name: str, rounded: bool) -> Requirement:
        """The sums of one ingredient; rounded: whether a scale was given."""
        masses = self.masses[name]
        return Requirement(
            self.ingredients[name],
            fsum(masses[SCALD]),
            fsum(masses[DOUGH]),
            fsum(masses[DUSTING]),
            fsum(self.weighed.get(name, ())) if rounded else None,
        )


def requirements(
    recipes: Sequence[Recipe], productions: Sequence[Production | None]
) -> tuple[Requirement, ...]:
    """What the day uses of each ingredient, dusting included.

    Where a scale was given, ``weighed_g`` is what the rounded batches really use. Raises Refusal, at a line
    or the dusting of one of ``recipes``, for two ingredients of one name whose composition differs.
    Source: mass balance (exact).
    """
    ledger = _Ledger()
    for index, (recipe, made) in enumerate(zip(recipes, productions, strict=True)):
        if made is None:
            continue
        for number, line in enumerate(made.day.lines):
            ledger.add(line, line.part, f"recipes.{index}.formula.lines.{number}.ingredient")
        if recipe.dusting_ingredient is not None and made.dusting_g:
            dusting = Line(recipe.dusting_ingredient, made.dusting_g)
            ledger.add(dusting, DUSTING, f"recipes.{index}.dusting_ingredient")
            if made.dusting_weighed_g is not None:
                ledger.weigh(dusting.ingredient.name, made.dusting_weighed_g)
        for entry in made.weigh_out.lines if made.weigh_out else ():
            ledger.weigh(entry.line.ingredient.name, entry.mass_g * made.batches)
    rounded = any(made is not None and made.weigh_out is not None for made in productions)
    return tuple(ledger.requirement(name, rounded) for name in ledger.ingredients)
