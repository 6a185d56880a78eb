"""What would do instead of the line before, on a line of its own: ``or 7 g instant yeast``."""

import re
from collections.abc import Sequence

from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.words.doubt import LIKELY, SOURDOUGH, UNSURE, Doubt
from scaldloaf.importing.words.vocabulary import CHOOSE, CUT, INSTEAD, OUTSIDE, PLAIN, is_spaceless

MOST_LED = 2  # lines that begin so; more of them have it as their bullet: ``o 500 g de harina``
_BEGINS_WITH_NUMBER = re.compile(r"\W*\d")
_WORDS = re.compile(r"[^\W\d_]+")
_LED_BY = CHOOSE | INSTEAD
_SPACELESS = tuple(word for word in CHOOSE if is_spaceless(word) and word != "か")  # かぼちゃ


def without_alternatives(readings: list[Reading]) -> list[Reading]:
    """The readings, those of lines that say what else would do outside the dough."""
    led = [at for at, each in enumerate(readings) if at and _is_led(each.text)]
    if len(led) > MOST_LED:
        led = []
    led = sorted({*led, *(at for at in range(1, len(readings)) if _is_left_open(readings[at - 1].text))})
    found = list(readings)
    equal = _equal_yeasts(readings)
    for at in [*(at for at in led if _is_alone(readings, at)), *_other_yeasts(readings), *equal]:
        before, reading = readings[at - 1], readings[at]
        if before.starter and before.part == reading.part and _is_yeast(reading) and reading.ingredient:
            doubt = Doubt.of(UNSURE, "would_do", names=reading.ingredient.label)
            found[at - 1] = before._replace(doubts=(*before.doubts, doubt))
            found[at] = reading._replace(part=OUTSIDE, section_doubts=(_instead_of_starter(before),))
            continue
        if not before.in_formula or not before.ingredient:
            continue
        is_other = reading.ingredient is not before.ingredient or _is_left_open(before.text)
        if reading.kind == INGREDIENT and is_other:
            doubt = Doubt.of(LIKELY, "would_do", names=before.ingredient.label)
            found[at] = reading._replace(part=OUTSIDE, section_doubts=(doubt,))
    for at in equal:
        if any(_is_yeast(each) and each.line != readings[at].line for each in readings):
            found[at - 1] = readings[at - 1]._replace(part=OUTSIDE, section_doubts=found[at].section_doubts)
    return found


def _instead_of_starter(starter: Reading) -> Doubt:
    words = next(
        (str(dict(doubt.values)["words"]) for doubt in starter.doubts if doubt.code == SOURDOUGH), ""
    )
    return Doubt.of(LIKELY, "would_do", names=words)


def _other_yeasts(readings: Sequence[Reading]) -> list[int]:
    """The yeasts behind a stroke and another yeast: ``6 g de levure sèche / 18 g de levure fraîche``."""
    return [at for at in _pairs_of_yeasts(readings) if readings[at].text.count("/") == 1]


def _equal_yeasts(readings: Sequence[Reading]) -> list[int]:
    """The second of two yeasts of which a line says that they do the same: ``7 g sèche = 20 g fraîche``."""
    return [at for at in _pairs_of_yeasts(readings) if _says_equal(readings[at].text)]


def _says_equal(text: str) -> bool:
    return "=" in text or not INSTEAD.isdisjoint(_WORDS.findall(text.lower()))


def _pairs_of_yeasts(readings: Sequence[Reading]) -> list[int]:
    """The yeasts right behind another one on the same line."""
    yeasts = {at for at, each in enumerate(readings) if _is_yeast(each)}
    return [at for at in sorted(yeasts) if at - 1 in yeasts and readings[at].line == readings[at - 1].line]


def _is_yeast(reading: Reading) -> bool:
    return reading.in_formula and reading.ingredient is not None and reading.ingredient.yeast is not None


def _is_led(line: str) -> bool:
    """Whether a line begins with a word that says that it is instead of another."""
    if line.lstrip().startswith(_SPACELESS):
        return True
    words = [word.lower() for word in _WORDS.findall(line[:40])[:2]]
    if _BEGINS_WITH_NUMBER.match(line):
        return False  # 2u huevos
    if not words or words[0] in _LED_BY:
        return bool(words)
    is_plain = words[0] in CUT or words[0] in PLAIN  # in alternativa, als Ersatz
    return is_plain and len(words) > 1 and words[1] in INSTEAD


def _is_left_open(line: str) -> bool:
    """Whether a line ends with a word that says that the line below is instead of it: ``10 g butter or``."""
    line = line.rstrip(" .,-–…(")
    if line.endswith(_SPACELESS):
        return True
    return line[line.rfind(" ") + 1 :].lower() in CHOOSE


def _is_alone(readings: Sequence[Reading], at: int) -> bool:
    """Whether a line has one reading, and is right below the line before."""
    near = [each.line for each in readings[at - 1 : at + 2] if each.line == readings[at].line]
    return len(near) == 1 and readings[at].line - readings[at - 1].line <= 2
