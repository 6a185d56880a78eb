"""Where a rising function, or the weight on a grid, comes to a given share."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

RELATIVE_WIDTH = 1e-9  # of the way searched: near enough in place
CLOSE_ENOUGH = 1e-10  # near enough in value


class End(NamedTuple):
    """An end of the way: its place, and the function's value there."""

    place: float
    value: float


Turn = tuple[float, float]  # a place at which the density of some weight changes, and by how much


def where(rising: Callable[[float], float], target: float, lower: End, upper: End) -> float:
    """Where a function that never falls comes to ``target`` between two places.

    By false position, with a halving whenever that gains less than half; to a part in 1e9 of the way.

    Parameters
        rising : place -> value
        target : float  [value]
        lower, upper : End  the ends of the way
    Returns
        float  [place]
    """
    (low, under), (high, over) = lower, upper
    under, over = under - target, over - target
    enough = RELATIVE_WIDTH * (high - low)
    while high - low > enough and under < 0 < over:
        before = high - low
        for halved in (False, True):
            if halved and high - low <= before / 2:
                break
            spot = (low + high) / 2 if halved else low - under * before / (over - under)
            if not low < spot < high:
                continue
            here = rising(spot) - target
            if abs(here) < CLOSE_ENOUGH:
                return spot
            if here < 0:
                low, under = spot, here
            else:
                high, over = spot, here
        if high - low == before:
            break
    return (low + high) / 2


def grid_quantiles(grids: Iterable[Mapping[float, float]], shares: Sequence[float]) -> list[float]:
    """Values below which ``shares`` of the weight lie, shares rising.

    Each grid maps a value to its weight. The weight of a value is spread over the stretch half the way to its
    neighbours, or over next to nothing where the value is alone in its grid.
    """
    turns = sorted([turn for grid in grids for turn in _turns(grid)])
    found: list[float] = []
    held = density = 0.0
    for (place, by), (following, _) in pairwise(turns):
        density += by
        more = density * (following - place)
        while len(found) < len(shares) and held + more >= shares[len(found)]:
            found.append(place + (shares[len(found)] - held) / density)
        held += more
    last, _ = turns[-1]
    return found + [last] * (len(shares) - len(found))


def _turns(grid: Mapping[float, float]) -> list[Turn]:
    """Where the density of a grid's weight rises and falls."""
    values = sorted(grid)
    if len(values) == 1:
        half = max(abs(values[0]), 1.0) * 1e-9
        edges = [values[0] - half, values[0] + half]
    else:
        between = [(one + other) / 2 for one, other in pairwise(values)]
        edges = [2 * values[0] - between[0], *between, 2 * values[-1] - between[-1]]
    turns: list[Turn] = []
    for value, (low, high) in zip(values, pairwise(edges), strict=True):
        turns += [(low, grid[value] / (high - low)), (high, -grid[value] / (high - low))]
    return turns
