"""recipe-import: single lines that the request says are in the dough, in the scald, or in neither."""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

BUNS = [
    "Dough",
    "300 g bread flour",
    "180 g whole milk",
    "30 g sugar",
    "5 g salt",
    "4 g instant yeast",
    "30 g butter",
    "50 g butter",
    "40 g sugar",
    "50 g bread flour",
    "50 g egg, for brushing",
    "oil for the bowl",
]
CRUST, WASH, OIL = (8, 9, 10), 11, 12
RECIPES = {
    "buns": BUNS,
    "scald": [
        "Tangzhong",
        "20 g bread flour",
        "100 g water",
        "Harbour loaf",
        "300 g bread flour",
        "150 g whole milk",
        "6 g salt",
        "4 g instant yeast",
        "Filling",
        "80 g brown sugar",
        "60 g raisins",
    ],
    "on one line": ["400 g bread flour, 240 g water, 8 g salt, 5 g instant yeast, 40 g butter for the top"],
    "two yeasts": ["400 g bread flour", "260 g water", "7 g dry yeast = 20 g fresh yeast", "8 g salt"],
    "by percent": ["bread flour 100 %", "water 65 %", "salt 2 %", "instant yeast 1 %", "egg 10 %, to brush"],
    "by the method": [
        "300 g bread flour",
        "180 g whole milk",
        "5 g salt",
        "4 g instant yeast",
        "Method",
        "Cook 20 g of the flour with 100 g of the milk in a pan to a tangzhong.",
        "Knead everything for 10 minutes, proof, and bake.",
    ],
}


def part_of(reply, number):
    """Part, how sure that is, and whether the formula has it, of a line with one ingredient."""
    (line,) = [each for each in reply["lines"] if each["line"] == number]
    return line["part"], line["section_sure"], line["in_formula"]


def masses(reply):
    """What the formula has, in g."""
    found = Counter()
    for line in reply["formula"]["lines"]:
        found[line["part"], line["ingredient"]] += line["mass"]
    return found


def test_one_line_of_a_crust_goes_back_into_the_dough_and_the_others_stay(call):
    plain = call("recipe-import", {"lines": BUNS})
    assert [part_of(plain, number) for number in CRUST] == [("aside", "unsure", False)] * 3
    said = call("recipe-import", {"lines": BUNS, "dough_lines": [8]})
    assert part_of(said, 8) == ("dough", "sure", True)
    assert [part_of(said, number) for number in CRUST[1:]] == [("aside", "unsure", False)] * 2
    assert masses(said) - masses(plain) == {("dough", "butter"): 50}
    (line,) = [each for each in said["lines"] if each["line"] == 8]
    assert (line["sure"], line["why"], line["doubts"]) == ("sure", "", [])
    notes = {note["code"]: note["values"]["lines"] for note in said["notes"] if "lines" in note["values"]}
    assert notes["lines_outside"] == "9, 10, 11, 12"
    assert notes["section_in_doubt"] == "9, 10"


def test_a_line_that_says_itself_it_is_brushed_on_goes_back_too(call):
    said = call("recipe-import", {"lines": BUNS, "dough_lines": [WASH]})
    assert part_of(said, WASH) == ("dough", "sure", True)
    assert masses(said)["dough", "whole_egg"] == 50


def test_a_line_of_the_dough_is_left_out_and_so_is_one_of_the_scald(call):
    plain = call("recipe-import", {"lines": RECIPES["scald"]})
    said = call("recipe-import", {"lines": RECIPES["scald"], "aside_lines": [3, 6]})
    assert [part_of(said, number) for number in (3, 6)] == [("aside", "sure", False)] * 2
    assert part_of(said, 2) == part_of(plain, 2) == ("scald", "sure", True)
    assert masses(plain) - masses(said) == {("scald", "water"): 100, ("dough", "whole_milk"): 150}


def test_a_line_of_the_scald_goes_into_the_dough(call):
    said = call("recipe-import", {"lines": RECIPES["scald"], "dough_lines": [2, 3]})
    assert {line["part"] for line in said["formula"]["lines"]} == {"dough"}
    assert masses(said)["dough", "bread_flour"] == 320


def test_no_amount_is_made_up_for_a_line_that_has_none(call):
    plain, said = (call("recipe-import", {"lines": BUNS, "dough_lines": lines}) for lines in ([], [OIL]))
    assert part_of(said, OIL) == ("dough", "sure", False)
    (line,) = [each for each in said["lines"] if each["line"] == OIL]
    assert (line["ingredient"], line["mass"], line["sure"]) == ("oil", None, "not_read")
    assert masses(said) == masses(plain)
    not_read = [note["values"]["lines"] for note in said["notes"] if note["code"] == "lines_not_read"]
    assert not_read == [str(OIL)]


def test_a_heading_and_a_step_stay_what_they_are(call):
    lines = RECIPES["by the method"]
    plain = call("recipe-import", {"lines": lines})
    assert call("recipe-import", {"lines": lines, "aside_lines": [5, 6, 7]})["lines"] == plain["lines"]
    buns = call("recipe-import", {"lines": BUNS})
    assert call("recipe-import", {"lines": BUNS, "aside_lines": [1]})["lines"] == buns["lines"]


def test_a_line_outranks_the_heading_above_it(call):
    body = {"lines": RECIPES["scald"], "sections": [{"heading": "Filling", "part": "dough"}]}
    said = call("recipe-import", {**body, "aside_lines": [11]})
    assert [part_of(said, number)[0] for number in (10, 11)] == ["dough", "aside"]
    body["sections"] = [{"heading": "Harbour loaf", "part": "aside"}]
    said = call("recipe-import", {**body, "dough_lines": [5, 6]})
    assert [part_of(said, number)[0] for number in (5, 6, 7)] == ["dough", "dough", "aside"]


def test_an_empty_list_of_the_scald_says_that_there_is_none(call):
    lines = RECIPES["by the method"]
    assert "scald" in {line["part"] for line in call("recipe-import", {"lines": lines})["formula"]["lines"]}
    said = call("recipe-import", {"lines": lines, "scald_lines": []})
    assert {line["part"] for line in said["formula"]["lines"]} == {"dough"}
    assert masses(said)["dough", "bread_flour"] == 300
    assert {line["section_sure"] for line in said["lines"]} == {"sure"}


def test_a_second_yeast_that_would_do_instead_is_not_added_to_the_first(call):
    lines = RECIPES["two yeasts"]
    said = call("recipe-import", {"lines": lines, "dough_lines": [3]})
    yeasts = [line["ingredient"] for line in said["formula"]["lines"] if line["ingredient"].endswith("yeast")]
    assert yeasts == ["active_dry_yeast"]
    said = call("recipe-import", {"lines": lines, "aside_lines": [3]})
    assert not any(line["ingredient"].endswith("yeast") for line in said["formula"]["lines"])


def test_what_only_the_method_of_a_page_names_is_on_no_line(call):
    recipe = {
        "@type": "Recipe",
        "recipeIngredient": ["300 g bread flour", "6 g salt", "4 g instant yeast"],
        "recipeInstructions": ["Mix everything with 190 g water and knead it for 10 minutes."],
    }
    plain = call("recipe-import", {"recipe": recipe})
    assert masses(plain)["dough", "water"] == 190
    said = call("recipe-import", {"recipe": recipe, "aside_lines": [1, 2]})
    (water,) = [line for line in said["lines"] if line["ingredient"] == "water"]
    assert (water["part"], water["section_sure"]) == ("dough", "likely")


@st.composite
def named(draw):
    """A recipe, and some of its lines, each with a part that the caller says it is."""
    lines = RECIPES[draw(st.sampled_from(sorted(RECIPES)))]
    numbers = st.integers(1, len(lines))
    return lines, draw(st.dictionaries(numbers, st.sampled_from(["dough", "aside"])))


def read(lines, parts):
    """The ingredients of the reply."""
    fields = {
        f"{part}_lines": [number for number, said in parts.items() if said == part]
        for part in ("dough", "aside")
    }
    found = perform(RECIPE_IMPORT, {"lines": lines, **fields})["lines"]
    return [line for line in found if line["kind"] == "ingredient"]


def is_instead(line):
    """A second yeast, that would do instead of the first on its line."""
    return line["part"] == "aside" and any(doubt["code"] == "would_do" for doubt in line["doubts"])


@given(named())
def test_named_lines_are_where_they_are_said_to_be_and_all_others_where_they_were(asked):
    lines, parts = asked
    plain, said = read(lines, {}), read(lines, parts)
    assert [line["text"] for line in plain] == [line["text"] for line in said]
    for before, after in zip(plain, said, strict=True):
        if before["line"] not in parts or is_instead(before):
            assert after["part"] == before["part"]
            continue
        assert (after["part"], after["section_sure"]) == (parts[before["line"]], "sure")
        has_mass = after["mass"] is not None and after["sure"] != "not_read"
        assert not after["in_formula"] or after["part"] == "dough" and has_mass


@given(named())
def test_there_and_back_again(asked):
    """Saying what was read already changes nothing but the doubt; saying the other of it changes it back."""
    lines, parts = asked
    plain = read(lines, {})
    by_line = {}
    for line in plain:
        by_line.setdefault(line["line"], set()).add(line["part"])
    as_read = {number: next(iter(found)) for number, found in by_line.items() if len(found) == 1}
    same = {number: as_read[number] for number in parts if as_read.get(number) in ("dough", "aside")}
    again = read(lines, same)
    assert [(line["part"], line["ingredient"], line["mass"]) for line in again] == [
        (line["part"], line["ingredient"], line["mass"]) for line in plain
    ]
    assert {line["section_sure"] for line in again if line["line"] in same} <= {"sure"}


@pytest.mark.parametrize(
    "fields, pointer, code, nearest",
    [
        ({"dough_lines": [2, 13]}, "/dough_lines/1", "no_such_line", 12),
        ({"aside_lines": [300]}, "/aside_lines/0", "no_such_line", 12),
        ({"dough_lines": [12], "aside_lines": [13]}, "/aside_lines/0", "no_such_line", 11),
        ({"dough_lines": [0]}, "/dough_lines/0", "too_small", 1),
        ({"aside_lines": ["2"]}, "/aside_lines/0", "wrong_type", 2),
        ({"dough_lines": 2}, "/dough_lines", "wrong_type", None),
        ({"aside_lines": [2] * 201}, "/aside_lines", "too_long", None),
        ({"dough_lines": [3, 4], "aside_lines": [6, 4]}, "/aside_lines/1", "line_in_two_fields", 5),
        ({"scald_lines": [2, 3], "dough_lines": [3]}, "/dough_lines/0", "line_in_two_fields", 4),
        ({"scald_lines": [2], "aside_lines": [2]}, "/aside_lines/0", "line_in_two_fields", 1),
    ],
)
def test_refused_at_the_field_with_the_nearest_line_that_works(
    client, assert_problem, fields, pointer, code, nearest
):
    fault = assert_problem(
        client.post("/v1/recipe-import", json={"lines": BUNS, **fields}), 422, pointer, code
    )
    assert fault["nearest"] == nearest


def test_a_line_in_two_fields_is_refused_with_the_other_field(client, assert_problem):
    body = {"lines": BUNS, "scald_lines": [2, 3], "dough_lines": [8, 3]}
    fault = assert_problem(
        client.post("/v1/recipe-import", json=body), 422, "/dough_lines/1", "line_in_two_fields"
    )
    assert fault["detail"] == "line 3 is in scald_lines too"
    assert fault["values"] == {"line": 3, "other": "scald_lines"}
    assert [option["change"] for option in fault["options"]] == [{"/dough_lines/1": 4}]


def test_where_every_line_is_named_there_is_no_nearest(client, assert_problem):
    body = {"lines": ["100 g bread flour"], "dough_lines": [1], "aside_lines": [1]}
    fault = assert_problem(
        client.post("/v1/recipe-import", json=body), 422, "/aside_lines/0", "line_in_two_fields"
    )
    assert fault["nearest"] is None


def test_a_line_named_twice_in_one_field_is_named_once(call):
    once, twice = (call("recipe-import", {"lines": BUNS, "dough_lines": lines}) for lines in ([8], [8, 8]))
    assert once == twice
