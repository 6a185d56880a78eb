"""Coverage-guided fuzzing (atheris) of all that reads what a client sends.

    python tests/benchmarks/fuzz_reading.py [--inputs 1000000] [--seed 1] [--corpus FOLDER]

json: JSON text, read as the standard library reads it or refused; calls: requests of every call; bulk: lines
and their answers; import: recipes as text, lines and structured data. No input may raise anything but the
expected faults, or be answered with a number that is none, or take more than 50 ms of the processor's time
for a body of up to 64 kB. The fuzzed processes run slowed down by what watches their coverage, so inputs that
were slow there are timed again without it, best of five.

A target can be run by itself (--target import), and one that went on from a folder's corpus (--corpus) adds
to it. Needs Linux on x86-64; atheris is fetched from PyPI into a folder of its own when it isn't installed.
What fails is kept under the corpus folder. Writes results/fuzz_reading.json beside this file.
"""

import argparse
import json
import os
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "api"), str(ROOT / "tests")]
RESULTS = Path(__file__).parent / "results"

SHARES = {"json": 0.82, "calls": 0.12, "import": 0.03, "bulk": 0.03}
MOST_BYTES = {
    "json": 2000,
    "calls": 3000,
    "import": 300,
    "bulk": 3000,
}  # small, to have many; tests/contract/test_heavy.py has the heavy ones
MOST_MS = 50.0
LOOK_AGAIN_MS = 15.0  # slower than this while watched: timed again by itself
KEPT_SLOW = 200
ATHERIS = "atheris>=3,<4"


def with_atheris() -> str | None:
    """A folder to import atheris from, made when it is not installed; None: it is."""
    try:
        import atheris  # noqa: F401

        return None
    except ImportError:
        folder = tempfile.mkdtemp(prefix="atheris-")
        subprocess.run(
            [sys.executable, "-m", "pip", "install", "--quiet", "--target", folder, ATHERIS], check=True
        )
        return folder


# ---- One fuzzed process


def fuzz(name: str, runs: int, seed: int, folder: Path) -> None:
    """Fuzz one target; never returns. Notes its figures in ``folder`` as it goes."""
    import atheris

    with atheris.instrument_imports(include=["scaldloaf"]):
        import mangling
    target = mangling.target_of(name)
    slow_folder, figures = folder / "slow", folder / "figures.json"
    slow_folder.mkdir(parents=True, exist_ok=True)
    seen = {"inputs": 0, "refused": 0, "answered": 0}
    slowest: list[float] = []

    def one(data: bytes) -> None:
        start = time.thread_time()
        status = target(data)
        took = 1000 * (time.thread_time() - start)
        seen["inputs"] += 1
        statuses = status if isinstance(status, list) else [status]
        seen["answered"] += 200 in statuses
        seen["refused"] += 200 not in statuses
        if took > LOOK_AGAIN_MS and (len(slowest) < KEPT_SLOW or took > slowest[0]):
            (slow_folder / f"{took:.0f}-{seen['inputs']}").write_bytes(data)
            slowest.append(took)
            slowest.sort()
            del slowest[:-KEPT_SLOW]
        if seen["inputs"] % 1000 == 0 or seen["inputs"] >= runs:
            figures.write_text(json.dumps(seen))

    def mutate(data: bytes, most: int, number: int) -> bytes:
        chance = random.Random(number)
        if chance.random() < 0.5:
            return atheris.Mutate(data, most)
        changed = mangling.mutated(name, data, chance)
        return changed if len(changed) <= most else atheris.Mutate(data, most)

    corpus = folder / "corpus"
    corpus.mkdir(exist_ok=True)
    for number, text in enumerate(mangling.seeds_of(name)):
        (corpus / f"seed-{number}").write_bytes(text)
    atheris.Setup(
        [
            sys.argv[0],
            f"-runs={runs}",
            f"-seed={seed}",
            f"-max_len={MOST_BYTES[name]}",
            "-verbosity=0",
            "-len_control=0",
            "-timeout=3600",
            "-rss_limit_mb=2048",
            f"-artifact_prefix={folder}/failed-",
            str(corpus),
        ],
        one,
        custom_mutator=mutate,
    )
    atheris.Fuzz()


# ---- All of them


def timed_alone(name: str, folder: Path) -> tuple[float, str, int]:
    """The slowest of the inputs kept as slow, timed by itself: ms, its file, how many were over MOST_MS."""
    import mangling

    target, worst, over = mangling.target_of(name), (0.0, ""), 0
    for file in sorted((folder / "slow").iterdir(), key=lambda file: -int(file.name.partition("-")[0]))[
        :KEPT_SLOW
    ]:
        data, best = file.read_bytes(), float("inf")
        for _ in range(5):
            start = time.thread_time()
            target(data)
            best = min(best, 1000 * (time.thread_time() - start))
            if best < LOOK_AGAIN_MS:
                break
        worst = max(worst, (best, str(file)))
        over += best > MOST_MS
    return *worst, over


def main() -> int:
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("--inputs", type=int, default=1_000_000)
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--corpus", type=Path, help="folder for corpus and failures, kept from run to run")
    arguments.add_argument("--target", choices=SHARES, action="append", help="only this one; repeatable")
    arguments.add_argument("--child", choices=SHARES, help=argparse.SUPPRESS)
    given = arguments.parse_args()
    if given.child:
        fuzz(given.child, given.inputs, given.seed, given.corpus)
    folder = given.corpus or Path(tempfile.mkdtemp(prefix="fuzz-"))
    atheris = with_atheris()
    environment = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join(filter(None, (os.environ.get("PYTHONPATH"), atheris))),
    }
    start = time.monotonic()
    children = {}
    shares = {name: share for name, share in SHARES.items() if not given.target or name in given.target}
    for name, share in shares.items():
        (folder / name).mkdir(parents=True, exist_ok=True)
        with open(folder / name / "log", "wb") as log:
            children[name] = subprocess.Popen(
                [
                    sys.executable,
                    __file__,
                    "--child",
                    name,
                    "--inputs",
                    str(round(given.inputs * share / sum(shares.values()))),
                    "--seed",
                    str(given.seed),
                    "--corpus",
                    str(folder / name),
                ],
                env=environment,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=subprocess.STDOUT,
            )
    found, good = {}, True
    columns = ("inputs", "answered", "refused", "corpus")
    print(" " * 8 + "".join(f"{name:>10}" for name in columns) + f"{'slowest ms':>12}{'over 50 ms':>12}")
    for name, child in children.items():
        status = child.wait()
        figures = json.loads((folder / name / "figures.json").read_text())
        slowest, where, over = timed_alone(name, folder / name)
        found[name] = {
            **figures,
            "corpus": len(list((folder / name / "corpus").iterdir())),
            "slowest_ms": round(slowest, 1),
            "over_50_ms": over,
            "failed": status != 0,
        }
        row = found[name]
        print(
            f"{name:8}{row['inputs']:10}{row['answered']:10}{row['refused']:10}{row['corpus']:10}{slowest:12.1f}{over:12}"
        )
        if status or over:
            good = False
            print(f"  failed: see {folder / name / 'log'}" if status else f"  too slow: {where}")
    total = sum(row["inputs"] for row in found.values())
    print(
        f"\n{total} inputs in {time.monotonic() - start:.0f} s, "
        + ("no failure, none over 50 ms" if good else "FAILED")
    )
    RESULTS.mkdir(exist_ok=True)
    (RESULTS / "fuzz_reading.json").write_text(
        json.dumps({"inputs": total, "seed": given.seed, "passed": good, "targets": found}, indent=1) + "\n"
    )
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
