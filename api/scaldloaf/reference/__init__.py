"""Facts as data, each with its source, read and checked once at import.

The tables are the TOML files beside this module; a table that breaks its own rules stops the program at
start, with the row's name.
"""

from types import MappingProxyType

from scaldloaf.reference.loader import (
    ReferenceDataError,
    cautions_of,
    coefficients_of,
    ingredients_of,
    pans_of,
    read_table,
    sources_of,
)
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

__all__ = [
    "CAUTIONS",
    "COEFFICIENTS",
    "COMPOSITION_FIELDS",
    "EVIDENCE",
    "INGREDIENTS",
    "LANGUAGES",
    "PANS",
    "REPLACEMENTS",
    "SEEN",
    "SOURCES",
    "SOURCE_KINDS",
    "YEAST_KINDS",
    "Caution",
    "Coefficient",
    "Ingredient",
    "PanShape",
    "ReferenceDataError",
    "Source",
    "coefficient",
    "read_table",
]

SOURCES = MappingProxyType(sources_of(read_table("sources")))
COEFFICIENTS = MappingProxyType(coefficients_of(read_table("coefficients"), SOURCES))
INGREDIENTS = MappingProxyType(ingredients_of(read_table("ingredients"), SOURCES))
# BCP 47 tags of the languages that ingredients have names in, English first.
LANGUAGES = tuple(dict.fromkeys(language for row in INGREDIENTS.values() for language in row.names))
CAUTIONS = MappingProxyType(cautions_of(read_table("cautions"), SOURCES, COEFFICIENTS))
PANS = MappingProxyType(pans_of(read_table("pans")))


def coefficient(name: str) -> Coefficient:
    """The coefficient of that name; a KeyError at import is a mistake in the code, not in the input."""
    return COEFFICIENTS[name]
