"""Prices on the wire, read, written and asked for."""

from collections.abc import Iterable

from scaldloaf.dough.costs import Cost, Price, Prices
from scaldloaf.dough.refusal import Refusal, listed
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.faults import closest
from scaldloaf.operations.schemas.prices import USUAL_DECIMALS, Priced
from scaldloaf.operations.wire.requests import without_defaults
from scaldloaf.reference import INGREDIENTS


def read_prices(request: Wire, context: Context, used: Iterable[str]) -> Prices | None:
    """The prices of a request; None without any.

    used: the ingredients that its formulas name. Raises Refusal for an ingredient priced twice, for a name
    that is neither there nor in the catalogue, and for prices of which none is of an ingredient used.
    """
    wire = request.get("prices")
    if wire is None:
        if "price_decimals" in request:
            raise Refusal(
                "price_decimals",
                "no_prices",
                "says how costs are rounded, and there are no prices; give them too, or leave this out",
                given=request["price_decimals"],
            )
        return None
    names = dict.fromkeys(used)
    read: dict[str, Price] = {}
    for index, each in enumerate(wire):
        name = each["ingredient"]
        if name in read:
            raise Refusal(
                f"prices.{index}.ingredient",
                "priced_twice",
                "this ingredient has a price already; each has one",
                given=name,
            )
        if name not in names and name not in INGREDIENTS:
            raise Refusal(
                f"prices.{index}.ingredient",
                "price_of_nothing",
                "no line is called that, and nothing in the catalogue; the lines are {lines}",
                given=name,
                nearest=closest(name, names),
                amounts={"lines": listed(names)},
            )
        read[name] = Price(name, each["price"], context.units.from_wire(each["per"], "mass"))
    if not names.keys() & read.keys():
        raise Refusal(
            "prices",
            "prices_of_nothing",
            "none of these ingredients is used; the lines are {lines}",
            amounts={"lines": listed(names)},
        )
    return Prices(tuple(read.values()), int(request.get("price_decimals", USUAL_DECIMALS)))


def ask_prices(prices: Prices | None, context: Context) -> Wire:
    """The prices of a request as its fields; none of them without prices."""
    if prices is None:
        return {}
    written = [
        {
            "ingredient": each.ingredient,
            "price": each.price,
            "per": context.units.to_wire(each.per_g, "mass"),
        }
        for each in prices.prices
    ]
    decimals = None if prices.decimals == USUAL_DECIMALS else prices.decimals
    return without_defaults(Priced, prices=written, price_decimals=decimals)


def write_cost_lines(cost: Cost, context: Context, parts: Iterable[str] = ()) -> list[Wire]:
    """parts: where each line goes; left out for lines that are ingredients."""
    lines = [
        {
            "ingredient": line.ingredient,
            "mass": context.units.to_wire(line.mass_g, "mass"),
            "cost": line.cost,
        }
        for line in cost.lines
    ]
    for line, part in zip(lines, parts, strict=False):
        line["part"] = part
    return lines
