"""Schemas of the bodies that belong to HTTP: lines of bulk, problems and health checks.

For the document and the tests; ``bulk`` and ``problems`` do not use them to read or write.
"""

from typing import Any

from scaldloaf.http.limits import STATES
from scaldloaf.operations.registry import BY_NAME
from scaldloaf.operations.schemas.fields import (
    MAX_NAME,
    AnyObject,
    AnyText,
    Anything,
    Choice,
    Constant,
    Integer,
    WireField,
    is_number,
)
from scaldloaf.operations.schemas.objects import Closed, Items, Object, Open
from scaldloaf.operations.schemas.replies.common import ProblemFault


class LineIdentity(WireField):
    """Text, a number or null."""

    expects = f"text of at most {MAX_NAME} characters or a number"

    def published(self) -> dict[str, Any]:
        return {"type": ["string", "number", "null"], "maxLength": MAX_NAME, **self.annotations}

    def is_one(self, value: Any) -> bool:
        return (is_number(value) or isinstance(value, str)) and len(str(value)) <= MAX_NAME


class BulkLine(Closed):
    """One call."""

    call = Choice("The call's name.", *BY_NAME, required=True)
    body = AnyObject("Its request.", required=True)
    id = LineIdentity("Your own identifier, returned unchanged with the answer.", allow_none=True)


class BulkAnswer(Open):
    """The answer to one line. A last line with `answered` is not an answer: its problem says why the answers
    end early."""

    id = Anything("The id of the line; null if the line could not be read.")
    status = Integer("The HTTP status that the call would have on its own.")
    body = AnyObject("The reply, or a problem.")
    answered = Integer(
        "Only in a last line that is not an answer: how many lines have an answer, counted from the first, "
        "without blank lines.",
        required=False,
    )


class Problem(Open):
    """What went wrong (RFC 9457)."""

    type = AnyText("The page that explains this kind of problem.", form="uri-reference")
    title = AnyText("Of its kind, in a few words.")
    status = Integer("HTTP status.")
    detail = AnyText("The first fault in a sentence, in English, and how many more there are.")
    instance = AnyText("Path of the request.", form="uri-reference")
    request_id = AnyText("The Request-Id of the answer; quote it to the operator.")
    errors = Items(Object(ProblemFault), "Each fault found.")


class Health(Open):
    """Health."""

    status = Constant("ok")


class Readiness(Health):
    """Health."""

    rate_limit = Choice("Where requests are counted; omitted without a rate limit.", *STATES, required=False)
