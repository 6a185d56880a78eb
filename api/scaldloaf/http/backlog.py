"""What has come of a request's body and is not read yet.

A caller may send all of a bulk before it reads an answer, so taking in must never wait for giving out. What waits lies in
memory up to HELD_BYTES, and beyond that in a file without a name, whose room is used again and again.
"""

import os
import tempfile
import threading
import time
from collections import deque
from collections.abc import Iterator

HELD_BYTES = 1024 * 1024
STALLED_S = 5  # a caller that takes no answer for so long is sending everything before it reads
DISCARDED_BYTES = 256 * 1024 * 1024  # of what a caller goes on sending when it is of no use any more


def show_life() -> None:
    """Called now and then. A server that takes a long silence for a hung worker puts its own here."""


class BrokenOff(Exception):
    """A body that ended too soon or could not be read any further."""


class Overfull(Exception):
    """More came than may wait."""


class Backlog:
    """Bytes that have come and were not asked for yet, in order; one thread fills it, another may read."""

    def __init__(self, most: int):
        """most: how many bytes may wait."""
        self._most = most
        self._memory: deque[bytes] = deque()
        self._in_memory = 0
        self._file = None  # a ring of ``most`` bytes
        self._written = self._taken = 0  # of the file, in all
        self._ended = self._given_up = False
        self.error: Exception | None = (
            None  # why it ended too soon: BrokenOff, Overfull or the disk's OSError
        )
        self.sending_since: float | None = None  # since when the reader has been busy with sending, if it is
        self._turn = threading.Condition()

    def fill(self, stream, size: int, wait: bool = True, length: int | None = None) -> None:
        """Take in all of a stream in pieces of ``size``; what fails is kept in ``error``, for the reader too.

        wait: whether there is a reader, whom a full backlog waits for. length: of the whole, where the caller said so;
        less than that is a stream that broke off.
        """
        total = 0
        try:
            for chunk in _pieces(stream, size):
                total += len(chunk)
                if not self._store(chunk, wait):
                    return
            if length is not None and total < length:
                raise BrokenOff
            self._end()
        except BrokenOff as error:
            self._end(error)
        except Exception as error:  # Overfull, or of a disk that is full
            self._end(error)
            if wait:
                self._discard(stream, size)

    def _end(self, error: Exception | None = None) -> None:
        with self._turn:
            self.error, self._ended = error, True
            self._turn.notify_all()

    def _discard(self, stream, size: int) -> None:
        """Read on, so that a caller that sends everything first comes to read why nothing more was kept."""
        left = DISCARDED_BYTES
        try:
            for chunk in _pieces(stream, size):
                left -= len(chunk)
                if left <= 0 or self._given_up:
                    return
        except BrokenOff:
            pass  # the caller has gone

    def _store(self, chunk: bytes, wait: bool) -> bool:
        """False: there is no reader any more."""
        with self._turn:
            while (
                not self._given_up and self._in_memory + self._written - self._taken + len(chunk) > self._most
            ):
                if not wait or self._is_stalled():
                    raise Overfull
                self._turn.wait(1)
            if self._given_up:
                return False
            if self._written > self._taken or self._in_memory + len(chunk) > HELD_BYTES:
                self._write(chunk)
            else:
                self._memory.append(chunk)
                self._in_memory += len(chunk)
            self._turn.notify_all()
        return True

    def _is_stalled(self) -> bool:
        since = self.sending_since
        return since is not None and time.monotonic() - since >= STALLED_S

    def _write(self, chunk: bytes) -> None:
        if self._file is None:
            self._file = tempfile.TemporaryFile(buffering=0)
        place = self._written % self._most
        for part, at in ((chunk[: self._most - place], place), (chunk[self._most - place :], 0)):
            while part:
                done = os.pwrite(self._file.fileno(), part, at)
                part, at = part[done:], at + done
        self._written += len(chunk)

    def read(self, size: int) -> bytes:
        """The next bytes, about ``size`` of them; none at the end. Raises ``error`` where the stream ended too soon."""
        with self._turn:
            self._turn.wait_for(lambda: self._memory or self._written > self._taken or self._ended)
            if self._memory:
                data = self._memory.popleft()
                self._in_memory -= len(data)
            else:
                data = self._read_file(size)
            self._turn.notify_all()
        if not data and self.error is not None:
            raise self.error
        return data

    def _read_file(self, size: int) -> bytes:
        place = self._taken % self._most
        size = min(size, self._written - self._taken, self._most - place)
        if not size:
            return b""
        data = os.pread(self._file.fileno(), size, place)
        self._taken += len(data)
        if self._taken == self._written:  # all caught up: the room is free again
            self._taken = self._written = 0
            self._file.truncate(0)
        return data

    def close(self) -> None:
        with self._turn:
            self._given_up = True
            self._memory.clear()
            if self._file is not None:
                self._file.close()
            self._turn.notify_all()


def _pieces(stream, size: int) -> Iterator[bytes]:
    while True:
        show_life()
        try:
            piece = stream.read(size)
        except (
            Exception
        ) as error:  # of the server's own kinds, when the caller hangs up or its chunks are none
            if left := _left_in(stream, size):
                yield left
            raise BrokenOff from error
        if not piece:
            return
        yield piece


def _left_in(stream, size: int) -> bytes:
    """What a stream that failed had read of the piece before it did: whole lines among it are to be answered."""
    try:
        return stream.read(size)
    except Exception:  # the first failure is the one that counts
        return b""
