"""The reply of breakdown."""

from scaldloaf.operations.schemas.fields import Mass, Number
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.replies.common import FullFormula, LineAllergen, Percentages, Reply


class BreakdownTotals(Open):
    """Masses."""

    flour = Mass("Flour in both parts.")
    dough = Mass("Dough, less what the scald loses in cooking.")
    water = Mass("Water of every non-flour line, less evaporation.")
    scald = Mass("The scald as it goes into the dough.")


class BreakdownScald(Open):
    """The scald by itself."""

    flour = Mass("Scalded flour.")
    liquid = Mass("Water and milk in the scald, as mixed.")
    liquid_ratio = Number("Liquid over flour by mass; null without scalded flour.", allow_none=True)
    moisture_percent = Number("Moisture of the scald; null without scalded flour.", allow_none=True)


class BreakdownReply(Percentages, Reply):
    """The formula analysed."""

    formula = Object(FullFormula)
    totals = Object(BreakdownTotals)
    scald = Object(BreakdownScald)
    allergens = Items(Object(LineAllergen), "Allergens of the lines used.")
