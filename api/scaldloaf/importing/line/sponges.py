"""A dough made before, such as a sponge or old dough: named among the ingredients, and listed or not."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.quantities.amounts import OF
from scaldloaf.importing.quantities.readings import HEADING, INGREDIENT, MENTION, Reading, in_part
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.doubt import LIKELY, MADE_BEFORE, NOT_KNOWN, SOURDOUGH, UNSURE, Doubt
from scaldloaf.importing.words.said_units import GRAMS
from scaldloaf.importing.words.vocabulary import SPONGE, STARTERS, USED, has_one_of, heading_words

_INSIDE = re.compile(r"[(（][^()（）]*[)）]")
_GRAMS = re.compile(rf"(\d+(?:[.,]\d+)?) ?{GRAMS}", re.IGNORECASE)
_LIST_WORD = re.compile(r"^\w+\s*[:：–—・-]\s*")
USED_WHOLE = 0.97  # a sponge of which at least so much is used is used whole
# Behind the name of a sponge: that all of it is used.
_ALL = frozenset(("全量", "全部", "全份", "全て", "すべて", "全数", "全數", "所有", "整份", "一份", "1份"))


def is_sponge(words: Sequence[str]) -> bool:
    """Whether some words name a sponge and nothing else."""
    return bool(words) and sections.title_of(list(words)) == (SPONGE, True)


class _Beside(NamedTuple):
    """The grams beside the name of a sponge, and whether a word says that so much of it is used.

    ``Vorteig (davon 100 g nehmen)`` says so; ``Vorteig (100 g)`` may mean it.
    """

    grams: float
    is_said: bool


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
    """The sponges and fed starters that are listed and named elsewhere, with only what is used of them.

    The line that names one is a mention: its ingredients are the lines of its own list.
    """
    named = [at for at, reading in enumerate(readings) if _names_a_sponge(reading)]
    headed = {at: beside for at, reading in enumerate(readings) if (beside := _grams_beside(reading))}
    if not named and not headed:
        return readings
    made: dict[str, list[int]] = {}
    for at, reading in enumerate(readings):
        if reading.in_formula and reading.part == DOUGH and heads_a_sponge(reading.section):
            made.setdefault(reading.section, []).append(at)
    changed = list(readings)
    for at in named:
        in_sponge = heads_a_sponge(readings[at].section)
        before = [each for each, places in made.items() if not in_sponge or places[-1] < at]
        section = _section_of(readings[at], before)
        if section is None or _is_of_another(readings, at, section, made[section]):
            continue
        changed[at] = mentioned(readings[at])
        used_g = _grams_of(readings[at], sum(each.line == readings[at].line for each in readings) == 1)
        if used_g:
            _use(changed, made.pop(section), used_g, section)
    for at, beside in headed.items():
        section = next((each.section for each in readings[at + 1 :] if each.in_formula), "")
        before = [each for each, places in made.items() if places[-1] < at]
        if section not in made and len(before) == 1:
            section = before[0]  # named again in the list of the dough
        if section in made:
            _use(changed, made.pop(section), beside.grams, section, is_said=beside.is_said)
    return changed


def _grams_beside(named: Reading) -> _Beside | None:
    """The grams in the parentheses of a line that names a sponge, those that a word says are used first."""
    is_name = named.kind in (HEADING, MENTION)
    if not is_name or not heads_a_sponge(_INSIDE.sub(" ", named.text).strip(" :")):
        return None
    found = [
        _Beside(grams, has_one_of(inside, USED))
        for inside in _INSIDE.findall(named.text)
        if (grams := _grams_in(inside))
    ]
    return next((each for each in found if each.is_said), found[0] if found else None)


def _grams_in(text: str) -> float:
    said = _GRAMS.search(text)
    return float(said.group(1).replace(",", ".")) if said else 0.0


def _names_a_sponge(reading: Reading) -> bool:
    """Whether a line that is no ingredient of ours names a sponge or a starter."""
    if reading.kind != INGREDIENT or reading.ingredient:
        return False
    codes = {doubt.code for doubt in reading.doubts}
    if not codes.isdisjoint(MADE_BEFORE):
        return True
    words = [word for word in heading_words(_GRAMS.sub(" ", reading.text)).split() if word not in OF]
    return not codes.isdisjoint(NOT_KNOWN) and sections.title_of(words).part == SPONGE


def _grams_of(reading: Reading, is_alone: bool = True) -> float:
    """What a line that names a sponge says of it [g]; 0 where it says nothing. is_alone: on its line."""
    if reading.mass:
        return reading.grams
    if not is_alone:  # Hauptteig: Vorteig 300 g Mehl 6 g Salz
        return reading.weighed.best if reading.weighed else 0.0
    return _grams_in(reading.text)


def heads_a_sponge(section: str) -> bool:
    """Whether the heading of some lines names a sponge or a starter."""
    # 食材：老麵糰; old dough (use 100 g of it)
    names = dict.fromkeys((section, _LIST_WORD.sub("", section), _INSIDE.sub(" ", section).strip(" :")))
    return any(sections.title_in(name).part == SPONGE for name in names if name)


def _section_of(reading: Reading, made: Sequence[str]) -> str | None:
    """The heading of the list of a sponge that a line outside it names."""
    others = [section for section in made if section != reading.section]
    if len(others) < 2:
        return others[0] if others else None
    doubt = next(doubt for doubt in reading.doubts if doubt.code in NOT_KNOWN)
    name = heading_words(str(dict(doubt.values)["words"]).strip("“”"))
    alike = [each for each in others if name in heading_words(each) or heading_words(each) in name]
    return alike[0] if len(alike) == 1 else None


def _is_of_another(readings: Sequence[Reading], at: int, section: str, places: Sequence[int]) -> bool:
    """Whether a line names sourdough, and the sponge of a section is raised with yeast and not called so."""
    codes = {doubt.code for doubt in readings[at].doubts}
    if SOURDOUGH not in codes or not any((each := readings[n].ingredient) and each.yeast for n in places):
        return False
    return not any(starter in heading_words(section) for starter in STARTERS)


def _is_unread(reading: Reading) -> bool:
    """Whether a line that may be of the dough is not read; one without a number is what a page broke off."""
    is_said = any(map(str.isdigit, reading.text)) or reading.ingredient is not None
    return reading.kind == INGREDIENT and reading.part == DOUGH and not reading.in_formula and is_said


def _says_again(reading: Reading, used_g: float) -> bool:
    """Whether a line that names no ingredient only repeats how much is used: ``Levain: 40 g (20%)``."""
    is_nameless = any(doubt.code in ("no_name", "not_in_catalogue") for doubt in reading.doubts)
    return is_nameless and _grams_of(reading) == used_g


def _use(
    readings: list[Reading], listed: Sequence[int], used_g: float, section: str, is_said: bool = True
) -> None:
    """Make the lines of a sponge what is used of it.

    Parameters
        readings : list[Reading]  changed
        listed : Sequence[int]  of its lines that were read
        used_g : float  [g]
        section : str  its heading; what was not read below it, such as a starter, is in the sponge too
        is_said : bool  whether a word says that so much is used; else its lines stay, in doubt
    """
    unread = [at for at, each in enumerate(readings) if _is_unread(each) and each.section == section]
    places = [*listed, *(at for at in unread if readings[at].starter)]
    others = [readings[at] for at in unread if not _says_again(readings[at], used_g)]
    unread_g = [_grams_of(each) for each in others]  # 0: it says nothing
    is_known = is_said and all(unread_g)
    made_g = sum(readings[at].grams for at in places if readings[at].in_formula) + sum(unread_g)
    if not 0 < used_g < USED_WHOLE * made_g:
        return
    level = LIKELY if is_known else UNSURE
    doubt = Doubt.of(level, "sponge_used_in_part", used_g=used_g, made_g=made_g)
    for at in places:
        if is_known and (starter := readings[at].starter):
            part = starter._replace(mass=starter.mass.map(lambda grams: grams * used_g / made_g))
            readings[at] = readings[at]._replace(starter=part, doubts=(*readings[at].doubts, doubt))
        elif is_known:
            readings[at] = in_part(readings[at], used_g / made_g, doubt)
        elif readings[at].mass:
            readings[at] = readings[at]._replace(doubts=(*readings[at].doubts, doubt))
