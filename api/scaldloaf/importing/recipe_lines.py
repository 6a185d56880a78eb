"""A whole recipe's lines: the marks they share, the parts they open, and percentages of their flour."""

from collections.abc import Sequence

from scaldloaf.dough.estimate import Estimate
from scaldloaf.importing.amounts import marks_of
from scaldloaf.importing.doubt import LIKELY, NOT_READ, Doubt
from scaldloaf.importing.lines import read_line
from scaldloaf.importing.masses import Choices
from scaldloaf.importing.names import Names
from scaldloaf.importing.readings import Reader, Reading
from scaldloaf.importing.sections import OUTSIDE
from scaldloaf.importing.text import clean

MOST_LINES = 200
RECKONED_FLOUR_G = 100.0
MOST_PERCENT = 1000  # of flour, of one line


def read_lines(
    lines: Sequence[str], choices: Choices, chosen: dict[str, str], decimal: str = "auto"
) -> list[Reading]:
    """The readings of a recipe's lines (at most MOST_LINES), blank ones left out.

    ``chosen`` settles bare names, ``decimal`` is ``auto``, ``comma`` or ``point``.
    """
    plain = [clean(line) for line in lines]
    reader = Reader(marks_of(plain, decimal), choices, Names(chosen))
    readings = [
        reading
        for number, line in enumerate(lines, 1)
        for reading in read_line(line, plain[number - 1], number, reader)
    ]
    return _with_percentages(readings)


def _with_percentages(readings: list[Reading]) -> list[Reading]:
    """Baker's percentages to masses: of the flour that is given by mass, or else of 100 g."""
    if not any(reading.percent for reading in readings):
        return readings
    usable = [reading for reading in readings if reading.sure != NOT_READ and reading.part != OUTSIDE]
    weighed = [reading for reading in usable if reading.mass]
    flour = sum(reading.mass.best for reading in weighed if reading.ingredient.is_flour)
    has_flour_percent = any(reading.percent and reading.ingredient.is_flour for reading in usable)
    if has_flour_percent and weighed:
        return _refused(readings, "only a percentage, in a recipe that gives other lines by mass")
    if not has_flour_percent and not flour:
        return _refused(readings, "a percentage of a flour that was not read")
    of, why = (RECKONED_FLOUR_G, "of a reckoned") if has_flour_percent else (flour, "of")
    why = f"a percentage, taken {why} {of:.6g} g of flour"
    return [_resolved(reading, of, why) if reading.percent else reading for reading in readings]


def _refused(readings: list[Reading], why: str) -> list[Reading]:
    return [
        reading._replace(doubts=(*reading.doubts, Doubt(NOT_READ, why))) if reading.percent else reading
        for reading in readings
    ]


def _resolved(reading: Reading, flour_g: float, why: str) -> Reading:
    percent = reading.percent
    if percent.high > MOST_PERCENT:
        return _refused([reading], "too much to be a baker's percentage")[0]
    low, best, high = (flour_g * share / 100 for share in (percent.low, percent.best, percent.high))
    mass = Estimate(low, best, high, "assumption" if percent.is_range else "exact")
    return reading._replace(
        mass=mass,
        doubts=(*reading.doubts, Doubt(LIKELY, why)),
        expression=f"{percent.best:.6g} % × {flour_g:.6g} g of flour",
    )
