"""/readyz says when a load balancer should send its calls elsewhere."""

import json
import signal
import socket
from contextlib import ExitStack
from urllib.parse import urlsplit

import requests
from flask.testing import FlaskClient

from replies import assert_problem
from running import Service, until
from scaldloaf.http import create_app, readiness
from scaldloaf.http.readiness import FULL_S
from scaldloaf.operations.lantern_quay import TIN_LOAF

BODY = json.dumps({"formula": TIN_LOAF}).encode()


def ask(service, path: str = "/readyz") -> requests.Response:
    return requests.get(service.url + path, timeout=120)


def test_a_service_that_is_told_to_stop_says_so_and_still_answers():
    with Service(SCALDLOAF_DRAIN_SECONDS="3600", SCALDLOAF_WORKERS="2") as service:
        service.process.send_signal(signal.SIGHUP)  # new workers are no end of the service
        assert ask(service).status_code == 200
        service.process.send_signal(signal.SIGTERM)
        refused = until(lambda: ask(service), lambda reply: reply.status_code != 200)
        assert assert_problem(refused, 503, "", "stopping") and int(refused.headers["Retry-After"]) > 0
        assert "Retry-After" in refused.headers["Access-Control-Expose-Headers"]
        reply = requests.post(
            f"{service.url}/v1/breakdown", BODY, headers={"Content-Type": "application/json"}, timeout=120
        )
        assert reply.status_code == ask(service, "/livez").status_code == 200
        service.assert_stops_cleanly(signal.SIGINT)  # without waiting the hour


def test_a_process_whose_calls_wait_long_for_a_thread_says_so():
    head = "\r\n".join(
        (
            "POST /v1/breakdown HTTP/1.1",
            "Host: a",
            "Content-Type: application/json",
            f"Content-Length: {len(BODY)}",
            "",
            "",
        )
    ).encode()
    with Service(SCALDLOAF_WORKERS="1", SCALDLOAF_THREADS="2", SCALDLOAF_READ_SECONDS="600") as service:
        where = urlsplit(service.url)
        with ExitStack() as ending:
            # Two hold the threads, one waits for them.
            held = [
                ending.enter_context(socket.create_connection((where.hostname, where.port), timeout=120))
                for _ in range(3)
            ]
            for connection in held:
                connection.sendall(head + BODY[:1])
            refused = until(lambda: ask(service), lambda reply: reply.status_code != 200)
            assert assert_problem(refused, 503, "", "full") and int(refused.headers["Retry-After"]) > 0
            assert ask(service, "/livez").status_code == 200
            for connection in held:
                connection.sendall(BODY[1:])
            assert all(connection.recv(15) == b"HTTP/1.1 200 OK" for connection in held)
        assert until(lambda: ask(service), lambda reply: reply.status_code == 200)


def test_a_short_wait_for_a_thread_is_usual(monkeypatch):
    client = FlaskClient(create_app())
    for seconds, status in ((0.0, 200), (FULL_S / 2, 200), (FULL_S, 503)):
        monkeypatch.setattr(readiness, "longest_wait_s", lambda seconds=seconds: seconds)
        assert client.get("/readyz").status_code == status
        assert client.get("/livez").status_code == 200
