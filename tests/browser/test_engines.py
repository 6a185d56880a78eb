"""The main job in three engines: Chromium, Firefox and WebKit, which is also that of every iPhone.

``tests/run`` takes one journey through each; ``tests/run --all`` also the rest of this file. The numbers are
those that the service gives for the same entries.
"""

import re
from pathlib import Path

import pytest

from browser.bench import Service, tin_loaf
from browser.engine import ENGINES
from browser.journey import Baker
from running import until

SCREENSHOTS = Path(__file__).parent / "screenshots"
PHONE, LAPTOP = (390, 844), (1280, 900)
TIN = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
OLD = "Not up to date."


@pytest.fixture(scope="module", params=ENGINES)
def engine(request, service):
    """One process for all the tests of the file; no test leaves it to the next with a complaint."""
    with ENGINES[request.param](service.url) as engine:
        yield engine


@pytest.fixture
def baker(engine):
    engine.fresh(*PHONE)
    yield Baker(engine)
    complaints = list(engine.complaints())
    engine.complaints().clear()
    assert complaints == []


@pytest.fixture
def api(service):
    return Service(service.url)


def to_weigh(api, share: float, pan: dict, **bread) -> list[float]:
    """What the service says is to be weighed."""
    moved = api("hydration-correction", formula=tin_loaf(), scalded_share_percent=share)
    known = bread or {"kind": "prior"}
    filled = api("pan-fill", pan=pan, bread=known, scalded_share_percent=share, formula=moved["formula"])
    weighed = api(
        "scaling",
        formula=moved["formula"],
        target={"kind": "dough_mass", "mass": filled["dough_mass"]["best"]},
        losses={"handling_percent": 2},
    )
    return [line["mass"] for line in weighed["weigh_out"]]


def test_the_main_job(baker, api):
    """From a first visit to a card that is printed, with a wrong turn, a reload and another page's panel."""
    loaf = {"kind": "reference_loaf", "dough_mass": 440, "fill_percent": 100, "scalded_share_percent": 20}
    baker.visits_first()
    assert baker.share() == "35" and baker.amounts() == to_weigh(api, 35, TIN, **loaf)
    baker.visits()
    assert baker.share() == "20"
    baker.scalds("35")
    baker.settle()
    assert baker.amounts() == to_weigh(api, 35, TIN)
    baker.takes_a_tin("25", "11", "10,5")
    baker.settle()
    bigger = {"kind": "box", "length": 25, "width": 11, "depth": 10.5}
    expected = to_weigh(api, 35, bigger)
    assert baker.amounts() == expected
    assert baker.may_print()

    baker.scalds("75")
    assert "%" in baker.is_refused()
    assert baker.amounts() == [] and OLD in baker.card() and not baker.may_print()
    paper = baker.sees_on_paper()
    assert OLD in paper and not re.search(r"\d\s*g\b", paper)

    baker.scalds("35")
    until(baker.amounts)
    baker.settle()
    assert baker.amounts() == expected
    paper = baker.sees_on_paper()
    assert "Salt" in paper and "Lantern Quay tin loaf" in paper
    for hidden in (OLD, "Flour to scald", "Baking view", "Saved breads"):
        assert hidden not in paper

    baker.opens_the_baking_view()
    baker.engine.back()
    baker.waits_for_the_page()
    assert baker.amounts() == expected

    baker.comes_again()
    assert baker.amounts() == expected and baker.share() == "35"
    SCREENSHOTS.mkdir(exist_ok=True)
    baker.engine.screenshot(SCREENSHOTS / f"{baker.engine.name}-390.png")

    baker.engine.goto("/demo/tin-loaf.html")
    panel = baker.reads_the_panel()
    assert panel["share"] == "20" and len(panel["values"]) == 10
    baker.scalds("28")
    until(lambda: baker.reads_the_panel()["values"], lambda values: values != panel["values"])
    assert baker.reads_the_panel()["share"] == "28"

    baker.engine.goto("/demo/frame.html")
    until(baker.height_of_the_frame, lambda height: height and height > 600)


@pytest.mark.every_engine
def test_every_answer_is_that_of_the_service(baker, api):
    baker.visits()
    baker.scalds("32,5")
    baker.settle()
    moved = api("hydration-correction", formula=tin_loaf(), scalded_share_percent=32.5)
    assert baker.hydrations() == pytest.approx(
        [moved["before"]["hydration_percent"], moved["after"]["hydration_percent"]]
    )
    baker.engine.choose("What do you already know?", "specific_volume")
    baker.engine.fill("Specific volume", "4.1")
    baker.settle()
    known = {"kind": "specific_volume", "specific_volume": 4.1, "scalded_share_percent": 20}
    filled = api("pan-fill", pan=TIN, bread=known, scalded_share_percent=32.5)
    assert baker.dough() == pytest.approx(filled["dough_mass"]["best"])
    assert baker.amounts() == to_weigh(api, 32.5, TIN, **known)


@pytest.mark.every_engine
def test_a_refusal_offers_a_way_out_that_works(baker):
    baker.visits()
    for percent in ("75", "200", "-3"):
        baker.scalds(percent)
        baker.is_refused()
        baker.takes_the_offer()
        until(baker.amounts)
        baker.settle()
        assert baker.share() != percent


@pytest.mark.every_engine
def test_half_a_number_is_no_refusal(baker):
    baker.visits()
    before = baker.amounts()
    baker.scalds("x")
    baker.is_refused()
    baker.scalds("20")
    until(baker.amounts)
    baker.settle()
    assert baker.amounts() == before


@pytest.mark.every_engine
def test_the_card_keeps_what_is_in_the_bowl(baker):
    baker.visits()
    baker.opens_the_baking_view()
    baker.ticks(0)
    baker.ticks(4)
    baker.engine.click("button", "Close")
    baker.waits_for_the_page()
    assert baker.ticked() == [0, 4]
    baker.comes_again()
    assert baker.ticked() == [0, 4] and baker.notes() == []
    baker.scalds("30")
    baker.settle()
    assert 0 not in baker.ticked()
    assert re.fullmatch(r"was \d+\sg: add \d+\sg", baker.notes()[0])


@pytest.mark.every_engine
def test_bakes_are_logged_and_kept(baker, api):
    baker.visits()
    baker.scalds("35")
    baker.logs_a_bake("20", "440")
    baker.settle()
    trials = [{"scalded_share_percent": 20, "dough_mass": 440, "fill_percent": 100, "pan": TIN}]
    fit = api("trial-fit", trials=trials, want={"pan": TIN, "fill_percent": 100, "scalded_share_percent": 35})
    expected = fit["next_bake"]["dough_mass"]["best"]
    assert f"{expected:.0f} g" in baker.log()
    baker.comes_again()
    until(baker.log, lambda text: f"{expected:.0f} g" in text)


@pytest.mark.every_engine
def test_nothing_is_wider_than_the_window(baker):
    """Also a screenshot on a phone and a laptop, to look at."""
    SCREENSHOTS.mkdir(exist_ok=True)
    for width, height in (PHONE, LAPTOP, (320, 640)):
        baker.engine.fresh(width, height)
        baker.visits()
        baker.scalds("35")
        baker.settle()
        assert baker.engine.evaluate("() => document.scrollingElement.scrollWidth") <= width
        baker.engine.screenshot(SCREENSHOTS / f"{baker.engine.name}-{width}.png")
