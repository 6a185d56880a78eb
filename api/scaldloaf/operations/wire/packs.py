"""Packs on the wire, read and written."""

from collections.abc import Iterable

from scaldloaf.dough.packs import Pack, Packed
from scaldloaf.dough.refusal import Refusal, listed
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.faults import closest
from scaldloaf.operations.wire.scaling import without_noise
from scaldloaf.reference import INGREDIENTS


def read_packs(request: Wire, context: Context, used: Iterable[str]) -> tuple[Pack, ...] | None:
    """The packs of a request; None without any.

    used: the ingredients that its formulas name. Raises Refusal for an ingredient with two packs, for a name
    that is neither there nor in the catalogue, and for packs of which none is of an ingredient used.
    """
    wire = request.get("packs")
    if wire is None:
        return None
    names = dict.fromkeys(used)
    read: dict[str, Pack] = {}
    for index, each in enumerate(wire):
        name = each["ingredient"]
        if name in read:
            raise Refusal(
                f"packs.{index}.ingredient",
                "packed_twice",
                "this ingredient has a pack already; each has one",
                given=name,
            )
        if name not in names and name not in INGREDIENTS:
            raise Refusal(
                f"packs.{index}.ingredient",
                "pack_of_nothing",
                "no line is called that, and nothing in the catalogue; the lines are {lines}",
                given=name,
                nearest=closest(name, names),
                amounts={"lines": listed(names)},
            )
        read[name] = Pack(name, context.units.from_wire(each["pack_mass"], "mass"), each.get("stock_unit"))
    if not names.keys() & read.keys():
        raise Refusal(
            "packs",
            "packs_of_nothing",
            "none of these ingredients is used; the lines are {lines}",
            amounts={"lines": listed(names)},
        )
    return tuple(read.values())


def write_packed(packed: Packed, context: Context) -> Wire:
    out = context.units.to_wire
    return {
        "count": packed.packs,
        "pack_mass": without_noise(out(packed.pack.pack_g, "mass")),
        "stock_unit": packed.pack.stock_unit,
        "left_over": without_noise(out(packed.left_over_g, "mass")),
    }
