"""The steps and the notes of a sugar budget."""

from collections.abc import Iterator
from itertools import pairwise
from typing import cast

from scaldloaf.dough import limits, sugar, sugar_course, yeast
from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.flour import OTHER_FLOUR_NOTE_SHARE
from scaldloaf.dough.formula import YEAST_INSTANT_PER_COMPRESSED
from scaldloaf.dough.sugar import SugarBudget
from scaldloaf.dough.sugar_runs import maltose_factor
from scaldloaf.dough.water_notes import white_wheat_unsaid
from scaldloaf.operations.notes import AnyNote, Note, Said, Value
from scaldloaf.operations.steps import Working, bracketed, format_number, straight_between
from scaldloaf.reference import coefficient

TEXTS = {
    "band": (
        "Bands: the least and the most of runs with the uptake a quarter lower and higher, or more where "
        "strains of yeast or temperatures differ more, each with half and twice the maltose made."
    ),
    "other_flour_sugars": (
        "{share:.3g} % of the flour is not white wheat flour, which these figures are for. So the maltose is "
        "divided and multiplied by {factor:.2g}, not halved and doubled."
    ),
    "no_yeast": (
        "No yeast in the formula: nothing is used, and sucrose stays sucrose. Maltose forms all the same."
    ),
    "temperature_extrapolated": (
        "The rate of yeast is best known in dough of {low} to {high}; at {temperatures} its band is wider."
        "{warm}{cold}"
    ),
    "pressure_extrapolated": (
        "{pressure} atm is above the {highest} atm to which published pressures go; the slowing is drawn on."
    ),
    "share_extrapolated": (
        "The scald's maltose was set at {share} % scalded flour; above that little raw flour is left to "
        "make it."
    ),
    "sugar_tolerant_advised": (
        "{sugars} % sugar slows ordinary yeast: above {from} to {to} % a sugar-tolerant yeast works better."
    ),
    "sugar_slows_yeast": "From about {from} % sugar ordinary yeast begins to slow; here there is {sugars} %.",
    "rule_of_thumb": (
        "Bakers say that about {percent:g} % sugar feeds a straight dough for about {hours:g} h. By this "
        "budget the free sugar of this dough, with {sugars:.3g} % sugar, lasts {best:.3g} h ({low:.3g} to "
        "{high:.3g}; a figure of {horizon:g} means at least that)."
    ),
    "proof_with_share": (
        "With more scalded flour the proof takes longer and the dough bears less mixing. How much is not "
        "published: watch the dough, not the clock."
    ),
    "scald_sweetens_itself": (
        "How was the scald cooled? Kept at {low} to {high} it makes sugar of its own before it meets the "
        "dough. That sugar is not counted here."
    ),
    "malted_scald": (
        "The enzymes of the malt make more maltose of the scald than the flour's alone, so the high ends are "
        "higher."
    ),
    "yeast_starved": (
        "The yeast is short of sugar before the oven, and the rise will lag. More sugar, less yeast, or "
        "a shorter or cooler proof would keep it fed."
    ),
    "hungry_spell": (
        "The yeast goes short for a while ({unmet:.2g} % of flour unmet) and then lives on maltose: "
        "expect a lull in the rise."
    ),
}
_WARM = " In warmer dough yeast slows down, and in the hottest it makes no gas."
_COLD = " The colder the dough, the wider."
_SCALD_SWEETENS_LOW_DEGC = coefficient("scald_sweetens_low_degc").value
_SCALD_SWEETENS_HIGH_DEGC = coefficient("scald_sweetens_high_degc").value
_SUGAR_TOLERANT_ADVISED_HIGH_PERCENT = coefficient("sugar_tolerant_advised_percent").high


# ---- Notes ---------------------------------------------------------------------------------------


def _note(code: str, **values: Value) -> Note:
    return Note(code, TEXTS[code], values)


def budget_notes(budget: SugarBudget, yeast_tolerance: str, show: Working) -> Iterator[AnyNote]:
    """Where the budget extrapolates, and where the yeast runs short. show: to list temperatures with."""
    if budget.assessment == sugar.NO_YEAST:
        yield _note("no_yeast")
        yield _note("band")
        yield from _flour_notes(budget)
        yield from _scald_notes(budget)
        return
    yield _note("band")
    yield from _flour_notes(budget)
    yield from _temperature_notes(budget, show)
    pressure = cast("float", budget.osmotic_pressure_atm)
    if pressure > yeast.HIGHEST_KNOWN_ATM:
        yield _note(
            "pressure_extrapolated", pressure=(pressure, None), highest=(yeast.HIGHEST_KNOWN_ATM, None)
        )
    if budget.breakdown.scalded_share_percent > limits.SCALD_SHARE_LIMIT_PERCENT:
        yield _note("share_extrapolated", share=(limits.SCALD_SHARE_LIMIT_PERCENT, None))
    yield from _sugar_notes(budget, yeast_tolerance)
    if budget.breakdown.scalded_share_percent > 0:
        yield _note("proof_with_share")
    yield from _scald_notes(budget)


def _flour_notes(budget: SugarBudget) -> Iterator[AnyNote]:
    other = budget.other_flour_share
    if other > OTHER_FLOUR_NOTE_SHARE:
        yield _note("other_flour_sugars", share=100 * other, factor=maltose_factor(other))
    yield from white_wheat_unsaid(budget.flours_taken_as_white)


def _scald_notes(budget: SugarBudget) -> Iterator[Note]:
    if budget.breakdown.scalded_share_percent > 0:
        yield _note(
            "scald_sweetens_itself",
            low=(_SCALD_SWEETENS_LOW_DEGC, "temperature"),
            high=(_SCALD_SWEETENS_HIGH_DEGC, "temperature"),
        )
    if budget.malted_scald:
        yield _note("malted_scald")


def _temperature_notes(budget: SugarBudget, show: Working) -> Iterator[Note]:
    outside = [fed.stage.temperature_c for fed in budget.stages if fed.stage.outside_rate_range]
    if outside:
        yield _note(
            "temperature_extrapolated",
            low=(yeast.YEAST_RATE_LOW_DEGC, "temperature"),
            high=(yeast.YEAST_RATE_BEST_DEGC, "temperature"),
            temperatures=", ".join(dict.fromkeys(show.format(each, "temperature") for each in outside)),
            warm=Said("warm", _WARM) if max(outside) > yeast.YEAST_RATE_BEST_DEGC else "",
            cold=Said("cold", _COLD) if min(outside) < yeast.YEAST_RATE_LOW_DEGC else "",
        )


def _sugar_notes(budget: SugarBudget, yeast_tolerance: str) -> Iterator[Note]:
    percent = budget.breakdown.sugar_percent
    sugars = (percent, None)
    lasts = cast("Estimate", budget.free_sugar_lasts_hours)
    yield _note(
        "rule_of_thumb",
        percent=sugar.SUGAR_RULE_PERCENT,
        hours=sugar.SUGAR_RULE_HOURS,
        low=lasts.low,
        best=lasts.best,
        high=lasts.high,
        sugars=percent,
        horizon=sugar_course.FREE_SUGAR_HORIZON_HOURS,
    )
    if budget.sugar_tolerant_advised:
        ends = {
            "from": (sugar.SUGAR_TOLERANT_ADVISED_PERCENT, None),
            "to": (_SUGAR_TOLERANT_ADVISED_HIGH_PERCENT, None),
        }
        yield _note("sugar_tolerant_advised", sugars=sugars, **ends)
    elif yeast_tolerance == yeast.ORDINARY and percent >= sugar.SUGAR_NOTE_PERCENT:
        yield _note("sugar_slows_yeast", sugars=sugars, **{"from": (sugar.SUGAR_NOTE_PERCENT, None)})
    if budget.assessment == sugar.STARVED:
        yield _note("yeast_starved")
    elif budget.unmet_percent > 0:
        yield _note("hungry_spell", unmet=budget.unmet_percent)


# ---- The working ---------------------------------------------------------------------------------


def show_budget(
    show: Working,
    budget: SugarBudget,
    damaged_starch_percent: float,
    yeast_tolerance: str,
    bake_loss_percent: float,
) -> None:
    """The steps of a budget: pools at the start, what the stages do to them, and what stays.

    Parameters
        show : Working  the steps are added to
        budget : SugarBudget
        damaged_starch_percent : float  [% of flour]
        yeast_tolerance : str  ORDINARY or SUGAR_TOLERANT
        bake_loss_percent : float  [% of dough]
    """
    shown, breakdown = show.format, budget.breakdown
    hexose, flour = "% of flour, as hexose", "% of flour"
    if budget.compressed_yeast_percent > 0:
        _show_yeast(show, budget, yeast_tolerance)
        of_flour = shown(sugar.FLOUR["sucrose_glucofructan"])
        sucrose = f"({shown(breakdown.sucrose_percent)} + {of_flour} of the flour)"
        split = f" + {sucrose} × {shown(yeast.HEXOSE_PER_SUCROSE)} ÷ 2"
    else:
        split = ""
    for name, own, start in (
        ("glucose", breakdown.glucose_percent, budget.start.glucose),
        ("fructose", breakdown.fructose_percent, budget.start.fructose),
    ):
        show.step(
            f"{name.capitalize()} at the start",
            f"{shown(own)} + {shown(sugar.FLOUR[name])} of the flour{split}",
            start,
            unit=flour,
        )
    show.step(
        "Maltose at the start",
        f"({shown(breakdown.maltose_percent)} + {shown(sugar.FLOUR['maltose'])} of the flour) × "
        f"{shown(sugar_course.HEXOSE_PER_MALTOSE)}",
        budget.start.maltose,
        unit=hexose,
    )
    hours = shown(budget.enzyme_hours)
    reference = shown(yeast.YEAST_UPTAKE_REFERENCE_DEGC)
    show.step(
        f"Hours of the enzymes, as at {shown(yeast.YEAST_UPTAKE_REFERENCE_DEGC, 'temperature')}",
        " + ".join(
            f"{shown(fed.stage.minutes)} ÷ 60 × {shown(sugar_course.AMYLASE_RATE_Q10)}^"
            f"(({shown(fed.stage.temperature_c)} − {reference} in °C) ÷ 10)"
            for fed in budget.stages
        ),
        budget.enzyme_hours,
        unit="h",
    )
    made = (
        f"{shown(sugar_course.AMYLASE_MALTOSE_PERCENT)} × {shown(damaged_starch_percent)} ÷ "
        f"{shown(sugar_course.DAMAGED_STARCH_REFERENCE_PERCENT)} × "
        f"(1 − e^(−{shown(sugar_course.AMYLASE_RATE_PER_HOUR)} × {hours}))"
    )
    if breakdown.scalded_share_percent:
        made += (
            f" + {shown(sugar_course.SCALD_MALTOSE_PER_FLOUR_PERCENT.value)} × "
            f"{shown(breakdown.scalded_share_percent)} ÷ 100"
            f" × (1 − e^(−{shown(sugar_course.SCALD_AMYLASE_RATE_PER_HOUR)} × {hours}))"
        )
    made_hexose = budget.enzymes.made(budget.enzyme_hours)
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
        f"{shown(breakdown.dough_mass_g, 'mass')} × (1 − {shown(bake_loss_percent)} ÷ 100)",
        budget.bread_mass_g,
        "mass",
    )
    to_bread = f"× {shown(breakdown.flour_g, 'mass')} ÷ {shown(budget.bread_mass_g, 'mass')}"
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
            f"{shown(used)} ÷ 100 × {show.metric(breakdown.flour_g, 'mass')} × {per_hexose} cm³ per g",
            gas,
            "volume",
        ),
        gas,
        "volume",
    )


def _show_yeast(show: Working, budget: SugarBudget, yeast_tolerance: str) -> None:
    shown, breakdown = show.format, budget.breakdown
    show.step(
        "Yeast as compressed yeast",
        f"{shown(breakdown.instant_yeast_percent)} as instant ÷ {shown(YEAST_INSTANT_PER_COMPRESSED)}",
        budget.compressed_yeast_percent,
        unit="% of flour",
    )
    hexose = (
        f"({shown(breakdown.glucose_percent)} + {shown(breakdown.fructose_percent)} + "
        f"{shown(breakdown.sucrose_percent)} × {shown(yeast.HEXOSE_PER_SUCROSE)}) ÷ "
        f"{shown(yeast.MOLAR_MASS_HEXOSE_G)}"
    )
    double = (
        f"({shown(breakdown.maltose_percent)} + {shown(breakdown.lactose_percent)}) ÷ "
        f"{shown(yeast.MOLAR_MASS_DISACCHARIDE_G)}"
    )
    salt = (
        f"{shown(yeast.SALT_PARTICLES)} × {shown(breakdown.salt_percent)} ÷ {shown(yeast.MOLAR_MASS_SALT_G)}"
    )
    pressure, brake = cast("float", budget.osmotic_pressure_atm), cast("float", budget.brake)
    show.step(
        "Osmotic pressure of the dough's water",
        f"({hexose} + {double} + {salt}) × {shown(yeast.GAS_CONSTANT_L_ATM_PER_MOL_K)} × "
        f"{shown(yeast.PRESSURE_K)} × 1000 ÷ {shown(breakdown.hydration_percent)}",
        pressure,
        unit="atm",
    )
    kind = "sugar-tolerant" if yeast_tolerance == yeast.SUGAR_TOLERANT else "ordinary"
    show.step(
        f"Rate of {kind} yeast at that pressure",
        _slowed(pressure, yeast_tolerance),
        brake,
    )


def _slowed(pressure_atm: float, yeast_tolerance: str) -> str:
    """The rate of yeast under a pressure, as an expression: straight between the points of its kind."""
    brake = yeast.BRAKES[yeast_tolerance]
    points, floor = brake.points, brake.floor
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
        _show_warmth(show, name, fed.stage.temperature_c, fed.temperature_factor)
        show.step(
            f"{name}: wanted in an hour at {shown(fed.stage.temperature_c, 'temperature')}",
            f"{shown(yeast.YEAST_UPTAKE_G_PER_G_H)} × {shown(budget.compressed_yeast_percent)} × "
            f"{shown(cast('float', budget.brake))} × {shown(fed.temperature_factor)}",
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


def _show_warmth(show: Working, name: str, temperature_c: float, factor: float) -> None:
    """The rate of yeast at a dough temperature, read from the curve: the cubic between two of its points."""
    shown = show.format
    label = f"{name}: rate of yeast over that at {shown(yeast.YEAST_UPTAKE_REFERENCE_DEGC, 'temperature')}"
    if temperature_c >= yeast.YEAST_RATE_NONE_DEGC:
        none = shown(yeast.YEAST_RATE_NONE_DEGC)
        show.step(label, f"0, as {none} is not above {shown(temperature_c)} in °C", factor)
        return
    piece = yeast.piece_at(temperature_c)
    (left, low), (right, high) = piece.start, piece.end
    way = (temperature_c - left) / (right - left)
    show.step(
        f"{name}: way from {shown(left, 'temperature')} to {shown(right, 'temperature')}",
        f"({shown(temperature_c)} − {shown(left)} in °C) ÷ ({shown(right)} − {shown(left)} in °C)",
        way,
    )
    here, rest = shown(way), f"(1 − {shown(way)})"
    slopes = f"{bracketed(shown(piece.start_slope))} × {rest} − {bracketed(shown(piece.end_slope))} × {here}"
    show.step(
        label,
        f"{shown(low)} × (1 + 2 × {here}) × {rest}² + {shown(high)} × (3 − 2 × {here}) × {here}² + "
        f"({shown(right)} − {shown(left)} in °C) × {here} × {rest} × ({slopes})",
        factor,
    )
