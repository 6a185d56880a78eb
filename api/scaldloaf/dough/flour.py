"""Flour of another moisture or absorption: the hydration that gives the same dough."""

from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.formula import DOUGH, Breakdown, Formula, Line, scaled
from scaldloaf.dough.per_flour import HOLD_FLOUR
from scaldloaf.reference import INGREDIENTS, coefficient

FLOUR_REFERENCE_MOISTURE_PERCENT = coefficient("flour_reference_moisture_percent").value
GLUTEN_WATER_RATIO = coefficient("gluten_water_ratio")
FLOUR_PROTEIN_PERCENT = coefficient("flour_protein_percent").value
OTHER_FLOUR_WIDENING = coefficient("other_flour_widening").value
OTHER_FLOUR_NOTE_SHARE = coefficient("other_flour_note_share").value
OTHER_FLOUR_REFUSE_SHARE = coefficient("other_flour_refuse_share").value
VITAL_GLUTEN = INGREDIENTS["vital_gluten"]


def on_moisture_basis(percent: float, moisture_percent: float, to_moisture_percent: float) -> float:
    """A percentage of flour at one moisture, stated at another: x (100 - M2) / (100 - M1).

    All in percent, moistures below 100. Protein and ash are stated at 14 % this way. Source: dry-matter
    balance (exact).
    """
    return percent * (100 - to_moisture_percent) / (100 - moisture_percent)


def as_is_absorption_percent(absorption_percent: float, moisture_percent: float) -> float:
    """Water absorption of flour as it is, percent of its mass, from its absorption at 14 % moisture.

    (A + 14)(100 - M) / 86 - M. Moisture in percent of flour, below 100. Source: dry-matter balance,
    absorption defined at 14 % (ICC 115/1).
    """
    return at_other_moisture(absorption_percent, FLOUR_REFERENCE_MOISTURE_PERCENT, moisture_percent)


def at_other_moisture(hydration_percent: float, moisture_percent: float, to_moisture_percent: float) -> float:
    """The hydration that gives the same dough with flour of another moisture.

    (h + M0)(100 - M1) / (100 - M0) - M1: all water per dry flour, the flour's own included, stays. Percent
    of flour as it is; moistures below 100. Source: dry-matter balance (exact).
    """
    all_water = on_moisture_basis(hydration_percent + moisture_percent, moisture_percent, to_moisture_percent)
    return all_water - to_moisture_percent


def gluten_water_percent(gluten_percent: float) -> Estimate:
    """Extra water for added vital gluten, percent of flour: 1.5 times its mass.

    Valid to about 5 % gluten on flour. Source: a trade rule (coefficient gluten_water_ratio).
    """
    ratio = GLUTEN_WATER_RATIO
    return Estimate(
        gluten_percent * ratio.low, gluten_percent * ratio.value, gluten_percent * ratio.high, ratio.evidence
    )


def gluten_takes(gluten_percent: float) -> Estimate:
    """Points of hydration that go with vital gluten, its own water counted; below 0 for less of it.

    gluten x (gluten_water_ratio + its own water). Source: a trade rule.
    """
    row, own = GLUTEN_WATER_RATIO, VITAL_GLUTEN.water_percent / 100
    ends = sorted((gluten_percent * (row.low + own), gluten_percent * (row.high + own)))
    return Estimate(ends[0], gluten_percent * (row.value + own), ends[1], row.evidence)


# ---- Protein and gluten --------------------------------------------------------------------------


def gluten_percent_of(formula: Formula, flour_g: float) -> float:
    """Vital gluten of a formula, percent of flour. Exact."""
    return 100 * sum(line.mass_g for line in formula.lines if line.ingredient == VITAL_GLUTEN) / flour_g


def with_gluten(formula: Formula, breakdown: Breakdown, gluten_percent: float, hold: str) -> Formula:
    """A formula with another amount of vital gluten, its dough mass (or its flour) held. Exact.

    Parameters
        formula : Formula
        breakdown : Breakdown  of the formula
        gluten_percent : float  [% of flour]
        hold : str  HOLD_DOUGH or HOLD_FLOUR
    Returns
        Formula
    """
    kept = tuple(line for line in formula.lines if line.ingredient != VITAL_GLUTEN)
    had = breakdown.flour_g * gluten_percent_of(formula, breakdown.flour_g) / 100
    mass_g = breakdown.flour_g * gluten_percent / 100
    if mass_g > 0:
        kept = (*kept, Line(VITAL_GLUTEN, mass_g, DOUGH))
    changed = formula._replace(lines=kept)
    if hold == HOLD_FLOUR:
        return changed
    dough_g = breakdown.dough_mass_g
    return scaled(changed, dough_g / (dough_g - had + mass_g))


def flour_protein_percent(formula: Formula) -> float:
    """Protein of a formula's flours, percent of their mass; the usual one where none is stated. Exact."""
    flours = [line for line in formula.lines if line.ingredient.is_flour and line.ingredient.protein_percent]
    mass_g = sum(line.mass_g for line in flours)
    if not mass_g:
        return FLOUR_PROTEIN_PERCENT
    return sum(line.mass_g * line.ingredient.protein_percent for line in flours) / mass_g


def gluten_makes_up_percent(gluten_percent: float, flour_protein_percent: float) -> float:
    """The scalded share, percent of flour, whose lost gluten a vital gluten makes up.

    gluten x its protein / the flour's protein. Source: protein balance (exact).
    """
    return gluten_percent * VITAL_GLUTEN.protein_percent / flour_protein_percent


def added_gluten_g(share_percent: float, flour_g: float, flour_protein_percent: float) -> float:
    """Vital gluten that makes up all that scalding a share of the flour takes, g. Protein balance (exact)."""
    return share_percent / 100 * flour_g * flour_protein_percent / VITAL_GLUTEN.protein_percent


# ---- Other flours --------------------------------------------------------------------------------


def other_flour_share(formula: Formula) -> float:
    """The part of a formula's flour that is not white wheat flour, as a fraction.

    A baker's own flour counts as white wheat unless its composition says otherwise. Exact.
    """
    flours = [line for line in formula.lines if line.ingredient.is_flour]
    other = sum(line.mass_g for line in flours if line.ingredient.is_white_wheat is False)
    return other / sum(line.mass_g for line in flours) if other else 0.0


def flours_taken_as_white(formula: Formula) -> tuple[str, ...]:
    """The names of a formula's own flours that do not say whether they are white wheat flour."""
    flours = (line.ingredient for line in formula.lines if line.ingredient.is_flour and line.mass_g > 0)
    return tuple(dict.fromkeys(flour.name for flour in flours if flour.is_white_wheat is None))


def widening_by_other_flour(other_share: float) -> float:
    """Factor on the half-widths of bands known for white wheat flour: 1 + other_flour_widening x share.

    From no other flour on, so that a little more of it never makes a leap. Evidence: assumption.
    """
    return 1 + OTHER_FLOUR_WIDENING * other_share


# ---- Another flour -------------------------------------------------------------------------------


class FlourChange(NamedTuple):
    """A new flour and the one the formula was made for.

    Moistures in percent of flour as it is; absorptions in percent at 14 % moisture (None: equal).
    """

    moisture_percent: float = FLOUR_REFERENCE_MOISTURE_PERCENT
    base_moisture_percent: float = FLOUR_REFERENCE_MOISTURE_PERCENT
    absorption_percent: float | None = None
    base_absorption_percent: float | None = None

    def absorption_points(self) -> float:
        """Absorption of the new flour less the old one's, points, both at the old one's moisture."""
        if self.absorption_percent is None or self.base_absorption_percent is None:
            return 0.0
        return as_is_absorption_percent(
            self.absorption_percent, self.base_moisture_percent
        ) - as_is_absorption_percent(self.base_absorption_percent, self.base_moisture_percent)

    def is_another(self) -> bool:
        """Whether moisture or absorption are others than before."""
        return (
            self.moisture_percent != self.base_moisture_percent
            or self.absorption_percent != self.base_absorption_percent
        )

    def hydration_for(self, base_hydration_percent: float) -> float:
        """The new flour's hydration that equals one of the old flour, percent of flour.

        The absorptions' difference is added, then the dry-matter balance applies.
        """
        return at_other_moisture(
            base_hydration_percent + self.absorption_points(),
            self.base_moisture_percent,
            self.moisture_percent,
        )

    def base_hydration_for(self, hydration_percent: float) -> float:
        """A hydration of the new flour at the old one's moisture, percent of flour; absorptions aside."""
        return at_other_moisture(hydration_percent, self.moisture_percent, self.base_moisture_percent)
