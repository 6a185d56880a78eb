"""The OpenAPI 3.1 document, made from the records that serve the routes.

``python -m scaldloaf.http`` prints it; a test fails when the committed copy lags.
"""

import json

from scaldloaf import __version__
from scaldloaf.http import bulk, limits
from scaldloaf.http.problems import KINDS
from scaldloaf.operations import OPERATIONS, schema
from scaldloaf.operations.facts import FACTS
from scaldloaf.operations.operation import Operation

SHOW = {"name": "show", "in": "query", "required": False,
        "description": "`result` leaves working, basis and notes out; cautions always stay.",
        "schema": schema.component("Show")}
_SHOW_SCHEMA = {"type": "string", "enum": ["full", "result"], "default": "full"}


def _pascal(name: str) -> str:
    return "".join(part.capitalize() for part in name.replace("_", "-").split("-"))


def _camel(name: str) -> str:
    pascal = _pascal(name)
    return pascal[0].lower() + pascal[1:]


def _json(schema_: dict, media: str = "application/json", **more) -> dict:
    return {media: {"schema": schema_, **more}}


def _problems(*slugs: str) -> dict:
    by_status: dict[int, list[str]] = {}
    for slug in slugs:
        by_status.setdefault(KINDS[slug].status, []).append(KINDS[slug].title)
    return {str(status): {"description": "; ".join(titles),
                          "content": _json(schema.component("Problem"), "application/problem+json")}
            for status, titles in by_status.items()}


def _operation(operation: Operation) -> dict:
    return {"post": {
        "operationId": _camel(operation.name), "summary": operation.summary, "description": operation.description,
        "tags": ["calculations"], "parameters": [SHOW],
        "requestBody": {"required": True, "content": _json(
            schema.component(f"{_pascal(operation.name)}Request"),
            examples={example.name: {"summary": example.summary, "value": example.body}
                      for example in operation.examples})},
        "responses": {
            "200": {"description": operation.reply["description"],
                    "content": {**_json(schema.component(f"{_pascal(operation.name)}Reply")),
                                **{media: {"schema": {"type": "string"}} for media in operation.writers}}},
            **_problems("not-json", "not-acceptable", "too-large", "unsupported-media-type", "invalid-request",
                        "too-many-requests"),
        }}}


def _facts(facts) -> dict:
    return {"get": {
        "operationId": _camel(facts.name), "summary": facts.summary, "tags": ["facts"],
        "responses": {
            "200": {"description": facts.reply["description"],
                    "headers": {"ETag": {"description": "Strong.", "schema": {"type": "string"}}},
                    "content": _json(schema.component(f"{_pascal(facts.name)}Facts"))},
            "304": {"description": "Not changed since the ETag given."},
            **_problems("not-acceptable", "invalid-request", "too-many-requests"),
        }}}


def _bulk() -> dict:
    def lines(name: str, description: str, **more) -> dict:
        return _json({"type": "string", "description": f"{description} Each line is one {name} object."}, bulk.MEDIA, **more)

    example = "\n".join(json.dumps({"id": operation.name, "call": operation.name, "body": operation.examples[0].body})
                        for operation in OPERATIONS[:2])
    return {"post": {
        "operationId": "bulk", "summary": "Many calls in one request, streamed",
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
        "tags": ["calculations"], "parameters": [SHOW],
        "requestBody": {"required": True, "content": lines("BulkLine", "Lines of JSON.", examples={
            "two": {"summary": "Two calls", "value": example}})},
        "responses": {"200": {"description": "One answer a line, in order.",
                              "content": lines("BulkAnswer", "Lines of JSON.")},
                      **_problems("bad-request", "not-acceptable", "too-large", "unsupported-media-type",
                                  "invalid-request", "too-many-requests")},
    }}


def _health(name: str, summary: str, more: dict | None = None) -> dict:
    return {"get": {"operationId": name, "summary": summary, "tags": ["running"], "responses": {
        "200": {"description": "It does.", "content": _json(schema.result("Health.", {"status": {"const": "ok"}}, more))},
        **_problems("not-acceptable", "invalid-request")}}}


def _with_names(components: dict) -> dict:
    """The components with names for what clients are to have classes for: every branch of a union told
    apart by ``kind`` (with a discriminator beside it), and every object or choice that may be something
    else as well, such as null.

    Where requests are checked the same records stand inline; here only their places change.
    """
    named: dict[str, dict] = {}
    names: dict[str, str] = {}      # a record as text -> its name; calls share records, and then share the name

    def reference(name: str, record: dict) -> dict:
        key = json.dumps(record, sort_keys=True)
        if key not in names:
            if name in components or name in named:
                raise ValueError(f"two components would be called {name}")
            names[key] = name
            named[name] = {}        # holds its place while its own fields are walked
            named[name] = {**walk(name, record), "title": name}
        return schema.component(names[key])

    def walk(place: str, node):
        if isinstance(node, list):
            return [walk(place, part) for part in node]
        if not isinstance(node, dict):
            return node
        if "oneOf" in node:
            branches = {part["properties"]["kind"]["const"]: part for part in node["oneOf"]}
            branches = {kind: reference(place + _pascal(kind), part) for kind, part in branches.items()}
            return {**node, "oneOf": list(branches.values()), "discriminator": {
                "propertyName": "kind", "mapping": {kind: part["$ref"] for kind, part in branches.items()}}}
        if isinstance(node.get("type"), list) and ("object" in node["type"] or "enum" in node):
            kind, other = sorted(node["type"], key=lambda each: each in ("null", "array"))
            record = {keyword: part for keyword, part in node.items() if keyword != "items"}
            if "enum" in node:
                record["enum"] = [name for name in node["enum"] if name is not None]
            items = {"items": node["items"]} if other == "array" else {}
            return {"anyOf": [reference(place, {**record, "type": kind}), {"type": other, **items}],
                    "description": node["description"]}
        return {keyword: {name: walk(place + _pascal(name), field) for name, field in part.items()}
                if keyword == "properties" else part if keyword in ("examples", "default", "enum", "const")
                else walk(place, part) for keyword, part in node.items()}

    whole = {name: walk(name.removesuffix("Request"), component) for name, component in components.items()}
    return {**whole, **named}


def document() -> dict:
    """The whole document as plain data."""
    components = {**schema.COMPONENTS, "Show": _SHOW_SCHEMA}
    paths = {}
    for operation in OPERATIONS:
        components[f"{_pascal(operation.name)}Request"] = operation.request
        components[f"{_pascal(operation.name)}Reply"] = operation.reply
        paths[operation.path] = _operation(operation)
    for facts in FACTS:
        components[f"{_pascal(facts.name)}Facts"] = facts.reply
        paths[facts.path] = _facts(facts)
    components["BulkLine"], components["BulkAnswer"] = bulk.LINE, bulk.ANSWER
    paths["/v1/bulk"] = _bulk()
    paths["/livez"] = _health("livez", "Says that the process runs")
    paths["/readyz"] = _health("readyz", "Says that calls can be answered", {"rate_limit": schema.choice(
        "Where requests are counted; left out when nobody is limited.", *limits.STATES)})
    return {
        "openapi": "3.1.0",
        "info": {"title": "Scaldloaf", "version": __version__,
                 "summary": "Calculations for enriched pan bread with scalded flour",
                 "description": "Scale a formula, move its scalded share at constant dough mass, find the dough that "
                                "fills the pan, and keep the yeast fed. Every answer shows its working, its sources "
                                "and how sure it is. Nothing sent is stored."},
        "servers": [{"url": "/"}],
        "tags": [{"name": "calculations"}, {"name": "facts"}, {"name": "running"}],
        "paths": paths,
        "components": {"schemas": _with_names(components)},
    }


def pretty() -> str:
    return json.dumps(document(), indent=1, ensure_ascii=False) + "\n"

