"""Records which way each branch of a function went, including those inside an expression."""

import dis
import sys
from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from types import CodeType, FrameType


@cache
def _jumps(code: CodeType) -> dict[int, tuple[int, int, int]]:
    """Instruction from which a conditional jump runs -> its line, its own offset and its target."""
    found, prefix = {}, None
    for instruction in dis.get_instructions(code):
        if instruction.opname == "EXTENDED_ARG":  # runs together with its instruction
            prefix = instruction.offset if prefix is None else prefix
            continue
        if "JUMP" in instruction.opname and "_IF_" in instruction.opname:
            begins = instruction.offset if prefix is None else prefix
            found[begins] = instruction.positions.lineno, begins, instruction.argval
        prefix = None
    return found


class Branches:
    """Runs functions and records which way every branch went in the code that ``watched`` selects."""

    def __init__(self, watched: Callable[[CodeType], bool]):
        self.watched = lru_cache(maxsize=None)(watched)
        self.went: set[tuple[CodeType, int, bool]] = set()
        self.codes: set[CodeType] = set()

    def run(self, function: Callable, *args):
        before = sys.gettrace()
        sys.settrace(self._enter)
        try:
            return function(*args)
        finally:
            sys.settrace(before)

    def _enter(self, frame: FrameType, event: str, _):
        code = frame.f_code
        if not self.watched(code):
            return None
        self.codes.add(code)
        frame.f_trace_opcodes, frame.f_trace_lines = True, False
        jumps, last = _jumps(code), None

        def step(frame: FrameType, event: str, _):
            nonlocal last
            if event == "opcode":
                if last in jumps:
                    self.went.add((code, last, frame.f_lasti == jumps[last][2]))
                last = frame.f_lasti
            return step

        return step

    def one_way(self) -> Iterator[str]:
        """Branches that always went the same way, or were never reached."""
        for code in sorted(self.codes, key=lambda code: (code.co_filename, code.co_firstlineno)):
            for line, place, _ in _jumps(code).values():
                ways = [way for way in (True, False) if (code, place, way) in self.went]
                if len(ways) < 2:
                    yield f"{code.co_filename.rpartition('/')[2]}:{line} in {code.co_qualname}: " + (
                        f"only {'one way' if ways else 'never'}"
                    )
