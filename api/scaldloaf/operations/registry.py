"""The list of operations, the only one there is: routes, document, docs, bulk and tests all read it."""

from scaldloaf.operations.breakdown import BREAKDOWN
from scaldloaf.operations.dough_temperature import DOUGH_TEMPERATURE
from scaldloaf.operations.hydration_correction import HYDRATION_CORRECTION
from scaldloaf.operations.keeping import KEEPING
from scaldloaf.operations.loaf_plan import LOAF_PLAN
from scaldloaf.operations.operation import Operation
from scaldloaf.operations.order_demand import ORDER_DEMAND
from scaldloaf.operations.pan_fill import PAN_FILL
from scaldloaf.operations.recipe_export import RECIPE_EXPORT
from scaldloaf.operations.recipe_import import RECIPE_IMPORT
from scaldloaf.operations.scald_preparation import SCALD_PREPARATION
from scaldloaf.operations.scaling import SCALING
from scaldloaf.operations.share_limit import SHARE_LIMIT
from scaldloaf.operations.sugar_budget import SUGAR_BUDGET
from scaldloaf.operations.tasting_plan import TASTING_PLAN
from scaldloaf.operations.tasting_result import TASTING_RESULT
from scaldloaf.operations.trial_fit import TRIAL_FIT
from scaldloaf.operations.variants import VARIANTS

OPERATIONS: tuple[Operation, ...] = (
    BREAKDOWN,
    SCALING,
    HYDRATION_CORRECTION,
    PAN_FILL,
    SUGAR_BUDGET,
    DOUGH_TEMPERATURE,
    ORDER_DEMAND,
    TRIAL_FIT,
    SCALD_PREPARATION,
    LOAF_PLAN,
    KEEPING,
    RECIPE_IMPORT,
    TASTING_PLAN,
    TASTING_RESULT,
    VARIANTS,
    RECIPE_EXPORT,
    SHARE_LIMIT,
)
BY_NAME = {operation.name: operation for operation in OPERATIONS}
