"""Costs: what ingredients cost at a baker's own prices, rounded so that lines add up.

Bookkeeping throughout (evidence ``exact``), in fractions of the decimals that were typed: a price of 0.1 is a
tenth. A ratio of two masses counts to its first 12 digits, which takes off what only units and floats bring.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import floor, fsum
from typing import NamedTuple

from scaldloaf.dough.demand import Demand, Order, Recipe
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scaling import BAKED_PIECES, PIECES

MOST_STEPS = 10**15  # of the smallest coin in a total: a double holds each such number


class Price(NamedTuple):
    """What ``per_g`` grams of an ingredient cost, in the caller's currency."""

    ingredient: str
    price: float
    per_g: float

    def cost(self, mass_g: float) -> Fraction:
        """What a mass costs, not rounded."""
        return Fraction(str(self.price)) * _ratio(mass_g, self.per_g)


class Prices(NamedTuple):
    """Prices, each of another ingredient, and to how many decimals costs are rounded."""

    prices: tuple[Price, ...]
    decimals: int


class LineCost(NamedTuple):
    """What a line costs: exactly and rounded; price None: it has none, so neither has a value."""

    ingredient: str
    mass_g: float
    price: Price | None
    exact: Fraction | None
    cost: float | None


class Cost(NamedTuple):
    """What lines cost. exact: the lines with a price, not rounded. steps: the total in its smallest coin.

    without_price: ingredients of some mass that have no price. not_used: ingredients with a price but no
    line.
    """

    exact: Fraction
    steps: int
    decimals: int
    lines: tuple[LineCost, ...]
    without_price: tuple[str, ...]
    not_used: tuple[str, ...]

    @property
    def total(self) -> float:
        """The rounded total, which the rounded lines add up to."""
        return _amount(self.steps, self.decimals)


class BatchCost(NamedTuple):
    """What a recipe's batches cost together, and one of them."""

    total: float
    per_batch: float


class OrderCost(NamedTuple):
    """What an order costs, and one of its pieces; None without pieces."""

    total: float
    per_piece: float | None


class DayCost(NamedTuple):
    """What a day costs: by ingredient, by recipe and by order. Recipes add up to the day, and orders to their
    recipe."""

    ingredients: Cost
    recipes: tuple[BatchCost, ...]
    orders: tuple[OrderCost, ...]


def _ratio(part: float, whole: float) -> Fraction:
    return Fraction(f"{part / whole:.12g}")


def _amount(steps: int, decimals: int) -> float:
    return steps / int(10**decimals)


def rounded(cost: Fraction, decimals: int) -> float:
    """A cost to so many decimals, halves up. Exact."""
    return _amount(_steps(cost, decimals), decimals)


def _steps(cost: Fraction, decimals: int) -> int:
    return floor(cost * int(10**decimals) + Fraction(1, 2))


def shared(costs: Sequence[Fraction], steps: int, decimals: int) -> list[int]:
    """Whole steps for each cost, adding up to ``steps``, which is their rounded sum or one off it.

    Cuts every cost to whole steps and gives the missing ones to the largest rests, so each is within a
    step of its cost. Source: largest-remainder rule (exact).
    """
    cut = [divmod(cost * 10**decimals, 1) for cost in costs]
    whole = [int(steps) for steps, _ in cut]
    missing = max(steps - sum(whole), 0)
    for place in sorted(range(len(cut)), key=lambda place: -cut[place][1])[:missing]:
        whole[place] += 1
    return whole


def cost_of(masses: Iterable[tuple[str, float]], prices: Prices) -> Cost:
    """What lines cost.

    Parameters
        masses : (ingredient, mass)  [g]
        prices : Prices  [currency of the caller per g]
    Raises
        Refusal: for a total of more than MOST_STEPS of the smallest coin.
    Source
        mass balance (exact)
    """
    by_name = {price.ingredient: price for price in prices.prices}
    lines = [(name, mass_g, by_name.get(name)) for name, mass_g in masses]
    costs = [price.cost(mass_g) for _, mass_g, price in lines if price is not None]
    total = sum(costs, Fraction(0))
    steps = _steps(total, prices.decimals)
    if steps > MOST_STEPS:
        whole = _steps(total, 0)
        fitting = [decimals for decimals in range(prices.decimals) if whole * 10**decimals < MOST_STEPS]
        raise Refusal(
            "price_decimals",
            "cost_too_large",
            "the cost has more than {most} digits; round it to fewer decimals, or give the prices in a "
            "larger "
            "unit of money",
            given=prices.decimals,
            nearest=fitting[-1] if fitting else None,
            amounts={"most": (len(str(MOST_STEPS)) - 1, None)},
        )
    exact, each = iter(costs), iter(shared(costs, steps, prices.decimals))
    used = {name for name, _, _ in lines}
    return Cost(
        total,
        steps,
        prices.decimals,
        tuple(
            LineCost(name, mass_g, None, None, None)
            if price is None
            else LineCost(name, mass_g, price, next(exact), _amount(next(each), prices.decimals))
            for name, mass_g, price in lines
        ),
        tuple(dict.fromkeys(name for name, mass_g, price in lines if price is None and mass_g > 0)),
        tuple(name for name in by_name if name not in used),
    )


def day_cost(recipes: Sequence[Recipe], orders: Sequence[Order], demand: Demand, prices: Prices) -> DayCost:
    """What a day costs, dusting included: each order has its share of its recipe, by its factor.

    Parameters
        recipes : Sequence[Recipe]
        orders : Sequence[Order]  each of one of the recipes, by its place among them
        demand : Demand  of these orders of these recipes
        prices : Prices
    Returns
        DayCost  [the currency of the prices]
    Raises
        Refusal: as ``cost_of``.
    Source
        mass balance (exact)
    """
    ingredients = cost_of([(row.ingredient.name, row.total_g) for row in demand.ingredients], prices)
    decimals = prices.decimals
    by_recipe = [_recipe_cost(demand, recipes, index, prices) for index in range(len(recipes))]
    steps = shared(by_recipe, ingredients.steps, decimals)
    batches = [made.batches if made else 1 for made in demand.productions]
    found: list[OrderCost | None] = [None] * len(orders)
    for recipe, exact in enumerate(by_recipe):
        mine = [place for place, order in enumerate(orders) if order.recipe == recipe]
        whole = fsum(demand.orders[place].factor for place in mine)
        parts = [exact * _ratio(demand.orders[place].factor, whole) for place in mine]
        for place, part, own in zip(mine, parts, shared(parts, steps[recipe], decimals), strict=True):
            target = orders[place].target
            pieces = target.count if target.kind in (PIECES, BAKED_PIECES) else None
            per_piece = None if pieces is None else rounded(part / int(pieces), decimals)
            found[place] = OrderCost(_amount(own, decimals), per_piece)
    return DayCost(
        ingredients,
        tuple(
            BatchCost(_amount(own, decimals), rounded(exact / count, decimals))
            for own, exact, count in zip(steps, by_recipe, batches, strict=True)
        ),
        tuple(each for each in found if each is not None),
    )


def _recipe_cost(demand: Demand, recipes: Sequence[Recipe], index: int, prices: Prices) -> Fraction:
    """What is made of one recipe costs, its dusting included, not rounded."""
    made, dusting = demand.productions[index], recipes[index].dusting_ingredient
    masses: dict[str, list[float]] = {}
    for line in made.day.lines if made else ():
        masses.setdefault(line.ingredient.name, []).append(line.mass_g)
    if made and dusting:
        masses.setdefault(dusting.name, []).append(made.dusting_g)
    priced = [price for price in prices.prices if price.ingredient in masses]
    return sum((price.cost(fsum(masses[price.ingredient])) for price in priced), Fraction(0))
