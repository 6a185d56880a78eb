"""Each way out that a refusal offers was tried: the request with its change is accepted."""

import json

import pytest

from scaldloaf.operations.faults import MOST_TRIES, Fault, InputFault, Option, Tries, with_options
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME
from working.bodies import UNITS, said_of
from working.spoilt import refused

KNOWN = [{"name": "flour", "temperature": 22}, {"name": "room", "temperature": 24}]
BALANCE = {
    "kind": "heat_balance",
    "formula": TIN_LOAF,
    "target": 26,
    "temperature_rise": 4,
    "flour_temperature": 22,
    "scald_temperature": 25,
}
STAGES = [{"minutes": 4000, "temperature": 5}, {"minutes": 2000, "temperature": 27}]
# call, request, what stays as asked and which places change, in the order offered
REFUSED = {
    "a share that the scald has no liquid for": (
        "hydration-correction",
        {"formula": TIN_LOAF, "scalded_share_percent": 14, "scald_liquid_ratio": 5},
        [
            ("/scalded_share_percent", ["/hydration_percent"]),
            ("/scalded_share_percent", ["/scald_liquids"]),
            ("/scald_liquid_ratio", ["/scalded_share_percent"]),
            ("/scalded_share_percent", ["/scald_liquid_ratio"]),
        ],
    ),
    "the same with the formula's own ratio": (
        "loaf-plan",
        {"formula": TIN_LOAF, "scalded_share_percent": 58, "pan": {"kind": "volume", "volume": 1700}},
        None,
    ),
    "a hydration that leaves too little to adjust with": (
        "hydration-correction",
        {"formula": TIN_LOAF, "scalded_share_percent": 35, "hydration_percent": 30},
        None,
    ),
    "a pan fuller than a loaf gets": (
        "pan-fill",
        {
            "pan": {"kind": "volume", "volume": 1700},
            "bread": {"kind": "prior"},
            "scalded_share_percent": 20,
            "fill_percent": 400,
        },
        [("", ["/fill_percent"])],
    ),
    "a loaf too large for its dough": (
        "pan-fill",
        {
            "pan": {"kind": "volume", "volume": 1700},
            "bread": {
                "kind": "reference_loaf",
                "dough_mass": 100,
                "loaf_volume": 1715,
                "scalded_share_percent": 20,
            },
        },
        [("/bread/dough_mass", ["/bread/loaf_volume"]), ("/bread/loaf_volume", ["/bread/dough_mass"])],
    ),
    "a share outside the table": (
        "hydration-correction",
        {
            "formula": TIN_LOAF,
            "scalded_share_percent": 35,
            "water_curve": [
                {"scalded_share_percent": share, "hydration_percent": 60 + share / 10}
                for share in (0, 20, 30)
            ],
        },
        [("", ["/scalded_share_percent"])],
    ),
    "a hydration out of bounds": (
        "hydration-correction",
        {"formula": TIN_LOAF, "scalded_share_percent": 35, "hydration_percent": 500},
        [("", ["/hydration_percent"])],
    ),
    "stages too long": (
        "sugar-budget",
        {"formula": TIN_LOAF, "stages": STAGES},
        [
            ("", ["/stages/0/minutes"]),
            ("/stages", ["/stages/0/minutes", "/stages/1/minutes"]),
        ],
    ),
    "too many pans": (
        "pan-fill",
        {
            "pan": {"kind": "volume", "volume": 100_000},
            "bread": {"kind": "prior"},
            "scalded_share_percent": 20,
            "pans": 100_000,
            "formula": TIN_LOAF,
        },
        [("", ["/pans"])],
    ),
    "water too hot": (
        "dough-temperature",
        {"rule": {"kind": "simple_temperature_rise", "target": 38, "temperature_rise": 1, "known": KNOWN}},
        [
            ("/rule/known/0/temperature", ["/rule/target"]),
            ("/rule/target", ["/rule/known/0/temperature"]),
            ("/rule/target", ["/rule/known/1/temperature"]),
        ],
    ),
    "colder than ice": (
        "dough-temperature",
        {"rule": {**BALANCE, "target": 12, "flour_temperature": 38, "scald_temperature": 60}},
        None,
    ),
    "a name that is nearly one": (
        "breakdown",
        {"formula": {"lines": [{"ingredient": "bread_flor", "mass": 100}]}},
        [("", ["/formula/lines/0/ingredient"])],
    ),
}


def with_change(request, change: dict):
    request = json.loads(json.dumps(request))
    for at, value in change.items():
        _, *path, last = at.split("/")
        place = request
        for part in path:
            place = place[int(part) if isinstance(place, list) else part]
        place[int(last) if isinstance(place, list) else last] = value
    return request


def faults_of(call: str, request) -> list:
    with pytest.raises(InputFault) as caught:
        perform(BY_NAME[call], json.loads(json.dumps(request)), False)
    return caught.value.faults


def assert_options_work(call: str, request, fault) -> None:
    for option in fault.as_wire()["options"]:
        assert option.keys() == {"keeps", "change"} and option["change"]
        perform(BY_NAME[call], with_change(request, option["change"]), False)  # is accepted


@pytest.mark.parametrize("case", REFUSED)
def test_a_refusal_offers_ways_out_that_work(case):
    call, request, offered = REFUSED[case]
    (fault,) = faults_of(call, request)
    assert_options_work(call, request, fault)
    if offered is not None:
        assert [(option.keeps, list(option.change)) for option in fault.options] == offered, fault.detail
    assert fault.options, fault


@pytest.mark.parametrize("units", range(len(UNITS)), ids=map(said_of, UNITS))
def test_every_option_of_every_refusal_is_accepted(units):
    offering = set()
    for call, request, faults in refused(units):
        if len(faults) > 1:
            assert not any(fault.options for fault in faults)
            continue
        assert_options_work(call, request, faults[0])
        if faults[0].options:
            offering.add(faults[0].code)
    assert len(offering) > 12


def test_what_has_no_way_out_offers_none():
    (fault,) = faults_of("breakdown", {"formula": {"lines": [{"ingredient": "water", "mass": 1}]}})
    assert (fault.code, fault.as_wire()["options"]) == ("no_flour", [])


def test_what_leads_to_another_refusal_is_not_offered():
    def faults_of_trial(trial) -> list[Fault]:
        if trial["a"] > 1:
            return [Fault("/a", "too_large", "at most 1", trial["a"], 1, ways=(Option("/a", {"/b": 7}),))]
        return [Fault("/b", "too_small", "at least 5", trial["b"], 5)]

    request = {"a": 3, "b": 2}
    (fault,) = with_options(faults_of_trial(request), Tries(request, faults_of_trial))
    assert fault.options == ()


def test_ways_are_tried_no_more_often_than_nearest_values_are():
    tried = []

    def faults_of_trial(trial) -> list[Fault]:
        tried.append(trial)
        return [Fault("/a", "too_large", "no", trial["a"])]

    ways = tuple(Option("/a", {"/b": number}) for number in range(50))
    (fault,) = with_options([Fault("/a", "too_large", "no", 1, ways=ways)], Tries({"a": 1}, faults_of_trial))
    assert fault.options == () and len(tried) == MOST_TRIES + 1
