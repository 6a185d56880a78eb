"""A formula and its breakdown: baker's percentages, both parts, every gram of water.

All of it is bookkeeping (evidence ``exact``): shares of total flour, mass balance, water fractions from
each ingredient's composition.
"""

from collections.abc import Iterable
from difflib import get_close_matches
from functools import partial
from typing import NamedTuple

from scaldloaf.dough.limits import ROUNDING
from scaldloaf.dough.refusal import Refusal
from scaldloaf.reference import Ingredient, coefficient

DOUGH, SCALD = "dough", "scald"
YEAST_INSTANT_PER_COMPRESSED = coefficient("yeast_instant_per_compressed").value
YEAST_ACTIVE_DRY_PER_COMPRESSED = coefficient("yeast_active_dry_per_compressed").value

# With less flour than this a formula is a slip, and percentages of it mean nothing.
LEAST_FLOUR_G = 1e-3
LEAST_FLOUR_OF_DOUGH = 1e-6
NEGLIGIBLE_SHARE = 1e-9  # of the flour: less than this in the scald is rounding, not a scald
INSTANT_PER_YEAST = {
    "instant": 1.0,
    "active_dry": YEAST_INSTANT_PER_COMPRESSED / YEAST_ACTIVE_DRY_PER_COMPRESSED,
    "compressed": YEAST_INSTANT_PER_COMPRESSED,
}
WET_INGREDIENT_PERCENT = coefficient("wet_ingredient_percent").value
_SLACK = 1 + ROUNDING


class Line(NamedTuple):
    """One weighed ingredient and the part it goes into (``"dough"`` or ``"scald"``).

    A NamedTuple: created for every line of every call, and twice as cheap as a dataclass.
    """

    ingredient: Ingredient
    mass_g: float
    part: str = DOUGH


# line_of((ingredient, mass_g, part)) is Line(...) without argument parsing; for hot loops.
line_of = partial(tuple.__new__, Line)


class Formula(NamedTuple):
    """Lines in the order they were written, and the mass that the scald loses while it is cooked."""

    lines: tuple[Line, ...]
    scald_evaporation_g: float = 0.0
    name: str = ""


class Breakdown(NamedTuple):
    """The totals of a formula. Masses in g; ``_percent`` of total flour unless named otherwise.

    flour_g counts both parts. water_g, fat and protein are those of every line that is not flour, the
    water less evaporation; sugars and salt are those of every line (a bought flour mix may contain some),
    yeast that of the dough part: the heat of a scald kills it. liquid_g is the trade's quick count: water and
    milks whole, nothing else. scald_liquid_ratio and scald_moisture_percent are None without scalded flour.
    """

    flour_g: float
    dough_mass_g: float
    water_g: float
    liquid_g: float
    scald_mass_g: float
    scald_flour_g: float
    scald_liquid_g: float
    scalded_share_percent: float
    hydration_percent: float
    liquid_percent: float
    dough_yield: float
    total_percent: float
    sucrose_percent: float
    glucose_percent: float
    fructose_percent: float
    maltose_percent: float
    lactose_percent: float
    fat_percent: float
    protein_percent: float
    salt_percent: float
    instant_yeast_percent: float
    scald_liquid_ratio: float | None
    scald_moisture_percent: float | None

    @property
    def sugar_percent(self) -> float:
        """Sugars yeast can use, percent of flour (lactose is not among them)."""
        return self.sucrose_percent + self.glucose_percent + self.fructose_percent + self.maltose_percent


def flour_mass_g(formula: Formula) -> float:
    """Total flour, both parts, g. Exact."""
    return sum([mass for ingredient, mass, _ in formula.lines if ingredient.is_flour])


class Masses(NamedTuple):
    """The bases of percentages: total flour, and dough less evaporation, g."""

    flour_g: float
    dough_mass_g: float


def break_down(formula: Formula) -> Breakdown:
    """All totals of a formula.

    Baker's percentage: 100 x mass / total flour, flour in both parts counted. Hydration:
    100 x (water of the non-flour lines - evaporation) / flour, without the flour's own moisture. Dough
    yield: 100 + liquid percent. Dough mass: sum of the lines less evaporation. Valid for any formula with
    flour. Raises Refusal without flour, or when more evaporates than the scald has water. Source:
    definitions of the trade (exact).
    """
    flour = dough = water = liquid = 0.0
    scald = scald_flour = scald_liquid = scald_water = 0.0
    sucrose = glucose = fructose = maltose = lactose = fat = protein = salt = instant_yeast = 0.0
    for ingredient, mass, part in formula.lines:
        dough += mass
        line_water = mass * ingredient.water_percent / 100
        if part == SCALD:
            scald += mass
            scald_water += line_water
            if ingredient.is_flour:
                scald_flour += mass
            elif ingredient.is_liquid:
                scald_liquid += mass
        if ingredient.is_flour:
            flour += mass
            if not ingredient.own:  # the catalogue's flours contain nothing else that counts
                continue
        else:
            water += line_water
            fat += mass * ingredient.fat_percent
            protein += mass * ingredient.protein_percent
            if ingredient.is_liquid:
                liquid += mass
        if ingredient.yeast is not None and part != SCALD:
            instant_yeast += mass * INSTANT_PER_YEAST[ingredient.yeast]
        sucrose += mass * ingredient.sucrose_percent
        glucose += mass * ingredient.glucose_percent
        fructose += mass * ingredient.fructose_percent
        maltose += mass * ingredient.maltose_percent
        lactose += mass * ingredient.lactose_percent
        salt += mass * ingredient.salt_percent
    lost = formula.scald_evaporation_g
    # With slack: a scaled copy of a scald cooked dry may be off by rounding.
    too_dry = lost > scald_water * _SLACK
    if flour < LEAST_FLOUR_G or flour < LEAST_FLOUR_OF_DOUGH * dough or too_dry:
        raise _unsound(flour, dough, lost, scald_water)
    per_flour = 100 / flour
    scalded = scald_flour > NEGLIGIBLE_SHARE * flour
    # In the order of the fields: keywords would take four times as long.
    return Breakdown._make(
        (
            flour,
            dough - lost,
            water - lost,
            liquid,
            scald - lost,
            scald_flour,
            scald_liquid,
            scald_flour * per_flour,
            (water - lost) * per_flour,
            liquid * per_flour,
            100 + liquid * per_flour,
            dough * per_flour,
            sucrose / flour,
            glucose / flour,
            fructose / flour,
            maltose / flour,
            lactose / flour,
            fat / flour,
            protein / flour,
            salt / flour,
            instant_yeast * per_flour,
            scald_liquid / scald_flour if scalded else None,
            100 * (scald_water - lost) / (scald - lost) if scalded and scald > lost else None,
        )
    )


def _unsound(flour_g: float, dough_g: float, lost_g: float, scald_water_g: float) -> Refusal:
    """The refusal of a formula without flour, or one whose scald loses more than its water."""
    if flour_g < LEAST_FLOUR_G or flour_g < LEAST_FLOUR_OF_DOUGH * dough_g:
        return Refusal(
            "formula.lines",
            "no_flour",
            "the formula has next to no flour, and every percentage is a percentage of flour; add a flour "
            "line",
        )
    return Refusal(
        "formula.scald_evaporation",
        "evaporation_above_scald_water",
        "{lost} cannot evaporate from a scald that holds {water} of water",
        given=lost_g,
        nearest=scald_water_g,
        quantity="mass",
        amounts={"lost": (lost_g, "mass"), "water": (scald_water_g, "mass")},
    )


def may_be_liquid(ingredient: Ingredient) -> bool:
    """Whether an own ingredient that does not say is wet enough to be a liquid (wet_ingredient_percent)."""
    return ingredient.is_liquid is None and ingredient.water_percent > WET_INGREDIENT_PERCENT


def scald_yeast(formula: Formula) -> list[int]:
    """The places of the lines that put yeast into the scald, where it dies."""
    return [
        place
        for place, (ingredient, mass, part) in enumerate(formula.lines)
        if part == SCALD and ingredient.yeast is not None and mass > 0
    ]


def masses_of(formula: Formula) -> Masses:
    """The two masses of a formula that is known to be sound, equal to the breakdown's to the last bit.

    In g, for a formula that was broken down before, or a scaled copy of one. Source: definitions of the
    trade (exact).
    """
    flour = dough = 0.0
    for ingredient, mass, _ in formula.lines:
        dough += mass
        if ingredient.is_flour:
            flour += mass
    return Masses(flour, dough - formula.scald_evaporation_g)


def scald_moisture_percent(liquid_ratio: float, flour_moisture_percent: float) -> float:
    """Moisture of a flour-and-water scald, percent of its mass.

    (M + 100 r) / (1 + r), with r the liquid over flour by mass and M the flour's own moisture in percent.
    Valid for r >= 0. Source: mass balance (exact).
    """
    return (flour_moisture_percent + 100 * liquid_ratio) / (1 + liquid_ratio)


def scaled(formula: Formula, factor: float) -> Formula:
    """The formula with every mass, and the evaporation, times ``factor`` (> 0). Exact."""
    return Formula(
        tuple([line_of((ingredient, mass * factor, part)) for ingredient, mass, part in formula.lines]),
        formula.scald_evaporation_g * factor,
        formula.name,
    )


def nearest_name(name: str, ingredients: Iterable[Ingredient]) -> str | None:
    """The ingredient's name that a spelling of it or of an alias most likely means; None if none is close."""
    spellings = {
        spelling: ingredient.name
        for ingredient in ingredients
        for spelling in (ingredient.name, *ingredient.aliases)
    }
    close = get_close_matches(name, spellings, 1, 0.5)
    return spellings[close[0]] if close else None


def allergens_of(lines: Iterable[Line]) -> dict[str, list[str]]:
    """Allergen -> names of the ingredients that contain it, both in the order of the lines.

    Lines of zero mass count too: a label that is too careful beats one that is not careful enough.
    """
    found: dict[str, list[str]] = {}
    for line in lines:
        for allergen in line.ingredient.allergens:
            names = found.setdefault(allergen, [])
            if line.ingredient.name not in names:
                names.append(line.ingredient.name)
    return found
