"""The scald's heat, water and cooling, and the timetable."""

from datetime import datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy import interp
from pytest import approx
from scipy.integrate import solve_ivp

from kitchen import formula, tin_loaf
from scaldloaf.dough.preparation import (
    COOLING_FIRST_FROM_DEGC,
    GELATINISATION_END_DEGC,
    GELATINISED,
    IN_TIME,
    LONGER_THAN_USUAL,
    MIXER,
    NOT_GELATINISED,
    PARTLY,
    SCALD_HOLDING_HOURS,
    TOO_SLOW,
    TOO_WARM,
    UNCERTAIN,
    USUAL,
    Reading,
    after_loss_c,
    before_loss_c,
    cooked_to,
    cooling_rate_per_hour,
    cooling_steps,
    gelatinisation_at,
    holding_assessment,
    hours_to_cool,
    ideal_temperature_c,
    pour_over,
    scald_of,
    top_up,
)
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.swelling import SWELLING_POINTS, require_no_live_yeast, swollen_percent
from scaldloaf.dough.timetable import Task, read_local_time, timetable


def scald(ratio=1.0, flour_c=20.0, liquid="water", evaporation=0.0, flour_g=100.0):
    return scald_of(
        formula(
            ("bread_flour", flour_g, "scald"), (liquid, flour_g * ratio, "scald"), evaporation=evaporation
        ),
        flour_c,
    )


# ---- Heat


@given(st.floats(0.3, 10), st.floats(0, 40), st.floats(0, 100))
def test_the_ideal_lies_between_flour_and_liquid(ratio, flour_c, liquid_c):
    ideal = ideal_temperature_c(scald(ratio, flour_c), liquid_c)
    assert min(flour_c, liquid_c) - 1e-9 <= ideal <= max(flour_c, liquid_c) + 1e-9


@given(st.floats(0.3, 9), st.floats(0, 30), st.floats(40, 100))
def test_more_or_hotter_liquid_makes_a_hotter_scald(ratio, flour_c, liquid_c):
    here = pour_over(scald(ratio, flour_c), liquid_c, 20).core.best
    assert here <= pour_over(scald(ratio * 1.1, flour_c), liquid_c, 20).core.best + 1e-9
    assert here <= pour_over(scald(ratio, flour_c), min(100, liquid_c + 1), 20).core.best + 1e-9


@given(st.floats(-10, 100), st.floats(0, 40), st.floats(5, 12))
def test_the_loss_goes_back_and_forth_and_never_below_the_room(ideal, room, loss):
    core = after_loss_c(ideal, room, loss)
    assert core <= ideal
    assert core >= min(ideal, room) - 1e-9
    assert before_loss_c(core, room, loss) == approx(ideal, abs=1e-9)


def test_a_boiling_scald_loses_the_whole_loss():
    assert after_loss_c(74, 25, 8.5) == approx(65.5)
    assert after_loss_c(90, 25, 8.5) == approx(81.5)


@given(st.floats(0.3, 8), st.floats(0, 35), st.floats(20, 100), st.floats(5, 35))
def test_the_nearest_value_only_just_works(ratio, flour_c, liquid_c, room_c):
    heated = pour_over(scald(ratio, flour_c), liquid_c, room_c)
    if heated.assessment == GELATINISED:
        assert heated.liquid_c_needed is None and heated.ratio_needed is None
        return
    if heated.liquid_c_needed is not None:
        again = pour_over(scald(ratio, flour_c), heated.liquid_c_needed, room_c)
        assert again.assessment == GELATINISED and again.core.best == approx(
            GELATINISATION_END_DEGC, abs=1e-6
        )
        assert heated.liquid_c_needed > liquid_c
    if heated.ratio_needed is not None and heated.ratio_needed < 1e6:
        again = pour_over(scald(heated.ratio_needed, flour_c), liquid_c, room_c)
        assert again.core.best == approx(GELATINISATION_END_DEGC, abs=1e-6)
        assert heated.ratio_needed > ratio


def test_the_share_that_swells_runs_through_its_points():
    assert [swollen_percent(degrees) for degrees in (0, 55, 70, 75, 85, 100)] == [0, 0, 62, 80, 100, 100]
    # a roux at 65 degrees is no failure: it reads 0.41 and goes on to 85
    assert swollen_percent(65) == approx(41, abs=0.5)


@given(st.floats(0, 100))
def test_the_share_that_swells_rises_and_stays_within_the_starch(core):
    assert 0 <= swollen_percent(core) <= swollen_percent(core + 0.5) <= 100
    degrees, percents = zip(*SWELLING_POINTS, strict=True)
    assert swollen_percent(core) == approx(float(interp(core, degrees, percents)))


def test_a_mixer_cools_the_scald_and_swells_no_less_of_it():
    """1:1, water at 98, flour at 20: 74.5 ideal, 66 (59.5-69.5) in the bowl, 49.5 after the mixer."""
    by_hand, mixed = (pour_over(scald(1, 20), 98, 20, *how) for how in ((), (MIXER,)))
    assert by_hand.mixed is None and mixed.core == by_hand.core and mixed.swollen == by_hand.swollen
    assert mixed.ideal_c == approx(74.5, abs=0.2)
    assert mixed.core[:3] == approx((59.5, 66, 69.5), abs=0.6)  # the flour's specific heat widens the ends
    assert mixed.swollen[:3] == approx((19, 46, 60), abs=2.5)
    assert mixed.mixed.best == approx(49.5, abs=0.2)
    assert mixed.mixed.low < mixed.mixed.best < mixed.mixed.high < mixed.core.best


@given(st.floats(0.3, 8), st.floats(0, 35), st.floats(0, 100), st.floats(5, 35))
def test_a_scald_never_cools_below_the_colder_of_the_room_and_itself(ratio, flour_c, liquid_c, room_c):
    heated = pour_over(scald(ratio, flour_c), liquid_c, room_c, MIXER)
    assert heated.mixed.best >= min(heated.core.best, room_c) - 1e-9
    assert heated.mixed.low <= heated.mixed.best <= heated.mixed.high


def test_yeast_in_a_hot_scald_is_refused():
    of = formula(("bread_flour", 100, "scald"), ("water", 100, "scald"), ("instant_yeast", 2, "scald"))
    require_no_live_yeast(of, 60)
    require_no_live_yeast(tin_loaf(), 99)
    with pytest.raises(Refusal) as refused:
        require_no_live_yeast(of, 61)
    assert (refused.value.argument, refused.value.code) == ("formula.lines.2.part", "yeast_in_hot_scald")
    assert refused.value.nearest == "dough"


def test_no_nearest_value_when_nothing_works():
    heated = pour_over(scald(0.5, 5), 55, 20)
    assert heated.liquid_c_needed is None and heated.ratio_needed is None
    assert heated.assessment == NOT_GELATINISED


@pytest.mark.parametrize(
    "core, verdict",
    [(52.9, NOT_GELATINISED), (53, PARTLY), (64.9, PARTLY), (65, GELATINISED), (95, GELATINISED)],
)
def test_gelatinisation_range(core, verdict):
    assert gelatinisation_at(core) == verdict


def test_a_verdict_at_the_edge_shows_both_sides():
    heated = pour_over(scald(1, 25), 95, 25)
    assert (heated.at_low, heated.assessment, heated.at_high) == (PARTLY, GELATINISED, GELATINISED)
    assert heated.core.low < heated.core.best < heated.core.high
    cooked = cooked_to(65.2)
    assert (cooked.at_low, cooked.assessment) == (PARTLY, GELATINISED)
    assert cooked.ideal_c is None


def test_milk_carries_less_heat_than_water():
    assert ideal_temperature_c(scald(1, 20, "whole_milk"), 95) < ideal_temperature_c(scald(1, 20), 95)


def test_the_scald_of_a_formula():
    found = scald_of(tin_loaf(), 20)
    assert (found.flour_g, found.liquid_g, found.put_in_g, found.liquid_ratio) == (100, 100, 200, 1)
    with_salt = scald_of(
        formula(("bread_flour", 100, "scald"), ("water", 100, "scald"), ("salt", 2, "scald")), 20
    )
    assert [part.name for part in with_salt.solids] == ["Bread flour, white", "Salt"]
    assert with_salt.put_in_g == 202


@pytest.mark.parametrize(
    "of",
    [
        formula(("bread_flour", 100), ("water", 60)),
        formula(("bread_flour", 100), ("water", 60, "scald")),
        formula(("bread_flour", 100, "scald"), ("water", 60)),
        formula(("bread_flour", 5e-324, "scald"), ("water", 60, "scald"), ("bread_flour", 100)),
    ],
)
def test_no_scald_is_refused(of):
    with pytest.raises(Refusal) as refused:
        scald_of(of, 20)
    assert refused.value.code == "no_scald"


# ---- Water after cooking


@given(st.floats(1, 1e4), st.floats(0, 0.4), st.floats(0, 0.8), st.floats(0, 1e4))
def test_topped_up_it_weighs_what_the_formula_counts_on(flour_g, planned, lost, pan_g):
    made = scald(5, flour_g=flour_g, evaporation=planned * flour_g)
    net = made.put_in_g - lost * flour_g
    found = top_up(made, net + pan_g, pan_g)
    assert found.measured_g + found.water_to_add_g - found.still_to_evaporate_g == approx(found.target_g)
    assert min(found.water_to_add_g, found.still_to_evaporate_g) == 0
    assert found.evaporated_g == approx(lost * flour_g, abs=1e-6 * (made.put_in_g + pan_g))
    assert found.target_g == approx(made.put_in_g - planned * flour_g)


@pytest.mark.parametrize(
    "gross, container, code, nearest",
    [
        (250, 0, "heavier_than_put_in", 200),
        (1250, 800, "heavier_than_put_in", 1000),
        (60, 0, "lighter_than_dry", 86.6),
        (800, 800, "lighter_than_dry", 886.6),
    ],
)
def test_an_impossible_mass_is_refused(gross, container, code, nearest):
    with pytest.raises(Refusal) as refused:
        top_up(scald(), gross, container)
    assert (refused.value.argument, refused.value.code) == ("gross", code)
    assert refused.value.nearest == approx(nearest)
    top_up(scald(), refused.value.nearest, container)


# ---- Cooling and holding


@given(st.floats(60, 95), st.floats(5, 120), st.floats(0.3, 0.9), st.floats(-15, 20))
def test_cooling_goes_through_both_readings(hot, minutes, left, surroundings):
    second = surroundings + left * (hot - surroundings)
    rate = cooling_rate_per_hour(Reading(10, hot), Reading(10 + minutes, second), surroundings)
    assert hours_to_cool(hot, second, surroundings, rate) * 60 == approx(minutes)


def test_cooling_against_an_ode_solver():
    first, second, surroundings = Reading(0, 75), Reading(20, 50), 4.0
    rate = cooling_rate_per_hour(first, second, surroundings)

    def reaches(to):
        event = lambda _, temperature: temperature[0] - to  # noqa: E731
        event.terminal = True
        found = solve_ivp(
            lambda _, temperature: -rate * (temperature - surroundings),
            (0, 50),
            [COOLING_FIRST_FROM_DEGC],
            events=event,
            rtol=1e-10,
            atol=1e-12,
        )
        return found.t_events[0][0]

    steps = cooling_steps((first, second), surroundings)
    assert [step.hours.best for step in steps] == approx([reaches(21), reaches(5)], rel=1e-6)


def test_the_limits_are_the_food_codes():
    # FDA Food Code 3-501.14: 57 to 21 degC within 2 h, to 5 within a total of 6 h.
    assert [
        (step.from_c, step.to_c, step.allowed_hours, step.hours, step.assessment) for step in cooling_steps()
    ] == [(57, 21, 2, None, None), (57, 5, 6, None, None)]


@pytest.mark.parametrize(
    "readings, surroundings, verdicts",
    [
        ((Reading(0, 70), Reading(30, 35)), 4, [IN_TIME, IN_TIME]),
        ((Reading(0, 70), Reading(30, 45)), 20, [TOO_SLOW, TOO_SLOW]),  # a room never cools it to 5
        ((Reading(0, 70), Reading(30, 62)), 4, [TOO_SLOW, TOO_SLOW]),
        ((Reading(0, 65), Reading(30, 43)), 18, [UNCERTAIN, TOO_SLOW]),
    ],
)
def test_cooling_verdicts(readings, surroundings, verdicts):
    steps = cooling_steps(readings, surroundings)
    assert [step.assessment for step in steps] == verdicts
    for step in steps:
        assert step.hours is None or step.hours.low < step.hours.best < step.hours.high


def test_surroundings_no_colder_than_the_target_never_reach_it():
    first, second = cooling_steps((Reading(0, 70), Reading(30, 45)), 20)
    assert first.hours is not None and second.hours is None and second.assessment == TOO_SLOW


@pytest.mark.parametrize(
    "readings, surroundings, argument, code",
    [
        ((Reading(30, 70), Reading(30, 45)), 20, "readings.1.minutes", "readings_out_of_order"),
        ((Reading(0, 70), Reading(5e-324, 45)), 20, "readings.1.minutes", "readings_out_of_order"),
        ((Reading(0, 45), Reading(30, 70)), 20, "readings.1.temperature", "readings_too_close"),
        ((Reading(0, 70), Reading(30, 69)), 20, "readings.1.temperature", "readings_too_close"),
        ((Reading(0, 70), Reading(30, 20)), 20, "surroundings", "too_near_surroundings"),
        ((Reading(0, 70), Reading(30, 45)), 60, "surroundings", "too_near_surroundings"),
    ],
)
def test_readings_without_information_are_refused(readings, surroundings, argument, code):
    with pytest.raises(Refusal) as refused:
        cooling_steps(readings, surroundings)
    assert (refused.value.argument, refused.value.code) == (argument, code)


@given(st.floats(40, 95), st.floats(1, 300), st.floats(-20, 40))
def test_the_nearest_readings_work(hot, minutes, surroundings):
    readings = (Reading(0, hot), Reading(minutes, hot - 1))
    with pytest.raises(Refusal) as refused:
        cooling_steps(readings, surroundings)
    second = Reading(minutes, refused.value.nearest)
    try:
        cooling_steps((readings[0], second), surroundings)
    except Refusal as again:
        assert again.code == "too_near_surroundings"
        cooling_steps((readings[0], second), again.nearest)


@pytest.mark.parametrize(
    "hours, temperature, verdict",
    [
        (12, 4, USUAL),
        (SCALD_HOLDING_HOURS, 5, USUAL),
        (SCALD_HOLDING_HOURS + 1, 5, LONGER_THAN_USUAL),
        (2, 8, TOO_WARM),
    ],
)
def test_holding(hours, temperature, verdict):
    assert holding_assessment(hours, temperature) == verdict


# ---- The timetable

WORK = (Task("make scald", 15), Task("cool scald", 720), Task("mix", 15), Task("proof", 60), Task("bake", 38))


def test_timetable_counts_back_over_midnight():
    timed = timetable(WORK, "2026-12-01T07:00")
    assert [(each.starts_at, each.days_before) for each in timed] == [
        ("2026-11-30T16:52", 1),
        ("2026-11-30T17:07", 1),
        ("2026-12-01T05:07", 0),
        ("2026-12-01T05:22", 0),
        ("2026-12-01T06:22", 0),
    ]
    assert timed[-1].ends_at == "2026-12-01T07:00" and timed[-1].ends_minutes_before == 0
    assert timed[0].starts_minutes_before == sum(task.minutes for task in WORK)


def test_timetable_without_a_time_has_minutes_only():
    assert all(each.starts_at is each.ends_at is each.days_before is None for each in timetable(WORK))


@pytest.mark.parametrize(
    "ready_at, first",
    [
        ("2026-12-01T07:00+01:00", "2026-11-30T16:52+01:00"),
        ("2026-12-01T07:00Z", "2026-11-30T16:52+00:00"),
        ("2026-12-01T07:00:59-09:30", "2026-11-30T16:52-09:30"),
        ("2024-03-01T07:00", "2024-02-29T16:52"),  # over a leap day
        ("2027-01-01T00:05", "2026-12-31T09:57"),  # over the year
    ],
)
def test_timetable_keeps_the_offset_it_was_given(ready_at, first):
    assert timetable(WORK, ready_at)[0].starts_at == first


@given(
    st.lists(st.floats(0, 600), min_size=1, max_size=12),
    st.datetimes(datetime(1990, 1, 1), datetime(2090, 1, 1)),
)
def test_timetable_holds_together(minutes, ready):
    ready = ready.replace(second=0, microsecond=0)
    timed = timetable(
        [Task(str(index), each) for index, each in enumerate(minutes)], ready.isoformat(timespec="minutes")
    )
    assert timed[0].starts_minutes_before == approx(sum(minutes))
    for one, next_one in pairwise(timed):
        assert one.ends_minutes_before == next_one.starts_minutes_before
        assert one.ends_at == next_one.starts_at and one.starts_at <= one.ends_at
    for each in timed:
        exact = ready - timedelta(minutes=each.starts_minutes_before)
        late = (exact - datetime.fromisoformat(each.starts_at)).total_seconds()
        assert 0 <= late < 60  # never late, and early by less than a minute
        assert each.days_before == (ready.date() - datetime.fromisoformat(each.starts_at).date()).days


@pytest.mark.parametrize(
    "text, nearest",
    [
        ("tomorrow", None),
        ("2026-12-01", None),
        ("07:00", None),
        ("2026-13-01T07:00", None),
        ("2026-W49-2T07:00", None),
        ("2026-02-30T07:00", None),
        ("2026-12-01T24:30", None),
        ("2026-12-01T07:00+1", None),
        ("2026-12-1 7:05", "2026-12-01T07:05"),
        ("2026-12-01T7:00+1:00", "2026-12-01T07:00+01:00"),
        ("20261201T0700", None),
        ("2026-12-01 07:00", "2026-12-01T07:00"),
        (" 2026-12-01t07:00z ", "2026-12-01T07:00Z"),
        ("", None),
        ("2026-12-01T07:00:00.123", None),
        ("٢٠٢٦-12-01T07:00", None),
    ],
)
def test_an_invalid_local_time_is_refused(text, nearest):
    with pytest.raises(Refusal) as refused:
        read_local_time(text, "ready_at")
    assert (refused.value.argument, refused.value.code) == ("ready_at", "not_a_local_time")
    assert refused.value.nearest == nearest
    if nearest:
        read_local_time(nearest, "ready_at")


def test_a_timetable_must_start_after_the_year_1():
    with pytest.raises(Refusal):
        timetable(WORK, "0001-01-01T07:00")


def test_a_timetable_of_weeks_is_refused():
    with pytest.raises(Refusal) as refused:
        timetable([Task("age", 20_000), Task("age more", 200)])
    assert (refused.value.code, refused.value.nearest) == ("timetable_too_long", None)
    assert "20200 minutes" in str(refused.value) and "20160" in str(refused.value)
