"""The facts the craft works from, each with its source: fixed answers to GET."""

from collections.abc import Callable
from dataclasses import dataclass, fields

from scaldloaf import units as unit_table
from scaldloaf.operations import schema
from scaldloaf.operations.formulas import write_composition
from scaldloaf.reference import (
    COEFFICIENTS, COMPOSITION_FIELDS, EVIDENCE, INGREDIENTS, PANS, SOURCES, YEAST_KINDS,
)

_STRING = {"type": "string"}
_STRINGS = schema.array(_STRING, "A list of names.")
_EVIDENCE = schema.choice("What it rests on.", *EVIDENCE)


@dataclass(frozen=True, slots=True)
class Facts:
    """One table of facts: its name under /v1, its schema, and how its answer is made."""

    name: str
    summary: str
    reply: dict
    produce: Callable[[], dict]

    @property
    def path(self) -> str:
        return f"/v1/{self.name}"


def _ingredients() -> dict:
    return {"ingredients": [
        {"name": row.name, "label": row.label, "composition": write_composition(row),
         **{field: getattr(row, field) for field in COMPOSITION_FIELDS},
         "is_flour": row.is_flour, "is_liquid": row.is_liquid, "yeast": row.yeast,
         "allergens": list(row.allergens), "aliases": list(row.aliases),
         "density_g_per_cm3": row.density_g_per_cm3, "evidence": row.evidence, "sources": list(row.sources),
         "note": row.note}
        for row in INGREDIENTS.values()]}


def _labels() -> dict:
    return {"ingredients": [{"name": row.name, "label": row.label, "is_liquid": row.is_liquid} for row in INGREDIENTS.values()]}


def _temperature(unit: str, ucum: str, label: str) -> dict:
    zero, numerator, denominator = unit_table.DEGREES[unit]
    return {"unit": unit, "ucum": ucum, "label": label, "zero": zero, "factor": numerator / denominator}


def _units() -> dict:
    quantities = {quantity: [{"unit": unit, "ucum": ucum, "label": label, "factor": factor, "zero": 0.0}
                             for unit, (factor, ucum, label) in table.items()]
                  for quantity, table in unit_table.FACTORS.items()}
    quantities["temperature"] = [_temperature(unit, *row) for unit, row in unit_table.TEMPERATURES.items()]
    return {"quantities": quantities, "defaults": unit_table.DEFAULTS}


def _rows(name: str, table) -> Callable[[], dict]:
    return lambda: {name: [{field.name: _listed(getattr(row, field.name)) for field in fields(row)}
                           for row in table.values()]}


def _listed(value):
    return list(value) if isinstance(value, tuple) else value


def _pans() -> dict:
    return {"pans": [{"name": row.name, "label": row.label, "pan": dict(row.pan), "note": row.note}
                     for row in PANS.values()]}


FACTS: tuple[Facts, ...] = (
    Facts("ingredients", "Every ingredient of the catalogue, with its composition and sources",
          schema.result("The catalogue.", {"ingredients": schema.array(schema.result(
              "One ingredient, g per 100 g as sold.",
              {"name": _STRING, "label": _STRING, "composition": schema.component("Composition"),
               **{field: schema.number("g per 100 g.") for field in COMPOSITION_FIELDS},
               "is_flour": {"type": "boolean"}, "is_liquid": {"type": "boolean"},
               "yeast": schema.nullable(schema.choice("What kind of yeast it is; null for none.", *YEAST_KINDS)),
               "allergens": _STRINGS, "aliases": _STRINGS,
               "density_g_per_cm3": schema.nullable(schema.number("For cups and spoons; null when unknown.")),
               "evidence": _EVIDENCE, "sources": _STRINGS, "note": _STRING}), "Ingredients.")}),
          _ingredients),
    Facts("labels", "What each ingredient is called, without its facts",
          schema.result("Labels, for a page that only shows formulas: a seventh of the catalogue's bytes.", {
              "ingredients": schema.array(schema.result(
                  "One ingredient.", {"name": _STRING, "label": _STRING, "is_liquid": {"type": "boolean"}}),
                                          "Ingredients.")}),
          _labels),
    Facts("units", "The units a request may speak, with UCUM codes and factors",
          schema.result("Units.", {
              "quantities": schema.result("Units of each quantity.", {
                  quantity: schema.array(schema.result(
                      "A unit. (number - zero) × factor turns it into the unit of its quantity that has factor 1 "
                      "and zero 0.",
                      {"unit": _STRING, "ucum": _STRING, "label": _STRING,
                       "factor": schema.number("Size of the unit."),
                       "zero": schema.number("What it reads where the other reads 0; 0 but for degF.")}),
                      f"Units of {quantity}.") for quantity in unit_table.DEFAULTS}),
              "defaults": schema.component("Units")}),
          _units),
    Facts("coefficients", "Every empirical number used, with range, evidence and sources",
          schema.result("Coefficients.", {"coefficients": schema.array(schema.result(
              "A number of the craft.",
              {"name": _STRING, "value": schema.number("Best value."), "low": schema.number("Lower end."),
               "high": schema.number("Upper end."), "unit": _STRING, "evidence": _EVIDENCE, "sources": _STRINGS,
               "meaning": _STRING, "valid": _STRING}), "Coefficients.")}),
          _rows("coefficients", COEFFICIENTS)),
    Facts("sources", "Where each fact was seen",
          schema.result("Sources.", {"sources": schema.array(schema.result(
              "A source, and what of it was looked at.",
              {"id": _STRING, "title": _STRING, "kind": _STRING,
               "year": {"type": ["integer", "null"]}, "identifier": _STRING, "seen": _STRING}), "Sources.")}),
          _rows("sources", SOURCES)),
    Facts("pans", "Generic pan shapes to start from, in cm",
          schema.result("Pans.", {"pans": schema.array(schema.result(
              "A shape; `pan` can be posted to pan-fill with the default units.",
              {"name": _STRING, "label": _STRING, "pan": {"type": "object"}, "note": _STRING}), "Pans.")}),
          _pans),
)
