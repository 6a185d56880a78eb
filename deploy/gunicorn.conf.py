"""How gunicorn runs Scaldloaf; read by deploy/serve, by the service unit and by the tests.

All settings come from the environment; a bad one, or an unknown one, stops the start with what it should be.
"""

import errno
import gc
import json
import os
import shutil
import socket
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

from gunicorn import util
from gunicorn.http import wsgi

_ROOT = Path(__file__).resolve().parent.parent

# Nothing that loading makes is garbage, so looking for some only takes time; see pre_fork.
gc.disable()

chdir = str(_ROOT)
pythonpath = str(_ROOT / "api")
if pythonpath not in sys.path:
    sys.path.insert(0, pythonpath)

from scaldloaf.http.gunicorn_fixes import (  # noqa: E402 - on that path
    hold_stops_while_forking,
    let_stops_through,
)
from scaldloaf.http.settings import BadSetting, settings_from  # noqa: E402

try:
    _settings = settings_from()
except BadSetting as _bad:
    sys.exit(f"{_bad}.")
# gunicorn would read it as the path that the application is below.
if _below := os.environ.get("SCRIPT_NAME"):
    sys.exit(
        f"SCRIPT_NAME is {_below!r}; it should not be set, as Scaldloaf must be at the root of its host."
    )


def _address(name: str, default: str) -> str:
    given = os.environ.get(name) or default
    try:
        where = util.parse_address(given)
    except RuntimeError:
        where = None
    if where is None or isinstance(where, tuple) and where[1] > 65535:
        sys.exit(
            f"{name} is {given!r}; it should be host:port with a port up to 65535, such as "
            f"{default}, or unix:/path/to/socket."
        )
    return given


wsgi_app = "scaldloaf.http:create_app()"
proc_name = "scaldloaf"
# A second one when /metrics has a port of its own.
bind = [_address("BIND", "127.0.0.1:8000"), *filter(None, [_settings.metrics_bind])]
_ports = [address[1] for address in map(util.parse_address, bind) if isinstance(address, tuple)]
_metrics_port = _ports[-1] if _settings.metrics_bind else None
if len(set(_ports)) < len(_ports):
    sys.exit(
        f"SCALDLOAF_METRICS_BIND is {bind[1]!r}; it should have another port than BIND, which is {bind[0]!r}."
    )

# Loaded once, then shared by the workers: memory saved, and a broken start is seen at once.
preload_app = True
workers = _settings.workers
# One thread is gunicorn's sync worker: good behind a proxy that buffers, but facing browsers directly
# each connection they open ahead of use would hold it. More threads also keep connections alive.
threads = _settings.threads
worker_class = "scaldloaf.http.connections.Worker" if threads > 1 else "sync"
keepalive = 5
# A worker silent for so long is replaced; a stop waits so long for what is running.
timeout = 30
graceful_timeout = 20
backlog = 1024

limit_request_line = 4094
limit_request_fields = 64
limit_request_field_size = 8190

# Nobody in front says where the application lies, so no caller may either: one that does not match ends in a 500.
forwarder_headers = ""

# The workers' heartbeat files must not wait for a disk.
if os.access("/dev/shm", os.W_OK):
    worker_tmp_dir = "/dev/shm"

# No access log: what a baker sends is not written down. No control socket in anyone's home folder.
accesslog = None
errorlog = "-"
# Warnings would quote requests that can't be read; they are answered, not written down.
loglevel = "error"
control_socket_disable = True

# Lines for a log collector instead of text for people; SCALDLOAF_LOG=json also has a line a request.
_json_log = _settings.log
if _json_log:
    logconfig_dict = {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"lines": {"()": "scaldloaf.http.logs.JsonLines"}},
        "handlers": {
            "out": {"class": "logging.StreamHandler", "formatter": "lines", "stream": "ext://sys.stdout"}
        },
        "root": {"level": "ERROR", "handlers": ["out"]},
        "loggers": {
            "gunicorn.error": {"level": "ERROR", "handlers": ["out"], "propagate": False},
            "gunicorn.access": {"level": "ERROR", "handlers": [], "propagate": False},
        },
    }

# The workers' figures meet in a folder of this gunicorn's own, in memory where there is such a place.
_FOLDER = "PROMETHEUS_MULTIPROC_DIR"
_mark = f"scaldloaf-{os.getpid()}-"
if _settings.metrics:
    if not Path(os.environ.get(_FOLDER, "")).name.startswith(_mark):  # on SIGHUP this is read again
        os.environ[_FOLDER] = tempfile.mkdtemp(prefix=_mark, dir=globals().get("worker_tmp_dir"))
else:
    os.environ.pop(_FOLDER, None)


def _check_free(variable: str, host: str, port: int) -> None:
    """Ends the start with a plain sentence when nobody could listen at ``host`` and ``port``."""
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        with socket.socket(family, kind, protocol) as trial:
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            trial.bind(address)
    except OSError as refused:
        if refused.errno == errno.EADDRINUSE:
            sys.exit(
                f"Port {port} on {host} is in use by another program (perhaps Scaldloaf is already "
                f"running). Stop it, or listen elsewhere: {variable}={host}:{port + 1} deploy/serve"
            )
        sys.exit(f"{variable} is '{host}:{port}', where nothing can listen: {refused.strerror}.")


def _address_for_people(listener, path: str = "") -> str:
    name = listener.getsockname()
    if isinstance(name, str):
        return str(listener)
    host, port = name[:2]
    everywhere = host in ("0.0.0.0", "::")
    shown = "localhost" if everywhere else f"[{host}]" if ":" in host else host
    return f"http://{shown}:{port}/{path}" + (
        " (and at this machine's other addresses)" if everywhere else ""
    )


def _write_problem(connection, status, reason, message):
    """Answers what can't be read as HTTP, and so never reaches the application, as it would have."""
    from scaldloaf.http.problems import KINDS, problem_body
    from scaldloaf.http.reading import write_json

    kind = KINDS["internal-error" if status == 500 else "bad-request"]
    body = write_json(problem_body(replace(kind, status=status), f"{reason}: {kind.help}"))
    head = (
        f"HTTP/1.1 {status} {reason}\r\nConnection: close\r\nContent-Type: application/problem+json\r\n"
        f"X-Content-Type-Options: nosniff\r\nAccess-Control-Allow-Origin: *\r\n"
        f"Content-Security-Policy: default-src 'none'; frame-ancestors 'none'\r\nCache-Control: no-store\r\n"
        f"Content-Length: {len(body)}\r\n\r\n"
    )
    util.write_nonblock(connection, head.encode("ascii") + body)


def _close_patiently(connection):
    from scaldloaf.http.connections import close_patiently

    close_patiently(connection)


# gunicorn has no settings for these; it calls them by these names.
util.write_error = _write_problem
util.close_graceful = _close_patiently


class _WholeAnswer(wsgi.Response):
    """Sends the head of an answer together with the body's first part, not before it.

    A proxy that has seen a head can't send the request to another worker any more. So a worker that is
    killed has sent either nothing or, but for streams, all. It also saves a send.
    """

    _head = b""

    def default_headers(self):
        """gunicorn's own, without its name: nobody needs to know what to look for."""
        return [header for header in super().default_headers() if not header.startswith("Server:")]

    def send_headers(self):
        if not self.headers_sent:
            from scaldloaf.http.connections import is_left_unread

            if is_left_unread(self.req, self.status_code):
                self.force_close()
            connection, self.sock = self.sock, self
            try:
                super().send_headers()
            finally:
                self.sock = connection

    def sendall(self, head):
        self._head = head

    def _emit_body(self, data):
        head, self._head = self._head, b""
        if self.chunked:
            data = b"%x\r\n%b\r\n" % (len(data), data)
        self.sock.sendall(head + data)

    def close(self):
        self.send_headers()
        if self._head:  # there was no body
            head, self._head = self._head, b""
            self.sock.sendall(head)
        super().close()


# Nor has it a setting for this. (On SIGHUP all this is read again.)
if wsgi.Response.__name__ != _WholeAnswer.__name__:
    wsgi.Response = _WholeAnswer


def on_starting(server):
    hold_stops_while_forking()
    inherited = "GUNICORN_FD" in os.environ or os.environ.get("LISTEN_PID") == str(os.getpid())
    if not inherited:
        try:
            for variable, address in zip(("BIND", "SCALDLOAF_METRICS_BIND"), server.cfg.address):
                if isinstance(address, tuple):
                    _check_free(variable, *address)
        except SystemExit:
            _remove_folder()
            raise


def _say(words: str) -> None:
    print(
        json.dumps({"level": "info", "logger": "scaldloaf", "message": words}) if _json_log else words,
        flush=True,
    )


def when_ready(server):
    by_port = {
        listener.getsockname()[1]: listener
        for listener in server.LISTENERS
        if not isinstance(listener.getsockname(), str)
    }
    if _metrics_port and _metrics_port not in by_port:  # the sockets are systemd's
        server.halt(f"SCALDLOAF_METRICS_BIND is {bind[1]!r}; no socket that was handed over has that port", 1)
    for listener in server.LISTENERS:
        if listener is by_port.get(_metrics_port):
            _say(f"Metrics are at {_address_for_people(listener, 'metrics')}")
        else:
            _say(f"Scaldloaf is at {_address_for_people(listener)}")


def on_reload(server):
    """What was read before is garbage now, and among what the collector leaves alone: else each reload stays in memory."""
    gc.unfreeze()
    gc.collect()


def pre_fork(server, worker):
    """What is loaded is left alone by the collector from here on, so that its pages stay shared with the workers."""
    gc.freeze()
    gc.enable()


def pre_request(worker, req):
    from scaldloaf.http.connections import hold_back

    hold_back(req)


def post_worker_init(worker):
    let_stops_through()
    if worker.cfg.threads == 1:
        # Such a worker shows that it lives between requests only; a long bulk shows it between lines.
        from scaldloaf.http import backlog

        backlog.show_life = worker.notify


def child_exit(server, worker):
    if _FOLDER in os.environ:
        from scaldloaf.http.metrics import gather

        try:
            gather(worker.pid)
        except Exception as error:  # figures must never end the service
            server.log.error("what a worker had counted is lost: %s", type(error).__name__)


def _remove_folder() -> None:
    if _FOLDER in os.environ:
        shutil.rmtree(os.environ[_FOLDER], ignore_errors=True)


def on_exit(server):
    _remove_folder()
    _say("Scaldloaf has stopped.")
