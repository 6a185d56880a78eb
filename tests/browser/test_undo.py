"""What is removed by a slip comes back with one press."""

import pytest
from playwright.sync_api import expect

from browser.bench import open_bench, settle


def test_a_line_comes_back_where_it_was(page):
    open_bench(page)
    lines = page.locator(".part-dough .lines input[list]")
    before = lines.evaluate_all("(all) => all.map((each) => each.value)")
    page.get_by_role("button", name="Remove Salt").click()
    settle(page)
    expect(lines).to_have_count(len(before) - 1)
    said = page.locator(".removed")
    expect(said).to_have_text("Salt removed. Undo")
    said.get_by_role("button", name="Undo").click()
    settle(page)
    assert lines.evaluate_all("(all) => all.map((each) => each.value)") == before
    expect(page.get_by_role("textbox", name="Mass of Salt")).to_have_value("9")
    expect(said).to_have_count(0)
    expect(page.get_by_role("combobox", name="Ingredient, Dough").nth(before.index("Salt"))).to_be_focused()


def test_what_was_removed_from_one_bread_never_comes_into_another(page):
    open_bench(page)
    page.get_by_role("button", name="Remove Salt").click()
    expect(page.locator(".removed")).to_be_visible()
    page.locator("summary", has_text="Paste or open a recipe").click()
    page.get_by_role("textbox", name="Recipe", exact=True).fill(
        "500 g bread flour\n330 g water\n5 g instant yeast"
    )
    page.get_by_role("button", name="Put this formula on the bench").click()
    expect(page.get_by_role("textbox", name="Name of the bread")).to_have_value("My recipe")
    expect(page.locator(".removed")).to_have_count(0)


@pytest.mark.parametrize(
    ("section", "add", "remove", "said", "row"),
    [
        ("trials", "Add a bake", "Remove this bake", " removed. Undo", ".trials > li"),
        ("keeping", "Add a loaf", "Remove this loaf", "Lantern Quay tin loaf removed. Undo", ".trials > li"),
        ("sugar", None, "Remove this stage", "Bulk fermentation removed. Undo", ".stages > li"),
        ("keeping", "Add a loaf", "Remove this score", "Entry removed. Undo", ".scores > li"),
        ("plan", None, "Remove this step", "Make the scald removed. Undo", ".tasks > li"),
    ],
)
def test_whatever_is_removed_can_be_put_back(page, section, add, remove, said, row):
    open_bench(page)
    part = page.locator(f".section-{section}")
    if add:
        part.get_by_role("button", name=add).click()
    rows = part.locator(row)
    expect(rows).not_to_have_count(0)
    before = rows.locator("input").evaluate_all("(all) => all.map((each) => each.value)")
    part.get_by_role("button", name=remove).first.click()
    expect(part.locator(".removed")).to_contain_text(said)
    assert rows.locator("input").evaluate_all("(all) => all.map((each) => each.value)") != before
    part.locator(".removed").get_by_role("button").click()
    expect(part.locator(".removed")).to_have_count(0)
    assert rows.locator("input").evaluate_all("(all) => all.map((each) => each.value)") == before
