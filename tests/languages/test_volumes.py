"""How the page reads a volume with a unit, without a browser. What differs by country is not guessed."""

import shutil

import pytest

from page_script import run_script
from running import ROOT
from scaldloaf.units import FACTORS

SCRIPT = """
import { readFileSync } from "node:fs";
import { amountReader } from "./amounts.js";
import { unitsOf } from "./numbers.js";
const { table, texts } = JSON.parse(readFileSync(0, "utf8"));
const read = amountReader(table);
const found = texts.map(([text, system, quantity]) =>
  read(text, { quantity, locale: "en-US", units: unitsOf(system, table) }));
console.log(JSON.stringify(found));
"""
INCH = 2.54**3
OUNCE = 231 * INCH / 128  # a gallon is 231 cubic inches


@pytest.fixture(scope="module")
def read(tmp_path_factory):
    """read(text, ...) -> what a field of a quantity makes of each, in a system of units."""
    folder = tmp_path_factory.mktemp("volumes")
    for name in ("amounts.js", "numbers.js"):
        shutil.copy(ROOT / "web" / "ui" / name, folder)
    table = {
        quantity: [{"unit": unit, "factor": row[0], "zero": 0} for unit, row in rows.items()]
        for quantity, rows in FACTORS.items()
    }

    def run(*texts, system="us", quantity="volume"):
        return run_script(
            folder, SCRIPT, {"table": table, "texts": [(text, system, quantity) for text in texts]}
        )

    return run


OUNCES = {
    "17 fl oz": 17,
    "17 fl. oz.": 17,
    "1½ fluid ounces": 1.5,
    "2 qt": 64,
    "1 1/2 quarts": 48,
    "1 qt 8 fl oz": 40,
    "3 pints": 48,
    "8 cups": 64,
}


def test_in_us_units_us_measures_are_read(read):
    inches = [ounces * OUNCE / INCH for ounces in OUNCES.values()]
    assert [each["number"] for each in read(*OUNCES)] == pytest.approx(inches)


def test_named_as_us_they_are_read_in_metric_units_too(read):
    for named in ("{} US", "{} us"):
        found = read(*(named.format(text) for text in OUNCES if text != "1 qt 8 fl oz"), system="metric")
        volumes = [ounces * OUNCE for text, ounces in OUNCES.items() if text != "1 qt 8 fl oz"]
        assert [each["number"] for each in found] == pytest.approx(volumes)
    assert read("2 U.S. qt", "64 US fl oz", "1900 ml", "1.9 l", "100 in3", system="metric") == [
        {"number": pytest.approx(volume)} for volume in (64 * OUNCE, 64 * OUNCE, 1900, 1900, 100 * INCH)
    ]


def test_in_metric_units_it_is_asked_whose_measure_is_meant(read):
    assert read(*OUNCES, system="metric") == [{"why": "whose_measure"}] * len(OUNCES)


@pytest.mark.parametrize("system", ["us", "metric"])
def test_an_ounce_is_no_volume(read, system):
    assert read("17 oz", "17 ounces", "1 qt 8 oz", system=system) == [{"why": "ounce_for_volume"}] * 3
    assert read("17 lb", "3 dog", "2 qt 8", "x", system=system)[:2] == [{}, {}]


def test_a_volume_is_no_mass(read):
    assert read("17 fl oz", "2 qt", "1 cup", quantity="mass") == [{}] * 3
