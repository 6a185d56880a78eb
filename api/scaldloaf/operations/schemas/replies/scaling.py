"""The reply of scaling: the formula scaled, and what to weigh."""

from scaldloaf.operations.schemas.fields import AnyText, Choice, Mass, Number
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.replies.common import FullFormula, Reply
from scaldloaf.operations.schemas.replies.costs import Cost


class WeighOutLine(Open):
    """A line as the scale can weigh it."""

    ingredient = AnyText("Its name, as in the formula.")
    part = Choice("Where it goes.", "dough", "scald")
    mass = Mass("Mass to weigh: a whole number of steps.")
    error_percent = Number("Rounded mass less exact mass, percent of total flour.")
    resolution = Mass("Step of the scale on which it is weighed.")


class ScalingReply(Reply):
    """The scaled formula."""

    formula = Object(FullFormula, "The scaled formula, not rounded.")
    factor = Number("Times the formula of the request.")
    dough_mass = Mass("Dough to mix, before any loss.")
    dough_after_handling = Mass("Dough left to divide.")
    piece_mass = Mass(
        "Scaling mass of one piece of dough; null when the target has no pieces.", allow_none=True
    )
    weigh_out = Items(Object(WeighOutLine), "The lines rounded for the scale so that they add up, in order.")
    cost = Object(Cost, "Costs of the lines before rounding. Only with `prices`.", required=False)
    weigh_out_total = Mass("What the rounded lines add up to, before any evaporation.")
