"""The course of the sugars in the dough: pools, enzymes, and yeast that draws them down.

Pools and rates are grams of hexose per 100 g of flour ("percent of flour, as hexose") and hours from
mixing. Maltose counts as the glucose it yields (x hexose_per_maltose).

Between events (a stage ends, a pool empties, the yeast turns to maltose) every pool is a straight line
plus the enzymes' exponentials, so the course is exact; there is no step size.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import exp, expm1, inf
from typing import NamedTuple

from scaldloaf.dough.yeast import YEAST_UPTAKE_REFERENCE_DEGC
from scaldloaf.reference import coefficient

HEXOSE_PER_MALTOSE = coefficient("hexose_per_maltose").value
DAMAGED_STARCH_REFERENCE_PERCENT = coefficient("damaged_starch_reference_percent").value
AMYLASE_MALTOSE_PERCENT = coefficient("amylase_maltose_percent").value
AMYLASE_RATE_PER_HOUR = coefficient("amylase_rate_per_hour").value
SCALD_AMYLASE_RATE_PER_HOUR = coefficient("scald_amylase_rate_per_hour").value
AMYLASE_RATE_Q10 = coefficient("amylase_rate_q10").value
SCALD_MALTOSE_PER_FLOUR_PERCENT = coefficient("scald_maltose_per_flour_percent")
SCALD_MALTOSE_MALTED_PER_FLOUR_PERCENT = coefficient("scald_maltose_malted_per_flour_percent").value
GLUCOSE_UPTAKE_SHARE = coefficient("glucose_uptake_share").value
MALTOSE_SWITCH_PERCENT = coefficient("maltose_switch_percent").value
MALTOSE_LAG_MINUTES = coefficient("maltose_lag_minutes").value
MALTOSE_UPTAKE_SHARE = coefficient("maltose_uptake_share").value
FREE_SUGAR_HORIZON_HOURS = coefficient("free_sugar_horizon_hours").value

GLUCOSE, FRUCTOSE, MALTOSE = "glucose", "fructose", "maltose"
_MALTOSE_DRAWN = "maltose drawn"


# ---- Sugars, enzymes, appetite -------------------------------------------------------------------


class Pools(NamedTuple):
    """Sugars in the dough, g of hexose per 100 g of flour."""

    glucose: float
    fructose: float
    maltose: float

    @property
    def total(self) -> float:
        """All of them together."""
        return self.glucose + self.fructose + self.maltose


class Enzymes(NamedTuple):
    """Maltose made: the sum of ceiling x (1 - exp(-rate t)) over the substrates, t in hours as at 30 °C.

    substrates: (ceiling in g of hexose per 100 g of flour, rate per hour at 30 °C) each. One hour of the
    clock is ``pace`` hours as at 30 °C, and t = ahead + pace x hours from mixing.
    """

    substrates: tuple[tuple[float, float], ...] = ()
    pace: float = 1.0
    ahead: float = 0.0

    def made(self, since: float, begins: float = 0.0) -> float:
        """Maltose made in the ``since`` hours after ``begins``, g of hexose per 100 g of flour."""
        total, worked = 0.0, self.ahead + self.pace * begins
        for ceiling, rate in self.substrates:
            total -= ceiling * exp(-rate * worked) * expm1(-rate * self.pace * since)
        return total

    def rate(self, hours: float) -> float:
        """Maltose made per hour at that time; at one pace it only ever falls."""
        total, worked = 0.0, self.ahead + self.pace * hours
        for ceiling, rate in self.substrates:
            total += ceiling * rate * self.pace * exp(-rate * worked)
        return total

    def going_at(self, pace: float, hours: float) -> "Enzymes":
        """The same enzymes at another pace from that hour on: what is made is made, the ceiling stays."""
        worked = self.ahead + self.pace * hours
        return Enzymes(self.substrates, pace, worked - pace * hours)


def amylase_pace(temperature_c: float) -> float:
    """Rate of the flour's amylases at that dough temperature over their rate at 30 °C: 2 for 10 °C more.

    amylase_rate_q10, from memory, valid from 0 to 45 °C; its range lies within the factor of two on maltose.
    """
    pace: float = AMYLASE_RATE_Q10 ** ((temperature_c - YEAST_UPTAKE_REFERENCE_DEGC) / 10)
    return pace


class Leg(NamedTuple):
    """A stretch at one temperature.

    ends: hours from mixing. demand: of the yeast, g of hexose per 100 g of flour and hour. pace: of the
    enzymes, hours as at 30 °C in an hour.
    """

    ends: float
    demand: float
    pace: float = 1.0


def maltose_makers(
    damaged_starch_percent: float, scalded_share_percent: float, factor: float = 1.0, of_scald: float = 1.0
) -> Enzymes:
    """The maltose the flour's enzymes will make, from damaged starch and from the scald.

    Damaged starch: amylase_maltose x damaged starch / 8, at amylase_rate. Scald: scald_maltose x scalded
    share. The scald's starch lies open, but its enzymes come with the raw flour, so it too begins at
    mixing, and faster, at scald_amylase_rate. The rates are those at 30 °C; ``amylase_pace`` says how they
    follow the temperature. Valid for shares to about 40 %, where the check against common practice lies.

    Parameters
        damaged_starch_percent : float  [% of flour]
        scalded_share_percent : float  [% of flour]
        factor : float  times the maltose of both, for an end of a band
        of_scald : float  times that of the scald besides
    Returns
        Enzymes
    Source
        Saunders, Ng & Kline 1972 (upper end of the first); Takano et al. 1980 (direction of the second);
        sizes and rates are assumptions
    """
    damaged = factor * AMYLASE_MALTOSE_PERCENT * damaged_starch_percent / DAMAGED_STARCH_REFERENCE_PERCENT
    scalded = factor * of_scald * SCALD_MALTOSE_PER_FLOUR_PERCENT.value * scalded_share_percent / 100
    makers = (
        (HEXOSE_PER_MALTOSE * damaged, AMYLASE_RATE_PER_HOUR),
        (HEXOSE_PER_MALTOSE * scalded, SCALD_AMYLASE_RATE_PER_HOUR),
    )
    return Enzymes(tuple(maker for maker in makers if maker[0] > 0))


@dataclass(frozen=True, slots=True)
class Appetite:
    """How yeast chooses among sugars.

    glucose_share: part of the free sugar taken that is glucose, while both are there.
    switch: glucose + fructose (g per 100 g of flour) below which yeast takes maltose too.
    lag_hours: time from mixing before yeast takes any maltose.
    maltose_share: part of the demand then met by maltose, while free sugar is left.
    """

    glucose_share: float = GLUCOSE_UPTAKE_SHARE
    switch: float = MALTOSE_SWITCH_PERCENT
    lag_hours: float = MALTOSE_LAG_MINUTES / 60
    maltose_share: float = MALTOSE_UPTAKE_SHARE


APPETITE = Appetite()


# ---- The course ----------------------------------------------------------------------------------


class State(NamedTuple):
    """The pools at one time, and what the yeast used and missed so far, g of hexose per 100 g of flour."""

    glucose: float
    fructose: float
    maltose: float
    used: float = 0.0
    unmet: float = 0.0

    @property
    def free(self) -> float:
        """Glucose and fructose together."""
        return self.glucose + self.fructose


_state_of = partial(tuple.__new__, State)  # State(*values) without argument parsing, for the hot loops


class Phase(NamedTuple):
    """Without an event: each part of the state is start + slope x h + gain x maltose made meanwhile.

    begins, ends: hours from mixing; h: hours since ``begins``.
    """

    begins: float
    ends: float
    start: State
    slope: State
    gain: State
    enzymes: Enzymes

    def at(self, hours: float) -> State:
        """The state at that hour, hours from mixing."""
        since = hours - self.begins
        return _after(self.start, self.slope, self.gain, since, self.enzymes.made(since, self.begins))


class Course(NamedTuple):
    """The pools from mixing to the end; hours of events are None when they never come."""

    phases: tuple[Phase, ...]
    final: State
    glucose_spent_hours: float | None
    fructose_spent_hours: float | None
    maltose_drawn_hours: float | None
    maltose_spent_hours: float | None
    unmet_rate_at_end: float

    @property
    def free_sugar_spent_hours(self) -> float | None:
        """When glucose and fructose are both gone."""
        if self.glucose_spent_hours is None or self.fructose_spent_hours is None:
            return None
        return max(self.glucose_spent_hours, self.fructose_spent_hours)


def free_sugar_lasts_hours(course: Course, last: Leg, appetite: Appetite = APPETITE) -> float:
    """Hours from mixing until glucose and fructose are gone when the last leg goes on beyond its end.

    free_sugar_horizon_hours, 24, means that time or more.

    Parameters
        course : Course
        last : Leg  its last one
        appetite : Appetite
    Returns
        float  [h]
    """
    spent, horizon = course.free_sugar_spent_hours, FREE_SUGAR_HORIZON_HOURS
    if spent is None and last.ends < horizon:
        final, enzymes = course.final, course.phases[-1].enzymes
        enzymes = enzymes._replace(ahead=enzymes.ahead + enzymes.pace * last.ends)
        later = replace(appetite, lag_hours=max(0.0, appetite.lag_hours - last.ends))
        leg = last._replace(ends=horizon - last.ends)
        after = draw_down(Pools(*final[:3]), [leg], enzymes, later, until_spent=True).free_sugar_spent_hours
        spent = None if after is None else last.ends + after
    return horizon if spent is None else min(horizon, spent)


class Event(NamedTuple):
    """What ends a phase: hours until then, the pools that are empty then, whether maltose is open then."""

    after: float
    emptied: tuple[str, ...]
    opens: bool


def maltose_wish(state: State, demand: float, appetite: Appetite, opened: bool) -> float:
    """The part of the demand that the yeast would meet from maltose.

    Parameters
        state : State
        demand : float  [g of hexose per 100 g of flour and hour]
        appetite : Appetite
        opened : bool  whether the yeast takes any maltose yet
    Returns
        float  [as the demand]
    """
    if not opened:
        return 0.0
    return demand * (appetite.maltose_share if state.glucose > 0 or state.fructose > 0 else 1.0)


def flows(state: State, demand: float, wish: float, glucose_share: float, dry: bool) -> tuple[State, State]:
    """How the state changes until the next event: per hour (slope), and per g of maltose made (gain).

    A dry maltose pool gives the yeast just what is made meanwhile; free sugar, if any, covers the rest.

    Parameters
        state : State
        demand : float  [g of hexose per 100 g of flour and hour]
        wish : float  [the same] the part of it to be met from maltose
        glucose_share : float  [fraction] of the free sugar taken, while fructose is there too
        dry : bool  whether the maltose pool is empty and stays so
    Returns
        (slope, gain) : tuple[State, State]
    """
    rest, rest_gain = (demand, -1.0) if dry else (demand - wish, 0.0)
    if state.glucose > 0 and state.fructose > 0:
        of_glucose, of_fructose = glucose_share, 1 - glucose_share
    else:
        of_glucose, of_fructose = float(state.glucose > 0), float(state.fructose > 0)
    if state.glucose > 0 or state.fructose > 0:
        used, used_gain, unmet, unmet_gain = demand, 0.0, 0.0, 0.0
    else:
        used, used_gain = (0.0, 1.0) if dry else (wish, 0.0)
        unmet, unmet_gain = rest, rest_gain
    maltose, maltose_gain = (0.0, 0.0) if dry else (-wish, 1.0)
    return (
        State(-of_glucose * rest, -of_fructose * rest, maltose, used, unmet),
        State(-of_glucose * rest_gain, -of_fructose * rest_gain, maltose_gain, used_gain, unmet_gain),
    )


def opens_after(state: State, demand: float, appetite: Appetite, now: float) -> float:
    """Hours until the yeast turns to maltose: free sugar is down to the switch, and the lag is over.

    Parameters
        state : State
        demand : float  [g of hexose per 100 g of flour and hour]
        appetite : Appetite
        now : float  [h from mixing]
    Returns
        float  [h from now]; infinite without demand
    """
    if demand <= 0:
        return inf
    above = state.free - appetite.switch
    return max(above / demand if above > 0 else 0.0, appetite.lag_hours - now)


def next_event(
    state: State, flow: tuple[State, State], enzymes: Enzymes, now: float, end: float, opens: float
) -> Event:
    """The first event after ``now``: the leg ends, a pool empties, or maltose opens.

    Parameters
        state : State
        flow : (slope, gain) of the state, see ``flows``
        enzymes : Enzymes
        now, end : float  [h from mixing] the time, and the leg's end
        opens : float  [h from now] until maltose opens
    Returns
        Event
    """
    left, glucose, fructose = end - now, inf, inf
    slope, gain = flow
    if state.glucose > 0:
        glucose = _empties_after(state.glucose, slope.glucose, gain.glucose, enzymes, now, left)
    if state.fructose > 0:
        fructose = _empties_after(state.fructose, slope.fructose, gain.fructose, enzymes, now, left)
    maltose = _empties_after(state.maltose, slope.maltose, gain.maltose, enzymes, now, left)
    after = min(left, opens, glucose, fructose, maltose)
    empties = ((GLUCOSE, glucose), (FRUCTOSE, fructose), (MALTOSE, maltose))
    return Event(after, tuple([name for name, hours in empties if hours <= after]), opens <= after)


def _empties_after(
    start: float, slope: float, gain: float, enzymes: Enzymes, begins: float, limit: float
) -> float:
    """Hours until start + slope h + gain x made(h) reaches zero; infinite when not within ``limit`` hours.

    For start >= 0 and gain >= 0 the function is concave. If it is above zero at ``limit``, it is so before;
    else Newton's method from the right falls on the root without overshooting.
    """
    if slope >= 0:
        return inf
    if gain == 0 or not enzymes.substrates:
        after = start / -slope
        return after if after <= limit else inf
    hours = limit
    value = start + slope * hours + gain * enzymes.made(hours, begins)
    if value > 0:
        return inf
    while True:
        nearer = hours - value / (slope + gain * enzymes.rate(begins + hours))
        if not 0 < nearer < hours:
            return max(0.0, min(hours, nearer))
        hours = nearer
        value = start + slope * hours + gain * enzymes.made(hours, begins)


def _after(start: State, slope: State, gain: State, hours: float, made: float) -> State:
    """The state some hours later, with the maltose made meanwhile; never below zero by rounding.

    Field by field: a loop takes twice as long, and a budget makes dozens of states.
    """
    glucose, fructose, maltose, used, unmet = start
    steep_glucose, steep_fructose, steep_maltose, steep_used, steep_unmet = slope
    more_glucose, more_fructose, more_maltose, more_used, more_unmet = gain
    glucose = glucose + steep_glucose * hours + more_glucose * made
    fructose = fructose + steep_fructose * hours + more_fructose * made
    maltose = maltose + steep_maltose * hours + more_maltose * made
    used = used + steep_used * hours + more_used * made
    unmet = unmet + steep_unmet * hours + more_unmet * made
    return _state_of(
        (
            glucose if glucose > 0 else 0.0,
            fructose if fructose > 0 else 0.0,
            maltose if maltose > 0 else 0.0,
            used if used > 0 else 0.0,
            unmet if unmet > 0 else 0.0,
        )
    )


def draw_down(
    pools: Pools,
    legs: Sequence[Leg],
    enzymes: Enzymes,
    appetite: Appetite = APPETITE,
    until_spent: bool = False,
) -> Course:
    """Let yeast draw the pools down, leg by leg; exact between events.

    Order: glucose and fructose in the shares of ``appetite`` while both last, then the one that is left;
    once they are below the switch and the lag is over, maltose too, and alone when they are gone. Enzymes
    make maltose throughout. An empty pool gives only what is made in the same moment; demand above that is
    unmet.

    Parameters
        pools : Pools  [g of hexose per 100 g of flour] at mixing
        legs : Sequence[Leg]  ends rising
        enzymes : Enzymes
        appetite : Appetite
        until_spent : bool  whether to end once glucose and fructose are gone
    Returns
        Course
    Source
        order Loveday & Winger 2007; shares, switch and lag assumed
    """
    state, now = State(*pools), 0.0
    phases: list[Phase] = []
    times = {name: 0.0 for name in (GLUCOSE, FRUCTOSE) if getattr(state, name) == 0}
    opened = state.free <= appetite.switch and appetite.lag_hours <= 0
    slope = gain = State(0.0, 0.0, 0.0)
    for end, demand, pace in legs:
        enzymes = enzymes.going_at(pace, now)
        dried_up = False  # in this leg: maltose then stays dry, as demand stays and the enzymes slow
        while now < end and not (until_spent and state.free == 0):
            making = enzymes.rate(now) if state.maltose == 0 else inf  # enough, while some is left
            wish = maltose_wish(state, demand, appetite, opened)
            if opened and demand > 0 and making > 0:
                times.setdefault(_MALTOSE_DRAWN, now)
            dry = state.maltose == 0 and wish > 0 and (dried_up or making <= wish)
            slope, gain = flow = flows(state, demand, wish, appetite.glucose_share, dry)
            opens = inf if opened else opens_after(state, demand, appetite, now)
            event = next_event(state, flow, enzymes, now, end, opens)
            then = end if event.after == end - now else now + event.after
            if then > now:
                phases.append(Phase(now, then, state, slope, gain, enzymes))
            state = _after(state, slope, gain, event.after, enzymes.made(event.after, now))
            if event.emptied:
                state = state._replace(**dict.fromkeys(event.emptied, 0.0))
            now, opened, dried_up = then, opened or event.opens, dried_up or MALTOSE in event.emptied
            for name in event.emptied:
                times.setdefault(name, now)
    return Course(
        phases=tuple(phases),
        final=state,
        glucose_spent_hours=times.get(GLUCOSE),
        fructose_spent_hours=times.get(FRUCTOSE),
        maltose_drawn_hours=times.get(_MALTOSE_DRAWN),
        maltose_spent_hours=times.get(MALTOSE),
        unmet_rate_at_end=max(0.0, slope.unmet + gain.unmet * enzymes.rate(now)),
    )
