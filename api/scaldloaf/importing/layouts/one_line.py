"""A whole list on one line, cut into its ingredients: ``500 g farina 60 g burro 2 uova``.

Three steps, each on the pieces of the one before: at what the line names a part, at marks of one kind, at its
amounts. Commas and “and” alone cut nothing here, as the items of a line are read by them; nor is anything cut
inside parentheses, unless all amounts are in such.
"""

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from operator import le
from typing import NamedTuple, TypeAlias

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.layouts.inside_headings import COUNTED
from scaldloaf.importing.layouts.joined_lines import BARE_NUMBER, is_amount
from scaldloaf.importing.quantities.amounts import OF
from scaldloaf.importing.quantities.measures import FLOUR_TYPES, TYPE_WORDS, unit_of_word
from scaldloaf.importing.words.eggs import EGG_WORDS
from scaldloaf.importing.words.lexicon import ENGLISH
from scaldloaf.importing.words.sections import title_in, title_of
from scaldloaf.importing.words.vocabulary import (
    ADD,
    CHOOSE,
    FILLING,
    GOES_ON,
    LIST,
    NUMBERS,
    OUTSIDE,
    RANGE,
    REMARK,
    SALTS,
    SPONGE,
    STEPS,
    heading_words,
    is_spaceless,
    name_words,
    plain_word,
)
from scaldloaf.reference import Ingredient

LEAST_CHARACTERS, LEAST_NUMBERS, MOST_AMOUNTS = 12, 2, 40  # of a line that may be a list
LEAST_SPACELESS = 4  # pieces
MOST_NAME_WORDS = 3
MOST_PARTS = 6  # of a line
MOST_CLAUSE, MOST_LEAD = 60, 30  # characters before a part, and before the list: “you will need”
ENOUGH_MEASURED, ENOUGH_NAMED = 0.6, 0.75  # of the pieces
WIDEST_RANGE = 4  # times the lower end
LEAST_OF_KIND = 60  # percent that make a thing salt, fat or sugar
LEAST_GRADE = 3  # digits of a number by which flour is sold
_FLOUR = "flour"
_RANGES, _LEADS = RANGE | {""}, ADD | OF
_DIGITS = re.compile(r"\d+(?:[.,]\d+)?")
_WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")
_LAST_WORD = re.compile(r"([^\W\d_]+)[.,;]?\s*$")
_FIRST_WORD = re.compile(r"\s?([^\W\d_]+)\.?(?=\s|$)")
_IN_WORDS = "|".join(sorted((word for word in NUMBERS if word.isalpha() and not is_spaceless(word)), key=len))
_NO_GRADE = "".join(f"(?<!{grade})" for grade in FLOUR_TYPES if len(grade) > 2)
# A number, in digits or words, and the word behind it; none of a percentage or a temperature.
_NUMBER = re.compile(
    r"(?<![A-Za-zÀ-ÿ\d])(?<!\d[.,])(?<!/)"
    rf"((?>\d+(?:\.\d+|{_NO_GRADE},\d+)?(?:/\d+|(?<!\d{{3}})\s\d/\d)?(?:[-–]\d+(?:[.,/]\d+)?)?)(?![\d.,/]*\d)"
    rf"|(?:{_IN_WORDS})(?=\s))(?!\s?[%°])(?:\s?([^\W\d_]{{1,20}})(?![^\W_])\.?)?",
    re.IGNORECASE,
)
# In what follows, a masked line is one with parentheses for all that is in such.
_INSIDE = re.compile(r"[(\[]([^()\[\]]*)(?:[)\]]|$)")
_NOTE = re.compile(r"\.?\s?\(+")
_HEADING = re.compile(r"([^\d:,;]{2,40}):\s*(?=\S)")
_AT_PART = re.compile(r"\(+|(?<=\s)\d")
_CLAUSE = re.compile(  # before what may name a part
    rf"[,;.(]\s|\s(?:[-–+/]|{'|'.join(filter(str.isalpha, ADD))})\s"
)
_MARK = re.compile(r"[^\w,]")
_COMMAS = re.compile(r"[,;、](?!\d)")
_ENDS_WITH_AMOUNT = re.compile(r"\d\s?([^\W\d_]{0,9})\W*$")
_HEADS = re.compile(r"[^\W\d_]{3}[ (]+\d")  # a word before an amount, which may be a heading
_SENTENCE = re.compile(r"(?<=[a-zà-ÿ)])\s(?=([A-ZÀ-Ý][a-zà-ÿ]+)\s)")
_BETWEEN = " ,;.·•|/+&*–—-"
_PARTING = frozenset(",;:·•|/+&*–—-")
_APART = re.compile(r"[,;·•|]")
# Marks between ingredients, and how many ingredients show that they are such.
_Marks: TypeAlias = tuple[tuple[re.Pattern[str], int], ...]
_STROKE = re.compile(r"\s/\s|(?<=[\dgl克升])/(?=[\u3040-\u30ff\u4e00-\u9fff])")
_COMMA: _Marks = ((re.compile(r"[,;、](?!\d)"), 2),)
_MARKS: _Marks = (
    (re.compile(r"\s?[•|]\s?|\s[·*]\s|;\s"), 2),
    (re.compile(r"\s[-–—]\s?(?=[^\W_])|(?<=[^\W\d_]{2}|.\()[-–—]\s(?=[^\W_])"), 2),
    (_STROKE, 3),
    (re.compile(r"\s[+&]\s"), 4),
    # No decimal comma: farine T55,50 g de sucre
    (re.compile(r"(?<=[^\W\d_)*]),(?=\w)|(?<=[A-Za-z ]\d\d),(?=\d)|(?<=\d{3}),(?=\d)|(?<=\s0),(?=\d)"), 3),
)
_BLANK = re.compile(  # behind an amount, before a name
    r"(?<=[\dgl克升匙個个隻只顆颗份量許许々)枚本])\s+"
    r"(?![適适]量|適宜|少[許许々]|[大小]さじ|[大小]匙|[約约各半一二三兩两大小]\s?\d|[或又])(?=[\u3040-\u30ff\u4e00-\u9fff])"
)
_SEPARATED = re.compile(r"[,、;+](?!\d)")
_PARTS = frozenset((SCALD, DOUGH, OUTSIDE, SPONGE))


class _Amount(NamedTuple):
    start: int
    end: int
    has_unit: bool
    may_be_grade: bool  # Mehl 550


def pieces_on_one_line(plain: str) -> list[str]:
    """The ingredients of a list on one line; one piece for any other line."""
    if len(plain) < LEAST_CHARACTERS or len(_DIGITS.findall(plain)) < LEAST_NUMBERS:
        return [plain]
    parts = [plain] if is_spaceless(plain) else _parts(plain)
    pieces = [piece for part in parts for piece in _listed(part)]
    return [piece for each in pieces for piece in _with_salt(each)] if len(pieces) > 1 else [plain]


def _parts(plain: str) -> Iterator[str]:
    """A line cut at what it names a part: ``… and for the roux 25 g flour``, ``… roux (25 g flour …), …``."""
    start, name, masked = 0, "", _masked(plain)
    is_flat = _is_flat(masked)
    named: set[str] = set()
    for found in _AT_PART.finditer(masked):
        is_inside = found.group()[0] == "("
        if is_inside and len(_DIGITS.findall(plain, found.start(), found.end())) < LEAST_NUMBERS:
            continue
        first = max(start, found.start() - MOST_CLAUSE)
        before = masked[first : found.start()]
        if not is_inside and before.rstrip().endswith("("):
            before = before.rstrip(" (")  # Water roux (starter) 25 g …
        words, at = _part_in(before, first + len(before), is_inside, is_flat)
        if not words or " ".join(words) in named or len(named) == MOST_PARTS:
            continue
        named.add(" ".join(words))
        if is_inside:
            yield name + plain[start:at]
            yield plain[at : found.end()]
            start, name = found.end(), ""
        elif has_name(plain[start:at]) and not _ends_with_amount(masked[:at]):
            yield name + plain[start:at]
            start, name = found.start(), f"{' '.join(words)}: "
        elif not at and is_flat:
            start, name = found.start(), f"{' '.join(words)}: "
    yield name + plain[start:]


def _ends_with_amount(masked: str) -> bool:
    """Whether some text ends with an amount, and not with a time: ``… for 12 hours.``."""
    found = _ENDS_WITH_AMOUNT.search(masked)
    unit = unit_of_word(found.group(1).lower()) if found else None
    return found is not None and (unit is None or unit.kind != REMARK)


def _is_flat(masked: str) -> bool:
    """Whether a line is a list with its amounts before the names, and may have headings without a mark."""
    amounts = _amounts(masked) if _HEADS.search(masked) else []
    return (
        LEAST_NUMBERS <= len(amounts) <= MOST_AMOUNTS
        and has_name(masked[amounts[-1].end :])
        and _APART.match(masked[amounts[0].end :].lstrip()) is None
        and has_name(masked[amounts[0].end : amounts[1].start])
    )


def _part_in(before: str, end: int, is_inside: bool, is_flat: bool) -> tuple[list[str], int]:
    """The words that name a part at the end of some text, and where they begin; none where it names none.

    Parameters
        before : str  what is before an amount, or before a parenthesis
        end : int  of that in the line
        is_inside : bool  a parenthesis follows
        is_flat : bool  a heading may follow an ingredient without a mark: ``25 g flour Dough 400 g …``
    Returns
        tuple[list[str], int]
    """
    clause = _CLAUSE.split(before)[-1]
    at = end - len(clause)
    words = [word for word in _WORD.findall(clause.lower()) if unit_of_word(word) is None]
    if words and words[-1] in CHOOSE:
        return [], end  # 160 g de levain ou 10 g de levure
    while words and words[-1] in GOES_ON:
        del words[-1]
    while words and words[0] in _LEADS:
        del words[0]
    title = title_of(words)
    if title.exact and title.part in ((SCALD,) if is_inside else _PARTS):
        return words, at
    last = list(_WORD.finditer(clause))[-MOST_NAME_WORDS:] if is_flat and not is_inside else []
    for first in last:
        if not first.start() or not first.group()[0].isupper():
            continue
        words = _WORD.findall(clause[first.start() :].lower())
        title = title_of(words)
        if title.exact and title.part in _PARTS and has_name(_DIGITS.split(clause[: first.start()])[-1]):
            return words, at + first.start()
    return [], end


def _listed(plain: str) -> list[str]:
    """The ingredients of one part of a line; the name of the part before each of them."""
    if not (plain := plain.strip(_BETWEEN)):
        return []
    found = _HEADING.match(plain)
    part = title_in(found.group(1)).part if found else None
    start = found.end() if found and (part or not has_name(found.group(1))) else 0
    body = _opened(_without_step(plain[start:]))
    marks = _MARKS if plain.startswith(body, start) else (*_COMMA, *_MARKS)
    pieces = _at_marks(body, marks) or (_at_blanks if is_spaceless(body) else _at_amounts)(body)
    led = len(pieces) if part in _PARTS else 1
    return [plain[:start] + piece if at < led else piece for at, piece in enumerate(pieces)] or [plain]


def _without_step(body: str) -> str:
    """A list without the sentence behind its last amount: ``70 g water Mix well to form a dough``."""
    masked = _masked(body)
    amounts = _amounts(masked) if _SENTENCE.search(masked) else []
    for found in _SENTENCE.finditer(masked, amounts[-1].end) if amounts else ():
        if plain_word(found.group(1).lower()) in STEPS and has_name(body[amounts[-1].end : found.start()]):
            return body[: found.start()]
    return body


def _masked(plain: str) -> str:
    """A line with parentheses for all that is in such."""
    return _INSIDE.sub(lambda found: "(" * len(found.group()), plain)


def _opened(body: str) -> str:
    """A line without the parentheses around its amounts, if hardly any is outside: ``flour (500 g)``."""
    inside = [each for each in _INSIDE.findall(body) if is_amount(each) or BARE_NUMBER.fullmatch(each)]
    if len(inside) < 3 * len(_DIGITS.findall(_INSIDE.sub("", body))) or not inside:
        return body
    return _INSIDE.sub(lambda found: found.group(1) if found.group(1) in inside else found.group(), body)


def _amounts(masked: str) -> list[_Amount]:
    """The amounts of a line: no grades of flour, and a range, or several of one thing, as one."""
    found: list[_Amount] = []
    for each in filter(None, map(_amount, _NUMBER.finditer(masked))):
        while found:
            if not found[-1].has_unit and _is_range(masked, found[-1], each):
                each = each._replace(start=found.pop().start)
            elif found[-1].may_be_grade:
                del found[-1]
            elif _is_of_one(masked[found[-1].end : each.start]):
                last = found.pop()
                each = each._replace(start=last.start, has_unit=last.has_unit or each.has_unit)
            else:
                break
        found.append(each)
    return found[:-1] if found and found[-1].may_be_grade else found


def _amount(found: re.Match[str]) -> _Amount | None:
    """An amount; none where a number counts no ingredient: ``30 minutes``, ``00``, ``type 550``."""
    number, word = found.group(1), found.group(2) or ""
    unit = unit_of_word(word.lower())
    if unit:
        return None if unit.kind == REMARK else _Amount(found.start(), found.end(), True, False)
    if number[0].isdigit():
        is_grade = not number.strip("0") or _last_word(found.string[: found.start()]) in TYPE_WORDS
    else:
        is_grade = plain_word(word) not in EGG_WORDS
    may_be_grade = not word and number.isdigit() and len(number) >= LEAST_GRADE
    return None if is_grade else _Amount(found.start(), found.end(1), False, may_be_grade)


def _is_range(masked: str, first: _Amount, second: _Amount) -> bool:
    """Whether two numbers are the ends of one amount: ``4 - 5 g``, and not ``Mehl 550 - 50 g``."""
    if masked[first.end : second.start].strip(" -–").lower() not in _RANGES:
        return False
    low, high = (
        float(found.group().replace(",", ".")) if (found := _DIGITS.match(masked, each.start)) else 0.0
        for each in (first, second)
    )
    return low < high <= WIDEST_RANGE * low


def _is_of_one(gap: str) -> bool:
    """Whether nothing is named between two amounts, or a word there says that they are of one thing."""
    words = [word for word in _WORD.findall(gap.lower()) if not _counts(word)]
    while words and words[-1] in FILLING:
        del words[-1]
    if not words:
        return _APART.search(gap) is None
    if gap.rstrip().endswith("+") and not is_spaceless(gap) and not has_name(gap):
        return True  # 1 c à s + 80 g de sucre
    return words[-1] in GOES_ON or words[0] in CHOOSE


def _counts(word: str) -> bool:
    """Whether a word is the unit of an ingredient, and not of a time or a temperature."""
    unit = unit_of_word(word)
    return unit is not None and unit.kind != REMARK


def _last_word(text: str) -> str:
    found = _LAST_WORD.search(text[-24:])
    return found.group(1).lower() if found else ""


def _at_marks(body: str, marks: _Marks) -> list[str]:
    """The pieces of a line between marks of one kind, each with one amount at most; none for another line."""
    masked = _masked(body)
    amounts = _amounts(masked)
    for each in amounts:
        amount = _MARK.sub("_", masked[each.start : each.end])
        masked = f"{masked[: each.start]}{amount}{masked[each.end :]}"
    is_bare = is_spaceless(body)
    for mark, least in marks:
        ends = [(0, 0), *(found.span() for found in mark.finditer(masked)), (len(body), len(body))]
        spans = [(start, end) for (_, start), (end, _) in pairwise(ends) if body[start:end].strip(_BETWEEN)]
        if len(spans) < 2:
            continue
        held = [sum(start <= each.start < end for each in amounts) for start, end in spans]
        pieces = [body[start:end].strip(_BETWEEN) for start, end in spans]
        are_two = _are_of_two_kinds(pieces, mark is _STROKE)
        if len(pieces) < least and not are_two or len(pieces) == 2 and not all(held):
            continue
        commas = [
            1 + len(_COMMAS.findall(body, start, end)) + (0 if is_bare else body.count("+", start, end))
            for start, end in spans
        ]
        if all(map(le, held, commas)) and sum(held) >= ENOUGH_MEASURED * len(held) and _are_named(pieces):
            return pieces
    return []


def _are_of_two_kinds(pieces: Sequence[str], by_stroke: bool) -> bool:
    """Whether two pieces name things of which neither would do for the other: flour and something else.

    Behind a stroke any two: yeast and milk.
    """
    if len(pieces) != 2 or any(map(_COMMAS.search, pieces)):
        return False  # 500 g farine, 2 oeufs + 1 pour dorer, 100 g beurre
    first, second = ({_kind(each) for each in names_in(piece) if each} for piece in pieces)
    if not by_stroke or (_FLOUR in first) is not (_FLOUR in second):
        return (_FLOUR in first) is not (_FLOUR in second)
    return len(first) == len(second) == 1 and first != second and "" not in first | second


def _kind(ingredient: Ingredient) -> str:
    """What an ingredient does in a dough, where another of its kind might do instead; empty for any other."""
    if ingredient.is_flour:
        return _FLOUR
    if ingredient.yeast:
        return "yeast"
    kinds = {
        "salt": ingredient.salt_percent,
        "fat": ingredient.fat_percent,
        "sugar": ingredient.sucrose_percent,
        "liquid": 100.0 * bool(ingredient.is_liquid),
    }
    return next((kind for kind, percent in kinds.items() if percent > LEAST_OF_KIND), "")


def _at_amounts(body: str) -> list[str]:
    """The pieces of a line that begins or ends with an amount; none where they are no list."""
    masked = _masked(body)
    amounts = _amounts(masked)
    if not 1 < len(amounts) <= MOST_AMOUNTS or 2 * sum(each.has_unit for each in amounts) < len(amounts):
        return []
    start = 0
    made_before = _made_before(masked, amounts)
    if has_name(masked[: amounts[0].start]) and not made_before:
        is_last = not has_name(masked[amounts[-1].end :])
        places = [_behind(masked, each.end) for each in amounts[: len(amounts) - is_last]]
        places = [at for at in places if masked[at:].lstrip()[:1] not in _PARTING]
    else:
        start = amounts[0].start
        lead = heading_words(masked[: min(start, MOST_LEAD)]).split()
        if start > MOST_LEAD or lead and title_of(lead).part != LIST and not made_before:
            return []
        places = [_before(masked, each.start) for each in amounts[1:]]
        places = [at for at in places if masked[:at].rstrip()[-1] not in _PARTING]
    pieces = [body[at:end].strip(_BETWEEN) for at, end in pairwise([start, *places, len(body)])]
    commas = sum(comma != "、" for comma in _COMMAS.findall(masked))
    if len(pieces) < 2 or commas >= len(pieces) - 1:
        return []
    return [*made_before, *pieces] if _are_named(pieces) and has_name(pieces[-1]) else []


def _made_before(masked: str, amounts: Sequence[_Amount]) -> list[str]:
    """The sponges and scalds that a list begins with, without amounts: ``Vorteig 540 g Mehl … 9 g Salz``.

    The amounts are before the names then, as something is named behind the last.
    """
    if not has_name(masked[amounts[-1].end :]):
        return []
    lead = [part.strip(_BETWEEN) for part in _COMMAS.split(masked[: amounts[0].start])]
    titles = [title_of(heading_words(part).split()) for part in lead]
    return lead if all(title.exact and title.part in (SCALD, SPONGE) for title in titles) else []


def _at_blanks(body: str) -> list[str]:
    """The pieces of a line in a script without spaces that has them between its ingredients; or none."""
    pieces = _BLANK.split(body)
    is_headed = title_of([heading_words(pieces[0].split()[0])]).part in _PARTS
    is_list = len(pieces) >= LEAST_SPACELESS and all(map(COUNTED.search, pieces[1:]))
    return pieces if is_list and not is_headed and not _SEPARATED.search(body) else []


def _before(masked: str, at: int) -> int:
    """Where an amount starts with the words that say how a spoon is filled: ``about 2 cups``."""
    while (found := _LAST_WORD.search(masked, max(0, at - 24), at)) and found.group(1).lower() in FILLING:
        at = found.start()
    return at


def _behind(masked: str, at: int) -> int:
    """Where an amount ends with what belongs to it: ``2 c. à s. (30 g)``."""
    while found := _NOTE.match(masked, at) or _FIRST_WORD.match(masked, at):
        word = found[1].lower() if found.re is _FIRST_WORD else ""
        if len(word) > 1 and unit_of_word(word) is None and word not in FILLING:
            break
        at = found.end()
    return at


def _are_named(pieces: Sequence[str]) -> bool:
    return sum(map(has_name, pieces)) >= max(2, ENOUGH_NAMED * len(pieces))


def _with_salt(piece: str) -> Iterator[str]:
    """A piece, and apart from it salt that has no amount: ``2 uova``, ``sale``."""
    before, _, last = piece.rpartition(" ")
    named, other = ENGLISH.read_as.get(name_words(last)), _last_word(before)
    if named and named.name in SALTS and has_name(other) and not has_name(f"{other} {last}", 2):
        yield before
        yield last
    else:
        yield piece


def has_name(text: str, least: int = 1) -> bool:
    """Whether a name of so many words is in a text, besides what is in parentheses."""
    return any(True for _ in names_in(text, least))


def names_in(text: str, least: int = 1) -> Iterator[Ingredient | None]:
    """What the words of a text name, the names within a longer one too; None for what is none of ours."""
    words = [part for word in _WORD.findall(_INSIDE.sub("", text)) for part in name_words(word)]
    for length in range(least, MOST_NAME_WORDS + 1):
        for at in range(len(words) + 1 - length):
            name = tuple(words[at : at + length])
            if name in ENGLISH.read_as:
                yield ENGLISH.read_as[name]
