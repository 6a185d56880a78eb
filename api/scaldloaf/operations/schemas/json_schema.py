"""JSON Schema 2020-12 written from shapes, and the gates compiled from it.

A shape is a class that the document refers to by name; ``component()`` is its JSON Schema, with shapes in
place of references.
"""

from functools import cache
from typing import Any, Protocol, cast

from jsonschema_rs import Draft202012Validator

_PLACE = "#/components/schemas/"
_FOR_READERS = {"title", "description", "default", "examples", "discriminator"}


class Shape(Protocol):
    """A class that the document refers to by name."""

    __name__: str

    def component(self) -> dict[str, Any]:
        """Its JSON Schema, with shapes in place of references."""


def referenced(tree: Any, *shapes: type) -> tuple[Any, dict[str, dict[str, Any]]]:
    """The tree with references in place of shapes, and the components that it and ``shapes`` need."""
    named: dict[str, type] = {}
    components: dict[str, dict[str, Any]] = {}

    def place(shape: type) -> str:
        name = shape.__name__
        if named.setdefault(name, shape) is not shape:
            raise ValueError(f"two shapes are called {name}")
        if name not in components:
            components[name] = {}  # so that a shape may refer to itself
            components[name] = written(cast("Shape", shape).component())
        return _PLACE + name

    def written(node: Any) -> Any:
        if isinstance(node, type):
            return place(node)
        if isinstance(node, dict):
            return {key: written(value) for key, value in node.items()}
        return [written(value) for value in node] if isinstance(node, list) else node

    for shape in shapes:
        place(shape)
    return written(tree), dict(sorted(components.items()))


@cache
def gate(shape: type) -> Draft202012Validator:
    """The compiled schema of a shape: shows fast whether a value is as documented, but not why it isn't."""
    reference, components = referenced({"$ref": shape})
    return Draft202012Validator(_decisive(reference, components))


def _decisive(schema: Any, components: dict[str, dict[str, Any]]) -> Any:
    """A schema without what only readers need, each component in the place of its reference.

    What is compiled keeps titles and descriptions, and takes twice the memory with both. No request refers to
    itself.
    """

    def decisive(node: Any) -> Any:
        if isinstance(node, list):
            return list(map(decisive, node))
        if not isinstance(node, dict):
            return node
        if "$ref" in node:
            return decisive(components[node["$ref"].removeprefix(_PLACE)])
        return {key: below(key, value) for key, value in node.items() if key not in _FOR_READERS}

    def below(key: str, value: Any) -> Any:
        if key in ("const", "enum"):  # values, not schemas
            return value
        if key == "properties":
            return {name: decisive(field) for name, field in value.items()}
        return decisive(value)

    return decisive(schema)
