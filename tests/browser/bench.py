"""Uses the page as a baker does: finds fields by their labels and answers by their names."""

import json
import re

import requests
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page, expect

from scaldloaf.operations.lantern_quay import TIN_LOAF

SETTLED = "#work[data-state=settled]"
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}


def work_of(formula: dict, share: float) -> dict:
    """The work as the page saves it, with nothing known of the bread yet."""
    lines = [
        {"key": f"k{index}", "part": "dough", **line, "amount": line["mass"]}
        for index, line in enumerate(formula["lines"])
    ]
    for line in lines:
        del line["mass"]
    formula = {"name": formula["name"], "lines": lines, "scald_evaporation": 0, "by": "mass", "flour": None}
    return {"version": 1, "units": "metric", "formula": formula, "share": share}


def come_back(page: Page) -> None:
    """From now on the page opens as for a baker who has the tin loaf on it, at its own share."""
    saved = json.dumps(json.dumps(work_of(tin_loaf(), 20)))
    page.add_init_script(
        "try { if (localStorage.getItem('scaldloaf.work') === null && !sessionStorage.getItem('came-back')) {"
        " sessionStorage.setItem('came-back', '1');"
        f" localStorage.setItem('scaldloaf.work', {saved}); }} }} catch {{}}"
    )


def open_bench(page: Page, address: str = "/", folds: tuple[str, ...] | None = None) -> Page:
    """Opens the page as ``come_back``, with these folds open: all of them, unless said otherwise."""
    come_back(page)
    page.goto(address)
    settle(page)
    return unfold(page, folds)


def unfold(page: Page, folds: tuple[str, ...] | None = None) -> Page:
    """Loads what is folded, and opens these folds, or all of them."""
    page.wait_for_selector(".fold", state="attached")
    page.evaluate(
        """(names) => {
            dispatchEvent(new Event("scroll"));
            for (const fold of document.querySelectorAll(".fold"))
                if (!names || names.includes(fold.id)) fold.open = true;
        }""",
        folds,
    )
    page.wait_for_selector(".section-notebook", state="attached")
    return page


def use_units(page: Page, units: str) -> None:
    """Chooses "metric" or "us" in the head of the page."""
    menu = page.locator("#tools details").first
    menu.locator("summary").click()
    menu.get_by_role("button").nth(["metric", "us"].index(units)).click()


def use_language(page: Page, name: str) -> None:
    """Chooses a language by its own name in the head of the page."""
    page.locator("#tools summary").last.click()
    page.get_by_role("button", name=name, exact=True).click()


def act_on_line(page: Page, action: str) -> None:
    """Presses a button such as "Remove Honey", which a line of the recipe shows once its "…" is pressed."""
    button = page.get_by_role("button", name=action, exact=True)
    if not button.count():
        ingredient = re.sub(r"^(Remove|Move) | to the (scald|dough)$", "", action)
        page.get_by_role("button", name=f"Move or remove {ingredient}", exact=True).first.click()
    button.first.click()


def total(page: Page) -> float:
    """What the card puts on the scale, all lines together."""
    return float(answer(page, "What to weigh").locator(".total data").get_attribute("value"))


def settle(page: Page) -> None:
    """Waits until every answer is for the entries."""
    page.wait_for_selector(SETTLED)


def field(within: Page | Locator, label: str) -> Locator:
    """The text fields with this label that can be seen.

    Much sooner found than by their role and name, for which the browser works out the name of every field.
    """
    page = within.page if isinstance(within, Locator) else within
    return within.get_by_label(label, exact=True).and_(
        page.locator("input[type=text]:visible, textarea:visible")
    )


def fill(page: Page, label: str, text: str, within: Locator | None = None) -> None:
    enter(field(within or page, label), text)


def enter(field: Locator, text: str) -> None:
    """Fills a field; again where a busy browser has dropped the text.

    It is looked for once: by role and name that costs more than the rest.
    """
    found = field.element_handle()
    before = found.input_value()
    for _ in range(5):
        found.fill(text)
        if found.input_value() != before or text == before:
            return


def answer(page: Page, name: str) -> Locator:
    """An answer by its name: by its attributes, as by role the browser goes through the whole page."""
    return page.locator(f'[role=group][aria-label="{name}"]')


def row(group: Locator, term: str) -> Locator:
    """The row with this term in a list of figures."""
    return group.locator("dl > div").filter(has=group.page.locator("dt").get_by_text(term, exact=True))


def figures(group: Locator, term: str) -> list[float]:
    """The unrounded numbers beside a term."""
    found = row(group, term)
    expect(found).to_have_count(1)
    return found.locator("data").evaluate_all("(all) => all.map((each) => Number(each.value))")


def shown(group: Locator, term: str) -> str:
    return re.sub(r"\s+", " ", row(group, term).locator("dd").text_content())


class Service:
    """The API, to make the same calls as the page."""

    def __init__(self, url: str):
        self.url = url
        self.session = requests.Session()
        self.session.trust_env = False

    def __call__(self, call: str, **body) -> dict:
        response = self.session.post(
            f"{self.url}/v1/{call}", data=json.dumps(body), headers={"Content-Type": "application/json"}
        )
        assert response.status_code == 200, response.text
        return response.json()


def tin_loaf() -> dict:
    """A copy of the Lantern Quay tin loaf."""
    return json.loads(json.dumps(TIN_LOAF))


def findings(page: Page, within: str | None = None, **options) -> list[str]:
    """The faults that axe-core finds in the page as it is, shadow roots included.

    within: only in what this selector finds, for tests of a part. test_for_everyone.py looks at whole pages.
    """
    # Without the passed nodes one by one, which take as long as the rules themselves.
    wanted = {**RULES, "resultTypes": ["violations"], **options}
    # A first look leaves out the address of each node, a fifth of the time.
    if not Axe().run(page, within, options={**wanted, "selectors": False}).response["violations"]:
        return []
    found = Axe().run(page, within, options=wanted).response["violations"]
    return [
        f"{rule['id']}: {node['target']} {node['failureSummary']}" for rule in found for node in rule["nodes"]
    ]


def findings_in_both_looks(page: Page, within: str | None = None, **options) -> list[str]:
    """The same for a page opened in the light look, and in the dark one what colours decide."""
    found = findings(page, within, **options)
    page.emulate_media(color_scheme="dark", reduced_motion="reduce")
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    page.wait_for_function("() => document.getAnimations().every((each) => each.playState === 'finished')")
    return found + findings(page, within, **{**options, "runOnly": ["color-contrast", "link-in-text-block"]})


def too_low(controls: Locator) -> list[float]:
    """The heights below 44 px among what can be pressed or filled in."""
    heights: list[float] = controls.evaluate_all(
        "(all) => all.map((each) => each.getBoundingClientRect().height).filter((height) => height < 44)"
    )
    return heights
