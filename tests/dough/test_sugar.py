"""The sugar budget against a case solved by hand, scipy, a crude simulation and conservation laws."""

import itertools
from dataclasses import replace
from math import exp, hypot, inf, isfinite

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator

from scaldloaf.dough.estimate import exactly
from scaldloaf.dough.formula import SCALD, Formula, Line, break_down
from scaldloaf.dough.hydration import dough_water_g
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.sugar import FED, NO_YEAST, ON_MALTOSE, STARVED, inverted, sugar_budget
from scaldloaf.dough.sugar_course import (
    APPETITE,
    FRUCTOSE,
    GLUCOSE,
    HEXOSE_PER_MALTOSE,
    MALTOSE,
    Appetite,
    Enzymes,
    Event,
    Leg,
    Pools,
    State,
    amylase_pace,
    draw_down,
    flows,
    free_sugar_lasts_hours,
    maltose_makers,
    maltose_wish,
    next_event,
    opens_after,
)
from scaldloaf.dough.sugar_stages import Stage
from scaldloaf.dough.yeast import (
    HEXOSE_PER_SUCROSE,
    ORDINARY,
    SUGAR_TOLERANT,
    TEMPERATURE_POINTS,
    brake_band,
    dough_pressure_atm,
    osmotic_brake,
    sugar_demand,
    temperature_band,
    temperature_factor,
)
from scaldloaf.reference import INGREDIENTS, Ingredient

STRAIGHT = (Stage("bulk", 90, 28), Stage("bench", 30, 27), Stage("proof", 60, 32))


def formula(scald=0.0, **percents) -> Formula:
    """A dough of 100 g of flour, ``scald`` of it scalded 1:1, and its other lines."""
    amounts = {"water": 65.0, "sucrose": 6.0, "salt": 1.8, "instant_yeast": 1.0, **percents}
    lines = [Line(INGREDIENTS["bread_flour"], 100 - scald)]
    if scald:
        lines += [Line(INGREDIENTS["bread_flour"], scald, SCALD), Line(INGREDIENTS["water"], scald, SCALD)]
        amounts["water"] -= scald
    lines += [Line(INGREDIENTS[name], mass) for name, mass in amounts.items() if mass]
    return Formula(tuple(lines))


def balance(start: Pools, enzymes: Enzymes, hours: float, final) -> float:
    """Hexose present and formed, less hexose left and used: must be zero."""
    glucose, fructose, maltose, used, _ = final
    return start.total + enzymes.made(hours) - glucose - fructose - maltose - used


# ---- Solved by hand ----------------------------------------------------------------------------


@pytest.mark.parametrize("sucrose, yeast", list(itertools.product((1.0, 6.0, 20.0), (0.5, 3.0, 8.0))))
def test_free_sugar_at_a_constant_rate_lasts_as_long_as_division_says(sucrose, yeast):
    hexose = HEXOSE_PER_SUCROSE * sucrose
    course = draw_down(
        Pools(hexose / 2, hexose / 2, 0.0),
        [Leg(200.0, sugar_demand(yeast, exactly(1.0), 30).best)],
        Enzymes(),
    )
    expected = 1.0526 * sucrose / (0.32 * yeast)
    assert course.free_sugar_spent_hours == pytest.approx(expected, rel=1e-4)
    assert course.final.used == pytest.approx(hexose, rel=1e-12)
    assert course.final.unmet == pytest.approx(
        (200 - course.free_sugar_spent_hours) * 0.32 * yeast, rel=1e-12
    )
    assert course.maltose_drawn_hours is None


def test_glucose_goes_first_then_fructose_alone():
    course = draw_down(Pools(1.3, 1.3, 0.0), [Leg(10.0, 1.0)], Enzymes(), replace(APPETITE, switch=0.0))
    assert course.glucose_spent_hours == pytest.approx(1.3 / 0.65)
    assert course.fructose_spent_hours == pytest.approx(2.6)


def test_maltose_waits_for_the_lag_when_sugar_is_gone_before():
    course = draw_down(Pools(0.25, 0.25, 1.0), [Leg(3.0, 1.0)], Enzymes())
    assert course.free_sugar_spent_hours == pytest.approx(0.5)
    assert course.maltose_drawn_hours == pytest.approx(1.25)
    assert course.maltose_spent_hours == pytest.approx(2.25)
    assert course.final.unmet == pytest.approx(0.75 + 0.75)


def test_maltose_waits_for_the_switch_when_the_lag_is_over():
    course = draw_down(Pools(1.15, 1.15, 5.0), [Leg(4.0, 1.0)], Enzymes())
    assert course.maltose_drawn_hours == pytest.approx(2.0)
    assert course.free_sugar_spent_hours == pytest.approx(2.0 + 0.3 / 0.5)
    assert course.final.maltose == pytest.approx(5.0 - 0.3 - 1.4)


def test_a_dry_maltose_pool_gives_what_is_made_and_no_more():
    enzymes = Enzymes(((2.0, 0.5),))
    course = draw_down(Pools(0.0, 0.0, 0.0), [Leg(5.0, 3.0)], enzymes, replace(APPETITE, lag_hours=0.0))
    assert course.final.maltose == 0
    assert course.final.used == pytest.approx(2 * (1 - exp(-2.5)), rel=1e-12)
    assert course.final.unmet == pytest.approx(15 - 2 * (1 - exp(-2.5)), rel=1e-12)
    assert course.unmet_rate_at_end == pytest.approx(3 - exp(-2.5), rel=1e-12)


def test_free_sugar_makes_up_for_a_dry_maltose_pool():
    enzymes = Enzymes(((0.05, 0.5),))
    course = draw_down(Pools(0.1, 0.1, 0.0), [Leg(0.5, 0.2)], enzymes, replace(APPETITE, lag_hours=0.0))
    made = 0.05 * (1 - exp(-0.25))
    expected = (0.1 - 0.65 * (0.1 - made), 0.1 - 0.35 * (0.1 - made), 0.0)
    assert course.final[:3] == pytest.approx(expected, abs=1e-12)
    assert course.final[3:] == pytest.approx((0.1, 0.0))


def test_maltose_gathers_again_when_a_cold_stage_follows_hunger():
    enzymes = Enzymes(((2.0, 0.5),))
    course = draw_down(Pools(0.1, 0.1, 0.1), [Leg(3.0, 2.0), Leg(5.0, 0.05)], enzymes)
    assert course.maltose_spent_hours < 3
    assert course.final.maltose == pytest.approx(enzymes.made(2, 3) - 0.1)
    assert course.unmet_rate_at_end == 0


def test_maltose_comes_from_damaged_starch_and_from_the_scald():
    def after(hours, damaged, share):
        return maltose_makers(damaged, share).made(hours) / HEXOSE_PER_MALTOSE

    assert after(2, 8, 0) == pytest.approx(2.5 * (1 - exp(-1)), rel=1e-12)
    assert after(2, 4, 0) == pytest.approx(after(2, 8, 0) / 2, rel=1e-12)
    assert after(1e3, 0, 40) == pytest.approx(0.40 * 18, rel=1e-12)
    assert after(2, 0, 40) > 0.9 * 0.40 * 18  # open starch is quick
    assert after(2, 8, 40) == pytest.approx(after(2, 8, 0) + after(2, 0, 40), rel=1e-12)
    assert maltose_makers(0, 0).made(10) == 0


# ---- One step of the course --------------------------------------------------------------------


@pytest.mark.parametrize("glucose, fructose", [(0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (1.0, 1.0)])
@pytest.mark.parametrize("opened, dry", [(False, False), (True, False), (True, True)])
def test_what_leaves_the_pools_is_used_and_all_demand_is_used_or_unmet(glucose, fructose, opened, dry):
    state = State(glucose, fructose, 0.0 if dry else 2.0)
    wish = maltose_wish(state, 0.8, APPETITE, opened)
    slope, gain = flows(state, 0.8, wish, APPETITE.glucose_share, dry)
    assert slope.glucose + slope.fructose + slope.maltose + slope.used == pytest.approx(0)
    assert slope.used + slope.unmet == pytest.approx(0.8)
    # maltose from the enzymes goes to its pool, or straight to the yeast when the pool is dry
    assert gain.glucose + gain.fructose + gain.maltose + gain.used == 1
    assert gain.maltose == (0 if dry else 1)


def test_the_first_event_is_the_nearest_and_names_every_pool_that_empties():
    enzymes, slope, gain = Enzymes(), State(-1.0, -2.0, -1.0), State(0.0, 0.0, 1.0)

    def first(*pools, end=9.0, opens=inf):
        return next_event(State(*pools), (slope, gain), enzymes, 5.0, end, opens)

    assert first(1.0, 3.0, 4.0) == Event(1.0, (GLUCOSE,), False)
    assert first(1.0, 2.0, 1.0) == Event(1.0, (GLUCOSE, FRUCTOSE, MALTOSE), False)
    assert first(3.0, 4.0, 4.0, opens=0.5) == Event(0.5, (), True)
    assert first(3.0, 4.0, 4.0, end=5.25) == Event(0.25, (), False)


def test_maltose_opens_when_both_the_switch_and_the_lag_are_passed():
    assert opens_after(State(1.0, 0.3, 1.0), 0.5, APPETITE, 1.25) == pytest.approx(2.0)
    assert opens_after(State(0.1, 0.1, 1.0), 0.5, APPETITE, 1.0) == pytest.approx(0.25)
    assert opens_after(State(1.0, 0.3, 1.0), 0.0, APPETITE, 1.0) == inf


# ---- Two other routes to the same numbers ------------------------------------------------------


def _events(state, there, switch):
    """The ends of a piece: a pool runs dry, or the free sugar falls to where maltose opens."""
    events = [lambda t, y, index=index: y[index] for index in range(3) if there[index]]
    if state[0] + state[1] > switch + 1e-11:
        events.append(lambda t, y: y[0] + y[1] - switch)
    for event in events:
        event.terminal, event.direction = True, -1
    return events


def rates_from(enzymes: Enzymes, pace: float, begins: float, worked: float):
    """Maltose made per hour, by the clock, at a pace that began at an hour with work done before it."""

    def rate(hours):
        ripe = worked + pace * (hours - begins)
        return sum(ceiling * each * pace * exp(-each * ripe) for ceiling, each in enzymes.substrates)

    return rate


def by_scipy(pools: Pools, legs, enzymes: Enzymes, appetite: Appetite):
    """The same rules as differential equations, solved by scipy in pieces between events."""
    worked = 0.0
    state, now = [pools.glucose, pools.fructose, pools.maltose, 0.0, 0.0], 0.0

    def piece(demand, opened, glucose_there, fructose_there, dry, made_per_hour):
        def rates(t, y):
            free_there = glucose_there or fructose_there
            wish = demand * (appetite.maltose_share if free_there else 1) if opened else 0.0
            from_maltose = min(wish, made_per_hour(t)) if dry else wish
            from_free = demand - from_maltose if free_there else 0.0
            share = appetite.glucose_share if glucose_there and fructose_there else float(glucose_there)
            return [
                -share * from_free,
                -(1 - share) * from_free,
                made_per_hour(t) - from_maltose,
                from_free + from_maltose,
                demand - from_free - from_maltose,
            ]

        return rates

    opened = False
    for end, demand, pace in legs:
        made_per_hour = rates_from(enzymes, pace, now, worked)
        worked += pace * (end - now)
        while now < end - 1e-13:
            opened = opened or (
                state[0] + state[1] <= appetite.switch + 1e-11 and now >= appetite.lag_hours - 1e-11
            )
            there = [pool > 1e-10 for pool in state[:3]]
            wish = demand * (appetite.maltose_share if there[0] or there[1] else 1)
            dry = opened and not there[2] and made_per_hour(now) <= wish
            may_empty = [*there[:2], there[2] or (made_per_hour(now) > wish > 0 and opened)]
            stop = end
            if not opened and now < appetite.lag_hours - 1e-11:
                stop = min(end, appetite.lag_hours)
            solved = solve_ivp(
                piece(demand, opened, there[0], there[1], dry, made_per_hour),
                (now, stop),
                state,
                method="DOP853",
                rtol=1e-12,
                atol=1e-13,
                events=_events(state, may_empty, appetite.switch),
                max_step=0.25,
            )
            assert solved.success, solved.message
            now, state = float(solved.t[-1]), [float(value[-1]) for value in solved.y]
            if dry:
                state[2] = 0.0
    return state


def by_small_steps(pools: Pools, legs, enzymes: Enzymes, appetite: Appetite, step=1 / 7200):
    """Steps of half a second without events; each demand is met from the sugar that is left."""
    glucose, fructose, maltose = pools.glucose, pools.fructose, pools.maltose
    used = unmet = 0.0
    count = round(legs[-1].ends / step)
    ends = iter(legs)
    end, demand, pace = next(ends)
    worked = 0.0
    for index in range(count):
        now = index * step
        while now >= end - 1e-12:
            end, demand, pace = next(ends)
        maltose += enzymes.made(step * pace, worked)
        worked += step * pace
        want = demand * step
        opened = glucose + fructose <= appetite.switch and now >= appetite.lag_hours
        share = 0.0 if not opened else appetite.maltose_share if glucose + fructose > 0 else 1.0
        from_maltose = min(maltose, want * share)
        maltose -= from_maltose
        from_glucose = min(glucose, (want - from_maltose) * (appetite.glucose_share if fructose > 0 else 1))
        from_fructose = min(fructose, want - from_maltose - from_glucose)
        from_glucose = min(glucose, want - from_maltose - from_fructose)
        glucose, fructose = glucose - from_glucose, fructose - from_fructose
        used += from_glucose + from_fructose + from_maltose
        unmet += want - from_glucose - from_fructose - from_maltose
    return glucose, fructose, maltose, used, unmet


def worked_hours(legs) -> float:
    """Hours of the enzymes, as at 30 degC, to the end of the legs."""
    begins = [0.0, *(leg.ends for leg in legs)]
    return sum(leg.pace * (leg.ends - begin) for leg, begin in zip(legs, begins, strict=False))


LEGS = {
    "steady": [Leg(3.0, 1.0)],
    "warming": [Leg(1.5, 0.7, 0.8), Leg(2.0, 0.6, 0.7), Leg(3.5, 1.6, 1.4)],
    "cooling": [Leg(1.0, 1.8, 1.2), Leg(6.0, 0.25, 0.25)],
    "retarded": [Leg(0.75, 0.9, 0.9), Leg(12.0, 0.08, 0.17), Leg(14.0, 1.2, 1.1)],
    "chilled": [Leg(2.5, 1.8), Leg(9.0, 0.05, 0.15)],
    "cold": [Leg(20.0, 0.06, 0.17)],
}
GRID = [
    (Pools(glucose, fructose, maltose), LEGS[legs], maltose_makers(damaged, share))
    for (glucose, fructose, maltose), legs, (damaged, share) in itertools.product(
        [
            (0.62, 0.62, 0.1),
            (1.2, 1.2, 0.1),
            (3.8, 3.8, 0.1),
            (0.4, 2.0, 2.0),
            (0.1, 0.1, 0.0),
            (0.15, 0.0, 0.0),
        ],
        LEGS,
        [(0, 0), (0.2, 0), (8, 0), (8, 20), (12, 40)],
    )
]


@pytest.mark.parametrize("pools, legs, enzymes", GRID)
def test_course_agrees_with_scipy(pools, legs, enzymes):
    ours = draw_down(pools, legs, enzymes)
    assert ours.final == pytest.approx(by_scipy(pools, legs, enzymes, APPETITE), rel=1e-8, abs=1e-8)
    assert abs(balance(pools, enzymes, worked_hours(legs), ours.final)) < 1e-9


@pytest.mark.parametrize("pools, legs, enzymes", GRID[::7])
def test_course_agrees_with_a_simulation_that_knows_no_events(pools, legs, enzymes):
    ours = draw_down(pools, legs, enzymes)
    assert ours.final == pytest.approx(by_small_steps(pools, legs, enzymes, APPETITE), abs=2e-3)


# ---- Laws -------------------------------------------------------------------------

pool = st.one_of(st.just(0.0), st.floats(1e-6, 30))
all_pools = st.builds(Pools, pool, pool, pool)
all_legs = st.lists(
    st.tuples(st.floats(0.01, 20), st.one_of(st.just(0.0), st.floats(1e-4, 20)), st.floats(0.1, 3)),
    min_size=1,
    max_size=6,
).map(
    lambda steps: [
        Leg(end, demand, pace)
        for end, (_, demand, pace) in zip(
            itertools.accumulate(hours for hours, *_ in steps), steps, strict=True
        )
    ]
)
all_enzymes = st.builds(maltose_makers, st.floats(0, 25), st.floats(0, 100))
all_appetites = st.builds(Appetite, st.floats(0.5, 1), st.floats(0, 5), st.floats(0, 2), st.floats(0, 1))


@given(all_pools, all_legs, all_enzymes, all_appetites)
def test_no_pool_below_zero_and_no_hexose_lost(pools, legs, enzymes, appetite):
    course = draw_down(pools, legs, enzymes, appetite)
    previous = 0.0
    for phase in course.phases:
        assert phase.begins == previous and phase.ends > phase.begins
        previous = phase.ends
        for hours in (phase.begins, (phase.begins + phase.ends) / 2, phase.ends):
            state = phase.at(hours)
            assert min(state) >= 0
            worked = phase.enzymes.ahead + phase.enzymes.pace * hours
            assert abs(balance(pools, enzymes, worked, state)) < 1e-9
            # at() cuts negative pools to zero; without that they may only be negative by rounding
            since, made = hours - phase.begins, phase.enzymes.made(hours - phase.begins, phase.begins)
            bare = [
                start + slope * since + gain * made
                for start, slope, gain in zip(phase.start, phase.slope, phase.gain, strict=True)
            ]
            assert min(bare) > -1e-11
    assert previous == legs[-1].ends
    assert abs(balance(pools, enzymes, worked_hours(legs), course.final)) < 1e-9
    begins = [0.0, *(leg.ends for leg in legs[:-1])]
    demand_total = sum(demand * (end - begin) for (end, demand, _), begin in zip(legs, begins, strict=True))
    assert course.final.used + course.final.unmet == pytest.approx(demand_total, rel=1e-9, abs=1e-9)


@given(all_pools, all_legs, all_enzymes, st.floats(0, 20))
def test_more_sugar_never_runs_out_sooner_at_the_same_pace(pools, legs, enzymes, more):
    def spent(extra):
        sweeter = Pools(pools.glucose + extra / 2, pools.fructose + extra / 2, pools.maltose)
        hours = draw_down(sweeter, legs, enzymes).free_sugar_spent_hours
        return inf if hours is None else hours

    assert spent(more) >= spent(0.0) - 1e-9


@given(all_pools, all_legs, all_enzymes, st.floats(1, 5))
def test_hungrier_yeast_never_uses_less(pools, legs, enzymes, factor):
    slower = draw_down(pools, legs, enzymes)
    faster = draw_down(pools, [leg._replace(demand=leg.demand * factor) for leg in legs], enzymes)
    assert faster.final.used >= slower.final.used - 1e-9
    if slower.free_sugar_spent_hours is not None:
        assert faster.free_sugar_spent_hours <= slower.free_sugar_spent_hours + 1e-9


@given(st.floats(0, 30), st.floats(0.05, 4), st.floats(0, 40), st.floats(0, 45), st.floats(5, 1000))
def test_budget_of_any_formula_is_finite_and_in_order(sucrose, yeast, share, temperature, minutes):
    budget = sugar_budget(
        formula(share, water=75.0, sucrose=sucrose, instant_yeast=yeast),
        [Stage("bulk", minutes, temperature), Stage("proof", 60, 30)],
    )
    estimates = [budget.used_percent, budget.sweetness_percent, budget.gas_cm3]
    for residual in budget.residual.values():
        estimates += [residual.percent_of_flour, residual.percent_of_bread]
    for estimate in estimates:
        assert 0 <= estimate.low <= estimate.best <= estimate.high and isfinite(estimate.high)
    hours = [sample.hours for sample in budget.timeline]
    assert hours == sorted(set(hours)) and hours[0] == 0 and hours[-1] == budget.hours
    assert abs(balance(budget.start, budget.enzymes, budget.enzyme_hours, budget.course.final)) < 1e-9
    by_stage = sum(stage.used_percent for stage in budget.stages)
    assert by_stage == pytest.approx(budget.used_percent.best, abs=1e-9)


@given(st.floats(0, 12), st.floats(0.1, 2), st.floats(1, 3))
def test_more_yeast_never_uses_less_of_a_formula(sucrose, yeast, factor):
    some = sugar_budget(formula(sucrose=sucrose, instant_yeast=yeast), STRAIGHT)
    more = sugar_budget(formula(sucrose=sucrose, instant_yeast=yeast * factor), STRAIGHT)
    assert more.used_percent.best >= some.used_percent.best - 1e-9
    assert more.residual["total"].percent_of_flour.best <= some.residual["total"].percent_of_flour.best + 1e-9


@given(st.floats(1e-6, 3e7), st.floats(1e-6, 3e7), st.floats(1e-6, 3e7))  # beyond it there is almost no flour
def test_absurd_amounts_cause_no_endless_loop_and_no_loss(sucrose, yeast, water):
    try:
        budget = sugar_budget(formula(sucrose=sucrose, instant_yeast=yeast, water=water), STRAIGHT)
    except Refusal as refusal:
        assert refusal.code in ("bake_loss_above_water", "too_little_water")
        return
    scale = budget.start.total + budget.enzymes.made(budget.enzyme_hours)
    assert abs(balance(budget.start, budget.enzymes, budget.enzyme_hours, budget.course.final)) < 1e-9 * scale


# ---- The parts ---------------------------------------------------------------------------------


def test_brake_runs_through_its_points_and_stops_at_its_floor():
    for pressure, rate in (
        (0, 1),
        (26, 1),
        (37, 1),
        (43, 0.875),
        (49, 0.75),
        (63, 0.625),
        (77, 0.5),
        (500, 0.3),
    ):
        assert osmotic_brake(pressure) == pytest.approx(rate)
    for pressure, rate in ((0, 1), (49, 1), (69, 0.85), (89, 0.7), (109, 0.55), (500, 0.3)):
        assert osmotic_brake(pressure, SUGAR_TOLERANT) == pytest.approx(rate)


@given(st.floats(0, 1000), st.floats(0, 1000), st.sampled_from([ORDINARY, SUGAR_TOLERANT]))
def test_more_pressure_never_quickens_yeast(pressure, more, tolerance):
    assert osmotic_brake(pressure + more, tolerance) <= osmotic_brake(pressure, tolerance)
    assert osmotic_brake(pressure, SUGAR_TOLERANT) >= osmotic_brake(pressure, ORDINARY)


def test_the_temperature_curve_is_the_monotone_cubic_through_its_points():
    """Against scipy's PCHIP, and at the points themselves."""
    degrees, rates = zip(*TEMPERATURE_POINTS, strict=True)
    assert degrees == (0, 10, 20, 30, 36, 40, 43)
    assert rates == pytest.approx((0.0857, 0.2028, 0.48, 1, 1.10, 0.64, 0), abs=1e-4)
    curve = PchipInterpolator(degrees, rates)
    for tenth in range(430):
        assert temperature_factor(tenth / 10) == pytest.approx(float(curve(tenth / 10)), abs=1e-12)
    assert temperature_factor(43) == temperature_factor(45) == 0


def test_the_temperature_curve_rises_to_its_best_and_falls_from_there():
    rates = [temperature_factor(tenth / 10) for tenth in range(451)]
    assert rates[:361] == sorted(rates[:361]) and rates[360:] == sorted(rates[360:], reverse=True)


@given(st.floats(0, 45))
def test_the_band_of_the_temperature_holds_its_best(degrees):
    band = temperature_band(degrees)
    assert 0 <= band.low <= band.best == temperature_factor(degrees) <= band.high <= 1.10
    assert (band.low == band.best == band.high) is (20 <= degrees <= 36)


def test_the_band_widens_in_the_cold_and_in_the_heat():
    cold, cool = temperature_band(0), temperature_band(10)
    assert (cool.low, cool.high) == pytest.approx(
        (0.2028 * (1.09 / 1.12) ** 10, 0.2028 * (1.09 / 1.07) ** 10), rel=1e-3
    )
    assert cold.high / cold.low > cool.high / cool.low > 1.5
    # gassing may peak up to 4 degrees later than growth
    assert temperature_band(38).high == temperature_band(40).high == 1.10
    assert (
        temperature_band(44).high == pytest.approx(temperature_factor(40)) and temperature_band(44).best == 0
    )


@pytest.mark.parametrize("degrees, outside", [(19.9, True), (20, False), (36, False), (36.1, True)])
def test_where_the_rate_has_a_band_of_its_own(degrees, outside):
    assert Stage("", 1, degrees).outside_rate_range is outside


def test_the_demand_has_the_band_of_its_causes():
    plain = sugar_demand(3.0, exactly(1.0), 30)
    assert plain.best == pytest.approx(0.32 * 3)
    assert (plain.low, plain.high) == pytest.approx((0.75 * plain.best, 1.25 * plain.best))
    sweet = sugar_demand(3.0, brake_band(49), 30)
    assert sweet.best == pytest.approx(0.75 * plain.best)
    assert sweet.low == pytest.approx(plain.best * (0.75 - hypot(0.25 * 0.75, 0.75 - 0.3)))
    cold = sugar_demand(3.0, exactly(1.0), 4)
    assert cold.low / cold.best < 0.6 and cold.high / cold.best > 1.4
    assert sugar_demand(3.0, exactly(1.0), 44).best == 0 < sugar_demand(3.0, exactly(1.0), 44).high


def test_amylases_double_in_ten_degrees_and_keep_their_ceiling_from_stage_to_stage():
    assert [amylase_pace(degrees) for degrees in (10, 20, 30, 40)] == pytest.approx([0.25, 0.5, 1, 2])
    plain = formula(sucrose=0, instant_yeast=0)

    def maltose(*stages):
        found = sugar_budget(plain, [Stage("", *each) for each in stages])
        return found.residual["maltose"].percent_of_flour.best - 0.1

    assert maltose((120, 30)) == pytest.approx(2.5 * (1 - exp(-1)))
    assert maltose((120, 20)) == pytest.approx(2.5 * (1 - exp(-0.5)))
    # what one stage does not reach is left for the next: in all it is the ceiling's, in any order
    assert maltose((60, 20), (60, 40)) == pytest.approx(2.5 * (1 - exp(-0.25 - 1)))
    assert maltose((60, 40), (60, 20)) == pytest.approx(maltose((60, 20), (60, 40)))
    assert maltose((1440, 4), (1440, 4), (1440, 4)) < 2.5


def test_free_sugar_lasts_as_if_the_last_stage_went_on():
    short, long = ([Stage("proof", minutes, 28)] for minutes in (60, 1440))
    beyond = sugar_budget(formula(), short).free_sugar_lasts_hours
    within = sugar_budget(formula(), long)
    assert beyond.best == pytest.approx(within.free_sugar_spent_hours)
    assert beyond.low == pytest.approx(within.free_sugar_spent_earliest_hours)
    assert beyond.low < beyond.best < beyond.high
    assert within.free_sugar_lasts_hours == pytest.approx(beyond)
    cold = sugar_budget(formula(), [Stage("cold", 60, 4)]).free_sugar_lasts_hours
    assert cold.best == cold.high == 24
    longer = sugar_budget(formula(instant_yeast=0.05), [Stage("cold", 72 * 60, 8)])
    assert longer.free_sugar_lasts_hours.best == 24
    assert sugar_budget(formula(instant_yeast=0), short).free_sugar_lasts_hours is None


def test_the_wait_for_maltose_goes_on_beyond_the_last_leg():
    """By hand: 0.4 % is left after 1 h, 0.3 % after 1.5 h; from there maltose meets half of the demand."""
    leg = Leg(1.0, 0.2)
    course = draw_down(Pools(0.3, 0.3, 2.0), [leg], Enzymes())
    assert free_sugar_lasts_hours(course, leg) == pytest.approx(1.5 + 0.3 / 0.1)


@given(all_pools, all_legs, all_enzymes)
def test_free_sugar_that_outlasts_the_legs_is_the_course_of_longer_legs(pools, legs, enzymes):
    last = legs[-1]
    course = draw_down(pools, legs, enzymes)
    longer = draw_down(pools, [*legs, last._replace(ends=last.ends + 24)], enzymes)
    spent = longer.free_sugar_spent_hours
    expected = 24 if spent is None else min(24, spent)
    assert free_sugar_lasts_hours(course, last) == pytest.approx(expected, rel=1e-6, abs=1e-6)


def test_yeast_in_the_scald_is_dead():
    living = formula(20, water=69.0)
    yeast = INGREDIENTS["instant_yeast"]
    dead = Formula((*living.lines, Line(yeast, 5.0, SCALD)))
    assert break_down(dead).instant_yeast_percent == break_down(living).instant_yeast_percent == 1
    assert sugar_budget(dead, STRAIGHT).used_percent == sugar_budget(living, STRAIGHT).used_percent
    only = Formula((*formula(20, water=69.0, instant_yeast=0).lines, Line(yeast, 5.0, SCALD)))
    assert sugar_budget(only, STRAIGHT).assessment == NO_YEAST


def test_malt_with_enzymes_widens_what_a_scald_may_make_of_it():
    plain, malted = (
        sugar_budget(formula(20, water=69.0, **more), STRAIGHT)
        for more in ({}, {"diastatic_malt_flour": 0.5})
    )
    of_plain, of_malted = (each.residual["maltose"].percent_of_flour for each in (plain, malted))
    assert malted.malted_scald and not plain.malted_scald
    assert of_malted.best == pytest.approx(of_plain.best) and of_malted.high > 1.2 * of_plain.high
    assert not sugar_budget(formula(diastatic_malt_flour=0.5), STRAIGHT).malted_scald


@given(st.floats(0, 300), st.floats(0, 40), st.floats(0, 120), st.floats(0, 40))
def test_the_sugars_and_the_water_of_a_bread_are_never_more_than_the_bread(sucrose, share, more_water, loss):
    """At the largest loss accepted nothing but solids is left, and the sugars are a part of them."""
    of = formula(share, water=share + more_water, sucrose=sucrose)
    try:
        budget = sugar_budget(of, STRAIGHT, bake_loss_percent=loss)
    except Refusal as refusal:
        assert refusal.code in ("bake_loss_above_water", "too_little_water", "no_water")
        if refusal.code != "bake_loss_above_water":
            return
        assert refusal.argument == "bake_loss_percent" and refusal.nearest < loss
        budget = sugar_budget(of, STRAIGHT, bake_loss_percent=refusal.nearest)
        loss = refusal.nearest
    split = (HEXOSE_PER_SUCROSE - 1) * (sucrose + 1.3)  # water that became sugar
    water = dough_water_g(of) - split - budget.breakdown.dough_mass_g * loss / 100
    sugars = budget.residual["total"].percent_of_bread.best * budget.bread_mass_g / 100
    assert sugars + water <= budget.bread_mass_g + 1e-6


def test_a_bake_loss_above_the_water_is_refused_with_the_largest_that_works():
    dry = formula(water=8.0, sucrose=200.0)
    with pytest.raises(Refusal) as caught:
        sugar_budget(dry, STRAIGHT, bake_loss_percent=30)
    assert (caught.value.argument, caught.value.code) == ("bake_loss_percent", "bake_loss_above_water")
    sugar_budget(dry, STRAIGHT, bake_loss_percent=caught.value.nearest)
    with pytest.raises(Refusal) as caught:
        sugar_budget(formula(water=0.5, sucrose=300.0), STRAIGHT, bake_loss_percent=0)
    assert (caught.value.argument, caught.value.code) == ("formula.lines", "too_little_water")


def test_sugars_of_honey_and_milk_go_to_their_own_pools():
    honey, milk = INGREDIENTS["honey"], INGREDIENTS["whole_milk"]
    plain = inverted(break_down(formula(sucrose=0)))
    sweet = inverted(break_down(formula(sucrose=0, honey=10, whole_milk=30)))
    half = HEXOSE_PER_SUCROSE * honey.sucrose_percent / 20
    assert sweet.glucose - plain.glucose == pytest.approx(honey.glucose_percent / 10 + half)
    assert sweet.fructose - plain.fructose == pytest.approx(honey.fructose_percent / 10 + half)
    assert sweet.maltose - plain.maltose == pytest.approx(HEXOSE_PER_MALTOSE * honey.maltose_percent / 10)
    budget = sugar_budget(formula(whole_milk=30), STRAIGHT)
    lactose = budget.residual["lactose"].percent_of_flour
    assert lactose.low == lactose.best == lactose.high == pytest.approx(0.30 * milk.lactose_percent)


def test_pressure_counts_lactose_and_leaves_out_the_flour():
    seen = break_down(formula(sucrose=0, salt=0, instant_yeast=0))
    assert dough_pressure_atm(seen) == 0
    milky = break_down(formula(sucrose=0, salt=0, instant_yeast=0, skim_milk_powder=5))
    assert dough_pressure_atm(milky) > 0


# ---- The budget of a formula -------------------------------------------------------------------


def test_residuals_sweetness_and_gas_follow_from_the_final_pools():
    budget = sugar_budget(formula(20, water=69.0), STRAIGHT, bake_loss_percent=12)
    glucose, fructose, maltose, used, unmet = budget.course.final
    bread = budget.breakdown.dough_mass_g * 0.88
    assert budget.bread_mass_g == pytest.approx(bread)
    assert budget.residual["maltose"].percent_of_flour.best == pytest.approx(maltose / 1.0526, rel=1e-4)
    assert budget.residual["glucose"].percent_of_bread.best == pytest.approx(glucose * 100 / bread)
    assert budget.residual["total"].percent_of_flour.best == pytest.approx(
        glucose + fructose + maltose / 1.05263
    )
    expected = (0.74 * glucose + 1.3 * fructose + 0.4 * maltose / 1.05263) * 100 / bread
    assert budget.sweetness_percent.best == pytest.approx(expected)
    assert budget.gas_cm3_per_100_g_flour.best == pytest.approx(276 * used)
    assert budget.gas_cm3.best == pytest.approx(276 * used * budget.breakdown.flour_g / 100)
    assert budget.unmet_percent == unmet == 0
    assert budget.timeline[-1].used_percent == used == budget.used_percent.best


def test_a_bigger_batch_makes_more_gas_and_the_same_percentages():
    small = formula()
    batch = Formula(tuple(Line(line.ingredient, line.mass_g * 7, line.part) for line in small.lines))
    one, seven = sugar_budget(small, STRAIGHT), sugar_budget(batch, STRAIGHT)
    assert seven.gas_cm3.best == pytest.approx(7 * one.gas_cm3.best)
    assert seven.sweetness_percent.best == pytest.approx(one.sweetness_percent.best)
    assert seven.bread_mass_g == pytest.approx(7 * one.bread_mass_g)


def test_the_band_holds_a_quarter_on_what_is_used_while_sugar_lasts():
    used = sugar_budget(formula(), STRAIGHT).used_percent
    assert used.low == pytest.approx(0.75 * used.best) and used.high == pytest.approx(1.25 * used.best)
    maltose = sugar_budget(formula(), STRAIGHT).residual["maltose"].percent_of_flour
    assert maltose.high - 0.1 == pytest.approx(2 * (maltose.best - 0.1), rel=1e-6)
    assert maltose.low - 0.1 == pytest.approx((maltose.best - 0.1) / 2, rel=1e-6)


def test_times_of_running_short_have_a_band():
    budget = sugar_budget(formula(sucrose=1.0, instant_yeast=1.5), STRAIGHT)
    assert (
        budget.free_sugar_spent_earliest_hours
        < budget.free_sugar_spent_hours
        < budget.free_sugar_spent_latest_hours
    )
    open_ended = sugar_budget(formula(sucrose=2.2, instant_yeast=1.5), STRAIGHT)
    assert open_ended.free_sugar_spent_hours is None and open_ended.free_sugar_spent_latest_hours is None
    assert 2 < open_ended.free_sugar_spent_earliest_hours < 3


@pytest.mark.parametrize(
    "amounts, assessment",
    [
        ({"sucrose": 6}, FED),
        ({"sucrose": 0, "instant_yeast": 1.0}, ON_MALTOSE),
        ({"sucrose": 0, "instant_yeast": 3.0}, STARVED),
        ({"instant_yeast": 0}, NO_YEAST),
    ],
)
def test_assessment_describes_the_yeast_at_the_end(amounts, assessment):
    budget = sugar_budget(formula(**amounts), STRAIGHT)
    assert budget.assessment == assessment
    last, before = budget.timeline[-1], budget.timeline[-2]
    assert (last.unmet_percent > before.unmet_percent) is (assessment == STARVED)


def test_without_yeast_nothing_is_split_or_used_and_maltose_still_forms():
    budget = sugar_budget(formula(instant_yeast=0), STRAIGHT)
    assert budget.used_percent.high == budget.unmet_percent == budget.gas_cm3.high == 0
    assert budget.residual["sucrose"].percent_of_flour.best == pytest.approx(6 + 1.3)
    assert budget.residual["maltose"].percent_of_flour.best == pytest.approx(
        0.1 + 2.5 * (1 - exp(-0.5 * budget.enzyme_hours))
    )
    assert budget.enzyme_hours == pytest.approx(1.5 * 2**-0.2 + 0.5 * 2**-0.3 + 2**0.2)
    assert budget.osmotic_pressure_atm is budget.brake is budget.free_sugar_spent_hours is None


def test_every_boundary_and_event_is_sampled():
    budget = sugar_budget(formula(sucrose=1.0, instant_yeast=1.5), STRAIGHT)
    events = {sample.hours: sample.event for sample in budget.timeline if sample.event}
    assert events[0.0] == "bulk begins" and events[1.5] == "bench begins" and events[2.0] == "proof begins"
    assert events[3.0] == "end of the last stage"
    assert "maltose drawn" in events[budget.maltose_drawn_hours]
    spent = next(sample for sample in budget.timeline if sample.hours == budget.free_sugar_spent_hours)
    assert spent.glucose_percent == spent.fructose_percent == 0
    assert 20 < len(budget.timeline) < 60
    assert 20 < len(sugar_budget(formula(), [Stage("cold", 72 * 60, 4)]).timeline) < 60


def test_sugar_tolerant_yeast_works_faster_in_sweet_dough_and_is_advised_there():
    sweet = formula(sucrose=20.0, water=60.0)
    ordinary, tolerant = sugar_budget(sweet, STRAIGHT), sugar_budget(sweet, STRAIGHT, SUGAR_TOLERANT)
    assert tolerant.used_percent.best > 1.3 * ordinary.used_percent.best
    assert ordinary.sugar_tolerant_advised and not tolerant.sugar_tolerant_advised
    assert not sugar_budget(formula(sucrose=7.0), STRAIGHT).sugar_tolerant_advised


def test_a_stage_cut_in_two_is_the_same_stage():
    whole = sugar_budget(formula(sucrose=0.5), [Stage("proof", 180, 29)])
    parts = sugar_budget(formula(sucrose=0.5), [Stage("", 50, 29), Stage("", 100, 29), Stage("", 30, 29)])
    assert parts.course.final == pytest.approx(whole.course.final, rel=1e-12, abs=1e-12)
    assert parts.free_sugar_spent_hours == pytest.approx(whole.free_sugar_spent_hours)


# ---- Refusals ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    "stages, argument, code, nearest",
    [
        ([], "stages", "no_stages", None),
        ([Stage("a", 0, 25)], "stages.0.minutes", "no_time", 1),
        ([Stage("a", 10, 25), Stage("b", float("nan"), 25)], "stages.1.minutes", "no_time", 1),
        ([Stage("a", 10, -0.1)], "stages.0.temperature", "dough_too_cold", 0),
        ([Stage("a", 10, 25), Stage("oven", 30, 190)], "stages.1.temperature", "dough_too_hot", 45),
        ([Stage("a", 10, float("nan"))], "stages.0.temperature", "dough_too_hot", 45),
        ([Stage("a", 60, 25), Stage("b", 4320, 4)], "stages.1.minutes", "too_long", 4260),
        ([Stage("a", 4320, 4), Stage("b", 4320, 4), Stage("c", 4320, 4)], "stages", "too_long", None),
        ([Stage("a", inf, 4)], "stages", "too_long", None),
    ],
)
def test_stages_no_dough_ferments_in_are_refused(stages, argument, code, nearest):
    with pytest.raises(Refusal) as caught:
        sugar_budget(formula(), stages)
    assert (caught.value.argument, caught.value.code, caught.value.nearest) == (argument, code, nearest)
    assert str(caught.value)


def test_the_nearest_values_are_accepted():
    sugar_budget(formula(), [Stage("a", 60, 0), Stage("b", 4260, 45)])
    sugar_budget(formula(), STRAIGHT, damaged_starch_percent=25, bake_loss_percent=30)
    sugar_budget(formula(), STRAIGHT, damaged_starch_percent=0, bake_loss_percent=0)


@pytest.mark.parametrize(
    "argument, value, nearest",
    [("damaged_starch_percent", -1, 0), ("damaged_starch_percent", 26, 25), ("bake_loss_percent", 41, 40)],
)
def test_figures_out_of_range_are_refused(argument, value, nearest):
    with pytest.raises(Refusal) as caught:
        sugar_budget(formula(), STRAIGHT, **{argument: value})
    assert (caught.value.argument, caught.value.nearest) == (argument, nearest)


def test_yeast_without_water_is_refused_and_no_yeast_without_water_is_not():
    flour, yeast = INGREDIENTS["bread_flour"], Ingredient("own dry yeast", "own dry yeast", yeast="instant")
    with pytest.raises(Refusal) as caught:
        sugar_budget(Formula((Line(flour, 100), Line(yeast, 1))), STRAIGHT)
    assert caught.value.code == "no_water"
    assert sugar_budget(Formula((Line(flour, 100),)), STRAIGHT).assessment == NO_YEAST
