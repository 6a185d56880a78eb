"""The search for the most share, and the margins it searches against the moves that they stand for."""

from math import inf, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import Formula, Line, break_down
from scaldloaf.dough.hydration import correct_hydration
from scaldloaf.dough.per_flour import Change
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.share_limits import (
    ByShare,
    ProofByShare,
    most_margin,
    scald_liquid_margin,
    sugar_margin,
    water_margin,
)
from scaldloaf.dough.share_search import (
    NEVER,
    NOT_KNOWN,
    NOT_REACHED,
    REACHED,
    SAME_POINTS,
    SEARCH_STEP_POINTS,
    Limit,
    Search,
    first_to_bind,
    reach,
)
from scaldloaf.dough.sugar import FED, sugar_budget
from scaldloaf.dough.sugar_solve import Fermentation, least_sucrose_that_feeds
from scaldloaf.dough.sugar_stages import Stage
from scaldloaf.dough.trials.proof import KnownProof
from scaldloaf.dough.volume import WATER_VALID_POINTS
from scaldloaf.dough.water_rule import PRIOR_SLOPE, OwnTable
from scaldloaf.reference import INGREDIENTS

SHARES = st.floats(0, 60)


# ---- The search ----------------------------------------------------------------------------------


@given(start=SHARES, edge=SHARES, slope=st.floats(1e-3, 1e3), bend=st.floats(-0.01, 0.01))
def test_a_margin_that_falls_breaks_at_its_root(start, edge, slope, bend):
    def margin(share):
        return slope * (edge - share) * (1 + bend * (share - edge))

    found = reach(margin, start, 60)
    if start <= edge and edge > 60 - 1e-6:
        return
    assert found.state == REACHED
    assert found.share_percent == approx(edge, abs=1e-6)
    assert margin(found.share_percent) >= 0 > margin(found.share_percent + 2 * SAME_POINTS)


@given(start=SHARES, edge=st.floats(0, 59))
def test_a_margin_that_jumps_is_found_by_halving(start, edge):
    found = reach(lambda share: 1.0 if share <= edge else -inf, start, 60)
    assert found.state == REACHED and edge - SAME_POINTS <= found.share_percent <= edge


@given(
    start=SHARES,
    knots=st.lists(st.floats(-1, 1).filter(lambda each: abs(each) > 1e-3), min_size=31, max_size=31),
)
def test_everything_between_the_start_and_the_share_is_kept_on_the_grid(start, knots):
    """Of a margin that rises and falls, but straight over each step: nothing is missed."""

    def margin(share):
        place = min(int(share // SEARCH_STEP_POINTS), 29)
        part = share / SEARCH_STEP_POINTS - place
        return knots[place] * (1 - part) + knots[place + 1] * part

    places = [SEARCH_STEP_POINTS * index for index in range(31)]
    found = reach(margin, start, 60, Search(places=tuple(places)))
    share = found.share_percent
    between = [place for place in places if min(start, share) < place < max(start, share)]
    if margin(start) >= 0:
        assert found.state in (REACHED, NOT_REACHED) and share >= start
        assert all(margin(place) >= 0 for place in [*between, share])
    elif found.state == NEVER:
        assert all(margin(place) < 0 for place in places)
    elif share < start:
        assert margin(share) >= 0 and all(margin(place) < 0 for place in between)
    else:
        first = next(place for place in places if place > start and margin(place) >= 0)
        assert all(margin(place) < 0 for place in places if place < start or start < place < first)
        assert all(margin(place) >= 0 for place in places if first <= place < share)
    if found.state == REACHED:
        assert margin(share + 2 * SAME_POINTS) < 0


def test_a_break_between_two_places_is_seen_where_the_caller_names_one():
    def margin(share):
        return abs(share - 31) - 0.3

    assert reach(margin, 20, 60).state == NOT_REACHED  # narrower than a step, between 30 and 32
    assert reach(margin, 20, 60, Search(places=(31,))).share_percent == approx(30.7, abs=1e-6)


def test_what_nobody_knows_is_not_known():
    assert reach(lambda share: None, 20, 60).state == NOT_KNOWN
    assert reach(lambda share: 1.0 if share < 35 else None, 20, 60).state == NOT_KNOWN
    assert reach(lambda share: 30 - share if share < 50 else None, 20, 60).share_percent == approx(30)
    assert reach(lambda share: -1.0 if share > 10 else None, 20, 60).state == NOT_KNOWN


def test_a_round_number_is_given_as_it_is():
    assert reach(lambda share: 40 + 1e-9 - share, 3.7, 60).share_percent == 40


@given(start=SHARES, edges=st.lists(SHARES, min_size=1, max_size=4), width=st.floats(2.5, 20))
def test_the_first_to_bind_keeps_all(start, edges, width):
    """Limits that fall, and one that is broken between two shares, up and down from any start."""

    def hollow(share):
        return max(20 - share, share - 20 - width)

    limits = [Limit(str(index), lambda share, edge=edge: edge - share) for index, edge in enumerate(edges)]
    limits.append(Limit("hollow", hollow))
    found = first_to_bind(limits, start, 60)
    assert found.share_percent is not None
    assert all(limit.margin(found.share_percent) >= 0 for limit in limits)
    if found.binds is not None:
        margin = next(limit.margin for limit in limits if limit.name == found.binds)
        assert margin(found.share_percent + 2 * SAME_POINTS) < 0
    none = first_to_bind([*limits, Limit("none", lambda share: -1.0)], start, 60)
    assert (none.share_percent, none.binds) == (None, "none")


# ---- The margins ---------------------------------------------------------------------------------


def dough(
    share: float = 20, ratio: float = 1, milk: float = 30, sucrose: float = 6, yeast: float = 1
) -> Formula:
    """A bread of 500 g of flour at 69 % hydration."""
    rows = (
        ("bread_flour", share, "scald"),
        ("water", ratio * share, "scald"),
        ("bread_flour", 100 - share, "dough"),
        ("whole_milk", milk, "dough"),
        ("water", 69 - ratio * share - 0.88 * milk, "dough"),
        ("sucrose", 6, "dough"),
        ("salt", 1.8, "dough"),
        ("instant_yeast", yeast, "dough"),
    )
    return Formula(
        tuple(Line(INGREDIENTS[name], 5 * percent, part) for name, percent, part in rows if percent)
    )


AS_IT_IS = Change()


def by_share(formula: Formula, change=AS_IT_IS, rule=PRIOR_SLOPE, more_gluten=0.0) -> ByShare:
    return ByShare(formula, break_down(formula), INGREDIENTS["water"], change, rule, None, more_gluten)


@given(
    share=st.floats(5, 30),
    to=SHARES,
    ratio=st.floats(0.7, 1.4),
    to_ratio=st.none() | st.floats(0.5, 5),
    gluten=st.none() | st.floats(0, 4),
)
def test_the_scalds_liquid_is_there_where_the_move_is_made(share, to, ratio, to_ratio, gluten):
    formula, change = dough(share, ratio), Change(liquid_ratio=to_ratio, gluten_percent=gluten)
    margin = scald_liquid_margin(by_share(formula, change), to, "best")
    if abs(margin) < 1e-7:
        return
    try:
        moved = correct_hydration(formula, INGREDIENTS["water"], change._replace(share_percent=to))
    except Refusal as refusal:
        assert margin < 0 and refusal.code in ("scald_liquid_short", "adjusting_liquid_short")
    else:
        assert margin > 0
        water = by_share(formula, change).watered(to)
        assert water.used == approx(moved.hydration_percent)
        assert water.optimum.low == approx(
            moved.before.hydration_percent + moved.shift.points.low + moved.gluten_points.low
        )


@given(to=st.floats(0, 40), more=st.floats(0.1, 4), had=st.sampled_from([None, 1.0]))
def test_gluten_is_added_as_far_as_the_scald_takes_it(to, more, had):
    bread = by_share(dough(), Change(gluten_percent=had), more_gluten=more)
    gluten = bread.gluten_percent(to)
    taken = to * bread.flour_protein_percent / INGREDIENTS["vital_gluten"].protein_percent
    assert gluten == approx(max(had or 0.0, min((had or 0.0) + more, taken)))
    moved = correct_hydration(dough(), INGREDIENTS["water"], Change(share_percent=to, gluten_percent=gluten))
    assert bread.watered(to).used == approx(moved.hydration_percent)


@given(to=SHARES, ratio=st.floats(0.5, 5), asked=st.none() | st.floats(60, 80))
def test_the_water_is_known_as_far_as_it_may_be_advised(to, ratio, asked):
    change = Change(liquid_ratio=ratio, hydration_percent=asked)
    bread = by_share(dough(), change)
    water, margin = bread.watered(to), water_margin(bread, to, "best")
    off = abs(water.used - water.optimum.best)
    assert (margin >= 0) is (water.room >= 0 and off <= WATER_VALID_POINTS + 1e-9) or abs(margin) < 1e-7
    assert (off == 0) is (asked is None) or off < 1e-9


def test_a_table_ends_where_it_ends():
    table = OwnTable.of([(10, 66), (20, 69), (45, 78)])
    bread = by_share(dough(), rule=table)
    assert water_margin(bread, 46, "best") == -inf and water_margin(bread, 9, "best") == -inf
    assert reach(lambda share: water_margin(bread, share, "best"), 20, 60).share_percent == approx(45)


@given(
    to=st.floats(0, 45),
    minutes=st.floats(60, 900),
    yeast=st.floats(0.3, 3),
    asked=st.none() | st.floats(62, 72),
)
def test_the_yeast_is_fed_where_its_budget_says_so(to, minutes, yeast, asked):
    formula, change = dough(yeast=yeast, milk=0), Change(hydration_percent=asked)
    through = Fermentation((Stage("proof", minutes, 30.0),), "ordinary", 8.0, 10.0)
    margin = sugar_margin(by_share(formula, change), through, to, "best")
    try:
        moved = correct_hydration(formula, INGREDIENTS["water"], change._replace(share_percent=to))
    except Refusal:
        return
    try:
        feeds = least_sucrose_that_feeds(moved.formula, through).best
    except Refusal:
        feeds = inf
    if abs(margin) > 1e-6:
        assert (margin > 0) is (feeds < 6)
    if margin >= 0:
        assert sugar_budget(moved.formula, *through).assessment == FED


def test_sugar_in_what_adjusts_the_water_counts():
    """The baker's own sweet drink makes up the water, so a higher share takes more of it."""
    drink = INGREDIENTS["water"].__class__(
        name="drink", label="drink", own=True, water_percent=88, sucrose_percent=10, is_liquid=True
    )
    formula = Formula((*dough(milk=0).lines, Line(drink, 50, "dough")))
    bread = ByShare(formula, break_down(formula), drink, Change(), PRIOR_SLOPE)
    moved = break_down(correct_hydration(formula, drink, Change(share_percent=30)).formula)
    found = bread.breakdown_at(30)
    assert found.sucrose_percent == approx(moved.sucrose_percent)
    assert found.hydration_percent == approx(moved.hydration_percent)
    assert found.sucrose_percent > break_down(formula).sucrose_percent


def test_ends_of_an_amount_against_the_most():
    amount = Estimate(400, 440, 500, "assumption")
    assert most_margin(amount, 440, "best") == approx(0, abs=1e-9)
    assert most_margin(amount, 440, "low") < 0 < most_margin(amount, 440, "high")
    assert most_margin(None, 440, "best") is None


def test_the_last_stage_moves_with_the_proof():
    through = Fermentation((Stage("bulk", 60, 28.0), Stage("proof", 65, 32.0)), "ordinary", 8.0, 10.0)
    minutes, slope = (Estimate(best - 1, best, best + 1, "assumption") for best in (60, 1.2))
    proof = ProofByShare(KnownProof(30, minutes, slope), 20.0)
    bulk, last = proof.stages_at(through, 35).stages
    assert bulk.minutes == 60
    # As much longer as the trials' own times at 35 are than at 20.
    assert last.minutes / 65 == approx(proof.minutes(35).best / proof.minutes(20).best)
    assert proof.stages_at(through, 20) == through
    steep = Estimate(9e4, 9e4, 9e4, "assumption")  # no dough's, but no overflow either
    assert ProofByShare(KnownProof(30, minutes, steep), 20.0).minutes(35) is None
    for known in (
        None,
        KnownProof(30, minutes, None),
        KnownProof(30, None, slope),
        KnownProof(30, minutes, steep),
    ):
        assert ProofByShare(known, 20.0).stages_at(through, 35) == through


def test_a_wave_is_followed_to_its_first_break():
    found = reach(lambda share: sin(share / 3) + 0.5, 4, 60)
    assert found.share_percent == approx(3 * (3.14159265 + 0.5235987756), abs=1e-5)


def test_a_limit_that_is_only_kept_above_the_start_is_found_there():
    assert reach(lambda share: min(share - 30, 45 - share), 20, 60).share_percent == approx(45)
    assert reach(lambda share: share - 30, 20, 60).state == NOT_REACHED
    falls = Limit("falls", lambda share: 35 - share)
    assert first_to_bind([Limit("rises", lambda share: share - 30), falls], 20, 60).binds == "falls"
    none = first_to_bind([falls, Limit("rises", lambda share: share - 40)], 20, 60)
    assert (none.share_percent, none.binds) == (None, "rises")
    assert first_to_bind([Limit("rises", lambda share: share - 40), falls], 20, 60).share_percent is None


@pytest.mark.parametrize("start", [0.0, 60.0])
def test_the_ends_of_the_range_are_looked_at(start):
    assert reach(lambda share: 60 - share, start, 60).state == NOT_REACHED
    assert reach(lambda share: -share, start, 60).share_percent == approx(0, abs=1e-6)
