"""Every pair of wire units against pint, the reference library for units."""

import itertools

import pint
import pytest
from hypothesis import given, strategies as st

from scaldloaf.operations.facts import _units
from scaldloaf.units import DEFAULTS, FACTORS, TEMPERATURES, units_of

PINT = pint.UnitRegistry()
PINT_NAMES = {"cm3": "cm**3", "in3": "inch**3", "in": "inch", "ml": "milliliter", "l": "liter",
              "fl_oz_us": "US_fluid_ounce", "cup_us": "cup", "oz": "avoirdupois_ounce", "lb": "avoirdupois_pound"}
PAIRS = [(quantity, one, other) for quantity, table in FACTORS.items()
         for one, other in itertools.product(table, table)]


@pytest.mark.parametrize("quantity, one, other", PAIRS)
def test_factor_of_every_pair(quantity, one, other):
    from_wire, to_wire = units_of(**{**DEFAULTS, quantity: one}), units_of(**{**DEFAULTS, quantity: other})
    ours = to_wire.to_wire(from_wire.from_wire(7.25, quantity), quantity)
    theirs = PINT.Quantity(7.25, PINT_NAMES.get(one, one)).to(PINT_NAMES.get(other, other)).magnitude
    assert ours == pytest.approx(theirs, rel=1e-12)


@pytest.mark.parametrize("one, other", list(itertools.product(TEMPERATURES, TEMPERATURES)))
@pytest.mark.parametrize("value", [-40.0, 0.0, 25.0, 212.0])
def test_temperatures(one, other, value):
    ours = units_of(temperature=other).to_wire(units_of(temperature=one).from_wire(value, "temperature"), "temperature")
    theirs = PINT.Quantity(value, one).to(other).magnitude
    assert ours == pytest.approx(theirs, abs=1e-9)


@pytest.mark.parametrize("value", [-40.0, 0.0, 9.0])
def test_a_temperature_difference_has_no_offset(value):
    fahrenheit = units_of(temperature="degF")
    theirs = PINT.Quantity(value, "delta_degF").to("delta_degC").magnitude
    assert fahrenheit.from_wire(value, "temperature_difference") == pytest.approx(theirs, abs=1e-12)
    assert fahrenheit.to_wire(theirs, "temperature_difference") == pytest.approx(value, abs=1e-12)
    assert fahrenheit.name("temperature_difference") == "degF"
    assert units_of().from_wire(value, "temperature_difference") == value


@given(st.sampled_from([(quantity, unit) for quantity, table in FACTORS.items() for unit in table]
                       + [("temperature", unit) for unit in TEMPERATURES]),
       st.floats(-1e6, 1e6))
def test_there_and_back(where, value):
    quantity, unit = where
    units = units_of(**{**DEFAULTS, quantity: unit})
    assert units.to_wire(units.from_wire(value, quantity), quantity) == pytest.approx(value, rel=1e-12, abs=1e-9)
    assert units.name(quantity) == unit


def test_the_served_table_converts_as_we_do():
    """GET /v1/units: (number - zero) x factor is all that a client needs."""
    for quantity, rows in _units()["quantities"].items():
        for row in rows:
            ours = units_of(**{**DEFAULTS, quantity: row["unit"]}).from_wire(7.25, quantity)
            assert (7.25 - row["zero"]) * row["factor"] == pytest.approx(ours, rel=1e-12)
