"""The published document and the service are one: committed copy, validity, examples, both directions."""

import json
import re
from pathlib import Path

import pytest
from openapi_spec_validator import validate

from scaldloaf.http.document import document
from scaldloaf.http.document_changes import ENTRY, mark_of, with_entries
from scaldloaf.http.document_names import BOUNDS
from scaldloaf.http.problem_pages import REQUEST_ID
from scaldloaf.operations.registry import OPERATIONS

COMMITTED = Path(__file__).parents[2] / "openapi" / "openapi.json"
CHANGES = COMMITTED.with_name("CHANGELOG.md")
COMMAND = 'PYTHONPATH=api python -m scaldloaf.http "What changed, for those who call the service."'
CALLS = [(operation, example) for operation in OPERATIONS for example in operation.examples]


@pytest.fixture(scope="module")
def written() -> dict:
    """The document as it would be written now."""
    return document()


def test_committed_document_is_the_generated_one_and_served(written, document):
    assert json.loads(COMMITTED.read_text("utf-8")) == written, f"run: {COMMAND}"
    assert document == written


def test_what_changed_for_callers_is_listed(written):
    """Of the committed document: the newest entry has its mark, below its version."""
    heading, newest = re.search(r"^## (.+)\n\n(- .+\n)", CHANGES.read_text("utf-8"), re.MULTILINE).groups()
    entry = ENTRY.fullmatch(newest)
    assert entry and entry["mark"] == mark_of(COMMITTED.read_text("utf-8")), f"say what changed: {COMMAND}"
    assert heading == written["info"]["version"]


def test_the_command_lists_each_change_once():
    before = "# Changes\n\n## 1.0.0\n\n- First. (`0123456789ab`)\n"
    first = with_entries(before, ["More  of it."], "document", "1.1.0")
    mark = mark_of("document")
    assert first == before.replace("## 1.0.0", f"## 1.1.0\n\n- More of it. (`{mark}`)\n\n## 1.0.0")
    assert with_entries(first, ["More of it."], "document", "1.1.0") == first
    both = with_entries(first, ["Other.", "More of it."], "another", "1.1.0")
    assert [(found["words"], found["mark"] == mark_of("another")) for found in ENTRY.finditer(both)] == [
        ("Other.", True),
        ("More of it.", True),
        ("First.", False),
    ]


def test_document_is_valid_openapi(written):
    validate(written)


def test_every_field_says_what_it_is(written):
    """In words of its own, or in those of the object that it is; a constant says it by its name."""
    silent = [
        f"{name}.{field}"
        for name, schema in written["components"]["schemas"].items()
        for field, says in schema.get("properties", {}).items()
        if not {"description", "const", "$ref", "allOf", "anyOf", "oneOf"} & says.keys()
    ]
    assert silent == []


def test_every_reply_has_an_example_as_it_is_documented(written, contract):
    """Of each media type; a reply to a call by the judge of replies, which lets nothing else pass."""
    shown = 0
    for path, method, status, media, content in contents(written):
        assert content["examples"], (path, status, media)
        for name, example in content["examples"].items():
            value, shown = example["value"], shown + 1
            if media.endswith(("/json", "+json")):
                contract.check_promised(method, path, int(status), media, json.dumps(value).encode())
            else:
                assert isinstance(value, str) and value, (path, status, media, name)
            if int(status) >= 400:
                assert value["status"] == int(status)
    assert shown > 250


def contents(document: dict):
    """(path, method, status, media type, its media object) of each reply with a body."""
    responses = document["components"]["responses"]
    for path, item in document["paths"].items():
        for method, operation in item.items():
            for status, response in operation["responses"].items():
                response = responses[response["$ref"].rpartition("/")[2]] if "$ref" in response else response
                for media, content in response.get("content", {}).items():
                    yield path, method.upper(), status, media, content


def test_every_reply_tells_its_version_and_those_to_wait_for_tell_when(written):
    responses = [
        (status, written["components"]["responses"][name.rpartition("/")[2]] if name else response)
        for item in written["paths"].values()
        for operation in item.values()
        for status, response in operation["responses"].items()
        for name in [response.get("$ref")]
    ]
    for status, response in responses:
        assert ("Retry-After" in response["headers"]) == (status in ("429", "503"))
        assert "Scaldloaf-Version" in response["headers"]
    calls = [
        operation for path, item in written["paths"].items() for operation in item.values() if "/v1/" in path
    ]
    assert all({"429", "500", "503"} <= operation["responses"].keys() for operation in calls)


def test_what_the_server_in_front_answers_is_the_example_of_503(written):
    conf = COMMITTED.parents[1] / "deploy" / "nginx" / "scaldloaf.conf"
    answers = re.findall(r"return 503 '(.+)';", conf.read_text("utf-8"))
    shown = written["components"]["responses"]["Unavailable"]["content"]["application/problem+json"][
        "examples"
    ]
    answers = [answer.replace("$scaldloaf_request_id", REQUEST_ID) for answer in answers]
    assert [json.loads(answer) for answer in answers] == [example["value"] for example in shown.values()]


def test_generators_need_no_name_of_their_own(written):
    """No choices and no bounded entries of a list without a name: they would be told apart by numbers."""
    named = written["components"]["schemas"]
    fields = [field for shape in named.values() for field in shape.get("properties", {}).values()]
    assert fields and not [field for field in fields if "enum" in field]
    entries = [each["items"] for each in (*named.values(), *fields) if each.get("type") == "array"]
    assert entries and not [entry for entry in entries if BOUNDS & entry.keys() or "enum" in entry]


def test_every_route_is_documented_and_every_path_is_served(app, written):
    undocumented = {"/openapi.json"}
    served = {
        (rule.rule, method)
        for rule in app.url_map.iter_rules()
        for method in rule.methods
        if method in ("GET", "POST")
        and not rule.endpoint.startswith("page ")
        and rule.rule not in undocumented
    }
    documented = {(path, method.upper()) for path, item in written["paths"].items() for method in item}
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
