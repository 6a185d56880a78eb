"""Packs: how many whole ones hold what is used of an ingredient, and what they leave over.

Bookkeeping throughout (evidence ``exact``).
"""

from math import ceil
from typing import NamedTuple

from scaldloaf.dough.limits import ROUNDING
from scaldloaf.dough.refusal import Refusal

MOST_PACKS = 1_000_000  # a guard rail of the input


class Pack(NamedTuple):
    """What an ingredient comes in. stock_unit: what the caller's stock calls a pack, if anything."""

    ingredient: str
    pack_g: float
    stock_unit: str | None = None


class Packed(NamedTuple):
    """The whole packs that hold ``used_g`` of an ingredient, so many, and what they hold beyond it."""

    pack: Pack
    used_g: float
    packs: int
    left_over_g: float


def whole_packs(used_g: float, pack: Pack) -> Packed:
    """The fewest whole packs that hold what is used, g.

    ceil(used / pack), left over = count x pack - used. A hair above a whole pack is rounding and opens no
    other. Valid for masses of 0 and more and a pack above 0. Raises Refusal for more than MOST_PACKS.
    Source: mass balance (exact).
    """
    least = used_g / pack.pack_g * (1 - ROUNDING)
    if least > MOST_PACKS:
        raise Refusal(
            "pack_mass",
            "too_many_packs",
            "{used} of this ingredient would take more than {most} packs",
            given=pack.pack_g,
            nearest=used_g / MOST_PACKS,
            quantity="mass",
            amounts={"used": (used_g, "mass"), "most": (MOST_PACKS, None)},
        )
    count = max(ceil(least), int(used_g > 0))  # of next to nothing, the quotient may be 0
    return Packed(pack, used_g, count, max(0.0, count * pack.pack_g - used_g))
