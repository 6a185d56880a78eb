"""Proof time at a share, from own trials."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, hypot, log, log1p, sqrt
from typing import NamedTuple

from scaldloaf.dough.estimate import NORMAL_90, Estimate
from scaldloaf.dough.trials.bakes import SAME_POINTS, Trial
from scaldloaf.reference import coefficient

PROOF_TIME_RELATIVE_SD = coefficient("proof_time_relative_sd").value

RISES, FALLS, NOT_KNOWN = "rises", "falls", "not_known"
OWN_SHARE, TREND, UNTIMED, TOO_WIDE = "own_share", "trend", "unknown", "too_wide"
LOG_TOO_WIDE = log(3)  # half of an interval of ln(proof time) that is of no use
LOG_TOO_FAR = log(1000)  # numerics: a move of ln(proof time) that no dough makes


@dataclass(frozen=True, slots=True)
class ProofTime:
    """Proof minutes at a share, from own trials, or None and why.

    rule: OWN_SHARE (the mean of trials at that share), TREND (a straight line of ln(minutes) by share),
    UNTIMED or TOO_WIDE. trials: how many were timed. percent_per_ten_points: the trend. extrapolated: the
    share lies outside those of the trials.
    """

    minutes: Estimate | None
    rule: str
    trials: int
    percent_per_ten_points: Estimate | None = None
    extrapolated: bool = False

    @property
    def minutes_per_share_point(self) -> Estimate | None:
        """The slope of the trend at that share, minutes per point of share; None without a trend."""
        trend, minutes = self.percent_per_ten_points, self.minutes
        if trend is None or minutes is None:
            return None
        best = minutes.best
        return trend.map(lambda percent: best * log1p(percent / 100) / 10)

    @property
    def trials_say(self) -> str:
        """Whether the trials' own times rise or fall with the share, or that is not known."""
        trend = self.percent_per_ten_points
        if trend is None or trend.low <= 0 <= trend.high:
            return NOT_KNOWN
        return RISES if trend.low > 0 else FALLS


def proof_time(trials: Sequence[Trial], share_percent: float) -> ProofTime:
    """What the trials say of proof time at a share, percent of total flour.

    That it rises with the share is published, by how much is not. So without trials at two shares there is
    a number only for a share already baked. Least squares of ln(minutes) on share; scatter from the
    residuals, never less than the usual. The interval is that of the next bake; where the trials' times
    fall, against what is published, it also holds what a time that does not move would be. Evidence:
    assumption (own trials, assumed scatter).
    """
    timed = [(trial.share_percent, log(trial.proof_minutes)) for trial in trials if trial.proof_minutes]
    count = len(timed)
    if not count:
        return ProofTime(None, UNTIMED, 0)
    shares = [share for share, _ in timed]
    centre = sum(shares) / count
    mean = sum([minutes for _, minutes in timed]) / count
    lowest, highest = min(shares), max(shares)
    if highest - lowest <= SAME_POINTS:
        if abs(share_percent - centre) > SAME_POINTS:
            return ProofTime(None, UNTIMED, count)
        scatter = _scatter([minutes - mean for _, minutes in timed], 1)
        return ProofTime(_around(mean, scatter * sqrt(1 + 1 / count)), OWN_SHARE, count)
    width = sum([(share - centre) ** 2 for share in shares])
    slope = sum([(share - centre) * minutes for share, minutes in timed]) / width
    scatter = _scatter([minutes - mean - slope * (share - centre) for share, minutes in timed], 2)
    slope_sd = scatter / sqrt(width)
    sd = scatter * sqrt(1 + 1 / count + (share_percent - centre) ** 2 / width)
    if NORMAL_90 * max(sd, 10 * slope_sd) > LOG_TOO_WIDE:
        return ProofTime(None, TOO_WIDE, count)
    minutes = _around(mean + slope * (share_percent - centre), sd)
    trend = _around(10 * slope, 10 * slope_sd).map(lambda factor: 100 * (factor - 1))
    if trend.high < 0:
        level = _around(mean, scatter * sqrt(1 + 1 / count))
        minutes = minutes._replace(low=min(minutes.low, level.low), high=max(minutes.high, level.high))
    return ProofTime(
        minutes=minutes,
        rule=TREND,
        trials=count,
        percent_per_ten_points=trend,
        extrapolated=not lowest - SAME_POINTS <= share_percent <= highest + SAME_POINTS,
    )


class KnownProof(NamedTuple):
    """A proof time known at one share, and how it moves from there: what ``proof_time`` has found before.

    minutes: at share_percent; None: not known. minutes_per_share_point: None: known at that share only.
    """

    share_percent: float
    minutes: Estimate | None
    minutes_per_share_point: Estimate | None


def proof_minutes_at(known: KnownProof, share_percent: float) -> Estimate | None:
    """Proof time at another share, minutes; None where nothing is known of it, or nothing that can be.

    ln(minutes) is straight in the share. Its half-width: that of the known time and that of the slope times
    the way, in quadrature. Evidence: assumption.
    """
    minutes, slope, way = known.minutes, known.minutes_per_share_point, share_percent - known.share_percent
    if minutes is None:
        return None
    if abs(way) <= SAME_POINTS:
        return minutes
    if slope is None:
        return None
    moved = slope.best * way / minutes.best
    of_slope = (slope.high - slope.low) / 2 * way / minutes.best
    low = hypot(log(minutes.best / minutes.low), of_slope)
    high = hypot(log(minutes.high / minutes.best), of_slope)
    if max(low, high) > LOG_TOO_WIDE or abs(moved) > LOG_TOO_FAR:
        return None
    mean = log(minutes.best) + moved
    return Estimate(exp(mean - low), exp(mean), exp(mean + high), "assumption")


def _scatter(residuals: Sequence[float], unknowns: int) -> float:
    """Standard deviation of residuals left by a fit of some unknowns, never less than the usual."""
    free = len(residuals) - unknowns
    if free <= 0:
        return PROOF_TIME_RELATIVE_SD
    return max(PROOF_TIME_RELATIVE_SD, sqrt(sum([residual**2 for residual in residuals]) / free))


def _around(mean: float, sd: float) -> Estimate:
    """The 90 % interval of a number whose logarithm is normal."""
    half = NORMAL_90 * sd
    return Estimate(exp(mean - half), exp(mean), exp(mean + half), "assumption")
