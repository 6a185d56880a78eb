"""The request of order-demand: formulas, what is ordered of them, and the packs that ingredients come in.

A formula here may carry the caller's own codes on its lines. Lines of other calls take none: those calls
change, merge and add lines, so they could not give back every code, and they refuse what they would lose.
"""

from typing import Any

from scaldloaf.operations.schemas.common import MAX_LINES, Formula, Line
from scaldloaf.operations.schemas.fields import Component, Constant, Integer, Mass, Percent, Text
from scaldloaf.operations.schemas.objects import Closed, Items, Object, Texts, Union
from scaldloaf.operations.schemas.prices import Priced
from scaldloaf.operations.schemas.scaling import (
    LEAST_MASS,
    Losses,
    Scale,
    ScalingTargetBakedPieces,
    ScalingTargetDoughMass,
    ScalingTargetPieces,
)

MOST_FORMULAS, MOST_ORDERS, MOST_PACKED = 100, 10_000, 400
MOST_CODES, LONGEST_CODE_NAME, LONGEST_CODE = 10, 40, 80
LEAST_PACK_MASS = 0.001


class OwnCodes(Component, Texts):
    """Your own codes, such as SKU, stock unit, lot or batch id: texts under names of your own. They are not
    used, and come back unchanged."""

    def __init__(self, description: str = "", **options: Any):
        super().__init__(description, MOST_CODES, LONGEST_CODE_NAME, LONGEST_CODE, **options)


class LineWithOwnCodes(Line):
    """One ingredient of a formula, with your own codes."""

    own = OwnCodes("Your own codes for this line, such as the SKU and lot of the ingredient.")


class FormulaWithOwnCodes(Formula):
    """A formula whose lines may have your own codes."""

    lines = Items(Object(LineWithOwnCodes), "The ingredients, in order.", 1, MAX_LINES, required=True)


class OrderTargetPans(Closed):
    """pans"""

    kind = Constant("pans")
    count = Integer("How many pans.", 1, 1_000_000, required=True)
    dough_mass = Mass("Dough for each pan, as pan-fill gives it.", LEAST_MASS, required=True)


class OrderTarget(Union):
    """How much of the formula is ordered."""

    kinds = ScalingTargetPieces, ScalingTargetBakedPieces, OrderTargetPans, ScalingTargetDoughMass


class ProductionFormula(Closed):
    """A formula as this bakery makes it."""

    id = Text("Your own name for it.", 80, required=True)
    formula = Object(FormulaWithOwnCodes, required=True)
    own = OwnCodes("Your own codes for the product, such as its SKU or batch id.")
    losses = Object(Losses)
    dusting_percent = Percent(
        "Flour dusted on bench and tins, percent of the formula's flour.", load_default=0
    )
    dusting_ingredient = Text("What it is dusted with: a catalogue name.", 80, load_default="bread_flour")
    mixer_capacity = Mass(
        "The most dough in one batch, at least that of a piece. Default: no limit, one batch.", LEAST_MASS
    )


class Order(Closed):
    """One order."""

    formula = Text("The id of a formula.", 80, required=True)
    target = OrderTarget(required=True)
    id = Text("Your own name for it. Default: its place among the orders, counted from 1.", 80)
    own = OwnCodes("Your own codes for the order.")


class Pack(Closed):
    """The pack that an ingredient comes in."""

    ingredient = Text("As the formula's lines name it.", 80, required=True)
    pack_mass = Mass("What one pack holds.", LEAST_PACK_MASS, required=True, examples=[25000])
    stock_unit = Text("What your stock calls a pack, such as sack.", LONGEST_CODE_NAME)


class OrderDemandRequest(Priced):
    """Formulas, the orders for them, and the packs that ingredients come in."""

    formulas = Items(Object(ProductionFormula), "The formulas.", 1, MOST_FORMULAS, required=True)
    orders = Items(Object(Order), "The orders.", 1, MOST_ORDERS, required=True)
    scale = Object(Scale)
    packs = Items(
        Object(Pack),
        "With packs, each ingredient that has one also has the whole packs it takes, and what is left over.",
        1,
        MOST_PACKED,
    )
