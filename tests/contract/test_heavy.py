"""No request of 64 kB makes much work, and none more than its length gives cause for.

Work is counted (tests/work.py), so these tests find the same on every machine. tests/benchmarks/heavy.py
measures the heaviest requests in milliseconds.
"""

import json
import random
import re
from contextlib import suppress

import orjson
import pytest

import heavy
from heavy import MOST_WORK, REQUESTS, body_of
from mangling import LIMIT, answer
from scaldloaf.http.reading import NotJson, read_json, write_json
from scaldloaf.http.settings import Settings
from scaldloaf.importing.quantities import amounts
from scaldloaf.importing.words import text, vocabulary
from scaldloaf.importing.words.sections import kept_titles
from scaldloaf.operations import perform as performing
from scaldloaf.operations.faults import MOST_HOPS, InputFault
from scaldloaf.operations.lantern_quay import HOW_FAR, TIN_LOAF
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME
from scaldloaf.operations.schemas.common import MAX_LINES
from scaldloaf.operations.schemas.keeping import MAX_LOAVES, MAX_SCORES
from scaldloaf.operations.schemas.order_demand import MOST_FORMULAS
from scaldloaf.operations.schemas.sugar_budget import MAX_STAGES
from scaldloaf.operations.schemas.trial_fit import MOST_TRIALS
from work import Read, work

MOST_GROWTH = 2.3  # of the work for twice the list: all of it in step, and a bit
MOST_GROWTH_OF_TRIALS = 4  # each may be what turns another's soundness, so a list holds only 40
MOST_ANSWER_BYTES = 8 * LIMIT  # writing, packing and sending it takes as long as it is
MOST_IMPORT_BYTES = 10 * LIMIT  # a recipe's lines have each doubt in words, and by its code and values


def test_work_is_counted_and_the_same_each_time():
    def step(count):
        return sum([number for number in range(count)])

    def nested(count):
        for _ in range(count):
            step(count)

    assert 2 <= work(lambda: step(1)) < work(lambda: step(100)) == work(lambda: step(100)) < 300
    assert work(lambda: step(200)) < MOST_GROWTH * work(lambda: step(100))
    assert work(lambda: nested(200)) > 3.5 * work(lambda: nested(100))


@pytest.mark.parametrize("name", REQUESTS)
def test_the_heaviest_requests_make_no_more_work_than_is_allowed(name):
    call, request = REQUESTS[name]
    body = body_of(request)
    answer(call, body)  # what is made once and kept is made
    kept_titles.cache_clear()  # but not what only a text that was read before is spared
    assert work(lambda: answer(call, body)) < MOST_WORK[call]


@pytest.mark.parametrize("name", heavy.REQUESTS_OF_A_DAY)
def test_a_day_of_orders_makes_no_more_work_than_is_allowed(name):
    body = body_of(heavy.REQUESTS_OF_A_DAY[name], Settings().max_orders_bytes)
    assert len(body) > 7 * LIMIT
    answer("order-demand", body)
    assert work(lambda: answer("order-demand", body)) < heavy.MOST_WORK_OF_A_DAY


@pytest.mark.parametrize("body", [REQUESTS["share_limit"][1], HOW_FAR], ids=["heaviest", "example"])
def test_a_share_limit_makes_less_work_than_twenty_plans(body):
    plan = {name: value for name, value in body.items() if name not in ("limits", "proof")}
    bodies = [("loaf-plan", body_of(plan)), ("share-limit", body_of(body))]
    for call, asked in bodies:
        assert answer(call, asked) == 200
    one, search = (work(lambda call=call, asked=asked: answer(call, asked)) for call, asked in bodies)
    assert search < 20 * one


def hydration(curve: int) -> dict:
    return {
        **REQUESTS["hydration"][1],
        "water_curve": [
            {"scalded_share_percent": 100 * at / curve, "hydration_percent": 60 + 10 * at / curve}
            for at in range(curve)
        ],
    }


def fermentation(stages: int) -> dict:
    return {
        "formula": TIN_LOAF,
        "stages": [{"minutes": 4320 / stages, "temperature": 5 + index % 2 * 30} for index in range(stages)],
    }


def orders(formulas: int, count: int) -> dict:
    return heavy.orders(formulas, 9, count, {"kind": "baked_pieces", "count": 3, "mass": 9})


# What grows -> the call, its request by the length of the list, and half of the longest there is room for.
GROWING = {
    "lines": ("breakdown", lambda count: {"formula": {"lines": heavy.lines_of(count)}}, MAX_LINES // 2),
    "own_lines": (
        "scaling",
        lambda count: {**REQUESTS["scaling"][1], "formula": {"lines": heavy.own_lines(count)}},
        MAX_LINES // 2,
    ),
    "orders": ("order-demand", lambda count: orders(1, count), 300),
    "formulas": ("order-demand", lambda count: orders(count, 100), MOST_FORMULAS // 2),
    "names": ("order-demand", heavy.unknown_formula, MOST_FORMULAS // 2),
    "stages": ("sugar-budget", fermentation, MAX_STAGES // 2),
    "curve": ("hydration-correction", hydration, 50),
    "loaves": ("keeping", lambda count: heavy.loaves(count, MAX_SCORES, 0.3, apart=1), MAX_LOAVES // 2),
    "scores": ("keeping", lambda count: heavy.loaves(MAX_LOAVES, count, 0.3), MAX_SCORES // 2),
    "recipe_lines": (
        "recipe-import",
        lambda count: {"lines": ["1 1/2 cups (180 g) flour, sifted"] * count},
        100,
    ),
    "misspelt": ("recipe-import", lambda count: {"lines": heavy.misspelt(count)}, 100),
    "recipes": ("recipe-import", lambda count: heavy.recipes(count, 100), 13),
    "ingredients": ("recipe-import", lambda count: heavy.recipes(1, count), 1900),
    "faulty_lines": (
        "breakdown",
        lambda count: {"formula": {"lines": [{"ingredient": 1, "mass": "1", "part": "x" * 40}] * count}},
        350,
    ),
    "fields": (
        "breakdown",
        lambda count: {**{f"k{index}formula": 1 for index in range(count)}, "formula": TIN_LOAF},
        1700,
    ),
    "trials": ("trial-fit", lambda count: heavy.trials(count, 4, 0.1, 0.5), MOST_TRIALS // 2),
    "trials_in_camps": (
        "trial-fit",
        lambda count: heavy.trials(count, 1, 0.03, 0.66, camps=True),
        MOST_TRIALS // 2,
    ),
}


@pytest.mark.parametrize("name", GROWING)
def test_twice_the_list_makes_about_twice_the_work(name):
    call, request, half = GROWING[name]
    bodies = [body_of(request(count)) for count in (half, 2 * half)]
    assert answer(call, bodies[0]) == answer(call, bodies[1])
    few, many = (work(lambda body=body: answer(call, body)) for body in bodies)
    assert many < (MOST_GROWTH_OF_TRIALS if call == "trial-fit" else MOST_GROWTH) * few


@pytest.mark.parametrize(
    "body",
    [
        b'{"\\n":[' + b"[]," * 21_000 + b"[]]}",
        b'{"\\n":1,' + b",".join(b'"k%d":1' % key for key in range(6000)) + b"}",
        b"[" * 60_000,
        b'{"a":' * 12_000,
        b'{"formula":' + b"1" * 60_000 + b"}",
        b'{"\\n":' + b"1" * 60_000 + b"}",
        b'{"\\n":' + b"1" * 308 + b"}",
        b'{"a":0.' + b"1" * 60_000 + b"}",
        b'"' + b"\\u00e9" * 10_000 + b'"',
        b'{"a":1e' + b"9" * 60_000 + b"}",
        b'{"units":"' + b"degC" * 15_000 + b'"}',
        b"\xc3" * 60_000,
        b" " * 65_000,
    ],
    ids=[
        "lists",
        "keys",
        "depth",
        "objects",
        "digits",
        "digits_read_slowly",
        "most_digits",
        "fraction",
        "escapes",
        "exponent",
        "word",
        "broken_utf8",
        "blanks",
    ],
)
def test_reading_json_makes_less_work_than_it_has_characters(body, monkeypatch):
    assert work(lambda: answer("breakdown", body)) < len(body) + 5_000
    # What is written in C reads a text once, and once more for equal keys.
    read, wholes, slowly = Read(), [], json.loads
    monkeypatch.setattr(orjson, "loads", read.by(orjson.loads))
    monkeypatch.setattr(
        json,
        "loads",
        read.by(
            lambda text, **named: slowly(
                text, **{"parse_int": lambda digits: wholes.append(digits) or int(digits), **named}
            )
        ),
    )
    with suppress(NotJson):
        read_json(body)
    assert len(body) <= read.count <= 2 * len(body)
    assert all(len(digits) < 310 for digits in wholes)  # the time that digits take grows with their square


PATTERNS = {
    (module, name): pattern
    for module in (text, amounts, vocabulary)
    for name, pattern in vars(module).items()
    if isinstance(pattern, re.Pattern)
}


@pytest.mark.parametrize(
    "piece",
    [
        "9",
        "1.",
        "1,",
        "1,1 ",
        "1.5 ",
        "1/2 ",
        "(",
        "(1 g ",
        "a ",
        "half a ",
        "flour ",
        "whole milk powder ",
        "強",
        "砂糖",
        "大さじ1",
        "龍",
        "&amp;",
        "<",
        "<b>1</b>",
        "<br",
        "<br> ",
        "flour,",
        "tangzhong: 1 g flour ",
        "½",
        "a-",
        "'1",
        "٣",
        "\u00a0",
    ],
)
def test_patterns_look_at_each_character_of_a_recipe_a_few_times(piece, monkeypatch):
    """Each is in step with what it looks at: none tries what it has tried before."""
    read = Read()
    for (module, name), pattern in PATTERNS.items():
        monkeypatch.setattr(module, name, read.by_pattern(pattern))
    for body in (
        {"text": "\n".join([(piece * 300)[:300]] * 50)},
        {"text": (piece * LIMIT)[:20_000]},
        {"lines": [(piece * LIMIT)[:1199]] * 15},
    ):
        read.count = 0
        with suppress(InputFault):
            perform(BY_NAME["recipe-import"], body)
        # Twice, as ½ is 1/2 when most of them look.
        assert 0 < read.count <= 2 * len(PATTERNS) * len(json.dumps(body, ensure_ascii=False))


@pytest.mark.parametrize("name", REQUESTS)
def test_answers_are_no_longer_than_a_few_requests(name):
    call, request = REQUESTS[name]
    try:
        written = write_json(perform(BY_NAME[call], request))
    except InputFault as refused:
        written = write_json([fault.as_wire() for fault in refused.faults])
    assert len(written) < (MOST_IMPORT_BYTES if call == "recipe-import" else MOST_ANSWER_BYTES)


def test_nearest_values_are_tried_a_few_times_only(monkeypatch):
    """Each that is tried may be refused in its place again, and to try one is a whole answer."""
    chance = random.Random(1)
    bakes = [
        {
            "scalded_share_percent": 20,
            "dough_mass": 500,
            "baked_mass": 450,
            "loaf_volume": 450 * (3.3, 5.2)[index % 2] * (1 + chance.gauss(0, 0.1)),
        }
        for index in range(MOST_TRIALS)
    ]
    for bake in bakes[:20]:
        bake["loaf_volume"] = str(bake["loaf_volume"])
    tries, answered = [], performing.answer_once
    monkeypatch.setattr(performing, "answer_once", lambda *tried: tries.append(tried) or answered(*tried))
    with pytest.raises(InputFault) as refused:
        perform(BY_NAME["trial-fit"], {"trials": bakes})
    assert any("; then: " in fault.detail for fault in refused.value.faults)
    assert 3 < len(tries) <= MOST_HOPS + 2
