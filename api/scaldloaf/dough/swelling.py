"""What the heat of a scald does: how much of the starch swells, and that yeast dies."""

from itertools import pairwise

from scaldloaf.dough.formula import DOUGH, SCALD, Formula, scald_yeast
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.temperature import WATER_HOT_REFUSE_DEGC
from scaldloaf.reference import coefficient

SWELLING_START_DEGC = coefficient("swelling_start_degc").value
SWELLING_FIRST_DEGC = coefficient("swelling_first_degc").value
SWELLING_SECOND_DEGC = coefficient("swelling_second_degc").value
SWELLING_END_DEGC = coefficient("swelling_end_degc").value
SWOLLEN_FIRST_PERCENT = coefficient("swollen_first_percent").value
SWOLLEN_SECOND_PERCENT = coefficient("swollen_second_percent").value

# (core temperature in °C, percent of the starch swollen); straight between them, flat outside
SWELLING_POINTS = (
    (SWELLING_START_DEGC, 0.0),
    (SWELLING_FIRST_DEGC, SWOLLEN_FIRST_PERCENT),
    (SWELLING_SECOND_DEGC, SWOLLEN_SECOND_PERCENT),
    (SWELLING_END_DEGC, 100.0),
)


def swollen_percent(core_c: float) -> float:
    """Share of the starch of wheat flour that swells at a core temperature, °C, in percent.

    Straight through 0 at 55, 62 at 70, 80 at 75 and 100 at 85 °C, read off a mill's amylogram: for much
    water; less in a stiff scald. Source: mill_amylogram.
    """
    if core_c <= SWELLING_START_DEGC:
        return 0.0
    for (left, low), (right, high) in pairwise(SWELLING_POINTS):
        if core_c <= right:
            return low + (high - low) * (core_c - left) / (right - left)
    return 100.0


def require_no_live_yeast(formula: Formula, hottest_c: float) -> None:
    """Refuse yeast in a scald that is made hotter than yeast survives.

    hottest_c: the liquid that is poured, or the core of what is cooked, °C. Raises Refusal at the part of
    the first line with yeast, above water_hot_refuse_degc.
    """
    if hottest_c <= WATER_HOT_REFUSE_DEGC:
        return
    for place in scald_yeast(formula):
        raise Refusal(
            f"formula.lines.{place}.part",
            "yeast_in_hot_scald",
            "{yeast} is in the scald, and {hottest} kills it; yeast goes into the dough",
            given=SCALD,
            nearest=DOUGH,
            amounts={
                "yeast": formula.lines[place].ingredient.label,
                "hottest": (hottest_c, "temperature"),
            },
        )
