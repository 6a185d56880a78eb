"""What an amount does not include, and that it may be more: ``250 g (without dusting)``, ``水 130g～``."""

import re
from collections.abc import Sequence
from itertools import groupby

from scaldloaf.importing.line.item_words import has_amount, joined_words
from scaldloaf.importing.quantities.measures import Group, Item
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.words.doubt import LIKELY, Doubt
from scaldloaf.importing.words.said_units import WEIGHED
from scaldloaf.importing.words.sections import ASIDE_WORDS
from scaldloaf.importing.words.vocabulary import CHOOSE, EXCLUDED, OR_MORE, is_spaceless

MOST_OF_A_LINE = 2  # readings of a line that “or more” may be said of
_EAST = "|".join(map(re.escape, filter(is_spaceless, OR_MORE)))
_WEST = "|".join(re.escape(words) for words in OR_MORE if not is_spaceless(words))
_OR = "|".join(re.escape(words) for words in OR_MORE if words.split()[0] in CHOOSE)
_OPEN = re.compile(  # 130g～, 130g以上, 130 g or more, at least 130 g, 500 g flour or enough for a soft dough
    rf"(?i)\d\s?{WEIGHED}\s?([~〜～](?!\s*[\d约約])|(?:{_EAST})(?!\w)|\b(?:{_WEST})\b)"
    rf"|\b({_WEST})\s\d+\s?{WEIGHED}\b|\d[^()]{{3,60}}\b({_OR})\b[^\d()]{{0,60}}$"
)
_INSIDE = re.compile(r"[(（][^()（）]*[)）]")


def without_excluded(items: list[Item]) -> list[Item]:
    """Without parentheses that say what an amount does not include: ``強力粉 250g（分量外含まず）``."""
    return [item for item in items if not (isinstance(item, Group) and _is_excluded(item))]


def _is_excluded(group: Group) -> bool:
    said = joined_words([group])
    joined = said.replace(" ", "")
    is_said = any((word in joined) if is_spaceless(word) else f" {word} " in said for word in EXCLUDED)
    return is_said and not has_amount(group.items) and ASIDE_WORDS.found_in(said) is not None


def with_open_amounts(readings: Sequence[Reading]) -> list[Reading]:
    """The readings, an amount that may be more to be checked."""
    found: list[Reading] = []
    for _, group in groupby(readings, key=lambda reading: (reading.line, reading.text)):
        own = list(group)
        said = _OPEN.search(_INSIDE.sub("", own[0].text)) if len(own) <= MOST_OF_A_LINE else None
        found += [_checked(each, next(filter(None, said.groups()))) if said else each for each in own]
    return found


def _checked(reading: Reading, said: str) -> Reading:
    is_said = any(doubt.code == "unknown_words" for doubt in reading.doubts)
    if reading.kind != INGREDIENT or not reading.mass or not reading.ingredient or is_said:
        return reading
    doubt = Doubt.of(LIKELY, "unknown_words", words=f"“{said}”", name=reading.ingredient.label)
    return reading._replace(doubts=(*reading.doubts, doubt))
