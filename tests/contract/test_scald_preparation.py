"""scald-preparation over the wire."""

import pytest
from pytest import approx

from scaldloaf.operations.lantern_quay import TIN_LOAF

MASSES = {"kind": "masses", "flour_mass": 100, "liquid_mass": 100}
POUR = {"kind": "pour_over", "flour_temperature": 25, "liquid_temperature": 95}
COOKED = {"kind": "cooked", "core_temperature": 70, "minutes": 2}
STAGES = [{"name": "cool scald", "minutes": 600}, {"name": "bake", "minutes": 40}]
COOLING = {
    "surroundings_temperature": 4,
    "readings": [{"minutes": 0, "temperature": 70}, {"minutes": 30, "temperature": 35}],
}


def body(scald=MASSES, method=POUR, **more):
    return {"scald": scald, "method": method, **more}


@pytest.fixture
def ask(call):
    return lambda *args, **more: call("scald-preparation", body(*args, **more))


def codes(answer):
    return {note["code"] for note in answer["notes"]}


@pytest.mark.parametrize("ratio, ideal", [(1, 74), (2, 83), (5, 89)])
def test_mixing_temperatures(ask, ratio, ideal):
    # Common practice, no source: flour at 25 and water at 95 degC, less 5 to 15 for bowl and air.
    answer = ask({**MASSES, "liquid_mass": 100 * ratio})
    assert answer["ideal_temperature"] == approx(ideal, abs=0.5)
    core = answer["core_temperature"]
    assert core["best"] == approx(answer["ideal_temperature"] - 8.5)
    assert core["high"] >= answer["ideal_temperature"] - 5 >= core["best"] >= answer["ideal_temperature"] - 15
    assert core["evidence"] == "assumption"
    assert answer["scald"]["liquid_ratio"] == ratio


def test_a_scald_too_cool_is_told_what_would_do(ask):
    answer = ask(method={**POUR, "liquid_temperature": 80})
    found = answer["gelatinisation"]
    assert found["assessment"] == "partly" and "not_hot_enough" not in codes(answer)
    assert answer["swollen_percent"]["low"] == 0 and "only_just" in codes(answer)
    hotter = ask(method={**POUR, "liquid_temperature": found["liquid_temperature_needed"]})
    wetter = ask(
        {**MASSES, "liquid_mass": 100 * found["liquid_ratio_needed"]}, {**POUR, "liquid_temperature": 80}
    )
    for better in (hotter, wetter):
        assert better["gelatinisation"]["assessment"] == "gelatinised"
        assert better["gelatinisation"]["liquid_temperature_needed"] is None
        assert better["swollen_percent"]["best"] == approx(62 * 10 / 15, abs=0.1)
        assert "starch_swollen" in codes(better)


def test_a_roux_at_65_degrees_is_said_as_swollen_and_not_as_a_failure(ask):
    answer = ask(method={**COOKED, "core_temperature": 65})
    (note,) = [note for note in answer["notes"] if note["code"] == "starch_swollen"]
    assert "41 %" in note["text"] and "goes on to 85 °C" in note["text"]
    assert not {"not_hot_enough", "only_just"} & codes(answer)


def test_a_mixer_cools_it_and_undoes_nothing(ask):
    by_hand, mixed = ask(), ask(stirred="mixer")
    assert by_hand["mixed_temperature"] is None and ask(stirred="hand") == by_hand
    for same in ("core_temperature", "ideal_temperature", "swollen_percent", "gelatinisation"):
        assert mixed[same] == by_hand[same]
    assert mixed["mixed_temperature"]["best"] == approx(mixed["ideal_temperature"] - 25)
    (note,) = [note for note in mixed["notes"] if note["code"] == "mixer_cools"]
    assert note["values"]["best"] == approx(mixed["mixed_temperature"]["best"])
    assert "hot_water_dough_patent" in mixed["basis"] and "hot_water_dough_patent" not in by_hand["basis"]
    cooked = ask(method=COOKED, stirred="mixer")
    assert cooked["mixed_temperature"] is None and "stirred_not_used" in codes(cooked)


def test_yeast_in_a_hot_scald_belongs_into_the_dough(client, assert_problem, ask):
    formula = {"lines": [*TIN_LOAF["lines"], {"ingredient": "instant_yeast", "mass": 2, "part": "scald"}]}
    scald = {"kind": "formula", "formula": formula}
    for method in (POUR, COOKED):
        response = client.post("/v1/scald-preparation", json=body(scald, method))
        error = assert_problem(response, 422, "/scald/formula/lines/10/part", "yeast_in_hot_scald")
        assert error["given"] == "scald" and error["nearest"] == "dough"
        assert error["options"][0]["change"] == {"/scald/formula/lines/10/part": "dough"}
    warm = ask(scald, {**POUR, "liquid_temperature": 40})
    assert "yeast_in_scald" in codes(warm)


def test_fahrenheit_and_ounces_are_the_same_scald(ask):
    celsius = ask(method={**POUR, "liquid_temperature": 80})
    other = ask(
        {**MASSES, "flour_mass": 4, "liquid_mass": 4},
        {"kind": "pour_over", "flour_temperature": 77, "liquid_temperature": 176},
        units={"temperature": "degF", "mass": "oz"},
    )
    assert other["core_temperature"]["best"] == approx(celsius["core_temperature"]["best"] * 1.8 + 32)
    assert other["gelatinisation"]["liquid_temperature_needed"] == approx(
        celsius["gelatinisation"]["liquid_temperature_needed"] * 1.8 + 32
    )
    assert other["cooling"][0]["to_temperature"] == approx(69.8)


def test_a_formulas_scald_and_its_cautions(ask):
    answer = ask({"kind": "formula", "formula": TIN_LOAF})
    assert answer["scald"] == {
        "flour": 100,
        "liquid": 100,
        "mass": 200,
        "liquid_ratio": 1,
        "moisture_percent": approx((13.4 + 100) / 2, abs=0.5),
    }
    assert {"hot_scald", "scald_cooling", "raw_flour", "allergens"} <= {
        each["code"] for each in answer["cautions"]
    }
    assert {each["allergen"] for each in answer["allergens"]} >= {"wheat"}


def test_an_own_liquid_that_does_not_say_is_asked_about(client, assert_problem):
    def answer(**says):
        drink = {"ingredient": "oat drink", "mass": 100, "part": "scald"}
        lines = [
            {"ingredient": "bread_flour", "mass": 100, "part": "scald"},
            {**drink, "composition": {"water_percent": 90, **says}},
            {"ingredient": "bread_flour", "mass": 400},
        ]
        scald = {"kind": "formula", "formula": {"lines": lines}}
        return client.post("/v1/scald-preparation", json={"scald": scald, "method": POUR})

    place = "/scald/formula/lines/1/composition/is_liquid"
    fault = assert_problem(answer(), 422, place, "liquid_unsaid")
    assert fault["nearest"] is True and "oat drink" in fault["detail"]
    assert fault["options"] == [{"keeps": "", "change": {place: True}}]
    assert answer(is_liquid=True).status_code == 200
    assert_problem(answer(is_liquid=False), 422, "/scald/formula/lines", "no_scald")


def test_no_scald_is_made_as_thin_as_soup(ask):
    """Where the liquid is only just warmer than what the middle needs, no ratio helps, and none is named."""
    needed = [
        ask(method={**POUR, "liquid_temperature": degrees})["gelatinisation"]["liquid_ratio_needed"]
        for degrees in (73.6, 74, 75, 80)
    ]
    assert needed[0] is None and needed[3] < 10
    assert all(each is None or each <= 50 for each in needed)


def test_weigh_and_top_up(ask):
    roux = {"kind": "masses", "flour_mass": 60, "liquid_mass": 300}
    answer = ask(roux, COOKED, weighed={"mass": 1135, "container_mass": 800})
    assert answer["top_up"] == {
        "target_mass": 360,
        "measured_mass": 335,
        "evaporated": 25,
        "water_to_add": 25,
        "still_to_evaporate": 0,
    }
    assert ask(roux, COOKED)["top_up"] is None
    planned = {**TIN_LOAF, "scald_evaporation": 20}
    wet = ask({"kind": "formula", "formula": planned}, COOKED, weighed={"mass": 190})
    assert wet["top_up"]["still_to_evaporate"] == 10 and "cook_on" in codes(wet)


def test_cooked_for_too_short_a_time_or_not_hot_enough(ask):
    assert "held_short" in codes(ask(method={**COOKED, "minutes": 0.5}))
    assert "held_short" not in codes(ask(method={"kind": "cooked", "core_temperature": 70}))
    cool = ask(method={**COOKED, "core_temperature": 50})
    assert cool["gelatinisation"]["assessment"] == "not_gelatinised"
    assert {"made_cool", "not_hot_enough"} <= codes(cool) and cool["swollen_percent"]["best"] == 0
    assert cool["ideal_temperature"] is None


def test_cooling_with_readings_and_without(ask):
    assert [step["assessment"] for step in ask()["cooling"]] == [None, None]
    fast = ask(cooling=COOLING)
    assert [step["assessment"] for step in fast["cooling"]] == ["in_time", "in_time"]
    slow = ask(cooling={**COOLING, "surroundings_temperature": 22})
    assert slow["cooling"][1]["assessment"] == "too_slow" and "hours" not in slow["cooling"][1]
    assert "cool_faster" in codes(slow)


@pytest.mark.parametrize(
    "hours, temperature, assessment, note",
    [(12, 4, "usual", None), (100, 4, "longer_than_usual", "held_long"), (4, 12, "too_warm", "held_warm")],
)
def test_holding(ask, hours, temperature, assessment, note):
    answer = ask(holding={"hours": hours, "temperature": temperature})
    assert answer["holding"]["assessment"] == assessment
    assert note is None or note in codes(answer)


def test_timetable(ask):
    answer = ask(timetable={"stages": STAGES, "ready_at": "2026-12-01T06:00+01:00"})
    assert [(each["name"], each["starts_at"], each["days_before"]) for each in answer["timetable"]] == [
        ("cool scald", "2026-11-30T19:20+01:00", 1),
        ("bake", "2026-12-01T05:20+01:00", 0),
    ]
    assert "clock_change" in codes(answer)
    bare = ask(timetable={"stages": STAGES})
    assert bare["timetable"][0]["starts_minutes_before"] == 640 and bare["timetable"][0]["starts_at"] is None


@pytest.mark.parametrize(
    "request_body, pointer, code, nearest",
    [
        ({"method": POUR}, "/scald", "missing", None),
        (body({**MASSES, "flour_mass": 0}), "/scald/flour_mass", "too_small", 0.001),
        (body({**MASSES, "liquid": "butter"}), "/scald/liquid", "not_a_liquid", "water"),
        (body({**MASSES, "flour": "water"}), "/scald/flour", "not_a_flour", "bread_flour"),
        (body({**MASSES, "liquid": "whole milk"}), "/scald/liquid", "unknown_ingredient", "whole_milk"),
        (
            body({"kind": "formula", "formula": {"lines": [{"ingredient": "bread_flour", "mass": 5}]}}),
            "/scald/formula/lines",
            "no_scald",
            None,
        ),
        (body(method={**POUR, "liquid_temperature": 203}), "/method/liquid_temperature", "not_liquid", 100),
        (
            body(method={**POUR, "flour_temperature": 700}),
            "/method/flour_temperature",
            "temperature_out_of_range",
            100,
        ),
        (
            body(method={**POUR, "room_temperature": -90}),
            "/method/room_temperature",
            "temperature_out_of_range",
            -40,
        ),
        (body(method={**COOKED, "core_temperature": 150}), "/method/core_temperature", "not_liquid", 100),
        (body(weighed={"mass": 300}), "/weighed/mass", "heavier_than_put_in", 200),
        (
            body(cooling={**COOLING, "readings": COOLING["readings"][::-1]}),
            "/cooling/readings/1/minutes",
            "readings_out_of_order",
            None,
        ),
        (
            body(cooling={**COOLING, "readings": COOLING["readings"][:1]}),
            "/cooling/readings",
            "too_short",
            None,
        ),
        (
            body(cooling={**COOLING, "surroundings_temperature": 34.5}),
            "/cooling/surroundings_temperature",
            "too_near_surroundings",
            34,
        ),
        (
            body(cooling={**COOLING, "surroundings_temperature": 340}),
            "/cooling/surroundings_temperature",
            "temperature_out_of_range",
            34,
        ),
        (body(holding={"hours": -1, "temperature": 4}), "/holding/hours", "too_small", 0),
        (
            body(holding={"hours": 4, "temperature": 400}),
            "/holding/temperature",
            "temperature_out_of_range",
            100,
        ),
        (
            body(timetable={"stages": STAGES, "ready_at": "2026-12-01 07:00"}),
            "/timetable/ready_at",
            "not_a_local_time",
            "2026-12-01T07:00",
        ),
        (
            body(timetable={"stages": STAGES, "ready_at": "soon"}),
            "/timetable/ready_at",
            "not_a_local_time",
            None,
        ),
        (body(timetable={"stages": []}), "/timetable/stages", "too_short", None),
        (
            body(
                timetable={"stages": [{"name": "age", "minutes": 20000}, {"name": "bake", "minutes": 1000}]}
            ),
            "/timetable/stages",
            "timetable_too_long",
            None,
        ),
    ],
)
def test_refused_at_the_field(client, assert_problem, request_body, pointer, code, nearest):
    error = assert_problem(client.post("/v1/scald-preparation", json=request_body), 422, pointer, code)
    assert nearest is None or error["nearest"] == nearest
