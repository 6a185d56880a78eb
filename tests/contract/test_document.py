"""The published document and the service are one: committed copy, validity, examples, both directions."""

import json
from pathlib import Path

import pytest
from openapi_spec_validator import validate

from scaldloaf.http.document import document, pretty
from scaldloaf.operations.registry import OPERATIONS

COMMITTED = Path(__file__).parents[2] / "openapi" / "openapi.json"
CALLS = [(operation, example) for operation in OPERATIONS for example in operation.examples]


def test_committed_document_is_the_generated_one():
    assert COMMITTED.read_text("utf-8") == pretty(), (
        "run: PYTHONPATH=api python -m scaldloaf.http > openapi/openapi.json"
    )


def test_document_is_valid_openapi():
    validate(document())


def test_every_route_is_documented_and_every_path_is_served(app):
    undocumented = {"/openapi.json"}
    served = {
        (rule.rule, method)
        for rule in app.url_map.iter_rules()
        for method in rule.methods
        if method in ("GET", "POST")
        and not rule.endpoint.startswith("page ")
        and rule.rule not in undocumented
    }
    documented = {(path, method.upper()) for path, item in document()["paths"].items() for method in item}
    assert served == documented


@pytest.mark.parametrize("operation, example", CALLS, ids=lambda value: value.name)
def test_every_example_runs_and_its_reply_is_as_documented(operation, example, call):
    reply = call(operation.name, example.body)  # the fixture holds the reply to the document
    assert reply["working"] and reply["basis"]
    json.dumps(reply, allow_nan=False)


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_an_unknown_field_is_refused_by_name(operation, client, assert_problem):
    response = client.post(operation.path, json={**operation.examples[0].body, "surprise": 1})
    assert_problem(response, 422, "/surprise", "unknown_field")
