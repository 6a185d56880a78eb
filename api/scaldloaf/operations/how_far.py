"""How far the share of a loaf-plan can go: its limits side by side, and each change that loosens one.

The search is by the lean margins of ``dough.share_limits``; the plan at the share found is then made by the
whole chain.
"""

from collections.abc import Iterator
from dataclasses import replace
from math import inf
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate, weakest
from scaldloaf.dough.limits import SHARE_UPPER_BOUND_PERCENT
from scaldloaf.dough.refusal import Refusal, Way
from scaldloaf.dough.scald_limits import rounded_up
from scaldloaf.dough.share_limits import (
    BOUND,
    ENDS,
    GLUTEN,
    LIMITS,
    PAN,
    PROOF,
    SCALD_LIQUID,
    TEMPERATURE,
    WATER,
    YEAST,
)
from scaldloaf.dough.share_search import (
    NEVER,
    NOT_KNOWN,
    NOT_REACHED,
    REACHED,
    SEARCH_STEP_POINTS,
    Bound,
    reach,
)
from scaldloaf.dough.sucrose import sucrose_percent_of
from scaldloaf.dough.sugar_solve import MOST_SUCROSE_PERCENT, least_sucrose_that_feeds
from scaldloaf.operations import chain, loaf_plan, planned
from scaldloaf.operations.any_share import COARSE, AnyShare, Asked, Limited
from scaldloaf.operations.schemas.hydration_correction import MOST_GLUTEN_PERCENT

GAINS_POINTS = 1e-5  # of share: less is no gain

# The steps by which a limit is loosened: what a baker would try next.
RATIOS = 5.0, 4.0, 3.0, 2.5, 2.0, 1.5, 1.25, 1.0, 0.8
MORE_DOUGH = 1.05
MORE_GLUTEN_PERCENT = 1.0
MORE_PROOF_MINUTES = 15.0
MORE_SUCROSE_PERCENT = 1.0


class Row(NamedTuple):
    """A limit and the share at which it binds.

    state: REACHED, NOT_REACHED or NOT_KNOWN. share: best is the bound where only an end is reached; None:
    not even an end, or not known. needs: the field that is missing.
    """

    limit: str
    state: str
    share: Estimate | None
    needs: str | None = None


class Loosening(NamedTuple):
    """A change, and how far the share may then go.

    limits: those it loosens. argument: the field that changes; before, value: of it, None: left out.
    quantity: what they measure.
    """

    limits: tuple[str, ...]
    argument: str
    before: object
    value: object
    quantity: str | None
    share_percent: float
    gain_points: float
    binds: str


class Found(NamedTuple):
    """How far the share can go, why no further, and the plan there.

    present_percent: the share asked for, or the formula's. present_breaks: limits that it breaks already.
    rows: the first to bind first. loosenings: the most gain first. gluten_percent: vital gluten of the plan,
    own_gluten_percent: of it what is not added for the pan. at: the plan there as asked for.
    """

    asked: Asked
    share: Estimate
    binds: str
    present_percent: float
    present_breaks: tuple[str, ...]
    rows: tuple[Row, ...]
    loosenings: tuple[Loosening, ...]
    proof_minutes: Estimate | None
    own_gluten_percent: float
    gluten_percent: float
    at: Asked
    plan: planned.Found

    def loosening_of(self, limit: str) -> Loosening | None:
        """The change that gains most of those that loosen a limit."""
        return next((each for each in self.loosenings if limit in each.limits), None)


def farthest(asked: Asked) -> tuple[AnyShare, Bound]:
    """How far the share may go; gluten is added, where it may be, only if the share gains by it."""
    plain = AnyShare(asked)
    found, more = plain.bound(), asked.mosts.gluten_percent
    if not more or found.binds != PAN:
        return plain, found
    richer = AnyShare(asked, more)
    further = richer.bound()
    if further.share_percent is None or further.share_percent <= (found.share_percent or 0.0) + GAINS_POINTS:
        return plain, found
    return richer, further


def compute(asked: Asked) -> Found:
    """How far the share can go. Raises Refusal where a limit is kept at no share."""
    any_share, found = farthest(asked)
    best = found.share_percent
    if best is None:
        raise _no_share(any_share, found.binds or "")
    rows = _rows(any_share, found)
    share = _first_of([row.share for row in rows if row.share is not None], best)
    at = any_share.at(best)
    return Found(
        asked=asked,
        share=share,
        binds=found.binds or BOUND,
        present_percent=any_share.present,
        present_breaks=tuple(_broken(any_share)),
        rows=rows,
        loosenings=tuple(_loosenings(any_share, best, found.binds or BOUND, rows)),
        proof_minutes=any_share.proof.minutes(best),
        own_gluten_percent=any_share.bread.own_gluten_percent,
        gluten_percent=any_share.bread.gluten_percent(best),
        at=at,
        plan=loaf_plan.compute(at.plan),
    )


def _first_of(shares: list[Estimate], best: float) -> Estimate:
    """The first of some shares, end by end; best: at best values."""
    low, high = min(shares, key=lambda share: share.low), min(shares, key=lambda share: share.high)
    binding = min(shares, key=lambda share: share.best)
    evidence = weakest(low.evidence, binding.evidence, high.evidence)
    return Estimate(min(low.low, best), best, max(high.high, best), evidence)


def _broken(any_share: AnyShare) -> Iterator[str]:
    """The limits that the present share breaks; the water temperature only where there is a dough."""
    start = any_share.start
    if any_share.present > SHARE_UPPER_BOUND_PERCENT:
        yield BOUND
    broken = [each.name for each in any_share.limits() if (each.margin(start, "best") or 0.0) < 0]
    yield from broken
    if not broken and (any_share.temperature_margin(start) or 0.0) < 0:
        yield TEMPERATURE


def _rows(any_share: AnyShare, found: Bound) -> tuple[Row, ...]:
    """Every limit with the share at which it binds, the first first, then those not reached or not known."""
    rows = [_row(any_share, limit) for limit in any_share.limits()]
    rows += [_temperature_row(any_share, found), _gluten_row(any_share)]
    bound = SHARE_UPPER_BOUND_PERCENT
    rows.append(Row(BOUND, REACHED, Estimate(bound, bound, bound, "assumption")))
    order = REACHED, NOT_REACHED, NOT_KNOWN
    return tuple(
        sorted(
            rows,
            key=lambda row: (
                order.index(row.state),
                row.share.best if row.share else inf,
                LIMITS.index(row.limit),
            ),
        )
    )


def _row(any_share: AnyShare, limit: Limited, name: str | None = None) -> Row:
    most = SHARE_UPPER_BOUND_PERCENT
    found = {end: reach(limit.at(end), any_share.start, most, any_share.search) for end in ENDS}
    best = found["best"]
    name = name or limit.name
    if best.state in (NOT_KNOWN, NEVER) or (best.state == NOT_REACHED and limit.needs):
        return Row(name, NOT_KNOWN, None, limit.needs)
    shares = [
        each.share_percent if each.state != NOT_KNOWN else best.share_percent for each in found.values()
    ]
    if best.state == NOT_REACHED and min(shares) == most:
        return Row(name, NOT_REACHED, None)
    evidence = limit.evidence(best.share_percent)
    return Row(name, best.state, Estimate(min(shares), best.share_percent, max(shares), evidence))


def _temperature_row(any_share: AnyShare, found: Bound) -> Row:
    """The water temperature, looked at only up to where nothing else forbids the dough."""
    if any_share.asked.plan.tempering is None:
        return Row(TEMPERATURE, NOT_KNOWN, None, "temperatures")
    best = found.share_percent
    if best is None or found.binds != TEMPERATURE:
        return Row(TEMPERATURE, NOT_REACHED, None)
    return Row(TEMPERATURE, REACHED, Estimate(best, best, best, "assumption"))


def _gluten_row(any_share: AnyShare) -> Row:
    """The share at which all the gluten that may be added fills the pan no more."""
    mosts = any_share.asked.mosts
    if mosts.gluten_percent is None or mosts.dough_g is None:
        missing = "limits.gluten_percent" if mosts.gluten_percent is None else "limits.dough_mass"
        return Row(GLUTEN, NOT_KNOWN, None, missing)
    richer = AnyShare(any_share.asked, mosts.gluten_percent)
    return next(_row(richer, limit, GLUTEN) for limit in richer.limits() if limit.name == PAN)


# ---- What loosens a limit ------------------------------------------------------------------------


class _Change(NamedTuple):
    """A change of what is asked for, as for ``Loosening``."""

    limits: tuple[str, ...]
    argument: str
    before: object
    value: object
    asked: Asked
    quantity: str | None = None


def _loosenings(any_share: AnyShare, best: float, binds: str, rows: tuple[Row, ...]) -> list[Loosening]:
    """Each change with the share that is then the most, searched anew; the one that gains most first.

    A change that takes away from the share is none.
    """
    reached = {row.limit for row in rows if row.state == REACHED}
    found = []
    for limits, argument, before, value, asked, quantity in _changes(any_share, reached):
        bound = _still_bound(asked, best, binds) or _tried(asked)
        share = bound.share_percent
        if share is None or share < best - GAINS_POINTS:
            continue
        gain = max(share - best, 0.0)
        after = bound.binds or BOUND
        found.append(Loosening(limits, argument, before, value, quantity, best + gain, gain, after))
    return sorted(found, key=lambda each: -each.gain_points)


def _tried(asked: Asked) -> Bound:
    """How far the share may go, if the dough can then be made."""
    any_share, bound = farthest(asked)
    if bound.share_percent is not None:
        try:
            chain.correct(any_share.at(bound.share_percent).plan)
        except Refusal:
            return Bound(None, None)
    return bound


def _still_bound(asked: Asked, best: float, binds: str) -> Bound | None:
    """The same bound, where the limit that binds without a change does so with it, and no other one sooner.

    So most changes of what does not bind need no search. None: this does not say.
    """
    changed = AnyShare(asked, asked.mosts.gluten_percent or 0.0)
    margins = {limit.name: limit.at("best") for limit in changed.limits()}
    margins[TEMPERATURE] = changed.temperature_margin
    if binds not in margins:
        return None
    further = 2 * COARSE.close if binds == TEMPERATURE else GAINS_POINTS
    beyond = margins[binds](best + further)
    if beyond is None or beyond >= 0:
        return None
    return Bound(best, binds) if all((margin(best) or 0.0) >= 0 for margin in margins.values()) else None


def _changes(any_share: AnyShare, reached: set[str]) -> Iterator[_Change]:
    """The next step of all that loosens what was reached."""
    asked, bread = any_share.asked, any_share.bread
    mosts = asked.mosts
    of_scald = tuple(name for name in (SCALD_LIQUID, WATER, TEMPERATURE) if name in reached)
    stiffer = next((ratio for ratio in RATIOS if ratio < bread.ratio - GAINS_POINTS), None)
    if of_scald and stiffer is not None:
        yield _Change(
            of_scald, "scald_liquid_ratio", bread.ratio, stiffer, asked.changed(liquid_ratio=stiffer)
        )
    if SCALD_LIQUID in reached:
        yield from _more_liquids(any_share)
    of_water = tuple(name for name in (SCALD_LIQUID, WATER) if name in reached)
    if of_water and bread.asked:
        given = asked.change.hydration_percent
        yield _Change(of_water, "hydration_percent", given, None, asked.changed(hydration_percent=None))
    if PAN in reached and mosts.dough_g is not None:
        more = mosts.dough_g * MORE_DOUGH
        changed = asked._replace(mosts=mosts._replace(dough_g=more))
        yield _Change((PAN,), "limits.dough_mass", mosts.dough_g, more, changed, "mass")
    given_gluten = mosts.gluten_percent or 0.0
    if (
        PAN in reached
        and any_share.bread.own_gluten_percent + given_gluten + MORE_GLUTEN_PERCENT <= MOST_GLUTEN_PERCENT
    ):
        more = given_gluten + MORE_GLUTEN_PERCENT
        changed = asked._replace(mosts=mosts._replace(gluten_percent=more))
        limits = (PAN,) if mosts.gluten_percent is None else (PAN, GLUTEN)
        yield _Change(limits, "limits.gluten_percent", mosts.gluten_percent, more, changed)
    if PROOF in reached and mosts.proof_minutes is not None:
        more = mosts.proof_minutes + MORE_PROOF_MINUTES
        changed = asked._replace(mosts=mosts._replace(proof_minutes=more))
        yield _Change((PROOF,), "limits.proof_minutes", mosts.proof_minutes, more, changed)
    if YEAST in reached:
        sucrose = sucrose_percent_of(any_share.formula, any_share.before.flour_g)
        more = sucrose + MORE_SUCROSE_PERCENT
        if more <= MOST_SUCROSE_PERCENT:
            yield _Change((YEAST,), "sucrose_percent", sucrose, more, asked._replace(sucrose_percent=more))


def _more_liquids(any_share: AnyShare) -> Iterator[_Change]:
    """The formula's other liquids in the scald as well, after those that it takes already."""
    water = any_share.bread.watered(any_share.start)
    if water is None:
        return
    allowed = [each.ingredient.name for each in water.base.allowed]
    names = [*allowed, *(ingredient.name for ingredient in water.base.other_liquids())]
    if len(set(names)) == len(names) and len(names) > len(allowed) > 0:
        asked = any_share.asked.changed(scald_liquids=tuple(names))
        yield _Change((SCALD_LIQUID,), "scald_liquids", allowed, names, asked)


# ---- What no share keeps -------------------------------------------------------------------------


def _no_share(any_share: AnyShare, limit: str) -> Refusal:
    """The refusal where a limit is kept at no share, with what would do."""
    asked = any_share.asked
    mosts = asked.mosts
    shares = _shares_without(any_share, limit)
    doughs = [dough.best for share in shares if (dough := any_share.dough_g(share)) is not None]
    if limit == PAN and mosts.dough_g is not None and doughs:
        return Refusal(
            "limits.dough_mass",
            "pan_too_small_for_any_share",
            "this pan takes {least} of dough or more at every share that keeps the other limits, and the "
            "most is {most}; allow that much, or fill the pan less",
            given=mosts.dough_g,
            nearest=min(doughs),
            quantity="mass",
            amounts={"least": (min(doughs), "mass"), "most": (mosts.dough_g, "mass")},
        )
    minutes = [proof.best for share in shares if (proof := any_share.proof.minutes(share)) is not None]
    if limit == PROOF and mosts.proof_minutes is not None and minutes:
        return Refusal(
            "limits.proof_minutes",
            "proof_too_short_for_any_share",
            "by your own trials the proof takes {least} min or more at every share that keeps the other "
            "limits, and the most is {most} min; allow that much, or proof warmer and bake new trials",
            given=mosts.proof_minutes,
            nearest=min(minutes),
            amounts={"least": (min(minutes), None), "most": (mosts.proof_minutes, None)},
        )
    through = any_share.through(0.0)
    if limit == YEAST and through is not None:
        needed = rounded_up(least_sucrose_that_feeds(any_share.formula, through).best)
        return Refusal(
            "stages",
            "starved_at_any_share",
            "the yeast runs out of sugar before the end of the stages even without a scald; {needed} % "
            "sucrose feeds it, or shorter or cooler stages, or less yeast",
            amounts={"needed": (needed, None)},
            ways=(Way("stages", {"sucrose_percent": needed}),),
        )
    for share in (any_share.start, 0.0):
        try:
            loaf_plan.compute(any_share.at(share).plan)
        except Refusal as refusal:  # loaf-plan names other ways out; here each would take a search to try
            return replace(refusal, ways=())
    return Refusal(
        "",
        "no_share_keeps_all",
        "no share keeps every limit; the first that none keeps is {limit}",
        amounts={"limit": limit},
    )


def _shares_without(any_share: AnyShare, limit: str) -> list[float]:
    """The shares, on a grid, that keep every limit but one; with the most of them."""
    margins = [each.margin for each in any_share.limits() if each.name != limit]
    steps = int(SHARE_UPPER_BOUND_PERCENT / SEARCH_STEP_POINTS)
    grid = [any_share.start, *(SEARCH_STEP_POINTS * step for step in range(steps + 1))]
    values = [(share, [margin(share, "best") for margin in margins]) for share in grid]
    kept = [share for share, found in values if all(value is None or value >= 0 for value in found)]
    most = any_share.bound(without=limit).share_percent
    return kept if most is None else [*kept, most]
