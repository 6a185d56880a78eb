"""Times the heaviest request of each call (tests/heavy.py), also relative to a bare Flask JSON echo.

    python tests/benchmarks/heavy.py [--rounds 7] [--only keeping]

Each request is read and answered in process, and so is the echo of the Lantern Quay tin loaf. Rounds are
interleaved, so that a drift in the machine's speed affects all alike. Prints a table of medians and of the
work that the tests count, and writes results/heavy.json beside this file. It never fails because of time.
"""

import argparse
import gc
import json
import statistics
import sys
import time
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "api"), str(ROOT / "tests")]

from flask import Flask, jsonify, request  # noqa: E402

from heavy import MOST_WORK, REQUESTS, body_of  # noqa: E402
from mangling import answer  # noqa: E402
from scaldloaf.operations.lantern_quay import TIN_LOAF  # noqa: E402
from work import work  # noqa: E402

RESULTS = Path(__file__).parent / "results"
ECHOES = 20  # in a row: one is too short to be timed


def echo() -> Callable[[], None]:
    """A function that has a bare Flask application echo the tin loaf."""
    app = Flask("echo")

    @app.post("/echo")
    def echoed():
        return jsonify(request.get_json())

    body = json.dumps({"formula": TIN_LOAF}).encode()

    def once():
        environ = {
            "REQUEST_METHOD": "POST",
            "PATH_INFO": "/echo",
            "QUERY_STRING": "",
            "SERVER_NAME": "127.0.0.1",
            "SERVER_PORT": "80",
            "SERVER_PROTOCOL": "HTTP/1.1",
            "CONTENT_TYPE": "application/json",
            "CONTENT_LENGTH": str(len(body)),
            "wsgi.input": BytesIO(body),
            "wsgi.errors": sys.stderr,
            "wsgi.url_scheme": "http",
            "wsgi.version": (1, 0),
            "wsgi.multithread": False,
            "wsgi.multiprocess": True,
            "wsgi.run_once": False,
        }
        return b"".join(app(environ, lambda status, headers: None))

    assert json.loads(once()) == json.loads(body)
    return once


def processor_ms(do: Callable[[], object], times: int = 1) -> float:
    """What it takes this thread, not counting the time it waits."""
    start = time.thread_time()
    for _ in range(times):
        do()
    return 1000 * (time.thread_time() - start) / times


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("--rounds", type=int, default=7)
    arguments.add_argument("--only", default="", help="requests whose name or call holds this")
    given = arguments.parse_args()
    requests = {
        name: (call, body_of(body))
        for name, (call, body) in REQUESTS.items()
        if given.only in f"{name} {call}"
    }
    once = echo()
    counts = {
        name: work(lambda call=call, body=body: answer(call, body)) for name, (call, body) in requests.items()
    }
    gc.collect()
    gc.freeze()  # as gunicorn's workers do with what they begin with
    took: dict[str, list[float]] = {name: [] for name in requests}
    echoes = []
    for _ in range(given.rounds):
        for name, (call, body) in requests.items():
            echoes.append(processor_ms(once, ECHOES))
            took[name].append(processor_ms(lambda call=call, body=body: answer(call, body)))
    one = statistics.median(echoes)
    rows = {
        name: {
            "call": call,
            "body_bytes": len(body),
            "ms": statistics.median(took[name]),
            "echoes": statistics.median(took[name]) / one,
            "work": counts[name],
            "of_the_work_allowed": counts[name] / MOST_WORK[call],
        }
        for name, (call, body) in requests.items()
    }
    print(f"an echo: {one:.3f} ms\n\n{'':28}{'call':22}{'ms':>8}{'echoes':>8}{'work':>11}{'allowed':>9}")
    for name, row in sorted(rows.items(), key=lambda item: -item[1]["ms"]):
        print(
            f"{name:28}{row['call']:22}{row['ms']:8.1f}{row['echoes']:8.0f}{row['work']:11}"
            f"{row['of_the_work_allowed']:9.0%}"
        )
    RESULTS.mkdir(exist_ok=True)
    (RESULTS / "heavy.json").write_text(json.dumps({"echo_ms": one, "requests": rows}, indent=1) + "\n")


if __name__ == "__main__":
    main()
