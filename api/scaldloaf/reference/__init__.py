"""Facts as data, each with its source, read and checked once at import.

The tables are the TOML files beside this module; a table that breaks its own rules
(unknown source, value outside its range, composition above 100 %) stops the program
at start, with the row's name.
"""

from collections.abc import Callable
from dataclasses import dataclass
from importlib import resources
from string import Formatter
from types import MappingProxyType

import tomli        # the standard library's tomllib, compiled: a start waits a fifth as long for the tables

EVIDENCE = ("exact", "published", "common practice", "from memory", "assumption")
COMPOSITION_FIELDS = (
    "water_percent", "sucrose_percent", "glucose_percent", "fructose_percent", "maltose_percent",
    "lactose_percent", "fat_percent", "protein_percent", "salt_percent",
)
YEAST_KINDS = ("instant", "active_dry", "compressed")


class ReferenceError(RuntimeError):
    """A reference table that contradicts itself."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where a fact was seen: a paper, table, standard or trade page; or nowhere, and says so."""

    id: str
    title: str
    kind: str            # paper | book | standard | law | table | trade page | none
    year: int | None
    identifier: str      # DOI, section, table number or address; "" when there is none
    seen: str            # what was actually looked at: "full text", "table", "quoted elsewhere", "not seen"


@dataclass(frozen=True, slots=True)
class Coefficient:
    """A number of the craft with its range, evidence and sources."""

    name: str
    value: float
    low: float
    high: float
    unit: str
    evidence: str
    sources: tuple[str, ...]
    meaning: str         # one plain sentence: what it is
    valid: str           # where it holds, in words; "" when it holds everywhere


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One ingredient: mass fractions in percent, and what the trade counts it as.

    ``yeast`` names the kind of yeast it is, or None. ``is_liquid`` marks what the trade's quick
    count takes as liquid (water and milks, whole). ``density_g_per_cm3`` is for cups and spoons.
    ``own`` marks an ingredient brought by the request and not from the catalogue.
    """

    name: str
    label: str
    water_percent: float = 0.0
    sucrose_percent: float = 0.0
    glucose_percent: float = 0.0
    fructose_percent: float = 0.0
    maltose_percent: float = 0.0
    lactose_percent: float = 0.0
    fat_percent: float = 0.0
    protein_percent: float = 0.0
    salt_percent: float = 0.0
    is_flour: bool = False
    is_liquid: bool = False
    yeast: str | None = None
    allergens: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()
    density_g_per_cm3: float | None = None
    evidence: str = "from memory"
    sources: tuple[str, ...] = ()
    note: str = ""
    own: bool = False


@dataclass(frozen=True, slots=True)
class Caution:
    """A warning for the step where it matters, deferring to whoever decides locally.

    A {name} in its text stands for the coefficient of that name, a temperature.
    """

    code: str
    text: str
    defer_to: str
    sources: tuple[str, ...]

    @property
    def temperatures(self) -> tuple[str, ...]:
        """The coefficients that the text names."""
        return tuple(name for _, name, _, _ in Formatter().parse(self.text) if name is not None)

    def text_in(self, degrees: Callable[[float], str]) -> str:
        """The text, each of its temperatures as ``degrees`` writes it: degC -> "60 °C"."""
        return self.text.format(**{name: degrees(coefficient(name).value) for name in self.temperatures})


@dataclass(frozen=True, slots=True)
class PanShape:
    """A generic pan (no maker): inside dimensions in cm, for a start."""

    name: str
    label: str
    pan: MappingProxyType
    note: str


def read_table(name: str, package: str = __package__) -> dict[str, dict]:
    """The rows of a TOML file that lies in a package."""
    return tomli.loads(resources.files(package).joinpath(f"{name}.toml").read_text("utf-8"))


def _build(kind: type, key: str, name: str, row: dict):
    frozen = {field: tuple(value) if isinstance(value, list) else value for field, value in row.items()}
    try:
        return kind(**{key: name}, **frozen)
    except TypeError as error:
        raise ReferenceError(f"{kind.__name__} {name!r}: {error}") from None


def _require(holds: bool, what: str) -> None:
    if not holds:
        raise ReferenceError(what)


def _known_sources(name: str, sources: tuple[str, ...], evidence: str = "from memory") -> None:
    for source in sources:
        _require(source in SOURCES, f"{name!r} cites the unknown source {source!r}")
    _require(evidence != "published" or bool(sources), f"{name!r} is labelled published without a source")


def _read_sources() -> dict[str, Source]:
    return {name: _build(Source, "id", name, {"year": None, "identifier": "", **row})
            for name, row in read_table("sources").items()}


def _read_coefficients() -> dict[str, Coefficient]:
    rows = {name: _build(Coefficient, "name", name, {"sources": [], "valid": "", **row})
            for name, row in read_table("coefficients").items()}
    for row in rows.values():
        _require(row.low <= row.value <= row.high, f"coefficient {row.name!r} lies outside its own range")
        _require(row.evidence in EVIDENCE, f"coefficient {row.name!r} has no known evidence label")
        _known_sources(row.name, row.sources, row.evidence)
    return rows


def _read_ingredients() -> dict[str, Ingredient]:
    rows = {name: _build(Ingredient, "name", name, row) for name, row in read_table("ingredients").items()}
    taken: dict[str, str] = {}
    for row in rows.values():
        parts = [getattr(row, field) for field in COMPOSITION_FIELDS]
        _require(min(parts) >= 0 and sum(parts) <= 100.5, f"ingredient {row.name!r} does not add up")
        _require(row.yeast is None or row.yeast in YEAST_KINDS, f"ingredient {row.name!r}: unknown yeast")
        _require(row.evidence in EVIDENCE, f"ingredient {row.name!r} has no known evidence label")
        _known_sources(row.name, row.sources, row.evidence)
        for spelling in (row.name, *row.aliases):
            _require(taken.setdefault(spelling, row.name) == row.name,
                     f"spelling {spelling!r} stands for both {taken[spelling]!r} and {row.name!r}")
    return rows


def _read_cautions() -> dict[str, Caution]:
    rows = {name: _build(Caution, "code", name, {"sources": [], **row})
            for name, row in read_table("cautions").items()}
    for row in rows.values():
        _known_sources(row.code, row.sources)
        for name in row.temperatures:
            _require(name in COEFFICIENTS and COEFFICIENTS[name].unit == "°C",
                     f"caution {row.code!r} names {name!r}, which is no temperature among the coefficients")
    return rows


def _read_pans() -> dict[str, PanShape]:
    return {name: PanShape(name, row["label"], MappingProxyType(row["pan"]), row.get("note", ""))
            for name, row in read_table("pans").items()}


SOURCES = MappingProxyType(_read_sources())
COEFFICIENTS = MappingProxyType(_read_coefficients())
INGREDIENTS = MappingProxyType(_read_ingredients())
CAUTIONS = MappingProxyType(_read_cautions())
PANS = MappingProxyType(_read_pans())


def coefficient(name: str) -> Coefficient:
    """The coefficient of that name; a KeyError at import is a mistake in the code, not in the input."""
    return COEFFICIENTS[name]
