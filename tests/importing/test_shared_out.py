"""Amounts shared out to kinds, to the scald or to the egg, and lines that only repeat or frame a list.

What such lines mean is common practice, no source; the classes come from recipes of the corpus.
"""

import pytest

from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT


def lines_of(text, kind="ingredient"):
    """The lines of a kind in the reply to a text."""
    return [line for line in perform(RECIPE_IMPORT, {"text": text})["lines"] if line["kind"] == kind]


def counted(text):
    """Part, ingredient and grams of each line that the formula has."""
    return [
        (line["part"], line["ingredient"], round(line["mass"]["best"]))
        for line in lines_of(text)
        if line["in_formula"]
    ]


FRENCH = "500 g de farine T55\n300 g de lait\n10 g de sel\n20 g de levure fraîche\n"


@pytest.mark.parametrize(
    ("line", "first", "second", "grams"),
    [
        ("500 g de farine moitié blanche moitié complète", "plain_flour", "whole_wheat_flour", (250, 250)),
        ("500 g de farine dont la moitié complète", "plain_flour", "whole_wheat_flour", (250, 250)),
        ("500 g de harina (mitad fuerza, mitad floja)", "bread_flour", "plain_flour", (250, 250)),
        ("500 g di farina metà manitoba e metà 00", "high_gluten_flour", "plain_flour", (250, 250)),
        ("500g flour (half bread, half whole wheat)", "bread_flour", "whole_wheat_flour", (250, 250)),
        ("Farina (350 g manitoba + 150 g 00)", "high_gluten_flour", "plain_flour", (350, 150)),
        (
            "500 g de harina (400 g de fuerza + 100 g integral)",
            "bread_flour",
            "whole_wheat_flour",
            (400, 100),
        ),
    ],
)
def test_an_amount_of_two_kinds_is_read_as_both(line, first, second, grams):
    found = counted(f"{line}\n10 g sal")
    assert found[:2] == [("dough", first, grams[0]), ("dough", second, grams[1])]


@pytest.mark.parametrize(
    ("line", "first", "second", "grams"),
    [
        ("500 g Mehl (80 % Weizen 550, 20 % Roggen 1150)", "bread_flour", "rye_flour", (400, 100)),
        ("500 g Mehl (1/2 Dinkel 630, 1/2 Weizen 550)", "spelt_flour", "bread_flour", (250, 250)),
        ("500 g Mehl (2/3 Weizenmehl 550, Rest Roggenmehl)", "bread_flour", "rye_flour", (333, 167)),
        ("500 g Mehl, davon 80 % Weizen 550 und 20 % Dinkel 630", "bread_flour", "spelt_flour", (400, 100)),
        ("500 g Mehl (je zur Hälfte Dinkel 630 und Weizen 550)", "spelt_flour", "bread_flour", (250, 250)),
        ("Farine : 500 g (2/3 T55 et 1/3 d'épeautre)", "plain_flour", "spelt_flour", (333, 167)),
        ("Farine (80 % T65, 20 % seigle) : 500 g", "plain_flour", "rye_flour", (400, 100)),
        ("500 g de farine (70 % T55, le reste complète)", "plain_flour", "whole_wheat_flour", (350, 150)),
        ("500 g harina (2/3 de fuerza y el resto integral)", "bread_flour", "whole_wheat_flour", (333, 167)),
        ("Farina 500 g (60% manitoba, 40% 00)", "high_gluten_flour", "plain_flour", (300, 200)),
        ("500 g di farina (metà 00 e il resto manitoba)", "plain_flour", "high_gluten_flour", (250, 250)),
        ("500 g flour (80% bread flour, 20% whole wheat)", "bread_flour", "whole_wheat_flour", (400, 100)),
        ("粉 500g（強力粉 80％、薄力粉 20％）", "bread_flour", "cake_flour", (400, 100)),
    ],
)
def test_an_amount_shared_out_in_parts_of_a_whole_is_read_as_its_kinds(line, first, second, grams):
    found = counted(f"{line}\n10 g {'塩' if '粉' in line else 'sal'}")
    assert found[:2] == [("dough", first, grams[0]), ("dough", second, grams[1])]


@pytest.mark.parametrize(
    "line",
    [
        "100 g dark chocolate (70 % cocoa, 30 % sugar)",
        "3 cups flour, 1/2 tsp salt and 1/2 tsp sugar",
        "500 g bread flour (12 % protein, 14 % moisture)",
    ],
)
def test_what_a_thing_is_made_of_is_no_share_of_it(line):
    amounts = {"100 g": 100, "3 cup": 375, "500 g": 500}
    first = lines_of(f"{line}\n500 g bread flour\n300 g water")[0]
    assert abs(first["mass"]["best"] - amounts[line[:5]]) < 10


def test_a_liquid_shared_out_is_read_as_what_it_is_of():
    found = counted("500 g Mehl\n300 ml Flüssigkeit (2/3 Milch, 1/3 Wasser)")
    assert found[1:] == [("dough", "whole_milk", 206), ("dough", "water", 100)]


@pytest.mark.parametrize(
    "line",
    ["20 g de levure fraîche (la moitié d'un cube)", "230 g warm water (I use half milk and half water)"],
)
def test_a_half_of_something_else_shares_nothing_out(line):
    assert len(lines_of(f"{FRENCH}{line}")) == 5


def test_butter_that_is_half_for_the_tin_is_half_in_the_dough():
    found = counted(f"{FRENCH}100 g de beurre (moitié pour la pâte, moitié pour le moule)")
    assert ("dough", "butter", 50) in found and len(found) == 5


@pytest.mark.parametrize(
    "line",
    [
        "Farine T45 330 g + 20 g pour le roux",
        "Farine (T45) 330 g + 20 g pour le tangzhong",
        "Harina (de fuerza) 330 g + 20 g para el tangzhong",
        "Farina (00) 330 g + 20 g per il tang zhong",
        "Bread flour (strong) 330 g + 20 g for the tangzhong",
    ],
)
def test_a_second_amount_for_the_scald_leaves_the_first_in_the_dough(line):
    parts = {part: grams for part, _, grams in counted(f"{line}\n200 g milk\n5 g yeast")[:2]}
    assert parts == {"scald": 20, "dough": 330}


@pytest.mark.parametrize(
    "line",
    ["lait (compléter à 200 g avec l'oeuf)", "leche 200 g (con el huevo)", "latte (pesato con l'uovo) 200 g"],
)
def test_milk_that_is_weighed_with_the_egg_is_never_sure(line):
    (milk,) = [
        each for each in lines_of(f"500 g farine\n1 oeuf\n{line}") if each["ingredient"] == "whole_milk"
    ]
    assert milk["sure"] == "unsure"


@pytest.mark.parametrize(
    "line",
    [
        "7 g de levure sèche correspondent à 20 g de levure fraîche",
        "15 g de levadura fresca equivalen a 5 g de levadura seca",
        "25 g di lievito fresco corrispondono a 7 g di lievito secco",
        "10 g de levure fraîche = 4 g de levure sèche",
    ],
)
def test_a_line_that_says_which_yeasts_do_the_same_is_not_counted(line):
    assert counted(FRENCH + line) == counted(FRENCH)


@pytest.mark.parametrize(
    "line",
    [
        "Pour 1 pain de 700 g",
        "2 brioches de 600 g",
        "Pour un moule de 28 cm",
        "Para 1 pan de 1,5 kg",
        "Per 12 panini da 60 g",
        "Für 1 Brot à 750 g",
    ],
)
def test_what_a_recipe_makes_is_not_asked_about(line):
    assert len(lines_of(f"{line}\n{FRENCH}")) == 4


def test_an_unknown_ingredient_that_comes_first_is_still_asked_about():
    first = lines_of(f"Yaourt végétal: 155 ml (1/2 tasse + 2c. à table)\n{FRENCH}")[0]
    assert first["sure"] == "not_read" and "végétal" in first["text"]


@pytest.mark.parametrize(
    "line",
    [
        "Recouvrir le saladier d'un torchon propre",
        "Tapamos el bol con un paño limpio",
        "Coprite la ciotola con un canovaccio pulito",
    ],
)
def test_a_sentence_that_opens_with_a_verb_is_a_step(line):
    assert line in [each["text"] for each in lines_of(FRENCH + line, "step")]


def test_pearl_sugar_is_dough_where_the_method_mixes_it_in():
    text = f"{FRENCH}100 g de sucre perlé\n\nPréparation:\n"
    mixed = lines_of(f"{text}Pétrir, puis incorporer le sucre perlé à la pâte.")[-1]
    on_top = lines_of(f"{text}Pétrir. Parsemer de sucre perlé.")[-1]
    assert (mixed["part"], on_top["part"]) == ("dough", "aside")
    assert "sure" not in (mixed["section_sure"], on_top["section_sure"])


def test_a_list_that_is_given_again_by_its_parts_is_counted_once():
    scald = "Tangzhong\n25 g de farine\n125 g de lait\n"
    parts = f"{scald}Pâte\n475 g de farine\n175 g de lait\n10 g de sel\n20 g de levure\n"
    whole = "Ingrédients\n500 g de farine\n300 g de lait\n10 g de sel\n20 g de levure\n"
    assert counted(whole + parts) == counted(parts)


def test_two_doughs_of_the_same_amounts_are_both_counted():
    dough = "250 g de farine\n150 g de lait\n5 g de sel\n10 g de levure fraîche\n"
    assert len(counted(f"Pâte blanche\n{dough}Pâte au cacao\n{dough}")) == 8


def test_a_wash_above_the_heading_of_the_dough_is_no_dough():
    found = counted(f"1 oeuf pour badigeonner\n2 c.s. de lait\n\nPâte\n{FRENCH}")
    assert found == counted(f"Pâte\n{FRENCH}")


def test_the_starter_in_a_sponge_counts_for_the_share_that_is_used():
    fed = "Rinfresco\n50 g di lievito madre\n50 g di farina\n25 g di acqua\n"
    assert counted(f"{fed}Impasto\n400 g di farina\n100 g di lievito madre\n")[:4] == [
        ("dough", "lievito madre (farina)", 27),
        ("dough", "lievito madre (acqua)", 13),
        ("dough", "plain_flour", 40),
        ("dough", "water", 20),
    ]  # 100 g of 125 g


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("500 g Mehl (davon 50 g Vollkorn)", "whole_wheat_flour"),
        ("500 g de harina (de los cuales 50 g integral)", "whole_wheat_flour"),
        ("500 g di farina (di cui 50 g integrale)", "whole_wheat_flour"),
        ("500 g de farine (dont 50 g complète)", "whole_wheat_flour"),
        ("500 g flour, including 50 g wholemeal", "whole_wheat_flour"),
    ],
)
def test_a_part_of_another_kind_is_of_the_amount(line, kind):
    assert counted(f"{line}\n10 g sal")[:2] == [("dough", "plain_flour", 450), ("dough", kind, 50)]


@pytest.mark.parametrize(
    "line",
    [
        "300 ml de lait et d'eau à parts égales",
        "moitié lait, moitié eau : 300 ml",
        "300 ml de leche y agua a partes iguales",
        "300 ml di latte e acqua in parti uguali",
        "metà latte e metà acqua: 300 ml",
        "300 ml Milch und Wasser zu gleichen Teilen",
        "300 ml milk and water in equal parts",
    ],
)
def test_a_mixture_of_equal_parts_is_both(line):
    found = counted(f"500 g bread flour\n{line}")
    assert found[1:] == [("dough", "whole_milk", 155), ("dough", "water", 150)]


def test_two_flours_of_equal_parts_have_the_name_that_the_first_has():
    found = counted("500 g di farina 00 e manitoba in parti uguali\n10 g sale")
    assert found[:2] == [("dough", "plain_flour", 250), ("dough", "high_gluten_flour", 250)]
