"""One ingredient of a line without what is beside its amount: remarks, alternatives and what is set aside."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.line.allowed import without_allowed
from scaldloaf.importing.line.for_yeast import without_yeast
from scaldloaf.importing.line.item_words import has_amount, is_one, joined_words
from scaldloaf.importing.line.items import WITH
from scaldloaf.importing.line.mixed_washes import mixes_a_wash
from scaldloaf.importing.line.open_amounts import without_excluded
from scaldloaf.importing.line.other_part import without_other_part
from scaldloaf.importing.line.set_aside import portioned, with_filling, without_condition, without_step
from scaldloaf.importing.line.unmeasured import is_amount
from scaldloaf.importing.quantities.amounts import OF, certain
from scaldloaf.importing.quantities.measures import (
    Group,
    Item,
    Mark,
    Measure,
    bare_words,
    without_parentheses,
)
from scaldloaf.importing.quantities.readings import Reader
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt
from scaldloaf.importing.words.lexicon import NAMES
from scaldloaf.importing.words.vocabulary import (
    ABOUT,
    ADD,
    CHOOSE,
    COUNT,
    CUT,
    EQUAL,
    FURTHER,
    GOES_ON,
    INSTEAD,
    KEPT,
    MASS,
    NO_UNIT,
    NUMBERS,
    OF_WHICH,
    OUTSIDE,
    PERCENT,
    PIECE,
    PLAIN,
    REMAINING,
    VOLUME,
    is_spaceless,
    name_words,
    plain_word,
)

_ONE_MORE = frozenset(("más", "mas", "più"))  # 1 huevo más para pintar, not 3 huevos, más 1 para pintar
_KEPT_BACK = ADD | FURTHER | {"una", "un"}
_REST_WORDS = frozenset(("other", "rest", "remaining", "remainder", "andere", "restliche", "restliches"))
_THE_REST = REMAINING | _REST_WORDS
_A_PART = (
    FURTHER
    | _REST_WORDS
    | REMAINING - KEPT
    | frozenset(("some", "leftover", "little", "bit", "wenig", "peu", "sobre", "poco", "po'"))
)
_DASHES = frozenset(("-", "–", "—"))
_STROKES = frozenset(("/", "="))  # between an amount of one yeast and that of another
_EQUAL = frozenset(("entspricht", "entsprechend", "equals", "equivalent"))  # 1 packet (entspricht 7 g)
_BESIDE_EQUAL = EQUAL | ABOUT | CHOOSE | GOES_ON | CUT
_NOT_FOR = ("使用", "备用", "備用", "食用", "专用", "專用", "専用")  # no use: 食塩不使用, 泡软备用
_LEADING = frozenset((",", ";", "los", "las"))  # before “which”
_MOST_BEFORE_REST = 3  # words between a verb and the rest: keep aside all the rest
LEAST_OF_SUM = 4  # items: an amount, a name, “plus”, an amount
_LEAST_REMARK = 3  # words behind a dash that tell a story
_INSTEAD_SPACELESS = tuple(filter(is_spaceless, INSTEAD))


def _without_remainder(items: list[Item], reader: Reader) -> list[Item]:
    """Without what is set aside beside the amount: ``plus more for dusting``, ``and 2 tbsp for the pan``.

    The amount may be behind it: ``flour plus more for dusting 500 g``.
    """
    measured = False
    for at, item in enumerate(items):
        if not measured and isinstance(item, Group) and is_amount(items, at + 1) and _is_remainder(item):
            return [*items[:at], *items[at + 1 :]]  # 水(預留10g) 150g
        if not measured:
            if at and item in ADD and (behind := _behind_more(items, at)):
                return [*items[:at], *items[behind:]]
            measured = isinstance(item, Measure) or isinstance(item, Group) and has_amount(item.items)
        elif isinstance(item, Group) and _is_remainder(item):
            return [*items[:at], *items[at + 1 :]]
        elif isinstance(item, str) and items[at - 1] not in WITH and _is_kept_back(items, at):
            is_one_more = item in _ONE_MORE and is_one(items[0]) and items[at + 1] in CUT
            if (item in FURTHER or is_one_more) and _is_one_more(items, at, reader):
                return [*items[:at], *items[at + 1 :]]
            return items if mixes_a_wash(items[:at], items[at:], reader.names) else items[:at]
    return items


def _is_one_more(items: Sequence[Item], at: int, reader: Reader) -> bool:
    """Whether “more” is of a counted thing, and all of it set aside: ``1 more egg, for the wash``."""
    first = items[at - 1]
    if isinstance(first, Measure):
        return first.kind == COUNT
    count, words = items[0], bare_words(items[1:at])
    is_named = len(words) == at - 1 and reader.names.named_as_spelt(words).ingredient is not None
    return isinstance(count, Measure) and count.kind == COUNT and is_named


def _behind_more(items: Sequence[Item], at: int) -> int:
    """Where the amount is behind words that more is set aside: ``plus a little extra for dusting 500 g``."""
    end = next((n for n in range(at, len(items)) if isinstance(items[n], (Measure, Group))), 0)
    is_more = not FURTHER.isdisjoint(bare_words(items[at:end])) and _is_kept_back(items[:end], at)
    return end if is_more else 0


def _with_sum_behind(items: list[Item]) -> tuple[list[Item], tuple[Doubt, ...]]:
    """The items, an amount that is added behind the name to the first: ``150 ml latte + 2 cucchiai``.

    Behind a comma it may be for the table: ``500 g flour, plus 2 tablespoons``.
    """
    if len(items) < LEAST_OF_SUM or not isinstance(items[0], Measure) or type(items[1]) is not str:
        return items, ()
    at = next((n for n, item in enumerate(items) if n > 1 and isinstance(item, str) and item in ADD), 0)
    first, behind = items[0], items[at + 1 :] if at else []
    added = [item for item in behind if not isinstance(item, str)]
    if len(added) != 1 or not all(isinstance(item, str) for item in items[1:at]):
        return items, ()
    (last,) = added
    if not isinstance(last, Measure) or first.more:
        return items, ()
    if first.kind not in (MASS, VOLUME) or last.kind not in (MASS, VOLUME):
        return items, ()
    words = bare_words(behind)
    if not FURTHER.isdisjoint(words) or not all(plain_word(word) in PLAIN for word in words):
        return items, ()
    if items[at - 1] != ",":
        return [first._replace(more=(last,)), *items[1:at]], ()
    return [first._replace(more=(last,)), *items[1 : at - 1]], (Doubt.of(LIKELY, "part_not_dough"),)


def _without_added(items: list[Item]) -> list[Item]:
    """Without what is set aside behind a sum: ``latte 200 g + 30 g per spennellare``."""
    for at, item in enumerate(items):
        if (
            not isinstance(item, Measure)
            or not item.more
            or not any(type(each) is str for each in items[:at])
        ):
            continue
        if sections.ASIDE_WORDS.found_in(joined_words(items[at + 1 :])):
            return [*items[:at], item._replace(more=())]
    return items


def _is_kept_back(items: Sequence[Item], at: int) -> bool:
    """Whether what starts at a place is set aside: ``plus more for dusting``, ``the rest for brushing``."""
    is_rest = items[at] in _KEPT_BACK or not has_amount(items[at:]) and _is_the_rest(items, at)
    return is_rest and sections.ASIDE_WORDS.found_in(joined_words(items[at:])) is not None


def _is_the_rest(items: Sequence[Item], at: int) -> bool:
    """Whether the rest is named at a place, or behind a verb there: ``keep aside the rest``.

    Behind “or” another kind is named: ``canola or other oil, for the bowl``.
    """
    if items[at] in _THE_REST:
        return items[at - 1] not in CHOOSE
    is_verb = type(items[at]) is str and plain_word(str(items[at])) in KEPT - REMAINING
    return is_verb and not _THE_REST.isdisjoint(bare_words(items[at + 1 : at + 1 + _MOST_BEFORE_REST]))


def _after_colon(items: list[Item]) -> list[Item]:
    """Without the amounts before a colon that the amount follows: ``flour with 13 g of protein: 350 g``."""
    at = next((at for at, item in enumerate(items) if isinstance(item, Mark) and item == ":"), None)
    if at is None or not is_amount(items, at + 1) or not any(type(item) is str for item in items[:at]):
        return items
    before = [item for item in items[:at] if not isinstance(item, Measure) or item.kind == PERCENT]
    return [*before, *items[at + 1 :]]


def _before_dash(items: list[Item], reader: Reader) -> list[Item]:
    """Without a sentence behind a dash, where the amount is before it: ``2 cups flour – it gives …``."""
    for at, item in enumerate(items):
        is_dash = isinstance(item, Mark) and item in _DASHES
        if not is_dash or not any(is_amount(items, n) for n in range(at)):
            continue
        behind = bare_words(items[at + 1 :])
        if len(behind) < _LEAST_REMARK or any(is_amount(items, n) for n in range(at + 1, len(items))):
            return items
        words = joined_words(items[at:])
        if sections.ASIDE_WORDS.found_in(words) or sections.SCALD_WORDS.found_in(words):
            return items
        before = bare_words(items[:at])
        return items[:at] if reader.names.named_as_spelt(before).ingredient else items
    return items


def _without_alternatives(items: list[Item], reader: Reader) -> list[Item]:
    """Without another ingredient that would do, with its own amount: ``7 g dry or 15 g fresh``."""
    measured = False
    kept: list[Item] = []
    for at, item in enumerate(items):
        if type(item) is str and item in CHOOSE and is_amount(items, at + 1):
            words = bare_words(items[at + 2 :])
            before = tuple(word for word in bare_words(items[:at]) if word not in CHOOSE)
            if measured and before and words and _would_do(words, items[:at], reader):
                return kept
            if not measured and before and reader.names.named_as_spelt(before).ingredient:
                return kept  # Mark einer Vanilleschote, ersatzweise 1 Päckchen Vanillezucker
        elif measured and isinstance(item, str) and _names_other(items, at, reader):
            return kept
        if isinstance(item, Group) and measured | is_amount(items, at + 1) and _is_other(item, items, reader):
            continue
        measured = measured or is_amount(items, at)
        kept.append(item)
    return kept


def _names_other(items: Sequence[Item], at: int, reader: Reader) -> bool:
    """Whether “or” and the name of another thing with its amount are at a place: ``3 g, or fresh yeast 9 g``.

    So behind a stroke or an equals sign between two yeasts: ``新鮮酵母 9g=乾酵母 3g``.
    """
    is_mark = isinstance(items[at], Mark)
    if items[at] not in (_STROKES if is_mark else CHOOSE):
        return False
    end = next((n for n in range(at + 1, len(items)) if type(items[n]) is not str), len(items))
    if end == at + 1 or not is_amount(items, end):
        return False
    other = reader.names.named_as_spelt(bare_words(items[at + 1 : end])).ingredient
    if other is None or not is_mark:
        return other is not None
    first = reader.names.named_as_spelt(bare_words(items[:at])).ingredient
    return first is not None and first.yeast is not None and other.yeast is not None


def _would_do(words: tuple[str, ...], before: Sequence[Item], reader: Reader) -> bool:
    """Whether words behind “or” name another ingredient, or another kind of the yeast: ``7 g dried``."""
    if reader.names.named_as_spelt(words).ingredient:
        return True
    first = reader.names.named_as_spelt(bare_words(before)).ingredient
    return first is not None and first.yeast is not None


def _is_other(group: Group, items: Sequence[Item], reader: Reader) -> bool:
    """Whether what is in parentheses is the amount of something else than what is outside."""
    if not has_amount(group.items):
        return False
    if group.items and type(group.items[0]) is str and group.items[0] in CHOOSE:
        return True
    words = bare_words(group.items)
    if not EQUAL.isdisjoint(words) and _BESIDE_EQUAL.issuperset(words):
        return False
    inside = reader.names.named_as_spelt(words).ingredient if words else None
    if (any(map(_says_instead, words)) or _says_up_to(words)) and (inside or _EQUAL.isdisjoint(words)):
        return True
    if inside is None:
        return False
    outside = reader.names.named_as_spelt(bare_words(items))
    return outside.ingredient is not None and outside.ingredient is not inside


def _says_instead(word: str) -> bool:
    """Whether a word says what would do: ``instead``, or at its end without spaces: ``ドライなら``."""
    return word in INSTEAD or word.endswith(_INSTEAD_SPACELESS)


def _says_up_to(words: Sequence[str]) -> bool:
    """Whether words tell another amount for another taste: ``喜歡甜的加到40克``."""
    said = "".join(words)
    return is_spaceless(said) and any(map(said.__contains__, _INSTEAD_SPACELESS))


def _is_remainder(group: Group) -> bool:
    """Whether what is in parentheses is set aside beside the amount: ``(plus more for dusting)``."""
    if not group.items:
        return False
    if group.items[0] in _KEPT_BACK:
        return True
    words = joined_words([group])
    kept = any(plain_word(word) in KEPT or word[0] in KEPT or word[:2] in KEPT for word in words.split())
    return kept and (sections.ASIDE_WORDS.found_in(words) is not None or group.items[0] in KEPT)


def _kept_whole(items: Sequence[Item]) -> tuple[Doubt, ...]:
    """A doubt where parentheses say that it is kept for the crust: ``(reserve for egg wash)``."""
    for item in items:
        if not isinstance(item, Group) or has_amount(item.items) or not _is_remainder(item):
            continue
        words = bare_words(item.items)
        if is_spaceless("".join(words)) or item.items[0] in _KEPT_BACK:
            continue
        if _A_PART.isdisjoint(words):
            return (Doubt.of(LIKELY, "part_not_dough"),)
    return ()


def _apportioned(items: list[Item]) -> tuple[list[Item], tuple[Doubt, ...]]:
    """``2 eggs, 1 for the dough``: the amount that is for the dough, with a doubt."""
    for at, item in enumerate(items):
        if isinstance(item, Group) and at and not any(isinstance(each, Group) for each in item.items):
            found, doubts = _apportioned([*items[:at], *_first_clause(without_parentheses(item))])
            if doubts:
                return [*found, *items[at + 1 :]], doubts
    weighed = sum(isinstance(item, Measure) and item.kind == MASS for item in items)
    is_part = weighed > 1 and any(item in OF_WHICH for item in items)
    kinds = (MASS,) if is_part else (COUNT, PIECE)  # 50g, うち10gは塗り卵用
    counts = [at for at, item in enumerate(items) if isinstance(item, Measure) and item.kind in kinds]
    if len(counts) != 2:
        return items, ()
    first, second = counts
    behind = sections.title_of([str(item) for item in items[second + 1 :] if type(item) is str])
    whole, part = items[first], items[second]
    if (
        not isinstance(whole, Measure)
        or not isinstance(part, Measure)
        or part.quantity.best > whole.quantity.best
    ):
        return items, ()
    if behind.part == DOUGH:
        kept = [*items[:first], part, *items[first + 1 : second]]
        return kept, (Doubt.of(LIKELY, "rest_not_dough"),)
    between = [item for item in items[first + 1 : second] if item not in OF_WHICH]
    if whole.kind in (COUNT, PIECE) and sections.title_of(list(bare_words(between))) == (DOUGH, True):
        return items[: first + 1], (Doubt.of(LIKELY, "rest_not_dough"),)  # : 2 for the dough, 1 to brush
    if sections.ASIDE_WORDS.found_in(joined_words(items[second + 1 :])):
        left = whole.quantity.best - part.quantity.best
        rest = whole._replace(quantity=whole.quantity._replace(low=left, best=left, high=left))
        return [*items[:first], rest, *between], (Doubt.of(LIKELY, "part_not_dough"),)
    return items, ()


def _with_counted_part(items: list[Item]) -> list[Item]:
    """The items, the number in words of a part as a measure: ``2 œufs dont un``, ``uno de ellos``."""
    for at, item in enumerate(items):
        if isinstance(item, Group) and any(type(each) is str and each in OF_WHICH for each in item.items):
            return [*items[:at], Group(tuple(_with_counted_part(list(item.items)))), *items[at + 1 :]]
        for place in (at + 1, at - 2) if type(item) is str and item in OF_WHICH else ():
            if 0 <= place < len(items) and type(items[place]) is str and items[place] in NUMBERS:
                one = Measure(certain(NUMBERS[str(items[place])]), NO_UNIT)
                return [*items[:place], one, *items[place + 1 :]]
    return items


def _without_part_for_yeast(items: list[Item], reader: Reader) -> list[Item]:
    """Without what is said of a part for the yeast, which is dough too: ``, of which 5 g for the yeast``."""
    for at, item in enumerate(items):
        if isinstance(item, Group):
            start, said, rest = at, item.items, items[at + 1 :]
        elif type(item) is str and item in OF_WHICH:
            start, said, rest = _lead_at(items, at), tuple(items[at:]), []
        else:
            continue
        has_part = sum([isinstance(each, Measure) and each.kind == MASS for each in said]) == 1
        if not start or not has_part or not any(type(each) is str and each in OF_WHICH for each in said):
            continue
        named = (match.ingredient for match, _ in reader.names.all_in(bare_words(said)))
        if any(each and each.yeast for each in named):
            return [*items[:start], *rest]
    return items


def _lead_at(items: Sequence[Item], at: int) -> int:
    """Where the words begin that lead to “which” at a place: a comma, ``of``, ``de los``."""
    while at and (items[at - 1] in OF or items[at - 1] in _LEADING):
        at -= 1
    return at


def _first_clause(items: Sequence[Item]) -> list[Item]:
    """The items up to the second amount: ``2 for the bread`` of ``2 for the bread and 1 for egg wash``."""
    amounts = [at for at, item in enumerate(items) if isinstance(item, Measure)]
    if len(amounts) < 2:
        return list(items)
    between = items[amounts[1] - 1]
    return list(items[: amounts[1] - 1] if type(between) is str or between == "," else items)


def of_a_filling(items: Sequence[Item]) -> str | None:
    """What parentheses say that a thing is for, where that is a crust or a filling: ``糖粉(菠萝皮)``."""
    said = _said_apart(items)
    titles = list(map(sections.title_of, map(lambda words: [words], said)))
    if any(title.part == DOUGH for title in titles):
        return None
    for words, title in zip(said, titles, strict=True):
        is_aside = title.part == OUTSIDE and title.exact or sections.ends_with_aside(words.removesuffix("用"))
        if is_aside and name_words(words) not in NAMES and plain_word(words) not in PLAIN:
            return words
    return None


def said_outside(items: Sequence[Item]) -> str | None:
    """The part beside the dough that a line names in parentheses or behind a comma: ``sugar (filling)``."""
    if "," not in items and Group not in map(type, items):
        return None  # most lines
    groups = [bare_words(item.items) for item in items if isinstance(item, Group) and _are_words(item.items)]
    last = next((at for at in range(len(items) - 1, 0, -1) if items[at] == ","), len(items))
    tail = [bare_words(items[last + 1 :])] if _are_words(items[last + 1 :]) else []
    named = (each for each in [*groups, *tail] if sections.title_of(each) == (OUTSIDE, True))
    return next((words for words in map(" ".join, named) if _is_no_name(words)), None)


def _is_no_name(words: str) -> bool:
    return name_words(words) not in NAMES and not is_spaceless(words)


def _are_words(items: Sequence[Item]) -> bool:
    return all(type(item) is str for item in items)


def _said_apart(items: Sequence[Item]) -> list[str]:
    """What parentheses say, in scripts without spaces, where they hold words only."""
    groups = [item for item in items if isinstance(item, Group) and all(type(e) is str for e in item.items)]
    return [said for group in groups if is_spaceless(said := "".join(map(str, group.items)))]


def _is_for_something(said: str, reader: Reader) -> bool:
    """Whether words say what for, and no dough: ``フライ用``."""
    if not said.endswith("用") or said.endswith(_NOT_FOR):
        return False
    return sections.title_of([said]).part is None and not reader.names.is_harmless(said)


def _without_part(items: list[Item]) -> list[Item]:
    """Without the name of the dough behind an amount, in scripts without spaces: ``砂糖 15g 本ごね``."""
    if len(items) < 3 or type(items[-1]) is not str or not isinstance(items[-2], Measure):
        return items
    said = str(items[-1])
    return items[:-1] if is_spaceless(said) and sections.title_of([said]) == (DOUGH, True) else items


def trimmed(items: list[Item], reader: Reader) -> tuple[list[Item], tuple[Doubt, ...]]:
    """The items of one ingredient without what is beside its amount, with the doubts that this leaves."""
    items, added = _with_sum_behind(
        without_excluded(without_yeast(without_allowed(items, reader.names), reader.names))
    )
    items = _after_colon(without_step(_with_counted_part(items)))
    items, of_egg = without_other_part(_without_part(_without_added(items)), reader)
    items, doubts = portioned(with_filling(_without_part_for_yeast(items, reader)))
    doubts = (*of_egg, *doubts, *_kept_whole(items))
    items = _before_dash(without_condition(_without_remainder(items, reader)), reader)
    items, more = _apportioned(_without_alternatives(items, reader))
    said = [sections.title_of([words]).part for words in _said_apart(items)]
    if SCALD in said and any(isinstance(item, Measure) and item.more for item in items):
        more = (*more, Doubt.of(UNSURE, "part_for_scald"))  # 280克+20克(湯種)
    if of_a_filling(items) or any(_is_for_something(said, reader) for said in _said_apart(items)):
        more = (*more, Doubt.of(LIKELY, "filling"))
    return items, added + doubts + more
