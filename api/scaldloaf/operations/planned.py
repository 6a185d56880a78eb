"""What a loaf-plan is asked for, and what its single calls find."""

from typing import NamedTuple

from scaldloaf.dough.costs import Prices
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.sugar import sugars_of_bread_percent
from scaldloaf.dough.sugar_stages import Stage
from scaldloaf.dough.timetable import Timed
from scaldloaf.operations import (
    dough_temperature,
    hydration_correction,
    pan_fill,
    scald_preparation,
    scaling,
    sugar_budget,
)
from scaldloaf.operations.dough_rules import BalanceTemperatures
from scaldloaf.operations.wire.scald import Treatment
from scaldloaf.operations.wire.scaling import AskedScale
from scaldloaf.operations.wire.timetable import AskedTimetable


class Feeding(NamedTuple):
    """The stages from mixing to the oven, the yeast and the flour."""

    stages: tuple[Stage, ...]
    yeast_tolerance: str
    damaged_starch_percent: float


class Tempering(NamedTuple):
    """What the water temperature is worked out from, besides the formula."""

    at: BalanceTemperatures
    ice: dough_temperature.Ice


class Asked(NamedTuple):
    """The first two steps as their calls have them, and what the later ones need besides.

    filling: without the formula and the share, which the correction finds. bread_given: whether what is known
    of the bread was given, and is not the calibration or the prior. bake_percent None: not given.
    """

    correction: hydration_correction.Asked
    filling: pan_fill.Asked
    bread_given: bool
    handling_percent: float
    bake_percent: float | None
    scale: AskedScale
    feeding: Feeding | None
    tempering: Tempering | None
    treatment: Treatment | None = None
    timetable: AskedTimetable | None = None
    prices: Prices | None = None


class Found(NamedTuple):
    """What each single call found; None where it was not asked for."""

    asked: Asked
    corrected: hydration_correction.Found
    filled: pan_fill.Found
    scaled: scaling.Found
    fed: sugar_budget.Found | None
    tempered: dough_temperature.Found | None
    prepared: scald_preparation.Found | None = None
    timed: tuple[Timed, ...] = ()

    @property
    def share_percent(self) -> float:
        """The scalded share planned."""
        return self.corrected.correction.after.scalded_share_percent

    def sugars_moved(self) -> tuple[float, float] | None:
        """Sugars of the bread without lactose, percent, of the formula as it came and of the planned one.

        None where the share stays, and where the formula as it came can't be fed. Only a note has them, so
        they are not worked out before it is written.
        """
        found, fed = self.corrected.correction, self.fed
        if fed is None or found.before.scalded_share_percent == found.after.scalded_share_percent:
            return None
        try:
            before = sugars_of_bread_percent(
                self.asked.correction.formula,
                fed.asked.stages,
                fed.asked.yeast_tolerance,
                fed.asked.damaged_starch_percent,
                fed.asked.bake_loss_percent,
            )
        except Refusal:
            return None
        left = fed.budget.residual
        after = left["total"].percent_of_bread.best - left["lactose"].percent_of_bread.best
        return before, after
