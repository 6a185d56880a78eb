"""Demonstration data, all from one invented bakery: Lantern Quay."""

from typing import Any

TIN_LOAF: dict[str, Any] = {
    "name": "Lantern Quay tin loaf",
    "lines": [
        {"ingredient": "bread_flour", "mass": 100, "part": "scald"},
        {"ingredient": "water", "mass": 100, "part": "scald"},
        {"ingredient": "bread_flour", "mass": 400},
        {"ingredient": "whole_milk", "mass": 150},
        {"ingredient": "water", "mass": 95},
        {"ingredient": "sucrose", "mass": 30},
        {"ingredient": "butter", "mass": 30},
        {"ingredient": "skim_milk_powder", "mass": 10},
        {"ingredient": "salt", "mass": 9},
        {"ingredient": "instant_yeast", "mass": 5},
    ],
    "scald_evaporation": 0,
}

# The same flour with 35 % of it scalded, its water at the optimum for that.
MORE_SCALDED: dict[str, Any] = {
    "name": "Lantern Quay tin loaf, 35 % scalded",
    "lines": [
        {"ingredient": "bread_flour", "mass": 175, "part": "scald"},
        {"ingredient": "water", "mass": 175, "part": "scald"},
        {"ingredient": "bread_flour", "mass": 325},
        {"ingredient": "whole_milk", "mass": 150},
        {"ingredient": "water", "mass": 40.25},
        {"ingredient": "sucrose", "mass": 30},
        {"ingredient": "butter", "mass": 30},
        {"ingredient": "skim_milk_powder", "mass": 10},
        {"ingredient": "salt", "mass": 9},
        {"ingredient": "instant_yeast", "mass": 5},
    ],
}

# A product of a till, with the till's own codes, and the sacks and blocks that two ingredients come in.
A_DAY_WITH_CODES: dict[str, Any] = {
    "formulas": [
        {
            "id": "breakfast bun",
            "own": {"sku": "BUN-70", "batch": "2026-11-26 A"},
            "formula": {
                "lines": [
                    {
                        "ingredient": "bread_flour",
                        "mass": 100,
                        "part": "scald",
                        "own": {"sku": "FL-550", "lot": "L 1180"},
                    },
                    {"ingredient": "whole_milk", "mass": 150, "part": "scald"},
                    {"ingredient": "bread_flour", "mass": 400, "own": {"sku": "FL-550", "lot": "L 1174"}},
                    {"ingredient": "water", "mass": 110},
                    {"ingredient": "butter", "mass": 60, "own": {"sku": "BT-82"}},
                    {"ingredient": "salt", "mass": 9},
                    {"ingredient": "compressed_yeast", "mass": 15},
                ]
            },
            "losses": {"handling_percent": 3},
        }
    ],
    "orders": [
        {
            "id": "harbour café",
            "formula": "breakfast bun",
            "target": {"kind": "pieces", "count": 900, "mass": 70},
            "own": {"customer": "C-31"},
        }
    ],
    "scale": {"resolution": 10, "fine_resolution": 1},
    "packs": [
        {"ingredient": "bread_flour", "pack_mass": 25000, "stock_unit": "sack"},
        {"ingredient": "butter", "pack_mass": 5000, "stock_unit": "block"},
    ],
}

# Invented prices of 1 kg; the milk powder has none yet.
PRICES: list[dict[str, Any]] = [
    {"ingredient": name, "price": price, "per": 1000}
    for name, price in {
        "bread_flour": 0.95,
        "water": 0,
        "whole_milk": 1.1,
        "sucrose": 1.05,
        "butter": 8.4,
        "salt": 0.4,
        "instant_yeast": 7.9,
    }.items()
]

LIDDED_TIN: dict[str, Any] = {"kind": "box", "length": 19, "width": 9.5, "depth": 9.5}
OPEN_TIN: dict[str, Any] = {
    "kind": "tapered",
    "top_length": 8.5,
    "top_width": 4.5,
    "base_length": 7.5,
    "base_width": 3.5,
    "depth": 2.75,
}
FOUR_TRIALS: dict[str, Any] = {
    "version": 1,
    "log_specific_volume": 1.42,
    "share_volume_loss": 0.31,
    "water_slope": 0.27,
    "covariance": [[0.0006, 0.0012, 0], [0.0012, 0.006, 0], [0, 0, 0.004]],
    "bake_loss_percent": 10.4,
    "bake_loss_sd_percent": 0.7,
    "spread_percent": 1.5,
    "trials": 4,
}
TIN_LOAF_BAKED: dict[str, Any] = {
    "kind": "reference_loaf",
    "dough_mass": 440,
    "loaf_volume": 1714.75,
    "bake_loss_percent": 10.5,
    "scalded_share_percent": 20,
}
THREE_TINS: dict[str, Any] = {
    "formula": TIN_LOAF,
    "scalded_share_percent": 35,
    "pan": LIDDED_TIN,
    "pans": 3,
    "bread": TIN_LOAF_BAKED,
    "losses": {"handling_percent": 2, "bake_percent": 10.5},
    "scale": {"resolution": 1, "fine_resolution": 0.1},
    "stages": [
        {"name": "bulk", "minutes": 60, "temperature": 27},
        {"name": "bench", "minutes": 25, "temperature": 27},
        {"name": "proof", "minutes": 65, "temperature": 32},
    ],
    "scald": {
        "method": {"kind": "pour_over", "flour_temperature": 21, "liquid_temperature": 99},
        "holding": {"hours": 12, "temperature": 4},
    },
    "temperatures": {
        "target": 27,
        "flour_temperature": 21,
        "scald_temperature": 20,
        "temperature_rise": 4,
        "adjust_with": ["water", "whole_milk"],
    },
    "timetable": {
        "ready_at": "2026-12-01T07:00+01:00",
        "before": [
            {"name": "make scald", "minutes": 15},
            {"name": "cool scald", "minutes": 720},
            {"name": "mix", "minutes": 15},
        ],
        "after": [{"name": "bake", "minutes": 35}, {"name": "cool", "minutes": 90}],
    },
}
SIDE_BY_SIDE: dict[str, Any] = {
    "formula": TIN_LOAF,
    "hold": "pan",
    "variants": [
        {"name": "as it was"},
        {"name": "30 % scalded", "scalded_share_percent": 30},
        {"name": "35 % scalded", "scalded_share_percent": 35},
    ],
    **{
        name: THREE_TINS[name]
        for name in ("pan", "pans", "bread", "losses", "scale", "stages", "scald", "temperatures")
    },
}
SWEETER_OR_NOT: dict[str, Any] = {
    "formula": TIN_LOAF,
    "variants": [
        {"name": "6 % sugar", "scalded_share_percent": 30},
        {"name": "10 % sugar", "scalded_share_percent": 30, "sucrose_percent": 10},
        {"name": "stiffer scald", "scalded_share_percent": 30, "scald_liquid_ratio": 0.8},
        {"name": "too much in it", "scalded_share_percent": 30, "scald_liquid_ratio": 3},
    ],
    "pan": LIDDED_TIN,
    "pans": 2,
    "stages": THREE_TINS["stages"],
    "prices": PRICES,
}
BY_CALIBRATION: dict[str, Any] = {
    "formula": TIN_LOAF,
    "scalded_share_percent": 30,
    "pan": {"kind": "volume", "volume": 1750},
    "pans": 6,
    "calibration": {**FOUR_TRIALS, "base_share_percent": 20},
}
FIRST_BAKE: dict[str, Any] = {
    "units": {"mass": "oz", "length": "in", "volume": "in3", "temperature": "degF"},
    "formula": {
        "lines": [
            {"ingredient": "bread_flour", "mass": 16},
            {"ingredient": "water", "mass": 6.5},
            {"ingredient": "whole_milk", "mass": 4.5},
            {"ingredient": "honey", "mass": 1},
            {"ingredient": "butter", "mass": 1},
            {"ingredient": "salt", "mass": 0.3},
            {"ingredient": "instant_yeast", "mass": 0.16},
        ]
    },
    "scalded_share_percent": 15,
    "fill_percent": 150,
    "pan": OPEN_TIN,
    "stages": [
        {"name": "bulk", "minutes": 75, "temperature": 79},
        {"name": "proof", "minutes": 60, "temperature": 84},
    ],
    "temperatures": {"target": 79, "flour_temperature": 68, "scald_temperature": 75, "temperature_rise": 5},
}
# How far the share may go: the tin loaf's own trials say that the proof takes longer with it.
PROOF_BY_TRIALS: dict[str, Any] = {
    "scalded_share_percent": 20,
    "minutes": {"low": 58, "best": 65, "high": 73, "evidence": "assumption"},
    "minutes_per_share_point": {"low": 0.4, "best": 0.9, "high": 1.4, "evidence": "assumption"},
}
HOW_FAR: dict[str, Any] = {
    "formula": TIN_LOAF,
    "limits": {"dough_mass": 460, "proof_minutes": 80},
    "proof": PROOF_BY_TRIALS,
    **{name: THREE_TINS[name] for name in ("pan", "pans", "bread", "losses", "stages", "temperatures")},
}
HOW_FAR_BY_TRIALS: dict[str, Any] = {
    **{name: BY_CALIBRATION[name] for name in ("formula", "pan", "calibration")},
    "scald_liquid_ratio": 1.25,
    "limits": {"dough_mass": 490, "gluten_percent": 1.5},
    "stages": [
        {"name": "bulk", "minutes": 120, "temperature": 28},
        {"name": "proof", "minutes": 75, "temperature": 32},
    ],
}
FIRST_SCALD: dict[str, Any] = {
    **{name: FIRST_BAKE[name] for name in ("units", "formula", "pan", "fill_percent", "stages")},
    "scald_liquid_ratio": 5,
}
