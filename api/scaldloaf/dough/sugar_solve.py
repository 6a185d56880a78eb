"""How much sucrose a formula needs: to feed its yeast, or to be as sweet as is wanted.

Only the sucrose lines move, all other baker's percentages stay. Shares the models of ``sugar``, and their
evidence (assumption).
"""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate, exactly
from scaldloaf.dough.flour import other_flour_share
from scaldloaf.dough.formula import Breakdown, Formula, break_down
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.sucrose import SUCROSE, sucrose_percent_of
from scaldloaf.dough.sugar import (
    BEST_SWEET,
    LEAST_SWEET,
    MOST_SWEET,
    SUGAR_EVIDENCE,
    Mixed,
    as_sucrose,
    malts_its_scald,
    sugars_left,
)
from scaldloaf.dough.sugar_course import MALTOSE_SWITCH_PERCENT, Enzymes, draw_down
from scaldloaf.dough.sugar_runs import DEMANDS_OF_RUNS, legs_of, makers_of_runs
from scaldloaf.dough.sugar_stages import Stage
from scaldloaf.dough.yeast import compressed_yeast_percent
from scaldloaf.reference import coefficient

MOST_SUCROSE_PERCENT = coefficient("most_sucrose_percent").value
CLOSE_PERCENT = 1e-9  # numerics: of flour
UNTOUCHED_PERCENT = 1e-8  # numerics: what is left above the switch, so that maltose is not touched
MOST_ROUNDS = 100

Sugars = dict[str, float]  # percent of bread, by sugar


class Fermentation(NamedTuple):
    """What a dough goes through, as for ``sugar_budget``, which checks it."""

    stages: tuple[Stage, ...]
    yeast_tolerance: str
    damaged_starch_percent: float
    bake_loss_percent: float


class _Sweetened(NamedTuple):
    """A formula with any amount of sucrose, its other baker's percentages held.

    makers: the enzymes of each run of its budget, which sucrose does not change.
    """

    breakdown: Breakdown
    through: Fermentation
    before_percent: float
    makers: tuple[Enzymes, ...]

    @classmethod
    def of(cls, formula: Formula, through: Fermentation) -> "_Sweetened":
        breakdown = break_down(formula)
        malted = malts_its_scald(formula, breakdown)
        share = breakdown.scalded_share_percent
        other = other_flour_share(formula)
        makers = makers_of_runs(through.damaged_starch_percent, share, malted, other)
        return cls(breakdown, through, sucrose_percent_of(formula, breakdown.flour_g), makers)

    def mixed(self, sucrose_percent: float) -> tuple[Breakdown, Mixed]:
        """The dough at the end of mixing, with so much sucrose, percent of flour."""
        was, more = self.breakdown, sucrose_percent - self.before_percent
        more_g, water = more / 100 * was.flour_g, more * SUCROSE.water_percent / 100
        breakdown = was._replace(
            dough_mass_g=was.dough_mass_g + more_g,
            water_g=was.water_g + more_g * SUCROSE.water_percent / 100,
            hydration_percent=was.hydration_percent + water,
            sucrose_percent=was.sucrose_percent + more * SUCROSE.sucrose_percent / 100,
        )
        return breakdown, Mixed.of(breakdown, self.through.stages, self.through.yeast_tolerance)

    def left_over(self, sucrose_percent: float, end: str) -> float:
        """``free_sugar_left`` with so much sucrose, % of flour.

        The slope is hexose_per_sucrose or more, as sugar only slows the yeast.
        """
        _, mixed = self.mixed(sucrose_percent)
        return _left_of(mixed, self.through.stages, end)

    def sugars(self, sucrose_percent: float, run: int) -> Sugars:
        """The sugars of the bread in one of the budget's runs, percent of bread."""
        breakdown, mixed = self.mixed(sucrose_percent)
        legs = legs_of(self.through.stages, [getattr(each, DEMANDS_OF_RUNS[run]) for each in mixed.demands])
        final = draw_down(mixed.start, legs, self.makers[run]).final
        left = sugars_left(final, mixed.sucrose_percent, breakdown.lactose_percent)
        bread_g = breakdown.dough_mass_g * (1 - self.through.bake_loss_percent / 100)
        return {sugar: percent * breakdown.flour_g / bread_g for sugar, percent in left.items()}


def free_sugar_left(breakdown: Breakdown, through: Fermentation, end: str) -> float:
    """Glucose and fructose less what the yeast takes of them, and less what must be left, % of flour.

    Below 0 where the yeast turns to maltose before the end of the last stage.

    Parameters
        breakdown : Breakdown  of the dough
        through : Fermentation
        end : str  which end of the demand: "low", "best" or "high"
    Returns
        float  [% of flour]
    Raises
        Refusal: yeast without water.
    """
    return _left_of(Mixed.of(breakdown, through.stages, through.yeast_tolerance), through.stages, end)


def _left_of(mixed: Mixed, stages: Sequence[Stage], end: str) -> float:
    hours = (stage.minutes / 60 for stage in stages)
    taken: float = sum(getattr(demand, end) * each for demand, each in zip(mixed.demands, hours, strict=True))
    left = mixed.start.glucose + mixed.start.fructose - taken
    return left - MALTOSE_SWITCH_PERCENT - UNTOUCHED_PERCENT


def sugars_of(formula: Formula, through: Fermentation) -> list[Sugars]:
    """The sugars of a formula's bread in each run of its budget, percent of bread. Raises Refusal as that."""
    asked = _Sweetened.of(formula, through)
    return [asked.sugars(asked.before_percent, run) for run in range(len(DEMANDS_OF_RUNS))]


def least_sucrose_that_feeds(formula: Formula, through: Fermentation) -> Estimate:
    """The least sucrose that keeps the yeast fed to the end, percent of flour.

    So much that glucose and fructose are at maltose_switch_percent or above at the end of the last stage, and
    maltose is not touched. The ends: with the least and the most that the yeast may ask for. 0 where the
    formula feeds it without.

    Parameters
        formula : Formula  that ``sugar_budget`` accepts
        through : Fermentation
    Returns
        Estimate  [% of flour]
    Raises
        Refusal: more than most_sucrose_percent is needed.
    """
    return _least_that_feeds(_Sweetened.of(formula, through))


def _least_that_feeds(sweetened: _Sweetened) -> Estimate:
    if compressed_yeast_percent(sweetened.breakdown) <= 0:
        return exactly(0.0)  # nothing to feed
    low, best, high = (_feeding(sweetened, end) for end in ("low", "best", "high"))
    if best is None or low is None:
        raise Refusal(
            "stages",
            "not_to_be_fed",
            "no more than {most} % sucrose keeps the yeast fed for so long and so warm; shorten or cool the "
            "stages, or take less yeast",
            amounts={"most": (MOST_SUCROSE_PERCENT, None)},
        )
    return Estimate(low, best, MOST_SUCROSE_PERCENT if high is None else high, SUGAR_EVIDENCE)


def _feeding(sweetened: _Sweetened, end: str) -> float | None:
    """The least sucrose that feeds the yeast at one end of its demand; None where even the most does not."""
    if sweetened.left_over(0.0, end) >= 0:
        return 0.0
    if sweetened.left_over(MOST_SUCROSE_PERCENT, end) < 0:
        return None
    return _rising_root(lambda percent: sweetened.left_over(percent, end), 0.0, MOST_SUCROSE_PERCENT)


def sucrose_for_sweetness(
    formula: Formula, through: Fermentation, target_percent: float | None, like: Sequence[Sugars] = ()
) -> Estimate:
    """The sucrose that makes the bread as sweet as is wanted, and feeds the yeast, percent of flour.

    Sweetness rises strictly with the sucrose from what feeds the yeast. The ends: the runs of the budget,
    each at the lowest and at the highest sweetness of the sugars; a bread to be matched goes through the same
    runs.

    Parameters
        formula : Formula  that ``sugar_budget`` accepts
        through : Fermentation
        target_percent : float or None  [% of bread, as sucrose] None: that of ``like``
        like : Sequence[Sugars]  [% of bread] of the bread to be matched, in each run
    Returns
        Estimate  [% of flour]
    Raises
        Refusal: as ``least_sucrose_that_feeds``; a sweetness below that of the least that feeds the yeast, or
        above that of most_sucrose_percent.
    """
    sweetened = _Sweetened.of(formula, through)
    feeds = _least_that_feeds(sweetened)
    least = [getattr(feeds, end) for end in DEMANDS_OF_RUNS]

    def sweetness(percent: float, run: int, factors: dict[str, float]) -> float:
        return as_sucrose(sweetened.sugars(percent, run), factors)

    def solved(run: int, factors: dict[str, float]) -> tuple[float, float, float, float]:
        """(sucrose within bounds, the target, sweetness at the least and at the most sucrose)"""
        target = as_sucrose(like[run], factors) if target_percent is None else target_percent
        lowest, highest = (sweetness(end, run, factors) for end in (least[run], MOST_SUCROSE_PERCENT))
        if target <= lowest:
            return least[run], target, lowest, highest
        if target >= highest:
            return MOST_SUCROSE_PERCENT, target, lowest, highest
        root = _rising_root(
            lambda percent: sweetness(percent, run, factors) - target, least[run], MOST_SUCROSE_PERCENT
        )
        return root, target, lowest, highest

    best, target, lowest, highest = solved(0, BEST_SWEET)
    if not lowest - CLOSE_PERCENT <= target <= highest + CLOSE_PERCENT:
        raise _out_of_reach(target, lowest, highest, feeds.best, target_percent is not None)
    ends = [best, *(solved(run, each)[0] for run in range(1, 5) for each in (LEAST_SWEET, MOST_SWEET))]
    return Estimate(min(ends), best, max(ends), SUGAR_EVIDENCE)


def _out_of_reach(target: float, lowest: float, highest: float, feeds: float, stated: bool) -> Refusal:
    """The refusal of a sweetness that feeding the yeast is beyond, or that no bread dough has.

    Parameters
        target, lowest, highest : float  [% of bread, as sucrose] asked for, and what there may be
        feeds : float  [% of flour] the least sucrose that feeds the yeast
        stated : bool  whether the target is a number of the caller's
    Returns
        Refusal
    """
    argument = "sweetness_percent" if stated else "like"
    amounts: dict[str, tuple[float, str | None]] = {"target": (target, None)}
    if target < lowest:
        return Refusal(
            argument,
            "sweetness_below_feeding",
            "the yeast needs {feeds} % sucrose to be fed to the end, and that leaves {lowest} % sweetness; "
            "{target} % is less. Take less yeast or less time, or let the yeast turn to maltose",
            given=target if stated else None,
            nearest=lowest if stated else None,
            amounts={**amounts, "feeds": (feeds, None), "lowest": (lowest, None)},
        )
    return Refusal(
        argument,
        "sweetness_above_reach",
        "{most} % sucrose, the most there may be, leaves {highest} % sweetness; {target} % is more",
        given=target if stated else None,
        nearest=highest if stated else None,
        amounts={**amounts, "most": (MOST_SUCROSE_PERCENT, None), "highest": (highest, None)},
    )


def _rising_root(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a continuous rising function is zero, between two places of unlike sign (Illinois method)."""
    below, above, side = function(low), function(high), 0
    for _ in range(MOST_ROUNDS):
        if high - low <= CLOSE_PERCENT:
            break
        place = (low * above - high * below) / (above - below)
        value = function(place)
        if abs(value) <= CLOSE_PERCENT / 10:
            return place
        if value < 0:
            low, below = place, value
            above, side = (above / 2, -1) if side == -1 else (above, -1)
        else:
            high, above = place, value
            below, side = (below / 2, 1) if side == 1 else (below, 1)
    return high
