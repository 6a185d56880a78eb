"""The steps from a formula's water to the optimum at another share, ratio or flour."""

from itertools import pairwise
from typing import cast

from scaldloaf.dough.flour import (
    FLOUR_REFERENCE_MOISTURE_PERCENT,
    GLUTEN_WATER_RATIO,
    VITAL_GLUTEN,
    FlourChange,
)
from scaldloaf.dough.formula import SCALD, Formula, Line
from scaldloaf.dough.hydration import Correction
from scaldloaf.dough.limits import ROUNDING
from scaldloaf.dough.water_rule import (
    RAW_FLOUR_WATER,
    SCALD_BINDING_DEGREE,
    SCALD_WATER_CAPACITY,
    OwnSlope,
    OwnTable,
    Spot,
    WaterRule,
    water_slope_at,
)
from scaldloaf.operations.steps import Working, bracketed, straight_between


def table_read(table: OwnTable, share: float) -> str:
    """An expression that reads the table of water at a share."""
    spans = list(pairwise(table.points))
    return straight_between(share, *next((span for span in spans if share <= span[1][0]), spans[-1]))


def _show_kept(show: Working, when: str, spot: Spot, formula: Formula) -> None:
    """The step to the water that a scald keeps, where that is not just its liquid."""
    if spot.liquid_ratio is None or abs(spot.kept_ratio - spot.liquid_ratio) <= ROUNDING:
        return
    shown = show.format
    scald = [line for line in formula.lines if line.part == SCALD]
    flour_g = sum(line.mass_g for line in scald if line.ingredient.is_flour)
    lost_g = formula.scald_evaporation_g
    show.step(
        f"Water that the scald keeps for each g of its flour, {when}",
        f"({_waters(show, scald)}"
        + (f" − {shown(lost_g, 'mass')} evaporated" if lost_g else "")
        + f") ÷ {shown(flour_g, 'mass')}",
        spot.kept_ratio,
        unit="g/g",
    )


def _waters(show: Working, lines: list[Line]) -> str:
    """The water of lines that are not flour, as a sum."""
    return " + ".join(
        f"{line.ingredient.label} {show.format(line.mass_g, 'mass')} × "
        f"{show.format(line.ingredient.water_percent)} %"
        for line in lines
        if not line.ingredient.is_flour and line.ingredient.water_percent
    )


def show_slope(show: Working, when: str, kept_ratio: float, raw: float) -> float:
    """The step to the points of water for a point of share.

    Parameters
        show : Working  the steps are added to
        when : str  which scald it is, in words
        kept_ratio : float  [g of water per g of scald flour] what the scald keeps
        raw : float  [g of water per g of flour] what the same flour holds raw
    Returns
        float  [points of water per point of share]
    """
    shown, slope = show.format, water_slope_at(kept_ratio, raw).best
    held = min(kept_ratio, SCALD_WATER_CAPACITY.value)
    show.step(
        f"Points of water for a point of share{when}",
        f"{shown(SCALD_BINDING_DEGREE.value)} × ({shown(held)} − {shown(raw)})"
        if slope
        else f"0, as {shown(held)} is not above {shown(raw)}",
        slope,
        unit="points",
    )
    return slope


def gluten_water(show: Working, gluten_percent: float, had_percent: float | None = None) -> str:
    """An expression for the water that vital gluten takes, its own counted, in points.

    had_percent: of gluten whose water is counted already.
    """
    shown = show.format
    ratio, own = shown(GLUTEN_WATER_RATIO.value), shown(VITAL_GLUTEN.water_percent)
    percent = shown(gluten_percent)
    more = percent if had_percent is None else f"({percent} − {shown(had_percent)})"
    return f"{more} × ({ratio} + {own} ÷ 100)"


def gluten_term(show: Working, gluten_percent: float) -> str:
    """What vital gluten adds to the water that suits, as a term of an expression; empty without gluten."""
    return f" + {gluten_water(show, gluten_percent)}" if gluten_percent else ""


def as_is(show: Working, absorption_percent: float, moisture_percent: float) -> str:
    """An expression for an absorption of flour as it is."""
    shown, reference = show.format, show.format(FLOUR_REFERENCE_MOISTURE_PERCENT)
    return (
        f"(({shown(absorption_percent)} + {reference}) × (100 − {shown(moisture_percent)}) ÷ "
        f"(100 − {reference}) − {shown(moisture_percent)})"
    )


def show_raw(
    show: Working, which: str, absorption_percent: float, moisture_percent: float, raw: float
) -> None:
    """The step to the water that a flour holds raw.

    Parameters
        show : Working
        which : str  in words
        absorption_percent : float  [% of flour at 14 % moisture]
        moisture_percent : float  [% of flour]
        raw : float  [g/g]
    """
    expression = f"{as_is(show, absorption_percent, moisture_percent)} ÷ 100"
    show.step(f"Water that {which} holds raw, for each g", expression, raw, unit="g/g")


def _show_slopes(show: Working, correction: Correction, rule: WaterRule, flour: FlourChange | None) -> None:
    """The steps to the slope of the water before and after, by the prior or by own trials."""
    shown, here, there = show.format, correction.here, correction.there
    if isinstance(rule, OwnSlope):
        spots = ((", before", here), (", after", there))
        carried = [(when, spot) for when, spot in spots if abs(rule.factor_at(spot) - 1) > ROUNDING]
        if not carried:
            return
        learnt = show_slope(
            show, " where the trials' slope is from", rule.liquid_ratio, RAW_FLOUR_WATER.value
        )
        for when, spot in carried:
            at = show_slope(show, f" by the scald{when}", spot.kept_ratio, RAW_FLOUR_WATER.value)
            show.step(
                f"Points of water for a point of share, by own trials{when}",
                f"{bracketed(shown(rule.slope.best))} × {shown(at)} ÷ {shown(learnt)}",
                rule.slope_at(spot).best,
                unit="points",
            )
        return
    prior = correction.prior
    if flour is not None and flour.absorption_percent is not None:
        base = cast("float", flour.base_absorption_percent)
        moisture = flour.base_moisture_percent
        show_raw(show, "the old flour", base, moisture, prior.raw_before)
        show_raw(show, "the new flour", flour.absorption_percent, moisture, prior.raw_after)
    if here.share_percent:
        show_slope(show, ", before", here.kept_ratio, prior.raw_before)
    if there.share_percent:
        show_slope(show, ", after", there.kept_ratio, prior.raw_after)


def show_optimum(
    show: Working, correction: Correction, rule: WaterRule, flour: FlourChange | None, formula: Formula
) -> None:
    """The steps from the hydration as it was to the optimum.

    Parameters
        show : Working  the steps are added to
        correction : Correction
        rule : WaterRule
        flour : FlourChange or None  another flour
        formula : Formula  as it came
    """
    shown, before, after = show.format, correction.before, correction.after
    share, base_share = after.scalded_share_percent, before.scalded_share_percent
    shift, now, was = correction.shift.points.best, correction.shift.after, correction.shift.before
    if isinstance(rule, OwnTable):
        show.step(
            "Water that goes with the share, from the table",
            f"{table_read(rule, share)} − ({table_read(rule, base_share)})",
            shift,
            unit="points",
        )
    else:
        _show_kept(show, "before", correction.here, formula)
        _show_kept(show, "after", correction.there, correction.formula)
        _show_slopes(show, correction, rule, flour)
        parts = [
            f"{bracketed(shown(slope))} × {shown(at)}" if at else "0"
            for slope, at in ((now, share), (was, base_share))
        ]
        show.step(
            "Water that goes with the share",
            f"{parts[0]} − {parts[1]}",
            shift,
            unit="points",
        )
    gluten = ""
    if correction.gluten_points.best:
        had, has = correction.gluten_percent
        show.step(
            "Water that the vital gluten takes, its own counted",
            gluten_water(show, has, had),
            correction.gluten_points.best,
            unit="points",
        )
        gluten = f" + {bracketed(shown(correction.gluten_points.best))}"
    optimum = before.hydration_percent + shift + correction.gluten_points.best
    show.step(
        "Optimum hydration" + (" with the old flour" if flour else ""),
        f"{shown(before.hydration_percent)} + {bracketed(shown(shift))}{gluten}",
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
