"""Stages of a dough from mixing to the oven, and the timeline of its sugars through them."""

from bisect import bisect_left
from collections.abc import Sequence
from typing import NamedTuple

from scaldloaf.dough.limits import YEAST_WORKING_HIGHEST_DEGC, YEAST_WORKING_LOWEST_DEGC
from scaldloaf.dough.refusal import Refusal, Way
from scaldloaf.dough.sugar_course import HEXOSE_PER_MALTOSE, Course, Leg, State
from scaldloaf.dough.yeast import outside_rate_range, temperature_factor
from scaldloaf.reference import coefficient

SUGAR_BUDGET_LONGEST_HOURS = coefficient("sugar_budget_longest_hours").value

LONGEST_MINUTES = 60 * SUGAR_BUDGET_LONGEST_HOURS
_LENGTH_SLACK = 1 + 1e-12  # of the total: minutes that add up to the limit but for rounding
_SAMPLE_MINUTES = (1, 2, 5, 10, 15, 20, 30, 60, 90)
_MOST_SAMPLES = 48
_SAME_HOURS = 1e-9  # a sample this near to an event is that event


class Stage(NamedTuple):
    """A stretch of time at one dough temperature, °C."""

    name: str
    minutes: float
    temperature_c: float

    @property
    def outside_rate_range(self) -> bool:
        """Whether the yeast's rate is extrapolated at that temperature."""
        return outside_rate_range(self.temperature_c)


class StageFeeding(NamedTuple):
    """Sugar demand and use in one stage.

    ends_hours: from mixing. demand_per_hour: g of hexose per 100 g of flour. enzyme_pace: of the amylases,
    over theirs at 30 °C.
    """

    stage: Stage
    ends_hours: float
    temperature_factor: float
    demand_per_hour: float
    enzyme_pace: float
    used_percent: float
    unmet_percent: float


class Sample(NamedTuple):
    """The pools at one time, percent of flour; used and unmet as hexose. event: in words, or ""."""

    hours: float
    glucose_percent: float
    fructose_percent: float
    maltose_percent: float
    used_percent: float
    unmet_percent: float
    event: str


def check_stages(stages: Sequence[Stage]) -> None:
    """Refuse stages that no dough ferments in: none at all, no time, frozen or deadly, too long in total."""
    if not stages:
        raise Refusal("stages", "no_stages", "name at least one stage with its minutes and temperature")
    for index, stage in enumerate(stages):
        _check_stage(stage, f"stages.{index}")
    minutes = sum(stage.minutes for stage in stages)
    if minutes > LONGEST_MINUTES * _LENGTH_SLACK:
        index = max(range(len(stages)), key=lambda each: stages[each].minutes)
        longest, excess = stages[index].minutes, minutes - LONGEST_MINUTES
        one_is_enough = longest > excess
        shorter = LONGEST_MINUTES / minutes
        evenly = {f"stages.{place}.minutes": stage.minutes * shorter for place, stage in enumerate(stages)}
        raise Refusal(
            f"stages.{index}.minutes" if one_is_enough else "stages",
            "too_long",
            "the stages add up to {hours} h, and the budget holds for {limit} h at most",
            given=longest if one_is_enough else minutes,
            nearest=longest - excess if one_is_enough else None,
            amounts={"hours": (minutes / 60, None), "limit": (LONGEST_MINUTES / 60, None)},
            ways=(Way("stages", evenly),),
        )


def _check_stage(stage: Stage, argument: str) -> None:
    if not stage.minutes > 0:
        raise Refusal(
            f"{argument}.minutes",
            "no_time",
            "a stage needs some minutes; leave it out otherwise",
            given=stage.minutes,
            nearest=1,
        )
    coldest, hottest = YEAST_WORKING_LOWEST_DEGC, YEAST_WORKING_HIGHEST_DEGC
    if not coldest <= stage.temperature_c <= hottest:
        too_cold = stage.temperature_c < coldest
        raise Refusal(
            f"{argument}.temperature",
            "dough_too_cold" if too_cold else "dough_too_hot",
            f"at {{given}} {'dough freezes' if too_cold else 'yeast dies'}; stages run from mixing to the "
            "oven, in dough of {coldest} to {hottest}",
            given=stage.temperature_c,
            nearest=coldest if too_cold else hottest,
            quantity="temperature",
            amounts={
                "given": (stage.temperature_c, "temperature"),
                "coldest": (coldest, "temperature"),
                "hottest": (hottest, "temperature"),
            },
        )


def feeding_of(course: Course, stages: Sequence[Stage], legs: Sequence[Leg]) -> tuple[StageFeeding, ...]:
    """What the yeast asks and gets in each stage. legs: one of each stage."""
    states = _states(course, [0.0, *(leg.ends for leg in legs)], legs[-1].ends)
    feeding, begins = [], 0.0
    for stage, (end, demand, pace) in zip(stages, legs, strict=True):
        before, after = states[begins], states[end]
        used, unmet = after.used - before.used, after.unmet - before.unmet
        factor = temperature_factor(stage.temperature_c)
        feeding.append(StageFeeding(stage, end, factor, demand, pace, used, unmet))
        begins = end
    return tuple(feeding)


def timeline_of(course: Course, feeding: Sequence[StageFeeding], has_yeast: bool) -> tuple[Sample, ...]:
    """Samples at even steps, at every stage's ends and every event."""
    total = feeding[-1].ends_hours
    events = _events(course, feeding, has_yeast)
    states = _states(course, sorted([*events, *_even_steps(total, list(events))]), total)
    return tuple(
        Sample(
            hours,
            state.glucose,
            state.fructose,
            state.maltose / HEXOSE_PER_MALTOSE,
            state.used,
            state.unmet,
            "; ".join(events.get(hours, ())),
        )
        for hours, state in states.items()
    )


def _events(course: Course, feeding: Sequence[StageFeeding], has_yeast: bool) -> dict[float, list[str]]:
    """Hours -> what happens then, in words: stages beginning, pools emptying."""
    events: dict[float, list[str]] = {}
    begins = 0.0
    for fed in feeding:
        name = fed.stage.name
        events.setdefault(begins, []).append(f"{name} begins" if name else "stage begins")
        begins = fed.ends_hours
    events.setdefault(begins, []).append("end of the last stage")
    if has_yeast:
        for hours, words in (
            (course.glucose_spent_hours, "glucose spent"),
            (course.fructose_spent_hours, "fructose spent"),
            (course.maltose_drawn_hours, "maltose drawn"),
            (course.maltose_spent_hours, "maltose spent"),
        ):
            if hours is not None:
                events.setdefault(hours, []).append(words)
    return events


def _even_steps(total_hours: float, events: Sequence[float]) -> list[float]:
    """Hours at even steps, few enough to read, without those at an event."""
    step_minutes = next(
        (minutes for minutes in _SAMPLE_MINUTES if total_hours * 60 <= minutes * _MOST_SAMPLES),
        _SAMPLE_MINUTES[-1],
    )
    step = step_minutes / 60
    steps = (index * step for index in range(int(total_hours / step) + 1))
    at_events = sorted(events)

    def is_event(hours: float) -> bool:
        place = bisect_left(at_events, hours - _SAME_HOURS)
        return place < len(at_events) and at_events[place] <= hours + _SAME_HOURS

    return [hours for hours in steps if not is_event(hours)]


def _states(course: Course, times: Sequence[float], total_hours: float) -> dict[float, State]:
    """Hours -> the state then; times rising."""
    states, phases, index = {}, course.phases, 0
    for hours in times:
        while index + 1 < len(phases) and phases[index].ends <= hours:
            index += 1
        states[hours] = course.final if hours == total_hours else phases[index].at(hours)
    return states
