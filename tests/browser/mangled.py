"""Mangled links, notebook files and stores, made by ``mangled.js``.

One open page reads thousands of them; some are opened in Chromium as a baker would."""

import json
import zlib
from base64 import urlsafe_b64decode, urlsafe_b64encode
from pathlib import Path

from playwright.sync_api import JSHandle, Page

HERE = Path(__file__).parent
SAMPLES = {
    path.stem: json.loads(path.read_text("utf-8")) for path in sorted((HERE / "samples").glob("*.json"))
}
NEWEST = SAMPLES["page-a758009"]
WORK, NOTEBOOK = "scaldloaf.work", "scaldloaf.notebook"
STORED = {key: text for key, text in NEWEST["full"]["stored"].items() if key in (WORK, NOTEBOOK)}
DOORS = ("links", "files", "stores")
COMPARED = {
    "share": 30,
    "hydration_percent": None,
    "scald_liquid_ratio": 1.2,
    "sucrose_percent": 9,
    "gluten_percent": None,
}
SERIES = {
    "tastings": [
        {
            "key": f"t{test}",
            "test": test,
            "samples": [
                {"key": f"s{place}", "name": name} for place, name in enumerate(("20 %", "35 %", "0 %"))
            ],
            "by": "tasters",
            "tasters": 12,
            "discriminators_percent": 50,
            "power_percent": None,
            "significance_percent": "5",
            "expected": "s1",
            "contains": "wheat",
            "draw": 48213,
            "came": None,
            "right": 9,
            "chosen": [4, 8],
            "rankings": ["206 889 374", ""],
        }
        for test in ("triangle", "ranking")
    ],
    "prices": [
        {"key": "p1", "ingredient": "bread_flour", "price": 1.2, "per": "kg"},
        {"key": "p2", "ingredient": "butter", "price": "4,5", "per": "lb"},
    ],
}


def plan_of(fragment: str) -> dict:
    """The work in a link."""
    text = fragment.removeprefix("#plan=")
    return json.loads(zlib.decompress(urlsafe_b64decode(text + "=" * (-len(text) % 4)), wbits=-15))


def link_to(plan) -> str:
    """A link to a plan, given as a value or as JSON text."""
    text = plan if isinstance(plan, str) else json.dumps(plan)
    packer = zlib.compressobj(wbits=-15)
    return "#plan=" + urlsafe_b64encode(packer.compress(text.encode()) + packer.flush()).decode().rstrip("=")


def recorded(what: str) -> list[tuple[str, object]]:
    """(page and state, its store, file or link) for every recorded sample that has one."""
    return [
        (f"{page}, {state}", each[what])
        for page, states in SAMPLES.items()
        for state, each in states.items()
        if each.get(what)
    ]


def within(part, whole) -> bool:
    """Whether one value contains all of another; it may have more fields."""
    if isinstance(part, dict):
        return isinstance(whole, dict) and all(
            name in whole and within(each, whole[name]) for name, each in part.items()
        )
    if isinstance(part, list):
        return isinstance(whole, list) and len(part) == len(whole) and all(map(within, part, whole))
    return part == whole


# ---- Thousands in one page


def mangler(page: Page, seed: int) -> JSHandle:
    """mangled.js in a page of the service."""
    samples = {
        "links": [
            *(plan_of(link) for _, link in recorded("link")),
            {**plan_of(NEWEST["full"]["link"]), "compare": [25, COMPARED]},
        ],
        "files": [
            *(json.loads(text) for _, text in recorded("file")),
            {"format": "scaldloaf-notebook", "version": 1, **SERIES},
            {
                "format": "scaldloaf-notebook",
                "version": 1,
                "saved": 1.8e12,
                "stored": NEWEST["plain"]["stored"] | STORED,
            },
        ],
        "stores": [
            *(stored for _, stored in recorded("stored")),
            {
                WORK: json.dumps({**json.loads(STORED[WORK]), "compare": [25, COMPARED]}),
                NOTEBOOK: json.dumps({**json.loads(STORED[NOTEBOOK]), **SERIES}),
            },
        ],
        "good": STORED,
    }
    return page.evaluate_handle((HERE / "mangled.js").read_text("utf-8"), {"samples": samples, "seed": seed})


def through(mangle: JSHandle, door: str, start: int, count: int) -> dict:
    """Runs cases of a door: ``found`` lists the faults, the rest counts the outcomes."""
    return mangle.evaluate(
        "(mangle, [door, start, count]) => mangle.through(door, start, count)", [door, start, count]
    )


# ---- One by one, at a real start of the page


def put(page: Page, stored: dict[str, str]) -> None:
    """Replaces the browser's storage with these items."""
    page.evaluate(
        """(stored) => {
        localStorage.clear();
        for (const [key, text] of Object.entries(stored)) localStorage.setItem(key, text);
    }""",
        stored,
    )


def stored(page: Page) -> dict[str, str]:
    """The stored work, the notebook and the items set aside."""
    return page.evaluate("""() => Object.fromEntries(Object.entries(localStorage)
        .filter(([key]) => /^scaldloaf\\.(work|notebook)/.test(key)))""")


def open_mangled(page: Page, mangle: JSHandle, door: str, number: int) -> None:
    """Opens case ``number`` of links or stores: the page must start and lose nothing."""
    case = mangle.evaluate(f"(mangle, number) => mangle.{door}(number)", number)
    kept, fragment = (STORED, case) if door == "links" else (case, "")
    put(page, kept)
    page.goto(f"/?{number}{fragment}")
    page.wait_for_selector(".section-weigh, [role=alert]", state="attached")
    assert page.locator("[role=alert]").count() == 0, f"{door} {number}: the page did not start"
    if door == "stores":
        now = stored(page)
        lost = [key for key in (WORK, NOTEBOOK) if key in kept and kept[key] not in now.values()]
        assert not lost, f"{door} {number}: {lost} neither as it was nor set aside"
        return
    page.wait_for_function("() => !location.hash.includes('plan')")
    now = stored(page)
    if now != STORED:  # the link was opened, and the work before it is in the notebook
        breads = json.loads(now[NOTEBOOK])["breads"]
        assert within(json.loads(STORED[NOTEBOOK])["breads"], breads[1:]), (
            f"{door} {number}: the notebook changed"
        )
        before = {name: each for name, each in json.loads(STORED[WORK]).items() if name in breads[0]["work"]}
        assert len(before) > 10 and within(before, breads[0]["work"]), (
            f"{door} {number}: the work before is lost"
        )


def calls_left_out(page: Page) -> None:
    """Refuses calls: these tests check starts, not answers, and run faster without."""
    page.route("**/v1/*", lambda route: route.abort() if route.request.method == "POST" else route.fallback())
