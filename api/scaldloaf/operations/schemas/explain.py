"""The faults of a request that its gate refused: pointer, code, detail, given and nearest of each."""

from collections.abc import Iterator
from itertools import islice
from typing import Any

import jsonschema_rs
from marshmallow import ValidationError
from marshmallow.exceptions import SCHEMA

from scaldloaf.operations.faults import MAX_FAULTS, Fault, abridged, pointer
from scaldloaf.operations.schemas.json_schema import gate
from scaldloaf.operations.schemas.objects import Object, Shape


def schema_faults(schema: type[Shape], request: object) -> list[Fault]:
    """Every fault of a request, up to MAX_FAULTS; at least one if its gate refuses it."""
    return explained(schema, request) or _unexplained(schema, request)


def explained(schema: type[Shape], request: object) -> list[Fault]:
    """The faults that marshmallow finds in a request, up to MAX_FAULTS."""
    try:
        Object(schema).deserialize(request)
    except ValidationError as error:
        return list(islice(_faults(error.messages, request, ()), MAX_FAULTS))
    return []


def _faults(messages: dict[Any, Any] | list[Any], given: Any, path: tuple[str | int, ...]) -> Iterator[Fault]:
    """messages: a list of Reasons for ``given``, or those of its parts by name or index."""
    if isinstance(messages, dict):
        for name, inner in messages.items():
            if name == SCHEMA and isinstance(given, list):  # of the list itself, not of an entry
                yield from _faults(inner, given, path)
            else:
                part = given.get(name) if isinstance(given, dict) else given[name]
                yield from _faults(inner, part, (*path, name))
        return
    for reason in messages:
        shown = "".join(filter(str.isprintable, given)) if reason.code == "not_plain_text" else given
        yield Fault(pointer(path), reason.code, reason.detail, abridged(shown), reason.nearest, reason.values)


def _unexplained(schema: type[Shape], request: object) -> list[Fault]:
    """What the gate itself says, for a check that misses what its JSON Schema refuses: our mistake."""
    try:
        gate(schema).validate(request)
    except jsonschema_rs.ValidationError as error:
        return [Fault(pointer(error.instance_path), "not_as_documented", str(error.message)[:200])]
    return []
