"""order-demand: the day's orders to consolidated ingredients, batches, and the scald for the day before."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import repeat
from typing import NamedTuple

from scaldloaf.dough.costs import DayCost, Prices, day_cost
from scaldloaf.dough.demand import Demand, Order, Production, Recipe, Requirement, produce, requirements
from scaldloaf.dough.formula import Breakdown, Line, break_down
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scaling import BAKED_PIECES, DOUGH_MASS, PIECES, Scale, Size, Target, size_of
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.faults import closest
from scaldloaf.operations.lantern_quay import PRICES, TIN_LOAF
from scaldloaf.operations.located import located
from scaldloaf.operations.notes import Note, NotesOf
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import order_demand as schema
from scaldloaf.operations.steps import Working
from scaldloaf.operations.tables import csv_of
from scaldloaf.operations.wire.formulas import (
    check_mass,
    read_formula,
    read_ingredient,
    write_allergens,
    write_formula,
)
from scaldloaf.operations.wire.prices import read_prices, write_cost_lines
from scaldloaf.operations.wire.scaling import (
    amount_of,
    read_losses,
    read_scale,
    read_target,
    write_weigh_out,
)
from scaldloaf.operations.working.costs import cost_notes, show_cost
from scaldloaf.operations.working.scaling import over_what_is_left, weigh_out_notes

PLACES: Mapping[str, str] = {"recipes": "formulas"}
TEXTS = {
    "nothing_ordered": "Nothing is ordered of {formula}.",
    "bake_loss_not_used": (
        "The bake loss of {formula} does not enter: none of its orders is in baked pieces."
    ),
}
_note = NotesOf(TEXTS)


class AskedOrder(NamedTuple):
    """An order by its name; mass_field: what the request calls the mass in its target."""

    name: str
    order: Order
    mass_field: str


class Asked(NamedTuple):
    """Recipes with their ids, and orders of them.

    scale None: nothing is rounded. most_mass_g: the largest mass that a request could bring back.
    """

    ids: tuple[str, ...]
    recipes: tuple[Recipe, ...]
    orders: tuple[AskedOrder, ...]
    scale: Scale | None
    most_mass_g: float
    prices: Prices | None


class Found(NamedTuple):
    asked: Asked
    demand: Demand
    cost: DayCost | None

    def made(self) -> Iterator[tuple[int, str, Recipe, Production | None]]:
        """Each recipe's place, id, itself and its production (None: nothing is ordered of it)."""
        asked = self.asked
        return zip(range(len(asked.ids)), asked.ids, asked.recipes, self.demand.productions, strict=True)

    def sized(self) -> Iterator[tuple[AskedOrder, Size]]:
        """Each order and its size."""
        return zip(self.asked.orders, self.demand.orders, strict=True)


# ---- Reading -------------------------------------------------------------------------------------


def read(request: Wire, context: Context) -> Asked:
    formulas = request["formulas"]
    places = _places_by_id(formulas)
    recipes = tuple(_read_recipe(wire, index, context) for index, wire in enumerate(formulas))
    orders = tuple(_read_orders(request["orders"], places, context))
    scale = read_scale(request["scale"], context).scale if "scale" in request else None
    prices = read_prices(request, context, _ingredients_of(recipes))
    return Asked(tuple(places), recipes, orders, scale, context.most_mass_g, prices)


def _ingredients_of(recipes: Iterable[Recipe]) -> Iterator[str]:
    for recipe in recipes:
        yield from (line.ingredient.name for line in recipe.formula.lines)
        if recipe.dusting_ingredient is not None:
            yield recipe.dusting_ingredient.name


def _places_by_id(formulas: list[Wire]) -> dict[str, int]:
    places: dict[str, int] = {}
    for index, wire in enumerate(formulas):
        if places.setdefault(wire["id"], index) != index:
            raise Refusal(
                f"formulas.{index}.id",
                "id_twice",
                "another formula has this id already; ids tell them apart",
                given=wire["id"],
            )
    return places


def _read_orders(wires: list[Wire], places: dict[str, int], context: Context) -> Iterator[AskedOrder]:
    """The orders; those that are alike share one ``Order``."""
    known: dict[tuple[object, ...], Order] = {}
    for index, wire in enumerate(wires):
        target = wire["target"]
        alike = (wire["formula"], *target.items())
        order = known.get(alike)
        if order is None:
            order = Order(_place(places, wire, index), _read_target(target, context))
            known[alike] = order
        mass_field = "dough_mass" if target["kind"] == "pans" else "mass"
        yield AskedOrder(wire.get("id", str(index + 1)), order, mass_field)


def _place(places: dict[str, int], wire: Wire, index: int) -> int:
    if wire["formula"] not in places:
        raise Refusal(
            f"orders.{index}.formula",
            "unknown_formula",
            "no formula of this request has that id",
            given=wire["formula"],
            nearest=closest(wire["formula"], places),
        )
    return places[wire["formula"]]


def _read_recipe(wire: Wire, index: int, context: Context) -> Recipe:
    wire = schema.ProductionFormula.filled(wire)
    dusting_percent, dusting, at = wire["dusting_percent"], None, f"formulas.{index}"
    if dusting_percent:
        with located(**{f"{at}.ingredient": f"{at}.dusting_ingredient"}):
            dusting = read_ingredient(wire["dusting_ingredient"], None, at)
    return Recipe(
        read_formula(wire["formula"], context, f"{at}.formula"),
        read_losses(wire.get("losses", {})),
        dusting_percent,
        dusting,
        context.from_wire(wire.get("mixer_capacity"), "mass"),
    )


def _read_target(wire: Wire, context: Context) -> Target:
    if wire["kind"] == "pans":
        return Target(PIECES, context.units.from_wire(wire["dough_mass"], "mass"), wire["count"])
    return read_target(wire, context)


# ---- Computing -----------------------------------------------------------------------------------


def compute(asked: Asked) -> Found:
    sizes = _sizes(asked.recipes, asked.orders)
    demand = _demand(asked, sizes)
    heaviest = [max(line.mass_g for line in recipe.formula.lines) for recipe in asked.recipes]
    for index, each in _first_of_each(asked.orders):
        field, given, quantity = amount_of(each.order.target)
        largest = max(sizes[index].dough_mass_g, heaviest[each.order.recipe] * sizes[index].factor)
        with located(f"orders.{index}.target"):
            check_mass(largest, asked.most_mass_g, field, given, quantity)
    orders = [each.order for each in asked.orders]
    cost = day_cost(asked.recipes, orders, demand, asked.prices) if asked.prices else None
    return Found(asked, demand, cost)


def _first_of_each(orders: Sequence[AskedOrder]) -> Iterator[tuple[int, AskedOrder]]:
    """Of orders that are alike the first, with its place."""
    firsts: dict[int, int] = {}
    for index, each in enumerate(orders):
        if firsts.setdefault(id(each.order), index) == index:
            yield index, each


def _sizes(recipes: Sequence[Recipe], orders: Sequence[AskedOrder]) -> list[Size]:
    """Each order's size, as a single scaling has it; worked out once for orders that are alike."""
    breakdowns: dict[int, Breakdown] = {}
    sizes: dict[int, Size] = {}
    for index, (_, order, mass_field) in _first_of_each(orders):
        recipe, target = recipes[order.recipe], f"orders.{index}.target"
        with located(f"recipes.{order.recipe}", target=target, **{"target.mass": f"{target}.{mass_field}"}):
            if order.recipe not in breakdowns:
                breakdowns[order.recipe] = break_down(recipe.formula)
            sizes[id(order)] = size_of(recipe.formula, breakdowns[order.recipe], order.target, recipe.losses)
    return [sizes[id(each.order)] for each in orders]


def _demand(asked: Asked, sizes: list[Size]) -> Demand:
    """What is made of each recipe, and what that uses of each ingredient."""
    of_recipe: list[list[Size]] = [[] for _ in asked.recipes]
    for each, size in zip(asked.orders, sizes, strict=True):
        of_recipe[each.order.recipe].append(size)
    productions = []
    for index, (recipe, mine) in enumerate(zip(asked.recipes, of_recipe, strict=True)):
        with located(f"recipes.{index}", recipe=f"recipes.{index}", scale="scale"):
            productions.append(produce(recipe, mine, asked.scale) if mine else None)
    ingredients = requirements(asked.recipes, productions)
    return Demand(tuple(sizes), tuple(productions), ingredients)


# ---- Writing -------------------------------------------------------------------------------------


def write(found: Found, context: Context) -> Wire:
    asked, demand, out = found.asked, found.demand, context.units.to_wire
    counts = Counter(each.order.recipe for each in asked.orders)
    codes = cautions.of_formulas(recipe.formula for recipe in asked.recipes)
    if any(each.order.target.kind == BAKED_PIECES for each in asked.orders):
        codes += cautions.OF_BAKED_PIECES
    return context.reply(
        {
            "ingredients": [_write_ingredient(row, context) for row in demand.ingredients],
            "formulas": [
                _write_production(name, made, counts[index], context) for index, name, _, made in found.made()
            ],
            "orders": [
                {
                    "id": each.name,
                    "formula": asked.ids[each.order.recipe],
                    "factor": size.factor,
                    "dough_mass": out(size.dough_mass_g, "mass"),
                    "piece_mass": context.to_wire(size.piece_mass_g, "mass"),
                }
                for each, size in found.sized()
            ],
            "dough_mass": out(demand.dough_mass_g, "mass"),
            "allergens": write_allergens(_lines(found)),
            **({} if found.cost is None else {"cost": _write_cost(found, found.cost, context)}),
        },
        lambda show: _show(show, found),
        basis=("mass_balance",),
        cautions=codes,
        notes=_notes(found),
    )


def _write_cost(found: Found, cost: DayCost, context: Context) -> Wire:
    made = zip(found.made(), cost.recipes, strict=True)
    return {
        "total": cost.ingredients.total,
        "per_piece": None,
        "batches": [
            {
                "id": name,
                "batches": production.batches if production else 0,
                "per_batch": each.per_batch,
                "total": each.total,
            }
            for (_, name, _, production), each in made
        ],
        "lines": write_cost_lines(cost.ingredients, context),
        "without_price": list(cost.ingredients.without_price),
        "orders": [
            {"id": asked.name, "total": each.total, "per_piece": each.per_piece}
            for asked, each in zip(found.asked.orders, cost.orders, strict=True)
        ],
    }


def _lines(found: Found) -> Iterator[Line]:
    """All that is used: the lines of what is made, then what is strewn."""
    for _, _, _, made in found.made():
        if made is not None:
            yield from made.day.lines
    for _, _, recipe, made in found.made():
        if made is not None and recipe.dusting_ingredient is not None:
            yield Line(recipe.dusting_ingredient, made.dusting_g)


def _write_ingredient(row: Requirement, context: Context) -> Wire:
    out, weighed = context.units.to_wire, context.to_wire(row.weighed_g, "mass")
    return {
        "ingredient": row.ingredient.name,
        "mass": out(row.total_g, "mass"),
        "scald": out(row.scald_g, "mass"),
        "dough": out(row.dough_g, "mass"),
        "dusting": out(row.dusting_g, "mass"),
        "weighed": None if weighed is None else round(weighed, 9),
        "allergens": list(row.ingredient.allergens),
    }


def _write_production(name: str, made: Production | None, orders: int, context: Context) -> Wire:
    out = context.units.to_wire
    if made is None:
        return {
            "id": name,
            "orders": 0,
            "dough_mass": 0.0,
            "batches": 0,
            "batch_dough_mass": 0.0,
            "scald_mass": 0.0,
            "dusting": 0.0,
            "batch": None,
            "batch_weigh_out": [],
        }
    return {
        "id": name,
        "orders": orders,
        "dough_mass": out(made.dough_mass_g, "mass"),
        "batches": made.batches,
        "batch_dough_mass": out(made.batch_mass_g, "mass"),
        "scald_mass": out(made.scald_mass_g, "mass"),
        "dusting": out(made.dusting_g, "mass"),
        "batch": write_formula(made.batch, context),
        "batch_weigh_out": write_weigh_out(made.weigh_out.lines, context) if made.weigh_out else [],
    }


def _notes(found: Found) -> Iterator[Note]:
    for made in found.demand.productions:
        if made is not None and made.weigh_out is not None:
            yield from weigh_out_notes(made.weigh_out)
    for _, name, _, made in found.made():
        if made is None:
            yield _note("nothing_ordered", formula=name)
    orders = found.asked.orders
    baked = {each.order.recipe for each in orders if each.order.target.kind == BAKED_PIECES}
    for index, name, recipe, made in found.made():
        if made is not None and recipe.losses.loaf_percent and index not in baked:
            yield _note("bake_loss_not_used", formula=name)
    yield from cost_notes(found.cost.ingredients if found.cost else None)


def _show(show: Working, found: Found) -> None:
    shown, asked = show.format, found.asked
    alike = Counter(id(each.order) for each in asked.orders)
    for index, each in _first_of_each(asked.orders):
        size, more = found.demand.orders[index], alike[id(each.order)] - 1
        target, losses = each.order.target, asked.recipes[each.order.recipe].losses
        count = "" if target.kind == DOUGH_MASS else f"{target.count} × "
        show.step(
            f"Order {each.name}{f' and {more} like it' if more else ''} of {asked.ids[each.order.recipe]}",
            f"{count}{shown(target.mass_g, 'mass')}{over_what_is_left(target, losses)} = "
            f"{shown(size.before.dough_mass_g, 'mass')} in the formula × {shown(size.factor)}",
            size.dough_mass_g,
            "mass",
        )
    for _, name, recipe, made in found.made():
        if made is not None:
            _show_production(show, name, recipe.mixer_capacity_g, made)
    show.step("Total dough", "all formulas added", found.demand.dough_mass_g, "mass")
    if found.cost is not None:
        show_cost(show, found.cost.ingredients)


def _show_production(show: Working, name: str, capacity_g: float | None, made: Production) -> None:
    dough = show.format(made.dough_mass_g, "mass")
    show.step(f"Dough of {name}", "its orders added", made.dough_mass_g, "mass")
    if capacity_g is not None:
        capacity = show.format(capacity_g, "mass")
        show.step(f"Batches of {name}", f"{dough} ÷ {capacity}, rounded up", made.batches)
    show.step(f"Batch of {name}", f"{dough} ÷ {made.batches}", made.batch_mass_g, "mass")


# ---- As CSV --------------------------------------------------------------------------------------


CSV_COLUMNS = ("ingredient", "mass", "scald", "dough", "dusting", "weighed")


def to_csv(reply: Wire) -> bytes:
    """The consolidated ingredients as CSV (RFC 4180), the unit in the head of each column, costs last."""
    unit = reply["units"]["mass"]
    costs = [[line["cost"]] for line in reply["cost"]["lines"]] if "cost" in reply else None
    head = [CSV_COLUMNS[0], *(f"{column} ({unit})" for column in CSV_COLUMNS[1:]), "allergens"]
    rows = (
        [*(row[column] for column in CSV_COLUMNS), " ".join(row["allergens"]), *cost]
        for row, cost in zip(reply["ingredients"], costs or repeat([]), strict=False)
    )
    return csv_of([[*head, "cost"] if costs else head, *rows])


ORDER_DEMAND = Operation(
    name="order-demand",
    summary="Turn a day's orders into ingredients, batches and scald",
    description="Scales each order, adds them up by formula and ingredient, divides them into batches "
    "for the mixer, and lists the scald for the day before. Takes all orders of a day at "
    "once: send each formula once, and let orders name it by its `id`, in a body of up to "
    "2 MB. `Accept: text/csv` gives the ingredients as a table.",
    request=schema.OrderDemandRequest,
    read=read,
    compute=compute,
    write=write,
    places=lambda asked, context: PLACES,
    writers={"text/csv": to_csv},
    takes_a_day=True,
    examples=(
        Example(
            "day",
            "Two orders of the tin loaf at Lantern Quay, with a 20 kg mixer",
            {
                "formulas": [
                    {
                        "id": "tin loaf",
                        "formula": TIN_LOAF,
                        "losses": {"handling_percent": 2, "bake_percent": 10},
                        "dusting_percent": 1,
                        "mixer_capacity": 20000,
                    }
                ],
                "orders": [
                    {
                        "id": "harbour café",
                        "formula": "tin loaf",
                        "target": {"kind": "baked_pieces", "count": 40, "mass": 400},
                    },
                    {
                        "id": "school",
                        "formula": "tin loaf",
                        "target": {"kind": "pans", "count": 12, "dough_mass": 470},
                    },
                ],
                "scale": {"resolution": 5, "fine_resolution": 0.1},
                "prices": PRICES,
            },
        ),
    ),
)
