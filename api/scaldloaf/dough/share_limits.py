"""What limits the scalded share of a bread, each as a margin by share that ``share_search`` can search.

The scald's liquid and its flours, what is known of the water, the pan, the proof and the yeast's sugar. Each
is judged by itself, also at shares where another one is broken already. A margin is at or above 0 where its
limit is kept, -inf where there is no such bread, None where nothing says. Shares, hydrations and gluten are
in percent of flour.

A margin has three ends. At best values it says what binds; "low" takes the end of each band that makes the
share smaller, "high" the other.
"""

from math import exp, inf, log
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.flour import (
    VITAL_GLUTEN,
    FlourChange,
    added_gluten_g,
    flour_protein_percent,
    gluten_percent_of,
    gluten_takes,
    with_gluten,
)
from scaldloaf.dough.formula import NEGLIGIBLE_SHARE, Breakdown, Formula
from scaldloaf.dough.hydration import SuitedWater, scald_ratio
from scaldloaf.dough.limits import ROUNDING
from scaldloaf.dough.per_flour import Change, PerFlour
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.sugar_solve import Fermentation, free_sugar_left
from scaldloaf.dough.sugar_stages import LONGEST_MINUTES
from scaldloaf.dough.trials.proof import LOG_TOO_FAR, KnownProof, proof_minutes_at
from scaldloaf.dough.volume import WATER_VALID_POINTS
from scaldloaf.dough.water_judged import spot_of
from scaldloaf.dough.water_rule import Spot, WaterRule, off_trials_points
from scaldloaf.reference import Ingredient

# What limits a share. GLUTEN: the pan with all the gluten that may be added. BOUND: the most of any share.
SCALD_LIQUID, SCALD_FLOUR, WATER, TEMPERATURE = "scald_liquid", "scald_flour", "water", "water_temperature"
PAN, PROOF, YEAST, GLUTEN, BOUND = "pan", "proof", "yeast", "gluten", "bound"
LIMITS = SCALD_LIQUID, SCALD_FLOUR, WATER, TEMPERATURE, PAN, PROOF, YEAST, GLUTEN, BOUND
ENDS = "low", "best", "high"
SAME_MOST = 1e-12  # numerics: of an amount that is the most, but for its unit
_OPPOSITE = {"low": "high", "best": "best", "high": "low"}


class Watered(NamedTuple):
    """The water of a bread at a share: the optimum with its band, what is used, and how far it is known.

    used: the optimum's best value, or the hydration asked for. room: points of share to the end of those that
    the rule is meant for. off_trials_points: what is used less what suits by own trials (None: not known).
    """

    base: PerFlour
    optimum: Estimate
    used: float
    room: float
    off_trials_points: float | None = None

    @property
    def off_points(self) -> float:
        """How far the water used is from the optimum."""
        return self.used - self.optimum.best


class ByShare:
    """A formula at any scalded share, moved as ``correct_hydration`` moves it.

    What is found at a share is kept, as several limits ask for it.
    """

    def __init__(
        self,
        formula: Formula,
        before: Breakdown,
        adjust_with: Ingredient,
        change: Change,
        rule: WaterRule,
        flour: FlourChange | None = None,
        most_more_gluten_percent: float = 0.0,
    ) -> None:
        """A formula, and how it is moved.

        Parameters
            formula : Formula
            before : Breakdown  of it
            adjust_with : Ingredient  mostly water, takes up the difference
            change : Change  with any share but that
            rule : WaterRule
            flour : FlourChange or None  another flour
            most_more_gluten_percent : float  [% of flour] vital gluten that may be added besides
        """
        had = gluten_percent_of(formula, before.flour_g)
        self.own_gluten_percent = had if change.gluten_percent is None else change.gluten_percent
        self.ratio = scald_ratio(change, before, 1.0)[0] or 0.0
        self._more_percent = most_more_gluten_percent
        most = self.own_gluten_percent + most_more_gluten_percent
        made_of = formula if most == had else with_gluten(formula, before, most, change.hold)
        base = PerFlour.of(made_of, adjust_with, change.scald_liquids)
        water = SuitedWater.of(formula, base, spot_of(formula, before), rule, flour)
        self._water = water._replace(asked_percent=change.hydration_percent)
        self.asked = change.hydration_percent is not None
        self._had_percent = had
        self.most_of_mix_percent = 100 * (base.largest_share_of_mix() + ROUNDING)
        self.flour_protein_percent = flour_protein_percent(formula)
        self._found: dict[float, Watered | None] = {}

    def gluten_percent(self, share_percent: float) -> float:
        """Vital gluten at a share: the formula's, and what may be added as far as the scald takes so much."""
        if not self._more_percent:
            return self.own_gluten_percent
        taken = added_gluten_g(share_percent, 100.0, self.flour_protein_percent)
        return self.own_gluten_percent + min(self._more_percent, max(taken - self.own_gluten_percent, 0.0))

    def watered(self, share_percent: float) -> Watered | None:
        """The water at a share; None where the rule knows nothing of it."""
        if share_percent not in self._found:
            try:
                self._found[share_percent] = self._find(share_percent)
            except Refusal:
                self._found[share_percent] = None
        return self._found[share_percent]

    def _find(self, share_percent: float) -> Watered:
        water, gluten = self._water, self.gluten_percent(share_percent)
        base = water.base
        less = (self.own_gluten_percent + self._more_percent - gluten) / 100
        if less:
            lines = base.lines
            base = base._replace(
                lines=lines._replace(
                    others=lines.others - less,
                    others_water=lines.others_water - less * VITAL_GLUTEN.water_percent / 100,
                )
            )
        water = water._replace(base=base, gluten=gluten_takes(gluten - self._had_percent))
        ratio = self.ratio if share_percent > 100 * NEGLIGIBLE_SHARE else None
        optimum = water.band_at(share_percent, ratio)
        used = water.used(optimum.best)
        spot = Spot(share_percent, None) if ratio is None else water.spot(share_percent, ratio, used)
        at_base_flour = used if water.flour is None else water.flour.base_hydration_for(used)
        off_trials = off_trials_points(water.rule, spot._replace(gluten_percent=gluten), at_base_flour)
        return Watered(base, optimum, used, water.rule.room(spot), off_trials)

    def breakdown_at(self, share_percent: float) -> Breakdown | None:
        """What the yeast meets: the sugars, the salt and the water. Other figures stay the formula's."""
        water = self.watered(share_percent)
        if water is None:
            return None
        base, adjusting = water.base, water.base.adjusting
        was, hydration = base.breakdown, water.used
        before = self._water.base.adjusting_needed(was.scalded_share_percent / 100, was.hydration_percent)
        more = max(base.adjusting_needed(share_percent / 100, hydration), 0.0) - before
        return was._replace(
            hydration_percent=hydration,
            sucrose_percent=was.sucrose_percent + more * adjusting.sucrose_percent,
            glucose_percent=was.glucose_percent + more * adjusting.glucose_percent,
            fructose_percent=was.fructose_percent + more * adjusting.fructose_percent,
            maltose_percent=was.maltose_percent + more * adjusting.maltose_percent,
            lactose_percent=was.lactose_percent + more * adjusting.lactose_percent,
            salt_percent=was.salt_percent + more * adjusting.salt_percent,
        )


# ---- The margins ---------------------------------------------------------------------------------


def scald_liquid_margin(bread: ByShare, share_percent: float, end: str) -> float:
    """Liquid that is left of what the scald may take, and of what adjusts the water, fraction of flour.

    As ``move_share`` refuses it. Less water suits: less liquid, so the low end takes the band's low end.
    """
    water = bread.watered(share_percent)
    if water is None:
        return -inf
    base, share = water.base, share_percent / 100
    hydration = water.used if bread.asked else getattr(water.optimum, end)
    needed, least = base.adjusting_needed(share, hydration), base.adjusting_least(share)
    return min(needed - least, base.supply(max(needed, least)) - bread.ratio * share) + ROUNDING


def water_margin(bread: ByShare, share_percent: float, end: str) -> float:
    """Points to where the water is no longer known: of share where its rule ends, or of hydration.

    The hydration counts where one is asked for, as the optimum moves away from it and its effect on the loaf
    is known for some points only.
    """
    water = bread.watered(share_percent)
    if water is None:
        return -inf
    suits: float = getattr(water.optimum, _OPPOSITE[end])
    off = water.used - suits if bread.asked else 0.0
    return min(water.room, WATER_VALID_POINTS - abs(off) + ROUNDING)


def most_margin(amount: Estimate | None, most: float, end: str) -> float | None:
    """How far an amount is from the most there may be, on the logarithm; None: not known."""
    if amount is None:
        return None
    value: float = getattr(amount, _OPPOSITE[end])
    return log(most / value) + SAME_MOST


def sugar_margin(bread: ByShare, through: Fermentation, share_percent: float, end: str) -> float:
    """Glucose and fructose that are left at the end of the stages beyond what feeds the yeast, % of flour.

    The demand's high end makes the share smaller.

    Parameters
        bread : ByShare
        through : Fermentation  at that share
        share_percent : float  [% of flour]
        end : str  "low", "best" or "high"
    Returns
        float  [% of flour]
    """
    breakdown = bread.breakdown_at(share_percent)
    too_long = sum(stage.minutes for stage in through.stages) > LONGEST_MINUTES * (1 + ROUNDING)
    if breakdown is None or breakdown.hydration_percent <= 0 or too_long:
        return -inf
    return free_sugar_left(breakdown, through, _OPPOSITE[end])


# ---- The proof -----------------------------------------------------------------------------------


class ProofByShare(NamedTuple):
    """The proof by own trials, and the share that the last stage was given for."""

    known: KnownProof | None
    given_at_percent: float

    def minutes(self, share_percent: float) -> Estimate | None:
        """Proof time at a share; None where nothing says."""
        return None if self.known is None else proof_minutes_at(self.known, share_percent)

    def stages_at(self, through: Fermentation, share_percent: float) -> Fermentation:
        """The stages at another share: the last one longer or shorter as the proof is by own trials.

        ln(minutes) is straight in the share, as in ``proof_minutes_at``. Where that knows nothing they stay.
        """
        known = self.known
        if known is None or known.minutes is None or known.minutes_per_share_point is None:
            return through
        moved = (
            known.minutes_per_share_point.best * (share_percent - self.given_at_percent) / known.minutes.best
        )
        if self.minutes(share_percent) is None or abs(moved) > LOG_TOO_FAR:
            return through
        factor = exp(moved)
        *first, last = through.stages
        return through._replace(stages=(*first, last._replace(minutes=last.minutes * factor)))
