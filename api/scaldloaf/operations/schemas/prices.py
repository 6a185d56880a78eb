"""Prices in a request: what ingredients cost, in the caller's own currency."""

from scaldloaf.operations.schemas.common import Request
from scaldloaf.operations.schemas.fields import Integer, Mass, Number, Text
from scaldloaf.operations.schemas.objects import Closed, Items, Object

MAX_PRICES, MOST_DECIMALS, USUAL_DECIMALS = 400, 6, 2
LEAST_PRICED_MASS = 0.001


class Price(Closed):
    """What an ingredient costs."""

    ingredient = Text("As the formula's lines name it.", 80, required=True)
    price = Number("A plain number in your own currency; 0 if it costs nothing.", 0.0, required=True)
    per = Mass("The mass that has this price.", LEAST_PRICED_MASS, required=True, examples=[1000])


class Priced(Request):
    """A request that may have prices."""

    prices = Items(
        Object(Price),
        "With prices, the reply has a `cost`. It names ingredients without a price and does not guess them.",
        1,
        MAX_PRICES,
    )
    # No load_default: clients made from the document send defaults, and without prices this one is refused.
    price_decimals = Integer(
        f"Decimals that costs are rounded to, with prices. Default: {USUAL_DECIMALS}.", 0, MOST_DECIMALS
    )
