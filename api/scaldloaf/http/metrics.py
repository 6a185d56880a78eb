"""Request metrics for Prometheus, summed over all workers of one gunicorn.

Each worker writes its own files (prometheus-client's multiprocess mode), and any worker can report the sums.
When a worker ends, its counts move to a shared file, so that files do not pile up over many restarts.
"""

import os
import time
from collections.abc import Iterable
from pathlib import Path
from typing import Any
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

from flask import Flask, Response

from scaldloaf.http.addresses import not_found

PATH = "/metrics"
CONTENT_TYPE = "text/plain; version=0.0.4; charset=utf-8"
FOLDER = "PROMETHEUS_MULTIPROC_DIR"  # prometheus-client's own variable
BUCKETS_S = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 1.0, 10.0)
GONE = "gone"
ATTEMPTS = 5


class Metrics:
    """Counts this process's requests."""

    def __init__(self) -> None:
        from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram

        self._registry = CollectorRegistry()
        # Its count is the number of requests, so there is no separate counter.
        self._seconds = Histogram(
            "scaldloaf_request_seconds",
            "From a request to the end of its answer.",
            ["method", "route", "status"],
            registry=self._registry,
            buckets=BUCKETS_S,
        )
        self._lines = Counter(
            "scaldloaf_bulk_lines", "Lines of bulk answered.", ["status"], registry=self._registry
        )
        self._running = Gauge(
            "scaldloaf_requests_running",
            "Requests being answered.",
            registry=self._registry,
            multiprocess_mode="livesum",
        )
        self._found: dict[Any, Any] = {}  # by labels: a lookup in prometheus-client costs more than counting

    def begin(self, environ: WSGIEnvironment) -> None:
        self._running.inc()

    def end(
        self, environ: WSGIEnvironment, method: str, route: str, status: int, size: int, seconds: float
    ) -> None:
        key = method, route, status // 100
        seconds_of = self._found.get(key)
        if seconds_of is None:
            seconds_of = self._found[key] = self._seconds.labels(method, route, f"{status // 100}xx")
        seconds_of.observe(seconds)
        self._running.dec()

    def line(self, status: int, body: dict[str, Any]) -> None:
        lines = self._found.get(status // 100)
        if lines is None:
            lines = self._found[status // 100] = self._lines.labels(f"{status // 100}xx")
        lines.inc()

    def text(self) -> bytes:
        from prometheus_client import CollectorRegistry, generate_latest, multiprocess

        if FOLDER not in os.environ:  # a single process, without gunicorn
            return generate_latest(self._registry)
        attempt = 1
        while True:
            registry = CollectorRegistry()
            multiprocess.MultiProcessCollector(registry)
            try:
                return generate_latest(registry)
            except Exception:  # a worker started or ended while its file was being read
                if attempt == ATTEMPTS:
                    raise
            attempt += 1
            time.sleep(0.01)


def serve(app: Flask, metrics: Metrics) -> None:
    """Add /metrics to the application."""

    @app.get(PATH)
    def answer() -> Response:
        return Response(metrics.text(), content_type=CONTENT_TYPE, headers={"Cache-Control": "no-store"})


def apart(wsgi_app: WSGIApplication, bind: str) -> WSGIApplication:
    """Middleware: serves /metrics at the port of ``bind`` (host:port) only, and nothing else there."""
    port = bind.rpartition(":")[2]

    def wrapped(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        # On a Unix socket SERVER_PORT comes from the caller's Host header, so check the connection too.
        here = environ["SERVER_PORT"] == port and _local_port(environ) == port
        if here != (environ["PATH_INFO"] == PATH):
            return not_found(environ, start_response)
        return wsgi_app(environ, start_response)

    return wrapped


def _local_port(environ: WSGIEnvironment) -> str:
    """The local port of a gunicorn connection; "" for a Unix socket or another server."""
    connection = environ.get("gunicorn.socket")
    name = connection.getsockname() if connection else ""
    return str(name[1]) if isinstance(name, tuple) else ""


def gather(process: int) -> None:
    """Move the counts of an ended process to the shared file. Called in the main process."""
    from prometheus_client.mmap_dict import MmapedDict
    from prometheus_client.multiprocess import mark_process_dead

    folder = Path(os.environ[FOLDER])
    mark_process_dead(process)
    for left in folder.glob(f"*_{process}.db"):
        kind = left.name.split("_")[0]
        if kind == "gauge":
            left.unlink()
            continue
        total = MmapedDict(str(folder / f"{kind}_{GONE}.db"))
        try:
            for key, value, _, _ in MmapedDict.read_all_values_from_file(str(left)):
                total.write_value(key, total.read_value(key)[0] + value, 0.0)
        finally:
            total.close()
        left.unlink()
