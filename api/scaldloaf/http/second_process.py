"""A second process for a large bulk, so that one stream keeps two cores busy.

Python computes in one thread at a time, so a second core needs a second process. Forking a worker, which has
threads, is not safe. So the main process, which has none, forks one before the workers that only sleeps. A
worker asks that one over a socket to fork a second process, which ends with the worker's bulk and leaves no
memory taken.

Lines go there as they are, and answers come back as ``marshal`` writes them, both behind their length in four
bytes. If a second process is lost or late, its lines are answered here: answers depend on nothing else.
"""

import gc
import marshal
import os
import select
import signal
import socket
import threading
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from typing import Protocol

from scaldloaf.http import backlog as backlogs
from scaldloaf.http.bulk_lines import Asked, Lines, Written

FROM_BYTES = 128 * 1024  # of lines; below that a bulk is not worth a process
BATCH_BYTES, BATCH_LINES = 16 * 1024, 32  # of lines that are answered together
MOST_BATCH_BYTES = 96 * 1024  # a longer line stays here: what is sent must fit into the socket
MOST_SENT = 2  # batches there at a time: the second waits while the answers to the first are read
MOST_HELD_BYTES = 2 * 1024 * 1024  # of answers that wait for older ones
BUFFER_BYTES = 256 * 1024
LATE_S = 10.0  # that a batch may take once nothing else is to do
STEP_S = 0.002  # between looks whether more lines have come
NICENESS = 5  # calls and probes go first
_SIGNALS = ("SIGINT", "SIGTERM", "SIGQUIT", "SIGHUP", "SIGUSR1", "SIGUSR2", "SIGWINCH")


class Lost(Exception):
    """The second process has ended, could not be forked, or is late."""


class Turn(Protocol):
    """What a bulk has while it computes: its turn among the bulks of its process, and its budget."""

    def take_turn(self) -> None: ...
    def rest(self) -> None: ...
    def spend(self, seconds: float) -> None: ...


def cores() -> int:
    """How many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def batches_of(lines: Lines) -> Iterator[Lines]:
    """Lines in batches that take little time and room to answer."""
    batch: Lines = []
    size = 0
    for line in lines:
        if batch and (size + len(line or b"") > BATCH_BYTES or len(batch) == BATCH_LINES):
            yield batch
            batch, size = [], 0
        batch.append(line)
        size += len(line or b"")
    if batch:
        yield batch


class Parent:
    """The process that forks second processes, as a worker sees it: one for one bulk at a time."""

    def __init__(self, channel: socket.socket):
        self._channel = channel
        self._free = threading.Lock()  # each worker has its own
        self._is_of_use = True

    @property
    def is_gone(self) -> bool:
        """Whether it has ended."""
        return _is_closed(self._channel)

    def second(self, asked: Asked) -> "Second | None":
        """A second process for a bulk; None while another bulk has one, or if there can be none."""
        if not self._is_of_use or not self._free.acquire(blocking=False):
            return None
        try:
            ours, theirs = socket.socketpair()
        except OSError:  # no room for more files
            self._free.release()
            return None
        second = Second(ours, self._end)
        try:
            with theirs:
                for each in (ours, theirs):
                    each.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, BUFFER_BYTES)
                socket.send_fds(self._channel, [b"."], [theirs.fileno()])
            second.begin(asked)
            return second
        except (OSError, Lost):
            second.close()
            return None

    def _end(self, was_late: bool) -> None:
        """The second process of a bulk ends. After one that never answered in time, no other is asked for."""
        self._is_of_use = self._is_of_use and not was_late
        self._free.release()


_begun: list[Parent] = []


def begin(unused: Iterable[socket.socket]) -> None:
    """Fork the process that forks, unless there is one. deploy/gunicorn.conf.py does so: it has no threads.

    unused: sockets that it closes. It is no child of this process, whose children are its workers.
    """
    if _begun and not _begun[-1].is_gone:
        return
    ours, theirs = socket.socketpair()
    with theirs:
        try:
            between = os.fork()
        except OSError:  # bulks do without
            ours.close()
            return
        if not between:
            try:
                if not os.fork():
                    for each in (ours, *unused):
                        each.close()
                    _fork_when_asked(theirs)
            finally:
                os._exit(0)  # whatever happens: neither of the two ever goes on to serve
        os.waitpid(between, 0)
    _begun.append(Parent(ours))


def begun() -> Parent | None:
    """The process that ``begin`` has forked; None without one."""
    return _begun[-1] if _begun else None


def _fork_when_asked(channel: socket.socket) -> None:
    """The life of that process. It ends when all have ended who could ask.

    A stop lets bulks end first, so no signal ends it or what it forks.
    """
    for name in _SIGNALS:
        signal.signal(getattr(signal, name), signal.SIG_IGN)
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody waits for what it forks
    with suppress(OSError):  # forbidden by the service unit
        os.nice(NICENESS)
    while True:
        message, descriptors, _, _ = socket.recv_fds(channel, 1, 1)
        if not message:
            return
        with suppress(OSError):  # no room for a process: the bulk sees that this end is closed
            if not os.fork():
                channel.close()
                with suppress(EOFError, OSError), socket.socket(fileno=descriptors[0]) as theirs:
                    gc.enable()
                    _answer(theirs)
                return
        for each in descriptors:
            os.close(each)


def _answer(channel: socket.socket) -> None:
    """The life of a second process: batches of lines in, their answers out. It ends when its bulk does."""
    asked = Asked(*marshal.loads(_receive(channel)))
    while True:
        lines = _receive(channel).split(b"\n")
        begun_at = time.process_time()
        answers = []
        for line in lines:
            if _is_closed(channel):
                return
            answers.append(tuple(asked.answer(bytes(line) or None)))
        _send(channel, marshal.dumps((time.process_time() - begun_at, answers)))


def _is_closed(channel: socket.socket) -> bool:
    """Whether the other end has been closed."""
    looking = select.poll()
    looking.register(channel, 0)  # what is always told
    return bool(looking.poll(0))


def _send(channel: socket.socket, data: bytes) -> None:
    channel.sendall(len(data).to_bytes(4, "big") + data)


def _receive(channel: socket.socket) -> bytearray:
    """The next message. Raises EOFError at the end."""
    return _exactly(channel, int.from_bytes(_exactly(channel, 4), "big"))


def _exactly(channel: socket.socket, size: int) -> bytearray:
    data = bytearray(size)
    with memoryview(data) as left:
        while left:
            count = channel.recv_into(left)
            if not count:
                raise EOFError
            left = left[count:]
    return data


class Second:
    """The second process of a bulk, as the bulk sees it."""

    def __init__(self, channel: socket.socket, on_close: Callable[[bool], None]):
        """on_close: is told whether it was given up because it had never answered."""
        self._channel, self._on_close = channel, on_close
        self._looking = select.poll()
        self._looking.register(channel, select.POLLIN)
        self._asked = self._answered = 0
        self._is_open = True

    @property
    def sent(self) -> int:
        """How many batches are there, whose answers are not collected."""
        return self._asked - self._answered

    def begin(self, asked: Asked) -> None:
        """Say what holds for all lines. Raises Lost."""
        self._send(marshal.dumps(tuple(asked)))

    def _send(self, data: bytes) -> None:
        try:
            _send(self._channel, data)
        except OSError as error:
            raise Lost from error

    def takes(self, lines: Lines) -> bool:
        """Whether it has room for some lines."""
        return self.sent < MOST_SENT and sum(len(line or b"") for line in lines) <= MOST_BATCH_BYTES

    def send(self, lines: Lines) -> None:
        """Have some lines answered; none is empty. Raises Lost."""
        self._send(b"\n".join(line or b"" for line in lines))
        self._asked += 1

    def has_answered(self, wait_s: float = 0) -> bool:
        """Whether the answers to the oldest batch are here, or it is lost."""
        return bool(self._looking.poll(1000 * wait_s))

    def collect(self) -> tuple[float, list[Written]]:
        """Seconds of processor time that the oldest batch took, and its answers. Raises Lost."""
        try:
            seconds, answers = marshal.loads(_receive(self._channel))
        except (EOFError, OSError) as error:
            raise Lost from error
        self._answered += 1
        return seconds, [Written._make(each) for each in answers]

    def close(self, is_late: bool = False) -> None:
        """End the process, which notices before its next line."""
        if self._is_open:
            self._is_open = False
            self._channel.close()
            self._on_close(is_late and not self._answered)


class Shared:
    """A bulk's lines answered in two processes, and their answers in order.

    Batches go to the second process while it has room, and are answered here otherwise.
    """

    def __init__(self, asked: Asked, second: Second, turn: Turn):
        self._asked, self._second, self._turn = asked, second, turn
        # In order: each batch with its answers, None while the second process has it.
        self._held: deque[tuple[Lines, list[Written] | None]] = deque()
        self._held_bytes = 0  # of answers
        self._is_lost = False

    def add(self, lines: Lines) -> None:
        """Answer a batch, there or here."""
        backlogs.show_life()
        if not self._is_lost and self._second.sent and self._second.has_answered():
            self._collect()
        if not self._is_lost and self._second.takes(lines):
            try:
                self._second.send(lines)
                self._held.append((lines, None))
                return
            except Lost:
                self._lose()
        self._held.append((lines, None))
        self._put(len(self._held) - 1, self._answered_here(lines))

    def answers(self, may_wait: Callable[[], bool]) -> Iterator[Written]:
        """The answers that are next, those that are not here yet waited for as long as nothing else is to do.

        may_wait: whether nothing else is.
        """
        while self._held:
            if self._held[0][1] is None and not self._has_next(may_wait):
                return
            _, answers = self._held.popleft()
            for each in answers or ():
                self._held_bytes -= len(each.line)
                yield each

    def _has_next(self, may_wait: Callable[[], bool]) -> bool:
        """Collect the oldest batch; False if it is not here, and there is something else to do."""
        late = time.monotonic() + LATE_S
        while not self._second.has_answered():
            if self._held_bytes < MOST_HELD_BYTES and not may_wait():
                return False
            if time.monotonic() > late:
                self._lose(is_late=True)
                return True
            backlogs.show_life()
            self._turn.rest()
            self._second.has_answered(STEP_S)
        self._collect()
        return True

    def _answered_here(self, lines: Lines) -> list[Written]:
        found = []
        for line in lines:
            self._turn.take_turn()
            found.append(self._asked.answer(line))
        return found

    def _collect(self) -> None:
        """Put the answers of the oldest batch that the second process has in its place."""
        try:
            seconds, answers = self._second.collect()
        except Lost:
            self._lose()
            return
        self._turn.spend(seconds)
        self._put(next(place for place, (_, found) in enumerate(self._held) if found is None), answers)

    def _lose(self, is_late: bool = False) -> None:
        """Do without the second process: answer here what it had."""
        self._is_lost = True
        self._second.close(is_late)
        for place, (lines, answers) in enumerate(self._held):
            if answers is None:
                backlogs.show_life()
                self._put(place, self._answered_here(lines))

    def _put(self, place: int, answers: list[Written]) -> None:
        self._held[place] = (self._held[place][0], answers)
        self._held_bytes += sum(len(each.line) for each in answers)
