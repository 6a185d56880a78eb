"""The costs that replies share."""

from scaldloaf.operations.schemas.fields import AnyText, Choice, Integer, Mass, Number
from scaldloaf.operations.schemas.objects import Items, Object, Open


class CostLine(Open):
    """What a line costs."""

    ingredient = AnyText("Its name, as in the formula.")
    part = Choice(
        "Where it goes; omitted in order-demand, whose lines are ingredients.",
        "dough",
        "scald",
        required=False,
    )
    mass = Mass("The mass used, not rounded.")
    cost = Number("Null without a price.", allow_none=True)


class CostOfBatches(Open):
    """What the batches of a formula cost."""

    id = AnyText("Of the formula: its id, or in scaling its name.")
    batches = Integer("How many.")
    per_batch = Number("One batch, rounded by itself.")
    total = Number("All of them.")


class Cost(Open):
    """Costs in the currency of the prices, to the decimals asked for. The total is rounded once and its parts
    add up to it, each within one step of the last decimal."""

    total = Number("All lines with a price.")
    per_piece = Number(
        "One piece, rounded by itself; null when the target has no pieces, and in order-demand, where "
        "each of "
        "`orders` has its own.",
        allow_none=True,
    )
    batches = Items(Object(CostOfBatches), "By formula; they add up to the total.")
    lines = Items(Object(CostLine), "By line or ingredient; they add up to the total.")
    without_price = Items(AnyText(), "Ingredients without a price. They are not in the costs.")


class CostOfOrder(Open):
    """What an order costs."""

    id = AnyText("Of the order.")
    total = Number("Including its share of the dusting flour. The orders of a formula add up to its batches.")
    per_piece = Number("One piece or pan, rounded by itself; null without pieces.", allow_none=True)


class OrderDemandCost(Cost):
    """Costs of a day."""

    orders = Items(Object(CostOfOrder), "The orders, in their order.")
