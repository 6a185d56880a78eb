"""A second process for a large bulk, so that one stream keeps two cores busy.

Python computes in one thread at a time, so a second core needs a second process. Forking a worker, which has
threads, is not safe. So the main process, which has none, forks one before the workers that only sleeps. A
worker asks that one over a socket to fork a second process, which ends with the worker's bulk and leaves no
memory taken.

The two ends of a bulk send each other whole messages: a length in four bytes, then what ``marshal`` writes.
If the second process is lost, its lines are answered here: answers depend on nothing but their line.
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
from typing import Any

from scaldloaf.http import backlog as backlogs
from scaldloaf.http.bulk_lines import Asked, Lines, Written

FROM_BYTES = 128 * 1024  # of lines; below that a bulk is not worth a process
MOST_BATCH_BYTES = 96 * 1024  # what the socket holds, so that sending never waits for the other end to read
MOST_SENT = 2  # batches there at a time: the second waits while the answers to the first are read
MOST_AHEAD = 6  # batches answered here while the oldest is still there
BUFFER_BYTES = 256 * 1024
LOOK_S = 1.0  # between signs of life, while there is nothing but to wait
STEP_S = 0.002  # between looks whether more lines have come
NICENESS = 5  # calls and probes go first
_SIGNALS = ("SIGINT", "SIGTERM", "SIGQUIT", "SIGHUP", "SIGUSR1", "SIGUSR2", "SIGWINCH")


class Lost(Exception):
    """The second process has ended, or could not be forked."""


def cores() -> int:
    """How many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class Parent:
    """The process that forks second processes, as a worker sees it: one for one bulk at a time."""

    def __init__(self, channel: socket.socket):
        self._channel = channel
        self._free = threading.Lock()  # each worker has its own

    def second(self, asked: Asked) -> "Second | None":
        """A second process for a bulk; None while another bulk has one, or if there can be none."""
        if not self._free.acquire(blocking=False):
            return None
        ours, theirs = socket.socketpair()
        with theirs:
            second = Second(ours, self._free.release)
            try:
                for each in (ours, theirs):
                    each.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, BUFFER_BYTES)
                socket.send_fds(self._channel, [b"."], [theirs.fileno()])
                second.begin(asked)
                return second
            except (OSError, Lost):
                second.close()
                return None


_begun: list[Parent] = []


def begin(unused: Iterable[socket.socket]) -> None:
    """Fork the process that forks. Only who has no threads may: deploy/gunicorn.conf.py, before the workers.

    unused: sockets that it closes. It is no child of this process, whose children are its workers.
    """
    ours, theirs = socket.socketpair()
    between = os.fork()
    if not between:
        try:
            if not os.fork():
                for each in (ours, *unused):
                    each.close()
                _fork_when_asked(theirs)
        finally:
            os._exit(0)  # whatever happens: neither of the two ever goes on to serve
    os.waitpid(between, 0)
    theirs.close()
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
    """The life of a second process: batches of lines in, their answers out."""
    asked = Asked(*_receive(channel))
    while True:
        lines = _receive(channel)
        begun = time.process_time()
        answers = [tuple(each) for each in asked.answers(lines)]
        _send(channel, (time.process_time() - begun, answers))


def _send(channel: socket.socket, what: Any) -> None:
    data = marshal.dumps(what)
    channel.sendall(len(data).to_bytes(4, "big") + data)


def _receive(channel: socket.socket) -> Any:
    """The next message. Raises EOFError at the end."""
    return marshal.loads(_exactly(channel, int.from_bytes(_exactly(channel, 4), "big")))


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

    def __init__(self, channel: socket.socket, on_close: Callable[[], None]):
        self._channel, self._on_close = channel, on_close
        self._looking = select.poll()
        self._looking.register(channel, select.POLLIN)
        self.sent = 0  # batches whose answers are not collected

    def begin(self, asked: Asked) -> None:
        """Say what holds for all lines. Raises Lost."""
        self._send(tuple(asked))

    def _send(self, what: Any) -> None:
        try:
            _send(self._channel, what)
        except OSError as error:
            raise Lost from error

    def takes(self, lines: Lines) -> bool:
        """Whether it has room for some lines."""
        return self.sent < MOST_SENT and sum(len(line or b"") for line in lines) <= MOST_BATCH_BYTES

    def send(self, lines: Lines) -> None:
        """Have some lines answered. Raises Lost."""
        self._send(lines)
        self.sent += 1

    def has_answered(self, wait_s: float = 0) -> bool:
        """Whether the answers to the oldest batch are here, or it is lost."""
        return bool(self._looking.poll(1000 * wait_s))

    def collect(self) -> tuple[float, list[Written]]:
        """Seconds of processor time that the oldest batch took, and its answers. Raises Lost."""
        while not self.has_answered(LOOK_S):
            backlogs.show_life()
        try:
            seconds, answers = _receive(self._channel)
        except (EOFError, OSError) as error:
            raise Lost from error
        self.sent -= 1
        return seconds, [Written._make(each) for each in answers]

    def close(self) -> None:
        """End the process, whatever it is doing. Once."""
        self._channel.close()
        self._on_close()


class Shared:
    """A bulk's lines answered in two processes, and their answers in order.

    Batches go to the second process while it has room, and are answered here otherwise.
    """

    def __init__(
        self,
        asked: Asked,
        second: Second,
        spend: Callable[[float], None],
        rest: Callable[[], None],
    ):
        """spend: is told how much processor time the second process took. rest: called before a wait."""
        self._asked, self._second, self._spend, self._rest = asked, second, spend, rest
        # In order: each batch with its answers, None while the second process has it.
        self._held: deque[tuple[Lines, list[Written] | None]] = deque()
        self._is_lost = False

    def add(self, lines: Lines) -> None:
        """Answer some lines, there or here."""
        if not self._is_lost and self._second.sent and self._second.has_answered():
            self._collect()
        if not self._is_lost and self._second.takes(lines):
            try:
                self._second.send(lines)
                self._held.append((lines, None))
                return
            except Lost:
                self._lose()
        self._held.append((lines, list(self._asked.answers(lines))))

    def answers(self, may_wait: Callable[[], bool]) -> Iterator[Written]:
        """The answers that are next, those that are not here yet waited for as long as nothing else is to do.

        may_wait: whether nothing else is.
        """
        while self._held:
            if self._held[0][1] is None:
                is_late = len(self._held) > MOST_AHEAD + self._second.sent
                while not (is_late or self._second.has_answered()):
                    if not may_wait():
                        return
                    self._rest()
                    self._second.has_answered(STEP_S)
                self._collect()
            _, answers = self._held.popleft()
            yield from answers or ()

    def _collect(self) -> None:
        """Put the answers of the oldest batch that the second process has in its place."""
        if not self._second.has_answered():
            self._rest()
        try:
            seconds, answers = self._second.collect()
        except Lost:
            self._lose()
            return
        self._spend(seconds)
        at = next(place for place, (_, found) in enumerate(self._held) if found is None)
        self._held[at] = (self._held[at][0], answers)

    def _lose(self) -> None:
        """The second process is lost: answer here what it had."""
        self._is_lost = True
        for place, (lines, answers) in enumerate(self._held):
            if answers is None:
                self._held[place] = (lines, list(self._asked.answers(lines)))
