"""Where a list that is nested in another ends: its lines are deeper than their heading."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.text import clean
from scaldloaf.importing.words.vocabulary import OUTSIDE, SPONGE

TAB = 4  # blanks
LEAST_INSIDE, LEAST_BEHIND = 2, 2  # lines of a nested list, and of the one around it behind
_BESIDE_DOUGH = (SCALD, SPONGE, OUTSIDE)  # parts that a list without bullets may nest in that of the dough
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
    bare = [(at, _depth_of_bare(line)) for at, line in enumerate(lines) if line.strip()]
    headed = [each for each in _nested(bare) if title_in(clean(lines[each.heading])).part in _BESIDE_DOUGH]
    return _nested([(at, _depth(line)) for at, line in enumerate(lines) if line.strip()]) + headed


def _nested(bulleted: Sequence[tuple[int, int | None]]) -> list[Nested]:
    """The nested lists among lines, each with its place and how deep it is; None ends all that is open."""
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
    return _width(found.group(1)) if found else None


def _depth_of_bare(line: str) -> int | None:
    """How deep a line without a bullet is; None where it has one."""
    return None if _BULLET.match(line) else _width(line[: len(line) - len(line.lstrip())])


def _width(blanks: str) -> int:
    return len(blanks.replace("\t", " " * TAB))
