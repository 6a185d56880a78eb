"""Lines that speak of another case than the recipe's own: another yeast, another season."""

import re
from collections.abc import Sequence

from scaldloaf.importing.quantities.readings import INGREDIENT, STEP, Reading
from scaldloaf.importing.words.doubt import LIKELY, NOT_READ, Doubt

_CASE = re.compile(
    r"^[\s(（※*・•-]*(?:[^\d、,。:：]{1,16}?(?:場合[はに]?|なら|の代わりに[はに]?|がなければ)|(?:夏|冬)(?:場|期|季)?は"
    r"|(?:如果?|若|要是|没有|沒有)[^\d、,。:：]{1,14}?)[^\d]{0,16}\d"
)
_YEAST = re.compile("イースト|酵母")
_CASE_OF_YEAST = re.compile("^([^\\d、。]{0,12}(?:イースト|酵母))(?:の?場合[はに]?|なら)(?=[^\\d]{0,4}\\d)")
_SEASON = re.compile(r"夏|冬|春秋|(?i:summer|winter|sommer|estate|inverno|été|hiver|verano|invierno)")


def without_cases(readings: list[Reading]) -> list[Reading]:
    """The readings, with lines on another case as remarks, and one season of an amount that has two."""
    if not any(_CASE.match(each.text) or _SEASON.search(each.text) for each in readings):
        return readings
    return _of_one_season([_as_remark(each) if _is_other(each, readings) else each for each in readings])


def with_first_yeast(plain: list[str]) -> list[str]:
    """The lines, the first of those that each name a yeast for its own case as the recipe's.

    ``ドライイーストの場合 3g`` and ``生イーストの場合 8g``, without a line of yeast that is for every case.
    """
    yeasts = [at for at, line in enumerate(plain) if _YEAST.search(line) and any(map(str.isdigit, line))]
    if not yeasts or not all(_CASE_OF_YEAST.match(plain[at]) for at in yeasts):
        return plain
    first = yeasts[0]
    return [*plain[:first], _CASE_OF_YEAST.sub(r"\1", plain[first]), *plain[first + 1 :]]


def _is_other(reading: Reading, readings: Sequence[Reading]) -> bool:
    """Whether a line that is not read says what else would do, and how much: ``生イーストの場合 9g``."""
    if reading.kind != INGREDIENT or reading.sure != NOT_READ or not _CASE.match(reading.text):
        return False
    if not reading.alternatives:
        return True
    return any(each.in_formula and each.ingredient and each.ingredient.yeast for each in readings)


def _as_remark(reading: Reading) -> Reading:
    return Reading(reading.line, reading.text, STEP, "a remark")


def _of_one_season(readings: list[Reading]) -> list[Reading]:
    """``水(夏) 160g`` and ``水(冬) 170g``: the first, never for sure."""
    first: dict[str, int] = {}
    changed = list(readings)
    for at, reading in enumerate(readings):
        said = _SEASON.search(reading.text)
        if said is None or not reading.in_formula or reading.ingredient is None:
            continue
        other = first.setdefault(f"{reading.part} {reading.ingredient.name}", at)
        before = readings[other]
        if (
            other == at
            or before.line == reading.line
            or _SEASON.findall(before.text) == _SEASON.findall(reading.text)
        ):
            continue
        doubt = Doubt.of(LIKELY, "would_do", names=reading.text[:40])
        changed[other] = before._replace(doubts=(*before.doubts, doubt))
        changed[at] = _as_remark(reading)
    return changed
