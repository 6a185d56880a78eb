"""Chromium, driven by Playwright."""

import json
from pathlib import Path

import tools
from browser import driver
from browser.engine.engine import Engine, call

ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-dev-shm-usage",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
)
PATIENCE_MS = 120_000


class Chromium(Engine):
    name = "chromium"

    def start(self) -> None:
        self._complaints: list[str] = []
        self._context = self._browser = None
        self._browser = driver.playwright().chromium.launch(
            executable_path=tools.find("chromium"), args=list(ARGUMENTS), headless=True
        )

    def stop(self) -> None:
        if self._browser:
            self._browser.close()

    def fresh(self, width: int, height: int) -> None:
        if self._context:
            self._context.close()
        self._context = self._browser.new_context(
            viewport={"width": width, "height": height}, base_url=self.url, locale="en-GB"
        )
        self._context.set_default_timeout(PATIENCE_MS)
        self._page = self._context.new_page()
        self._page.on("console", self._console)
        self._page.on("pageerror", lambda error: self._complaints.append(f"exception: {error}"))

    def _console(self, message) -> None:
        # Chromium writes a line for every answer 4xx; a refusal is one that the page handles.
        if message.type in ("error", "warning") and "status of 422" not in message.text:
            self._complaints.append(f"console {message.type}: {message.text}")

    def goto(self, path: str) -> None:
        self._page.goto(path)

    def reload(self) -> None:
        self._page.reload()

    def back(self) -> None:
        self._page.go_back()

    def evaluate(self, function: str, *arguments):
        return json.loads(self._page.evaluate(call(function, *arguments)))

    def _found(self, role: str, name: str):
        if role == "summary":
            return self._page.locator("summary").filter(has_text=name).first
        return self._page.get_by_role(role, name=name, exact=True).first

    def click(self, role: str, name: str) -> None:
        self._found(role, name).click()

    def _type(self, name: str, text: str) -> None:
        self._found("textbox", name).fill(text)

    def choose(self, name: str, value: str) -> None:
        self._found("combobox", name).select_option(value)

    def screenshot(self, path: Path) -> None:
        self._page.screenshot(path=path)

    def complaints(self) -> list[str]:
        return self._complaints

    def printing(self, on: bool) -> None:
        self._page.emulate_media(media="print" if on else "screen")
