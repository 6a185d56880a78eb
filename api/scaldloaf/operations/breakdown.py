"""breakdown: a formula seen whole."""

from scaldloaf.dough.flour import gluten_water_percent
from scaldloaf.dough.formula import Formula, break_down
from scaldloaf.operations.context import Context
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas.breakdown import BreakdownRequest
from scaldloaf.operations.wire.formulas import (
    formula_cautions,
    formula_notes,
    read_formula,
    write_allergens,
    write_formula,
)
from scaldloaf.operations.working.steps import Working

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


def percentages_of(seen) -> dict:
    """The breakdown's percentages on the wire, as in every ``before`` and ``after``."""
    return {field: getattr(seen, field) for field in PERCENTAGES}


def _gluten_notes(formula: Formula, flour_g: float) -> list[tuple[str, str]]:
    gluten = (
        sum(100 * line.mass_g for line in formula.lines if line.ingredient.name == "vital_gluten") / flour_g
    )
    if not gluten:
        return []
    water = gluten_water_percent(gluten)
    return [
        (
            "gluten_takes_water",
            f"{gluten:.3g} % vital gluten takes about {water.best:.3g} % of the flour as water ({water.low:.3g} to "
            f"{water.high:.3g}) beyond what the dough would take without it.",
        )
    ]


def run(request: dict, context: Context) -> dict:
    formula = read_formula(request["formula"], context)
    seen = break_down(formula)
    out = context.units.to_wire

    def working(show: Working) -> None:
        shown = show.format
        flours = [line.mass_g for line in formula.lines if line.ingredient.is_flour]
        show.step("Total flour", " + ".join(shown(mass, "mass") for mass in flours), seen.flour_g, "mass")
        if seen.scald_flour_g:
            show.step(
                "Scalded share",
                f"100 × {shown(seen.scald_flour_g, 'mass')} ÷ {shown(seen.flour_g, 'mass')}",
                seen.scalded_share_percent,
                unit="% of flour",
            )
        wet = [
            line
            for line in formula.lines
            if not line.ingredient.is_flour and line.ingredient.water_percent and line.mass_g
        ]
        expression = " + ".join(
            f"{line.ingredient.label} {shown(line.mass_g, 'mass')} × {shown(line.ingredient.water_percent)} %"
            for line in wet
        ) or shown(0.0, "mass")
        if formula.scald_evaporation_g:
            expression += f" − {shown(formula.scald_evaporation_g, 'mass')} evaporated"
        show.step("Water in the lines that are not flour", expression, seen.water_g, "mass")
        show.step(
            "Hydration",
            f"100 × {shown(seen.water_g, 'mass')} ÷ {shown(seen.flour_g, 'mass')}",
            seen.hydration_percent,
            unit="% of flour",
        )
        show.step(
            "Liquid, quick count",
            f"100 × {shown(seen.liquid_g, 'mass')} of water and milk ÷ {shown(seen.flour_g, 'mass')}",
            seen.liquid_percent,
            unit="% of flour",
        )
        show.step("Dough yield", f"100 + {shown(seen.liquid_percent)}", seen.dough_yield)
        lost = (
            f" − {shown(formula.scald_evaporation_g, 'mass')} evaporated"
            if formula.scald_evaporation_g
            else ""
        )
        show.step("Dough mass", f"all lines{lost}", seen.dough_mass_g, "mass")

    return context.reply(
        {
            "formula": write_formula(formula, context, seen),
            "totals": {
                "flour": out(seen.flour_g, "mass"),
                "dough": out(seen.dough_mass_g, "mass"),
                "water": out(seen.water_g, "mass"),
                "scald": out(seen.scald_mass_g, "mass"),
            },
            **percentages_of(seen),
            "scald": {
                "flour": out(seen.scald_flour_g, "mass"),
                "liquid": out(seen.scald_liquid_g, "mass"),
                "liquid_ratio": seen.scald_liquid_ratio,
                "moisture_percent": seen.scald_moisture_percent,
            },
            "allergens": write_allergens(formula.lines),
        },
        working,
        basis=("mass_balance", "hamelman_2004"),
        cautions=formula_cautions(formula),
        notes=[*formula_notes(request["formula"], seen), *_gluten_notes(formula, seen.flour_g)],
    )


BREAKDOWN = Operation(
    name="breakdown",
    summary="A formula seen whole",
    description="Totals, baker's percentages, the scald by itself, both counts of hydration, allergens.",
    request=BreakdownRequest,
    run=run,
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
