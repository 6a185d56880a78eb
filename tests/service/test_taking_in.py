"""How connections begin: callers that say nothing take up no thread, and probes wait for no other call."""

import json
import resource
import socket
from contextlib import ExitStack
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import requests

from running import TalkingService
from scaldloaf.http import connections
from scaldloaf.operations.lantern_quay import TIN_LOAF

BODY = json.dumps({"formula": TIN_LOAF}).encode()
HEAD = (
    b"POST /v1/breakdown HTTP/1.1\r\nHost: bakery.example\r\nContent-Type: application/json\r\n"
    b"Content-Length: %d\r\nConnection: close\r\n\r\n" % len(BODY)
)
PATIENCE_S = 120


def connect(service) -> socket.socket:
    where = urlsplit(service.url)
    return socket.create_connection((where.hostname, where.port), timeout=PATIENCE_S)


def worker(service) -> int:
    return int(Path(f"/proc/{service.process.pid}/task/{service.process.pid}/children").read_text())


def call(service) -> int:
    return requests.post(
        f"{service.url}/v1/breakdown", json={"formula": TIN_LOAF}, timeout=PATIENCE_S
    ).status_code


def is_open(connection: socket.socket) -> bool:
    connection.setblocking(False)
    try:
        return connection.recv(1) != b""
    except BlockingIOError:
        return True


@pytest.fixture(scope="module")
def service():
    """A worker of two threads. It keeps the silent for longer than usual, for the sake of slow machines."""
    with TalkingService(
        SCALDLOAF_WORKERS="1", SCALDLOAF_THREADS="2", GUNICORN_CMD_ARGS="--keep-alive 60"
    ) as running:
        yield running


def test_silent_callers_take_up_no_thread(service):
    with ExitStack() as opened:
        silent = [opened.enter_context(connect(service)) for _ in range(40)]
        assert call(service) == 200
        assert all(map(is_open, silent))  # so the call waited for none of them
        silent[0].setblocking(True)
        silent[0].sendall(HEAD + BODY)
        assert silent[0].recv(100).startswith(b"HTTP/1.1 200")


def test_probes_are_answered_while_all_threads_are_taken(service):
    with ExitStack() as opened:
        slow = [opened.enter_context(connect(service)) for _ in range(2)]
        for caller in slow:
            caller.sendall(HEAD + BODY[:10])
        for path in ("/livez", "/readyz"):
            with requests.Session() as session:
                for _ in range(3):  # the first on a new connection, the others on one that is kept alive
                    assert session.get(service.url + path, timeout=PATIENCE_S).status_code == 200
        for caller in slow:  # neither was given up for a probe's sake
            caller.sendall(BODY[10:])
            assert caller.recv(100).startswith(b"HTTP/1.1 200")


def test_a_worker_without_a_free_file_serves_those_that_are_connected(service):
    with connect(service) as connected, ExitStack() as opened:
        connected.sendall(HEAD + BODY[:10])
        before = worker(service)
        limits = resource.prlimit(before, resource.RLIMIT_NOFILE)
        taken = len(list(Path(f"/proc/{before}/fd").iterdir()))
        resource.prlimit(before, resource.RLIMIT_NOFILE, (taken + 8, limits[1]))
        try:
            for _ in range(30):
                opened.enter_context(connect(service))
            connected.sendall(BODY[10:])
            assert connected.recv(100).startswith(b"HTTP/1.1 200")
            opened.close()
            assert call(service) == 200 and worker(service) == before
        finally:
            resource.prlimit(before, resource.RLIMIT_NOFILE, limits)
    assert "Traceback" not in service.output()


@pytest.mark.parametrize(
    "soft, hard, room, raised",
    [
        (1024, 4096, 1000, 1096),
        (1024, 1024, 928, 1024),
        (4096, 4096, 1000, None),
        (100, 100, 8, 100),
        (1024, -1, 1000, 1096),
        (-1, -1, 1000, None),
    ],
)
def test_a_worker_takes_no_more_connections_than_it_may_have_files(monkeypatch, soft, hard, room, raised):
    set_to = []
    monkeypatch.setattr(resource, "getrlimit", lambda _: (soft, hard))
    monkeypatch.setattr(resource, "setrlimit", lambda _, limits: set_to.append(limits))
    assert connections.room_for(1000, 8) == room
    assert set_to == ([] if raised is None else [(raised, hard)])


@pytest.mark.parametrize(
    "arrived, probe",
    [
        (b"GET /livez HTTP/1.1\r\nHost: a\r\n\r\n", True),
        (b"GET /readyz HTTP/1.0\r\n\r\n", True),
        (b"GET /livez HTTP/1.1\r\nHost: a\r\n", False),  # the rest may never come
        (b"GET /livez HTTP/1.1\r\nContent-Length: 5\r\n\r\n", False),  # nor the body
        (b"GET /livez HTTP/1.1\r\nTRANSFER-ENCODING: chunked\r\n\r\n", False),
        (b"GET /livezz HTTP/1.1\r\n\r\n", False),
        (b"POST /v1/scaling HTTP/1.1\r\n\r\n", False),
        (b"", False),
    ],
)
def test_only_whole_requests_without_a_body_pass_for_probes(arrived, probe):
    assert connections.is_probe(arrived) is probe
