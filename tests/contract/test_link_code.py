"""link-code: a link to a plan as a QR code that another library reads back; any other link is refused."""

import re

import pytest

import qr
from replies import assert_problem
from scaldloaf.http.link_code import MOST_CHARACTERS

HOST = "https://bakery.example/"
LINK = f"{HOST}#plan=q1bKS8xNVbJSUPJJzCtJLUpVCCxNzakEAA"


def of_length(characters: int) -> str:
    start = f"{HOST}#plan="
    plan = "aZ3_-kQ9" * characters
    return start + plan[: characters - len(start)]


@pytest.mark.parametrize(
    "link",
    [
        LINK,
        "http://127.0.0.1:8000/#plan=A",
        "https://xn--bckerei-5wa.example:8443/bread/?x=1&y=%20#plan=_-09azAZ",
        of_length(400),
        of_length(900),
        of_length(MOST_CHARACTERS),
    ],
)
def test_the_code_is_the_link(client, link):
    reply = client.post("/v1/link-code", json={"link": link})
    assert reply.status_code == 200, reply.get_data(as_text=True)
    assert reply.headers["Content-Type"] == "image/svg+xml"
    assert reply.headers["Cache-Control"] == "no-store"
    assert qr.read(qr.drawn(reply.get_data())) == link


def test_it_has_its_margin_and_no_script(client):
    svg = client.post("/v1/link-code", json={"link": LINK}).get_data(as_text=True)
    assert svg.startswith("<svg ") and not re.search(r"script|href|style|on\w+=", svg)
    picture = qr.drawn(svg.encode())
    dark = picture.point(lambda value: 255 - value).getbbox()
    assert dark[0] == dark[1] == 4 * qr.SCALE and picture.width - dark[2] == 4 * qr.SCALE


def test_the_longest_link_is_small_enough_to_be_read(client):
    svg = client.post("/v1/link-code", json={"link": of_length(MOST_CHARACTERS)}).get_data(as_text=True)
    assert 'viewBox="0 0 145 145"' in svg


@pytest.mark.parametrize(
    ("link", "code"),
    [
        (of_length(MOST_CHARACTERS + 1), "too_long"),
        ("", "not_a_plan_link"),
        ("https://bakery.example/", "not_a_plan_link"),
        ("https://bakery.example/#plan=", "not_a_plan_link"),
        ("https://bakery.example/#plan=a+b", "not_a_plan_link"),
        ("https://bakery.example/#plan=a\n", "not_a_plan_link"),
        ("https://bäckerei.example/#plan=a", "not_a_plan_link"),
        ("https://bakery.example/#other=a#plan=a", "not_a_plan_link"),
        ("javascript:alert(1)#plan=a", "not_a_plan_link"),
        ("ftp://bakery.example/#plan=a", "not_a_plan_link"),
        (f"{LINK} ", "not_a_plan_link"),
        (7, "wrong_type"),
        (None, "wrong_type"),
    ],
)
def test_any_other_link_is_refused(client, link, code):
    error = assert_problem(client.post("/v1/link-code", json={"link": link}), 422, "/link", code)
    assert error["nearest"] is None


@pytest.mark.parametrize(
    ("body", "status", "pointer", "code"),
    [
        ("{}", 422, "/link", "missing"),
        ("[]", 422, "", None),
        (f'{{"link": "{LINK}", "size": 3}}', 422, "/size", None),
        ("{", 400, "", "not_json"),
    ],
)
def test_any_other_request_is_refused(client, body, status, pointer, code):
    reply = client.post("/v1/link-code", data=body, content_type="application/json")
    assert_problem(reply, status, pointer, code)


def test_only_what_can_be_sent_is_asked_for(client):
    assert_problem(client.get("/v1/link-code"), 405)
    asked = {"json": {"link": LINK}}
    assert_problem(client.post("/v1/link-code", headers={"Accept": "application/json"}, **asked), 406)
    assert_problem(client.post("/v1/link-code?show=full", **asked), 422, None, "unknown_parameter")
    assert_problem(client.post("/v1/link-code", data=LINK, content_type="text/plain"), 415)
    assert_problem(client.post("/v1/link-code", json={"link": "x" * 70_000}), 413)
