"""The numbers allowed in an expression: from the request, the tables, the earlier steps, and facts."""

from bisect import bisect_left, insort
from functools import cache
from math import e, pi

from scaldloaf.reference import COEFFICIENTS, COMPOSITION_FIELDS, INGREDIENTS
from working.arithmetic import Interval
from working.exchange import Exchange, formulas_in, numbers_in, parts_of
from working.facts import facts

CONSTANTS = (1, 2, 4, 6, 12, 60, 100, 1000, pi, e)


@cache
def _of_the_tables(fahrenheit: bool) -> tuple[float, ...]:
    """The coefficients and their bounds, scatters also in percent, and the constants of arithmetic."""
    found = [*CONSTANTS, *(100 * row.value for name, row in COEFFICIENTS.items() if "relative_sd" in name)]
    for row in COEFFICIENTS.values():
        for number in (row.value, row.low, row.high):
            found += [number, number * 1.8 + 32, number * 1.8] if fahrenheit else [number]
    return tuple(map(abs, [*found, 1.8, 32] if fahrenheit else found))


class Known:
    """The absolute numbers known for one call; ``add`` adds the value of each step."""

    def __init__(self, exchange: Exchange):
        self.fahrenheit = exchange.units.temperature == "degF"
        sizes = {size for size in exchange.units.factors.values() if size != 1}
        self.factors = [
            1.0,
            *sizes,
            *(1 / size for size in sizes),
            1e-3,
            exchange.units.factors["mass"] * 1e-3,
        ]
        exact, self.near = list(_of_the_tables(self.fahrenheit)), []
        names = {line["ingredient"] for formula in formulas_in(exchange.request) for line in formula["lines"]}
        for name in names & set(INGREDIENTS) | {"vital_gluten"}:  # what makes up for scalded flour
            exact += [getattr(INGREDIENTS[name], field) for field in COMPOSITION_FIELDS]
        counts = [len(part) for part in parts_of(exchange.request) if isinstance(part, list)]
        exact += [*counts, *(count + 1 for count in counts)]
        for number in (*numbers_in(exchange.request), *facts(exchange)):
            if isinstance(number, Interval):
                self.near += [number.times(factor) for factor in self.factors]
            else:
                exact += self._in_units(number)
        self.exact = sorted(exact)

    def _in_units(self, number: float) -> list[float]:
        """A number in the request's units or ours, converted to both and to kg."""
        found = [abs(number * factor) for factor in self.factors]
        return [*found, abs(number - 32) / 1.8, abs(number) / 1.8] if self.fahrenheit else found

    def add(self, number: float) -> None:
        for each in self._in_units(number):
            insort(self.exact, each)

    def has(self, number: Interval) -> bool:
        """Whether a printed number, without its sign, may be one of these."""
        place = bisect_left(self.exact, number.low * (1 - 1e-9) - 1e-15)
        if place < len(self.exact) and number.holds(self.exact[place]):
            return True
        return any(number.meets(fact) for fact in self.near)
