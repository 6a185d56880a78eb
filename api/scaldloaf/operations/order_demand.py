"""order-demand: the day's orders to consolidated ingredients, batches, and the scald for the day before."""

import csv
import io

from scaldloaf.dough.demand import Demand, Order, Production, Recipe, Requirement, produce, requirements
from scaldloaf.dough.formula import Breakdown, Line, break_down
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scaling import BAKED_PIECES, DOUGH_MASS, PIECES, Scale, Size, Target, size_of
from scaldloaf.operations.context import Context
from scaldloaf.operations.faults import closest
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.located import located
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.scaling import (
    amount_field,
    over_what_is_left,
    read_losses,
    read_scale,
    read_target,
    weigh_out_notes,
    write_weigh_out,
)
from scaldloaf.operations.schemas import order_demand as schema
from scaldloaf.operations.wire.formulas import (
    check_mass,
    formula_cautions,
    read_formula,
    read_ingredient,
    write_allergens,
    write_formula,
)
from scaldloaf.operations.working.steps import Working


def _recipe(wire: dict, index: int, context: Context) -> Recipe:
    wire = schema.ProductionFormula.filled(wire)
    dusting_percent = wire["dusting_percent"]
    dusting = None
    if dusting_percent:
        name = wire["dusting_ingredient"]
        with located(**{f"formulas.{index}.ingredient": f"formulas.{index}.dusting_ingredient"}):
            dusting = read_ingredient(name, None, f"formulas.{index}")
    capacity = wire.get("mixer_capacity")
    return Recipe(
        read_formula(wire["formula"], context, f"formulas.{index}.formula"),
        read_losses(wire.get("losses", {})),
        dusting_percent,
        dusting,
        None if capacity is None else context.units.from_wire(capacity, "mass"),
    )


def _target(wire: dict, context: Context) -> Target:
    if wire["kind"] == "pans":
        return Target(PIECES, context.units.from_wire(wire["dough_mass"], "mass"), wire["count"])
    return read_target(wire, context)


def _places(formulas: list[dict]) -> dict[str, int]:
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


def _place(places: dict[str, int], wire: dict, index: int) -> int:
    if wire["formula"] not in places:
        raise Refusal(
            f"orders.{index}.formula",
            "unknown_formula",
            "no formula of this request has that id",
            given=wire["formula"],
            nearest=closest(wire["formula"], places),
        )
    return places[wire["formula"]]


def _sizes(recipes: list[Recipe], orders: list[Order], wire_orders: list[dict]) -> list[Size]:
    """Each order's size, by itself, as a single scaling has it."""
    breakdowns: dict[int, Breakdown] = {}
    sizes = []
    for index, (order, wire) in enumerate(zip(orders, wire_orders, strict=True)):
        recipe, target = recipes[order.recipe], f"orders.{index}.target"
        mass = "dough_mass" if wire["target"]["kind"] == "pans" else "mass"
        with located(f"formulas.{order.recipe}", target=target, **{"target.mass": f"{target}.{mass}"}):
            if order.recipe not in breakdowns:
                breakdowns[order.recipe] = break_down(recipe.formula)
            sizes.append(size_of(recipe.formula, breakdowns[order.recipe], order.target, recipe.losses))
    return sizes


def _demand(recipes: list[Recipe], orders: list[Order], sizes: list[Size], scale: Scale | None) -> Demand:
    """What is made of each recipe, and what that uses of each ingredient."""
    productions = []
    for index, recipe in enumerate(recipes):
        mine = [size for order, size in zip(orders, sizes, strict=True) if order.recipe == index]
        with located(f"formulas.{index}", recipe=f"formulas.{index}", scale="scale"):
            productions.append(produce(recipe, mine, scale) if mine else None)
    with located(recipes="formulas"):
        ingredients = requirements(recipes, productions)
    return Demand(tuple(sizes), tuple(productions), ingredients)


def _write_ingredient(row: Requirement, out) -> dict:
    return {
        "ingredient": row.ingredient.name,
        "mass": out(row.total_g, "mass"),
        "scald": out(row.scald_g, "mass"),
        "dough": out(row.dough_g, "mass"),
        "dusting": out(row.dusting_g, "mass"),
        "weighed": None if row.weighed_g is None else round(out(row.weighed_g, "mass"), 9),
        "allergens": list(row.ingredient.allergens),
    }


def _write_production(wire: dict, made: Production | None, orders: int, context: Context) -> dict:
    out = context.units.to_wire
    if made is None:
        return {
            "id": wire["id"],
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
        "id": wire["id"],
        "orders": orders,
        "dough_mass": out(made.dough_mass_g, "mass"),
        "batches": made.batches,
        "batch_dough_mass": out(made.batch_mass_g, "mass"),
        "scald_mass": out(made.scald_mass_g, "mass"),
        "dusting": out(made.dusting_g, "mass"),
        "batch": write_formula(made.batch, context),
        "batch_weigh_out": write_weigh_out(made.weigh_out, context) if made.weigh_out else [],
    }


def run(request: dict, context: Context) -> dict:
    wire_formulas, wire_orders = request["formulas"], request["orders"]
    places = _places(wire_formulas)
    recipes = [_recipe(wire, index, context) for index, wire in enumerate(wire_formulas)]
    orders = [
        Order(_place(places, wire, index), _target(wire["target"], context))
        for index, wire in enumerate(wire_orders)
    ]
    scale = read_scale(request["scale"], context) if "scale" in request else None
    demand = _demand(recipes, orders, _sizes(recipes, orders, wire_orders), scale)
    heaviest = [max(line.mass_g for line in recipe.formula.lines) for recipe in recipes]
    for index, (wire, size) in enumerate(zip(wire_orders, demand.orders)):
        amount = amount_field(wire["target"])
        check_mass(
            max(size.dough_mass_g, heaviest[orders[index].recipe] * size.factor),
            context,
            f"orders.{index}.target.{amount}",
            wire["target"][amount],
        )
    counts = [sum(1 for order in orders if order.recipe == index) for index in range(len(recipes))]
    out = context.units.to_wire
    names = [wire.get("id", str(index + 1)) for index, wire in enumerate(wire_orders)]
    made_lines = [line for made in demand.productions if made for line in made.day.lines]
    made_lines += [
        Line(recipe.dusting_ingredient, made.dusting_g)
        for recipe, made in zip(recipes, demand.productions)
        if made and recipe.dusting_ingredient
    ]

    def working(show: Working) -> None:
        shown = show.format
        for name, wire, order, size in zip(names, wire_orders, orders, demand.orders):
            target, losses = order.target, recipes[order.recipe].losses
            count = "" if target.kind == DOUGH_MASS else f"{target.count} × "
            show.step(
                f"Order {name} of {wire['formula']}",
                f"{count}{shown(target.mass_g, 'mass')}{over_what_is_left(target, losses)} = "
                f"{shown(size.before.dough_mass_g, 'mass')} in the formula × {shown(size.factor)}",
                size.dough_mass_g,
                "mass",
            )
        for wire, recipe, made in zip(wire_formulas, recipes, demand.productions):
            if made is not None:
                show.step(f"Dough of {wire['id']}", "its orders added", made.dough_mass_g, "mass")
                if recipe.mixer_capacity_g is not None:
                    capacity = shown(recipe.mixer_capacity_g, "mass")
                    show.step(
                        f"Batches of {wire['id']}",
                        f"{shown(made.dough_mass_g, 'mass')} ÷ {capacity}, rounded up",
                        made.batches,
                    )
                show.step(
                    f"Batch of {wire['id']}",
                    f"{shown(made.dough_mass_g, 'mass')} ÷ {made.batches}",
                    made.batch_mass_g,
                    "mass",
                )
        show.step("Total dough", "all formulas added", demand.dough_mass_g, "mass")

    notes = [
        note
        for made in demand.productions
        if made and made.weigh_out
        for note in weigh_out_notes(made.weigh_out, context)
    ]
    notes += [
        ("nothing_ordered", f"Nothing is ordered of {wire['id']}.")
        for wire, made in zip(wire_formulas, demand.productions)
        if made is None
    ]
    baked = {order.recipe for order in orders if order.target.kind == BAKED_PIECES}
    notes += [
        (
            "bake_loss_not_used",
            f"The bake loss of {wire['id']} does not enter: none of its orders is in baked pieces.",
        )
        for index, (wire, recipe, made) in enumerate(zip(wire_formulas, recipes, demand.productions))
        if made is not None and recipe.losses.bake_percent and index not in baked
    ]
    cautions = [code for recipe in recipes for code in formula_cautions(recipe.formula)]
    if len(recipes) > 1:
        cautions.append("allergen_contact")
    if any(order.target.kind == BAKED_PIECES for order in orders):
        cautions.append("net_weight")
    return context.reply(
        {
            "ingredients": [_write_ingredient(row, out) for row in demand.ingredients],
            "formulas": [
                _write_production(wire, made, count, context)
                for wire, made, count in zip(wire_formulas, demand.productions, counts)
            ],
            "orders": [
                {
                    "id": name,
                    "formula": wire["formula"],
                    "factor": size.factor,
                    "dough_mass": out(size.dough_mass_g, "mass"),
                    "piece_mass": None if size.piece_mass_g is None else out(size.piece_mass_g, "mass"),
                }
                for name, wire, size in zip(names, wire_orders, demand.orders)
            ],
            "dough_mass": out(demand.dough_mass_g, "mass"),
            "allergens": write_allergens(made_lines),
        },
        working,
        basis=("mass_balance",),
        cautions=cautions,
        notes=notes,
    )


# What spreadsheets take for the beginning of a formula, as some take the wide forms too.
_FORMULA_SIGNS = tuple("=+-@＝＋－＠")
CSV_COLUMNS = ("ingredient", "mass", "scald", "dough", "dusting", "weighed")


def _cell(value: object) -> object:
    """A cell that no spreadsheet takes for a formula of its own."""
    return "'" + value if isinstance(value, str) and value.lstrip().startswith(_FORMULA_SIGNS) else value


def to_csv(reply: dict) -> bytes:
    """The consolidated ingredients as CSV (RFC 4180), the unit in the head of each column."""
    table = io.StringIO(newline="")
    writer = csv.writer(table)
    unit = reply["units"]["mass"]
    writer.writerow([CSV_COLUMNS[0], *(f"{column} ({unit})" for column in CSV_COLUMNS[1:]), "allergens"])
    for row in reply["ingredients"]:
        writer.writerow(
            [
                *(_cell("" if row[column] is None else row[column]) for column in CSV_COLUMNS),
                _cell(" ".join(row["allergens"])),
            ]
        )
    return table.getvalue().encode("utf-8")


ORDER_DEMAND = Operation(
    name="order-demand",
    summary="A day's orders to ingredients, batches and scald",
    description="Scales each order, adds them up by formula and ingredient, parts them into batches for the mixer, and "
    "lists the scald for the day before. `Accept: text/csv` gives the ingredients as a table.",
    request=schema.OrderDemandRequest,
    run=run,
    writers={"text/csv": to_csv},
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
            },
        ),
    ),
)
