"""Playwright and its Chromium, started once for all the files of this folder that a process runs.

A start costs as much as a test. ``conftest.py`` stops both after the last test of the folder: the event loop
of Playwright is in the way of tests that have their own.
"""

from playwright.sync_api import Browser, Playwright, sync_playwright

import tools

# No background traffic, and no host but this one.
ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-sync",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-dev-shm-usage",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
)
_playwright: Playwright | None = None
_chromium: Browser | None = None


def playwright() -> Playwright:
    global _playwright
    if _playwright is None:
        _playwright = sync_playwright().start()
    return _playwright


def chromium() -> Browser:
    global _chromium
    # Anew where a test has ended it, or it has crashed.
    if _chromium is None or not _chromium.is_connected():
        _chromium = playwright().chromium.launch(
            executable_path=tools.find("chromium"), args=list(ARGUMENTS), headless=True
        )
    return _chromium


def stop() -> None:
    global _playwright, _chromium
    if _chromium is not None:
        _chromium.close()
    if _playwright is not None:
        _playwright.stop()
    _playwright = _chromium = None
