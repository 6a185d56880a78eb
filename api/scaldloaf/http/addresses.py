"""One spelling for each address; every other spelling is answered 404.

Limits, metrics, the fast path, the routes and nginx's locations each read a request's path. If an address
had two spellings, a request could use one to avoid a limit that only knows the other. So a path must be sent
exactly as the routes write it: no percent-encoding (no address needs any), one slash between parts and none
at the end, no dot segments, lower case.
"""

from collections.abc import Iterable
from urllib.parse import quote, urlsplit
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

from werkzeug.wrappers import Request, Response

from scaldloaf.http import ids
from scaldloaf.http.problems import KINDS, REFUSED, problem_body
from scaldloaf.http.reading import write_json


def not_found(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
    """A WSGI application that answers 404 to everything."""
    kind = KINDS["not-found"]
    path = quote(Request(environ).path, errors="replace")
    body = problem_body(kind, kind.help, instance=path, request_id=environ[ids.KEY])
    environ[REFUSED] = body
    answer = Response(
        write_json(body), kind.status, {"Cache-Control": "no-store"}, content_type="application/problem+json"
    )
    return answer(environ, start_response)


def one_spelling(wsgi_app: WSGIApplication) -> WSGIApplication:
    """Middleware: answers 404 unless the path was sent exactly as the routes read it.

    The server decodes PATH_INFO, and werkzeug's routes ignore how many slashes it begins with. So the path as
    sent (gunicorn's RAW_URI) must equal PATH_INFO, and PATH_INFO must begin with exactly one slash. Other
    spellings, such as an extra slash further on, match no route. An absolute URL counts as its path (RFC
    9112, 3.2.2), and an empty path as "/" (RFC 9110, 4.2.3).
    """

    def wrapped(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        path: str = environ.get("PATH_INFO") or "/"
        sent: str = environ.get("RAW_URI", path)
        if sent[:1] != "/":
            sent = _without_host(sent)
        end = len(path)
        if sent[:end] != path or sent[end : end + 1] not in ("", "?") or path[:1] != "/" or path[1:2] == "/":
            return not_found(environ, start_response)
        environ["PATH_INFO"] = path
        return wsgi_app(environ, start_response)

    return wrapped


def _without_host(target: str) -> str:
    """Path and query of an http or https URL; "" of anything else."""
    try:
        parts = urlsplit(target)
    except ValueError:
        return ""
    if parts.scheme not in ("http", "https") or not parts.netloc or "#" in target:
        return ""
    return (parts.path or "/") + ("?" + parts.query if parts.query else "")
