"""What the caller says of single lines: which part each of them is, whatever the recipe says."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.words.doubt import SCALD_NOT_LISTED
from scaldloaf.importing.words.vocabulary import OUTSIDE

_WOULD_DO, _ONLY_IN_METHOD = "would_do", "only_in_method"


class SaidLines(NamedTuple):
    """parts: number of a line -> its part. is_whole_scald: no other line is the scald's."""

    parts: Mapping[int, str] = MappingProxyType({})
    is_whole_scald: bool = False


NOTHING_SAID = SaidLines()


def with_said_scald(readings: list[Reading], said: SaidLines) -> list[Reading]:
    """The readings, the scald made of the lines that are said to be it, and of no others."""

    def placed(reading: Reading) -> Reading:
        if said.parts.get(reading.line) == SCALD:
            return reading._replace(part=SCALD, section_doubts=())
        if reading.part == SCALD:
            return reading._replace(part=DOUGH, section_doubts=())
        return reading

    return [placed(reading) if reading.kind == INGREDIENT else reading for reading in readings]


def as_said(readings: list[Reading], said: SaidLines) -> list[Reading]:
    """The readings, each line that the caller names in the part that he says; all others stay as they are.

    So it comes behind the rules that place lines by each other. What only the method names is on no line, a
    line that only names the scald has no ingredient to place, and a second yeast that would do instead of the
    first on its line goes nowhere.
    """
    if not said.parts:
        return readings
    raised: set[int] = set()  # lines that named a yeast or a starter
    found: list[Reading] = []
    for reading in readings:
        is_yeast = reading.ingredient is not None and reading.ingredient.yeast is not None
        is_instead = is_yeast and reading.line in raised and _would_do(reading)
        if is_yeast or reading.starter:
            raised.add(reading.line)
        if _is_said(reading, said) and not is_instead:
            reading = reading._replace(part=said.parts[reading.line], section_doubts=())
        found.append(reading)
    return found


def without_doubt_of_said(readings: list[Reading], said: SaidLines) -> list[Reading]:
    """The readings, without doubts about the part of a line that the caller names."""
    if not said.parts:
        return readings
    return [
        reading._replace(section_doubts=())
        if _is_said(reading, said) and reading.part == said.parts[reading.line]
        else reading
        for reading in readings
    ]


def _is_said(reading: Reading, said: SaidLines) -> bool:
    if reading.kind != INGREDIENT or reading.line not in said.parts:
        return False
    names_scald = any(doubt.code == SCALD_NOT_LISTED for doubt in reading.doubts)
    return not names_scald and all(doubt.code != _ONLY_IN_METHOD for doubt in reading.section_doubts)


def _would_do(reading: Reading) -> bool:
    """Whether it would do instead of what is before it on its line: ``6 g dry yeast / 18 g fresh``."""
    return reading.part == OUTSIDE and any(doubt.code == _WOULD_DO for doubt in reading.section_doubts)
