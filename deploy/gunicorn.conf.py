"""The gunicorn configuration of Scaldloaf, for deploy/serve, the service unit and the tests.

All settings come from environment variables. An invalid or unknown one stops the start with a message that
says what it should be.
"""

import errno
import gc
import json
import os
import shutil
import socket
import sys
import tempfile
from pathlib import Path

from gunicorn import util

_ROOT = Path(__file__).resolve().parent.parent

# Loading creates no garbage, so collecting only costs time; see pre_fork.
gc.disable()

chdir = str(_ROOT)
pythonpath = str(_ROOT / "api")
if pythonpath not in sys.path:
    sys.path.insert(0, pythonpath)

from scaldloaf import pint_apart  # noqa: E402 - found through pythonpath

pint_apart.begin()  # it works while the service is imported, first of all what needs no unit

import scaldloaf.importing.words.tables  # noqa: E402, F401
from scaldloaf.http import connections, gunicorn_fixes, readiness, second_process  # noqa: E402
from scaldloaf.http.settings import BadSetting, settings_from  # noqa: E402

try:
    _settings = settings_from()
except BadSetting as _bad:
    sys.exit(f"{_bad}.")
# gunicorn would take it for the path at which the application is mounted.
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
# The second address is for /metrics, if it has its own port.
bind = [_address("BIND", "127.0.0.1:8000"), *filter(None, [_settings.metrics_bind])]
_ports = [address[1] for address in map(util.parse_address, bind) if isinstance(address, tuple)]
_metrics_port = _ports[-1] if _settings.metrics_bind else None
if len(set(_ports)) < len(_ports):
    sys.exit(
        f"SCALDLOAF_METRICS_BIND is {bind[1]!r}; it should have another port than BIND, which is {bind[0]!r}."
    )

# Loaded once and shared by the workers: it saves memory, and a failing start shows at once.
preload_app = True
workers = _settings.workers
# One thread means gunicorn's sync worker. That is enough behind a buffering proxy; without one, each
# connection that a browser opens in advance would block it. Several threads also keep connections alive.
threads = _settings.threads
worker_class = "scaldloaf.http.connections." + ("Worker" if threads > 1 else "LoneWorker")
connections.read_seconds = _settings.read_seconds
keepalive = 5
# A worker without a heartbeat for this long is replaced; a stop waits this long for running calls.
timeout = 30
graceful_timeout = 20
backlog = 1024

limit_request_line = 4094
limit_request_fields = 64
limit_request_field_size = 8190

# No proxy sets the path of the application, so no caller may either: one that does not match would be a 500.
# Nor does the application ask for the scheme. With nothing that a header could set, whom to trust with it is
# no question: "*" saves reading the caller's address in each request.
forwarder_headers = ""
secure_scheme_headers: dict[str, str] = {}
forwarded_allow_ips = "*"

# The workers' heartbeat files must not wait for a disk.
if os.access("/dev/shm", os.W_OK):
    worker_tmp_dir = "/dev/shm"

# No access log, as it would record what users send. No control socket in a home directory.
accesslog = None
errorlog = "-"
# Warnings would quote malformed requests. Those get an answer but are not logged.
loglevel = "error"
control_socket_disable = True

# JSON lines for a log collector. With SCALDLOAF_LOG=json the application also writes a line per request.
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

# The workers' metrics share a folder of this gunicorn, in memory if possible.
_FOLDER = "PROMETHEUS_MULTIPROC_DIR"
_mark = f"scaldloaf-{os.getpid()}-"
if _settings.metrics:
    if not Path(os.environ.get(_FOLDER, "")).name.startswith(_mark):  # SIGHUP runs this file again
        os.environ[_FOLDER] = tempfile.mkdtemp(prefix=_mark, dir=globals().get("worker_tmp_dir"))
else:
    os.environ.pop(_FOLDER, None)


def _check_free(variable: str, host: str, port: int) -> None:
    """Stop with a clear message if nothing can listen at ``host`` and ``port``."""
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        with socket.socket(family, kind, protocol) as trial:
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            trial.bind(address)
    except UnicodeError:
        sys.exit(f"{variable} is '{host}:{port}', where nothing can listen: {host} cannot be a host name.")
    except OSError as refused:
        if refused.errno == errno.EADDRINUSE:
            sys.exit(
                f"Port {port} on {host} is in use by another program (perhaps Scaldloaf is already "
                f"running). Stop it, or listen elsewhere: {variable}={host}:{port + 1} deploy/serve"
            )
        sys.exit(f"{variable} is '{host}:{port}', where nothing can listen: {refused.strerror}.")


def _displayed_address(listener, path: str = "") -> str:
    """The listener's address as a URL to open; a Unix socket's path."""
    name = listener.getsockname()
    if isinstance(name, str):
        return str(listener)
    host, port = name[:2]
    everywhere = host in ("0.0.0.0", "::")
    shown = "localhost" if everywhere else f"[{host}]" if ":" in host else host
    return f"http://{shown}:{port}/{path}" + (
        " (and at this machine's other addresses)" if everywhere else ""
    )


gunicorn_fixes.apply(_settings.drain_seconds)
readiness.is_stopping = gunicorn_fixes.is_stopping


def on_starting(server):
    gunicorn_fixes.hold_stops_while_forking()
    inherited = "GUNICORN_FD" in os.environ or os.environ.get("LISTEN_PID") == str(os.getpid())
    if not inherited:
        try:
            for variable, address in zip(
                ("BIND", "SCALDLOAF_METRICS_BIND"), server.cfg.address, strict=False
            ):
                if isinstance(address, tuple):
                    _check_free(variable, *address)
        except SystemExit:
            _remove_folder()
            raise


def _report(message: str) -> None:
    print(
        json.dumps({"level": "info", "logger": "scaldloaf", "message": message}) if _json_log else message,
        flush=True,
    )


def _begin_second_process(server):
    """Before the workers, where two processes may compute: what forks the second process of a large bulk."""
    if workers > 1 and second_process.cores() > 1:
        second_process.begin(server.LISTENERS)


def when_ready(server):
    gc.freeze()
    _begin_second_process(server)
    by_port = {
        listener.getsockname()[1]: listener
        for listener in server.LISTENERS
        if not isinstance(listener.getsockname(), str)
    }
    if _metrics_port and _metrics_port not in by_port:  # the sockets come from systemd
        server.halt(f"SCALDLOAF_METRICS_BIND is {bind[1]!r}; none of systemd's sockets has that port", 1)
    for listener in server.LISTENERS:
        if listener is by_port.get(_metrics_port):
            _report(f"Metrics are at {_displayed_address(listener, 'metrics')}")
        else:
            _report(f"Scaldloaf is at {_displayed_address(listener)}")


def on_reload(server):
    """Collect the previous configuration. It was frozen, so it would stay in memory after each reload."""
    gc.unfreeze()
    gc.collect()
    _begin_second_process(server)  # if it has ended


def pre_fork(server, worker):
    """Freeze what is loaded, so that the collector does not touch memory pages that the workers share."""
    gc.freeze()
    gc.enable()


def pre_request(worker, req):
    connections.expect_body(req)
    connections.continue_on_read(req)


def post_worker_init(worker):
    gunicorn_fixes.let_stops_through()
    if figures := worker.wsgi.extensions["scaldloaf.figures"]:
        figures.listeners = worker.sockets
        connections.report_waiting = figures.connections
    worker.wsgi.extensions["scaldloaf.bulks"].parent = second_process.begun()
    if worker.cfg.threads > 1:
        readiness.longest_wait_s = worker.longest_wait_s
    if worker.cfg.threads == 1:
        # The sync worker sends its heartbeat between requests only, so a long bulk sends it between lines.
        from scaldloaf.http import backlog

        backlog.show_life = worker.notify


def child_exit(server, worker):
    if _FOLDER in os.environ:
        from scaldloaf.http.metrics import gather

        try:
            gather(worker.pid)
        except Exception as error:  # metrics must not stop the service
            server.log.error("the metrics of a worker are lost: %s", type(error).__name__)


def _remove_folder() -> None:
    if _FOLDER in os.environ:
        shutil.rmtree(os.environ[_FOLDER], ignore_errors=True)


def on_exit(server):
    _remove_folder()
    _report("Scaldloaf has stopped.")
