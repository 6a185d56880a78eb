"""Fixtures for every room: the app in process, calls held to the document, problems held to one shape."""

import copy
import json

import jsonschema_rs
import pytest

from scaldloaf.http import create_app
from scaldloaf.http.document import document


def closed(schema: object) -> object:
    """The schema with every object closed, so that an undocumented field in a reply fails a test."""
    if isinstance(schema, dict):
        closed_schema = {key: closed(value) for key, value in schema.items()}
        if closed_schema.get("type") == "object" and "properties" in closed_schema:
            closed_schema["additionalProperties"] = False
        return closed_schema
    return [closed(entry) for entry in schema] if isinstance(schema, list) else schema


class Contract:
    """The document as a judge of responses."""

    def __init__(self):
        self.document = document()
        self.components = {"components": {"schemas": closed(copy.deepcopy(self.document["components"]["schemas"]))}}
        self.validators = {}

    def judge(self, path: str, method: str, status: int, body: object) -> None:
        """Assert that a JSON body is what the document promises, to the field."""
        responses = self.document["paths"][path][method]["responses"]
        assert str(status) in responses, f"{method} {path} answered {status}, which the document does not name"
        (media,) = responses[str(status)]["content"].values()
        key = json.dumps(media["schema"])
        if key not in self.validators:
            self.validators[key] = jsonschema_rs.Draft202012Validator({**closed(media["schema"]), **self.components})
        errors = [f"{list(error.instance_path)}: {error.message[:300]}"
                  for error in self.validators[key].iter_errors(body)]
        assert not errors, errors[:5]


@pytest.fixture(scope="session")
def contract():
    return Contract()


@pytest.fixture(scope="session")
def app():
    return create_app()


@pytest.fixture
def client(app):
    return app.test_client()


@pytest.fixture
def call(client, contract):
    """call(name, body, full=True): post to an operation; its reply must be 200 and as documented."""
    def post(name: str, body: dict, full: bool = True) -> dict:
        response = client.post(f"/v1/{name}" + ("" if full else "?show=result"), json=body)
        assert response.status_code == 200, response.get_data(as_text=True)[:2000]
        contract.judge(f"/v1/{name}", "post", 200, response.json)
        return response.json
    return post


@pytest.fixture
def assert_problem(contract):
    """assert_problem(response, status, pointer=None, code=None) -> the entry of errors it found.

    Works on responses of the test client and of requests alike.
    """
    def check(response, status: int, pointer: str | None = None, code: str | None = None) -> dict:
        body = response.json() if callable(response.json) else response.json
        assert response.status_code == status, body
        assert response.headers["Content-Type"] == "application/problem+json"
        contract.judge("/v1/breakdown", "post", status if status in (400, 406, 413, 415, 422, 429) else 422, body)
        assert body["status"] == status and body["type"].startswith("/problems/")
        if pointer is None and code is None:
            return body["errors"][0] if body["errors"] else {}
        found = [error for error in body["errors"]
                 if pointer in (None, error["pointer"]) and code in (None, error["code"])]
        assert found, body["errors"]
        assert found[0]["detail"]
        return found[0]
    return check
