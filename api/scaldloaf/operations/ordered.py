"""What is asked of order-demand, and what is found for the day."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from scaldloaf.dough.costs import DayCost, Prices
from scaldloaf.dough.demand import Demand, Order, Production, Recipe
from scaldloaf.dough.packs import Pack, Packed
from scaldloaf.dough.scaling import Scale, Size
from scaldloaf.operations.context import Wire


class AskedOrder(NamedTuple):
    """An order by its name; mass_field: what the request calls the mass in its target.

    own: the caller's own codes for it. They are no part of ``order``, which all orders that are alike share.
    """

    name: str
    order: Order
    mass_field: str
    own: Wire | None = None


class OwnOfFormula(NamedTuple):
    """The caller's own codes for a formula and for each of its lines; lines is empty if none has any."""

    product: Wire | None
    lines: tuple[Wire | None, ...]


class Asked(NamedTuple):
    """Recipes with their ids, and orders of them.

    own: the codes of each recipe. scale None: nothing is rounded. most_mass_g: the largest mass that a
    request could bring back. packs None: none were given.
    """

    ids: tuple[str, ...]
    recipes: tuple[Recipe, ...]
    own: tuple[OwnOfFormula, ...]
    orders: tuple[AskedOrder, ...]
    scale: Scale | None
    most_mass_g: float
    prices: Prices | None
    packs: tuple[Pack, ...] | None


class Found(NamedTuple):
    """packed: by ingredient, of those that have a pack."""

    asked: Asked
    demand: Demand
    cost: DayCost | None
    packed: Mapping[str, Packed]

    def made(self) -> Iterator[tuple[int, str, Recipe, Production | None]]:
        """Each recipe's place, id, itself and its production (None: nothing is ordered of it)."""
        asked = self.asked
        return zip(range(len(asked.ids)), asked.ids, asked.recipes, self.demand.productions, strict=True)

    def sized(self) -> Iterator[tuple[AskedOrder, Size]]:
        """Each order and its size."""
        return zip(self.asked.orders, self.demand.orders, strict=True)


def first_of_each(orders: tuple[AskedOrder, ...]) -> Iterator[tuple[int, AskedOrder]]:
    """Of orders that are alike the first, with its place."""
    firsts: dict[int, int] = {}
    for index, each in enumerate(orders):
        if firsts.setdefault(id(each.order), index) == index:
            yield index, each
