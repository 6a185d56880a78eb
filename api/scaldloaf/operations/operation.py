"""What an operation is."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.located import Place, located
from scaldloaf.operations.schemas.objects import Closed
from scaldloaf.operations.tables import Rows


@dataclass(frozen=True, slots=True)
class Example:
    """A runnable request, for the document, the docs and the tests."""

    name: str
    summary: str
    body: Wire


def _own_units(request: Wire) -> Wire:
    units: Wire = request.get("units", {})
    return units


def _as_named(asked: Any, context: Context) -> Mapping[str, str | Place]:
    return {}


@dataclass(frozen=True, slots=True)
class Operation:
    """One calculation: everything the route, the document, bulk and the tests need to know.

    request: the schema of its requests; that of its replies is in ``schemas/replies``.
    read: from a request that the schema's gate has accepted to a record of what is asked, in the craft's
        own units and with every default filled in. A refusal of it names the field of the request.
    compute: from that record to one of all that was found. It calls the craft and knows neither units nor
        the wire; a refusal of it names a part of the record or a parameter of the craft.
    write: from what was found to the reply.
    places: where what ``compute`` refuses is in the request, for what has another name there (``located``).
    writers: other media types that the reply can be asked for in at its own path, each with the function that
        writes it. Deprecated: a table has a path of its own.
    tables: by name, each from the reply to its rows. They have a path of their own, the first by default.
    takes_a_day: whether a request holds all orders of a day, so that its body may be longer.
    units: the units that a request is written in, where it has them in another place.
    """

    name: str
    summary: str
    description: str
    request: type[Closed]
    read: Callable[[Wire, Context], Any]
    compute: Callable[[Any], Any]
    write: Callable[[Any, Context], Wire]
    examples: tuple[Example, ...]
    places: Callable[[Any, Context], Mapping[str, str | Place]] = _as_named
    writers: Mapping[str, Callable[[Wire], bytes]] = field(default_factory=dict)
    tables: Mapping[str, Callable[[Wire], Rows]] = field(default_factory=dict)
    takes_a_day: bool = False
    units: Callable[[Wire], Wire] = _own_units

    @property
    def path(self) -> str:
        return f"/v1/{self.name}"

    @property
    def csv_path(self) -> str:
        return f"{self.path}.csv"

    def answer(self, request: Wire, context: Context) -> Wire:
        """The reply to a request that the schema's gate has accepted. Raises Refusal, at a field of it."""
        asked = self.read(request, context)
        with located.lazily(self.places, asked, context):
            found = self.compute(asked)
        return self.write(found, context)
