"""The request of breakdown."""

from scaldloaf.operations.schemas.common import Formula, Request
from scaldloaf.operations.schemas.objects import Object


class BreakdownRequest(Request):
    """A formula to analyse."""

    formula = Object(Formula, required=True)
