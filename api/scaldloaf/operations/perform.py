"""A request answered: checked by the gate of its call, read, computed and written; or else explained."""

from functools import partial
from typing import Any

from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.faults import (
    Fault,
    InputFault,
    Tries,
    refusal_fault,
    with_options,
    with_workable_nearest,
)
from scaldloaf.operations.operation import Operation
from scaldloaf.operations.registry import OPERATIONS
from scaldloaf.operations.schemas.explain import schema_faults
from scaldloaf.operations.schemas.json_schema import gate
from scaldloaf.units import units_of

GATES = {operation.name: gate(operation.request) for operation in OPERATIONS}


def perform(operation: Operation, request: Any, full: bool = True) -> Wire:
    """Answer one request. full: with working, basis and notes.

    Raises InputFault with every fault the schema finds, or with the one the craft refuses.
    """
    try:
        return answer_once(operation, request, full)
    except InputFault as error:
        tries = Tries(request, partial(_faults_of, operation))
        examples = [example.body for example in operation.examples]
        faults = with_workable_nearest(error.faults, tries, examples)
        raise InputFault(with_options(faults, tries)) from None


def answer_once(operation: Operation, request: Any, full: bool) -> Wire:
    """Answer one request; a refusal has the craft's own nearest value, not tried."""
    if not GATES[operation.name].is_valid(request):
        raise InputFault(schema_faults(operation.request, request))
    context = Context(units_of(**operation.units(request)), full)
    try:
        return operation.answer(request, context)
    except Refusal as refusal:
        raise InputFault([refusal_fault(refusal, context.units)]) from None


def _faults_of(operation: Operation, request: object) -> list[Fault]:
    try:
        answer_once(operation, request, False)
    except InputFault as error:
        return error.faults
    return []
