"""Where a refusal belongs in the request: the craft names its own parameters, an operation its fields."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import TracebackType
from typing import NamedTuple

from scaldloaf.dough.refusal import Refusal, Way


class Place(NamedTuple):
    """An address in the request.

    restate: where the field has another value than the one refused; from the refusal at that address to one
        whose given and nearest are the field's.
    """

    address: str
    restate: Callable[[Refusal], Refusal] | None = None


class located:  # noqa: N801 - used as a statement: with located("pan"): ...
    """Context manager that gives a Refusal raised inside it the address of a field in the request.

    An argument that begins with one of ``places`` continues from the address given for it; any other
    argument goes below ``prefix`` (``""``: it stays as it is). The longest match counts. Names and
    addresses are dotted paths; a name with a dot in it is passed as ``**{"wanted.share_percent": ...}``.

        with located("bread", fill_percent="fill_percent"):
            ...     # "pan_ratio" -> "bread.pan_ratio", "fill_percent" -> "fill_percent"

    The Refusal that leaves the block is a new one. Blocks nest: the outer one locates what the inner
    one has produced.
    """

    __slots__ = ("_places", "prefix")

    def __init__(self, prefix: str = "", /, **places: str | Place):
        self.prefix = prefix
        self._places: Callable[[], Mapping[str, str | Place]] = lambda: places

    @classmethod
    def lazily(cls, places: Callable[..., Mapping[str, str | Place]], *args: object) -> "located":
        """The same by places that are only worked out when something is refused."""
        made = cls()
        made._places = lambda: places(*args)
        return made

    def __enter__(self) -> None:
        pass

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, traceback: TracebackType | None
    ) -> None:
        if isinstance(error, Refusal):
            raise self._moved(error) from None

    def _moved(self, refusal: Refusal) -> Refusal:
        place = self._place(refusal.argument)
        ways = tuple(self._moved_way(way, refusal) for way in refusal.ways)
        refusal = replace(refusal, argument=place.address, ways=ways)
        return place.restate(refusal) if place.restate else refusal

    def _moved_way(self, way: Way, refusal: Refusal) -> Way:
        change, quantity = {}, way.quantity
        for argument, value in way.change.items():
            place = self._place(argument)
            if place.restate:
                restated = place.restate(replace(refusal, nearest=value, quantity=quantity))
                value, quantity = restated.nearest, restated.quantity
            change[place.address] = value
        return Way(self.address(way.keeps), change, quantity)

    def address(self, argument: str) -> str:
        """The address in the request of an argument of the craft."""
        return self._place(argument).address

    def _place(self, argument: str) -> Place:
        places = self._places()
        head, tail = argument, ""
        while head not in places:
            head, dot, last = head.rpartition(".")
            tail = f".{last}{tail}"
            if not dot:
                return Place(f"{self.prefix}.{argument}" if self.prefix else argument)
        found = places[head]
        place = found if isinstance(found, Place) else Place(found)
        return place._replace(address=f"{place.address}{tail}".removeprefix("."))
