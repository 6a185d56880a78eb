"""From a measure and an ingredient to a mass: weights as they stand, cups and spoons by density."""

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate, weakest
from scaldloaf.importing.doubt import LIKELY, NOT_READ, UNSURE, Doubt
from scaldloaf.importing.measures import Measure
from scaldloaf.importing.vocabulary import (
    CONTAINER,
    CUBE,
    MASS,
    MEASURED_AS,
    PACKET,
    PIECE,
    SPICE,
    STICK,
    VOLUME,
)
from scaldloaf.reference import Coefficient, Ingredient, coefficient

LARGEST_G = 1e8  # of one line: a hundred tonnes is a slip of the pen
MOST_TOLD = 3  # amounts of one line that disagree; a line with more is no ingredient's
EGGS = {"whole_egg", "egg_yolk", "egg_white"}
STICK_FATS = {"butter", "salted_butter", "margarine", "unsalted_margarine", "shortening"}
CUBED_YEAST = "compressed_yeast"  # the only one that is sold in cubes
DRY_YEASTS = {"instant", "active_dry"}
_EGG = {size: coefficient(f"egg_{size}_g") for size in ("small", "medium", "large", "extra_large")}
_YOLK = coefficient("egg_yolk_share")
_PACKET, _CUBE = coefficient("yeast_packet_g"), coefficient("yeast_cube_g")
_SPREAD = {
    kind: coefficient(f"spread_{kind}_percent") for kind in ("powder", "grain", "liquid", "syrup", "loose")
}
_AGREE, _WEIGHTS_AGREE = coefficient("measures_agree_percent"), coefficient("weights_agree_percent")
_LIGHT_G_PER_CM3 = coefficient("powder_density_g_per_cm3")
_SYRUP_G_PER_CM3 = coefficient("syrup_density_g_per_cm3")
_LIQUID_WATER_PERCENT = coefficient("liquid_water_percent")


@dataclass(frozen=True, slots=True)
class Choices:
    """What the caller settles: ``cup`` (None: not said), the size of eggs, one's own egg, bare numbers."""

    cup: str | None = None
    egg_size: str | None = None
    egg_g: float | None = None
    number_alone_g: float | None = None


class Weighed(NamedTuple):
    """A mass in g, how it was found in words and numbers, what it rests on and what is doubtful."""

    mass: Estimate | None
    expression: str = ""
    sources: tuple[str, ...] = ()
    doubts: tuple[Doubt, ...] = ()


def _refused(why: str) -> Weighed:
    return Weighed(None, doubts=(Doubt(NOT_READ, why),))


def kind_of_measuring(ingredient: Ingredient) -> str:
    """How a cup or spoon of it varies: ``powder``, ``grain``, ``liquid``, ``syrup`` or ``loose``.

    By name where the table says so; else flours and light dry things are powder, mostly water is
    liquid, heavy is syrup, the rest grain. Source: assumption.
    """
    if ingredient.name in MEASURED_AS:
        return MEASURED_AS[ingredient.name]
    if ingredient.is_flour or ingredient.density_g_per_cm3 < _LIGHT_G_PER_CM3.value:
        return "powder"
    if ingredient.density_g_per_cm3 >= _SYRUP_G_PER_CM3.value and not ingredient.salt_percent:
        return "syrup"
    return "liquid" if ingredient.water_percent >= _LIQUID_WATER_PERCENT.value else "grain"


def weigh(measure: Measure, ingredient: Ingredient, choices: Choices, egg_size: str = "") -> Weighed:
    """The mass of one measure of an ingredient, in g; sums added up.

    Ends of the interval take every uncertainty at its worst at once. ``mass`` is None with a reason
    where the measure says nothing of this ingredient's mass.
    """
    weighed = _weigh_one(measure, ingredient, choices, egg_size)
    for part in measure.more:
        weighed = _plus(weighed, _weigh_one(part, ingredient, choices, egg_size))
    if weighed.mass and weighed.mass.high > LARGEST_G:
        return _refused("too much to be an amount of a recipe")
    return weighed


def _plus(first: Weighed, second: Weighed) -> Weighed:
    doubts = tuple(dict.fromkeys(first.doubts + second.doubts))
    if first.mass is None or second.mass is None:
        return Weighed(None, doubts=doubts)
    one, two = first.mass, second.mass
    mass = Estimate(
        one.low + two.low, one.best + two.best, one.high + two.high, weakest(one.evidence, two.evidence)
    )
    return Weighed(mass, f"{first.expression} + {second.expression}", first.sources + second.sources, doubts)


def _weigh_one(measure: Measure, ingredient: Ingredient, choices: Choices, egg_size: str) -> Weighed:
    quantity, unit, kind = measure.quantity, measure.unit, measure.kind
    if kind == MASS:
        return _by_grams(measure, unit.grams)
    if kind in (VOLUME, SPICE):
        return _weigh_volume(measure, ingredient, choices)
    if kind == STICK and ingredient.name in STICK_FATS:
        return _by_grams(measure, unit.grams, "common practice", ("common_practice",))
    if kind == PACKET and ingredient.yeast in DRY_YEASTS:
        return _by_coefficient(measure, _PACKET)
    if kind == CUBE and ingredient.name == CUBED_YEAST:
        return _by_coefficient(measure, _CUBE)
    if kind in ("count", PIECE) and ingredient.name in EGGS:
        return _weigh_eggs(measure, ingredient, choices, egg_size)
    if kind == "count" and choices.number_alone_g:
        return _by_grams(measure, choices.number_alone_g)
    if kind == "count":
        return _refused(f"the number {quantity.best:.6g} has no unit")
    if kind in (CONTAINER, PACKET):
        return _refused(f"how much a {unit.label} holds is not said")
    return _refused(f"a {unit.label} of {ingredient.label} has no mass that anyone agrees on")


def _times(
    measure: Measure,
    low: float,
    best: float,
    high: float,
    evidence: str,
    words: str,
    sources: tuple[str, ...],
    doubts: tuple[Doubt, ...] = (),
) -> Weighed:
    quantity = measure.quantity
    if quantity.is_range:
        evidence = weakest(evidence, "assumption")  # that the middle is meant
    return Weighed(
        Estimate(quantity.low * low, quantity.best * best, quantity.high * high, evidence),
        f"{quantity.best:.6g} {words}",
        sources,
        quantity.doubts + doubts,
    )


def _by_grams(
    measure: Measure, grams: float, evidence: str = "exact", sources: tuple[str, ...] = ()
) -> Weighed:
    words = "g as written" if grams == 1 else f"× {grams:.9g} g"
    return _times(measure, grams, grams, grams, evidence, words, sources)


def _by_coefficient(measure: Measure, row: Coefficient) -> Weighed:
    return _times(measure, row.low, row.value, row.high, row.evidence, f"× {row.value:g} g", row.sources)


def _weigh_eggs(measure: Measure, ingredient: Ingredient, choices: Choices, egg_size: str) -> Weighed:
    """Eggs by count: without shell, by size; a yolk and a white share one."""
    if choices.egg_g and not egg_size:
        return _times(measure, *_parted(ingredient.name, *[choices.egg_g] * 3, "exact", ()))
    return _times(measure, *_egg(ingredient.name, egg_size or choices.egg_size))


@lru_cache
def _egg(name: str, size: str | None) -> tuple:
    """What one of them weighs by the size, None where it is not said: all that ``_times`` takes of it."""
    row = _EGG[size or "large"]
    if size:
        return _parted(name, row.low, row.value, row.high, row.evidence, row.sources)
    return (
        *_parted(
            name,
            _EGG["medium"].low,
            row.value,
            _EGG["extra_large"].value,
            weakest(row.evidence, "assumption"),
            (*row.sources, "assumption"),
        ),
        (Doubt(LIKELY, "the size of the eggs is not said; read as large"),),
    )


def _parted(
    name: str, low: float, best: float, high: float, evidence: str, sources: tuple[str, ...]
) -> tuple:
    """From a whole egg to what is used of it."""
    words = f"× {best:g} g"
    if name == "egg_yolk":
        low, best, high = low * _YOLK.low, best * _YOLK.value, high * _YOLK.high
        words += f" × {_YOLK.value:g}"
    elif name == "egg_white":
        low, best, high = low * (1 - _YOLK.high), best * (1 - _YOLK.value), high * (1 - _YOLK.low)
        words += f" × (1 − {_YOLK.value:g})"
    if name != "whole_egg":
        evidence, sources = weakest(evidence, _YOLK.evidence), sources + _YOLK.sources
    return low, best, high, evidence, words, sources


def _weigh_volume(measure: Measure, ingredient: Ingredient, choices: Choices) -> Weighed:
    """Volume x density, each with its spread; a cup not said to be US or metric may be either."""
    unit, density = measure.unit, ingredient.density_g_per_cm3
    if density is None:
        return _refused(f"no density is known of {ingredient.label}: weigh it")
    spread = _SPREAD[kind_of_measuring(ingredient)]
    evidence = weakest(ingredient.evidence, spread.evidence)
    sources = ingredient.sources + spread.sources
    doubts: tuple[Doubt, ...] = ()
    if unit.kind == SPICE:
        row = coefficient(unit.coefficient)
        low, best, high = row.low, row.value, row.high
        evidence, sources = weakest(evidence, row.evidence), sources + row.sources
    elif choices.cup:
        low = best = high = getattr(unit.cm3, choices.cup)
    elif unit.cm3.us == unit.cm3.metric:
        low = best = high = unit.cm3.us
    else:
        best = unit.cm3.us
        low, high = min(best, unit.cm3.metric), max(best, unit.cm3.metric)
        if high / low - 1 > _SPREAD["liquid"].value / 100:  # spoons differ by less than they are off
            doubts = (Doubt(LIKELY, f"the {unit.label} is taken for that of the US: say cup"),)
        evidence = weakest(evidence, "assumption")
        sources += ("assumption",)
    words = f"× {best:.6g} cm3 × {density:g} g/cm3"
    if measure.filling:
        row = coefficient(measure.filling)
        low, best, high = low * row.low, best * row.value, high * row.high
        words += f" × {row.value:g}"
        evidence, sources = weakest(evidence, row.evidence), sources + row.sources
    half = spread.value / 100
    return _times(
        measure,
        low * density * (1 - half),
        best * density,
        high * density * (1 + half),
        evidence,
        words,
        sources,
        doubts,
    )


_RANKS = {
    "g": 0,
    "kg": 0,
    "mg": 0,
    "dag": 0,
    "Pfund": 0,
    "oz": 1,
    "lb": 1,
    "stick": 2,
    "packet": 3,
    "cube": 3,
    "ml": 4,
    "cl": 4,
    "dl": 4,
    "l": 4,
}
_COUNT_RANK, _OTHER_RANK = 6, 5


def best_measure(measures: list[Measure]) -> Measure:
    """The one to be trusted of several measures of one line: grams, ounces, millilitres, cups, counts."""
    return min(
        measures,
        key=lambda measure: _RANKS.get(measure.unit.label, _OTHER_RANK) if measure.unit else _COUNT_RANK,
    )


def agreement(
    measure: Measure, trusted: Weighed, label: str, others: list[tuple[Measure, Weighed]]
) -> tuple[Doubt, ...]:
    """Doubts where another measure of the same line says something else than the trusted one, the first few told."""
    doubts, more, is_mass, mass = [], 0, measure.kind == MASS, trusted.mass
    for other, weighed in others:
        margin = (_WEIGHTS_AGREE if is_mass and other.kind == MASS else _AGREE).value / 100
        if mass.high < weighed.mass.low * (1 - margin) or mass.low > weighed.mass.high * (1 + margin):
            if len(doubts) == MOST_TOLD:
                more += 1
                continue
            doubts.append(
                Doubt(
                    UNSURE,
                    f"{other.words()} {label} would be about "
                    f"{_grams(weighed.mass.best)}, not {_grams(trusted.mass.best)}",
                )
            )
    if more:
        doubts.append(Doubt(UNSURE, f"{more} more amounts do not agree"))
    return tuple(doubts)


def _grams(mass_g: float) -> str:
    return f"{mass_g:.0f} g" if mass_g >= 10 else f"{mass_g:.2g} g"


def times_count(count: Measure, each: Measure) -> Measure:
    """``2 (7 g) packets``: a measure as often as it is counted."""
    more = tuple(part._replace(quantity=count.quantity.times(part.quantity)) for part in each.more)
    return each._replace(
        quantity=count.quantity.times(each.quantity), is_inside=False, is_each=False, more=more
    )
