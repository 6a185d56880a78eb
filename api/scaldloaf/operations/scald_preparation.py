"""scald-preparation: how hot the scald gets, its water, its cooling, and the timetable."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple, cast

from scaldloaf.dough import preparation as dough
from scaldloaf.dough.formula import SCALD, Formula, Line
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.swelling import require_no_live_yeast
from scaldloaf.dough.timetable import Timed, timetable
from scaldloaf.operations import cautions
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.located import located
from scaldloaf.operations.notes import Note
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import scald_preparation as schema
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.formulas import (
    ask_formula,
    in_percent,
    read_formula,
    read_ingredient,
    write_allergens,
)
from scaldloaf.operations.wire.requests import ask_units, without_defaults
from scaldloaf.operations.wire.scald import Cooked, Poured, Treatment, ask_treatment, read_treatment
from scaldloaf.operations.wire.timetable import (
    AskedTimetable,
    ask_timetable,
    read_tasks,
    write_timetable,
)
from scaldloaf.operations.working.formula import formula_notes
from scaldloaf.operations.working.scald_preparation import (
    heating_notes,
    keeping_notes,
    show_cooling,
    show_poured,
    show_swollen,
    show_top_up,
)
from scaldloaf.operations.working.timetable import timetable_notes

PLACES: Mapping[str, str] = {"formula": "scald.formula"}


class Asked(NamedTuple):
    """A scald, as part of a formula, how it is made, and the work to be timed.

    by_percent: the formula came in percent only. by_masses: there was none, only flour and liquid.
    """

    formula: Formula
    by_percent: bool
    by_masses: bool
    treatment: Treatment
    timetable: AskedTimetable | None = None


class Found(NamedTuple):
    """What becomes of the scald. holding: how its wait compares with common practice."""

    asked: Asked
    scald: dough.Scald
    heated: dough.Heated
    topped: dough.TopUp | None
    steps: tuple[dough.CoolingStep, ...]
    holding: str | None
    timed: tuple[Timed, ...]


# ---- Reading -------------------------------------------------------------------------------------


def read(request: Wire, context: Context) -> Asked:
    scald = request["scald"]
    by_masses = scald["kind"] == "masses"
    if by_masses:
        formula, by_percent = _read_masses(scald, context), False
    else:
        formula = read_formula(scald["formula"], context, "scald.formula")
        by_percent = in_percent(scald["formula"])
    treatment, timed = read_treatment(request, context), None
    if "timetable" in request:
        wire = request["timetable"]
        timed = AskedTimetable(read_tasks(wire["stages"]), wire.get("ready_at"))
    return Asked(formula, by_percent, by_masses, treatment, timed)


def _read_masses(wire: Wire, context: Context) -> Formula:
    """The formula that holds a scald of flour and liquid and nothing else."""
    lines, usual = [], schema.ScaldPreparationScaldMasses.default_values
    wire = schema.ScaldPreparationScaldMasses.filled(wire)
    for field, wanted in (("flour", "is_flour"), ("liquid", "is_liquid")):
        name = wire[field]
        with located(**{"scald.ingredient": f"scald.{field}"}):
            ingredient = read_ingredient(name, None, "scald")
        if not getattr(ingredient, wanted):
            raise Refusal(
                f"scald.{field}",
                f"not_a_{field}",
                f"{{ingredient}} is no {field} to make a scald of",
                given=name,
                nearest=usual[field],
                amounts={"ingredient": ingredient.label},
            )
        lines.append(Line(ingredient, context.units.from_wire(wire[f"{field}_mass"], "mass"), SCALD))
    return Formula(tuple(lines))


def ask(asked: Asked, context: Context) -> Wire:
    """The request that ``read`` reads as ``asked``."""
    scald: Wire = {"kind": "formula"}
    if asked.by_masses:
        flour, liquid = asked.formula.lines
        scald = {"kind": "masses"} | without_defaults(
            schema.ScaldPreparationScaldMasses,
            flour=flour.ingredient.name,
            flour_mass=context.units.to_wire(flour.mass_g, "mass"),
            liquid=liquid.ingredient.name,
            liquid_mass=context.units.to_wire(liquid.mass_g, "mass"),
        )
    else:
        scald["formula"] = ask_formula(asked.formula, context, asked.by_percent)
    return ask_units(context) | without_defaults(
        schema.ScaldPreparationRequest,
        scald=scald,
        **ask_treatment(asked.treatment, context),
        timetable=asked.timetable and ask_timetable(asked.timetable),
    )


# ---- Computing -----------------------------------------------------------------------------------


def compute(asked: Asked) -> Found:
    treatment, topped = asked.treatment, None
    scald, heated = _heat(asked.formula, treatment)
    require_no_live_yeast(asked.formula, treatment.hottest_c)
    if (weighed := treatment.weighed) is not None:
        with located(gross="weighed.mass"):
            topped = dough.top_up(scald, weighed.gross_g, weighed.container_g)
    readings = surroundings = None
    if treatment.cooling is not None:
        surroundings, readings = treatment.cooling
    with located("cooling", surroundings="cooling.surroundings_temperature"):
        steps = dough.cooling_steps(readings, surroundings)
    holding = treatment.holding and dough.holding_assessment(*treatment.holding)
    return Found(asked, scald, heated, topped, steps, holding, time_work(asked.timetable))


def _heat(formula: Formula, treatment: Treatment) -> tuple[dough.Scald, dough.Heated]:
    method = treatment.method
    if isinstance(method, Cooked):
        return dough.scald_of(formula, method.core_c), dough.cooked_to(method.core_c)
    scald = dough.scald_of(formula, method.flour_c)
    return scald, dough.pour_over(scald, method.liquid_c, method.room_c, treatment.stirred)


def time_work(asked: AskedTimetable | None) -> tuple[Timed, ...]:
    """The work with its times; nothing without a timetable."""
    if asked is None:
        return ()
    with located("timetable", tasks="timetable.stages"):
        return timetable(asked.tasks, asked.ready_at)


# ---- Writing -------------------------------------------------------------------------------------


def write(found: Found, context: Context) -> Wire:
    formula, scald, heated = found.asked.formula, found.scald, found.heated
    out = context.units.to_wire
    return context.reply(
        {
            "scald": {
                "flour": out(scald.flour_g, "mass"),
                "liquid": out(scald.liquid_g, "mass"),
                "mass": out(scald.put_in_g, "mass"),
                "liquid_ratio": scald.liquid_ratio,
                "moisture_percent": 100 * scald.water_g / scald.put_in_g,
            },
            "core_temperature": context.estimate(heated.core, "temperature"),
            "ideal_temperature": context.to_wire(heated.ideal_c, "temperature"),
            "swollen_percent": context.estimate(heated.swollen),
            "mixed_temperature": heated.mixed and context.estimate(heated.mixed, "temperature"),
            "gelatinisation": {
                "assessment": heated.assessment,
                "at_low": heated.at_low,
                "at_high": heated.at_high,
                "liquid_temperature_needed": context.to_wire(heated.liquid_c_needed, "temperature"),
                "liquid_ratio_needed": heated.ratio_needed,
            },
            "top_up": found.topped and _write_top_up(found.topped, context),
            "cooling": [_write_step(step, context) for step in found.steps],
            "holding": _write_holding(found, context),
            "allergens": write_allergens(line for line in formula.lines if line.part == SCALD),
            "timetable": write_timetable(found.timed),
        },
        lambda show: _show(show, found),
        basis=("belitz", *_of_heat(heated), "mass_balance", "fda_food_code_3_501_14", "assumption"),
        cautions=(*cautions.OF_SCALD, *cautions.of_formula(formula)),
        notes=_notes(found),
    )


def _of_heat(heated: dough.Heated) -> tuple[str, ...]:
    """The sources of how far the starch swells, and of what a mixer cools the scald to."""
    return ("mill_amylogram", *(() if heated.mixed is None else dough.SCALD_LOSS_MIXER_DEGC.sources))


def _write_top_up(topped: dough.TopUp, context: Context) -> Wire:
    out = context.units.to_wire
    return {
        "target_mass": out(topped.target_g, "mass"),
        "measured_mass": out(topped.measured_g, "mass"),
        "evaporated": out(topped.evaporated_g, "mass"),
        "water_to_add": out(topped.water_to_add_g, "mass"),
        "still_to_evaporate": out(topped.still_to_evaporate_g, "mass"),
    }


def _write_step(step: dough.CoolingStep, context: Context) -> Wire:
    return {
        "from_temperature": context.units.to_wire(step.from_c, "temperature"),
        "to_temperature": context.units.to_wire(step.to_c, "temperature"),
        "allowed_hours": step.allowed_hours,
        "assessment": step.assessment,
        **({} if step.hours is None else {"hours": context.estimate(step.hours)}),
    }


def _write_holding(found: Found, context: Context) -> Wire | None:
    holding = found.asked.treatment.holding
    if holding is None:
        return None
    return {
        "hours": holding.hours,
        "temperature": context.units.to_wire(holding.temperature_c, "temperature"),
        "usual_hours": dough.SCALD_HOLDING_HOURS,
        "advised_temperature": context.units.to_wire(dough.COOLING_TOTAL_TO_DEGC, "temperature"),
        "assessment": found.holding,
    }


def _notes(found: Found) -> Iterator[Note]:
    yield from heating_notes(found.asked.treatment, found.heated, found.topped)
    yield from keeping_notes(found.heated, found.steps, found.holding)
    yield from timetable_notes(found.asked.timetable)
    yield from formula_notes(found.asked.by_percent, formula=found.asked.formula)


def _show(show: Working, found: Found) -> None:
    treatment, heated = found.asked.treatment, found.heated
    if isinstance(treatment.method, Poured):
        show_poured(show, found.scald, heated, treatment.method)
    else:
        show.step("In the pan", "as measured", heated.core.best, "temperature")
    show_swollen(show, heated)
    if treatment.weighed:
        show_top_up(show, treatment.weighed, cast("dough.TopUp", found.topped))
    if treatment.cooling:
        surroundings, readings = treatment.cooling
        show_cooling(show, *readings, surroundings, found.steps)
    if found.timed:
        minutes = " + ".join(show.format(each.minutes) for each in found.timed)
        show.step("Total time", minutes, found.timed[0].starts_minutes_before, unit="min")


SCALD_PREPARATION = Operation(
    name="scald-preparation",
    summary="Plan a scald: heat, top-up, cooling, timetable",
    description="How hot the middle of a scald gets and whether its starch gelatinises; the water to "
    "add after cooking; how fast it must cool to be kept; and a timetable counted back "
    "from when the bread must be out.",
    request=schema.ScaldPreparationRequest,
    read=read,
    compute=compute,
    write=write,
    places=lambda asked, context: PLACES,
    examples=(
        Example(
            "boiling_water",
            "The Lantern Quay scald with boiling water, and the work timed to seven o'clock",
            {
                "scald": {"kind": "formula", "formula": TIN_LOAF},
                "method": {"kind": "pour_over", "flour_temperature": 21, "liquid_temperature": 99},
                "holding": {"hours": 12, "temperature": 4},
                "timetable": {
                    "ready_at": "2026-12-01T07:00+01:00",
                    "stages": [
                        {"name": "make scald", "minutes": 15},
                        {"name": "cool scald", "minutes": 720},
                        {"name": "mix", "minutes": 15},
                        {"name": "bulk", "minutes": 60},
                        {"name": "divide", "minutes": 20},
                        {"name": "proof", "minutes": 60},
                        {"name": "bake", "minutes": 38},
                        {"name": "cool", "minutes": 90},
                    ],
                },
            },
        ),
        Example(
            "in_a_mixer",
            "The same scald in a mixer, which cools it while it runs",
            {
                "scald": {"kind": "masses", "flour_mass": 1000, "liquid_mass": 1000},
                "method": {"kind": "pour_over", "flour_temperature": 20, "liquid_temperature": 98},
                "stirred": "mixer",
            },
        ),
        Example(
            "cooked_roux",
            "A thin roux cooked in a pan, weighed with the pan, and its cooling",
            {
                "scald": {"kind": "masses", "flour_mass": 60, "liquid_mass": 300, "liquid": "whole_milk"},
                "method": {"kind": "cooked", "core_temperature": 70, "minutes": 2},
                "weighed": {"mass": 1135, "container_mass": 800},
                "cooling": {
                    "surroundings_temperature": 18,
                    "readings": [{"minutes": 0, "temperature": 65}, {"minutes": 30, "temperature": 41}],
                },
            },
        ),
        Example(
            "too_cool",
            "Water not hot enough, in °F: what would do",
            {
                "units": {"temperature": "degF", "mass": "oz"},
                "scald": {"kind": "masses", "flour_mass": 8, "liquid_mass": 8},
                "method": {"kind": "pour_over", "flour_temperature": 68, "liquid_temperature": 180},
            },
        ),
    ),
)
