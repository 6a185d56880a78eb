"""Data from outside: plan links, notebook files, the browser's storage, and a start that fails.

The page refuses a wrong link or file, or reads a part of it and says so. Of a damaged store it uses the sound
parts and sets the whole aside. A page that can't start offers the stored data as a file. ``samples`` has what
pages of four dates really stored.
"""

import json
import re
from copy import deepcopy
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from browser.bench import field, fill, findings, open_bench, settle, unfold
from browser.changed import MODULES, with_module
from browser.mangled import (
    DOORS,
    NEWEST,
    NOTEBOOK,
    STORED,
    WORK,
    calls_left_out,
    link_to,
    mangler,
    open_mangled,
    plan_of,
    put,
    recorded,
    stored,
    through,
    within,
)

SCREENSHOTS = Path(__file__).parent / "screenshots"
FULL = NEWEST["full"]
PLAN = plan_of(FULL["link"])
PATIENCE_MS = 60_000  # a slow machine is not a failure


def start_with(page: Page, kept: dict[str, str], address: str = "/") -> Page:
    """Opens the page in a browser with this storage: its first load."""
    if page.url == "about:blank":
        page.goto("/icon.svg")
    put(page, kept)
    page.goto(address)
    settle(page)
    return page


def open_with(page: Page, kept: dict[str, str], fragment: str = "") -> Page:
    """The same, with all that loads later."""
    return whole(start_with(page, kept, f"/{fragment}"))


def whole(page: Page) -> Page:
    """Waits until all parts have loaded, including those that load on first use, and opens every fold."""
    settle(page)
    return unfold(page)


def columns(page: Page) -> Locator:
    """The bakes and loaves in the table of the bake log."""
    return page.locator(".section-log .grid thead tr").first.locator("th ~ th")


def keyless(value):
    """The same without keys, which the page assigns by itself."""
    if isinstance(value, dict):
        return {
            name: keyless(each) for name, each in value.items() if name not in ("key", "version", "units")
        }
    return [keyless(each) for each in value] if isinstance(value, list) else value


def notices(page: Page) -> list[str]:
    return [text for text in page.locator(".link-state").all_text_contents() if text]


# ---- Data saved by earlier pages opens unchanged


@pytest.mark.parametrize(
    ("whose", "kept"), recorded("stored"), ids=[whose for whose, _ in recorded("stored")]
)
def test_what_an_earlier_page_stored_opens_unchanged(page, whose, kept):
    open_with(page, kept)
    assert notices(page) == []
    page.get_by_role("button", name=re.compile("Save this bread|Dieses Brot speichern")).click()
    now = stored(page)
    assert not [key for key in now if "unreadable" in key]
    (*_,) = breads = json.loads(now[NOTEBOOK])["breads"]
    assert within(keyless(json.loads(kept[WORK])), keyless(breads[0]["work"])), whose
    if NOTEBOOK in kept:
        before = json.loads(kept[NOTEBOOK])
        after = json.loads(now[NOTEBOOK])
        assert within({**before, "breads": []}, {**after, "breads": []})
        assert within(before["breads"], breads[1:]), whose


@pytest.mark.parametrize(("whose", "link"), recorded("link"), ids=[whose for whose, _ in recorded("link")])
def test_a_link_of_an_earlier_page_opens_unchanged(page, whose, link):
    start_with(page, {}, f"/{link}")
    said = page.locator(".link-state").filter(has_text=re.compile(r"opened\.$"))
    expect(said).to_be_visible()  # nobody had another bread there
    now = json.loads(stored(page)[WORK])
    assert within(keyless({**plan_of(link), "ticked": []}), keyless(now)), whose
    assert now["ticked"] == []  # no ticks of another bread


@pytest.mark.parametrize(("whose", "text"), recorded("file"), ids=[whose for whose, _ in recorded("file")])
def test_every_entry_of_an_earlier_pages_file_is_read(page, tmp_path, whose, text):
    open_with(page, {})
    path = tmp_path / "earlier.json"
    path.write_text(text)
    page.locator("input[type=file][accept*=json]").last.set_input_files(path)
    book = json.loads(text)
    lists = ("breads", "trials", "loaves")
    count = sum(len(book[name]) for name in lists)
    expect(page.locator(".section-notebook .said")).to_have_text(f"Entries added: {count}.")
    now = json.loads(stored(page)[NOTEBOOK])
    assert count > 0 and all(within(book[name], now[name]) for name in lists), whose


def test_the_schema_names_every_field_the_page_keeps(page):
    """A field that only one of them has would be lost at the next start, or always be missing."""
    open_bench(page)
    difference = page.evaluate("""async () => {
        const { BENCH, checked } = await import("/state/schema.js");
        const { startingWork } = await import("/state/work.js");
        const stages = { stages: [["bulk", 90, 27]], before: [["scald", 15]], after: [["bake", 35]] };
        const fresh = startingWork(stages);
        const saved = { version: 1, units: "metric", ...fresh };
        const least = { version: 1, units: "metric", formula: fresh.formula };
        const { value, faults } = checked(BENCH, least, fresh);
        const isRecord = (each) => each !== null && Object.getPrototypeOf(each) === Object.prototype;
        const paths = (each, path = "") => (isRecord(each)
            ? Object.keys(each).flatMap((name) => paths(each[name], `${path}/${name}`)) : [path]);
        // A field marked "?" may be null, or missing: then it counts as named whatever it holds.
        const named = (shape, path = "") => (isRecord(shape)
            ? Object.entries(shape).flatMap(([label, each]) => (label.endsWith("?")
                ? [{ path: `${path}/${label.slice(0, -1)}`, may: true }]
                : named(each, `${path}/${label.replace("!", "")}`)))
            : [{ path, may: false }]);
        const [all, kept] = [named(BENCH), paths(saved)];
        return {
            faults, unsound: checked(BENCH, saved).faults,
            more: all.filter(({ path, may }) => !may && !kept.includes(path)),
            less: kept.filter((each) => !all.some(({ path }) => path === each)),
            lost: kept.filter((each) => !paths(value).includes(each)),
        };
    }""")
    assert difference == {"faults": [], "more": [], "less": [], "lost": [], "unsound": []}


# ---- Links


def changed(**parts) -> dict:
    return {**deepcopy(PLAN), **parts}


def with_text(old: str, new: str) -> str:
    text = json.dumps(PLAN)
    assert old in text
    return text.replace(old, new, 1)


WRONG_LINKS = {
    "only units": ({"units": "x"}, "isn’t a Scaldloaf plan"),
    "null": ("null", "isn’t a Scaldloaf plan"),
    "a number": ("5", "isn’t a Scaldloaf plan"),
    "a list": ("[]", "isn’t a Scaldloaf plan"),
    "nothing in it": ("{}", "isn’t a Scaldloaf plan"),
    "no text": ("", "isn’t a Scaldloaf plan"),
    "units of its own": (changed(units="x"), "is damaged"),
    "9,000 stages": (
        changed(stages=PLAN["stages"][:1] * 9000),
        "This link has 9,000 entries for “Yeast and sweetness”. This page takes 100 at most.",
    ),
    "9,000 lines": (
        changed(formula={**PLAN["formula"], "lines": PLAN["formula"]["lines"][:1] * 9000}),
        "has 9,000 entries for “Recipe”",
    ),
    "a pan of no kind": (
        changed(pan={**PLAN["pan"], "kind": "constructor"}),
        "the part for “Tin and your bread” can't be used",
    ),
    "a number too large": (
        with_text('"share": 35', '"share": 1e300'),
        "the part for “Tonight’s bake” can't be used",
    ),
    "a number that is none": (with_text('"share": 35', '"share": 1e400'), "is damaged"),
    "a field twice": (with_text('"share": 35', '"share": 35, "share": 5'), "isn’t a Scaldloaf plan"),
    "half a character": (with_text('"Bench rest"', '"\\ud83c"'), "is damaged"),
    "a huge text": (with_text('"Bench rest"', json.dumps("x" * 100_000)), "is damaged"),
    "deep nesting": (with_text('"Bench rest"', "[" * 90_000 + "]" * 90_000), "is damaged"),
    "a prototype": (
        with_text('"share": 35', '"share": 35, "__proto__": {"units": "x"}'),
        "a newer version of this page",
    ),
    "a field of a newer page": (changed(tastings=[]), "a newer version of this page"),
    "a moment that is none": (
        changed(plan={**PLAN["plan"], "ready_at": "tomorrow"}),
        "the part for “Timetable” can't be used",
    ),
    "two lines of one key": (
        changed(formula={**PLAN["formula"], "lines": PLAN["formula"]["lines"][:1] * 2}),
        "the part for “Recipe”",
    ),
    "a composition that is a text": (
        changed(
            formula={**PLAN["formula"], "lines": [{**PLAN["formula"]["lines"][0], "composition": "salt"}]}
        ),
        "the part for “Recipe”",
    ),
}


def test_a_wrong_link_is_refused_and_nothing_is_changed(page):
    for number, (what, (plan, says)) in enumerate(WRONG_LINKS.items()):
        start_with(page, STORED, f"/?{number}{link_to(plan)}")
        refused = page.locator(".link-state").filter(has_text="Nothing was changed.")
        expect(refused, what).to_contain_text(says)
        assert stored(page) == STORED, what
        expect(field(page, "Flour to scald"), what).to_have_value(str(PLAN["share"]))
    page.reload()
    whole(page)
    expect(page.get_by_role("textbox", name="Bread name")).to_have_value("Harbour white 🍞")
    assert notices(page) == [] and stored(page) == STORED


def test_a_link_that_can_not_be_drawn_is_not_kept(page, watch):
    """If the schema ever accepts too much, the page saves nothing before it has drawn it."""
    watch.expect("planted")
    with_module(
        page,
        "sections/weigh-section.js",
        lambda text: text.replace(
            "    refresh() {",
            'refresh() { if (bench.state.formula.name === "planted") throw new Error("planted");',
        ),
    )
    open_with(page, STORED, link_to(changed(formula={**PLAN["formula"], "name": "planted"})))
    expect(page.get_by_text("That link isn’t a Scaldloaf plan.")).to_be_visible()
    assert stored(page) == STORED
    expect(page.get_by_role("textbox", name="Bread name")).to_have_value("Harbour white 🍞")


@pytest.mark.parametrize("locale", ["en-GB", "de-DE"])
def test_the_message_about_a_refused_link_is_accessible(open_page, locale):
    page = open_with(
        open_page(390, 844, locale=locale), STORED, link_to(changed(stages=PLAN["stages"][:1] * 9000))
    )
    settle(page)
    expect(
        page.locator(".link-state").filter(has_text=re.compile("9,000 entries|9.000 Einträge"))
    ).to_be_visible()
    assert findings(page, ".link-state") == []
    SCREENSHOTS.mkdir(exist_ok=True)
    page.screenshot(path=SCREENSHOTS / f"link-refused-{locale}-390.png")


# ---- Notebook files


def test_good_entries_of_a_file_are_read_and_the_others_listed(page, tmp_path):
    book = json.loads(FULL["file"])
    wrong = deepcopy(book)
    wrong["breads"][0]["saved"] = "x"
    wrong["trials"][1]["pan"] = None
    wrong["trials"][2]["name"] = ""
    wrong["trials"][2]["dough_mass"] = {"g": 470}
    wrong["loaves"].append(7)
    path = tmp_path / "partly.json"
    path.write_text(json.dumps(wrong))
    open_with(page, STORED)
    page.locator("input[type=file][accept*=json]").last.set_input_files(path)
    said = page.locator(".section-notebook .said")
    expect(said).to_contain_text("Entries added: 0. 4 of 8 entries were read.")
    trial = book["trials"][1]["name"]
    expect(said).to_contain_text(
        f"Saved breads “Harbour white 🍞”, Bake log “{trial}”, Bake log 3, Bake log 3."
    )
    assert within(json.loads(STORED[NOTEBOOK]), json.loads(stored(page)[NOTEBOOK])), (
        "existing breads stay, without duplicates"
    )

    other = open_with(page.context.browser.contexts[-1].new_page(), {})
    other.locator("input[type=file][accept*=json]").last.set_input_files(path)
    expect(other.locator(".section-notebook .said")).to_contain_text(
        "Entries added: 4. 4 of 8 entries were read."
    )
    expect(other.get_by_role("button", name="Open Lantern Quay tin loaf")).to_be_visible()
    other.reload()
    whole(other)
    expect(other.get_by_role("button", name="Open Lantern Quay tin loaf")).to_be_visible()


def test_an_invalid_date_does_not_end_the_notebook(page, tmp_path):
    book = json.loads(FULL["file"])
    open_with(page, {})
    said = page.locator(".section-notebook .said")
    for saved in ("x", 1e300, -1, None, [], 8.64e15 + 1):
        for bread in book["breads"]:
            bread["saved"] = saved
        path = tmp_path / "dates.json"
        path.write_text(json.dumps({**book, "trials": [], "loaves": []}))
        said.evaluate("(node) => { node.textContent = ''; }")
        page.locator("input[type=file][accept*=json]").last.set_input_files(path)
        expect(said, f"{saved}").to_contain_text("Nothing was changed.")
    page.reload()
    whole(page)
    expect(page.get_by_role("button", name="Save this bread")).to_be_visible()
    expect(page.locator(".breads li")).to_have_count(0)


def test_two_entries_with_one_key_are_both_read(page, tmp_path):
    book = json.loads(FULL["file"])
    twin = {**deepcopy(book["trials"][0]), "dough_mass": 501}
    path = tmp_path / "twins.json"
    path.write_text(json.dumps({**book, "breads": [], "loaves": [], "trials": [book["trials"][0], twin]}))
    open_with(page, {})
    page.locator("input[type=file][accept*=json]").last.set_input_files(path)
    expect(page.locator(".section-notebook .said")).to_have_text("Entries added: 2.")
    expect(columns(page)).to_have_count(2)


def test_a_file_that_can_not_be_drawn_is_not_kept(page, watch, tmp_path):
    watch.expect("planted")
    old = "export function logColumn(bench, column, actions) {"
    with_module(
        page,
        "sections/log-column.js",
        lambda text: text.replace(old, f'{old} if (column.name === "planted") throw new Error("planted");'),
    )
    book = json.loads(FULL["file"])
    path = tmp_path / "undrawn.json"
    path.write_text(json.dumps({**book, "trials": [{**book["trials"][0], "key": "new", "name": "planted"}]}))
    open_with(page, STORED)
    page.locator("input[type=file][accept*=json]").last.set_input_files(path)
    expect(page.locator(".section-notebook .said")).to_contain_text("Nothing was changed.")
    assert stored(page) == STORED
    expect(columns(page)).to_have_count(5)  # three bakes and two loaves, as before


# ---- The browser's storage


def spoilt() -> tuple[dict[str, str], list[str]]:
    """A store with damage in many places, and the parts that messages must name."""
    work, book = json.loads(STORED[WORK]), json.loads(STORED[NOTEBOOK])
    work["pan"] = 7
    work["units"] = "x"
    work["formula"]["lines"][3]["amount"] = {}
    work["formula"]["lines"][4] = "water"
    work["plan"]["ready_at"] = "tomorrow"
    book["breads"][0]["saved"] = 1e300
    book["breads"][1]["work"]["formula"] = None
    book["trials"][0] = "none"
    book["keeping"]["direction"] = "sideways"
    return {WORK: json.dumps(work), NOTEBOOK: json.dumps(book)}, [
        "Recipe",
        "Tin and your bread",
        "Timetable",
        "Saved breads",
        "Bake log",
    ]


def test_sound_parts_of_a_damaged_store_are_used_and_the_store_is_set_aside(page, tmp_path):
    damaged, parts = spoilt()
    open_with(page, damaged)
    notice = page.locator(".link-state").filter(has_text="Some of your saved work can't be used")
    for part in parts:
        expect(notice).to_contain_text(part)
    now = stored(page)
    assert [now[f"{key}.unreadable"] for key in (WORK, NOTEBOOK)] == [
        damaged[key] for key in (WORK, NOTEBOOK)
    ]
    work, book = json.loads(now[WORK]), json.loads(now[NOTEBOOK])
    sound = json.loads(STORED[WORK])
    assert within(
        {name: sound[name] for name in ("share", "water", "bread", "stages", "weigh", "ticked")}, work
    )
    assert work["units"] == "metric" and work["pan"]["length"] is None, "a baker would use an invented pan"
    lines = work["formula"]["lines"]
    assert [line["ingredient"] for line in lines] == [
        "?" if number == 4 else line["ingredient"] for number, line in enumerate(sound["formula"]["lines"])
    ]
    assert lines[3]["amount"] is None
    assert len(book["breads"]) == 1 and len(book["trials"]) == 2 and len(book["loaves"]) == 2
    assert within(json.loads(STORED[NOTEBOOK])["breads"][0]["work"], book["breads"][0]["work"])

    with page.expect_download() as download:
        notice.get_by_role("button", name="Save everything to a file").click()
    path = tmp_path / "everything.json"
    download.value.save_as(path)
    assert json.loads(path.read_text())["stored"] == now
    page.reload()
    whole(page)
    expect(page.get_by_text("Saved work that this page can't use is set aside.")).to_be_visible()
    assert notices(page) == [] and stored(page) == now, "one message, one item set aside"

    other = open_with(page.context.browser.contexts[-1].new_page(), {})
    other.locator("input[type=file][accept*=json]").last.set_input_files(path)
    said = other.locator(".section-notebook .said")
    # The current work and the sound part of the notebook; the set-aside items are named again.
    expect(said).to_contain_text("Entries added: 6.")
    expect(said).to_contain_text("Damaged and not read:")


def test_the_baker_can_delete_what_was_set_aside(page):
    damaged, _ = spoilt()
    open_with(page, damaged)
    row = page.locator(".section-notebook")
    row.get_by_role("button", name="Delete what is set aside").click()
    assert set(stored(page)) == {WORK, NOTEBOOK}
    row.get_by_role("button", name="Undo").click()
    assert stored(page)[f"{WORK}.unreadable"] == damaged[WORK]
    row.get_by_role("button", name="Delete what is set aside").click()
    page.reload()
    whole(page)
    expect(row.get_by_text("is set aside")).to_have_count(0)


UNUSABLE = (
    "",
    "null",
    "5",
    "{",
    '"x"',
    "[]",
    '{"version":2,"formula":{}}',
    '{"version":0.5,"formula":{}}',
    "\u0000",
)


def test_an_unusable_store_is_set_aside_whole(page):
    for number, text in enumerate(UNUSABLE):
        start_with(page, {WORK: text, NOTEBOOK: text}, f"/?{number}")
        notice = page.locator(".link-state").filter(has_text="the bread you were working on, Saved breads")
        expect(notice, repr(text)).to_be_visible()
        now = stored(page)
        assert now[f"{WORK}.unreadable"] == text and now[f"{NOTEBOOK}.unreadable"] == text
    whole(page)
    expect(page.get_by_role("textbox", name="Bread name")).to_have_value("Lantern Quay tin loaf")
    fill(page, "Flour to scald", "31")
    page.goto("/icon.svg")
    page.evaluate("([key, text]) => localStorage.setItem(key, text)", [WORK, "again"])
    page.goto("/")
    expect(page.locator(".link-state").filter(has_text="the bread you were working on")).to_be_visible()
    aside = {key: each for key, each in stored(page).items() if key.startswith(f"{WORK}.unreadable")}
    assert sorted(aside.values()) == sorted([text, "again"]), "what was set aside before stays"


FILL_UP = """() => {
    for (let size = 2 ** 22; size >= 1; size /= 2) {
        for (let number = 0; number < 4; number += 1) {
            try { localStorage.setItem(`other.${size}.${number}`, "x".repeat(size)); } catch { break; }
        }
    }
}"""


def test_full_storage_overwrites_nothing_and_is_reported(page):
    damaged, _ = spoilt()
    page.goto("/icon.svg")
    put(page, damaged)
    page.evaluate(FILL_UP)
    page.goto("/")
    whole(page)
    expect(page.locator(".link-state").filter(has_text="Your changes are not being saved")).to_be_visible()
    fill(page, "Flour to scald", "31")
    page.get_by_role("button", name="Save this bread").click()
    expect(page.locator(".breads li")).to_have_count(2)
    assert stored(page) == damaged


def test_full_storage_does_not_hide_the_notebook(page):
    page.goto("/icon.svg")
    put(page, STORED)
    page.evaluate(FILL_UP)
    page.goto("/")
    whole(page)
    expect(page.get_by_role("button", name="Open Harbour white 🍞")).to_be_visible()
    assert notices(page) == []
    page.get_by_role("button", name="Save this bread").click()
    expect(page.locator(".link-state").filter(has_text="Your changes are not being saved")).to_be_visible()


NO_STORAGE = """Object.defineProperty(window, "localStorage", {
    get() { throw new DOMException("no", "SecurityError"); },
})"""


def test_the_page_works_without_storage_and_says_so(page):
    page.add_init_script(NO_STORAGE)
    open_bench(page)
    fill(page, "Flour to scald", "31")
    expect(page.locator(".link-state").filter(has_text="Your changes are not being saved")).to_be_visible()
    settle(page)


def test_a_newer_page_in_another_window_keeps_what_it_saved(page):
    open_with(page, STORED)
    other = page.context.new_page()
    other.goto("/icon.svg")
    newer = json.dumps({**json.loads(STORED[WORK]), "tastings": [1]})
    other.evaluate("([key, text]) => localStorage.setItem(key, text)", [WORK, newer])
    expect(page.locator(".link-state").filter(has_text="another window has a newer version")).to_be_visible()
    fill(page, "Flour to scald", "31")
    assert stored(page)[WORK] == newer


def test_an_unknown_language_is_ignored(page):
    for number, language in enumerate(["constructor", "__proto__", "", "x", "de-\u0000"]):
        start_with(page, {"scaldloaf.language": language}, f"/?{number}")
        shown = "de" if language.startswith("de") else "en"
        assert page.evaluate("document.documentElement.lang") == shown, repr(language)


# ---- A start that fails


def failed(
    page: Page, kept: dict[str, str], file: str = "page/page-main.js", how=lambda route: route.abort()
) -> Page:
    """The page when one of its files is missing or broken."""
    page.route(f"**/{file}", how)
    return opened_and_failed(page, kept)


def opened_and_failed(page: Page, kept: dict[str, str]) -> Page:
    page.goto("/icon.svg")
    put(page, kept)
    page.goto("/")
    page.wait_for_selector("#work[data-state]", timeout=PATIENCE_MS)
    page.evaluate("dispatchEvent(new Event('pointerdown'))")
    page.get_by_role("alert").wait_for(timeout=PATIENCE_MS)
    return page


def broken(route):
    route.fulfill(content_type="text/javascript", body="throw new Error('planted');")


def planted(text):
    return f"throw new Error('planted');\n{text}"


@pytest.mark.parametrize("file", ["page/page-main.js", "page/state-saved.js", "messages/en/page.js"])
@pytest.mark.parametrize("how", [lambda route: route.abort(), broken], ids=["gone", "throws"])
def test_a_start_that_fails_says_what_to_do(page, watch, file, how):
    watch.expect("Failed to load resource|planted|Failed to fetch|does not provide")
    says_what_to_do(failed(page, STORED, file, how))


@pytest.mark.parametrize("module", ["ui/fields.js", "state/saved.js", "sections/weigh-section.js"])
def test_a_start_in_which_a_module_fails_says_what_to_do(page, watch, module):
    watch.expect("planted")
    with_module(page, module, planted)
    says_what_to_do(opened_and_failed(page, STORED))


def says_what_to_do(page):
    expect(page.locator("#starting")).to_have_count(0)
    expect(page.get_by_role("button", name="Download my breads")).to_be_visible()
    expect(page.get_by_role("button", name="Start again")).to_be_visible()
    assert stored(page) == STORED


def test_a_start_without_messages_asks_for_a_reload(page, watch):
    watch.expect("Failed to load resource|Failed to fetch")
    page.goto("/icon.svg")
    put(page, STORED)
    for file in ("page/page-main.js", "page/state-rescue.js"):
        page.route(f"**/{file}", lambda route: route.abort())
    page.goto("/")
    expect(page.get_by_text("This page didn’t start. Please reload it.")).to_be_visible()
    assert stored(page) == STORED


def test_stored_data_is_saved_and_read_back_after_a_reset(page, watch, tmp_path):
    watch.expect("Failed to load resource|Failed to fetch")
    failed(page, STORED)
    with page.expect_download() as download:
        page.get_by_role("button", name="Download my breads").click()
    path = tmp_path / "rescued.json"
    download.value.save_as(path)
    assert json.loads(path.read_text())["stored"] == STORED
    page.unroute("**/page/page-main.js")
    page.get_by_role("button", name="Start again").click()
    whole(page)
    expect(page.get_by_role("textbox", name="Bread name")).to_have_value("Lantern Quay tin loaf")
    assert stored(page) == {f"{key}.unreadable": text for key, text in STORED.items()}
    expect(page.locator(".breads li")).to_have_count(0)
    page.locator("input[type=file][accept*=json]").last.set_input_files(path)
    # Two breads, three trials, two loaves, and the current work.
    expect(page.locator(".section-notebook .said")).to_have_text("Entries added: 8.")
    page.get_by_role("button", name="Open Harbour white 🍞").last.click()
    assert within(keyless({**PLAN, "ticked": []}), keyless(json.loads(stored(page)[WORK])))
    page.locator("input[type=file][accept*=json]").last.set_input_files(path)
    expect(page.locator(".section-notebook .said")).to_have_text("Entries added: 0.")


def test_resetting_twice_loses_nothing(page, watch):
    watch.expect("Failed to load resource|Failed to fetch")
    failed(page, STORED)
    page.get_by_role("button", name="Start again").click()
    expect(page.get_by_role("alert")).to_be_visible()
    page.evaluate("([key, text]) => localStorage.setItem(key, text)", [WORK, "later"])
    page.get_by_role("button", name="Start again").click()
    page.wait_for_function("() => localStorage.getItem('scaldloaf.work') === null")
    assert sorted(stored(page).values()) == sorted([*STORED.values(), "later"])


def test_both_buttons_work_when_storage_cannot_be_read(page, watch):
    watch.expect("Failed to load resource|Failed to fetch")
    page.add_init_script(NO_STORAGE)
    page.route("**/page/page-main.js", lambda route: route.abort())
    page.goto("/")
    page.get_by_role("button", name="Download my breads").click()
    expect(page.get_by_text("There is nothing to save.")).to_be_visible()
    page.unroute("**/page/page-main.js")
    page.get_by_role("button", name="Start again").click()
    settle(page)


def test_a_start_that_throws_in_the_work_itself_ends_there(page, watch):
    """No file is missing: the page's code fails on the stored data."""
    watch.expect("planted")
    old = "export function tonightSection(bench, openFold, offer = () => {}) {"
    with_module(
        page,
        "sections/tonight.js",
        lambda text: text.replace(
            old, f"{old} if (bench.state.pan.kind === 'round') throw new Error('planted');"
        ),
    )
    opened_and_failed(page, STORED)
    page.get_by_role("button", name="Start again").click()
    whole(page)
    expect(page.get_by_role("textbox", name="Bread name")).to_have_value("Lantern Quay tin loaf")
    assert {f"{key}.unreadable": text for key, text in STORED.items()}.items() <= stored(page).items()


def test_a_part_that_loads_later_and_fails_leaves_the_page_working(page, watch):
    watch.expect("planted")
    with_module(page, "sections/log-section.js", planted)
    opened_and_failed(page, STORED)
    expect(page.get_by_role("button", name="Download my breads")).to_be_visible()
    expect(page.locator("#water, .section-weigh > details").get_by_text("Calculating…")).to_have_count(0)
    fill(page, "Flour to scald", "31")
    settle(page)
    assert json.loads(stored(page)[WORK])["share"] == 31


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("locale", ["en-GB", "de-DE"])
def test_a_failed_start_is_accessible(open_page, watch, locale, scheme):
    watch.expect("Failed to load resource|Failed to fetch")
    page = failed(open_page(390, 844, locale=locale, color_scheme=scheme), STORED)
    names = {
        "en-GB": ["Download my breads", "Start again"],
        "de-DE": ["Meine Brote herunterladen", "Neu beginnen"],
    }[locale]
    assert page.get_by_role("button").all_text_contents() == names
    assert page.locator("[role=alert]").get_attribute("lang") == locale[:2]
    for name in names:
        box = page.get_by_role("button", name=name).bounding_box()
        assert box["height"] >= 44
    assert findings(page) == []
    SCREENSHOTS.mkdir(exist_ok=True)
    page.screenshot(path=SCREENSHOTS / f"start-failed-{locale}-{scheme}-390.png")


# ---- A thousand mangled inputs: tests/benchmarks/fuzz_doors.py runs ten thousand

SEED = 1
CASES = 40
NAVIGATIONS = 20


@pytest.mark.parametrize("door", DOORS)
def test_mangled_things_through_each_door(page, door):
    open_bench(page)
    result = through(mangler(page, SEED), door, 0, CASES)
    assert result["found"] == []
    assert result["opened"] > 0 and result["opened"] + result["in part"] + result["refused"] == CASES


@pytest.mark.at_length
@pytest.mark.parametrize(
    ("door", "file", "old", "new", "says"),
    [
        (
            "links",
            "state/open-link.js",
            "if (faults.length) return",
            "if (plan.value === undefined) return",
            "opened in part",
        ),
        ("links", "state/schema.js", "if (!open) faults.push", "if (false) faults.push", "opened in part"),
        (
            "links",
            "state/put-on-bench.js",
            "if (setAside(bench, now, last)) bench.redraw();",
            "",
            "the work before the link is lost",
        ),
        (
            "files",
            "state/notebook.js",
            "return faults.length ? [] : [value];",
            "return [entry];",
            "not sound",
        ),
        (
            "stores",
            "state/schema.js",
            "Object.keys(SYSTEMS), ...WORK };\nexport",
            '"text", ...WORK };\nexport',
            "reading '",
        ),
        ("stores", "state/rescue.js", "storage.setItem(free, text);", "", "neither used whole nor set aside"),
        ("stores", "state/saved.js", "!checked(ANSWERS, answers).faults.length", "true", "saved.js"),
    ],
    ids=lambda value: value if value in DOORS or value.endswith(".js") else "",
)
def test_a_planted_fault_is_found(page, watch, door, file, old, new, says):
    """The mangling itself works: it finds a door that accepts anything."""
    watch.expect("")
    assert MODULES[file].count(old) == 1
    with_module(page, file, lambda text: text.replace(old, new))
    open_bench(page)
    found = through(mangler(page, SEED), door, 0, CASES)["found"]
    assert any(says in each for each in found), found


@pytest.mark.parametrize("door", ["links", "stores"])
def test_mangled_things_at_a_real_start(open_page, watch, door):
    """At a real start of the page."""
    watch.expect("Failed to load resource")
    page = open_page(390, 844)
    helper = page.context.new_page()
    helper.goto("/")
    mangle = mangler(helper, SEED)
    calls_left_out(page)
    page.goto("/icon.svg")
    for number in range(NAVIGATIONS):
        open_mangled(page, mangle, door, number)
