"""breakdown over the wire: in any unit, by percent as by mass, and back again unchanged."""

import re

import pytest

from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.units import FACTORS

PERCENTAGES = (
    "scalded_share_percent",
    "hydration_percent",
    "liquid_percent",
    "dough_yield",
    "total_percent",
    "sugar_percent",
    "lactose_percent",
    "fat_percent",
    "salt_percent",
    "instant_yeast_percent",
)


def in_unit(unit: str) -> dict:
    factor = FACTORS["mass"][unit][0]
    return {
        "units": {"mass": unit},
        "formula": {
            **TIN_LOAF,
            "lines": [{**line, "mass": line["mass"] / factor} for line in TIN_LOAF["lines"]],
        },
    }


@pytest.mark.parametrize("unit", FACTORS["mass"])
def test_the_same_loaf_in_every_unit(call, unit):
    grams, reply = call("breakdown", {"formula": TIN_LOAF}), call("breakdown", in_unit(unit))
    factor = FACTORS["mass"][unit][0]
    for field in PERCENTAGES:
        assert reply[field] == pytest.approx(grams[field], rel=1e-12), field
    for field, value in grams["totals"].items():
        assert reply["totals"][field] * factor == pytest.approx(value, rel=1e-12)
    assert {
        field: value * (factor if field in ("flour", "liquid") else 1)
        for field, value in reply["scald"].items()
    } == {
        "flour": pytest.approx(100),
        "liquid": pytest.approx(100),
        "liquid_ratio": pytest.approx(1),
        "moisture_percent": pytest.approx((100 * 0.134 + 100) / 2),
    }


@pytest.mark.parametrize("unit", FACTORS["mass"])
def test_the_working_can_be_redone_in_every_unit(call, unit):
    body = in_unit(unit)
    body["formula"]["scald_evaporation"] = 12 / FACTORS["mass"][unit][0]
    steps = {step["label"]: step for step in call("breakdown", body)["working"]}
    flour = steps["Total flour"]
    assert flour["unit"] == unit
    terms = [float(term) for term in re.findall(rf"([\d.]+) {unit}\b", flour["expression"])]
    assert len(terms) == 2 and sum(terms) == pytest.approx(flour["value"], rel=1e-5)
    water = steps["Water in the lines that are not flour"]
    wet, _, lost = water["expression"].partition(" − ")
    by_line = [
        float(mass) * float(percent) / 100
        for mass, percent in re.findall(rf"([\d.]+) {unit} × ([\d.]+) %", wet)
    ]
    assert len(by_line) == 6
    assert sum(by_line) - float(lost.split()[0]) == pytest.approx(water["value"], rel=1e-5)
    assert steps["Dough mass"]["expression"] == f"all lines − {lost}"


def test_percent_gives_what_mass_gives(call):
    by_percent = {
        **TIN_LOAF,
        "lines": [
            {"ingredient": line["ingredient"], "percent": line["mass"] / 5, "part": line.get("part", "dough")}
            for line in TIN_LOAF["lines"]
        ],
    }
    by_mass = call("breakdown", {"formula": TIN_LOAF})
    reply = call("breakdown", {"formula": by_percent, "units": {"mass": "oz"}})
    for field in PERCENTAGES:
        assert reply[field] == pytest.approx(by_mass[field], rel=1e-12), field
    assert reply["totals"]["flour"] == pytest.approx(100 / FACTORS["mass"]["oz"][0])
    assert [note["code"] for note in reply["notes"]] == ["reckoned_on_100"]


def test_evaporation_goes_with_the_lines_by_mass_or_by_percent(call):
    lines = [
        ("bread_flour", 10, "scald"),
        ("water", 50, "scald"),
        ("bread_flour", 90, "dough"),
        ("water", 20, "dough"),
    ]
    by_percent = call(
        "breakdown",
        {
            "units": {"mass": "kg"},
            "formula": {
                "scald_evaporation": 4,
                "lines": [
                    {"ingredient": name, "percent": percent, "part": part} for name, percent, part in lines
                ],
            },
        },
    )
    by_mass = call(
        "breakdown",
        {
            "units": {"mass": "kg"},
            "formula": {
                "scald_evaporation": 0.2,
                "lines": [
                    {"ingredient": name, "mass": percent / 20, "part": part} for name, percent, part in lines
                ],
            },
        },
    )
    assert by_percent["hydration_percent"] == pytest.approx(66) == by_mass["hydration_percent"]
    assert by_percent["formula"]["scald_evaporation"] == pytest.approx(0.004)


def test_a_replys_formula_posted_back_gives_the_same(call):
    for unit in FACTORS["mass"]:
        first = call("breakdown", in_unit(unit))
        again = call("breakdown", {"formula": first["formula"], "units": {"mass": unit}})
        for line, back in zip(first["formula"]["lines"], again["formula"]["lines"], strict=True):
            assert set(line) == set(back) and line["ingredient"] == back["ingredient"]
            for field in ("mass", "percent", "percent_of_dough"):
                assert back[field] == pytest.approx(line[field], rel=1e-12)
        for field in PERCENTAGES:
            assert again[field] == pytest.approx(first[field], rel=1e-12), field


def test_a_flour_mix_of_ones_own_is_counted_whole_and_comes_back(call):
    mix = {
        "is_flour": True,
        "water_percent": 13,
        "salt_percent": 1.8,
        "sucrose_percent": 5,
        "yeast": "instant",
        "allergens": ["wheat"],
    }
    reply = call(
        "breakdown",
        {
            "formula": {
                "lines": [
                    {"ingredient": "house mix", "mass": 500, "composition": mix},
                    {"ingredient": "water", "mass": 300},
                ]
            }
        },
    )
    assert (reply["salt_percent"], reply["sugar_percent"]) == (pytest.approx(1.8), pytest.approx(5))
    assert reply["formula"]["lines"][0]["composition"] == mix
    assert reply["allergens"] == [{"allergen": "wheat", "from": ["house mix"]}]


def test_honey_is_not_for_infants(call):
    def codes(mass):
        lines = [*TIN_LOAF["lines"], {"ingredient": "honey", "mass": mass}]
        return {
            caution["code"]
            for caution in call("breakdown", {"formula": {"lines": lines}}, full=False)["cautions"]
        }

    assert "honey_infants" in codes(20) and "honey_infants" not in codes(0)


def test_slips_and_thirsty_lines_are_noted(call):
    def notes(**masses):
        lines = [*TIN_LOAF["lines"], *({"ingredient": name, "mass": mass} for name, mass in masses.items())]
        return {
            note["code"]: note["text"] for note in call("breakdown", {"formula": {"lines": lines}})["notes"]
        }

    assert notes() == {}
    assert "worth a second look" in notes(salt=5)["much_salt"]  # 2.8 % in all
    assert "a slip" in notes(salt=50)["much_salt"]
    # T. Lehmann, thinktank.pmq.com/threads/9468: 2 % gluten, 3 % water
    assert notes(vital_gluten=10)["gluten_takes_water"].startswith(
        "2 % vital gluten takes about 3 % of the flour"
    )
