"""units.txt read by pint: the exact size of every unit, in the craft's own.

``scaldloaf.pint_apart`` runs it as a file of its own, so it imports nothing of the service.
"""

import json
import sys
from fractions import Fraction
from pathlib import Path
from typing import Any, NamedTuple

# quantity -> the craft's own unit of it
OWN = {"mass": "g", "length": "cm", "volume": "cm3", "temperature": "degC"}
_DIFFERENCES = ("delta_", "Δ")  # pint makes one of every scale with a zero point of its own


class UnitFileError(RuntimeError):
    """units.txt can't be read, or what it defines is no unit of a mass, length, volume or temperature."""


class Scale(NamedTuple):
    """A unit against the craft's own of its quantity, exactly: own = (number - zero) × size."""

    size: Fraction
    zero: Fraction


def definitions() -> str:
    """The text of units.txt."""
    return Path(__file__).with_name("units.txt").read_text("utf-8")


def scales(text: str) -> dict[str, dict[str, Scale]]:
    """Quantity -> unit, by each of its names -> Scale, for the definitions in ``text``.

    Raises UnitFileError with the unit's name, or with pint's reason.
    """
    pint = _pint()
    try:
        registry = pint.UnitRegistry(text.splitlines(), non_int_type=Fraction, on_redefinition="raise")
        own = {quantity: registry.Unit(name) for quantity, name in OWN.items()}
        quantities = {unit.dimensionality: quantity for quantity, unit in own.items()}
        found: dict[str, dict[str, Scale]] = {quantity: {} for quantity in OWN}
        for name in registry:
            if not name.startswith(_DIFFERENCES):
                unit = registry.Unit(name)
                quantity = quantities.get(unit.dimensionality)
                if quantity is None:
                    raise UnitFileError(f"units.txt: {name} is no unit of {', '.join(OWN)}")
                found[quantity][name] = _scale(registry, unit, own[quantity], name)
    except UnitFileError:
        raise
    except Exception as error:  # pint has many kinds, some of them TypeErrors
        raise UnitFileError(f"units.txt can't be read: {error!r}") from error
    return found


def _pint() -> Any:
    """pint, imported only here and without numpy.

    pint loads numpy wherever that is installed, which would cost 0.1 s of each start.
    """
    hidden = "numpy" not in sys.modules
    if hidden:
        sys.modules["numpy"] = None  # type: ignore[assignment] # an import of it then fails
    try:
        import pint
    finally:
        if hidden:
            del sys.modules["numpy"]
    return pint


def _scale(registry: Any, unit: Any, own: Any, name: str) -> Scale:
    """A unit of a registry against the craft's own of its quantity.

    Parameters
        registry : pint.UnitRegistry
        unit, own : pint.Unit
        name : str  of the unit, for a message
    Returns
        Scale
    Raises
        UnitFileError: its size is not an exact number above 0.
    """
    at_zero, at_one = (registry.convert(Fraction(number), unit, own) for number in (0, 1))
    size = at_one - at_zero
    if not isinstance(size, Fraction) or size <= 0:
        raise UnitFileError(f"units.txt: {name} has the size {size!r}, which is no exact number above 0")
    return Scale(size, -at_zero / size)


def written(found: dict[str, dict[str, Scale]]) -> str:
    """Scales as JSON, each number an exact fraction: ``read_back`` reads them."""
    return json.dumps(
        {
            quantity: {name: [str(size), str(zero)] for name, (size, zero) in table.items()}
            for quantity, table in found.items()
        }
    )


def read_back(text: str) -> dict[str, dict[str, Scale]]:
    """The scales that ``written`` wrote, exactly."""
    return {
        quantity: {name: Scale(Fraction(size), Fraction(zero)) for name, (size, zero) in table.items()}
        for quantity, table in json.loads(text).items()
    }
