"""A list on one line that has lost its line ends, cut at marks or amounts: ``flour 500 g · salt 10 g``."""

import re
from typing import NamedTuple, TypeAlias

from scaldloaf.importing.joined_lines import is_amount, names_one
from scaldloaf.importing.measures import unit_of_word
from scaldloaf.importing.sections import title_of
from scaldloaf.importing.vocabulary import ADD, CHOOSE, LIST, METHOD, RANGE, REMARK, heading_words

LEAST_ADDED = 4  # amounts with “and” or a plus between them; fewer are read as a sum
LEAST_SLASHED = 3  # amounts with strokes between them; two may be alternatives
ENOUGH_MEASURED = 0.6  # of the pieces: that have an amount
ENOUGH_NAMED = 0.75  # of the pieces: that name an ingredient
MOST_AMOUNTS = 40
Marks: TypeAlias = tuple[tuple[re.Pattern[str], int], ...]
WIDEST_RANGE = 4  # times the lower end
_NUMBER = re.compile(
    r"(?<![^\W_])(?<!\d[.,])(?<![/])\d+(?:[.,]\d+)?(?:/\d+|(?<!\d{3})\s\d/\d)?(?:[-–]\d+(?:[.,/]\d+)?)?"
    r"(?:\s?([^\W\d_]{1,14})(?![^\W_])\.?)?(?!\s?[%°]|[\d.,/]*\d)"
)
_TRAILING_GRADE = re.compile(r"\s(?:0{1,4}|[1-9]\d{2,3})$")
_LETTERS = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")
_DIGITS = re.compile(r"\d+(?:[.,]\d+)?")
_INSIDE = re.compile(r"[(\[][^()\[\]]{0,80}[)\]]")
_PREFIX = re.compile(r"([^\d:,;]{2,40}):\s*(?=\S)")
_SEAM = re.compile(r"[\s,;.·•|/+&*–—-]*$")
_SEAM_BEFORE = re.compile(r"^[\s,;.·•|/+&*–—-]*")
_LAST_WORD = re.compile(r"([^\W\d_]+)\W*$")
_FIRST_WORD = re.compile(r"\W*([^\W\d_]+)")
_HAN = re.compile("[\u3040-\u30ff\u4e00-\u9fff]")
_MARK = re.compile(r"\s[·•*/+–—-]\s")
_GLUED_COMMA = re.compile(  # no decimal comma: farine T55,50 g de sucre
    r"(?<=[^\W\d_)*]),(?=\w)|(?<=[A-Za-z ]\d\d),(?=\d)|(?<=\d{3}),(?=\d)|(?<=\s0),(?=\d)"
)
# Marks between ingredients, and how many ingredients show that they are such.
_COMMA = re.compile(r"[,;]\s")
_MARKS: Marks = (
    (re.compile(r"\s?[•|]\s?|\s[·*]\s|;\s"), 2),
    (re.compile(r"\s[-–—]\s"), 2),
    (re.compile(r"\s/\s"), 3),
    (re.compile(r"\s[+&]\s"), 4),
    (_GLUED_COMMA, 3),
)
_LEADS_ON = frozenset(
    [
        "with",
        "in",
        "into",
        "of",
        "for",
        "mit",
        "in",
        "aus",
        "für",
        "zu",
        "von",
        "bei",
        "avec",
        "dans",
        "de",
        "pour",
        "con",
        "en",
        "para",
        "di",
        "per",
        "da",
        "than",
        "minus",
    ]
)
_PARTING = frozenset(",;·•|")
_GRADES = frozenset(("type", "typ", "tipo", "t", "w", "nr", "no"))


class _Amount(NamedTuple):
    start: int
    end: int
    has_unit: bool


def pieces_on_one_line(plain: str) -> list[str]:
    """The ingredients of a list on one line that no commas part; one piece for any other line."""
    if not plain.isascii() and _HAN.search(plain):
        return (_MARK.search(plain) and cut_at_marks(plain)) or [plain]
    prefix = _PREFIX.match(plain)
    if prefix and names_one(prefix.group(1)):
        prefix = None
    body = plain[prefix.end() :] if prefix else plain
    opened = _opened(body)
    commas = [] if opened == body else [(_COMMA, 2)]
    body = opened
    pieces = cut_at_marks(body, (*commas, *_MARKS)) or _cut_at_amounts(body)
    if not pieces:
        return [plain]
    if not prefix:
        return pieces
    part = title_of(heading_words(prefix.group(1)).split()).part
    led = 1 if part in (None, LIST, METHOD) else len(pieces)
    return [f"{prefix.group()}{piece}" if at < led else piece for at, piece in enumerate(pieces)]


def _opened(body: str) -> str:
    """The line without the parentheses around its amounts, where all of them are in such."""
    if any(map(str.isdigit, _INSIDE.sub("", body))):
        return body
    return _INSIDE.sub(
        lambda found: found.group()[1:-1] if is_amount(found.group()[1:-1]) else found.group(), body
    )


def _amounts(body: str) -> list[_Amount]:
    """The amounts of a line outside parentheses; a number of a grade is none."""
    masked = _INSIDE.sub(lambda found: "(" * len(found.group()), body)
    found: list[_Amount] = []
    for number in _NUMBER.finditer(masked):
        word = number.group(1)
        unit = unit_of_word(word.lower()) if word else None
        if unit and unit.kind == REMARK:
            continue
        before = _LAST_WORD.search(masked[: number.start()][-20:])
        if not unit and before and before.group(1).lower() in _GRADES:
            continue
        end = number.end() if unit or not word else number.start(1)
        found.append(_Amount(number.start(), end, unit is not None))
    return _without_grades(found, masked)


def _without_grades(amounts: list[_Amount], body: str) -> list[_Amount]:
    """The amounts, of two in a row one: a range (``4 - 5 g``), or behind a grade (``Mehl 550 500 g``)."""
    found: list[_Amount] = []
    for each in amounts:
        between = body[found[-1].end : each.start].strip(" -–").lower() if found else ""
        if found and not found[-1].has_unit and (not between or between in RANGE):
            last = found.pop()
            low, high = (_number_at(body, amount) for amount in (last, each))
            if low < high <= WIDEST_RANGE * low:
                each = each._replace(start=last.start)
        found.append(each)
    return found


def _number_at(body: str, amount: _Amount) -> float:
    found = _DIGITS.match(body, amount.start)
    return float(found.group().replace(",", ".")) if found else 0.0


def cut_at_marks(body: str, marks: Marks = _MARKS) -> list[str]:
    """The pieces of a line between marks of one kind, each with one amount at most; none for another line."""
    for mark, least in marks:
        pieces = list(filter(None, map(str.strip, mark.split(body))))
        if len(pieces) < least:
            continue
        held = [_held(piece) for piece in pieces]
        if len(pieces) == 2 and not all(held):
            continue
        if max(held) <= 1 and sum(held) >= ENOUGH_MEASURED * len(pieces) and _are_named(pieces):
            return pieces
    return []


def _held(piece: str) -> int:
    """How many amounts a piece has, besides those of what would do as well."""
    amounts = _amounts(piece)
    amounts = [each for each in amounts if each.has_unit] or amounts[:1]
    words = [_LAST_WORD.search(piece[: each.start]) for each in amounts[1:]]
    return len(amounts) - sum(word is not None and word.group(1).lower() in CHOOSE for word in words)


def _are_named(pieces: list[str]) -> bool:
    named = sum(names_one(" ".join(_LETTERS.findall(_INSIDE.sub("", piece)))) for piece in pieces)
    return named >= max(2, ENOUGH_NAMED * len(pieces))


def _cut_at_amounts(body: str) -> list[str]:
    """The pieces of a line that begins or ends with an amount; none where they are no list."""
    amounts = _amounts(body)
    if not 1 < len(amounts) <= MOST_AMOUNTS or 2 * sum(each.has_unit for each in amounts) < len(amounts):
        return []
    if _TRAILING_GRADE.search(body) and not amounts[-1].has_unit:
        del amounts[-1]
    is_first, is_last = amounts[0].start == 0, not _INSIDE.sub("", body[amounts[-1].end :]).strip(" .;,")
    if is_first == is_last or _is_mixed(body, amounts, is_first):
        return []
    if is_first:
        places = [each.start for each in amounts[1:]]
    else:
        places = [_behind_note(body, each.end) for each in amounts[:-1]]
    raw = [body[start:end] for start, end in zip([0, *places], [*places, len(body)], strict=True)]
    seams = [_seam(piece, is_first) for piece in (raw[:-1] if is_first else raw[1:])]
    pieces = [_without_joins(piece) for piece in raw]
    if not _are_seams(seams) or not _are_named(pieces) or any(map(_ends_with_a_part, pieces)):
        return []
    return pieces


def _is_mixed(body: str, amounts: list[_Amount], is_first: bool) -> bool:
    """Whether a mark parts an amount from its name: some names are before their amounts, others behind."""
    if is_first:
        return any(body[each.end :].lstrip()[:1] in _PARTING for each in amounts[:-1])
    return any(body[: each.start].rstrip()[-1:] in _PARTING for each in amounts[1:])


def _behind_note(body: str, end: int) -> int:
    """Where what stands in parentheses behind an amount ends."""
    note = re.compile(r"\s?[(\[][^()\[\]]{0,80}[)\]]").match(body, end)
    return note.end() if note else end


def _seam(piece: str, at_end: bool) -> str:
    """The mark or word between a piece and its neighbour."""
    marks = _SEAM.search(piece) if at_end else _SEAM_BEFORE.search(piece)
    mark = marks.group().strip() if marks else ""
    word = _LAST_WORD.search(piece) if at_end else _FIRST_WORD.match(piece)
    joins = word.group(1).lower() if word else ""
    return mark or (joins if joins in ADD or joins in CHOOSE else "")


def _are_seams(seams: list[str]) -> bool:
    """Whether marks part a list that is not read by its commas anyway."""
    count = len(seams) + 1
    if any(seam in CHOOSE for seam in seams if seam.isalpha()):
        return False
    if 2 * sum(seam in (",", ";") for seam in seams) >= len(seams):
        return False
    if any(seam in ("+", "&") or seam in ADD for seam in seams) and count < LEAST_ADDED:
        return False
    return not (any(seam in ("/", "-", "–") for seam in seams) and count < LEAST_SLASHED)


def _without_joins(piece: str) -> str:
    piece = piece.strip(" ,;·•|/+&*–—-")
    first, last = _FIRST_WORD.match(piece), _LAST_WORD.search(piece)
    if last and last.group(1).lower() in ADD:
        piece = piece[: last.start()].rstrip()
    if first and first.group(1).lower() in ADD:
        piece = piece[first.end() :].lstrip()
    return piece


def _ends_with_a_part(piece: str) -> bool:
    """Whether the last word of a piece heads a part (``100 g water Dough``) or leads on (``1 egg with``)."""
    last = _LAST_WORD.search(_INSIDE.sub("", piece))
    if last and last.group(1).lower() in _LEADS_ON:
        return True
    if not last or names_one(last.group(1)) or not _are_named([piece[: last.start()]] * 2):
        return False
    return title_of(heading_words(last.group(1)).split()).exact
