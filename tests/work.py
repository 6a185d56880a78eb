"""How much work something takes, counted instead of timed: the same on every machine, however slow or busy.

Counted are the lines of Python run (each round of a loop anew), its calls, and its calls of functions written
in C. What such a function does inside is not seen: ``Read`` counts the characters that are given to some.
"""

import gc
import re
import sys
from collections.abc import Callable


def work(do: Callable[[], object]) -> int:
    """Lines, calls, and calls of C, while ``do`` runs."""
    count = 0

    def trace(frame, event, argument):
        nonlocal count
        if event == "line":
            count += 1
        return trace

    def profile(frame, event, argument):
        nonlocal count
        if event == "call" or event == "c_call":
            count += 1

    before = sys.gettrace(), sys.getprofile()
    gc.disable()  # what a collection calls would be counted
    sys.settrace(trace)
    sys.setprofile(profile)
    try:
        do()
    finally:
        sys.settrace(before[0])
        sys.setprofile(before[1])
        gc.enable()
    return count


class Read:
    """The characters (or bytes) that functions written in C were given to read."""

    def __init__(self):
        self.count = 0

    def by(self, function: Callable, place: int = 0) -> Callable:
        """The function, what it is given as its argument at that place counted."""

        def counted(*arguments, **named):
            self.count += len(arguments[place])
            return function(*arguments, **named)

        return counted

    def by_pattern(self, pattern: re.Pattern) -> "Pattern":
        return Pattern(self, pattern)


class Pattern:
    """A pattern whose texts are counted."""

    def __init__(self, read: Read, pattern: re.Pattern):
        self.search, self.findall, self.fullmatch = map(
            read.by, (pattern.search, pattern.findall, pattern.fullmatch)
        )
        self.sub = read.by(pattern.sub, 1)
