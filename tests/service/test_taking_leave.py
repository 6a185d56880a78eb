"""An early refusal reaches its caller even while the caller sends, and a slow caller delays no one else."""

import http.client
import json
import select
import socket
import threading
import time
import urllib.error
import urllib.request
from collections import Counter
from contextlib import suppress
from pathlib import Path
from types import SimpleNamespace
from urllib.parse import urlsplit

import pytest
import requests
from gunicorn.http.body import Body, LengthReader

from replies import PROBLEM
from running import Service, until
from scaldloaf.http import connections
from scaldloaf.operations.lantern_quay import TIN_LOAF

BODY = json.dumps({"formula": TIN_LOAF}).encode()
LARGE = b" " * 2_000_000
JSON = "application/json"
PATIENCE_S = 120


def connect(service) -> socket.socket:
    where = urlsplit(service.url)
    return socket.create_connection((where.hostname, where.port), timeout=PATIENCE_S)


def head(path: str = "/v1/breakdown", media: str = JSON, *more: str) -> bytes:
    return "\r\n".join(
        [f"POST {path} HTTP/1.1", "Host: bakery.example", f"Content-Type: {media}", *more, "", ""]
    ).encode()


def reply_of(connection: socket.socket) -> tuple[int, http.client.HTTPMessage, bytes]:
    response = http.client.HTTPResponse(connection)
    response.begin()
    with response:
        return response.status, response.headers, response.read()


def by_urllib(service) -> tuple[int, bytes]:
    request = urllib.request.Request(f"{service.url}/v1/breakdown", LARGE, {"Content-Type": JSON})
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.build_opener(urllib.request.ProxyHandler({})).open(request, timeout=PATIENCE_S)
    with refused.value as reply:
        return reply.status, reply.read()


def by_requests(service, session) -> tuple[int, bytes]:
    reply = session.post(
        f"{service.url}/v1/breakdown", data=LARGE, headers={"Content-Type": JSON}, timeout=PATIENCE_S
    )
    return reply.status_code, reply.content


def by_socket(service, body: bytes = LARGE) -> tuple[int, bytes]:
    """Sends all before it reads."""
    with connect(service) as connection:
        connection.sendall(head("/v1/breakdown", JSON, f"Content-Length: {len(body)}") + body)
        status, _, body = reply_of(connection)
        return status, body


def test_a_thousand_callers_that_send_too_much_all_read_the_refusal(service):
    with requests.Session() as session:
        session.trust_env = False
        for _ in range(334):
            for status, body in (by_urllib(service), by_requests(service, session), by_socket(service)):
                assert (status, json.loads(body)["errors"][0]["code"]) == (413, "too_large")


# Refused before their body is read: path, media type, more headers, status.
EARLY = {
    "too_large": ("/v1/breakdown", JSON, (), 413),
    "nowhere": ("/nowhere", JSON, (), 404),
    "wrong_method": ("/livez", JSON, (), 405),
    "wrong_media_type": ("/v1/breakdown", "text/plain", (), 415),
    "bulk_of_the_wrong_media_type": ("/v1/bulk", "text/plain", (), 415),
    "wrong_query": ("/v1/breakdown?show=all", JSON, (), 422),
    "not_acceptable": ("/v1/breakdown", JSON, ("Accept: image/png",), 406),
    "unreadable_head": ("/v1/breakdown", JSON, ("X: a\0b",), 400),
}


@pytest.mark.parametrize("chunked", [False, True], ids=["length", "chunks"])
@pytest.mark.parametrize("path, media, more, status", EARLY.values(), ids=EARLY)
def test_every_early_refusal_is_read_by_a_caller_that_sends_first(
    service, contract, path, media, more, status, chunked
):
    if chunked:
        framing, body = "Transfer-Encoding: chunked", b"%x\r\n%s\r\n0\r\n\r\n" % (len(LARGE), LARGE)
    else:
        framing, body = f"Content-Length: {len(LARGE)}", LARGE
    for _ in range(5):
        with connect(service) as connection:
            connection.sendall(head(path, media, *more, framing) + body)
            got, headers, problem = reply_of(connection)
        assert (got, headers["Content-Type"]) == (status, PROBLEM)
        contract.check("POST", "", 400, PROBLEM, problem)


def test_a_limited_caller_reads_that_it_is():
    with Service(SCALDLOAF_RATE="1/hour", SCALDLOAF_WORKERS="1") as service:
        statuses = [by_socket(service)[0] for _ in range(5)]
    assert statuses == [413, 429, 429, 429, 429]


def test_a_worker_with_one_thread_drains_connections_too():
    with Service(SCALDLOAF_THREADS="1") as service:
        assert {by_socket(service, LARGE * 10)[0] for _ in range(20)} == {413}


def test_a_connection_stays_open_after_a_small_unread_body(service):
    with connect(service) as connection:
        for path, status in (
            ("/nowhere", 404),
            ("/v1/breakdown", 200),
            ("/livez", 405),
            ("/v1/breakdown", 200),
        ):
            connection.sendall(head(path, JSON, f"Content-Length: {len(BODY)}") + BODY)
            got, headers, _ = reply_of(connection)
            assert got == status and "Connection" not in headers  # it stays open, as HTTP/1.1 means


@pytest.mark.parametrize(
    "left, status, closes", [(0, 200, False), (1, 200, True), (65_536, 404, False), (65_537, 404, True)]
)
def test_a_connection_closes_when_more_than_a_little_of_its_body_is_left(left, status, closes):
    """After a success, if anything is left: a bulk's thread may still be reading it."""
    request = SimpleNamespace(body=Body(LengthReader(None, left)))
    assert connections.is_left_unread(request, status) is closes


def test_a_connection_that_will_close_says_so(service):
    with connect(service) as connection:
        connection.sendall(head("/nowhere", JSON, f"Content-Length: {len(LARGE)}") + LARGE)
        assert reply_of(connection)[1]["Connection"] == "close"
        assert connection.recv(1) == b""


def test_100_continue_is_sent_only_when_the_body_is_read(service):
    expecting = ("Expect: 100-continue", f"Content-Length: {len(BODY)}")
    with connect(service) as connection:
        connection.sendall(head("/v1/breakdown", JSON, *expecting))
        assert connection.recv(100) == b"HTTP/1.1 100 Continue\r\n\r\n"
        connection.sendall(BODY)
        assert reply_of(connection)[0] == 200
        connection.sendall(head("/nowhere", JSON, *expecting))  # the same connection
        answer = connection.recv(100)
        assert answer.startswith(b"HTTP/1.1 404 ")
        while part := connection.recv(65536):
            answer += part
        # Whether the body follows now is not known, so another call needs another connection.
        assert b"\r\nConnection: close\r\n" in answer and b"100 Continue" not in answer


def test_callers_that_keep_sending_slowly_block_no_thread():
    with Service(SCALDLOAF_WORKERS="1", SCALDLOAF_THREADS="2") as service:
        slow = [connect(service) for _ in range(20)]
        try:
            for connection in slow:
                connection.sendall(head("/nowhere", JSON, f"Content-Length: {len(LARGE)}") + b" ")
            for connection in slow:
                assert reply_of(connection)[0] == 404
                connection.sendall(b" ")
            for _ in range(3):
                assert requests.get(f"{service.url}/livez", timeout=PATIENCE_S).status_code == 200
        finally:
            for connection in slow:
                connection.close()


def trickled(connection: socket.socket) -> bytes:
    """What comes back to a caller that sends a byte now and then and never ends."""
    with suppress(OSError):  # the service has closed
        while not select.select([connection], [], [], 0.05)[0]:
            connection.sendall(b" ")
    came = b""
    with suppress(OSError):
        while part := connection.recv(65536):
            came += part
    return came


@pytest.mark.parametrize("threads", ["1", "2"])  # gunicorn has a worker of another kind for one thread
def test_callers_that_send_a_byte_at_a_time_hold_no_thread(contract, threads):
    settings = {"SCALDLOAF_WORKERS": "1", "SCALDLOAF_THREADS": threads, "SCALDLOAF_READ_SECONDS": "1"}
    long, chunks = "Content-Length: 60000", "Transfer-Encoding: chunked"
    with Service(**settings) as service:
        for framing, begin in ((long, b" "), (chunks, b"f000\r\n")):
            slow = [connect(service) for _ in range(3)]
            for connection in slow:
                connection.sendall(head("/v1/breakdown", JSON, framing) + begin)
            for connection in slow:
                with connection:
                    answer = trickled(connection)
                parts, _, body = answer.partition(b"\r\n\r\n")
                assert parts.startswith(b"HTTP/1.1 408 ") and b"\r\nConnection: close" in parts
                (error,) = json.loads(body)["errors"]
                assert (error["code"], error["values"]) == ("too_slow", {"seconds": 1, "kilobytes": 64})
                contract.check("POST", "/v1/breakdown", 408, PROBLEM, body)
        with connect(service) as connection:  # in its head there is nobody yet to answer
            connection.sendall(head()[:-4])
            assert trickled(connection) == b""
        # A bulk may take its time, and so may an idle connection.
        with connect(service) as kept, connect(service) as connection:
            if threads != "1":
                kept.sendall(b"GET /livez HTTP/1.1\r\nHost: a\r\n\r\n")
                assert reply_of(kept)[0] == 200
            line = json.dumps({"call": "breakdown", "body": {"formula": TIN_LOAF}}).encode() + b"\n"
            media = "application/x-ndjson" + ("; charset=utf-8" if threads == "1" else "")
            connection.sendall(head("/v1/bulk", media, f"Content-Length: {5 * len(line)}"))
            for _ in range(5):
                time.sleep(0.5)
                connection.sendall(line)
            status, _, body = reply_of(connection)
            assert (status, body.count(b'"status":200')) == (200, 5)
            if threads != "1":
                kept.sendall(b"GET /livez HTTP/1.1\r\nHost: a\r\n\r\n")
                assert reply_of(kept)[0] == 200


def test_callers_that_keep_a_closed_connection_delay_no_call():
    with Service(SCALDLOAF_WORKERS="1") as service:
        kept = [connect(service) for _ in range(20)]
        try:
            for connection in kept:
                connection.sendall(b"GET /livez HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n")
            for connection in kept:
                assert reply_of(connection)[0] == 200
            assert requests.get(f"{service.url}/livez", timeout=PATIENCE_S).status_code == 200
        finally:
            for connection in kept:
                connection.close()


def test_a_drain_ends_after_silence(service):
    """Five seconds of silence end the drain, although part of the body is missing."""
    with connect(service) as connection:
        connection.sendall(head("/nowhere", JSON, f"Content-Length: {len(LARGE)}"))
        assert reply_of(connection)[0] == 404
        until(lambda: not is_open_at_service(connection), seconds=connections.DRAIN_S - 5)
        connection.sendall(b" ")
        with pytest.raises(ConnectionError):
            connection.recv(1)
            connection.sendall(b" ")


def is_open_at_service(connection: socket.socket) -> bool:
    """Whether the service has not closed its end yet: the kernel then shows an inode for it.

    While others connect and leave, the kernel may list a connection twice.
    """
    ends = f"{_as_in_proc(connection.getpeername())} {_as_in_proc(connection.getsockname())}"
    rows = [row.split() for row in Path("/proc/net/tcp").read_text().splitlines() if ends in row]
    return any(row[9] != "0" for row in rows)


def _as_in_proc(address: tuple[str, int]) -> str:
    host, port = address
    return f"{socket.inet_aton(host)[::-1].hex().upper()}:{port:04X}"


# Callers who neither send nor read


@pytest.fixture
def pair(monkeypatch):
    """A worker's connection with a timeout of 0.3 s, and its caller's end."""
    monkeypatch.setattr(connections, "SILENCE_S", 0.3)
    monkeypatch.setattr(connections, "SILENCE_STEP_S", 0.05)
    ours, theirs = socket.socketpair()
    with connections.Caller.of(ours) as ours, theirs:
        yield ours, theirs


@pytest.mark.parametrize(
    "wait",
    [lambda ours: ours.recv(1), lambda ours: ours.sendall(bytes(10_000_000))],
    ids=["for_what_it_sends", "for_it_to_read"],
)
def test_a_silent_caller_is_disconnected(pair, wait):
    ours, _ = pair
    failed = []

    def try_it():
        try:
            wait(ours)
        except OSError as error:
            failed.append(type(error))

    thread = threading.Thread(target=try_it, daemon=True)
    thread.start()
    thread.join(PATIENCE_S)
    assert failed == [BrokenPipeError]


class Clock:
    """Takes the place of ``time``: it moves when a test says so, and counts who looks at it."""

    def __init__(self):
        self.now, self.looks = 0.0, Counter()

    def monotonic(self) -> float:
        self.looks[threading.current_thread()] += 1
        return self.now


def test_a_caller_that_sends_without_reading_is_not_silent(pair, monkeypatch):
    ours, theirs = pair
    clock = Clock()
    monkeypatch.setattr(connections, "time", clock)
    came, failed = [], []

    def answer():
        try:
            ours.sendall(bytes(10_000_000))
        except OSError as error:
            failed.append(error)

    def take_in():
        while part := ours.recv(1):
            came.append(part)

    threads = sender, _ = [threading.Thread(target=answer), threading.Thread(target=take_in)]
    for thread in threads:
        thread.start()
    for count in range(1, 6):
        theirs.sendall(b" ")
        until(lambda sent=count: len(came) == sent)
        clock.now += connections.SILENCE_S * 0.8
        until(lambda seen=clock.looks[sender]: clock.looks[sender] > seen or failed)
    assert not failed
    theirs.shutdown(socket.SHUT_WR)
    left = 10_000_000
    while left:
        left -= len(theirs.recv(1_000_000))
    for thread in threads:
        thread.join()
    assert not failed and len(came) == 5


def test_a_connections_own_timeout_is_kept(pair):
    ours, _ = pair
    ours.settimeout(0.01)
    with pytest.raises(TimeoutError):
        ours.recv(1)
    ours.setblocking(False)
    with pytest.raises(BlockingIOError):
        ours.recv(1)
