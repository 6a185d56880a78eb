"""Small builders for JSON Schema 2020-12, and the shapes that every call shares.

A request is checked by the very schema that the OpenAPI document publishes, so the two cannot
disagree. Bounds are inclusive everywhere: the nearest value that works is then the bound itself.
"""

from scaldloaf import units as unit_table
from scaldloaf.reference import COMPOSITION_FIELDS, EVIDENCE, YEAST_KINDS

LARGEST = 1e9            # keeps every product of a few inputs finite
MAX_LINES = 200
MAX_NAME = 120
NAME_PATTERN = r"^[^\u0000-\u001f\u007f]*$"     # no control characters


def number(description: str, minimum: float = -LARGEST, maximum: float = LARGEST, **more) -> dict:
    return {"type": "number", "minimum": minimum, "maximum": maximum, "description": description, **more}


def mass(description: str, minimum: float = 0.0, **more) -> dict:
    """A mass in the request's mass unit."""
    return number(f"{description} In `units.mass`.", minimum, **more)


def length(description: str, minimum: float = 0.001, **more) -> dict:
    return number(f"{description} In `units.length`.", minimum, 1e6, **more)


def volume(description: str, minimum: float = 0.001, **more) -> dict:
    return number(f"{description} In `units.volume`.", minimum, **more)


def temperature(description: str, **more) -> dict:
    return number(f"{description} In `units.temperature`.", -500, 1000, **more)


def temperature_difference(description: str, minimum: float = -500, maximum: float = 1000, **more) -> dict:
    """A rise or a friction: degrees of the request's temperature unit, without its zero point."""
    return number(f"{description} A difference, in degrees of `units.temperature`.", minimum, maximum, **more)


def percent(description: str, minimum: float = 0.0, maximum: float = 100.0, **more) -> dict:
    return number(description, minimum, maximum, **more)


def integer(description: str, minimum: int, maximum: int, **more) -> dict:
    return {"type": "integer", "minimum": minimum, "maximum": maximum, "description": description, **more}


def text(description: str, max_length: int = MAX_NAME, min_length: int = 1, **more) -> dict:
    return {"type": "string", "minLength": min_length, "maxLength": max_length, "pattern": NAME_PATTERN,
            "description": description, **more}


def choice(description: str, *names: str, **more) -> dict:
    return {"type": "string", "enum": list(names), "description": description, **more}


def flag(description: str, **more) -> dict:
    return {"type": "boolean", "description": description, **more}


def array(items: dict, description: str, minimum: int = 0, maximum: int | None = None, **more) -> dict:
    schema = {"type": "array", "items": items, "minItems": minimum, "description": description, **more}
    if maximum is not None:
        schema["maxItems"] = maximum
    return schema


def record(description: str, required: dict, optional: dict | None = None) -> dict:
    """An object of a request: closed, so that a misspelt field is refused and not ignored."""
    return {"type": "object", "description": description, "properties": {**required, **(optional or {})},
            "required": list(required), "additionalProperties": False}


def result(description: str, always: dict, sometimes: dict | None = None) -> dict:
    """An object of a reply: open to readers, so that /v1 may grow; the tests hold it closed.

    Replies promise no bounds: those of the builders are for requests and are dropped.
    """
    fields = {name: {keyword: value for keyword, value in field.items() if keyword not in ("minimum", "maximum")}
              for name, field in {**always, **(sometimes or {})}.items()}
    return {"type": "object", "description": description, "properties": fields, "required": list(always)}


def kinds(description: str, **records: tuple[dict, dict] | dict) -> dict:
    """One of several records told apart by their ``kind``.

    Each entry is the required fields, or a pair (required fields, optional fields).
    """
    branches = []
    for name, fields in records.items():
        required, optional = fields if isinstance(fields, tuple) else (fields, {})
        branches.append({**record(f"{name.replace('_', ' ')}", {"kind": {"const": name}, **required}, optional),
                         "title": name})
    return {"oneOf": branches, "description": description}


def nullable(schema: dict) -> dict:
    """The schema, or null; the names of a choice get null beside them."""
    return {**schema, "type": [schema["type"], "null"], **({"enum": [*schema["enum"], None]} if "enum" in schema else {})}


def component(name: str) -> dict:
    return {"$ref": f"#/components/schemas/{name}"}


def shared(name: str, schema: dict) -> dict:
    """Publish a shape that several calls use as a component; returns the reference to it."""
    COMPONENTS[name] = schema
    return component(name)


def estimate(description: str) -> dict:
    """A reference to the estimate object, with a description of its own."""
    return {**component("Estimate"), "description": description}


def estimate_or_null(description: str) -> dict:
    """The same where the answer may have none."""
    return {"anyOf": [component("Estimate"), {"type": "null"}], "description": description}


def _composition() -> dict:
    shares = {field: percent(f"{field.removesuffix('_percent').capitalize()}, g per 100 g.")
              for field in COMPOSITION_FIELDS}
    return record(
        "Composition of an ingredient of one's own, g per 100 g; what is left out is 0.", {},
        {**shares,
         "is_flour": flag("Counts as flour: baker's percentages are reckoned on it. Of a flour mix the sugars, salt and "
                          "yeast count as of any line; its water, fat and protein do not, as of any flour.",
                          default=False),
         "is_liquid": flag("Counts, whole, in the trade's quick count of liquid.", default=False),
         "yeast": choice("What kind of yeast it is, if it is one.", *YEAST_KINDS),
         "allergens": array(text("An allergen, e.g. milk.", 40), "Allergens it brings.", 0, 20)})


_LINE = {
    "ingredient": text("A catalogue name (GET /v1/ingredients), or any name with a `composition`.", 80,
                       examples=["bread_flour"]),
}
_LINE_NUMBERS = {
    "mass": mass("Mass of the line."),
    "percent": percent("Baker's percentage: percent of total flour.", maximum=LARGEST),
    "percent_of_dough": percent("Percent of dough mass. Given in replies; not read in requests.",
                                maximum=LARGEST),
}
_PART = {"part": choice("Where the line goes.", "dough", "scald", default="dough")}
_FORMULA_OPTIONS = {
    "name": text("A name of your own.", MAX_NAME, 0),
    "scald_evaporation": mass("Mass the scald loses while it is cooked (where the lines are in percent: percent of flour).",
                              default=0),
}

COMPONENTS: dict[str, dict] = {
    "Units": record(
        "Units of every number in the request and its reply.", {},
        {**{quantity: choice(f"Unit of every {quantity}.", *table, default=unit_table.DEFAULTS[quantity])
            for quantity, table in unit_table.FACTORS.items()},
         "temperature": choice("Unit of every temperature.", *unit_table.TEMPERATURES, default="degC")}),
    "Composition": _composition(),
    "Line": record("One ingredient of a formula.", _LINE,
                   {**_LINE_NUMBERS, **_PART, "composition": component("Composition")}),
    "Formula": record(
        "A formula. Every line has a `mass`, or every line a `percent` of total flour; a reply's formula "
        "can be posted back unchanged.",
        {"lines": array(component("Line"), "The ingredients, in order.", 1, MAX_LINES)}, _FORMULA_OPTIONS),
    "FullLine": result("One ingredient of a formula, with all its figures.",
                       {**_LINE, **_LINE_NUMBERS, **_PART}, {"composition": component("Composition")}),
    "FullFormula": result(
        "A formula with all its figures; it can be posted back unchanged.",
        {"lines": array(component("FullLine"), "The ingredients, in order.", 1), **_FORMULA_OPTIONS}),
    "Estimate": result(
        "A number with its interval (90 % unless said otherwise) and what it rests on.",
        {"low": number("Lower end."), "best": number("Best value."), "high": number("Upper end."),
         "evidence": choice("What it rests on.", *EVIDENCE)}),
    "Step": result(
        "One step of the working, to be redone by hand.",
        {"label": {"type": "string"}, "expression": {"type": "string"}, "value": number("Its outcome."),
         "unit": {"type": "string", "description": "Unit of the value; empty for a bare number."}}),
    "Caution": result(
        "A warning for the step where it matters.",
        {"code": {"type": "string"}, "text": {"type": "string"}, "defer_to": {"type": "string"}}),
    "Note": result("Something to know about this answer, e.g. that it extrapolates.",
                   {"code": {"type": "string"}, "text": {"type": "string"}}),
    "Problem": result(
        "What went wrong (RFC 9457).",
        {"type": {"type": "string", "format": "uri-reference"}, "title": {"type": "string"},
         "status": integer("HTTP status.", 400, 599), "detail": {"type": "string"},
         "instance": {"type": "string", "format": "uri-reference"},
         "errors": array(result(
             "One fault.",
             {"pointer": {"type": "string", "description": "JSON Pointer into the request body (RFC 6901)."},
              "code": {"type": "string"}, "detail": {"type": "string"},
              "given": {"description": "What was given, when it is short enough to repeat."},
              "nearest": {"description": "The nearest value that would work; null when there is none."}},
             {"parameter": {"type": "string", "description": "The query parameter or header at fault."}}),
             "Each fault found.")}),
}

BRIEF = {
    "units": component("Units"),
    "cautions": array(component("Caution"), "Warnings for the steps where they matter."),
}
FULL_ONLY = {
    "working": array(component("Step"), "The steps, in order. Left out at `?show=result`."),
    "basis": array({"type": "string"}, "Sources used, resolved at GET /v1/sources. Left out at `?show=result`."),
    "notes": array(component("Note"), "Things to know. Left out at `?show=result`."),
}


def request(description: str, required: dict, optional: dict | None = None) -> dict:
    """A request body: the fields of the call, and the units it speaks."""
    return record(description, required, {**(optional or {}), "units": component("Units")})


def reply(description: str, always: dict, sometimes: dict | None = None) -> dict:
    """A reply body: the fields of the call, and what every reply carries."""
    return result(description, {**always, **BRIEF}, {**(sometimes or {}), **FULL_ONLY})
