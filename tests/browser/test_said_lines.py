"""A line of a pasted recipe that is left out goes into the dough, and one of the dough is left out."""

import json
import re

import pytest
from playwright.sync_api import Locator, Page, expect

from browser.bench import answer, findings_in_both_looks, open_bench, settle, too_low, unfold

BUNS = """Harbour buns
300 g bread flour
180 g whole milk
30 g sugar
5 g salt
4 g instant yeast
30 g butter
50 g butter
40 g sugar
50 g bread flour
50 g egg, for brushing"""
BUTTER, WASH = "50 g butter", "50 g egg, for brushing"
READ = "What we read"


@pytest.fixture
def bench(open_page) -> Page:
    return open_bench(open_page(390, 844, has_touch=True), folds=())


def paste(page: Page, text: str) -> None:
    area = page.get_by_role("textbox", name="Ingredients", exact=True)
    if not area.is_visible():
        page.get_by_role("button", name="Paste my recipe").click()
    area.fill(text)


def put(page: Page) -> None:
    button = page.get_by_role("button", name="Use this recipe").first
    button.click()
    expect(button).to_be_hidden()
    settle(page)


def left_out(page: Page) -> Locator:
    return page.locator(".paste .left-out li")


def add(page: Page, line: str) -> Locator:
    """The button in the list of what is left out."""
    return page.locator(".left-out").get_by_role("button", name=f"Add to dough: {line}", exact=True)


def choice(page: Page, line: str) -> Locator:
    return page.get_by_label(f"“{line}” is", exact=True).and_(page.locator("[data-decision^='line/']"))


def open_lines(page: Page) -> Locator:
    page.locator(".paste summary", has_text="Show all lines").click()
    return page.get_by_role("table", name="Line by line")


def stored(page: Page) -> dict:
    (reading, *_) = json.loads(page.evaluate("localStorage.getItem('scaldloaf.readings')"))
    return reading


def masses(page: Page) -> list[tuple[str, str, float]]:
    work = json.loads(page.evaluate("localStorage.getItem('scaldloaf.work')"))
    return [(line["part"], line["ingredient"], line["amount"]) for line in work["formula"]["lines"]]


def test_a_line_that_is_left_out_goes_into_the_dough_by_key_and_is_remembered(bench):
    """On a phone: found where it is listed, pressed, seen, used, and there again after a reload."""
    paste(bench, BUNS)
    expect(left_out(bench)).to_have_count(4)
    assert too_low(bench.locator(".left-out button")) == []
    assert bench.evaluate("document.documentElement.scrollWidth") <= 390
    add(bench, BUTTER).focus()
    bench.keyboard.press("Enter")
    expect(left_out(bench)).to_have_count(3)
    expect(choice(bench, BUTTER)).to_have_value("dough")
    expect(choice(bench, BUTTER)).to_be_focused()
    add(bench, WASH).focus()
    bench.keyboard.press("Space")
    expect(left_out(bench)).to_have_count(2)
    assert stored(bench)["decided"] == {"line/8": "dough", "line/11": "dough"}
    put(bench)
    expected = [("dough", "butter", 30), ("dough", "butter", 50), ("dough", "whole_egg", 50)]
    assert [line for line in masses(bench) if line[1] in ("butter", "whole_egg")] == expected
    bench.reload()
    settle(bench)
    paste(bench, BUNS)
    expect(left_out(bench)).to_have_count(2)
    expect(choice(bench, BUTTER)).to_have_value("dough")
    expect(choice(bench, WASH)).to_have_value("dough")
    choice(bench, BUTTER).focus()
    choice(bench, BUTTER).select_option("")  # as the recipe says, again
    expect(left_out(bench)).to_have_count(3)
    expect(choice(bench, BUTTER)).to_be_focused()


def test_a_line_of_the_dough_is_left_out_and_the_list_stays_open(bench):
    paste(bench, BUNS)
    table = open_lines(bench)
    assert bench.evaluate("document.documentElement.scrollWidth") <= 390
    table.get_by_role("button", name="Leave out: 30 g butter", exact=True).click()
    expect(left_out(bench)).to_have_count(5)
    expect(table).to_be_visible()
    expect(table.get_by_role("button", name="Add to dough: 30 g butter", exact=True)).to_be_focused()
    assert too_low(table.get_by_role("button")) == []
    table.get_by_role("button", name="Leave out: 30 g sugar", exact=True).click()
    expect(left_out(bench)).to_have_count(6)
    add(bench, "30 g sugar").click()  # a slip: back again
    expect(left_out(bench)).to_have_count(5)
    expect(choice(bench, "30 g sugar")).to_have_value("dough")
    put(bench)
    assert [line[1:] for line in masses(bench) if line[1] in ("butter", "sucrose")] == [("sucrose", 30)]


def test_what_is_sent_is_what_the_service_documents(bench):
    sent = []
    bench.on("request", lambda request: request.url.endswith("/recipe-import") and sent.append(request))
    paste(bench, BUNS)
    add(bench, BUTTER).click()
    expect(choice(bench, BUTTER)).to_have_value("dough")
    choice(bench, BUTTER).select_option("aside")
    expect(left_out(bench)).to_have_count(4)
    bodies = [json.loads(each.post_data) for each in sent]
    assert bodies[-2]["dough_lines"] == [8] and "aside_lines" not in bodies[-2]
    assert bodies[-1]["aside_lines"] == [8] and "dough_lines" not in bodies[-1]


SCALDED = """300 g bread flour
180 g whole milk
5 g salt
4 g instant yeast
Method
Cook 20 g of the flour with 100 g of the milk in a pan to a tangzhong.
Knead everything for 10 minutes, proof, and bake."""


def test_a_line_said_to_be_elsewhere_is_not_said_to_be_in_the_scald_too(bench):
    """The place of the scald's lines is asked; one of them by itself is left out: no refusal comes of it."""
    paste(bench, SCALDED)
    place = bench.locator("[data-decision=place]")
    place.select_option("scald")
    table = open_lines(bench)
    table.get_by_role("button", name="Leave out: 180 g whole milk", exact=True).first.click()
    expect(left_out(bench)).to_have_text([re.compile("^180 g whole milk")])
    expect(bench.locator(".fault p")).to_have_count(0)
    place.select_option("dough")
    expect(answer(bench, READ).get_by_text("In the scald:")).to_have_count(0)
    expect(left_out(bench)).to_have_count(1)


def test_the_same_recipe_behind_a_blank_line_is_asked_anew(bench):
    """Its lines have other numbers, so nothing that was said of a number may count."""
    paste(bench, BUNS)
    add(bench, BUTTER).click()
    expect(left_out(bench)).to_have_count(3)
    paste(bench, f"\n{BUNS}")
    expect(left_out(bench)).to_have_count(4)
    paste(bench, f"{BUNS}\n")
    expect(left_out(bench)).to_have_count(3)


def test_the_line_goes_with_the_bread_into_a_link_and_the_notebook(open_page):
    page = open_page(390, 844)
    page.add_init_script("window.shared = []; navigator.share = async (what) => { shared.push(what); };")
    open_bench(page)
    paste(page, BUNS)
    add(page, BUTTER).click()
    expect(left_out(page)).to_have_count(3)
    put(page)
    before = masses(page)
    assert ("dough", "butter", 50) in before
    page.get_by_role("button", name="Share this bread").press("Enter")
    page.wait_for_function("() => shared.length > 0")
    there = open_page(390, 844)
    there.goto(page.evaluate("shared")[0]["url"])
    expect(there.get_by_text("opened.")).to_be_visible()
    there.wait_for_function("() => localStorage.getItem('scaldloaf.work')?.includes('whole_milk')")
    assert masses(there) == before
    page.get_by_role("button", name="Save this bread").press("Enter")
    page.get_by_role("textbox", name="Bread name").fill("Another")
    settle(page)
    page.reload()
    settle(page)
    unfold(page)
    page.get_by_role("button", name="Open Harbour buns").first.press("Enter")
    settle(page)
    assert masses(page) == before


def test_the_lists_are_for_everyone(bench):
    paste(bench, BUNS)
    open_lines(bench)
    add(bench, BUTTER).click()
    expect(choice(bench, BUTTER)).to_be_visible()
    assert findings_in_both_looks(bench, ".paste") == []


@pytest.mark.parametrize(
    "locale, button",
    [("de", "In den Hauptteig"), ("ja", "本生地に追加"), ("zh-CN", "加到主面团"), ("zh-TW", "加到主麵團")],
)
def test_in_the_languages_of_the_page_the_buttons_fit_a_phone(open_page, locale, button):
    page = open_bench(open_page(390, 844, locale=locale), folds=())
    page.locator(".row.recipe button.main").click()
    page.locator(".paste textarea").fill(BUNS)
    buttons = page.locator(".left-out button")
    expect(buttons).to_have_text([button] * 4)
    page.locator(".paste .all-lines summary").click()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert too_low(buttons) == []
