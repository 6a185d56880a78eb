"""Changes to gunicorn that it has no settings for; deploy/gunicorn.conf.py applies them.

They replace functions and a class inside gunicorn, so a new version may break them silently. CHECKED_WITH is
the version they were checked with; a test fails if another one is installed. Then read what gunicorn has
changed in ``util``, ``http.wsgi``, ``http.body`` and ``workers.gthread`` (scaldloaf.http.connections extends
its worker), run tests/service and tests/deploy, and set CHECKED_WITH.
"""

import os
import signal
from dataclasses import replace
from functools import partial
from socket import socket
from typing import Any

from gunicorn import util
from gunicorn.http import wsgi

from scaldloaf.http import version
from scaldloaf.http.connections import drain_and_close, is_left_unread
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
    body = write_json(problem_body(replace(kind, status=status), f"{reason}: {kind.help}"))
    head = (
        f"HTTP/1.1 {status} {reason}\r\nConnection: close\r\nContent-Type: application/problem+json\r\n"
        f"X-Content-Type-Options: nosniff\r\nAccess-Control-Allow-Origin: *\r\n"
        f"{': '.join(version.HEADER)}\r\nAccess-Control-Expose-Headers: {version.NAME}\r\n"
        f"Content-Security-Policy: default-src 'none'; frame-ancestors 'none'\r\nCache-Control: no-store\r\n"
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

    def default_headers(self) -> list[str]:
        """gunicorn's headers without Server, which would advertise the program to attackers."""
        return [header for header in super().default_headers() if not header.startswith("Server:")]

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


def apply() -> None:
    """Replace gunicorn's own. It looks these names up in its modules at each call."""
    util.write_error = write_problem
    util.close_graceful = drain_and_close
    wsgi.Response = WholeResponse
