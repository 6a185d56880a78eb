"""A constant has the name of its coefficient, and each coefficient is read in one module."""

import ast
from collections import Counter
from pathlib import Path

import pytest

from scaldloaf import dough
from scaldloaf.reference import COEFFICIENTS

MODULES = sorted(Path(dough.__path__[0]).rglob("*.py"))


def coefficient_of(node: ast.expr) -> str | None:
    """The key of ``coefficient("key")`` or ``coefficient("key").value``; None for anything else."""
    if isinstance(node, ast.Attribute) and node.attr == "value":
        node = node.value
    match node:
        case ast.Call(func=ast.Name(id="coefficient"), args=[ast.Constant(value=str(key))]):
            return key
    return None


def assignments(module: Path) -> list[tuple[str, str]]:
    """(name, key) of every module-level constant that holds a coefficient or its value."""
    tree = ast.parse(module.read_text("utf-8"))
    return [
        (target.id, key)
        for node in tree.body
        if isinstance(node, ast.Assign)
        for target in node.targets
        if isinstance(target, ast.Name) and (key := coefficient_of(node.value))
    ]


def literal_keys(module: Path) -> list[str]:
    """Every key that a module passes to ``coefficient`` as a literal."""
    return [
        key
        for node in ast.walk(ast.parse(module.read_text("utf-8")))
        if isinstance(node, ast.Call) and (key := coefficient_of(node))
    ]


@pytest.mark.parametrize("module", MODULES, ids=lambda each: f"{each.parent.name}/{each.name}")
def test_a_constant_has_the_name_of_its_coefficient(module):
    named = assignments(module)
    assert [name for name, key in named if name != key.upper()] == []
    # no coefficient is used without a name
    assert Counter(literal_keys(module)) == Counter(key for _, key in named)


def test_a_coefficient_is_read_in_one_module():
    readers = Counter(key for module in MODULES for key in literal_keys(module))
    assert len(readers) > 60 and set(readers) <= set(COEFFICIENTS)
    assert [key for key, count in readers.items() if count > 1] == []
