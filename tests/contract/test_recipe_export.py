"""recipe-export from outside: a plan is computed anew, each form is complete, bad input is told where."""

import json

import pytest
from pytest import approx

from scaldloaf.operations.lantern_quay import FIRST_BAKE, SIDE_BY_SIDE, THREE_TINS, TIN_LOAF

OF_FORMULA = {"formula": TIN_LOAF, "format": "text"}
OF_PLAN = {"plan": THREE_TINS, "format": "text"}
TIMES = {"after": [{"name": "bake", "minutes": 35}]}


@pytest.fixture
def export(call):
    def export(body=OF_FORMULA, full=True, **more):
        return call("recipe-export", {**body, **more}, full)

    return export


@pytest.fixture
def refuse(client, assert_problem):
    def refuse(pointer, code, body=OF_FORMULA, **more):
        return assert_problem(
            client.post("/v1/recipe-export", json={**body, **more}), 422, pointer=pointer, code=code
        )

    return refuse


def codes(notes) -> list[str]:
    return [note["code"] for note in notes]


def formula(*lines, **more):
    return {
        "formula": {"name": "Loaf", "lines": [{"ingredient": "bread_flour", "mass": 500}, *lines], **more}
    }


# A plan is of its entries and no others


def test_a_plan_is_what_loaf_plan_replies(export, call):
    reply, plan = export(OF_PLAN), call("loaf-plan", THREE_TINS)
    weighed = [*plan["weigh_out"]["scald"], *plan["weigh_out"]["dough"]]
    assert [(line["ingredient"], line["part"], line["mass"]) for line in reply["lines"]] == [
        (line["ingredient"], line["part"], approx(line["mass"])) for line in weighed
    ]
    assert reply["makes"] == f"3 loaves, {plan['dough_mass']['best']:.0f} g of dough each"
    assert reply["minutes"] == {"prep": 900, "cook": 35, "total": 1025}
    assert reply["minutes"]["total"] == sum(task["minutes"] for task in plan["timetable"])
    water = plan["water_temperature"]["best"]
    for said in (
        "Pour the liquid on the flour at 99 °C",
        "keep it for 12 h at 4 °C",
        "into the dough at 20 °C",
        f"Use at {water:.0f} °C: water, whole milk.",
        "the dough should be at 27 °C",
        "Bench rest: 25 min at 27 °C.",
        "Bake for 35 min.",
        "Cool: 90 min.",
    ):
        assert said in reply["text"]


def test_another_share_is_another_recipe(export):
    less = export({**OF_PLAN, "plan": {**THREE_TINS, "scalded_share_percent": 20}})
    assert less["lines"][0]["mass"] < export(OF_PLAN)["lines"][0]["mass"]


def test_the_requests_that_variants_reply_are_plans(export, call):
    for row in call("variants", SIDE_BY_SIDE)["variants"]:
        reply = export(OF_PLAN, plan=row["request"])
        total = sum(line["mass"] for line in row["weigh_out"])
        assert sum(line["mass"] for line in reply["lines"]) == approx(total)


def test_a_plan_brings_its_units(export):
    reply = export({"plan": FIRST_BAKE, "format": "text", "measures": "us"}, oven_temperature=400)
    assert reply["units"]["mass"] == "oz" and "400 °F" in reply["text"]
    assert reply == export(
        {"plan": FIRST_BAKE, "format": "text", "measures": "us"},
        units=FIRST_BAKE["units"],
        oven_temperature=400,
    )
    without = {name: value for name, value in FIRST_BAKE.items() if name != "units"}
    assert reply == export(
        {"plan": without, "format": "text", "measures": "us"},
        units=FIRST_BAKE["units"],
        oven_temperature=400,
    )


def test_what_the_scale_cannot_see_is_as_it_is(export):
    lines = [*TIN_LOAF["lines"], {"ingredient": "ascorbic_acid", "mass": 0.01}]
    reply = export(OF_PLAN, plan={**THREE_TINS, "formula": {**TIN_LOAF, "lines": lines}})
    assert 0 < reply["lines"][-1]["mass"] < 0.05
    assert "line_vanished" in codes(reply["notes"])


def test_warmed_water_of_a_tap_with_ice(export, call):
    temperatures = {**THREE_TINS["temperatures"], "target": 20, "tap_temperature": 18}
    temperatures = {name: value for name, value in temperatures.items() if name != "adjust_with"}
    reply = export(OF_PLAN, plan={**THREE_TINS, "temperatures": temperatures})
    ice = call("loaf-plan", {**THREE_TINS, "temperatures": temperatures})["parts"]["dough_temperature"]["ice"]
    assert f"Weigh {ice['mass']:.0f} g of the water as ice, and use the rest at 18 °C." in reply["text"]
    assert "Use at" not in reply["text"]


def test_water_colder_than_ice_is_not_asked_for(export, call):
    temperatures = {**THREE_TINS["temperatures"], "target": 18, "adjust_with": ["water"]}
    plan = {**THREE_TINS, "temperatures": temperatures}
    assert call("loaf-plan", plan)["water_temperature"]["best"] < 0
    reply = export(OF_PLAN, plan=plan)
    assert "Use at" not in reply["text"] and "should be at 18 °C" in reply["text"]


# The forms


@pytest.mark.parametrize(
    "form, media", [("json_ld", "ld+json"), ("markdown", "markdown"), ("text", "plain"), ("csv", "csv")]
)
def test_each_form_has_its_text(export, form, media):
    reply = export(format=form)
    assert reply["format"] == form and reply["media_type"].endswith(f"/{media}")
    assert ("recipe" in reply) == (form == "json_ld")
    for line in reply["lines"]:
        assert line["label"] in reply["text"] and line["amount"] in reply["text"]
    if form == "json_ld":
        assert json.loads(reply["text"]) == reply["recipe"]


def test_defaults_are_english_metric_with_cautions(export):
    same = export(language="en", measures="metric", cautions=True)
    assert export() == same and "Caution: " in same["text"]
    without = export(cautions=False)
    assert "Caution" not in without["text"]
    assert without["cautions"] == same["cautions"]


def test_the_name_is_the_formulas_or_the_callers(export):
    assert export()["name"] == TIN_LOAF["name"]
    assert export(name="Kastenbrot")["text"].startswith("Kastenbrot\n==========\n")
    reply = export(formula={**TIN_LOAF, "name": ""}, language="ja")
    assert reply["name"] == "食パン" and codes(reply["notes"]) == ["no_name"]


def test_a_formula_with_all_that_may_be_known(export):
    reply = export(
        pans=2,
        stages=[{"minutes": 60, "temperature": 28}],
        timetable={"before": [{"name": "mix", "minutes": 15}], **TIMES},
        oven_temperature=210,
    )
    assert reply["makes"] == "2 loaves"
    assert reply["minutes"] == {"prep": 75, "cook": 35, "total": 110}
    assert "Bake for 35 min at 210 °C." in reply["text"]
    assert [step["label"] for step in reply["working"]] == [
        "All lines as printed",
        "Before the oven",
        "In all",
    ]
    assert export(timetable=TIMES)["minutes"] == {"prep": None, "cook": 35, "total": None}


def test_cautions_follow_the_formula_and_the_stages(export):
    plain = [caution["code"] for caution in export()["cautions"]]
    assert plain == ["hot_scald", "scald_cooling", "raw_flour", "allergens", "core_temperature"]
    warm = export(stages=[{"minutes": 60, "temperature": 28}])["cautions"]
    assert "perishable_dough" in [caution["code"] for caution in warm]
    honey = export(formula({"ingredient": "honey", "mass": 20}) | {"format": "text"})
    assert "not for children under one year" in honey["text"]
    assert "scald" not in honey["text"].lower()


def test_percentages_are_on_100_g_of_flour(export):
    lines = [{"ingredient": "bread_flour", "percent": 100}, {"ingredient": "water", "percent": 65}]
    reply = export(formula={"name": "Loaf", "lines": lines})
    assert [line["amount"] for line in reply["lines"]] == ["100 g", "65 g"]
    assert codes(reply["notes"]) == ["reckoned_on_100"]


def test_what_a_recipe_cannot_say_is_noted(export):
    own = {"ingredient": "Harbour blend", "mass": 5, "composition": {}}
    tiny = {"ingredient": "salt", "mass": 0.0005}
    water = {"ingredient": "water", "mass": 100, "part": "scald"}
    flour = {"ingredient": "bread_flour", "mass": 100, "part": "scald"}
    reply = export(formula(own, tiny, water, flour, scald_evaporation=8) | {"format": "csv"})
    assert codes(reply["notes"]) == [
        "own_ingredients_not_read_back",
        "lines_left_out",
        "evaporation_not_written",
    ]
    assert reply["notes"][0]["values"] == {"names": "Harbour blend"}
    assert "salt" not in [line["ingredient"] for line in reply["lines"]]


def test_a_recipe_too_long_to_be_read_back_says_so(export, client, assert_problem):
    lines = [{"ingredient": "butter", "mass": 1}] * 199
    reply = export(formula(*lines) | {"format": "text"})
    (note,) = (note for note in reply["notes"] if note["code"] == "too_long_to_read_back")
    read = client.post("/v1/recipe-import", json={"text": reply["text"]})
    fault = assert_problem(read, 422, pointer="/text", code="too_many_lines")
    assert fault["given"] == f"{note['values']['lines']} lines"
    assert note["values"]["most"] == 200


# Bad input


def test_exactly_one_of_formula_and_plan(refuse):
    refuse("/formula", "one_input", {"format": "text"})
    refuse("/plan", "one_input", plan=THREE_TINS)


@pytest.mark.parametrize(
    "field, value",
    [("pans", 2), ("stages", [{"minutes": 60, "temperature": 27}]), ("timetable", TIMES)],
)
def test_a_plan_has_its_own(refuse, field, value):
    refuse(f"/{field}", "plan_has_its_own", OF_PLAN, **{field: value})


def test_units_that_contradict_the_plans(refuse):
    fault = refuse("/units", "other_units", {"plan": FIRST_BAKE, "format": "text"}, units={"mass": "kg"})
    assert fault["nearest"] == FIRST_BAKE["units"]


@pytest.mark.parametrize(
    "more, pointer, code, nearest",
    [
        ({"format": "markdwn"}, "/format", "not_one_of", "markdown"),
        ({"format": "html"}, "/format", "not_one_of", None),
        ({"language": "zh"}, "/language", "not_one_of", "zh-Hant"),
        ({"language": "zh-hant"}, "/language", "not_one_of", "zh-Hant"),
        ({"language": "fr"}, "/language", "not_one_of", None),
        ({"measures": "metrik"}, "/measures", "not_one_of", "metric"),
        ({"pans": 0}, "/pans", "too_small", 1),
        ({"pans": 1.5}, "/pans", "wrong_type", 2),
        ({"name": ""}, "/name", "too_short", None),
        ({"name": "a\nb"}, "/name", "not_plain_text", "ab"),
        ({"cautions": "no"}, "/cautions", "wrong_type", None),
        ({"languag": "de"}, "/languag", "unknown_field", "language"),
        ({"timetable": {"after": []}}, "/timetable/after", "too_short", None),
        ({"timetable": {}}, "/timetable/after", "missing", None),
        ({"stages": []}, "/stages", "too_short", None),
        ({"oven_temperature": 20}, "/oven_temperature", "oven_temperature_out_of_range", 50),
        ({"oven_temperature": 800}, "/oven_temperature", "oven_temperature_out_of_range", 400),
        ({"stages": [{"minutes": 60, "temperature": 90}]}, "/stages/0/temperature", "dough_too_hot", 45),
        ({"formula": {"lines": [{"ingredient": "water", "mass": 5}]}}, "/formula/lines", "no_flour", None),
        (
            {"formula": {"lines": [{"ingredient": "braed_flour", "mass": 5}]}},
            "/formula/lines/0/ingredient",
            "unknown_ingredient",
            "bread_flour",
        ),
    ],
)
def test_bad_input(refuse, more, pointer, code, nearest):
    fault = refuse(pointer, code, **more)
    assert fault["nearest"] == nearest


def test_a_hot_oven_in_degrees_fahrenheit(export):
    assert "392 °F" in export(oven_temperature=392, units={"temperature": "degF"}, measures="us")["text"]


@pytest.mark.parametrize(
    "change",
    [
        {"scalded_share_percent": 70},
        {"pan": {"kind": "box", "length": 0.5, "width": 0.5, "depth": 0.5}},
        {"pans": 100_000, "units": {"mass": "mg"}},
        {"formula": {"lines": [{"ingredient": "water", "mass": 5}]}},
        {"formula": {"lines": [{"ingredient": "bred_flour", "mass": 5}]}},
        {"stages": [{"minutes": 60, "temperature": 90}]},
        {"temperatures": {**THREE_TINS["temperatures"], "target": 5, "scald_temperature": 95}},
        {"temperatures": {**THREE_TINS["temperatures"], "target": 90}},
        {
            "temperatures": {
                **THREE_TINS["temperatures"],
                "temperatures": [{"ingredient": "oats", "temperature": 5}],
            }
        },
        {"timetable": {**THREE_TINS["timetable"], "ready_at": "tomorrow"}},
        {"timetable": {"after": [{"name": "x", "minutes": 20160}] * 3}},
        {"scald": {"method": {"kind": "pour_over", "flour_temperature": 21, "liquid_temperature": 300}}},
        {"losses": {"bake_percent": 99}},
        {"calibration": {"version": 2}},
    ],
    ids=lambda change: next(iter(change)),
)
def test_a_plan_is_refused_where_loaf_plan_refuses_it(client, assert_problem, change):
    plan = {**THREE_TINS, **change}
    alone = assert_problem(client.post("/v1/loaf-plan", json=plan), 422)
    problem = assert_problem(client.post("/v1/recipe-export", json={**OF_PLAN, "plan": plan}), 422)
    for ours, theirs in zip(problem["errors"], alone["errors"], strict=True):
        assert ours["pointer"] == f"/plan{theirs['pointer']}"
        for field in ("code", "detail", "nearest", "given", "values"):
            assert ours[field] == theirs[field]
        moved = [
            {
                "keeps": option["keeps"] and f"/plan{option['keeps']}",
                "change": {f"/plan{place}": value for place, value in option["change"].items()},
            }
            for option in theirs["options"]
        ]
        assert ours["options"] == moved
