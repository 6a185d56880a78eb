"""scaling: a formula to a target, with losses on the way and rounded for the scale."""

from collections.abc import Iterator

from scaldloaf.dough.formula import masses_of
from scaldloaf.dough.scaling import (
    ADDED,
    BAKED_PIECES,
    DOUGH_MASS,
    FLOUR_MASS,
    ON_HAND,
    PIECES,
    Losses,
    Scale,
    Target,
    WeighOut,
    scale_to,
    weigh_out,
)
from scaldloaf.operations.context import Context
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import scaling as schema
from scaldloaf.operations.wire.formulas import (
    check_size,
    formula_cautions,
    formula_notes,
    read_formula,
    write_formula,
)
from scaldloaf.operations.working.steps import Working, format_number
from scaldloaf.units import units_of

# Steps of a scale when none is given, by mass unit: those an ordinary one in that unit has, and a fine one's.
USUAL_SCALE = {"g": (1.0, 0.1), "kg": (0.001, 0.0001), "oz": (0.05, 0.005), "lb": (0.005, 0.0005)}


def read_target(wire: dict, context: Context) -> Target:
    """The Target of a request that its schema accepted."""
    return Target(
        wire["kind"],
        context.units.from_wire(wire.get("mass", 0.0), "mass"),
        wire.get("count", 0),
        wire.get("factor", 0.0),
        wire.get("ingredient", ""),
    )


def read_losses(wire: dict) -> Losses:
    return Losses(**schema.Losses.filled(wire))


def read_scale(wire: dict | None, context: Context) -> Scale:
    """The scale of a request, or the usual one for its mass unit (see scale_notes)."""
    if wire is None:
        return _USUAL_SCALES[context.units.mass]
    return Scale(
        *(
            None if wire.get(name) is None else context.units.from_wire(wire[name], "mass")
            for name in ("resolution", "fine_resolution", "fine_below")
        )
    )


_USUAL_SCALES = {
    unit: read_scale({"resolution": coarse, "fine_resolution": fine}, Context(units_of(unit)))
    for unit, (coarse, fine) in USUAL_SCALE.items()
}


def scale_notes(wire: dict | None, context: Context) -> list[tuple[str, str]]:
    if wire is not None:
        return []
    coarse, fine = USUAL_SCALE[context.units.mass]
    unit = context.units.mass
    return [
        (
            "scale_assumed",
            f"No scale was given, so lines are rounded to {format_number(coarse)} {unit}, yeast "
            f"and salt to {format_number(fine)} {unit}.",
        )
    ]


def write_weigh_out(weighed: WeighOut, context: Context) -> list[dict]:
    """Rounded lines on the wire. Nine decimals take off what only the unit's factor brings."""
    factor, lines = context.units.factors["mass"], weighed.lines
    if factor != 1:
        lines = [
            (line, round(mass_g / factor, 9), error_percent, round(resolution_g / factor, 9))
            for line, mass_g, error_percent, resolution_g in lines
        ]
    return [
        {
            "ingredient": line.ingredient.name,
            "part": line.part,
            "mass": mass,
            "error_percent": error_percent,
            "resolution": resolution,
        }
        for line, mass, error_percent, resolution in lines
    ]


def weigh_out_notes(weighed: WeighOut, context: Context) -> list[tuple[str, str]]:
    """Lines that the scale cannot see."""
    shown = Working(context.units).format
    return [
        (
            "line_vanished",
            f"{each.line.ingredient.label} is {shown(each.line.mass_g, 'mass')} and rounds "
            f"to nothing in steps of {shown(each.resolution_g, 'mass')}: weigh it on a finer "
            "scale, or make a larger batch.",
        )
        for each in weighed.lines
        if each.vanished
    ]


def amount_field(target: dict) -> str:
    """The field that says how much: of pieces the count, else the factor or the mass."""
    return next(field for field in ("count", "factor", "mass") if field in target)


def over_what_is_left(target: Target, losses: Losses) -> str:
    """The end of an expression that makes up for what the target loses on the way; empty without losses."""
    handling, bake = format_number(losses.handling_percent), format_number(losses.bake_percent)
    if target.kind != BAKED_PIECES or not losses.bake_percent:
        return f" ÷ (1 − {handling} ÷ 100)" if losses.handling_percent else ""
    if not losses.handling_percent:
        return f" ÷ (1 − {bake} ÷ 100)"
    if losses.rule == ADDED:
        return f" ÷ (1 − {handling} ÷ 100 − {bake} ÷ 100)"
    return f" ÷ (1 − {handling} ÷ 100) ÷ (1 − {bake} ÷ 100)"


def run(request: dict, context: Context) -> dict:
    formula = read_formula(request["formula"], context)
    target, losses = read_target(request["target"], context), read_losses(request.get("losses", {}))
    scaling = scale_to(formula, target, losses)
    amount = amount_field(request["target"])
    check_size(scaling.formula, scaling.dough_mass_g, context, f"target.{amount}", request["target"][amount])
    scale = request.get("scale")
    weighed = weigh_out(scaling.formula.lines, read_scale(scale, context))
    out = context.units.to_wire
    before, after = scaling.before, masses_of(scaling.formula)

    def working(show: Working) -> None:
        shown, kind = show.format, target.kind
        mass = shown(target.mass_g, "mass")
        if kind in (DOUGH_MASS, PIECES, BAKED_PIECES):
            wanted = target.mass_g if kind == DOUGH_MASS else target.count * target.mass_g
            if kind != DOUGH_MASS:
                show.step(
                    "Baked bread wanted" if kind == BAKED_PIECES else "Scaled dough wanted",
                    f"{target.count} × {mass}",
                    wanted,
                    "mass",
                )
            show.step(
                "Dough to mix",
                shown(wanted, "mass") + over_what_is_left(target, losses),
                scaling.dough_mass_g,
                "mass",
            )
            show.step(
                "Dough of the formula given",
                "all lines"
                + (
                    f" − {shown(formula.scald_evaporation_g, 'mass')} evaporated"
                    if formula.scald_evaporation_g
                    else ""
                ),
                before.dough_mass_g,
                "mass",
            )
            show.step(
                "Factor",
                f"{shown(scaling.dough_mass_g, 'mass')} ÷ {shown(before.dough_mass_g, 'mass')}",
                scaling.factor,
            )
            if kind == BAKED_PIECES and losses.bake_percent:
                show.step(
                    "Scaling mass of a piece",
                    f"{mass} ÷ (1 − {shown(losses.bake_percent)} ÷ 100)",
                    scaling.piece_mass_g,
                    "mass",
                )
        elif kind == FLOUR_MASS:
            show.step("Factor", f"{mass} ÷ {shown(before.flour_g, 'mass')} of flour", scaling.factor)
        elif kind == ON_HAND:
            show.step(
                "Factor",
                f"{mass} on hand ÷ {shown(scaling.in_formula_g, 'mass')} in the formula",
                scaling.factor,
            )
        else:
            show.step("Factor", "as given", scaling.factor)
        if kind not in (DOUGH_MASS, PIECES, BAKED_PIECES):
            show.step(
                "Dough to mix",
                f"{shown(before.dough_mass_g, 'mass')} × {shown(scaling.factor)}",
                scaling.dough_mass_g,
                "mass",
            )
        if losses.handling_percent:
            show.step(
                "Dough left after handling",
                f"{shown(scaling.dough_mass_g, 'mass')} × (1 − {shown(losses.handling_percent)} ÷ 100)",
                scaling.dough_after_handling_g,
                "mass",
            )
        show.step(
            "Flour",
            f"{shown(before.flour_g, 'mass')} × {shown(scaling.factor)}, and so each line",
            after.flour_g,
            "mass",
        )
        show.step(
            "Rounded for the scale",
            "each line cut to whole steps of its scale, missing steps added to the lines that lost most",
            weighed.total_g,
            "mass",
        )

    def notes() -> Iterator[tuple[str, str]]:
        yield from formula_notes(request["formula"], before)
        yield from scaling.notes
        yield from scale_notes(scale, context)
        yield from weigh_out_notes(weighed, context)

    return context.reply(
        {
            "formula": write_formula(scaling.formula, context, after),
            "factor": scaling.factor,
            "dough_mass": out(scaling.dough_mass_g, "mass"),
            "dough_after_handling": out(scaling.dough_after_handling_g, "mass"),
            "piece_mass": None if scaling.piece_mass_g is None else out(scaling.piece_mass_g, "mass"),
            "weigh_out": write_weigh_out(weighed, context),
            "weigh_out_total": round(out(weighed.total_g, "mass"), 9),
        },
        working,
        basis=("mass_balance",),
        cautions=[*formula_cautions(formula), *(["net_weight"] if target.kind == BAKED_PIECES else [])],
        notes=notes(),
    )


SCALING = Operation(
    name="scaling",
    summary="A formula to a target, and what to weigh",
    description="Scales to a dough mass, flour mass, pieces, baked pieces, a factor or what is on hand, with "
    "handling and bake losses, and rounds the lines for the scale so that they add up.",
    request=schema.ScalingRequest,
    run=run,
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
