"""How gunicorn's connections end here: no answer is lost, and no caller is waited for without end.

Closing a connection while its caller still sends destroys the answer before the caller reads it. So what a caller still
sends after its answer is read and thrown away for a while: by the worker's main loop, which waits for many at once, never
by a thread. A caller that neither sends nor reads for ``SILENCE_S`` is given up.

Only gunicorn loads this module; deploy/gunicorn.conf.py says where.
"""

import errno
import selectors
import socket
import struct
import time
from functools import partial

from gunicorn.http.body import LengthReader
from gunicorn.workers.gthread import ThreadWorker

from scaldloaf.http.backlog import DISCARDED_BYTES

SILENCE_S = 30  # of a caller whose turn it is
SILENCE_STEP_S = 5
PARTING_S = 60  # for what is still sent after the answer
PARTING_SILENCE_S = 5
PARTING_AT_ONCE = 100  # connections; beyond that the one that has waited longest is closed
REST_BYTES = 64 * 1024  # of a body that was not read: up to this much the connection may serve another call
REST_S = 1  # ... when it comes within this time
DISCARD_STEP_BYTES = 64 * 1024


class Caller(socket.socket):
    """A connection that breaks when nothing moves on it, in either direction, for SILENCE_S while we wait."""

    @classmethod
    def of(cls, connection: socket.socket) -> "Caller":
        """Takes the place of a connection just accepted."""
        caller = cls(connection.family, connection.type, connection.proto, connection.detach())
        # A thread may read while another writes: unlike Python's, the kernel's own timeouts are apart for each.
        step = struct.pack("ll", int(SILENCE_STEP_S), int(SILENCE_STEP_S % 1 * 1e6))
        for option in (socket.SO_RCVTIMEO, socket.SO_SNDTIMEO):
            caller.setsockopt(socket.SOL_SOCKET, option, step)
        caller.moved = time.monotonic()
        caller.readers = 0  # threads that are reading now
        caller.parting = False
        return caller

    def recv(self, size: int, flags: int = 0) -> bytes:
        self.readers += 1
        try:
            if self.parting:
                raise BrokenPipeError(errno.EPIPE, "the answer has been sent")
            return self._patiently(super().recv, size, flags)
        finally:
            self.readers -= 1

    def sendall(self, data: bytes, flags: int = 0) -> None:
        with memoryview(data) as left:
            while left:
                sent = self._patiently(super().send, left, flags)
                left = left[sent:]

    def _patiently(self, move, *arguments):
        began = time.monotonic()
        while True:
            try:
                moved = move(*arguments)
            except BlockingIOError:
                if self.gettimeout() is not None:  # it was not to wait at all
                    raise
                if time.monotonic() - max(began, self.moved) < SILENCE_S:
                    continue
                raise BrokenPipeError(errno.EPIPE, "the caller is silent") from None
            self.moved = time.monotonic()
            return moved


class Worker(ThreadWorker):
    """gunicorn's threaded worker. A connection that is to be closed is heard out by the main loop first."""

    def init_process(self):
        self._parting: list = []
        self._waste = bytearray(DISCARD_STEP_BYTES)
        super().init_process()

    def enqueue_req(self, conn):
        if not isinstance(conn.sock, Caller):
            conn.sock = Caller.of(conn.sock)
        super().enqueue_req(conn)

    def _keepalive_after(self, conn, keepalive):
        return keepalive and conn.parser.finish_body(
            deadline=time.monotonic() + REST_S, max_bytes=2 * REST_BYTES
        )

    def finish_request(self, conn, fs):
        if fs.cancelled() or fs.exception() or fs.result():
            super().finish_request(conn, fs)
        else:
            self._part_from(conn)

    def _part_from(self, conn) -> None:
        """Ends our side, and hears out the caller's."""
        now = time.monotonic()
        conn.timeout, conn.ends, conn.left = now + PARTING_SILENCE_S, now + PARTING_S, DISCARDED_BYTES
        conn.is_watched, conn.sock.parting = False, True
        self._parting.append(conn)
        try:
            conn.sock.setblocking(False)
            conn.sock.shutdown(socket.SHUT_WR)
        except OSError:
            pass  # the caller has gone, or the thread has closed it
        if not self._hear_out(conn, conn.sock):
            return
        if _is_read(conn.parser):  # and nothing more has come
            self._let_go(conn)
            return
        self.poller.register(conn.sock, selectors.EVENT_READ, partial(self._hear_out, conn))
        conn.is_watched = True
        if len(self._parting) > PARTING_AT_ONCE:
            self._let_go(self._parting[0])

    def _hear_out(self, conn, sock) -> bool:
        """Whether the caller may send more."""
        try:
            heard = sock.recv_into(self._waste)
        except BlockingIOError:
            return True
        except OSError:
            heard = 0
        conn.left -= heard
        if heard and conn.left > 0:
            conn.timeout = time.monotonic() + PARTING_SILENCE_S
            return True
        self._let_go(conn)
        return False

    def _let_go(self, conn) -> None:
        if conn.is_watched:
            self.poller.unregister(conn.sock)
        conn.is_watched, conn.timeout = False, 0.0
        # A bulk that ended early may have a thread that still reads. The descriptor could be another connection's by the
        # time it does, so it is closed after the thread has gone.
        if conn.sock.readers:
            try:
                conn.sock.shutdown(socket.SHUT_RDWR)  # wakes the thread
            except OSError:
                pass  # the caller has gone, which wakes it too
            return
        self._parting.remove(conn)
        self.nr_conns -= 1
        conn.close()

    def murder_pending(self):
        """What gunicorn calls about once a second."""
        super().murder_pending()
        now = time.monotonic()
        for conn in [conn for conn in self._parting if now > min(conn.timeout, conn.ends)]:
            self._let_go(conn)


def _is_read(parser) -> bool:
    """Whether the request answered last was read to its end, and none was begun after it."""
    request = parser and parser.mesg
    return bool(request) and request.req_number == parser.req_count and not is_left_unread(request, 200)


def close_patiently(sock, timeout: float = 2.0, max_drain: int = DISCARDED_BYTES) -> None:
    """The same for a worker of one thread, which waits for one caller at a time: at most ``timeout`` in all."""
    try:
        sock.shutdown(socket.SHUT_WR)
        end, waste = time.monotonic() + timeout, bytearray(DISCARD_STEP_BYTES)
        while max_drain > 0 and (left := end - time.monotonic()) > 0:
            sock.settimeout(left)
            heard = sock.recv_into(waste)
            if not heard:
                break
            max_drain -= heard
        sock.shutdown(socket.SHUT_RDWR)  # wakes a thread that still reads there
    except OSError:
        pass  # the caller has gone, or stays silent
    finally:
        sock.close()


class _HeldBack:
    """A body whose caller sends it once it is asked for (Expect: 100-continue)."""

    def __init__(self, reader, caller):
        self._reader, self._caller, self.asked = reader, caller, False

    def read(self, size: int) -> bytes:
        if not self.asked:
            self.asked = True
            self._caller.sendall(b"HTTP/1.1 100 Continue\r\n\r\n")
        return self._reader.read(size)

    def __getattr__(self, name: str):
        return getattr(self._reader, name)


def hold_back(request) -> None:
    """Has a body that waits to be asked for asked for when it is read, not before: a refusal needs none of it."""
    if request._expected_100_continue:
        request._expected_100_continue = False
        request.body.reader = _HeldBack(request.body.reader, request.unreader.sock)


def is_left_unread(request, status: int) -> bool:
    """Whether so much of a body is to come that the connection must close after its answer, which is about to begin.

    What little of a refused body is left is read afterwards. A bulk is read by a thread of its own while it is answered,
    so that nothing else may read there.
    """
    reader = request.body.reader
    if isinstance(reader, _HeldBack):
        if not reader.asked:
            return True
        reader = reader._reader
    if isinstance(reader, LengthReader):
        return reader.length > (REST_BYTES if status >= 400 else 0)
    return getattr(reader, "parser", None) is not None  # the number of chunks is not known
