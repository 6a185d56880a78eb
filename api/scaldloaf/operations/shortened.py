"""A request shortened to where its first faults are, so that telling them never takes long.

The validator makes every error there is before it gives the first, each with a copy of what is at fault,
and that costs a hundred times what it costs to see that an entry is sound. A list of thousands of bad
entries is told by its first ones, and what stands in a place that has no such thing is told without it.
"""

import jsonschema_rs

_OF_ENTRIES: dict[int, tuple[dict, object]] = {}    # id of a list's item schema -> the schema, kept alive, and its validator


def shortened(value: object, schema: dict, root: dict, most: int) -> tuple[object, list[tuple[tuple, int]]]:
    """The value with every list cut after its ``most``-th entry at fault, and what the cuts may hide.

    Returns (value, [(path, its maxItems) of each list that was longer than it may be]). What is left
    has the same faults in the same places. Lists and objects where the schema knows nothing of their inside
    are empty in it, and fields it does not know are null. root holds the components that ``$ref`` names.
    """
    too_long: list[tuple[tuple, int]] = []
    return _shortened(value, schema, root, most, (), too_long), too_long


def _shortened(value, schema: dict, root: dict, most: int, path: tuple, too_long: list):
    while "$ref" in schema:
        schema = root["components"]["schemas"][schema["$ref"].rpartition("/")[2]]
    if "anyOf" in schema:
        return value
    if isinstance(value, dict):
        if "oneOf" in schema:
            schema = next((branch for branch in schema["oneOf"]
                           if branch["properties"]["kind"]["const"] == value.get("kind")), {"properties": {}})
        fields = schema.get("properties")
        return {} if fields is None else {
            name: _shortened(field, fields[name], root, most, (*path, name), too_long) if name in fields else None
            for name, field in value.items()}
    if isinstance(value, list):
        if "items" not in schema:
            return []
        if len(value) > schema.get("maxItems", len(value)):
            too_long.append((path, schema["maxItems"]))
        return _cut(value, schema["items"], root, most, path, too_long)
    return value


def _cut(entries: list, schema: dict, root: dict, most: int, path: tuple, too_long: list) -> list:
    is_valid = _validator(schema, root).is_valid
    kept, faulty = [], 0
    for index, entry in enumerate(entries):
        if faulty == most:
            break
        if not is_valid(entry):
            entry = _shortened(entry, schema, root, most, (*path, index), too_long)
            faulty += 1
        kept.append(entry)
    return kept


def _validator(schema: dict, root: dict):
    """The validator of a list's entries, made when it is first wanted."""
    if id(schema) not in _OF_ENTRIES:
        whole = {**schema, "components": root["components"]}
        _OF_ENTRIES[id(schema)] = schema, jsonschema_rs.Draft202012Validator(whole)
    return _OF_ENTRIES[id(schema)][1]
