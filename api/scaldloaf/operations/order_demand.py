"""order-demand: the day's orders to consolidated ingredients, batches, and the scald for the day before."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from scaldloaf.dough.costs import day_cost
from scaldloaf.dough.demand import Demand, Order, Recipe, Requirement, produce, requirements
from scaldloaf.dough.formula import Breakdown, break_down
from scaldloaf.dough.packs import Pack, Packed, whole_packs
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scaling import BAKED_PIECES, PIECES, Size, Target, size_of
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.faults import closest
from scaldloaf.operations.lantern_quay import A_DAY_WITH_CODES, PRICES, TIN_LOAF
from scaldloaf.operations.located import located
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.ordered import Asked, AskedOrder, Found, first_of_each
from scaldloaf.operations.schemas import order_demand as schema
from scaldloaf.operations.tables import csv_of
from scaldloaf.operations.wire.formulas import check_mass, read_formula, read_ingredient, write_allergens
from scaldloaf.operations.wire.order_demand import (
    lines_used,
    read_own,
    write_day_cost,
    write_ingredients,
    write_orders,
    write_productions,
)
from scaldloaf.operations.wire.order_tables import TABLES, ingredients_table
from scaldloaf.operations.wire.packs import read_packs
from scaldloaf.operations.wire.prices import read_prices
from scaldloaf.operations.wire.scaling import amount_of, read_losses, read_scale, read_target
from scaldloaf.operations.working.order_demand import notes_on_day, roundings_of, show_day

PLACES: Mapping[str, str] = {"recipes": "formulas"}

# ---- Reading -------------------------------------------------------------------------------------


def read(request: Wire, context: Context) -> Asked:
    formulas = request["formulas"]
    places = _places_by_id(formulas)
    recipes = tuple(_read_recipe(wire, index, context) for index, wire in enumerate(formulas))
    orders = tuple(_read_orders(request["orders"], places, context))
    scale = read_scale(request["scale"], context).scale if "scale" in request else None
    names = list(_ingredients_of(recipes))
    return Asked(
        tuple(places),
        recipes,
        tuple(map(read_own, formulas)),
        orders,
        scale,
        context.most_mass_g,
        read_prices(request, context, names),
        read_packs(request, context, names),
    )


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
        yield AskedOrder(wire.get("id", str(index + 1)), order, mass_field, wire.get("own"))


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
    for index, each in first_of_each(asked.orders):
        field, given, quantity = amount_of(each.order.target)
        largest = max(sizes[index].dough_mass_g, heaviest[each.order.recipe] * sizes[index].factor)
        with located(f"orders.{index}.target"):
            check_mass(largest, asked.most_mass_g, field, given, quantity)
    orders = [each.order for each in asked.orders]
    cost = day_cost(asked.recipes, orders, demand, asked.prices) if asked.prices else None
    return Found(asked, demand, cost, _packed(asked.packs or (), demand.ingredients))


def _sizes(recipes: Sequence[Recipe], orders: tuple[AskedOrder, ...]) -> list[Size]:
    """Each order's size, as a single scaling has it; worked out once for orders that are alike."""
    breakdowns: dict[int, Breakdown] = {}
    sizes: dict[int, Size] = {}
    for index, (_, order, mass_field, _) in first_of_each(orders):
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


def _packed(packs: Iterable[Pack], ingredients: Iterable[Requirement]) -> dict[str, Packed]:
    """By ingredient the packs that it takes, of those that have a pack and are used."""
    used = {row.ingredient.name: row.used_g for row in ingredients}
    packed = {}
    for index, pack in enumerate(packs):
        if pack.ingredient in used:
            with located(pack_mass=f"packs.{index}.pack_mass"):
                packed[pack.ingredient] = whole_packs(used[pack.ingredient], pack)
    return packed


# ---- Writing -------------------------------------------------------------------------------------


def write(found: Found, context: Context) -> Wire:
    asked, demand = found.asked, found.demand
    counts = Counter(each.order.recipe for each in asked.orders)
    codes = cautions.of_formulas(recipe.formula for recipe in asked.recipes)
    if any(each.order.target.kind == BAKED_PIECES for each in asked.orders):
        codes += cautions.OF_BAKED_PIECES
    return context.reply(
        {
            "ingredients": write_ingredients(found, context),
            "formulas": write_productions(found, counts, context),
            "orders": write_orders(found, context),
            "dough_mass": context.units.to_wire(demand.dough_mass_g, "mass"),
            "allergens": write_allergens(lines_used(found)),
            "rounding": roundings_of(found, context),
            **({} if found.cost is None else {"cost": write_day_cost(found, found.cost, context)}),
        },
        lambda show: show_day(show, found),
        basis=("mass_balance",),
        cautions=codes,
        notes=notes_on_day(found),
    )


ORDER_DEMAND = Operation(
    name="order-demand",
    summary="Turn a day's orders into ingredients, batches and scald",
    description="Scales each order, adds them up by formula and ingredient, divides them into batches "
    "for the mixer, and lists the scald for the day before. Takes all orders of a day at "
    "once: send each formula once, and let orders name it by its `id`, in a body of up to "
    "2 MB. Your own codes (`own`) come back unchanged. POST /v1/order-demand.csv gives the same "
    "as tables. `Accept: text/csv` on this path still gives the ingredients as a table and is "
    "deprecated.",
    request=schema.OrderDemandRequest,
    read=read,
    compute=compute,
    write=write,
    places=lambda asked, context: PLACES,
    writers={"text/csv": lambda reply: csv_of(ingredients_table(reply))},
    tables=TABLES,
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
        Example(
            "own_codes_and_packs",
            "Your own codes on product, lines and order, and flour by the sack",
            A_DAY_WITH_CODES,
        ),
    ),
)
