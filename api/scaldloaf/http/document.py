"""The OpenAPI 3.1 document, generated from the records of the routes and the schemas of their bodies.

``python -m scaldloaf.http`` writes it; a test fails if the committed copy differs. While the tree is built,
``$ref`` holds a schema class; ``referenced`` replaces it by the path of its component. Then codes are listed
(``document_codes``), choices get names (``document_names``), and the service is asked for examples of its
replies (``document_examples``).
"""

import json
import re
from typing import Any

from scaldloaf import __version__
from scaldloaf.http import bulk, link_code, table_query
from scaldloaf.http.bulk_lines import MOST_UNREADABLE
from scaldloaf.http.document_codes import with_codes
from scaldloaf.http.document_examples import with_examples
from scaldloaf.http.document_names import with_names
from scaldloaf.http.document_replies import (
    ALWAYS,
    HEADERS,
    OF_A_CALL,
    RESPONSES,
    problems,
    tagged,
    with_headers,
)
from scaldloaf.http.negotiation import CSV
from scaldloaf.http.schemas import BulkAnswer, BulkLine, Health, Readiness
from scaldloaf.operations.facts import FACTS, LANGUAGE_TAG, LONGEST_TAG, Facts
from scaldloaf.operations.operation import Operation
from scaldloaf.operations.registry import OPERATIONS
from scaldloaf.operations.schemas.fields import described
from scaldloaf.operations.schemas.json_schema import referenced
from scaldloaf.operations.schemas.replies import REPLIES


class Show:
    """The query parameter ``show`` of every calculation."""

    @staticmethod
    def component() -> dict[str, Any]:
        return {"type": "string", "enum": ["full", "result"], "default": "full"}


SHOW = {
    "name": "show",
    "in": "query",
    "required": False,
    "description": "`result` omits working, basis and notes. Cautions are always included.",
    "schema": {"$ref": Show},
}


def _language(languages: tuple[str, ...]) -> dict[str, Any]:
    """The query parameter ``language`` of facts with labels in several languages."""
    return {
        "name": "language",
        "in": "query",
        "required": False,
        "description": f"A BCP 47 tag. Labels exist in {', '.join(languages)} (GET /v1/names lists them "
        "too). A tag with a region gets its language (`de-AT` gets `de`); any other "
        "language gets English. `language` in the reply is the language of the labels. "
        "Without this parameter labels are in English, and the reply has no `language`.",
        "schema": {
            "type": "string",
            "minLength": 2,
            "maxLength": LONGEST_TAG,
            "pattern": f"^{LANGUAGE_TAG}$",
        },
        "examples": {"de": {"value": "de"}, "de-AT": {"value": "de-AT"}},
    }


_TABLE = {"schema": {"type": "string"}}


def _camel(name: str) -> str:
    first, *others = name.split("-")
    return first + "".join(map(str.capitalize, others))


def _json(schema: dict[str, Any], media: str = "application/json", **more: Any) -> dict[str, Any]:
    return {media: {"schema": schema, **more}}


def _operation(operation: Operation) -> dict[str, Any]:
    reply = REPLIES[operation.name]
    # Without the other media types: they are deprecated, and would make the reply's type a union.
    content = _json({"$ref": reply})
    return _calculation(operation, operation.name, operation.description, described(reply), content)


def _csv(operation: Operation) -> dict[str, Any]:
    table = "one of its tables" if len(operation.tables) > 1 else "its table"
    description = f"As POST {operation.path}, with {table} as CSV (RFC 4180) instead of JSON."
    path = _calculation(operation, f"{operation.name}-csv", description, "The table.", {CSV: _TABLE})
    path["post"]["parameters"] += table_query.parameters_of(operation)
    return path


def _calculation(
    operation: Operation, name: str, description: str, answer: str, content: dict[str, Any]
) -> dict[str, Any]:
    """A path of an operation.

    Parameters
        operation : Operation
        name, description : str  of the path
        answer : str  what it answers, in words
        content : dict[str, Any]  the same by media type
    Returns
        dict[str, Any]
    """
    return {
        "post": {
            "operationId": _camel(name),
            "summary": operation.summary,
            "description": description,
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
                "200": with_headers({"description": answer, "content": content}),
                **problems(*OF_A_CALL),
            },
        }
    }


def _facts(facts: Facts) -> dict[str, Any]:
    reply = REPLIES[facts.name]
    return {
        "get": {
            "operationId": _camel(facts.name),
            "summary": facts.summary,
            "description": facts.description,
            "tags": ["facts"],
            **({"parameters": [_language(facts.languages)]} if facts.languages else {}),
            "responses": {
                "200": tagged({"description": described(reply), "content": _json({"$ref": reply})}),
                "304": tagged({"description": "Unchanged since the ETag sent."}),
                **problems("not-acceptable", "invalid-request", "too-many-requests", *ALWAYS),
            },
        }
    }


def _bulk() -> dict[str, Any]:
    def both(entry: type, of_array: dict[str, Any], of_lines: dict[str, Any]) -> dict[str, Any]:
        lines = f"Lines of JSON. Each line is one {entry.__name__} object."
        return {
            **_json({"type": "array", "items": {"$ref": entry}}, **of_array),
            **_json({"type": "string", "description": lines}, bulk.MEDIA, **of_lines),
        }

    calls = [
        {"id": operation.name, "call": operation.name, "body": operation.examples[0].body}
        for operation in OPERATIONS[:2]
    ]
    two = {"summary": "Two calls", "value": calls}
    two_lines = {"summary": "Two calls", "value": "\n".join(map(json.dumps, calls))}
    return {
        "post": {
            "operationId": "bulk",
            "summary": "Send many calls in one request",
            "description": "NDJSON in, NDJSON out, in order: each line is a BulkLine and gets one "
            "BulkAnswer. A failing line does not affect the others. Up to 2 MB may also be sent as "
            "one JSON array of BulkLine, and the answer is then an array of BulkAnswer: for clients "
            "that cannot write lines. Of lines, a caller may send "
            "everything before it reads, or read while it sends. It should not wait for an "
            "answer before it sends the next line, because answers are sent several at a "
            "time; behind a proxy they begin after the last line has arrived. Blank lines "
            "get no answer. If the answers end early, the last line is not an answer: its "
            "id is null and `answered` is the number of lines that have an answer. Its "
            "status is 429 if the bulk has used up its lines or its processor time, and 413 "
            "if too many lines were waiting for their answers: send the rest in another "
            "request. The status is 400 if the body was cut off (`broken_off`: send the "
            f"rest again) or {MOST_UNREADABLE} lines in a row could not be read "
            "(`unreadable_lines`: do not send them again), and 500 for an internal error. "
            "Ignore a last line without a line end: the connection was dropped. If the "
            "whole request gets 429, Retry-After says when to try again.",
            "tags": ["calculations"],
            "parameters": [SHOW],
            "requestBody": {
                "required": True,
                "content": both(BulkLine, {"examples": {"two": two}}, {"examples": {"two": two_lines}}),
            },
            "responses": {
                "200": with_headers(
                    {
                        "description": "One answer per line, in order.",
                        "content": both(BulkAnswer, {}, {}),
                    }
                ),
                **problems(*OF_A_CALL),
            },
        }
    }


def _link_code() -> dict[str, Any]:
    example = {"link": "https://bakery.example/#plan=q1bKS8xNVbJSUPJJzCtJLUpVCCxNzakEAA"}
    return {
        "post": {
            "operationId": "linkCode",
            "summary": "Draw the QR code of a link to a plan",
            "description": "For a printed card: anyone with the paper can open the plan on a phone. "
            "Only links that the page makes for a plan are accepted; they are neither "
            "stored nor logged. Print the code large enough that each unit of its "
            "viewBox is at least 0.4 mm.",
            "tags": ["calculations"],
            "requestBody": {
                "required": True,
                "content": _json(
                    {"$ref": link_code.LinkCodeRequest},
                    examples={"plan": {"summary": "A link from a card", "value": example}},
                ),
            },
            "responses": {
                "200": with_headers(
                    {
                        "description": "The code with its margin.",
                        "content": _json({"type": "string"}, link_code.SVG),
                    }
                ),
                **problems(*OF_A_CALL),
            },
        }
    }


def _health(name: str, summary: str, description: str, reply: type[Health]) -> dict[str, Any]:
    return {
        "get": {
            "operationId": name,
            "summary": summary,
            "description": description,
            "tags": ["running"],
            "responses": {
                "200": with_headers({"description": "Yes.", "content": _json({"$ref": reply})}),
                **problems("invalid-request", *ALWAYS),
            },
        }
    }


def document() -> dict[str, Any]:
    """The whole document as plain data."""
    paths = {operation.path: _operation(operation) for operation in OPERATIONS}
    paths |= {each.csv_path: _csv(each) for each in OPERATIONS if each.tables}
    paths |= {facts.path: _facts(facts) for facts in FACTS}
    paths[bulk.PATH] = _bulk()
    paths[link_code.PATH] = _link_code()
    paths["/livez"] = _health(
        "livez",
        "Whether the process is running",
        "For whoever restarts a process that hangs. It checks nothing else, and no rate limit counts it.",
        Health,
    )
    paths["/readyz"] = _health(
        "readyz",
        "Whether calls can be answered",
        "For a load balancer. Everything is loaded before the first answer, so a process that answers "
        "is ready, unless the service stops or calls wait long for a thread: then it is 503. With a rate "
        "limit it says where requests are counted, and no rate limit counts it.",
        Readiness,
    )
    (paths, responses), components = referenced([paths, RESPONSES])
    written = {
        "openapi": "3.1.0",
        "info": {
            "title": "Scaldloaf",
            "version": __version__,
            "summary": "Calculations for enriched pan bread with scalded flour",
            "description": "Scale a formula, change its scalded share at constant dough mass, find the "
            "dough that fills the pan, and keep the yeast fed. Every answer shows its "
            "working, its sources and its uncertainty. The service stores nothing that you "
            "send.\n\n/v1 stays compatible: calls, optional fields of requests, fields of replies, codes "
            "and values of a reply's choices may be added, so ignore what you do not know. /problems "
            "says what each problem means and what to do about it.",
            "contact": {"name": "Whoever runs this service"},
        },
        "servers": [{"url": "/", "description": "Where this document was read"}],
        "security": [],
        "tags": [
            {"name": "calculations", "description": "From a request to its answer. Each may be sent again."},
            {"name": "facts", "description": "What calculations work from. To be cached by their ETag."},
            {"name": "running", "description": "For whoever runs the service."},
        ],
        "paths": paths,
        "components": {
            "schemas": with_names(with_codes(components)),
            "responses": responses,
            "headers": HEADERS,
        },
    }
    with_examples(written)
    return written


def pretty() -> str:
    """The document as it is committed: indented, but each field of an example of a reply on one line."""
    written, shown = document(), []

    def short(content: dict[str, Any]) -> None:
        for example in (each for media in content.values() for each in media.get("examples", {}).values()):
            shown.append(example["value"])
            example["value"] = f"\0{len(shown) - 1}\0"

    for operation in (each for item in written["paths"].values() for each in item.values()):
        for response in operation["responses"].values():
            short(response.get("content", {}))
    for response in written["components"]["responses"].values():
        short(response["content"])

    text = json.dumps(written, indent=1, ensure_ascii=False)
    return re.sub(r'"\\u0000(\d+)\\u0000"', lambda found: _lines(shown[int(found[1])]), text) + "\n"


def _lines(value: Any) -> str:
    if not isinstance(value, dict):
        return json.dumps(value, ensure_ascii=False)
    fields = (f"{json.dumps(name)}: {json.dumps(each, ensure_ascii=False)}" for name, each in value.items())
    return "{\n" + ",\n".join(fields) + "\n}"
