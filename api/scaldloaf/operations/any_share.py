"""A loaf-plan at any scalded share, and what limits the share of it."""

from collections.abc import Callable
from functools import partial
from math import inf
from typing import Any, NamedTuple

from scaldloaf.dough import share_limits
from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.flour import gluten_percent_of, other_flour_share
from scaldloaf.dough.formula import break_down
from scaldloaf.dough.limits import SHARE_UPPER_BOUND_PERCENT
from scaldloaf.dough.pan import pan_volume
from scaldloaf.dough.pan_fill import fill_pan
from scaldloaf.dough.per_flour import HOLD_DOUGH, Change
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.share_limits import (
    PAN,
    PROOF,
    SCALD_FLOUR,
    SCALD_LIQUID,
    TEMPERATURE,
    WATER,
    YEAST,
    ByShare,
    ProofByShare,
)
from scaldloaf.dough.share_search import FINE, Bound, Limit, Search, first_to_bind
from scaldloaf.dough.sucrose import with_sucrose
from scaldloaf.dough.sugar import SUGAR_EVIDENCE
from scaldloaf.dough.sugar_solve import Fermentation
from scaldloaf.dough.trials.model import WATER_REACH_POINTS
from scaldloaf.dough.trials.proof import KnownProof
from scaldloaf.dough.volume import NO_GLUTEN, WATER_VALID_POINTS, Gluten
from scaldloaf.dough.water_rule import OwnTable
from scaldloaf.dough.yeast import compressed_yeast_percent
from scaldloaf.operations import chain, hydration_correction, planned
from scaldloaf.operations.context import Wire
from scaldloaf.operations.filled_pan import bread_of, reference_pan
from scaldloaf.operations.located import located

COARSE = Search(step=5.0, close=0.01)  # of the water temperature, which costs most to look at

Margin = Callable[[float, str], float | None]  # share, end -> as in ``dough.share_limits``


class Mosts(NamedTuple):
    """The most that there may be: dough for a pan, proof, and vital gluten added. None: not said."""

    dough_g: float | None = None
    proof_minutes: float | None = None
    gluten_percent: float | None = None


class Asked(NamedTuple):
    """plan: that of the present share, with the formula as it came. sucrose_percent None: the formula's.

    proof: what own trials say; None: not given. request: as it came.
    """

    plan: planned.Asked
    mosts: Mosts
    request: Wire
    sucrose_percent: float | None = None
    proof: KnownProof | None = None

    @property
    def change(self) -> Change:
        """What the plan moves."""
        return self.plan.correction.change

    def changed(self, **change: Any) -> "Asked":
        """The same with another ``Change``."""
        plan = self.plan
        moved = self.change._replace(**change)
        return self._replace(plan=plan._replace(correction=plan.correction._replace(change=moved)))


class Limited(NamedTuple):
    """A limit: its margin, what that rests on at a share, and the field of the request that it lacks."""

    name: str
    margin: Margin
    evidence: Callable[[float], str]
    needs: str | None = None

    def at(self, end: str) -> Callable[[float], float | None]:
        """The margin at one end, by share."""
        return lambda share_percent: self.margin(share_percent, end)


class AnyShare:
    """What is asked for, at any share, with so much gluten added as helps, up to a most."""

    def __init__(self, asked: Asked, more_gluten_percent: float = 0.0) -> None:
        plan, given = asked.plan, asked.plan.correction.formula
        before = break_down(given)
        if asked.sucrose_percent is not None:
            given = with_sucrose(given, before, asked.sucrose_percent, HOLD_DOUGH)
            before = break_down(given)
        correction = plan.correction
        rule = correction.water_rule
        self.asked, self.formula, self.before = asked, given, before
        change = correction.change
        self.present = before.scalded_share_percent if change.share_percent is None else change.share_percent
        self.start = min(self.present, SHARE_UPPER_BOUND_PERCENT)
        self.search = FINE
        if isinstance(rule, OwnTable):
            self.search = Search(places=tuple(share for share, _ in rule.points))
        with located(**hydration_correction.PLACES):
            self.bread = ByShare(
                given,
                before,
                correction.adjust_with,
                change,
                rule,
                correction.flour_change,
                more_gluten_percent,
            )
        self.proof = ProofByShare(asked.proof, self.present)
        self._other_flour_share = other_flour_share(given)
        self._had_gluten = gluten_percent_of(given, before.flour_g)
        filling = plan.filling
        with located("pan"):
            self._volume = pan_volume(filling.pan).volume_cm3
        self._reference = reference_pan(filling.bread, filling.pan)
        self._doughs: dict[float, Estimate | None] = {}
        self._tempered: dict[float, float] = {}

    def through(self, share_percent: float) -> Fermentation | None:
        """The stages at a share; None where none were given, or nothing ferments in them."""
        feeding = self.asked.plan.feeding
        if feeding is None or compressed_yeast_percent(self.before) <= 0:
            return None
        return self.proof.stages_at(Fermentation(*feeding, 0.0), share_percent)

    def dough_g(self, share_percent: float) -> Estimate | None:
        """Dough that fills a pan at a share; None where there is no such bread."""
        if share_percent not in self._doughs:
            try:
                self._doughs[share_percent] = self._dough_g(share_percent)
            except Refusal:
                self._doughs[share_percent] = None
        return self._doughs[share_percent]

    def _dough_g(self, share_percent: float) -> Estimate | None:
        water = self.bread.watered(share_percent)
        if water is None:
            return None
        filling, percent = self.asked.plan.filling, self.bread.gluten_percent(share_percent)
        gluten = Gluten(percent, self.bread.flour_protein_percent) if percent else NO_GLUTEN
        # Beyond, the water is the limit and not the pan.
        off_points = min(max(water.off_points, -WATER_VALID_POINTS), WATER_VALID_POINTS)
        if isinstance(filling.bread, Calibration) and water.off_trials_points is not None:
            off_points = min(max(water.off_trials_points, -WATER_REACH_POINTS), WATER_REACH_POINTS)
        wanted = filling.wanted._replace(
            share_percent=share_percent,
            off_optimum_points=off_points,
            gluten=gluten,
            other_flour_share=self._other_flour_share,
        )
        known = chain.with_gluten_before(filling.bread, (self._had_gluten, percent))
        bread = bread_of(known, wanted, filling.fill_percent, self._reference)
        return fill_pan(self._volume, filling.fill_percent, bread).dough_mass_g

    def at(self, share_percent: float) -> Asked:
        """What is asked for at a share, as a plan of its own."""
        plan, gluten = self.asked.plan, self.bread.gluten_percent(share_percent)
        change = self.asked.change._replace(share_percent=share_percent)
        if gluten != self.bread.own_gluten_percent:
            change = change._replace(gluten_percent=gluten)
        feeding, through = plan.feeding, self.through(share_percent)
        if feeding is not None and through is not None:
            feeding = feeding._replace(stages=through.stages)
        correction = plan.correction._replace(formula=self.formula, change=change)
        return self.asked._replace(plan=plan._replace(correction=correction, feeding=feeding))

    # ---- Its limits ----

    def limits(self) -> list[Limited]:
        """The limits that are searched, those that cost least first; the water temperature is apart."""
        plan, mosts, bread = self.asked.plan, self.asked.mosts, self.bread
        proof = "limits.proof_minutes" if mosts.proof_minutes is None else "proof"
        return [
            Limited(SCALD_FLOUR, lambda share, end: bread.most_of_mix_percent - share, _exact),
            Limited(WATER, partial(share_limits.water_margin, bread), _assumed),
            Limited(SCALD_LIQUID, partial(share_limits.scald_liquid_margin, bread), self._of_optimum),
            Limited(YEAST, self._sugar_margin, _of_sugar, "stages" if plan.feeding is None else None),
            Limited(
                PAN, self._pan_margin, self._of_dough, "limits.dough_mass" if mosts.dough_g is None else None
            ),
            Limited(PROOF, self._proof_margin, _assumed, proof if self._proof_unknown() else None),
        ]

    def _proof_unknown(self) -> bool:
        """Whether the longest proof, or what own trials say of it, was not given."""
        return self.asked.mosts.proof_minutes is None or self.asked.proof is None

    def _of_optimum(self, share_percent: float) -> str:
        water = self.bread.watered(share_percent)
        return "exact" if water is None or self.bread.asked else water.optimum.evidence

    def _of_dough(self, share_percent: float) -> str:
        dough = self.dough_g(share_percent)
        return "assumption" if dough is None else dough.evidence

    def _pan_margin(self, share_percent: float, end: str) -> float | None:
        dough, most = self.dough_g(share_percent), self.asked.mosts.dough_g
        if dough is None:
            return -inf
        return 1.0 if most is None else share_limits.most_margin(dough, most, end)

    def _proof_margin(self, share_percent: float, end: str) -> float | None:
        most = self.asked.mosts.proof_minutes
        if most is None:
            return None
        return share_limits.most_margin(self.proof.minutes(share_percent), most, end)

    def _sugar_margin(self, share_percent: float, end: str) -> float | None:
        through = self.through(share_percent)
        return None if through is None else share_limits.sugar_margin(self.bread, through, share_percent, end)

    def temperature_margin(self, share_percent: float) -> float | None:
        """Whether water, or what else may be warmed, can bring the dough to its temperature."""
        if self.asked.plan.tempering is None:
            return None
        if share_percent not in self._tempered:
            plan = self.at(share_percent).plan
            try:
                chain.temper(plan, chain.correct(plan).correction.formula)
                self._tempered[share_percent] = 1.0
            except Refusal:
                self._tempered[share_percent] = -1.0
        return self._tempered[share_percent]

    def bound(self, without: str | None = None) -> Bound:
        """How far the share may go, at best values; without: a limit that is left out."""
        limits = [Limit(each.name, each.at("best"), self.search) for each in self.limits()]
        limits.append(Limit(TEMPERATURE, self.temperature_margin, COARSE))
        kept = [limit for limit in limits if limit.name != without]
        return first_to_bind(kept, self.start, SHARE_UPPER_BOUND_PERCENT)


def _exact(share_percent: float) -> str:
    return "exact"


def _assumed(share_percent: float) -> str:
    return "assumption"


def _of_sugar(share_percent: float) -> str:
    return SUGAR_EVIDENCE
