"""schemathesis over every path of the document: the long form of tests/contract/test_schemathesis.py.

    python tests/benchmarks/fuzz_contract.py [--cases 20000] [--seed 1] [--workers 2] [--path PATH ...]

Runs in process. Half of the requests of each path follow its schema, half break it. A path without enough
different requests (facts have no body) leaves its share to the others. Prints cases and statuses by path;
fails on any 5xx and on any reply that the document does not describe. Writes results/fuzz_contract.json
beside this file.
"""

import argparse
import json
import sys
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "api"), str(ROOT / "tests")]

from hypothesis import HealthCheck, Phase, given, seed, settings  # noqa: E402
from schemathesis import GenerationMode  # noqa: E402

from fuzzing import ask, check, contract  # noqa: E402

RESULTS = Path(__file__).parent / "results"
BATCH = 500  # cases between two checks of the total
MOST_SHOWN = 5  # breaks per path
MODES = (GenerationMode.POSITIVE, GenerationMode.NEGATIVE)


def operations() -> dict:
    return {
        f"{found.ok().method.upper()} {found.ok().path}": found.ok()
        for found in contract().get_all_operations()
    }


def fuzz(name: str, cases: int, number: int) -> dict:
    """Run some cases of one path; the same ones for the same number."""
    operation = operations()[name]
    statuses: Counter = Counter()
    breaks: list[str] = []
    slowest = 0.0
    for mode in MODES:

        @seed(number)
        @settings(
            max_examples=max(1, cases // len(MODES)),
            deadline=None,
            database=None,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        @given(operation.as_strategy(generation_mode=mode))
        def run(case):
            nonlocal slowest
            start = time.thread_time()
            response = ask(case)
            slowest = max(slowest, time.thread_time() - start)
            statuses[response.status_code] += 1
            try:
                check(case, response)
            except Exception as failure:  # shown at the end, with all others
                breaks.append(f"{name} {case.query} {case.body!r:.800}: {failure!s:.800}")

        try:
            run()
        except Exception as error:  # schemathesis finds no request that breaks the schema
            if "Unsatisfiable" not in type(error).__name__ and "Unsatisfiable" not in str(error):
                raise
    return {"path": name, "statuses": dict(statuses), "breaks": breaks, "slowest_ms": 1000 * slowest}


def main() -> int:
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("--cases", type=int, default=20_000)
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--workers", type=int, default=2)
    arguments.add_argument("--path", action="append", help="only this path; repeatable")
    given_ = arguments.parse_args()
    names = [name for name in operations() if not given_.path or name.split()[1] in given_.path]
    table = {name: {"cases": 0, "statuses": Counter(), "breaks": [], "slowest_ms": 0.0} for name in names}
    open_, number, start = list(names), given_.seed, time.monotonic()
    with ProcessPoolExecutor(given_.workers) as pool:
        while open_ and (left := given_.cases - sum(row["cases"] for row in table.values())) > 0:
            share = min(BATCH, -(-left // len(open_)))
            exhausted = set()
            for found in pool.map(fuzz, open_, [share] * len(open_), [number] * len(open_)):
                row, made = table[found["path"]], sum(found["statuses"].values())
                row["cases"] += made
                row["statuses"].update(found["statuses"])
                row["breaks"] += found["breaks"]
                row["slowest_ms"] = max(row["slowest_ms"], found["slowest_ms"])
                if made < share // 4:
                    exhausted.add(found["path"])
            open_ = [name for name in open_ if name not in exhausted]
            number += 1
            print(
                f"{time.monotonic() - start:7.0f} s  {sum(row['cases'] for row in table.values())} cases",
                flush=True,
            )
    print(f"\n{'':34}{'cases':>8}{'breaks':>8}{'slowest ms':>12}  statuses")
    for name, row in table.items():
        print(
            f"{name:34}{row['cases']:8}{len(row['breaks']):8}{row['slowest_ms']:12.1f}  "
            + ", ".join(f"{status}: {count}" for status, count in sorted(row["statuses"].items()))
        )
    cases = sum(row["cases"] for row in table.values())
    breaks = [text for row in table.values() for text in row["breaks"]]
    failed = sum(
        count for row in table.values() for status, count in row["statuses"].items() if status >= 500
    )
    print(f"\n{cases} cases, {failed} answered 5xx, {len(breaks)} not as documented")
    for row in table.values():
        for text in row["breaks"][:MOST_SHOWN]:
            print(f"  {text}\n")
    RESULTS.mkdir(exist_ok=True)
    (RESULTS / "fuzz_contract.json").write_text(
        json.dumps(
            {
                "cases": cases,
                "failed": failed,
                "breaks": len(breaks),
                "seed": given_.seed,
                "paths": {
                    name: {
                        "cases": row["cases"],
                        "breaks": len(row["breaks"]),
                        "statuses": {str(status): count for status, count in sorted(row["statuses"].items())},
                    }
                    for name, row in table.items()
                },
            },
            indent=1,
        )
        + "\n"
    )
    return 1 if failed or breaks else 0


if __name__ == "__main__":
    sys.exit(main())
