"""How well the import reads the recipes of the corpus that are not kept apart, so that it can't get worse.

``score.py`` prints the table, by language and line by line.
"""

import pytest

from importing import score as scoring

LANGUAGES = ("de", "en", "es", "fr", "it", "ja", "zh-Hans", "zh-Hant")


@pytest.fixture(scope="module")
def replies():
    return {
        recipe["id"]: scoring.with_whole_starters(recipe, scoring.answer(recipe))
        for recipe in scoring.recipes()
    }


@pytest.fixture(scope="module")
def scores(replies):
    return scoring.score(scoring.recipes(), reply_to=lambda recipe: replies[recipe["id"]])


def test_the_corpus_has_every_language(scores):
    assert set(scores) == {"all", *LANGUAGES}
    assert scores["all"].recipes > 490 and scores["all"].results.total() > 4900


@pytest.mark.parametrize(
    "result, least, most",
    [("right", 96.6, 100), ("silent", 0, 0.3), ("unread", 0, 1.8), ("doubted", 0, 1.8)],
)
def test_lines_are_read_as_well_as_before(scores, result, least, most):
    assert least <= scores["all"].percent(result) <= most


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_is_read(scores, language):
    assert scores[language].percent("right") > 93 and scores[language].percent("silent") < 1


def test_scalds_are_seen_and_formulas_usable(scores):
    seen, scalds = scores["all"].scalds
    usable, formulas = scores["all"].formulas
    assert seen / scalds > 0.95 and usable / formulas > 0.95


def test_a_formula_that_is_wrong_is_hardly_called_usable(replies):
    """Of formulas that are not what a baker reads, few have the verdict that they can be used."""
    wrong = [
        reply["usable"]["verdict"]
        for recipe in scoring.recipes()
        if scoring.formula_usable(recipe, reply := replies[recipe["id"]]) is False
    ]
    assert wrong.count("usable") <= 2 < len(wrong)


def test_few_lines_that_are_read_right_have_an_unusual_amount(replies):
    """Those of more recipes would be usual, and a baker would be asked for nothing."""
    right = [
        read
        for recipe in scoring.recipes()
        for by_hand, read in scoring.pairs(recipe, replies[recipe["id"]])
        if read and scoring.result(by_hand, read) == "right"
    ]
    unusual = [read for read in right if "unusual_amount" in [doubt["code"] for doubt in read["doubts"]]]
    assert 0 < len(unusual) < 0.01 * len(right)


@pytest.mark.parametrize(("grams", "found"), [(100, "right"), (110, "doubted")])
def test_a_starter_is_right_where_its_flour_and_water_are_as_heavy(grams, found):
    flour = {"text": "500 g bread flour", "section": "dough", "ingredient": "bread_flour", "grams": 500}
    starter = {"text": "100 g levain", "section": "dough", "ingredient": "sourdough", "grams": grams}
    recipe = {"language": "en", "text": "500 g bread flour\n100 g levain", "lines": [flour, starter]}
    recipe["expect"] = {"scald": False, "total_flour_g": 500, "scald_flour_g": 0, "dough_g": 600}
    score = scoring.Score()
    results = score.add(recipe, scoring.answer(recipe))
    assert [each for each, by_hand, _ in results if by_hand and by_hand["text"] == starter["text"]] == [found]
    assert score.formulas == [found == "right", 1]  # 50 g of flour more is none of the recipe's by hand
