"""Moving a formula to another scalded share or flour with the water that suits it.

Hydration is in percent of total flour, as in the breakdown (without the flour's own moisture). Shares are
in percent of flour, liquid ratios in g of liquid per g of scald flour.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.flour import FlourChange
from scaldloaf.dough.formula import SCALD, Breakdown, Formula, break_down
from scaldloaf.dough.limits import BAKE_LOSS_LIDDED_PERCENT, ROUNDING, SHARE_UPPER_BOUND_PERCENT
from scaldloaf.dough.notes import Note
from scaldloaf.dough.per_flour import Change
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scald import ShareMove, move_share
from scaldloaf.dough.scald_limits import largest_workable_share_percent
from scaldloaf.dough.water_rule import PRIOR_SLOPE, SCALD_WATER_SLOPE_RATIO, Shift, Spot, WaterRule
from scaldloaf.reference import Ingredient, coefficient

SHARE_STALING_NOTE_PERCENT = coefficient("share_staling_note_percent").value
SHARE_STALING_NOTE_HYDRATION_PERCENT = coefficient("share_staling_note_hydration_percent").value
UNDER_WATERED_POINTS = coefficient("under_watered_points").value
STICKY_POINTS = coefficient("sticky_points").value
CRUMB_MOISTURE_PER_HYDRATION_POINT = coefficient("crumb_moisture_per_hydration_point")

UNDER_WATERED, BALANCED, STICKY = "under_watered", "balanced", "sticky"


# ---- The optimum ---------------------------------------------------------------------------------


def share_refusal(before: Spot, after: Spot, rule: WaterRule = PRIOR_SLOPE) -> Refusal | None:
    """The refusal of a share that no pan loaf bears, or that the rule does not know; None: both are fine."""
    if after.share_percent <= SHARE_UPPER_BOUND_PERCENT + ROUNDING:
        return rule.outside(before, after)
    return Refusal(
        "change.share_percent",
        "share_above_bound",
        "above a share of {bound} % too little raw gluten is left to hold a pan loaf",
        given=after.share_percent,
        nearest=SHARE_UPPER_BOUND_PERCENT,
        amounts={"bound": (SHARE_UPPER_BOUND_PERCENT, None)},
    )


def water_shift(before: Spot, after: Spot, rule: WaterRule = PRIOR_SLOPE) -> Shift:
    """T(after) - T(before) by a rule. Raises Refusal as ``share_refusal`` says."""
    refusal = share_refusal(before, after, rule)
    if refusal is not None:
        raise refusal
    return rule.shift(before, after)


def optimum_hydration(
    before: Spot, after: Spot, rule: WaterRule = PRIOR_SLOPE, flour: FlourChange | None = None
) -> Estimate:
    """The hydration that suits a share and a liquid ratio, from a formula whose water is right.

    h1 = h0 + T(after) - T(before) by the rule; then, for another flour, the difference of the absorptions
    and the moisture (see FlourChange). Valid to ``share_limit_at`` the ratio; with a note up to
    share_upper_bound_percent.

    Parameters
        before : Spot  with its hydration, assumed to be the optimum there
        after : Spot
        rule : WaterRule
        flour : FlourChange or None
    Returns
        Estimate  [% of flour]
    Raises
        Refusal: a share beyond share_upper_bound_percent, or one that the rule does not know.
    Source
        direction published (NARO Hokkaido 2010), size common practice or assumption
    """
    return _optimum(before, water_shift(before, after, rule), flour)


def _optimum(before: Spot, shift: Shift, flour: FlourChange | None) -> Estimate:
    base, points = before.hydration_percent or 0.0, shift.points
    optimum = Estimate(base + points.low, base + points.best, base + points.high, points.evidence)
    return optimum.map(flour.hydration_for) if flour is not None else optimum


def assess(hydration_percent: float, optimum_percent: float) -> str:
    """``under_watered``, ``balanced`` or ``sticky``, by the hydration's distance from the optimum.

    More than 2 points below, between, or more than 3 above. Source: assumption, set by common practice
    (coefficients under_watered_points, sticky_points).
    """
    points = hydration_percent - optimum_percent
    if points < -UNDER_WATERED_POINTS - ROUNDING:
        return UNDER_WATERED
    return STICKY if points > STICKY_POINTS + ROUNDING else BALANCED


# ---- Moisture of the crumb -----------------------------------------------------------------------


def dough_water_g(formula: Formula, flour_moisture_percent: float | None = None) -> float:
    """All water in a dough, g: every line's, the flour's included, less evaporation.

    flour_moisture_percent replaces the catalogue's figure for every flour. Source: mass balance from the
    ingredients' composition (exact, given the composition).
    """
    return (
        sum(
            line.mass_g
            / 100
            * (
                flour_moisture_percent
                if line.ingredient.is_flour and flour_moisture_percent is not None
                else line.ingredient.water_percent
            )
            for line in formula.lines
        )
        - formula.scald_evaporation_g
    )


def _moisture_percent(water_g: float, dough_mass_g: float, bake_loss_percent: float) -> float:
    """Moisture of the loaf, percent; below 0 where the oven would take more water than there is."""
    loss = bake_loss_percent / 100
    return 100 * (water_g - loss * dough_mass_g) / (dough_mass_g * (1 - loss))


def crumb_moisture_percent(water_g: float, dough_mass_g: float, bake_loss_percent: float) -> float:
    """Moisture of the whole loaf, percent, if all the oven takes is water.

    100 (water - L D) / (D (1 - L)), with the bake loss in percent of dough (0 to below 100) and the water
    counted with the flour's. Raises Refusal when the oven would take more water than there is. Source: mass
    balance (exact, given the loss).
    """
    moisture = _moisture_percent(water_g, dough_mass_g, bake_loss_percent)
    if moisture < -ROUNDING:
        most = 100 * water_g / dough_mass_g
        raise Refusal(
            "bake_loss_percent",
            "bake_loss_above_water",
            _LOSS_ABOVE_WATER,
            given=bake_loss_percent,
            nearest=most,
            amounts={"most": (most, None), "given": (bake_loss_percent, None)},
        )
    return max(moisture, 0.0)


_LOSS_ABOVE_WATER = "only {most} % of this dough is water, so it cannot lose {given} % of its mass"


def _loaf_moisture_percent(water_g: float, dough_mass_g: float, bake_loss_percent: float | None) -> float:
    """``crumb_moisture_percent``, with the usual loss where none is stated: then the formula is at fault."""
    if bake_loss_percent is not None:
        return crumb_moisture_percent(water_g, dough_mass_g, bake_loss_percent)
    usual = BAKE_LOSS_LIDDED_PERCENT.value
    if _moisture_percent(water_g, dough_mass_g, usual) < -ROUNDING:
        most = 100 * water_g / dough_mass_g
        amounts: dict[str, tuple[float, str | None]] = {"most": (most, None), "given": (usual, None)}
        raise Refusal("formula.lines", "bake_loss_above_water", _LOSS_ABOVE_WATER, amounts=amounts)
    return crumb_moisture_percent(water_g, dough_mass_g, usual)


def _loaf_moistures(
    water_g: tuple[float, float], breakdowns: tuple[Breakdown, Breakdown], bake_loss_percent: float | None
) -> tuple[float, float]:
    """Moisture of the loaf before and after, percent."""
    before, after = (
        _loaf_moisture_percent(water, breakdown.dough_mass_g, bake_loss_percent)
        for water, breakdown in zip(water_g, breakdowns, strict=True)
    )
    return before, after


def crumb_moisture_change(hydration_points: float, balance_points: float) -> Estimate:
    """Points of crumb moisture that a change of hydration brings.

    hydration_points: change of hydration at the base flour's moisture. balance_points: change of
    crumb_moisture_percent at the same bake loss, which is the far end. In practice about 1 point of crumb
    for 6 of hydration, since more water in means more water lost (best; common practice).
    """
    row = CRUMB_MOISTURE_PER_HYDRATION_POINT
    best = hydration_points * row.value
    ends = (hydration_points * row.low, best, balance_points)
    return Estimate(min(ends), best, max(ends), row.evidence)


# ---- The whole correction ------------------------------------------------------------------------


class Correction(NamedTuple):
    """A formula moved to another share (or flour) with its water.

    before, after: breakdowns. shift: T(after) - T(before). optimum: at the new share, percent of flour;
    hydration_percent: what was used, the optimum's best value or the one asked for;
    base_flour_hydration_percent: the same at the moisture of the flour before; absorption_points: what the
    new flour takes beyond the old one. water_g: all water of the dough, the flour's included, and
    loaf_moisture_percent: what the mass balance leaves of it in the loaf, each (before, after).
    """

    formula: Formula
    before: Breakdown
    after: Breakdown
    shift: Shift
    optimum: Estimate
    hydration_percent: float
    base_flour_hydration_percent: float
    absorption_points: float
    assessment: str
    crumb_moisture_change_points: Estimate
    water_g: tuple[float, float]
    loaf_moisture_percent: tuple[float, float]
    bake_loss_percent: float
    move: ShareMove
    notes: tuple[Note, ...]


_NO_CHANGE = Change()


def correct_hydration(
    formula: Formula,
    adjust_with: Ingredient,
    change: Change = _NO_CHANGE,
    water_rule: WaterRule = PRIOR_SLOPE,
    flour: FlourChange | None = None,
    bake_loss_percent: float | None = None,
) -> Correction:
    """Move a formula to a scalded share, and to the water that suits it, dough mass (or flour) held.

    Parameters
        formula : Formula
        adjust_with : Ingredient  mostly water, takes up the difference
        change : Change  [%] what the formula is to become; a first scald is 1:1, with a note
        water_rule : WaterRule  how the optimum water moves with the share
        flour : FlourChange or None  another flour
        bake_loss_percent : float or None  [% of dough]; None: the usual one of a lidded pan
    Returns
        Correction
    Raises
        Refusal: as optimum_hydration, move_share and crumb_moisture_percent; the last at ``formula.lines``
        when no loss is given.
    """
    before = break_down(formula)
    share = before.scalded_share_percent if change.share_percent is None else change.share_percent
    ratio, notes = _ratio(change, before, share)
    change = Change(share, ratio, change.hydration_percent, change.hold, change.scald_liquids)
    here = Spot(before.scalded_share_percent, before.scald_liquid_ratio, before.hydration_percent)
    there = Spot(share, ratio if share > 0 else None)

    def optimum_at(share_percent: float, ratio: float | None) -> float:
        return optimum_hydration(here, Spot(share_percent, ratio), water_rule, flour).best

    refusal = share_refusal(here, there, water_rule)
    if refusal is not None:
        largest = partial(largest_workable_share_percent, formula, adjust_with, change, optimum_at)
        raise _with_workable_share(refusal, share, largest)
    shift = water_rule.shift(here, there)
    optimum = _optimum(here, shift, flour)
    move = move_share(formula, adjust_with, change, optimum_at)
    after, used = break_down(move.formula), move.hydration_percent
    at_base_flour = used if flour is None else flour.base_hydration_for(used)
    water = _water_before_and_after(formula, move.formula, flour)
    loaf = _loaf_moistures(water, (before, after), bake_loss_percent)
    assessment = assess(used, optimum.best)
    return Correction(
        formula=move.formula,
        before=before,
        after=after,
        shift=shift,
        optimum=optimum,
        hydration_percent=used,
        base_flour_hydration_percent=at_base_flour,
        absorption_points=0.0 if flour is None else flour.absorption_points(),
        assessment=assessment,
        crumb_moisture_change_points=crumb_moisture_change(
            at_base_flour - before.hydration_percent, loaf[1] - loaf[0]
        ),
        water_g=water,
        loaf_moisture_percent=loaf,
        bake_loss_percent=BAKE_LOSS_LIDDED_PERCENT.value if bake_loss_percent is None else bake_loss_percent,
        move=move,
        notes=(
            *notes,
            Note("base_at_optimum"),
            *water_rule.notes(here, there),
            *move.notes,
            *_notes_on_water(share, used, assessment),
            *_notes_on_evaporation(formula, move.formula),
        ),
    )


def _with_workable_share(
    refusal: Refusal, share_percent: float, largest: Callable[[float], float | None]
) -> Refusal:
    """The refusal; where the share is too large, its nearest also fits this formula's liquid and flours.

    largest: a bound in percent -> the largest share up to it that works.
    """
    bound = refusal.nearest
    if (
        refusal.argument == "change.share_percent"
        and isinstance(bound, int | float)
        and share_percent > bound
    ):
        return replace(refusal, nearest=largest(bound))
    return refusal


def _ratio(change: Change, before: Breakdown, share_percent: float) -> tuple[float | None, list[Note]]:
    """The liquid ratio of the scald: the change's, else the formula's; a first scald is 1:1, with a note."""
    ratio = before.scald_liquid_ratio if change.liquid_ratio is None else change.liquid_ratio
    if ratio is not None or share_percent <= 0:
        return ratio, []
    ratio = SCALD_WATER_SLOPE_RATIO
    return ratio, [Note("ratio_assumed", {"ratio": ratio})]


def _water_before_and_after(
    formula: Formula, moved: Formula, flour: FlourChange | None
) -> tuple[float, float]:
    """All water of a formula and of the moved one, g, each with its flour's moisture."""
    if flour is None:
        return dough_water_g(formula), dough_water_g(moved)
    return dough_water_g(formula, flour.base_moisture_percent), dough_water_g(moved, flour.moisture_percent)


# ---- Notes ---------------------------------------------------------------------------------------


def _notes_on_water(share_percent: float, hydration_percent: float, assessment: str) -> list[Note]:
    """Notes on too little water, and on a large dry scald."""
    notes = []
    if assessment == UNDER_WATERED:
        notes.append(Note("under_watered"))
    dry = SHARE_STALING_NOTE_HYDRATION_PERCENT
    if share_percent > SHARE_STALING_NOTE_PERCENT and hydration_percent <= dry + ROUNDING:
        notes.append(Note("dry_scald", {"share": SHARE_STALING_NOTE_PERCENT, "hydration": dry}))
    return notes


def _notes_on_evaporation(formula: Formula, moved: Formula) -> list[Note]:
    """A note that the evaporation was scaled with the scald."""
    if formula.scald_evaporation_g <= 0 or not any(line.part == SCALD for line in moved.lines):
        return []
    return [Note("evaporation_scaled")]
