"""Without a network the page opens with the work, the notebook and the card."""

import re
import shutil
from contextlib import ExitStack
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import expect

import running
from browser.bench import answer, figures, fill, open_bench, settle, use_language

WORKER_READY = "navigator.serviceWorker.ready.then((worker) => worker.active.state)"


def keep(page):
    """Waits until the page can be used offline."""
    page.evaluate(WORKER_READY)
    page.wait_for_function(
        "caches.keys().then((names) => names.some((name) => name.startsWith('scaldloaf-files-')))"
    )
    kept = page.evaluate(
        """async (required) => {
        const facts = await caches.open("scaldloaf-facts");
        for (let waited = 0; waited < 1200; waited += 1) {
            const kept = (await facts.keys()).map((request) => request.url.split("/v1/")[1]);
            if (required.every((name) => kept.includes(name))) return true;
            await new Promise((done) => setTimeout(done, 100));
        }
        return false;
    }""",
        ["labels?language=en", "labels?language=de", "names", "units", "pans", "sources"],
    )
    assert kept


def test_it_opens_without_a_network(open_page, watch):
    watch.expect("Failed to load resource|net::ERR")
    page = open_bench(open_page(390, 844, service_workers="allow"))
    fill(page, "Flour to scald", "35")
    settle(page)
    page.get_by_role("button", name="Save this bread").click()
    paper = ".record tbody"  # what only paper needs comes last
    page.wait_for_selector(paper, state="attached")
    weigh = answer(page, "What to weigh").text_content()
    keep(page)

    page.context.set_offline(True)
    page.reload()
    page.wait_for_selector("#work[data-state=unreachable]")
    expect(page.get_by_text("You’re offline.")).to_be_visible()
    expect(page.get_by_role("textbox", name="Flour to scald")).to_have_value("35")
    page.wait_for_selector(paper, state="attached")
    assert answer(page, "What to weigh").text_content() == weigh
    page.locator(".section-weigh").get_by_role("button", name="Baking view").click()
    salt = (
        page.get_by_role("dialog")
        .locator("label")
        .filter(has=page.locator(".what", has_text=re.compile("^Salt")))
    )
    salt.click()
    page.keyboard.press("Escape")
    expect(answer(page, "What to weigh").get_by_role("checkbox", name=re.compile("^Salt"))).to_be_checked()

    fill(page, "Flour to scald", "10")
    expect(answer(page, "What to weigh")).to_contain_text(
        "Not up to date. We need a connection to work out these weights."
    )
    expect(answer(page, "What to weigh").locator(".ticks")).to_have_count(0)
    page.get_by_role("button", name="Open Lantern Quay tin loaf", exact=True).click()
    expect(page.get_by_role("textbox", name="Flour to scald")).to_have_value("35")
    assert figures(answer(page, "Adjusted recipe"), "Flour scalded")[1] == pytest.approx(35)
    expect(answer(page, "What to weigh")).not_to_contain_text("Not up to date")
    page.locator(".section-weigh").get_by_role("button", name="Baking view").click()
    salt = (
        page.get_by_role("dialog")
        .locator("label")
        .filter(has=page.locator(".what", has_text=re.compile("^Salt")))
    )
    salt.click()
    expect(page.get_by_role("dialog").get_by_role("checkbox", name=re.compile("^Salt"))).to_be_checked()
    page.keyboard.press("Escape")

    page.context.set_offline(False)
    settle(page)
    expect(page.get_by_text("You’re offline.")).to_have_count(0)


def test_every_language_opens_without_a_network(open_page, watch):
    watch.expect("Failed to load resource|net::ERR")
    page = open_bench(open_page(390, 844, service_workers="allow"))
    keep(page)
    page.context.set_offline(True)
    use_language(page, "Deutsch")
    flour = page.get_by_role("combobox", name="Zutat, Hauptteig").first
    expect(flour).to_have_value("Weizenmehl, backstark")

    # A language with no stored labels gets those of another: better than a page that does not open.
    kept = page.evaluate("fetch('/v1/labels?language=fr').then((response) => response.json())")
    assert kept["language"] in ("en", "de", "ja", "zh-Hant", "zh-Hans") and len(kept["ingredients"]) > 50


def test_every_file_of_the_page_is_kept(open_page):
    page = open_bench(open_page(390, 844, service_workers="allow"))
    keep(page)
    kept = page.evaluate("""async () => {
        const name = (await caches.keys()).find((each) => each.startsWith("scaldloaf-files-"));
        const requests = await (await caches.open(name)).keys();
        return requests.map((request) => new URL(request.url).pathname.slice(1));
    }""")
    listed = page.evaluate("fetch('/files.json').then((response) => response.json())")
    other = re.compile(r"sw\.js$|docs|demo|embed|panel|styles/(docs|reading)")
    assert sorted(kept) == sorted(["", *(path for path in listed if not other.match(path))])


@pytest.fixture
def moving(tmp_path, monkeypatch):
    """A separate service whose page a test can change.

    moving.page(path) is a file of the page; moving.renew() serves the files as they are now.
    """
    copy = tmp_path / "project"
    for part in ("api", "deploy", "openapi", "web"):
        shutil.copytree(running.ROOT / part, copy / part)
    monkeypatch.setattr(running, "ROOT", copy)

    class Moving:
        def __init__(self):
            self.running = ExitStack()
            self.url = self.running.enter_context(running.Service()).url

        def page(self, path):
            return copy / "web" / path

        def stop(self):
            self.running.close()

        def renew(self):
            self.stop()
            self.running.enter_context(running.Service(BIND=urlsplit(self.url).netloc))

    moving = Moving()
    yield moving
    moving.stop()


def current_set(page):
    return page.evaluate("""caches.open("scaldloaf-state").then((state) => state.match("/current-set"))
        .then((kept) => kept && kept.text())""")


def kept_sets(page):
    names = page.evaluate("caches.keys()")
    return [name for name in names if name.startswith("scaldloaf-files-")]


def test_a_newer_page_is_used_from_the_next_opening(open_page, watch, moving):
    # The page may ask while the service restarts, or on a connection that just ends; it then asks once more.
    watch.expect("net::ERR_(CONNECTION_(RESET|CLOSED|REFUSED)|EMPTY_RESPONSE)")
    page = open_bench(open_page(390, 844, service_workers="allow"), f"{moving.url}/")
    fill(page, "Flour to scald", "31")
    settle(page)
    keep(page)
    before = current_set(page)

    texts = moving.page("messages/en/page.js")
    texts.write_text(texts.read_text().replace('title: "What to weigh"', 'title: "Weigh-out, newer"'))
    moving.renew()
    page.reload()
    expect(page.get_by_text("A new version is ready.")).to_be_visible(timeout=60_000)
    expect(page.get_by_role("heading", name="What to weigh", exact=True)).to_be_visible()
    page.get_by_role("button", name="Reload").click()
    expect(page.get_by_role("heading", name="Weigh-out, newer")).to_be_visible()
    expect(page.get_by_role("textbox", name="Flour to scald")).to_have_value("31")
    assert current_set(page) != before
    running.until(lambda: kept_sets(page), lambda names: names == [current_set(page)])


def test_an_open_page_goes_on_with_the_files_it_was_opened_from(open_page, watch, moving):
    watch.expect("net::ERR_(CONNECTION_(RESET|CLOSED|REFUSED)|EMPTY_RESPONSE)")
    page = open_bench(open_page(390, 844, service_workers="allow"), f"{moving.url}/")
    keep(page)
    before = current_set(page)
    other = page.context.new_page()

    card = moving.page("sections/card.js")
    card.write_text(card.read_text().replace('class: "bench-card"', 'class: "bench-card newer"'))
    moving.renew()
    other.goto(f"{moving.url}/")
    running.until(lambda: current_set(other), lambda name: name != before)
    # A browser ends a worker that has nothing to do, and starts it again.
    session = other.context.new_cdp_session(other)
    session.send("ServiceWorker.enable")
    session.send("ServiceWorker.stopAllWorkers")
    for each, is_newer in ((page, False), (other.context.new_page(), True)):
        if is_newer:
            open_bench(each, f"{moving.url}/")
        each.bring_to_front()
        each.locator(".section-weigh").get_by_role("button", name="Baking view").click()
        expect(each.locator("dialog.bench-card")).to_be_visible()
        expect(each.locator("dialog.newer")).to_have_count(int(is_newer))

    page.close()
    other.close()
    each.reload()
    running.until(lambda: kept_sets(each), lambda names: names == [current_set(each)])


def test_an_incomplete_set_of_files_is_not_used(open_page, watch, moving):
    watch.expect("Failed to load resource|net::ERR")
    page = open_bench(open_page(390, 844, service_workers="allow"), f"{moving.url}/")
    keep(page)
    before = current_set(page)
    pages = moving.page("../api/scaldloaf/http/pages.py")
    text = pages.read_text()
    assert text.count("body.etag for path") == 1
    pages.write_text(text.replace("{path: body.etag for path, body in served.items()}", "{'gone.js': '1'}"))
    moving.renew()
    page.reload()
    settle(page)
    page.wait_for_timeout(1000)
    assert current_set(page) == before
    moving.stop()
    page.reload()
    expect(page.get_by_role("heading", name="What to weigh")).to_be_visible()


def test_answers_stored_by_an_older_page_do_no_harm(page):
    open_bench(page)
    fill(page, "Flour to scald", "29")
    page.wait_for_function(
        """() => JSON.parse(localStorage.getItem("scaldloaf.answers") ?? "null")?.of.includes('"share":29')"""
    )
    page.evaluate("""() => {
        const kept = JSON.parse(localStorage.getItem("scaldloaf.answers"));
        for (const [step, { units }] of Object.entries(kept.last)) kept.last[step] = units ? { units } : {};
        localStorage.setItem("scaldloaf.answers", JSON.stringify(kept));
    }""")
    page.reload()
    settle(page)
    assert figures(answer(page, "Adjusted recipe"), "Flour scalded")[1] == pytest.approx(29)


def test_answers_are_stored_when_the_page_is_left(page):
    open_bench(page)
    field = page.get_by_label("Flour to scald", exact=True).first
    kept = field.evaluate("""(input) => new Promise((done) => {
        const stored = () => JSON.parse(localStorage.getItem("scaldloaf.answers") ?? "null");
        const kept = () => stored()?.of.includes('"share":29') ?? false;
        document.querySelector("#work").addEventListener("scaldloaf-answers", () => setTimeout(() => {
            const before = kept();
            dispatchEvent(new PageTransitionEvent("pagehide"));
            done([before, kept()]);
        }), { once: true });
        input.value = "29";
        input.dispatchEvent(new Event("input", { bubbles: true }));
    })""")
    assert kept == [False, True]
