"""The request of order-demand: formulas, and what is ordered of them."""

from scaldloaf.operations.schemas.common import Formula
from scaldloaf.operations.schemas.fields import Constant, Integer, Mass, Percent, Text
from scaldloaf.operations.schemas.objects import Closed, Items, Object, Union
from scaldloaf.operations.schemas.prices import Priced
from scaldloaf.operations.schemas.scaling import (
    LEAST_MASS,
    Losses,
    Scale,
    ScalingTargetBakedPieces,
    ScalingTargetDoughMass,
    ScalingTargetPieces,
)

MOST_FORMULAS, MOST_ORDERS = 100, 10_000


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
    formula = Object(Formula, required=True)
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


class OrderDemandRequest(Priced):
    """Formulas, and the orders for them."""

    formulas = Items(Object(ProductionFormula), "The formulas.", 1, MOST_FORMULAS, required=True)
    orders = Items(Object(Order), "The orders.", 1, MOST_ORDERS, required=True)
    scale = Object(Scale)
