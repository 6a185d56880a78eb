"""Orders to ingredients: what a day's bread takes, by formula, batch, scald and dusting.

Bookkeeping throughout (evidence ``exact``): each order is scaled on its own, by the same function
that answers a single scaling, and the day is their sum.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, fsum

from scaldloaf.dough.formula import DOUGH, LEAST_FLOUR_G, SCALD, Breakdown, Formula, Line, break_down, scaled
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scaling import Losses, Scale, Size, Target, WeighOut, mixed_mass_g, size_of, weigh_out
from scaldloaf.reference import Ingredient

DUSTING = "dusting"
MOST_BATCHES = 10_000
WHOLE_TOLERANCE = 1e-9              # a mixer filled to a hair above its capacity is one batch, not two


@dataclass(frozen=True, slots=True)
class Recipe:
    """A formula as this bakery makes it.

    dusting_percent: flour strewn on bench and tins, percent of the formula's flour; it does not go into
    the dough. mixer_capacity_g: the most dough one batch may weigh, None for no limit.
    """

    formula: Formula
    losses: Losses = Losses()
    dusting_percent: float = 0.0
    dusting: Ingredient | None = None
    mixer_capacity_g: float | None = None


@dataclass(frozen=True, slots=True)
class Order:
    """So much of one recipe (by its place in the list of recipes)."""

    recipe: int
    target: Target


@dataclass(frozen=True, slots=True)
class Production:
    """All that is made of one recipe. ``batch`` is one of ``batches`` equal mixings; ``day`` their sum."""

    day: Formula
    dough_mass_g: float
    batches: int
    batch: Formula
    batch_mass_g: float
    scald_mass_g: float
    dusting_g: float
    weigh_out: WeighOut | None


@dataclass(frozen=True, slots=True)
class Requirement:
    """What the day takes of one ingredient, g. weighed_g counts every batch as the scale rounds it."""

    ingredient: Ingredient
    scald_g: float
    dough_g: float
    dusting_g: float
    weighed_g: float | None

    @property
    def total_g(self) -> float:
        return fsum((self.scald_g, self.dough_g, self.dusting_g))


@dataclass(frozen=True, slots=True)
class Demand:
    """The day: how large each order is, each recipe's production (None: nothing of it ordered), each ingredient."""

    orders: tuple[Size, ...]
    productions: tuple[Production | None, ...]
    ingredients: tuple[Requirement, ...]

    @property
    def dough_mass_g(self) -> float:
        return fsum(made.dough_mass_g for made in self.productions if made is not None)


def batches_for(dough_mass_g: float, capacity_g: float | None) -> int:
    """The fewest equal batches of which none is above the mixer's capacity; 1 without a limit. Exact."""
    if capacity_g is None:
        return 1
    count = max(1, ceil(dough_mass_g / capacity_g * (1 - WHOLE_TOLERANCE)))
    if count > MOST_BATCHES:
        raise Refusal("mixer_capacity", "too_many_batches",
                      "{dough} of dough would take more than {most} batches of this mixer",
                      given=capacity_g, nearest=dough_mass_g / MOST_BATCHES, quantity="mass",
                      amounts={"dough": (dough_mass_g, "mass"), "most": (MOST_BATCHES, None)})
    return count


def _produce(recipe: Recipe, orders: Sequence[Size], scale: Scale | None) -> Production:
    whole = scaled(recipe.formula, fsum(order.factor for order in orders))
    seen = break_down(whole)
    count = batches_for(seen.dough_mass_g, recipe.mixer_capacity_g)
    if seen.flour_g < count * LEAST_FLOUR_G:
        most = max(1, int(seen.flour_g / LEAST_FLOUR_G))
        raise Refusal("mixer_capacity", "batch_too_small", "a batch would hold less than {least} of flour",
                      given=recipe.mixer_capacity_g, nearest=seen.dough_mass_g / most, quantity="mass",
                      amounts={"least": (LEAST_FLOUR_G, "mass")})
    _check_pieces(recipe, orders)
    batch = scaled(whole, 1 / count)
    return Production(day=whole, dough_mass_g=seen.dough_mass_g, batches=count, batch=batch,
                      batch_mass_g=seen.dough_mass_g / count, scald_mass_g=seen.scald_mass_g,
                      dusting_g=seen.flour_g * recipe.dusting_percent / 100,
                      weigh_out=None if scale is None else weigh_out(batch.lines, scale))


def _check_pieces(recipe: Recipe, orders: Sequence[Size]) -> None:
    """Refuses a mixer that can't hold the dough of the largest piece: no batch would make one."""
    pieces = [order.piece_mass_g for order in orders if order.piece_mass_g is not None]
    if recipe.mixer_capacity_g is None or not pieces:
        return
    least = mixed_mass_g(max(pieces), recipe.losses, baked=False)
    if recipe.mixer_capacity_g < least * (1 - WHOLE_TOLERANCE):
        raise Refusal("mixer_capacity", "mixer_below_a_piece",
                      "one piece takes {least} of dough to mix, more than this mixer holds at once",
                      given=recipe.mixer_capacity_g, nearest=least, quantity="mass",
                      amounts={"least": (least, "mass")})


def demand_of(recipes: Sequence[Recipe], orders: Sequence[Order], scale: Scale | None = None) -> Demand:
    """What the orders come to.

    Every order is sized by itself (``size_of``, as a single scaling is); an ingredient's total is the sum over orders,
    with dusting on top. With a scale, each recipe's batch is rounded for it and ``weighed_g`` is
    what the batches really take. Raises Refusal (argument ``orders.N...``, ``formulas.N...`` or
    ``scale...``, wherever the fault lies) for an order that cannot be scaled, for a mixer too small
    for its dough or for one piece, and for two ingredients of one name whose composition differs. Source: mass balance (exact).
    """
    seen: dict[int, Breakdown] = {}
    sizes = []
    for index, order in enumerate(orders):
        recipe, place = recipes[order.recipe], f"formulas.{order.recipe}."
        if order.recipe not in seen:
            seen[order.recipe] = _at({}, place, break_down, recipe.formula)
        sizes.append(_at({"target": f"orders.{index}."}, place, size_of, recipe.formula, seen[order.recipe],
                         order.target, recipe.losses))
    productions: list[Production | None] = []
    for index, recipe in enumerate(recipes):
        mine = [size for order, size in zip(orders, sizes) if order.recipe == index]
        productions.append(_at({"scale": ""}, f"formulas.{index}.", _produce, recipe, mine, scale)
                           if mine else None)
    return Demand(tuple(sizes), tuple(productions), _requirements(recipes, productions))


def _at(places: dict[str, str], place: str, function, *arguments):
    """Call, and put before the argument of a Refusal its place: that of its head, or else ``place``."""
    try:
        return function(*arguments)
    except Refusal as refusal:
        refusal.argument = places.get(refusal.argument.partition(".")[0], place) + refusal.argument
        raise


def _requirements(recipes: Sequence[Recipe], productions: Sequence[Production | None]) -> tuple[Requirement, ...]:
    known: dict[str, Ingredient] = {}
    masses: dict[str, dict[str, list[float]]] = {}
    weighed: dict[str, list[float]] = {}

    def add(line: Line, part: str, where: str) -> None:
        name = line.ingredient.name
        if known.setdefault(name, line.ingredient) != line.ingredient:
            raise Refusal(where, "two_compositions",
                          "another line uses this name for an ingredient of another composition; give one of them a "
                          "name of its own", given=name)
        masses.setdefault(name, {SCALD: [], DOUGH: [], DUSTING: []})[part].append(line.mass_g)

    for index, (recipe, made) in enumerate(zip(recipes, productions)):
        if made is None:
            continue
        for number, line in enumerate(made.day.lines):
            add(line, line.part, f"formulas.{index}.formula.lines.{number}.ingredient")
        if recipe.dusting is not None and made.dusting_g:
            add(Line(recipe.dusting, made.dusting_g), DUSTING, f"formulas.{index}.dusting_ingredient")
            weighed.setdefault(recipe.dusting.name, []).append(made.dusting_g)
        for entry in made.weigh_out.lines if made.weigh_out else ():
            weighed.setdefault(entry.line.ingredient.name, []).append(entry.mass_g * made.batches)
    rounded = any(made is not None and made.weigh_out is not None for made in productions)
    return tuple(Requirement(ingredient, fsum(masses[name][SCALD]), fsum(masses[name][DOUGH]),
                             fsum(masses[name][DUSTING]), fsum(weighed.get(name, ())) if rounded else None)
                 for name, ingredient in known.items())
