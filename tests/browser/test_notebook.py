"""The notebook: breads saved in the browser, in a file and in a link; the baker's own bakes; keeping."""

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from browser.bench import Service, answer, figures, fill, open_bench, settle
from browser.mangled import link_to

SCREENSHOTS = Path(__file__).parent / "screenshots"
PAN = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
WHOLE = "The formula seen whole"
FILLS = "The dough that fills the pan"
BAKES = "What your bakes teach"


def notebook(page):
    return page.get_by_role("region", name="Notebook")


def write_down(page):
    page.get_by_role("button", name="Write this bread down").click()


def test_a_bread_is_saved_and_opened_again(page):
    open_bench(page)
    fill(page, "Scalded share wanted", "33")
    fill(page, "Name of the bread", "Harbour white")
    settle(page)
    write_down(page)
    fill(page, "Scalded share wanted", "10")
    page.reload()
    settle(page)
    page.get_by_role("button", name="Open Harbour white").click()
    settle(page)
    expect(page.get_by_role("textbox", name="Scalded share wanted")).to_have_value("33")
    expect(notebook(page).locator(".breads li")).to_have_count(2)  # the current recipe is set aside
    expect(notebook(page)).to_contain_text("Harbour white (set aside)")


def test_a_removed_bread_can_be_put_back(page):
    open_bench(page)
    write_down(page)
    page.get_by_role("button", name="Remove Lantern Quay tin loaf").click()
    expect(notebook(page).locator(".breads li")).to_have_count(0)
    page.get_by_role("button", name="Put it back").click()
    expect(notebook(page).locator(".breads li")).to_have_count(1)


def saved(page, tmp_path) -> Path:
    with page.expect_download() as download:
        page.get_by_role("button", name="Save the notebook as a file").click()
    path = tmp_path / download.value.suggested_filename
    download.value.save_as(path)
    return path


def test_the_notebook_travels_as_a_file(open_page, tmp_path):
    here = open_bench(open_page(390, 844))
    fill(here, "Scalded share wanted", "31")
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
    expect(there.get_by_role("textbox", name="Scalded share wanted")).to_have_value("31")


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


@pytest.mark.parametrize(
    "how",
    [
        "cut short",
        "another version",
        "another program's",
        "a line that is no object",
        "a bread without a formula",
        "markup for a name",
    ],
)
def test_a_bad_file_loses_nothing(page, tmp_path, how):
    open_bench(page)
    write_down(page)
    path = saved(page, tmp_path)
    before = page.evaluate("localStorage.getItem('scaldloaf.notebook')")
    bad = tmp_path / "bad.json"
    bad.write_text(wreck(path.read_text(), how))
    page.locator("input[type=file]").set_input_files(bad)
    expect(notebook(page)).to_contain_text("Nothing was changed.")
    assert page.evaluate("localStorage.getItem('scaldloaf.notebook')") == before
    page.reload()
    settle(page)
    expect(notebook(page).locator(".breads li")).to_have_count(1)


def test_a_plan_travels_as_a_link_but_never_reaches_the_service(open_page):
    here = open_page(390, 844, permissions=["clipboard-read", "clipboard-write"])
    open_bench(here)
    fill(here, "Scalded share wanted", "27")
    fill(here, "Name of the bread", "Pier loaf")
    settle(here)
    here.get_by_role("button", name="Copy a link to this bread").click()
    expect(notebook(here)).to_contain_text("The link is copied")
    link = here.evaluate("navigator.clipboard.readText()")
    assert "#plan=" in link

    there = open_page(390, 844)
    asked = []
    there.on("request", lambda request: asked.append(request.url))
    there.goto(link)
    expect(there.get_by_text("Pier loaf is on the bench")).to_be_visible()
    settle(there)
    expect(there.get_by_role("textbox", name="Scalded share wanted")).to_have_value("27")
    assert "#" not in there.url
    plan = link.split("#plan=")[1]
    assert asked and not any(plan[:30] in url.split("#")[0] for url in asked)


def test_a_link_pasted_into_an_open_tab_is_opened(page):
    open_bench(page)
    fill(page, "Scalded share wanted", "24")
    fill(page, "Name of the bread", "Jetty loaf")
    settle(page)
    plan = {**json.loads(page.evaluate("localStorage.getItem('scaldloaf.work')")), "share": 31}
    plan["formula"]["name"] = "Pier loaf"
    page.evaluate("fragment => { window.same = true; location.hash = fragment; }", link_to(plan))
    expect(page.get_by_text("Pier loaf is on the bench")).to_be_visible()
    settle(page)
    assert page.evaluate("same"), "the page was loaded again"
    expect(page.get_by_role("textbox", name="Scalded share wanted")).to_have_value("31")
    expect(notebook(page)).to_contain_text("Jetty loaf")
    assert "#" not in page.url


@pytest.mark.parametrize("fragment", ["#plan=x", "#plan=", "#plan=q1YqSy0qzszPU7Iy1FFKzs8tKEotLk4FAA"])
def test_a_broken_link_changes_nothing(page, fragment):
    open_bench(page)
    fill(page, "Scalded share wanted", "24")
    settle(page)
    page.goto("about:blank")
    page.goto(f"/{fragment}")
    expect(page.get_by_text("no plan that can be read")).to_be_visible()
    expect(page.get_by_role("textbox", name="Scalded share wanted")).to_have_value("24")


def add_bake(page, share: str, dough: str, loaf: str, volume: str) -> None:
    page.get_by_role("button", name="Add a bake").click()
    bake = page.locator(".trial").last
    fill(page, "Scalded share", share, within=bake)
    fill(page, "Hydration", "", within=bake)
    fill(page, "Dough in the pan", dough, within=bake)
    bake.get_by_role("combobox", name="Size of the loaf").select_option("loaf_volume")
    fill(page, "Loaf volume", volume, within=bake)
    fill(page, "Loaf, cooled", loaf, within=bake)


def test_own_bakes_set_the_dough(page, service):
    api = Service(service.url)
    open_bench(page)
    fill(page, "Scalded share wanted", "35")
    settle(page)
    wide = api("pan-fill", pan=PAN, bread={"kind": "prior"}, scalded_share_percent=35)["dough_mass"]
    add_bake(page, "20", "440", "394", "1714")
    add_bake(page, "30", "470", "421", "1700")
    settle(page)
    trials = [
        {"scalded_share_percent": 20, "dough_mass": 440, "loaf_volume": 1714, "baked_mass": 394},
        {"scalded_share_percent": 30, "dough_mass": 470, "loaf_volume": 1700, "baked_mass": 421},
    ]
    fit = api("trial-fit", trials=trials, want={"pan": PAN, "fill_percent": 100, "scalded_share_percent": 35})
    target = fit["next_bake"]["dough_mass"]
    assert figures(answer(page, BAKES), "Next dough for one pan, at 35 %") == pytest.approx([target["best"]])

    page.get_by_role("checkbox", name="Reckon the dough with these bakes").check()
    settle(page)
    assert figures(answer(page, FILLS), "Dough for one pan") == pytest.approx([target["best"]])
    assert target["high"] - target["low"] < wide["high"] - wide["low"]
    dots = page.locator("figure.chart").filter(has_text="Dough for the pan against").locator("circle.dot")
    page.locator("figure.chart").first.scroll_into_view_if_needed()
    expect(dots).to_have_count(2)
    SCREENSHOTS.mkdir(exist_ok=True)
    page.screenshot(path=SCREENSHOTS / "trials-390.png", full_page=True)


def test_softness_by_day(page, service):
    api = Service(service.url)
    open_bench(page)
    scores = {"Plain": [9, 6.5, 4], "Scalded": [9, 7.8, 6.4]}
    for name, values in scores.items():
        page.get_by_role("button", name="Add a loaf").click()
        loaf = page.get_by_role("region", name="Keeping").locator(".trial").last
        fill(page, "Loaf", name, within=loaf)
        for place, value in enumerate(values):
            loaf.get_by_role("textbox", name="Score").nth(place).fill(str(value))
    fill(page, "Your limit", "5")
    keeping = answer(page, "How the loaves keep")
    reply = api(
        "keeping",
        direction="falls",
        limit=5,
        loaves=[
            {
                "name": name,
                "scores": [
                    {"days": day, "score": value} for day, value in zip((0, 1, 3), values, strict=False)
                ],
            }
            for name, values in scores.items()
        ],
    )
    times = keeping.get_by_role("table", name="Days to your limit").locator("tbody tr")
    expect(times).to_have_count(2)
    best = [float(row.locator("data").get_attribute("value")) for row in times.all()]
    assert best == pytest.approx([loaf["time_to_limit"]["best"] for loaf in reply["loaves"]])
    expect(keeping.locator("figure svg[role=img] path.line")).to_have_count(2)
    page.reload()
    settle(page)
    expect(page.get_by_role("region", name="Keeping").locator(".trial")).to_have_count(2)
    SCREENSHOTS.mkdir(exist_ok=True)
    page.screenshot(path=SCREENSHOTS / "keeping-390.png", full_page=True)
