"""The operations: the only registry there is. Route, document, docs, bulk and tests all read it."""

from functools import partial

from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations.breakdown import BREAKDOWN
from scaldloaf.operations.dough_temperature import DOUGH_TEMPERATURE
from scaldloaf.operations.faults import Fault, InputFault, refusal_fault, with_workable_nearest
from scaldloaf.operations.hydration_correction import HYDRATION_CORRECTION
from scaldloaf.operations.keeping import KEEPING
from scaldloaf.operations.loaf_plan import LOAF_PLAN
from scaldloaf.operations.operation import Call, Operation
from scaldloaf.operations.order_demand import ORDER_DEMAND
from scaldloaf.operations.pan_fill import PAN_FILL
from scaldloaf.operations.recipe_import import RECIPE_IMPORT
from scaldloaf.operations.scald_preparation import SCALD_PREPARATION
from scaldloaf.operations.scaling import SCALING
from scaldloaf.operations.schemas.explain import schema_faults
from scaldloaf.operations.schemas.json_schema import gate
from scaldloaf.operations.sugar_budget import SUGAR_BUDGET
from scaldloaf.operations.trial_fit import TRIAL_FIT
from scaldloaf.units import units_of

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
)
BY_NAME = {operation.name: operation for operation in OPERATIONS}
GATES = {operation.name: gate(operation.request) for operation in OPERATIONS}


def perform(operation: Operation, request: object, full: bool = True) -> dict:
    """Answer one request: check it by its gate, run it, explain what fails.

    Raises InputFault with every fault the schema finds, or with the one the craft refuses.
    """
    try:
        return _answer(operation, request, full)
    except InputFault as error:
        raise InputFault(
            with_workable_nearest(error.faults, request, partial(_faults_of, operation))
        ) from None


def _answer(operation: Operation, request: object, full: bool) -> dict:
    if not GATES[operation.name].is_valid(request):
        raise InputFault(schema_faults(operation.request, request))
    units = units_of(**request.get("units", {}))
    try:
        return operation.run(request, Call(units, full))
    except Refusal as refusal:
        raise InputFault([refusal_fault(refusal, units, operation.pointers)]) from None


def _faults_of(operation: Operation, request: object) -> list[Fault]:
    try:
        _answer(operation, request, False)
    except InputFault as error:
        return error.faults
    return []
