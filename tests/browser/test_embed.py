"""The panel on other people's pages: on another origin, under a strict content policy, and on a hostile host.

The host page has another origin than the service (another port) but the same site: the worst case for the
full page's storage in the browser.
"""

import json
import re
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from browser.bench import (
    Service,
    answer,
    figures,
    fill,
    findings,
    findings_in_both_looks,
    open_bench,
    row,
    settle,
    tin_loaf,
    unfold,
)
from browser.conftest import PATIENCE_MS

ROOT = Path(__file__).resolve().parents[2]
PANEL = "scaldloaf-panel .panel"
NEW = "Adjusted recipe"
FILLS = "Dough for the tin"
WEIGH = "What to weigh"
ONE_LOAF = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
PAPER = "rgb(251, 246, 234)"
MOST_BYTES = 60_000
RECIPE = {
    "@context": "https://schema.org",
    "@type": "Recipe",
    "name": "Breakwater loaf",
    "recipeIngredient": [
        "For the scald:",
        "80 g strong white flour",
        "80 g boiling water",
        "For the dough:",
        "320 g strong white flour",
        "190 g water",
        "20 g caster sugar",
        "20 g unsalted butter",
        "7 g fine salt",
        "4 g instant yeast",
    ],
}
PLAIN = {
    "@type": "Recipe",
    "name": "Plain loaf",
    "recipeIngredient": ["500 g strong white flour", "320 g water", "9 g salt", "5 g instant yeast"],
}
LISTEN = """
window.reported = [];
for (const what of ["answer", "problem", "reading", "height"])
  document.addEventListener(`scaldloaf-${what}`, ({ detail }) => reported.push([what, detail]));
"""


class Host(ThreadingHTTPServer):
    """Another party's site. pages: path -> (media type, body, content policy)."""

    daemon_threads = True

    def __init__(self):
        self.pages: dict[str, tuple[str, str, str]] = {}
        super().__init__(("127.0.0.1", 0), _Answer)
        self.url = f"http://127.0.0.1:{self.server_port}"

    def put(self, path: str, body: str, policy: str = "", media: str = "text/html; charset=utf-8") -> str:
        self.pages[path] = (media, body, policy)
        return self.url + path


class _Answer(BaseHTTPRequestHandler):
    def do_GET(self):
        media, body, policy = self.server.pages.get(self.path.partition("?")[0], ("text/plain", "", ""))
        self.send_response(200)
        self.send_header("Content-Type", media)
        if policy:
            self.send_header("Content-Security-Policy", policy)
        self.end_headers()
        self.wfile.write(body.encode())

    def log_message(self, *_):
        pass


@pytest.fixture
def host():
    with Host() as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield server
        server.shutdown()
        thread.join()


@pytest.fixture
def api(service):
    return Service(service.url)


@pytest.fixture
def put_page(host, service):
    """put_page(panel's attributes, recipes) -> address of a page on another origin, its policy strict."""

    def put(attributes="", recipes=(), more="", head="", policy: str | None = None) -> str:
        host.put("/listen.js", LISTEN, media="text/javascript")
        data = "".join(f'<script type="application/ld+json">{text_of(each)}</script>' for each in recipes)
        strict = (
            f"default-src 'none'; script-src {service.url} {host.url}/listen.js; "
            f"connect-src {service.url}; base-uri 'none'; form-action 'none'; "
            "require-trusted-types-for 'script'; trusted-types 'none'"
        )
        return host.put(
            "/recipe",
            f"""<!doctype html><html lang="en"><head><meta charset="utf-8">
<title>A recipe</title>
<meta name="viewport" content="width=device-width, initial-scale=1">{data}{head}
<script src="/listen.js"></script><script type="module" src="{service.url}/panel.js"></script></head>
<body><main><h1>A recipe</h1>{more}<scaldloaf-panel {attributes}></scaldloaf-panel></main></body></html>""",
            strict if policy is None else policy,
        )

    return put


def wait(page: Page, frame=None) -> None:
    (frame or page).locator(f"{PANEL}[data-state=settled]").first.wait_for()


def opened(page: Page, address: str) -> Page:
    """With the folds of water and dough open."""
    page.goto(address)
    wait(page)
    page.evaluate(
        """() => { for (const panel of document.querySelectorAll("scaldloaf-panel"))
            for (const fold of panel.shadowRoot.querySelectorAll(".panel-more > details"))
                fold.open = true; }"""
    )
    return page


def reported(page: Page, what: str) -> list:
    return [detail for name, detail in page.evaluate("reported") if name == what]


def last(page: Page, what: str = "answer") -> dict:
    return reported(page, what)[-1]


def best(group: Locator, term: str) -> float:
    return figures(group, term)[0]


def amounts(page: Page) -> list[float]:
    """The amounts to weigh, line by line, and the total."""
    rows = answer(page, WEIGH).locator("tbody tr:not(.group) data, tfoot data").all()
    return [float(each.get_attribute("value")) for each in rows]


def text_of(value) -> str:
    return value if isinstance(value, str) else json.dumps(value)


def background(page: Page, selector: str = PANEL) -> str:
    return page.locator(selector).evaluate("node => getComputedStyle(node).backgroundColor")


def attribute(**values) -> str:
    def quoted(value) -> str:
        return text_of(value).replace("&", "&amp;").replace('"', "&quot;")

    return " ".join(f'{name.replace("_", "-")}="{quoted(value)}"' for name, value in values.items())


def set_attribute(page: Page, name: str, value) -> None:
    page.evaluate(
        "([name, value]) => document.querySelector('scaldloaf-panel').setAttribute(name, value)",
        [name, text_of(value)],
    )
    wait(page)


# Answers


def test_under_a_strict_policy_on_another_origin(page, api, put_page):
    opened(page, put_page(attribute(formula=tin_loaf(), share="35", pan="lidded_one_loaf", pans="3")))
    moved = api("hydration-correction", formula=tin_loaf(), scalded_share_percent=35)
    filled = api(
        "pan-fill", pan=ONE_LOAF, lid=True, bread={"kind": "prior"}, scalded_share_percent=35, pans=3
    )
    weighed = api(
        "scaling",
        formula=moved["formula"],
        losses={"handling_percent": 2},
        target={"kind": "dough_mass", "mass": filled["total_dough_mass"]["best"]},
    )
    assert figures(answer(page, NEW), "Hydration") == pytest.approx(
        [moved["before"]["hydration_percent"], moved["after"]["hydration_percent"]]
    )
    assert best(answer(page, FILLS), "Dough per tin") == pytest.approx(filled["dough_mass"]["best"])
    in_all = filled["total_dough_mass"]["best"]
    assert best(answer(page, FILLS), "Dough for all tins") == pytest.approx(in_all)
    assert amounts(page) == [*(line["mass"] for line in weighed["weigh_out"]), weighed["weigh_out_total"]]
    # It says what the total is of: all tins, with what is lost in handling.
    expect(answer(page, WEIGH)).to_contain_text("3 tins of ")
    expect(answer(page, WEIGH)).to_contain_text(f"total, {in_all:,.0f}\u00a0g after waste")

    detail = last(page)
    assert detail["dough_mass"] == filled["dough_mass"] and detail["weigh_out"] == weighed["weigh_out"]
    assert detail["formula"] == weighed["formula"]
    assert detail["optimum_hydration_percent"] == moved["optimum_hydration_percent"]
    codes = {caution["code"] for reply in (moved, filled, weighed) for caution in reply["cautions"]}
    assert {caution["code"] for caution in detail["cautions"]} == codes
    for caution in detail["cautions"]:
        item = page.locator(f".panel-beware li[data-code={caution['code']}]")
        expect(item).to_have_count(1)
        expect(item).not_to_have_attribute("lang", "en")  # in the page's own words

    # The panel has its styles although the policy allows none, and the host's page keeps its own.
    assert background(page) == PAPER
    assert background(page, "body") == "rgba(0, 0, 0, 0)"


def test_amounts_stand_on_their_decimal_points(page, put_page):
    opened(page, put_page(attribute(formula=tin_loaf())))
    points = page.locator(".panel-weigh td data i").evaluate_all(
        "(all) => all.map((each) => Math.round(each.getBoundingClientRect().left))"
    )
    assert len(points) == len(tin_loaf()["lines"]) + 1
    assert len(set(points)) == 1


def test_share_and_pan_are_moved_by_hand(page, api, put_page):
    opened(page, put_page(attribute(formula=tin_loaf())))
    expect(page.get_by_role("textbox", name="Flour to scald")).to_have_value("20")  # its own share
    fill(page, "Flour to scald", "32.5")
    wait(page)
    page.get_by_label("Tin", exact=True).select_option("round_flared")
    wait(page)
    round_tin = {"kind": "round", "top_diameter": 20, "base_diameter": 16, "depth": 8.5}
    filled = api("pan-fill", pan=round_tin, lid=False, bread={"kind": "prior"}, scalded_share_percent=32.5)
    assert last(page)["dough_mass"] == filled["dough_mass"]
    assert best(answer(page, FILLS), "Dough per tin") == pytest.approx(filled["dough_mass"]["best"])
    before = api("pan-fill", pan=round_tin, lid=False, bread={"kind": "prior"}, scalded_share_percent=20)
    assert best(answer(page, FILLS), "Same tin at 20 %") == pytest.approx(before["dough_mass"]["best"])
    page.locator("summary", has_text="Tin size and units").click()
    fill(page, "Depth", "10")
    wait(page)
    deeper = api(
        "pan-fill",
        pan={**round_tin, "depth": 10},
        lid=False,
        bread={"kind": "prior"},
        scalded_share_percent=32.5,
    )
    assert last(page)["dough_mass"] == deeper["dough_mass"]
    expect(page.get_by_label("Tin", exact=True)).to_have_value("")


def test_knowing_the_bread_narrows_the_answer(page, api, put_page):
    loaf = {
        "kind": "reference_loaf",
        "dough_mass": 440,
        "loaf_volume": 1715,
        "bake_loss_percent": 10,
        "scalded_share_percent": 20,
    }
    opened(page, put_page(attribute(formula=tin_loaf(), share="35", pan=ONE_LOAF, bread=loaf)))
    filled = api("pan-fill", pan=ONE_LOAF, bread=loaf, scalded_share_percent=35)
    assert last(page)["dough_mass"] == filled["dough_mass"]
    expect(answer(page, FILLS)).to_contain_text("My last loaf: how it filled the tin")


def test_the_previous_pan_belongs_to_the_same_entries(page, put_page):
    opened(page, put_page(attribute(formula=tin_loaf(), share="35")))
    expect(row(answer(page, FILLS), "Same tin at 20 %")).to_have_count(1)

    def refuse(route: Route) -> None:
        if route.request.post_data_json["scalded_share_percent"] == pytest.approx(20):
            route.fulfill(
                status=422,
                content_type="application/problem+json",
                headers={"Access-Control-Allow-Origin": "*"},
                body=json.dumps({"title": "Refused", "status": 422, "detail": "for the test", "errors": []}),
            )
        else:
            route.continue_()

    page.route("**/v1/pan-fill", refuse)
    fill(page, "Number of tins", "2")
    wait(page)
    expect(row(answer(page, FILLS), "Dough for all tins")).to_have_count(1)
    expect(row(answer(page, FILLS), "Same tin at 20 %")).to_have_count(0)


def test_every_answer_shows_its_working(page, put_page):
    opened(page, put_page(attribute(formula=tin_loaf(), share="30")))
    for name in (NEW, FILLS, WEIGH):
        answer(page, name).locator("summary", has_text="How we worked this out").click()
        expect(answer(page, name).locator(".steps li").first).to_be_visible()
        expect(answer(page, name).locator(".sources li").first).to_be_visible()


def test_outdated_amounts_are_hidden(page, put_page):
    opened(page, put_page(attribute(formula=tin_loaf())))
    waiting = []
    page.route("**/v1/scaling", lambda route: waiting.append(route))
    fill(page, "Flour to scald", "30")
    expect(answer(page, WEIGH)).to_contain_text("Not up to date. Calculating…")
    expect(answer(page, WEIGH).locator("td")).to_have_count(0)
    for route in waiting:
        route.continue_()
    page.unroute("**/v1/scaling")
    wait(page)
    assert amounts(page)[-1] == last(page)["weigh_out_total"]
    expect(answer(page, WEIGH)).not_to_contain_text("Not up to date")


def test_amounts_that_came_after_a_change_are_hidden_too(page, put_page):
    """They answer the entries before it, and the next answer may never come."""
    opened(page, put_page(attribute(formula=tin_loaf())))
    waiting = []

    def hang(route: Route) -> None:
        if route.request.post_data_json["scalded_share_percent"] == 42:
            waiting.append(route)
        else:
            route.continue_()

    page.route("**/v1/hydration-correction", hang)
    page.evaluate("""() => {
        const panel = document.querySelector("scaldloaf-panel").shadowRoot;
        const slider = panel.querySelector("input[type=range]");
        const move = (share) => { slider.value = share; slider.dispatchEvent(new Event("input")); };
        const ask = window.fetch;
        window.fetch = async (...asked) => {
            const answer = await ask(...asked);
            if (String(asked[0]).includes("/v1/scaling") && slider.value === "30") move("42");
            return answer;
        };
        move("30");
    }""")
    expect(answer(page, WEIGH)).to_contain_text("Not up to date. Calculating…")
    expect(answer(page, WEIGH).locator("td")).to_have_count(0)
    expect(answer(page, NEW)).to_contain_text("Not up to date:")
    for route in waiting:
        route.continue_()
    wait(page)
    assert amounts(page)[-1] == last(page)["weigh_out_total"]
    expect(answer(page, NEW)).not_to_contain_text("Not up to date")


def test_a_fault_is_shown_at_its_field_with_the_nearest_value(page, api, put_page):
    opened(page, put_page(attribute(formula=tin_loaf())))
    share = page.get_by_role("textbox", name="Flour to scald")
    share.fill("55")
    expect(share).to_have_attribute("aria-invalid", "true")
    expect(answer(page, NEW)).to_contain_text("Not up to date")
    expect(answer(page, WEIGH)).to_contain_text("Not up to date. Fix 1 entry to get the weights.")
    expect(answer(page, WEIGH).locator("td")).to_have_count(0)
    expect(page.locator(PANEL).get_by_role("link", name="Open in Scaldloaf")).to_be_hidden()
    expect(page.locator(PANEL).locator(".unseen[role=status]").first).to_have_text(
        "Not up to date. Fix 1 entry to get the weights."
    )
    problem = last(page, "problem")
    assert problem["kind"] == "refused"
    assert [error["pointer"] for error in problem["errors"]] == ["/scalded_share_percent"]
    page.locator(".field").filter(has=share).get_by_role("button", name=re.compile("^Use ")).click()
    wait(page)
    assert last(page)["scalded_share_percent"] == pytest.approx(problem["errors"][0]["nearest"], abs=0.5)
    assert amounts(page)[-1] == last(page)["weigh_out_total"]
    expect(share).not_to_have_attribute("aria-invalid", "true")
    expect(page.locator(PANEL).get_by_role("link", name="Open in Scaldloaf")).to_be_visible()


def test_a_fault_in_a_folded_field_is_seen(page, put_page):
    opened(page, put_page(attribute(formula=tin_loaf(), pan={"kind": "box", "length": 19, "width": 9.5})))
    depth = page.get_by_role("textbox", name="Depth")
    expect(depth).to_be_visible()
    expect(depth).to_have_value("")
    expect(depth).to_have_attribute("aria-invalid", "true")
    assert reported(page, "answer") == [], "a measure that was not entered is not invented"


def test_the_link_carries_the_plan_to_the_full_page(page, put_page, service):
    opened(page, put_page(attribute(formula=RECIPE, share="28", pan="open_large", pans="2")))
    link = page.get_by_role("link", name=re.compile("^Open in Scaldloaf"))
    address = link.get_attribute("href")
    assert address == last(page)["plan"] and address.startswith(f"{service.url}/#plan=")
    dough = last(page)["total_dough_mass"]["best"]
    with page.context.expect_page() as fresh:
        link.click()
    full = fresh.value
    settle(full)
    full.get_by_text("Breakwater loaf opened.").wait_for()
    settle(full)
    unfold(full)
    assert full.evaluate("window.opener") is None
    assert figures(answer(full, FILLS), "Dough for all tins") == pytest.approx([dough])
    assert full.get_by_role("textbox", name="Flour to scald").input_value() == "28"


# Start values


def test_changed_attributes_take_effect(page, api, put_page):
    opened(page, put_page(attribute(formula=tin_loaf())))
    set_attribute(page, "share", "30")
    assert last(page)["scalded_share_percent"] == pytest.approx(30)
    assert page.get_by_role("textbox", name="Flour to scald").input_value() == "30"
    set_attribute(page, "pan", "open_large")
    set_attribute(page, "fill", "120")
    detail = last(page)
    tin = {
        "kind": "tapered",
        "top_length": 25,
        "top_width": 13,
        "base_length": 22.5,
        "base_width": 11,
        "depth": 7.5,
    }
    assert (
        detail["dough_mass"]
        == api(
            "pan-fill",
            pan=tin,
            lid=False,
            bread={"kind": "prior"},
            scalded_share_percent=30,
            fill_percent=120,
        )["dough_mass"]
    )
    set_attribute(page, "units", "us")
    assert last(page)["units"]["mass"] == "oz"
    ounces = detail["dough_mass"]["best"] / 28.349523125
    assert last(page)["dough_mass"]["best"] == pytest.approx(ounces, rel=1e-3)
    percent = {
        "name": "Mole loaf",
        "lines": [
            {"ingredient": "bread_flour", "percent": 100},
            {"ingredient": "water", "percent": 64},
            {"ingredient": "salt", "percent": 1.8},
            {"ingredient": "instant_yeast", "percent": 1},
        ],
    }
    set_attribute(page, "formula", percent)
    expect(page.get_by_role("heading", name="Mole loaf")).to_be_visible()
    assert last(page)["scalded_share_percent"] == pytest.approx(30), "the share the page still asks for"


@pytest.mark.parametrize(
    ("values", "name", "words"),
    [
        ({"formula": "{broken"}, "formula", "not valid JSON"),
        ({"formula": "#nowhere"}, "formula", "#nowhere, which is not on this page"),
        ({"formula": "page"}, "formula", "no recipe data"),
        ({"pan": "teapot"}, "pan", "no tin called “teapot”"),
        ({"units": "stone"}, "units", "Unknown units"),
        ({"bread": "7"}, "bread", "not valid JSON"),
        ({"pan": '{"kind": "box", "__proto__": {"length": 19}}'}, "pan", "not valid JSON"),
        ({"bread": '{"kind": ' + "[" * 50 + "]" * 50 + "}"}, "bread", "not valid JSON"),
    ],
    ids=lambda value: str(value)[:20],
)
def test_a_start_value_that_cannot_be_used_is_reported(page, put_page, values, name, words):
    opened(page, put_page(attribute(**{"formula": tin_loaf(), **values})))
    expect(page.locator(f"{PANEL} > .fault")).to_contain_text(words)
    problem = last(page, "problem")
    assert problem["kind"] == "start-value" and [error["attribute"] for error in problem["errors"]] == [name]
    if name == "formula":
        assert reported(page, "answer") == [], "no other formula silently replaces it"


def test_a_fault_of_one_start_value_stays_while_another_changes(page, put_page):
    opened(page, put_page(attribute(formula=tin_loaf(), pan="teapot")))
    set_attribute(page, "share", "30")
    faults = page.locator(f"{PANEL} > .fault")
    expect(faults).to_contain_text("teapot")
    set_attribute(page, "pan", "open_large")
    expect(faults).to_be_empty()


def test_a_formula_the_service_refuses_says_where(page, put_page):
    wrong = tin_loaf()
    wrong["lines"][0]["ingredient"] = "bred_flour"
    opened(page, put_page(attribute(formula=wrong)))
    expect(page.locator(f"{PANEL} > .fault")).to_contain_text("/formula/lines/0/ingredient")
    expect(page.locator(f"{PANEL} > .fault")).to_contain_text("bread_flour")
    assert last(page, "problem")["errors"][0]["pointer"] == "/formula/lines/0/ingredient"


@pytest.mark.parametrize(
    ("values", "kind", "texts"),
    [
        ({"share": "lots"}, "refused", ["/scalded_share_percent"]),
        ({"pan": {"kind": "hexagon"}}, "refused", ["/pan/kind"]),
        ({"bread": {"kind": "hearsay"}}, "refused", ["/bread/kind"]),
    ],
    ids=lambda value: str(value)[:20],
)
def test_values_the_service_refuses_are_reported_to_the_host(page, put_page, values, kind, texts):
    opened(page, put_page(attribute(formula=tin_loaf(), **values)))
    expect(page.locator(".panel .fault p").first).to_be_visible()
    problem = last(page, "problem")
    assert problem["kind"] == kind and [error["pointer"] for error in problem["errors"]] == texts


def test_half_a_number_is_no_fault_yet(page, put_page):
    opened(page, put_page(attribute(formula=tin_loaf())))
    share = page.get_by_role("textbox", name="Flour to scald")
    # By timers of the page, which keep their order on a slow machine too.
    share.evaluate("""(input) => new Promise((done) => {
        const type = (text) => {
            input.value = text;
            input.dispatchEvent(new InputEvent("input", {bubbles: true, composed: true}));
        };
        type("-");
        setTimeout(() => done(type("30")), 300);
    })""")
    wait(page)
    page.wait_for_timeout(800)
    assert reported(page, "problem") == [] and last(page)["scalded_share_percent"] == pytest.approx(30)


def test_in_german_with_a_decimal_comma(page, put_page):
    opened(page, put_page(attribute(formula=tin_loaf(), lang="de-AT")))
    fill(page, "Zu brühendes Mehl", "32,5")
    wait(page)
    assert last(page)["scalded_share_percent"] == pytest.approx(32.5)
    expect(page.locator(PANEL)).to_have_attribute("lang", "de")
    set_attribute(page, "lang", "en")
    expect(page.get_by_role("textbox", name="Flour to scald")).to_be_visible()


def test_without_any_formula_it_says_which_loaf_it_shows(page, api, put_page):
    opened(page, put_page())
    expect(page.locator(PANEL)).to_contain_text("No recipe was given, so this is the Lantern Quay tin loaf.")
    assert last(page)["formula"]["name"] == "Lantern Quay tin loaf"


# The page's recipe


def test_it_fills_itself_from_the_recipe_of_the_page(page, api, put_page):
    opened(page, put_page(recipes=[{"@graph": [{"@type": "WebPage"}, RECIPE]}]))
    read = api("recipe-import", recipe=RECIPE)
    assert last(page, "reading")["lines"] == read["lines"]
    expect(page.get_by_role("heading", name="Breakwater loaf")).to_be_visible()
    summary = page.locator("summary", has_text="How we read this recipe")
    expect(summary).to_contain_text("8 lines read.")
    expect(page.get_by_role("table", name="Line by line")).not_to_be_visible()
    summary.click()
    expect(page.get_by_role("table", name="Line by line").locator("tbody tr:not(.group)")).to_have_count(8)
    whole = api("breakdown", formula=read["formula"])
    assert last(page)["scalded_share_percent"] == pytest.approx(whole["scalded_share_percent"])
    assert [line["ingredient"] for line in last(page)["formula"]["lines"]] == [
        line["ingredient"] for line in read["formula"]["lines"]
    ]


def test_unread_lines_are_shown_at_once(page, put_page):
    lines = [*PLAIN["recipeIngredient"], "a handful of harbour herbs", "2 cups flour"]
    opened(page, put_page(recipes=[{**PLAIN, "recipeIngredient": lines}]))
    lines = page.get_by_role("table", name="Line by line")
    expect(lines).to_be_visible()
    for line in last(page, "reading")["lines"]:
        shown = lines.locator("tr").filter(has=page.get_by_text(line["text"], exact=True))
        expect(shown).to_have_count(1)
        if line["sure"] != "sure":
            expect(shown.locator(".why")).to_contain_text(re.compile(r": .+\.$"))  # and why
    expect(lines.locator("tr", has_text="harbour herbs")).to_contain_text("Not read")


def test_a_recipe_without_flour_gives_no_answer(page, put_page):
    opened(page, put_page(recipes=[{**PLAIN, "recipeIngredient": ["200 g butter", "3 eggs"]}]))
    expect(page.locator(PANEL)).to_contain_text("We couldn’t find any flour")
    assert reported(page, "answer") == [] and reported(page, "reading")[-1]["formula"] is None


def test_one_of_several_recipes_is_chosen(page, put_page):
    opened(page, put_page(recipes=[RECIPE, PLAIN]))
    which = page.get_by_label("Recipe", exact=True)
    assert which.locator("option").all_inner_texts() == ["Breakwater loaf", "Plain loaf"]
    which.focus()
    page.keyboard.press("ArrowDown")
    expect(page.get_by_role("heading", name="Plain loaf")).to_be_visible()
    wait(page)
    assert last(page)["formula"]["name"] == "Plain loaf" and last(page)["scalded_share_percent"] == 0
    expect(which).to_be_focused()


def test_a_recipe_put_on_the_page_later(page, put_page):
    opened(page, put_page(policy=""))
    page.evaluate(
        """(recipe) => {
        const script = document.createElement("script");
        script.type = "application/ld+json";
        script.append(recipe);
        document.head.append(script);
    }""",
        json.dumps(PLAIN),
    )
    set_attribute(page, "formula", "page")
    expect(page.get_by_role("heading", name="Plain loaf")).to_be_visible()


def test_readers_comments_stay_on_the_page(page, put_page):
    sent = []
    page.on("request", lambda request: sent.append(request.post_data or ""))
    said = {"comment": [{"text": "barnacle"}], "review": {"reviewBody": "barnacle"}}
    opened(page, put_page(recipes=[{**RECIPE, **said}]))
    assert any("Breakwater" in each for each in sent) and not any("barnacle" in each for each in sent)


@pytest.mark.parametrize(
    ("recipe", "words"),
    [
        ('{"@type": "Recipe", "name": ', "not valid JSON"),
        ({**PLAIN, "description": "x" * 70_000}, "too long"),
    ],
    ids=["broken", "long"],
)
def test_recipe_data_that_cannot_be_used(page, put_page, recipe, words):
    opened(page, put_page(recipes=[recipe]))
    expect(page.locator(f"{PANEL} > .fault")).to_contain_text(words)
    assert reported(page, "answer") == []


def test_attributes_settle_what_recipes_leave_open(page, put_page):
    cups = {**PLAIN, "recipeIngredient": ["3 cups flour", "1 cup milk", "1 tsp salt", "1 tsp yeast"]}
    reading = {"cup": "metric", "flour": "bread_flour", "yeast": "active_dry"}
    opened(page, put_page(attribute(reading=reading), [cups]))
    lines = last(page, "reading")["lines"]
    assert lines[0]["ingredient"] == "bread_flour" and lines[3]["ingredient"] == "active_dry_yeast"


def test_a_reader_decides_what_the_recipe_leaves_open(page, put_page):
    """One decision for all lines of a kind; the share stays, and the event has what to say from then on."""
    lines = ["3 cups flour", "1 cup milk", "1 tsp salt", "2 tsp instant yeast", "90 g sugar"]
    opened(page, put_page(recipes=[{**PLAIN, "recipeIngredient": lines}]))
    page.locator("summary", has_text="How we read this recipe").click()
    fill(page, "Flour to scald", "25")
    wait(page)
    cup = page.get_by_label("“3 cups flour” is").and_(page.locator("[data-decision=cup]"))
    before = last(page, "reading")
    assert before["reading"] == {} and before["lines"][0]["mass"]["best"] < 400
    cup.focus()
    page.keyboard.press("ArrowDown")
    page.wait_for_function("() => reported.filter(([what]) => what === 'reading').length > 1")
    wait(page)
    after = last(page, "reading")
    assert after["reading"] == {"cup": "metric"}
    assert after["lines"][0]["mass"]["best"] > before["lines"][0]["mass"]["best"]
    assert last(page)["formula"]["lines"] and last(page)["scalded_share_percent"] == pytest.approx(25)
    expect(cup).to_be_focused()
    expect(cup).to_have_value("metric")
    expect(page.get_by_role("table", name="Line by line")).to_be_visible()


def test_what_a_reader_decided_is_for_that_recipe_only(page, put_page):
    cups = {**PLAIN, "recipeIngredient": ["3 cups flour", "1 cup milk", "1 tsp salt", "1 tsp instant yeast"]}
    opened(
        page, put_page(attribute(reading={"flour": "bread_flour"}), recipes=[cups, {**cups, "name": "Other"}])
    )
    page.locator("summary", has_text="How we read this recipe").click()
    page.locator("[data-decision=cup]").select_option("metric")
    page.wait_for_function("() => reported.filter(([what]) => what === 'reading').length > 1")
    assert last(page, "reading")["reading"] == {"flour": "bread_flour", "cup": "metric"}
    page.get_by_label("Recipe", exact=True).select_option("2")
    expect(page.get_by_role("heading", name="Other")).to_be_visible()
    wait(page)
    assert last(page, "reading")["reading"] == {"flour": "bread_flour"}


CRUSTED = [*PLAIN["recipeIngredient"], "30 g butter", "50 g butter", "40 g sugar", "50 g strong white flour"]


def test_a_reader_has_the_last_word_on_a_line(page, put_page):
    """Also where the host has said something of it, and the host's word on other lines stays."""
    recipes = [{**PLAIN, "recipeIngredient": CRUSTED}]
    opened(page, put_page(attribute(reading={"dough_lines": [7], "aside_lines": [5]}), recipes=recipes))

    def parts():
        return [line["part"] for line in last(page, "reading")["lines"][4:8]]

    def press(name, count):
        page.locator(".left-out, .all-lines").get_by_role("button", name=name, exact=True).first.click()
        page.wait_for_function(f"() => reported.filter(([what]) => what === 'reading').length === {count}")
        wait(page)

    assert parts() == ["aside", "aside", "dough", "aside"]
    press("Add to dough: 30 g butter", 2)
    assert parts() == ["dough", "aside", "dough", "aside"]
    assert last(page, "reading")["reading"] == {"dough_lines": [7, 5], "aside_lines": []}
    press("Leave out: 40 g sugar", 3)
    assert parts() == ["dough", "aside", "aside", "aside"]
    assert last(page, "reading")["reading"] == {"dough_lines": [5], "aside_lines": [7]}


def test_a_formula_held_by_an_element_of_the_page(page, put_page):
    holder = f'<script type="application/json" id="loaf">{json.dumps(tin_loaf())}</script>'
    opened(page, put_page(attribute(formula="#loaf"), [PLAIN], more=holder))
    assert last(page)["formula"]["name"] == "Lantern Quay tin loaf"


# On another party's page


def test_the_hosts_style_does_not_get_in(page, put_page):
    style = """<style>html { font-size: 62.5% }
        body { text-transform: uppercase; letter-spacing: .3em; color: red; --paper: lime }
        p, td, button, input { display: none !important; color: red !important }
        h2 { font: 80px serif }</style>"""
    opened(page, put_page(attribute(formula=tin_loaf()), head=style, policy=""))
    style_of = """(node) => { const s = getComputedStyle(node);
        return [s.textTransform, s.letterSpacing, s.color, s.display, s.fontSize]; }"""
    verdict = page.locator(".panel .verdict").evaluate(style_of)
    assert verdict[:4] == ["none", "normal", "rgb(42, 32, 24)", "block"]
    share = page.get_by_role("textbox", name="Flour to scald")
    assert share.bounding_box()["height"] >= 44
    assert page.locator(PANEL).evaluate(style_of)[4] == "16px"
    assert background(page) == PAPER


def test_one_look_for_hosts_that_have_only_one(open_page, put_page):
    page = open_page(390, 844, color_scheme="dark")
    opened(page, put_page(attribute(formula=tin_loaf())))
    dark = background(page)
    set_attribute(page, "look", "light")
    expect(page.locator(PANEL)).to_have_css("background-color", PAPER)
    set_attribute(page, "look", "dark")
    expect(page.locator(PANEL)).to_have_css("background-color", dark)
    assert dark != PAPER


def test_without_its_style_it_still_works(page, watch, put_page):
    watch.expect("Failed to load resource")
    page.route("**/*.css", lambda route: route.abort())
    opened(page, put_page(attribute(formula=tin_loaf(), share="30")))
    expect(page.get_by_role("textbox", name="Flour to scald")).to_be_visible()


def test_two_panels_are_independent(page, put_page):
    more = f"<scaldloaf-panel {attribute(formula=tin_loaf(), share='40')}></scaldloaf-panel>"
    page.goto(put_page(attribute(formula=tin_loaf(), share="30"), more=more))
    expect(page.locator(f"{PANEL}[data-state=settled]")).to_have_count(2)
    page.locator("scaldloaf-panel").nth(1).get_by_role("textbox", name="Flour to scald").fill("25")
    expect(page.locator(f"{PANEL}[data-state=settled]")).to_have_count(2)
    shares = [
        panel.get_by_role("textbox", name="Flour to scald").input_value()
        for panel in page.locator("scaldloaf-panel").all()
    ]
    assert shares == ["40", "25"]


def test_a_removed_panel_sends_no_requests(page, put_page):
    opened(page, put_page(attribute(formula=tin_loaf())))
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.evaluate("""() => { window.kept = document.querySelector("scaldloaf-panel"); kept.remove();
        kept.setAttribute("share", "30"); dispatchEvent(new Event("online")); }""")
    page.wait_for_timeout(400)
    assert asked == []
    page.evaluate("document.querySelector('main').append(kept)")
    wait(page)
    assert last(page)["scalded_share_percent"] == pytest.approx(30)


def test_without_the_service_it_says_so_and_comes_back(page, watch, put_page):
    watch.expect("Failed to load resource")
    opened(page, put_page(attribute(formula=tin_loaf())))
    page.route("**/v1/**", lambda route: route.abort())
    fill(page, "Flour to scald", "30")
    expect(page.locator(PANEL)).to_contain_text("You’re offline.")
    expect(answer(page, FILLS)).to_contain_text("Not up to date")
    expect(answer(page, WEIGH)).to_contain_text(
        "Not up to date. We need a connection to work out these weights."
    )
    expect(answer(page, WEIGH).locator("td")).to_have_count(0)
    assert last(page, "problem")["kind"] == "unreachable"
    page.unroute("**/v1/**")
    wait(page)
    assert last(page)["scalded_share_percent"] == pytest.approx(30)
    expect(page.locator(PANEL)).not_to_contain_text("offline")


def test_unreachable_from_the_start(page, watch, put_page):
    watch.expect("Failed to load resource")
    page.route("**/v1/**", lambda route: route.abort())
    page.goto(put_page(attribute(formula=tin_loaf())))
    expect(page.locator(PANEL)).to_contain_text("You’re offline.")
    page.unroute("**/v1/**")
    wait(page)
    assert last(page)["formula"]["name"] == "Lantern Quay tin loaf"


def test_another_service_can_be_named(page, put_page, service):
    other = service.url.replace("127.0.0.1", "localhost")
    opened(page, put_page(attribute(formula=tin_loaf(), service=other), policy=""))
    assert last(page)["plan"].startswith(f"{other}/#plan=")


# In a frame


def framed(host: Host, service, fragment: str = "", script: str = "") -> str:
    host.put(
        "/frame.js",
        f"""window.heard = [];
addEventListener("message", (event) => heard.push({{origin: event.origin, data: event.data}}));
{script}""",
        media="text/javascript",
    )
    policy = f"default-src 'none'; frame-src {service.url}; script-src {host.url}"
    frame = f'<iframe title="Panel" width="360" height="400" src="{service.url}/embed{fragment}"></iframe>'
    return host.put(
        "/framed",
        f"""<!doctype html><html lang="en"><head><meta charset="utf-8">
<title>Framed</title><script src="/frame.js"></script></head>
<body><h1>Framed</h1>{frame}</body></html>""",
        policy,
    )


def test_the_frame_reports_its_height_and_nothing_else(page, host, service):
    page.goto(framed(host, service, "#share=35&pan=lidded_one_loaf"))
    frame = page.frame_locator("iframe")
    frame.locator(f"{PANEL}[data-state=settled]").wait_for()
    page.wait_for_function("() => heard.length")
    frame.get_by_role("textbox", name="Flour to scald").fill("25")
    frame.locator("summary", has_text="How we worked this out").first.click()
    expect(frame.locator(".steps")).to_be_visible()
    frame.locator(f"{PANEL}[data-state=settled]").wait_for()

    def heights() -> tuple[int, int]:
        """As it is now, and as it was reported last."""
        return (
            page.frames[1].evaluate("""() =>
            Math.ceil(document.querySelector("scaldloaf-panel").getBoundingClientRect().height)"""),
            page.evaluate("heard.at(-1).data.height"),
        )

    for _ in range(PATIENCE_MS // 100):
        height, reported = heights()  # a sentence that comes late may fall between the two
        if height == reported:
            break
        page.wait_for_timeout(100)
    assert height == reported > 1000
    heard = page.evaluate("heard")
    assert all(set(each["data"]) == {"type", "height"} for each in heard)
    assert {each["data"]["type"] for each in heard} == {"scaldloaf-height"}
    assert all(isinstance(each["data"]["height"], int) for each in heard)


def test_the_frame_takes_start_values_and_new_ones(page, host, service, api):
    page.goto(framed(host, service, "?share=20&pans=2&service=http://127.0.0.1:9#share=35"))
    frame = page.frame_locator("iframe")
    frame.locator(f"{PANEL}[data-state=settled]").wait_for()
    share = frame.get_by_role("textbox", name="Flour to scald")
    expect(share).to_have_value("35")  # the fragment comes before the query
    expect(frame.get_by_role("textbox", name="Number of tins")).to_have_value("2")
    page.locator("iframe").evaluate("frame => { frame.src = frame.src.replace('#share=35', '#share=31'); }")
    expect(share).to_have_value("31")
    frame.locator(f"{PANEL}[data-state=settled]").wait_for()
    filled = api(
        "pan-fill", pan=ONE_LOAF, lid=True, bread={"kind": "prior"}, scalded_share_percent=31, pans=2
    )
    shown = frame.locator("dl > div", has_text="Dough for all tins").locator("data").get_attribute("value")
    assert float(shown) == pytest.approx(filled["total_dough_mass"]["best"])


def test_the_link_from_the_frame_to_the_full_page(page, host, service):
    page.goto(framed(host, service, "#share=35&pans=3"))
    frame = page.frame_locator("iframe")
    frame.locator(f"{PANEL}[data-state=settled]").wait_for()
    with page.context.expect_page() as fresh:
        frame.get_by_role("link", name=re.compile("^Open in Scaldloaf")).click()
    full = fresh.value
    settle(full)
    assert full.url == f"{service.url}/" and full.evaluate("origin") == service.url
    expect(full.get_by_role("textbox", name="Flour to scald")).to_have_value("35")
    expect(full.get_by_role("textbox", name="Number of tins", exact=True)).to_have_value("3")


def test_only_the_panel_may_stand_in_a_frame(session, service):
    paths = [path for path in session.get(f"{service.url}/files.json").json() if path.endswith(".html")]
    assert "index.html" in paths and "embed.html" in paths
    for path in ["", "docs", "problems", *paths, "v1/units", "openapi.json"]:
        policy = session.get(f"{service.url}/{path}").headers["Content-Security-Policy"]
        assert "frame-ancestors 'none'" in policy, path
    policy = session.get(f"{service.url}/embed").headers["Content-Security-Policy"]
    assert "frame-ancestors *" in policy and "unsafe" not in policy
    sandbox = policy.split("sandbox ")[1].split(";")[0].split()
    assert "allow-scripts" in sandbox and "allow-same-origin" not in sandbox


# A hostile host

SECRET = "Siren loaf of the last night shift"
ATTACK = """
window.loot = [];
const tries = {
  storage: (other) => JSON.stringify(other.localStorage), document: (other) => other.document.body.innerHTML,
  global: (other) => String(other.scaldloaf), address: (other) => other.location.href,
  frames: (other) => other.frames[0].document,
};
window.rob = (other) => {
  for (const [name, take] of Object.entries(tries)) {
    try { loot.push([name, take(other)]); } catch (error) { loot.push([name, error.name]); }
  }
  for (const type of ["scaldloaf-height", "scaldloaf-answer", "notebook", "work", "storage", "get"]) {
    for (const data of [type, { type }, { type, key: "scaldloaf.work" }, JSON.stringify({ type })]) {
      other.postMessage(data, "*");
    }
  }
};
"""


@pytest.fixture
def robbed(page, service):
    """A reader who has a bread of their own on the full page."""
    open_bench(page)
    fill(page, "Bread name", SECRET)
    page.get_by_role("button", name="Save this bread").click()
    settle(page)
    kept = page.evaluate("JSON.stringify(localStorage)")
    assert kept.count(SECRET) >= 2, "in the recipe and in the notebook"
    return page


def test_a_hostile_host_gets_nothing_through_the_frame(robbed, watch, host, service):
    page = robbed
    page.goto(framed(host, service, script=ATTACK))
    frame = page.frame_locator("iframe")
    frame.locator(f"{PANEL}[data-state=settled]").wait_for()
    page.evaluate("rob(document.querySelector('iframe').contentWindow)")
    page.wait_for_function("() => heard.length > 0")
    page.wait_for_timeout(500)
    assert {name: error for name, error in page.evaluate("loot")} == dict.fromkeys(
        ["storage", "document", "global", "address", "frames"], "SecurityError"
    )
    heard = page.evaluate("heard")
    assert heard and all(set(each["data"]) == {"type", "height"} for each in heard)
    assert SECRET not in json.dumps(heard)
    # Even the frame itself can't: it has no origin, so a fault in it could leak nothing.
    inside = page.frames[1]
    assert inside.evaluate("""() => ["localStorage", "sessionStorage"].map((name) => {
        try { return String(window[name].length); } catch (error) { return error.name; }
    })""") == ["SecurityError", "SecurityError"]
    assert inside.evaluate("origin") == "null"
    assert SECRET not in inside.content()


def test_a_hostile_host_gets_nothing_through_the_element(robbed, put_page, service):
    page = robbed
    opened(page, put_page(attribute(formula=tin_loaf())))
    loot = page.evaluate("""() => {
        const panel = document.querySelector("scaldloaf-panel");
        return [panel.shadowRoot.textContent, JSON.stringify([localStorage, reported, panel])];
    }""")
    assert SECRET not in "".join(loot)
    page.goto(f"{service.url}/")
    settle(page)
    assert SECRET in page.evaluate("JSON.stringify(localStorage)"), "it was there all the time"


def test_a_hostile_host_gets_nothing_from_the_full_page(robbed, watch, host, service):
    watch.expect("frame-ancestors|X-Frame-Options|Refused to frame|Framing")
    page = robbed
    page.goto(
        host.put(
            "/thief",
            f"""<!doctype html><title>Thief</title><script>window.heard = [];
        addEventListener("message", (event) => heard.push(event.data));{ATTACK}</script>
        <iframe src="{service.url}/"></iframe>""",
        )
    )
    page.wait_for_timeout(300)
    assert SECRET not in (page.frames[1].content() if len(page.frames) > 1 else "")
    with page.context.expect_page() as fresh:
        page.evaluate("to => { window.mark = open(to); }", f"{service.url}/")
    settle(fresh.value)
    assert SECRET in fresh.value.evaluate("JSON.stringify(localStorage)")
    # By its opener policy it is out of reach: to who opened it, its window is closed, with nothing in it.
    assert page.evaluate("mark.closed") and not fresh.value.evaluate("opener")
    page.evaluate("rob(mark)")
    page.wait_for_timeout(500)
    assert page.evaluate("heard") == []
    assert {error for _, error in page.evaluate("loot")} <= {"SecurityError", "TypeError"}


@pytest.mark.parametrize("address", ["/embed", "/demo/tin-loaf.html"])
def test_no_script_of_the_panel_knows_the_browsers_stores(page, address):
    scripts = {}
    page.on(
        "response",
        lambda response: scripts.update({response.url: response}) if response.url.endswith(".js") else None,
    )
    opened(page, address)
    assert sum(len(re.findall(r"=\(\(\)=>\{", each.text())) for each in scripts.values()) > 20  # modules
    for url, response in scripts.items():
        assert not re.search(
            r"localStorage|sessionStorage|indexedDB|document\.cookie|caches\b|serviceWorker", response.text()
        ), url


# For everyone, and small


def read_open(page):
    page.locator("summary", has_text="How we read this recipe").click()
    for summary in page.locator("summary", has_text="How we worked this out").all():
        summary.click()
    page.locator("summary", has_text="Tin size and units").click()


def refused(page):
    page.locator("summary", has_text="Tin size and units").click()
    fill(page, "Depth", "deep")
    expect(page.locator(".panel .fault p")).to_have_count(1)
    fill(page, "Flour to scald", "90")
    expect(page.locator(".panel .fault p")).to_have_count(2)


def as_it_comes(page):
    pass


@pytest.mark.parametrize("state", [as_it_comes, read_open, refused], ids=lambda state: state.__name__)
def test_axe_finds_nothing(open_page, state):
    page = opened(open_page(390, 844, color_scheme="light"), "/demo/tin-loaf.html")
    state(page)
    assert findings_in_both_looks(page) == []


@pytest.mark.parametrize("address", ["/embed#share=35", "/embed#formula={broken", "/demo/tin-loaf.html"])
def test_axe_finds_nothing_on_other_pages(wide_page, address):
    # The frame's sandbox blocks new styles, even those that axe-core adds.
    assert findings(opened(wide_page, address), preload="embed" not in address) == []


def test_axe_finds_nothing_around_the_frame(wide_page):
    wide_page.goto("/demo/frame.html")
    wide_page.frame_locator("iframe").locator(f"{PANEL}[data-state=settled]").wait_for()
    assert (
        findings(wide_page, iframes=False) == []
    )  # what is in the frame is read where it is opened by itself


@pytest.mark.at_length
@pytest.mark.parametrize("state", [as_it_comes, read_open, refused], ids=lambda state: state.__name__)
@pytest.mark.parametrize("address", ["/demo/tin-loaf.html", "/embed", "/embed#lang=de&pan=lidded_long"])
def test_320_pixels(open_page, state, address):
    page = opened(open_page(320, 640, has_touch=True), address)
    if state is refused and "lang=de" not in address:
        refused(page)
    elif state is read_open:
        page.locator("scaldloaf-panel").evaluate("""(host) => {
            for (const fold of host.shadowRoot.querySelectorAll("details")) fold.open = true; }""")
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    small = page.locator("scaldloaf-panel").evaluate("""(host) =>
        [...host.shadowRoot.querySelectorAll("input, select, button, summary, a")]
        .filter((node) => node.checkVisibility())
        .map((node) => [node.outerHTML.slice(0, 60), node.getBoundingClientRect()])
        .filter(([, box]) => box.height < 43.9 && box.width)
        .map(([text, box]) => `${text} ${box.width}x${box.height}`)""")
    assert small == []


def test_keyboard_only(wide_page):
    page = opened(wide_page, "/demo/tin-loaf.html")
    page.evaluate(LISTEN)
    focused = """() => {
        const node = document.querySelector("scaldloaf-panel").shadowRoot.activeElement;
        return node?.getAttribute("aria-label") ?? node?.labels?.[0]?.textContent ?? node?.textContent ?? "";
    }"""

    def tab_to(name: str) -> None:
        for _ in range(40):
            page.keyboard.press("Tab")
            if re.fullmatch(name, page.evaluate(focused)):
                # A field shows it around its whole entry, the unit included.
                assert "solid" in page.evaluate("""() => {
                    const node = document.querySelector("scaldloaf-panel").shadowRoot.activeElement;
                    return [node, node.closest(".entry")]
                        .map((each) => each && getComputedStyle(each).outlineStyle);
                }""")
                return
        raise AssertionError(f"Tab does not come to {name}")

    tab_to("How we read this recipe.*")
    page.keyboard.press("Enter")
    expect(page.get_by_role("table", name="Line by line")).to_be_visible()
    tab_to("Flour to scald")
    page.keyboard.type("33")
    wait(page)
    tab_to("Flour to scald")  # the slider of the same name
    page.keyboard.press("ArrowRight")
    wait(page)
    assert last(page)["scalded_share_percent"] == pytest.approx(34)
    tab_to("Tin")
    page.keyboard.press("ArrowDown")
    wait(page)
    tab_to("Tin size and units.*")
    page.keyboard.press("Enter")
    tab_to("Depth")
    page.keyboard.type("8")
    wait(page)
    dough = last(page)["dough_mass"]["best"]
    assert best(answer(page, FILLS), "Dough per tin") == pytest.approx(dough)
    tab_to("How we worked this out")
    page.keyboard.press("Enter")
    expect(answer(page, WEIGH).locator(".steps")).to_be_visible()
    tab_to("Hydration .*")
    page.keyboard.press("Enter")
    expect(page.locator(".panel-more .verdict")).to_be_hidden()
    page.keyboard.press("Enter")
    expect(answer(page, NEW).locator(".verdict")).to_be_visible()


def test_nothing_moves_with_reduced_motion(open_page):
    page = opened(open_page(390, 844, reduced_motion="reduce"), "/demo/tin-loaf.html")
    moving = page.locator("scaldloaf-panel").evaluate("""(host) =>
        [...host.shadowRoot.querySelectorAll("*")].map((node) => getComputedStyle(node)).filter((style) =>
            style.transitionDuration.split(",").some((each) => parseFloat(each) > 0)
            || style.animationName !== "none").length""")
    assert moving == 0


def test_its_weight(page, put_page):
    """Scripts, styles and tables, in their compressed sizes."""
    finished = []
    page.on("requestfinished", lambda request: finished.append(request))
    opened(page, put_page(attribute(formula=tin_loaf())))
    page.wait_for_timeout(300)
    assets = [
        request
        for request in finished
        if request.method == "GET" and "/recipe" not in request.url and "/listen.js" not in request.url
    ]
    sizes = {request.url: request.sizes()["responseBodySize"] for request in assets}
    assert 10_000 < sum(sizes.values()) < MOST_BYTES, sizes


def test_labels_are_those_of_the_catalogue(session, service):
    labels = session.get(f"{service.url}/v1/labels").json()["ingredients"]
    catalogue = session.get(f"{service.url}/v1/ingredients").json()["ingredients"]
    assert labels == [{field: each[field] for field in labels[0]} for each in catalogue]
    assert {"name", "label"} <= set(labels[0])


# As in the README and the demonstration


def snippets(service) -> list[str]:
    section = (ROOT / "README.md").read_text().split("## Embed it")[1].split("\n## ")[0]
    return [
        block.replace("http://127.0.0.1:8000", service.url)
        for block in re.findall(r"```html\n(.*?)```", section, re.DOTALL)
    ]


def test_the_element_as_printed(page, host, service, api):
    element = snippets(service)[0]
    recipe = f'<script type="application/ld+json">{json.dumps(RECIPE)}</script>'
    listen = f"<script>{LISTEN}</script>"
    opened(page, host.put("/printed", f"<!doctype html><title>Printed</title>{listen}{recipe}{element}"))
    expected = api(
        "pan-fill", pan=ONE_LOAF, lid=True, bread={"kind": "prior"}, scalded_share_percent=35, pans=2
    )
    assert last(page)["total_dough_mass"] == expected["total_dough_mass"]
    assert last(page)["formula"]["name"] == "Breakwater loaf"


def test_the_frame_as_printed(page, host, service):
    page.goto(host.put("/printed", f"<!doctype html><title>Printed</title>{snippets(service)[1]}"))
    frame = page.frame_locator("iframe")
    frame.locator(f"{PANEL}[data-state=settled]").wait_for()
    expect(frame.get_by_role("textbox", name="Flour to scald")).to_have_value("35")
    page.wait_for_function("""() => document.querySelector("iframe").height > 1000""")


def test_every_attribute_and_event_is_in_the_readme():
    said = (ROOT / "README.md").read_text().split("## Embed it")[1].split("\n## ")[0]
    values = (ROOT / "web/panel/start-values.js").read_text()
    names = [
        name
        for line in re.findall(r"^export const [A-Z]+ = \[(.*)\];", values, re.MULTILINE)
        for name in re.findall(r'"([a-z-]+)"', line)
    ]
    scripts = "".join((ROOT / "web" / path).read_text() for path in ("panel.js", "panel/panel.js"))
    sent = set(re.findall(r'(?:tell|#tell)\("([a-z]+)"', scripts))
    assert {"formula", "share", "service"} < set(names) and sent == {"answer", "problem", "reading", "height"}
    assert [name for name in names if f"`{name}`" not in said] == []
    assert [name for name in sent if f"`scaldloaf-{name}`" not in said] == []


def test_the_demonstration_page_follows_its_panel(page):
    opened(page, "/demo/tin-loaf.html")
    expect(page.locator("#said")).to_contain_text("With 20 % scalded your tin takes about")
    fill(page, "Flour to scald", "35")
    expect(page.locator("#said")).to_contain_text("With 35 % scalded")


def test_the_demonstration_in_a_frame_is_as_tall_as_its_panel(wide_page):
    wide_page.goto("/demo/frame.html")
    frame = wide_page.frame_locator("iframe")
    frame.locator(f"{PANEL}[data-state=settled]").wait_for()
    expect(frame.get_by_role("heading", name="Harbour pan loaf")).to_be_visible()
    wide_page.wait_for_function("""() => Math.abs(document.querySelector("iframe").clientHeight
        - Number.parseFloat(document.querySelector("iframe").style.height)) < 1""")
    inner = wide_page.frames[1]
    assert inner.evaluate("document.documentElement.scrollHeight <= innerHeight + 1")
