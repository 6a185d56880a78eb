"""Numbers as recipes write them: decimals by point or comma, thousands, fractions, words, ranges."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt, Fault
from scaldloaf.importing.words.lexicon import ENGLISH, Lexicon
from scaldloaf.importing.words.text import Token
from scaldloaf.importing.words.vocabulary import ADD, NUMBERS, RANGE, TIMES

COMMA, POINT, UNKNOWN = "comma", "point", "unknown"
_COMMA_LANGUAGES = frozenset(("de", "fr", "es", "it"))
MOST_DIGITS = 12
LARGEST_DENOMINATOR = 64
_ARTICLES = frozenset(("a", "an", "un", "una", "une", "ein", "eine", "einen"))
_DOZENS = ("dozen", "dozens")
OF = frozenset(
    ("of", "a", "an", "one", "de", "d", "di", "un", "una", "une", "von", "eines", "einer", "einem")
)
_QUARTS = frozenset(("quart", "quarts"))  # French for a quarter: trois quarts de litre, but 3 quarts milk
_OF_ENGLISH = "of"
_MOST_PARTS = 9  # three quarters, seven eighths
_GOES_ON = RANGE | TIMES | {"a", *_DOZENS}  # what may follow a number and belong to it
_WHOLE_UNITS = frozenset(("g", "ml"))
LEAST_SLASHED = 10  # of numbers with a stroke between them that are further apart than one
_WIDEST_SLASHED = 1.4  # a higher second number is that of a larger recipe
WIDEST_RANGE = 10  # ends further apart than this are hardly one amount

_GROUPS = {mark: re.compile(rf"\d{{1,3}}(?:{re.escape(mark)}\d{{3}})+") for mark in ",.'"}
# Numbers that can only be decimals. Each begins with what it looks for and then looks behind that, so that it
# is not tried at every place.
_COMMA_DECIMAL = re.compile(r"\d(?<![\d.,].)(?:\d{0,5},\d{1,2}|(?<=0),\d{1,6})(?![\d.,]*\d)")
_POINT_DECIMAL = re.compile(
    r"[\d.](?<![\d.,].)(?:(?<=\d)\d{0,5}\.\d{1,2}|(?<=0)\.\d{1,6}|(?<=\.)\d{1,6})(?![\d.,]*\d)"
)


class NotANumber(ValueError):
    """Digits that can't be read as a number, and why."""

    def __init__(self, code: str, **values: str | float):
        self.fault = Fault(code, tuple(values.items()))
        super().__init__(code)


@dataclass(frozen=True, slots=True)
class Marks:
    """How a recipe writes its amounts.

    decimal: its decimal mark, COMMA, POINT or UNKNOWN. said: the caller chose it. lexicon: what words mean.
    """

    decimal: str = UNKNOWN
    said: bool = False
    lexicon: Lexicon = ENGLISH


class Quantity(NamedTuple):
    """A bare number with its band, and the doubts about it.

    other: its value if its mark means the other thing (1,500 as 1.5), where that is possible.
    """

    low: float
    best: float
    high: float
    doubts: tuple[Doubt, ...] = ()
    other: float | None = None

    @property
    def is_range(self) -> bool:
        """Whether it has two different ends."""
        return self.low < self.high

    def times(self, other: "Quantity") -> "Quantity":
        """The product of two, with the doubts of both."""
        return Quantity(
            self.low * other.low, self.best * other.best, self.high * other.high, self.doubts + other.doubts
        )


def certain(value: float, *doubts: Doubt) -> Quantity:
    """A number without a band."""
    return Quantity(value, value, value, doubts)


def marks_of(lines: Iterable[str], said: str = "auto", lexicon: Lexicon = ENGLISH) -> Marks:
    """The decimal mark of a whole recipe: as said, or as its unmistakable numbers and its language show."""
    if said in (COMMA, POINT):
        return Marks(said, True, lexicon)
    comma = point = 0.0
    for line in lines:
        comma += _COMMA_DECIMAL.search(line) is not None
        point += _POINT_DECIMAL.search(line) is not None
    if lexicon.language in _COMMA_LANGUAGES:
        comma += 0.5
    return Marks(COMMA if comma > point else POINT if point > comma else UNKNOWN, False, lexicon)


def decimal(text: str, marks: Marks) -> Quantity:
    """The number that a run of digits and marks means. Raises NotANumber."""
    if text.isdecimal() and len(text) <= MOST_DIGITS:
        return certain(float(text))
    if len(text) > MOST_DIGITS + 4 or sum(character.isdigit() for character in text) > MOST_DIGITS:
        raise NotANumber("too_many_digits", most=MOST_DIGITS)
    used = [mark for mark in ",.'" if mark in text]
    if len(used) == 1 and used[0] != "'":
        return _one_mark(text, used[0], marks)
    last = text[max(text.rfind(mark) for mark in used)]
    whole, _, rest = text.rpartition(last)
    if last == "'":
        whole, rest = text, ""
    others = [mark for mark in used if mark != last or mark == "'"]
    if len(others) != 1 or last in whole and last != "'" or not _GROUPS[others[0]].fullmatch(whole):
        raise NotANumber("odd_marks", text=text)
    value = float(whole.replace(others[0], "") + (f".{rest}" if rest else ""))
    if rest and marks.said and last != {COMMA: ",", POINT: "."}[marks.decimal]:
        return certain(value, Doubt.of(LIKELY, "other_mark", text=text, mark=marks.decimal))
    return certain(value)


def _one_mark(text: str, mark: str, marks: Marks) -> Quantity:
    """One kind of mark only: a decimal mark, unless it cuts off groups of three."""
    is_groups = _GROUPS[mark].fullmatch(text) is not None and not text.startswith("0")
    if text.count(mark) > 1:
        if not is_groups:
            raise NotANumber("odd_marks", text=text)
        return certain(float(text.replace(mark, "")))
    as_decimal = float(text.replace(mark, "."))
    own = COMMA if mark == "," else POINT
    if not is_groups:
        doubts = (
            (Doubt.of(LIKELY, "other_mark", text=text, mark=marks.decimal),)
            if marks.said and marks.decimal != own
            else ()
        )
        return certain(as_decimal, *doubts)
    as_thousands = float(text.replace(mark, ""))
    if marks.said:
        return certain(as_decimal if marks.decimal == own else as_thousands)
    if marks.decimal != UNKNOWN:
        value = as_decimal if marks.decimal == own else as_thousands
        other = as_thousands + as_decimal - value
        doubt = Doubt.of(LIKELY, "mark_as_others", text=text, value=value)
    else:
        # English use, the more common one, takes the comma for thousands and the point for decimals.
        value, other = (as_thousands, as_decimal) if mark == "," else (as_decimal, as_thousands)
        doubt = Doubt.of(UNSURE, "mark_unclear", text=text, value=value, other=other)
    return Quantity(value, value, value, (doubt,), other)


def other_way(quantity: Quantity, value: float) -> Quantity:
    """A number of uncertain mark, read the other way; value: its ``other``."""
    return certain(value, Doubt.of(UNSURE, "too_much_of_unit", value=value, other=quantity.best))


def _is_whole(token: Token) -> bool:
    return token.kind == "n" and token.text.isdecimal() and len(token.text) <= MOST_DIGITS


def _fraction(tokens: Sequence[Token], at: int) -> tuple[float, int] | None:
    """``3/4`` at a place, and where it ends. Raises NotANumber for a fraction that is none."""
    if at + 2 >= len(tokens) or tokens[at + 1].text != "/" or tokens[at + 2].kind != "n":
        return None
    if not _is_whole(tokens[at]):
        return None
    over, under = tokens[at].text, tokens[at + 2].text
    if not tokens[at + 2].text.isdecimal() or len(under) > 3 or not 0 < int(under) <= LARGEST_DENOMINATOR:
        if int(over) > LARGEST_DENOMINATOR:
            return None  # two measures side by side, not a fraction
        raise NotANumber("odd_fraction", text=f"{over[:MOST_DIGITS]}/{under[:MOST_DIGITS]}")
    if at + 4 < len(tokens) and tokens[at + 3].text == "/" and tokens[at + 4].kind == "n":
        raise NotANumber("no_number", text=f"{over}/{under}/{tokens[at + 4].text[:MOST_DIGITS]}")
    return _mixed(over, int(under)) or int(over) / int(under), at + 3


def _mixed(over: str, under: int) -> float | None:
    """``11/4`` for 1 1/4: no recipe has so many quarters."""
    if len(over) != 2 or over[1] == "0" or int(over[1]) >= under or under not in (2, 3, 4, 8):
        return None
    return int(over[0]) + int(over[1]) / under


def _word_fraction(tokens: Sequence[Token], at: int) -> tuple[float, int] | None:
    """``half`` or ``a quarter`` at a place."""
    if at < len(tokens) and tokens[at].text in _ARTICLES:
        at += 1
    if at < len(tokens) and (value := NUMBERS.get(tokens[at].text, 1.0)) < 1:
        return value, at + 1
    return None


def _counted_fraction(tokens: Sequence[Token], at: int) -> tuple[float, int] | None:
    """``one-half`` or ``three fourths`` at a place, behind “and”."""
    count = NUMBERS.get(tokens[at].text, 0.0)
    part = at + 1 + (at + 1 < len(tokens) and tokens[at + 1].text == "-")
    value = NUMBERS.get(tokens[part].text, 1.0) if part < len(tokens) else 1.0
    is_part = count >= 1 and value < 1 and count * value < 1
    return (count * value, part + 1) if is_part else None


def _single(tokens: Sequence[Token], at: int, marks: Marks) -> tuple[Quantity, int] | None:
    """One number: decimal, fraction, mixed number, thousands set off by a space."""
    token = tokens[at]
    if token.kind == "w":
        found = _word_fraction(tokens, at)
        if found:
            return certain(found[0]), found[1]
        if token.text not in NUMBERS:
            return None
        quantity, after = certain(NUMBERS[token.text]), at + 1
    elif token.kind != "n":
        return None
    elif fraction := _fraction(tokens, at):
        return certain(fraction[0]), fraction[1]
    else:
        quantity, after = decimal(token.text, marks), at + 1
        if _are_thousands(tokens, at):
            value = quantity.best * 1000 + int(tokens[after].text)
            doubts = (
                ()
                if tokens[after].text == "000"
                else (
                    Doubt.of(
                        UNSURE, "spaced_thousands", text=f"{token.text} {tokens[after].text}", value=value
                    ),
                )
            )
            return certain(value, *doubts), after + 1
    return _parts(quantity, tokens, after, marks) or _with_fraction(quantity, tokens, after)


def _parts(
    quantity: Quantity, tokens: Sequence[Token], after: int, marks: Marks
) -> tuple[Quantity, int] | None:
    """``three quarters of a cup``: a number of parts, where a unit follows, and where it ends."""
    if after + 1 >= len(tokens) or not quantity.best.is_integer() or not 1 <= quantity.best <= _MOST_PARTS:
        return None
    at = after + (tokens[after].text == "-")
    value = NUMBERS.get(tokens[at].text, 1.0)
    if value >= 1 or at + 1 == len(tokens) or quantity.best > 1 and value >= 1 / 2:
        return None
    behind = tokens[at + 1]
    if tokens[at].text in _QUARTS and behind.text == _OF_ENGLISH:
        return None  # two quarts of milk
    is_unit = behind.kind == "w" and behind.text in marks.lexicon.units and tokens[at].text not in _QUARTS
    if not is_unit and behind.text not in OF:
        return None
    return certain(quantity.best * value, *quantity.doubts), at + 1


_NAMES_A_TYPE = frozenset(("t", "type", "typ", "tipo", "w"))


def _are_thousands(tokens: Sequence[Token], at: int) -> bool:
    """``1 250``: a whole number and three digits behind it that no fraction stroke follows."""
    first, after = tokens[at], at + 1
    return (
        after < len(tokens)
        and len(tokens[after].text) == 3
        and _is_whole(tokens[after])
        and len(first.text) <= 3
        and _is_whole(first)
        and not first.text.startswith("0")
        and not (at and tokens[at - 1].text in _NAMES_A_TYPE)
        and not (after + 1 < len(tokens) and tokens[after + 1].text == "/")
    )


def _with_fraction(quantity: Quantity, tokens: Sequence[Token], after: int) -> tuple[Quantity, int]:
    """A whole number and the fraction behind it: ``1 1/2``, ``1-1/2``, ``1 and a half``."""
    if not quantity.best.is_integer() or quantity.best < 1 or after >= len(tokens):
        return quantity, after
    joined = tokens[after].text in ADD or tokens[after].text == "-"
    start = after + joined
    found = None
    if start < len(tokens):
        found = (
            _fraction(tokens, start)
            if tokens[start].kind == "n"
            else _word_fraction(tokens, start) or _counted_fraction(tokens, start)
            if joined
            else None
        )
    if found is None:
        return quantity, after
    value, end = found
    if value >= 1:
        if joined:
            return quantity, after
        raise NotANumber("no_mixed_number", first=quantity.best, second=value)
    return certain(quantity.best + value, *quantity.doubts), end


def spanning(first: Quantity, second: Quantity) -> Quantity:
    """``2 to 3``: the band between two numbers, best in its middle."""
    low, high = sorted((first.best, second.best))
    doubts = first.doubts + second.doubts
    if second.best < first.best:
        doubts += (Doubt.of(LIKELY, "range_backwards", first=first.best, second=second.best),)
    if high > WIDEST_RANGE * low:
        doubts += (Doubt.of(UNSURE, "range_wide", low=low, high=high),)
    return Quantity(low, (low + high) / 2, high, doubts)


def range_end(tokens: Sequence[Token], at: int, marks: Marks) -> tuple[Quantity, int] | None:
    """The second number of a range whose joining word is at a place."""
    if at + 1 < len(tokens) and tokens[at].text in RANGE and tokens[at + 1].kind == "n":
        return _single(tokens, at + 1, marks)
    return None


# In the plural, so that what is before them is more than one: latte 2/3 cucchiai.
_SEVERAL_OF = frozenset(("cucchiai", "cucchiaini", "uova", "tuorli", "huevos", "yemas", "œufs", "oeufs"))


def _slashed_range(tokens: Sequence[Token], at: int, marks: Marks) -> tuple[Quantity, int] | None:
    """``50/60 g`` and ``4/5 g``: a range, as no recipe has such a part of a gram or millilitre."""
    if at + 3 >= len(tokens) or tokens[at + 1].text != "/":
        return None
    if not _is_whole(tokens[at]) or not _is_whole(tokens[at + 2]):
        return None
    unit = marks.lexicon.units.get(tokens[at + 3].text)
    low, high = int(tokens[at].text), int(tokens[at + 2].text)
    if tokens[at + 3].text in _SEVERAL_OF and 1 < low == high - 1:
        doubt = Doubt.of(UNSURE, "slip", text=f"{low}/{high}", meant=f"{low}–{high}")
        return spanning(certain(low, doubt), certain(high)), at + 3
    if unit is None or unit.label not in _WHOLE_UNITS or not 1 < low < high <= 2 * low:
        return None
    of_two = high > _WIDEST_SLASHED * low or high > low + 1 and low < LEAST_SLASHED  # 5/10 g: of two loaves
    doubts = (Doubt.of(UNSURE, "range_wide", low=low, high=high),) if of_two else ()
    return spanning(certain(low, *doubts), certain(high)), at + 3


def quantity_at(tokens: Sequence[Token], at: int, marks: Marks) -> tuple[Quantity, int] | None:
    """The number, range or product that starts at a place, and where it ends. Raises NotANumber."""
    found = _slashed_range(tokens, at, marks) or _single(tokens, at, marks)
    if found is None:
        return None
    quantity, after = found
    if after == len(tokens) or tokens[after].text not in _GOES_ON:
        return found
    if end := range_end(tokens, after, marks):
        return _dozens(spanning(quantity, end[0]), tokens, end[1])
    if after + 1 < len(tokens) and tokens[after].text in TIMES and tokens[after + 1].kind == "n":
        times = _single(tokens, after + 1, marks)
        if times:
            return quantity.times(times[0]), times[1]
    return _dozens(quantity, tokens, after)


def _dozens(quantity: Quantity, tokens: Sequence[Token], after: int) -> tuple[Quantity, int]:
    """``1 dozen``, ``half a dozen``: the number before it as often as the word says."""
    at = after + (after < len(tokens) and tokens[after].text == "a")
    if at < len(tokens) and tokens[at].text in _DOZENS:
        return quantity.times(certain(NUMBERS[_DOZENS[0]])), at + 1
    return quantity, after


def half_after_unit(tokens: Sequence[Token], at: int) -> tuple[float, int] | None:
    """``and a half``, as in a cup and a half, or ``1/2 de``, at a place, and where it ends."""
    if at < len(tokens) and tokens[at].kind == "n":
        found = _fraction(tokens, at)  # 2 dl 1/2 de lait
        is_named = found is not None and found[1] < len(tokens) and tokens[found[1]].kind == "w"
        return found if found and is_named and found[0] < 1 else None
    if at + 1 == len(tokens) or at >= len(tokens) or tokens[at].text not in ADD:
        return None
    if tokens[at + 1].kind == "w":
        return _word_fraction(tokens, at + 1)
    found = _fraction(tokens, at + 1)  # un cucchiaino e 1/2
    return found if found and found[0] < 1 else None
