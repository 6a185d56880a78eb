"""Ruff and mypy find nothing: one format, the rules and the types that pyproject.toml asks for."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from running import ROOT

CHECKED = ("api", "tests", "deploy")


def said_by(*command: str) -> str:
    """What a check says when it finds something; empty when it does not."""
    done = subprocess.run(
        [sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, stdin=subprocess.DEVNULL
    )
    return "" if done.returncode == 0 else done.stdout + done.stderr


def test_the_code_keeps_the_rules():
    assert said_by("ruff", "check", "--output-format", "concise", *CHECKED) == ""


def test_the_code_has_one_format():
    assert said_by("ruff", "format", "--check", *CHECKED) == ""


def test_types_agree():
    assert said_by("mypy", "--strict", "--package", "scaldloaf") == ""


@pytest.mark.parametrize(
    ("check", "fault", "says"),
    [
        (("ruff", "check"), "import os\n", "F401"),
        (("ruff", "format", "--check"), "def f( ):\n  return 1\n", "Would reformat"),
        (("mypy", "--strict"), "def f(g: float) -> str:\n    return g\n", "return-value"),
    ],
    ids=lambda value: value[0] if isinstance(value, tuple) else "",
)
def test_a_fault_is_found(tmp_path, check, fault, says):
    """The checks themselves, with the project's own settings."""
    (tmp_path / "fault.py").write_text(fault)
    settings = ("--config-file" if check[0] == "mypy" else "--config", str(ROOT / "pyproject.toml"))
    assert says in said_by(*check, *settings, str(tmp_path / "fault.py"))


def parameters_not_described(path: Path) -> list[str]:
    """Public functions with four parameters or more whose docstring has no line for one of them."""
    found = []
    tree = ast.parse(path.read_text("utf-8"))
    of_classes = [node for each in tree.body if isinstance(each, ast.ClassDef) for node in each.body]
    for node in [*tree.body, *of_classes]:
        if not isinstance(node, ast.FunctionDef) or node.name.startswith("_"):
            continue
        every = (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)
        names = [each.arg for each in every if each.arg not in ("self", "cls", "mcs")]
        described = ast.get_docstring(node) or ""
        lines = [line.split(" : ")[0].split(", ") for line in described.splitlines() if " : " in line]
        said = {name.strip() for line in lines for name in line}
        if len(names) >= 4 and not said.issuperset(names):
            found.append(f"{path.name} {node.name}: {', '.join(name for name in names if name not in said)}")
    return found


def test_each_parameter_of_a_long_list_is_described():
    """In the craft and the calls: from four parameters on, a line each with its unit."""
    rooms = [ROOT / "api/scaldloaf" / room for room in ("dough", "operations")]
    paths = [path for room in rooms for path in room.rglob("*.py") if path.name != "objects.py"]
    assert len(paths) > 100
    assert [found for path in paths for found in parameters_not_described(path)] == []


def test_files_of_code_are_short_enough_to_read():
    lines = {
        path: path.read_text("utf-8").count("\n")
        for room, kinds in (("api", (".py",)), ("web", (".js", ".ts", ".css", ".html")))
        for path in (ROOT / room).rglob("*")
        if path.suffix in kinds
    }
    assert len(lines) > 200
    assert not {path.name: count for path, count in lines.items() if count > 450}
