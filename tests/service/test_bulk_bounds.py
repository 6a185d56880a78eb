"""The limits of bulks: their number per worker, and the lines, processor time and waiting bytes of each.

However a bulk ends, its caller learns why, and its place is free again.
"""

import http.client
import io
import json
import os
import resource
import signal
import socket
import tempfile
import threading
import time
from contextlib import ExitStack, contextmanager
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import requests
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from replies import PROBLEM
from running import ROOT, Service, TalkingService
from scaldloaf.http import backlog as backlogs
from scaldloaf.http import bulk, bulk_lines, create_app
from scaldloaf.http.backlog import Backlog, BrokenOff, Overfull
from scaldloaf.http.bulk import MEDIA, Turns
from scaldloaf.http.bulk_lines import MOST_UNREADABLE
from scaldloaf.http.settings import BadSetting, Settings, settings_from
from scaldloaf.operations.lantern_quay import TIN_LOAF

HEAD = (
    b"POST /v1/bulk HTTP/1.1\r\nHost: bakery.example\r\n"
    b"Content-Type: application/x-ndjson\r\nTransfer-Encoding: chunked\r\n\r\n"
)
MB = 1024 * 1024
PATIENCE_S = 60


def line(number: int) -> bytes:
    return json.dumps({"id": number, "call": "breakdown", "body": {"formula": TIN_LOAF}}).encode() + b"\n"


def lines(count: int) -> bytes:
    return b"".join(map(line, range(count)))


def chunk(content: bytes) -> bytes:
    return b"%x\r\n%s\r\n" % (len(content), content)


def connect(service, **options) -> socket.socket:
    where = urlsplit(service.url)
    connection = socket.socket()
    if options:  # before it connects, or the kernel lets it grow
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, options["receive"])
    connection.settimeout(PATIENCE_S)
    connection.connect((where.hostname, where.port))
    return connection


def reply_of(connection: socket.socket) -> http.client.HTTPResponse:
    response = http.client.HTTPResponse(connection)
    response.begin()
    return response


def send(service, body: bytes, **more) -> requests.Response:
    return requests.post(
        f"{service.url}/v1/bulk?show=result",
        data=body,
        timeout=PATIENCE_S,
        headers={"Content-Type": MEDIA, **more},
    )


def answers_and_last(reply: bytes) -> tuple[list[dict], dict]:
    """The answers of a reply, and its last line, which is not one."""
    *answers, last = map(json.loads, reply.splitlines())
    assert last["id"] is None and last["answered"] == len(answers)
    assert last["body"]["status"] == last["status"] and all("answered" not in answer for answer in answers)
    return answers, last


def worker(service) -> int:
    return int(
        Path(f"/proc/{service.process.pid}/task/{service.process.pid}/children").read_text().split()[0]
    )


# Bulks at a time


@contextmanager
def being_sent(service):
    """A bulk with some answered lines, whose caller has not sent the rest yet."""
    with connect(service) as connection:
        connection.sendall(HEAD + chunk(lines(60)))
        assert reply_of(connection).readline()
        yield connection


def is_refused(service, contract) -> bool:
    """Whether there is no place for another bulk."""
    reply = send(service, line(1))
    if reply.status_code == 200:
        assert json.loads(reply.content)["id"] == 1
        return False
    assert (reply.status_code, reply.headers["Content-Type"]) == (429, PROBLEM)
    assert int(reply.headers["Retry-After"]) > 0
    assert "Retry-After" in reply.headers["Access-Control-Expose-Headers"].split(", ")
    assert reply.json()["errors"][0]["code"] == "too_many_bulks"
    contract.check("POST", "/v1/bulk", 429, PROBLEM, reply.content)
    return True


def until_there_is_a_place(service, contract) -> None:
    end = time.monotonic() + PATIENCE_S
    while is_refused(service, contract):
        assert time.monotonic() < end, "a bulk that has ended still has its place"
        time.sleep(0.1)


def finishes(connection):
    connection.sendall(b"0\r\n\r\n")
    while connection.recv(65536):
        pass


def hangs_up(connection):
    connection.close()


def breaks_off(connection):
    connection.sendall(b"zz\r\n")


def spends_its_budget(connection):
    connection.sendall(chunk(lines(60)))


def sends_no_lines(connection):
    connection.sendall(chunk(b"0\n" * 20_000))


ENDINGS = (finishes, hangs_up, breaks_off, spends_its_budget, sends_no_lines)


def test_a_thread_stays_free_and_every_ending_frees_its_place(contract):
    """Two places and three threads: a third bulk would leave no thread for other calls."""
    with (
        Service(
            SCALDLOAF_WORKERS="1", SCALDLOAF_THREADS="3", SCALDLOAF_BULKS="2", SCALDLOAF_MAX_BULK_LINES="100"
        ) as service,
        ExitStack() as held,
    ):
        held.enter_context(being_sent(service))
        for ending in ENDINGS:
            with being_sent(service) as connection:
                assert all(is_refused(service, contract) for _ in range(3))
                assert requests.get(f"{service.url}/livez", timeout=PATIENCE_S).status_code == 200
                assert (
                    requests.post(
                        f"{service.url}/v1/breakdown", json={"formula": TIN_LOAF}, timeout=PATIENCE_S
                    ).status_code
                    == 200
                )
                ending(connection)
                until_there_is_a_place(service, contract)


@pytest.mark.parametrize("proxied", [{}, {"X-Forwarded-For": "192.0.2.7"}], ids=["direct", "proxied"])
def test_a_caller_that_does_not_read_has_its_place_until_it_goes(contract, proxied):
    with Service(SCALDLOAF_WORKERS="1", SCALDLOAF_THREADS="2") as service:
        body = lines(3000)  # whose answers are more than fits between us
        with connect(service, receive=4096) as connection:
            connection.sendall(
                b"POST /v1/bulk HTTP/1.1\r\nHost: a\r\nContent-Type: application/x-ndjson\r\n"
                b"Content-Length: %d\r\n"
                % len(body)
                + b"".join(f"{name}: {value}\r\n".encode() for name, value in proxied.items())
                + b"\r\n"
                + body
            )
            assert connection.recv(1)
            assert is_refused(service, contract)
            assert requests.get(f"{service.url}/livez", timeout=PATIENCE_S).status_code == 200
        until_there_is_a_place(service, contract)


def test_a_refused_bulk_frees_its_place(contract):
    """Behind a proxy, a bulk that is too large or cut off is refused as a whole."""
    with Service(SCALDLOAF_WORKERS="1", SCALDLOAF_THREADS="2", SCALDLOAF_MAX_BULK_BYTES=str(MB)) as service:
        proxied = {"X-Forwarded-For": "192.0.2.7"}
        for _ in range(3):
            assert send(service, b" " * MB * 2, **proxied).status_code == 413
            with connect(service) as connection:
                connection.sendall(HEAD[:-2] + b"X-Forwarded-For: 192.0.2.7\r\n\r\nzz\r\n")
                assert reply_of(connection).status == 400
        until_there_is_a_place(service, contract)


def test_a_new_worker_has_all_places_free(contract):
    with TalkingService(SCALDLOAF_WORKERS="1", SCALDLOAF_THREADS="2") as service:
        with being_sent(service):
            assert is_refused(service, contract)
            os.kill(worker(service), signal.SIGKILL)
        end = time.monotonic() + PATIENCE_S
        while True:
            try:
                assert not is_refused(service, contract)
                return
            except requests.ConnectionError:
                assert time.monotonic() < end


def test_with_one_thread_another_worker_answers_probes():
    with Service(SCALDLOAF_WORKERS="2", SCALDLOAF_THREADS="1") as service:
        assert send(service, lines(3)).content.count(b"\n") == 3
        with being_sent(service):
            for _ in range(5):
                assert requests.get(f"{service.url}/livez", timeout=PATIENCE_S).status_code == 200


@pytest.mark.parametrize("threads, bulks", [("1", 1), ("2", 1), ("3", 1), ("8", 4), ("64", 32)])
def test_half_of_the_threads_may_answer_bulks_and_never_all(threads, bulks):
    assert settings_from({"SCALDLOAF_THREADS": threads}).bulks == bulks
    most = max(1, int(threads) - 1)
    assert settings_from({"SCALDLOAF_THREADS": threads, "SCALDLOAF_BULKS": str(most)}).bulks == most
    with pytest.raises(
        BadSetting, match=f"^SCALDLOAF_BULKS is '{most + 1}'; it should be a whole number from 1 to {most}"
    ):
        settings_from({"SCALDLOAF_THREADS": threads, "SCALDLOAF_BULKS": str(most + 1)})


def test_gunicorn_and_the_application_agree_on_the_number_of_threads():
    started = (ROOT / "deploy/gunicorn.conf.py").read_text("utf-8")
    assert "\nthreads = _settings.threads\n" in started
    assert settings_from({}) == settings_from({"SCALDLOAF_THREADS": "8"}) == Settings()


def test_bulks_compute_in_turn():
    """First come, first served."""
    turns, order = Turns(), []
    turns.take()
    threads = []
    for number in range(5):

        def compute(number=number):
            turns.take()
            order.append(number)
            turns.pass_on()

        threads.append(threading.Thread(target=compute))
        threads[-1].start()
        while turns.waiting <= number:
            time.sleep(0.001)
    assert order == []
    turns.pass_on()
    for thread in threads:
        thread.join()
    assert order == list(range(5))
    turns.take()  # it is free again
    turns.pass_on()


def test_only_one_bulk_computes_at_a_time(monkeypatch):
    app, running, most = create_app(Settings()), [], []

    def perform(*_):
        running.append(1)
        time.sleep(0.001)
        most.append(len(running))
        running.pop()
        return {"long": "x" * 5000}  # so that parcels are sent in the middle of what has arrived

    monkeypatch.setattr(bulk_lines, "perform", perform)
    replies = []
    threads = [
        threading.Thread(
            target=lambda: replies.append(
                FlaskClient(app).post("/v1/bulk", data=lines(100), content_type=MEDIA).get_data()
            )
        )
        for _ in range(4)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [reply.count(b'"status":200') for reply in replies] == [100] * 4 and set(most) == {1}


def test_a_bulk_that_waits_for_its_caller_gives_up_its_turn():
    turns, backlog = Turns(), Backlog(MB)
    intake = bulk.Intake(backlog, turns, 600)
    intake.take_turn()
    waiting = threading.Thread(target=intake.read, args=(1,), daemon=True)
    waiting.start()
    other = threading.Thread(target=turns.take, daemon=True)
    other.start()
    other.join(PATIENCE_S)
    assert waiting.is_alive() and not other.is_alive()
    backlog.fill(io.BytesIO(), 1)
    waiting.join()
    backlog.close()


# The budget of a bulk


@pytest.fixture
def ask(contract):
    def ask(body: bytes, **settings) -> list[dict]:
        reply = FlaskClient(create_app(Settings(**settings))).post("/v1/bulk", data=body, content_type=MEDIA)
        assert reply.status_code == 200
        return [json.loads(each) for each in reply.get_data().splitlines()]

    return ask


def test_a_bulk_ends_at_its_budget_of_lines_and_says_where(ask, document):
    whole = ask(lines(7))
    assert ask(lines(7), max_bulk_lines=7) == whole  # exactly at the limit: no last line
    *answers, last = ask(lines(7), max_bulk_lines=5)
    assert answers == whole[:5]
    assert (last["id"], last["status"], last["answered"]) == (None, 429, 5)
    assert (last["body"]["type"], last["body"]["errors"][0]["code"]) == (
        "/problems/too-many-requests",
        "budget_spent",
    )
    assert set(last) <= set(document["components"]["schemas"]["BulkAnswer"]["properties"])


def test_blank_lines_have_no_answer_and_do_not_count(ask):
    body = b"\n" + line(0) + b"\n \n\t\n" + line(1) + b"\n\n"
    assert [answer["id"] for answer in ask(body, max_bulk_lines=2)] == [0, 1]
    *answers, last = ask(body + line(2), max_bulk_lines=2)
    assert [answer["id"] for answer in answers] == [0, 1] and last["answered"] == 2


@pytest.fixture
def late_in_the_third_piece(monkeypatch):
    clock = iter([0.0, 1.0, 599.0, *[601.0] * 1000])
    monkeypatch.setattr(bulk.time, "thread_time", lambda: next(clock))


@pytest.mark.parametrize("filler", [b"\n", b"0"], ids=["blank_lines", "a_line_without_end"])
def test_a_bulk_that_needs_no_answer_ends_too(ask, late_in_the_third_piece, filler):
    (last,) = ask(filler * MB)
    assert (last["status"], last["answered"]) == (429, 0)


def test_a_bulk_ends_at_its_budget_of_processor_time(ask, late_in_the_third_piece):
    *answers, last = ask(lines(1000))
    assert 0 < len(answers) < 900 and [answer["status"] for answer in answers] == [200] * len(answers)
    assert (last["status"], last["answered"]) == (429, len(answers))
    assert "600 s of processor time" in last["body"]["detail"]


@pytest.mark.parametrize(
    "junk",
    [b"0\n", b"{}\n", b"no JSON\n", b'{"call": "braekdown", "body": {}}\n', b'"' + b"x" * 70_000 + b'"\n'],
    ids=["number", "object", "text", "no_such_call", "long"],
)
def test_a_bulk_ends_after_so_many_lines_that_cannot_be_read(ask, junk):
    most = MOST_UNREADABLE
    *answers, last = ask(line(0) + junk * (most + 1) + line(1))
    assert len(answers) == most + 1 and answers[0]["status"] == 200
    assert (last["id"], last["status"], last["answered"]) == (None, 400, most + 1)
    assert last["body"]["errors"][0]["code"] == "unreadable_lines"


def test_a_line_that_does_not_end_ends_the_bulk(ask):
    long = b"x" * 1024 * MOST_UNREADABLE  # a line of this length is refused alone
    answers = ask(line(0) + long + b"\n" + line(1), max_body_bytes=1024)
    assert [answer["status"] for answer in answers] == [200, 413, 200]
    first, last = ask(line(0) + long * 2 + b"\n" + line(1), max_body_bytes=1024)
    assert (first["status"], last["status"], last["answered"]) == (200, 400, 1)
    assert last["body"]["errors"][0]["code"] == "unreadable_lines"
    # Nor do several long ones count as one.
    assert len(ask((long[1024:] + b"\n") * 3, max_body_bytes=1024)) == 3


def test_readable_lines_in_between_reset_the_count(ask):
    most = MOST_UNREADABLE
    answers = ask((b"0\n" * (most - 1) + line(1)) * 2 + b"0\n" * most + b"\n")
    assert len(answers) == 3 * most and "answered" not in answers[-1]
    # A call that is refused was read.
    answers = ask(b'{"call": "breakdown", "body": {}}\n' * (most + 5))
    assert [answer["status"] for answer in answers] == [422] * (most + 5)


def test_the_rest_can_be_sent_in_another_request(ask):
    whole, done = ask(lines(23)), []
    while len(done) < 23:
        answers = ask(b"".join(map(line, range(len(done), 23))), max_bulk_lines=5)
        if "answered" in answers[-1]:
            assert answers.pop()["answered"] == len(answers) == 5
        done += answers
    assert done == whole


# Callers who send everything before they read anything


def test_a_caller_that_sends_first_learns_that_too_much_waits(contract):
    """More than may wait plus what the connection buffers, so that both sides would wait for each other."""
    with (
        Service(SCALDLOAF_WORKERS="1", SCALDLOAF_MAX_BULK_BYTES=str(MB)) as service,
        connect(service, receive=64 * 1024) as connection,
    ):
        connection.sendall(HEAD)
        for start in range(0, 60_000, 100):
            connection.sendall(chunk(b"".join(map(line, range(start, start + 100)))))
        connection.sendall(b"0\r\n\r\n")
        answers, last = answers_and_last(reply_of(connection).read())
    assert [answer["id"] for answer in answers] == list(range(len(answers))) and 500 < len(answers) < 60_000
    assert (last["status"], last["body"]["errors"][0]["code"]) == (413, "too_large")
    assert last["body"]["errors"][0]["nearest"] == MB


@contextmanager
def full_disk():
    """A service whose files may not grow beyond 2 MB."""
    with TalkingService(SCALDLOAF_WORKERS="1") as service:
        resource.prlimit(worker(service), resource.RLIMIT_FSIZE, (2 * MB, 2 * MB))
        yield service


def test_a_caller_that_sends_first_learns_that_the_disk_is_full(contract):
    with full_disk() as service:
        with connect(service, receive=64 * 1024) as connection:
            connection.sendall(HEAD)
            for start in range(0, 60_000, 100):
                connection.sendall(chunk(b"".join(map(line, range(start, start + 100)))))
            connection.sendall(b"0\r\n\r\n")
            answers, last = answers_and_last(reply_of(connection).read())
        assert [answer["id"] for answer in answers] == list(range(len(answers))) and len(answers) > 500
        assert last["status"] == 500
        until_there_is_a_place(service, contract)
        output = service.output()
        assert f"unexpected OSError in bulk, request {last['body']['request_id']}" in output
        assert "Tin loaf" not in output


def test_a_full_disk_behind_a_proxy_is_a_problem(contract):
    with full_disk() as service:
        reply = send(service, b" " * 10 * MB, **{"X-Forwarded-For": "192.0.2.7"})
        assert (reply.status_code, reply.headers["Content-Type"]) == (500, PROBLEM)
        assert send(service, lines(3)).content.count(b"\n") == 3


@given(st.lists(st.integers(1, 700), max_size=80), st.integers(1000, 3000), st.integers(1, 900))
def test_a_backlog_returns_its_bytes_in_order_within_its_limit(sizes, most, size):
    """Without memory, so that a small test reaches the file."""
    came = [bytes([number % 256]) * length for number, length in enumerate(sizes)]
    pieces = iter([*came, b""])

    class Stream:
        def read(self, _):
            return next(pieces)

    held, backlogs.HELD_BYTES = backlogs.HELD_BYTES, 100
    backlog = Backlog(most)
    try:
        thread = threading.Thread(target=backlog.fill, args=(Stream(), size))
        thread.start()
        given = []
        while part := backlog.read(size):
            given.append(part)
            assert backlog.file_bytes <= most
        thread.join()
    finally:
        backlog.close()
        backlogs.HELD_BYTES = held
    assert b"".join(given) == b"".join(came)


def test_a_backlog_without_a_reader_is_overfull(monkeypatch):
    monkeypatch.setattr(backlogs, "STALLED_S", 0.1)
    monkeypatch.setattr(backlogs, "DISCARDED_BYTES", 10 * MB)
    read = []

    class Endless:
        def read(self, size):
            read.append(size)
            return bytes(size)

    backlog = Backlog(2 * MB)
    backlog.sending_since = time.monotonic()
    backlog.fill(Endless(), 65536)  # ends, though the caller does not
    assert isinstance(backlog.error, Overfull) and sum(read) < 13 * MB
    kept = 0
    with pytest.raises(Overfull):
        while True:
            kept += len(backlog.read(65536))
    assert kept == 2 * MB
    backlog.close()


def test_a_closed_backlog_stores_nothing():
    backlog, begun = Backlog(MB), threading.Event()

    class Endless:
        def read(self, size):
            begun.set()
            return bytes(size)

    before = {path.name for path in Path(tempfile.gettempdir()).iterdir()}
    thread = threading.Thread(target=backlog.fill, args=(Endless(), 65536))
    thread.start()
    begun.wait()
    backlog.close()
    thread.join(PATIENCE_S)
    assert not thread.is_alive()
    assert {path.name for path in Path(tempfile.gettempdir()).iterdir()} - before == set()


def test_a_backlog_returns_what_arrived_before_a_failure():
    class Breaking:
        def __init__(self):
            self.parts = [b"whole", OSError(), b"left", OSError()]

        def read(self, _):
            part = self.parts.pop(0)
            if isinstance(part, Exception):
                raise part
            return part

    backlog = Backlog(MB)
    backlog.fill(Breaking(), 10)
    assert (backlog.read(10), backlog.read(10)) == (b"whole", b"left")
    with pytest.raises(BrokenOff):
        backlog.read(10)
    backlog.close()
