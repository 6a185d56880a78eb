"""Keeping by a second route: least squares and Student's t on a fine grid of curves."""

import re
from dataclasses import dataclass
from functools import cache
from math import exp, log

import numpy
from scipy.special import stdtr

from scaldloaf.reference import COEFFICIENTS
from working.arithmetic import Interval, printed
from working.exchange import Z90, Exchange, value

Scores = tuple[tuple[float, float], ...]  # days, score on a rising scale
MUCH_LIKELIER = 0.2  # natural logarithm: the most that a finer grid may gain on the likeliest curve
MEDIAN_OFF = 0.01  # of the time to the limit: the allowed difference of the two grids


@dataclass(frozen=True)
class Curve:
    """One shape: its log weight, and mean and covariance of its start and its change."""

    weight: float
    tau: float
    exponent: float
    mean: numpy.ndarray
    covariance: numpy.ndarray
    freedom: int

    def reached(self, level: float, days: numpy.ndarray) -> numpy.ndarray:
        """Probability that the curve is at or beyond a level after each of some days."""
        rows = _rows(days, self.tau, self.exponent)
        sd = numpy.sqrt(numpy.einsum("ij,jk,ik->i", rows, self.covariance, rows))
        return stdtr(self.freedom, (rows @ self.mean - level) / sd)


def _rows(days: numpy.ndarray, tau: float, exponent: float) -> numpy.ndarray:
    return numpy.column_stack([numpy.ones_like(days), -numpy.expm1(-((days / tau) ** exponent))])


def _at(name: str, z: float) -> float:
    """A coefficient some standard deviations from its best value; its range is 90 %, on the logarithm."""
    row = COEFFICIENTS[name]
    return row.value * (row.high / row.low) ** (z / 2 / Z90)


@cache
def curves_of(scores: Scores) -> list[Curve]:
    """Every possible shape with its weight; flat priors on the scores of the first and the last day."""
    days, seen = numpy.array(scores).T
    expected, worth = value("score_relative_sd") * abs(seen).max(), round(value("score_sd_weight"))
    bends = numpy.linspace(-3, 3, 25) if len(set(days)) >= value("firming_exponent_days") else [0.0]
    found = []
    for bend in bends:
        exponent = _at("firming_exponent", bend)
        for z in numpy.linspace(-4, 4, 81):
            tau = _at("firming_time_constant_days", z)
            rows = _rows(days, tau, exponent)
            mean, squared = numpy.linalg.lstsq(rows, seen, rcond=None)[0], rows.T @ rows
            squares = worth * expected**2 + ((seen - rows @ mean) ** 2).sum()
            freedom = worth + len(seen) - 2
            weight = log(rows[-1][1] - rows[0][1]) - numpy.linalg.slogdet(squared)[1] / 2
            weight -= freedom / 2 * log(squares) + (z * z + bend * bend) / 2
            covariance = numpy.linalg.inv(squared) * squares / freedom
            found.append(Curve(weight, tau, exponent, mean, covariance, freedom))
    return found


@cache
def _median_of(scores: Scores, level: float) -> float:
    """Days until the loaf is at a level with probability one half, over all shapes by weight."""
    curves = curves_of(scores)
    most = max(curve.weight for curve in curves)
    likely = [curve for curve in curves if curve.weight > most - 8]
    days = value("keeping_horizon_days") * numpy.linspace(0, 1, 241) ** 2
    weights = numpy.array([exp(curve.weight - most) for curve in likely])
    reached = numpy.maximum.accumulate(
        weights @ [curve.reached(level, days) for curve in likely] / weights.sum()
    )
    return 0.0 if reached[0] >= 0.5 else float(numpy.interp(0.5, reached, days))


def _scores(exchange: Exchange, name: str) -> tuple[Scores, int]:
    sign = 1 if exchange.request["direction"] == "rises" else -1
    loaf = next(loaf for loaf in exchange.request["loaves"] if loaf["name"] == name)
    return tuple((score["days"], sign * score["score"]) for score in loaf["scores"]), sign


def median_time(exchange: Exchange, step: dict, _) -> Interval:
    name, _, what = step["label"].rpartition(": ")
    scores, sign = _scores(exchange, name)
    limit = exchange.request["limit"]
    if what == "time to the limit at equal volume":
        loaves = {loaf["name"]: loaf.get("specific_volume") for loaf in exchange.request["loaves"]}
        first = next(volume for volume in loaves.values() if volume)
        limit *= (first / loaves[name]) ** value("firmness_volume_exponent")
    median = _median_of(scores, sign * limit)
    return Interval(median * (1 - MEDIAN_OFF), median * (1 + MEDIAN_OFF))


_CURVE = re.compile(r"(\S+) \+ (\S+) × \(1 − exp\(−\(([\d.]+) ÷ ([\d.]+)\)(?:\^([\d.]+))?\)\)")


def fitted_numbers(exchange: Exchange, step: dict) -> list[float]:
    """Checks that no curve fits better and no shape is much likelier; returns the curve's numbers."""
    name, _, what = step["label"].rpartition(": ")
    if exchange.call != "keeping" or not what.startswith("likeliest curve after"):
        return []
    texts = [(text or "1").strip("()") for text in _CURVE.fullmatch(step["expression"]).groups()]
    start, change, last, tau, exponent = map(float, texts)
    scores, sign = _scores(exchange, name)
    days, seen = numpy.array(scores).T
    assert printed(texts[2]).holds(days[-1]), f"{last} is not the last day"
    best = sign * numpy.linalg.lstsq(_rows(days, tau, exponent), seen, rcond=None)[0]
    assert numpy.allclose([start, change], best, rtol=1e-4, atol=1e-4 * abs(seen).max()), (
        f"{best} fits better"
    )
    curves = curves_of(scores)
    near = min(curves, key=lambda curve: abs(log(curve.tau / tau)) + abs(log(curve.exponent / exponent)))
    assert max(curve.weight for curve in curves) - near.weight < MUCH_LIKELIER, (
        f"{tau} days are not the likeliest"
    )
    return [start, change, tau, exponent]
