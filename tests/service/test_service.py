"""The real service over loopback: every call, and HTTP as real clients use it."""

import http.client
import json
import re
import signal
import socket
import time
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from replies import PROBLEM, read_reply
from running import Service, until
from scaldloaf.operations.facts import FACTS
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.registry import OPERATIONS

BODY = json.dumps({"formula": TIN_LOAF}).encode()
EXAMPLES = [(operation, example) for operation in OPERATIONS for example in operation.examples]
LARGEST = 64 * 1024
HEAD = (
    b"POST /v1/breakdown HTTP/1.1\r\nHost: bakery.example\r\nConnection: close\r\n"
    b"Content-Type: application/json\r\n"
)


def connect(service) -> socket.socket:
    where = urlsplit(service.url)
    return socket.create_connection((where.hostname, where.port), timeout=120)


def waiting(service) -> int:
    """How many connections no worker has accepted yet, from the kernel."""
    port = urlsplit(service.url).port
    return sum(
        int(queue.split(":")[1], 16)
        for _, local, _, state, queue, *_ in map(
            str.split, Path("/proc/net/tcp").read_text().splitlines()[1:]
        )
        if state == "0A" and int(local.split(":")[1], 16) == port
    )


def answer(connection: socket.socket) -> tuple[int, dict[str, str], bytes]:
    """Status, headers and body of the answer on a connection."""
    response = http.client.HTTPResponse(connection)
    response.begin()
    with response:
        return response.status, dict(response.getheaders()), response.read()


def raw(service, request: bytes) -> tuple[int, dict[str, str], bytes]:
    with connect(service) as connection:
        connection.sendall(request)
        return answer(connection)


def chunked(*chunks: bytes) -> bytes:
    return (
        b"Transfer-Encoding: chunked\r\n\r\n"
        + b"".join(b"%x\r\n%s\r\n" % (len(chunk), chunk) for chunk in chunks)
        + b"0\r\n\r\n"
    )


@pytest.mark.parametrize("operation, example", EXAMPLES, ids=lambda value: value.name)
def test_every_example_over_the_wire(service, session, operation, example):
    response = session.post(service.url + operation.path, json=example.body)
    assert response.status_code == 200, response.text
    assert response.headers["Cache-Control"] == "no-store"
    assert read_reply(response.content)["working"]


@pytest.mark.parametrize("path", [facts.path for facts in FACTS] + ["/openapi.json"])
def test_facts_are_cached_by_etag_and_compressed(service, session, path):
    whole = session.get(service.url + path, headers={"Accept-Encoding": "gzip"})
    assert whole.status_code == 200
    assert whole.headers["Content-Encoding"] == "gzip" and whole.headers["Vary"] == "Accept-Encoding"
    etag = whole.headers["ETag"]
    assert not etag.startswith("W/")
    again = session.get(service.url + path, headers={"Accept-Encoding": "gzip", "If-None-Match": etag})
    assert (again.status_code, again.content, again.headers["ETag"]) == (304, b"", etag)
    plain = session.get(service.url + path, headers={"Accept-Encoding": "identity"})
    assert plain.content == whole.content and plain.headers["ETag"] != etag


@pytest.mark.parametrize("path", ["/", "/livez", "/readyz", "/v1/units", "/openapi.json"])
def test_head_is_get_without_its_body(service, session, path):
    get, head = session.get(service.url + path), session.head(service.url + path)
    assert head.status_code == get.status_code == 200
    assert head.content == b"" and get.content
    for name in ("Content-Type", "ETag", "Cache-Control", "Content-Security-Policy"):
        assert head.headers.get(name) == get.headers.get(name)


def test_another_site_may_ask_first(service, session):
    response = session.options(
        service.url + "/v1/breakdown",
        headers={
            "Origin": "https://recipes.example",
            "Access-Control-Request-Method": "POST",
            "Access-Control-Request-Headers": "content-type",
        },
    )
    assert response.status_code == 200 and response.content == b""
    assert response.headers["Access-Control-Allow-Origin"] == "*"
    assert "POST" in response.headers["Access-Control-Allow-Methods"]
    assert response.headers["Access-Control-Allow-Headers"].lower().startswith("content-type, ")
    assert "Access-Control-Allow-Credentials" not in response.headers


@pytest.mark.parametrize("path", ["/", "/v1/units", "/livez", "/nowhere", "/problems/not-json"])
def test_headers_that_keep_a_browser_safe(service, session, path):
    headers = session.get(service.url + path).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    policy = headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy and "frame-ancestors 'none'" in policy and "unsafe" not in policy
    assert "Set-Cookie" not in headers


def test_a_connection_carries_many_calls(service):
    where = urlsplit(service.url)
    connection = http.client.HTTPConnection(where.hostname, where.port, timeout=120)
    ports = set()
    for _ in range(5):
        connection.request("POST", "/v1/breakdown", BODY, {"Content-Type": "application/json"})
        ports.add(connection.sock.getsockname())
        response = connection.getresponse()
        assert response.status == 200 and json.loads(response.read())
    connection.close()
    assert len(ports) == 1


def test_idle_connections_delay_no_call(service):
    def is_held(connection: socket.socket) -> bool:
        connection.setblocking(False)
        try:
            return connection.recv(1) != b""
        except BlockingIOError:
            return True

    def answered_while_all_are_held() -> bool:
        idle = [connect(service) for _ in range(6)]
        try:
            assert raw(service, b"GET /livez HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n")[0] == 200
            return all(map(is_held, idle))
        finally:
            for connection in idle:
                connection.close()

    until(answered_while_all_are_held)  # again where the machine was so busy that they were dropped meanwhile


def test_a_body_in_chunks_is_a_body(service):
    status, _, body = raw(service, HEAD + chunked(BODY[:7], BODY[7:]))
    assert status == 200 and json.loads(body)["scalded_share_percent"] == 20


def test_a_body_up_to_the_limit_is_read_and_one_byte_more_is_not(service, session, assert_problem):
    fits, over = (BODY + b" " * (length - len(BODY)) for length in (LARGEST, LARGEST + 1))
    send = {"url": f"{service.url}/v1/breakdown", "headers": {"Content-Type": "application/json"}}
    assert session.post(data=fits, **send).status_code == 200
    assert assert_problem(session.post(data=over, **send), 413, "", "too_large")["nearest"] == LARGEST
    # The same without a declared length, and with an impossible one.
    assert raw(service, HEAD + chunked(fits[:40_000], fits[40_000:]))[0] == 200
    assert raw(service, HEAD + chunked(over[:40_000], over[40_000:]))[0] == 413
    assert raw(service, HEAD + b"Content-Length: " + b"9" * 30 + b"\r\n\r\n{}")[0] == 413


UNREADABLE = {
    "no_http": (b"hello there\r\n\r\n", 400),
    "small_method": (b"get /livez HTTP/1.1\r\nHost: a\r\n\r\n", 400),
    "long_line": (b"GET /" + b"a" * 9000 + b" HTTP/1.1\r\nHost: a\r\n\r\n", 414),
    "many_fields": (b"GET /livez HTTP/1.1\r\n" + b"X: 1\r\n" * 90 + b"\r\n", 431),
    "long_field": (b"GET /livez HTTP/1.1\r\nX: " + b"a" * 20_000 + b"\r\n\r\n", 431),
    "nul_in_field": (b"GET /livez HTTP/1.1\r\nX: a\0b\r\n\r\n", 400),
    "length_in_words": (HEAD + b"Content-Length: ten\r\n\r\n" + BODY, 400),
    "negative_length": (HEAD + b"Content-Length: -1\r\n\r\n" + BODY, 400),
    "two_lengths": (HEAD + b"Content-Length: 5\r\nContent-Length: 6\r\n\r\n" + BODY, 400),
    "length_and_chunks": (HEAD + b"Content-Length: 5\r\n" + chunked(BODY), 400),
    "unknown_coding": (HEAD + b"Transfer-Encoding: gzip\r\n\r\n", 400),
    "chunk_without_size": (HEAD + b"Transfer-Encoding: chunked\r\n\r\nzz\r\n" + BODY, 400),
    "unknown_expectation": (HEAD + b"Expect: wonders\r\nContent-Length: 2\r\n\r\n{}", 417),
    "no_body": (HEAD + b"\r\n", 400),
    "unknown_method": (b"KNEAD /livez HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n", 405),
    "path_of_stray_bytes": (b"GET /%ff%zz HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n", 404),
}


@pytest.mark.parametrize("request_bytes, status", UNREADABLE.values(), ids=UNREADABLE)
def test_an_unreadable_request_gets_a_problem(service, contract, request_bytes, status):
    got, headers, body = raw(service, request_bytes)
    assert (got, headers["Content-Type"]) == (status, PROBLEM)
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert read_reply(body)["status"] == status
    contract.check("POST", "", status, PROBLEM, body)


@pytest.mark.parametrize("header", [b"SCRIPT_NAME: /kitchen", b"SCRIPT_NAME: /v1", b"PATH_INFO: /nowhere"])
def test_no_header_sets_the_path_of_the_service(service, header):
    got, _, body = raw(service, HEAD + header + b"\r\nContent-Length: %d\r\n\r\n" % len(BODY) + BODY)
    assert got == 200 and read_reply(body)["scalded_share_percent"] == 20


def test_a_caller_that_disconnects_halfway_does_no_harm(service, session):
    for _ in range(5):
        with connect(service) as connection:
            connection.sendall(HEAD + b"Content-Length: %d\r\n\r\n" % len(BODY) + BODY[:50])
    assert session.get(f"{service.url}/readyz").status_code == 200


def test_stopping_waits_for_a_call_that_is_being_sent():
    with Service(SCALDLOAF_WORKERS="1") as service, connect(service) as connection:
        connection.sendall(HEAD + b"Content-Length: %d\r\n\r\n" % len(BODY) + BODY[:50])
        until(lambda: waiting(service), lambda count: count == 0)
        time.sleep(0.3)  # to be read as far as it goes, mostly; it is taken in any case
        service.process.send_signal(signal.SIGTERM)
        time.sleep(0.3)
        connection.sendall(BODY[50:])
        status, _, body = answer(connection)
        assert status == 200 and json.loads(body)["scalded_share_percent"] == 20


def test_a_reload_does_not_grow_memory():
    def renewed() -> int:
        """The main process's private memory in kB, once new workers have taken over."""
        before = set(children.read_text().split())
        service.process.send_signal(signal.SIGHUP)
        until(lambda: set(children.read_text().split()), lambda now: len(now) == 1 and not now & before)
        return int(re.search(r"RssAnon:\s+(\d+)", (process / "status").read_text())[1])

    with Service(SCALDLOAF_WORKERS="1") as service:
        process = Path(f"/proc/{service.process.pid}")
        children = process / "task" / process.name / "children"
        settled = [renewed() for _ in range(12)][3]
        assert renewed() - settled < 200


def test_nothing_a_caller_sends_is_printed(session):
    words = "midnight-rye"
    with Service() as service:
        breakdown = f"{service.url}/v1/breakdown"
        assert session.post(breakdown, json={"formula": {**TIN_LOAF, "name": words}}).status_code == 200
        assert session.post(breakdown, json={words: words}).status_code == 422
        assert session.get(f"{service.url}/{words}?{words}={words}").status_code == 404
        raw(service, b"GET /%b HTTP/1.1\r\n%b: a\0b\r\n\r\n" % (words.encode(), words.encode()))
        raw(service, words.encode() + b"\r\n\r\n")
        assert words not in service.output()
