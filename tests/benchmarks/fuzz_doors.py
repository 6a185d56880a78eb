"""Mangled links, notebook files and browser stores, opened by the page in Chromium.

    python tests/benchmarks/fuzz_doors.py [--cases 10000] [--navigations 300] [--seed 1]

A third of the cases each opens a link, reads a file or starts with a browser's storage. They run in one page
with the page's own modules, every section and every request. The page must always start, show no invalid
number and lose nothing stored: refused input changes nothing, unusable data are set aside, and the next start
works. Then links and stores are opened by navigation. Writes results/fuzz_doors.json beside this file; exit
status 1 if anything was found. tests/browser/test_doors.py runs the first of the same cases.
"""

import argparse
import json
import sys
import time
from pathlib import Path

from playwright.sync_api import Browser, Error, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "api"), str(ROOT / "tests")]

import tools  # noqa: E402
from browser.mangled import DOORS, calls_left_out, mangler, open_mangled, through  # noqa: E402
from running import Service  # noqa: E402

AT_A_TIME = 100  # cases, then a fresh page: so that cases do not affect each other
SHOWN = 20


def in_one_page(browser: Browser, url: str, seed: int, door: str, cases: int) -> dict:
    total = {"found": [], "opened": 0, "in part": 0, "refused": 0}
    for start in range(0, cases, AT_A_TIME):
        context = browser.new_context(base_url=url, service_workers="block")
        page = context.new_page()
        page.goto("/")
        page.wait_for_selector("#work[data-state=settled]")
        some = through(mangler(page, seed), door, start, min(AT_A_TIME, cases - start))
        for name, value in some.items():
            total[name] += value
        context.close()
    return total


def in_earnest(browser: Browser, url: str, seed: int, door: str, numbers: range) -> list[str]:
    context = browser.new_context(
        base_url=url, viewport={"width": 390, "height": 844}, service_workers="block"
    )
    page, helper = context.new_page(), context.new_page()
    helper.goto("/")
    mangle = mangler(helper, seed)
    calls_left_out(page)
    page.goto("/icon.svg")
    found = []
    page.on("pageerror", lambda error: found.append(f"{door}: {error}"))
    for number in numbers:
        try:
            open_mangled(page, mangle, door, number)
        except (AssertionError, Error) as error:
            found.append(str(error))
    context.close()
    return found


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--cases", type=int, default=10_000)
    parser.add_argument("--navigations", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    begun = time.monotonic()
    result = {"seed": given.seed, "doors": {}, "navigations": {}}
    with Service() as service, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=tools.find("chromium"), args=["--no-sandbox"])
        for number, door in enumerate(DOORS):
            cases = given.cases // 3 + (number < given.cases % 3)
            row = result["doors"][door] = in_one_page(browser, service.url, given.seed, door, cases)
            print(
                f"{door:8}{cases:7} cases: opened {row['opened']}, in part {row['in part']}, refused "
                f"{row['refused']}, failed {len(row['found'])}",
                flush=True,
            )
        for door in ("links", "stores"):
            count = given.navigations // 2
            found = result["navigations"][door] = in_earnest(
                browser, service.url, given.seed, door, range(count)
            )
            print(f"{door:8}{count:7} opened in earnest, failed {len(found)}", flush=True)
        browser.close()
    found = [each for row in result["doors"].values() for each in row["found"]] + sum(
        result["navigations"].values(), []
    )
    for each in found[:SHOWN]:
        print(f"  {each}")
    print(f"{time.monotonic() - begun:.0f} s")
    results = Path(__file__).parent / "results"
    results.mkdir(exist_ok=True)
    (results / "fuzz_doors.json").write_text(json.dumps(result, indent=1) + "\n")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
