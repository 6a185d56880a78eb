"""sugar-budget: what the yeast eats from mixing to the oven, and what sweetness stays in the loaf."""

from itertools import pairwise

from scaldloaf.dough import limits, sugar, sugar_course, yeast
from scaldloaf.dough.formula import YEAST_INSTANT_PER_COMPRESSED, Formula
from scaldloaf.dough.sugar import SugarBudget, sugar_budget
from scaldloaf.dough.sugar_stages import Stage
from scaldloaf.operations.context import Context
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import sugar_budget as schema
from scaldloaf.operations.wire.formulas import formula_cautions, formula_notes, read_formula
from scaldloaf.operations.working.steps import Working, format_number, straight_between
from scaldloaf.reference import coefficient

PERISHABLE = {"milk", "egg"}

_COEFFICIENTS = (
    "yeast_instant_per_compressed",
    "hexose_per_sucrose",
    "flour_glucose_percent",
    "flour_sucrose_glucofructan_percent",
    "yeast_uptake_g_per_g_h",
    "yeast_rate_per_degc",
    "osmotic_ordinary_half_atm",
    "sugar_note_percent",
    "sugar_tolerant_advised_percent",
    "glucose_uptake_share",
    "maltose_switch_percent",
    "amylase_maltose_percent",
    "scald_maltose_per_flour_percent",
    "sweetness_fructose",
    "sweetness_lactose",
    "co2_per_hexose_g",
)
BASIS = tuple(
    dict.fromkeys(
        (
            "mass_balance",
            "dough_osmotic_pressures",
            *(source for name in _COEFFICIENTS for source in coefficient(name).sources),
        )
    )
)


def read_stages(wire: list[dict], context: Context) -> list[Stage]:
    from_wire = context.units.from_wire
    return [
        Stage(stage["name"], stage["minutes"], from_wire(stage["temperature"], "temperature"))
        for stage in map(schema.Stage.filled, wire)
    ]


def read_budget(request: dict, formula: Formula, context: Context) -> SugarBudget:
    """The budget of a formula by the stages and options of a filled request."""
    return sugar_budget(
        formula,
        read_stages(request["stages"], context),
        request["yeast_tolerance"],
        request["damaged_starch_percent"],
        request["bake_loss_percent"],
    )


def write_budget(budget: SugarBudget, context: Context) -> dict:
    """The budget on the wire: the fields of its own in a reply."""
    estimate = context.estimate
    return {
        "assessment": budget.assessment,
        "timeline": [
            {
                "hours": sample.hours,
                "glucose_percent": sample.glucose_percent,
                "fructose_percent": sample.fructose_percent,
                "maltose_percent": sample.maltose_percent,
                "used_percent": sample.used_percent,
                "unmet_percent": sample.unmet_percent,
                "event": sample.event,
            }
            for sample in budget.timeline
        ],
        "free_sugar_spent_hours": budget.free_sugar_spent_hours,
        "free_sugar_spent_range_hours": {
            "earliest": budget.free_sugar_spent_earliest_hours,
            "latest": budget.free_sugar_spent_latest_hours,
        },
        "maltose_drawn_hours": budget.maltose_drawn_hours,
        "used_percent": estimate(budget.used_percent),
        "unmet_percent": budget.unmet_percent,
        "residual": {
            name: {
                "percent_of_flour": estimate(left.percent_of_flour),
                "percent_of_bread": estimate(left.percent_of_bread),
            }
            for name, left in budget.residual.items()
        },
        "sweetness_percent": estimate(budget.sweetness_percent),
        "gas_volume": estimate(budget.gas_cm3, "volume"),
        "gas_per_100_g_flour": estimate(budget.gas_cm3_per_100_g_flour),
        "bread_mass": context.units.to_wire(budget.bread_mass_g, "mass"),
        "compressed_yeast_percent": budget.compressed_yeast_percent,
        "osmotic_pressure_atm": budget.osmotic_pressure_atm,
        "yeast_rate": budget.brake,
        "sugar_tolerant_yeast_advised": budget.sugar_tolerant_advised,
    }


def budget_cautions(formula: Formula) -> list[str]:
    """Dough that stands in the warm, and figures that are no label."""
    perishable = any(PERISHABLE & set(line.ingredient.allergens) for line in formula.lines)
    return [*(["perishable_dough"] if perishable else []), "no_nutrition_claim"]


def budget_notes(budget: SugarBudget, yeast_tolerance: str, context: Context) -> list[tuple[str, str]]:
    """What a reader of the budget should know: where it extrapolates, where the yeast runs short."""
    shown = Working(context.units).format

    def degrees(value: float) -> str:
        return shown(value, "temperature")

    notes = [
        (
            "band",
            "Bands: the least and the most of runs with the uptake a quarter lower and higher, "
            "each with half and twice the maltose made.",
        )
    ]
    if budget.assessment == sugar.NO_YEAST:
        return [
            (
                "no_yeast",
                "No yeast in the formula: nothing is used, and sucrose stays sucrose. Maltose "
                "forms all the same.",
            ),
            *notes,
        ]
    outside = [fed.stage for fed in budget.stages if fed.stage.outside_rate_range]
    if outside:
        text = (
            f"The rate of yeast is known for dough of {degrees(yeast.YEAST_RATE_LOW_DEGC)} to "
            f"{degrees(yeast.YEAST_RATE_HIGH_DEGC)} and drawn on beyond, here at "
            f"{', '.join(dict.fromkeys(degrees(stage.temperature_c) for stage in outside))}."
        )
        if any(stage.temperature_c > yeast.YEAST_RATE_HIGH_DEGC for stage in outside):
            text += " In very warm dough real yeast slows again."
        if any(stage.temperature_c < yeast.YEAST_RATE_LOW_DEGC for stage in outside):
            text += " In the cold the flour's enzymes slow too, which is left out here: expect less maltose."
        notes.append(("temperature_extrapolated", text))
    if budget.osmotic_pressure_atm > yeast.HIGHEST_KNOWN_ATM:
        notes.append(
            (
                "pressure_extrapolated",
                f"{format_number(budget.osmotic_pressure_atm)} atm is above the "
                f"{format_number(yeast.HIGHEST_KNOWN_ATM)} atm to which published pressures go; the slowing is "
                "drawn on.",
            )
        )
    if budget.breakdown.scalded_share_percent > limits.SCALD_SHARE_LIMIT_PERCENT:
        notes.append(
            (
                "share_extrapolated",
                f"The scald's maltose was set at {format_number(limits.SCALD_SHARE_LIMIT_PERCENT)} % scalded flour; "
                "above that little raw flour is left to make it.",
            )
        )
    notes += _sugar_notes(budget, yeast_tolerance)
    return notes


def _sugar_notes(budget: SugarBudget, yeast_tolerance: str) -> list[tuple[str, str]]:
    notes, sugars = [], format_number(budget.breakdown.sugar_percent)
    if budget.sugar_tolerant_advised:
        notes.append(
            (
                "sugar_tolerant_advised",
                f"{sugars} % sugar slows ordinary yeast: above "
                f"{format_number(sugar.SUGAR_TOLERANT_ADVISED_PERCENT)} to "
                f"{format_number(coefficient('sugar_tolerant_advised_percent').high)} % a sugar-tolerant yeast "
                "works better.",
            )
        )
    elif yeast_tolerance == yeast.ORDINARY and budget.breakdown.sugar_percent >= sugar.SUGAR_NOTE_PERCENT:
        notes.append(
            (
                "sugar_slows_yeast",
                f"From about {format_number(sugar.SUGAR_NOTE_PERCENT)} % sugar ordinary yeast begins to slow; "
                f"here there is {sugars} %.",
            )
        )
    if budget.assessment == sugar.STARVED:
        notes.append(
            (
                "yeast_starved",
                "The yeast is short of sugar before the oven, and the rise will lag. More sugar, less "
                "yeast, or a shorter or cooler proof would keep it fed.",
            )
        )
    elif budget.unmet_percent > 0:
        notes.append(
            (
                "hungry_spell",
                f"The yeast goes short for a while ({budget.unmet_percent:.2g} % of flour unmet) and "
                "then lives on maltose: expect a lull in the rise.",
            )
        )
    return notes


def show_budget(
    show: Working,
    budget: SugarBudget,
    damaged_starch_percent: float,
    yeast_tolerance: str,
    bake_loss_percent: float,
) -> None:
    """The steps, to be redone by hand."""
    shown, seen = show.format, budget.breakdown
    hexose, flour = "% of flour, as hexose", "% of flour"
    if budget.compressed_yeast_percent > 0:
        _show_yeast(show, budget, yeast_tolerance)
        sucrose = (
            f"({shown(seen.sucrose_percent)} + {shown(sugar.FLOUR['sucrose_glucofructan'])} of the flour)"
        )
        split = f" + {sucrose} × {shown(yeast.HEXOSE_PER_SUCROSE)} ÷ 2"
    else:
        split = ""
    for name, own, start in (
        ("glucose", seen.glucose_percent, budget.start.glucose),
        ("fructose", seen.fructose_percent, budget.start.fructose),
    ):
        show.step(
            f"{name.capitalize()} at the start",
            f"{shown(own)} + {shown(sugar.FLOUR[name])} of the flour{split}",
            start,
            unit=flour,
        )
    show.step(
        "Maltose at the start",
        f"({shown(seen.maltose_percent)} + {shown(sugar.FLOUR['maltose'])} of the flour) × "
        f"{shown(sugar_course.HEXOSE_PER_MALTOSE)}",
        budget.start.maltose,
        unit=hexose,
    )
    hours = shown(budget.hours)
    made = (
        f"{shown(sugar_course.AMYLASE_MALTOSE_PERCENT)} × {shown(damaged_starch_percent)} ÷ "
        f"{shown(sugar_course.DAMAGED_STARCH_REFERENCE_PERCENT)} × (1 − e^(−{shown(sugar_course.AMYLASE_RATE_PER_HOUR)} × {hours}))"
    )
    if seen.scalded_share_percent:
        made += (
            f" + {shown(sugar_course.SCALD_MALTOSE_PER_FLOUR_PERCENT)} × {shown(seen.scalded_share_percent)} ÷ 100"
            f" × (1 − e^(−{shown(sugar_course.SCALD_AMYLASE_RATE_PER_HOUR)} × {hours}))"
        )
    made_hexose = budget.enzymes.made(budget.hours)
    show.step(
        "Maltose the enzymes make",
        f"({made}) × {shown(sugar_course.HEXOSE_PER_MALTOSE)}",
        made_hexose,
        unit=hexose,
    )
    if budget.compressed_yeast_percent > 0:
        _show_stages(show, budget)
    used = budget.used_percent.best
    show.step("Sugar used", " + ".join(shown(fed.used_percent) for fed in budget.stages), used, unit=hexose)
    left = budget.start.total + made_hexose - used
    show.step(
        "Sugar left", f"{shown(budget.start.total)} + {shown(made_hexose)} − {shown(used)}", left, unit=hexose
    )
    show.step(
        "Baked mass",
        f"{shown(seen.dough_mass_g, 'mass')} × (1 − {shown(bake_loss_percent)} ÷ 100)",
        budget.bread_mass_g,
        "mass",
    )
    to_bread = f"× {shown(seen.flour_g, 'mass')} ÷ {shown(budget.bread_mass_g, 'mass')}"
    residual = {name: part.percent_of_flour.best for name, part in budget.residual.items()}
    parts = " + ".join(f"{name} {shown(part)}" for name, part in residual.items() if name != "total")
    show.step(
        "Sugars in the bread",
        f"({parts}) {to_bread}",
        budget.residual["total"].percent_of_bread.best,
        unit="% of bread",
    )
    weighed = " + ".join(
        f"{shown(residual[name])} × {shown(row.value)}" for name, row in sugar.SWEETNESS.items()
    )
    show.step(
        "Sweetness of the bread, as sucrose",
        f"({weighed}) {to_bread}",
        budget.sweetness_percent.best,
        unit="% of bread",
    )
    gas, per_hexose = budget.gas_cm3.best, shown(sugar.CO2_VOLUME_30C_ML_PER_G_HEXOSE)
    show.step(
        f"Gas at {shown(sugar.GAS_DEGC, 'temperature')}",
        show.ending(
            f"{shown(used)} ÷ 100 × {show.metric(seen.flour_g, 'mass')} × {per_hexose} cm³ per g",
            gas,
            "volume",
        ),
        gas,
        "volume",
    )


def _show_yeast(show: Working, budget: SugarBudget, yeast_tolerance: str) -> None:
    shown, seen = show.format, budget.breakdown
    show.step(
        "Yeast as compressed yeast",
        f"{shown(seen.instant_yeast_percent)} as instant ÷ {shown(YEAST_INSTANT_PER_COMPRESSED)}",
        budget.compressed_yeast_percent,
        unit="% of flour",
    )
    hexose = (
        f"({shown(seen.glucose_percent)} + {shown(seen.fructose_percent)} + {shown(seen.sucrose_percent)} × "
        f"{shown(yeast.HEXOSE_PER_SUCROSE)}) ÷ {shown(yeast.MOLAR_MASS_HEXOSE_G)}"
    )
    double = (
        f"({shown(seen.maltose_percent)} + {shown(seen.lactose_percent)}) ÷ "
        f"{shown(yeast.MOLAR_MASS_DISACCHARIDE_G)}"
    )
    salt = f"{shown(yeast.SALT_PARTICLES)} × {shown(seen.salt_percent)} ÷ {shown(yeast.MOLAR_MASS_SALT_G)}"
    show.step(
        "Osmotic pressure of the dough's water",
        f"({hexose} + {double} + {salt}) × {shown(yeast.GAS_CONSTANT_L_ATM_PER_MOL_K)} × {shown(yeast.PRESSURE_K)} "
        f"× 1000 ÷ {shown(seen.hydration_percent)}",
        budget.osmotic_pressure_atm,
        unit="atm",
    )
    kind = "sugar-tolerant" if yeast_tolerance == yeast.SUGAR_TOLERANT else "ordinary"
    show.step(
        f"Rate of {kind} yeast at that pressure",
        _slowed(budget.osmotic_pressure_atm, yeast_tolerance),
        budget.brake,
    )


def _slowed(pressure_atm: float, yeast_tolerance: str) -> str:
    """The rate of yeast under a pressure, as an expression: straight between the points of its kind."""
    points, floor = yeast.BRAKES[yeast_tolerance]
    first = points[0][0]
    if pressure_atm <= first:
        return f"1, as {format_number(pressure_atm)} atm is not above {format_number(first)} atm"
    for start, end in pairwise(points):
        if pressure_atm <= end[0]:
            return straight_between(pressure_atm, start, end)
    return f"the larger of {format_number(floor)} and {straight_between(pressure_atm, *points[-2:])}"


def _show_stages(show: Working, budget: SugarBudget) -> None:
    shown, hexose = show.format, "% of flour, as hexose"
    for number, fed in enumerate(budget.stages, 1):
        name = fed.stage.name or f"stage {number}"
        celsius = f"{shown(fed.stage.temperature_c)} − {shown(yeast.YEAST_UPTAKE_REFERENCE_DEGC)} in °C"
        show.step(
            f"{name}: wanted in an hour at {shown(fed.stage.temperature_c, 'temperature')}",
            f"{shown(yeast.YEAST_UPTAKE_G_PER_G_H)} × {shown(budget.compressed_yeast_percent)} × "
            f"{shown(budget.brake)} × {shown(yeast.YEAST_RATE_PER_DEGC)}^({celsius})",
            fed.demand_per_hour,
            unit=hexose,
        )
        unmet = f" − {shown(fed.unmet_percent)} not there" if fed.unmet_percent else ""
        show.step(
            f"{name}: used",
            f"{shown(fed.demand_per_hour)} × {shown(fed.stage.minutes)} min ÷ 60{unmet}",
            fed.used_percent,
            unit=hexose,
        )


def run(request: dict, context: Context) -> dict:
    request = schema.SugarBudgetRequest.filled(request)
    formula = read_formula(request["formula"], context)
    budget = read_budget(request, formula, context)
    tolerance = request["yeast_tolerance"]

    def working(show: Working) -> None:
        show_budget(show, budget, request["damaged_starch_percent"], tolerance, request["bake_loss_percent"])

    return context.reply(
        write_budget(budget, context),
        working,
        basis=BASIS,
        cautions=[*formula_cautions(formula), *budget_cautions(formula)],
        notes=[
            *formula_notes(request["formula"], budget.breakdown),
            *budget_notes(budget, tolerance, context),
        ],
    )


SUGAR_BUDGET = Operation(
    name="sugar-budget",
    summary="The yeast's sugar, and the sweetness that stays",
    description="Glucose, fructose and maltose through the stages from mixing to the oven: when the free "
    "sugar runs out, when the yeast turns to maltose, what stays in the loaf, how sweet it is, "
    "and the gas made.",
    request=schema.SugarBudgetRequest,
    run=run,
    examples=(
        Example(
            "tin_loaf",
            "The Lantern Quay tin loaf, three hours from mixing to the oven",
            {
                "formula": TIN_LOAF,
                "stages": [
                    {"name": "bulk", "minutes": 75, "temperature": 28},
                    {"name": "bench", "minutes": 25, "temperature": 27},
                    {"name": "proof", "minutes": 70, "temperature": 32},
                ],
            },
        ),
        Example(
            "lean_overnight",
            "A lean dough held cold overnight, in degrees Fahrenheit",
            {
                "units": {"temperature": "degF"},
                "formula": {
                    "lines": [
                        {"ingredient": "bread_flour", "percent": 100},
                        {"ingredient": "water", "percent": 65},
                        {"ingredient": "salt", "percent": 2},
                        {"ingredient": "instant_yeast", "percent": 0.8},
                    ]
                },
                "stages": [
                    {"name": "bulk", "minutes": 45, "temperature": 77},
                    {"name": "cold", "minutes": 720, "temperature": 39},
                    {"name": "proof", "minutes": 100, "temperature": 86},
                ],
                "damaged_starch_percent": 7,
                "bake_loss_percent": 13,
            },
        ),
        Example(
            "sweet_dough",
            "A sweet dough with sugar-tolerant yeast",
            {
                "formula": {
                    "lines": [
                        {"ingredient": "bread_flour", "mass": 1000},
                        {"ingredient": "whole_milk", "mass": 350},
                        {"ingredient": "whole_egg", "mass": 150},
                        {"ingredient": "water", "mass": 120},
                        {"ingredient": "sucrose", "mass": 180},
                        {"ingredient": "honey", "mass": 40},
                        {"ingredient": "butter", "mass": 120},
                        {"ingredient": "salt", "mass": 15},
                        {"ingredient": "compressed_yeast", "mass": 50},
                    ]
                },
                "stages": [
                    {"name": "bulk", "minutes": 90, "temperature": 27},
                    {"name": "proof", "minutes": 80, "temperature": 30},
                ],
                "yeast_tolerance": "sugar_tolerant",
                "bake_loss_percent": 11,
            },
        ),
    ),
)
