"""Where a refusal belongs in the request: the craft names its own parameters, an operation its fields."""

from dataclasses import replace
from types import TracebackType

from scaldloaf.dough.refusal import Refusal


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

    __slots__ = ("places", "prefix")

    def __init__(self, prefix: str = "", /, **places: str):
        self.prefix, self.places = prefix, places

    def __enter__(self) -> None:
        pass

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, traceback: TracebackType | None
    ) -> None:
        if isinstance(error, Refusal):
            raise replace(error, argument=self.address(error.argument)) from None

    def address(self, argument: str) -> str:
        """The address in the request of an argument of the craft."""
        head, tail = argument, ""
        while head not in self.places:
            head, dot, last = head.rpartition(".")
            tail = f".{last}{tail}"
            if not dot:
                return f"{self.prefix}.{argument}" if self.prefix else argument
        return f"{self.places[head]}{tail}".removeprefix(".")
