"""Many calls in one request: NDJSON in, NDJSON out, in order, streamed both ways.

Each line is ``{"id", "call", "body"}`` and is answered by one line ``{"id", "status", "body"}``. Lines
are read, answered and forgotten one by one, so memory does not grow with their number, and one
line's failure is never another's.

Most clients send everything before they read anything, and most proxies stop sending once an answer
has begun; both would wait for us for ever while we wait for them. So reading never waits for writing:
what has come and is not answered yet lies in a ``Backlog``. Behind a proxy the answers begin when the
last line has come, otherwise with the first.
"""

import sys
import tempfile
import threading
from collections.abc import Callable, Iterator

from flask import Response, request

from scaldloaf.http.problems import KINDS, Kind, log_unforeseen, problem, problem_body, summary
from scaldloaf.http.reading import NotJson, read_json, write_json
from scaldloaf.operations import BY_NAME, perform
from scaldloaf.operations.faults import Fault, InputFault, closest, pointer, repeated
from scaldloaf.operations.schemas.fields import MAX_NAME

MEDIA = "application/x-ndjson"
IN_BYTES = 16 * 1024           # a body is read in pieces of this much
WHOLE_IN_BYTES = 64 * 1024     # ... where nothing is answered before all has come
OUT_BYTES = 64 * 1024          # lines are sent together once they come to this much
HELD_BYTES = 1024 * 1024       # of a body, in memory; what goes beyond lies in an unnamed file
# Headers that a proxy adds.
PROXY_SIGNS = (
    "HTTP_X_FORWARDED_FOR",
    "HTTP_FORWARDED",
    "HTTP_VIA",
    "HTTP_X_REAL_IP",
    "HTTP_X_FORWARDED_PROTO",
)
FIELDS = ("id", "call", "body")

BROKEN_OFF = Fault("", "broken_off", "the body ended too soon or could not be read any further; "
                   "send again what has no answer", None, None)


def show_life() -> None:
    """Called now and then. A server that takes a long silence for a hung worker puts its own here."""


class _Refused(Exception):
    def __init__(self, kind: Kind, faults: list[Fault], identity: object = None):
        self.kind, self.faults, self.identity = kind, faults, identity


class BrokenOff(Exception):
    """A body that ended too soon or could not be read any further; ``came``: what came since the last piece."""

    def __init__(self, came: bytes = b""):
        super().__init__()
        self.came = came


class Backlog:
    """Bytes that have come and were not asked for yet, in order; one thread fills it, another may read."""

    def __init__(self, most: int):
        """most: it holds at most so many bytes and a piece; filling then waits for reading."""
        self._most = most
        self._file = tempfile.SpooledTemporaryFile(HELD_BYTES)
        self._come = self._read = 0
        self._ended = self._given_up = False
        self.error: Exception | None = None
        self._turn = threading.Condition()

    def fill(self, stream, wait: bool = True, length: int | None = None, size: int = IN_BYTES) -> bool:
        """Take in all of a stream; a failure is kept for the reader. False: no room, or nobody reads.

        length: of the whole, where the caller said so; less than that is a stream that broke off. size: of a piece.
        """
        total = 0
        try:
            while chunk := _piece(stream, size):
                total += len(chunk)
                if not self._take(chunk, wait):
                    return False
            if length is not None and total < length:
                raise BrokenOff
        except BrokenOff as error:
            self.error = error
            if error.came and not self._take(error.came, wait):
                return False
        except Exception as error:      # of a disk that is full: the reader says it
            self.error = error
        with self._turn:
            self._ended = True
            self._turn.notify_all()
        return True

    def _take(self, chunk: bytes, wait: bool) -> bool:
        with self._turn:
            while wait and self._come - self._read > self._most and not self._given_up:
                self._turn.wait()
            if self._given_up or self._come - self._read > self._most:
                return False
            self._file.seek(self._come)
            self._come += self._file.write(chunk)
            self._turn.notify_all()
        return True

    def read(self, size: int) -> bytes:
        with self._turn:
            while self._read == self._come and not self._ended:
                self._turn.wait()
            self._file.seek(self._read)
            data = self._file.read(min(size, self._come - self._read))
            self._read += len(data)
            if self._read == self._come:        # all caught up: the room is free again
                self._read = self._come = 0
                self._file.seek(0)
                self._file.truncate()
            self._turn.notify_all()
        if not data and self.error is not None:
            raise self.error
        return data

    def close(self) -> None:
        with self._turn:
            self._given_up = True
            self._file.close()
            self._turn.notify_all()


def _piece(stream, size: int) -> bytes:
    show_life()
    try:
        return stream.read(size)
    except Exception as error:  # of the server's own kinds, when the caller hangs up or its chunks are none
        raise BrokenOff(_left_in(stream, size)) from error


def _left_in(stream, size: int) -> bytes:
    """What a stream that failed had read of the piece before it did: whole lines among it are to be answered."""
    try:
        return stream.read(size)
    except Exception:   # whatever it was, it is told already
        return b""


def bulk_response(max_line_bytes: int, max_body_bytes: int, full: bool,
                  count: Callable[[int], None] | None = None) -> Response:
    """The streamed answer to the current request. ``count`` is told the status of every line."""
    request.max_content_length = sys.maxsize    # the limit holds for each line, not for all of them
    backlog, stream, length = Backlog(max_body_bytes), request.stream, request.content_length
    if _begins_early():
        threading.Thread(target=backlog.fill, args=(stream, True, length), daemon=True, name="bulk").start()
    else:
        fits = backlog.fill(stream, wait=False, length=length, size=WHOLE_IN_BYTES)
        if not fits or backlog.error is not None:
            backlog.close()
            return _refusal(backlog.error, max_body_bytes)
    return Response(_closing(_in_parcels(_answers(backlog, max_line_bytes, full, count)), backlog),
                    content_type=MEDIA, headers={"Cache-Control": "no-store", "X-Accel-Buffering": "no"})


def _refusal(error: Exception | None, max_body_bytes: int) -> Response:
    """The answer to a body that did not come whole; ``error``: why, None when it is too large."""
    if error is None:
        detail = f"lines may come to {max_body_bytes} bytes in one request here; send them in several"
        return problem(KINDS["too-large"], detail, [Fault("", "too_large", detail, None, max_body_bytes)])
    if isinstance(error, BrokenOff):
        return problem(KINDS["bad-request"], BROKEN_OFF.detail, [BROKEN_OFF])
    raise error


def _begins_early() -> bool:
    """Whether the answers may begin before the last line has come; a small body isn't worth the trouble."""
    environ = request.environ
    return (
        (request.content_length or sys.maxsize) > HELD_BYTES
        and environ.get("SERVER_PROTOCOL") == "HTTP/1.1"
        and not any(sign in environ for sign in PROXY_SIGNS)
    )


def _closing(parcels: Iterator[bytes], backlog: Backlog) -> Iterator[bytes]:
    try:
        yield from parcels
    finally:
        backlog.close()


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
    while chunk := stream.read(IN_BYTES):
        show_life()
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


def _answers(stream, max_line_bytes: int, full: bool, count: Callable[[int], None] | None) -> Iterator[bytes]:
    try:
        for line in read_lines(stream, max_line_bytes):
            identity, status, body = _answer(line, max_line_bytes, full)
            if count:
                count(status)
            yield _written(identity, status, body)
    except BrokenOff:
        yield _closing_line(KINDS["bad-request"], [BROKEN_OFF])
    except OSError as error:    # no room for what comes in
        log_unforeseen(error, "bulk")
        yield _closing_line(KINDS["internal-error"], [])


def _written(identity: object, status: int, body: dict) -> bytes:
    return write_json({"id": identity, "status": status, "body": body}) + b"\n"


def _closing_line(kind: Kind, faults: list[Fault]) -> bytes:
    """The last line of answers that can't go on; what was answered before it stands."""
    detail = faults[0].detail if faults else kind.help
    return _written(None, kind.status, problem_body(kind, detail, faults, "/v1/bulk"))


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
            or isinstance(identity, str) and len(identity) > MAX_NAME:
        raise _Refused(
            wrong,
            [
                Fault(
                    "/id",
                    "wrong_type",
                    f"must be text of at most {MAX_NAME} characters, a number or null",
                    repeated(identity),
                )
            ],
        )
    for name in value:
        if name not in FIELDS:
            raise _Refused(wrong, [Fault(pointer([name[:80]]), "unknown_field",
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
