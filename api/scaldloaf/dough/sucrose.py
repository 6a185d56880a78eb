"""Another amount of sugar in a formula, everything else held."""

from scaldloaf.dough.formula import DOUGH, Breakdown, Formula, Line, scaled
from scaldloaf.dough.per_flour import HOLD_FLOUR
from scaldloaf.reference import INGREDIENTS

SUCROSE = INGREDIENTS["sucrose"]


def sucrose_percent_of(formula: Formula, flour_g: float) -> float:
    """The sucrose lines of a formula, percent of its flour (g). Exact."""
    return 100 * sum(line.mass_g for line in formula.lines if line.ingredient == SUCROSE) / flour_g


def with_sucrose(formula: Formula, breakdown: Breakdown, sucrose_percent: float, hold: str) -> Formula:
    """A formula with another amount of sucrose, its dough mass (or its flour) held.

    Only the lines called sucrose move, in proportion to each other; a formula without one gets a line in the
    dough. All other baker's percentages stay.

    Parameters
        formula : Formula
        breakdown : Breakdown  of the formula
        sucrose_percent : float  [% of flour] of those lines together, 0 or more
        hold : str  HOLD_DOUGH or HOLD_FLOUR
    Returns
        Formula
    Source
        mass balance (exact)
    """
    had = sum(line.mass_g for line in formula.lines if line.ingredient == SUCROSE)
    mass_g = breakdown.flour_g * sucrose_percent / 100
    if had > 0:
        lines = tuple(
            line._replace(mass_g=mass_g * (line.mass_g / had)) if line.ingredient == SUCROSE else line
            for line in formula.lines
        )
    else:
        kept = tuple(line for line in formula.lines if line.ingredient != SUCROSE)
        lines = (*kept, Line(SUCROSE, mass_g, DOUGH)) if mass_g > 0 else formula.lines
    changed = formula._replace(lines=lines)
    if hold == HOLD_FLOUR:
        return changed
    return scaled(changed, breakdown.dough_mass_g / (breakdown.dough_mass_g - had + mass_g))
