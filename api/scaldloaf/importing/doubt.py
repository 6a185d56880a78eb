"""How sure a reading is, and why not more."""

from collections.abc import Iterable
from typing import NamedTuple

SURE, LIKELY, UNSURE, NOT_READ = LEVELS = ("sure", "likely", "unsure", "not_read")


class Doubt(NamedTuple):
    """A reason to be less than sure: the surest that the reading may still be called, and a sentence."""

    level: str
    why: str


def worst(doubts: Iterable[Doubt]) -> str:
    """The level that some doubts leave."""
    levels = {doubt.level for doubt in doubts}
    for level in reversed(LEVELS):
        if level in levels:
            return level
    return SURE
