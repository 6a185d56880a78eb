"""The service under load and through faults, with real gunicorn and nginx on loopback.

    python tests/benchmarks/faults.py PART ... [--seconds 60]

PART is load, kill, restart, slow, redis, memory, stop, bulk, probes, cut, options, budget, disk, files,
clock, starved, or all of them: all.

Needs nginx, redis-server and wrk (Debian: apt-get install nginx redis-server wrk), and root for disk and
files. Each part is bounded by
--seconds (60; the tests hold short forms of most), prints what it saw and adds it to
results/faults.json beside this file. A part that is not as promised ends the command with status 1.
"""

import argparse
import http.client
import json
import math
import os
import re
import resource
import shutil
import signal
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from contextlib import contextmanager, suppress
from email.utils import parsedate_to_datetime
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "api")]

import requests  # noqa: E402

import heavy  # noqa: E402
from backends import UNLIMITED, Activated, Nginx, Redis  # noqa: E402
from running import TalkingService  # noqa: E402
from scaldloaf.operations.lantern_quay import TIN_LOAF  # noqa: E402

RESULTS = Path(__file__).parent / "results" / "faults.json"
SCALING = {"formula": TIN_LOAF, "target": {"kind": "dough_mass", "mass": 1200}}
BODY = json.dumps(SCALING).encode()
CALL = "/v1/scaling?show=result"
CLIENTS = 32
LINES = 100_000
CALLS = 200_000
SLOW = 200
MEDIA = "application/x-ndjson"

broken: list[str] = []


def expect(true: bool, what: str) -> None:
    if not true:
        broken.append(what)
        print(f"  NOT AS PROMISED: {what}", flush=True)


def address(service) -> str:
    return service.url.removeprefix("http://")


def children(pid: int) -> list[int]:
    try:
        return [int(child) for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]
    except FileNotFoundError:
        return []


def memory_mb(pid: int, field: str = "VmRSS") -> float:
    return int(re.search(rf"^{field}:\s+(\d+)", Path(f"/proc/{pid}/status").read_text(), re.M)[1]) / 1024


def wrk(url: str, seconds: float, clients: int = CLIENTS) -> dict:
    """Calls by so many clients; what failed by kind. A reply cut short counts as ``read``."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "body").write_bytes(BODY)
        script = Path(folder, "post.lua")
        script.write_text(
            f'local file = io.open("{folder}/body", "rb")\nwrk.method = "POST"\n'
            'wrk.body = file:read("*a")\nfile:close()\n'
            'wrk.headers["Content-Type"] = "application/json"\n'
            "done = function(summary, latency, requests)\n  local e = summary.errors\n"
            '  io.write(string.format("RESULT %d %d %d %d %d %d %d %f %f\\n", summary.requests, '
            "summary.duration, "
            "e.status, e.connect, e.read, e.write, e.timeout, "
            "latency:percentile(50), latency:percentile(99)))\nend\n"
        )
        done = subprocess.run(
            [
                "wrk",
                "-t2",
                f"-c{clients}",
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
    figures = list(map(float, re.search(r"RESULT (.*)", done.stdout)[1].split()))
    errors = dict(zip(("status", "connect", "read", "write", "timeout"), map(int, figures[2:7]), strict=True))
    return {
        "requests": int(figures[0]),
        "rate": figures[0] / figures[1] * 1e6,
        "p50_ms": figures[7] / 1000,
        "p99_ms": figures[8] / 1000,
        "failed": sum(errors.values()),
        "errors": errors,
    }


def words(run: dict) -> str:
    failed = {name: count for name, count in run["errors"].items() if count}
    return (
        f"{run['requests']} answered, {run['rate']:.0f}/s, p50 {run['p50_ms']:.1f} ms, "
        f"p99 {run['p99_ms']:.1f} ms, "
        f"failed {run['failed']}" + (f" {failed}" if failed else "")
    )


class Every:
    """Calls something every so many seconds until the block ends."""

    def __init__(self, seconds: float, do):
        self._seconds, self._do, self._end = seconds, do, threading.Event()
        self.count = 0
        self._thread = threading.Thread(target=self._run)

    def _run(self):
        while not self._end.wait(self._seconds):
            if self._do() is not False:
                self.count += 1

    def __enter__(self):
        self._thread.start()
        return self

    def __exit__(self, *_):
        self._end.set()
        self._thread.join()


@contextmanager
def both(**settings):
    with TalkingService(**settings) as service, Nginx(address(service), **UNLIMITED) as nginx:
        yield service, nginx


def load(seconds: float) -> dict:
    found = {}
    with both() as (service, nginx):
        for name, url in (("direct", service.url), ("nginx", nginx.url)):
            found[name] = wrk(url + CALL, seconds)
            print(f"load, {CLIENTS} clients, {name}: {words(found[name])}")
            expect(found[name]["failed"] == 0, f"load {name}: no request fails")
    return found


def kill(seconds: float) -> dict:
    """A worker is killed every second. Without nginx its calls are lost; through nginx none is."""
    found = {}
    for name in ("direct", "nginx"):
        with both() as (service, nginx):

            def end_one():
                alive = children(service.process.pid)
                if len(alive) < 2:
                    return False
                os.kill(alive[0], signal.SIGKILL)
                return True

            with Every(1, end_one) as kills:
                run = wrk((service if name == "direct" else nginx).url + CALL, seconds)
            found[name] = {**run, "kills": kills.count}
            print(f"kill, {kills.count} workers, {name}: {words(run)}")
            if name == "nginx":
                expect(run["failed"] == 0, "kill: nothing is lost through nginx")
                found[name]["nginx_said"] = [
                    line for line in nginx.errors("prematurely closed", "Connection reset", "recv() failed")
                ][:3]
            else:
                # At worst one worker holds the connections of all clients.
                expect(run["failed"] <= kills.count * CLIENTS, "kill: no more is lost than was in flight")
    return found


def restart(seconds: float) -> dict:
    found = {}
    for name in ("direct", "nginx"):
        with both() as (service, nginx):
            with Every(3, lambda: service.process.send_signal(signal.SIGHUP)) as times:
                run = wrk((service if name == "direct" else nginx).url + CALL, seconds)
            found[f"hup, {name}"] = {**run, "restarts": times.count}
            print(f"restart by SIGHUP, {times.count} times, {name}: {words(run)}")
            expect(run["failed"] == 0, f"restart by SIGHUP, {name}: no request fails")
    with Activated() as activated, Nginx(f"127.0.0.1:{activated.port}", **UNLIMITED) as nginx:
        requests.get(f"{nginx.url}/readyz", timeout=30)
        statuses = []

        def again():
            statuses.append(activated.stop_service())
            activated.start_service()

        with Every(4, again) as times:
            run = wrk(nginx.url + CALL, seconds)
        found["socket, nginx"] = {**run, "restarts": times.count}
        print(f"restart of the whole service, the socket stays, {times.count} times, nginx: {words(run)}")
        expect(run["failed"] == 0 and not any(statuses), "restart by socket: no request fails")
    return found


class SlowCallers:
    """Callers that send a byte a second of a call's body."""

    def __init__(self, port: int, count: int):
        head = (
            b"POST /v1/scaling HTTP/1.1\r\nHost: bakery.example\r\nContent-Type: application/json\r\n"
            b"Content-Length: %d\r\n\r\n" % len(BODY)
        )
        self._open = []
        for _ in range(count):
            connection = socket.create_connection(("127.0.0.1", port), timeout=10)
            connection.sendall(head)
            self._open.append(connection)
        self._end = threading.Event()
        self.alive = count
        self._thread = threading.Thread(target=self._send)

    def _send(self):
        position = 0
        while not self._end.wait(1):
            alive = 0
            for connection in self._open:
                with suppress(OSError):
                    connection.sendall(BODY[position : position + 1])
                    alive += 1
            self.alive = alive
            position += 1

    def __enter__(self):
        self._thread.start()
        return self

    def __exit__(self, *_):
        self._end.set()
        self._thread.join()
        for connection in self._open:
            connection.close()


def slow(seconds: float) -> dict:
    """Normal calls with and without slow callers in turn, as a machine's speed drifts."""
    turns = 4
    runs: dict[str, list] = {"alone": [], "beside": []}
    with both() as (_, nginx):
        wrk(nginx.url + CALL, 1, 8)
        for _ in range(turns):
            runs["alone"].append(wrk(nginx.url + CALL, seconds / turns / 2, 8))
            with SlowCallers(nginx.port, SLOW) as callers:
                runs["beside"].append(wrk(nginx.url + CALL, seconds / turns / 2, 8))
                expect(callers.alive == SLOW, "slow: the slow callers are not turned away")
    p99 = {name: statistics.median(run["p99_ms"] for run in each) for name, each in runs.items()}
    failed = sum(run["failed"] for each in runs.values() for run in each)
    print(
        f"slow, {SLOW} callers of a byte a second: p99 alone {p99['alone']:.1f} ms, "
        f"beside them {p99['beside']:.1f} ms "
        f"({p99['beside'] / p99['alone']:.2f}), failed {failed}"
    )
    expect(p99["beside"] <= 2 * p99["alone"] and failed == 0, "slow: p99 within twice, nothing fails")
    return {"p99_ms": p99, "failed": failed}


def redis(seconds: float) -> dict:
    found = {}
    with (
        Redis() as store,
        TalkingService(SCALDLOAF_RATE="10000/second", SCALDLOAF_REDIS_URL=store.url) as service,
    ):
        for name, change in (("there", None), ("gone", store.kill), ("back", store.start)):
            if change:
                change()
                time.sleep(0 if name == "gone" else 6)
            found[name] = wrk(service.url + CALL, seconds / 3, 8)
            found[name]["readyz"] = requests.get(f"{service.url}/readyz", timeout=10).json()["rate_limit"]
            print(f"redis {name}: {words(found[name])}; readyz says {found[name]['readyz']!r}")
            expect(found[name]["failed"] == 0, f"redis {name}: no request fails")
        expect(
            [found[name]["readyz"] for name in found] == ["redis", "memory, as redis is gone", "redis"],
            "redis: readyz says where requests are counted",
        )
        print("  log: " + "; ".join(line for line in service.output().splitlines() if "Redis" in line))
    return found


def memory(seconds: float) -> dict:
    """200,000 calls to one worker, once it has made what it makes once a thread; figures are counted too."""
    with TalkingService(SCALDLOAF_METRICS="on", SCALDLOAF_WORKERS="1") as service:
        (worker,) = children(service.process.pid)
        calls = 0
        while calls < 10_000:
            calls += wrk(service.url + CALL, 3)["requests"]
        before, calls, end = memory_mb(worker), 0, time.monotonic() + seconds * 4
        while calls < CALLS and time.monotonic() < end:
            run = wrk(service.url + CALL, 10)
            expect(run["failed"] == 0, "memory: no request fails")
            calls += run["requests"]
        expect(children(service.process.pid) == [worker], "memory: no worker was replaced")
        grown = memory_mb(worker) - before
    print(f"memory: {calls} calls, {before:.1f} MB before, {grown:+.2f} MB after")
    expect(grown < 1 and calls >= CALLS, "memory: flat over 200,000 calls")
    return {"calls": calls, "before_mb": before, "grown_mb": grown}


def call_and_read(url: str) -> bytes:
    """All that arrives in answer to one call on its own connection, whole or not."""
    head = (
        f"POST {CALL} HTTP/1.1\r\nHost: a\r\nConnection: close\r\nContent-Type: application/json\r\n"
        f"Content-Length: {len(BODY)}\r\n\r\n"
    ).encode()
    received = b""
    with (
        suppress(OSError),
        socket.create_connection(("127.0.0.1", int(url.rpartition(":")[2])), timeout=20) as connection,
    ):
        connection.sendall(head + BODY)
        while part := connection.recv(65536):
            received += part
    return received


def is_whole(received: bytes) -> bool:
    head, end, body = received.partition(b"\r\n\r\n")
    return bool(end) and len(body) == int(re.search(rb"Content-Length: (\d+)", head)[1])


def stop_once(found: dict, lock: threading.Lock) -> None:
    """Stop a service during calls and a bulk, and count in ``found`` how they ended."""

    def ask():
        while not over.is_set():
            received = call_and_read(service.url)
            whole = is_whole(received)
            with lock:
                # If nothing arrived, the call was still in the queue of the socket that closed.
                found["answered" if whole else "cut" if received else "not_taken"] += 1
            if not whole:
                return

    def bulk():
        try:
            reply = requests.post(
                f"{service.url}/v1/bulk?show=result",
                data=lines(3000),
                headers={"Content-Type": MEDIA},
                timeout=60,
            )
            whole = reply.content.count(b"\n") == 3000
        except requests.RequestException:
            whole = False
        with lock:
            found["bulks_whole" if whole else "bulks_cut"] += 1

    with TalkingService() as service:
        over = threading.Event()
        threads = [threading.Thread(target=ask) for _ in range(6)] + [threading.Thread(target=bulk)]
        for thread in threads:
            thread.start()
        time.sleep(0.5)
        service.stop()
        over.set()
        for thread in threads:
            thread.join()


def stop(seconds: float) -> dict:
    """SIGTERM during calls and bulks: those that had begun are finished."""
    found = {"answered": 0, "cut": 0, "not_taken": 0, "bulks_whole": 0, "bulks_cut": 0}
    lock = threading.Lock()
    rounds = max(2, int(seconds / 10))
    for _ in range(rounds):
        stop_once(found, lock)
    print(f"stop, {rounds} times: {found}")
    expect(found["cut"] == found["bulks_cut"] == 0, "stop: what had begun is finished")
    return found


def lines(count: int):
    tail = json.dumps({"call": "scaling", "body": SCALING})[1:]
    for start in range(0, count, 100):
        yield "".join(
            f'{{"id": {number}, {tail}\n' for number in range(start, min(start + 100, count))
        ).encode()


def bulk(seconds: float) -> dict:
    """100,000 lines from a caller that sends all first, with and without nginx, and from one that reads
    while it sends."""
    found = {}
    with both(SCALDLOAF_WORKERS="1") as (service, nginx):
        requests.post(
            f"{service.url}/v1/bulk?show=result",
            data=lines(2000),
            headers={"Content-Type": MEDIA},
            timeout=60,
        )
        (worker,) = children(service.process.pid)
        for name, url in (("direct", service.url), ("nginx", nginx.url)):
            Path(f"/proc/{worker}/clear_refs").write_text("5")  # the peak begins anew
            before, start, seen, first = memory_mb(worker), time.perf_counter(), 0, None
            with requests.post(
                f"{url}/v1/bulk?show=result",
                data=lines(LINES),
                headers={"Content-Type": MEDIA},
                stream=True,
                timeout=300,
            ) as reply:
                for line in reply.iter_lines(chunk_size=65536):
                    first = first or time.perf_counter() - start
                    if not line.startswith(b'{"id":%d,"status":200,' % seen):
                        expect(False, f"bulk {name}: line {seen} is not the answer to its call: {line[:80]}")
                        break
                    seen += 1
            took, peak = time.perf_counter() - start, memory_mb(worker, "VmHWM") - before
            found[name] = {
                "lines": seen,
                "seconds": took,
                "rate": seen / took,
                "first_s": first,
                "grown_mb": peak,
            }
            print(
                f"bulk {name}, sends all first: {seen} lines in {took:.1f} s ({seen / took:.0f}/s), "
                f"first answer after "
                f"{first:.2f} s, worker's peak {peak:+.2f} MB"
            )
            expect(seen == LINES and peak < 10, f"bulk {name}: all lines answered, in less than 10 MB more")
        found["while sending"] = _bulk_both_ways(service, worker)
    with both() as (service, nginx):
        for name, url in (("direct", service.url), ("nginx", nginx.url)):
            found[f"{name}, two workers"] = _bulk_by_two(name, url)
    return found


def _bulk_by_two(name: str, url: str) -> dict:
    """The same where a second process may help."""
    start = time.perf_counter()
    reply = requests.post(
        f"{url}/v1/bulk?show=result", data=lines(LINES), headers={"Content-Type": MEDIA}, timeout=300
    )
    took, seen = time.perf_counter() - start, reply.content.count(b'"status":200,')
    print(f"bulk {name}, two workers: {seen} lines in {took:.1f} s ({seen / took:.0f}/s)")
    expect(seen == LINES, f"bulk {name}, two workers: all lines answered")
    return {"lines": seen, "seconds": took, "rate": seen / took}


def _bulk_both_ways(service, worker: int) -> dict:
    port = int(service.url.rpartition(":")[2])
    before, start = memory_mb(worker), time.perf_counter()
    with socket.create_connection(("127.0.0.1", port), timeout=120) as connection:
        connection.sendall(
            b"POST /v1/bulk?show=result HTTP/1.1\r\nHost: a\r\nConnection: close\r\n"
            b"Content-Type: application/x-ndjson\r\nTransfer-Encoding: chunked\r\n\r\n"
        )
        sent = []

        def send():
            for part in lines(LINES):
                connection.sendall(b"%x\r\n%s\r\n" % (len(part), part))
            sent.append(time.perf_counter() - start)
            connection.sendall(b"0\r\n\r\n")

        sender = threading.Thread(target=send)
        sender.start()
        response = http.client.HTTPResponse(connection)
        response.begin()
        first, seen = None, 0
        while line := response.readline():
            first = first or time.perf_counter() - start
            expect(line.startswith(b'{"id":%d,"status":200,' % seen), f"bulk both ways: line {seen}")
            seen += 1
        sender.join()
    took, peak = time.perf_counter() - start, memory_mb(worker, "VmHWM") - before
    print(
        f"bulk direct, reads while it sends: {seen} lines in {took:.1f} s ({seen / took:.0f}/s), "
        f"first answer after "
        f"{first:.2f} s, last line sent after {sent[0]:.2f} s, worker's peak {peak:+.2f} MB"
    )
    expect(
        seen == LINES and peak < 10 and first < sent[0],
        "bulk both ways: answers begin before the last line is sent",
    )
    return {"lines": seen, "seconds": took, "first_s": first, "sent_s": sent[0], "grown_mb": peak}


class Probing:
    """Sixteen callers of one bulk and a probe every 0.1 s, for some seconds.

    waits: seconds of each probe, infinite for one that failed. statuses: of the bulks. answered: lines.
    """

    def __init__(self, url: str, body: bytes, seconds: float):
        self._url, self._body, self._end = url, body, time.monotonic() + seconds
        self.waits: list[float] = []
        self.statuses: Counter = Counter()
        self.answered = 0
        threads = [threading.Thread(target=self._ask) for _ in range(16)]
        for thread in threads:
            thread.start()
        time.sleep(1)
        while not self._is_over():
            threads.append(threading.Thread(target=self._probe))
            threads[-1].start()
            time.sleep(0.1)
        for thread in threads:
            thread.join()

    def _is_over(self) -> bool:
        return time.monotonic() > self._end

    def _ask(self) -> None:
        while not self._is_over():
            with requests.post(
                f"{self._url}/v1/bulk?show=result",
                data=self._body,
                stream=True,
                timeout=300,
                headers={"Content-Type": MEDIA},
            ) as reply:
                self.statuses[reply.status_code] += 1
                if reply.status_code == 429:
                    time.sleep(1)
                    continue
                for part in reply.iter_content(65536):
                    self.answered += part.count(b"\n")
                    if self._is_over():
                        return

    def _probe(self) -> None:
        start = time.monotonic()
        try:
            good = requests.get(f"{self._url}/livez", timeout=30).status_code == 200
        except requests.RequestException:
            good = False
        self.waits.append(time.monotonic() - start if good else math.inf)


def probes(seconds: float) -> dict:
    """Probes beside twice as many bulks as a worker has threads, of usual lines and of the heaviest."""
    heaviest = b"".join(
        json.dumps({"id": name, "call": call, "body": body}, separators=(",", ":")).encode() + b"\n"
        for name, (call, body) in heavy.REQUESTS.items()
    )
    found = {}
    for name, body in (("usual", b"".join(lines(20_000))), ("heaviest", heaviest * 20)):
        with TalkingService(SCALDLOAF_WORKERS="1") as service:
            run = Probing(service.url, body, seconds / 2)
        found[name] = {
            "probes": len(run.waits),
            "median_ms": statistics.median(run.waits) * 1000,
            "worst_ms": max(run.waits) * 1000,
            "lines_a_second": run.answered / seconds * 2,
            "bulks": dict(run.statuses),
        }
        print(
            "probes beside 16 bulks, {} lines: {probes} probes, median {median_ms:.0f} ms, worst "
            "{worst_ms:.0f} ms, {lines_a_second:.0f} lines/s, bulks by status {bulks}".format(
                name, **found[name]
            )
        )
        expect(
            max(run.waits) < 2 and run.statuses[429],
            f"probes, {name} lines: each is answered in time, and bulks wait",
        )
    return found


def cut(seconds: float) -> dict:
    """The worker is killed or the caller disconnects during a bulk: only whole lines arrive, except for a
    last one without a line end, and nothing is logged."""
    found = {"killed": 0, "reported": 0, "lines": 0, "part_lines": 0}
    with both() as (service, nginx):
        for turn in range(max(4, int(seconds / 10))):
            where = (service, nginx)[turn % 2]
            timer = threading.Timer(
                0.5 + turn % 5 * 0.2,
                lambda: [os.kill(pid, signal.SIGKILL) for pid in children(service.process.pid)],
            )
            received, whole = b"", False
            timer.start()
            with (
                suppress(requests.RequestException),
                requests.post(
                    f"{where.url}/v1/bulk?show=result",
                    data=b"".join(lines(20_000)),
                    stream=True,
                    headers={"Content-Type": MEDIA},
                    timeout=60,
                ) as reply,
            ):
                for part in reply.iter_content(65536):
                    received += part
                whole = reply.status_code == 200
            timer.join()
            found["killed"] += 1
            *complete, rest = received.split(b"\n")
            if whole and not rest and len(complete) == 20_000:
                found["killed"] -= 1  # it was done before
                continue
            found["reported"] += not whole  # the client's library says that the answer was cut
            found["part_lines"] += bool(rest)
            found["lines"] += len(complete) * (received[:1] == b"{" and b'"id":0' in received[:20])
            if b'"status":200' in received[:40]:
                ids = [json.loads(line)["id"] for line in complete]
                expect(ids == list(range(len(ids))), "cut: the lines that came are whole and in order")
            time.sleep(1.5)
        for _ in range(10):
            reply = requests.post(
                f"{service.url}/v1/bulk",
                data=b"".join(lines(5_000)),
                stream=True,
                headers={"Content-Type": MEDIA},
                timeout=60,
            )
            reply.raw.read(1000)
            reply.close()
        time.sleep(1)
        said = service.output()
        expect("Traceback" not in said, "cut: nothing is logged of callers that go")
    print(f"cut: {found}")
    return found


def options(seconds: float) -> dict:
    """What each setting costs: processor time a call, which a busy machine hardly changes, and the rate."""
    rounds = 4
    with Redis() as store:
        kinds = {
            "two workers, one thread each": {"SCALDLOAF_THREADS": "1"},
            "two workers, eight threads each": {},
            "with SCALDLOAF_METRICS=on": {"SCALDLOAF_METRICS": "on"},
            "with SCALDLOAF_LOG=json": {"SCALDLOAF_LOG": "json"},
            "with SCALDLOAF_RATE, in memory": {"SCALDLOAF_RATE": "10000/second"},
            "with SCALDLOAF_RATE, in Redis": {
                "SCALDLOAF_RATE": "10000/second",
                "SCALDLOAF_REDIS_URL": store.url,
            },
        }
        runs: dict[str, list] = {}
        for _ in range(rounds):
            for name, settings in kinds.items():
                with both(**settings) as (service, nginx):
                    wrk(service.url + CALL, 1, 8)
                    fronts = {
                        name: service.url,
                        **({f"{name}, nginx": nginx.url} if name.startswith("two") else {}),
                    }
                    for each, url in fronts.items():
                        workers = children(service.process.pid)
                        before = sum(map(processor_s, workers))
                        run = wrk(url + CALL, seconds / rounds / 8, 8)
                        run["processor_us"] = (
                            (sum(map(processor_s, workers)) - before) / run["requests"] * 1e6
                        )
                        run["memory_mb"] = statistics.mean(map(pss_mb, workers))
                        runs.setdefault(each, []).append(run)
    found = {}
    for name, each in runs.items():
        found[name] = {
            what: statistics.median(run[what] for run in each)
            for what in ("rate", "p99_ms", "processor_us", "memory_mb")
        }
        print(
            "{:40} {processor_us:6.0f} us of processor a call, {rate:6.0f}/s, p99 {p99_ms:6.1f} ms, "
            "{memory_mb:.1f} MB a worker".format(name, **found[name])
        )
    return found


def processor_s(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def spent_s(pid: int) -> float:
    """Processor time of a process; 0 if it has gone."""
    with suppress(FileNotFoundError):
        return processor_s(pid)
    return 0


def pss_mb(pid: int) -> float:
    return int(re.search(r"^Pss:\s+(\d+)", Path(f"/proc/{pid}/smaps_rollup").read_text(), re.M)[1]) / 1024


class Endless:
    """A bulk that never ends: ``piece`` is sent again and again until the connection closes."""

    def __init__(self, url: str, piece: bytes):
        self.sent, self.last, self.took = 0, b"", 0.0
        begun = time.monotonic()
        port = int(url.rpartition(":")[2])
        with socket.create_connection(("127.0.0.1", port), timeout=120) as connection:
            connection.sendall(
                b"POST /v1/bulk?show=result HTTP/1.1\r\nHost: a\r\nConnection: close\r\n"
                b"Content-Type: application/x-ndjson\r\nTransfer-Encoding: chunked\r\n\r\n"
            )
            sender = threading.Thread(target=self._send, args=(connection, piece))
            sender.start()
            response = http.client.HTTPResponse(connection)
            response.begin()
            self.status = response.status
            with suppress(OSError, http.client.HTTPException):
                while line := response.readline():
                    self.last = line
            with suppress(OSError):
                connection.shutdown(socket.SHUT_RDWR)
            sender.join()
        self.took = time.monotonic() - begun

    def _send(self, connection: socket.socket, piece: bytes) -> None:
        with suppress(OSError):
            while True:
                connection.sendall(b"%x\r\n%s\r\n" % (len(piece), piece))
                self.sent += len(piece)

    @property
    def reason(self) -> str:
        return json.loads(self.last)["body"]["errors"][0]["code"]


def waits_of(ask, seconds: float, every: float = 0.1) -> list[float]:
    """Seconds of each of the calls of ``ask``, begun so often; infinite for one that failed."""
    found: list[float] = []

    def once():
        start = time.monotonic()
        try:
            good = ask().status_code == 200
        except requests.RequestException:
            good = False
        found.append(time.monotonic() - start if good else math.inf)

    threads, end = [], time.monotonic() + seconds
    while time.monotonic() < end:
        threads.append(threading.Thread(target=once))
        threads[-1].start()
        time.sleep(every)
    for thread in threads:
        thread.join()
    return found


def in_ms(waits: list[float]) -> dict:
    return {
        "asked": len(waits),
        "failed": waits.count(math.inf),
        "median_ms": statistics.median(waits) * 1000,
        "worst_ms": max(waits) * 1000,
    }


def light(url: str) -> requests.Response:
    return requests.post(url + CALL, data=BODY, headers={"Content-Type": "application/json"}, timeout=60)


def budget(seconds: float) -> dict:
    """Callers that send endless work: each bulk ends at its budget, and other calls are answered."""
    limit = max(2, int(seconds / 10))
    pieces = {
        "lines": b"".join(lines(100)),
        "blank lines": b"\n" * 65536,
        "lines that can't be read": b"x\n" * 100,
        "one line": b"x" * 65536,
    }
    ends = {
        "lines": "budget_spent",
        "blank lines": "budget_spent",
        "lines that can't be read": "unreadable_lines",
        "one line": "unreadable_lines",
    }
    found = {}
    for name, piece in pieces.items():
        with TalkingService(SCALDLOAF_WORKERS="1", SCALDLOAF_MAX_BULK_SECONDS=str(limit)) as service:
            (worker,) = children(service.process.pid)
            light(service.url)
            before, spent = memory_mb(worker), processor_s(worker)
            runs: list[Endless] = []

            def send(piece: bytes = piece, runs: list = runs) -> None:
                runs.append(Endless(service.url, piece))

            callers = [threading.Thread(target=send) for _ in range(4)]
            for caller in callers:
                caller.start()
            waits = waits_of(lambda: light(service.url), limit)
            for caller in callers:
                caller.join()
            spent = processor_s(worker) - spent
            free = light(service.url).status_code == 200 and Endless(service.url, b"x\n" * 100).status == 200
            found[name] = {
                "bulks": len(runs),
                "processor_s": spent,
                "longest_s": max(run.took for run in runs),
                "sent_mb": sum(run.sent for run in runs) / 1e6,
                "grown_mb": memory_mb(worker) - before,
                "calls": in_ms(waits),
            }
            print(
                f"budget of {limit} s, 4 bulks of endless {name}: {spent:.1f} s of processor in all, longest "
                f"{found[name]['longest_s']:.1f} s, {found[name]['sent_mb']:.0f} MB taken, worker "
                f"{found[name]['grown_mb']:+.1f} MB; calls beside them: {found[name]['calls']}"
            )
            expect(
                len(runs) == 4 and {run.reason for run in runs} == {ends[name]},
                f"budget, {name}: each bulk ends and says why",
            )
            # Beside the budget, a bulk's other thread reads its body, and the calls beside it are computed.
            expect(spent < 4 * limit * 2.5 + 2, f"budget, {name}: the budget holds")
            expect(free, f"budget, {name}: the places are free again")
            expect(found[name]["calls"]["failed"] == 0, f"budget, {name}: other calls are answered")
            expect(children(service.process.pid) == [worker], f"budget, {name}: no worker was replaced")
    return found


@contextmanager
def small_disk(megabytes: int):
    """A folder on a file system of its own, of this size. Needs root."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(
            ["mount", "-t", "tmpfs", "-o", f"size={megabytes}m", "tmpfs", folder],
            check=True,
            capture_output=True,
        )
        try:
            yield Path(folder)
        finally:
            subprocess.run(["umount", folder], check=True)


def disk(seconds: float) -> dict:
    """A full disk below TMPDIR, in turn with a limit of a file's size: bulks end and say so, calls go on."""
    found = {}
    body = b"".join(lines(20_000))
    with small_disk(8) as folder, TalkingService(SCALDLOAF_WORKERS="1", TMPDIR=str(folder)) as service:
        (worker,) = children(service.process.pid)
        for name in ("full disk", "limit of a file"):
            if name == "limit of a file":
                resource.prlimit(worker, resource.RLIMIT_FSIZE, (4 << 20, 4 << 20))
            ends: Counter = Counter()

            def send(behind_proxy: bool, ends: Counter = ends) -> None:
                headers = {
                    "Content-Type": MEDIA,
                    **({"X-Forwarded-For": "192.0.2.1"} if behind_proxy else {}),
                }
                with requests.post(
                    f"{service.url}/v1/bulk?show=result", data=body, headers=headers, timeout=120
                ) as reply:
                    whole = reply.status_code == 200 and reply.content.count(b"\n") == 20_000
                    last = json.loads(reply.content.splitlines()[-1])
                ends["answered" if whole else f"status {last['status']}"] += 1

            threads = [threading.Thread(target=send, args=(turn % 2 == 0,)) for turn in range(4)]
            for thread in threads:
                thread.start()
            waits = waits_of(lambda: light(service.url), seconds / 6)
            for thread in threads:
                thread.join()
            room = shutil.disk_usage(folder)
            small = requests.post(
                f"{service.url}/v1/bulk?show=result",
                data=b"".join(lines(500)),
                headers={"Content-Type": MEDIA},
                timeout=60,
            )
            found[name] = {"bulks": dict(ends), "calls": in_ms(waits), "left_bytes": room.used}
            print(f"disk, {name}: bulks {dict(ends)}, calls beside them {found[name]['calls']}")
            expect(set(ends) <= {"answered", "status 500"}, f"disk, {name}: each bulk says how it ended")
            expect(ends["status 500"] > 0, f"disk, {name}: the disk was full")
            expect(found[name]["calls"]["failed"] == 0, f"disk, {name}: other calls are answered")
            expect(room.used == 0, f"disk, {name}: nothing is left on it")
            expect(small.content.count(b'"status":200') == 500, f"disk, {name}: a small bulk is answered")
        expect(children(service.process.pid) == [worker], "disk: no worker was replaced")
    return found


def files(seconds: float) -> dict:
    """More callers than a worker may have files: those that are connected are served, and the rest wait."""
    silent = 300
    with TalkingService() as service:
        for pid in (service.process.pid, *children(service.process.pid)):
            resource.prlimit(pid, resource.RLIMIT_NOFILE, (128, 128))
        service.process.send_signal(signal.SIGHUP)  # workers that begin with that limit
        time.sleep(3)
        workers = children(service.process.pid)
        port, opened = int(service.url.rpartition(":")[2]), []
        try:
            for _ in range(silent):
                opened.append(socket.create_connection(("127.0.0.1", port), timeout=10))
            before, begun = sum(map(spent_s, workers)), time.monotonic()
            waits = waits_of(lambda: light(service.url), seconds / 3, 0.2)
            idle = (sum(map(spent_s, workers)) - before) / (time.monotonic() - begun)
        finally:
            for connection in opened:
                connection.close()
        run = wrk(service.url + CALL, seconds / 3)
        same = children(service.process.pid) == workers
        said = service.output()
    found = {"calls": in_ms(waits), "processor": idle, "after": run}
    print(
        f"files, {silent} silent callers and 2 workers of 128 files: calls beside them {found['calls']}, "
        f"{idle:.2f} of a core; afterwards {words(run)}"
    )
    expect(same and "Traceback" not in said, "files: no worker fails")
    expect(found["calls"]["failed"] == 0 and run["failed"] == 0, "files: every call is answered")
    expect(found["processor"] < 0.5, "files: waiting for room takes no processor")
    return found


# Python runs sitecustomize at its start. A library that fakes the clock of a whole process can't be used:
# the one that Debian has makes Python's time.sleep fail.
SET_CLOCK = """
import time
from pathlib import Path

real, shift = time.time, Path({shift!r})
time.time = lambda: real() + float(shift.read_text())
time.time_ns = lambda: int(time.time() * 1e9)
"""
HOUR_S = 3600


def clock(seconds: float) -> dict:
    """The service's clock is set under load; its monotonic clock goes on, as a machine's does."""
    found = {}
    with tempfile.TemporaryDirectory() as folder:
        wall = Path(folder, "wall")

        def set_by(shift_s: float) -> None:
            wall.with_suffix(".new").write_text(f"{shift_s:+.0f}\n")
            wall.with_suffix(".new").replace(wall)

        set_by(0)
        Path(folder, "sitecustomize.py").write_text(SET_CLOCK.format(shift=str(wall)))
        fake = {"PYTHONPATH": folder}
        with (
            TalkingService(**fake, SCALDLOAF_RATE="10000/second", SCALDLOAF_METRICS="on") as service,
            TalkingService(**fake, SCALDLOAF_RATE="3/minute", SCALDLOAF_WORKERS="1") as limited,
        ):
            workers = children(service.process.pid)
            for _ in range(3):
                light(limited.url)
            shifts = (3 * HOUR_S, -3 * HOUR_S, 20 * 365 * 24 * HOUR_S, 0)
            for shift in shifts:
                bulk_said: list[bytes] = []

                def send(bulk_said: list[bytes] = bulk_said) -> None:
                    bulk_said.append(
                        requests.post(
                            f"{service.url}/v1/bulk?show=result",
                            data=b"".join(lines(5000)),
                            headers={"Content-Type": MEDIA},
                            timeout=120,
                        ).content
                    )

                # A connection that is kept alive over the jump.
                kept = http.client.HTTPConnection(
                    "127.0.0.1", int(service.url.rpartition(":")[2]), timeout=30
                )
                kept.request("GET", "/livez")
                kept.getresponse().read()
                sender = threading.Thread(target=send)
                sender.start()
                jump = threading.Timer(seconds / 16, set_by, (shift,))
                jump.start()
                run = wrk(service.url + CALL, max(2, seconds / 8), 8)
                sender.join()
                jump.join()
                # A worker answers callers by the second, so the idle connection is closed by now.
                time.sleep(7)
                kept.sock.settimeout(1)
                try:
                    closed = kept.sock.recv(1) == b""
                except TimeoutError:
                    closed = False
                kept.close()
                reply = requests.get(f"{service.url}/livez", timeout=30)
                shown = parsedate_to_datetime(reply.headers["Date"]).timestamp() - time.time() - shift
                refused = light(limited.url)
                found[f"{shift:+d} s"] = run
                print(
                    f"clock {shift:+d} s: {words(run)}; Date is off by {shown:.0f} s; a spent limit says "
                    f"{refused.status_code}, Retry-After {refused.headers.get('Retry-After')}"
                )
                expect(run["failed"] == 0, f"clock {shift:+d} s: no request fails")
                expect(abs(shown) < 5, f"clock {shift:+d} s: the clock was set")
                expect(closed, f"clock {shift:+d} s: an idle connection is closed in time")
                expect(bulk_said[0].count(b'"status":200') == 5000, f"clock {shift:+d} s: a bulk goes on")
                wait = int(refused.headers.get("Retry-After", 0))
                expect(
                    refused.status_code == 200 or 0 < wait <= 60,
                    f"clock {shift:+d} s: nobody waits longer than the limit's minute",
                )
            expect(children(service.process.pid) == workers, "clock: no worker was replaced")
    return found


class Busy:
    """Callers that send the heaviest requests as fast as they are answered, until the block ends."""

    def __init__(self, url: str, count: int):
        self._end, self.answered, self._lock = threading.Event(), Counter(), threading.Lock()
        bodies = [(call, json.dumps(body).encode()) for call, body in heavy.REQUESTS.values()]
        self._threads = [
            threading.Thread(
                target=self._ask, args=(url, bodies[at % len(bodies) :] + bodies[: at % len(bodies)])
            )
            for at in range(count)
        ]

    def _ask(self, url: str, bodies: list) -> None:
        with requests.Session() as session:
            while not self._end.is_set():
                for call, body in bodies:
                    reply = session.post(
                        f"{url}/v1/{call}",
                        data=body,
                        headers={"Content-Type": "application/json"},
                        timeout=300,
                    )
                    with self._lock:
                        self.answered[reply.status_code] += 1
                    if self._end.is_set():
                        return

    def __enter__(self):
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_):
        self._end.set()
        for thread in self._threads:
            thread.join()


def starved(seconds: float) -> dict:
    """Probes while every thread computes a heavy call and as many wait, and beside silent callers."""
    found = {}

    def measure(name: str, url: str) -> None:
        found[name] = {
            path: in_ms(waits_of(lambda path=path: requests.get(url + path, timeout=60), seconds / 8, 0.2))
            for path in ("/livez", "/readyz")
        }
        print(f"starved, {name}: " + ", ".join(f"{path} {figures}" for path, figures in found[name].items()))

    with both() as (service, nginx):
        for name, url in (("direct", service.url), ("nginx", nginx.url)):
            with Busy(url, 2 * 2 * 8) as busy:
                time.sleep(2)
                measure(f"32 heavy callers, {name}", url)
            found[f"32 heavy callers, {name}"]["answers"] = dict(busy.answered)
            expect(500 not in busy.answered, f"starved, {name}: heavy calls get no 500")
        port, opened = int(service.url.rpartition(":")[2]), []
        try:
            for _ in range(500):
                opened.append(socket.create_connection(("127.0.0.1", port), timeout=10))
            measure("500 silent callers, direct", service.url)
        finally:
            for connection in opened:
                connection.close()
    for name, figures in found.items():
        for path in ("/livez", "/readyz"):
            expect(
                figures[path]["worst_ms"] < 5000,
                f"starved, {name}: {path} is answered within the 5 s of the liveness probe",
            )
    return found


PARTS = {
    part.__name__: part
    for part in (
        load,
        kill,
        restart,
        slow,
        redis,
        memory,
        stop,
        bulk,
        probes,
        cut,
        options,
        budget,
        disk,
        files,
        clock,
        starved,
    )
}


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("part", nargs="+", choices=[*PARTS, "all"])
    arguments.add_argument("--seconds", type=float, default=60)
    given = arguments.parse_args()
    if not shutil.which("wrk"):
        sys.exit("wrk is needed: apt-get install wrk")
    RESULTS.parent.mkdir(exist_ok=True)
    for name in PARTS if "all" in given.part else given.part:
        found = PARTS[name](given.seconds)
        kept = json.loads(RESULTS.read_text()) if RESULTS.exists() else {}
        RESULTS.write_text(json.dumps({**kept, name: {"seconds": given.seconds, **found}}, indent=1) + "\n")
    if broken:
        sys.exit("Not as promised: " + "; ".join(broken))


if __name__ == "__main__":
    main()
