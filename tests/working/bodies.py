"""Requests whose answers reach every step of every call's working, and every branch of its expressions.

They are metric; ``in_units`` converts one to other units.
"""

from math import exp

import pytest

from scaldloaf.operations.lantern_quay import TIN_LOAF
from scaldloaf.operations.registry import OPERATIONS
from scaldloaf.units import units_of
from working.exchange import Exchange, ask

STAGES = [{"name": "bulk", "minutes": 90, "temperature": 28}, {"minutes": 60, "temperature": 31}]
ROUX = {
    "name": "roux",
    "scald_evaporation": 8,
    "lines": [
        {"ingredient": "bread_flour", "mass": 30, "part": "scald"},
        {"ingredient": "water", "mass": 150, "part": "scald"},
        {"ingredient": "bread_flour", "mass": 400},
        {"ingredient": "plain_flour", "mass": 70},
        {"ingredient": "whole_milk", "mass": 120},
        {"ingredient": "honey", "mass": 25},
        {"ingredient": "whole_egg", "mass": 55},
        {"ingredient": "butter", "mass": 40},
        {"ingredient": "salt", "mass": 9},
        {"ingredient": "active_dry_yeast", "mass": 7},
    ],
}
BOX = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
TAPERED = {
    "kind": "tapered",
    "top_length": 21.5,
    "top_width": 11.5,
    "base_length": 19,
    "base_width": 9,
    "depth": 7,
}
ROUND = {"kind": "round", "top_diameter": 15, "base_diameter": 14, "depth": 13}
OVAL = {"kind": "oval", "top_length": 24, "top_width": 15, "base_length": 21, "base_width": 12, "depth": 8}
KNOWN = [
    {"name": "flour", "temperature": 23},
    {"name": "room", "temperature": 25},
    {"name": "scald", "temperature": 19},
]
CALIBRATION = {
    "version": 1,
    "log_specific_volume": 1.42,
    "share_volume_loss": 0.31,
    "water_slope": 0.24,
    "covariance": [[0.0006, 0.0012, 0], [0.0012, 0.006, 0], [0, 0, 0.004]],
    "bake_loss_percent": 10.4,
    "bake_loss_sd_percent": 0.7,
    "spread_percent": 1.5,
    "trials": 4,
    "base_share_percent": 20,
}
WITH_WATER = {
    **CALIBRATION,
    "water_slope_ratio": 1.5,
    "base_hydration_percent": 67.5,
    "base_water_covariance": [0.001, -0.002, 0.003, 4],
}
TABLE = [
    {"scalded_share_percent": share, "hydration_percent": hydration}
    for share, hydration in ((40, 73), (0, 61), (20, 66.5))
]


def lines(part="dough", **amounts) -> list[dict]:
    return [{"ingredient": name, "mass": mass, "part": part} for name, mass in amounts.items()]


def percents(**amounts) -> dict:
    return {"lines": [{"ingredient": name, "percent": percent} for name, percent in amounts.items()]}


LEAN = percents(bread_flour=100, water=65, salt=2, instant_yeast=0.8)
DRY = {"lines": lines(bread_flour=500, sucrose=30, salt=9)}
PLAIN = {"lines": lines(bread_flour=500, water=320, whole_milk=40, sucrose=25, salt=9, compressed_yeast=15)}
# A scald of milk, boiled down without flour.
CREAM = {
    "scald_evaporation": 30,
    "lines": [*lines("scald", whole_milk=150), *lines(bread_flour=500, water=250, salt=9)],
}
MILKY = {
    "lines": [
        *lines("scald", bread_flour=90, whole_milk=140),
        *lines(bread_flour=300, plain_flour=60, water=170, cream=0, sucrose=20, salt=8, instant_yeast=4),
    ]
}
OWN = {
    "lines": [
        *lines(bread_flour=380, water=270, instant_yeast=4),
        {
            "ingredient": "house mix",
            "mass": 120,
            "composition": {
                "is_flour": True,
                "water_percent": 11.5,
                "sucrose_percent": 8,
                "salt_percent": 4,
                "fat_percent": 2,
            },
        },
        {"ingredient": "malt syrup", "mass": 15, "composition": {"water_percent": 22, "maltose_percent": 52}},
    ]
}


def sweet(**amounts) -> dict:
    return {"lines": lines(**{"bread_flour": 500, "water": 290, "salt": 8, "instant_yeast": 5, **amounts})}


def poured(flour_c=20, liquid_c=95, room_c=None, **scald) -> dict:
    room = {} if room_c is None else {"room_temperature": room_c}
    return {
        "scald": {"kind": "masses", "flour_mass": 100, "liquid_mass": 120, **scald},
        "method": {"kind": "pour_over", "flour_temperature": flour_c, "liquid_temperature": liquid_c, **room},
    }


def prices(**of_a_kilogram) -> list[dict]:
    return [{"ingredient": name, "price": price, "per": 1000} for name, price in of_a_kilogram.items()]


def tasting_plan(test: str, **more) -> tuple[str, dict]:
    return "tasting-plan", {"test": test, "samples": ["plain", "roux"], "draw": 11, **more}


def tasting_result(test: str, **more) -> tuple[str, dict]:
    return "tasting-result", {"test": test, **more}


def rankings(*orders: str) -> list[list[str]]:
    """Each order a word, whose letters are the samples."""
    return [list(order) for order in orders]


def cooked(formula=ROUX, **more) -> dict:
    return {
        "scald": {"kind": "formula", "formula": formula},
        "method": {"kind": "cooked", "core_temperature": 68},
        **more,
    }


PLAIN_OWN = {
    "lines": [
        {"ingredient": "mill flour", "mass": 500, "composition": {"is_flour": True, "water_percent": 14}},
        *lines(water=330, salt=9),
    ]
}
SWEET_SCALD = {
    "lines": [
        *lines("scald", bread_flour=100, whole_milk=130, sucrose=20),
        *lines(bread_flour=300, whole_milk=60, water=90, salt=8),
    ]
}
WITH_RYE = {
    "lines": [
        *lines("scald", bread_flour=100, water=100),
        *lines(bread_flour=300, rye_flour=100, water=230, salt=9, vital_gluten=5),
    ]
}


def cooling(surroundings_c) -> dict:
    return {
        "surroundings_temperature": surroundings_c,
        "readings": [{"minutes": 5, "temperature": 62}, {"minutes": 40, "temperature": 44}],
    }


def scored(name, *scores) -> dict:
    return {"name": name, "scores": [{"days": days, "score": score} for days, score in scores]}


def keeping(direction, *loaves, **more) -> tuple:
    return "keeping", {"direction": direction, "unit": "N", "loaves": list(loaves), **more}


def fills(bread, pan=None, **more) -> tuple:
    return "pan-fill", {"pan": pan or BOX, "bread": bread, **more}


def scales(target, formula=ROUX, **more) -> tuple:
    return "scaling", {"formula": formula, "target": target, **more}


def moves(formula, **more) -> tuple:
    return "hydration-correction", {"formula": formula, **more}


def budgets(formula, stages=None, **more) -> tuple:
    return "sugar-budget", {"formula": formula, "stages": stages or STAGES, **more}


def tempers(kind, rule, **more) -> tuple:
    return "dough-temperature", {"rule": {"kind": kind, **rule}, **more}


BODIES = [
    *(
        (operation.name, example.body)
        for operation in OPERATIONS
        for example in operation.examples
        if not example.body.get("units")
    ),
    *(("breakdown", {"formula": formula}) for formula in (ROUX, LEAN, DRY, OWN, CREAM, MILKY)),
    *(
        scales(target, losses={"handling_percent": 2, "bake_percent": 11, "rule": rule})
        for rule in ("compounded", "added")
        for target in (
            {"kind": "baked_pieces", "count": 7, "mass": 410},
            {"kind": "dough_mass", "mass": 3000},
            {"kind": "flour_mass", "mass": 1200},
            {"kind": "on_hand", "ingredient": "bread_flour", "mass": 900},
        )
    ),
    *(
        scales(
            {"kind": "baked_pieces", "count": 7, "mass": 410},
            losses={"handling_percent": 2, "bake_percent": 11, "cooling_loss_percent": 1.5, "rule": rule},
        )
        for rule in ("compounded", "added")
    ),
    scales({"kind": "pieces", "count": 5, "mass": 470}, LEAN, losses={"bake_percent": 11}),
    scales(
        {"kind": "baked_pieces", "count": 3, "mass": 800},
        TIN_LOAF,
        losses={"bake_percent": 12.5},
        scale={"resolution": 2},
    ),
    scales(
        {"kind": "baked_pieces", "count": 3, "mass": 800},
        scale={"resolution": 2, "fine_resolution": 0.5, "fine_below": 60},
    ),
    scales({"kind": "factor", "factor": 1.7}, TIN_LOAF),
    moves(ROUX, scalded_share_percent=7.5, hydration_percent=71),
    moves(
        TIN_LOAF,
        scald_liquid_ratio=1.5,
        scalded_share_percent=24,
        flour={
            "moisture_percent": 12.5,
            "base_moisture_percent": 14,
            "absorption_percent": 61,
            "base_absorption_percent": 64,
        },
    ),
    moves(TIN_LOAF, flour={"moisture_percent": 12}, hold="flour_mass", bake_loss_percent=12),
    moves(TIN_LOAF, scalded_share_percent=12, water_curve=TABLE),
    moves(TIN_LOAF),
    moves(TIN_LOAF, flour={"absorption_percent": 62, "base_absorption_percent": 62}),
    moves(LEAN, flour={"absorption_percent": 62, "base_absorption_percent": 62, "moisture_percent": 14}),
    moves(TIN_LOAF, water_curve=TABLE),
    moves(TIN_LOAF, water_curve=TABLE, gluten_percent=0.2),
    moves(TIN_LOAF, calibration=WITH_WATER),
    moves(TIN_LOAF, scalded_share_percent=18, scald_liquid_ratio=2, calibration=WITH_WATER),
    moves(
        {"lines": lines(vital_gluten=8, water=300, bread_flour=500, salt=9)},
        flour={"absorption_percent": 62, "base_absorption_percent": 62},
    ),
    moves(TIN_LOAF, scalded_share_percent=30, gluten_percent=1),
    moves(TIN_LOAF, scalded_share_percent=15, gluten_percent=1.5),
    moves(MILKY, scalded_share_percent=19.5, gluten_percent=2.5),
    moves(TIN_LOAF, scald_liquid_ratio=0.5),
    moves(PLAIN_OWN, scalded_share_percent=15),
    moves(SWEET_SCALD, scalded_share_percent=20),
    moves(TIN_LOAF, scalded_share_percent=14, scald_liquid_ratio=5, scald_liquids=["water", "whole_milk"]),
    moves(TIN_LOAF, scalded_share_percent=0, calibration={**CALIBRATION, "water_slope": -0.05}),
    moves(TIN_LOAF, scalded_share_percent=25, adjust_with="whole_milk"),
    moves(PLAIN, scalded_share_percent=15, calibration=CALIBRATION),
    moves(MILKY, scalded_share_percent=18, hydration_percent=75),
    moves(MILKY, scalded_share_percent=19.5, hydration_percent=66),
    moves(ROUX, scalded_share_percent=5, scald_liquid_ratio=5.5),
    moves(CREAM, scalded_share_percent=10),
    moves(OWN, scalded_share_percent=10, scald_liquid_ratio=0.8),
    moves(percents(bread_flour=100, water=66), scalded_share_percent=10),
    moves(percents(bread_flour=100, water=66, salt=2), scalded_share_percent=10),
    fills({"kind": "prior"}, formula=TIN_LOAF, pans=6),
    fills({"kind": "prior", "crumb": "close"}, TAPERED, scalded_share_percent=12, fill_percent=104),
    fills({"kind": "prior"}, formula=TIN_LOAF, lid=False, gluten_percent=1),
    fills(
        {"kind": "specific_volume", "specific_volume": 4.1, "gluten_percent": 1.5}, scalded_share_percent=30
    ),
    fills({"kind": "prior"}, formula=WITH_RYE, lid=True, fill_percent=102),
    fills(
        {"kind": "reference_loaf", "dough_mass": 450, "fill_percent": 98, "scalded_share_percent": 10},
        scalded_share_percent=30,
        gluten_percent=0.8,
    ),
    fills(
        {
            "kind": "reference_loaf",
            "dough_mass": 900,
            "fill_percent": 100,
            "pan": {**BOX, "length": 37},
            "scalded_share_percent": 20,
            "gluten_percent": 1,
        },
        scalded_share_percent=30,
        gluten_percent=2,
    ),
    fills(
        {"kind": "prior"}, ROUND, scalded_share_percent=4, fill_percent=130, hydration_off_optimum_points=2.5
    ),
    fills(
        {"kind": "reference_loaf", "dough_mass": 440, "loaf_volume": 1715, "scalded_share_percent": 20},
        {"kind": "water_fill", "mass": 1700, "temperature": 18},
        scalded_share_percent=30,
    ),
    fills(
        {
            "kind": "reference_loaf",
            "dough_mass": 450,
            "loaf_volume": 1690,
            "bake_loss_percent": 9.5,
            "scalded_share_percent": 3,
            "hydration_off_optimum_points": 1,
        },
        OVAL,
        scalded_share_percent=25,
        bake_loss_percent=11,
        hydration_off_optimum_points=-3,
    ),
    fills(
        {
            "kind": "pan_ratio",
            "pan_ratio": 3.9,
            "scalded_share_percent": 20,
            "hydration_off_optimum_points": -2,
        },
        fill_percent=96,
        scalded_share_percent=35,
    ),
    fills({"kind": "pan_ratio", "pan_ratio": 2.6, "fill_percent": 150}, TAPERED, fill_percent=160, pans=2),
    fills(
        {"kind": "specific_volume", "specific_volume": 4.3, "scalded_share_percent": 10},
        {"kind": "volume", "volume": 1650},
        scalded_share_percent=28,
        bake_loss_percent=9,
    ),
    fills({"kind": "specific_volume", "specific_volume": 4.1}),
    fills(
        {"kind": "specific_volume", "specific_volume": 4.1}, bake_loss_percent=10, cooling_loss_percent=1.8
    ),
    fills(
        {"kind": "calibration", "calibration": CALIBRATION}, scalded_share_percent=30, bake_loss_percent=11
    ),
    fills(
        {"kind": "calibration", "calibration": {**CALIBRATION, "share_volume_loss": -0.1}},
        formula=ROUX,
        hydration_off_optimum_points=4,
    ),
    budgets(ROUX, bake_loss_percent=11),
    budgets(
        PLAIN,
        [{"minutes": 90, "temperature": degc} for degc in (4, 15, 24, 34, 38, 41.5, 44)],
        bake_loss_percent=12,
    ),
    budgets(DRY),
    budgets(OWN, damaged_starch_percent=11),
    budgets(sweet(sucrose=25)),
    budgets(sweet(sucrose=60)),
    budgets(sweet(sucrose=190)),
    budgets(sweet(glucose=90), yeast_tolerance="sugar_tolerant"),
    budgets(sweet(sucrose=15), yeast_tolerance="sugar_tolerant"),
    budgets(sweet(sucrose=190), yeast_tolerance="sugar_tolerant"),
    budgets(
        sweet(sucrose=0, instant_yeast=20),
        [{"minutes": 75, "temperature": 28}, {"minutes": 200, "temperature": 33}],
    ),
    (
        "order-demand",
        {
            "formulas": [
                {"id": "loaf", "formula": TIN_LOAF, "mixer_capacity": 2000, "dusting_percent": 1.5},
                {"id": "roux 2", "formula": ROUX, "losses": {"handling_percent": 3, "bake_percent": 12}},
                {"id": "lean", "formula": LEAN, "losses": {"bake_percent": 12}},
                {"id": "none of it", "formula": PLAIN},
            ],
            "orders": [
                {"formula": "loaf", "target": {"kind": "pieces", "count": 9, "mass": 450}},
                {"formula": "loaf", "id": "café 7", "target": {"kind": "dough_mass", "mass": 1500}},
                {"formula": "roux 2", "target": {"kind": "baked_pieces", "count": 14, "mass": 400}},
                {"formula": "roux 2", "target": {"kind": "pans", "count": 4, "dough_mass": 900}},
                {"formula": "lean", "target": {"kind": "baked_pieces", "count": 20, "mass": 80}},
                {"formula": "loaf", "target": {"kind": "pieces", "count": 9, "mass": 450}},
            ],
        },
    ),
    tempers(
        "simple_friction_total",
        {"target": 24, "known": KNOWN, "friction_total": 16},
        tap_temperature=15,
        water_mass=4000,
    ),
    tempers("simple_friction_total", {"target": 25, "known": KNOWN[:1], "friction_total": -3}),
    tempers(
        "simple_temperature_rise", {"target": 23, "known": KNOWN, "temperature_rise": 2}, tap_temperature=20
    ),
    tempers("base_temperature", {"base": 62, "known": KNOWN[:2]}, tap_temperature=12, water_mass=4000),
    tempers(
        "friction_from_measured",
        {
            "dough_temperature": 27,
            "known": [*KNOWN, {"name": "milk", "temperature": -1}],
            "water_temperature": 8,
        },
    ),
    tempers(
        "heat_balance",
        {
            "target": 25,
            "formula": TIN_LOAF,
            "flour_temperature": 29,
            "scald_temperature": 33,
            "temperature_rise": 6,
        },
        tap_temperature=18,
        ice_temperature=-12,
    ),
    tempers(
        "heat_balance",
        {
            "target": 23,
            "formula": ROUX,
            "flour_temperature": 24,
            "scald_temperature": 28,
            "others_temperature": 18,
            "temperature_rise": -1,
            "adjust_with": ["whole_milk"],
            "ingredient_temperatures": [{"ingredient": "whole_egg", "temperature": 4}],
        },
    ),
    tempers(
        "heat_balance",
        {
            "target": 9,
            "formula": ROUX,
            "flour_temperature": 27,
            "scald_temperature": -6,
            "temperature_rise": 6,
            "adjust_with": ["whole_milk"],
            "ingredient_temperatures": [
                {"ingredient": "whole_egg", "temperature": 38},
                {"ingredient": "honey", "temperature": -18},
            ],
        },
    ),
    tempers(
        "heat_balance_parts",
        {
            "target": 26,
            "temperature_rise": 3,
            "water_mass": 300,
            "parts": [
                {"name": "bread_flour", "mass": 800, "temperature": 27},
                {"name": "whole_milk", "mass": 40, "temperature": -4},
                {"name": "yolk", "mass": 30, "temperature": -9, "specific_heat": 3, "water_percent": 44},
                {"name": "old dough", "mass": 400, "temperature": 8, "specific_heat": 2.99},
            ],
        },
        tap_temperature=14,
    ),
    ("scald-preparation", poured()),
    (
        "scald-preparation",
        poured(liquid_c=84, room_c=17, liquid_mass=150, liquid="whole_milk", flour="plain_flour"),
    ),
    ("scald-preparation", poured(liquid_c=72)),
    ("scald-preparation", {**poured(liquid_c=97), "stirred": "mixer"}),
    ("scald-preparation", {**poured(liquid_c=60, room_c=30), "stirred": "mixer"}),
    ("scald-preparation", {**poured(18, 19, 21), "stirred": "mixer"}),
    ("scald-preparation", poured(liquid_c=100, liquid_mass=900)),
    ("scald-preparation", poured(liquid_c=99, liquid_mass=240)),
    ("scald-preparation", poured(liquid_c=95, liquid_mass=60)),
    ("scald-preparation", poured(liquid_c=55, room_c=20)),
    ("scald-preparation", poured(18, 19, 21)),
    ("scald-preparation", poured(20, 72, 68)),
    ("scald-preparation", poured(liquid_c=90, liquid_mass=60, room_c=35, flour_c=-15)),
    (
        "scald-preparation",
        {
            "scald": {
                "kind": "formula",
                "formula": {
                    "lines": [
                        *lines("scald", bread_flour=100, whole_milk=130, sucrose=20, salt=2),
                        *lines(bread_flour=300, water=150),
                    ]
                },
            },
            "method": poured(22, 99)["method"],
        },
    ),
    (
        "scald-preparation",
        cooked(
            weighed={"mass": 900, "container_mass": 740},
            cooling=cooling(3),
            timetable={"stages": [{"name": "cool", "minutes": 240}, {"name": "bake", "minutes": 38.5}]},
        ),
    ),
    ("scald-preparation", cooked(weighed={"mass": 176}, cooling=cooling(12))),
    ("scald-preparation", cooked(cooling=cooling(30))),
    (
        "trial-fit",
        {
            "trials": [
                {
                    "scalded_share_percent": 20,
                    "hydration_percent": 69,
                    "dough_mass": 440,
                    "loaf_volume": 1690,
                    "baked_mass": 394,
                },
                {
                    "scalded_share_percent": 30,
                    "hydration_percent": 73,
                    "dough_mass": 450,
                    "pan": BOX,
                    "fill_percent": 94,
                    "name": "9 May",
                },
                {
                    "scalded_share_percent": 0,
                    "dough_mass": 520,
                    "pan": {**BOX, "depth": 7},
                    "crown_height": 4,
                },
            ],
            "want": {"pan": BOX, "fill_percent": 97, "scalded_share_percent": 35, "hydration_percent": 72},
        },
    ),
    (
        "trial-fit",
        {
            "trials": [
                {"scalded_share_percent": 20, "dough_mass": 440, "loaf_volume": 1700, **weighed}
                for weighed in (
                    {"oven_mass": 397, "baked_mass": 390},
                    {"baked_mass": 389, "cooling_loss_percent": 1.4},
                    {"baked_mass": 388},
                    {"oven_mass": 396},
                    {"cooling_loss_percent": 2.2},
                )
            ]
        },
    ),
    (
        "trial-fit",
        {
            "trials": [
                {
                    "scalded_share_percent": 25,
                    "dough_mass": 450,
                    "loaf_volume": 1690,
                    "hydration_percent": 50,
                    "gluten_percent": 0.5,
                    "pan": BOX,
                },
                {
                    "scalded_share_percent": 30,
                    "dough_mass": 480,
                    "pan": BOX,
                    "fill_percent": 102,
                    "hydration_percent": 55,
                    "gluten_percent": 4,
                },
            ],
            "crumb": "close",
            "absorption_percent": 61,
            "want": {"pan": BOX, "fill_percent": 104, "scalded_share_percent": 30, "gluten_percent": 1},
        },
    ),
    (  # so dry that no effect of water is known, and as small as that makes a loaf
        "trial-fit",
        {
            "trials": [
                {
                    "scalded_share_percent": 10,
                    "dough_mass": 450,
                    "loaf_volume": 850,
                    "hydration_percent": 50,
                    "gluten_percent": 2,
                }
            ],
            "absorption_percent": 70,
            "want": {"pan": BOX, "fill_percent": 60, "scalded_share_percent": 30, "gluten_percent": 1},
        },
    ),
    (
        "trial-fit",
        {
            "trials": [
                {"scalded_share_percent": 20, "dough_mass": 450, "loaf_volume": 1690, "hydration_percent": 77}
            ],
            "want": {"pan": BOX, "scalded_share_percent": 25},
        },
    ),
    (
        "trial-fit",
        {
            "trials": [
                {
                    "scalded_share_percent": 20,
                    "dough_mass": 440,
                    "loaf_volume": 1700,
                    "baked_mass": 392,
                    "cooling_loss_percent": 0,
                }
            ]
        },
    ),
    (
        "trial-fit",
        {
            "trials": [
                {"scalded_share_percent": 20, "dough_mass": 450, "loaf_volume": 1690, "hydration_percent": 67}
            ],
            "want": {"pan": BOX, "lid": True, "scalded_share_percent": 30},
        },
    ),
    (
        "trial-fit",
        {
            "trials": [
                {"scalded_share_percent": share, "dough_mass": 900, "pan": pan, "crown_height": crown}
                for share, pan, crown in ((3, TAPERED, 5), (25, ROUND, 4.5), (30, OVAL, 6))
            ],
            "scald_liquid_ratio": 2.5,
        },
    ),
    (
        "trial-fit",
        {
            "trials": [
                {
                    "scalded_share_percent": 10,
                    "dough_mass": 440,
                    "loaf_volume": 1700,
                    "baked_mass": 400,
                    "hydration_percent": 67,
                    "volume_sd_percent": 1,
                }
            ],
            "right_water": {"scalded_share_percent": 0, "hydration_percent": 65},
            "want": {"pan": TAPERED, "fill_percent": 140, "scalded_share_percent": 15},
        },
    ),
    (
        "trial-fit",
        {
            "trials": [
                {
                    "scalded_share_percent": share,
                    "hydration_percent": hydration,
                    "dough_mass": 450,
                    "loaf_volume": volume,
                }
                # A slope so unusual that a bake's water is off by more than the effect of water is known for.
                for share, hydration, volume in (
                    (0, 62, 1740),
                    (60, 64, 1166),
                    (60, 90, 2575),
                    (60, 92, 2354),
                )
            ],
            "right_water": {"scalded_share_percent": 0, "hydration_percent": 62},
        },
    ),
    (
        "loaf-plan",
        {
            "formula": TIN_LOAF,
            "scalded_share_percent": 30,
            "pan": BOX,
            "pans": 4,
            "bread": {"kind": "prior"},
            "losses": {"handling_percent": 2.5},
        },
    ),
    (
        "loaf-plan",
        {
            "formula": ROUX,
            "scalded_share_percent": 8,
            "hydration_percent": 70,
            "pan": TAPERED,
            "fill_percent": 150,
            "stages": STAGES,
            "scald": {"method": {"kind": "cooked", "core_temperature": 70}},
            "temperatures": {
                "target": 26,
                "flour_temperature": 21,
                "scald_temperature": 26,
                "temperature_rise": 4,
                "adjust_with": ["whole_milk"],
                "tap_temperature": 12,
            },
        },
    ),
    (
        "loaf-plan",
        {
            "formula": PLAIN,
            "scalded_share_percent": 0,
            "pan": OVAL,
            "pans": 2,
            "calibration": CALIBRATION,
            "flour": {"moisture_percent": 13},
            "losses": {"bake_percent": 11},
        },
    ),
    (
        "sugar-budget",
        {"formula": TIN_LOAF, "stages": STAGES, "solve": {"kind": "sweetness", "sweetness_percent": 7}},
    ),
    (
        "sugar-budget",
        {
            "formula": LEAN,
            "stages": [{"minutes": 45, "temperature": 24}],
            "solve": {"kind": "least_that_feeds"},
        },
    ),
    (
        "variants",
        {
            "formula": ROUX,
            "hold": "flour_mass",
            "variants": [
                {"name": "roux", "pan": BOX},
                {"name": "no scald", "scalded_share_percent": 0, "hold": "pan"},
                {"name": "yudane", "scalded_share_percent": 20, "scald_liquid_ratio": 1, "gluten_percent": 1},
                {"name": "sugar", "sucrose_percent": 4, "dough_mass": 650},
            ],
            "pan": TAPERED,
            "fill_percent": 150,
            "calibration": CALIBRATION,
            "scald": {"method": {"kind": "cooked", "core_temperature": 70, "minutes": 2}},
            "temperatures": {
                "target": 26,
                "flour_temperature": 21,
                "scald_temperature": 26,
                "temperature_rise": 4,
            },
        },
    ),
    (
        "variants",
        {
            "formula": LEAN,
            "variants": [
                {"name": "impossible", "scalded_share_percent": 50, "scald_liquid_ratio": 4},
                {"name": "plain"},
                {"name": "milk scald", "scalded_share_percent": 12, "hydration_percent": 66},
            ],
            "pan": OVAL,
            "stages": STAGES,
        },
    ),
    (
        "share-limit",
        {
            "formula": TIN_LOAF,
            "pan": BOX,
            "pans": 2,
            "bread": {
                "kind": "reference_loaf",
                "dough_mass": 440,
                "loaf_volume": 1714.75,
                "scalded_share_percent": 20,
            },
            "limits": {"dough_mass": 455, "proof_minutes": 75, "gluten_percent": 1},
            "proof": {
                "scalded_share_percent": 20,
                "minutes": {"low": 58, "best": 65, "high": 73},
                "minutes_per_share_point": {"low": 0.4, "best": 0.9, "high": 1.4},
            },
            "stages": STAGES,
        },
    ),
    (
        "share-limit",
        {
            "formula": {
                "lines": [
                    {"ingredient": "plain_flour", "mass": 60, "part": "scald"},
                    {"ingredient": "bread_flour", "mass": 20, "part": "scald"},
                    {"ingredient": "water", "mass": 80, "part": "scald"},
                    {"ingredient": "plain_flour", "mass": 50},
                    {"ingredient": "bread_flour", "mass": 350},
                    {"ingredient": "water", "mass": 240},
                    {"ingredient": "sucrose", "mass": 30},
                    {"ingredient": "salt", "mass": 9},
                    {"ingredient": "instant_yeast", "mass": 6},
                ]
            },
            "pan": BOX,
            "proof": {
                "scalded_share_percent": 22,
                "minutes": {"low": 58, "best": 65, "high": 73},
                "minutes_per_share_point": {"low": -0.9, "best": -0.6, "high": -0.3},
            },
            "limits": {"proof_minutes": 62},
        },
    ),
    (
        "share-limit",  # nothing is reached, and no yeast
        {
            "formula": {
                "lines": [
                    {"ingredient": "bread_flour", "mass": 500},
                    {"ingredient": "water", "mass": 320},
                    {"ingredient": "salt", "mass": 9},
                ]
            },
            "scald_liquid_ratio": 0.4,
            "water_curve": [
                {"scalded_share_percent": 0, "hydration_percent": 62},
                {"scalded_share_percent": 60, "hydration_percent": 66},
            ],
            "pan": BOX,
            "stages": STAGES,
        },
    ),
    (
        "share-limit",  # no water to scald with
        {
            "formula": {
                "lines": [
                    {"ingredient": "bread_flour", "mass": 500},
                    {"ingredient": "whole_egg", "mass": 400},
                    {"ingredient": "salt", "mass": 9},
                    {"ingredient": "instant_yeast", "mass": 6},
                ]
            },
            "pan": BOX,
        },
    ),
    (
        "share-limit",  # the proof known at one share only, which is the most
        {
            "formula": TIN_LOAF,
            "pan": BOX,
            "proof": {"scalded_share_percent": 40, "minutes": {"low": 58, "best": 65, "high": 73}},
            "limits": {"proof_minutes": 90},
        },
    ),
    keeping(
        "rises",
        scored("20 % scalded", (0, 2.6), (1, 3.5), (2, 4.3), (3, 5.1), (5, 6.0)),
        scored("still soft", (0, 2), (1, 2.2), (2, 2.4), (3, 2.5)),
        scored("baked 2 May", (1, 4), (1, 4.4)),
        limit=5.5,
    ),
    keeping(
        "falls",
        scored(
            "plain",
            *((days, score) for days, score in ((0, 9), (1, 7.8), (2, 6.9), (3, 6.2), (5, 5.1), (7, 4.6))),
        ),
        limit=5,
    ),
    keeping(
        "rises",
        scored(
            "slow at first",
            *(
                (days, 3 + 6 * (1 - exp(-((days / 3) ** 1.6))))
                for days in (0, 0, 0.5, 0.5, 1, 1, 2, 2, 3, 3, 5, 5, 8, 8)
            ),
        ),
        limit=7,
    ),
    *(
        keeping(
            "rises",
            {**scored("light", (0, 3.1), (1, 4.6), (2, 5.8), (4, 7.3)), "specific_volume": 4.3},
            {**scored("dense", (0, 3.2), (1, 4.4), (2, 5.4), (4, 6.9)), "specific_volume": 3.9},
            {**scored("not weighed", (0, 3.2), (1, 4.4), (2, 5.4)), "specific_volume": 4.1},
            scores_are="measured",
            **limit,
        )
        for limit in ({"limit": 6}, {"limit": 40}, {})
    ),
    keeping("rises", scored("no limit", (0, -2), (1, -0.5), (3, 1)), scored("below 0", (2, -1), (2, -2))),
    keeping(
        "falls",
        scored("past it", (0, 4), (1, 3.4), (3, 2.5)),
        scored("flat", (0, 6), (1, 6), (2, 6)),
        scored("the wrong way", (0, 4), (1, 6), (2, 7), (3, 8)),
        limit=5,
    ),
    (
        "recipe-import",
        {
            "text": "\n".join(
                (
                    "Scald:",
                    "1/4 cup bread flour",
                    "100 ml milk",
                    "Dough:",
                    "1 lb 2 oz bread flour",
                    "0.2 kg plain flour",
                    "1 cup + 2 tbsp water",
                    "1 stick butter",
                    "1 packet instant yeast",
                    "2 medium eggs",
                    "1 egg",
                    "3 egg yolks",
                    "2 egg whites",
                    "1 pinch salt",
                    "1 heaped tsp salt",
                    "2–3 tbsp sugar",
                    "1 ½ tbsp honey",
                    "1 tbsp skim milk powder",
                )
            )
        },
    ),
    (
        "recipe-import",
        {
            "cup": "japanese",
            "number_alone": "mass",
            "egg_mass": 53,
            "lines": [
                "500 bread flour",
                "1 cup milk",
                "1 egg",
                "2 medium eggs",
                "1 cube fresh yeast",
                "1 tsp fresh yeast",
                "10 g salt",
            ],
        },
    ),
    ("recipe-import", {"lines": ["bread flour 100 %", "water 65 %", "salt 2 %", "butter 5-6 %"]}),
    ("recipe-import", {"lines": ["600 g bread flour", "water 65 %", "salt 2 %"]}),
    (
        "recipe-import",
        {"lines": ["500 g bread flour", "100 g sourdough starter", "90 g rye levain, 80% hydration"]},
    ),
    (
        "recipe-import",
        {"lines": ["500 g de harina de fuerza", "1 cc de sal", "30 cc de aceite", "1 vaso de leche"]},
    ),
    (
        "scaling",
        {
            "formula": PLAIN,
            "target": {"kind": "baked_pieces", "count": 7, "mass": 415},
            "losses": {"handling_percent": 1.5, "bake_percent": 11},
            "prices": prices(bread_flour=0.873, sucrose=1.1, whole_milk=1.29),
        },
    ),
    (
        "scaling",
        {
            "formula": ROUX,
            "target": {"kind": "factor", "factor": 3.7},
            "prices": prices(butter=9.35, honey=11),
        }
        | {"price_decimals": 0},
    ),
    (
        "order-demand",
        {
            "formulas": [
                {"id": "plain", "formula": PLAIN, "dusting_percent": 1.5, "losses": {"handling_percent": 2}},
                {"id": "roux", "formula": ROUX, "mixer_capacity": 1900},
                {"id": "dry", "formula": DRY},
            ],
            "orders": [
                {"formula": "plain", "target": {"kind": "pieces", "count": 11, "mass": 450}},
                {"formula": "roux", "target": {"kind": "pans", "count": 5, "dough_mass": 480}},
                {"formula": "plain", "target": {"kind": "dough_mass", "mass": 999}},
            ],
            "prices": prices(bread_flour=0.92, butter=9.2, salt=0.35, whole_egg=4.4),
            "price_decimals": 3,
            "packs": [
                {"ingredient": "bread_flour", "pack_mass": 1500, "stock_unit": "bag"},
                {"ingredient": "butter", "pack_mass": 250},
                {"ingredient": "honey", "pack_mass": 40},
            ],
        },
    ),
    tasting_plan("triangle", discriminators_percent=35, power_percent=90),
    tasting_plan("duo_trio", tasters=13),
    tasting_plan("duo_trio", tasters=4, discriminators_percent=50),
    tasting_plan("paired", discriminators_percent=45, significance_percent=10),
    tasting_plan("paired", tasters=40, discriminators_percent=33, hypothesis="expected", expected="plain"),
    tasting_plan("ranking", samples=["plain", "roux", "yudane", "poured"], tasters=9, significance_percent=1),
    tasting_result("triangle", tasters=24, right=13),
    tasting_result("triangle", tasters=30, right=0),
    tasting_result("triangle", tasters=2, right=2),
    tasting_result("duo_trio", tasters=20, right=20, significance_percent=0.3),
    tasting_result("paired", tasters=40, chosen={"plain": 14, "roux": 26}),
    tasting_result("paired", tasters=10, chosen={"plain": 5, "roux": 5}),
    tasting_result(
        "paired", tasters=31, chosen={"plain": 10, "roux": 21}, hypothesis="expected", expected="plain"
    ),
    tasting_result("ranking", rankings=rankings("abc", "acb", "abc", "bac", "abc", "abc")),
    tasting_result("ranking", rankings=rankings("abcd", "dcba", "bdac")),
    tasting_result("ranking", rankings=rankings("edcba", "abcde", "badce", "abedc"), significance_percent=20),
    tasting_result("ranking", rankings=rankings("abcdef", "bafcde")),
]

_SIDES = ("length", "width", "diameter")
_QUANTITIES = {
    **dict.fromkeys(
        ("depth", "crown_height", *_SIDES, *(f"{end}_{side}" for end in ("top", "base") for side in _SIDES)),
        "length",
    ),
    **dict.fromkeys(
        ("scald_evaporation", "mixer_capacity", "resolution", "fine_resolution", "fine_below", "per"), "mass"
    ),
    **dict.fromkeys(("volume", "loaf_volume"), "volume"),
    **dict.fromkeys(("friction_total", "temperature_rise"), "temperature_difference"),
    "target": "temperature",
}


def _quantity_of(field: str) -> str | None:
    """The quantity of a number in a request, by the name of its field."""
    for ending in ("mass", "temperature"):
        if field.endswith(ending):
            return ending
    return _QUANTITIES.get(field)


def in_units(body, units: dict, field: str = ""):
    """A metric body, or the value of one of its fields, converted to other units."""
    if isinstance(body, dict):
        said = {name: in_units(part, units, name) for name, part in body.items()}
        if "base" in body:  # a sum of temperatures, the water's too
            count = len(body["known"]) + 1
            said["base"] = count * units_of(**units).to_wire(body["base"] / count, "temperature")
        return said
    if isinstance(body, list):
        return [in_units(part, units, field) for part in body]
    if isinstance(body, str):
        return body
    return units_of(**units).to_wire(body, _quantity_of(field))


# ---- Calls -----------------------------------------------------------------------------------------

UNITS = (
    {},
    {"mass": "kg", "length": "mm", "volume": "l"},
    {"mass": "oz", "length": "in", "volume": "in3", "temperature": "degF"},
    {"mass": "lb", "length": "in", "volume": "cup_us", "temperature": "degF"},
)
NAMED = [pytest.param(call, body, id=f"{index} {call}") for index, (call, body) in enumerate(BODIES)]


def said_of(units: dict) -> str:
    """The name of a unit system, for the id of a test."""
    return " ".join(units.values()) or "metric"


def answer_in(call: str, body: dict, units: dict) -> Exchange:
    return ask(call, {**in_units(body, units), "units": units})
