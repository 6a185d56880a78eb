"""Middleware that answers the common case of a calculation without Flask.

Routing, request and response objects cost more than most calculations. The fast path answers a request that

- is a POST to the path of a calculation,
- has an uncompressed JSON body (exactly ``Content-Type: application/json``) of a declared length within the
  limit,
- accepts JSON (no Accept, ``*/*`` or ``application/json``),
- has no query or ``show=result``,
- and is within its client's rate limit.

Every other request, and every request that fails, goes to the application, which words the refusals.
``tests/contract/test_fast_path.py`` checks that both give the same answer.
"""

from collections.abc import Callable, Iterable
from wsgiref.types import InputStream, StartResponse, WSGIApplication, WSGIEnvironment

from werkzeug.exceptions import BadRequest, RequestTimeout

from scaldloaf.http.calculations import Calculation
from scaldloaf.http.headers import JSON
from scaldloaf.http.instrumented import ROUTE

PLAIN_ACCEPT = (None, "*/*", JSON)
PLAIN_QUERY = {"": True, "show=result": False}  # -> whether the reply has its working
FAILED = "scaldloaf.failed"


def fast_path(
    wsgi_app: WSGIApplication,
    calculations: dict[str, Calculation],
    must_wait: Callable[[WSGIEnvironment], int] | None,
) -> WSGIApplication:
    """The application behind the fast path.

    calculations: by path. must_wait: seconds until a client may call again; 0: now.
    """

    def wrapped(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        calculation = calculations.get(environ["PATH_INFO"])
        if (
            calculation is None
            or not _is_plain(environ, calculation.most_bytes)
            or must_wait
            and must_wait(environ)
        ):
            return wsgi_app(environ, start_response)
        try:
            body = _whole(environ["wsgi.input"], int(environ["CONTENT_LENGTH"]))
            full = PLAIN_QUERY[environ.get("QUERY_STRING", "")]
            written, headers = calculation.answer(body, full, JSON, environ.get("HTTP_ACCEPT_ENCODING", ""))
        except Exception as error:  # any kind: the application raises it again, and its error handlers answer
            environ[FAILED] = error
            return wsgi_app(environ, start_response)
        environ[ROUTE] = calculation.operation.path
        start_response("200 OK", [*headers, ("Content-Length", str(len(written)))])
        return [written]

    return wrapped


def _is_plain(environ: WSGIEnvironment, most: int) -> bool:
    length = environ.get("CONTENT_LENGTH", "")
    return (
        environ["REQUEST_METHOD"] == "POST"
        and environ.get("QUERY_STRING", "") in PLAIN_QUERY
        and environ.get("CONTENT_TYPE") == JSON
        and environ.get("HTTP_ACCEPT") in PLAIN_ACCEPT
        and "HTTP_CONTENT_ENCODING" not in environ
        and "HTTP_TRANSFER_ENCODING" not in environ
        and length.isascii()
        and length.isdigit()
        and len(length) < 10
        and int(length) <= most
    )


def _whole(stream: InputStream, length: int) -> bytes:
    """A body of that length. Raises BadRequest if it is cut off, RequestTimeout if it arrives too slowly."""
    try:
        body = stream.read(length)
    except TimeoutError as error:
        raise RequestTimeout from error
    except Exception as error:  # gunicorn's own types
        raise BadRequest from error
    if len(body) < length:
        raise BadRequest
    return body


def raise_failed(environ: WSGIEnvironment) -> None:
    """Raise the exception of the fast path, if there was one."""
    if FAILED in environ:
        # Popped to break the reference cycle environ -> error -> traceback -> environ.
        raise environ.pop(FAILED)
