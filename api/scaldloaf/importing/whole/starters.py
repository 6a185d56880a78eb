"""Sourdough starters as what they are made of: flour, and water by how wet they are.

Both are ingredients of the request's own, named for the starter: a list to weigh must not read as if plain
flour and water would do, and neither moves into a scald nor takes up the water of a correction.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from scaldloaf.dough.estimate import Estimate, weakest
from scaldloaf.dough.formula import DOUGH
from scaldloaf.importing.line.sponges import heads_a_sponge
from scaldloaf.importing.quantities.readings import INGREDIENT, Reading, Starter
from scaldloaf.importing.whole.contents import listed
from scaldloaf.importing.words.doubt import LIKELY, NOT_READ, SOURDOUGH, UNSURE, Doubt
from scaldloaf.importing.words.vocabulary import OUTSIDE, STARTER_PARTS
from scaldloaf.reference import INGREDIENTS, Ingredient

WOULD_DO = "would_do"
WHITE = frozenset(("bread_flour", "plain_flour", "high_gluten_flour"))


def with_starters(readings: list[Reading], flour: str | None, language: str) -> list[Reading]:
    """The readings; a starter that no other lines list as its flour and its water.

    Only in a recipe that has flour besides, and only in the dough: a starter does not live through a scald.
    Its flour is that of the list that feeds it, else what the recipe has most of.

    Parameters
        readings : list[Reading]  settled
        flour : str | None  what plain flour is, as the caller says
        language : str  of the recipe
    Returns
        list[Reading]
    """
    if not any(map(_open_starter, readings)):
        return readings
    main = _main_flour(readings)
    if main is None:
        return readings
    found: list[Reading] = []
    for reading in readings:
        starter = _open_starter(reading)
        if starter is None:
            found.append(reading)
            continue
        fed = [each for each in readings if each.section == reading.section]
        own = _main_flour(fed) if heads_a_sponge(reading.section) else None
        plain = INGREDIENTS[flour] if flour else own or main
        if part := _part_in(reading.text):
            found.append(_part_of(reading, starter, part, plain))
            continue
        found += _parts_of(reading, starter, plain, flour is not None, STARTER_PARTS[language])
        if reading.ingredient:
            found.append(_beside(reading))
    return found


def _open_starter(reading: Reading) -> Starter | None:
    """The starter of a line, where nothing else lists it and nothing else keeps the line from being read.

    Until here a line that names yeast too is read as that: ``150 g lievito madre (oppure 15 g di lievito)``.
    """
    if reading.kind != INGREDIENT or reading.part != DOUGH:
        return None
    if reading.ingredient and not reading.ingredient.yeast:
        return None
    is_readable = all(each.level != NOT_READ or each.code == SOURDOUGH for each in reading.doubts)
    return reading.starter if is_readable else None


def _beside(reading: Reading) -> Reading:
    """The yeast that would do instead of a starter, outside the dough."""
    doubts = tuple(doubt for doubt in reading.doubts if doubt.code != WOULD_DO)
    instead = tuple(doubt for doubt in reading.doubts if doubt.code == WOULD_DO)
    return reading._replace(part=OUTSIDE, starter=None, doubts=doubts, section_doubts=instead)


def _main_flour(readings: Sequence[Reading]) -> Ingredient | None:
    """The flour that a recipe has most of, white wheat flour before any other."""
    grams: dict[str, float] = {}
    for reading in listed(readings):
        if reading.ingredient and reading.ingredient.is_flour:
            name = reading.ingredient.name
            grams[name] = grams.get(name, 0.0) + reading.grams
    if not grams:
        return None
    return INGREDIENTS[max(grams, key=lambda name: (name in WHITE, grams[name]))]


def _part_in(text: str) -> tuple[str, str] | None:
    """Which part of a starter a line names, and how, where it names one: we write such lines ourselves."""
    folded = text.casefold()
    return next(
        (
            (part, name)
            for names in STARTER_PARTS.values()
            for part, name in names.items()
            if name.casefold() in folded
        ),
        None,
    )


def _part_of(reading: Reading, starter: Starter, part: tuple[str, str], plain: Ingredient) -> Reading:
    """The flour or the water of a starter, from a line that names it.

    Parameters
        reading : Reading  of the line
        starter : Starter  what it says
        part : tuple[str, str]  ``flour`` or ``water``, and its name
        plain : Ingredient  the flour of a starter whose line names none
    Returns
        Reading
    """
    which, name = part
    row = INGREDIENTS["water"] if which == "water" else starter.flour or plain
    doubts = tuple(doubt for doubt in reading.doubts if doubt.code != SOURDOUGH)
    if which == "flour" and starter.flour is None:
        doubts += (Doubt.of(LIKELY, "starter_flour", name=row.label),)
    return reading._replace(
        ingredient=_named(row, name),
        mass=starter.mass,
        doubts=doubts,
        alternatives=(),
        weighed=None,
        bare=None,
        read_as=f"{row.label} of a starter",
    )


def _named(ingredient: Ingredient, name: str) -> Ingredient:
    """An ingredient as part of a starter: of the same composition, under a name of its own."""
    return replace(ingredient, name=name, label=name, aliases=(), names={}, stays_in_dough=True, own=True)


def _parts_of(
    reading: Reading,
    starter: Starter,
    plain: Ingredient,
    is_said: bool,
    names: Mapping[str, str],
) -> list[Reading]:
    """The flour and the water of a starter.

    Parameters
        reading : Reading  of the line
        starter : Starter  what it says
        plain : Ingredient  the flour of a starter whose line names none
        is_said : bool  whether the caller says so
        names : Mapping[str, str]  of its ``flour`` and its ``water``
    Returns
        list[Reading]
    """
    flour = starter.flour or plain
    doubts = tuple(doubt for doubt in reading.doubts if doubt.code != SOURDOUGH)
    if reading.ingredient:
        doubts = (Doubt.of(UNSURE, WOULD_DO, names=reading.ingredient.label),)
    doubts += (starter.doubt,) if starter.doubt else ()
    of_flour = doubts
    if starter.flour is None and not is_said:
        of_flour += (Doubt.of(LIKELY, "starter_flour", name=flour.label),)
    mass, hydration = starter.mass, starter.hydration
    evidence = weakest(mass.evidence, hydration.evidence)
    low, best, high = (_flour_share(each) for each in (hydration.high, hydration.best, hydration.low))
    dry = Estimate(mass.low * low, mass.best * best, mass.high * high, evidence)
    wet = Estimate(mass.low * (1 - high), mass.best * (1 - best), mass.high * (1 - low), evidence)
    base = reading._replace(alternatives=(), weighed=None, bare=None, sources=starter.sources)
    water = INGREDIENTS["water"]
    whole = f"{mass.best:.6g} g of starter"
    return [
        base._replace(
            ingredient=_named(flour, names["flour"]),
            mass=dry,
            doubts=of_flour,
            read_as=f"{flour.label} in {whole}",
            expression=f"{mass.best:.6g} g ÷ (1 + {hydration.best:.6g} ÷ 100)",
        ),
        base._replace(
            ingredient=_named(water, names["water"]),
            mass=wet,
            doubts=doubts,
            read_as=f"{water.label} in {whole}",
            expression=f"{mass.best:.6g} g − {dry.best:.6g} g",
        ),
    ]


def _flour_share(hydration_percent: float) -> float:
    """The flour of a gram of starter [g]."""
    return 100 / (100 + hydration_percent)
