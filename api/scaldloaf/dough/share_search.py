"""How far a share may go until something holds no longer, searched without assuming how that moves.

What is searched is a margin: above or at 0 where a limit is kept, below where it is broken. A margin may
rise and fall with the share and may jump. It is looked at on a grid and at places that the caller names. What
breaks and mends again between two of them is not seen.
"""

from collections.abc import Callable, Iterable, Sequence
from math import inf, isfinite
from typing import NamedTuple

SEARCH_STEP_POINTS = 2.0  # numerics: of share
CLOSE_POINTS = 1e-7  # numerics: of share, the width of the last bracket
NEAT_DECIMALS = 6
SAME_POINTS = 1e-6  # numerics: of share
MOST_ROUNDS = 100
MOST_PASSES = 4

REACHED, NOT_REACHED, NOT_KNOWN, NEVER = "reached", "not_reached", "not_known", "never"

Margin = Callable[[float], float | None]  # share, percent -> at or above 0: kept; None: nobody knows


class Search(NamedTuple):
    """How a margin is searched, in points of share.

    step: of the grid. close: the width of the last bracket. places: rising, where else to look.
    """

    step: float = SEARCH_STEP_POINTS
    close: float = CLOSE_POINTS
    places: tuple[float, ...] = ()


FINE = Search()


class Reach(NamedTuple):
    """How far a share may go by one margin.

    state: REACHED at share_percent; NOT_REACHED up to it; NOT_KNOWN; or NEVER, kept at no share that was
    looked at.
    """

    state: str
    share_percent: float


def reach(margin: Margin, start: float, most: float, search: Search = FINE) -> Reach:
    """How far the share may go from a start, up to a most, as long as a margin is kept.

    Kept at the start: the first place above it where the margin breaks, so that all between the two is kept.
    Broken there: the first place below it where it is kept. Broken all the way down: where it breaks again
    above the first place above the start where it is kept. The share given is on the kept side.

    Parameters
        margin : Margin
        start, most : float  [% of flour] 0 <= start <= most
        search : Search
    Returns
        Reach
    """
    value = margin(start)
    if value is None:
        return Reach(NOT_KNOWN, start)
    here = start, value
    if value < 0:
        below, unknown = _turn(margin, here, _grid(start, 0.0, search))
        if below is not None:
            return Reach(REACHED, _edge(margin, below[1], below[0], search.close))
        above, unknown_above = _turn(margin, here, _grid(start, most, search))
        if above is None:
            return Reach(NOT_KNOWN if unknown or unknown_above else NEVER, 0.0)
        here = above[1]
    broken, unknown = _turn(margin, here, _grid(here[0], most, search))
    if broken is not None:
        return Reach(REACHED, _edge(margin, *broken, search.close))
    return Reach(NOT_KNOWN, here[0]) if unknown else Reach(NOT_REACHED, most)


_Looked = tuple[float, float]  # a place, and the margin there


def _turn(
    margin: Margin, here: _Looked, grid: Iterable[float]
) -> tuple[tuple[_Looked, _Looked] | None, bool]:
    """The last place as kept, or as broken, as the first one, with the next; and whether one is not known."""
    for place in grid:
        value = margin(place)
        if value is None:
            return None, True
        if (value >= 0) is not (here[1] >= 0):
            return (here, (place, value)), False
        here = place, value
    return None, False


def _grid(start: float, end: float, search: Search) -> list[float]:
    """The places to look at after the start, in order, with the end as the last.

    Of the caller's places, those that are half a step or more from one another.
    """
    if start == end:
        return []
    way = 1 if end > start else -1
    step = search.step
    count = int(abs(end - start) / step)
    found = {start + way * step * index for index in range(1, count + 1)} | {end}
    low, high = sorted((start, end))
    last = -inf
    for place in search.places:
        if low < place < high and place - last >= step / 2:
            found.add(place)
            last = place
    return sorted(found - {start}, reverse=way < 0)


def _edge(margin: Margin, inside: _Looked, outside: _Looked, close_points: float) -> float:
    """Where a margin breaks between a place and a higher one, on its kept side.

    The place itself, or a round number, where that is as near as makes no difference.

    By secants, each tried on both sides of where it points, with a halving after every second; by halvings
    alone where the margin jumps.

    Parameters
        margin : Margin
        inside, outside : _Looked  [% of flour], margin
        close_points : float  [% of flour] the width of the last bracket
    Returns
        float  [% of flour]
    """
    (kept, margin_kept), (broken, margin_broken) = inside, outside
    for number in range(MOST_ROUNDS):
        gap = broken - kept
        if gap <= close_points:
            break
        if number % 3 == 2 or not (isfinite(margin_kept) and isfinite(margin_broken)):
            tries = [kept + gap / 2]
        else:
            aim = kept + gap * margin_kept / (margin_kept - margin_broken)
            tries = [aim - close_points / 3, aim + close_points / 3]
        for place in tries:
            if not kept < place < broken:
                continue
            value = margin(place)
            if value is None or value < 0:
                broken, margin_broken = place, -inf if value is None else value
                break
            kept, margin_kept = place, value
    if kept - inside[0] <= SAME_POINTS:
        return inside[0]
    neat = round(kept, NEAT_DECIMALS)
    value = margin(neat) if kept < neat < broken else None
    return kept if value is None or value < 0 else neat


class Limit(NamedTuple):
    """Something that must hold: its name, its margin at best values, and how that is searched."""

    name: str
    margin: Margin
    search: Search = FINE


class Bound(NamedTuple):
    """The limit that binds first, and the share there; without a name the most that was looked at.

    share_percent None: the limit is kept at no share.
    """

    share_percent: float | None
    binds: str | None


def first_to_bind(limits: Sequence[Limit], start: float, most: float) -> Bound:
    """How far the share may go with all limits kept; what nobody knows is passed over.

    Each limit is searched only as far as those before it leave. Where one is not kept at the start, others
    may be broken where it is, so all are asked once more until all are kept.

    Parameters
        limits : Sequence[Limit]  those that cost least first
        start, most : float  [% of flour]
    Returns
        Bound
    """
    top, binds = most, None
    for _ in range(MOST_PASSES):
        for name, margin, search in limits:
            found = reach(margin, min(start, top), top, search)
            if found.state == NEVER:
                return Bound(None, name)
            if found.state == REACHED:
                top, binds = found.share_percent, name
        values = [limit.margin(top) for limit in limits]
        if all(value is None or value >= 0 for value in values):
            break
    return Bound(top, binds)
