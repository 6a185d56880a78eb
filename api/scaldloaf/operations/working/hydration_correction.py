"""The steps of a correction: the optimum water, the balance of masses, and what becomes of the loaf."""

from itertools import pairwise
from typing import cast

from scaldloaf.dough.flour import FLOUR_REFERENCE_MOISTURE_PERCENT, FlourChange
from scaldloaf.dough.formula import SCALD, Formula
from scaldloaf.dough.hydration import (
    CRUMB_MOISTURE_PER_HYDRATION_POINT,
    STICKY_POINTS,
    UNDER_WATERED_POINTS,
    Correction,
)
from scaldloaf.dough.per_flour import HOLD_FLOUR
from scaldloaf.dough.water_rule import (
    ROUX_WATER_SLOPE,
    ROUX_WATER_SLOPE_RATIO,
    SCALD_WATER_SLOPE,
    SCALD_WATER_SLOPE_RATIO,
    OwnSlope,
    OwnTable,
    WaterRule,
)
from scaldloaf.operations.steps import Working, bracketed, straight_between


def _table_read(table: OwnTable, share: float) -> str:
    """An expression that reads the table of water at a share."""
    spans = list(pairwise(table.points))
    return straight_between(share, *next((span for span in spans if share <= span[1][0]), spans[-1]))


def show_optimum(show: Working, correction: Correction, rule: WaterRule, flour: FlourChange | None) -> None:
    """The steps from the hydration as it was to the optimum."""
    shown, before, after = show.format, correction.before, correction.after
    share, base_share = after.scalded_share_percent, before.scalded_share_percent
    shift, now, was = correction.shift.points.best, correction.shift.after, correction.shift.before
    if isinstance(rule, OwnTable):
        show.step(
            "Water that goes with the share, from the table",
            f"{_table_read(rule, share)} − ({_table_read(rule, base_share)})",
            shift,
            unit="points",
        )
    else:
        slopes = {before.scald_liquid_ratio: was, correction.move.liquid_ratio: now}
        ratios = {ratio for ratio in slopes if ratio is not None} - {SCALD_WATER_SLOPE_RATIO}
        for ratio in () if isinstance(rule, OwnSlope) else sorted(ratios):
            place = min(max(ratio, SCALD_WATER_SLOPE_RATIO), ROUX_WATER_SLOPE_RATIO)
            show.step(
                f"Points of water for a point of share at 1:{shown(ratio)}",
                straight_between(
                    place,
                    (SCALD_WATER_SLOPE_RATIO, SCALD_WATER_SLOPE.value),
                    (ROUX_WATER_SLOPE_RATIO, ROUX_WATER_SLOPE.value),
                ),
                slopes[ratio],
            )
        show.step(
            "Water that goes with the share",
            f"{shown(now)} × {shown(share)} − {bracketed(shown(was))} × {shown(base_share)}",
            shift,
            unit="points",
        )
    optimum = before.hydration_percent + shift
    show.step(
        "Optimum hydration" + (" with the old flour" if flour else ""),
        f"{shown(before.hydration_percent)} + {bracketed(shown(shift))}",
        optimum,
        unit="% of flour",
    )
    if flour is None:
        return
    m0, m1 = flour.base_moisture_percent, flour.moisture_percent
    points = correction.absorption_points
    if flour.absorption_percent is not None:
        base_absorption = cast("float", flour.base_absorption_percent)
        show.step(
            "Difference of the flours' absorption, as the old flour is",
            f"({shown(flour.absorption_percent)} − {shown(base_absorption)}) × (100 − "
            f"{shown(m0)}) ÷ (100 − {shown(FLOUR_REFERENCE_MOISTURE_PERCENT)})",
            points,
            unit="points",
        )
    show.step(
        "Optimum hydration with the new flour",
        f"({shown(optimum)} + {bracketed(shown(points))} + {shown(m0)}) × (100 − {shown(m1)}) ÷ "
        f"(100 − {shown(m0)}) − {shown(m1)}",
        correction.optimum.best,
        unit="% of flour",
    )


def show_balance(show: Working, correction: Correction, formula: Formula, hold: str) -> None:
    """The steps from the hydration to the masses, calculated on 100 of flour."""
    shown, move, before, after = show.format, correction.move, correction.before, correction.after
    name = move.adjusting.label
    others, water, lost = (
        100 * value
        for value in (move.others_per_flour, move.others_water_per_flour, move.evaporation_per_flour)
    )
    adjusting = 100 * move.adjusting_per_flour
    percents = [
        (line.ingredient, 100 * line.mass_g / before.flour_g)
        for line in formula.lines
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


def show_outcome(show: Working, correction: Correction, formula: Formula, flour: FlourChange | None) -> None:
    shown, before, after = show.format, correction.before, correction.after
    used, optimum = correction.hydration_percent, correction.optimum.best
    show.step(
        "Hydration against the optimum",
        f"{shown(used)} − {shown(optimum)}; under-watered below −{shown(UNDER_WATERED_POINTS)}, sticky above "
        f"{shown(STICKY_POINTS)}",
        used - optimum,
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
