"""The notebook: breads saved in the browser, in a file and in a link."""

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from browser.bench import answer, figures, fill, open_bench, settle, unfold
from browser.mangled import link_to

FILLS = "Dough for the tin"


def notebook(page):
    return page.get_by_role("region", name="Saved breads")


def write_down(page):
    page.get_by_role("button", name="Save this bread").click()


def test_a_bread_is_saved_and_opened_again(page):
    open_bench(page)
    fill(page, "Flour to scald", "33")
    fill(page, "Bread name", "Harbour white")
    settle(page)
    write_down(page)
    fill(page, "Flour to scald", "10")
    page.reload()
    settle(page)
    unfold(page)
    page.get_by_role("button", name="Open Harbour white").click()
    settle(page)
    expect(page.get_by_role("textbox", name="Flour to scald")).to_have_value("33")
    expect(notebook(page).locator(".breads li")).to_have_count(2)  # the current recipe is set aside
    expect(notebook(page)).to_contain_text("Harbour white (autosaved)")


def test_a_removed_bread_can_be_put_back(page):
    open_bench(page)
    write_down(page)
    page.get_by_role("button", name="Remove Lantern Quay tin loaf").click()
    expect(notebook(page).locator(".breads li")).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(notebook(page).locator(".breads li")).to_have_count(1)


def test_a_newcomer_who_only_saves_the_bread_finds_it_unchanged(page):
    """Tonight's bake is not another one after a reload, though only the saved breads have changed."""
    page.goto("/")
    settle(page)
    unfold(page)
    fields = ("Flour to scald", "Dough you used")
    shown = [page.get_by_role("textbox", name=name, exact=True).first.input_value() for name in fields]
    assert shown == ["35", "440"]
    write_down(page)
    page.reload()
    settle(page)
    for name, value in zip(fields, shown, strict=True):
        expect(page.get_by_role("textbox", name=name, exact=True).first).to_have_value(value)


def saved(page, tmp_path) -> Path:
    with page.expect_download() as download:
        page.get_by_role("button", name="Download my breads").click()
    path = tmp_path / download.value.suggested_filename
    download.value.save_as(path)
    return path


def test_the_notebook_travels_as_a_file(open_page, tmp_path):
    here = open_bench(open_page(390, 844))
    fill(here, "Flour to scald", "31")
    settle(here)
    write_down(here)
    path = saved(here, tmp_path)
    assert re.fullmatch(r"scaldloaf-\d{4}-\d\d-\d\d\.json", path.name)
    written = json.loads(path.read_text())
    assert (written["format"], written["version"]) == ("scaldloaf-notebook", 1)

    there = open_bench(open_page(1280, 800))
    there.locator("input[type=file]").set_input_files(path)
    expect(notebook(there)).to_contain_text("Entries added: 1.")
    there.locator("input[type=file]").set_input_files(path)
    expect(notebook(there)).to_contain_text("Entries added: 0.")
    there.get_by_role("button", name="Open Lantern Quay tin loaf").click()
    settle(there)
    expect(there.get_by_role("textbox", name="Flour to scald")).to_have_value("31")


def wreck(text: str, how: str) -> str:
    book = json.loads(text)
    if how == "cut short":
        return text[: len(text) // 2]
    if how == "another version":
        return json.dumps({**book, "version": 99})
    if how == "another program's":
        return json.dumps({"recipes": []})
    if how == "a line that is no object":
        book["breads"][0]["work"]["formula"]["lines"][0] = 7
    if how == "a bread without a formula":
        book["breads"][0]["work"]["formula"] = "none"
    if how == "markup for a name":
        book["breads"][0]["name"] = {"html": "<img src=x onerror=alert(1)>"}
    return json.dumps(book)


WRECKS = (
    "cut short",
    "another version",
    "another program's",
    "a line that is no object",
    "a bread without a formula",
    "markup for a name",
)


def test_a_bad_file_loses_nothing(page, tmp_path):
    open_bench(page)
    write_down(page)
    good = saved(page, tmp_path).read_text()
    before = page.evaluate("localStorage.getItem('scaldloaf.notebook')")
    bad = tmp_path / "bad.json"
    for how in WRECKS:
        bad.write_text(wreck(good, how))
        page.locator("input[type=file]").set_input_files(bad)
        expect(notebook(page), how).to_contain_text("Nothing was changed.")
        assert page.evaluate("localStorage.getItem('scaldloaf.notebook')") == before, how
        notebook(page).locator(".said").evaluate("(node) => { node.textContent = ''; }")
    page.reload()
    settle(page)
    unfold(page)
    expect(notebook(page).locator(".breads li")).to_have_count(1)


def test_a_plan_travels_as_a_link_but_never_reaches_the_service(open_page):
    here = open_page(390, 844, permissions=["clipboard-read", "clipboard-write"])
    open_bench(here)
    fill(here, "Flour to scald", "27")
    fill(here, "Bread name", "Pier loaf")
    settle(here)
    here.get_by_role("button", name="Copy a link to this bread").click()
    expect(notebook(here)).to_contain_text("Link copied")
    link = here.evaluate("navigator.clipboard.readText()")
    assert "#plan=" in link

    there = open_page(390, 844)  # the browser of somebody who has changed nothing on the page yet
    asked = []
    there.on("request", lambda request: asked.append(request.url))
    there.goto(link)
    expect(there.get_by_text("Pier loaf opened.")).to_be_visible()
    settle(there)
    expect(there.get_by_role("textbox", name="Flour to scald")).to_have_value("27")
    assert "#" not in there.url
    plan = link.split("#plan=")[1]
    assert asked and not any(plan[:30] in url.split("#")[0] for url in asked)
    unfold(there)
    expect(notebook(there).locator(".breads li")).to_have_count(
        0
    )  # the example needs no place in the notebook


def test_a_link_pasted_into_an_open_tab_is_opened(page):
    open_bench(page)
    fill(page, "Flour to scald", "24")
    fill(page, "Bread name", "Jetty loaf")
    settle(page)
    plan = {**json.loads(page.evaluate("localStorage.getItem('scaldloaf.work')")), "share": 31}
    plan["formula"]["name"] = "Pier loaf"
    page.evaluate("fragment => { window.same = true; location.hash = fragment; }", link_to(plan))
    expect(page.get_by_text("Pier loaf opened.")).to_be_visible()
    settle(page)
    assert page.evaluate("same"), "the page was loaded again"
    expect(page.get_by_role("textbox", name="Flour to scald")).to_have_value("31")
    expect(notebook(page)).to_contain_text("Jetty loaf")
    assert "#" not in page.url


@pytest.mark.parametrize("fragment", ["#plan=x", "#plan=", "#plan=q1YqSy0qzszPU7Iy1FFKzs8tKEotLk4FAA"])
def test_a_broken_link_changes_nothing(page, fragment):
    open_bench(page)
    fill(page, "Flour to scald", "24")
    settle(page)
    page.goto("about:blank")
    page.goto(f"/{fragment}")
    expect(page.get_by_text("isn’t a Scaldloaf plan")).to_be_visible()
    expect(page.get_by_role("textbox", name="Flour to scald")).to_have_value("24")


def cell(page, row: str, column: int = -1):
    """The cell of a bake in the bake log: the last bake's, or the one at ``column``."""
    rows = page.locator(".section-log .grid tr")
    cells = rows.filter(has=page.locator("th[scope=row]").get_by_text(row, exact=True)).locator("td")
    return cells.last if column < 0 else cells.nth(column)


def columns(page):
    return page.locator(".section-log .grid thead tr").first.locator("th ~ th")


def new_bake(page, share: str) -> None:
    page.get_by_role("button", name="Add a bake").click()
    fill(page, "Flour scalded", share, within=columns(page).last)


def add_bake(page, share: str, dough: str, loaf: str, volume: str) -> None:
    new_bake(page, share)
    cell(page, "Dough in tin").get_by_role("textbox").fill(dough)
    cell(page, "How it filled").get_by_role("combobox").select_option("loaf_volume")
    cell(page, "How it filled").get_by_role("textbox").fill(volume)
    cell(page, "Cool loaf").get_by_role("textbox").fill(loaf)
    cell(page, "More").get_by_role("button").click()
    more = page.locator(".more-bake")
    fill(page, "Hydration", "", within=more)
    more.get_by_role("button", name="Close").click()


def test_bakes_that_are_no_longer_used_give_way_to_the_last_loaf(page):
    """The dough is again that of the baker's own last loaf, not that of a typical loaf."""
    page.goto("/")
    settle(page)
    unfold(page)
    known = figures(answer(page, FILLS), "Dough per tin")
    add_bake(page, "20", "440", "394", "1600")
    settle(page)
    use = page.get_by_role("checkbox", name=re.compile("^Use these bakes for the next dough weight"))
    use.check()
    settle(page)
    assert figures(answer(page, FILLS), "Dough per tin") != pytest.approx(known)
    use.uncheck()
    settle(page)
    assert figures(answer(page, FILLS), "Dough per tin") == pytest.approx(known)
