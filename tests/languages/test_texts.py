"""The page's languages, without a browser: missing texts by name, and the texts shown in their place."""

import ast
import json
import re
import shutil
import subprocess
from pathlib import Path
from string import Formatter

import pytest

import tools
from note_texts import TABLES
from running import ROOT
from scaldloaf.operations.facts import labels, names
from scaldloaf.reference import CAUTIONS, INGREDIENTS, LANGUAGES

SCRIPT = Path(__file__).with_name("texts.mjs")
# The service sends these in English; a language may translate them.
OPTIONAL = ("allergens.", "pans.", "cautions.", "notes.", "doubts.", "foreign.")
PLACE = re.compile(r"\{\w+\}")
NUMBER = re.compile(r"\d+(?:[.,]\d+)?")


@pytest.fixture(scope="module")
def web(tmp_path_factory) -> Path:
    """The page's files where Node reads them as modules, plus a language with only two texts."""
    folder = tmp_path_factory.mktemp("page") / "web"
    shutil.copytree(ROOT / "web", folder)
    (folder / "package.json").write_text('{"type": "module"}')
    begun = folder / "messages" / "fr"
    begun.mkdir()
    (begun / "page.js").write_text('export default { working: { title: "Le calcul" } };')
    (begun / "more.js").write_text('export default { working: { sources: "Sources consultées" } };')
    (begun / "series.js").write_text("export default {};")
    (begun / "notes.js").write_text("export default {};")
    (folder / "messages" / "zh-HK.js").write_text('export default { tonight: { tin: "方包模" } };')
    return folder


@pytest.fixture(scope="module")
def ask(web):
    """ask("languages") -> the answer of the page's modules."""
    (messages,) = web.rglob("messages.js")

    def run(what, **given):
        done = subprocess.run(
            [tools.find("node"), SCRIPT, messages],
            cwd=web,
            text=True,
            timeout=120,
            input=json.dumps({"what": what, **given}),
            capture_output=True,
            env={"TEXTS": str(web / "messages")},
        )
        assert done.returncode == 0, done.stderr
        return json.loads(done.stdout)

    return run


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
        {name: text for name, text in texts if not name.startswith(OPTIONAL)} for texts in (english, other)
    )
    found += [f"{name} is missing" for name in needed if name not in there]
    found += [f"{name} is no text of the page" for name in there if name not in needed]
    found += [
        f"{name} has other places: {sorted(set(PLACE.findall(there[name])) ^ set(PLACE.findall(text)))}"
        for name, text in needed.items()
        if name in there and set(PLACE.findall(there[name])) != set(PLACE.findall(text))
    ]
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


@pytest.mark.parametrize("language", [language for language in of_the_page() if language != "en"])
def test_what_the_service_says_has_words_in_every_language(ask, language):
    """Cautions, and the notes, tins and doubts that another language has words for, with the same places."""
    german, own = (
        {
            name: set(PLACE.findall(text))
            for name, text in ask("folder", language=each)
            if name.startswith(OPTIONAL)
        }
        for each in ("de", language)
    )
    assert {name: places for name, places in german.items() if own.get(name) != places} == {}
    cautions = {f"cautions.{code}{end}" for code in CAUTIONS for end in ("", "_who")}
    assert cautions - own.keys() == set()


# Numbers that a note has in every unit, and those that English writes as words.
NUMBERS_OF_ITS_OWN = {"reckoned_on_100": {"100"}}
AS_WORDS = {"0", "1", "2", "4", "10"}


def templates() -> dict[str, list[str]]:
    """The English templates of each code that the service may write a note with."""
    found: dict[str, list[str]] = {}
    for table in TABLES.values():
        for code, text in table.items():
            found.setdefault(code, []).append(text)
    return found


def places_of(text: str) -> set[str]:
    """The names in a template's places, whether they have a format or none."""
    return {name for _, name, _, _ in Formatter().parse(text) if name}


@pytest.mark.parametrize("language", [language for language in of_the_page() if language != "en"])
def test_every_note_has_words_and_no_value_that_the_service_does_not_send(ask, language):
    """A code may have several templates: a note's places are in each of them."""
    said = {
        name.removeprefix("notes."): text
        for name, text in ask("folder", language=language)
        if name.startswith("notes.")
    }
    known = templates()
    assert sorted(known.keys() - said.keys()) == [], "codes without words"
    assert sorted(said.keys() - known.keys()) == [], "words of no code"
    for code, text in said.items():
        given = set.intersection(*map(places_of, known[code]))
        assert places_of(text) <= given, (code, text)
        numbers = set(NUMBER.findall(PLACE.sub("", text)))
        in_english = set(NUMBER.findall(re.sub(r"\{.*?\}", "", " ".join(known[code]))))
        assert numbers <= in_english | AS_WORDS | NUMBERS_OF_ITS_OWN.get(code, set()), (code, text)


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
    "too_near_surroundings",
    "two_compositions",
    "unknown_field",
    "unknown_formula",
    "unknown_sample",
    "water_is_not_known",
    "water_mass_twice",
}
BOUNDS = ("require_between", "_require_within")


def refusal_codes() -> set[str]:
    """The codes in the service's code: the second argument of each Refusal, and of the checks of bounds."""
    codes = set()
    for file in (ROOT / "api" / "scaldloaf").rglob("*.py"):
        for call in ast.walk(ast.parse(file.read_text("utf-8"))):
            if not isinstance(call, ast.Call):
                continue
            name = getattr(call.func, "id", getattr(call.func, "attr", None))
            at = {"Refusal": 1, "refusal": 0, "Reason": 0, **dict.fromkeys(BOUNDS, 4)}.get(name)
            for each in ast.walk(call.args[at]) if at is not None and len(call.args) > at else ():
                if isinstance(each, ast.Constant) and isinstance(each.value, str):
                    codes.add(each.value)
    return codes


@pytest.mark.parametrize("language", of_the_page())
def test_every_refusal_has_words_of_the_page(ask, language):
    codes = refusal_codes()
    assert {"scald_liquid_short", "fill_out_of_range", "too_large", "not_ice", "dough_too_hot"} <= codes
    said = {name.removeprefix("refusals.") for name, _ in ask("folder", language=language)}
    assert codes - NOT_OF_THE_PAGE - said == set()
    assert codes >= NOT_OF_THE_PAGE
