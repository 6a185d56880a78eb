"""The single calls in a row: each from what was asked of the whole, and what those before it have found.

What loaf-plan and variants are made of. A refusal names the field of a loaf-plan.
"""

from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from math import ceil, floor
from types import ModuleType
from typing import Any

from scaldloaf.dough.bake_loss import Lidded
from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.formula import SCALD, Breakdown, Formula
from scaldloaf.dough.hydration import Correction
from scaldloaf.dough.preparation import require_liquid_said
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.scaling import DOUGH_MASS, Losses, Target, share_left
from scaldloaf.dough.swelling import require_no_live_yeast
from scaldloaf.dough.target_bread import Bread, Wanted
from scaldloaf.operations import (
    cautions,
    dough_temperature,
    hydration_correction,
    pan_fill,
    scald_preparation,
    scaling,
    sugar_budget,
)
from scaldloaf.operations.context import Context, Wire
from scaldloaf.operations.dough_rules import Balance
from scaldloaf.operations.located import Place, located
from scaldloaf.operations.planned import Asked, Feeding, Found, Tempering
from scaldloaf.operations.schemas.loaf_plan import LoafPlanLosses
from scaldloaf.operations.wire.bread import KnownBread, Prior, read_bread
from scaldloaf.operations.wire.dough_rules import read_balance
from scaldloaf.operations.wire.pans import read_pan
from scaldloaf.operations.wire.scald import Treatment, read_treatment
from scaldloaf.operations.wire.scaling import read_scale
from scaldloaf.reference import CAUTIONS

# ---- Reading -------------------------------------------------------------------------------------


def read(request: Wire, filled: Wire, context: Context) -> Asked:
    """What a request with the fields of loaf-plan asks for, but its timetable.

    filled: the request with its defaults.
    """
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
    feeding = tempering = treatment = None
    if "stages" in request:
        stages = sugar_budget.read_stages(request["stages"], context)
        feeding = Feeding(stages, filled["yeast_tolerance"], filled["damaged_starch_percent"])
    if "temperatures" in request:
        wire = request["temperatures"]
        with located("temperatures"):
            tempering = Tempering(read_balance(wire, context), dough_temperature.read_ice(wire, context))
    if "scald" in request:
        with located("scald"):
            treatment = read_treatment(request["scald"], context)
    return Asked(
        correction=correction,
        filling=filling,
        bread_given="bread" in request,
        handling_percent=losses["handling_percent"],
        bake_percent=bake_percent,
        scale=scale,
        feeding=feeding,
        tempering=tempering,
        treatment=treatment,
    )


# ---- Computing -----------------------------------------------------------------------------------


def _made_here(refusal: Refusal) -> Refusal:
    """The refusal of a formula that was made on the way: its lines are not the caller's, so none is named."""
    whole = ".".join(refusal.argument.split(".")[:2])
    return replace(refusal, argument=whole, given=None, nearest=None)


FORMULA_MADE = Place("formula", _made_here)


def _bake_loss_at(asked: Asked) -> Place:
    """Where a bake loss is refused that has the loss in cooling in it: the field is without that."""
    cooling = asked.filling.wanted.cooling_loss_percent or 0.0

    def of_oven(refusal: Refusal) -> Refusal:
        nearest = refusal.nearest
        if isinstance(nearest, int | float):
            nearest = nearest - cooling if nearest >= cooling else None
        return replace(refusal, given=asked.bake_percent, nearest=nearest)

    return Place("losses.bake_percent", of_oven)


def correct(asked: Asked) -> hydration_correction.Found:
    """Share and water, with what the change holds."""
    places = hydration_correction.PLACES
    with located(**places, bake_loss_percent=_bake_loss_at(asked)):
        return hydration_correction.compute(asked.correction)


def fill(asked: Asked, corrected: hydration_correction.Found) -> pan_fill.Found:
    """Dough for the pans, and the corrected formula scaled to it."""
    correction = corrected.correction
    off_optimum = correction.hydration_percent - correction.optimum.best
    if isinstance(asked.filling.bread, Calibration) and correction.off_trials_points[1] is not None:
        off_optimum = correction.off_trials_points[1]
    bread = with_gluten_before(asked.filling.bread, correction.gluten_percent)
    places: dict[str, str | Place] = {
        **pan_fill.PLACES,
        "formula": FORMULA_MADE,
        "wanted.bake_loss_percent": "losses.bake_percent",
        "wanted.cooling_loss_percent": "losses.cooling_loss_percent",
        "wanted.off_optimum_points": Place(
            "hydration_percent", partial(_as_hydration, corrected, off_optimum)
        ),
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


def with_gluten_before(bread: KnownBread, gluten_percent: tuple[float, float]) -> KnownBread:
    """What is known of the bread, a known loaf with the formula's own gluten where the plan changes that."""
    before, after = gluten_percent
    if before == after or isinstance(bread, Prior | Calibration) or bread.known.gluten_percent is not None:
        return bread
    return bread._replace(known=bread.known._replace(gluten_percent=before))


def _as_hydration(
    corrected: hydration_correction.Found, off_optimum_points: float, refusal: Refusal
) -> Refusal:
    """Points off the optimum, as the hydration that was asked for."""
    nearest = None
    if isinstance(refusal.nearest, int | float):
        nearest = corrected.correction.hydration_percent - off_optimum_points + refusal.nearest
    return replace(refusal, given=corrected.asked.change.hydration_percent, nearest=nearest)


def _less_handling(handling_percent: float, refusal: Refusal) -> Refusal:
    """Fewer pans still: what handling loses must be mixed too."""
    nearest = None
    if isinstance(refusal.nearest, int | float):
        nearest = floor(refusal.nearest * share_left(Losses(handling_percent), baked=False)) or None
    return replace(refusal, nearest=nearest)


def scale(asked: Asked, formula: Formula, breakdown: Breakdown, total_g: float) -> scaling.Found:
    """What to mix, handling loss counted, and its weigh-out.

    Parameters
        asked : Asked
        formula : Formula
        breakdown : Breakdown  of that formula
        total_g : float  [g] dough that is left for all pans
    Returns
        scaling.Found
    Raises
        Refusal: at ``formula`` or ``pans``.
    """
    in_pans = Place("pans", partial(_count_in_pans, asked.filling.pans))
    with located(formula=FORMULA_MADE, **{"target.mass": in_pans}):
        return scaling.compute(
            scaling.Asked(
                formula=formula,
                by_percent=False,
                target=Target(DOUGH_MASS, total_g),
                losses=Losses(asked.handling_percent),
                scale=asked.scale,
                most_mass_g=asked.filling.most_mass_g,
                breakdown=breakdown,
                prices=asked.prices,
            )
        )


def _count_in_pans(pans: int, refusal: Refusal) -> Refusal:
    """A batch that is too large or too small, as a number of pans."""
    nearest = None
    if isinstance(refusal.nearest, int | float) and isinstance(refusal.given, int | float):
        times = refusal.nearest / refusal.given
        nearest = (floor if times < 1 else ceil)(pans * times) or None
    return replace(refusal, given=pans, nearest=nearest, quantity=None)


def feed(asked: Asked, formula: Formula, bread: Bread) -> sugar_budget.Found | None:
    """The yeast's sugar through the stages."""
    if asked.feeding is None:
        return None
    bake_loss = bread.bake_loss_percent.best + bread.cooling_loss_percent.best
    with located(formula=FORMULA_MADE, bake_loss_percent=_bake_loss_at(asked)):
        return sugar_budget.compute(sugar_budget.Asked(formula, False, *asked.feeding, bake_loss))


def temper(asked: Asked, formula: Formula) -> dough_temperature.Found | None:
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
    with located(**places, rule="temperatures", **{"rule.formula": FORMULA_MADE}):
        return dough_temperature.compute(dough_temperature.Asked(Balance(formula, False, at), ice))


def prepare(asked: Asked, formula: Formula, correction: Correction) -> scald_preparation.Found | None:
    """The scald, where there is one and its making was given."""
    if asked.treatment is None or not correction.after.scalded_share_percent:
        return None
    require_no_live_yeast(asked.correction.formula, asked.treatment.hottest_c)
    require_liquid_said(asked.correction.formula, correction.before)
    below = {name: f"scald.{name}" for name in Treatment._fields}
    with located(formula=FORMULA_MADE, **below, **{"timetable.stages": "timetable"}):
        return scald_preparation.compute(
            scald_preparation.Asked(formula, False, False, asked.treatment, asked.timetable)
        )


def places(asked: Asked, context: Context) -> dict[str, str | Place]:
    """Where what is refused is in the request, beyond what each step locates itself."""
    if asked.tempering is None:
        return {}
    own = f"temperatures.{dough_temperature.TEMPERATURES_AT['own']}"
    return {own: dough_temperature.own_at(own, asked.tempering.at.temperatures, context)}


# ---- Writing -------------------------------------------------------------------------------------


def _parts(found: Found) -> dict[str, tuple[ModuleType, Any]]:
    """The single calls and what each has found, by their names."""
    parts: dict[str, tuple[ModuleType, Any]] = {
        "hydration_correction": (hydration_correction, found.corrected),
        "pan_fill": (pan_fill, found.filled),
        "scaling": (scaling, found.scaled),
        "sugar_budget": (sugar_budget, found.fed),
        "scald_preparation": (scald_preparation, found.prepared),
        "dough_temperature": (dough_temperature, found.tempered),
    }
    return {name: (call, part) for name, (call, part) in parts.items() if part is not None}


def write_parts(found: Found, context: Context) -> dict[str, Wire]:
    """The answers of the single calls."""
    return {name: call.write(part, context) for name, (call, part) in _parts(found).items()}


def ask_parts(found: Found, context: Context) -> dict[str, Wire]:
    """The requests that the single calls answer so."""
    return {name: call.ask(part.asked, context) for name, (call, part) in _parts(found).items()}


def cautions_of(parts: Iterable[Wire]) -> list[str]:
    """The cautions of the parts and of baking, in the order of the work."""
    codes = [caution["code"] for part in parts for caution in part["cautions"]]
    return cautions.in_order([*codes, *cautions.OF_BAKING])


def basis_of(parts: Iterable[Wire]) -> list[str]:
    """The sources of the parts, and of the cautions about baking."""
    basis = [source for part in parts for source in part["basis"]]
    return basis + [source for code in cautions.OF_BAKING for source in CAUTIONS[code].sources]
