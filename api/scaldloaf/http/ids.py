"""The id of every request: in its answer, in the body of a problem, and in the log.

A caller or a proxy may name the request itself, so that its own log and ours tell of the same one. A new id
is short, because every answer carries it: a word drawn at random for each process, and a count.
"""

import os
import re
import secrets
from collections.abc import Iterator
from itertools import count
from wsgiref.types import WSGIEnvironment

HEADER, TRACE_HEADER = "Request-Id", "traceparent"
KEY, TRACE = "scaldloaf.request", "scaldloaf.trace"  # environ keys
MOST_CHARACTERS = 128
# Letters that are not mistaken for others when an id is read out.
_LETTERS = "23456789abcdefghjkmnpqrstuvwxyz"
_WORD_LETTERS = 7

_is_id = re.compile(rf"[A-Za-z0-9._~+/=:-]{{1,{MOST_CHARACTERS}}}").fullmatch
# W3C Trace Context, 3.2: version, trace and parent, of which none may be the invalid one, and flags.
_is_trace = re.compile(r"(?!ff)[0-9a-f]{2}-(?!0{32})[0-9a-f]{32}-(?!0{16})[0-9a-f]{16}-[0-9a-f]{2}").fullmatch

_word = ""
_numbers: Iterator[int] = count(1)


def _begin() -> None:
    """Each worker has its own word and count: it is forked from a process that has loaded this already."""
    global _word, _numbers
    _word = "".join(secrets.choice(_LETTERS) for _ in range(_WORD_LETTERS))
    _numbers = count(1)


_begin()
os.register_at_fork(after_in_child=_begin)


def new() -> str:
    """An id that no other request has."""
    return f"{_word}-{next(_numbers):x}"


def identify(environ: WSGIEnvironment) -> list[tuple[str, str]]:
    """Give a request its id, and return the headers that say so in its answer.

    The caller's own id is kept if it is well-formed; its trace is returned to it if it is valid.
    """
    given: str | None = environ.get("HTTP_X_REQUEST_ID")  # a proxy's, before a caller's
    if given is None or not _is_id(given):
        given = environ.get("HTTP_REQUEST_ID")
        if given is None or not _is_id(given):
            given = new()
    environ[KEY] = given
    trace = environ.get("HTTP_TRACEPARENT")
    if trace is None or not _is_trace(trace):
        return [(HEADER, given)]
    environ[TRACE] = trace
    return [(HEADER, given), (TRACE_HEADER, trace)]
