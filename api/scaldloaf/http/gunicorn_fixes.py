"""Changes to gunicorn that it has no settings for; deploy/gunicorn.conf.py applies them.

They replace functions and a class inside gunicorn, so a new version may break them silently. CHECKED_WITH is
the version they were checked with; a test fails if another one is installed. Then read what gunicorn has
changed in ``util``, ``arbiter``, ``http.wsgi``, ``http.body``, ``workers.sync`` and ``workers.gthread``
(scaldloaf.http.connections extends its workers), run tests/service and tests/deploy, and set CHECKED_WITH.
"""

import mmap
import os
import queue
import signal
import time
from contextlib import suppress
from dataclasses import replace
from email.utils import formatdate
from functools import lru_cache, partial
from socket import socket
from typing import Any

from gunicorn import util
from gunicorn.arbiter import Arbiter
from gunicorn.http import wsgi

from scaldloaf.http import ids, version
from scaldloaf.http.connections import drain_and_close, is_left_unread
from scaldloaf.http.cross_origin import ANY_HOST, EXPOSED
from scaldloaf.http.headers import JSON_POLICY, NO_STORE, NOSNIFF, UNCHANGING
from scaldloaf.http.problems import KINDS, problem_body
from scaldloaf.http.reading import write_json

CHECKED_WITH = "27.0.1"

_STOPS = frozenset((signal.SIGINT, signal.SIGQUIT, signal.SIGTERM))
_hold = partial(signal.pthread_sigmask, signal.SIG_BLOCK, _STOPS)
#: Deliver the held signals; a new worker calls this once it has its own handlers.
let_stops_through = partial(signal.pthread_sigmask, signal.SIG_UNBLOCK, _STOPS)


def hold_stops_while_forking() -> None:
    """Hold signals to stop until a new worker can handle them.

    From the fork until it installs its own handlers, a worker has those of the main process, which do nothing
    there. Without this, a signal sent in that time is lost, and a stop waits the whole ``graceful_timeout``
    before it kills the worker.
    """
    os.register_at_fork(before=_hold, after_in_parent=let_stops_through)


def write_problem(connection: socket, status: int, reason: str, message: str) -> None:
    """Answer a request that gunicorn itself refuses in the format of the application."""
    kind = KINDS["internal-error" if status == 500 else "bad-request"]
    identity = ids.new()
    body = write_json(
        problem_body(replace(kind, status=status), f"{reason}: {kind.help}", request_id=identity)
    )
    head = (
        f"HTTP/1.1 {status} {reason}\r\nConnection: close\r\nContent-Type: application/problem+json\r\n"
        f"{': '.join(NOSNIFF)}\r\n{': '.join(ANY_HOST)}\r\n"
        f"{ids.HEADER}: {identity}\r\n{': '.join(version.HEADER)}\r\n"
        f"{': '.join(EXPOSED)}\r\n"
        f"{': '.join(JSON_POLICY)}\r\n{': '.join(NO_STORE)}\r\n"
        f"Content-Length: {len(body)}\r\n\r\n"
    )
    util.write_nonblock(connection, head.encode("ascii") + body)


class WholeResponse(wsgi.Response):
    """Sends the head of a response together with the first part of its body.

    A proxy that has received a head can no longer send the request to another worker. So a worker that is
    killed has sent either nothing or, except for streams, the whole response. It also saves a system call.
    """

    sock: Any
    _head = b""

    def process_headers(self, headers: list[tuple[str, str]]) -> None:
        """gunicorn checks each header by two patterns; those that never change need it only once."""
        self.headers += [header for header in headers if header in UNCHANGING]
        super().process_headers([header for header in headers if header not in UNCHANGING])

    def default_headers(self) -> list[str]:
        """gunicorn's headers without Server, which would advertise the program to attackers.

        Without "Connection: keep-alive" too, as HTTP/1.1 means it anyway (RFC 9112, 9.3): it makes room.
        """
        needless = ("Server:", "Connection: keep-alive") if self.req.version == (1, 1) else ("Server:",)
        return [header for header in super().default_headers() if not header.startswith(needless)]

    def send_headers(self) -> None:
        if not self.headers_sent:
            if is_left_unread(self.req, self.status_code):
                self.force_close()
            connection, self.sock = self.sock, self  # gunicorn then sends the head to ``sendall`` below
            try:
                super().send_headers()
            finally:
                self.sock = connection

    def sendall(self, head: bytes) -> None:
        self._head = head

    def _emit_body(self, data: bytes) -> None:
        head, self._head = self._head, b""
        if self.chunked:
            data = b"%x\r\n%b\r\n" % (len(data), data)
        self.sock.sendall(head + data)

    def close(self) -> None:
        self.send_headers()
        if self._head:  # there was no body
            head, self._head = self._head, b""
            self.sock.sendall(head)
        super().close()


@lru_cache(maxsize=1)
def _date_of(second: int) -> str:
    return formatdate(second, usegmt=True)


def date_now() -> str:
    """The Date of an answer, written once a second."""
    return _date_of(int(time.time()))


_stopping = mmap.mmap(-1, 1)  # shared by the main process and its workers
_stop = Arbiter.stop
_drain_seconds = 0.0


def is_stopping() -> bool:
    """Whether the whole service has been told to stop; a reload ends workers too, but not the service."""
    return _stopping[0] != 0


def drain_and_stop(arbiter: Any, graceful: bool = True) -> None:
    """Say that the service stops, answer calls for some time, so that load balancers send no more, then stop.

    SIGINT and SIGQUIT end the wait.
    """
    first = not is_stopping()
    _stopping[0] = 1
    end = time.monotonic() + _drain_seconds
    while first and graceful and arbiter.WORKERS and (left := end - time.monotonic()) > 0:
        with suppress(queue.Empty):
            graceful = arbiter.SIG_QUEUE.get(timeout=left) not in (signal.SIGINT, signal.SIGQUIT)
    _stop(arbiter, graceful)


def apply(drain_seconds: float) -> None:
    """Replace gunicorn's own. It looks these names up in its modules at each call."""
    global _drain_seconds
    _drain_seconds = drain_seconds
    Arbiter.stop = drain_and_stop
    util.write_error = write_problem
    util.close_graceful = drain_and_close
    util.http_date = date_now
    wsgi.Response = WholeResponse
