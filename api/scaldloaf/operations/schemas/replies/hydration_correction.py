"""The reply of hydration-correction: the formula moved, with the water that suits it."""

from scaldloaf.dough.hydration import BALANCED, STICKY, UNDER_WATERED
from scaldloaf.operations.schemas.fields import Choice, Mass, Number
from scaldloaf.operations.schemas.objects import Object, Open
from scaldloaf.operations.schemas.replies.common import Estimate, FullFormula, Percentages, Reply


class WaterUsed(Open):
    """The hydration used, and how it compares with the optimum."""

    hydration_percent = Number("Hydration used: the one asked for, or the optimum's best value.")
    optimum_hydration_percent = Object(Estimate, "The hydration that suits this share and flour.")
    assessment = Choice("The hydration used against the optimum.", UNDER_WATERED, BALANCED, STICKY)


class HydrationCorrectionReply(WaterUsed, Reply):
    """The formula moved, with the water that suits it."""

    formula = Object(FullFormula)
    dough_mass = Mass("Dough of the moved formula.")
    before = Object(Percentages, "The formula as it was.")
    after = Object(Percentages, "The formula as it is now.")
    crumb_moisture_change_points = Object(
        Estimate,
        "Change of crumb moisture, points: practice as the best value, the mass balance as the far end.",
    )
