"""The survey of what bakers do: its table, how a recipe becomes a row of it, and the rows fitted to it."""

import csv
from collections import Counter

import numpy
import pytest
from pytest import approx

from benchmarks.practice import COEFFICIENTS as COEFFICIENTS_FILE
from benchmarks.practice import RATIOS, Row, Survey, fit, robust, rounded, weighted_percentile, write
from published.practice import COLUMNS, TABLE, Unusable, row_of, rows_of_recipes
from scaldloaf.reference import COEFFICIENTS, SOURCES

LEAST_RECIPES = 150  # below that, a survey decides nothing


def rows() -> list[dict[str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


# ---- The table -----------------------------------------------------------------------------------


def test_every_row_is_a_recipe_that_can_be_found():
    found = rows()
    assert len(found) >= LEAST_RECIPES and tuple(found[0]) == COLUMNS
    assert max(Counter(row["id"] for row in found).values()) == 1
    for row in found:
        assert row["source"].startswith("http") and row["title"] and row["writer"], row["id"]
        assert row["region"] in ("east_asian", "western", "other") and row["form"] in ("loaf", "other"), row[
            "id"
        ]


def test_the_table_is_that_of_the_recipes():
    """Fails when recipes are added or read anew and the table is not made again (practice.py)."""
    assert rows_of_recipes()[0] == rows()


def test_scalded_and_plain_loaves_of_both_styles_are_there():
    kinds = Counter((row["region"], float(row["scalded_share_percent"]) > 0) for row in rows())
    for region in ("east_asian", "western"):
        for scalded in (True, False):
            assert kinds[region, scalded] >= 30, (region, scalded)


@pytest.mark.parametrize(
    ("column", "least", "most"),
    [
        ("flour_g", 90, 5000),
        ("white_wheat_percent", 90, 100),
        ("scalded_share_percent", 0, 60),
        ("scald_water_ratio", 0.3, 15),
        ("water_percent", 35, 120),
        ("fat_percent", 0, 80),
        ("sugar_percent", 0, 50),
        ("salt_percent", 0, 5),
        ("instant_yeast_percent", 0.05, 10),
        ("pan_volume_cm3", 300, 5000),
        ("first_proof_minutes", 15, 240),
        ("final_proof_minutes", 15, 240),
    ],
)
def test_a_column_holds_what_a_bread_can_be(column, least, most):
    values = [(row["id"], float(row[column])) for row in rows() if row[column]]
    assert len(values) > 50
    assert [each for each in values if not least <= each[1] <= most] == []


def test_a_scald_has_a_share_and_both_ratios():
    for row in rows():
        scalded = float(row["scalded_share_percent"]) > 0
        assert scalded == bool(row["scald_liquid_ratio"]) == bool(row["scald_water_ratio"]), row["id"]
        if scalded:  # milk is not all water, and no liquid is more than that
            assert float(row["scald_water_ratio"]) <= float(row["scald_liquid_ratio"]) + 1e-9, row["id"]


# ---- From a recipe to a row ----------------------------------------------------------------------

LANTERN_QUAY = {
    "id": "tin-loaf",
    "source": "https://lantern-quay.example/tin-loaf",
    "title": "Tin loaf",
    "writer": "lantern-quay",
    "language": "en",
    "region": "western",
    "kind": "scalded",
    "lines": [
        {"section": "scald", "ingredient": "bread_flour", "grams": 100},
        {"section": "scald", "ingredient": "water", "grams": 100},
        {"section": "dough", "ingredient": "bread_flour", "grams": 400},
        {"section": "dough", "ingredient": "whole_milk", "grams": 150},
        {"section": "dough", "ingredient": "water", "grams": 95},
        {"section": "dough", "ingredient": "sucrose", "grams": 30},
        {"section": "dough", "ingredient": "butter", "grams": 30},
        {"section": "dough", "ingredient": "salt", "grams": 9},
        {"section": "dough", "ingredient": "compressed_yeast", "grams": 15},
        {"section": "not_dough", "ingredient": "whole_egg", "grams": 50},
    ],
    "pan": {
        "text": "one tin, 19 x 9.5 x 9.5 cm, with its lid",
        "volume_cm3": 1714.75,
        "lidded": True,
        "tins": 1,
    },
    "stages": [
        {"text": "first rise 90 min", "hours": 1.5},
        {"text": "rest 15 min", "hours": 0.25},
        {"text": "second rise 50 min", "hours": 50 / 60},
    ],
}


def changed(line: int, **fields) -> dict:
    lines = [
        {**each, **fields} if place == line else each for place, each in enumerate(LANTERN_QUAY["lines"])
    ]
    return {**LANTERN_QUAY, "lines": lines}


def test_a_recipe_becomes_a_row():
    row = row_of(LANTERN_QUAY)
    numbers = {name: float(value) for name, value in row.items() if value and value[0].isdigit()}
    assert numbers["flour_g"] == 500 and numbers["scalded_share_percent"] == 20
    assert numbers["scald_liquid_ratio"] == numbers["scald_water_ratio"] == 1
    # water, 88 % of the milk, 15.9 % of the butter, 69 % of the yeast
    assert numbers["water_percent"] == approx((195 + 0.88 * 150 + 0.159 * 30 + 0.69 * 15) / 5, abs=0.01)
    assert numbers["sugar_percent"] == 6 and numbers["salt_percent"] == approx(1.8, abs=0.05)
    assert numbers["instant_yeast_percent"] == approx(0.33 * 15 / 5, abs=0.01)
    assert numbers["dough_g"] == 929 and row["form"] == "loaf"
    assert (row["pan_volume_is"], row["lidded"], row["tins"]) == ("stated", "yes", "1")
    assert (numbers["first_proof_minutes"], numbers["final_proof_minutes"]) == (90, 50)


def test_a_part_of_the_scald_made_counts_as_that_part():
    row = row_of({**LANTERN_QUAY, "expect": {"scald_used_share": 0.5}})
    assert float(row["scalded_share_percent"]) == approx(100 * 50 / 450, abs=0.01)
    assert float(row["dough_g"]) == 829


def test_what_a_recipe_does_not_say_is_empty():
    assert row_of(changed(4, grams=None))["water_percent"] == ""
    assert row_of(changed(4, grams=None))["dough_g"] == ""
    salt = row_of(changed(7, grams=None))
    assert salt["salt_percent"] == "" and salt["water_percent"]
    assert row_of(changed(8, grams=None))["instant_yeast_percent"] == ""
    assert row_of(changed(6, ingredient="mashed pumpkin"))["water_percent"] == ""
    assert row_of(changed(6, ingredient="vanilla"))["water_percent"]


def test_a_tin_that_is_only_named_has_its_usual_size():
    named = {**LANTERN_QUAY, "pan": {"text": "1.5斤型", "volume_cm3": None, "lidded": True}}
    assert (row_of(named)["pan_volume_cm3"], row_of(named)["pan_volume_is"]) == ("2550", "usual")
    machine = {**LANTERN_QUAY, "pan": {"text": "1斤 ホームベーカリー", "volume_cm3": None, "lidded": False}}
    assert row_of(machine)["pan_volume_cm3"] == ""
    assert row_of({**LANTERN_QUAY, "pan": None})["tins"] == ""


@pytest.mark.parametrize(
    ("recipe", "why"),
    [
        ({**LANTERN_QUAY, "source": "somewhere"}, "no address"),
        (changed(2, grams=None), "a flour without a mass"),
        (changed(2, ingredient="rye_flour"), "not white wheat flour"),
        (changed(1, grams=0), "a scald without flour or liquid"),
        (changed(0, ingredient="multigrain flour"), "a flour or scald that is not known"),
        (changed(8, ingredient="cinnamon"), "no yeast"),
    ],
)
def test_a_recipe_that_is_of_no_use_is_left_out(recipe, why):
    with pytest.raises(Unusable, match=why):
        row_of(recipe)


# ---- The fit -------------------------------------------------------------------------------------


def test_a_weighted_percentile_is_that_of_repeated_values():
    values, weights = numpy.array([1.0, 2.0, 3.0, 10.0]), numpy.array([1.0, 1.0, 1.0, 1.0])
    assert weighted_percentile(values, weights, 50) == approx(2.5)
    assert weighted_percentile(values, numpy.array([1.0, 1.0, 1.0, 5.0]), 50) > 5


def test_a_misprint_does_not_draw_the_line():
    share = numpy.linspace(0, 20, 41)
    seen = 62 + 0.9 * share + numpy.tile([0.3, -0.3], 21)[:41]
    seen[20] += 60
    line = robust(numpy.column_stack([numpy.ones(41), share]), seen, numpy.ones(41))
    assert line == approx([62, 0.9], abs=0.15)


def invented(count: int, seed: int) -> Survey:
    """A survey whose law is known: 62 % of water, 0.3 points a point at 1:1 and 1.4 at 1:5."""
    chance = numpy.random.default_rng(seed)
    made = []
    for index in range(count):
        ratio = (0.0, 1.0, 5.0)[index % 3]
        share = ratio and float(chance.uniform(5, 20))
        fat, sugar = chance.uniform(4, 14, 2)
        water = 62 - 0.4 * (fat - 9) + {0.0: 0.0, 1.0: 0.3, 5.0: 1.4}[ratio] * share + chance.normal(0, 3)
        made.append(
            {
                **dict.fromkeys(COLUMNS, ""),
                "writer": f"writer {index // 2}",
                "region": "east_asian" if index % 2 else "western",
                "form": "loaf",
                "water_percent": str(water),
                "fat_percent": str(fat),
                "sugar_percent": str(sugar),
                "salt_percent": "1.8",
                "instant_yeast_percent": "1.1",
                "scalded_share_percent": str(share),
                "scald_water_ratio": str(ratio or ""),
                "first_proof_minutes": "60",
                "final_proof_minutes": "50",
            }
        )
    return Survey(made)


def test_the_fit_finds_a_law_that_is_known():
    found = {row.name: row for row in fit(invented(300, 5), draws=300)[0]}
    for name, truth in (("water_percent", 62), ("water_slope_equal", 0.3), ("water_slope_roux", 1.4)):
        row = found[f"practice_{name}"]
        assert row.low < truth < row.high, name
        assert row.high - row.low < (2.5 if name == "water_percent" else 0.25), name
    assert found["practice_salt_percent"].value == 1.8


def test_the_rows_are_those_of_the_table():
    """Fails when recipes are added and the fit is not made anew (tests/benchmarks/practice.py --write)."""
    fitted = {row.name: row for row in fit(Survey.read())[0]}
    written = {name: row for name, row in COEFFICIENTS.items() if name.startswith("practice_")}
    assert set(written) == set(fitted)
    for name, row in written.items():
        now: Row = fitted[name]
        low, high = now.spread or (now.low, now.high)
        assert row.recipes == now.recipes and row.evidence == "common practice", name
        assert row.value == approx(rounded(now.value), rel=0.01), name
        assert (row.low, row.high) == (approx(low, rel=0.03), approx(high, rel=0.03)), name
        assert "practice_survey" in row.sources and "survey" in row.replaced_by, name
    assert SOURCES["practice_survey"].kind == "survey"


@pytest.mark.at_length
def test_a_second_writing_changes_nothing(tmp_path):
    copy = tmp_path / "coefficients.toml"
    copy.write_text(COEFFICIENTS_FILE.read_text("utf-8"), "utf-8")
    fitted = fit(Survey.read())[0]
    write(fitted, copy)
    once = copy.read_text("utf-8")
    write(fitted, copy)
    assert copy.read_text("utf-8") == once
    before = COEFFICIENTS_FILE.read_text("utf-8").partition("[practice_")[0]
    assert once.startswith(before)


def test_the_law_of_binding_lies_within_what_recipes_show():
    """k(r) = a (min(r, W) - h) with a = 0.75, W = 2.6, h = 0.64, by each recipe's own ratio and share."""
    survey = Survey.read()
    share, ratio = survey.numbers("scalded_share_percent"), survey.numbers("scald_water_ratio")
    for kind, (low, high) in RATIOS.items():
        row = COEFFICIENTS[f"practice_water_slope_{kind}"]
        of_kind = (share > 0) & (ratio > low) & (ratio <= high)
        bound = 0.75 * (numpy.minimum(ratio[of_kind], 2.6) - 0.64) * share[of_kind]
        assert row.low < bound.sum() / share[of_kind].sum() < row.high, kind
