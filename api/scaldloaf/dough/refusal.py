"""How the craft refuses: which argument, why, and the nearest value that works."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from scaldloaf.dough.notes import Amount


class Kept(NamedTuple):
    """The names of a mapping's entries that stay; the caller writes the mapping without the others."""

    names: tuple[str, ...]


class Way(NamedTuple):
    """Another way out of a refusal than its nearest value.

    change: argument -> the value to give it, a number of ``quantity``, names, or what is ``Kept``. keeps: the
    argument that stays as asked.
    """

    keeps: str
    change: Mapping[str, object]
    quantity: str | None = None


@dataclass(eq=False)  # an exception is itself and nothing else; a generated __eq__ would make it unhashable
class Refusal(ValueError):
    """Input that makes no bread, with what to do about it.

    argument: a dotted path that begins with a parameter of the function called, each step without its
        unit: ``"fill_percent"``, ``"known.share_percent"``, ``"stages.2.temperature"``. Where a caller's
        own input has other names, the caller translates (``operations.located``).
    code: a short snake_case word for programs, e.g. ``"scald_liquid_short"``.
    message: a sentence for the baker; ``{name}`` stands for an entry of ``amounts``.
    given, nearest: the value refused, and the nearest one that works (None: there is none).
    quantity: what ``given`` and ``nearest`` measure, in this package's units: ``"mass"`` (g),
        ``"length"`` (cm), ``"volume"`` (cm³), ``"temperature"`` (°C); None for a bare number.
    amounts: name -> (value, quantity) or a text, for the message, so that a caller can show each amount in
        the baker's own units.
    ways: other ways out.
    """

    argument: str
    code: str
    message: str
    given: object = None
    nearest: object = None
    quantity: str | None = None
    amounts: Mapping[str, Amount | str] = field(default_factory=dict)
    ways: tuple[Way, ...] = ()

    def __str__(self) -> str:
        said = {
            name: amount if isinstance(amount, str) else f"{amount[0]:.6g}"
            for name, amount in self.amounts.items()
        }
        return f"{self.argument}: {self.message.format(**said)}"


def listed(names: Iterable[str], most: int = 8) -> str:
    """Names separated by commas; beyond ``most`` of them, only how many more there are."""
    names = list(names)
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more
