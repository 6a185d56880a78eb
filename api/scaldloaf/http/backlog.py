"""A buffer for the part of a request's body that has arrived but is not read yet.

A caller may send all of a bulk before it reads an answer, so receiving must never wait for sending. The
buffer is in memory up to HELD_BYTES and beyond that in an unnamed file, used as a ring.
"""

import os
import tempfile
import threading
import time
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import IO, Protocol

HELD_BYTES = 1024 * 1024
# Chunk size of the file, both ways: nobody waits for the next line there, and each chunk
# costs a wait for the thread that computes.
FILE_BYTES = 64 * 1024
STALLED_S = 5  # a caller that reads nothing for this long sends everything before it reads
DISCARDED_BYTES = 256 * 1024 * 1024  # read and discarded at most, when the rest of a body is useless
LINES = "application/x-ndjson"  # the media type of a bulk of lines, which may come slowly


class Figures:
    """Is told what happens to bulks; this one counts nothing."""

    def line(self, status: int, refusal: tuple[str, str] | None) -> None:
        """A line has been answered. refusal: its kind of problem and the code of its first fault."""

    def running(self, change: int) -> None:
        """Bulks have begun or ended."""

    def waiting(self, memory: int, file: int) -> None:
        """Bytes that wait for their answers have come or gone, in memory and in the file."""


def show_life() -> None:
    """Called regularly during long work; a server that replaces silent workers sets its heartbeat here."""


class BrokenOff(Exception):
    """A body that ended early or could not be read to its end."""


class Overfull(Exception):
    """More bytes arrived than may wait."""


class Readable(Protocol):
    """A stream of bytes."""

    def read(self, size: int, /) -> bytes: ...


class Backlog:
    """Received bytes that are not read yet, in order. One thread fills it; another may read."""

    def __init__(self, most: int, figures: Figures | None = None):
        """most: how many bytes may wait."""
        self._most, self._figures = most, figures or Figures()
        self._memory: deque[bytes] = deque()
        self._in_memory = 0
        self._file: IO[bytes] | None = None  # a ring of ``most`` bytes
        self._written = self._taken = 0  # totals of the file
        self._ended = self._given_up = False
        #: Why the stream ended early: BrokenOff, Overfull or an OSError of the disk.
        self.error: Exception | None = None
        #: When the reader began to send an answer (monotonic clock); None while it is not sending.
        self.sending_since: float | None = None
        self._turn = threading.Condition()

    @property
    def waits(self) -> bool:
        """Whether the next ``read`` would wait for more to arrive."""
        return not (self._memory or self._written > self._taken or self._ended)

    @property
    def file_bytes(self) -> int:
        """What its file takes up; 0 without one."""
        return 0 if self._file is None else os.fstat(self._file.fileno()).st_size

    def fill(self, stream: Readable, size: int, wait: bool = True, length: int | None = None) -> None:
        """Read a whole stream in pieces of ``size``, or FILE_BYTES once they go into the file.

        ``error`` stores a failure and ``read`` raises it.

        wait: whether a reader runs beside this, so that a full backlog waits for it. length: of the whole
        stream, if the caller declared it; a shorter stream is BrokenOff.
        """
        total = 0
        try:
            for chunk in _pieces(stream, lambda: FILE_BYTES if self._written > self._taken else size):
                total += len(chunk)
                if not self._store(chunk, wait):
                    return
            if length is not None and total < length:
                raise BrokenOff
            self._end()
        except BrokenOff as error:
            self._end(error)
        except Exception as error:  # Overfull, or an OSError of a full disk
            self._end(error)
            if wait:
                self._discard(stream, size)

    def _end(self, error: Exception | None = None) -> None:
        with self._turn:
            self.error, self._ended = error, True
            self._turn.notify_all()

    def _discard(self, stream: Readable, size: int) -> None:
        """Read on and discard, so that a caller that sends everything first gets to read the refusal."""
        left = DISCARDED_BYTES
        with suppress(BrokenOff):  # the caller has gone
            for chunk in _pieces(stream, lambda: size):
                left -= len(chunk)
                if left <= 0 or self._given_up:
                    return

    def _store(self, chunk: bytes, wait: bool) -> bool:
        """Store a chunk. False if there is no reader any more."""
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
                self._figures.waiting(len(chunk), 0)
            self._turn.notify_all()
        return True

    def _is_stalled(self) -> bool:
        since = self.sending_since
        return since is not None and time.monotonic() - since >= STALLED_S

    def _write(self, chunk: bytes) -> None:
        if self._file is None:
            self._file = tempfile.TemporaryFile(buffering=0)  # noqa: SIM115 - ``close`` closes it
        place = self._written % self._most
        for part, at in ((chunk[: self._most - place], place), (chunk[self._most - place :], 0)):
            while part:
                done = os.pwrite(self._file.fileno(), part, at)
                part, at = part[done:], at + done
        self._written += len(chunk)
        self._figures.waiting(0, len(chunk))

    def read(self, size: int) -> bytes:
        """The next bytes, about ``size``; b"" at the end. Raises ``error`` if the stream ended early."""
        with self._turn:
            self._turn.wait_for(lambda: not self.waits)
            if self._memory:
                data = self._memory.popleft()
                self._in_memory -= len(data)
                self._figures.waiting(-len(data), 0)
            else:
                data = self._read_file(size)
            self._turn.notify_all()
        if not data and self.error is not None:
            raise self.error
        return data

    def _read_file(self, size: int) -> bytes:
        place = self._taken % self._most
        size = min(max(size, FILE_BYTES), self._written - self._taken, self._most - place)
        if not size or self._file is None:
            return b""
        data = os.pread(self._file.fileno(), size, place)
        self._taken += len(data)
        self._figures.waiting(0, -len(data))
        if self._taken == self._written:  # everything is read: start again at the front
            self._taken = self._written = 0
            self._file.truncate(0)
        return data

    def close(self) -> None:
        with self._turn:
            self._given_up = True
            self._figures.waiting(-self._in_memory, self._taken - self._written)
            self._in_memory = self._written = self._taken = 0
            self._memory.clear()
            if self._file is not None:
                self._file.close()
            self._turn.notify_all()


def _pieces(stream: Readable, size_of_next: Callable[[], int]) -> Iterator[bytes]:
    while True:
        show_life()
        size = size_of_next()
        try:
            piece = stream.read(size)
        except (
            Exception
        ) as error:  # gunicorn raises its own types for a dropped connection or malformed chunks
            if left := _left_in(stream, size):
                yield left
            raise BrokenOff from error
        if not piece:
            return
        yield piece


def _left_in(stream: Readable, size: int) -> bytes:
    """What the stream had read of a piece before it failed. Complete lines in it still get an answer."""
    try:
        return stream.read(size)
    except Exception:  # the first failure is reported
        return b""
