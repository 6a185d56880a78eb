"""Many calls in one request: NDJSON in, NDJSON out, in order, streamed both ways.

Each line is ``{"id", "call", "body"}`` and is answered by one line ``{"id", "status", "body"}``. Only a few
lines are held at a time, so memory does not grow with their number, and a failing line does not affect the
others.

Most clients send everything before they read anything, and most proxies stop forwarding a request once its
answer has begun. If reading waited for writing, both would deadlock. So a thread reads the body into a
``Backlog`` while the lines are answered from it. Behind a proxy the answers begin after the last line has
arrived, otherwise with the first. A second process answers part of a large bulk (``second_process``).

A bulk occupies a thread for long. So only some of a process's threads may answer bulks, and each bulk has a
budget. If the answers end early, a last line says why and how many lines have an answer.
"""

import io
import sys
import threading
import time
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from functools import partial
from itertools import chain

from flask import Response, request

from scaldloaf.http import backlog as backlogs
from scaldloaf.http import ids
from scaldloaf.http.backlog import HELD_BYTES, LINES, Backlog, BrokenOff, Figures, Overfull
from scaldloaf.http.bulk_array import array_of, lines_of
from scaldloaf.http.bulk_lines import IN_BYTES, MOST_UNREADABLE, Asked, Unreadable, Written, read_lines
from scaldloaf.http.headers import JSON
from scaldloaf.http.limits import BULK
from scaldloaf.http.negotiation import read_body
from scaldloaf.http.problems import KINDS, Kind, log_unexpected, problem, problem_body
from scaldloaf.http.reading import write_json
from scaldloaf.http.second_process import FROM_BYTES, Parent, Second, Shared, batches_of
from scaldloaf.http.settings import Settings
from scaldloaf.operations.faults import Fault

PATH, MEDIA = BULK, LINES
WHOLE_IN_BYTES = 64 * 1024  # chunk size when the whole body is read before the first answer
OUT_BYTES = 64 * 1024  # answers are sent together in about this size
AGAIN_S = 10  # Retry-After when all places are taken
PROXY_SIGNS = (  # headers that a proxy adds
    "HTTP_X_FORWARDED_FOR",
    "HTTP_FORWARDED",
    "HTTP_VIA",
    "HTTP_X_REAL_IP",
    "HTTP_X_FORWARDED_PROTO",
)

BROKEN_OFF = Fault(
    "",
    "broken_off",
    "the body ended early or could not be read to its end; send the lines without an answer again",
)
UNREADABLE = Fault(
    "",
    "unreadable_lines",
    f"{MOST_UNREADABLE} lines in a row could not be read, or one line was as long as so many, so the rest "
    "was not processed; each line must be one object with call and body",
)


class Turns:
    """A fair lock: one holder at a time, first come, first served.

    Python computes in one thread at a time anyway. With one bulk computing, a call or a probe competes with
    one thread instead of one per bulk.
    """

    def __init__(self) -> None:
        self._lock, self._taken = threading.Lock(), False
        self._waiting: deque[threading.Lock] = deque()

    def take(self) -> None:
        with self._lock:
            if not self._taken:
                self._taken = True
                return
            called = threading.Lock()
            called.acquire()
            self._waiting.append(called)
        called.acquire()

    @property
    def waiting(self) -> int:
        """How many wait for their turn."""
        return len(self._waiting)

    def pass_on(self) -> None:
        with self._lock:
            if self._waiting:
                self._waiting.popleft().release()
            else:
                self._taken = False


class _Spent(Exception):
    """A bulk has used up its budget."""


class Intake:
    """Reads a bulk's body, and holds its turn to compute except while it waits for its caller."""

    def __init__(self, backlog: Backlog, turns: Turns, seconds: float):
        """seconds: budget of processor time of this thread and of a second process that helps it. When it is
        used up, ``read`` raises _Spent.
        """
        self._backlog, self._turns, self._has_turn = backlog, turns, False
        self._end = time.thread_time() + seconds

    def read(self, size: int) -> bytes:
        self.rest()
        data = self._backlog.read(size)
        if data and time.thread_time() > self._end:
            raise _Spent
        if data:
            self.take_turn()  # blank and unreadable lines are work, too
        return data

    @property
    def waits(self) -> bool:
        """Whether the next ``read`` would wait for the caller."""
        return self._backlog.waits

    def spend(self, seconds: float) -> None:
        """Count processor time that another process took."""
        self._end -= seconds

    def take_turn(self) -> None:
        if not self._has_turn:
            self._turns.take()
            self._has_turn = True

    def rest(self) -> None:
        if self._has_turn:
            self._has_turn = False
            self._turns.pass_on()

    @contextmanager
    def sending(self) -> Iterator[None]:
        self.rest()
        self._backlog.sending_since = time.monotonic()
        yield
        self._backlog.sending_since = None


class Bulks:
    """Answers a process's bulks, a limited number at a time, each with its budget."""

    def __init__(self, settings: Settings, figures: Figures):
        self._settings, self._figures = settings, figures
        self._places = threading.BoundedSemaphore(settings.bulks)
        self._turns = Turns()
        #: Forks second processes; deploy/gunicorn.conf.py sets it where two processes may compute.
        self.parent: Parent | None = None

    def response(self, full: bool, media: str = MEDIA) -> Response:
        """The answer to the current request: a stream, or a problem.

        media: of both bodies; as JSON they are arrays.
        """
        body = read_body(self._settings.max_orders_bytes) if media == JSON else None
        if not self._places.acquire(blocking=False):
            return _no_place()
        with ExitStack() as ending:
            ending.callback(self._places.release)
            self._figures.running(1)
            ending.callback(self._figures.running, -1)
            backlog = Backlog(self._settings.max_bulk_bytes, self._figures)
            ending.callback(backlog.close)
            intake = Intake(backlog, self._turns, self._settings.max_bulk_seconds)
            ending.callback(intake.rest)
            if body is not None:
                intake.take_turn()  # an array may take much memory, so one at a time
                body = lines_of(body)
            refused = _take_in(backlog, self._settings.max_bulk_bytes, body)
            if refused is not None:
                return refused
            asked = Asked(self._settings.max_body_bytes, full, request.environ[ids.KEY])
            second = ExitStack()
            ending.callback(second.close)
            begin_second = partial(self._begin_second, asked, second)
            answers = _answers(intake, self._settings, asked, self._figures, begin_second)
            if media == JSON:
                answers = array_of(answers)
            ending = ending.pop_all()
        response = Response(
            _in_parcels(answers, intake, ending),
            content_type=media,
            headers={"Cache-Control": "no-store", "X-Accel-Buffering": "no"},
        )
        response.call_on_close(ending.close)  # whether it was read to its end or not
        return response

    def _begin_second(self, asked: Asked, ending: ExitStack) -> Second | None:
        """The second process of a bulk, which ends with it; None if it has to do without."""
        second = self.parent.second(asked) if self.parent else None
        if second is not None:
            ending.callback(second.close)
        return second


def _no_place() -> Response:
    detail = f"the service is answering as many bulks as it may at a time; try again in {AGAIN_S} s"
    return problem(
        KINDS["too-many-requests"],
        detail,
        [Fault("", "too_many_bulks", detail)],
        {"Retry-After": str(AGAIN_S)},
    )


def _take_in(backlog: Backlog, most: int, lines: bytes | None) -> Response | None:
    """Fill the backlog, in a thread or at once. Returns the refusal of an incomplete body.

    lines: of the body, where it has been read already.
    """
    if lines is not None:
        backlog.fill(io.BytesIO(lines), WHOLE_IN_BYTES, False)
        return None
    request.max_content_length = sys.maxsize  # the limit applies to each line
    stream, length = request.stream, request.content_length
    if _begins_early():
        threading.Thread(
            target=backlog.fill, args=(stream, IN_BYTES, True, length), daemon=True, name="bulk"
        ).start()
        return None
    backlog.fill(stream, WHOLE_IN_BYTES, False, length)
    if isinstance(backlog.error, Overfull):
        return problem(KINDS["too-large"], (fault := _overfull(most)).detail, [fault])
    if isinstance(backlog.error, BrokenOff):
        return problem(KINDS["bad-request"], BROKEN_OFF.detail, [BROKEN_OFF])
    if backlog.error is not None:
        raise backlog.error
    return None


def _overfull(most: int) -> Fault:
    return Fault(
        "",
        "too_large",
        f"in one request, at most {most} bytes of lines may wait for their answers; "
        "split them over several requests",
        None,
        most,
    )


def _begins_early() -> bool:
    """Whether answers may begin before the last line has arrived. A small body is not worth a thread."""
    environ = request.environ
    return (
        (request.content_length or sys.maxsize) > HELD_BYTES
        and environ.get("SERVER_PROTOCOL") == "HTTP/1.1"
        and not any(sign in environ for sign in PROXY_SIGNS)
    )


def _in_parcels(answers: Iterator[bytes], intake: Intake, ending: ExitStack) -> Iterator[bytes]:
    """Answers joined to parcels of whole lines: fewer writes, and a dropped connection cuts between lines."""
    with ending:
        parcel, size = [], 0
        for answer in answers:
            parcel.append(answer)
            size += len(answer)
            if size >= OUT_BYTES:
                with intake.sending():
                    yield b"".join(parcel)
                parcel, size = [], 0
        if parcel:
            with intake.sending():
                yield b"".join(parcel)


def _answers(
    intake: Intake,
    settings: Settings,
    asked: Asked,
    figures: Figures,
    begin_second: Callable[[], Second | None],
) -> Iterator[bytes]:
    answered = unreadable = 0

    def last_word(kind: Kind, *faults: Fault) -> bytes:
        """The last line of a bulk that ends early. The answers before it remain valid."""
        detail = faults[0].detail if faults else kind.help
        body = problem_body(kind, detail, faults, PATH, asked.request_id)
        return write_json({"id": None, "status": kind.status, "answered": answered, "body": body}) + b"\n"

    try:
        for each in _written(intake, asked, begin_second):
            if answered == settings.max_bulk_lines:
                raise _Spent
            if unreadable == MOST_UNREADABLE:
                raise Unreadable
            unreadable = 0 if each.readable else unreadable + 1
            answered += 1
            figures.line(each.status, each.refusal)
            yield each.line
    except (Unreadable, _Spent, BrokenOff, Overfull) as why:
        slug, fault = _ending(why, settings)
        yield last_word(KINDS[slug], fault)
    except OSError as error:  # the disk is full
        log_unexpected(error, "bulk", asked.request_id)
        yield last_word(KINDS["internal-error"])


def _written(intake: Intake, asked: Asked, begin_second: Callable[[], Second | None]) -> Iterator[Written]:
    """The answers to all lines, in order; those of a large bulk made by two processes."""
    batches = chain.from_iterable(map(batches_of, read_lines(intake, asked.max_line_bytes)))
    read_bytes = 0
    for lines in batches:
        backlogs.show_life()
        for line in lines:
            intake.take_turn()
            yield asked.answer(line)
        read_bytes += sum(len(line or b"") for line in lines)
        if read_bytes >= FROM_BYTES and (second := begin_second()):
            break
    else:
        return
    shared = Shared(asked, second, intake)
    ended: Exception | None = None
    try:
        for lines in batches:
            shared.add(lines)
            yield from shared.answers(may_wait=lambda: intake.waits)
    except (Unreadable, _Spent, BrokenOff, Overfull, OSError) as why:
        ended = why  # what came before still gets its answers
    yield from shared.answers(may_wait=lambda: True)
    if ended is not None:
        raise ended


def _ending(why: Exception, settings: Settings) -> tuple[str, Fault]:
    """The kind of problem and the fault that a bulk ends early with."""
    if isinstance(why, _Spent):
        return "too-many-requests", _spent(settings)
    if isinstance(why, Overfull):
        return "too-large", _overfull(settings.max_bulk_bytes)
    return "bad-request", BROKEN_OFF if isinstance(why, BrokenOff) else UNREADABLE


def _spent(settings: Settings) -> Fault:
    return Fault(
        "",
        "budget_spent",
        f"a bulk may have {settings.max_bulk_lines} lines and {settings.max_bulk_seconds} s of processor "
        "time, and this one has used them up; send the rest in another bulk",
    )
