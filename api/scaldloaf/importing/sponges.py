"""A dough made before, such as a sponge or old dough: named among the ingredients, and listed or not."""

import re
from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing import sections
from scaldloaf.importing.doubt import LIKELY, MADE_BEFORE, UNSURE, Doubt
from scaldloaf.importing.readings import INGREDIENT, MENTION, Reading, in_part
from scaldloaf.importing.vocabulary import SPONGE, heading_words

_LIST_WORD = re.compile(r"^\w+\s*[:：–—・-]\s*")
USED_WHOLE = 0.97  # a sponge of which at least so much is used is used whole
# Behind the name of a sponge: that all of it is used.
_ALL = frozenset(("全量", "全部", "全份", "全て", "すべて", "全数", "全數", "所有", "整份", "一份", "1份"))


def is_sponge(words: Sequence[str]) -> bool:
    """Whether some words name a sponge and nothing else."""
    return bool(words) and sections.title_of(list(words)) == (SPONGE, True)


def is_all_of_a_sponge(words: Sequence[str]) -> bool:
    """Whether a line names all of a sponge: ``中種 全量``."""
    rest = [word for word in words if word not in _ALL]
    return len(rest) < len(words) and is_sponge(rest)


def mentioned(blank: Reading) -> Reading:
    """A line that only names the sponge, whose ingredients are other lines."""
    return blank._replace(
        kind=MENTION,
        part=DOUGH,
        doubts=(),
        section_doubts=(),
        read_as="the sponge, made from the lines read as its own",
    )


def with_sponges(readings: list[Reading]) -> list[Reading]:
    """The sponges that are named with a mass and listed too as mentions, and only what is used of them."""
    named = [
        at
        for at, reading in enumerate(readings)
        if reading.kind == INGREDIENT and any(doubt.code in MADE_BEFORE for doubt in reading.doubts)
    ]
    if not named:
        return readings
    made: dict[str, list[int]] = {}
    for at, reading in enumerate(readings):
        if reading.in_formula and reading.part == DOUGH and _heads_a_sponge(reading.section):
            made.setdefault(reading.section, []).append(at)
    changed = list(readings)
    for at in named:
        inside = _heads_a_sponge(readings[at].section)  # what a sponge is made with was made before it
        section = _section_of(readings[at], [each for each in made if not inside or made[each][0] < at])
        if section is None:
            continue
        changed[at] = mentioned(readings[at])
        used = readings[at].mass
        if used is not None:
            is_known = not any(_is_unread(each) and each.section == section for each in readings)
            _use(changed, made.pop(section), used.best, is_known)
    return changed


def _heads_a_sponge(section: str) -> bool:
    names = (section, _LIST_WORD.sub("", section))  # 食材：老麵糰
    return any(sections.title_of(heading_words(name).split()).part == SPONGE for name in names if name)


def _section_of(reading: Reading, made: Sequence[str]) -> str | None:
    """The heading of the list of a sponge that a line outside it names."""
    others = [section for section in made if section != reading.section]
    if len(others) < 2:
        return others[0] if others else None
    doubt = next(doubt for doubt in reading.doubts if doubt.code in MADE_BEFORE)
    name = heading_words(str(dict(doubt.values)["words"]).strip("“”"))
    alike = [each for each in others if name in heading_words(each) or heading_words(each) in name]
    return alike[0] if len(alike) == 1 else None


def _is_unread(reading: Reading) -> bool:
    return reading.kind == INGREDIENT and reading.part == DOUGH and not reading.in_formula


def _use(readings: list[Reading], places: Sequence[int], used_g: float, is_known: bool) -> None:
    """Make the lines of a sponge what is used of it; a line of it that was not read leaves that open.

    Parameters
        readings : list[Reading]  changed
        places : Sequence[int]  of its lines
        used_g : float  [g]
        is_known : bool  whether all its lines are read
    """
    made_g = sum(readings[at].grams for at in places)
    if not 0 < used_g < USED_WHOLE * made_g:
        return
    level = LIKELY if is_known else UNSURE
    doubt = Doubt.of(level, "sponge_used_in_part", used_g=used_g, made_g=made_g)
    for at in places:
        if is_known:
            readings[at] = in_part(readings[at], used_g / made_g, doubt)
        elif readings[at].mass:
            readings[at] = readings[at]._replace(doubts=(*readings[at].doubts, doubt))
