"""The main job by hand on a phone: a formula from 20 to 35 % scalded flour in the same pan.

The numbers on the page must equal those of the same calls made directly.
"""

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from browser.bench import (
    Service,
    act_on_line,
    answer,
    figures,
    fill,
    open_bench,
    settle,
    shown,
    tin_loaf,
    total,
    use_units,
)

SCREENSHOTS = Path(__file__).parent / "screenshots"
PAN = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
NEW = "Adjusted recipe"
FILLS = "Dough for the tin"
SUGAR = "Sugar to the end of proof"
WHOLE = "Recipe at a glance"
WEIGH = "What to weigh"


@pytest.fixture
def api(service):
    return Service(service.url)


def test_the_foot_does_not_jump_away_as_the_page_starts(page):
    page.route("**/page/page-main.js", lambda route: None)  # the page stays at its start
    page.goto("/", wait_until="commit")
    page.wait_for_function("() => document.styleSheets.length === 2 && document.querySelector('.foot')")
    expect(page.locator("#starting")).to_be_visible()
    assert page.locator("footer").bounding_box()["y"] >= 844


def test_from_20_to_35_percent(page, api):
    open_bench(page)
    whole = api("breakdown", formula=tin_loaf())
    assert figures(answer(page, WHOLE), "Dough") == pytest.approx([whole["totals"]["dough"]])
    assert figures(answer(page, WHOLE), "Flour scalded") == [20]
    assert figures(answer(page, WHOLE), "Hydration (with the water in milk, eggs, butter)") == pytest.approx(
        [whole["hydration_percent"]]
    )

    fill(page, "Flour to scald", "35")
    settle(page)
    moved = api("hydration-correction", formula=tin_loaf(), scalded_share_percent=35)
    best = moved["optimum_hydration_percent"]["best"]
    assert figures(answer(page, NEW), "Hydration") == pytest.approx(
        [moved["before"]["hydration_percent"], moved["after"]["hydration_percent"]]
    )
    assert figures(answer(page, NEW), "Suggested hydration") == pytest.approx([best])
    low, high = (moved["optimum_hydration_percent"][end] for end in ("low", "high"))
    assert shown(answer(page, NEW), "Suggested hydration").startswith(
        f"{best:.1f} % {low:.1f}–{high:.1f} % ("
    )
    expect(answer(page, NEW)).to_contain_text("Water is right for this much scalded flour.")

    filled = api(
        "pan-fill", pan=PAN, bread={"kind": "prior"}, scalded_share_percent=35, formula=moved["formula"]
    )
    dough = filled["dough_mass"]
    assert figures(answer(page, FILLS), "Dough per tin") == pytest.approx([dough["best"]])
    assert shown(answer(page, FILLS), "Dough per tin") == (
        f"{dough['best']:.0f} g {dough['low']:.0f}–{dough['high']:.0f} g (our estimate)"
    )
    before = api("pan-fill", pan=PAN, bread={"kind": "prior"}, scalded_share_percent=20)
    assert figures(answer(page, FILLS), "Same tin at 20 %") == pytest.approx([before["dough_mass"]["best"]])
    assert before["dough_mass"]["best"] < dough["best"]

    weighed = api(
        "scaling",
        formula=moved["formula"],
        target={"kind": "dough_mass", "mass": dough["best"]},
        losses={"handling_percent": 2},
    )
    ticks = answer(page, WEIGH).locator(".ticks data")
    assert [float(each.get_attribute("value")) for each in ticks.all()] == [
        line["mass"] for line in weighed["weigh_out"]
    ]
    assert total(page) == weighed["weigh_out_total"]

    stages = [
        {"name": name, "minutes": minutes, "temperature": degrees}
        for name, minutes, degrees in [
            ("Bulk", 90, 27),
            ("Rest", 20, 27),
            ("Proof", 70, 32),
        ]
    ]
    lost = filled["bake_loss_percent"]["best"] + filled["cooling_loss_percent"]["best"]
    budget = api("sugar-budget", formula=moved["formula"], stages=stages, bake_loss_percent=lost)
    sweetness = budget["sweetness_percent"]["best"]
    assert figures(answer(page, SUGAR), "Sweetness of the bread (as table sugar)") == pytest.approx(
        [sweetness]
    )
    assert figures(answer(page, SUGAR), "Sugar used by the yeast (% of flour)") == pytest.approx(
        [budget["timeline"][-1]["used_percent"]]
    )

    SCREENSHOTS.mkdir(exist_ok=True)
    page.screenshot(path=SCREENSHOTS / "main-job-390.png", full_page=True)


def test_the_slider_moves_the_share(page):
    open_bench(page)
    slider = page.get_by_role("slider", name="Flour to scald")
    slider.focus()
    for _ in range(3):
        slider.press("ArrowRight")
    settle(page)
    expect(page.get_by_role("textbox", name="Flour to scald")).to_have_value("23")
    assert figures(answer(page, NEW), "Flour scalded")[1] == pytest.approx(23)


def test_answers_keep_up_with_a_slider_that_is_dragged(page):
    """A change every 20 ms for over a second shows answers in between, not only at the end."""
    open_bench(page)
    seen = page.evaluate("""async () => {
        const slider = document.querySelector("input[type=range]");
        const shares = new Set();
        for (let step = 0; step < 60; step += 1) {
            slider.value = 10 + step % 30;
            slider.dispatchEvent(new Event("input", {bubbles: true}));
            await new Promise((next) => setTimeout(next, 20));
            shares.add(document.querySelectorAll(".section-water .figures .main")[0].textContent);
        }
        return shares.size;
    }""")
    assert seen >= 3
    settle(page)
    expect(page.get_by_role("textbox", name="Flour to scald")).to_have_value("39")
    assert figures(answer(page, NEW), "Flour scalded")[1] == pytest.approx(39)


def test_a_fault_is_shown_at_its_field_and_its_nearest_value_works(page):
    open_bench(page)
    kept = figures(answer(page, NEW), "Hydration")
    fill(page, "Flour to scald", "55")
    share = page.get_by_role("textbox", name="Flour to scald")
    expect(share).to_have_attribute("aria-invalid", "true")
    field = page.locator(".field").filter(has=share)
    expect(field.locator(".fault")).to_contain_text("There isn't enough water")
    described = share.get_attribute("aria-describedby").split()
    assert field.locator(".fault").get_attribute("id") in described
    assert figures(answer(page, NEW), "Hydration") == kept, "the last answer stays readable"
    expect(answer(page, NEW)).to_contain_text("Not up to date")

    use = field.get_by_role("button", name=re.compile("^Use "))
    nearest = float(re.search(r"([\d.]+)\s%", use.inner_text())[1])
    use.click()
    settle(page)
    expect(field.locator(".fault")).to_be_empty()
    assert figures(answer(page, NEW), "Flour scalded")[1] == pytest.approx(nearest)


def test_an_unknown_ingredient_suggests_the_nearest_name(page):
    open_bench(page)
    salt = page.get_by_role("combobox", name="Ingredient, Main dough").nth(6)
    assert salt.input_value() == "Salt"
    salt.fill("sallt")
    line = salt.locator("xpath=ancestor::li")
    line.get_by_role("button", name="Use Salt").click()
    settle(page)
    expect(salt).to_have_value("Salt")


def test_a_decimal_comma_is_read_and_an_unclear_mark_is_not_guessed(page):
    open_bench(page)
    butter = page.get_by_role("textbox", name=re.compile("^Weight of Butter"))
    butter.fill("32,5")
    settle(page)
    assert figures(answer(page, WHOLE), "Dough") == pytest.approx([931.5])
    butter.fill("1,000")
    line = page.locator(".line").filter(has=butter)
    expect(line.get_by_role("button")).to_have_count(3)  # what can be done with the line, and two readings
    assert figures(answer(page, WHOLE), "Dough") == pytest.approx([931.5])
    line.get_by_role("button", name="Use 1000 g").click()
    settle(page)
    assert figures(answer(page, WHOLE), "Dough") == pytest.approx([1899])


def test_lines_are_added_moved_and_removed(page):
    open_bench(page)
    page.get_by_role("button", name="Add to dough").click()
    added = page.get_by_role("combobox", name="Ingredient, Main dough").last
    expect(added).to_be_focused()
    added.fill("honey")
    page.get_by_role("textbox", name="Weight of Honey").fill("20")
    settle(page)
    assert figures(answer(page, WHOLE), "Dough") == pytest.approx([949])
    act_on_line(page, "Move Honey to the scald")
    expect(page.get_by_role("button", name="Move or remove Honey")).to_be_focused()
    expect(page.get_by_role("combobox", name="Ingredient, Scald").last).to_have_value("Honey")
    act_on_line(page, "Remove Honey")
    settle(page)
    assert figures(answer(page, WHOLE), "Dough") == pytest.approx([929])


def test_nothing_is_lost_on_reload(page):
    open_bench(page)
    fill(page, "Flour to scald", "30")
    fill(page, "Depth", "10,5")
    page.get_by_role("textbox", name="Weight of Salt").fill("10")
    page.get_by_role("radio", name="Osmotolerant (for sweet doughs)").check()
    settle(page)
    page.get_by_role("checkbox", name=re.compile("^Salt")).check()

    def answers():
        return {
            name: answer(page, name).locator(".answer-body").text_content()
            for name in (WHOLE, NEW, FILLS, SUGAR, WEIGH)
        }

    before = answers()
    page.reload()
    settle(page)
    for name in before:  # what is folded is asked for after the first answers
        expect(answer(page, name)).not_to_contain_text("Calculating…")
    assert answers() == before
    expect(page.get_by_role("textbox", name="Depth")).to_have_value("10.5")
    expect(page.get_by_role("radio", name="Osmotolerant (for sweet doughs)")).to_be_checked()
    expect(page.get_by_role("checkbox", name=re.compile("^Salt"))).to_be_checked()


def test_one_switch_for_the_units(page, api):
    open_bench(page)
    fill(page, "Flour to scald", "35")
    settle(page)
    grams = figures(answer(page, FILLS), "Dough per tin")[0]
    use_units(page, "us")
    settle(page)
    expect(page.get_by_role("textbox", name="Length")).to_have_value("7.48")
    assert figures(answer(page, FILLS), "Dough per tin")[0] == pytest.approx(grams / 28.349523125)
    assert shown(answer(page, FILLS), "Tin volume").endswith(" in³")
    expect(page.get_by_role("textbox", name="Dough temperature").first).to_have_value("80.6")
    use_units(page, "metric")
    settle(page)
    assert figures(answer(page, FILLS), "Dough per tin")[0] == pytest.approx(grams)
    expect(page.get_by_role("textbox", name="Length")).to_have_value("19")


PANS = [
    (
        "tapered",
        {
            "Top length": 25,
            "Top width": 13,
            "Base length": 22.5,
            "Base width": 11,
            "Depth": 7.5,
        },
    ),
    ("round", {"Top diameter": 20, "Base diameter": 16, "Depth": 8.5}),
    (
        "oval",
        {
            "Top length": 26,
            "Top width": 17,
            "Base length": 22.5,
            "Base width": 13.5,
            "Depth": 8,
        },
    ),
    ("volume", {"Volume": 1750}),
    ("water_fill", {"Weight of the water": 1702, "Temperature of the water": 18}),
]
NAMES = {
    "Top length": "top_length",
    "Top width": "top_width",
    "Base length": "base_length",
    "Base width": "base_width",
    "Top diameter": "top_diameter",
    "Base diameter": "base_diameter",
    "Depth": "depth",
    "Volume": "volume",
    "Weight of the water": "mass",
    "Temperature of the water": "temperature",
}


def test_every_kind_of_pan(page, api):
    open_bench(page)
    for kind, fields in PANS:
        page.get_by_role("combobox", name="How you measured it").select_option(kind)
        for label, value in fields.items():
            fill(page, label, str(value))
        settle(page)
        reply = api(
            "pan-fill",
            pan={"kind": kind, **{NAMES[label]: value for label, value in fields.items()}},
            bread={"kind": "prior"},
            scalded_share_percent=20,
        )
        assert figures(answer(page, FILLS), "Tin volume") == pytest.approx([reply["pan_volume"]]), kind


WAYS_TO_KNOW = [
    (
        "reference_loaf",
        {
            "Dough you used": 440,
            "Loaf volume": 1714.75,
            "Bake loss of that loaf": 10.5,
            "Flour scalded that time": 20,
        },
        {
            "dough_mass": 440,
            "loaf_volume": 1714.75,
            "bake_loss_percent": 10.5,
            "scalded_share_percent": 20,
        },
    ),
    (
        "specific_volume",
        {"Specific volume": 4.0, "Flour scalded that time": 20},
        {"specific_volume": 4.0, "scalded_share_percent": 20},
    ),
    (
        "pan_ratio",
        {"Tin ratio": 3.9, "Flour scalded that time": 20},
        {"pan_ratio": 3.9, "scalded_share_percent": 20},
    ),
]


def test_every_way_to_know_the_bread(page, api):
    open_bench(page)
    fill(page, "Flour to scald", "35")
    for kind, fields, bread in WAYS_TO_KNOW:
        page.get_by_role("combobox", name="What do you already know?").select_option(kind)
        for label, value in fields.items():
            fill(page, label, str(value))
        settle(page)
        reply = api("pan-fill", pan=PAN, bread={"kind": kind, **bread}, scalded_share_percent=35)
        mass = pytest.approx([reply["dough_mass"]["best"]])
        assert figures(answer(page, FILLS), "Dough per tin") == mass, kind
        if kind == "reference_loaf":
            change = figures(answer(page, FILLS), "Change from your last loaf")[0]
            assert change == pytest.approx(reply["against_reference_loaf"]["dough_mass"]["best"])
            assert "–" not in shown(answer(page, FILLS), "Change from your last loaf")  # −19 … 88 g


def test_a_pan_to_start_from(page, api):
    open_bench(page)
    shapes = {shape["name"]: shape for shape in api.session.get(f"{api.url}/v1/pans").json()["pans"]}
    page.get_by_role("combobox", name="Tin", exact=True).select_option("round_flared")
    settle(page)
    reply = api(
        "pan-fill", pan=shapes["round_flared"]["pan"], bread={"kind": "prior"}, scalded_share_percent=20
    )
    assert figures(answer(page, FILLS), "Tin volume") == pytest.approx([reply["pan_volume"]])
    # Its name says whether it has a lid. With another lid it is your own tin.
    tin, row = page.get_by_role("combobox", name="Tin", exact=True), page.locator(".row.tin p")
    for name, says, loss in (("open_large", "Open", 12), ("lidded_two_loaf", "Lidded", 10)):
        tin.select_option(name)
        settle(page)
        expect(page.get_by_role("radio", name=says)).to_be_checked()
        expect(row).to_contain_text(says)
        assert figures(answer(page, FILLS), "Bake loss used")[0] == loss
    page.get_by_role("radio", name="Open").check()
    settle(page)
    expect(tin).to_have_value("")
    expect(row).to_contain_text("Open")


def test_every_answer_shows_its_working(page, api):
    open_bench(page)
    titles = {
        source["id"]: source["title"] for source in api.session.get(f"{api.url}/v1/sources").json()["sources"]
    }
    for name in (WHOLE, NEW, FILLS, SUGAR, WEIGH):
        group = answer(page, name)
        if name == WEIGH:
            group = page.locator(".section-weigh > .folded")  # beside the scale
            group.locator("summary").first.press("Enter")
        # By key: what is drawn above in the meantime moves the line away from under a click.
        group.locator("summary", has_text="How we worked this out").press("Enter")
        expect(group.locator(".steps li").first).to_be_visible()
        expect(group.locator(".sources li").first).to_be_visible()
        for cited in group.locator(".sources cite").all_text_contents():
            assert cited in titles.values()
        assert group.locator(".sources cite").count() >= 1
    reply = api("breakdown", formula=tin_loaf())
    steps = answer(page, WHOLE).locator(".step-expression").all_text_contents()
    assert steps == [step["expression"] for step in reply["working"]]


def test_cautions_are_shown_at_their_step(page):
    open_bench(page)
    hot = answer(page, WEIGH).locator(".part-scald .care")
    expect(hot.locator("summary")).to_have_text("Hot: it sticks and burns")
    expect(hot.locator("p")).to_be_hidden()
    hot.locator("summary").click()
    expect(hot.locator("p")).to_contain_text("burns within seconds at 60 °C")
    expect(hot.locator("small")).to_have_text("Local rules come first: your workplace safety rules.")
    expect(answer(page, WEIGH).locator(".care", has_text="New tin? Start at the low end")).to_have_count(1)
    expect(answer(page, WHOLE).locator(".care summary")).to_have_text("Check labels for allergens")


def test_every_caution_is_in_one_place(page, api):
    open_bench(page)
    page.locator("#temperatures").scroll_into_view_if_needed()
    safety = page.locator(".section-safety")
    whole = api("breakdown", formula=tin_loaf())
    filled = api("pan-fill", pan=PAN, bread={"kind": "prior"}, scalded_share_percent=20)
    for caution in whole["cautions"] + filled["cautions"]:
        item = safety.locator(f"li[data-code={caution['code']}]")
        expect(item).to_have_count(1)
        expect(item.locator("small")).not_to_be_empty()  # who decides
    expect(safety.locator("[lang=en]")).to_have_count(0)  # in the page's own words
    count, summary = page.evaluate(  # both in one look: the plan's cautions come later
        """() => [document.querySelectorAll(".section-safety li").length,
                  document.querySelector("#safety > summary").textContent]"""
    )
    assert f"{count} points" in summary


def test_the_last_answer_stays_when_the_service_fails(page, watch):
    watch.expect("Failed to load resource")
    open_bench(page)
    kept = figures(answer(page, NEW), "Hydration")
    page.route("**/v1/**", lambda route: route.abort())
    fill(page, "Flour to scald", "28")
    page.wait_for_selector("#work[data-state=unreachable]")
    expect(page.get_by_text("You’re offline.")).to_be_visible()
    assert figures(answer(page, NEW), "Hydration") == kept
    page.unroute("**/v1/**")
    settle(page)
    assert figures(answer(page, NEW), "Flour scalded")[1] == pytest.approx(28)
    expect(page.get_by_text("You’re offline.")).to_have_count(0)


def test_a_state_that_cannot_be_read_is_set_aside(page):
    open_bench(page)
    page.evaluate("localStorage.setItem('scaldloaf.work', '{\"version\": 1, \"formula\": 3}')")
    page.reload()
    settle(page)
    assert figures(answer(page, WHOLE), "Dough") == pytest.approx([929])
    assert (
        page.evaluate("localStorage.getItem('scaldloaf.work.unreadable')") == '{"version": 1, "formula": 3}'
    )


@pytest.mark.parametrize("width", [320, 390, 1280])
def test_nothing_is_wider_than_the_screen(open_page, width):
    page = open_page(width, 800)
    open_bench(page)
    fill(page, "Flour to scald", "35")
    settle(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_targets_are_large_enough_for_floury_fingers(page):
    open_bench(page)
    small = page.evaluate("""() => [...document.querySelectorAll("button, select, input, summary")]
        .filter((each) => each.checkVisibility() && !each.matches(".unseen"))
        .map((each) => [each.outerHTML.slice(0, 80), (each.closest("label") ?? each).getBoundingClientRect()])
        .filter(([, box]) => box.height < 44 || box.width < 44)
        .map(([html, box]) => `${html} ${box.width}x${box.height}`)""")
    assert small == []


def test_it_is_light(open_page):
    """Everything transferred up to the first answers, headers included; tests/benchmarks/page.py lists it."""
    page = open_page(390, 844)
    session = page.context.new_cdp_session(page)
    session.send("Network.enable")
    weights = []
    session.on("Network.loadingFinished", lambda event: weights.append(event["encodedDataLength"]))
    page.goto("/")
    settle(page)
    assert 20_000 < sum(weights) < 56_000


def test_what_is_opened_before_it_has_loaded_says_so_and_loads_at_once(page):
    """Before the first answers too."""
    held, loads = [], []
    page.route("**/v1/breakdown", lambda route: held.append(route))
    page.route("**/page/page-after.js", lambda route: loads.append(route))
    page.goto("/")
    weigh, water = page.locator(".section-weigh > details"), page.locator("#water")
    for fold in (weigh, water):
        fold.locator("summary").first.click()
        expect(fold.get_by_text("Calculating…")).to_be_visible()
    assert len(loads) == 1
    for route in loads + held:
        route.continue_()
    page.unroute_all(behavior="wait")
    expect(weigh.get_by_label("Waste (bowl and bench)")).to_be_visible()
    expect(water.locator("section")).to_be_visible()
    settle(page)
    for fold in (weigh, water):
        expect(fold.get_by_text("Calculating…")).to_have_count(0)


def test_what_is_said_to_a_screen_reader_moves_nothing(page):
    """Also on a wide window, where the card stands beside the three questions."""
    page.goto("/")
    settle(page)
    sheet, bar = page.locator(".ask"), page.locator(".bar")
    places = {}
    for width in (390, 1280):
        page.set_viewport_size({"width": width, "height": 844})
        places[width] = [sheet.bounding_box(), bar.bounding_box()]
    assert places[1280][0]["y"] == places[1280][1]["y"]
    expect(page.get_by_text("Results updated.")).to_be_attached()
    for width in (1280, 390):
        page.set_viewport_size({"width": width, "height": 844})
        assert [sheet.bounding_box(), bar.bounding_box()] == places[width]


def test_a_request_is_not_sent_twice(page):
    open_bench(page)
    asked = set()
    singles = {"breakdown", "hydration-correction", "scaling", "sugar-budget"}

    def note(request) -> None:
        name = request.url.rsplit("/", 1)[1]
        if name != "loaf-plan" or "timetable" not in request.post_data_json:  # which has a plan of its own
            asked.add(name)

    page.on("request", note)
    fill(page, "Flour to scald", "30")
    settle(page)
    assert "loaf-plan" in asked and not singles & asked
    asked.clear()
    page.get_by_role("textbox", name="Time", exact=True).first.fill("80")
    settle(page)
    assert "loaf-plan" in asked and not singles & asked


@pytest.mark.at_length
def test_two_looks(open_page):
    SCREENSHOTS.mkdir(exist_ok=True)
    papers = []
    for scheme in ("light", "dark"):
        for width in (390, 1280):
            page = open_bench(open_page(width, 844, color_scheme=scheme))
            fill(page, "Flour to scald", "35")
            settle(page)
            page.screenshot(path=SCREENSHOTS / f"bench-{width}-{scheme}.png", full_page=True)
        papers.append(page.evaluate("getComputedStyle(document.querySelector('.slip')).backgroundColor"))
    assert papers[0] != papers[1]
