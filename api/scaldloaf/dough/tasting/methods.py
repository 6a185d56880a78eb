"""The four tests: what is served to each taster, and how often guessing is right."""

from fractions import Fraction
from typing import NamedTuple

from scaldloaf.reference import coefficient

TRIANGLE, DUO_TRIO, PAIRED, RANKING = "triangle", "duo_trio", "paired", "ranking"
TWO_SIDED, EXPECTED = "two_sided", "expected"
HYPOTHESES = (TWO_SIDED, EXPECTED)
MOST_SAMPLES = 12  # a guard rail of the input: more breads tire any taster
TASTING_FEW_TASTERS = coefficient("tasting_few_tasters").value


class Serving(NamedTuple):
    """What one taster is served: the numbers of the samples, in order.

    reference: the sample of the marked serving that comes first, None without one.
    """

    samples: tuple[int, ...]
    reference: int | None = None


class Method(NamedTuple):
    """A test of two samples.

    one_in: a guess is right once in so many. orders: every order of serving; each is served equally often.
    """

    name: str
    one_in: int
    orders: tuple[Serving, ...]


METHODS = {
    TRIANGLE: Method(
        TRIANGLE,
        3,
        tuple(
            Serving(samples) for samples in ((0, 0, 1), (0, 1, 0), (1, 0, 0), (1, 1, 0), (1, 0, 1), (0, 1, 1))
        ),
    ),
    DUO_TRIO: Method(
        DUO_TRIO,
        2,
        (Serving((0, 1), 0), Serving((1, 0), 0), Serving((0, 1), 1), Serving((1, 0), 1)),
    ),
    PAIRED: Method(PAIRED, 2, (Serving((0, 1)), Serving((1, 0)))),
}


def ranking_orders(samples: int) -> tuple[Serving, ...]:
    """Orders in which each sample has each place, and follows each other sample, equally often.

    samples: how many, from 2. An even number needs as many orders, an odd one twice as many. Exact. Source:
    E. J. Williams, Aust. J. Sci. Res. A 2:149-168 (1949), the construction as generally known.
    """
    zigzag = [(place + 1) // 2 if place % 2 else -(place // 2) for place in range(samples)]
    rows = [tuple((step + start) % samples for step in zigzag) for start in range(samples)]
    if samples % 2:
        rows += [row[::-1] for row in rows]
    return tuple(map(Serving, rows))


class Level(NamedTuple):
    """The risk of seeing a difference where there is none, percent, and whether both directions count."""

    significance_percent: float
    two_sided: bool = False

    @property
    def of_one_side(self) -> Fraction:
        """The risk in one direction, as a fraction: exactly the decimal that was given."""
        return Fraction(str(self.significance_percent)) / (200 if self.two_sided else 100)
