"""The documentation page shows every call and can send it. The fixtures fail on errors and other hosts."""

import json
from pathlib import Path

import pytest
from playwright.sync_api import expect

from browser.bench import findings_in_both_looks

SCREENSHOTS = Path(__file__).parent / "screenshots"


@pytest.fixture
def documented(document) -> list[tuple[str, str, str]]:
    """(method, path, operationId) of every call."""
    return [
        (method.upper(), path, operation["operationId"])
        for path, item in document["paths"].items()
        for method, operation in item.items()
    ]


def open_docs(page, anchor=""):
    page.goto(f"/docs{anchor}")
    expect(page.locator(".opblock").first).to_be_visible()
    return page


def test_every_call_appears(wide_page, documented):
    open_docs(wide_page)
    shown = [
        (
            block.locator(".opblock-summary-method").inner_text(),
            block.locator(".opblock-summary-path").get_attribute("data-path"),
        )
        for block in wide_page.locator(".opblock").all()
    ]
    assert sorted(shown) == sorted((method, path) for method, path, _ in documented)
    SCREENSHOTS.mkdir(exist_ok=True)
    wide_page.screenshot(path=SCREENSHOTS / "docs-1280.png")


@pytest.mark.at_length
@pytest.mark.parametrize("name", ["panFill", "orderDemand", "bulk", "ingredients"])
def test_calls_of_every_kind_open_without_errors(wide_page, name, documented):
    (method,) = [method for method, _, called in documented if called == name]
    open_docs(wide_page)
    block = wide_page.locator(f".opblock[id$='-{name}']")
    block.locator(".opblock-summary-control").click()
    expect(block.locator(".responses-table")).to_be_visible()
    expect(block.get_by_role("button", name="Execute")).to_be_visible()
    expect(block.locator(".opblock-section-request-body")).to_have_count(1 if method == "POST" else 0)


def test_a_call_is_tried_from_the_page_and_its_fields_are_described(wide_page):
    open_docs(wide_page, "#/calculations/breakdown")
    block = wide_page.locator("#operations-calculations-breakdown")
    block.get_by_role("button", name="Execute").click()
    answer = block.locator(
        ".live-responses-table .response-col_description .microlight, "
        ".live-responses-table .response-col_description code"
    ).first
    expect(answer).to_contain_text("scalded_share_percent")
    assert json.loads(answer.inner_text())["scalded_share_percent"] == 20
    block.get_by_role("tab", name="Schema").or_(block.get_by_text("Schema", exact=True)).first.click()
    expect(block.get_by_text("scald_evaporation").first).to_be_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", ["/docs", "/problems", "/problems/invalid-request"])
def test_it_fits_a_phone_in_both_looks(open_page, path, scheme):
    page = open_page(320, 640, color_scheme=scheme)
    page.goto(path)
    expect(page.locator(".opblock, .reading table").first).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    paper = page.evaluate("getComputedStyle(document.querySelector('.reading, .calls')).backgroundColor")
    lightness = sum(map(int, paper.removeprefix("rgb(").removesuffix(")").split(","))) / 3
    assert lightness > 200 if scheme == "light" else lightness < 60
    SCREENSHOTS.mkdir(exist_ok=True)
    page.screenshot(path=SCREENSHOTS / f"{path[1:].replace('/', '-')}-320-{scheme}.png")


# Of the renderer's own making, and not to be changed from outside: a copy button within the line that opens a
# call, headings that skip a step, and an introduction outside its main.
RENDERERS = {rule: {"enabled": False} for rule in ("nested-interactive", "heading-order", "region")}


def test_axe_finds_nothing(open_page):
    page = open_page(1000, 900, color_scheme="light")
    open_docs(page, "#/calculations/breakdown")
    expect(page.locator(".responses-table").first).to_be_visible()
    page.locator("#operations-calculations-breakdown").get_by_role("button", name="Execute").click()
    expect(page.locator(".live-responses-table")).to_be_visible()
    # No preloading: axe-core would put the imported style into the page, which the policy forbids it.
    assert findings_in_both_looks(page, rules=RENDERERS, preload=False) == []
    page.screenshot(path=SCREENSHOTS / "docs-open-dark.png", full_page=True)
    for path in ("/problems", "/problems/invalid-request"):
        page.emulate_media(color_scheme="light")
        page.goto(path)
        assert findings_in_both_looks(page) == []
