"""The comparison: the recipe as it is beside the bread at other shares, each as the service plans it."""

import json
import re
from math import ceil, floor
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from browser.bench import (
    Service,
    answer,
    enter,
    figures,
    fill,
    findings_in_both_looks,
    open_bench,
    settle,
    tin_loaf,
    too_low,
    unfold,
    use_units,
)
from browser.mangled import NEWEST, WORK, link_to, plan_of

FOLDS = ("compare", "log", "notebook", "formula", "water", "fill")  # where these tests look
SCREENSHOTS = Path(__file__).parent / "screenshots"
PAN = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
STAGES = [{"minutes": minutes, "temperature": degrees} for minutes, degrees in [(90, 27), (20, 27), (70, 32)]]
SHARE = "Flour to scald"


def compare(page: Page) -> Locator:
    return page.locator(".section-compare")


def table(page: Page) -> Locator:
    return compare(page).get_by_role("table")


def near(page: Page) -> Locator:
    """The table, scrolled to: it asks when it is near the window."""
    table(page).wait_for(state="attached")
    compare(page).evaluate("(node) => node.scrollIntoView()")
    expect(row(page, "Hydration").locator("td").first).not_to_have_text("")
    expect(compare(page).locator(".coming")).to_have_count(0)
    return table(page)


def row(page: Page, name: str, nth: int = 0) -> Locator:
    return table(page).get_by_role("row", name=re.compile(rf"^{re.escape(name)}\b")).nth(nth)


def cells(page: Page, name: str, nth: int = 0) -> list[str]:
    return row(page, name, nth).locator("td").all_inner_texts()


def moved(page: Page, share: str = "35") -> None:
    open_bench(page, folds=FOLDS)
    fill(page, SHARE, share)
    settle(page)
    near(page)


def plan(service, share: float | None) -> dict:
    return Service(service.url)(
        "loaf-plan",
        formula=tin_loaf(),
        pan=PAN,
        scalded_share_percent=share,
        stages=STAGES,
        losses={"handling_percent": 2},
    )


def shares_kept(page: Page) -> list:
    return json.loads(page.evaluate(f"localStorage.getItem('{WORK}')")).get("compare")


def test_each_column_is_what_the_service_plans(page, service):
    moved(page)
    plans = [plan(service, share) for share in (20, 30, 35)]
    assert cells(page, "Dough per tin") == [f"{each['dough_mass']['best']:.0f}" for each in plans]
    doughs = [each["dough_mass"] for each in plans]
    to_five = [(floor(each["low"] / 5) * 5, ceil(each["high"] / 5) * 5) for each in doughs]
    assert cells(page, "Range") == [f"{low}–{high}" for low, high in to_five]
    # The bar says the same of the bread on the bench.
    ends = page.locator(".bar .range")
    assert re.findall(r"\d+", ends.text_content()) == [str(each) for each in to_five[-1]]
    for part, nth in (("scald", 0), ("dough", 1)):
        for name, ingredient in (("Bread flour, white", "bread_flour"), ("Water", "water")):
            masses = [
                next(line["mass"] for line in each["weigh_out"][part] if line["ingredient"] == ingredient)
                for each in plans
            ]
            assert cells(page, name, nth) == [f"{mass:.0f}" for mass in masses]
    assert cells(page, "Hydration") == [f"{each['hydration_percent']:.1f}" for each in plans]
    assert cells(page, "Sweetness") == [f"{each['sugar']['sweetness_percent']['best']:.1f}" for each in plans]
    assert cells(page, "Yeast's sugar") == ["enough"] * 3
    formula = answer(page, "Recipe at a glance")
    assert float(cells(page, "Hydration")[0]) == pytest.approx(
        figures(formula, "Hydration (with the water in milk, eggs, butter)")[0], abs=0.25
    )
    SCREENSHOTS.mkdir(exist_ok=True)
    compare(page).screenshot(path=SCREENSHOTS / "compare-390.png")


def test_what_changes_is_bold_and_what_does_not_is_faint(page):
    moved(page)
    weight = "(node) => [Number(getComputedStyle(node).fontWeight), node.classList.contains('same')]"
    look = [cell.evaluate(weight) for cell in row(page, "Hydration").locator("td").all()]
    assert look == [[400, False], [600, False], [600, False]]
    look = [cell.evaluate(weight) for cell in row(page, "Yeast's sugar").locator("td").all()]
    assert look == [[400, True]] * 3


def test_one_call_for_all_columns_when_it_is_near(page):
    asked = []
    page.on(
        "request", lambda request: asked.append(request.post_data) if "/v1/variants" in request.url else None
    )
    open_bench(page, folds=FOLDS)
    fill(page, SHARE, "35")
    settle(page)
    table(page).wait_for(state="attached")
    assert asked == []  # it is far below the window
    near(page)
    (body,) = asked
    assert [each["scalded_share_percent"] for each in json.loads(body)["variants"]] == [20, 30, 35]
    assert json.loads(body)["hold"] == "pan"


def test_shares_are_typed_added_removed_and_kept(page):
    moved(page)
    shares = table(page).get_by_role("textbox")
    expect(shares).to_have_count(2)
    assert shares_kept(page) is None  # until the baker has chosen
    enter(shares.first, "25")
    expect(row(page, "Hydration").locator("td").nth(1)).to_have_text(re.compile("67|68"))
    compare(page).get_by_role("button", name="+ Add a share").click()
    expect(shares).to_have_count(3)
    expect(shares.last).to_be_focused()
    expect(shares.last).to_have_value("40")
    expect(compare(page).get_by_role("button", name="+ Add a share")).to_be_hidden()  # four columns at most
    assert shares_kept(page) == [25, 35, 40]
    page.reload()
    settle(page)
    near(page)
    assert [each.input_value() for each in shares.all()] == ["25", "35", "40"]
    compare(page).get_by_role("button", name="Remove 35\u00a0%").click()
    expect(shares).to_have_count(2)
    assert shares_kept(page) == [25, 40]
    expect(page.get_by_role("textbox", name=SHARE)).to_have_value("35")


def test_a_column_is_put_to_use(page):
    moved(page)
    expect(table(page).get_by_text("in use")).to_have_count(3)
    expect(table(page).get_by_text("in use").locator("visible=true")).to_have_count(1)
    table(page).get_by_role("button", name=re.compile("30")).filter(has_text="Use").click()
    settle(page)
    expect(page.get_by_role("textbox", name=SHARE)).to_have_value("30")
    near(page)
    assert cells(page, "Choose")[1].strip().startswith("in use")
    shares = table(page).get_by_role("textbox")
    assert [each.input_value() for each in shares.all()] == ["30", "35"]  # the columns stay


def test_a_refused_column_says_why_and_what_works(page):
    moved(page)
    enter(table(page).get_by_role("textbox").first, "90")
    fault = table(page).locator("tr.faults .whose", has=page.locator("p"))
    expect(fault).to_contain_text("90\u00a0%")
    expect(fault).to_contain_text("too much scalded flour")
    assert [each.strip() for each in cells(page, "Dough per tin")][1] == "—"
    assert cells(page, "Dough per tin")[0] != "—" and cells(page, "Dough per tin")[2] != "—"
    fault.get_by_role("button", name=re.compile("^Use ")).click()
    expect(fault).to_have_count(0)
    expect(row(page, "Dough per tin").locator("td").nth(1)).to_have_text(re.compile(r"^\d+$"))
    expect(page.get_by_role("textbox", name=SHARE)).to_have_value("35")


def test_a_share_that_is_no_number_is_refused_in_its_column(page):
    moved(page)
    enter(table(page).get_by_role("textbox").first, "a third")
    fault = table(page).locator("tr.faults .whose", has=page.locator("p"))
    expect(fault).to_contain_text("“a third” can't be read here.")
    assert [each.strip() for each in cells(page, "Dough per tin")][1] == "—"
    assert cells(page, "Dough per tin")[2] != "—"  # the others are answered all the same


def test_nothing_is_compared_while_the_recipe_is_refused(page):
    moved(page)
    page.get_by_role("textbox", name="Weight of Salt").fill("much")
    expect(compare(page)).to_contain_text("Waits for the recipe to be right.")
    expect(row(page, "Hydration")).to_have_count(0)
    compare(page).get_by_role("button", name="Bake these and score them").click()
    enter(page.get_by_role("textbox", name="Weight of Salt"), "9")
    settle(page)
    near(page)
    expect(page.locator(".section-log .grid")).to_be_hidden()  # pressed for other entries


def test_figures_are_taken_away_when_no_answer_comes(page, watch):
    watch.expect("Failed to load resource")
    moved(page)
    page.route("**/v1/variants*", lambda route: route.abort())
    enter(table(page).get_by_role("textbox").first, "26")
    expect(row(page, "Hydration")).to_have_count(0)
    page.unroute("**/v1/variants*")
    enter(table(page).get_by_role("textbox").first, "27")
    expect(row(page, "Hydration").locator("td")).to_have_count(3)


def test_these_are_baked_and_scored(page, service):
    moved(page)
    compare(page).get_by_role("button", name="Bake these and score them").click()
    expect(compare(page)).to_contain_text("3 bakes added to the bake log.")
    trials = json.loads(page.evaluate("localStorage.getItem('scaldloaf.notebook')"))["trials"]
    plans = [plan(service, share) for share in (20, 30, 35)]
    assert [(bake["scalded_share_percent"], bake["dough_mass"]) for bake in trials] == [
        (each["scalded_share_percent"], round(each["dough_mass"]["best"])) for each in plans
    ]
    assert [bake["hydration_percent"] for bake in trials] == pytest.approx(
        [each["hydration_percent"] for each in plans], abs=0.01
    )
    log = page.locator(".section-log")
    expect(log.get_by_role("combobox", name=re.compile(r"^How it filled 20"))).to_be_focused()
    compare(page).get_by_role("button", name="Bake these and score them").click()
    expect(compare(page)).to_contain_text("These are in the bake log already.")
    expect(log.get_by_role("columnheader")).to_have_count(1 + 3)


def test_a_bread_has_more_of_its_own_and_is_put_to_use(page, service):
    moved(page)
    for name in ("Change more than the share", "Differences from your recipe", "Weigh them all at once"):
        compare(page).get_by_text(name, exact=True).click()
    own = compare(page).get_by_role("table").nth(1)
    enter(own.get_by_role("textbox", name=re.compile("^Sugar")).first, "9")
    enter(own.get_by_role("textbox", name=re.compile("^Scald, 1")).first, "0.8")
    expect(row(page, "Sugar").locator("td").nth(1)).to_have_text("9.0")
    expect(row(page, "Scald ratio").locator("td").nth(1)).to_have_text("0.8")
    assert shares_kept(page)[1] == 35 and shares_kept(page)[0]["sucrose_percent"] == 9
    variants = [
        {"name": "a", "scalded_share_percent": 20, "hydration_percent": 66.464},
        {"name": "b", "scalded_share_percent": 30, "sucrose_percent": 9, "scald_liquid_ratio": 0.8},
        {"name": "c", "scalded_share_percent": 35},
    ]
    common = {"formula": tin_loaf(), "pan": PAN, "stages": STAGES, "losses": {"handling_percent": 2}}
    wanted = Service(service.url)("variants", hold="pan", variants=variants, **common)
    first, *_ = wanted["differences"]
    shown = compare(page).get_by_role("row", name=re.compile("^Dough per tin g .*[+]")).locator("td")
    expect(shown.first).to_have_text(f"{first['dough_mass']:+.0f}")
    less = compare(page).get_by_role("row", name=re.compile("^Loaf volume per gram"))
    expect(less.locator("td").first).to_have_text(re.compile("^\u2212"))
    portions = compare(page).locator(".portions").first.locator("li b").all_inner_texts()
    scald = wanted["weigh_out"]["scalds"][0]
    assert portions == [f"{each['mass']:.0f}\u00a0g" for each in scald["portions"]]
    with page.expect_download() as download:
        compare(page).get_by_role("button", name="Download as a spreadsheet (CSV)").click()
    head, *lines = Path(download.value.path()).read_text().splitlines()
    assert head.startswith("name,problem,") and len(lines) == 3
    table(page).get_by_role("button", name=re.compile("30")).filter(has_text="Use").click()
    expect(page.get_by_role("textbox", name="Weight of White sugar (sucrose)")).to_have_value("45")
    expect(page.get_by_role("textbox", name=SHARE)).to_have_value("30")
    settle(page)
    assert json.loads(page.evaluate(f"localStorage.getItem('{WORK}')"))["water"]["scald_liquid_ratio"] == 0.8


def test_in_ounces_too(page):
    moved(page)
    use_units(page, "us")
    settle(page)
    near(page)
    expect(row(page, "Dough per tin")).to_contain_text("oz")
    assert all(re.fullmatch(r"1\d\.\d", each) for each in cells(page, "Dough per tin"))


def test_compared_shares_travel_with_the_plan_and_older_plans_open(page):
    link = NEWEST["full"]["link"]
    assert "compare" not in plan_of(link)  # an older page's
    page.goto(f"/{link_to({**plan_of(link), 'compare': [12, 34]})}")
    settle(page)
    unfold(page)
    table(page).wait_for(state="attached")
    shares = table(page).get_by_role("textbox")
    assert [each.input_value() for each in shares.all()] == ["12", "34"]


def test_compared_shares_change_no_answer(page):
    """They are kept with the work, but nothing is weighed by them."""
    moved(page)
    asked = []
    page.on("request", lambda request: asked.append(request.url.rsplit("/", 1)[1]))
    enter(table(page).get_by_role("textbox").first, "26")
    expect(page.locator("#work")).to_have_attribute("data-answers", "current")
    expect(row(page, "Hydration").locator("td").nth(1)).to_have_text("68.1")
    assert set(asked) == {"variants?show=result"}


def test_it_is_accessible_and_scrolls_by_itself(open_page):
    page = open_page(320, 800, has_touch=True)
    moved(page)
    compare(page).get_by_role("button", name="+ Add a share").click()
    enter(table(page).get_by_role("textbox").last, "90")
    expect(table(page).locator(".whose p")).to_be_visible()
    assert compare(page).evaluate("(node) => node.scrollWidth <= node.clientWidth")
    region = compare(page).get_by_role("group", name="Shares, a column each")
    assert region.evaluate("(node) => node.scrollWidth > node.clientWidth")
    assert too_low(table(page).locator("input:visible, button:visible")) == []
    assert "\n".join(findings_in_both_looks(page, "#compare")) == ""


SUMMARY = """async ([replies, compare]) => {
    const { createBench } = await import("/page/bench.js");
    const { compareSection } = await import("/sections/compare-section.js");
    const nothing = () => {};
    const storage = { getItem: () => null, setItem: nothing, removeItem: nothing };
    const names = ["recalculate", "redraw", "mark", "notSaved", "notice", "showAnswers"];
    const bench = await createBench(storage, Object.fromEntries(names.map((name) => [name, nothing])));
    await bench.t.more();
    bench.state.share = 35;
    if (compare) bench.state.compare = compare;
    const { summary } = compareSection(bench);
    const said = [summary()];
    bench.answers.hold({ work: bench.state, trials: [], replies: {} }, "formula", replies);
    return [...said, summary()];
}"""


@pytest.mark.parametrize(
    ("compared", "line"),
    [
        (None, "20\u00a0%, 30\u00a0% and 35\u00a0% side by side"),
        ([40], "20\u00a0% and 40\u00a0% side by side"),
    ],
)
def test_the_folded_line(page, service, compared, line):
    open_bench(page, folds=FOLDS)
    whole = Service(service.url)("breakdown", formula=tin_loaf())
    assert page.evaluate(SUMMARY, [whole, compared]) == ["Waits for the recipe to be right.", line]
