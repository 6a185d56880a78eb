"""The facts the craft works from, each with its source: fixed answers to GET."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from typing import Any

from scaldloaf import units as unit_table
from scaldloaf.operations.context import Wire
from scaldloaf.operations.wire.formulas import write_composition
from scaldloaf.reference import COEFFICIENTS, COMPOSITION_FIELDS, INGREDIENTS, LANGUAGES, PANS, SOURCES

LONGEST_TAG = 35  # the length that BCP 47 advises to make room for
LANGUAGE_TAG = "[A-Za-z]{2,3}(-[A-Za-z0-9]{1,8})*"
_is_tag = re.compile(LANGUAGE_TAG).fullmatch


@dataclass(frozen=True, slots=True)
class Facts:
    """One table of facts: its name under /v1, what the document says of it, and how its answer is made.

    languages: those that it can be asked for in, if any.
    """

    name: str
    summary: str
    description: str
    produce: Callable[..., Wire]
    languages: tuple[str, ...] = ()

    @property
    def path(self) -> str:
        return f"/v1/{self.name}"


def language_for(tag: str) -> str:
    """The language of LANGUAGES that a BCP 47 tag is answered in.

    ``de`` for ``de-AT``, English for one without names of its own. Raises ValueError for what is no
    tag, with the nearest that is one.
    """
    if len(tag) > LONGEST_TAG or not _is_tag(tag):
        nearest = re.search(rf"\b{LANGUAGE_TAG}\b", tag[:LONGEST_TAG].replace("_", "-"), re.ASCII)
        raise ValueError(nearest.group() if nearest else LANGUAGES[0])
    known = {language.lower(): language for language in LANGUAGES}
    wanted = tag.lower()
    while wanted and wanted not in known:
        wanted = wanted.rpartition("-")[0]
    return known.get(wanted, LANGUAGES[0])


def _ingredients() -> Wire:
    return {
        "ingredients": [
            {
                "name": row.name,
                "label": row.label,
                "composition": write_composition(row),
                **{field: getattr(row, field) for field in COMPOSITION_FIELDS},
                "is_flour": row.is_flour,
                "is_liquid": row.is_liquid,
                "yeast": row.yeast,
                "allergens": list(row.allergens),
                "aliases": list(row.aliases),
                "density_g_per_cm3": row.density_g_per_cm3,
                "evidence": row.evidence,
                "sources": list(row.sources),
                "place": row.place,
                "note": row.note,
            }
            for row in INGREDIENTS.values()
        ]
    }


def labels(language: str | None = None) -> Wire:
    if language is None:
        return {
            "ingredients": [
                {"name": row.name, "label": row.label, "is_liquid": row.is_liquid}
                for row in INGREDIENTS.values()
            ]
        }
    return {
        "language": language,
        "ingredients": [
            {"name": row.name, "label": row.names[known][0], "language": known, "is_liquid": row.is_liquid}
            for row in INGREDIENTS.values()
            for known in (language if language in row.names else LANGUAGES[0],)
        ],
    }


def names() -> Wire:
    return {
        "languages": list(LANGUAGES),
        "ingredients": [
            {
                "name": row.name,
                "names": [
                    {"language": language, "label": label, "spellings": spellings}
                    for language, (label, *spellings) in row.names.items()
                ],
            }
            for row in INGREDIENTS.values()
        ],
    }


def _temperature(unit: str, ucum: str, label: str) -> Wire:
    zero, numerator, denominator = unit_table.DEGREES[unit]
    return {"unit": unit, "ucum": ucum, "label": label, "zero": zero, "factor": numerator / denominator}


def _units() -> Wire:
    quantities = {
        quantity: [
            {"unit": unit, "ucum": ucum, "label": label, "factor": factor, "zero": 0.0}
            for unit, (factor, ucum, label) in table.items()
        ]
        for quantity, table in unit_table.FACTORS.items()
    }
    quantities["temperature"] = [_temperature(unit, *row) for unit, row in unit_table.TEMPERATURES.items()]
    return {"quantities": quantities, "defaults": unit_table.DEFAULTS}


def _rows(name: str, table: Mapping[str, Any]) -> Callable[[], Wire]:
    return lambda: {
        name: [
            {field.name: _listed(getattr(row, field.name)) for field in fields(row)} for row in table.values()
        ]
    }


def _listed(value: object) -> object:
    return list(value) if isinstance(value, tuple) else value


def _pans() -> Wire:
    return {
        "pans": [
            {"name": row.name, "label": row.label, "pan": dict(row.pan), "note": row.note, "lid": row.lid}
            for row in PANS.values()
        ]
    }


FACTS: tuple[Facts, ...] = (
    Facts(
        "ingredients",
        "List the catalogue's ingredients, with composition and sources",
        "A formula names an ingredient by its `name`. Each has its composition in g per 100 g, its "
        "allergens, the evidence for both, and sources that GET /v1/sources resolves.",
        _ingredients,
    ),
    Facts(
        "labels",
        "List ingredient names only",
        "For a list to choose from: the name that requests use, and a label for people.",
        labels,
        LANGUAGES,
    ),
    Facts(
        "names",
        "List ingredient names in every language, with the spellings that recipe-import reads",
        "The first name in a language is its label; recipe-import reads all of them.",
        names,
    ),
    Facts(
        "units",
        "List supported units, with UCUM codes and factors",
        "What `units` of a request may hold. A value less `zero`, times `factor`, is in g, cm, cm³ or °C.",
        _units,
    ),
    Facts(
        "coefficients",
        "List every empirical number used, with range, evidence and sources",
        "The numbers behind every estimate: where each was read, and what would put a better one in its "
        "place.",
        _rows("coefficients", COEFFICIENTS),
    ),
    Facts(
        "sources",
        "List sources",
        "What `basis` of a reply and `sources` of the other tables name, each with what was seen of it.",
        _rows("sources", SOURCES),
    ),
    Facts(
        "pans",
        "List generic pan shapes to start from, in cm",
        "Each `pan` can be put into a request as it is. Measure your own tin when you can.",
        _pans,
    ),
)
