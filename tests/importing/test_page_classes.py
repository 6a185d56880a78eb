"""What pages in Spanish, French, Italian and Japanese have around a dough: each class in lines of ours."""

import pytest

from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

LISTS = {
    "fr": "Ingrédients :\n250 g de farine T55\n120 g d'eau\n5 g de levure sèche instantanée\n5 g de sel\n",
    "es": "Ingredientes:\n250 g de harina 0000\n120 g de agua\n5 g de levadura instantánea\n5 g de sal\n",
    "it": "Ingredienti:\n250 g di farina 00\n120 g di acqua\n5 g di lievito istantaneo\n5 g di sale\n",
    "ja": "材料\n強力粉 250g\n水 120g\nインスタントドライイースト 5g\n塩 5g\n",
    "en": "Ingredients:\n250 g plain flour\n120 g water\n5 g instant yeast\n5 g salt\n",
    "de": "Zutaten:\n250 g Weizenmehl Type 550\n120 g Wasser\n5 g Instanthefe\n5 g Salz\n",
}


def lines_of(text):
    """Part, ingredient, grams and how sure, for each line of the list that names an ingredient."""
    read = perform(RECIPE_IMPORT, {"text": text})["lines"]
    return [
        (line["part"] if line["in_formula"] else "-", line["ingredient"], grams(line), sureness(line))
        for line in read
        if line["kind"] == "ingredient"
    ]


def grams(line):
    return line["mass"] and round(line["mass"]["best"])


def sureness(line):
    return line["sure"]


def below(language, text):
    """The same for what stands below a short list."""
    return lines_of(LISTS[language] + text)[4:]


def parts(found):
    return [(part, ingredient, mass) for part, ingredient, mass, _ in found]


def kinds(text):
    return [(line["kind"], line["part"]) for line in perform(RECIPE_IMPORT, {"text": text})["lines"]]


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("it", "100 g di zucchero semolato per il ripieno"),
        ("it", "100 g di zucchero per la farcia"),
        ("it", "100 g di zucchero per la crema pasticcera"),
        ("it", "100 g di zucchero per lo sciroppo"),
        ("it", "100 g di zucchero per l'esterno"),
        ("fr", "100 g de sucre pour le fourrage"),
        ("fr", "100 g de sucre pour la crème pâtissière"),
        ("fr", "100 g de sucre pour le sirop"),
        ("es", "100 g de azúcar para la crema pastelera"),
        ("es", "100 g de azúcar para el almíbar"),
        ("es", "100 g de azúcar para la fritura"),
        ("de", "100 g Zucker für die Muffinform"),
        ("de", "100 g Zucker zur Dekoration"),
        ("en", "100 g sugar for the drizzle"),
    ],
)
def test_what_a_line_says_it_is_for_is_read_as_a_heading_would_say_it(language, line):
    (found,) = perform(RECIPE_IMPORT, {"text": LISTS[language] + line})["lines"][5:]
    assert (found["part"], found["in_formula"]) == ("aside", False)


@pytest.mark.parametrize(
    ("language", "heading"),
    [
        ("it", "Per lo sciroppo"),
        ("es", "Tapas decorativas"),
        ("es", "Detalles finales"),
        ("fr", "Pour la garniture au chocolat"),
    ],
)
def test_a_heading_of_what_is_no_dough(language, heading):
    flour = {"it": "farina 00", "es": "harina 0000", "fr": "farine T55"}[language]
    found = perform(RECIPE_IMPORT, {"text": f"{LISTS[language]}{heading}\n40 g {flour}"})["lines"][-1]
    assert (found["part"], found["in_formula"]) == ("aside", False)


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("it", "Poi unire\n50 g di burro"),
        ("it", "Infine aggiungere:\n50 g di burro"),
        ("es", "Por último\n50 g de mantequilla"),
        ("ja", "最後に加える\n無塩バター 50g"),
    ],
)
def test_a_heading_that_more_is_added_goes_on_with_the_dough_and_never_for_sure(language, text):
    ((part, ingredient, mass, sure),) = below(language, text)
    assert (part, ingredient, mass) == ("dough", "butter", 50)
    assert sure != "sure"


def test_a_heading_that_more_is_added_leaves_a_topping_a_topping():
    found = below("it", "Per la farcia:\n100 g di zucchero\nPoi unire\n50 g di burro")
    assert parts(found) == [("-", "sucrose", 100), ("-", "butter", 50)]


def test_items_that_end_with_a_semicolon_are_no_headings():
    text = (
        "Per il water roux:\n- 20 g farina manitoba;\n- 100 g acqua.\nPer l'impasto:\n"
        "- 230 g farina manitoba;\n- water roux;\n- 50 g burro;\n- 5 g lievito secco;\n- sale;"
    )
    found = lines_of(text)
    assert [mass for part, _, mass, _ in found if part == "scald"] == [20, 100]
    assert [mass for part, _, mass, _ in found if part == "dough"] == [230, 50, 5]


def test_several_amounts_in_parentheses_on_each_line():
    text = (
        "材料\n・強力粉(200g) ・薄力粉(50g) ・グラニュー糖(25g)\n"
        "・スキムミルク(10g) ・インスタントドライイースト(4g) ・水(120g)\n・卵(60g) ・無塩バター(40g)"
    )
    assert [mass for *_, mass, _ in lines_of(text)] == [200, 50, 25, 10, 4, 120, 60, 40]


def test_a_list_with_strokes_may_add_a_knob():
    text = "Ingredienti: 400 gr farina- 100 gr burro + 1 noce- 90 gr zucchero- 5 gr sale"
    found = parts(lines_of(text))
    assert [mass for _, name, mass in found if name == "sucrose"] == [90]
    assert [mass for _, name, mass in found if name == "salt"] == [5]


def test_one_line_of_a_cream_is_aside_as_a_whole():
    text = (
        "- Crème diplomate : 500 ml de lait entier, 120 g de sucre (divisé), 4 jaunes d'œufs, 45 g de maïzena"
        ", 20 g de beurre, 200 ml de crème liquide entière 30 % pour la chantilly"
    )
    assert {part for part, *_ in below("fr", text)} == {"-"}


@pytest.mark.parametrize(
    ("line", "mass"), [("25 + 10 ml d'huile", 32), ("100 + 20 g de sucre", 120), ("50 cm3 de lait", 52)]
)
def test_amounts_of_one_unit_are_added_and_cubic_centimetres_are_millilitres(line, mass):
    assert below("fr", line)[0][2] == mass


def test_the_same_amount_in_parentheses_is_no_second_one():
    ((part, _, mass, _),) = below("es", "4 tazas (equivalente a 565 gramos) de harina")
    assert (part, mass) == ("dough", 565)


def test_cream_that_is_only_whipped_is_a_filling():
    text = (
        "Ingredienti:\n250 g di farina 00\n120 g di acqua\n5 g di lievito istantaneo\n5 g di sale\n"
        "200 ml di panna fresca\nPreparazione\nImpastare farina, acqua, lievito e sale.\n"
        "Montare la panna e farcire i panini con la panna montata."
    )
    assert lines_of(text)[-1][0] == "-"
    kneaded = text.replace("Impastare farina,", "Impastare farina, la panna,")
    assert lines_of(kneaded)[-1][0] == "dough"


def test_a_second_yolk_is_the_wash():
    text = (
        "Ingrédients :\n250 g de farine T55\n120 g de lait\n5 g de levure sèche instantanée\n1 jaune d'œuf\n"
        "50 g de beurre\n1 jaune d'œuf\nPréparation\nMélangez la farine, le lait et le jaune d'œuf.\n"
        "Dorez au jaune d'œuf."
    )
    yolks = [part for part, name, *_ in lines_of(text) if name == "egg_yolk"]
    assert yolks == ["dough", "-"]


@pytest.mark.parametrize(
    ("language", "heading"),
    [
        ("it", "Il procedimento per fare i panini"),
        ("es", "Cómo preparar la masa"),
        ("en", "How to make the dough"),
    ],
)
def test_the_title_of_the_method_ends_the_list(language, heading):
    text = {
        "it": "Impastare 250 g di farina con l'acqua.",
        "es": "Mezclar la harina con el agua.",
        "en": "Mix the flour with the water.",
    }
    found = perform(RECIPE_IMPORT, {"text": f"{LISTS[language]}{heading}\n{text[language]}"})["lines"][5:]
    assert [line["kind"] for line in found] == ["step", "step"]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("en", "10 g butter or\n10 g oil"),
        ("en", "10 g butter\n- or -\n10 g oil"),
        ("de", "10 g Butter\noder\n10 g Öl"),
        ("fr", "10 g de beurre\nou\n10 g d'huile"),
        ("es", "10 g de mantequilla\no\n10 g de aceite"),
        ("it", "10 g di burro\noppure\n10 g di olio"),
        ("ja", "無塩バター 10g\nまたは\nサラダ油 10g"),
        ("ja", "無塩バター 10gまたは\nサラダ油 10g"),
    ],
)
def test_what_follows_an_or_at_the_end_of_a_line_is_instead_of_it(language, text):
    assert parts(below(language, text)) == [("dough", "butter", 10), ("-", "oil", 10)]


def test_an_or_on_a_line_of_its_own_opens_no_part():
    found = perform(RECIPE_IMPORT, {"text": LISTS["ja"] + "無塩バター 10g\nまたは\nサラダ油 10g\n砂糖 20g"})[
        "lines"
    ]
    assert all(line["kind"] == "ingredient" for line in found[1:])
    assert (found[-1]["part"], found[-1]["in_formula"]) == ("dough", True)


@pytest.mark.parametrize(
    ("head", "flour", "butter"),
    [
        ("Ingrédient\tQuantité\tSubstitution", "Farine T45", "Beurre"),
        ("Ingredient\tAmount\tSubstitute", "Plain flour", "Butter"),
        ("Zutat\tMenge\tErsatz", "Weizenmehl Type 550", "Butter"),
        ("材料\t分量\t代用", "強力粉", "無塩バター"),
    ],
)
def test_a_column_of_substitutes_is_no_part_of_the_amounts(head, flour, butter):
    oil = {"Beurre": "30 g huile", "無塩バター": "サラダ油 30g"}.get(butter, "30 g oil")
    text = f"{head}\n{flour}\t500 g\t\n{butter}\t40 g\t{oil}\n"
    assert [(name, mass) for _, name, mass, _ in lines_of(text)][1:] == [("butter", 40)]


@pytest.mark.parametrize("end", ["", "に調整", "にする", "になるようにする"])
def test_milk_made_up_to_an_amount_with_the_egg(end):
    found = below("ja", f"卵 1個\n牛乳 卵と合わせて280g{end}")
    assert parts(found) == [("dough", "whole_egg", 50), ("dough", "whole_milk", 230)]


@pytest.mark.parametrize(
    ("language", "line", "name"),
    [
        ("it", "100 g di latte intero caldo", "whole_milk"),  # “caldo” is broth in Spanish
        ("it", "50 g di arance e cedro canditi", "candied_peel"),
        ("ja", "荒塩 5g", "coarse_salt"),
    ],
)
def test_names_that_another_language_or_spelling_hid(language, line, name):
    assert below(language, line)[0][:2] == ("dough", name)


@pytest.mark.parametrize(
    ("language", "list_", "method", "left"),
    [
        (
            "it",
            "120 g di burro",
            "Impastare la farina con 70 g di burro.\nFarcite con i restanti 50 g di burro.",
            70,
        ),
        (
            "it",
            "120 g di burro",
            "Impastare con 70 g di burro.\nSpalmare il burro rimanente sulla sfoglia.",
            70,
        ),
        (
            "es",
            "120 g de mantequilla",
            "Amasar con 70 g de mantequilla.\nRellenar con la mantequilla restante.",
            70,
        ),
        ("en", "120 g butter", "Knead with 70 g butter.\nFilling: spread the remaining butter over it.", 70),
    ],
)
def test_what_is_left_goes_into_the_filling_whatever_letter_the_sentence_begins_with(
    language, list_, method, left
):
    head = {"it": "Preparazione", "es": "Preparación", "en": "Method"}[language]
    (found,) = below(language, f"{list_}\n{head}\n{method}")
    assert found[:3] == ("dough", "butter", left)
    assert found[3] != "sure"


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("ja", "▼具材\nレーズン 100g\nくるみ 50g"),
        ("en", "Inclusions:\n100 g raisins\n50 g walnuts"),
        ("fr", "Inclusions\n100 g de raisins secs\n50 g de noix"),
    ],
)
def test_dried_fruit_under_a_heading_of_what_may_be_kneaded_in_is_dough_and_never_sure(language, text):
    found = below(language, text)
    assert parts(found) == [("dough", "raisins", 100), ("dough", "walnuts", 50)]
    assert all(sure != "sure" for *_, sure in found)


def test_what_else_is_under_such_a_heading_stays_a_filling():
    found = below("ja", "▼具材\nチーズ 50g\nレーズン 20g")
    assert {part for part, *_ in found} == {"-"}


def test_amounts_of_two_loaves_below_their_names():
    text = "材料\n強力粉\n200g\n水\n60g×2\nインスタントドライイースト\n2g×2\n砂糖\n大さじ1×2"
    assert [mass for *_, mass, _ in lines_of(text)] == [200, 120, 4, 18]


def test_what_the_method_says_again_of_a_cream_is_no_dough():
    text = (
        "Ingrédients\nPour la crème pâtissière :\n460 g de lait entier\n95 g de jaunes d'œufs\n120 g de sucre"
        "\nPour la brioche :\nPréparation\nPortez 460 g de lait à ébullition dans une casserole.\n"
        "Faites blanchir 95 g de jaunes d'œufs avec 60 g de sucre.\n"
        "Pétrissez 385 g de farine T45, 8 g de sel, 50 g de sucre et 8 g de levure fraîche.\n"
        "Versez 230 g d'œufs, puis ajoutez 230 g de beurre."
    )
    dough = [(name, mass) for part, name, mass, _ in lines_of(text) if part == "dough"]
    assert sorted(mass for _, mass in dough) == [8, 8, 50, 230, 230, 385]
    assert "whole_milk" not in dict(dough)


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("fr", "1 sachet de levure sèche ou la moitié d'un cube de levure fraîche"),
        ("it", "1 bustina di lievito secco o la metà di un cubetto di lievito fresco"),
        ("es", "1 sobre de levadura seca o la mitad de un cubo de levadura fresca"),
        ("de", "1 Päckchen Trockenhefe oder die Hälfte von einem Würfel Frischhefe"),
    ],
)
def test_half_a_cube_of_the_other_yeast_is_instead_of_a_packet(language, line):
    assert [mass for *_, mass, _ in below(language, line)] == [7]


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("fr", "20 g de beurre\nPour parfumer, à votre goût :\n10 g de rhum"),
        ("it", "20 g di burro\nAromi\n10 g di rum"),
        ("es", "20 g de mantequilla\nPara aromatizar:\n10 g de ron"),
    ],
)
def test_a_heading_of_flavours_goes_on_with_the_dough(language, text):
    assert parts(below(language, text)) == [("dough", "butter", 20), ("dough", "rum", 10)]


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("fr", "80 g de pâte à pain (voir recette)"),
        ("it", "80 g di pasta di pane"),
        ("es", "80 g de masa de pan"),
    ],
)
def test_a_ready_dough_is_no_other_thing(language, line):
    ((part, ingredient, mass, sure),) = below(language, line)
    assert (part, ingredient, mass, sure) == ("-", None, None, "not_read")


def test_a_spoon_for_coffee_with_the_other_accent():
    assert below("it", "2 cucchiaini da caffé rasi di zucchero")[0][1:3] == ("sucrose", 9)
