"""The recipe page of openapi/examples, served from another origin, with the real service."""

import functools
import re
import threading
from contextlib import contextmanager
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import expect

from running import ROOT, Service
from scaldloaf.operations.lantern_quay import TIN_LOAF

EXAMPLES = ROOT / "openapi" / "examples"
RECIPE_SITE_TYPES = {".mjs": "text/javascript", ".html": "text/html; charset=utf-8"}


class RecipeSite(SimpleHTTPRequestHandler):
    """Serves the example as any web server would, with the address of this run's service."""

    extensions_map = RECIPE_SITE_TYPES

    def __init__(self, *arguments, service: str, **more):
        self.service = service
        super().__init__(*arguments, directory=str(EXAMPLES), **more)

    def do_GET(self):
        body = (
            (EXAMPLES / Path(self.path).name)
            .read_text("utf-8")
            .replace("http://127.0.0.1:8000", self.service)
        )
        self.send_response(200)
        self.send_header("Content-Type", self.guess_type(self.path))
        self.end_headers()
        self.wfile.write(body.encode())

    def log_message(self, *_):
        pass


@contextmanager
def serving(service: str):
    """The address of the recipe page, on a site other than the service's."""
    with ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(RecipeSite, service=service)) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}/recipe_page.html"
        server.shutdown()
        thread.join()


@pytest.fixture
def recipe_site(service):
    with serving(service.url) as address:
        yield address


def lines(page) -> list[list[str]]:
    return [row.locator("td").all_inner_texts() for row in page.locator("#lines tbody tr").all()]


def test_the_recipe_is_rewritten_for_another_share(page, recipe_site, session, service):
    page.goto(recipe_site)
    expect(page.get_by_role("status")).to_contain_text("35.0 % scalded, water ")
    shown = lines(page)
    assert shown[0][:2] == ["scald", "bread flour"] and shown[1][:2] == ["scald", "water"]
    # Only the tablespoon of milk powder differs from the loaf with all lines by weight.
    moved = session.post(
        f"{service.url}/v1/hydration-correction", json={"formula": TIN_LOAF, "scalded_share_percent": 35}
    ).json()
    assert float(shown[0][2]) == pytest.approx(moved["formula"]["lines"][0]["mass"], rel=0.01)
    expect(page.locator("#doubts li")).to_have_count(2)
    expect(page.locator("#doubts li").first).to_contain_text(
        "“1 tbsp skimmed milk powder” was read as 1 tablespoon of"
    )
    expect(page.locator("#doubts li").last).to_contain_text("“5 g yeast” was read as 5 g of")
    expect(page.locator("#cautions")).to_contain_text("A scald is hot")

    page.get_by_role("spinbutton").fill("20")
    page.get_by_role("button").click()
    expect(page.get_by_role("status")).to_contain_text("20.0 % scalded")
    assert float(lines(page)[0][2]) == pytest.approx(100, rel=0.01)


def test_an_impossible_share_is_refused_with_one_that_works(page, recipe_site):
    page.goto(recipe_site)
    page.get_by_role("spinbutton").fill("100")
    page.get_by_role("button").click()
    said = page.get_by_role("status")
    expect(said).to_contain_text("The nearest share that works is")
    expect(page.locator("#lines")).to_be_hidden()
    nearest = re.search(r"works is ([\d.]+) %", said.inner_text())[1]
    page.get_by_role("spinbutton").fill(nearest)
    page.get_by_role("button").click()
    expect(said).to_contain_text(f"{float(nearest):.1f} % scalded")


def test_a_busy_service_is_retried_when_it_says(page, watch):
    watch.expect("status of 429")
    with Service(SCALDLOAF_RATE="1/second") as busy, serving(busy.url) as address:
        page.on("response", lambda response: statuses.append(response.status))
        statuses = []
        page.goto(address)
        expect(page.get_by_role("status")).to_contain_text("35.0 % scalded")
    assert 429 in statuses and statuses[-1] == 200


def test_an_unreachable_service_is_reported(page, recipe_site, watch):
    watch.expect("Failed to load resource: net::ERR_FAILED")
    page.route("**/v1/**", lambda route: route.abort())
    page.goto(recipe_site)
    expect(page.get_by_role("status")).to_have_text("The service can't be reached just now.")
