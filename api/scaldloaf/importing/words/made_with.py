"""Words behind a name that make it another thing, in languages that put the thing itself first."""

from collections.abc import Sequence

from scaldloaf.importing.words.vocabulary import PLAIN, POWDERS
from scaldloaf.reference import Ingredient

_LEAST_MOIST_PERCENT = 15  # of water; no flour or powder has so much
_WITH = frozenset(("a", "au", "aux", "avec", "al", "alla", "allo", "agli", "ai", "alle", "con"))
_LOOSE = frozenset(("whole_egg", "egg_yolk", "egg_white"))  # mixed with milk, an egg is still an egg


def makes_a_powder(thing: Ingredient | None, behind: Sequence[str]) -> bool:
    """Whether a moist thing is dried, so that it is another thing: ``babeurre en poudre``."""
    return (
        thing is not None and thing.water_percent >= _LEAST_MOIST_PERCENT and not POWDERS.isdisjoint(behind)
    )


def is_made_with(thing: Ingredient | None, gap: Sequence[str], other: Ingredient | None) -> bool:
    """Whether a thing is joined to another that changes it: ``beurre à l'ail``, ``olio al limone``.

    Parameters
        thing : Ingredient | None  what the first name means
        gap : Sequence[str]  the words between the two names
        other : Ingredient | None  what the second name means; None: nothing of the catalogue
    Returns
        bool
    """
    if thing is None or not gap or gap[0] not in _WITH or other is thing:
        return False
    return not thing.yeast and thing.name not in _LOOSE and PLAIN.issuperset(gap[1:])
