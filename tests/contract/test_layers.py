"""Who imports whom: the craft knows nothing of the wire, the faults nothing of the calls, no call Flask."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import scaldloaf.operations

OPERATIONS = Path(scaldloaf.operations.__file__).parent
IMPORTING = OPERATIONS.with_name("importing")
CALLS = {
    "breakdown",
    "dough_temperature",
    "hydration_correction",
    "keeping",
    "loaf_plan",
    "order_demand",
    "pan_fill",
    "recipe_export",
    "recipe_import",
    "scald_preparation",
    "scaling",
    "share_limit",
    "sugar_budget",
    "tasting_plan",
    "tasting_result",
    "trial_fit",
    "variants",
}


def loaded_by(module: str) -> set[str]:
    """The modules that are there after importing one, in a process of its own."""
    shown = f"import sys, {module}; print(*sys.modules)"
    path = [entry for entry in sys.path if entry]
    done = subprocess.run(
        [sys.executable, "-c", f"import sys; sys.path[:0] = {path!r}; {shown}"],
        check=True,
        capture_output=True,
        text=True,
    )
    return set(done.stdout.split())


@pytest.mark.parametrize(
    "module",
    [
        "scaldloaf.operations.faults",
        "scaldloaf.operations.context",
        "scaldloaf.operations.located",
        "scaldloaf.operations.cautions",
    ],
)
def test_what_calls_are_made_of_imports_none_of_them(module):
    assert module in loaded_by(module)
    assert not {f"scaldloaf.operations.{call}" for call in CALLS} & loaded_by(module)


def test_the_registry_has_every_call():
    assert {f"scaldloaf.operations.{call}" for call in CALLS} <= loaded_by("scaldloaf.operations.registry")


@pytest.mark.parametrize(
    "module, above",
    [
        (
            "scaldloaf.dough.demand",
            ("scaldloaf.operations", "scaldloaf.units", "flask", "marshmallow", "pint"),
        ),
        ("scaldloaf.operations.perform", ("scaldloaf.http", "flask")),
        # The service writes no reply through its class: all of them take more than a megabyte.
        ("scaldloaf.http", ("scaldloaf.operations.schemas.replies", "scaldloaf.http.document_")),
    ],
)
def test_nothing_below_knows_what_is_above(module, above):
    assert not [name for name in loaded_by(module) if name.startswith(above)]


def rooms_imported_by(room: str, house: Path = OPERATIONS) -> set[str]:
    """The other folders of operations (or importing) that the modules of one import from."""
    imported = {
        node.module.split(".")[2]
        for path in (house / room).rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(f"scaldloaf.{house.name}.")
    }
    return {name for name in imported if (house / name).is_dir()} - {room}


def test_schemas_wire_and_workings_build_on_each_other_in_that_order():
    assert rooms_imported_by("schemas") == set()
    assert rooms_imported_by("wire") == {"schemas"}
    assert rooms_imported_by("working") == {"wire"}


def test_the_rooms_of_the_import_build_on_those_before_them():
    rooms = ("words", "quantities", "layouts", "line", "whole", "method")
    for place, room in enumerate(rooms):
        assert rooms_imported_by(room, IMPORTING) <= set(rooms[:place]), room
        text = "".join(path.read_text("utf-8") for path in (IMPORTING / room).glob("*.py"))
        assert "importing.lines" not in text and "importing.recipe_lines" not in text, room
