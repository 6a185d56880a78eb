"""Units: exactly pint's sizes, defined in one file only, and no start without them."""

import ast
import itertools
import shutil
import subprocess
import sys
import tomllib
from fractions import Fraction
from math import ulp
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scaldloaf.operations.facts import FACTS
from scaldloaf.units import DEFAULTS, FACTORS, TEMPERATURES, size, units_of, wire_units
from scaldloaf.units.derive import UnitFileError, definitions, read_back, scales, written

API = Path(__file__).resolve().parents[2] / "api"
SCALES = scales(definitions())
PINT = pint.UnitRegistry(non_int_type=Fraction)  # pint's own definitions, not ours
OWN = {"mass": "gram", "length": "centimeter", "volume": "centimeter ** 3", "temperature": "degC"}
PINT_NAMES = {
    "mass": {
        "g": "gram",
        "kg": "kilogram",
        "mg": "milligram",
        "dag": "decagram",
        "hg": "hectogram",
        "oz": "avoirdupois_ounce",
        "lb": "avoirdupois_pound",
    },
    "length": {"mm": "millimeter", "cm": "centimeter", "in": "inch"},
    "volume": {
        "cm3": "cm ** 3",
        "ml": "milliliter",
        "cl": "centiliter",
        "dl": "deciliter",
        "l": "liter",
        "in3": "inch ** 3",
        "gallon_us": "gallon",
        "quart_us": "quart",
        "pint_us": "pint",
        "cup_us": "cup",
        "fl_oz_us": "fluid_ounce",
        "tablespoon_us": "tablespoon",
        "teaspoon_us": "teaspoon",
        "gallon_imperial": "imperial_gallon",
        "quart_imperial": "imperial_quart",
        "pint_imperial": "imperial_pint",
        "fl_oz_imperial": "imperial_fluid_ounce",
    },
    "temperature": {"degC": "degC", "degF": "degF"},
}
WITH_FACTORS = [(quantity, unit) for quantity, table in FACTORS.items() for unit in table]
WIRE = WITH_FACTORS + [("temperature", unit) for unit in TEMPERATURES]
DIFFERENCE = "temperature_difference"


def speaking(quantity: str, unit: str):
    """The Units of a request with this unit."""
    return units_of(**{**DEFAULTS, quantity: unit})


def by_pint(quantity: str, unit: str, number) -> Fraction:
    return PINT.Quantity(Fraction(number), PINT_NAMES[quantity][unit]).to(OWN[quantity]).magnitude


@pytest.mark.parametrize(
    "quantity, unit", [(quantity, unit) for quantity, table in PINT_NAMES.items() for unit in table]
)
def test_units_are_exactly_those_of_pint(quantity, unit):
    exact, zero = SCALES[quantity][unit]
    for number in (0, 1, Fraction("7.25"), -40):
        assert (number - zero) * exact == by_pint(quantity, unit, number)


@pytest.mark.parametrize(
    "quantity, one, other",
    [
        (quantity, one, other)
        for (quantity, one), (same, other) in itertools.product(WITH_FACTORS, repeat=2)
        if quantity == same
    ],
)
def test_every_pair_of_units_converts_as_in_pint(quantity, one, other):
    ours = speaking(quantity, other).to_wire(speaking(quantity, one).from_wire(7.25, quantity), quantity)
    theirs = by_pint(quantity, one, "7.25") / by_pint(quantity, other, 1)
    assert abs(Fraction(ours) - theirs) <= 2 * Fraction(ulp(ours))


@pytest.mark.parametrize("quantity, unit", WITH_FACTORS)
def test_a_size_is_the_float_nearest_to_the_exact_ratio(quantity, unit):
    exact, ours = by_pint(quantity, unit, 1), size(quantity, unit)
    assert FACTORS[quantity][unit][0] == ours
    for neighbour in (ours - ulp(ours), ours + ulp(ours)):
        assert abs(Fraction(ours) - exact) < abs(Fraction(neighbour) - exact)


@given(st.sampled_from(WIRE), st.floats(1e-6, 1e9))
def test_there_and_back_within_the_last_bit(where, value):
    quantity, unit = where
    units = speaking(quantity, unit)
    back = units.to_wire(units.from_wire(value, quantity), quantity)
    if quantity == "temperature":  # the scale's zero is subtracted and added back
        assert abs(back - value) <= 2 * ulp(max(value, 32.0))
    else:
        assert abs(back - value) <= ulp(value)
    assert units.name(quantity) == unit


@given(st.sampled_from(WIRE), st.floats(-1e6, 1e6))
def test_conversion_is_off_by_rounding_only(where, value):
    quantity, unit = where
    scale = SCALES[quantity][unit]
    exact = (Fraction(value) - scale.zero) * scale.size
    ours = speaking(quantity, unit).from_wire(value, quantity)
    largest = max(abs(ours), abs(value), 32.0) if scale.zero else ours
    assert abs(Fraction(ours) - exact) <= 2 * Fraction(ulp(largest))


def test_readings_of_a_thermometer_in_fahrenheit_convert_to_the_nearest_float():
    fahrenheit = units_of(temperature="degF")
    for halves in range(-80, 1100):
        reading = halves / 2
        exact = (Fraction(reading) - 32) * Fraction(5, 9)
        assert fahrenheit.from_wire(reading, "temperature") == float(exact)


@pytest.mark.parametrize("one, other", list(itertools.product(TEMPERATURES, TEMPERATURES)))
@pytest.mark.parametrize("value", [-40.0, 0.0, 25.0, 212.0])
def test_temperatures_convert_as_in_pint(one, other, value):
    celsius = speaking("temperature", one).from_wire(value, "temperature")
    ours = speaking("temperature", other).to_wire(celsius, "temperature")
    theirs = PINT.Quantity(Fraction(value), one).to(other).magnitude
    assert ours == pytest.approx(float(theirs), abs=1e-13)


@pytest.mark.parametrize("value", [-40.0, 0.0, 9.0])
def test_a_temperature_difference_has_no_offset(value):
    fahrenheit = units_of(temperature="degF")
    theirs = float(PINT.Quantity(Fraction(value), "delta_degF").to("delta_degC").magnitude)
    assert fahrenheit.from_wire(value, DIFFERENCE) == theirs
    assert fahrenheit.to_wire(theirs, DIFFERENCE) == pytest.approx(value, rel=1e-15)
    assert fahrenheit.name(DIFFERENCE) == "degF"
    assert units_of().from_wire(value, DIFFERENCE) == value


def test_the_served_table_converts_as_we_do():
    """GET /v1/units: a client needs only (number - zero) x factor."""
    facts = next(facts for facts in FACTS if facts.name == "units")
    for quantity, rows in facts.produce()["quantities"].items():
        for row in rows:
            exact, zero = SCALES[quantity][row["unit"]]
            assert (row["factor"], row["zero"]) == (float(exact), float(zero))
            ours = speaking(quantity, row["unit"]).from_wire(7.25, quantity)
            assert (7.25 - row["zero"]) * row["factor"] == pytest.approx(ours, rel=1e-15)


# One definition only


def first_digits(number: float) -> str:
    """The first four digits of a number with at least four: 2835 of 28.349523125; empty for 500 and 0.05."""
    shown = f"{abs(number):.3e}".partition("e")[0].replace(".", "")
    return shown if number and float(f"{number:.2e}") != number else ""


FIRST_DIGITS = {
    first_digits(float(ratio))
    for found in SCALES.values()
    for scale in found.values()
    for ratio in (scale.size, 1 / scale.size)
    if first_digits(float(scale.size))
} - {""}
SHORT = {2.54, 25.4, 0.0254, 1.8, 231}  # inch, Fahrenheit degree, gallon in cubic inches


def is_a_size(number: float) -> bool:
    return first_digits(number) in FIRST_DIGITS


def numbers_in(path: Path) -> list:
    """Every number written in a file of code or data."""
    text = path.read_text("utf-8")
    if path.suffix == ".py":
        found = [node.value for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Constant)]
    else:
        found = list(leaves(tomllib.loads(text)))
    return [value for value in found if isinstance(value, int | float) and not isinstance(value, bool)]


def leaves(value):
    if isinstance(value, dict | list):
        for part in value.values() if isinstance(value, dict) else value:
            yield from leaves(part)
    else:
        yield value


def test_no_other_file_states_the_size_of_a_unit():
    assert {
        number
        for number in (28.35, 453.6, 16.387064, 236.6, 0.0353, 29.5735, 568, 113.4, 2.2046)
        if is_a_size(number)
    } == {28.35, 453.6, 16.387064, 236.6, 29.5735, 113.4, 2.2046}
    code = {path.relative_to(API).as_posix(): numbers_in(path) for path in (API / "scaldloaf").rglob("*.py")}
    data = {
        path.name: numbers_in(path)
        for path in (
            API / "scaldloaf/importing/words/meanings.toml",
            API / "scaldloaf/reference/coefficients.toml",
        )
    }
    assert len(code) > 50 and sum(map(len, code.values())) > 500 and sum(map(len, data.values())) > 300
    assert not {(file, number) for file, numbers in code.items() for number in numbers if number in SHORT}
    assert not {
        (file, number)
        for file, numbers in {**code, **data}.items()
        for number in numbers
        if is_a_size(number)
    }


def test_pint_is_imported_in_one_place_and_that_place_is_used_once():
    def importers(module: str) -> set[str]:
        found = set()
        for path in (API / "scaldloaf").rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text("utf-8"))):
                names = (
                    [each.name for each in node.names]
                    if isinstance(node, ast.Import)
                    else [node.module]
                    if isinstance(node, ast.ImportFrom)
                    else []
                )
                if any(name == module or name.startswith(f"{module}.") for name in names):
                    found.add(path.relative_to(API / "scaldloaf").as_posix())
        return found

    assert importers("pint") == {"units/derive.py"}
    assert importers("scaldloaf.units.derive") == {"units/wire_units.py"}


def test_pint_leaves_numpy_alone():
    code = "import sys, scaldloaf.units; print(*sys.modules); import numpy"
    loaded = subprocess.run(
        [sys.executable, "-c", code], env={"PYTHONPATH": str(API)}, check=True, capture_output=True, text=True
    ).stdout.split()
    assert "pint" in loaded and not [name for name in loaded if name.partition(".")[0] == "numpy"]


BEGUN = "from scaldloaf import pint_apart; pint_apart.begin(); "  # as deploy/gunicorn.conf.py does


def test_the_process_of_pint_never_goes_on_to_serve():
    """Even where the service has gone before it can answer, as one whose other settings are wrong."""
    code = (
        "from scaldloaf import pint_apart\n"
        "pint_apart._work = lambda pipe: 1 / 0\n"
        "try:\n    pint_apart.begin()\nexcept ZeroDivisionError:\n    pass\n"
        "print('serves', flush=True)\n"
        "try:\n    pint_apart.answer()\nexcept pint_apart.PintFailed as failure:\n    print(failure)"
    )
    said = subprocess.run([sys.executable, "-c", code], cwd=API, capture_output=True, text=True, check=True)
    assert said.stdout.splitlines() == ["serves", "pint's process ended with status 1"]


def test_the_service_keeps_no_pint_and_has_the_same_sizes():
    code = f"{BEGUN}{BEGUN}import sys, scaldloaf.http; from scaldloaf.units import derive, wire_units; "
    code += "print('flask' in sys.modules, 'pint' in sys.modules, derive.written(wire_units._SCALES))"
    done = subprocess.run(
        [sys.executable, "-c", code], env={"PYTHONPATH": str(API)}, check=True, capture_output=True, text=True
    )
    assert done.stdout == f"True False {written(SCALES)}\n"
    assert read_back(written(SCALES)) == SCALES == wire_units._SCALES


# No start without it


@pytest.mark.parametrize(
    "old, new, why",
    [
        ("ounce = pound / 16 = oz", "ounce = pound / 16 = oz = g", "Redefinition"),
        ("ounce = pound / 16 = oz", "ounce = pond / 16 = oz", "pond"),
        ("ounce = pound / 16 = oz", "ounce pound / 16 = oz", "ounce"),
        ("ounce = pound / 16 = oz", "ounce = 0 * pound = oz", "ounce"),
        ("ounce = pound / 16 = oz", "ounce = -pound / 16 = oz", "ounce"),
        ("ounce = pound / 16 = oz", "ounce = 28.35 = oz", "ounce"),
        ("ounce = pound / 16 = oz", "ounce = pound * kelvin = oz", "ounce"),
        ("pound = 453.59237 * gram = lb", "pound = 16 * ounce = lb", "Cyclic"),
        ("pound = 453.59237 * gram = lb", "pound = 4S3.59237 * gram = lb", "S3"),
        ("gram = [mass] = g", "", "g"),
        ("gram = [mass] = g", "gram = [mass", "can't be read"),
        (
            "cubic_centimeter = centimeter ** 3 = cm3",
            "cubic_centimeter = centimeter ** 2 = cm3",
            "is no unit of",
        ),
        ("kelvin = [temperature]; offset: 0 = K", "", "kelvin"),
    ],
)
def test_a_mangled_file_is_refused(old, new, why):
    assert definitions().count(f"\n{old}\n") == 1
    with pytest.raises(UnitFileError, match=why):
        scales(definitions().replace(f"\n{old}\n", f"\n{new}\n"))


@pytest.mark.parametrize(
    "old, quantity, unit",
    [
        ("cup_us = gallon_us / 16", "volume", "cup_us"),
        ("ounce = pound / 16 = oz", "mass", "oz"),
        ("degree_Fahrenheit = 5 / 9 * kelvin; offset: 273.15 - 32 * 5 / 9 = degF", "temperature", "degF"),
    ],
)
def test_a_unit_of_requests_that_is_not_defined_stops_the_start(tmp_path, old, quantity, unit):
    starts_not(tmp_path, "units/units.txt", f"\n{old}\n", "\n", f"no unit of {quantity} named '{unit}'")


@pytest.mark.parametrize(
    "file, old, new, why",
    [
        ("units/units.txt", "gram = [mass] = g\n", "gram = [mass\n", "units.txt can't be read"),
        ("units/units.txt", "pound / 16 = oz", "0 * pound = oz", "units.txt: ounce has the size"),
        ("units/derive.py", "import pint\n", "import pint_\n", "No module named 'pint_'"),
        ("pint_apart.py", "derive = runpy", "os._exit(3)\n            derive = runpy", "ended with status 3"),
    ],
)
def test_what_fails_in_a_process_of_its_own_stops_the_start(tmp_path, file, old, new, why):
    starts_not(tmp_path, file, old, new, why, BEGUN)


@pytest.mark.parametrize(
    "old, new, why",
    [
        ('us = "teaspoon_us"', 'us = "teaspoon_uk"', "no unit of volume named 'teaspoon_uk'"),
        ('is = "pfund"', 'is = "pound_german"', "no unit of mass named 'pound_german'"),
        ('is = "pfund"', 'is = "l"', "no unit of mass named 'l'"),
        ('is = "go"', "is = 180", "no unit of volume named 180"),
    ],
)
def test_a_word_for_a_unit_that_is_not_defined_stops_the_start(tmp_path, old, new, why):
    starts_not(tmp_path, "importing/words/meanings.toml", old, new, why)


def starts_not(folder: Path, file: str, old: str, new: str, why: str, before: str = "") -> None:
    """A copy of the service with one change does not start, and says why. before: code to begin with."""
    shutil.copytree(API, folder / "api", ignore=shutil.ignore_patterns("__pycache__"))
    changed = folder / "api/scaldloaf" / file
    text = changed.read_text("utf-8")
    assert text.count(old) == 1
    changed.write_text(text.replace(old, new), "utf-8")
    done = subprocess.run(
        [sys.executable, "-B", "-c", f"{before}from scaldloaf.http import create_app; create_app()"],
        env={"PYTHONPATH": str(folder / "api")},
        capture_output=True,
        text=True,
    )
    assert done.returncode != 0 and "UnitFileError" in done.stderr and why in done.stderr
