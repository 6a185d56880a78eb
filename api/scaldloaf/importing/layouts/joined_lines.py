"""Lines of a copied table made whole: a name and its amount that stand on lines of their own."""

import re
from collections.abc import Sequence
from itertools import pairwise

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.quantities.amounts import OF
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.words.lexicon import ENGLISH
from scaldloaf.importing.words.sections import SCALD_WORDS, framed, title_in, title_of
from scaldloaf.importing.words.vocabulary import (
    ADD,
    CHOOSE,
    CUT,
    HEADINGS,
    NUMBERS,
    PLAIN,
    REMARK,
    heading_words,
    name_words,
    plain_word,
    without_elision,
)

MOST_JOINED = 2  # lines that go on with a name: a percentage and an amount
MOST_NAME_CHARACTERS = 40
MOST_WRAPPED_CHARACTERS, MOST_WRAPPED_WORDS = 60, 5  # of a line that a page has broken in two
MOST_FORWARD_CHARACTERS = 80  # of a name below its amount, with a remark
LEAST_FORWARD = 3  # amounts, each with a name below, that show which way a list goes
LEAST_BACK = 3  # names, each with its amount below, that show that a bare number is one too
_BARE_AMOUNT = re.compile(
    r"^(?:約|约|about |ca\.? )?(?:\d[\d.,/~～〜\- ]*|[半一二兩两三](?!\d))\s?([^\W\d_]{1,12}|%)\.?"
    r"(?:\s?[×x]\s?\d{1,2})?(?:\s*\([^()]{1,20}\))?$"  # 5g×2
)
_SUM = re.compile(r" ?(?:[+＋又]| (?:plus|and|und|et|e|y) ) ?")  # 1/2杯+1大匙; 1又1/2杯
_LEFT_OPEN = frozenset(
    ("à", "a", "e", "y", "et", "di", "de", "du", "d", "of", "and", "und", "mit", "con", "avec")
)
_ENDS_WITH_AMOUNT = re.compile(r"\d ?([^\W\d_]{1,12})\.?$")
BARE_NUMBER = re.compile(r"\d[\d.,/~～〜–-]*(?: \d/\d)?")
_IN_PARENTHESES = re.compile(r"[(\[]([^()\[\]]{1,30})[)\]]")
_BEHIND_NUMBER = re.compile(r"\d\s?([^\W\d_]+|%)")
_MEASURE_BEFORE_NUMBER = re.compile(r"(?:さじ|匙|スプーン|カップ|[大小])\s?\d")  # 大さじ2
_EGGS = re.compile(
    r"(?i)\b(?:eggs?|eier|ei|eigelbe?|huevos?|yemas?|[œo]e?ufs?|uov[ao]|tuorl[oi]|jaunes?)\b|卵|蛋|全卵|玉子"
)
_BESIDE_CHOICE = " -–—•*·…:.,()（）~〜=<>"
_BULLET = re.compile(r"\s*[-–—•*·▢□☐]\s")
_PART_FOR_SCALD = re.compile(r"\(([^()]*\d[^()]{2,40})\)")
_FROM_DIGIT = re.compile(r"\d.*")
_UNIT = re.compile(r"([^\W\d_]{1,12})\.?")
_FIRST_WORD = re.compile(r"([^\W\d_]{1,12})\.?\s+(?=[^\W\d_])")
_UNIT_TWICE = re.compile(r"^(\d[\d.,/½¼¾]*) ([^\W\d_]{1,12}\.?) \2(?=\s)")
_SPOONS_OR_VAGUE = re.compile(  # 大さじ1と1/2; 適量
    r"(?:[大小]さじ|[大小]匙|カップ)\s?\d[\d./と約強弱杯 ]{0,8}(?:[×x]\s?\d{1,2})?"
    r"|(?:[適适]量|適宜|少々|少[許许]|ひとつまみ)(?:\s?\([^()]{1,12}\))?"
    r"|\D{1,20}[とを](?:合わせて|あわせて)"  # 卵と合わせて180ml
    r"\s?\d{2,3}\s?(?:g|ml|cc)\D{0,8}(?:\([^()]{1,12}\))?"
)


def joined(lines: Sequence[str], plain: Sequence[str]) -> tuple[list[str], list[str]]:
    """The lines, those that only have the amount of a name joined to it, as raw and as plain text.

    The name stands above its amount, or below where most of the list is so.
    """
    raw, made = list(lines), list(plain)
    _join_choices(raw, made)
    _join_wrapped(raw, made)
    _join_units(raw, made)
    _join_parts_for_scald(raw, made)
    if _has_units_below(made):
        _join_forward(raw, made)
        raw, made = list(map(_with_unit_once, raw)), list(map(_with_unit_once, made))
    elif _goes_forward(made):
        _join_forward(raw, made)
    else:
        _join_back(raw, made)
    return raw, made


def _join(raw: list[str], made: list[str], first: int, second: int) -> None:
    """Put one line behind another, and leave its place empty."""
    raw[first], made[first] = f"{raw[first]} {raw[second]}", f"{made[first]} {made[second]}"
    raw[second] = made[second] = ""


def _join_choices(raw: list[str], made: list[str]) -> None:
    """A line that only says ``or``, put behind the amount that the line below may do instead of."""
    for at in range(1, len(made)):
        if made[at].strip(_BESIDE_CHOICE).lower() in CHOOSE and any(map(str.isdigit, made[at - 1])):
            raw[at], made[at] = (line.strip(_BESIDE_CHOICE) for line in (raw[at], made[at]))
            _join(raw, made, at - 1, at)


def _join_wrapped(raw: list[str], made: list[str]) -> None:
    """A line that a page has broken: ``160 g de harina de``, ``fuerza``; ``150 g de leche``, ``tibia``.

    Or right behind the amount that its bullet marks: ``- 170``, ``g de leche``.
    """
    before, above, marked = None, None, _marked_amounts(raw, made)
    for at, line in enumerate(made):
        if not line:
            before = above = None
            continue
        if raw[at].lstrip()[:1].islower():
            if before is not None and (before in marked or _goes_on(made[before], line)):
                _join(raw, made, before, at)
                continue
            if above is not None and _goes_on_with_name(made[above], line):
                _join(raw, made, above, at)
                continue
        begins = line[0].isdigit() or at in marked
        before, above = at if begins and len(line) <= MOST_WRAPPED_CHARACTERS else None, at


def _marked_amounts(raw: list[str], made: list[str]) -> set[int]:
    """The lines that are only an amount with a bullet, where each has its name below it, none above it."""
    found = [at for at, line in enumerate(made) if line and _is_marked_amount(raw[at], line)]
    if not found or found[0] and _may_be_its_name(made[found[0] - 1]):
        return set()
    below = (raw[at + 1].lstrip() if at + 1 < len(raw) else "" for at in found)
    return set(found) if all(line[:1].islower() for line in below) else set()


def _is_marked_amount(raw: str, line: str) -> bool:
    """Whether a line with a bullet is an amount and nothing else: ``- 170``, ``- 75 g``, ``- Una``."""
    if not _BULLET.match(raw):
        return False
    first, _, unit = line.lower().partition(" ")
    in_words = first in NUMBERS and (not unit or unit_of_word(unit) is not None)
    return in_words or BARE_NUMBER.fullmatch(line) is not None or is_amount(line)


def _may_be_its_name(line: str) -> bool:
    """Whether the line above an amount may be its name: ``Butter`` above ``– 50 g``; no heading is one."""
    if not line or line.endswith(":") or any(map(str.isdigit, line)):
        return False
    words = heading_words(line)
    return words not in HEADINGS and title_of(words.split()).part is None


def _goes_on(before: str, line: str) -> bool:
    """Whether a line only goes on with the name, or what is said of it, that the line before begins."""
    if any(map(str.isdigit, line)) or len(line) > MOST_WRAPPED_CHARACTERS:
        return False
    last = before[before.rfind(" ") + 1 :].lower()
    if last in OF or last in CHOOSE or last in _LEFT_OPEN:
        return True
    words = line.lower().rstrip(".,").split()
    if not 0 < len(words) <= MOST_WRAPPED_WORDS or title_in(line).part:
        return False
    return words[0] not in ADD and all(
        plain_word(word) in PLAIN or word in CUT or word in OF for word in words
    )


def _goes_on_with_name(before: str, line: str) -> bool:
    """Whether a list is broken behind an amount: ``550 g di farina – 60 ml``, ``di latte tiepido – …``."""
    amount = _ENDS_WITH_AMOUNT.search(before[-24:])
    if amount is None or unit_of_word(amount.group(1).lower()) is None or not names_one(before):
        return False
    first = line.split()[0]
    return without_elision(line) != line or len(first) > 1 and first in OF


def _join_units(raw: list[str], made: list[str]) -> None:
    """A number and the unit on the line below."""
    number = None
    for at, line in enumerate(made):
        if not line:
            continue
        unit = _UNIT.fullmatch(line)
        if number is not None and unit and unit_of_word(unit.group(1).lower()) is not None:
            _join(raw, made, number, at)
        number = at if BARE_NUMBER.fullmatch(line) else None


def _join_parts_for_scald(raw: list[str], made: list[str]) -> None:
    """Parentheses on a line of their own that say how much of the line above is for the scald.

    ``高筋麵粉 300g``, ``（其中20g做湯種）``; ``200 g milk``, ``(100 g of it for the tangzhong)``. Or what the
    scald above is made of: ``湯種 160g``, ``（高筋麵粉 27g、水 133g）``.
    """
    for at in range(len(made) - 1, 0, -1):
        inside = _PART_FOR_SCALD.fullmatch(made[at])
        above = _FROM_DIGIT.sub("", made[at - 1]) if inside else ""
        if not inside or not above:
            continue
        names_scald = SCALD_WORDS.found_in(framed(inside.group(1))) is not None
        if names_scald and above != made[at - 1] or title_in(above) == (SCALD, True):
            _join(raw, made, at - 1, at)


def _has_units_below(made: Sequence[str]) -> bool:
    """Whether numbers stand above the lines that begin with their units: ``500`` above ``g g Mehl``."""
    lines = list(filter(None, made))
    units = (
        _FIRST_WORD.match(line) if BARE_NUMBER.fullmatch(number) else None for number, line in pairwise(lines)
    )
    below = sum(unit is not None and unit_of_word(unit.group(1).lower()) is not None for unit in units)
    return below >= LEAST_FORWARD


def _with_unit_once(line: str) -> str:
    """A joined line whose unit a page has twice, once for screen readers: ``500 g g Mehl``."""
    return _UNIT_TWICE.sub(r"\1 \2", line)


def _goes_forward(made: Sequence[str]) -> bool:
    """Whether amounts stand above their names: each of a run has a name below, and the first none above."""
    lines = list(filter(None, made))
    amounts = list(map(_is_amount_by_its_place, lines))
    runs = above = below = 0
    for at, line in enumerate(lines):
        if not amounts[at]:
            continue
        before, after = at > 0 and _may_be_name(lines[at - 1]), at + 1 < len(lines) and is_name(lines[at + 1])
        if at + 1 == len(lines) and before:
            return False  # nothing is left for the last amount
        runs += after and is_amount(line)
        if before and lines[at - 1].endswith(":") and names_only_one(lines[at - 1]):
            return False
        eggs = _eggs_beside(lines, at)
        if before and (at == 1 or not amounts[at - 2] or eggs < 0):
            above += names_only_one(lines[at - 1])
        if after and (at + 2 == len(lines) or not amounts[at + 2] or eggs > 0):
            below += names_only_one(lines[at + 1])
        below += after and at == 0
    return runs >= LEAST_FORWARD and below > above


def _eggs_beside(lines: Sequence[str], at: int) -> int:
    """Where the eggs are that a bare number counts: -1 for the line above, 1 for that below, or 0."""
    if not BARE_NUMBER.fullmatch(lines[at]):
        return 0
    above, below = (
        bool(_EGGS.search(line)) for line in (lines[at - 1] if at else "", *lines[at + 1 : at + 2], "")[:2]
    )
    return below - above


def _join_forward(raw: list[str], made: list[str]) -> None:
    amount = None
    for at, line in enumerate(made):
        if not line:
            continue
        if amount is not None and len(line) <= MOST_FORWARD_CHARACTERS and not line[0].isdigit():
            _join(raw, made, amount, at)
            amount = None
        else:
            amount = at if is_amount(line) or BARE_NUMBER.fullmatch(line) else None


def _join_back(raw: list[str], made: list[str]) -> None:
    name, found = None, 0
    is_list = _goes_back(made)
    for at, line in enumerate(made):
        if not line:
            continue
        below = _is_amount_by_its_place(line) if is_list else is_amount(line)
        if name is not None and found < MOST_JOINED and below:
            _join(raw, made, name, at)
            found += 1
        else:
            is_above = is_name(line) or _is_numbered_name(line) or is_list and _names_the_scald(line)
            name, found = at if is_above else None, 0


def _goes_back(made: Sequence[str]) -> bool:
    """Whether a list has its amounts below the names, each on a line of its own."""
    lines = list(filter(None, made))
    below = sum(_is_amount_by_its_place(line) and names_one(name) for name, line in pairwise(lines))
    return below >= LEAST_BACK and 4 * below >= len(lines)


def _is_amount_by_its_place(line: str) -> bool:
    """Whether a line that may be something else elsewhere is an amount below a name: ``3``, ``(150 g)``."""
    inside = _IN_PARENTHESES.fullmatch(line)
    line = inside.group(1) if inside else line
    return is_amount(line) or BARE_NUMBER.fullmatch(line) is not None


def _names_the_scald(line: str) -> bool:
    """Whether a line is the scald by its name, as it goes into the dough when its amount is below."""
    return title_in(line) == (SCALD, True)


def is_name(line: str) -> bool:
    """Whether a line may be the name of an ingredient and nothing else."""
    line = line.rstrip(" :")
    return _may_be_name(line) and (names_one(line) or title_in(line).part is None)


def _is_numbered_name(line: str) -> bool:
    """Whether a line is a name with a number that is no amount: ``Mehl Type 550``."""
    if len(line) > MOST_NAME_CHARACTERS or line[0].isdigit() or _MEASURE_BEFORE_NUMBER.search(line):
        return False
    if not names_one(line):
        return False
    units = (unit_of_word(found.lower()) for found in _BEHIND_NUMBER.findall(line))
    return all(unit is None or unit.kind == REMARK for unit in units)


def _may_be_name(line: str) -> bool:
    return len(line) <= MOST_NAME_CHARACTERS and not any(map(str.isdigit, line.split("(")[0]))


def names_only_one(line: str) -> bool:
    """Whether a line names an ingredient, and no part as ``water roux`` does."""
    return names_one(line) and title_in(line).part is None


def names_one(line: str) -> bool:
    """Whether a line has a word that names an ingredient."""
    words = name_words(line.split("(")[0].rstrip(" :"))
    return words in ENGLISH.read_as or any((word,) in ENGLISH.read_as for word in words)


def is_amount(line: str) -> bool:
    """Whether a line is an amount and nothing else."""
    if _SPOONS_OR_VAGUE.fullmatch(line):
        return True
    first, *others = _SUM.split(line, maxsplit=1)
    if others and (BARE_NUMBER.fullmatch(first) or is_amount(first)):
        return is_amount(others[0])
    found = _BARE_AMOUNT.match(line)
    return found is not None and unit_of_word(found.group(1).lower()) is not None
