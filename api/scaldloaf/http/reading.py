"""Bytes to JSON and back: strict in, finite out.

orjson rejects NaN, infinity, numbers that overflow a double, lone surrogates and deep nesting, but keeps
only the last of two equal keys. That would lose a value silently, so equal keys are refused too: by a cheap
count when the text has no escapes, otherwise by the standard library's slower parser.
"""

import json
from collections.abc import Iterable
from math import isinf

import orjson

from scaldloaf.operations.faults import pointer

MOST_SHOWN = 40  # characters of a number that is refused


class NotJson(ValueError):
    """A body that is not valid JSON; ``pointer`` says where, if known."""

    def __init__(self, detail: str, code: str = "not_json", pointer: str = "", given: object = None):
        super().__init__(detail)
        self.detail, self.code, self.pointer, self.given = detail, code, pointer, given


def write_json(value: object) -> bytes:
    return orjson.dumps(value)


def read_json(body: bytes) -> object:
    """The value of a JSON text. Raises NotJson."""
    try:
        value = orjson.loads(body)
    except orjson.JSONDecodeError as error:
        raise _not_finite(body) or NotJson(f"the body is not JSON: {error}") from None
    try:
        again = orjson.dumps(value)
    except TypeError:  # orjson reads deeper nesting than it writes
        raise NotJson("the body is nested too deeply", "nested_too_deeply") from None
    # Each member of an object has one colon. Without escapes no colon can be hidden, so the text written
    # again has fewer colons exactly when a member was dropped.
    if b"\\" in body or body.count(b":") != again.count(b":"):
        _refuse_equal_keys(body)
    return value


def as_written(body: bytes, name: str) -> object:
    """A field of an object that ``read_json`` accepts; ``write_json`` writes each digit of its numbers."""
    field: object = json.loads(body, parse_int=orjson.Fragment, parse_float=orjson.Fragment)[name]
    return field


class _NotFinite(str):
    """A number as it was written that no double holds, or that is none: NaN, Infinity, 1e400."""


def _number(written: str) -> float | _NotFinite:
    number = float(written)
    return _NotFinite(written) if isinf(number) else number


def _not_finite(body: bytes) -> NotJson | None:
    """The refusal of the first number that is not finite, at its place; None where that is not it."""
    try:
        value = json.loads(body, parse_constant=_NotFinite, parse_float=_number, parse_int=_number)
        path, written = _first_not_finite(value) or ((), "")
        place = pointer(path)
        place.encode()  # a key with a lone surrogate is no JSON itself
    except (ValueError, RecursionError):
        return None
    if not written:
        return None
    written = written[:MOST_SHOWN]
    return NotJson(
        f"{written} is not a number that JSON can hold; give a finite number", pointer=place, given=written
    )


def _first_not_finite(value: object) -> tuple[tuple[str | int, ...], str] | None:
    """The path of the first number that is not finite, and the number as it was written."""
    if isinstance(value, _NotFinite):
        return (), value
    members: Iterable[tuple[str | int, object]] = ()
    if isinstance(value, dict):
        members = value.items()
    elif isinstance(value, list):
        members = enumerate(value)
    for key, each in members:
        if found := _first_not_finite(each):
            path, written = found
            return (key, *path), written
    return None


def _refuse_equal_keys(body: bytes) -> None:
    def members(pairs: list[tuple[str, object]]) -> dict[str, object]:
        seen: dict[str, object] = {}
        for key, value in pairs:
            if key in seen:
                raise NotJson(
                    f"an object has the key {key[:80]!r} twice; keep one",
                    "duplicate_key",
                    given=key[:80],
                )
            seen[key] = value
        return seen

    try:
        json.loads(body, object_pairs_hook=members)
    except RecursionError:
        raise NotJson("the body is nested too deeply", "nested_too_deeply") from None
