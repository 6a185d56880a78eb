"""units.txt worked out by pint in a process of its own, which ends when it is done.

pint takes 0.1 s and 4 MB to read one file, once. Apart, nothing of it stays in the service's memory, and it
works while the rest of the service is loaded: ``scaldloaf.http`` begins it before anything else.
"""

import subprocess
import sys
from functools import cache
from pathlib import Path

_PROGRAM = Path(__file__).with_name("units") / "derive.py"
_LONGEST_S = 60


class PintFailed(RuntimeError):
    """The process could not be started, or ended without an answer. The message is its last line."""


@cache
def begin() -> subprocess.Popen[str]:
    """Start the process, if it has not been started."""
    try:
        return subprocess.Popen(
            [sys.executable, "-P", str(_PROGRAM)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            encoding="utf-8",
            errors="replace",
        )
    except OSError as error:
        raise PintFailed(f"pint can't be started: {error}") from error


@cache
def answer() -> str:
    """What the process has printed, once it has ended. Raises PintFailed."""
    process = begin()
    try:
        printed, complaint = process.communicate(timeout=_LONGEST_S)
    except subprocess.TimeoutExpired:
        process.kill()
        process.communicate()
        raise PintFailed(f"pint had no answer within {_LONGEST_S} s") from None
    if process.returncode:
        raise PintFailed(next(reversed(complaint.strip().splitlines()), f"status {process.returncode}"))
    return printed
