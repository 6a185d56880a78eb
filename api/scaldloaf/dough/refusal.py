"""How the craft says no: which argument, why, and the nearest value that would work."""

from collections.abc import Iterable
from dataclasses import dataclass, field


@dataclass
class Refusal(ValueError):
    """A request that makes no bread, refused in a way that teaches.

    argument: dotted path of the argument at fault, e.g. ``"scalded_share_percent"`` or
        ``"formula.lines.3.mass"``. It is named as on the wire wherever the two agree.
    code: short snake_case word for machines, e.g. ``"scald_liquid_short"``.
    message: a sentence for the baker; ``{name}`` stands for an entry of ``amounts``.
    given, nearest: the value refused and the nearest one that works (None: there is none).
    quantity: what ``given`` and ``nearest`` measure, in this package's units: ``"mass"`` (g),
        ``"length"`` (cm), ``"volume"`` (cm3), ``"temperature"`` (degC), or None for a bare number.
    amounts: name -> (value, quantity) for the message, so that the edge can turn
        them into the baker's own units before the sentence is read.
    """

    argument: str
    code: str
    message: str
    given: object = None
    nearest: object = None
    quantity: str | None = None
    amounts: dict[str, tuple[float, str | None]] = field(default_factory=dict)

    def __str__(self) -> str:
        plain = {name: f"{value:.6g}" for name, (value, _) in self.amounts.items()}
        return f"{self.argument}: {self.message.format(**plain) if plain else self.message}"


def quoted(name: str) -> str:
    """A name from outside, safe inside a message that has {places} of its own."""
    return name.replace("{", "{{").replace("}", "}}")


def listed(names: Iterable[str], most: int = 8) -> str:
    """Names in a row, the first few when there are many."""
    names = list(names)
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more
