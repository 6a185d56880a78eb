"""schemathesis on every path, in a pytest of its own.

schemathesis makes its requests while tests are collected, and each process of a whole run collects all tests.
"""

import subprocess
import sys
from pathlib import Path

CASES = Path(__file__).with_name("every_path.py")


def test_every_path():
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "--tb=short", "-p", "no:cacheprovider", str(CASES)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stdout[-20_000:] + run.stderr
    assert " passed" in run.stdout, run.stdout
