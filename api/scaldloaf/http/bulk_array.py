"""A bulk as one JSON array: for clients that cannot send or read lines, such as most generated ones.

The array becomes the lines that it would have been, so that both forms have the same answers, budget and
turns. It has the limit of order-demand's body, as all of it is read before the first answer.
"""

import json
from collections.abc import Iterator

import orjson

from scaldloaf.http.reading import read_json
from scaldloaf.operations.faults import Fault, InputFault, abridged


def lines_of(body: bytes) -> bytes:
    """The entries of an array as lines, each digit of their numbers as it was written.

    Raises NotJson, and InputFault for other JSON than an array.
    """
    given = read_json(body)
    if not isinstance(given, list):
        raise InputFault([Fault("", "wrong_type", "must be a list of calls", abridged(given))])
    entries = json.loads(body, parse_int=orjson.Fragment, parse_float=orjson.Fragment)
    return b"\n".join(map(orjson.dumps, entries))


def array_of(answers: Iterator[bytes]) -> Iterator[bytes]:
    """The answers, each a line with its end, as one array."""
    before = b"[\n"
    for answer in answers:
        yield before + answer
        before = b","
    yield b"]\n" if before == b"," else b"[]\n"
