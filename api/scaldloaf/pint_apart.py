"""units.txt worked out by pint in a process of its own, which ends when it is done.

pint takes 0.1 s and 4 MB to read one file, once. Apart, nothing of it stays in the service's memory, and it
works while the rest is loaded. Only who may fork begins it: deploy/gunicorn.conf.py, before there is any
thread. Any other import of ``scaldloaf.units`` has pint in its own process.
"""

import os
import runpy
from functools import cache
from pathlib import Path
from typing import NamedTuple

_DERIVE = str(Path(__file__).with_name("units") / "derive.py")


class PintFailed(RuntimeError):
    """The process ended without an answer. The message is its reason."""


class _Process(NamedTuple):
    pid: int
    pipe: int


_begun: list[_Process] = []


@cache
def begin() -> None:
    """Start the process, once."""
    reading, writing = os.pipe()
    pid = os.fork()
    if not pid:
        status = 1
        try:
            os.close(reading)
            status = _work(writing)
        finally:
            os._exit(status)  # whatever happens, even that nobody reads: this process never goes on to serve
    os.close(writing)
    _begun.append(_Process(pid, reading))


def answer() -> str | None:
    """What the process has found, as ``written`` of derive.py writes it; None if none has been begun.

    Raises PintFailed.
    """
    if not _begun:
        return None
    pid, pipe = _begun.pop()
    with open(pipe, encoding="utf-8") as reading:
        said = reading.read()
    _, status = os.waitpid(pid, 0)
    if status:
        raise PintFailed(said or f"pint's process ended with status {os.waitstatus_to_exitcode(status)}")
    return said


def _work(pipe: int) -> int:
    """In the process: write what pint finds, or why it does not. Returns the status to end with."""
    with open(pipe, "w", encoding="utf-8") as writing:
        try:
            # As a file and not as a module, since its package waits for the answer.
            derive = runpy.run_path(_DERIVE)
            writing.write(derive["written"](derive["scales"](derive["definitions"]())))
        except Exception as error:  # any kind: the service, which waits for it, raises it
            writing.write(str(error))
            return 1
    return 0
