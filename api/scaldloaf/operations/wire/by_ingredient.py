"""What a request gives by ingredient, such as prices: each ingredient once, and some of them used."""

from collections.abc import Callable, Iterable
from typing import NamedTuple, TypeVar

from scaldloaf.dough.refusal import Refusal, listed
from scaldloaf.operations.context import Wire
from scaldloaf.operations.faults import closest
from scaldloaf.reference import INGREDIENTS

T = TypeVar("T")


class Given(NamedTuple):
    """The field of a request, what one entry is called, and the codes of its refusals."""

    field: str
    one: str
    twice: str
    of_nothing: str
    all_of_nothing: str


def read_by_ingredient(
    wire: list[Wire], given: Given, used: Iterable[str], read: Callable[[Wire], T]
) -> tuple[T, ...]:
    """Each entry of a list by ingredient, read.

    Parameters
        wire : list  the entries, each with its ``ingredient``
        given : Given  what they are
        used : Iterable  the ingredients that the formulas name
        read : Callable  an entry -> what it means
    Raises
        Refusal: for an ingredient that is there twice, for a name that is neither used nor in the catalogue,
        and for a list of which no ingredient is used.
    """
    names = dict.fromkeys(used)
    found: dict[str, T] = {}
    for index, each in enumerate(wire):
        name = each["ingredient"]
        if name in found:
            raise Refusal(
                f"{given.field}.{index}.ingredient",
                given.twice,
                f"this ingredient has a {given.one} already; each has one",
                given=name,
            )
        if name not in names and name not in INGREDIENTS:
            raise Refusal(
                f"{given.field}.{index}.ingredient",
                given.of_nothing,
                "no line is called that, and nothing in the catalogue; the lines are {lines}",
                given=name,
                nearest=closest(name, names),
                amounts={"lines": listed(names)},
            )
        found[name] = read(each)
    if not names.keys() & found.keys():
        raise Refusal(
            given.field,
            given.all_of_nothing,
            "none of these ingredients is used; the lines are {lines}",
            amounts={"lines": listed(names)},
        )
    return tuple(found.values())
