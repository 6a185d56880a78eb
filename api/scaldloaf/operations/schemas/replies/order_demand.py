"""The reply of order-demand: what the orders take."""

from scaldloaf.operations.schemas.fields import AnyText, Integer, Mass, Number
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.replies.common import FullFormula, Reply
from scaldloaf.operations.schemas.replies.costs import OrderDemandCost
from scaldloaf.operations.schemas.replies.scaling import WeighOutLine


class RequiredIngredient(Open):
    """One ingredient over all orders, exact."""

    ingredient = AnyText()
    mass = Mass("Total.")
    scald = Mass("In the scald, to be made the day before.")
    dough = Mass("In the dough.")
    dusting = Mass("For dusting.")
    weighed = Mass(
        "As the batches' rounded lines and the dusting add up; null without a scale.", allow_none=True
    )
    allergens = Items(AnyText(), "Allergens it contains.")


class Production(Open):
    """What is made of one formula."""

    id = AnyText()
    orders = Integer("How many orders there are for it.")
    dough_mass = Mass("Total dough to mix, before any loss.")
    batches = Integer("Equal batches.")
    batch_dough_mass = Mass("Dough of one batch.")
    scald_mass = Mass("Total scald to have ready from the day before.")
    dusting = Mass("Total flour for dusting.")
    batch = Object(FullFormula, "One batch, not rounded; null if nothing is ordered.", allow_none=True)
    batch_weigh_out = Items(Object(WeighOutLine), "One batch rounded for the scale; empty without a scale.")


class ScaledOrder(Open):
    """One order, scaled by itself."""

    id = AnyText()
    formula = AnyText()
    factor = Number("Times the formula.")
    dough_mass = Mass("Dough to mix for it.")
    piece_mass = Mass("Scaling mass of a piece or pan; null without pieces.", allow_none=True)


class IngredientAllergen(Open):
    """An allergen and the ingredients that contain it."""

    allergen = AnyText()
    ingredients = Items(AnyText(), "Ingredients.", data_key="from")


class OrderDemandReply(Reply):
    """What the orders need."""

    ingredients = Items(Object(RequiredIngredient), "Ingredients, in the order the formulas name them.")
    formulas = Items(Object(Production), "The formulas, in their order.")
    orders = Items(Object(ScaledOrder), "The orders, in their order.")
    dough_mass = Mass("Total dough to mix.")
    allergens = Items(Object(IngredientAllergen), "Allergens.")
    cost = Object(
        OrderDemandCost,
        "Costs of the masses before rounding, including dusting. Only with `prices`.",
        required=False,
    )
