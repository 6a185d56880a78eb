"""Patterns of units as recipes of any language say them, made of the word files, to find amounts in a line.

Each stands for one unit behind a number.
"""

import re
from itertools import chain

from scaldloaf.importing.words.vocabulary import OWN_UNITS, is_spaceless


def _said(*labels: str) -> str:
    """A pattern of all spellings of the units with these labels. No letter may follow a Latin one.

    Left out is a sign that another language has for something else: 瓦 is a gram in Japan, a watt in China.
    """
    units = list(chain.from_iterable(units.items() for units in OWN_UNITS.values()))
    others = {name for name, unit in units if unit.label not in labels and is_spaceless(name)}
    names = {name for name, unit in units if unit.label in labels and " " not in name} - others
    found = [
        "|".join(map(re.escape, sorted(some, key=lambda name: (-len(name), name))))
        for some in (filter(is_spaceless, names), (name for name in names if not is_spaceless(name)))
    ]
    return f"(?:{found[0]}|(?:{found[1]})(?![a-zà-öø-ÿß]))"


GRAMS = _said("g")
WEIGHED = _said("g", "kg", "ml", "cc", "cl", "dl", "l")  # or measured in a jug
