"""The step from a pan's measurements to its volume."""

from math import isclose

from scaldloaf.dough.pan import Box, Oval, Pan, PanVolume, Round, Tapered, WaterFill, water_density_g_per_cm3
from scaldloaf.operations.steps import Working, format_number

PanWithRim = Box | Tapered | Round | Oval  # the others are known only by what they hold


def show_pan(show: Working, pan: Pan, volume: PanVolume, label: str = "Pan volume") -> None:
    """The step from the pan's measurements to its volume.

    Parameters
        show : Working  the steps are added to
        pan : Pan
        volume : PanVolume
        label : str
    """
    show.step(label, _expression(pan, volume, show), volume.volume_cm3, "volume")


def rim_expression(pan: PanWithRim, show: Working) -> str:
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


def _expression(pan: Pan, volume: PanVolume, show: Working) -> str:
    def lengths(*values: float) -> str:
        return " × ".join(show.format(value, "length") for value in values)

    def both(top: float, base: float) -> str:
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
                volume.volume_cm3,
                "volume",
            )
        case _:
            return "as given"
    cubed = show.units.factors["length"] ** 3
    if isclose(cubed, show.units.factors["volume"]):
        return expression
    return f"{expression} = {format_number(volume.volume_cm3 / cubed)} {show.units.length}³"
