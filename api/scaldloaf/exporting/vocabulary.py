"""The words of written recipes, checked at start: each language has all texts, with the same places."""

import re
from collections.abc import Iterator, Mapping
from string import Formatter
from typing import Any, NamedTuple

from scaldloaf.reference import CAUTIONS, INGREDIENTS, Ingredient
from scaldloaf.reference.loader import read_table
from scaldloaf.units import size

LANGUAGES = ("en", "de", "ja", "zh-Hant", "zh-Hans")  # BCP 47
ENGLISH = LANGUAGES[0]
_BREAKS = re.compile("[:;：；]")
FIRST = "first"  # among the cautions: whose rules come first


class Spoons(NamedTuple):
    """What a tablespoon and a teaspoon hold, cm³."""

    tablespoon_cm3: float
    teaspoon_cm3: float


SPOONS = {
    kitchen: Spoons(size("volume", f"tablespoon_{kitchen}"), size("volume", f"teaspoon_{kitchen}"))
    for kitchen in ("us", "metric")
}


class WordsError(RuntimeError):
    """A file of words that lacks a text, or a text that lacks a place."""


class Words(NamedTuple):
    """What one language says. The tables are as ``words/README.md`` has them."""

    language: str
    decimal: str
    spoons: Spoons
    line: str
    heading: str
    both: str
    list: str
    lower_case: bool
    keeps_case: tuple[str, ...]
    units: Mapping[str, str]
    names: Mapping[str, str]
    table: Mapping[str, str]
    steps: Mapping[str, str]
    stages: Mapping[str, str]
    cautions: Mapping[str, str]
    allergens: Mapping[str, str]

    def label(self, ingredient: Ingredient) -> str:
        """What an ingredient is called in a line: the catalogue's label, or the own name.

        A colon or semicolon in an own name becomes a blank: it would make a heading of what is before it.
        """
        if ingredient.own:
            return in_one_line(_BREAKS.sub(" ", ingredient.name))
        label = ingredient.names[self.language][0]
        if not self.lower_case or label.startswith(self.keeps_case):
            return label
        return label[0].lower() + label[1:]

    def stage(self, name: str) -> str:
        """The trade's name of a stage or task that is called by the usual English word; else its own name."""
        return self.stages.get(name.strip().lower(), in_one_line(name))

    def said(self, name: str, value: str) -> str:
        """``Makes: 3 loaves``."""
        return self.names["said"].format(name=self.names[name], value=value)


def in_one_line(text: str) -> str:
    """A text of the caller's own without what would end a line."""
    return " ".join(text.split())


def _texts(table: Mapping[str, Any], path: str = "") -> Iterator[tuple[str, frozenset[str]]]:
    """Address and places of every text in a table."""
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _texts(value, f"{path}{key}.")
        else:
            text = value if isinstance(value, str) else ""
            yield f"{path}{key}", frozenset(name for _, name, _, _ in Formatter().parse(text) if name)


def words_of(language: str, table: dict[str, Any], english: dict[str, Any]) -> Words:
    """The words of a language. Raises WordsError where they differ in kind from the English ones."""
    expected, found = dict(_texts(english)), dict(_texts(table))
    strange = sorted(name for name in expected.keys() | found.keys() if expected.get(name) != found.get(name))
    if strange:
        raise WordsError(f"{language}: {', '.join(strange)}")
    unknown = sorted(table["cautions"].keys() - CAUTIONS.keys() - {FIRST})
    if unknown:
        raise WordsError(f"{language}: no such cautions: {', '.join(unknown)}")
    missing = {allergen for row in INGREDIENTS.values() for allergen in row.allergens} - set(
        table["allergens"]
    )
    if missing:
        raise WordsError(f"{language}: no word for {', '.join(sorted(missing))}")
    told = {**table, "spoons": SPOONS[table["spoons"]], "keeps_case": tuple(table["keeps_case"])}
    return Words(language=language, **told)


def _read() -> dict[str, Words]:
    tables = {language: read_table(language, f"{__package__}.words") for language in LANGUAGES}
    return {language: words_of(language, table, tables[ENGLISH]) for language, table in tables.items()}


WORDS = _read()
