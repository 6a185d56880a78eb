"""The page in a second language, with a decimal comma. ``tests/languages`` checks for missing texts."""

import re

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from browser.bench import figures, fill, open_bench, settle

GROUPS = """async () => (await Promise.all(["page", "more"].map((part) => import(`/messages/en/${part}.js`))))
    .flatMap((texts) => Object.keys(texts.default))"""


def test_every_text_the_page_asks_for_is_there(page):
    """A missing text shows its name, so no name may appear."""
    page.goto("/")
    settle(page)
    expect(page.locator(".section")).to_have_count(9)
    names = re.compile(r"\b(" + "|".join(sorted(set(page.evaluate(GROUPS)))) + r")\.\w+")
    seen = page.evaluate("""() => [...document.querySelectorAll("body *")].flatMap((node) =>
        [...node.childNodes].filter((child) => child.nodeType === 3).map((child) => child.data)
            .concat(node.getAttribute("aria-label") ?? "", node.title ?? ""))""")
    assert [text for text in seen if names.search(text)] == []


def test_german_when_the_browser_prefers_it(open_page):
    page = open_page(390, 844, locale="de-DE")
    page.goto("/")
    settle(page)
    assert page.evaluate("document.documentElement.lang") == "de"
    expect(page).to_have_title("Scaldloaf: Kastenbrot mit Brühstück")
    expect(page.get_by_role("heading", name="Rezeptur")).to_be_visible()
    expect(page.get_by_role("combobox", name="Zutat, Hauptteig").first).to_have_value("Weizenmehl, backstark")
    butter = page.get_by_role("textbox", name=re.compile("^Masse von Butter"))
    butter.fill("32,5")
    settle(page)
    whole = page.get_by_role("group", name="Die Rezeptur im Ganzen")
    assert figures(whole, "Teig") == [931.5]
    expect(whole).to_contain_text("66,5 %")
    page.reload()
    settle(page)
    expect(butter).to_have_value("32,5")
    expect(page.locator(".cautions").first).to_contain_text("Rohes Mehl")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    expect(page.get_by_role("heading", name="Notizbuch")).to_be_attached()
    found = Axe().run(page).response["violations"]
    assert [rule["id"] for rule in found] == []


def test_the_chosen_language_is_remembered(page):
    page.goto("/")
    settle(page)
    page.get_by_role("combobox", name="Language").select_option("de")
    expect(page.get_by_role("heading", name="Rezeptur")).to_be_visible()
    page.reload()
    expect(page.get_by_role("heading", name="Rezeptur")).to_be_visible()
    # English text from the service is marked for screen readers.
    settle(page)
    page.locator("summary", has_text="So wurde gerechnet").first.click()
    expect(page.locator(".steps").first).to_have_attribute("lang", "en")
    expect(page.locator(".working-body").first).to_contain_text("auf Englisch")


def test_texts_of_the_service_are_german_or_marked_as_english(open_page):
    page = open_page(390, 844, locale="de-DE")
    page.goto("/")
    settle(page)
    notes = page.locator(".section:not(.section-plan) .short-notes li")
    expect(notes.nth(5)).to_be_attached()
    expect(page.locator(".section:not(.section-plan) .short-notes [lang=en]")).to_have_count(0)
    expect(notes.filter(has_text="Kein Backverlust ist angegeben")).to_have_count(1)
    page.get_by_role("textbox", name="Gewünschter Brühanteil").fill("45")
    expect(page.locator(".section-water .short-notes")).to_contain_text("Zuerst ein Probebrot backen")
    expect(page.locator(".section-water .short-notes [lang=en]")).to_have_count(0)
    plan = page.locator(".section-plan")
    plan.scroll_into_view_if_needed()
    expect(plan.locator(".doubts li").first).to_be_visible()
    said = plan.locator(".doubts li small, .doubts li span")
    assert all(
        each.get_attribute("lang") == "en"
        for each in said.all()
        if re.search(r"\b(the|may)\b", each.text_content())
    )
    assert plan.locator(".doubts small[lang=en]").count() == 0


def test_an_ingredient_is_found_by_its_name_in_any_language(page):
    page.goto("/")
    settle(page)
    flour = page.get_by_role("combobox", name="Ingredient, dough").first
    for typed, shown in (
        ("Hartweizengrieß", "Semolina (durum wheat)"),
        ("最強力粉", "Very strong (high-gluten) flour, white"),
        ("weizenmehl, HELL", "Plain (all-purpose) flour, white"),
    ):
        flour.fill(typed)
        flour.blur()
        settle(page)
        expect(page.get_by_role("textbox", name=f"Mass of {shown}", exact=True)).to_be_visible()


def test_the_panel_has_its_labels_in_its_own_language(page, service):
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto("/embed#lang=de")
    expect(page.locator("scaldloaf-panel").get_by_text("Weizenmehl, backstark").first).to_be_visible()
    assert [url for url in asked if "/v1/labels" in url] == [f"{service.url}/v1/labels?language=de"]


def test_no_english_stands_inside_the_german_page(open_page):
    """In many states; the steps of a working and its sources stay in English, and say so."""
    page = open_bench(open_page(390, 844, locale="de-DE"))
    english = page.locator("#work [lang=en]:not(.working *)")

    def none_in(state):
        settle(page)
        page.wait_for_load_state("networkidle")
        assert english.evaluate_all("(all) => all.map((each) => each.textContent)") == [], state

    expect(page.get_by_role("heading", name="Notizbuch")).to_be_attached()
    none_in("as it opens")
    fill(page, "Gewünschter Brühanteil", "58")
    none_in("refused")
    fill(page, "Gewünschter Brühanteil", "46")
    none_in("beyond what is measured")
    page.locator("summary", has_text="Mehr zum Wasser").click()
    fill(page, "Eigener Wasseranteil", "62")
    none_in("too dry")
    page.get_by_role("textbox", name="Teigtemperatur").first.fill("14")
    page.get_by_role("textbox", name="Zeit", exact=True).first.fill("600")
    none_in("cold and long")
    page.evaluate("localStorage.clear()")
    open_bench(page)
    fill(page, "Gewünschter Brühanteil", "35")
    settle(page)
    page.get_by_label("Brot muss fertig sein um").fill("2026-11-28T07:00")
    page.locator(".section-plan .answer").scroll_into_view_if_needed()
    expect(page.locator(".section-plan .doubts li")).not_to_have_count(0)
    none_in("the plan")
    page.locator("summary", has_text="Rezept einfügen").click()
    page.get_by_role("textbox", name="Rezept", exact=True).fill(
        "500 g Mehl\n1 Ei\n100 ml Milch\n1 Handvoll Kräuter"
    )
    expect(page.get_by_role("group", name="Das Rezept, wie es gelesen wurde")).to_contain_text(
        "Wahrscheinlich"
    )
    none_in("a recipe as it was read")
