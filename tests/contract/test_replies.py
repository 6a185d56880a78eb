"""The judge of replies is judged: it lets nothing pass that the document does not promise."""

import json

import pytest
from flask.testing import FlaskClient

import scaldloaf.http.calculations
from scaldloaf.operations.lantern_quay import TIN_LOAF

JSON, PROBLEM = "application/json", "application/problem+json"


@pytest.fixture
def breakdown(app) -> dict:
    return json.loads(FlaskClient(app).post("/v1/breakdown", json={"formula": TIN_LOAF}).get_data())


@pytest.fixture
def check(contract):
    def check(reply, status=200, media=JSON, method="POST", path="/v1/breakdown"):
        contract.check(method, path, status, media, json.dumps(reply).encode())

    return check


def without(reply: dict, field: str) -> dict:
    return {name: value for name, value in reply.items() if name != field}


def test_a_reply_as_promised_passes(check, breakdown):
    check(breakdown)
    check(without(breakdown, "working"))


@pytest.mark.parametrize(
    "spoil",
    [
        lambda reply: without(reply, "hydration_percent"),
        lambda reply: {**reply, "surprise": 1},
        lambda reply: {**reply, "hydration_percent": "62"},
        lambda reply: {**reply, "hydration_percent": float("nan")},
        lambda reply: {**reply, "formula": {**reply["formula"], "surprise": 1}},
        lambda reply: {**reply, "formula": {**reply["formula"], "lines": [{"ingredient": "water"}]}},
        lambda reply: {**reply, "notes": [{"code": "surprise", "text": "Surprise.", "values": {}}]},
        lambda reply: [],
    ],
    ids=[
        "field missing",
        "field too many",
        "wrong type",
        "not a number",
        "too many within",
        "missing within",
        "code not listed",
        "a list",
    ],
)
def test_a_reply_that_differs_fails(check, breakdown, spoil):
    with pytest.raises(AssertionError):
        check(spoil(breakdown))


@pytest.mark.parametrize(
    "how",
    [
        {"status": 201},
        {"status": 500},
        {"media": "text/html"},
        {"media": PROBLEM},
        {"status": 422},
        {"method": "GET", "path": "/nowhere", "status": 404},
        {"method": "GET", "path": "/v1/units"},
    ],
)
def test_another_status_or_form_fails(check, breakdown, how):
    with pytest.raises(AssertionError):
        check(breakdown, **how)


def test_the_client_of_the_tests_judges_what_it_gets(client, monkeypatch):
    monkeypatch.setattr(scaldloaf.http.calculations, "perform", lambda *_: {"surprise": 1})
    with pytest.raises(AssertionError, match="not what the document says"):
        client.post("/v1/breakdown", json={"formula": TIN_LOAF})
