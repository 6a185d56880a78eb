"""Where a list that is nested in another ends: lines with a bullet, deeper than that of their heading."""

import re
from collections.abc import Sequence
from typing import NamedTuple

TAB = 4  # blanks
LEAST_INSIDE, LEAST_BEHIND = 2, 2  # lines of a nested list, and of the one around it behind
_BULLET = re.compile(r"([ \t\u00a0\u3000]*)[-–•*·+◦▪○●]\s+\S")


class Nested(NamedTuple):
    """A nested list: the place of its heading, and that of the first line behind it."""

    heading: int
    end: int


def nested_in(lines: Sequence[str]) -> list[Nested]:
    """The lists that are nested in another which goes on behind them.

    Lines
        ``• Tangzhong:``
        ``    • 20 g flour``
        ``    • 100 g water``
        ``• 300 g flour``
    """
    bulleted = [(at, _depth(line)) for at, line in enumerate(lines) if line.strip()]
    found: list[Nested] = []
    heading = -1  # in ``bulleted``, of the nested list that is open
    for n, (at, depth) in enumerate(bulleted):
        if depth is None:
            heading = -1
            continue
        if heading >= 0 and depth <= (bulleted[heading][1] or 0):
            if n - heading > LEAST_INSIDE and _goes_on(bulleted, n, depth):
                found.append(Nested(bulleted[heading][0], at))
            heading = -1
        if heading < 0 and n + 1 < len(bulleted) and (bulleted[n + 1][1] or 0) > depth:
            heading = n
    return found


def _goes_on(bulleted: Sequence[tuple[int, int | None]], at: int, depth: int) -> bool:
    """Whether enough lines as deep as one follow it at once, the last of them no heading of deeper ones."""
    behind = [each for _, each in bulleted[at : at + LEAST_BEHIND + 1]]
    is_headed = len(behind) > LEAST_BEHIND and (behind.pop() or 0) > depth
    return behind[:LEAST_BEHIND] == [depth] * LEAST_BEHIND and not is_headed


def _depth(line: str) -> int | None:
    """How deep the bullet of a line is; None where it has none."""
    found = _BULLET.match(line)
    return len(found.group(1).replace("\t", " " * TAB)) if found else None
