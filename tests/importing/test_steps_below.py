"""Sentences below a list without a heading, and what the method takes of a line."""

import pytest

from importing.readings import lines_of, sure_or_not

DOUGH = "500 g Mehl\n250 ml Milch\n20 g frische Hefe\n{}\n1 Ei\n8 g Salz\n"
ENGLISH = "500 g flour\n250 ml milk\n7 g instant yeast\n150 g butter\n2 eggs\n8 g salt\n"


def grams_of(text, ingredient):
    """The grams of an ingredient in the formula, and how sure each is."""
    return [
        (round(line["mass"]["best"]), line["sure"])
        for line in lines_of(text)
        if line["in_formula"] and line["ingredient"] == ingredient
    ]


@pytest.mark.parametrize(
    ("sentence", "ingredient", "grams"),
    [
        ("Die restliche Milch, 100 g weiche Butter und das Ei zum Vorteig geben und alles gut kneten.",
         "whole_milk", 258),
        ("Sollte die Butter noch nicht im Teig sein, kannst du nochmals 1 EL Butter dazugeben und kneten.",
         "butter", 150),
        ("Anschließend die Hefe und 50 ml Milch zum Mehl geben und drei Minuten lang gut kneten.",
         "whole_milk", 258),
    ],
)  # fmt: skip
def test_a_sentence_below_the_list_takes_what_is_listed(sentence, ingredient, grams):
    text = DOUGH.format("150 g Butter") + sentence
    assert [mass for mass, _ in grams_of(text, ingredient)] == [grams]


def test_a_sentence_that_takes_more_than_is_listed_stays_a_line():
    text = (
        DOUGH.format("50 g Butter")
        + "Zum Schluss die weiche Masse mit 400 g Butter gut verrühren und kneten."
    )
    assert 400 in [mass for mass, _ in grams_of(text, "butter")]


def test_a_numbered_step_with_a_heading_of_its_own_is_no_second_sponge():
    text = (
        "For the sponge:\n7 g instant yeast\n120 ml milk\n50 g sugar\n60 g flour\n"
        "For the dough:\n400 g flour\n8 g salt\n200 g butter\n"
        "1. For the sponge: In the bowl of a mixer, combine the yeast, milk and 50 g sugar and whisk well. "
        "Cover and let it stand for 20 minutes."
    )
    assert [mass for mass, _ in grams_of(text, "sucrose")] == [50]


@pytest.mark.parametrize(
    "sentence",
    [
        "Den Teig in acht Stücke von je etwa 90 g teilen.",
        "Alles zusammen mische und knete ich zu einem glatten Teig.",
    ],
)
def test_a_sentence_without_a_name_of_ours_is_no_line_that_was_not_read(sentence):
    assert [line["kind"] for line in lines_of(DOUGH.format("80 g Butter") + sentence)][-1] == "step"


def test_a_method_on_the_line_of_its_list_is_no_second_list():
    text = (
        "Man braucht 500 g Mehl, 80 g Zucker, 21 g frische Hefe, 200 ml Milch und 1 Prise Salz. "
        "Zubereitung: Mehl in eine Schüssel geben, die Hefe hineinbröckeln und mit 5 EL Milch verrühren."
    )
    masses = [(line["ingredient"], round(line["mass"]["best"])) for line in lines_of(text) if line["mass"]]
    assert masses == [
        ("plain_flour", 500), ("sucrose", 80), ("compressed_yeast", 21), ("whole_milk", 206), ("salt", 0)
    ]  # fmt: skip


@pytest.mark.parametrize("heading", ["Zubereitung der Brötchen", "Zubereitung Rupfkuchen"])
def test_the_heading_of_the_method_may_say_of_what(heading):
    text = DOUGH.format("80 g Butter") + f"{heading}\nMilch erwärmen und Butter darin schmelzen."
    assert lines_of(text)[6]["read_as"] == "the heading of the method"


@pytest.mark.parametrize(
    ("butter", "steps", "found"),
    [
        ("150 g Butter", "Mehl, 100 g Butter und Milch verkneten. Mit Ei bestreichen.", [(100, "unsure")]),
        ("250 g Butter", "Mehl, ½ Butter und Milch verkneten. Formen und backen.", [(125, "unsure")]),
        # The rest is named, or no amount is said: all of it.
        ("150 g Butter",
         "Mehl, 100 g Butter, Milch verkneten. Restliche Butter einkneten. Mit Ei bestreichen.",
         [(150, "sure")]),
        ("150 g Butter",
         "Mehl und Milch verkneten. 50 g Butter einkneten, dann die Butter einarbeiten. Mit Ei bestreichen.",
         [(150, "sure")]),
        ("150 g Butter",
         "Mehl und 50 g Butter kneten. Die übrigen Zutaten dazugeben. Mit Ei bestreichen.",
         [(150, "sure")]),
    ],
)  # fmt: skip
def test_of_a_line_the_dough_has_what_is_kneaded_in(butter, steps, found):
    assert grams_of(DOUGH.format(butter) + "Zubereitung\n" + steps, "butter") == found


def test_an_egg_is_left_where_the_flour_gets_one_of_two():
    text = ENGLISH + "Method\nMix the flour, milk, yeast and 1 egg, then knead in the butter. Brush with egg."
    assert grams_of(text, "whole_egg") == [(50, "likely")]


def test_a_line_of_its_own_for_the_wash_leaves_the_milk_of_the_dough():
    text = (
        "500 g Mehl\n3 EL Milch\n20 g frische Hefe\n270 ml Milch\n65 g Zucker\nMilch zum Bestreichen\n"
        "Zubereitung\nAlles verkneten. Mit Milch bestreichen und backen."
    )
    assert [mass for mass, _ in grams_of(text, "whole_milk")] == [46, 278]


def test_a_pinch_of_sugar_on_the_yeast_is_not_the_sugar_of_the_dough():
    text = (
        "500 g Mehl\n20 g frische Hefe\n1 Prise Zucker\n250 ml Milch\n2 EL Zucker\n"
        "Zubereitung\nDie Hefe bröckeln. Bestreue sie mit einer Prise Zucker. Alles mit dem Zucker verkneten."
    )
    assert [mass for mass, _ in grams_of(text, "sucrose")] == [0, 26]


@pytest.mark.parametrize(
    "lines",
    [
        "½ tsp allspice\n2 tsp nutmeg\n¼ tsp cloves\n¼ tsp ginger\n¼ tsp coriander",
        "70 g candied lemon peel\n60 g candied orange peel",
    ],
)
def test_several_things_of_one_kind_are_no_list_that_starts_again(lines):
    read = lines_of(ENGLISH + lines)
    assert all("starts_again" not in [doubt["code"] for doubt in line["doubts"]] for line in read)


def test_a_filling_above_the_flour_is_in_doubt_too():
    text = (
        "100 g Butter\n70 g Zucker\n1 EL Zimt\n400 g Mehl\n21 g Germ\n200 ml Milch\n"
        "40 g Zucker\n70 g Butter\n2 TL Zimt"
    )
    assert [each[1:] for each in sure_or_not(text) if each[1] in ("butter", "sucrose")] == [
        ("butter", 100, False), ("sucrose", 70, False), ("sucrose", 40, False), ("butter", 70, False)
    ]  # fmt: skip


def test_a_remark_of_the_writer_in_parentheses_is_none_of_the_dough():
    text = DOUGH.format("80 g Butter") + "- (ich: 75 g Lievito Madre aus 50 g Mehl und 25 g Wasser)"
    assert [line["kind"] for line in lines_of(text)] == ["ingredient"] * 6 + ["step"]


def test_a_sentence_for_the_crust_below_a_list_is_no_dough():
    text = DOUGH.format("80 g Butter") + "1 Ei mit etwas Milch verrühren und die Brötchen damit bestreichen."
    assert [each["part"] for each in lines_of(text) if each["ingredient"] == "whole_egg"] == [
        "dough",
        "aside",
    ]


@pytest.mark.parametrize(
    ("steps", "sure"),
    [
        ("Mehl und 1 Ei verkneten. Übriges Ei trennen. Eiweiß mit Nüssen vermengen.", "unsure"),
        ("1 Ei zum Mehlgemisch geben. 1 Ei trennen. Eiweiß steif schlagen.", "unsure"),
        ("Mehl und 1 Ei verkneten. Eigelb unterkneten.", "sure"),
        ("Mehl und die Eier verkneten. Eiweiß steif schlagen.", "sure"),
    ],
)
def test_eggs_of_which_one_is_parted_for_something_else_are_in_doubt(steps, sure):
    text = DOUGH.format("80 g Butter").replace("1 Ei", "2 Eier (Gr. M)")
    assert grams_of(text + "Zubereitung\n" + steps, "whole_egg") == [(94, sure)]
