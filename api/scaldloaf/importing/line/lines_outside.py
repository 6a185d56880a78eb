"""Lines that are outside the dough as a whole, by their own words: ``1 egg beaten with 1 tbsp milk``."""

import re
from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.line.mixed_washes import is_thinned
from scaldloaf.importing.quantities.masses import EGGS
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt
from scaldloaf.importing.words.vocabulary import OUTSIDE, heading_words, plain_words

MOST_WASHED = 5  # ingredients of a wash or filling on one line; a line with more is a whole list
MOST_THINNED_G = 40.0  # of milk or water that an egg is brushed on with
LISTED_TWICE = frozenset(("whole_egg", "whole_milk", "butter", "sucrose", "cream", "water", "egg_white"))
_FILLING = Doubt.of(LIKELY, "filling")
_OF_RUN = Doubt.of(UNSURE, "filling")
_YOLK = "egg_yolk"
MOST_PINCH_G = 1.0
_BEATEN = frozenset(
    ("beaten", "whisked", "mixed", "verquirlt", "verquirlte", "verruhrt", "verschlagen", "verdunnt")
)
_WITH = frozenset(("with", "mit"))
_THINNED = re.compile(
    rf"\b(?:{'|'.join(sorted(_BEATEN))}) (?:together )?(?:with|mit) .*"
    r"\b(?:water|milk|cream|wasser|milch|sahne|rahm)\b"
    r"|\bmit .*\b(?:wasser|milch|sahne|rahm) (?:verdunnt|verquirlt|verruhrt|verschlagen)\b"
)


def all_outside(readings: list[Reading]) -> list[Reading]:
    """The readings of one line; a remark behind the last of several may be of all of them."""
    if _is_beaten_with(readings) or _is_beaten_alone(readings) or is_thinned(readings):
        return [reading._replace(part=OUTSIDE, section_doubts=(_OF_RUN,)) for reading in readings]
    if _is_for_scald(readings):
        return [each._replace(part=SCALD, section_doubts=readings[-1].section_doubts) for each in readings]
    if len(readings) > 1 and readings[0].part == OUTSIDE and all(map(_is_pinch, readings[1:])):
        return [each._replace(part=OUTSIDE) for each in readings]  # Ei zum Bestreichen mit 1 Prise Salz
    if readings and any(doubt.code == "soaked_in" for doubt in readings[-1].section_doubts):
        return readings  # 40 g raisins, soaked in 50 ml rum
    if not readings or readings[-1].part != OUTSIDE or any(each.kind != INGREDIENT for each in readings):
        return readings
    if not any(each.mass or each.percent or each.bare or each.weighed for each in readings):
        return [each._replace(part=OUTSIDE) for each in readings]  # Butter und Mehl für die Form
    return _runs_outside(readings) if len(readings) > MOST_WASHED else _with_the_last(readings)


def all_of_heading(readings: list[Reading]) -> list[Reading]:
    """The readings of a long line, those behind its heading of a filling outside the dough as the first is.

    Not where a flour or yeast is among them, which may be of the dough: ``肉餡:豬肉150克、醬油10克、糖3克…``.
    """
    first = readings[0] if readings else None
    if first is None or first.part != OUTSIDE or not first.section:
        return readings
    doubt = Doubt.of(LIKELY, "not_of_heading", heading=first.section)
    led = [at for at, each in enumerate(readings) if each.part == DOUGH and doubt in each.section_doubts]
    named = [one for at in led if (one := readings[at].ingredient)]
    if any(each.is_flour or each.yeast for each in named):
        return readings
    found = list(readings)
    for at in led:
        found[at] = readings[at]._replace(part=OUTSIDE, section=first.section, section_doubts=(_FILLING,))
    return found


def _is_pinch(reading: Reading) -> bool:
    return reading.kind == INGREDIENT and reading.grams <= MOST_PINCH_G


def _is_beaten_with(readings: Sequence[Reading]) -> bool:
    """Whether a line is hardly of the dough: ``1 egg beaten with 1 tbsp milk``, ``1 yolk + 1 tbsp cream``."""
    if len(readings) < 2 or any(each.part != DOUGH or each.mass is None for each in readings[:2]):
        return False
    if any(each.part != OUTSIDE for each in readings[2:]):
        return False
    egg, thinner = (each.ingredient for each in readings[:2])
    if egg is None or egg.name not in EGGS or thinner is None or thinner.name not in LISTED_TWICE:
        return False
    if not (thinner.is_liquid or thinner.name == "cream") or readings[1].grams > MOST_THINNED_G:
        return False
    words = set(plain_words(readings[0].text))
    return egg.name == _YOLK or not words.isdisjoint(_BEATEN) and not words.isdisjoint(_WITH)


def _is_beaten_alone(readings: Sequence[Reading]) -> bool:
    """``1 yolk (beaten with 1 tbsp water)``, ``1 egg, whisked with a splash of milk``."""
    if len(readings) != 1 or readings[0].part != DOUGH or readings[0].ingredient is None:
        return False
    words = heading_words(readings[0].text)
    return readings[0].ingredient.name in EGGS and _THINNED.search(words) is not None


def _is_for_scald(readings: Sequence[Reading]) -> bool:
    """Whether what is said of the last is said of both: ``25 g flour + 125 g milk for the tangzhong``."""
    if len(readings) != 2 or {each.part for each in readings} != {SCALD, DOUGH}:
        return False
    flour, liquid = (each.ingredient for each in readings)
    if flour is None or not flour.is_flour or liquid is None or not liquid.is_liquid:
        return False
    return 0 < readings[0].grams <= readings[1].grams


def _runs_outside(readings: list[Reading]) -> list[Reading]:
    """A whole list on one line: ``… 80 g butter, 5 g salt, 100 g butter, 50 g sugar (for the filling)``.

    What is named again before such a remark starts what the remark ends; never for sure.
    """
    found = list(readings)
    named: set[str] = set()
    starts = -1
    for at, reading in enumerate(readings):
        ingredient = reading.ingredient
        if reading.part == OUTSIDE:
            for place in range(starts, at) if starts >= 0 else ():
                found[place] = readings[place]._replace(part=OUTSIDE, section_doubts=(_OF_RUN,))
            starts = at + 1
        elif ingredient is None:
            continue
        elif ingredient.is_flour or ingredient.yeast or reading.part != DOUGH:
            starts = -1
        elif starts < 0 and ingredient.name in named:
            starts = at
        if ingredient and reading.part == DOUGH:
            named.add(ingredient.name)
    return found


def _with_the_last(readings: list[Reading]) -> list[Reading]:
    """``1 egg + 1 tbsp milk for egg wash``: both, unless the first is more of the same or a flour.

    ``100 g butter, 70 g sugar and cinnamon for the filling``: all, where no flour and no yeast is among them.
    """
    of_dough = [each.ingredient for each in readings if each.ingredient]
    if len(readings) > 2:
        egg = readings[-1].mass is None and (readings[-1].ingredient is None or of_dough[-1].name in EGGS)
        if egg or any(each.is_flour or each.yeast for each in of_dough):
            return readings  # salt 4 g, butter 30 g, egg to brush
        return [
            reading if reading.part == OUTSIDE else reading._replace(part=OUTSIDE, section_doubts=(_OF_RUN,))
            for reading in readings
        ]
    last = readings[-1].ingredient
    if last is None or not (last.is_liquid or last.name in ("cream", "salt", "sucrose")):
        return readings
    return [
        reading
        if reading.ingredient is last or reading.ingredient and reading.ingredient.is_flour
        else reading._replace(part=OUTSIDE)
        for reading in readings[:-1]
    ] + [readings[-1]]
