"""Measures the size and speed of the page, in Chromium with the processor slowed down.

    python tests/benchmarks/page.py [--slowdown 4] [--edits 20] [--loads 5]

Starts its own service on loopback and uses a fresh profile for each load. Prints the bytes until the first
answers are shown, in each language, and the bytes after that (files loaded later and the offline copy), the
largest paint, and the time from an edit to the first answer and to the last. Then a pasted recipe becomes the
card on a phone, in taps and seconds, and its amounts are held to the service's; and the height of the folded
page. Writes results/page.json beside this file. It never fails because of time.
"""

import argparse
import json
import statistics
import sys
import time
from pathlib import Path
from urllib.request import Request, urlopen

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "api"), str(ROOT / "tests")]

import tools  # noqa: E402
from running import Service  # noqa: E402

FIELD = "Flour to scald"
LANGUAGES = {"en": "en-GB", "de": "de-DE", "ja": "ja-JP", "zh-Hant": "zh-TW", "zh-Hans": "zh-CN"}
TANGZHONG = """Tangzhong
20 g bread flour
100 g milk
Dough
250 g bread flour
120 g milk
30 g sugar
30 g butter
5 g salt
5 g instant yeast"""
SHARE = 12
SETTLED = "#work[data-state=settled]"
PAINT = """() => new Promise((done) => {
    new PerformanceObserver((list) => done(list.getEntries().at(-1).startTime))
        .observe({type: "largest-contentful-paint", buffered: true});
})"""
# From the key press to the first and to the last answer drawn.
EDIT = """([label, text]) => new Promise((done) => {
    const input = [...document.querySelectorAll("input[type=text]")]
        .find((each) => each.labels[0]?.textContent === label);
    const answer = document.querySelector(".what-changes");
    const drawn = (then) => requestAnimationFrame(() => setTimeout(then));
    let first = null;
    const begun = performance.now();
    const observer = new MutationObserver(() => {
        observer.disconnect();
        drawn(() => { first = performance.now() - begun; });
    });
    observer.observe(answer, {childList: true});
    document.querySelector("#work").addEventListener("scaldloaf-answers", () => drawn(() =>
        done([first, performance.now() - begun])), {once: true});
    input.value = text;
    input.dispatchEvent(new Event("input", {bubbles: true}));
})"""


def phone(browser, language: str = "en"):
    return browser.new_context(
        viewport={"width": 390, "height": 844}, service_workers="block", locale=LANGUAGES[language]
    )


def one_load(browser, url: str, slowdown: float, language: str = "en") -> dict:
    context = phone(browser, language)
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": slowdown})
    session.send("Network.enable")
    names, weights = {}, {}
    session.on(
        "Network.requestWillBeSent",
        lambda event: names.setdefault(event["requestId"], event["request"]["url"]),
    )
    session.on(
        "Network.loadingFinished",
        lambda event: weights.setdefault(event["requestId"], event["encodedDataLength"]),
    )
    page.goto(url)
    page.wait_for_selector(SETTLED)
    first = dict(weights)
    paint = page.evaluate(PAINT)
    page.wait_for_selector(".section-notebook", state="attached")
    page.wait_for_load_state("networkidle")
    page.wait_for_timeout(1000)
    height = page.evaluate("document.documentElement.scrollHeight")
    later = {names[each].removeprefix(url): weight for each, weight in weights.items() if each not in first}
    result = {
        "paint_ms": paint,
        "height": height,
        "requests": len(first),
        "bytes": sum(first.values()),
        "later_bytes": sum(later.values()),
        "files": {names[each].removeprefix(url): weight for each, weight in first.items()},
    }
    context.close()
    return result


def edits(browser, url: str, slowdown: float, count: int) -> tuple[list[float], list[float]]:
    context = phone(browser)
    page = context.new_page()
    page.goto(url)
    page.wait_for_selector(SETTLED)
    page.wait_for_load_state("networkidle")
    # As a baker has it: the field and the answer to it in the window, what belongs there loaded and drawn.
    page.get_by_label(FIELD, exact=True).first.scroll_into_view_if_needed()
    page.wait_for_selector(".section-notebook", state="attached")
    page.wait_for_load_state("networkidle")
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slowdown})
    times = []
    for number in range(count):
        times.append(page.evaluate(EDIT, [FIELD, str(21 + number % 15)]))
        page.wait_for_timeout(400)
    context.close()
    return [first for first, _ in times], [last for _, last in times]


def call(url: str, name: str, **body) -> dict:
    request = Request(f"{url}v1/{name}", json.dumps(body).encode(), {"Content-Type": "application/json"})
    with urlopen(request) as reply:
        return json.load(reply)


def amounts(url: str, share: float) -> list[float]:
    """What is to be weighed of the pasted recipe, by the single calls."""
    read = call(url, "recipe-import", text=TANGZHONG)["formula"]
    # It has no water, so the page lets its milk follow the share.
    moved = call(
        url, "hydration-correction", formula=read, scalded_share_percent=share, adjust_with="whole_milk"
    )
    pan = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
    fill = call(
        url,
        "pan-fill",
        pan=pan,
        lid=True,
        bread={"kind": "prior"},
        scalded_share_percent=share,
        formula=moved["formula"],
    )
    target = {"kind": "dough_mass", "mass": fill["total_dough_mass"]["best"]}
    weighed = call(url, "scaling", formula=moved["formula"], target=target, losses={"handling_percent": 2})
    return [line["mass"] for line in weighed["weigh_out"]]


def job(browser, url: str, slowdown: float) -> dict:
    """A newcomer pastes a recipe and gets its card at another share: taps and seconds, without thinking."""
    context = phone(browser)
    page = context.new_page()
    page.goto(url)
    page.wait_for_selector(SETTLED)
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slowdown})
    begun, taps = time.monotonic(), 0

    def tap(where) -> None:
        nonlocal taps
        where.click()
        taps += 1

    tap(page.get_by_role("button", name="Paste my recipe"))
    page.get_by_role("textbox", name="Ingredients", exact=True).fill(TANGZHONG)
    taps += 2  # a long press in the field, and Paste
    tap(page.get_by_role("button", name="Use this recipe").first)
    page.get_by_text("Your recipe scalds").wait_for()
    for _ in range(5):
        tap(page.get_by_role("button", name="Scald 1 % more"))
    page.wait_for_selector("#work[data-answers=current]")
    tap(page.locator(".bar button"))
    page.wait_for_selector(SETTLED)
    seconds = time.monotonic() - begun
    shown = page.locator(".ticks data").evaluate_all("(all) => all.map((each) => Number(each.value))")
    result = {"taps": taps, "seconds": seconds, "right": shown == amounts(url, SHARE)}
    context.close()
    return result


def spread(values: list[float]) -> dict:
    ordered = sorted(values)
    return {"median": statistics.median(ordered), "worst": ordered[-1], "best": ordered[0]}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--slowdown", type=float, default=4)
    parser.add_argument("--edits", type=int, default=20)
    parser.add_argument("--loads", type=int, default=5)
    wanted = parser.parse_args()
    with Service() as service, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=tools.find("chromium"), args=["--no-sandbox"])
        url = f"{service.url}/"
        loads = [one_load(browser, url, wanted.slowdown) for _ in range(wanted.loads)]
        others = {each: one_load(browser, url, wanted.slowdown, each) for each in LANGUAGES if each != "en"}
        first, last = edits(browser, url, wanted.slowdown, wanted.edits)
        pasted = job(browser, url, wanted.slowdown)
        browser.close()
    result = {
        "slowdown": wanted.slowdown,
        "first_load_bytes": loads[0]["bytes"],
        "first_load_requests": loads[0]["requests"],
        "later_bytes": loads[0]["later_bytes"],
        "first_load_bytes_by_language": {each: load["bytes"] for each, load in others.items()},
        "height_by_language": {each: load["height"] for each, load in {"en": loads[0], **others}.items()},
        "pasted_recipe": pasted,
        "largest_paint_ms": spread([load["paint_ms"] for load in loads]),
        "edit_to_first_answer_ms": spread(first),
        "edit_to_last_answer_ms": spread(last),
        "files": dict(sorted(loads[0]["files"].items(), key=lambda each: -each[1])),
    }
    results = Path(__file__).parent / "results"
    results.mkdir(exist_ok=True)
    (results / "page.json").write_text(json.dumps(result, indent=1) + "\n")
    print(f"Processor slowed {wanted.slowdown:g} times.")
    print(
        f"First load: {result['first_load_bytes'] / 1000:.1f} kB in {result['first_load_requests']} "
        f"requests; after it {result['later_bytes'] / 1000:.1f} kB."
    )
    heavier = result["first_load_bytes_by_language"].items()
    print("In " + ", ".join(f"{each} {weight / 1000:.1f} kB" for each, weight in heavier) + ".")
    print("Folded page: " + ", ".join(f"{each} {px} px" for each, px in result["height_by_language"].items()))
    print(
        f"A pasted recipe: {pasted['taps']} taps, {pasted['seconds']:.1f} s, "
        f"the card is {'right' if pasted['right'] else 'WRONG'}."
    )
    for name in ("largest_paint_ms", "edit_to_first_answer_ms", "edit_to_last_answer_ms"):
        print(
            f"{name.removesuffix('_ms').replace('_', ' ')}: median {result[name]['median']:.0f} ms, "
            f"best {result[name]['best']:.0f}, worst {result[name]['worst']:.0f}"
        )
    for path, weight in list(result["files"].items())[:12]:
        print(f"  {weight / 1000:6.1f} kB  /{path}")


if __name__ == "__main__":
    main()
