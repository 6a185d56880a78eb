"""The real service for tests: gunicorn as deploy/serve starts it, on a free loopback port."""

import os
import re
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import requests

ROOT = Path(__file__).resolve().parent.parent
START_S = 120  # long enough for a busy machine
STOP_S = 120


def until(look: Callable[[], object], good: Callable[[object], object] = bool, seconds: float = 120):
    """Call ``look`` until its value is good, and return that value."""
    end = time.monotonic() + seconds
    while not good(seen := look()):
        assert time.monotonic() < end, f"not within {seconds:g} s; the last value: {str(seen)[:500]}"
        time.sleep(0.05)
    return seen


def environment(**own: str) -> dict[str, str]:
    """This process's environment without variables that affect Scaldloaf, plus ``own``."""
    inherited = {
        name: value
        for name, value in os.environ.items()
        if name not in ("BIND", "PYTHON", "GUNICORN_CMD_ARGS") and not name.startswith("SCALDLOAF_")
    }
    return {**inherited, **own}


class Service:
    """A running service; use it in a ``with`` statement, or start() and stop() it."""

    def __init__(self, **settings: str):
        """settings: variables for the service, such as SCALDLOAF_WORKERS="1"."""
        self._environment = environment(**{"BIND": "127.0.0.1:0", **settings})
        self._log = tempfile.TemporaryFile("w+b")  # noqa: SIM115 - closed when the service has stopped
        self.process: subprocess.Popen | None = None
        self.url = ""

    def start(self) -> "Service":
        self.process = subprocess.Popen(
            [sys.executable, "-m", "gunicorn", "--config", "deploy/gunicorn.conf.py"],
            cwd=ROOT,
            env=self._environment,
            stdin=subprocess.DEVNULL,
            stdout=self._log,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        end = time.monotonic() + START_S
        while not self._is_ready():
            if self.process.poll() is not None or time.monotonic() > end:
                self.process.kill()
                status, output = self.process.wait(), self.output()
                self._log.close()
                raise AssertionError(f"the service did not start (status {status}):\n{output}")
            time.sleep(0.02)
        return self

    def _is_ready(self) -> bool:
        said = re.search(r"Scaldloaf is at (http://[^\s\"]+)/", self.output())
        if said is None:
            return False
        self.url = said[1]
        return requests.get(f"{self.url}/readyz", timeout=START_S).status_code == 200

    def output(self) -> str:
        """Everything printed so far, including the log."""
        size = os.fstat(self._log.fileno()).st_size
        return os.pread(self._log.fileno(), size, 0).decode("utf-8", "replace")

    def stop(self, how: signal.Signals = signal.SIGTERM) -> int:
        """Stop it by a signal and return its exit status. Kills a service that does not stop, and fails."""
        if self.process.poll() is None:
            self.process.send_signal(how)
        try:
            return self.process.wait(STOP_S)
        except subprocess.TimeoutExpired:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()
            raise AssertionError(f"the service did not stop in {STOP_S} s:\n{self.output()}") from None

    def assert_stops_cleanly(self, how: signal.Signals = signal.SIGTERM) -> None:
        status = self.stop(how)
        assert status == 0, f"the service ended with status {status}:\n{self.output()}"
        lines = [line for line in self.output().splitlines() if line]
        assert lines[0].startswith("Scaldloaf is at ") and lines[1:] == ["Scaldloaf has stopped."], (
            f"the service printed more than its address:\n{self.output()}"
        )

    def __enter__(self) -> "Service":
        return self.start()

    def __exit__(self, kind, error, trace) -> None:
        if kind is None:
            self.assert_stops_cleanly()
        else:
            self.stop()
        self._log.close()


class TalkingService(Service):
    """A service that may log something; the test judges its output."""

    def assert_stops_cleanly(self, how: signal.Signals = signal.SIGTERM) -> None:
        status = self.stop(how)
        assert status == 0, f"the service ended with status {status}:\n{self.output()}"
