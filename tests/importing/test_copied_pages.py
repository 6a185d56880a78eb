"""Words that a page has glued together, alternatives, and what is put on top: each in a short recipe."""

import pytest

from importing.test_classes import answer, parts


@pytest.mark.parametrize(
    "line, expected",
    [
        ("10 gramsSalt2%", ("dough", "salt", 10.0)),
        ("8glevure sèche active", ("dough", "active_dry_yeast", 8.0)),
        ("2 kleine Eier", ("dough", "whole_egg", 94.0)),
        ("1 large or 2 small eggs", ("dough", "whole_egg", 50.0)),
        ("1/2 egg", ("dough", "whole_egg", 25.0)),
        ("1 sachet de levure de boulanger", ("dough", "instant_yeast", 7.0)),
        ("Zitrone (Abrieb)", ("dough", "lemon_zest", None)),
    ],
)
def test_a_line_as_a_page_has_it(line, expected):
    assert parts(answer(f"Teig\n500 g Mehl\n{line}"))[-1] == expected


def test_what_would_do_instead_is_not_added():
    reply = answer("325 g bread flour, or 275 g bread flour and 50 g rye flour\n7 g instant yeast\n6 g salt")
    assert parts(reply)[0] == ("dough", "bread_flour", 325.0)
    assert [ingredient for _, ingredient, _ in parts(reply)] == ["bread_flour", "instant_yeast", "salt"]


def test_what_a_heading_of_a_topping_is_made_of_is_no_ingredient():
    reply = answer(
        "500 g flour\n7 g yeast\n300 ml milk\nHoney Butter Filling & Finishing\n100 g butter\n50 g honey"
    )
    assert [part for part, _, _ in parts(reply)][-2:] == ["aside", "aside"]


def test_an_unknown_heading_among_bulleted_lines_leaves_what_follows_in_doubt():
    reply = answer(
        "- 500 g flour\n- 7 g instant yeast\n- 300 g water\nFlour paste\n- 67 g plain flour\n- 30 g sugar"
    )
    assert all(line["sure"] != "sure" for line in reply["lines"][-2:])


def test_the_scald_by_its_name_alone_is_the_scald():
    reply = answer(
        "300 g farina\n100 g di water roux\n6 g sale\nper il water roux 20 g di farina\n100 g di acqua"
    )
    assert ("scald", "water", 83.3) in parts(reply) or ("scald", "plain_flour", 16.7) in parts(reply)
    made = answer("600 g Dinkelmehl\n200 g Mehlkochstück aus Dinkelmehl\n230 g Wasser\n8 g Salz\n5 g Hefe")
    assert parts(made)[1] == ("scald", None, 200.0)


def test_the_method_makes_a_wash_of_what_is_listed_last():
    reply = answer(
        "- 250 g water\n- 6 g active dry yeast\n- 1 egg\n- 450 g flour\n- 6 g salt\n"
        "Add in egg, stir, then flour and salt.\n\n- 1 egg\n- Splash of milk\n"
        "Mix egg and milk together to make an egg wash."
    )
    assert [part for part, _, _ in parts(reply)] == ["dough"] * 5 + ["aside"] * 2
