"""Names for what a generator would otherwise have to name itself.

Generators make a class of each list of choices, and of each bounded entry of a list. Without a name of its
own it is called after its field, and several of one name are told apart by numbers that move when anything is
added (``Assessment3``). So each becomes a component: ``LinePart`` for the part of a ``Line``. These are the
names that openapi-python-client has always given them, so its classes stay.
"""

from typing import Any

Schema = dict[str, Any]
_PLACE = "#/components/schemas/"
# What an entry of a list has that makes generators want a class for it.
BOUNDS = {"minimum", "maximum", "minLength", "maxLength", "pattern", "minItems", "maxItems"}
KEPT_AT_THE_FIELD = {"description", "default", "examples"}


def camel(name: str) -> str:
    """``scalded-share_percent`` -> ``ScaldedSharePercent``."""
    return "".join(part[:1].upper() + part[1:] for part in name.replace("-", "_").split("_"))


def with_names(components: dict[str, Schema]) -> dict[str, Schema]:
    """The components, and with them each list of choices and each bounded entry of a list in them."""
    named: dict[str, Schema] = {}

    def put(schema: Schema, name: str) -> Schema:
        if name in named or name in components:
            raise ValueError(f"two components are called {name}")
        own = {key: value for key, value in schema.items() if key not in ("default", "examples")}
        named[name] = {"title": name, **own}
        reference = {"$ref": _PLACE + name}
        field = {key: value for key, value in schema.items() if key in KEPT_AT_THE_FIELD}
        # A default beside a reference is overlooked by some generators, and one around it is not.
        return {"allOf": [reference], **field} if "default" in field else {**reference, **field}

    def of_field(schema: Schema, name: str) -> Schema:
        if schema.get("type") == "array" and isinstance(schema.get("items"), dict):
            return {**schema, "items": of_entry(schema["items"], f"{name}Item")}
        return put(schema, name) if "enum" in schema else schema

    def of_entry(schema: Schema, name: str) -> Schema:
        schema = of_field(schema, name)
        return put(schema, name) if BOUNDS & schema.keys() else schema

    for shape, component in components.items():
        if "properties" in component:
            fields = component["properties"].items()
            properties = {field: of_field(schema, shape + camel(field)) for field, schema in fields}
            components = {**components, shape: {**component, "properties": properties}}
        elif "items" in component:
            components = {**components, shape: of_field(component, shape)}
    return dict(sorted({**components, **named}.items()))
