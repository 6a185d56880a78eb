"""What recipe-export writes, recipe-import reads back: ingredients, parts and masses as they are printed.

In every format, language and measures, whatever the names of the caller's own are.
"""

import json

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from pytest import approx

from scaldloaf.exporting.amounts import BOTH, MEASURES, METRIC, US
from scaldloaf.exporting.vocabulary import LANGUAGES
from scaldloaf.importing.layouts.cooked_steps import names_scald
from scaldloaf.importing.whole.listed_scald import LIQUIDS
from scaldloaf.operations.lantern_quay import FIRST_BAKE, SIDE_BY_SIDE, THREE_TINS, TIN_LOAF
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME
from scaldloaf.operations.schemas.recipe_export import FORMATS, JSON_LD
from scaldloaf.reference import INGREDIENTS

NAMES = sorted(INGREDIENTS)
FLOURS = [name for name in NAMES if INGREDIENTS[name].is_flour]
# Names that would be lines of ingredients, or headings, if a title or a step could be one.
TITLES = [
    "Lantern Quay tin loaf",
    "500 g flour",
    "Milk bread, 450 g",
    "牛奶吐司 450克",
    "2 Brote mit 30 g Butter",
    "# 100 g butter",
    "1. salt 5 g",
    "湯種",
    "Dough:",
    "<b>5 g</b> salt",
]


def texts(most: int):
    return st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=most)


def masses(least: float = 0.1, most: float = 2000):
    small = st.floats(least, 30).map(lambda mass: round(mass, 1))
    return st.one_of(st.floats(least, most), st.integers(1, int(most)), small)


def lines_of(names, part: str = "dough"):
    def line(name, mass):
        return {"ingredient": name, "mass": mass, "part": part}

    return st.builds(line, st.sampled_from(names), masses())


@st.composite
def formulas(draw):
    """A dough with flour and water, most with a scald, and anything of the catalogue besides."""
    lines = [draw(lines_of(FLOURS)), draw(lines_of(["water"])), *draw(st.lists(lines_of(NAMES), max_size=12))]
    if draw(st.booleans()):
        scald = [draw(lines_of(FLOURS, "scald")), draw(lines_of(sorted(LIQUIDS), "scald"))]
        lines += [*scald, *draw(st.lists(lines_of(NAMES, "scald"), max_size=2))]
    return {"name": draw(st.sampled_from(TITLES) | texts(40)), "lines": draw(st.permutations(lines))}


stages = st.lists(
    st.fixed_dictionaries(
        {"minutes": st.integers(1, 300), "temperature": st.integers(4, 40)},
        optional={"name": st.sampled_from(TITLES) | texts(30)},
    ),
    min_size=1,
    max_size=4,
)
tasks = st.lists(
    st.fixed_dictionaries({"name": st.sampled_from(TITLES) | texts(30), "minutes": st.integers(0, 900)}),
    min_size=1,
    max_size=3,
)
besides = st.fixed_dictionaries(
    {},
    optional={
        "stages": stages,
        "timetable": st.fixed_dictionaries({"after": tasks}, optional={"before": tasks}),
        "pans": st.integers(1, 30),
        "oven_temperature": st.integers(150, 260),
        "cautions": st.booleans(),
    },
)


def written(body: dict) -> dict:
    return perform(BY_NAME["recipe-export"], body)


def read_back(reply: dict) -> dict:
    source = {"recipe": reply["recipe"]} if reply["format"] == JSON_LD else {"text": reply["text"]}
    cup = {"cup": "us"} if reply["language"] == "en" else {}
    return perform(BY_NAME["recipe-import"], {**source, **cup, "units": reply["units"]})


def of_part(lines: list[dict], part: str, mass: str) -> list[tuple[str, float]]:
    return [(line["ingredient"], approx(line[mass], rel=1e-9)) for line in lines if line["part"] == part]


def assert_back(reply: dict) -> dict:
    """What is read of it."""
    read = read_back(reply)
    for part in ("scald", "dough"):
        printed = of_part(reply["lines"], part, "printed_mass")
        assert of_part(read["formula"]["lines"], part, "mass") == printed, read["lines"]
    listed = [line["text"] for line in read["lines"] if line["kind"] == "ingredient"]
    assert len(listed) == len(reply["lines"]), listed
    return read


@settings(max_examples=200, suppress_health_check=list(HealthCheck))
@given(formulas(), besides, st.sampled_from(FORMATS), st.sampled_from(LANGUAGES), st.sampled_from(MEASURES))
def test_what_is_written_is_read_back(formula, more, form, language, measures):
    # Flour twice in the dough, and a step called 湯種: a baker would take the one for the other, too.
    is_scalded = any(line["part"] == "scald" for line in formula["lines"])
    said = json.dumps([more, formula["name"]], ensure_ascii=False).lower()
    assume(is_scalded or not names_scald(said))
    reply = written({"formula": formula, "format": form, "language": language, "measures": measures, **more})
    assert_back(reply)
    for part in ("scald", "dough"):
        given = [(line["ingredient"], line["mass"]) for line in formula["lines"] if line["part"] == part]
        assert of_part(reply["lines"], part, "mass") == given


@settings(max_examples=60, suppress_health_check=list(HealthCheck))
@given(formulas(), st.sampled_from(LANGUAGES), st.sampled_from((METRIC, BOTH)))
def test_metric_comes_back_to_the_gram_and_the_small_to_what_is_printed(formula, language, measures):
    reply = written({"formula": formula, "format": JSON_LD, "language": language, "measures": measures})
    for line in reply["lines"]:
        off = abs(line["printed_mass"] - line["mass"])
        assert off <= (0.5 if line["mass"] >= 20 else 0.05) * (1 + 1e-9)


@pytest.mark.parametrize("measures", MEASURES)
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("form", FORMATS)
def test_every_ingredient_is_read_back_for_sure(form, language, measures):
    flour_and_water = [
        {"ingredient": name, "mass": mass, "part": part}
        for name, mass, part in (
            ("bread_flour", 100, "scald"),
            ("water", 100, "scald"),
            ("bread_flour", 400, "dough"),
        )
    ]
    for start in range(0, len(NAMES), 20):
        # Each one more than the line before, as the numbers of a list are.
        least = 12 if start % 40 else 12.3
        some = [{"ingredient": name, "mass": least + at} for at, name in enumerate(NAMES[start : start + 20])]
        reply = written(
            {
                "formula": {"name": "All", "lines": flour_and_water + some},
                "format": form,
                "language": language,
                "measures": measures,
            }
        )
        read = assert_back(reply)["lines"]
        doubtful = [line for line in read if line["kind"] == "ingredient" and line["sure"] != "sure"]
        expected = {"loose_measure", "unusual_amount"}  # as much cinnamon as milk
        assert all(line["doubts"][0]["code"] in expected for line in doubtful), doubtful


@pytest.mark.parametrize("form", FORMATS)
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("plan", [THREE_TINS, FIRST_BAKE], ids=["three tins", "first bake"])
def test_a_plan_is_read_back_as_it_is_weighed_out(plan, form, language):
    measures = US if "units" in plan else METRIC
    reply = written({"plan": plan, "format": form, "language": language, "measures": measures})
    assert_back(reply)
    weigh_out = perform(BY_NAME["loaf-plan"], plan)["weigh_out"]
    for part in ("scald", "dough"):
        assert of_part(reply["lines"], part, "mass") == of_part(weigh_out[part], part, "mass")


def test_the_request_of_a_variant_is_a_plan():
    row = perform(BY_NAME["variants"], SIDE_BY_SIDE)["variants"][1]
    reply = written({"plan": row["request"], "format": "text"})
    assert of_part(reply["lines"], "dough", "mass") == [
        (line["ingredient"], line["mass"]) for line in row["weigh_out"] if line["part"] == "dough"
    ]


OWN = {"water_percent": 40, "allergens": ["celery"]}


@settings(max_examples=100, suppress_health_check=list(HealthCheck))
@given(
    st.sampled_from(
        [
            "Harbour starter",
            "Tiefseehefe",
            "Dough:",
            "glaze",
            "for dusting",
            "500",
            "=1+1",
            "**bold**",
            "a|b",
            "%",
        ]
    ),
    st.sampled_from(FORMATS),
    st.sampled_from(LANGUAGES),
    st.sampled_from(MEASURES),
)
def test_an_own_ingredient_is_not_read_and_spoils_no_other(name, form, language, measures):
    own = [{"ingredient": name, "mass": 7.5, "part": part, "composition": OWN} for part in ("scald", "dough")]
    body = {"formula": {"name": "Loaf", "lines": [own[0], *TIN_LOAF["lines"], own[1]]}, "format": form}
    reply = written({**body, "language": language, "measures": measures})
    assert "own_ingredients_not_read_back" in [note["code"] for note in reply["notes"]]
    assert "celery" in [allergen["allergen"] for allergen in reply["allergens"]]
    reply["lines"] = [line for line in reply["lines"] if line["ingredient"] != name]
    read = read_back(reply)
    for part in ("scald", "dough"):
        printed = of_part(reply["lines"], part, "printed_mass")
        assert of_part(read["formula"]["lines"], part, "mass") == printed
