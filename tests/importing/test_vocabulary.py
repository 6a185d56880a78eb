"""The table of words: units agree with pint, each name has one meaning, languages are recognised."""

import re

import pint
import pytest

import scaldloaf.importing.recipe_lines  # noqa: F401 - with it all that is made of the tables is loaded
from scaldloaf.importing.words import tables
from scaldloaf.importing.words.lexicon import AMBIGUOUS, ENGLISH, NAMES, UNITS, Overlaid, lexicon
from scaldloaf.importing.words.said_units import GRAMS, WEIGHED
from scaldloaf.importing.words.spelt import words_of
from scaldloaf.importing.words.vocabulary import (
    CATALOGUE,
    LANGUAGES,
    MASS,
    MEASURED_AS,
    OWN_NAMES,
    OWN_UNITS,
    STICK,
    UNIT_CODES,
    VOLUME,
    Sizes,
    is_spaceless,
    name_words,
    plain_word,
)
from scaldloaf.reference import INGREDIENTS, read_table

REGISTRY = pint.UnitRegistry()
SIZED = {"is", *Sizes._fields}


@pytest.mark.parametrize(
    "name, unit",
    [
        ("g", "gram"),
        ("kg", "kilogram"),
        ("mg", "milligram"),
        ("dag", "decagram"),
        ("hg", "hectogram"),
        ("oz", "ounce"),
        ("lb", "pound"),
        ("pfund", "0.5 kilogram"),
    ],
)
def test_masses_are_those_of_pint(name, unit):
    assert UNITS[name].kind == MASS
    assert UNITS[name].grams == pytest.approx(REGISTRY(unit).to("gram").magnitude, rel=1e-12)


@pytest.mark.parametrize(
    "name, us, metric",
    [
        ("ml", "millilitre", "millilitre"),
        ("cl", "centilitre", "centilitre"),
        ("dl", "decilitre", "decilitre"),
        ("l", "litre", "litre"),
        ("cc", "cm**3", "cm**3"),
        ("cup", "cup", "0.25 litre"),
        ("tbsp", "tablespoon", "15 millilitre"),
        ("tsp", "teaspoon", "5 millilitre"),
        ("el", "15 ml", "15 ml"),
        ("大さじ", "15 ml", "15 ml"),
        ("小さじ", "5 ml", "5 ml"),
        ("カップ", "200 ml", "200 ml"),
        ("合", "180 ml", "180 ml"),
        ("fl oz", "fluid_ounce", "imperial_fluid_ounce"),
        ("pint", "pint", "imperial_pint"),
        ("quart", "quart", "imperial_quart"),
        ("gallon", "gallon", "imperial_gallon"),
    ],
)
def test_volumes_are_those_of_pint(name, us, metric):
    unit = UNITS[name]
    assert unit.kind == VOLUME
    assert unit.cm3.us == pytest.approx(REGISTRY(us).to("cm**3").magnitude, rel=1e-9)
    assert unit.cm3.metric == pytest.approx(REGISTRY(metric).to("cm**3").magnitude, rel=1e-9)


@pytest.mark.parametrize("kitchen, differs", [("australian", {"tablespoon": 20}), ("japanese", {"cup": 200})])
def test_other_kitchens_measure_in_metric_but_for(kitchen, differs):
    for name in ("cup", "tablespoon", "teaspoon", "fl oz", "pint", "quart", "gallon"):
        sizes = UNITS[name].cm3
        assert getattr(sizes, kitchen) == differs.get(name, sizes.metric), name


def test_sizes_are_named_and_never_written_as_numbers():
    for key, row in read_table("meanings", "scaldloaf.importing.words")["unit"].items():
        assert all(isinstance(value, str | bool | list) for value in row.values()), key
        assert SIZED.isdisjoint(row) != (row["kind"] in (MASS, VOLUME, STICK)), key
        assert row.keys() - SIZED <= {"label", "names", "kind", "plural", "before", "alone", "coefficient"}


def test_every_alias_of_the_catalogue_is_a_name_of_its_ingredient_or_said_to_be_ambiguous():
    for ingredient in INGREDIENTS.values():
        for alias in ingredient.aliases:
            words = name_words(alias)
            assert NAMES[words] is ingredient
            if words in AMBIGUOUS:
                assert ingredient.name in AMBIGUOUS[words].alternatives
    assert all(plain_word(word) == word for words in NAMES for word in words)


def test_ambiguous_names_are_read_as_one_of_their_alternatives():
    for words, ambiguity in AMBIGUOUS.items():
        assert ambiguity.reads_as in ambiguity.alternatives and len(ambiguity.alternatives) > 1, words
        assert ambiguity.option in ("", "flour", "yeast", "milk")


def test_unit_codes_are_units_or_counts():
    assert all(name == "" or name in UNITS for name in UNIT_CODES.values())


@pytest.mark.parametrize(
    "word, form",
    [
        ("Eggs", "egg"),
        ("yolks", "yolk"),
        ("potatoes", "potato"),
        ("glass", "glass"),
        ("cow's", "cow"),
        ("gas", "gas"),
        ("Baker’s", "baker"),
    ],
)
def test_words_are_compared_in_one_form(word, form):
    assert plain_word(word) == form


def test_hyphens_part_words():
    assert words_of(["semi-skimmed", "milk"]) == ["semi", "skimmed", "milk"]


def test_kana_and_ideographs_have_no_spaces():
    assert is_spaceless("強力粉") and is_spaceless("バター") and not is_spaceless("Weißmehl")


def test_every_ingredient_with_a_density_is_measured_in_a_known_way():
    assert set(MEASURED_AS.values()) <= {"loose", "liquid", "powder", "grain", "syrup"}


@pytest.mark.parametrize(
    "traditional, simplified, name",
    [
        ("動物性鮮奶油", "动物性鲜奶油", "cream"),
        ("特高筋麵粉", "特高筋面粉", "high_gluten_flour"),
        ("蔗糖", "蔗糖", "sucrose"),
    ],
)
def test_a_word_of_one_chinese_script_is_read_in_the_other(traditional, simplified, name):
    assert (
        lexicon("zh-Hant").names[(traditional,)].name == lexicon("zh-Hans").names[(simplified,)].name == name
    )


def test_a_scripts_own_meaning_is_not_replaced_by_the_others():
    assert lexicon("zh-Hant").names[("奶油",)].name == "butter"
    assert lexicon("zh-Hans").ambiguous[("奶油",)].reads_as == "cream"


def test_the_tables_are_freed_and_a_word_of_several_names_is_kept_once():
    assert not tables.TABLES and not tables._KEPT
    kept = {}
    for name in NAMES:
        for word in name:
            assert kept.setdefault(word, word) is word or name in CATALOGUE


@pytest.mark.parametrize("language", ["de", "fr", "it", "zh-Hant", "zh-Hans"])
def test_a_language_shares_the_large_tables_and_its_own_meanings_come_first(language):
    words = lexicon(language)
    for table, shared in ((words.names, NAMES), (words.read_as, ENGLISH.read_as)):
        assert isinstance(table, Overlaid) and list(table) == list(shared) and len(table) == len(shared)
        changed = {name for name in shared if table[name] is not shared[name]}
        assert 0 < len(changed) < 50 and ("no", "name") not in table and table.get(("no", "name")) is None
    for name, row in OWN_NAMES[language].items():
        if name in NAMES and name not in words.ambiguous and name not in CATALOGUE:
            assert words.names[name] is words.read_as[name] is row


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_looks_for_amounts_in_a_line_knows_each_spelling_of_a_unit(language):
    """One place a word: a spelling that is added to a file is found wherever a line's amounts are sought."""
    for name, unit in OWN_UNITS[language].items():
        if " " not in name and name != "瓦":  # a gram in Japanese, a watt in Chinese
            assert bool(re.fullmatch(rf"250 ?{GRAMS}", f"250 {name}")) == (unit.label == "g"), name
            weighed = unit.label in ("g", "kg", "ml", "cc", "cl", "dl", "l")
            assert bool(re.fullmatch(rf"250 ?{WEIGHED}", f"250{name}")) >= weighed, name
    assert not re.match(rf"250 ?{WEIGHED}", "250 große Eier") and not re.match(rf"600{WEIGHED}", "600瓦")
