"""Records which way each branch of a function went, including those inside an expression."""

import dis
import sys
from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from types import CodeType, FrameType

# From Python 3.12 on, which no longer shows each instruction to sys.settrace.
MONITORING = getattr(sys, "monitoring", None)
TOOL = 4  # of those that sys.monitoring leaves to anyone


@cache
def _jumps(code: CodeType) -> dict[int, tuple[int, int, int]]:
    """Instruction that tells a conditional jump -> its line, its own offset and its target.

    That is the jump itself; under ``sys.settrace`` its prefix, if it has one.
    """
    found, prefix = {}, None
    for instruction in dis.get_instructions(code):
        if instruction.opname == "EXTENDED_ARG" and not MONITORING:  # runs together with its instruction
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
        if MONITORING:
            return self._monitor(function, *args)
        before = sys.gettrace()
        sys.settrace(self._enter)
        try:
            return function(*args)
        finally:
            sys.settrace(before)

    def _monitor(self, function: Callable, *args):
        begun, branched = MONITORING.events.PY_START, MONITORING.events.BRANCH

        def begin(code: CodeType, _):
            if not self.watched(code):
                return MONITORING.DISABLE
            self.codes.add(code)
            return None

        def branch(code: CodeType, place: int, target: int):
            if not self.watched(code):
                return MONITORING.DISABLE
            if place in (jumps := _jumps(code)):
                self.went.add((code, place, target == jumps[place][2]))
            return None

        MONITORING.use_tool_id(TOOL, "branches")
        try:
            MONITORING.register_callback(TOOL, begun, begin)
            MONITORING.register_callback(TOOL, branched, branch)
            MONITORING.set_events(TOOL, begun | branched)
            return function(*args)
        finally:
            MONITORING.set_events(TOOL, 0)
            MONITORING.free_tool_id(TOOL)

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
