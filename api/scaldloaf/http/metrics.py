"""Figures for Prometheus, summed over all workers of one gunicorn.

Each worker writes its own files (prometheus-client's multiprocess mode), and any worker can report the sums.
When a worker ends, its counts move to a shared file, so that files do not pile up over many restarts.
"""

import os
import time
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

from flask import Flask, Response

from scaldloaf.http.addresses import not_found
from scaldloaf.http.backlog import Figures
from scaldloaf.http.error_codes import ERROR_CODES
from scaldloaf.http.problems import REFUSED, refusal_of
from scaldloaf.http.settings import Settings

PATH = "/metrics"
CONTENT_TYPE = "text/plain; version=0.0.4; charset=utf-8"
FOLDER = "PROMETHEUS_MULTIPROC_DIR"  # prometheus-client's own variable
BUCKETS_S = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 1.0, 10.0)
GONE = "gone"
ATTEMPTS = 5
COUNTED = {"none", *ERROR_CODES}  # nothing else becomes a label, and nothing of a caller's
EXTENSION = "scaldloaf.figures"  # of the application: its Metrics, or None


class Metrics(Figures):
    """Counts this process's requests and bulks."""

    def __init__(self, settings: Settings) -> None:
        from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram

        def gauge(name: str, words: str, *labels: str) -> Any:
            return Gauge(name, words, labels, registry=self._registry, multiprocess_mode="livesum")

        self._registry = CollectorRegistry()
        #: gunicorn's listening sockets, which its configuration puts here.
        self.listeners: Iterable[Any] = ()
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
        self._refusals = Counter(
            "scaldloaf_refusals",
            "Problems answered, to requests and to lines of bulk, by the code of their first fault.",
            ["problem", "code"],
            registry=self._registry,
        )
        self._running = gauge("scaldloaf_requests_running", "Requests being answered.")
        self._connections = gauge("scaldloaf_connections_waiting", "Connections that wait for a thread.")
        self._bulks = gauge("scaldloaf_bulks_running", "Bulks being answered.")
        self._waiting = gauge(
            "scaldloaf_bulk_waiting_bytes", "Lines of bulk that wait for their answers.", "place"
        )
        self._spilled = Counter(
            "scaldloaf_bulk_spilled_bytes",
            "Lines of bulk put into a file, as too many waited to be held in memory.",
            registry=self._registry,
        )
        # Set once, before the workers are forked: what all of them have together.
        places = settings.workers * settings.bulks
        gauge("scaldloaf_bulk_places", "Bulks that may be answered at a time.").set(places)
        room = gauge("scaldloaf_bulk_room_bytes", "Lines of bulk that may wait for their answers.")
        room.set(places * settings.max_bulk_bytes)
        # By labels: a lookup in prometheus-client costs more than counting.
        self._found: dict[Any, Any] = {}
        self._refusals_of: dict[tuple[str, str], Any] = {}
        self._in_memory, self._in_file = map(self._waiting.labels, ("memory", "file"))

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
        if (problem := environ.get(REFUSED)) is not None:
            self._refused(*refusal_of(problem))

    def _refused(self, kind: str, code: str) -> None:
        key = kind, code if code in COUNTED else "other"
        refusals = self._refusals_of.get(key)
        if refusals is None:
            refusals = self._refusals_of[key] = self._refusals.labels(*key)
        refusals.inc()

    def connections(self, waiting: int) -> None:
        """How many connections wait for a thread of this worker."""
        self._connections.set(waiting)

    def running(self, change: int) -> None:
        self._bulks.inc(change)

    def waiting(self, memory: int, file: int) -> None:
        self._in_memory.inc(memory)
        self._in_file.inc(file)
        if file > 0:
            self._spilled.inc(file)

    def line(self, status: int, refusal: tuple[str, str] | None) -> None:
        if refusal is not None:
            self._refused(*refusal)
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
            registry.register(_Unaccepted(self.listeners))
            try:
                return generate_latest(registry)
            except Exception:  # a worker started or ended while its file was being read
                if attempt == ATTEMPTS:
                    raise
            attempt += 1
            time.sleep(0.01)


class _Unaccepted:
    """The connections that no worker has accepted yet, by the kernel. It counts those of TCP only."""

    def __init__(self, listeners: Iterable[Any]):
        self._listeners = listeners

    def collect(self) -> Iterator[Any]:
        from prometheus_client.core import GaugeMetricFamily

        counts = [count for each in self._listeners if (count := each.get_backlog()) >= 0]
        if counts:
            words = "Connections that no worker has accepted yet."
            yield GaugeMetricFamily("scaldloaf_connections_unaccepted", words, sum(counts))


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
