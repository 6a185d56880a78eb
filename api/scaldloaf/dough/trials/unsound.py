"""Sets of unsound bakes, each weighed, for a model with normal priors and normal data.

A bake is unsound when something went wrong and was not noted: its volume then scatters by
UNSOUND_BAKE_RELATIVE_SD more. For each set of unsound bakes the posterior is normal and known in closed
form; the true posterior is their mixture. Only the likeliest sets are worked out.
"""

from collections.abc import Collection, Sequence
from functools import lru_cache
from math import exp, log, pi
from typing import NamedTuple

from scaldloaf.dough.vectors import UNKNOWNS, Matrix, Vector, dot, inverse, times
from scaldloaf.reference import coefficient

UNSOUND_BAKE_CHANCE = coefficient("unsound_bake_chance").value
UNSOUND_BAKE_RELATIVE_SD = coefficient("unsound_bake_relative_sd").value

UNSOUND_VARIANCE = UNSOUND_BAKE_RELATIVE_SD**2  # of ln(volume), beyond a sound bake's

# How widely the sets are searched: numerics, not facts of the craft.
MOST_TURNED = 500  # bakes turned unsound in one search
FULL_STEPS = 8  # steps of full width that MOST_TURNED leaves room for
LEAST_WIDTH = 2  # sets that a step goes on from, at least
MOST_WIDTH = 8  # sets that a step goes on from, at most
LEAST_RATIO = 0.03  # of the best set's probability: a step goes on from sets at least as likely
KEPT = 0.95  # of the probability: what the sets of the mixture hold together
MOST_KEPT = 60  # sets in the mixture
LOG_LEAST_RATIO = log(LEAST_RATIO)
LOG_NOTHING = -40.0  # logarithm of a probability that adds nothing

# ---- Sets of bakes -------------------------------------------------------------------------------

# A set of bakes by their places, a bit each. A number has an order too, so that sets of equal weight come in
# the same order each time.
BakeSet = int
NO_BAKE: BakeSet = 0


def only(place: int) -> BakeSet:
    """The set of one bake."""
    return 1 << place


def places_in(bakes: BakeSet) -> list[int]:
    """The places of the bakes in a set, rising."""
    return [place for place in range(bakes.bit_length()) if bakes >> place & 1]


def differing(one: BakeSet, other: BakeSet) -> BakeSet:
    """The bakes that are in one of two sets only."""
    return one ^ other


def highest_place(bakes: BakeSet) -> int:
    """The highest place in a set: of a set of one bake, its place."""
    return bakes.bit_length() - 1


# ---- What is weighed -----------------------------------------------------------------------------


class Row(NamedTuple):
    """One bake in the linearised model.

    by_loss, by_slope, by_water: gradient of its ln(volume) (by the level it is 1). residual: measured less
    expected, at the guess. variance: of everything but the scatter from bake to bake.
    """

    by_loss: float
    by_slope: float
    by_water: float
    residual: float
    variance: float


class Case(NamedTuple):
    """The posterior if exactly these bakes are unsound."""

    unsound: BakeSet
    mean: Vector
    covariance: Matrix


class Sets:
    """Sets of unsound bakes: the log probability of each and the data, in the order found.

    ``made_of`` has a set's own case, or the case of one bake less that it was made of: a case is only worked
    out when it is needed.

    Parameters
        all_sound : Case
        log_weight : float  logarithm of its probability and the data's
        rows : Sequence[Row]
        variances : Sequence[float]  of each row's ln(volume) if the bake is sound, the scatter included
    """

    def __init__(
        self, all_sound: Case, log_weight: float, rows: Sequence[Row], variances: Sequence[float]
    ) -> None:
        self.log_weights = {NO_BAKE: log_weight}
        self.made_of = {NO_BAKE: all_sound}
        self.bakes = len(rows)
        # The set of each bake alone, its row and its variance: plain tuples, which the innermost loop unpacks
        # faster than named ones.
        self._data = [
            (only(place), row.by_loss, row.by_slope, row.by_water, row.residual, variance)
            for place, (row, variance) in enumerate(zip(rows, variances, strict=True))
        ]

    def turn_one(self, case: Case, log_prior_odds: float, least: float) -> list[tuple[float, BakeSet]]:
        """Add the case's sets with one bake more.

        Each is weighed by the log odds, from the other bakes, that the one bake is as far off as the unsound
        are, and not as the sound. Returns (log weight, set) of those above ``least``.
        """
        (a, d, e, h), (_, b, f, i), (_, _, c, j), (_, _, _, k) = case.covariance
        d, e, f, h, i, j = 2 * d, 2 * e, 2 * f, 2 * h, 2 * i, 2 * j
        level, loss, slope, water = case.mean
        unsound, unsound_variance, nothing = case.unsound, UNSOUND_VARIANCE, LOG_NOTHING
        log_weights, made_of = self.log_weights, self.made_of
        above, likely = log_weights[unsound] + log_prior_odds, []
        for bake, y, z, w, residual, variance in self._data:
            more = unsound | bake  # both sets together; a call would cost a tenth of the whole fit
            if more in log_weights:
                continue
            own = a + y * (d + b * y + f * z + i * w) + z * (e + c * z + j * w) + w * (h + k * w)
            left = 1.0 - own / variance  # the part of the residual that is not this bake's own effect
            if left <= 0.0:
                continue
            others = own / left
            alone = (residual - level - y * loss - z * slope - w * water) / left
            if_sound = others + variance
            if_not = if_sound + unsound_variance
            odds = 0.5 * (log(if_sound / if_not) + alone * alone * (1.0 / if_sound - 1.0 / if_not))
            if odds > nothing:
                log_weights[more] = weight = above + odds
                made_of[more] = case
                if weight > least:
                    likely.append((weight, more))
        return likely

    def case(self, unsound: BakeSet) -> Case:
        """The posterior of a set: the case it was made of, one bake turned unsound by a rank-one step."""
        before = self.made_of[unsound]
        if before.unsound == unsound:
            return before
        mean, factor, (p, q, r, t) = self._step(before, unsound)
        (a, d, e, h), (_, b, f, i), (_, _, c, j), (_, _, _, k) = before.covariance
        fp, fq, fr, ft = factor * p, factor * q, factor * r, factor * t
        d, e, h, f, i, j = d + fp * q, e + fp * r, h + fp * t, f + fq * r, i + fq * t, j + fr * t
        a, b, c, k = a + fp * p, b + fq * q, c + fr * r, k + ft * t
        covariance = (a, d, e, h), (d, b, f, i), (e, f, c, j), (h, i, j, k)
        self.made_of[unsound] = case = Case(unsound, mean, covariance)
        return case

    def mean(self, unsound: BakeSet) -> Vector:
        """The mean of a set's case, for less than the case."""
        before = self.made_of[unsound]
        return before.mean if before.unsound == unsound else self._step(before, unsound)[0]

    def _step(self, before: Case, unsound: BakeSet) -> tuple[Vector, float, Vector]:
        """From a case to that of a set of one bake more.

        Returns its mean, and the factor and the vector of what its covariance gains: factor x (v v').
        """
        place = highest_place(differing(unsound, before.unsound))
        _, y, z, w, residual, variance = self._data[place]
        (a, d, e, h), (_, b, f, i), (_, _, c, j), (_, _, _, k) = before.covariance
        p, q = a + d * y + e * z + h * w, d + b * y + f * z + i * w
        r, t = e + f * y + c * z + j * w, h + i * y + j * z + k * w
        level, loss, slope, water = before.mean
        less = 1.0 / variance - 1.0 / (variance + UNSOUND_VARIANCE)
        factor = less / (1.0 - less * (p + y * q + z * r + w * t))
        step = -factor * (residual - (level + y * loss + z * slope + w * water))
        mean = level + step * p, loss + step * q, slope + step * r, water + step * t
        return mean, factor, (p, q, r, t)

    @property
    def evidence(self) -> float:
        """Log probability of the data."""
        return _log_sum(self.log_weights.values())

    def mixture(self) -> "Mixture":
        """The likeliest sets that together hold KEPT, MOST_KEPT at most."""
        total, sets, shares, held = self.evidence, [], [], 0.0
        for unsound in sorted(self.log_weights, key=self.log_weights.__getitem__, reverse=True)[:MOST_KEPT]:
            sets.append(unsound)
            shares.append(exp(self.log_weights[unsound] - total))
            held += shares[-1]
            if held >= KEPT:
                break
        return Mixture(self, total, sets, [share / held for share in shares])


class Mixture:
    """The posterior as the likeliest sets of unsound bakes, by their shares.

    Unlikely sets are left out: one far off would stretch the standard deviation, and with it an interval that
    is read as normal, beyond its 90 %.

    Parameters
        found : Sets  all that were found
        evidence : float  logarithm of the data's probability
        sets : Sequence[BakeSet]  the likeliest of them
        shares : Sequence[float]  [fraction] of each, adding up to 1
    """

    def __init__(
        self, found: Sets, evidence: float, sets: Sequence[BakeSet], shares: Sequence[float]
    ) -> None:
        self._found, self._evidence, self._sets, self._shares = found, evidence, sets, shares
        means = [found.mean(unsound) for unsound in sets]
        first, second, third, fourth = (self._average(means, place) for place in range(UNKNOWNS))
        self.mean: Vector = (first, second, third, fourth)

    def _average(self, vectors: Sequence[Vector], place: int) -> float:
        return sum([share * vector[place] for share, vector in zip(self._shares, vectors, strict=True)])

    def covariance(self) -> Matrix:
        """The covariance of the mixture: within its cases, and between them."""
        cases = [self._found.case(unsound) for unsound in self._sets]

        def entry(row: int, column: int) -> float:
            middle, across = self.mean[row], self.mean[column]
            return sum(
                [
                    share
                    * (
                        case.covariance[row][column]
                        + (case.mean[row] - middle) * (case.mean[column] - across)
                    )
                    for share, case in zip(self._shares, cases, strict=True)
                ]
            )

        first, second, third, fourth = (
            (entry(row, 0), entry(row, 1), entry(row, 2), entry(row, 3)) for row in range(UNKNOWNS)
        )
        return first, second, third, fourth

    def soundness(self) -> tuple[float, ...]:
        """How likely each bake is sound, by all the sets there are."""
        chances = [0.0] * self._found.bakes
        least, places_of = self._evidence + LOG_NOTHING, lru_cache(places_in)
        for unsound, log_weight in self._found.log_weights.items():
            if log_weight < least:
                continue
            weight, case = exp(log_weight - self._evidence), self._found.made_of[unsound]
            for place in places_of(case.unsound):
                chances[place] += weight
            for place in places_of(differing(unsound, case.unsound)):
                chances[place] += weight
        return tuple([max(0.0, 1 - chance) for chance in chances])


# ---- The search ----------------------------------------------------------------------------------


def weigh_sets(
    prior: Vector,
    prior_sd: Vector,
    rows: Sequence[Row],
    spread: float,
    unsound_chance: float = UNSOUND_BAKE_CHANCE,
) -> Sets:
    """The likeliest sets of unsound bakes, each with its weight.

    Begins with all bakes sound and turns one more bake unsound at a time. Each step goes on from the
    likeliest sets only: as many as leave room for some steps, each at least LEAST_RATIO times as likely as
    the best so far. After MOST_TURNED bakes it goes on from the likeliest set alone, while that improves.

    Parameters
        prior : Vector  means of the unknowns, less the guess
        prior_sd : Vector  their standard deviations
        rows : Sequence[Row]
        spread : float  [fraction of volume] scatter from bake to bake
        unsound_chance : float  [probability] of one bake; 0: all bakes are sound
    Returns
        Sets
    Source
        Bayes' theorem; rank-one update of a normal posterior (exact for the sets that are weighed)
    """
    variances = [row.variance + spread * spread for row in rows]
    all_sound, best = _all_sound(prior, prior_sd, rows, variances, unsound_chance)
    sets = Sets(all_sound, best, rows, variances)
    if not unsound_chance:
        return sets
    log_prior_odds = log(unsound_chance / (1 - unsound_chance))
    width = min(max(MOST_TURNED // (FULL_STEPS * len(rows)), LEAST_WIDTH), MOST_WIDTH)
    front, left, improved = [NO_BAKE], MOST_TURNED, True
    while front and (left > 0 or improved):
        new: list[tuple[float, BakeSet]] = []
        for unsound in front:
            left -= len(rows)
            new += sets.turn_one(sets.case(unsound), log_prior_odds, best + LOG_LEAST_RATIO)
        new.sort(reverse=True)
        improved = bool(new) and new[0][0] > best
        if improved:
            best = new[0][0]
        front = [
            unsound for weight, unsound in new[: width if left > 0 else 1] if weight > best + LOG_LEAST_RATIO
        ]
    return sets


def _all_sound(
    prior: Vector, prior_sd: Vector, rows: Sequence[Row], variances: Sequence[float], unsound_chance: float
) -> tuple[Case, float]:
    """The case of no unsound bake, and the log probability of that and the data.

    Parameters
        prior, prior_sd, rows, unsound_chance: as in ``weigh_sets``
        variances : Sequence[float]  of each row's ln(volume), the scatter included
    Returns
        (Case, float)
    """
    a, b, c, k = (sd**-2 for sd in prior_sd)  # the precision: a, b, c, k on its diagonal, the others above
    d = e = f = h = i = j = log_weight = 0.0
    level, loss, slope, water = (
        value * precision for value, precision in zip(prior, (a, b, c, k), strict=True)
    )
    for sd, value, pull in zip(prior_sd, prior, (level, loss, slope, water), strict=True):
        log_weight -= log(sd) + value * pull / 2
    log_chance, two_pi = log(1 - unsound_chance), 2 * pi
    for (y, z, w, residual, _), variance in zip(rows, variances, strict=True):
        one, by_y, by_z, by_w = 1.0 / variance, y / variance, z / variance, w / variance
        level, loss = level + one * residual, loss + by_y * residual
        slope, water = slope + by_z * residual, water + by_w * residual
        a, d, e, h = a + one, d + by_y, e + by_z, h + by_w
        b, f, i = b + by_y * y, f + by_y * z, i + by_y * w
        c, j, k = c + by_z * z, j + by_z * w, k + by_w * w
        log_weight += log_chance - 0.5 * (log(two_pi * variance) + residual**2 / variance)
    covariance, determinant = inverse(((a, d, e, h), (d, b, f, i), (e, f, c, j), (h, i, j, k)))
    pulls = level, loss, slope, water
    mean = times(covariance, pulls)
    log_weight += dot(pulls, mean) / 2 - log(determinant) / 2
    return Case(NO_BAKE, mean, covariance), log_weight


def _log_sum(logs: Collection[float]) -> float:
    """The logarithm of a sum, from the logarithms of what is added."""
    most = max(logs)
    return most + log(sum([exp(value - most) for value in logs]))
