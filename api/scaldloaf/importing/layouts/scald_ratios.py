"""A scald that is given as a mass and a ratio: ``湯種 60g（麵粉:水=1:5）``, ``60 g tangzhong (1:5)``."""

import re
from collections.abc import Sequence
from functools import cache
from itertools import islice

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.words.said_units import GRAMS, WEIGHED
from scaldloaf.importing.words.sections import SCALD_WORDS, framed, title_in
from scaldloaf.importing.words.vocabulary import SECTIONS

MOST_OF_LIQUID = 6.0  # parts, to one of flour
MOST_LINE = 120  # characters
_RATIO = re.compile(r"(?<![\d:.])(\d(?:\.\d)?)\s?[:比]\s?(\d(?:\.\d)?)(?![\d:]|\s?[a-z克公毫])")
_MASS = re.compile(rf"(\d{{1,4}}(?:\.\d+)?)\s?{GRAMS}")
_AMOUNT = re.compile(rf"\d\s?(?:{WEIGHED}|cups?|大匙|湯匙|汤匙|大さじ|杯)", re.IGNORECASE)
_FLOUR = re.compile(
    r"[高中低]筋[麵面]?粉|[高中低]粉|全[麥麦][麵面]?粉|[麵面]粉|bread flour|flour|粉", re.IGNORECASE
)
_LIQUID = re.compile(r"[鮮鲜牛][奶乳]|水|[熱お]湯|water|milk", re.IGNORECASE)
_OF_FLOUR = re.compile(  # ratio 1:5, 20 g flour; 麵粉20克
    rf"(?:{_MASS.pattern})\s?(?:{_FLOUR.pattern})(?!\s?[:比])|(?:{_FLOUR.pattern})\s?(?:{_MASS.pattern})",
    re.IGNORECASE,
)


@cache
def _named_with_mass() -> re.Pattern[str]:
    """The name of a scald with its mass. Made when first needed: it takes 15 ms, and few recipes need it."""
    scalds = "|".join(sorted(map(re.escape, SECTIONS[SCALD]), key=len, reverse=True))
    return re.compile(rf"(?:{scalds})[^\w()]{{0,3}}(\d{{1,4}}(?:\.\d+)?)\s?{GRAMS}", re.IGNORECASE)


def with_scald_of_ratio(plain: list[str]) -> list[str]:
    """The lines; one that has a scald as a ratio with the masses of its parts, where its own is known.

    Its mass is in that line, or beside the name of the scald in another. A scald that has a list stays.
    """
    for at, line in enumerate(plain):
        if not 0 < len(line) <= MOST_LINE or ":" not in line and "比" not in line:
            continue
        if SCALD_WORDS.found_in(framed(line)) is None or (parts := _parts(line)) is None:
            continue
        if not _MASS.search(line) and _lists_both(plain[at + 1 :]):
            return [*plain[:at], f"{SCALD_WORDS.found_in(framed(line))}:", *plain[at + 1 :]]
        liquid = _LIQUID.search(line)
        if liquid and not _MASS.search(line) and (flour := _only_flour(plain, at + 1)):
            place, flour_g = flour
            grams = f"{flour_g * parts[1] / parts[0]:.4g} g"
            said = f", {grams} {liquid.group()}" if line.isascii() else f"、{liquid.group()} {grams}"
            return [*plain[:place], f"{plain[place]}{said}", *plain[place + 1 :]]
        others = [other for place, other in enumerate(plain) if place != at]
        used = _mass(line, others, parts)
        if used and not any(title_in(other) == (SCALD, True) for other in others):
            return [*plain[:at], _with_masses(line, used, parts), *plain[at + 1 :]]
    return plain


def _lists_both(below: Sequence[str]) -> bool:
    """Whether the next line or two have a flour and a liquid, each with its amount: the ratio's list."""
    listed = list(islice(filter(None, below), 2))
    if not listed or any(SCALD_WORDS.found_in(framed(line)) for line in listed):
        return False
    text = listed[0] if len(_MASS.findall(listed[0])) > 1 else " ".join(listed)
    amounts = _AMOUNT.findall(text)
    return len(amounts) == 2 and _FLOUR.search(text) is not None and _LIQUID.search(text) is not None


def _parts(line: str) -> tuple[float, float] | None:
    """How many parts of flour and of liquid a line says, the flour first unless it names the liquid first."""
    found = _RATIO.search(line)
    if found is None:
        return None
    flour, liquid = map(float, found.groups())
    named = [pattern.search(line[: found.start()]) for pattern in (_FLOUR, _LIQUID)]
    if named[0] and named[1] and named[1].start() < named[0].start():
        flour, liquid = liquid, flour
    return (flour, liquid) if flour and flour <= liquid <= MOST_OF_LIQUID * flour else None


def _only_flour(plain: Sequence[str], start: int) -> tuple[int, float] | None:
    """Where flour is all that is listed from a line on, and its grams: the liquid is by the ratio."""
    place = next((at for at in range(start, len(plain)) if plain[at]), len(plain))
    if place == len(plain) or len(plain[place]) > MOST_LINE:
        return None
    masses = _MASS.findall(plain[place])
    is_last = place + 1 == len(plain) or not any(map(str.isdigit, plain[place + 1]))
    if len(masses) != 1 or not is_last or _LIQUID.search(plain[place]) or not _FLOUR.search(plain[place]):
        return None
    return place, float(masses[0])


def _mass(line: str, others: Sequence[str], parts: tuple[float, float]) -> float | None:
    """What the recipe uses of the scald: the one mass of its line, or that beside its name elsewhere."""
    own = _MASS.findall(line)
    if len(own) == 1 and _OF_FLOUR.search(line):
        return float(own[0]) * sum(parts) / parts[0]
    if len(own) == 1:
        return float(own[0])
    named = [found.group(1) for other in others if (found := _named_with_mass().search(other))]
    return float(named[0]) if len(named) == 1 else None


def _with_masses(line: str, used: float, parts: tuple[float, float]) -> str:
    """The scald with its parts in parentheses, as the recipe uses it."""
    flour, liquid = (f"{used * part / sum(parts):.4g} g" for part in parts)
    names = [found.group() if (found := pattern.search(line)) else "" for pattern in (_FLOUR, _LIQUID)]
    names[0] = names[0] if len(names[0]) > 1 else ""  # 粉水比: whichever flour the recipe has
    scald = SCALD_WORDS.found_in(framed(line))
    if line.isascii():
        return f"{scald} ({flour} {names[0] or 'flour'}, {liquid} {names[1] or 'water'})"
    return f"{scald}({names[0] or '麵粉'} {flour}、{names[1] or '水'} {liquid})"
