"""What every request that an operation asks for has in common."""

from typing import Any

from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.schemas.objects import Closed
from scaldloaf.units import DEFAULTS


def without_defaults(shape: type[Closed], **fields: Any) -> Wire:
    """The fields of an object without those that are None, or at the default that their schema has."""
    defaults = shape.default_values
    return {
        name: value
        for name, value in fields.items()
        if value is not None and not (name in defaults and value == defaults[name])
    }


def ask_units(context: Context) -> Wire:
    """The ``units`` of a request, left out when they are the usual ones."""
    units = {what: unit for what, unit in context.units.as_wire().items() if unit != DEFAULTS[what]}
    return {"units": units} if units else {}
