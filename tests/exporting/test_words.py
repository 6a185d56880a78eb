"""The words of written recipes: every language has them, and recipe-import knows what it meets again."""

import copy

import pytest

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.exporting.amounts import US, print_mass
from scaldloaf.exporting.vocabulary import ENGLISH, LANGUAGES, WORDS, WordsError, words_of
from scaldloaf.importing.words.sections import title_of
from scaldloaf.importing.words.vocabulary import INFO, METHOD, TABLE_HEADS, heading_words
from scaldloaf.operations.schemas.recipe_export import RecipeExportRequest
from scaldloaf.reference import CAUTIONS, INGREDIENTS
from scaldloaf.reference.loader import read_table

TABLES = {language: read_table(language, "scaldloaf.exporting.words") for language in LANGUAGES}


@pytest.mark.parametrize("language", LANGUAGES)
def test_headings_are_known_to_the_import(language):
    names = WORDS[language].names
    for name, part in (("scald", SCALD), ("dough", DOUGH), ("method", METHOD)):
        title = title_of(heading_words(names[name]).split())
        assert title == (part, True), names[name]
    for name in ("yield", "prep", "cook", "total"):
        assert heading_words(names[name]) in INFO, names[name]
    for name in ("rise", "bake"):
        assert title_of(heading_words(names[name]).split()).part in (None, METHOD), names[name]


@pytest.mark.parametrize("language", LANGUAGES)
def test_heads_of_columns_are_known_to_the_import(language):
    for kind in TABLE_HEADS.keys() - {"instead"}:  # what would do instead is never written
        assert heading_words(WORDS[language].table[kind]) in TABLE_HEADS[kind]


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_ingredient_has_a_label(language):
    for row in INGREDIENTS.values():
        assert WORDS[language].label(row).casefold() == row.names[language][0].casefold()


def test_labels_begin_small_in_english_but_for_names():
    labels = [WORDS[ENGLISH].label(INGREDIENTS[name]) for name in ("bread_flour", "parmesan")]
    assert labels == ["bread flour, white", "Parmesan, grated"]
    assert print_mass(5, US, WORDS[ENGLISH], INGREDIENTS["water"]).text == "1 tsp"


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_numbers_of_a_caution_are_those_of_the_table(language):
    for code, text in WORDS[language].cautions.items():
        if code in CAUTIONS:
            row = CAUTIONS[code]
            places = {name for name in (*row.temperatures_c, *row.numbers) if f"{{{name}}}" in text}
            assert text.format(**dict.fromkeys(places, 1))


def test_the_request_offers_the_languages_there_are():
    assert RecipeExportRequest.declared()["language"].choices == tuple(WORDS)


def spoilt(path: str, value: str | None) -> dict:
    table = copy.deepcopy(TABLES["de"])
    group, _, name = path.partition(".")
    if value is None:
        del table[group][name]
    else:
        table[group][name] = value
    return table


@pytest.mark.parametrize(
    "path, value, said",
    [
        ("steps.mix", None, "steps.mix"),
        ("steps.stage", "{name}: {time}", "steps.stage"),
        ("steps.stage", "{name}: {time} {temperature} {more}", "steps.stage"),
        ("cautions.hot_scald", None, "cautions.hot_scald"),
        ("allergens.wheat", None, "allergens.wheat"),
        ("names.more", "mehr", "names.more"),
    ],
)
def test_a_file_that_lacks_a_text_or_a_place_is_refused(path, value, said):
    with pytest.raises(WordsError, match=f"^de: {said}$"):
        words_of("de", spoilt(path, value), TABLES[ENGLISH])


def test_a_word_for_every_allergen_and_only_for_cautions_that_exist():
    english = copy.deepcopy(TABLES[ENGLISH])
    del english["allergens"]["milk"]
    with pytest.raises(WordsError, match="no word for milk"):
        words_of(ENGLISH, english, english)
    english = copy.deepcopy(TABLES[ENGLISH])
    english["cautions"]["hot_ice"] = "Hot."
    with pytest.raises(WordsError, match="no such cautions: hot_ice"):
        words_of(ENGLISH, english, english)


@pytest.mark.parametrize("language", LANGUAGES)
def test_usual_stages_have_the_name_of_the_trade_in_each_language(language):
    words = WORDS[language]
    assert words.stage("Proof ") == words.stages["proof"] != "proof"
    assert words.stage("in the \n cellar") == "in the cellar"
