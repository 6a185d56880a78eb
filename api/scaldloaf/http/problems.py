"""Problem details (RFC 9457): one shape, one builder, one table of what can go wrong."""

import logging
import traceback
from dataclasses import dataclass
from urllib.parse import quote

from flask import Response, request

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
            "Check the request line, the headers and how the body is framed.",
        ),
        Kind(
            "not-json",
            400,
            "The body is not JSON",
            "Send one JSON text in UTF-8. NaN and infinity are not JSON, and no key may stand twice in one object.",
        ),
        Kind(
            "not-found",
            404,
            "There is nothing here",
            "The calls are listed in the document at /openapi.json.",
        ),
        Kind(
            "method-not-allowed",
            405,
            "This method does not work here",
            "Calculations take POST, facts take GET. The Allow header names what works.",
        ),
        Kind(
            "not-acceptable",
            406,
            "The answer has no such form",
            "Answers are application/json; leave the Accept header out, or let it allow that.",
        ),
        Kind(
            "too-large",
            413,
            "The body is too large",
            "A body is bounded, to 64 kB unless set otherwise; many formulas go one a line through /v1/bulk.",
        ),
        Kind(
            "unsupported-media-type",
            415,
            "The body has the wrong media type",
            "Send Content-Type: application/json, in UTF-8 and not compressed.",
        ),
        Kind(
            "invalid-request",
            422,
            "The request does not make sense",
            "Each entry of errors points at a field, says why it was refused, and gives the nearest value that would "
            "work. Nothing was changed on the quiet.",
        ),
        Kind("too-many-requests", 429, "Too many requests", "Wait as long as the Retry-After header says."),
        Kind(
            "internal-error",
            500,
            "Something went wrong on our side",
            "The request may be sent again. Nothing of it was kept.",
        ),
        Kind("unavailable", 503, "Not ready", "The service is starting or stopping. Try again in a moment."),
    )
}
BY_STATUS = {kind.status: kind for kind in reversed(KINDS.values())}


def problem_body(kind: Kind, detail: str, faults: list[Fault] = (), instance: str = "") -> dict:
    """The problem object, for HTTP and for a line of bulk alike."""
    return {
        "type": f"/problems/{kind.slug}",
        "title": kind.title,
        "status": kind.status,
        "detail": detail,
        "instance": instance,
        "errors": [fault.as_wire() for fault in faults],
    }


def problem(kind: Kind, detail: str, faults: list[Fault] = (), headers: dict | None = None) -> Response:
    """A problem as the response to the current request."""
    body = problem_body(kind, detail, faults, quote(request.path, errors="replace"))
    return Response(
        write_json(body),
        kind.status,
        {"Cache-Control": "no-store", **(headers or {})},
        content_type="application/problem+json",
    )


def log_unforeseen(error: Exception, place: str) -> None:
    """Log a fault of ours: what kind and where, never its message, which may carry what a user sent."""
    logging.getLogger("scaldloaf").error(
        "unforeseen %s in %s\n%s",
        type(error).__name__,
        place,
        "".join(traceback.format_tb(error.__traceback__)),
    )


def summary(faults: list[Fault]) -> str:
    """One sentence over some faults, for ``detail``."""
    first = faults[0]
    place = first.pointer or "the body"
    more = f" (errors lists {len(faults) - 1} more)" if len(faults) > 1 else ""
    return f"{place}: {first.detail}{more}"
