"""Packs on the wire, read and written."""

from collections.abc import Iterable

from scaldloaf.dough.packs import Pack, Packed
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.wire.by_ingredient import Given, read_by_ingredient
from scaldloaf.operations.wire.scaling import without_noise

PACKS = Given("packs", "pack", "packed_twice", "pack_of_nothing", "packs_of_nothing")


def read_packs(request: Wire, context: Context, used: Iterable[str]) -> tuple[Pack, ...] | None:
    """The packs of a request; None without any.

    used: the ingredients that its formulas name. Raises Refusal for an ingredient with two packs, for a name
    that is neither there nor in the catalogue, and for packs of which none is of an ingredient used.
    """
    wire = request.get("packs")
    if wire is None:
        return None
    return read_by_ingredient(
        wire,
        PACKS,
        used,
        lambda each: Pack(
            each["ingredient"],
            context.units.from_wire(each["pack_mass"], "mass"),
            each.get("stock_unit"),
        ),
    )


def write_packed(packed: Packed, context: Context) -> Wire:
    out = context.units.to_wire
    return {
        "count": packed.packs,
        "pack_mass": without_noise(out(packed.pack.pack_g, "mass")),
        "stock_unit": packed.pack.stock_unit,
        "left_over": without_noise(out(packed.left_over_g, "mass")),
    }
