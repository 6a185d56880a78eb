"""The costs that replies share."""

from scaldloaf.operations.schemas.fields import AnyText, Choice, Integer, Mass, Number
from scaldloaf.operations.schemas.objects import Items, Object, Open


class CostLine(Open):
    """What a line costs."""

    ingredient = AnyText()
    part = Choice(
        "Where it goes; left out in order-demand, whose lines are ingredients.",
        "dough",
        "scald",
        required=False,
    )
    mass = Mass("What is used of it, exact.")
    cost = Number("Null without a price.", allow_none=True)


class CostOfBatches(Open):
    """What the batches of a formula cost."""

    id = AnyText("Of the formula: its id, or in scaling its name.")
    batches = Integer("How many.")
    per_batch = Number("One batch, rounded by itself.")
    total = Number("All of them.")


class Cost(Open):
    """Costs in the currency of the prices, exact to the decimals asked for: the total is rounded once, its
    parts add up to it, and each part is within one step of the last decimal."""

    total = Number("All lines with a price.")
    per_piece = Number(
        "One piece, rounded by itself; null when the target has no pieces, and in order-demand, where "
        "each of "
        "`orders` has its own.",
        allow_none=True,
    )
    batches = Items(Object(CostOfBatches), "By formula; they add up to the total.")
    lines = Items(Object(CostLine), "By line or ingredient; they add up to the total.")
    without_price = Items(AnyText(), "Ingredients that are used and have no price: the costs leave them out.")


class CostOfOrder(Open):
    """What an order costs."""

    id = AnyText()
    total = Number("With its share of the dusting. A formula's orders add up to its batches.")
    per_piece = Number("One piece or pan, rounded by itself; null without pieces.", allow_none=True)


class OrderDemandCost(Cost):
    """Costs of a day."""

    orders = Items(Object(CostOfOrder), "The orders, in their order.")
