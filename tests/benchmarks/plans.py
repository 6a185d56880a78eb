"""Times a loaf-plan against its single calls, and twelve variants and a share-limit against it, in process.

    python tests/benchmarks/plans.py [--rounds 400] [--result]

Every call is timed once a round, in an order drawn anew, so that a drift in the machine's speed affects all
alike and none runs from caches that its own repetition has warmed. Prints medians of processor time. The
aims: a plan takes at most 1.15 times its six calls, twelve variants at most 8 plans, and a share-limit at
most 20. It never fails because of time.
"""

import argparse
import gc
import random
import statistics
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "api")]

from scaldloaf.operations.lantern_quay import HOW_FAR, THREE_TINS  # noqa: E402
from scaldloaf.operations.perform import perform  # noqa: E402
from scaldloaf.operations.registry import BY_NAME  # noqa: E402

PLAN, VARIANTS, SHARE_LIMIT = "loaf-plan", "variants", "share-limit"


def requests() -> dict[str, dict]:
    """The Lantern Quay plan, each call it is made of, twelve variants of it, and a share-limit."""
    single = perform(BY_NAME[PLAN], THREE_TINS)["requests"]
    shared = {
        name: THREE_TINS[name]
        for name in THREE_TINS
        if name not in ("scalded_share_percent", "scald", "timetable")
    }
    shares = [{"name": str(share), "scalded_share_percent": share} for share in range(24, 36)]
    return {
        PLAN: THREE_TINS,
        **{name.replace("_", "-"): request for name, request in single.items()},
        VARIANTS: {**shared, "hold": "pan", "variants": shares},
        SHARE_LIMIT: HOW_FAR,
    }


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("--rounds", type=int, default=400)
    arguments.add_argument("--result", action="store_true", help="without working, basis and notes")
    given = arguments.parse_args()
    asked = requests()
    gc.collect()
    gc.freeze()  # as gunicorn's workers do with what they begin with
    took: dict[str, list[float]] = {name: [] for name in asked}
    order = list(asked)
    for _ in range(given.rounds):
        random.shuffle(order)
        for name in order:
            request = asked[name]
            start = time.thread_time()
            perform(BY_NAME[name], request, not given.result)
            took[name].append(1000 * (time.thread_time() - start))
    ms = {name: statistics.median(times) for name, times in took.items()}
    for name, each in ms.items():
        print(f"{name:22}{each:8.3f} ms")
    calls = sum(each for name, each in ms.items() if name not in (PLAN, VARIANTS, SHARE_LIMIT))
    print(f"\na plan / its {len(ms) - 3} calls: {ms[PLAN] / calls:.2f}")
    print(f"twelve variants / a plan: {ms[VARIANTS] / ms[PLAN]:.1f}")
    print(f"a share-limit / a plan: {ms[SHARE_LIMIT] / ms[PLAN]:.1f}")


if __name__ == "__main__":
    main()
