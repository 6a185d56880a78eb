"""Fixtures that read one line or several, with the choices that a caller may make."""

import pytest

from scaldloaf.importing.quantities.masses import Choices
from scaldloaf.importing.recipe_lines import read_lines


@pytest.fixture
def read_all():
    """read_all("a", "b", cup="us", flour="bread_flour", decimal="comma") -> the readings."""

    def read(*lines, decimal="auto", flour=None, yeast=None, milk=None, **choices):
        chosen = {
            option: name for option, name in (("flour", flour), ("yeast", yeast), ("milk", milk)) if name
        }
        return read_lines(lines, Choices(**choices), chosen, decimal)

    return read


@pytest.fixture
def read(read_all):
    """The only reading of one line."""

    def one(line, **choices):
        (reading,) = read_all(line, **choices)
        return reading

    return one
