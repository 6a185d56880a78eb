"""The lines of a bulk: cut out of what arrives, and each answered by itself.

A line that fails does not affect the others. Nothing here knows where lines come from or where answers go, so
that another process can answer some (``second_process``).
"""

from collections.abc import Iterator
from typing import Any, NamedTuple

from scaldloaf.http import backlog as backlogs
from scaldloaf.http.backlog import Readable
from scaldloaf.http.limits import BULK
from scaldloaf.http.problems import KINDS, Kind, log_unexpected, problem_body, refusal_of, summary
from scaldloaf.http.reading import NotJson, as_written, read_json, write_json
from scaldloaf.operations.faults import Fault, InputFault, abridged, closest, pointer
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME
from scaldloaf.operations.schemas.fields import MAX_NAME

IN_BYTES = 16 * 1024  # chunk size when reading a body
MOST_UNREADABLE = 1000  # in a row; after that the body is probably not NDJSON
FIELDS = ("id", "call", "body")
OF_AN_IDENTITY = (str, int, float, type(None))

Lines = list[bytes | None]  # None: a line that is too long


class _Refused(Exception):
    def __init__(self, kind: Kind, faults: list[Fault], identity: object = None):
        self.kind, self.faults, self.identity = kind, faults, identity


class Unreadable(Exception):
    """MOST_UNREADABLE lines in a row are no calls, or a line is as long as so many."""


def read_lines(stream: Readable, max_line_bytes: int) -> Iterator[Lines]:
    """The lines of a stream without their line ends, those of a chunk together; blank ones are left out.

    If the stream fails, its error is passed on, and an incomplete last line is dropped. Raises Unreadable for
    a line that does not end.
    """
    pending, is_cut, dropped = b"", False, 0
    while chunk := stream.read(IN_BYTES):
        backlogs.show_life()
        *found, pending = (pending + chunk).split(b"\n")
        ended: Lines = [*found]
        if ended:
            ended[0], is_cut, dropped = (None if is_cut else ended[0]), False, 0
        if lines := _within(ended, max_line_bytes):
            yield lines
        if len(pending) > max_line_bytes:  # what is left of it is not kept
            dropped += len(pending)
            pending, is_cut = b"", True
        if dropped > MOST_UNREADABLE * max_line_bytes:
            raise Unreadable
    if lines := _within([None if is_cut else pending], max_line_bytes):
        yield lines


def _within(lines: Lines, most: int) -> Lines:
    """The lines without blank ones, None for one of more than ``most`` bytes."""
    return [
        None if line is None or len(line) > most else line
        for line in lines
        if line is None or len(line) > most or line.strip()
    ]


class Answer(NamedTuple):
    """identity, status, body: of the answer line. readable: whether the line was a valid call."""

    identity: object
    status: int
    body: dict[str, Any]
    readable: bool


def answer_line(line: bytes | None, max_line_bytes: int, full: bool, request_id: str = "") -> Answer:
    """The answer to one line of a bulk; None: one that is too long. request_id: of the bulk."""
    identity, readable = None, False
    try:
        if line is None:
            raise _Refused(
                KINDS["too-large"],
                [
                    Fault(
                        "",
                        "too_large",
                        f"a line may have at most {max_line_bytes} bytes",
                        None,
                        max_line_bytes,
                    )
                ],
            )
        identity, name, body = _read(line)
        readable = True
        return Answer(identity, 200, perform(BY_NAME[name], body, full), readable)
    except _Refused as refused:
        identity = refused.identity
        kind, faults = refused.kind, refused.faults
    except InputFault as error:
        kind, faults = KINDS["invalid-request"], error.faults
    except NotJson as error:
        kind, faults = KINDS["not-json"], [Fault(error.pointer, error.code, error.detail, error.given)]
    except Exception as error:  # a failing line does not affect the others
        log_unexpected(error, "bulk", request_id)
        kind, faults = KINDS["internal-error"], []
    detail = summary(faults) if faults else kind.help
    return Answer(identity, kind.status, problem_body(kind, detail, faults, BULK, request_id), readable)


class Written(NamedTuple):
    """An answer line as bytes. refusal: its kind of problem and the code of its first fault, if it is one."""

    status: int
    refusal: tuple[str, str] | None
    readable: bool
    line: bytes


def write_line(answer: Answer) -> Written:
    """An answer as the line that is sent."""
    line = write_json({"id": answer.identity, "status": answer.status, "body": answer.body}) + b"\n"
    refusal = refusal_of(answer.body) if answer.status >= 400 else None
    return Written(answer.status, refusal, answer.readable, line)


class Asked(NamedTuple):
    """What holds for all lines of a bulk: full: with the working. request_id: of the bulk."""

    max_line_bytes: int
    full: bool
    request_id: str

    def answer(self, line: bytes | None) -> Written:
        """The answer to a line; None: one that is too long."""
        return write_line(answer_line(line, self.max_line_bytes, self.full, self.request_id))


def _read(line: bytes) -> tuple[object, str, Any]:
    value = read_json(line)
    wrong = KINDS["invalid-request"]
    if not isinstance(value, dict):
        raise _Refused(wrong, [Fault("", "wrong_type", "a line must be an object", abridged(value))])
    identity = value.get("id")
    if (
        not isinstance(identity, OF_AN_IDENTITY)
        or isinstance(identity, bool)
        or isinstance(identity, str)
        and len(identity) > MAX_NAME
    ):
        raise _Refused(
            wrong,
            [
                Fault(
                    "/id",
                    "wrong_type",
                    f"must be text of at most {MAX_NAME} characters, a number or null",
                    abridged(identity),
                )
            ],
        )
    if isinstance(identity, float):  # what a double can't hold must come back too, such as 30 digits
        identity = as_written(line, "id")
    for name in value:
        if name not in FIELDS:
            raise _Refused(
                wrong,
                [
                    Fault(
                        pointer([name[:80]]),
                        "unknown_field",
                        f"there is no such field; the fields are {', '.join(FIELDS)}",
                        abridged(value[name]),
                        closest(name, FIELDS),
                    )
                ],
                identity,
            )
    call = value.get("call")
    if not isinstance(call, str) or call not in BY_NAME:
        raise _Refused(
            KINDS["not-found"] if isinstance(call, str) else wrong,
            [
                Fault(
                    "/call",
                    "not_one_of",
                    f"must be one of {', '.join(BY_NAME)}",
                    abridged(call),
                    closest(call, BY_NAME),
                )
            ],
            identity,
        )
    if "body" not in value:
        raise _Refused(wrong, [Fault("/body", "missing", "body is required")], identity)
    return identity, call, value["body"]
