"""Every code that the service can give is in the document with what it means, and no other."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import scaldloaf
from note_texts import TABLES
from scaldloaf.http.document_codes import CODES
from scaldloaf.http.error_codes import ERROR_CODES
from scaldloaf.http.problems import KINDS
from scaldloaf.operations.cautions import CAUTION_ORDER

SOURCE = {path: path.read_text("utf-8") for path in sorted(Path(scaldloaf.__file__).parent.rglob("*.py"))}
# Whatever makes a fault -> the place of its code among the arguments.
MAKERS = {
    "Refusal": 1,
    "Fault": 1,
    "Reason": 0,
    "refusal": 0,
    "NotJson": 1,
    "require_between": 4,
    "_require_within": 4,
}
TABLE = "error_codes.py"


def places_of_codes(tree: ast.AST) -> Iterator[ast.AST]:
    """What the source gives as a code: an argument of a maker, or what is assigned to a name ``code``."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            yield from (each.value for each in node.keywords if each.arg == "code")
            yield from node.args[MAKERS[name] : MAKERS[name] + 1] if name in MAKERS else ()
        elif isinstance(node, ast.Assign) and "code" in {each.id for each in names_in(node.targets)}:
            yield node.value


def names_in(nodes: list[ast.expr]) -> Iterator[ast.Name]:
    return (each for node in nodes for each in ast.walk(node) if isinstance(each, ast.Name))


def codes_given() -> set[str]:
    """The codes of faults that the source names."""
    makes = re.compile(rf"\b(?:{'|'.join(MAKERS)})\(")
    texts = (text for path, text in SOURCE.items() if path.parent.name != "importing")
    trees = (ast.parse(text) for text in texts if makes.search(text))
    parts = (part for tree in trees for place in places_of_codes(tree) for part in ast.walk(place))
    words = {each.value for each in parts if isinstance(each, ast.Constant)}
    return {word for word in words if isinstance(word, str) and re.fullmatch("[a-z]+(_[a-z0-9]+)+", word)}


def test_every_code_of_an_error_has_its_meaning():
    given = codes_given()
    assert len(given) > 100 and sorted(given - ERROR_CODES.keys()) == []


def test_every_code_with_a_meaning_is_given_somewhere():
    source = "\n".join(text for path, text in SOURCE.items() if path.name != TABLE)
    # The name of a field completes this one.
    written = {"not_a_flour": 'f"not_a_{field}"'}
    unused = [code for code in ERROR_CODES if written.get(code, f'"{code}"') not in source]
    assert unused == []


def test_lists_of_other_codes_are_whole():
    def listed(component):
        return next(codes.meanings for name, codes in CODES.values() if name == component).keys()

    texts = {code for module, texts in TABLES.items() if not module.endswith(".usable") for code in texts}
    assert listed("NoteCode") == texts and set(listed("CautionCode")) >= set(CAUTION_ORDER)
    assert listed("ProblemType") == {f"/problems/{slug}" for slug in KINDS}


@pytest.mark.parametrize("component", [name for name, _ in CODES.values()])
def test_each_list_says_what_its_codes_mean_and_that_there_may_be_more(document, component):
    schema = document["components"]["schemas"][component]
    about, *meanings = schema["description"].split("\n- ")
    assert "More may be added in /v1" in about
    assert [re.match(r"`(.+?)`: (?=\S)", meaning)[1] for meaning in meanings] == schema["enum"]
    assert not re.search(r"\{\w*:", schema["description"]), "a number format is left"


@pytest.mark.parametrize(("shape", "field"), CODES)
def test_a_code_may_be_one_that_is_not_listed_yet(document, shape, field):
    schema = document["components"]["schemas"][shape]["properties"][field]
    known, other = schema["anyOf"]
    assert (
        known["$ref"].endswith(CODES[shape, field][0]) and other["type"] == "string" and "enum" not in other
    )
