"""A day's ingredients, batches and costs on the wire, with the caller's own codes where they were sent."""

from collections.abc import Iterable, Iterator
from math import fsum
from typing import NamedTuple

from scaldloaf.dough.costs import DayCost
from scaldloaf.dough.demand import Production, Recipe, Requirement
from scaldloaf.dough.formula import Line
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.ordered import Found, OwnOfFormula
from scaldloaf.operations.wire.formulas import write_allergens, write_formula
from scaldloaf.operations.wire.packs import write_packed
from scaldloaf.operations.wire.prices import write_cost_lines
from scaldloaf.operations.wire.scaling import write_weigh_out


class _MassOfOwn(NamedTuple):
    """A set of the caller's own codes, and the masses of the lines that have it, g."""

    own: Wire
    masses_g: list[float]


def read_own(wire: Wire) -> OwnOfFormula:
    """The caller's own codes of a formula of the request."""
    of_lines = tuple([line.get("own") for line in wire["formula"]["lines"]])
    return OwnOfFormula(wire.get("own"), of_lines if any(own is not None for own in of_lines) else ())


def write_ingredients(found: Found, context: Context) -> list[Wire]:
    by_own = _masses_by_own(found)
    rows = [_write_ingredient(row, context) for row in found.demand.ingredients]
    for row in rows:
        name = row["ingredient"]
        if name in by_own:
            row["by_own"] = [
                {"own": own, "mass": context.units.to_wire(fsum(masses_g), "mass")}
                for own, masses_g in by_own[name].values()
            ]
        if found.asked.packs is not None:
            row["packs"] = write_packed(found.packed[name], context) if name in found.packed else None
    return rows


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


def _masses_by_own(found: Found) -> dict[str, dict[frozenset[tuple[str, str]], _MassOfOwn]]:
    """By ingredient, each different set of codes of its lines with the day's masses of those lines."""
    by_name: dict[str, dict[frozenset[tuple[str, str]], _MassOfOwn]] = {}
    for (_, _, _, made), codes in zip(found.made(), found.asked.own, strict=True):
        if made is None or not codes.lines:
            continue
        for line, own in zip(made.day.lines, codes.lines, strict=True):
            if own:
                sets = by_name.setdefault(line.ingredient.name, {})
                sets.setdefault(frozenset(own.items()), _MassOfOwn(own, [])).masses_g.append(line.mass_g)
    return by_name


def write_productions(found: Found, orders: dict[int, int], context: Context) -> list[Wire]:
    """orders: how many there are, by the place of the recipe."""
    written = []
    for (index, name, recipe, made), codes in zip(found.made(), found.asked.own, strict=True):
        row = _write_production(name, made, orders.get(index, 0), context)
        row["allergens"] = write_allergens(_with_dusting(recipe))
        if codes.product is not None:
            row["own"] = codes.product
        if codes.lines and made is not None:
            _add_own(row["batch"]["lines"], codes)
            _add_own(row["batch_weigh_out"], codes)
        written.append(row)
    return written


def _with_dusting(recipe: Recipe) -> Iterator[Line]:
    yield from recipe.formula.lines
    if recipe.dusting_ingredient is not None:
        yield Line(recipe.dusting_ingredient, 0.0)


def _add_own(lines: list[Wire], codes: OwnOfFormula) -> None:
    """lines: none, or as many as the formula has, in its order."""
    for line, own in zip(lines, codes.lines, strict=bool(lines)):
        if own is not None:
            line["own"] = own


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


def write_orders(found: Found, context: Context) -> list[Wire]:
    ids, out = found.asked.ids, context.units.to_wire
    rows: list[Wire] = [
        {
            "id": each.name,
            "formula": ids[each.order.recipe],
            "factor": size.factor,
            "dough_mass": out(size.dough_mass_g, "mass"),
            "piece_mass": context.to_wire(size.piece_mass_g, "mass"),
        }
        for each, size in found.sized()
    ]
    for row, each in zip(rows, found.asked.orders, strict=True):
        if each.own is not None:
            row["own"] = each.own
    return rows


def lines_used(found: Found) -> Iterable[Line]:
    """All that is used: the lines of what is made, then what is strewn."""
    for _, _, _, made in found.made():
        if made is not None:
            yield from made.day.lines
    for _, _, recipe, made in found.made():
        if made is not None and recipe.dusting_ingredient is not None:
            yield Line(recipe.dusting_ingredient, made.dusting_g)


def write_day_cost(found: Found, cost: DayCost, context: Context) -> Wire:
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
