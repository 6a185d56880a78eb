"""The query of a path with tables: which table, and how it is written as CSV."""

import re
from collections.abc import Callable, Iterable
from typing import Any

from flask import request

from scaldloaf.http.negotiation import BadQuery, shows_all
from scaldloaf.operations.faults import Fault, closest
from scaldloaf.operations.operation import Operation
from scaldloaf.operations.tables import Layout, csv_of

TABLE, SEPARATOR, MARK, DECIMALS = "table", "separator", "byte_order_mark", "decimals"
COMMA, SEMICOLON = "comma", "semicolon"
MOST_DECIMALS = 9
MEANT = {
    ",": COMMA,
    ";": SEMICOLON,
    "1": "true",
    "0": "false",
    "yes": "true",
    "no": "false",
}  # what some would send


class Separator:
    """The query parameter ``separator`` of every table."""

    @staticmethod
    def component() -> dict[str, Any]:
        return {"type": "string", "enum": [COMMA, SEMICOLON], "default": COMMA}


def parameters_of(operation: Operation) -> list[dict[str, Any]]:
    """The query parameters of its tables, for the document."""
    names = list(operation.tables)
    table = {"type": "string", "enum": names, "default": names[0]}
    found = [_parameter(TABLE, "Which table.", table)] if len(names) > 1 else []
    return [
        *found,
        _parameter(
            SEPARATOR,
            "Between cells. With `semicolon`, numbers have a decimal comma, as spreadsheets in many "
            "languages expect.",
            {"$ref": Separator},
        ),
        _parameter(
            MARK,
            "Whether the table begins with a byte-order mark, by which some spreadsheets know UTF-8.",
            {"type": "boolean", "default": False},
        ),
        _parameter(
            DECIMALS,
            "Decimals that numbers are rounded to. Default: all they have. Costs and what a scale has "
            "rounded stay as they are.",
            {"type": "integer", "minimum": 0, "maximum": MOST_DECIMALS},
        ),
    ]


def _parameter(name: str, description: str, schema: dict[str, Any]) -> dict[str, Any]:
    return {"name": name, "in": "query", "required": False, "description": description, "schema": schema}


def table_writer(operation: Operation) -> Callable[[Any], bytes]:
    """What writes the table that the query asks for. Raises BadQuery."""
    tables = operation.tables
    own = (TABLE,) if len(tables) > 1 else ()
    shows_all(*own, SEPARATOR, MARK, DECIMALS)  # a table has no working: both values give the same
    table = tables[_one_of(TABLE, tables)]
    layout = Layout(
        _one_of(SEPARATOR, (COMMA, SEMICOLON)) == SEMICOLON,
        _one_of(MARK, ("false", "true")) == "true",
        _decimals(),
    )
    return lambda reply: csv_of(table(reply), layout)


def _one_of(name: str, choices: Iterable[str]) -> str:
    """A parameter of the query that has one of some values, the first by default."""
    names = list(choices)
    given = request.args.get(name, names[0])
    if given in names:
        return given
    nearest = MEANT.get(given)
    if nearest not in names:
        nearest = closest(given, names) or names[0]
    raise BadQuery(Fault("", "not_one_of", f"{name} must be one of {', '.join(names)}", given[:80], nearest))


def _decimals() -> int | None:
    given = request.args.get(DECIMALS)
    if given is None:
        return None
    if re.fullmatch(r"[0-9]", given):
        return int(given)
    detail = f"{DECIMALS} must be a whole number from 0 to {MOST_DECIMALS}"
    if not re.fullmatch(r"-?[0-9]{1,40}", given):
        raise BadQuery(Fault("", "wrong_type", detail, given[:80]))
    code, nearest = ("too_small", 0) if given.startswith("-") else ("too_large", MOST_DECIMALS)
    raise BadQuery(Fault("", code, detail, given, nearest))
