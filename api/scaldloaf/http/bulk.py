"""Many calls in one request: NDJSON in, NDJSON out, in order, streamed both ways.

Each line is ``{"id", "call", "body"}`` and is answered by one line ``{"id", "status", "body"}``. Lines
are read, answered and forgotten one by one, so memory does not grow with their number, and one
line's failure is never another's.
"""

import sys
from collections.abc import Iterator

from flask import Response, request

from scaldloaf.http.problems import KINDS, Kind, log_unforeseen, problem_body, summary
from scaldloaf.http.reading import NotJson, read_json, write_json
from scaldloaf.operations import BY_NAME, perform, schema
from scaldloaf.operations.faults import Fault, InputFault, closest, repeated

MEDIA = "application/x-ndjson"
OUT_BYTES = 16 * 1024          # lines are sent together once they come to this much
FIELDS = ("id", "call", "body")

LINE = schema.record(
    "One call.",
    {"call": schema.choice("The call's name.", *BY_NAME), "body": {"type": "object", "description": "Its request."}},
    {"id": {"type": ["string", "number", "null"], "maxLength": schema.MAX_NAME,
            "description": "Anything of yours; it comes back with the answer."}})
ANSWER = schema.result(
    "The answer to one line.",
    {"id": {"description": "The line's own; null when the line could not be read."},
     "status": schema.integer("The status that the call by itself would have.", 200, 599),
     "body": {"type": "object", "description": "The reply, or a problem."}})


class _Refused(Exception):
    def __init__(self, kind: Kind, faults: list[Fault], identity: object = None):
        self.kind, self.faults, self.identity = kind, faults, identity


def bulk_response(max_line_bytes: int, full: bool) -> Response:
    """The streamed answer to the current request."""
    request.max_content_length = sys.maxsize    # the limit holds for each line, not for all of them
    return Response(_in_parcels(_answers(request.stream, max_line_bytes, full)), content_type=MEDIA,
                    headers={"Cache-Control": "no-store", "X-Accel-Buffering": "no"})


def _in_parcels(lines: Iterator[bytes]) -> Iterator[bytes]:
    """Lines joined to parcels of whole lines: fewer writes, and a cut connection cuts between lines."""
    parcel, size = [], 0
    for line in lines:
        parcel.append(line)
        size += len(line)
        if size >= OUT_BYTES:
            yield b"".join(parcel)
            parcel, size = [], 0
    if parcel:
        yield b"".join(parcel)


def read_lines(stream, max_line_bytes: int) -> Iterator[bytes | None]:
    """The lines of a stream without their ends, blank ones left out; None for one that is too long.

    What a stream that breaks off leaves behind is not a line: the reader's error passes through.
    """
    pending, too_long = b"", False
    while chunk := stream.read(OUT_BYTES):
        *lines, pending = (pending + chunk).split(b"\n")
        for line in lines:
            if too_long or len(line) > max_line_bytes:
                too_long = False
                yield None
            elif line.strip():
                yield line
        if len(pending) > max_line_bytes:
            pending, too_long = b"", True
    if too_long:
        yield None
    elif pending.strip():
        yield pending


def _answers(stream, max_line_bytes: int, full: bool) -> Iterator[bytes]:
    for line in read_lines(stream, max_line_bytes):
        identity, status, body = _answer(line, max_line_bytes, full)
        yield write_json({"id": identity, "status": status, "body": body}) + b"\n"


def _answer(line: bytes | None, max_line_bytes: int, full: bool) -> tuple[object, int, dict]:
    identity = None
    try:
        if line is None:
            raise _Refused(KINDS["too-large"], [Fault("", "too_large",
                                                      f"a line may have at most {max_line_bytes} bytes",
                                                      None, max_line_bytes)])
        identity, name, body = _read(line)
        return identity, 200, perform(BY_NAME[name], body, full)
    except _Refused as refused:
        identity = refused.identity
        kind, faults = refused.kind, refused.faults
    except InputFault as error:
        kind, faults = KINDS["invalid-request"], error.faults
    except NotJson as error:
        kind, faults = KINDS["not-json"], [Fault(error.pointer, error.code, error.detail, error.given)]
    except Exception as error:  # one line's failure is never another's
        log_unforeseen(error, "bulk")
        kind, faults = KINDS["internal-error"], []
    detail = summary(faults) if faults else kind.help
    return identity, kind.status, problem_body(kind, detail, faults, "/v1/bulk")


def _read(line: bytes) -> tuple[object, str, dict]:
    value = read_json(line)
    wrong = KINDS["invalid-request"]
    if not isinstance(value, dict):
        raise _Refused(wrong, [Fault("", "wrong_type", "a line must be an object", repeated(value))])
    identity = value.get("id")
    if not isinstance(identity, str | int | float | None) or isinstance(identity, bool) \
            or isinstance(identity, str) and len(identity) > schema.MAX_NAME:
        raise _Refused(wrong, [Fault("/id", "wrong_type",
                                     f"must be text of at most {schema.MAX_NAME} characters, a number or null",
                                     repeated(identity))])
    for name in value:
        if name not in FIELDS:
            raise _Refused(wrong, [Fault(f"/{name[:80]}", "unknown_field",
                                         f"there is no such field here; the fields are {', '.join(FIELDS)}",
                                         repeated(value[name]), closest(name, FIELDS))], identity)
    call = value.get("call")
    if not isinstance(call, str) or call not in BY_NAME:
        raise _Refused(KINDS["not-found"] if isinstance(call, str) else wrong,
                       [Fault("/call", "not_one_of", f"must be one of {', '.join(BY_NAME)}", repeated(call),
                              closest(call, BY_NAME))], identity)
    if "body" not in value:
        raise _Refused(wrong, [Fault("/body", "missing", "body is needed here")], identity)
    return identity, call, value["body"]
