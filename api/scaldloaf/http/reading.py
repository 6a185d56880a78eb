"""Bytes to JSON and back: strict in, finite out.

orjson refuses NaN, infinity, numbers beyond a double, lone surrogates and deep nesting, but keeps the
last of two equal keys. Two equal keys mean that one value would be lost in silence, so they are
refused: cheaply when the text has no escapes, by the standard library's slower reader otherwise.
"""

import json

import orjson


class NotJson(ValueError):
    """A body that is not the JSON it should be; ``pointer`` says where, when that can be told."""

    def __init__(self, detail: str, code: str = "not_json", pointer: str = "", given: object = None):
        super().__init__(detail)
        self.detail, self.code, self.pointer, self.given = detail, code, pointer, given


def write_json(value: object) -> bytes:
    return orjson.dumps(value)


def read_json(body: bytes) -> object:
    """The value of a JSON text. Raises NotJson, saying what is wrong and where."""
    try:
        value = orjson.loads(body)
    except orjson.JSONDecodeError as error:
        raise NotJson(f"the body is not JSON: {error}") from None
    try:
        again = orjson.dumps(value)
    except TypeError:  # it reads deeper than it writes
        raise NotJson("the body is nested too deeply", "nested_too_deeply") from None
    # Every member of an object costs one colon. When no escape can hide a colon, the text
    # written again has fewer of them exactly when a member was dropped.
    if b"\\" in body or body.count(b":") != again.count(b":"):
        _refuse_equal_keys(body)
    return value


def _refuse_equal_keys(body: bytes) -> None:
    def members(pairs):
        seen = {}
        for key, value in pairs:
            if key in seen:
                raise NotJson(
                    f"the key {key[:80]!r} stands twice in one object; keep one",
                    "duplicate_key",
                    given=key[:80],
                )
            seen[key] = value
        return seen

    try:
        json.loads(body, object_pairs_hook=members)
    except RecursionError:
        raise NotJson("the body is nested too deeply", "nested_too_deeply") from None
