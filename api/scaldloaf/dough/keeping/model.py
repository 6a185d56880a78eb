"""The curve of firming, and its least squares for one shape.

firmness(t) = F0 + (Finf - F0)(1 - exp(-(t/tau)^n)). For a shape (tau, n) it is linear in the start F0 and the
change Finf - F0, so these two and the noise are integrated in closed form. Inside, scores rise as bread
stales and are scaled to about 1.
"""

from array import array
from collections.abc import Sequence
from functools import partial
from math import expm1, log, sqrt
from operator import mul
from typing import NamedTuple

from scaldloaf.reference import coefficient

SCORE_RELATIVE_SD = coefficient("score_relative_sd").value
SCORE_SD_WEIGHT = coefficient("score_sd_weight").value

LEAST_SPREAD = 1e-9  # of scores scaled to 1: the noise is never expected below this
FLAT = 1e-20  # sum of squares of the progress below which a shape is flat over all the days


def progress(days: float, time_constant_days: float, exponent: float) -> float:
    """Fraction of the firming done: 1 - exp(-(t/tau)^n), 0 at 0 days and 1 in the end.

    days >= 0, tau > 0, n > 0. Avrami's equation as used for crumb firming; n near 1. From memory.
    """
    return -expm1(-((days / time_constant_days) ** exponent)) if days > 0 else 0.0


class ShapeOverDays(NamedTuple):
    """What a shape makes of some days, whatever the scores.

    mean_done: mean progress of the scores. off: each day's progress less that mean, times its scores.
    squares: sum of these differences squared, score by score. log_weight: of the shape, by the days alone.
    """

    mean_done: float
    off: Sequence[float]
    squares: float
    log_weight: float


class ScoredDays:
    """Days with scores, and what shapes make of them: one for all loaves scored on the same days."""

    def __init__(self, days: Sequence[float]) -> None:
        self.scored = list(days)
        self.days = list(dict.fromkeys(days))
        self._repeated = [
            (index, count) for index, day in enumerate(self.days) if (count := self.scored.count(day)) > 1
        ]
        self._known: dict[tuple[float, float], ShapeOverDays | None] = {}

    def counted(self, values: list[float]) -> list[float]:
        """A value of each day times the scores of that day."""
        if not self._repeated:
            return values
        values = values.copy()
        for index, count in self._repeated:
            values[index] *= count
        return values

    def of(self, time_constant_days: float, exponent: float) -> ShapeOverDays | None:
        """What a shape makes of the days; None where it is already flat over all of them."""
        shape = time_constant_days, exponent
        if shape not in self._known:
            self._known[shape] = self._of(*shape)
        return self._known[shape]

    def _of(self, time_constant_days: float, exponent: float) -> ShapeOverDays | None:
        done = [-expm1(-((days / time_constant_days) ** exponent)) for days in self.days]
        mean = sum(self.counted(done)) / len(self.scored)
        off = [part - mean for part in done]
        counted = self.counted(off)
        squares = sum(map(mul, counted, off))
        if squares < FLAT:
            return None
        return ShapeOverDays(mean, array("d", counted), squares, log(done[-1] - done[0]) - 0.5 * log(squares))


class LeastSquares(NamedTuple):
    """Start and change that fit the scores best, for one shape (tau, n), with the sums behind their doubt.

    log_weight: of the shape, by days and scores. mean_done, squares: as in ``ShapeOverDays``. noise_squares:
    the squares of the scores about the curve, with those that the prior of the noise is worth.
    """

    log_weight: float
    time_constant_days: float
    exponent: float
    start: float
    change: float
    mean_done: float
    squares: float
    noise_squares: float


# LeastSquares(*fields) without argument parsing: made for every shape that is tried.
_least_squares = partial(tuple.__new__, LeastSquares)


class Curve(NamedTuple):
    """One shape with its weight, and what the scores then say of start and change.

    start, change: means. v_start, v_both, v_change: their covariance over the variance of the noise. scale:
    standard deviation of the noise.
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
        """Mean of start x F0 + change x (Finf - F0)."""
        return start * self.start + change * self.change

    def sd(self, start: float, change: float) -> float:
        """Standard deviation of start x F0 + change x (Finf - F0)."""
        return self.scale * sqrt(
            max(
                0.0,
                start * start * self.v_start
                + 2 * start * change * self.v_both
                + change * change * self.v_change,
            )
        )


class Scored:
    """The scores of a loaf (rising, scaled to about 1), with the sums over them that no shape changes."""

    def __init__(self, course: ScoredDays, values: Sequence[float]) -> None:
        self.course = course
        by_day: dict[float, list[float]] = {}
        for days, value in zip(course.scored, values, strict=True):
            by_day.setdefault(days, []).append(value)
        means = [sum(each) / len(each) for each in by_day.values()]
        self.count = len(values)
        self.freedom = round(SCORE_SD_WEIGHT) + self.count - 2
        self._half_freedom = 0.5 * self.freedom
        expected_sd = max(SCORE_RELATIVE_SD * max(abs(value) for value in values), LEAST_SPREAD)
        self._expected_squares = SCORE_SD_WEIGHT * expected_sd**2
        self._mean = sum(course.counted(means)) / self.count
        self._off = [mean - self._mean for mean in means]  # each day's mean less that of all
        within = [
            sum([(value - mean) ** 2 for value in each])
            for each, mean in zip(by_day.values(), means, strict=True)
        ]
        self._squares = sum(
            [
                own + counted * off
                for own, counted, off in zip(within, course.counted(self._off), self._off, strict=True)
            ]
        )

    def fit(self, time_constant_days: float, exponent: float) -> LeastSquares | None:
        """Least squares of start and change for one shape; None where it is flat over all the days.

        Flat priors on the curve's values at the first and the last day, so that two scores say nothing of the
        shape. The variance of the noise has an inverse-gamma prior worth SCORE_SD_WEIGHT scores, which keeps
        the difference of squares below far from nothing.
        """
        shape = self.course.of(time_constant_days, exponent)
        if shape is None:
            return None
        mean_done, counted, squares, log_weight = shape
        change = sum(map(mul, counted, self._off)) / squares
        start = self._mean - change * mean_done
        noise = self._expected_squares + max(0.0, self._squares - change * change * squares)
        return _least_squares(
            (
                log_weight - self._half_freedom * log(noise),
                time_constant_days,
                exponent,
                start,
                change,
                mean_done,
                squares,
                noise,
            )
        )

    def curve(self, weight: float, fit: LeastSquares) -> Curve:
        """The curve of a shape, given its weight."""
        _, time_constant_days, exponent, start, change, mean_done, squares, noise = fit
        v_start, v_both, v_change = 1 / self.count + mean_done**2 / squares, -mean_done / squares, 1 / squares
        scale = sqrt(noise / self.freedom)
        return Curve(weight, time_constant_days, exponent, start, change, v_start, v_both, v_change, scale)
