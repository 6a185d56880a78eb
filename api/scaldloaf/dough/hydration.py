"""Moving a formula to another scalded share or flour with the water that suits it.

Hydration is in percent of total flour, as in the breakdown (without the flour's own moisture). Shares are
in percent of flour, liquid ratios in g of liquid per g of scald flour.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from scaldloaf.dough.crumb_moisture import crumb_moisture_change, dough_water_g, loaf_moistures
from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.flour import (
    FlourChange,
    added_gluten_g,
    as_is_absorption_percent,
    flour_protein_percent,
    gluten_percent_of,
    gluten_takes,
    other_flour_share,
    widening_by_other_flour,
    with_gluten,
)
from scaldloaf.dough.formula import NEGLIGIBLE_SHARE, Breakdown, Formula, break_down
from scaldloaf.dough.limits import (
    BAKE_LOSS_LIDDED_PERCENT,
    LARGEST_HYDRATION_PERCENT,
    ROUNDING,
    SHARE_UPPER_BOUND_PERCENT,
)
from scaldloaf.dough.notes import Note
from scaldloaf.dough.per_flour import Change, PerFlour
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scald import ShareMove, kept_water_ratio, move_share
from scaldloaf.dough.scald_limits import largest_workable_share_percent
from scaldloaf.dough.water_judged import (
    NOT_JUDGED,
    Judged,
    disputed,
    judge,
    moves_the_water,
    never_without_doubt,
    spot_of,
)
from scaldloaf.dough.water_notes import (
    notes_on_base,
    notes_on_evaporation,
    notes_on_other_flour,
    notes_on_share,
    notes_on_water,
)
from scaldloaf.dough.water_rule import (
    PRIOR_SLOPE,
    SCALD_WATER_SLOPE_RATIO,
    OwnTable,
    PriorSlope,
    Shift,
    Spot,
    WaterRule,
    off_trials_points,
)
from scaldloaf.reference import Ingredient

SETTLED_POINTS = 1e-10  # numerics: change of the optimum at which its search ends
MOST_ROUNDS = 60


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


def _optimum(
    before: Spot, shift: Shift, flour: FlourChange | None, gluten: Estimate | None = None
) -> Estimate:
    base, points = before.hydration_percent or 0.0, shift.points
    low, best, high = base + points.low, base + points.best, base + points.high
    if gluten is not None:
        low, best, high = low + gluten.low, best + gluten.best, high + gluten.high
    optimum = Estimate(low, best, high, points.evidence)
    return optimum.map(flour.hydration_for) if flour is not None else optimum


# ---- The whole correction ------------------------------------------------------------------------


class Correction(NamedTuple):
    """A formula moved to another share (or flour) with its water.

    before, after: breakdowns. shift: T(after) - T(before). optimum: at the new share, percent of flour;
    hydration_percent: as used, the optimum's best value or as asked for; judged: what the assessment rests on
    (None: nothing); uncertain: whether its band reaches another assessment; there: where it is now; made_of:
    the formula that was moved, with its gluten, and gluten_percent before and after; gluten_points: the water
    that goes with the change; gluten_to_make_up_g: vital gluten that makes up what the move takes, beyond
    what was added; prior: the prior's slope for these flours; base_flour_hydration_percent: at the moisture
    of the flour before; absorption_points: what the new flour takes beyond the old one. water_g: all water of
    the dough, the flour's included, loaf_moisture_percent: what the mass balance leaves in the loaf,
    off_trials_points: the hydration less what suits by own trials (None: not known), each (before, after).
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
    uncertain: bool
    judged: Judged | None
    here: Spot
    there: Spot
    made_of: Formula
    gluten_percent: tuple[float, float]
    gluten_points: Estimate
    prior: PriorSlope
    gluten_to_make_up_g: float
    flour_protein_percent: float
    crumb_moisture_change_points: Estimate
    water_g: tuple[float, float]
    loaf_moisture_percent: tuple[float, float]
    bake_loss_percent: float
    off_trials_points: tuple[float | None, float | None]
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
    _refuse_soup(before)
    share = before.scalded_share_percent if change.share_percent is None else change.share_percent
    ratio, notes = scald_ratio(change, before, share)
    gluten = gluten_percent_of(formula, before.flour_g)
    wanted_gluten = gluten if change.gluten_percent is None else change.gluten_percent
    held = change.hold
    made_of = formula if wanted_gluten == gluten else with_gluten(formula, before, wanted_gluten, held)
    change = Change(share, ratio, change.hydration_percent, held, change.scald_liquids)
    here = spot_of(formula, before)
    base = PerFlour.of(made_of, adjust_with, change.scald_liquids)
    water = SuitedWater.of(formula, base, here, water_rule, flour, wanted_gluten - gluten)
    rule = water.rule

    refusal = share_refusal(here, Spot(share, ratio if share > 0 else None), rule)
    if refusal is not None:
        largest = partial(largest_workable_share_percent, made_of, adjust_with, change, water.advised_at)
        raise _with_workable_share(refusal, share, largest)
    water = water._replace(asked_percent=change.hydration_percent)
    move = move_share(made_of, adjust_with, change, water.optimum_at, water.advised_at)
    after, used = break_down(move.formula), move.hydration_percent
    there = water.spot(share, ratio, used)._replace(gluten_percent=wanted_gluten)
    shift = rule.shift(here, there)
    optimum = _optimum(here, shift, flour, water.gluten)
    moved = _has_moved(here, there, flour, wanted_gluten != gluten)
    right = judge(rule, flour, there, optimum, False)
    moved = moved and moves_the_water(optimum, before.hydration_percent, rule.right_water(there) is not None)
    if change.hydration_percent is None:
        optimum = optimum._replace(best=used)  # the same, but for the last bit of its search
    optimum = never_without_doubt(optimum, there, flour, moved)
    judged = judge(rule, flour, there, optimum, moved)
    assessment, uncertain = (NOT_JUDGED, True) if judged is None else judged.assess(used)
    if moved and disputed(assessment, used, there, right, other_flour_share(formula)):
        uncertain = True
    at_base_flour = used if flour is None else flour.base_hydration_for(used)
    water_g = _water_before_and_after(formula, move.formula, flour)
    loaf = loaf_moistures(water_g, (before, after), bake_loss_percent)
    protein = flour_protein_percent(formula)
    missing_share = max(share - before.scalded_share_percent, 0.0)
    make_up = added_gluten_g(missing_share, after.flour_g, protein)
    make_up = max(make_up - (wanted_gluten - gluten) / 100 * after.flour_g, 0.0)
    off = used - (judged.against.best if judged is not None else used)
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
        uncertain=uncertain,
        judged=judged,
        here=here,
        there=there,
        made_of=made_of,
        gluten_percent=(gluten, wanted_gluten),
        gluten_points=water.gluten,
        prior=rule if isinstance(rule, PriorSlope) else PRIOR_SLOPE,
        gluten_to_make_up_g=make_up,
        flour_protein_percent=protein,
        crumb_moisture_change_points=crumb_moisture_change(
            at_base_flour - before.hydration_percent, loaf[1] - loaf[0]
        ),
        water_g=water_g,
        loaf_moisture_percent=loaf,
        bake_loss_percent=BAKE_LOSS_LIDDED_PERCENT.value if bake_loss_percent is None else bake_loss_percent,
        off_trials_points=(
            off_trials_points(rule, here, before.hydration_percent),
            off_trials_points(rule, there, at_base_flour),
        ),
        move=move,
        notes=(
            *notes,
            *([Note("base_at_optimum")] if moved else [Note("not_judged")] if judged is None else []),
            *notes_on_base(here, flour, moved),
            *rule.notes(here, there),
            *notes_on_other_flour(formula),
            *move.notes,
            *notes_on_water(there, used, assessment, off, other_flour_share(formula)),
            *notes_on_share(here, there, missing_share, make_up, after.flour_g),
            *notes_on_evaporation(formula, move.formula),
        ),
    )


class SuitedWater(NamedTuple):
    """The water that suits a formula at any share and ratio.

    asked_percent: a hydration to use in place of the optimum, which then only decides what the scald is
    filled with.
    """

    base: PerFlour
    here: Spot
    rule: WaterRule
    flour: FlourChange | None
    gluten: Estimate
    asked_percent: float | None = None

    @classmethod
    def of(
        cls,
        formula: Formula,
        made_of: PerFlour,
        here: Spot,
        rule: WaterRule,
        flour: FlourChange | None,
        more_gluten_percent: float = 0.0,
    ) -> "SuitedWater":
        """The water of a formula.

        Parameters
            formula : Formula
            made_of : PerFlour  what is moved: the formula, with the gluten it is to have
            here : Spot  where the formula is
            rule : WaterRule
            flour : FlourChange or None  another flour
            more_gluten_percent : float  [% of flour] vital gluten of made_of beyond the formula's
        Returns
            SuitedWater
        """
        rule = _for_flours(rule, formula, flour)
        if isinstance(rule, OwnTable):
            rule = rule._replace(gluten_percent=here.gluten_percent)
        return cls(made_of, here, rule, flour, gluten_takes(more_gluten_percent))

    def spot(self, share_percent: float, ratio: float | None, hydration_percent: float) -> Spot:
        """Where the formula is at a share, a ratio and a hydration."""
        if ratio is None or share_percent <= 100 * NEGLIGIBLE_SHARE:
            return Spot(share_percent, None)
        kept = kept_water_ratio(self.base, share_percent, ratio, hydration_percent)
        return Spot(share_percent, ratio, None, kept)

    def optimum_at(self, share_percent: float, ratio: float | None) -> float:
        """The best value of the optimum, percent of flour.

        What the scald keeps depends on the liquids that fill it, and so a little on the hydration itself:
        the two are found together, in rounds.
        """

        def suits(hydration_percent: float) -> float:
            spot = self.spot(share_percent, ratio, hydration_percent)
            refusal = share_refusal(self.here, spot, self.rule)
            if refusal is not None:
                raise refusal
            return _optimum(self.here, self.rule.shift(self.here, spot), self.flour, self.gluten).best

        if self.asked_percent is not None:
            return suits(self.asked_percent)
        hydration = suits(self.here.hydration_percent or 0.0)
        for _ in range(MOST_ROUNDS):
            following = suits(hydration)
            if abs(following - hydration) <= SETTLED_POINTS:
                break
            hydration = following
        return hydration

    def used(self, optimum_percent: float) -> float:
        """The hydration to use where the optimum's best value is that, percent of flour."""
        return optimum_percent if self.asked_percent is None else self.asked_percent

    def band_at(self, share_percent: float, ratio: float | None) -> Estimate:
        """The optimum with its band, percent of flour. Raises Refusal as ``optimum_at``."""
        best = self.optimum_at(share_percent, ratio)
        spot = self.spot(share_percent, ratio, self.used(best))
        return _optimum(self.here, self.rule.shift(self.here, spot), self.flour, self.gluten)._replace(
            best=best
        )

    def advised_at(self, share_percent: float, ratio: float | None) -> float:
        """``optimum_at``, refused at a share that the rule is not meant for."""
        optimum = self.optimum_at(share_percent, ratio)
        if self.rule.room(self.spot(share_percent, ratio, self.used(optimum))) < 0:
            raise Refusal("change.share_percent", "share_extrapolated", "beyond what its water is known for")
        return optimum


def _refuse_soup(before: Breakdown) -> None:
    """Refuse a formula with more water than any bread dough."""
    if before.hydration_percent <= LARGEST_HYDRATION_PERCENT + ROUNDING:
        return
    raise Refusal(
        "formula.lines",
        "too_wet_for_bread",
        "the lines bring {hydration} % of the flour as water, and above {most} % nothing is a bread dough; "
        "check the amounts and their units",
        amounts={
            "hydration": (round(before.hydration_percent, 1), None),
            "most": (LARGEST_HYDRATION_PERCENT, None),
        },
    )


def _for_flours(rule: WaterRule, formula: Formula, flour: FlourChange | None) -> WaterRule:
    """The prior's slope for these flours; a rule of the baker's own stays as it is."""
    if not isinstance(rule, PriorSlope):
        return rule
    rule = rule._replace(widened=widening_by_other_flour(other_flour_share(formula)))
    if flour is None or flour.absorption_percent is None or flour.base_absorption_percent is None:
        return rule
    moisture = flour.base_moisture_percent
    return rule._replace(
        raw_before=as_is_absorption_percent(flour.base_absorption_percent, moisture) / 100,
        raw_after=as_is_absorption_percent(flour.absorption_percent, moisture) / 100,
    )


def _has_moved(here: Spot, there: Spot, flour: FlourChange | None, gluten_moved: bool) -> bool:
    """Whether share, ratio or flour are others than before, so that the move says which water suits."""
    if gluten_moved or abs(here.share_percent - there.share_percent) > ROUNDING:
        return True
    if here.share_percent > 0 and abs(here.kept_ratio - there.kept_ratio) > ROUNDING:
        return True
    return flour is not None and flour.is_another()


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


def scald_ratio(change: Change, before: Breakdown, share_percent: float) -> tuple[float | None, list[Note]]:
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
