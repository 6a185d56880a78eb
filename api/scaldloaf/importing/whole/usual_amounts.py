"""Amounts that few doughs have, or none: a wrong unit, a slip, or what is not of the dough."""

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.quantities.readings import Reading
from scaldloaf.importing.whole.contents import listed
from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt

# Shares of the flour that no dough has; of everything else than flour, and of what is strong.
MOST_OF_FLOUR = 1.5
_NEVER_MORE = {"salt": 0.06, "instant_yeast": 0.1, "active_dry_yeast": 0.1, "compressed_yeast": 0.25}
# Shares that fewer than one in a hundred of the recipes in tests/importing/corpus goes beyond.
_SELDOM_MORE = {
    **dict.fromkeys(("salt", "coarse_salt"), 0.035),
    **dict.fromkeys(("instant_yeast", "active_dry_yeast"), 0.045),
    "compressed_yeast": 0.12,
    **dict.fromkeys(("cinnamon", "cardamom", "nutmeg", "mixed_spice", "black_pepper"), 0.02),
    **dict.fromkeys(("skim_milk_powder", "whole_milk_powder"), 0.15),
}
_SELDOM_LESS = 0.002
_SELDOM_LITTLE = frozenset(
    (
        *("whole_milk", "skim_milk", "water", "cream", "whole_egg"),
        *("butter", "salted_butter", "margarine", "unsalted_margarine", "oil"),
        *("vital_gluten", "skim_milk_powder", "whole_milk_powder"),
    )
)


def unusual(readings: list[Reading]) -> list[Reading]:
    """The readings, with a doubt about amounts that few doughs have, and a graver one about those of none."""
    flour_g = sum(
        reading.grams
        for reading in listed(readings)
        if reading.mass and reading.ingredient and reading.ingredient.is_flour
    )
    if not flour_g:
        return readings
    return [reading._replace(doubts=(*reading.doubts, *_doubts_of(reading, flour_g))) for reading in readings]


def _doubts_of(reading: Reading, flour_g: float) -> tuple[Doubt, ...]:
    ingredient = reading.ingredient
    if not reading.in_formula or reading.part != DOUGH or ingredient is None or ingredient.is_flour:
        return ()
    name, share = ingredient.name, reading.grams / flour_g
    if share > _NEVER_MORE.get(name, MOST_OF_FLOUR):
        return (Doubt.of(UNSURE, "more_than_dough_holds"),)
    if share > _SELDOM_MORE.get(name, MOST_OF_FLOUR) or name in _SELDOM_LITTLE and 0 < share < _SELDOM_LESS:
        return (Doubt.of(LIKELY, "unusual_amount", percent=100 * share),)
    return ()
