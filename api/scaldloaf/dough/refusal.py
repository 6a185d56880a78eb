"""How the craft refuses: which argument, why, and the nearest value that works."""

from collections.abc import Iterable
from dataclasses import dataclass, field


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
    amounts: name -> (value, quantity) for the message, so that a caller can show each amount in the
        baker's own units.
    """

    argument: str
    code: str
    message: str
    given: object = None
    nearest: object = None
    quantity: str | None = None
    amounts: dict[str, tuple[float, str | None]] = field(default_factory=dict)

    def __str__(self) -> str:
        numbers = {name: f"{value:.6g}" for name, (value, _) in self.amounts.items()}
        return f"{self.argument}: {self.message.format(**numbers) if numbers else self.message}"


def quoted(name: str) -> str:
    """A name from the request, safe inside a message that has {places} of its own."""
    return name.replace("{", "{{").replace("}", "}}")


def listed(names: Iterable[str], most: int = 8) -> str:
    """Names separated by commas; beyond ``most`` of them, only how many more there are."""
    names = list(names)
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more
