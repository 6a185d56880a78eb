"""The fixtures' watch over pages catches errors and requests to other hosts."""

import pytest

PATIENCE_MS = 60_000


@pytest.fixture
def caught(page, watch):
    """caught(script) -> the faults that the watch recorded during the script; then clears them."""

    def caught(script: str) -> list[str]:
        page.goto("/livez")
        page.evaluate(script)
        for _ in range(PATIENCE_MS // 50):
            page.wait_for_timeout(50)
            if found := watch.unexpected():
                break
        watch.complaints.clear()
        return found

    return caught


def test_console_errors_and_exceptions_are_caught(caught):
    assert any("console error: burnt" in line for line in caught("console.error('burnt')"))
    assert any(
        "exception: " in line and "flat" in line
        for line in caught("setTimeout(() => { throw new Error('flat') }, 0)")
    )


def test_a_request_to_another_host_is_caught_and_goes_nowhere(page, watch):
    page.route("**/empty", lambda route: route.fulfill(body="<!doctype html>", content_type="text/html"))
    page.goto("/empty")
    answered = page.evaluate("fetch('http://recipes.example/').then(() => true, () => false)")
    assert answered is False
    assert any("ERR_NAME_NOT_RESOLVED (http://recipes.example/)" in line for line in watch.unexpected())
    watch.complaints.clear()


def test_two_sizes_of_page(page, wide_page):
    assert page.evaluate("innerWidth") == 390 and wide_page.evaluate("innerWidth") == 1280
