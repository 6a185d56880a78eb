"""Notes that a result brings along."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

Amount = tuple[
    float, str | None
]  # a number, and what it measures: "mass" (g), "temperature" (°C), ..., or None
Value = str | int | float | Amount

NO_VALUES: Mapping[str, Value] = MappingProxyType({})


class Note(NamedTuple):
    """Something to know about a result.

    code: for programs, e.g. ``"hot_water"``. values: the numbers and names in it. The sentence for the baker
    is the caller's.
    """

    code: str
    values: Mapping[str, Value] = NO_VALUES
