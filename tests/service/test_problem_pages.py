"""The pages of problems: each example call gets the answer that the page shows."""

import json
import os
import re
import subprocess
from html.parser import HTMLParser

import pytest

from replies import read_reply
from running import Service
from scaldloaf.http.error_codes import COMMON, OF_THE_DOUGH
from scaldloaf.http.problem_pages import HELP, HERE, REQUEST_ID, answer_shown
from scaldloaf.http.problems import KINDS

GETTING = [slug for slug, help_ in HELP.items() if help_.gets_problem]
RECOVERING = [slug for slug in HELP if slug not in GETTING]
VOID = {"meta", "link", "br", "wbr"}


class Reader(HTMLParser):
    """The links and texts of a page. Asserts that its elements are closed in order."""

    def __init__(self, text: str):
        super().__init__(convert_charrefs=True)
        self.open, self.links, self.texts = [], [], {}
        self.feed(text)
        self.close()
        assert not self.open

    def handle_starttag(self, tag, attributes):
        self.links += [value for name, value in attributes if name in ("href", "src")]
        if tag not in VOID:
            self.open.append(tag)
            self.texts.setdefault(tag, []).append("")

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        for tag in self.open:
            self.texts[tag][-1] += data


def run(call: str, service) -> dict:
    done = subprocess.run(
        ["bash", "-c", call.replace(HERE, service.url)],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
        env={**os.environ, "no_proxy": "*"},
    )
    return read_reply(done.stdout.encode())


@pytest.mark.parametrize("slug", GETTING)
def test_the_example_gets_the_answer_shown(slug, service):
    problem = run(HELP[slug].call, service)
    assert problem["status"] == KINDS[slug].status
    assert re.fullmatch("[a-z0-9]{7}-[0-9a-f]+", problem["request_id"])
    assert {**problem, "request_id": REQUEST_ID} == json.loads(json.dumps(answer_shown(slug)))


@pytest.mark.parametrize("slug", RECOVERING)
def test_the_example_that_tries_again_succeeds(slug, service):
    assert run(HELP[slug].call, service)["totals"]["flour"] == 500


def test_too_many_requests_get_the_answer_shown(session):
    with Service(SCALDLOAF_RATE="1/day") as limited:
        first, second = (session.post(f"{limited.url}/v1/breakdown", json={}) for _ in range(2))
    assert (first.status_code, second.status_code) == (422, 429)
    wait = second.headers["Retry-After"]
    exposed = second.headers["Access-Control-Expose-Headers"].split(", ")
    assert {"Retry-After", "Request-Id"} <= set(exposed)
    said = second.text.replace(f"in {wait} s", "in 12 s").replace(second.headers["Request-Id"], REQUEST_ID)
    assert said == json.dumps(answer_shown("too-many-requests"), separators=(",", ":"))


@pytest.mark.parametrize("path", ["/problems", *(f"/problems/{slug}" for slug in KINDS)])
def test_the_page_is_well_formed_and_its_links_work(path, session, service):
    response = session.get(service.url + path)
    assert response.status_code == 200 and response.headers["Content-Type"] == "text/html; charset=utf-8"
    page = Reader(response.text)
    assert len(page.texts["h1"]) == 1 and page.texts["title"][0].startswith(page.texts["h1"][0])
    for link in page.links:
        assert link.startswith("/") and session.get(service.url + link).status_code == 200, link


@pytest.mark.parametrize("slug", KINDS)
def test_the_page_shows_its_example_and_meaning(slug, session, service):
    page = Reader(session.get(f"{service.url}/problems/{slug}").text)
    call, answer = page.texts["pre"]
    assert call == HELP[slug].call
    assert json.loads(answer) == json.loads(json.dumps(answer_shown(slug)))
    assert str(KINDS[slug].status) in page.texts["main"][0] and HELP[slug].meaning in page.texts["main"][0]


def test_every_kind_has_help():
    assert list(HELP) == list(KINDS)


def test_the_page_of_refusals_lists_their_codes(session, service):
    page = Reader(session.get(f"{service.url}/problems/invalid-request").text)
    assert {*COMMON, *OF_THE_DOUGH} <= set(page.texts["code"])
