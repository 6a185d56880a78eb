"""What a dough's water can be judged by, and how it is judged.

A formula is not right because it was sent. Its water is judged by a move from a base that is assumed to be
right, by a table, by own trials or by the flour's absorption; or not at all. Hydrations are in percent of
total flour.
"""

from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.flour import (
    OTHER_FLOUR_NOTE_SHARE,
    FlourChange,
    as_is_absorption_percent,
    gluten_percent_of,
    gluten_takes,
)
from scaldloaf.dough.formula import SCALD, Breakdown, Formula
from scaldloaf.dough.limits import ROUNDING
from scaldloaf.dough.water_rule import Spot, WaterRule, water_slope_at
from scaldloaf.reference import coefficient

UNDER_WATERED_POINTS = coefficient("under_watered_points").value
STICKY_POINTS = coefficient("sticky_points").value
LEAST_MOVE_POINTS = coefficient("least_move_points").value
PLAUSIBLE_HYDRATION_PERCENT = coefficient("plausible_hydration_percent")
ABSORPTION_DOUBT_POINTS = coefficient("absorption_doubt_points").value

UNDER_WATERED, BALANCED, STICKY, NOT_JUDGED = "under_watered", "balanced", "sticky", "not_judged"
BY_MOVE, BY_ABSORPTION, BY_NOTHING = "move", "absorption", "nothing"
HARDLY, A_LITTLE, DENSER, DENSE = "hardly", "a_little_denser", "denser_and_firmer", "dense"
VOLUME_LOSS_WORDS = ((2.0, HARDLY), (5.0, A_LITTLE), (10.0, DENSER))  # percent of the volume


def spot_of(formula: Formula, breakdown: Breakdown) -> Spot:
    """Where a formula is, by its breakdown."""
    ratio, hydration = breakdown.scald_liquid_ratio, breakdown.hydration_percent
    kept = None if ratio is None else _kept_by_scald(formula)
    gluten = gluten_percent_of(formula, breakdown.flour_g)
    return Spot(breakdown.scalded_share_percent, ratio, hydration, kept, gluten)


def _kept_by_scald(formula: Formula) -> float:
    """Water that a formula's scald keeps over its flour."""
    scald = [line for line in formula.lines if line.part == SCALD]
    flour_g = sum(line.mass_g for line in scald if line.ingredient.is_flour)
    water = sum(
        line.mass_g * line.ingredient.water_percent / 100 for line in scald if not line.ingredient.is_flour
    )
    return max((water - formula.scald_evaporation_g) / flour_g, 0.0)


def assess(hydration_percent: float, optimum_percent: float) -> str:
    """``under_watered``, ``balanced`` or ``sticky``, by the hydration's distance from the optimum.

    More than 2 points below, between, or more than 3 above. Source: assumption, set by common practice
    (coefficients under_watered_points, sticky_points).
    """
    points = hydration_percent - optimum_percent
    if points < -UNDER_WATERED_POINTS - ROUNDING:
        return UNDER_WATERED
    return STICKY if points > STICKY_POINTS + ROUNDING else BALANCED


def words_for_loss(loss_percent: float) -> str:
    """How a loss of volume shows: hardly, a little denser, denser and firmer, or dense. Assumption."""
    for limit, words in VOLUME_LOSS_WORDS:
        if loss_percent < limit:
            return words
    return DENSE


def plausible_hydration(spot: Spot) -> Estimate:
    """The water that pan bread of white bread flour has at a share, percent of flour.

    plausible_hydration_percent and the best value of what the scald binds and vital gluten takes. Evidence:
    assumption.
    """
    row = PLAUSIBLE_HYDRATION_PERCENT
    bound = water_slope_at(spot.kept_ratio).best * spot.share_percent + gluten_takes(spot.gluten_percent).best
    return Estimate(row.low + bound, row.value + bound, row.high + bound, row.evidence)


def hydration_by_absorption(spot: Spot, absorption_percent: float, moisture_percent: float) -> Estimate:
    """The hydration that suits a flour of known absorption, percent of flour.

    Its absorption as it is, and what the scald binds and vital gluten takes; absorption_doubt_points either
    way.

    Parameters
        spot : Spot
        absorption_percent : float  [% of flour at 14 % moisture]
        moisture_percent : float  [% of flour]
    Returns
        Estimate  [% of flour]
    Source
        dry-matter balance (exact) and water_slope_at (common practice); the doubt is an assumption
    """
    as_is = as_is_absorption_percent(absorption_percent, moisture_percent)
    best = as_is + water_slope_at(spot.kept_ratio, as_is / 100).best * spot.share_percent
    best += gluten_takes(spot.gluten_percent).best
    doubt = ABSORPTION_DOUBT_POINTS
    return Estimate(best - doubt, best, best + doubt, "assumption")


class Judged(NamedTuple):
    """What a hydration was judged by, and the hydration that suits by that."""

    by: str
    against: Estimate

    def assess(self, hydration_percent: float) -> tuple[str, bool]:
        """The assessment by the best value, and whether an end of the band would say another."""
        found = assess(hydration_percent, self.against.best)
        ends = {assess(hydration_percent, end) for end in (self.against.low, self.against.high)}
        return found, ends != {found}


def judge(
    rule: WaterRule, flour: FlourChange | None, there: Spot, optimum: Estimate, moved: bool
) -> Judged | None:
    """What the water can be judged by: a move, a table, own trials or the flour's absorption; or nothing.

    Parameters
        rule : WaterRule
        flour : FlourChange or None
        there : Spot  where the formula is now
        optimum : Estimate  [% of flour]
        moved : bool  whether share, ratio or flour are others than before, so that the water moves
    Returns
        Judged or None
    """
    if moved:
        return Judged(BY_MOVE, optimum)
    if (own := rule.right_water(there)) is not None:
        return Judged(*own)
    if flour is not None and flour.absorption_percent is not None:
        suits = hydration_by_absorption(there, flour.absorption_percent, flour.moisture_percent)
        return Judged(BY_ABSORPTION, suits)
    return None


def moves_the_water(optimum: Estimate, before_percent: float, right_known: bool) -> bool:
    """Whether a move shifts the water by least_move_points or more; by less, its water is that of the base.

    Parameters
        optimum : Estimate  [% of flour]
        before_percent : float  [% of flour] of the base
        right_known : bool  whether a table or trials say which water is right; else an end of the band does
    Returns
        bool
    """
    ends = (optimum.best,) if right_known else (optimum.low, optimum.best, optimum.high)
    return max(abs(end - before_percent) for end in ends) > LEAST_MOVE_POINTS - ROUNDING


def disputed(
    assessment: str,
    hydration_percent: float,
    there: Spot,
    known: Judged | None,
    other_flour: float,
) -> bool:
    """Whether what is known of the water, or else what is plausible, contradicts an assessment by a move.

    A move takes its base to be right, and carries what is wrong with it along.

    Parameters
        assessment : str  by the move
        hydration_percent : float  [% of flour]
        there : Spot
        known : Judged or None  by a table, own trials or the flour's absorption
        other_flour : float  [fraction of the flour] that is not white wheat
    Returns
        bool
    """
    if known is not None:
        ends = (known.against.low, known.against.best, known.against.high)
        return assessment not in {assess(hydration_percent, end) for end in ends}
    if other_flour > OTHER_FLOUR_NOTE_SHARE:
        return False
    window = plausible_hydration(there)
    if hydration_percent < window.low - ROUNDING:
        return assessment != UNDER_WATERED
    return hydration_percent > window.high + ROUNDING and assessment != STICKY


def never_without_doubt(optimum: Estimate, there: Spot, flour: FlourChange | None, moved: bool) -> Estimate:
    """The optimum; where nothing but the base speaks for it, with the band of what is plausible.

    Parameters
        optimum : Estimate  [% of flour]
        there : Spot
        flour : FlourChange or None
        moved : bool  whether the move says which water suits
    Returns
        Estimate  [% of flour]
    """
    if moved and optimum.high - optimum.low > ROUNDING:
        return optimum
    if flour is not None and flour.absorption_percent is not None:
        doubt = ABSORPTION_DOUBT_POINTS
        return Estimate(optimum.best - doubt, optimum.best, optimum.best + doubt, "assumption")
    window = plausible_hydration(there)
    if flour is not None:
        window = window.map(flour.hydration_for)
    return Estimate(
        min(optimum.best, window.low), optimum.best, max(optimum.best, window.high), window.evidence
    )
