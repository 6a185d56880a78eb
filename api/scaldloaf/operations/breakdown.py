"""breakdown: a formula seen whole."""

from collections.abc import Iterator
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.flour import gluten_water_percent
from scaldloaf.dough.formula import Breakdown, Formula, break_down
from scaldloaf.dough.water_judged import spot_of
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.notes import AnyNote, Note
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas.breakdown import BreakdownRequest
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.formulas import in_percent, read_formula, write_allergens, write_formula
from scaldloaf.operations.working.formula import formula_notes, unusual_notes

PERCENTAGES = (
    "scalded_share_percent",
    "hydration_percent",
    "liquid_percent",
    "dough_yield",
    "total_percent",
    "sugar_percent",
    "lactose_percent",
    "fat_percent",
    "salt_percent",
    "instant_yeast_percent",
)
TEXTS = {
    "gluten_takes_water": (
        "{gluten:.3g} % vital gluten takes about {water:.3g} % of the flour as water ({low:.3g} to "
        "{high:.3g}) beyond what the dough would take without it."
    )
}


class Asked(NamedTuple):
    """A formula; by_percent: it came in percent only."""

    formula: Formula
    by_percent: bool


class Found(NamedTuple):
    """The breakdown of the formula, its vital gluten in percent of flour, and the water that this takes."""

    asked: Asked
    breakdown: Breakdown
    gluten_percent: float
    gluten_water_percent: Estimate


def read(request: Wire, context: Context) -> Asked:
    return Asked(read_formula(request["formula"], context), in_percent(request["formula"]))


def compute(asked: Asked) -> Found:
    breakdown = break_down(asked.formula)
    gluten_g = [line.mass_g for line in asked.formula.lines if line.ingredient.name == "vital_gluten"]
    gluten = sum(100 * mass for mass in gluten_g) / breakdown.flour_g
    return Found(asked, breakdown, gluten, gluten_water_percent(gluten))


def percentages_of(breakdown: Breakdown) -> Wire:
    """The breakdown's percentages on the wire, as in every ``before`` and ``after``."""
    return {field: getattr(breakdown, field) for field in PERCENTAGES}


def write(found: Found, context: Context) -> Wire:
    formula, breakdown, out = found.asked.formula, found.breakdown, context.units.to_wire
    return context.reply(
        {
            "formula": write_formula(formula, context, breakdown),
            "totals": {
                "flour": out(breakdown.flour_g, "mass"),
                "dough": out(breakdown.dough_mass_g, "mass"),
                "water": out(breakdown.water_g, "mass"),
                "scald": out(breakdown.scald_mass_g, "mass"),
            },
            **percentages_of(breakdown),
            "scald": {
                "flour": out(breakdown.scald_flour_g, "mass"),
                "liquid": out(breakdown.scald_liquid_g, "mass"),
                "liquid_ratio": breakdown.scald_liquid_ratio,
                "moisture_percent": breakdown.scald_moisture_percent,
            },
            "allergens": write_allergens(formula.lines),
        },
        lambda show: _show(show, formula, breakdown),
        basis=("mass_balance", "hamelman_2004"),
        cautions=cautions.of_formula(formula),
        notes=_notes(found),
    )


def _notes(found: Found) -> Iterator[AnyNote]:
    yield from formula_notes(found.asked.by_percent, found.breakdown, found.asked.formula)
    yield from unusual_notes(found.breakdown, spot_of(found.asked.formula, found.breakdown))
    if found.gluten_percent:
        water = found.gluten_water_percent
        values = {"gluten": found.gluten_percent, "water": water.best, "low": water.low, "high": water.high}
        yield Note("gluten_takes_water", TEXTS["gluten_takes_water"], values)


def _show(show: Working, formula: Formula, breakdown: Breakdown) -> None:
    shown = show.format
    flour = shown(breakdown.flour_g, "mass")
    flours = [line.mass_g for line in formula.lines if line.ingredient.is_flour]
    show.step("Total flour", " + ".join(shown(mass, "mass") for mass in flours), breakdown.flour_g, "mass")
    if breakdown.scald_flour_g:
        show.step(
            "Scalded share",
            f"100 × {shown(breakdown.scald_flour_g, 'mass')} ÷ {flour}",
            breakdown.scalded_share_percent,
            unit="% of flour",
        )
    wet = [
        line
        for line in formula.lines
        if not line.ingredient.is_flour and line.ingredient.water_percent and line.mass_g
    ]
    lost_g = formula.scald_evaporation_g
    lost = f" − {shown(lost_g, 'mass')} evaporated" if lost_g else ""
    water = " + ".join(
        f"{line.ingredient.label} {shown(line.mass_g, 'mass')} × {shown(line.ingredient.water_percent)} %"
        for line in wet
    )
    show.step(
        "Water in the lines that are not flour",
        (water or shown(0.0, "mass")) + lost,
        breakdown.water_g,
        "mass",
    )
    show.step(
        "Hydration",
        f"100 × {shown(breakdown.water_g, 'mass')} ÷ {flour}",
        breakdown.hydration_percent,
        unit="% of flour",
    )
    show.step(
        "Liquid, quick count",
        f"100 × {shown(breakdown.liquid_g, 'mass')} of water and milk ÷ {flour}",
        breakdown.liquid_percent,
        unit="% of flour",
    )
    show.step("Dough yield", f"100 + {shown(breakdown.liquid_percent)}", breakdown.dough_yield)
    show.step("Dough mass", f"all lines{lost}", breakdown.dough_mass_g, "mass")


BREAKDOWN = Operation(
    name="breakdown",
    summary="Analyse a formula",
    description="Totals, baker's percentages, the scald on its own, hydration and the quick count of "
    "liquid, allergens.",
    request=BreakdownRequest,
    read=read,
    compute=compute,
    write=write,
    examples=(
        Example("tin_loaf", "The Lantern Quay tin loaf, 20 % of its flour scalded", {"formula": TIN_LOAF}),
        Example(
            "ounces",
            "A small batch in ounces",
            {
                "units": {"mass": "oz"},
                "formula": {
                    "lines": [
                        {"ingredient": "bread_flour", "mass": 16},
                        {"ingredient": "water", "mass": 11},
                        {"ingredient": "salt", "mass": 0.3},
                        {"ingredient": "instant_yeast", "mass": 0.2},
                    ]
                },
            },
        ),
    ),
)
