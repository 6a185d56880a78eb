"""Targets, losses, scales and weigh-outs on the wire."""

from collections.abc import Iterable
from typing import NamedTuple

from scaldloaf.dough.formula import Line
from scaldloaf.dough.scaling import (
    BAKED_PIECES,
    FACTOR,
    ON_HAND,
    PIECES,
    Losses,
    Scale,
    Target,
    Weighed,
    WeighOut,
)
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.schemas import scaling as schema
from scaldloaf.operations.wire.requests import without_defaults
from scaldloaf.units import size

# Steps of a scale when none is given, by mass unit: those an ordinary one in that unit has, and a fine one's.
USUAL_SCALE = {"g": (1.0, 0.1), "kg": (0.001, 0.0001), "oz": (0.05, 0.005), "lb": (0.005, 0.0005)}
_STEPS = ("resolution", "fine_resolution", "fine_below")
_NO_LOSSES = Losses(**schema.Losses.filled({}))


class AskedScale(NamedTuple):
    """The scale, and whether it was given or is the usual one for the request's mass unit."""

    scale: Scale
    given: bool


_USUAL_ASKED = {
    unit: AskedScale(Scale(*(step * size("mass", unit) for step in steps)), False)
    for unit, steps in USUAL_SCALE.items()
}


def read_target(wire: Wire, context: Context) -> Target:
    """The Target of a request that its schema accepted."""
    if "mass" not in wire:
        return Target(wire["kind"], factor=wire["factor"])
    others = {name: wire[name] for name in ("count", "ingredient") if name in wire}
    return Target(wire["kind"], context.units.from_wire(wire["mass"], "mass"), **others)


def ask_target(target: Target, context: Context) -> Wire:
    asked: Wire = {"kind": target.kind}
    if target.kind == FACTOR:
        return {**asked, "factor": target.factor}
    if target.kind in (PIECES, BAKED_PIECES):
        asked["count"] = target.count
    elif target.kind == ON_HAND:
        asked["ingredient"] = target.ingredient
    return {**asked, "mass": context.units.to_wire(target.mass_g, "mass")}


class Amount(NamedTuple):
    """The field of a target that says how much, its number and what that measures."""

    field: str
    given: float
    quantity: str | None


def amount_of(target: Target) -> Amount:
    """What says how much: of pieces the count, else the factor or the mass."""
    if target.kind in (PIECES, BAKED_PIECES):
        return Amount("count", target.count, None)
    return (
        Amount("factor", target.factor, None)
        if target.kind == FACTOR
        else Amount("mass", target.mass_g, "mass")
    )


def read_losses(wire: Wire) -> Losses:
    return Losses(**schema.Losses.filled(wire)) if wire else _NO_LOSSES


def ask_losses(losses: Losses) -> Wire | None:
    """The losses of a request; None for the usual ones, which are none."""
    return without_defaults(schema.Losses, **losses._asdict()) or None


def read_scale(wire: Wire | None, context: Context) -> AskedScale:
    """The scale of a request, or the usual one for its mass unit."""
    if wire is None:
        return _USUAL_ASKED[context.units.mass]
    coarsest = context.units.from_wire(wire["resolution"], "mass")
    finer = (context.from_wire(wire.get(name), "mass") for name in _STEPS[1:])
    return AskedScale(Scale(coarsest, *finer), True)


def ask_scale(asked: AskedScale, context: Context) -> Wire | None:
    """The scale of a request; None for the usual one."""
    if not asked.given:
        return None
    steps = zip(_STEPS, asked.scale, strict=True)
    return {name: context.units.to_wire(step, "mass") for name, step in steps if step is not None}


def write_weigh_out(weighed: Iterable[Weighed], context: Context) -> list[Wire]:
    """Rounded lines on the wire. Nine decimals take off what only the unit's factor brings."""
    factor = context.units.factors["mass"]
    lines: Iterable[tuple[Line, float, float, float]] = weighed
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


def without_noise(number: float) -> float:
    """A number that was typed, or comes of a few that were: twelve digits take off what units bring."""
    return float(f"{number:.12g}")


def write_total(weighed: WeighOut, context: Context) -> float:
    """What the rounded lines add up to, to nine decimals as the lines."""
    return round(context.units.to_wire(weighed.total_g, "mass"), 9)
