"""The operations: the only registry there is. Route, document, docs, bulk and tests all read it."""

from functools import partial

import jsonschema_rs

from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations import schema
from scaldloaf.operations.breakdown import BREAKDOWN
from scaldloaf.operations.dough_temperature import DOUGH_TEMPERATURE
from scaldloaf.operations.faults import Fault, InputFault, refusal_fault, schema_faults, settled
from scaldloaf.operations.hydration_correction import HYDRATION_CORRECTION
from scaldloaf.operations.keeping import KEEPING
from scaldloaf.operations.loaf_plan import LOAF_PLAN
from scaldloaf.operations.operation import Call, Operation
from scaldloaf.operations.pan_fill import PAN_FILL
from scaldloaf.operations.order_demand import ORDER_DEMAND
from scaldloaf.operations.recipe_import import RECIPE_IMPORT
from scaldloaf.operations.scald_preparation import SCALD_PREPARATION
from scaldloaf.operations.scaling import SCALING
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


def _root(operation: Operation) -> dict:
    return {**operation.request, "components": {"schemas": schema.COMPONENTS}}


_ROOTS = {operation.name: _root(operation) for operation in OPERATIONS}
_VALIDATORS = {name: jsonschema_rs.Draft202012Validator(root) for name, root in _ROOTS.items()}


def perform(operation: Operation, request: object, full: bool = True) -> dict:
    """Answer one request: check it against the published schema, run it, explain what fails.

    Raises InputFault with every fault the schema finds, or with the one the craft refuses.
    """
    try:
        return _answer(operation, request, full)
    except InputFault as error:
        raise InputFault(settled(error.faults, request, partial(_faults_of, operation))) from None


def _answer(operation: Operation, request: object, full: bool) -> dict:
    validator = _VALIDATORS[operation.name]
    if not validator.is_valid(request):
        raise InputFault(schema_faults(validator, request, _ROOTS[operation.name]))
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
