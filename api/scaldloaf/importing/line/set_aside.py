"""What a line says of its own amount: how the spoon was filled, and how much of it is for something else."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.quantities.amounts import OF, certain
from scaldloaf.importing.quantities.measures import Group, Item, Measure, bare_words, unit_of_word
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt
from scaldloaf.importing.words.vocabulary import (
    ADD,
    BOILING,
    COOKED,
    COUNT,
    CUT,
    FILLED,
    FILLING,
    HALF,
    KEPT,
    KNEADED,
    MASS,
    OF_WHICH,
    OUTSIDE,
    PIECE,
    REMARK,
    SPICE,
    STEPS,
    VOLUME,
    WASH,
    Unit,
    is_spaceless,
    plain_word,
)

# Words that speak of another recipe than this one, and those of another case than its own.
_ORIGINAL = frozenset(("original", "originally", "originalrezept", "ursprünglich", "eigentlich", "originale"))
_CONDITIONS = _ORIGINAL | frozenset(
    ("if", "unless", "can", "could", "wenn", "falls", "kann", "peut", "pouvez", "puede", "potete", "puoi")
)
_PARTICLES = frozenset("をにはへ用入进進取放") | {"用于", "用於", "加入", "放入"}
_LED = OF | {"en"}  # de plus, en plus
_BEHIND_MORE = CUT | {","}
_NEXT = ADD | {"then"}
_DASHES = ("-", "–", "—")
_DONE_NEXT = STEPS | {"cool", "beat", "set", "leave", "let"}
_LEAST_WITH_STEP = 4  # items: an amount, a name, “and”, a verb
_MOST_DONE = 6  # words behind the last amount
_DONE_SPACELESS = tuple(filter(is_spaceless, {*STEPS, *KNEADED}))
_KNEADED_SPACELESS = tuple(filter(is_spaceless, KNEADED))
_DONE_FOR = tuple(filter(is_spaceless, {*COOKED, *BOILING, *FILLED, *WASH}))
_SPOONS = ("spoon", "cup")  # in the labels of what may be heaped
_TAKEN = OF_WHICH | {"reserve", "reserved", "reserving", "save", "saving", "keep", "keeping", "set"}
_SET_APART = _TAKEN | {word for word in KEPT if len(word) > 1}
_KEPT_SPACELESS = tuple(word for word in KEPT if len(word) > 1 and is_spaceless(word))
_FOR = (["for"], ["für"], ["pour"], ["para"], ["per"])
_FOR_WHICH = (["davon", "für"], ["of", "which"])
_PART_OF_EGG = frozenset(("white", "yolk", "eiweiß", "eigelb"))
_SUMS = ADD | {"+"}
_SAME = 0.01  # of an amount and its parts
_MARKS = frozenset((",", ";", ":", "-", "–", "—"))
_PARTED = frozenset((",", ";", "、", "-", "–", "—")) | ADD


def with_filling(items: list[Item]) -> list[Item]:
    """How the one spoon or cup of a line was filled, wherever it is said: ``heaped 1 tsp``, ``(heaped)``."""
    items = _one_of(items)
    places = [at for at, item in enumerate(items) if isinstance(item, Measure) and item.kind == VOLUME]
    if len(places) != 1:
        return items
    measure = items[places[0]]
    if not isinstance(measure, Measure) or measure.filling or not _is_spoon(measure.unit):
        return items
    for at, item in enumerate(items):
        filling = _filling_in(item)
        if filling:
            kept = list(items)
            kept[places[0]] = measure._replace(filling=filling)
            del kept[at]
            return kept
    return items


def _one_of(items: list[Item]) -> list[Item]:
    """``heaped tablespoon of honey``: one of it."""
    if len(items) < 2 or type(items[0]) is not str or not FILLING.get(items[0]):
        return items
    unit = unit_of_word(items[1])
    if unit is None or not _is_spoon(unit):
        return items
    return [Measure(certain(1.0), unit, FILLING[items[0]]), *items[2:]]


def _is_spoon(unit: Unit) -> bool:
    return unit.kind == VOLUME and any(word in unit.label for word in _SPOONS)


def _filling_in(item: Item) -> str:
    """The coefficient that a word names, or parentheses that say only that."""
    if type(item) is str:
        return str(FILLING.get(item, ""))
    if isinstance(item, Group) and item.items and all(type(each) is str for each in item.items):
        words = [str(each) for each in item.items]
        if all(word in FILLING for word in words):
            return next((str(FILLING[word]) for word in words if FILLING[word]), "")
    return ""


def without_more(items: list[Item]) -> list[Item]:
    """Without words that an amount is one more, before what it is for: ``1 œuf de plus pour dorer``."""
    for at in range(2, len(items) - 1):
        if type(items[at]) is not str or items[at] not in ADD or items[at - 1] not in _LED:
            continue
        if items[at + 1] in _BEHIND_MORE:
            return [*items[: at - 1], *items[at + 1 :]]
    return items


def says_what_for(chunk: Sequence[Item]) -> bool:
    """Whether an amount is only for something: ``60 g sugar + 1 tsp for the yeast``."""
    amount = next((at for at, item in enumerate(chunk) if isinstance(item, Measure)), 0)
    return list(chunk[amount + 1 : amount + 2]) in _FOR or list(chunk[amount + 1 : amount + 3]) in _FOR_WHICH


def portioned(items: list[Item]) -> tuple[list[Item], tuple[Doubt, ...]]:
    """The amount that is for the dough: ``100 g butter (70 g for the dough)``, ``…, of which 20 g to brush``.

    What is of another kind (a spoon of an egg) leaves the amount as it is, with a doubt.
    """
    first = next((at for at, item in enumerate(items) if _is_part(item)), None)
    if first is None:
        return items, ()
    for at, item in enumerate(items):
        if at <= first:
            continue
        if isinstance(item, Group):
            said, rest = list(item.items), items[at + 1 :]
        elif starts := _tail_at(items, at, first):
            at, said, rest = starts, items[starts:], []
            if _ends_with_dough(items[:at]):  # 40 g butter for the dough, 20 g for brushing
                return items[:at], (Doubt.of(LIKELY, "rest_not_dough"),)
        else:
            continue
        if found := _portion(items[first], _in_its_unit(items[first], said)):
            measure, before, doubt = found
            inside: list[Item] = [Group(tuple(before))] if before else []
            return [*items[:first], measure, *items[first + 1 : at], *inside, *rest], (doubt,)
    return items, ()


def _ends_with_dough(items: Sequence[Item]) -> bool:
    """Whether items end with words that they are for the dough."""
    words = list(bare_words(items))
    starts = [at for at, word in enumerate(words) if at and [word] in _FOR]
    return any(sections.title_of(words[at:]) == (DOUGH, True) for at in starts)


def _tail_at(items: Sequence[Item], at: int, first: int) -> int:
    """Where the part of a line starts that says what is set aside, by a word of it; 0 where it is none."""
    item, is_apart = items[at], items[at - 1] in _PARTED
    if isinstance(item, Measure):
        kind = item.kind
        if kind == COUNT:
            return at if is_apart and item.quantity.best < 1 else 0
        return at if kind in (MASS, VOLUME) and items[at - 1] in _MARKS else 0  # 60 g, 20 g for the tin
    if type(item) is not str:
        return 0
    if items[at] in OF_WHICH:
        return at - 1 if at - 1 > first and _is_part(items[at - 1]) else at  # 60 g butter, 20 g of which
    half = plain_word(str(items[at])) in HALF and (is_apart or items[at - 2] in _PARTED)
    return at if is_apart and items[at] in _TAKEN or half else 0


def _portion(whole: Item, said: Sequence[Item]) -> tuple[Measure, list[Item], Doubt] | None:
    """What is left of an amount for the dough, what else is said beside it, and the doubt."""
    if not isinstance(whole, Measure) or sections.SCALD_WORDS.found_in(_joined(said)):
        return None
    clauses = _clauses(said)
    measured = [clause for clause in clauses if any(map(_is_part, clause))]
    if kept := _for_dough(whole, measured):
        return kept, [], Doubt.of(LIKELY, "rest_not_dough")
    if not measured and any(map(_is_aside, clauses)):
        words = _joined(said)
        if not HALF.isdisjoint(map(plain_word, words.split())) and words.split()[0] not in ADD:
            half = 0.5 if _PART_OF_EGG.isdisjoint(words.split()) else 1.0
            return _times(whole, half), [], Doubt.of(LIKELY, "part_not_dough")
        vague = any(isinstance(item, Measure) and item.kind == SPICE for item in said)
        if not _TAKEN.isdisjoint(words.split()) and (vague or sections.VAGUE_WORDS.found_in(words)):
            return whole, [], Doubt.of(LIKELY, "part_not_dough")
    if _adds_up(whole, said):
        return whole, [], Doubt.of(UNSURE, "part_not_dough")
    taken = next((at for at, item in enumerate(said) if type(item) is str and item in _SET_APART), None)
    is_kept = any(map("".join(bare_words(said)).__contains__, _KEPT_SPACELESS))  # 5gは塗り用に残す
    if taken is None and (is_kept or said and isinstance(said[0], Measure)):
        taken = 0
    if taken is None or not measured or not all(map(_is_aside, measured)):
        return None
    share = sum(_share(whole, clause) for clause in measured)
    if share >= 1:
        return None
    before = [] if any(map(_is_part, said[:taken])) else [item for item in said[:taken] if item != ";"]
    return _times(whole, 1 - share), before, Doubt.of(LIKELY, "part_not_dough")


def _in_its_unit(whole: Item, said: Sequence[Item]) -> list[Item]:
    """Parts without a unit that add up to the whole, in its unit: ``40克(面团20、馅料20)``."""
    bare = [item for item in said if isinstance(item, Measure) and item.kind == COUNT and not item.unit.label]
    if not isinstance(whole, Measure) or len(bare) < 2:
        return list(said)
    total = sum(item.quantity.best for item in bare)
    if abs(total - whole.quantity.best) > _SAME * total:
        return list(said)
    return [
        item._replace(unit=whole.unit) if isinstance(item, Measure) and item in bare else item
        for item in said
    ]


def _adds_up(whole: Measure, said: Sequence[Item]) -> bool:
    """Whether what is said is only how an amount is shared out, not to what: ``100 g (80 + 20)``."""
    parts = [part for item in said if isinstance(item, Measure) for part in (item, *item.more)]
    if len(parts) < 2 or any(not isinstance(item, Measure) and item not in _SUMS for item in said):
        return False
    size = _size(whole.unit)
    total = sum(
        part.quantity.best * (_size(part.unit) if part.kind == whole.kind else size) for part in parts
    )
    return abs(total - whole.quantity.best * size) < _SAME * total


def _for_dough(whole: Measure, clauses: Sequence[Sequence[Item]]) -> Measure | None:
    """What is said to be for the dough: ``100 g (70 g for the dough)``, ``卵 1個(25gを生地に)``."""
    is_shared = any(map(_is_aside, clauses))
    for clause in [each for each in clauses if _is_for_dough(each) or is_shared and _is_kneaded(each)]:
        share = _share(whole, clause)
        if 0 < share < 1:
            return _times(whole, share)
        if whole.kind in (COUNT, PIECE) and (part := _weight(clause)):
            return part
    return None


def _weight(clause: Sequence[Item]) -> Measure | None:
    """The weight that is in a clause, as if outside its parentheses."""
    weights = [item for item in clause if isinstance(item, Measure) and item.kind == MASS]
    return weights[0]._replace(is_inside=False) if len(weights) == 1 else None


def _clauses(said: Sequence[Item]) -> list[list[Item]]:
    clauses: list[list[Item]] = [[]]
    for item in said:
        if isinstance(item, str) and (item in _PARTED or item == "/"):
            clauses.append([])
        else:
            clauses[-1].append(item)
    return [
        [*clause, *behind] if _lacks_use(clause, behind) else clause
        for clause, behind in zip(clauses, [*clauses[1:], []], strict=True)
    ]


def _lacks_use(clause: Sequence[Item], behind: Sequence[Item]) -> bool:
    """Whether an amount alone has its use behind a word that parts others: ``35g加入面团``."""
    is_alone = len(clause) == 1 and isinstance(clause[0], Measure)
    return is_alone and is_spaceless(_joined(behind)) and not any(map(_is_part, behind))


def _is_part(item: Item) -> bool:
    return isinstance(item, Measure) and item.kind in (MASS, VOLUME, COUNT, PIECE)


def _joined(items: Sequence[Item]) -> str:
    return f" {' '.join(bare_words(items))} "


def _is_aside(clause: Sequence[Item]) -> bool:
    return sections.ASIDE_WORDS.found_in(_joined(clause)) is not None or _title(clause).part == OUTSIDE


def _is_for_dough(clause: Sequence[Item]) -> bool:
    return not _is_aside(clause) and _title(clause) == (DOUGH, True)


def _is_kneaded(clause: Sequence[Item]) -> bool:
    """Whether an amount is kneaded in, in a script without spaces: ``20g和面``."""
    said = "".join(bare_words(clause))
    is_said = is_spaceless(said) and any(map(said.__contains__, _KNEADED_SPACELESS))
    return is_said and not _is_aside(clause)


def _title(clause: Sequence[Item]) -> sections.Title:
    return sections.title_of([word for word in bare_words(clause) if word not in _PARTICLES])


def _share(whole: Measure, clause: Sequence[Item]) -> float:
    """How much of the whole the amount in a clause is; 0 where they are of different kinds."""
    part = next(item for item in clause if _is_part(item))
    if not isinstance(part, Measure) or part.kind != whole.kind or whole.more:
        return 0.0
    return part.quantity.best * _size(part.unit) / (whole.quantity.best * _size(whole.unit) or 1.0)


def _size(unit: Unit) -> float:
    return unit.grams or unit.cm3.metric or 1.0


def _times(measure: Measure, share: float) -> Measure:
    quantity = measure.quantity
    low, best, high = (end * share for end in quantity[:3])
    return measure._replace(quantity=quantity._replace(low=low, best=best, high=high))


def without_step(items: list[Item]) -> list[Item]:
    """Without what is done next: ``4 cups flour and mix for 5 minutes``."""
    if len(items) < _LEAST_WITH_STEP or not isinstance(items[0], Measure):
        return items
    for at in range(2, len(items) - 1):
        item, after = items[at], items[at + 1]
        if type(item) is str and item in _NEXT and type(after) is str and plain_word(after) in _DONE_NEXT:
            return items[:at]
    return items


def without_what_is_done(items: list[Item]) -> list[Item]:
    """Without what is done with all of a line, behind its last amount: ``酵母3g、黄油25g混合揉面``.

    In scripts without spaces, where nothing parts the two; not where it says what the amount is for.
    """
    last = next((at for at in range(len(items) - 1, 0, -1) if isinstance(items[at], Measure)), 0)
    if not last:
        return items
    measure, tail = items[last], items[last + 1 :]
    said = "".join(map(str, tail))
    before = items[last - 1]
    if not isinstance(measure, Measure) or measure.kind == REMARK or type(before) is not str:
        return items
    if before in FILLING:
        return items  # 約250g高筋麵粉: the name is behind
    if len(tail) > _MOST_DONE or not all(type(item) is str for item in tail) or not is_spaceless(said):
        return items
    if not any(map(said.__contains__, _DONE_SPACELESS)) or any(map(said.__contains__, _DONE_FOR)):
        return items
    framed = f" {said} "
    is_for = sections.ASIDE_WORDS.found_in(framed) or sections.SCALD_WORDS.found_in(framed)
    return items if is_for else items[: last + 1]


def without_original(items: list[Item]) -> list[Item]:
    """Without what another recipe has, behind a dash: ``1100 g Mehl – im Original 1000 g``."""
    for at in [items.index(dash) for dash in _DASHES if dash in items]:
        if at and not _ORIGINAL.isdisjoint(items[at + 1 : at + 4]):
            return items[:at]
    return items


def without_condition(items: list[Item]) -> list[Item]:
    """Without parentheses that say what to do in another case: ``(add ½ cup more if it is dry)``."""
    measured = False
    kept: list[Item] = []
    for item in items:
        if measured and isinstance(item, Group) and any(each in _CONDITIONS for each in item.items):
            continue
        measured = measured or isinstance(item, Measure)
        kept.append(item)
    return kept
