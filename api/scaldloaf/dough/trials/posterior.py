"""The posterior of a baker's trials, by Gauss-Newton steps, with the scatter from bake to bake."""

from dataclasses import dataclass
from math import exp, inf, log

from scaldloaf.dough.estimate import NORMAL_90
from scaldloaf.dough.target_bread import BAKE_TO_BAKE_RELATIVE_SD
from scaldloaf.dough.trials.model import Model
from scaldloaf.dough.trials.unsound import UNSOUND_BAKE_CHANCE, Mixture
from scaldloaf.dough.vectors import Matrix, Vector, minus, multiple, plus

USUAL_SPREAD = BAKE_TO_BAKE_RELATIVE_SD.value  # fraction of volume
# Standard deviation of the spread's logarithm, from its range as a 90 % interval.
LOG_SPREAD_SD = log(BAKE_TO_BAKE_RELATIVE_SD.high / BAKE_TO_BAKE_RELATIVE_SD.low) / (2 * NORMAL_90)

# How the posterior is searched: numerics, not facts of the craft.
SPREADS = tuple(USUAL_SPREAD * 2 ** (step / 2) for step in range(-4, 7))  # fractions of volume, tried
STEPS = 8  # Gauss-Newton steps, at most
SETTLED = 1e-6  # longest move, in prior standard deviations, at which the steps end
FIRST_STEPS = 4  # steps at most, until the spread is known
NEARLY_SETTLED = 0.01  # longest move, the same way, until the spread is known
SLOW = 0.7  # of the move before: a move that shortens less is halved


@dataclass(frozen=True, slots=True)
class TrialPosterior:
    """Mean and covariance of (level, loss, slope), each trial's soundness, and the scatter from bake to bake.

    spread: relative standard deviation of volume, as a fraction.
    """

    mean: Vector
    covariance: Matrix
    soundness: tuple[float, ...]
    spread: float


def posterior_of(
    model: Model, unsound_chance: float = UNSOUND_BAKE_CHANCE, spread: float | None = None
) -> TrialPosterior:
    """The posterior of the unknowns, by Gauss-Newton steps from the prior.

    unsound_chance: probability of one bake. spread: scatter from bake to bake as a fraction of volume; None:
    the likeliest of SPREADS, under a log-normal prior around the usual. Source: Bayes' theorem.
    """
    if spread is not None:
        mean, mixture = _settle(model, model.prior, spread, unsound_chance)
    else:
        mean = _nearly_settled(model, unsound_chance)
        spread = _likeliest_spread(model, mean, unsound_chance)
        mean, mixture = _settle(model, mean, spread, unsound_chance)
    return TrialPosterior(mean, mixture.covariance(), mixture.soundness(), spread)


def _nearly_settled(model: Model, unsound_chance: float) -> Vector:
    """The posterior's mean at the usual spread, near enough to judge the spread there."""
    return _settle(model, model.prior, USUAL_SPREAD, unsound_chance, FIRST_STEPS, NEARLY_SETTLED)[0]


def _settle(
    model: Model,
    start: Vector,
    spread: float,
    unsound_chance: float,
    steps: int = STEPS,
    enough: float = SETTLED,
) -> tuple[Vector, Mixture]:
    """Gauss-Newton steps to where the posterior's mean is the guess at which the tangent was drawn.

    Parameters
        model : Model
        start : Vector  the first guess
        spread : float  [fraction of volume]
        unsound_chance : float  [probability]
        steps : int  at most
        enough : float  [prior standard deviations] longest move that ends the steps
    Returns
        (mean, mixture)  the posterior's mean, and the posterior (less the guess) from the last tangent
    """
    guess, before = start, inf
    for _ in range(steps):
        guess, rows = model.tangent(guess)
        mixture = model.weighed(guess, rows, spread, unsound_chance).mixture()
        mean = plus(guess, mixture.mean)
        move = minus(mean, guess)
        length = max(abs(part) / sd for part, sd in zip(move, model.prior_sd, strict=True))
        if length < enough:
            break
        share = 1.0 if length < SLOW * before else 0.5
        guess = plus(guess, multiple(share, move))
        before = length
    return mean, mixture


def _likeliest_spread(model: Model, guess: Vector, unsound_chance: float) -> float:
    """The scatter from bake to bake that the data make likeliest, between SPREADS by a parabola."""
    guess, rows = model.tangent(guess)
    scores: dict[int, float] = {}

    def score(index: int) -> float:
        if index not in scores:
            spread = SPREADS[index]
            away = log(spread / USUAL_SPREAD) / LOG_SPREAD_SD
            scores[index] = model.weighed(guess, rows, spread, unsound_chance).evidence - away * away / 2
        return scores[index]

    def uphill(index: int) -> int:
        while index < len(SPREADS) - 2 and score(index + 1) > score(index):
            index += 1
        while index > 1 and score(index - 1) > score(index):
            index -= 1
        return index

    best, widest = uphill(SPREADS.index(USUAL_SPREAD)), len(SPREADS) - 2
    if score(widest) > score(best):  # bakes in two camps: wide scatter, rather than half of them gone wrong
        best = uphill(widest)
    left, here, right = score(best - 1), score(best), score(best + 1)
    bend = left - 2 * here + right
    shift = (left - right) / (2 * bend) if bend < 0 else 0.0
    return SPREADS[best] * exp(min(max(shift, -1.0), 1.0) * log(SPREADS[1] / SPREADS[0]))
