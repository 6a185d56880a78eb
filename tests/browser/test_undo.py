"""What is removed by a slip comes back with one press."""

import json

import pytest
from playwright.sync_api import expect

from browser.bench import act_on_line, open_bench, settle


def test_a_line_comes_back_where_it_was(page):
    open_bench(page)
    lines = page.locator(".part-dough .lines input[list]")
    before = lines.evaluate_all("(all) => all.map((each) => each.value)")
    act_on_line(page, "Remove Salt")
    settle(page)
    expect(lines).to_have_count(len(before) - 1)
    said = page.locator(".removed")
    expect(said).to_have_text("Salt removed. Undo")
    said.get_by_role("button", name="Undo").click()
    settle(page)
    assert lines.evaluate_all("(all) => all.map((each) => each.value)") == before
    expect(page.get_by_role("textbox", name="Weight of Salt")).to_have_value("9")
    expect(said).to_have_count(0)
    expect(
        page.get_by_role("combobox", name="Ingredient, Main dough").nth(before.index("Salt"))
    ).to_be_focused()


def test_what_was_removed_from_one_bread_never_comes_into_another(page):
    open_bench(page)
    act_on_line(page, "Remove Salt")
    expect(page.locator(".removed")).to_be_visible()
    page.get_by_role("button", name="Paste my recipe").click()
    page.get_by_role("textbox", name="Ingredients", exact=True).fill(
        "500 g bread flour\n330 g water\n5 g instant yeast"
    )
    page.get_by_role("button", name="Use this recipe").first.click()
    expect(page.get_by_role("textbox", name="Bread name")).to_have_value("My recipe")
    expect(page.locator(".removed")).to_have_count(0)


# A notebook with two loaves of which only the scores were kept.
LOAVES = {
    "version": 1,
    "breads": [],
    "trials": [],
    "loaves": [
        {
            "key": f"l{share}",
            "name": f"Loaf at {share} %",
            "points": [{"key": f"p{share}", "days": 1, "score": 8}],
        }
        for share in (20, 35)
    ],
    "keeping": {"direction": "falls", "limit": 6},
}


def log_a_bake(page) -> None:
    page.locator(".section-log").get_by_role("button", name="+ Add a bake").click()
    more_of_the_log(page)


def more_of_the_log(page) -> None:
    """Opens what is seldom needed of the last bake."""
    page.locator(".section-log .dots").last.click()


@pytest.mark.parametrize(
    ("section", "prepare", "remove", "said", "row"),
    [
        ("log", log_a_bake, "Remove this bake", "20 % removed. Undo", ".grid tr"),
        ("log", more_of_the_log, "Remove this loaf", "Loaf at 35 % removed. Undo", ".grid tr"),
        ("sugar", None, "Remove this step", "Bulk removed. Undo", ".stages > li"),
        ("log", more_of_the_log, "Remove this score", "Entry removed. Undo", ".scores > li"),
        ("timetable", None, "Remove this step", "Make the scald removed. Undo", ".tasks > li"),
    ],
)
def test_whatever_is_removed_can_be_put_back(page, section, prepare, remove, said, row):
    if prepare is more_of_the_log:
        page.add_init_script(f"localStorage.setItem('scaldloaf.notebook', {json.dumps(json.dumps(LOAVES))})")
    open_bench(page)
    part = page.locator(f".section-{section}")
    if prepare:
        prepare(page)
    rows = part.locator(row)
    expect(rows).not_to_have_count(0)
    before = rows.locator("input").evaluate_all("(all) => all.map((each) => each.value)")
    part.get_by_role("button", name=remove).first.click()
    expect(part.locator(".removed")).to_contain_text(said)
    assert rows.locator("input").evaluate_all("(all) => all.map((each) => each.value)") != before
    part.locator(".removed").get_by_role("button").click()
    expect(part.locator(".removed")).to_have_count(0)
    assert rows.locator("input").evaluate_all("(all) => all.map((each) => each.value)") == before
