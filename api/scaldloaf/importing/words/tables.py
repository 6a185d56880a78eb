"""The tables of words as they are written, one a language: read once, freed when all is made of them."""

from collections.abc import Iterator
from typing import Any

from scaldloaf.reference import read_table

# Where a word means several things and the recipe's language does not settle it, the first of these does.
LANGUAGES = ("en", "de", "fr", "es", "it", "ja", "zh-Hant", "zh-Hans")
LATIN = LANGUAGES[:5]
_KEPT: dict[str, str] = {}


def one_of(text: str) -> str:
    """The same text, in one copy for all that keep it."""
    return _KEPT.setdefault(text, text)


def forget() -> None:
    """Free the tables, 3 MB that nothing needs once all is made of them."""
    TABLES.clear()
    _KEPT.clear()


def _shared(table: Any) -> Any:
    """A table with one copy of each text."""
    if isinstance(table, str):
        return one_of(table)
    if isinstance(table, dict):
        return {key: _shared(value) for key, value in table.items()}
    return list(map(_shared, table)) if isinstance(table, list) else table


def _spellings(table: object) -> Iterator[str]:
    """Every text in a table."""
    if isinstance(table, str):
        yield table
    elif isinstance(table, dict):
        for key, value in table.items():
            yield key
            yield from _spellings(value)
    elif isinstance(table, list):
        for value in table:
            yield from _spellings(value)


def _written_alike(words: dict[str, dict[str, Any]]) -> None:
    """Add the words of each Chinese script to the other, unless that has them with a meaning of its own."""
    scripts = read_table("han", __package__)["characters"]
    traditional, simplified = scripts["traditional"], scripts["simplified"]
    own = {language: set(_spellings(words[language])) for language in ("zh-Hant", "zh-Hans")}
    originals = {language: _shared(words[language]) for language in own}
    for source, target, there, here in (
        ("zh-Hant", "zh-Hans", traditional, simplified),
        ("zh-Hans", "zh-Hant", simplified, traditional),
    ):
        table = {ord(there[at]): here[at] for at in range(len(there) - 1, -1, -1)}
        for name, lists in originals[source].items():
            if name == "ambiguous":
                continue
            for key, spellings in lists.items():
                if isinstance(spellings, list):
                    made = dict.fromkeys(spelling.translate(table) for spelling in spellings)
                    more = [spelling for spelling in made if spelling not in own[target]]
                    words[target].setdefault(name, {}).setdefault(key, []).extend(more)
                    own[target].update(more)


def _tables() -> dict[str, dict[str, Any]]:
    tables = {language: read_table(language, __package__) for language in LANGUAGES}
    _written_alike(tables)
    return {language: _shared(table) for language, table in tables.items()}


TABLES = _tables()
