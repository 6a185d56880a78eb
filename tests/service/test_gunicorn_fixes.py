"""The changes to gunicorn work with the installed version."""

import subprocess
import sys
from importlib.metadata import version

from running import ROOT, Service
from scaldloaf.http.gunicorn_fixes import CHECKED_WITH

WORKER_AND_MAIN_PROCESS = """
import os, signal
from scaldloaf.http.gunicorn_fixes import hold_stops_while_forking, let_stops_through

signal.signal(signal.SIGTERM, lambda *_: None)  # the main process's handler
if HELD:
    hold_stops_while_forking()
worker = os.fork()
if not worker:
    os.kill(os.getpid(), signal.SIGTERM)  # before the worker has its own handler
    signal.signal(signal.SIGTERM, lambda *_: os._exit(7))
    let_stops_through()
    os._exit(0)
print(os.waitstatus_to_exitcode(os.waitpid(worker, 0)[1]), signal.pthread_sigmask(signal.SIG_BLOCK, ()))
"""


def test_the_installed_gunicorn_is_the_one_the_changes_were_checked_with():
    # Another version? The module's docstring says what to check before changing CHECKED_WITH.
    assert version("gunicorn") == CHECKED_WITH


def outcome(held: bool) -> str:
    """The worker's exit status and the main process's signal mask afterwards."""
    done = subprocess.run(
        [sys.executable, "-c", WORKER_AND_MAIN_PROCESS.replace("HELD", str(held))],
        check=True,
        capture_output=True,
        text=True,
        cwd=ROOT / "api",
        timeout=120,
    )
    return done.stdout.strip()


def test_a_new_worker_receives_a_signal_sent_before_it_has_handlers():
    assert outcome(held=True) == "7 set()"
    assert outcome(held=False) == "0 set()"  # lost, as in gunicorn without the change


def test_a_service_stopped_right_after_its_start_stops_cleanly():
    for _ in range(3):
        with Service(SCALDLOAF_WORKERS="4"):
            pass
