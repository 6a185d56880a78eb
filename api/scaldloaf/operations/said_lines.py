"""The lines of a recipe that a request of recipe-import names, each with the part that it says."""

from collections.abc import Collection

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.dough.refusal import Refusal
from scaldloaf.importing.whole.said_lines import SaidLines
from scaldloaf.importing.words.vocabulary import OUTSIDE
from scaldloaf.operations.context import Wire

FIELDS = {"scald_lines": SCALD, "dough_lines": DOUGH, "aside_lines": OUTSIDE}


def said_lines(request: Wire, count: int) -> SaidLines:
    """What the request says of single lines.

    Parameters
        request : Wire
        count : int  lines of the recipe
    Returns
        SaidLines
    Raises
        Refusal  for a line that is not there, or that two fields name
    """
    named: dict[str, list[int]] = {field: request.get(field) or [] for field in FIELDS}
    parts: dict[int, str] = {}
    field_of: dict[int, str] = {}
    for field, numbers in named.items():
        for at, number in enumerate(numbers):
            other = field_of.setdefault(number, field)
            if number > count or other != field:
                taken = {each for name, line in named.items() if name != field for each in line}
                raise _refused(f"{field}.{at}", number, other, count, _nearest(number, count, taken))
            parts[number] = FIELDS[field]
    return SaidLines(parts, "scald_lines" in request)


def _refused(argument: str, number: int, other: str, count: int, nearest: int | None) -> Refusal:
    """The refusal of a line.

    Parameters
        argument : str  its place in the request
        number : int
        other : str  the field that names it first
        count : int  lines of the recipe
        nearest : int | None  the nearest line that works
    Returns
        Refusal
    """
    if number > count:
        return Refusal(
            argument,
            "no_such_line",
            f"the recipe has only {{most}} line{'s' if count > 1 else ''}",
            given=number,
            nearest=nearest,
            amounts={"most": (count, None)},
        )
    return Refusal(
        argument,
        "line_in_two_fields",
        "line {line} is in {other} too",
        given=number,
        nearest=nearest,
        amounts={"line": (number, None), "other": other},
    )


def _nearest(number: int, count: int, taken: Collection[int]) -> int | None:
    """The nearest line to a number that no other field names; None where they name them all."""
    free = (each for each in range(1, count + 1) if each not in taken)
    return min(free, key=lambda each: abs(each - number), default=None)
