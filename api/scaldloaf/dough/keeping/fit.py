"""Finding every curve that a loaf's scores allow.

Only tau, and n when there are days enough, are searched, on a grid. There is no random number and no starting
value: the same scores give the same answer, and one score fewer gives a wider one.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import exp, inf, log

from scaldloaf.dough.estimate import NORMAL_90
from scaldloaf.dough.keeping.model import LeastSquares, Scored, ScoredDays
from scaldloaf.dough.keeping.posterior import Posterior
from scaldloaf.dough.keeping.scores import RISES, Loaf, different_days
from scaldloaf.reference import Coefficient, coefficient

FIRMING_TIME_CONSTANT_DAYS = coefficient("firming_time_constant_days")
FIRMING_EXPONENT = coefficient("firming_exponent")
FIRMING_EXPONENT_DAYS = coefficient("firming_exponent_days").value

# How the grid is searched: numerics, not facts of the craft.
TIME_CONSTANT_SPAN_SD = 6.0  # of the prior, on each side
TIME_CONSTANT_POINTS = 13  # of a grid
EXPONENT_SPAN_SD = 3.0  # of the prior, on each side
EXPONENT_POINTS = 9  # of a grid
NEGLIGIBLE = 8.0  # natural logarithm of the largest weight over one that does not matter
LEFT_OUT = 2e-4  # of the weight: the least likely curves, which only cost time
MOST_LOOKS = 6  # at a grid, each narrower than the one before

LogWeighed = tuple[float, LeastSquares]  # a logarithm of a weight, and what has it


@dataclass(frozen=True, slots=True)
class LogNormal:
    """A prior on a logarithm: its mean and standard deviation."""

    mean: float
    sd: float

    @classmethod
    def of(cls, row: Coefficient) -> "LogNormal":
        """The prior of a coefficient whose range is meant to hold 90 %."""
        return cls(log(row.value), log(row.high / row.low) / (2 * NORMAL_90))

    def value_at(self, z: float) -> float:
        """The value ``z`` standard deviations from the middle."""
        return exp(self.mean + z * self.sd)


TIME_CONSTANT_PRIOR = LogNormal.of(FIRMING_TIME_CONSTANT_DAYS)  # in days
EXPONENT_PRIOR = LogNormal.of(FIRMING_EXPONENT)


class Window:
    """The part of a grid that matters; the next grid like it begins there."""

    def __init__(self, span: float) -> None:
        self.span, self.low, self.high, self.is_narrow = span, -span, span, False

    def keep(self, low: float, high: float) -> None:
        """Begin the next grid with what matters in this one, and a fifth more."""
        middle, reach = (low + high) / 2, 0.6 * (high - low)
        self.low, self.high = max(-self.span, middle - reach), min(self.span, middle + reach)
        self.is_narrow = True


def resolved(
    evaluate: Callable[[float], Sequence[LogWeighed]], points: int, window: Window
) -> list[LogWeighed]:
    """The results of a grid on a standard normal prior, fine enough to show where the weight lies.

    Looks over the window, then again over the part of it that matters, until that part has half of the points
    or more. A narrow window is left for the whole span when the weight goes beyond it.

    Parameters
        evaluate : place on the prior [standard deviations] -> what is there
        points : int  of the grid
        window : Window  where to begin; is narrowed to what matters
    Returns
        list[LogWeighed]  the weights with the grid's spacing
    """
    low, high, narrow = window.low, window.high, window.is_narrow
    for _ in range(MOST_LOOKS):
        step = (high - low) / (points - 1)
        spots = [low + step * index for index in range(points)]
        found = [evaluate(z) for z in spots]
        tops = [max(each)[0] if each else -inf for each in found]
        best = max(tops)
        inside = [index for index, top in enumerate(tops) if top > best - NEGLIGIBLE]
        if narrow and (best == -inf or inside[0] == 0 or inside[-1] == points - 1):
            low, high, narrow = -window.span, window.span, False
            continue
        if best == -inf or len(inside) >= points // 2:
            break
        low, high = spots[max(inside[0] - 1, 0)], spots[min(inside[-1] + 1, points - 1)]
    if best > -inf:
        window.keep(low, high)
    # The grid's own spacing belongs to the weight: grids nested in another grid differ in it.
    log_step = log(step)
    return [(weight + log_step, fit) for each in found for weight, fit in each]


def fit_loaf(loaf: Loaf, direction: str, unit: float, course: ScoredDays | None = None) -> Posterior | None:
    """Every curve that a loaf's scores allow, weighed.

    The exponent is fitted too from FIRMING_EXPONENT_DAYS different days on. Valid for days >= 0.

    Parameters
        loaf : Loaf  its scores in the order of days
        direction : str  RISES (firmness) or FALLS (softness)
        unit : float  [score] the largest size of score on the scale, of all the loaves compared
        course : ScoredDays or None  of another loaf scored on the same days, if there is one
    Returns
        Posterior or None  None for scores of a single day, or of days when every curve is flat
    Source
        Avrami's equation; Bayes' theorem with the priors named in the coefficients
        firming_time_constant_days, firming_exponent (both from memory) and score_relative_sd (assumption)
    """
    count = different_days(loaf.scores)
    if count < 2:
        return None
    sign = 1.0 if direction == RISES else -1.0
    scored = Scored(
        course or ScoredDays([score.days for score in loaf.scores]),
        [sign * score.score / unit for score in loaf.scores],
    )
    window = Window(TIME_CONSTANT_SPAN_SD)

    def at_exponent(exponent: float, log_prior: float) -> list[LogWeighed]:
        def evaluate(z: float) -> list[LogWeighed]:
            fit = scored.fit(TIME_CONSTANT_PRIOR.value_at(z), exponent)
            return [] if fit is None else [(fit.log_weight - 0.5 * z * z + log_prior, fit)]

        return resolved(evaluate, TIME_CONSTANT_POINTS, window)

    if count < FIRMING_EXPONENT_DAYS:
        found = at_exponent(FIRMING_EXPONENT.value, 0.0)
    else:
        found = resolved(
            lambda z: at_exponent(EXPONENT_PRIOR.value_at(z), -0.5 * z * z),
            EXPONENT_POINTS,
            Window(EXPONENT_SPAN_SD),
        )
    if not found:
        return None
    kept = _likeliest(found)
    total = sum([weight for weight, _ in kept])
    curves = tuple([scored.curve(weight / total, fit) for weight, fit in kept])
    return Posterior(curves, scored.freedom, sign, unit)


def _likeliest(found: Sequence[LogWeighed]) -> list[LogWeighed]:
    """The likeliest curves that together hold all but LEFT_OUT of the weight; weights over the largest."""
    best = max([log_weight for log_weight, _ in found])
    weighed = [(exp(log_weight - best), fit) for log_weight, fit in found if log_weight > best - NEGLIGIBLE]
    enough = (1 - LEFT_OUT) * sum([weight for weight, _ in weighed])
    kept, held = [], 0.0
    for weight, fit in sorted(weighed, key=lambda pair: -pair[0]):
        kept.append((weight, fit))
        held += weight
        if held >= enough:
            break
    return kept
