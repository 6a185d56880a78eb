"""The reply of order-demand: what the orders take."""

from scaldloaf.operations.schemas.fields import AnyText, Choice, Integer, Mass, Number
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.order_demand import OwnCodes
from scaldloaf.operations.schemas.replies.common import FullFormula, FullLine, Reply
from scaldloaf.operations.schemas.replies.costs import OrderDemandCost
from scaldloaf.operations.schemas.replies.scaling import WeighOutLine


class MassByOwnCodes(Open):
    """What one set of your own codes accounts for."""

    own = OwnCodes("As the lines have it.")
    mass = Mass("Exact, of the lines with exactly these codes.")


class IngredientPacks(Open):
    """The whole packs that an ingredient takes."""

    count = Integer("Packs, rounded up, that hold `weighed`, or `mass` without a scale.")
    pack_mass = Mass("What one pack holds, as given.")
    stock_unit = AnyText("As given; null if it was not.", allow_none=True)
    left_over = Mass("What the packs hold more than that.")


class RequiredIngredient(Open):
    """One ingredient over all orders, exact."""

    ingredient = AnyText("Its name, as in the formulas.")
    mass = Mass("Total.")
    scald = Mass("In the scald, to be made the day before.")
    dough = Mass("In the dough.")
    dusting = Mass("For dusting.")
    weighed = Mass(
        "As the batches' rounded lines and the dusting add up; null without a scale.", allow_none=True
    )
    allergens = Items(AnyText(), "Allergens it contains.")
    by_own = Items(
        Object(MassByOwnCodes),
        "Your own codes of all its lines: each different set once, in the order of the lines, with its "
        "mass. Lines without codes and the dusting make up the rest of `mass`. Omitted without codes.",
        required=False,
    )
    packs = Object(
        IngredientPacks,
        "Null for an ingredient without a pack. Only with `packs` in the request.",
        required=False,
        allow_none=True,
    )


class FullLineWithOwnCodes(FullLine):
    """One ingredient of a batch, with all its figures and your own codes."""

    own = OwnCodes("As in the request.", required=False)


class FullFormulaWithOwnCodes(FullFormula):
    """A batch as a formula with all its figures. It can be posted back to order-demand unchanged, and to any
    other call if its lines have no codes of yours."""

    lines = Items(Object(FullLineWithOwnCodes), "The ingredients, in order.", 1)


class WeighOutLineWithOwnCodes(WeighOutLine):
    """A line of a batch as the scale can weigh it, with your own codes."""

    own = OwnCodes("As in the request.", required=False)


class IngredientAllergen(Open):
    """An allergen and the ingredients that contain it."""

    allergen = AnyText("Its name, as in the catalogue.")
    ingredients = Items(AnyText(), "Ingredients.", data_key="from")


class Production(Open):
    """What is made of one formula."""

    id = AnyText("Of the formula.")
    orders = Integer("How many orders there are for it.")
    dough_mass = Mass("Total dough to mix, before any loss.")
    batches = Integer("Equal batches.")
    batch_dough_mass = Mass("Dough of one batch.")
    scald_mass = Mass("Total scald to have ready from the day before.")
    dusting = Mass("Total flour for dusting.")
    batch = Object(
        FullFormulaWithOwnCodes, "One batch, not rounded; null if nothing is ordered.", allow_none=True
    )
    batch_weigh_out = Items(
        Object(WeighOutLineWithOwnCodes), "One batch rounded for the scale; empty without a scale."
    )
    allergens = Items(
        Object(IngredientAllergen), "Allergens of this product and its dusting, even if nothing is ordered."
    )
    own = OwnCodes("As in the request.", required=False)


class ScaledOrder(Open):
    """One order, scaled by itself."""

    id = AnyText("Of the order.")
    formula = AnyText("Id of its formula.")
    factor = Number("Times the formula.")
    dough_mass = Mass("Dough to mix for it.")
    piece_mass = Mass("Scaling mass of a piece or pan; null without pieces.", allow_none=True)
    own = OwnCodes("As in the request.", required=False)


class Rounding(Open):
    """How some masses or packs were rounded."""

    of = Choice(
        "The field it is about; `dusting` is in `weighed` of the ingredient.",
        "batch_weigh_out",
        "dusting",
        "packs",
    )
    step = Mass("Rounded to whole multiples of it; null for packs, each of its own mass.", allow_none=True)
    way = Choice(
        "`nearest`: to the nearest step, half a step up. `adding_up`: to the step below or above, so that "
        "the lines add up to their rounded total. `up`: to the next whole one.",
        "nearest",
        "adding_up",
        "up",
    )
    text = AnyText("The same in words.")


class OrderDemandReply(Reply):
    """What the orders need."""

    ingredients = Items(Object(RequiredIngredient), "Ingredients, in the order the formulas name them.")
    formulas = Items(Object(Production), "The formulas, in their order.")
    orders = Items(Object(ScaledOrder), "The orders, in their order.")
    dough_mass = Mass("Total dough to mix.")
    allergens = Items(Object(IngredientAllergen), "Allergens of all that is made.")
    rounding = Items(Object(Rounding), "How masses and packs were rounded; empty if none were.")
    cost = Object(
        OrderDemandCost,
        "Costs of the masses before rounding, including dusting. Only with `prices`.",
        required=False,
    )
