"""The icons of the home screen, drawn from web/icon.svg by Chromium.

Usage: .venv/bin/python tests/icons.py     writes them into web/; run it when that drawing has changed.
"""

from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

import tools

WEB = Path(__file__).resolve().parent.parent / "web"
GROUND = "#7a2e1d"  # of the drawing


@dataclass(frozen=True, slots=True)
class Icon:
    """size: pixels of its sides. drawing: the share of them that the drawing takes; around it is ground."""

    size: int
    drawing: float = 1.0


# Systems cut a maskable icon to their own shape, and leave a circle of four fifths of its width whole.
ICONS = {
    "icon-192.png": Icon(192),
    "icon-512.png": Icon(512),
    "icon-maskable-512.png": Icon(512, 0.72),
}


def draw(browser: Browser) -> dict[str, bytes]:
    """File name -> PNG."""
    svg = (WEB / "icon.svg").read_text("utf-8")
    page = browser.new_page()
    drawn = {}
    for name, icon in ICONS.items():
        ground = GROUND if icon.drawing < 1 else "transparent"
        page.set_viewport_size({"width": icon.size, "height": icon.size})
        page.set_content(
            f"<style>html {{ background: {ground} }} body {{ margin: 0; height: 100vh; display: grid; "
            f"place-items: center }} svg {{ width: {100 * icon.drawing}vw }}</style>{svg}"
        )
        drawn[name] = page.screenshot(omit_background=True)
    page.close()
    return drawn


if __name__ == "__main__":
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=tools.find("chromium"), args=["--no-sandbox"])
        for name, picture in draw(chromium).items():
            (WEB / name).write_bytes(picture)
            print(f"wrote web/{name}")
        chromium.close()
