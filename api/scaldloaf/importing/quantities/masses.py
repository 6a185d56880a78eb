"""From a measure and an ingredient to a mass: weights as written, cups and spoons by density."""

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate, weakest
from scaldloaf.importing.quantities.amounts import Quantity
from scaldloaf.importing.quantities.measures import Measure
from scaldloaf.importing.words.doubt import LIKELY, NOT_READ, UNSURE, Doubt
from scaldloaf.importing.words.vocabulary import (
    CONTAINER,
    COUNT,
    CUBE,
    MASS,
    MEASURED_AS,
    OWN_UNITS,
    PACKET,
    PIECE,
    SPICE,
    STICK,
    VOLUME,
    Unit,
)
from scaldloaf.reference import Coefficient, Ingredient, coefficient

LARGEST_G = 1e8  # of one line: a hundred tonnes is a slip of the pen
MOST_NAMED = 3  # of a line's amounts that disagree; a line with more is no ingredient's
EGGS = {"whole_egg", "egg_yolk", "egg_white"}
STICK_FATS = {"butter", "salted_butter", "margarine", "unsalted_margarine", "shortening"}
CUBED_YEAST = "compressed_yeast"  # the only one that is sold in cubes
LEAST_CC = 5.0  # of Spanish cm³: fewer are small spoons
MOST_CUBES = 4.0  # a larger number beside yeast counts grams
MOST_FRUITS = 2.0  # and one beside zest or juice
DRY_YEASTS = {"instant", "active_dry"}
_CC, _SMALL_SPOON, _PINT = "cc", OWN_UNITS["en"]["teaspoon"], OWN_UNITS["en"]["pint"]
_EGG = {size: coefficient(f"egg_{size}_g") for size in ("small", "medium", "large", "extra_large")}
_YOLK = coefficient("egg_yolk_share")
_PACKET, _CUBE = coefficient("yeast_packet_g"), coefficient("yeast_cube_g")
_SMALL_CUBE, _SMALL_CAKE = coefficient("yeast_small_cube_g"), coefficient("yeast_small_cake_g")
_PACKETS = {
    name: coefficient(f"{name}_packet_g") for name in ("vanilla_sugar", "baking_powder", "custard_powder")
}
OF_FRUIT = {
    name: coefficient(f"{name}_g") for name in ("lemon_zest", "orange_zest", "lemon_juice", "orange_juice")
}
_SPREAD = {
    kind: coefficient(f"spread_{kind}_percent") for kind in ("powder", "grain", "liquid", "syrup", "loose")
}
_AGREE, _WEIGHTS_AGREE = coefficient("measures_agree_percent"), coefficient("weights_agree_percent")
_LIGHT_G_PER_CM3 = coefficient("powder_density_g_per_cm3")
_SYRUP_G_PER_CM3 = coefficient("syrup_density_g_per_cm3")
_LIQUID_WATER_PERCENT = coefficient("liquid_water_percent")


@dataclass(frozen=True, slots=True)
class Choices:
    """What the caller decides.

    cup: whose cups and spoons, a field of Sizes (None: not known). egg_size: of eggs. egg_g: of one without
    shell. number_alone_g: what a number without a unit counts, g each (None: it counts nothing).
    small_cubes: the recipe is from where shops sell cubes of 25 g of yeast. cakes: it counts yeast in cakes.
    big_pints: its words are of places where a pint is 20 fluid ounces. starter_hydration: water of a
    sourdough starter whose line does not say it, percent of its flour.
    """

    cup: str | None = None
    egg_size: str | None = None
    egg_g: float | None = None
    number_alone_g: float | None = None
    small_cubes: bool = False
    cakes: bool = False
    big_pints: bool = False
    starter_hydration: float | None = None


class Weighed(NamedTuple):
    """A mass in g (None: it can't be known), how it was calculated, its sources, and doubts."""

    mass: Estimate | None
    expression: str = ""
    sources: tuple[str, ...] = ()
    doubts: tuple[Doubt, ...] = ()


def _refused(code: str, **values: str | float) -> Weighed:
    return Weighed(None, doubts=(Doubt.of(NOT_READ, code, **values),))


def _kind_of_measuring(ingredient: Ingredient, density_g_per_cm3: float) -> str:
    """How a cup or spoon of it varies: ``powder``, ``grain``, ``liquid``, ``syrup`` or ``loose``.

    By name where the table says so; else flours and light dry things are powder, mostly water is liquid,
    heavy is syrup, the rest grain. Source: assumption.
    """
    if ingredient.name in MEASURED_AS:
        return MEASURED_AS[ingredient.name]
    if ingredient.is_flour or density_g_per_cm3 < _LIGHT_G_PER_CM3.value:
        return "powder"
    if density_g_per_cm3 >= _SYRUP_G_PER_CM3.value and not ingredient.salt_percent:
        return "syrup"
    return "liquid" if ingredient.water_percent >= _LIQUID_WATER_PERCENT.value else "grain"


def weigh(measure: Measure, ingredient: Ingredient, choices: Choices, egg_size: str = "") -> Weighed:
    """The mass of one measure of an ingredient, sums added up.

    The ends of the interval have every uncertainty at its worst at once.

    Parameters
        measure : Measure
        ingredient : Ingredient
        choices : Choices
        egg_size : str  that the line names; empty: the choices' size
    Returns
        Weighed  [g]; mass None, with a reason, where the measure says nothing of this ingredient's mass
    """
    weighed = _weigh_one(measure, ingredient, choices, egg_size)
    for part in measure.more:
        weighed = _plus(weighed, _weigh_one(part, ingredient, choices, egg_size))
    if weighed.mass and weighed.mass.high > LARGEST_G:
        return _refused("too_much")
    return weighed


def _plus(first: Weighed, second: Weighed) -> Weighed:
    doubts = tuple(dict.fromkeys(first.doubts + second.doubts))
    if first.mass is None or second.mass is None:
        return Weighed(None, doubts=doubts)
    one, two = first.mass, second.mass
    best = one.best + two.best
    if best < 0:
        return _refused("nothing_left")
    mass = Estimate(
        max(0.0, one.low + two.low), best, one.high + two.high, weakest(one.evidence, two.evidence)
    )
    return Weighed(mass, f"{first.expression} + {second.expression}", first.sources + second.sources, doubts)


class _Each(NamedTuple):
    """What one of a measure weighs, g: the ends and the best value, in words, and what it rests on."""

    low: float
    best: float
    high: float
    evidence: str
    words: str
    sources: tuple[str, ...]
    doubts: tuple[Doubt, ...] = ()

    def times(self, quantity: Quantity) -> Weighed:
        """The mass of so many."""
        # Of a range, that its middle is meant is an assumption.
        evidence = weakest(self.evidence, "assumption") if quantity.is_range else self.evidence
        ends = (quantity.low * self.low, quantity.high * self.high)
        if quantity.best < 0:  # taken away from a measure before it
            ends = (quantity.low * self.high, quantity.high * self.low)
        mass = Estimate(ends[0], quantity.best * self.best, ends[1], evidence)
        expression = f"{quantity.best:.6g} {self.words}"
        return Weighed(mass, expression, self.sources, quantity.doubts + self.doubts)


def _weigh_one(measure: Measure, ingredient: Ingredient, choices: Choices, egg_size: str) -> Weighed:
    quantity, unit, kind = measure.quantity, measure.unit, measure.kind
    if kind == MASS:
        return _of_grams(unit.grams).times(quantity)
    if kind in (VOLUME, SPICE):
        return _weigh_volume(measure, ingredient, choices)
    if kind == STICK and ingredient.name in STICK_FATS:
        return _of_grams(unit.grams, "common practice", ("common_practice",)).times(quantity)
    if kind in (PACKET, CONTAINER) and (packet := _packet_of(ingredient)):
        return _of_coefficient(packet).times(quantity)
    if kind in (CUBE, COUNT, PACKET) and ingredient.name == CUBED_YEAST and quantity.best <= MOST_CUBES:
        return _of_cube(kind, ingredient, choices).times(quantity)
    if kind in (COUNT, PIECE) and (each := _of_piece(ingredient, quantity, choices, egg_size)):
        return each.times(quantity)
    if kind == COUNT and choices.number_alone_g:
        return _of_grams(choices.number_alone_g).times(quantity)
    if kind == COUNT:
        return _refused("no_unit", number=quantity.best)
    if kind in (CONTAINER, PACKET):
        return _refused("container", unit=unit.label)
    return _refused("no_standard_weight", unit=unit.label, name=ingredient.label)


def _of_cube(kind: str, yeast: Ingredient, choices: Choices) -> _Each:
    """A cube of fresh yeast; a cake of English recipes may be any of several sizes."""
    if kind != CUBE and choices.cakes:
        doubt = Doubt.of(UNSURE, "no_standard_weight", unit="cake", name=yeast.label)
        return _of_coefficient(_SMALL_CAKE)._replace(doubts=(doubt,))
    return _of_coefficient(_SMALL_CUBE if choices.small_cubes else _CUBE)


def _of_piece(ingredient: Ingredient, quantity: Quantity, choices: Choices, egg_size: str) -> _Each | None:
    """An egg or a part of it, or the zest or the juice of a fruit; None where it is neither."""
    if ingredient.name in EGGS:
        return _of_egg(ingredient.name, choices, egg_size)
    is_fruit = ingredient.name in OF_FRUIT and quantity.best <= MOST_FRUITS
    return _of_fruit(ingredient) if is_fruit else None


def _of_fruit(part: Ingredient) -> _Each:
    """The zest or the juice of one fruit, however large: ``Schale von 1/2 Zitrone``."""
    doubt = Doubt.of(LIKELY, "fruit_size", name=part.label)
    return _of_coefficient(OF_FRUIT[part.name])._replace(doubts=(doubt,))


def _packet_of(ingredient: Ingredient) -> Coefficient | None:
    """What a household packet of it holds, g."""
    return _PACKET if ingredient.yeast in DRY_YEASTS else _PACKETS.get(ingredient.name)


def _of_grams(grams: float, evidence: str = "exact", sources: tuple[str, ...] = ()) -> _Each:
    words = "g as written" if grams == 1 else f"× {grams:.9g} g"
    return _Each(grams, grams, grams, evidence, words, sources)


def _of_coefficient(row: Coefficient) -> _Each:
    return _Each(row.low, row.value, row.high, row.evidence, f"× {row.value:g} g", row.sources)


def _of_egg(name: str, choices: Choices, size: str) -> _Each:
    """An egg without shell, its yolk or its white: the caller's own, or one of a size."""
    if choices.egg_g and not size:
        own = _Each(choices.egg_g, choices.egg_g, choices.egg_g, "exact", f"× {choices.egg_g:g} g", ())
        return _part_of_egg(name, own)
    return _egg_of_size(name, size or choices.egg_size)


@lru_cache
def _egg_of_size(name: str, size: str | None) -> _Each:
    """The same of a size; of a large one, within the bounds of all, where the size is not known."""
    row = _EGG[size or "large"]
    each = _of_coefficient(row)
    if size:
        return _part_of_egg(name, each)
    each = each._replace(
        low=_EGG["medium"].low,
        high=_EGG["extra_large"].value,
        evidence=weakest(row.evidence, "assumption"),
        sources=(*row.sources, "assumption"),
        doubts=(Doubt.of(LIKELY, "egg_size"),),
    )
    return _part_of_egg(name, each)


def _part_of_egg(name: str, egg: _Each) -> _Each:
    """From a whole egg to the part of it that is used."""
    if name == "egg_yolk":
        low, best, high, words = _YOLK.low, _YOLK.value, _YOLK.high, f"× {_YOLK.value:g}"
    elif name == "egg_white":
        low, best, high = 1 - _YOLK.high, 1 - _YOLK.value, 1 - _YOLK.low
        words = f"× (1 − {_YOLK.value:g})"
    else:
        return egg
    return egg._replace(
        low=egg.low * low,
        best=egg.best * best,
        high=egg.high * high,
        evidence=weakest(egg.evidence, _YOLK.evidence),
        words=f"{egg.words} {words}",
        sources=egg.sources + _YOLK.sources,
    )


def _weigh_volume(measure: Measure, ingredient: Ingredient, choices: Choices) -> Weighed:
    """Volume x density, each with its spread."""
    density = ingredient.density_g_per_cm3
    if density is None:
        return _refused("no_density", name=ingredient.label)
    if measure.unit.label == _CC and measure.quantity.best < LEAST_CC:
        spoon = _weigh_volume(measure._replace(unit=_SMALL_SPOON), ingredient, choices)
        return spoon._replace(doubts=(*spoon.doubts, Doubt.of(UNSURE, "cc_or_spoon")))
    volume = _volume_of(measure.unit, choices)
    low, best, high = volume.low, volume.best, volume.high
    kind = _kind_of_measuring(ingredient, density)
    spread = _SPREAD[kind]
    evidence = weakest(weakest(ingredient.evidence, spread.evidence), volume.evidence)
    sources = ingredient.sources + spread.sources + volume.sources
    words = f"{volume.words} × {density:g} g/cm3"
    if measure.filling:
        row = coefficient(measure.filling)
        low, best, high = low * row.low, best * row.value, high * row.high
        words += f" × {row.value:g}"
        evidence, sources = weakest(evidence, row.evidence), sources + row.sources
    half = spread.value / 100
    low, best, high = low * density * (1 - half), best * density, high * density * (1 + half)
    doubts = volume.doubts
    if kind == "loose":
        doubts = (*doubts, Doubt.of(LIKELY, "loose_measure", name=ingredient.label))
    return _Each(low, best, high, evidence, words, sources, doubts).times(measure.quantity)


def _kitchen_of(unit: Unit, choices: Choices) -> str | None:
    """Whose measure a unit is, where the baker or the words of the recipe say so."""
    return choices.cup or ("metric" if choices.big_pints and unit is _PINT else None)


def _volume_of(unit: Unit, choices: Choices) -> _Each:
    """What a cup, spoon or pinch holds, cm³; one of no chosen kitchen may be US or metric."""
    if unit.coefficient:
        row = coefficient(unit.coefficient)
        words = f"× {row.value:.6g} cm3"
        no_size = (Doubt.of(UNSURE, "glass_size", ml=row.value),) if unit.kind == VOLUME else ()
        return _Each(row.low, row.value, row.high, row.evidence, words, row.sources, no_size)
    us, metric = unit.cm3.us, unit.cm3.metric
    cup = _kitchen_of(unit, choices)
    if cup or us == metric:
        cm3 = getattr(unit.cm3, cup) if cup else us
        return _Each(cm3, cm3, cm3, "exact", f"× {cm3:.6g} cm3", ())
    low, high = min(us, metric), max(us, metric)
    doubts: tuple[Doubt, ...] = ()
    if high / low - 1 > _SPREAD["liquid"].value / 100:  # spoons differ by less than they are off
        doubts = (Doubt.of(LIKELY, "us_measure", unit=unit.label),)
    return _Each(low, us, high, "assumption", f"× {us:.6g} cm3", ("assumption",), doubts)


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
    "cc": 4,
    "cl": 4,
    "dl": 4,
    "l": 4,
}
_COUNT_RANK, _OTHER_RANK = 6, 5


def best_measure(measures: list[Measure]) -> Measure:
    """The most trustworthy of a line's measures: grams before ounces, millilitres, cups and counts."""
    return min(
        measures,
        key=lambda measure: (
            _COUNT_RANK if measure.kind == COUNT else _RANKS.get(measure.unit.label, _OTHER_RANK)
        ),
    )


def agreement(
    trusted: Measure, mass: Estimate, label: str, others: list[tuple[Measure, Estimate]]
) -> tuple[Doubt, ...]:
    """Doubts where other measures of the same line disagree with the trusted one; the first few by name.

    Parameters
        trusted : Measure
        mass : Estimate  [g] of the trusted measure
        label : str  of the ingredient
        others : (measure, mass [g]) of each other measure
    Returns
        tuple[Doubt, ...]
    """
    doubts: list[Doubt] = []
    more, is_mass = 0, trusted.kind == MASS
    for measure, other in others:
        margin = (_WEIGHTS_AGREE if is_mass and measure.kind == MASS else _AGREE).value / 100
        if mass.high < other.low * (1 - margin) or mass.low > other.high * (1 + margin):
            if len(doubts) == MOST_NAMED:
                more += 1
                continue
            differs = Doubt.of(
                UNSURE,
                "amounts_differ",
                amount=f"{measure.words()} {label}",
                other=_grams(other.best),
                mass=_grams(mass.best),
            )
            doubts.append(differs)
    if more:
        doubts.append(Doubt.of(UNSURE, "more_disagree", amounts=more))
    return tuple(doubts)


def _grams(mass_g: float) -> str:
    return f"{mass_g:.0f} g" if mass_g >= 10 else f"{mass_g:.2g} g"


def times_count(count: Measure, each: Measure) -> Measure:
    """``2 (7 g) packets``: a measure as often as it is counted."""
    more = tuple(part._replace(quantity=count.quantity.times(part.quantity)) for part in each.more)
    return each._replace(
        quantity=count.quantity.times(each.quantity), is_inside=False, is_each=False, more=more
    )
