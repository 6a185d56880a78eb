"""What a loaf's scores say of its curve: every shape that they allow, weighed.

Given the shape, start and change follow a Student t; the posterior is the mixture over all shapes.
"""

from dataclasses import dataclass
from functools import cached_property
from math import exp, expm1, log, sqrt

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.keeping.model import Curve
from scaldloaf.dough.keeping.quantiles import End, grid_quantiles, where
from scaldloaf.dough.keeping.student_t import TABLE_POINTS, TABLE_SCALE, student_t_95, student_t_table

NO_TREND, AGAINST_DIRECTION = "no_trend", "against_direction"
KEEPING_EVIDENCE = "assumption"  # the weakest link: the spread expected of scores
SURE_OF_TREND = 0.9  # probability from which a loaf firms
SHARES = (0.05, 0.5, 0.95)  # ends and best value of an estimate

# Weight, mean and standard deviation of a figure under each curve. Plain tuples: most of a request's time
# goes into making and reading them.
Parts = list[tuple[float, float, float]]


@dataclass(frozen=True)
class Posterior:
    """Every curve the scores allow, weighed.

    freedom: degrees of freedom of Student's t. Inside, scores rise as bread stales and are scaled to about 1:
    the baker's score is that times ``unit`` and ``sign``.
    """

    nodes: tuple[Curve, ...]
    freedom: int
    sign: float
    unit: float

    @property
    def likeliest(self) -> Curve:
        """The curve of the largest weight."""
        return max(self.nodes, key=lambda node: node.weight)

    @cached_property
    def _fields(self) -> list[tuple[float, ...]]:
        """The curves as plain tuples, which unpack faster; v_both twice, as the loops need it."""
        return [
            (
                node.weight,
                node.time_constant_days,
                node.exponent,
                node.start,
                node.change,
                node.v_start,
                2 * node.v_both,
                node.v_change,
                node.scale,
            )
            for node in self.nodes
        ]

    def _mixture(self, start: float, change: float) -> Parts:
        """start x F0 + change x (Finf - F0) under each curve."""
        return [(node.weight, node.mean(start, change), node.sd(start, change)) for node in self.nodes]

    def _mirrored(self, days: float) -> Parts:
        """Minus the curve's value after some days; ``progress`` and ``Curve.sd`` written out for speed."""
        found = []
        for weight, time_constant, exponent, start, change, v_start, v_both, v_change, scale in self._fields:
            left = expm1(-((days / time_constant) ** exponent))  # minus the progress
            variance = v_start - left * v_both + left * left * v_change
            found.append((weight, left * change - start, scale * sqrt(variance) if variance > 0.0 else 0.0))
        return found

    def _below(self, value: float, mixture: Parts) -> float:
        """P(the mixture <= value): the sum of weight x Student's t, read from its table."""
        (table, steps), points, scale = student_t_table(self.freedom), float(TABLE_POINTS), TABLE_SCALE
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

    def why_no_trend(self) -> str | None:
        """NO_TREND or AGAINST_DIRECTION where staling can't be distinguished from chance; else None."""
        rising = self.rising
        if rising >= SURE_OF_TREND:
            return None
        return NO_TREND if rising > 1 - SURE_OF_TREND else AGAINST_DIRECTION

    def reached(self, level: float, days: float) -> float:
        """P(the curve is at or beyond ``level`` after some days); level on the internal scale."""
        return self._below(-level, self._mirrored(days))

    def fitted(self, days: float) -> float:
        """The mean of the curve after some days, on the baker's scale."""
        return (
            self.sign
            * self.unit
            * sum(
                [
                    weight * (start - expm1(-((days / time_constant) ** exponent)) * change)
                    for weight, time_constant, exponent, start, change, _, _, _, _ in self._fields
                ]
            )
        )

    def level(self, days: float) -> Estimate:
        """The curve's value after some days on the baker's scale, 90 % (of the mean, not of a score)."""
        mean = second = 0.0
        for weight, mirrored, sd in self._mirrored(days):
            mean -= weight * mirrored
            second += weight * (mirrored * mirrored + sd**2)
        half = student_t_95(self.freedom) * sqrt(max(0.0, second - mean * mean))
        return self._out(mean - half, mean, mean + half)

    def combination(self, start: float, change: float) -> Estimate:
        """start x F0 + change x (Finf - F0) on the baker's scale: 5 %, median, 95 %."""
        mixture = self._mixture(start, change)
        width = 2 * student_t_95(self.freedom)
        low = min(mean - width * sd for _, mean, sd in mixture)
        high = max(mean + width * sd for _, mean, sd in mixture)

        def below(value: float) -> float:
            return self._below(value, mixture)

        lower, upper = End(low, below(low)), End(high, below(high))
        least, best, most = (where(below, share, lower, upper) for share in SHARES)
        return self._out(least, best, most)

    def shape(self, attribute: str) -> Estimate:
        """``time_constant_days`` or ``exponent``: 5 %, median, 95 %, by the weights of the grid."""
        values = {getattr(node, attribute) for node in self.nodes}
        if len(values) == 1:
            (value,) = values
            return Estimate(value, value, value, KEEPING_EVIDENCE)
        grids: dict[float, dict[float, float]] = {}
        for node in self.nodes:
            # Each exponent has its own grid of time constants; the exponents are one grid.
            grid = grids.setdefault(node.exponent if attribute == "time_constant_days" else 0.0, {})
            value = log(getattr(node, attribute))
            grid[value] = grid.get(value, 0.0) + node.weight
        low, best, high = grid_quantiles(grids.values(), SHARES)
        return Estimate(exp(low), exp(best), exp(high), KEEPING_EVIDENCE)

    def spread(self) -> float:
        """Standard deviation of a score about the curve, on the baker's scale."""
        return self.unit * sum([node.weight * node.scale for node in self.nodes])

    def _out(self, low: float, best: float, high: float) -> Estimate:
        """An estimate on the baker's scale."""
        ends = sorted((low * self.sign * self.unit, high * self.sign * self.unit))
        return Estimate(ends[0], best * self.sign * self.unit, ends[1], KEEPING_EVIDENCE)
