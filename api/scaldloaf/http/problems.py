"""Problem details (RFC 9457): one shape, one builder, one table of kinds."""

import logging
import traceback
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from flask import Response, request

from scaldloaf.http import ids
from scaldloaf.http.reading import write_json
from scaldloaf.operations.faults import Fault


@dataclass(frozen=True, slots=True)
class Kind:
    slug: str
    status: int
    title: str
    help: str


KINDS = {
    kind.slug: kind
    for kind in (
        Kind(
            "bad-request",
            400,
            "The request could not be read",
            "Check the request line, the headers and the framing of the body.",
        ),
        Kind(
            "not-json",
            400,
            "The body is not JSON",
            "Send one JSON text in UTF-8. NaN and infinity are not JSON. An object may have each key only "
            "once.",
        ),
        Kind(
            "not-found",
            404,
            "Not found",
            "The OpenAPI document at /openapi.json lists all calls.",
        ),
        Kind(
            "method-not-allowed",
            405,
            "Method not allowed",
            "Calculations take POST; facts take GET. The Allow header lists the methods that work.",
        ),
        Kind(
            "not-acceptable",
            406,
            "Media type not available",
            "Answers are application/json. Leave out the Accept header, or include application/json in it.",
        ),
        Kind(
            "too-slow",
            408,
            "The request arrived too slowly",
            "Send the whole body at once; by default, every 64 kB of it must arrive within 20 s.",
        ),
        Kind(
            "too-large",
            413,
            "The body is too large",
            "A body may have at most 64 kB by default, all orders of a day 2 MB. Send many formulas as "
            "lines of /v1/bulk, and all orders in one order-demand.",
        ),
        Kind(
            "unsupported-media-type",
            415,
            "The body has the wrong media type",
            "Send application/json in UTF-8, not compressed.",
        ),
        Kind(
            "invalid-request",
            422,
            "Invalid request",
            "Each entry in errors points to a field, says why it was refused and gives the nearest value "
            "that works. The service never changes a value silently.",
        ),
        Kind("too-many-requests", 429, "Too many requests", "Wait for the time in the Retry-After header."),
        Kind(
            "internal-error",
            500,
            "Internal error",
            "You may send the request again. Nothing you sent was stored.",
        ),
        Kind(
            "unavailable",
            503,
            "Not ready",
            "The service is starting or stopping. Try again in a few seconds.",
        ),
    )
}
REFUSED = "scaldloaf.refused"  # environ key: the problem that the request got
BY_STATUS = {kind.status: kind for kind in reversed(KINDS.values())}


def problem_body(
    kind: Kind, detail: str, faults: Sequence[Fault] = (), instance: str = "", request_id: str = ""
) -> dict[str, Any]:
    """The problem object, for an HTTP response or a line of a bulk.

    ``instance`` is what was asked, as /v1 has always said; ``request_id`` is what happened this time.
    """
    return {
        "type": f"/problems/{kind.slug}",
        "title": kind.title,
        "status": kind.status,
        "detail": detail,
        "instance": instance,
        "request_id": request_id,
        "errors": [fault.as_wire() for fault in faults],
    }


def refusal_of(body: dict[str, Any]) -> tuple[str, str]:
    """Of a problem object: its kind, and the code of its first fault, "none" where it has none."""
    errors = body["errors"]
    return body["type"].removeprefix("/problems/"), errors[0]["code"] if errors else "none"


def problem(
    kind: Kind, detail: str, faults: Sequence[Fault] = (), headers: dict[str, str] | None = None
) -> Response:
    """A problem as the response to the current request."""
    body = problem_body(kind, detail, faults, quote(request.path, errors="replace"), request.environ[ids.KEY])
    request.environ[REFUSED] = body
    return Response(
        write_json(body),
        kind.status,
        {"Cache-Control": "no-store", **(headers or {})},
        content_type="application/problem+json",
    )


def log_unexpected(error: Exception, place: str | None, request_id: str) -> None:
    """Log the type and traceback of an unexpected error, not its message: that may quote the request."""
    logging.getLogger("scaldloaf").error(
        "unexpected %s in %s, request %s\n%s",
        type(error).__name__,
        place,
        request_id,
        "".join(traceback.format_tb(error.__traceback__)),
    )


def summary(faults: Sequence[Fault]) -> str:
    """One sentence about some faults, for ``detail``.

    A fault of the whole body says so itself ("the body is not JSON", "a line may have at most ..."), or only
    what must be, and then gets a subject.
    """
    first = faults[0]
    said = f"{first.pointer}: {first.detail}"
    if not first.pointer:
        said = f"the body {first.detail}" if first.detail.startswith("must ") else first.detail
    more = f" (errors lists {len(faults) - 1} more)" if len(faults) > 1 else ""
    return f"{said}{more}"
