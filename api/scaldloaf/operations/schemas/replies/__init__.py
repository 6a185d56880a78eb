"""Every reply, a marshmallow Schema class each: what the document promises and the tests hold the service to.

A reply is never written through its class, so the service does not import this package.
"""

from scaldloaf.operations.schemas.objects import Open
from scaldloaf.operations.schemas.replies.breakdown import BreakdownReply
from scaldloaf.operations.schemas.replies.dough_temperature import DoughTemperatureReply
from scaldloaf.operations.schemas.replies.facts import (
    CoefficientsFacts,
    IngredientsFacts,
    LabelsFacts,
    NamesFacts,
    PansFacts,
    SourcesFacts,
    UnitsFacts,
)
from scaldloaf.operations.schemas.replies.hydration_correction import HydrationCorrectionReply
from scaldloaf.operations.schemas.replies.keeping import KeepingReply
from scaldloaf.operations.schemas.replies.loaf_plan import LoafPlanReply
from scaldloaf.operations.schemas.replies.order_demand import OrderDemandReply
from scaldloaf.operations.schemas.replies.pan_fill import PanFillReply
from scaldloaf.operations.schemas.replies.recipe_export import RecipeExportReply
from scaldloaf.operations.schemas.replies.recipe_import import RecipeImportReply
from scaldloaf.operations.schemas.replies.scald_preparation import ScaldPreparationReply
from scaldloaf.operations.schemas.replies.scaling import ScalingReply
from scaldloaf.operations.schemas.replies.share_limit import ShareLimitReply
from scaldloaf.operations.schemas.replies.sugar_budget import SugarBudgetReply
from scaldloaf.operations.schemas.replies.tasting import TastingPlanReply, TastingResultReply
from scaldloaf.operations.schemas.replies.trial_fit import TrialFitReply
from scaldloaf.operations.schemas.replies.variants import VariantsReply

# By the name of the call, or of the table of facts.
REPLIES: dict[str, type[Open]] = {
    "breakdown": BreakdownReply,
    "scaling": ScalingReply,
    "hydration-correction": HydrationCorrectionReply,
    "pan-fill": PanFillReply,
    "sugar-budget": SugarBudgetReply,
    "dough-temperature": DoughTemperatureReply,
    "order-demand": OrderDemandReply,
    "trial-fit": TrialFitReply,
    "scald-preparation": ScaldPreparationReply,
    "loaf-plan": LoafPlanReply,
    "keeping": KeepingReply,
    "recipe-import": RecipeImportReply,
    "tasting-plan": TastingPlanReply,
    "tasting-result": TastingResultReply,
    "variants": VariantsReply,
    "recipe-export": RecipeExportReply,
    "share-limit": ShareLimitReply,
    "ingredients": IngredientsFacts,
    "labels": LabelsFacts,
    "names": NamesFacts,
    "units": UnitsFacts,
    "coefficients": CoefficientsFacts,
    "sources": SourcesFacts,
    "pans": PansFacts,
}
