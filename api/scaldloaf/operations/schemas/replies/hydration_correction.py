"""The reply of hydration-correction: the formula moved, with the water that suits it."""

from scaldloaf.dough.water_judged import (
    BALANCED,
    BY_ABSORPTION,
    BY_MOVE,
    BY_NOTHING,
    NOT_JUDGED,
    STICKY,
    UNDER_WATERED,
)
from scaldloaf.dough.water_rule import BY_TABLE, BY_TRIALS
from scaldloaf.operations.schemas.fields import Choice, Flag, Mass, Number, Percent
from scaldloaf.operations.schemas.objects import Object, Open
from scaldloaf.operations.schemas.replies.common import Estimate, FullFormula, Percentages, Reply


class WaterUsed(Open):
    """The hydration used, and how it compares with the optimum."""

    hydration_percent = Number("Hydration used: the one asked for, or the optimum's best value.")
    optimum_hydration_percent = Object(Estimate, "The hydration that suits this share and flour.")
    assessment = Choice(
        "How the hydration used compares with what is known. `not_judged` if nothing is known: an "
        "unchanged formula is not assumed to be right.",
        UNDER_WATERED,
        BALANCED,
        STICKY,
        NOT_JUDGED,
    )
    uncertain = Flag("Whether another assessment is possible within the interval.")
    judged_by = Choice(
        "What it is judged by: the change from a base that is assumed to be right, the flour's "
        "absorption, a table, your own trials, or nothing.",
        BY_MOVE,
        BY_ABSORPTION,
        BY_TABLE,
        BY_TRIALS,
        BY_NOTHING,
    )
    judged_against = Object(
        Estimate, "The hydration that suits by that; null if not judged.", allow_none=True
    )


class GlutenToMakeUp(Open):
    """Vital gluten that replaces all the gluten lost to the larger share, beyond what was already added."""

    mass = Mass("Vital gluten.")
    percent = Percent("The same, percent of flour.")
    water = Mass("The water that it absorbs.")


class OffTrialsPoints(Open):
    """Hydrations less the one that suits by your own trials: for pan-fill with the same calibration,
    its `hydration_off_optimum_points`."""

    before = Number("Of the formula as it was, points.")
    after = Number("Of the formula as it is now, points.")


class HydrationCorrectionReply(WaterUsed, Reply):
    """The adjusted formula, with its water corrected."""

    formula = Object(FullFormula)
    dough_mass = Mass("Dough of the adjusted formula.")
    before = Object(Percentages, "The formula as it was.")
    after = Object(Percentages, "The formula as it is now.")
    off_trials_points = Object(
        OffTrialsPoints, "Only with a calibration whose trials state their hydration.", required=False
    )
    gluten_to_make_up = Object(GlutenToMakeUp)
    crumb_moisture_change_points = Object(
        Estimate,
        "Change of crumb moisture, points. The best value is bakers' practice, the far end the mass balance.",
    )
