"""Headings of what may be kneaded in and may be a filling as well: ``Inclusions``, ``具材``."""

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.words.doubt import LIKELY, Doubt
from scaldloaf.importing.words.vocabulary import MIXED_IN, OUTSIDE, heading_words

_KNEADED_IN = frozenset(
    ("raisins", "dried_fruit", "dried_cranberries", "candied_peel", "walnuts", "almonds", "hazelnuts")
    + ("dark_chocolate", "milk_chocolate", "white_chocolate", "sunflower_seeds", "pumpkin_seeds", "flaxseed")
    + ("rum", "liqueur", "lemon_zest", "orange_zest", "cinnamon", "vanilla_extract", "poppy_seeds")
)
_PERHAPS = Doubt.of(LIKELY, "may_be_filling")


def with_mixed_in(readings: list[Reading]) -> list[Reading]:
    """The readings, dried fruit and nuts below such a heading as dough; never for sure.

    As they were where anything else is listed there: ``具材``, ``チーズ 50g``, ``ハム 4枚`` is a filling.
    """
    below: dict[str, list[Reading]] = {}
    for reading in readings:
        if reading.kind == INGREDIENT and reading.part == OUTSIDE:
            below.setdefault(reading.section, []).append(reading)
    kneaded_in = {
        section
        for section, found in below.items()
        if heading_words(section) in MIXED_IN
        and all(each.ingredient and each.ingredient.name in _KNEADED_IN for each in found)
    }
    if not kneaded_in:
        return readings
    return [
        reading._replace(part=DOUGH, section_doubts=(_PERHAPS,))
        if reading.section in kneaded_in and reading.part == OUTSIDE and reading.kind == INGREDIENT
        else reading
        for reading in readings
    ]
