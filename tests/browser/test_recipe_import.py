"""A recipe becomes the formula: from pasted text, a file or the source of a page."""

import json
import re

import pytest
from playwright.sync_api import expect

from browser.bench import Service, answer, enter, field, figures, fill, open_bench, settle, use_language

CARD = """For the scald:
100 g strong white flour
100 g boiling water
For the dough:
400 g strong white flour
150 g whole milk, lukewarm
95 g water
30 g caster sugar
30 g unsalted butter, softened
9 g fine salt
5 g instant yeast
A handful of harbour herbs"""
RECIPE = {
    "@context": "https://schema.org",
    "@type": "Recipe",
    "name": "Breakwater bread",
    "recipeIngredient": ["500 g bread flour", "320 g water", "20 g sugar", "9 g salt", "5 g instant yeast"],
}
READ = "What we read"
WHOLE = "Recipe at a glance"


def paste(page, text):
    page.get_by_role("button", name="Paste my recipe").click()
    page.get_by_role("textbox", name="Ingredients", exact=True).fill(text)


def put(page):
    button = page.get_by_role("button", name="Use this recipe").first
    button.click()
    expect(button).to_be_hidden()  # the recipe is on the bench
    settle(page)


def test_pasted_lines(page, service):
    open_bench(page)
    paste(page, CARD)
    reply = Service(service.url)("recipe-import", text=CARD)
    counts = reply["counts"]
    read = answer(page, READ)
    expect(read).to_contain_text(f"{sum(counts.values())} lines read. Check 1 of them:")
    doubts = read.locator(".check li")
    expect(doubts).to_have_count(1)  # only what needs a look, the rest is folded
    expect(doubts).to_contain_text("A handful of harbour herbs")
    expect(read.get_by_role("table", name="Line by line")).to_be_hidden()
    read.locator("summary", has_text="Show all lines").click()
    expect(read.locator("tbody tr:not(.group)")).to_have_count(sum(counts.values()))
    parts = read.locator("tbody tr.group")
    expect(parts).to_have_text(["Scald", "Main dough"])
    put(page)
    assert figures(answer(page, WHOLE), "Dough") == [919]
    assert figures(answer(page, WHOLE), "Flour scalded") == [20]
    expect(page.get_by_role("region", name="Saved breads").locator(".breads li")).to_have_count(0)
    # New lines of the card stand on their decimal points as the others do.
    points = (
        answer(page, "What to weigh")
        .locator(".tick")
        .evaluate_all(
            "(all) => all.map((line) => line.querySelector('.amt i')?.getBoundingClientRect().left ?? null)"
        )
    )
    assert len(points) == 9
    assert len(set(points)) == 1


def test_the_current_bread_is_kept(page):
    open_bench(page)
    page.get_by_role("textbox", name="Bread name").fill("Mine")
    settle(page)
    paste(page, json.dumps(RECIPE))
    put(page)
    expect(page.get_by_role("textbox", name="Bread name")).to_have_value("Breakwater bread")
    expect(page.get_by_role("region", name="Saved breads")).to_contain_text("Mine (autosaved)")


def test_the_source_of_a_page(page, tmp_path):
    source = tmp_path / "bread.html"
    source.write_text(
        f"<html><script>window.hacked = true</script><script type='application/ld+json'>{json.dumps(RECIPE)}"
        "</script><body onload='window.hacked = true'><h1>Bread</h1></body></html>"
    )
    open_bench(page)
    page.get_by_role("button", name="Paste my recipe").click()
    expect(page.get_by_role("textbox", name="Ingredients", exact=True)).to_be_visible()
    page.locator("input[type=file]").first.set_input_files(source)
    put(page)
    assert figures(answer(page, WHOLE), "Dough") == [854]
    assert page.evaluate("window.hacked") is None


def test_a_recipe_in_ounces_on_a_page_in_grams(page):
    open_bench(page)
    paste(page, "1 lb bread flour\n11 oz water\n2 tsp salt\n2 tsp instant yeast")
    put(page)
    assert figures(answer(page, WHOLE), "Total flour") == [453.592]


def test_text_that_is_no_recipe(page):
    open_bench(page)
    paste(page, "Once upon a time in the harbour")
    expect(answer(page, READ)).to_contain_text("We couldn’t find any flour with an amount")
    expect(page.get_by_role("button", name="Use this recipe").first).to_be_hidden()


TANGZHONG = """Tangzhong
20 g bread flour
100 g milk
Dough
250 g bread flour
120 g milk
30 g sugar
30 g butter
5 g salt
5 g instant yeast"""


def test_the_share_and_the_name_are_those_of_the_pasted_recipe(page):
    open_bench(page)
    fill(page, "Flour to scald", "35")
    page.locator("summary", has_text="More about the water").click()
    fill(page, "Set hydration yourself", "75")
    settle(page)
    paste(page, TANGZHONG)
    put(page)
    expect(page.get_by_role("textbox", name="Flour to scald")).to_have_value("7.4")
    expect(page.get_by_role("textbox", name="Bread name")).to_have_value("My recipe")
    expect(page.get_by_role("textbox", name="Set hydration yourself")).to_have_value("")
    said = page.get_by_text("Your recipe scalds 7.4 % of its flour, 1 : 5. Move the slider to change it.")
    expect(said).to_be_visible()
    expect(page.locator("#work")).to_have_attribute("data-answers", "current")
    expect(page.locator(".fault p")).to_have_count(0)
    assert figures(answer(page, WHOLE), "Flour scalded") == [pytest.approx(7.407, abs=0.001)]


def test_a_pasted_recipe_without_a_scald_is_not_refused_unseen(page):
    open_bench(page)
    last = page.locator(".row.last")
    fill(page, "Dough you used", "900", within=last)  # of the bread before
    paste(page, json.dumps(RECIPE))
    put(page)
    expect(page.get_by_role("textbox", name="Flour to scald")).to_have_value("0")
    expect(page.get_by_text("Your recipe has no scald yet.")).to_be_visible()
    expect(page.locator("#work")).to_have_attribute("data-answers", "current")
    expect(page.locator(".fault p")).to_have_count(0)
    # Nobody has baked it yet, and who has baked it did so as it is.
    assert [each.input_value() for each in last.locator("input").all()][:2] == ["", "0"]
    fill(page, "Dough you used", "850", within=last)
    settle(page)
    assert figures(answer(page, "Dough for the tin"), "Dough per tin")[0] == pytest.approx(850)
    fill(page, "Flour to scald", "20")
    settle(page)
    expect(page.locator(".ask > .hint")).to_have_text("Choose your tin, too: this one is the example’s.")
    fill(page, "Depth", "10")
    expect(page.locator(".ask > .hint")).to_have_text("")
    expect(last).not_to_contain_text("in another tin")


UNSAID = """Tangzhong
20 g flour
100 ml milk
Dough
350 g bread flour
120 ml milk
1 egg
15 g milk powder
6 g yeast
5 g salt"""


def test_one_decision_for_all_lines_of_a_kind_is_remembered_with_the_recipe(page):
    page.goto("/")  # as a newcomer, with the example and its last loaf
    settle(page)
    paste(page, UNSAID)
    checks = answer(page, READ).locator(".check li")
    expect(checks).to_have_count(5)
    milk = page.get_by_label("“100 ml milk” is")
    expect(checks.filter(has=milk)).to_contain_text("Same for: 120 ml milk")
    milk.select_option("skim_milk")
    page.get_by_label("“15 g milk powder” is").select_option("whole_milk_powder")
    expect(answer(page, READ)).to_contain_text("In the scald: 20 g flour; 100 ml milk")
    put(page)
    card = page.locator(".weigh-card")
    expect(card.locator(".part-scald")).to_contain_text("Skim milk")
    expect(card.locator(".part-dough")).to_contain_text("Skim milk")
    expect(card.locator(".part-dough")).to_contain_text("Whole milk powder")
    expect(card.get_by_text("Water", exact=True)).to_have_count(0)
    # Nobody has baked this bread yet.
    expect(page.get_by_role("textbox", name="Dough you used")).to_have_value("")
    expect(page.get_by_role("slider", name="Flour to scald")).to_be_focused()
    page.reload()
    settle(page)
    paste(page, UNSAID)
    expect(milk).to_have_value("skim_milk")
    expect(page.get_by_label("“15 g milk powder” is")).to_have_value("whole_milk_powder")


TWO_SIZES = """Kettle scald (makes more than you need)
20 g / 40 g bread flour
100 g / 200 g milk
Dough
250 g / 500 g bread flour
120 g / 240 g milk
5 g / 10 g salt
5 g / 10 g instant yeast"""


def test_a_doubt_beside_a_decision_is_shown_too_and_once_for_all_its_lines(page):
    open_bench(page)
    paste(page, TWO_SIZES)
    looks = answer(page, READ).locator(".check li.look")
    sizes = looks.filter(has_text="The recipe has amounts for two sizes")
    expect(sizes).to_have_count(1)
    expect(sizes).to_contain_text("250 g / 500 g bread flour")
    expect(sizes).to_contain_text("120 g / 240 g milk")  # which is asked about, too
    expect(page.get_by_label("“100 g / 200 g milk” is")).to_be_visible()


def test_a_recipe_that_is_not_used_yet_outlasts_a_reload(page):
    open_bench(page)
    paste(page, UNSAID)
    milk = page.get_by_label("“100 ml milk” is")
    milk.select_option("skim_milk")
    expect(answer(page, READ)).to_be_visible()
    page.reload()
    settle(page)
    text = page.get_by_role("textbox", name="Ingredients", exact=True)
    expect(text).to_have_value(UNSAID)
    expect(milk).to_have_value("skim_milk")
    put(page)
    page.reload()
    settle(page)
    page.get_by_role("button", name="Paste my recipe").click()
    expect(text).to_have_value("")  # it is on the bench


def test_a_recipe_that_is_no_pan_bread_says_so(page):
    open_bench(page)
    paste(page, "300 g bread flour\n60 g water\n6 g salt")
    read = answer(page, READ)
    expect(read).to_contain_text("20 % water on flour is too dry for pan bread.")
    expect(read).to_contain_text("We found no yeast.")


def test_on_a_phone_the_bar_uses_the_recipe_while_one_is_read(open_page):
    page = open_bench(open_page(390, 844))
    go = page.locator(".bar button")
    expect(go).to_have_text("What to weigh")
    paste(page, CARD)
    expect(go).to_have_text("Use this recipe")
    expect(page.locator(".bar p")).to_be_hidden()  # the dough of another bread
    box = go.bounding_box()
    assert box["height"] >= 44 and box["y"] + box["height"] <= 844
    opener = page.get_by_role("button", name="Paste my recipe")
    opener.click()  # closed: the bar has its own button again
    expect(go).to_have_text("What to weigh")
    expect(page.locator(".bar p")).to_contain_text("per tin")
    opener.click()
    expect(go).to_have_text("Use this recipe")
    page.get_by_role("textbox", name="Ingredients", exact=True).fill("")
    expect(go).to_have_text("What to weigh")
    page.get_by_role("textbox", name="Ingredients", exact=True).fill(CARD)
    expect(go).to_have_text("Use this recipe")
    go.click()
    expect(go).to_have_text("What to weigh")
    settle(page)
    assert figures(answer(page, WHOLE), "Dough") == [919]
    expect(page.get_by_role("textbox", name="Ingredients", exact=True)).to_be_hidden()


def test_milk_as_the_only_liquid_follows_the_share_down(page):
    open_bench(page)
    paste(page, CARD.replace("g water", "g whole milk").replace("boiling water", "whole milk"))
    put(page)
    fill(page, "Flour to scald", "12")
    settle(page)
    expect(page.locator("#work")).to_have_attribute("data-answers", "current")
    assert figures(answer(page, "Adjusted recipe"), "Flour scalded")[1] == pytest.approx(12)
    page.locator("summary", has_text="More about the water").click()
    expect(page.get_by_text("Adjusted in the dough: Whole milk.")).to_be_visible()


def test_a_starter_is_named_on_the_card_stays_out_of_the_scald_and_gets_no_times(page):
    """Weighed as plain flour and water, and proofed by the times of a yeast, it would be another bread."""
    open_bench(page)
    paste(page, "100 g sourdough starter\n400 g bread flour\n250 g whole milk\n8 g salt")
    answer(page, READ).get_by_label("“100 g sourdough starter” is").select_option("50")
    expect(answer(page, READ).locator(".check")).to_contain_text("Its flour isn’t named.")
    put(page)
    page.locator("summary", has_text="More about the water").click()
    fill(page, "Scald: parts liquid to 1 part flour", "1")
    fill(page, "Flour to scald", "10")
    settle(page)
    card = answer(page, "What to weigh")
    named = card.locator(".tick", has_text="sourdough starter")
    assert [re.sub(r"^.*?(sourdough.*)$", r"\1", text, flags=re.S) for text in named.all_inner_texts()] == [
        "sourdough starter (flour)",
        "sourdough starter (water)",
    ]
    grams = [float(each.get_attribute("value")) for each in named.locator("data").all()]
    assert grams[0] == pytest.approx(2 * grams[1], abs=2)
    # Not the whole card: its printed part, which comes later, has room to write each time.
    expect(card.locator(".method")).to_contain_text("No times entered")
    expect(card.locator(".method")).not_to_contain_text("Bulk")
    use_language(page, "Deutsch")
    expect(page.locator(".weigh-card .tick", has_text="sourdough starter")).to_have_count(2)
    expect(page.locator(".weigh-card .method")).to_contain_text("Zeiten noch nicht eingetragen")
    # What the page named by itself is named anew: a recipe without a name, and the steps.
    expect(page.locator(".row.recipe p")).to_have_text("Mein Rezept")
    expect(page.locator(".weigh-card .paper-steps")).to_contain_text("Stockgare")
    expect(page.locator(".weigh-card .paper-steps")).not_to_contain_text("Bulk")


def test_a_recipe_has_no_times_until_one_is_entered(page):
    """Those of the example would be printed as if they were its own."""
    open_bench(page)
    card = answer(page, "What to weigh")
    expect(card).to_contain_text("Bulk 90")
    paste(page, CARD)
    put(page)
    expect(page.get_by_text("Choose your tin, too: this one is the example’s.")).to_be_visible()
    expect(card).to_contain_text("No times entered")
    expect(card.locator(".method")).not_to_contain_text(re.compile("Bulk|Bake"))
    expect(card.locator(".paper-steps")).to_contain_text("Bulk")  # with room to write
    expect(card.locator(".paper-steps")).not_to_contain_text("90\u00a0min")
    page.locator(".section-sugar .stages li").first.get_by_label("Time").fill("75")
    settle(page)
    expect(card.locator(".method")).to_contain_text("Bulk 75")


def test_a_recipe_in_spoons_begins_at_its_own_share(page):
    """Its masses are rounded when they are kept, so its share is that of the rounded ones."""
    open_bench(page, folds=())
    wash = "1 egg + 1 tbsp milk, for brushing"
    paste(page, f"Tangzhong\n3 tbsp bread flour\n1/2 cup milk\nDough\n320 g bread flour\n160 g milk\n{wash}")
    expect(page.locator(".paste .left-out")).to_contain_text("Left out:")
    expect(page.locator(".paste .left-out li > span")).to_have_text(wash)
    put(page)
    share = field(page, "Flour to scald").first
    expect(share).to_have_value("7.4")
    expect(page.locator(".changes thead th")).to_have_count(2)  # nothing moves yet
    page.locator("#temperatures summary").first.click()
    expect(page.get_by_role("radio", name="Cook in a pan (tangzhong)")).to_be_checked()  # 1 : 4.75
    enter(share, "33.25")
    assert share.evaluate("(field) => field.scrollWidth <= field.clientWidth")


def test_one_line_is_one_line(page):
    open_bench(page, folds=())
    paste(page, "hello")
    expect(answer(page, READ)).to_contain_text("1 line read. Check it:")
