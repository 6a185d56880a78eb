"""How much water a dough wants: optimum for a scalded share, flour moisture, what reaches the crumb.

Hydration is in percent of total flour, as in the breakdown (the flour's own moisture not in it).
Shares are in percent of flour, liquid ratios in g of liquid per g of scald flour.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.estimate import NORMAL_90, Estimate, weakest
from scaldloaf.dough.formula import SCALD, Breakdown, Formula, break_down
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scald import HOLD_DOUGH, ShareMove, largest_workable_share_percent, move_share
from scaldloaf.reference import Ingredient, coefficient

REFERENCE_MOISTURE_PERCENT = coefficient("flour_reference_moisture_percent").value
SCALD_SLOPE, ROUX_SLOPE = coefficient("scald_water_slope"), coefficient("roux_water_slope")
SCALD_RATIO = coefficient("scald_water_slope_ratio").value
ROUX_RATIO = coefficient("roux_water_slope_ratio").value
SCALD_SHARE_LIMIT = coefficient("scald_share_limit_percent").value
ROUX_SHARE_LIMIT = coefficient("roux_share_limit_percent").value
SHARE_UPPER_BOUND = coefficient("share_upper_bound_percent").value
STALING_NOTE_SHARE = coefficient("share_staling_note_percent").value
STALING_NOTE_HYDRATION = coefficient("share_staling_note_hydration_percent").value
UNDER_WATERED_POINTS = coefficient("under_watered_points").value
STICKY_POINTS = coefficient("sticky_points").value
CRUMB_PER_POINT = coefficient("crumb_moisture_per_hydration_point")
WATER_TABLE_POINTS = coefficient("water_table_points").value
GLUTEN_WATER_RATIO = coefficient("gluten_water_ratio")
BAKE_LOSS_PERCENT = coefficient("bake_loss_lidded_percent").value

UNDER_WATERED, BALANCED, STICKY = "under_watered", "balanced", "sticky"
ROUNDING = 1e-9                     # points: what is exactly at a limit is still inside

Curve = Sequence[tuple[float, float]]


# Flour moisture and absorption

def on_moisture_basis(percent: float, moisture_percent: float, to_moisture_percent: float) -> float:
    """A percentage of flour at one moisture, stated at another: x (100 - M2) / (100 - M1).

    All in percent, moistures below 100. Protein and ash go to 14 % this way. Source: dry-matter
    balance (exact).
    """
    return percent * (100 - to_moisture_percent) / (100 - moisture_percent)


def as_is_absorption_percent(absorption_percent: float, moisture_percent: float) -> float:
    """Water absorption of flour as it is, percent of its mass, from absorption at 14 % moisture.

    (A + 14)(100 - M) / 86 - M. Moisture in percent of flour, below 100. Source: dry-matter balance,
    absorption defined at 14 % (ICC 115/1).
    """
    return at_other_moisture(absorption_percent, REFERENCE_MOISTURE_PERCENT, moisture_percent)


def at_other_moisture(hydration_percent: float, moisture_percent: float, to_moisture_percent: float) -> float:
    """The hydration that gives the same dough with flour of another moisture.

    (h + M0)(100 - M1) / (100 - M0) - M1: all water, the flour's included, per dry flour stays the
    same. Percent of flour as it is; moistures below 100. Source: dry-matter balance (exact).
    """
    all_water = on_moisture_basis(hydration_percent + moisture_percent, moisture_percent, to_moisture_percent)
    return all_water - to_moisture_percent


def flour_and_water_g(flour_g: float, water_g: float, moisture_percent: float,
                      to_moisture_percent: float) -> tuple[float, float]:
    """Flour and water, g, that replace flour of one moisture and its water by flour of another.

    flour' = flour (100 - M) / (100 - M'), water' = water + flour - flour': the same dry flour and
    the same water in all. Moistures in percent, below 100. Source: dry-matter balance (exact).
    """
    flour = on_moisture_basis(flour_g, to_moisture_percent, moisture_percent)
    return flour, water_g + flour_g - flour


def gluten_water_percent(gluten_percent: float) -> Estimate:
    """Extra water for added vital gluten, percent of flour: 1.5 times its mass.

    Valid to about 5 % gluten on flour. Source: trade rule (coefficient gluten_water_ratio).
    """
    ratio = GLUTEN_WATER_RATIO
    return Estimate(gluten_percent * ratio.low, gluten_percent * ratio.value, gluten_percent * ratio.high,
                    ratio.evidence)


@dataclass(frozen=True, slots=True)
class FlourChange:
    """The new flour against the one the formula was made for.

    Moistures in percent of flour as it is; absorptions in percent at 14 % moisture (None: the same).
    """

    moisture_percent: float = REFERENCE_MOISTURE_PERCENT
    base_moisture_percent: float = REFERENCE_MOISTURE_PERCENT
    absorption_percent: float | None = None
    base_absorption_percent: float | None = None

    def absorption_points(self) -> float:
        """Absorption of the new flour less the old one's, as is, at the old one's moisture."""
        if self.absorption_percent is None or self.base_absorption_percent is None:
            return 0.0
        return (as_is_absorption_percent(self.absorption_percent, self.base_moisture_percent)
                - as_is_absorption_percent(self.base_absorption_percent, self.base_moisture_percent))

    def hydration_for(self, base_hydration_percent: float) -> float:
        """The hydration for the new flour that answers to one of the old flour: the absorptions'
        difference added, then the dry-matter balance."""
        return at_other_moisture(base_hydration_percent + self.absorption_points(),
                                 self.base_moisture_percent,
                                 self.moisture_percent)


# Optimum

def _between(value: float, at_scald: float, at_roux: float) -> float:
    """Linear in the liquid ratio between the boiling-water scald and the roux, flat outside."""
    place = (min(max(value, SCALD_RATIO), ROUX_RATIO) - SCALD_RATIO) / (ROUX_RATIO - SCALD_RATIO)
    return (1 - place) * at_scald + place * at_roux


def water_slope_at(liquid_ratio: float) -> Estimate:
    """Points of hydration a dough takes for each point of scalded share, by the scald's liquid ratio.

    The boiling-water scald's slope at 1:1, the cooked roux's at 1:5, linear in between, flat outside
    (the caller notes it). Source: common practice for the scald, assumption towards the roux.
    """
    evidence = (SCALD_SLOPE.evidence if liquid_ratio <= SCALD_RATIO
                else weakest(SCALD_SLOPE.evidence, ROUX_SLOPE.evidence))
    return Estimate(_between(liquid_ratio, SCALD_SLOPE.low, ROUX_SLOPE.low),
                    _between(liquid_ratio, SCALD_SLOPE.value, ROUX_SLOPE.value),
                    _between(liquid_ratio, SCALD_SLOPE.high, ROUX_SLOPE.high), evidence)


def water_slope_of(calibration: Calibration) -> Estimate:
    """The slope that a baker's trials have taught, points per point of share, with its 90 % interval."""
    half = NORMAL_90 * sqrt(calibration.covariance[2][2])
    slope = calibration.water_slope
    return Estimate(slope - half, slope, slope + half, SCALD_SLOPE.evidence)


def share_limit_at(liquid_ratio: float) -> float:
    """Scalded share, percent, up to which the slope is meant: 40 at 1:1, 10 at 1:5, linear between."""
    return _between(liquid_ratio, SCALD_SHARE_LIMIT, ROUX_SHARE_LIMIT)


def check_curve(curve: Curve) -> list[tuple[float, float]]:
    """A table of (share, hydration) in percent, sorted; Refusal unless it has two different shares."""
    points = sorted((share, hydration) for share, hydration in curve)
    if len(points) < 2:
        raise Refusal("water_curve", "curve_too_short",
                      "a table of water needs two shares or more to read between")
    for (share, _), (following, _) in zip(points, points[1:]):
        if share == following:
            raise Refusal("water_curve", "share_twice", "the table gives the share {share} % twice; keep one",
                          given=share, amounts={"share": (share, None)})
    return points


def curve_hydration_percent(points: Curve, share_percent: float, argument: str) -> float:
    """Hydration read from a sorted table, linear between its points. Refusal outside its ends."""
    first, last = points[0][0], points[-1][0]
    if not first - ROUNDING <= share_percent <= last + ROUNDING:
        end = first if share_percent < first else last
        asked = argument == "scalded_share_percent"
        raise Refusal(
            argument, "share_outside_curve",
            "the table of water runs from {first} to {last} % share and says nothing about {share} %; "
            + ("stay inside, or add a point to it" if asked
               else "it must also cover the formula's own share"),
            given=share_percent if asked else None,
            nearest=end if asked and end <= SHARE_UPPER_BOUND else None,
            amounts={"first": (first, None), "last": (last, None), "share": (share_percent, None)})
    share_percent = min(max(share_percent, first), last)
    for (share, hydration), (following, next_hydration) in zip(points, points[1:]):
        if share_percent <= following:
            place = (share_percent - share) / (following - share)
            break
    return hydration + place * (next_hydration - hydration)


def check_share(share_percent: float) -> None:
    """Refusal above the largest share a pan loaf is thought to bear."""
    if share_percent > SHARE_UPPER_BOUND + ROUNDING:
        raise Refusal("scalded_share_percent", "share_above_bound",
                      "above a share of {bound} % too little raw gluten is left to hold a pan loaf",
                      given=share_percent, nearest=SHARE_UPPER_BOUND,
                      amounts={"bound": (SHARE_UPPER_BOUND, None)})


def water_shift(share_before: float, ratio_before: float | None, share_after: float,
                ratio_after: float | None,
                curve: Curve | None = None, water_slope: Estimate | None = None) -> Estimate:
    """Points of hydration that go with a change of share: T(after) - T(before).

    T is read from the table when there is one, else it is the slope times the share; the slope is
    the one given (own trials), else the prior at each scald's ratio. The band takes the same end
    of the slope on both sides; a table is good to within water_table_points. Ratios may be None
    where the share is 0. Raises Refusal outside the table.
    """
    if curve is not None:
        points = check_curve(curve)
        before = curve_hydration_percent(points, share_before, "water_curve")
        shift = curve_hydration_percent(points, share_after, "scalded_share_percent") - before
        band = WATER_TABLE_POINTS if share_after != share_before else 0.0
        return Estimate(shift - band, shift, shift + band, "assumption")
    before = water_slope or water_slope_at(SCALD_RATIO if ratio_before is None else ratio_before)
    after = water_slope or water_slope_at(SCALD_RATIO if ratio_after is None else ratio_after)
    ends = sorted(getattr(after, end) * share_after - getattr(before, end) * share_before
                  for end in ("low", "best", "high"))
    best = after.best * share_after - before.best * share_before
    used = [slope.evidence for slope, share in ((before, share_before), (after, share_after)) if share > 0]
    return Estimate(ends[0], best, ends[-1], weakest(*(used or ["exact"])))


def optimum_hydration(h0: float, x0: float, r0: float | None, x1: float, r1: float | None,
                      curve: Curve | None = None, flour: FlourChange | None = None,
                      water_slope: Estimate | None = None) -> Estimate:
    """The hydration, percent of flour, that suits a share x1 at ratio r1, from a formula right at x0, r0.

    h1 = h0 + T(x1) - T(x0) (see water_shift), then for another flour its absorption's difference
    and moisture (see FlourChange). Shares in percent. The formula is taken to be at its own
    optimum. Valid to share_limit_at(r1); up to share_upper_bound_percent with a note, beyond it a
    Refusal. Source: direction published (NARO Hokkaido 2010), size common practice or assumption.
    """
    check_share(x1)
    shift = water_shift(x0, r0, x1, r1, curve, water_slope)
    optimum = Estimate(h0 + shift.low, h0 + shift.best, h0 + shift.high, shift.evidence)
    return optimum.map(flour.hydration_for) if flour is not None else optimum


def optimum_notes(x0: float, r0: float | None, x1: float, r1: float | None, curve: Curve | None = None,
                  water_slope: Estimate | None = None) -> list[tuple[str, str]]:
    """What to know about an optimum: (code, text) pairs."""
    notes = [("base_at_optimum", "The formula is taken to have the right water at its own share; the optimum "
                                 "moves from there.")]
    if curve is not None:
        notes.append(("own_water_table", "Water read from the table given, taken as it is; between its "
                                         "points it is taken to run straight."))
        if r0 is not None and r1 is not None and x0 > 0 and x1 > 0 and abs(r0 - r1) > ROUNDING:
            notes.append(("table_other_ratio", "The scald's liquid ratio changes too; the table is taken to "
                                               "hold at both ratios."))
        return notes
    if water_slope is not None:
        notes.append(("own_water_slope", "The slope of water by share is the calibration's: of own trials, as "
                                         "far as they tell it."))
    else:
        used = [ratio for ratio, share in ((r0, x0), (r1, x1)) if share > 0 and ratio is not None]
        for ratio in dict.fromkeys(used):
            if not SCALD_RATIO - ROUNDING <= ratio <= ROUX_RATIO + ROUNDING:
                end = SCALD_RATIO if ratio < SCALD_RATIO else ROUX_RATIO
                notes.append(("ratio_outside_range", f"A scald of 1:{ratio:.3g} is outside 1:{SCALD_RATIO:g} "
                                                     f"to 1:{ROUX_RATIO:g}; its water is reckoned as at "
                                                     f"1:{end:g}."))
    if x1 > 0 and r1 is not None and x1 > share_limit_at(r1) + ROUNDING:
        notes.append(("share_extrapolated", f"Beyond a share of {share_limit_at(r1):.3g} % at 1:{r1:.3g} the "
                                            "water is extrapolated; bake a trial first."))
    return notes


# What the water does

def assess(hydration_percent: float, optimum_percent: float) -> str:
    """``under_watered``, ``balanced`` or ``sticky``: more than 2 points below the optimum, or more than
    3 above it, or neither. Source: assumption, set by common practice (coefficients
    under_watered_points, sticky_points)."""
    points = hydration_percent - optimum_percent
    if points < -UNDER_WATERED_POINTS - ROUNDING:
        return UNDER_WATERED
    return STICKY if points > STICKY_POINTS + ROUNDING else BALANCED


def dough_water_g(formula: Formula, flour_moisture_percent: float | None = None) -> float:
    """All water in a dough, g: every line's, the flour's included, less evaporation.

    flour_moisture_percent replaces the catalogue's figure for every flour. Source: mass balance
    from the ingredients' composition (exact, given the composition).
    """
    return sum(line.mass_g / 100 * (flour_moisture_percent if line.ingredient.is_flour
                                    and flour_moisture_percent is not None else line.ingredient.water_percent)
               for line in formula.lines) - formula.scald_evaporation_g


def crumb_moisture_percent(water_g: float, dough_mass_g: float, bake_loss: float) -> float:
    """Moisture of the whole loaf, percent, if all that the oven takes is water.

    100 (water - L D) / (D (1 - L)), with the bake loss given in percent of dough (0 to below 100)
    and the water counted with the flour's. Raises Refusal when the oven would take more water than
    there is. Source: mass balance (exact, given the loss).
    """
    loss = bake_loss / 100
    moisture = 100 * (water_g - loss * dough_mass_g) / (dough_mass_g * (1 - loss))
    if moisture < -ROUNDING:
        most = 100 * water_g / dough_mass_g
        raise Refusal("bake_loss_percent", "bake_loss_above_water",
                      "only {most} % of this dough is water, so it cannot lose {given} % of its mass",
                      given=bake_loss, nearest=most,
                      amounts={"most": (most, None), "given": (bake_loss, None)})
    return max(moisture, 0.0)


def crumb_moisture_change(hydration_points: float, balance_points: float) -> Estimate:
    """Points of crumb moisture that a change of hydration brings.

    hydration_points: change of hydration at the base flour's moisture. balance_points: change of
    crumb_moisture_percent with the bake loss unchanged, which is the far end. In practice about 1
    point of crumb for 6 of hydration, since more water in means more lost (best; common practice).
    """
    best = hydration_points * CRUMB_PER_POINT.value
    ends = (hydration_points * CRUMB_PER_POINT.low, best, balance_points)
    return Estimate(min(ends), best, max(ends), CRUMB_PER_POINT.evidence)


# All of it together

@dataclass(frozen=True, slots=True)
class Correction:
    """A formula moved to another share (or flour) with its water.

    ``optimum`` at the new share, in percent of flour; ``hydration_percent`` is what was used: the
    optimum's best value or the one asked for. ``shift`` is T(after) - T(before) in points.
    ``water_g`` is all water of the dough, the flour's included, and ``loaf_moisture_percent`` what is
    left of it in the loaf by mass balance, each (before, after).
    """

    formula: Formula
    before: Breakdown
    after: Breakdown
    shift: Estimate
    optimum: Estimate
    hydration_percent: float
    assessment: str
    crumb_moisture_change_points: Estimate
    water_g: tuple[float, float]
    loaf_moisture_percent: tuple[float, float]
    bake_loss_percent: float
    move: ShareMove
    notes: tuple[tuple[str, str], ...]


def correct_hydration(formula: Formula, adjust_with: Ingredient, share_percent: float | None = None,
                      liquid_ratio: float | None = None, hold: str = HOLD_DOUGH,
                      hydration_percent: float | None = None, curve: Curve | None = None,
                      flour: FlourChange | None = None, scald_liquids: list[str] | None = None,
                      water_slope: Estimate | None = None,
                      bake_loss: float | None = None) -> Correction:
    """Move a formula to a scalded share and to the water that suits it, dough mass (or flour) held.

    share_percent and liquid_ratio default to the formula's own; without a scald in it the ratio is
    1:1, with a note. hydration_percent: a hydration to use in place of the optimum, which is then
    assessed. bake_loss: percent of dough, None for the trade's of a lidded pan. Raises the Refusals of
    optimum_hydration, move_share and crumb_moisture_percent; the last at the formula when no loss was given.
    """
    before = break_down(formula)
    share = before.scalded_share_percent if share_percent is None else share_percent
    base_ratio, notes = before.scald_liquid_ratio, []
    ratio = base_ratio if liquid_ratio is None else liquid_ratio
    if ratio is None and share > 0:
        ratio = SCALD_RATIO
        notes.append(("ratio_assumed", f"The formula has no scald; it is made 1:{SCALD_RATIO:g}, with "
                                       "boiling water."))
    h0, x0 = before.hydration_percent, before.scalded_share_percent
    if curve is not None:
        curve = check_curve(curve)

    def optimum_at(at_share: float, at_ratio: float | None) -> Estimate:
        return optimum_hydration(h0, x0, base_ratio, at_share, at_ratio, curve, flour, water_slope)

    def hydration_at(at_share: float, at_ratio: float | None) -> float:
        best = optimum_at(at_share, at_ratio).best
        return best if hydration_percent is None else hydration_percent

    try:
        optimum = optimum_at(share, ratio)
    except Refusal as refusal:
        bound = refusal.nearest if refusal.argument == "scalded_share_percent" else None
        if bound is not None and share > bound:
            # The bound named must also be one that this formula's liquid and flours allow.
            refusal.nearest = largest_workable_share_percent(formula, bound, ratio, hydration_at,
                                                             adjust_with, scald_liquids)
        raise
    move = move_share(formula, share, ratio, hydration_at, adjust_with, hold, scald_liquids)
    after = break_down(move.formula)
    used = move.hydration_percent
    assessment = assess(used, optimum.best)
    notes += optimum_notes(x0, base_ratio, share, ratio, curve, water_slope)
    notes += move.notes
    if assessment == UNDER_WATERED:
        notes.append(("under_watered", "With this much less water than the optimum, expect a dense loaf that "
                                       "is stale within about a day."))
    if share > STALING_NOTE_SHARE and used <= STALING_NOTE_HYDRATION + ROUNDING:
        notes.append(("dry_scald", f"Above a share of {STALING_NOTE_SHARE:g} % at a hydration of "
                      f"{STALING_NOTE_HYDRATION:g} % or less, staling speeds up instead of slowing."))
    moistures = (None, None) if flour is None else (flour.base_moisture_percent, flour.moisture_percent)
    at_base_flour = used if flour is None else at_other_moisture(used, flour.moisture_percent,
                                                                 flour.base_moisture_percent)
    water = dough_water_g(formula, moistures[0]), dough_water_g(move.formula, moistures[1])
    loss = BAKE_LOSS_PERCENT if bake_loss is None else bake_loss
    try:
        loaf = tuple(crumb_moisture_percent(water_g, seen.dough_mass_g, loss)
                     for water_g, seen in zip(water, (before, after)))
    except Refusal as refusal:
        if bake_loss is None:
            refusal.argument, refusal.given, refusal.nearest = "formula.lines", None, None
        raise
    crumb = crumb_moisture_change(at_base_flour - h0, loaf[1] - loaf[0])
    if any(line.part == SCALD for line in move.formula.lines) and formula.scald_evaporation_g > 0:
        notes.append(("evaporation_scaled", "The scald is taken to lose as much for each gram of its flour "
                                            "as before; weigh it after cooking."))
    return Correction(move.formula, before, after,
                      water_shift(x0, base_ratio, share, ratio, curve, water_slope), optimum, used,
                      assessment,
                      crumb, water, loaf, loss, move, tuple(notes))
