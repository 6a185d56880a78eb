"""Trials: what a baker's measured bakes teach, and which bake would teach most next.

The model is that of ``volume``: ln(specific volume) = level + ln g(share; loss) + ln s(distance from
the optimum water; slope). Each trial measures volume per gram of dough. The three unknowns (level,
loss, slope) have normal priors; measuring and bake-to-bake scatter are normal, and now and then a
bake is unsound (something went wrong and was not noted). The posterior is found by Gauss-Newton
steps; at each the likeliest sets of unsound bakes are weighed against each other, so that one bad
bake among good ones hardly counts and two bakes that disagree leave the doubt wide.

Shares and hydrations are in percent of total flour, water slopes in points of hydration per point of
share. Intervals hold 90 % unless said otherwise.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations
from math import exp, hypot, inf, log, pi, sqrt
from typing import NamedTuple

from scaldloaf.dough.bread import BAKE_TO_BAKE_RELATIVE_SD as BAKE_TO_BAKE_SD
from scaldloaf.dough.bread import SPECIFIC_VOLUME_PRIOR as PRIOR
from scaldloaf.dough.bread import VOLUME_MEASUREMENT_RELATIVE_SD as MEASURED_SD
from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.estimate import NORMAL_90, Estimate
from scaldloaf.dough.limits import BAKE_LOSS_LIDDED_PERCENT as BAKE_LOSS_LIDDED
from scaldloaf.dough.limits import BAKE_LOSS_OPEN_PERCENT as BAKE_LOSS_OPEN
from scaldloaf.dough.limits import BAKE_LOSS_UPPER_PERCENT, ROUNDING
from scaldloaf.dough.limits import SCALD_SHARE_LIMIT_PERCENT as SHARE_NOTE_PERCENT
from scaldloaf.dough.limits import SHARE_UPPER_BOUND_PERCENT as SHARE_LIMIT_PERCENT
from scaldloaf.dough.limits import SPECIFIC_VOLUME_REFUSE_HIGH as REFUSE_HIGH
from scaldloaf.dough.limits import SPECIFIC_VOLUME_REFUSE_LOW as REFUSE_LOW
from scaldloaf.dough.loaf_limits import require_loaf
from scaldloaf.dough.pan import Box, Oval, Pan, Round, Tapered
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.volume import SHARE_VOLUME_LOSS as SHARE_LOSS
from scaldloaf.dough.volume import WATER_VOLUME_CURVATURE as WATER_CURVATURE
from scaldloaf.dough.volume import (
    baked_mass_g, log_volume_gradient, share_over_threshold, share_volume_factor, specific_volume,
    water_volume_factor,
)
from scaldloaf.dough.water_rule import SCALD_WATER_SLOPE_RATIO as SCALD_RATIO
from scaldloaf.dough.water_rule import OwnSlope, water_slope_at
from scaldloaf.reference import coefficient

LEVEL_PRIOR_SD = coefficient("log_specific_volume_prior_sd").value
LOSS_PRIOR_SD = coefficient("share_volume_loss_prior_sd").value
BAKE_LOSS_PRIOR_SD = coefficient("bake_loss_prior_sd_points").value
BAKE_LOSS_TRIAL_SD = coefficient("bake_loss_trial_sd_points").value
UNSOUND_CHANCE = coefficient("unsound_bake_chance").value
UNSOUND_SD = coefficient("unsound_bake_relative_sd").value
FLAG_BELOW = coefficient("sound_bake_flag").value
CONTRADICTION_RATIO = coefficient("contradicting_volume_ratio").value
WATER_LIMIT_POINTS = coefficient("trial_water_limit_points").value
WATER_STEP_POINTS = coefficient("trial_water_step_points").value
CROWN_FRACTION = coefficient("crown_cap_fraction")
PROOF_SD = coefficient("proof_time_relative_sd").value

# Of the curvature's range, as a 90 % interval: what a bake off the optimum can say about anything else.
CURVATURE_SD = (WATER_CURVATURE.high - WATER_CURVATURE.low) / (2 * NORMAL_90)
# Of the range of the bake-to-bake scatter, the same on the logarithm.
LOG_SPREAD_SD = log(BAKE_TO_BAKE_SD.high / BAKE_TO_BAKE_SD.low) / (2 * NORMAL_90)

SAME_POINTS = 0.5           # shares or hydrations closer than this are one, for telling bakes of one bread
SHARE_STEP_PERCENT = 10.0   # how far from the wanted share a bake is proposed that is to teach
LOG_TOO_WIDE = log(3)       # half of an interval of proof time that is of no use
# Numerics: how the posterior is searched, not facts of the craft.
SPREADS = tuple(BAKE_TO_BAKE_SD.value * 2 ** (step / 2) for step in range(-4, 7))
MOST_TURNED, LEVELS, LEAST_WIDTH, MOST_WIDTH = 500, 8, 2, 8
LIKELY, KEPT, MOST_KEPT = 0.03, 0.95, 60
STEPS, SETTLED, SLOW = 8, 1e-6, 0.7
FIRST_STEPS, NEARLY_SETTLED = 4, 0.01       # until the scatter is known
LOG_LIKELY, LOG_NOTHING = log(LIKELY), -40.0
UNSOUND_VARIANCE = UNSOUND_SD ** 2
LEAST_FACTOR = 0.1          # of the volume, below which no tangent is drawn
WATER_REACH_POINTS = WATER_LIMIT_POINTS + WATER_STEP_POINTS

Vector = tuple[float, float, float]
Matrix = tuple[Vector, Vector, Vector]


@dataclass(frozen=True, slots=True)
class Trial:
    """One measured bake.

    volume_relative_sd: how well its volume was measured, as a fraction. hydration_percent None: its
    water is taken to have been right. baked_mass_g: of the cooled loaf.
    """

    share_percent: float
    dough_mass_g: float
    loaf_volume_cm3: float
    volume_relative_sd: float = MEASURED_SD.value
    hydration_percent: float | None = None
    baked_mass_g: float | None = None
    proof_minutes: float | None = None


@dataclass(frozen=True, slots=True)
class WaterBase:
    """A share and the hydration known, or taken, to be right for it."""

    share_percent: float
    hydration_percent: float


@dataclass(frozen=True, slots=True)
class Reading:
    """One trial as the fit sees it.

    predicted_volume_cm3: what the fit expects of that dough. off_percent: measured over predicted,
    less 1. soundness: how likely the bake is one like the others (its weight in the fit).
    off_optimum_points: its water, None when not stated. specific_volume: by its own baked mass, or
    else by the bake loss of the fit.
    """

    predicted_volume_cm3: float
    off_percent: float
    soundness: float
    off_optimum_points: float | None
    specific_volume: float

    @property
    def flagged(self) -> bool:
        return self.soundness < FLAG_BELOW


@dataclass(frozen=True, slots=True)
class TrialFit:
    """What trials have taught. ``base`` is where the water is taken to be right (None: no trial says
    its water); tells_water: two trials differ in water at one share away from the base's."""

    calibration: Calibration
    readings: tuple[Reading, ...]
    base: WaterBase | None
    tells_water: bool
    slope_prior: Estimate

    def _estimate(self, index: int, best: float) -> Estimate:
        half = NORMAL_90 * sqrt(self.calibration.covariance[index][index])
        return Estimate(best - half, best, best + half, "assumption")

    @property
    def reference_specific_volume(self) -> Estimate:
        """Without scald, at the optimum water, cm3/g."""
        return self._estimate(0, self.calibration.log_specific_volume).map(exp)

    @property
    def share_volume_loss(self) -> Estimate:
        return self._estimate(1, self.calibration.share_volume_loss)

    @property
    def water_slope(self) -> Estimate:
        return OwnSlope.of(self.calibration).slope

    def optimum_hydration(self, share_percent: float) -> Estimate | None:
        """The right hydration at a share: the base's plus the slope times the way to it."""
        if self.base is None:
            return None
        way = share_percent - self.base.share_percent
        return self.water_slope.map(lambda slope: self.base.hydration_percent + slope * way)

    def off_optimum_points(self, share_percent: float, hydration_percent: float | None) -> float:
        """A hydration less the optimum at its share; 0 when either is not known."""
        if hydration_percent is None or self.base is None:
            return 0.0
        return hydration_percent - self.optimum_hydration(share_percent).best


# Volume from a pan and the crown

def rim_area_cm2(pan: Pan) -> float | None:
    """Area of the pan's opening, cm2; None for a pan known only by its volume. Exact."""
    match pan:
        case Box(length, width, _):
            return length * width
        case Tapered(length, width, _, _, _):
            return length * width
        case Oval(length, width, _, _, _):
            return pi / 4 * length * width
        case Round(diameter, _, _):
            return pi / 4 * diameter * diameter
    return None


def crown_volume_cm3(pan: Pan, crown_height_cm: float, at: str = "pan") -> float:
    """Volume of the crown above the rim, cm3: rim area x height x crown_cap_fraction (half an ellipsoid).

    crown_height_cm: from the rim to the loaf's highest point. Refusal for a pan without dimensions.
    Evidence: geometry of an assumed shape.
    """
    area = rim_area_cm2(pan)
    if area is None:
        raise Refusal(f"{at}.kind", "rim_unknown",
                      "the crown is reckoned over the pan's rim, and this pan is known only by what it "
                      "holds; give its inside dimensions, or the loaf's volume")
    return CROWN_FRACTION.value * area * crown_height_cm


# The fit

def fit_trials(trials: Sequence[Trial], base: WaterBase | None = None, liquid_ratio: float = SCALD_RATIO,
               open_top: bool = False) -> TrialFit:
    """The posterior of a baker's reference volume, volume loss with share, water slope and bake loss.

    base: where the water is known to be right; left out, the trial of lowest share that states its
    hydration (the tallest of them). liquid_ratio of the scald sets the slope's prior; open_top the
    bake loss's. Raises Refusal (``trials.N.field``) for a bake that no pan loaf is, and for two that
    contradict each other with nothing to tell which is wrong.
    """
    bake_loss, bake_loss_sd = _fit_bake_loss(trials, open_top)
    for index, trial in enumerate(trials):
        _check_trial(trial, index, bake_loss)
    base = base or _lowest_base(trials)
    slope = water_slope_at(liquid_ratio)
    model = _Model.of(trials, base, slope, bake_loss)
    for index, trial in enumerate(trials):
        _check_water(trial, index, base, slope.best)
    spread, posterior = _fit(model)
    level, loss, k = posterior.mean
    _check_posterior(level)
    calibration = Calibration(
        log_specific_volume=level, share_volume_loss=loss, water_slope=k, covariance=posterior.covariance,
        bake_loss_percent=bake_loss, bake_loss_sd_percent=bake_loss_sd, spread_percent=100 * spread,
        trials=len(trials), base_share_percent=base.share_percent if base else 0.0)
    readings = tuple(_read(trial, point, mean, soundness, bake_loss)
                     for trial, point, mean, soundness in
                     zip(trials, model.points, model.means(posterior.mean), posterior.soundness))
    _check_contradictions(trials, readings)
    return TrialFit(calibration, readings, base, _tells_water(trials, base), slope)


def _fit_bake_loss(trials: Sequence[Trial], open_top: bool) -> tuple[float, float]:
    """Mean bake loss of the trials that weighed the loaf, shrunk to the trade's, and the standard
    deviation of the next bake's, both in percent of the dough (normal prior and scatter)."""
    prior = (BAKE_LOSS_OPEN if open_top else BAKE_LOSS_LIDDED).value
    for index, trial in enumerate(trials):
        _check_masses(trial, index)
    seen = [100 * (1 - trial.baked_mass_g / trial.dough_mass_g) for trial in trials
            if trial.baked_mass_g is not None]
    prior_precision, precision = BAKE_LOSS_PRIOR_SD ** -2, BAKE_LOSS_TRIAL_SD ** -2
    total = prior_precision + len(seen) * precision
    return (prior_precision * prior + precision * sum(seen)) / total, hypot(total ** -0.5, BAKE_LOSS_TRIAL_SD)


def _lowest_base(trials: Sequence[Trial]) -> WaterBase | None:
    stated = [trial for trial in trials if trial.hydration_percent is not None]
    if not stated:
        return None
    base = min(stated, key=lambda trial: (trial.share_percent, -_per_dough(trial), trial.hydration_percent))
    return WaterBase(base.share_percent, base.hydration_percent)


def _tells_water(trials: Sequence[Trial], base: WaterBase | None) -> bool:
    wet = [trial for trial in trials if trial.hydration_percent is not None and base is not None
           and abs(trial.share_percent - base.share_percent) > SAME_POINTS]
    return any(abs(one.share_percent - other.share_percent) <= SAME_POINTS
               and abs(one.hydration_percent - other.hydration_percent) > SAME_POINTS
               for one, other in combinations(wet, 2))


def _read(trial: Trial, point: "_Point", mean: float, soundness: float, bake_loss: float) -> Reading:
    baked = baked_mass_g(trial.dough_mass_g, bake_loss)
    predicted = exp(mean) * baked
    return Reading(predicted, 100 * (trial.loaf_volume_cm3 / predicted - 1), soundness,
                   point.off_optimum_points,
                   specific_volume(trial.loaf_volume_cm3, trial.baked_mass_g or baked))


@dataclass(slots=True)
class _Point:
    """A trial as data: its log specific volume, how well it was measured, and where it stands.

    off_optimum_points, of the slope last tried; None when the trial does not state its water.
    """

    share_percent: float
    hydration_percent: float | None
    log_volume: float
    measured_sd: float
    off_optimum_points: float | None = None


@dataclass(frozen=True, slots=True)
class _Posterior:
    """Mean and covariance of (level, loss, slope), and each trial's soundness."""

    mean: Vector
    covariance: Matrix
    soundness: tuple[float, ...]


class _Model:
    """Data, priors and the tangent of the model at a guess of its unknowns."""

    def __init__(self, points: list[_Point], base: WaterBase | None, prior: Vector, prior_sd: Vector):
        self.points, self.base, self.prior, self.prior_sd = points, base, prior, prior_sd
        over = max((share_over_threshold(point.share_percent) for point in points), default=0.0)
        self._most_loss = (1 - LEAST_FACTOR) / over if over else inf

    @classmethod
    def of(cls, trials: Sequence[Trial], base: WaterBase | None, slope: Estimate,
           bake_loss: float) -> "_Model":
        points = [_Point(trial.share_percent, trial.hydration_percent,
                         log(trial.loaf_volume_cm3 / baked_mass_g(trial.dough_mass_g, bake_loss)),
                         trial.volume_relative_sd) for trial in trials]
        return cls(points, base, (log(PRIOR.value), SHARE_LOSS.value, slope.best),
                   (LEVEL_PRIOR_SD, LOSS_PRIOR_SD, (slope.high - slope.low) / (2 * NORMAL_90)))

    def _place(self, slope: float) -> None:
        """Where each trial stands against the optimum water, if the slope is that."""
        for point in self.points:
            if point.hydration_percent is not None:
                way = point.share_percent - self.base.share_percent
                point.off_optimum_points = point.hydration_percent - self.base.hydration_percent - slope * way

    def _tried(self, guess: Vector) -> Vector:
        """The guess, its loss drawn back to where every trial still has a volume."""
        return guess[0], min(guess[1], self._most_loss), guess[2]

    def means(self, guess: Vector) -> list[float]:
        """Expected log specific volume of each trial."""
        level, loss, slope = self._tried(guess)
        self._place(slope)
        return [level + log(share_volume_factor(point.share_percent, loss))
                + log(water_volume_factor(_within_reach(point.off_optimum_points))) for point in self.points]

    def tangent(self, guess: Vector) -> tuple[Vector, list["_Row"]]:
        """The guess as tried, and the model's tangent there."""
        guess = self._tried(guess)
        base_share = self.base.share_percent if self.base else 0.0
        rows = []
        for point, mean in zip(self.points, self.means(guess)):
            off = _within_reach(point.off_optimum_points)
            doubt = hypot(point.measured_sd, _curvature_doubt(off))
            _, by_loss, by_slope = log_volume_gradient(point.share_percent, guess[1], off, base_share)
            rows.append(_Row(by_loss, by_slope, point.log_volume - mean, doubt * doubt))
        return guess, rows

    def weighed(self, guess: Vector, rows: Sequence["_Row"], spread: float, unsound_chance: float) -> "_Sets":
        """The likeliest sets of unsound bakes under the linearised model."""
        ahead = tuple(prior - value for prior, value in zip(self.prior, guess))
        return _weigh(ahead, self.prior_sd, rows, spread, unsound_chance)


def _within_reach(off_optimum_points: float | None) -> float:
    """The distance from the optimum that the volume factor is still drawn at."""
    return min(max(off_optimum_points or 0.0, -WATER_REACH_POINTS), WATER_REACH_POINTS)


def _curvature_doubt(off_optimum_points: float) -> float:
    """Standard deviation that an ill-known curvature puts on ln(volume) away from the optimum water."""
    return CURVATURE_SD * (off_optimum_points / 100) ** 2


def _fit(model: _Model, unsound_chance: float = UNSOUND_CHANCE,
         spread: float | None = None) -> tuple[float, _Posterior]:
    """The bake-to-bake scatter and the posterior, by Gauss-Newton steps from the prior.

    The scatter, unless given, is the likeliest on SPREADS under a log-normal prior around the usual.
    """
    steps, enough = (STEPS, SETTLED) if spread else (FIRST_STEPS, NEARLY_SETTLED)
    mean, mixture = _settle(model, model.prior, spread or BAKE_TO_BAKE_SD.value, unsound_chance, steps, enough)
    if spread is None:
        spread = _likeliest_spread(model, mean, unsound_chance)
        mean, mixture = _settle(model, mean, spread, unsound_chance)
    return spread, _Posterior(mean, mixture.covariance(), mixture.soundness())


def _settle(model: _Model, start: Vector, spread: float, unsound_chance: float,
            steps: int = STEPS, enough: float = SETTLED) -> tuple[Vector, "_Mixture"]:
    """Gauss-Newton to where the posterior's mean is where the tangent was drawn; steps that hardly
    shorten are halved. Returns the posterior's mean, and the posterior from the last tangent."""
    guess, before = start, inf
    for _ in range(steps):
        guess, rows = model.tangent(guess)
        mixture = model.weighed(guess, rows, spread, unsound_chance).mixture()
        mean = _plus(guess, mixture.mean)
        move = [new - old for new, old in zip(mean, guess)]
        length = max(abs(part) / sd for part, sd in zip(move, model.prior_sd))
        if length < enough:
            break
        share = 1.0 if length < SLOW * before else 0.5
        guess = _plus(guess, tuple(share * part for part in move))
        before = length
    return mean, mixture


def _likeliest_spread(model: _Model, guess: Vector, unsound_chance: float) -> float:
    """The bake-to-bake scatter the data speak for, between the tabled ones by a parabola."""
    guess, rows = model.tangent(guess)

    def score(spread: float) -> float:
        away = log(spread / BAKE_TO_BAKE_SD.value) / LOG_SPREAD_SD
        return model.weighed(guess, rows, spread, unsound_chance).evidence - away * away / 2

    scores: dict[int, float] = {}

    def at(index: int) -> float:
        if index not in scores:
            scores[index] = score(SPREADS[index])
        return scores[index]

    def uphill(index: int) -> int:
        while index < len(SPREADS) - 2 and at(index + 1) > at(index):
            index += 1
        while index > 1 and at(index - 1) > at(index):
            index -= 1
        return index

    best, widest = uphill(SPREADS.index(BAKE_TO_BAKE_SD.value)), len(SPREADS) - 2
    if at(widest) > at(best):       # bakes in two camps: wide scatter, rather than half of them gone wrong
        best = uphill(widest)
    left, here, right = at(best - 1), at(best), at(best + 1)
    bend = left - 2 * here + right
    shift = (left - right) / (2 * bend) if bend < 0 else 0.0
    return SPREADS[best] * exp(min(max(shift, -1.0), 1.0) * log(SPREADS[1] / SPREADS[0]))


# What the next bake would teach

@dataclass(frozen=True, slots=True)
class Lesson:
    """A bake that might come next, and what it is expected to teach.

    kind: ``same`` (the bread wanted), ``without_scald``, ``more_scald``, ``less_water`` or
    ``more_water``. narrows_dough_percent: how much narrower the interval of the wanted bread's dough
    would be after it, narrows_water_percent that of the water slope.
    """

    kind: str
    share_percent: float
    off_optimum_points: float
    narrows_dough_percent: float
    narrows_water_percent: float


def lessons(fit: TrialFit, share_percent: float, off_optimum_points: float = 0.0,
            volume_relative_sd: float = MEASURED_SD.value) -> tuple[Lesson, ...]:
    """Bakes that might come next, the one that teaches most about the wanted bread's dough first.

    For a normal posterior the narrowing does not depend on what the bake will measure, so it is known
    beforehand: C - C J J' C / (J' C J + variance of the bake). Evidence: the model's.
    """
    calibration = fit.calibration
    spread = calibration.spread_percent / 100
    wanted = _gradient(calibration, share_percent, off_optimum_points)
    before = _spanned(calibration.covariance, wanted) + spread ** 2
    slope_variance = calibration.covariance[2][2]
    found = []
    for kind, share, off in _candidates(fit, share_percent, off_optimum_points):
        gradient = _gradient(calibration, share, off)
        gained = _times(calibration.covariance, gradient)
        variance = _dot(gradient, gained) + volume_relative_sd ** 2 + spread ** 2 + _curvature_doubt(off) ** 2
        after = before - _dot(wanted, gained) ** 2 / variance
        slope_after = slope_variance - gained[2] ** 2 / variance
        found.append(Lesson(kind, share, off, 100 * (1 - sqrt(after / before)),
                            100 * (1 - sqrt(slope_after / slope_variance))))
    return tuple(sorted(found, key=lambda lesson: -lesson.narrows_dough_percent))


def _candidates(fit: TrialFit, share_percent: float, off_optimum_points: float):
    yield "same", share_percent, off_optimum_points
    if share_percent > SHARE_STEP_PERCENT:
        yield "without_scald", 0.0, 0.0
    if share_percent + SHARE_STEP_PERCENT <= SHARE_NOTE_PERCENT:
        yield "more_scald", share_percent + SHARE_STEP_PERCENT, 0.0
    if fit.base is not None and share_percent > SAME_POINTS:
        yield "less_water", share_percent, off_optimum_points - WATER_STEP_POINTS
        yield "more_water", share_percent, off_optimum_points + WATER_STEP_POINTS


def _gradient(calibration: Calibration, share_percent: float, off_optimum_points: float) -> Vector:
    return log_volume_gradient(share_percent, calibration.share_volume_loss, off_optimum_points,
                               calibration.base_share_percent)


def _spanned(covariance: Matrix, gradient: Vector) -> float:
    return _dot(gradient, _times(covariance, gradient))


# Proof time

@dataclass(frozen=True, slots=True)
class ProofTime:
    """Proof minutes at a share, from own trials, or None and why.

    rule: ``own_share`` (the mean of trials at that share), ``trend`` (a straight line of ln(minutes)
    by share), ``unknown`` or ``too_wide``. percent_per_ten_points: the trend. extrapolated: the share
    lies outside those of the trials.
    """

    minutes: Estimate | None
    rule: str
    trials: int
    percent_per_ten_points: Estimate | None = None
    extrapolated: bool = False


def proof_time(trials: Sequence[Trial], share_percent: float) -> ProofTime:
    """What the trials say of proof time at a share; that it rises with the share is published, by how
    much is not, so without trials at two shares there is a number only for a share already baked.

    Least squares of ln(minutes) on share; scatter from the residuals, never less than the usual. The
    interval is that of the next bake. Evidence: assumption (own trials, assumed scatter).
    """
    timed = [(trial.share_percent, log(trial.proof_minutes)) for trial in trials if trial.proof_minutes]
    count = len(timed)
    if not count:
        return ProofTime(None, "unknown", 0)
    centre = sum(share for share, _ in timed) / count
    mean = sum(minutes for _, minutes in timed) / count
    width = sum((share - centre) ** 2 for share, _ in timed)
    lowest, highest = min(timed)[0], max(timed)[0]
    if highest - lowest <= SAME_POINTS:
        if abs(share_percent - centre) > SAME_POINTS:
            return ProofTime(None, "unknown", count)
        scatter = _scatter([minutes - mean for _, minutes in timed], 1)
        return ProofTime(_around(mean, scatter * sqrt(1 + 1 / count)), "own_share", count)
    slope = sum((share - centre) * minutes for share, minutes in timed) / width
    scatter = _scatter([minutes - mean - slope * (share - centre) for share, minutes in timed], 2)
    slope_sd = scatter / sqrt(width)
    sd = scatter * sqrt(1 + 1 / count + (share_percent - centre) ** 2 / width)
    if NORMAL_90 * max(sd, 10 * slope_sd) > LOG_TOO_WIDE:
        return ProofTime(None, "too_wide", count)
    trend = _around(10 * slope, 10 * slope_sd).map(lambda factor: 100 * (factor - 1))
    return ProofTime(_around(mean + slope * (share_percent - centre), sd), "trend", count, trend,
                     not lowest - SAME_POINTS <= share_percent <= highest + SAME_POINTS)


def _scatter(residuals: Sequence[float], unknowns: int) -> float:
    free = len(residuals) - unknowns
    return max(PROOF_SD, sqrt(sum(residual ** 2 for residual in residuals) / free)) if free > 0 else PROOF_SD


def _around(mean: float, sd: float) -> Estimate:
    """The interval of a number whose logarithm is normal."""
    half = NORMAL_90 * sd
    return Estimate(exp(mean - half), exp(mean), exp(mean + half), "assumption")


# The linear part: normal priors, normal rows, a few of them perhaps unsound

class _Row(NamedTuple):
    """One datum of the linearised model: its gradient by loss and by slope (by level it is 1), its residual at
    the guess, and the variance of everything but the scatter from bake to bake."""

    by_loss: float
    by_slope: float
    residual: float
    variance: float


class _Case(NamedTuple):
    """The posterior if exactly these bakes are unsound (a bit each)."""

    unsound: int
    mean: Vector
    covariance: Matrix


class _Sets:
    """Sets of unsound bakes (a bit each): the log probability of each and the data, in the order found.

    ``made_of`` is a set's own case, or the one that it turns one bake more of unsound: a case is worked out
    only when it is needed.
    """

    def __init__(self, sound: _Case, log_weight: float, rows: Sequence[_Row], variances: Sequence[float]):
        self.log_weights, self.made_of = {0: log_weight}, {0: sound}
        self.rows = [(1 << index, row.by_loss, row.by_slope, row.residual, variance)
                     for index, (row, variance) in enumerate(zip(rows, variances))]

    def turn_one(self, case: _Case, log_prior_odds: float, least: float) -> list[tuple[float, int]]:
        """Adds the case's sets with one bake more, each weighed by the log odds, from the other bakes, that it
        is as far off as the unsound are, and not as the sound. Returns those above ``least``."""
        (a, d, e), (_, b, f), (_, _, c) = case.covariance
        d, e, f = 2 * d, 2 * e, 2 * f
        level, loss, slope = case.mean
        unsound, unsound_variance, nothing = case.unsound, UNSOUND_VARIANCE, LOG_NOTHING
        log_weights, made_of = self.log_weights, self.made_of
        above, likely = log_weights[unsound] + log_prior_odds, []
        for bit, y, z, residual, variance in self.rows:
            more = unsound | bit
            if more in log_weights:
                continue
            own = a + b * y * y + c * z * z + (d * y + e * z + f * y * z)
            left = 1.0 - own / variance                 # what of the residual is not this bake's own doing
            if left <= 0.0:
                continue
            others = own / left
            alone = (residual - level - y * loss - z * slope) / left
            if_sound = others + variance
            if_not = if_sound + unsound_variance
            odds = 0.5 * (log(if_sound / if_not) + alone * alone * (1.0 / if_sound - 1.0 / if_not))
            if odds > nothing:
                log_weights[more] = weight = above + odds
                made_of[more] = case
                if weight > least:
                    likely.append((weight, more))
        return likely

    def case(self, unsound: int) -> _Case:
        """The posterior of a set: that of the case it was made of, one bake turned unsound by a rank-one step."""
        before = self.made_of[unsound]
        if before.unsound == unsound:
            return before
        mean, factor, (p, q, r) = self._step(before, unsound)
        (a, d, e), (g, b, f), (h, i, c) = before.covariance
        fp, fq, fr = factor * p, factor * q, factor * r
        self.made_of[unsound] = case = _Case(unsound, mean, ((a + fp * p, d + fp * q, e + fp * r),
                                                             (g + fq * p, b + fq * q, f + fq * r),
                                                             (h + fr * p, i + fr * q, c + fr * r)))
        return case

    def mean(self, unsound: int) -> Vector:
        """The mean of a set's case, for less than the case."""
        before = self.made_of[unsound]
        return before.mean if before.unsound == unsound else self._step(before, unsound)[0]

    def _step(self, before: _Case, unsound: int) -> tuple[Vector, float, Vector]:
        """To a set of one bake more: its mean, and factor and vector of what its covariance gains."""
        _, y, z, residual, variance = self.rows[(unsound ^ before.unsound).bit_length() - 1]
        p, q, r = gained = [one + by_loss * y + by_slope * z for one, by_loss, by_slope in before.covariance]
        level, loss, slope = before.mean
        less = 1.0 / variance - 1.0 / (variance + UNSOUND_VARIANCE)
        factor = less / (1.0 - less * (p + y * q + z * r))
        step = -factor * (residual - (level + y * loss + z * slope))
        return (level + step * p, loss + step * q, slope + step * r), factor, gained

    @property
    def evidence(self) -> float:
        """Log probability of the data."""
        return _log_sum(self.log_weights.values())

    def mixture(self) -> "_Mixture":
        """The likeliest sets that together hold KEPT, MOST_KEPT at most."""
        total, shares, sets, held = self.evidence, [], [], 0.0
        for unsound in sorted(self.log_weights, key=self.log_weights.get, reverse=True)[:MOST_KEPT]:
            sets.append(unsound)
            shares.append(exp(self.log_weights[unsound] - total))
            held += shares[-1]
            if held >= KEPT:
                break
        return _Mixture(self, total, sets, [share / held for share in shares])


class _Mixture:
    """The posterior as the likeliest sets of unsound bakes by their shares.

    Without the others: an unlikely set far off would stretch the standard deviation, and with it an interval
    that is read as normal, beyond its 90 %.
    """

    def __init__(self, found: _Sets, evidence: float, sets: list[int], shares: list[float]):
        self._found, self._evidence, self._sets, self._shares = found, evidence, sets, shares
        means = [found.mean(unsound) for unsound in sets]
        self.mean: Vector = tuple(sum(share * mean[i] for share, mean in zip(shares, means)) for i in range(3))

    def covariance(self) -> Matrix:
        mean, cases = self.mean, [self._found.case(unsound) for unsound in self._sets]
        return tuple(tuple(
            sum(share * (case.covariance[i][j] + (case.mean[i] - mean[i]) * (case.mean[j] - mean[j]))
                for share, case in zip(self._shares, cases)) for j in range(3)) for i in range(3))

    def soundness(self) -> tuple[float, ...]:
        """How likely each bake is sound, by all the sets there are."""
        chances = [0.0] * len(self._found.rows)
        least, bakes_of = self._evidence + LOG_NOTHING, lru_cache(_bakes_of)
        for unsound, log_weight in self._found.log_weights.items():
            if log_weight < least:
                continue
            weight, case = exp(log_weight - self._evidence), self._found.made_of[unsound]
            for index in bakes_of(case.unsound):
                chances[index] += weight
            for index in bakes_of(unsound ^ case.unsound):
                chances[index] += weight
        return tuple(max(0.0, 1 - chance) for chance in chances)


def _bakes_of(unsound: int) -> list[int]:
    return [index for index in range(unsound.bit_length()) if unsound >> index & 1]


def _weigh(prior: Vector, prior_sd: Vector, rows: Sequence[_Row], spread: float, unsound_chance: float) -> _Sets:
    """The likeliest sets of unsound bakes, each with its weight.

    Begins with all bakes sound and turns one more bake unsound at a time, going on from the likeliest sets
    only: as many at a time as leaves room for some steps, each at least LIKELY times as likely as the best
    so far, until MOST_TURNED bakes were turned in all; from then on the likeliest alone, while it improves.
    """
    variances = [row.variance + spread * spread for row in rows]
    sound, best = _all_sound(prior, prior_sd, rows, variances, unsound_chance)
    sets = _Sets(sound, best, rows, variances)
    if not unsound_chance:
        return sets
    log_prior_odds = log(unsound_chance / (1 - unsound_chance))
    width = min(max(MOST_TURNED // (LEVELS * len(rows)), LEAST_WIDTH), MOST_WIDTH)
    front, left, improved = [0], MOST_TURNED, True
    while front and (left > 0 or improved):
        new = []
        for unsound in front:
            left -= len(rows)
            new += sets.turn_one(sets.case(unsound), log_prior_odds, best + LOG_LIKELY)
        new.sort(reverse=True)
        improved = bool(new) and new[0][0] > best
        if improved:
            best = new[0][0]
        front = [unsound for weight, unsound in new[:width if left > 0 else 1] if weight > best + LOG_LIKELY]
    return sets


def _all_sound(prior: Vector, prior_sd: Vector, rows: Sequence[_Row], variances: Sequence[float],
               unsound_chance: float) -> tuple[_Case, float]:
    """The case of no unsound bake, and the log probability of that and the data."""
    a, b, c = (sd ** -2 for sd in prior_sd)             # the precision: a, b, c on its diagonal, d, e, f above
    d = e = f = log_weight = 0.0
    pull = [value * precision for value, precision in zip(prior, (a, b, c))]
    for sd, value, part in zip(prior_sd, prior, pull):
        log_weight -= log(sd) + value * part / 2
    level, loss, slope = pull
    log_chance, two_pi = log(1 - unsound_chance), 2 * pi
    for (y, z, residual, _), variance in zip(rows, variances):
        one, by_y, by_z = 1.0 / variance, y / variance, z / variance
        level, loss, slope = level + one * residual, loss + by_y * residual, slope + by_z * residual
        a, d, e = a + one, d + one * y, e + one * z
        b, f, c = b + by_y * y, f + by_y * z, c + by_z * z
        log_weight += log_chance - 0.5 * (log(two_pi * variance) + residual ** 2 / variance)
    covariance, determinant = _inverse(((a, d, e), (d, b, f), (e, f, c)))
    pull = level, loss, slope
    mean = _times(covariance, pull)
    log_weight += _dot(pull, mean) / 2 - log(determinant) / 2
    return _Case(0, mean, covariance), log_weight


def _log_sum(logs: Collection[float]) -> float:
    most = max(logs)
    return most + log(sum([exp(value - most) for value in logs]))


def _plus(one: Vector, other: Vector) -> Vector:
    return one[0] + other[0], one[1] + other[1], one[2] + other[2]


def _dot(one: Vector, other: Vector) -> float:
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]


def _times(matrix: Matrix, vector: Vector) -> Vector:
    return _dot(matrix[0], vector), _dot(matrix[1], vector), _dot(matrix[2], vector)


def _inverse(matrix: Sequence[Sequence[float]]) -> tuple[Matrix, float]:
    """Inverse and determinant of a symmetric positive definite 3 x 3 matrix, by cofactors."""
    (a, d, e), (_, b, f), (_, _, c) = matrix
    minors = ((b * c - f * f, e * f - c * d, d * f - b * e),
              (e * f - c * d, a * c - e * e, d * e - a * f),
              (d * f - b * e, d * e - a * f, a * b - d * d))
    determinant = a * minors[0][0] + d * minors[0][1] + e * minors[0][2]
    return tuple(tuple(entry / determinant for entry in row) for row in minors), determinant


# What is refused

def _check_masses(trial: Trial, index: int) -> None:
    if trial.baked_mass_g is None:
        return
    at, least = f"trials.{index}.baked_mass", baked_mass_g(trial.dough_mass_g, BAKE_LOSS_UPPER_PERCENT)
    amounts = {"baked": (trial.baked_mass_g, "mass"), "dough": (trial.dough_mass_g, "mass"),
               "most": (BAKE_LOSS_UPPER_PERCENT, None)}
    if trial.baked_mass_g > trial.dough_mass_g * (1 + ROUNDING):
        raise Refusal(at, "loaf_heavier_than_dough",
                      "a loaf of {baked} from {dough} of dough would have gained mass in the oven",
                      given=trial.baked_mass_g, nearest=trial.dough_mass_g, quantity="mass", amounts=amounts)
    if trial.baked_mass_g < least * (1 - ROUNDING):
        raise Refusal(at, "bake_loss_out_of_range",
                      "a loaf of {baked} from {dough} of dough would have lost more than {most} % in the "
                      "oven",
                      given=trial.baked_mass_g, nearest=least, quantity="mass", amounts=amounts)


def _check_trial(trial: Trial, index: int, bake_loss: float) -> None:
    if trial.share_percent > SHARE_LIMIT_PERCENT + ROUNDING:
        raise Refusal(f"trials.{index}.scalded_share_percent", "share_out_of_range",
                      "a scalded share runs from 0 to {most} % of total flour", given=trial.share_percent,
                      nearest=SHARE_LIMIT_PERCENT, amounts={"most": (SHARE_LIMIT_PERCENT, None)})
    if trial.baked_mass_g is not None:
        bake_loss = 100 * (1 - trial.baked_mass_g / trial.dough_mass_g)
    try:
        require_loaf(trial.dough_mass_g, trial.loaf_volume_cm3, bake_loss)
    except Refusal as refusal:
        raise replace(refusal, argument=f"trials.{index}.{refusal.argument}") from None


def _check_water(trial: Trial, index: int, base: WaterBase | None, slope: float) -> None:
    if trial.hydration_percent is None:
        return
    optimum = base.hydration_percent + slope * (trial.share_percent - base.share_percent)
    off = trial.hydration_percent - optimum
    if abs(off) > WATER_LIMIT_POINTS + ROUNDING:
        nearest = optimum + (WATER_LIMIT_POINTS if off > 0 else -WATER_LIMIT_POINTS)
        raise Refusal(f"trials.{index}.hydration_percent", "water_too_far_off",
                      "the right hydration at this share is taken to be about {optimum} %, from {base} % at "
                      "a share of {share} %; a bake more than {limit} points off says nothing about the "
                      "others",
                      given=trial.hydration_percent, nearest=nearest,
                      amounts={"optimum": (optimum, None), "base": (base.hydration_percent, None),
                               "share": (base.share_percent, None), "limit": (WATER_LIMIT_POINTS, None)})


def _check_posterior(level: float) -> None:
    value = exp(level)
    if not REFUSE_LOW <= value <= REFUSE_HIGH:
        raise Refusal("trials", "specific_volume_out_of_range",
                      "these bakes together mean {value} cm³ per g of bread without scald; pan loaves lie "
                      "between {low} and {high}",
                      amounts={"value": (value, None), "low": (REFUSE_LOW, None),
                               "high": (REFUSE_HIGH, None)})


def _check_contradictions(trials: Sequence[Trial], readings: Sequence[Reading]) -> None:
    """Refusal for two bakes of one bread whose volumes can't both be right, unless others tell which is."""
    volumes = [_per_dough(trial) for trial in trials]
    for second, later in enumerate(trials):
        for first, earlier in enumerate(trials[:second]):
            ratio = volumes[second] / volumes[first]
            if 1 / CONTRADICTION_RATIO <= ratio <= CONTRADICTION_RATIO or not _same_bread(earlier, later):
                continue
            limit = CONTRADICTION_RATIO if ratio > 1 else 1 / CONTRADICTION_RATIO
            if abs(log(ratio)) <= abs(log(limit)) + ROUNDING:
                continue
            if len(trials) > 2 and readings[first].flagged != readings[second].flagged:
                continue
            raise Refusal(f"trials.{second}.loaf_volume", "contradicting_trials",
                          "trial {later} contradicts trial {earlier}: the same share and water, but {ratio} "
                          "times the volume per gram of dough. Check both; if neither is a slip, a third "
                          "bake tells which to believe",
                          given=later.loaf_volume_cm3, nearest=_agreeing_volume_cm3(later, trials[:second]),
                          quantity="volume",
                          amounts={"later": (second + 1, None), "earlier": (first + 1, None),
                                   "ratio": (round(ratio, 2), None)})


def _agreeing_volume_cm3(trial: Trial, others: Sequence[Trial]) -> float | None:
    """The volume nearest to a trial's that contradicts no other of its bread; None: there is none."""
    alike = [_per_dough(other) for other in others if _same_bread(other, trial)]
    low, high = max(alike) / CONTRADICTION_RATIO, min(alike) * CONTRADICTION_RATIO
    return min(max(_per_dough(trial), low), high) * trial.dough_mass_g if low <= high else None


def _per_dough(trial: Trial) -> float:
    return trial.loaf_volume_cm3 / trial.dough_mass_g


def _same_bread(one: Trial, other: Trial) -> bool:
    waters = one.hydration_percent, other.hydration_percent
    return (abs(one.share_percent - other.share_percent) <= SAME_POINTS
            and (None in waters or abs(waters[0] - waters[1]) <= SAME_POINTS))
