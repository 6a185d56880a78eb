"""The facts the craft works from, each with its source: fixed answers to GET."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from typing import Any

from scaldloaf import units as unit_table
from scaldloaf.operations.context import Wire
from scaldloaf.operations.wire.formulas import write_composition
from scaldloaf.reference import COEFFICIENTS, COMPOSITION_FIELDS, INGREDIENTS, PANS, SOURCES


@dataclass(frozen=True, slots=True)
class Facts:
    """One table of facts: its name under /v1, and how its answer is made."""

    name: str
    summary: str
    produce: Callable[[], Wire]

    @property
    def path(self) -> str:
        return f"/v1/{self.name}"


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
                "note": row.note,
            }
            for row in INGREDIENTS.values()
        ]
    }


def _labels() -> Wire:
    return {
        "ingredients": [
            {"name": row.name, "label": row.label, "is_liquid": row.is_liquid} for row in INGREDIENTS.values()
        ]
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
            {"name": row.name, "label": row.label, "pan": dict(row.pan), "note": row.note}
            for row in PANS.values()
        ]
    }


FACTS: tuple[Facts, ...] = (
    Facts("ingredients", "Every ingredient of the catalogue, with its composition and sources", _ingredients),
    Facts("labels", "What each ingredient is called, without its facts", _labels),
    Facts("units", "The units a request may speak, with UCUM codes and factors", _units),
    Facts(
        "coefficients",
        "Every empirical number used, with range, evidence and sources",
        _rows("coefficients", COEFFICIENTS),
    ),
    Facts("sources", "Where each fact was seen", _rows("sources", SOURCES)),
    Facts("pans", "Generic pan shapes to start from, in cm", _pans),
)
