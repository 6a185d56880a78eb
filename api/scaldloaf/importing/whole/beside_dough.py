"""Doubts about what is listed behind or beside all that a dough needs: the crust's, a filling's, a bath's."""

from collections.abc import Sequence

from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading
from scaldloaf.importing.whole.contents import MOST_LEAN, has_all_but_fat, is_whole_dough, rises
from scaldloaf.importing.whole.things import SALTS, thing_of
from scaldloaf.importing.words.doubt import LIKELY, UNSURE, Doubt
from scaldloaf.importing.words.sections import title_in
from scaldloaf.importing.words.vocabulary import ADDITIONS, LIST, OUTSIDE, is_spaceless
from scaldloaf.reference import Ingredient

_GLAZES = frozenset(
    ("honey", "maple_syrup", "molasses", "maltose_syrup", "glucose_syrup", "condensed_milk", "lemon_juice")
    + ("corn_starch", "custard_powder", "potato_starch", "egg_yolk", "egg_white", "cream")
    + ("sucrose", "soft_white_sugar")
)
_BOILED = frozenset(  # with the water of bagels
    (
        "salt",
        "sucrose",
        "soft_white_sugar",
        "brown_sugar",
        "honey",
        "molasses",
        "malt_extract",
        "maltose_syrup",
    )
    + ("baking_soda", "maple_syrup")
)
_SWEET = frozenset(("cinnamon", "icing_sugar", "cream_cheese", "brown_sugar"))  # of a filling, or a frosting
_SPREAD = frozenset(("cinnamon", "icing_sugar"))
_SUGARS = frozenset(("sucrose", "soft_white_sugar", "brown_sugar", "icing_sugar", "honey", "maple_syrup"))
_AGAIN, _PERHAPS = Doubt.of(UNSURE, "starts_again"), Doubt.of(LIKELY, "may_be_filling")
_FATTY = 50.0  # fat of butter and oil, percent
LEAST_AGAIN = 2  # things listed again behind a whole dough, of a filling
LEAST_OF_RUN = 3  # ingredients of a list on one line
MOST_OF_BLOCK = 12  # lines of a filling
_BOILING = 1.5  # so many times the flour, water is no dough's


def runs_beside_a_dough(readings: list[Reading]) -> list[Reading]:
    """A doubt about a list on one line that may be a filling's: another line lists a whole dough.

    Its liquid or its spices are besides those of the dough, and it has no flour and no yeast.
    """
    if len(readings) - len({reading.line for reading in readings}) < 2 * LEAST_OF_RUN - 1:
        return readings  # no two lines list so many
    runs: dict[int, list[Ingredient]] = {}
    for reading in readings:
        if reading.in_formula and reading.part == DOUGH and reading.ingredient:
            runs.setdefault(reading.line, []).append(reading.ingredient)
    if not any(len(run) > LEAST_OF_RUN and rises(run) for run in runs.values()):
        return readings
    beside = {
        line
        for line, run in runs.items()
        if len(run) >= LEAST_OF_RUN
        and not any(each.is_flour or each.yeast for each in run)
        and any(each.is_liquid or each.name in ADDITIONS for each in run)
    }
    doubt = Doubt.of(LIKELY, "may_be_filling")
    return [
        reading._replace(section_doubts=(*reading.section_doubts, doubt))
        if reading.line in beside and reading.in_formula and doubt not in reading.section_doubts
        else reading
        for reading in readings
    ]


def without_filling_behind(readings: list[Reading]) -> list[Reading]:
    """The readings; butter again, sugar and cinnamon behind a whole dough are a filling, as is a frosting.

    A list that has lost its headings goes on so; never for sure.
    """
    sections: dict[str, list[tuple[int, Ingredient]]] = {}
    for at, reading in enumerate(readings):
        if reading.in_formula and reading.part == DOUGH and reading.ingredient and reading.mass:
            sections.setdefault(reading.section, []).append((at, reading.ingredient))
    moved = {at for inside in sections.values() for at in _filling_of(inside)}
    return [
        reading._replace(part=OUTSIDE, section_doubts=(_AGAIN,)) if at in moved else reading
        for at, reading in enumerate(readings)
    ]


def _filling_of(inside: Sequence[tuple[int, Ingredient]]) -> list[int]:
    """The places of what a list goes on with behind a whole dough, if that spreads butter and is sweet.

    A flour right before it is of the same list: that of a crumble.
    """
    before: list[Ingredient] = []
    for start, (_, each) in enumerate(inside):
        is_again = is_butter(each) and any(map(is_butter, before))
        if (is_again or each.name in _SWEET) and is_whole_dough(before):
            run = [ingredient for _, ingredient in inside[start:]]
            names = {ingredient.name for ingredient in run}
            has_dough = any(ingredient.is_flour or ingredient.yeast for ingredient in run)
            is_spread = not names.isdisjoint(_SPREAD) and not names.isdisjoint(_SUGARS)
            if has_dough or not is_spread or not any(map(is_butter, run)):
                return []
            while before and before.pop().is_flour and is_whole_dough(before):
                start -= 1
            return [at for at, _ in inside[start:]]
        before.append(each)
    return []


def is_butter(ingredient: Ingredient) -> bool:
    return ingredient.name.endswith("butter")


def behind_a_whole_dough(readings: list[Reading]) -> list[Reading]:
    """A doubt about what is listed behind all that a dough needs: the same again, and what may be a glaze.

    So about the lines beside a water that is far more than the flour takes: it boils bagels.
    """
    inside = {
        at: reading.ingredient
        for at, reading in enumerate(readings)
        if reading.in_formula and reading.part == DOUGH and reading.ingredient and reading.mass
    }
    doubts, behind = _behind(readings, inside)
    for at in _boiled(readings, inside):
        doubts[at] = _AGAIN
    for at in _last_of_lean(list(inside.items())):
        if is_spaceless(readings[at].text):
            doubts.setdefault(at, _PERHAPS)
    moved = _list_behind(readings, inside, doubts, behind) | _of_salt_rolls(readings, inside, doubts)
    return [
        reading._replace(
            part=OUTSIDE if at in moved else reading.part,
            section_doubts=(*reading.section_doubts, doubts.get(at, _AGAIN)),
        )
        if at in doubts or at in moved
        else reading
        for at, reading in enumerate(readings)
    ]


def _list_behind(
    readings: list[Reading], inside: dict[int, Ingredient], doubts: dict[int, Doubt], behind: set[int]
) -> set[int]:
    """The places of a list that starts again behind a whole dough without yeast: a filling, a crust, a bath.

    Two lines at least, of which most are in doubt, down to the end of their part of the list. A flour right
    before what is listed again is of the same list.

    Parameters
        readings : list[Reading]
        inside : dict[int, Ingredient]  what is in the dough, by place in the readings
        doubts : dict[int, Doubt]  about what is behind a whole dough
        behind : set[int]  the places behind a whole dough
    Returns
        set[int]
    """
    sections: dict[str, list[int]] = {}
    for at in inside:
        sections.setdefault(readings[at].section, []).append(at)
    moved: set[int] = set()
    for places in sections.values():
        first = next((place for place, at in enumerate(places) if doubts.get(at) is _AGAIN), None)
        if first is None:
            continue
        while first and places[first - 1] in behind and inside[places[first - 1]].is_flour:
            first -= 1
        of_list = places[first:]
        if of_list[0] not in behind and not has_all_but_fat([inside[at] for at in places[:first]]):
            continue
        if may_be_kneaded_in([inside[at] for at in of_list]):
            continue  # the rest of the water and the oil, kneaded in later
        in_doubt = sum(at in doubts for at in of_list)
        if in_doubt > 1 and 2 * in_doubt >= len(of_list) and not any(inside[at].yeast for at in of_list):
            moved.update(of_list)
    return moved


def _of_salt_rolls(
    readings: list[Reading], inside: dict[int, Ingredient], doubts: dict[int, Doubt]
) -> set[int]:
    """The places of butter and salt that end a list a second time: rolled into salt rolls, and on top.

    Parameters
        readings : list[Reading]
        inside : dict[int, Ingredient]  what is in the dough, by place in the readings
        doubts : dict[int, Doubt]  about what is behind a whole dough
    Returns
        set[int]
    """
    start = next(
        (at for at in sorted(doubts) if is_butter(inside[at]) and doubts[at] is _AGAIN), len(readings)
    )
    behind = [each for each in readings[start + 1 :] if each.kind == INGREDIENT]
    is_salted = any(each.ingredient and each.ingredient.name in SALTS for each in behind)
    own = {at for at in inside if at > start}
    return own | {start} if is_salted and all(inside[at].name in SALTS for at in own) else set()


def may_be_kneaded_in(again: Sequence[Ingredient]) -> bool:
    """Whether what is listed again is water, milk, butter, oil and salt only, as dough is given them later.

    Nothing of it shows a filling, a glaze or a crust.
    """
    return all(
        each.name in ("water", "salt") or each.name.endswith("_milk") or each.fat_percent > _FATTY
        for each in again
    )


def beside_a_whole_dough(readings: list[Reading]) -> list[Reading]:
    """A doubt about a part of the list beside another that is a whole dough: it may be a crust or a filling.

    It has no yeast, and flour or two more things that the whole dough lists too; one will do behind it, in a
    list whose heading names no part: ``3. Ingredients``.
    """
    sections: dict[str, list[Ingredient]] = {}
    for reading in readings:
        if reading.in_formula and reading.part == DOUGH and reading.ingredient:
            sections.setdefault(reading.section, []).append(reading.ingredient)
    whole = [name for name, inside in sections.items() if is_whole_dough(inside)]
    if len(whole) != 1 or len(sections) < 2:
        return readings
    (dough,) = whole
    behind = list(sections)[list(sections).index(dough) + 1 :]
    again = {name: 1 if name in behind and title_in(name).part == LIST else 2 for name in sections}
    beside = {
        name
        for name, inside in sections.items()
        if name != dough
        and not any(each.yeast for each in inside)
        and sum(each.is_flour or each in sections[dough] for each in inside) >= again[name]
    }
    return [
        reading._replace(section_doubts=(*reading.section_doubts, _PERHAPS))
        if reading.section in beside and reading.in_formula and reading.part == DOUGH
        else reading
        for reading in readings
    ]


def _behind(readings: list[Reading], inside: dict[int, Ingredient]) -> tuple[dict[int, Doubt], set[int]]:
    """The doubts about what is listed behind a whole dough, by place in the readings, and those places.

    A liquid right before what is listed again is as doubtful: dumplings are steamed in both. So are all the
    lines between a blank one and what is listed again: they are one list. Where several things are listed
    again, a filling whose heading is lost may begin right behind the dough.
    """
    doubts: dict[int, Doubt] = {}
    behind: set[int] = set()
    sections: dict[str, dict[str, Ingredient]] = {}
    things: set[tuple[str, str]] = set()
    for at, each in inside.items():
        named = sections.setdefault(readings[at].section, {})
        before = named.values()
        thing = (readings[at].section, thing_of(readings[at]))
        if not each.yeast and is_whole_dough(before):
            behind.add(at)
            if thing in things or is_butter(each) and any(map(is_butter, before)):
                doubts[at] = _AGAIN
            elif each.name in _GLAZES:
                doubts[at] = _PERHAPS
        named[each.name] = each
        if thing[1]:
            things.add(thing)
    spices = {at + step for at in doubts for step in (-1, 1) if is_spaceless(readings[at].text)} & behind
    doubts |= {at: _PERHAPS for at in spices - doubts.keys() if inside[at].name in ADDITIONS}
    liquids = [at - 1 for at, doubt in doubts.items() if doubt is _AGAIN]
    again = [at for at, doubt in doubts.items() if doubt is _AGAIN]
    blocks = {each for at in again for each in _block_before(readings, at) if each in behind}
    found = {at: _AGAIN for at in liquids if at in behind and inside[at].is_liquid}
    if len(again) >= LEAST_AGAIN:
        found = {at: _PERHAPS for at in behind if at < max(again)} | found
    return found | dict.fromkeys(blocks, _AGAIN) | doubts, behind


def _block_before(readings: list[Reading], at: int) -> range:
    """The places from a blank line down to a reading; none where that line is right below others."""
    start = at
    while start and readings[start].line - readings[start - 1].line <= 1 and at - start < MOST_OF_BLOCK:
        start -= 1
    has_blank = start > 0 and readings[start].line - readings[start - 1].line > 1
    return range(start, at) if has_blank else range(at, at)


def _boiled(readings: list[Reading], inside: dict[int, Ingredient]) -> list[int]:
    """The places beside a water that is far more than the flour takes, of what bagels are boiled in."""
    flour = sum(readings[at].grams for at, each in inside.items() if each.is_flour)
    found: list[int] = []
    for at, each in inside.items():
        if each.name == "water" and flour and readings[at].grams > _BOILING * flour:
            for step in (-1, 1):
                near = at + step
                while near in inside and inside[near].name in _BOILED:
                    found.append(near)
                    near += step
    return found


def _last_of_lean(inside: list[tuple[int, Ingredient]]) -> list[int]:
    """The places of what boils bagels, listed last behind a dough that is whole but for fat."""
    last: list[int] = []
    while inside and inside[-1][1].name in _BOILED and inside[-1][1].name != "salt":
        last.append(inside.pop()[0])
    before = [each for _, each in inside]
    is_lean = not any(each.fat_percent > MOST_LEAN for each in before)
    return last if is_lean and has_all_but_fat(before) else []
