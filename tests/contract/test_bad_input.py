"""Bad input gets a problem that names the field, says why and gives the nearest value that works."""

import pytest
from flask.testing import FlaskClient

from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.registry import OPERATIONS

FLOUR = {"ingredient": "bread_flour", "mass": 500}


def formula(*lines, **more):
    return {"formula": {"lines": list(lines), **more}}


@pytest.fixture
def post(client):
    def send(body, path="/v1/breakdown", **more):
        if isinstance(body, (bytes, str)):
            return client.post(path, data=body, content_type="application/json", **more)
        return client.post(path, json=body, **more)

    return send


@pytest.mark.parametrize(
    "text, code",
    [
        ('{"formula": NaN}', "not_json"),
        ('{"formula": {"lines": [{"ingredient": "bread_flour", "mass": Infinity}]}}', "not_json"),
        ('{"formula": {"lines": [{"ingredient": "bread_flour", "mass": 1e400}]}}', "not_json"),
        ('{"formula": 1, "formula": 2}', "duplicate_key"),
        ('{"formula": 1, "f\\u006frmula": 2}', "duplicate_key"),
        ('{"formula": {"name": "a\\u003ab", "name": "c"}}', "duplicate_key"),
        ('{"formula": {"name": "\\ud800"}}', "not_json"),
        ('{"\\ud800": NaN}', "not_json"),
        ("[" * 900 + "NaN" + "]" * 900, "not_json"),
        ("[" * 2000 + "]" * 2000, "not_json"),
        ("[" * 300 + "]" * 300, "nested_too_deeply"),
        ('{"a":' * 900 + '"\\n"' + "}" * 900, "nested_too_deeply"),
        ('{"\\u0061":' + '{"a":' * 1500 + "1" + "}" * 1501, "not_json"),
        ("", "not_json"),
        ("\ufeff{}", "not_json"),
        ("{}{}", "not_json"),
        (b'{"a": "\xff"}', "not_json"),
    ],
)
def test_not_json(post, assert_problem, text, code):
    assert_problem(post(text), 400, code=code)


@pytest.mark.parametrize(
    "text, pointer, given",
    [
        ('{"formula": NaN}', "/formula", "NaN"),
        ('{"a/b": [1, {"c": -Infinity}, NaN]}', "/a~1b/1/c", "-Infinity"),
        ('{"formula": {"lines": [{"mass": 1e400}, {"mass": NaN}]}}', "/formula/lines/0/mass", "1e400"),
        ("NaN", "", "NaN"),
        ('{"a": "NaN", "b": -1' + "0" * 400 + ".5}", "/b", "-1" + "0" * 38),
        ('{"a": NaN', "", None),
    ],
)
def test_a_number_that_is_none_is_refused_at_its_place(post, assert_problem, text, pointer, given):
    error = assert_problem(post(text), 400, pointer, code="not_json")
    assert error.get("given") == given


def test_one_entry_is_named_in_the_singular(post, assert_problem):
    error = assert_problem(post(formula()), 422, "/formula/lines", code="too_short")
    assert error["detail"] == "must have at least 1 entry"
    error = assert_problem(post({"formula": [], "one": {"a": 1}}), 422, "/one", code="unknown_field")
    assert error["given"] == "an object of 1 field"


@pytest.mark.parametrize(
    "name, nearest",
    [
        ("egg_whole", "whole_egg"),
        ("Flour Bread", "bread_flour"),
        ("egg whites", "egg_white"),
        ("braed_flour", "bread_flour"),
        ("harina", None),
        ("sourdough", None),
    ],
)
def test_the_nearest_name_is_an_ingredient_that_is_like_it(post, assert_problem, name, nearest):
    at = "/formula/lines/1/ingredient"
    body = formula(FLOUR, {"ingredient": name, "mass": 5})
    error = assert_problem(post(body), 422, at, code="unknown_ingredient")
    assert error["nearest"] == nearest
    assert nearest is not None or "GET /v1/ingredients" in error["detail"]


@pytest.mark.parametrize(
    "body, pointer, code, nearest",
    [
        ({}, "/formula", "missing", None),
        ([], "", "wrong_type", None),
        (formula(), "/formula/lines", "too_short", None),
        (formula({"ingredient": "water", "mass": 5}), "/formula/lines", "no_flour", None),
        (formula({"ingredient": "bread_flour", "mass": 0}), "/formula/lines", "no_flour", None),
        (formula({"ingredient": "bread_flour", "mass": 5e-324}), "/formula/lines", "no_flour", None),
        (formula({"ingredient": "bread_flour", "mass": -5}), "/formula/lines/0/mass", "too_small", 0),
        (formula({"ingredient": "bread_flour", "mass": 1e308}), "/formula/lines/0/mass", "too_large", 1e9),
        (formula({"ingredient": "bread_flour", "mass": "10"}), "/formula/lines/0/mass", "wrong_type", 10),
        (formula({"ingredient": "bread_flour", "mass": " 7,5 "}), "/formula/lines/0/mass", "wrong_type", 7.5),
        (formula({"ingredient": "bread_flour", "mass": True}), "/formula/lines/0/mass", "wrong_type", None),
        (formula({"ingredient": "bread_flour", "mass": None}), "/formula/lines/0/mass", "wrong_type", None),
        (
            formula({"ingredient": "braed_flour", "mass": 5}),
            "/formula/lines/0/ingredient",
            "unknown_ingredient",
            "bread_flour",
        ),
        (
            formula({"ingredient": "sugar", "mass": 5}, FLOUR),
            "/formula/lines/0/ingredient",
            "unknown_ingredient",
            "sucrose",
        ),
        (
            formula(FLOUR, {"ingredient": "water", "percent": 60}),
            "/formula/lines/1/mass",
            "mixed_mass_and_percent",
            None,
        ),
        (
            formula({"ingredient": "water", "percent": 60}, FLOUR),
            "/formula/lines/1/percent",
            "mixed_mass_and_percent",
            None,
        ),
        (formula({"ingredient": "bread_flour"}), "/formula/lines/0/mass", "mixed_mass_and_percent", None),
        (
            formula(FLOUR, {"ingredient": "water", "mass": 300, "percent": 50}),
            "/formula/lines/1/percent",
            "mass_and_percent_disagree",
            60,
        ),
        (
            formula({"ingredient": "bread_flour", "percent": 90}),
            "/formula/lines/0/percent",
            "flour_not_100",
            100,
        ),
        (
            formula(FLOUR, {"ingredient": "water", "mass": 1, "part": "sponge"}),
            "/formula/lines/1/part",
            "not_one_of",
            None,
        ),
        (
            formula(FLOUR, scald_evaporation=5),
            "/formula/scald_evaporation",
            "evaporation_above_scald_water",
            0,
        ),
        (formula(*[FLOUR] * 201), "/formula/lines", "too_long", None),
        (
            formula(
                {"ingredient": "mine", "mass": 5, "composition": {"water_percent": 80, "fat_percent": 60}}
            ),
            "/formula/lines/0/composition",
            "composition_above_100",
            None,
        ),
        (
            formula({"ingredient": "mine", "mass": 5, "composition": {"water": 80}}),
            "/formula/lines/0/composition/water",
            "unknown_field",
            "water_percent",
        ),
        ({**formula(FLOUR), "units": {"mass": "10**10**10"}}, "/units/mass", "not_one_of", None),
        ({**formula(FLOUR), "units": {"mass": "Kg"}}, "/units/mass", "not_one_of", "kg"),
        ({**formula(FLOUR), "units": {"masss": "g"}}, "/units/masss", "unknown_field", "mass"),
        (formula(FLOUR, name="bell\u0007"), "/formula/name", "not_plain_text", "bell"),
        (formula(FLOUR, name="x" * 121), "/formula/name", "too_long", "x" * 120),
    ],
)
def test_refused_at_the_field(post, assert_problem, body, pointer, code, nearest):
    assert assert_problem(post(body), 422, pointer, code)["nearest"] == nearest


def test_ten_thousand_lines_and_two_megabytes_are_too_large(post, assert_problem):
    assert_problem(post(formula(*[FLOUR] * 10_000)), 413, "", "too_large")
    found = assert_problem(post("x" * 2_000_000), 413, "", "too_large")
    assert found["nearest"] == 65536


def test_many_faults_are_all_told_up_to_a_limit(post, assert_problem):
    response = post(formula(*[{"ingredient": "bread_flour", "mass": -1}] * 30))
    assert_problem(response, 422)
    assert len(response.json["errors"]) == 20
    assert response.json["detail"] == "/formula/lines/0/mass: must be at least 0 (errors lists 19 more)"


@pytest.mark.parametrize(
    "headers, status",
    [
        ({"Content-Type": "text/plain"}, 415),
        ({"Content-Type": "application/json; charset=latin-1"}, 415),
        ({"Content-Type": "application/json", "Content-Encoding": "gzip"}, 415),
        ({}, 415),
        ({"Content-Type": "application/json", "Accept": "text/csv"}, 406),
        ({"Content-Type": "application/json; charset=UTF-8", "Accept": "text/html, */*;q=0.1"}, 200),
        ({"Content-Type": "application/json", "Accept": "application/json; charset=utf-8"}, 200),
        ({"Content-Type": "application/json", "Accept": "application/json;odata=none;q=0"}, 406),
        ({"Content-Type": "application/json", "Content-Encoding": "identity", "Accept": ""}, 200),
    ],
)
def test_media_types(client, headers, status):
    response = client.post(
        "/v1/breakdown",
        data='{"formula": {"lines": [{"ingredient": "bread_flour", "mass": 1}]}}',
        headers=headers,
    )
    assert response.status_code == status


@pytest.mark.parametrize(
    "query, nearest", [("show=results", "result"), ("shwo=result", "show"), ("show=full&show=result", None)]
)
def test_query(client, assert_problem, query, nearest):
    response = client.post(f"/v1/breakdown?{query}", json={"formula": TIN_LOAF})
    found = assert_problem(response, 422, "")
    assert nearest is None or found["nearest"] == nearest


@pytest.mark.parametrize(
    "method, path, status, allow",
    [
        ("get", "/v1/breakdown", 405, "OPTIONS, POST"),
        ("delete", "/v1/units", 405, "GET, HEAD, OPTIONS"),
        ("get", "/nowhere", 404, None),
        ("get", "/problems/nothing", 404, None),
        ("get", "/v1/breakdown/", 404, None),
    ],
)
def test_wrong_place_or_method(client, method, path, status, allow):
    response = getattr(client, method)(path)
    assert response.status_code == status
    assert response.content_type == "application/problem+json"
    assert response.headers.get("Allow") == allow


def test_nothing_of_the_request_is_in_a_500(monkeypatch, app, caplog):
    from scaldloaf.http import calculations

    words = "secret recipe"

    def broken(*_):
        raise RuntimeError(words)

    monkeypatch.setattr(calculations, "perform", broken)
    response = FlaskClient(app).post("/v1/breakdown", json={"formula": TIN_LOAF})
    assert response.status_code == 500 and response.json["type"] == "/problems/internal-error"
    assert "secret" not in response.get_data(as_text=True) and "secret" not in caplog.text
    assert "RuntimeError" in caplog.text


LONG = {"working", "basis", "notes"}


def shortened(reply):
    """A reply without its working, basis and notes, and those it embeds without theirs."""
    if isinstance(reply, dict):
        return {field: shortened(value) for field, value in reply.items() if field not in LONG}
    return [shortened(each) for each in reply] if isinstance(reply, list) else reply


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_result_only_leaves_out_the_working_and_keeps_the_cautions(operation, call):
    body = operation.examples[0].body
    whole, brief = call(operation.name, body), call(operation.name, body, full=False)
    assert set(whole) >= LONG and not LONG & set(brief) and "cautions" in brief
    assert brief == shortened(whole)
