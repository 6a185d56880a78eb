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
