"""Numbers in a call's expressions that follow from its request, calculated by a second route.

Masses are in g, volumes in cm³. An Interval is a number that the second route knows only roughly.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from math import exp, floor, log, pi, sqrt
from unicodedata import numeric

import numpy
from scipy.interpolate import PchipInterpolator

from scaldloaf.reference import COEFFICIENTS, INGREDIENTS, Ingredient
from scaldloaf.units import Units, size
from working.arithmetic import Interval
from working.exchange import Z90, Exchange, flours, formulas_in, lines_of, parts_of, strings_in, total, value
from working.trials import counted, right_water

Facts = Iterator[float | Interval]
HEATED = ("water", "fat", "sugar", "protein", "salt", "other_solids")
SUGARS = tuple(f"{name}_percent" for name in ("sucrose", "glucose", "fructose", "maltose", "lactose"))


def facts(exchange: Exchange) -> Facts:
    """Numbers of a call that are neither in its request nor the value of an earlier step."""
    for formula in formulas_in(exchange.request):
        yield from _of_formula(formula, exchange.units)
    yield from _of_pans(exchange.request, exchange.units)
    yield from _OF_CALL.get(exchange.call, lambda exchange: ())(exchange)


# ---- Formulas --------------------------------------------------------------------------------------


def composition(ingredient: Ingredient) -> dict[str, float]:
    """The parts of an ingredient that hold heat, percent; flour is one part."""
    if ingredient.is_flour:
        return {"flour": 100.0}
    sugars = sum(getattr(ingredient, sugar) for sugar in SUGARS)
    found = {kind: getattr(ingredient, f"{kind}_percent", sugars) for kind in HEATED[:-1]}
    return {**found, "other_solids": max(0.0, 100 - sum(found.values()))}


def specific_heat(ingredient: Ingredient) -> float:
    """kJ per kg and K."""
    return sum(
        percent / 100 * value(f"specific_heat_{kind}") for kind, percent in composition(ingredient).items()
    )


def _of_formula(formula: dict, units: Units) -> Facts:
    """Masses and percentages of a formula, from the sums of its lines."""
    lines, lost = lines_of(formula, units), formula.get("scald_evaporation", 0) * units.factors["mass"]
    scald, dough = ([line for line in lines if line.part == part] for part in ("scald", "dough"))
    flour, scald_flour = total(flours(lines)), total(flours(scald))
    wet = [line for line in lines if not line.ingredient.is_flour]
    water = sum(line.mass_g * line.ingredient.water_percent / 100 for line in wet) - lost
    yield from (flour, total(lines) - lost, water, 100 * water / flour)
    yield total(line for line in lines if line.ingredient.is_liquid)
    yield from (scald_flour, 100 * scald_flour / flour, total(scald), total(scald) - lost)
    if scald_flour:
        yield total(line for line in scald if line.ingredient.is_liquid) / scald_flour
    for line in lines:
        yield from (line.mass_g, 100 * line.mass_g / flour, specific_heat(line.ingredient))
        yield total(same for same in lines if same.ingredient.name == line.ingredient.name)
    for part in (*SUGARS, "salt_percent"):
        yield sum(line.mass_g * getattr(line.ingredient, part) for line in lines) / flour
    yield sum(100 * line.mass_g * _as_instant(line.ingredient) for line in lines) / flour
    yield from _of_heat(scald, dough, lost)


def _as_instant(ingredient: Ingredient) -> float:
    instant, active_dry = value("yeast_instant_per_compressed"), value("yeast_active_dry_per_compressed")
    return {None: 0, "instant": 1, "active_dry": instant / active_dry, "compressed": instant}[
        ingredient.yeast
    ]


def _of_heat(scald: list, dough: list, lost_g: float) -> Facts:
    """The composition of the scald, its liquid and solids; specific heats of what is added as one part."""
    for line in scald:
        yield from (line.mass_g * percent / 100 for percent in composition(line.ingredient).values())
    liquid = [line for line in scald if line.ingredient.is_liquid]
    for kind in HEATED:
        yield sum(line.mass_g * composition(line.ingredient).get(kind, 0) / 100 for line in liquid)
    if scald:
        heat = sum(line.mass_g * specific_heat(line.ingredient) for line in scald)
        yield (heat - lost_g * value("specific_heat_water")) / (total(scald) - lost_g)
    for liquids in combinations([line for line in dough if line.ingredient.is_liquid], 2):  # warmed together
        yield total(liquids)
        yield sum(line.mass_g * specific_heat(line.ingredient) for line in liquids) / total(liquids)


# ---- Pans ------------------------------------------------------------------------------------------


def _of_pans(request: dict, units: Units) -> Facts:
    """The volume of each pan, as a sum of slices or by the weight of its water."""
    for pan in parts_of(request):
        match pan:
            case {"kind": "volume", "volume": volume}:
                yield volume * units.factors["volume"]
            case {"kind": "water_fill", "mass": mass, "temperature": temperature}:
                density = water_density(units.from_wire(temperature, "temperature"))
                yield _about(density, 1e-5)
                yield _about(mass * units.factors["mass"] / density, 1e-5)
            case {"kind": "box" | "tapered" | "round" | "oval"}:
                yield _about(_in_slices_cm3(pan, units.factors["length"]), 1e-5)


def water_density(degc: float) -> float:
    """Density of water at 1 atm, g/cm³. Source: Tanaka et al., Metrologia 38 (2001) 301, equation 1."""
    return 0.99997495 * (1 - (degc - 3.983035) ** 2 * (degc + 301.797) / 522528.9 / (degc + 69.34881))


def _about(number: float, relative: float) -> Interval:
    return Interval(number * (1 - relative), number * (1 + relative))


def _in_slices_cm3(pan: dict, cm: float, slices: int = 2000) -> float:
    heights = (numpy.arange(slices) + 0.5) / slices

    def side(name: str) -> numpy.ndarray:
        base = pan.get(name, pan.get(f"base_{name}"))
        return cm * (base + (pan.get(name, pan.get(f"top_{name}")) - base) * heights)

    if pan["kind"] == "round":
        area = pi / 4 * side("diameter") ** 2
    else:
        area = side("length") * side("width") * (pi / 4 if pan["kind"] == "oval" else 1)
    return float(area.mean()) * pan["depth"] * cm


# ---- Bread in a pan --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Wanted:
    """The target bread: share and gluten in percent of flour, protein of the flour, water off the optimum.

    other: flour that is not white wheat, as a fraction. loss: the bake loss used.
    """

    share: float
    off_points: float = 0.0
    gluten: float = 0.0
    protein: float = 12.0
    other: float = 0.0
    loss: float = 10.0


def _of_doubt(wanted: Wanted, bread: dict) -> Facts:
    """Percent of dough that each cause may add. bread: as in a request."""
    sds = ("volume_measurement_relative_sd", "volume_by_height_relative_sd", "bake_to_bake_relative_sd")
    yield from (_percent(Z90 * value(name)) for name in sds)
    wider = 1 + value("other_flour_widening") * wanted.other
    for name in ("specific_volume_prior", "specific_volume_prior_close"):
        prior = COEFFICIENTS[name]
        yield _percent(wider * log(prior.value / prior.low))
    ends = [
        end
        for name in ("bake_loss_lidded_percent", "bake_loss_open_percent")
        for end in (COEFFICIENTS[name].low, COEFFICIENTS[name].high)
    ]
    for end in ends:
        yield 100 * abs((100 - wanted.loss) / (100 - end) - 1)
        yield 100 * abs((100 - end) / (100 - wanted.loss) - 1)
    cooling, kept = COEFFICIENTS["cooling_loss_percent"], 100 - wanted.loss
    yield from (100 * ((kept - cooling.value) / (kept - end) - 1) for end in (cooling.low, cooling.high))
    known = bread.get("scalded_share_percent", wanted.share)
    had = bread.get("gluten_percent", wanted.gluten)
    if bread["kind"] in ("prior", "calibration"):
        known, had = 0.0, 0.0
    yield _percent(wider * _share_doubt(wanted, known, had))
    known_off = bread.get("hydration_off_optimum_points", 0)
    if bread["kind"] == "calibration":
        known_off = bread["calibration"].get("own_hydration_off_optimum_points", 0)
    off, known_off = wanted.off_points / 100, known_off / 100
    here, there = _bend(off), _bend(known_off)
    losses = [getattr(here, end) * off**2 - getattr(there, end) * known_off**2 for end in _ENDS]
    yield _percent(wider * (max(losses) - losses[0]))
    if bread["kind"] == "calibration":
        yield _percent(Z90 * _sd_of_trials(bread["calibration"], wanted, off))


_ENDS = ("value", "low", "high")


def _bend(off: float):
    """The curvature of the volume on the side of the optimum that a distance lies on."""
    return COEFFICIENTS["water_volume_curvature_dry" if off < 0 else "water_volume_curvature_wet"]


def _lost(share: float, gluten: float, protein: float) -> float:
    """Percent of the flour's gluten that is lost, what was added made up for."""
    return share - gluten * INGREDIENTS["vital_gluten"].protein_percent / protein


def _volume_left(lost: float, end: str) -> float:
    """The volume at the best, the least and the most that a loss of gluten leaves."""
    over = max(0.0, lost - value("share_volume_threshold_percent")) / 100
    best = 1 - value("share_volume_loss") * over
    return {"best": best, "least": best - _share_band(lost), "most": 1.0}[end]


def _share_doubt(wanted: Wanted, known: float, had: float) -> float:
    """How much more dough the scald may take than at best, as a logarithm."""
    lost, was = _lost(wanted.share, wanted.gluten, wanted.protein), _lost(known, had, wanted.protein)
    moved = {end: _volume_left(lost, end) / _volume_left(was, end) for end in ("best", "least", "most")}
    return log(moved["best"] / min(moved.values()))


def _percent(half: float) -> float:
    """A half-width on the logarithm, as percent."""
    return 100 * (exp(half) - 1)


def _share_band(share: float) -> float:
    """How much less the volume may be at a loss of gluten; the table's last slope continues."""
    threshold = value("share_volume_threshold_percent")
    shares, bands = (
        [threshold, 10, 20, 30, 40],
        [0.0, *(value(f"share_volume_band_{at}") for at in (10, 20, 30, 40))],
    )
    beyond = bands[-1] + (bands[-1] - bands[-2]) * (share - 40) / 10
    return beyond if share > 40 else float(numpy.interp(share, shares, bands))


def _sd_of_trials(learned: dict, wanted: Wanted, off: float) -> float:
    """Standard deviation of the logarithm of the next bake's volume."""
    lost = _lost(wanted.share, wanted.gluten, wanted.protein)
    over = max(0.0, lost - value("share_volume_threshold_percent")) / 100
    way, slant = wanted.share - learned.get("base_share_percent", 0), 2 * _bend(off).value * off / 100
    gradient = numpy.array([1, -over / (1 - learned["share_volume_loss"] * over), slant * way, slant])
    covariance = numpy.zeros((4, 4))
    covariance[:3, :3] = learned["covariance"]
    covariance[3] = covariance[:, 3] = learned.get("base_water_covariance", [0.0] * 4)
    return sqrt(gradient @ covariance @ gradient + (learned["spread_percent"] / 100) ** 2)


def _of_pan_fill(exchange: Exchange) -> Facts:
    request = exchange.request
    formula = lines_of(request["formula"], exchange.units) if "formula" in request else []
    flour = flours(formula)
    white = ("bread_flour", "plain_flour", "high_gluten_flour", "cake_flour")
    other = total(line for line in flour if line.ingredient.name not in white and not line.ingredient.own)
    gluten = total(line for line in formula if line.ingredient.name == "vital_gluten")
    proteins = [line for line in flour if line.ingredient.protein_percent]
    weighed = sum(line.mass_g * line.ingredient.protein_percent for line in proteins)
    wanted = Wanted(
        exchange.reply["scalded_share_percent"] or 0.0,
        request.get("hydration_off_optimum_points", 0),
        request.get("gluten_percent", 100 * gluten / total(flour) if flour else 0.0),
        weighed / total(proteins) if proteins else 12.0,
        other / total(flour) if flour else 0.0,
        exchange.reply["bake_loss_percent"]["best"],
    )
    yield from (wanted.gluten, wanted.protein)
    yield from _of_doubt(wanted, request["bread"])


def _of_trial_fit(exchange: Exchange) -> Facts:
    if ahead := exchange.reply.get("next_bake"):
        optimum = ahead["optimum_hydration_percent"]
        off = ahead["hydration_percent"] - optimum["best"] if optimum else 0.0
        bread = {"kind": "calibration", "calibration": exchange.reply["calibration"]}
        wanted = Wanted(
            ahead["scalded_share_percent"],
            off,
            exchange.request["want"].get("gluten_percent", 0.0),
            loss=ahead["bake_loss_percent"]["best"],
        )
        yield from _of_doubt(wanted, bread)
    if (expected := right_water(counted(exchange))) is not None:
        yield from expected
    learned = exchange.reply["calibration"]
    yield Z90
    yield from (abs(number) for row in learned["covariance"] for number in row)
    yield from (abs(number) for number in learned.get("base_water_covariance", ()))
    yield from _highest_fill(exchange)


def _highest_fill(exchange: Exchange) -> Facts:
    """How far each loaf fills its pan, percent."""
    volume, length = exchange.units.factors["volume"], exchange.units.factors["length"]
    yield from (
        _about(100 * fitted["measured"] * volume / _in_slices_cm3(trial["pan"], length), 1e-5)
        for trial, fitted in zip(exchange.request["trials"], exchange.reply["fit"], strict=True)
        if trial.get("pan", {}).get("kind") in ("box", "tapered", "round", "oval")
    )


# ---- Sugar -----------------------------------------------------------------------------------------


def _of_sugar_budget(exchange: Exchange) -> Facts:
    """The sugar left and the sugar missing, in small steps from the working's own starts and rates."""
    request = exchange.request
    yield value("yeast_uptake_reference_degc") + 273.15
    hours = [stage["minutes"] / 60 for stage in request["stages"]]
    starts = tuple(
        exchange.step(f"{name} at the start")["value"] for name in ("Glucose", "Fructose", "Maltose")
    )
    yield from (sum(hours), sum(starts))
    yield from _yeast_curve()
    rates = [step["value"] for step in exchange.steps if ": needed in an hour at " in step["label"]]
    paces = tuple(value("amylase_rate_q10") ** ((degc - 30) / 10) for degc in _stages_degc(exchange))
    worked = sum(pace * each for pace, each in zip(paces, hours, strict=True))
    yield worked
    lines = lines_of(request["formula"], exchange.units)
    flour, sucrose = (
        total(flours(lines)),
        sum(line.mass_g * line.ingredient.sucrose_percent for line in lines),
    )
    yield 0.0 if rates else sucrose / flour + value("flour_sucrose_glucofructan_percent")
    usual = value("damaged_starch_reference_percent")
    damaged = request.get("damaged_starch_percent", usual) / usual
    scalded = total(line for line in flours(lines) if line.part == "scald") / flour
    legs = tuple(zip(hours, rates or [0.0] * len(hours), paces, strict=True))
    glucose, fructose, maltose, unmet = fermented(starts, legs, damaged, scalded)
    for pool in (glucose, fructose, maltose / value("hexose_per_maltose"), *unmet):
        yield Interval(pool - 3e-3, pool + 3e-3)


def _stages_degc(exchange: Exchange) -> list[float]:
    from_wire = exchange.units.from_wire
    return [from_wire(stage["temperature"], "temperature") for stage in exchange.request["stages"]]


def _yeast_curve() -> Facts:
    """The points of the rate of yeast by temperature, and its slopes there."""
    per_degree, low = value("yeast_rate_per_degc"), value("yeast_rate_at_low")
    points = {0: low / per_degree**20, 10: low / per_degree**10, 20: low, 30: 1.0}
    points |= {36: value("yeast_rate_at_best"), 40: value("yeast_rate_at_falling"), 43: 0.0}
    slopes = PchipInterpolator(list(points), list(points.values())).derivative()
    yield from (float(rate) for rate in points.values())
    yield from (float(slopes(degc)) for degc in points)


@cache
def fermented(
    starts: tuple, legs: tuple, damaged: float, scalded: float
) -> tuple[float, float, float, list[float]]:
    """Glucose, fructose and maltose at the end, as hexose, and the shortfall of each stage.

    In steps of two seconds. legs: hours, the demand per hour and the enzymes' pace. damaged: starch, relative
    to the usual. scalded: share of the flour.
    """
    glucose, fructose, maltose = starts
    makers = [
        (
            value("hexose_per_maltose") * value("amylase_maltose_percent") * damaged,
            value("amylase_rate_per_hour"),
        ),
        (
            value("hexose_per_maltose") * value("scald_maltose_per_flour_percent") * scalded,
            value("scald_amylase_rate_per_hour"),
        ),
    ]
    switch, lag = value("maltose_switch_percent"), value("maltose_lag_minutes") / 60
    glucose_share, maltose_share = value("glucose_uptake_share"), value("maltose_uptake_share")
    now, worked, opened, short = 0.0, 0.0, False, []
    for hours, rate, hastened in legs:
        count = max(1, round(hours * 1800))
        tick, unmet = hours / count, 0.0
        for _ in range(count):
            ripe = tick * hastened
            maltose += sum(most * exp(-pace * worked) * (1 - exp(-pace * ripe)) for most, pace in makers)
            worked += ripe
            need, free = rate * tick, glucose + fructose
            opened = opened or (free <= switch and now >= lag)
            drawn = min(maltose, need * (maltose_share if free > 0 else 1)) if opened else 0.0
            first = min(glucose, (need - drawn) * (glucose_share if fructose > 0 else 1))
            second = min(fructose, need - drawn - first)
            first = min(glucose, need - drawn - second)
            glucose, fructose, maltose = glucose - first, fructose - second, maltose - drawn
            unmet += need - drawn - first - second
            now += tick
        short.append(unmet)
    return glucose, fructose, maltose, short


# ---- Other calls -----------------------------------------------------------------------------------


def _of_hydration_correction(exchange: Exchange) -> Facts:
    """Lines of the moved formula; the term "all lines" and each intermediate step check them."""
    yield from (line.mass_g for line in lines_of(exchange.reply["formula"], exchange.units))
    yield exchange.reply["formula"]["scald_evaporation"]


def _of_dough_temperature(exchange: Exchange) -> Facts:
    rule, kilograms = exchange.request["rule"], exchange.units.factors["mass"] / 1000
    parts = rule.get("parts", ())
    yield from (specific_heat(INGREDIENTS[part["name"]]) for part in parts if part["name"] in INGREDIENTS)
    for part in parts:  # its ice, where it is frozen
        row = INGREDIENTS.get(part["name"])
        ice = part.get("water_percent", row.water_percent if row else 0)
        yield ice / 100 * part["mass"] * kilograms
    if "formula" in rule:
        lines = [line for line in lines_of(rule["formula"], exchange.units) if not line.ingredient.is_flour]
        yield from (line.mass_g * line.ingredient.water_percent / 1e5 for line in lines)
        scald = [line for line in lines if line.part == "scald"]
        lost = rule["formula"].get("scald_evaporation", 0) * kilograms
        yield sum(line.mass_g * line.ingredient.water_percent / 1e5 for line in scald) - lost


def _of_order_demand(exchange: Exchange) -> Facts:
    """Multiples of the formula; the other side of the order's own step checks them."""
    yield from (order["factor"] for order in exchange.reply["orders"])
    yield from masses_of_the_day(exchange).values()
    if "scale" in exchange.request:
        yield from weighed_on_the_day(exchange).values()


def weighed_on_the_day(exchange: Exchange) -> dict[str, float]:
    """By ingredient, in the request's unit: the rounded lines of all batches, and dusting in whole steps."""
    step, masses = exchange.request["scale"]["resolution"], {}
    for recipe, made in zip(exchange.request["formulas"], exchange.reply["formulas"], strict=True):
        strewn = max(step, floor(made["dusting"] / step + 0.5) * step) if made["dusting"] else 0
        dusted = recipe.get("dusting_ingredient", "bread_flour"), 1, strewn
        lines = [(line["ingredient"], made["batches"], line["mass"]) for line in made["batch_weigh_out"]]
        for name, times, mass in (*lines, dusted):
            masses[name] = masses.get(name, 0) + times * mass
    return masses


def masses_of_the_day(exchange: Exchange) -> dict[str, float]:
    """By ingredient, g: each order's lines times its factor, and what is strewn."""
    made = {made["id"]: made for made in exchange.request["formulas"]}
    masses: dict[str, float] = {}
    for order in exchange.reply["orders"]:
        recipe = made[order["formula"]]
        lines = lines_of(recipe["formula"], exchange.units)
        used = [(line.ingredient.name, line.mass_g) for line in lines]
        dusting = total(flours(lines)) * recipe.get("dusting_percent", 0) / 100
        for name, mass_g in (*used, (recipe.get("dusting_ingredient", "bread_flour"), dusting)):
            masses[name] = masses.get(name, 0) + mass_g * order["factor"]
    return masses


def _of_loaf_plan(exchange: Exchange) -> Facts:
    """The results of its parts, whose workings are each checked separately."""
    for part in exchange.reply["parts"].values():
        yield from (step["value"] for step in part["working"])
    yield from (line["mass"] for line in exchange.reply["parts"]["scaling"]["weigh_out"])


def _of_variants(exchange: Exchange) -> Facts:
    """The figures of the rows, each of which is a single call's (tests/contract/test_variants.py), and what
    is weighed."""
    for row in exchange.reply["variants"]:
        if "problem" in row:
            continue
        yield row["hydration_percent"]
        yield from (row[name]["best"] for name in ("dough_mass", "filling_dough_mass"))
        if row["sweetness_percent"] is not None:
            yield row["sweetness_percent"]["best"]
    together = exchange.reply["weigh_out"]
    for mix in (*together["scalds"], together["common"]):
        yield from (line["mass"] for line in (mix or {"lines": []})["lines"])


def _of_recipe_export(exchange: Exchange) -> Facts:
    """What the printed lines come to (tests/exporting/test_amounts.py)."""
    yield from (line["printed_mass"] for line in exchange.reply["lines"])


def _of_share_limit(exchange: Exchange) -> Facts:
    """The shares of the reply (tests/contract/test_share_limit.py tries each), and the flours of the formula
    by kind and part."""
    reply = exchange.reply
    yield reply["scalded_share_percent"]["best"]
    yield reply["plan"]["scald_liquid_ratio"] or 0
    yield from (each["scalded_share_percent"] for each in reply["loosenings"])
    lines = flours(lines_of(reply["request"]["formula"], exchange.units))
    for kind in {line.ingredient.name for line in lines}:
        for parts in (("scald",), ("scald", "dough")):
            yield total(line for line in lines if line.ingredient.name == kind and line.part in parts)
    yield from (total(lines), total(line for line in lines if line.part == "scald"))


def _of_recipe_import(exchange: Exchange) -> Facts:
    """Every possible amount of a recipe's lines, and the content of kitchen measures."""
    request = exchange.request
    texts = (
        request.get("lines") or request.get("text", "").splitlines() or list(strings_in(request["recipe"]))
    )
    yield from range(1, len(texts) + 1)
    for text in texts:
        text = re.sub(r"(\d),(\d)", r"\1.\2", text)
        yield from map(float, re.findall(r"\d+(?:\.\d+)?", text))
        for whole, above, below, sign in re.findall(r"(?:(\d+) )?(?:(\d+)/(\d+)|([½¼¾⅓⅔]))", text):
            yield float(whole or 0) + (float(above) / float(below) if above else numeric(sign))
        yield from ((float(low) + float(high)) / 2 for low, high in re.findall(r"([\d.]+)[–-]([\d.]+)", text))
    for measure in ("cup_us", "tablespoon_us", "teaspoon_us", "tablespoon_metric", "cup_japanese"):
        yield size("volume", measure)
    yield from (size("mass", name) for name in ("butter_stick", "oz", "lb", "kg"))
    yield from (row.density_g_per_cm3 for row in INGREDIENTS.values() if row.density_g_per_cm3)


_OF_CALL = {
    "hydration-correction": _of_hydration_correction,
    "pan-fill": _of_pan_fill,
    "sugar-budget": _of_sugar_budget,
    "dough-temperature": _of_dough_temperature,
    "order-demand": _of_order_demand,
    "trial-fit": _of_trial_fit,
    "loaf-plan": _of_loaf_plan,
    "variants": _of_variants,
    "recipe-export": _of_recipe_export,
    "share-limit": _of_share_limit,
    "recipe-import": _of_recipe_import,
    # A guess is right once in 3; 0 is the least share of tasters; Friedman's chi-square has a 3 of its own.
    "tasting-plan": lambda exchange: iter((3,)),
    "tasting-result": lambda exchange: iter((0, 3)),
}
