"""A bulk as one JSON array: for clients that cannot send or read lines, such as most generated ones.

The array becomes the lines that it would have been, so that both forms have the same answers, budget and
turns. It has the limit of order-demand's body, as all of it is read before the first answer.
"""

import json
import re
from collections.abc import Iterator

from scaldloaf.http.reading import read_json
from scaldloaf.operations.faults import Fault, InputFault, abridged

_skip = json.JSONDecoder(parse_int=str, parse_float=str).raw_decode
_before_entry = re.compile(r"\s*[\[,]\s*").match
_LINE_ENDS = str.maketrans("\r\n", "  ")  # only between tokens: no text of JSON holds one


def lines_of(body: bytes) -> bytes:
    """The entries of an array as lines, as they were written.

    They are cut out, into one piece of memory: a million objects of small entries would take gigabytes.
    Raises NotJson, and InputFault for other JSON than an array.
    """
    given = read_json(body)
    if not isinstance(given, list):
        raise InputFault([Fault("", "wrong_type", "must be a list of calls", abridged(given))])
    count, text, end = len(given), body.decode(), 0
    del given  # it may be large, too
    lines = bytearray()
    for _ in range(count):
        if before := _before_entry(text, end):
            end = before.end()
        begin, end = end, _skip(text, end)[1]
        lines += text[begin:end].translate(_LINE_ENDS).encode() + b"\n"
    return bytes(lines)


def array_of(answers: Iterator[bytes]) -> Iterator[bytes]:
    """The answers, each a line with its end, as one array."""
    before = b"[\n"
    for answer in answers:
        yield before + answer
        before = b","
    yield b"]\n" if before == b"," else b"[]\n"
