"""Prices on the wire, read, written and asked for."""

from collections.abc import Iterable

from scaldloaf.dough.costs import Cost, Price, Prices
from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.schemas.prices import USUAL_DECIMALS, Priced
from scaldloaf.operations.wire.by_ingredient import Given, read_by_ingredient
from scaldloaf.operations.wire.requests import without_defaults

PRICES = Given("prices", "price", "priced_twice", "price_of_nothing", "prices_of_nothing")


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
    read = read_by_ingredient(
        wire,
        PRICES,
        used,
        lambda each: Price(each["ingredient"], each["price"], context.units.from_wire(each["per"], "mass")),
    )
    return Prices(read, int(request.get("price_decimals", USUAL_DECIMALS)))


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
