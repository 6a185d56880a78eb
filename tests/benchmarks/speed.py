"""How fast the service is, as ratios to a bare Flask JSON echo of the same body in the same run.

    python tests/benchmarks/speed.py [--seconds 5] [--rounds 3]

Needs wrk (Debian: apt-get install wrk). Two sync workers each, wrk with 8 connections on loopback, rounds
interleaved so that a machine whose speed drifts treats all alike. Also: one bulk of 100,000 lines, alone;
cost in process by stage, time to the first 200 (of a start with its bytecode written, as every start but the
first), memory, growth with the lines of a formula. Prints tables,
writes results/speed.json beside this file; it never passes or fails by time.
"""

import argparse
import http.client
import json
import os
import re
import shutil
import signal
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
import timeit
import urllib.request
from compileall import compile_dir
from contextlib import contextmanager, suppress
from pathlib import Path
from urllib.parse import urlsplit

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "api"))

from scaldloaf.dough.formula import break_down  # noqa: E402
from scaldloaf.dough.scaling import Scale, Target, scale_to, weigh_out  # noqa: E402
from scaldloaf.http.reading import read_json, write_json  # noqa: E402
from scaldloaf.operations.context import Context  # noqa: E402
from scaldloaf.operations.lantern_quay import TIN_LOAF  # noqa: E402
from scaldloaf.operations.perform import GATES, perform  # noqa: E402
from scaldloaf.operations.registry import BY_NAME  # noqa: E402
from scaldloaf.operations.wire.formulas import read_formula, write_formula  # noqa: E402
from scaldloaf.units import units_of  # noqa: E402

RESULTS = Path(__file__).parent / "results"
WORKERS, CONNECTIONS = 2, 8
BULK_LINES = 1000
ECHO = """
from flask import Flask, jsonify, request

app = Flask("echo")


@app.post("/echo")
def echo():
    return jsonify(request.get_json())
"""
SCALING = {"formula": TIN_LOAF, "target": {"kind": "dough_mass", "mass": 1200}}


def free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return listener.getsockname()[1]


def children(pid: int) -> list[int]:
    return [int(child) for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def session(leader: int) -> list[int]:
    """All processes of a service, which leads a session."""
    found = []
    for status in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            if int(status.read_text().rpartition(") ")[2].split()[3]) == leader:
                found.append(int(status.parent.name))
    return found


def pss_mb(pid: int) -> float:
    return int(re.search(r"^Pss:\s+(\d+)", Path(f"/proc/{pid}/smaps_rollup").read_text(), re.M)[1]) / 1024


@contextmanager
def serving(app: str, *more: str, folder: Path = ROOT, config: bool = False):
    """gunicorn with two sync workers; gives (base URL, process, seconds to the first answer)."""
    port = free_port()
    environment = {
        **os.environ,
        "PYTHONPATH": f"{ROOT / 'api'}:{folder}",
        "BIND": f"127.0.0.1:{port}",
        "SCALDLOAF_WORKERS": str(WORKERS),
        "SCALDLOAF_THREADS": "1",
        "MALLOC_MMAP_THRESHOLD_": "131072",  # as deploy/serve, the image and the service unit set it
    }
    command = [sys.executable, "-m", "gunicorn", *more]
    command += (
        ["--config", "deploy/gunicorn.conf.py"]
        if config
        else [
            app,
            "--bind",
            f"127.0.0.1:{port}",
            "--workers",
            str(WORKERS),
            "--preload",
            "--log-level",
            "error",
            "--worker-tmp-dir",
            "/dev/shm",
        ]
    )
    started = time.perf_counter()
    process = subprocess.Popen(
        command, cwd=ROOT, env=environment, stdout=subprocess.DEVNULL, start_new_session=True
    )
    try:
        base = f"http://127.0.0.1:{port}"
        while True:
            try:
                with suppress(urllib.error.HTTPError):
                    urllib.request.urlopen(f"{base}/livez", timeout=5)
            except OSError:
                if process.poll() is not None:
                    raise SystemExit("gunicorn did not start") from None
                time.sleep(0.002)
                continue
            break
        yield base, process, time.perf_counter() - started
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(30)


def wrk(url: str, body: bytes, media: str, seconds: float) -> dict:
    """One run of wrk: requests a second, median and 99th percentile in ms; a failed request ends it."""
    with tempfile.TemporaryDirectory() as folder:
        sent, script = Path(folder, "body"), Path(folder, "post.lua")
        sent.write_bytes(body)
        script.write_text(
            f'local file = io.open("{sent}", "rb")\n'
            'wrk.method = "POST"\nwrk.body = file:read("*a")\nfile:close()\n'
            f'wrk.headers["Content-Type"] = "{media}"\n'
            "done = function(summary, latency, requests)\n"
            '  io.write(string.format("RESULT %d %d %d %f %f\\n", summary.requests, summary.duration, '
            "summary.errors.status + summary.errors.timeout, latency:percentile(50), "
            "latency:percentile(99)))\nend\n"
        )
        done = subprocess.run(
            [
                "wrk",
                "-t2",
                f"-c{CONNECTIONS}",
                f"-d{max(1, round(seconds))}s",
                "--timeout",
                "30s",
                "-s",
                str(script),
                url,
            ],
            capture_output=True,
            text=True,
            check=True,
        )
    requests, duration, errors, median, worst = map(float, re.search(r"RESULT (.*)", done.stdout)[1].split())
    if errors or not requests:
        raise SystemExit(f"{url}: {errors:g} failed requests\n{done.stdout}")
    return {"rate": requests / duration * 1e6, "p50_ms": median / 1000, "p99_ms": worst / 1000}


def one_stream_s(base: str, lines: int = 100_000) -> float:
    """Seconds until the last answer to one bulk of so many scalings, each to a mass of its own."""
    sent = b"".join(
        json.dumps(
            {
                "id": number,
                "call": "scaling",
                "body": {**SCALING, "target": {**SCALING["target"], "mass": 900 + number % 700}},
            }
        ).encode()
        + b"\n"
        for number in range(lines)
    )
    address = urlsplit(base)
    started = time.perf_counter()
    with socket.create_connection((address.hostname, address.port)) as connection:
        head = f"POST /v1/bulk?show=result HTTP/1.1\r\nHost: a\r\nContent-Length: {len(sent)}\r\n"
        head += "Content-Type: application/x-ndjson\r\n\r\n"
        sending = threading.Thread(target=connection.sendall, args=(head.encode() + sent,))
        sending.start()
        response = http.client.HTTPResponse(connection)
        response.begin()
        answered = 0
        while part := response.read1(1 << 20):
            answered += part.count(b"\n")
        sending.join()
    if answered != lines:
        raise SystemExit(f"one stream: {answered} answers to {lines} lines")
    return time.perf_counter() - started


def loads() -> dict[str, tuple[str, bytes, str]]:
    """What is measured: name -> path, body, media type."""
    body = json.dumps(SCALING).encode()
    found = {
        "breakdown, result": (
            "/v1/breakdown?show=result",
            json.dumps({"formula": TIN_LOAF}).encode(),
            "application/json",
        ),
        "scaling, result": ("/v1/scaling?show=result", body, "application/json"),
        "scaling, working": ("/v1/scaling", body, "application/json"),
        f"bulk, {BULK_LINES} scalings": (
            "/v1/bulk?show=result",
            b"".join(
                json.dumps({"id": number, "call": "scaling", "body": SCALING}).encode() + b"\n"
                for number in range(BULK_LINES)
            ),
            "application/x-ndjson",
        ),
    }
    if "loaf-plan" in BY_NAME:
        found["loaf-plan, result"] = (
            "/v1/loaf-plan?show=result",
            json.dumps(BY_NAME["loaf-plan"].examples[0].body).encode(),
            "application/json",
        )
    return found


def over_http(seconds: float, rounds: int) -> dict:
    body = json.dumps(SCALING).encode()
    compile_dir(ROOT / "api", quiet=1)
    runs: dict[str, list[dict]] = {}
    ready, memory, wholes, streams = [], [], [], []
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "echo_app.py").write_text(ECHO)
        for _ in range(rounds):
            with serving("echo_app:app", folder=Path(folder)) as (base, _process, _ready):
                wrk(f"{base}/echo", body, "application/json", 1)
                runs.setdefault("echo", []).append(wrk(f"{base}/echo", body, "application/json", seconds))
            with serving("", config=True) as (base, process, first):
                ready.append(first)
                for name, (path, sent, media) in loads().items():
                    wrk(base + path, sent, media, 1)
                    runs.setdefault(name, []).append(wrk(base + path, sent, media, seconds))
                memory += [pss_mb(child) for child in children(process.pid)]
                wholes.append(sum(map(pss_mb, session(process.pid))))
                streams.append(one_stream_s(base))
    table = {
        name: {key: statistics.median(run[key] for run in each) for key in each[0]}
        for name, each in runs.items()
    }
    for row in table.values():
        row["rate_to_echo"] = row["rate"] / table["echo"]["rate"]
        row["p99_to_echo"] = row["p99_ms"] / table["echo"]["p99_ms"]
    bulk = table[f"bulk, {BULK_LINES} scalings"]
    bulk["items_to_single"] = bulk["rate"] * BULK_LINES / table["scaling, result"]["rate"]
    return {
        "rates": table,
        "one_stream_s": statistics.median(streams),
        "ready_s": statistics.median(ready),
        "pss_mb_a_worker": statistics.median(memory),
        "pss_mb": statistics.median(wholes),
    }


def microseconds(function) -> float:
    """The best of several timings, microseconds a call."""
    timer = timeit.Timer(function)
    count, took = timer.autorange()
    return min([took, *timer.repeat(4, count)]) / count * 1e6


def formula_of(lines: int) -> dict:
    """The tin loaf with its butter line parted so that the formula has so many lines."""
    kept = [line for line in TIN_LOAF["lines"] if line["ingredient"] != "butter"][: max(lines - 1, 1)]
    rest = max(lines - len(kept), 0)
    return {"lines": kept + [{"ingredient": "butter", "mass": 30 / rest}] * rest} if rest else {"lines": kept}


def in_process() -> dict:
    call, brief = Context(units_of(), True), Context(units_of(), False)
    body = json.dumps(SCALING).encode()
    request, operation = read_json(body), BY_NAME["scaling"]
    formula = read_formula(TIN_LOAF, call)
    stages = {
        "read": lambda: read_json(body),
        "check": lambda: GATES["scaling"].is_valid(request),
        "convert": lambda: read_formula(request["formula"], call),
        "compute": lambda: scale_to(formula, Target("dough_mass", mass_g=1200)),
        "write the formula": lambda: write_formula(formula, call),
        "reply, result": lambda: operation.answer(request, brief),
        "reply, working": lambda: operation.answer(request, call),
        "write JSON": (lambda reply: lambda: write_json(reply))(perform(operation, request)),
    }
    dough = {
        "break_down": lambda: break_down(formula),
        "scale_to a dough mass": lambda: scale_to(formula, Target("dough_mass", mass_g=1200)),
        "weigh_out on two scales": lambda: weigh_out(formula.lines, Scale(1.0, 0.1)),
    }
    plan = BY_NAME["loaf-plan"].examples[0].body
    parts = perform(BY_NAME["loaf-plan"], plan, False)["requests"]
    plans = {
        "loaf-plan": lambda: perform(BY_NAME["loaf-plan"], plan, False),
        "its calls, one by one": lambda: [
            perform(BY_NAME[name.replace("_", "-")], part, False) for name, part in parts.items()
        ],
    }
    growth = {}
    for lines in (1, 2, 4, 8, 16, 32, 64):
        grown = {**SCALING, "formula": formula_of(lines)}
        growth[lines] = microseconds(lambda grown=grown: perform(operation, grown, False))
    return {
        "stages_us": {name: microseconds(function) for name, function in stages.items()},
        "dough_us": {name: microseconds(function) for name, function in dough.items()},
        "plan_us": {name: microseconds(function) for name, function in plans.items()},
        "lines_us": growth,
    }


def show(results: dict) -> None:
    print(f"{'':24}{'requests/s':>12}{'to echo':>9}{'p50 ms':>9}{'p99 ms':>9}{'p99 to echo':>13}")
    for name, row in results["http"]["rates"].items():
        print(
            f"{name:24}{row['rate']:12.0f}{row['rate_to_echo']:9.2f}{row['p50_ms']:9.2f}{row['p99_ms']:9.2f}"
            f"{row['p99_to_echo']:13.2f}"
        )
    bulk = results["http"]["rates"][f"bulk, {BULK_LINES} scalings"]
    print(f"\nbulk answers {bulk['items_to_single']:.1f} times as many scalings a second as single calls")
    print(f"one bulk of 100,000 scalings: {results['http']['one_stream_s']:.1f} s")
    print(
        f"start to the first 200: {results['http']['ready_s']:.3f} s; "
        f"memory a worker (PSS): {results['http']['pss_mb_a_worker']:.1f} MB, "
        f"of all processes: {results['http']['pss_mb']:.1f} MB\n"
    )
    for part, unit in (
        ("stages_us", "scaling by stage"),
        ("dough_us", "dough functions, ten lines"),
        ("lines_us", "scaling at show=result, by lines"),
    ):
        print(f"{unit}, microseconds")
        for name, value in results["process"][part].items():
            print(f"  {name!s:24}{value:9.1f}")


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("--seconds", type=float, default=5)
    arguments.add_argument("--rounds", type=int, default=3)
    given = arguments.parse_args()
    if not shutil.which("wrk"):
        sys.exit("wrk is needed: apt-get install wrk")
    results = {"process": in_process(), "http": over_http(given.seconds, given.rounds)}
    show(results)
    RESULTS.mkdir(exist_ok=True)
    (RESULTS / "speed.json").write_text(json.dumps(results, indent=1) + "\n")


if __name__ == "__main__":
    main()
