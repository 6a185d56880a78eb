"""loaf-plan: the whole chain in one call, made of the single calls and nothing else.

Each step is what a single call computes, from what was asked and what the steps before have found. The reply
embeds each call's own answer, and the request that gives it, so that any step can be redone by itself.
"""

from collections.abc import Iterator

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.dough.sugar_stages import Stage
from scaldloaf.dough.timetable import Task, Timed
from scaldloaf.operations import chain, least_certain, scald_preparation
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.lantern_quay import BY_CALIBRATION, FIRST_BAKE, THREE_TINS
from scaldloaf.operations.located import located
from scaldloaf.operations.notes import AnyNote
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.planned import Asked, Found
from scaldloaf.operations.schemas.loaf_plan import LoafPlanRequest
from scaldloaf.operations.steps import Working
from scaldloaf.operations.wire.timetable import AskedTimetable, read_tasks, write_timetable
from scaldloaf.operations.working.loaf_plan import (
    notes_on_bread,
    notes_on_left_out,
    show_dough,
    show_mixing,
    show_water,
)
from scaldloaf.operations.working.timetable import timetable_notes

_SUGAR_IN_SHORT = ("free_sugar_spent_hours", "sweetness_percent", "assessment")


# ---- Reading -------------------------------------------------------------------------------------


def read(request: Wire, context: Context) -> Asked:
    asked = chain.read(request, LoafPlanRequest.filled(request), context)
    stages = asked.feeding.stages if asked.feeding else ()
    return asked._replace(timetable=_read_timetable(request.get("timetable"), stages))


def _read_timetable(wire: Wire | None, stages: tuple[Stage, ...]) -> AskedTimetable | None:
    """The whole timetable: the work before, the stages, the work after; None without one."""
    if wire is None:
        return None
    between = (Task(stage.name or f"stage {number}", stage.minutes) for number, stage in enumerate(stages, 1))
    tasks = (*read_tasks(wire.get("before", ())), *between, *read_tasks(wire["after"]))
    return AskedTimetable(tasks, wire.get("ready_at"))


# ---- Computing -----------------------------------------------------------------------------------


def compute(asked: Asked) -> Found:
    corrected = chain.correct(asked)
    filled = chain.fill(asked, corrected)
    filling = filled.filling
    assert filling is not None  # a plan fills its pans with a formula
    scaled = chain.scale(asked, filling.formula, filling.after, filled.total_g.best)
    formula = scaled.scaling.formula
    fed = chain.feed(asked, formula, filled.pan.bread)
    prepared = chain.prepare(asked, formula, corrected.correction)
    timed = _time(asked) if prepared is None else prepared.timed
    return Found(asked, corrected, filled, scaled, fed, chain.temper(asked, formula), prepared, timed)


def _time(asked: Asked) -> tuple[Timed, ...]:
    """The timetable, where there is no scald to prepare."""
    with located(**{"timetable.stages": "timetable"}):
        return scald_preparation.time_work(asked.timetable)


# ---- Writing -------------------------------------------------------------------------------------


def write(found: Found, context: Context) -> Wire:
    parts, requests = chain.write_parts(found, context), chain.ask_parts(found, context)
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
    return context.reply(
        answer,
        lambda show: _show(show, found),
        basis=chain.basis_of(parts.values()) if context.full else (),
        cautions=chain.cautions_of(parts.values()),
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
    places=chain.places,
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
