"""The steps of a baker's job in any engine. Only this file has the names of fields and buttons."""

import json

from browser.bench import tin_loaf, work_of
from browser.engine.engine import Engine

SHARE = "Flour to scald"
# Text that is on paper: shown, and not for screen readers only.
PAPER = """() => [...document.querySelectorAll("body *")]
    .filter((node) => !node.matches(".unseen"))
    .filter((node) => node.checkVisibility({ contentVisibilityAuto: true, visibilityProperty: true }))
    .flatMap((node) => [...node.childNodes].filter((child) => child.nodeType === 3))
    .map((text) => text.data.trim()).filter(Boolean).join(" ")"""
NUMBERS = """(place, inside) => [...document.querySelector(place)?.querySelectorAll(inside) ?? []]
    .map((each) => Number(each.getAttribute("value")))"""
FIGURE = """(place, term) => [...document.querySelector(place).querySelectorAll("dl > div")]
    .filter((row) => row.querySelector("dt").textContent === term)
    .flatMap((row) => [...row.querySelectorAll("data")].map((each) => Number(each.value)))"""
TEXT = "(place) => document.querySelector(place)?.textContent.replace(/\\s+/g, ' ') ?? ''"
CARD, WATER, FILL, LOG = ".weigh-card", ".section-water", ".section-fill", ".section-log"
# Into the last column of the bake log.
ENTER = """(share, dough) => {
  const grid = document.querySelector(".section-log .grid");
  const enter = (input, value, event) => {
    input.value = value;
    input.dispatchEvent(new Event(event, { bubbles: true }));
  };
  const row = (name) => [...grid.querySelectorAll("tbody tr")]
    .find((each) => each.querySelector("th")?.textContent.startsWith(name)).lastElementChild;
  enter([...grid.querySelectorAll("thead input")].at(-1), share, "input");
  enter(row("Dough in tin").querySelector("input"), dough, "input");
  const how = row("How it filled").querySelector("select");
  enter(how, [...how.options].find((each) => each.textContent === "just").value, "change");
}"""
PANEL = """() => {
  const root = document.querySelector("scaldloaf-panel")?.shadowRoot;
  if (root?.querySelector(".panel")?.dataset.state !== "settled") return null;
  const named = (each) => each.getAttribute("aria-label") === "What to weigh";
  const card = [...root.querySelectorAll("[role=group]")].find(named);
  const amounts = card.querySelectorAll("tbody tr:not(.group) data");
  return { values: [...amounts].map((each) => Number(each.value)),
           share: root.querySelector("input.number, .slider input[type=text]").value };
}"""


class Baker:
    """Somebody who uses the page in an engine."""

    def __init__(self, engine: Engine):
        self.engine = engine

    def settle(self) -> None:
        """Waits until every answer is for the entries."""
        self.engine.wait_for("() => document.querySelector('#work[data-state=settled]') !== null")

    def _begins(self) -> None:
        """Touches the page: its later parts load with the first use, and it stops scrolling by itself."""
        self.settle()
        self.engine.evaluate(
            "() => { for (const fold of document.querySelectorAll('.fold')) fold.open = true; }"
        )
        self.engine.wait_for("() => document.querySelector('.section-notebook') !== null")
        self.engine.evaluate("() => { dispatchEvent(new Event('pointerdown')); }")
        self.settle()

    def visits_first(self) -> None:
        self.engine.goto("/")
        self._begins()

    def visits(self) -> None:
        """With the tin loaf on the page at its own share, and nothing known of the bread."""
        self.engine.goto("/")
        self.settle()
        saved = json.dumps(work_of(tin_loaf(), 20))
        self.engine.evaluate("(saved) => { localStorage.setItem('scaldloaf.work', saved); }", saved)
        self.comes_again()

    def comes_again(self) -> None:
        self.engine.reload()
        self._begins()

    def scalds(self, percent: str) -> None:
        self.engine.fill(SHARE, percent)

    def takes_a_tin(self, length: str, width: str, depth: str) -> None:
        for name, value in (("Length", length), ("Width", width), ("Depth", depth)):
            self.engine.fill(name, value)

    def fields(self, *names: str) -> list[str]:
        """What is in the text fields with these names."""
        script = """(names) => names.map((name) => [...document.querySelectorAll("input[type=text]")]
            .find((each) => each.labels[0]?.textContent === name)?.value)"""
        return self.engine.evaluate(script, names)

    def share(self) -> str:
        return self.fields(SHARE)[0]

    def amounts(self) -> list[float]:
        """What is to be weighed, line by line; empty while the card is withdrawn."""
        return self.engine.evaluate(NUMBERS, CARD, ".ticks data")

    def card(self) -> str:
        return self.engine.evaluate(TEXT, CARD)

    def hydrations(self) -> list[float]:
        """Before and after."""
        return self.engine.evaluate(FIGURE, WATER, "Hydration")

    def dough(self) -> float:
        """For one tin."""
        return self.engine.evaluate(FIGURE, FILL, "Dough per tin")[0]

    def ticks(self, line: int) -> None:
        """A tap on a line of the card."""
        self.engine.wait_for(
            """(line) => {
                const row = document.querySelectorAll(".ticks label")[line];
                row?.click();
                return row !== undefined;
            }""",
            line,
        )

    def ticked(self) -> list[int]:
        return self.engine.evaluate(
            """() => [...document.querySelectorAll(".ticks input")]
                .flatMap((box, line) => (box.checked ? [line] : []))"""
        )

    def notes(self) -> list[str]:
        """What the lines of the card say of an amount that has changed since it was ticked."""
        return self.engine.evaluate(
            """() => [...document.querySelectorAll(".ticks .was")]
                .map((each) => each.textContent).filter(Boolean)"""
        )

    def opens_the_baking_view(self) -> None:
        self.engine.evaluate("() => { document.querySelector('.section-weigh button.main').click(); }")
        self.engine.wait_for("() => document.querySelector('dialog:modal .ticks') !== null")

    def sees_the_baking_view(self) -> bool:
        return self.engine.evaluate("() => document.querySelector('dialog[open]') !== null")

    def waits_for_the_page(self) -> None:
        """Until the baking view is closed."""
        self.engine.wait_for("() => document.querySelector('dialog[open]') === null")

    def may_print(self) -> bool:
        return self.engine.sees("button", "Print")

    def sees_on_paper(self) -> str:
        self.engine.printing(True)
        try:
            return self.engine.evaluate(PAPER)
        finally:
            self.engine.printing(False)

    def is_refused(self) -> str:
        """What the page says once the share is refused; the amounts are gone by then."""
        self.engine.wait_for("() => document.querySelector('input[aria-invalid=true]') !== null")
        self.engine.wait_for("(place) => document.querySelector(`${place} .ticks`) === null", CARD)
        return self.engine.wait_for(TEXT, ".fault p span:not(:empty)")

    def takes_the_offer(self) -> None:
        """The first way out that the page offers."""
        name = self.engine.wait_for("() => document.querySelector('.fault button')?.textContent")
        self.engine.click("button", name)

    def logs_a_bake(self, share: str, dough: str) -> None:
        """One that just filled the tin."""
        self.engine.click("button", "+ Add a bake")
        self.engine.evaluate(ENTER, share, dough)

    def log(self) -> str:
        return self.engine.evaluate(TEXT, LOG)

    def reads_the_panel(self) -> dict:
        """The amounts that the panel on a recipe page shows, and its share."""
        return self.engine.wait_for(PANEL)

    def height_of_the_frame(self) -> float | None:
        """What the panel in a frame has told the page around; over 600 pixels with all answers."""
        told = "() => Number.parseFloat(document.querySelector('iframe').style.height)"
        return self.engine.evaluate(told)
