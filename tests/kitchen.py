"""Short ways to write formulas in tests."""

from scaldloaf.dough.formula import DOUGH, Formula, Line
from scaldloaf.dough.hydration import Correction, correct_hydration
from scaldloaf.dough.per_flour import HOLD_DOUGH, Change
from scaldloaf.reference import INGREDIENTS, Ingredient


def own(name: str, **composition) -> Ingredient:
    """An ingredient that is not in the catalogue; omitted parts are 0."""
    return Ingredient(name=name, label=name, own=True, **composition)


def line(ingredient: str | Ingredient, mass_g: float, part: str = DOUGH) -> Line:
    return Line(INGREDIENTS[ingredient] if isinstance(ingredient, str) else ingredient, mass_g, part)


def formula(*lines: tuple, evaporation: float = 0.0, name: str = "") -> Formula:
    """A formula from (ingredient, mass) or (ingredient, mass, part)."""
    return Formula(tuple(line(*each) for each in lines), evaporation, name)


def tin_loaf() -> Formula:
    """The Lantern Quay tin loaf: 500 g of flour, 20 % of it scalded 1:1."""
    return formula(
        ("bread_flour", 100, "scald"),
        ("water", 100, "scald"),
        ("bread_flour", 400),
        ("whole_milk", 150),
        ("water", 95),
        ("sucrose", 30),
        ("butter", 30),
        ("skim_milk_powder", 10),
        ("salt", 9),
        ("instant_yeast", 5),
        name="Lantern Quay tin loaf",
    )


def masses(of: Formula) -> dict[tuple[str, str], float]:
    """(ingredient, part) -> mass, with duplicate lines added up."""
    found: dict[tuple[str, str], float] = {}
    for each in of.lines:
        key = each.ingredient.name, each.part
        found[key] = found.get(key, 0.0) + each.mass_g
    return found


def total_of(of: Formula, name: str) -> float:
    return sum(each.mass_g for each in of.lines if each.ingredient.name == name)


def correct(  # noqa: PLR0913 - the fields of a Change
    of: Formula,
    adjust_with: Ingredient,
    share=None,
    ratio=None,
    hydration=None,
    hold=HOLD_DOUGH,
    liquids=None,
    gluten=None,
    **more,
) -> Correction:
    """``correct_hydration`` with the fields of its change written out."""
    return correct_hydration(of, adjust_with, Change(share, ratio, hydration, hold, liquids, gluten), **more)
