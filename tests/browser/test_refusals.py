"""What the page says of a refused entry: its own words, one limit, and ways out that keep what was wanted."""

import re

import pytest
from playwright.sync_api import Page, expect

from browser.bench import answer, field, figures, fill, open_bench, settle

NEW = "Adjusted recipe"
NAME_OF_A_FIELD = re.compile(r"[a-z]+_[a-z]+|\bnull\b|\bmust be\b")


def fault_of(page: Page, label: str):
    entry = field(page, label).first
    expect(entry).to_have_attribute("aria-invalid", "true")
    fault = (
        entry.locator("xpath=ancestor::*[contains(concat(' ', @class, ' '), ' field ')]")
        .last.locator(".fault p")
        .first
    )
    expect(fault.locator("span")).not_to_be_empty()
    return fault


def test_a_tin_of_1_9_is_not_20_cubic_centimetres_but_may_be_litres(page):
    open_bench(page)
    page.get_by_label("How you measured it").select_option("volume")
    fill(page, "Volume", "1.9")
    fault = fault_of(page, "Volume")
    expect(fault).to_contain_text("Did you mean 1.9 l?")
    expect(fault.get_by_role("button")).to_have_text(["Use 1.9 l"])
    expect(page.get_by_role("textbox", name="Volume", exact=True)).to_have_value("1.9")
    fault.get_by_role("button").click()
    settle(page)
    expect(page.get_by_role("textbox", name="Volume", exact=True)).to_have_value("1900")
    assert figures(answer(page, "Dough for the tin"), "Tin volume") == [1900]


def test_seventy_percent_has_one_limit_and_it_is_offered(page):
    open_bench(page)
    fill(page, "Flour to scald", "70")
    fault = fault_of(page, "Flour to scald")
    (limit,) = set(re.findall(r"([\d.]+)\s?%", fault.locator("span").inner_text()))
    assert float(limit) % 0.5 == 0, "by the half percent"
    expect(fault.get_by_role("button")).to_have_text([f"Use {limit} %"])
    fault.get_by_role("button").click()
    settle(page)
    assert figures(answer(page, NEW), "Flour scalded")[1] == pytest.approx(float(limit))


def test_a_way_out_is_not_taken_away_under_the_finger(page):
    open_bench(page)
    fill(page, "Flour to scald", "70")
    button = fault_of(page, "Flour to scald").get_by_role("button").element_handle()
    with page.expect_response("**/v1/hydration-correction*"):
        fill(page, "Number of tins", "2")
    page.wait_for_timeout(1000)  # by then the same fault is answered again
    assert button.evaluate("(node) => node.isConnected")
    button.click()
    expect(field(page, "Flour to scald").first).not_to_have_attribute("aria-invalid", "true")


TANGZHONG = """Tangzhong
20 g bread flour
100 g milk
Dough
250 g bread flour
120 g milk
5 g salt
5 g instant yeast"""


def test_a_scald_that_does_not_fit_offers_what_keeps_the_wanted_share(page):
    open_bench(page)
    page.get_by_role("button", name="Paste my recipe").click()
    page.get_by_role("textbox", name="Ingredients", exact=True).fill(TANGZHONG)
    page.get_by_role("button", name="Use this recipe").first.click()
    expect(page.get_by_role("textbox", name="Bread name")).to_have_value("My recipe")
    settle(page)
    fill(page, "Flour to scald", "30")
    fault = fault_of(page, "Flour to scald")
    expect(fault).to_contain_text("There isn't enough whole milk for a 1 : 5 scald at 30 %.")
    buttons = fault.get_by_role("button")
    expect(buttons.first).to_have_text(re.compile(r"^Keep 30\s%, use [0-9.]+ parts liquid to 1 flour$"))
    expect(buttons.last).to_have_text(re.compile(r"^Keep 1 : 5, scald [0-9.]+\s%$"))
    assert 2 <= buttons.count() <= 3
    ratio = re.search(r"use ([\d.]+) parts", buttons.first.inner_text())[1]
    buttons.first.click()
    settle(page)
    expect(page.get_by_role("textbox", name="Flour to scald")).to_have_value("30")
    expect(page.locator("#work")).to_have_attribute("data-answers", "current")
    assert figures(answer(page, NEW), "Flour scalded")[1] == pytest.approx(30)
    page.locator("summary", has_text="More about the water").click()
    expect(page.get_by_role("textbox", name="Scald: parts liquid to 1 part flour")).to_have_value(ratio)


@pytest.mark.parametrize("way", ["use ", "wetter|too", "Keep 1 : 1"])
def test_a_scald_of_one_to_one_that_does_not_fit_offers_ways_that_work(page, way):
    """Where the water is known, to 40 % scalded; beyond it the service advises no more than that."""
    open_bench(page)
    page.get_by_role("textbox", name="Weight of Water", exact=True).nth(1).fill("30")
    fill(page, "Weight of Whole milk", "200")
    fill(page, "Flour to scald", "35")
    fault = fault_of(page, "Flour to scald")
    expect(fault).to_contain_text("There isn't enough water for a 1 : 1 scald at 35 %.")
    buttons = fault.get_by_role("button")
    expect(buttons).to_have_count(3)
    buttons.filter(has_text=re.compile(way)).click()
    settle(page)
    expect(page.locator("#work")).to_have_attribute("data-answers", "current")


def test_an_emptied_share_is_asked_for_and_nothing_is_weighed_meanwhile(page):
    open_bench(page)
    fill(page, "Flour to scald", "")
    expect(fault_of(page, "Flour to scald")).to_contain_text("Fill in “Flour to scald”.")
    expect(page.locator("#work")).to_have_attribute("data-answers", "old")
    expect(page.locator(".tick")).to_have_count(0)
    fill(page, "Flour to scald", "30")
    settle(page)
    assert figures(answer(page, NEW), "Flour scalded")[1] == pytest.approx(30)


# label of a field, what is entered, what is said of it in English and in German
ENTRIES = [
    ("water.share", "lots", "can't be read here", "ist hier nicht lesbar"),
    ("panField.length", "", "Fill in “Length”.", "Bitte „Länge“ ausfüllen."),
    ("panField.length", "100 g", "“100 g” can't be read here", "„100 g“ ist hier nicht lesbar"),
    ("panField.depth", "95000", "Loaf tins", "Brotformen"),
    ("fill.pans", "0", "Enter at least 1.", "Mindestens 1."),
    ("fill.pans", "1.5", "Enter a whole number.", "Bitte eine ganze Zahl eingeben."),
    ("fill.fill_percent", "5", "A loaf fills 20 %", "Ein Brot füllt 20 %"),
    ("fill.bake_loss_percent", "70", "Enter at most 30 %.", "Höchstens 30 %."),
    ("sugar.minutes", "", "Fill in", "ausfüllen"),
    ("sugar.temperature", "80", "Yeast dies", "stirbt die Hefe"),
    ("weigh.handling_percent", "80", "Enter at most 50 %.", "Höchstens 50 %."),
]


@pytest.mark.parametrize("language", ["en-GB", "de-DE"])
def test_no_entry_is_refused_in_the_words_of_the_api(open_page, language):
    page = open_bench(open_page(390, 844, locale=language))
    texts = page.evaluate(
        """async (labels) => {
            const language = document.documentElement.lang;
            const [page, more] = await Promise.all(["page", "more"].map(
                async (part) => (await import(`/messages/${language}/${part}.js`)).default));
            return labels.map((label) => label.split(".")).map(
                ([group, name]) => page[group]?.[name] ?? more[group][name]);
        }""",
        [label for label, *_ in ENTRIES],
    )
    page.evaluate("() => { for (const fold of document.querySelectorAll('details')) fold.open = true; }")
    for (_, text, *words), label in zip(ENTRIES, texts, strict=True):
        entry = field(page, label).first
        before = entry.input_value()
        entry.fill(text)
        fault = fault_of(page, label)
        expect(fault).to_contain_text(words[language == "de-DE"])
        assert not NAME_OF_A_FIELD.search(fault.inner_text()), fault.inner_text()
        expect(fault.locator("[lang=en]")).to_have_count(0)
        entry.fill(before)
        expect(page.locator(".fault p"), label).to_have_count(0)


@pytest.mark.parametrize(
    ("ingredient", "amount", "words"),
    [
        ("butr", "30", "We don't know “butr”."),
        ("Butter, unsalted", "", "Fill in “Weight of Butter, unsalted”."),
        ("Butter, unsalted", "-3", "Enter at least 0 g."),
    ],
)
def test_a_line_is_refused_by_its_ingredient(page, ingredient, amount, words):
    open_bench(page)
    butter = page.get_by_role("combobox", name="Ingredient, Main dough").nth(4)
    line = butter.locator("xpath=ancestor::li")
    butter.fill(ingredient)
    line.get_by_role("textbox", name=re.compile("^Weight of ")).fill(amount)
    expect(line.locator(".fault").get_by_text(words)).to_be_visible()
    assert not NAME_OF_A_FIELD.search(line.inner_text())


def test_a_code_that_the_page_does_not_know_shows_no_word_of_the_api(page):
    open_bench(page)
    shown = page.evaluate("""async () => (await import("/ui/faults.js")).faultLine({
        t: Object.assign((name) => name, { has: (name) => name === "refusals.other" }),
        names: { label: (name) => name }, locale: "en", units: () => ({ wire: {} }),
    }, {
        code: "newer_than_this_page", detail: "dough_mass is needed here", nearest: null, values: {},
    }).textContent""")
    assert "dough_mass" not in shown and "refusals.other" in shown


def test_faults_have_the_width_of_the_card_on_a_phone(page):
    open_bench(page)
    page.get_by_label("How you measured it").select_option("tapered")
    fill(page, "Top length", "")
    fill(page, "Top width", "")
    for label in ("Top length", "Top width"):
        # Its room, as the fault is written again when another part of the page is refused for it too.
        assert fault_of(page, label).locator("xpath=..").bounding_box()["width"] > 300
