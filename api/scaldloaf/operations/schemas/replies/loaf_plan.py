"""The reply of loaf-plan: the plan, and the request and the reply of every single call that it is made of."""

from scaldloaf.dough import plan as dough
from scaldloaf.operations.schemas.dough_temperature import DoughTemperatureRequest
from scaldloaf.operations.schemas.fields import AnyText, Choice, Integer, Mass, Number, Percent
from scaldloaf.operations.schemas.hydration_correction import HydrationCorrectionRequest
from scaldloaf.operations.schemas.objects import Items, Object, Open
from scaldloaf.operations.schemas.pan_fill import PanFillRequest
from scaldloaf.operations.schemas.replies.common import Estimate, FullFormula, Reply
from scaldloaf.operations.schemas.replies.dough_temperature import DoughTemperatureReply
from scaldloaf.operations.schemas.replies.hydration_correction import HydrationCorrectionReply, WaterUsed
from scaldloaf.operations.schemas.replies.pan_fill import PanFillReply
from scaldloaf.operations.schemas.replies.scald_preparation import ScaldPreparationReply, TimedTask
from scaldloaf.operations.schemas.replies.scaling import ScalingReply, WeighOutLine
from scaldloaf.operations.schemas.replies.sugar_budget import SugarBudgetReply, SugarInShort
from scaldloaf.operations.schemas.scald_preparation import ScaldPreparationRequest
from scaldloaf.operations.schemas.scaling import ScalingRequest
from scaldloaf.operations.schemas.sugar_budget import SugarBudgetRequest


class LoafPlanWeighOut(Open):
    """What to weigh, rounded for the scale so that it adds up."""

    scald = Items(Object(WeighOutLine), "For the scald, usually the day before.")
    dough = Items(Object(WeighOutLine), "For the dough, on the day; the scald is added to it.")
    total = Mass("Total, before any evaporation.")


class LoafPlanReplySugar(SugarInShort):
    """Summary of the sugar; null without `stages`."""


class LeastCertain(Open):
    """An estimate, and what it does to the loaf."""

    name = AnyText("Name of the estimate in its part.")
    part = AnyText("The part it comes from.")
    estimate = Object(Estimate)
    relative_width_percent = Number(
        "Width of its interval, high less low, percent of its best value; null for a temperature.",
        allow_none=True,
    )
    decides = Choice(
        "The property that it decides.",
        dough.LOAF_VOLUME,
        dough.LOAF_MASS,
        dough.RISE,
        dough.SWEETNESS,
        dough.SCALD,
    )
    least_percent = Number(
        "Change of that property at the lower end of the estimate, percent; null if there is no figure.",
        allow_none=True,
    )
    most_percent = Number("The same at the upper end.", allow_none=True)
    effect = AnyText("What it does to the loaf, in words.")
    tighten = AnyText("What would narrow it.")


class LoafPlanParts(Open):
    """The answer of each single call, as that call gives it."""

    hydration_correction = Object(HydrationCorrectionReply)
    pan_fill = Object(PanFillReply)
    scaling = Object(ScalingReply)
    sugar_budget = Object(SugarBudgetReply, required=False)
    scald_preparation = Object(ScaldPreparationReply, required=False)
    dough_temperature = Object(DoughTemperatureReply, required=False)


class LoafPlanRequests(Open):
    """The request of each single call, to redo a part by itself."""

    hydration_correction = Object(HydrationCorrectionRequest)
    pan_fill = Object(PanFillRequest)
    scaling = Object(ScalingRequest)
    sugar_budget = Object(SugarBudgetRequest, required=False)
    scald_preparation = Object(ScaldPreparationRequest, required=False)
    dough_temperature = Object(DoughTemperatureRequest, required=False)


class LoafPlanReply(WaterUsed, Reply):
    """The plan."""

    formula = Object(FullFormula, "What to mix, not rounded.")
    weigh_out = Object(LoafPlanWeighOut)
    dough_mass = Object(Estimate, "Dough for one pan. In `units.mass`.")
    pans = Integer("How many pans.")
    total_dough_mass = Object(Estimate, "Dough for all pans. In `units.mass`.")
    mixed_dough_mass = Mass("Dough to mix, so that the best value is left after handling.")
    scalded_share_percent = Percent("Scalded flour, percent of total flour.")
    water_temperature = Object(
        Estimate,
        "Temperature of the dough's water; null without `temperatures`. In `units.temperature`.",
        allow_none=True,
    )
    sugar = Object(LoafPlanReplySugar, allow_none=True)
    timetable = Items(Object(TimedTask), "The work with its times; empty without `timetable`.")
    least_certain = Items(
        Object(LeastCertain), "The estimates of the plan, those that may change the loaf most first."
    )
    parts = Object(LoafPlanParts)
    requests = Object(LoafPlanRequests)
