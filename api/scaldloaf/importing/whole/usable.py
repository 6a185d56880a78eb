"""Whether a formula that was read is plausible for pan bread: a wrong reading mostly makes no bread."""

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from scaldloaf.dough.formula import SCALD, Breakdown, Formula
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.words.doubt import NOT_READ, SURE, UNSURE
from scaldloaf.importing.words.vocabulary import ADDITIONS, OUTSIDE
from scaldloaf.reference import coefficient

USABLE, DOUBTFUL, NOT_USABLE = VERDICTS = ("usable", "doubtful", "not_usable")
REASONS = (
    "no_formula",
    "hydration_low",
    "hydration_high",
    "scald_dry",
    "scald_wet",
    "scald_share_high",
    "no_yeast",
    "sourdough_starter",
    "salt_high",
    "yeast_high",
    "dough_small",
    "dough_large",
    "scald_not_listed",
    "section_in_doubt",
    "lines_missing",
    "lines_unsure",
)
_LOW, _HIGH = coefficient("import_hydration_percent"), coefficient("import_hydration_far_percent")
_FAT = coefficient("import_fat_for_water_percent")
_RATIO = coefficient("import_scald_ratio")
_SHARE = coefficient("import_scald_share_percent")
_SALT, _YEAST = coefficient("import_salt_percent"), coefficient("import_yeast_percent")
_DOUGH = coefficient("import_dough_g")
_FLAVOURS = ADDITIONS | {"vanilla_extract", "cardamom", "aniseed"}
_LEAST_FLAVOUR = 0.03  # of the flour: lighter flavours leave a dough what it is


class Concern(NamedTuple):
    """Why a formula is not usable as it is: a code, the verdict it alone would give, and its numbers."""

    code: str
    verdict: str
    values: Mapping[str, tuple[float, str | None]] = MappingProxyType({})


def reasons(
    formula: Formula | None, breakdown: Breakdown | None, readings: Sequence[Reading]
) -> list[Concern]:
    """The reasons for doubt about a formula that was read, the weightiest first.

    Parameters
        formula : Formula  None where there is none
        breakdown : Breakdown  of the formula
        readings : Sequence[Reading]  of all lines
    Returns
        list[Concern]  empty for a usable formula
    """
    if formula is None or breakdown is None:
        return [Concern("no_formula", NOT_USABLE)]
    found = [
        *_of_the_dough(formula, breakdown),
        *_of_the_scald(breakdown, readings),
        *_of_the_lines(breakdown, readings),
    ]
    return sorted(found, key=lambda reason: reason.verdict == DOUBTFUL)


def verdict_of(found: Sequence[Concern]) -> str:
    """The worst verdict of some reasons."""
    verdicts = {reason.verdict for reason in found}
    return NOT_USABLE if NOT_USABLE in verdicts else DOUBTFUL if verdicts else USABLE


def _of_the_dough(formula: Formula, breakdown: Breakdown) -> Iterator[Concern]:
    hydration = breakdown.hydration_percent
    at: dict[str, tuple[float, str | None]] = {"hydration": (hydration, None)}
    if hydration + min(breakdown.fat_percent, _FAT.value) < _LOW.low:
        yield Concern("hydration_low", NOT_USABLE if hydration < _HIGH.low else DOUBTFUL, at)
    elif hydration > _LOW.high:
        yield Concern("hydration_high", NOT_USABLE if hydration > _HIGH.high else DOUBTFUL, at)
    if not any(line.ingredient.yeast for line in formula.lines):
        yield Concern("no_yeast", DOUBTFUL)
    if breakdown.salt_percent > _SALT.high:
        yield Concern("salt_high", DOUBTFUL, {"salt": (breakdown.salt_percent, None)})
    if breakdown.instant_yeast_percent > _YEAST.high:
        yield Concern("yeast_high", DOUBTFUL, {"yeast": (breakdown.instant_yeast_percent, None)})
    dough_g = sum(line.mass_g for line in formula.lines)
    if dough_g < _DOUGH.low:
        yield Concern("dough_small", DOUBTFUL, {"dough": (dough_g, "mass")})
    elif dough_g > _DOUGH.high:
        yield Concern("dough_large", DOUBTFUL, {"dough": (dough_g, "mass")})


def _of_the_scald(breakdown: Breakdown, readings: Sequence[Reading]) -> Iterator[Concern]:
    share, ratio = breakdown.scalded_share_percent, breakdown.scald_liquid_ratio
    if share and share > _SHARE.high:
        yield Concern("scald_share_high", NOT_USABLE, {"share": (share, None)})
    if ratio is not None and ratio < _RATIO.low:
        yield Concern("scald_dry", DOUBTFUL, {"ratio": (ratio, None)})
    elif ratio is not None and ratio > _RATIO.high:
        yield Concern("scald_wet", DOUBTFUL, {"ratio": (ratio, None)})
    if any(
        reading.part == SCALD and reading.kind == INGREDIENT and reading.ingredient is None
        for reading in readings
    ):
        yield Concern("scald_not_listed", DOUBTFUL)


def _of_the_lines(breakdown: Breakdown, readings: Sequence[Reading]) -> Iterator[Concern]:
    ingredients = [reading for reading in readings if reading.kind == INGREDIENT and reading.part != OUTSIDE]
    least_g = _LEAST_FLAVOUR * breakdown.flour_g
    weighty = [
        reading
        for reading in ingredients
        if reading.in_formula and not (_is_flavour(reading) and reading.grams < least_g)
    ]
    in_doubt = sum(reading.section_sure != SURE for reading in weighty)
    if in_doubt:
        yield Concern("section_in_doubt", DOUBTFUL, {"lines": (in_doubt, None)})
    missing = sum(reading.sure == NOT_READ and _may_weigh(reading) for reading in ingredients)
    if missing:
        yield Concern("lines_missing", DOUBTFUL, {"lines": (missing, None)})
    if any(reading.starter and reading.in_formula for reading in ingredients):
        yield Concern("sourdough_starter", DOUBTFUL)
    unsure = sum(reading.sure == UNSURE for reading in weighty)
    if unsure:
        yield Concern("lines_unsure", DOUBTFUL, {"lines": (unsure, None)})


def _is_flavour(reading: Reading) -> bool:
    return reading.ingredient is not None and reading.ingredient.name in _FLAVOURS


def _may_weigh(reading: Reading) -> bool:
    """Whether a line that was not read may change the dough: no flavour, nor what has no number."""
    if reading.ingredient:
        return not _is_flavour(reading)
    return any(map(str.isnumeric, reading.text))
