"""loaf-plan: the whole chain in one call, made of the single calls and nothing else.

Each step is what a single call computes, from what was asked and what the steps before have found. The reply
embeds each call's own answer, and the request that gives it, so that any step can be redone by itself.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from math import ceil, floor
from types import ModuleType
from typing import Any

from scaldloaf.dough.bake_loss import Lidded
from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.formula import DOUGH, SCALD, Formula
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scaling import DOUGH_MASS, Losses, Target, share_left
from scaldloaf.dough.sugar import sugars_of_bread_percent
from scaldloaf.dough.sugar_stages import Stage
from scaldloaf.dough.swelling import require_no_live_yeast
from scaldloaf.dough.target_bread import Wanted
from scaldloaf.dough.timetable import Task, Timed
from scaldloaf.operations import (
    cautions,
    dough_temperature,
    hydration_correction,
    least_certain,
    pan_fill,
    scald_preparation,
    scaling,
    sugar_budget,
)
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.dough_rules import Balance
from scaldloaf.operations.lantern_quay import BY_CALIBRATION, FIRST_BAKE, THREE_TINS
from scaldloaf.operations.located import Place, located
from scaldloaf.operations.notes import AnyNote
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.planned import Asked, Feeding, Found, Tempering
from scaldloaf.operations.schemas.loaf_plan import LoafPlanLosses, LoafPlanRequest
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.bread import KnownBread, Prior, read_bread
from scaldloaf.operations.wire.dough_rules import read_balance
from scaldloaf.operations.wire.pans import read_pan
from scaldloaf.operations.wire.scald import Treatment, read_treatment
from scaldloaf.operations.wire.scaling import read_scale
from scaldloaf.operations.wire.timetable import AskedTimetable, read_tasks, write_timetable
from scaldloaf.operations.working.loaf_plan import (
    notes_on_bread,
    notes_on_left_out,
    show_dough,
    show_mixing,
    show_water,
)
from scaldloaf.operations.working.timetable import timetable_notes
from scaldloaf.reference import CAUTIONS

_SUGAR_IN_SHORT = ("free_sugar_spent_hours", "sweetness_percent", "assessment")


# ---- Reading -------------------------------------------------------------------------------------


def read(request: Wire, context: Context) -> Asked:
    filled = LoafPlanRequest.filled(request)
    losses = LoafPlanLosses.filled(request.get("losses", {}))
    bake_percent, cooling_percent = losses.get("bake_percent"), losses.get("cooling_loss_percent")
    cooled_percent = None if bake_percent is None else bake_percent + (cooling_percent or 0.0)
    correction = hydration_correction.read(request, context)._replace(bake_loss_percent=cooled_percent)
    known: KnownBread = Prior() if correction.calibration is None else correction.calibration
    if "bread" in request:
        known = read_bread(request["bread"], context)
    fill_percent = filled["fill_percent"]
    filling = pan_fill.Asked(
        pan=read_pan(request["pan"], context),
        bread=known,
        wanted=Wanted(
            bake_loss_percent=bake_percent,
            cooling_loss_percent=cooling_percent,
            pan=Lidded(filled.get("lid"), fill_percent),
        ),
        fill_percent=fill_percent,
        pans=filled["pans"],
        formula=None,
        most_mass_g=context.most_mass_g,
    )
    scale = read_scale(request.get("scale"), context)
    feeding = treatment = tempering = None
    if "stages" in request:
        stages = sugar_budget.read_stages(request["stages"], context)
        feeding = Feeding(stages, filled["yeast_tolerance"], filled["damaged_starch_percent"])
    if "scald" in request:
        with located("scald"):
            treatment = read_treatment(request["scald"], context)
    if "temperatures" in request:
        wire = request["temperatures"]
        with located("temperatures"):
            tempering = Tempering(read_balance(wire, context), dough_temperature.read_ice(wire, context))
    return Asked(
        correction=correction,
        filling=filling,
        bread_given="bread" in request,
        handling_percent=losses["handling_percent"],
        bake_percent=bake_percent,
        scale=scale,
        feeding=feeding,
        treatment=treatment,
        tempering=tempering,
        timetable=_read_timetable(request.get("timetable"), feeding.stages if feeding else ()),
    )


def _read_timetable(wire: Wire | None, stages: tuple[Stage, ...]) -> AskedTimetable | None:
    """The whole timetable: the work before, the stages, the work after; None without one."""
    if wire is None:
        return None
    between = (Task(stage.name or f"stage {number}", stage.minutes) for number, stage in enumerate(stages, 1))
    tasks = (*read_tasks(wire.get("before", ())), *between, *read_tasks(wire["after"]))
    return AskedTimetable(tasks, wire.get("ready_at"))


# ---- Computing -----------------------------------------------------------------------------------


def compute(asked: Asked) -> Found:
    corrected = _correct(asked)
    filled = _fill(asked, corrected)
    scaled = _scale(asked, filled)
    formula = scaled.scaling.formula
    fed = _feed(asked, formula, filled)
    prepared = _prepare(asked, formula, corrected.correction.after.scalded_share_percent)
    timed = _time(asked) if prepared is None else prepared.timed
    tempered, moved = _temper(asked, formula), _sugars_moved(asked, corrected, fed)
    return Found(asked, corrected, filled, scaled, fed, prepared, tempered, timed, moved)


def _made_here(refusal: Refusal) -> Refusal:
    """The refusal of a formula that the plan has made: its lines are not the caller's, so none is named."""
    whole = ".".join(refusal.argument.split(".")[:2])
    return replace(refusal, argument=whole, given=None, nearest=None)


_FORMULA = Place("formula", _made_here)


def _correct(asked: Asked) -> hydration_correction.Found:
    """Share and water, the dough mass held."""
    places = hydration_correction.PLACES
    with located(**places, bake_loss_percent="losses.bake_percent"):
        return hydration_correction.compute(asked.correction)


def _fill(asked: Asked, corrected: hydration_correction.Found) -> pan_fill.Found:
    """Dough for the pans, and the corrected formula scaled to it."""
    correction = corrected.correction
    off_optimum = correction.hydration_percent - correction.optimum.best
    bread = _with_gluten_before(asked.filling.bread, correction.gluten_percent)
    places: dict[str, str | Place] = {
        **pan_fill.PLACES,
        "formula": _FORMULA,
        "wanted.bake_loss_percent": "losses.bake_percent",
        "wanted.cooling_loss_percent": "losses.cooling_loss_percent",
        "wanted.off_optimum_points": Place("hydration_percent", partial(_as_hydration, corrected)),
        "pans": Place("pans", partial(_less_handling, asked.handling_percent)),
    }
    if not asked.bread_given:
        places["bread.calibration"] = "calibration"
    with located(**places):
        return pan_fill.compute(
            asked.filling._replace(
                bread=bread,
                wanted=asked.filling.wanted._replace(off_optimum_points=off_optimum),
                formula=pan_fill.AskedFormula(correction.formula, False, correction.after),
            )
        )


def _with_gluten_before(bread: KnownBread, gluten_percent: tuple[float, float]) -> KnownBread:
    """What is known of the bread, a known loaf with the formula's own gluten where the plan changes that."""
    before, after = gluten_percent
    if before == after or isinstance(bread, Prior | Calibration) or bread.known.gluten_percent is not None:
        return bread
    return bread._replace(known=bread.known._replace(gluten_percent=before))


def _as_hydration(corrected: hydration_correction.Found, refusal: Refusal) -> Refusal:
    """Points off the optimum, as the hydration that was asked for."""
    nearest = None
    if isinstance(refusal.nearest, int | float):
        nearest = corrected.correction.optimum.best + refusal.nearest
    return replace(refusal, given=corrected.asked.change.hydration_percent, nearest=nearest)


def _less_handling(handling_percent: float, refusal: Refusal) -> Refusal:
    """Fewer pans still: what handling loses must be mixed too."""
    nearest = None
    if isinstance(refusal.nearest, int | float):
        nearest = floor(refusal.nearest * share_left(Losses(handling_percent), baked=False)) or None
    return replace(refusal, nearest=nearest)


def _scale(asked: Asked, filled: pan_fill.Found) -> scaling.Found:
    """What to mix, handling loss counted, and its weigh-out."""
    filling = filled.filling
    assert filling is not None  # a plan fills its pans with a formula
    in_pans = Place("pans", partial(_count_in_pans, asked.filling.pans))
    with located(formula=_FORMULA, **{"target.mass": in_pans}):
        return scaling.compute(
            scaling.Asked(
                formula=filling.formula,
                by_percent=False,
                target=Target(DOUGH_MASS, filled.total_g.best),
                losses=Losses(asked.handling_percent),
                scale=asked.scale,
                most_mass_g=asked.filling.most_mass_g,
                breakdown=filling.after,
            )
        )


def _count_in_pans(pans: int, refusal: Refusal) -> Refusal:
    """A batch that is too large or too small, as a number of pans."""
    nearest = None
    if isinstance(refusal.nearest, int | float) and isinstance(refusal.given, int | float):
        times = refusal.nearest / refusal.given
        nearest = (floor if times < 1 else ceil)(pans * times) or None
    return replace(refusal, given=pans, nearest=nearest, quantity=None)


def _feed(asked: Asked, formula: Formula, filled: pan_fill.Found) -> sugar_budget.Found | None:
    """The yeast's sugar through the stages."""
    if asked.feeding is None:
        return None
    bread = filled.pan.bread
    bake_loss = bread.bake_loss_percent.best + bread.cooling_loss_percent.best
    with located(formula=_FORMULA, bake_loss_percent="losses.bake_percent"):
        return sugar_budget.compute(sugar_budget.Asked(formula, False, *asked.feeding, bake_loss))


def _sugars_moved(
    asked: Asked, corrected: hydration_correction.Found, fed: sugar_budget.Found | None
) -> tuple[float, float] | None:
    """Sugars of the bread before and after the move, where the share moves and the formula as it came can
    be fed."""
    found = corrected.correction
    if fed is None or found.before.scalded_share_percent == found.after.scalded_share_percent:
        return None
    try:
        before = sugars_of_bread_percent(
            asked.correction.formula,
            fed.asked.stages,
            fed.asked.yeast_tolerance,
            fed.asked.damaged_starch_percent,
            fed.asked.bake_loss_percent,
        )
    except Refusal:
        return None
    left = fed.budget.residual
    after = left["total"].percent_of_bread.best - left["lactose"].percent_of_bread.best
    return before, after


def _prepare(asked: Asked, formula: Formula, share_percent: float) -> scald_preparation.Found | None:
    """The scald, where there is one and its making was given."""
    if asked.treatment is None or not share_percent:
        return None
    require_no_live_yeast(asked.correction.formula, asked.treatment.hottest_c)
    below = {name: f"scald.{name}" for name in Treatment._fields}
    with located(formula=_FORMULA, **below, **{"timetable.stages": "timetable"}):
        return scald_preparation.compute(
            scald_preparation.Asked(formula, False, False, asked.treatment, asked.timetable)
        )


def _time(asked: Asked) -> tuple[Timed, ...]:
    """The timetable, where there is no scald to prepare."""
    with located(**{"timetable.stages": "timetable"}):
        return scald_preparation.time_work(asked.timetable)


def _temper(asked: Asked, formula: Formula) -> dough_temperature.Found | None:
    """The water temperature, by the heat balance of what is mixed."""
    if asked.tempering is None:
        return None
    at, ice = asked.tempering
    if not any(line.part == SCALD and line.mass_g for line in formula.lines):
        at = at._replace(temperatures=replace(at.temperatures, scald_c=None))
    places: dict[str, str | Place] = {
        f"rule.temperatures.{name}": f"temperatures.{field}"
        for name, field in dough_temperature.TEMPERATURES_AT.items()
    }
    with located(**places, rule="temperatures", **{"rule.formula": _FORMULA}):
        return dough_temperature.compute(dough_temperature.Asked(Balance(formula, False, at), ice))


def places(asked: Asked, context: Context) -> dict[str, str | Place]:
    """Where what ``compute`` refuses is in the request, beyond what it locates itself."""
    if asked.tempering is None:
        return {}
    own = f"temperatures.{dough_temperature.TEMPERATURES_AT['own']}"
    return {own: dough_temperature.own_at(own, asked.tempering.at.temperatures, context)}


# ---- Writing -------------------------------------------------------------------------------------


def write(found: Found, context: Context) -> Wire:
    parts, requests = _write_parts(found, context), _ask_parts(found, context)
    corrected, filled, scaled = parts["hydration_correction"], parts["pan_fill"], parts["scaling"]
    tempered, fed = parts.get("dough_temperature"), parts.get("sugar_budget")
    weigh_out = {
        part: [line for line in scaled["weigh_out"] if line["part"] == part] for part in (SCALD, DOUGH)
    }
    answer = {
        "formula": scaled["formula"],
        "weigh_out": {**weigh_out, "total": scaled["weigh_out_total"]},
        "dough_mass": filled["dough_mass"],
        "pans": filled["pans"],
        "total_dough_mass": filled["total_dough_mass"],
        "mixed_dough_mass": scaled["dough_mass"],
        "scalded_share_percent": found.share_percent,
        "hydration_percent": corrected["hydration_percent"],
        "optimum_hydration_percent": corrected["optimum_hydration_percent"],
        **{name: corrected[name] for name in ("assessment", "uncertain", "judged_by", "judged_against")},
        "water_temperature": tempered and tempered["water_temperature"],
        "sugar": fed and {name: fed[name] for name in _SUGAR_IN_SHORT},
        "timetable": _write_timetable(found, parts),
        "least_certain": least_certain.write_least_certain(list(_uncertain(found)), context),
        "parts": parts,
        "requests": requests,
    }
    codes = [caution["code"] for part in parts.values() for caution in part["cautions"]]
    return context.reply(
        answer,
        lambda show: _show(show, found),
        basis=_basis(parts) if context.full else (),
        cautions=cautions.in_order([*codes, *cautions.OF_BAKING]),
        notes=_notes(found, parts),
    )


def _write_timetable(found: Found, parts: dict[str, Wire]) -> list[Wire]:
    """The work with its times, as its part has them where there is one."""
    timetable: list[Wire]
    if found.prepared is None:
        timetable = write_timetable(found.timed)
    else:
        timetable = parts["scald_preparation"]["timetable"]
    return timetable


def _parts(found: Found) -> dict[str, tuple[ModuleType, Any]]:
    """The single calls that the plan is made of, and what each has found, by their names."""
    parts: dict[str, tuple[ModuleType, Any]] = {
        "hydration_correction": (hydration_correction, found.corrected),
        "pan_fill": (pan_fill, found.filled),
        "scaling": (scaling, found.scaled),
        "sugar_budget": (sugar_budget, found.fed),
        "scald_preparation": (scald_preparation, found.prepared),
        "dough_temperature": (dough_temperature, found.tempered),
    }
    return {name: (call, part) for name, (call, part) in parts.items() if part is not None}


def _write_parts(found: Found, context: Context) -> dict[str, Wire]:
    """The answers of the single calls."""
    return {name: call.write(part, context) for name, (call, part) in _parts(found).items()}


def _ask_parts(found: Found, context: Context) -> dict[str, Wire]:
    """The requests that the single calls answer so."""
    return {name: call.ask(part.asked, context) for name, (call, part) in _parts(found).items()}


def _uncertain(found: Found) -> Iterator[least_certain.Uncertain]:
    """What the plan is unsure of."""
    yield least_certain.of_dough(found.filled.pan)
    yield least_certain.of_water(found.corrected.correction, found.asked.correction.calibration is not None)
    yield least_certain.of_bake_loss(found.filled.pan.bread.bake_loss_percent)
    if found.fed is not None:
        yield from least_certain.of_budget(found.fed.budget)
    if found.tempered is not None and found.tempered.by_rule.balance is not None:
        yield least_certain.of_water_temperature(found.tempered.by_rule.balance)
    if found.prepared is not None:
        yield from least_certain.of_scald(found.prepared.heated)


def _basis(parts: dict[str, Wire]) -> list[str]:
    """The sources of all parts, and of the cautions about baking."""
    basis = [source for part in parts.values() for source in part["basis"]]
    return basis + [source for code in cautions.OF_BAKING for source in CAUTIONS[code].sources]


def _notes(found: Found, parts: dict[str, Wire]) -> Iterator[AnyNote]:
    """The plan's own notes, then those of its parts."""
    yield from notes_on_left_out(found)
    yield from notes_on_bread(found)
    if found.prepared is None:
        yield from timetable_notes(found.asked.timetable)
    for part in parts.values():
        yield from part["notes"]


def _show(show: Working, found: Found) -> None:
    """The main numbers in a row; how each came about is in the working of its part."""
    pan, total = found.filled.pan, found.filled.total_g.best
    show_water(show, found.corrected.correction)
    show_dough(show, pan, found.asked.filling.pans, total)
    show_mixing(show, total, found.asked.handling_percent, found.scaled.scaling, found.scaled.weighed)
    if found.tempered is not None:
        water = found.tempered.by_rule.water.best
        show.step("Water temperature", "by the heat balance of what is mixed", water, "temperature")
    if found.fed is not None:
        show.step(
            "Sweetness of the bread, as sucrose",
            "what the stages leave of the sugars",
            found.fed.budget.sweetness_percent.best,
            unit="% of bread",
        )


LOAF_PLAN = Operation(
    name="loaf-plan",
    summary="Plan a whole bake in one call",
    description="Moves the scalded share with its water, fills the pans, and gives the weigh-out for your "
    "scale, the sugar through the stages, the scald, the water temperature and the timetable, and what of it "
    "is least certain. It is made of the single calls, and gives each one's request and answer.",
    request=LoafPlanRequest,
    read=read,
    compute=compute,
    write=write,
    places=places,
    examples=(
        Example(
            "three_lidded_tins",
            "The Lantern Quay tin loaf from 20 to 35 % scalded, three lidded tins for seven o'clock",
            THREE_TINS,
        ),
        Example(
            "by_calibration",
            "By what your own trials have taught, for the dough and for the water",
            BY_CALIBRATION,
        ),
        Example(
            "first_bake_in_ounces", "A first scald in a US pan, nothing known of the bread yet", FIRST_BAKE
        ),
    ),
)
