"""Sourdough starters as their flour and their water, in recipes of our own in each language."""

import pytest

from scaldloaf.operations.faults import InputFault
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT
from scaldloaf.operations.registry import BY_NAME
from scaldloaf.operations.wire.formulas import write_composition
from scaldloaf.reference import INGREDIENTS

LISTS = {
    "en": "500 g bread flour\n280 g whole milk\n10 g salt\n",
    "de": "500 g Weizenmehl 550\n280 g Vollmilch\n10 g Salz\n",
    "fr": "500 g de farine T65\n280 g de lait entier\n10 g de sel\n",
    "es": "500 g de harina de fuerza\n280 g de leche entera\n10 g de sal\n",
    "it": "500 g di farina 00\n280 g di latte intero\n10 g di sale\n",
    "ja": "強力粉 500g\n牛乳 280g\n塩 10g\n",
    "zh-Hant": "高筋麵粉 500g\n鮮奶 280g\n鹽 10g\n",
    "zh-Hans": "高筋面粉 500克\n牛奶 280克\n盐 10克\n",
}

STARTERS = {
    "en": "120 g sourdough starter",
    "de": "120 g Anstellgut",
    "fr": "120 g de levain",
    "es": "120 g de masa madre",
    "it": "120 g di licoli",
    "ja": "ルヴァン種 120g",
    "zh-Hant": "天然酵種 120g",
    "zh-Hans": "天然酵种 120克",
}


def reply_to(text, **more):
    return perform(RECIPE_IMPORT, {"text": text, **more})


def starter(language, line, **more):
    """Ingredient, grams and codes of doubt of what a line behind a list is read as."""
    return [
        (each["ingredient"], round(each["mass"]["best"], 1), [doubt["code"] for doubt in each["doubts"]])
        for each in reply_to(LISTS[language] + line, **more)["lines"]
        if each["line"] == 4 and each["in_formula"]
    ]


def composition(language, line, **more):
    """That of the flour of a starter, as it is in the formula."""
    lines = reply_to(LISTS[language] + line, **more)["formula"]["lines"]
    return next(each["composition"] for each in lines if each.get("composition", {}).get("is_flour"))


def composition_of(flour):
    """That of a flour, of which no scald is made."""
    return {**write_composition(INGREDIENTS[flour]), "stays_in_dough": True}


def grams(language, line, **more):
    """The flour and the water of a starter."""
    return [mass for _, mass, _ in starter(language, line, **more)]


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("en", "120 g sourdough starter"),
        ("en", "1 tablespoon (120 g) active, bubbly sourdough starter"),
        ("en", "120 g liquid levain"),
        ("de", "120 g Anstellgut"),
        ("fr", "120 g de levain liquide"),
        ("es", "Masa madre 120 gr."),
        ("it", "120 g licoli attivo"),
        ("it", "120 g di lievito madre liquido"),
        ("ja", "ルヴァン種 120g"),
        ("ja", "レーズン酵母元種 120g"),
        ("zh-Hant", "魯邦種 120g"),
        ("zh-Hans", "天然酵种 120克"),
    ],
)
def test_a_starter_is_half_flour_and_half_water_by_default(language, line):
    assert grams(language, line) == [60, 60]


@pytest.mark.parametrize(
    ("language", "line"),
    [
        ("en", "120 g stiff sourdough starter"),
        ("de", "120 g Lievito Madre"),
        ("de", "120 g LM"),
        ("fr", "120 g de levain dur (rafraîchi)"),
        ("es", "120 g de masa madre sólida"),
        ("it", "120 g lievito madre"),
        ("it", "120 g di pasta madre solida"),
        ("zh-Hant", "魯邦硬種 120g"),
        ("zh-Hans", "鲁邦硬种 120克"),
    ],
)
def test_a_stiff_starter_has_half_as_much_water_as_flour(language, line):
    assert grams(language, line) == [80, 40]


@pytest.mark.parametrize(
    ("language", "line", "masses"),
    [
        ("en", "120g natural yeast, 100% hydration", [60, 60]),
        ("en", "120 g stiff sourdough starter (60% hydration)", [75, 45]),
        ("de", "120 g Sauerteig TA 200", [60, 60]),
        ("fr", "120 g de levain hydraté à 50 %", [80, 40]),
        ("es", "120 g de masa madre hidratada al 60 %", [75, 45]),
        ("it", "120 g di lievito madre (idratazione 60%)", [75, 45]),
        ("ja", "ルヴァン種(加水率60%) 120g", [75, 45]),
        ("zh-Hant", "魯邦液種(含水量140%) 120g", [50, 70]),
    ],
)
def test_what_the_line_says_of_its_water_counts_and_is_not_asked_for(language, line, masses):
    found = starter(language, line, starter_hydration_percent=125)
    assert [mass for _, mass, _ in found] == masses
    assert [codes for *_, codes in found] == [["starter_flour"], []]


@pytest.mark.parametrize(
    ("language", "line", "flour"),
    [
        ("en", "50 g ripe rye starter", "rye_flour"),
        ("de", "90 g Roggen-Anstellgut", "rye_flour"),
        ("de", "90 g Dinkelsauerteig", "spelt_flour"),
        ("fr", "90 g de levain de seigle", "rye_flour"),
        ("es", "90 g de masa madre de centeno", "rye_flour"),
        ("it", "90 g di licoli integrale", "whole_wheat_flour"),
        ("zh-Hans", "全麦酸种 60克", "whole_wheat_flour"),
    ],
)
def test_the_flour_of_a_starter_is_the_kind_that_is_named(language, line, flour):
    assert starter(language, line)[0][2] == ["starter_hydration"]
    assert composition(language, line) == composition_of(flour)


def test_the_flour_of_a_starter_is_the_recipes_or_the_callers():
    line = "100 g sourdough starter"
    asked = ["starter_hydration", "starter_flour"]
    assert starter("en", line)[0][1:] == (50, asked)
    assert composition("en", line) == composition_of("bread_flour")
    assert starter("en", line, flour="plain_flour")[0][1:] == (50, asked[:1])
    assert composition("en", line, flour="plain_flour") == composition_of("plain_flour")


@pytest.mark.parametrize("language", LISTS)
def test_a_list_to_weigh_names_the_starter_and_no_change_of_share_touches_it(language):
    """What reads as plain flour and water would be baked with them."""
    formula = reply_to(LISTS[language] + STARTERS[language])["formula"]
    names = [line["ingredient"] for line in formula["lines"] if "composition" in line]
    assert len(names) == 2 and all(name not in INGREDIENTS for name in names)
    request = {"formula": formula, "scalded_share_percent": 20, "scald_liquids": ["whole_milk"]}
    moved = perform(BY_NAME["hydration-correction"], {**request, "scald_liquid_ratio": 1})
    percents = [
        {line["ingredient"]: (line["percent"], line["part"]) for line in lines if line["ingredient"] in names}
        for lines in (formula["lines"], moved["formula"]["lines"])
    ]
    assert percents[0] == {
        name: (pytest.approx(percent), part) for name, (percent, part) in percents[1].items()
    }


@pytest.mark.parametrize("language", LISTS)
def test_what_is_written_of_a_starter_is_read_back(language):
    formula = reply_to(LISTS[language] + STARTERS[language], starter_hydration_percent=50)["formula"]
    request = {"formula": formula, "format": "text", "language": language if len(language) > 2 else "en"}
    text = perform(BY_NAME["recipe-export"], request)["text"]
    before, after = (
        [(line["ingredient"], round(line["mass"], 6)) for line in each["lines"]]
        for each in (formula, reply_to(text)["formula"])
    )
    assert before[-2:] == after[-2:] and len(before) == len(after)


def test_the_water_of_a_starter_is_not_offered_for_a_scald():
    formula = reply_to(LISTS["en"] + STARTERS["en"])["formula"]
    with pytest.raises(InputFault) as refused:
        perform(
            BY_NAME["hydration-correction"],
            {"formula": formula, "scalded_share_percent": 20, "scald_liquid_ratio": 5},
        )
    assert "starter" not in " ".join(fault.detail for fault in refused.value.faults)


def test_one_answer_is_for_all_starters_whose_line_does_not_say_it():
    text = LISTS["it"] + "100 g licoli\n90 g lievito madre\n100 g di licoli (idratazione 100%)"
    for answers, masses in (({}, [50, 60, 50]), ({"starter_hydration_percent": 150}, [40, 36, 50])):
        found = [each for each in reply_to(text, **answers)["lines"] if each["line"] > 3]
        assert [each["mass"]["best"] for each in found[::2]] == pytest.approx(masses)
        asked = [
            code["values"]["percent"]
            for each in found
            for code in each["doubts"]
            if "percent" in code["values"]
        ]
        assert asked == ([] if answers else [100, 100, 50, 50])


@pytest.mark.parametrize(("given", "nearest"), [(20, 30), (1000, 200)])
def test_an_answer_that_no_starter_has_is_refused(given, nearest):
    with pytest.raises(InputFault) as refused:
        starter("en", "100 g sourdough starter", starter_hydration_percent=given)
    (fault,) = refused.value.faults
    assert (fault.pointer, fault.nearest) == ("/starter_hydration_percent", nearest)


def test_a_starter_with_a_list_of_its_own_is_a_mention_and_what_feeds_it_is_read():
    text = f"Levain\n30 g sourdough starter\n60 g bread flour\n60 g water\nDough\n{LISTS['en']}100 g levain"
    lines = [each for each in reply_to(text)["lines"] if each["kind"] != "heading"]
    assert lines[-1]["kind"] == "mention"
    fed = [each["mass"]["best"] for each in lines if each["line"] in (2, 3, 4)]
    assert fed == pytest.approx([10, 10, 40, 40])  # 100 g of 150


def test_a_starter_is_no_formula_by_itself():
    lines = reply_to("100 g sourdough starter\n280 g milk\n10 g salt")["lines"]
    assert [each["sure"] for each in lines[:1]] == ["not_read"]


def test_a_dry_starter_is_no_flour_and_water():
    for language, line in (("it", "20 g lievito madre essiccato"), ("de", "10 g getrockneter Sauerteig")):
        assert starter(language, line) == []


@pytest.mark.parametrize(("more", "codes"), [("", ["no_yeast"]), ("\n3 g instant yeast", [])])
def test_the_verdict_says_that_proof_times_do_not_count_the_starter(more, codes):
    reasons = reply_to(f"{LISTS['en']}100 g sourdough starter{more}")["usable"]["reasons"]
    assert [each["code"] for each in reasons] == [*codes, "sourdough_starter"]


@pytest.mark.parametrize(
    "line",
    [
        "Levain: 20 g sourdough starter, 50 g whole wheat flour, 50 g water",
        "Levain: 20 g starter, 50 g whole wheat flour, 50 g water",
    ],
)
def test_a_starter_first_on_its_line_does_not_take_the_flour_behind_it(line):
    read = reply_to(f"{line}\nDough: 450 g bread flour, 250 g water, 10 g salt")["lines"]
    found = [(each["ingredient"], each["mass"]["best"], each["sure"]) for each in read if each["line"] == 1]
    assert found[-2:] == [("whole_wheat_flour", 50, "sure"), ("water", 50, "sure")]


def test_a_starter_with_what_it_is_made_of_is_one_thing():
    line = "75 g Lievito Madre bestehend aus 50 g Mehl und 25 g Wasser"
    assert grams("de", f"- ({line})") == [50, 25]


@pytest.mark.parametrize(
    ("language", "line", "yeast"),
    [
        ("it", "150 g lievito madre (oppure 15 g di lievito di birra fresco)", "compressed_yeast"),
        ("it", "150 g di pasta madre\noppure 15 g di lievito di birra fresco", "compressed_yeast"),
        ("it", "Lievito madre 150 g o lievito di birra fresco 15 g", "compressed_yeast"),
        ("fr", "150 g de levain dur (ou 15 g de levure fraîche)", "compressed_yeast"),
        ("es", "150 g de masa madre sólida o 15 g de levadura fresca", "compressed_yeast"),
        ("en", "150 g stiff sourdough starter (or 5 g instant yeast)", "instant_yeast"),
        ("de", "150 g Lievito Madre (oder 15 g Frischhefe)", "compressed_yeast"),
    ],
)
def test_a_starter_before_the_yeast_that_would_do_is_read_and_the_yeast_offered(language, line, yeast):
    lines = reply_to(LISTS[language] + line)["lines"][3:]
    dough, other = lines[:2], lines[2]
    assert [round(each["mass"]["best"]) for each in dough] == [100, 50]
    assert all(each["sure"] == "unsure" for each in dough)
    assert all("would_do" in [doubt["code"] for doubt in each["doubts"]] for each in dough)
    assert (other["ingredient"], other["part"], other["in_formula"]) == (yeast, "aside", False)


@pytest.mark.parametrize(
    "line",
    [
        "15 g di lievito madre in polvere (o 10 g di lievito di birra)",
        "20 g di lievito naturale (o 10 g di lievito)",
    ],
)
def test_a_dried_starter_before_yeast_stays_the_yeast(line):
    assert [name for name, _, _ in starter("it", line)] == ["compressed_yeast"]
