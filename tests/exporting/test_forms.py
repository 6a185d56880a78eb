"""What a recipe says in each form: its sections, times and cautions; names of others do nothing in it."""

import csv
import io
import json
import re
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from scaldloaf.dough.formula import Formula, Line
from scaldloaf.dough.sugar_stages import Stage
from scaldloaf.dough.timetable import Task
from scaldloaf.exporting import forms
from scaldloaf.exporting.amounts import METRIC
from scaldloaf.exporting.recipe import Known, Mixing, Scalding, recipe_of
from scaldloaf.exporting.vocabulary import LANGUAGES, WORDS
from scaldloaf.operations.tables import csv_of
from scaldloaf.reference import INGREDIENTS, Ingredient

FLOUR, WATER, MILK = (INGREDIENTS[name] for name in ("bread_flour", "water", "whole_milk"))
LINES = (Line(FLOUR, 100, "scald"), Line(WATER, 150, "scald"), Line(FLOUR, 400), Line(MILK, 200))
ALL = ("hot_scald", "scald_cooling", "raw_flour", "allergens", "perishable_dough", "core_temperature")
KNOWN = Known(
    pans=2,
    dough_each_g=425,
    stages=(Stage("bulk", 60, 27), Stage("", 65, 32)),
    before=(Task("mix", 30),),
    after=(Task("bake", 35), Task("cool", 90)),
    timed=True,
    oven_c=200,
)
EVIL = "</script><img src=x onerror=alert(1)> & <!-- [a](b) **c** _d_ `e` | ~ \\ \u2028 # x"


NOTHING = Known()


def made(known=NOTHING, lines=LINES, name="Lantern Quay", language="en", cautions=()):
    return recipe_of(Formula(lines, 0.0, name), known, METRIC, WORDS[language], cautions)


def steps_of(recipe, name: str) -> tuple[str, ...]:
    (found,) = [section.steps for section in recipe.sections if section.name == name]
    return found


# What is said


def test_nothing_is_said_that_is_not_known():
    recipe = made()
    assert [section.name for section in recipe.sections] == ["Scald", "Dough", "Bake"]
    assert steps_of(recipe, "Bake") == ("Bake until the loaf is done.",)
    document = forms.json_ld(recipe)
    assert not {"prepTime", "cookTime", "totalTime", "nutrition", "author"} & document.keys()
    assert document["recipeYield"] == "850 g of dough"
    assert not re.search(r"°|min\b|\d h\b", forms.plain_text(recipe))


def test_without_a_scald_there_is_none():
    recipe = made(lines=LINES[2:], cautions=("raw_flour",))
    assert [section.name for section in recipe.sections] == ["Dough", "Bake"]
    assert steps_of(recipe, "Dough") == ("Mix all the ingredients to a dough.",)


@pytest.mark.parametrize(
    "how, steps",
    [
        (
            Scalding(poured_c=99),
            ("Pour the liquid on the flour at 99 °C", "Cover the scald and let it cool."),
        ),
        (Scalding(cooked_c=65), ("until the middle is at 65 °C.", "Cover the scald and let it cool.")),
        (Scalding(cooked_c=65, cooked_minutes=2), ("Keep it there for 2 min.", "Cover the scald")),
        (Scalding(cooled_c=20), ("boiling hot", "let it cool to 20 °C.")),
        (Scalding(kept_hours=12, kept_c=4), ("boiling hot", "keep it for 12 h at 4 °C.")),
        (Scalding(kept_hours=12, kept_c=4, cooled_c=20), ("", "12 h at 4 °C.", "into the dough at 20 °C.")),
    ],
)
def test_the_scald_is_made_as_it_is_known(how, steps):
    said = steps_of(made(Known(scalding=how)), "Scald")
    assert len(said) == len(steps)
    assert all(words in sentence for words, sentence in zip(steps, said, strict=True))


def test_water_ice_and_dough_have_their_temperatures():
    mix = "Mix the scald and all the other ingredients to a dough."
    warm = Mixing(warmed=(WATER, MILK), warmed_c=3.6, dough_c=26)
    assert steps_of(made(Known(mixing=warm)), "Dough") == (
        "Use at 4 °C: water, whole milk.",
        mix,
        "When it is mixed, the dough should be at 26 °C.",
    )
    assert steps_of(made(Known(mixing=Mixing(ice_g=40, tap_c=18))), "Dough") == (
        "Weigh 40 g of the water as ice, and use the rest at 18 °C.",
        mix,
    )


def test_stages_and_times():
    recipe = made(KNOWN)
    assert steps_of(recipe, "Rise") == (
        "Bulk fermentation: 60 min at 27 °C.",
        "Let the dough rise for 65 min at 32 °C.",
    )
    assert steps_of(recipe, "Bake") == ("Bake for 35 min at 200 °C.", "Cool: 90 min.")
    document = forms.json_ld(recipe)
    times = [document[name] for name in ("prepTime", "cookTime", "totalTime")]
    assert times == ["PT2H35M", "PT35M", "PT4H40M"]
    assert document["recipeYield"] == "2 loaves, 425 g of dough each"
    without_stages = made(KNOWN._replace(stages=()))
    assert without_stages.times == (None, 35, None)
    assert made(Known(oven_c=210)).sections[-1].steps == ("Bake at 210 °C.",)


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_caution_is_said_where_it_matters_and_who_comes_first(language):
    words, recipe = WORDS[language], made(KNOWN, language=language, cautions=ALL)
    said = {section.name: section.cautions for section in recipe.sections}
    assert [len(said[words.names[name]]) for name in ("scald", "dough", "rise", "bake")] == [2, 1, 1, 1]
    assert "60" in said[words.names["scald"]][0]
    assert recipe.cautions == (words.cautions["allergens"], words.cautions["first"])
    for text in (forms.plain_text(recipe), forms.markdown(recipe), json.dumps(forms.json_ld(recipe))):
        shown = text if "\\u" not in text else json.dumps(json.loads(text), ensure_ascii=False)
        assert all(caution in shown for cautions in said.values() for caution in cautions)
    assert words.cautions["first"] not in forms.plain_text(made(KNOWN, language=language))


def test_allergens_are_text_in_the_language():
    own = Ingredient(name="Sellerie", label="Sellerie", own=True, allergens=("celery\n<b>",))
    recipe = made(lines=(*LINES, Line(own, 5)), language="de")
    assert recipe.allergens == ("Weizen", "Gluten", "Milch", "celery <b>")
    assert "Allergene: Weizen, Gluten, Milch, celery <b>." in forms.plain_text(recipe)
    assert forms.json_ld(recipe)["description"].startswith("Allergene: Weizen, Gluten, Milch")


# Its forms


@pytest.mark.parametrize("language", LANGUAGES)
def test_json_ld_is_a_recipe_of_schema_org(language):
    document = forms.json_ld(made(KNOWN, language=language, cautions=ALL))
    assert (document["@context"], document["@type"]) == ("https://schema.org", "Recipe")
    assert document["inLanguage"] == language
    assert all(isinstance(line, str) and line for line in document["recipeIngredient"])
    for section in document["recipeInstructions"]:
        assert section["@type"] == "HowToSection" and section["name"]
        kinds = [step["@type"] for step in section["itemListElement"]]
        assert kinds[0] == "HowToStep" and set(kinds) <= {"HowToStep", "HowToTip"}
        assert all(step.keys() == {"@type", "text"} and step["text"] for step in section["itemListElement"])
    for name in ("prepTime", "cookTime", "totalTime"):
        assert re.fullmatch(r"PT(\d+H)?(\d+M)?", document[name])


class Scripts(HTMLParser):
    """The tags and the script of a page."""

    def __init__(self):
        super().__init__()
        self.tags, self.script = [], ""

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)

    def handle_data(self, data):
        if self.tags[-1:] == ["script"]:
            self.script += data


@given(st.text() | st.just(EVIL))
def test_json_for_a_script_element_ends_none(name):
    document = forms.json_ld(made(lines=(*LINES, Line(Ingredient(name, name, own=True), 5)), name=name))
    written = forms.script_safe(document)
    page = Scripts()
    page.feed(f'<script type="application/ld+json">{written}</script>')
    page.close()
    assert page.tags == ["script"] and json.loads(page.script) == document == json.loads(written)


def shown(markdown: str) -> str:
    """What Markdown shows, all texts in a row, by a parser of CommonMark; fails for anything but words."""
    texts = []
    for token in MarkdownIt("commonmark").enable("table").enable("strikethrough").parse(markdown):
        for inner in token.children or ():
            assert inner.type in ("text", "softbreak", "text_special"), inner
            texts.append(inner.content or " ")
    return "".join(texts)


@given(
    st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=60)
    | st.just(EVIL)
    | st.text("*_`[](){}<>#+-.!|~&;0123456789= \\", max_size=30)
)
def test_markdown_shows_names_as_they_are(name):
    said = " ".join(name.split())
    recipe = made(
        Known(stages=(Stage(name, 60, 27),)), (*LINES, Line(Ingredient(name, name, own=True), 5)), name
    )
    markdown = forms.markdown(recipe)
    (title,) = [token for token in MarkdownIt().parse(markdown)[:3] if token.type == "inline"]
    assert "".join(each.content for each in title.children) == (said or "Pan bread")
    tokens = MarkdownIt().parse(markdown)
    assert [token.tag for token in tokens if token.type == "heading_open"] == ["h1", *["h2"] * 3, *["h3"] * 4]
    assert sum(token.type == "list_item_open" for token in tokens) == 1 + 5 + 2 + 1 + 1 + 1
    if said:
        assert f"{said}: 60 min at 27 °C." in shown(markdown)


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_title_of_plain_text_is_underlined(language):
    lines = forms.plain_text(made(name="湯種 loaf", language=language)).splitlines()
    assert lines[:2] == ["湯種 loaf", "=" * 9]


@given(st.text(st.characters(exclude_categories=("Cs",))))
def test_a_table_has_no_formula_of_a_spreadsheet(name):
    recipe = made(lines=(*LINES, Line(Ingredient(name, name, own=True), 5)))
    rows = list(csv.reader(io.StringIO(csv_of(forms.table(recipe)).decode(), newline="")))
    assert rows[0] == ["Part", "Ingredient", "Amount", "Mass (g)", "Baker's %"]
    assert rows[1] == ["Scald", "bread flour, white", "100 g", "100.0", "20.0"]
    assert len(rows) == 6 and {len(row) for row in rows} == {5}
    assert not rows[-1][1].lstrip().startswith(tuple("=+-@＝＋－＠"))
