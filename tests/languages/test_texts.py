"""The page's languages, without a browser: missing texts by name, and the texts shown in their place."""

import ast
import re

import pytest

from note_texts import TABLES
from running import ROOT
from scaldloaf.operations.facts import labels, names
from scaldloaf.reference import CAUTIONS, INGREDIENTS, LANGUAGES

# Names that the service sends in English, and what only a language other than English has to say.
OPTIONAL = ("allergens.", "pans.", "foreign.")
# Texts by a code of the service, held to its values; cautions and their short lines go by the place.
BY_CODE = ("notes.", "usable.")
OF_THE_PLACE = ("cautions.", "care.")
PLACE = re.compile(r"\{\w+\}")
MOST_WORDS = 20
NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
# Numbers that a note has in every unit, and those that English writes as words.
NUMBERS_OF_ITS_OWN = {"notes.reckoned_on_100": {"100"}}
AS_WORDS = {"0", "1", "2", "4", "10"}
# Of a call that the page does not make.
NOT_CALLED = ("order_demand",)


OTHER_CODES = {
    f"notes.{code}" for module, texts in TABLES.items() if module.endswith(NOT_CALLED) for code in texts
}


def templates() -> dict[str, list[str]]:
    """The service's own texts for each text that the page needs by a code of it; a code may have several."""
    found: dict[str, list[str]] = {}
    for module, texts in TABLES.items():
        if not module.endswith(NOT_CALLED):
            group = "usable" if module.endswith("usable") else "notes"
            for code, text in texts.items():
                found.setdefault(f"{group}.{code}", []).append(text)
    return found


def of_the_page() -> list[str]:
    (declared,) = [
        found
        for file in (ROOT / "web").rglob("messages.js")
        if (found := re.search(r"export const LANGUAGES = \{(.*?)\}", file.read_text("utf-8")))
    ]
    return re.findall(r'"?([\w-]+)"?: "', declared[1])


def differences(english: list[list[str]], other: list[list[str]]) -> list[str]:
    """Texts that a language lacks, has in excess, or fills in differently from English."""
    found = []
    for texts in (english, other):
        names = [name for name, _ in texts]
        found += [f"{name} is there twice" for name in dict.fromkeys(names) if names.count(name) > 1]
    needed, there = (
        {name: text for name, text in texts if not name.startswith((*OPTIONAL, *BY_CODE, "cautions."))}
        for texts in (english, other)
    )
    found += [f"{name} is missing" for name in needed if name not in there]
    found += [f"{name} is no text of the page" for name in there if name not in needed]
    for name in (each for each in needed if each in there):
        own, english_ones = (set(PLACE.findall(texts[name])) for texts in (there, needed))
        if own - english_ones if name.startswith(OF_THE_PLACE) else own != english_ones:
            found.append(f"{name} has other places: {sorted(own ^ english_ones)}")
    return found


def test_the_folders_are_the_languages(ask, web):
    assert list(ask("languages")) == of_the_page()
    folders = {folder.name for folder in (web / "messages").iterdir() if folder.is_dir()} - {"fr"}
    assert folders == set(of_the_page())


@pytest.mark.parametrize("language", of_the_page())
def test_nothing_is_missing(ask, language):
    texts = differences(ask("folder", language="en"), ask("folder", language=language))
    names = [
        f"ingredient {name} has no name" for name, row in INGREDIENTS.items() if language not in row.names
    ]
    assert texts + names == []


@pytest.mark.parametrize("language", of_the_page())
def test_what_the_service_says_has_words_of_the_page(ask, language):
    """Each note, caution and reason that the page may be sent, with places for values of its code only."""
    own = dict(ask("folder", language=language))
    known = templates()
    assert sorted(known.keys() - own.keys()) == [], "codes without words"
    codes = {name for name in own if name.startswith(BY_CODE)}
    assert sorted(codes - known.keys() - OTHER_CODES) == [], "words of no code"
    for name, texts in known.items():
        places = set.intersection(
            *({f"{{{place}}}" for place in re.findall(r"\{(\w+)", text)} for text in texts)
        )
        assert set(PLACE.findall(own[name])) <= places, (name, own[name])
        numbers = set(NUMBER.findall(PLACE.sub("", own[name])))
        of_the_service = set(NUMBER.findall(re.sub(r"\{.*?\}", "", " ".join(texts))))
        assert numbers <= of_the_service | AS_WORDS | NUMBERS_OF_ITS_OWN.get(name, set()), (name, own[name])
    cautions = {f"cautions.{code}{end}" for code in CAUTIONS for end in ("", "_who")}
    assert cautions - own.keys() == set()


@pytest.mark.parametrize("language", [language for language in of_the_page() if language != "en"])
def test_other_languages_name_the_tins(ask, language):
    german, own = (
        {name for name, _ in ask("folder", language=each) if name.startswith(OPTIONAL)}
        for each in ("de", language)
    )
    assert german - own == set()


def long_sentences(texts: list[list[str]]) -> list[str]:
    return [
        f"{name}: {sentence}"
        for name, text in texts
        for sentence in re.split(r"(?<=[.!?])\s+", text)
        if len(re.findall(r"\S*\w\S*", sentence)) > MOST_WORDS
    ]


@pytest.mark.parametrize("language", ["en", "de"])
def test_no_sentence_is_longer_than_twenty_words(ask, language):
    """In the languages with spaces between words. The workings are the service's, with its sources."""
    assert long_sentences(ask("folder", language=language)) == []


def test_a_long_sentence_is_found():
    twenty = " ".join(["word"] * 20)
    assert long_sentences([["a.one", f"{twenty}. {twenty}!"], ["a.two", f"One. Word – {twenty}."]]) == [
        f"a.two: Word – {twenty}."
    ]


def test_a_region_says_no_other_note_than_its_language(ask, web):
    region = (web / "messages" / "zh-HK.js").read_text("utf-8")
    own = dict(ask("folder", language="zh-Hant"))
    shipped = (ROOT / "web" / "messages" / "zh-HK.js").read_text("utf-8")
    assert region != shipped  # the folder has a stand-in of it
    notes = re.findall(
        r'^    (\w+): "(.*)",$', shipped[shipped.index("  notes: {") :].split("\n  },")[0], re.M
    )
    assert notes
    for code, text in notes:
        assert set(PLACE.findall(text)) == set(PLACE.findall(own[f"notes.{code}"])), code


def test_what_is_missing_is_named():
    english = [["a.one", "One {x}"], ["a.two", "Two"], ["notes.c", "C"], ["b.d", "{x} and {y}"]]
    other = [
        ["a.one", "Un {y}"],
        ["a.three", "Trois"],
        ["b.d", "{y} et {x}"],
        ["b.d", "{y}, {x}"],
        ["cautions.e", "E"],
    ]
    assert differences(english, other) == [
        "b.d is there twice",
        "a.two is missing",
        "a.three is no text of the page",
        f"a.one has other places: {['{x}', '{y}']}",
    ]


def test_a_text_that_a_language_lacks_is_english(ask, web):
    english = dict(ask("folder", language="en"))
    names = ["working.title", "working.sources", "part.scald", "working.nothing", "nothing.at.all"]
    assert ask("said", language="fr", names=names, more=True) == [
        ["Le calcul", True],
        ["Sources consultées", True],
        [english["part.scald"], True],
        ["working.nothing", False],
        ["nothing.at.all", False],
    ]
    assert ask("said", language="en", names=names[:1]) == [[english["working.title"], True]]
    assert ask("said", language="de", names=names[:1])[0] != [english["working.title"], True]


def test_the_language_is_the_nearest_to_what_the_browser_wants(ask):
    assert ask("picked", tags=["de", "de-AT", "DE-latn-CH", "en-GB", "fr", "x", "d"]) == [
        "de",
        "de",
        "de",
        "en",
        "en",
        "en",
        "en",
    ]


def test_chinese_goes_by_its_script_which_a_region_may_say(ask):
    tags = {
        "zh-TW": "zh-Hant",
        "zh-HK": "zh-Hant",
        "zh-MO": "zh-Hant",
        "zh-Hant-HK": "zh-Hant",
        "zh-CN": "zh-Hans",
    }
    tags |= {"zh-SG": "zh-Hans", "zh-MY": "zh-Hans", "zh": "zh-Hans", "zh-Hans-HK": "zh-Hans", "ja-JP": "ja"}
    known = ["en", "de", "ja", "zh-Hant", "zh-Hans"]
    assert dict(zip(tags, ask("picked", tags=list(tags), languages=known), strict=True)) == tags
    assert ask("picked", tags=["zh-TW", "zh"], languages=["en", "ja"]) == ["en", "en"]
    assert ask("locale", language="zh-Hant", wanted=["en", "zh-CN", "zh-HK"], languages=known) == "zh-HK"
    assert ask("locale", language="de", wanted=["fr", "de-AT"]) == "de-AT"
    assert ask("locale", language="en", wanted=["fr"]) == "en"


@pytest.mark.parametrize(("locale", "tin"), [("zh-HK", "方包模"), ("zh-Hant-MO", "方包模"), ("zh-TW", "Tin")])
def test_a_region_has_words_of_its_own(ask, locale, tin):
    found = ask("said", language="fr", locale=locale, names=["tonight.tin", "working.sources"], more=True)
    assert found == [[tin, True], ["Sources consultées", True]]


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_name_is_read_on_the_page_whatever_its_language(ask, language):
    """Labels and other spellings of every language, entered in an ingredient field."""
    spellings = {
        spelling: name
        for name, row in INGREDIENTS.items()
        for names in row.names.values()
        for spelling in names
    }
    found = ask(
        "named",
        labels=labels(language)["ingredients"],
        everyName=names()["ingredients"],
        spellings=[f" {spelling.upper()} " for spelling in spellings],
    )
    assert dict(zip(spellings, found, strict=True)) == spellings


# Refusals of calls that the page does not make (orders, weighing together), or of fields that it never sends.
NOT_OF_THE_PAGE = {
    "batch_too_small",
    "cooling_given_twice",
    "counts_not_tasters",
    "difference_needed",
    "ends_in_disorder",
    "expected_missing",
    "expected_without_hypothesis",
    "id_twice",
    "line_in_two_fields",
    "mixer_below_a_piece",
    "name_unusable",
    "named_twice",
    "needed_for_this_test",
    "no_prices",
    "no_such_heading",
    "no_such_line",
    "no_such_recipe",
    "no_time",
    "none_in_formula",
    "not_a_",
    "not_a_permutation",
    "not_a_plan_link",
    "not_for_this_test",
    "not_in_formula",
    "not_so_many_entries",
    "not_two_samples",
    "one_input",
    "other_units",
    "plan_has_its_own",
    "pack_of_nothing",
    "packed_twice",
    "packs_of_nothing",
    "price_of_nothing",
    "priced_twice",
    "prices_of_nothing",
    "ranked_twice",
    "readings_out_of_order",
    "readings_too_close",
    "specific_heat_needed",
    "tasters_decide_power",
    "too_few_to_rank",
    "too_many_batches",
    "too_many_packs",
    "too_near_surroundings",
    "two_compositions",
    "unknown_field",
    "unknown_formula",
    "unknown_sample",
    "water_is_not_known",
    "water_mass_twice",
}
# Where the calls that name a code have it.
CODES_AT = {
    "Refusal": slice(1, 2),
    "refusal": slice(0, 1),
    "Reason": slice(0, 1),
    "require_between": slice(4, 5),
    "_require_within": slice(4, 5),
    "Given": slice(2, 5),
}


def refusal_codes() -> set[str]:
    """The codes in the service's code: those of each Refusal, and of the checks that raise one."""
    codes = set()
    for file in (ROOT / "api" / "scaldloaf").rglob("*.py"):
        for call in ast.walk(ast.parse(file.read_text("utf-8"))):
            if not isinstance(call, ast.Call):
                continue
            name = getattr(call.func, "id", getattr(call.func, "attr", None))
            for argument in call.args[CODES_AT.get(name, slice(0))]:
                codes |= {
                    each.value
                    for each in ast.walk(argument)
                    if isinstance(each, ast.Constant) and isinstance(each.value, str)
                }
    return codes


@pytest.mark.parametrize("language", of_the_page())
def test_every_refusal_has_words_of_the_page(ask, language):
    codes = refusal_codes()
    assert {"scald_liquid_short", "fill_out_of_range", "too_large", "not_ice", "dough_too_hot"} <= codes
    said = {name.removeprefix("refusals.") for name, _ in ask("folder", language=language)}
    assert codes - NOT_OF_THE_PAGE - said == set()
    assert codes >= NOT_OF_THE_PAGE
