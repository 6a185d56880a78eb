"""A large bulk answered by two processes: the same answers in the same order, and nothing left behind."""

import errno
import http.client
import json
import os
import signal
import socket
import threading
from contextlib import contextmanager, suppress
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import requests
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from running import Service, until
from scaldloaf.http import create_app, second_process
from scaldloaf.http.bulk import MEDIA
from scaldloaf.http.bulk_lines import IN_BYTES, Asked, Written
from scaldloaf.http.second_process import (
    BATCH_BYTES,
    BATCH_LINES,
    FROM_BYTES,
    MOST_SENT,
    Lost,
    Parent,
    Second,
    Shared,
    batches_of,
    cores,
)
from scaldloaf.http.settings import Settings
from scaldloaf.operations.lantern_quay import TIN_LOAF

PATIENCE_S = 60
IDENTITY = {"X-Request-Id": "the-same"}  # of the problems among the answers
HEAD = (
    b"POST /v1/bulk HTTP/1.1\r\nHost: bakery.example\r\nX-Request-Id: the-same\r\n"
    b"Content-Type: application/x-ndjson\r\nTransfer-Encoding: chunked\r\n\r\n"
)
HAS_SECOND = cores() > 1  # on one core a second process would only cost


def line(number: int) -> bytes:
    """A call, of which every seventh is refused in some way."""
    call = "scaling" if number % 7 != 1 else "scalding"
    target = {"kind": "dough_mass", "mass": 1000 + number if number % 7 != 2 else -1}
    body = {"formula": TIN_LOAF, "target": target}
    return json.dumps({"id": number, "call": call, "body": body}).encode() + b"\n"


def lines(first: int, last: int) -> bytes:
    """Calls, and what is none: text, blank lines, and a line that is too long."""
    odd = {5: b"not a call\n", 6: b"\n  \n", 40: b"[" * 70_000 + b"\n"}
    return b"".join(line(number) + odd.get(number % 100, b"") for number in range(first, last))


def chunk(content: bytes) -> bytes:
    return b"%x\r\n%s\r\n" % (len(content), content)


def by_one_process(body: bytes, **settings) -> bytes:
    app = create_app(Settings(**settings))
    return FlaskClient(app).post("/v1/bulk", data=body, content_type=MEDIA, headers=IDENTITY).get_data()


def children(process: int) -> list[int]:
    return list(map(int, Path(f"/proc/{process}/task/{process}/children").read_text().split()))


def parents(service) -> list[int]:
    """The process that forks second processes: of the service's session, and no child of another of it."""
    main, own = service.process.pid, []
    for found in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            _, parent, _, session = found.read_text().rpartition(") ")[2].split()[:4]
            if int(session) == main and int(found.parent.name) != main:
                own.append((int(found.parent.name), int(parent)))
    return [process for process, parent in own if parent not in (main, *(each for each, _ in own))]


def seconds(service) -> list[int]:
    """The second processes that bulks have at the moment."""
    return [second for parent in parents(service) for second in children(parent)]


def until_none_is_left(service) -> None:
    until(lambda: seconds(service), lambda left: not left)


@contextmanager
def being_answered(service, sent: bytes):
    """A bulk of which this has been sent; its connection and its response, of which something has arrived."""
    where = urlsplit(service.url)
    with socket.create_connection((where.hostname, where.port), timeout=PATIENCE_S) as connection:
        connection.sendall(HEAD + chunk(sent))
        response = http.client.HTTPResponse(connection)
        response.begin()
        assert response.peek(1)
        yield connection, response


@contextmanager
def half_answered(service, body: bytes):
    """The same of the first half of a body, whose second process works by now."""
    with being_answered(service, body[: len(body) // 2]) as (connection, response):
        if HAS_SECOND:
            until(lambda: seconds(service))
        yield connection, response


def whole_answer(connection: socket.socket, response: http.client.HTTPResponse, body: bytes) -> bytes:
    """Send the second half, and read all answers."""
    rest = chunk(body[len(body) // 2 :]) + b"0\r\n\r\n"
    sending = threading.Thread(target=connection.sendall, args=(rest,))
    sending.start()
    answers = response.read()
    sending.join()
    return answers


def send(service, body: bytes, **more: str) -> requests.Response:
    headers = {"Content-Type": MEDIA, **IDENTITY, **more}
    return requests.post(f"{service.url}/v1/bulk", data=body, headers=headers, timeout=PATIENCE_S)


@pytest.fixture(scope="module")
def body() -> bytes:
    return lines(0, 2000)


@pytest.fixture(scope="module")
def wanted(body) -> bytes:
    return by_one_process(body)


@pytest.fixture(scope="module")
def two_workers():
    with Service(SCALDLOAF_WORKERS="2") as service:
        yield service


@pytest.mark.parametrize("headers", [{}, {"X-Forwarded-For": "192.0.2.7"}], ids=["direct", "proxied"])
def test_two_processes_give_the_answers_of_one(two_workers, body, wanted, headers):
    assert len(body) > 4 * FROM_BYTES
    reply = send(two_workers, body, **headers)
    assert reply.status_code == 200 and reply.content == wanted
    until_none_is_left(two_workers)


def test_a_large_bulk_has_a_second_process_until_it_ends(two_workers, body, wanted):
    with half_answered(two_workers, body) as (connection, response):
        assert len(seconds(two_workers)) == HAS_SECOND
        assert whole_answer(connection, response, body) == wanted
    until_none_is_left(two_workers)


def test_a_caller_that_goes_leaves_no_process(two_workers, body):
    with half_answered(two_workers, body) as (_, response):
        response.close()
    until_none_is_left(two_workers)


def test_a_small_bulk_has_none(two_workers):
    few = b"".join(map(line, range(FROM_BYTES // 2 // len(line(0)))))
    assert len(few) > IN_BYTES  # so that some are answered before the last is sent
    with being_answered(two_workers, few):
        assert not seconds(two_workers)


def test_the_processes_are_few(two_workers):
    assert len(parents(two_workers)) == HAS_SECOND and len(children(two_workers.process.pid)) == 2


def test_one_worker_means_one_process(body, wanted):
    with Service(SCALDLOAF_WORKERS="1") as service:
        assert parents(service) == []
        assert send(service, body).content == wanted


@pytest.mark.parametrize("lost", [seconds, parents])
def test_a_process_that_is_killed_loses_no_answer(body, wanted, lost):
    """The second process, or the one that forks them: then later bulks do without."""
    with Service(SCALDLOAF_WORKERS="2", SCALDLOAF_THREADS="1") as service:
        with half_answered(service, body) as (connection, response):
            for process in lost(service):
                os.kill(process, signal.SIGKILL)
            assert whole_answer(connection, response, body) == wanted
        assert send(service, body).content == wanted


def test_a_stop_lets_a_bulk_end_and_leaves_no_process(body, wanted):
    """Also Ctrl-C, which every process of a terminal gets."""
    with (
        Service(SCALDLOAF_WORKERS="2") as service,
        half_answered(service, body) as (connection, response),
    ):
        processes = parents(service) + seconds(service)
        os.killpg(service.process.pid, signal.SIGTERM)
        assert whole_answer(connection, response, body) == wanted
    until(lambda: [process for process in processes if is_running(process)], lambda left: not left)


def is_running(process: int) -> bool:
    try:
        status = Path(f"/proc/{process}/stat").read_text()
    except OSError:
        return False
    return status.rpartition(") ")[2][0] != "Z"  # nobody may be there to wait for it


def test_the_budget_of_lines_is_that_of_both(body):
    with Service(SCALDLOAF_WORKERS="2", SCALDLOAF_MAX_BULK_LINES="900") as service:
        answers = send(service, body).content
    assert answers == by_one_process(body, max_bulk_lines=900)
    assert json.loads(answers.splitlines()[-1])["answered"] == 900


def test_the_lines_that_the_second_process_answers_are_counted(body, wanted):
    with Service(SCALDLOAF_WORKERS="2", SCALDLOAF_METRICS="on") as service:
        send(service, body)
        counted = requests.get(f"{service.url}/metrics", timeout=PATIENCE_S).text
    answers = [json.loads(each) for each in wanted.splitlines()]
    for status in ("2xx", "4xx"):
        count = sum(f"{answer['status'] // 100}xx" == status for answer in answers)
        assert f'scaldloaf_bulk_lines_total{{status="{status}"}} {count}.0\n' in counted
    unknown = sum(answer["status"] == 404 for answer in answers)
    assert f'scaldloaf_refusals_total{{code="not_one_of",problem="not-found"}} {unknown}.0\n' in counted


# ---- The order of answers, whoever is first


class FakeSecond:
    """A second process that answers when, and is lost where, a test says so."""

    def __init__(self, moods: list[str]):
        self._moods = moods  # of each time that it is looked at: "ready", "late" or "lost"
        self._batches: list[list[bytes]] = []
        self.most_sent = 0

    @property
    def sent(self) -> int:
        return len(self._batches)

    def _mood(self) -> str:
        return self._moods.pop() if self._moods else "ready"

    def takes(self, batch) -> bool:
        return self.sent < MOST_SENT

    def send(self, batch) -> None:
        if self._mood() == "lost":
            raise Lost
        self._batches.append(batch)
        self.most_sent = max(self.most_sent, self.sent)

    def has_answered(self, wait_s: float = 0) -> bool:
        return self._mood() != "late"

    def collect(self):
        if self._mood() == "lost":
            raise Lost
        return 0.5, [Written(200, None, True, b"there " + each) for each in self._batches.pop(0)]

    def close(self, is_late: bool = False) -> None:
        self._batches.clear()


class Here(Asked):
    def answer(self, line):
        return Written(200, None, True, b"here " + line)


class Unhindered:
    """A bulk's turn and its budget, of which a test only counts what is spent."""

    def __init__(self):
        self.spent = []

    def take_turn(self) -> None:
        pass

    def rest(self) -> None:
        pass

    def spend(self, seconds: float) -> None:
        self.spent.append(seconds)


@given(
    st.lists(st.lists(st.binary(min_size=1, max_size=3), min_size=1, max_size=3), max_size=40),
    st.lists(st.sampled_from(["ready", "late", "late", "late", "lost"]), max_size=120),
    st.lists(st.booleans(), min_size=40, max_size=40),
    st.sampled_from([50, 10_000]),
)
def test_answers_come_in_order_and_few_are_held(batches, moods, waits, most):
    turn, second = Unhindered(), FakeSecond(moods)
    shared = Shared(Here(1, True, ""), second, turn)
    found, given_out = [], []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(second_process, "MOST_HELD_BYTES", most)
        for batch, wait in zip(batches, waits, strict=False):
            shared.add(batch)
            given_out += batch
            found += [each.line.split(b" ", 1)[1] for each in shared.answers(lambda wait=wait: wait)]
            assert found == given_out[: len(found)]
            held = sum(len(b"there " + each) for each in given_out[len(found) :])
            # What is there is not counted, and one batch is answered here before anything is looked at.
            assert not held if wait else held <= most + 27 * (MOST_SENT + 1)
        found += [each.line.split(b" ", 1)[1] for each in shared.answers(lambda: True)]
    assert found == [each for batch in batches for each in batch]
    assert second.most_sent <= MOST_SENT and set(turn.spent) <= {0.5}


@given(st.lists(st.one_of(st.none(), st.integers(1, 3000)), max_size=200))
def test_batches_are_small_and_keep_the_order(sizes):
    lines = [None if size is None else b"x" * size for size in sizes]
    batches = list(batches_of(lines))
    assert [line for batch in batches for line in batch] == lines
    for batch in batches:
        assert 0 < len(batch) <= BATCH_LINES
        assert len(batch) == 1 or sum(len(line or b"") for line in batch) <= BATCH_BYTES


def test_a_second_process_that_is_late_is_done_without(monkeypatch):
    """Its batches are answered here, and after one that has never answered no other is asked for."""
    monkeypatch.setattr(second_process, "LATE_S", 0.05)
    ours, theirs = socket.socketpair()
    was_late = []
    with theirs:
        second = Second(ours, was_late.append)
        shared = Shared(Here(1, True, ""), second, Unhindered())
        for line in (b"1", b"2", b"3"):
            shared.add([line])
        assert [each.line for each in shared.answers(lambda: True)] == [b"here 1", b"here 2", b"here 3"]
        shared.add([b"4"])
        assert [each.line for each in shared.answers(lambda: True)] == [b"here 4"]
        second.close()
    assert was_late == [True]


def test_a_bulk_does_without_where_nothing_can_be_forked(monkeypatch):
    """No room for files, or the process that forks has ended; the place is free again each time."""
    ours, theirs = socket.socketpair()
    with ours:
        parent = Parent(ours)
        with monkeypatch.context() as patch:
            patch.setattr(second_process.socket, "socketpair", no_room)
            assert parent.second(Asked(1, True, "")) is None
        assert not parent.is_gone
        first = parent.second(Asked(1, True, ""))
        assert first is not None and parent.second(Asked(1, True, "")) is None  # one at a time
        first.close()
        theirs.close()
        assert parent.is_gone and parent.second(Asked(1, True, "")) is None


def no_room():
    raise OSError(errno.EMFILE, "too many open files")
