"""The pan on the wire: how it is read, and how its volume is shown."""

from math import isclose

from scaldloaf.dough.pan import (
    Box,
    KnownVolume,
    Oval,
    Pan,
    PanVolume,
    Round,
    Tapered,
    WaterFill,
    pan_volume,
    water_density_g_per_cm3,
)
from scaldloaf.operations.context import Context
from scaldloaf.operations.located import located
from scaldloaf.operations.working.steps import Working, format_number
from scaldloaf.units import Units

_KINDS = {"box": Box, "tapered": Tapered, "round": Round, "oval": Oval}


def read_pan(wire: dict, units: Units) -> Pan:
    """The Pan of a request that its schema accepted."""
    kind = wire["kind"]
    if kind == "volume":
        return KnownVolume(wire["volume"] * units.factors["volume"])
    if kind == "water_fill":
        return WaterFill(
            units.from_wire(wire["mass"], "mass"), units.from_wire(wire["temperature"], "temperature")
        )
    return _KINDS[kind](
        **{f"{name}_cm": value * units.factors["length"] for name, value in wire.items() if name != "kind"}
    )


def read_pan_volume(wire: dict, context: Context, at: str = "pan") -> tuple[Pan, PanVolume]:
    """The pan of a request and what it holds. Raises Refusal, at ``at``, for what is no pan."""
    pan = read_pan(wire, context.units)
    with located(at):
        return pan, pan_volume(pan)


def pan_basis(pan: Pan) -> tuple[str, ...]:
    """Sources that a pan's volume rests on."""
    return ("geometry", "kell_1975") if isinstance(pan, WaterFill) else ("geometry",)


def show_pan(show: Working, pan: Pan, held: PanVolume) -> None:
    """The step from the pan's measurements to its volume."""
    show.step("Pan volume", _expression(pan, held, show), held.volume_cm3, "volume")


def rim_expression(pan: Pan, show: Working) -> str:
    """The area of the pan's opening in cm², as an expression."""
    match pan:
        case Box(length, width, _) | Tapered(length, width, _, _, _):
            curved = ""
        case Round(diameter, _, _):
            length = width = diameter
            curved = "π ÷ 4 × "
        case _:
            length, width, curved = pan.top_length_cm, pan.top_width_cm, "π ÷ 4 × "
    return f"({curved}{show.metric(length, 'length')} × {show.metric(width, 'length')})"


def _expression(pan: Pan, held: PanVolume, show: Working) -> str:
    def lengths(*values):
        return " × ".join(show.format(value, "length") for value in values)

    def both(top, base):
        return f"({lengths(top)} + {lengths(base)})"

    match pan:
        case Box(length, width, depth):
            expression = lengths(length, width, depth)
        case Tapered(top_length, top_width, base_length, base_width, depth) | Oval(
            top_length, top_width, base_length, base_width, depth
        ):
            # Four times the middle of a prismatoid is the sum of its lengths by the sum of its widths.
            expression = (
                f"{lengths(depth)} ÷ 6 × ({lengths(top_length, top_width)} + "
                f"{lengths(base_length, base_width)} + {both(top_length, base_length)} × "
                f"{both(top_width, base_width)})"
            )
            if isinstance(pan, Oval):
                expression = f"π ÷ 4 × {expression}"
        case Round(top, base, depth):
            expression = (
                f"π ÷ 12 × {lengths(depth)} × ({lengths(top, top)} + {lengths(top, base)} + "
                f"{lengths(base, base)})"
            )
        case WaterFill(mass, temperature):
            density = format_number(water_density_g_per_cm3(temperature))
            return show.ending(
                f"{show.metric(mass, 'mass')} of water ÷ {density} g/cm³ at "
                f"{show.format(temperature, 'temperature')}",
                held.volume_cm3,
                "volume",
            )
        case _:
            return "as given"
    cubed = show.units.factors["length"] ** 3
    if isclose(cubed, show.units.factors["volume"]):
        return expression
    return f"{expression} = {format_number(held.volume_cm3 / cubed)} {show.units.length}³"
