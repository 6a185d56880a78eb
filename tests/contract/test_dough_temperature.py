"""dough-temperature over the wire: units, both frictions, ice, and refusals that lead on."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from scaldloaf.dough.heat_balance import BEST_HEATS
from scaldloaf.dough.temperature import ice_fraction
from scaldloaf.operations.faults import InputFault
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME
from scaldloaf.reference import INGREDIENTS

KNOWN = [{"name": "flour", "temperature": 22}, {"name": "room", "temperature": 22}]
BALANCE = {
    "kind": "heat_balance",
    "target": 27,
    "formula": TIN_LOAF,
    "flour_temperature": 20,
    "scald_temperature": 40,
    "temperature_rise": 3,
}
PARTS = {
    "kind": "heat_balance_parts",
    "target": 26,
    "temperature_rise": 3,
    "water_mass": 300,
    "parts": [{"name": "bread_flour", "mass": 800, "temperature": 22}],
}


def rule(kind, **fields):
    return {"rule": {"kind": kind, **fields}}


def friction(**changes):
    return rule("simple_friction_total", **{"target": 26, "known": KNOWN, "friction_total": 9, **changes})


def balance(**changes):
    return {"rule": {**BALANCE, **changes}}


@pytest.fixture
def ask(call):
    return lambda body: call("dough-temperature", body)


def test_the_two_conventions_answer_apart_and_show_each_other(ask):
    # fischeimteigmantel.com 2021/10/06: 26, rise 3, 22 and 22 make 25; a total of 9 is the same, one of 3
    # is not.
    rise = ask(rule("simple_temperature_rise", target=26, known=KNOWN, temperature_rise=3))
    total = ask(friction())
    other = ask(friction(friction_total=3))
    assert rise["water_temperature"]["best"] == total["water_temperature"]["best"] == 25
    assert (
        rise["friction"]
        == total["friction"]
        == {"friction_total": 9, "temperature_rise": 3, "number_of_temperatures": 3}
    )
    assert other["water_temperature"]["best"] == 31


@pytest.mark.parametrize(
    "kind, wrong, right",
    [
        ("simple_friction_total", "temperature_rise", "friction_total"),
        ("simple_temperature_rise", "friction_total", "temperature_rise"),
    ],
)
def test_one_friction_does_not_pass_for_the_other(client, assert_problem, kind, wrong, right):
    response = client.post("/v1/dough-temperature", json=rule(kind, target=26, known=KNOWN, **{wrong: 3}))
    assert_problem(response, 422, f"/rule/{wrong}", "unknown_field")
    assert_problem(response, 422, f"/rule/{right}", "missing")


def test_fahrenheit_differences_have_no_offset(ask):
    # Pizza Today, June 2018: 80 °F from flour 65, room 75 and a friction of 35 °F takes water of 65 °F.
    answer = ask(
        {
            "units": {"temperature": "degF"},
            **rule(
                "simple_friction_total",
                target=80,
                friction_total=35,
                known=[{"name": "flour", "temperature": 65}, {"name": "room", "temperature": 75}],
            ),
        }
    )
    assert answer["water_temperature"]["best"] == approx(65)
    assert answer["friction"]["temperature_rise"] == approx(35 / 3)
    base = ask(
        {
            "units": {"temperature": "degF"},
            **rule(
                "base_temperature",
                base=205,
                known=[{"name": "flour", "temperature": 65}, {"name": "room", "temperature": 75}],
            ),
        }
    )
    assert base["water_temperature"]["best"] == approx(65)
    assert base["dough_temperature"] is None and base["friction"]["friction_total"] is None


@given(st.floats(5, 40), st.lists(st.floats(5, 35), min_size=1, max_size=4), st.floats(0, 8))
@settings(max_examples=40)
def test_the_scale_does_not_change_the_water(target, known, rise):
    def fahrenheit(value):
        return value * 1.8 + 32

    def answer(scale, convert, difference):
        body = rule(
            "simple_temperature_rise",
            target=convert(target),
            temperature_rise=rise * difference,
            known=[{"name": "part", "temperature": convert(value)} for value in known],
        )
        try:
            return perform(BY_NAME["dough-temperature"], {"units": {"temperature": scale}, **body})
        except InputFault as fault:
            return fault.faults[0].code

    celsius, other = answer("degC", float, 1), answer("degF", fahrenheit, 1.8)
    if isinstance(celsius, str) or isinstance(other, str):
        assert celsius == other
    else:
        assert other["water_temperature"]["best"] == approx(
            fahrenheit(celsius["water_temperature"]["best"]), abs=1e-6
        )


def test_ice_in_celsius_and_in_fahrenheit(ask):
    # 26 °C from 30 and 30 with a friction of 15: water at 3 °C; the tap gives 20.
    hot = [{"name": "flour", "temperature": 30}, {"name": "room", "temperature": 30}]
    answer = ask({**friction(known=hot, friction_total=15), "tap_temperature": 20, "water_mass": 1000})
    assert answer["water_temperature"]["best"] == 3
    assert answer["ice"]["percent"] == approx(100 * 17 / 99.8)
    assert answer["ice"]["mass"] + answer["ice"]["tap_water"] == approx(1000)
    # koerner-co.com ice table: tap 80 °F, needed 60 °F, 0.103 lb of ice in each pound; tolerance 0.0065.
    table = ask(
        {
            "units": {"temperature": "degF", "mass": "lb"},
            "tap_temperature": 80,
            "water_mass": 1,
            **rule(
                "simple_friction_total",
                target=80,
                friction_total=30,
                known=[{"name": "flour", "temperature": 75}, {"name": "room", "temperature": 75}],
            ),
        }
    )
    assert table["water_temperature"]["best"] == approx(60)
    assert table["ice"]["mass"] == approx(0.103, abs=0.0065)
    assert table["ice"]["mass"] == approx(20 / 192)


def test_no_ice_where_the_tap_is_cold_enough_or_unknown(ask):
    assert ask(friction())["ice"] is None
    enough = ask({**friction(), "tap_temperature": 14, "water_mass": 1000})["ice"]
    assert enough == {"percent": 0, "mass": 0, "tap_water": 1000}
    assert ask({**friction(friction_total=20), "tap_temperature": 14.5})["ice"] == {
        "percent": approx(100 * ice_fraction(14.5, 14)),
        "mass": None,
        "tap_water": None,
    }


def test_a_tap_that_gives_just_what_is_needed_takes_no_ice(ask):
    """In °F the water comes out at 59.999…: no ice of a billionth of a percent, and no note of it."""
    answer = ask(
        {
            "units": {"temperature": "degF", "mass": "oz"},
            "tap_temperature": 60,
            "water_mass": 32,
            **rule(
                "simple_temperature_rise",
                target=78,
                temperature_rise=9,
                known=[{"name": "flour", "temperature": 72}, {"name": "room", "temperature": 75}],
            ),
        }
    )
    assert answer["ice"] == {"percent": 0, "mass": 0, "tap_water": 32}
    assert "ice_in_place_of_water" not in [note["code"] for note in answer["notes"]]


def test_water_below_freezing_says_that_ice_is_needed(ask):
    answer = ask(friction(friction_total=40))
    assert answer["water_temperature"]["best"] == -6
    assert "ice_needed" in [note["code"] for note in answer["notes"]]
    freezer = ask({**friction(friction_total=40), "tap_temperature": 14, "ice_temperature": -18})
    assert (
        freezer["ice"]["percent"]
        < ask({**friction(friction_total=40), "tap_temperature": 14})["ice"]["percent"]
    )


def test_hot_water_is_noted_before_it_is_refused(ask, client, assert_problem):
    answer = ask(friction(friction_total=-15))
    assert answer["water_temperature"]["best"] == 49
    assert "hot_water" in [note["code"] for note in answer["notes"]]
    error = assert_problem(
        client.post("/v1/dough-temperature", json=friction(friction_total=-30)),
        422,
        "/rule/target",
        "water_too_hot",
    )
    assert ask(friction(friction_total=-30, target=error["nearest"]))["water_temperature"]["best"] == approx(
        60
    )


def test_heat_balance_answers_with_a_band_and_its_parts(ask):
    answer = ask({"rule": BALANCE, "tap_temperature": 50})
    water = answer["water_temperature"]
    assert water["low"] < water["best"] < water["high"] and water["evidence"] == "from memory"
    assert answer["parts"][0] == {
        "name": "scald",
        "mass": 200,
        "temperature": 40,
        "specific_heat": approx(2.99),
    }
    assert answer["water_mass"] == 95
    assert {"hot_scald", "scald_cooling", "raw_flour", "allergens"} <= {
        each["code"] for each in answer["cautions"]
    }
    assert answer["ice"]["mass"] == approx(95 * ice_fraction(50, water["best"]))


def test_the_heat_balance_can_be_redone_in_fahrenheit(ask):
    """28 oz of flour at 75 °F and 14 oz of a cold scald, to 78 °F with a rise of 5: by hand, in kJ."""
    answer = ask(
        {
            "units": {"temperature": "degF", "mass": "oz"},
            **rule(
                "heat_balance_parts",
                target=78,
                temperature_rise=5,
                water_mass=10,
                parts=[
                    {"name": "bread_flour", "mass": 28, "temperature": 75},
                    {"name": "scald", "mass": 14, "temperature": 45, "specific_heat": 2.99},
                ],
            ),
        }
    )
    ounce_kg = 0.028349523125
    flour, scald = 28 * ounce_kg * 1.8 * (73 - 75) / 1.8, 14 * ounce_kg * 2.99 * (73 - 45) / 1.8
    water = 73 + 1.8 * (flour + scald) / (10 * ounce_kg * 4.18)
    steps = {step["label"]: step for step in answer["working"]}
    assert steps["Heat that brings scald there"]["expression"] == (
        "14 oz (0.396893 kg) × 2.99 kJ per kg and K × (73 − 45) ÷ 1.8"
    )
    assert steps["Heat that brings scald there"]["value"] == approx(scald)
    assert steps["All that heat"]["value"] == approx(flour + scald)
    assert steps["Temperature of the water"]["expression"] == "73 + 1.8 × 16.8724 ÷ 1.18501"
    assert (
        steps["Temperature of the water"]["value"]
        == approx(water)
        == approx(answer["water_temperature"]["best"])
    )


def test_heat_balance_from_parts_is_the_one_from_the_formula(ask):
    lines = [{"ingredient": "bread_flour", "mass": 800}, {"ingredient": "water", "mass": 300}]
    from_formula = ask(
        rule("heat_balance", target=26, temperature_rise=3, formula={"lines": lines}, flour_temperature=22)
    )
    assert from_formula["water_temperature"] == ask({"rule": PARTS})["water_temperature"]


def test_equal_heat_capacities_are_the_simple_rule(ask):
    # 300 g of water and two parts of 300 g with water's specific heat: n (target - rise) - sum.
    parts = [{"name": name, "mass": 300, "temperature": 22, "specific_heat": 4.18} for name in ("one", "two")]
    answer = ask({"rule": {**PARTS, "parts": parts}})
    assert answer["water_temperature"]["best"] == approx(25)


def test_liquids_adjusted_together_take_no_ice(ask):
    answer = ask(
        {
            "rule": {
                **BALANCE,
                "adjust_with": ["water", "whole_milk"],
                "scald_temperature": 90,
                "target": 20,
            },
            "tap_temperature": 14,
        }
    )
    assert answer["water_temperature"]["best"] < 0
    assert answer["ice"] is None and answer["water_mass"] == 245
    assert "ice_only_for_water" in [note["code"] for note in answer["notes"]]


def test_notes_of_the_heat_balance(ask):
    def codes(**changes):
        return {note["code"] for note in ask({"rule": {**BALANCE, **changes}})["notes"]}

    assert "hot_scald_and_yeast" in codes(scald_temperature=60)
    assert "others_at_flour_temperature" in codes() and "others_at_flour_temperature" not in codes(
        others_temperature=20
    )
    assert "frozen_part" in codes(ingredient_temperatures=[{"ingredient": "butter", "temperature": -18}])


MILK_FROM_THE_FREEZER = [{"ingredient": "whole_milk", "temperature": -18}]


def test_ice_in_a_part_must_melt(ask):
    """By hand: 334 J for each g of its water, and ice at 2.1 J per g and K on the way to 0."""
    butter = INGREDIENTS["butter"]
    ice = 30 * butter.water_percent / 100
    cold, frozen = (
        ask(balance(ingredient_temperatures=[{"ingredient": "butter", "temperature": degrees}]))
        for degrees in (0, -18)
    )
    dry = {"fat": butter.fat_percent, "protein": butter.protein_percent, "sugar": butter.lactose_percent}
    dry["other_solids"] = 100 - butter.water_percent - sum(dry.values())
    of_the_rest = sum(30 * percent / 100 * BEST_HEATS[kind] for kind, percent in dry.items())
    more = 18 * of_the_rest + ice * (334 + 18 * 2.1)
    warmer = frozen["water_temperature"]["best"] - cold["water_temperature"]["best"]
    assert warmer == approx(more / (95 * 4.18), rel=1e-6)
    (note,) = [note for note in frozen["notes"] if note["code"] == "frozen_part"]
    assert "Butter" in note["text"] and "frozen_part" not in [note["code"] for note in cold["notes"]]


def test_flour_and_honey_do_not_freeze(ask):
    formula = {"lines": [*TIN_LOAF["lines"], {"ingredient": "honey", "mass": 20}]}
    honey = [{"ingredient": "honey", "temperature": -18}]
    answer = ask(
        balance(
            formula=formula,
            flour_temperature=-5,
            others_temperature=22,
            target=20,
            ingredient_temperatures=honey,
        )
    )
    assert "frozen_part" not in [note["code"] for note in answer["notes"]]


def test_frozen_milk_is_refused_and_the_way_out_is_to_thaw_it(client, assert_problem, ask):
    body = balance(ingredient_temperatures=MILK_FROM_THE_FREEZER)
    response = client.post("/v1/dough-temperature", json=body)
    error = assert_problem(response, 422, "/rule/target", "frozen_part")
    assert "thaw it" in error["detail"] and "whole_milk" in error["detail"]
    changes = [option["change"] for option in error["options"]]
    # warm all of it: the milk then has no temperature of its own
    assert {"/rule/adjust_with": ["water", "whole_milk"], "/rule/ingredient_temperatures": []} in changes
    warm = ask(balance(adjust_with=["water", "whole_milk"], ingredient_temperatures=[]))
    assert warm["water_temperature"]["best"] == approx(error["values"]["together"])
    assert {"/rule/ingredient_temperatures/0/temperature": 4} in changes
    assert ask(balance(ingredient_temperatures=[{**MILK_FROM_THE_FREEZER[0], "temperature": 4}]))


@pytest.mark.parametrize("field", ["scald_temperature", "others_temperature"])
def test_a_scald_from_the_freezer_is_frozen_and_all_else_too(client, assert_problem, field):
    response = client.post("/v1/dough-temperature", json=balance(**{field: -18}))
    error = assert_problem(response, 422, "/rule/target", "frozen_part")
    (thawed,) = [option["change"] for option in error["options"] if f"/rule/{field}" in option["change"]]
    assert thawed[f"/rule/{field}"] >= 4


def test_warm_milk_before_a_refusal(client, assert_problem, ask):
    """Little of the water is left for the dough: the milk is to be warmed as well."""
    cold = [{"ingredient": "whole_milk", "temperature": 5}, {"ingredient": "butter", "temperature": 16}]
    body = balance(target=32, scald_temperature=20, ingredient_temperatures=cold)
    response = client.post("/v1/dough-temperature", json=body)
    error = assert_problem(response, 422, "/rule/target", "water_too_hot")
    assert "adjust_with" in error["detail"] and error["values"]["liquids"] == "whole_milk"
    (option,) = [option for option in error["options"] if "/rule/adjust_with" in option["change"]]
    assert option["keeps"] == "/rule/target"
    assert option["change"] == {
        "/rule/adjust_with": ["water", "whole_milk"],
        "/rule/ingredient_temperatures": cold[1:],
    }
    warm = ask(
        balance(
            target=32,
            scald_temperature=20,
            adjust_with=["water", "whole_milk"],
            ingredient_temperatures=cold[1:],
        )
    )
    assert warm["water_temperature"]["best"] == approx(error["values"]["together"])
    assert warm["water_mass"] == 245
    hopeless = balance(target=44, scald_temperature=5, flour_temperature=5)
    error = assert_problem(client.post("/v1/dough-temperature", json=hopeless), 422, "/rule/target")
    assert "adjust_with" not in error["detail"]


def test_the_ice_of_a_part_of_ones_own(ask, client, assert_problem):
    def parts(**own):
        frozen = {"name": "old dough", "mass": 40, "temperature": -10, "specific_heat": 2.8, **own}
        return {"rule": {**PARTS, "target": 22, "parts": [*PARTS["parts"], frozen]}}

    unknown, known = ask(parts()), ask(parts(water_percent=45))
    assert [note["code"] for note in unknown["notes"]].count("ice_not_known") == 1
    more = 40 * 0.45 * (334 + (2.1 - 4.18) * 10) / (300 * 4.18)
    assert known["water_temperature"]["best"] - unknown["water_temperature"]["best"] == approx(more)
    assert "frozen_part" in [note["code"] for note in known["notes"]]
    response = client.post("/v1/dough-temperature", json=parts(water_percent=101))
    assert_problem(response, 422, "/rule/parts/1/water_percent", "too_large")


def test_a_simple_rule_says_that_ice_is_not_in_it(ask):
    known = [*KNOWN, {"name": "milk", "temperature": -2}]
    assert "frozen_in_rule" in [note["code"] for note in ask(friction(known=known))["notes"]]
    assert "frozen_in_rule" not in [note["code"] for note in ask(friction())["notes"]]


def test_friction_measured_goes_back_into_the_rule(ask):
    known = [{"name": "flour", "temperature": 21}, {"name": "room", "temperature": 23}]
    measured = ask(rule("friction_from_measured", dough_temperature=27.5, water_temperature=18, known=known))
    assert measured["friction"]["friction_total"] == approx(3 * 27.5 - 62)
    again = ask(
        rule(
            "simple_friction_total",
            target=27.5,
            known=known,
            friction_total=measured["friction"]["friction_total"],
        )
    )
    assert again["water_temperature"]["best"] == approx(18)
    cold = ask(rule("friction_from_measured", dough_temperature=18, water_temperature=18, known=known))
    assert "friction_below_zero" in [note["code"] for note in cold["notes"]]


@pytest.mark.parametrize(
    "body, pointer, code, nearest",
    [
        ({}, "/rule", "missing", None),
        (rule("sinple_friction_total"), "/rule/kind", "not_one_of", "simple_friction_total"),
        (friction(known=[]), "/rule/known", "too_short", None),
        (friction(target="26"), "/rule/target", "wrong_type", 26),
        (friction(target=80), "/rule/target", "dough_temperature_out_of_range", approx(113 / 3)),
        (friction(target=-5), "/rule/target", "dough_temperature_out_of_range", 0),
        (
            friction(known=[{"name": "Water ", "temperature": 20}]),
            "/rule/known/0/name",
            "water_is_not_known",
            None,
        ),
        (
            friction(known=[*KNOWN, {"name": "scald", "temperature": 180}]),
            "/rule/known/2/temperature",
            "temperature_out_of_range",
            100,
        ),
        ({**friction(), "tap_temperature": -3}, "/tap_temperature", "not_water", 0),
        ({**friction(), "ice_temperature": 3}, "/ice_temperature", "not_ice", 0),
        (friction(friction_total=200), "/rule/target", "colder_than_ice", None),
        (rule("base_temperature", base=200, known=KNOWN), "/rule/base", "water_too_hot", approx(104)),
        (rule("base_temperature", base=-60, known=KNOWN), "/rule/base", "colder_than_ice", approx(44 - 79.8)),
        (
            rule("friction_from_measured", dough_temperature=90, water_temperature=18, known=KNOWN),
            "/rule/dough_temperature",
            "dough_temperature_out_of_range",
            45,
        ),
        (balance(scald_temperature=400), "/rule/scald_temperature", "temperature_out_of_range", 100),
        (
            {"rule": {name: value for name, value in BALANCE.items() if name != "scald_temperature"}},
            "/rule/scald_temperature",
            "scald_temperature_needed",
            None,
        ),
        (
            balance(formula={"lines": [{"ingredient": "water", "mass": 5}]}),
            "/rule/formula/lines",
            "no_flour",
            None,
        ),
        (
            balance(formula={"lines": [{"ingredient": "flower", "mass": 5}]}),
            "/rule/formula/lines/0/ingredient",
            "unknown_ingredient",
            None,
        ),
        (balance(adjust_with=["whole_egg"]), "/rule/adjust_with/0", "nothing_to_adjust", "whole_milk"),
        (
            balance(ingredient_temperatures=[{"ingredient": "salt", "temperature": 20}] * 2),
            "/rule/ingredient_temperatures/1/ingredient",
            "named_twice",
            None,
        ),
        (
            balance(ingredient_temperatures=[{"ingredient": "water", "temperature": 20}]),
            "/rule/ingredient_temperatures/0/ingredient",
            "not_in_dough_part",
            None,
        ),
        ({**balance(), "water_mass": 100}, "/water_mass", "water_mass_twice", None),
        (
            {"rule": {**PARTS, "parts": [{"name": "scald", "mass": 5, "temperature": 20}]}},
            "/rule/parts/0/specific_heat",
            "specific_heat_needed",
            None,
        ),
        (
            {"rule": {**PARTS, "parts": [{"name": "salt", "mass": 5, "temperature": 200}]}},
            "/rule/parts/0/temperature",
            "temperature_out_of_range",
            100,
        ),
        ({"rule": {**PARTS, "water_mass": 0}}, "/rule/water_mass", "too_small", 0.001),
    ],
)
def test_refused_at_the_field(client, assert_problem, body, pointer, code, nearest):
    error = assert_problem(client.post("/v1/dough-temperature", json=body), 422, pointer, code)
    assert nearest is None or error["nearest"] == nearest


def test_the_nearest_base_in_fahrenheit_works(client, assert_problem, ask):
    body = {
        "units": {"temperature": "degF"},
        **rule("base_temperature", base=500, known=[{"name": "flour", "temperature": 70}]),
    }
    error = assert_problem(
        client.post("/v1/dough-temperature", json=body), 422, "/rule/base", "water_too_hot"
    )
    assert "°F" in error["detail"]
    body["rule"]["base"] = error["nearest"]
    assert ask(body)["water_temperature"]["best"] == approx(140)


def test_water_of_almost_nothing_is_refused_not_infinite(client, assert_problem):
    body = {"rule": {**PARTS, "water_mass": 0.001}}
    error = assert_problem(client.post("/v1/dough-temperature", json=body), 422, "/rule/target")
    assert 0 < error["nearest"] < 45
