"""Checks that apply to every reply: the tests' clients compare each one with the document.

``assert_problem`` is the one way a test looks at a failing reply.
"""

import json
from urllib.parse import quote, unquote, urlsplit

from jsonschema import Draft202012Validator

PROBLEM = "application/problem+json"
# What still works and is no longer in the document, so that no client starts with it: its media type.
DEPRECATED = {("POST", "/v1/order-demand", 200): "text/csv"}
ERROR_FIELDS = {"pointer", "code", "detail", "given", "nearest", "values", "options"}


def _status_and_body(response) -> tuple[int, bytes]:
    """Of a reply of Flask's test client or of requests."""
    body = response.get_data() if hasattr(response, "get_data") else response.content
    return response.status_code, body


def _path(response) -> str:
    return response.request.path if hasattr(response, "get_data") else unquote(urlsplit(response.url).path)


def _refuse_constant(word: str):
    raise AssertionError(f"the reply holds {word}, which is not JSON")


def read_reply(body: bytes):
    """The value of a JSON reply; NaN and infinity are refused, as any other client would."""
    return json.loads(body, parse_constant=_refuse_constant)


def assert_problem(response, status: int, pointer: str | None = None, code: str | None = None) -> dict:
    """The problem (RFC 9457) of a failing reply: ``status``, and an error at ``pointer`` with ``code``.

    Returns the error that matches, or the problem when neither pointer nor code is asked for.
    """
    got, body = _status_and_body(response)
    assert got == status, f"status {got}, not {status}: {body[:500]!r}"
    assert response.headers["Content-Type"] == PROBLEM
    problem = read_reply(body)
    assert set(problem) == {"type", "title", "status", "detail", "instance", "request_id", "errors"}
    assert problem["status"] == status
    assert problem["type"].startswith("/problems/") and problem["title"] and problem["detail"]
    assert problem["instance"] == quote(_path(response), errors="replace")
    assert problem["request_id"] == response.headers["Request-Id"]
    for error in problem["errors"]:
        assert set(error) >= ERROR_FIELDS and error["code"] and error["detail"], error
    if pointer is None and code is None:
        return problem
    seen = [(error["pointer"], error["code"]) for error in problem["errors"]]
    for error in problem["errors"]:
        if pointer in (None, error["pointer"]) and code in (None, error["code"]):
            return error
    raise AssertionError(f"no error at {pointer!r} with code {code!r}, but {seen}")


def _closed(schema):
    """The schema with every object of named fields closed, and every code one of those that are listed: a
    reply may not bring an unnamed field or code.

    The document leaves replies open so that /v1 can grow under its readers; we are not a reader.
    """
    if isinstance(schema, list):
        return [_closed(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    closed = {keyword: _closed(part) for keyword, part in schema.items()}
    match closed.get("anyOf"):
        case [{"$ref": _} as known, {"type": "string"}]:
            closed["anyOf"] = [known]
    if isinstance(closed.get("properties"), dict) and closed.get("type") in ("object", ["object", "null"]):
        closed.setdefault("additionalProperties", False)
    return closed


class Contract:
    """The OpenAPI document as a judge of replies."""

    def __init__(self, document: dict):
        self.paths, self._responses = document["paths"], document["components"]["responses"]
        self._components = _closed(document["components"])
        self._validators: dict[str, Draft202012Validator] = {}

    def _validator(self, schema: dict) -> Draft202012Validator:
        key = json.dumps(schema, sort_keys=True)
        if key not in self._validators:
            # The components come along, so that a reference finds them where the document has them.
            self._validators[key] = Draft202012Validator({**_closed(schema), "components": self._components})
        return self._validators[key]

    def _content(self, method: str, path: str, status: int) -> dict | None:
        """Media type -> media object that the document promises; None: it says nothing of this."""
        methods = self.paths.get(path, {})
        operation = methods.get("get" if method == "HEAD" else method.lower())
        if operation is None:
            return None
        responses = operation["responses"]
        assert str(status) in responses, f"{method} {path} answered {status}, which is not documented"
        response = responses[str(status)]
        if "$ref" in response:
            response = self._responses[response["$ref"].rpartition("/")[2]]
        return response.get("content", {})

    def check(self, method: str, path: str, status: int, content_type: str, body: bytes) -> None:
        """Fails when a reply is not what the document promises, or fails in another shape than a problem."""
        assert status < 500, f"{method} {path} answered {status}: {body[:500]!r}"
        self.check_promised(method, path, status, content_type, body)

    def check_promised(self, method: str, path: str, status: int, content_type: str, body: bytes) -> None:
        """The same for any status that the document promises, failures of the service too."""
        media = content_type.partition(";")[0]
        content = self._content(method, path, status)
        if DEPRECATED.get((method, path, status)) == media:
            return
        if content is None and status >= 400:
            content = {PROBLEM: {"schema": {"$ref": "#/components/schemas/Problem"}}}
        if content:
            assert media in content, f"{method} {path} answered {media or 'untyped'}, not {list(content)}"
            if method != "HEAD" and media.endswith(("/json", "+json")):
                self._check_body(f"{method} {path} ({status})", content[media]["schema"], read_reply(body))
        elif content is not None:
            assert not body, f"{method} {path} answered {status} with a body, where none is documented"

    def _check_body(self, what: str, schema: dict, value) -> None:
        faults = [
            f"{fault.json_path}: {fault.message[:200]}"
            for fault in self._validator(schema).iter_errors(value)
        ]
        assert not faults, f"{what} is not what the document says: {faults[:5]}"
