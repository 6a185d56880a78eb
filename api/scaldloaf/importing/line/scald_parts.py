"""The part of a line that goes into the scald: ``500 g flour (25 g for the tangzhong)``."""

from collections.abc import Sequence

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.line.item_words import joined_words
from scaldloaf.importing.line.items import ingredients_of
from scaldloaf.importing.line.of_total import is_of_listed
from scaldloaf.importing.line.unmeasured import is_amount, with_the_unit_before
from scaldloaf.importing.quantities.measures import Group, Item, Mark, Measure, bare_words, unit_of_word
from scaldloaf.importing.quantities.readings import INGREDIENT, Reader, Reading, in_part, mention
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.doubt import LIKELY, SCALD_NOT_LISTED, UNSURE, Doubt
from scaldloaf.importing.words.vocabulary import (
    ADD,
    MASS,
    NO_UNIT,
    OF_WHICH,
    OUTSIDE,
    VOLUME,
    is_spaceless,
)

_APART = frozenset((",", ";", "-", "–", "—"))
_PARTED = frozenset((",", ";", "、")) | ADD
SAME_WITHIN = 0.03
_ROUND_G = 50  # what bakers list of flour is mostly so much, or some times that
_SIZED = (MASS, VOLUME)


def chunks_of(items: list[Item], reader: Reader) -> list[list[Item]]:
    """The items of each ingredient of a line, what is said of a part for the scald in parentheses."""
    return with_the_unit_before(ingredients_of(_with_part_inside(items, reader), reader), reader)


def _with_part_inside(items: list[Item], reader: Reader) -> list[Item]:
    """``500 g flour, of which 25 g for the tangzhong``: what is said of a part, as if in parentheses."""
    items = _with_sum_apart(items)
    if sum([isinstance(item, Measure) for item in items]) < 2:
        return items
    first = next((at for at in range(len(items)) if is_amount(items, at)), len(items))
    for at in range(first + 1, len(items)):
        item = items[at]
        if type(item) is str and item in OF_WHICH or _tells_parts(items, at, first, reader):
            if not sections.SCALD_WORDS.found_in(joined_words(items[at:])):
                continue
            start = at + 1 if isinstance(item, Mark) and item not in ADD else at
            return [*items[:at], Group(tuple(_inside(items[start:])))]
    return items


def _with_sum_apart(items: list[Item]) -> list[Item]:
    """``flour 330 g + 20 g for the roux``: the second amount of a sum as one of its own."""
    if not sections.SCALD_WORDS.found_in(joined_words(items)):
        return items
    for at, item in enumerate(items):
        if at and isinstance(item, Measure) and len(item.more) == 1 and item.more[0].quantity.best > 0:
            return [*items[:at], item._replace(more=()), "+", *item.more, *items[at + 1 :]]
    return items


def _tells_parts(items: Sequence[Item], at: int, first: int, reader: Reader) -> bool:
    """Whether an amount without a name is behind a mark or a plus: ``, plus 25 g for the roux``."""
    item = items[at]
    if not isinstance(item, str) or item not in _APART | ADD or not _is_sized(items, at + 1):
        return False
    if not reader.names.named_as_spelt(bare_words(items[:at])).ingredient:
        return False
    return not any(True for _ in reader.names.all_in(bare_words(items[at + 1 :])))


def _is_sized(items: Sequence[Item], at: int) -> bool:
    item = items[at] if at < len(items) else None
    return isinstance(item, Measure) and item.kind in _SIZED


def _inside(items: Sequence[Item]) -> list[Item]:
    return [item._replace(is_inside=True) if isinstance(item, Measure) else item for item in items]


def _clauses(items: Sequence[Item]) -> list[list[Item]]:
    clauses: list[list[Item]] = [[]]
    for item in items:
        if isinstance(item, str) and item in _PARTED:
            clauses.append([])
        else:
            clauses[-1].append(item)
    return clauses


def part_for_scald(group: Group) -> Measure | None:
    """The amount that parentheses give to the scald, others to the dough; None where they give none."""
    clauses = [
        (clause, sized)
        for clause in _clauses(group.items)
        if (sized := [item for item in clause if isinstance(item, Measure) and item.kind in _SIZED])
    ]
    if len(clauses) > 1:
        clauses = [each for each in clauses if sections.SCALD_WORDS.found_in(joined_words(each[0]))]
    if len(clauses) != 1 or len(clauses[0][1]) != 1:
        return None
    return clauses[0][1][0]._replace(is_inside=False)


def is_more(group: Group) -> bool:
    """Whether what goes into the scald is on top of the amount: ``475 g flour, plus 25 g for the roux``."""
    return bool(group.items) and group.items[0] in ADD


def less(mass: Estimate, portion: Estimate) -> Estimate:
    """What is left of a mass beside a smaller portion of it."""
    best = mass.best - portion.best
    return Estimate(
        max(0.0, mass.low - portion.high), best, max(best, mass.high - portion.low), mass.evidence
    )


def in_two(whole: Reading, portion: Estimate, code: str, reader: Reader) -> list[Reading]:
    """A reading of which a portion goes into the scald.

    Parameters
        whole : Reading  of the dough, with its mass
        portion : Estimate  [g]
        code : str  of the doubt
        reader : Reader  what the recipe's lines share
    Returns
        list[Reading]  scald, dough
    """
    mass = whole.mass
    if mass is None:
        return [whole]
    doubt = Doubt.of(LIKELY, code)
    rest = less(mass, portion)
    reader.has_scald = True
    return [
        whole._replace(
            part=SCALD, mass=portion, section_doubts=(doubt,), expression=f"{portion.best:.6g} g as written"
        ),
        whole._replace(
            mass=rest,
            section_doubts=(*whole.section_doubts, doubt),
            expression=f"{mass.best:.6g} g − {portion.best:.6g} g",
        ),
    ]


def beside_whole(whole: Reading, portion: Estimate, reader: Reader) -> list[Reading]:
    """A reading of the dough, and what goes into the scald on top of it."""
    doubt = Doubt.of(LIKELY, "part_for_scald")
    reader.has_scald = True
    scald = whole._replace(
        part=SCALD, mass=portion, section_doubts=(doubt,), expression=f"{portion.best:.6g} g as written"
    )
    return [scald, whole._replace(section_doubts=(*whole.section_doubts, doubt))]


def without_parts_twice(readings: list[Reading]) -> list[Reading]:
    """The readings, a line of the dough without what a line for the scald takes of it.

    ``of which for the tangzhong: 25 g flour``, ``25 g of the flour listed above for the tangzhong``.
    """
    found = _without_portions_listed(readings)
    doubt = Doubt.of(LIKELY, "part_for_scald")
    for at, reading in enumerate(found):
        if (
            reading.part != SCALD
            or not reading.in_formula
            or not reading.mass
            or not is_of_listed(reading.text)
        ):
            continue
        for place, whole in (*enumerate(found[:at]), *enumerate(found[at:], at)):
            if (
                whole.part == DOUGH
                and whole.in_formula
                and whole.ingredient is reading.ingredient
                and whole.grams > reading.grams
                and whole.mass
                and doubt not in whole.section_doubts
                and not _is_left_over(whole.grams, reading.grams)
            ):
                share = 1 - reading.grams / whole.grams
                found[place] = in_part(whole, share)._replace(section_doubts=(*whole.section_doubts, doubt))
                break
    return found


def _is_beside_flour(reading: Reading, readings: Sequence[Reading]) -> bool:
    """Whether a line has flour too, so that what it says is hardly of its liquid."""
    beside = [each.ingredient for each in readings if each.line == reading.line and each.ingredient]
    is_flour = reading.ingredient is not None and reading.ingredient.is_flour
    return not is_flour and any(each.is_flour for each in beside)


def _is_left_over(rest: float, portion: float) -> bool:
    """Whether a mass is what is left beside a portion, by its digits: 470 g of 500 g, beside 30 g."""
    return rest % _ROUND_G != 0 and (rest + portion) % _ROUND_G == 0


def _without_portions_listed(readings: list[Reading]) -> list[Reading]:
    """The readings; a portion that a line of the dough gives to the scald only mentions what that lists too.

    Lines
        ``30 g flour``  of the scald
        ``500 g flour (30 g of it for the tangzhong)``  of the dough: 470 g
    """
    scald = [each for each in readings if each.part == SCALD and each.in_formula and each.ingredient]
    own = [each for each in scald if not _is_portion(each)]
    if not scald or len(own) == len(scald):
        return list(readings)
    again = [each for each in scald if each not in own and any(_is_same(each, other) for other in own)]
    return [mention(each)._replace(mass=None) if each in again else each for each in readings]


def _is_portion(reading: Reading) -> bool:
    return any(doubt.code == "part_for_scald" for doubt in reading.section_doubts)


def _is_same(portion: Reading, listed: Reading) -> bool:
    """Whether two readings are the same flour, or the same liquid, with the same mass on two lines."""
    first, second = portion.ingredient, listed.ingredient
    is_alike = first is second or bool(first and second and first.is_flour and second.is_flour)
    is_as_heavy = abs(portion.grams - listed.grams) <= SAME_WITHIN * listed.grams
    return is_alike and is_as_heavy and portion.line != listed.line


def names_its_own(words: Sequence[str], reader: Reader) -> bool:
    """Whether the words before a colon are an ingredient of the scald: ``Tangzhong flour: 25 g``."""
    if len(words) < 2 or sections.title_of(words[:1]) != (SCALD, True):
        return False
    return reader.names.named_as_spelt(tuple(words[1:])).ingredient is not None


def is_on_one_line(scald: Sequence[Reading]) -> bool:
    """Whether one line has all that a scald needs, and others are taken to go on with it.

    ``Tangzhong: 20 g flour + 100 g water``, and the list of the dough goes on below.
    """
    if not scald:
        return False
    first = scald[0].line
    own = [each.ingredient for each in scald if each.line == first and each.ingredient]
    has_liquid = any(each.is_liquid for each in own) and not any(each.yeast for each in own)
    rest = [each for each in scald if each.line != first and each.ingredient]
    goes_on = any(doubt.code == "of_heading" for each in rest for doubt in each.section_doubts)
    has_more = goes_on or any(each.ingredient and each.ingredient.is_flour for each in rest)
    return has_liquid and has_more and any(each.is_flour for each in own)


def with_the_rest_in_the_dough(readings: list[Reading], first: int) -> list[Reading]:
    """The readings, those of the scald that are not on its first line in the dough; not its name again."""
    return [
        reading._replace(
            part=DOUGH, section_doubts=(Doubt.of(LIKELY, "not_of_heading", heading=reading.section),)
        )
        if reading.part == SCALD
        and reading.kind == INGREDIENT
        and reading.line != first
        and not any(each.code == SCALD_NOT_LISTED for each in reading.doubts)
        else reading
        for reading in readings
    ]


def with_yeast_in_the_dough(readings: list[Reading]) -> list[Reading]:
    """The readings; a scald with the dough's only yeast in it ends behind its first liquid, never for sure.

    It is listed in the middle of the dough, whose flour is above: flour, ``湯種``, flour, water, salt, yeast.
    """
    inside = [each for each in readings if each.in_formula and each.ingredient and each.part != OUTSIDE]
    yeasts = [each.part for each in inside if each.ingredient and each.ingredient.yeast]
    if set(yeasts) != {SCALD} or inside[0].part != DOUGH or inside[-1].part != SCALD:
        return readings
    flour = ended = False
    found: list[Reading] = []
    for each in readings:
        if each.part == SCALD and each.kind == INGREDIENT and each.ingredient and each.section:
            code, part = ("not_of_heading", DOUGH) if ended else ("of_heading", SCALD)
            ended = ended or flour and bool(each.ingredient.is_liquid)
            flour = flour or each.ingredient.is_flour
            each = each._replace(part=part, section_doubts=(Doubt.of(UNSURE, code, heading=each.section),))
        found.append(each)
    return found if ended else readings


def with_doubt_of_yeast(readings: list[Reading], is_said: bool) -> list[Reading]:
    """The readings, those of a scald with yeast in it to be checked: nobody scalds yeast.

    The heading of the scald went on too far, or the one of the dough was not seen. is_said: the caller says
    what the scald is.
    """
    if is_said:
        return readings
    scald = [reading for reading in readings if reading.part == SCALD and reading.in_formula]
    headings = {reading.section for reading in scald if reading.ingredient and reading.ingredient.yeast}

    def doubted(reading: Reading) -> Reading:
        is_inside = reading.part == SCALD and reading.in_formula and reading.section in headings
        if not is_inside or reading.section_sure == UNSURE:
            return reading
        return reading._replace(section_doubts=(Doubt.of(UNSURE, "of_heading", heading=reading.section),))

    return list(map(doubted, readings))


def in_grams(items: Sequence[Item]) -> list[Item]:
    """Items of which no measure has a unit, with grams in place of none: ``flour 20 + water 100``."""
    measures = [item for item in items if isinstance(item, Measure)]
    gram = unit_of_word("g")
    if gram is None or any(measure.unit is not NO_UNIT for measure in measures):
        return list(items)
    return [item._replace(unit=gram) if isinstance(item, Measure) else item for item in items]


def without_end(items: list[Item]) -> list[Item]:
    """Without what is done with all, behind the last amount of a list: ``強力粉20g＋水100gで作る``."""
    last = next((at for at in range(len(items) - 1, 0, -1) if isinstance(items[at], Measure)), len(items))
    said = items[last + 1 :]
    is_named_before = last > 0 and type(items[min(last, len(items)) - 1]) is str
    is_said = is_named_before and bool(said) and all(type(item) is str for item in said)
    return items[: last + 1] if is_said and is_spaceless("".join(map(str, said))) else items


def is_of_a_scald(readings: Sequence[Reading]) -> bool:
    """Whether some ingredients are flour and a liquid, and no yeast is among them."""
    named = [each.ingredient for each in readings if each.ingredient]
    is_paste = any(each.is_flour for each in named) and any(each.is_liquid for each in named)
    return is_paste and not any(each.yeast for each in named)
