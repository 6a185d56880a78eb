"""What every engine can do, and what is the same for all of them."""

import json
from abc import ABC, abstractmethod
from pathlib import Path
from types import TracebackType

from running import until

FIND = (Path(__file__).parent / "find.js").read_text("utf-8")
# Scrolls an element to the middle until it stays there: what is far from the window is laid out only then.
TO_THE_MIDDLE = """async (node) => {
  for (let top = null, times = 0; times < 50; times += 1) {
    node.scrollIntoView({ block: "center", behavior: "instant" });
    await new Promise((drawn) => { requestAnimationFrame(() => requestAnimationFrame(drawn)); });
    const now = node.getBoundingClientRect().top;
    if (top !== null && Math.abs(now - top) < 1) break;
    top = now;
  }
  return node;
}"""
CHOOSE = """(select, value) => {
  select.value = value;
  select.dispatchEvent(new Event("input", { bubbles: true }));
  select.dispatchEvent(new Event("change", { bubbles: true }));
}"""
# The rules for print apply to the window, and those for the screen to nothing; and back.
PRINTING = """(on) => {
  const rulesOf = (list) => [...list].flatMap((rule) => [rule, ...rulesOf(rule.cssRules ?? [])]);
  const rules = [...document.styleSheets].flatMap((sheet) => rulesOf(sheet.cssRules));
  const medias = rules.map((rule) => rule.media).filter(Boolean);
  globalThis.asWritten ??= new Map(medias.map((media) => [media, media.mediaText]));
  for (const [media, text] of globalThis.asWritten) {
    media.mediaText = !on ? text : text.replace(/\\bprint\\b/, "all").replace(/\\bscreen\\b/, "not all");
  }
  return globalThis.asWritten.size;
}"""


def call(function: str, *arguments) -> str:
    """An expression that calls a function of JavaScript; its value is a promise of JSON."""
    return f"(async () => JSON.stringify(await ({function})(...{json.dumps(arguments)}) ?? null))()"


class Engine(ABC):
    """A running browser. Names of elements are those that a screen reader says."""

    name: str

    def __init__(self, url: str):
        """url: the service. The page is opened from ``self.url``, which may be another address for it."""
        self.url = url

    @abstractmethod
    def start(self) -> None:
        """Starts the browser."""

    @abstractmethod
    def stop(self) -> None:
        """Ends every process that was started."""

    @abstractmethod
    def fresh(self, width: int, height: int) -> None:
        """An empty window of this size inside, in which nothing is stored."""

    @abstractmethod
    def goto(self, path: str) -> None:
        """Opens a path of the service, and waits until it is loaded."""

    @abstractmethod
    def reload(self) -> None: ...

    @abstractmethod
    def back(self) -> None: ...

    @abstractmethod
    def evaluate(self, function: str, *arguments):
        """The value, as JSON has it, of a function of JavaScript in the page."""

    @abstractmethod
    def click(self, role: str, name: str) -> None: ...

    @abstractmethod
    def _type(self, name: str, text: str) -> None:
        """Types over what is in the text field, once."""

    def fill(self, name: str, text: str) -> None:
        """Types over what is in the text field; again where a busy browser has dropped the text."""
        value = f"(...what) => ({FIND})(...what)?.value"
        until(
            lambda: self._type(name, text) or self.evaluate(value, "textbox", name), lambda now: now == text
        )

    @abstractmethod
    def choose(self, name: str, value: str) -> None:
        """Picks an entry of a list by its value."""

    @abstractmethod
    def screenshot(self, path: Path) -> None: ...

    @abstractmethod
    def complaints(self) -> list[str]:
        """Errors and warnings of the console, exceptions, and what the content policy forbade, until now."""

    def printing(self, on: bool) -> None:
        """Shows the page as it is printed, and again as it is on the screen."""
        assert self.evaluate(PRINTING, on) > 0, "no style has rules for print"

    def wait_for(self, function: str, *arguments):
        """The value of a function in the page once there is one."""
        return until(lambda: self.evaluate(function, *arguments))

    def sees(self, role: str, name: str) -> bool:
        return self.evaluate(f"(...what) => ({FIND})(...what) !== null", role, name)

    def __enter__(self) -> "Engine":
        try:
            self.start()
        except BaseException:
            self.stop()
            raise
        return self

    def __exit__(self, kind: type | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.stop()
