"""One ingredient of a line: its name, its measures, its part, and every doubt about them."""

from collections.abc import Sequence

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing import sections
from scaldloaf.importing.doubt import LIKELY, NOT_READ, UNSURE, Doubt
from scaldloaf.importing.masses import CUBED_YEAST, Choices, agreement, best_measure, times_count, weigh
from scaldloaf.importing.measures import Group, Item, Mark, Measure, is_type, unit_of_word
from scaldloaf.importing.names import Named, Names
from scaldloaf.importing.readings import Reader, Reading, mention, unread
from scaldloaf.importing.vocabulary import (
    ADD,
    CHOOSE,
    CONTAINER,
    COUNT,
    CUBE,
    EACH,
    EGG_SIZES,
    HALF,
    KEPT,
    MASS,
    OUTSIDE,
    PACKET,
    PERCENT,
    PIECE,
    REMARK,
    STICK,
    VOLUME,
    is_spaceless,
    plain_word,
)
from scaldloaf.reference import Ingredient, coefficient

_SEPARATORS = frozenset((",", ";", "、")) | ADD
_WITH = frozenset(("with", "mit", "avec", "con"))  # between two amounts
_MEASURED = (Group, Measure)
_KEPT_BACK = ADD | {"more", "extra", "additional", "mehr", "etwas", "zusätzlich", "encore", "extra", "una", "un"}
_MOST_NAME_ITEMS = 5  # words and marks of a name between two amounts
_SHARED = frozenset(("各", "ずつ", "each", "jeweils", "je", "chacun", "cada"))


def ingredients_of(items: list[Item], reader: Reader) -> list[list[Item]]:
    """The items of each ingredient of a line; one list unless several have a measure and a name each."""
    if shared := _sharing(items, reader):
        return shared
    chunks: list[list[Item]] = [[]]
    for at, item in enumerate(items):
        if isinstance(item, str) and item in _SEPARATORS and chunks[-1]:
            chunks.append([])
        elif type(item) is str and item in _WITH and _is_amount(items, at + 1):
            chunks.append([])
        elif _starts_another(items, at, chunks[-1], reader):
            chunks.append([])
        chunks[-1].append(item)
    measured = [
        any([isinstance(item, Measure) and item.kind != REMARK for item in chunk]) for chunk in chunks
    ]
    if sum(measured) < 2:
        return [items]
    whole = [
        is_measured
        and any(reader.names.named_as_spelt(phrase).ingredient for phrase in _phrases(_without_units(chunk)))
        for is_measured, chunk in zip(measured, chunks, strict=True)
    ]
    if sum(whole) < 2:
        return [items]
    joined: list[list[Item]] = []
    for chunk, is_whole in zip(chunks, whole, strict=True):
        if is_whole or not joined:
            joined.append(list(chunk))
        else:
            joined[-1].extend(chunk)
    if not whole[0] and len(joined) > 1:
        joined[1] = joined[0] + joined[1]
        del joined[0]
    return joined


def _starts_another(items: Sequence[Item], at: int, chunk: Sequence[Item], reader: Reader) -> bool:
    """Whether another name and amount start at a place behind a name and an amount: ``塩 4g 砂糖 20g``."""
    item, after = items[at], items[at + 1] if at + 1 < len(items) else None
    if _is_amount(items, at) and type(after) is str:
        return _names_one_behind(items, at, chunk, reader)
    if type(item) is not str or isinstance(item, Mark):
        return False
    words, end = [item], at + 1
    while end < len(items) and end < at + _MOST_NAME_ITEMS and (type(items[end]) is str or items[end] == ":"):
        if items[end] in _SEPARATORS:
            return False
        if type(items[end]) is str:
            words.append(str(items[end]))
        end += 1
    if not _is_amount(items, end):
        return False
    if not any(isinstance(each, Measure) and each.kind not in (REMARK, PERCENT, COUNT) for each in chunk):
        return False
    if not isinstance(chunk[-1], _MEASURED) or not type(chunk[0]) is str:
        return False
    return reader.names.named_as_spelt(tuple(words)).ingredient is not None


def _is_amount(items: Sequence[Item], at: int) -> bool:
    """Whether an amount of an ingredient is at a place."""
    item = items[at] if at < len(items) else None
    return isinstance(item, Measure) and item.kind not in (REMARK, PERCENT)


def _names_one_behind(items: Sequence[Item], at: int, chunk: Sequence[Item], reader: Reader) -> bool:
    """Whether an amount starts another ingredient: ``500 g flour 8 g salt``, each amount before its name."""
    if not chunk or not _is_amount(chunk, 0) or type(chunk[-1]) is not str or chunk[-1] in CHOOSE:
        return False
    words = [str(item) for item in chunk if type(item) is str]
    if not words or not reader.names.named_as_spelt(tuple(words)).ingredient:
        return False
    behind: list[str] = []
    for item in items[at + 1 :]:
        if type(item) is not str:
            break
        behind.append(item)
    return reader.names.named_as_spelt(tuple(behind)).ingredient is not None


def _sharing(items: list[Item], reader: Reader) -> list[list[Item]] | None:
    """``糖、鹽各5克``: several names with an amount for each of them."""
    at = next((at for at, item in enumerate(items) if type(item) is str and item in _SHARED), None)
    if not at:
        return None
    measures = [item for item in items if isinstance(item, Measure) and item.kind not in (REMARK, PERCENT)]
    if len(measures) != 1 or not (items[at + 1 :] and items[at + 1] is measures[0] or items[at - 1] is measures[0]):
        return None
    names: list[list[Item]] = [[]]
    for item in items:
        if isinstance(item, str) and item in _SEPARATORS:
            names.append([])
        elif type(item) is str and item not in _SHARED:
            names[-1].append(item)
    known = [name for name in names if name and reader.names.named_as_spelt(tuple(map(str, name))).ingredient]
    if len(known) < 2 or len(known) < len([name for name in names if name]):
        return None
    return [[*name, measures[0]] for name in known]


def _phrases(items: Sequence[Item]) -> list[tuple[str, ...]]:
    """The words outside parentheses, by the commas between them."""
    phrases, phrase = [], []
    for item in items:
        if type(item) is str:
            phrase.append(item)
        elif isinstance(item, Mark):
            if item in ",;、:":
                phrases.append(phrase)
                phrase = []
            elif item in "/+&":
                phrase.append("or" if item == "/" else "and")
    return [tuple(phrase) for phrase in (*phrases, phrase) if phrase]


def _without_units(items: Sequence[Item]) -> list[Item]:
    """Without the word for what is counted: ``packets`` in ``2 (7 g) packets``."""
    kept: list[Item] = []
    counted = False
    for item in items:
        unit = unit_of_word(item) if counted else None
        if unit is None or unit.kind not in (CONTAINER, PACKET, STICK, CUBE):
            kept.append(item)
            counted = isinstance(item, _MEASURED)
    return kept


def _named(items: Sequence[Item], names: Names) -> Named:
    """The ingredient that the items name: the first phrase that names one, refined by the others."""
    phrases = _phrases(_without_units(items))
    best = Named(None, (Doubt(NOT_READ, "no ingredient named"),))
    for at, phrase in enumerate(phrases):
        named = names.named(phrase)
        if named.ingredient is None:
            best = best if best.alternatives or at and not named.alternatives else named
            continue
        inside = [phrase for item in items if isinstance(item, Group) for phrase in _phrases(item.items)]
        for other in (*phrases[at + 1 :], *inside):
            named = names.refined(named, other)
        return named
    return best


def _measures(items: Sequence[Item]) -> tuple[list[Measure], list[Measure]]:
    """The measures of one ingredient, and its percentages; counts of packets multiplied out."""
    measures: list[Measure] = []
    percents: list[Measure] = []
    for at, item in enumerate(items):
        if not isinstance(item, _MEASURED):
            continue
        before = items[at - 1] if at else None
        counted = measures[-1] if measures and before is measures[-1] else None
        if isinstance(item, Group):
            _add_inside(item, counted, _is_held(items, at + 1), measures)
        elif item.kind == PERCENT:
            percents.append(item)
        elif counted and counted.kind == COUNT and _is_held(items, at + 1):
            measures[-1] = times_count(counted, item)
        elif item.kind == MASS and measures and measures[-1].kind == PACKET and _is_each(items, at):
            measures[-1] = times_count(measures[-1], item)
        elif item.kind != REMARK and not is_type(item, before):
            measures.append(item)
    return measures, percents


def _is_each(items: Sequence[Item], at: int) -> bool:
    """Whether the amount at a place is that of each of the packets before it: ``2 Päckchen à 7 g``."""
    return at > 1 and items[at - 1] in EACH and isinstance(items[at - 2], Measure)


def _is_held(items: Sequence[Item], at: int) -> bool:
    """Whether the word at a place is of what holds an amount: ``packets``."""
    unit = unit_of_word(items[at]) if at < len(items) else None
    return unit is not None and unit.kind in (CONTAINER, PACKET, STICK)


def _add_inside(group: Group, counted: Measure | None, is_held: bool, measures: list[Measure]) -> None:
    """The measures in parentheses, added to those before."""
    for inside in group.items:
        if isinstance(inside, Measure) and inside.kind not in (PERCENT, REMARK):
            total = _in_all(counted, inside, is_held)
            if total is not inside and counted is measures[-1] and counted.kind in (COUNT, CONTAINER):
                measures.pop()  # the count is in the total
            measures.append(total)


def _in_all(counted: Measure | None, inside: Measure, is_held: bool) -> Measure:
    """A measure in parentheses, times the count of packets before it if it is that of one."""
    if counted is None or inside.kind not in (MASS, VOLUME):
        return inside
    each = (
        counted.kind == CONTAINER
        or counted.kind == COUNT
        and is_held
        or inside.is_each
        and counted.kind not in (MASS, VOLUME)
        or counted.kind == PACKET
        and _is_of_one(counted, inside)
    )
    return times_count(counted, inside) if each else inside


def _is_of_one(counted: Measure, measure: Measure) -> bool:
    """``2 packets (7 g)``: nearer to what one packet holds than to what all of them do."""
    one = coefficient("yeast_packet_g").value
    grams = measure.quantity.best * (measure.unit.grams or 1.0)
    return counted.quantity.best > 1 and abs(grams - one) < abs(grams - counted.quantity.best * one)


def read_ingredients(items: list[Item], blank: Reading, reader: Reader, faults: list[str]) -> list[Reading]:
    """The reading of one ingredient; two where a part of it is for the scald: ``500 g (25 g for the scald)``.

    Parameters
        items : list[Item]  of that ingredient
        blank : Reading  of the line, without what is read here
        reader : Reader  what the recipe's lines share
        faults : list[str]  numbers of the line that can't be read, and why
    Returns
        list[Reading]
    """
    for at, item in enumerate(items):
        if not isinstance(item, Group) or not sections.SCALD_WORDS.found_in(joined_words([item])):
            continue
        parts = [inside for inside in item.items if isinstance(inside, Measure) and inside.kind in (MASS, VOLUME)]
        whole = read_ingredient([*items[:at], *items[at + 1 :]], blank, reader, faults)
        if len(parts) == 1 and whole.ingredient and whole.mass and whole.part == DOUGH:
            portion = weigh(parts[0]._replace(is_inside=False), whole.ingredient, reader.choices).mass
            if portion and portion.best < whole.mass.best:
                return in_two(whole, portion, "a part of the line is for the scald", reader)
    return [read_ingredient(items, blank, reader, faults)]


def in_two(whole: Reading, portion: Estimate, why: str, reader: Reader) -> list[Reading]:
    """A reading of which a portion goes into the scald.

    Parameters
        whole : Reading  of the dough, with its mass
        portion : Estimate  [g]
        why : str  of the doubt
        reader : Reader  what the recipe's lines share
    Returns
        list[Reading]  scald, dough
    """
    mass = whole.mass
    if mass is None:
        return [whole]
    doubt = Doubt(LIKELY, why)
    rest = Estimate(
        max(0.0, mass.low - portion.high),
        mass.best - portion.best,
        max(mass.best - portion.best, mass.high - portion.low),
        mass.evidence,
    )
    reader.has_scald = True
    return [
        whole._replace(part=SCALD, mass=portion, section_doubts=(doubt,), expression=f"{portion.best:.6g} g as written"),
        whole._replace(
            mass=rest,
            section_doubts=(*whole.section_doubts, doubt),
            expression=f"{mass.best:.6g} g − {portion.best:.6g} g",
        ),
    ]


def read_ingredient(items: list[Item], blank: Reading, reader: Reader, faults: list[str]) -> Reading:
    """One ingredient with its measures and every doubt about them.

    Parameters
        items : list[Item]  of that ingredient
        blank : Reading  of the line, without what is read here
        reader : Reader  what the recipe's lines share
        faults : list[str]  numbers of the line that can't be read, and why
    Returns
        Reading
    """
    items = _without_alternatives(_without_remainder(_after_colon(items)), reader)
    items, apportioned = _apportioned(items)
    plain = joined_words(items)
    measures, percents = _measures(items)
    blank = blank._replace(doubts=(*blank.doubts, *apportioned))
    if any(measure.kind == CUBE for measure in measures):
        named = _named(items, reader.names.choosing(yeast=CUBED_YEAST))
    else:
        named = _named(items, reader.names)
    scald = sections.SCALD_WORDS.found_in(plain)
    if named.ingredient is None:
        if scald and not sections.ASIDE_WORDS.found_in(plain):
            return _scald_named(blank, plain, scald, measures)
        no_numbers = tuple(Doubt(NOT_READ, fault) for fault in faults)
        doubts = blank.doubts + named.doubts + no_numbers
        if sections.ASIDE_WORDS.found_in(plain):
            blank = blank._replace(part=OUTSIDE, section_doubts=())
        return blank._replace(
            doubts=doubts,
            alternatives=named.alternatives,
            read_as=f"{measures[0].words()} something" if measures else "",
        )
    if sections.ASIDE_WORDS.found_in(plain):
        blank = blank._replace(part=OUTSIDE, section_doubts=())
    elif scald and blank.part == DOUGH and reader.section and reader.is_known and reader.has_scald:
        blank = blank._replace(section_doubts=(Doubt(LIKELY, f"the line names the {scald}, but is in another section"),))
    elif scald and blank.part == DOUGH:
        blank = blank._replace(part=SCALD, section_doubts=())
        reader.has_scald = True
    base = blank._replace(
        ingredient=named.ingredient,
        alternatives=named.alternatives,
        doubts=blank.doubts + named.doubts,
        read_as=named.ingredient.label,
    )
    if " optional " in plain:
        base = base._replace(doubts=(*base.doubts, Doubt(LIKELY, "optional")))
    measures = _in_packets(items, measures, named.ingredient)
    if not measures and percents:
        percent = percents[0]
        return base._replace(
            percent=percent.quantity,
            read_as=f"{percent.words()} {base.read_as}",
            doubts=base.doubts + percent.quantity.doubts,
        )
    if not measures:
        return _without_amount(base, named.ingredient.label, plain, faults)
    size = next(filter(None, map(EGG_SIZES.get, plain.split())), "")
    return _with_mass(base, named.ingredient, measures, reader.choices, size, faults)


def _in_packets(items: Sequence[Item], measures: list[Measure], ingredient: Ingredient) -> list[Measure]:
    """``1 instant yeast packet``: a bare number of what a word behind the name says."""
    if len(measures) != 1 or measures[0].kind != COUNT or not (ingredient.yeast or ingredient.fat_percent > 50):
        return measures
    for item in items:
        unit = unit_of_word(item)
        if unit and unit.kind in (PACKET, CUBE, STICK):
            return [measures[0]._replace(unit=unit)]
    return measures


def mass_in(items: Sequence[Item]) -> Estimate | None:
    """The first weight among some items."""
    for item in items:
        if isinstance(item, Measure) and item.kind == MASS:
            grams = item.unit.grams
            low, best, high = (end * grams for end in item.quantity[:3])
            return Estimate(low, best, high, "exact")
    return None


def _scald_named(blank: Reading, plain: str, scald: str, measures: Sequence[Measure]) -> Reading:
    """The scald named among the ingredients, with the mass of it that is used; whether it is listed is seen later."""
    mass = mass_in(measures)
    half = not HALF.isdisjoint(map(plain_word, plain.split()))
    return unread(blank, f"the ingredients of the {scald} are not listed", part=SCALD, mass=mass, is_half=half)


def _apportioned(items: list[Item]) -> tuple[list[Item], tuple[Doubt, ...]]:
    """``2 eggs, 1 for the dough``: the amount that is for the dough, with a doubt."""
    for at, item in enumerate(items):
        if isinstance(item, Group) and at and not any(isinstance(each, Group) for each in item.items):
            inner = [each._replace(is_inside=False) if isinstance(each, Measure) else each for each in item.items]
            found, doubts = _apportioned([*items[:at], *_first_clause(inner)])
            if doubts:
                return [*found, *items[at + 1 :]], doubts
    counts = [at for at, item in enumerate(items) if isinstance(item, Measure) and item.kind in (COUNT, PIECE)]
    if len(counts) != 2:
        return items, ()
    first, second = counts
    behind = sections.title_of([str(item) for item in items[second + 1 :] if type(item) is str])
    whole, part = items[first], items[second]
    if not isinstance(whole, Measure) or not isinstance(part, Measure) or part.quantity.best > whole.quantity.best:
        return items, ()
    if behind.part == DOUGH:
        kept = [*items[:first], part, *items[first + 1 : second]]
        return kept, (Doubt(LIKELY, "the rest of it is not for the dough"),)
    if sections.ASIDE_WORDS.found_in(joined_words(items[second + 1 :])):
        left = whole.quantity.best - part.quantity.best
        rest = whole._replace(quantity=whole.quantity._replace(low=left, best=left, high=left))
        return [*items[:first], rest, *items[first + 1 : second]], (Doubt(LIKELY, "a part of it is not for the dough"),)
    return items, ()


def _first_clause(items: Sequence[Item]) -> list[Item]:
    """The items up to the second amount: ``2 for the bread`` of ``2 for the bread and 1 for egg wash``."""
    amounts = [at for at, item in enumerate(items) if isinstance(item, Measure)]
    end = amounts[1] - 1 if len(amounts) > 1 and type(items[amounts[1] - 1]) is str else len(items)
    return list(items[:end])


def _after_colon(items: list[Item]) -> list[Item]:
    """Without the amounts before a colon that the amount itself follows: ``flour with 13 g of protein: 350 g``."""
    at = next((at for at, item in enumerate(items) if isinstance(item, Mark) and item == ":"), None)
    if at is None or not _is_amount(items, at + 1) or not any(type(item) is str for item in items[:at]):
        return items
    return [*[item for item in items[:at] if not isinstance(item, Measure)], *items[at + 1 :]]


def _without_remainder(items: list[Item]) -> list[Item]:
    """Without what is set aside beside the amount: ``plus more for dusting``, ``and 2 tbsp for the pan``."""
    measured = False
    for at, item in enumerate(items):
        if not measured:
            measured = isinstance(item, Measure)
        elif isinstance(item, Group) and _is_remainder(item):
            return [*items[:at], *items[at + 1 :]]
        elif (
            isinstance(item, str)
            and item in _KEPT_BACK
            and sections.ASIDE_WORDS.found_in(joined_words(items[at:]))
        ):
            return items[:at]
    return items


def _is_remainder(group: Group) -> bool:
    """Whether what is in parentheses is set aside beside the amount: ``(plus more for dusting)``."""
    if not group.items:
        return False
    if group.items[0] in _KEPT_BACK:
        return True
    words = joined_words([group])
    kept = any(plain_word(word) in KEPT or word[0] in KEPT or word[:2] in KEPT for word in words.split())
    return kept and (sections.ASIDE_WORDS.found_in(words) is not None or group.items[0] in KEPT)


def _without_alternatives(items: list[Item], reader: Reader) -> list[Item]:
    """Without another ingredient that would do, with its own amount: ``7 g dry yeast or 15 g fresh``, ``(or 15 g)``."""
    measured = False
    kept: list[Item] = []
    for at, item in enumerate(items):
        if measured and type(item) is str and item in CHOOSE and _is_amount(items, at + 1):
            words = tuple(str(each) for each in items[at + 2 :] if type(each) is str)
            before = any(type(each) is str and each not in CHOOSE for each in items[:at])
            if before and words and reader.names.named_as_spelt(words).ingredient:
                return kept
        if isinstance(item, Group) and measured | _is_amount(items, at + 1) and _is_other(item, items, reader):
            continue
        measured = measured or _is_amount(items, at)
        kept.append(item)
    return kept


def _is_other(group: Group, items: Sequence[Item], reader: Reader) -> bool:
    """Whether what is in parentheses is the amount of something else than what is outside."""
    if not any(_is_amount(group.items, at) for at in range(len(group.items))):
        return False
    if group.items and type(group.items[0]) is str and group.items[0] in CHOOSE:
        return True
    words = tuple(str(item) for item in group.items if type(item) is str)
    inside = reader.names.named_as_spelt(words).ingredient if words else None
    if inside is None:
        return False
    outside = reader.names.named_as_spelt(tuple(str(item) for item in items if type(item) is str))
    return outside.ingredient is not None and outside.ingredient is not inside


def joined_words(items: Sequence[Item]) -> str:
    """The words of items, those in parentheses too, joined and framed by spaces."""
    return f" {' '.join(_words(items))} "


def _words(items: Sequence[Item]) -> list[str]:
    words: list[str] = []
    for item in items:
        if type(item) is str:
            words.append(item)
        elif isinstance(item, Group):
            words += _words(item.items)
    return words


def _without_amount(base: Reading, label: str, plain: str, faults: list[str]) -> Reading:
    vague = sections.VAGUE_WORDS.found_in(plain)
    if faults:
        why = faults[0]
    elif base.part == OUTSIDE or vague:
        why = "no amount that can be weighed" + (f": “{vague}”" if vague else "")
    else:
        why = "no amount"
    return unread(base, why, read_as=f"{label}, no amount")


def _with_mass(
    base: Reading,
    ingredient: Ingredient,
    measures: list[Measure],
    choices: Choices,
    egg_size: str,
    faults: list[str],
) -> Reading:
    """The reading with the mass of its most trustworthy measure, and doubts where others disagree.

    Parameters
        base : Reading  with the ingredient
        ingredient : Ingredient
        measures : list[Measure]  one or more
        choices : Choices
        egg_size : str  that the line names; empty: none
        faults : list[str]  numbers of the line that can't be read, and why
    Returns
        Reading
    """
    weighed = [(measure, weigh(measure, ingredient, choices, egg_size)) for measure in measures]
    masses = [(measure, found.mass) for measure, found in weighed if found.mass is not None]
    if not masses:
        measure, first = weighed[0]
        return base._replace(
            bare=measure.quantity if measure.kind == COUNT else None,
            doubts=base.doubts + first.doubts,
            read_as=f"{measure.words()} {ingredient.label}"
        )
    trusted = best_measure([measure for measure, _ in masses])
    found, mass = next(
        (found, found.mass) for measure, found in weighed if measure is trusted and found.mass is not None
    )
    others = [
        (measure, other)
        for measure, other in masses
        if measure is not trusted and not (measure.kind == COUNT and choices.number_alone_g)
    ]
    doubts = base.doubts + found.doubts + agreement(trusted, mass, ingredient.label, others)
    doubts += tuple(Doubt(UNSURE, fault) for fault in faults)
    unused = [
        measure
        for measure, other in weighed
        if other.mass is None and measure.kind == COUNT and not measure.is_inside
    ]
    doubts += tuple(
        Doubt(UNSURE, f"the number {measure.quantity.best:.6g} was not used") for measure in unused
    )
    return base._replace(
        mass=mass,
        doubts=doubts,
        expression=found.expression,
        sources=found.sources,
        read_as=f"{trusted.words()} {ingredient.label}",
    )
