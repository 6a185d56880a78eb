"""The page's languages, without a browser: missing texts by name, and the texts shown in their place."""

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

import tools
from running import ROOT
from scaldloaf.operations.facts import _labels, _names
from scaldloaf.reference import INGREDIENTS, LANGUAGES

SCRIPT = Path(__file__).with_name("texts.mjs")
# The service sends these in English; a language may translate them.
OPTIONAL = ("allergens.", "pans.", "cautions.", "notes.", "doubts.", "foreign.")
PLACE = re.compile(r"\{\w+\}")


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
        labels=_labels(language)["ingredients"],
        everyName=_names()["ingredients"],
        spellings=[f" {spelling.upper()} " for spelling in spellings],
    )
    assert dict(zip(spellings, found, strict=True)) == spellings
