"""Logs as lines of JSON. They say what happened and how long it took, never what a user sent."""

import logging
import os
import traceback
from datetime import UTC, datetime
from wsgiref.types import WSGIEnvironment

from scaldloaf.http import ids
from scaldloaf.http.limits import client_of
from scaldloaf.http.reading import write_json


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds")


class JsonLines(logging.Formatter):
    """Formats a log record as a line of JSON, with the traceback but without the error's message.

    The message may quote what a user sent.
    """

    def format(self, record: logging.LogRecord) -> str:
        fields = {
            "time": _now(),
            "level": record.levelname.lower(),
            "logger": record.name,
            "message": record.getMessage(),
            "process": record.process,
        }
        if record.exc_info and record.exc_info[0]:
            fields["error"] = record.exc_info[0].__name__
            fields["trace"] = "".join(traceback.format_tb(record.exc_info[2]))
        return write_json(fields).decode()


class RequestLog:
    """Writes a line per request, with the id that its answer has."""

    def __init__(self, addresses: bool, proxies: int):
        self._addresses, self._proxies = addresses, proxies

    def begin(self, environ: WSGIEnvironment) -> None:
        """Nothing is written before the end."""

    def end(
        self, environ: WSGIEnvironment, method: str, route: str, status: int, size: int, seconds: float
    ) -> None:
        fields = {
            "time": _now(),
            "level": "info",
            "logger": "requests",
            "request": environ[ids.KEY],
            "method": method,
            "route": route,
            "status": status,
            "bytes": size,
            "milliseconds": round(seconds * 1000, 2),
            "process": os.getpid(),
        }
        if ids.TRACE in environ:
            fields["traceparent"] = environ[ids.TRACE]
        if self._addresses:
            fields["address"] = client_of(environ, self._proxies)
        # One write per line, so that lines of different workers and threads do not mix.
        os.write(1, write_json(fields) + b"\n")
