"""Examples of every reply, made by asking the service itself while the document is written.

Numbers are rounded to six digits, since the last digits may differ between C libraries, and tables of facts
are cut to their first rows; nothing else is changed.
"""

import json
import logging
import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from flask import Flask, Response
from flask.testing import FlaskClient

from scaldloaf.http import bulk, ids, link_code
from scaldloaf.http.app import create_app
from scaldloaf.http.document_replies import PROBLEM, RESPONSES, SLUGS
from scaldloaf.http.limits import WAITS
from scaldloaf.http.problem_pages import REQUEST_ID, answer_shown
from scaldloaf.http.problems import KINDS, problem_body
from scaldloaf.http.settings import Settings
from scaldloaf.operations.facts import FACTS
from scaldloaf.operations.registry import OPERATIONS

DIGITS, NOISE = 6, 1e-9
ROWS = 2  # of each table of facts
LONG_BYTES = 20_000  # of an example with its working; a longer one does without
BRIEF = "?show=result"
_LONG_NUMBER = re.compile(r"-?\d+\.\d{5,}(?:e-?\d+)?")

Examples = dict[str, dict[str, Any]]


def rounded(value: Any) -> Any:
    """A JSON value, or the text of a table, with its numbers rounded."""
    if isinstance(value, float):
        return 0.0 if abs(value) < NOISE else float(f"{value:.{DIGITS}g}")
    if isinstance(value, dict):
        return {name: rounded(each) for name, each in value.items()}
    return [rounded(each) for each in value] if isinstance(value, list) else value


def _rounded_table(text: str) -> str:
    return _LONG_NUMBER.sub(lambda found: f"{float(found.group()):.{DIGITS}g}", text)


def _value(body: bytes, media: str) -> Any:
    if media.endswith("json") and media != bulk.MEDIA:
        return rounded(json.loads(body))
    text = body.decode()
    if media == bulk.MEDIA:
        return "".join(f"{json.dumps(rounded(json.loads(line)))}\n" for line in text.splitlines())
    return _rounded_table(text) if media.startswith("text/") else text


def _asked(
    client: FlaskClient, path: str, status: int, media: str, accept: str = "*/*", **request: Any
) -> Any:
    """What the service answers. It must be a reply of that status and media type."""
    request["headers"] = {"Accept": accept, ids.HEADER: REQUEST_ID}
    response = client.open(path, method="POST" if "data" in request else "GET", **request)
    if (response.status_code, response.mimetype) != (status, media):
        raise RuntimeError(
            f"{path} answered {response.status_code} {response.mimetype}: {response.data[:200]!r}"
        )
    return _value(response.data, media)


def _cut(table: Any) -> Any:
    """A table of facts with its first rows."""
    return {name: rows[:ROWS] if isinstance(rows, list) else rows for name, rows in table.items()}


def replies(document: dict[str, Any]) -> Iterator[tuple[str, str, Examples]]:
    """(path, media type, examples) of every answer with status 200.

    A call is asked with its first example of a request, and in each media type that it answers in.
    """
    client = create_app(Settings()).test_client()
    for operation in OPERATIONS:
        first = operation.examples[0]
        request = {"data": json.dumps(first.body), "content_type": "application/json"}
        for path in filter(document["paths"].__contains__, (operation.path, operation.csv_path)):
            for media in document["paths"][path]["post"]["responses"]["200"]["content"]:
                value, summary = _asked(client, path, 200, media, accept=media, **request), first.summary
                if len(json.dumps(value)) > LONG_BYTES:
                    value = _asked(client, path + BRIEF, 200, media, accept=media, **request)
                    summary = f"{summary} (with `{BRIEF}`)"
                yield path, media, {first.name: {"summary": summary, "value": value}}
    for facts in FACTS:
        value = _cut(_asked(client, facts.path, 200, "application/json"))
        summary = (
            f"The first {ROWS} rows" if any(isinstance(rows, list) for rows in value.values()) else "All"
        )
        yield facts.path, "application/json", {"facts": {"summary": summary, "value": value}}
    for path in ("/livez", "/readyz"):
        value = _asked(client, path, 200, "application/json")
        yield path, "application/json", {"ok": {"summary": "It is", "value": value}}
    for path, media in ((bulk.PATH, bulk.MEDIA), (link_code.PATH, link_code.SVG)):
        for kind, body in document["paths"][path]["post"]["requestBody"]["content"].items():
            (name, example), *_ = body["examples"].items()
            sent = example["value"] if isinstance(example["value"], str) else json.dumps(example["value"])
            answer = media if kind != "application/json" or path == link_code.PATH else kind
            query, shown = (BRIEF, f" (with `{BRIEF}`)") if path == bulk.PATH else ("", "")
            value = _asked(client, path + query, 200, answer, data=sent, content_type=kind)
            yield path, answer, {name: {"summary": example["summary"] + shown, "value": value}}


@contextmanager
def _failing(app: Flask) -> Iterator[None]:
    """The service with a mistake in one of its calls."""

    def fail() -> Response:
        raise ZeroDivisionError

    before = app.view_functions["breakdown"]
    app.view_functions["breakdown"] = fail
    logging.disable(logging.CRITICAL)  # it would log the mistake
    try:
        yield
    finally:
        logging.disable(logging.NOTSET)
        app.view_functions["breakdown"] = before


def _problems() -> dict[str, dict[str, tuple[str, Any]]]:
    """Slug -> name -> (summary, problem), each answered by the service to a request that gets it."""
    app = create_app(Settings(rate="1/day", bulks=0))
    client = app.test_client()
    call, good = "/v1/breakdown?show=full", json.dumps(OPERATIONS[0].examples[0].body)

    def got(slug: str, path: str = call, data: str | None = good, **request: Any) -> Any:
        sent = {"content_type": "application/json", **request} if data is not None else request
        sent["environ_overrides"] = {WAITS: 0, **request.get("environ_overrides", {})}
        body = {} if data is None else {"data": data}
        return _asked(client, path, KINDS[slug].status, PROBLEM, **body, **sent)

    with _failing(app):
        failed = got("internal-error")
    unavailable = KINDS["unavailable"]
    lacking = '{"formula": {"lines": [{"ingredient": "bread_flour"}]}}'
    return {
        "bad-request": {
            "cut_off": (
                "The body ended early",
                got("bad-request", environ_overrides={"CONTENT_LENGTH": str(len(good) + 9)}),
            )
        },
        "not-json": {"not_json": ("No JSON", got("not-json", data='{"formula": ,}'))},
        "not-acceptable": {"image": ("An image was asked for", got("not-acceptable", accept="image/png"))},
        "too-slow": {"too_slow": ("Too little in too long", answer_shown("too-slow"))},
        "too-large": {"too_large": ("More than 64 kB", got("too-large", data=" " * 70_000))},
        "unsupported-media-type": {
            "form": (
                "A form was sent",
                got("unsupported-media-type", content_type="application/x-www-form-urlencoded"),
            )
        },
        "invalid-request": {
            "a_line": ("A line of the formula has no mass", got("invalid-request", data=lacking)),
            "a_parameter": (
                "A parameter of the query is unknown",
                got("invalid-request", path="/v1/units?unit=oz", data=None),
            ),
        },
        "too-many-requests": {
            "rate": (
                "More requests than this client may make",
                got("too-many-requests", environ_overrides={WAITS: 12}),
            ),
            "bulks": (
                "More bulks at a time than the process answers",
                got("too-many-requests", path=bulk.PATH, data="", content_type=bulk.MEDIA),
            ),
        },
        "internal-error": {"mistake": ("A mistake of the service", failed)},
        # Another server gives this answer, while the service cannot.
        "unavailable": {
            "stopped": ("Not there", problem_body(unavailable, unavailable.help, request_id=REQUEST_ID))
        },
    }


def with_examples(document: dict[str, Any]) -> None:
    """Put an example of every reply into the document, in place."""
    for path, media, examples in replies(document):
        (operation,) = document["paths"][path].values()
        operation["responses"]["200"]["content"][media]["examples"] = examples
    of_slug = _problems()
    for name in RESPONSES:
        document["components"]["responses"][name]["content"][PROBLEM]["examples"] = {
            example: {"summary": summary, "value": value}
            for slug in SLUGS[name]
            for example, (summary, value) in of_slug[slug].items()
        }
