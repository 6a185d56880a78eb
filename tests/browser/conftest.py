"""Chromium on the real service. Pages may log no error and call no other host."""

import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, expect

from browser import driver

HERE = Path(__file__).parent
PATIENCE_MS = int(os.environ.get("BROWSER_PATIENCE_MS", "60000"))  # a long limit: the machine may be busy
# Chromium writes a console line for every refused request; a refusal is an answer the page must handle.
REFUSAL = re.compile(r"^Failed to load resource: the server responded with a status of 422")
# The page registers a service worker; a test only gets it on demand. Once it controls a page, timing decides
# whether ``page.route`` sees a request.
BLOCKED = re.compile("^Service Worker registration blocked")
expect.set_options(timeout=PATIENCE_MS)


class Watch:
    """Records what pages must not do: console errors, exceptions, requests to other hosts.

    No other host has an address (``driver.ARGUMENTS``), and a request that fails is an error on the console.
    """

    def __init__(self):
        self.complaints: list[str] = []
        self._expected: list[re.Pattern] = [REFUSAL, BLOCKED]

    def expect(self, pattern: str) -> None:
        """Allows console lines that match ``pattern``, for tests that break something on purpose."""
        self._expected.append(re.compile(pattern))

    def over(self, page: Page) -> None:
        page.on("console", self._console)
        page.on("pageerror", lambda error: self.complaints.append(f"exception: {error}"))

    def _console(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning", "assert"):
            self.complaints.append(f"console {message.type}: {message.text} ({message.location.get('url')})")

    def unexpected(self) -> list[str]:
        text = re.compile(r"^console \w+: ")
        return [
            complaint
            for complaint in self.complaints
            if not any(pattern.search(text.sub("", complaint)) for pattern in self._expected)
        ]


@pytest.hookimpl(trylast=True)
def pytest_runtest_teardown(item, nextitem):
    if nextitem is None or HERE not in nextitem.path.parents:
        driver.stop()


@pytest.fixture
def browser() -> Browser:
    return driver.chromium()


@pytest.fixture
def watch() -> Watch:
    watch = Watch()
    yield watch
    assert not watch.unexpected(), watch.unexpected()


@pytest.fixture
def open_page(browser, service, watch) -> Callable[..., Page]:
    """open_page(width, height, **context) -> a page in a new profile; ``goto("/")`` opens the service.

    Without a service worker, unless ``service_workers="allow"``.
    """
    contexts = []

    def open_page(width: int, height: int, **options) -> Page:
        context = browser.new_context(
            viewport={"width": width, "height": height},
            base_url=service.url,
            **{"locale": "en-GB", "service_workers": "block", **options},
        )
        contexts.append(context)
        context.set_default_timeout(PATIENCE_MS)
        context.on("page", watch.over)
        return context.new_page()

    yield open_page
    for context in contexts:
        context.close()


@pytest.fixture
def page(open_page) -> Page:
    """A phone in portrait."""
    return open_page(390, 844, has_touch=True)


@pytest.fixture
def wide_page(open_page) -> Page:
    """A laptop."""
    return open_page(1280, 800)
