"""What pages of other hosts may send and read."""

from scaldloaf.http import ids, version

ANY_HOST = ("Access-Control-Allow-Origin", "*")
# deploy/nginx writes these of its own refusals too.
EXPOSED = (
    "Access-Control-Expose-Headers",
    f"{ids.HEADER}, {ids.TRACE_HEADER}, Retry-After, {version.NAME}, Deprecation, Link",
)
PREFLIGHT_HEADERS = [
    ("Access-Control-Allow-Headers", f"Content-Type, {ids.HEADER}, X-Request-Id, {ids.TRACE_HEADER}"),
    ("Access-Control-Max-Age", "86400"),
]
