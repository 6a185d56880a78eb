"""Which lines are dough by what they are, where headings do not say so."""

import re
from collections.abc import Collection, Sequence

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.quantities.readings import HEADING, INGREDIENT, Reading
from scaldloaf.importing.words.doubt import LIKELY, SURE, UNKNOWN_HEADING, UNSURE, Doubt
from scaldloaf.importing.words.sections import title_in, title_of
from scaldloaf.importing.words.vocabulary import (
    ADDITIONS,
    LIST,
    OTHERS,
    OUTSIDE,
    SALTS,
    SPONGE,
    heading_words,
)
from scaldloaf.reference import Ingredient

_MARK = re.compile(r"\W*[A-Za-z]\W*")  # a group of ingredients by a letter: 【B】
_LEFT_OPEN = frozenset(("milk_fat", "egg_size"))
LEAST_PARTS, LEAST_ALIKE = 2, 4  # sections, and ingredients, of a list that is given again by its parts
SHARE_ALIKE, SAME_WITHIN = 0.7, 0.03
MOST_LEAN = 50.0  # fat of what is no butter and no oil
LEAST_RICH = 0.7  # sugar and fat of a sweet crust, of its flour; more than of a brioche (from memory)
MOST_PINCH_G = 2.0  # of salt in such a crust


def listed(readings: Sequence[Reading]) -> list[Reading]:
    """The readings that the formula has."""
    return [reading for reading in readings if reading.in_formula]


def others_are_dough(readings: list[Reading], said: Collection[str] = ()) -> list[Reading]:
    """What is listed under “others” as dough, where the dough would have no yeast or no liquid without it.

    Yeast, and salt alone, are of the dough below whatever they are listed, where it has none. said: headings
    whose part the caller says, as ``heading_words`` has them.
    """
    inside = listed(readings)
    flour = any(reading.ingredient and reading.ingredient.is_flour for reading in inside)
    yeast = any(reading.ingredient and reading.ingredient.yeast for reading in inside)
    liquid = any(
        reading.part == DOUGH and reading.ingredient and reading.ingredient.is_liquid for reading in inside
    )
    if not flour:
        return readings
    readings = _with_yeast_and_salt(readings, inside, said)
    if yeast and liquid:
        return readings
    dough = {
        section
        for section, ingredients in _outside(readings).items()
        if (heading_words(section) in OTHERS or heading_words(section).partition(" ")[0] in OTHERS)
        and (
            any(not yeast and each.yeast for each in ingredients)
            or any(not liquid and each.is_liquid for each in ingredients)
        )
    }
    return _as_dough(readings, dough, Doubt.of(LIKELY, "dough_needs_it"))


def _with_yeast_and_salt(
    readings: list[Reading], inside: Sequence[Reading], said: Collection[str]
) -> list[Reading]:
    """``Melted butter`` among the lines may head a list, and may be a line without its amount."""
    names = {reading.ingredient.name for reading in inside if reading.ingredient}
    yeast = any(reading.ingredient and reading.ingredient.yeast for reading in inside)
    headings = {each.section for each in readings if each.kind == HEADING and each.part == OUTSIDE}
    dough = {
        section
        for section, ingredients in _outside(readings).items()
        if section in headings
        and heading_words(section) not in said
        and not (heading_words(section) in OTHERS or heading_words(section).partition(" ")[0] in OTHERS)
        and (
            not yeast
            and any(each.yeast for each in ingredients)
            or names.isdisjoint(SALTS)
            and {each.name for each in ingredients} <= SALTS
        )
    }
    return _as_dough(readings, dough, Doubt.of(UNSURE, "dough_needs_it"))


def dough_by_contents(readings: list[Reading]) -> list[Reading]:
    """A section with flour and yeast as dough, whatever its heading says, where nothing else has flour."""
    if any(reading.ingredient and reading.ingredient.is_flour for reading in listed(readings)):
        return readings
    dough = {
        section
        for section, ingredients in _outside(readings).items()
        if any(each.is_flour for each in ingredients) and any(each.yeast for each in ingredients)
    }
    return _as_dough(readings, dough, Doubt.of(UNSURE, "has_flour_and_yeast"))


def _outside(readings: list[Reading]) -> dict[str, list[Ingredient]]:
    """Section -> what has an amount in it and is not in the dough so far."""
    found: dict[str, list[Ingredient]] = {}
    for reading in readings:
        if reading.kind == INGREDIENT and reading.part == OUTSIDE and reading.mass and reading.ingredient:
            found.setdefault(reading.section, []).append(reading.ingredient)
    return found


def _as_dough(readings: list[Reading], sections: set[str], doubt: Doubt) -> list[Reading]:
    """The readings, with what is outside the dough in some sections as dough."""
    return [
        reading._replace(part=DOUGH, section_doubts=(doubt,))
        if reading.section in sections and reading.part == OUTSIDE and reading.kind == INGREDIENT
        else reading
        for reading in readings
    ]


def sublists(readings: list[Reading]) -> list[Reading]:
    """What follows a line without any amount, behind a whole dough: hardly dough, or at least in doubt.

    ``クリーム`` or ``上に塗る卵`` on a line of its own is the heading of a list as well as a thing; so is
    ``卡仕达酱 200g``, with the milk and the flour that it is made of below.
    """
    before: list[Ingredient] = []
    found = list(readings)
    doubt = Doubt.of(UNSURE, "starts_again")
    for at, reading in enumerate(readings):
        one = reading.ingredient
        if one and one not in before and reading.in_formula and reading.part == DOUGH:
            before.append(one)
        if not (_has_no_amount(reading) or _is_filling(reading)) or not rises(before):
            continue
        end = at + 1
        while end < len(readings) and _goes_on(readings[end], reading):
            end += 1
        below = listed(readings[at + 1 : end])
        behind = [each.ingredient for each in below if each.ingredient]
        if any(each.yeast for each in behind) or not is_whole_dough(before) and not is_crust(below):
            continue
        is_other = any(each.is_flour or each in before for each in behind)
        if reading.part == OUTSIDE and reading.ingredient and not is_other:
            continue  # milk for brushing: it heads nothing
        is_other = is_other or reading.part == OUTSIDE
        for place in range(at + 1, end):
            if found[place].in_formula:
                found[place] = readings[place]._replace(
                    part=OUTSIDE if is_other else DOUGH, section_doubts=(doubt,)
                )
    return found


def without_first_wash(readings: list[Reading]) -> list[Reading]:
    """The readings; what is listed above the first heading is all of a wash where its first line says so.

    ``1 oeuf pour badigeonner``, ``2 c.s. de lait``, and then a heading of the dough.
    """
    heading = next((at for at, each in enumerate(readings) if each.kind == HEADING and at), len(readings))
    first = [at for at, each in enumerate(readings[:heading]) if each.kind == INGREDIENT and each.ingredient]
    inside = [readings[at].ingredient for at in first]
    behind = [each.ingredient for each in listed(readings[heading:]) if each.ingredient]
    if len(first) < 2 or readings[first[0]].part != OUTSIDE or not rises(behind):
        return readings
    if any(each is None or each.is_flour or each.yeast for each in inside):
        return readings
    doubt = Doubt.of(LIKELY, "filling")
    return [
        each._replace(part=OUTSIDE, section_doubts=(doubt,)) if at in first[1:] else each
        for at, each in enumerate(readings)
    ]


def without_totals(readings: list[Reading]) -> list[Reading]:
    """The readings; a list of all ingredients is none of the dough where those of its parts add up to it.

    Such a list comes first, or last. Flour 500 g, and then 25 g and 475 g of it. What it alone has is dough.
    """
    inside = [each for each in readings if each.kind == INGREDIENT and each.ingredient and each.mass]
    sections = list(dict.fromkeys(each.section for each in inside))
    if len(sections) < LEAST_PARTS + 1:
        return readings
    for whole in (sections[0], sections[-1]):
        own = [each for each in inside if each.section == whole and each.part != SCALD]
        parts = [each for each in inside if each.section != whole]
        if title_in(whole).part in (None, LIST, OUTSIDE) and _add_up(own, parts):
            return _without_total(readings, whole)
    return readings


def _without_total(readings: list[Reading], whole: str) -> list[Reading]:
    """The readings; of the list of totals, only what no part names is dough, and never for sure."""
    kinds = {_kind(each.ingredient) for each in readings if each.section != whole and each.ingredient}
    twice, alone = Doubt.of(LIKELY, "listed_twice"), Doubt.of(LIKELY, "may_be_filling")
    found: list[Reading] = []
    for each in readings:
        if each.section == whole and each.kind == INGREDIENT:
            if each.mass and each.ingredient and _kind(each.ingredient) not in kinds:
                each = each._replace(part=DOUGH, section_doubts=(alone,))
            elif each.part != OUTSIDE:
                each = each._replace(part=OUTSIDE, section_doubts=(twice,))
        found.append(each)
    return found


def _kind(ingredient: Ingredient) -> str:
    """What lists call an ingredient, whatever its kind: flour, yeast, egg, milk, butter."""
    if ingredient.is_flour or ingredient.yeast:
        return "yeast" if ingredient.yeast else "flour"
    return "egg" if "egg_" in f"{ingredient.name}_" else ingredient.name.rpartition("_")[2]


def _add_up(whole: Sequence[Reading], parts: Sequence[Reading]) -> bool:
    """Whether most of a list, its flour among it, weighs what all lines of the same weigh elsewhere."""
    sums: list[dict[str, float]] = [{}, {}]
    for found, lines in zip(sums, (whole, parts), strict=True):
        for each in lines:
            if each.ingredient and each.mass:
                name = "flour" if each.ingredient.is_flour else each.ingredient.name
                found[name] = found.get(name, 0.0) + each.grams
    alike = {
        name for name, grams in sums[0].items() if abs(sums[1].get(name, 0.0) - grams) < SAME_WITHIN * grams
    }
    return "flour" in alike and len(alike) >= max(LEAST_ALIKE, SHARE_ALIKE * len(sums[0]))


def _has_no_amount(reading: Reading) -> bool:
    """Whether a line names a thing without any amount, not even a vague one."""
    return (
        reading.kind == INGREDIENT
        and reading.part != SCALD
        and not (reading.mass or reading.percent or reading.bare or reading.weighed)
        and not any(each.code == "vague_amount" for each in reading.doubts)
        and not any(map(str.isdigit, reading.text))
    )


def _is_filling(reading: Reading) -> bool:
    """Whether a line names a filling, which the lines below may be the list of."""
    return reading.part == OUTSIDE and reading.ingredient is None and reading.kind == INGREDIENT


def _goes_on(reading: Reading, first: Reading) -> bool:
    """Whether a reading is of a later line under the same heading, in the dough so far."""
    return (
        reading.kind == INGREDIENT
        and reading.part == DOUGH
        and reading.line > first.line
        and (first.part == OUTSIDE or reading.section == first.section)
    )


def additions(readings: list[Reading]) -> list[Reading]:
    """A doubt about what may be of a filling or of the crust, where no heading says it is in the dough."""
    if not any(reading.ingredient and reading.ingredient.is_flour for reading in listed(readings)):
        return readings
    parts: dict[str, bool] = {}
    doubt = Doubt.of(LIKELY, "may_be_filling")

    def is_open(reading: Reading) -> bool:
        section = reading.section
        if section not in parts:
            parts[section] = title_in(section).part in (DOUGH, SPONGE)
        return not parts[section]

    return [
        reading._replace(section_doubts=(*reading.section_doubts, doubt))
        if reading.in_formula
        and reading.part == DOUGH
        and reading.ingredient
        and reading.ingredient.name in ADDITIONS
        and is_open(reading)
        else reading
        for reading in readings
    ]


def is_whole_dough(ingredients: Collection[Ingredient]) -> bool:
    """Whether some ingredients are all that a dough needs, and no sponge: salt and fat are among them."""
    return has_all_but_fat(ingredients) and any(each.fat_percent > MOST_LEAN for each in ingredients)


def is_crust(readings: Sequence[Reading]) -> bool:
    """Whether a list with flour is of crumbs or a sweet crust: without yeast, and richer than any dough."""
    known = [(each.ingredient, each.grams) for each in readings if each.ingredient]
    if any(one.yeast or one.name == "salt" and grams > MOST_PINCH_G for one, grams in known):
        return False
    flour_g = sum(grams for one, grams in known if one.is_flour)
    rich_g = sum(grams * (one.sucrose_percent + one.fat_percent) / 100 for one, grams in known)
    return 0 < LEAST_RICH * flour_g <= rich_g


def has_all_but_fat(ingredients: Collection[Ingredient]) -> bool:
    return rises(ingredients) and any(each.name == "salt" for each in ingredients)


def rises(ingredients: Collection[Ingredient]) -> bool:
    """Whether some ingredients make a dough that rises: flour, yeast and a liquid."""
    return (
        any(each.is_flour for each in ingredients)
        and any(each.yeast for each in ingredients)
        and any(each.is_liquid for each in ingredients)
    )


def certain_by_heading(readings: list[Reading]) -> list[Reading]:
    """Milk of no named fat and eggs of no named size as sure, under a heading of the dough or the scald.

    Name, amount and heading agree, and what is open moves the dough by less than the eggs' own interval.
    """
    parts: dict[str, bool] = {}

    def is_named(section: str) -> bool:
        if section not in parts:
            title = title_in(section) if section else None
            parts[section] = title is not None and title.exact and title.part in (DOUGH, SCALD)
        return parts[section]

    return [
        reading._replace(
            doubts=tuple(
                doubt._replace(level=SURE) if doubt.code in _LEFT_OPEN else doubt for doubt in reading.doubts
            )
        )
        if reading.doubts and reading.in_formula and is_named(reading.section)
        else reading
        for reading in readings
    ]


def _is_beside(section: str, by_section: dict[str, list[Reading]]) -> bool:
    """Whether a section without yeast, under an unknown heading, is hardly dough: by what is before it."""
    names = list(by_section)
    before = [
        reading.ingredient
        for name in names[: names.index(section)]
        for reading in by_section[name]
        if reading.ingredient and reading.part == DOUGH
    ]
    inside = [each.ingredient for each in by_section[section] if each.ingredient]
    if any(each.yeast for each in inside) or not any(each.is_flour for each in (*before, *inside)):
        return False  # nothing but the dough's own is listed before its flour
    if any(each.is_flour or each.name == "salt" for each in inside):
        has_sponge = any(title_in(name).part == SPONGE for name in names)
        return is_whole_dough(before) or rises(before) and not has_sponge and is_crust(by_section[section])
    if _MARK.fullmatch(section) or _is_lettered(section):
        return is_whole_dough(before) or all(each in before for each in inside)
    return any(each.is_liquid for each in before) or not any(each.is_liquid for each in inside)


def _is_lettered(section: str) -> bool:
    """Whether a heading is that of a list with a letter: ``Ingredient D``, ``Zutaten C``, ``Mix B``."""
    *words, letter = heading_words(section).split() or [""]
    return len(letter) == 1 and (len(words) == 1 or title_of(words) == (LIST, True))


def fillings(readings: list[Reading]) -> list[Reading]:
    """Sections without flour and yeast under an unknown heading, where others have both: hardly dough."""
    inside = listed(readings)
    by_section: dict[str, list[Reading]] = {}
    for reading in inside:
        by_section.setdefault(reading.section, []).append(reading)
    doubtful = {
        section
        for section, inside in by_section.items()
        if any(doubt.code == UNKNOWN_HEADING for reading in inside for doubt in reading.section_doubts)
        and _is_beside(section, by_section)
    }
    if not doubtful or not any(
        reading.ingredient and reading.ingredient.is_flour and reading.part == DOUGH for reading in inside
    ):
        return readings
    seen = False
    changed: list[Reading] = []
    for reading in readings:
        seen = seen or bool(
            reading.in_formula and reading.part == DOUGH and reading.ingredient and reading.ingredient.yeast
        )
        if (
            seen
            and reading.section in doubtful
            and reading.kind in (INGREDIENT, HEADING)
            and reading.part == DOUGH
        ):
            doubt = Doubt.of(UNSURE, "heading_without_flour", heading=reading.section)
            reading = reading._replace(
                part=OUTSIDE, section_doubts=(doubt,) if reading.kind == INGREDIENT else ()
            )
        changed.append(reading)
    return changed
