"""What a baker decides of a recipe that was read, without a browser: the page's module asked through Node."""

import json

from scaldloaf.importing.whole.usable import REASONS
from scaldloaf.importing.words.doubt import TEXTS
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME

UNSAID = """Tangzhong
20 g flour
100 ml milk
Dough
350 g bread flour
120 ml milk
1 egg
15 g milk powder
6 g yeast
5 g salt"""


def read(text, **more) -> dict:
    return json.loads(json.dumps(perform(BY_NAME["recipe-import"], {"text": text, **more})))


def test_every_reason_has_words_in_every_language(ask):
    why = ask("why")
    assert sorted(code for codes in why.values() for code in codes) == sorted(TEXTS)
    for language in ask("languages"):
        own = {name for name, _ in ask("folder", language=language)}
        assert {f"why.{words}" for words in why} - own == set()
        assert {f"usable.{code}" for code in REASONS} - own == set()


def test_lines_of_a_kind_have_one_decision(ask):
    found = ask("checked", reply=read(UNSAID), decided={})
    keys = [(each.get("key"), each["lines"], each.get("value")) for each in found["checks"]]
    assert keys == [
        ("flour", [2], "bread_flour"),
        ("milk", [3, 6], "whole_milk"),
        ("egg_size", [7], "large"),
        ("milk_powder_kind/skim_milk_powder", [8], "skim_milk_powder"),
        ("yeast", [9], "instant"),
    ]
    assert found["fields"] == {}


def test_decisions_are_read_again_or_change_the_weighed_line(ask):
    decided = {
        "flour": "plain_flour",
        "milk": "skim_milk",
        "egg_size": "small",
        "yeast": "compressed",
        "milk_powder_kind/skim_milk_powder": "whole_milk_powder",
    }
    found = ask("checked", reply=read(UNSAID), decided=decided)
    again = read(UNSAID, **found["fields"])
    ingredients = [(each["ingredient"], each["part"]) for each in again["formula"]["lines"]]
    assert ingredients[:2] == [("plain_flour", "scald"), ("skim_milk", "scald")]
    assert {"skim_milk", "compressed_yeast"} < {name for name, _ in ingredients}
    lines = found["formula"]["lines"]
    assert [each["mass"] for each in lines if each["ingredient"] == "whole_milk_powder"] == [15]
    assert not any(each["ingredient"] == "skim_milk_powder" for each in lines)


def test_how_wet_the_starters_are_is_asked_once_and_answered_as_a_number(ask):
    text = "Ingredienti\n500 g di farina 00\n250 g di latte intero\n100 g di licoli\n90 g di lievito madre"
    found = ask("checked", reply=read(text), decided={"starter_hydration_percent": "80"})
    (check,) = [each for each in found["checks"] if each.get("key") == "starter_hydration_percent"]
    assert check["lines"] == [4, 4, 5, 5] and check["value"] == "100" and check["why"] == "starter"
    assert "100" in check["choices"] and found["fields"] == {"starter_hydration_percent": 80}
    again = [each["mass"]["best"] for each in read(text, **found["fields"])["lines"] if each["line"] == 5]
    assert again == [50, 40]


def test_a_line_goes_where_the_baker_says(ask):
    reply = read("50 g flour\n50 g water\nDough\n300 g flour\n150 g milk\n5 g yeast\n6 g salt")
    found = ask("checked", reply=reply, decided={"place": "scald", "flour": "bread_flour"})
    place = next(each for each in found["checks"] if each.get("key") == "place")
    assert place["lines"] == [1, 2] and place["choices"] == ["scald", "dough"]
    again = read("\n".join(each["text"] for each in reply["lines"]), **found["fields"])
    parts = [each["part"] for each in again["formula"]["lines"]]
    assert parts[:2] == ["scald", "scald"] and set(parts[2:]) == {"dough"}


BUNS = """Harbour buns
300 g bread flour
180 g whole milk
30 g sugar
5 g salt
4 g instant yeast
30 g butter
50 g butter
40 g sugar
50 g bread flour
oil for the bowl"""


def test_each_line_may_be_put_elsewhere_by_itself(ask):
    assert ask("offered", reply=read(BUNS)) == [
        *([number, "aside"] for number in range(2, 8)),
        *([number, "dough"] for number in range(8, 12)),
    ]


def test_what_is_on_no_line_of_its_own_stays(ask):
    """What a scald is named by; one of two yeasts that do the same; a whole recipe on one line."""
    named = read("300 g bread flour\n7 g dry yeast = 20 g fresh yeast\n6 g salt\n120 g tangzhong")
    assert ask("offered", reply=named) == [[1, "aside"], [2, "aside"], [2, None], [3, "aside"], [4, None]]
    whole = (
        "Tangzhong: 20 g flour, 100 g water. Dough: 300 g flour, 150 g milk, 5 g yeast. "
        "Glaze: 1 egg, 10 g sugar"
    )
    reply = read(whole)
    assert {line["part"] for line in reply["lines"] if line["kind"] == "ingredient"} == {
        "scald",
        "dough",
        "aside",
    }
    parts = [line["part"] for line in reply["lines"] if line["kind"] == "ingredient"]
    assert [part for _, part in ask("offered", reply=reply)] == [
        None if part == "aside" else "aside" for part in parts
    ]


def test_lines_by_themselves_are_fields_of_the_request_and_nothing_to_look_at(ask):
    said = {"line/8": "dough", "line/7": "aside", "line/11": "aside", "line/4": ""}
    found = ask("checked", reply=read(BUNS), decided=said, alone=[8, 7, 11, 4])
    assert found["fields"] == {"dough_lines": [8], "aside_lines": [7, 11]}
    reply = read(BUNS, **found["fields"])
    again = ask("checked", reply=reply, decided=said, alone=[8, 7, 11, 4])
    checks = {each["key"]: each for each in again["checks"] if "key" in each}
    assert [checks[key]["stands"] for key in said] == ["dough", "aside", "aside", ""]
    assert {tuple(checks[key]["choices"]) for key in said} == {("", "dough", "aside")}
    looks = [number for each in again["checks"] if "key" not in each for number in each["lines"]]
    assert not {8, 7, 11, 4} & set(looks)


def test_a_line_by_itself_is_in_no_scald(ask):
    text = "50 g flour\n50 g water\nDough\n300 g flour\n150 g milk\n5 g yeast\n6 g salt"
    said = {"place": "scald", "line/2": "aside", "line/1": "dough"}
    found = ask("checked", reply=read(text), decided=said, alone=[2, 1])
    assert found["fields"] == {"scald_lines": [], "dough_lines": [1], "aside_lines": [2]}
    parts = {line["line"]: line["part"] for line in read(text, **found["fields"])["lines"]}
    assert (parts[1], parts[2]) == ("dough", "aside")
