"""bulk over real connections: callers that read late, disconnect, or send malformed chunks."""

import http.client
import json
import re
import socket
import threading
import time
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from replies import PROBLEM
from running import Service, until
from scaldloaf.http.backlog import HELD_BYTES
from scaldloaf.http.bulk import MEDIA
from scaldloaf.operations.lantern_quay import TIN_LOAF

HEAD = (
    b"POST /v1/bulk?show=result HTTP/1.1\r\nHost: bakery.example\r\n"
    b"Content-Type: application/x-ndjson\r\nTransfer-Encoding: chunked\r\n"
)
PROXIED = {"X-Forwarded-For": "192.0.2.7"}
LINES_A_CHUNK = 25


def line(number: int) -> bytes:
    return json.dumps({"id": number, "call": "breakdown", "body": {"formula": TIN_LOAF}}).encode() + b"\n"


def parts(count: int, pad: bytes = b""):
    for start in range(0, count, LINES_A_CHUNK):
        yield pad.join(line(number) for number in range(start, min(start + LINES_A_CHUNK, count)))


def chunk(content: bytes) -> bytes:
    return b"%x\r\n%s\r\n" % (len(content), content)


def numbers(reply: bytes) -> list:
    """The ids of whole lines, each of status 200."""
    assert reply.endswith(b"\n")
    answers = [json.loads(each) for each in reply.splitlines()]
    assert {answer["status"] for answer in answers} == {200}
    return [answer["id"] for answer in answers]


def connect(service) -> socket.socket:
    where = urlsplit(service.url)
    return socket.create_connection((where.hostname, where.port), timeout=120)


def reply_of(connection: socket.socket) -> http.client.HTTPResponse:
    response = http.client.HTTPResponse(connection)
    response.begin()
    return response


@pytest.mark.parametrize("headers", [{}, PROXIED], ids=["direct", "proxied"])
def test_a_caller_may_send_everything_before_it_reads(service, session, headers):
    count = 12_000  # more than the connection holds on its own, either way
    reply = session.post(
        f"{service.url}/v1/bulk?show=result",
        data=parts(count),
        timeout=60,
        headers={"Content-Type": MEDIA, **headers},
    )
    assert reply.status_code == 200
    assert numbers(reply.content) == list(range(count))


def test_answers_begin_before_the_last_line_is_sent(service):
    with connect(service) as connection:
        connection.sendall(HEAD + b"\r\n" + b"".join(map(chunk, parts(100))))
        response = reply_of(connection)
        first = response.readline()
        assert json.loads(first)["id"] == 0
        connection.sendall(chunk(line(100)) + b"0\r\n\r\n")
        assert numbers(first + response.read()) == list(range(101))


def test_a_body_that_is_cut_off_is_answered_as_far_as_it_arrived(service):
    for ending in (b"zz\r\n", b'400\r\n{"id": 50, '):
        with connect(service) as connection:
            connection.sendall(HEAD + b"\r\n" + b"".join(map(chunk, parts(100))) + ending)
            connection.shutdown(socket.SHUT_WR)
            *answers, last = map(json.loads, reply_of(connection).read().splitlines())
        assert [answer["id"] for answer in answers] == list(range(100))
        assert last["id"] is None and last["status"] == last["body"]["status"] == 400
        assert [error["code"] for error in last["body"]["errors"]] == ["broken_off"]


# Few enough lines to be read before the answers begin, and more than that.
@pytest.mark.parametrize("count", [3, HELD_BYTES // 200])
def test_a_body_shorter_than_declared_is_cut_off(service, count):
    lines = b"".join(parts(count))
    with connect(service) as connection:
        connection.sendall(
            HEAD.replace(b"Transfer-Encoding: chunked", b"Content-Length: %d" % (len(lines) + 100))
            + b"\r\n"
            + lines
            + b'{"id": 5, "call": "br'
        )
        connection.shutdown(socket.SHUT_WR)
        response = reply_of(connection)
        *answers, last = map(json.loads, response.read().splitlines())
    if response.status == 200:
        assert [answer["id"] for answer in answers] == list(range(count)) and last["id"] is None
        last = last["body"]
    else:
        assert not answers
    assert (last["status"], last["errors"][0]["code"]) == (400, "broken_off")


def test_a_body_cut_off_behind_a_proxy_is_refused(service, contract):
    with connect(service) as connection:
        connection.sendall(HEAD + b"X-Forwarded-For: 192.0.2.7\r\n\r\n" + chunk(line(1)) + b"zz\r\n")
        connection.shutdown(socket.SHUT_WR)
        response = reply_of(connection)
        body = response.read()
        assert (response.status, response.headers["Content-Type"]) == (400, PROBLEM)
        contract.check("POST", "/v1/bulk", 400, PROBLEM, body)
        assert json.loads(body)["errors"][0]["code"] == "broken_off"


def test_callers_that_disconnect_do_no_harm_and_are_not_logged(session):
    def hang_up_while_sending():
        with connect(service) as connection:
            connection.sendall(HEAD + b"\r\n" + b"".join(map(chunk, parts(50))) + b'4000\r\n{"id"')

    def hang_up_while_reading() -> int:
        with connect(service) as connection:
            connection.sendall(HEAD + b"\r\n" + b"".join(map(chunk, parts(3000))))
            with reply_of(connection) as response:
                return response.status

    with Service(SCALDLOAF_WORKERS="1", SCALDLOAF_THREADS="3") as service:
        for _ in range(4):  # more than there are threads: none may stay held
            hang_up_while_sending()
            until(hang_up_while_reading, lambda status: status == 200)  # 429 until the one before has let go
        assert session.get(f"{service.url}/readyz", timeout=60).status_code == 200


def test_waiting_lines_are_limited(session, assert_problem):
    count = HELD_BYTES * 2 // len(line(0))
    with Service(SCALDLOAF_MAX_BULK_BYTES=str(HELD_BYTES)) as service:
        url, media = f"{service.url}/v1/bulk?show=result", {"Content-Type": MEDIA}
        # Behind a proxy all of it would have to wait.
        refused = session.post(url, data=b"".join(parts(count)), headers={**media, **PROXIED})
        assert assert_problem(refused, 413, "", "too_large")["nearest"] == HELD_BYTES
        # A caller that reads while it sends may send any amount.
        with connect(service) as connection:
            connection.sendall(HEAD + b"\r\n")

            def send():
                for part in parts(count):
                    connection.sendall(chunk(part))
                connection.sendall(b"0\r\n\r\n")

            sender = threading.Thread(target=send)
            sender.start()
            time.sleep(0.2)
            assert numbers(reply_of(connection).read()) == list(range(count))
            sender.join()


def test_a_long_bulk_is_not_taken_for_a_hung_worker(session):
    """The sync worker has no heartbeat during a request; here it would be killed after five seconds."""
    count = 12_000

    def pausing():
        for number, part in enumerate(parts(count)):
            time.sleep(0.15 if number < 40 else 0)
            yield part

    with Service(SCALDLOAF_WORKERS="1", SCALDLOAF_THREADS="1", GUNICORN_CMD_ARGS="--timeout 5") as service:
        reply = session.post(
            f"{service.url}/v1/bulk", data=pausing(), timeout=120, headers={"Content-Type": MEDIA, **PROXIED}
        )
        assert reply.content.count(b"\n") == count


def test_memory_does_not_grow_with_the_lines(session):
    """A short form of ``faults.py bulk``, which sends 100,000 lines."""
    with Service(SCALDLOAF_WORKERS="1") as service:
        worker = (
            Path(f"/proc/{service.process.pid}/task/{service.process.pid}/children").read_text().split()[0]
        )

        def send(count: int) -> float:
            """The worker's peak in MB since it began."""
            reply = session.post(
                f"{service.url}/v1/bulk?show=result",
                data=parts(count),
                timeout=120,
                headers={"Content-Type": MEDIA},
            )
            assert reply.content.count(b"\n") == count
            status = Path(f"/proc/{worker}/status").read_text()
            return int(re.search(r"VmHWM:\s+(\d+)", status)[1]) / 1024

        few = send(2_000)
        assert send(20_000) - few < 10
