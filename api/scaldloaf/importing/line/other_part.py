"""The other part of an egg, kept for the crust: ``1 egg yolk, save the white for glazing``."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.line.item_words import has_amount, joined_words
from scaldloaf.importing.quantities.measures import Group, Item, bare_words
from scaldloaf.importing.quantities.readings import Reader, Reading
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt
from scaldloaf.importing.words.vocabulary import (
    KEPT,
    OF_WHICH,
    OUTSIDE,
    WHITE,
    YOLK,
    is_spaceless,
    plain_word,
)
from scaldloaf.reference import INGREDIENTS

_PARTED = frozenset((",", ";", "、", "，", "-", "–", "—"))
_WHOLE, _PARTS = INGREDIENTS["whole_egg"], (INGREDIENTS["egg_yolk"], INGREDIENTS["egg_white"])
# What a line names -> the words of what is not of it.
_OTHERS = {"egg_yolk": WHITE, "egg_white": YOLK, "whole_egg": YOLK | WHITE}


def without_other_part(items: list[Item], reader: Reader) -> tuple[list[Item], tuple[Doubt, ...]]:
    """The items without what is said of the other part of the egg; of a whole egg that leaves a doubt."""
    for at in range(1, len(items)):
        item = items[at]
        if isinstance(item, Group):
            said, rest = item.items, items[at + 1 :]
        elif item in _PARTED:
            said, rest = tuple(items[at + 1 :]), []
        else:
            continue
        if has_amount(said):
            continue
        if _is_whole_egg(items[:at], reader) and _is_divided(said):
            return [*items[:at], *rest], (Doubt.of(UNSURE, "part_not_dough"),)
        words = joined_words(said)
        if sections.ASIDE_WORDS.found_in(words) is None:
            continue
        named = reader.names.named_as_spelt(bare_words(items[:at])).ingredient
        if named not in _PARTS and not _is_kept(words):
            continue
        if named is not None and _is_of(said, _OTHERS.get(named.name, frozenset())):
            doubts = (Doubt.of(LIKELY, "part_not_dough"),) if named.name == "whole_egg" else ()
            return [*items[:at], *rest], doubts
    return items, ()


def beside_its_part(readings: list[Reading]) -> list[Reading]:
    """The readings of a line; a whole egg is in doubt where its part is not: ``2 œufs dont 1 jaune``."""
    kept = [each.text for each in readings if each.part == OUTSIDE and each.ingredient in _PARTS]
    if not any(word in OF_WHICH or plain_word(word) in KEPT for text in kept for word in text.split()):
        return readings
    doubt = Doubt.of(LIKELY, "part_not_dough")
    return [
        each._replace(doubts=(*each.doubts, doubt))
        if each.part == DOUGH and each.ingredient is _WHOLE
        else each
        for each in readings
    ]


def _is_whole_egg(items: Sequence[Item], reader: Reader) -> bool:
    return reader.names.named_as_spelt(bare_words(items)).ingredient is _WHOLE


def _is_divided(said: Sequence[Item]) -> bool:
    """Whether both parts of an egg are named, one for the crust: ``yolk in the dough, white to glaze``."""
    words = joined_words(said)
    named = {plain_word(word) for word in words.split()}
    is_both = not YOLK.isdisjoint(named) and not WHITE.isdisjoint(named)
    return is_both and sections.ASIDE_WORDS.found_in(words) is not None


def _is_kept(words: str) -> bool:
    """Whether some words say that a part is kept: of a whole egg all may be for the crust."""
    return any(plain_word(word) in KEPT for word in words.split()) or is_spaceless(words.replace(" ", ""))


def _is_of(said: Sequence[Item], parts: frozenset[str]) -> bool:
    """Whether one of the parts of an egg is named, and no other; without spaces, words hold it."""
    words = [plain_word(word) for word in bare_words(said)]
    joined = "".join(words)
    found = {part for part in YOLK | WHITE if part in words or is_spaceless(part) and part in joined}
    return bool(found) and found <= parts
