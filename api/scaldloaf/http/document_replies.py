"""The replies in the document that are no answers: problems, each described once, and headers."""

from typing import Any

from scaldloaf import __version__
from scaldloaf.http import ids, version
from scaldloaf.http.document_names import camel
from scaldloaf.http.problem_pages import REQUEST_ID
from scaldloaf.http.problems import KINDS
from scaldloaf.http.schemas import Problem

PROBLEM = "application/problem+json"
# What can happen to any request, and to one with a body.
ALWAYS = "internal-error", "unavailable"
OF_A_CALL = (
    "not-json",
    "bad-request",
    "not-acceptable",
    "too-slow",
    "too-large",
    "unsupported-media-type",
    "invalid-request",
    "too-many-requests",
    *ALWAYS,
)

_VERSION = {"$ref": f"#/components/headers/{version.NAME}"}
_REQUEST_ID = {"$ref": f"#/components/headers/{ids.HEADER}"}
_RETRY_AFTER = {"$ref": "#/components/headers/Retry-After"}
HEADERS: dict[str, Any] = {
    version.NAME: {
        "description": "The version of the service, `info.version` of its document. Answers of one version "
        "to one request are the same. Answers of a server in front, such as 503, do not have it.",
        "schema": {"type": "string"},
        "example": __version__,
    },
    ids.HEADER: {
        "description": "The id of the request, also in a problem's request_id. Send your own as X-Request-Id "
        "or Request-Id, and it is kept if it has only letters, digits and `-._~+/=:`.",
        "schema": {"type": "string", "minLength": 1, "maxLength": ids.MOST_CHARACTERS},
        "example": REQUEST_ID,
    },
    "Retry-After": {
        "description": "Seconds to wait before the request is sent again.",
        "schema": {"type": "integer", "minimum": 1},
        "example": 10,
    },
    "ETag": {
        "description": "Of this answer in this encoding; strong. Send it in If-None-Match.",
        "schema": {"type": "string"},
    },
}
# What is not in a problem's own words: who answers with it, and when.
MORE_ABOUT = {
    "too-many-requests": "The operator may set a rate for each client; by default there is none. "
    "/v1/bulk also gives it when all places for bulks are taken.",
    "internal-error": "A mistake of the service; it is logged without what you sent.",
    "unavailable": "From a server in front of the service, as deploy/nginx sets it up: no process of the "
    "service can be reached, as while it starts or stops. /readyz gives it itself, with the reason as a "
    "code: stopping or full.",
}


def with_headers(response: dict[str, Any], **headers: Any) -> dict[str, Any]:
    """A response with the headers that every reply has, and some of its own."""
    return {**response, "headers": {**headers, ids.HEADER: _REQUEST_ID, version.NAME: _VERSION}}


def tagged(response: dict[str, Any]) -> dict[str, Any]:
    """A response with an ETag."""
    return with_headers(response, ETag={"$ref": "#/components/headers/ETag"})


def problems(*slugs: str) -> dict[str, Any]:
    """The responses with these problems, by status: references to ``RESPONSES``."""
    by_status: dict[int, list[str]] = {}
    for slug in slugs:
        by_status.setdefault(KINDS[slug].status, []).append(slug)
    return {
        str(status): {"$ref": f"#/components/responses/{name_of(*found)}"}
        for status, found in sorted(by_status.items())
    }


def name_of(*slugs: str) -> str:
    """The name of the response with these problems of one status."""
    return "Or".join(map(camel, slugs))


def _response(*slugs: str) -> dict[str, Any]:
    status = KINDS[slugs[0]].status
    described = "; ".join(KINDS[slug].title for slug in slugs)
    more = " ".join(MORE_ABOUT[slug] for slug in slugs if slug in MORE_ABOUT)
    response = {
        "description": f"{described}. {more}" if more else described,
        "content": {PROBLEM: {"schema": {"$ref": Problem}}},
    }
    if status not in (429, 503):
        return with_headers(response)
    return with_headers(response, **{"Retry-After": _RETRY_AFTER})


# Its name -> the slugs of each of them.
SLUGS: dict[str, tuple[str, ...]] = {
    name_of(*slugs): slugs
    for slugs in (
        ("not-json", "bad-request"),
        ("not-acceptable",),
        ("too-slow",),
        ("too-large",),
        ("unsupported-media-type",),
        ("invalid-request",),
        ("too-many-requests",),
        ("internal-error",),
        ("unavailable",),
    )
}
RESPONSES: dict[str, Any] = {name: _response(*slugs) for name, slugs in SLUGS.items()}
