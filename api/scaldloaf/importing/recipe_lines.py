"""All lines of a recipe: the marks they share, the parts they open, and percentages of their flour."""

from collections.abc import Sequence

from scaldloaf.dough.estimate import Estimate
from scaldloaf.importing.amounts import Quantity, marks_of
from scaldloaf.importing.doubt import LIKELY, NOT_READ, Doubt
from scaldloaf.importing.lines import read_line
from scaldloaf.importing.masses import Choices
from scaldloaf.importing.names import Names
from scaldloaf.importing.readings import Reader, Reading
from scaldloaf.importing.text import clean
from scaldloaf.importing.vocabulary import OUTSIDE

MOST_LINES = 200
ASSUMED_FLOUR_G = 100.0
MOST_PERCENT = 1000  # of flour, of one line


def read_lines(
    lines: Sequence[str], choices: Choices, chosen: dict[str, str], decimal: str = "auto"
) -> list[Reading]:
    """The readings of a recipe's lines, without blank ones.

    Parameters
        lines : Sequence[str]  at most MOST_LINES
        choices : Choices  how measures are weighed
        chosen : dict  bare name -> ingredient that it means
        decimal : str  ``auto``, ``comma`` or ``point``
    Returns
        list[Reading]
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
    """Baker's percentages to masses: of the flour that has a mass, or else of 100 g."""
    if not any(reading.percent for reading in readings):
        return readings
    usable = [reading for reading in readings if reading.sure != NOT_READ and reading.part != OUTSIDE]
    weighed = [reading.mass for reading in usable if reading.mass]
    flours = [reading for reading in usable if reading.ingredient and reading.ingredient.is_flour]
    flour = sum([reading.mass.best for reading in flours if reading.mass])
    has_flour_percent = any(reading.percent for reading in flours)
    if has_flour_percent and weighed:
        return _refused(readings, "only a percentage, in a recipe that gives other lines by mass")
    if not has_flour_percent and not flour:
        return _refused(readings, "a percentage of a flour that was not read")
    of, why = (ASSUMED_FLOUR_G, "an assumed") if has_flour_percent else (flour, "the recipe's")
    why = f"a percentage of {why} {of:.6g} g of flour"
    return [
        _resolved(reading, reading.percent, of, why) if reading.percent else reading for reading in readings
    ]


def _refused(readings: list[Reading], why: str) -> list[Reading]:
    return [
        reading._replace(doubts=(*reading.doubts, Doubt(NOT_READ, why))) if reading.percent else reading
        for reading in readings
    ]


def _resolved(reading: Reading, percent: Quantity, flour_g: float, why: str) -> Reading:
    """A reading of a baker's percentage, with its mass.

    Parameters
        reading : Reading
        percent : Quantity  [% of flour]
        flour_g : float  [g]
        why : str  of the doubt
    Returns
        Reading
    """
    if percent.high > MOST_PERCENT:
        return _refused([reading], "too much to be a baker's percentage")[0]
    low, best, high = (flour_g * share / 100 for share in (percent.low, percent.best, percent.high))
    mass = Estimate(low, best, high, "assumption" if percent.is_range else "exact")
    return reading._replace(
        mass=mass,
        doubts=(*reading.doubts, Doubt(LIKELY, why)),
        expression=f"{percent.best:.6g} % × {flour_g:.6g} g of flour",
    )
