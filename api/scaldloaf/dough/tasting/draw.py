"""Chance that can be repeated: the same number drawn gives the same codes and orders, on any machine.

The generator is x -> 48271 x mod (2^31 - 1), in whole numbers that a double holds exactly. It starts from the
number drawn plus 1, and its first ten numbers are passed over, as those of neighbouring starts are alike.
Source: S. K. Park, K. W. Miller, P. K. Stockmeyer, Comm. ACM 36(7):105-110 (1993).
"""

from collections.abc import Sequence
from typing import TypeVar

MULTIPLIER, MODULUS = 48271, 2**31 - 1
PASSED_OVER = 10
MOST_DRAW = 999_999_999
FIRST_CODE, LAST_CODE = 100, 999

Item = TypeVar("Item")


class Draw:
    """The numbers that follow from one drawn, a whole number from 0 to MOST_DRAW."""

    def __init__(self, drawn: int):
        self._number = drawn + 1
        for _ in range(PASSED_OVER):
            self.below(1)

    def below(self, count: int) -> int:
        """The next number's remainder by ``count``: 0 to count - 1."""
        self._number = self._number * MULTIPLIER % MODULUS
        return self._number % count

    def shuffled(self, items: Sequence[Item]) -> list[Item]:
        """The items in a new order: from the last place down, each changes places with one up to its own."""
        order = list(items)
        for place in range(len(order) - 1, 0, -1):
            other = self.below(place + 1)
            order[place], order[other] = order[other], order[place]
        return order

    def codes(self) -> list[int]:
        """All three-digit codes, shuffled."""
        return self.shuffled(range(FIRST_CODE, LAST_CODE + 1))
