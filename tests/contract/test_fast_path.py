"""A call answered below Flask gets the very answer that Flask would have given it."""

import gc
import io
import json
import random

import pytest
from werkzeug.test import EnvironBuilder

import scaldloaf.http.app
from mangling import mangle
from scaldloaf.http import create_app
from scaldloaf.http.settings import settings_from
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.registry import OPERATIONS

BODY = json.dumps({"formula": TIN_LOAF}).encode()
PLAIN = {"path": "/v1/breakdown", "method": "POST", "data": BODY, "content_type": "application/json"}
REQUEST_ID = "till-7"  # the same for both


@pytest.fixture(scope="module")
def both():
    """The application, and the same with every call going to Flask."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(scaldloaf.http.app, "fast_path", lambda wsgi_app, *_: wsgi_app)
        by_flask = create_app()
    return create_app(), by_flask


def asked(app, change=None, **how):
    """(status, sorted headers, body, whether Flask saw it)."""
    environ = EnvironBuilder(**{**PLAIN, **how}).get_environ() | {"HTTP_REQUEST_ID": REQUEST_ID}
    if change:
        change(environ)
    begun = []
    parts = app(environ, lambda status, headers, _=None: begun.append((status, sorted(headers))))
    body = b"".join(parts)
    if hasattr(parts, "close"):
        parts.close()
    return *begun[0], body, "werkzeug.request" in environ


def same(both, change=None, **how) -> bool:
    """Whether it was answered below Flask, once both answers are found to be the same."""
    *here, through_flask = asked(both[0], change, **how)
    *there, always = asked(both[1], change, **how)
    assert here == there and always
    return not through_flask


@pytest.mark.parametrize("query", ["", "show=result"])
@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_examples(both, operation, query):
    for example in operation.examples:
        for headers in (
            {},
            {"Accept": "*/*"},
            {"Accept": "application/json", "Accept-Encoding": "gzip, deflate"},
        ):
            assert same(
                both, path=operation.path, query_string=query, data=json.dumps(example.body), headers=headers
            )


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_spoilt_requests(both, operation):
    chance = random.Random(operation.name)
    taken = {
        same(
            both, path=operation.path, data=json.dumps(mangle(chance.choice(operation.examples).body, chance))
        )
        for _ in range(30)
    }
    assert taken == {True, False}


@pytest.mark.parametrize(
    "how",
    [
        {"method": "GET"},
        {"method": "PUT"},
        {"method": "HEAD"},
        {"method": "OPTIONS"},
        {"path": "/v1/breakdown/"},
        {"path": "/v1/Breakdown"},
        {"query_string": "show=full"},
        {"query_string": "show=all"},
        {"query_string": "x"},
        {"query_string": "show=result&show=result"},
        {"content_type": "application/json; charset=utf-8"},
        {"content_type": "application/json; charset=latin-1"},
        {"content_type": "text/plain"},
        {"content_type": None},
        {"headers": {"Accept": "text/html"}},
        {"headers": {"Accept": "application/json;q=0"}},
        {"headers": {"Accept": "text/csv, */*"}},
        {"headers": {"Content-Encoding": "gzip"}},
        {"data": b""},
        {"data": b"[]"},
        {"data": b"{"},
        {"data": b'{"formula": NaN}'},
        {"data": b'{"formula": {}, "formula": {}}'},
        {"data": b" " * 65536},
        {"data": b" " * 65537},
        {"path": "/v1/order-demand", "headers": {"Accept": "text/csv"}},
    ],
    ids=lambda how: repr(how)[:60],
)
def test_what_is_not_plain_goes_to_flask(both, how):
    assert not same(both, **how)


def cut_short(environ):
    environ["wsgi.input"] = io.BytesIO(BODY[:100])


def of_length(text):
    def change(environ):
        environ["CONTENT_LENGTH"] = text

    return change


def in_chunks(environ):
    del environ["CONTENT_LENGTH"]
    environ["HTTP_TRANSFER_ENCODING"], environ["wsgi.input_terminated"] = "chunked", True


@pytest.mark.parametrize(
    "change", [cut_short, in_chunks, *map(of_length, ("", "-1", "1e3", "²", "9" * 40, str(len(BODY) + 1)))]
)
def test_bodies_of_an_odd_length(both, change):
    assert not same(both, change)


def test_a_reader_that_fails(both):
    def breaks(environ):
        class Broken(io.BytesIO):
            def read(self, *_):
                raise OSError("secret recipe")

        environ["wsgi.input"] = Broken()

    assert not same(both, breaks)
    status, _, body, _ = asked(both[0], breaks)
    assert status.startswith("400") and b"secret" not in body


@pytest.mark.parametrize(
    "body", [b"{", b'{"formula": {}}', b'{"formula": {"lines": [{"ingredient": "water", "mass": 3}]}}']
)
def test_a_refusal_leaves_nothing_to_the_collector(both, body):
    """Nothing more than Flask does by itself, that is: bodies would wait in memory for it by the hundred."""

    def left_by(app) -> int:
        asked(app, data=body)
        gc.collect()
        gc.freeze()  # what was there before is not looked through again
        gc.disable()
        try:
            asked(app, data=body)
            return gc.collect()
        finally:
            gc.enable()
            gc.unfreeze()

    assert left_by(both[0]) <= left_by(both[1])


def test_clients_are_limited():
    """Whichever way they come: both count together, and each request once."""
    limited = create_app(settings_from({"SCALDLOAF_RATE": "3/minute"}))
    odd = {"query_string": "show=full"}
    assert [asked(limited, **how)[::3] for how in ({}, odd, {}, {}, odd)] == [
        ("200 OK", False),
        ("200 OK", True),
        ("200 OK", False),
        ("429 TOO MANY REQUESTS", True),
        ("429 TOO MANY REQUESTS", True),
    ]


def test_the_bound_of_a_body_is_the_setting():
    app = create_app(settings_from({"SCALDLOAF_MAX_BODY_BYTES": "1024"}))
    assert asked(app, data=BODY + b" " * (1025 - len(BODY)))[0].startswith("413")
    assert asked(app, data=BODY + b" " * (1024 - len(BODY)))[0].startswith("200")
