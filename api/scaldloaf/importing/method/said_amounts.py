"""The flours and liquids that a sentence of the method names, with their amounts."""

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.importing.quantities.masses import weigh
from scaldloaf.importing.quantities.measures import Group, Item, Measure, read_items
from scaldloaf.importing.quantities.readings import Reader, Reading
from scaldloaf.importing.whole.listed_scald import LIQUIDS
from scaldloaf.importing.words import text
from scaldloaf.importing.words.vocabulary import (
    COUNT,
    HALF,
    MASS,
    PERCENT,
    REMAINING,
    SALTS,
    TAKEN_OF,
    VOLUME,
    is_spaceless,
    plain_word,
)
from scaldloaf.reference import Ingredient

IN_STEPS = (MASS, VOLUME)  # kinds of amounts that a step takes from the list
_OF = ("の", "的")
_HALF = "half"  # for a number or a word that says so
MOST_HALF_WORDS = 3  # half of the milk
MOST_VERB_WORDS = 3  # of the flour take 20 g
MOST_CLAUSE_WORDS = 24  # between two amounts
MOST_ADDED = 0.25  # of a line, of what it adds for the scald
_PERCENT = re.compile(r"(\d{1,3}(?:\.\d{1,2})?)%")
_ADDED = re.compile(r"(?:\b(?:plus|and)\b|\+) ?(?=\d)", re.IGNORECASE)


class Named(NamedTuple):
    """An ingredient of a sentence, and how much of it: None where it does not say.

    share: of its line, where it says that half of it or so many percent are meant; else 0.
    """

    ingredient: Ingredient
    mass: Estimate | None
    share: float = 0.0


class Said(NamedTuple):
    """Words of a sentence, and the amount that belongs to them: before them, or behind."""

    words: list[str]
    amount: Measure | None
    is_behind: bool


def amounts_in(sentence: str, reader: Reader, kinds: Sequence[str] = IN_STEPS) -> list[Said]:
    """The amounts of a sentence and the words between them; none where it is too long to be read."""
    try:
        tokens = text.tokenise(text.cut(sentence))
    except text.TooManyWords:
        return []
    reader.tokens_left -= len(tokens)
    items = read_items(tokens, reader.marks, [])
    is_behind = is_spaceless(sentence) and _has_amounts_behind(items, kinds, reader)
    if not is_behind:
        items = _with_amounts_before(items, kinds, reader)
    return list(_with_taken(_clauses(items, is_behind, kinds), reader))


def all_named_in(sentence: str, reader: Reader, kinds: Sequence[str] = IN_STEPS) -> list[Named]:
    """The ingredients that a sentence names, in its order, each with its amount of one of these kinds.

    One that it names with an amount too is not another: ``Make the water roux with 200 g of the water``.
    """
    found = [each for said in amounts_in(sentence, reader, kinds) for each in _in_clause(said, reader)]
    weighed = [each.ingredient for each in found if each.mass]
    return [each for each in found if each.mass or each.share or each.ingredient not in weighed]


def named_in(sentence: str, reader: Reader) -> tuple[list[Named], bool]:
    """The flours and liquids that a sentence names, with amounts; and whether it names yeast or salt."""
    found = all_named_in(sentence, reader)
    other = any(each.ingredient.yeast or each.ingredient.name in SALTS for each in found)
    named = [
        each
        for each in found
        if each.ingredient.is_flour or each.ingredient.name in LIQUIDS or each.mass is not None
    ]
    return named, other


def _has_amounts_behind(items: Sequence[Item], kinds: Sequence[str], reader: Reader) -> bool:
    """Whether amounts follow their names, as they mostly do in scripts without spaces: ``強力粉20g``."""
    items = [item for item in items if item not in _OF]  # 20gの強力粉
    for before, item, behind in zip(["", *items], items, [*items[1:], ""], strict=False):
        if isinstance(item, Measure) and item.kind in kinds:
            names = [
                type(word) is str and bool(_ingredients([str(word)], reader)) for word in (before, behind)
            ]
            return names != [False, True]
    return True


def _with_amounts_before(items: Sequence[Item], kinds: Sequence[str], reader: Reader) -> list[Item]:
    """The items, an amount in parentheses before the name that it belongs to: ``the milk (125 g)``.

    Behind a name that has its amount, it is the same in another unit: ``25 g flour (3 tbsp)``.
    """
    made: list[Item] = []
    words: list[str] = []  # since the last amount
    is_measured = False
    for item in items:
        own = _amounts_inside(item, kinds)
        ends = _ends_of_names(words, reader) if own and len(words) <= MOST_CLAUSE_WORDS else []
        if ends and not (is_measured and len(ends) == 1):
            between = (
                made[len(made) - len(words) + ends[-2] :] if is_measured else made[len(made) - len(words) :]
            )
            made[len(made) - len(between) :] = [own[0], *between]
        if ends:
            words, is_measured = [], False
            continue
        made.append(item)
        if isinstance(item, Measure) and item.kind in kinds:
            words, is_measured = [], True
        elif type(item) is str:
            words.append(item)
        else:
            words, is_measured = ([], False) if own else (words, is_measured)
    return made


def _amounts_inside(item: Item, kinds: Sequence[str]) -> list[Item]:
    """The amounts that parentheses hold."""
    inside = item.items if isinstance(item, Group) else ()
    return [each for each in inside if isinstance(each, Measure) and each.kind in kinds]


def _ends_of_names(words: Sequence[str], reader: Reader) -> list[int]:
    """Behind which of some words the names among them end."""
    ends: list[int] = []
    for end in range(1, len(words) + 1):
        found = sum(match.ingredient is not None for match, _ in reader.names.all_in(words[:end]))
        if found > len(ends):
            ends.append(end)
    return ends


def _clauses(items: Iterable[Item], is_behind: bool, kinds: Sequence[str]) -> Iterator[Said]:
    """The words that belong to each amount of a sentence; scripts without spaces have it behind the name."""
    words: list[str] = []
    measure: Measure | None = None
    for item in _flat(items):
        if isinstance(item, Measure) and item.kind in kinds:
            item = item._replace(is_inside=False)
            yield Said(words, item if is_behind else measure, is_behind)
            words, measure = [], item
        elif isinstance(item, Measure) and item.kind == COUNT and item.quantity.best < 1:
            share = item.quantity.best
            words.append(_HALF if share == 0.5 else f"{100 * share:.4g}%")  # ⅔ of the sugar
        elif isinstance(item, Measure) and item.kind == PERCENT:
            words.append(f"{item.quantity.best:g}%")
        elif type(item) is str:
            words.append(item)
    yield Said(words, None if is_behind else measure, is_behind)


def _with_taken(clauses: Iterable[Said], reader: Reader) -> Iterator[Said]:
    """The clauses, an amount behind what it is taken of: ``of the flour take 20 g and cook it with …``."""
    waiting: Said | None = None
    for said in clauses:
        if waiting and said.amount and not waiting.amount and _is_taken_of(waiting.words, reader):
            waiting, said = waiting._replace(amount=said.amount, is_behind=True), said._replace(amount=None)
        if waiting:
            yield waiting
        waiting = said
    if waiting:
        yield waiting


def _is_taken_of(words: Sequence[str], reader: Reader) -> bool:
    """Whether words end with “of” something: ``Vom Mehl``, ``from the flour take``."""
    if any(map(_PERCENT.fullmatch, words)):
        return False  # 10 % of the flour with 250 g milk
    *_, (match, before) = [(None, ()), *reader.names.all_in(words)]
    is_ours = match is not None and match.ingredient is not None
    is_last = is_ours and len(words) - len(before) - len(match.words if match else ()) <= MOST_VERB_WORDS
    return is_last and not TAKEN_OF.isdisjoint(before[-MOST_VERB_WORDS:])


def with_halves(lines: Sequence[Reading], named: Sequence[Named]) -> list[Named]:
    """What a sentence names, a share of it as one of its only line: ``cook half the milk with …``."""
    found: list[Named] = []
    for each in named:
        own = [line.mass for line in lines if line.ingredient is each.ingredient and line.mass]
        if each.share and not own and each.ingredient.is_flour:
            own = [line.mass for line in lines if line.ingredient and line.ingredient.is_flour and line.mass]
        if each.share and len(own) == 1:
            low, best, high, evidence = own[0]
            share = each.share
            each = each._replace(mass=Estimate(low * share, best * share, high * share, evidence))
        found.append(each)
    return found


def _in_clause(said: Said, reader: Reader) -> Iterator[Named]:
    """The ingredients of some words, the first or the last of them with the amount."""
    found = _ingredients(said.words, reader)
    owner = len(found) - 1 if said.is_behind else 0
    for place, (ingredient, share) in enumerate(found.items()):
        own = said.amount if place == owner else None
        yield Named(ingredient, weigh(own, ingredient, reader.choices).mass if own else None, share)


def _flat(items: Iterable[Item]) -> Iterator[Item]:
    """The items, those in parentheses too, but for what a percentage says of a thing: ``(13 % protein)``."""
    for item in items:
        if isinstance(item, Group):
            if not any(map(_is_share, item.items)):
                yield from item.items
        else:
            yield item


def _is_share(item: Item) -> bool:
    if isinstance(item, Measure):
        return item.kind == PERCENT
    return type(item) is str and item.endswith("%")


def name_at_end(words: Sequence[str], reader: Reader) -> tuple[str, ...]:
    """The last name among some words; none where that is of what remains."""
    *_, (match, before) = [(None, ()), *reader.names.all_in(words)]
    return match.words if match and match.ingredient and REMAINING.isdisjoint(before) else ()


def _ingredients(words: Sequence[str], reader: Reader) -> dict[Ingredient, float]:
    """The ingredients that words name, without those that are what remains -> what share of it is meant."""
    found: dict[Ingredient, float] = {}
    for match, before in reader.names.all_in(words):
        if not REMAINING.isdisjoint(before) or match.ingredient is None:
            continue
        found.setdefault(match.ingredient, _share(before[-MOST_HALF_WORDS:]))
    return found


def _share(words: Sequence[str]) -> float:
    """The share of a thing that words before it say: half, or 5 % of it; 0 for none."""
    percent = next(filter(None, map(_PERCENT.fullmatch, words)), None)
    if percent:
        return min(1.0, float(percent[1]) / 100)
    return 0.0 if HALF.isdisjoint(map(plain_word, words)) else 0.5


def with_added_parts(lines: Sequence[Reading], named: list[Named], reader: Reader) -> list[Named]:
    """What a sentence names, with the part for it of a lone flour: ``2 cups plus 2 tbsp flour``."""
    flours = [line for line in lines if line.ingredient and line.ingredient.is_flour]
    if len(flours) != 1 or any(each.mass for each in named if each.ingredient.is_flour):
        return named
    if _added_part(flours[0], reader) is None:
        return named
    return [each if each.mass else _by_its_line(lines, each, reader) for each in named]


def _by_its_line(lines: Sequence[Reading], named: Named, reader: Reader) -> Named:
    own = [
        line
        for line in lines
        if line.ingredient
        and (line.ingredient.is_flour and named.ingredient.is_flour or line.ingredient is named.ingredient)
    ]
    return named._replace(mass=_added_part(own[0], reader)) if len(own) == 1 else named


def _added_part(line: Reading, reader: Reader) -> Estimate | None:
    """What a line adds to its first amount, if that is little beside it."""
    added = _ADDED.search(plain := text.clean(line.text))
    if added is None or line.ingredient is None or line.mass is None:
        return None
    try:
        items = read_items(text.tokenise(text.cut(plain[added.end() :])), reader.marks, [])
    except text.TooManyWords:
        return None
    first = items[0] if items else None
    if not isinstance(first, Measure) or first.kind not in (MASS, VOLUME):
        return None
    part = weigh(first, line.ingredient, reader.choices).mass
    return part if part and part.best <= MOST_ADDED * line.mass.best else None
