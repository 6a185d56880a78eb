"""How gunicorn's connections begin and end: no answer is lost, and no wait for a caller is unbounded.

A connection gets a thread when something has arrived on it, so callers that say nothing occupy none. Probes
have a thread of their own, so they are answered while all others are busy. A worker that has no file left for
another connection serves those it has.

Closing a connection while its caller still sends discards the answer before the caller reads it. So the
connection is drained first: for a limited time, the worker's main loop reads and discards what the caller
still sends. The main loop drains many connections at once and blocks no thread. A caller that neither sends
nor reads for ``SILENCE_S`` is disconnected.

One that sends a byte at a time is not silent, and a few such callers would hold all threads. So a request has
``read_seconds`` to arrive, and as much again for every ``PACE_BYTES`` of it. A bulk may take as long as its
caller sends or reads: only some of the threads answer bulks.

Only gunicorn loads this module; see deploy/gunicorn.conf.py.
"""

import errno
import math
import resource
import selectors
import socket
import struct
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from functools import cache, partial
from typing import TYPE_CHECKING, Any, TypeVar

from gunicorn.http.body import LengthReader
from gunicorn.workers.gthread import TConn, ThreadWorker
from gunicorn.workers.sync import SyncWorker

from scaldloaf.http import backlog
from scaldloaf.http.backlog import DISCARDED_BYTES, LINES
from scaldloaf.http.limits import BULK

if TYPE_CHECKING:
    from typing_extensions import Buffer

T = TypeVar("T")

SILENCE_S = 30  # timeout of a read or write without progress
SILENCE_STEP_S = 5
PACE_BYTES = 64 * 1024
read_seconds = 20.0  # deploy/gunicorn.conf.py sets it
DRAIN_S = 60  # longest drain of a connection after its answer
DRAIN_SILENCE_S = 5  # ... when nothing arrives
MOST_DRAINING = 100  # connections; beyond that the oldest is closed
REST_BYTES = 64 * 1024  # unread rest of a body up to which the connection is kept alive
REST_S = 1  # ... if the rest arrives within this time
DRAIN_STEP_BYTES = 64 * 1024
TOO_SLOW = 408
HEAD_BYTES = 1024  # of a probe; a longer request is none
PROBES = (b"GET /livez ", b"GET /readyz ")
FILES_BESIDE = 64  # open files of a worker that are no connection, and for each thread:
FILES_PER_THREAD = 4  # a selector, the file of a bulk, Redis, and one to spare
NO_ROOM = (errno.EMFILE, errno.ENFILE, errno.ENOBUFS, errno.ENOMEM)
SILENT_S = 1  # how long a caller may say nothing while others wait to connect
NO_ROOM_S = 0.5  # pause before the next connection is accepted
_discarded = bytearray(DRAIN_STEP_BYTES)  # what drained connections still sent; nobody reads it


def report_waiting(count: int) -> None:
    """Called with the number of connections that wait for a thread. The metrics replace it with their own."""


class Caller(socket.socket):
    """A connection with a timeout: a wait fails after SILENCE_S without progress in either direction."""

    moved: float  #: when data last moved (monotonic clock)
    until: float  #: when the request must have arrived (monotonic clock)
    in_body: bool  #: whether its head has arrived
    readers: int  #: threads reading at the moment
    draining: bool

    @classmethod
    def of(cls, connection: socket.socket) -> "Caller":
        """Replaces a newly accepted connection."""
        caller = cls(connection.family, connection.type, connection.proto, connection.detach())
        # One thread may read while another writes. The kernel has a timeout per direction, Python only one.
        step = _as_timeval(min(SILENCE_STEP_S, read_seconds))
        for option in (socket.SO_RCVTIMEO, socket.SO_SNDTIMEO):
            caller.setsockopt(socket.SOL_SOCKET, option, step)
        caller.moved = time.monotonic()
        caller.until, caller.in_body = math.inf, False
        caller.readers = 0
        caller.draining = False
        return caller

    def expect_request(self) -> None:
        """A thread begins to read a request."""
        self.until, self.in_body = time.monotonic() + read_seconds, False

    def arrived(self) -> bytes | None:
        """The beginning of what has arrived and is not read; None if nothing has, b"" at the end."""
        try:
            return super().recv(HEAD_BYTES, socket.MSG_PEEK | socket.MSG_DONTWAIT)
        except BlockingIOError:
            return None
        except OSError:  # the caller has gone; a thread finds out how
            return b""

    def recv(self, size: int, flags: int = 0) -> bytes:
        self.readers += 1
        try:
            if self.draining:
                raise BrokenPipeError(errno.EPIPE, "the answer has been sent")
            data = self._patiently(super().recv, size, flags, until=self.until)
            self.until += len(data) * read_seconds / PACE_BYTES
            return data
        finally:
            self.readers -= 1

    def sendall(self, data: "Buffer", flags: int = 0) -> None:
        with memoryview(data) as left:
            while left:
                sent = self._patiently(super().send, left, flags)
                left = left[sent:]

    def _patiently(self, move: Callable[..., T], *arguments: Any, until: float = math.inf) -> T:
        began = time.monotonic()
        while True:
            backlog.show_life()
            if time.monotonic() > until:
                if self.in_body:  # there is somebody to say it to; see scaldloaf.http.negotiation
                    raise TimeoutError(errno.ETIMEDOUT, "the request arrives too slowly")
                raise BrokenPipeError(errno.EPIPE, "the request arrives too slowly")
            try:
                moved = move(*arguments)
            except BlockingIOError:
                if self.gettimeout() is not None:  # non-blocking
                    raise
                if time.monotonic() - max(began, self.moved) < SILENCE_S:
                    continue
                raise BrokenPipeError(errno.EPIPE, "the caller is silent") from None
            self.moved = time.monotonic()
            return moved


@cache
def _as_timeval(seconds: float) -> bytes:
    return struct.pack("ll", int(seconds), int(seconds % 1 * 1e6))


def room_for(connections: int, threads: int) -> int:
    """How many connections a process may have; its limit of open files is raised for them if it may be."""
    beside = FILES_BESIDE + FILES_PER_THREAD * threads
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = connections + beside
    if soft != resource.RLIM_INFINITY and soft < wanted:
        soft = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
        resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))
    if soft == resource.RLIM_INFINITY:
        return connections
    return max(threads, min(connections, soft - beside))


def is_probe(arrived: bytes) -> bool:
    """Whether this is one whole request for a probe, without a body."""
    return (
        arrived.startswith(PROBES)
        and arrived.endswith(b"\r\n\r\n")
        and b"\r\ncontent-length:" not in arrived.lower()
        and b"\r\ntransfer-encoding:" not in arrived.lower()
    )


class Worker(ThreadWorker):
    """gunicorn's threaded worker, whose main loop waits for what arrives, and drains before it closes."""

    def init_process(self) -> None:
        self._draining: list[Any] = []
        self._no_room_until = 0.0
        self._waiting: dict[
            Any, float
        ] = {}  # connections that wait for a thread -> since when, in this order
        self._for_probes = ThreadPoolExecutor(1)
        self.worker_connections = room_for(self.cfg.worker_connections, self.cfg.threads)
        super().init_process()

    def accept(self, listener: socket.socket) -> None:
        try:
            connection, address = listener.accept()
        except OSError as error:
            if error.errno in NO_ROOM:
                self._no_room_until = time.monotonic() + NO_ROOM_S
                self.set_accept_enabled(False)
            elif error.errno not in (errno.EAGAIN, errno.ECONNABORTED):
                raise
            return
        self.nr_conns += 1
        conn = TConn(self.cfg, Caller.of(connection), address, listener.getsockname())
        if conn.sock.arrived() is None:
            conn.set_timeout()
            self.pending_conns.append(conn)
            self.poller.register(
                conn.sock, selectors.EVENT_READ, partial(self.on_pending_socket_readable, conn)
            )
        else:
            conn.data_ready = True
            self.enqueue_req(conn)

    def set_accept_enabled(self, enabled: bool) -> None:
        super().set_accept_enabled(enabled and time.monotonic() >= self._no_room_until)

    def enqueue_req(self, conn: Any) -> None:
        if is_probe(conn.sock.arrived() or b""):
            answering = self._for_probes.submit(self.handle, conn)
            answering.add_done_callback(lambda done: self.method_queue.defer(self.finish_request, conn, done))
        else:
            self._waiting[conn] = time.monotonic()
            super().enqueue_req(conn)

    def longest_wait_s(self) -> float:
        """For how long a connection has been waiting for a thread, the longest of all."""
        with suppress(RuntimeError):  # another thread has just taken one
            for since in self._waiting.values():
                return time.monotonic() - since
        return 0.0

    def _cap_keepalive(self, deadline: float) -> None:
        """A stop waits no longer for callers that have said nothing than for those that are done."""
        super()._cap_keepalive(deadline)
        for conn in self.pending_conns:
            conn.timeout = min(conn.timeout, deadline)

    def handle(self, conn: Any) -> Any:
        self._waiting.pop(conn, None)
        conn.sock.expect_request()
        return super().handle(conn)

    def _keepalive_after(self, conn: Any, keepalive: Any) -> Any:
        conn.sock.until = math.inf  # the rest has its own limits
        return keepalive and conn.parser.finish_body(
            deadline=time.monotonic() + REST_S, max_bytes=2 * REST_BYTES
        )

    def finish_request(self, conn: Any, fs: Any) -> None:
        if fs.cancelled() or fs.exception() or fs.result():
            super().finish_request(conn, fs)
        else:
            self._begin_drain(conn)

    def _begin_drain(self, conn: Any) -> None:
        """Shut down our side of the connection, then drain the caller's."""
        now = time.monotonic()
        conn.timeout, conn.ends, conn.left = now + DRAIN_SILENCE_S, now + DRAIN_S, DISCARDED_BYTES
        conn.is_watched, conn.sock.draining = False, True
        self._draining.append(conn)
        with suppress(OSError):  # the caller has gone, or the thread has closed the socket
            conn.sock.setblocking(False)
            conn.sock.shutdown(socket.SHUT_WR)
        if not self._drain(conn, conn.sock):
            return
        if _is_read(conn.parser):  # and nothing more has arrived
            self._end_drain(conn)
            return
        self.poller.register(conn.sock, selectors.EVENT_READ, partial(self._drain, conn))
        conn.is_watched = True
        if len(self._draining) > MOST_DRAINING:
            self._end_drain(self._draining[0])

    def _drain(self, conn: Any, sock: socket.socket) -> bool:
        """Discard what has arrived. Whether the caller may send more."""
        try:
            received = sock.recv_into(_discarded)
        except BlockingIOError:
            return True
        except OSError:
            received = 0
        conn.left -= received
        if received and conn.left > 0:
            conn.timeout = time.monotonic() + DRAIN_SILENCE_S
            return True
        self._end_drain(conn)
        return False

    def _end_drain(self, conn: Any) -> None:
        if conn.is_watched:
            self.poller.unregister(conn.sock)
        conn.is_watched, conn.timeout = False, 0.0
        # After a bulk that ended early, a thread may still be reading. If the descriptor were closed now, it
        # could belong to another connection at the thread's next read. So it is closed after the thread has
        # ended.
        if conn.sock.readers:
            with suppress(OSError):  # the caller has gone, which wakes the thread too
                conn.sock.shutdown(socket.SHUT_RDWR)  # wakes the thread
            return
        self._draining.remove(conn)
        self.nr_conns -= 1
        conn.close()

    def murder_pending(self) -> None:
        """gunicorn calls this about once a second."""
        report_waiting(len(self._waiting))
        now = time.monotonic()
        if self.nr_conns >= self.worker_connections:  # the silent make room for callers that wait to connect
            latest = now + self.cfg.keepalive - SILENT_S
            for conn in self.pending_conns:
                if conn.timeout < latest:
                    conn.timeout = now
        super().murder_pending()
        for conn in [conn for conn in self._draining if now > min(conn.timeout, conn.ends)]:
            self._end_drain(conn)


class LoneWorker(SyncWorker):
    """gunicorn's worker with one thread, which a caller may not hold for long either."""

    def handle(self, listener: Any, client: socket.socket, addr: Any) -> None:
        caller = Caller.of(client)
        caller.expect_request()
        super().handle(listener, caller, addr)


def expect_body(request: Any) -> None:
    """The head of a request has arrived, and its body may follow.

    An array is read as a whole before it has a place among the bulks, so it must come as fast as a call.
    """
    caller = request.unreader.sock
    caller.in_body = True
    if request.path == BULK and any(
        name == "CONTENT-TYPE" and value.partition(";")[0].strip().lower() == LINES
        for name, value in request.headers
    ):
        caller.until = math.inf


def _is_read(parser: Any) -> bool:
    """Whether the last request was read to its end and no other has begun."""
    request = parser and parser.mesg
    return bool(request) and request.req_number == parser.req_count and not is_left_unread(request, 200)


def drain_and_close(sock: socket.socket, timeout: float = 2.0, max_drain: int = DISCARDED_BYTES) -> None:
    """Drain and close a connection of a worker with one thread: ``timeout`` seconds in total at most."""
    try:
        sock.shutdown(socket.SHUT_WR)
        end = time.monotonic() + timeout
        while max_drain > 0 and (left := end - time.monotonic()) > 0:
            sock.settimeout(left)
            received = sock.recv_into(_discarded)
            if not received:
                break
            max_drain -= received
        if getattr(sock, "readers", 0):
            sock.shutdown(socket.SHUT_RDWR)  # wakes the thread that still reads
    except OSError:  # the caller has gone, or is silent
        pass
    finally:
        sock.close()


class _ContinueOnRead:
    """A body whose caller waits for 100 Continue; the first read sends it."""

    def __init__(self, reader: Any, caller: socket.socket):
        self._reader, self._caller, self.continued = reader, caller, False

    def read(self, size: int) -> bytes:
        if not self.continued:
            self.continued = True
            self._caller.sendall(b"HTTP/1.1 100 Continue\r\n\r\n")
        data: bytes = self._reader.read(size)
        return data

    def __getattr__(self, name: str) -> Any:
        return getattr(self._reader, name)


def continue_on_read(request: Any) -> None:
    """Answer ``Expect: 100-continue`` when the body is read, not before: a refusal needs no body."""
    if request._expected_100_continue:
        request._expected_100_continue = False
        request.body.reader = _ContinueOnRead(request.body.reader, request.unreader.sock)


def is_left_unread(request: Any, status: int) -> bool:
    """Whether so much of a body is unread that the connection must close after the answer about to begin.

    A small rest of a refused body is read after the answer. A bulk has its own reading thread during the
    answer, so nothing else may read from its connection.
    """
    if status == TOO_SLOW:
        return True
    reader = request.body.reader
    if isinstance(reader, _ContinueOnRead):
        if not reader.continued:
            return True
        reader = reader._reader
    if isinstance(reader, LengthReader):
        return bool(reader.length > (REST_BYTES if status >= 400 else 0))
    return getattr(reader, "parser", None) is not None  # chunked: the length is unknown
