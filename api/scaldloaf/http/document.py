"""The OpenAPI 3.1 document, made from the records that serve the routes and from the schemas of their bodies.

``python -m scaldloaf.http`` prints it; a test fails when the committed copy lags. Where a reference goes, the
tree has the shape itself until ``referenced`` writes it.
"""

import json

from scaldloaf import __version__
from scaldloaf.http import bulk
from scaldloaf.http.problems import KINDS
from scaldloaf.http.schemas import BulkAnswer, BulkLine, Health, Problem, Readiness
from scaldloaf.operations.facts import FACTS, LANGUAGE_TAG, LONGEST_TAG
from scaldloaf.operations.operation import Operation
from scaldloaf.operations.registry import OPERATIONS
from scaldloaf.operations.schemas.fields import described
from scaldloaf.operations.schemas.json_schema import referenced
from scaldloaf.operations.schemas.replies import REPLIES


class Show:
    """The value of the query parameter of every calculation."""

    @staticmethod
    def component() -> dict:
        return {"type": "string", "enum": ["full", "result"], "default": "full"}


SHOW = {
    "name": "show",
    "in": "query",
    "required": False,
    "description": "`result` leaves working, basis and notes out; cautions always stay.",
    "schema": {"$ref": Show},
}


def _language(languages: tuple[str, ...]) -> dict:
    """The query parameter of facts that come in several languages."""
    return {
        "name": "language",
        "in": "query",
        "required": False,
        "description": f"A BCP 47 tag. There are {', '.join(languages)} (GET /v1/names lists them too). One with a "
        "region is answered in its language (`de-AT` in `de`), and one that there are no labels in "
        "is answered in English: `language` in the reply says which it is. Without this parameter "
        "labels are English, and the reply has no `language`.",
        "schema": {
            "type": "string",
            "minLength": 2,
            "maxLength": LONGEST_TAG,
            "pattern": f"^{LANGUAGE_TAG}$",
        },
        "examples": {"de": {"value": "de"}, "de-AT": {"value": "de-AT"}},
    }


def _camel(name: str) -> str:
    first, *others = name.split("-")
    return first + "".join(map(str.capitalize, others))


def _json(schema: dict, media: str = "application/json", **more) -> dict:
    return {media: {"schema": schema, **more}}


def _problems(*slugs: str) -> dict:
    by_status: dict[int, list[str]] = {}
    for slug in slugs:
        by_status.setdefault(KINDS[slug].status, []).append(KINDS[slug].title)
    return {
        str(status): {
            "description": "; ".join(titles),
            "content": _json({"$ref": Problem}, "application/problem+json"),
        }
        for status, titles in by_status.items()
    }


def _operation(operation: Operation) -> dict:
    reply = REPLIES[operation.name]
    return {
        "post": {
            "operationId": _camel(operation.name),
            "summary": operation.summary,
            "description": operation.description,
            "tags": ["calculations"],
            "parameters": [SHOW],
            "requestBody": {
                "required": True,
                "content": _json(
                    {"$ref": operation.request},
                    examples={
                        example.name: {"summary": example.summary, "value": example.body}
                        for example in operation.examples
                    },
                ),
            },
            "responses": {
                "200": {
                    "description": described(reply),
                    "content": {
                        **_json({"$ref": reply}),
                        **{media: {"schema": {"type": "string"}} for media in operation.writers},
                    },
                },
                **_problems(
                    "not-json",
                    "not-acceptable",
                    "too-large",
                    "unsupported-media-type",
                    "invalid-request",
                    "too-many-requests",
                ),
            },
        }
    }


def _facts(facts) -> dict:
    reply = REPLIES[facts.name]
    return {
        "get": {
            "operationId": _camel(facts.name),
            "summary": facts.summary,
            "tags": ["facts"],
            **({"parameters": [_language(facts.languages)]} if facts.languages else {}),
            "responses": {
                "200": {
                    "description": described(reply),
                    "headers": {"ETag": {"description": "Strong.", "schema": {"type": "string"}}},
                    "content": _json({"$ref": reply}),
                },
                "304": {"description": "Not changed since the ETag given."},
                **_problems("not-acceptable", "invalid-request", "too-many-requests"),
            },
        }
    }


def _bulk() -> dict:
    def lines(name: str, description: str, **more) -> dict:
        return _json(
            {"type": "string", "description": f"{description} Each line is one {name} object."},
            bulk.MEDIA,
            **more,
        )

    example = "\n".join(
        json.dumps({"id": operation.name, "call": operation.name, "body": operation.examples[0].body})
        for operation in OPERATIONS[:2]
    )
    return {
        "post": {
            "operationId": "bulk",
            "summary": "Many calls in one request, streamed",
            "description": "NDJSON in, NDJSON out, in order: each line is a BulkLine and is answered by one BulkAnswer. One "
            "line's failure is never another's. A caller may send everything before it reads, or read while "
            "it sends; it should not wait for an answer before it sends the next line, as answers travel "
            "several at a time. Behind a proxy they begin when the last line has come. Blank lines have no "
            "answer. Where the answers end before the lines do, a last line answers none: it has a null id and "
            "`answered`, how many lines are answered. Its status is 429 when this bulk has had as many lines, or "
            "as much processor time, as one may have, and 413 when too many lines waited for their answers: send "
            "the rest in another request. It is 400 when the body broke off (`broken_off`: send the rest again) "
            f"or {bulk.MOST_UNREADABLE} lines in a row could not be read (`unreadable_lines`: there is no use in "
            "sending them again), and 500 for a fault of ours. A line without its line end is the work of a "
            "connection that was cut: leave it. A 429 of the whole request says in Retry-After when there may "
            "be a place for another bulk.",
            "tags": ["calculations"],
            "parameters": [SHOW],
            "requestBody": {
                "required": True,
                "content": lines(
                    "BulkLine", "Lines of JSON.", examples={"two": {"summary": "Two calls", "value": example}}
                ),
            },
            "responses": {
                "200": {
                    "description": "One answer a line, in order.",
                    "content": lines("BulkAnswer", "Lines of JSON."),
                },
                **_problems(
                    "bad-request",
                    "not-acceptable",
                    "too-large",
                    "unsupported-media-type",
                    "invalid-request",
                    "too-many-requests",
                ),
            },
        }
    }


def _health(name: str, summary: str, reply: type[Health]) -> dict:
    return {
        "get": {
            "operationId": name,
            "summary": summary,
            "tags": ["running"],
            "responses": {
                "200": {"description": "It does.", "content": _json({"$ref": reply})},
                **_problems("not-acceptable", "invalid-request"),
            },
        }
    }


def document() -> dict:
    """The whole document as plain data."""
    paths = {operation.path: _operation(operation) for operation in OPERATIONS}
    paths |= {facts.path: _facts(facts) for facts in FACTS}
    paths["/v1/bulk"] = _bulk()
    paths["/livez"] = _health("livez", "Says that the process runs", Health)
    paths["/readyz"] = _health("readyz", "Says that calls can be answered", Readiness)
    paths, components = referenced(paths, BulkLine, BulkAnswer)
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Scaldloaf",
            "version": __version__,
            "summary": "Calculations for enriched pan bread with scalded flour",
            "description": "Scale a formula, move its scalded share at constant dough mass, find the dough that "
            "fills the pan, and keep the yeast fed. Every answer shows its working, its sources "
            "and how sure it is. Nothing sent is stored.",
        },
        "servers": [{"url": "/"}],
        "tags": [{"name": "calculations"}, {"name": "facts"}, {"name": "running"}],
        "paths": paths,
        "components": {"schemas": components},
    }


def pretty() -> str:
    return json.dumps(document(), indent=1, ensure_ascii=False) + "\n"
