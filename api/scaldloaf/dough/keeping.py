"""Keeping: how loaves firm over the days, by the baker's own scale and up to the baker's own limit.

The model is firmness(t) = F0 + (Finf - F0)(1 - exp(-(t/tau)^n)). Given tau and n it is linear in
F0 and the change, so those two and the noise are integrated in closed form (Student t), and only
tau, and n when there are days enough, are gone through on a grid. There is no random number and no
starting value: the same scores give the same answer, and one score too few gives a wider one.

What is not in the scores comes from priors, each a coefficient: tau and n of crumb firming, and the
spread of scores of one loaf. Scores are only compared with scores of the same scale; nothing here
is a shelf life.
"""

from array import array
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise
from math import atan, erf, exp, expm1, inf, log, log1p, pi, sqrt
from operator import mul
from typing import NamedTuple

from scaldloaf.dough.estimate import NORMAL_90, Estimate
from scaldloaf.dough.refusal import Refusal
from scaldloaf.reference import Coefficient, coefficient

RISES, FALLS = "rises", "falls"
ONE_DAY, NO_TREND, AGAINST_DIRECTION, NOT_REACHED, ALREADY_REACHED, NO_LIMIT = (
    "one_day", "no_trend", "against_direction", "limit_not_reached", "already_reached", "no_limit")

TIME_CONSTANT = coefficient("firming_time_constant_days")
EXPONENT = coefficient("firming_exponent")
EXPONENT_DAYS = coefficient("firming_exponent_days").value
SCORE_SD = coefficient("score_relative_sd").value
SCORE_SD_WEIGHT = round(coefficient("score_sd_weight").value)
HORIZON_DAYS = coefficient("keeping_horizon_days").value
EVIDENCE = "assumption"                 # the weakest link: the spread expected of scores

# Of the arithmetic, not of the craft.
SAME_DAY = 0.02                         # scores closer than half an hour are of one day
SURE_OF_TREND = 0.9
LEAST_SPREAD = 1e-9                     # of scores scaled to 1
CERTAIN = 1e-9                          # what is missing to 1 that no longer matters
_GRID_SPAN_SD, _GRID_POINTS = 6.0, 13
_EXPONENT_SPAN_SD, _EXPONENT_POINTS = 3.0, 9
_NEGLIGIBLE = 8.0                       # natural logarithm of a weight's ratio to the largest
_LEFT_OUT = 2e-4                        # of the weight: the least likely curves, which only cost time
_TIME_POINTS, _TIME_STRIDE = 160, 16
_LITTLE = 0.01                          # of probability, between two times with a straight line between them
_TABLE_POINTS, _TABLE_SCALE = 512, 3.0  # of Student's t between its table's points
_NORMAL_FROM = 60                       # degrees of freedom from which t is taken by its normal equivalent


# ---- The model -----------------------------------------------------------------------------------

def progress(days: float, time_constant_days: float, exponent: float) -> float:
    """Fraction of the firming done: 1 - exp(-(t/tau)^n), 0 at 0 days and 1 in the end.

    days >= 0, tau > 0, n > 0. Avrami's equation as used for crumb firming; n near 1. From memory.
    """
    return -expm1(-(days / time_constant_days) ** exponent) if days > 0 else 0.0


def student_t_cdf(value: float, freedom: int) -> float:
    """P(T <= value) for Student's t with a whole number of degrees of freedom >= 1.

    Closed form for odd and even freedom (Abramowitz and Stegun 26.7.3 and 26.7.4); from 60 on the
    normal equivalent sqrt(freedom ln(1 + t2/freedom)) (8f+1)/(8f+3), off by less than 1e-5.
    """
    if freedom >= _NORMAL_FROM:
        size = sqrt(freedom * log1p(value * value / freedom)) * (8 * freedom + 1) / (8 * freedom + 3)
        return 0.5 + 0.5 * erf(size / sqrt(2)) * (1 if value > 0 else -1)
    cosine2 = freedom / (freedom + value * value)
    sine = value / sqrt(freedom + value * value)
    if freedom % 2:
        cosine = sqrt(cosine2)
        term = total = cosine if freedom > 1 else 0.0
        for step in range(3, freedom - 1, 2):
            term *= cosine2 * (step - 1) / step
            total += term
        central = 2 / pi * (atan(value / sqrt(freedom)) + sine * total)
    else:
        term = total = 1.0
        for step in range(2, freedom - 1, 2):
            term *= cosine2 * (step - 1) / step
            total += term
        central = sine * total
    return 0.5 + 0.5 * central


@lru_cache(maxsize=_NORMAL_FROM)
def _student_t_table(freedom: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """P(T <= value) at even steps of value / (_TABLE_SCALE + |value|) from -1 to 1, both included, and what the
    next step adds to it."""
    found = [0.0]
    for index in range(1, 2 * _TABLE_POINTS):
        part = index / _TABLE_POINTS - 1
        found.append(student_t_cdf(_TABLE_SCALE * part / (1 - abs(part)), freedom))
    found += 1.0, 1.0
    return tuple(found), tuple(above - below for below, above in pairwise(found))


@lru_cache(maxsize=256)
def student_t_95(freedom: int) -> float:
    """The 95 % quantile of Student's t, by halving."""
    low, high = 0.0, 100.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if student_t_cdf(middle, freedom) < 0.95 else (low, middle)
    return high


# ---- Scores and what they tell -------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class Score:
    """A score of a loaf: days since baking, and the value on the baker's own scale."""

    days: float
    score: float


@dataclass(frozen=True, slots=True)
class Loaf:
    """One kind of loaf and its scores in the order of days; scores of one day are replicates."""

    name: str
    scores: tuple[Score, ...]


class _Node(NamedTuple):
    """One curve shape (tau, n) with its weight, and what the scores then say of start and change.

    start and change: means; v_*: their covariance over the noise variance; scale: the noise sd.
    """

    weight: float
    time_constant_days: float
    exponent: float
    start: float
    change: float
    v_start: float
    v_both: float
    v_change: float
    scale: float

    def mean(self, start: float, change: float) -> float:
        return start * self.start + change * self.change

    def sd(self, start: float, change: float) -> float:
        return self.scale * sqrt(max(0.0, start * start * self.v_start + 2 * start * change * self.v_both
                                     + change * change * self.v_change))


@dataclass(frozen=True)
class Posterior:
    """Every curve the scores allow, weighed. Internally on a rising scale of about 1."""

    nodes: tuple[_Node, ...]
    freedom: int
    sign: float
    unit: float

    @property
    def likeliest(self) -> _Node:
        return max(self.nodes, key=lambda node: node.weight)

    def _mixture(self, start: float, change: float) -> list[tuple[float, float, float]]:
        """Weight, mean and sd of start x F0 + change x (Finf - F0) under each curve."""
        return [(node.weight, node.mean(start, change), node.sd(start, change)) for node in self.nodes]

    @cached_property
    def _plain(self) -> list[tuple]:
        """The nodes for the loops that most of a request is spent in, which write ``progress`` and ``_Node.sd`` out;
        v_both twice."""
        return [(node.weight, node.time_constant_days, node.exponent, node.start, node.change, node.v_start,
                 2 * node.v_both, node.v_change, node.scale) for node in self.nodes]

    def _mirrored(self, days: float) -> list[tuple[float, float, float]]:
        """Weight, mean and sd under each curve of minus its value after ``days``."""
        found = []
        for weight, time_constant, exponent, start, change, v_start, v_both, v_change, scale in self._plain:
            ahead = expm1(-(days / time_constant) ** exponent)      # minus what is done
            variance = v_start - ahead * v_both + ahead * ahead * v_change
            found.append((weight, ahead * change - start, scale * sqrt(variance) if variance > 0.0 else 0.0))
        return found

    def _below(self, value: float, mixture: Sequence[tuple[float, float, float]]) -> float:
        """P(the mixture <= value): the sum of weight x Student's t, read from its table."""
        (table, steps), points, scale = _student_t_table(self.freedom), float(_TABLE_POINTS), _TABLE_SCALE
        total = 0.0
        for weight, mean, sd in mixture:
            if sd > 0.0:
                off = (value - mean) / sd
                place = points * (1.0 + off / (scale + off if off > 0.0 else scale - off))
                index = int(place)
                total += weight * (table[index] + (place - index) * steps[index])
            elif value >= mean:
                total += weight
        return total

    @cached_property
    def rising(self) -> float:
        """Probability that the loaf firms at all, in the direction given."""
        return 1 - self._below(0.0, self._mixture(0.0, 1.0))

    def untold(self) -> str | None:
        """NO_TREND or AGAINST_DIRECTION where staling is not told from chance; else None."""
        rising = self.rising
        if rising >= SURE_OF_TREND:
            return None
        return NO_TREND if rising > 1 - SURE_OF_TREND else AGAINST_DIRECTION

    def reached(self, level: float, days: float) -> float:
        """P(the curve is at or beyond ``level`` after ``days``), on the internal scale."""
        return self._below(-level, self._mirrored(days))

    def fitted(self, days: float) -> float:
        """The mean of the curve after ``days`` on the baker's scale."""
        return self.sign * self.unit * sum([
            weight * (start - expm1(-(days / time_constant) ** exponent) * change)
            for weight, time_constant, exponent, start, change, _, _, _, _ in self._plain])

    def level(self, days: float) -> Estimate:
        """The curve's value after ``days`` on the baker's scale, 90 % (of the mean, not of a score)."""
        mean = second = 0.0
        for weight, mirrored, sd in self._mirrored(days):
            mean -= weight * mirrored
            second += weight * (mirrored * mirrored + sd ** 2)
        half = student_t_95(self.freedom) * sqrt(max(0.0, second - mean * mean))
        return self._out(mean - half, mean, mean + half)

    def combination(self, start: float, change: float) -> Estimate:
        """start x F0 + change x (Finf - F0) on the baker's scale: 5 %, median, 95 %."""
        mixture = self._mixture(start, change)
        width = 2 * student_t_95(self.freedom)
        low = min(mean - width * sd for _, mean, sd in mixture)
        high = max(mean + width * sd for _, mean, sd in mixture)
        ends = [(value, self._below(value, mixture)) for value in (low, high)]
        return self._out(*(_where(lambda value: self._below(value, mixture), share, *ends)
                           for share in (0.05, 0.5, 0.95)))

    def shape(self, attribute: str) -> Estimate:
        """A shape parameter of the curve, 5 %, median, 95 %, from the weights of its grid."""
        values = {getattr(node, attribute) for node in self.nodes}
        grids: dict[float, dict[float, float]] = {}
        for node in self.nodes:
            # Each exponent has its own grid of time constants; the exponents are one grid.
            grid = grids.setdefault(node.exponent if attribute == "time_constant_days" else 0.0, {})
            value = log(getattr(node, attribute))
            grid[value] = grid.get(value, 0.0) + node.weight
        if len(values) == 1:
            (value,) = values
            return Estimate(value, value, value, EVIDENCE)
        return Estimate(*map(exp, _quantiles(grids.values(), (0.05, 0.5, 0.95))), EVIDENCE)

    def spread(self) -> float:
        """Standard deviation of a score about the curve, on the baker's scale."""
        return self.unit * sum(node.weight * node.scale for node in self.nodes)

    def _out(self, low: float, best: float, high: float) -> Estimate:
        ends = sorted((low * self.sign * self.unit, high * self.sign * self.unit))
        return Estimate(ends[0], best * self.sign * self.unit, ends[1], EVIDENCE)


def _where(rising: Callable[[float], float], wanted: float, lower: tuple[float, float],
           upper: tuple[float, float]) -> float:
    """Where a function that never falls comes to ``wanted`` between two places, each with its value there.

    By false position, with a halving whenever that gains less than half; to a part in 1e9 of the way.
    """
    (low, under), (high, over) = lower, upper
    under, over = under - wanted, over - wanted
    enough = 1e-9 * (high - low)
    while high - low > enough and under < 0 < over:
        before = high - low
        for spot in (low - under * before / (over - under), None):
            if spot is None:
                if high - low <= before / 2:
                    break
                spot = (low + high) / 2
            if not low < spot < high:
                continue
            here = rising(spot) - wanted
            if abs(here) < 1e-10:
                return spot
            if here < 0:
                low, under = spot, here
            else:
                high, over = spot, here
        if high - low == before:
            break
    return (low + high) / 2


def _quantiles(grids: Iterable[dict[float, float]], shares: Sequence[float]) -> list[float]:
    """Values below which ``shares`` of the weight lie. Each grid maps value to weight, and each value
    stands for the stretch half the way to its neighbours; one alone in its grid stands for itself."""
    turns: list[tuple[float, float]] = []       # where the density of the weight changes, and by how much
    for grid in grids:
        values = sorted(grid)
        if len(values) == 1:
            half = max(abs(values[0]), 1.0) * 1e-9
            edges = [values[0] - half, values[0] + half]
        else:
            between = [(one + other) / 2 for one, other in zip(values, values[1:])]
            edges = [2 * values[0] - between[0], *between, 2 * values[-1] - between[-1]]
        for value, low, high in zip(values, edges, edges[1:]):
            turns += [(low, grid[value] / (high - low)), (high, -grid[value] / (high - low))]
    turns.sort()
    found, held, density = [], 0.0, 0.0
    for (place, turn), (following, _) in zip(turns, turns[1:]):
        density += turn
        more = density * (following - place)
        while len(found) < len(shares) and held + more >= shares[len(found)]:
            found.append(place + (shares[len(found)] - held) / density)
        held += more
    return found + [turns[-1][0]] * (len(shares) - len(found))


def _log_prior(row: Coefficient) -> tuple[float, float]:
    """Mean and sd of the logarithm of a coefficient whose range is meant to hold 90 %."""
    return log(row.value), log(row.high / row.low) / (2 * NORMAL_90)


_LOG_TIME_CONSTANT, _LOG_EXPONENT = _log_prior(TIME_CONSTANT), _log_prior(EXPONENT)


def _value_at(z: float, prior: tuple[float, float]) -> float:
    """What lies ``z`` standard deviations from the middle of a prior on the logarithm."""
    mean, sd = prior
    return exp(mean + z * sd)


def different_days(scores: Sequence[Score]) -> int:
    """How many days the scores are of; scores within half an hour count as one."""
    count, last = 0, -inf
    for days in sorted(score.days for score in scores):
        if days - last >= SAME_DAY:
            count, last = count + 1, days
    return count


class _Course:
    """What a shape of the curve makes of some days, whatever the scores: one for all loaves scored on the same."""

    def __init__(self, days: Sequence[float]):
        self.scored = list(days)
        self.days = list(dict.fromkeys(days))
        self._again = [(index, count) for index, day in enumerate(self.days) if (count := self.scored.count(day)) > 1]
        self._known: dict[tuple[float, float], tuple | None] = {}

    def counted(self, values: list[float]) -> list[float]:
        """A value of each day times the scores of that day."""
        if not self._again:
            return values
        values = values.copy()
        for index, count in self._again:
            values[index] *= count
        return values

    def at(self, time_constant: float, exponent: float) -> tuple[float, list[float], float, float] | None:
        """The mean progress of the scores, each day's about it and counted, the squares of these, and the
        logarithm of the shape's weight by the days alone. None where it is already flat over all the days."""
        shape = time_constant, exponent
        if shape not in self._known:
            self._known[shape] = self._at(*shape)
        return self._known[shape]

    def _at(self, time_constant: float, exponent: float) -> tuple[float, list[float], float, float] | None:
        done = [-expm1(-(days / time_constant) ** exponent) for days in self.days]
        mean = sum(self.counted(done)) / len(self.scored)
        off = [part - mean for part in done]
        counted = self.counted(off)
        spread = sum(map(mul, counted, off))
        return None if spread < 1e-20 else (mean, array("d", counted), spread, log(done[-1] - done[0]) - 0.5 * log(spread))


class _Scores:
    """The scores of a loaf, with the sums over them that no curve changes."""

    def __init__(self, course: _Course, values: Sequence[float], expected_sd: float):
        self.course = course
        by_day: dict[float, list[float]] = {}
        for days, value in zip(course.scored, values):
            by_day.setdefault(days, []).append(value)
        means = [sum(each) / len(each) for each in by_day.values()]
        within = [sum((value - mean) ** 2 for value in each) for each, mean in zip(by_day.values(), means)]
        self.count = len(values)
        self.freedom = SCORE_SD_WEIGHT + self.count - 2
        self.half_freedom, self.expected = 0.5 * self.freedom, SCORE_SD_WEIGHT * expected_sd ** 2
        self.mean = sum(course.counted(means)) / self.count
        self.off = [mean - self.mean for mean in means]                 # each day's mean about that of all
        self.squares = sum(own + counted * off for own, counted, off in zip(within, course.counted(self.off), self.off))

    def curve(self, time_constant: float, exponent: float) -> tuple[float, tuple] | None:
        """Least squares of start and change for one shape: the logarithm of its weight, and what ``node`` takes.

        Flat priors on the curve's values at the first and the last day, so that two scores say nothing
        of the shape; the noise variance has an inverse-gamma prior worth SCORE_SD_WEIGHT scores, which
        keeps the difference of squares below far from nothing. None where the shape is already flat over
        all the days.
        """
        shape = self.course.at(time_constant, exponent)
        if shape is None:
            return None
        mean_done, counted, spread, log_weight = shape
        change = sum(map(mul, counted, self.off)) / spread
        start = self.mean - change * mean_done
        total = self.expected + max(0.0, self.squares - change * change * spread)
        return (log_weight - self.half_freedom * log(total),
                (time_constant, exponent, start, change, mean_done, spread, total))

    def node(self, weight: float, time_constant: float, exponent: float, start: float, change: float,
             mean_done: float, spread: float, total: float) -> _Node:
        return _Node(weight, time_constant, exponent, start, change, 1 / self.count + mean_done ** 2 / spread,
                     -mean_done / spread, 1 / spread, sqrt(total / self.freedom))


def _resolved(evaluate: Callable[[float], list], span: float, points: int,
              window: list[float] | None = None) -> list[tuple[float, tuple]]:
    """The results of a grid on a standard normal prior, fine enough to show where the weight lies.

    evaluate(z) -> list of (log weight, curve). Looks over the whole span, then again over the part
    that matters, until that part has half of the points or more. ``window`` carries that part from one
    grid to the next like it, which begins there; it is left when the weight goes beyond it.
    """
    low, high = window or (-span, span)
    found, begun_narrow = [], bool(window)
    for _ in range(6):
        step = (high - low) / (points - 1)
        spots = [low + step * index for index in range(points)]
        found = [evaluate(z) for z in spots]
        tops = [max(each)[0] if each else -inf for each in found]
        best = max(tops)
        inside = [index for index, top in enumerate(tops) if top > best - _NEGLIGIBLE]
        if begun_narrow and (best == -inf or inside[0] == 0 or inside[-1] == points - 1):
            low, high, begun_narrow = -span, span, False
            continue
        if best == -inf or len(inside) >= points // 2:
            break
        low, high = spots[max(inside[0] - 1, 0)], spots[min(inside[-1] + 1, points - 1)]
    if window is not None and best > -inf:
        middle, reach = (low + high) / 2, 0.6 * (high - low)
        window[:] = max(-span, middle - reach), min(span, middle + reach)
    # The grid's own spacing belongs to the weight: grids nested in another grid differ in it.
    return [(weight + log(step), curve) for each in found for weight, curve in each]


def _likeliest(weighed: list[tuple[float, tuple]]) -> list[tuple[float, tuple]]:
    """The likeliest curves that together hold all but _LEFT_OUT of the weight."""
    enough = (1 - _LEFT_OUT) * sum(weight for weight, _ in weighed)
    ordered = sorted(weighed, key=lambda entry: -entry[0])
    held = 0.0
    for count, (weight, _) in enumerate(ordered, 1):
        held += weight
        if held >= enough:
            break
    return ordered[:count]


def fit(loaf: Loaf, direction: str, unit: float, course: _Course | None = None) -> Posterior | None:
    """Every curve that a loaf's scores allow, weighed; None for scores of a single day, and for days
    so late that no curve still moves.

    direction: ``"rises"`` (firmness) or ``"falls"`` (softness). unit: the largest size of score on
    the scale, of all the loaves compared. course: of another loaf scored on the same days, if there is
    one. The exponent is fitted too from EXPONENT_DAYS different days on. Valid for days >= 0. Source: Avrami's equation; Bayes' theorem with the priors named
    in the coefficients firming_time_constant_days, firming_exponent and score_relative_sd.
    """
    count = different_days(loaf.scores)
    if count < 2:
        return None
    sign = 1.0 if direction == RISES else -1.0
    values = [sign * score.score / unit for score in loaf.scores]
    expected_sd = max(SCORE_SD * max(abs(value) for value in values), LEAST_SPREAD)
    scored = _Scores(course or _Course([score.days for score in loaf.scores]), values, expected_sd)

    window: list[float] = []

    def at_exponent(exponent: float, prior: float) -> list:
        def evaluate(z: float) -> list:
            found = scored.curve(_value_at(z, _LOG_TIME_CONSTANT), exponent)
            return [] if found is None else [(found[0] - 0.5 * z * z + prior, found[1])]

        return _resolved(evaluate, _GRID_SPAN_SD, _GRID_POINTS, window)

    if count < EXPONENT_DAYS:
        found = at_exponent(EXPONENT.value, 0.0)
    else:
        found = _resolved(lambda z: at_exponent(_value_at(z, _LOG_EXPONENT), -0.5 * z * z),
                          _EXPONENT_SPAN_SD, _EXPONENT_POINTS)
    if not found:
        return None
    best = max(weight for weight, _ in found)
    kept = [(exp(weight - best), rest) for weight, rest in found if weight > best - _NEGLIGIBLE]
    kept = _likeliest(kept)
    total = sum(weight for weight, _ in kept)
    return Posterior(tuple(scored.node(weight / total, *rest) for weight, rest in kept), scored.freedom, sign, unit)


# ---- Time to the limit ---------------------------------------------------------------------------

TIMES_DAYS = tuple(HORIZON_DAYS * (index / _TIME_POINTS) ** 2 for index in range(_TIME_POINTS + 1))


@dataclass(frozen=True, slots=True)
class TimeToLimit:
    """When a loaf is at the baker's limit, days; an end is None where it is not within the horizon.

    reason: why there is no best value, or why it is 0; None when there is nothing to explain.
    reached: P(at the limit by then) at each of TIMES_DAYS; empty when nothing can be said.
    """

    low: float | None
    best: float | None
    high: float | None
    reason: str | None
    reached: tuple[float, ...] = ()


def time_to_limit(posterior: Posterior, limit: float) -> TimeToLimit:
    """Distribution of the time until the curve reaches the limit: 5 %, median, 95 %.

    P(time <= x) is P(curve at x >= limit), kept from falling where a curve could turn back; times
    beyond the horizon are not told apart. The limit is on the baker's scale.
    """
    level = posterior.sign * limit / posterior.unit
    untold = posterior.untold()
    if untold == AGAINST_DIRECTION:
        return TimeToLimit(None, None, None, AGAINST_DIRECTION)
    reached = _reached_by_time(posterior, level)
    low, best, high = (_when(reached, share) for share in (0.05, 0.5, 0.95))
    reason = None
    if best == 0:
        reason = ALREADY_REACHED
    elif untold == NO_TREND:
        best = high = None
        reason = NO_TREND
    elif best is None:
        reason = NOT_REACHED
    return TimeToLimit(low, best, high, reason, tuple(reached))


def _reached_by_time(posterior: Posterior, level: float) -> list[float]:
    """P(the curve is at or beyond ``level``) at each of TIMES_DAYS, never falling.

    Reckoned at every _TIME_STRIDE-th, and between two of these as long as more than _LITTLE lies between
    them; a straight line fills the rest.
    """
    found: list[float] = [0.0] * len(TIMES_DAYS)
    found[0] = posterior.reached(level, TIMES_DAYS[0])
    for end in range(_TIME_STRIDE, len(TIMES_DAYS), _TIME_STRIDE):
        found[end] = 1.0 if found[end - _TIME_STRIDE] > 1 - CERTAIN else max(
            found[end - _TIME_STRIDE], posterior.reached(level, TIMES_DAYS[end]))
        _fill(found, end - _TIME_STRIDE, end, posterior, level)
    return found


def _fill(found: list[float], start: int, end: int, posterior: Posterior, level: float) -> None:
    """Fill in what lies between two places already reckoned."""
    if end - start < 2:
        return
    if found[end] - found[start] <= _LITTLE:
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
    for index, (one, other) in enumerate(zip(reached, reached[1:])):
        if other >= share:
            part = (share - one) / (other - one)
            return TIMES_DAYS[index] + part * (TIMES_DAYS[index + 1] - TIMES_DAYS[index])
    return None


def _masses(reached: Sequence[float]) -> list[float]:
    """Probability of each interval of TIMES_DAYS, the last one being all beyond the horizon."""
    return [reached[0], *(other - one for one, other in zip(reached, reached[1:])), 1 - reached[-1]]


def probability_longer(one: TimeToLimit, other: TimeToLimit) -> float:
    """Probability that ``one`` reaches its limit later than ``other``; a tie counts half.

    The loaves' scores are taken as independent. Both need ``reached``.
    """
    # Each stretch of time: what falls into it, times what of the rival lies before its middle.
    mine, rival = one.reached, other.reached
    total = mine[0] * rival[0] / 2 + (1 - mine[-1]) * (rival[-1] + (1 - rival[-1]) / 2)
    for before, after, rival_before, rival_after in zip(mine, mine[1:], rival, rival[1:]):
        total += (after - before) * (rival_before + rival_after) / 2
    return total


def probability_longest(times: Sequence[TimeToLimit]) -> list[float]:
    """Probability of each to be the last to reach its limit; ties shared. Adds up to 1."""
    masses = [_masses(time.reached) for time in times]
    wins = [0.0] * len(times)
    before = [0.0] * len(times)
    for here in zip(*masses):
        sooner = [earlier + mass / 2 for earlier, mass in zip(before, here)]
        for index, chance in enumerate(here):
            if chance:
                for rival, rival_sooner in enumerate(sooner):
                    if rival != index:
                        chance *= rival_sooner
                wins[index] += chance
        before = [one + mass for one, mass in zip(before, here)]
    total = sum(wins)
    return [win / total for win in wins] if total > 0 else [1 / len(times)] * len(times)


def rank(times: Sequence[TimeToLimit]) -> list[int]:
    """Positions from the loaf that keeps longest to the one that keeps shortest.

    By the mean probability of outlasting the others, which also orders loaves that never reach the
    limit; equal ones stay in the order given. All need ``reached``.
    """
    wins = [0.0] * len(times)
    for place, one in enumerate(times):
        for other in range(place + 1, len(times)):
            longer = probability_longer(one, times[other])
            wins[place] += longer
            wins[other] += 1 - longer
    return sorted(range(len(times)), key=lambda index: (-round(wins[index], 12), index))


# ---- The loaves together -------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class Kept:
    """What a loaf's scores tell. untold says why no curve can be told from them, None when one can:
    ONE_DAY (posterior None), NO_TREND or AGAINST_DIRECTION."""

    loaf: Loaf
    days: int
    posterior: Posterior | None
    untold: str | None
    time: TimeToLimit


def check(loaves: Sequence[Loaf]) -> None:
    """Refuse loaves that share a name, or scores that are not in the order of days."""
    seen: dict[str, int] = {}
    for index, loaf in enumerate(loaves):
        if loaf.name in seen:
            raise Refusal(f"loaves.{index}.name", "name_taken",
                          f"loaf {seen[loaf.name] + 1} has this name already; the ranking goes by name",
                          given=loaf.name, nearest=_free_name(loaf.name, loaves))
        seen[loaf.name] = index
        for place, (one, other) in enumerate(zip(loaf.scores, loaf.scores[1:])):
            if other.days < one.days:
                raise Refusal(f"loaves.{index}.scores.{place + 1}.days", "days_out_of_order",
                              "the scores go by day, and this day ({day}) is before the one above it "
                              "({above}); scores of the same day may repeat it", given=other.days,
                              nearest=one.days,
                              amounts={"day": (other.days, None), "above": (one.days, None)})


def _free_name(name: str, loaves: Sequence[Loaf]) -> str:
    taken = {loaf.name for loaf in loaves}
    number = 2
    while f"{name} {number}" in taken:
        number += 1
    return f"{name} {number}"


def keep(loaves: Sequence[Loaf], direction: str, limit: float | None = None) -> list[Kept]:
    """Fit each loaf and find when it is at the limit. Raises Refusal as ``check`` does.

    direction: whether the score ``"rises"`` or ``"falls"`` as bread stales. limit: the baker's own,
    on the same scale. Evidence: assumption (the expected spread), from memory (tau, n).
    """
    check(loaves)
    sizes = [abs(score.score) for loaf in loaves for score in loaf.scores]
    unit = max([*sizes, abs(limit) if limit is not None else 0.0]) or 1.0
    kept, course = [], None
    for loaf in loaves:
        days = [score.days for score in loaf.scores]
        if course is None or course.scored != days:
            course = _Course(days)
        posterior = fit(loaf, direction, unit, course)
        untold = ONE_DAY if posterior is None else posterior.untold()
        if posterior is None:
            time = TimeToLimit(None, None, None, ONE_DAY)
        elif limit is None:
            time = TimeToLimit(None, None, None, NO_LIMIT)
        else:
            time = time_to_limit(posterior, limit)
        kept.append(Kept(loaf, different_days(loaf.scores), posterior, untold, time))
    return kept
