"""Measures in the tokens of a line: number and unit, sums of them, and the words that are left."""

from collections.abc import Sequence
from typing import NamedTuple

from scaldloaf.importing.amounts import (
    Marks, NotANumber, Quantity, exactly, half_after_unit, other_way, quantity_at,
    range_end, spanning,
)
from scaldloaf.importing.doubt import UNSURE, Doubt
from scaldloaf.importing.text import Token
from scaldloaf.importing.vocabulary import (
    ADD, CONTAINER, EGG_SIZES, EXACT_CASE, FILLING, MASS, NUMBERS, PACKET, SPICE, UNITS, VOLUME, Unit,
    plain_word,
)

MOST_FILLING_WORDS = 4
MOST_CUPS = 20              # above this, C stands for Celsius
_DEGREES = ("C", "F")
_TYPE_WORDS = frozenset(("type", "typ", "tipo", "t", "no", "nr", "number", "w", "size", "größe"))
# Smaller units that may follow a larger one without a word between: 1 lb 3 oz, 1 cup 2 tbsp.
_FOLLOWS = {"lb": ("oz",), "kg": ("g",), "l": ("ml", "dl"), "cup": ("tablespoon", "teaspoon"),
            "pint": ("fl oz",), "tablespoon": ("teaspoon",)}
_EGG_WORDS = frozenset(map(plain_word, (
    "egg", "yolk", "white", "ei", "eier", "eigelb", "eiweiß", "卵", "全卵", "卵黄", "卵白", "eigelbe")))
# Words that may stand between a number and its unit.
_BEFORE_UNITS = frozenset((*FILLING, *EGG_SIZES, "-", "of", "a"))
_FIRST_OF_TWO = frozenset(name.split()[0] for name in UNITS if " " in name)
# Words that a measure may begin with.
_MEASURING_WORDS = frozenset(NUMBERS) | {
    name for name, unit in UNITS.items() if unit.before or unit.kind == SPICE}


class Measure(NamedTuple):
    """A quantity of a unit (None: a bare count), and the coefficient of how the spoon was filled."""

    quantity: Quantity
    unit: Unit | None = None
    filling: str = ""
    more: tuple["Measure", ...] = ()        # measures added to it: 1 lb + 3 oz
    is_each: bool = False
    is_inside: bool = False                 # stands in parentheses

    @property
    def kind(self) -> str:
        return self.unit.kind if self.unit else "count"

    def words(self) -> str:
        """As it was read, to stand before a name: ``2 to 3 cups of``."""
        return " + ".join(_words_of(part) for part in (self, *self.more)) + (" of" if self.unit else " ×")


def _words_of(measure: Measure) -> str:
    quantity = measure.quantity
    ends = (quantity.low, quantity.high) if quantity.is_range else (quantity.best,)
    shown = " to ".join(f"{end:.6g}" if end >= 100 else f"{end:.4g}" for end in ends)
    if measure.unit is None:
        return shown
    first, _, rest = measure.unit.label.partition(" ")
    if quantity.high != 1 and measure.unit.has_plural:
        first += "es" if first.endswith(("ch", "sh")) else "s"
    return f"{shown} {first} {rest}".rstrip()


class Mark(str):
    """A mark among the items of a line; a plain text is a word."""

    __slots__ = ()


class Group(NamedTuple):
    """What stands in parentheses, read by itself."""

    items: tuple


def unit_at(tokens: Sequence[Token], at: int) -> tuple[Unit, int] | None:
    """The unit whose name starts at a place, and where it ends."""
    if at >= len(tokens) or tokens[at].kind not in "wp":
        return None
    if tokens[at].text in _FIRST_OF_TWO and at + 1 < len(tokens) and tokens[at + 1].kind == "w":
        unit = UNITS.get(f"{tokens[at].text} {tokens[at + 1].text}")
        if unit:
            return unit, at + 2
    unit = EXACT_CASE.get(tokens[at].raw) or UNITS.get(tokens[at].text)
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
    """The measure that starts at a place. Raises NotANumber."""
    if at + 1 < len(tokens) and tokens[at].kind == "w" and tokens[at + 1].kind == "n":
        unit = UNITS.get(tokens[at].text)
        if unit and unit.before:
            quantity, after = quantity_at(tokens, at + 1, marks)
            return Measure(quantity, unit), after
    found = quantity_at(tokens, at, marks)
    if found is None:
        unit = UNITS.get(tokens[at].text) if tokens[at].kind == "w" else None
        return (Measure(exactly(1.0), unit), at + 1) if unit and unit.kind == SPICE else None
    quantity, after = found
    filling, unit_start, unit = "", after, None
    if after < len(tokens) and tokens[after].kind != "n":
        filling, unit_start = _filling_at(tokens, after)
        unit = unit_at(tokens, unit_start)
    if unit and tokens[unit_start].raw in _DEGREES and quantity.best > MOST_CUPS:
        unit = UNITS["°"], unit[1]
    if unit is None:
        if tokens[at].kind == "n":
            return Measure(quantity), after
        # A number in words counts only in front of eggs: "an egg", but "a fine flour".
        egg = unit_start < len(tokens) and plain_word(tokens[unit_start].text) in _EGG_WORDS
        return (Measure(quantity), after) if egg else None
    if quantity.other is not None and quantity.best >= 1000 and quantity.other < 1000 and _is_large(unit[0]):
        quantity = other_way(quantity)
    measure, after = Measure(_held(tokens, at, after, unit[1], quantity), unit[0], filling), unit[1]
    if not quantity.is_range and (end := range_end(tokens, after, marks)):
        again = unit_at(tokens, end[1])
        if again and again[0] is unit[0]:
            return measure._replace(quantity=spanning(quantity, end[0])), again[1]
    half = half_after_unit(tokens, after)
    # "a cup and a half", unless the half is of another unit: "a cup and half a spoon".
    if half and not quantity.is_range and quantity.best.is_integer() \
            and unit_at(tokens, _filling_at(tokens, half[1])[1]) is None:
        more = exactly(quantity.best + half[0], *measure.quantity.doubts)
        return measure._replace(quantity=more), half[1]
    return measure, after


def _is_large(unit: Unit) -> bool:
    """A unit that no recipe has a thousand of."""
    return unit.kind not in (MASS, VOLUME) or unit.grams > 1 or unit.cm3.us > 1


def _held(tokens: Sequence[Token], at: int, number_end: int, unit_end: int, quantity: Quantity) -> Quantity:
    """``2 1/4-ounce packets`` is two of a quarter, not two and a quarter."""
    holder = unit_at(tokens, unit_end)
    if number_end != at + 4 or tokens[at].kind != "n" or tokens[at + 2].text != "/" or quantity.is_range \
            or holder is None or holder[0].kind not in (CONTAINER, PACKET):
        return quantity
    times = int(quantity.best)
    part = f"{tokens[at + 1].text}/{tokens[at + 3].text}"
    doubt = Doubt(UNSURE, f"read as {times} times {part}, not as {quantity.best:g}")
    return exactly(times * (quantity.best - times), *quantity.doubts, doubt)


def read_items(tokens: Sequence[Token], marks: Marks, faults: list[str]) -> list:
    """The tokens as measures, words, groups and marks, in order; what is no number goes to ``faults``."""
    items: list = []
    at = measures = 0
    while at < len(tokens):
        token = tokens[at]
        if token.kind == "w" and token.text not in _MEASURING_WORDS:
            items.append(token.text)
            at += 1
            continue
        found = None
        if token.kind in "nw":
            try:
                found = _percent_name(tokens, at) or _measure_at(tokens, at, marks)
            except NotANumber as error:
                faults.append(str(error))
                at = _after_number(tokens, at)
                continue
        if found:
            item, at = found
            items.append(item)
            measures += 1
            continue
        items.append(_group(read_items(token.inside, marks, faults)) if token.kind == "g" else
                     Mark(token.text) if token.kind == "p" else token.text)
        at += 1
    return _summed(items) if measures > 1 else items


def _group(inside: list) -> Group:
    each = any([item in ("each", "je", "apiece") for item in inside])
    return Group(tuple([item._replace(is_inside=True, is_each=each) if isinstance(item, Measure) else item
                        for item in inside]))


def _after_number(tokens: Sequence[Token], at: int) -> int:
    """Where a run of digits and strokes that is no number ends."""
    at += 1
    while at < len(tokens) and (tokens[at].kind == "n" or tokens[at].text == "/"):
        at += 1
    return at


def _percent_name(tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    """``2%`` where it belongs to a name, as in 2% milk, and where it ends."""
    if at + 2 < len(tokens) and tokens[at + 1].text == "%" and tokens[at].kind == "n" \
            and plain_word(tokens[at + 2].text) in ("milk", "cream", "fat", "protein", "butterfat", "fett"):
        return f"{tokens[at].text}%", at + 2
    return None


def _summed(items: list) -> list:
    """Measures that belong together made one: ``1 lb 3 oz``, ``1 cup plus 2 tbsp``."""
    summed: list = []
    at = 0
    while at < len(items):
        item = items[at]
        at += 1
        if isinstance(item, Measure) and item.kind in (MASS, VOLUME):
            while True:
                step = _addend(items, at, item)
                if not step:
                    break
                item = item._replace(more=(*item.more, items[step - 1]))
                at = step
        summed.append(item)
    return summed


def _addend(items: list, at: int, first: Measure) -> int | None:
    """Where a measure ends that adds to the one before it."""
    last = first.more[-1] if first.more else first

    def adds(index: int) -> bool:
        return index < len(items) and isinstance(items[index], Measure) and items[index].kind == first.kind

    if adds(at):
        return at + 1 if items[at].unit.label in _FOLLOWS.get(last.unit.label, ()) else None
    if at + 1 < len(items) and adds(at + 1):
        apart = at + 2 < len(items) and items[at + 2] in ("for", "to", "extra", "für", "zum")
        if isinstance(items[at], str) and items[at] in ADD and not apart:
            return at + 2
    return None


def unit_of_word(item) -> Unit | None:
    """The unit a left-over word names, as ``packets`` in ``2 (7 g) packets``."""
    return UNITS.get(item) if type(item) is str else None


def is_type(item, before) -> bool:
    """A bare number that names a kind and counts nothing: ``type 550``, ``00 flour``."""
    return isinstance(item, Measure) and item.unit is None and (
        item.quantity.best == 0 or isinstance(before, str) and before in _TYPE_WORDS)
