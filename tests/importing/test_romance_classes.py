"""What recipes in French, Spanish and Italian do that a plain list does not: each class in a line of ours."""

import pytest

from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

LISTS = {
    "fr": "Ingrédients :\n250 g de farine T55\n120 g d'eau\n5 g de sel\n",
    "es": "Ingredientes:\n250 g de harina 0000\n120 g de agua\n5 g de sal\n",
    "it": "Ingredienti:\n250 g di farina 00\n120 g di acqua\n5 g di sale\n",
}


def last(language, line):
    """The line as it is read below a short list: part, ingredient, grams and how sure it is."""
    read = perform(RECIPE_IMPORT, {"text": LISTS[language] + line})["lines"][-1]
    return read["part"], read["ingredient"], read["mass"] and round(read["mass"]["best"]), read["sure"]


@pytest.mark.parametrize(
    ("language", "line", "ingredient", "grams"),
    [
        ("fr", "- sucre roux 40 g", "sucrose", 40),  # a name with the word for a scald in it
        ("es", "20 g de crema para batir", "cream", 20),  # names with words for a topping in them
        ("es", "- queso de untar 40 g", "cream_cheese", 40),
        ("es", "4 g de polvo para hornear", "baking_powder", 4),
        ("fr", "4 g de babeurre en poudre", "buttermilk_powder", 4),
        ("es", "leche descremada en polvo: 6 g", "skim_milk_powder", 6),
        ("it", "glucosio in polvere: 35 g", "glucose", 35),
        ("it", "100 g di farina tipo 0 W 300", "bread_flour", 100),
        ("it", "100 g di farina 0 W 380", "high_gluten_flour", 100),
        ("it", "75 g farina 0 (W 300)", "bread_flour", 75),
        ("it", "farina (tipo 0) 500 g", "plain_flour", 500),
        ("fr", "40 g de lait UHT demi-écrémé", "semi_skimmed_milk", 40),
        ("es", "100 g de harina (0000)", "plain_flour", 100),
        ("fr", "100 g de lait 1/2 écrémé", "semi_skimmed_milk", 100),
        ("fr", "20 g de beurre ½ sel mou", "salted_butter", 20),
        ("es", "nata 18%: 35 g", "single_cream", 35),
        ("fr", "60 g de crème 10 %", "half_and_half", 60),
        ("it", "kg 1 di farina 00", "plain_flour", 1000),
        ("it", "due etti di burro", "butter", 200),
        ("it", "50 g farina farro", "spelt_flour", 50),  # names without their “of”
        ("es", "100 g harina centeno", "rye_flour", 100),
        ("fr", "100 g farine seigle", "rye_flour", 100),
        ("fr", "80 g de beurre sans lactose", "butter", 80),
        ("fr", "1 sachet-dose de levure de boulanger", "instant_yeast", 7),
        ("es", "1 k de harina 0000", "plain_flour", 1000),
        ("es", "2 C/S de azúcar", "sucrose", 26),
        ("fr", "10 g de glucose", "glucose_syrup", 10),
        ("fr", "3 œufs dont un pour la dorure", "whole_egg", 100),
        ("it", "3 uova di cui una per spennellare", "whole_egg", 100),
        ("es", "2 huevos, uno de ellos para pintar", "whole_egg", 50),
        ("it", "250 gr dilatte intero", "whole_milk", 250),  # words glued together
        ("es", "100 gr deharina de fuerza", "bread_flour", 100),
        ("it", "5 gr di atte magro in polvere", "skim_milk_powder", 5),
        ("es", "harina 244 g (toda ella de fuerza)", "bread_flour", 244),
        ("es", "harina 244 g (toda de gran fuerza)", "high_gluten_flour", 244),
        ("it", "1 cucchiaino di lievito di birra", "instant_yeast", 3),  # in spoons it is dry
        ("fr", "1/2 cuillère à café de levure de boulanger", "instant_yeast", 2),
        ("es", "1 cta de sal", "salt", 6),
        ("es", "2 cucharadas de las de sopa de aceite", "oil", 28),
        ("it", "1 c.no di sale", "salt", 6),
        ("fr", "1 petite cuillère de sel", "salt", 6),
        ("fr", "2 dl 1/2 d'eau", "water", 250),
        ("fr", "entre 450 et 500 g de farine T55", "plain_flour", 475),
        ("it", "tra i 450 e i 500 g di farina 00", "plain_flour", 475),
    ],
)
def test_a_line_names_what_a_baker_reads_in_it(language, line, ingredient, grams):
    *read, sure = last(language, line)
    assert read == ["dough", ingredient, grams] and sure in ("sure", "likely")


@pytest.mark.parametrize(
    ("language", "line", "grams"),
    [("it", "un cucchiaino e 1/2 di zucchero", 6), ("it", "due uova bio", 100), ("es", "una yema", 17)],
)
def test_numbers_in_words_and_halves_behind_a_spoon_count(language, line, grams):
    assert last(language, line)[2] == grams


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("fr", "1 jaune d'œuf dilué dans un peu de lait pour dorer la brioche"),
        ("es", "1 yema y un poco de leche para pintar"),
        ("it", "1 tuorlo e un po' di latte per spennellare"),
    ],
)
def test_an_egg_mixed_with_a_little_milk_to_brush_on_is_no_dough(language, line):
    assert last(language, line)[0] == "aside"


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("fr", "50 g de yaourt en poudre"),
        ("es", "50 g de miel en polvo"),
        ("it", "50 g di olio al tartufo"),
        ("fr", "25 g de beurre à la cannelle"),
        ("it", "300 g di farina con lievito chimico"),
        ("it", "20 g di burro di cacao"),
        ("es", "30 g de vino tinto"),
        ("fr", "30 g de levure maltée"),
    ],
)
def test_what_the_catalogue_lacks_is_not_read_as_something_like_it(language, line):
    assert last(language, line)[3] in ("unsure", "not_read")


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("es", "Un huevo y azúcar para decorar"),
        ("it", "1 uovo e granella di zucchero per la superficie"),
        ("it", "1 tuorlo, latte e granella di zucchero per decorare"),
        ("fr", "1 œuf et du sucre perlé pour le décor"),
        ("es", "250 g de mantequilla para hojaldrar"),
        ("es", "Para hojaldrar 250 g de mantequilla"),
        ("it", "burro per la sfogliatura 250 g"),
        ("fr", "250 g de beurre de tourage"),
        ("it", "semola per lo spolvero"),
    ],
)
def test_what_goes_on_top_or_between_the_layers_is_no_dough(language, line):
    assert last(language, line)[0] == "aside"


def test_three_eggs_before_sugar_to_decorate_are_of_the_dough():
    assert last("es", "3 huevos y azúcar para decorar")[:3] == ("dough", "whole_egg", 150)


@pytest.mark.parametrize(
    ("language", "line"),
    [("fr", "une noix de beurre"), ("es", "una nuez de mantequilla"), ("it", "una noce di burro")],
)
def test_a_nut_of_butter_is_butter_and_no_nut(language, line):
    assert last(language, line)[1:] == ("butter", None, "not_read")


@pytest.mark.parametrize(
    ("language", "line", "grams"),
    [
        ("fr", "15 cl d'eau et 5 de lait entier", 52),
        ("it", "150 ml di acqua e 50 di latte intero", 52),
        ("es", "100 g de manteca de cerdo y 50 de leche entera", 50),
    ],
)
def test_a_second_number_has_the_unit_of_the_first(language, line, grams):
    assert last(language, line) == ("dough", "whole_milk", grams, "likely")


@pytest.mark.parametrize("said", ["(80 + 20)", "(80 g + 20 g)"])
def test_an_amount_that_is_shared_out_to_nothing_named_is_asked_about(said):
    assert last("es", f"100 g de azúcar {said}") == ("dough", "sucrose", 100, "unsure")


@pytest.mark.parametrize(
    ("language", "steps", "sugar", "eggs"),
    [
        (
            "es",
            "Preparación:\nMezclar la harina, el agua, la sal, 2 huevos y 80 gr. de azúcar.\n"
            "Pintar con el huevo restante y espolvorear con el resto del azúcar.",
            (80, "likely"),
            100,
        ),
        (
            "it",
            "Procedimento:\nImpastate la farina con l'acqua, il sale, 2 uova e 60 g di zucchero.\n"
            "Spennellate con 1 uovo sbattuto e cospargete con 40 g di zucchero.",
            (60, "likely"),
            100,
        ),
        (
            "fr",
            "Préparation :\nMélanger la farine, l'eau, le sel, le sucre et les œufs.\n"
            "Dorer avec un peu de lait et parsemer de 5 g de sucre.",
            (100, "sure"),
            150,
        ),
    ],
)
def test_an_amount_that_the_method_shares_out_counts_with_what_is_mixed_in(language, steps, sugar, eggs):
    names = {"es": ("azúcar", "huevos"), "it": ("zucchero", "uova"), "fr": ("sucre", "œufs")}[language]
    text = f"{LISTS[language]}100 g {names[0]}\n3 {names[1]}\n\n{steps}"
    reads = {line["ingredient"]: line for line in perform(RECIPE_IMPORT, {"text": text})["lines"]}
    assert (round(reads["sucrose"]["mass"]["best"]), reads["sucrose"]["sure"]) == sugar
    assert round(reads["whole_egg"]["mass"]["best"]) == eggs


def test_an_egg_that_the_method_never_names_is_asked_about():
    text = (
        "Ingredientes:\n300 g de harina de fuerza\n110 g de leche entera\n50 g de mantequilla\n"
        "50 g de azúcar\n20 g de levadura fresca\n3 g de sal\n1 huevo pequeño\n\nPreparación:\n"
        "Mezclamos la harina, la leche, la levadura y el azúcar.\n"
        "Añadimos la sal y la mantequilla y amasamos."
    )
    reads = {line["ingredient"]: line for line in perform(RECIPE_IMPORT, {"text": text})["lines"]}
    assert reads["whole_egg"]["section_sure"] == "likely"


@pytest.mark.parametrize(
    ("text", "flour", "named"),
    [
        (
            "Prefermento:\n100 g de harina de fuerza\n100 g de agua\n1 g de levadura fresca\n"
            "Masa final:\n200 g de prefermento\n400 g de harina de fuerza\n150 g de leche\n"
            "8 g de levadura fresca\n",
            500,
            "prefermento",
        ),
        (
            "Pâte fermentée :\n150 g de farine T65\n90 g d'eau\n3 g de levure fraîche\n3 g de sel\nPâte :\n"
            "123 g de pâte fermentée\n500 g de farine T45\n6 œufs\n15 g de levure fraîche\n",
            575,  # half of the 246 g is used
            "fermentée",
        ),
        (
            "Lievito madre:\n50 g di lievito madre\n50 g di farina 0\n25 g di acqua\nImpasto:\n"
            "125 g di lievito madre\n400 g di farina manitoba\n200 g di latte\n80 g di burro\n",
            450 + 50 / 1.5,  # with the flour of the starter
            "125 g",
        ),
    ],
)
def test_a_sponge_with_a_list_of_its_own_is_counted_once_and_as_much_as_is_used(text, flour, named):
    reply = perform(RECIPE_IMPORT, {"text": text})
    found = sum(
        line["mass"]
        for line in reply["formula"]["lines"]
        if line["ingredient"].endswith("_flour") or line.get("composition", {}).get("is_flour")
    )
    assert found == pytest.approx(flour)
    again = [line["kind"] for line in reply["lines"] if named in line["text"] and line["kind"] != "heading"]
    assert again == ["mention"]


@pytest.mark.parametrize(
    ("language", "line", "other"),
    [
        ("es", "25 g de levadura fresca", "o 8 g de levadura seca"),
        ("es", "25 g de levadura fresca", "Equivalencia levadura seca: 8 g"),
        ("it", "50 g di burro", "in alternativa 40 g di olio"),
        ("it", "25 g di lievito di birra fresco", "oppure 8 g di lievito secco"),
        ("fr", "50 g de beurre", "sinon 40 g d'huile"),
        ("fr", "20 g de levure fraîche", "ou bien 1 sachet de levure sèche"),
    ],
)
def test_what_would_do_instead_of_the_line_before_is_not_counted_as_well(language, line, other):
    reads = perform(RECIPE_IMPORT, {"text": f"{LISTS[language]}{line}\n{other}"})["lines"][-2:]
    assert [each["in_formula"] for each in reads] == [True, False]


def test_an_o_before_every_line_is_a_bullet():
    text = (
        "Ingredientes\no 500 g de harina 0000\no 250 g de leche\no 10 g de sal\no 20 g de levadura fresca\n"
    )
    reads = perform(RECIPE_IMPORT, {"text": text})["lines"][1:]
    assert [each["in_formula"] for each in reads] == [True] * 4


@pytest.mark.parametrize(
    ("language", "line", "grams"),
    [
        ("it", "3 uova: 2 per l'impasto, 1 per spennellare", 100),
        ("fr", "3 œufs : 2 pour la pâte, 1 pour dorer", 100),
        ("it", "latte intero 200 g + 30 g per spennellare", 200),
        ("es", "leche entera 200 g + 30 g para pintar", 200),
    ],
)
def test_what_is_brushed_on_is_taken_from_the_amount(language, line, grams):
    part, _, read, sure = last(language, line)
    assert (part, read) == ("dough", grams) and sure in ("sure", "likely")


def test_numbered_headings_with_a_dash_open_their_parts():
    text = (
        "1 - Tangzhong\n20 g de farine T45\n100 g de lait\n2 - Pâte à brioche\n350 g de farine T45\n"
        "3 - Finition\n1 jaune d'œuf\n"
    )
    reads = [line for line in perform(RECIPE_IMPORT, {"text": text})["lines"] if line["ingredient"]]
    assert [line["part"] for line in reads] == ["scald", "scald", "dough", "aside"]


def test_what_follows_a_scald_on_one_line_is_dough():
    text = (
        "Ingrédients :\nPour le tangzhong : 20 g de farine + 100 g d'eau\n375 g de farine T45\n"
        "200 g de lait\n12 g de sel\n23 g de levure fraîche\n60 g de beurre\n"
    )
    reads = [line for line in perform(RECIPE_IMPORT, {"text": text})["lines"] if line["ingredient"]]
    assert [(line["part"], line["section_sure"]) for line in reads] == [("scald", "sure")] * 2 + [
        ("dough", "likely")
    ] * 5


def test_a_long_line_of_the_scald_is_read_up_to_its_step():
    text = (
        "Ingrédients :\nPour le tangzhong (à faire la veille et à rajouter au reste) : 200g d'eau et 40g de "
        "farine T45 à mélanger dans une petite casserole et faire chauffer jusqu'à 65°C puis conserver au "
        "frais une fois refroidi.\n"
        "375 g de farine T45\n200 g de lait\n12 g de sel\n23 g de levure fraîche\n"
    )
    reads = [line for line in perform(RECIPE_IMPORT, {"text": text})["lines"] if line["part"] == "scald"]
    assert [(line["ingredient"], line["mass"]["best"]) for line in reads] == [
        ("water", 200),
        ("plain_flour", 40),
    ]


def test_amounts_that_a_page_has_cut_from_their_names_are_read():
    text = (
        "Ingredientes\n- 170\ng de leche entera\n- 75 g\nde azúcar\n- 4\nhuevos\n- 550\ng de harina 0000\n"
        "- Una\npizca de sal\n"
    )
    reads = [line for line in perform(RECIPE_IMPORT, {"text": text})["lines"] if line["ingredient"]]
    assert [(line["ingredient"], round(line["mass"]["best"])) for line in reads] == [
        ("whole_milk", 170),
        ("sucrose", 75),
        ("whole_egg", 200),
        ("plain_flour", 550),
        ("salt", 0),
    ]


def test_an_amount_with_a_dash_below_its_name_goes_with_that_name():
    text = "Ingredienti\nfarina 00\n– 250 g\nlatte intero\n– 120 g\nburro\n– 30 g\nsale\n– 5 g\n"
    reads = [line for line in perform(RECIPE_IMPORT, {"text": text})["lines"] if line["in_formula"]]
    assert [(line["ingredient"], line["mass"]["best"]) for line in reads] == [
        ("plain_flour", 250),
        ("whole_milk", 120),
        ("butter", 30),
        ("salt", 5),
    ]


@pytest.mark.parametrize(
    ("language", "line", "ingredient", "grams"),
    [
        ("it", "mezzo bicchiere d'acqua", "water", 100),
        ("it", "latte intero 2/3 cucchiai", "whole_milk", 39),  # two or three
        ("fr", "1 verre de lait entier", "whole_milk", 206),
        ("es", "1 cc de sal", "salt", 6),  # a small spoon, where 250 cc are cm³
        ("es", "1 c/c de sal", "salt", 6),
    ],
)
def test_measures_of_no_fixed_size_are_asked_about(language, line, ingredient, grams):
    assert last(language, line) == ("dough", ingredient, grams, "unsure")


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("it", "1 uovo + latte intero fino a 180 g"),
        ("fr", "1 œuf complété de lait entier pour faire 180 g"),
        ("fr", "1 œuf + lait entier = 180 g"),
        ("es", "1 huevo y leche entera hasta completar 180 g"),
    ],
)
def test_egg_and_milk_weighed_together_are_not_counted_twice(language, line):
    assert last(language, line) == ("dough", "whole_milk", 130, "likely")


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("it", "2 cucchiai di licoli attivo"),
        ("es", "1 cucharada de masa madre"),
        ("fr", "250 ml de levain liquide"),
    ],
)
def test_sourdough_without_a_weight_is_not_read_and_the_reason_says_what_to_enter(language, line):
    read = perform(RECIPE_IMPORT, {"text": LISTS[language] + line})["lines"][-1]
    assert read["sure"] == "not_read" and [doubt["code"] for doubt in read["doubts"]] == ["sourdough"]


def test_as_much_plain_flour_beside_a_named_one_is_another():
    text = "Ingredienti:\n260 g di farina manitoba\n300 g di farina\n10 g di lievito di birra fresco\n"
    read = perform(RECIPE_IMPORT, {"text": text})["lines"]
    assert [line["ingredient"] for line in read[1:3]] == ["high_gluten_flour", "plain_flour"]


def test_plain_yeast_is_the_fresh_one_that_the_recipe_names_elsewhere():
    text = "Ingredienti:\n500 g di farina 00\n8 g di lievito di birra fresco\n3 g di lievito di birra\n"
    read = perform(RECIPE_IMPORT, {"text": text})["lines"][-1]
    assert (read["ingredient"], read["sure"]) == ("compressed_yeast", "likely")


def test_one_ingredient_with_two_amounts_on_a_line_is_asked_about():
    text = (
        "Ingredientes:\n500 g de harina 0000\n0,37 taza de mantequilla 1/3 taza de mantequilla = 80 gramos\n"
    )
    reads = perform(RECIPE_IMPORT, {"text": text})["lines"][2:]
    assert len(reads) == 1 or "unsure" in {read["section_sure"] for read in reads}


@pytest.mark.parametrize(
    ("language", "line", "names"),
    [
        (
            "it",
            "Scorza di arancia o limone grattugiata + un baccello di vaniglia",
            ["orange_zest", "vanilla_extract"],
        ),
        ("it", "scorza di arancia o limone + un cucchiaino di vaniglia", ["orange_zest", "vanilla_extract"]),
        ("es", "ralladura de limón o naranja, vainilla", ["lemon_zest", "vanilla_extract"]),
        (
            "es",
            "ralladura de naranja o limón + una cucharadita de vainilla",
            ["orange_zest", "vanilla_extract"],
        ),
        ("fr", "zeste de citron ou d'orange, vanille", ["lemon_zest", "vanilla_extract"]),
    ],
)
def test_an_or_inside_one_of_two_names_does_not_hide_the_other(language, line, names):
    reads = perform(RECIPE_IMPORT, {"text": f"{LISTS[language]}{line}"})["lines"]
    found = [each for each in reads if each["text"] == line]
    assert [each["ingredient"] for each in found] == names
    assert found[0]["mass"] is None


@pytest.mark.parametrize(
    ("language", "line", "ingredient", "grams"),
    [
        ("it", "200 g di farina forte di grano tenero tipo manitoba", "bread_flour", 200),  # of which wheat
        ("fr", "100 g de farine de gruau de blé tendre", "bread_flour", 100),
        ("es", "300 g de harina de fuerza de trigo", "bread_flour", 300),
        ("it", "100 g di latte di nocciole", "almond_milk", 100),
        ("fr", "1 cuillère à café d’extrait de citron", "flavouring", 5),
    ],
)
def test_more_words_of_a_name(language, line, ingredient, grams):
    assert last(language, line)[1:3] == (ingredient, grams)


def test_another_grain_is_no_wheat_flour_for_sure():
    assert last("it", "100 g farina forte di grano saraceno")[3] == "unsure"
    assert last("es", "50 g almidón de trigo")[3] == "not_read"


STEPS = {
    "fr": "Préparation\n- Ajout des Ingrédients Secs : ajoutez 30 g de sucre, 90 g de farine, 5 g de sel\n"
    "- Incorporation du beurre : ajoutez 50 g de beurre en dés.",
    "it": "Procedimento\n- Aggiunta degli Ingredienti Secchi: unite 30 g zucchero, 9 g di sale, 1 g miele\n"
    "- Aggiunta del burro: unite 50 g di burro a pezzetti.",
}


@pytest.mark.parametrize("language", STEPS)
def test_a_step_that_names_the_dry_ingredients_does_not_end_the_method(language):
    lines = perform(RECIPE_IMPORT, {"text": LISTS[language] + "\n" + STEPS[language]})["lines"]
    assert {each["kind"] for each in lines[4:]} <= {"step"}


@pytest.mark.parametrize(
    ("text", "dough"),
    [
        (
            "Tang zhong:\n200 g leche\n40 g harina\nMasa:\nTang zhong (más 30 g de leche)\n460 g harina",
            490,
        ),
        (
            "Tangzhong :\n200 g lait\n40 g farine\nPâte :\nle tangzhong (+ 30 g de lait)\n460 g farine",
            490,
        ),
        ("湯種\n牛乳 200g\n強力粉 40g\n本生地\n湯種(+牛乳30g) 全量\n強力粉 460g", 490),
    ],
)
def test_what_is_added_beside_the_scald_goes_into_the_dough(text, dough):
    lines = perform(RECIPE_IMPORT, {"text": text})["formula"]["lines"]
    assert sum(each["mass"] for each in lines if each["part"] == "dough") == pytest.approx(dough)
    assert sum(each["mass"] for each in lines if each["part"] == "scald") == pytest.approx(240)


def test_a_little_flour_beside_five_times_its_liquid_is_the_scald_that_a_flat_list_names():
    text = (
        "100 g leche\n20 g harina 00\n330 g harina de Manitoba\n4 g levadura seca\n20 g azúcar\n"
        "Roux de leche\n120 g leche\n5 g sal"
    )
    lines = perform(RECIPE_IMPORT, {"text": text})["lines"]
    scald = [each for each in lines if each["part"] == "scald" and each["in_formula"]]
    assert [each["ingredient"] for each in scald] == ["whole_milk", "plain_flour"]
    assert {each["section_sure"] for each in scald} == {"unsure"}


@pytest.mark.parametrize(
    "line",
    [
        "Questo roux si prepara scaldando 100 ml di latte con 20 g di farina 00",
        "Das Kochstück wird aus 100 ml Milch mit 20 g Mehl gekocht",
        "The roux is cooked from 100 ml milk with 20 g flour",
    ],
)
def test_a_line_on_the_roux_has_its_flour_and_its_liquid(line):
    lines = perform(RECIPE_IMPORT, {"text": f"{line}\n380 g farina 00\n150 g latte\n3 g lievito secco"})[
        "lines"
    ]
    assert [each["part"] for each in lines if each["line"] == 1] == ["scald", "scald"]
