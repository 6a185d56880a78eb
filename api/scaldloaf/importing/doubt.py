"""How sure a reading is, and why it is not surer."""

from collections.abc import Iterable
from typing import NamedTuple

SURE, LIKELY, UNSURE, NOT_READ = LEVELS = ("sure", "likely", "unsure", "not_read")


class Doubt(NamedTuple):
    """A reason for doubt: the surest level that it allows, and a sentence."""

    level: str
    why: str


def worst(doubts: Iterable[Doubt]) -> str:
    """The surest level that some doubts together allow."""
    levels = {doubt.level for doubt in doubts}
    for level in reversed(LEVELS):
        if level in levels:
            return level
    return SURE
