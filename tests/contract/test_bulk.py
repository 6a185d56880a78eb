"""bulk: NDJSON in, NDJSON out, in order, each line on its own."""

import io
import json
import tracemalloc
from itertools import chain

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scaldloaf.http import create_app
from scaldloaf.http.bulk import MEDIA
from scaldloaf.http.bulk_array import lines_of
from scaldloaf.http.bulk_lines import read_lines
from scaldloaf.http.settings import Settings
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.registry import OPERATIONS


@pytest.fixture
def bulk(client):
    def send(*lines, query="", **more) -> list[dict]:
        body = b"\n".join(line if isinstance(line, bytes) else json.dumps(line).encode() for line in lines)
        response = client.post(f"/v1/bulk{query}", data=body, content_type=MEDIA, **more)
        assert response.status_code == 200 and response.content_type == MEDIA
        text = response.get_data()
        assert text == b"" or text.endswith(b"\n")
        return [json.loads(line) for line in text.splitlines()]

    return send


def test_every_call_answers_as_it_does_by_itself(bulk, call):
    lines = [
        {"id": f"{operation.name} {example.name}", "call": operation.name, "body": example.body}
        for operation in OPERATIONS
        for example in operation.examples
    ]
    answers = bulk(*lines)
    assert [answer["id"] for answer in answers] == [line["id"] for line in lines]
    for line, answer in zip(lines, answers, strict=False):
        assert answer["status"] == 200 and answer["body"] == call(line["call"], line["body"])
    assert "working" not in bulk(lines[0], query="?show=result")[0]["body"]


def test_a_fault_of_a_whole_line_is_said_once(bulk):
    wrong = bulk(b"{not json", [1], b'{"a": 1, "a": 2}', {"call": "breakdown", "body": []})
    details = [answer["body"]["detail"] for answer in wrong]
    assert details[0].startswith("the body is not JSON: ") and details[0].count("body") == 1
    assert details[1] == "a line must be an object"
    assert details[2] == "an object has the key 'a' twice; keep one"
    assert details[3].startswith("the body must be an object")


def test_one_lines_failure_is_never_anothers(bulk, client):
    good = {"id": 1, "call": "breakdown", "body": {"formula": TIN_LOAF}}
    bad_body = {"formula": {"lines": [{"ingredient": "water", "mass": 5}]}}
    answers = bulk(
        good,
        b"{not json",
        {"id": "a", "call": "breakdown", "body": bad_body},
        b"",
        b"   ",
        {"id": 2.5, "call": "braekdown", "body": {}},
        {"id": None, "call": "breakdown"},
        [1],
        {"id": {}, "call": "breakdown", "body": {}},
        {"id": 7, "call": "breakdown", "body": {}, "x": 1},
        b'{"id": 8, "id": 9, "call": "breakdown", "body": {}}',
        {**good, "id": "x" * 121},
        b'"' + b"y" * 70_000 + b'"',
        {**good, "id": "last"},
    )
    assert [answer["status"] for answer in answers] == [
        200,
        400,
        422,
        404,
        422,
        422,
        422,
        422,
        400,
        422,
        413,
        200,
    ]
    assert [answer["id"] for answer in answers] == [
        1,
        None,
        "a",
        2.5,
        None,
        None,
        None,
        7,
        None,
        None,
        None,
        "last",
    ]
    assert answers[2]["body"]["errors"] == client.post("/v1/breakdown", json=bad_body).json["errors"]
    assert answers[3]["body"]["errors"][0]["nearest"] == "breakdown"
    assert answers[0]["body"] == answers[-1]["body"]


def test_a_field_too_many_is_pointed_at(bulk):
    (answer,) = bulk({"id": 1, "call": "breakdown", "body": {}, "a/b~": 1})
    assert answer["status"] == 422 and answer["body"]["errors"][0]["pointer"] == "/a~1b~0"


NUMBERS = (
    "7",
    "18446744073709551615",
    "1" + 29 * "7",
    "-" + 40 * "9",
    "0.1234567890123456789012",
    "1E5",
    "2.50",
)


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize("call, status", [("breakdown", 200), ("braekdown", 404)])
def test_a_number_as_id_comes_back_with_every_digit(client, number, call, status):
    body = json.dumps({"call": call, "body": {"formula": TIN_LOAF}})
    sent = f'{{"id": {number}, {body[1:]}'
    line = client.post("/v1/bulk", data=sent, content_type="application/x-ndjson").data
    assert line.startswith(f'{{"id":{number},"status":{status},'.encode())


def test_no_line_no_answer(bulk):
    assert bulk() == [] and bulk(b"\n\n  \n") == []


def test_wrong_media_type(client, assert_problem):
    assert_problem(client.post("/v1/bulk", data=b"", content_type="text/plain"), 415, "", "wrong_media_type")


@given(st.lists(st.binary(max_size=60), max_size=20), st.integers(1, 64))
def test_lines_are_cut_at_their_ends_however_they_arrive(lines, piece):
    class Dribble(io.BytesIO):
        def read(self, size=-1):
            return super().read(min(piece, size))

    body = b"\n".join(lines)
    kept = [line for line in body.split(b"\n") if len(line) > 32 or line.strip()]
    wanted = [line if len(line) <= 32 else None for line in kept]
    assert list(chain.from_iterable(read_lines(Dribble(body), 32))) == wanted


# ---- As one array


def test_an_array_gets_an_array_with_the_same_answers(bulk, client):
    lines = [
        {"id": "a", "call": "breakdown", "body": {"formula": TIN_LOAF}},
        {"id": None, "call": "braekdown", "body": {}},
        7,
        {"id": 3, "call": "breakdown", "body": {}},
    ]
    headers = {"X-Request-Id": "the-same"}  # of the problems, too
    response = client.post("/v1/bulk?show=result", json=lines, headers=headers)
    assert (response.status_code, response.content_type) == (200, "application/json")
    assert json.loads(response.get_data()) == bulk(*lines, query="?show=result", headers=headers)
    assert json.loads(client.post("/v1/bulk", json=[]).get_data()) == []


def test_an_array_keeps_each_digit_of_an_id(client):
    digits = b"123456789012345678901234567890.10"
    body = b'[{"id": %b, "call": "breakdown", "body": {}}]' % digits
    assert b'"id":' + digits in client.post("/v1/bulk", data=body, content_type="application/json").get_data()


def test_an_array_of_many_small_entries_takes_little_memory():
    assert lines_of(b' [ {"a" :\r\n1.10}\n, [[\n]] , "\\n" ]') == b'{"a" :  1.10}\n[[ ]]\n"\\n"\n'
    body = b"[" + b"1," * 50_000 + b"1]"
    tracemalloc.start()
    try:
        lines = lines_of(body)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert lines == b"1\n" * 50_001
    assert peak < 400 * len(body)


def test_an_array_that_uses_up_the_bulk_ends_as_its_lines_do(contract):
    client = create_app(Settings(max_bulk_lines=2)).test_client()
    line = {"id": 1, "call": "breakdown", "body": {"formula": TIN_LOAF}}
    response = client.post("/v1/bulk?show=result", json=[line] * 3)
    *answers, last = json.loads(response.get_data())
    contract.check("POST", "/v1/bulk", 200, "application/json", response.get_data())
    assert [answer["status"] for answer in answers] == [200, 200]
    assert (last["id"], last["status"], last["answered"]) == (None, 429, 2)


@pytest.mark.parametrize(
    ("body", "status", "code"),
    [
        (b"[{]", 400, "not_json"),
        (b'{"call": "breakdown"}', 422, "wrong_type"),
        (b"[" + b" " * 2 * 1024**2 + b"]", 413, "too_large"),
    ],
    ids=["no JSON", "no array", "too long"],
)
def test_an_array_is_refused_as_a_whole(client, assert_problem, body, status, code):
    response = client.post("/v1/bulk", data=body, content_type="application/json")
    assert_problem(response, status, "", code)


def test_an_array_is_answered_as_json_only(client, assert_problem):
    response = client.post("/v1/bulk", json=[], headers={"Accept": MEDIA})
    assert_problem(response, 406, "", "not_acceptable")
