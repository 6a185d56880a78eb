"""Large numbers and long names: nothing on the page is cut, runs into its neighbour or breaks badly."""

import json
import re

import pytest
from playwright.sync_api import Locator, Page, expect

from browser.bench import fill, open_bench, settle, tin_loaf, unfold, use_units, work_of
from browser.mangled import NOTEBOOK, WORK, put

PAN = {"shape": "", "kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
# The fields whose text is wider than they are.
CUT = "(all) => all.filter((each) => each.scrollWidth > each.clientWidth).map((each) => each.value)"
# How many lines the first text below a node takes.
LINES = """(node) => {
    const text = document.createTreeWalker(node, NodeFilter.SHOW_TEXT).nextNode();
    const range = document.createRange();
    range.selectNodeContents(text);
    return new Set([...range.getClientRects()].map((each) => Math.round(each.top))).size;
}"""
# The text on each line of a node, by where its letters stand.
TEXTS = """(node) => {
    const lines = new Map();
    const walker = document.createTreeWalker(node, NodeFilter.SHOW_TEXT);
    for (let text = walker.nextNode(); text; text = walker.nextNode()) {
        for (let at = 0; at < text.length; at += 1) {
            const range = document.createRange();
            range.setStart(text, at);
            range.setEnd(text, at + 1);
            const top = Math.round(range.getBoundingClientRect().top);
            lines.set(top, (lines.get(top) ?? "") + text.data[at]);
        }
    }
    return [...lines.values()].map((each) => each.trim()).filter(Boolean);
}"""


def bakes(count: int) -> list[dict]:
    """Bakes with measured volumes."""
    return [
        {
            "key": f"bake{index}",
            "name": f"Bake {index}",
            "volume_by": "loaf_volume",
            "loaf_volume": 1650 + 10 * index,
            "fill_percent": None,
            "crown_height": None,
            "pan": PAN,
            "scalded_share_percent": 20 + 5 * index,
            "hydration_percent": 67,
            "dough_mass": 440 + 10.5 * index,
            "baked_mass": 400,
            "proof_minutes": 60,
            "points": [],
        }
        for index in range(count)
    ]


def opened(page: Page, names: tuple[str, ...] = (), count: int = 0, **work) -> Page:
    """The page with this work, breads of these names and so many bakes."""
    page.goto("/")
    settle(page)
    kept = {**work_of(tin_loaf(), 35), **work}
    inner = {key: value for key, value in kept.items() if key not in ("version", "units")}
    breads = [
        {"key": f"bread{index}", "name": name, "saved": 0, "work": inner, "answers": None}
        for index, name in enumerate(names)
    ]
    notebook = {"version": 1, "breads": breads, "trials": bakes(count), "loaves": []}
    notebook["keeping"] = {"direction": "falls", "limit": 6}
    put(page, {WORK: json.dumps(kept), NOTEBOOK: json.dumps(notebook)})
    page.reload()
    settle(page)
    return page


def outside(fields: Locator) -> list[str]:
    """Fields with units that reach out of their cell."""
    return fields.evaluate_all(
        """(all) => all.filter((each) => {
            const [own, cell] = [each.getBoundingClientRect(), each.closest("td").getBoundingClientRect()];
            return own.left < cell.left + 3 || own.right > cell.right + .5;
        }).map((each) => each.querySelector("input").value)"""
    )


@pytest.mark.parametrize(("width", "units"), [(1280, "metric"), (1280, "us"), (390, "metric"), (390, "us")])
def test_measured_volumes_stay_in_their_column(open_page, width, units):
    page = unfold(opened(open_page(width, 844), count=6), ("log",))
    if units == "us":
        use_units(page, "us")
        settle(page)
    volumes = page.locator(".section-log td.filled .entry:has(input.number):visible")
    expect(volumes).to_have_count(6)
    assert outside(volumes) == []
    assert volumes.locator("input").evaluate_all(CUT) == []


def test_the_buttons_beside_long_names_keep_their_width(page):
    long = "Sunday sandwich loaf with a very long name that goes on and on"
    unfold(opened(page, ("Rye", long)), ("notebook",))
    buttons = page.locator(".breads li").get_by_role("button", name=re.compile("^Open "))
    expect(buttons).to_have_count(2)
    short, beside_long = buttons.evaluate_all(
        "(all) => all.map((each) => each.getBoundingClientRect().width)"
    )
    assert beside_long == pytest.approx(short, abs=0.5)


def test_the_first_view_of_a_narrow_phone(open_page):
    page = open_page(320, 800, has_touch=True)
    page.goto("/")
    settle(page)
    assert page.locator(".recipe .label small").evaluate(LINES) == 1
    tin = page.locator(".row.tin .blank")
    expect(tin).to_have_text("Lidded, 1.7\u00a0l")
    assert tin.evaluate(TEXTS) == ["Lidded,", "1.7\u00a0l"]


def test_large_numbers_in_the_first_view(page):
    opened(
        page,
        bread={
            "kind": "reference_loaf",
            "dough_mass": 1440.5,
            "fill_percent": 110,
            "scalded_share_percent": 20,
        },
    )
    fill(page, "Number of tins", "100")
    settle(page)
    fields = page.locator(".ask .row input.number:visible")
    assert "1440.5" in fields.evaluate_all("(all) => all.map((each) => each.value)")
    assert fields.evaluate_all(CUT) == []
    gap = page.locator(".row.tin .count input").evaluate(
        """(field) => {
            const style = getComputedStyle(field);
            const pen = document.createElement("canvas").getContext("2d");
            pen.font = style.font;
            return field.clientWidth - pen.measureText(field.value).width;
        }"""
    )
    assert gap >= 6


def test_names_stand_whole_beside_figures_in_german(open_page):
    page = open_page(390, 844, has_touch=True, locale="de-DE")
    unfold(opened(page, compare=[0, 30]), ("formula", "compare"))
    page.locator("#formula summary", has_text="Bäckerprozente").click()
    names = page.locator("#formula .table tbody th")
    expect(names.first).to_contain_text("Weizenmehl, backstark")
    for name in names.all():
        text = name.text_content()
        assert [word for line in name.evaluate(TEXTS) for word in line.split()] == text.split()
    page.locator("#compare").evaluate("(node) => node.scrollIntoView()")
    table = page.locator("#compare table.grid").first
    expect(table.locator("th", has_text=re.compile(r"^Brühstück, 1\s:"))).to_be_visible()
    expect(table.locator("tbody th", has_text="Weizenmehl")).not_to_have_count(0)
    starts = [line[0] for name in table.locator("tbody th").all() for line in name.evaluate(TEXTS)]
    assert not {",", ":"} & set(starts)
    # A word of the language stands inside its button, not on its border.
    room = table.locator("button:visible", has_text="Nehmen").first.evaluate(
        """(button) => {
            const range = document.createRange();
            range.selectNodeContents(button);
            return button.getBoundingClientRect().width - range.getBoundingClientRect().width;
        }"""
    )
    assert room >= 8


def test_sentences_and_titles_have_their_room(wide_page):
    open_bench(wide_page, folds=("water", "sugar"))
    for title in wide_page.locator(".fold > summary h2").all():
        assert title.evaluate(LINES) == 1, title.text_content()
    wide_page.locator("#water summary", has_text="More about the water").click()
    hints = wide_page.locator("#water fieldset", has_text="Liquids allowed in the scald")
    expect(hints).to_contain_text("already in it. Adjusted in the dough")
    # The sweetness in the summary of the fold is the one inside.
    inside = wide_page.locator("#sugar dl > div", has_text="Sweetness of the bread").locator("data").first
    expect(wide_page.locator("#sugar > summary .gist")).to_contain_text(f"sweetness {inside.text_content()}")
