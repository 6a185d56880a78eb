"""Measures in the tokens of a line: number and unit, sums of them, and the words between."""

from collections.abc import Sequence
from typing import NamedTuple

from scaldloaf.importing.quantities.amounts import (
    LARGEST_DENOMINATOR,
    MOST_DIGITS,
    OF,
    Marks,
    NotANumber,
    Quantity,
    certain,
    half_after_unit,
    other_way,
    quantity_at,
    range_end,
    spanning,
)
from scaldloaf.importing.words.doubt import UNSURE, Doubt, Fault
from scaldloaf.importing.words.eggs import EGG_WORDS
from scaldloaf.importing.words.fruits import FRUITS
from scaldloaf.importing.words.lexicon import EXACT_CASE, UNITS, Lexicon, units_in
from scaldloaf.importing.words.text import Token
from scaldloaf.importing.words.vocabulary import (
    ADD,
    CONTAINER,
    COUNTER,
    EGG_SIZES,
    FILLING,
    LANGUAGES,
    LESS,
    MASS,
    NO_UNIT,
    NUMBERS,
    PACKET,
    REMARK,
    SPICE,
    TIMES,
    VOLUME,
    Unit,
    name_words,
    plain_word,
)

MOST_FILLING_WORDS = 4
MOST_CUPS = 20  # above this, C means Celsius
_DEGREES = ("C", "F")
_STRENGTH_DIGITS = 3  # farina W 380
_PERCENT = ("%", "percent", "prozent")
_IN_FIGURES = {"one": "1", "two": "2"}  # two percent milk
TYPE_WORDS = frozenset(("type", "typ", "tipo", "t", "no", "nr", "number", "w", "size", "größe"))
# Smaller units that may follow a larger one without a word between: 1 lb 3 oz, 1 cup 2 tbsp.
_FOLLOWS = {
    "lb": ("oz",),
    "kg": ("g",),
    "l": ("ml", "dl"),
    "cup": ("tablespoon", "teaspoon"),
    "pint": ("fl oz",),
    "tablespoon": ("teaspoon",),
    "jin": ("liang", "qian"),
    "liang": ("qian",),
}
# Words that may come between a number and its unit.
_FOR_OR_IS = frozenset(("for", "für", "zum", "pour", "para", "per", "is", "davon"))
_BEFORE_UNITS = frozenset((*FILLING, *EGG_SIZES, "-", "+", *OF))  # 1/4 de taza, 1+ cups
_EACH_INSIDE = frozenset(("each", "je", "apiece", "chacun", "chacune", "cada", "ciascuno", "ciascuna"))
_ANY_UNIT = units_in(LANGUAGES[-1])
_EACH_INSIDE |= {name for name, unit in _ANY_UNIT.items() if unit.label == "piece"}  # 3 Eier (55 g pro Stück)
_DEGREE = UNITS["°"]
_BEFORE_NUMBERS = frozenset(("g", "kg", "ml", "cl", "dl", "l"))  # farina 00 g 500, or kg 1 di farina
# Numbers by which flours are sold.
FLOUR_TYPES = frozenset(
    ("405", "550", "480", "700", "812", "1050", "630", "45", "55", "65", "110", "150", "00", "0")
)
# Words that a measure may begin with.
_MEASURING_WORDS = frozenset(NUMBERS) | {
    name
    for language in LANGUAGES
    for name, unit in units_in(language).items()
    if unit.before or unit.kind == SPICE or unit.label in _BEFORE_NUMBERS
}


class Measure(NamedTuple):
    """A quantity of a unit.

    filling: the coefficient of how the spoon was filled. more: measures added to it (1 lb + 3 oz). is_each:
    it is that of one of several. is_inside: it is in parentheses.
    """

    quantity: Quantity
    unit: Unit = NO_UNIT
    filling: str = ""
    more: tuple["Measure", ...] = ()
    is_each: bool = False
    is_inside: bool = False

    @property
    def kind(self) -> str:
        """The kind of its unit."""
        return self.unit.kind

    def negated(self) -> "Measure":
        """What is taken away: ``minus 1 tbsp``."""
        low, best, high = self.quantity[:3]
        return self._replace(quantity=self.quantity._replace(low=-high, best=-best, high=-low))

    def words(self) -> str:
        """As it was read, before a name: ``2 to 3 cups of``."""
        return " + ".join(_words_of(part) for part in (self, *self.more)) + (
            " ×" if self.unit is NO_UNIT else " of"
        )


def _words_of(measure: Measure) -> str:
    quantity = measure.quantity
    ends = (quantity.low, quantity.high) if quantity.is_range else (quantity.best,)
    shown = " to ".join(f"{end:.6g}" if end >= 100 else f"{end:.4g}" for end in ends)
    if measure.unit is NO_UNIT:
        return shown
    first, _, rest = measure.unit.label.partition(" ")
    if quantity.high != 1 and measure.unit.has_plural:
        first += "es" if first.endswith(("ch", "sh")) else "s"
    return f"{shown} {first} {rest}".rstrip()


class Mark(str):
    """A mark among the items of a line; a plain text is a word."""

    __slots__ = ()


class Group(NamedTuple):
    """What is in parentheses, read by itself."""

    items: tuple["Item", ...]


Item = str | Measure | Group  # of a line: a word, a Mark, a measure or a group


def unit_at(tokens: Sequence[Token], at: int, words: Lexicon) -> tuple[Unit, int] | None:
    """The unit whose name starts at a place, and where it ends; the longest name counts."""
    if at >= len(tokens) or tokens[at].kind not in "wp":
        return None
    for length in range(min(words.unit_starts.get(tokens[at].text, 1), len(tokens) - at), 1, -1):
        unit = words.units.get(" ".join([token.text for token in tokens[at : at + length]]))
        if unit:
            return unit, at + length
    unit = EXACT_CASE.get(tokens[at].raw) or words.units.get(tokens[at].text)
    return (unit, at + 1) if unit else None


def _filling_at(tokens: Sequence[Token], at: int) -> tuple[str, int]:
    """The words on how the spoon is filled, between number and unit."""
    filling = ""
    for _ in range(MOST_FILLING_WORDS):
        if at == len(tokens) or tokens[at].text not in _BEFORE_UNITS:
            break
        filling = FILLING.get(tokens[at].text) or filling
        at += 1
    return filling, at


def _measure_at(tokens: Sequence[Token], at: int, marks: Marks) -> tuple[Measure, int] | None:
    """The measure that starts at a place, and where it ends. Raises NotANumber."""
    if after_unit := _number_after_unit(tokens, at, marks):
        return after_unit
    found = quantity_at(tokens, at, marks)
    if found is None:
        unit = marks.lexicon.units.get(tokens[at].text) if tokens[at].kind == "w" else None
        return (Measure(certain(1.0), unit), at + 1) if unit and unit.kind == SPICE else None
    quantity, after = found
    filling, unit_start, named = "", after, None
    if after < len(tokens) and tokens[after].kind != "n":
        named = unit_at(tokens, after, marks.lexicon)  # petite cuillère
    if after < len(tokens) and tokens[after].kind != "n" and named is None:
        filling, unit_start = _filling_at(tokens, after)
        named = unit_at(tokens, unit_start, marks.lexicon)
    if named is None:
        return (Measure(quantity), after) if _counts_something(tokens, at, unit_start) else None
    unit, end = named
    if end < len(tokens) and FILLING.get(tokens[end].text) and not filling:
        filling, end = FILLING[tokens[end].text], end + 1  # cucchiaio colmo
    if tokens[unit_start].raw in _DEGREES and end == unit_start + 1 and quantity.best > MOST_CUPS:
        unit = _DEGREE
    if quantity.other is not None and quantity.best >= 1000 and quantity.other < 1000 and _is_large(unit):
        quantity = other_way(quantity, quantity.other)
    measure = Measure(_held(tokens, at, after, end, quantity, marks.lexicon), unit, filling)
    return _with_what_follows(measure, quantity, tokens, end, marks)


def _number_after_unit(tokens: Sequence[Token], at: int, marks: Marks) -> tuple[Measure, int] | None:
    """The measure that starts with its unit at a place, as in Japanese, and where it ends."""
    filling = FILLING.get(tokens[at + 1].text, "") if at + 2 < len(tokens) else ""
    number = at + 2 if filling else at + 1  # 大さじ山盛り2
    if number == len(tokens) or tokens[at].kind != "w" or tokens[number].kind != "n":
        return None
    unit = marks.lexicon.units.get(tokens[at].text) if tokens[at].raw != "L" else None  # uova L 2
    is_at_end = not at or at + 2 == len(tokens) or tokens[at + 2].text in ",;+"  # farina g 20, latte g 100
    if unit is None or not (unit.before or unit.label in _BEFORE_NUMBERS and is_at_end):
        return None
    found = quantity_at(tokens, number, marks)
    if found and found[1] < len(tokens) and tokens[found[1]].text in COUNTER:
        return Measure(found[0], unit, filling), found[1] + 1
    if found and (again := unit_at(tokens, found[1], marks.lexicon)) and again[0].kind != REMARK:
        return None  # 大1個: one large one
    return found and (Measure(found[0], unit, filling), found[1])


def _counts_something(tokens: Sequence[Token], at: int, after: int) -> bool:
    """Whether a number without a unit counts something.

    A number in words counts only before eggs and fruits: "an egg", "zest of one lemon", but "a fine flour".
    """
    if tokens[at].kind == "n":
        return True
    is_apart = not at or tokens[at - 1].text in ",;" and NUMBERS.get(tokens[at].text, 1.0) >= 1
    if after < len(tokens) and tokens[after].text in _FOR_OR_IS and is_apart:
        return True  # in parentheses, or behind a comma: one for the wash
    words = [plain_word(token.text) for token in tokens[after : after + 2]]
    is_egg = bool(words) and words[0] in EGG_WORDS and words[1:] != ["wash"]  # an egg wash
    return is_egg or at > 0 and not FRUITS.isdisjoint(words)


def _with_what_follows(
    measure: Measure, quantity: Quantity, tokens: Sequence[Token], after: int, marks: Marks
) -> tuple[Measure, int]:
    """A measure with the second end of its range, or with the half that follows it, and where it ends.

    Parameters
        measure : Measure
        quantity : Quantity  its number as written
        tokens : Sequence[Token]
        after : int  where the measure ends
        marks : Marks
    Returns
        (Measure, place)
    """
    if quantity.is_range:
        return measure, after
    if end := range_end(tokens, after, marks):
        again = unit_at(tokens, end[1], marks.lexicon)
        if again and again[0] is measure.unit:
            return measure._replace(quantity=spanning(quantity, end[0])), again[1]
    if after + 1 < len(tokens) and tokens[after].text in TIMES and tokens[after + 1].text.isdecimal():
        times = quantity_at(tokens, after + 1, marks)
        if times and unit_at(tokens, times[1], marks.lexicon) is None:
            return measure._replace(quantity=measure.quantity.times(times[0])), times[1]
    half = half_after_unit(tokens, after)
    # "a cup and a half", unless the half is of another unit: "a cup and half a spoon".
    if (
        half
        and quantity.best.is_integer()
        and unit_at(tokens, _filling_at(tokens, half[1])[1], marks.lexicon) is None
    ):
        more = certain(quantity.best + half[0], *measure.quantity.doubts)
        return measure._replace(quantity=more), half[1]
    return measure, after


def _is_large(unit: Unit) -> bool:
    """Whether no recipe has a thousand of that unit."""
    return unit.kind not in (MASS, VOLUME) or unit.grams > 1 or unit.cm3.us > 1


def _held(
    tokens: Sequence[Token], at: int, number_end: int, unit_end: int, quantity: Quantity, words: Lexicon
) -> Quantity:
    """``2 1/4-ounce packets`` is two of a quarter, not two and a quarter."""
    holder = unit_at(tokens, unit_end, words)
    if (
        number_end != at + 4
        or tokens[at].kind != "n"
        or tokens[at + 2].text != "/"
        or quantity.is_range
        or holder is None
        or holder[0].kind not in (CONTAINER, PACKET)
    ):
        return quantity
    times = int(quantity.best)
    part = f"{tokens[at + 1].text}/{tokens[at + 3].text}"
    doubt = Doubt.of(UNSURE, "held_amount", times=times, part=part, other=quantity.best)
    return certain(times * (quantity.best - times), *quantity.doubts, doubt)


def read_items(tokens: Sequence[Token], marks: Marks, faults: list[Fault]) -> list[Item]:
    """The tokens as measures, words, groups and marks, in order; what is no number goes to ``faults``."""
    items: list[Item] = []
    at = measures = 0
    while at < len(tokens):
        token = tokens[at]
        if token.kind == "w" and token.text not in _MEASURING_WORDS:
            items.append(token.text)
            at += 1
            continue
        found: tuple[Item, int] | None = None
        if token.kind in "nw":
            try:
                found = _number_name(tokens, at, marks) or _measure_at(tokens, at, marks)
            except NotANumber as error:
                faults.append(error.fault)
                at = _after_number(tokens, at)
                continue
        if found:
            item, at = found
            items.append(item)
            measures += 1
            continue
        items.append(
            _group(read_items(token.inside, marks, faults))
            if token.kind == "g"
            else Mark(token.text)
            if token.kind == "p"
            else token.text
        )
        at += 1
    return _summed(items) if measures > 1 else items


def _group(inside: Sequence[Item]) -> Group:
    each = any([item in _EACH_INSIDE for item in inside]) or inside[:1] == ["à"]
    return Group(
        tuple(
            [
                item._replace(is_inside=True, is_each=each) if isinstance(item, Measure) else item
                for item in inside
            ]
        )
    )


def _after_number(tokens: Sequence[Token], at: int) -> int:
    """Where a run of digits and strokes that is no number ends."""
    at += 1
    while at < len(tokens) and (tokens[at].kind == "n" or tokens[at].text == "/"):
        at += 1
    return at


def _is_fraction(tokens: Sequence[Token], at: int) -> bool:
    """Whether a number is the upper one of a fraction: ``1/4``."""
    if at + 2 >= len(tokens) or tokens[at + 1].text != "/" or not tokens[at + 2].text.isdecimal():
        return False
    return 0 < int(tokens[at].text) < int(tokens[at + 2].text[:MOST_DIGITS]) <= LARGEST_DENOMINATOR


def _number_name(tokens: Sequence[Token], at: int, marks: Marks) -> tuple[str, int] | None:
    """``550`` where it belongs to a name, as in Mehl Type 550 or farina 00, and where it ends; or ``2%``."""
    token = tokens[at]
    if token.kind == "n" and token.text.isdecimal() and at and tokens[at - 1].kind == "w":
        word = plain_word(tokens[at - 1].text)
        before = plain_word(tokens[at - 2].text) if at > 1 and word in TYPE_WORDS else word
        numbered = marks.lexicon.numbered
        known = (word, token.text) in numbered or (before, token.text) in numbered
        known = known or word == "w" and len(token.text) == _STRENGTH_DIGITS
        known = known and not _is_fraction(tokens, at)  # Milch 1/4 l, beside Milch 1,5 %
        behind = unit_at(tokens, at + 1, marks.lexicon)
        # farina 00 g 500: the unit belongs to the number behind it
        if known and (behind is None or not token.text.strip("0") and _is_number(tokens, behind[1])):
            return token.text, at + 1
    is_alone = token.kind == "n" and not at and len(tokens) == 2 and _may_be_flour(tokens[1].text, marks)
    if is_alone or at == 1 and tokens[0].text in TYPE_WORDS:
        is_type = token.text in FLOUR_TYPES and unit_at(tokens, at + 1, marks.lexicon) is None
        return (token.text, at + 1) if is_type else None
    return _percent_name(tokens, at)


def _may_be_flour(word: str, marks: Marks) -> bool:
    """Whether a word is a flour, or not known: a type of ``milk`` there is none."""
    named = marks.lexicon.read_as.get(name_words(word))
    return named is None or named.is_flour


def _is_number(tokens: Sequence[Token], at: int) -> bool:
    return at < len(tokens) and tokens[at].kind == "n"


def _percent_name(tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    """``2%`` where it belongs to a name, as in 2% milk, and where it ends; 45% milk is an amount."""
    if at + 2 >= len(tokens) or tokens[at + 1].text not in _PERCENT:
        return None
    number, word = _IN_FIGURES.get(tokens[at].text, tokens[at].text), plain_word(tokens[at + 2].text)
    if not number[:1].isdigit():
        return None
    if word == "milk" and len(number.replace(",", ".").partition(".")[0]) > 1:
        return None
    is_of_name = word in ("milk", "cream", "fat", "protein", "butterfat", "fett")
    return (f"{number.replace(',', '.')}%", at + 2) if is_of_name else None


def _summed(items: list[Item]) -> list[Item]:
    """Measures that belong together made one: ``1 lb 3 oz``, ``80 g plus 1 tbsp``."""
    summed: list[Item] = []
    at = 0
    while at < len(items):
        item = items[at]
        at += 1
        if isinstance(item, Measure) and item.kind in (MASS, VOLUME):
            while step := _addend(items, at, item):
                more, at = step
                item = item._replace(more=(*item.more, more))
        summed.append(item)
    return summed


def _addend(items: Sequence[Item], at: int, first: Measure) -> tuple[Measure, int] | None:
    """The measure at a place that adds to the one before it, and where it ends."""
    last = first.more[-1] if first.more else first
    if more := _measure_of_kind(items, at, (first.kind,)):
        return (more, at + 1) if more.unit.label in _FOLLOWS.get(last.unit.label, ()) else None
    joins = items[at] if at < len(items) and isinstance(items[at], str) else ""
    more = _measure_of_kind(items, at + 1, (MASS, VOLUME))
    if more and joins in LESS and more.kind == first.kind:
        return more.negated(), at + 2
    apart = at + 2 < len(items) and items[at + 2] in ("for", "to", "extra", "für", "zum")
    if more and joins in ADD and not apart and (more.kind == first.kind or joins.isalpha() or joins == "+"):
        return more, at + 2
    return None


def _measure_of_kind(items: Sequence[Item], at: int, kinds: Sequence[str]) -> Measure | None:
    """The measure at a place, if there is one of these kinds."""
    item = items[at] if at < len(items) else None
    return item if isinstance(item, Measure) and item.kind in kinds else None


def bare_words(items: Sequence[Item]) -> tuple[str, ...]:
    """The words among some items, without marks and what is in parentheses."""
    return tuple(item for item in items if type(item) is str)


def without_parentheses(group: Group) -> list[Item]:
    """What is in parentheses, as if it was outside."""
    return [item._replace(is_inside=False) if isinstance(item, Measure) else item for item in group.items]


def unit_of_word(item: Item) -> Unit | None:
    """The unit that a word names, as ``packets`` in ``2 (7 g) packets``."""
    return _ANY_UNIT.get(item) if type(item) is str else None


def is_type(item: Item, before: Item | None) -> bool:
    """A bare number that names a kind and counts nothing: ``type 550``, ``00 flour``."""
    return (
        isinstance(item, Measure)
        and item.unit is NO_UNIT
        and (item.quantity.best == 0 or isinstance(before, str) and before in TYPE_WORDS)
    )
