"""What gunicorn is mended for holds on the gunicorn that is installed."""

import subprocess
import sys

from running import ROOT, Service

WORKER_AND_MAIN_PROCESS = """
import os, signal
from scaldloaf.http.gunicorn_fixes import hold_stops_while_forking, let_stops_through

signal.signal(signal.SIGTERM, lambda *_: None)      # the main process's own
if HELD:
    hold_stops_while_forking()
worker = os.fork()
if not worker:
    os.kill(os.getpid(), signal.SIGTERM)            # before the worker has handlers
    signal.signal(signal.SIGTERM, lambda *_: os._exit(7))
    let_stops_through()
    os._exit(0)
print(os.waitstatus_to_exitcode(os.waitpid(worker, 0)[1]), signal.pthread_sigmask(signal.SIG_BLOCK, ()))
"""


def ended(held: bool) -> str:
    done = subprocess.run(
        [sys.executable, "-c", WORKER_AND_MAIN_PROCESS.replace("HELD", str(held))],
        check=True,
        capture_output=True,
        text=True,
        cwd=ROOT / "api",
        timeout=120,
    )
    return done.stdout.strip()


def test_a_worker_just_forked_keeps_the_signal_that_stops_it():
    assert ended(held=True) == "7 set()"
    assert ended(held=False) == "0 set()"  # lost, as gunicorn would


def test_a_service_told_to_stop_in_its_first_moment_stops_cleanly():
    for _ in range(3):
        with Service(SCALDLOAF_WORKERS="4"):
            pass
