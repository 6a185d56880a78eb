"""When loaves come to the baker's limit, and which keeps longest."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from scaldloaf.dough.keeping.posterior import AGAINST_DIRECTION, NO_TREND, SHARES, Posterior
from scaldloaf.reference import coefficient

KEEPING_HORIZON_DAYS = coefficient("keeping_horizon_days").value

ONE_DAY, NO_LIMIT = "one_day", "no_limit"
NOT_REACHED, ALREADY_REACHED = "limit_not_reached", "already_reached"

# Of the arithmetic, not of the craft.
TIME_POINTS = 160  # times at which the probability is known, after 0
TIME_STRIDE = 16  # of them, between two that are always calculated
LITTLE = 0.01  # of probability, between two times that a straight line joins
CERTAIN = 1e-9  # probability missing to 1 that no longer matters
TIMES_DAYS = tuple(KEEPING_HORIZON_DAYS * (index / TIME_POINTS) ** 2 for index in range(TIME_POINTS + 1))


@dataclass(frozen=True, slots=True)
class TimeToLimit:
    """When a loaf is at the baker's limit, days; an end is None where it is not within the horizon.

    reason: why there is no best value, or why it is 0; None when there is nothing to explain. reached: P(at
    the limit by then) at each of TIMES_DAYS; empty when nothing can be said.
    """

    low: float | None
    best: float | None
    high: float | None
    reason: str | None
    reached: tuple[float, ...] = ()


def time_to_limit(posterior: Posterior, limit: float) -> TimeToLimit:
    """Distribution of the time until the curve reaches the limit: 5 %, median, 95 %.

    P(time <= x) is P(curve at x >= limit), kept from falling where a curve could turn back. Times beyond the
    horizon count as one. The limit is on the baker's scale.
    """
    level = posterior.sign * limit / posterior.unit
    no_trend = posterior.why_no_trend()
    if no_trend == AGAINST_DIRECTION:
        return TimeToLimit(None, None, None, AGAINST_DIRECTION)
    reached = _reached_by_time(posterior, level)
    low, best, high = (_when(reached, share) for share in SHARES)
    reason = None
    if best == 0:
        reason = ALREADY_REACHED
    elif no_trend == NO_TREND:
        best = high = None
        reason = NO_TREND
    elif best is None:
        reason = NOT_REACHED
    return TimeToLimit(low, best, high, reason, tuple(reached))


def _reached_by_time(posterior: Posterior, level: float) -> list[float]:
    """P(the curve is at or beyond ``level``) at each of TIMES_DAYS, never falling.

    Calculated at every TIME_STRIDE-th, and between two of these as long as more than LITTLE lies between
    them; a straight line fills the rest.
    """
    found = [0.0] * len(TIMES_DAYS)
    found[0] = posterior.reached(level, TIMES_DAYS[0])
    for end in range(TIME_STRIDE, len(TIMES_DAYS), TIME_STRIDE):
        start = end - TIME_STRIDE
        if found[start] > 1 - CERTAIN:
            found[end] = 1.0
        else:
            found[end] = max(found[start], posterior.reached(level, TIMES_DAYS[end]))
        _fill(found, start, end, posterior, level)
    return found


def _fill(found: list[float], start: int, end: int, posterior: Posterior, level: float) -> None:
    """Fill in the probabilities between two that are known.

    Parameters
        found : list[float]  [probability] at each of TIMES_DAYS, changed here
        start, end : int  places in it
        posterior : Posterior
        level : float  [internal scale]
    """
    if end - start < 2:
        return
    if found[end] - found[start] <= LITTLE:
        for index in range(start + 1, end):
            found[index] = found[start] + (found[end] - found[start]) * (index - start) / (end - start)
        return
    middle = (start + end) // 2
    found[middle] = min(max(found[start], posterior.reached(level, TIMES_DAYS[middle])), found[end])
    _fill(found, start, middle, posterior, level)
    _fill(found, middle, end, posterior, level)


def _when(reached: Sequence[float], share: float) -> float | None:
    """The first time by which ``share`` is reached, between the points of TIMES_DAYS; None: not at all."""
    if reached[0] >= share:
        return 0.0
    for index, (one, other) in enumerate(pairwise(reached)):
        if other >= share:
            part = (share - one) / (other - one)
            return TIMES_DAYS[index] + part * (TIMES_DAYS[index + 1] - TIMES_DAYS[index])
    return None


# ---- Which keeps longest -------------------------------------------------------------------------


def probability_longer(one: TimeToLimit, other: TimeToLimit) -> float:
    """Probability that ``one`` reaches its limit later than ``other``; a tie counts half.

    The scores of different loaves count as independent. Both need ``reached``.
    """
    # Each stretch of time: what falls into it, times what of the rival lies before its middle.
    mine, rival = one.reached, other.reached
    total = mine[0] * rival[0] / 2 + (1 - mine[-1]) * (rival[-1] + (1 - rival[-1]) / 2)
    stretches = zip(mine[:-1], mine[1:], rival[:-1], rival[1:], strict=True)
    for before, after, rival_before, rival_after in stretches:
        total += (after - before) * (rival_before + rival_after) / 2
    return total


def probability_longest(times: Sequence[TimeToLimit]) -> list[float]:
    """Probability of each to be the last to reach its limit; ties shared. Adds up to 1."""
    masses = [_masses(time.reached) for time in times]
    wins = [0.0] * len(times)
    before = [0.0] * len(times)
    for here in zip(*masses, strict=True):
        sooner = [earlier + mass / 2 for earlier, mass in zip(before, here, strict=True)]
        for index, chance in enumerate(here):
            if chance:
                for rival, rival_sooner in enumerate(sooner):
                    if rival != index:
                        chance *= rival_sooner
                wins[index] += chance
        before = [one + mass for one, mass in zip(before, here, strict=True)]
    total = sum(wins)
    return [win / total for win in wins] if total > 0 else [1 / len(times)] * len(times)


def _masses(reached: Sequence[float]) -> list[float]:
    """Probability of each interval of TIMES_DAYS, the last one being all beyond the horizon."""
    return [reached[0], *(other - one for one, other in pairwise(reached)), 1 - reached[-1]]


def rank(times: Sequence[TimeToLimit]) -> list[int]:
    """Positions from the loaf that keeps longest to the one that keeps shortest.

    By the mean probability of outlasting the others, which also orders loaves that never reach the limit;
    equal ones stay in the order given. All need ``reached``.
    """
    wins = [0.0] * len(times)
    for place, one in enumerate(times):
        for other in range(place + 1, len(times)):
            longer = probability_longer(one, times[other])
            wins[place] += longer
            wins[other] += 1 - longer
    return sorted(range(len(times)), key=lambda index: (-round(wins[index], 12), index))
