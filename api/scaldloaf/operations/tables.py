"""Tables as CSV (RFC 4180), safe to open in a spreadsheet."""

import csv
import io
from collections.abc import Iterable

# What spreadsheets take for the beginning of a formula, as some take the wide forms too.
_FORMULA_SIGNS = tuple("=+-@＝＋－＠")


def csv_of(rows: Iterable[Iterable[object]]) -> bytes:
    """The rows as CSV; None is an empty cell, and no text is taken for a formula of the spreadsheet's own."""
    table = io.StringIO(newline="")
    writer = csv.writer(table)
    for row in rows:
        writer.writerow([_cell(each) for each in row])
    return table.getvalue().encode("utf-8")


def _cell(value: object) -> object:
    if isinstance(value, str) and value.lstrip().startswith(_FORMULA_SIGNS):
        return "'" + value
    return "" if value is None else value
