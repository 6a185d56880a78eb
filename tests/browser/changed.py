"""The page with one of its modules changed, to see what it does when that is broken or wrong."""

from collections.abc import Callable
from functools import partial

from playwright.sync_api import Page, Route

from running import ROOT
from scaldloaf.http.joined import Joined
from scaldloaf.http.pages import PAGE

WEB = ROOT / "web"
MODULES = {path.relative_to(WEB).as_posix(): path.read_text("utf-8") for path in sorted(WEB.rglob("*.js"))}


def with_module(page: Page, module: str, change: Callable[[str], str]) -> None:
    """Serves the page with what ``change`` makes of a module, in its file and by itself."""
    changed = {**MODULES, module: change(MODULES[module])}
    assert changed[module] != MODULES[module]
    before = Joined(MODULES, PAGE, "page").files()
    files = {
        path: text for path, text in Joined(changed, PAGE, "page").files().items() if text != before[path]
    }
    assert len(files) == 1
    for path, text in {module: changed[module], **files}.items():
        page.route(f"**/{path}", partial(_answer, text))


def _answer(text: str, route: Route) -> None:
    route.fulfill(content_type="text/javascript", body=text)
