"""The page in a second language, with a decimal comma. ``tests/languages`` checks for missing texts."""

import re

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from browser.bench import figures, fill, open_bench, settle, unfold, use_language

GROUPS = """async () => (await Promise.all(["page", "more"].map((part) => import(`/messages/en/${part}.js`))))
    .flatMap((texts) => Object.keys(texts.default))"""


def test_every_text_the_page_asks_for_is_there(page):
    """A missing text shows its name, so no name may appear."""
    open_bench(page)
    expect(page.locator(".section")).to_have_count(12)
    names = re.compile(r"\b(" + "|".join(sorted(set(page.evaluate(GROUPS)))) + r")\.\w+")
    seen = page.evaluate("""() => [...document.querySelectorAll("body *")].flatMap((node) =>
        [...node.childNodes].filter((child) => child.nodeType === 3).map((child) => child.data)
            .concat(node.getAttribute("aria-label") ?? "", node.title ?? ""))""")
    assert [text for text in seen if names.search(text)] == []


def test_german_when_the_browser_prefers_it(open_page):
    page = open_bench(open_page(390, 844, locale="de-DE"))
    assert page.evaluate("document.documentElement.lang") == "de"
    expect(page).to_have_title("Scaldloaf: Kastenbrot mit gebrühtem Mehl berechnen")
    expect(page.get_by_role("heading", name="Das nächste Brot")).to_be_attached()
    expect(page.get_by_role("combobox", name="Zutat, Hauptteig").first).to_have_value("Weizenmehl, backstark")
    butter = page.get_by_role("textbox", name=re.compile("^Gewicht von Butter"))
    butter.fill("32,5")
    settle(page)
    whole = page.get_by_role("group", name="Das Rezept im Überblick")
    assert figures(whole, "Teig") == [931.5]
    expect(whole).to_contain_text("66,5 %")
    page.reload()
    settle(page)
    unfold(page)
    expect(butter).to_have_value("32,5")
    expect(page.locator(".section-safety")).to_contain_text("Rohes Mehl")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    expect(page.get_by_role("heading", name="Gespeicherte Brote")).to_be_attached()
    found = Axe().run(page).response["violations"]
    assert [rule["id"] for rule in found] == []


# Names, words of the trade that Japanese writes in Latin letters, and the other languages by their own names.
LATIN_IN_JAPANESE = {"Scaldloaf", "English", "Deutsch", "JSON", "messages"}


def test_japanese_when_the_browser_prefers_it(open_page, tmp_path):
    page = open_page(390, 844, locale="ja-JP")
    page.goto("/")
    settle(page)
    assert page.evaluate("document.documentElement.lang") == "ja"
    expect(page).to_have_title("Scaldloaf：湯種食パンの配合計算")
    expect(page.locator("footer")).to_contain_text("まだ日本のパン職人の確認を受けていません")
    expect(page.get_by_role("button", name="ランタン・キー角食パン")).to_be_visible()
    weigh = page.locator("#weigh")
    expect(weigh.get_by_text("強力粉").first).to_be_visible()
    expect(weigh.locator(".card-head")).to_have_text(re.compile(r"1本分・生地\d+\u2060?g・湯種35%"))
    expect(page.locator(".mark")).to_have_text("レシピ 20%")
    # Its own faces, and headings without the slab.
    face = weigh.locator("h2").evaluate("(title) => getComputedStyle(title).fontFamily")
    assert face.startswith('"Hiragino Sans"')
    page.screenshot(path=tmp_path / "first.png")
    page.screenshot(path=tmp_path / "whole.png", full_page=True)
    fill(page, "湯種にする粉", "３０")
    settle(page)
    expect(weigh.locator(".card-head")).to_contain_text("湯種30%")
    unfold(page)
    settle(page)
    page.wait_for_load_state("networkidle")
    for width in (390, 320):
        page.set_viewport_size({"width": width, "height": 844})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.screenshot(path=tmp_path / "open.png", full_page=True)
    found = Axe().run(page).response["violations"]
    assert [rule["id"] for rule in found] == []


def test_no_english_stands_inside_the_japanese_page(open_page):
    """In many states; the steps of a working and its sources stay in English, and say so."""
    page = open_page(390, 844, locale="ja-JP")
    page.goto("/")
    settle(page)
    unfold(page)

    def none_in(state):
        settle(page)
        page.wait_for_load_state("networkidle")
        assert page.locator("#work [lang=en]:not(.working *)").all_text_contents() == [], state
        words = page.evaluate(
            """() => [...document.querySelectorAll("body *:not(script, textarea, .working *, .foot *)")]
                .flatMap((node) => [...node.childNodes]
                    .filter((child) => child.nodeType === 3).map((child) => child.data)
                    .concat(node.getAttribute("aria-label") ?? "", node.getAttribute("placeholder") ?? ""))
                .flatMap((text) => text.match(/[A-Za-z]{4,}/g) ?? [])"""
        )
        assert set(words) - LATIN_IN_JAPANESE == set(), state

    none_in("as it opens")
    fill(page, "湯種にする粉", "58")
    none_in("refused")
    fill(page, "湯種にする粉", "46")
    none_in("beyond what is measured")
    page.locator("summary", has_text="水についてくわしく").click()
    fill(page, "加水率を自分で決める", "62")
    none_in("too dry")
    page.get_by_role("textbox", name="生地の温度").first.fill("14")
    none_in("cold")
    fill(page, "加水率を自分で決める", "")
    fill(page, "湯種にする粉", "35")
    page.get_by_label("焼き上がり希望時刻").fill("2026-11-28T07:00")
    page.locator(".section-temperatures .answer").scroll_into_view_if_needed()
    expect(page.locator(".section-sure .doubts li")).not_to_have_count(0)
    none_in("the plan")
    page.get_by_role("button", name="レシピを貼り付ける").click()
    page.get_by_role("textbox", name="材料", exact=True).fill(
        "強力粉 400g\n塩 小さじ1\n牛乳 150ml\n香草 ひとつかみ"
    )
    expect(page.get_by_role("group", name="読み取り結果")).to_contain_text("2行を確認してください")
    none_in("a recipe as it was read")


def test_the_panel_in_japanese(page):
    page.goto("/embed#lang=ja")
    panel = page.locator("scaldloaf-panel")
    expect(panel.get_by_text("強力粉").first).to_be_visible()
    expect(panel.get_by_text(re.compile(r"^1本あたり\d"))).to_be_visible()
    face = panel.locator(".panel").evaluate("(root) => getComputedStyle(root).fontFamily")
    assert face.startswith('"Hiragino Sans"')


def test_the_chosen_language_is_remembered(page):
    page.goto("/")
    settle(page)
    use_language(page, "Deutsch")
    expect(page.get_by_role("heading", name="Abwiegen")).to_be_visible()
    page.reload()
    expect(page.get_by_role("heading", name="Abwiegen")).to_be_visible()
    # English text from the service is marked for screen readers.
    settle(page)
    unfold(page)
    page.locator(".section-formula summary", has_text="Rechenweg").click()
    expect(page.locator(".section-formula .steps")).to_have_attribute("lang", "en")
    expect(page.locator(".section-formula .working-body")).to_contain_text("auf Englisch")


def test_texts_of_the_service_are_german_or_marked_as_english(open_page):
    page = open_bench(open_page(390, 844, locale="de-DE"))
    notes = page.locator(".section:not(.section-temperatures) .short-notes li")
    expect(notes.nth(5)).to_be_attached()
    expect(page.locator(".section:not(.section-temperatures) .short-notes [lang=en]")).to_have_count(0)
    expect(notes.filter(has_text="Kein Backverlust ist angegeben")).to_have_count(1)
    page.get_by_role("textbox", name="Zu brühendes Mehl").fill("45")
    expect(page.locator(".section-water .answer")).to_contain_text("Zuerst ein Probebrot backen")
    expect(page.locator(".section-water .short-notes [lang=en]")).to_have_count(0)
    plan = page.locator(".section-sure")
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
    open_bench(page)
    flour = page.get_by_role("combobox", name="Ingredient, Main dough").first
    for typed, shown in (
        ("Hartweizengrieß", "Semolina (durum wheat)"),
        ("最強力粉", "Very strong (high-gluten) flour, white"),
        ("weizenmehl, HELL", "Plain (all-purpose) flour, white"),
    ):
        flour.fill(typed)
        flour.blur()
        settle(page)
        expect(page.get_by_role("textbox", name=f"Weight of {shown}", exact=True)).to_be_visible()


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

    expect(page.get_by_role("heading", name="Gespeicherte Brote")).to_be_attached()
    none_in("as it opens")
    fill(page, "Zu brühendes Mehl", "58")
    none_in("refused")
    fill(page, "Zu brühendes Mehl", "46")
    none_in("beyond what is measured")
    page.locator("summary", has_text="Mehr zum Wasser").click()
    fill(page, "Hydratation selbst festlegen", "62")
    none_in("too dry")
    page.get_by_role("textbox", name="Teigtemperatur").first.fill("14")
    page.get_by_role("textbox", name="Zeit", exact=True).first.fill("600")
    none_in("cold and long")
    page.evaluate("localStorage.clear()")
    open_bench(page)
    fill(page, "Zu brühendes Mehl", "35")
    settle(page)
    page.get_by_label("Brot fertig um").fill("2026-11-28T07:00")
    page.locator(".section-temperatures .answer").scroll_into_view_if_needed()
    expect(page.locator(".section-sure .doubts li")).not_to_have_count(0)
    none_in("the plan")
    page.get_by_role("button", name="Mein Rezept einfügen").click()
    page.get_by_role("textbox", name="Zutaten", exact=True).fill(
        "500 g Mehl\n1 Ei\n100 ml Milch\n1 Handvoll Kräuter"
    )
    expect(page.get_by_role("group", name="Was wir gelesen haben")).to_contain_text("Wahrscheinlich")
    none_in("a recipe as it was read")
