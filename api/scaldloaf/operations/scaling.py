"""scaling: a formula to a target, with losses on the way and rounded for the scale."""

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple, cast

from scaldloaf.dough.costs import Cost, Prices, cost_of, rounded
from scaldloaf.dough.formula import Breakdown, Formula, Masses, break_down, masses_of, scaled
from scaldloaf.dough.scaling import (
    BAKED_PIECES,
    DOUGH_MASS,
    FLOUR_MASS,
    ON_HAND,
    PIECES,
    Losses,
    Scaling,
    Target,
    WeighOut,
    size_of,
    weigh_out,
)
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.lantern_quay import PRICES, TIN_LOAF
from scaldloaf.operations.notes import AnyNote
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas.scaling import ScalingRequest
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.formulas import (
    ask_formula,
    check_size,
    in_percent,
    read_formula,
    write_formula,
)
from scaldloaf.operations.wire.prices import ask_prices, read_prices, write_cost_lines
from scaldloaf.operations.wire.requests import ask_units, without_defaults
from scaldloaf.operations.wire.scaling import (
    AskedScale,
    amount_of,
    ask_losses,
    ask_scale,
    ask_target,
    read_losses,
    read_scale,
    read_target,
    write_total,
    write_weigh_out,
)
from scaldloaf.operations.working.costs import cost_notes, show_cost
from scaldloaf.operations.working.formula import formula_notes
from scaldloaf.operations.working.scaling import loaf_lost, over_what_is_left, scale_notes, weigh_out_notes


class Asked(NamedTuple):
    """A formula (by_percent: it came in percent only) and what to scale it to.

    most_mass_g: the largest mass that a request could bring back. breakdown: of the formula, if it is known.
    """

    formula: Formula
    by_percent: bool
    target: Target
    losses: Losses
    scale: AskedScale
    most_mass_g: float
    breakdown: Breakdown | None = None
    prices: Prices | None = None


class Found(NamedTuple):
    """The formula scaled, its masses, and its lines as the scale can weigh them."""

    asked: Asked
    scaling: Scaling
    masses: Masses
    weighed: WeighOut
    cost: Cost | None


def read(request: Wire, context: Context) -> Asked:
    formula = read_formula(request["formula"], context)
    return Asked(
        formula=formula,
        by_percent=in_percent(request["formula"]),
        target=read_target(request["target"], context),
        losses=read_losses(request.get("losses", {})),
        scale=read_scale(request.get("scale"), context),
        most_mass_g=context.most_mass_g,
        prices=read_prices(request, context, (line.ingredient.name for line in formula.lines)),
    )


def ask(asked: Asked, context: Context) -> Wire:
    """The request that ``read`` reads as ``asked``."""
    return ask_units(context) | without_defaults(
        ScalingRequest,
        formula=ask_formula(asked.formula, context, asked.by_percent),
        target=ask_target(asked.target, context),
        losses=ask_losses(asked.losses),
        scale=ask_scale(asked.scale, context),
        **ask_prices(asked.prices, context),
    )


def compute(asked: Asked) -> Found:
    breakdown = asked.breakdown or break_down(asked.formula)
    size = size_of(asked.formula, breakdown, asked.target, asked.losses)
    scaling = Scaling(*size, scaled(asked.formula, size.factor))
    field, given, quantity = amount_of(asked.target)
    check_size(scaling.formula, scaling.dough_mass_g, asked.most_mass_g, f"target.{field}", given, quantity)
    weighed = weigh_out(scaling.formula.lines, asked.scale.scale)
    cost = None
    if asked.prices is not None:
        cost = cost_of(((line.ingredient.name, line.mass_g) for line in scaling.formula.lines), asked.prices)
    return Found(asked, scaling, masses_of(scaling.formula), weighed, cost)


def write(found: Found, context: Context) -> Wire:
    asked, scaling, weighed = found.asked, found.scaling, found.weighed
    out = context.units.to_wire
    codes = cautions.of_formula(asked.formula)
    if asked.target.kind == BAKED_PIECES:
        codes += cautions.OF_BAKED_PIECES
    return context.reply(
        {
            "formula": write_formula(scaling.formula, context, found.masses),
            "factor": scaling.factor,
            "dough_mass": out(scaling.dough_mass_g, "mass"),
            "dough_after_handling": out(scaling.dough_after_handling_g, "mass"),
            "piece_mass": context.to_wire(scaling.piece_mass_g, "mass"),
            "weigh_out": write_weigh_out(weighed.lines, context),
            "weigh_out_total": write_total(weighed, context),
            **({} if found.cost is None else {"cost": _write_cost(found, found.cost, context)}),
        },
        lambda show: _show(show, found),
        basis=("mass_balance",),
        cautions=codes,
        notes=_notes(found, context),
    )


def _per_piece(found: Found, cost: Cost) -> Fraction | None:
    """What one piece costs, not rounded; None for a target without pieces."""
    if found.scaling.piece_mass_g is None:
        return None
    return cost.exact / int(found.asked.target.count)


def _write_cost(found: Found, cost: Cost, context: Context) -> Wire:
    formula, per_piece = found.scaling.formula, _per_piece(found, cost)
    return {
        "total": cost.total,
        "per_piece": None if per_piece is None else rounded(per_piece, cost.decimals),
        "batches": [{"id": formula.name, "batches": 1, "per_batch": cost.total, "total": cost.total}],
        "lines": write_cost_lines(cost, context, (line.part for line in formula.lines)),
        "without_price": list(cost.without_price),
    }


def _notes(found: Found, context: Context) -> Iterator[AnyNote]:
    yield from formula_notes(found.asked.by_percent, found.scaling.before, found.asked.formula)
    yield from found.scaling.notes
    yield from scale_notes(found.asked.scale, context)
    yield from weigh_out_notes(found.weighed)
    yield from cost_notes(found.cost)


# ---- The working ---------------------------------------------------------------------------------


def _show(show: Working, found: Found) -> None:
    shown, asked, scaling = show.format, found.asked, found.scaling
    if asked.target.kind in (DOUGH_MASS, PIECES, BAKED_PIECES):
        _show_wanted(show, asked, scaling)
    else:
        _show_factor(show, asked.target, scaling)
    handling = asked.losses.handling_percent
    if handling:
        show.step(
            "Dough left after handling",
            f"{shown(scaling.dough_mass_g, 'mass')} × (1 − {shown(handling)} ÷ 100)",
            scaling.dough_after_handling_g,
            "mass",
        )
    show.step(
        "Flour",
        f"{shown(scaling.before.flour_g, 'mass')} × {shown(scaling.factor)}, and so each line",
        found.masses.flour_g,
        "mass",
    )
    show.step(
        "Rounded for the scale",
        "each line cut to whole steps of its scale, missing steps added to the lines that lost most"
        if len({each.resolution_g for each in found.weighed.lines}) == 1
        else "each line of the fine scale to its nearest step, the others cut to whole steps, missing steps "
        "added to those that lost most",
        found.weighed.total_g,
        "mass",
    )
    if found.cost is not None:
        _show_cost(show, found, found.cost)


def _show_cost(show: Working, found: Found, cost: Cost) -> None:
    shown, factor = show.format, show.format(found.scaling.factor)
    lines = found.asked.formula.lines
    scaled = {place: f"{shown(line.mass_g, 'mass')} × {factor}" for place, line in enumerate(lines)}
    show_cost(show, cost, scaled)
    per_piece = _per_piece(found, cost)
    if per_piece is not None:
        show.step(
            "Cost of a piece, not rounded",
            f"{shown(float(cost.exact))} ÷ {found.asked.target.count}",
            float(per_piece),
        )


def _show_wanted(show: Working, asked: Asked, scaling: Scaling) -> None:
    """The steps to a mass that must be left after the losses."""
    shown, target, losses = show.format, asked.target, asked.losses
    kind, mass = target.kind, shown(target.mass_g, "mass")
    wanted = target.mass_g if kind == DOUGH_MASS else target.count * target.mass_g
    if kind != DOUGH_MASS:
        show.step(
            "Target mass of baked bread" if kind == BAKED_PIECES else "Target mass of dough",
            f"{target.count} × {mass}",
            wanted,
            "mass",
        )
    mixed, before = shown(scaling.dough_mass_g, "mass"), scaling.before.dough_mass_g
    show.step(
        "Dough to mix",
        shown(wanted, "mass") + over_what_is_left(target, losses),
        scaling.dough_mass_g,
        "mass",
    )
    lost_g = asked.formula.scald_evaporation_g
    lost = f" − {shown(lost_g, 'mass')} evaporated" if lost_g else ""
    show.step("Dough of the formula given", f"all lines{lost}", before, "mass")
    show.step("Factor", f"{mixed} ÷ {shown(before, 'mass')}", scaling.factor)
    if kind == BAKED_PIECES and losses.loaf_percent:
        show.step(
            "Scaling mass of a piece",
            f"{mass} ÷ (1 − {loaf_lost(losses)})",
            cast("float", scaling.piece_mass_g),
            "mass",
        )


def _show_factor(show: Working, target: Target, scaling: Scaling) -> None:
    """The steps to a factor that fixes what is mixed."""
    shown, before = show.format, scaling.before
    mass = shown(target.mass_g, "mass")
    if target.kind == FLOUR_MASS:
        factor = f"{mass} ÷ {shown(before.flour_g, 'mass')} of flour"
    elif target.kind == ON_HAND:
        factor = f"{mass} on hand ÷ {shown(cast('float', scaling.in_formula_g), 'mass')} in the formula"
    else:
        factor = "as given"
    show.step("Factor", factor, scaling.factor)
    show.step(
        "Dough to mix",
        f"{shown(before.dough_mass_g, 'mass')} × {shown(scaling.factor)}",
        scaling.dough_mass_g,
        "mass",
    )


SCALING = Operation(
    name="scaling",
    summary="Scale a formula and list what to weigh",
    description="Scales to a dough mass, flour mass, pieces, baked pieces, a factor or what you have "
    "of an ingredient, with handling and bake losses. Rounds the lines for the scale so "
    "that they add up.",
    request=ScalingRequest,
    read=read,
    compute=compute,
    write=write,
    examples=(
        Example(
            "baked_pieces",
            "Twelve baked tin loaves of 400 g at Lantern Quay, on two scales",
            {
                "formula": TIN_LOAF,
                "target": {"kind": "baked_pieces", "count": 12, "mass": 400},
                "losses": {"handling_percent": 2, "bake_percent": 10},
                "scale": {"resolution": 5, "fine_resolution": 0.1, "fine_below": 100},
            },
        ),
        Example(
            "added_losses",
            "A dough for eighteen loaves, losses added as trade examinations do",
            {
                "formula": {
                    "lines": [
                        {"ingredient": "bread_flour", "mass": 1000},
                        {"ingredient": "water", "mass": 850},
                        {"ingredient": "salt", "mass": 22},
                        {"ingredient": "compressed_yeast", "mass": 15},
                    ]
                },
                "target": {"kind": "baked_pieces", "count": 18, "mass": 1500},
                "losses": {"handling_percent": 2, "bake_percent": 12.5, "rule": "added"},
                "scale": {"resolution": 10, "fine_resolution": 1},
            },
        ),
        Example(
            "prices",
            "What twelve tin loaves cost at Lantern Quay",
            {
                "formula": TIN_LOAF,
                "target": {"kind": "pieces", "count": 12, "mass": 450},
                "losses": {"handling_percent": 2},
                "prices": PRICES,
            },
        ),
        Example(
            "on_hand",
            "As much as 1 kg of milk allows",
            {
                "units": {"mass": "kg"},
                "formula": {
                    **TIN_LOAF,
                    "lines": [{**line, "mass": line["mass"] / 1000} for line in TIN_LOAF["lines"]],
                },
                "target": {"kind": "on_hand", "ingredient": "whole_milk", "mass": 1},
            },
        ),
    ),
)
