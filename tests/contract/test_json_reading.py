"""The fast reader agrees with a slow, strict one on every text."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scaldloaf.http.reading import NotJson, read_json


class Pairs(tuple):
    """An object as pairs, so that keys may repeat."""


VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53), 2**53)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.lists(st.tuples(st.sampled_from(["a", "b", ":", '"', "é"]), inner), max_size=4).map(Pairs)
    ),
    max_leaves=12,
)


def text_of(value, ascii_only):
    if isinstance(value, Pairs):
        return (
            "{"
            + ",".join(
                f"{json.dumps(key, ensure_ascii=ascii_only)}: {text_of(inner, ascii_only)}"
                for key, inner in value
            )
            + "}"
        )
    if isinstance(value, list):
        return "[" + ", ".join(text_of(inner, ascii_only) for inner in value) + "]"
    return json.dumps(value, ensure_ascii=ascii_only)


def repeats(value):
    if isinstance(value, Pairs):
        keys = [key for key, _ in value]
        return len(set(keys)) < len(keys) or any(repeats(inner) for _, inner in value)
    return isinstance(value, list) and any(repeats(inner) for inner in value)


@given(VALUES, st.booleans())
def test_equal_keys_are_refused_and_nothing_else_is(value, ascii_only):
    text = text_of(value, ascii_only)
    try:
        body = text.encode("utf-8")
    except UnicodeEncodeError:
        return
    if "\\ud" in text and any(0xD800 <= ord(character) < 0xE000 for character in str(json.loads(text))):
        return  # lone surrogates are refused for their own sake; see the bad-input tests
    if repeats(value):
        with pytest.raises(NotJson) as refused:
            read_json(body)
        assert refused.value.code == "duplicate_key"
    else:
        assert read_json(body) == json.loads(text)
