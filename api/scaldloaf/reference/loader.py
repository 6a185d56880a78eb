"""Reads the reference tables and checks each row.

A table that breaks its own rules (an unknown source, a value outside its range, a composition above 100 %)
raises ReferenceDataError with the row's name.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from importlib import resources
from string import Formatter
from types import MappingProxyType
from typing import Any, TypeVar

import tomli

from scaldloaf.reference.rows import (
    COMPOSITION_FIELDS,
    EVIDENCE,
    REPLACEMENTS,
    SEEN,
    SOURCE_KINDS,
    YEAST_KINDS,
    Caution,
    Coefficient,
    Ingredient,
    PanShape,
    Source,
)

Rows = Mapping[str, Mapping[str, Any]]
Row = TypeVar("Row")

ENGLISH = "en"  # the language that every ingredient has a name in
LARGEST_SUM_PERCENT = 100.5  # of a composition: tables round each of its parts


class ReferenceDataError(RuntimeError):
    """A reference table that contradicts itself."""


def read_table(name: str, package: str = __package__) -> dict[str, dict[str, Any]]:
    """The rows of a TOML file that lies in a package."""
    return tomli.loads(resources.files(package).joinpath(f"{name}.toml").read_text("utf-8"))


def _build(kind: Callable[..., Row], key: str, name: str, row: Mapping[str, Any]) -> Row:
    """A row as a record, its lists as tuples; ``key`` is the field that holds its name."""
    frozen = {field: tuple(value) if isinstance(value, list) else value for field, value in row.items()}
    try:
        return kind(**{key: name}, **frozen)
    except TypeError as error:
        raise ReferenceDataError(f"{name!r}: {error}") from None


def _require(holds: bool, what: str) -> None:
    if not holds:
        raise ReferenceDataError(what)


def _check_sources(
    name: str,
    cited: Iterable[str],
    sources: Mapping[str, Source],
    evidence: str = "from memory",
    place: str = "",
) -> None:
    """Refuse a row that cites an unknown source, or is labelled published without a source that was looked
    at and the place where the figure is in it."""
    cited = tuple(cited)
    for source in cited:
        _require(source in sources, f"{name!r} cites the unknown source {source!r}")
    _require(evidence in EVIDENCE, f"{name!r} has no known evidence label")
    if evidence == "published":
        read = [source for source in cited if sources[source].seen not in ("not seen", "nothing to look up")]
        _require(bool(read), f"{name!r} is labelled published without a source that was seen")
        _require(bool(place), f"{name!r} is labelled published without the place where the figure is")


def sources_of(rows: Rows) -> dict[str, Source]:
    """The sources of a table, by id; each says what kind it is and what of it was looked at."""
    found = {
        name: _build(Source, "id", name, {"year": None, "identifier": "", **row})
        for name, row in rows.items()
    }
    for row in found.values():
        _require(row.kind in SOURCE_KINDS, f"source {row.id!r} is of the unknown kind {row.kind!r}")
        seen = re.split("[,;]", row.seen)[0]
        _require(seen in SEEN, f"source {row.id!r} does not say what was seen, but {row.seen!r}")
    return found


def coefficients_of(rows: Rows, sources: Mapping[str, Source]) -> dict[str, Coefficient]:
    """The coefficients of a table, by name; each within its own range."""
    found = {
        name: _build(
            Coefficient, "name", name, {"sources": [], "place": "", "recipes": None, "valid": "", **row}
        )
        for name, row in rows.items()
    }
    for row in found.values():
        _require(row.low <= row.value <= row.high, f"coefficient {row.name!r} lies outside its own range")
        _check_sources(row.name, row.sources, sources, row.evidence, row.place)
        unknown = [each for each in row.replaced_by if each not in REPLACEMENTS]
        _require(not unknown, f"coefficient {row.name!r} is replaced by the unknown {unknown}")
    return found


def _with_names(name: str, row: Mapping[str, Any]) -> dict[str, Any]:
    """An ingredient's row with the label and the aliases that its English names are."""
    names = {language: tuple(spellings) for language, spellings in row.get("names", {}).items()}
    _require(bool(names.get(ENGLISH)) and all(names.values()), f"ingredient {name!r} lacks a name")
    for language, spellings in names.items():
        _require(
            len(set(spellings)) == len(spellings), f"ingredient {name!r} has a name twice in {language!r}"
        )
    label, *aliases = names[ENGLISH]
    return {**row, "names": MappingProxyType(names), "label": label, "aliases": aliases}


def ingredients_of(rows: Rows, sources: Mapping[str, Source]) -> dict[str, Ingredient]:
    """The ingredients of a table, by name; no spelling of a language means two of them."""
    found = {name: _build(Ingredient, "name", name, _with_names(name, row)) for name, row in rows.items()}
    owners: dict[str, dict[str, str]] = {}
    for row in found.values():
        parts = [getattr(row, field) for field in COMPOSITION_FIELDS]
        adds_up = min(parts) >= 0 and sum(parts) <= LARGEST_SUM_PERCENT
        _require(adds_up, f"ingredient {row.name!r} does not add up")
        _require(row.yeast is None or row.yeast in YEAST_KINDS, f"ingredient {row.name!r}: unknown yeast")
        _check_sources(row.name, row.sources, sources, row.evidence, row.place)
        for language, spellings in row.names.items():
            in_language = owners.setdefault(language, {})
            for spelling in (row.name, *map(str.lower, spellings)):
                first = in_language.setdefault(spelling, row.name)
                if first != row.name:
                    raise ReferenceDataError(f"spelling {spelling!r} means both {first!r} and {row.name!r}")
    return found


def cautions_of(
    rows: Rows, sources: Mapping[str, Source], coefficients: Mapping[str, Coefficient]
) -> dict[str, Caution]:
    """The cautions of a table, by code, each with the temperatures and other numbers that its text names."""
    found = {}
    for code, row in rows.items():
        temperatures: dict[str, float] = {}
        numbers = dict(row.get("numbers", {}))
        for _, name, _, _ in Formatter().parse(row["text"]):
            if name is None or name in numbers:
                continue
            _require(
                name in coefficients,
                f"caution {code!r} names {name!r}, which is neither a coefficient nor a number of its own",
            )
            among = temperatures if coefficients[name].unit == "°C" else numbers
            among[name] = coefficients[name].value
        named = {"temperatures_c": temperatures, "numbers": numbers}
        found[code] = _build(Caution, "code", code, {"sources": [], **row, **named})
        _check_sources(code, found[code].sources, sources)
    return found


def pans_of(rows: Rows) -> dict[str, PanShape]:
    """The pans of a table, by name."""
    return {
        name: PanShape(name, row["label"], MappingProxyType(row["pan"]), row.get("note", ""), row["lid"])
        for name, row in rows.items()
    }
