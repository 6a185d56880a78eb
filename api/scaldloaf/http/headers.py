"""Headers that most answers share, each as it is sent."""

from scaldloaf.http import version
from scaldloaf.http.cross_origin import ANY_HOST, EXPOSED

JSON = "application/json"
NOSNIFF = ("X-Content-Type-Options", "nosniff")
NO_STORE = ("Cache-Control", "no-store")
#: Of the answers of the API, and of every problem.
JSON_POLICY = ("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'")
OF_JSON = ("Content-Type", JSON)
BY_ENCODING = ("Vary", "Accept-Encoding")
#: What the server may send without looking at it again.
UNCHANGING = frozenset(
    {NOSNIFF, NO_STORE, JSON_POLICY, OF_JSON, BY_ENCODING, ANY_HOST, EXPOSED, version.HEADER}
)
