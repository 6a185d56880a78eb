"""The steps of a correction: the optimum water, the balance of masses, and what becomes of the loaf."""

from typing import cast

from scaldloaf.dough.calibration import Calibration
from scaldloaf.dough.crumb_moisture import CRUMB_MOISTURE_PER_HYDRATION_POINT
from scaldloaf.dough.flour import (
    VITAL_GLUTEN,
    FlourChange,
    as_is_absorption_percent,
)
from scaldloaf.dough.formula import SCALD, Formula
from scaldloaf.dough.hydration import Correction
from scaldloaf.dough.per_flour import HOLD_FLOUR
from scaldloaf.dough.water_judged import (
    BY_ABSORPTION,
    BY_MOVE,
    STICKY_POINTS,
    UNDER_WATERED_POINTS,
    Judged,
)
from scaldloaf.dough.water_rule import (
    BY_TABLE,
    OwnSlope,
    OwnTable,
    WaterRule,
)
from scaldloaf.operations.steps import Working, bracketed
from scaldloaf.operations.working.water_optimum import (
    as_is,
    gluten_term,
    gluten_water,
    show_raw,
    show_slope,
    table_read,
)


def show_balance(show: Working, correction: Correction, formula: Formula, hold: str) -> None:
    """The steps from the hydration to the masses, calculated on 100 of flour.

    Parameters
        show : Working  the steps are added to
        correction : Correction
        formula : Formula  as it came
        hold : str  HOLD_DOUGH or HOLD_FLOUR
    """
    shown, move, before, after = show.format, correction.move, correction.before, correction.after
    name = move.adjusting.label
    others, water, lost = (
        100 * value
        for value in (move.others_per_flour, move.others_water_per_flour, move.evaporation_per_flour)
    )
    adjusting = 100 * move.adjusting_per_flour
    made_of = correction.made_of
    flour_g = sum(line.mass_g for line in made_of.lines if line.ingredient.is_flour)
    percents = [
        (line.ingredient, 100 * line.mass_g / flour_g)
        for line in made_of.lines
        if line.mass_g and not line.ingredient.is_flour and line.ingredient != move.adjusting
    ]
    show.step(
        f"Other lines, without flour and {name.lower()}",
        " + ".join(shown(percent) for _, percent in percents) or "0",
        others,
        unit="% of flour",
    )
    show.step(
        "Water in those lines",
        " + ".join(
            f"{ingredient.label} {shown(percent)} × {shown(ingredient.water_percent)} %"
            for ingredient, percent in percents
            if ingredient.water_percent
        )
        or "0",
        water,
        unit="% of flour",
    )
    if lost:
        mass = shown(formula.scald_evaporation_g, "mass")
        show.step(
            "Lost in cooking the scald",
            f"100 × {mass} ÷ {shown(before.flour_g, 'mass')}"
            if before.scald_liquid_ratio is None
            else f"{mass} ÷ {shown(before.scald_flour_g, 'mass')} × {shown(after.scalded_share_percent)}",
            lost,
            unit="% of flour",
        )
    evaporated = f" + {shown(lost)} evaporated" if lost else ""
    part = move.adjusting.water_percent
    needed = f"{shown(correction.hydration_percent)} − {shown(water)}{evaporated}"
    show.step(
        f"{name} needed",
        needed if part == 100 else f"({needed}) × 100 ÷ {shown(part)}",
        adjusting,
        unit="% of flour",
    )
    if hold == HOLD_FLOUR:
        show.step("Flour", f"{shown(before.flour_g, 'mass')}, held as it was", after.flour_g, "mass")
    else:
        show.step(
            "Flour",
            f"{shown(before.dough_mass_g, 'mass')} × 100 ÷ (100 + {shown(others)} + {shown(adjusting)}"
            + (f" − {shown(lost)}" if lost else "")
            + ")",
            after.flour_g,
            "mass",
        )
    if move.liquid_ratio is not None:
        show.step(
            "Flour of the scald",
            f"{shown(after.flour_g, 'mass')} × {shown(after.scalded_share_percent)} ÷ 100",
            move.scald_flour_g,
            "mass",
        )
        show.step(
            "Liquid of the scald",
            f"{shown(move.scald_flour_g, 'mass')} × {shown(move.liquid_ratio)}",
            move.scald_liquid_g,
            "mass",
        )
    whole = move.adjusting_per_flour * after.flour_g
    show.step(f"{name}, total", f"{shown(after.flour_g, 'mass')} × {shown(adjusting)} ÷ 100", whole, "mass")
    scalded = sum(
        line.mass_g
        for line in correction.formula.lines
        if line.part == SCALD and line.ingredient == move.adjusting
    )
    if scalded:
        show.step(
            f"{name} for the dough",
            f"{shown(whole, 'mass')} − {shown(scalded, 'mass')} in the scald",
            whole - scalded,
            "mass",
        )
    lost_g = correction.formula.scald_evaporation_g
    show.step(
        "Dough mass",
        "all lines" + (f" − {shown(lost_g, 'mass')} evaporated" if lost_g else ""),
        after.dough_mass_g,
        "mass",
    )


def show_gluten(show: Working, correction: Correction, formula: Formula) -> None:
    """The steps to the vital gluten that makes up what a larger share takes."""
    shown, before, after = show.format, correction.before, correction.after
    if after.scalded_share_percent <= before.scalded_share_percent:
        return
    flours = [line for line in formula.lines if line.ingredient.is_flour and line.ingredient.protein_percent]
    if flours:
        proteins = " + ".join(
            f"{line.ingredient.label} {shown(line.mass_g, 'mass')} × "
            f"{shown(line.ingredient.protein_percent)} %"
            for line in flours
        )
        masses = " + ".join(shown(line.mass_g, "mass") for line in flours)
        show.step(
            "Protein of the flour",
            f"100 × ({proteins}) ÷ ({masses})",
            correction.flour_protein_percent,
            unit="% of flour",
        )
    had, has = correction.gluten_percent
    needed = (
        f"{shown(after.flour_g, 'mass')} × ({shown(after.scalded_share_percent)} − "
        f"{shown(before.scalded_share_percent)}) ÷ 100 × {shown(correction.flour_protein_percent)} ÷ "
        f"{shown(VITAL_GLUTEN.protein_percent)}"
    )
    if has != had:
        needed = (
            f"the larger of {shown(0.0, 'mass')} and {needed} − {shown(after.flour_g, 'mass')} × "
            f"({shown(has)} − {shown(had)}) ÷ 100"
        )
    show.step(
        "Vital gluten that makes up what the larger share takes",
        needed,
        correction.gluten_to_make_up_g,
        "mass",
    )


def _show_judged(
    show: Working,
    judged: Judged,
    correction: Correction,
    flour: FlourChange | None,
    rule: WaterRule,
) -> None:
    """The step to the hydration that another is judged against, where that is not the optimum.

    Parameters
        show : Working
        judged : Judged
        correction : Correction
        flour : FlourChange or None
        rule : WaterRule
    """
    shown, there = show.format, correction.there
    share = there.share_percent
    if judged.by == BY_ABSORPTION:
        new = cast("FlourChange", flour)
        absorption = cast("float", new.absorption_percent)
        label, expression = (
            "Hydration that suits the flour's absorption",
            as_is(show, absorption, new.moisture_percent),
        )
        if share:
            raw = as_is_absorption_percent(absorption, new.moisture_percent) / 100
            show_raw(show, "the flour", absorption, new.moisture_percent, raw)
            slope = show_slope(show, " with this flour", there.kept_ratio, raw)
            expression += f" + {shown(slope)} × {shown(share)}"
        expression += gluten_term(show, there.gluten_percent)
    elif judged.by == BY_TABLE:
        had, has = correction.gluten_percent
        label, expression = "Hydration of the table", table_read(cast("OwnTable", rule), share)
        if has != had:
            expression += f" + {gluten_water(show, has, had)}"
    else:
        own = cast("OwnSlope", rule)
        learnt, slope = cast("Calibration", own.trials), own.slope_at(there).best
        label = "Hydration that suits, by own trials"
        expression = (
            f"{shown(cast('float', learnt.base_hydration_percent))} + {bracketed(shown(slope))} × "
            f"({shown(share)} − {shown(learnt.base_share_percent)})"
        )
        expression += gluten_term(show, there.gluten_percent)
    show.step(label, expression, judged.against.best, unit="% of flour")


def show_outcome(
    show: Working,
    correction: Correction,
    formula: Formula,
    flour: FlourChange | None,
    rule: WaterRule,
) -> None:
    """The steps from the hydration used to how it is judged, and to the moisture of the loaf.

    Parameters
        show : Working  the steps are added to
        correction : Correction
        formula : Formula  as it came
        flour : FlourChange or None  another flour
        rule : WaterRule  by which the optimum moved
    """
    shown, before, after = show.format, correction.before, correction.after
    used, judged = correction.hydration_percent, correction.judged
    if judged is not None:
        if judged.by != BY_MOVE:
            _show_judged(show, judged, correction, flour, rule)
        show.step(
            "Hydration against what suits",
            f"{shown(used)} − {shown(judged.against.best)}; under-watered below "
            f"−{shown(UNDER_WATERED_POINTS)}, sticky above {shown(STICKY_POINTS)}",
            used - judged.against.best,
            unit="points",
        )
    moistures: tuple[float | None, float | None] = (None, None)
    at_base = shown(used)
    if flour is not None:
        m0, m1 = moistures = flour.base_moisture_percent, flour.moisture_percent
        at_base = f"({at_base} + {shown(m1)}) × (100 − {shown(m0)}) ÷ (100 − {shown(m1)}) − {shown(m0)}"
    change = correction.crumb_moisture_change_points
    per_point = shown(CRUMB_MOISTURE_PER_HYDRATION_POINT.value)
    show.step(
        "Change of crumb moisture in practice",
        f"({at_base} − {shown(before.hydration_percent)}) × {per_point}",
        change.best,
        unit="points",
    )
    loss = shown(correction.bake_loss_percent)
    for when, water_g, breakdown, lines, flour_moisture, moisture in zip(
        ("as it was", "as it is now"),
        correction.water_g,
        (before, after),
        (formula.lines, correction.formula.lines),
        moistures,
        correction.loaf_moisture_percent,
        strict=True,
    ):
        own = "".join(
            f" + {line.ingredient.label} {shown(line.mass_g, 'mass')} × "
            f"{shown(line.ingredient.water_percent if flour_moisture is None else flour_moisture)} %"
            for line in lines
            if line.ingredient.is_flour
        )
        show.step(
            f"Water in the dough, the flour's own counted, {when}",
            f"{shown(breakdown.flour_g, 'mass')} × {shown(breakdown.hydration_percent)} ÷ 100{own}",
            water_g,
            "mass",
        )
        dough = shown(breakdown.dough_mass_g, "mass")
        show.step(
            f"Moisture of the loaf by mass balance, the flour's own water counted, {when}",
            f"100 × ({shown(water_g, 'mass')} − {dough} × {loss} ÷ 100) ÷ ({dough} × (1 − {loss} ÷ 100))",
            moisture,
            unit="% of the loaf",
        )
    was, now = correction.loaf_moisture_percent
    show.step(
        "Change of crumb moisture by mass balance", f"{shown(now)} − {shown(was)}", now - was, unit="points"
    )
