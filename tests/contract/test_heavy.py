"""No request of 64 kB takes more than 50 ms of processor time, and none a compressed answer that does."""

import gzip
import time

import pytest

from heavy import REQUESTS, body_of, processor_ms
from scaldloaf.http.calculations import PACKED_LEVEL
from scaldloaf.http.reading import read_json, write_json
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME

MOST_MS = 50


@pytest.mark.parametrize("name", REQUESTS)
def test_the_heaviest_requests_are_answered_in_time(name):
    call, request = REQUESTS[name]
    assert processor_ms(call, body_of(request), enough=MOST_MS / 2) < MOST_MS


@pytest.mark.parametrize("body", [
    b'{"\\n":[' + b"[]," * 21_000 + b"[]]}", b'{"\\n":1,' + b",".join(b'"k%d":1' % key for key in range(6000)) + b"}",
    b"[" * 60_000, b'{"a":' * 12_000, b'{"formula":' + b"1" * 60_000 + b"}", b'{"\\n":' + b"1" * 60_000 + b"}",
    b'{"a":0.' + b"1" * 60_000 + b"}", b'"' + b"\\u00e9" * 10_000 + b'"', b'{"a":1e' + b"9" * 60_000 + b"}",
    b'{"units":"' + b"degC" * 15_000 + b'"}', b"\xc3" * 60_000, b" " * 65_000],
    ids=["lists", "keys", "depth", "objects", "digits", "digits_read_slowly", "fraction", "escapes", "exponent", "word",
         "broken_utf8", "blanks"])
def test_no_json_text_takes_long(body):
    assert processor_ms("breakdown", body, enough=MOST_MS / 2) < MOST_MS


def test_the_longest_answer_is_written_and_packed_in_time():
    call, request = REQUESTS["many_formulas"]
    body = body_of(request)

    def once() -> float:
        start = time.thread_time()
        gzip.compress(write_json(perform(BY_NAME[call], read_json(body))), PACKED_LEVEL)
        return 1000 * (time.thread_time() - start)

    assert min(once() for _ in range(5)) < MOST_MS
