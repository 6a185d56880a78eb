"""What the lines of a list have in common: numbers, amounts in parentheses, a heading of the scald below."""

import re
from collections.abc import Sequence

from scaldloaf.dough.formula import SCALD
from scaldloaf.importing.layouts.joined_lines import BARE_NUMBER, is_amount
from scaldloaf.importing.quantities.measures import unit_of_word
from scaldloaf.importing.quantities.readings import STEP, Reading
from scaldloaf.importing.words.dates import is_date
from scaldloaf.importing.words.sections import SCALD_WORDS, is_dressed, title_in, title_of
from scaldloaf.importing.words.text import printable
from scaldloaf.importing.words.vocabulary import LIST, METHOD, PAGE_LINES, heading_words

LEAST_NUMBERED = 4
LEAST_CELLS = 5  # of a row with a part, a name and an amount, with those before and behind its bars
LEAST_IN_PARENTHESES = 3
LEAST_WITH_SEMICOLON = 3
MOST_PAGE_LINE = 50  # characters
MOST_HEADING = 60
MOST_MEASURED = 80
MOST_METHOD = 30
_REMARK_BEHIND = re.compile(r"^(\W*\d[^;；]*)[;；]([^\d;；:：,，、()]{2,60})$")
_NUMBERED = re.compile(r"^(\d{1,2})(?:[):、-]\s*|[.](?!\d)\s*|\s+)(?=([^\W\d_]*)\D*\S*\d)")
# A number before a mark, in the line as pasted: ``1. 500 g``, ``2) Salz``, ``3 - 10 g``, ``4.- sal``.
_MARKED_NUMBER = re.compile(r"^[\s•*·-]*[(]?(\d{1,2})(?:[.][-–]|[.)、:](?!\d)|\s[-–—]\s)")
_NUMBER_CELL = re.compile(r"^\s*\|?\s*(\d{1,2})\s*[|\t]\s*(?=[^\s|])")
_DOTTED_DASH = re.compile(r"^\W*\d{1,2}[.][-–]")
_TAGS = re.compile(r"#[^\s#]+(?:\s*#[^\s#]+)+\s*")  # #bread #tangzhong
_MOST_TAG_NUMBERS = 1  # more of them are amounts
_DIGIT = re.compile(r"\d")
_NUMBERS = re.compile(r"\d+")
_LOST_MARK = re.compile(r"^\d{1,2}\s(?=\S)")  # 4.- sal: the mark is gone when the line is plain
_MARK = re.compile(r"^[(]?\d{1,2}(?:[.][-–]|[.)、:](?!\d)|\s?[-–—]\s)\s*(?=\S)")
_OPENS, _CLOSES = "┐╮", "┘╯"
_DRAWN = re.compile(r"(?P<line>.*?\S)\s*(?P<mark>[┐╮│┤├┘╯])\s*(?P<said>[^\d\s]{0,12})\s*$")
_EACH_IN_PARENTHESES = re.compile(r"[(\[]([^()\[\]]*)[)\]]")
_IN_PARENTHESES = re.compile(r"(?P<before>[^\d()\[\]]*)[(\[](?P<amount>(?:約|约|ca\.? )?\d[^()\[\]]*)[)\]]")


def without_number_cells(lines: Sequence[str]) -> Sequence[str]:
    """The lines of a table without its first column, where that counts them: ``| 1 | flour | 500 g |``."""
    found = {at: match for at, line in enumerate(lines) if (match := _NUMBER_CELL.match(line))}
    numbers = [int(match.group(1)) for match in found.values()]
    if len(numbers) < LEAST_NUMBERED or numbers != list(range(1, len(numbers) + 1)):
        return lines
    return [line[found[at].end() :] if at in found else line for at, line in enumerate(lines)]


def without_drawn_brackets(lines: Sequence[str]) -> Sequence[str]:
    """The lines without a bracket that is drawn behind several, each with what is behind it.

    ``強力粉 50g ┐``, ``熱湯 60g ┘湯種``: ``強力粉 50g (湯種)``, ``熱湯 60g (湯種)``.
    """
    found, start = list(lines), -1
    for at, line in enumerate(lines):
        if not (drawn := _DRAWN.match(line)):
            start = -1
            continue
        start = at if start < 0 or drawn["mark"] in _OPENS else start
        if drawn["mark"] not in _CLOSES or start == at:
            continue
        rows = [_DRAWN.match(row) for row in lines[start : at + 1]]
        said = "".join(row["said"] for row in rows if row)
        title = title_in(said)
        behind = f" ({said})" if title.exact and title.part not in (None, LIST, METHOD) else ""
        found[start : at + 1] = [f"{row['line']}{behind}" for row in rows if row]
        start = -1
    return found


def with_parts_below(lines: Sequence[str]) -> Sequence[str]:
    """The lines of a table, the part in its first column in the rows below too: ``| | water | 100 g |``."""
    part = ""
    found: list[str] = []
    for line in lines:
        cells = line.strip().split("|")
        if len(cells) >= LEAST_CELLS and not cells[0]:
            first = cells[1].strip()
            if first:
                title = title_of(first.split())
                part = first if title.exact and title.part not in (None, LIST, METHOD) else ""
            elif part:
                line = "|".join(["", f" {part} ", *cells[2:]])
        else:
            part = ""
        found.append(line)
    return found


def without_numbers(lines: Sequence[str], plain: list[str]) -> list[str]:
    """The plain lines without the numbers of a list that counts them: ``1 強力粉 200g``, ``2 砂糖 10g``.

    A number with a unit behind it counts no lines, though it be one more than that of the line before.
    """
    if len(counted := _marked(lines)) >= LEAST_NUMBERED and 2 * len(counted) >= len(
        list(filter(None, plain))
    ):
        return [_without_number(line, lines[at]) if at in counted else line for at, line in enumerate(plain)]
    found = [
        (at, match)
        for at, line in enumerate(plain)
        if (match := _NUMBERED.match(line)) and unit_of_word(match.group(2).lower()) is None
    ]
    numbers = [int(match.group(1)) for _, match in found]
    if len(numbers) < LEAST_NUMBERED or numbers != list(range(numbers[0], numbers[0] + len(numbers))):
        return plain
    if len(numbers) < len(list(filter(None, plain))) // 2:
        return plain
    cut = list(plain)
    for at, match in found:
        cut[at] = plain[at][match.end() :]
    return cut


def _without_number(line: str, raw: str) -> str:
    """A plain line without the number in its marks that the raw line begins with."""
    found = _MARK.match(line) or (_LOST_MARK.match(line) if _DOTTED_DASH.match(raw) else None)
    return line[found.end() :] if found else line


def _marked(lines: Sequence[str]) -> set[int]:
    """Places of lines with a number in its marks, where these count from one, again under each heading."""
    found = [
        (at, int(match.group(1))) for at, line in enumerate(lines) if (match := _MARKED_NUMBER.match(line))
    ]
    last = 0
    for _, number in found:
        if number not in (1, last + 1):
            return set()
        last = number
    return {at for at, _ in found}


def without_page_lines(plain: list[str]) -> tuple[set[int], list[str]]:
    """The places of lines that are of the page and not of the recipe, and the lines without them."""
    beside = {at for at, line in enumerate(plain) if line and _is_of_the_page(line)}
    return beside, ["" if at in beside else line for at, line in enumerate(plain)] if beside else plain


def _is_of_the_page(line: str) -> bool:
    if _TAGS.fullmatch(line):
        return len(_NUMBERS.findall(line)) <= _MOST_TAG_NUMBERS
    return len(line) < MOST_PAGE_LINE and heading_words(line) in PAGE_LINES or is_date(line)


def page_line(raw: str, line: int, section: str) -> Reading:
    """The reading of a line that is of the page."""
    return Reading(line, printable(raw, MOST_PAGE_LINE), STEP, read_as="a remark", section=section)


def without_parentheses(whole: Sequence[str], plain: list[str]) -> list[str]:
    """The lines without the parentheses around all their amounts: ``flour (500 g)``, ``(500 g) flour``."""
    measured = [line for line in plain if len(line) < MOST_MEASURED and _DIGIT.search(line)]
    inside = sum(_IN_PARENTHESES.match(line) is not None for line in measured)
    if inside < LEAST_IN_PARENTHESES or 3 * inside < 2 * len(measured):
        return plain
    return [
        line if not line or is_dressed(whole[at]) else _without_parentheses(line)
        for at, line in enumerate(plain)
    ]


def _without_parentheses(line: str) -> str:
    found = _IN_PARENTHESES.match(line)
    if not found or not is_amount(found["amount"]) and not BARE_NUMBER.fullmatch(found["amount"]):
        return line
    if any(map(is_amount, _EACH_IN_PARENTHESES.findall(line, found.end()))):
        return line  # ・卵(60g) ・バター(40g): a list on one line
    return " ".join(filter(None, (found["before"].strip(), found["amount"], line[found.end() :].strip())))


def last_scald_heading(whole: Sequence[str], plain: Sequence[str], listed: Sequence[bool]) -> int:
    """The place of the last line above the method that heads a list of the scald, in its marks; or -1.

    listed: of each line, whether the next one that is not blank has an amount.
    """
    for at in range(len(plain) - 1, -1, -1):
        line = plain[at]
        if (
            not listed[at]
            or not 0 < len(line) <= MOST_HEADING
            or line[0].isdigit()
            or not is_dressed(whole[at])
        ):
            continue
        words = heading_words(line.split("(")[0])
        if SCALD_WORDS.found_in(f" {words} ") and title_of(words.split()).part == SCALD:
            return -1 if any(map(_heads_the_method, plain[:at])) else at
    return -1


def _heads_the_method(line: str) -> bool:
    return 0 < len(line) < MOST_METHOD and title_in(line) == (METHOD, True)


def end_with_semicolons(lines: Sequence[str]) -> bool:
    """Whether the ingredients of a list end with a semicolon each: that marks no heading, ``water roux;``."""
    measured = [line for line in lines if len(line) < MOST_MEASURED and _DIGIT.search(line)]
    ended = sum(line.rstrip().endswith((";", "；")) for line in measured)
    return ended >= LEAST_WITH_SEMICOLON and 2 * ended >= len(measured)


def without_semicolon(line: str) -> str:
    """A line of one ingredient with its remark behind a comma: ``85 g butter; room temperature``."""
    return _REMARK_BEHIND.sub(r"\1,\2", line)
