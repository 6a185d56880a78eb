"""The service under load and through faults, with real gunicorn and nginx on loopback.

    python tests/benchmarks/faults.py PART ... [--seconds 60]

PART is load, kill, restart, slow, redis, memory, stop, bulk, probes, cut, options, or all of them: all.

Needs nginx, redis-server and wrk (Debian: apt-get install nginx redis-server wrk). Each part is bounded by
--seconds (60; the tests hold short forms of most), prints what it saw and adds it to
results/faults.json beside this file. A part that is not as promised ends the command with status 1.
"""

import argparse
import http.client
import json
import math
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
from collections import Counter
from contextlib import contextmanager, suppress
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
    return found


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


def pss_mb(pid: int) -> float:
    return int(re.search(r"^Pss:\s+(\d+)", Path(f"/proc/{pid}/smaps_rollup").read_text(), re.M)[1]) / 1024


PARTS = {
    part.__name__: part
    for part in (load, kill, restart, slow, redis, memory, stop, bulk, probes, cut, options)
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
