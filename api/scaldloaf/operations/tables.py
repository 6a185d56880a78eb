"""Tables as CSV (RFC 4180), safe to open in a spreadsheet."""

import csv
import io
from collections.abc import Iterable
from typing import NamedTuple

# What spreadsheets take for the beginning of a formula, as some take the wide forms too.
_FORMULA_SIGNS = tuple("=+-@＝＋－＠")
_MARK = "\ufeff"

Rows = Iterable[Iterable[object]]


class Fixed(float):
    """A number that is as it should be, such as a cost or what a scale shows: it is not rounded again."""


class Layout(NamedTuple):
    """How a table is written.

    semicolons: between cells, and a comma in numbers, as spreadsheets of many languages expect. mark: whether
    a byte-order mark comes first. decimals: of numbers that are not ``Fixed``; None: all they have.
    """

    semicolons: bool = False
    mark: bool = False
    decimals: int | None = None


PLAIN = Layout()


def csv_of(rows: Rows, layout: Layout = PLAIN) -> bytes:
    """The rows as CSV; None is an empty cell, and no text is taken for a formula of the spreadsheet's own."""
    table = io.StringIO(newline="")
    table.write(_MARK if layout.mark else "")
    writer = csv.writer(table, delimiter=";" if layout.semicolons else ",")
    for row in rows:
        writer.writerow([_cell(each, layout) for each in row])
    return table.getvalue().encode("utf-8")


def _cell(value: object, layout: Layout) -> object:
    if isinstance(value, float):
        number = _written(value, layout.decimals)
        return number.replace(".", ",") if layout.semicolons else number
    if isinstance(value, str) and value.lstrip().startswith(_FORMULA_SIGNS):
        return "'" + value
    return "" if value is None else value


def _written(number: float, decimals: int | None) -> str:
    if decimals is None or isinstance(number, Fixed):
        return repr(float(number))
    return f"{round(number, decimals) + 0.0:.{decimals}f}"  # + 0.0: no minus before a zero
