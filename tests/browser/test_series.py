"""A series of bakes: a blind tasting, what a tin costs, how much sugar to use, how far to go."""

import json
import re

from playwright.sync_api import Locator, Page, expect

from browser.bench import (
    Service,
    enter,
    figures,
    fill,
    findings_in_both_looks,
    open_bench,
    row,
    settle,
    tin_loaf,
    use_units,
)

BOOK = "scaldloaf.notebook"
NO_PRINT = "window.print = () => { window.printed = (window.printed ?? 0) + 1; }"


def book(page: Page) -> dict:
    return json.loads(page.evaluate(f"localStorage.getItem('{BOOK}')"))


def test_a_tasting_is_planned_printed_and_counted(page, service):
    open_bench(page, folds=("log",))
    page.evaluate(NO_PRINT)
    fold = page.locator("details.tasting")
    fold.locator("> summary").click()
    for place, name in enumerate(("20 % scalded", "35 % scalded")):
        enter(fold.get_by_role("textbox", name="Bread", exact=True).nth(place), name)
    expect(fold.get_by_text("18 tasters", exact=True)).to_be_visible()
    draw = book(page)["tastings"][0]["draw"]
    plan = Service(service.url)(
        "tasting-plan",
        test="triangle",
        samples=["20 % scalded", "35 % scalded"],
        draw=draw,
        discriminators_percent=50,
    )
    expect(fold).to_contain_text(f"{plan['fewest_right']} right answers of {plan['tasters']}")
    assert fold.locator(".care").count() == 3

    # The sheets say nothing of the breads, and the key is another print.
    fold.get_by_role("button", name="Print the tasters' sheets").click()
    printed = page.locator("body > .printed")
    sheets = printed.locator("section").all_text_contents()
    assert len(sheets) == plan["tasters"] and "scalded" not in " ".join(sheets)
    for sheet, planned in zip(sheets, plan["sheets"], strict=True):
        assert "".join(str(each["code"]) for each in planned["servings"]) in sheet and "wheat" in sheet
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    expect(printed).to_have_count(0)
    fold.get_by_role("button", name="Print the key to the codes").click()
    first = printed.locator("tbody tr").first.locator("td").all_text_contents()
    assert first == [
        *(f"{each['code']} {each['sample']}" for each in plan["sheets"][0]["servings"]),
        str(plan["sheets"][0]["right"]),
    ]
    expect(printed.locator("section")).to_have_count(0)
    page.evaluate("dispatchEvent(new Event('afterprint'))")

    # A result is that of the entries beside it.
    enter(fold.get_by_label("Right answers"), "9")
    result = fold.locator(".tasting-result")
    expect(result).to_contain_text("No difference is shown.")
    expect(result).to_contain_text("0.11")
    enter(fold.get_by_label("Right answers"), "19")
    expect(result).to_contain_text("Only 18 people tasted")
    expect(result.locator(".verdict")).to_have_count(0)
    enter(fold.get_by_label("Right answers"), "13")
    expect(result).to_contain_text("A difference is shown.")
    # It keeps its tasters, whatever is planned after it; and nobody is said to tell less than guessing does.
    enter(fold.get_by_label("Difference not to miss"), "25")
    expect(fold.get_by_label("People who tasted")).to_have_value("18")
    expect(result).to_contain_text("13 of 18 were right")
    enter(fold.get_by_label("Right answers"), "1")
    expect(result).to_contain_text("1 of 18 were right, fewer than guessing")
    expect(result).not_to_contain_text("can really tell")
    enter(fold.get_by_label("Right answers"), "13")
    expect(result).to_contain_text("A difference is shown.")
    enter(fold.get_by_label("Difference not to miss"), "50")
    assert "\n".join(findings_in_both_looks(page, "#compare")) == ""
    page.reload()
    settle(page)
    page.wait_for_selector(".section-notebook", state="attached")
    expect(fold.get_by_text(f"Plan {draw}")).to_be_attached()
    assert book(page)["tastings"][0]["right"] == 13
    fold.evaluate("(node) => { node.open = true; node.closest('.fold').open = true; }")
    fold.get_by_label("Test", exact=True).select_option("duo_trio")
    expect(fold.locator(".tasting-result .verdict")).to_have_count(0)
    fold.get_by_role("button", name="Undo").click()
    expect(result).to_contain_text("A difference is shown.")


def test_a_tin_costs_what_its_ingredients_do(open_page, service):
    page = open_page(320, 800)
    open_bench(page, folds=())
    cost = page.locator("details.cost")
    expect(cost.locator("summary")).to_contain_text("add prices")
    cost.locator("summary").click()
    prices = {"Bread flour, white": ("bread_flour", 1.2), "Butter, unsalted": ("butter", 9)}
    for label, (_, price) in prices.items():
        enter(cost.get_by_label(label, exact=True), str(price))
    pan = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
    known = {"bread": {"kind": "prior"}, "scalded_share_percent": 20}
    planned = Service(service.url)("pan-fill", pan=pan, formula=tin_loaf(), **known)
    wanted = Service(service.url)(
        "scaling",
        formula=tin_loaf(),
        target={"kind": "pieces", "count": 1, "mass": planned["dough_mass"]["best"]},
        losses={"handling_percent": 2},
        prices=[{"ingredient": name, "price": price, "per": 1000} for name, price in prices.values()],
    )["cost"]
    expect(cost.locator("summary")).to_contain_text(f"{wanted['per_piece']:.2f} per tin, 6 without a price")
    expect(cost.locator(".missing")).to_contain_text("Water, Whole milk")
    use_units(page, "us")
    settle(page)
    expect(cost.locator("summary")).to_contain_text(f"{wanted['per_piece']:.2f} per tin")
    enter(cost.get_by_label("Butter, unsalted", exact=True), "-1")
    expect(cost).to_contain_text("Enter at least 0")
    expect(cost.locator("summary")).not_to_contain_text("per tin")
    enter(cost.get_by_label("Butter, unsalted", exact=True), "")
    expect(cost.locator("summary")).to_contain_text("7 without a price")
    assert [each["ingredient"] for each in book(page)["prices"]] == ["bread_flour"]
    assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_the_sugar_to_use(page):
    open_bench(page, folds=("sugar", "formula"))
    fill(page, "Flour to scald", "35")
    settle(page)
    sugar = page.locator(".section-sugar")
    sugar.get_by_text("How much sugar to use").click()
    least, same = sugar.locator(".solution").nth(0), sugar.locator(".solution").nth(1)
    expect(least.get_by_role("button")).to_have_text(re.compile(r"^Use 1\.\d"))
    same.get_by_role("button", name=re.compile("^Use 5")).click()
    weight = page.get_by_role("textbox", name="Weight of White sugar (sucrose)")
    expect(weight).to_have_value("26")
    expect(page.get_by_role("textbox", name="Weight of Salt")).to_have_value("9")
    settle(page)
    expect(same).to_contain_text("5.2")  # still as sweet as the recipe was, and not sweeter or less again
    expect(same.get_by_role("button")).to_be_hidden()
    sugar.get_by_role("button", name="Undo").click()
    expect(weight).to_have_value("30")


def test_the_recipe_is_published_as_it_is_weighed(page, service):
    open_bench(page, folds=("notebook",))
    fill(page, "Flour to scald", "35")
    settle(page)
    book = page.locator(".section-notebook")
    book.get_by_text("Publish this recipe").click()
    book.get_by_label("Write it as").select_option("json_ld")
    book.get_by_label("Oven temperature").fill("190")
    with page.expect_download() as download:
        book.get_by_role("button", name="Save as a file").click()
    recipe = json.loads(download.value.path().read_text("utf-8"))
    assert recipe["@type"] == "Recipe" and recipe["name"] == tin_loaf()["name"]
    card = page.locator(".weigh-card .ticks .what").all_text_contents()
    read = Service(service.url)("recipe-import", recipe=recipe)
    assert len(read["formula"]["lines"]) == len(card)
    shown = [
        float(each)
        for each in page.locator(".weigh-card .ticks data").evaluate_all(
            "(all) => all.map((each) => each.value)"
        )
    ]
    assert sorted(line["mass"] for line in read["formula"]["lines"]) == sorted(shown)
    enter(book.get_by_label("Oven temperature"), "9000")
    book.get_by_role("button", name="Save as a file").click()
    expect(book.get_by_label("Oven temperature")).to_have_attribute("aria-invalid", "true")


def reach_of(page: Page) -> tuple[Locator, Locator]:
    """The fold "How far can I go?", opened, and its answer."""
    fold = page.locator("details.reach")
    fold.locator("> summary").click()
    return fold, fold.get_by_role("group", name="The most flour to scald")


def test_how_far_the_share_can_go(page, service):
    open_bench(page, folds=("compare",))
    fold, found = reach_of(page)
    summary = fold.locator("> summary")
    expect(summary).to_contain_text("Up to 40 %. First limit: what is known about water")
    expect(row(found, "the tin")).to_contain_text("enter the most dough")
    enter(fold.get_by_label("Most dough the tin takes"), "460")
    enter(fold.get_by_label("Longest proof"), "80")
    expect(row(found, "the proof")).to_contain_text("log bakes with their proof time")
    expect(summary).to_contain_text("First limit: the tin")
    known = {"pan": {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}, "bread": {"kind": "prior"}}
    wanted = Service(service.url)("share-limit", formula=tin_loaf(), limits={"dough_mass": 460}, **known)
    share = int(wanted["scalded_share_percent"]["best"] * 2) / 2
    expect(summary).to_contain_text(f"Up to {share:g} %")
    assert figures(found, "the tin") == [share]
    assert "\n".join(findings_in_both_looks(page, "#compare")) == ""
    small = "(all) => all.filter((each) => each.checkVisibility() && each.offsetHeight < 44).length"
    assert fold.locator("button, summary, input").evaluate_all(small) == 0

    # What takes it further is used, and taken back.
    first = found.locator(".loosenings li").first
    expect(first).to_contain_text("483 g of dough in the tin: +11.5 points")
    first.get_by_role("button", name="Use: 483 g of dough in the tin").click()
    expect(fold.get_by_label("Most dough the tin takes")).to_have_value("483")
    expect(summary).not_to_contain_text(f"Up to {share:g} %.")
    fold.get_by_role("button", name="Undo").click()
    expect(fold.get_by_label("Most dough the tin takes")).to_have_value("460")
    found.get_by_role("button", name=f"Use {share:g} %").click()
    expect(page.get_by_role("textbox", name="Flour to scald", exact=True).first).to_have_value(f"{share:g}")
    expect(fold.locator(".said")).to_contain_text(f"Flour to scald is now {share:g} %")
    fold.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("textbox", name="Flour to scald", exact=True).first).to_have_value("20")
    use_units(page, "us")
    expect(found.locator(".loosenings li").first).to_contain_text("17.0 oz of dough in the tin: +11.5 points")


def test_how_far_is_taken_back_with_any_entry(page, watch):
    watch.expect("Failed to load resource|net::ERR")
    open_bench(page, folds=("compare", "fill"))
    fold, found = reach_of(page)
    verdict = found.locator(".verdict")
    expect(verdict).to_be_visible()
    page.route("**/v1/share-limit*", lambda route: route.abort())
    fill(page, "Loaf height", "95")
    expect(fold.locator("> summary .gist")).to_have_text("")
    expect(verdict).to_have_count(0)
    fill(page, "Loaf height", "100")
    page.unroute("**/v1/share-limit*")
    enter(fold.get_by_label("Most dough the tin takes"), "100")
    expect(fold).to_contain_text("At any share this tin takes")
    expect(verdict).to_have_count(0)
    fold.get_by_role("button", name=re.compile("^Use 4")).click()
    expect(verdict).to_be_visible()
    fold.locator("> summary").click()
    expect(fold.locator("> summary")).to_contain_text("Up to")
    enter(page.get_by_role("textbox", name="Flour to scald", exact=True).first, "21")
    expect(fold.locator("> summary .gist")).to_have_text("")  # closed, it asks nothing
