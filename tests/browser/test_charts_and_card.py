"""Charts with their tables, and the weigh-out card: ticks, the screen stays on, it prints on one page."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from browser.bench import Service, answer, fill, findings, open_bench, settle, tin_loaf, use_units

SCREENSHOTS = Path(__file__).parent / "screenshots"
PAN = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}


def chart(page, title):
    """The chart of that name, scrolled into view: a chart is drawn when it is near the window."""
    place = "sugar" if title.startswith("Sugar") else "fill"
    page.locator(f".section-{place} .chart-room figure").wait_for(state="attached")
    page.locator(f".section-{place} .chart-room").evaluate("(node) => node.scrollIntoView()")
    return page.locator("figure.chart").filter(has=page.locator("figcaption", has_text=title))


def cells(figure):
    figure.locator("summary").click()
    return [
        [float(cell.get_attribute("value")) for cell in row.locator("data").all()]
        for row in figure.locator("tbody tr").all()
    ]


def test_dough_against_share_with_its_band(page, service):
    api = Service(service.url)
    open_bench(page)
    fill(page, "Flour to scald", "35")
    settle(page)
    figure = chart(page, "Dough per tin by scalded flour")
    own, now = (
        api("pan-fill", pan=PAN, bread={"kind": "prior"}, scalded_share_percent=share)["dough_mass"]["best"]
        for share in (20, 35)
    )
    expect(figure.locator("svg text", has_text=f"now 35\u00a0%: {now:.0f}\u00a0g")).to_be_visible()
    expect(figure.locator("svg text", has_text=f"your recipe, 20\u00a0%: {own:.0f}\u00a0g")).to_be_visible()
    expect(figure.locator("svg circle.point")).to_have_count(2)
    expect(figure.locator("svg text", has_text="dough per tin, g (axis starts at 200)")).to_be_visible()
    assert {"0", "10", "20", "30", "40", "50", "60"} <= set(figure.locator("svg text").all_text_contents())
    expect(figure.locator("svg path.area")).to_have_count(1)
    rows = cells(figure)
    assert [row[0] for row in rows] == list(range(0, 65, 5))
    reply = api("pan-fill", pan=PAN, bread={"kind": "prior"}, scalded_share_percent=40)["dough_mass"]
    assert [rows[4][2], rows[7][2]] == pytest.approx([own, now])
    assert rows[8][1:] == pytest.approx([reply["low"], reply["best"], reply["high"]])
    name = figure.locator("svg").get_attribute("aria-labelledby").split()
    assert page.locator(f"#{name[0]}").text_content() == "Dough per tin by scalded flour"


def test_sugars_over_time_with_the_stages_marked(page, service):
    api = Service(service.url)
    open_bench(page)
    figure = chart(page, "Sugar from mixing to the oven")
    for stage in ("Bulk", "Rest", "Proof"):
        expect(figure.locator("svg text", has_text=stage)).to_be_visible()
    expect(figure.locator("svg path.line")).to_have_count(4)
    expect(figure.locator("svg text.name")).to_have_text(["Maltose", "Fructose", "Yeast used", "Glucose"])
    rows = cells(figure)
    stages = [
        {"minutes": minutes, "temperature": degrees} for minutes, degrees in [(90, 27), (20, 27), (70, 32)]
    ]
    end = api("sugar-budget", formula=tin_loaf(), stages=stages)["timeline"][-1]
    assert rows[-1] == pytest.approx(
        [
            end[f"{name}_percent"] if name != "hours" else end["hours"]
            for name in ("hours", "glucose", "fructose", "maltose", "used")
        ]
    )


def test_labels_of_a_chart_stay_apart_and_inside(page):
    open_bench(page)
    figure = chart(page, "Sugar from mixing to the oven")
    expect(figure.locator("svg[role=img]")).to_be_visible()
    clashes = figure.locator("svg[role=img]").evaluate("""(svg) => {
        const frame = svg.getBoundingClientRect();
        const boxes = [...svg.querySelectorAll("text")]
            .map((text) => [text.textContent, text.getBoundingClientRect()]);
        const outside = boxes.filter(([, box]) => box.left < frame.left - 1 || box.right > frame.right + 1)
            .map(([text]) => text);
        const over = boxes.flatMap(([one, a], index) => boxes.slice(index + 1)
            .filter(([, b]) => a.left < b.right && b.left < a.right)
            .filter(([, b]) => a.top + 3 < b.bottom && b.top + 3 < a.bottom)
            .map(([other]) => `${one} / ${other}`));
        return [...outside, ...over];
    }""")
    assert clashes == []


def test_the_card_opens_in_full_and_closes(open_page):
    page = open_page(390, 844, has_touch=True)
    page.add_init_script("""
        window.locks = [];
        Object.defineProperty(navigator, "wakeLock", {value: {request: async (kind) => {
            const lock = {kind, released: false, async release() { this.released = true; }};
            window.locks.push(lock);
            return lock;
        }}});
    """)
    open_bench(page)
    page.locator(".section-weigh").get_by_role("button", name="Baking view").click()
    card = page.get_by_role("dialog", name="What to weigh")
    expect(card).to_contain_text("Lantern Quay tin loaf")
    assert page.evaluate("locks.map(({kind, released}) => [kind, released])") == [["screen", False]]
    salt = card.get_by_role("checkbox", name=re.compile("^Salt"))
    row = card.locator("label").filter(has=page.locator(".what", has_text=re.compile("^Salt")))
    expect(row).to_have_css("min-height", "80px")  # once the style of the card is there
    assert row.bounding_box()["height"] >= 80
    plain = row.evaluate("(node) => getComputedStyle(node).color")
    expect(card.locator(":scope > header p")).to_have_text("0 of 10 weighed")
    row.click()
    expect(salt).to_be_checked()
    expect(card.locator(":scope > header p")).to_have_text("1 of 10 weighed")
    # One row is the next, whatever is ticked in the other part.
    tinted = """() => [...document.querySelectorAll("dialog li")].filter((row) =>
        getComputedStyle(row).backgroundColor !== "rgba(0, 0, 0, 0)").length"""
    assert page.evaluate(tinted) == 1
    # Fainter, and as easy to read: not struck through.
    expect(row).not_to_have_css("color", plain)
    assert row.locator(".what").evaluate("(node) => getComputedStyle(node).textDecorationLine") == "none"
    expect(row).to_have_css("opacity", "1")
    assert findings(page, "dialog") == []
    SCREENSHOTS.mkdir(exist_ok=True)
    page.screenshot(path=SCREENSHOTS / "card-390.png")
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(answer(page, "What to weigh").get_by_role("checkbox", name=re.compile("^Salt"))).to_be_checked()
    assert page.evaluate("locks[0].released")
    page.get_by_role("button", name="Untick all").click()
    expect(answer(page, "What to weigh").locator(":checked")).to_have_count(0)


@pytest.mark.parametrize(("paper", "pages"), [("A4", 1), ("Letter", 1), ("A5", 2)])
def test_the_card_prints_with_the_record_of_the_bake(page, paper, pages):
    """On one page; A5 has the record on its back. The baking view prints as the card alone."""
    open_bench(page)
    expect(page.locator(".record")).to_contain_text("After the bake")
    for dialog_open in (False, True):
        if dialog_open:
            page.locator(".section-weigh").get_by_role("button", name="Baking view").click()
            expect(page.get_by_role("dialog")).to_be_visible()
        for landscape in (False, True) if paper == "A5" else (False,):
            printed = page.pdf(format=paper, landscape=landscape)
            assert len(re.findall(rb"/Type\s*/Page\b", printed)) == (1 if dialog_open else pages)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_long_card_still_prints_on_one_page(page, paper):
    """The tin loaf with as many lines as a rich festive bread has."""
    open_bench(page)
    more = [
        "honey",
        "egg_yolk",
        "cream",
        "vital_gluten",
        "rice_flour",
        "malt_extract",
        "cream_cheese",
        "sesame_oil",
        "raisins",
        "brown_sugar",
        "lecithin",
        "yogurt",
    ]
    fill(page, "Flour to scald", "25")
    settle(page)
    page.evaluate(
        """(more) => {
        const work = JSON.parse(localStorage.getItem("scaldloaf.work"));
        work.formula.lines.push(...more.map((ingredient, index) =>
            ({key: `more${index}`, ingredient, amount: 10, part: "dough"})));
        localStorage.setItem("scaldloaf.work", JSON.stringify(work));
    }""",
        more,
    )
    page.reload()
    settle(page)
    expect(answer(page, "What to weigh").locator(".ticks li")).to_have_count(22)
    assert len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper))) == 1


def test_only_the_card_is_printed(page):
    open_bench(page)
    page.emulate_media(media="print")
    card = answer(page, "What to weigh")
    expect(card).to_be_visible()
    # Also text far from the window, which is not laid out yet.
    assert card.locator(".tick").first.evaluate(
        "(node) => node.checkVisibility({contentVisibilityAuto: true})"
    )
    for heading in page.locator("h2:not(.record h2)").all():
        expect(heading).to_be_hidden()
    expect(page.get_by_role("button", name="Print")).to_be_hidden()
    record = page.locator(".record")
    expect(record).to_have_css("display", "block")
    record.evaluate("(node) => node.replaceChildren()")  # as until just after an answer
    expect(record).to_have_css("display", "none")


def test_a_card_left_open_overnight_is_printed_with_the_day(page):
    open_bench(page)
    day = page.locator(".print-foot > :last-child")
    before = day.text_content()
    page.evaluate("""() => {
        const Today = Date;
        window.Date = class extends Today {
            constructor(...given) { super(...(given.length ? given : [Today.now() + 36e5 * 24])); }
        };
        dispatchEvent(new Event("beforeprint"));
    }""")
    expect(day).not_to_have_text(before)
    expect(day).to_contain_text("Next time:")


def test_the_plan_of_the_work(page, service):
    api = Service(service.url)
    open_bench(page)
    fill(page, "Flour to scald", "30")
    page.get_by_label("Bread ready by").fill("2026-11-28T06:30")
    fill(page, "Keep the scald for", "14")
    fill(page, "Keep the scald at", "4")
    plan = answer(page, "Temperatures")
    times = answer(page, "Timetable").get_by_role("table", name="The times").locator("tbody tr")
    expect(times.last.locator("td").last).to_have_text(re.compile("06:30"))
    expect(plan).to_contain_text("Within usual practice.")

    stages = [
        {"name": name, "minutes": minutes, "temperature": degrees}
        for name, minutes, degrees in [
            ("Bulk", 90, 27),
            ("Rest", 20, 27),
            ("Proof", 70, 32),
        ]
    ]
    reply = api(
        "loaf-plan",
        formula=tin_loaf(),
        pan=PAN,
        scalded_share_percent=30,
        stages=stages,
        losses={"handling_percent": 2},
        scald={"method": {"kind": "pour_over", "flour_temperature": 21, "liquid_temperature": 98}},
        temperatures={
            "target": 27,
            "flour_temperature": 21,
            "temperature_rise": 5,
            "scald_temperature": 22,
            "adjust_with": ["whole_milk", "water"],
        },
    )
    best = reply["water_temperature"]["best"]
    row = plan.locator("dl > div").filter(has_text="Use liquids at").locator("data").first
    expect(row).to_have_text(f"{best:.0f}\u00a0°C")
    # A band narrower than a degree would read "23 to 23".
    band = reply["water_temperature"]
    assert band["low"] < band["high"] and f"{band['low']:.0f}" == f"{band['high']:.0f}"
    expect(row.locator("xpath=..")).not_to_contain_text("–")
    core = plan.locator("dl > div").filter(has_text="Scald temperature (centre)").locator("data").first
    assert float(core.get_attribute("value")) == pytest.approx(
        reply["parts"]["scald_preparation"]["core_temperature"]["best"]
    )
    doubts = answer(page, "Where this could be off").locator(".doubts")
    expect(doubts.locator("li")).to_have_count(len(reply["least_certain"]))
    expect(doubts).not_to_contain_text("+0")  # too little to name
    SCREENSHOTS.mkdir(exist_ok=True)
    page.get_by_role("region", name="Temperatures", exact=True).screenshot(path=SCREENSHOTS / "plan-390.png")


def test_a_fault_of_the_plan_is_shown_at_its_field(page):
    open_bench(page)
    fill(page, "Liquid temperature when poured", "160")
    field = page.locator(".field").filter(
        has=page.get_by_role("textbox", name="Liquid temperature when poured")
    )
    expect(field.locator(".fault")).to_contain_text("Check this: Enter 0\u00a0°C to 100\u00a0°C.")
    field.get_by_role("button", name=re.compile("^Use ")).click()
    expect(field.locator(".fault")).to_be_empty()


def amounts(card):
    """Of each amount that is seen: its decimal point, its right end, and where the name beside it begins."""
    return card.locator(".amt").evaluate_all(
        """(all) => all.filter((each) => each.offsetParent).map((each) => [
            each.querySelector("i").getBoundingClientRect().left,
            Math.max(...[...each.querySelector("data").childNodes].map((part) => {
                const range = document.createRange();
                range.selectNodeContents(part);
                return range.getBoundingClientRect().right;
            })),
            each.parentElement.querySelector(":scope > :last-child, .what").getBoundingClientRect().left,
        ])"""
    )


@pytest.mark.parametrize("tins", ["1", "12", "100"])
@pytest.mark.parametrize("units", ["metric", "us"])
def test_amounts_of_any_size_stand_on_their_points_and_beside_their_names(page, tins, units):
    open_bench(page, folds=())
    use_units(page, units)
    fill(page, "Number of tins", tins)
    settle(page)
    card = answer(page, "What to weigh")
    for media in ("screen", "print"):
        page.emulate_media(media=media)
        seen = amounts(card)
        assert len(seen) == 11
        assert len({round(point) for point, _, _ in seen}) == 1
        assert all(end <= name for _, end, name in seen)
    page.emulate_media(media="screen")
    page.locator(".section-weigh").get_by_role("button", name="Baking view").click()
    page.locator("dialog[open] .tick").first.wait_for()
    lines = amounts(page.locator("dialog .ticks"))
    assert len(lines) == 10
    if units == "metric":
        assert len({round(point) for point, _, _ in lines}) == 1
        assert all(end <= name for _, end, name in lines)


def test_in_ounces_what_is_too_small_for_them_is_weighed_in_grams(page):
    open_bench(page)
    use_units(page, "us")
    expect(page.locator(".tick .much").first).to_contain_text("oz")
    settle(page)
    expect(page.locator("#work")).to_have_attribute("data-answers", "current")
    rows = page.locator(".tick").evaluate_all(
        "(all) => all.map((row) => ['.what', '.much'].map((part) => row.querySelector(part).textContent))"
    )
    said = {what: re.sub(r"\s", " ", much) for what, much in rows}
    # 440 g of dough need 2.4 g of yeast, which in steps of 0.005 oz may be a little more or less.
    assert said["Instant dry yeast"] in ("2.4 g", "2.6 g", "2.7 g")
    assert re.fullmatch(r"4\.\d g", said["Salt"])
    assert re.fullmatch(r"\d\.\d+ oz", said["Whole milk"])
    page.get_by_role("checkbox", name="Instant dry yeast").check()
    expect(page.get_by_role("checkbox", name="Instant dry yeast")).to_be_checked()
    fill(page, "Number of tins", "2")
    settle(page)
    expect(page.locator(".tick", has_text="Instant dry yeast").locator(".was")).to_contain_text(" g")


def test_a_scald_at_night_is_offered_for_the_evening_before(page):
    open_bench(page)
    page.get_by_label("Bread ready by").fill("2026-11-28T07:00")
    plan = answer(page, "Timetable")
    plan.scroll_into_view_if_needed()
    expect(plan).to_contain_text("Make the scald: at night, Fri 23:20.")
    times = plan.get_by_role("table", name="The times")
    expect(times).to_be_hidden()
    plan.get_by_role("button", name="Make the scald the evening before and chill it").click()
    expect(times).to_be_visible()
    starts = times.locator("tbody tr td:nth-of-type(1)")
    expect(starts.first).to_have_text(re.compile("Fri,? 20:00"))
    expect(times.locator("tbody tr").nth(1)).to_contain_text("Chill the scald, covered")
    expect(times.locator("tbody tr").last.locator("td").last).to_have_text(re.compile("07:00"))
    expect(page.get_by_role("textbox", name="Keep the scald at")).to_have_value("4")
    expect(answer(page, "Temperatures")).to_contain_text("Within usual practice.")


def test_a_day_plan_is_shown_as_it_is(page):
    open_bench(page)
    page.get_by_label("Bread ready by").fill("2026-11-28T17:00")
    times = answer(page, "Timetable").get_by_role("table", name="The times")
    times.scroll_into_view_if_needed()
    expect(times.locator("tbody tr").first.locator("td").first).to_have_text(re.compile("09:20"))
