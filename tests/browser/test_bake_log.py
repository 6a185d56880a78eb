"""The bake log: bakes with how they filled their tin and how they staled, the finding, and the next dough."""

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
    too_low,
)
from browser.mangled import NOTEBOOK, STORED, put

FOLDS = ("log", "fill", "notebook")  # where these tests look
SCREENSHOTS = Path(__file__).parent / "screenshots"
PAN = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
FILLS = "Dough for the tin"
LESSONS = "What your bakes teach"
SCORES = {"20": [9, 8, 6.8, 5.4], "30": [9.2, 8.6, 7.7, 6.6], "40": [9.1, 8.8, 8.2, 7.5]}


def log(page: Page) -> Locator:
    return page.locator(".section-log")


def table(page: Page) -> Locator:
    return log(page).get_by_role("table").first


def cell(page: Page, row: str, column: str) -> Locator:
    """A field of the table, by the names of its row and its column."""
    name = re.compile(rf"^{re.escape(row)}\s+{re.escape(column)}(\s%)?$")
    return table(page).get_by_role("textbox", name=name).or_(table(page).get_by_role("combobox", name=name))


def add_bake(page: Page, share: str, dough: str | None = None, filled: str | None = None) -> None:
    log(page).get_by_role("button", name="+ Add a bake").press("Enter")  # where a late answer moves it, too
    enter(table(page).get_by_role("textbox", name="Flour scalded").last, share)
    if dough is not None:
        enter(cell(page, "Dough in tin", share), dough)
    if filled is not None:
        cell(page, "How it filled", share).select_option(label=filled)


def score(page: Page, column: str, scores: list[float]) -> None:
    for day, value in enumerate(scores):
        enter(cell(page, f"Day {day}", column), str(value))


def three_bakes(page: Page) -> None:
    for share, scores in SCORES.items():
        add_bake(page, share, "460", "just")
        score(page, share, scores)
    fill(page, "Still good at", "6")


def book(page: Page) -> dict:
    return json.loads(page.evaluate("localStorage.getItem('scaldloaf.notebook')"))


def open_more(page: Page, column: str) -> Locator:
    table(page).get_by_role("button", name=re.compile(rf"^More {column}")).click()
    more = log(page).get_by_role("group", name=re.compile(f"^More about this bake: {column}"))
    expect(more).to_be_visible()
    return more


# ---- The next dough


def test_own_bakes_set_the_dough(page, service):
    api = Service(service.url)
    open_bench(page, folds=FOLDS)
    fill(page, "Flour to scald", "35")
    settle(page)
    wide = api("pan-fill", pan=PAN, bread={"kind": "prior"}, scalded_share_percent=35)["dough_mass"]
    for share, dough, loaf, volume in [("20", "440", "394", "1714"), ("30", "470", "421", "1700")]:
        add_bake(page, share, dough, "volume")
        enter(
            table(page)
            .get_by_role("textbox", name=re.compile(f"^How it filled {share}"))
            .locator("visible=true"),
            volume,
        )
        enter(cell(page, "Cool loaf", share), loaf)
        enter(open_more(page, share).get_by_role("textbox", name="Hydration"), "")
    settle(page)
    trials = [
        {"scalded_share_percent": 20, "dough_mass": 440, "loaf_volume": 1714, "baked_mass": 394},
        {"scalded_share_percent": 30, "dough_mass": 470, "loaf_volume": 1700, "baked_mass": 421},
    ]
    fit = api("trial-fit", trials=trials, want={"pan": PAN, "fill_percent": 100, "scalded_share_percent": 35})
    target = fit["next_bake"]["dough_mass"]
    log(page).locator("summary", has_text=LESSONS).click()
    assert figures(answer(page, LESSONS), "Next dough per tin, at 35 %") == pytest.approx([target["best"]])
    ends = floor(target["low"] / 5) * 5, ceil(target["high"] / 5) * 5
    use = log(page).get_by_role("checkbox", name=re.compile("^Use these bakes for the next dough weight"))
    expect(log(page).locator(".tog")).to_contain_text(
        f"weight: {target['best']:.0f}\u00a0g ({ends[0]}–{ends[1]}\u00a0g) instead of "
    )
    use.check()
    settle(page)
    expect(page.locator("#work")).to_have_attribute("data-answers", "current")
    assert figures(answer(page, FILLS), "Dough per tin") == pytest.approx([target["best"]])
    assert target["high"] - target["low"] < wide["high"] - wide["low"]
    expect(log(page).locator(".tog")).not_to_contain_text("instead of")
    page.locator("figure.chart").first.scroll_into_view_if_needed()
    expect(page.locator(".section-fill figure.chart .dot")).to_have_count(2)
    use.uncheck()
    settle(page)
    assert figures(answer(page, FILLS), "Dough per tin") == pytest.approx([wide["best"]])


def test_a_bake_begins_with_what_is_answered_now(page):
    open_bench(page, folds=FOLDS)
    fill(page, "Flour to scald", "35")
    settle(page)
    dough = round(figures(answer(page, FILLS), "Dough per tin")[0])
    log(page).get_by_role("button", name="+ Add a bake").click()
    expect(cell(page, "Dough in tin", "35")).to_have_value(str(dough))
    expect(cell(page, "How it filled", "35")).to_be_focused()
    (bake,) = book(page)["trials"]
    assert (bake["scalded_share_percent"], bake["dough_mass"], bake["pan"]["length"]) == (35, dough, 19)
    assert bake["hydration_percent"] == pytest.approx(70.5, abs=0.5)
    assert "points" not in bake


def test_the_figure_of_the_tick_is_that_of_the_bar_once_it_is_ticked(page):
    """Also where the bakes teach that their water is off: of a softer scald, and at another share."""
    open_bench(page, folds=FOLDS)
    fill(page, "Flour to scald", "6")
    add_bake(page, "6", "440", "just")
    enter(cell(page, "Scald ratio, 1 :", "6"), "5")
    said = log(page).locator(".tog b")
    bar = page.locator(".bar p b").first
    use = log(page).get_by_role("checkbox", name=re.compile("^Use these bakes"))
    for share in ("6", "25"):
        fill(page, "Flour to scald", share)
        settle(page)
        expect(said).to_have_count(1)
        before = said.text_content().split("\u00a0")[0]
        use.check()
        settle(page)
        expect(page.locator("#work")).to_have_attribute("data-answers", "current")
        expect(bar).to_have_text(f"{before}\u00a0g")
        expect(said).to_contain_text(f"{before}\u00a0g")
        expect(page.locator("#log > summary")).to_contain_text(f"next tin {before}\u00a0g")
        use.uncheck()
    # Bakes of an older page don't say their scald.
    enter(cell(page, "Scald ratio, 1 :", "6"), "")
    expect(log(page)).to_contain_text("No scald ratio entered: 6\u00a0%. We count 1 : 1.")
    # So much scalded flour is past what was measured: said at the share.
    past = page.locator(".ask .past")
    expect(past).to_have_text("")
    fill(page, "Flour to scald", "42")
    expect(past).to_contain_text("Bake a test loaf first.")


def test_how_the_loaf_filled_its_tin(page):
    open_bench(page, folds=FOLDS)
    add_bake(page, "30", "450")
    field = table(page).get_by_role("textbox", name=re.compile("^How it filled 30")).locator("visible=true")
    filled = cell(page, "How it filled", "30").locator("visible=true").first
    for choice, value in (("just", 100), ("low", 92), ("over", 108), ("–", None)):
        filled.select_option(label="low")
        enter(field, "88")
        assert book(page)["trials"][0]["fill_percent"] == 88
        filled.select_option(label=choice)
        assert book(page)["trials"][0]["fill_percent"] == value, choice
        expect(field, choice).to_have_count(1 if choice in ("low", "over") else 0)


def test_a_bake_in_another_tin(page, service):
    """The tin of a bake is that of its day, and can be corrected."""
    api = Service(service.url)
    open_bench(page, folds=("formula", *FOLDS))
    add_bake(page, "20", "440", "just")
    more = open_more(page, "20")
    enter(more.get_by_role("textbox", name="Length", exact=True), "25")
    enter(more.get_by_role("textbox", name="Hydration"), "")
    settle(page)
    trial = {
        "scalded_share_percent": 20,
        "dough_mass": 440,
        "fill_percent": 100,
        "pan": {**PAN, "length": 25},
    }
    fit = api(
        "trial-fit", trials=[trial], want={"pan": PAN, "fill_percent": 100, "scalded_share_percent": 20}
    )
    log(page).locator("summary", has_text=LESSONS).click()
    assert figures(answer(page, LESSONS), "Next dough per tin, at 20 %") == pytest.approx(
        [fit["next_bake"]["dough_mass"]["best"]]
    )
    expect(page.locator(".section-fill").get_by_role("textbox", name="Length", exact=True)).to_have_value(
        "19"
    )
    # Measured another way it has no figures that nobody measured.
    more.get_by_role("combobox", name="Baked in").select_option("volume")
    expect(more.get_by_role("textbox", name="Volume", exact=True)).to_have_value("")
    more.get_by_role("combobox", name="Baked in").select_option("box")
    expect(more.get_by_role("textbox", name="Length", exact=True)).to_have_value("25")
    # A bake is of its bread, and says so beside another.
    baked = table(page).locator("td.date")
    expect(baked).not_to_contain_text("Lantern Quay")
    fill(page, "Bread name", "Kettle loaf")
    settle(page)
    page.get_by_role("button", name="+ Add a bake").click()
    expect(baked.first).to_contain_text("Lantern Quay tin loaf")
    expect(baked.last).not_to_contain_text("loaf")
    used = log(page).locator("label", has_text="Use these bakes")
    expect(used).to_contain_text("Some were of another bread: Lantern Quay tin loaf.")


def test_a_refused_bake_says_why_below_its_row(page):
    open_bench(page, folds=FOLDS)
    add_bake(page, "20", "440", "just")
    add_bake(page, "30", "-3", "just")
    fault = table(page).locator("tr.faults .whose", has=page.locator("p"))
    expect(fault).to_have_count(1)
    expect(fault).to_contain_text("30\u00a0%")
    expect(fault).to_contain_text("Check the dough weight and the volume.")
    expect(cell(page, "Dough in tin", "30")).to_have_attribute("aria-invalid", "true")
    expect(log(page).locator(".tog b")).to_have_count(0)  # no next dough from refused bakes
    enter(cell(page, "Dough in tin", "30"), "460")
    settle(page)
    expect(fault).to_have_count(0)
    expect(log(page).locator(".tog b")).to_have_count(1)


# ---- Softness


def keeping(service, limit: float, loaves: dict[str, list[float]]) -> dict:
    scored = [
        {
            "name": f"{name}\u00a0%",
            "scores": [{"days": day, "score": value} for day, value in enumerate(scores)],
        }
        for name, scores in loaves.items()
    ]
    return Service(service.url)("keeping", direction="falls", limit=limit, loaves=scored)


def test_the_finding_names_the_loaf_that_stays_soft_longest(page, service):
    open_bench(page, folds=FOLDS)
    three_bakes(page)
    reply = keeping(service, 6, SCORES)
    assert reply["ranking"][0]["name"] == "40\u00a0%"
    finding = log(page).locator(".verdict")
    expect(finding.locator("b")).to_have_text("40\u00a0% stays soft longest so far.")
    chances = {
        each["shorter"]: each["probability_percent"]
        for each in reply["comparisons"]
        if "40" in each["longer"]
    }
    chance = chances["20\u00a0%"]
    expect(finding).to_contain_text(f"{chance:.0f}\u00a0% sure it beats 20\u00a0%.")
    expect(finding).to_contain_text("Against 30\u00a0% it is still open")
    expect(finding).to_contain_text("score both again on day 4.")
    expect(table(page).get_by_text("softest").locator("visible=true")).to_have_count(1)
    log(page).get_by_text("What your bakes teach").click()
    compared = log(page).get_by_role("table", name="Each bake compared with the rest").locator("tbody tr")
    for share, bake in zip(SCORES, compared.all(), strict=True):  # all were baked on one day
        expect(bake).to_contain_text(f"{share}\u00a0%")
    expect(table(page).locator("th.use")).to_contain_text("softest")
    expect(table(page).locator("th.use").get_by_role("textbox")).to_have_value("40")

    kept = table(page).locator("tr.kept td")
    first, *others = [loaf["time_to_limit"] for loaf in reply["loaves"]]
    expect(kept.nth(0).locator("b")).to_have_text(f"{first['best']:.1f}\u00a0d")
    assert all(each["beyond_last_day"] or each["reason"] == "limit_not_reached" for each in others)
    for place in (1, 2):
        expect(kept.nth(place).locator("b")).to_have_text("more than 3\u00a0d")

    chart = log(page).locator("figure.chart")
    expect(chart.locator("svg path.line")).to_have_count(3)
    expect(chart.locator("svg .name")).to_have_text(["40\u00a0%", "30\u00a0%", "20\u00a0%"])
    expect(chart.locator("circle.dot")).to_have_count(4)
    expect(chart.locator("path.dot")).to_have_count(8)
    expect(chart.locator("svg text", has_text="still good at 6")).to_be_visible()
    page.reload()
    settle(page)
    expect(finding.locator("b")).to_have_text("40\u00a0% stays soft longest so far.")
    SCREENSHOTS.mkdir(exist_ok=True)
    log(page).screenshot(path=SCREENSHOTS / "bake-log-390.png")
    score(page, "20", [9, 6, 3, 1])  # even so, a few scores show nothing for sure
    expect(finding).to_contain_text("99\u00a0% sure it beats 20\u00a0%.")


def test_the_finding_is_never_of_other_scores(page, watch):
    watch.expect("Failed to load resource")
    open_bench(page, folds=FOLDS)
    three_bakes(page)
    finding = log(page).locator(".verdict")
    expect(finding).to_contain_text("40\u00a0% stays soft longest")
    page.route("**/v1/keeping", lambda route: route.abort())
    enter(cell(page, "Day 3", "40"), "2")
    expect(finding).not_to_contain_text("stays soft")
    expect(table(page).locator("tr.kept td b")).to_have_count(0)
    expect(log(page).locator("figure.chart")).to_be_hidden()
    page.unroute("**/v1/keeping")
    enter(cell(page, "Day 3", "40"), "7.5")
    expect(finding).to_contain_text("40\u00a0% stays soft longest")


def test_scores_do_not_ask_for_the_dough_again(page):
    open_bench(page, folds=FOLDS)
    add_bake(page, "20", "440", "just")
    settle(page)
    log(page).get_by_role("checkbox").first.check()
    settle(page)
    expect(page.locator("#work")).to_have_attribute("data-answers", "current")
    asked = []
    page.on("request", lambda request: asked.append(request.url.rsplit("/", 1)[1]))
    enter(cell(page, "Day 0", "20"), "9")
    enter(cell(page, "Day 1", "20"), "8")
    page.wait_for_function("() => performance.getEntriesByName(`${location.origin}/v1/keeping`).length > 0")
    expect(page.locator("#work")).to_have_attribute("data-answers", "current")
    # The card is for these entries still: its lines can be ticked.
    answer(page, "What to weigh").get_by_role("checkbox", name=re.compile("Salt")).check()
    assert "keeping" in asked
    # Charts and plan are drawn when the browser has time.
    assert set(asked) <= {"keeping", "bulk?show=result", "loaf-plan"}


def test_further_days_half_days_and_second_scores(page):
    open_bench(page, folds=FOLDS)
    add_bake(page, "20")
    score(page, "20", [9, 8, 7, 6])
    log(page).get_by_role("button", name="+ Add day 4").click()
    expect(cell(page, "Day 4", "20")).to_be_focused()
    page.keyboard.type("5")
    more = open_more(page, "20")
    expect(more.locator(".score")).to_have_count(5)
    for days, value in (("1.5", "7.4"), ("1", "8.2")):
        more.get_by_role("button", name="Add a score").click()
        expect(more.get_by_role("textbox", name="Days").last).to_be_focused()
        enter(more.get_by_role("textbox", name="Days").last, days)
        enter(more.get_by_role("textbox", name="Score").last, value)
    expect(cell(page, "Day 1.5", "20")).to_have_value("7.4")
    expect(cell(page, "Day 1, score 2", "20")).to_have_value("8.2")
    with page.expect_request("**/v1/keeping") as asked:
        fill(page, "Still good at", "6")
    scores = json.loads(asked.value.post_data)["loaves"][0]["scores"]
    assert [(each["days"], each["score"]) for each in scores] == [
        (0, 9), (1, 8), (1, 8.2), (1.5, 7.4), (2, 7), (3, 6), (4, 5),
    ]  # fmt: skip
    more.get_by_role("button", name="Remove this score").first.click()
    expect(cell(page, "Day 0", "20")).to_have_value("")
    more.get_by_role("button", name="Undo").click()
    expect(cell(page, "Day 0", "20")).to_have_value("9")


def test_firmness_is_scored_the_other_way(page):
    open_bench(page, folds=FOLDS)
    add_bake(page, "20")
    log(page).locator("summary", has_text="How you score").click()
    log(page).get_by_role("radio", name="Higher is firmer").check()
    expect(table(page)).to_contain_text("Firmness")
    score(page, "20", [2, 3, 5, 6])
    fill(page, "Still good at", "4")
    expect(log(page).locator(".lim")).to_contain_text("or less")
    expect(log(page).locator(".verdict b")).to_contain_text("20\u00a0%: soft for 1.")
    log(page).get_by_role("radio", name="Higher is softer").check()
    expect(log(page).locator(".verdict")).not_to_contain_text("soft for 1.")


def test_no_softness_is_above_fresh(page):
    open_bench(page, folds=FOLDS)
    add_bake(page, "20", "460", "just")
    score(page, "20", [12, 8, -1])
    faults = table(page).locator("tr.faults .whose", has=page.locator("p"))
    expect(faults).to_have_count(2)
    expect(faults.first).to_contain_text("Enter at most 10.")
    expect(faults.last).to_contain_text("Enter at least 0.")
    assert [point["score"] for point in book(page)["trials"][0]["points"]] == [12, 8, -1]  # kept as entered
    log(page).get_by_text("How you score").click()
    log(page).get_by_label("Higher is firmer").check()
    expect(faults).to_have_count(0)


def test_a_score_that_is_none_is_refused_below_its_day(page):
    open_bench(page, folds=FOLDS)
    add_bake(page, "20")
    enter(cell(page, "Day 1", "20"), "soft")
    fault = table(page).locator("tr.faults .whose", has=page.locator("p"))
    expect(fault).to_contain_text("“soft” can't be read here.")
    above = fault.locator("xpath=ancestor::tr/preceding-sibling::tr[1]")
    expect(above).to_contain_text("Day 1")


def test_two_bakes_of_one_share_are_told_apart_by_their_day(page):
    open_bench(page, folds=FOLDS)
    for day in ("Mon", "Tue"):
        add_bake(page, "20")
        enter(table(page).get_by_role("textbox", name=re.compile("^Baked 20")).last, day)
    for day, value in (("Mon", "9"), ("Tue", "8")):
        enter(table(page).get_by_role("textbox", name=re.compile(rf"^Day 0 20\s%, {day}$")), value)
    with page.expect_request("**/v1/keeping") as asked:
        fill(page, "Still good at", "6")
    assert [loaf["name"] for loaf in json.loads(asked.value.post_data)["loaves"]] == [
        "20\u00a0%, Mon",
        "20\u00a0%, Tue",
    ]


# ---- The table


def test_enter_goes_down_the_column_and_on_to_the_next(page):
    open_bench(page, folds=FOLDS)
    add_bake(page, "20", "440", "just")
    add_bake(page, "30", "460", "just")
    day = [cell(page, f"Day {each}", "20") for each in range(4)]
    day[0].focus()
    for place, value in enumerate(("9", "8", "7", "6")):
        expect(day[place]).to_be_focused()
        expect(day[place]).to_have_attribute("enterkeyhint", "next")
        page.keyboard.type(value)
        page.keyboard.press("Enter")
    expect(table(page).get_by_role("textbox", name="Flour scalded").last).to_be_focused()
    page.keyboard.press("Shift+Enter")
    expect(day[3]).to_be_focused()
    day[2].focus()
    page.keyboard.press("Tab")
    expect(cell(page, "Day 2", "30")).to_be_focused()  # along the row
    assert [each["score"] for each in book(page)["trials"][0]["points"]] == [9, 8, 7, 6]


def test_a_removed_bake_comes_back_where_it_was(page):
    open_bench(page, folds=FOLDS)
    for share in ("20", "30", "40"):
        add_bake(page, share, "450", "just")
    score(page, "30", [9, 8])
    before = book(page)["trials"]
    open_more(page, "30").get_by_role("button", name="Remove this bake").click()
    assert [each["scalded_share_percent"] for each in book(page)["trials"]] == [20, 40]
    expect(log(page).locator(".removed")).to_have_text("30\u00a0% removed. Undo")
    log(page).get_by_role("button", name="Undo").click()
    assert book(page)["trials"] == before
    expect(log(page).locator(".removed")).to_have_count(0)
    expect(cell(page, "How it filled", "30")).to_be_focused()
    open_more(page, "30").get_by_role("button", name="Remove this bake").click()
    add_bake(page, "50")
    expect(log(page).locator(".removed")).to_have_count(0)  # other bakes: the undo is over


def test_older_bakes_are_listed_and_can_be_shown(page):
    open_bench(page, folds=FOLDS)
    for share in range(10, 18):
        add_bake(page, str(share), "450", "just")
    columns = table(page).get_by_role("columnheader")
    expect(columns).to_have_count(1 + 6)
    earlier = log(page).locator(".earlier li")
    expect(earlier).to_have_count(2)
    log(page).locator("summary", has_text="Earlier bakes").click()
    expect(earlier.last).to_contain_text("450\u00a0g; just")
    log(page).get_by_role("button", name="Show 10\u00a0%").click()
    expect(columns).to_have_count(1 + 6)
    expect(cell(page, "How it filled", "10")).to_be_focused()
    expect(earlier).to_have_count(2)
    enter(cell(page, "Dough in tin", "10"), "-3")
    expect(table(page).locator(".whose", has=page.locator("p"))).to_contain_text("10\u00a0%")


def test_bakes_and_loaves_of_earlier_pages_are_columns(page):
    page.goto("/icon.svg")
    put(page, STORED)
    before = json.loads(STORED[NOTEBOOK])
    open_bench(page, folds=FOLDS)
    count = len(before["trials"]) + len(before["loaves"])
    expect(table(page).get_by_role("columnheader")).to_have_count(1 + count)
    for loaf in before["loaves"]:
        for point in loaf["points"]:
            if isinstance(point["score"], int | float):
                name = f"Day {point['days']:g} {loaf['name']}"
                expect(table(page).get_by_role("textbox", name=name, exact=True)).to_have_value(
                    f"{point['score']:g}"
                )
    expect(table(page).locator("td:empty")).to_have_count(6 * len(before["loaves"]))  # a loaf has no dough
    assert book(page)["trials"] == before["trials"] and book(page)["loaves"] == before["loaves"]


def test_it_is_accessible_and_fits_a_narrow_window(open_page):
    page = open_bench(open_page(320, 800, has_touch=True), folds=FOLDS)
    add_bake(page, "90", "-3", "low")
    for share in ("20", "30", "40"):
        add_bake(page, share, "460", "just")
        score(page, share, SCORES[share])
    fill(page, "Still good at", "6")
    expect(log(page).locator(".verdict b")).to_contain_text("40\u00a0%")
    log(page).evaluate("(node) => node.querySelectorAll('details').forEach((each) => { each.open = true; })")
    open_more(page, "40")
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    assert too_low(table(page).locator("input:visible, select:visible, button:visible")) == []
    assert "\n".join(findings_in_both_looks(page, ".section-log")) == ""


SUMMARY = """async ([trials, replies]) => {
    const { createBench } = await import("/page/bench.js");
    const { logSection } = await import("/sections/log-section.js");
    const book = { version: 1, breads: [], loaves: [], trials, keeping: { direction: "falls", limit: 6 } };
    const kept = { "scaldloaf.notebook": JSON.stringify(book) };
    const nothing = () => {};
    const storage = { getItem: (key) => kept[key] ?? null, setItem: nothing, removeItem: nothing };
    const names = ["recalculate", "redraw", "mark", "notSaved", "notice", "showAnswers"];
    const bench = await createBench(storage, Object.fromEntries(names.map((name) => [name, nothing])));
    await bench.t.more();
    const { summary } = logSection(bench);
    const entries = { work: bench.state, trials: bench.notebook.state.trials };
    if (replies) bench.answers.hold({ ...entries, replies: {} }, "taught", replies);
    const said = [summary()];
    bench.change((work) => { work.share = 50; });
    return [...said, summary()];
}"""


def test_the_folded_line_says_the_answer_and_only_that_of_these_entries(page, service):
    open_bench(page, folds=FOLDS)
    assert page.evaluate(SUMMARY, [[], None])[0] == "No bakes yet: log one and the range narrows"
    add_bake(page, "20", "440", "just")
    (bake,) = book(page)["trials"]
    assert page.evaluate(SUMMARY, [[bake], None])[0] == "1 bake"
    trial = {"scalded_share_percent": 20, "dough_mass": 440, "fill_percent": 100, "pan": PAN}
    api = Service(service.url)
    calibration = api("trial-fit", trials=[trial])["calibration"]
    bread = {"kind": "calibration", "calibration": calibration}
    taught = api("pan-fill", pan=PAN, bread=bread, scalded_share_percent=20)
    dough = taught["dough_mass"]["best"]
    assert page.evaluate(SUMMARY, [[bake], taught]) == [f"1 bake; next tin {dough:.0f}\u00a0g", "1 bake"]
