"""Flour of another moisture or absorption: the hydration that gives the same dough."""

from typing import NamedTuple

from scaldloaf.dough.estimate import Estimate
from scaldloaf.reference import coefficient

FLOUR_REFERENCE_MOISTURE_PERCENT = coefficient("flour_reference_moisture_percent").value
GLUTEN_WATER_RATIO = coefficient("gluten_water_ratio")


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
