"""The page shows, opens, ticks and prints only the bread that is entered. Back returns to the same place."""

import json
import re

import pytest
import requests
from playwright.sync_api import Page, Route, expect

from browser.bench import (
    answer,
    come_back,
    enter,
    field,
    figures,
    fill,
    findings,
    open_bench,
    row,
    settle,
    shown,
    tin_loaf,
    use_units,
)

WEIGH = "What to weigh"
NEW = "Adjusted recipe"
FILLS = "Dough for the tin"
SHARE = "Flour to scald"
OLD = "Not up to date."
PAPER = """() => [...document.querySelectorAll("body *")]
    .filter((node) => !node.matches(".unseen") && node.checkVisibility({contentVisibilityAuto: true}))
    .filter((node) => getComputedStyle(node).visibility === "visible")
    .flatMap((node) => [...node.childNodes].filter((child) => child.nodeType === 3))
    .map((text) => text.data.trim()).filter(Boolean).join(" ")"""
# No room for 45 % of the flour in a scald: there is too little liquid.
STIFF = "Harbour stick\n500 g strong white flour\n150 g water\n100 g butter\n9 g salt\n5 g instant yeast"
SOFT = """For the scald:
60 g strong white flour
60 g boiling water
For the dough:
240 g strong white flour
150 g whole milk
12 g salt
6 g instant yeast"""


def printed(page: Page) -> str:
    """All the text that is printed."""
    page.emulate_media(media="print")
    text = page.evaluate(PAPER)
    page.emulate_media(media="screen")
    return text


def amounts(page: Page):
    return answer(page, WEIGH).locator(".ticks data")


def masses(page: Page) -> list[float]:
    return amounts(page).evaluate_all("(all) => all.map((each) => Number(each.getAttribute('value')))")


def card_buttons(page: Page):
    return [
        page.locator(".section-weigh").get_by_role("button", name=name)
        for name in ("Baking view", "Print", "Log this bake")
    ]


def open_card(page: Page):
    page.locator(".section-weigh").get_by_role("button", name="Baking view").click()
    card = page.get_by_role("dialog", name=WEIGH)
    expect(card).to_be_visible()
    return card


def line(page: Page, name: str):
    return answer(page, WEIGH).get_by_role("checkbox", name=re.compile(f"^{name}")).first


def what(page: Page, name: str):
    return page.locator(".what", has_text=re.compile(f"^{name}"))


def note(page: Page, name: str):
    return answer(page, WEIGH).locator("label").filter(has=what(page, name)).first.locator(".was")


def gist(page: Page, fold: str):
    """The answer in the summary of a fold."""
    return page.locator(f"#{fold} > summary .gist")


def nothing_to_weigh(page: Page) -> None:
    expect(amounts(page)).to_have_count(0)
    for button in card_buttons(page):
        expect(button).to_be_hidden()
    expect(answer(page, WEIGH)).to_contain_text(OLD)
    expect(page.locator(".bar")).to_contain_text(OLD)
    expect(page.locator(".bar data, .bar .range")).to_have_count(0)
    assert not re.search(r"\d\s*g\b", page.locator(".bar").text_content())
    assert not re.search(r"\d\s*g\b", printed(page))
    assert OLD in printed(page)


def import_recipe(page: Page, text: str) -> None:
    page.get_by_role("button", name="Paste my recipe").click()
    page.get_by_role("textbox", name="Ingredients", exact=True).fill(text)
    page.get_by_role("button", name="Use this recipe").first.click()


class Held:
    """Holds the requests of one call until they are released."""

    def __init__(self, page: Page, call: str):
        self.page, self.call, self.routes, self.holds = page, call, [], True
        page.route(f"**/v1/{call}", self._take)

    def _take(self, route: Route) -> None:
        if self.holds:
            self.routes.append(route)
        else:
            route.continue_()

    def wait(self) -> None:
        """Waits until there is one. Later requests pass."""
        for _ in range(400):
            if self.routes:
                self.holds = False
                return
            self.page.wait_for_timeout(25)
        raise AssertionError(f"{self.call} is not asked")

    def let_go(self) -> None:
        for route in self.routes:
            route.continue_()


# An outdated card


REFUSED = {
    SHARE: "75",
    "Depth": "deep",
    "Waste (bowl and bench)": "200",
    "Weight of Butter, unsalted": "1,000",
}


def test_a_refused_entry_hides_the_card(page):
    """Also an entry of the pan or the scale, and a number that can be read in two ways."""
    open_bench(page)
    page.locator("summary", has_text="Scale and waste").click()
    line(page, "Salt").check()
    kept = masses(page)
    for label, text in REFUSED.items():
        before = page.get_by_role("textbox", name=label, exact=True).input_value()
        fill(page, label, text)
        nothing_to_weigh(page)
        assert "Fix 1 entry to get the weights." in printed(page), label
        expect(answer(page, NEW).locator("table")).to_be_attached()  # the other answers stay readable
        assert findings(page, ".section-weigh") == [], label
        answer(page, WEIGH).get_by_role("button", name="Fix it").click()
        expect(page.get_by_role("textbox", name=label, exact=True)).to_be_focused()
        fill(page, label, before)
        settle(page)
        expect(amounts(page), label).to_have_count(len(kept))
        assert masses(page) == kept, label
        for button in card_buttons(page):
            expect(button).to_be_visible()
        assert OLD not in printed(page) and "Salt" in printed(page), label


def test_a_refused_stage_of_fermentation_hides_the_card(page):
    open_bench(page)
    enter(page.get_by_role("textbox", name="Time", exact=True).first, "-5")
    nothing_to_weigh(page)


def test_the_card_is_read_only_while_an_answer_is_pending(page):
    """From the first key press, not only when the answer is late."""
    page.add_init_script("window.prints = 0; window.print = () => { window.prints += 1; };")
    open_bench(page)
    salt = line(page, "Salt")
    salt.check()
    before = masses(page)
    held = Held(page, "loaf-plan")
    seen = page.evaluate("""async () => {
        const share = document.querySelector(".share input.number");
        share.value = "35";
        share.dispatchEvent(new Event("input", {bubbles: true}));
        const card = document.querySelector(".weigh-card");
        const box = card.querySelector("input");
        box.click();
        for (const button of document.querySelectorAll(".section-weigh > .buttons button"))
            if (!/Untick|Log/.test(button.textContent)) button.click();
        const dialogs = document.querySelectorAll("dialog");
        return [box.checked, prints, dialogs.length, card.querySelectorAll(".ticks li").length];
    }""")
    assert seen == [False, 0, 0, len(before)]
    assert OLD in printed(page) and "Salt" not in printed(page)
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert printed(page) == "Calculating… Not up to date."  # nor an empty record of the bake
    held.wait()
    nothing_to_weigh(page)  # it takes too long
    held.let_go()
    settle(page)
    assert masses(page) != before
    assert page.evaluate("prints") == 1  # what was pressed last is done with the answer to what was entered
    expect(page.get_by_role("dialog")).to_have_count(0)


def test_the_way_to_a_fault_loads_the_fold_that_it_is_in(page):
    """The work was left with it."""
    open_bench(page)
    page.get_by_role("combobox", name="How you measured it").select_option("box")
    fill(page, "Depth", "deep")
    nothing_to_weigh(page)
    page.reload()
    expect(page.locator(".bar")).to_contain_text(OLD)
    page.locator(".bar").get_by_role("button", name="Fix it").click()
    expect(page.get_by_role("textbox", name="Depth", exact=True)).to_be_focused()
    expect(page.get_by_role("textbox", name="Depth", exact=True)).to_be_in_viewport()


def test_a_late_answer_to_an_older_entry_is_ignored(page):
    open_bench(page)
    held = Held(page, "loaf-plan")
    fill(page, SHARE, "35")
    held.wait()
    fill(page, SHARE, "30")
    settle(page)
    now = masses(page)
    held.let_go()
    page.wait_for_timeout(300)
    assert masses(page) == now
    assert figures(answer(page, NEW), "Flour scalded")[1] == pytest.approx(30)


def test_the_card_comes_back_with_its_entries_after_the_service_was_away(page, watch):
    watch.expect("Failed to load resource")
    open_bench(page)
    kept = masses(page)
    page.route("**/v1/**", lambda route: route.abort())
    fill(page, SHARE, "35")
    page.wait_for_selector("#work[data-state=unreachable]")
    nothing_to_weigh(page)
    assert "We need a connection to work out these weights." in printed(page)
    fill(page, SHARE, "20")
    expect(amounts(page)).to_have_count(len(kept))
    assert masses(page) == kept
    assert OLD not in printed(page) and "Salt" in printed(page)
    line(page, "Salt").check()
    open_card(page)


def test_the_open_card_is_emptied_when_an_entry_is_refused_in_another_window(page):
    open_bench(page)
    card = open_card(page)
    other = open_bench(page.context.new_page())
    fill(other, SHARE, "75")
    expect(card.locator(".ticks data")).to_have_count(0)
    expect(card).to_contain_text(OLD)
    assert OLD in printed(page) and not re.search(r"\d\s*g\b", printed(page))
    assert findings(page, "dialog") == []
    card.get_by_role("button", name="Fix it").click()
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(page.get_by_role("textbox", name=SHARE, exact=True)).to_be_focused()
    fill(other, SHARE, "25")
    settle(other)
    expect(amounts(page)).to_have_count(10)


def test_refused_bakes_hide_a_card_that_depends_on_them(page):
    open_bench(page)
    log = page.locator(".section-log")
    log.get_by_role("button", name="+ Add a bake").click()
    log.get_by_role("combobox", name="How it filled").select_option(label="just")
    settle(page)
    log.get_by_role("checkbox", name="Use these bakes for the next dough weight").check()
    settle(page)
    expect(amounts(page)).to_have_count(10)
    log.get_by_role("textbox", name="Dough in tin").fill("-3")
    nothing_to_weigh(page)
    page.get_by_role("combobox", name="What do you already know?").select_option("prior")
    settle(page)
    expect(amounts(page)).to_have_count(10)  # the bakes do not matter to it


def test_a_saved_bread_has_no_answers_of_another(page):
    open_bench(page)
    write = page.get_by_role("button", name="Save this bread")
    write.click()
    fill(page, SHARE, "75")
    expect(amounts(page)).to_have_count(0)
    write.click()
    breads = page.evaluate("JSON.parse(localStorage.getItem('scaldloaf.notebook')).breads")
    assert [(bread["work"]["share"], bread["answers"] is None) for bread in breads] == [
        (75, True),
        (20, False),
    ]


def test_the_tin_and_the_share_of_the_recipe_are_those_of_the_entries(page, watch):
    """The tin row has the volume of this tin, the slider the share of this recipe, or they have none."""
    watch.expect("Failed to load resource")
    open_bench(page)
    tin = page.locator(".row.tin p")
    own = page.locator(".share .mark")
    expect(tin).to_have_text(re.compile(r"^Your tin, 1\.7"))
    expect(own).to_have_text("recipe 20\u00a0%")
    fill(page, "Depth", "deep")
    expect(tin).not_to_contain_text(re.compile(r"\d"))
    fill(page, "Depth", "9.5")
    settle(page)
    expect(tin).to_contain_text("1.7")
    fill(page, "Weight of Salt", "1,000")
    expect(own).to_be_empty()
    fill(page, SHARE, "30")
    expect(page.locator(".share .was")).to_be_empty()
    fill(page, "Weight of Salt", "9")
    settle(page)
    expect(own).to_have_text("recipe 20\u00a0%")
    expect(page.locator(".share .was")).to_have_text("20\u00a0% →")
    page.route(re.compile("/v1/(loaf-plan|pan-fill)"), lambda route: route.abort())
    use_units(page, "us")
    page.wait_for_selector("#work[data-state=unreachable]")
    expect(tin).not_to_contain_text(re.compile(r"\d"))


def test_the_table_of_what_changes_waits_for_the_bread_as_it_was(page):
    """The dough before the move is not weighed, so the card is there without it; the old table is marked."""
    open_bench(page, folds=("fill",))
    fill(page, SHARE, "35")
    settle(page)
    changes = page.locator(".what-changes")
    expect(changes).not_to_have_class(re.compile("old"))

    def hang_the_bread_before(route: Route) -> None:
        if route.request.post_data_json["scalded_share_percent"] != 20:
            route.continue_()

    page.route(re.compile("/v1/pan-fill"), hang_the_bread_before)
    fill(page, "Depth", "12")
    expect(page.locator("#work")).to_have_attribute("data-answers", "current")
    expect(changes).to_contain_text("Not up to date:")
    expect(answer(page, FILLS)).to_contain_text("Not up to date:")
    expect(page.locator(".row.tin p")).to_contain_text("2.2")
    fill(page, "Depth", "9.5")
    settle(page)
    expect(changes).not_to_contain_text("Not up to date:")


def test_the_sentence_about_the_last_loaf_and_its_fold_say_the_same(page):
    open_bench(page)
    last = page.locator(".row.last")
    known = page.get_by_role("combobox", name="What do you already know?")
    how = last.get_by_role("combobox", name="How it filled the tin")
    volume = page.get_by_role("textbox", name="Loaf volume", exact=True)
    fill(page, "Dough you used", "440", within=last)
    settle(page)
    expect(known).to_have_value("reference_loaf")
    expect(how).to_have_value("full")
    full = masses(page)
    fill(page, "Loaf volume", "2000")
    settle(page)
    measured = masses(page)
    assert measured[0] < full[0]
    expect(how).to_have_value("measured")
    how.select_option("full")
    settle(page)
    assert masses(page) == full
    expect(volume).to_have_value("")
    how.select_option("measured")
    settle(page)
    assert masses(page) == measured
    expect(volume).to_have_value("2000")
    how.select_option("full")
    fill(page, "Depth", "10")  # tonight's tin; the example's last loaf keeps its own
    expect(last).to_contain_text("in another tin (19 × 9.5 × 9.5\u00a0cm)")
    fill(page, "Dough you used", "850", within=last)  # nobody else's loaf was baked in that tin
    settle(page)
    expect(last).not_to_contain_text("another tin")
    assert figures(answer(page, FILLS), "Change from your last loaf")[0] == pytest.approx(0)
    # The same tin measured another way: with the figures that both ways have, and no others.
    kind = page.get_by_role("combobox", name="How you measured it")
    kind.select_option("tapered")
    sizes = ("Top length", "Top width", "Base length", "Base width", "Depth")
    assert [field(page, name).input_value() for name in sizes] == ["", "", "", "", "10"]
    nothing_to_weigh(page)
    for name, size in zip(sizes, ("25", "13", "22.5", "11", "7.5"), strict=True):
        fill(page, name, size)
    settle(page)
    assert figures(answer(page, FILLS), "Change from your last loaf")[0] == pytest.approx(0)
    page.get_by_role("button", name="It was another tin (19 × 9.5 × 10\u00a0cm)").click()
    settle(page)
    assert figures(answer(page, FILLS), "Change from your last loaf")[0] > 100
    page.get_by_role("button", name="It was tonight’s tin").click()
    kind.select_option("box")
    kind.select_option("tapered")
    assert [field(page, name).input_value() for name in sizes] == ["25", "13", "22.5", "11", "7.5"]
    page.get_by_role("combobox", name="Tin", exact=True).select_option("open_small")
    settle(page)
    assert figures(answer(page, FILLS), "Change from your last loaf")[0] == pytest.approx(0)
    fill(page, "Dough you used", "300", within=last)
    page.get_by_role("combobox", name="Tin", exact=True).select_option("open_large")
    expect(last).to_contain_text("in another tin (16.5 × 10.5 / 14.5 × 8.5 × 6.5\u00a0cm)")
    fill(page, "Dough you used", "", within=last)
    settle(page)
    expect(known).to_have_value("prior")


def test_what_is_said_of_a_pasted_recipe_goes_with_it(page):
    open_bench(page)
    fill(page, SHARE, "21")  # your own bread: the page saves it when you open another
    settle(page)
    import_recipe(page, SOFT)
    said = page.get_by_text("Your recipe scalds 20")
    expect(said).to_be_visible()
    fill(page, SHARE, "25")
    settle(page)
    expect(said).to_be_visible()  # it is about the recipe, not about tonight
    page.get_by_role("button", name="Open Lantern Quay tin loaf").first.click()
    expect(page.get_by_role("textbox", name="Bread name")).to_have_value("Lantern Quay tin loaf")
    expect(said).to_have_count(0)


def test_the_summaries_follow_the_bake_log_and_the_saved_breads(page):
    open_bench(page)
    expect(gist(page, "notebook")).to_have_text("None yet")
    page.get_by_role("button", name="Save this bread").click()
    expect(gist(page, "notebook")).to_have_text("1 saved")
    page.get_by_role("button", name="Remove Lantern Quay tin loaf").click()
    expect(gist(page, "notebook")).to_have_text("None yet")
    for share, scores in (("20", "8 6 4"), ("35", "9 8 7")):
        fill(page, SHARE, share)
        settle(page)
        page.get_by_role("button", name="+ Add a bake").click()
        for day, score in enumerate(scores.split()):
            enter(page.get_by_role("textbox", name=f"Day {day} {share}\u00a0%"), score)
    fill(page, "Still good at", "6")
    expect(gist(page, "log")).to_have_text("2 bakes; 35\u00a0% stays soft longest")
    for day in range(3):
        enter(page.get_by_role("textbox", name=f"Day {day} 35\u00a0%"), str(7 - 2 * day))
    expect(gist(page, "log")).to_have_text("2 bakes; 20\u00a0% stays soft longest")


def test_summaries_without_an_answer_say_why(page, watch):
    watch.expect("Failed to load resource")
    open_bench(page)
    fill(page, "Depth", "deep")
    expect(gist(page, "fill")).to_have_text("Waits until every entry fits")
    fill(page, "Depth", "9.5")
    settle(page)
    page.route("**/v1/**", lambda route: route.abort())
    fill(page, SHARE, "35")
    page.wait_for_selector("#work[data-state=unreachable]")
    for fold in ("water", "fill", "sugar", "temperatures"):
        expect(gist(page, fold)).to_be_empty()  # every entry fits


def test_a_step_with_an_impossible_time_is_not_on_the_card(page):
    open_bench(page)
    method = answer(page, WEIGH).locator(".method")
    expect(method).to_contain_text("Bake 35\u00a0min")
    baking = page.locator(".section-timetable .task").filter(has=page.locator("input")).nth(3)
    expect(baking.get_by_role("textbox", name="Step")).to_have_value("Bake")
    fill(page, "Time", "-5", within=baking)
    expect(method).to_contain_text("Bake —")


# Two breads in one place


def before_and_after(page: Page) -> dict:
    rows = (
        answer(page, NEW)
        .get_by_role("table", name="Your recipe and the adjusted one")
        .locator("tbody tr:not(.group)")
    )
    return [
        (each.locator("th").text_content(), each.locator("td").all_text_contents()) for each in rows.all()
    ]


def test_before_and_after_belong_to_one_bread(page):
    open_bench(page)
    fill(page, SHARE, "45")
    settle(page)
    table = before_and_after(page)
    fault = {"pointer": "/scalded_share_percent", "code": "share_above_bound", "detail": "", "given": 0}
    problem = {
        "title": "Refused",
        "errors": [{**fault, "nearest": None, "values": {"bound": 60}, "options": []}],
    }
    page.route(
        re.compile("/v1/(loaf-plan|hydration-correction)"),
        lambda route: route.fulfill(
            status=422, content_type="application/problem+json", body=json.dumps(problem)
        ),
    )
    import_recipe(page, STIFF)
    expect(page.get_by_role("textbox", name=SHARE, exact=True)).to_have_attribute("aria-invalid", "true")
    assert figures(answer(page, "Recipe at a glance"), "Dough") == [764]
    assert before_and_after(page) == table
    for name in (NEW, FILLS):
        expect(answer(page, name)).to_contain_text(
            "Not this bread: these figures are for Lantern Quay tin loaf."
        )
    nothing_to_weigh(page)


def test_the_previous_pan_belongs_to_the_same_entries(page):
    """The service may refuse its share but not the new one."""
    open_bench(page)
    fill(page, SHARE, "35")
    settle(page)
    expect(row(answer(page, FILLS), "Same tin at 20 %")).to_have_count(1)

    def refuse(route: Route) -> None:
        if route.request.post_data_json["scalded_share_percent"] == pytest.approx(20):
            route.fulfill(
                status=422,
                content_type="application/problem+json",
                body=json.dumps({"title": "Refused", "status": 422, "detail": "for the test", "errors": []}),
            )
        else:
            route.continue_()

    page.route(re.compile("/v1/pan-fill"), refuse)
    fill(page, "Depth", "12")
    settle(page)
    expect(row(answer(page, FILLS), "Dough per tin")).to_have_count(1)
    expect(row(answer(page, FILLS), "Same tin at 20 %")).to_have_count(0)
    expect(page.locator(".what-changes thead th")).to_have_text(["What changes", "35 %"])


def test_a_chart_that_cannot_be_redrawn_is_not_shown_for_other_entries(page, watch):
    watch.expect("Failed to load resource")
    open_bench(page)
    place = page.locator(".section-fill .chart-room")
    page.locator(".section-fill .chart-room figure").wait_for(state="attached")
    place.evaluate("(node) => node.scrollIntoView()")
    expect(place.locator("svg[role=img]")).to_be_visible()
    page.route("**/v1/bulk*", lambda route: route.abort())
    fill(page, "Depth", "12")
    settle(page)
    expect(place.locator("svg[role=img]")).to_be_hidden()
    page.unroute("**/v1/bulk*")
    fill(page, "Depth", "11")
    settle(page)
    expect(place.locator("svg[role=img]")).to_be_visible()


def test_a_plan_that_arrives_after_another_entry_is_marked(page):
    open_bench(page)
    plan = [answer(page, name) for name in ("Temperatures", "Timetable", "Where this could be off")]
    plan[0].scroll_into_view_if_needed()
    for part, text in zip(plan, ("Scald temperature (centre)", "Bulk", "dough"), strict=True):
        expect(part).to_contain_text(text)
    held = Held(page, "loaf-plan")
    fill(page, "Liquid temperature when poured", "90")
    held.wait()
    fill(page, SHARE, "75")
    nothing_to_weigh(page)
    held.let_go()
    for part in plan:
        expect(part).to_contain_text("Not up to date: these figures are for your earlier entries.")
    page.wait_for_timeout(300)
    for part in plan:
        expect(part).to_contain_text("Not up to date: these figures are for your earlier entries.")
    for fold in ("temperatures", "timetable", "sure"):
        expect(gist(page, fold)).to_be_empty()


def test_a_recipe_is_used_as_it_was_last_read(page):
    open_bench(page)
    page.get_by_role("button", name="Paste my recipe").click()
    text = page.get_by_role("textbox", name="Ingredients", exact=True)
    text.fill(STIFF)
    put = page.get_by_role("button", name="Use this recipe").first
    expect(put).to_be_enabled()
    held = Held(page, "recipe-import")
    text.fill(SOFT)
    expect(put).to_be_disabled()
    held.wait()
    held.let_go()
    expect(put).to_be_enabled()
    use_units(page, "us")
    settle(page)
    put.click()
    settle(page)
    use_units(page, "metric")
    settle(page)
    assert figures(answer(page, "Recipe at a glance"), "Dough") == [pytest.approx(528)]


def test_a_formula_rewritten_in_percent_is_the_current_one(page):
    open_bench(page)
    page.get_by_role("button", name="Save this bread").click()
    fill(page, "Weight of Salt", "12")
    settle(page)
    held = Held(page, "scaling")
    page.get_by_role("radio", name="Baker’s %").check()
    held.wait()
    page.get_by_role("button", name="Open Lantern Quay tin loaf", exact=True).click()
    held.let_go()
    expect(page.get_by_role("radio", name="Baker’s %")).to_be_checked()
    settle(page)
    expect(page.get_by_role("textbox", name="Weight of Salt")).to_have_value("1.8")


def test_amounts_always_have_the_chosen_units(page, watch):
    """One answer arrives after the units were switched, and none follows."""
    watch.expect("Failed to load resource")
    open_bench(page)
    held = Held(page, "loaf-plan")
    fill(page, "Depth", "12")
    held.wait()
    page.evaluate("document.querySelector('.section-fill').scrollIntoView()")
    for call in ("breakdown", "loaf-plan"):
        page.route(f"**/v1/{call}", lambda route: route.abort())
    shown = answer(page, FILLS).locator("data").first
    before = shown.text_content()
    use_units(page, "us")
    expect(page.get_by_role("textbox", name="Depth")).to_have_value("4.724")
    held.let_go()
    page.wait_for_selector("#work[data-state=unreachable]")
    assert shown.text_content() == before
    nothing_to_weigh(page)


def test_a_suggested_value_is_not_kept_when_the_units_change(page):
    open_bench(page)
    fill(page, "Depth", "9000")
    use = (
        page.locator(".field")
        .filter(has=page.get_by_role("textbox", name="Depth"))
        .get_by_role("button", name=re.compile("^Use "))
    )
    expect(use).to_have_count(1)
    held = Held(page, "pan-fill")
    use_units(page, "us")
    held.wait()
    expect(use).to_have_count(0)
    held.let_go()
    expect(use).to_contain_text("in")


# Ticks


def tick_some(page: Page) -> None:
    for name in ("Salt", "Butter", "Whole milk"):
        line(page, name).check()
    expect(answer(page, WEIGH).locator(":checked")).to_have_count(3)


def untouched(page: Page) -> None:
    expect(answer(page, WEIGH).locator(":checked")).to_have_count(0)
    assert [each for each in answer(page, WEIGH).locator(".was").all_text_contents() if each] == []


def test_another_recipe_has_no_ticks(page):
    open_bench(page)
    tick_some(page)
    import_recipe(page, SOFT)
    settle(page)
    expect(line(page, "Salt")).to_be_visible()
    untouched(page)


def test_a_bread_opened_from_the_notebook_or_a_link_has_no_ticks(page):
    """A saved bread with ticks starts again without them, even the same bread."""
    open_bench(page)
    tick_some(page)
    page.get_by_role("button", name="Save this bread").click()
    page.get_by_role("button", name="Open Lantern Quay tin loaf", exact=True).click()
    settle(page)
    untouched(page)

    tick_some(page)
    link = page.evaluate("""import("/state/link.js").then(({linkOf}) => {
        const {version, units, ...work} = JSON.parse(localStorage.getItem("scaldloaf.work"));
        return linkOf(work);
    })""")
    page.goto("about:blank")
    page.goto(f"/{link}")
    expect(page.get_by_text(re.compile(r"opened\.$"))).to_be_visible()  # the one before is saved already
    settle(page)
    expect(amounts(page)).to_have_count(10)
    untouched(page)


def test_another_name_is_another_bread(page):
    open_bench(page)
    tick_some(page)
    fill(page, "Bread name", "Pier loaf")
    settle(page)
    expect(answer(page, WEIGH)).to_contain_text("Pier loaf")
    expect(page.locator(".row.recipe p button")).to_have_text("Pier loaf")
    expect(page.get_by_text("(example)")).to_be_hidden()
    untouched(page)
    fill(page, "Bread name", "Lantern Quay tin loaf")  # an accidental tap
    settle(page)
    expect(answer(page, WEIGH).locator(":checked")).to_have_count(3)


def test_a_changed_amount_opens_its_line_and_says_what_to_do(page):
    open_bench(page)
    flour = line(page, "Bread flour")
    flour.check()
    was = masses(page)[0]
    fill(page, SHARE, "35")
    settle(page)
    more = masses(page)[0]
    assert more > was
    expect(flour).not_to_be_checked()
    expect(note(page, "Bread flour")).to_have_text(f"was {was:.0f} g: add {more - was:.0f} g")
    expect(note(page, "Bread flour")).to_have_css("text-decoration-line", "none")
    assert findings(page, ".section-weigh") == []
    fill(page, SHARE, "10")
    settle(page)
    less = masses(page)[0]
    expect(note(page, "Bread flour")).to_have_text(f"was {was:.0f} g: take out {was - less:.0f} g")
    page.reload()
    settle(page)
    expect(note(page, "Bread flour")).to_have_text(f"was {was:.0f} g: take out {was - less:.0f} g")
    card = open_card(page)
    card.locator("label").first.click()
    expect(flour).to_be_checked()
    expect(note(page, "Bread flour")).to_be_empty()
    page.keyboard.press("Escape")
    fill(page, SHARE, "35")
    settle(page)
    expect(note(page, "Bread flour")).to_have_text(f"was {less:.0f} g: add {more - less:.0f} g")
    fill(page, SHARE, "10")
    settle(page)
    expect(flour).to_be_checked()


def test_another_number_of_pans_only_changes_the_amounts(page):
    open_bench(page)
    tick_some(page)
    salt = float(line(page, "Salt").locator("xpath=..").locator("data").get_attribute("value"))
    fill(page, "Number of tins", "2")
    settle(page)
    expect(answer(page, WEIGH).locator(":checked")).to_have_count(0)
    twice = float(line(page, "Salt").locator("xpath=..").locator("data").get_attribute("value"))
    expect(note(page, "Salt")).to_have_text(f"was {salt:.1f} g: add {twice - salt:.1f} g")


def test_the_same_amount_in_other_units_or_on_another_scale_stays_ticked(page):
    open_bench(page)
    for box in answer(page, WEIGH).get_by_role("checkbox").all():
        box.check()
    for units in ("us", "metric"):
        use_units(page, units)
        settle(page)
        expect(answer(page, WEIGH).locator(":checked")).to_have_count(10)
        assert not any(answer(page, WEIGH).locator(".was").all_text_contents())
    page.locator("summary", has_text="Scale and waste").click()
    for step in ("5", "2", "0.5"):
        fill(page, "Scale precision", step)
        settle(page)
        expect(answer(page, WEIGH).locator(":checked")).to_have_count(10)
        assert not any(answer(page, WEIGH).locator(".was").all_text_contents())


def test_a_rounding_step_is_no_change(page):
    """A hundredth of a percent more changes less than the scale shows, yet may round the other way."""
    open_bench(page)
    fill(page, SHARE, "27")
    settle(page)
    for box in answer(page, WEIGH).get_by_role("checkbox").all():
        box.check()
    ticked, flipped = masses(page), 0
    for hundredth in range(1, 11):
        fill(page, SHARE, f"27.{hundredth:02d}")
        settle(page)
        flipped += masses(page) != ticked
        assert not any(answer(page, WEIGH).locator(".was").all_text_contents())
    assert flipped


def test_a_changed_amount_is_shown_in_other_units_and_in_german(open_page):
    page = open_page(390, 844, locale="de-DE")
    come_back(page)
    page.goto("/")
    settle(page)
    card = page.get_by_role("group", name="Was abzuwiegen ist")
    card.locator("label").first.click()
    expect(card.locator(":checked")).to_have_count(1)
    use_units(page, "us")
    fill(page, "Zu brühendes Mehl", "30")
    settle(page)
    expect(card.locator(".was").first).to_have_text(
        re.compile(r"^vorher \d,\d\d\soz: \d,\d\d\soz dazugeben$")
    )
    fill(page, "Zu brühendes Mehl", "75")
    expect(card).to_contain_text("Nicht aktuell. 1 Angabe prüfen, dann gibt es die Mengen.")


def test_ticks_of_an_older_page_are_not_trusted(page):
    """Those ticks have no amounts."""
    open_bench(page)
    fill(page, SHARE, "21")
    settle(page)
    page.evaluate("""() => {
        const work = JSON.parse(localStorage.getItem("scaldloaf.work"));
        work.ticked = ["dough/salt/1", {bread: work.formula.name, row: "dough/butter/1"}, null, 7];
        localStorage.setItem("scaldloaf.work", JSON.stringify(work));
    }""")
    page.reload()
    settle(page)
    expect(amounts(page)).to_have_count(10)
    untouched(page)
    line(page, "Salt").check()
    page.reload()
    settle(page)
    expect(line(page, "Salt")).to_be_checked()


# Back


BEFORE = "/problems"  # another page, of which nothing is asked


def depth(page: Page) -> int:
    return page.evaluate("history.length")


def test_back_closes_the_card_and_forward_opens_it(page):
    page.goto(BEFORE)
    open_bench(page)
    line(page, "Salt").check()
    open_card(page)
    page.go_back()
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(page.get_by_role("heading", name="What to weigh")).to_be_visible()
    page.go_forward()
    card = page.get_by_role("dialog", name=WEIGH)
    expect(card.get_by_role("checkbox", name=re.compile("^Salt"))).to_be_checked()
    page.go_back()
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(amounts(page)).to_have_count(10)
    page.go_back()
    page.wait_for_url(f"**{BEFORE}")


@pytest.mark.parametrize("close", ["Escape", "button"])
def test_closing_the_card_leaves_no_step_in_the_history(page, close):
    page.goto(BEFORE)
    open_bench(page)
    for _ in range(3):
        card = open_card(page)
        if close == "Escape":
            page.keyboard.press("Escape")
        else:
            card.get_by_role("button", name="Close").click()
        expect(page.get_by_role("dialog")).to_have_count(0)
        page.wait_for_function("() => history.state === null")
    assert page.evaluate("document.activeElement.textContent") == "Baking view"
    page.go_back()
    page.wait_for_url(f"**{BEFORE}")


def test_the_card_is_opened_once(page):
    open_bench(page)
    steps = depth(page)
    page.locator(".section-weigh").get_by_role("button", name="Baking view").evaluate(
        "(button) => { button.click(); button.click(); }"
    )
    expect(page.get_by_role("dialog")).to_have_count(1)
    page.wait_for_timeout(200)
    expect(page.get_by_role("dialog")).to_have_count(1)
    assert depth(page) == steps + 1
    # Closed and opened again before the history is back.
    page.evaluate("""() => {
        document.querySelector("dialog .close").click();
        document.querySelector(".section-weigh > .buttons button").click();
    }""")
    page.wait_for_timeout(300)
    expect(page.get_by_role("dialog", name=WEIGH)).to_be_visible()
    assert page.evaluate("history.state") == {"card": True}
    page.go_back()
    expect(page.get_by_role("dialog")).to_have_count(0)


def test_an_open_card_is_open_again_after_a_reload(page):
    page.goto(BEFORE)
    open_bench(page)
    open_card(page).locator("label").filter(has=what(page, "Salt")).click()
    page.reload()
    card = page.get_by_role("dialog", name=WEIGH)
    expect(card.get_by_role("checkbox", name=re.compile("^Salt"))).to_be_checked()
    page.go_back()
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(amounts(page)).to_have_count(10)
    page.go_back()
    page.wait_for_url(f"**{BEFORE}")


def test_a_card_that_cannot_be_shown_is_not_opened_again(page):
    open_bench(page)
    open_card(page)
    other = open_bench(page.context.new_page())
    fill(other, SHARE, "75")
    expect(amounts(page)).to_have_count(0)
    other.close()
    page.reload()
    nothing_to_weigh(page)
    expect(page.get_by_role("dialog")).to_have_count(0)
    fill(page, SHARE, "25")
    settle(page)
    expect(amounts(page)).to_have_count(10)
    page.wait_for_timeout(200)
    expect(page.get_by_role("dialog")).to_have_count(0)  # not in the middle of typing
    open_card(page)
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_have_count(0)


# The place on the page

TOP = "(node) => node.getBoundingClientRect().top"
# What the open folds are called; their answers may change.
OPEN = """[...document.querySelectorAll("details[open] > summary")]
    .map((each) => (each.querySelector("h2") ?? each).textContent)"""


@pytest.mark.parametrize("how", ["reload", "back"])
@pytest.mark.parametrize("where", [".section-sugar .stages + .add", "#notebook h2"])
def test_the_place_on_the_page_is_kept(open_page, how, where):
    page = open_bench(open_page(390, 844))
    fill(page, SHARE, "35")
    settle(page)
    page.locator(".section-notebook").wait_for(state="attached")
    page.locator("summary", has_text="Scale and waste").click()
    page.locator("summary", has_text="More about the water").click()
    expect(page.get_by_role("textbox", name="Scald: parts liquid to 1 part flour")).to_be_attached()
    page.locator(where).evaluate("(node) => node.scrollIntoView({block: 'center'})")
    opened = page.evaluate(OPEN)
    assert {"More about the water", "Scale and waste", "Bake log"} < set(opened)
    page.wait_for_timeout(700)  # charts and plan on the way are drawn
    page.locator(where).evaluate("(node) => node.scrollIntoView({block: 'center'})")
    before = page.locator(where).evaluate(TOP)
    if how == "reload":
        page.reload()
    else:
        page.goto(BEFORE)
        page.go_back()
    settle(page)
    page.locator(where).wait_for(state="attached")
    page.wait_for_function(
        "([where, top]) => Math.abs(document.querySelector(where).getBoundingClientRect().top - top) < 40",
        arg=[where, before],
    )
    page.wait_for_timeout(700)
    assert page.locator(where).evaluate(TOP) == pytest.approx(before, abs=40)
    assert page.evaluate(OPEN) == opened
    expect(page.get_by_role("textbox", name="Scald: parts liquid to 1 part flour")).to_be_attached()


def test_a_newly_opened_page_begins_at_the_top(page):
    open_bench(page)
    page.locator(".section-notebook").wait_for(state="attached")
    page.locator(".section-notebook").evaluate("(node) => node.scrollIntoView()")
    page.goto("about:blank")
    open_bench(page)
    page.locator(".section-notebook").wait_for(state="attached")
    page.wait_for_timeout(300)
    assert page.evaluate("scrollY") == 0


@pytest.mark.parametrize(
    ("ingredient", "label", "mass"),
    [("vital_gluten", "Vital wheat gluten", 15), ("rye_flour", "Rye flour, medium", 60)],
)
def test_gluten_and_other_flours_of_the_recipe_count_for_its_tin(page, service, ingredient, label, mass):
    """Gluten carries a larger loaf, other flour makes it less sure: the dough is that of loaf-plan."""
    open_bench(page, folds=("formula", "fill"))
    page.get_by_role("combobox", name="Ingredient, Main dough").nth(5).fill(label)
    fill(page, f"Weight of {label}", str(mass))
    fill(page, SHARE, "35")
    settle(page)
    formula = tin_loaf()
    formula["lines"] = [
        {**line, "ingredient": ingredient, "mass": mass} if line["ingredient"] == "skim_milk_powder" else line
        for line in formula["lines"]
    ]
    tin = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
    plan = requests.post(
        f"{service.url}/v1/loaf-plan",
        json={"formula": formula, "scalded_share_percent": 35, "pan": tin, "bread": {"kind": "prior"}},
    ).json()
    dough = plan["dough_mass"]
    said = answer(page, "Dough for the tin")
    assert figures(said, "Dough per tin") == pytest.approx([dough["best"]])
    assert f"{dough['low']:.0f}\u2013{dough['high']:.0f}" in shown(said, "Dough per tin")
