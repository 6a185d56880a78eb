"""A calculation over HTTP: the bytes of a request to the bytes of its answer.

Routing, request and response objects cost more than most calculations, and a call that is put in the plainest
way needs none of them: ``straight`` answers it below Flask. All else, every refusal included, goes to Flask.
"""

import gzip
from collections.abc import Callable

from werkzeug.exceptions import BadRequest
from werkzeug.http import parse_accept_header

from scaldloaf.http.reading import read_json, write_json
from scaldloaf.http.watching import ROUTE
from scaldloaf.operations.operation import Operation
from scaldloaf.operations.perform import perform

JSON = "application/json"
PACKED_FROM_BYTES = 1400        # less fits one packet anyhow
PACKED_LEVEL = 4
PLAIN_ACCEPT = (None, "*/*", JSON)
PLAIN_QUERY = {"": True, "show=result": False}      # -> whether the working is wanted
FAILED = "scaldloaf.failed"


class Calculation:
    """An operation with the media types it can answer in and the headers of each."""

    def __init__(self, operation: Operation):
        self.operation = operation
        self.writers = {JSON: write_json, **operation.writers}
        vary = "Accept, Accept-Encoding" if operation.writers else "Accept-Encoding"
        self._headers = {media: [("Content-Type", media if media == JSON else f"{media}; charset=utf-8"),
                                 ("Cache-Control", "no-store"), ("Vary", vary)] for media in self.writers}

    def answer(self, body: bytes, full: bool, media: str, encodings: str) -> tuple[bytes, list[tuple[str, str]]]:
        """The answer and its headers, compressed for a client that takes that: a phone on a slow line.

        encodings: its Accept-Encoding. Raises NotJson and InputFault.
        """
        written = self.writers[media](perform(self.operation, read_json(body), full))
        headers = self._headers[media]
        if len(written) < PACKED_FROM_BYTES or not _takes_gzip(encodings):
            return written, headers
        return gzip.compress(written, PACKED_LEVEL, mtime=0), [*headers, ("Content-Encoding", "gzip")]


def _takes_gzip(encodings: str) -> bool:
    return "gzip" in encodings and parse_accept_header(encodings)["gzip"] > 0


def straight(wsgi_app, calculations: dict[str, Calculation], most: int, must_wait: Callable[[dict], int] | None):
    """The application, with calculations by path that are asked for plainly answered before it.

    Plainly: by POST, in JSON of a known length up to ``most`` bytes, for JSON, with a usual query, and by a client that
    needn't wait. A failure is handed on to the application in the environment, for its words.
    """
    def wrapped(environ, start_response):
        calculation = calculations.get(environ["PATH_INFO"])
        if calculation is None or not _is_plain(environ, most) or must_wait and must_wait(environ):
            return wsgi_app(environ, start_response)
        try:
            body = _whole(environ["wsgi.input"], int(environ["CONTENT_LENGTH"]))
            full, encodings = PLAIN_QUERY[environ.get("QUERY_STRING", "")], environ.get("HTTP_ACCEPT_ENCODING", "")
            written, headers = calculation.answer(body, full, JSON, encodings)
        except Exception as error:      # any at all: it is raised again where all are told
            environ[FAILED] = error
            return wsgi_app(environ, start_response)
        environ[ROUTE] = calculation.operation.path
        start_response("200 OK", [*headers, ("Content-Length", str(len(written)))])
        return [written]

    return wrapped


def _is_plain(environ: dict, most: int) -> bool:
    length = environ.get("CONTENT_LENGTH", "")
    return (environ["REQUEST_METHOD"] == "POST"
            and environ.get("QUERY_STRING", "") in PLAIN_QUERY
            and environ.get("CONTENT_TYPE") == JSON
            and environ.get("HTTP_ACCEPT") in PLAIN_ACCEPT
            and "HTTP_CONTENT_ENCODING" not in environ and "HTTP_TRANSFER_ENCODING" not in environ
            and length.isascii() and length.isdigit() and len(length) < 10 and int(length) <= most)


def _whole(stream, length: int) -> bytes:
    """A body of that length. Raises BadRequest when the client goes before it has sent it."""
    try:
        body = stream.read(length)
    except Exception as error:      # of the server's own
        raise BadRequest from error
    if len(body) < length:
        raise BadRequest
    return body


def raise_failed(environ: dict) -> None:
    """Raises what ``straight`` could not answer, if anything."""
    if FAILED in environ:
        raise environ.pop(FAILED)       # left there, each would hold the other, body and all, until the collector comes
