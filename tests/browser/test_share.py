"""A plan goes to somebody else: shared, copied, or as a QR code on the printed card."""

import io
import json
import re

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

import qr
from browser.bench import answer, fill, open_bench, settle, unfold
from browser.mangled import link_to

SHARE = "Flour to scald"
WITH_CODE = "Print with a QR code"
# Prints are counted, and end when the test says so.
PRINTS = """window.prints = [];
window.print = () => prints.push(document.querySelector(".card-code").childElementCount);"""


@pytest.fixture
def bench(open_page) -> Page:
    page = open_page(390, 844, device_scale_factor=3)
    page.add_init_script(PRINTS)
    return open_bench(page)


def amounts(page: Page) -> list[str]:
    return (
        answer(page, "What to weigh")
        .locator(".ticks data")
        .evaluate_all("all => all.map(each => each.value)")
    )


def code(page: Page):
    return page.locator(".card-code img")


def ask_for_a_code(page: Page) -> None:
    page.get_by_role("button", name=WITH_CODE).click()
    page.wait_for_function("() => prints.length > 0")


def stored(page: Page) -> dict:
    """The work that the browser keeps, from its first change."""
    fill(page, SHARE, "31")
    settle(page)
    return json.loads(page.evaluate("localStorage.getItem('scaldloaf.work')"))


def on_paper(page: Page) -> str:
    """The link in the code on paper."""
    page.emulate_media(media="print")
    expect(code(page)).to_be_visible()
    picture = Image.open(io.BytesIO(code(page).screenshot()))
    page.emulate_media(media="screen")
    return qr.read(picture)


def test_the_code_on_paper_opens_this_bread(bench, open_page):
    fill(bench, SHARE, "35")
    fill(bench, "Bread name", "Pier loaf, 35 % with “Brühstück”")
    settle(bench)
    weighed = (
        answer(bench, "What to weigh")
        .locator(".ticks data")
        .evaluate_all("all => all.map(each => each.value)")
    )
    ask_for_a_code(bench)
    assert bench.evaluate("prints") == [2]
    expect(code(bench)).to_be_hidden()  # on the screen
    link = on_paper(bench)
    assert link.startswith(bench.url.split("#")[0] + "#plan=")

    there = open_page(390, 844)
    there.goto(link)
    expect(there.get_by_text("Pier loaf, 35 % with “Brühstück” opened.")).to_be_visible()
    settle(there)
    assert amounts(there) == weighed


def test_the_tin_loafs_code_is_small_and_its_modules_are_large(bench):
    ask_for_a_code(bench)
    link = on_paper(bench)
    assert len(link) < 1003  # version 22 of a code at level L, 105 modules wide
    modules = int(re.search(r"viewBox%3D%220%200%20(\d+)", code(bench).get_attribute("src"))[1])
    assert modules <= 105 + 2 * 4
    bench.emulate_media(media="print")
    assert code(bench).bounding_box()["width"] / 96 * 25.4 / modules == pytest.approx(0.45, rel=0.01)


def test_it_is_gone_after_the_print(bench):
    ask_for_a_code(bench)
    expect(code(bench)).to_have_count(1)
    bench.evaluate("dispatchEvent(new Event('afterprint'))")
    expect(code(bench)).to_have_count(0)


@pytest.mark.parametrize("entry, text", [(SHARE, "36"), (SHARE, "75"), ("Bread name", "Jetty loaf")])
def test_another_bread_has_no_code_of_the_one_before(bench, entry, text):
    ask_for_a_code(bench)
    fill(bench, entry, text)
    expect(code(bench)).to_have_count(0)


def test_no_code_is_printed_for_a_bread_that_changed_while_it_was_drawn(bench):
    held = []
    bench.route("**/v1/link-code", lambda route: held.append(route))
    bench.get_by_role("button", name=WITH_CODE).click()
    for _ in range(400):
        if held:
            break
        bench.wait_for_timeout(25)
    fill(bench, SHARE, "36")
    settle(bench)
    held[0].continue_()
    bench.wait_for_timeout(500)
    assert bench.evaluate("prints") == []
    expect(code(bench)).to_have_count(0)


def test_the_link_is_sent_only_when_a_code_is_asked_for(bench):
    asked = []
    bench.on("request", lambda request: asked.append(request))
    fill(bench, SHARE, "30")
    settle(bench)
    bench.get_by_role("button", name="Print", exact=True).click()
    assert bench.evaluate("prints") == [0]
    assert not [each.url for each in asked if "link-code" in each.url or "plan=" in (each.post_data or "")]
    bench.evaluate("prints.length = 0")
    ask_for_a_code(bench)
    (sent,) = [each for each in asked if "link-code" in each.url]
    assert sent.method == "POST" and "plan=" in json.loads(sent.post_data)["link"]
    assert "plan=" not in sent.url


def test_a_bread_too_long_for_a_code_says_so_on_paper(bench):
    """160 lines, each with an amount unlike the others."""
    plan = stored(bench)
    plan["formula"]["lines"] += [
        {
            "key": f"more{index}",
            "ingredient": "water",
            "amount": 0.1 + 0.71828182 ** (1 + index / 50),
            "part": "dough",
        }
        for index in range(160)
    ]
    bench.goto("about:blank")
    bench.goto(f"/{link_to(plan)}")
    expect(bench.get_by_text("opened.")).to_be_visible()
    settle(bench)
    unfold(bench)
    ask_for_a_code(bench)
    bench.emulate_media(media="print")
    expect(bench.locator(".card-code")).to_have_text(
        f"This bread is too long for a QR code. Its page: {bench.url.split('#')[0]}"
    )


def test_without_the_service_there_is_no_code(bench, watch):
    watch.expect("Failed to load resource")
    bench.route("**/v1/link-code", lambda route: route.abort())
    bench.get_by_role("button", name=WITH_CODE).click()
    expect(bench.get_by_text("The QR code needs the service")).to_be_visible()
    assert bench.evaluate("prints") == []


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_card_with_its_code_prints_on_one_page(bench, paper):
    ask_for_a_code(bench)
    assert len(re.findall(rb"/Type\s*/Page\b", bench.pdf(format=paper))) == 1


# Sharing


def shared(open_page, outcome: str) -> Page:
    page = open_page(390, 844, permissions=["clipboard-read", "clipboard-write"])
    page.add_init_script(f"""window.shared = [];
    navigator.share = async (what) => {{ shared.push(what); {outcome} }};""")
    return open_bench(page)


def test_share_hands_the_link_to_the_system(open_page):
    page = shared(open_page, "")
    page.get_by_role("button", name="Share this bread").click()
    page.wait_for_function("() => shared.length > 0")
    (what,) = page.evaluate("shared")
    assert what["title"] == "Lantern Quay tin loaf" and "#plan=" in what["url"]


def test_a_share_that_is_called_off_does_nothing(open_page):
    page = shared(open_page, "throw new DOMException('', 'AbortError');")
    page.get_by_role("button", name="Share this bread").click()
    page.wait_for_function("() => shared.length > 0")
    page.wait_for_timeout(200)
    expect(page.get_by_text("Link copied")).to_have_count(0)


def test_a_share_that_fails_copies_the_link(open_page):
    page = shared(open_page, "throw new DOMException('', 'NotAllowedError');")
    page.get_by_role("button", name="Share this bread").click()
    expect(page.get_by_text("Link copied")).to_be_visible()
    assert page.evaluate("navigator.clipboard.readText()") == page.evaluate("shared")[0]["url"]


def test_where_nothing_can_be_shared_the_link_is_copied(open_page):
    page = open_page(390, 844, permissions=["clipboard-read", "clipboard-write"])
    page.add_init_script("delete Navigator.prototype.share;")
    open_bench(page)
    page.get_by_role("button", name="Copy a link to this bread").click()
    expect(page.get_by_text("Link copied")).to_be_visible()
    expect(page.get_by_role("button", name="Share this bread")).to_have_count(0)


# Links


def work_of(page: Page) -> dict:
    """The work that the browser keeps, but for the keys of its rows."""
    text = page.evaluate("localStorage.getItem('scaldloaf.work')")
    return json.loads(re.sub(r'"key":"[^"]*"', '"key":""', text))


def test_a_short_link_leaves_out_only_what_a_reader_puts_back(open_page):
    """A field that was emptied stays empty, although a fresh bread has a value there."""
    page = shared(open_page, "")
    fill(page, SHARE, "33,5")
    fill(page, "Number of tins", "")
    page.locator("summary", has_text="Scale and waste").click()
    fill(page, "Scale precision", "5")
    settle(page)
    # By key: an answer that is drawn late may move the button away from under the mouse.
    page.get_by_role("button", name="Share this bread").press("Enter")
    page.wait_for_function("() => shared.length > 0")
    work = work_of(page)
    assert work["pans"] is None and work["weigh"]["resolution"] == 5

    there = open_page(390, 844)
    there.goto(page.evaluate("shared")[0]["url"])
    expect(there.get_by_text("opened.")).to_be_visible()
    there.wait_for_function("() => localStorage.getItem('scaldloaf.work')?.includes('33.5')")
    assert work_of(there) == work


def test_links_of_an_older_page_open_unchanged(page):
    """Whole works, with a null in every empty field and the keys of their rows."""
    plan = stored(open_bench(page))
    page.goto("about:blank")
    page.goto(f"/{link_to(plan)}")
    expect(page.get_by_text("opened.")).to_be_visible()
    settle(page)
    expect(page.get_by_role("textbox", name=SHARE)).to_have_value("31")
