"""The pan on the wire."""

from dataclasses import fields

from scaldloaf.dough.pan import Box, KnownVolume, Oval, Pan, Round, Tapered, WaterFill
from scaldloaf.operations.context import Context, Wire

_KINDS: dict[str, type[Box | Tapered | Round | Oval]] = {
    "box": Box,
    "tapered": Tapered,
    "round": Round,
    "oval": Oval,
}
_NAMES = {kind: name for name, kind in _KINDS.items()}


def read_pan(wire: Wire, context: Context) -> Pan:
    """The Pan of a request that its schema accepted."""
    kind, units = wire["kind"], context.units
    if kind == "volume":
        return KnownVolume(wire["volume"] * units.factors["volume"])
    if kind == "water_fill":
        return WaterFill(
            units.from_wire(wire["mass"], "mass"), units.from_wire(wire["temperature"], "temperature")
        )
    return _KINDS[kind](
        **{f"{name}_cm": value * units.factors["length"] for name, value in wire.items() if name != "kind"}
    )


def ask_pan(pan: Pan, context: Context) -> Wire:
    """The pan as a request has it."""
    out = context.units.to_wire
    match pan:
        case KnownVolume(volume):
            return {"kind": "volume", "volume": out(volume, "volume")}
        case WaterFill(mass, temperature):
            return {
                "kind": "water_fill",
                "mass": out(mass, "mass"),
                "temperature": out(temperature, "temperature"),
            }
    lengths = {
        field.name.removesuffix("_cm"): out(getattr(pan, field.name), "length") for field in fields(pan)
    }
    return {"kind": _NAMES[type(pan)], **lengths}


def pan_basis(pan: Pan) -> tuple[str, ...]:
    """Sources that a pan's volume rests on."""
    return ("geometry", "kell_1975") if isinstance(pan, WaterFill) else ("geometry",)
