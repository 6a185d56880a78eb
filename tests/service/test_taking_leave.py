"""An early refusal reaches its caller, whatever the caller still sends, and whoever sends slowly delays no one else."""

import http.client
import json
import socket
import threading
import time
import urllib.error
import urllib.request
from types import SimpleNamespace
from urllib.parse import urlsplit

import pytest
import requests
from gunicorn.http.body import Body, LengthReader

from replies import PROBLEM
from running import Service
from scaldloaf.http import connections
from scaldloaf.operations.lantern_quay import TIN_LOAF

BODY = json.dumps({"formula": TIN_LOAF}).encode()
LARGE = b" " * 2_000_000
JSON = "application/json"


def connect(service) -> socket.socket:
    where = urlsplit(service.url)
    return socket.create_connection((where.hostname, where.port), timeout=30)


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
        urllib.request.build_opener(urllib.request.ProxyHandler({})).open(request, timeout=30)
    with refused.value as reply:
        return reply.status, reply.read()


def by_requests(service, session) -> tuple[int, bytes]:
    reply = session.post(
        f"{service.url}/v1/breakdown", data=LARGE, headers={"Content-Type": JSON}, timeout=30
    )
    return reply.status_code, reply.content


def by_socket(service, body: bytes = LARGE) -> tuple[int, bytes]:
    """Sends all before it reads."""
    with connect(service) as connection:
        connection.sendall(head("/v1/breakdown", JSON, f"Content-Length: {len(body)}") + body)
        status, _, body = reply_of(connection)
        return status, body


def test_a_thousand_callers_that_send_too_much_all_read_why(service):
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
    "bulk_of_the_wrong_media_type": ("/v1/bulk", JSON, (), 415),
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


def test_a_worker_of_one_thread_hears_its_callers_out_too():
    with Service(SCALDLOAF_THREADS="1") as service:
        assert {by_socket(service, LARGE * 10)[0] for _ in range(20)} == {413}


def test_a_connection_serves_on_after_a_small_body_that_was_not_read(service):
    with connect(service) as connection:
        for path, status in (
            ("/nowhere", 404),
            ("/v1/breakdown", 200),
            ("/livez", 405),
            ("/v1/breakdown", 200),
        ):
            connection.sendall(head(path, JSON, f"Content-Length: {len(BODY)}") + BODY)
            got, headers, _ = reply_of(connection)
            assert (got, headers["Connection"]) == (status, "keep-alive")


@pytest.mark.parametrize(
    "left, status, closes", [(0, 200, False), (1, 200, True), (65_536, 404, False), (65_537, 404, True)]
)
def test_a_connection_closes_when_more_than_a_little_of_its_body_is_left(left, status, closes):
    """Of an answer that is no refusal, when anything is: of a bulk a thread may be reading it."""
    request = SimpleNamespace(body=Body(LengthReader(None, left)))
    assert connections.is_left_unread(request, status) is closes


def test_a_connection_that_will_close_says_so(service):
    with connect(service) as connection:
        connection.sendall(head("/nowhere", JSON, f"Content-Length: {len(LARGE)}") + LARGE)
        assert reply_of(connection)[1]["Connection"] == "close"
        assert connection.recv(1) == b""


def test_a_body_is_asked_for_only_when_it_is_wanted(service):
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


def test_callers_that_go_on_sending_slowly_hold_no_thread():
    with Service(SCALDLOAF_WORKERS="1", SCALDLOAF_THREADS="2") as service:
        slow = [connect(service) for _ in range(20)]
        try:
            for connection in slow:
                connection.sendall(head("/nowhere", JSON, f"Content-Length: {len(LARGE)}") + b" ")
            for connection in slow:
                assert reply_of(connection)[0] == 404
                connection.sendall(b" ")
            for _ in range(3):
                assert requests.get(f"{service.url}/livez", timeout=5).status_code == 200
        finally:
            for connection in slow:
                connection.close()


def test_callers_that_keep_a_closed_connection_delay_no_one():
    with Service(SCALDLOAF_WORKERS="1") as service:
        kept = [connect(service) for _ in range(20)]
        try:
            for connection in kept:
                connection.sendall(b"GET /livez HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n")
            for connection in kept:
                assert reply_of(connection)[0] == 200
            assert requests.get(f"{service.url}/livez", timeout=5).status_code == 200
        finally:
            for connection in kept:
                connection.close()


def test_what_is_sent_after_an_answer_is_read_for_a_while_only(service):
    """Five seconds without a word end it, however much the caller meant to send."""
    with connect(service) as connection:
        connection.sendall(head("/nowhere", JSON, f"Content-Length: {len(LARGE)}"))
        assert reply_of(connection)[0] == 404
        end = time.monotonic() + 30
        with pytest.raises(ConnectionError):
            while time.monotonic() < end:
                time.sleep(connections.DRAIN_SILENCE_S + 2)
                connection.sendall(b" ")


# Callers who neither send nor read


@pytest.fixture
def pair(monkeypatch):
    """A connection as the worker has it, and its caller's end. It is patient for 0.3 s."""
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
def test_a_silent_caller_is_given_up(pair, wait):
    ours, _ = pair
    failed = []

    def try_it():
        try:
            wait(ours)
        except OSError as error:
            failed.append(type(error))

    thread = threading.Thread(target=try_it, daemon=True)
    thread.start()
    thread.join(30)
    assert failed == [BrokenPipeError]


def test_a_caller_who_sends_is_not_silent_though_it_does_not_read(pair):
    ours, theirs = pair
    came, failed = [], []

    def answer():
        try:
            ours.sendall(bytes(10_000_000))
        except OSError as error:
            failed.append(error)

    def take_in():
        while part := ours.recv(1):
            came.append(part)

    threads = [threading.Thread(target=answer), threading.Thread(target=take_in)]
    for thread in threads:
        thread.start()
    for _ in range(20):
        theirs.sendall(b" ")
        time.sleep(0.05)
    assert not failed
    theirs.shutdown(socket.SHUT_WR)
    left = 10_000_000
    while left:
        left -= len(theirs.recv(1_000_000))
    for thread in threads:
        thread.join()
    assert not failed and len(came) == 20


def test_waiting_with_a_limit_of_its_own_stays_so(pair):
    ours, _ = pair
    ours.settimeout(0.01)
    with pytest.raises(TimeoutError):
        ours.recv(1)
    ours.setblocking(False)
    with pytest.raises(BlockingIOError):
        ours.recv(1)
