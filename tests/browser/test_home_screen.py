"""On a phone's home screen: the page can be installed, has icons and colours, and opens without a network."""

import io
import json
import re
from urllib.parse import urljoin

import pytest
from PIL import Image, ImageChops

from browser.bench import answer, fill, open_bench, settle
from browser.test_offline import keep
from icons import ICONS, WEB, draw

MANIFEST = json.loads((WEB / "manifest.webmanifest").read_text("utf-8"))
ALIKE = 24  # of 255: another version of the browser smooths edges in its own way


def colours(look: str) -> dict[str, str]:
    """The colours of a style rule by their names."""
    return dict(re.findall(r"--([\w-]+): (#[0-9a-f]+);", look))


def wants(manifest: dict, address: str) -> list[str]:
    """What browsers ask of a page before they offer to install it, and this manifest lacks."""
    icons = manifest.get("icons", [])
    plain = [icon for icon in icons if icon.get("purpose", "any") == "any" and icon["type"] == "image/png"]
    checks = {
        "a name": manifest.get("name") and manifest.get("short_name"),
        "a way to be shown": manifest.get("display") in ("standalone", "fullscreen", "minimal-ui"),
        "a start in its scope": urljoin(address, manifest.get("start_url", "")).startswith(
            urljoin(address, manifest.get("scope", "."))
        ),
        "an icon of 192 pixels": any(icon["sizes"] == "192x192" for icon in plain),
        "an icon of 512 pixels": any(icon["sizes"] == "512x512" for icon in plain),
        "an icon to be cut": any(icon.get("purpose") == "maskable" for icon in icons),
    }
    return [what for what, there in checks.items() if not there]


def test_it_can_be_installed(open_page):
    """The headless Chromium of the tests reads the manifest, but has nothing that installs it."""
    page = open_bench(open_page(390, 844, service_workers="allow"))
    read = page.context.new_cdp_session(page).send("Page.getAppManifest")
    assert read["errors"] == [] and json.loads(read["data"]) == MANIFEST
    assert read["url"].endswith("/manifest.webmanifest")
    assert wants(MANIFEST, read["url"]) == []
    assert len(wants({"start_url": "http://127.0.0.1:1/"}, read["url"])) == 6
    assert page.evaluate("isSecureContext")
    page.wait_for_function("() => navigator.serviceWorker.controller !== null")


def test_its_parts_are_served_with_their_types(session, service):
    reply = session.get(f"{service.url}/manifest.webmanifest")
    assert reply.headers["Content-Type"] == "application/manifest+json" and reply.json() == MANIFEST
    listed = session.get(f"{service.url}/files.json").json()
    for icon in MANIFEST["icons"]:
        reply = session.get(f"{service.url}/{icon['src']}")
        assert reply.status_code == 200 and reply.headers["Content-Type"] == icon["type"]
        assert icon["src"] in listed
        if icon["type"] == "image/png":
            picture = Image.open(io.BytesIO(reply.content))
            assert "{}x{}".format(*picture.size) == icon["sizes"]


def test_the_icons_are_the_drawing(browser):
    """They are drawn anew when web/icon.svg changes: tests/icons.py writes them."""
    for name, picture in draw(browser).items():
        now, kept = (
            Image.open(io.BytesIO(each)).convert("RGBA") for each in (picture, (WEB / name).read_bytes())
        )
        assert now.size == kept.size == (ICONS[name].size, ICONS[name].size)
        off = ImageChops.difference(now, kept).getextrema()
        assert max(high for _, high in off) <= ALIKE, f"{name} is not the drawing: run tests/icons.py"


def test_a_cut_icon_keeps_the_drawing_whole():
    picture = Image.open(WEB / "icon-maskable-512.png").convert("RGB")
    ground = Image.new("RGB", picture.size, picture.getpixel((0, 0)))
    off = ImageChops.difference(picture, ground).convert("L")
    whole = 0.4 * 512
    drawn = [
        (x - 256, y - 256) for x in range(0, 512, 4) for y in range(0, 512, 4) if off.getpixel((x, y)) > ALIKE
    ]
    assert len(drawn) > 500 and max(x * x + y * y for x, y in drawn) <= whole * whole


@pytest.mark.parametrize("look", ["light", "dark"])
def test_its_colours_are_those_of_the_page(page, look):
    light, dark = (
        (WEB / "styles" / "look.css").read_text("utf-8").split("@media (prefers-color-scheme: dark)")[:2]
    )
    bench = colours(light if look == "light" else dark)["bench"]
    open_bench(page)
    meta = page.locator(f"meta[name=theme-color][media='(prefers-color-scheme: {look})']")
    assert meta.get_attribute("content") == bench
    if look == "light":
        assert (MANIFEST["theme_color"], MANIFEST["background_color"]) == (bench, colours(light)["paper"])


def test_it_opens_from_the_home_screen_without_a_network_on_the_last_card(open_page, watch):
    watch.expect("Failed to load resource|net::ERR")
    page = open_bench(open_page(390, 844, service_workers="allow"))
    fill(page, "Flour to scald", "35")
    settle(page)
    card = answer(page, "What to weigh").locator(".answer-body").text_content()
    keep(page)
    page.close()

    page = page.context.new_page()
    page.context.set_offline(True)
    page.goto(f"/{MANIFEST['start_url']}")
    page.wait_for_selector("#work[data-state=unreachable]")
    assert answer(page, "What to weigh").locator(".answer-body").text_content() == card
    assert page.evaluate(
        "(names) => Promise.all(names.map((name) => fetch(name).then((reply) => reply.ok)))",
        ["manifest.webmanifest", *ICONS],
    ) == [True] * (1 + len(ICONS))
