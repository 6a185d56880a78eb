"""Lines without an amount: for the tin or the crust, or of the dough."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.whole.contents import listed, rises
from scaldloaf.importing.words.doubt import LIKELY, Doubt
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.vocabulary import OUTSIDE, SPONGE, TOPPINGS
from scaldloaf.reference import INGREDIENTS

_SEASONING = frozenset(  # of a dough, where no amount of it is said
    ("salt", "sucrose", "soft_white_sugar", "cinnamon", "nutmeg", "cardamom", "aniseed", "mixed_spice")
    + ("vanilla_extract", "flavouring", "lemon_zest", "orange_zest", "orange_flower_water", "rum")
    + ("black_pepper", "dried_herbs")
)
_NO_AMOUNT = frozenset(("no_amount", "no_amount_to_weigh", "vague_amount"))


def without_amount(readings: list[Reading]) -> list[Reading]:
    """A line without an amount of what the dough has already is for the tin or the crust; so are seeds.

    So is anything of a vague amount that a whole dough can do without, but for what a heading says is dough.
    """
    in_formula = listed(readings)
    inside = [reading.ingredient for reading in in_formula if reading.ingredient]
    there = _there_already(in_formula)
    is_whole = rises(inside)
    again, spared = Doubt.of(LIKELY, "no_amount_again"), Doubt.of(LIKELY, "filling")

    def is_more(reading: Reading) -> bool:
        return (
            reading.kind == INGREDIENT
            and reading.part == DOUGH
            and reading.mass is None
            and reading.percent is None
            and reading.bare is None
            and any(each.code in _NO_AMOUNT for each in reading.doubts)
            and (
                is_spared(reading)
                if reading.ingredient is None
                else reading.ingredient.name in there
                or reading.ingredient.name in TOPPINGS
                or reading.ingredient.is_flour
                and is_whole
                or reading.ingredient.name not in _SEASONING
                and is_spared(reading)
            )
        )

    def is_spared(reading: Reading) -> bool:
        if not is_whole or all(each.code != "vague_amount" for each in reading.doubts):
            return False
        return title_in(reading.section).part not in (DOUGH, SPONGE)

    return [
        reading._replace(
            part=OUTSIDE,
            section_doubts=(
                *reading.section_doubts,
                again if reading.ingredient and reading.ingredient.name in there else spared,
            ),
        )
        if is_more(reading)
        else reading
        for reading in readings
    ]


def _there_already(inside: Sequence[Reading]) -> set[str]:
    """What a dough has already, by name, so that a line without an amount is for something else.

    Where only the scald has a liquid, the dough may need one. Flour and yeast are so whatever their kind.
    """
    named = {each.ingredient.name: each.ingredient for each in inside if each.ingredient}
    has_liquid = any(each.part == DOUGH and each.ingredient and each.ingredient.is_liquid for each in inside)
    there = {name for name, each in named.items() if has_liquid or not each.is_liquid}
    if any(each.is_flour for each in named.values()):
        there |= {"plain_flour"}  # what “flour” without a kind is read as
    if any(each.yeast for each in named.values()):
        there |= {each.name for each in INGREDIENTS.values() if each.yeast}  # the dissolved yeast
    return there
