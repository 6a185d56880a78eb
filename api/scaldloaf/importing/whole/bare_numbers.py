"""Numbers without a unit: grams where the list shows it, for sure only where its heading says so."""

from collections.abc import Sequence

from scaldloaf.dough.estimate import Estimate
from scaldloaf.importing.quantities.amounts import Quantity
from scaldloaf.importing.quantities.masses import OF_FRUIT
from scaldloaf.importing.quantities.number_columns import says_grams
from scaldloaf.importing.quantities.readings import INGREDIENT, Reader, Reading
from scaldloaf.importing.whole.contents import listed
from scaldloaf.importing.words.doubt import UNSURE, Doubt
from scaldloaf.importing.words.vocabulary import IN_PIECES
from scaldloaf.reference import Ingredient

LEAST_IN_GRAMS, LEAST_BARE = 3, 4  # lines that show what a number without a unit means
LEAST_FLOUR_ALONE = 20.0
_BARE = Doubt.of(UNSURE, "bare_grams")
MOST_PIECES = 6  # pots or bags of one thing, in a list that has grams
LEAST_ONLY_FLOUR = 100.0  # of the only flour of a list, more than spoons or cups of it


def with_numbers_alone(readings: list[Reading], reader: Reader) -> list[Reading]:
    """Numbers without a unit as grams, in a list whose other amounts are grams or that has numbers only."""
    bare = [
        reading for reading in readings if reading.bare and reading.ingredient and reading.kind == INGREDIENT
    ]
    in_grams = [reading for reading in listed(readings) if reading.expression.endswith("g as written")]
    if not bare or reader.choices.number_alone_g:
        return readings
    if len(in_grams) < LEAST_IN_GRAMS and len(bare) < LEAST_BARE:
        return _flour_alone(readings)
    flour = [each for each in (*bare, *in_grams) if each.ingredient and each.ingredient.is_flour]
    if len(in_grams) < LEAST_IN_GRAMS and not any(
        (reading.bare.best if reading.bare else reading.grams) >= LEAST_FLOUR_ALONE for reading in flour
    ):
        return readings
    is_odd = len(bare) < len(in_grams)
    doubts = () if _are_headed_in_grams(readings, bare[0].line) else (_BARE,)

    def weighed(reading: Reading) -> Reading:
        if not reading.bare or not reading.ingredient or reading.kind != INGREDIENT or not reading.bare.best:
            return reading
        if reading.bare.best == 1 and not reading.ingredient.yeast and reading.ingredient.name != "salt":
            return reading  # 1 yogur
        if is_odd and reading.ingredient.name in IN_PIECES and reading.bare.best <= MOST_PIECES:
            return reading  # 2 petits suisses
        if reading.ingredient.name in OF_FRUIT and reading.mass:
            return reading  # zest of 1/2 lemon
        return _in_grams(reading, reading.bare, reading.ingredient, doubts)

    return [weighed(reading) for reading in readings]


def _are_headed_in_grams(readings: Sequence[Reading], first: int) -> bool:
    """Whether a line without an ingredient above the first number says that numbers are grams."""
    above = [each for each in readings if each.line < first and each.ingredient is None]
    return any(says_grams(each.text) for each in above)


def _in_grams(
    reading: Reading, bare: Quantity, ingredient: Ingredient, of_number: tuple[Doubt, ...] = (_BARE,)
) -> Reading:
    """A number without a unit as grams."""
    low, best, high = bare[:3]
    doubts = tuple(each for each in reading.doubts if each.code != "no_unit")
    return reading._replace(
        mass=Estimate(low, best, high, "assumption"),
        doubts=(*doubts, *of_number),
        read_as=f"{best:.6g} g of {ingredient.label}",
        expression=f"{best:.6g} g as written",
    )


def _flour_alone(readings: list[Reading]) -> list[Reading]:
    """The only flour, of a number that no spoon or cup of it has, as grams: ``375 strong flour``."""
    flours = [each for each in listed(readings) if each.ingredient and each.ingredient.is_flour]
    bare = [
        each
        for each in readings
        if each.bare and each.ingredient and each.ingredient.is_flour and each.bare.best >= LEAST_ONLY_FLOUR
    ]
    if len(bare) != 1 or any(each.mass for each in flours):
        return readings
    (flour,) = bare

    def weighed(reading: Reading) -> Reading:
        if reading is not flour or not reading.bare or not reading.ingredient:
            return reading
        return _in_grams(reading, reading.bare, reading.ingredient)

    return [weighed(reading) for reading in readings]
