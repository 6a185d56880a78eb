"""The npm packages that tests/clients/package-lock.json pins, and programs run with them.

Usage: python tests/npm.py   installs the packages, unless they are there
"""

import fcntl
import hashlib
import os
import subprocess
from pathlib import Path

import tools

ROOT = Path(__file__).resolve().parent.parent
CLIENTS = ROOT / "tests" / "clients"
DOCUMENT = ROOT / "openapi" / "openapi.json"


def run(*command, **variables) -> subprocess.CompletedProcess:
    done = subprocess.run(
        command,
        cwd=CLIENTS,
        capture_output=True,
        text=True,
        timeout=300,
        stdin=subprocess.DEVNULL,
        env={**os.environ, "no_proxy": "127.0.0.1,localhost", **variables},
    )
    assert done.returncode == 0, f"{command[:3]} ended with {done.returncode}:\n{done.stdout}\n{done.stderr}"
    return done


def node_modules() -> Path:
    """The folder of the packages, installed once for each state of the lock."""
    wanted = hashlib.sha256(
        b"".join((CLIENTS / name).read_bytes() for name in ("package-lock.json", "package.json"))
    )
    folder = CLIENTS / "node_modules"
    stamp = folder / ".lock-installed"
    turn = os.open(CLIENTS, os.O_RDONLY)
    try:
        fcntl.flock(turn, fcntl.LOCK_EX)
        if not stamp.is_file() or stamp.read_text() != wanted.hexdigest():
            run(tools.find("npm"), "ci", "--ignore-scripts")
            stamp.write_text(wanted.hexdigest())
    finally:
        os.close(turn)
    return folder


def write_types(into: Path) -> None:
    """Writes the TypeScript types of the document."""
    into.parent.mkdir(parents=True, exist_ok=True)
    # Without the option, a field with a default is one that every request must have.
    run(
        tools.find("node"),
        node_modules() / "openapi-typescript/bin/cli.js",
        DOCUMENT,
        "--output",
        into,
        "--default-non-nullable=false",
    )


if __name__ == "__main__":
    node_modules()
