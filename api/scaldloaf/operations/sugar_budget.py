"""sugar-budget: what the yeast eats from mixing to the oven, and what sweetness stays in the loaf."""

from collections.abc import Iterator
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import Formula, flour_mass_g
from scaldloaf.dough.per_flour import HOLD_DOUGH
from scaldloaf.dough.sucrose import sucrose_percent_of, with_sucrose
from scaldloaf.dough.sugar import SugarBudget, sugar_budget
from scaldloaf.dough.sugar_solve import (
    Fermentation,
    least_sucrose_that_feeds,
    sucrose_for_sweetness,
    sugars_of,
)
from scaldloaf.dough.sugar_stages import Stage
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.lantern_quay import MORE_SCALDED, TIN_LOAF
from scaldloaf.operations.located import located
from scaldloaf.operations.notes import AnyNote
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import sugar_budget as schema
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.formulas import ask_formula, in_percent, read_formula, write_formula
from scaldloaf.operations.wire.requests import ask_units, without_defaults
from scaldloaf.operations.working.formula import formula_notes
from scaldloaf.operations.working.sugar_budget import budget_notes, show_budget
from scaldloaf.operations.working.sugar_solution import show_solution, solution_notes
from scaldloaf.reference import coefficient

_COEFFICIENTS = (
    "yeast_instant_per_compressed",
    "hexose_per_sucrose",
    "flour_glucose_percent",
    "flour_sucrose_glucofructan_percent",
    "yeast_uptake_g_per_g_h",
    "yeast_rate_at_low",
    "yeast_rate_per_degc",
    "gassing_above_growth_degc",
    "osmotic_ordinary_half_atm",
    "sugar_note_percent",
    "sugar_tolerant_advised_percent",
    "glucose_uptake_share",
    "maltose_switch_percent",
    "amylase_maltose_percent",
    "amylase_rate_q10",
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


class Solve(NamedTuple):
    """The sucrose to find: the least that feeds the yeast; for a sweetness; or as sweet as another formula.

    by_percent: that formula came in percent only.
    """

    sweetness_percent: float | None = None
    like: Formula | None = None
    by_percent: bool = False


class Asked(NamedTuple):
    """A formula (by_percent: it came in percent only), its stages, its yeast and flour, and its bake loss.

    solve: the sucrose to find; None: the formula's is meant.
    """

    formula: Formula
    by_percent: bool
    stages: tuple[Stage, ...]
    yeast_tolerance: str
    damaged_starch_percent: float
    bake_loss_percent: float
    solve: Solve | None = None

    @property
    def through(self) -> Fermentation:
        """What the dough goes through."""
        return Fermentation(
            self.stages, self.yeast_tolerance, self.damaged_starch_percent, self.bake_loss_percent
        )


class Found(NamedTuple):
    """formula: the one asked about, or with the sucrose that was to be found; sucrose_percent: that."""

    asked: Asked
    formula: Formula
    budget: SugarBudget
    sucrose_percent: Estimate | None = None


def read(request: Wire, context: Context) -> Asked:
    request = schema.SugarBudgetRequest.filled(request)
    return Asked(
        formula=read_formula(request["formula"], context),
        by_percent=in_percent(request["formula"]),
        stages=read_stages(request["stages"], context),
        yeast_tolerance=request["yeast_tolerance"],
        damaged_starch_percent=request["damaged_starch_percent"],
        bake_loss_percent=request["bake_loss_percent"],
        solve=_read_solve(request["solve"], context) if "solve" in request else None,
    )


def _read_solve(wire: Wire, context: Context) -> Solve:
    if "formula" not in wire:
        return Solve(wire.get("sweetness_percent"))
    return Solve(
        like=read_formula(wire["formula"], context, "solve.formula"), by_percent=in_percent(wire["formula"])
    )


def read_stages(wire: list[Wire], context: Context) -> tuple[Stage, ...]:
    from_wire = context.units.from_wire
    return tuple(
        Stage(stage["name"], stage["minutes"], from_wire(stage["temperature"], "temperature"))
        for stage in map(schema.Stage.filled, wire)
    )


def ask(asked: Asked, context: Context) -> Wire:
    """The request that ``read`` reads as ``asked``."""
    return ask_units(context) | without_defaults(
        schema.SugarBudgetRequest,
        formula=ask_formula(asked.formula, context, asked.by_percent),
        stages=[_ask_stage(stage, context) for stage in asked.stages],
        yeast_tolerance=asked.yeast_tolerance,
        damaged_starch_percent=asked.damaged_starch_percent,
        bake_loss_percent=asked.bake_loss_percent,
        solve=asked.solve and _ask_solve(asked.solve, context),
    )


def _ask_solve(solve: Solve, context: Context) -> Wire:
    if solve.like is not None:
        return {"kind": "same_sweetness_as", "formula": ask_formula(solve.like, context, solve.by_percent)}
    if solve.sweetness_percent is not None:
        return {"kind": "sweetness", "sweetness_percent": solve.sweetness_percent}
    return {"kind": "least_that_feeds"}


def _ask_stage(stage: Stage, context: Context) -> Wire:
    temperature = context.units.to_wire(stage.temperature_c, "temperature")
    return without_defaults(schema.Stage, name=stage.name, minutes=stage.minutes, temperature=temperature)


def compute(asked: Asked) -> Found:
    budget = sugar_budget(asked.formula, *asked.through)
    if asked.solve is None:
        return Found(asked, asked.formula, budget)
    found = _solve(asked.formula, asked.through, asked.solve)
    formula = with_sucrose(asked.formula, budget.breakdown, found.best, HOLD_DOUGH)
    return Found(asked, formula, sugar_budget(formula, *asked.through), found)


def _solve(formula: Formula, through: Fermentation, solve: Solve) -> Estimate:
    """The sucrose asked for, percent of flour."""
    if solve.like is not None:
        with located("solve", formula="solve.formula"):
            sugar_budget(solve.like, *through)  # refuses what no dough is
            like = sugars_of(solve.like, through)
        with located(like="solve.formula"):
            return sucrose_for_sweetness(formula, through, None, like)
    if solve.sweetness_percent is not None:
        with located(sweetness_percent="solve.sweetness_percent"):
            return sucrose_for_sweetness(formula, through, solve.sweetness_percent)
    return least_sucrose_that_feeds(formula, through)


def write(found: Found, context: Context) -> Wire:
    formula, budget = found.formula, found.budget
    return context.reply(
        {**_write_solution(found, context), **_write_budget(budget, context)},
        lambda show: _show(show, found),
        basis=BASIS,
        cautions=[*cautions.of_formula(formula), *cautions.of_warm_dough(formula), *cautions.OF_FIGURES],
        notes=_notes(found, context),
    )


def _write_solution(found: Found, context: Context) -> Wire:
    if found.sucrose_percent is None:
        return {}
    return {
        "solution": {
            "sucrose_percent": context.estimate(found.sucrose_percent),
            "before_percent": sucrose_percent_of(found.asked.formula, flour_mass_g(found.asked.formula)),
            "formula": write_formula(found.formula, context, found.budget.breakdown),
        }
    }


def _notes(found: Found, context: Context) -> Iterator[AnyNote]:
    yield from formula_notes(found.asked.by_percent, found.budget.breakdown, found.formula)
    yield from solution_notes(found.sucrose_percent, found.asked.formula)
    yield from budget_notes(found.budget, found.asked.yeast_tolerance, Working(context.units))


def _show(show: Working, found: Found) -> None:
    asked = found.asked
    if found.sucrose_percent is not None:
        show_solution(show, found.formula)
    show_budget(
        show, found.budget, asked.damaged_starch_percent, asked.yeast_tolerance, asked.bake_loss_percent
    )


def _write_budget(budget: SugarBudget, context: Context) -> Wire:
    """The budget on the wire: the fields of its own in a reply."""
    estimate = context.estimate
    return {
        "assessment": budget.assessment,
        **({} if context.figures_only else {"timeline": _write_timeline(budget)}),
        "free_sugar_spent_hours": budget.free_sugar_spent_hours,
        "free_sugar_spent_range_hours": {
            "earliest": budget.free_sugar_spent_earliest_hours,
            "latest": budget.free_sugar_spent_latest_hours,
        },
        "free_sugar_lasts_hours": budget.free_sugar_lasts_hours and estimate(budget.free_sugar_lasts_hours),
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


def _write_timeline(budget: SugarBudget) -> list[Wire]:
    return [
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
    ]


SUGAR_BUDGET = Operation(
    name="sugar-budget",
    summary="Estimate sugar use and residual sweetness",
    description="Glucose, fructose and maltose through the stages from mixing to the oven: when the "
    "free sugar runs out, when the yeast switches to maltose, what is left in the loaf, "
    "how sweet it is, and the gas produced.",
    request=schema.SugarBudgetRequest,
    read=read,
    compute=compute,
    write=write,
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
            "least_that_feeds",
            "The least sugar that feeds the Lantern Quay tin loaf through a longer evening",
            {
                "formula": TIN_LOAF,
                "stages": [
                    {"name": "bulk", "minutes": 120, "temperature": 28},
                    {"name": "proof", "minutes": 90, "temperature": 32},
                ],
                "solve": {"kind": "least_that_feeds"},
            },
        ),
        Example(
            "as_sweet_as_before",
            "35 % scalded, and as sweet as the tin loaf at 20 %",
            {
                "formula": MORE_SCALDED,
                "stages": [
                    {"name": "bulk", "minutes": 90, "temperature": 28},
                    {"name": "proof", "minutes": 60, "temperature": 32},
                ],
                "solve": {"kind": "same_sweetness_as", "formula": TIN_LOAF},
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
