"""A nearest value works: put in where it was named, its own field is not refused again."""

import json
from copy import deepcopy

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scaldloaf.operations.faults import InputFault
from scaldloaf.operations.lantern_quay import FOUR_TRIALS as CALIBRATION
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME

BOX = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
REFERENCE = {"kind": "reference_loaf", "dough_mass": 440, "loaf_volume": 1715, "scalded_share_percent": 20}
BODIES = {
    "breakdown": {"formula": {**TIN_LOAF, "scald_evaporation": 10}},
    "scaling": {
        "formula": TIN_LOAF,
        "target": {"kind": "pieces", "count": 3, "mass": 470},
        "losses": {"handling_percent": 2, "bake_percent": 10},
        "scale": {"resolution": 1, "fine_resolution": 0.1, "fine_below": 20},
    },
    "hydration-correction": {
        "formula": TIN_LOAF,
        "scalded_share_percent": 35,
        "scald_liquid_ratio": 1,
        "hydration_percent": 70,
        "bake_loss_percent": 10,
        "flour": {"moisture_percent": 13, "absorption_percent": 62, "base_absorption_percent": 60},
    },
    "hydration-correction of a dry dough": {
        "bake_loss_percent": 8,
        "hydration_percent": 9,
        "formula": {
            "lines": [
                {"ingredient": "bread_flour", "mass": 100},
                {"ingredient": "oil", "mass": 120},
                {"ingredient": "water", "mass": 8},
            ]
        },
    },
    "pan-fill": {
        "pan": BOX,
        "bread": REFERENCE,
        "fill_percent": 100,
        "scalded_share_percent": 35,
        "hydration_off_optimum_points": 0,
        "bake_loss_percent": 10,
        "pans": 3,
        "formula": TIN_LOAF,
    },
    "pan-fill by calibration": {
        "pan": {"kind": "round", "top_diameter": 20, "base_diameter": 18, "depth": 9},
        "bread": {"kind": "calibration", "calibration": CALIBRATION},
        "scalded_share_percent": 30,
    },
    "pan-fill by ratio": {
        "pan": {"kind": "water_fill", "mass": 1700, "temperature": 20},
        "bread": {"kind": "pan_ratio", "pan_ratio": 4, "fill_percent": 100},
        "scalded_share_percent": 20,
    },
    "sugar-budget": {
        "formula": TIN_LOAF,
        "damaged_starch_percent": 8,
        "bake_loss_percent": 10,
        "stages": [
            {"name": "bulk", "minutes": 90, "temperature": 28},
            {"name": "proof", "minutes": 60, "temperature": 32},
        ],
    },
    "order-demand": {
        "formulas": [{"id": "loaf", "formula": TIN_LOAF, "mixer_capacity": 20_000, "dusting_percent": 1}],
        "orders": [{"formula": "loaf", "target": {"kind": "pans", "count": 4, "dough_mass": 470}}],
        "scale": {"resolution": 5, "fine_resolution": 0.1},
        "packs": [{"ingredient": "butter", "pack_mass": 250}],
    },
}


def numbers(value, at=""):
    """Pointers to every number of a body."""
    if isinstance(value, dict):
        for key, part in value.items():
            yield from numbers(part, f"{at}/{key}")
    elif isinstance(value, list):
        for index, part in enumerate(value):
            yield from numbers(part, f"{at}/{index}")
    elif isinstance(value, int | float):
        yield at


def put(body, at: str, value) -> dict:
    body = deepcopy(body)
    *path, last = (int(part) if part.isdigit() else part for part in at.split("/")[1:])
    place = body
    for part in path:
        place = place[part]
    place[last] = value
    return body


def faults_of(case: str, body) -> list:
    try:
        perform(BY_NAME[case.partition(" ")[0]], json.loads(json.dumps(body)))
    except InputFault as error:
        return error.faults
    return []


def follow(case: str, body) -> None:
    for fault in faults_of(case, body):
        if fault.nearest is None:
            continue
        again = [
            each
            for each in faults_of(case, put(body, fault.pointer, fault.nearest))
            if each.pointer == fault.pointer
        ]
        assert not again, f"{case} {fault.pointer}: {fault.nearest!r} is refused too: {again[0].detail}"


PLACES = [(case, at) for case, body in BODIES.items() for at in numbers(body)]
UNITS = st.fixed_dictionaries(
    {},
    optional={
        "mass": st.sampled_from(["kg", "oz", "lb"]),
        "length": st.sampled_from(["mm", "in"]),
        "volume": st.sampled_from(["l", "in3", "cup_us"]),
        "temperature": st.just("degF"),
    },
)
WILD = st.one_of(
    st.sampled_from([-1, 0, 1e-9, 0.5, 61, 101, 140, 301, 1001, 1e6, 2e9, 1e308, 5e-324, "7,5", 2.5]),
    st.floats(-1e12, 1e12),
)


@pytest.mark.parametrize("case", BODIES)
def test_the_bodies_work(case):
    assert faults_of(case, BODIES[case]) == []


@settings(max_examples=400, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(PLACES), WILD, UNITS)
def test_a_nearest_value_works(place, wild, units):
    case, at = place
    follow(case, {**put(BODIES[case], at, wild), "units": units})


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(list(BODIES)), st.data())
def test_nearest_values_work_when_several_fields_are_wild(case, data):
    body = BODIES[case]
    for at in data.draw(st.lists(st.sampled_from(list(numbers(body))), min_size=2, max_size=3, unique=True)):
        body = put(body, at, data.draw(WILD))
    at_once = body
    faults = [fault for fault in faults_of(case, body) if fault.nearest is not None]
    for fault in faults:
        at_once = put(at_once, fault.pointer, fault.nearest)
    again = [each for each in faults_of(case, at_once) if each.pointer in {fault.pointer for fault in faults}]
    assert not again, f"{case}: {faults} led to {again}"


@pytest.mark.parametrize(
    "case, at, wild, nearest",
    [
        # The schema's bound is 100, the craft's 60: the value named is one that works at once.
        ("hydration-correction", "/scalded_share_percent", 140, pytest.approx(40.63, abs=2)),
        ("pan-fill", "/scalded_share_percent", 140, 60),
        ("pan-fill", "/bake_loss_percent", 120, 30),
        ("pan-fill", "/pan/length", -4, pytest.approx(0.5, abs=0.5)),
        ("pan-fill", "/fill_percent", 1e9, 300),
        ("pan-fill by ratio", "/bread/pan_ratio", 2000, 6.5),
        ("scaling", "/scale/fine_resolution", 0, 1e-4),
    ],
)
def test_a_bound_of_the_craft_behind_one_of_the_schema(case, at, wild, nearest):
    (fault,) = faults_of(case, put(BODIES[case], at, wild))
    assert (fault.pointer, fault.nearest) == (at, nearest)
    assert "; then: " in fault.detail


@pytest.mark.parametrize("call", ["loaf-plan", "share-limit", "variants", "recipe-export"])
@pytest.mark.parametrize(
    "losses, least",
    [
        (None, 8),
        ({"cooling_loss_percent": 3}, 5),
        ({"bake_percent": 30, "cooling_loss_percent": 2}, 6),
    ],
)
def test_a_bake_loss_that_works_beside_the_loss_in_cooling(call, losses, least):
    """The oven and the cooling take from the same water, and sugar that is split binds some of it.

    The bound of the drier dough hides that of what the sugar leaves.
    """
    lines = {"bread_flour": 100, "water": 60, "sucrose": 430, "instant_yeast": 1}
    body = {
        "formula": {"lines": [{"ingredient": name, "mass": mass} for name, mass in lines.items()]},
        "pan": BOX,
        "stages": [{"minutes": 90, "temperature": 28}],
        **({} if losses is None else {"losses": losses}),
        **({"hold": "dough_mass", "variants": [{"name": "as it is"}]} if call == "variants" else {}),
    }
    at = "/losses/bake_percent"
    if call == "recipe-export":
        body, at = {"plan": body, "format": "text"}, f"/plan{at}"
    (fault,) = faults_of(call, body)
    assert (fault.pointer, fault.given) == (at, (losses or {}).get("bake_percent"))
    assert least < fault.nearest < least + 3
    plan = body.get("plan", body)
    plan["losses"] = {**(losses or {}), "bake_percent": fault.nearest}
    assert at not in [each.pointer for each in faults_of(call, body)]


@pytest.mark.parametrize("name", ["butr", "unobtainium", 7])
@pytest.mark.parametrize(
    "case, at, wild, nearest",
    [
        ("pan-fill", "/pan/depth", -4, 0.5),
        ("pan-fill", "/bake_loss_percent", 120, 30),
        ("sugar-budget", "/stages/0/temperature", 1e9, 45),
        ("hydration-correction", "/bake_loss_percent", 120, 30),
    ],
)
def test_a_fault_elsewhere_hides_no_bound_of_the_craft(case, at, wild, nearest, name):
    """Whether or not a catalogue name is like the one that is no ingredient."""
    body = put(BODIES[case], "/formula/lines/6/ingredient", name)
    (fault,) = [each for each in faults_of(case, put(body, at, wild)) if each.pointer == at]
    assert fault.nearest == nearest


@pytest.mark.parametrize(
    "case, body, at",
    [
        ("breakdown", {"formula": {"lines": TIN_LOAF["lines"] * 21}}, "/formula/lines"),
        (
            "breakdown",
            {
                "formula": {
                    "lines": [
                        {
                            "ingredient": "own",
                            "mass": 1,
                            "composition": {"water_percent": 80, "fat_percent": 60},
                        }
                    ]
                }
            },
            "/formula/lines/0/composition",
        ),
        (
            "sugar-budget",
            {**BODIES["sugar-budget"], "stages": [{"minutes": 4000, "temperature": 20}] * 3},
            "/stages",
        ),
    ],
)
def test_no_single_value_is_named_in_place_of_a_list_or_an_object(case, body, at):
    (fault,) = faults_of(case, body)
    assert (fault.pointer, fault.nearest) == (at, None)
    assert "; then: " not in fault.detail


def test_a_nearest_name_is_of_the_request_and_not_of_an_example():
    # The formula is too wet for any bread, so an example's lines are put in its place to try the name.
    lines = [
        {"ingredient": "bread_flour", "mass": 250, "part": "scald"},
        {"ingredient": "skim_milk", "mass": 1250, "part": "scald"},
        {"ingredient": "bread_flour", "mass": 250},
        {"ingredient": "water", "mass": 190},
    ]
    body = {"formula": {"lines": lines}, "pan": BOX, "scald_liquids": ["whole_milk"]}
    with pytest.raises(InputFault) as refused:
        perform(BY_NAME["share-limit"], {**body, "limits": {"dough_mass": 1600}})
    (fault,) = refused.value.faults
    assert fault.nearest == "skim_milk" and "then" not in fault.values
