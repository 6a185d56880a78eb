"""hydration-correction: another scalded share or another flour, dough mass held, water at the optimum."""

from itertools import pairwise

from scaldloaf.dough.flour import FLOUR_REFERENCE_MOISTURE_PERCENT, FlourChange
from scaldloaf.dough.formula import SCALD, Formula
from scaldloaf.dough.hydration import (
    CRUMB_MOISTURE_PER_HYDRATION_POINT,
    STICKY_POINTS,
    UNDER_WATERED_POINTS,
    Correction,
    correct_hydration,
)
from scaldloaf.dough.per_flour import HOLD_FLOUR, Change
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.water_rule import (
    PRIOR_SLOPE,
    ROUX_WATER_SLOPE,
    ROUX_WATER_SLOPE_RATIO,
    SCALD_WATER_SLOPE,
    SCALD_WATER_SLOPE_RATIO,
    OwnSlope,
    OwnTable,
    WaterRule,
)
from scaldloaf.operations.breakdown import percentages_of
from scaldloaf.operations.context import Context
from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.located import located
from scaldloaf.operations.operation import Example, Operation
from scaldloaf.operations.schemas import hydration_correction as schema
from scaldloaf.operations.wire.calibration import read_calibration
from scaldloaf.operations.wire.formulas import (
    formula_cautions,
    formula_notes,
    nearest_ingredients,
    read_formula,
    write_formula,
)
from scaldloaf.operations.working.steps import Working, bracketed, straight_between
from scaldloaf.reference import INGREDIENTS, Ingredient, coefficient

MOST_LOAF_MOISTURE_PERCENT = 100 - coefficient("bread_solids_least_percent").value


def read_adjusting(name: str, formula) -> Ingredient:
    """The adjusting ingredient: the formula's of that name (it may be one's own), or the catalogue's."""
    for line in formula.lines:
        if line.ingredient.name == name:
            return line.ingredient
    if name not in INGREDIENTS:
        close = nearest_ingredients(name)
        raise Refusal(
            "adjust_with",
            "unknown_ingredient",
            "neither a line of the formula nor in the catalogue: "
            + (
                f"the nearest names are {', '.join(close)}"
                if close
                else "GET /v1/ingredients lists the names"
            ),
            given=name,
            nearest=close[0] if close else "water",
        )
    return INGREDIENTS[name]


def read_flour(wire: dict | None) -> FlourChange | None:
    """The new flour of a request. Raises Refusal for one absorption without the other."""
    if not wire:
        return None
    new, base = wire.get("absorption_percent"), wire.get("base_absorption_percent")
    if (new is None) is not (base is None):
        missing = "absorption_percent" if new is None else "base_absorption_percent"
        raise Refusal(
            f"flour.{missing}",
            "missing",
            "the difference between the two flours counts, so both absorptions are needed, or neither",
            nearest=base if new is None else new,
        )
    return FlourChange(**schema.FlourChange.filled(wire))


def read_slope(wire: dict | None) -> WaterRule:
    """The slope of water by share: a calibration's, or else the prior."""
    return PRIOR_SLOPE if wire is None else OwnSlope.of(read_calibration(wire))


def read_table(wire: list) -> OwnTable:
    """A table of water by share."""
    with located(points="water_curve"):
        return OwnTable.of((point["scalded_share_percent"], point["hydration_percent"]) for point in wire)


def _flour_notes(wire: dict | None) -> list[tuple[str, str]]:
    given = [name in (wire or {}) for name in ("moisture_percent", "base_moisture_percent")]
    if not any(given) or all(given):
        return []
    which = "The flour the formula was made for" if given[0] else "The new flour"
    return [
        (
            "moisture_assumed",
            f"{which} is taken to have {FLOUR_REFERENCE_MOISTURE_PERCENT:g} % moisture, as no "
            "other figure is given.",
        )
    ]


def _table_read(table: OwnTable, share: float) -> str:
    """An expression that reads the table of water at a share."""
    spans = list(pairwise(table.points))
    return straight_between(share, *next((span for span in spans if share <= span[1][0]), spans[-1]))


def _show_optimum(show: Working, correction: Correction, rule: WaterRule, flour: FlourChange | None) -> None:
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
        for ratio in (
            () if isinstance(rule, OwnSlope) else sorted(slopes.keys() - {None, SCALD_WATER_SLOPE_RATIO})
        ):
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
        show.step(
            "Difference of the flours' absorption, as the old flour is",
            f"({shown(flour.absorption_percent)} − {shown(flour.base_absorption_percent)}) × (100 − "
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


def _show_balance(show: Working, correction: Correction, formula: Formula, hold: str) -> None:
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


def _show_outcome(show: Working, correction: Correction, formula: Formula, flour: FlourChange | None) -> None:
    shown, before, after = show.format, correction.before, correction.after
    used, optimum = correction.hydration_percent, correction.optimum.best
    show.step(
        "Hydration against the optimum",
        f"{shown(used)} − {shown(optimum)}; under-watered below −{shown(UNDER_WATERED_POINTS)}, sticky above "
        f"{shown(STICKY_POINTS)}",
        used - optimum,
        unit="points",
    )
    m0, m1 = (None, None) if flour is None else (flour.base_moisture_percent, flour.moisture_percent)
    at_base = (
        shown(used)
        if flour is None
        else (f"({shown(used)} + {shown(m1)}) × (100 − {shown(m0)}) ÷ (100 − {shown(m1)}) − {shown(m0)}")
    )
    change = correction.crumb_moisture_change_points
    show.step(
        "Change of crumb moisture in practice",
        f"({at_base} − {shown(before.hydration_percent)}) × {shown(CRUMB_MOISTURE_PER_HYDRATION_POINT.value)}",
        change.best,
        unit="points",
    )
    loss = shown(correction.bake_loss_percent)
    for when, water_g, seen, lines, flour_moisture, moisture in zip(
        ("as it was", "as it is now"),
        correction.water_g,
        (before, after),
        (formula.lines, correction.formula.lines),
        (m0, m1),
        correction.loaf_moisture_percent,
    ):
        own = "".join(
            f" + {line.ingredient.label} {shown(line.mass_g, 'mass')} × "
            f"{shown(line.ingredient.water_percent if flour_moisture is None else flour_moisture)} %"
            for line in lines
            if line.ingredient.is_flour
        )
        show.step(
            f"Water in the dough, the flour's own counted, {when}",
            f"{shown(seen.flour_g, 'mass')} × {shown(seen.hydration_percent)} ÷ 100{own}",
            water_g,
            "mass",
        )
        dough = shown(seen.dough_mass_g, "mass")
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


def _basis(correction: Correction, rule: WaterRule, flour: FlourChange | None) -> list[str]:
    basis = ["mass_balance"]
    if rule is PRIOR_SLOPE:
        basis += SCALD_WATER_SLOPE.sources
        ratios = correction.move.liquid_ratio, correction.before.scald_liquid_ratio
        if any(ratio is not None and ratio > SCALD_WATER_SLOPE_RATIO for ratio in ratios):
            basis += ROUX_WATER_SLOPE.sources
    if flour is not None:
        basis += coefficient("flour_reference_moisture_percent").sources
    return [*basis, *coefficient("under_watered_points").sources, *CRUMB_MOISTURE_PER_HYDRATION_POINT.sources]


# Where a change of a formula stands in a request.
_CHANGE_AT = {
    "change.share_percent": "scalded_share_percent",
    "change.liquid_ratio": "scald_liquid_ratio",
    "change": "",
    "water_rule": "water_curve",
}


def run(request: dict, context: Context) -> dict:
    formula = read_formula(request["formula"], context)
    filled = schema.HydrationCorrectionRequest.filled(request)
    hold = filled["hold"]
    flour, rule = read_flour(request.get("flour")), read_slope(request.get("calibration"))
    adjusting = read_adjusting(filled["adjust_with"], formula)
    if "water_curve" in request:  # it beats a slope
        rule = read_table(request["water_curve"])
    liquids = request.get("scald_liquids")
    change = Change(
        request.get("scalded_share_percent"),
        request.get("scald_liquid_ratio"),
        request.get("hydration_percent"),
        hold,
        None if liquids is None else tuple(liquids),
    )
    with located(**_CHANGE_AT):
        correction = correct_hydration(
            formula, adjusting, change, rule, flour, request.get("bake_loss_percent")
        )

    def working(show: Working) -> None:
        shown, before = show.format, correction.before
        show.step(
            "Hydration as it was",
            f"100 × {shown(before.water_g, 'mass')} of water ÷ {shown(before.flour_g, 'mass')} of flour",
            before.hydration_percent,
            unit="% of flour",
        )
        _show_optimum(show, correction, rule, flour)
        if "hydration_percent" in request:
            show.step("Hydration used", "as asked for", correction.hydration_percent, unit="% of flour")
        _show_balance(show, correction, formula, hold)
        _show_outcome(show, correction, formula, flour)

    cautions = formula_cautions(correction.formula)
    moisture = correction.loaf_moisture_percent[0] + correction.crumb_moisture_change_points.best
    if moisture > MOST_LOAF_MOISTURE_PERCENT:
        cautions.append("bread_identity")
    return context.reply(
        {
            "formula": write_formula(correction.formula, context, correction.after),
            "dough_mass": context.units.to_wire(correction.after.dough_mass_g, "mass"),
            "before": percentages_of(correction.before),
            "after": percentages_of(correction.after),
            "hydration_percent": correction.hydration_percent,
            "optimum_hydration_percent": context.estimate(correction.optimum),
            "assessment": correction.assessment,
            "crumb_moisture_change_points": context.estimate(correction.crumb_moisture_change_points),
        },
        working,
        basis=_basis(correction, rule, flour),
        cautions=cautions,
        notes=[
            *formula_notes(request["formula"], correction.before),
            *correction.notes,
            *_flour_notes(request.get("flour")),
        ],
    )


HYDRATION_CORRECTION = Operation(
    name="hydration-correction",
    summary="Another scalded share or flour, with the water that suits it",
    description="Moves the scalded share, or to another flour, with the dough mass held: every other baker's "
    "percentage stays, the water goes to the optimum, and the scald's own liquid must still be "
    "there.",
    request=schema.HydrationCorrectionRequest,
    run=run,
    examples=(
        Example(
            "share_20_to_35",
            "The Lantern Quay tin loaf, from 20 to 35 % of its flour scalded",
            {"formula": TIN_LOAF, "scalded_share_percent": 35, "hold": "dough_mass"},
        ),
        Example(
            "milk_in_the_scald",
            "A scald of 1:2, which needs some of the milk as well",
            {
                "formula": TIN_LOAF,
                "scalded_share_percent": 35,
                "scald_liquid_ratio": 2,
                "scald_liquids": ["water", "whole_milk"],
            },
        ),
        Example(
            "another_flour",
            "The same share with a drier and stronger flour",
            {
                "formula": TIN_LOAF,
                "flour": {
                    "moisture_percent": 12.5,
                    "base_moisture_percent": 14,
                    "absorption_percent": 64,
                    "base_absorption_percent": 61,
                },
            },
        ),
        Example(
            "own_table",
            "Water by a table of one's own",
            {
                "formula": TIN_LOAF,
                "scalded_share_percent": 30,
                "water_curve": [
                    {"scalded_share_percent": 0, "hydration_percent": 61},
                    {"scalded_share_percent": 20, "hydration_percent": 66.5},
                    {"scalded_share_percent": 40, "hydration_percent": 73},
                ],
            },
        ),
    ),
)
