"""What German recipes write that others do not: each class of it in a short recipe of our own."""

import pytest

from importing.readings import lines_of
from importing.readings import weighed as parts
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

DOUGH = "500 g Weizenmehl 550\n20 g Frischhefe\n10 g Salz\n"


def last(line):
    """The readings of a line behind a dough."""
    return [each for each in lines_of(DOUGH + line) if each["line"] == 4]


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("je 150 ml Milch und Wasser", {"whole_milk": 155, "water": 150}),
        ("je einen Teelöffel Zucker und Zimt", {"sucrose": 4, "cinnamon": 3}),
        ("3 dl Milchwasser (halb Milch, halb Wasser)", {"whole_milk": 155, "water": 150}),
        ("1 Ei + Milch = 180 g", {"whole_egg": 50, "whole_milk": 130}),
        ("1 Ei mit Milch auf 300 ml aufgefüllt", {"whole_egg": 50, "whole_milk": 259}),
        ("50 g Zucker und etwas Milch anrühren", {"sucrose": 50}),
        ("Ich nehme immer 250 ml Milch, einen Würfel Hefe, 50 g Butter",
         {"whole_milk": 258, "compressed_yeast": 42, "butter": 50}),
        ("100 g braunem Zucker", {"brown_sugar": 100}),
        ("50 g dunkler Schokolade", {"dark_chocolate": 50}),
        ("30 g Butter hineinbröckeln und mit 250 ml lauwarmer Milch verrühren",
         {"butter": 30, "whole_milk": 258}),
    ],
)  # fmt: skip
def test_a_line_names_several_things_or_bends_its_words(line, found):
    read = {
        each["ingredient"]: round(each["mass"]["best"])
        for each in last(line)
        if each["mass"] and each["part"] == "dough"
    }
    assert read == found


@pytest.mark.parametrize(
    ("line", "ingredient", "grams"),
    [
        ("1 T. Trockenhefe", "instant_yeast", 7),
        ("1 Btl. Trockenhefe", "instant_yeast", 7),
        ("½ Hefe", "compressed_yeast", 21),
        ("1 Stück Hefe", "compressed_yeast", 42),
        ("1 Päckchen Hefe (42 g)", "compressed_yeast", 42),
        ("1 Päckchen Hefe", "instant_yeast", 7),
    ],
)
def test_yeast_is_as_it_is_sold(line, ingredient, grams):
    (read,) = (each for each in lines_of(f"500 g Mehl\n{line}") if each["line"] == 2)
    assert (read["ingredient"], round(read["mass"]["best"])) == (ingredient, grams)


@pytest.mark.parametrize("line", ["1 erbsengroßes Stück Frischhefe", "ein haselnussgroßes Stück Hefe"])
def test_a_piece_as_large_as_a_nut_has_no_mass(line):
    assert [each["mass"] for each in lines_of(f"500 g Mehl\n{line}") if each["line"] == 2] == [None]


@pytest.mark.parametrize(
    "line",
    [
        "Butter und Mehl für die Form",
        "Mehl zum Verarbeiten",
        "griffiges Mehl",
        "1 Eigelb + 3 EL Milch und etwas Hagelzucker bereitstellen",
    ],
)
def test_what_is_for_the_tin_the_board_or_the_crust_is_no_dough(line):
    read = [each for each in lines_of(f"{DOUGH}300 ml Wasser\n{line}") if each["line"] == 5]
    assert read
    assert not any(each["in_formula"] and each["part"] == "dough" for each in read)


def test_lines_glued_to_each_other_are_cut_apart():
    text = "200 ml Wasser, lauwarm1 Würfel Hefe500 g Mehl Type 550100 g Butter (weich)2 Eier8 g SalzSesam"
    assert parts(text) == [
        ("dough", "water", 200),
        ("dough", "compressed_yeast", 42),
        ("dough", "bread_flour", 500),
        ("dough", "butter", 100),
        ("dough", "whole_egg", 100),
        ("dough", "salt", 8),
    ]


def test_a_part_of_a_line_is_added_for_the_scald():
    assert parts("475 g Weizenmehl 550 + 25 g für das Kochstück") == [
        ("scald", "bread_flour", 25),
        ("dough", "bread_flour", 475),
    ]


SCALDED = [
    ("scald", "bread_flour", 25),
    ("scald", "water", 125),
    ("dough", "bread_flour", 475),
    ("dough", "water", 200),
    ("dough", "salt", 10),
]


@pytest.mark.parametrize(
    "text",
    [
        "Stufe | Zutat | Menge\nKochstück | Weizenmehl 550 | 25 g\n | Wasser | 125 g\n"
        "Hauptteig | Weizenmehl 550 | 475 g\n | Wasser | 200 g\n | Salz | 10 g",
        "| Zutat | Kochstück | Hauptteig | Gesamt |\n|---|---|---|---|\n"
        "| Weizenmehl 550 | 25 g | 475 g | 500 g |\n| Wasser | 125 g | 200 g | 325 g |\n"
        "| Salz | | 10 g | 10 g |",
        "\tKochstück (g)\tHauptteig (g)\nWeizenmehl 550\t25\t475\nWasser\t125\t200\nSalz\t\t10",
    ],
    ids=["part of each line", "part of each column", "unit in the head"],
)
def test_a_table_has_the_parts_in_its_columns(text):
    assert sorted(parts(text)) == sorted(SCALDED)


STEPS = """Zubereitung
1. 25 g Weizenmehl 550 mit 125 ml Wasser in einem Topf verrühren und aufkochen, abkühlen lassen.
2. 475 g Weizenmehl 550 mit 20 g Frischhefe und 10 g Salz mischen.
3. Das Kochstück, 200 g Wasser und 1 Ei zugeben und 10 Minuten kneten.
4. Mit 1 Eigelb bestreichen und bei 180 °C 30 Minuten backen."""


def test_amounts_that_only_the_method_has_are_read_and_never_sure():
    assert sorted(parts(STEPS)) == sorted(
        [*SCALDED, ("dough", "compressed_yeast", 20), ("dough", "whole_egg", 50)]
    )
    assert not any(
        line["sure"] == line.get("section_sure", "sure") == "sure"
        for line in lines_of(STEPS)
        if line["in_formula"]
    )


def test_a_liquid_that_no_list_has_is_taken_from_the_method():
    recipe = {
        "@type": "Recipe",
        "recipeIngredient": ["750 g Weizenmehl 550", "12 g Salz", "7 g Trockenhefe", "60 g Butter"],
        "recipeInstructions": "Alles mischen. Nach und nach 450 ml lauwarmes Wasser zugeben und kneten.",
    }
    lines = perform(RECIPE_IMPORT, {"recipe": recipe})["lines"]
    assert [
        (line["mass"]["best"], line["section_sure"]) for line in lines if line["ingredient"] == "water"
    ] == [(pytest.approx(450, rel=0.01), "likely")]


@pytest.mark.parametrize(
    "text",
    [
        f"{DOUGH}250 ml Wasser\n60 g Butter\n1 EL Milch\n\nDen Zopf mit der Milch bestreichen.",
        "250 ml Milch, 25 g Speisestärke, 80 g Butter\n"
        "500 g Mehl, 20 g Frischhefe, 250 ml Milch, 60 g Butter, 60 g Zucker",
    ],
    ids=["brushed on last", "a list beside the dough's"],
)
def test_what_may_be_of_the_crust_or_a_filling_is_not_sure(text):
    of_crust = [
        line
        for line in lines_of(text)
        if line["in_formula"] and (line["text"].startswith("250 ml Milch") or line["text"] == "1 EL Milch")
    ]
    assert of_crust
    assert not any(line["sure"] == line["section_sure"] == "sure" for line in of_crust)


def test_what_another_recipe_had_is_passed_over():
    assert parts("1100 g Weizenmehl 550 – im Original 1000 g") == [("dough", "bread_flour", 1100)]


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("Anschließend verrührt man die Mischung in einer Schüssel mit 30 g Honig, zwei Eiern und etwas Zimt",
         {"honey": 30, "whole_egg": 100}),
        ("125 ml warme Milch und 80 g weiche Butter mit 80 g Zucker vermengt",
         {"whole_milk": 129, "butter": 80, "sucrose": 80}),
        ("2 kl. Eier", {"whole_egg": 94}),
        ("2 mal 125 ml Wasser", {"water": 250}),
        ('- { qty: 2, unit: "EL", item: "Honig, flüssig" }', {"honey": 43}),
    ],
)  # fmt: skip
def test_a_sentence_a_size_a_product_and_data_are_read(line, found):
    read = {
        each["ingredient"]: round(each["mass"]["best"])
        for each in last(line)
        if each["mass"] and each["part"] == "dough"
    }
    assert read == found


@pytest.mark.parametrize(
    "line",
    [
        "½ Zitrone(n), Bio, davon die abgeriebene Schale",
        "geriebene Zitronenschale von ½ Zitrone",
        "1 unbehandelte Zitrone, nur die abgeriebene Schale",
    ],
)
def test_the_rind_of_a_lemon_is_named_in_many_ways(line):
    assert [each["ingredient"] for each in last(line)] == ["lemon_zest"]


@pytest.mark.parametrize(
    "text",
    [
        "500 g Mehl, 20 g Frischhefe, 100 ml Öl (z. B. Rapsöl) Zum Bestreichen: 1 Ei, 2 EL Milch",
        "Teig: 500 g Mehl, 20 g Frischhefe, 100 ml Öl. Zum Bestreichen und Bestreuen: 1 Ei, 2 EL Milch",
        "500 g Mehl, 20 g Frischhefe, 100 ml Öl; für die Füllung: 1 Ei, 2 EL Milch",
    ],
)
def test_a_list_on_one_line_has_headings_inside(text):
    read = [(line["part"], line["ingredient"]) for line in lines_of(text) if line["ingredient"]]
    assert read == [
        ("dough", "plain_flour"),
        ("dough", "compressed_yeast"),
        ("dough", "oil"),
        ("aside", "whole_egg"),
        ("aside", "whole_milk"),
    ]


@pytest.mark.parametrize(
    ("line", "grams"), [("1 Pkg. Germ", 42), ("1 Pkg. Germ (42 g)", 42), ("1 Pkg. Germ {entspricht 7 g}", 7)]
)
def test_a_packet_of_germ_is_never_sure(line, grams):
    (read,) = (each for each in lines_of(f"500 g Mehl\n{line}") if each["line"] == 2)
    assert (round(read["mass"]["best"]), read["sure"]) == (grams, "likely")


def test_more_salt_than_any_dough_has_is_not_sure():
    (read,) = (each for each in lines_of("500 g Mehl\n112 Teelöffel Salz") if each["line"] == 2)
    assert read["sure"] == "unsure"


def test_names_before_the_one_amount_of_a_line_do_not_take_it():
    read = last("Wasser, Zucker, 1 EL Butter für die Pfanne")
    assert [(each["ingredient"], each["mass"] and round(each["mass"]["best"])) for each in read] == [
        ("water", None),
        ("sucrose", None),
        ("butter", 14),
    ]
    assert {each["part"] for each in read} == {"aside"}


def test_a_step_s_heading_can_end_with_what_is_made_in_it():
    milk = lines_of(f"{DOUGH}Schritt 2 – Jetzt geht es an die Nussfüllung\n5 EL Milch")[-1]
    assert (milk["ingredient"], milk["part"]) == ("whole_milk", "aside")


def test_dots_between_items_are_commas():
    assert parts("500 g Mehl • 250 ml Milch • 20 g Frischhefe • 10 g Salz") == [
        ("dough", "plain_flour", 500),
        ("dough", "whole_milk", 258),
        ("dough", "compressed_yeast", 20),
        ("dough", "salt", 10),
    ]


@pytest.mark.parametrize("verb", ["gebe", "dazugebe", "unterrühre"])
def test_what_the_writer_does_is_no_part_of_a_name(verb):
    (read,) = last(f"100 ml Milch {verb}")
    assert (read["ingredient"], round(read["mass"]["best"])) == ("whole_milk", 103)


def test_a_dough_names_its_sponge_first_and_a_heading_says_how_long_its_part_takes():
    text = (
        "Sauerteig: 6 bis 10 Stunden\n- 60 g Anstellgut\n- 200 g Roggenmehl\n- 200 g Wasser\n\n"
        "Mehlkochstück: 4 bis 12 Stunden\n- 60 g Dinkelmehl 630\n- 300 g Wasser\n\n"
        "Hauptteig:\n- Sauerteig\n- Mehlkochstück\n- 740 g Dinkelmehl 630\n- 100 g Butter\n- 20 g Salz"
    )
    assert parts(text) == [
        ("dough", "Sauerteig (Mehl)", 30),
        ("dough", "Sauerteig (Wasser)", 30),
        ("dough", "rye_flour", 200),
        ("dough", "water", 200),
        ("scald", "spelt_flour", 60),
        ("scald", "water", 300),
        ("dough", "spelt_flour", 740),
        ("dough", "butter", 100),
        ("dough", "salt", 20),
    ]


@pytest.mark.parametrize("line", ["1 Ei zusätzlich zum Bestreichen", "1 weiteres Ei, zum Bestreichen"])
def test_one_more_egg_is_for_the_crust(line):
    assert [(each["part"], each["ingredient"]) for each in last(line)] == [("aside", "whole_egg")]


def test_the_first_of_two_starches_has_the_word_of_the_second():
    assert [each["ingredient"] for each in last("20 g Kartoffel-/Maisstärke")] == ["potato_starch"]


def test_half_a_lemon_is_no_half_gram_of_its_rind():
    assert last("Schale von 1/2 unbehandelten Zitrone")[0]["mass"]["best"] == pytest.approx(2.5)


def test_a_list_of_all_that_the_parts_have_is_not_counted_twice():
    overview = "Gesamt\n500 g Weizenmehl 550\n205 g Wasser\n50 g Butter\n11 g Salz\n10 g Frischhefe\n\n"
    own = (
        "Mehlkochstück\n25 g Weizenmehl 550\n125 g Wasser\n\nHauptteig\n150 g Mehlkochstück\n"
        "475 g Weizenmehl 550\n80 g Wasser\n50 g Butter\n11 g Salz\n10 g Frischhefe"
    )
    for heading in ("Gesamt", "Zutatenübersicht", "Was hinein kommt"):
        assert parts(overview.replace("Gesamt", heading) + own) == parts(own)


def test_a_yolk_thinned_with_cream_is_brushed_on():
    assert lines_of(DOUGH + "50 g Butter\n1 Eigelb, mit 1 EL Rahm verdünnt")[-1]["part"] == "aside"


def test_a_lone_yolk_and_the_spoon_of_milk_that_thins_it_are_of_the_crust():
    text = (
        f"{DOUGH}250 g Milch\n40 g Butter\n1 Eigelb\n1 EL Kondensmilch\n\nUnd so funktioniert’s:\n"
        "Alles verkneten.\nDas Ei mit Kondensmilch verquirlen und den Zopf damit bestreichen."
    )
    found = {line["ingredient"]: line["part"] for line in lines_of(text) if line["ingredient"]}
    assert (found["egg_yolk"], found["evaporated_milk"]) == ("aside", "aside")
    kneaded = text.replace("Alles verkneten.", "Mehl, Ei und Kondensmilch verkneten.")
    assert ("dough", "evaporated_milk", 16) in parts(kneaded)


@pytest.mark.parametrize(
    "step",
    [
        "Vom Mehl 20 g abnehmen und mit 100 g Milch zu einem Kochstück kochen.",
        "Die Hälfte der Milch mit 20 g Mehl im Topf aufkochen, bis die Masse eindickt.",
    ],
)
def test_a_step_takes_an_amount_of_what_it_names_before_it_or_half(step):
    found = parts(f"{DOUGH}200 g Milch\n\nZubereitung:\n{step}")
    assert [each for each in found if each[0] == "scald"] == [
        ("scald", "bread_flour", 20),
        ("scald", "whole_milk", 100),
    ]
